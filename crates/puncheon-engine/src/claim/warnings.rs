//! Signs worth a second look when a claim is held against the marks. The tables name each sign, its
//! reason and the harmless explanations; here it is only found out whether its conditions hold.

use puncheon_schema::entry::{DeviceKind, LookalikeKind, Metal, Slot};
use puncheon_schema::image::{Condition, Image, METALS, MarkView, Meta, Named, WarningView};

use crate::claim::attributed::{Attributed, Attribution};
use crate::claim::claimed::Claim;
use crate::expect;
use crate::fit::answer::Decided;
use crate::fit::lookalikes::{self, Raised};
use crate::fit::narrow::{Group, Narrow, Options};
use crate::fit::outcome::Outcome;
use puncheon_lexis::grammar::figures;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{Sighting, Sightings, What};

/// A sign that was met.
pub struct Sign {
    /// Its number among the warnings of the tables.
    pub warning: usize,
    /// The lookalikes that met it, where it looks for some.
    pub lookalikes: Vec<usize>,
    /// The omissions of the tables that speak of the mark that is wanting.
    pub left_off: Vec<usize>,
    /// The marks then do not vouch for the piece.
    pub unsettles: bool,
}

/// What the conditions are tried on.
pub struct Scene<'a> {
    /// The tables.
    pub image: &'a Image,
    /// What is claimed.
    pub claim: &'a Claim,
    /// What was seen.
    pub seen: &'a Sightings,
    /// Bounds on what may be answered.
    pub options: &'a Options,
    /// What the sightings come to.
    pub decided: &'a Decided<'a>,
    /// Rows that the claim allows.
    pub claimed: &'a [usize],
    /// Of those the best: the first that fits, or else the nearest.
    pub best: Option<usize>,
    /// Something that fits lies in the claim, or half in it.
    pub agrees: bool,
}

/// The signs met, in the order of the tables, where these makers are claimed.
pub fn met(s: &Scene, makers: &[Attributed]) -> Vec<Sign> {
    let met = (0..s.image.meta(Meta::Warnings)).filter(|i| {
        let mut when = s.image.warning(*i).when();
        when.all(|c| s.holds(&c, makers))
    });
    met.map(|i| s.sign(i)).collect()
}

/// The slot that a device of this kind fills as a rule.
fn slot_of(kind: DeviceKind) -> Option<Slot> {
    Some(match kind {
        DeviceKind::Town => Slot::Town,
        DeviceKind::Standard | DeviceKind::Fineness => Slot::Standard,
        DeviceKind::Duty => Slot::Duty,
        DeviceKind::Import => Slot::Import,
        DeviceKind::Convention => Slot::Convention,
        DeviceKind::Commemorative => Slot::Commemorative,
        DeviceKind::Assayer => Slot::Assayer,
        DeviceKind::Letter | DeviceKind::Lookalike => return None,
    })
}

