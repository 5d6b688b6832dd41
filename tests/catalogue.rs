//! Catalogues: rows in, rows out, and nothing lost. Contract sections 5 and 9.
//!
//! The laws are tried on any bytes; the program is run as a child process, stopped, starved of disk
//! and fed a long stream; what it writes is read back by Python's csv module and by SQLite where
//! those are at hand. Stock books are invented.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use proptest::prelude::*;
use puncheon::reading::{Fit, Outcome, Reading, Remark, RemarkKind};
use puncheon::{Options, Tables};
use puncheon_catalogue::sample::{self, Repeats};
use puncheon_catalogue::{Column, Enricher, Error, Format, Summary, Watch};
use puncheon_tests::{Ran, proptest_config, run};

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

const STOCK: &str = "\
Stock no,Item,Hallmarks,Stated
1,Spoon,\"anchor, lion passant, small roman f, king's head\",Birmingham 1803
2,Jug,\"anchor, lion passant, k\",Chester 1908
3,Tray,EPNS,
4,Pot,\"three wheatsheaves, lion, script h, wobbly\",
";

fn tables() -> &'static Tables {
    Tables::builtin()
}

fn enrich(e: &Enricher, input: &[u8]) -> Result<(Vec<u8>, Summary), Error> {
    let mut out = Vec::new();
    let watch = Watch { progress: &mut |_| true, rejects: None };
    let summary = e.run(input, &mut out, watch)?;
    Ok((out, summary))
}

fn enricher(marks: &str) -> Enricher<'static> {
    Enricher::new(tables(), marks)
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

fn program(args: &[&str], input: &str) -> Ran {
    run(PUNCHEON, args, input)
}

/// Rows of a plain CSV text without quoted line breaks.
fn rows(out: &[u8]) -> Vec<Vec<String>> {
    let cut = |line: &str| {
        let (mut fields, mut field, mut quoted) = (Vec::new(), String::new(), false);
        let mut chars = line.chars().peekable();
        while let Some(c) = chars.next() {
            match c {
                '"' if quoted && chars.peek() == Some(&'"') => {
                    chars.next();
                    field.push('"');
                }
                '"' => quoted = !quoted,
                ',' if !quoted => fields.push(std::mem::take(&mut field)),
                c => field.push(c),
            }
        }
        fields.push(field);
        fields
    };
    text(out).lines().map(cut).collect()
}

fn cell(rows: &[Vec<String>], row: usize, column: &str) -> String {
    let at = rows[0].iter().position(|n| n == column).expect(column);
    rows[row][at].clone()
}

// ---- What stands in the cells -------------------------------------------------------------------

#[test]
fn cells_speak_of_all_fits() {
    let mut e = enricher("Hallmarks");
    e.claim = Some("Stated".into());
    let (out, summary) = enrich(&e, STOCK.as_bytes()).expect("it runs");
    let rows = rows(&out);
    for (row, column, value) in [
        (1, "outcome", "fits"),
        (1, "office", "birmingham"),
        (1, "shown", "1803/04"),
        (1, "letter", "f"),
        (1, "metal", "silver"),
        (1, "fineness", "925"),
        (1, "sure", "one-year"),
        (1, "verdict", "holds"),
        (1, "date_edtf", "1803/1804"),
        (2, "office", "birmingham"),
        (2, "year_from", "1782"),
        (2, "year_to", "2009"),
        (2, "shown", ""),
        (2, "best_office", "birmingham"),
        (2, "best_shown", "1909/10"),
        (2, "verdict", "fails"),
        (3, "outcome", "outside"),
        (3, "lookalikes", "epns"),
        (3, "verdict", ""),
        (4, "not_understood", "wobbly"),
    ] {
        assert_eq!(cell(&rows, row, column), value, "row {row}, {column}");
    }
    assert_eq!(summary.rows, 4);
    assert_eq!(summary.outcomes["fits"], 3);
    assert_eq!(summary.verdicts["fails"], 1);
    assert_eq!(summary.not_understood, [("wobbly".to_string(), 1)]);
    assert_eq!(summary.disagreements.len(), 1);
    assert_eq!(summary.disagreements[0].row, 2);
}

/// The days of London's letters are known: Act 24 Geo. II made no difference to the 29th of May.
#[test]
fn dates_are_written_as_edtf() {
    for (marks, edtf) in [
        (
            "leopard's head crowned, lion passant, small roman r, king's head, London town mark",
            "1792-05-29/1793-05-28",
        ),
        ("anchor, lion passant, small roman f, king's head", "1803/1804"),
        ("anchor, lion passant, small black letter n or h", "[1882,1887]"),
        ("anchor, lion passant, date letter illegible", "[1773..2026]"),
        ("EPNS", ""),
    ] {
        let mut dates = enricher("Hallmarks");
        dates.columns = vec![Column::DateEdtf];
        assert_eq!(dates.cells(marks, ""), [edtf], "{marks}");
    }
}

/// A general parser of the Extended Date/Time Format accepts every date; it knows level 1 only, so the
/// members of a set of level 2 are given to it one by one.
#[test]
fn every_edtf_is_accepted_by_a_general_parser() {
    let mut stock = Vec::new();
    sample::write(tables(), 3000, 7, Repeats::Never, &mut stock).expect("written");
    let (out, _) = enrich(&enricher("Hallmarks"), &stock).expect("it runs");
    let rows = rows(&out);
    let mut seen = 0;
    for row in 1..rows.len() {
        let date = cell(&rows, row, "date_edtf");
        let members: Vec<&str> = match date.strip_prefix('[').and_then(|d| d.strip_suffix(']')) {
            Some(set) => set.split(',').flat_map(|m| m.split("..")).collect(),
            None => vec![&date],
        };
        for m in members.into_iter().filter(|m| !m.is_empty()) {
            assert!(edtf::level_1::Edtf::parse(m).is_ok(), "{date}: {m}");
            seen += 1;
        }
    }
    assert!(seen > 3000, "{seen}");
}

/// The cells of a reading, worked out from its fits alone.
fn from_reading(r: &Reading) -> Vec<(Column, String)> {
    let shared = |of: &dyn Fn(&Fit) -> Option<String>| {
        let mut all: Vec<Option<String>> = r.fits.iter().map(of).collect();
        all.dedup();
        match all.len() {
            1 => all.remove(0).unwrap_or_default(),
            _ => String::new(),
        }
    };
    let outcome = match r.outcome {
        Outcome::Fits => "fits",
        Outcome::Nears => "nears",
        Outcome::None => "none",
        _ => "outside",
    };
    let number = |n: Option<i32>| n.map_or(String::new(), |n| n.to_string());
    let first = r.fits.first();
    let unknown = |m: &&Remark| m.remark == RemarkKind::NotUnderstood;
    let words = r.remarks.iter().filter(unknown).map(|m| m.text.clone());
    let lookalikes = r.lookalikes.iter().map(|l| l.id.clone());
    vec![
        (Column::Outcome, outcome.to_string()),
        (Column::Office, shared(&|f| f.office.clone())),
        (Column::YearFrom, number(r.fits.iter().map(|f| f.from).min())),
        (Column::YearTo, number(r.fits.iter().map(|f| f.to).max())),
        (Column::Metal, shared(&|f| Some(f.metal.to_string()))),
        (Column::Fineness, shared(&|f| f.fineness.map(|n| n.to_string()))),
        (Column::Fits, r.fits.len().to_string()),
        (Column::BestOffice, first.and_then(|f| f.office.clone()).unwrap_or_default()),
        (Column::BestShown, first.map_or(String::new(), |f| f.shown.clone())),
        (Column::Lookalikes, lookalikes.collect::<Vec<_>>().join("; ")),
        (Column::NotUnderstood, words.collect::<Vec<_>>().join("; ")),
    ]
}

