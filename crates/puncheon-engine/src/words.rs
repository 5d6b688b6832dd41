//! Words to sightings.
//!
//! The text is cut into tokens ([`puncheon_lexis::token`]), the tokens into pieces by the vocabulary's
//! longest phrases ([`puncheon_lexis::phrase`]), and the pieces, clause by clause, into marks
//! ([`puncheon_lexis::grammar::marks`]): an adjective goes to the noun beside it, initials go to the sponsor, dates
//! and towns go to what is claimed. Letters that a plater and a maker shared are told apart by what
//! stands beside them ([`crate::fit::letters_taken`]). No word of the trade stands here; the vocabulary
//! names them all.

use puncheon_schema::entry::Metal;
use puncheon_schema::image::Image;

use crate::fit::letters_taken;
use puncheon_lexis::grammar::marks::Clauses;
use puncheon_lexis::grammar::objects::{Barred, Item, Named};
use puncheon_lexis::phrase::Pieces;
use puncheon_lexis::sighting::Sightings;
use puncheon_lexis::token::Text;

/// Reads a description. Never fails.
pub fn read(image: &Image, typed: &str) -> Sightings {
    let text = Text::new(image, typed);
    let pieces = Pieces::cut(image, text);
    let mut seen = Clauses::read(image, pieces);
    letters_taken::settle(image, typed, &mut seen);
    seen.of(image, typed)
}

/// Reads what is stated of a piece, cutting it once. `first`: what it says it says of the piece itself.
pub fn item<'i, 'w>(image: &'i Image, text: &'w str, first: bool) -> Item<'i, 'w> {
    let pieces = Pieces::cut(image, Text::new(image, text));
    let mut seen = Clauses::read(image, pieces.clone());
    letters_taken::settle(image, text, &mut seen);
    let seen = seen.of(image, text);
    Item::of(image, pieces, seen, first)
}

/// What a text speaks of that is not the metal, in the order of the text.
pub fn beside<'i>(image: &'i Image, text: &str) -> Vec<Named<'i>> {
    item(image, text, true).into_beside()
}

/// Why what is stated of a piece lets no metal be named, or not this one.
pub fn bars(image: &Image, stated: &str, metal: Option<Metal>) -> Option<Barred> {
    item(image, stated, true).bars(metal)
}
