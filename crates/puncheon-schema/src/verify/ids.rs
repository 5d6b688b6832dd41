//! Ids: how they are written, and that each stands once.

use std::collections::HashMap;

use super::report::{Report, Spot};
use super::walk::{Identified, marks, spots};
use crate::read::Entries;

/// Ids are kebab-case, and unique among the entries of their kind.
pub(super) fn ids(e: &Entries, report: &mut Report) {
    check_ids(report, spots(&e.sources));
    check_ids(report, spots(&e.devices));
    check_ids(report, spots(&e.letterings));
    check_ids(report, spots(&e.outlines));
    check_ids(report, spots(&e.standards));
    check_ids(report, spots(&e.regimes));
    check_ids(report, marks(e).map(|(spot, m, _)| (spot, m)));
    check_ids(report, spots(&e.offices));
    check_ids(report, spots(&e.lookalikes));
    check_ids(report, spots(&e.rules));
    check_ids(report, spots(&e.reigns));
    check_ids(report, spots(&e.alternatives));
    check_ids(report, spots(&e.warnings));
    check_ids(report, spots(&e.cautions));
    check_ids(report, spots(&e.omissions));
    check_ids(report, spots(&e.designs));
    check_ids(report, spots(&e.units));
    check_ids(report, spots(&e.scales));
    check_ids(report, spots(&e.deductions));
    check_ids(report, spots(&e.boasts));
    check_ids(report, spots(&e.sponsors));
}

fn check_ids<'a, T: Identified + 'a>(
    report: &mut Report,
    entries: impl Iterator<Item = (Spot<'a>, &'a T)>,
) {
    let mut first: HashMap<&str, &str> = HashMap::new();
    for (spot, entry) in entries {
        let id = entry.id();
        if !is_kebab(id) {
            let message =
                format!("\"{id}\" is not an id; write small letters and figures joined by hyphens");
            report.add(&spot, "id", message);
        }
        if let Some(file) = first.insert(id, spot.file) {
            let message =
                format!("{file} has a {} of this id already; give one of them another", T::KIND);
            report.add(&spot, "id", message);
        }
    }
}

fn is_kebab(id: &str) -> bool {
    let word =
        |w: &str| !w.is_empty() && w.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
    id.split('-').all(word)
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn ids_are_unique_and_kebab() {
        breaks(r#"id: "act""#, r#"id: "guide""#, "source guide", "id");
        breaks(r#"id: "tower-burning""#, r#"id: "Tower_burning""#, "device Tower_burning", "id");
        breaks(r#"id: "bare-figure""#, r#"id: "plate""#, "lookalike plate", "id");
    }
}
