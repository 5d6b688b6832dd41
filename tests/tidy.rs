//! The conventions of the repository, held by a test instead of a reviewer.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use puncheon::schema::Entries;
use puncheon::schema::entry::Meaning;

static ROOT: LazyLock<PathBuf> = LazyLock::new(|| {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.parent().expect("tests/ lies in the repository").to_path_buf()
});

static ENTRIES: LazyLock<Entries> = LazyLock::new(|| {
    let files = puncheon::ron_files(&ROOT.join("tables")).expect("tables/ can be read");
    let (entries, problems) = Entries::read(files.iter().map(|(f, t)| (f.as_str(), t.as_str())));
    assert!(problems.is_empty(), "{problems:?}");
    entries
});

/// Every file below a folder, without links, build output and what git keeps.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut next = vec![folder.to_path_buf()];
    while let Some(folder) = next.pop() {
        let Ok(entries) = fs::read_dir(&folder) else {
            continue;
        };
        for path in entries.flatten().map(|e| e.path()) {
            let name = path.file_name().unwrap_or_default();
            if path.is_symlink() || name == "target" || name == ".git" {
                continue;
            }
            if path.is_dir() {
                next.push(path);
            } else {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}

fn with_extension(folder: &str, extension: &str) -> Vec<PathBuf> {
    let mut v = files(&ROOT.join(folder));
    v.retain(|p| p.extension().is_some_and(|e| e == extension));
    v
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A path as a person names it: from the top of the repository.
fn shown(path: &Path) -> String {
    path.strip_prefix(&*ROOT).unwrap_or(path).to_string_lossy().replace('\\', "/")
}

fn sources() -> Vec<PathBuf> {
    let mut v = with_extension("crates", "rs");
    assert!(v.len() > 50, "{} sources in crates/", v.len());
    v.extend(with_extension("tests", "rs"));
    v
}

fn none(wrong: &[String], remedy: &str) {
    assert!(wrong.is_empty(), "{remedy}:\n{}", wrong.join("\n"));
}

// ---- Files and folders --------------------------------------------------------------------------

/// A property test run without the shared settings would make a folder here; so would a stray file.
#[test]
fn the_top_level_holds_what_it_should_and_nothing_else() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "crates",
        "tables",
        "tests",
        "docs",
        "target",
    ];
    let wrong: Vec<String> = fs::read_dir(&*ROOT)
        .expect("the repository can be listed")
        .flatten()
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .filter(|n| {
            !allowed.contains(&n.as_str()) && !n.starts_with('.') && !n.starts_with("LICENSE")
        })
        .collect();
    none(&wrong, "move these below crates, tables, tests or docs");
    for needed in ["Cargo.toml", "Cargo.lock", "README.md", "crates", "tables", "tests", "docs"] {
        assert!(ROOT.join(needed).exists(), "{needed} is missing");
    }
}

#[test]
fn the_tables_crate_reaches_the_tables_through_a_link() {
    let link = ROOT.join("crates/puncheon-tables/tables");
    let is_link =
        link.is_symlink() && fs::read_link(&link).is_ok_and(|to| to == Path::new("../../tables"));
    assert!(
        is_link,
        "crates/puncheon-tables/tables must be a symbolic link to ../../tables. It has become a plain file or \
         folder, as happens where links are not kept. Where links work: remove it and run \
         `ln -s ../../tables crates/puncheon-tables/tables`. On Windows: turn on developer mode, run \
         `git config core.symlinks true` and check the file out again; or copy the folder tables/ there for a \
         local build, and never commit the copy."
    );
    assert!(link.join("offices").is_dir(), "the link leads nowhere");
}

#[test]
fn lines_end_in_a_line_feed_alone() {
    let mut all: Vec<PathBuf> = ["ron", "md", "svg", "tsv", "csv"]
        .iter()
        .flat_map(|e| with_extension("tables", e).into_iter().chain(with_extension("docs", e)))
        .collect();
    all.extend(with_extension("tests", "snap"));
    all.extend(sources());
    all.extend(
        ["README.md", "DEVELOPERS.md"].map(|f| ROOT.join(f)).into_iter().filter(|p| p.exists()),
    );
    let bytes = |p: &PathBuf| fs::read(p).unwrap_or_default();
    let wrong: Vec<String> =
        all.iter().filter(|p| bytes(p).contains(&b'\r')).map(|p| shown(p)).collect();
    none(&wrong, "these hold carriage returns; write them with line feeds alone");
    let wrong: Vec<String> = all
        .iter()
        .filter(|p| p.extension().is_none_or(|e| e != "snap"))
        .filter(|p| bytes(p).last().is_some_and(|b| *b != b'\n'))
        .map(|p| shown(p))
        .collect();
    none(&wrong, "these do not end in a line feed");
}

/// Bytes that RON or a reader would take for something else.
#[test]
fn tables_are_plain_text() {
    let tables = with_extension("tables", "ron");
    assert!(tables.len() > 50, "{} tables", tables.len());
    let wrong: Vec<String> = tables
        .iter()
        .filter(|p| text(p).contains(['\t', '\u{feff}', '\u{a0}', '\u{200b}']))
        .map(|p| shown(p))
        .collect();
    none(&wrong, "these hold tabs, byte-order marks, no-break or zero-width spaces");
}

// ---- Source -------------------------------------------------------------------------------------

#[test]
fn every_source_file_says_what_it_is_for() {
    let wrong: Vec<String> =
        sources().iter().filter(|p| !text(p).starts_with("//! ")).map(|p| shown(p)).collect();
    none(&wrong, "begin these with a module doc, //!");
}

#[test]
fn there_is_no_unsafe_code() {
    let mut wrong = Vec::new();
    for p in sources() {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        let code = Lexed::of(&text(&p)).code;
        if code.split(|c| !is_word(c)).any(|w| w == "unsafe") {
            wrong.push(shown(&p));
        }
    }
    none(&wrong, "write these without unsafe");
    let workspace = text(&ROOT.join("Cargo.toml"));
    assert!(
        workspace.contains("unsafe_code = \"forbid\""),
        "the lint unsafe_code is no longer forbidden"
    );
    let files = with_extension("crates", "toml").into_iter().chain(with_extension("tests", "toml"));
    for manifest in files.filter(|p| p.ends_with("Cargo.toml")) {
        let manifest_text = text(&manifest);
        assert!(
            manifest_text.contains("[lints]\nworkspace = true"),
            "{} does not take the workspace's lints",
            shown(&manifest)
        );
    }
}

/// A source file taken apart: its code without comments and strings, and its strings with the line
/// each begins on.
struct Lexed {
    code: String,
    strings: Vec<(usize, String)>,
}

impl Lexed {
    fn of(source: &str) -> Lexed {
        let c: Vec<char> = source.chars().collect();
        let (mut code, mut strings) = (String::new(), Vec::new());
        let (mut i, mut line) = (0, 1);
        let starts =
            |i: usize, s: &str| s.chars().enumerate().all(|(k, x)| c.get(i + k) == Some(&x));
        while i < c.len() {
            let from = i;
            if starts(i, "//") {
                while i < c.len() && c[i] != '\n' {
                    i += 1;
                }
            } else if starts(i, "/*") {
                let mut depth = 1;
                i += 2;
                while i < c.len() && depth > 0 {
                    if starts(i, "/*") {
                        depth += 1;
                        i += 1;
                    } else if starts(i, "*/") {
                        depth -= 1;
                        i += 1;
                    }
                    i += 1;
                }
            } else if let Some(hashes) = raw_string(&c, i) {
                let open = i + 1 + hashes + 1;
                let close: String =
                    std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
                i = open;
                while i < c.len() && !starts(i, &close) {
                    i += 1;
                }
                strings.push((line, c[open..i.min(c.len())].iter().collect()));
                i += close.len();
            } else if c[i] == '"' {
                i += 1;
                while i < c.len() && c[i] != '"' {
                    i += 1 + usize::from(c[i] == '\\');
                }
                strings.push((line, c[from + 1..i.min(c.len())].iter().collect()));
                i += 1;
            } else if c[i] == '\'' && (c.get(i + 1) == Some(&'\\') || c.get(i + 2) == Some(&'\'')) {
                // A character, not a lifetime.
                i += 2;
                while i < c.len() && c[i] != '\'' {
                    i += 1;
                }
                i += 1;
            } else {
                code.push(c[i]);
                i += 1;
            }
            let taken = &c[from..i.min(c.len())];
            line += taken.iter().filter(|x| **x == '\n').count();
            if taken.len() > 1 {
                code.push(' ');
            }
        }
        Lexed { code, strings }
    }
}

/// The number of hashes of a raw string that begins at `i`.
fn raw_string(c: &[char], i: usize) -> Option<usize> {
    let word_before = i > 0 && (c[i - 1].is_alphanumeric() || c[i - 1] == '_');
    if c[i] != 'r' || word_before {
        return None;
    }
    let hashes = c[i + 1..].iter().take_while(|x| **x == '#').count();
    (c.get(i + 1 + hashes) == Some(&'"')).then_some(hashes)
}

#[test]
fn the_lexer_of_this_file_works() {
    let l = Lexed::of(
        "//! \"no\"\nlet a = 'x'; /* \"no\" */ f::<'a>(\"yes \\\" it\", r#\"raw \"too\"\"#);\n\"third\"",
    );
    let strings: Vec<(usize, &str)> = l.strings.iter().map(|(n, s)| (*n, s.as_str())).collect();
    assert_eq!(strings, [(2, "yes \\\" it"), (2, "raw \"too\""), (3, "third")]);
    assert!(!l.code.contains("no") && !l.code.contains("raw"), "{}", l.code);
}

/// Names that the tables own: offices, devices, letterings, sovereigns and towns. Other words of the
/// vocabulary may be said, and the test `words` looks at those that are read.
fn names() -> BTreeSet<String> {
    let e = &*ENTRIES;
    let mut out: BTreeSet<String> = BTreeSet::new();
    let mut add = |s: &str| {
        out.insert(s.to_lowercase().replace('-', " "));
    };
    for o in &e.offices {
        add(&o.entry.id);
        add(&o.entry.name);
    }
    for d in &e.devices {
        add(&d.entry.id);
        add(&d.entry.name);
    }
    for l in &e.letterings {
        add(&l.entry.id);
        add(&l.entry.name);
    }
    for r in &e.reigns {
        add(&r.entry.id);
        add(&r.entry.name);
    }
    for l in &e.lookalikes {
        if let Some(town) = &l.entry.town {
            add(town);
        }
    }
    for w in &e.words {
        if let Meaning::Town(_) = &w.entry.means {
            w.entry.say.iter().for_each(|s| add(s));
        }
    }
    out
}

/// A format string without its `{…}`.
fn without_placeholders(s: &str) -> String {
    let mut depth = 0;
    s.chars()
        .filter(|c| {
            depth += i32::from(*c == '{');
            let inside = depth > 0;
            depth -= i32::from(*c == '}');
            !inside
        })
        .collect()
}

/// Strings in crates/ that may hold a name of the trade, each with its reason. A string is known by
/// its file and a part of it.
const MAY_NAME: [(&str, &str, &str); 6] = [
    (
        "crates/puncheon-cli/src/args/mod.rs",
        "puncheon read anchor",
        "an example to type, in the help",
    ),
    (
        "crates/puncheon-cli/src/view/reading.rs",
        "Describe the pictures",
        "what to describe, where nothing was understood",
    ),
    (
        "crates/puncheon-schema/src/letters.rs",
        "write A, a, A/a, A7",
        "the notation of a symbol, in an error",
    ),
    (
        "crates/puncheon-schema/src/entry/name.rs",
        "a bare name such as",
        "an example of a bare name, in an error",
    ),
    ("crates/puncheon-draw/src/svg.rs", "text-anchor", "an attribute of SVG"),
    (
        "crates/puncheon-draw/src/svg.rs",
        "font-family",
        "a family of fonts by its general name, as SVG calls it",
    ),
];

/// Data decides: what the tables name, the code does not.
#[test]
fn the_code_names_nothing_of_the_trade() {
    let names = names();
    let longest = names.iter().map(|n| n.split(' ').count()).max().unwrap_or(1);
    let mut wrong = Vec::new();
    for p in with_extension("crates", "rs") {
        let path = shown(&p);
        if !path.contains("/src/") {
            continue;
        }
        let whole = text(&p);
        // Unit tests may use examples, and so may a file that is theirs alone.
        let source = whole.split("[cfg(test)]").next().unwrap_or_default();
        for (line, string) in Lexed::of(source).strings {
            if MAY_NAME.iter().any(|(file, part, _)| *file == path && string.contains(part)) {
                continue;
            }
            let words: Vec<String> = without_placeholders(&string)
                .to_lowercase()
                .split(|c: char| !c.is_alphanumeric() && c != '\'')
                .filter(|w| !w.is_empty())
                .map(str::to_string)
                .collect();
            let found = (0..words.len())
                .flat_map(|i| (i + 1..=words.len().min(i + longest)).map(move |j| (i, j)))
                .map(|(i, j)| words[i..j].join(" "))
                .find(|phrase| names.contains(phrase));
            if let Some(name) = found {
                wrong.push(format!("{path}:{line}: {name:?} in {string:?}"));
            }
        }
    }
    none(&wrong, "leave these names to tables/");
}

#[test]
fn every_exception_is_still_needed() {
    for (file, part, why) in MAY_NAME {
        let strings = Lexed::of(&text(&ROOT.join(file))).strings;
        assert!(
            strings.iter().any(|(_, s)| s.contains(part)),
            "{file} no longer holds {part:?} ({why}); drop the exception"
        );
    }
}

// ---- Answers in values --------------------------------------------------------------------------

/// How often files of the engine still make text (a macro that writes it, a string of three words or
/// more) or name the folders above them that do. A number here may only fall.
const STILL_SAID: &[(&str, usize)] = &[];

#[test]
fn the_engine_answers_in_values() {
    let folder = "crates/puncheon-engine/src";
    let word = |c: char| c.is_alphanumeric() || c == '_';
    let mut wrong = Vec::new();
    for p in with_extension(folder, "rs") {
        let source = text(&p);
        let Lexed { code, strings } = Lexed::of(&source);
        let made = ["format!", "write!", "writeln!"].map(|m| code.matches(m).count());
        let above = ["voice::", "json::"].map(|m| {
            let named = code.match_indices(m).filter(|(at, _)| !code[..*at].ends_with(word));
            named.count()
        });
        let said = strings.iter().filter(|(_, s)| s.trim().split(' ').count() > 2).count();
        let found = made.into_iter().chain(above).sum::<usize>() + said;
        let path = shown(&p);
        let allowed = STILL_SAID.iter().find(|(file, _)| path.ends_with(file)).map_or(0, |f| f.1);
        if found > allowed {
            wrong.push(format!("{path}: {found}, may be {allowed}"));
        }
    }
    none(&wrong, "leave sentences to voice/ and shapes that are printed to json/");
    for (file, _) in STILL_SAID {
        let path = ROOT.join(folder).join(file);
        assert!(path.exists(), "{file} is gone; drop its number");
    }
}

// ---- Documents ----------------------------------------------------------------------------------

/// Targets of the links of a page, without what leads outside the repository.
fn links(page: &Path) -> Vec<String> {
    let mut code = false;
    let mut out = Vec::new();
    for line in text(page).lines() {
        if line.trim_start().starts_with("```") {
            code = !code;
        }
        if code {
            continue;
        }
        for after in line.split("](").skip(1) {
            let target = after.split([')', ' ']).next().unwrap_or_default();
            let file = target.split('#').next().unwrap_or_default();
            if !file.is_empty() && !target.contains("://") && !target.starts_with("mailto:") {
                out.push(file.to_string());
            }
        }
    }
    out
}

fn pages() -> Vec<PathBuf> {
    let mut v = with_extension("docs", "md");
    v.extend(
        ["README.md", "DEVELOPERS.md"].map(|f| ROOT.join(f)).into_iter().filter(|p| p.exists()),
    );
    v
}

fn led_to(page: &Path, target: &str) -> PathBuf {
    let mut out = page.parent().unwrap_or(page).to_path_buf();
    for part in target.split('/') {
        match part {
            "." | "" => {}
            ".." => {
                out.pop();
            }
            p => out.push(p),
        }
    }
    out
}

#[test]
fn every_link_leads_to_a_file() {
    let mut wrong = Vec::new();
    for page in pages() {
        for target in links(&page) {
            if !led_to(&page, &target).exists() {
                wrong.push(format!("{}: {target}", shown(&page)));
            }
        }
    }
    none(&wrong, "these links lead nowhere");
}

#[test]
fn every_page_can_be_reached_from_another() {
    let linked: BTreeSet<PathBuf> = pages()
        .iter()
        .flat_map(|page| {
            links(page)
                .into_iter()
                .map(|t| led_to(page, &t))
                .filter(|to| to != page)
                .collect::<Vec<_>>()
        })
        .collect();
    let wrong: Vec<String> = with_extension("docs", "md")
        .iter()
        .filter(|p| !linked.contains(*p))
        .map(|p| shown(p))
        .collect();
    none(&wrong, "link these from README.md, DEVELOPERS.md or another page");
}

// ---- Counts -------------------------------------------------------------------------------------

/// Letters in the tables, office by office: known and unknown years and rivals together.
const LETTERS: [(&str, usize); 11] = [
    ("birmingham", 254),
    ("chester", 283),
    ("dublin", 393),
    ("edinburgh", 349),
    ("exeter", 181),
    ("glasgow", 186),
    ("london", 550),
    ("newcastle", 176),
    ("norwich", 137),
    ("sheffield", 256),
    ("york", 242),
];

#[test]
fn nothing_has_dropped_out_of_the_tables() {
    let e = &*ENTRIES;
    let offices: BTreeSet<&str> = e.offices.iter().map(|f| f.entry.id.as_str()).collect();
    assert_eq!(offices.len(), 11, "{offices:?}");
    let image = puncheon::Tables::builtin().image();
    let letters = |office: &str| {
        (0..image.meta(puncheon::schema::image::Meta::Letters))
            .map(|i| image.letter(i))
            .filter(|l| image.office(l.office()).id() == office)
            .count()
    };
    let mut lost = Vec::new();
    let mut at_least = |what: &str, least: usize, n: usize| {
        if n < least {
            lost.push(format!("{what}: {n}, were {least}"));
        }
    };
    for (office, least) in LETTERS {
        at_least(office, least, letters(office));
    }
    let words: usize = e
        .words
        .iter()
        .map(|f| f.entry.say.len() + f.entry.slips.len() + f.entry.capitals.len())
        .sum();
    for (what, least, n) in [
        ("sources", 211, e.sources.len()),
        ("devices", 350, e.devices.len()),
        ("letterings", 8, e.letterings.len()),
        ("outlines", 27, e.outlines.len()),
        ("standards", 23, e.standards.len()),
        ("regimes", 153, e.regimes.len()),
        ("shared marks", 52, e.marks.len()),
        ("offices' own marks", 49, e.offices.iter().map(|f| f.entry.marks.len()).sum()),
        ("lookalikes", 171, e.lookalikes.len()),
        ("reigns", 34, e.reigns.len()),
        ("cautions", 45, e.cautions.len()),
        (
            "disputes",
            102,
            e.disputes.len() + e.offices.iter().map(|f| f.entry.disputes.len()).sum::<usize>(),
        ),
        ("phrases", 25000, words),
        ("rows", 19000, image.meta(puncheon::schema::image::Meta::Rows)),
    ] {
        at_least(what, least, n);
    }
    none(&lost, "fewer than before; if that is meant, say so here");
}
