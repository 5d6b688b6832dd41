//! A claim, in the shape in which answers print it.

use serde::Serialize;

use crate::engine::claim::claimed as value;
use crate::engine::place::Place;
use crate::json::words::places;
use crate::lexis::claim::{Taken, Years};

/// What is said of a piece, to be held against its marks. An empty list claims nothing of its kind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Claim {
    /// The words, as typed.
    pub text: String,
    /// Offices.
    #[serde(serialize_with = "places")]
    pub offices: Vec<Place>,
    /// Spans of years, any of which will do.
    pub years: Vec<Years>,
    /// Reigns and periods named.
    pub periods: Vec<String>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Words that bear on none of these.
    pub not_used: Vec<Unused>,
    /// The words say that the piece was brought in from abroad.
    #[serde(skip)]
    pub imported: bool,
    /// The text in which words have their places, and how they were taken.
    #[serde(skip)]
    pub(crate) typed: String,
    #[serde(skip)]
    pub(crate) taken: Vec<Taken>,
    #[serde(skip)]
    pub(crate) signs: Vec<u32>,
}

/// Words of a claim that were put aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unused {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
}

impl From<value::Unused> for Unused {
    fn from(u: value::Unused) -> Unused {
        Unused { text: u.text, start: u.start, end: u.end }
    }
}

impl From<value::Claim> for Claim {
    fn from(c: value::Claim) -> Claim {
        Claim {
            text: c.text,
            offices: c.offices,
            years: c.years,
            periods: c.periods,
            standards: c.standards,
            not_used: c.not_used.into_iter().map(Unused::from).collect(),
            imported: c.imported,
            typed: c.typed,
            taken: c.taken,
            signs: c.signs,
        }
    }
}

impl Claim {
    /// The same for the engine.
    pub(crate) fn value(&self) -> value::Claim {
        let unused =
            |u: &Unused| value::Unused { text: u.text.clone(), start: u.start, end: u.end };
        value::Claim {
            text: self.text.clone(),
            offices: self.offices.clone(),
            years: self.years.clone(),
            periods: self.periods.clone(),
            standards: self.standards.clone(),
            not_used: self.not_used.iter().map(unused).collect(),
            imported: self.imported,
            typed: self.typed.clone(),
            taken: self.taken.clone(),
            signs: self.signs.clone(),
        }
    }
}
