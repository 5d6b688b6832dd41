//! Why a catalogue could not be enriched.

use std::fmt;
use std::io;

/// Why a catalogue could not be enriched.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// The input could not be read.
    Read(io::Error),
    /// The output could not be written.
    Write(io::Error),
    /// The head does not allow it; what is wrong and what would be right.
    Head(String),
    /// Stopped by the caller, after so many rows.
    Stopped(u64),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Error::Read(e) => write!(f, "the catalogue could not be read: {e}"),
            Error::Write(e) => write!(f, "the rows could not be written: {e}"),
            Error::Head(s) => f.write_str(s),
            Error::Stopped(rows) => write!(f, "stopped after {rows} rows"),
        }
    }
}

impl std::error::Error for Error {}

/// A name that would be added is there already.
pub(crate) fn taken(what: &str, name: &str) -> Error {
    Error::Head(format!(
        "the catalogue has a {what} \"{name}\" already\n  choose other columns with --add, or a prefix for the new ones with --prefix"
    ))
}

/// No row has a field that was named; `names` are those of the first.
pub(crate) fn no_field(name: &str, names: &str) -> Error {
    Error::Head(format!("no row has a field \"{name}\"\n  the fields of the first are {names}"))
}