/// The same answers as `read`, row by row; in other words and order too, where the memory of marks
/// answers.
#[test]
fn answers_are_those_of_read() {
    let mut stock = Vec::new();
    sample::write(tables(), 1500, 3, Repeats::Never, &mut stock).expect("written");
    let sampled = rows(&stock).into_iter().skip(1).map(|r| r[2].clone());
    let plain = [
        "EPNS",
        "anchor, leopard's head, k",
        "wobbly",
        "835",
        "lion, k?",
        "Perth",
        "anchor, lion passant, worn k",
        "anchor, lion passant, capital K",
    ];
    let mut all: Vec<String> = sampled.chain(plain.map(String::from)).collect();
    let turned = |m: &String| {
        let mut clauses: Vec<&str> = m.split("; ").collect();
        clauses.reverse();
        format!("Zobbly; {}", clauses.join("; "))
    };
    all.extend(all.iter().map(turned).collect::<Vec<_>>());
    let catalogue: String = all.iter().map(|m| format!("\"{m}\"\n")).collect();
    let mut e = enricher("h");
    e.columns = from_reading(&puncheon::read(tables(), "", &Options::default()))
        .into_iter()
        .map(|(c, _)| c)
        .collect();
    let (out, summary) = enrich(&e, format!("h\n{catalogue}").as_bytes()).expect("it runs");
    let rows = rows(&out);
    assert_eq!(rows.len(), all.len() + 1);
    for (marks, row) in all.iter().zip(&rows[1..]) {
        let r = puncheon::read(tables(), marks, &Options::default());
        let wanted: Vec<String> = from_reading(&r).into_iter().map(|(_, cell)| cell).collect();
        assert_eq!(row[1..], wanted, "{marks}");
    }
    assert!(summary.same_marks >= 1000, "{}", summary.same_marks);
}

// ---- Laws ---------------------------------------------------------------------------------------

/// What comes out without the cells that were added must be what went in.
fn kept(input: &[u8], out: &[u8], added: usize) -> Result<(), String> {
    let (mut i, mut o) = (0, 0);
    // Each input byte stands in the output in the same order; only whole insertions lie between.
    while i < input.len() {
        let rest = &out[o..];
        let Some(n) = rest.iter().position(|b| *b == input[i]) else {
            return Err(format!("byte {i} is lost"));
        };
        o += n + 1;
        i += 1;
    }
    if out.len() < input.len() + added {
        return Err("nothing was added".into());
    }
    Ok(())
}

fn bytes() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        4 => prop::sample::select(vec![&b","[..], b"\"", b"\n", b"\r\n", b"anchor", b"lion passant", b"f", b" ", b"\"\"", b"x;y"])
            .prop_map(<[u8]>::to_vec),
        1 => prop::collection::vec(any::<u8>(), 0..4),
    ];
    prop::collection::vec(piece, 0..60).prop_map(|p| p.concat())
}

proptest! {
    #![proptest_config(proptest_config(256))]

    /// Rows in are rows out, whatever the bytes, and no byte of them is lost; one worker and three
    /// give the same.
    #[test]
    fn any_bytes_come_out_again(body in bytes()) {
        let mut input = b"a,h\n".to_vec();
        input.extend(&body);
        let mut e = enricher("h");
        e.threads = 1;
        let (one, summary) = enrich(&e, &input).expect("bytes are no error");
        e.threads = 3;
        let (three, _) = enrich(&e, &input).expect("bytes are no error");
        prop_assert_eq!(&one, &three);
        prop_assert!(kept(&input, &one, 0).is_ok(), "{:?}", kept(&input, &one, 0));
        let counted: u64 = summary.outcomes.values().sum::<u64>() + summary.problems;
        prop_assert_eq!(counted, summary.rows);
    }

    /// So with lines of JSON or of anything else.
    #[test]
    fn any_lines_come_out_again(input in bytes()) {
        let mut e = enricher("h");
        e.format = Format::JsonLines;
        let (out, summary) = enrich(&e, &input).expect("bytes are no error");
        prop_assert!(kept(&input, &out, 0).is_ok());
        let lines = |b: &[u8]| b.iter().filter(|b| **b == b'\n').count();
        prop_assert_eq!(lines(&input), lines(&out));
        let counted: u64 = summary.outcomes.values().sum::<u64>() + summary.problems;
        prop_assert_eq!(counted, summary.rows);
    }
}

/// Delimiters, quoting, byte order mark and line endings are kept as they were.
#[test]
fn columns_that_were_there_are_kept_byte_for_byte() {
    for input in [
        "a;h\r\n1;anchor, f\r\n",
        "a\th\n1\tanchor, f\n",
        "\u{feff}a,h\n\"1\",\"anchor, f\"\n",
        "a,h\n1,anchor",
        "a|h\n5\" bowl|anchor\n",
        "\"a \"\"q\"\"\",h\n\"x\ny\",anchor\n\n3,lion\n",
    ] {
        let (out, _) = enrich(&enricher("h"), input.as_bytes()).expect("it runs");
        let out = text(&out);
        let mut rest = out;
        // Each line of the input begins a line of the output, and ends as it did.
        for line in input.split_inclusive('\n') {
            let body = line.trim_end_matches(['\n', '\r']);
            assert!(rest.starts_with(body), "{input:?}: {rest:?}");
            let ends = &line[body.len()..];
            let at = rest.find('\n').map_or(rest.len(), |n| n + 1);
            assert!(rest[..at].ends_with(ends), "{input:?}");
            rest = &rest[at..];
        }
        assert!(rest.is_empty(), "{rest:?}");
    }
}

/// A row that cannot be read is kept with its problem, its line and its column.
#[test]
fn bad_rows_are_kept_and_placed() {
    let input = b"a,h\r\n1,anchor\r\n2\r\n3,bad \xff byte\r\n4,\"two\r\nlines\"\r\n5,zero \x00 byte\r\n6,one,more\r\n7,\"open\r\n";
    let (out, s) = enrich(&enricher("h"), input).expect("it runs");
    assert_eq!(s.rows, 7);
    assert_eq!(s.problems, 5);
    let places: Vec<(u64, u64, u64)> =
        s.first_problems.iter().map(|p| (p.row, p.line, p.column)).collect();
    assert_eq!(places, [(2, 3, 1), (3, 4, 7), (5, 7, 8), (6, 8, 1), (7, 9, 3)]);
    let lossy = String::from_utf8_lossy(&out);
    assert!(
        lossy.contains("2,,\"unreadable: 1 fields where the head has 2 (line 3, column 1)\""),
        "{lossy}"
    );
    assert_eq!(kept(input, &out, 1), Ok(()));
}

#[test]
fn a_quote_that_is_never_closed_costs_one_line() {
    let mut input = b"a,h\n1,\"open\n2,anchor\n".to_vec();
    // Past the limit within which a quote must be closed.
    for n in 3..60_000 {
        input.extend(format!("{n},lion passant and anchor\n").bytes());
    }
    let (_, s) = enrich(&enricher("h"), &input).expect("it runs");
    assert_eq!(s.rows, 59_999);
    assert_eq!(s.problems, 1);
    assert_eq!((s.first_problems[0].line, s.first_problems[0].column), (2, 3));
}

