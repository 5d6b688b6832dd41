//! The marks that a piece of an office, year and standard should bear.

use puncheon_schema::entry::{Metal, Origin, Slot};
use puncheon_schema::image::{Image, MarkView, Meta, RowView};

use crate::claim::claimed::Claim;
use crate::fit::letter_year::{joined, letter_of};

/// What is asked: offices, years and standards as a claim names them, and bounds on them.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The offices, years and standards.
    pub claim: Claim,
    /// silver, gold, platinum or palladium; null for any that the claim allows.
    pub metal: Option<Metal>,
    /// Ware brought in from abroad.
    pub imported: bool,
}

/// The marks expected.
pub struct Expectation {
    /// The sets; empty if nothing was struck.
    pub sets: Vec<Set>,
    /// What the office first struck in the year asked, where one is.
    pub began: Vec<Change>,
    /// What it struck for the last time.
    pub ended: Vec<Change>,
    /// Marks of the offices that could not stand then, the nearest in time first.
    pub impossible: Vec<OtherTimes>,
    /// Other standards that the offices marked then.
    pub others: Vec<usize>,
    /// Why nothing was struck.
    pub nothing: Option<Nothing>,
}

/// A set of marks that could have been struck on one day, over the letter years that share it.
pub struct Set {
    /// A row for each of the years and days, in order.
    pub rows: Vec<usize>,
    /// Its date letters, by their numbers.
    pub letters: Vec<usize>,
    /// The rules of the tables that ask for a sponsor's mark in any of its years.
    pub asking: Vec<usize>,
    /// They ask for one in all its years.
    pub sponsor_due: bool,
    /// Its places but those of the letter and the sponsor.
    pub places: Vec<Place>,
}

/// One place of a set, with the marks of which any may fill it.
pub struct Place {
    /// The slot of its marks.
    pub slot: Slot,
    /// How many places of that slot stand before it.
    nth: usize,
    /// Rows that have it.
    rows: usize,
    /// The law or the office's rule asks for it; else it was struck by choice.
    pub due: bool,
    /// The marks, by their numbers.
    pub marks: Vec<usize>,
}

/// What an office began to strike, or struck for the last time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// A standard, by its number.
    Standard(usize),
    /// A mark in its slot.
    Mark {
        /// The slot.
        slot: Slot,
        /// The device, by its number.
        device: usize,
        /// The metals on which it changed; none for all that were marked.
        on: Vec<Metal>,
    },
    /// All its letters.
    Letters,
    /// A run of letters.
    Run,
}

/// A mark that an office struck at other times only.
pub struct OtherTimes {
    /// The office, by its number.
    pub office: usize,
    /// The slot.
    pub slot: Slot,
    /// The device, by its number.
    pub device: usize,
    /// The letter years that struck it, first and last.
    pub years: Vec<(i32, i32)>,
    /// How many years off the nearest is.
    far: i32,
}

/// Why no set answers.
pub enum Nothing {
    /// Nothing in the claim was ever struck.
    NeverStruck,
    /// Not there and then: of each office that is claimed, the years in which it marked such ware.
    NotThen(Vec<(usize, Option<(i32, i32)>)>),
}

/// The marks that are asked for.
pub fn expected(image: &Image, asked: &Asked) -> Expectation {
    let row = |r: &usize| image.row(*r);
    let standard = |r: &usize| row(r).standard();
    let name = |standard: usize| image.standard(standard).name();
    let origin = |r: &usize| (row(r).origin() == Origin::Foreign) == asked.imported;
    let metal = |r: &usize| asked.metal.is_none_or(|m| image.standard(standard(r)).metal() == m);
    let in_claim = asked.claim.rows(image);
    let mut rows: Vec<usize> = in_claim.iter().copied().filter(|r| origin(r) && metal(r)).collect();
    let mut others: Vec<usize> = Vec::new();
    if asked.claim.standards.is_empty() && asked.metal.is_none() {
        let first = first_standards(image, &rows);
        for s in rows.iter().map(standard) {
            if !others.iter().any(|o| name(*o) == name(s)) {
                others.push(s);
            }
        }
        rows.retain(|r| first.contains(&(row(r).letter_index(), standard(r))));
        others.retain(|o| !rows.iter().any(|r| name(standard(r)) == name(*o)));
    }
    let sets = sets(image, &rows);
    let nothing = sets.is_empty().then(|| nothing(image, asked, &in_claim));
    let one = one_year(image, &in_claim);
    let (began, ended) = one.map_or_else(Default::default, |(o, y)| changes(image, o, y));
    Expectation {
        impossible: if sets.is_empty() { Vec::new() } else { impossible(image, &rows) },
        sets,
        began,
        ended,
        others,
        nothing,
    }
}

