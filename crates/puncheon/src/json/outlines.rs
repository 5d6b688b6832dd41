//! The outlines of the tables, in the shape that `puncheon.outlines/1` prints.

use serde::Serialize;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.outlines/1";

/// Every outline of the tables.
#[derive(Clone, Debug, Serialize)]
pub struct Outlines {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The outlines, in the order of the tables.
    pub outlines: Vec<Outline>,
    /// Date letters that have no outline in the tables on either metal.
    pub not_known: usize,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// The shape round a punch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Outline {
    /// Its word.
    pub id: String,
    /// Its name, for a reader.
    pub name: String,
    /// What the word means, in one line.
    pub means: String,
    /// Words of the broader outlines it is a form of.
    pub forms_of: Vec<String>,
    /// Date letters that have it, on silver, on gold or on both. A year with two letters counts twice.
    pub letters: usize,
    /// Those that have it on silver.
    pub on_silver: usize,
    /// Those that have it on gold.
    pub on_gold: usize,
}