#[test]
fn the_head_is_checked_before_any_work() {
    for (marks, prefix, wrong) in [
        ("Marks", "", "no column is called \"Marks\""),
        ("h", "", "has a column \"office\" already"),
        ("h", "x_", ""),
        ("H ", "x_", ""),
    ] {
        let mut e = enricher(marks);
        e.prefix = prefix.into();
        let ran = enrich(&e, b"office,h\n1,anchor\n");
        match (ran, wrong) {
            (Ok(_), "") => {}
            (Err(e), wrong) if !wrong.is_empty() => {
                let said = e.to_string();
                assert!(said.contains(wrong) && said.contains("\n  "), "{said}");
            }
            (ran, _) => panic!("{marks}: {:?}", ran.map(|r| text(&r.0).to_string())),
        }
    }
}

/// Descriptions that come again are answered from memory, with the same answer.
#[test]
fn repeats_are_remembered() {
    let mut stock = Vec::new();
    sample::write(tables(), 20_000, 5, Repeats::AsInLife, &mut stock).expect("written");
    let mut e = enricher("Hallmarks");
    e.threads = 2;
    let (_, s) = enrich(&e, &stock).expect("it runs");
    assert!(s.repeated > 15_000, "{}", s.repeated);
    assert_eq!(s.rows, 20_000);
}

/// Where the marks end and what is stated begins is part of what is remembered, whatever bytes they hold.
#[test]
fn marks_and_claim_are_told_apart() {
    let one = r#"{"marks":"anchor, lion passant, k","stated":" wobbly\u00001833"}"#;
    let other = r#"{"marks":"anchor, lion passant, k\u0000 wobbly","stated":"1833"}"#;
    let mut e = enricher("marks");
    e.format = Format::JsonLines;
    e.claim = Some("stated".into());
    e.columns = vec![Column::Office, Column::NotUnderstood];
    e.threads = 1;
    let added = |lines: &[&str]| {
        let (out, _) = enrich(&e, format!("{}\n", lines.join("\n")).as_bytes()).expect("it runs");
        let last = text(&out).lines().last().expect("a line").to_string();
        last[last.find("\"office\"").expect("added")..].to_string()
    };
    assert_ne!(added(&[one]), added(&[other]));
    assert_eq!(added(&[one, one, one, other]), added(&[other]));
}

/// Makers are named where the marks leave an office and time, or say nothing of them; not where they
/// speak against a hallmark or cannot stand together.
#[test]
fn plate_has_no_makers() {
    let mut e = enricher("marks");
    e.columns = vec![Column::Outcome, Column::Sponsors];
    let cells = |marks: &str| e.cells(marks, "");
    assert!(cells("maker's mark HB")[1].contains("Hester Bateman"));
    // A town without yearly letters leaves its own makers, as in a reading.
    assert!(cells("Perth, maker's mark RK")[1].contains("Robert Keay"));
    assert_eq!(cells("Perth, maker's mark HB")[1], "");
    for marks in [
        "EPNS, maker's mark HB",
        "maker's mark HB, Sheffield plate",
        "anchor, thistle, tree fish bell and bird, harp crowned, maker's mark HB",
    ] {
        let [outcome, makers] = &cells(marks)[..] else {
            panic!("two columns");
        };
        assert!(outcome == "outside" || outcome == "none", "{marks}: {outcome}");
        assert_eq!(makers, "", "{marks}");
    }
}

#[test]
fn a_caller_can_stop_it() {
    let mut stock = Vec::new();
    sample::write(tables(), 50_000, 5, Repeats::Never, &mut stock).expect("written");
    let watch = Watch { progress: &mut |p| p.rows < 1000, rejects: None };
    match enricher("Hallmarks").run(&stock[..], std::io::sink(), watch) {
        Err(Error::Stopped(rows)) => assert!((1000..50_000).contains(&rows), "{rows}"),
        other => panic!("{other:?}"),
    }
}

/// Whatever ends one side wakes the others: a writer that panics is no wait without end.
#[test]
fn a_writer_that_panics_does_not_hang() {
    struct Breaks(usize);
    impl Write for Breaks {
        fn write(&mut self, buf: &[u8]) -> std::io::Result<usize> {
            self.0 += buf.len();
            assert!(self.0 < 1000, "as this writer was made to");
            Ok(buf.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let (told, hears) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let mut stock = Vec::new();
        sample::write(tables(), 50_000, 5, Repeats::AsInLife, &mut stock).expect("written");
        let ran = std::panic::catch_unwind(|| {
            let watch = Watch { progress: &mut |_| true, rejects: None };
            enricher("Hallmarks").run(&stock[..], Breaks(0), watch)
        });
        told.send(ran.is_err())
    });
    let panicked = hears.recv_timeout(Duration::from_secs(60));
    assert_eq!(panicked, Ok(true), "it ended by the panic");
}

/// Objects may lack the field with the marks, but not all of them: then its name is wrong.
#[test]
fn a_field_that_no_object_has_is_an_error() {
    let mut e = enricher("h");
    e.format = Format::JsonLines;
    e.columns = vec![Column::Office];
    let (out, _) = enrich(&e, b"{\"a\":1}\n{\"h\":\"anchor\"}\n").expect("one has it");
    assert_eq!(
        text(&out),
        "{\"a\":1,\"office\":null}\n{\"h\":\"anchor\",\"office\":\"birmingham\"}\n"
    );
    let many = "{\"a\":1,\"marks\":\"anchor\"}\n".repeat(30_000);
    for input in ["{\"a\":1,\"marks\":\"anchor\"}\n", &many] {
        match enrich(&e, input.as_bytes()) {
            Err(Error::Head(said)) => assert_eq!(
                said,
                "no row has a field \"h\"\n  the fields of the first are \"a\", \"marks\""
            ),
            other => panic!("{:?}", other.map(|o| o.1)),
        }
    }
    // A byte order mark is no part of the first object.
    let (out, summary) = enrich(&e, b"\xef\xbb\xbf{\"h\":\"anchor\"}\r\n").expect("it runs");
    assert_eq!(summary.problems, 0);
    assert_eq!(text(&out), "\u{feff}{\"h\":\"anchor\",\"office\":\"birmingham\"}\r\n");
}

// ---- The program --------------------------------------------------------------------------------

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

fn path(folder: &Path, name: &str) -> String {
    folder.join(name).to_string_lossy().into_owned()
}

#[test]
fn files_are_written_whole_and_beside() {
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    fs::write(&stock, STOCK).expect("written");
    let ran = program(&["enrich", &stock, "--marks", "Hallmarks", "-o", &out], "");
    assert_eq!((ran.code, ran.out.as_str()), (0, ""), "{}", ran.err);
    assert!(ran.err.contains("4 rows read, 4 written"), "{}", ran.err);
    assert_eq!(rows(&fs::read(&out).expect("it is there")).len(), 5);
    // Nothing else was left in the folder.
    assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 2);
    // The catalogue itself is only replaced when that was asked for.
    let ran = program(&["enrich", &stock, "--marks", "Hallmarks", "-o", &stock], "");
    assert_eq!(ran.code, 2);
    assert_eq!(fs::read_to_string(&stock).expect("it is there"), STOCK);
    let ran = program(&["enrich", &stock, "--marks", "Hallmarks", "--in-place"], "");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(fs::read_to_string(&stock).expect("it is there").contains("best_office"));
}

