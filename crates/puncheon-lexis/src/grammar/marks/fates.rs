//! What became of each phrase of a description, noted as the clauses are read.

use std::ops::Range;

use puncheon_schema::image::Sense;

use crate::phrase::{Is, Piece, Pieces};
use crate::sighting::Sightings;
use crate::tree::{Aside, Fate, Refusal, Tree, Use};

/// For each piece what became of it; None while nothing but its place tells.
pub(super) struct Fates(Vec<Option<Fate>>);

impl Fates {
    pub fn new(pieces: usize) -> Fates {
        Fates(vec![None; pieces])
    }

    /// Notes what became of piece `k`. What was found first stays: a sign among the words that are set
    /// aside is a sign.
    pub fn set(&mut self, k: usize, fate: Fate) {
        if let Some(f) = self.0.get_mut(k) {
            f.get_or_insert(fate);
        }
    }

    /// The words of a span are a mark's, by its number, but for those that are something else already.
    pub fn mark(&mut self, pieces: &[Piece], span: Range<usize>, number: usize) {
        within(pieces, &span).for_each(|k| self.set(k, Fate::Used(Use::Mark(number as u32))));
    }

    /// Marks beyond those that are looked at.
    pub fn too_many(&mut self, pieces: &[Piece], span: Range<usize>) {
        within(pieces, &span).for_each(|k| self.set(k, Fate::Aside(Aside::TooMany)));
    }

    /// A letter beside the date letter.
    pub fn other_letter(&mut self, pieces: &[Piece], span: Range<usize>) {
        for k in within(pieces, &span) {
            self.0[k] = Some(Fate::Aside(Aside::OtherLetter));
        }
    }

    /// The one statement was a mark after all.
    pub fn stated_is_marked(&mut self) {
        for fate in &mut self.0 {
            if matches!(fate, Some(Fate::Used(Use::Stated(_)))) {
                *fate = Some(Fate::Used(Use::Mark(0)));
            }
        }
    }

    /// Some sightings went; the others have new numbers.
    pub fn keep(&mut self, kept: &[bool]) {
        if kept.iter().all(|k| *k) {
            return;
        }
        let mut next = 0;
        let number: Vec<Option<u32>> = kept
            .iter()
            .map(|k| {
                let own = k.then_some(next);
                next += u32::from(*k);
                own
            })
            .collect();
        for fate in &mut self.0 {
            if let Some(Fate::Used(Use::Mark(i))) = fate {
                *fate = number[*i as usize].map(|n| Fate::Used(Use::Mark(n)));
            }
        }
    }

    /// The tree: what was noted, what lies within a mark or a statement, and by its kind what does not.
    pub fn tree(mut self, p: &Pieces, seen: &Sightings) -> Tree {
        for (i, c) in seen.claimed.iter().enumerate() {
            for k in within(&p.pieces, &(c.start..c.end)) {
                if p.pieces[k].what.turns_a_date() {
                    self.set(k, Fate::Used(Use::Stated(i as u32)));
                }
            }
        }
        for (i, s) in seen.sightings.iter().enumerate() {
            self.mark(&p.pieces, s.start..s.end, i);
        }
        let nodes = p.pieces.iter().zip(self.0).map(|(piece, fate)| {
            (piece.start..piece.end, fate.unwrap_or_else(|| left_over(piece.what)))
        });
        Tree::over(p.text.typed, nodes)
    }
}

/// The pieces within a span.
fn within(pieces: &[Piece], span: &Range<usize>) -> Range<usize> {
    let first = pieces.partition_point(|p| p.start < span.start);
    let past = first + pieces[first..].partition_point(|p| p.end <= span.end);
    first..past
}

/// What is set aside, by its kind.
pub(super) fn aside(what: Is) -> Aside {
    match what {
        Is::Number | Is::Measure | Is::Ordinal(_) | Is::Sense(Sense::Numbered | Sense::Unit) => {
            Aside::Measure
        }
        Is::Sense(Sense::Engraved) => Aside::Engraved,
        Is::Sense(Sense::Style | Sense::Reign(_)) => Aside::Style,
        _ => Aside::Thing,
    }
}

/// What becomes of a piece that no mark took up: words that join say nothing, and what should have
/// described or turned something has nothing to describe.
fn left_over(what: Is) -> Fate {
    match what {
        Is::Colon | Is::Slash => Fate::Aside(Aside::Joining),
        Is::Sense(
            Sense::Filler
            | Sense::Article
            | Sense::MarkNoun
            | Sense::LooksLike
            | Sense::Decorative
            | Sense::Point
            | Sense::NoPoint
            | Sense::And
            | Sense::Or
            | Sense::In
            | Sense::Over
            | Sense::Beside
            | Sense::ClaimIntro
            | Sense::MadeIn
            | Sense::Part,
        ) => Fate::Aside(Aside::Joining),
        // "a" before a noun, "I" before a verb.
        Is::Letter => Fate::Aside(Aside::Joining),
        _ => Fate::Refused(Refusal::Headless),
    }
}
