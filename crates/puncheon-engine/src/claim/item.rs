//! What is stated of a piece in words, held against its marks: metals and standards, offices and
//! dates, makers, and words that claim what no mark tells.
//!
//! Much that names an office or a date claims none: an engraved date, a town's arms, later work. It is
//! passed over by where it stands.

use std::ops::Range;

use puncheon_schema::entry::Metal;
use puncheon_schema::image::{Image, Meta};

use crate::claim::check::Case;
use crate::claim::claimed::Claim;
use crate::claim::verdict::Ruling;
use crate::fit::answer;
use crate::fit::narrow::{Group, Nears, Options, ones};
use crate::makers::names::not_owned;
use crate::makers::register::Registers;
use crate::metal::Borne;
use crate::place::Place;
use puncheon_lexis::claim::Years;
use puncheon_lexis::grammar::claims;
use puncheon_lexis::grammar::objects::{Fineness, Item, MetalNamed, Who};
use puncheon_lexis::phrase::Is;
use puncheon_lexis::said::Stated;
use puncheon_lexis::sighting::What;

/// Where something is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// In what the piece is called.
    Item,
    /// In its measurements.
    Size,
    /// In its condition.
    Condition,
}

/// A set of marks that bears out a metal.
#[derive(Clone, Copy)]
pub struct Bearing<'b> {
    /// Its number among the sets.
    pub set: usize,
    /// What it bears out.
    pub borne: &'b Borne<'b>,
}

/// What is stated and is more than the marks bear out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Excess {
    /// Where it is stated.
    pub place: Where,
    /// The words.
    pub said: String,
    /// Why it is more.
    pub why: Why,
    /// The set that is at fault, where it is one.
    pub set: Option<usize>,
}

/// Why it is more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Marks do not tell it: a boast, by its number in the tables.
    Boast(usize),
    /// It names a maker.
    Maker,
    /// The marks speak against the office, the date or the standard.
    SpokenAgainst,
}

/// What is stated and the marks leave open.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftOpen {
    /// An office, a date or a standard.
    Claim { place: Where, said: String },
    /// A name that the vocabulary does not hold.
    Name(String),
}

/// What of an item's texts is more than the marks bear out; what they leave open beside.
pub fn held_against(
    registers: &Registers,
    texts: &[(Where, &Item)],
    sets: &[Bearing],
    options: &Options,
    open: &mut Vec<LeftOpen>,
) -> Option<Excess> {
    for (place, item) in texts {
        let refused = boast(*place, item, sets)
            .or_else(|| maker(registers, *place, item))
            .or_else(|| spoken_against(*place, item, sets, options, open));
        if refused.is_some() {
            return refused;
        }
    }
    let named = texts.iter().filter(|(place, _)| *place == Where::Item);
    let names = named.filter_map(|(_, item)| Some(item.said(&item.unknown_names()?)));
    open.extend(names.map(|name| LeftOpen::Name(name.to_string())));
    open.dedup();
    None
}

/// Words that claim more than the marks bear out.
fn boast(place: Where, item: &Item, sets: &[Bearing]) -> Option<Excess> {
    let image = item.image;
    for (boast, nth, at) in item.boasts() {
        let view = image.boast(*boast);
        let phrase = view.say().nth(*nth);
        // A standard may be called what would be a boast of others: fine silver.
        let standard = |b: &Borne| b.standard.map(|s| image.standard(s).name()) == phrase;
        let offices: Vec<u32> = view.offices().collect();
        let here = |g: &Group| offices.contains(&g.key.office);
        let at_home = |b: &Borne| !offices.is_empty() && b.spoken_of().all(here);
        let bears = |s: &&Bearing| standard(s.borne) || at_home(s.borne);
        let Some(set) = sets.iter().find(|s| !bears(s)) else { continue };
        if !offices.is_empty() && (item.on_it(at.start) || item.styled(at.end)) {
            continue;
        }
        let said = item.said(at).to_string();
        return Some(Excess { place, said, why: Why::Boast(*boast), set: Some(set.set) });
    }
    None
}

