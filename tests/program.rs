//! The program as a person runs it: child processes, text snapshots, exit codes.

use std::io::{Read, Write};
use std::process::{Command, Stdio};

use puncheon_tests::{Ran, run};

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

fn puncheon(args: &[&str]) -> Ran {
    run(PUNCHEON, args, "")
}

/// What a run printed, with its exit code and what went to standard error.
fn screen(args: &[&str]) -> String {
    puncheon(args).screen()
}

/// Runs in a terminal of some width, as far as COLUMNS tells.
fn wide(columns: &str, args: &[&str]) -> String {
    let out = Command::new(PUNCHEON)
        .args(args)
        .env_clear()
        .env("COLUMNS", columns)
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    String::from_utf8(out.stdout).expect("output is UTF-8")
}

#[test]
fn the_main_job() {
    insta::assert_snapshot!(screen(&["read", "anchor, lion passant, small roman f, king's head"]));
}

#[test]
fn several_years_of_one_office() {
    insta::assert_snapshot!(screen(&["read", "anchor, lion passant, small k"]));
}

#[test]
fn several_offices() {
    insta::assert_snapshot!(screen(&["read", "lion passant, leopard's head, worn gothic n or h"]));
}

#[test]
fn no_letter_read() {
    insta::assert_snapshot!(screen(&["read", "three castles, lion passant, king's head"]));
}

#[test]
fn marks_that_cannot_stand_together() {
    insta::assert_snapshot!(screen(&["read", "anchor, leopard's head, lion passant, f"]));
}

#[test]
fn only_with_a_misreading() {
    insta::assert_snapshot!(screen(&[
        "read",
        "anchor, lion passant, capital gothic j, king's head"
    ]));
}

#[test]
fn what_is_no_hallmark() {
    for (name, words) in [
        ("electroplate", "EPNS"),
        ("a_foreign_fineness", "830S"),
        ("a_town_without_letters", "Perth town mark"),
        ("sterling_alone", "STERLING"),
        ("a_maker_alone", "HB in script"),
        ("nothing_at_all", ""),
        ("a_date_and_a_town", "London 1803"),
    ] {
        insta::assert_snapshot!(name, screen(&["read", words]));
    }
}

#[test]
fn words_not_understood_are_shown_in_place() {
    insta::assert_snapshot!(screen(&["read", "anchr, lion pasant, small roman f, wobbly thing"]));
}

#[test]
fn two_pieces_are_read_apart() {
    insta::assert_snapshot!(screen(&[
        "read",
        "cup: anchor, lion passant, f; lid: leopard's head, lion passant, k"
    ]));
}

/// Parts, objects, words that are not known and figures label sets of marks; one alone labels none, and
/// marks that fit together are never parted.
#[test]
fn sets_are_labelled_by_name_or_figure() {
    for (labels, marks) in [
        (["spoon", "fork"], "spoon: anchor, lion, b; fork: crown, lion, F"),
        (["wobbler", "lid"], "wobbler: anchor, lion, b; lid: crown, lion, F"),
        (["1", "2"], "1) anchor, lion, b; 2) crown, lion, F"),
        (["1", "2"], "(1) anchor, lion, b; (2) crown, lion, F"),
    ] {
        let out = puncheon(&["read", marks]).out;
        assert!(out.starts_with("Two sets of marks"), "{marks}: {out}");
        for label in labels {
            assert!(out.contains(&format!("\n  {label} ")), "{marks}: {out}");
        }
        assert!(!out.contains("not understood"), "{out}");
    }
    for marks in [
        "jug: anchor, lion passant, small roman f, king's head",
        "1) anchor; 2) lion passant; 3) small roman f; 4) king's head",
        "Object: jug; Place: drawer; Marks: anchor, lion passant, small roman f, king's head",
    ] {
        let out = puncheon(&["read", marks]).out;
        assert!(out.starts_with("Birmingham 1803/04"), "{marks}: {out}");
    }
}

#[test]
fn one_line_each() {
    insta::assert_snapshot!(screen(&[
        "read",
        "--brief",
        "--each",
        "anchor, lion passant, small roman f, king's head",
        "anchor, leopard's head",
        "EPNS",
        "nonsense"
    ]));
}

#[test]
fn narrow_terminals_get_lines() {
    for columns in ["80", "58", "40"] {
        let out = wide(columns, &["read", "castle, thistle, small m"]);
        let most: usize = columns.parse().expect("a number");
        for line in out.lines() {
            assert!(line.chars().count() <= most, "{columns} columns: {line:?}");
        }
        insta::assert_snapshot!(format!("columns_{columns}"), out);
    }
}

