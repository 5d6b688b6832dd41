//! A catalogue enriched, beside a plain copy of it through the csv crate and beside the script that
//! a cataloguer would otherwise write.
//!
//! The stock book is invented from the tables with a fixed seed. All sides read it from a file that
//! was just written, so from memory, and write to nowhere: the disk is no part of the measure.
//! `cargo bench -p puncheon-tests --bench catalogue -- 10000000` takes another length.

use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use puncheon::Tables;
use puncheon_catalogue::sample::{self, Repeats};
use puncheon_catalogue::{Enricher, Summary, Watch};

/// What part of the copy's speed is aimed at where every row is different, and where rows repeat.
const AIM_DIFFERENT: f64 = 0.2;
const AIM_REPEATING: f64 = 0.5;
/// Mebibytes that may lie in memory at any length.
const AIM_MEMORY: f64 = 64.0;
const SEED: u64 = 1;
/// Rows for the script, which is slow.
const SCRIPTED: u64 = 100_000;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let rows = match args.iter().find_map(|a| a.parse().ok()) {
        Some(n) => n,
        None if args.iter().any(|a| a == "--bench") => 1_000_000,
        // `cargo test --benches` only asks whether it runs.
        None => 2_000,
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    println!("{rows} rows, {workers} workers; the copy has one");
    for (what, repeats, aim) in [
        ("every row different", Repeats::Never, AIM_DIFFERENT),
        ("rows repeat as in life", Repeats::AsInLife, AIM_REPEATING),
    ] {
        let file = stock(rows, repeats);
        let bytes = fs::metadata(&file).expect("the stock book is there").len();
        // By turns, so that whatever else the machine does falls on both alike.
        let mut took = [Vec::new(), Vec::new()];
        let mut summary = Summary::default();
        for _ in 0..3 {
            took[0].push(seconds(|| copy(&file)));
            took[1].push(seconds(|| summary = enrich(&file)));
        }
        let [copied, enriched] = took.map(|mut t| {
            t.sort_unstable_by(f64::total_cmp);
            t[t.len() / 2]
        });
        assert_eq!(summary.rows, rows, "rows in, rows out");
        let speed = |took: f64| {
            format!("{:>7.1} MB/s {:>9.0} rows/s", bytes as f64 / took / 1e6, rows as f64 / took)
        };
        let share = |n: u64| 100.0 * n as f64 / rows as f64;
        println!("\n{what}: {:.1} MB", bytes as f64 / 1e6);
        println!("  csv copy   {}", speed(copied));
        println!(
            "  enriched   {}   {:.3} of the copy (aim {aim})",
            speed(enriched),
            copied / enriched
        );
        println!(
            "  from memory {:.1} % as the same words, {:.1} % as the same marks in other words",
            share(summary.repeated),
            share(summary.same_marks)
        );
        println!("  nears worked out for {:.2} % of rows", share(summary.nears_worked_out));
        let _ = fs::remove_file(file);
    }
    if let Some(mib) = peak() {
        println!("\nmost memory resident: {mib:.0} MiB (aim {AIM_MEMORY} at any length)");
    }
    nears_cost();
    script(rows.min(SCRIPTED));
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
}

fn stock(rows: u64, repeats: Repeats) -> PathBuf {
    let file = folder().join(format!("stock-{repeats:?}.csv"));
    let mut out = BufWriter::new(File::create(&file).expect("the stock book is made"));
    sample::write(Tables::builtin(), rows, SEED, repeats, &mut out).expect("it is written");
    out.flush().expect("it is written");
    file
}

fn seconds(f: impl FnOnce()) -> f64 {
    let start = Instant::now();
    f();
    start.elapsed().as_secs_f64()
}

fn copy(file: &Path) {
    let open = BufReader::new(File::open(file).expect("the stock book is there"));
    let mut from = csv::ReaderBuilder::new().has_headers(false).from_reader(open);
    let mut to = csv::Writer::from_writer(io::sink());
    let mut record = csv::ByteRecord::new();
    while from.read_byte_record(&mut record).expect("it is CSV") {
        to.write_byte_record(&record).expect("nowhere takes it");
    }
}

fn enrich(file: &Path) -> Summary {
    let mut progress = |_| true;
    let watch = Watch { progress: &mut progress, rejects: None };
    Enricher::new(Tables::builtin(), "Hallmarks")
        .run(File::open(file).expect("the stock book is there"), io::sink(), watch)
        .expect("it is enriched")
}

/// Mebibytes that this process had in memory at most, where the system tells.
fn peak() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib / 1024.0)
}

/// What nears cost: the same marks, and with them one that nothing allows beside them.
fn nears_cost() {
    let tables = Tables::builtin();
    let options = &Enricher::new(tables, "").options;
    let each = |text: &str| {
        const TURNS: u32 = 2_000;
        let took = seconds(|| {
            for _ in 0..TURNS {
                std::hint::black_box(puncheon::gist(
                    tables,
                    std::hint::black_box(text),
                    None,
                    options,
                ));
            }
        });
        took / f64::from(TURNS) * 1e6
    };
    let fits = each("anchor, lion passant, small roman f, king's head");
    let nears = each("anchor, leopard's head, lion passant, small roman c");
    println!(
        "a row that fits {fits:.1} us, a row with nears {nears:.1} us, {:.1} times",
        nears / fits
    );
}

/// The script that a cataloguer would otherwise write: exact look-up of office and letter.
fn script(rows: u64) {
    let file = stock(rows, Repeats::AsInLife);
    let letters = folder().join("letters.tsv");
    let exe = env!("CARGO_BIN_EXE_puncheon-under-test");
    let table =
        Command::new(exe).args(["tables", "export"]).output().expect("the table is written");
    fs::write(&letters, table.stdout).expect("the table is kept");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/lookup.py");
    let mut python = Command::new("python3");
    python.arg(script).arg(&letters).arg(&file).stdout(Stdio::piped()).stderr(Stdio::inherit());
    match python.output() {
        Ok(done) if done.status.success() => {
            print!("\n{}", String::from_utf8_lossy(&done.stdout));
            let took = seconds(|| drop(enrich(&file)));
            println!("  puncheon on the same rows: {:.0} rows/s", rows as f64 / took);
        }
        Ok(done) => println!("\nthe script failed: {}", done.status),
        Err(e) => println!("\nno script beside it: python3 cannot be run ({e})"),
    }
}
