//! The whole answer to one description in values: fits, nears and lookalikes, and how sure it is.

use puncheon_schema::entry::Confidence;
use puncheon_schema::image::Image;

use crate::fit::evidence::Evidence;
use crate::fit::lookalikes::{self, Raised};
use crate::fit::narrow::{Group, Narrow, Nears, Options, ones};
use crate::fit::outcome::{Outcome, OutsideBecause, Sure};
use crate::place::find_office;
use crate::questions::candidate::Leader;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{Sightings, What};

/// What a description comes to.
pub struct Decided<'a> {
    /// The rows that the sightings leave.
    pub narrow: Narrow<'a>,
    /// Lookalikes met.
    pub raised: Vec<Raised>,
    /// Why the description lies outside the tables; None where it does not.
    pub outside_because: Option<OutsideBecause>,
    /// How it turns out.
    pub outcome: Outcome,
    /// How sure it is; None where nothing is even near.
    pub sure: Option<Sure>,
    /// What fits, in order, runs joined.
    pub fits: Vec<Group>,
    /// What all but fits, where it was asked for.
    pub nears: Vec<Group>,
    /// All that fits is of another metal than silver, and no mark described shows that metal.
    pub metal_not_shown: bool,
    /// Index of the near of silver that would fit there, were a mark misread that easily is.
    pub silver_misread: Option<usize>,
    /// Two sightings that cannot stand together, where nothing fits.
    pub conflict: Option<[usize; 2]>,
    /// Marks of two offices that never stood together were described.
    pub towns_apart: bool,
    /// A row for each office, letter year and standard that fits.
    pub leaders: Vec<Leader>,
    /// Office-years among the fits.
    pub years: usize,
    /// Offices among the fits.
    pub offices: usize,
}

/// Decides sightings against the tables.
pub fn decide<'a>(image: &'a Image, seen: &'a Sightings, options: &Options) -> Decided<'a> {
    decided(Narrow::new(image, &seen.sightings, options), seen, options)
}

/// The same with sightings of its own, which outlives what was seen.
pub fn decide_apart<'i>(image: &'i Image, seen: &Sightings, options: &Options) -> Decided<'i> {
    decided(Narrow::new(image, seen.sightings.clone(), options), seen, options)
}

fn decided<'a>(narrow: Narrow<'a>, seen: &Sightings, options: &Options) -> Decided<'a> {
    let image = narrow.image;
    let mut out = Decided {
        narrow,
        raised: lookalikes::met(image, seen),
        outside_because: None,
        outcome: Outcome::Outside,
        sure: None,
        fits: Vec::new(),
        nears: Vec::new(),
        metal_not_shown: false,
        silver_misread: None,
        conflict: None,
        towns_apart: false,
        leaders: Vec::new(),
        years: 0,
        offices: 0,
    };
    out.outside_because = outside(image, seen, &out, options);
    if out.outside_because.is_some() {
        return out;
    }
    let groups = out.narrow.group(&out.narrow.fits(), (0, 0));
    let mut office_years: Vec<(u32, i32)> = groups.iter().map(|g| (g.key.office, g.year)).collect();
    office_years.sort_unstable();
    office_years.dedup();
    out.years = office_years.len();
    office_years.dedup_by_key(|y| y.0);
    out.offices = office_years.len();
    out.leaders = groups.iter().map(Leader::of).collect();
    out.fits = out.narrow.merge(groups);
    out.fits.sort_unstable_by_key(|g| g.key);
    let shown = |g: &Group| out.narrow.shows_metal(g.best.row as usize);
    let in_doubt = options.metal.is_none() && !out.fits.is_empty() && !out.fits.iter().any(shown);
    if options.nears == Nears::Always || out.fits.is_empty() || in_doubt {
        out.nears = out.narrow.nears();
    }
    if in_doubt {
        let silver = |g: &Group| !g.key.not_silver && g.key.easily_misread();
        out.silver_misread = out.nears.iter().position(silver);
        out.metal_not_shown = true;
    }
    out.outcome = match (out.fits.is_empty(), out.nears.is_empty()) {
        (false, _) => Outcome::Fits,
        (true, false) => Outcome::Nears,
        (true, true) => Outcome::None,
    };
    if out.fits.is_empty() {
        out.conflict = out.narrow.conflict();
        let kind = |i: usize| seen.sightings.get(i).map(|s| s.kind(image));
        let town = |i: usize| kind(i) == Some(Kind::Town);
        out.towns_apart = out.conflict.is_some() && out.narrow.conflict_among(town).is_some();
    }
    out.sure = match out.outcome {
        Outcome::Fits if out.years == 1 => {
            let clean = |g: &Group| g.weakest != Confidence::Low && g.best.strain == 0;
            Some(match out.fits.iter().any(clean) {
                true => Sure::OneYear,
                false => Sure::OneYearDoubtful,
            })
        }
        Outcome::Fits => Some(Sure::Several),
        Outcome::Nears => Some(Sure::Misreading),
        _ => None,
    };
    out
}

/// The one office that was asked for, or that all the marks point to.
fn office_asked(image: &Image, seen: &Sightings, options: &Options) -> Option<usize> {
    if let Some(named) = options.office.as_deref() {
        return find_office(image, named);
    }
    let unbounded = Narrow::new(image, &seen.sightings, &Options::default());
    let fits = unbounded.fits();
    let mut offices = ones(&fits).map(|r| image.row(r).letter().office());
    let first = offices.next()?;
    offices.all(|o| o == first).then_some(first)
}

/// Why the description lies outside the tables, if it does.
fn outside(
    image: &Image,
    seen: &Sightings,
    d: &Decided,
    options: &Options,
) -> Option<OutsideBecause> {
    if d.raised.iter().any(|r| r.denies) {
        return Some(OutsideBecause::Denied);
    }
    if let Some(because) = lookalikes::outside(image, seen, &d.raised) {
        return Some(because);
    }
    let absent = |e: &Evidence| {
        let s = seen.sightings.get(e.sighting);
        s.is_none_or(|s| matches!(s.what, What::Absent(_)))
    };
    let something = d.narrow.evidence.iter().any(|e| !e.turned && !absent(e));
    if !something {
        return Some(OutsideBecause::NothingUnderstood);
    }
    if let Some(asked) = options.between
        && let Some(o) = office_asked(image, seen, options)
    {
        let (first, last) = image.office(o).years();
        if asked.1 < first || asked.0 > last {
            return Some(OutsideBecause::OfficeClosed);
        }
    }
    None
}

/// The value that all share.
pub fn shared<T: PartialEq>(mut all: impl Iterator<Item = T>) -> Option<T> {
    let first = all.next()?;
    all.all(|x| x == first).then_some(first)
}