#[test]
fn colour_only_adds() {
    let plain = puncheon(&["read", "--color", "never", "anchor, lion passant, k"]).out;
    let coloured = puncheon(&["read", "--color", "always", "anchor, lion passant, k"]).out;
    assert_ne!(plain, coloured);
    let mut stripped = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        stripped.push_str(before);
        rest = after.split_once('m').map_or("", |(_, r)| r);
    }
    stripped.push_str(rest);
    assert_eq!(plain, stripped);
}

#[test]
fn each_fact_with_its_source() {
    insta::assert_snapshot!(screen(&[
        "why",
        "anchor, lion passant, capital f, no duty mark",
        "--office",
        "birmingham",
        "--year",
        "1803"
    ]));
    insta::assert_snapshot!(
        "why_of_a_year_without_letters",
        screen(&["why", "anchor", "--office", "chester", "--year", "1970"])
    );
}

#[test]
fn tables_are_listed_shown_and_verified() {
    insta::assert_snapshot!("tables_list", screen(&["tables", "list"]));
    insta::assert_snapshot!("tables_show", screen(&["tables", "show", "norwich"]));
    insta::assert_snapshot!("tables_verify", screen(&["tables", "verify"]));
}

#[test]
fn mistakes_say_what_would_work() {
    for (name, args) in [
        ("bare", &[][..]),
        ("unknown_option", &["read", "--colour", "anchor"]),
        ("marks_without_a_command", &["anchor", "lion", "k"]),
        ("unknown_office", &["read", "--office", "bristol", "anchor"]),
        ("bad_years", &["read", "--between", "1820..1780", "anchor"]),
        ("no_such_folder", &["read", "--tables", "no-such-folder", "anchor"]),
    ] {
        insta::assert_snapshot!(name, screen(args));
    }
}

#[test]
fn options_may_stand_before_or_behind_the_marks() {
    let marks = "lion passant, small roman k, king's head";
    for option in [
        &["--office", "birmingham"][..],
        &["--metal", "gold"],
        &["--between", "1800..1850"],
        &["--complete"],
        &["--all"],
        &["--brief"],
        &["--json"],
        &["--ascii"],
        &["--color", "always"],
    ] {
        let before = puncheon(&[&["read"][..], option, &[marks]].concat());
        let behind = puncheon(&[&["read", marks][..], option].concat());
        assert!(before.code < 2, "{option:?}: {}", before.err);
        assert_eq!(before.out, behind.out, "{option:?}");
    }
}

#[test]
fn a_description_may_begin_with_a_dash() {
    for marks in ["- anchor, lion passant, f", "-anchor, lion passant, f", "-- anchor, f"] {
        let asked = puncheon(&["read", marks, "--json"]);
        assert_eq!(asked.code, 0, "{marks}: {}", asked.err);
        let reading: serde_json::Value = serde_json::from_str(&asked.out).expect("JSON");
        assert_eq!(reading["asked"], marks);
        let piped = run(PUNCHEON, &["read", "--json"], &format!("{marks}\n"));
        assert_eq!(asked.out, piped.out, "{marks}");
    }
}

#[test]
fn a_mark_said_into_a_bracket_is_quoted_with_it() {
    let quoted = "\"king's head (George III)\"";
    let marks = "anchor, lion passant, king's head (George III), f";
    let read = puncheon(&["read", marks]);
    assert!(read.out.contains(quoted), "{}", read.out);
    let why = puncheon(&["why", marks, "--office", "birmingham", "--year", "1803"]);
    assert!(why.out.contains(quoted), "{}", why.out);
    // A bracket round more than the mark is none of its own.
    let read = puncheon(&["read", "anchor, lion passant (king's head), small roman f"]);
    assert!(read.out.contains("\"king's head\""), "{}", read.out);
}

#[test]
fn help_begins_with_an_example() {
    for (name, args) in [
        ("help", &["--help"][..]),
        ("help_read", &["read", "--help"]),
        ("help_why", &["why", "--help"]),
        ("help_tables", &["tables", "--help"]),
    ] {
        insta::assert_snapshot!(name, screen(args));
    }
}

#[test]
fn the_expanded_letters_are_as_reviewed() {
    let r = puncheon(&["tables", "export"]);
    assert_eq!(r.code, 0, "{}", r.err);
    insta::assert_snapshot!("export", r.out);
}

