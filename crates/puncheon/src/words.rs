//! Words to sightings.
//!
//! The text is cut into tokens ([`crate::text`]), the tokens into pieces by the vocabulary's
//! longest phrases ([`crate::pieces`]), and the pieces, clause by clause, into marks
//! ([`crate::clauses`]): an adjective goes to the noun beside it, initials go to the sponsor, dates
//! and towns go to what is claimed. Letters that a plater and a maker shared are told apart by what
//! stands beside them ([`crate::letters_taken`]). No word of the trade stands here; the vocabulary
//! names them all.

use puncheon_schema::image::Image;

use crate::clauses::Clauses;
use crate::letters_taken;
use crate::pieces::Pieces;
use crate::sighting::Sightings;
use crate::text::Text;

/// Reads a description. Never fails.
pub(crate) fn read(image: &Image, typed: &str) -> Sightings {
    let text = Text::new(image, typed);
    let pieces = Pieces::cut(image, text);
    let mut seen = Clauses::read(image, pieces);
    letters_taken::settle(image, typed, &mut seen);
    seen.of(image, typed)
}
