//! What is stated and not shown: dates, reigns, towns and standards by name.

use std::ops::RangeInclusive;

use puncheon_schema::entry::{DeviceKind, Metal, Slot};
use puncheon_schema::image::Sense;

use super::{Clauses, Waiting};
use crate::grammar::dates::Dating;
use crate::phrase::{Is, Piece};
use crate::said::{RemarkKind, Stated};
use crate::sighting::{LetterSeen, What};
use crate::steps::{self, Counted};
use crate::tree::{Fate, Use};

impl Clauses<'_, '_> {
    pub(super) fn date_word(&mut self, k: usize, f: impl FnOnce(&mut Dating)) {
        f(&mut self.dating);
        let start = self.p.pieces[k].start;
        self.dating.start.get_or_insert(start);
    }

    pub(super) fn years(&mut self, k: usize, from: i32, to: i32) {
        self.years_over(k, k, from, to);
    }

    pub(super) fn years_over(&mut self, first: usize, last: usize, from: i32, to: i32) {
        let d = std::mem::take(&mut self.dating);
        let start = d.start.unwrap_or(self.p.pieces[first].start);
        let (from, to) = d.span(from, to);
        self.claim_with(start, first..=last, |c| {
            (c.from, c.to) = (from, to);
        });
    }

    pub(super) fn reign(&mut self, k: usize, to: usize, r: u32) {
        // "Queen Anne style" says nothing.
        let style = |w: Is| w == Is::Sense(Sense::Style);
        let styled = *self.whole.style.get_or_init(|| self.last_in_clause(to, style));
        if styled > Some(k) {
            self.dating = Dating::default();
            self.remark(k, RemarkKind::SetAside, None);
            return;
        }
        let d = std::mem::take(&mut self.dating);
        let p = self.p.pieces[k];
        let view = self.image.reign(r as usize);
        let (from, last) = view.years();
        let (from, to) = d.span(from, last);
        self.claim_with(d.start.unwrap_or(p.start), k..=k, |c| {
            c.period = Some(r);
            (c.from, c.to) = (from, to);
        });
    }

    /// Adds to what is claimed: to the claim just made if nothing stands between, else a new one.
    pub(super) fn claim_with(
        &mut self,
        start: usize,
        pieces: RangeInclusive<usize>,
        f: impl FnOnce(&mut Stated),
    ) {
        let end = self.p.pieces[*pieces.end()].end;
        let marks_since = self
            .out
            .sightings
            .iter()
            .any(|s| self.out.claimed.last().is_some_and(|c| s.start > c.start));
        let mut add = Stated::default();
        f(&mut add);
        let number = self.out.claimed.len();
        let joins = self.out.claimed.last().is_some_and(|c| {
            !marks_since
                && start >= c.end
                && start - c.end <= 12
                && !(c.office.is_some() && add.office.is_some())
                && !(c.from.is_some() && add.from.is_some())
                && !(c.standard.is_some() && add.standard.is_some())
        });
        let fate = Fate::Used(Use::Stated((number - usize::from(joins)) as u32));
        pieces.for_each(|k| self.fates.set(k, fate));
        if joins && let Some(c) = self.out.claimed.last_mut() {
            c.end = end;
            c.office = c.office.take().or(add.office);
            c.from = c.from.or(add.from);
            c.to = c.to.or(add.to);
            c.period = c.period.take().or(add.period);
            c.standard = c.standard.take().or(add.standard);
            return;
        }
        add.start = start;
        add.end = end;
        self.out.claimed.push(add);
    }

