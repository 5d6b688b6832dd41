//! The letters of an office, each with the days on which it can have been struck.

use std::collections::BTreeSet;

use crate::date::Bound;
use crate::entry::{Basis, Case, Confidence, Cycle, Metal, Office, YearNote};
use crate::letters::{self, Struck};
use crate::letters::{Place, sister};
use jiff::civil::Date;

/// A letter of one office, as a row sees it.
#[derive(Clone, Debug)]
pub(super) struct Letter {
    pub(super) office: usize,
    pub(super) year: i32,
    pub(super) to: i32,
    pub(super) shown: String,
    pub(super) value: Option<String>,
    pub(super) case: Case,
    pub(super) lettering: Option<String>,
    pub(super) confidence: Confidence,
    pub(super) lettering_confidence: Confidence,
    pub(super) case_confidence: Confidence,
    pub(super) basis: Basis,
    pub(super) cites: Vec<String>,
    pub(super) rival: bool,
    pub(super) optional: bool,
    pub(super) calendar: bool,
    pub(super) outlines: [Option<String>; 2],
    pub(super) cycle: String,
    /// The cycle strikes the sister letter too (J beside I, V beside U).
    pub(super) sisters: Vec<String>,
    /// Earliest and latest day it can have been struck.
    pub(super) lo: Date,
    pub(super) hi: Date,
    /// The days themselves, where known.
    pub(super) begins: Option<Date>,
    pub(super) ends: Option<Date>,
}

/// The day a letter year began: earliest, and whether that is the day itself; then latest.
fn start(office: &Office, year: i32) -> Option<(Date, Date, bool)> {
    let s = office.year_starts.iter().find(|s| s.from <= year && s.to.is_none_or(|t| year <= t))?;
    let lo = s.day.in_year(year);
    let hi = s.latest.map_or(lo, |l| l.in_year(year));
    Some((lo, hi, s.latest.is_none()))
}

/// When a letter year can have ended: latest, and whether that is the day itself.
fn end(office: &Office, year: i32) -> (Date, bool) {
    let next = start(office, year + 1)
        .map(|(_, hi, exact)| (hi.yesterday().unwrap_or(hi), exact))
        .filter(|_| office.closed.is_none_or(|c| c.year() > year));
    let closed = office
        .closed
        .and_then(Bound::last_day)
        .filter(|_| office.closed.is_some_and(|c| c.year() <= year + 1));
    match (next, closed) {
        // The office may have closed before the next letter was due, or after it began.
        (Some(n), Some(c)) if c.0 < n.0 => (c.0, c.1 && n.1),
        (Some(n), _) => n,
        (None, Some(c)) => c,
        // The last year of a closed office, or a year before an unknown start.
        (None, None) => {
            let calendar =
                start(office, year).is_some_and(|(lo, ..)| lo.month() == 1 && lo.day() == 1);
            (Date::constant(year as i16 + i16::from(!calendar), 12, 31), false)
        }
    }
}

/// The letters of an office in order of years, rivals after the chosen letter of their year.
pub(super) fn letters_of(office: &Office, number: usize) -> Vec<Letter> {
    let mut out: Vec<Letter> = Vec::new();
    for cycle in &office.cycles {
        Run::new(office, number, cycle).letters(&mut out);
    }
    out.sort_by_key(|l| l.year);
    out
}

/// A run of letters and the office that struck it.
struct Run<'a> {
    office: &'a Office,
    number: usize,
    cycle: &'a Cycle,
    id: String,
    sisters: Vec<String>,
}

impl<'a> Run<'a> {
    fn new(office: &'a Office, number: usize, cycle: &'a Cycle) -> Self {
        let struck: BTreeSet<String> = cycle
            .letters
            .split_whitespace()
            .filter_map(|t| letters::place(t).ok())
            .flat_map(|p| match p {
                Place::Struck(v) => v.into_iter().map(|s| s.value).collect(),
                _ => Vec::new(),
            })
            .collect();
        Run {
            office,
            number,
            cycle,
            id: format!("{}.{}", office.id, cycle.from),
            sisters: struck.into_iter().filter(|v| sister(v).is_some()).collect(),
        }
    }

    /// Adds the letters of the run, year by year.
    fn letters(&self, out: &mut Vec<Letter>) {
        let cycle = self.cycle;
        for (year, token) in (cycle.from..).zip(cycle.letters.split_whitespace()) {
            let note = cycle.years.iter().find(|n| n.year == year);
            let token = note.and_then(|n| n.letter.as_deref()).unwrap_or(token);
            let Ok(place) = letters::place(token) else {
                continue;
            };
            if place == Place::Carried {
                self.carry(year, note, out);
                continue;
            }
            let year_of = self.unlettered(year, note);
            match place {
                Place::Unknown => out.push(self.struck(&year_of, "", None, false)),
                Place::Struck(v) => {
                    let chosen =
                        |s: Struck| self.struck(&year_of, &s.shown, Some(s.value), s.varies);
                    out.extend(v.into_iter().map(chosen));
                }
                Place::Carried => {}
            }
            out.extend(self.rivals(&year_of));
        }
    }

