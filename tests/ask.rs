//! The questions at the bench: how many it takes, and that a true answer never loses the truth.
//!
//! The session is driven through a pipe, and in a terminal as a person would type.

use proptest::prelude::*;
use puncheon::Tables;
use puncheon_tests::questions::measure;
use puncheon_tests::{covers, proptest_config, run, run_with};

/// Every fifth office-year; the bench `questions` takes them all and prints the counts.
#[test]
fn true_answers_keep_the_truth_and_few_are_needed() {
    let counts = |from_town, styled| measure(5, from_town, styled);
    let styled = counts(true, true);
    assert!(styled.average <= 3.0, "{styled:?}");
    let bare = counts(true, false);
    assert!(bare.average <= 3.3, "{bare:?}");
    let nothing = counts(false, true);
    assert!(nothing.average <= 3.3, "{nothing:?}");
    for c in [styled, bare, nothing] {
        assert!(c.worst <= 7 && c.left < 2.0, "{c:?}");
    }
}

proptest! {
    #![proptest_config(proptest_config(2000))]

    /// Every byte of a line at the bench lies in one node, whatever it answers, asks or describes.
    #[test]
    fn a_line_is_covered_by_its_nodes(
        words in prop::collection::vec(
            prop::sample::select(vec![
                "1", "2", "9", "yes", "n", "none", "skip", "undo", "change", "drop", "without", "with", "what",
                "is it", "small", "k", "anchor", "lion passant", "worn", "no idea", "?", ".", ",", "(", "and",
                "letter", "maker", "wobbly", "it has none", "quit", "m\u{fc}de", "18",
            ]),
            0..8,
        ),
        gap in prop::sample::select(vec![" ", "", "  "]),
    ) {
        let line = words.join(gap);
        covers(&line, &puncheon::reply_tree(Tables::builtin(), &line));
    }
}

// ---- The program --------------------------------------------------------------------------------

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// A session from a pipe: what is typed stands before what comes of it.
fn session(args: &[&str], lines: &[&str]) -> String {
    let input: String = lines.iter().map(|l| format!("{l}\n")).collect();
    let ran = run(PUNCHEON, &[&["ask"], args].concat(), &input);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    ran.out
}

#[test]
fn a_session_from_a_pipe() {
    let screen =
        session(&[], &["anchor, lion passant", "k", "2", "2", "lines", "undo", "1", "done"]);
    insta::assert_snapshot!("session", screen);
}

#[test]
fn clashes_slips_and_doubts() {
    let screen = session(
        &["anchor"],
        &[
            "leopards head",
            "without 1",
            "with 1",
            "change 2 lion pasant",
            "without 7",
            "0",
            "zzz",
            "drop 2",
            "undo",
            "next",
            "EPNS",
            "undo",
            "undo",
            "",
            "quit",
            "never read",
        ],
    );
    insta::assert_snapshot!("session_clashes", screen);
}

/// What a thumb types beside the right key, and what a person says for a number.
#[test]
fn slips_and_plain_words_are_taken_as_meant() {
    let screen = session(
        &["anchor, lion, k"],
        &[
            "12",
            "-1",
            "1 or 3",
            "seven",
            "2.",
            "no",
            "undo",
            "drop 1 2",
            "undo",
            "without lion",
            "with 2",
            "change lion lion passant",
            "change",
            "drop all",
            "lines",
            "next",
            "anchor",
            "too worn",
            "nothing",
            "lines",
            "next",
            "anchor, lion",
            "no letter",
            "?",
        ],
    );
    insta::assert_snapshot!("session_slips", screen);
}

#[test]
fn figures_are_marks_where_they_are_no_answers() {
    let screen = session(&["--office", "birmingham"], &["crown", "18", "c"]);
    insta::assert_snapshot!("session_figures", screen);
    let narrow = run_with(PUNCHEON, &["ask", "anchor, lion passant, k"], "", &[("COLUMNS", "40")]);
    assert!(narrow.out.lines().all(|l| l.chars().count() <= 40), "{}", narrow.out);
    assert!(narrow.out.is_ascii(), "{}", narrow.out);
}

