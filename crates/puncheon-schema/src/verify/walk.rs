//! Ways through the entries: each kind with its places, the runs of letters, the letters struck.

use std::collections::BTreeSet;

use super::report::Spot;
use crate::entry::{
    Alternatives, Boast, Candidates, Caution, Cycle, Deduction, Designs, Device, Lettering,
    Lookalike, Mark, Office, Omission, Outline, Regime, Reign, Rule, Scale, Source, Standard, Unit,
    Warning, YearNote,
};
use crate::letters::{self, Place, Struck};
use crate::read::{Entries, Filed};
use crate::sponsor::Sponsor;

/// An entry with an id, and what its kind is called.
pub(super) trait Identified {
    const KIND: &'static str;

    fn id(&self) -> &str;

    /// The natural name in a report.
    fn place(&self) -> String {
        format!("{} {}", Self::KIND, self.id())
    }
}

macro_rules! identified {
    ($($entry:ident $kind:literal),*) => {$(
        impl Identified for $entry {
            const KIND: &'static str = $kind;

            fn id(&self) -> &str {
                &self.id
            }
        }
    )*};
}

identified!(
    Source "source",
    Device "device",
    Lettering "lettering",
    Outline "outline",
    Standard "standard",
    Regime "regime",
    Mark "mark",
    Lookalike "lookalike",
    Reign "reign",
    Rule "rule",
    Warning "warning",
    Caution "caution",
    Omission "omission",
    Designs "designs",
    Unit "unit",
    Scale "scale",
    Deduction "deduction",
    Alternatives "list of alternatives",
    Boast "boast",
    Sponsor "sponsor"
);

impl Identified for Office {
    const KIND: &'static str = "office";

    fn id(&self) -> &str {
        &self.id
    }

    fn place(&self) -> String {
        self.id.clone()
    }
}

/// Entries of one kind with their places.
pub(super) fn spots<T: Identified>(v: &[Filed<T>]) -> impl Iterator<Item = (Spot<'_>, &T)> {
    v.iter().map(|f| (Spot::new(&f.file, f.entry.place()), &f.entry))
}

/// Shared marks, then each office's own with their office.
pub(super) fn marks(e: &Entries) -> impl Iterator<Item = (Spot<'_>, &Mark, Option<&Office>)> {
    let own = e.offices.iter().flat_map(|f| {
        f.entry.marks.iter().map(|m| (Spot::new(&f.file, m.place()), m, Some(&f.entry)))
    });
    spots(&e.marks).map(|(spot, m)| (spot, m, None)).chain(own)
}

/// Every run of letters.
pub(super) fn cycles(e: &Entries) -> impl Iterator<Item = (Spot<'_>, &Cycle)> {
    spots(&e.offices)
        .flat_map(|(spot, o)| o.cycles.iter().map(move |c| (spot.part("cycle", c.from), c)))
}

/// A run's places as they now stand: the year, its note, and what the place says.
pub(super) fn places(
    cycle: &Cycle,
) -> impl Iterator<Item = (i32, Option<&YearNote>, Result<Place, String>)> {
    (cycle.from..).zip(cycle.letters.split_whitespace()).map(|(year, token)| {
        let note = cycle.years.iter().find(|n| n.year == year);
        let token = note.and_then(|n| n.letter.as_deref()).unwrap_or(token);
        (year, note, letters::place(token))
    })
}

/// The letters struck in a run, two in one year one after the other.
pub(super) fn struck(cycle: &Cycle) -> impl Iterator<Item = (i32, Option<&YearNote>, Struck)> {
    places(cycle).flat_map(|(year, note, place)| {
        let letters = match place {
            Ok(Place::Struck(v)) => v,
            _ => Vec::new(),
        };
        letters.into_iter().map(move |s| (year, note, s))
    })
}

/// The rival letters of one year, each read.
pub(super) fn rivals(c: &Candidates) -> impl Iterator<Item = (&str, Result<Place, String>)> {
    c.letters.split_whitespace().map(|token| (token, letters::place(token)))
}

/// The years for which an office has a place in a run of letters.
pub(super) fn letter_years(office: &Office) -> BTreeSet<i32> {
    let runs = office.cycles.iter();
    runs.flat_map(|c| places(c).map(|(year, ..)| year)).collect()
}

/// Devices that some mark or regime strikes.
pub(super) fn struck_devices(e: &Entries) -> BTreeSet<&str> {
    let by_regimes = e.regimes.iter().flat_map(|f| &f.entry.marks);
    marks(e)
        .map(|(_, m, _)| m.device.as_str())
        .chain(by_regimes.map(|s| s.device.as_str()))
        .collect()
}
