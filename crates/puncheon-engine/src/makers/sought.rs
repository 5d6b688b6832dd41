//! Makers in the order in which they may have struck a mark.
//!
//! Initials alone give a list, never a name. A maker's years and offices agree, strain or clash, and
//! put the likelier first; they exclude no one, since widows, successors, retailers and old punches
//! went on.

use std::collections::HashSet;
use std::slice;

use puncheon_schema::image::{Image, Meta};
use puncheon_schema::register::Entry;

use crate::books::Books;
use crate::fit::strain;
use crate::makers::asked::{Asked, By};
use crate::makers::names::Name;
use crate::makers::register::Found;
use puncheon_lexis::grammar::initials::Letters;

/// Letter years of an office.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span<'o> {
    /// None for any office.
    pub office: Option<&'o str>,
    /// First and last letter year; None for any.
    pub years: Option<(i32, i32)>,
}

impl<'o> Span<'o> {
    /// The years of an office.
    pub fn new(office: Option<&'o str>, years: Option<(i32, i32)>) -> Span<'o> {
        Span { office, years }
    }
}

/// Any office and time.
pub const ANY: Span<'static> = Span { office: None, years: None };

/// How a mark stands to one span of years of an office, in values.
#[derive(Clone, Copy, Debug, Default)]
pub struct Standing {
    /// The office is one of the maker's; None where either is not known.
    pub office: Option<bool>,
    /// When the maker worked, seen from the years.
    pub time: Time,
    /// So far off that it clashes.
    pub far: bool,
}

/// When a maker worked, seen from a span of years.
#[derive(Clone, Copy, Debug, Default)]
pub enum Time {
    /// Years are not known, or not asked for.
    #[default]
    Silent,
    /// At work then.
    Then,
    /// Last known so many years before.
    Before(i32),
    /// First known so many years after.
    After(i32),
}

impl Standing {
    fn of(e: &Entry, span: &Span) -> Standing {
        let office = span.office.filter(|_| !e.offices.is_empty());
        let office = office.map(|o| e.offices.contains(&o));
        let (Some((first, last)), Some(from)) = (span.years, e.from) else {
            return Standing { office, ..Standing::default() };
        };
        // A letter ran into the calendar year after its own.
        let last = last + 1;
        // Where no last year is known, a working life may have followed the first.
        let to = match (e.to, e.still) {
            (_, true) => i32::MAX,
            (Some(to), _) => to,
            (None, _) => from + strain::WORKING_LIFE,
        };
        let (time, apart) = if first > to {
            // The year told is the last known, or else the only one.
            (Time::Before(first - e.to.unwrap_or(from)), first - to)
        } else if last < from {
            (Time::After(from - last), from - last)
        } else if e.to.is_some() || (first..=last).contains(&from) {
            (Time::Then, 0)
        } else {
            (Time::Silent, 0)
        };
        let slack = match e.about || e.to.is_none() {
            true => strain::ABOUT_YEARS,
            false => strain::OLD_PUNCH,
        };
        Standing { office, time, far: apart > slack }
    }

    /// Clashes, strains, years apart, and how much does not agree.
    fn order(self) -> (u32, u32, i32, u32) {
        let elsewhere = u32::from(self.office == Some(false));
        let (apart, agrees) = match self.time {
            Time::Silent => (0, 0),
            Time::Then => (0, 1),
            Time::Before(n) | Time::After(n) => (n, 0),
        };
        let agrees = agrees + u32::from(self.office == Some(true));
        (elsewhere + u32::from(self.far), u32::from(apart > 0 && !self.far), apart, 2 - agrees)
    }
}

/// Where a mark found stands among the others, and how it stands to what is asked.
#[derive(Clone, Copy, Debug)]
pub struct Rank<'o> {
    /// Index of the mark among those found.
    pub i: usize,
    /// The punch agrees; None where it is not known or not asked for.
    pub punch: Option<bool>,
    /// How it stands to the span that suits it best.
    pub standing: Standing,
    /// The span to which it stands so.
    pub span: Option<Span<'o>>,
}

impl Rank<'_> {
    /// Nothing of it clashes.
    pub fn consistent(&self) -> bool {
        self.standing.order().0 == 0
    }

    /// The likelier the lower.
    fn order<'f>(&self, f: &'f Found) -> impl Ord + 'f {
        let (clashes, strains, apart, agrees) = self.standing.order();
        let strains = strains + u32::from(f.others > 0) + u32::from(self.punch == Some(false));
        let e = &f.entry;
        (
            (clashes, strains, apart, agrees, self.punch != Some(true)),
            (!f.own, f.partners, f.turned, e.confidence, e.from),
            (&e.names, e.id),
        )
    }
}