#[test]
fn a_question_is_answered_before_the_next_is_asked() {
    let mut child = Command::new(PUNCHEON)
        .args(["read", "--brief"])
        .env_clear()
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut ask = child.stdin.take().expect("a pipe");
    let mut answers = child.stdout.take().expect("a pipe");
    for _ in 0..3 {
        ask.write_all(b"anchor, lion passant, small roman f, king's head\n").expect("it listens");
        let mut line = Vec::new();
        let mut byte = [0];
        while byte[0] != b'\n' {
            answers.read_exact(&mut byte).expect("it answers");
            line.push(byte[0]);
        }
        assert!(line.starts_with(b"Birmingham 1803/04"), "{}", String::from_utf8_lossy(&line));
    }
    drop(ask);
    assert!(child.wait().expect("it ends").success());
}

#[test]
fn a_full_disk_is_said() {
    // Only where the system has a device that is always full.
    let Ok(full) = std::fs::OpenOptions::new().write(true).open("/dev/full") else {
        return;
    };
    let done = Command::new(PUNCHEON)
        .args(["tables", "export"])
        .env_clear()
        .stdin(Stdio::null())
        .stdout(full)
        .output()
        .expect("the program starts");
    assert_eq!(done.status.code(), Some(2));
    assert!(!done.stderr.is_empty());
}

/// Sequences that move, colour or rename a terminal, turn its writing round or end its lines.
const STEERING: [&str; 12] = [
    "\u{1b}[2J",
    "\u{1b}[1m",
    "\u{1b}]0;title\u{7}",
    "\u{1b}Pq\u{1b}\\",
    "\u{9b}31m",
    "\u{90}x\u{9c}",
    "\r",
    "\u{8}\u{7f}",
    "\u{202e}",
    "\u{2067}\u{2069}",
    "\u{200f}\u{61c}",
    "\u{2028}\u{fff9}",
];

/// What a terminal shows holds none of them.
fn steers(shown: &str) -> Option<char> {
    let turns = |c| {
        matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}')
            || matches!(c, '\u{2028}' | '\u{2029}' | '\u{2066}'..='\u{2069}' | '\u{fff9}'..='\u{fffb}')
    };
    let mut all = shown.chars();
    all.find(|c| c.is_control() && !"\n\t".contains(*c) || turns(*c))
}

