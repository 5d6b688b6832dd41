//! From entries to rows and bit sets.
//!
//! A row is a set of marks that could have been struck on one day: office, letter, standard,
//! origin, and a stretch of days within the letter's time in which no mark or law changed.

use std::collections::{BTreeSet, HashMap};

use jiff::civil::Date;

use crate::date::{Bound, MonthDay, number};
use crate::entry::*;
use crate::image::{Applying, Condition, Image, METALS, Meta, Named, Part, SLOTS, Writer};
use crate::letters::{self, Place, sister};
use crate::lexicon;
use crate::read::{Entries, Filed, Index, index};

/// Devices that a device is a form of, itself first.
pub(crate) fn broader<'a>(devices: &'a [Filed<Device>], at: &Index<'a>, i: usize) -> Vec<usize> {
    let mut out = vec![i];
    let mut k = 0;
    while k < out.len() {
        for id in &devices[out[k]].entry.is {
            if let Some(&j) = at.get(id.as_str())
                && !out.contains(&j)
            {
                out.push(j);
            }
        }
        k += 1;
    }
    out
}

/// A letter of one office, as a row sees it.
#[derive(Clone, Debug)]
pub(crate) struct Letter {
    pub office: usize,
    pub year: i32,
    pub to: i32,
    pub shown: String,
    pub value: Option<String>,
    pub case: Case,
    pub lettering: Option<String>,
    pub confidence: Confidence,
    pub lettering_confidence: Confidence,
    pub case_confidence: Confidence,
    pub basis: Basis,
    pub cites: Vec<String>,
    pub rival: bool,
    pub optional: bool,
    pub calendar: bool,
    pub outlines: [Option<String>; 2],
    pub cycle: String,
    /// The cycle strikes the sister letter too (J beside I, V beside U).
    pub sisters: Vec<String>,
    /// Earliest and latest day it can have been struck.
    pub lo: Date,
    pub hi: Date,
    /// The days themselves, where known.
    pub begins: Option<Date>,
    pub ends: Option<Date>,
}

/// The day a letter year began: earliest, and whether that is the day itself; then latest.
pub(crate) fn start(office: &Office, year: i32) -> Option<(Date, Date, bool)> {
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
pub(crate) fn letters_of(office: &Office, number: usize) -> Vec<Letter> {
    let mut out: Vec<Letter> = Vec::new();
    for cycle in &office.cycles {
        let id = format!("{}.{}", office.id, cycle.from);
        let struck_in_cycle: BTreeSet<String> = cycle
            .letters
            .split_whitespace()
            .filter_map(|t| letters::place(t).ok())
            .flat_map(|p| match p {
                Place::Struck(v) => v.into_iter().map(|s| s.value).collect(),
                _ => Vec::new(),
            })
            .collect();
        for (year, token) in (cycle.from..).zip(cycle.letters.split_whitespace()) {
            let note = cycle.years.iter().find(|n| n.year == year);
            let token = note.and_then(|n| n.letter.as_deref()).unwrap_or(token);
            let Ok(place) = letters::place(token) else {
                continue;
            };
            if place == Place::Carried {
                let (hi, exact) = end(office, year);
                for l in out.iter_mut().rev().filter(|l| !l.rival).take(1) {
                    l.to = year;
                    l.hi = hi;
                    l.ends = exact.then_some(hi);
                    l.confidence = l
                        .confidence
                        .max(note.and_then(|n| n.confidence).unwrap_or(cycle.confidence));
                }
                continue;
            }
            let (lo, _, lo_exact) = start(office, year).unwrap_or((
                Date::constant(year as i16, 1, 1),
                Date::constant(year as i16, 12, 31),
                false,
            ));
            let (hi, hi_exact) = end(office, year);
            let base = Letter {
                office: number,
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
                cites: note
                    .filter(|n| !n.cites.is_empty())
                    .map_or(&cycle.cites, |n| &n.cites)
                    .clone(),
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
                cycle: id.clone(),
                sisters: struck_in_cycle.iter().filter(|v| sister(v).is_some()).cloned().collect(),
                lo,
                hi,
                begins: lo_exact.then_some(lo),
                ends: hi_exact.then_some(hi),
            };
            let mut push = |shown: &str, value: Option<String>, varies: bool, rival: bool| {
                let mut l = base.clone();
                l.shown = shown.into();
                l.value = value;
                // Where the run has a case at all, each letter is written in its own.
                if l.case != Case::Either
                    && let Some(c) = l.shown.chars().find(char::is_ascii_alphabetic)
                {
                    l.case = if c.is_ascii_uppercase() { Case::Upper } else { Case::Lower };
                }
                if varies
                    || l.shown.chars().all(|c| !c.is_ascii_alphabetic())
                    || l.shown.starts_with('{')
                {
                    l.case = Case::Either;
                }
                if rival {
                    l.rival = true;
                    l.confidence = Confidence::Low;
                }
                if let Some(s) = cycle.short.iter().find(|s| s.year == year && s.letter == l.shown)
                {
                    if let Some((d, exact)) = s.begins.and_then(Bound::first_day) {
                        l.lo = d;
                        l.begins = exact.then_some(d);
                    }
                    if let Some((d, exact)) = s.ends.and_then(Bound::last_day) {
                        l.hi = d;
                        l.ends = exact.then_some(d);
                    }
                }
                out.push(l);
            };
            match place {
                Place::Unknown => push("", None, false, false),
                Place::Struck(v) => {
                    for s in v {
                        push(&s.shown, Some(s.value), s.varies, false);
                    }
                }
                Place::Carried => {}
            }
            for rivals in cycle.candidates.iter().filter(|c| c.year == year) {
                for s in rivals.letters.split_whitespace().filter_map(|t| letters::place(t).ok()) {
                    if let Place::Struck(v) = s {
                        for s in v {
                            push(&s.shown, Some(s.value), s.varies, true);
                        }
                    }
                }
            }
        }
    }
    out.sort_by_key(|l| l.year);
    out
}

/// Does a span that runs `from..to` cover a stretch of a letter's time?
fn covers(from: Bound, to: Option<Bound>, letter: &Letter, lo: Date, hi: Date) -> bool {
    let begun = match from.first_day() {
        None => letter.to >= from.year(),
        Some((d, _)) => lo >= d,
    };
    let not_over = match to {
        None => true,
        Some(b) => match b.last_day() {
            None => letter.year <= b.year(),
            Some((d, _)) => hi <= d,
        },
    };
    begun && not_over
}

/// Days on which a span cuts: the first day of a new stretch, and whether it is known exactly.
fn cuts(from: Bound, to: Option<Bound>, out: &mut Vec<(Date, bool)>) {
    out.extend(from.first_day());
    if let Some((d, exact)) = to.and_then(Bound::last_day)
        && let Ok(next) = d.tomorrow()
    {
        out.push((next, exact));
    }
}

/// A fact mark in the image: one device, one slot, one entry.
#[derive(Clone, Debug)]
struct Fact<'a> {
    id: &'a str,
    file: &'a str,
    device: usize,
    slot: Slot,
    due: Due,
    outline: Option<usize>,
    basis: Basis,
    confidence: Confidence,
    cites: &'a [String],
    from: Bound,
    to: Option<Bound>,
    statute: &'a str,
}

