//! Marks that are no British or Irish hallmarks.

use super::kinds::{Basis, Confidence};
use serde::Deserialize;

/// A mark that is not a British or Irish hallmark, or that stands beside one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lookalike {
    /// Unique word.
    pub id: String,
    /// What sort.
    pub kind: LookalikeKind,
    /// What it is, one sentence fragment for a reader.
    pub what: String,
    /// What it tells and what it does not, a sentence.
    pub why: String,
    /// True if it excludes a hallmark whatever stands beside it.
    #[serde(default)]
    pub denies: bool,
    /// Its letters were makers' letters too: it does not deny beside a town mark and a standard mark
    /// that stood together, where the letters are taken for a maker's mark.
    #[serde(default)]
    pub unless_maker: bool,
    /// The device of an assay master whose letters these were too, where there was one.
    #[serde(default)]
    pub assayer: Option<String>,
    /// Sets of devices; the entry is met when all of any one set were described.
    #[serde(default)]
    pub needs: Vec<Vec<String>>,
    /// Devices of real hallmarks that it also shows; with no standard mark described, each makes
    /// this entry worth naming.
    #[serde(default)]
    pub shares: Vec<String>,
    /// For a town that struck no yearly letter: its name.
    #[serde(default)]
    pub town: Option<String>,
    /// Why a description that shows it lies outside these tables, if it does by itself.
    #[serde(default)]
    pub outside: Option<OutsideBecause>,
    /// First year, where known.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year, where known.
    #[serde(default)]
    pub to: Option<i32>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Sorts of lookalike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum LookalikeKind {
    /// A skin of silver or gold on another metal.
    Plate,
    /// An alloy without silver.
    Alloy,
    /// Words stamped in plain letters.
    Words,
    /// Another country's mark.
    Foreign,
    /// A British or Irish town without yearly letters.
    Provincial,
    /// Devices that imitate hallmarks.
    Pseudo,
    /// A maker's mark with nothing beside it.
    MakerOnly,
    /// A fineness with nothing beside it.
    BareFigure,
    /// A letter with nothing beside it.
    BareLetter,
    /// Design, patent, utility and other marks.
    OtherMark,
}

/// Why a lookalike, described, puts the whole description outside the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum OutsideBecause {
    /// A fineness no office of these islands struck.
    ForeignFineness,
    /// A town that struck no yearly letters.
    NoYearLetters,
}
