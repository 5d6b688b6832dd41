//! The shapes that `puncheon.schedule/1` prints.

use serde::Serialize;

use crate::json::worth::{Advice, FinenessTold, PriceTold, Sum, TakenOff, Weighed};

/// The name of the shape of an answer.
pub const SCHEDULE_SCHEMA: &str = "puncheon.schedule/1";

/// A piece that is valued.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Entry {
    /// Its number, as in the list.
    pub number: String,
    /// What it is, as in the list.
    pub description: String,
    /// The marks, as in the list.
    pub marks: String,
    /// What they were read as.
    pub read_as: String,
    /// The whole weight.
    pub gross: Weighed,
    /// What was taken off.
    pub less: Vec<TakenOff>,
    /// What is left.
    pub net: Weighed,
    /// The fineness.
    pub fineness: FinenessTold,
    /// Pure metal.
    pub fine: Weighed,
    /// The metal value; null where no price of the metal was named.
    pub value: Option<Sum>,
    /// Something named in the description has to come off the weight and did not.
    pub at_most: bool,
    /// What the trade does about what the piece has on it.
    pub advice: Vec<Advice>,
    /// How words were taken, a sentence each.
    pub notes: Vec<String>,
}

/// A piece that is not valued as precious metal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct NotValued {
    /// Its number, as in the list.
    pub number: String,
    /// What it is, as in the list.
    pub description: String,
    /// The marks, as in the list.
    pub marks: String,
    /// The weight, as in the list.
    pub gross: String,
    /// A sentence.
    pub why: String,
    /// The row could not be read, which is not the marks' doing.
    pub unreadable: bool,
}

/// What the pieces of one metal come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Total {
    /// silver, gold, platinum or palladium.
    pub metal: &'static str,
    /// How many pieces.
    pub pieces: usize,
    /// The whole weight.
    pub gross: Weighed,
    /// Pure metal.
    pub fine: Weighed,
    /// The metal value; null where no price of the metal was named.
    pub value: Option<Sum>,
    /// One of the pieces may be worth less than its value says.
    pub at_most: bool,
    /// The price; null where none was named.
    pub price: Option<PriceTold>,
}

/// A schedule of pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Schedule {
    /// Always [`SCHEDULE_SCHEMA`].
    pub schema: &'static str,
    /// The basis of the valuation, in the user's words; null where none was named.
    pub basis: Option<String>,
    /// The three letters of the currency, or its sign; null where none was named.
    pub currency: Option<String>,
    /// The pieces that are valued, in the order of the list.
    pub items: Vec<Entry>,
    /// The pieces that are not, in the order of the list.
    pub not_valued: Vec<NotValued>,
    /// What the valued pieces come to, metal by metal.
    pub totals: Vec<Total>,
    /// All metal values together; null where no price was named.
    pub value: Option<Sum>,
    /// One of the pieces may be worth less than its value says.
    pub at_most: bool,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}
