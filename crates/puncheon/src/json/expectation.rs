//! The marks that a piece should bear, in the shape that `puncheon.expected/1` prints.

use serde::{Serialize, Serializer};

use puncheon_schema::entry::{Basis, Confidence, Metal, Origin};
use puncheon_schema::export;

use crate::engine::expect as value;
use crate::json::claim::Claim;
use crate::json::reading::LetterStruck;

/// What is asked: offices, years and standards as a claim names them, and bounds on them.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The offices, years and standards.
    #[serde(flatten)]
    pub claim: Claim,
    /// silver, gold, platinum or palladium; null for any that the claim allows.
    #[serde(serialize_with = "as_word")]
    pub metal: Option<Metal>,
    /// Ware brought in from abroad.
    pub imported: bool,
}

fn as_word<S: Serializer>(m: &Option<Metal>, s: S) -> Result<S::Ok, S::Error> {
    m.map(export::metal).serialize(s)
}

impl From<Claim> for Asked {
    /// All that a claim allows.
    fn from(claim: Claim) -> Asked {
        Asked { imported: claim.imported, claim, metal: None }
    }
}

impl Asked {
    /// The same for the engine.
    pub(crate) fn value(&self) -> value::Asked {
        value::Asked { claim: self.claim.value(), metal: self.metal, imported: self.imported }
    }
}

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.expected/1";

/// One mark of a set.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ExpectedMark {
    /// Its place in the set: "town mark", "duty mark", "date letter".
    pub place: String,
    /// How it should look; alternatives joined by "or".
    pub looks: String,
    /// The shape round it; null where not known.
    pub outline: Option<String>,
    /// The law or the office's rule asks for it; else it was struck by choice.
    pub due: bool,
    /// Articles on which it is often lacking.
    pub may_lack: Vec<String>,
    /// What it says, a sentence.
    pub why: String,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low.
    pub confidence: Confidence,
    /// Sources.
    pub sources: Vec<String>,
}

/// A set of marks that could have been struck on one day, over the letter years that share it.
#[derive(Clone, Debug, Serialize)]
pub struct ExpectedSet {
    /// The office, lower case.
    pub office: String,
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// As the trade writes it.
    pub shown: String,
    /// First day, ISO; null where not known, or for several years.
    pub begins: Option<String>,
    /// Last day, ISO.
    pub ends: Option<String>,
    /// home, foreign or either.
    pub origin: Origin,
    /// silver, gold, platinum or palladium.
    pub metal: &'static str,
    /// Whole parts per thousand; null where no standard is known.
    pub fineness: Option<u16>,
    /// The standard's name.
    pub standard: String,
    /// The date letters, one for each letter year.
    pub letters: Vec<LetterStruck>,
    /// The marks, the date letter and the sponsor's mark among them.
    pub marks: Vec<ExpectedMark>,
    /// The office's name, for a reader.
    #[serde(skip)]
    pub office_name: String,
}

/// A mark that could not stand in the years asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Impossible {
    /// The office, lower case.
    pub office: String,
    /// The mark.
    pub mark: String,
    /// Its place in the set.
    pub place: String,
    /// When the office struck it.
    pub struck: String,
}

/// The marks expected.
#[derive(Clone, Debug, Serialize)]
pub struct Expected {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// The sets; empty if nothing was struck.
    pub sets: Vec<ExpectedSet>,
    /// What the office first struck in the year asked, where one is.
    pub began: Vec<String>,
    /// What it struck for the last time.
    pub ended: Vec<String>,
    /// Marks of the office that could not stand then, the nearest in time first.
    pub impossible: Vec<Impossible>,
    /// Other standards that the office marked then.
    pub others: Vec<String>,
    /// Why nothing was struck, a sentence; null if something was.
    pub nothing: Option<String>,
    /// How the words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}
