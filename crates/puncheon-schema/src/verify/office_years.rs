//! The years of an office: its runs, its gaps, and the first day of each.

use super::report::{Report, Spot, shown_years};
use super::stretch::{Stretch, missing, no_overlap};
use super::walk::{cycles, letter_years, spots};
use crate::date::Bound;
use crate::entry::{Office, Span};
use crate::read::Entries;

/// An office's declared gaps and spans of letters by choice, with their places.
pub(super) fn office_spans<'a>(
    spot: &Spot<'a>,
    o: &'a Office,
) -> impl Iterator<Item = (Spot<'a>, &'a Span)> {
    let named = |name: &'static str| {
        let spot = spot.clone();
        move |s: &'a Span| (spot.part(name, s.from), s)
    };
    let gaps = o.gaps.iter().map(named("gap"));
    gaps.chain(o.letter_optional.iter().map(named("optional letter")))
}

/// Runs of letters and declared gaps lie side by side from an office's first year to its last.
pub(super) fn office_years(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let runs = o.cycles.iter().map(|c| Stretch {
            from: c.from,
            to: c.to,
            spot: spot.part("cycle", c.from),
        });
        let gaps = o.gaps.iter().map(|g| Stretch {
            from: g.from,
            to: g.to.unwrap_or(i32::MAX),
            spot: spot.part("gap", g.from),
        });
        let stretches: Vec<Stretch> = runs.chain(gaps).collect();
        no_overlap(report, &stretches);

        // A day in the office's first or last year may lie in the letter year begun the year before.
        let loose = |b: Bound| i32::from(!matches!(b, Bound::Year(_)));
        let first = o.opened.year();
        let earliest = first - loose(o.opened);
        let latest = o.closed.map(Bound::year);
        let last = match o.closed {
            Some(closed) => closed.year() - loose(closed),
            None => o.cycles.iter().map(|c| c.to).max().unwrap_or(first),
        };
        for (from, to) in missing(first..=last, |y| stretches.iter().any(|s| s.holds(y))) {
            let message = format!(
                "{} without a letter or a declared gap; add a run or a gap",
                shown_years(from, to)
            );
            report.add(&spot, "gap", message);
        }
        for s in &stretches {
            if s.from < earliest {
                let message = format!("begins before the office opened, {first}");
                report.add(&s.spot, "opened", message);
            }
            if let Some(latest) = latest.filter(|l| s.to > *l) {
                let message = format!("goes on after the office closed, {latest}");
                report.add(&s.spot, "closed", message);
            }
        }
    }
}

/// Spans of letters by choice touch years that have letters.
pub(super) fn optional_letters(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let years = letter_years(o);
        for s in &o.letter_optional {
            let to = s.to.unwrap_or(i32::MAX);
            if s.from <= to && years.range(s.from..=to).next().is_none() {
                let message = format!("{} has no letters at all", shown_years(s.from, to));
                report.add(&spot.part("optional letter", s.from), "inside", message);
            }
        }
    }
}

/// Declared spans and rival letters give a reason.
pub(super) fn reasons(e: &Entries, report: &mut Report) {
    let mut reason = |spot: &Spot, why: &str| {
        if why.trim().is_empty() {
            report.add(spot, "why", "no reason is given; say why");
        }
    };
    for (spot, o) in spots(&e.offices) {
        for (spot, s) in office_spans(&spot, o) {
            reason(&spot, &s.why);
        }
    }
    for (spot, c) in cycles(e) {
        for x in &c.candidates {
            reason(&spot.part("year", x.year), &x.why);
        }
    }
}

/// The starts of the letter years cover every letter year, once.
pub(super) fn year_starts(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let stretches: Vec<Stretch> = o
            .year_starts
            .iter()
            .map(|y| Stretch {
                from: y.from,
                to: y.to.unwrap_or(i32::MAX),
                spot: spot.part("year start", y.from),
            })
            .collect();
        no_overlap(report, &stretches);
        let covered = |year| stretches.iter().any(|s| s.holds(year));
        for (from, to) in missing(letter_years(o), covered) {
            let message = format!(
                "{} have letters but no first day; add a year start",
                shown_years(from, to)
            );
            report.add(&spot, "year-start", message);
        }
        for y in &o.year_starts {
            if y.latest.is_some_and(|latest| latest < y.day) {
                let message = "latest lies before day; the earliest day comes first";
                report.add(&spot.part("year start", y.from), "year-start", message);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn runs_and_gaps_lie_side_by_side() {
        breaks(
            "gaps: [(from: 1702, to: 1702",
            "gaps: [(from: 1701, to: 1702",
            "alton gap 1701",
            "overlap",
        );
        breaks(r#"closed: "1702-06-01""#, r#"closed: "1704""#, "alton", "gap");
        breaks(r#"closed: "1702-06-01""#, r#"closed: "1701""#, "alton gap 1702", "closed");
        breaks(r#"opened: "1700""#, r#"opened: "1699""#, "alton", "gap");
        breaks(r#"opened: "1700""#, r#"opened: "1701""#, "alton cycle 1700", "opened");
        breaks(r#"why: "Closing.""#, r#"why: """#, "alton gap 1702", "why");
        keeps(r#"gaps: [(from: 1702, to: 1702, why: "Closing.")],"#, "");
    }

    #[test]
    fn optional_letters_need_letters() {
        breaks(
            "letter_optional: [(from: 1701",
            "letter_optional: [(from: 1702",
            "alton optional letter 1702",
            "inside",
        );
    }

    #[test]
    fn year_starts_cover_the_letter_years() {
        breaks("(from: 1701, day", "(from: 1702, day", "alton", "year-start");
        breaks("(from: 1701, day", "(from: 1700, day", "alton year start 1700", "overlap");
        breaks(r#"latest: "05-31""#, r#"latest: "04-30""#, "alton year start 1700", "year-start");
    }
}