/// The marks of a session, by `lines` at its end.
fn marks(args: &[&str], typed: &[&str]) -> Vec<String> {
    let screen = session(args, &[typed, &["", "lines"]].concat());
    let own = |l: &&str| {
        let number = l.trim_start().split(' ').next().unwrap_or_default();
        l.starts_with("  ") && number.parse::<usize>().is_ok()
    };
    let mut last: Vec<String> = screen
        .lines()
        .rev()
        .take_while(own)
        .map(|l| l.trim_start().split_once(' ').map_or("", |m| m.1).to_string())
        .collect();
    last.reverse();
    // The answers of the question before it are numbered as well.
    let from = last.iter().rposition(|l| l.contains("cannot tell"));
    last.split_off(from.map_or(0, |i| i + 1))
}

/// What cannot be made out is passed over, and what was given stays.
#[test]
fn what_is_worn_away_takes_no_mark_with_it() {
    for given in ["anchor, lion passant, k", "anchor, lion passant", "leopard's head"] {
        let before = marks(&[], &[given]);
        for said in [
            "worn smooth",
            "polished away",
            "rubbed flat",
            "it's worn smooth",
            "too rubbed to read",
            "its all worn smooth now",
            "obliterated",
            "mark worn smooth",
            "illegible",
            "worn",
            "no idea",
            "can't say",
            "can't see one",
            "pass",
            "Skip.",
            "dunno",
            "not sure at all",
            "maybe",
            "hard to say",
            "not clear",
            "haven't a clue",
            "I have no idea",
            "no clue",
            "do not know",
            "it's gone",
            "completely gone",
            "gone",
            "I can't tell",
            "i cannot make it out",
            "I can\u{2019}t see it",
            "it is too faint to tell",
            "can't tell if there is one",
        ] {
            assert_eq!(marks(&[], &[given, said]), before, "{given}: {said}");
            // The question is not asked again.
            let asks = |screen: &str| screen.lines().rfind(|l| l.contains('?')).map(str::to_string);
            let (first, then) = (session(&[], &[given]), session(&[], &[given, said]));
            assert_ne!(asks(&first), asks(&then), "{given}: {said}: {then}");
        }
    }
    // Who does not know the maker does not doubt the letter.
    let given = "anchor, lion passant, k";
    for said in [
        "no idea of the maker",
        "no clue about the maker",
        "no idea what the rest is",
        "no idea what else there was",
        "lid gone",
        "gilding gone",
    ] {
        let ran = run(PUNCHEON, &["read", "--json", &format!("{given}, {said}")], "");
        let reading = ran.json().to_string();
        for less in ["doubtful", "k, worn"] {
            assert!(!reading.contains(less), "{said}: {reading}");
        }
    }
    // A mark that is misspelt is told, whatever wear is said of it.
    let screen = session(&[], &[given, "zzz worn"]);
    assert!(screen.contains("\"zzz\" was not understood"), "{screen}");
    // Said of the letter where its style is asked, it passes that too.
    let screen = session(&[], &["anchor, lion passant, k", "date letter worn smooth"]);
    assert!(!screen.contains("left out"), "{screen}");
    assert_eq!(screen.matches("Which k is it?").count(), 1, "{screen}");
}

/// A line that asks is answered with where things stand.
#[test]
fn a_line_that_asks_is_no_mark() {
    let given = "anchor, lion passant, k";
    let before = marks(&[], &[given]);
    for asked in [
        "what year?",
        "what year",
        "which office?",
        "so when was it made",
        "any idea?",
        "who made it?",
        "is it a lion?",
        "is it Birmingham?",
        "could it be 1803?",
        "what does the anchor mean?",
        "maker?",
        "year?",
        "how old is it",
        "ok so which year",
        "???",
    ] {
        assert_eq!(marks(&[], &[given, asked]), before, "{asked}");
        let screen = session(&[], &[given, asked]);
        assert_eq!(screen.matches("10 years left").count(), 2, "{asked}: {screen}");
    }
    // A mark with a doubt is one, and so is one that only looks like something.
    for mark in ["crowned?", "king's head?", "what looks like a king's head"] {
        assert_ne!(marks(&[], &["leopard's head", mark]).len(), 1, "{mark}");
    }
}

