//! Cautions, and the words of a sale that claim too much.

use super::kinds::{Basis, Confidence};
use serde::Deserialize;

/// Words of a sale that claim more than a standard, an office and a year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boast {
    /// Unique word, `solid`.
    pub id: String,
    /// Phrases that claim it, in small letters, hyphens written as spaces.
    pub say: Vec<String>,
    /// Offices or groups of offices whose marks bear it out; none if no marks do.
    #[serde(default)]
    pub offices: Vec<String>,
    /// Why marks do not bear it out, a sentence.
    pub why: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Something to mind: what a result cannot tell, what the law asks, what harms a piece. A sign met in
/// a description is a [`Warning`](super::Warning).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Unique word.
    pub id: String,
    /// The heading it stands under; cautions of one heading stand together.
    pub about: String,
    /// What it stands at the foot of, or is told for; none is told only where all are.
    #[serde(default)]
    pub uses: Vec<Use>,
    /// All of these must hold for it to be told.
    #[serde(default)]
    pub when: Vec<Applies>,
    /// The caution, a sentence.
    pub says: String,
    /// Who can judge, or what to do, a sentence.
    #[serde(default)]
    pub then: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources; none is the common practice of the trade.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// What is done, and so needs its cautions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Use {
    /// Reading marks.
    Read,
    /// Holding a claim against the marks.
    Check,
    /// Asking which marks a piece should bear.
    Expect,
    /// Reckoning what the metal is worth.
    Worth,
    /// Describing a piece for sale.
    Sell,
    /// Showing a piece to a buyer.
    Show,
    /// Testing the metal.
    Test,
    /// Cleaning and keeping.
    Clean,
    /// Repairing and altering.
    Mend,
}

/// One condition of a [`Caution`], tried on a result and on what is stated beside it.
#[derive(Clone, Debug, Deserialize)]
pub enum Applies {
    /// The marks fit some year, or all but fit.
    Marked,
    /// The marks do not bear out a precious metal.
    Unsupported,
    /// Marks of two offices that never stood together were described.
    OfficesApart,
    /// The claim holds.
    Holds,
    /// There are several pieces, or several sets of marks.
    Several,
    /// The description, or what is stated of the piece, says so, in words that mean one of these
    /// signs.
    Said(Vec<String>),
    /// One of these phrases stands in what is stated of the piece.
    Stated(Vec<String>),
    /// This is not stated.
    Unstated(Particular),
    /// Something that fits is of one of these offices or groups, in this span of letter years.
    Fits {
        /// Offices or groups.
        offices: Vec<String>,
        /// First year.
        #[serde(default)]
        from: Option<i32>,
        /// Last year.
        #[serde(default)]
        to: Option<i32>,
    },
}

/// What a seller states of a piece besides its marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Particular {
    /// Its weight.
    Weight,
    /// Its measurements.
    Size,
    /// Its condition.
    Condition,
}
