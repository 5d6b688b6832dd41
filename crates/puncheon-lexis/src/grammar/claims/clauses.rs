//! What the clauses of a claim say for all their words, and what is only looked like.

use puncheon_schema::entry::{Grammar, ItemWord};
use puncheon_schema::image::{Image, Sense};

use super::Reader;
use crate::grammar::initials::{sense, sense_within};
use crate::phrase::{Is, Piece, Pieces};
use crate::steps::Counted;

/// What a clause of the claim says for all its words.
#[derive(Clone, Copy, Default)]
pub(super) struct Clause {
    /// It calls its letters a letter or a maker's mark.
    pub calls_letters: bool,
    /// It says more than that something is in a style.
    pub says: bool,
    /// The first "with" behind all that it claims.
    pub has: Option<usize>,
}

/// Each clause, by its number.
pub(super) fn clauses(image: &Image, pieces: &Pieces) -> Vec<Clause> {
    let last = pieces.pieces.last().map_or(0, |p| p.clause as usize);
    let mut out = vec![Clause::default(); last + 1];
    for (k, p) in pieces.pieces.iter().enumerate() {
        let clause = &mut out[p.clause as usize];
        clause.calls_letters |=
            matches!(p.what, Is::Sense(Sense::LetterNoun | Sense::SponsorNoun | Sense::Firm));
        clause.says |= !small(p.what) && !is_style(p.what);
        // "with" opens a list of what a piece has on it.
        let adds = Sense::Item(ItemWord::Adds);
        let has = || {
            let words = pieces.typed(p).to_lowercase();
            let first = words.split(' ').next().unwrap_or_default();
            sense_within(image, Grammar::Claims, first) == Some(adds)
        };
        if claims(p.what) {
            clause.has = None;
        } else if p.what == Is::Sense(adds) || p.what == Is::Sense(Sense::And) && has() {
            clause.has.get_or_insert(k);
        }
    }
    out
}

/// Does a sentence claim something? By its number.
pub(super) fn sentences(pieces: &Pieces) -> Vec<bool> {
    let last = pieces.pieces.last().map_or(0, |p| p.sentence as usize);
    let mut out = vec![false; last + 1];
    for p in pieces.pieces.iter().filter(|p| claims(p.what)) {
        out[p.sentence as usize] = true;
    }
    out
}
impl Reader<'_, '_> {
    /// "with a ... finial": is it what the piece has on it, with nothing claimed before or behind it in
    /// the clause?
    pub(super) fn on_the_piece(&self, k: usize) -> bool {
        let clause = self.pieces.pieces[k].clause;
        self.clauses[clause as usize].has.is_some_and(|has| has < k)
    }
    /// The word that makes a date a style: "Georgian style", "neo-Georgian", "in the style of 1803".
    pub(super) fn styled(&self, k: usize) -> Option<usize> {
        let style = |j: &usize| {
            let p = self.pieces.pieces[*j];
            p.what == Is::Sense(Sense::Style) && p.clause == self.pieces.pieces[k].clause
        };
        let small = |j: &usize| self.is(*j).is_some_and(|what| small(what) && !joins_two(what));
        let before = (0..k).rev().find(|j| !small(j)).filter(style);
        let behind = Some(k + 1).filter(|j| *j < self.pieces.pieces.len());
        before.or(behind.filter(style))
    }

    /// "style of Birmingham 1803", "looks like London", "1803, revival": is it what is claimed that is only
    /// looked like? A reign and a year see to what stands beside them.
    pub(super) fn style_of_the_claim(&self, k: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let clause = pieces[k].clause;
        if !self.clauses[clause as usize].says {
            return true;
        }
        let telling = |p: &&Piece| !small(p.what);
        let same = |p: &&Piece| p.clause == clause;
        let before = pieces[..k].iter().rev().counted().take_while(same);
        let before = before.into_iter().find(telling).map(|p| p.what);
        let behind = pieces[k + 1..].iter().counted().take_while(same);
        let behind = behind.into_iter().find(telling).map(|p| p.what);
        let claimed = |what: Is| claims(what) && !matches!(what, Is::Sense(Sense::Reign(_)));
        // "an Adam style Birmingham tray" speaks of Adam, and "in the style of" of what follows.
        let said = self.lower(k);
        let last = said.rsplit(' ').next().and_then(|w| sense(self.image, w));
        let forward = self.is(k) == Some(Is::Sense(Sense::LooksLike))
            || said.contains(' ') && last.is_some_and(|s| small(Is::Sense(s)));
        before.is_some_and(claimed) || behind.is_some_and(claimed) && (forward || before.is_none())
    }
}
/// Is it part of a date?
pub(super) fn dates(what: Is) -> bool {
    matches!(
        what,
        Is::Years(..)
            | Is::Ordinal(_)
            | Is::Century(_)
            | Is::Sense(
                Sense::Reign(_)
                    | Sense::Century
                    | Sense::Early
                    | Sense::Mid
                    | Sense::Late
                    | Sense::Fraction(..)
                    | Sense::Before
                    | Sense::After
                    | Sense::NotBefore
                    | Sense::NotAfter
                    | Sense::About
                    | Sense::Doubt
            )
    )
}

/// Does it claim something, or is it part of what does?
pub(super) fn claims(what: Is) -> bool {
    dates(what)
        || matches!(what, Is::Sense(Sense::Town(_) | Sense::Standard(_) | Sense::StandardMark(_)))
}

/// Does it say that something only looks as another does?
pub(super) fn is_style(what: Is) -> bool {
    matches!(what, Is::Sense(Sense::Style | Sense::LooksLike))
}

/// A small word with nothing to say.
pub(super) fn small(what: Is) -> bool {
    matches!(
        what,
        Is::Sense(
            Sense::Filler
                | Sense::Article
                | Sense::In
                | Sense::Or
                | Sense::And
                | Sense::DateNoun
                | Sense::From
                | Sense::To
                | Sense::Between
                | Sense::Onwards
                | Sense::Item(_)
        ) | Is::Slash
            | Is::Colon
    )
}

/// Does it join two claims?
fn joins_two(what: Is) -> bool {
    matches!(what, Is::Sense(Sense::Or | Sense::And | Sense::To) | Is::Slash | Is::Colon)
}
