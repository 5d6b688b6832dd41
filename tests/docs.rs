//! The documents tell the truth: every command they show is run and prints what is shown, every
//! path they name exists, every option they name is one the program has, and their figures are
//! counted from the tables.
//!
//! With `PUNCHEON_UPDATE_DOCS=1` the shown output and the figures are written anew instead.
//!
//! What a fenced block means here, by the words after its back-ticks:
//! `console` is a session: a line beginning with `$ ` is run, the lines below it are what comes
//! out; `ron` whose first line is a comment naming a file is laid down as that file; `diff` is a
//! change made to a file laid down before; `csv`, `jsonl` and `xlsx` with a file's name are laid
//! down as that file; `text figures` and `text memory` are counted from the tables; `console unix`
//! is run by a real shell, where there is one; `sh` is for a reader's own shell, and only its
//! `cargo run` lines that read a description are run.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::{env, fs};

/// Top-level folders whose paths the documents may name.
const FOLDERS: [&str; 5] = ["crates/", "tables/", "tests/", "docs/", ".ci/"];

/// The description that docs/how-a-reading-is-made.md follows.
const FOLLOWED: &str = "Anchor, lion passant, small gothic k?";

/// The values of one stage of its reading.
fn stage(info: &str) -> Vec<String> {
    let wanted = info.trim_start_matches("text trace ");
    puncheon::trace(puncheon::Tables::builtin(), FOLLOWED)
        .into_iter()
        .find(|s| s.name == wanted)
        .unwrap_or_else(|| panic!("a reading has no stage called {wanted}"))
        .lines
}

/// Blocks that are laid down as a file, named behind the word.
const FILES: [&str; 3] = ["csv", "jsonl", "xlsx"];

/// The name of the file that a block is laid down as.
fn file_of(info: &str) -> Option<(&str, &str)> {
    info.split_once(' ').filter(|(kind, _)| FILES.contains(kind))
}

/// What else may stand after a block's back-ticks; nothing is plain text.
const KINDS: [&str; 16] = [
    "text trace tokens",
    "text trace pieces",
    "text trace sightings",
    "text trace evidence",
    "text trace rows",
    "text trace fits",
    "text trace nears",
    "text trace next",
    "",
    "console",
    "console unix",
    "diff",
    "ron",
    "sh",
    "text figures",
    "text memory",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// README.md, DEVELOPERS.md and docs/*.md by their path from the top, written anew first if asked.
fn documents() -> &'static [(String, String)] {
    static DOCUMENTS: OnceLock<Vec<(String, String)>> = OnceLock::new();
    DOCUMENTS.get_or_init(|| {
        let mut all = load();
        if env::var_os("PUNCHEON_UPDATE_DOCS").is_some_and(|v| v == "1") {
            for (name, text) in &mut all {
                let now = written(&replayed(name, text));
                if now != *text {
                    fs::write(root().join(&*name), &now).expect("the document is written");
                    *text = now;
                }
            }
        }
        all
    })
}

fn load() -> Vec<(String, String)> {
    let mut names = vec!["README.md".to_string(), "DEVELOPERS.md".to_string()];
    let docs = fs::read_dir(root().join("docs")).expect("docs/ can be listed");
    names.extend(
        docs.flatten()
            .filter_map(|e| e.file_name().into_string().ok())
            .filter(|n| n.ends_with(".md"))
            .map(|n| format!("docs/{n}")),
    );
    names.sort();
    names
        .into_iter()
        .map(|n| {
            let text = fs::read_to_string(root().join(&n)).expect("the document can be read");
            (n, text)
        })
        .collect()
}

/// A stretch of a document: prose, or a fenced block with what stands after its back-ticks.
struct Block {
    info: Option<String>,
    lines: Vec<String>,
}

