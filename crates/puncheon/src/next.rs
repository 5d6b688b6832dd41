//! What to look at next: of the features not yet described, the one that on average leaves the
//! fewest office-years.

use std::collections::BTreeMap;

use puncheon_schema::entry::{Case, Slot};

use crate::narrow::Narrow;
use crate::reading::{Answer, Kind, LookNext};
use crate::sighting::{What, slot_name};

/// The most features named.
const MOST: usize = 3;

/// Features by which the rows left differ, the most telling first. Each row stands for one
/// office-year and standard.
pub(crate) fn look(n: &Narrow, rows: &[usize]) -> Vec<LookNext> {
    if rows.len() < 2 {
        return Vec::new();
    }
    let described = |kind: Kind| n.sightings.iter().any(|s| s.kind(n.image) == kind);
    let letters: Vec<_> = n
        .sightings
        .iter()
        .filter_map(|s| match &s.what {
            What::Letter(l) => Some(l),
            _ => None,
        })
        .collect();
    let mut out: Vec<(f64, LookNext)> = Vec::new();
    let mut feature = |name: &str, of: &dyn Fn(usize) -> Option<String>| {
        let mut counts: BTreeMap<String, Vec<(usize, i32)>> = BTreeMap::new();
        let mut unknown: Vec<(usize, i32)> = Vec::new();
        for r in rows {
            let l = n.image.row(*r).letter();
            let office_year = (l.office(), l.year());
            let into = match of(*r) {
                Some(v) => counts.entry(v).or_default(),
                None => &mut unknown,
            };
            if into.last() != Some(&office_year) {
                into.push(office_year);
            }
        }
        if counts.len() < 2 {
            return;
        }
        // Where the table is silent, every answer leaves the row.
        let total: usize = counts.values().map(Vec::len).sum::<usize>() + unknown.len();
        let left: f64 = counts
            .values()
            .map(|v| {
                (v.len() as f64 / (total - unknown.len()) as f64) * (v.len() + unknown.len()) as f64
            })
            .sum();
        let mut answers: Vec<Answer> = counts
            .into_iter()
            .map(|(found, v)| Answer {
                found,
                leaves: v.len() + unknown.len(),
            })
            .collect();
        answers.sort_by_key(|a| std::cmp::Reverse(a.leaves));
        out.push((
            left,
            LookNext {
                feature: name.to_string(),
                answers,
            },
        ));
    };

    for (slot, kind) in [
        (Slot::Town, Kind::Town),
        (Slot::Standard, Kind::Standard),
        (Slot::Duty, Kind::Duty),
        (Slot::Import, Kind::Import),
    ] {
        // A fineness in figures is the standard's mark on gold and on modern silver.
        if described(kind)
            || kind == Kind::Standard && described(Kind::Fineness)
            || kind == Kind::Town && described(Kind::Import)
            || kind == Kind::Import && described(Kind::Town)
        {
            continue;
        }
        feature(slot_name(slot), &|r| {
            // Alternatives of a change-over are one answer; marks that stand together another.
            let groups: Vec<String> = n
                .image
                .row(r)
                .groups()
                .filter(|g| g.due)
                .filter_map(|g| {
                    let names: Vec<&str> = g
                        .marks()
                        .filter(|m| m.slot() == slot)
                        .map(|m| n.image.device(m.device()).name())
                        .collect();
                    (!names.is_empty()).then(|| names.join(" or "))
                })
                .collect();
            Some(if groups.is_empty() {
                format!("no {}", slot_name(slot))
            } else {
                groups.join(" with ")
            })
        });
    }
    if letters.iter().all(|l| l.values.is_empty()) {
        feature("date letter", &|r| {
            let l = n.image.row(r).letter();
            l.value().map(|v| n.image.value(v).to_string())
        });
    }
    if letters.iter().all(|l| l.case.is_none()) {
        feature(
            "case of the letter",
            &|r| match n.image.row(r).letter().case() {
                Case::Upper => Some("capital".into()),
                Case::Lower => Some("small".into()),
                Case::Either => None,
            },
        );
    }
    if letters.iter().all(|l| l.lettering.is_none()) {
        feature("lettering", &|r| {
            let l = n.image.row(r).letter();
            l.lettering()
                .map(|k| n.image.lettering(k).name().to_string())
        });
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.into_iter().take(MOST).map(|(_, l)| l).collect()
}