#[test]
fn pipes_work_both_ways() {
    let ran = program(&["enrich", "-", "--marks", "Hallmarks", "--add", "shown,fits"], STOCK);
    assert_eq!(ran.code, 0);
    assert!(ran.out.starts_with("Stock no,Item,Hallmarks,Stated,shown,fits\n"), "{}", ran.out);
    assert!(ran.out.contains(",Birmingham 1803,1803/04,1\n"), "{}", ran.out);
    let json = "{\"n\":1,\"h\":\"anchor, lion passant, small roman f, king's head\"}\n";
    let ran =
        program(&["enrich", "-", "--format", "jsonl", "--marks", "h", "--detail", "json"], json);
    let v: serde_json::Value = serde_json::from_str(&ran.out).expect("an object");
    assert_eq!(v["shown"], "1803/04");
    assert_eq!(v["year_from"], 1803);
    assert_eq!(v["reading"]["schema"], "puncheon.reading/1");
    assert!(ran.out.starts_with(json.trim_end_matches("}\n")));
}

/// A pipe or a device of the result's name is written into, and a link stays a link.
#[cfg(unix)]
#[test]
fn pipes_and_links_are_not_replaced() {
    use std::os::unix::fs::{FileTypeExt, symlink};
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), STOCK).expect("written");
    let into = |name: &str| {
        let ran =
            program(&["enrich", &file("stock.csv"), "--marks", "Hallmarks", "-o", &file(name)], "");
        assert_eq!(ran.code, 0, "{}", ran.err);
    };
    fs::write(file("real.csv"), "old").expect("written");
    symlink(file("real.csv"), file("link.csv")).expect("linked");
    into("link.csv");
    let link = fs::symlink_metadata(file("link.csv")).expect("it is there");
    assert!(link.is_symlink());
    assert_eq!(rows(&fs::read(file("real.csv")).expect("it is there")).len(), 5);

    let made = Command::new("mkfifo").arg(file("pipe")).status();
    assert!(made.expect("mkfifo runs").success());
    let pipe = file("pipe");
    let reader = std::thread::spawn(move || fs::read(pipe).expect("it is read"));
    into("pipe");
    assert_eq!(rows(&reader.join().expect("it ends")).len(), 5);
    let pipe = fs::symlink_metadata(file("pipe")).expect("it is there");
    assert!(pipe.file_type().is_fifo());
}

#[test]
fn no_file_is_written_over_another() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), STOCK).expect("written");
    let (stock, out, other) = (file("stock.csv"), file("out.csv"), file("other"));
    let base = ["enrich", &stock, "--marks", "Hallmarks", "--claim", "Stated", "-o", &out];
    for (args, said) in [
        (["--summary", &stock, "--rejects", &other], "the catalogue and for --summary"),
        (["--summary", &other, "--rejects", &stock], "the catalogue and for --rejects"),
        (["--worklist", &out, "--rejects", &other], "the result and for --worklist"),
        (["--worklist", &other, "--rejects", &other], "--rejects and for --worklist"),
        (["--summary", "-", "--rejects", &other], "--summary is written to a file of its own"),
    ] {
        let ran = program(&[&base[..], &args].concat(), "");
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(said), "{args:?}: {}", ran.err);
        assert_eq!(fs::read_to_string(&stock).expect("it is there"), STOCK);
        assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 1);
    }
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let dir = folder();
    let stock = path(dir.path(), "stock.csv");
    let mut book = Vec::new();
    sample::write(tables(), 50_000, 1, Repeats::AsInLife, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    let mut child = Command::new(PUNCHEON)
        .args(["enrich", &stock, "--marks", "Hallmarks"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut some = [0; 100];
    child.stdout.take().expect("a pipe").read_exact(&mut some).expect("it writes");
    let done = child.wait_with_output().expect("it ends");
    assert_eq!(done.status.code(), Some(0));
    assert_eq!(text(&done.stderr), "");
}

/// Killed outright, it leaves the old file as it was.
#[test]
fn a_kill_leaves_the_old_file() {
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    fs::write(&out, "old").expect("written");
    let mut book = Vec::new();
    sample::write(tables(), 200_000, 1, Repeats::Never, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    let mut child = Command::new(PUNCHEON)
        .args(["enrich", &stock, "--marks", "Hallmarks", "-o", &out])
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    std::thread::sleep(Duration::from_millis(300));
    assert!(child.try_wait().expect("it can be asked").is_none(), "it is still at work");
    child.kill().expect("it is killed");
    child.wait().expect("it ends");
    assert_eq!(fs::read_to_string(&out).expect("it is there"), "old");
}

/// On a disk that is too small it says so and leaves the old file, and nothing else.
#[cfg(unix)]
#[test]
fn a_disk_too_small_leaves_the_old_file() {
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    fs::write(&out, "old").expect("written");
    let mut book = Vec::new();
    sample::write(tables(), 20_000, 1, Repeats::AsInLife, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    // A file may grow to 512 kB; the signal that says so is ignored, so that writing fails instead.
    let script =
        "trap '' XFSZ; ulimit -f 1000; exec \"$0\" enrich \"$1\" --marks Hallmarks -o \"$2\"";
    let done = Command::new("sh")
        .args(["-c", script, PUNCHEON, &stock, &out])
        .output()
        .expect("it starts");
    assert_eq!(done.status.code(), Some(2), "{}", text(&done.stderr));
    assert!(text(&done.stderr).contains("was not touched"), "{}", text(&done.stderr));
    assert_eq!(fs::read_to_string(&out).expect("it is there"), "old");
    assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 2);
}

/// A long stream needs no more memory than a short one.
#[cfg(target_os = "linux")]
#[test]
fn memory_is_flat() {
    let mut book = Vec::new();
    sample::write(tables(), 5000, 1, Repeats::AsInLife, &mut book).expect("written");
    let head = book.iter().position(|b| *b == b'\n').expect("a head") + 1;
    let mut child = Command::new(PUNCHEON)
        .args(["enrich", "-", "--marks", "Hallmarks"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    stdin.write_all(&book[..head]).expect("written");
    let mut most = 0;
    for _ in 0..100 {
        stdin.write_all(&book[head..]).expect("written");
        let status =
            fs::read_to_string(format!("/proc/{}/status", child.id())).expect("its status");
        let kib = status
            .lines()
            .find_map(|l| l.strip_prefix("VmHWM:"))
            .and_then(|l| l.trim().trim_end_matches(" kB").parse::<u64>().ok())
            .expect("its peak");
        most = most.max(kib);
    }
    drop(stdin);
    assert!(child.wait().expect("it ends").success());
    assert!(most < 64 * 1024, "{most} KiB");
}

#[test]
fn worklist_terms_rejects_and_summary_are_written() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), format!("{STOCK}5,\"x\",\"bad\n")).expect("written");
    fs::write(
        file("terms.csv"),
        "birmingham,Assay Office Birmingham\nfits,dated\nBirmnigham,Birmingham\n",
    )
    .expect("written");
    let ran = program(
        &[
            "enrich",
            &file("stock.csv"),
            "--marks",
            "Hallmarks",
            "--claim",
            "Stated",
            "--stamp",
            "--terms",
            &file("terms.csv"),
            "--worklist",
            &file("work.tsv"),
            "--rejects",
            &file("bad.tsv"),
            "--summary",
            &file("summary.json"),
            "-o",
            &file("out.csv"),
        ],
        "",
    );
    assert_eq!(ran.code, 1, "{}", ran.err);
    let read = |name: &str| fs::read_to_string(file(name)).expect(name);
    assert!(read("out.csv").contains("dated,Assay Office Birmingham,1803"));
    assert!(read("out.csv").contains("Read from a description of the marks"));
    assert_eq!(read("work.tsv").lines().count(), 2);
    assert!(read("work.tsv").contains("2\t3\tfails\tChester 1908\tbirmingham 1909/10"));
    assert!(
        read("bad.tsv").starts_with(
            "6\t7\ta quote that is not closed, or not within a million bytes\t5,\"x\",\"bad"
        ),
        "{}",
        read("bad.tsv")
    );
    let summary: serde_json::Value = serde_json::from_str(&read("summary.json")).expect("JSON");
    assert_eq!(summary["schema"], "puncheon.summary/1");
    assert_eq!((&summary["rows"], &summary["problems"]), (&5.into(), &1.into()));
    assert!(ran.err.contains("\"wobbly\" 1"), "{}", ran.err);
    assert!(ran.err.contains("terms.csv that stood in no cell: \"Birmnigham\"\n"), "{}", ran.err);
}

#[test]
fn since_lists_answers_that_changed() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), STOCK).expect("written");
    let ran = program(
        &["enrich", &file("stock.csv"), "--marks", "Hallmarks", "-o", &file("old.csv")],
        "",
    );
    assert_eq!(ran.code, 0);
    let old = fs::read_to_string(file("old.csv")).expect("it is there");
    fs::write(file("old.csv"), old.replace("1803/04", "1804/05")).expect("written");
    let ran = program(
        &[
            "enrich",
            &file("stock.csv"),
            "--marks",
            "Hallmarks",
            "--since",
            &file("old.csv"),
            "-o",
            &file("new.csv"),
        ],
        "",
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        ran.out,
        "row\tcolumn\twas\tis\n1\tshown\t1804/05\t1803/04\n1\tbest_shown\t1804/05\t1803/04\n"
    );
}

