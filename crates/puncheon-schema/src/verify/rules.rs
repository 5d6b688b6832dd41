//! Rules of marking that no row can hold.

use super::names::known_offices;
use super::report::Report;
use super::walk::spots;
use crate::read::Entries;

/// Rules name offices that exist, and years in their order.
pub(super) fn rules_named(e: &Entries, report: &mut Report) {
    let offices = known_offices(e);
    for (spot, r) in spots(&e.rules) {
        offices.check(report, &spot, &r.sponsor_due_at);
        if let (Some(from), Some(to)) = (r.from, r.to)
            && from > to
        {
            let message = format!("its years run from {from} to {to}; turn them round");
            report.add(&spot, "years", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::and;

    #[test]
    fn rules_name_offices_and_years() {
        let rule = |fields: &str| -> Vec<String> {
            let text = format!(
                r#"Rules([(id: "signed", about: "sponsors", says: "All sign.", {fields} basis: Memory, confidence: Low)])"#
            );
            and("rules.ron", &text).into_iter().map(|p| p.rule).collect()
        };
        let good = r#"from: 1700, to: 1702, sponsor_due_at: ["england", "alton"],"#;
        assert_eq!(rule(good), [] as [String; 0]);
        assert_eq!(rule(r#"sponsor_due_at: ["wales"],"#), ["name"]);
        assert_eq!(rule("from: 1702, to: 1700,"), ["years"]);
    }
}
