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
    insta::assert_snapshot!(screen(&[
        "read",
        "anchor, lion passant, small roman f, king's head"
    ]));
}

#[test]
fn several_years_of_one_office() {
    insta::assert_snapshot!(screen(&["read", "anchor, lion passant, small k"]));
}

#[test]
fn several_offices() {
    insta::assert_snapshot!(screen(&[
        "read",
        "lion passant, leopard's head, worn gothic n or h"
    ]));
}

#[test]
fn no_letter_read() {
    insta::assert_snapshot!(screen(&[
        "read",
        "three castles, lion passant, king's head"
    ]));
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
    insta::assert_snapshot!(screen(&[
        "read",
        "anchr, lion pasant, small roman f, wobbly thing"
    ]));
}

#[test]
fn two_pieces_are_read_apart() {
    insta::assert_snapshot!(screen(&[
        "read",
        "cup: anchor, lion passant, f; lid: leopard's head, lion passant, k"
    ]));
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
        (
            "no_such_folder",
            &["read", "--tables", "no-such-folder", "anchor"],
        ),
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
    for marks in [
        "- anchor, lion passant, f",
        "-anchor, lion passant, f",
        "-- anchor, f",
    ] {
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
        ask.write_all(b"anchor, lion passant, small roman f, king's head\n")
            .expect("it listens");
        let mut line = Vec::new();
        let mut byte = [0];
        while byte[0] != b'\n' {
            answers.read_exact(&mut byte).expect("it answers");
            line.push(byte[0]);
        }
        assert!(
            line.starts_with(b"Birmingham 1803/04"),
            "{}",
            String::from_utf8_lossy(&line)
        );
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
