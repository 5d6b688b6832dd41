//! Words to sightings.
//!
//! The text is cut into tokens ([`crate::lexis::token`]), the tokens into pieces by the vocabulary's
//! longest phrases ([`crate::lexis::phrase`]), and the pieces, clause by clause, into marks
//! ([`crate::lexis::grammar::marks`]): an adjective goes to the noun beside it, initials go to the sponsor, dates
//! and towns go to what is claimed. Letters that a plater and a maker shared are told apart by what
//! stands beside them ([`crate::engine::fit::letters_taken`]). No word of the trade stands here; the vocabulary
//! names them all.

use puncheon_schema::entry::Metal;
use puncheon_schema::image::Image;

use crate::engine::fit::letters_taken;
use crate::lexis::grammar::marks::Clauses;
use crate::lexis::grammar::objects::{Barred, Item, Named};
use crate::lexis::phrase::Pieces;
use crate::lexis::sighting::Sightings;
use crate::lexis::token::Text;

/// Reads a description. Never fails.
pub(crate) fn read(image: &Image, typed: &str) -> Sightings {
    let text = Text::new(image, typed);
    let pieces = Pieces::cut(image, text);
    let mut seen = Clauses::read(image, pieces);
    letters_taken::settle(image, typed, &mut seen);
    seen.of(image, typed)
}

/// Reads what is stated of a piece, cutting it once. `first`: what it says it says of the piece itself.
pub(crate) fn item<'i, 'w>(image: &'i Image, text: &'w str, first: bool) -> Item<'i, 'w> {
    let pieces = Pieces::cut(image, Text::new(image, text));
    let mut seen = Clauses::read(image, pieces.clone());
    letters_taken::settle(image, text, &mut seen);
    let seen = seen.of(image, text);
    Item::of(image, pieces, seen, first)
}

/// What a text speaks of that is not the metal, in the order of the text.
pub(crate) fn beside<'i>(image: &'i Image, text: &str) -> Vec<Named<'i>> {
    item(image, text, true).into_beside()
}

/// Why what is stated of a piece lets no metal be named, or not this one.
pub(crate) fn bars(image: &Image, stated: &str, metal: Option<Metal>) -> Option<Barred> {
    item(image, stated, true).bars(metal)
}
