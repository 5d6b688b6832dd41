//! What to look at next: of the features not yet described, the one that on average leaves the
//! fewest office-years.

use puncheon_schema::entry::{Case, Slot};
use puncheon_schema::image::{Image, Meta, RowView};

use crate::engine::fit::narrow::Narrow;
use crate::json::reading::{Answer, Kind, LookNext, Settles};
use crate::lexis::sighting::What;
use crate::voice::sighting::slot_name;

/// The most features named.
const MOST: usize = 3;

/// A feature not yet described, and what each row would show.
struct Feature<'a> {
    name: &'static str,
    /// For each row the number of its answer; None where the table is silent.
    found: Vec<Option<usize>>,
    /// The answer in words.
    say: Box<dyn Fn(usize) -> String + 'a>,
}

/// The features not yet described.
fn features<'a>(n: &Narrow<'a>, rows: &[usize]) -> Vec<Feature<'a>> {
    let image = n.image;
    // A mark said not to be there was looked for.
    let described = |kind: Kind| {
        n.sightings.iter().any(|s| match &s.what {
            What::Absent(w) => w.kind(image) == kind,
            what => what.kind(image) == kind,
        })
    };
    let letters: Vec<_> = n
        .sightings
        .iter()
        .filter_map(|s| match &s.what {
            What::Letter(l) => Some(l),
            _ => None,
        })
        .collect();
    let views: Vec<RowView> = rows.iter().map(|r| image.row(*r)).collect();
    let mut out: Vec<Feature<'a>> = Vec::new();
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
        // Rows share their sets of marks; each set is looked at once.
        let mut sets: Vec<Option<u16>> = vec![None; image.meta(Meta::Sets)];
        let mut answers: Vec<String> = Vec::new();
        let found = views
            .iter()
            .map(|view| {
                let k = *sets[view.set()].get_or_insert_with(|| {
                    let answer = marks_due(image, *view, slot);
                    let known = answers.iter().position(|a| *a == answer);
                    known.unwrap_or_else(|| {
                        answers.push(answer);
                        answers.len() - 1
                    }) as u16
                });
                Some(usize::from(k))
            })
            .collect();
        out.push(Feature {
            name: slot_name(slot),
            found,
            say: Box::new(move |k| answers[k].clone()),
        });
    }
    if letters.iter().all(|l| l.values.is_empty()) {
        out.push(Feature {
            name: "date letter",
            found: views.iter().map(|v| v.letter().value()).collect(),
            say: Box::new(|k| image.value(k).to_string()),
        });
    }
    if letters.iter().all(|l| l.case.is_none()) {
        out.push(Feature {
            name: "case of the letter",
            found: views
                .iter()
                .map(|v| match v.letter().case() {
                    Case::Upper => Some(0),
                    Case::Lower => Some(1),
                    Case::Either => None,
                })
                .collect(),
            say: Box::new(|k| ["capital", "small"][k].to_string()),
        });
    }
    if letters.iter().all(|l| l.lettering.is_none()) {
        out.push(Feature {
            name: "lettering",
            found: views.iter().map(|v| v.letter().lettering()).collect(),
            say: Box::new(|k| image.lettering(k).name().to_string()),
        });
    }
    out
}

/// Features by which the rows left differ, the most telling first. Each row stands for one
/// office-year and standard.
pub(crate) fn look(n: &Narrow, rows: &[usize]) -> Vec<LookNext> {
    if rows.len() < 2 {
        return Vec::new();
    }
    let office_years: Vec<(usize, i32)> =
        rows.iter().map(|r| n.image.row(*r).letter()).map(|l| (l.office(), l.year())).collect();
    let mut out: Vec<(f64, LookNext)> = Vec::new();
    for f in features(n, rows) {
        // Office-years for each answer and for no answer, and the last one counted.
        let mut counts: Vec<Count> = Vec::new();
        let mut unknown = Count::default();
        for (found, office_year) in f.found.iter().zip(&office_years) {
            let into = match *found {
                Some(k) => {
                    if counts.len() <= k {
                        counts.resize(k + 1, Count::default());
                    }
                    &mut counts[k]
                }
                None => &mut unknown,
            };
            if into.last != Some(*office_year) {
                into.last = Some(*office_year);
                into.n += 1;
            }
        }
        // Where the table is silent, every answer leaves the row.
        let mut answers: Vec<Answer> = counts
            .iter()
            .enumerate()
            .filter(|(_, c)| c.n > 0)
            .map(|(k, c)| Answer { found: (f.say)(k), leaves: c.n + unknown.n })
            .collect();
        if answers.len() < 2 {
            continue;
        }
        answers.sort_by(|a, b| b.leaves.cmp(&a.leaves).then_with(|| a.found.cmp(&b.found)));
        let told: usize = counts.iter().map(|c| c.n).sum();
        let left: usize = counts.iter().map(|c| c.n * (c.n + unknown.n)).sum();
        out.push((left as f64 / told as f64, LookNext { feature: f.name.to_string(), answers }));
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.into_iter().take(MOST).map(|(_, l)| l).collect()
}

/// The feature that best parts some of the rows from the rest: what to look at, and what it would
/// have to be for one of those. `inside` says which rows are meant.
pub(crate) fn settle(n: &Narrow, rows: &[usize], inside: &[bool]) -> Option<Settles> {
    let mut best: Option<(usize, Settles)> = None;
    for f in features(n, rows) {
        let mut wanted: Vec<usize> = Vec::new();
        for (found, inside) in f.found.iter().zip(inside) {
            match found {
                Some(k) if *inside && !wanted.contains(k) => wanted.push(*k),
                _ => {}
            }
        }
        if wanted.is_empty() {
            continue;
        }
        let outside = |stays: &dyn Fn(usize) -> bool| {
            let mut years: Vec<(usize, i32)> = rows
                .iter()
                .zip(inside)
                .zip(&f.found)
                .filter(|((_, inside), found)| !**inside && found.is_none_or(stays))
                .map(|((r, _), _)| n.image.row(*r).letter())
                .map(|l| (l.office(), l.year()))
                .collect();
            years.sort_unstable();
            years.dedup();
            years.len()
        };
        // A mark that may be one of two settles nothing against either.
        let asked: Vec<String> = wanted.iter().map(|k| (f.say)(*k)).collect();
        let alike = |k: usize| {
            let answer = (f.say)(k);
            asked.iter().any(|a| a.split(" or ").any(|x| answer.split(" or ").any(|y| x == y)))
        };
        let others = outside(&|k| wanted.contains(&k) || alike(k));
        if others < outside(&|_| true) && best.as_ref().is_none_or(|(least, _)| others < *least) {
            let mut found = asked;
            found.sort();
            let settles = Settles { feature: f.name.to_string(), found, others };
            best = Some((others, settles));
        }
    }
    best.map(|(_, s)| s)
}

/// Office-years that give one answer.
#[derive(Clone, Copy, Default)]
struct Count {
    n: usize,
    last: Option<(usize, i32)>,
}

/// The marks due in a slot, in words. Alternatives of a change-over are one answer; marks that
/// stand together another.
fn marks_due(image: &Image, view: RowView, slot: Slot) -> String {
    let groups: Vec<String> = view
        .groups()
        .filter(|g| g.due)
        .filter_map(|g| {
            let names: Vec<&str> = g
                .marks()
                .filter(|m| m.slot() == slot)
                .map(|m| image.device(m.device()).name())
                .collect();
            (!names.is_empty()).then(|| names.join(" or "))
        })
        .collect();
    if groups.is_empty() { format!("no {}", slot_name(slot)) } else { groups.join(" with ") }
}