/// A maker's name: one of the register, or a name behind "by".
fn maker(registers: &Registers, place: Where, item: &Item) -> Option<Excess> {
    let refuse = |at: Range<usize>| Excess {
        place,
        said: item.said(&at).to_string(),
        why: Why::Maker,
        set: None,
    };
    let words: Vec<(Range<usize>, &str)> = item.words().collect();
    let typed: Vec<&str> = words.iter().map(|w| w.1).collect();
    let known = registers.index().whole_names(registers, &typed).into_iter();
    let known = known.filter_map(|run| {
        let (first, last) = (words.get(run.start)?, words.get(run.end.checked_sub(1)?)?);
        Some(first.0.start..last.0.start + not_owned(last.1).len())
    });
    let mut known = known.filter(|at| !item.another(at.start));
    let behind_by = || {
        let mut named = item.attributed().into_iter();
        named.find(|(who, ..)| *who == Who::Maker).map(|(_, at, _)| at)
    };
    known.next().or_else(behind_by).map(refuse)
}

/// An office, a date or a standard that is stated is held against the marks.
fn spoken_against(
    place: Where,
    item: &Item,
    sets: &[Bearing],
    options: &Options,
    open: &mut Vec<LeftOpen>,
) -> Option<Excess> {
    let mut claims = stated(place, item, sets);
    claims.extend(standards_named(item).into_iter().map(|(m, standards)| {
        let standards = standards.into_iter().map(|s| item.image.standard(s).id().to_string());
        let claim = Claim { standards: standards.collect(), ..Claim::default() };
        (item.said(&m.at), claim)
    }));
    let mut held: Vec<String> = Vec::new();
    claims.retain(|(said, _)| {
        let said = said.to_lowercase();
        let new = !held.contains(&said);
        held.push(said);
        new
    });
    for (said, claim) in claims {
        for set in sets {
            match ruled(&claim, set.borne, options) {
                Ruling::Holds => {}
                Ruling::Fails => {
                    return Some(Excess {
                        place,
                        said: said.to_string(),
                        why: Why::SpokenAgainst,
                        set: Some(set.set),
                    });
                }
                _ => open.push(LeftOpen::Claim { place, said: said.to_string() }),
            }
        }
    }
    None
}

/// How a claim stands to a set of marks.
fn ruled(claim: &Claim, b: &Borne, options: &Options) -> Ruling {
    let options = options.with(Nears::Always);
    let decided = answer::decide(b.image(), &b.seen, &options);
    let case = Case { claim, seen: &b.seen, options: &options, decided: &decided, makers: &[] };
    case.decide().verdict
}

/// The offices and dates that an item states of the piece itself.
fn stated<'w>(place: Where, item: &Item<'_, 'w>, sets: &[Bearing]) -> Vec<(&'w str, Claim)> {
    let stretches = claims::stretches(item.image, &item.pieces.text, &item.seen);
    let dated = stretches.into_iter().flat_map(|at| claimed_in(item, at));
    let towns = item.seen.sightings.iter().filter_map(|s| match s.what {
        What::Town(o) => {
            let offices = vec![Place::office(item.image, o as usize)];
            Some((s.start..s.end, Claim { offices, ..Claim::default() }))
        }
        _ => None,
    });
    let says = |c: &Claim| !(c.offices.is_empty() && c.years.is_empty() && c.standards.is_empty());
    let all = dated.chain(towns).filter(|(_, claim)| says(claim));
    let all = all.filter(|(at, claim)| !innocent(place, item, at, claim, sets));
    all.map(|(at, claim)| (item.said(&at), claim)).collect()
}

/// What a stretch of an item claims: one claim where words join its dates, "late C18th/early C19th".
fn claimed_in(item: &Item, at: Range<usize>) -> Vec<(Range<usize>, Claim)> {
    let inside = item.seen.claimed.iter().filter(|c| at.contains(&c.start));
    let alone: Vec<_> = inside.map(|c| (c.start..c.end, dated(item, c))).collect();
    if alone.len() < 2 {
        return alone;
    }
    let words = item.said(&at);
    match claims::read(item.image, words, &|_| Vec::new()).said {
        Ok(said) => vec![(at.clone(), Claim::made(item.image, words, &said))],
        Err(_) => alone,
    }
}