fn blocks(name: &str, text: &str) -> Vec<Block> {
    let prose = || Block { info: None, lines: Vec::new() };
    let mut out = vec![prose()];
    for line in text.lines() {
        let inside = out.last().is_some_and(|b| b.info.is_some());
        match line.strip_prefix("```") {
            Some("") if inside => out.push(prose()),
            Some(info) if !inside => {
                out.push(Block { info: Some(info.to_string()), lines: Vec::new() })
            }
            _ => {
                let block = out.last_mut().expect("there is always a block");
                block.lines.push(line.to_string());
            }
        }
    }
    assert!(out.last().is_some_and(|b| b.info.is_none()), "{name}: a fenced block is not closed");
    for b in &out {
        let Some(info) = &b.info else { continue };
        assert!(
            KINDS.contains(&info.as_str()) || file_of(info).is_some(),
            "{name}: no block is of kind \"{info}\""
        );
        assert!(
            info.starts_with("console") || !b.lines.iter().any(|l| l.starts_with("$ ")),
            "{name}: a command stands in a block that is not run; make it ```console"
        );
    }
    out
}

fn written(blocks: &[Block]) -> String {
    let mut out = String::new();
    for b in blocks {
        if let Some(info) = &b.info {
            let _ = writeln!(out, "```{info}");
        }
        for l in &b.lines {
            let _ = writeln!(out, "{l}");
        }
        if b.info.is_some() {
            out.push_str("```\n");
        }
    }
    out
}

/// Words of a command line: quotes keep blanks, `|` and `<` stand alone.
fn words(line: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut word: Option<String> = None;
    let mut quote = None;
    for c in line.chars() {
        match (quote, c) {
            (Some(q), c) if c == q => quote = None,
            (Some(_), c) => word.get_or_insert_default().push(c),
            (None, '\'' | '"') => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            (None, ' ') => out.extend(word.take()),
            (None, '|' | '<') => {
                out.extend(word.take());
                out.push(format!("\0{c}"));
            }
            (None, c) => word.get_or_insert_default().push(c),
        }
    }
    assert!(quote.is_none(), "a quote is not closed: {line}");
    out.extend(word);
    out
}

/// A folder of its own for one document, with a copy of tables/ in it.
struct Bench {
    folder: PathBuf,
}

impl Bench {
    fn new(name: &str) -> Bench {
        let folder =
            Path::new(env!("CARGO_TARGET_TMPDIR")).join("docs").join(name.replace(['/', '.'], "-"));
        let _ = fs::remove_dir_all(&folder);
        copy(&root().join("tables"), &folder.join("tables"));
        Bench { folder }
    }

    fn read(&self, file: &str) -> String {
        fs::read_to_string(self.folder.join(file)).unwrap_or_else(|e| panic!("{file}: {e}"))
    }

    fn lay(&self, file: &str, text: &str) {
        let path = self.folder.join(file);
        fs::create_dir_all(path.parent().expect("a file has a folder")).expect("a folder is made");
        fs::write(path, text).expect("the file is written");
    }

    /// Standard output and then standard error of `puncheon` with these words.
    fn puncheon(&self, words: &[String], vars: &[(String, String)], input: &str) -> Output {
        let mut child = Command::new(env!("CARGO_BIN_EXE_puncheon-under-test"))
            .args(words)
            .current_dir(&self.folder)
            .env_clear()
            .envs(vars.iter().cloned())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        // A program that needs no input may be gone before it is written.
        let _ = child.stdin.take().expect("standard input is a pipe").write_all(input.as_bytes());
        let done = child.wait_with_output().expect("the program ends");
        Output {
            text: String::from_utf8([done.stdout, done.stderr].concat()).expect("UTF-8"),
            code: done.status.code(),
        }
    }