/// Yes and no answer whether a mark is there; which is asked next.
#[test]
fn yes_and_no_are_answers() {
    let given = ["leopard's head crowned, lion passant, small roman f"];
    let office = ["--office", "london"];
    for said in ["yes", "y", "Yep.", "yeah", "there is one", "yes, there is"] {
        let all = marks(&office, &[&given[..], &[said]].concat());
        assert_eq!(all.last().map(String::as_str), Some("duty mark"), "{said}");
    }
    for said in [
        "no",
        "n",
        "nope",
        "none",
        "there isn't",
        "Nah.",
        "no, there isn't",
        "there is not one",
        "there's none",
        "none at all",
        "nothing there",
        "not visible",
        "it is missing",
        "no mark",
        "not struck",
    ] {
        let all = marks(&office, &[&given[..], &[said]].concat());
        assert_eq!(all.last().map(String::as_str), Some("no duty mark"), "{said}");
    }
    let wide = ["lion passant, small roman f", "yes"];
    let screen = session(&[], &wide);
    assert!(screen.contains("Which town mark is it?"), "{screen}");
    // Where nothing else can be meant, it has to be said which.
    let screen = session(&[], &["anchor, lion passant, k", "yes"]);
    assert!(screen.contains("Which? Type its number"), "{screen}");
    assert_eq!(marks(&[], &["anchor, lion passant, k", "yes"]).len(), 3);
}

/// A figure that is the number of no answer is a mark where the rest fits with it; with a unit or a point
/// it is one always.
#[test]
fn a_figure_without_an_answer_is_a_mark() {
    for (given, figure) in [
        ("crown", "9"),
        ("crown", "14"),
        ("anchor, crown", "18"),
        ("anchor", "15"),
        ("anchor, c", "9"),
        ("anchor, crown, small c", "9"),
        ("anchor, crown, small c", "22"),
        ("anchor, lion passant, k", "9ct"),
        ("anchor, lion passant, k", "9 carat"),
        ("anchor, lion passant, k", ".375"),
        ("anchor, lion passant, k", "9.375"),
    ] {
        let all = marks(&[], &[given, figure]);
        assert_eq!(all.last().map(String::as_str), Some(figure), "{given}: {all:?}");
    }
    for (given, figure) in [
        ("anchor, lion passant, k", "9"),
        ("anchor, lion passant, k", "18"),
        ("anchor", "7"),
        ("anchor, crown", "8"),
    ] {
        assert_eq!(marks(&[], &[given, figure]), marks(&[], &[given]), "{given}: {figure}");
    }
    let all = marks(&[], &["anchor, lion passant, k", "2"]);
    assert_eq!(all.last().map(String::as_str), Some("date letter small roman k"));
}

/// An answer has no number that is a figure of the piece as well: who types the 9 that is struck chooses
/// no other mark.
#[test]
fn a_figure_that_may_be_struck_numbers_no_answer() {
    let mut tried = 0;
    for letter in 'a'..='z' {
        let given = letter.to_string();
        let both = session(&[], &[&given, "9ct"]);
        if both.contains("No year fits") {
            continue;
        }
        let screen = session(&[], &[&given, "9"]);
        tried += 1;
        assert!(!screen.contains("  9 "), "{given}: {screen}");
        assert!(screen.contains("9 is taken as a mark"), "{given}: {screen}");
    }
    assert!(tried > 5, "{tried}");
    // Where it can be none, nine are numbered.
    let given = "lion passant, small roman f";
    let screen = session(&[], &[given]);
    assert!(screen.contains("  9 three castles"), "{screen}");
    assert_eq!(marks(&[], &[given, "9"]).last().map(String::as_str), Some("three castles"));
}

