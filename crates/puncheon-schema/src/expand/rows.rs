//! From regimes and marks to the sets of marks that could stand together, and the rows that hold them.

use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

use super::Places;
use super::letters::{Letter, letters_of};
use super::spans::{covers, cuts};
use crate::date::Bound;
use crate::entry::{Basis, Confidence, Due, Mark, Name, Origin, Regime, Slot};
use crate::image::SLOTS;
use crate::read::{Entries, Index};
use jiff::civil::Date;

/// A fact mark in the image: one device, one slot, one entry.
#[derive(Clone, Debug)]
pub(super) struct Fact<'a> {
    pub(super) id: &'a str,
    pub(super) file: &'a str,
    pub(super) device: usize,
    pub(super) slot: Slot,
    pub(super) due: Due,
    pub(super) outline: Option<usize>,
    pub(super) basis: Basis,
    pub(super) confidence: Confidence,
    pub(super) cites: &'a [String],
    pub(super) from: Bound,
    pub(super) to: Option<Bound>,
    pub(super) statute: &'a str,
}

/// A set of marks that could have been struck on one day, as numbers.
pub(super) struct Row {
    pub(super) letter: usize,
    pub(super) standard: usize,
    pub(super) origin: Origin,
    pub(super) set: usize,
    pub(super) begins: Option<Date>,
    pub(super) ends: Option<Date>,
}

/// Groups of alternatives: due, then the facts.
pub(super) type Set = Vec<(bool, Vec<usize>)>;

/// What the entries come to.
pub(super) struct Expanded<'a> {
    pub(super) facts: Vec<Fact<'a>>,
    pub(super) sets: Vec<Set>,
    pub(super) letters: Vec<Letter>,
    pub(super) rows: Vec<Row>,
    /// The rows of each office.
    pub(super) offices: Vec<Range<usize>>,
}