    pub(super) fn town(&mut self, k: usize, to: usize, office: u32) {
        let p = self.p.pieces[k];
        let next = (k + 1 < to).then(|| self.is(k + 1));
        let town_device = |w: Option<Is>| matches!(w, Some(Is::Sense(Sense::Device(d))) if self.image.device(d as usize).kind() == DeviceKind::Town);
        let joined = matches!(next, Some(Is::Sense(Sense::SlotNoun(Slot::Town | Slot::Import))))
            || town_device(next);
        // A town struck with letters of its own stays a town with or without a date; a date beside
        // a bare name makes it a claim.
        let dated = *self.whole.dated.get_or_init(|| self.dated_beside(to));
        if !joined && (self.claim || self.made_in || dated) {
            self.made_in = false;
            self.claim_with(p.start, k..=k, |c| c.office = Some(office));
            return;
        }
        self.end_letter_noun();
        if self.waiting.absent.is_some() {
            self.absent(What::Town(office), p.end);
            return;
        }
        let (doubt, worn) = (self.waiting.doubt, self.waiting.worn);
        if self.waiting.letter == LetterSeen::default() {
            self.waiting = Waiting::default();
        }
        self.push(What::Town(office), p.start, p.end, doubt, worn);
    }

    /// Is there a date in the clause, or alone in the next or the one before?
    pub(super) fn dated_beside(&self, to: usize) -> bool {
        let date = |w: Is| {
            let figures = matches!(w, Is::Years(..) | Is::Ordinal(_) | Is::Century(_));
            figures || matches!(w, Is::Sense(Sense::Reign(_)))
        };
        let (before, rest) = self.p.pieces.split_at(self.begins);
        let (here, behind) = rest.split_at(to - self.begins);
        if here.iter().counted().any(|p| date(p.what)) {
            return true;
        }
        let of_date = |p: &Piece| {
            date(p.what)
                || p.what.turns_a_date()
                || matches!(p.what, Is::Sense(Sense::Filler) | Is::Question)
        };
        let alone = |clause: &[Piece]| {
            clause.iter().counted().all(of_date) && clause.iter().counted().any(|p| date(p.what))
        };
        let one = |a: &Piece, b: &Piece| {
            steps::take(1);
            a.clause == b.clause
        };
        let next = behind.chunk_by(one).next();
        let last = before.chunk_by(one).next_back();
        [next, last].into_iter().flatten().any(alone)
    }

    pub(super) fn standard(&mut self, k: usize, standard: u32) {
        let p = self.p.pieces[k];
        let view = self.image.standard(standard as usize);
        let named = self.p.pieces.get(k + 1).is_some_and(|n| {
            n.clause == p.clause && matches!(n.what, Is::Sense(Sense::StandardNoun))
        });
        // "sterling" in small letters says what the piece is called, not what is struck on it;
        // a carat is the describer's reading of figures.
        if self.waiting.absent.is_none() && (view.metal() == Metal::Silver && !named || self.claim)
        {
            if let Some(c) = p.in_capitals {
                self.alone.push((self.out.claimed.len(), c));
            }
            self.claim_with(p.start, k..=k, |c| c.standard = Some(standard));
            return;
        }
        self.standard_mark(k, standard);
    }

    /// A standard's own mark, or a carat.
    pub(super) fn standard_mark(&mut self, k: usize, standard: u32) {
        let p = self.p.pieces[k];
        if self.waiting.absent.is_some() {
            self.absent(What::Standard(standard), p.end);
            return;
        }
        self.end_letter_noun();
        let doubt = std::mem::take(&mut self.waiting.doubt);
        let worn = std::mem::take(&mut self.waiting.worn);
        self.push(What::Standard(standard), p.start, p.end, doubt, worn);
    }

    /// A word that orders, narrows or turns the date to come.
    pub(super) fn turn_date(&mut self, k: usize, sense: Sense) {
        match sense {
            Sense::About => self.date_word(k, |d| d.about = true),
            Sense::Before => self.date_word(k, |d| d.before = true),
            Sense::After => self.date_word(k, |d| d.after = true),
            Sense::NotBefore => self.date_word(k, |d| d.since = true),
            Sense::NotAfter => self.date_word(k, |d| d.until = true),
            Sense::Early => self.date_word(k, |d| d.third(1)),
            Sense::Mid => self.date_word(k, |d| d.third(2)),
            Sense::Late => self.date_word(k, |d| d.third(3)),
            Sense::Fraction(nth, of) => self.date_word(k, |d| d.part(nth, of)),
            _ => {}
        }
    }
}
