//! What a claim says, in values: offices, years, reigns and standards by their numbers in the tables,
//! how its words were taken, and why one cannot be read.

use std::ops::Range;

use serde::Serialize;

/// What the words of a claim come to. An empty list claims nothing of its kind.
#[derive(Clone, Debug, Default)]
pub struct Claimed {
    /// Offices named, any of which will do.
    pub offices: Vec<u32>,
    /// Spans of years, any of which will do.
    pub years: Vec<Years>,
    /// Reigns and periods named.
    pub reigns: Vec<u32>,
    /// Standards named, any of which will do.
    pub standards: Vec<u32>,
    /// Words that bear on none of these, in bytes of the text.
    pub not_used: Vec<Range<usize>>,
    /// What was taken for more or less than it says.
    pub taken: Vec<Taken>,
    /// The words say that the piece was brought in from abroad.
    pub imported: bool,
    /// Signs named that bear on what the marks vouch for.
    pub signs: Vec<u32>,
}

/// Calendar years, first and last; None is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Years {
    /// First year.
    pub from: Option<i32>,
    /// Last year.
    pub to: Option<i32>,
    /// One letter was named, as in 1803/04: a letter that only runs into its year is not it.
    pub one_letter: bool,
}

impl Years {
    /// Does a year lie in them?
    pub fn holds(self, year: i32) -> bool {
        self.from.is_none_or(|f| f <= year) && self.to.is_none_or(|t| year <= t)
    }

    /// The years of both.
    pub fn and(self, other: Years) -> Option<Years> {
        let later = |a: Option<i32>, b: Option<i32>| a.max(b);
        let sooner = |a: Option<i32>, b: Option<i32>| match (a, b) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let both = Years {
            from: later(self.from, other.from),
            to: sooner(self.to, other.to),
            one_letter: self.one_letter || other.one_letter,
        };
        (!both.none()).then_some(both)
    }

    /// Do they hold no year?
    pub fn none(self) -> bool {
        matches!((self.from, self.to), (Some(a), Some(b)) if a > b)
    }
}

/// How words of a claim were taken. Bytes are of the text that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// A date that means more years, or others, than it names.
    Date {
        /// The words of the date.
        at: Range<usize>,
        /// The years that it means.
        years: Years,
        /// What made them of those that it names.
        how: How,
    },
    /// A word that was taken for one of the vocabulary.
    Mended {
        /// The word as typed.
        at: Range<usize>,
        /// The word of the vocabulary that it was taken for.
        nearest: String,
    },
}

/// What made the years of a date from those that it names.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct How {
    /// From which to which of how many parts; of a hundred, the decade that begins so many years in.
    pub portion: Option<(i32, i32, i32)>,
    /// Some years either side.
    pub about: bool,
    /// The year named is not meant.
    pub excluded: bool,
    /// The year named is meant, and all before or after it.
    pub included: bool,
    /// The year before a century was counted in.
    pub round: Option<i32>,
    /// A word stands for several years.
    pub spans: bool,
}

/// Why a claim cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The words at fault, in bytes of the text; empty where it is the whole.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub wrong: Wrong,
}

/// What is wrong with a claim, and what follows for what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// There are no words.
    Empty,
    /// No office, year, reign or standard.
    NamesNothing,
    /// A maker and nothing else.
    MakerAlone,
    /// No year where one is needed.
    NoYear,
    /// A word that was not understood, in a sentence that claims something.
    Unread,
    /// A word of dates that no date has put to use.
    NoDate,
    /// A word by which what is claimed is only looked like.
    OnlyLooks,
    /// A word most like the name of this office.
    MeantOffice(u32),
    /// Four figures in which no office struck letters.
    NoSuchYear,
    /// Figures that are no year.
    Figures,
    /// What may be a place, and is no office.
    NoPlace,
    /// A year with a unit behind it.
    YearOrMeasure,
    /// A pair of years of which the second, written short, may lie in the next century.
    TwoWays(i32, i32),
    /// It turns the claim round.
    Denied,
    /// A sovereign's letters, which may be anybody's.
    Cypher,
    /// Another office that no "or" joins.
    SecondOffice,
    /// A number of one or two figures, without a carat.
    BareNumber,
    /// A lookalike that no dated hallmark goes with.
    Impossible(u32),
    /// A lookalike that names a metal and no standard.
    NoStandard(u32),
    /// A standard, and another metal.
    OtherMetal,
    /// Two offices with a date each.
    TwoClaims,
    /// More dates than will be tried: so many.
    TooMany(usize),
    /// Two dates that never meet: the first, and the years of both.
    NeverMeet {
        /// Where the first date stands; the second is the place of the problem.
        first: Range<usize>,
        /// The years of the first and of the second.
        years: [Years; 2],
    },
    /// Dates that hold no year.
    NoYears,
    /// A part of one year.
    PartOfYear,
    /// Parts of a date that do not meet.
    PartsApart,
    /// A decade of less than a century.
    NoCentury,
}

impl Problem {
    /// A problem with the words at a place, in bytes of the text.
    pub fn new(at: Range<usize>, wrong: Wrong) -> Problem {
        Problem { at, wrong }
    }
}
