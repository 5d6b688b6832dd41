//! Words of a sale that claim more than marks tell.

use std::collections::HashSet;

use super::report::Report;
use super::walk::spots;
use crate::read::Entries;

/// A boast has phrases of its own, says why marks do not bear it out, and names offices that there are.
pub(super) fn boasts_said(e: &Entries, report: &mut Report) {
    let mut seen: HashSet<&str> = HashSet::new();
    for (spot, b) in spots(&e.boasts) {
        let sound = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == ' ';
        for p in &b.say {
            if p.is_empty() || !p.chars().all(sound) || p.trim() != p {
                let message = format!("phrase \"{p}\": write small letters and figures alone");
                report.add(&spot, "boast", message);
            }
            if !seen.insert(p) {
                let message = format!("phrase \"{p}\" is given twice; leave one out");
                report.add(&spot, "boast", message);
            }
        }
        if b.say.is_empty() {
            report.add(&spot, "boast", "no phrase speaks of it; give one");
        }
        if !b.why.ends_with('.') {
            let message = "its reason is no sentence; say why marks do not bear it out";
            report.add(&spot, "boast", message);
        }
        for name in &b.offices {
            let named = e.offices.iter().map(|f| &f.entry);
            if !named.clone().any(|o| o.id == *name || o.groups.contains(name)) {
                let message = format!("\"{name}\" is no office or group of offices; name one");
                report.add(&spot, "boast", message);
            }
        }
    }
}
