//! How what was described bears on a row of the tables: which features agree, strain or clash, and
//! the marks they meet.

use puncheon_schema::entry::{Case, Confidence, Slot};
use puncheon_schema::image::{Bits, Image, MarkView, Meets, Meta, RowView};

use crate::fit::evidence::{Evidence, Feature};
use crate::fit::narrow::Narrow;
use crate::numbered::ByNumber;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{Sighting, What};
use puncheon_lexis::steps;

/// Offices that are named as those of a mark.
const MOST_OWNERS: usize = 3;

/// How a feature stands to a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// The table has it so.
    Agrees,
    /// The table is silent on it.
    Silent,
    /// It is so with an excuse.
    Strains,
    /// It would have to be misread.
    Clashes,
}

/// What bears on a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// A sighting, by its index.
    Sighting(usize),
    /// A mark that is due in a set said to be complete, and was not described; None is the letter.
    Missing(Option<Slot>),
    /// Sources differ on the letter.
    Disputed,
}

/// A few features, in the order in which they are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Features(u8);

impl Features {
    fn add(&mut self, f: Feature) {
        self.0 |= 1 << f as u8;
    }

    /// Is there none?
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Is this one of them?
    pub fn has(self, f: Feature) -> bool {
        self.0 >> f as u8 & 1 == 1
    }

    /// Each of them, in order.
    pub fn iter(self) -> impl Iterator<Item = Feature> {
        Feature::ALL.into_iter().filter(move |f| self.has(*f))
    }
}

/// How one thing bears on a row: by features that agree or strain, or by some of which the table is
/// silent. One of which nothing at all is known, a sponsor's mark, has no features.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bearing {
    /// What bears on the row.
    pub by: By,
    /// Features that stand as the list says in which it is.
    pub features: Features,
    /// Others on which the table is silent.
    pub silent: Features,
    /// The mark of the row that it meets, by its number.
    pub mark: Option<usize>,
}

impl Bearing {
    /// The sighting that bears on it, by its index.
    pub fn sighting(&self) -> Option<usize> {
        match self.by {
            By::Sighting(i) => Some(i),
            _ => None,
        }
    }
}

/// A feature that would have to be misread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clash {
    /// Index of the sighting.
    pub sighting: usize,
    /// The feature.
    pub feature: Feature,
    /// The mark that it would have to be, by its number; None for what is no mark of a set, or where
    /// nothing stands in its place.
    pub mark: Option<usize>,
    /// The two are easily taken for each other.
    pub easy: bool,
}

/// How all sightings bear on one row.
#[derive(Default)]
pub struct Bearings {
    /// What agrees.
    pub agrees: Vec<Bearing>,
    /// What tells nothing, or of what the table is silent.
    pub silent: Vec<Bearing>,
    /// What asks for an excuse.
    pub strains: Vec<Bearing>,
    /// What would have to be misread.
    pub clashes: Vec<Clash>,
}

/// How all sightings bear on a row.
pub fn bearings(n: &Narrow, row: usize) -> Bearings {
    let mut out = Bearings::default();
    let view = n.image.row(row);
    for (i, s) in n.sightings.iter().enumerate() {
        let by = By::Sighting(i);
        let none = Features::default();
        if !n.evidence.iter().any(|e| e.sighting == i) {
            out.silent.push(Bearing { by, features: none, silent: none, mark: None });
            continue;
        }
        let mark = mark_met(n.image, view, s).map(|m| m.i);
        let (mut agrees, mut strains, mut silent) = (none, none, none);
        for e in n.evidence.iter().filter(|e| e.sighting == i) {
            match relation(n, view, row, e) {
                Relation::Clashes => out.clashes.push(clash(n, view, row, e)),
                Relation::Strains => strains.add(e.feature),
                Relation::Silent => silent.add(e.feature),
                Relation::Agrees if tells(s, e.feature, mark) => agrees.add(e.feature),
                Relation::Agrees => {}
            }
        }
        let bearing = |features, silent| Bearing { by, features, silent, mark };
        if !strains.is_empty() {
            out.strains.push(bearing(strains, none));
        } else if !agrees.is_empty() {
            out.agrees.push(bearing(agrees, silent));
        } else if !silent.is_empty() {
            out.silent.push(bearing(none, silent));
        }
    }
    let beside =
        |by| Bearing { by, features: Features::default(), silent: Features::default(), mark: None };
    out.strains.extend(n.missing(row).into_iter().map(|slot| beside(By::Missing(slot))));
    if n.image.rival_bits().has(row) {
        out.strains.push(beside(By::Disputed));
    }
    out
}

/// How the feature of some evidence stands to a row.
pub fn relation(n: &Narrow, view: RowView, row: usize, e: &Evidence) -> Relation {
    if e.allowed(row / 64) >> (row % 64) & 1 == 0 {
        Relation::Clashes
    } else if e.strain_of(row) > 0 {
        Relation::Strains
    } else if silent_on(n.image, view, e.feature) {
        Relation::Silent
    } else {
        Relation::Agrees
    }
}

/// Does a feature that agrees tell something by itself? The case and lettering of a letter that was
/// read are told with it, and a device without a mark tells nothing.
pub fn tells(s: &Sighting, feature: Feature, mark: Option<usize>) -> bool {
    match &s.what {
        What::Letter(l) => {
            l.values.is_empty() || !matches!(feature, Feature::Case | Feature::Lettering)
        }
        What::Absent(_) | What::Town(_) | What::Standard(_) => true,
        _ => mark.is_some(),
    }
}

