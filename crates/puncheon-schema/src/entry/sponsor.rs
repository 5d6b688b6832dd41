//! Sponsors' marks: an entry of the register, and its letters without what does not distinguish them.

use serde::Deserialize;

use super::{Basis, Confidence, Name};

/// A sponsor's (maker's) mark: one entry for each mark, not for each person.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sponsor {
    /// Unique word.
    pub id: String,
    /// The letters as struck; a stroke stands between lines or partners: "PB/AB". Empty for a
    /// picture without letters.
    #[serde(default)]
    pub struck: String,
    /// What the mark shows where it has no letters.
    #[serde(default)]
    pub picture: String,
    /// How the letters stand, where it is known.
    #[serde(default)]
    pub arrangement: Option<Arrangement>,
    /// The [`crate::entry::Lettering`], where it is known.
    #[serde(default)]
    pub lettering: Option<Name>,
    /// The [`crate::entry::Outline`]s of its punches, where they are known.
    #[serde(default)]
    pub punch: Vec<Name>,
    /// What stands in the punch with the letters: "crown above".
    #[serde(default)]
    pub beside: Vec<String>,
    /// What the maker struck beside it in a town without an office: "STERLING".
    #[serde(default)]
    pub with: Vec<String>,
    /// Offices that marked the work; towns without yearly letters among them.
    #[serde(default)]
    pub offices: Vec<String>,
    /// The year it was entered, or is first known.
    #[serde(default)]
    pub from: Option<i32>,
    /// The last year in which it is known.
    #[serde(default)]
    pub to: Option<i32>,
    /// It was in use for longer than `to`, where the register ends.
    #[serde(default)]
    pub still: bool,
    /// The years are approximate.
    #[serde(default)]
    pub about: bool,
    /// The persons, surname last.
    #[serde(default)]
    pub names: Vec<String>,
    /// The firm.
    #[serde(default)]
    pub firm: String,
    /// Where they worked.
    #[serde(default)]
    pub town: String,
    /// What they made.
    #[serde(default)]
    pub trade: Vec<String>,
    /// What the maker and the years rest on.
    pub basis: Basis,
    /// How sure they are.
    pub confidence: Confidence,
    /// What the letters as struck rest on; as `basis` if left out.
    #[serde(default)]
    pub letters_basis: Option<Basis>,
    /// How sure the letters are; as `confidence` if left out.
    #[serde(default)]
    pub letters_confidence: Option<Confidence>,
    /// Why the letters are not the initials of the names.
    #[serde(default)]
    pub letters_why: String,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark.
    #[serde(default)]
    pub note: String,
}

impl Sponsor {
    /// What the letters rest on.
    pub fn letters_basis(&self) -> Basis {
        self.letters_basis.unwrap_or(self.basis)
    }

    /// How sure the letters are.
    pub fn letters_confidence(&self) -> Confidence {
        self.letters_confidence.unwrap_or(self.confidence)
    }
}

/// How the letters of a mark stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Arrangement {
    /// Side by side.
    Row,
    /// One line above another.
    Stacked,
    /// Crosswise, or grouped in one punch.
    Grouped,
    /// Joined into one figure.
    Joined,
    /// On punches of their own.
    Apart,
}

impl Arrangement {
    /// Every arrangement, in the order of its number.
    pub const ALL: [Arrangement; 5] = [
        Arrangement::Row,
        Arrangement::Stacked,
        Arrangement::Grouped,
        Arrangement::Joined,
        Arrangement::Apart,
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Arrangement::Row => "row",
            Arrangement::Stacked => "stacked",
            Arrangement::Grouped => "grouped",
            Arrangement::Joined => "joined",
            Arrangement::Apart => "apart",
        }
    }
}

/// A letter as marks are compared by: a capital, I for J and V for U, which one punch wrote for the
/// other. None for what is no letter of the alphabet.
pub fn fold(c: char) -> Option<u8> {
    match c.to_ascii_uppercase() {
        'J' => Some(b'I'),
        'U' => Some(b'V'),
        c if c.is_ascii_uppercase() => Some(c as u8),
        _ => None,
    }
}

/// The capitals of a mark, folded and sorted: whoever describes the mark sees them all. Small
/// letters, such as those of Co and Ld, are often left out.
pub fn capitals(struck: &str) -> Vec<u8> {
    sorted(struck.chars().filter(|c| c.is_uppercase()))
}

/// All letters of a mark, folded and sorted.
pub fn letters(struck: &str) -> Vec<u8> {
    sorted(struck.chars())
}

fn sorted(chars: impl Iterator<Item = char>) -> Vec<u8> {
    let mut out: Vec<u8> = chars.filter_map(fold).collect();
    out.sort_unstable();
    out
}

/// The id that the name of a town makes: `St Andrews` to `st-andrews`.
pub fn town_id(name: &str) -> String {
    name.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join("-")
}
