//! Devices and the webs of their forms.

use std::collections::{HashMap, HashSet};

use super::report::Report;
use super::walk::{Identified, spots, struck_devices};
use crate::read::{Entries, Filed};

/// Which entries of one kind are forms of which.
pub(super) struct Web<'a>(HashMap<&'a str, &'a [String]>);

impl<'a> Web<'a> {
    fn new<T: Identified>(v: &'a [Filed<T>], is: fn(&T) -> &[String]) -> Self {
        Web(v.iter().map(|f| (f.entry.id(), is(&f.entry))).collect())
    }

    pub(super) fn devices(e: &'a Entries) -> Self {
        Web::new(&e.devices, |d| &d.is)
    }

    /// Everything an entry is a form of, in steps; itself only if the web has a cycle.
    fn broader(&self, id: &'a str) -> Vec<&'a str> {
        let mut out: Vec<&str> = Vec::new();
        let mut next = vec![id];
        while let Some(id) = next.pop() {
            for up in self.0.get(id).copied().unwrap_or_default() {
                if !out.contains(&up.as_str()) {
                    out.push(up);
                    next.push(up);
                }
            }
        }
        out
    }

    /// An entry and everything it is a form of.
    pub(super) fn with_broader(&self, id: &'a str) -> Vec<&'a str> {
        let mut out = self.broader(id);
        out.push(id);
        out
    }
}

/// Every device is struck, or met by a lookalike, or broader than one that is.
pub(super) fn devices_used(e: &Entries, report: &mut Report) {
    let web = Web::devices(e);
    let by_lookalikes = e.lookalikes.iter().flat_map(|f| {
        let l = &f.entry;
        l.needs.iter().flatten().chain(&l.shares)
    });
    let used: HashSet<&str> = struck_devices(e)
        .into_iter()
        .chain(by_lookalikes.map(String::as_str))
        .flat_map(|d| web.with_broader(d))
        .collect();
    // A word narrower than any mark known ("lion passant to the left") has its use too, if what it
    // narrows or loosely means is struck.
    let leads = |ids: &[String]| ids.iter().any(|d| used.contains(d.as_str()));
    for (spot, d) in spots(&e.devices) {
        if !used.contains(d.id.as_str()) && !leads(&d.is) && !leads(&d.strains) {
            let message = "no mark, regime or lookalike shows it; use it or drop it";
            report.add(&spot, "unused", message);
        }
    }
}

/// Nothing is, in steps, a form of itself.
pub(super) fn webs(e: &Entries, report: &mut Report) {
    check_web(report, &e.devices, |d| &d.is);
    check_web(report, &e.outlines, |o| &o.is);
}

fn check_web<T: Identified>(report: &mut Report, v: &[Filed<T>], is: fn(&T) -> &[String]) {
    let web = Web::new(v, is);
    for (spot, entry) in spots(v) {
        if web.broader(entry.id()).contains(&entry.id()) {
            let message = "it is a form of itself; let `is` name broader ones only";
            report.add(&spot, "web", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn devices_are_used() {
        breaks(
            r#"(id: "ep", name"#,
            r#"(id: "cat", name: "cat", kind: Town), (id: "ep", name"#,
            "device cat",
            "unused",
        );
        // A form narrower than any mark known still serves as a word.
        keeps(
            r#"(id: "ep", name"#,
            r#"(id: "cat", name: "cat", kind: Town, is: ["tower"]), (id: "ep", name"#,
        );
    }

    #[test]
    fn nothing_is_a_form_of_itself() {
        breaks(
            r#"name: "tower", kind: Town"#,
            r#"name: "tower", kind: Town, is: ["tower-burning"]"#,
            "device tower-burning",
            "web",
        );
        breaks(r#"is: ["shield"]"#, r#"is: ["square"]"#, "outline square", "web");
    }
}
