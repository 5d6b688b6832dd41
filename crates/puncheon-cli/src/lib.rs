//! The program: arguments in, text or JSON out, exit codes. It holds no hallmark facts and does no
//! matching; see the crate `puncheon` for both.

use std::process::ExitCode;

mod args;
mod awaited;
mod command;
mod completion;
mod kept;
mod out;
mod runner;
mod screen;
mod shell;
mod signals;
mod view;

use args::{Command, Common};
use command::{
    ask, cautions, chart, check, enrich, expect, outlines, read, say, sponsors, tables, why, worth,
};
pub use out::Exit;

/// Runs the program on the process's arguments and streams.
pub fn main() -> ExitCode {
    let done = shell::answered().and_then(|answered| match answered {
        true => Ok(Exit::Answered),
        false => args::parse().and_then(|(command, common)| run(&command, &common)),
    });
    match done {
        Ok(exit) => exit.into(),
        Err(failure) => failure.report(),
    }
}

fn run(command: &Command, common: &Common) -> Result<Exit, out::Failure> {
    match command {
        Command::Read(a) => read::run(a, common),
        Command::Ask(a) => ask::run(a, common),
        Command::Check(a) => check::run(a, common),
        Command::Say(a) => say::run(a, common),
        Command::Cautions(a) => cautions::run(a, common),
        Command::Enrich(a) => enrich::run(a, common),
        Command::SampleCatalogue(a) => enrich::sample(a, common),
        Command::Expect(a) => expect::run(a, common),
        Command::Chart(a) => chart::run(a, common),
        Command::Outlines(a) => outlines::run(a, common),
        Command::Sponsors(a) => sponsors::run(a, common),
        Command::Worth(a) => worth::run(a, common),
        Command::Why(a) => why::run(a, common),
        Command::Tables(a) => tables::run(a, common),
        Command::Completions(a) => shell::completions(a),
        Command::Man(a) => shell::man(a),
    }
}