impl Scene<'_> {
    /// A sign with what met it.
    fn sign(&self, i: usize) -> Sign {
        let w = self.image.warning(i);
        let kinds = w.when().find_map(|c| match c {
            Condition::Lookalike(kinds) => Some(kinds),
            _ => None,
        });
        let met = kinds.map(|kinds| self.lookalikes(&kinds).map(|r| r.i).collect());
        Sign {
            warning: i,
            lookalikes: met.unwrap_or_default(),
            left_off: self.omitted(w),
            unsettles: w.unsettles(),
        }
    }

    fn holds(&self, c: &Condition, makers: &[Attributed]) -> bool {
        match c {
            Condition::Said(sign) => {
                self.seen.signs.contains(sign) || self.claim.signs.contains(sign)
            }
            Condition::Seen(named) => self.sightings(named).next().is_some(),
            Condition::Contrary(named) => {
                !self.claimed.is_empty() && self.sightings(named).any(|i| self.never_stood(i))
            }
            Condition::Wanting(slot) => {
                self.wanting(What::Slot(*slot).kind(self.image), &|m| m.slot() == *slot)
            }
            Condition::WantingMark(d) => {
                let kind = What::Device(vec![*d as u32]).kind(self.image);
                self.wanting(kind, &|m| self.image.covers(*d, m.device()))
            }
            Condition::WantingLetter => self.letter_wanting(),
            Condition::Offices(offices) => {
                let here = self.offices();
                !here.is_empty() && here.iter().all(|o| offices.contains(o))
            }
            Condition::Years(from, to) => match self.years() {
                (Some(a), _) if from.is_some_and(|f| a < f) => false,
                (_, Some(b)) if to.is_some_and(|t| t < b) => false,
                (a, b) => (from.is_none() || a.is_some()) && (to.is_none() || b.is_some()),
            },
            Condition::OfficesApart => self.offices_apart(),
            Condition::LettersApart(least) => self.letters_apart(*least),
            Condition::DesignLater(d) => self.design_later(*d),
            Condition::EngravedBefore => self.engraved_before(),
            Condition::Lighter(parts) => self.lighter(*parts),
            Condition::Lookalike(kinds) => self.lookalikes(kinds).next().is_some(),
            Condition::NoOfficeClaimed => self.claim.offices.is_empty(),
            Condition::MakerAgainst => makers.iter().any(|m| m.ruling() == Attribution::Against),
            Condition::NothingFits => self.decided.outcome != Outcome::Fits,
        }
    }

    /// Indices of the sightings that show one of these marks.
    fn sightings(&self, named: &[Named]) -> impl Iterator<Item = usize> {
        let image = self.image;
        let shows = move |s: &Sighting, n: &Named| match (&s.what, n) {
            (What::Device(v), Named::Device(d)) => v.iter().all(|x| image.covers(*d, *x as usize)),
            (What::Lookalike(x), Named::Device(d)) => image.covers(*d, *x as usize),
            (What::Slot(slot), Named::Device(d)) => {
                slot_of(image.device(*d).kind()) == Some(*slot) && *slot != Slot::Standard
            }
            (What::Standard(x), Named::Standard(s)) => *x as usize == *s,
            _ => false,
        };
        self.seen
            .sightings
            .iter()
            .enumerate()
            .filter(move |(_, s)| named.iter().any(|n| shows(s, n)))
            .map(|(i, _)| i)
    }

    /// Does a sighting clash with every row claimed? Where nothing described speaks against silver,
    /// the first metal, only its rows count: gold long bore silver's marks, and other years.
    fn never_stood(&self, i: usize) -> bool {
        let silver = self.claim.standards.is_empty() && self.allows_first_metal();
        let evidence = || self.decided.narrow.evidence.iter().filter(|e| e.sighting == i);
        evidence().next().is_some()
            && self
                .claimed
                .iter()
                .filter(|r| !silver || self.metal(**r) == METALS[0])
                .all(|r| evidence().any(|e| e.allowed(r / 64) >> (r % 64) & 1 == 0))
    }

    fn metal(&self, row: usize) -> Metal {
        self.image.standard(self.image.row(row).standard()).metal()
    }

    /// Does each mark described stand somewhere on the first metal?
    fn allows_first_metal(&self) -> bool {
        let rows = self.image.metal_bits(METALS[0]);
        self.decided
            .narrow
            .evidence
            .iter()
            .all(|e| (0..self.image.width()).any(|w| e.allowed(w) & rows.word(w) != 0))
    }

    fn said(&self, kind: Kind) -> bool {
        self.seen.sightings.iter().any(|s| s.kind(self.image) == kind)
    }

    /// Is a mark said not to be there?
    fn said_absent(&self, kind: Kind) -> bool {
        self.seen
            .sightings
            .iter()
            .any(|s| matches!(&s.what, What::Absent(w) if w.kind(self.image) == kind))
    }

    /// Does the description give a set that seems whole, with its maker's mark, but for one kind of
    /// mark?
    fn whole_but(&self, kind: Kind) -> bool {
        let town = self.said(Kind::Town) || self.said(Kind::Import);
        let standard = self.said(Kind::Standard) || self.said(Kind::Fineness);
        let rest = match kind {
            Kind::Town => standard,
            Kind::Standard => town,
            _ => town && standard,
        };
        rest && self.said(Kind::Letter) && self.said(Kind::Sponsor)
    }

    fn wanting(&self, kind: Kind, is: &dyn Fn(MarkView) -> bool) -> bool {
        let due = |r: &usize| {
            let view = self.image.row(*r);
            self.decided.narrow.due_unsaid(view).any(|g| g.marks().any(is))
        };
        // A mark that is there and wrong is not wanting.
        if self.said(kind) {
            return false;
        }
        let noticed = self.said_absent(kind) || self.options.complete || self.whole_but(kind);
        noticed && self.best.as_ref().is_some_and(due)
    }

    fn letter_wanting(&self) -> bool {
        (self.said_absent(Kind::Letter) || self.options.complete && !self.said(Kind::Letter))
            && self.best.is_some_and(|r| !self.image.row(r).letter().optional())
    }

    /// The omissions that speak of the wanting mark.
    fn omitted(&self, w: WarningView) -> Vec<usize> {
        let Some(best) = self.best else {
            return Vec::new();
        };
        let slots = w.when().filter_map(|c| match c {
            Condition::Wanting(slot) => Some(Some(slot)),
            Condition::WantingMark(d) => slot_of(self.image.device(d).kind()).map(Some),
            Condition::WantingLetter => Some(None),
            _ => None,
        });
        slots.flat_map(|slot| expect::omitted(self.image, self.image.row(best), slot)).collect()
    }

    /// Offices claimed; those of the rows that fit where none is.
    fn offices(&self) -> Vec<usize> {
        let mut out: Vec<usize> = if self.claim.offices.is_empty() {
            let office = |g: &Group| g.key.office as usize;
            self.decided.fits.iter().map(office).collect()
        } else {
            (0..self.image.meta(Meta::Offices))
                .filter(|o| self.claim.office(self.image.office(*o).id()))
                .collect()
        };
        out.sort_unstable();
        out.dedup();
        out
    }

    /// First and last year claimed; those that fit where none is.
    fn years(&self) -> (Option<i32>, Option<i32>) {
        if !self.claim.years.is_empty() {
            return self.claim.span();
        }
        let fits = &self.decided.fits;
        (fits.iter().map(|g| g.year).min(), fits.iter().map(|g| g.to).max())
    }

    /// Is every feature of a sighting allowed in a row?
    fn allows(&self, i: usize, row: usize) -> bool {
        let mut evidence = self.decided.narrow.evidence.iter().filter(|e| e.sighting == i);
        evidence.all(|e| e.allowed(row / 64) >> (row % 64) & 1 == 1)
    }

    /// So, or but for what is easily misread.
    fn nearly_allows(&self, i: usize, row: usize) -> bool {
        let mut evidence = self.decided.narrow.evidence.iter().filter(|e| e.sighting == i);
        evidence.all(|e| (e.allowed(row / 64) | e.easy.word(row / 64)) >> (row % 64) & 1 == 1)
    }

    /// Sightings of an office's mark, and of a letter that was read.
    fn of_kind(&self, kind: Kind) -> Vec<usize> {
        let read = |s: &Sighting| match &s.what {
            What::Letter(l) => !l.values.is_empty(),
            _ => true,
        };
        let all = self.seen.sightings.iter().enumerate();
        all.filter(|(_, s)| s.kind(self.image) == kind && read(s)).map(|(i, _)| i).collect()
    }

    fn offices_apart(&self) -> bool {
        let towns = self.of_kind(Kind::Town);
        if self.decided.towns_apart {
            return true;
        }
        // The letter is that of the office and years claimed, and the town mark is another's.
        let letters = self.of_kind(Kind::Letter);
        let (Some(&town), Some(&letter)) = (towns.first(), letters.first()) else {
            return false;
        };
        let known = |r: &usize| self.image.row(*r).letter().value().is_some();
        !self.agrees
            && !self.claim.offices.is_empty()
            && self.claimed.iter().any(|r| known(r) && self.allows(letter, *r))
            && !self.offices().iter().any(|o| {
                let mut rows = self.image.office(*o).rows();
                rows.any(|r| self.nearly_allows(town, r))
            })
    }

    fn letters_apart(&self, least: i32) -> bool {
        let letters = self.of_kind(Kind::Letter);
        if letters.len() < 2 || self.decided.outcome == Outcome::Fits {
            return false;
        }
        // The years of each letter beside all that is no letter.
        let years: Vec<Vec<(u32, i32)>> = letters
            .iter()
            .map(|own| {
                let part = self.seen.sightings.get(*own).map(|s| s.part);
                let kept: Vec<Sighting> = self
                    .seen
                    .sightings
                    .iter()
                    .enumerate()
                    .filter(|(i, s)| {
                        i == own || !letters.contains(i) && (Some(s.part) == part || s.part == 0)
                    })
                    .map(|(_, s)| s.clone())
                    .collect();
                let n = Narrow::new(self.image, &kept, &Options::default());
                let known = |row: u32| self.image.row(row as usize).letter().value().is_some();
                n.group(&n.fits(), (0, 0))
                    .iter()
                    .filter(|g| known(g.best.row))
                    .map(|g| (g.key.office, g.year))
                    .filter(|(o, _)| self.claim.office(self.image.office(*o as usize).id()))
                    .collect()
            })
            .collect();
        // Letters of two offices say nothing of each other's years.
        let gap = |a: &[(u32, i32)], b: &[(u32, i32)]| {
            let of_one = |x: &(u32, i32), y: &(u32, i32)| x.0 == y.0;
            a.iter()
                .flat_map(|x| {
                    b.iter().filter(move |y| of_one(x, y)).map(move |y| (x.1 - y.1).abs())
                })
                .min()
        };
        years.iter().enumerate().any(|(i, a)| {
            let mut others = years.iter().skip(i + 1);
            others.any(|b| gap(a, b).is_some_and(|gap| gap >= least))
        })
    }

    fn design_later(&self, device: usize) -> bool {
        let Some(last) = self.years().1 else {
            return false;
        };
        // A letter runs into the next calendar year.
        let designs = [Named::Device(device)];
        let number = |i: usize| self.seen.sightings.get(i).and_then(|s| s.number);
        let mut years = self.sightings(&designs).filter_map(|i| self.image.design_year(number(i)?));
        years.any(|(year, slack)| year - slack > last + 1)
    }

    fn engraved_before(&self) -> bool {
        let first = self.years().0;
        let mut latest = self.seen.engraved.iter().filter_map(|e| e.latest);
        first.is_some_and(|first| latest.any(|year| year < first))
    }

    fn lighter(&self, parts: u32) -> bool {
        let left = figures::ratio(100 - parts.min(100), 100);
        self.seen.weighed.as_ref().is_some_and(|w| w.now < &w.then * left)
    }

    /// Lookalikes of these kinds that are met by a mark of their own, by standing alone, or in the
    /// describer's own word.
    fn lookalikes(&self, kinds: &[LookalikeKind]) -> impl Iterator<Item = &Raised> {
        self.decided.raised.iter().filter(|r| {
            let kind = self.image.lookalike(r.i).kind();
            let called = kind == LookalikeKind::Pseudo && self.seen.called_false;
            kinds.contains(&kind)
                && (called
                    || lookalikes::stands_alone(kind)
                    || lookalikes::own(r, &self.seen.sightings))
        })
    }
}