    /// Runs one line as a shell would, as far as the documents need a shell.
    fn run(&self, line: &str) -> Output {
        let mut out = Output { text: String::new(), code: Some(0) };
        for stage in words(line).split(|w| w == "\0|") {
            let (stage, from) = match stage.iter().position(|w| w == "\0<") {
                Some(i) => (&stage[..i], Some(&stage[i + 1])),
                None => (stage, None),
            };
            if let Some(file) = from {
                out.text = self.read(file);
            }
            let vars: Vec<(String, String)> = stage
                .iter()
                .map_while(|w| w.split_once('='))
                .take_while(|(k, _)| k.chars().all(|c| c.is_ascii_uppercase() || c == '_'))
                .map(|(k, v)| (k.to_string(), v.to_string()))
                .collect();
            let stage = &stage[vars.len()..];
            let texts: Vec<&str> = stage.iter().map(String::as_str).collect();
            match texts.as_slice() {
                ["puncheon", ..] => out = self.puncheon(&stage[1..], &vars, &out.text),
                ["echo", rest @ ..] => out.text = format!("{}\n", rest.join(" ")),
                ["printf", text] => out.text = text.replace("\\n", "\n"),
                ["head", n] => {
                    let n: usize =
                        n.strip_prefix('-').and_then(|n| n.parse().ok()).expect("head takes -N");
                    out.text = out.text.split_inclusive('\n').take(n).collect();
                }
                ["cat", file] => out.text = self.read(file),
                ["mkdir", folder] => {
                    fs::create_dir_all(self.folder.join(folder)).expect("a folder is made");
                }
                ["cp", from, to] => {
                    let to = to.strip_suffix('/').map_or_else(
                        || to.to_string(),
                        |folder| format!("{folder}/{}", from.rsplit('/').next().unwrap_or(from)),
                    );
                    self.lay(&to, &self.read(from));
                }
                ["cp", "-r", from, to] => copy(&self.folder.join(from), &self.folder.join(to)),
                other => panic!("this test cannot run {other:?}; teach it or write it otherwise"),
            }
        }
        out
    }

    /// Lays rows of cells down as the first sheet of a workbook, figures as numbers.
    fn lay_workbook(&self, file: &str, rows: &[String]) {
        let mut book = rust_xlsxwriter::Workbook::new();
        let sheet = book.add_worksheet();
        let rows = rows.join("\n");
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(rows.as_bytes());
        for (r, record) in reader.records().enumerate() {
            for (c, cell) in record.expect("a block of CSV").iter().enumerate() {
                let (r, c) = (r as u32, c as u16);
                match cell.parse::<f64>() {
                    Ok(n) => sheet.write_number(r, c, n),
                    Err(_) => sheet.write_string(r, c, cell),
                }
                .expect("a cell is written");
            }
        }
        book.save(self.folder.join(file)).expect("the workbook is written");
    }

    /// Runs one line by the shell, with the program on its path.
    #[cfg(unix)]
    fn shell(&self, line: &str) -> String {
        use std::os::unix::fs::PermissionsExt;
        let bin = self.folder.join("bin");
        fs::create_dir_all(&bin).expect("a folder is made");
        let puncheon = bin.join("puncheon");
        if !puncheon.exists() {
            std::os::unix::fs::symlink(env!("CARGO_BIN_EXE_puncheon-under-test"), puncheon)
                .expect("the program is linked");
        }
        // Few machines have GNU parallel; where it is missing its jobs are run one after another.
        let path = env::var("PATH").unwrap_or_default();
        if !env::split_paths(&path).any(|p| p.join("parallel").exists()) {
            let stand_in = "#!/bin/sh\n\
                [ \"$1\" = -k ] && shift\njob=$1\nshift 2\n\
                for part; do sh -c \"$(printf '%s' \"$job\" | sed \"s/{}/$part/g\")\" || exit 1; done\n";
            let file = bin.join("parallel");
            fs::write(&file, stand_in).expect("the stand-in is written");
            fs::set_permissions(&file, fs::Permissions::from_mode(0o755)).expect("it may be run");
        }
        let done = Command::new("sh")
            .args(["-c", line])
            .current_dir(&self.folder)
            .env_clear()
            .env("PATH", format!("{}:{path}", bin.display()))
            .stdin(Stdio::null())
            .output()
            .expect("a shell runs the line");
        String::from_utf8([done.stdout, done.stderr].concat()).expect("UTF-8")
    }

