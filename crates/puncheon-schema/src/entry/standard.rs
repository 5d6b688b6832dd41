//! Standards and scales of fineness.

use super::kinds::{Basis, Confidence, Metal};
use serde::Deserialize;

/// A lawful standard of fineness.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    /// The word used everywhere, `sterling`, `gold-18`.
    pub id: String,
    /// How a reader is told: "sterling silver", "18 carat gold".
    pub name: String,
    /// The metal.
    pub metal: Metal,
    /// Whole parts per thousand, cut and not rounded; None where no standard is known.
    #[serde(default)]
    pub parts: Option<u16>,
    /// The exact ratio, "37/40".
    #[serde(default)]
    pub exact: Option<String>,
    /// What the standard rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A way of counting fineness: so many parts of a whole.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// Unique word, `carat`.
    pub id: String,
    /// How a reader is told, "carat".
    pub name: String,
    /// Parts of the pure metal.
    pub whole: u16,
    /// The metal so counted, where it is one alone.
    #[serde(default)]
    pub metal: Option<Metal>,
    /// Words for it behind a figure, in small letters.
    pub say: Vec<String>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}
