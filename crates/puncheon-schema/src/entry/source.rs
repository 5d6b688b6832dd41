//! Sources, rules of the law, and where sources differ.

use super::kinds::{Basis, Confidence};
use serde::Deserialize;

/// A published source, or a body of them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The word that `cites` fields use.
    pub id: String,
    /// Author or institution.
    #[serde(default)]
    pub author: String,
    /// Title, edition, year, and what part was seen.
    pub title: String,
    /// True for a hobbyist's or dealer's word that needs support.
    #[serde(default)]
    pub weak: bool,
}

/// A rule of marking that no row can hold: how sponsors' marks were made, where marks are struck.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Unique word.
    pub id: String,
    /// What it is about, one word or two: "sponsors", "struck abroad".
    pub about: String,
    /// The rule, a sentence or two.
    pub says: String,
    /// First year, where it has one.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year, where it has one.
    #[serde(default)]
    pub to: Option<i32>,
    /// Offices or groups at which it has whoever sends a piece in strike a mark; most rules have
    /// nobody.
    #[serde(default)]
    pub sponsor_due_at: Vec<String>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Where two sources differ.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dispute {
    /// The question.
    pub about: String,
    /// What each side says, with its sources.
    pub views: Vec<View>,
    /// Which is followed in these tables, and why.
    pub followed: String,
}

/// One side of a [`Dispute`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// What is said.
    pub says: String,
    /// Who says it; empty means memory.
    #[serde(default)]
    pub cites: Vec<String>,
}