    /// Changes a file as a `diff` block says: `--- file`, then lines taken away and put in.
    fn change(&self, block: &Block) {
        let file =
            block.lines[0].strip_prefix("--- ").expect("a diff begins with --- and its file");
        let side = |mark: char| -> String {
            let lines = block.lines[1..].iter();
            lines
                .filter_map(|l| l.strip_prefix(mark).or_else(|| l.strip_prefix(' ')))
                .fold(String::new(), |s, l| s + l + "\n")
        };
        let (old, new) = (side('-'), side('+'));
        let text = self.read(file);
        assert_eq!(text.matches(&old).count(), 1, "{file} must hold these lines once:\n{old}");
        self.lay(file, &text.replace(&old, &new));
    }
}

struct Output {
    text: String,
    code: Option<i32>,
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder is made");
    for entry in fs::read_dir(from).expect("the folder can be listed").flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("the file is copied");
        }
    }
}

/// The same session with what the program says now.
fn session(lines: &[String], run: impl Fn(&str) -> String) -> Vec<String> {
    let mut out = Vec::new();
    for line in lines.iter().filter(|l| l.starts_with("$ ")) {
        out.push(line.clone());
        let said = run(&line[2..]);
        let said = said.trim_end_matches('\n').lines();
        out.extend(said.map(timeless));
    }
    out
}

/// A line whose seconds are none: how long a run took is no part of what is shown.
fn timeless(line: &str) -> String {
    let seconds = line
        .strip_suffix(" s")
        .and_then(|l| l.rsplit_once(" in "))
        .filter(|(_, n)| n.parse::<f64>().is_ok());
    match seconds {
        Some((said, _)) => format!("{said} in 0.0 s"),
        None => line.to_string(),
    }
}

/// The exported letters, with the names of their columns.
struct Export(Vec<Vec<String>>);

impl Export {
    fn of(bench: &Bench) -> Export {
        let text = bench.run("puncheon tables export").text;
        let cells = |l: &str| l.split('\t').map(str::to_string).collect();
        Export(text.lines().map(cells).collect())
    }

    fn column(&self, name: &str) -> usize {
        let at = self.0[0].iter().position(|n| n == name);
        at.unwrap_or_else(|| panic!("the export has a column {name}"))
    }

    fn records(&self) -> &[Vec<String>] {
        &self.0[1..]
    }
}

/// Stretches of ten years and more whose letters rest on memory alone.
fn memory(export: &Export) -> Vec<String> {
    let [office, year, letter, basis] =
        ["office", "year", "letter", "basis"].map(|c| export.column(c));
    let mut runs: BTreeMap<&str, Vec<(i32, i32)>> = BTreeMap::new();
    for r in export.records() {
        if r[letter].is_empty() || r[basis] != "memory" {
            continue;
        }
        let y: i32 = r[year].parse().expect("a year");
        let runs = runs.entry(&r[office]).or_default();
        match runs.last_mut() {
            Some((_, to)) if y - *to <= 1 => *to = y,
            _ => runs.push((y, y)),
        }
    }
    runs.into_iter()
        .filter_map(|(name, runs)| {
            let long: Vec<String> = runs
                .iter()
                .filter(|(from, to)| to - from >= 9)
                .map(|(from, to)| format!("{from}-{to}"))
                .collect();
            (!long.is_empty()).then(|| format!("{name:<11} {}", long.join(", ")))
        })
        .collect()
}