/// Is the table silent on the feature?
fn silent_on(image: &Image, view: RowView, feature: Feature) -> bool {
    let l = view.letter();
    match feature {
        Feature::Letter => l.value().is_none(),
        Feature::Case => {
            l.value().is_none()
                || l.case() == Case::Either
                || l.lettering().is_some_and(|n| image.lettering(n).caseless())
        }
        Feature::Lettering => l.value().is_none() || l.lettering().is_none(),
        Feature::Outline => l.outline(image.standard(view.standard()).metal()).is_none(),
        Feature::Mark => false,
    }
}

/// The mark of a row that a sighting meets; a letter meets none.
pub fn mark_met<'a>(image: &'a Image, view: RowView<'a>, s: &Sighting) -> Option<MarkView<'a>> {
    match s.what {
        What::Letter(_) => None,
        _ => met(image, view, &s.what),
    }
}

/// The mark of a row that meets a sighting best.
pub fn met<'a>(image: &'a Image, view: RowView<'a>, what: &What) -> Option<MarkView<'a>> {
    let rank = |m: &MarkView| match what {
        What::Device(d) => d
            .iter()
            .map(|d| match image.relation(*d as usize, m.device()) {
                Meets::Agree => 0,
                Meets::Strain => 1,
                Meets::Misread => 2,
                Meets::Clash => 3,
            })
            .min()
            .unwrap_or(3),
        What::Slot(s) if *s == m.slot() => 0,
        What::Standard(_) if m.slot() == Slot::Standard => 0,
        What::Town(_) if m.slot() == Slot::Town => 0,
        _ => 3,
    };
    view.marks()
        .map(|m| (rank(&m), m))
        .filter(|(r, _)| *r < 3)
        // Of marks no nearer, a doubtful one is what a contrary word strains against.
        .min_by_key(|(r, m)| match r {
            2 => (*r, m.confidence() != Confidence::Low, m.confidence()),
            _ => (*r, false, m.confidence()),
        })
        .map(|(_, m)| m)
}

/// What a sighting that clashes would have to be.
pub fn clash(n: &Narrow, view: RowView, row: usize, e: &Evidence) -> Clash {
    let mark = n.sightings.get(e.sighting).filter(|_| e.feature == Feature::Mark);
    let mark =
        mark.and_then(|s| met(n.image, view, &s.what).or_else(|| in_its_place(n.image, view, s)));
    Clash {
        sighting: e.sighting,
        feature: e.feature,
        mark: mark.map(|m| m.i),
        easy: e.misread(row / 64) >> (row % 64) & 1 == 1,
    }
}

/// What stands in the row where the sighting's sort of mark would.
fn in_its_place<'a>(image: &Image, view: RowView<'a>, s: &Sighting) -> Option<MarkView<'a>> {
    let slot = match s.kind(image) {
        Kind::Town => Slot::Town,
        Kind::Standard | Kind::Fineness => Slot::Standard,
        Kind::Duty => Slot::Duty,
        Kind::Import => Slot::Import,
        _ => return None,
    };
    view.marks().find(|m| m.slot() == slot)
}

/// Sources of a row's answer: its letter's, then those of the marks that were met.
pub fn sources<'a>(n: &Narrow<'a>, row: usize) -> Vec<&'a str> {
    let view = n.image.row(row);
    let mut out: Vec<&str> = view.letter().cites().collect();
    for s in n.sightings.iter() {
        if let What::Device(_) | What::Slot(_) = s.what
            && let Some(m) = met(n.image, view, &s.what)
        {
            for c in m.cites() {
                if !out.contains(&c) {
                    out.push(c);
                }
            }
        }
    }
    out
}

/// The offices whose own mark a sighting is, if they are few.
pub fn owners(image: &Image, s: &Sighting) -> Vec<usize> {
    let What::Device(devices) = &s.what else {
        return Vec::new();
    };
    if s.kind(image) != Kind::Town {
        return Vec::new();
    }
    let own = |view: RowView| {
        met(image, view, &s.what).is_some_and(|m| {
            let covers = |d: &u32| image.covers(*d as usize, m.device());
            m.slot() == Slot::Town && devices.iter().any(covers)
        })
    };
    // Only rows that agree with the mark can have it for their office's. Of these the first of an office
    // is enough, and of those with one set of marks any.
    let agree: Vec<Bits> = devices.iter().map(|d| image.device_bits(*d as usize, 0)).collect();
    let mut others = ByNumber::all(false, image.meta(Meta::Sets));
    let mut offices = Vec::new();
    let mut from = 0;
    while let Some(row) = agree.iter().filter_map(|bits| bits.next(from)).min() {
        steps::take(1);
        let view = image.row(row);
        from = row + 1;
        if others.get(view.set()) || !own(view) {
            others.set(view.set(), true);
            continue;
        }
        offices.push(view.letter().office());
        from = from.max(image.office(view.letter().office()).rows().end);
    }
    if offices.len() > MOST_OWNERS {
        return Vec::new();
    }
    offices.sort_unstable();
    offices
}
