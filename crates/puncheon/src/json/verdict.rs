//! What becomes of a claim, in the shape that `puncheon.verdict/1` prints.

use puncheon_schema::entry::Confidence;
use serde::Serialize;

use crate::json::claim::Claim;
use crate::json::questions::Settles;
use crate::json::reading::{Bearing, Reading};
pub use crate::json::words::{Attribution, Because, Ruling};

/// The name of the shape of a verdict.
pub const SCHEMA: &str = "puncheon.verdict/1";

/// A described mark that cannot be so if the claim is true.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Clash {
    /// Index into the sightings; null for the claim itself.
    pub sighting: Option<usize>,
    /// What was described or claimed.
    pub saw: String,
    /// What it would have to be.
    pub would_be: String,
    /// Where and when it was struck, a sentence.
    pub why: String,
    /// The two are easily taken for each other.
    #[serde(skip)]
    pub easy: bool,
    /// It would have to be absent.
    #[serde(skip)]
    pub absent: bool,
    /// "if the f is t".
    #[serde(skip)]
    pub if_so: String,
}

/// A mark that the claim asks for and that was not described.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotDescribed {
    /// Its place in the set: "town mark", "duty mark".
    pub mark: String,
    /// How it should look.
    pub looks: String,
    /// Articles on which it is often lacking.
    pub may_lack: Vec<String>,
    /// How it stands in a list of such marks.
    #[serde(skip)]
    pub listed: String,
}

/// An office and letter year of a claim.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Compared {
    /// The office, lower case.
    pub office: String,
    /// The letter year, as the trade writes it.
    pub shown: String,
    /// The office's name, for a reader.
    #[serde(skip)]
    pub office_name: String,
}

/// What becomes of a claim.
#[derive(Clone, Debug, Serialize)]
pub struct Verdict {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The claim as understood.
    pub claim: Claim,
    /// How it stands.
    pub verdict: Ruling,
    /// The rule that decided.
    pub because: Because,
    /// The office and year of the claim that the marks meet best, which the reasons speak of.
    pub compared: Option<Compared>,
    /// What agrees with the claim.
    pub supports: Vec<Bearing>,
    /// Indices of the fits that lie in the claim.
    pub inside: Vec<usize>,
    /// Indices of the fits that lie half in it.
    pub half: Vec<usize>,
    /// What could agree but asks for an excuse.
    pub strains: Vec<Bearing>,
    /// What cannot be so if the claim is true.
    pub clashes: Vec<Clash>,
    /// What the claim asks for and was not described.
    pub not_described: Vec<NotDescribed>,
    /// How the claim's words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// What to look at to settle it.
    pub settle: Option<Settles>,
    /// The makers that the claim names; they change no verdict.
    pub makers: Vec<MakerClaimed>,
    /// Signs worth a second look.
    pub warnings: Vec<WarningMet>,
    /// Cautions, a sentence or two each.
    pub cautions: Vec<String>,
    /// The marks read without the claim.
    pub reading: Reading,
}

/// A maker that a claim names.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MakerClaimed {
    /// The words of the claim.
    pub text: String,
    /// The name, where a slip was mended or a word shortened.
    pub read_as: Option<String>,
    /// How it stands.
    pub ruling: Attribution,
    /// Why, a sentence or two.
    pub why: String,
    /// The marks of the maker, by their words in the register.
    pub marks: Vec<String>,
}

/// A sign that was met.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WarningMet {
    /// Its word in the tables.
    pub rule: String,
    /// What is unusual, a sentence.
    pub reason: String,
    /// The harmless reasons there may be.
    pub innocent: String,
    /// Who can judge.
    pub judge: String,
    /// high, medium or low.
    pub confidence: Confidence,
    /// Sources, or "common practice".
    pub source: String,
    /// The marks then do not vouch for the piece.
    #[serde(skip)]
    pub unsettles: bool,
}