/// Of each letter the standard that stands first in the tables.
fn first_standards(image: &Image, rows: &[usize]) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for r in rows {
        let view = image.row(*r);
        let (letter, standard) = (view.letter_index(), view.standard());
        match out.iter_mut().find(|o| o.0 == letter) {
            Some(o) => o.1 = o.1.min(standard),
            None => out.push((letter, standard)),
        }
    }
    out
}

/// The one office and letter year, if all rows are of one.
fn one_year(image: &Image, rows: &[usize]) -> Option<(usize, i32)> {
    let of = |r: &usize| {
        let l = image.row(*r).letter();
        (l.office(), l.year())
    };
    let first = rows.first().map(of)?;
    rows.iter().all(|r| of(r) == first).then_some(first)
}

/// Rows that lie on the same days: marks of which the one or the other could be struck.
struct Cell {
    /// The first of its rows.
    first: usize,
    rows: Vec<usize>,
    /// Their sets of marks.
    sets: Vec<usize>,
}

/// Rows as sets: what could be struck on the same days is one set, and letter years that share
/// theirs are joined.
fn sets(image: &Image, rows: &[usize]) -> Vec<Set> {
    let class = |r: usize| {
        let v = image.row(r);
        (v.letter().office(), v.standard(), v.origin())
    };
    let days = |r: usize| {
        let v = image.row(r);
        (v.letter().year(), v.letter_index(), v.begins(), v.ends())
    };
    let mut order: Vec<usize> = rows.to_vec();
    order.sort_by_key(|r| (class(*r), days(*r), image.row(*r).set()));
    let mut cells: Vec<Cell> = Vec::new();
    for r in order {
        let same = |c: &&mut Cell| (class(c.first), days(c.first)) == (class(r), days(r));
        match cells.last_mut().filter(same) {
            Some(c) => {
                c.rows.push(r);
                c.sets.push(image.row(r).set());
            }
            None => cells.push(Cell { first: r, rows: vec![r], sets: vec![image.row(r).set()] }),
        }
    }
    let mut runs: Vec<Vec<Cell>> = Vec::new();
    for c in cells {
        let joins = |run: &&mut Vec<Cell>| {
            run.last().is_some_and(|l| {
                class(l.first) == class(c.first)
                    && l.sets == c.sets
                    && days(c.first).0 <= image.row(l.first).letter().to() + 1
            })
        };
        match runs.last_mut().filter(joins) {
            Some(run) => run.push(c),
            None => runs.push(vec![c]),
        }
    }
    runs.iter().filter_map(|run| set(image, run)).collect()
}

fn set(image: &Image, run: &[Cell]) -> Option<Set> {
    let places = places(image, run.first()?);
    let rows: Vec<usize> = run.iter().map(|c| c.first).collect();
    let mut letters: Vec<usize> = rows.iter().map(|r| image.row(*r).letter_index()).collect();
    letters.dedup();
    let mut asking: Vec<usize> =
        rows.iter().flat_map(|r| asking_sponsor(image, image.row(*r))).collect();
    asking.sort_unstable();
    asking.dedup();
    let asked = |r: &usize| asking_sponsor(image, image.row(*r)).next().is_some();
    let sponsor_due = rows.iter().all(asked);
    Some(Set { rows, letters, asking, sponsor_due, places })
}

/// The rules of the tables that ask for a sponsor's mark on a row.
pub fn asking_sponsor(image: &Image, row: RowView) -> impl Iterator<Item = usize> {
    (0..image.meta(Meta::SponsorsDue)).filter(move |i| image.sponsor_due(*i).covers(row))
}

/// The places of a set in the order of their slots. A place is due if every row has it due.
fn places(image: &Image, cell: &Cell) -> Vec<Place> {
    let mut out: Vec<Place> = Vec::new();
    for r in &cell.rows {
        let mut before: Vec<Slot> = Vec::new();
        for g in image.row(*r).groups() {
            let marks: Vec<MarkView> = g.marks().collect();
            let Some(slot) = marks.first().map(|m| m.slot()) else {
                continue;
            };
            let nth = before.iter().filter(|s| **s == slot).count();
            before.push(slot);
            match out.iter_mut().find(|p| (p.slot, p.nth) == (slot, nth)) {
                Some(p) => {
                    p.rows += 1;
                    p.due &= g.due;
                    let known: Vec<usize> =
                        p.marks.iter().map(|m| image.mark(*m).device()).collect();
                    let new = marks.iter().filter(|m| !known.contains(&m.device()));
                    p.marks.extend(new.map(|m| m.i));
                }
                None => {
                    let marks = marks.iter().map(|m| m.i).collect();
                    out.push(Place { slot, nth, rows: 1, due: g.due, marks });
                }
            }
        }
    }
    for p in &mut out {
        p.due &= p.rows == cell.rows.len();
    }
    out.sort_by_key(|p| (p.slot as u8, p.nth));
    out
}

