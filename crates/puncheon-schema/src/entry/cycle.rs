//! Runs of letters.

use super::kinds::{Basis, Case, Confidence, Metal};
use super::name::Name;
use crate::date::Bound;
use serde::Deserialize;

/// A run of date letters in one lettering.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cycle {
    /// First letter year.
    pub from: i32,
    /// Last letter year; must agree with `letters`.
    pub to: i32,
    /// The lettering, None where not known.
    #[serde(default)]
    pub lettering: Option<Name>,
    /// The case, None where not known.
    #[serde(default)]
    pub case: Option<Case>,
    /// What the letters rest on.
    pub basis: Basis,
    /// How sure the letters are.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// How sure the lettering is; as `confidence` if left out.
    #[serde(default)]
    pub lettering_confidence: Option<Confidence>,
    /// How sure the case is; as `confidence` if left out.
    #[serde(default)]
    pub case_confidence: Option<Confidence>,
    /// The letters in order, one a year, separated by spaces. `_` unknown, `=` the letter before
    /// carried on, `a+b` two in one year, `A/a` case varies, `{crown}` a symbol.
    pub letters: String,
    /// Letters of the alphabet this run leaves out.
    #[serde(default)]
    pub omitted: String,
    /// One line corrects or qualifies one year.
    #[serde(default)]
    pub years: Vec<YearNote>,
    /// Years for which sources name different letters; the first is the chosen one.
    #[serde(default)]
    pub candidates: Vec<Candidates>,
    /// Letters that did not run the office's whole year.
    #[serde(default)]
    pub short: Vec<ShortLetter>,
    /// Outlines of the letter punch where known.
    #[serde(default)]
    pub outlines: Vec<LetterOutline>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

/// A correction or qualification of one year of a [`Cycle`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearNote {
    /// The letter year.
    pub year: i32,
    /// The letter as now held, in the notation of `letters`; None keeps the run's.
    #[serde(default)]
    pub letter: Option<String>,
    /// What stood here before.
    #[serde(default)]
    pub was: Option<String>,
    /// Lettering of this year alone.
    #[serde(default)]
    pub lettering: Option<Name>,
    /// Case of this year alone.
    #[serde(default)]
    pub case: Option<Case>,
    /// What this year rests on.
    #[serde(default)]
    pub basis: Option<Basis>,
    /// How sure this year is.
    #[serde(default)]
    pub confidence: Option<Confidence>,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// The reason.
    #[serde(default)]
    pub why: String,
}

/// Rival letters of one year. They strain, and are of low confidence, beside the chosen one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Candidates {
    /// The letter year.
    pub year: i32,
    /// The rivals, separated by spaces (the chosen letter stands in `letters`).
    pub letters: String,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
    /// Why there is a doubt.
    pub why: String,
}

/// A letter with days of its own.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShortLetter {
    /// The letter year it is listed under.
    pub year: i32,
    /// The letter, as in `letters` (one of two in one year, or the only one).
    pub letter: String,
    /// Its first day, where known.
    #[serde(default)]
    pub begins: Option<Bound>,
    /// Its last day, where known.
    #[serde(default)]
    pub ends: Option<Bound>,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The outline of the letter punch over some years, on one metal.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetterOutline {
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// The metal.
    pub metal: Metal,
    /// The outline.
    pub outline: Name,
    /// How sure.
    #[serde(default)]
    pub confidence: Option<Confidence>,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}
