//! Words to sightings.
//!
//! The text is cut into tokens ([`crate::lexis::token`]), the tokens into pieces by the vocabulary's
//! longest phrases ([`crate::lexis::phrase`]), and the pieces, clause by clause, into marks
//! ([`crate::lexis::grammar::marks`]): an adjective goes to the noun beside it, initials go to the sponsor, dates
//! and towns go to what is claimed. Letters that a plater and a maker shared are told apart by what
//! stands beside them ([`crate::engine::fit::letters_taken`]). No word of the trade stands here; the vocabulary
//! names them all.

use puncheon_schema::image::Image;

use crate::engine::fit::letters_taken;
use crate::lexis::grammar::marks::Clauses;
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
