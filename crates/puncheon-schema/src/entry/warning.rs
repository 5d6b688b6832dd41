//! Warning signs, and the design numbers by which some of them tell.

use super::kinds::{Basis, Confidence, Slot};
use super::lookalike::LookalikeKind;
use serde::Deserialize;

/// A sign worth a second look when a seller's claim is held against the marks. It is never an
/// accusation: it says what is unusual, what harmless reasons there may be and who can judge.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Warning {
    /// Unique word.
    pub id: String,
    /// All of these must hold.
    pub when: Vec<When>,
    /// What is unusual, one sentence.
    pub reason: String,
    /// The harmless reasons there may be.
    pub innocent: String,
    /// Who can judge.
    pub judge: String,
    /// The marks then do not vouch for the piece, so that no claim holds by them.
    #[serde(default)]
    pub unsettles: bool,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources; none is the common practice of the trade.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// One condition of a [`Warning`]. Marks are named by a device, which stands for its narrower forms
/// too, or by a standard.
#[derive(Clone, Debug, Deserialize)]
pub enum When {
    /// The description says so, in words of the vocabulary that mean this sign.
    Said(String),
    /// One of these marks was described.
    Seen(Vec<String>),
    /// One of these marks was described and could not stand in any year claimed.
    Contrary(Vec<String>),
    /// A mark in this slot is due in the years claimed and wanting: said not to be there, or not
    /// described in a set that otherwise seems whole.
    Wanting(Slot),
    /// So with this mark.
    WantingMark(String),
    /// So with the date letter.
    WantingLetter,
    /// Every office claimed, or that fits, is one of these offices or groups.
    Offices(Vec<String>),
    /// Every year claimed, or that fits, lies in this span.
    Years {
        /// First year.
        #[serde(default)]
        from: Option<i32>,
        /// Last year.
        #[serde(default)]
        to: Option<i32>,
    },
    /// The town mark and the letter described fit the years claimed, each at another office; or two
    /// offices' marks were described that never stood together.
    OfficesApart,
    /// Two letters were described that lie at least so many years apart.
    LettersApart(u8),
    /// The number behind this mark is that of a design registered after the years claimed.
    DesignLater(String),
    /// An engraved date is earlier than the years claimed.
    EngravedBefore,
    /// The piece weighs less than its scratch weight by more than so many parts in a hundred.
    Lighter(u8),
    /// A mark of such a lookalike's own was described.
    Lookalike(Vec<LookalikeKind>),
    /// No year fits the marks described.
    NothingFits,
    /// The claim names no office.
    NoOfficeClaimed,
    /// The letters described are none of a maker's that the claim names.
    MakerAgainst,
}

/// The first number given to a registered design in a year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Design {
    /// The calendar year.
    pub year: i32,
    /// Its first number.
    pub first: u32,
}

/// The numbers of registered designs, year by year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Designs {
    /// Unique word.
    pub id: String,
    /// The years in order.
    pub years: Vec<Design>,
    /// Years by which the list may be out.
    pub slack: u8,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}
