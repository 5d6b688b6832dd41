//! Years that lie side by side.

use super::report::{Report, Spot, shown_years};

/// Years that belong to one entry; an open end is `i32::MAX`.
pub(super) struct Stretch<'a> {
    pub(super) from: i32,
    pub(super) to: i32,
    pub(super) spot: Spot<'a>,
}

impl Stretch<'_> {
    pub(super) fn holds(&self, year: i32) -> bool {
        (self.from..=self.to).contains(&year)
    }
}

/// Reports every stretch that shares years with one before it.
pub(super) fn no_overlap(report: &mut Report, stretches: &[Stretch]) {
    for (i, s) in stretches.iter().enumerate() {
        for other in &stretches[..i] {
            let (from, to) = (s.from.max(other.from), s.to.min(other.to));
            if from <= to {
                let years = shown_years(from, to);
                let message =
                    format!("{years} already in {}; let one of them end sooner", other.spot.place);
                report.add(&s.spot, "overlap", message);
            }
        }
    }
}

/// The years wanted that nothing covers, joined to runs.
pub(super) fn missing(
    wanted: impl IntoIterator<Item = i32>,
    covered: impl Fn(i32) -> bool,
) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = Vec::new();
    for year in wanted.into_iter().filter(|y| !covered(*y)) {
        match out.last_mut() {
            Some((_, to)) if *to + 1 == year => *to = year,
            _ => out.push((year, year)),
        }
    }
    out
}
