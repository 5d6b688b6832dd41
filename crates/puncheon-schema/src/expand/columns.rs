//! Entries, letters and rows as columns of the image.

use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

use jiff::civil::Date;

use super::Places;
use super::conditions::office_numbers;
use super::devices::broader;
use super::letters::Letter;
use super::rows::{Fact, Row, Set};
use super::spans::shown_bound;
use crate::date::{MonthDay, number};
use crate::entry::{Designs, OutsideBecause};
use crate::image::{Part, Writer};
use crate::read::Entries;

/// Offices, each with its range of rows.
pub(super) fn offices(e: &Entries, ranges: &[Range<usize>], w: &mut Writer) {
    for (i, f) in e.offices.iter().enumerate() {
        let o = &f.entry;
        let (first, last) = (
            o.cycles.iter().map(|c| c.from).min().unwrap_or(o.opened.year()),
            o.cycles.iter().map(|c| c.to).max().unwrap_or(o.opened.year()),
        );
        let range = &ranges[i];
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
}

/// Standards with their exact fineness.
pub(super) fn standards(e: &Entries, w: &mut Writer) {
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
}

/// Devices, each with the lookalikes that it can meet.
pub(super) fn devices(e: &Entries, at: &Places, w: &mut Writer) {
    // Lookalikes that each device, described, can meet: those that need or share it or a broader one.
    let mut meets: Vec<Vec<u32>> = vec![Vec::new(); e.devices.len()];
    for (i, f) in e.lookalikes.iter().enumerate() {
        let ids = f.entry.needs.iter().chain([&f.entry.shares]).flatten();
        let named: BTreeSet<usize> =
            ids.filter_map(|d| at.devices.get(d.as_str())).copied().collect();
        for (d, list) in meets.iter_mut().enumerate() {
            if broader(&e.devices, &at.devices, d).iter().any(|b| named.contains(b)) {
                list.push(i as u32);
            }
        }
    }
    for (f, meets) in e.devices.iter().zip(meets) {
        let cols = [w.str(&f.entry.id), w.str(&f.entry.name), f.entry.kind as u32, w.list(meets)];
        w.cols(Part::DeviceCols, &cols);
    }
}

/// Letterings.
pub(super) fn letterings(e: &Entries, w: &mut Writer) {
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
}

/// Outlines and the broader ones.
pub(super) fn outlines(e: &Entries, at: &Places, w: &mut Writer) {
    for f in &e.outlines {
        let broader: Vec<u32> = f
            .entry
            .is
            .iter()
            .filter_map(|b| at.outlines.get(b.as_str()))
            .map(|b| *b as u32)
            .collect();
        let cols =
            [w.str(&f.entry.id), w.str(&f.entry.name), w.list(broader), w.str(&f.entry.means)];
        w.cols(Part::OutlineCols, &cols);
    }
}

/// The marks that are facts.
pub(super) fn marks(facts: &[Fact], w: &mut Writer) {
    for f in facts {
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
}

/// Sets of marks.
pub(super) fn sets(sets: &[Set], w: &mut Writer) {
    // Sets: ends of their groups, then ends of the groups' marks with the due flag on top.
    let mut groups = 0u32;
    for s in sets {
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
}

/// Every letter that can be asked for.
pub(super) fn values(letters: &[Letter]) -> Vec<String> {
    let mut v: BTreeSet<String> = letters.iter().filter_map(|l| l.value.clone()).collect();
    // Every plain letter can be asked for, struck or not.
    v.extend(('A'..='Z').map(|c| c.to_string()));
    v.into_iter().collect()
}

/// Letters, and the values that they point to.
pub(super) fn letters(values: &[String], letters: &[Letter], at: &Places, w: &mut Writer) {
    let value_at: HashMap<&str, usize> =
        values.iter().enumerate().map(|(i, v)| (v.as_str(), i)).collect();
    for v in values {
        let s = w.str(v);
        w.u32(Part::ValueStr, s);
    }
    for l in letters {
        let outline = |o: &Option<String>| {
            o.as_ref().and_then(|o| at.outlines.get(o.as_str())).map_or(u32::MAX, |o| *o as u32)
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
                .and_then(|n| at.letterings.get(n.as_str()))
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
}

/// Rows.
pub(super) fn rows(rows: &[Row], w: &mut Writer) {
    for r in rows {
        w.u16(Part::RowLetter, r.letter as u16);
        w.u8(Part::RowStandard, r.standard as u8);
        w.u8(Part::RowOrigin, r.origin as u8);
        w.u16(Part::RowSet, r.set as u16);
        w.u32(Part::RowBegins, day(r.begins));
        w.u32(Part::RowEnds, day(r.ends));
    }
}

/// A day as a number, none as 0.
fn day(d: Option<Date>) -> u32 {
    d.map_or(0, number) as u32
}

/// Lookalikes with the devices by which they are met.
pub(super) fn lookalikes(e: &Entries, at: &Places, w: &mut Writer) {
    for f in &e.lookalikes {
        let l = &f.entry;
        let devices = |ids: &[String]| -> Vec<u32> {
            ids.iter().filter_map(|d| at.devices.get(d.as_str())).map(|d| *d as u32).collect()
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
}

/// Reigns.
pub(super) fn reigns(e: &Entries, at: &Places, w: &mut Writer) {
    for f in &e.reigns {
        let r = &f.entry;
        let head = r.head.as_ref().and_then(|h| at.devices.get(h.as_str()));
        let cols = [
            w.str(&r.id),
            w.str(&r.name),
            r.from as u32,
            r.to as u32,
            head.map_or(u32::MAX, |d| *d as u32),
        ];
        w.cols(Part::ReignCols, &cols);
    }
}

/// Marks that some articles went without.
pub(super) fn omissions(e: &Entries, at: &Places, w: &mut Writer) {
    for f in &e.omissions {
        let x = &f.entry;
        let standards = x
            .standards
            .iter()
            .filter_map(|s| at.standards.get(s.as_str()))
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
}

/// The rules that ask for a sponsor's mark, and how many they are.
pub(super) fn sponsors_due(e: &Entries, w: &mut Writer) -> usize {
    let asking = e.rules.iter().map(|f| &f.entry).filter(|r| !r.sponsor_due_at.is_empty());
    for x in asking.clone() {
        let offices = office_numbers(e, &x.sponsor_due_at).map(|o| o as u32).collect();
        let cols = [
            w.list(offices),
            x.from.unwrap_or(0) as u32,
            x.to.unwrap_or(0) as u32,
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::SponsorDueCols, &cols);
    }
    asking.count()
}

/// Units of weight.
pub(super) fn units(e: &Entries, w: &mut Writer) {
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
}

/// Scales of fineness.
pub(super) fn scales(e: &Entries, w: &mut Writer) {
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
}

/// What is no metal, or weighs as metal and is none.
pub(super) fn deductions(e: &Entries, w: &mut Writer) {
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
}

/// Words of a sale that claim more than marks tell.
pub(super) fn boasts(e: &Entries, w: &mut Writer) {
    for f in &e.boasts {
        let x = &f.entry;
        let offices: Vec<u32> = office_numbers(e, &x.offices).map(|o| o as u32).collect();
        let cols = [w.strs(&x.say), w.list(offices), w.str(&x.why)];
        w.cols(Part::BoastCols, &cols);
    }
}

/// Design numbers by years.
pub(super) fn designs(designs: Option<&Designs>, w: &mut Writer) {
    for d in designs.iter().flat_map(|d| &d.years) {
        w.cols(Part::DesignCols, &[d.year as u32, d.first]);
    }
}

/// Lookalikes that no device meets, as the number of their list.
pub(super) fn general_lookalikes(e: &Entries, w: &mut Writer) -> usize {
    let general = e
        .lookalikes
        .iter()
        .enumerate()
        .filter(|(_, f)| f.entry.needs.is_empty() && f.entry.shares.is_empty())
        .map(|(i, _)| i as u32);
    w.list(general.collect()) as usize
}
