//! The answer to one description, in the shape that `puncheon.reading/1` prints.

use puncheon_schema::entry::{Basis, Case, Confidence, Origin};
use serde::Serialize;

use crate::json::makers::Met;
use crate::json::questions::{LookNext, YearsLeft};
pub use crate::json::words::{Outcome, OutsideBecause, Sure};
pub use crate::lexis::said::{Kind, RemarkKind};

/// One line of JSON answers one description; this is the name of its shape.
pub const SCHEMA: &str = "puncheon.reading/1";

/// One mark as described, for the reader of an answer.
#[derive(Clone, Debug, Serialize)]
pub struct SeenMark {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
    /// What sort of mark.
    pub kind: Kind,
    /// What it was taken for.
    pub reads_as: String,
}

/// Something said about the words themselves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
    /// What is said of them.
    pub remark: RemarkKind,
    /// The nearest word known, or what was guessed.
    pub nearest: Option<String>,
}

/// All that was understood of a description, for the reader of an answer.
#[derive(Clone, Debug, Serialize)]
pub struct Understood {
    /// The marks.
    pub sightings: Vec<SeenMark>,
    /// Remarks on the words.
    pub remarks: Vec<Remark>,
    /// Dates, places and standards stated, not shown.
    pub claimed: Vec<Claimed>,
}

/// A date, place or standard that the description states but does not show.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Claimed {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
    /// The office, lower case.
    pub office: Option<String>,
    /// First calendar year.
    pub from: Option<i32>,
    /// Last calendar year.
    pub to: Option<i32>,
    /// A reign or period by name.
    pub period: Option<String>,
    /// A standard, by its word in the tables.
    pub standard: Option<String>,
}

/// How one sighting bears on an entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Bearing {
    /// Index into the sightings; null for something expected and not described.
    pub sighting: Option<usize>,
    /// A sentence.
    pub why: String,
    /// The same behind "The letter", where it speaks of the letter first.
    #[serde(skip)]
    pub of_letter: Option<String>,
}

/// What would have to be misread for a near to fit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Misreading {
    /// Index into the sightings.
    pub sighting: Option<usize>,
    /// What was described.
    pub saw: String,
    /// What it would have to be.
    pub would_be: String,
    /// The two are easily taken for each other.
    #[serde(skip)]
    pub easy: bool,
    /// "if the f is t".
    #[serde(skip)]
    pub if_so: String,
}

/// The date letter of an entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LetterStruck {
    /// The plain letter as struck; null where the table does not know it.
    pub struck: Option<String>,
    /// Its lettering.
    pub lettering: Option<String>,
    /// upper or lower; null where it varies or is not known.
    pub case: Case,
    /// Its outline on this metal.
    pub outline: Option<String>,
}

/// An entry of the tables that could explain the marks, or all but explains them.
#[derive(Clone, Debug, Serialize)]
pub struct Fit {
    /// The office, lower case; null only for a mark no office owns.
    pub office: Option<String>,
    /// The calendar year in which the letter came into use; null for a run of years.
    pub year: Option<i32>,
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// As the trade writes it: "1803/04", "1987", "1784/85 to 1821/22".
    pub shown: String,
    /// First day still possible, ISO; null where not known.
    pub begins: Option<String>,
    /// Last day still possible, ISO; null where not known.
    pub ends: Option<String>,
    /// home, foreign or either.
    pub origin: Origin,
    /// The date letter; null for a run of years.
    pub letter: Option<LetterStruck>,
    /// silver, gold, platinum or palladium.
    pub metal: &'static str,
    /// Whole parts per thousand; null where no standard is known.
    pub fineness: Option<u16>,
    /// Sightings that agree.
    pub agrees: Vec<Bearing>,
    /// Sightings on which the tables are silent.
    pub silent: Vec<Bearing>,
    /// Sightings that strain.
    pub strains: Vec<Bearing>,
    /// What would have to be misread; empty for a fit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub clashes: Vec<Misreading>,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low: the weakest fact the entry rests on.
    pub confidence: Confidence,
    /// Sources, each with its page where there is one.
    pub sources: Vec<String>,
    /// The office's name, for a reader.
    #[serde(skip)]
    pub office_name: String,
    /// The standard, by its word in the tables.
    #[serde(skip)]
    pub standard: String,
    /// The standard's name, for a reader.
    #[serde(skip)]
    pub standard_name: String,
    /// The same without its metal, where that is silver.
    #[serde(skip)]
    pub standard_short: String,
    /// What would have to be misread, in words: a mark is left out where what it would be was
    /// described already. Empty for a fit.
    #[serde(skip)]
    pub if_misread: String,
    /// A row of the tables that stands for the entry.
    #[serde(skip)]
    pub row: usize,
    /// The strain of that row, in the units of the weights table.
    #[serde(skip)]
    pub strain: u32,
    /// A letter was described, and the tables do not know it here.
    #[serde(skip)]
    pub unread: bool,
    /// What the marks that are due and were not described weigh, in the same units.
    #[serde(skip)]
    pub undescribed: u32,
}