fn shown_bound(b: Bound) -> String {
    match b {
        Bound::Year(y) => y.to_string(),
        Bound::Month(y, m) => format!("{y}-{m:02}"),
        Bound::Day(d) => d.to_string(),
    }
}

struct Row {
    letter: usize,
    standard: usize,
    origin: Origin,
    set: usize,
    begins: Option<Date>,
    ends: Option<Date>,
}

/// Groups of alternatives: due, then the facts.
type Set = Vec<(bool, Vec<usize>)>;

/// Expands verified entries into an image.
///
/// Entries that do not pass [`crate::verify`] are skipped where they cannot be understood; callers
/// verify first.
pub fn expand(e: &Entries, version: &str) -> Image {
    let device_at = index(&e.devices, |d| &d.id);
    let outline_at = index(&e.outlines, |o| &o.id);
    let lettering_at = index(&e.letterings, |l| &l.id);
    let standard_at = index(&e.standards, |s| &s.id);

    let facts_and_rows = Build::new(e, &device_at, &outline_at, &standard_at).run();
    let (facts, sets, letters, rows, offices) = facts_and_rows;

    let mut w = Writer::new();
    let empty = w.str("");
    debug_assert_eq!(empty, 0);
    let mut meta = [0u32; Meta::Count as usize];
    let mut set_meta = |m: Meta, v: usize| meta[m as usize] = v as u32;

    for (i, f) in e.offices.iter().enumerate() {
        let o = &f.entry;
        let (first, last) = (
            o.cycles.iter().map(|c| c.from).min().unwrap_or(o.opened.year()),
            o.cycles.iter().map(|c| c.to).max().unwrap_or(o.opened.year()),
        );
        let range = &offices[i];
        let mut gaps = Vec::new();
        for g in &o.gaps {
            let cites = g.cites.iter().map(|c| w.str(c)).collect();
            gaps.extend([g.from as u32, g.to.unwrap_or(last) as u32, w.str(&g.why), w.list(cites)]);
        }
        let mut starts = Vec::new();
        for y in &o.year_starts {
            let day = |d: MonthDay| d.month as u32 * 100 + d.day as u32;
            let cites = y.cites.iter().map(|c| w.str(c)).collect();
            starts.extend([
                y.from as u32,
                y.to.unwrap_or(i32::MAX) as u32,
                day(y.day),
                y.latest.map_or(0, day),
                y.basis as u32,
                y.confidence as u32,
                w.list(cites),
            ]);
        }
        let cols = [
            w.str(&o.id),
            w.str(&o.name),
            first as u32,
            last as u32,
            u32::from(o.closed.is_none()),
            range.start as u32,
            range.end as u32,
            w.list(gaps),
            w.list(starts),
        ];
        w.cols(Part::OfficeCols, &cols);
    }
    for f in &e.standards {
        let s = &f.entry;
        let ratio = s.exact.as_deref().and_then(|x| x.split_once('/'));
        let exact = ratio
            .and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)))
            .or(s.parts.map(|p| (u32::from(p), 1000)));
        let cols = [
            w.str(&s.id),
            w.str(&s.name),
            s.metal as u32,
            s.parts.map_or(0, u32::from),
            s.confidence as u32,
            s.basis as u32,
            exact.map_or(0, |r| r.0),
            exact.map_or(0, |r| r.1),
        ];
        w.cols(Part::StandardCols, &cols);
    }
    // Lookalikes that each device, described, can meet: those that need or share it or a broader one.
    let mut meets: Vec<Vec<u32>> = vec![Vec::new(); e.devices.len()];
    for (i, f) in e.lookalikes.iter().enumerate() {
        let ids = f.entry.needs.iter().chain([&f.entry.shares]).flatten();
        let named: BTreeSet<usize> =
            ids.filter_map(|d| device_at.get(d.as_str())).copied().collect();
        for (d, list) in meets.iter_mut().enumerate() {
            if broader(&e.devices, &device_at, d).iter().any(|b| named.contains(b)) {
                list.push(i as u32);
            }
        }
    }
    for (f, meets) in e.devices.iter().zip(meets) {
        let cols = [w.str(&f.entry.id), w.str(&f.entry.name), f.entry.kind as u32, w.list(meets)];
        w.cols(Part::DeviceCols, &cols);
    }
    for f in &e.letterings {
        let l = &f.entry;
        let cols = [
            w.str(&l.id),
            w.str(&l.name),
            u32::from(l.caseless),
            w.str(l.styled_upper.as_deref().unwrap_or("")),
            w.str(l.styled_lower.as_deref().unwrap_or("")),
        ];
        w.cols(Part::LetteringCols, &cols);
    }
    for f in &e.outlines {
        let broader: Vec<u32> = f
            .entry
            .is
            .iter()
            .filter_map(|b| outline_at.get(b.as_str()))
            .map(|b| *b as u32)
            .collect();
        let cols =
            [w.str(&f.entry.id), w.str(&f.entry.name), w.list(broader), w.str(&f.entry.means)];
        w.cols(Part::OutlineCols, &cols);
    }
    for f in &facts {
        let cols = [
            w.str(f.id),
            f.device as u32,
            f.slot as u32,
            f.due as u32,
            f.basis as u32,
            f.confidence as u32,
            w.strs(f.cites),
            w.str(&shown_bound(f.from)),
            w.str(&f.to.map(shown_bound).unwrap_or_default()),
            f.outline.map_or(u32::MAX, |o| o as u32),
            w.str(f.file),
            w.str(f.statute),
        ];
        w.cols(Part::MarkCols, &cols);
    }
    // Sets: ends of their groups, then ends of the groups' marks with the due flag on top.
    let mut groups = 0u32;
    for s in &sets {
        groups += s.len() as u32;
        w.u32(Part::SetGroups, groups);
    }
    let mut marks = 0u32;
    for (due, members) in sets.iter().flatten() {
        for m in members {
            w.u16(Part::SetMarks, *m as u16);
        }
        marks += members.len() as u32;
        w.u32(Part::SetGroups, marks | u32::from(*due) << 31);
    }

    let values: Vec<String> = {
        let mut v: BTreeSet<String> = letters.iter().filter_map(|l| l.value.clone()).collect();
        // Every plain letter can be asked for, struck or not.
        v.extend(('A'..='Z').map(|c| c.to_string()));
        v.into_iter().collect()
    };
    let value_at: HashMap<&str, usize> =
        values.iter().enumerate().map(|(i, v)| (v.as_str(), i)).collect();
    for v in &values {
        let s = w.str(v);
        w.u32(Part::ValueStr, s);
    }
    let day = |d: Option<Date>| d.map_or(0, number) as u32;
    for l in &letters {
        let outline = |o: &Option<String>| {
            o.as_ref().and_then(|o| outline_at.get(o.as_str())).map_or(u32::MAX, |o| *o as u32)
        };
        let cols = [
            l.office as u32,
            l.year as u32,
            l.to as u32,
            w.str(&l.shown),
            l.value.as_ref().map_or(u32::MAX, |v| value_at[v.as_str()] as u32),
            l.case as u32,
            l.lettering
                .as_ref()
                .and_then(|n| lettering_at.get(n.as_str()))
                .map_or(u32::MAX, |n| *n as u32),
            l.confidence as u32,
            l.lettering_confidence as u32,
            l.case_confidence as u32,
            l.basis as u32,
            w.strs(&l.cites),
            u32::from(l.rival) | u32::from(l.calendar) << 1 | u32::from(l.optional) << 2,
            outline(&l.outlines[0]),
            outline(&l.outlines[1]),
            day(l.begins),
            day(l.ends),
            w.str(&l.cycle),
        ];
        w.cols(Part::LetterCols, &cols);
    }
    for r in &rows {
        w.u16(Part::RowLetter, r.letter as u16);
        w.u8(Part::RowStandard, r.standard as u8);
        w.u8(Part::RowOrigin, r.origin as u8);
        w.u16(Part::RowSet, r.set as u16);
        w.u32(Part::RowBegins, day(r.begins));
        w.u32(Part::RowEnds, day(r.ends));
    }

    features(e, &mut w, &mut set_meta, &facts, &sets, &letters, &rows, &values);

    for f in &e.lookalikes {
        let l = &f.entry;
        let devices = |ids: &[String]| -> Vec<u32> {
            ids.iter().filter_map(|d| device_at.get(d.as_str())).map(|d| *d as u32).collect()
        };
        let all: BTreeSet<u32> =
            l.needs.iter().chain([&l.shares]).flat_map(|ids| devices(ids)).collect();
        let needs: Vec<u32> = l.needs.iter().map(|n| w.list(devices(n))).collect();
        let outside = match l.outside {
            None => 0,
            Some(OutsideBecause::ForeignFineness) => 1,
            Some(OutsideBecause::NoYearLetters) => 2,
        };
        let cols = [
            w.str(&l.id),
            l.kind as u32,
            w.str(&l.what),
            w.str(&l.why),
            u32::from(l.denies) | outside << 1 | u32::from(l.unless_maker) << 3,
            w.list(needs),
            w.list(devices(&l.shares)),
            w.str(l.town.as_deref().unwrap_or("")),
            l.from.unwrap_or(0) as u32,
            l.to.unwrap_or(0) as u32,
            l.basis as u32,
            l.confidence as u32,
            w.strs(&l.cites),
            w.str(&f.file),
            w.list(all.into_iter().collect()),
            w.list(devices(l.assayer.as_slice())),
        ];
        w.cols(Part::LookalikeCols, &cols);
    }
    for f in &e.reigns {
        let r = &f.entry;
        let head = r.head.as_ref().and_then(|h| device_at.get(h.as_str()));
        let cols = [
            w.str(&r.id),
            w.str(&r.name),
            r.from as u32,
            r.to as u32,
            head.map_or(u32::MAX, |d| *d as u32),
        ];
        w.cols(Part::ReignCols, &cols);
    }
    for f in &e.warnings {
        let x = &f.entry;
        let when: Vec<u32> = x
            .when
            .iter()
            .filter_map(|c| condition(e, c, &device_at, &standard_at))
            .map(|c| w.list(c.pack()))
            .collect();
        let cols = [
            w.str(&x.id),
            w.list(when),
            w.str(&x.reason),
            w.str(&x.innocent),
            w.str(&x.judge),
            u32::from(x.unsettles),
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::WarningCols, &cols);
    }
    for f in &e.cautions {
        let x = &f.entry;
        let when = x
            .when
            .iter()
            .map(|c| {
                let numbers = applying(e, c).pack(|phrase| w.str(phrase));
                w.list(numbers)
            })
            .collect();
        let cols = [
            w.str(&x.id),
            w.str(&x.about),
            x.uses.iter().fold(0, |set, u| set | 1 << *u as u32),
            w.list(when),
            w.str(&x.says),
            w.str(&x.then),
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::CautionCols, &cols);
    }
    for f in &e.omissions {
        let x = &f.entry;
        let standards = x
            .standards
            .iter()
            .filter_map(|s| standard_at.get(s.as_str()))
            .map(|s| *s as u32)
            .collect();
        let offices = office_numbers(e, &x.offices).map(|o| o as u32).collect();
        let cols = [
            w.str(&x.id),
            w.list(x.slots.iter().map(|s| *s as u32).collect()),
            u32::from(x.letter),
            w.list(offices),
            w.list(x.metals.iter().map(|m| *m as u32).collect()),
            w.list(standards),
            x.from.unwrap_or(0) as u32,
            x.to.unwrap_or(0) as u32,
            w.str(&x.on),
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::OmissionCols, &cols);
    }
    for f in &e.units {
        let x = &f.entry;
        let cols = [
            w.str(&x.name),
            w.str(&x.short),
            w.str(&x.grams),
            x.system as u32,
            x.scratch.map_or(0, u32::from),
            w.strs(&x.say),
            w.strs(&x.bare),
            w.str(&x.bare_why),
        ];
        w.cols(Part::UnitCols, &cols);
    }
    for f in &e.scales {
        let x = &f.entry;
        let cols = [
            w.str(&x.name),
            u32::from(x.whole),
            x.metal.map_or(0, |m| m as u32 + 1),
            w.strs(&x.say),
        ];
        w.cols(Part::ScaleCols, &cols);
    }
    for f in &e.deductions {
        let x = &f.entry;
        let cols = [
            w.str(&x.id),
            w.str(&x.name),
            w.strs(&x.say),
            w.str(&x.advice),
            x.share.map_or(0, |(low, high)| u32::from(low) << 8 | u32::from(high)),
            u32::from(x.weighs),
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
            w.strs(&x.devices),
            x.bars.iter().fold(0, |set, m| set | 1 << *m as u32),
        ];
        w.cols(Part::DeductionCols, &cols);
    }
    for f in &e.boasts {
        let x = &f.entry;
        let offices: Vec<u32> = office_numbers(e, &x.offices).map(|o| o as u32).collect();
        let cols = [w.strs(&x.say), w.list(offices), w.str(&x.why)];
        w.cols(Part::BoastCols, &cols);
    }
    let designs = e.designs.first().map(|f| &f.entry);
    for d in designs.iter().flat_map(|d| &d.years) {
        w.cols(Part::DesignCols, &[d.year as u32, d.first]);
    }
    let general = e
        .lookalikes
        .iter()
        .enumerate()
        .filter(|(_, f)| f.entry.needs.is_empty() && f.entry.shares.is_empty())
        .map(|(i, _)| i as u32);
    let general = w.list(general.collect()) as usize;
    let (words, edge_slots) = lexicon::compile(e, &mut w);

    let version = w.str(version) as usize;
    for (m, n) in [
        (Meta::Rows, rows.len()),
        (Meta::Offices, e.offices.len()),
        (Meta::Standards, e.standards.len()),
        (Meta::Devices, e.devices.len()),
        (Meta::Letterings, e.letterings.len()),
        (Meta::Outlines, e.outlines.len()),
        (Meta::Marks, facts.len()),
        (Meta::Sets, sets.len()),
        (Meta::Letters, letters.len()),
        (Meta::Values, values.len()),
        (Meta::Lookalikes, e.lookalikes.len()),
        (Meta::GeneralLookalikes, general),
        (Meta::Reigns, e.reigns.len()),
        (Meta::Warnings, e.warnings.len()),
        (Meta::Cautions, e.cautions.len()),
        (Meta::Omissions, e.omissions.len()),
        (Meta::Units, e.units.len()),
        (Meta::Scales, e.scales.len()),
        (Meta::Deductions, e.deductions.len()),
        (Meta::Boasts, e.boasts.len()),
        (Meta::Designs, designs.map_or(0, |d| d.years.len())),
        (Meta::DesignSlack, designs.map_or(0, |d| usize::from(d.slack))),
        (Meta::Words, words),
        (Meta::EdgeSlots, edge_slots),
        (Meta::Version, version),
    ] {
        set_meta(m, n);
    }
    w.finish(&meta)
}

