//! What marks bear out of a piece: the metal and the standard that may be named, or why none may; and which
//! office and years they leave.

use puncheon_schema::entry::{Confidence, Metal};
use puncheon_schema::image::Image;

use crate::claim::claimed::Claim;
use crate::claim::warnings::{self, Scene, Sign};
use crate::fit::answer::{self, Decided, shared};
use crate::fit::bearing::bearings;
use crate::fit::letter_year::last_year;
use crate::fit::narrow::{Group, Narrow, Nears, Options};
use crate::fit::outcome::{Outcome, OutsideBecause};
use crate::fit::parts;
use crate::words;
use puncheon_lexis::grammar::objects::{Barred, Item};
use puncheon_lexis::said::{Kind, Remark, RemarkKind};
use puncheon_lexis::sighting::{Sighting, Sightings};

/// One set of marks, decided for a description of the piece.
pub struct Borne<'i> {
    /// What the marks come to.
    pub decided: Decided<'i>,
    /// What was seen, without the signs in what is stated beside it.
    pub seen: Sightings,
    /// The signs in what is stated beside it.
    pub beside: Vec<u32>,
    /// Bounds on what it may be.
    pub options: Options,
    /// Signs worth a second look.
    pub warnings: Vec<Sign>,
    /// The metal of the fits that are spoken of.
    pub metal: Option<Metal>,
    /// The standard by its number, where the marks settle it.
    pub standard: Option<usize>,
    /// Other metals that the same marks would fit.
    pub also: Vec<Other>,
    /// How many marks have to be misread for what is spoken of: silver, where what fits is another
    /// metal that no mark shows.
    pub misread: usize,
    /// Why no metal may be named; None where it may.
    pub refused: Option<Fault>,
}

/// Another metal that the same marks would fit.
pub struct Other {
    /// The metal.
    pub metal: Metal,
    /// Marks that would show it, by their devices.
    pub shown_by: Vec<usize>,
}

/// What marks lack to bear out a metal, where nothing speaks against them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// It is said that there are none.
    Unmarked,
    /// None could be read.
    Unread,
    /// Too few.
    Partly,
    /// They are no hallmarks.
    Other,
}

/// Why marks bear out no metal.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// No mark was recognised; it may have been said that there is none.
    NoMark { unmarked: bool },
    /// Several sets were described together, and nothing fits them all.
    SetsTogether,
    /// The office was not open in the years asked for.
    OfficeClosed,
    /// What was described tells of no standard; the first lookalike met says what it is.
    NoStandard,
    /// No year fits all the marks; two may be known that cannot stand together.
    NothingFits,
    /// They are said to be false.
    CalledFalse,
    /// A sign that unsettles, by its place among those met.
    Sign(usize),
    /// Too little was described for a standard to show.
    TooFew,
    /// No mark was described that this metal alone bore.
    MetalNotShown(Metal),
    /// No standard mark was described, and the rest stood on more than one metal.
    SeveralMetals,
    /// What is stated of the piece says that it is made of something else.
    Stated(Barred),
}

impl Fault {
    /// What the marks lack, where they are refused only for what they do not show.
    pub fn lack(&self) -> Option<Lack> {
        match self {
            Fault::NoMark { unmarked: true } => Some(Lack::Unmarked),
            Fault::NoMark { unmarked: false } => Some(Lack::Unread),
            Fault::NoStandard => Some(Lack::Other),
            Fault::TooFew | Fault::MetalNotShown(_) | Fault::SeveralMetals => Some(Lack::Partly),
            _ => None,
        }
    }
}

/// Decides a set of marks; `signs` are those in what is stated of the piece beside them.
pub fn read<'i>(image: &'i Image, marks: &Item, signs: &[u32], options: &Options) -> Borne<'i> {
    let seen = with_signs(&marks.seen, signs);
    let options = options.with(Nears::IfNoFits);
    let decided = answer::decide_apart(image, &seen, &options);
    let scene = Scene {
        image,
        claim: &Claim::default(),
        seen: &seen,
        options: &options,
        decided: &decided,
        claimed: &[],
        best: decided.fits.first().map(|g| g.best.row as usize),
        agrees: true,
    };
    let warnings = warnings::met(&scene, &[]);
    let refused = fault(image, &seen, &decided, &warnings);
    let spoken = match decided.silver_misread {
        Some(near) => decided.nears.get(near),
        None => decided.fits.first(),
    };
    let metal = spoken.map(|g| g.key.metal);
    let misread = spoken.map_or(0, |g| g.key.misread());
    let mut out = Borne {
        metal,
        misread,
        standard: None,
        also: others(&decided, metal),
        refused,
        warnings,
        seen: marks.seen.clone(),
        beside: signs.to_vec(),
        options,
        decided,
    };
    out.standard = shared(out.spoken_of().map(|g| g.key.standard as usize));
    out
}