/// A mark that is not a British or Irish hallmark, or that stands beside one.
#[derive(Clone, Debug, Serialize)]
pub struct LookalikeMet {
    /// Its word in the tables.
    pub id: String,
    /// plate, alloy, words, foreign, provincial, pseudo, maker-only, bare-figure, bare-letter,
    /// other-mark.
    pub kind: &'static str,
    /// What it is.
    pub what: String,
    /// What it tells.
    pub why: String,
    /// First year, where known.
    pub from: Option<i32>,
    /// Last year, where known.
    pub to: Option<i32>,
    /// high, medium or low.
    pub confidence: Confidence,
    /// Sources.
    pub sources: Vec<String>,
    /// The town, for a town that struck no yearly letters; empty otherwise.
    #[serde(skip)]
    pub town: String,
    /// The words that met it, for a reader.
    #[serde(skip)]
    pub sightings: Vec<usize>,
    /// It excludes a hallmark.
    #[serde(skip)]
    pub denies: bool,
}

/// One of several sets described together.
#[derive(Clone, Debug, Serialize)]
pub struct PartRead {
    /// The part as the describer named it.
    pub label: String,
    /// Its own reading.
    pub reading: Reading,
}

/// The answer to one description.
#[derive(Clone, Debug, Serialize)]
pub struct Reading {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The description as typed.
    pub asked: String,
    /// How it turned out.
    pub outcome: Outcome,
    /// Why it lies outside the tables.
    pub outside_because: Option<OutsideBecause>,
    /// Two sightings that cannot stand together.
    pub conflict: Option<[usize; 2]>,
    /// How sure, by rule.
    pub sure: Option<Sure>,
    /// The marks understood.
    pub sightings: Vec<SeenMark>,
    /// Remarks on the words.
    pub remarks: Vec<Remark>,
    /// What the description states but does not show.
    pub claimed: Vec<Claimed>,
    /// Entries that explain every mark, best first.
    pub fits: Vec<Fit>,
    /// At most twelve entries that all but do.
    pub nears: Vec<Fit>,
    /// How many office-years are left.
    pub left: YearsLeft,
    /// What to look at next.
    pub look_next: Vec<LookNext>,
    /// Marks that are not hallmarks of these islands.
    pub lookalikes: Vec<LookalikeMet>,
    /// Makers of the register whose letters a sponsor's mark here may be, likeliest first.
    pub sponsors: Vec<Met>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
    /// Several sets, each read apart.
    pub parts: Vec<PartRead>,
    /// Why the two cannot stand together, a sentence.
    #[serde(skip)]
    pub conflict_why: Option<String>,
    /// Marks of two offices that never stood together were described.
    #[serde(skip)]
    pub towns_apart: bool,
    /// All that fits is of another metal than silver, and no mark described shows it.
    #[serde(skip)]
    pub metal_not_shown: bool,
    /// The index of the near of silver that would fit there with a mark easily misread.
    #[serde(skip)]
    pub silver_misread: Option<usize>,
    /// Office-years among the fits.
    #[serde(skip)]
    pub years: usize,
    /// Offices among the fits.
    #[serde(skip)]
    pub offices: usize,
}