/// The numbers of offices, named one by one or by group.
fn office_numbers<'a>(e: &'a Entries, names: &'a [String]) -> impl Iterator<Item = usize> + 'a {
    e.offices.iter().enumerate().filter(|(_, f)| f.entry.is_named(names)).map(|(i, _)| i)
}

/// A warning's condition in the image's numbers; None if what it names is not there.
fn condition(
    e: &Entries,
    when: &When,
    device_at: &Index,
    standard_at: &Index,
) -> Option<Condition> {
    let named = |ids: &[String]| -> Vec<Named> {
        ids.iter()
            .filter_map(|id| {
                let device = device_at.get(id.as_str()).map(|d| Named::Device(*d));
                device.or_else(|| standard_at.get(id.as_str()).map(|s| Named::Standard(*s)))
            })
            .collect()
    };
    Some(match when {
        When::Said(sign) => Condition::Said(e.signs().iter().position(|s| s == sign)? as u32),
        When::Seen(ids) => Condition::Seen(named(ids)),
        When::Contrary(ids) => Condition::Contrary(named(ids)),
        When::Wanting(slot) => Condition::Wanting(*slot),
        When::WantingMark(id) => Condition::WantingMark(*device_at.get(id.as_str())?),
        When::WantingLetter => Condition::WantingLetter,
        When::Offices(names) => Condition::Offices(office_numbers(e, names).collect()),
        When::Years { from, to } => Condition::Years(*from, *to),
        When::OfficesApart => Condition::OfficesApart,
        When::LettersApart(n) => Condition::LettersApart(i32::from(*n)),
        When::DesignLater(id) => Condition::DesignLater(*device_at.get(id.as_str())?),
        When::EngravedBefore => Condition::EngravedBefore,
        When::Lighter(n) => Condition::Lighter(u32::from(*n)),
        When::NothingFits => Condition::NothingFits,
        When::NoOfficeClaimed => Condition::NoOfficeClaimed,
        When::MakerAgainst => Condition::MakerAgainst,
        When::Lookalike(kinds) => Condition::Lookalike(kinds.clone()),
    })
}

