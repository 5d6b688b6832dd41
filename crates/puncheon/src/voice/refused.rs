//! What is said of something typed that cannot be used.

use std::fmt;

/// Why something typed cannot be used: what is wrong with it, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Refused {
    /// What is wrong, with the words at fault in quotes.
    pub wrong: String,
    /// What would be right, a line each.
    pub remedy: Vec<String>,
}

impl Refused {
    pub(crate) fn new(wrong: impl Into<String>, remedy: impl Into<String>) -> Refused {
        Refused { wrong: wrong.into(), remedy: vec![remedy.into()] }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.wrong)?;
        for line in &self.remedy {
            write!(f, "\n  {line}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Refused {}