/// Where the letter is asked for, a bare letter with a year is one.
#[test]
fn a_letter_with_a_year_answers_which_letter() {
    let given = "anchor, lion passant";
    for (said, letter) in [
        ("c 1902", "c"),
        ("C 1902", "C"),
        ("c, 1902", "c"),
        ("c 1902/03", "c"),
        ("c 1902?", "c"),
        ("a 1900", "a"),
        ("k 1909", "k"),
    ] {
        let screen = session(&[], &[given, said]);
        assert!(screen.contains(&format!("Which {letter} is it?")), "{said}: {screen}");
    }
    // With its point, or where no letter is asked for, it is about that year.
    let screen = session(&[], &[given, "c. 1902"]);
    assert_eq!(screen.matches("Which letter").count(), 2, "{screen}");
    let screen = session(&[], &["anchor, lion passant, k", "c 1902"]);
    assert!(!screen.contains("Which c"), "{screen}");
}

/// A row counts every fit; beside it stands what the screen said of those that fit best.
#[test]
fn a_row_of_the_stock_book_says_what_the_screen_says() {
    let dir = tempfile::tempdir().expect("a folder");
    let pieces = [
        "anchor, lion passant, small roman f",
        "thistle, castle, small q worn",
        "lion passant, small roman f, no town mark",
        "EPNS",
    ];
    let lines: Vec<&str> = pieces.iter().flat_map(|p| [*p, "done"]).collect();
    for name in ["notes.csv", "notes.jsonl"] {
        let file = dir.path().join(name).to_string_lossy().into_owned();
        let screen = session(&["--note", &file], &lines);
        let screen = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        let written = std::fs::read_to_string(&file).expect("it is there");
        let notes: Vec<String> = match name.ends_with("csv") {
            true => csv::Reader::from_reader(written.as_bytes())
                .records()
                .map(|r| r.expect("a row")[1].to_string())
                .collect(),
            false => written
                .lines()
                .map(|l| serde_json::from_str::<serde_json::Value>(l).expect("an object"))
                .map(|v| v["note"].as_str().expect("a sentence").to_string())
                .collect(),
        };
        assert_eq!(notes.len(), pieces.len());
        for (note, piece) in notes.iter().zip(pieces) {
            assert!(screen.contains(note.as_str()), "{note}: {screen}");
            assert!(note.contains(&format!("Marks as described: {piece}.")), "{note}");
        }
    }
}

/// Any lines at all are taken without an end, and every line of the answer is plain text.
#[test]
fn any_lines_are_taken() {
    let words = [
        "anchor",
        "k",
        "undo",
        "1",
        "0",
        "without 1",
        "with 1",
        "drop 1",
        "change 1 x",
        "lines",
        "all",
        "9",
        "",
        "lion",
        "next",
        "no duty mark",
        "?",
        "\u{1f944}",
        "done",
        "small gothic",
    ];
    let mut n = 7usize;
    for round in 0..40 {
        let lines: Vec<&str> = (0..12)
            .map(|_| {
                n = n.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(round + 1);
                words[(n >> 33) % words.len()]
            })
            .collect();
        let screen = session(&[], &lines);
        assert!(!screen.contains('\u{1b}'), "{lines:?}: {screen}");
    }
}

