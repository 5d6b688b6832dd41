//! Words that describe a mark: its style, its wear, a doubt, that it is not there.

use puncheon_schema::entry::Case;
use puncheon_schema::image::Sense;

use super::{AHEAD, Clauses, Last, Waiting};
use crate::phrase::Is;
use crate::said::RemarkKind;
use crate::sighting::{LetterSeen, Sighting, What};
use crate::steps::Counted;
use crate::tree::{Aside, Fate, Use};

impl Clauses<'_, '_> {
    /// Is there nothing in the clause but adjectives of a letter?
    pub(super) fn adjectives_alone(&self, from: usize, to: usize) -> bool {
        let mut some = false;
        self.p.pieces[from..to].iter().all(|p| match p.what {
            Is::Sense(
                Sense::Case(_)
                | Sense::Lettering(_)
                | Sense::Outline(_)
                | Sense::Worn
                | Sense::Illegible
                | Sense::Doubt,
            )
            | Is::Question => {
                some = true;
                true
            }
            Is::Sense(
                Sense::Decorative
                | Sense::In
                | Sense::Article
                | Sense::Filler
                | Sense::And
                | Sense::Or
                | Sense::MarkNoun
                | Sense::LooksLike
                | Sense::Repeat,
            ) => true,
            _ => false,
        }) && some
    }

    /// Gives a clause of adjectives to the letter beside it. False if the usual way will do.
    pub(super) fn bind_alone(&mut self, from: usize, to: usize) -> bool {
        let of_letters = self.p.pieces[from..to]
            .iter()
            .any(|p| matches!(p.what, Is::Sense(Sense::Case(_) | Sense::Lettering(_))));
        let before = self.out.sightings.last().map(|s| &s.what);
        let is_letter = matches!(before, Some(What::Letter(_)));
        if before.is_none() && !of_letters {
            return false;
        }
        if is_letter || !of_letters {
            self.first_here = self.out.sightings.len() - 1;
            for k in from..to {
                self.piece_back(k);
            }
            return true;
        }
        if before == Some(&What::Sponsor) {
            (from..to).for_each(|k| self.of_last(k));
            return true;
        }
        // The next clause's letter, if it begins with one.
        let mut ahead = self.p.pieces[to..].iter().take(AHEAD).counted();
        let next = ahead.find(|p| {
            !matches!(
                p.what,
                Is::Sense(
                    Sense::Article
                        | Sense::Filler
                        | Sense::Case(_)
                        | Sense::Lettering(_)
                        | Sense::Outline(_)
                )
            )
        });
        if next.is_some_and(|p| matches!(p.what, Is::Letter | Is::Sense(Sense::LetterNoun))) {
            return false;
        }
        let letter_somewhere = self.out.sightings.iter().any(|s| matches!(s.what, What::Letter(_)))
            || self.last_letter.is_some_and(|k| k >= to);
        if letter_somewhere {
            self.remark_pieces(from, to - 1, RemarkKind::Ambiguous, None);
        }
        true
    }

