//! A claim held against the marks: the verdict and its reasons.

use std::slice;

use puncheon_schema::entry::Slot;
use puncheon_schema::image::{Image, RowView};

use crate::claim::attributed::Attributed;
use crate::claim::claimed::{Claim, Standing};
use crate::claim::verdict::{Against, Because, Due, Judged, Reasons, Ruling, Struck, Wanting};
use crate::claim::warnings::{self, Scene};
use crate::expect;
use crate::fit::answer::Decided;
use crate::fit::bearing::{Bearing, bearings};
use crate::fit::evidence::Feature;
use crate::fit::letter_year::{joined, letter_of};
use crate::fit::lookalikes;
use crate::fit::narrow::{Group, Narrow, Options};
use crate::fit::outcome::{Outcome, OutsideBecause};
use crate::place::Place;
use crate::questions::fitting;
use crate::questions::settle::{self, Settling};
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{Sighting, Sightings, What};

/// What a verdict is made from.
pub struct Case<'a> {
    /// What is claimed.
    pub claim: &'a Claim,
    /// What was seen.
    pub seen: &'a Sightings,
    /// Bounds on what may be answered.
    pub options: &'a Options,
    /// What the sightings come to without the claim.
    pub decided: &'a Decided<'a>,
    /// The makers that the claim names.
    pub makers: &'a [Attributed<'a>],
}