    /// The letter of the year before was struck for another year.
    fn carry(&self, year: i32, note: Option<&YearNote>, out: &mut [Letter]) {
        let (hi, exact) = end(self.office, year);
        if let Some(l) = out.iter_mut().rev().find(|l| !l.rival) {
            l.to = year;
            l.hi = hi;
            l.ends = exact.then_some(hi);
            let confidence = note.and_then(|n| n.confidence).unwrap_or(self.cycle.confidence);
            l.confidence = l.confidence.max(confidence);
        }
    }

    /// What holds of every letter of a year, before the letter itself.
    fn unlettered(&self, year: i32, note: Option<&YearNote>) -> Letter {
        let (office, cycle) = (self.office, self.cycle);
        let (lo, _, lo_exact) = start(office, year).unwrap_or((
            Date::constant(year as i16, 1, 1),
            Date::constant(year as i16, 12, 31),
            false,
        ));
        let (hi, hi_exact) = end(office, year);
        Letter {
            office: self.number,
            year,
            to: year,
            shown: String::new(),
            value: None,
            case: note.and_then(|n| n.case).or(cycle.case).unwrap_or(Case::Either),
            lettering: note
                .and_then(|n| n.lettering.clone())
                .or(cycle.lettering.clone())
                .map(|n| n.0),
            confidence: note.and_then(|n| n.confidence).unwrap_or(cycle.confidence),
            lettering_confidence: cycle.lettering_confidence.unwrap_or(cycle.confidence),
            case_confidence: cycle.case_confidence.unwrap_or(cycle.confidence),
            basis: note.and_then(|n| n.basis).unwrap_or(cycle.basis),
            cites: note.filter(|n| !n.cites.is_empty()).map_or(&cycle.cites, |n| &n.cites).clone(),
            rival: false,
            optional: office
                .letter_optional
                .iter()
                .any(|s| s.from <= year && s.to.is_none_or(|t| year <= t)),
            calendar: lo.month() == 1 && lo.day() == 1 && lo_exact,
            outlines: [Metal::Silver, Metal::Gold].map(|metal| {
                cycle
                    .outlines
                    .iter()
                    .find(|o| o.metal == metal && o.from <= year && year <= o.to)
                    .map(|o| o.outline.0.clone())
            }),
            cycle: self.id.clone(),
            sisters: self.sisters.clone(),
            lo,
            hi,
            begins: lo_exact.then_some(lo),
            ends: hi_exact.then_some(hi),
        }
    }

    /// A letter of the year, in its own case and with its own days.
    fn struck(&self, year: &Letter, shown: &str, value: Option<String>, varies: bool) -> Letter {
        let mut l = year.clone();
        l.shown = shown.into();
        l.value = value;
        // Where the run has a case at all, each letter is written in its own.
        if l.case != Case::Either
            && let Some(c) = l.shown.chars().find(char::is_ascii_alphabetic)
        {
            l.case = if c.is_ascii_uppercase() { Case::Upper } else { Case::Lower };
        }
        if varies || l.shown.chars().all(|c| !c.is_ascii_alphabetic()) || l.shown.starts_with('{') {
            l.case = Case::Either;
        }
        let short = self.cycle.short.iter().find(|s| s.year == l.year && s.letter == l.shown);
        if let Some(s) = short {
            if let Some((d, exact)) = s.begins.and_then(Bound::first_day) {
                l.lo = d;
                l.begins = exact.then_some(d);
            }
            if let Some((d, exact)) = s.ends.and_then(Bound::last_day) {
                l.hi = d;
                l.ends = exact.then_some(d);
            }
        }
        l
    }

    /// Letters that other lists give for the year.
    fn rivals(&self, year: &Letter) -> Vec<Letter> {
        let named = self.cycle.candidates.iter().filter(|c| c.year == year.year);
        named
            .flat_map(|c| c.letters.split_whitespace())
            .filter_map(|t| letters::place(t).ok())
            .flat_map(|p| match p {
                Place::Struck(v) => v,
                _ => Vec::new(),
            })
            .map(|s| Letter {
                rival: true,
                confidence: Confidence::Low,
                ..self.struck(year, &s.shown, Some(s.value), s.varies)
            })
            .collect()
    }
}
