//! What a piece is called, and what is stated of it beside its marks: how many there are, the noun, what is not
//! its metal, the metals and standards named, what it is boasted of, whoever is named, and what joins it all.
//!
//! A text is cut once ([`Item::of`]); everything asked of it afterwards is asked of the same pieces. The words
//! that play a part here alone are those that the vocabulary keeps within items.

mod beside;
mod context;
mod count;
mod homes;
mod metals;
mod own;

use std::ops::Range;

use puncheon_schema::entry::Metal;
use puncheon_schema::image::{Image, METALS};

pub use self::beside::Named;
pub use self::context::Who;
pub use self::count::{Bearer, Count, MOST_PIECES, Way};
pub use self::metals::{Fineness, MetalNamed};
use self::own::Own;
use crate::phrase::Pieces;
use crate::sighting::Sightings;

/// One text about a piece, cut once.
pub struct Item<'i, 'w> {
    /// The tables that it is read by.
    pub image: &'i Image,
    /// The pieces of any description.
    pub pieces: Pieces<'w>,
    /// What a description of marks would say in these words.
    pub seen: Sightings,
    /// Words that play a part in items, in order and apart.
    own: Vec<Own>,
    /// What each token is among those, by its number.
    own_at: Vec<Option<usize>>,
    /// What it speaks of that is not the metal.
    beside: Vec<Named<'i>>,
    /// Words that claim more than marks tell: which, which of its phrases, and where.
    boasts: Vec<(usize, usize, Range<usize>)>,
}

impl<'i, 'w> Item<'i, 'w> {
    /// Reads a text that was cut. `first`: what it says it says of the piece itself, and not of what is on it.
    pub fn of(image: &'i Image, pieces: Pieces<'w>, seen: Sightings, first: bool) -> Item<'i, 'w> {
        let found = own::find(image, &pieces.text);
        let mut item = Item {
            image,
            own_at: found.at(pieces.text.tokens.len()),
            own: found.own,
            pieces,
            seen,
            beside: Vec::new(),
            boasts: found.boasts,
        };
        item.beside = beside::named(&item, found.kinds, first);
        item
    }

    /// The text.
    pub fn text(&self) -> &'w str {
        self.pieces.text.typed
    }

    /// Words of the text.
    pub fn said(&self, at: &Range<usize>) -> &'w str {
        &self.text()[at.clone()]
    }

    /// What it speaks of that is not the metal, in order, and nothing else of it.
    pub fn into_beside(self) -> Vec<Named<'i>> {
        self.beside
    }

    /// What it speaks of that is not the metal, in order.
    pub fn beside(&self) -> &[Named<'i>] {
        &self.beside
    }

    /// Words that claim more than marks tell, in the order of the tables: the boast, which of its phrases, and
    /// where.
    pub fn boasts(&self) -> &[(usize, usize, Range<usize>)] {
        &self.boasts
    }

    /// Why it lets no metal be named, or not this one.
    pub fn bars(&self, metal: Option<Metal>) -> Option<Barred> {
        let against = |n: &&Named| match metal {
            Some(m) => n.kind.bars(m),
            None => METALS.iter().all(|m| n.kind.bars(*m)),
        };
        let found = self.beside.iter().filter(|n| n.whole).find(against)?;
        Some(Barred { kind: found.kind.i, said: self.said(&found.at).to_string(), metal })
    }
}

/// Why a piece is not of a metal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Barred {
    /// The deduction that the words speak of, by its number in the tables.
    pub kind: usize,
    /// The words.
    pub said: String,
    /// The metal; None for all.
    pub metal: Option<Metal>,
}
