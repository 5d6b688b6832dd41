//! What marks bear out of a piece: the metal and the standard that may be named, or why none may; and which
//! office and years they leave.

use puncheon_schema::entry::{Confidence, Metal};
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS};

use crate::engine::claim::claimed::Claim;
use crate::engine::claim::warnings::{self, Scene, Sign};
use crate::engine::fit::answer::{self, Decided, shared};
use crate::engine::fit::narrow::{Group, Nears, Options};
use crate::engine::words;
use crate::json::reading::{Fit, Kind, Outcome, OutsideBecause, Reading, RemarkKind};
use crate::lexis::grammar::objects::{Barred, Item};
use crate::lexis::said::Remark;
use crate::lexis::sighting::{Sighting, Sightings};
use crate::tables::Tables;
use crate::voice::{makers, reading};

/// One set of marks, read for a description of the piece.
pub(crate) struct Borne {
    pub reading: Reading,
    /// What was seen, without the signs in what is stated beside it.
    pub seen: Sightings,
    /// Signs worth a second look.
    pub warnings: Vec<Sign>,
    /// The metal of the fits that are spoken of.
    pub metal: Option<&'static str>,
    /// The standard, where the marks settle it.
    pub standard: Option<String>,
    /// Other metals that the same marks would fit.
    pub also: Vec<Other>,
    /// How many marks have to be misread for what is spoken of: silver, where what fits is another
    /// metal that no mark shows.
    pub misread: usize,
    /// Why no metal may be named; None where it may.
    pub refused: Option<Fault>,
}

/// Another metal that the same marks would fit.
pub(crate) struct Other {
    pub metal: &'static str,
    /// Marks that would show it, by name.
    pub shown_by: Vec<String>,
}

/// What marks lack to bear out a metal, where nothing speaks against them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lack {
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
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    /// No mark was recognised; it may have been said that there is none.
    NoMark { unmarked: bool },
    /// Several sets were described together, and nothing fits them all.
    SetsTogether,
    /// The office was not open in the years asked for.
    OfficeClosed,
    /// What was described tells of no standard; the first lookalike of the reading says what it is.
    NoStandard,
    /// No year fits all the marks; the reading may say which two cannot stand together.
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

/// Reads a set of marks; `signs` are those in what is stated of the piece beside them.
pub(crate) fn read(tables: &Tables, marks: &Item, signs: &[u32], options: &Options) -> Borne {
    let image = tables.image();
    let text = marks.text();
    let mut seen = marks.seen.clone();
    seen.signs.extend(signs);
    let options = Options { nears: Nears::IfNoFits, ..options.clone() };
    let decided = answer::decide(image, &seen, &options);
    let mut reading = reading::told(&decided, text, &seen, &options);
    makers::tell(tables, &seen, &decided, &mut reading);
    let scene = Scene {
        image,
        claim: &Claim::default(),
        description: text,
        seen: &seen,
        options: &options,
        decided: &decided,
        claimed: &[],
        best: decided.fits.first().map(|g| g.best.row as usize),
        agrees: true,
    };
    let warnings = warnings::met(&scene, &[]);
    let refused = fault(image, &seen, &decided, &reading, &warnings);
    let spoken = match decided.silver_misread {
        Some(near) => reading.nears.get(near),
        None => reading.fits.first(),
    };
    let mut out = Borne {
        metal: spoken.map(|f| f.metal),
        misread: spoken.map_or(0, |f| f.clashes.len()),
        standard: None,
        also: others(&decided, spoken.map(|f| f.metal)),
        refused,
        warnings,
        seen: marks.seen.clone(),
        reading,
    };
    out.standard = shared(out.spoken_of().map(|f| &f.standard_name)).cloned();
    out
}

impl Borne {
    /// What the marks bear out, unless what is stated of the piece says that it is made of something
    /// else.
    pub fn unless_stated(mut self, image: &Image, stated: &str) -> Borne {
        if self.refused.is_none() {
            self.refused = words::bars(image, stated, self.metal_borne()).map(Fault::Stated);
        }
        self
    }

    /// The metal that is spoken of.
    pub fn metal_borne(&self) -> Option<Metal> {
        METALS.into_iter().find(|m| Some(export::metal(*m)) == self.metal)
    }

    /// What the marks lack, where they are refused only for what they do not show.
    pub fn lack(&self) -> Option<Lack> {
        self.refused.as_ref().and_then(Fault::lack)
    }

