//! A weight as it was read, how its words were taken, and why a text is none.

use std::ops::Range;

use num_rational::BigRational;

use crate::grammar::figures::Misread;

/// A weight, and where it stands in its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weight {
    /// Its figures and units, as bytes of the text.
    pub at: Range<usize>,
    /// In grams, exactly.
    pub grams: BigRational,
    /// How words that leave something open were taken.
    pub taken: Vec<Taken>,
}

/// How words that leave something open were taken. Units are numbers of the tables.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// "oz" for one of its units.
    Bare {
        /// The words of the unit.
        at: Range<usize>,
        /// The unit that they were taken for.
        unit: usize,
    },
    /// "12 oz 25 dwt" has a whole ounce in its pennyweights, and is added up as written.
    Over {
        /// From the first figures to the end of the lower unit.
        at: Range<usize>,
        /// The higher unit, of which the lower holds a whole one.
        above: usize,
        /// The lower unit.
        unit: usize,
    },
    /// "3oz 12": a bare figure for one of the next unit; `last` is that figure.
    Short {
        /// From the first figures to the bare one.
        at: Range<usize>,
        /// The bare figure.
        last: Range<usize>,
        /// The unit that it was taken for.
        unit: usize,
    },
}

/// Why a text is no weight of a piece. Places are bytes of the text, units numbers of the tables.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// None is named, though figures may stand there.
    None {
        /// Figures stand in the text.
        figures: bool,
    },
    /// The figures before a unit are no number.
    Figures {
        /// The figures, and a sign of less than nothing before them.
        at: Range<usize>,
        /// The unit behind them.
        unit: usize,
        /// Why they are no number.
        why: Misread,
    },
    /// The words leave open which of several units is meant.
    OpenUnit {
        /// The words of the unit.
        at: Range<usize>,
        /// The units that it can be.
        units: Vec<usize>,
    },
    /// A lower place of an old weight holds a whole one of the place above.
    WholePlace {
        /// From the first figures to those of the lower place.
        at: Range<usize>,
        /// The figures of the lower place.
        figures: Range<usize>,
        /// The unit of the lower place.
        unit: usize,
        /// The unit of the place above.
        above: usize,
    },
    /// Units that are never added up; `figures` are the first of them.
    Contrary {
        /// From the first figures to the end of the second unit.
        at: Range<usize>,
        /// The first figures.
        figures: Range<usize>,
        /// The two units, in the order in which they stand.
        units: [usize; 2],
    },
    /// No weight stands behind a plus.
    NothingAdded {
        /// The part of the text that was read.
        within: Range<usize>,
    },
    /// Two weights.
    Second {
        /// The part of the text that was read.
        within: Range<usize>,
    },
    /// It is read, and is not the weight of one piece.
    NotOne(NotOne),
}

/// Why a weight is not that of one piece. Places are bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotOne {
    /// The least and the most.
    Span {
        /// From the least to the weight, or all that was read.
        at: Range<usize>,
    },
    /// It is nothing.
    Nothing {
        /// The weight.
        at: Range<usize>,
    },
    /// It is more than anything that is weighed.
    TooMuch {
        /// The weight.
        at: Range<usize>,
    },
    /// A word of doubt stands beside it.
    Guess {
        /// The weight with the word of doubt.
        at: Range<usize>,
        /// The weight without it.
        weight: Range<usize>,
    },
    /// It is that of one of several pieces; what they weigh together, where that is said.
    OfEach {
        /// The weight with the words that say so.
        at: Range<usize>,
        /// In grams; None where the number of pieces is not said.
        together: Option<BigRational>,
    },
    /// Something else stands beside it.
    Beside {
        /// The weight without what stands beside it.
        weight: Range<usize>,
    },
}
