//! What is wrong with a table, and where.

use std::fmt;

/// One problem of the tables.
///
/// Printed as `file:line:col: message` when the text could not be read, and as
/// `file: place: rule: message` when entries do not agree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file, relative to the tables folder.
    pub file: String,
    /// Line and column, where the text itself is at fault.
    pub position: Option<(usize, usize)>,
    /// The entry, by its natural name: "birmingham cycle 1824 year 1829".
    pub place: String,
    /// The rule that is broken.
    pub rule: String,
    /// What is wrong and what would be right.
    pub message: String,
}

impl Problem {
    /// A problem at a position of a file.
    pub fn at(file: &str, line: usize, col: usize, message: &str) -> Problem {
        Problem {
            file: file.into(),
            position: Some((line, col)),
            place: String::new(),
            rule: String::new(),
            message: message.into(),
        }
    }

    /// A problem of an entry.
    pub fn entry(file: &str, place: &str, rule: &str, message: &str) -> Problem {
        Problem {
            file: file.into(),
            position: None,
            place: place.into(),
            rule: rule.into(),
            message: message.into(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self.position {
            Some((line, col)) => write!(f, "{}:{line}:{col}: {}", self.file, self.message),
            None => write!(f, "{}: {}: {}: {}", self.file, self.place, self.rule, self.message),
        }
    }
}

impl std::error::Error for Problem {}