/// How many letters rest on what, and how much about them is known.
fn figures(export: &Export) -> Vec<String> {
    let column = |name: &str| export.column(name);
    let records = export.records();
    let (office, letter) = (column("office"), column("letter"));
    let (basis, sure) = (column("basis"), column("confidence"));
    let heads = ["published", "both", "memory", "high", "medium", "low"];
    let mut out = vec![format!(
        "{:<11}{:>8}{:>10}{:>6}{:>8}{:>6}{:>8}{:>5}",
        "office", "letters", heads[0], heads[1], heads[2], heads[3], heads[4], heads[5]
    )];
    let mut line = |name: &str, of: &[&Vec<String>], share: bool| {
        let total = of.len();
        let count = |col: usize, word: &str| {
            let n = of.iter().filter(|r| r[col] == word).count();
            if share { format!("{}%", (n * 100 + total / 2) / total.max(1)) } else { n.to_string() }
        };
        let [p, b, m] = [heads[0], heads[1], heads[2]].map(|w| count(basis, w));
        let [h, d, l] = [heads[3], heads[4], heads[5]].map(|w| count(sure, w));
        let all = if share { "100%".to_string() } else { total.to_string() };
        out.push(format!("{name:<11}{all:>8}{p:>10}{b:>6}{m:>8}{h:>6}{d:>8}{l:>5}"));
    };
    let known: Vec<&Vec<String>> = records.iter().filter(|r| !r[letter].is_empty()).collect();
    let mut by_office: BTreeMap<&str, Vec<&Vec<String>>> = BTreeMap::new();
    for r in &known {
        by_office.entry(&r[office]).or_default().push(r);
    }
    for (name, of) in &by_office {
        line(name, of, false);
    }
    line("all", &known, false);
    line("share", &known, true);
    out.push(String::new());
    let n = known.len();
    let lacking = |name: &str| {
        let c = column(name);
        known.iter().filter(|r| r[c].is_empty()).count()
    };
    out.push(format!("office-years whose letter is not known: {}", records.len() - n));
    for (what, name) in [
        ("lettering", "lettering"),
        ("case", "case"),
        ("outline on silver", "outline_silver"),
        ("outline on gold", "outline_gold"),
        ("first day", "begins"),
        ("source", "sources"),
    ] {
        let miss = lacking(name);
        out.push(format!(
            "letters without a known {what}: {miss} of {n}, {}%",
            (miss * 100 + n / 2) / n.max(1)
        ));
    }
    out
}

/// The document's blocks with what the program says now.
fn replayed(name: &str, text: &str) -> Vec<Block> {
    let mut blocks = blocks(name, text);
    let live = |b: &Block| b.info.as_deref().is_some_and(|i| i != "sh");
    if !blocks.iter().any(live) {
        return blocks;
    }
    let bench = Bench::new(name);
    for b in &mut blocks {
        match b.info.as_deref() {
            Some("console") => {
                b.lines = session(&b.lines, |line| bench.run(line).text);
                let refused = b.lines.iter().find(|l| l.contains("unexpected argument"));
                assert!(refused.is_none(), "{name}: a command shown is misuse: {:?}", b.lines);
            }
            #[cfg(unix)]
            Some("console unix") => b.lines = session(&b.lines, |line| bench.shell(line)),
            Some(info) if file_of(info).is_some() => {
                let (kind, file) = file_of(info).expect("a file is named");
                match kind {
                    "xlsx" => bench.lay_workbook(file, &b.lines),
                    _ => bench.lay(file, &format!("{}\n", b.lines.join("\n"))),
                }
            }
            Some("text figures") => b.lines = figures(&Export::of(&bench)),
            Some(info) if info.starts_with("text trace ") => b.lines = stage(info),
            Some("text memory") => b.lines = memory(&Export::of(&bench)),
            Some("ron") => {
                let first = b.lines.first().map_or("", String::as_str);
                if let Some(file) = first.strip_prefix("// ").filter(|f| f.ends_with(".ron")) {
                    bench.lay(file, &format!("{}\n", b.lines.join("\n")));
                }
            }
            Some("diff") => bench.change(b),
            _ => {}
        }
    }
    blocks
}

