//! What entries of several tables are said to be: on what they rest, of what metal, from where.

use serde::Deserialize;

/// What a fact rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Basis {
    /// A published source says it; the entry cites it.
    Published,
    /// Remembered from the trade's handbooks; no page was before the writer.
    Memory,
    /// Partly the one and partly the other.
    Both,
}

/// How sure a fact is. The order is from sure to unsure, so that the greatest is the weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Confidence {
    /// Would be surprising if wrong.
    High,
    /// Probably right; a better source could change it.
    Medium,
    /// A working guess: contrary words strain it rather than clash with it.
    Low,
}

/// The metal of an article.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Metal {
    /// Silver.
    Silver,
    /// Gold.
    Gold,
    /// Platinum, marked since 1975.
    Platinum,
    /// Palladium, marked since 2009.
    Palladium,
}

/// Where an article was made, as far as its marks tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Origin {
    /// Made in the office's own country.
    Home,
    /// Brought in and marked as foreign.
    Foreign,
    /// The marks no longer tell.
    Either,
}

/// Capital or small.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Case {
    /// Capital letters.
    Upper,
    /// Small letters.
    Lower,
    /// Known to vary, or not known: a described case says nothing.
    Either,
}

/// The place a mark fills in a set of marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Slot {
    /// The assay office's own mark.
    Town,
    /// The mark or figures of the standard.
    Standard,
    /// A further mark the office struck as a rule, such as London's leopard's head at Chester.
    Extra,
    /// The sovereign's head: duty paid.
    Duty,
    /// The mark of an office on foreign ware.
    Import,
    /// The common control mark of the convention countries.
    Convention,
    /// A mark for an event, struck by choice.
    Commemorative,
    /// The assay master's mark.
    Assayer,
    /// Something joined to the date letter, such as a pellet.
    Joined,
    /// Anything else: drawback, countermarks.
    Special,
}

/// How strictly a mark belongs to its set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Due {
    /// The law or the office's rule asks for it; without it the set is short.
    Must,
    /// Struck by choice or often left out.
    May,
}