#[test]
fn notes_are_added_to_a_file() {
    let dir = tempfile::tempdir().expect("a folder");
    let file = |name: &str| dir.path().join(name).to_string_lossy().into_owned();
    let lines = ["anchor, lion passant, small roman f, king's head", "done", "EPNS", "done"];
    for (name, before) in [("notes.txt", "old note"), ("notes.jsonl", ""), ("notes.csv", "")] {
        std::fs::write(file(name), before).expect("written");
        let screen = session(&["--note", &file(name)], &lines);
        assert!(screen.contains(&format!("Noted in {}.", file(name))), "{screen}");
        session(&["--note", &file(name)], &lines[..2]);
    }
    let read = |name: &str| std::fs::read_to_string(file(name)).expect("it is there");
    insta::assert_snapshot!("notes_txt", read("notes.txt"));
    for line in read("notes.jsonl").lines() {
        let v: serde_json::Value = serde_json::from_str(line).expect("an object");
        assert!(v["marks"] == "EPNS" || v["shown"] == "1803/04", "{line}");
    }
    let csv = read("notes.csv");
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    let shown = rows.headers().expect("a head").iter().position(|h| h == "shown");
    let cells: Vec<String> =
        rows.records().map(|r| r.expect("a row")[shown.expect("a column")].to_string()).collect();
    assert_eq!(cells, ["1803/04", "", "1803/04"]);
    // A file with other columns is left alone.
    std::fs::write(file("other.csv"), "a,b\n1,2\n").expect("written");
    let ran = run(PUNCHEON, &["ask", "--note", &file("other.csv")], "anchor\ndone\n");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("its columns are others: a,b"), "{}", ran.err);
    assert_eq!(read("other.csv"), "a,b\n1,2\n");
    let ran = run(PUNCHEON, &["ask", "--note", &file("notes.doc")], "");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains(".txt, .jsonl or .csv"), "{}", ran.err);
}

/// A terminal with the program in it.
#[cfg(unix)]
struct Terminal {
    keys: Box<dyn std::io::Write + Send>,
    child: Box<dyn portable_pty::Child + Send + Sync>,
    heard: std::sync::mpsc::Receiver<Vec<u8>>,
    screen: vt100::Parser,
    /// What came since it was last looked for.
    text: String,
}

#[cfg(unix)]
impl Terminal {
    fn new(args: &[&str], rows: u16, cols: u16) -> Terminal {
        use std::io::Read;
        let size = portable_pty::PtySize { rows, cols, ..Default::default() };
        let pair = portable_pty::native_pty_system().openpty(size).expect("a terminal");
        let mut command = portable_pty::CommandBuilder::new(PUNCHEON);
        command.args(args);
        command.env_clear();
        command.env("TERM", "xterm");
        let child = pair.slave.spawn_command(command).expect("it starts");
        let mut reader = pair.master.try_clone_reader().expect("it can be read");
        let keys = pair.master.take_writer().expect("it can be typed into");
        let (told, heard) = std::sync::mpsc::channel();
        std::thread::spawn(move || {
            let mut buf = [0; 4096];
            while let Ok(n @ 1..) = reader.read(&mut buf) {
                if told.send(buf[..n].to_vec()).is_err() {
                    return;
                }
            }
        });
        Terminal {
            keys,
            child,
            heard,
            screen: vt100::Parser::new(rows, cols, 0),
            text: String::new(),
        }
    }

    fn types(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).expect("keys arrive");
        self.keys.flush().expect("keys arrive");
    }

    /// Waits until the program has printed this since it was last looked for, or shows it.
    fn sees(&mut self, wanted: &str) {
        let end = std::time::Instant::now() + std::time::Duration::from_secs(20);
        loop {
            if let Some(at) = self.text.find(wanted) {
                self.text.drain(..at + wanted.len());
                return;
            }
            let left = end.saturating_duration_since(std::time::Instant::now());
            match self.heard.recv_timeout(left) {
                Ok(bytes) => {
                    self.screen.process(&bytes);
                    self.text.push_str(&String::from_utf8_lossy(&bytes));
                }
                Err(e) => panic!("{wanted:?} never came ({e}):\n{}", self.screen()),
            }
        }
    }

    fn screen(&self) -> String {
        self.screen.screen().contents()
    }

    fn ends(mut self) -> u32 {
        self.child.wait().expect("it ends").exit_code()
    }
}

