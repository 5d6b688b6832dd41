//! The program: arguments in, text or JSON out, exit codes. It holds no hallmark facts and does no
//! matching; see the crate `puncheon` for both.

use std::process::ExitCode;

mod args;
mod ask;
mod awaited;
mod cautions;
mod chart;
mod check;
mod enrich;
mod expect;
mod kept;
mod notebook;
mod out;
mod outlines;
mod read;
mod say;
mod screen;
mod shell;
mod signals;
mod sponsors;
mod tables;
mod why;
mod worth;

pub use out::Exit;

/// Runs the program on the process's arguments and streams.
pub fn main() -> ExitCode {
    let done = shell::answered().and_then(|answered| match answered {
        true => Ok(Exit::Answered),
        false => args::parse().and_then(run),
    });
    match done {
        Ok(exit) => exit.into(),
        Err(failure) => failure.report(),
    }
}

fn run(plan: args::Plan) -> Result<Exit, out::Failure> {
    match plan {
        args::Plan::Read(a) => read::run(&a),
        args::Plan::Ask(a) => ask::run(&a),
        args::Plan::Check(a) => check::run(&a),
        args::Plan::Say(a) => say::run(&a),
        args::Plan::Cautions(a) => cautions::run(&a),
        args::Plan::Enrich(a) => enrich::run(&a),
        args::Plan::Sample(a) => enrich::sample(&a),
        args::Plan::Expect(a) => expect::run(&a),
        args::Plan::Chart(a) => chart::run(&a),
        args::Plan::Outlines(a) => outlines::run(&a),
        args::Plan::Sponsors(a) => sponsors::run(&a),
        args::Plan::Worth(a) => worth::run(&a),
        args::Plan::Why(a) => why::run(&a),
        args::Plan::Tables(a) => tables::run(&a),
        args::Plan::Completions(a) => shell::completions(&a),
        args::Plan::Man(a) => shell::man(&a),
    }
}