/// A claim as it was read among marks.
fn dated(item: &Item, c: &Stated) -> Claim {
    let image = item.image;
    let pieces = item.pieces.pieces.iter();
    let mut within = pieces.filter(|p| c.start <= p.start && p.end <= c.end);
    // "1803/04" is the one letter of 1803.
    let pair = within.any(|p| match p.what {
        Is::Years(a, b) => {
            let figures = item.said(&(p.start..p.end)).bytes().all(|b| b.is_ascii_digit());
            b == a + 1 && !figures
        }
        _ => false,
    });
    let to = match (c.from, c.to) {
        (Some(_), Some(to)) if pair => Some(to - 1),
        (_, to) => to,
    };
    let years = Years { from: c.from, to, one_letter: pair && c.from == to };
    let some_years = c.from.is_some() || c.to.is_some();
    Claim {
        offices: c.office.map(|o| Place::office(image, o as usize)).into_iter().collect(),
        years: some_years.then_some(years).into_iter().collect(),
        periods: c.period.map(|r| image.reign(r as usize).name().to_string()).into_iter().collect(),
        standards: c
            .standard
            .map(|s| image.standard(s as usize).id().to_string())
            .into_iter()
            .collect(),
        ..Claim::default()
    }
}

/// Does an office or a date claim nothing of the piece itself: a date of later work or engraving, a
/// town's arms, a period's decoration?
fn innocent(place: Where, item: &Item, at: &Range<usize>, claim: &Claim, sets: &[Bearing]) -> bool {
    let p = item.place(at);
    if !claim.offices.is_empty() {
        return place != Where::Size && (p.of_a_name || p.owns || p.of || p.on_it);
    }
    // A date: what was done then stands before it, and a period right behind it is one of the piece.
    let period = !claim.periods.is_empty();
    let done = match p.dated {
        true => later(claim, sets),
        false => p.done && !(period && p.right_behind),
    };
    // A period's decoration, engraving or style; in a condition, a period's anything.
    done || p.decorates || place == Where::Condition && period && p.followed
}

/// Is it later than the marks, so that it was put there later?
fn later(claim: &Claim, sets: &[Bearing]) -> bool {
    let last = sets.iter().flat_map(|s| s.borne.spoken_of()).map(|f| f.to).max();
    let first = claim.years.iter().filter_map(|y| y.from).min();
    first.is_some_and(|y| last.is_some_and(|last| y > last))
}

/// The first words of a text that name a precious metal, or a standard of one, other than `borne`.
pub fn unborne<'w>(item: &Item<'_, 'w>, borne: Option<Metal>) -> Option<&'w str> {
    let of = |s: &usize| Some(item.image.standard(*s).metal()) == borne;
    let named = standards_named(item).into_iter();
    let mut named = named.filter(|(_, standards)| !standards.iter().any(of));
    named.next().map(|(m, _)| item.said(&m.at))
}

/// The words of a text that name a standard or a metal, each with the standards that it may be.
fn standards_named(item: &Item) -> Vec<(MetalNamed, Vec<usize>)> {
    let named = item.metals().into_iter();
    let named = named.map(|m| {
        let standards = standards_of(item.image, &m.says);
        (m, standards)
    });
    named.filter(|(_, standards)| !standards.is_empty()).collect()
}

/// The standards of which all is true that is said: "925 silver". A metal narrows what figures leave.
fn standards_of(image: &Image, says: &[Fineness]) -> Vec<usize> {
    let all = || 0..image.meta(Meta::Standards);
    let of = |f: &Fineness| -> Vec<usize> {
        match f {
            Fineness::Metal(m) => all().filter(|s| image.standard(*s).metal() == *m).collect(),
            Fineness::Standard(s) => vec![*s as usize],
            Fineness::Mark(d) => {
                let mut rows = vec![0; image.width()];
                image.device_bits(*d as usize, 0).add_to(&mut rows, 0);
                let mut shown: Vec<usize> = ones(&rows).map(|r| image.row(r).standard()).collect();
                shown.sort_unstable();
                shown.dedup();
                shown
            }
        }
    };
    let mut each = says.iter().map(of);
    let mut out = each.next().unwrap_or_default();
    for next in each {
        let both: Vec<usize> = out.iter().copied().filter(|s| next.contains(s)).collect();
        // Two that are not of one metal say both.
        match both.is_empty() {
            true => out.extend(next),
            false => out = both,
        }
    }
    out
}

/// Does a fineness say once more what the marks bear out?
pub fn says_again(image: &Image, b: &Borne, f: Fineness) -> bool {
    let of = |m: Metal| Some(m) == b.metal;
    match f {
        Fineness::Metal(m) => of(m),
        Fineness::Standard(s) => of(image.standard(s as usize).metal()),
        Fineness::Mark(_) => true,
    }
}