impl Case<'_> {
    fn image(&self) -> &Image {
        self.decided.narrow.image
    }

    /// Decides, in the order of the contract.
    pub fn decide(&self) -> Judged {
        let (image, n, d) = (self.image(), &self.decided.narrow, self.decided);
        let claimed = self.claim.rows(image);
        let (mut inside, mut half) = (Vec::new(), Vec::new());
        for (i, g) in d.fits.iter().enumerate() {
            match self.standing(g) {
                Standing::Inside => inside.push(i),
                Standing::Half => half.push(i),
                Standing::Outside => {}
            }
        }
        let bears = d.outside_because != Some(OutsideBecause::NothingUnderstood)
            && !self.found_on_anything();
        let holds = |row: usize| self.claim.holds(image, image.row(row));
        let (verdict, because) = if claimed.is_empty() {
            (Ruling::Fails, Because::NeverStruck)
        } else if d.raised.iter().any(|r| r.denies) {
            (Ruling::Fails, Because::Denied)
        } else if !bears {
            (Ruling::Undecided, Because::NothingBears)
        } else if d.outcome != Outcome::Fits {
            let near = d.outside_because.is_none() && n.any_near(|g| holds(g.best.row as usize));
            if near {
                (Ruling::Undecided, Because::OnlyMisread)
            } else {
                (Ruling::Fails, Because::NothingFits)
            }
        } else if inside.is_empty()
            && half.is_empty()
            && d.silver_misread.is_some()
            && n.any_near(|g| holds(g.best.row as usize))
        {
            (Ruling::Undecided, Because::OnlyMisread)
        } else if inside.len() == d.fits.len() {
            (Ruling::Holds, Because::AllInside)
        } else if !inside.is_empty() || !half.is_empty() {
            (Ruling::Possible, Because::SomeInside)
        } else {
            (Ruling::Fails, Because::NoneInside)
        };
        let row = |i: &usize| d.fits.get(*i).map(|g| g.best.row as usize);
        // A run stands for many years, of which only some are claimed.
        let half_row = half.first().filter(|i| {
            let run = d.fits.get(**i).is_some_and(|g| g.run);
            inside.is_empty() && !run
        });
        let nearest = match half_row {
            Some(i) => row(i),
            None => n.best_of(claimed.iter().copied()),
        };
        let scene = Scene {
            image,
            claim: self.claim,
            seen: self.seen,
            options: self.options,
            decided: d,
            claimed: &claimed,
            best: inside.first().and_then(row).or(nearest),
            agrees: !inside.is_empty() || !half.is_empty(),
        };
        let unread = |i: usize| d.fits.get(i).is_some_and(|g| g.key.unread);
        let warnings = warnings::met(&scene, self.makers);
        let (verdict, because) = match verdict {
            Ruling::Holds | Ruling::Possible if warnings.iter().any(|w| w.unsettles) => {
                (Ruling::Undecided, Because::MarksInDoubt)
            }
            // Any letter would do there, so that the one described bears nothing out.
            Ruling::Holds | Ruling::Possible if inside.iter().chain(&half).all(|i| unread(*i)) => {
                (Ruling::Undecided, Because::LetterNotKnown)
            }
            _ => (verdict, because),
        };
        Judged { verdict, because, inside, half, warnings, nearest }
    }

    /// Is there no mark of an office or a standard? A letter alone is then told by the claim's
    /// office, if it names one; a figure beside it is no standard's and tells nothing.
    fn found_on_anything(&self) -> bool {
        let s = &self.seen.sightings;
        lookalikes::nothing_shown(self.image(), s)
            && (self.claim.offices.is_empty()
                || s.iter().any(|x| x.kind(self.image()) == Kind::Fineness))
    }

    fn standing(&self, g: &Group) -> Standing {
        let image = self.image();
        let row = image.row(g.best.row as usize);
        if !self.claim.ware(row) {
            return Standing::Outside;
        }
        let office = row.letter().office();
        let last = letter_of(image, office, g.to);
        self.claim.standing(
            image.office(office).id(),
            image.standard(row.standard()).id(),
            (g.year, g.to),
            last.is_some_and(|l| l.calendar_year()),
        )
    }

    /// What agrees, clashes and is wanting against a row, if the claim is true.
    pub fn reasons(&self, row: usize) -> Reasons {
        let n = &self.decided.narrow;
        let view = self.image().row(row);
        let found = bearings(n, row);
        // A mark that clashes in its style supports nothing by its letter.
        let upheld = |b: &Bearing| {
            let clashes = |i: usize| found.clashes.iter().any(|c| c.sighting == i);
            !b.sighting().is_some_and(clashes)
        };
        let unread = |b: &Bearing| n.unread(view) && b.sighting().is_some_and(|i| self.letter(i));
        let kept = |list: &[Bearing]| list.iter().copied().filter(upheld).collect::<Vec<Bearing>>();
        let mut out = Reasons {
            supports: kept(&found.agrees),
            strains: kept(&found.strains),
            unread: kept(&found.silent),
            ..Reasons::default()
        };
        out.unread.retain(unread);
        let against = found.clashes.iter().map(|c| Against {
            clash: *c,
            struck: self.struck_elsewhere(c.sighting, view),
            // Where many years are claimed, a letter is asked for by one of them only.
            of_one_year: c.feature == Feature::Letter && !self.one_year_claimed(),
        });
        out.clashes = against.collect();
        // What stands against the claim is not wanting as well.
        out.wanting = self.wanting(n, view);
        out.wanting.retain(|w| !self.stands_against(w, &out.clashes));
        out
    }

    /// Does the one mark that is wanting stand against one that was described?
    fn stands_against(&self, w: &Wanting, clashes: &[Against]) -> bool {
        let image = self.image();
        let name = |device: usize| image.device(device).name();
        let Due::Mark(_, devices) = &w.mark else {
            return false;
        };
        let seen = |a: &Against| self.seen.sightings.get(a.clash.sighting).map(|s| &s.what);
        let would_be = |a: &Against| match seen(a) {
            None | Some(What::Town(_) | What::Standard(_)) => None,
            Some(_) => a.clash.mark.map(|m| name(image.mark(m).device())),
        };
        let [one] = devices[..] else {
            return false;
        };
        clashes.iter().any(|a| would_be(a) == Some(name(one)))
    }

    /// Is a sighting of a date letter?
    fn letter(&self, i: usize) -> bool {
        self.seen.sightings.get(i).is_some_and(|s| s.kind(self.image()) == Kind::Letter)
    }

    fn one_year_claimed(&self) -> bool {
        self.claim.years.len() == 1 && matches!(self.claim.span(), (Some(a), Some(b)) if a == b)
    }

    /// When the claimed office, or another, struck what was described.
    fn struck_elsewhere(&self, i: usize, claimed: RowView) -> Struck {
        let image = self.image();
        let Some(s) = self.seen.sightings.get(i) else {
            return Struck::Nowhere;
        };
        let office = claimed.letter().office();
        let one = slice::from_ref(s);
        let own = Options { office: Some(Place::office(image, office)), ..Options::default() };
        let here = self.struck(&Narrow::new(image, one, &own), s);
        let year = claimed.letter().year();
        if here.iter().any(|(from, to)| *from <= year && year <= *to) {
            return Struck::Apart;
        }
        if !here.is_empty() {
            return Struck::Then(here);
        }
        let n = Narrow::new(image, one, &Options::default());
        let groups = n.group(&n.fits(), (0, 0));
        let known = groups.iter().filter(|g| self.known(g, s));
        let mut offices: Vec<usize> = known.map(|g| g.key.office as usize).collect();
        offices.sort_unstable();
        offices.dedup();
        match offices.is_empty() {
            true => Struck::Nowhere,
            false => Struck::At(offices),
        }
    }

    /// Letter years, or runs of them, in which a mark was struck.
    fn struck(&self, n: &Narrow, s: &Sighting) -> Vec<(i32, i32)> {
        let mut groups = n.group(&n.fits(), (0, 0));
        groups.retain(|g| self.known(g, s));
        groups.sort_by_key(|g| g.year);
        joined(groups.iter().map(|g| (g.year, g.to)))
    }

    /// Is the mark known to have been struck, rather than only not known to be another?
    fn known(&self, g: &Group, s: &Sighting) -> bool {
        !matches!(s.what, What::Letter(_))
            || self.image().row(g.best.row as usize).letter().value().is_some()
    }

    /// Marks that should stand in the claimed set and were not described.
    fn wanting(&self, n: &Narrow, view: RowView) -> Vec<Wanting> {
        let image = self.image();
        let omitted = |slot: Option<Slot>| expect::omitted(image, view, slot).collect();
        let due = n.due_unsaid(view).map(|g| {
            let slot = g.marks().next().map_or(Slot::Special, |m| m.slot());
            let devices = g.marks().map(|m| m.device()).collect();
            Wanting { mark: Due::Mark(slot, devices), may_lack: omitted(Some(slot)) }
        });
        let mut out: Vec<Wanting> = due.collect();
        let said = |kind| self.seen.sightings.iter().any(|s| s.kind(image) == kind);
        if !said(Kind::Letter) && !view.letter().optional() {
            let one = self.one_year_claimed() && view.letter().value().is_some();
            out.push(Wanting { mark: Due::Letter { one }, may_lack: omitted(None) });
        }
        let asked = expect::asking_sponsor(image, view).next().is_some();
        if !said(Kind::Sponsor) && asked {
            out.push(Wanting { mark: Due::Sponsor, may_lack: Vec::new() });
        }
        out
    }

    /// The feature that would best part the claim from what else fits.
    pub fn settle(&self) -> Option<Settling> {
        let image = self.image();
        let inside = |row: usize| self.claim.holds(image, image.row(row));
        settle::settling(&self.decided.narrow, &fitting(self.decided), inside)
    }
}
