//! What can be looked at on a piece, and what of it was described already.

use puncheon_schema::entry::Slot;

use crate::fit::narrow::Narrow;
use crate::questions::answer::Shown;
use crate::questions::candidate::Candidates;
use crate::questions::{letters, marks};
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{LetterSeen, What};

/// A feature that can be asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feature {
    /// Which letter it is.
    Letter,
    /// Whether it is capital or small, and its lettering.
    Style,
    /// The shape round it.
    Outline,
    /// The mark in a place of the set.
    Mark(Slot),
    /// Another town's mark beside the one that was described.
    Beside,
}

/// Every feature, the easiest to make out first: whether there is a head at all, before which way a
/// lion looks.
pub const FEATURES: [Feature; 11] = [
    Feature::Letter,
    Feature::Style,
    Feature::Mark(Slot::Duty),
    Feature::Mark(Slot::Town),
    Feature::Mark(Slot::Import),
    Feature::Mark(Slot::Convention),
    Feature::Mark(Slot::Extra),
    Feature::Mark(Slot::Standard),
    Feature::Mark(Slot::Commemorative),
    Feature::Beside,
    Feature::Outline,
];

impl Feature {
    /// Features of the same marks: who cannot tell the one cannot tell the other.
    pub fn same_marks(self, other: Feature) -> bool {
        let town = |f| matches!(f, Feature::Beside | Feature::Mark(Slot::Town));
        self == other || town(self) && town(other)
    }

    /// The answers that candidates show of it; none where it was described, or said to be missing.
    pub fn shown(self, n: &Narrow, c: &Candidates) -> Option<Shown> {
        let said = Said { n };
        match self {
            Feature::Letter => letters::letter(said, c),
            Feature::Style => letters::style(said, c),
            Feature::Outline => letters::outline(said, c),
            Feature::Mark(slot) => marks::mark(said, c, slot),
            Feature::Beside => marks::beside(said, c),
        }
    }
}

/// What was described.
#[derive(Clone, Copy)]
pub struct Said<'a, 'n> {
    /// The rows, narrowed by what was seen.
    pub n: &'n Narrow<'a>,
}

impl<'n> Said<'_, 'n> {
    /// Was a mark of this kind described?
    pub fn described(self, kind: Kind) -> bool {
        self.n.sightings.iter().any(|s| s.what.kind(self.n.image) == kind)
    }

    /// Was it said that a mark of this kind is missing? Then it was looked for.
    pub fn absent(self, kind: Kind) -> bool {
        let missing = |what: &What| matches!(what, What::Absent(w) if w.kind(self.n.image) == kind);
        self.n.sightings.iter().any(|s| missing(&s.what))
    }

    /// The devices described, by their words.
    pub fn devices(self) -> impl Iterator<Item = usize> + 'n {
        let devices = self.n.sightings.iter().filter_map(|s| match &s.what {
            What::Device(d) => Some(d),
            _ => None,
        });
        devices.flatten().map(|d| *d as usize)
    }

    /// The date letters described: an answer about a letter's style is one more.
    pub fn letters(self) -> impl Iterator<Item = &'n LetterSeen> {
        self.n.sightings.iter().filter_map(|s| match &s.what {
            What::Letter(l) => Some(l),
            _ => None,
        })
    }
}