#[test]
fn what_is_shown_is_what_comes_out() {
    let mut wrong = String::new();
    for (name, text) in documents() {
        for (was, now) in blocks(name, text).iter().zip(replayed(name, text)) {
            if was.lines != now.lines {
                let _ = writeln!(
                    wrong,
                    "{name} shows\n{}\nbut it is now\n{}\n",
                    was.lines.join("\n"),
                    now.lines.join("\n")
                );
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{wrong}PUNCHEON_UPDATE_DOCS=1 cargo test --test docs writes them anew; read the difference"
    );
}

/// The glossary's drawings are those of the program.
#[test]
fn the_glossary_shows_the_program_s_drawings() {
    let tables = puncheon::Tables::builtin();
    let drawn = puncheon_draw::outlines(tables, &puncheon::outlines::outlines(tables));
    let file = root().join("docs/outlines.svg");
    if env::var_os("PUNCHEON_UPDATE_DOCS").is_some_and(|v| v == "1") {
        fs::write(&file, &drawn).expect("the drawing is written");
    }
    let kept = fs::read_to_string(&file).expect("the drawing is there");
    assert!(
        kept == drawn,
        "docs/outlines.svg is not what is drawn now\nPUNCHEON_UPDATE_DOCS=1 cargo test --test docs writes it anew; look at it"
    );
    let glossary = documents().iter().find(|d| d.0 == "docs/glossary.md");
    let shown = glossary.is_some_and(|d| d.1.contains("](outlines.svg)"));
    assert!(shown, "the glossary shows the outlines");
}

/// So many commands stand in running text, and so many options are named, each document's apart.
const COMMANDS_IN_TEXT: usize = 18;
const OPTIONS_NAMED: usize = 95;

/// Command lines that stand in running text or in a reader's own shell.
fn quoted_commands(name: &str, text: &str) -> Vec<String> {
    let mut out = Vec::new();
    for b in blocks(name, text) {
        match b.info.as_deref() {
            None => {
                let prose = b.lines.join("\n");
                let spans = prose.split('`').skip(1).step_by(2);
                out.extend(
                    spans.filter(|s| s.starts_with("puncheon ")).map(|s| s.replace('\n', " ")),
                );
            }
            Some("sh") => out.extend(
                b.lines
                    .iter()
                    .filter_map(|l| l.split_once("--bin puncheon -- "))
                    .map(|(_, rest)| format!("puncheon {rest}")),
            ),
            _ => {}
        }
    }
    out
}

#[test]
fn commands_in_running_text_are_understood() {
    let (commands, _) = help();
    let bench = Bench::new("running-text");
    let mut tried = 0;
    for (name, text) in documents() {
        for line in quoted_commands(name, text) {
            let first = line.split(' ').nth(1).unwrap_or_default();
            // "puncheon read …" only names a command; so does "puncheon why MARKS".
            let blank = line.contains('…') || line.contains("MARKS") || line.contains("DIR");
            if blank && commands.contains(first) {
                continue;
            }
            tried += 1;
            let said = bench.run(&line);
            assert!(
                matches!(said.code, Some(0 | 1)),
                "{name} says `{line}`, which is refused:\n{}",
                said.text
            );
        }
    }
    assert!(tried >= COMMANDS_IN_TEXT, "{tried} commands were found in running text");
}

/// Every command and every option the program's help knows.
fn help() -> &'static (BTreeSet<String>, BTreeSet<String>) {
    static HELP: OnceLock<(BTreeSet<String>, BTreeSet<String>)> = OnceLock::new();
    HELP.get_or_init(ask_for_help)
}

fn ask_for_help() -> (BTreeSet<String>, BTreeSet<String>) {
    let bench = Bench::new("help");
    let (mut commands, mut options) = (BTreeSet::new(), BTreeSet::new());
    let mut ask: Vec<Vec<String>> = vec![Vec::new()];
    while let Some(path) = ask.pop() {
        let mut words = path.clone();
        words.push("--help".into());
        let text = bench.puncheon(&words, &[], "").text;
        options.extend(options_in(&text));
        let listed =
            text.lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
        for line in listed {
            // A wrapped description stands further in.
            if let Some(name) = line.strip_prefix("  ").filter(|l| !l.starts_with(' ')) {
                let name = name.split(' ').next().unwrap_or_default().to_string();
                ask.push([path.clone(), vec![name.clone()]].concat());
                commands.insert(name);
            }
        }
    }
    (commands, options)
}

fn options_in(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !(c.is_ascii_lowercase() || c == '-'))
        .filter(|w| w.starts_with("--") && w.len() > 3 && !w.starts_with("---"))
        .map(|w| w.trim_end_matches('-').to_string())
        .collect()
}

