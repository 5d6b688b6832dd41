//! Spans held against the time of a letter.

use super::letters::Letter;
use crate::date::Bound;
use jiff::civil::Date;

/// Does a span that runs `from..to` cover a stretch of a letter's time?
pub(super) fn covers(from: Bound, to: Option<Bound>, letter: &Letter, lo: Date, hi: Date) -> bool {
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
pub(super) fn cuts(from: Bound, to: Option<Bound>, out: &mut Vec<(Date, bool)>) {
    out.extend(from.first_day());
    if let Some((d, exact)) = to.and_then(Bound::last_day)
        && let Ok(next) = d.tomorrow()
    {
        out.push((next, exact));
    }
}

pub(super) fn shown_bound(b: Bound) -> String {
    match b {
        Bound::Year(y) => y.to_string(),
        Bound::Month(y, m) => format!("{y}-{m:02}"),
        Bound::Day(d) => d.to_string(),
    }
}
