//! Whatever an entry names is there.

use std::collections::HashSet;

use super::report::{Report, Spot};
use super::walk::{Identified, cycles, marks, spots};
use crate::read::{Entries, Filed};

/// The ids that a field may name.
pub(super) struct Known<'a> {
    pub(super) kind: &'static str,
    pub(super) ids: HashSet<&'a str>,
}

impl<'a> Known<'a> {
    pub(super) fn of<T: Identified>(v: &'a [Filed<T>]) -> Self {
        Known { kind: T::KIND, ids: v.iter().map(|f| f.entry.id()).collect() }
    }

    pub(super) fn check(
        &self,
        report: &mut Report,
        spot: &Spot,
        ids: impl IntoIterator<Item = impl AsRef<str>>,
    ) {
        for id in ids {
            let id = id.as_ref();
            if !self.ids.contains(id) {
                let message = format!(
                    "no {kind} is called \"{id}\"; name one of the tables' or add it",
                    kind = self.kind
                );
                report.add(spot, "name", message);
            }
        }
    }
}

/// Marks, regimes, lookalikes and devices name devices that exist.
pub(super) fn device_names(e: &Entries, report: &mut Report) {
    let devices = Known::of(&e.devices);
    for (spot, m, _) in marks(e) {
        devices.check(report, &spot, [&m.device]);
    }
    for (spot, r) in spots(&e.regimes) {
        devices.check(report, &spot, r.marks.iter().map(|s| &s.device));
    }
    for (spot, l) in spots(&e.lookalikes) {
        let named = l.needs.iter().flatten().chain(&l.shares).chain(&l.assayer);
        devices.check(report, &spot, named);
    }
    for (spot, d) in spots(&e.devices) {
        devices.check(report, &spot, d.is.iter().chain(&d.misread).chain(&d.strains));
    }
}

/// Letterings and outlines named anywhere but in the vocabulary exist.
pub(super) fn lettering_and_outline_names(e: &Entries, report: &mut Report) {
    let (letterings, outlines) = (Known::of(&e.letterings), Known::of(&e.outlines));
    for (spot, l) in spots(&e.letterings) {
        letterings.check(report, &spot, &l.strains);
    }
    for (spot, o) in spots(&e.outlines) {
        outlines.check(report, &spot, &o.is);
    }
    for (spot, m, _) in marks(e) {
        outlines.check(report, &spot, m.outline.as_ref().map(|n| &n.0));
    }
    for (spot, r) in spots(&e.regimes) {
        let named = r.marks.iter().filter_map(|s| s.outline.as_ref());
        outlines.check(report, &spot, named.map(|n| &n.0));
    }
    for (spot, c) in cycles(e) {
        letterings.check(report, &spot, c.lettering.as_ref().map(|n| &n.0));
        for n in &c.years {
            let spot = spot.part("year", n.year);
            letterings.check(report, &spot, n.lettering.as_ref().map(|n| &n.0));
        }
        for o in &c.outlines {
            outlines.check(report, &spot.part("outline", o.from), [&o.outline.0]);
        }
    }
}

/// Regimes and marks name standards that exist.
pub(super) fn standard_names(e: &Entries, report: &mut Report) {
    let standards = Known::of(&e.standards);
    for (spot, r) in spots(&e.regimes) {
        standards.check(report, &spot, [&r.standard]);
    }
    for (spot, m, _) in marks(e) {
        standards.check(report, &spot, m.standards.iter().chain(&m.not_standards));
    }
}

/// Offices and their groups.
pub(super) fn known_offices(e: &Entries) -> Known<'_> {
    let mut offices = Known::of(&e.offices);
    offices.kind = "office or group of offices";
    let groups = e.offices.iter().flat_map(|f| &f.entry.groups);
    offices.ids.extend(groups.map(String::as_str));
    offices
}

/// Regimes and shared marks name offices or groups that exist, an office's own mark none.
pub(super) fn office_names(e: &Entries, report: &mut Report) {
    let offices = known_offices(e);
    let shared = marks(e).filter(|(.., own)| own.is_none());
    let regimes = spots(&e.regimes).map(|(spot, r)| (spot, &r.offices));
    for (spot, named) in regimes.chain(shared.map(|(spot, m, _)| (spot, &m.offices))) {
        offices.check(report, &spot, named);
        if named.is_empty() {
            report.add(&spot, "offices", "no office is named; name offices or groups");
        }
    }
    for (spot, m, own) in marks(e) {
        if let Some(own) = own.filter(|_| !m.offices.is_empty()) {
            let message = format!("a mark in {}'s own file is its own; leave offices out", own.id);
            report.add(&spot, "offices", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn names_are_known() {
        let name = "name";
        breaks(r#"device: "tower-burning""#, r#"device: "towr""#, "mark alton-tower", name);
        breaks(r#"device: "lion""#, r#"device: "lyon""#, "regime lion-silver", name);
        breaks(r#"needs: [["ep"]]"#, r#"needs: [["epns"]]"#, "lookalike plate", name);
        breaks(r#"is: ["tower"]"#, r#"is: ["castle"]"#, "device tower-burning", name);
        breaks(r#"misread: ["tower"]"#, r#"misread: ["castle"]"#, "device lion", name);
        breaks(r#"["tower"], strains: []"#, r#"["tower"], strains: ["cat"]"#, "device lion", name);
        breaks(r#""roman", strains: []"#, r#""roman", strains: ["sans"]"#, "lettering roman", name);
        breaks("lettering: Roman, case", "lettering: Sans, case", "alton cycle 1700", name);
        breaks("lettering: Roman, was", "lettering: Sans, was", "alton cycle 1700 year 1701", name);
        breaks(r#"is: ["shield"]"#, r#"is: ["oval"]"#, "outline square", name);
        breaks("outline: Shield, basis", "outline: Oval, basis", "mark alton-tower", name);
        breaks("outline: Square)], basis", "outline: Oval)], basis", "regime lion-silver", name);
        breaks(
            "Silver, outline: Square",
            "Silver, outline: Oval",
            "alton cycle 1700 outline 1700",
            name,
        );
        breaks(r#"standard: "sterling""#, r#"standard: "fine""#, "regime lion-silver", name);
        breaks("slot: Town,", r#"slot: Town, not_standards: ["fine"],"#, "mark alton-tower", name);
        breaks(r#"offices: ["england"]"#, r#"offices: ["wales"]"#, "regime lion-silver", name);
    }

    #[test]
    fn marks_have_offices_unless_an_office_has_them() {
        breaks(r#"offices: ["england"]"#, "offices: []", "regime lion-silver", "offices");
        breaks("slot: Town,", r#"slot: Town, offices: ["alton"],"#, "mark alton-tower", "offices");
    }
}