/// Marks of the register that are to be kept, likeliest first. `punch` tells whether the punch of one
/// agrees.
pub fn ranked<'o>(
    found: &[Found],
    spans: &[Span<'o>],
    punch: impl Fn(&Entry) -> Option<bool>,
    keep: impl Fn(&Rank) -> bool,
) -> Vec<Rank<'o>> {
    let mut out: Vec<(Rank, &Found)> = found
        .iter()
        .enumerate()
        .map(|(i, f)| {
            let best = spans
                .iter()
                .map(|s| (Standing::of(&f.entry, s), s))
                .min_by_key(|(standing, _)| standing.order());
            let rank = Rank {
                i,
                punch: punch(&f.entry),
                standing: best.map_or_else(Standing::default, |(s, _)| s),
                span: best.map(|(_, span)| *span),
            };
            (rank, f)
        })
        .filter(|(rank, _)| keep(rank))
        .collect();
    out.sort_by(|(a, f), (b, g)| a.order(f).cmp(&b.order(g)));
    out.into_iter().map(|(rank, _)| rank).collect()
}

/// What marks are looked for.
#[derive(Clone, Copy, Default)]
pub struct Wanted<'a> {
    /// The letters of the mark.
    pub letters: Option<&'a Letters>,
    /// The name of the maker.
    pub name: Option<&'a Name>,
    /// The outline of the punch, by its word.
    pub punch: Option<&'a str>,
}

impl<'a> Wanted<'a> {
    /// The marks that letters fit.
    pub fn letters(letters: &'a Letters) -> Wanted<'a> {
        Wanted { letters: Some(letters), ..Wanted::default() }
    }

    /// The marks of a name.
    pub fn name(name: &'a Name) -> Wanted<'a> {
        Wanted { name: Some(name), ..Wanted::default() }
    }
}

/// Marks of the register, likeliest first.
#[derive(Clone, Debug, Default)]
pub struct Sought<'t, 'o> {
    /// The marks, in the order of the register.
    pub found: Vec<Found<'t>>,
    /// Their order, likeliest first.
    pub ranks: Vec<Rank<'o>>,
}

impl<'t, 'o> Sought<'t, 'o> {
    /// The marks that are wanted.
    pub fn of(books: Books<'t>, wanted: Wanted, spans: &[Span<'o>]) -> Sought<'t, 'o> {
        let Books { image, registers } = books;
        let found = registers.found(wanted.letters, wanted.name);
        let punch = |e: &Entry| same_punch(image, e, wanted.punch?);
        let ranks = ranked(&found, spans, punch, |_| true);
        Sought { found, ranks }
    }

    /// What answers a question.
    pub fn answer(books: Books<'t>, asked: &'o Asked) -> Sought<'t, 'o> {
        let years = asked.from.map(|a| (a, asked.to.unwrap_or(a)));
        let mut spans: Vec<Span> = Vec::new();
        spans.extend(asked.offices.iter().map(|o| Span { office: Some(o), years }));
        if spans.is_empty() {
            spans.push(Span { years, ..ANY });
        }
        let mut out = match (asked.by, &asked.name) {
            // A name that the register does not know.
            (Some(By::Name), None) => Sought::default(),
            _ => Sought::of(books, asked.wanted(), &spans),
        };
        // With neither, office and years are what is asked for and no longer a bound among many.
        if asked.by.is_none() {
            out.ranks.retain(Rank::consistent);
        }
        out
    }

    /// Each mark with its rank, likeliest first.
    pub fn iter(&self) -> impl Iterator<Item = (&Found<'t>, &Rank<'o>)> {
        self.ranks.iter().filter_map(|r| Some((self.found.get(r.i)?, r)))
    }
}

/// How many makers of another name are consistent with letters. `own`: the marks of this name.
pub fn others(books: Books, own: &Sought, letters: &Letters, spans: &[Span]) -> usize {
    let own: HashSet<&str> = own.found.iter().map(|f| f.entry.id).collect();
    let found = books.registers.found(Some(letters), None);
    let all = ranked(&found, spans, |_| None, |r| r.consistent());
    let others =
        all.iter().filter_map(|r| found.get(r.i)).map(|f| &f.entry).filter(|e| !own.contains(e.id));
    others.map(Who::of).collect::<HashSet<Who>>().len()
}

/// Who a mark is of: the persons, or else the firm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Who<'e>(&'e [&'e str]);

impl<'e> Who<'e> {
    /// Who a mark of the register is of.
    pub fn of(e: &'e Entry) -> Who<'e> {
        Who(if e.names.is_empty() { slice::from_ref(&e.firm) } else { &e.names })
    }
}

/// Is a punch one of the mark's? Real punches stray, so that another only strains. None where the
/// mark's is not known.
fn same_punch(image: &Image, e: &Entry, asked: &str) -> Option<bool> {
    let broader = |id: &str| -> Vec<&str> {
        outline(image, id).map_or_else(Vec::new, |o| {
            image.outline_broader(o).map(|b| image.outline_id(b)).collect()
        })
    };
    let same = |p: &&str| *p == asked || broader(p).contains(&asked) || broader(asked).contains(p);
    (!e.punch.is_empty()).then(|| e.punch.iter().any(same))
}

/// The number of an outline by its word.
pub fn outline(image: &Image, id: &str) -> Option<usize> {
    (0..image.meta(Meta::Outlines)).find(|o| image.outline_id(*o) == id)
}