fn with_signs(seen: &Sightings, signs: &[u32]) -> Sightings {
    let mut seen = seen.clone();
    seen.signs.extend(signs);
    seen
}

impl Borne<'_> {
    /// What the marks bear out, unless what is stated of the piece says that it is made of something
    /// else.
    pub fn unless_stated(mut self, stated: &str) -> Self {
        if self.refused.is_none() {
            self.refused = words::bars(self.image(), stated, self.metal).map(Fault::Stated);
        }
        self
    }

    /// The tables it was held against.
    pub fn image(&self) -> &Image {
        self.decided.narrow.image
    }

    /// All that was seen, with the signs in what is stated beside the marks.
    pub fn seen_with_signs(&self) -> Sightings {
        with_signs(&self.seen, &self.beside)
    }

    /// What the marks lack, where they are refused only for what they do not show.
    pub fn lack(&self) -> Option<Lack> {
        self.refused.as_ref().and_then(Fault::lack)
    }

    /// The fits of the metal that is spoken of. Of marks that silver and gold share, those of silver
    /// stand first: so they were struck on nearly all that bears them.
    pub fn spoken_of(&self) -> impl Iterator<Item = &Group> {
        let all = match self.misread {
            0 => &self.decided.fits,
            _ => &self.decided.nears,
        };
        let few = |g: &&Group| g.key.misread() == self.misread && g.key.easily_misread();
        all.iter().filter(|g| Some(g.key.metal) == self.metal).filter(few)
    }

    /// The marks fit with a doubt: by a doubtful record, or with each fit strained.
    pub fn doubted(&self) -> bool {
        let strains = |g: &Group| bearings(&self.decided.narrow, g.best.row as usize).strains;
        self.spoken_of().any(|g| g.weakest == Confidence::Low)
            || self.spoken_of().all(|g| !strains(g).is_empty())
    }

    /// The office and years that the fits leave; None where there is no fit.
    pub fn placing(&self) -> Option<Placing<'_>> {
        Placing::of(self)
    }
}

/// The metals of the fits beside the one that is spoken of.
fn others(d: &Decided, spoken: Option<Metal>) -> Vec<Other> {
    let n = &d.narrow;
    let row = |g: &Group| g.best.row as usize;
    let metal = |row: usize| n.metal(n.image.row(row));
    // What these bear tells nothing: gold kept the lion while silver had Britannia.
    let of_spoken: Vec<usize> =
        d.fits.iter().map(row).filter(|r| Some(metal(*r)) == spoken).collect();
    let mut out: Vec<Other> = Vec::new();
    for row in d.fits.iter().map(row) {
        let metal = metal(row);
        if Some(metal) == spoken {
            continue;
        }
        let at = out.iter().position(|o| o.metal == metal);
        let at = at.unwrap_or_else(|| {
            let shown_by = Vec::new();
            out.push(Other { metal, shown_by });
            out.len() - 1
        });
        let Some(Other { shown_by: marks, .. }) = out.get_mut(at) else { continue };
        for device in n.own_marks(row, &of_spoken) {
            let name = |d: usize| n.image.device(d).name();
            if marks.len() < MARKS_NAMED && !marks.iter().any(|m| name(*m) == name(device)) {
                marks.push(device);
            }
        }
    }
    out
}

/// Why the marks do not bear out a metal; None if they do.
fn fault(image: &Image, seen: &Sightings, d: &Decided, warnings: &[Sign]) -> Option<Fault> {
    let absent = |s: &Sighting| s.kind(image) == Kind::Absence;
    if seen.sightings.iter().all(absent) {
        let unread = |r: &Remark| r.remark == RemarkKind::NotUnderstood;
        let none = seen.called_copy || !seen.sightings.is_empty();
        let unmarked = none && !seen.remarks.iter().any(unread);
        return Some(Fault::NoMark { unmarked });
    }
    if !parts::apart(d, seen).is_empty() {
        return Some(Fault::SetsTogether);
    }
    if d.outcome != Outcome::Fits {
        return Some(match d.outside_because {
            Some(OutsideBecause::OfficeClosed) => Fault::OfficeClosed,
            Some(_) => Fault::NoStandard,
            None => Fault::NothingFits,
        });
    }
    if seen.called_false {
        return Some(Fault::CalledFalse);
    }
    if let Some(sign) = warnings.iter().position(|w| w.unsettles) {
        return Some(Fault::Sign(sign));
    }
    not_shown(image, seen, d)
}