/// The entries on the way to rows.
pub(super) struct Build<'a> {
    e: &'a Entries,
    standard_at: &'a Index<'a>,
    facts: Vec<Fact<'a>>,
    /// For each mark entry, shared or an office's own: the entry, whose office, its fact.
    marks: Vec<(&'a Mark, Option<usize>, usize)>,
    /// For each regime: the entry and the facts of its marks.
    regimes: Vec<(&'a Regime, Vec<usize>)>,
}

impl<'a> Build<'a> {
    pub(super) fn new(e: &'a Entries, at: &'a Places<'a>) -> Self {
        let standard_at = &at.standards;
        let mut b =
            Build { e, standard_at, facts: Vec::new(), marks: Vec::new(), regimes: Vec::new() };
        let outline =
            |o: &Option<Name>| o.as_ref().and_then(|o| at.outlines.get(o.0.as_str())).copied();
        let shared = e.marks.iter().map(|f| (&f.entry, None, f.file.as_str()));
        let own =
            e.offices.iter().enumerate().flat_map(|(i, f)| {
                f.entry.marks.iter().map(move |m| (m, Some(i), f.file.as_str()))
            });
        for (mark, office, file) in shared.chain(own) {
            let Some(&device) = at.devices.get(mark.device.as_str()) else {
                continue;
            };
            b.marks.push((mark, office, b.facts.len()));
            b.facts.push(Fact {
                id: &mark.id,
                file,
                device,
                slot: mark.slot,
                due: mark.due,
                outline: outline(&mark.outline),
                basis: mark.basis,
                confidence: mark.confidence,
                cites: &mark.cites,
                from: mark.from,
                to: mark.to,
                statute: "",
            });
        }
        for f in &e.regimes {
            let r = &f.entry;
            let mut ids = Vec::new();
            for s in &r.marks {
                let Some(&device) = at.devices.get(s.device.as_str()) else {
                    continue;
                };
                ids.push(b.facts.len());
                b.facts.push(Fact {
                    id: &r.id,
                    file: &f.file,
                    device,
                    slot: Slot::Standard,
                    due: s.due,
                    outline: outline(&s.outline),
                    basis: r.basis,
                    confidence: r.confidence,
                    cites: &r.cites,
                    from: r.from,
                    to: r.to,
                    statute: &r.statute,
                });
            }
            b.regimes.push((r, ids));
        }
        b
    }

    pub(super) fn run(self) -> Expanded<'a> {
        let mut sets: Vec<Set> = Vec::new();
        let mut set_at: HashMap<Set, usize> = HashMap::new();
        let (mut letters, mut rows, mut offices) = (Vec::new(), Vec::new(), Vec::new());
        for (o, f) in self.e.offices.iter().enumerate() {
            let first = rows.len();
            let office = &f.entry;
            let here = |offices: &[String]| office.is_named(offices);
            let regimes: Vec<_> = self.regimes.iter().filter(|(r, _)| here(&r.offices)).collect();
            let marks: Vec<_> = self
                .marks
                .iter()
                .filter(|(m, own, _)| own.map_or_else(|| here(&m.offices), |x| x == o))
                .collect();
            for letter in letters_of(office, o) {
                for class in self.classes(&letter, &regimes, &marks) {
                    for (lo, hi, begins, ends) in self.stretches(&letter, &class, &regimes, &marks)
                    {
                        for set in self.sets(&letter, &class, lo, hi, &regimes, &marks) {
                            let set = *set_at.entry(set).or_insert_with_key(|s| {
                                sets.push(s.clone());
                                sets.len() - 1
                            });
                            rows.push(Row {
                                letter: letters.len(),
                                standard: class.standard,
                                origin: class.origin,
                                set,
                                begins,
                                ends,
                            });
                        }
                    }
                }
                letters.push(letter);
            }
            offices.push(first..rows.len());
        }
        merge_rows(&mut rows, &mut offices);
        Expanded { facts: self.facts, sets, letters, rows, offices }
    }

    /// The article classes an office could mark during a letter.
    fn classes(
        &self,
        letter: &Letter,
        regimes: &[&(&Regime, Vec<usize>)],
        marks: &[&(&'a Mark, Option<usize>, usize)],
    ) -> Vec<Class> {
        let touches = |from: Bound, to: Option<Bound>| {
            from.first_day().map_or(letter.to >= from.year(), |(d, _)| d <= letter.hi)
                && to.is_none_or(|b| {
                    b.last_day().map_or(letter.year <= b.year(), |(d, _)| d >= letter.lo)
                })
        };
        let mut out: Vec<Class> = Vec::new();
        for (r, _) in regimes {
            if !touches(r.from, r.to) {
                continue;
            }
            let Some(&standard) = self.standard_at.get(r.standard.as_str()) else {
                continue;
            };
            let mut add = |c: Class| {
                if !out.contains(&c) {
                    out.push(c);
                }
            };
            add(Class { standard, origin: r.origin, opened: false });
            if r.origin == Origin::Home
                && marks.iter().any(|(m, ..)| m.opens_foreign && touches(m.from, m.to))
            {
                add(Class { standard, origin: Origin::Foreign, opened: true });
            }
        }
        out
    }

    fn regime_counts(class: &Class, r: &Regime, standard_at: &Index) -> bool {
        standard_at.get(r.standard.as_str()) == Some(&class.standard)
            && r.origin == if class.opened { Origin::Home } else { class.origin }
    }

    fn mark_counts(&self, class: &Class, m: &Mark) -> bool {
        let s = &self.e.standards[class.standard].entry;
        (m.metals.is_empty() || m.metals.contains(&s.metal))
            && (m.standards.is_empty() || m.standards.contains(&s.id))
            && !m.not_standards.contains(&s.id)
            && (m.origin == Origin::Either
                || m.origin == class.origin
                || class.opened && m.origin == Origin::Home)
            && (!m.opens_foreign || class.opened)
            && (m.replaces.is_empty() || !class.opened)
    }

    /// Cuts a letter's time where something of the class changed.
    fn stretches(
        &self,
        letter: &Letter,
        class: &Class,
        regimes: &[&(&Regime, Vec<usize>)],
        marks: &[&(&'a Mark, Option<usize>, usize)],
    ) -> Vec<(Date, Date, Option<Date>, Option<Date>)> {
        let mut at: Vec<(Date, bool)> = Vec::new();
        for (r, _) in
            regimes.iter().filter(|(r, _)| Self::regime_counts(class, r, self.standard_at))
        {
            cuts(r.from, r.to, &mut at);
        }
        for (m, ..) in marks.iter().filter(|(m, ..)| self.mark_counts(class, m)) {
            cuts(m.from, m.to, &mut at);
        }
        at.retain(|(d, _)| letter.lo < *d && *d <= letter.hi);
        // Where a day is both known and not, known wins.
        at.sort_by_key(|(d, exact)| (*d, !exact));
        at.dedup_by_key(|(d, _)| *d);
        let mut out = Vec::new();
        let (mut lo, mut begins) = (letter.lo, letter.begins);
        for (d, exact) in at {
            let last = d.yesterday().unwrap_or(d);
            out.push((lo, last, begins, exact.then_some(last)));
            (lo, begins) = (d, exact.then_some(d));
        }
        out.push((lo, letter.hi, begins, letter.ends));
        out
    }

    /// The sets of marks that could stand over a stretch: one for each regime in force, none if the
    /// class did not exist then. Where a change-over day is not known either set was possible, but
    /// never marks of both.
    fn sets(
        &self,
        letter: &Letter,
        class: &Class,
        lo: Date,
        hi: Date,
        regimes: &[&(&Regime, Vec<usize>)],
        marks: &[&(&'a Mark, Option<usize>, usize)],
    ) -> Vec<Set> {
        let standing: Vec<_> = marks
            .iter()
            .filter(|(m, ..)| self.mark_counts(class, m) && covers(m.from, m.to, letter, lo, hi))
            .collect();
        if class.opened && !standing.iter().any(|(m, ..)| m.opens_foreign) {
            return Vec::new();
        }
        let replaced: BTreeSet<Slot> =
            standing.iter().flat_map(|(m, ..)| m.replaces.iter().copied()).collect();
        let mut common: Set = Vec::new();
        for slot in SLOTS.into_iter().filter(|s| !replaced.contains(s)) {
            let mut must = Vec::new();
            for (m, _, fact) in standing.iter().filter(|(m, ..)| m.slot == slot) {
                if m.due == Due::Must {
                    must.push(*fact);
                } else {
                    common.push((false, vec![*fact]));
                }
            }
            if !must.is_empty() {
                common.push((true, must));
            }
        }
        let mut out: Vec<Set> = Vec::new();
        for (_, facts) in regimes.iter().filter(|(r, _)| {
            Self::regime_counts(class, r, self.standard_at) && covers(r.from, r.to, letter, lo, hi)
        }) {
            let mut set = common.clone();
            set.extend(facts.iter().map(|f| (self.facts[*f].due == Due::Must, vec![*f])));
            if !out.contains(&set) {
                out.push(set);
            }
        }
        out
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Class {
    standard: usize,
    origin: Origin,
    /// Foreign ware under home marks and an F.
    opened: bool,
}

/// Neighbouring stretches with the same set are one row.
fn merge_rows(rows: &mut Vec<Row>, offices: &mut [Range<usize>]) {
    let mut kept: Vec<Row> = Vec::with_capacity(rows.len());
    let mut moved = Vec::with_capacity(rows.len() + 1);
    for r in rows.drain(..) {
        moved.push(kept.len());
        match kept.last_mut() {
            Some(last)
                if (last.letter, last.standard, last.origin, last.set)
                    == (r.letter, r.standard, r.origin, r.set) =>
            {
                *moved.last_mut().unwrap_or(&mut 0) -= 1;
                last.ends = r.ends;
            }
            _ => kept.push(r),
        }
    }
    moved.push(kept.len());
    for o in offices.iter_mut() {
        *o = moved[o.start]..moved[o.end];
    }
    *rows = kept;
}
