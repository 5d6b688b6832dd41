//! Offices and their years.

use super::cycle::Cycle;
use super::kinds::{Basis, Confidence};
use super::mark::Mark;
use super::source::Dispute;
use crate::date::{Bound, MonthDay};
use serde::Deserialize;

/// An assay office with its town marks and date letters.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Office {
    /// Lower-case word, `birmingham`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// Groups that regimes and marks may name ("england", "uk").
    #[serde(default)]
    pub groups: Vec<String>,
    /// First day or year of marking.
    pub opened: Bound,
    /// Last day or year of marking.
    #[serde(default)]
    pub closed: Option<Bound>,
    /// Sources of the opening and closing.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A few sentences for a reader of the tables.
    #[serde(default)]
    pub about: String,
    /// The day on which each year's letter began.
    pub year_starts: Vec<YearStart>,
    /// Town marks and other marks of this office alone.
    pub marks: Vec<Mark>,
    /// Spans in which a set often lacks a date letter.
    #[serde(default)]
    pub letter_optional: Vec<Span>,
    /// The runs of letters.
    pub cycles: Vec<Cycle>,
    /// Years without a letter, declared.
    #[serde(default)]
    pub gaps: Vec<Span>,
    /// Where sources differ.
    #[serde(default)]
    pub disputes: Vec<Dispute>,
}

impl Office {
    /// Does a list of offices and groups mean this office?
    pub(crate) fn is_named(&self, names: &[String]) -> bool {
        names.iter().any(|n| *n == self.id || self.groups.contains(n))
    }
}

/// A span of letter years with a reason.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// First letter year.
    pub from: i32,
    /// Last letter year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The reason.
    pub why: String,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The day a year's letter came into use, over a span of letter years.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearStart {
    /// First letter year.
    pub from: i32,
    /// Last letter year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The day, or the earliest it can have been if `latest` is given.
    pub day: MonthDay,
    /// The latest it can have been: then the day is not known, only that it lay between.
    #[serde(default)]
    pub latest: Option<MonthDay>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}