#[test]
fn nothing_that_is_read_steers_the_terminal() {
    let dir = tempfile::tempdir().expect("a folder");
    let at = |name: &str| dir.path().join(name).to_string_lossy().into_owned();
    for (i, s) in STEERING.iter().enumerate() {
        let said = |s: &str| s.to_string();
        // Lines end where they end, so that the reading of the rest is the same.
        let marks = format!("anchor, li{s}on, lion passant, f, wob{s}bly, maker's mark W{s}S");
        let claim = format!("Birmingham 18{s}03");
        let book = at(&format!("bo{s}ok.csv"));
        let row = format!("\"{}\",\"{claim}\",\"no{s}\"\n", marks.replace('"', "\"\""));
        std::fs::write(&book, format!("ma{s}rks,stated,x\n{row}{row}too,many,cells,here\n"))
            .expect("written");
        let terms = at(&format!("te{s}rms.csv"));
        std::fs::write(&terms, format!("no{s}ne,mine\n")).expect("written");
        let torn = at("torn.csv");
        std::fs::write(&torn, format!("o{s}ne\n")).expect("written");
        let list = at("list.csv");
        let words = format!("a sp{s}oon");
        std::fs::write(
            &list,
            format!("number,description,marks,gross\n1,{words},\"{marks}\",30g\n"),
        )
        .expect("written");
        // Tables whose every sentence steers, and tables that cannot be read.
        let (own, bad) = (at(&format!("ta{s}bles{i}")), at(&format!("bad{i}")));
        for folder in [&own, &bad] {
            std::fs::create_dir_all(folder).expect("made");
        }
        let escaped: String = s.chars().map(|c| format!("\\u{{{:x}}}", c as u32)).collect();
        let kin = format!(
            "Lookalikes([(id: \"marmot\", kind: OtherMark, needs: [[\"epns\"]], what: \"a ma{escaped}rmot\", \
             why: \"It is on{escaped}e.\", basis: Memory, confidence: Low)])"
        );
        std::fs::write(format!("{own}/own.ron"), kin).expect("written");
        std::fs::write(format!("{bad}/b{s}ad.ron"), format!("Cyc{s}les([)")).expect("written");
        let register = at("own.csv");
        std::fs::write(&register, format!("struck,names,note\nWS,W{s}alter Sm{s}ith,so{s}ld\n"))
            .expect("written");
        let nowhere = at(&format!("no{s}where"));
        let head = format!("ma{s}rks");
        let runs: Vec<(Vec<String>, String)> = [
            (vec!["read", &marks], ""),
            (vec!["read", "--brief", &marks], ""),
            (vec!["read", "--all"], marks.as_str()),
            (vec!["read", "--color", "never", &marks], ""),
            (vec!["read", "--office", &claim, "anchor"], ""),
            (vec!["read", "--between", &claim, "anchor"], ""),
            (vec!["read", "--tables", &nowhere, "anchor"], ""),
            (vec!["read", "--tables", &own, "EPNS"], ""),
            (vec!["read", "--tables", &bad, "anchor"], ""),
            (vec!["read", "--register", &register, &marks], ""),
            (vec!["read", "--svg", &nowhere], ""),
            (vec!["check", &marks, "--claim", &claim], ""),
            (vec!["check", &marks, "--claim", &format!("by W{s}alter Wob{s}bler 1803")], ""),
            (vec!["check", "anchor", "--claim", &format!("Per{s}th")], ""),
            (vec!["check"], &format!("{marks}, stated Birmingham 1803\n{marks}\n")),
            (vec!["ask"], &format!("{marks}\nlines\ndrop {s}9\n{s}\n")),
            (vec!["ask", &marks, "--note", &at(&format!("note.x{s}"))], ""),
            (vec!["ask", &marks, "--note", &at("note.txt")], "done\n"),
            (vec!["expect", &claim], ""),
            (vec!["expect", &format!("wob{s}bly 1803")], ""),
            (vec!["chart", &format!("bir{s}mingham wob{s}bly")], ""),
            (vec!["chart", &format!("Birmingham {s}f")], ""),
            (vec!["outlines", "--svg", &at("no/where.svg")], ""),
            (vec!["sponsors", &format!("W{s}S")], ""),
            (vec!["sponsors", "WS", "--all", "--register", &register], ""),
            (vec!["sponsors", "WS", "--punch", &said(s)], ""),
            (vec!["sponsors", "WS", "--office", &said(s)], ""),
            (vec!["worth", &format!("178.5g ster{s}ling"), "--price", "24/ozt"], ""),
            (vec!["worth", "100g", "--marks", &marks, "--item", &words], ""),
            (vec!["worth", "100g sterling", "--less", &format!("li{s}ner 20g")], ""),
            (vec!["worth", "--list", &list, "--price", "24/ozt", "--purpose", "probate"], ""),
            (vec!["worth", "--list", &nowhere, "--price", "24/ozt"], ""),
            (vec!["say", &marks, "--item", &words, "--size", &words, "--condition", &words], ""),
            (vec!["say", &marks, "--weight", &words], ""),
            (vec!["say", &marks, "--title", "60", "--item", &words], ""),
            (vec!["cautions", "read", &marks], ""),
            (vec!["why", &marks, "--office", "birmingham", "--year", "1803"], ""),
            (vec!["why", "anchor", "--office", &said(s), "--year", "1803"], ""),
            (
                vec!["why", "anchor", "--office", "birmingham", "--year", "1803", "--tables", &own],
                "",
            ),
            (vec!["tables", "show", &said(s)], ""),
            (vec!["tables", "verify", &bad], ""),
            (vec!["tables", "verify", &nowhere], ""),
            (vec!["tables", "diff", &own, &bad], ""),
            (vec!["enrich", &book, "--marks", &head, "-o", &at("out.csv")], ""),
            (vec!["enrich", &book, "--marks", &head, "--claim", "x", "-o", &nowhere], ""),
            (vec!["enrich", &book, "--marks", &format!("no{s}ne")], ""),
            (vec!["enrich", &book, "--marks", &head, "--add", &said(s)], ""),
            (vec!["enrich", &nowhere, "--marks", "x"], ""),
            (vec!["enrich", &book, "--marks", &head, "--terms", &torn], ""),
            (vec!["enrich", &book, "--marks", &head, "--terms", &terms, "-o", &at("t.csv")], ""),
            (vec!["enrich", &book, "--marks", &head, "-o", &book], ""),
            (vec!["man", &said(s)], ""),
            (vec![&marks], ""),
            (vec!["read", &format!("--wob{s}bly")], ""),
        ]
        .into_iter()
        .map(|(args, input)| (args.iter().map(|a| a.to_string()).collect(), input.to_string()))
        .collect();
        for (args, input) in &runs {
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            let r = run(PUNCHEON, &args, input);
            for shown in [&r.out, &r.err] {
                assert_eq!(steers(shown), None, "{args:?} of {s:?}: {shown:?}");
            }
            assert!(!r.out.is_empty() || !r.err.is_empty(), "{args:?}");
        }
        let r = puncheon(&["read", "EPNS", "--tables", &own]);
        assert!(r.out.contains("rmot"), "the overlay is read: {}", r.screen());
        // A list for the eye steers nothing; data stays as it is.
        let work = at("work.tsv");
        let [old, new] = [at("old.csv"), at("new.csv")];
        let all = ["enrich", &book, "--marks", &head, "--claim", "stated"];
        run(PUNCHEON, &[&all[..], &["-o", &old]].concat(), "");
        let changed = std::fs::read_to_string(&old).expect("written").replace("fits", "none");
        std::fs::write(&old, changed.replace("wob", "wab")).expect("written");
        let more = ["--worklist", &work, "--since", &old, "-o", &new];
        let r = run(PUNCHEON, &[&all[..], &more].concat(), "");
        assert_eq!(steers(&r.out), None, "{:?}", r.out);
        assert!(r.out.starts_with("row\tcolumn\twas\tis\n"), "{}{}", r.out, r.err);
        let listed = std::fs::read_to_string(&work).expect("written");
        assert_eq!(steers(&listed), None, "{listed:?}");
        let written = std::fs::read_to_string(&new).expect("written");
        assert!(written.contains(&format!("wob{s}bly")), "{written:?}");
        let json = puncheon(&["read", "--json", &marks]).json();
        assert_eq!(json["asked"], marks.as_str());
    }
}

