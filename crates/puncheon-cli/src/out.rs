//! Exit codes, failures and the standard streams.

use std::fmt;
use std::io::{self, ErrorKind};
use std::process::ExitCode;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// Answered.
    Answered = 0,
    /// A well-formed question without an answer; a claim that fails.
    NoAnswer = 1,
    /// Misuse: an unknown option, an unusable file, a bad table.
    Misuse = 2,
    /// A claim that the marks do not decide.
    Undecided = 3,
}

impl From<Exit> for ExitCode {
    fn from(e: Exit) -> ExitCode {
        ExitCode::from(e as u8)
    }
}

/// Why the program stopped short.
#[derive(Debug)]
pub enum Failure {
    /// Something was asked that cannot be done; the sentence says what would work.
    Misuse(String),
    /// Nothing was asked: short help, on standard error.
    Help(String),
    /// Help or version was asked for: on standard output.
    Shown(String),
    /// Output could not be written.
    Write(io::Error),
}

impl Failure {
    /// Says what is wrong and gives the exit code.
    pub fn report(self) -> ExitCode {
        match self {
            // A reader that has seen enough is no failure.
            Failure::Write(e) if e.kind() == ErrorKind::BrokenPipe => Exit::Answered.into(),
            Failure::Write(e) => {
                eprintln!("puncheon: the answer could not be written: {e}");
                Exit::Misuse.into()
            }
            Failure::Shown(text) => {
                match io::Write::write_all(&mut io::stdout().lock(), text.as_bytes()) {
                    Ok(()) => Exit::Answered.into(),
                    Err(e) => Failure::Write(e).report(),
                }
            }
            other => {
                eprintln!("{other}");
                Exit::Misuse.into()
            }
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Failure::Misuse(s) => write!(f, "puncheon: {s}"),
            Failure::Help(s) | Failure::Shown(s) => f.write_str(s.trim_end()),
            Failure::Write(e) => write!(f, "puncheon: {e}"),
        }
    }
}

impl From<io::Error> for Failure {
    fn from(e: io::Error) -> Failure {
        Failure::Write(e)
    }
}

impl From<puncheon::Error> for Failure {
    fn from(e: puncheon::Error) -> Failure {
        Failure::Misuse(e.to_string())
    }
}
