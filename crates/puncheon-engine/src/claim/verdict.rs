//! What becomes of a claim, in values.

use puncheon_schema::entry::Slot;

use crate::claim::warnings::Sign;
use crate::fit::bearing::{Bearing, Clash};

/// How a claim stands to the marks described.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ruling {
    /// All that fits the marks lies in the claim.
    Holds,
    /// Some of what fits lies in the claim, or half in it.
    Possible,
    /// Nothing that fits does.
    Fails,
    /// The marks described do not decide it.
    Undecided,
}

/// Which rule decided; they are tried in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Because {
    /// The office was not open then, or the standard did not exist.
    NeverStruck,
    /// A mark that denies a hallmark was described.
    Denied,
    /// Nothing described bears on the claim.
    NothingBears,
    /// The description itself says that the marks do not vouch for the piece.
    MarksInDoubt,
    /// A letter was read, and of what fits in the claim the letter is not known.
    LetterNotKnown,
    /// Nothing fits, or only a metal that no mark shows; with one mark misread something in the claim
    /// would.
    OnlyMisread,
    /// Nothing fits, and nothing in the claim is near.
    NothingFits,
    /// All that fits lies in the claim.
    AllInside,
    /// Some of what fits does.
    SomeInside,
    /// What fits lies outside.
    NoneInside,
}

/// A verdict without its reasons.
pub struct Judged {
    /// How the claim stands.
    pub verdict: Ruling,
    /// The rule that decided.
    pub because: Because,
    /// Indices of the fits that lie in the claim.
    pub inside: Vec<usize>,
    /// Indices of the fits that lie half in it.
    pub half: Vec<usize>,
    /// The signs met.
    pub warnings: Vec<Sign>,
    /// The row of the claim that the marks meet best.
    pub nearest: Option<usize>,
}

/// What agrees, clashes and is wanting, if the claim is true.
#[derive(Default)]
pub struct Reasons {
    /// What agrees with the claim.
    pub supports: Vec<Bearing>,
    /// What strains it.
    pub strains: Vec<Bearing>,
    /// Letters that were read where the table knows none.
    pub unread: Vec<Bearing>,
    /// What cannot be so if it is true.
    pub clashes: Vec<Against>,
    /// What it asks for and was not described.
    pub wanting: Vec<Wanting>,
}

/// A described mark that cannot be so if the claim is true.
pub struct Against {
    /// The feature that would have to be misread.
    pub clash: Clash,
    /// When what was described was struck.
    pub struck: Struck,
    /// It would be right in one of many years claimed.
    pub of_one_year: bool,
}

/// Where and when a mark was struck that clashes with a claim.
pub enum Struck {
    /// At the claimed office and then, but never with the rest of such a set.
    Apart,
    /// At the claimed office in these letter years.
    Then(Vec<(i32, i32)>),
    /// At these other offices.
    At(Vec<usize>),
    /// Nowhere in the tables.
    Nowhere,
}

/// A mark that the claim asks for and that was not described, with the omissions of the tables that
/// speak of it.
pub struct Wanting {
    /// The mark.
    pub mark: Due,
    /// Omissions of the tables that speak of it, by their numbers.
    pub may_lack: Vec<usize>,
}

/// A mark that is due.
pub enum Due {
    /// One of these devices.
    Mark(Slot, Vec<usize>),
    /// The letter of the row; else one of the years claimed.
    Letter {
        /// It is one letter that is due.
        one: bool,
    },
    /// A sponsor's mark.
    Sponsor,
}