/// The omissions of the tables that speak of a mark of a row: articles on which it was often left off.
/// No slot is the date letter.
pub fn omitted(image: &Image, row: RowView, slot: Option<Slot>) -> impl Iterator<Item = usize> {
    (0..image.meta(Meta::Omissions)).filter(move |i| {
        let o = image.omission(*i);
        slot.map_or(o.leaves_out_letter(), |s| o.leaves_out(s)) && o.covers(row)
    })
}

/// Why no row answers.
fn nothing(image: &Image, asked: &Asked, in_claim: &[usize]) -> Nothing {
    if in_claim.is_empty() {
        return Nothing::NeverStruck;
    }
    // What the offices did strike of it, and when.
    let marked = |o: usize| {
        let view = image.office(o);
        let years = view
            .rows()
            .map(|r| image.row(r))
            .filter(|v| (v.origin() == Origin::Foreign) == asked.imported)
            .filter(|v| {
                let standard = image.standard(v.standard());
                asked.metal.is_none_or(|m| standard.metal() == m)
                    && asked.claim.standard(standard.id())
            })
            .map(|v| v.letter().year());
        years.clone().min().zip(years.max())
    };
    let claimed =
        |o: &usize| !asked.claim.offices.is_empty() && asked.claim.office(image.office(*o).id());
    let offices = (0..image.meta(Meta::Offices)).filter(claimed);
    Nothing::NotThen(offices.map(|o| (o, marked(o))).collect())
}

/// The marks and standards that an office struck in each of its letter years, in any set.
pub struct StruckBy<'i> {
    image: &'i Image,
    first: i32,
    last: i32,
    open: bool,
    /// From the first year on.
    years: Vec<StruckIn>,
}

impl StruckIn {
    /// How many metals were marked.
    fn metals(&self) -> usize {
        let mut all: Vec<Metal> = self.marks.iter().map(|m| m.2).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    }
}

/// What an office struck in one letter year.
#[derive(Clone, Default)]
struct StruckIn {
    marks: Vec<(Slot, usize, Metal)>,
    standards: Vec<usize>,
}

