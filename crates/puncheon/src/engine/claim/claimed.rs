//! What a seller says: a set of offices, of letter years and of standards, read from words such as
//! "an office 1908", "about 1790, sterling" or "18 ct, 1880s".

use std::fmt;
use std::ops::Range;

use puncheon_schema::entry::{Metal, Origin};
use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta, RowView};
use serde::Serialize;

use crate::engine::claim::attributed;
use crate::engine::fit::letter_year::joined;
use crate::engine::place::Place;
use crate::lexis::grammar::claims;
use crate::lexis::sighting::Sightings;
use crate::tables::Tables;
use crate::voice::letters::letters_run;

/// Standards whose dates are told; a metal alone stands for more.
const MOST_STANDARDS: usize = 3;

/// What is said of a piece, to be held against its marks. An empty list claims nothing of its kind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Claim {
    /// The words, as typed.
    pub text: String,
    /// Offices.
    pub offices: Vec<Place>,
    /// Spans of years, any of which will do.
    pub years: Vec<Years>,
    /// Reigns and periods named.
    pub periods: Vec<String>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Words that bear on none of these.
    pub not_used: Vec<Unused>,
    /// How words such as "about" and "1890s" were taken, a sentence each.
    #[serde(skip)]
    pub conventions: Vec<String>,
    /// The words say that the piece was brought in from abroad.
    #[serde(skip)]
    pub imported: bool,
    /// Signs named that bear on what the marks vouch for, by their numbers in the tables.
    #[serde(skip)]
    pub(crate) signs: Vec<u32>,
}

/// Calendar years, first and last; None is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Years {
    /// First year.
    pub from: Option<i32>,
    /// Last year.
    pub to: Option<i32>,
    /// One letter was named, as in 1803/04: a letter that only runs into its year is not it.
    pub one_letter: bool,
}

/// Words of a claim that were put aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unused {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
}

/// Why a claim cannot be read: where, what is wrong, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ClaimError {
    /// The claim, as typed.
    pub claim: String,
    /// The words at fault, in bytes of the claim; empty where it is the whole.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub wrong: String,
    /// What would be right.
    pub remedy: String,
    /// The claim was understood and cannot be so: it names what never bore a dated hallmark.
    pub impossible: bool,
}

impl fmt::Display for ClaimError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.wrong)?;
        if !self.at.is_empty() && !self.claim.contains(['\n', '\r', '\t']) {
            let before = self.claim[..self.at.start].chars().count();
            let under = self.claim[self.at.clone()].chars().count();
            write!(f, "\n  {}", self.claim)?;
            write!(f, "\n  {}{}", " ".repeat(before), "^".repeat(under))?;
        }
        write!(f, "\n  {}", self.remedy)
    }
}

impl std::error::Error for ClaimError {}

/// Where a span of letter years lies to a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Standing {
    /// Every letter year lies in the claim.
    Inside,
    /// Only part does, or only the later calendar year of a letter.
    Half,
    /// None does.
    Outside,
}

impl Years {
    fn holds(self, year: i32) -> bool {
        self.from.is_none_or(|f| f <= year) && self.to.is_none_or(|t| year <= t)
    }

    /// The years of both.
    pub(crate) fn and(self, other: Years) -> Option<Years> {
        let later = |a: Option<i32>, b: Option<i32>| a.max(b);
        let sooner = |a: Option<i32>, b: Option<i32>| match (a, b) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let both = Years {
            from: later(self.from, other.from),
            to: sooner(self.to, other.to),
            one_letter: self.one_letter || other.one_letter,
        };
        match (both.from, both.to) {
            (Some(a), Some(b)) if a > b => None,
            _ => Some(both),
        }
    }
}

impl fmt::Display for Years {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match (self.from, self.to) {
            (Some(a), Some(b)) if a == b => write!(f, "{a}"),
            (Some(a), Some(b)) => write!(f, "{a} to {b}"),
            (Some(a), None) => write!(f, "{a} and later"),
            (None, Some(b)) => write!(f, "{b} and earlier"),
            (None, None) => write!(f, "any year"),
        }
    }
}