    /// An adjective that can only go back to the mark before it.
    pub(super) fn piece_back(&mut self, k: usize) {
        let p = self.p.pieces[k];
        match p.what {
            Is::Sense(s @ (Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_))) => {
                let doubt = std::mem::take(&mut self.waiting.doubt);
                self.waiting = Waiting::default();
                self.style_last(k, s, doubt);
            }
            Is::Sense(Sense::Worn) => self.mark_last(k, |s| s.worn = true),
            Is::Sense(Sense::Doubt) => {
                let adjective_follows = self.p.pieces.get(k + 1).is_some_and(|n| {
                    n.clause == p.clause
                        && matches!(
                            n.what,
                            Is::Sense(Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_))
                        )
                });
                if adjective_follows {
                    self.waiting.doubt = true;
                    self.of_last(k);
                } else {
                    self.mark_last(k, |s| s.doubt = true);
                }
            }
            Is::Sense(Sense::Illegible) => self.mark_last(k, |s| {
                if let What::Letter(l) = &mut s.what {
                    l.values.clear();
                } else {
                    s.worn = true;
                }
            }),
            Is::Question => self.doubt_last(k),
            _ => {}
        }
    }

    pub(super) fn mark_last(&mut self, k: usize, f: impl FnOnce(&mut Sighting)) {
        if let Some(s) = self.out.sightings.last_mut() {
            f(s);
            self.of_last(k);
        }
    }

    /// Piece `k` is part of the last mark, wherever it stands.
    pub(super) fn of_last(&mut self, k: usize) {
        if let Some(last) = self.out.sightings.len().checked_sub(1) {
            self.fates.set(k, Fate::Used(Use::Mark(last as u32)));
        }
    }

    /// The word of absence that waits denies piece `k`: "not worn", "no wear".
    pub(super) fn deny(&mut self, k: usize) {
        let denied = Fate::Aside(Aside::Denied);
        if let Some(at) = self.waiting.absent.take() {
            self.fates.set(self.p.pieces.partition_point(|p| p.start < at), denied);
        }
        self.fates.set(k, denied);
    }

    /// Gives a case, lettering or outline to the last letter. Other marks have none.
    pub(super) fn style_last(&mut self, k: usize, sense: Sense, doubt: bool) {
        let Some(s) = self.out.sightings.last_mut() else {
            return;
        };
        let What::Letter(l) = &mut s.what else {
            self.fates.set(k, Fate::Aside(Aside::Untold));
            return;
        };
        s.end = s.end.max(self.p.pieces[k].end);
        self.last = style(l, sense, doubt);
        self.of_last(k);
    }

    /// Does a question mark stand after a date, a number or a word that is no mark?
    pub(super) fn of_no_mark(&self, k: usize) -> bool {
        k > 0
            && matches!(
                self.is(k - 1),
                Is::Years(..)
                    | Is::Number
                    | Is::Measure
                    | Is::Ordinal(_)
                    | Is::Century(_)
                    | Is::Unknown
                    | Is::Sense(
                        Sense::Aside
                            | Sense::FalseFriend
                            | Sense::Reign(_)
                            | Sense::Century
                            | Sense::Pseudo
                    )
            )
    }

    /// A question mark doubts the word before it.
    pub(super) fn doubt_last(&mut self, k: usize) {
        if self.waiting.start.is_some() {
            let l = &mut self.waiting.letter;
            match self.last {
                Last::Case => l.case_doubt = true,
                Last::Lettering => l.lettering_doubt = true,
                Last::Outline => l.outline_doubt = true,
                _ => self.waiting.doubt = true,
            }
            return;
        }
        if let Some((start, end)) = self.letter_noun.take() {
            self.unread_letter(start, end);
            return;
        }
        let last = self.last;
        self.of_last(k);
        if let Some(s) = self.out.sightings.last_mut() {
            match (&mut s.what, last) {
                (What::Letter(l), Last::Case) => l.case_doubt = true,
                (What::Letter(l), Last::Lettering) => l.lettering_doubt = true,
                (What::Letter(l), Last::Outline) => l.outline_doubt = true,
                (_, Last::Outline) => {}
                _ => s.doubt = true,
            }
        }
    }

    /// The next noun of the clause after piece `k`.
    pub(super) fn next_noun(&self, k: usize, to: usize) -> Option<Is> {
        let ahead = (k + 1..to.min(k + AHEAD)).counted();
        ahead.map(|j| self.is(j)).find(|w| {
            matches!(
                w,
                Is::Letter
                    | Is::Initials
                    | Is::Sense(
                        Sense::LetterNoun
                            | Sense::Device(_)
                            | Sense::SlotNoun(_)
                            | Sense::StandardNoun
                            | Sense::SponsorNoun
                            | Sense::Town(_)
                            | Sense::Standard(_)
                    )
            )
        })
    }

    /// Does a noun or adjective of a mark follow at once?
    pub(super) fn follows_at_once(&self, k: usize, to: usize) -> bool {
        let next = (k + 1..to)
            .counted()
            .map(|j| self.is(j))
            .find(|w| !matches!(w, Is::Sense(Sense::Article | Sense::Filler)));
        matches!(
            next,
            Some(
                Is::Letter
                    | Is::Sense(
                        Sense::LetterNoun
                            | Sense::Device(_)
                            | Sense::SlotNoun(_)
                            | Sense::StandardNoun
                            | Sense::Case(_)
                            | Sense::Lettering(_)
                            | Sense::Outline(_)
                            | Sense::SponsorNoun
                            | Sense::Town(_)
                    )
            )
        )
    }

    pub(super) fn style(&mut self, k: usize, to: usize, sense: Sense) {
        let p = self.p.pieces[k];
        let doubt = std::mem::take(&mut self.waiting.doubt);
        let after_in = std::mem::take(&mut self.after_in);
        let letter_ahead = match sense {
            Sense::Outline(_) => {
                self.follows_at_once(k, to)
                    && matches!(
                        self.next_noun(k, to),
                        Some(Is::Letter | Is::Sense(Sense::LetterNoun))
                    )
            }
            _ => matches!(self.next_noun(k, to), Some(Is::Letter | Is::Sense(Sense::LetterNoun))),
        };
        let noun_open = self.letter_noun.is_some();
        let here = self.out.sightings.len() > self.first_here;
        if noun_open
            || letter_ahead && !(after_in && here)
            || !here && !matches!(sense, Sense::Outline(_))
        {
            self.last = style(&mut self.waiting.letter, sense, doubt);
            self.waiting.start.get_or_insert(p.start);
        } else {
            self.style_last(k, sense, doubt);
            if matches!(sense, Sense::Outline(_)) {
                self.last = Last::Outline;
            }
        }
    }

    pub(super) fn wear(&mut self, k: usize, to: usize, illegible: bool) {
        let p = self.p.pieces[k];
        if self.waiting.absent.is_some() {
            return self.deny(k); // "not worn"
        }
        if self.letter_noun.is_some() || self.follows_at_once(k, to) {
            self.waiting.worn |= !illegible;
            self.waiting.illegible |= illegible;
            self.waiting.start.get_or_insert(p.start);
            return;
        }
        self.piece_back(k);
    }

    pub(super) fn absent(&mut self, what: What, end: usize) {
        let start = self.waiting.absent.take().unwrap_or(end);
        self.waiting = Waiting::default();
        self.push(What::Absent(Box::new(what)), start, end, false, false);
    }

    pub(super) fn absent_after(&mut self, end: usize) {
        if let Some((start, _)) = self.letter_noun.take() {
            self.waiting = Waiting::default();
            self.push(
                What::Absent(Box::new(What::Letter(LetterSeen::default()))),
                start,
                end,
                false,
                false,
            );
            return;
        }
        // "Duty: none", "duty mark - none" speak of the mark before.
        let alone = self.labelled || self.alone_in_clause;
        let here = if alone { 0 } else { self.first_here };
        if let Some(s) = self.out.sightings.get_mut(here..).and_then(|v| v.last_mut())
            && !matches!(s.what, What::Absent(_) | What::Sponsor)
        {
            s.end = end;
            s.what = What::Absent(Box::new(s.what.clone()));
        }
    }

    pub(super) fn give_back(&mut self) {
        if self.waiting.start.is_none() {
            return;
        }
        let w = std::mem::take(&mut self.waiting);
        let here = self.first_here;
        if let Some(s) = self.out.sightings.get_mut(here..).and_then(|v| v.last_mut()) {
            s.worn |= w.worn;
            s.doubt |= w.doubt;
        } else if w.letter != LetterSeen::default() || w.absent.is_some() {
            // Keep what may belong to the next clause's letter.
            self.waiting = w;
        }
    }

    /// "no king's head or town mark": neither is there; else what follows is another reading of the mark.
    pub(super) fn either(&mut self, k: usize) {
        let p = self.p.pieces[k];
        // "no king's head or town mark": neither is there.
        let n = self.out.sightings.len();
        let absent = n > self.first_here
            && k > 0
            && matches!(self.out.sightings[n - 1].what, What::Absent(_))
            && self.out.sightings[n - 1].end == self.p.pieces[k - 1].end;
        if absent {
            self.waiting.absent = Some(p.start);
            self.waiting.start.get_or_insert(p.start);
        } else {
            self.or = true;
        }
    }

    /// A doubt of the mark to come, or of the last.
    pub(super) fn doubt(&mut self, k: usize, to: usize) {
        let p = self.p.pieces[k];
        if self.next_noun(k, to).is_some() || self.follows_at_once(k, to) {
            self.waiting.doubt = true;
            self.waiting.start.get_or_insert(p.start);
        } else {
            self.mark_last(k, |s| s.doubt = true);
        }
    }

    /// "lacking" and the like, before a mark or behind it.
    pub(super) fn lacking(&mut self, k: usize, to: usize) {
        let p = self.p.pieces[k];
        let nothing_yet = self.out.sightings.len() == self.first_here && self.letter_noun.is_none();
        if nothing_yet && self.next_noun(k, to).is_some() {
            self.waiting.absent = Some(p.start);
            self.waiting.start.get_or_insert(p.start);
        } else {
            self.absent_after(p.end);
        }
    }
}

/// Sets a case, lettering or outline, and says which.
pub(super) fn style(l: &mut LetterSeen, sense: Sense, doubt: bool) -> Last {
    match sense {
        Sense::Case(Case::Either) => Last::Case,
        Sense::Case(c) => {
            l.case = Some(c);
            l.case_doubt |= doubt;
            Last::Case
        }
        Sense::Lettering(n) => {
            l.lettering = Some(n);
            l.lettering_doubt |= doubt;
            Last::Lettering
        }
        Sense::Outline(o) => {
            l.outline = Some(o);
            l.outline_doubt |= doubt;
            Last::Outline
        }
        _ => Last::Nothing,
    }
}
