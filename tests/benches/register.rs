//! What the register of makers costs, as it is and grown to fifty thousand invented marks.
//!
//! The two are measured by turns. Opening the register, and a reading without a maker's mark, must cost
//! the same whatever its length; a reading with initials costs what it lists. A user's own register
//! of that length is read at each start, and what that costs is printed beside.

use std::fmt::Write as _;
use std::fs;
use std::hint::black_box;
use std::process::{Command, Stdio};
use std::time::Instant;

use puncheon::schema::entry::{Basis, Confidence, File};
use puncheon::schema::read;
use puncheon::schema::register::Register;
use puncheon::schema::sponsor::Sponsor;
use puncheon::{Options, Tables};

const MARKS: usize = 50_000;
const PLAIN: &str = "anchor, lion passant, small roman f, king's head";
const MADE: &str = "anchor, lion passant, small roman f, king's head, C&B";
const OFFICES: [&str; 5] = ["london", "birmingham", "sheffield", "edinburgh", "dublin"];

fn main() {
    // `cargo test --benches` only asks whether it runs.
    let (marks, turns) = match std::env::args().any(|a| a == "--test") {
        true => (500, 3),
        false => (MARKS, 2_000),
    };
    let tables = Tables::builtin();
    let invented = invented(marks);
    let packed = Register::pack(&invented).bytes().to_vec();
    let bytes: &'static [u8] = Box::leak(packed.into_boxed_slice());
    let few = Register::pack(&invented[..marks.min(tables.registers().len())]);
    let few: &'static [u8] = Box::leak(few.bytes().to_vec().into_boxed_slice());
    let grown = tables.with_other_register(Register::open(bytes));
    let options = Options::default();
    println!(
        "register of {} marks beside one of {marks} ({} KB), medians of {turns} by turns",
        tables.registers().len(),
        bytes.len() / 1024
    );
    let row = |what: &str, [small, large]: [f64; 2]| {
        println!("  {what:<34}{small:>9.2} µs {large:>9.2} µs   {:.2}", large / small);
    };
    row("opening", by_turns(turns, [&|| open(few), &|| open(bytes)]));
    let read = |t: &Tables, d: &str| drop(black_box(puncheon::read(t, d, &options)));
    row(
        "a reading without a maker's mark",
        by_turns(turns, [&|| read(tables, PLAIN), &|| read(&grown, PLAIN)]),
    );
    row(
        "a reading with initials",
        by_turns(turns / 4 + 1, [&|| read(tables, MADE), &|| read(&grown, MADE)]),
    );
    for t in [tables, &grown] {
        let listed = puncheon::read(t, MADE, &options).sponsors.len();
        println!("  makers listed of {:>6} marks: {listed}", t.registers().len());
    }

    let folder = std::env::temp_dir().join(format!("puncheon-register-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    let csv = folder.join("own.csv");
    fs::write(&csv, table(&invented)).expect("the table is written");
    let path = csv.to_string_lossy().into_owned();
    let starts = turns / 20 + 3;
    let [without, with] = by_turns(
        starts,
        [&|| start(&["read", PLAIN]), &|| start(&["read", PLAIN, "--register", &path])],
    );
    println!("a start, medians of {starts} by turns");
    println!("  as it is                          {:>9.2} ms", without / 1e3);
    println!("  with {marks} lines of one's own      {:>9.2} ms", with / 1e3);
    fs::remove_dir_all(&folder).expect("the folder goes");
}

/// Microseconds that each takes, by turns.
fn by_turns(turns: usize, each: [&dyn Fn(); 2]) -> [f64; 2] {
    let mut took = [Vec::new(), Vec::new()];
    for _ in 0..turns {
        for (run, took) in each.iter().zip(&mut took) {
            let before = Instant::now();
            run();
            took.push(before.elapsed().as_secs_f64() * 1e6);
        }
    }
    took.map(|mut t| {
        t.sort_unstable_by(f64::total_cmp);
        t[t.len() / 2]
    })
}

fn open(bytes: &'static [u8]) {
    drop(black_box(Register::open(black_box(bytes))));
}

fn start(args: &[&str]) {
    let status = Command::new(env!("CARGO_BIN_EXE_puncheon-under-test"))
        .args(args)
        .env_clear()
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    assert!(status.success(), "{args:?} failed");
}

/// Marks of two to four letters, spread over offices and years.
fn invented(marks: usize) -> Vec<Sponsor> {
    let Ok(File::Sponsors(one)) = read::parse(
        "one.ron",
        r#"Sponsors([(id: "one", struck: "AB", basis: Memory, confidence: Low)])"#,
    ) else {
        panic!("an entry can be read")
    };
    let mut seed = 7_u64;
    let mut next = |n: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % n
    };
    (0..marks)
        .map(|i| {
            let struck: String =
                (0..2 + next(3)).map(|_| char::from(b'A' + next(26) as u8)).collect();
            let from = 1680 + next(280) as i32;
            Sponsor {
                id: format!("invented-{i}"),
                names: vec![format!("Invented {struck}son")],
                struck,
                offices: vec![OFFICES[next(OFFICES.len())].into()],
                from: Some(from),
                to: Some(from + next(40) as i32),
                about: next(2) == 0,
                town: "Somewhere".into(),
                trade: vec!["plate".into()],
                basis: Basis::Memory,
                confidence: Confidence::Low,
                ..one[0].clone()
            }
        })
        .collect()
}

fn table(marks: &[Sponsor]) -> String {
    let mut out = String::from("struck,names,offices,from,to\n");
    for m in marks {
        let years = (m.from.unwrap_or(0), m.to.unwrap_or(0));
        let _ =
            writeln!(out, "{},{},{},{},{}", m.struck, m.names[0], m.offices[0], years.0, years.1);
    }
    out
}