/// Each change is one line of four cells, whatever stands in the cells.
#[test]
fn since_writes_one_line_a_change() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), "Hallmarks\nanchor\nlion\n").expect("written");
    for (was, said) in [
        ("a\nb", "a b"),
        ("a\r\nb", "a  b"),
        ("a\tb\tc", "a b c"),
        ("\n", " "),
        ("a\u{2028}b\u{85}c\u{b}d", "a b c d"),
    ] {
        let old = format!("Hallmarks,outcome\nanchor,\"{was}\"\nlion,fits\n");
        fs::write(file("old.csv"), old).expect("written");
        let (stock, old, new) = (file("stock.csv"), file("old.csv"), file("new.csv"));
        let args = ["enrich", &stock, "--marks", "Hallmarks", "--add", "outcome"];
        let ran = program(&[&args[..], &["--since", &old, "-o", &new]].concat(), "");
        assert_eq!(ran.code, 0, "{}", ran.err);
        let wanted = format!("row\tcolumn\twas\tis\n1\toutcome\t{said}\tfits\n");
        assert_eq!(ran.out, wanted, "{was:?}");
    }
}

/// Rows that stand elsewhere are no changes; a description that was mended leaves the row the same.
#[test]
fn since_knows_a_row_by_the_users_own_columns() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    let enrich = |stock: &str, more: &[&str]| {
        fs::write(file("stock.csv"), stock).expect("written");
        let stock = file("stock.csv");
        let mut args = vec!["enrich", stock.as_str(), "--marks", "Hallmarks"];
        args.extend(["--add", "office", "-o"]);
        args.extend(more);
        program(&args, "")
    };
    let (old, new) = (file("old.csv"), file("new.csv"));
    assert_eq!(enrich(STOCK, &[&old]).code, 0);
    let mended = STOCK.replace("EPNS", "\"crown, lion passant\"");
    let ran = enrich(&mended, &[&new, "--since", &old]);
    assert_eq!((ran.code, ran.out.lines().count()), (0, 2), "{}", ran.err);
    let mut lines: Vec<&str> = STOCK.lines().collect();
    lines.swap(1, 2);
    let ran = enrich(&format!("{}\n", lines.join("\n")), &[&new, "--since", &old]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("row 1 is another than in the earlier result"), "{}", ran.err);
}

/// Where one of the files cannot be written, or the results cannot be compared, none takes its name.
#[cfg(target_os = "linux")]
#[test]
fn files_take_their_names_together() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    fs::write(file("stock.csv"), STOCK).expect("written");
    fs::write(file("out.csv"), "old").expect("written");
    fs::write(file("short.csv"), "outcome\nfits\n").expect("written");
    let stated = ["--claim", "Stated", "--worklist", "/dev/full"];
    for more in [stated.to_vec(), vec!["--since", &file("short.csv")]] {
        let (stock, out) = (file("stock.csv"), file("out.csv"));
        let mut args = vec!["enrich", &stock, "--marks", "Hallmarks", "-o", &out];
        args.extend(&more);
        let ran = program(&args, "");
        assert_eq!(ran.code, 2, "{more:?}: {}", ran.err);
        assert_eq!(fs::read_to_string(file("out.csv")).expect("there"), "old");
        assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 3);
    }
}

/// Asked to end, it ends: the old file stays, and nothing lies beside it.
#[cfg(unix)]
#[test]
fn asked_to_end_it_leaves_nothing() {
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    let mut book = Vec::new();
    sample::write(tables(), 200_000, 1, Repeats::Never, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    // Under nohup, say, this test is itself to ignore one, and so is what it runs.
    let heard = ["TERM", "HUP", "INT"].map(|s| (s, !ignored_here(s)));
    for (signal, _) in heard.into_iter().filter(|(_, heard)| *heard) {
        fs::write(&out, "old").expect("written");
        let mut child = Command::new(PUNCHEON)
            .args(["enrich", &stock, "--marks", "Hallmarks", "-o", &out])
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        begun(dir.path(), &mut child);
        send(signal, &child);
        let done = child.wait_with_output().expect("it ends");
        let said = text(&done.stderr);
        assert!(said.contains("stopped after"), "{signal}: {said}");
        assert!(said.contains("was not touched"), "{signal}: {said}");
        assert_eq!(done.status.code(), Some(2), "{signal}");
        assert_eq!(fs::read_to_string(&out).expect("there"), "old");
        assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 2);
    }
}

