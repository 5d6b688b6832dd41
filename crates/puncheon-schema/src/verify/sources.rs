//! What each statement rests on.

use std::collections::HashSet;

use super::names::Known;
use super::office_years::office_spans;
use super::report::{Report, Spot};
use super::walk::{cycles, marks, spots};
use crate::entry::{Basis, Dispute};
use crate::read::Entries;

/// What one statement of the tables rests on.
struct Ground<'a> {
    spot: Spot<'a>,
    /// None where the statement has no basis of its own.
    basis: Option<Basis>,
    cites: &'a [String],
}

/// Every statement that can cite.
fn grounds(e: &Entries) -> Vec<Ground<'_>> {
    fn ground<'a>(spot: Spot<'a>, basis: Option<Basis>, cites: &'a [String]) -> Ground<'a> {
        Ground { spot, basis, cites }
    }
    let mut out = Vec::new();
    out.extend(spots(&e.standards).map(|(spot, s)| ground(spot, Some(s.basis), &s.cites)));
    out.extend(spots(&e.regimes).map(|(spot, r)| ground(spot, Some(r.basis), &r.cites)));
    out.extend(marks(e).map(|(spot, m, _)| ground(spot, Some(m.basis), &m.cites)));
    out.extend(spots(&e.lookalikes).map(|(spot, l)| ground(spot, Some(l.basis), &l.cites)));
    out.extend(spots(&e.rules).map(|(spot, r)| ground(spot, Some(r.basis), &r.cites)));
    out.extend(spots(&e.reigns).map(|(spot, r)| ground(spot, None, &r.cites)));
    // A warning or a caution that cites nothing is common practice, which its basis says.
    out.extend(spots(&e.warnings).map(|(spot, w)| ground(spot, Some(w.basis), &w.cites)));
    out.extend(spots(&e.cautions).map(|(spot, c)| ground(spot, Some(c.basis), &c.cites)));
    out.extend(spots(&e.omissions).map(|(spot, o)| ground(spot, Some(o.basis), &o.cites)));
    out.extend(spots(&e.designs).map(|(spot, d)| ground(spot, Some(d.basis), &d.cites)));
    out.extend(spots(&e.units).map(|(spot, u)| ground(spot, Some(u.basis), &u.cites)));
    out.extend(spots(&e.scales).map(|(spot, s)| ground(spot, Some(s.basis), &s.cites)));
    out.extend(spots(&e.deductions).map(|(spot, d)| ground(spot, Some(d.basis), &d.cites)));
    out.extend(spots(&e.boasts).map(|(spot, b)| ground(spot, Some(b.basis), &b.cites)));
    for (spot, s) in spots(&e.sponsors) {
        // The maker or the letters may rest on memory while the other is published.
        let basis = if s.letters_basis() == Basis::Memory { s.basis } else { s.letters_basis() };
        out.push(ground(spot, Some(basis), &s.cites));
    }
    for (spot, o) in spots(&e.offices) {
        out.push(ground(spot.clone(), None, &o.cites));
        let starts = o.year_starts.iter();
        out.extend(
            starts.map(|y| ground(spot.part("year start", y.from), Some(y.basis), &y.cites)),
        );
        out.extend(office_spans(&spot, o).map(|(spot, s)| ground(spot, None, &s.cites)));
    }
    for (spot, c) in cycles(e) {
        for n in &c.years {
            // A year without cites of its own rests on the run's.
            let basis = n.basis.filter(|_| c.cites.is_empty());
            out.push(ground(spot.part("year", n.year), basis, &n.cites));
        }
        let candidates = c.candidates.iter().map(|x| (x.year, &x.cites));
        let shorts = c.short.iter().map(|x| (x.year, &x.cites));
        for (year, cites) in candidates.chain(shorts) {
            out.push(ground(spot.part("year", year), None, cites));
        }
        for o in &c.outlines {
            out.push(ground(spot.part("outline", o.from), None, &o.cites));
        }
        out.push(ground(spot, Some(c.basis), &c.cites));
    }
    for (file, d) in disputes(e) {
        let spot = Spot::new(file, format!("dispute '{}'", d.about));
        let views = d.views.iter();
        out.extend(views.map(|v| ground(spot.clone(), None, &v.cites)));
    }
    out
}

/// Disputes of no office, then the offices' own.
fn disputes(e: &Entries) -> impl Iterator<Item = (&str, &Dispute)> {
    let shared = e.disputes.iter().map(|f| (f.file.as_str(), &f.entry));
    let own = e.offices.iter().flat_map(|f| f.entry.disputes.iter().map(|d| (f.file.as_str(), d)));
    shared.chain(own)
}

/// The id of the source a cite names; what follows is a page.
fn cited(cite: &str) -> &str {
    cite.split_whitespace().next().unwrap_or_default()
}

/// Cites name known sources, and what is said to be published cites.
pub(super) fn cites(e: &Entries, report: &mut Report) {
    let sources = Known::of(&e.sources);
    for g in grounds(e) {
        sources.check(report, &g.spot, g.cites.iter().map(|c| cited(c)));
        let published = g.basis.filter(|b| *b != Basis::Memory);
        if let Some(basis) = published.filter(|_| g.cites.is_empty()) {
            let message = format!("basis {basis:?} without cites; cite, or write basis Memory");
            report.add(&g.spot, "basis", message);
        }
    }
}

/// Every source is cited somewhere.
pub(super) fn sources_used(e: &Entries, report: &mut Report) {
    let grounds = grounds(e);
    let used: HashSet<&str> = grounds.iter().flat_map(|g| g.cites).map(|c| cited(c)).collect();
    for (spot, s) in spots(&e.sources) {
        if !used.contains(s.id.as_str()) {
            report.add(&spot, "unused", "nothing cites it; cite it or drop it");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn cites_name_sources_and_published_facts_cite() {
        breaks(
            r#"cites: ["guide p. 2"]"#,
            r#"cites: ["gide p. 2"]"#,
            "alton year start 1701",
            "name",
        );
        breaks(r#", cites: ["guide p. 2"]"#, "", "alton year start 1701", "basis");
        breaks(r#", cites: ["act s. 1"]"#, "", "standard sterling", "basis");
        breaks(r#", cites: ["act s. 1"]"#, "", "source act", "unused");
    }
}