    /// The fits of the metal that is spoken of. Of marks that silver and gold share, those of silver
    /// stand first: so they were struck on nearly all that bears them.
    pub fn spoken_of(&self) -> impl Iterator<Item = &Fit> {
        let all = match self.misread {
            0 => &self.reading.fits,
            _ => &self.reading.nears,
        };
        let few = |f: &&Fit| f.clashes.len() == self.misread && easily(f);
        all.iter().filter(|f| Some(f.metal) == self.metal).filter(few)
    }

    /// The office and years that the fits leave; None where there is no fit.
    pub fn placing(&self) -> Option<Placing<'_>> {
        Placing::of(self)
    }
}

/// Is all that clashes easily misread?
fn easily(f: &Fit) -> bool {
    f.clashes.iter().all(|c| c.easy)
}

/// The metals of the fits beside the one that is spoken of.
fn others(d: &Decided, spoken: Option<&str>) -> Vec<Other> {
    let n = &d.narrow;
    let row = |g: &Group| g.best.row as usize;
    let metal = |row: usize| export::metal(n.metal(n.image.row(row)));
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
        let marks = &mut out[at].shown_by;
        for name in n.own_marks(row, &of_spoken) {
            if marks.len() < MARKS_NAMED && !marks.iter().any(|m| m == name) {
                marks.push(name.to_string());
            }
        }
    }
    out
}

/// Why the marks do not bear out a metal; None if they do.
fn fault(
    image: &Image,
    seen: &Sightings,
    d: &Decided,
    reading: &Reading,
    warnings: &[Sign],
) -> Option<Fault> {
    let absent = |s: &Sighting| s.kind(image) == Kind::Absence;
    if seen.sightings.iter().all(absent) {
        let unread = |r: &Remark| r.remark == RemarkKind::NotUnderstood;
        let none = seen.called_copy || !seen.sightings.is_empty();
        let unmarked = none && !seen.remarks.iter().any(unread);
        return Some(Fault::NoMark { unmarked });
    }
    if !reading.parts.is_empty() {
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
pub(crate) const SIDE_BY_SIDE: usize = 3;

/// How sure office and year are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Certainty {
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
pub(crate) struct Placing<'b> {
    /// Those that are spoken of, by their years.
    pub best: Vec<&'b Fit>,
    /// The others, in order.
    pub rest: Vec<&'b Fit>,
    pub certainty: Certainty,
    /// Few enough, and years of one letter each, to be named side by side.
    pub nameable: bool,
    /// All that are spoken of are of one office.
    pub one_office: bool,
}

impl<'b> Placing<'b> {
    fn of(b: &'b Borne) -> Option<Placing<'b>> {
        let mut all: Vec<&Fit> = Vec::new();
        for f in b.spoken_of() {
            let same = |g: &&Fit| (&g.office, &g.shown) == (&f.office, &f.shown);
            if !all.iter().any(same) {
                all.push(f);
            }
        }
        let likely = least(&all, |f| (f.unread, f.strain));
        let few =
            |list: &[&Fit]| list.len() <= SIDE_BY_SIDE && list.iter().all(|f| f.year.is_some());
        // Where too many are left to be named, those whose marks were all described stand before the
        // others, in doubt.
        let whole = least(&likely, |f| f.undescribed);
        let (mut best, in_doubt) = match !few(&likely) && few(&whole) {
            true => (whole, true),
            false => (likely, false),
        };
        best.sort_by_key(|f| f.from);
        let spoken = |f: &&Fit| best.iter().any(|g| std::ptr::eq(*f, *g));
        let rest: Vec<&Fit> = all.iter().copied().filter(|f| !spoken(f)).collect();
        let first = *best.first()?;
        let strained = first.strain > 0;
        let weak = first.confidence == Confidence::Low && first.year.is_some();
        let probable = in_doubt || best.len() == 1 && (!rest.is_empty() || strained || weak);
        let certainty = match probable {
            _ if first.unread => Certainty::NoLetterKnown,
            true if !rest.is_empty() => Certainty::Probable,
            true if strained => Certainty::Strained,
            true => Certainty::Weak,
            false if rest.is_empty() => Certainty::Settled,
            false => Certainty::Likelier,
        };
        let one_office = best.iter().all(|f| f.office == first.office);
        Some(Placing { nameable: few(&best), best, rest, certainty, one_office })
    }

    /// Is the one year, or are the few, no more than probable?
    pub fn probable(&self) -> bool {
        matches!(self.certainty, Certainty::Probable | Certainty::Strained | Certainty::Weak)
    }
}

/// Those of the list of which this is least.
fn least<'f, K: Ord>(list: &[&'f Fit], key: impl Fn(&Fit) -> K) -> Vec<&'f Fit> {
    let Some(least) = list.iter().map(|f| key(f)).min() else {
        return Vec::new();
    };
    list.iter().copied().filter(|f| key(f) == least).collect()
}