impl Claim {
    /// Reads a claim.
    ///
    /// # Errors
    /// If it names no office, year, reign or standard, if a figure or a word that looks like an
    /// office is not understood, or if it contradicts itself: dropping such a word would let the
    /// rest of the claim hold.
    pub fn read(tables: &Tables, claim: &str) -> Result<Claim, ClaimError> {
        let names = |c: &Claim| attributed::named(tables, c);
        claims::read(tables.image(), claim, &names).map_err(|e| {
            let alone = e.wrong.ends_with(claims::NAMES_NOTHING);
            match alone && attributed::names_maker(tables, claim) {
                // Initials prove no maker, so that a name alone cannot be tested.
                true => ClaimError {
                    remedy: "a maker is tested beside an office, a year or a standard; add one"
                        .into(),
                    ..e
                },
                false => e,
            }
        })
    }

    /// The claim that a description makes beside its marks; None if it makes none.
    ///
    /// # Errors
    /// As [`Claim::read`].
    pub fn stated(
        tables: &Tables,
        description: &str,
        seen: &Sightings,
    ) -> Result<Option<Claim>, ClaimError> {
        if seen.claimed.is_empty() {
            return Ok(None);
        }
        let words: Vec<&str> = seen
            .claimed
            .iter()
            .map(|c| {
                // "1790?" is about 1790.
                let asked = description[c.end..].starts_with('?');
                &description[c.start..c.end + usize::from(asked)]
            })
            .collect();
        Claim::read(tables, &words.join(", ")).map(Some)
    }

    /// Is the office one that is claimed?
    pub(crate) fn office(&self, id: &str) -> bool {
        self.offices.is_empty() || self.offices.iter().any(|o| o == id)
    }

    /// May a row be of the ware that is claimed?
    pub(crate) fn ware(&self, row: RowView) -> bool {
        !self.imported || row.origin() == Origin::Foreign
    }

    /// Is the standard one that is claimed?
    pub(crate) fn standard(&self, id: &str) -> bool {
        self.standards.is_empty() || self.standards.iter().any(|s| s == id)
    }

    fn year(&self, year: i32) -> bool {
        self.years.is_empty() || self.years.iter().any(|y| y.holds(year))
    }

    /// Does a letter year lie in the claim, with its office and standard?
    pub(crate) fn holds(&self, image: &Image, row: RowView) -> bool {
        let letter = row.letter();
        self.office(image.office(letter.office()).id())
            && self.standard(image.standard(row.standard()).id())
            && self.ware(row)
            && self.in_years(row)
    }

    /// Does a letter year lie in the years claimed?
    pub(crate) fn in_years(&self, row: RowView) -> bool {
        let letter = row.letter();
        (letter.year()..=letter.to()).any(|y| self.year(y))
    }

    /// The rows of the tables that lie in the claim.
    pub(crate) fn rows(&self, image: &Image) -> Vec<usize> {
        let standards: Vec<bool> = (0..image.meta(Meta::Standards))
            .map(|s| self.standard(image.standard(s).id()))
            .collect();
        (0..image.meta(Meta::Offices))
            .map(|o| image.office(o))
            .filter(|o| self.office(o.id()))
            .flat_map(|o| o.rows())
            .filter(|r| {
                let row = image.row(*r);
                standards[row.standard()] && self.ware(row) && self.in_years(row)
            })
            .collect()
    }

    /// Where letter years of one office and standard lie. `calendar`: the letters began with the
    /// calendar year, so none runs into the next.
    pub(crate) fn standing(
        &self,
        office: &str,
        standard: &str,
        (from, to): (i32, i32),
        calendar: bool,
    ) -> Standing {
        if !self.office(office) || !self.standard(standard) {
            return Standing::Outside;
        }
        if (from..=to).all(|y| self.year(y)) {
            return Standing::Inside;
        }
        let runs_in = !calendar && self.years.iter().any(|y| !y.one_letter && y.holds(to + 1));
        if runs_in || (from..=to).any(|y| self.year(y)) {
            Standing::Half
        } else {
            Standing::Outside
        }
    }

