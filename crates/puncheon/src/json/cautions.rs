//! What to mind, in the shape that `puncheon.cautions/1` prints.

use puncheon_schema::entry::{Basis, Confidence};
use serde::Serialize;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.cautions/1";

/// Cautions, with what was asked.
#[derive(Clone, Debug, Serialize)]
pub struct Cautions {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What is done, where it was asked for.
    pub asked: Option<&'static str>,
    /// The description of the marks, where there was one.
    pub marks: Option<String>,
    /// The cautions, in the order of the tables.
    pub cautions: Vec<Caution>,
}

/// One caution.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Its word in the tables.
    pub id: String,
    /// The heading it stands under.
    pub about: String,
    /// What it is told for.
    pub uses: Vec<&'static str>,
    /// The caution, a sentence.
    pub says: String,
    /// Who can judge, or what to do, a sentence; null where nothing follows.
    pub then: Option<String>,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low.
    pub confidence: Confidence,
    /// Sources joined by `; `, or "common practice".
    pub source: String,
}