/// A real terminal of 24 lines: slips are rubbed out, words are completed, a line comes back by the
/// arrow, one key answers, Ctrl-C ends nothing and Ctrl-D ends it.
#[cfg(unix)]
#[test]
fn a_session_at_a_terminal() {
    let mut t = Terminal::new(&["ask", "--ascii"], 24, 80);
    t.sees("Type what you see");
    t.sees("> ");
    t.types("ancjor\u{7f}\u{7f}\u{7f}hor, lion passa\t\r");
    t.sees("254 years left");
    let screen = t.screen();
    assert!(screen.contains("> anchor, lion passant"), "{screen}");
    t.sees("> ");
    t.types("k\r");
    t.sees("Which k is it?");
    t.sees("> ");
    t.types("2\r");
    t.sees("2 years left");
    t.sees("> ");
    t.types("undo\r");
    t.sees("10 years left");
    t.sees("> ");
    t.types("\u{3}");
    t.sees("Ctrl-D or quit ends.");
    t.sees("> ");
    // The line before last, brought back by the arrows.
    t.types("\u{1b}[A\u{1b}[A\r");
    t.sees("Birmingham 1909/10");
    let screen = t.screen();
    assert!(screen.lines().all(|l| l.chars().count() <= 80), "{screen}");
    t.sees("> ");
    t.types("\u{4}");
    assert_eq!(t.ends(), 0);
}

/// At a terminal Ctrl-C alone ends nothing: what else asks for an end is heeded.
#[cfg(unix)]
#[test]
fn at_a_terminal_it_can_be_asked_to_end() {
    let send = |signal: &str, t: &Terminal| {
        let id = t.child.process_id().expect("it runs").to_string();
        let sent = std::process::Command::new("kill").args([&format!("-{signal}"), &id]).status();
        assert!(sent.expect("it is sent").success());
    };
    for signal in ["TERM", "HUP"] {
        // Under nohup, say, this test is itself to ignore one, and so is what it runs.
        let lives =
            std::process::Command::new("sh").args(["-c", &format!("kill -{signal} $$")]).status();
        if lives.expect("it runs").success() {
            continue;
        }
        let mut t = Terminal::new(&["ask", "--ascii"], 24, 80);
        t.sees("> ");
        send("INT", &t);
        t.types("anchor\r");
        t.sees("left");
        t.sees("> ");
        send(signal, &t);
        let end = std::time::Instant::now() + std::time::Duration::from_secs(10);
        while t.child.try_wait().expect("it can be asked").is_none() {
            if std::time::Instant::now() > end {
                t.child.kill().expect("it is killed");
                panic!("{signal} does not end it");
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
    }
}

/// Each mark is a line of its own, and together they are what was typed.
#[test]
fn marks_are_lines_of_their_own() {
    for (typed, lines) in [
        ("anchor, lion passant,k", vec!["anchor", "lion passant", "k"]),
        (
            "leopard's head, crowned; maker's mark PB",
            vec!["leopard's head, crowned", "maker's mark PB"],
        ),
        (
            "tree, fish, bell and bird; small k, worn",
            vec!["tree, fish, bell and bird", "small k, worn"],
        ),
    ] {
        let mut piece = puncheon::ask::Piece::new();
        piece.add(puncheon::Tables::builtin(), typed);
        let words: Vec<&str> = piece.lines().iter().map(|l| l.words.as_str()).collect();
        assert_eq!(words, lines);
        let plain = |s: &str| s.replace(' ', "");
        assert_eq!(plain(&piece.description()), plain(typed));
    }
}

/// What says nothing of a mark is no line, and what says more of one is.
#[test]
fn only_what_was_understood_is_kept() {
    let tables = puncheon::Tables::builtin();
    let mut piece = puncheon::ask::Piece::new();
    for (typed, kept) in [
        ("qqq, zzz", false),
        ("", false),
        ("leopard's head", true),
        ("zzz", false),
        ("crowned", true),
        ("maker's mark HB", true),
        ("no duty mark", true),
    ] {
        assert_eq!(piece.add(tables, typed), kept, "{typed}");
    }
    assert_eq!(piece.description(), "leopard's head, crowned; maker's mark HB; no duty mark");
}
