//! The maker's mark, and all that belongs to it.

use puncheon_schema::entry::DeviceKind;
use puncheon_schema::image::{Image, Sense};

use super::{AHEAD, Clauses, Waiting};
use crate::grammar::initials::sense;
use crate::phrase::{Is, Piece};
use crate::said::RemarkKind;
use crate::sighting::{LetterSeen, What};
use crate::steps::Counted;

impl Clauses<'_, '_> {
    /// Does the piece belong to the sponsor's mark now being read?
    pub(super) fn swallowed(&mut self, k: usize, to: usize) -> bool {
        match self.is(k) {
            Is::Sense(
                Sense::LetterNoun
                | Sense::SlotNoun(_)
                | Sense::StandardNoun
                | Sense::ClaimIntro
                | Sense::Absent,
            ) => {
                self.sponsor = None;
                false
            }
            // "struck with maker's mark and lion passant"
            Is::Sense(Sense::Device(_) | Sense::Town(_))
                if self.and_after_maker(k)
                    && !self.ends_beside(k, to)
                    // "maker's mark AB and crown," is all the maker's.
                    && (!self.sponsor_read || k + 1 < to || self.one_clause()) =>
            {
                self.sponsor = None;
                false
            }
            // "makers mark lion anchor k": marks of two sorts are no maker's.
            Is::Sense(Sense::Device(_)) if self.one_clause() && self.two_sorts_from(k, to) => {
                self.sponsor = None;
                false
            }
            // A description without any comma would lose all its marks to the maker: there the
            // initials end his mark.
            Is::Sense(Sense::Device(_) | Sense::Case(_) | Sense::Lettering(_)) | Is::Letter
                if self.sponsor_read
                    && self.one_clause()
                    && !self.ends_beside(k, to)
                    && !self.beside_before(k) =>
            {
                self.sponsor = None;
                false
            }
            _ => true,
        }
    }

    /// Do devices of an office and of a standard, or a letter, follow from here?
    pub(super) fn two_sorts_from(&self, k: usize, to: usize) -> bool {
        let of_kind = |w: Is, kind: DeviceKind| matches!(w, Is::Sense(Sense::Device(d)) if self.image.device(d as usize).kind() == kind);
        let last = |kind: DeviceKind| self.last_in_clause(to, |w| of_kind(w, kind));
        let town = self.whole.town.get_or_init(|| last(DeviceKind::Town));
        let standard = self.whole.standard.get_or_init(|| last(DeviceKind::Standard));
        *town >= Some(k) && *standard >= Some(k)
    }

    /// Does "and" stand before, directly behind the maker's noun or initials?
    pub(super) fn and_after_maker(&self, k: usize) -> bool {
        let before = |j: usize| {
            self.p.pieces[..j]
                .iter()
                .rev()
                .take(AHEAD)
                .counted()
                .position(|p| !matches!(p.what, Is::Sense(Sense::Article | Sense::Filler)))
                .map(|back| j - 1 - back)
        };
        before(k)
            .filter(|j| self.is(*j) == Is::Sense(Sense::And))
            .and_then(before)
            .is_some_and(|j| matches!(self.is(j), Is::Initials | Is::Sense(Sense::SponsorNoun)))
    }

    pub(super) fn beside_before(&self, k: usize) -> bool {
        self.p.pieces[..k]
            .iter()
            .rev()
            .counted()
            .take_while(|p| {
                matches!(
                    p.what,
                    Is::Sense(
                        Sense::Beside
                            | Sense::In
                            | Sense::Over
                            | Sense::And
                            | Sense::Article
                            | Sense::Filler
                    )
                )
            })
            .any(|p| {
                matches!(p.what, Is::Sense(Sense::Beside | Sense::In | Sense::Over | Sense::And))
            })
    }

    pub(super) fn one_clause(&self) -> bool {
        self.p.pieces.first().map(|p| p.clause) == self.p.pieces.last().map(|p| p.clause)
    }

    pub(super) fn extend_sponsor(&mut self, k: usize) {
        let end = self.p.pieces[k].end;
        if let Some(s) = self.out.sightings.iter_mut().rev().find(|s| s.what == What::Sponsor) {
            s.end = s.end.max(end);
        }
    }