#[test]
fn options_named_exist() {
    let (_, options) = help();
    let mut found = 0;
    for (name, text) in documents() {
        let named: String = blocks(name, text)
            .iter()
            .filter(|b| b.info.as_deref() != Some("sh"))
            .map(|b| {
                // Options of cargo are cargo's.
                let lines = b.lines.join("\n");
                let spans = lines.split('`').enumerate();
                spans
                    .filter(|(i, s)| i % 2 == 0 || !s.contains("cargo "))
                    .map(|(_, s)| format!("{s} "))
                    .collect::<String>()
            })
            .collect();
        for o in options_in(&named) {
            assert!(options.contains(&o), "{name} names {o}, which no help knows");
            found += 1;
        }
    }
    assert!(found >= OPTIONS_NAMED, "{found} options were found in the documents");
}

/// Paths below the top-level folders, as they stand in a text.
fn paths_in(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !(c.is_ascii_alphanumeric() || "_-./*".contains(c)))
        .map(|w| w.trim_end_matches(['.', '-']))
        .filter(|w| FOLDERS.iter().any(|f| w.starts_with(f)))
        .map(str::to_string)
        .collect()
}

fn exists(path: &Path) -> bool {
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
    let Some((before, after)) = name.split_once('*') else {
        return path.exists();
    };
    let folder = path.parent().expect("a path below the top has a parent");
    fs::read_dir(folder).is_ok_and(|mut d| {
        d.any(|e| {
            e.is_ok_and(|e| {
                let n = e.file_name().to_string_lossy().into_owned();
                n.starts_with(before) && n.ends_with(after)
            })
        })
    })
}

#[test]
fn paths_and_links_lead_somewhere() {
    let mut lost = Vec::new();
    for (name, text) in documents() {
        for p in paths_in(text) {
            if !exists(&root().join(&p)) {
                lost.push(format!("{name} names {p}, which does not exist"));
            }
        }
        let folder = root().join(name);
        let folder = folder.parent().expect("a document stands in a folder");
        for b in blocks(name, text).iter().filter(|b| b.info.is_none()) {
            let prose = b.lines.join("\n");
            for link in prose.split("](").skip(1) {
                let target = link.split([')', '#']).next().unwrap_or_default();
                if !target.is_empty() && !exists(&folder.join(target)) {
                    lost.push(format!("{name} links to {target}, which does not exist"));
                }
            }
        }
    }
    assert!(lost.is_empty(), "{}", lost.join("\n"));
}

#[test]
fn each_document_is_reached_from_the_readme() {
    let readme = fs::read_to_string(root().join("README.md")).expect("the README");
    let links: BTreeSet<&str> =
        readme.split("](").skip(1).filter_map(|l| l.split([')', '#']).next()).collect();
    for (name, _) in documents() {
        assert!(
            name == "README.md" || links.contains(name.as_str()),
            "README.md does not link to {name}"
        );
    }
}