/// Each signal is taken or left by itself: of those that were to be ignored none ends it, the others do.
#[cfg(unix)]
#[test]
fn what_is_to_be_ignored_is_ignored_and_the_rest_heard() {
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    let mut book = Vec::new();
    sample::write(tables(), 200_000, 1, Repeats::Never, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    let all = ["TERM", "HUP", "INT"];
    for ignored in [&["HUP"][..], &["INT"], &["TERM"], &["HUP", "INT"], &["INT", "TERM"]] {
        let script = format!(
            "trap '' {}; exec \"$0\" enrich \"$1\" --marks Hallmarks -o \"$2\"",
            ignored.join(" ")
        );
        let heard = all.iter().find(|s| !ignored.contains(s) && !ignored_here(s));
        let Some(heard) = heard else { continue };
        let mut child = Command::new("sh")
            .args(["-c", &script, PUNCHEON, &stock, &out])
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        begun(dir.path(), &mut child);
        for signal in ignored {
            send(signal, &child);
        }
        std::thread::sleep(Duration::from_millis(100));
        let at_work = child.try_wait().expect("it can be asked").is_none();
        assert!(at_work, "{ignored:?} end it");
        send(heard, &child);
        let done = child.wait_with_output().expect("it ends");
        let said = text(&done.stderr);
        assert!(said.contains("stopped after"), "{heard} past {ignored:?}: {said}");
        assert_eq!(done.status.code(), Some(2));
        assert_eq!(names(dir.path()), ["stock.csv"], "{heard} past {ignored:?}");
    }
}

/// Asked to end while nothing is handed over, it ends as soon, and leaves nothing.
#[cfg(unix)]
#[test]
fn asked_to_end_while_it_waits_it_ends() {
    let dir = folder();
    let (out, fifo) = (path(dir.path(), "out.csv"), path(dir.path(), "fifo.csv"));
    let made = Command::new("mkfifo").arg(&fifo).status();
    assert!(made.expect("it runs").success());
    fs::write(&out, "old").expect("written");
    let heard = ["TERM", "HUP", "INT"].into_iter();
    let heard: Vec<&str> = heard.filter(|s| !ignored_here(s)).collect();
    for (given, format, input) in [
        ("", "csv", "-"),
        ("Lot,Hall", "csv", "-"),
        ("Hallmarks\nanchor\n", "csv", "-"),
        ("{\"Hallmarks\":\"anchor\"}\n", "jsonl", "-"),
        ("Hallmarks\nanchor\n", "csv", fifo.as_str()),
    ] {
        for signal in &heard {
            let at = format!("{signal}, {input}, {given:?}");
            let mut child = Command::new(PUNCHEON)
                .args(["enrich", input, "--marks", "Hallmarks", "-o", &out])
                .args(["--format", format, "--rejects"])
                .arg(path(dir.path(), "bad.tsv"))
                .stdin(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .expect("it starts");
            // Kept open: the end of the input never comes.
            let mut rows: Box<dyn Write> = match input {
                "-" => Box::new(child.stdin.take().expect("a pipe")),
                fifo => Box::new(fs::OpenOptions::new().write(true).open(fifo).expect("one")),
            };
            rows.write_all(given.as_bytes()).expect("written");
            begun(dir.path(), &mut child);
            send(signal, &child);
            let asked = std::time::Instant::now();
            while child.try_wait().expect("it can be asked").is_none() {
                if asked.elapsed() > Duration::from_secs(10) {
                    child.kill().expect("it is killed");
                    panic!("{at}: it waits on");
                }
                std::thread::sleep(Duration::from_millis(5));
            }
            let done = child.wait_with_output().expect("it ends");
            let said = text(&done.stderr);
            assert!(said.contains("stopped after"), "{at}: {said}");
            assert!(said.contains("was not touched"), "{at}: {said}");
            assert_eq!(done.status.code(), Some(2), "{at}");
            assert_eq!(fs::read_to_string(&out).expect("there"), "old");
            assert_eq!(names(dir.path()), ["fifo.csv", "out.csv"], "{at}");
        }
    }
}

/// Asked again after a while, it ends at once, though nobody takes what it writes. Asked twice at once,
/// as `timeout` asks, it ends as if asked once.
#[cfg(unix)]
#[test]
fn asked_once_more_it_ends_at_once() {
    use std::os::unix::process::ExitStatusExt;
    let dir = folder();
    let (stock, out) = (path(dir.path(), "stock.csv"), path(dir.path(), "out.csv"));
    let mut book = Vec::new();
    sample::write(tables(), 200_000, 1, Repeats::Never, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    for (signal, number) in [("TERM", 15), ("HUP", 1), ("INT", 2)] {
        if ignored_here(signal) {
            continue;
        }
        let mut child = Command::new(PUNCHEON)
            .args(["enrich", &stock, "--marks", "Hallmarks"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it starts");
        let mut some = [0; 100];
        let mut taken = child.stdout.take().expect("a pipe");
        taken.read_exact(&mut some).expect("it writes");
        // By now the pipe is full, and it waits for a reader.
        std::thread::sleep(Duration::from_millis(300));
        send(signal, &child);
        std::thread::sleep(Duration::from_millis(1200));
        let waits = child.try_wait().expect("it can be asked").is_none();
        assert!(waits, "{signal}: its pipe is not full");
        send(signal, &child);
        std::thread::sleep(Duration::from_millis(300));
        let ended = child.try_wait().expect("it can be asked");
        if ended.is_none() {
            child.kill().expect("it is killed");
        }
        assert_eq!(ended.map(|e| e.signal()), Some(Some(number)), "{signal}");

        let mut child = Command::new(PUNCHEON)
            .args(["enrich", &stock, "--marks", "Hallmarks", "-o", &out])
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        begun(dir.path(), &mut child);
        let script = format!("kill -{signal} {0}; kill -{signal} {0} || true", child.id());
        let sent = Command::new("sh").args(["-c", &script]).stderr(Stdio::null()).status();
        assert!(sent.expect("it is sent").success());
        let done = child.wait_with_output().expect("it ends");
        let said = text(&done.stderr);
        assert!(said.contains("stopped after"), "{signal}: {said}");
        assert_eq!(names(dir.path()), ["stock.csv"], "{signal}");
    }
}

/// Waits until a run has begun to write: it listens by then.
fn begun(folder: &Path, child: &mut Child) {
    let beside = |n: &String| n.starts_with(".puncheon-");
    while !names(folder).iter().any(beside) {
        assert!(child.try_wait().expect("it can be asked").is_none());
        std::thread::sleep(Duration::from_millis(2));
    }
}

#[cfg(unix)]
fn send(signal: &str, child: &Child) {
    let sent = Command::new("kill").args([format!("-{signal}"), child.id().to_string()]).status();
    assert!(sent.expect("it is sent").success());
}

/// Is this process to ignore a signal? What it runs is so too, and lives on.
#[cfg(unix)]
fn ignored_here(signal: &str) -> bool {
    let lives = Command::new("sh").args(["-c", &format!("kill -{signal} $$")]).status();
    lives.expect("it runs").success()
}

/// The files of a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let all = fs::read_dir(folder).expect("listed");
    let mut names: Vec<String> =
        all.map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Whatever keeps one file from its name, no other has changed.
#[cfg(unix)]
#[test]
fn where_one_cannot_take_its_name_none_does() {
    use std::os::unix::fs::PermissionsExt;
    let listed = ["rejects", "worklist", "summary", "out"];
    for victim in listed {
        for mischief in ["a folder", "gone", "read only", "too long", "a file for a folder"] {
            let dir = folder();
            let mut files = listed.map(|name| {
                fs::create_dir(dir.path().join(name)).expect("made");
                dir.path().join(name).join("file.csv")
            });
            let at = listed.iter().position(|n| *n == victim).expect("there");
            let place = files[at].clone();
            if mischief == "too long" {
                files[at].set_file_name("x".repeat(300));
            } else if mischief == "a file for a folder" {
                files[at].push("file.csv");
            }
            for (file, name) in files.iter().zip(listed) {
                if *file == place || name != victim {
                    fs::write(file, "old").expect("written");
                }
            }
            let [rejects, worklist, summary, out] =
                files.each_ref().map(|f| f.to_string_lossy().into_owned());
            let mut child = Command::new(PUNCHEON)
                .args(["enrich", "-", "--marks", "Hallmarks", "--claim", "Stated"])
                .args(["--rejects", &rejects, "--worklist", &worklist])
                .args(["--summary", &summary, "-o", &out])
                .stdin(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .expect("it starts");
            let mut rows = child.stdin.take().expect("a pipe");
            let (head, rest) = STOCK.split_at(30);
            let own = dir.path().join(victim);
            if !["too long", "a file for a folder"].contains(&mischief) {
                begun(&own, &mut child);
            }
            // A program that has given up is not listening.
            let _ = rows.write_all(head.as_bytes());
            match mischief {
                "a folder" => {
                    fs::remove_file(&place).expect("removed");
                    fs::create_dir(&place).expect("made");
                }
                "gone" => fs::remove_dir_all(&own).expect("removed"),
                "read only" => {
                    fs::set_permissions(&own, fs::Permissions::from_mode(0o555)).expect("set");
                    // One user may write everywhere.
                    if fs::write(own.join("try"), "").is_ok() {
                        continue;
                    }
                }
                _ => {}
            }
            let _ = rows.write_all(rest.as_bytes());
            drop(rows);
            let done = child.wait_with_output().expect("it ends");
            let said = format!("{victim}, {mischief}: {}", text(&done.stderr));
            assert_eq!(done.status.code(), Some(2), "{said}");
            assert!(said.contains(victim) && !said.contains("panicked"), "{said}");
            if mischief == "read only" {
                fs::set_permissions(&own, fs::Permissions::from_mode(0o755)).expect("set");
            }
            for (file, name) in files.iter().zip(listed).filter(|(_, n)| *n != victim) {
                let is = fs::read_to_string(file).expect("it is there");
                assert_eq!(is, "old", "{name}: {said}");
                let folder = file.parent().expect("a folder");
                assert_eq!(names(folder), ["file.csv"], "{name}: {said}");
            }
        }
    }
}

/// In a folder that all share nobody can remove a file of another's, nor a second name of it.
#[cfg(unix)]
#[test]
fn in_a_shared_folder_no_second_name_is_left() {
    use std::os::unix::fs::PermissionsExt;
    let dir = folder();
    let set = |file: &str, mode| {
        fs::set_permissions(file, fs::Permissions::from_mode(mode)).expect("set");
    };
    set(&dir.path().to_string_lossy(), 0o755);
    // Where another user may run it.
    let own = path(dir.path(), "puncheon");
    fs::copy(PUNCHEON, &own).expect("copied");
    set(&own, 0o755);
    let nobody = ["--reuid", "65534", "--regid", "65534", "--clear-groups"];
    let as_nobody = |args: &[&str]| {
        let mut command = Command::new("setpriv");
        command.args(nobody).arg(&own).args(args);
        command.output()
    };
    // One user alone may become another.
    if !as_nobody(&["--version"]).is_ok_and(|o| o.status.success()) {
        return;
    }
    for victim in ["summary.json", "work.tsv", "out.csv"] {
        let shared = path(dir.path(), "shared");
        fs::create_dir(&shared).expect("made");
        set(&shared, 0o1777);
        let file = |name: &str| path(Path::new(&shared), name);
        fs::write(file("stock.csv"), STOCK).expect("written");
        fs::write(file(victim), "old").expect("written");
        set(&file("stock.csv"), 0o644);
        set(&file(victim), 0o666);
        let mut args = vec!["enrich".to_string(), file("stock.csv")];
        for (option, value) in [
            ("--marks", "Hallmarks".to_string()),
            ("--claim", "Stated".to_string()),
            ("--summary", file("summary.json")),
            ("--worklist", file("work.tsv")),
            ("-o", file("out.csv")),
        ] {
            args.extend([option.to_string(), value]);
        }
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let done = as_nobody(&args).expect("it runs");
        let said = text(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{victim}: {said}");
        assert!(said.contains(victim), "{victim}: {said}");
        let mut left = vec!["stock.csv", victim];
        left.sort_unstable();
        assert_eq!(names(Path::new(&shared)), left, "{victim}: {said}");
        assert_eq!(fs::read_to_string(file(victim)).expect("there"), "old");
        // To its owner it is a file like any other.
        let ran = program(&args, "");
        assert_eq!(ran.code, 0, "{victim}: {}", ran.err);
        assert_ne!(fs::read_to_string(file(victim)).expect("there"), "old");
        fs::remove_dir_all(&shared).expect("removed");
    }
}

/// What was not there before is not there after a run that failed.
#[test]
fn where_one_cannot_take_its_name_no_new_file_is_left() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    let (stock, work, out) = (file("stock.csv"), file("work.tsv"), file("out.csv"));
    fs::write(&stock, STOCK).expect("written");
    let args = ["enrich", &stock, "--marks", "Hallmarks", "--claim", "Stated"];
    let long = file(&"x".repeat(300));
    for to in [&["-o", &out][..], &["--in-place"]] {
        let also = ["--worklist", &work, "--summary", &long];
        let ran = program(&[&args[..], to, &also].concat(), "");
        assert_eq!(ran.code, 2, "{}", ran.err);
        assert_eq!(names(dir.path()), ["stock.csv"], "{}", ran.err);
        assert_eq!(fs::read_to_string(&stock).expect("there"), STOCK);
    }
}

/// A catalogue that somebody changes while it is read is theirs.
#[test]
fn what_another_wrote_meanwhile_is_not_written_over() {
    let dir = folder();
    let stock = dir.path().join("stock.csv");
    let mut book = Vec::new();
    sample::write(tables(), 50_000, 1, Repeats::Never, &mut book).expect("written");
    for change in ["longer", "another", "as long", "gone"] {
        fs::write(&stock, &book).expect("written");
        let when = fs::metadata(&stock).and_then(|m| m.modified()).expect("a time");
        let mut child = Command::new(PUNCHEON)
            .arg("enrich")
            .arg(&stock)
            .args(["--marks", "Hallmarks", "--in-place"])
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        begun(dir.path(), &mut child);
        let mut theirs = book.clone();
        match change {
            "longer" => theirs.extend_from_slice(b"one more\n"),
            "another" => theirs = STOCK.into(),
            _ => *theirs.last_mut().expect("a byte") = b' ',
        }
        match change {
            "gone" => fs::remove_file(&stock).expect("removed"),
            "another" => {
                let new = dir.path().join("new");
                fs::write(&new, &theirs).expect("written");
                fs::rename(&new, &stock).expect("renamed");
            }
            _ => {
                fs::write(&stock, &theirs).expect("written");
                let file = fs::OpenOptions::new().append(true).open(&stock);
                file.and_then(|f| f.set_modified(when)).expect("set back");
            }
        }
        let done = child.wait_with_output().expect("it ends");
        let said = text(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{change}: {said}");
        assert!(said.contains("stock.csv was changed by another"), "{change}: {said}");
        assert!(said.contains("run this again"), "{change}: {said}");
        if change == "gone" {
            assert!(names(dir.path()).is_empty());
        } else {
            assert!(fs::read(&stock).expect("there") == theirs, "{change}");
            assert_eq!(names(dir.path()), ["stock.csv"]);
        }
    }
}

/// Where no thread can be started the rows are answered all the same, by those that there are.
#[cfg(target_os = "linux")]
#[test]
fn without_threads_it_goes_on_alone() {
    let dir = folder();
    let stock = path(dir.path(), "stock.csv");
    let mut book = Vec::new();
    sample::write(tables(), 3_000, 1, Repeats::Never, &mut book).expect("written");
    fs::write(&stock, book).expect("written");
    let run = |bytes: u64, args: &[&str]| {
        let done = Command::new(PUNCHEON)
            .args(["enrich", &stock, "--marks", "Hallmarks"])
            .args(args)
            // Each thread asks for so much room; the most that there can be are 2^47 bytes.
            .env("RUST_MIN_STACK", bytes.to_string())
            .output()
            .expect("it starts");
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        done.stdout
    };
    let usual = run(1 << 21, &[]);
    for threads in ["0", "1", "5", "100", "18446744073709551615"] {
        // From all that are wanted by way of a few to none.
        for power in [43, 45, 46, 47] {
            let few = run(1 << power, &["--threads", threads]);
            assert!(few == usual, "{threads} threads, 2^{power} bytes each");
        }
    }
    // A column that is not there, a stop and a field that no object has are told in the same words.
    let done = Command::new(PUNCHEON)
        .args(["enrich", "-", "--format", "jsonl", "--marks", "h"])
        .env("RUST_MIN_STACK", (1u64 << 47).to_string())
        .stdin(fs::File::open(&stock).expect("there"))
        .output()
        .expect("it starts");
    assert_eq!(done.status.code(), Some(1), "{}", text(&done.stderr));
}

/// What records write where nothing is stated is no claim; what cannot be read is on the worklist.
#[test]
fn nothing_stated_is_no_claim() {
    let mut e = enricher("m");
    e.claim = Some("s".into());
    e.columns = vec![Column::Verdict];
    let rows = ["n.d.", "Undated", "unknown", "?", "-", " ", "1803", "two bad words"];
    let mut book = "m,s\n".to_string();
    for s in rows {
        book += &format!("\"anchor, lion passant, small roman f, king's head\",{s}\n");
    }
    let (out, summary) = enrich(&e, book.as_bytes()).expect("it runs");
    let verdicts: Vec<&str> =
        text(&out).lines().skip(1).map(|l| l.rsplit(',').next().expect("a cell")).collect();
    assert_eq!(verdicts, ["", "", "", "", "", "", "holds", "unreadable"]);
    let listed = summary.disagreements.iter().map(|d| (d.row, d.line, d.verdict.word()));
    assert_eq!(listed.collect::<Vec<_>>(), [(8, 9, "unreadable")]);
}

/// Lines are counted where rows run over several.
#[test]
fn a_worklist_names_the_line_where_a_row_begins() {
    let mut e = enricher("m");
    e.claim = Some("s".into());
    let book =
        "m,s\r\n\"anchor,\nlion passant, k\",1908\r\n\r\n\"anchor, lion passant, k\",1908\r\n";
    let (_, summary) = enrich(&e, book.as_bytes()).expect("it runs");
    let lines: Vec<_> = summary.disagreements.iter().map(|d| (d.row, d.line)).collect();
    assert_eq!(lines, [(1, 2), (2, 5)]);
}

/// What is no answer but many would be a name that is taken for one.
#[test]
fn a_note_of_several_fits_names_them_all() {
    let mut e = enricher("m");
    e.stamp = true;
    let notes: Vec<String> = ["anchor, lion passant, small roman f, king's head", "anchor, k"]
        .iter()
        .map(|m| e.cells(m, "").pop().expect("a note"))
        .collect();
    assert!(notes[0].contains("piece: Birmingham 1803/04; the tables"), "{}", notes[0]);
    assert!(notes[1].contains(" fit, from 17"), "{}", notes[1]);
    assert!(notes[1].contains(", such as Birmingham "), "{}", notes[1]);
}

#[test]
fn misuse_is_said_before_any_work() {
    let dir = folder();
    let file = |name: &str, bytes: &[u8]| {
        let name = path(dir.path(), name);
        fs::write(&name, bytes).expect("written");
        name
    };
    let stock = file("stock.csv", STOCK.as_bytes());
    let empty = file("empty.csv", b"");
    let wide = file("wide.csv", b"\xff\xfem\0,\0s\0\n\0");
    let taken = file("taken.jsonl", b"{\"m\":\"anchor\",\"office\":1}\n");
    let unstated = file("unstated.jsonl", b"{\"m\":\"anchor\"}\n");
    let here = dir.path().to_str().expect("a name").to_string();
    let sheet = path(dir.path(), "out.xlsx");
    let out = path(dir.path(), "out.csv");
    for (args, said) in [
        (vec!["enrich", "nowhere.csv", "--marks", "h"], "nowhere.csv"),
        (vec!["enrich", &stock, "--marks", "Marks"], "the columns are"),
        (vec!["enrich", &stock, "--marks", "Hallmarks", "--add", "date"], "the columns are"),
        (vec!["enrich", "stock.doc", "--marks", "h"], "--format"),
        (vec!["enrich", "-", "--marks", "h", "--in-place"], "standard input"),
        (
            vec!["enrich", &stock, "--marks", "Hallmarks", "--in-place", "-o", &out],
            "cannot be used with",
        ),
        (vec!["enrich", &stock, "--marks", "Hallmarks", "-o", &sheet], "the catalogue is a text"),
        (vec!["enrich", &stock, "--marks", "Hallmarks", "--add", "fits,Fits"], "\"fits\" twice"),
        (vec!["enrich", &stock, "--marks", "Hallmarks", "--add", "verdict"], "--claim"),
        (vec!["enrich", &here, "--format", "csv", "--marks", "h"], "is a folder"),
        (vec!["enrich", &empty, "--marks", "h"], "is empty"),
        (vec!["enrich", &wide, "--marks", "m"], "UTF-16"),
        (vec!["enrich", &taken, "--marks", "m"], "a field \"office\" already"),
        (
            vec!["enrich", &unstated, "--marks", "M", "--claim", "s", "-o", &out],
            "no row has a field \"s\"",
        ),
        (
            vec!["enrich", &stock, "--marks", "Hallmarks", "-o", "/nowhere/out.csv"],
            "/nowhere/out.csv",
        ),
    ] {
        let ran = program(&args, "");
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(said), "{args:?}: {}", ran.err);
    }
}

/// An awkward catalogue, read back by Python's csv module and by SQLite, where they are.
#[test]
fn others_read_what_was_written() {
    let dir = folder();
    let file = |name: &str| path(dir.path(), name);
    let mut stock = String::from("n,marks,\"a note, quoted\"\n");
    for n in 0..200 {
        stock.push_str(&format!(
            "{n},\"anchor; lion \"\"passant\"\"; letter {}\",\"line\nbreak\"\n",
            char::from(b'a' + n as u8 % 26)
        ));
    }
    fs::write(file("stock.csv"), stock).expect("written");
    let ran =
        program(&["enrich", &file("stock.csv"), "--marks", "marks", "-o", &file("out.csv")], "");
    assert_eq!(ran.code, 0, "{}", ran.err);
    let python = "import csv,sys\nrows=list(csv.reader(open(sys.argv[1],newline='')))\nassert len(rows)==201 and {len(r) for r in rows}=={21}\nassert rows[6][1]=='anchor; lion \"passant\"; letter f' and rows[6][2]=='line\\nbreak'\nprint(rows[6][3])";
    match Command::new("python3").args(["-c", python, &file("out.csv")]).output() {
        Ok(done) => assert_eq!(text(&done.stdout), "fits\n", "{}", text(&done.stderr)),
        Err(_) => println!("no python3 here"),
    }
    let script = format!(
        ".mode csv\n.import {} t\nselect count(*), sum(outcome='fits') from t;",
        file("out.csv")
    );
    match Command::new("sqlite3").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn() {
        Ok(mut child) => {
            child.stdin.take().expect("a pipe").write_all(script.as_bytes()).expect("written");
            let done = child.wait_with_output().expect("it ends");
            assert!(text(&done.stdout).starts_with("200,"), "{}", text(&done.stdout));
        }
        Err(_) => println!("no sqlite3 here"),
    }
}
