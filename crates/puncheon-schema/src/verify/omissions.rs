//! Marks that some articles went without.

use super::names::{Known, known_offices};
use super::report::Report;
use super::walk::spots;
use crate::read::Entries;

/// Omissions name offices and standards that exist, and something that is left off.
pub(super) fn omissions_named(e: &Entries, report: &mut Report) {
    let (offices, standards) = (known_offices(e), Known::of(&e.standards));
    for (spot, o) in spots(&e.omissions) {
        offices.check(report, &spot, &o.offices);
        standards.check(report, &spot, &o.standards);
        if o.offices.is_empty() || o.slots.is_empty() && !o.letter || o.on.is_empty() {
            let message = "it needs offices, the marks left off and the articles";
            report.add(&spot, "omission", message);
        }
        if let (Some(from), Some(to)) = (o.from, o.to)
            && from > to
        {
            let message = format!("its years run from {from} to {to}; turn them round");
            report.add(&spot, "omission", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::and;

    #[test]
    fn omissions_leave_something_off() {
        let omission = |fields: &str| {
            let text =
                format!(r#"Omissions([(id: "small", {fields} basis: Memory, confidence: Low)])"#);
            and("omissions.ron", &text)
        };
        let good = r#"slots: [Town], offices: ["england"], on: "spoons","#;
        assert_eq!(omission(good), []);
        for bad in [
            r#"offices: ["england"], on: "spoons","#,
            r#"slots: [Town], offices: ["wales"], on: "spoons","#,
            r#"slots: [Town], offices: ["england"], on: "","#,
            r#"slots: [Town], offices: ["england"], on: "spoons", from: 1720, to: 1700,"#,
            r#"slots: [Town], offices: ["england"], standards: ["gold-18"], on: "spoons","#,
        ] {
            assert_eq!(omission(bad).len(), 1, "{bad}");
        }
    }
}
