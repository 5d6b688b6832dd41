//! What candidates show of the mark in one place of the set.

use puncheon_schema::entry::Slot;
use puncheon_schema::image::{Image, Meets, Meta};

use crate::numbered::{ByNumber, places};
use crate::questions::answer::{Answer, Shown, Sort, place_in};
use crate::questions::candidate::Candidates;
use crate::questions::feature::Said;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::What;

/// The mark in a place of the set.
pub(super) fn mark(said: Said, c: &Candidates, slot: Slot) -> Option<Shown> {
    let kind = What::Slot(slot).kind(c.image);
    // The town's mark stands in for an import mark, and a figure for a standard's.
    let other = match kind {
        Kind::Town => said.described(Kind::Import),
        Kind::Import => said.described(Kind::Town),
        _ => false,
    };
    if said.absent(kind) || other {
        return None;
    }
    let sets = Sets::of(c, slot);
    // A broad word may still be told apart; the name of a mark that was struck is told.
    if said.devices().any(|d| sets.devices.contains(&d)) {
        return None;
    }
    // Described in broad words, it is there.
    let described =
        said.described(kind) || kind == Kind::Standard && said.described(Kind::Fineness);
    let may_miss = !described && sets.found.iter().any(|s| s.due.is_empty());
    let missing = may_miss.then_some(sets.devices.len());
    let sorts = sets.found.iter().map(|set| {
        let none = missing.filter(|_| set.due.is_empty());
        let shows = if set.due.is_empty() { none.into_iter().collect() } else { set.due.clone() };
        Sort { shows, keeps: agree(c.image, set, sets.devices.iter()).chain(none).collect() }
    });
    let sorts = sorts.collect();
    let mut answers: Vec<Answer> = sets.devices.into_iter().map(Answer::Device).collect();
    answers.extend(missing.map(|_| Answer::Missing));
    Some(Shown { answers, sorts, of: sets.of })
}

/// Another town's mark beside the one that was described: one office's mark was a further mark of
/// others.
pub(super) fn beside(said: Said, c: &Candidates) -> Option<Shown> {
    let image = c.image;
    let sets = Sets::of(c, Slot::Town);
    let described =
        |d: usize| said.devices().any(|x| x == d || image.relation(x, d) == Meets::Agree);
    let others = sets.devices.iter().enumerate().filter(|(_, d)| !described(**d));
    // By their places among the devices.
    let others: Vec<(usize, &usize)> = others.collect();
    // A town mark is there, and some year would have it alone.
    if others.is_empty() || others.len() == sets.devices.len() || said.absent(Kind::Town) {
        return None;
    }
    let alone = others.len();
    let sorts = sets.found.iter().map(|set| {
        // Where one of them should stand, "no other" would strain.
        let due = |(_, d): &(usize, &usize)| image.device_bits(**d, 3).has(set.row);
        let none = Some(alone).filter(|_| !others.iter().any(due));
        let shows = match none {
            Some(_) => vec![alone],
            None => places(&others, |(place, _)| set.due.contains(place)),
        };
        let devices = others.iter().map(|(_, d)| *d);
        Sort { shows, keeps: agree(image, set, devices).chain(none).collect() }
    });
    let sorts = sorts.collect();
    let others = others.iter().map(|(_, d)| Answer::Device(**d));
    Some(Shown { answers: others.chain([Answer::Missing]).collect(), sorts, of: sets.of })
}

/// What the sets of marks show in one place. Rows share their sets; each is looked at once.
struct Sets {
    /// The devices due in some set.
    devices: Vec<usize>,
    found: Vec<Set>,
    /// The set of each candidate, by its place among those found.
    of: Vec<usize>,
}

struct Set {
    /// A row that has it.
    row: usize,
    /// Devices that are due, by their place in the list.
    due: Vec<usize>,
}

impl Sets {
    fn of(c: &Candidates, slot: Slot) -> Sets {
        let mut out = Sets { devices: Vec::new(), found: Vec::new(), of: Vec::new() };
        let mut place = ByNumber::all(None, c.image.meta(Meta::Sets));
        for r in &c.rows {
            let set = r.view.set();
            let found = place.get(set).unwrap_or_else(|| {
                let due = due(c.image, set, slot, &mut out.devices);
                out.found.push(Set { row: r.row, due });
                out.found.len() - 1
            });
            place.set(set, Some(found));
            out.of.push(found);
        }
        out
    }
}

/// Which of some devices a set agrees with, by their place among those asked about.
fn agree<'d>(
    image: &Image,
    set: &Set,
    asked: impl Iterator<Item = &'d usize>,
) -> impl Iterator<Item = usize> {
    let agrees = |d: &usize| image.device_bits(*d, 0).has(set.row);
    asked.enumerate().filter(move |(_, d)| agrees(d)).map(|(place, _)| place)
}

/// The devices due in one place of a set, by their place in the list.
fn due(image: &Image, set: usize, slot: Slot, devices: &mut Vec<usize>) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    for g in image.set_groups(set).filter(|g| g.due) {
        for m in g.marks().filter(|m| m.slot() == slot) {
            let place = place_in(devices, m.device());
            if !out.contains(&place) {
                out.push(place);
            }
        }
    }
    out
}
