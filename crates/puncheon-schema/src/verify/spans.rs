//! Spans end after they begin.

use super::office_years::office_spans;
use super::report::{Report, Spot};
use super::walk::{cycles, marks, spots};
use crate::date::Bound;
use crate::read::Entries;

/// Spans bounded by days do not end before they begin.
pub(super) fn dated_spans(e: &Entries, report: &mut Report) {
    let mut check = |spot: &Spot, from: Option<Bound>, to: Option<Bound>| {
        if let (Some(from), Some(to)) = (from, to)
            && is_after(from, to)
        {
            report.add(spot, "span", "it ends before it begins; look at both bounds");
        }
    };
    for (spot, m, _) in marks(e) {
        check(&spot, Some(m.from), m.to);
    }
    for (spot, r) in spots(&e.regimes) {
        check(&spot, Some(r.from), r.to);
    }
    for (spot, o) in spots(&e.offices) {
        check(&spot, Some(o.opened), o.closed);
    }
    for (spot, c) in cycles(e) {
        for s in &c.short {
            check(&spot.part("year", s.year), s.begins, s.ends);
        }
    }
}

/// Can a span that opens with the one bound not close with the other?
fn is_after(from: Bound, to: Bound) -> bool {
    match (from.first_day(), to.last_day()) {
        (Some((from, _)), Some((to, _))) => from > to,
        // A day early in the year still lies in the letter year begun the year before.
        (Some(_), None) => from.year() > to.year() + 1,
        _ => from.year() > to.year(),
    }
}

/// Spans of years do not end before they begin.
pub(super) fn year_spans(e: &Entries, report: &mut Report) {
    let mut check = |spot: &Spot, from: Option<i32>, to: Option<i32>| {
        if let (Some(from), Some(to)) = (from, to)
            && from > to
        {
            let message = format!("it ends in {to}, before {from}; look at both years");
            report.add(spot, "span", message);
        }
    };
    for (spot, r) in spots(&e.reigns) {
        check(&spot, Some(r.from), Some(r.to));
    }
    for (spot, l) in spots(&e.lookalikes) {
        check(&spot, l.from, l.to);
    }
    for (spot, o) in spots(&e.offices) {
        for y in &o.year_starts {
            check(&spot.part("year start", y.from), Some(y.from), y.to);
        }
        for (spot, s) in office_spans(&spot, o) {
            check(&spot, Some(s.from), s.to);
        }
    }
    for (spot, c) in cycles(e) {
        for o in &c.outlines {
            check(&spot.part("outline", o.from), Some(o.from), Some(o.to));
        }
        check(&spot, Some(c.from), Some(c.to));
    }
}

#[cfg(test)]
mod tests {
    use super::is_after;
    use crate::date::Bound;
    use crate::verify::fixture::breaks;

    #[test]
    fn spans_end_after_they_begin() {
        let span = "span";
        breaks(r#"from: "1700-05-01""#, r#"from: "1702-06-02""#, "mark alton-tower", span);
        breaks(
            r#"from: "1700", to: "1702""#,
            r#"from: "1700", to: "1699""#,
            "regime lion-silver",
            span,
        );
        breaks(
            r#"begins: "1700-05-02""#,
            r#"begins: "1701-02""#,
            "alton cycle 1700 year 1700",
            span,
        );
        breaks("from: 1840, to: 1900", "from: 1840, to: 1800", "lookalike plate", span);
        breaks(
            "(from: 1700, to: 1700, metal",
            "(from: 1701, to: 1700, metal",
            "alton cycle 1700 outline 1701",
            span,
        );
        breaks(
            "gaps: [(from: 1702, to: 1702",
            "gaps: [(from: 1702, to: 1701",
            "alton gap 1702",
            span,
        );
    }

    #[test]
    fn a_day_may_open_a_span_that_closes_with_the_letter_year_before() {
        let day = |y, m, d| Bound::Day(jiff::civil::date(y, m, d));
        assert!(!is_after(day(1697, 3, 27), Bound::Year(1696)));
        assert!(is_after(day(1698, 3, 27), Bound::Year(1696)));
        assert!(is_after(Bound::Year(1697), Bound::Month(1696, 3)));
        assert!(!is_after(Bound::Month(1697, 3), day(1697, 3, 1)));
    }
}
