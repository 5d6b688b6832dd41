//! Words to sightings.
//!
//! The text is cut into tokens ([`crate::text`]), the tokens into pieces by the vocabulary's
//! longest phrases ([`crate::pieces`]), and the pieces, clause by clause, into marks
//! ([`crate::clauses`]): an adjective goes to the noun beside it, initials go to the sponsor, dates
//! and towns go to what is claimed. No word of the trade stands here; the vocabulary names them
//! all.

use puncheon_schema::image::Image;

use crate::clauses::Clauses;
use crate::pieces::Pieces;
use crate::sighting::Sightings;
use crate::text::Text;

/// Reads a description. Never fails.
pub(crate) fn read(image: &Image, typed: &str) -> Sightings {
    let text = Text::new(image, typed);
    let pieces = Pieces::cut(image, text);
    Clauses::read(image, pieces).of(image, typed)
}
