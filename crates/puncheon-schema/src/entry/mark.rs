//! Regimes, marks, the articles that went without, and the reigns that heads stand for.

use super::kinds::{Basis, Confidence, Due, Metal, Origin, Slot};
use super::name::Name;
use crate::date::Bound;
use serde::Deserialize;

/// The marks by which one standard was shown at some offices over some time.
///
/// An article class (office, standard, origin) exists on a day only if a regime covers that day.
/// Regimes of one class may overlap in a change-over year; then either set of marks could stand.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Regime {
    /// Unique word.
    pub id: String,
    /// The [`Standard`](super::Standard).
    pub standard: String,
    /// Offices or groups of offices ("england", "uk").
    pub offices: Vec<String>,
    /// Home ware, foreign ware or either.
    #[serde(default = "home")]
    pub origin: Origin,
    /// First day or letter year.
    pub from: Bound,
    /// Last day or letter year; None is still in force.
    #[serde(default)]
    pub to: Option<Bound>,
    /// The marks that show it; empty where the standard stood without a mark of its own.
    pub marks: Vec<Stands>,
    /// The statute or rule.
    #[serde(default)]
    pub statute: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

fn home() -> Origin {
    Origin::Home
}

/// One mark of a [`Regime`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stands {
    /// The [`Device`](super::Device).
    pub device: String,
    /// Must it stand?
    #[serde(default = "must")]
    pub due: Due,
    /// The shape round it, where known.
    #[serde(default)]
    pub outline: Option<Name>,
}

fn must() -> Due {
    Due::Must
}

/// A mark that is not a standard's: town, duty, import, convention, commemorative and so on.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Unique word.
    pub id: String,
    /// Its place in the set.
    pub slot: Slot,
    /// The [`Device`](super::Device) it shows.
    pub device: String,
    /// Offices or groups; an office's own file leaves it out.
    #[serde(default)]
    pub offices: Vec<String>,
    /// Metals it stands on; empty means any.
    #[serde(default)]
    pub metals: Vec<Metal>,
    /// Standards it stands on; empty means any.
    #[serde(default)]
    pub standards: Vec<String>,
    /// Standards it does not stand on.
    #[serde(default)]
    pub not_standards: Vec<String>,
    /// On home ware, foreign ware or both (`Either`).
    #[serde(default = "either")]
    pub origin: Origin,
    /// First day or letter year.
    pub from: Bound,
    /// Last day or letter year; None is still in force.
    #[serde(default)]
    pub to: Option<Bound>,
    /// Must it stand?
    #[serde(default = "must")]
    pub due: Due,
    /// Slots whose marks it takes the place of: an import mark stands instead of the town mark.
    #[serde(default)]
    pub replaces: Vec<Slot>,
    /// While in force, every class of home ware may also be foreign ware that bears this mark
    /// beside the home marks (the F in an oval of 1867).
    #[serde(default)]
    pub opens_foreign: bool,
    /// The shape round it, where known.
    #[serde(default)]
    pub outline: Option<Name>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

fn either() -> Origin {
    Origin::Either
}

/// Marks that some articles went without, by law or by habit.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Omission {
    /// Unique word.
    pub id: String,
    /// The slots left empty.
    #[serde(default)]
    pub slots: Vec<Slot>,
    /// The date letter was left off.
    #[serde(default)]
    pub letter: bool,
    /// Offices or groups.
    pub offices: Vec<String>,
    /// Metals; empty means any.
    #[serde(default)]
    pub metals: Vec<Metal>,
    /// Standards; empty means any.
    #[serde(default)]
    pub standards: Vec<String>,
    /// First year.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The articles, "small spoons and tongs".
    pub on: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A sovereign's reign or a named period.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reign {
    /// Unique word.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// Words and phrases that mean it.
    pub say: Vec<String>,
    /// The device that the words mean where they are joined to a duty mark: "duty mark: George III".
    #[serde(default)]
    pub head: Option<String>,
    /// Sources; empty is common knowledge.
    #[serde(default)]
    pub cites: Vec<String>,
}
