//! The program: arguments in, text or JSON out, exit codes. It holds no hallmark facts and does no
//! matching; see the crate `puncheon` for both.

use std::process::ExitCode;

mod args;
mod chart;
mod check;
mod enrich;
mod expect;
mod kept;
mod out;
mod outlines;
mod read;
mod screen;
mod tables;
mod why;

pub use out::Exit;

/// Runs the program on the process's arguments and streams.
pub fn main() -> ExitCode {
    match args::parse().and_then(run) {
        Ok(exit) => exit.into(),
        Err(failure) => failure.report(),
    }
}

fn run(plan: args::Plan) -> Result<Exit, out::Failure> {
    match plan {
        args::Plan::Read(a) => read::run(&a),
        args::Plan::Check(a) => check::run(&a),
        args::Plan::Enrich(a) => enrich::run(&a),
        args::Plan::Sample(a) => enrich::sample(&a),
        args::Plan::Expect(a) => expect::run(&a),
        args::Plan::Chart(a) => chart::run(&a),
        args::Plan::Outlines(a) => outlines::run(&a),
        args::Plan::Why(a) => why::run(&a),
        args::Plan::Tables(a) => tables::run(&a),
    }
}
