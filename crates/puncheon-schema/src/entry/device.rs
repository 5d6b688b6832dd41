//! Devices, letterings and outlines: what can be seen in a punch.

use serde::Deserialize;

/// A picture a punch can show. Devices form a web: a narrow device `is` each of its broader ones.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    /// The word that marks and the vocabulary use.
    pub id: String,
    /// How it is named to a reader, without an article.
    pub name: String,
    /// The slot a reader would give it before the rest of the set is known.
    pub kind: DeviceKind,
    /// Broader devices it is a form of.
    #[serde(default)]
    pub is: Vec<String>,
    /// Devices it is easily misread for (both ways): a near may rest on it.
    #[serde(default)]
    pub misread: Vec<String>,
    /// Devices (marks) that this word, when described, strains instead of clashing with.
    #[serde(default)]
    pub strains: Vec<String>,
    /// A word for different things ("lion"), not one thing of several forms: a table that is unsure of
    /// a form leaves another thing out all the same.
    #[serde(default)]
    pub loose: bool,
}

/// What a device stands for in a description.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum DeviceKind {
    /// An office's mark.
    Town,
    /// A standard mark.
    Standard,
    /// Figures of a fineness.
    Fineness,
    /// A duty mark.
    Duty,
    /// An import mark.
    Import,
    /// A convention mark.
    Convention,
    /// A commemorative mark.
    Commemorative,
    /// An assay master's mark.
    Assayer,
    /// A letter's companion.
    Letter,
    /// Not a hallmark of these islands: a feature of lookalikes only.
    Lookalike,
}

/// A style of lettering.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lettering {
    /// The word used everywhere, `black-letter`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// Letterings that a description of this one strains instead of clashing with.
    #[serde(default)]
    pub strains: Vec<String>,
    /// In this lettering case says nothing.
    #[serde(default)]
    pub caseless: bool,
    /// Pairs easily confused when capital: "C G", "O Q".
    #[serde(default)]
    pub alike_upper: Vec<String>,
    /// Pairs easily confused when small: "n u", "c e".
    #[serde(default)]
    pub alike_lower: Vec<String>,
    /// Twenty-six styled capitals A to Z for a screen, if Unicode has them.
    #[serde(default)]
    pub styled_upper: Option<String>,
    /// Twenty-six styled small letters a to z for a screen, if Unicode has them.
    #[serde(default)]
    pub styled_lower: Option<String>,
}

/// The shape round a punch.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outline {
    /// The word used everywhere, `cut-corners`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// What the word means, for a reader who does not know it, in one line.
    #[serde(default)]
    pub means: String,
    /// Broader outlines it is a form of: "shield" says little, "rectangle" more.
    #[serde(default)]
    pub is: Vec<String>,
}