/// In colour only the program's own codes are left.
#[test]
fn bold_letters_are_the_programs_own() {
    let check = |line: &str| run(PUNCHEON, &["check", "--color", "always"], line).out;
    let usual = check("Chester 1803: anchor, lion passant, wobbly\n");
    let typed = check("Chester 1803: anchor, \u{1b}[1mlion passant, \u{1b}[0mwobbly\n");
    let codes = |s: &str| s.matches('\u{1b}').count();
    assert!(codes(&usual) > 0, "{usual}");
    assert_eq!(codes(&usual), codes(&typed), "{typed:?}");
    let own = ["\u{1b}[1m", "\u{1b}[0m"].map(|c| usual.matches(c).count());
    assert_eq!(own[0] + own[1], codes(&usual));
}

/// Where standard error cannot be written the answer and the exit code are the same.
#[cfg(target_os = "linux")]
#[test]
fn standard_error_may_be_full_or_closed() {
    let dir = tempfile::tempdir().expect("a folder");
    let book = dir.path().join("book.csv");
    std::fs::write(&book, "m\n\"anchor, lion passant, f\"\n").expect("written");
    let book = book.to_str().expect("a name");
    for args in [
        &[][..],
        &["anchor"],
        &["--nonsense"],
        &["read", "--office", "nowhere", "anchor"],
        &["read", "--tables", "no-such-folder", "anchor"],
        &["check", "anchor"],
        &["say", "--brief", "EPNS"],
        &["say", "anchor", "--weight", "heavy"],
        &["worth", "nonsense"],
        &["tables", "verify", "no-such-folder"],
        &["chart", "nonsense"],
        &["enrich", book, "--marks", "m", "--add", "shown"],
        &["enrich", book, "--marks", "n"],
        &["enrich", "no-such-file.csv", "--marks", "m"],
    ] {
        let usual = puncheon(args);
        for script in ["exec \"$0\" \"$@\" 2>/dev/full", "exec \"$0\" \"$@\" 2>&-"] {
            let done = Command::new("sh")
                .args(["-c", script, PUNCHEON])
                .args(args)
                .env_clear()
                .stdin(Stdio::null())
                .output()
                .expect("it starts");
            assert_eq!(done.status.code(), Some(usual.code), "{args:?}: {script}");
            assert_eq!(String::from_utf8_lossy(&done.stdout), usual.out, "{args:?}");
        }
    }
}
