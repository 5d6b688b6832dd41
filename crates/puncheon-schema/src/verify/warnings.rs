//! Warning signs, and the design numbers by which some of them tell.

use super::names::{Known, known_offices};
use super::report::Report;
use super::vocabulary::group_spot;
use super::walk::spots;
use crate::entry::When;
use crate::meaning::{Meaning, Words};
use crate::read::{Entries, Filed};

/// What a warning looks for exists, and it looks for something.
pub(super) fn warnings_named(e: &Entries, report: &mut Report) {
    let mut marks = Known::of(&e.devices);
    marks.kind = "device or standard";
    marks.ids.extend(e.standards.iter().map(|f| f.entry.id.as_str()));
    let (devices, offices) = (Known::of(&e.devices), known_offices(e));
    for (spot, w) in spots(&e.warnings) {
        if w.when.is_empty() {
            report.add(&spot, "warning", "nothing can raise it; give it a condition");
        }
        for when in &w.when {
            match when {
                When::Seen(ids) | When::Contrary(ids) => marks.check(report, &spot, ids),
                When::WantingMark(id) | When::DesignLater(id) => devices.check(report, &spot, [id]),
                When::Offices(names) => offices.check(report, &spot, names),
                When::Years { from: Some(from), to: Some(to) } if from > to => {
                    let message = format!("its years run from {from} to {to}; turn them round");
                    report.add(&spot, "warning", message);
                }
                _ => {}
            }
        }
        for (field, text) in [("reason", &w.reason), ("innocent", &w.innocent), ("judge", &w.judge)]
        {
            if text.trim().is_empty() {
                let message = format!("its {field} is empty; a warning is never bare");
                report.add(&spot, "warning", message);
            }
        }
        // One sentence: a full stop at its end and none within.
        if w.reason.matches(". ").count() > 0 || !w.reason.ends_with('.') {
            let message = "its reason is not one sentence; put the rest into innocent";
            report.add(&spot, "warning", message);
        }
    }
}

/// Each sign that a warning looks for has words, and each word for a sign a warning.
pub(super) fn warnings_said(e: &Entries, report: &mut Report) {
    let signs = e.signs();
    let said = |f: &Filed<Words>| match &f.entry.means {
        Meaning::Sign(s) => Some(s.clone()),
        _ => None,
    };
    for (spot, w) in spots(&e.warnings) {
        for when in &w.when {
            if let When::Said(sign) = when
                && !e.words.iter().any(|f| said(f).as_ref() == Some(sign))
            {
                let message = format!("no phrase means Sign(\"{sign}\"); add one");
                report.add(&spot, "unreached", message);
            }
        }
    }
    for f in &e.words {
        if let Some(sign) = said(f).filter(|s| !signs.contains(&s.as_str())) {
            let message = format!("no warning looks for \"{sign}\"; add one or use Aside");
            report.add(&group_spot(f), "unused", message);
        }
    }
}

/// There is one list of design numbers, and its years and numbers rise.
pub(super) fn designs_in_order(e: &Entries, report: &mut Report) {
    for (i, (spot, d)) in spots(&e.designs).enumerate() {
        if i > 0 {
            report.add(&spot, "designs", "there is a list already; keep one");
        }
        for pair in d.years.windows(2) {
            let [a, b] = pair else { continue };
            if b.year != a.year + 1 || b.first <= a.first {
                let message = format!(
                    "{} ({}) does not follow {} ({}); years run on and numbers rise",
                    b.year, b.first, a.year, a.first
                );
                report.add(&spot, "designs", message);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{and, breaks, keeps};

    #[test]
    fn warnings_look_for_what_there_is() {
        let place = "warning let-in";
        breaks(r#"Seen(["tower-burning", "sterling"])"#, r#"Seen(["towr"])"#, place, "name");
        breaks(r#"Offices(["england"])"#, r#"Offices(["wales"])"#, place, "name");
        breaks("Years(from: 1700, to: 1701)", "Years(from: 1701, to: 1700)", place, "warning");
        keeps("Years(from: 1700, to: 1701)", "Years(from: 1700)");
        breaks(r#"innocent: "A repair.""#, r#"innocent: """#, place, "warning");
        breaks(r#"reason: "Let in.""#, r#"reason: "Let in. Bad.""#, place, "warning");
        breaks(r#"Sign("inserted")"#, r#"Sign("inset")"#, place, "unreached");
        breaks(r#"Sign("inserted")"#, r#"Sign("inset")"#, "words 'disc let in'", "unused");
        keeps(r#"Said("inserted"), Seen"#, r#"Said("inserted"), WantingLetter, Seen"#);
    }

    #[test]
    fn designs_are_in_order() {
        let designs = |years: &str| {
            let text = format!(
                r#"Designs(id: "numbers", slack: 1, basis: Memory, confidence: Low, years: [{years}])"#
            );
            and("designs.ron", &text)
        };
        assert_eq!(designs("(year: 1884, first: 1), (year: 1885, first: 9)"), []);
        assert_eq!(designs("(year: 1884, first: 9), (year: 1885, first: 9)").len(), 1);
        assert_eq!(designs("(year: 1884, first: 1), (year: 1886, first: 9)").len(), 1);
    }
}