impl<'i> StruckBy<'i> {
    /// Looks at the marks of an office, year by year.
    pub fn new(image: &'i Image, office: usize) -> StruckBy<'i> {
        let view = image.office(office);
        let (first, last) = view.years();
        let mut years = vec![StruckIn::default(); (last - first + 1).max(0) as usize];
        for row in view.rows().map(|r| image.row(r)) {
            let letter = row.letter();
            for year in letter.year()..=letter.to() {
                if let Some(year) = years.get_mut((year - first) as usize) {
                    let metal = image.standard(row.standard()).metal();
                    let marks = row.marks().map(|m| (m.slot(), m.device(), metal));
                    year.marks.extend(marks);
                    year.standards.push(row.standard());
                }
            }
        }
        for year in &mut years {
            year.marks.sort_unstable_by_key(|(s, d, m)| (*s as u8, *d, *m));
            year.marks.dedup();
            year.standards.sort_unstable();
            year.standards.dedup();
        }
        StruckBy { image, first, last, open: view.open(), years }
    }

    /// What was struck in a year and not in the other.
    fn against(&self, year: i32, other: i32) -> Vec<Change> {
        let at = |y: i32| self.years.get((y - self.first) as usize);
        let (Some(here), Some(there)) = (at(year), at(other)) else {
            return Vec::new();
        };
        let mut out: Vec<Change> = here
            .standards
            .iter()
            .filter(|s| !there.standards.contains(s))
            .map(|s| Change::Standard(*s))
            .collect();
        let name = |d: usize| self.image.device(d).name();
        // A mark in broader or narrower words is the same mark.
        let same = |a: usize, b: usize| {
            name(a) == name(b) || self.image.covers(a, b) || self.image.covers(b, a)
        };
        // Each mark with the metals on which the other year lacks it.
        let mut changed: Vec<(Slot, usize, Vec<Metal>)> = Vec::new();
        for (slot, device, metal) in &here.marks {
            let known =
                |(s, d, m): &(Slot, usize, Metal)| s == slot && m == metal && same(*d, *device);
            if there.marks.iter().any(known) {
                continue;
            }
            let at =
                |c: &&mut (Slot, usize, Vec<Metal>)| c.0 == *slot && name(c.1) == name(*device);
            match changed.iter_mut().find(at) {
                Some(c) if c.2.contains(metal) => {}
                Some(c) => c.2.push(*metal),
                None => changed.push((*slot, *device, vec![*metal])),
            }
        }
        let all = here.metals();
        let narrower = |c: &(Slot, usize, Vec<Metal>)| {
            changed
                .iter()
                .any(|n| n.0 == c.0 && n.1 != c.1 && n.2 == c.2 && self.image.covers(c.1, n.1))
        };
        out.extend(changed.iter().filter(|c| !narrower(c)).map(|(slot, device, on)| {
            Change::Mark {
                slot: *slot,
                device: *device,
                on: if on.len() == all { Vec::new() } else { on.clone() },
            }
        }));
        out
    }

    /// What the office first struck in a year.
    pub fn began(&self, year: i32) -> Vec<Change> {
        if year == self.first { vec![Change::Letters] } else { self.against(year, year - 1) }
    }

    /// What it struck for the last time.
    pub fn ended(&self, year: i32) -> Vec<Change> {
        if year < self.last {
            self.against(year, year + 1)
        } else if self.open {
            Vec::new()
        } else {
            vec![Change::Letters]
        }
    }
}

/// What began and what ended in a letter year, against the years beside it.
fn changes(image: &Image, office: usize, year: i32) -> (Vec<Change>, Vec<Change>) {
    let (first, last) = image.office(office).years();
    let struck = StruckBy::new(image, office);
    let letter = letter_of(image, office, year);
    let run = |other: i32| {
        let there = letter_of(image, office, other);
        letter.zip(there).is_some_and(|(a, b)| a.cycle() != b.cycle())
    };
    let mut began = struck.began(year);
    if year > first && run(year - 1) {
        began.push(Change::Run);
    }
    let mut ended = struck.ended(year);
    if year < last && run(year + 1) {
        ended.push(Change::Run);
    }
    (began, ended)
}

/// Marks that the offices struck at other times only, the nearest first.
fn impossible(image: &Image, rows: &[usize]) -> Vec<OtherTimes> {
    let mut offices: Vec<usize> = rows.iter().map(|r| image.row(*r).letter().office()).collect();
    offices.sort_unstable();
    offices.dedup();
    let (Some(from), Some(to)) = (
        rows.iter().map(|r| image.row(*r).letter().year()).min(),
        rows.iter().map(|r| image.row(*r).letter().to()).max(),
    ) else {
        return Vec::new();
    };
    let metals: Vec<_> =
        rows.iter().map(|r| image.standard(image.row(*r).standard()).metal()).collect();
    let devices: Vec<usize> = rows
        .iter()
        .flat_map(|r| image.row(*r).marks().map(|m| m.device()).collect::<Vec<_>>())
        .collect();
    let name = |device: usize| image.device(device).name();
    let mut out: Vec<OtherTimes> = Vec::new();
    for o in offices {
        // Place and device of each mark, with the letter years that struck it.
        let mut seen: Vec<(Slot, usize, Vec<i32>)> = Vec::new();
        for v in image.office(o).rows().map(|r| image.row(r)) {
            if !metals.contains(&image.standard(v.standard()).metal()) {
                continue;
            }
            for m in v.marks() {
                // A broader name of what stands there is no contradiction.
                if devices.iter().any(|d| image.covers(m.device(), *d)) {
                    continue;
                }
                let same =
                    |s: &(Slot, usize, Vec<i32>)| s.0 == m.slot() && name(s.1) == name(m.device());
                let at = match seen.iter().position(same) {
                    Some(i) => i,
                    None => {
                        seen.push((m.slot(), m.device(), Vec::new()));
                        seen.len() - 1
                    }
                };
                // A letter that was carried on is one of more years than its first.
                let letter = v.letter();
                let Some((.., years)) = seen.get_mut(at) else { continue };
                if years.last() != Some(&letter.to()) {
                    years.extend(letter.year()..=letter.to());
                }
            }
        }
        for (slot, device, mut years) in seen {
            years.sort_unstable();
            years.dedup();
            if years.iter().any(|y| (from..=to).contains(y)) {
                continue;
            }
            let far =
                years.iter().map(|y| if *y < from { from - y } else { y - to }).min().unwrap_or(0);
            let years = joined(years.into_iter().map(|y| (y, y)));
            out.push(OtherTimes { office: o, slot, device, years, far });
        }
    }
    out.sort_by_key(|m| (m.far, name(m.device)));
    out
}