    /// Does the clause end in "above", "below", "beneath" or "between"?
    pub(super) fn ends_beside(&self, from: usize, to: usize) -> bool {
        let plain = |w: Is| !matches!(w, Is::Sense(Sense::Filler | Sense::Article));
        let last = *self.whole.plain.get_or_init(|| self.last_in_clause(to, plain));
        last.is_some_and(|k| k >= from && self.stands_beside(k))
    }

    /// "above", or a thing that is known with it, "star below".
    fn stands_beside(&self, k: usize) -> bool {
        let words = || self.p.typed(&self.p.pieces[k]).to_lowercase();
        match self.is(k) {
            Is::Sense(Sense::Beside) => true,
            Is::Sense(Sense::Aside) => {
                let last = words().rsplit(' ').next().and_then(|w| sense(self.image, w));
                last == Some(Sense::Beside)
            }
            _ => false,
        }
    }

    /// May what stands beside initials be theirs? Right behind them and their like it is; further on a duty or
    /// a standard mark is one of its own, and an office's if no other is described.
    pub(super) fn may_be_sponsors(&self, from: usize, to: usize) -> bool {
        let last = from.checked_sub(1).map(|k| self.is(k));
        let of_initials = |w: Is| {
            matches!(w, Is::Initials | Is::Sense(Sense::Beside | Sense::SponsorNoun))
                || w == Is::Colon
        };
        let here = &self.p.pieces[from..to];
        let kinds = || here.iter().filter_map(|p| device_kind(self.image, p));
        let towns = kinds().filter(|kind| *kind == DeviceKind::Town).count();
        last.is_some_and(of_initials)
            || kinds().all(|kind| match kind {
                DeviceKind::Town => self.towns > towns,
                kind => {
                    !matches!(kind, DeviceKind::Duty | DeviceKind::Standard | DeviceKind::Fineness)
                }
            })
    }

    /// Is the last mark a sponsor's, with nothing behind it up to a piece but how its punch looks?
    pub(super) fn sponsor_last(&self, to: usize) -> bool {
        let Some(s) = self.out.sightings.last().filter(|s| s.what == What::Sponsor) else {
            return false;
        };
        let behind = self.p.pieces[..to].iter().rev().counted().take_while(|p| p.start >= s.end);
        let looks = |p: &Piece| {
            matches!(
                p.what,
                Is::Sense(
                    Sense::In
                        | Sense::Article
                        | Sense::Filler
                        | Sense::And
                        | Sense::Outline(_)
                        | Sense::Lettering(_)
                        | Sense::Over
                        | Sense::Beside
                )
            )
        };
        behind.into_iter().all(looks)
    }

    pub(super) fn sponsor_noun(&mut self, k: usize) {
        let p = self.p.pieces[k];
        self.end_letter_noun();
        if self.waiting.absent.is_some() {
            self.deny(k);
            self.waiting = Waiting::default();
            self.remark(k, RemarkKind::SetAside, None);
            return;
        }
        self.waiting = Waiting::default();
        // "HB maker's mark": the initials just before are named.
        if self.out.sightings.len() > self.first_here
            && let Some(s) = self.out.sightings.last_mut()
            && s.what == What::Sponsor
        {
            s.end = p.end;
            return;
        }
        self.push(What::Sponsor, p.start, p.end, false, false);
        self.sponsor = Some(self.out.sightings.len() - 1);
        self.sponsor_read = false;
    }

    pub(super) fn initials(&mut self, k: usize, to: usize) {
        let p = self.p.pieces[k];
        if self.assayer {
            self.assayer = false;
            if let Some(s) = self.out.sightings.last_mut() {
                s.end = p.end;
            }
            return;
        }
        self.end_letter_noun();
        if self.waiting.letter == LetterSeen::default() {
            self.waiting = Waiting::default();
        }
        self.push(What::Sponsor, p.start, p.end, false, false);
        if self.ends_beside(k, to) {
            self.sponsor = Some(self.out.sightings.len() - 1);
        }
    }

    /// "HB beneath a crown": what follows is the maker's too.
    pub(super) fn beside(&mut self) {
        let n = self.out.sightings.len();
        if n > self.first_here && self.out.sightings[n - 1].what == What::Sponsor {
            self.sponsor = Some(n - 1);
            self.sponsor_read = false;
        }
    }
}

/// The kind of the device that a piece names.
pub(super) fn device_kind(image: &Image, p: &Piece) -> Option<DeviceKind> {
    match p.what {
        Is::Sense(Sense::Device(d)) => Some(image.device(d as usize).kind()),
        _ => None,
    }
}
