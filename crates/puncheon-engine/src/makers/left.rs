//! What the marks of a piece leave for its maker: offices and letter years.

use puncheon_schema::entry::LookalikeKind;
use puncheon_schema::image::Image;
use puncheon_schema::register::Entry;
use puncheon_schema::sponsor::town_id;

use crate::books::Books;
use crate::fit::answer::Decided;
use crate::fit::narrow::Group;
use crate::fit::outcome::{Outcome, OutsideBecause};
use crate::makers::register::Found;
use crate::makers::sought::{ANY, Span, ranked};
use puncheon_lexis::grammar::initials::Letters;

/// Kinds of lookalike beside which letters are no sponsor's mark.
const OF_PLATE: [LookalikeKind; 2] = [LookalikeKind::Plate, LookalikeKind::Alloy];

/// Do the marks beside say that letters are no sponsor's mark: of plate, of an alloy, of another
/// country?
pub fn no_sponsors(d: &Decided) -> bool {
    let kind = |i: usize| d.narrow.image.lookalike(i).kind();
    match d.outside_because {
        Some(OutsideBecause::Denied | OutsideBecause::ForeignFineness) => true,
        Some(OutsideBecause::NothingUnderstood) => {
            d.raised.iter().any(|r| OF_PLATE.contains(&kind(r.i)))
        }
        _ => false,
    }
}

/// The words of the towns without yearly letters whose marks are described.
fn towns_named(d: &Decided) -> Box<[String]> {
    let towns = d.raised.iter().map(|r| d.narrow.image.lookalike(r.i).town());
    towns.filter(|t| !t.is_empty()).map(town_id).collect()
}

/// The same where nothing else is described.
pub fn towns_alone(d: &Decided) -> Box<[String]> {
    match d.outcome {
        Outcome::Outside => towns_named(d),
        _ => Box::default(),
    }
}

/// The offices and letter years that fit, or else all but fit; else those towns.
pub fn spans<'a>(d: &Decided<'a>, towns: &'a [String]) -> Vec<Span<'a>> {
    let image = d.narrow.image;
    let fits = if d.fits.is_empty() { &d.nears } else { &d.fits };
    let span =
        |g: &Group| Span::new(Some(image.office(g.key.office as usize).id()), Some((g.year, g.to)));
    let towns = towns.iter().map(|t| Span::new(Some(t), None));
    let mut out: Vec<Span> = Vec::new();
    for span in fits.iter().map(span).chain(towns) {
        if !out.contains(&span) {
            out.push(span);
        }
    }
    if out.is_empty() {
        out.push(ANY);
    }
    out
}

/// The offices and letter years that the marks of a piece leave for its maker.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// The marks do not bear on office and year.
    any: bool,
    /// Towns without yearly letters, by their words, where nothing else is told.
    towns: Box<[String]>,
    /// Numbers of offices, with their first and last letter years.
    spans: Box<[(u16, i16, i16)]>,
}

impl Left {
    /// Those that fit, or else all but fit. Where the marks say nothing of office and year, any; where
    /// they speak against a hallmark, or cannot stand together, none.
    pub fn of(d: &Decided) -> Left {
        if d.outside_because.is_some() {
            if no_sponsors(d) {
                return Left::default();
            }
            let towns = towns_named(d);
            return Left { any: towns.is_empty(), towns, ..Left::default() };
        }
        let fits = if d.fits.is_empty() { &d.nears } else { &d.fits };
        let span = |g: &Group| (g.key.office as u16, g.year as i16, g.to as i16);
        let mut spans: Vec<(u16, i16, i16)> = fits.iter().map(span).collect();
        spans.sort_unstable();
        spans.dedup();
        Left { spans: spans.into(), ..Left::default() }
    }

    fn spans<'t>(&'t self, image: &'t Image) -> Vec<Span<'t>> {
        if self.any {
            return vec![ANY];
        }
        let town = |t: &'t String| Span::new(Some(t), None);
        let towns = self.towns.iter().map(town);
        let span = |(office, from, to): &(u16, i16, i16)| Span {
            office: Some(image.office(usize::from(*office)).id()),
            years: Some((i32::from(*from), i32::from(*to))),
        };
        towns.chain(self.spans.iter().map(span)).collect()
    }

    /// What it takes up beside its own size, in bytes.
    pub fn bytes(&self) -> usize {
        size_of_val(&self.spans[..])
    }
}

/// Marks of the register that a sponsor's mark may be, whatever its office and year.
#[derive(Clone, Debug)]
pub struct Makers<'t>(Vec<Found<'t>>);

impl<'t> Makers<'t> {
    /// The marks that the letters in these words fit; none where they tell no letters.
    pub fn of(books: Books<'t>, words: &str) -> Makers<'t> {
        let letters = Letters::among(books.image, words);
        Makers(letters.map_or_else(Vec::new, |l| books.registers.found(Some(&l), None)))
    }

    /// The marks that are consistent with what the other marks leave, likeliest first.
    pub fn consistent(&self, image: &Image, left: &Left) -> Vec<&Entry<'t>> {
        let spans = left.spans(image);
        if spans.is_empty() {
            return Vec::new();
        }
        let ranks = ranked(&self.0, &spans, |_| None, |r| r.consistent());
        ranks.into_iter().filter_map(|r| self.0.get(r.i)).map(|f| &f.entry).collect()
    }

    /// What it takes up beside its own size, in bytes.
    pub fn bytes(&self) -> usize {
        /// Names, offices and the like of a mark, which lie in lists of their own.
        const LISTS: usize = 160;
        self.0.len() * (size_of::<Found>() + LISTS)
    }
}
