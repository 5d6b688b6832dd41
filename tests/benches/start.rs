//! What one answer costs in a fresh process, beside a program that does nothing.
//!
//! Both binaries are built by the same profile and started by turns, so that whatever else the
//! machine does falls on both alike. Aim: at most 1.5 times the empty program.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const TURNS: usize = 300;
const ASKED: &str = "anchor, lion passant, small roman f, king's head";

fn main() {
    // `cargo test --benches` only asks whether it runs.
    let turns = if std::env::args().any(|a| a == "--test") { 3 } else { TURNS };
    let mut took = [Vec::new(), Vec::new()];
    for _ in 0..turns {
        took[0].push(start(env!("CARGO_BIN_EXE_empty"), &[]));
        took[1].push(start(env!("CARGO_BIN_EXE_puncheon-under-test"), &["read", ASKED]));
    }
    let [empty, read] = took.map(|mut t| {
        t.sort_unstable();
        t[t.len() / 2].as_secs_f64() * 1e3
    });
    println!("start, medians of {turns} by turns");
    println!("  empty program    {empty:.3} ms");
    println!("  puncheon read    {read:.3} ms");
    println!("  ratio            {:.2} (aim 1.5)", read / empty);
}

fn start(exe: &str, args: &[&str]) -> Duration {
    let before = Instant::now();
    let status = Command::new(exe)
        .args(args)
        .env_clear()
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    let took = before.elapsed();
    assert!(status.success(), "{exe} failed");
    took
}
