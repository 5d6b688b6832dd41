//! Units of weight, and what is weighed with a piece.

use super::kinds::{Basis, Confidence, Metal};
use serde::Deserialize;

/// Units that are added up with each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum System {
    /// Grams.
    Metric,
    /// The weight of precious metal.
    Troy,
    /// The weight of everything else.
    Avoirdupois,
}

/// A unit of weight.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unit {
    /// Unique word, `ounce-troy`.
    pub id: String,
    /// How a reader is told, "troy ounce".
    pub name: String,
    /// The same short, "oz t"; what a reader is told to write.
    pub short: String,
    /// Its weight in grams, exactly, as a decimal.
    pub grams: String,
    /// What it is added up with.
    pub system: System,
    /// Its place in a weight of old plate with signs or nothing between the figures, from 1 on.
    #[serde(default)]
    pub scratch: Option<u8>,
    /// Phrases that mean it, in small letters and without points. A phrase of two units is refused
    /// until the writer says which.
    pub say: Vec<String>,
    /// Phrases that leave the unit open and are taken for this one, which is always said.
    #[serde(default)]
    pub bare: Vec<String>,
    /// What to write instead where another unit is meant.
    #[serde(default)]
    pub bare_why: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

fn yes() -> bool {
    true
}

/// Something that is weighed with a piece and is not its metal.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Deduction {
    /// Unique word, `loaded`.
    pub id: String,
    /// How a reader is told, "loading".
    pub name: String,
    /// Phrases that speak of it, in small letters, hyphens written as spaces.
    pub say: Vec<String>,
    /// What the trade does about it, in whole sentences.
    pub advice: String,
    /// The part of the whole weight, in hundredths, that it took in published cases.
    #[serde(default)]
    pub share: Option<(u8, u8)>,
    /// It has to come off the weight.
    #[serde(default = "yes")]
    pub weighs: bool,
    /// Devices of lookalikes whose words speak of it too.
    #[serde(default)]
    pub devices: Vec<String>,
    /// Metals that a piece is not of if these words are said of the piece itself.
    #[serde(default)]
    pub bars: Vec<Metal>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}