/// A caution's condition in the image's numbers.
fn applying<'a>(e: &Entries, when: &'a Applies) -> Applying<'a> {
    match when {
        Applies::Marked => Applying::Marked,
        Applies::Unsupported => Applying::Unsupported,
        Applies::OfficesApart => Applying::OfficesApart,
        Applies::Holds => Applying::Holds,
        Applies::Several => Applying::Several,
        Applies::Said(ids) => {
            let signs = e.signs();
            let number = |id: &String| signs.iter().position(|s| s == id).map(|n| n as u32);
            Applying::Said(ids.iter().filter_map(number).collect())
        }
        Applies::Stated(phrases) => Applying::Stated(phrases.iter().map(String::as_str).collect()),
        Applies::Unstated(p) => Applying::Unstated(*p),
        Applies::Fits { offices, from, to } => {
            Applying::Fits(office_numbers(e, offices).collect(), *from, *to)
        }
    }
}

struct Build<'a> {
    e: &'a Entries,
    standard_at: &'a Index<'a>,
    facts: Vec<Fact<'a>>,
    /// For each mark entry, shared or an office's own: the entry, whose office, its fact.
    marks: Vec<(&'a Mark, Option<usize>, usize)>,
    /// For each regime: the entry and the facts of its marks.
    regimes: Vec<(&'a Regime, Vec<usize>)>,
}

impl<'a> Build<'a> {
    fn new(
        e: &'a Entries,
        device_at: &Index<'a>,
        outline_at: &Index<'a>,
        standard_at: &'a Index<'a>,
    ) -> Self {
        let mut b =
            Build { e, standard_at, facts: Vec::new(), marks: Vec::new(), regimes: Vec::new() };
        let outline =
            |o: &Option<Name>| o.as_ref().and_then(|o| outline_at.get(o.0.as_str())).copied();
        let shared = e.marks.iter().map(|f| (&f.entry, None, f.file.as_str()));
        let own =
            e.offices.iter().enumerate().flat_map(|(i, f)| {
                f.entry.marks.iter().map(move |m| (m, Some(i), f.file.as_str()))
            });
        for (mark, office, file) in shared.chain(own) {
            let Some(&device) = device_at.get(mark.device.as_str()) else {
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
                let Some(&device) = device_at.get(s.device.as_str()) else {
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

    #[allow(clippy::type_complexity)]
    fn run(self) -> (Vec<Fact<'a>>, Vec<Set>, Vec<Letter>, Vec<Row>, Vec<std::ops::Range<usize>>) {
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
        (self.facts, sets, letters, rows, offices)
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
fn merge_rows(rows: &mut Vec<Row>, offices: &mut [std::ops::Range<usize>]) {
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

fn row_bits(rows: usize, mut keep: impl FnMut(usize) -> bool) -> Vec<u64> {
    let mut words = vec![0u64; rows.div_ceil(64)];
    for i in 0..rows {
        if keep(i) {
            words[i / 64] |= 1 << (i % 64);
        }
    }
    words
}

/// How a device word meets a device struck, before the mark's own confidence is weighed.
fn relations(e: &Entries) -> Vec<Vec<u8>> {
    let at = index(&e.devices, |d| &d.id);
    let n = e.devices.len();
    let up: Vec<Vec<usize>> = (0..n).map(|i| broader(&e.devices, &at, i)).collect();
    let ids = |v: &[String]| -> Vec<usize> {
        v.iter().filter_map(|d| at.get(d.as_str()).copied()).collect()
    };
    let strains: Vec<Vec<usize>> = e.devices.iter().map(|f| ids(&f.entry.strains)).collect();
    let misread: Vec<Vec<usize>> = e.devices.iter().map(|f| ids(&f.entry.misread)).collect();
    // "Crown and 999" is two things in one punch: a 999 alone does not explain its crown.
    let joint = |i: usize| {
        let kinds = || e.devices[i].entry.is.iter().filter_map(|d| at.get(d.as_str()));
        let kinds: Vec<DeviceKind> = kinds().map(|d| e.devices[*d].entry.kind).collect();
        kinds.iter().any(|k| *k != kinds[0])
    };
    let joint: Vec<bool> = (0..n).map(joint).collect();
    let mut out = vec![vec![0u8; n]; n];
    for word in 0..n {
        for struck in 0..n {
            let part = joint[word] && word != struck;
            let agree = up[struck].contains(&word) || !part && up[word].contains(&struck);
            let strain = strains[word].iter().any(|s| up[struck].contains(s));
            let easy = up[word].iter().any(|a| misread[*a].iter().any(|m| up[struck].contains(m)))
                || up[struck].iter().any(|a| misread[*a].iter().any(|m| up[word].contains(m)));
            out[word][struck] = if agree {
                1
            } else if strain {
                2
            } else if easy {
                3
            } else {
                0
            };
        }
    }
    out
}

#[allow(clippy::too_many_arguments)]
fn features(
    e: &Entries,
    w: &mut Writer,
    set_meta: &mut impl FnMut(Meta, usize),
    facts: &[Fact],
    sets: &[Set],
    letters: &[Letter],
    rows: &[Row],
    values: &[String],
) {
    let n = rows.len();
    let rel = relations(e);
    let device_at = index(&e.devices, |d| &d.id);
    let up: Vec<Vec<usize>> =
        (0..e.devices.len()).map(|i| broader(&e.devices, &device_at, i)).collect();
    // What a device is at first hand a form of.
    let forms: Vec<Vec<&String>> = e
        .devices
        .iter()
        .map(|d| {
            let loose = |id: &&String| {
                let of = device_at.get(id.as_str());
                of.is_some_and(|i| e.devices[*i].entry.loose)
            };
            d.entry.is.iter().filter(|id| !loose(id)).collect()
        })
        .collect();
    let mut packed = vec![0u8; (e.devices.len() * e.devices.len()).div_ceil(4)];
    for (word, row) in rel.iter().enumerate() {
        for (struck, r) in row.iter().enumerate() {
            let k = word * e.devices.len() + struck;
            packed[k / 4] |= r << (k % 4 * 2);
        }
    }
    let mut covers = vec![0u8; (e.devices.len() * e.devices.len()).div_ceil(8)];
    for (narrow, up) in up.iter().enumerate() {
        for broad in up {
            let k = broad * e.devices.len() + narrow;
            covers[k / 8] |= 1 << (k % 8);
        }
    }
    for b in covers {
        w.u8(Part::Covers, b);
    }
    for b in packed {
        w.u8(Part::Relations, b);
    }

    // Devices: a set meets a word as well as its best mark does.
    set_meta(Meta::BitsDevice, w.next_bits() as usize);
    for (word, rel) in rel.iter().enumerate() {
        let of_set: Vec<u8> = sets
            .iter()
            .map(|s| {
                s.iter()
                    .flat_map(|(_, members)| members)
                    .map(|f| {
                        let fact = &facts[*f];
                        // An easily misread word strains a form of its thing that is itself a guess.
                        let kin = fact.confidence == Confidence::Low
                            && forms[word].iter().any(|a| forms[fact.device].contains(a));
                        match rel[fact.device] {
                            3 if kin => 2,
                            r => r,
                        }
                    })
                    .min_by_key(|r| match r {
                        1 => 0,
                        2 => 1,
                        3 => 2,
                        _ => 3,
                    })
                    .unwrap_or(0)
            })
            .collect();
        for want in 1..=3 {
            let bits = row_bits(n, |i| of_set[rows[i].set] == want);
            w.bits(&bits);
        }
        let due: Vec<bool> = sets
            .iter()
            .map(|s| s.iter().any(|(due, m)| *due && m.iter().any(|f| rel[facts[*f].device] == 1)))
            .collect();
        let bits = row_bits(n, |i| due[rows[i].set]);
        w.bits(&bits);
    }
    set_meta(Meta::BitsSlot, w.next_bits() as usize);
    for slot in SLOTS {
        let of_set: Vec<(bool, bool)> = sets
            .iter()
            .map(|s| {
                let has = |due: bool| {
                    s.iter().any(|(d, m)| (*d || !due) && m.iter().any(|f| facts[*f].slot == slot))
                };
                (has(false), has(true))
            })
            .collect();
        let bits = row_bits(n, |i| of_set[rows[i].set].0);
        w.bits(&bits);
        let bits = row_bits(n, |i| of_set[rows[i].set].1);
        w.bits(&bits);
    }

    let letter = |i: usize| &letters[rows[i].letter];
    set_meta(Meta::BitsValue, w.next_bits() as usize);
    let alike = Alike::new(e);
    for v in values {
        let same: Vec<bool> = letters.iter().map(|l| answers_to(l, v)).collect();
        let worn: Vec<bool> = letters
            .iter()
            .zip(&same)
            .map(|(l, same)| !same && l.value.as_deref().is_some_and(|s| alike.pair(l, s, v)))
            .collect();
        let bits = row_bits(n, |i| same[rows[i].letter]);
        w.bits(&bits);
        let bits = row_bits(n, |i| worn[rows[i].letter]);
        w.bits(&bits);
    }

    let caseless = |l: &Letter| {
        l.lettering
            .as_deref()
            .is_some_and(|n| e.letterings.iter().any(|f| f.entry.id == n && f.entry.caseless))
    };
    set_meta(Meta::BitsCase, w.next_bits() as usize);
    for case in [Case::Upper, Case::Lower] {
        let of: Vec<u8> = letters
            .iter()
            .map(|l| {
                if l.value.is_none() || l.case == Case::Either || caseless(l) {
                    1
                } else if l.case == case {
                    0
                } else if l.case_confidence == Confidence::Low {
                    2
                } else {
                    3
                }
            })
            .collect();
        for want in 0..3 {
            let bits = row_bits(n, |i| of[rows[i].letter] == want);
            w.bits(&bits);
        }
    }
    set_meta(Meta::BitsLettering, w.next_bits() as usize);
    for f in &e.letterings {
        let of: Vec<u8> = letters
            .iter()
            .map(|l| match l.lettering.as_deref() {
                _ if l.value.is_none() => 1,
                None => 1,
                Some(n) if n == f.entry.id => 0,
                Some(n) if f.entry.strains.iter().any(|s| s == n) => 2,
                Some(_) if l.lettering_confidence == Confidence::Low => 2,
                Some(_) => 3,
            })
            .collect();
        for want in 0..3 {
            let bits = row_bits(n, |i| of[rows[i].letter] == want);
            w.bits(&bits);
        }
    }
    set_meta(Meta::BitsOutline, w.next_bits() as usize);
    let outline_at = index(&e.outlines, |o| &o.id);
    let wider = |id: &str| -> Vec<String> {
        let mut out = vec![id.to_string()];
        let mut k = 0;
        while k < out.len() {
            if let Some(&i) = outline_at.get(out[k].as_str()) {
                out.extend(e.outlines[i].entry.is.clone());
            }
            k += 1;
        }
        out
    };
    for f in &e.outlines {
        let mine = wider(&f.entry.id);
        let of = |i: usize| -> u8 {
            let outline = match e.standards[rows[i].standard].entry.metal {
                Metal::Silver => letter(i).outlines[0].as_deref(),
                Metal::Gold => letter(i).outlines[1].as_deref(),
                _ => None,
            };
            match outline {
                None => 1,
                Some(o) if mine.iter().any(|m| m == o) || wider(o).contains(&f.entry.id) => 0,
                // Real punches stray from the printed tables: an outline never excludes by itself.
                Some(_) => 2,
            }
        };
        for want in 0..3 {
            let bits = row_bits(n, |i| of(i) == want);
            w.bits(&bits);
        }
    }
    set_meta(Meta::BitsStandard, w.next_bits() as usize);
    for s in 0..e.standards.len() {
        let bits = row_bits(n, |i| rows[i].standard == s);
        w.bits(&bits);
    }
    set_meta(Meta::BitsMetal, w.next_bits() as usize);
    for metal in METALS {
        let bits = row_bits(n, |i| e.standards[rows[i].standard].entry.metal == metal);
        w.bits(&bits);
    }
    set_meta(Meta::BitsOffice, w.next_bits() as usize);
    for o in 0..e.offices.len() {
        let bits = row_bits(n, |i| letter(i).office == o);
        w.bits(&bits);
    }
    set_meta(Meta::BitsOther, w.next_bits() as usize);
    let bits = row_bits(n, |i| letter(i).value.is_none());
    w.bits(&bits);
    let bits = row_bits(n, |i| !letter(i).optional);
    w.bits(&bits);
    let bits = row_bits(n, |i| letter(i).rival);
    w.bits(&bits);
    let bits = row_bits(n, |_| true);
    w.bits(&bits);
}

/// Does a letter of the tables answer to a letter described?
fn answers_to(l: &Letter, v: &str) -> bool {
    match l.value.as_deref() {
        Some(s) if s == v => true,
        Some(s) => sister(s) == Some(v) && !l.sisters.iter().any(|x| x == v),
        None => false,
    }
}

/// Letters that are taken for each other when worn.
struct Alike<'a> {
    letterings: &'a [Filed<Lettering>],
}

impl<'a> Alike<'a> {
    fn new(e: &'a Entries) -> Self {
        Alike { letterings: &e.letterings }
    }

    fn pair(&self, l: &Letter, a: &str, b: &str) -> bool {
        let hit = |v: &[String]| {
            v.iter().filter_map(|p| p.split_once(' ')).any(|(x, y)| {
                let same = |p: &str, q: &str| p.eq_ignore_ascii_case(q);
                same(x, a) && same(y, b) || same(x, b) && same(y, a)
            })
        };
        self.letterings
            .iter()
            .filter(|f| l.lettering.as_deref().is_none_or(|n| n == f.entry.id))
            .any(|f| {
                l.case != Case::Lower && hit(&f.entry.alike_upper)
                    || l.case != Case::Upper && hit(&f.entry.alike_lower)
            })
    }
}