    /// Why nothing claimed was ever struck: the dates of the offices and standards claimed.
    pub(crate) fn never_struck(&self, image: &Image) -> String {
        let rows = || (0..image.meta(Meta::Rows)).map(|r| image.row(r));
        // Letter years without a gap between them.
        let runs = |of: &dyn Fn(RowView) -> bool| {
            let mut years: Vec<(i32, i32)> =
                rows().filter(|r| of(*r)).map(|r| (r.letter().year(), r.letter().to())).collect();
            years.sort_unstable();
            joined(years)
        };
        let now = (0..image.meta(Meta::Offices)).map(|o| image.office(o).years().1).max();
        let offices: Vec<usize> = (0..image.meta(Meta::Offices))
            .filter(|o| !self.offices.is_empty() && self.office(image.office(*o).id()))
            .collect();
        // Each standard by itself, or the metal where all its standards are meant.
        let standards: Vec<usize> = (0..image.meta(Meta::Standards))
            .filter(|s| !self.standards.is_empty() && self.standard(image.standard(*s).id()))
            .collect();
        let mut metals: Vec<Metal> = standards.iter().map(|s| image.standard(*s).metal()).collect();
        metals.dedup();
        let marked = |o: Option<usize>, what: &str, of: &dyn Fn(RowView) -> bool| {
            let place = if o.is_some() { " there" } else { "" };
            let here = |r: RowView| o.is_none_or(|o| r.letter().office() == o) && of(r);
            let run = |(from, to): &(i32, i32)| match Some(*to) == now {
                true => format!("since {from}"),
                false => format!("from {from} to {to}"),
            };
            match runs(&here).as_slice() {
                [] => format!("{what} was never marked{place}"),
                [(from, to)] if Some(*to) == now => {
                    format!("{what} has been marked{place} since {from}")
                }
                all => {
                    let all: Vec<String> = all.iter().map(run).collect();
                    format!("{what} was marked{place} {}", all.join(" and "))
                }
            }
        };
        let told = |o: Option<usize>| -> Vec<String> {
            if standards.len() > MOST_STANDARDS {
                metals
                    .iter()
                    .map(|m| {
                        let of = |r: RowView| image.standard(r.standard()).metal() == *m;
                        marked(o, export::metal(*m), &of)
                    })
                    .collect()
            } else {
                standards
                    .iter()
                    .map(|s| marked(o, image.standard(*s).name(), &|r| r.standard() == *s))
                    .collect()
            }
        };
        let mut parts = Vec::new();
        for o in &offices {
            let office = image.office(*o);
            let (first, last) = office.years();
            let mut said = letters_run(image, *o);
            let wanted = self.span();
            let before = wanted.1.unwrap_or(i32::MAX).min(last);
            let inside = wanted.0.is_none_or(|a| a <= last) && wanted.1.is_none_or(|b| b >= first);
            let open = |y: i32| {
                office.rows().any(|r| {
                    let l = image.row(r).letter();
                    l.year() <= y && y <= l.to()
                })
            };
            if inside && !open(before) {
                let gap_from = (first..before).rev().find(|y| open(*y)).map_or(first, |y| y + 1);
                let gap_to = (before..=last).find(|y| open(*y)).map_or(last, |y| y - 1);
                said.push_str(&format!(", and the tables hold none for {gap_from} to {gap_to}"));
            } else if office.open() && wanted.0.is_some_and(|a| a > last) {
                said.push_str(&format!(", and the tables end with {last}"));
            }
            parts.push(said);
            if self.imported {
                let foreign = |r: RowView| self.ware(r);
                parts.push(marked(Some(*o), "foreign ware", &foreign));
            }
            parts.extend(told(Some(*o)));
        }
        if offices.is_empty() {
            parts.extend(told(None));
        }
        if parts.is_empty() {
            parts.push("the tables hold no letter of those years".into());
        }
        parts.join("; ")
    }

    /// What was understood, in words.
    pub fn read_as(&self, tables: &Tables) -> String {
        let image = tables.image();
        let offices = (0..image.meta(Meta::Offices))
            .map(|o| image.office(o))
            .filter(|o| self.offices.iter().any(|id| id == o.id()))
            .map(|o| o.name());
        let years = self.years.iter().map(Years::to_string);
        let standards: Vec<&str> = (0..image.meta(Meta::Standards))
            .map(|s| image.standard(s))
            .filter(|s| self.standards.iter().any(|id| id == s.id()))
            .map(|s| s.name())
            .collect();
        let mut parts = vec![offices.collect::<Vec<_>>().join(" or ")];
        parts.push(years.collect::<Vec<_>>().join(" or "));
        parts.push(match standards.len() {
            0..=3 => standards.join(" or "),
            n => format!("one of {n} standards"),
        });
        parts.retain(|p| !p.is_empty());
        parts.join(", ")
    }

    /// First and last year claimed; None is open.
    pub(crate) fn span(&self) -> (Option<i32>, Option<i32>) {
        let ends = |f: fn(&Years) -> Option<i32>| -> Option<Vec<i32>> {
            self.years.iter().map(f).collect()
        };
        (
            ends(|y| y.from).and_then(|v| v.into_iter().min()),
            ends(|y| y.to).and_then(|v| v.into_iter().max()),
        )
    }
}