/// What the marks do not show of a metal.
fn not_shown(image: &Image, seen: &Sightings, d: &Decided) -> Option<Fault> {
    let said = |kinds: &[Kind]| {
        let of = |s: &Sighting| kinds.contains(&s.kind(image));
        seen.sightings.iter().any(of)
    };
    let office = said(&[Kind::Town, Kind::Import, Kind::Convention]);
    let more = said(&[Kind::Letter, Kind::Duty]);
    // A figure or a word alone is struck by anybody, and one that is doubted shows no metal.
    let standard = said(&[Kind::Standard]);
    let figure = |s: &Sighting| s.kind(image) == Kind::Fineness && !s.doubt;
    let fineness = standard || seen.sightings.iter().any(figure);
    if !(office && (fineness || more) || standard && more) {
        return Some(Fault::TooFew);
    }
    let metal = |g: &Group| image.standard(image.row(g.best.row as usize).standard()).metal();
    let first = d.fits.first().map(metal)?;
    if d.metal_not_shown && d.silver_misread.is_none() {
        return Some(Fault::MetalNotShown(first));
    }
    let several = !fineness && d.fits.iter().any(|g| metal(g) != first);
    several.then_some(Fault::SeveralMetals)
}

/// Marks that would show another metal, named of each.
const MARKS_NAMED: usize = 3;
/// Offices and years named side by side before the rest is only spanned.
pub const SIDE_BY_SIDE: usize = 3;

/// How sure office and year are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// Nothing else fits as well.
    Settled,
    /// Others would fit less well.
    Likelier,
    /// One alone is likeliest: others fit too.
    Probable,
    /// The one is probable: a mark is worn, doubtful or not as it should be.
    Strained,
    /// The one is probable: the record of its letter is doubtful.
    Weak,
    /// Any letter would do in a year whose letter is not known, so that the one read names none.
    NoLetterKnown,
}

/// The office and years that the fits of a metal leave.
pub struct Placing<'b> {
    /// Those that are spoken of, by their years.
    pub best: Vec<&'b Group>,
    /// The others, in order.
    pub rest: Vec<&'b Group>,
    /// How sure office and year are.
    pub certainty: Certainty,
    /// Few enough, and years of one letter each, to be named side by side.
    pub nameable: bool,
    /// All that are spoken of are of one office.
    pub one_office: bool,
}

impl<'b> Placing<'b> {
    fn of(b: &'b Borne) -> Option<Placing<'b>> {
        let n = &b.decided.narrow;
        let mut all: Vec<&Group> = Vec::new();
        for g in b.spoken_of() {
            if !all.iter().any(|other| place(n, other) == place(n, g)) {
                all.push(g);
            }
        }
        let likely = least(&all, |g| (g.key.unread, g.best.strain));
        let few = |list: &[&Group]| list.len() <= SIDE_BY_SIDE && list.iter().all(|g| !g.run);
        // Where too many are left to be named, those whose marks were all described stand before the
        // others, in doubt.
        let whole = least(&likely, |g| g.key.undescribed);
        let (mut best, in_doubt) = match !few(&likely) && few(&whole) {
            true => (whole, true),
            false => (likely, false),
        };
        best.sort_by_key(|g| g.year);
        let spoken = |g: &&Group| best.iter().any(|other| std::ptr::eq(*g, *other));
        let rest: Vec<&Group> = all.iter().copied().filter(|g| !spoken(g)).collect();
        let first = *best.first()?;
        let strained = first.best.strain > 0;
        let weak = first.weakest == Confidence::Low && !first.run;
        let probable = in_doubt || best.len() == 1 && (!rest.is_empty() || strained || weak);
        let certainty = match probable {
            _ if first.key.unread => Certainty::NoLetterKnown,
            true if !rest.is_empty() => Certainty::Probable,
            true if strained => Certainty::Strained,
            true => Certainty::Weak,
            false if rest.is_empty() => Certainty::Settled,
            false => Certainty::Likelier,
        };
        let one_office = best.iter().all(|g| g.key.office == first.key.office);
        Some(Placing { nameable: few(&best), best, rest, certainty, one_office })
    }

    /// Is the one year, or are the few, no more than probable?
    pub fn probable(&self) -> bool {
        matches!(self.certainty, Certainty::Probable | Certainty::Strained | Certainty::Weak)
    }
}

/// Office and years, as far as they are told apart: of one letter when it ended, of a run the last letter.
fn place(n: &Narrow, g: &Group) -> (u32, bool, i32, i32) {
    let to = match g.run {
        true => g.to,
        false => last_year(n.image.row(g.best.row as usize).letter(), g.to),
    };
    (g.key.office, g.run, g.year, to)
}

/// Those of the list of which this is least.
fn least<'g, K: Ord>(list: &[&'g Group], key: impl Fn(&Group) -> K) -> Vec<&'g Group> {
    let Some(least) = list.iter().map(|g| key(g)).min() else {
        return Vec::new();
    };
    list.iter().copied().filter(|g| key(g) == least).collect()
}
