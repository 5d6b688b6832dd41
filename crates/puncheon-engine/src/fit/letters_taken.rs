//! Letters of plate that were makers' letters too. `RG` beside a full set of marks is Robert
//! Garrard's, alone it is rolled gold.

use puncheon_schema::entry::{DeviceKind, Slot};
use puncheon_schema::image::{Image, LookalikeView};

use crate::fit::evidence::{Evidence, gather};
use crate::fit::lookalikes;
use puncheon_lexis::said::{Remark, RemarkKind};
use puncheon_lexis::sighting::{Sighting, Sightings, What};

/// Takes such letters for a maker's mark, or for the assay master's, where what stands beside them
/// vouches for a hallmark, and says so.
pub fn settle(image: &Image, typed: &str, seen: &mut Sightings) {
    for i in 0..seen.sightings.len() {
        let plate = seen.sightings.get(i).and_then(|s| letters(image, s));
        let Some((device, entry)) = plate else { continue };
        let beside: Vec<Sighting> = beside(image, &seen.sightings, i).cloned().collect();
        let what = if graded(image, device, &beside) {
            continue;
        } else if vouched(image, &beside) {
            What::Sponsor
        } else if let Some(assayer) = entry.assayer().filter(|a| assayed(image, *a, &beside)) {
            What::Device(vec![assayer])
        } else {
            continue;
        };
        let Some(taken) = seen.sightings.get_mut(i) else { continue };
        taken.what = what;
        let quoted = taken.quoted(typed);
        seen.letters_taken.push((i, device));
        seen.remarks.push(Remark {
            start: quoted.start,
            end: quoted.end,
            remark: RemarkKind::Guessed,
            nearest: None,
        });
        seen.remarks.sort_by_key(|r| (r.start, r.end));
    }
}

/// The letters of plate that a sighting shows, and the entry that they alone meet.
fn letters<'i>(image: &'i Image, s: &Sighting) -> Option<(u32, LookalikeView<'i>)> {
    let What::Lookalike(device) = s.what else {
        return None;
    };
    Some(device).zip(alone(image, device))
}

/// What letters of plate are alone: the entry that they meet without another mark.
pub fn alone(image: &Image, device: u32) -> Option<LookalikeView<'_>> {
    let met = image.device(device as usize).lookalikes();
    met.map(|l| image.lookalike(l as usize))
        .find(|l| l.unless_maker() && l.needs().any(|mut set| set.next() == Some(device)))
}

/// The other marks of the piece, letters of plate left out.
fn beside<'s>(
    image: &'s Image,
    all: &'s [Sighting],
    i: usize,
) -> impl Iterator<Item = &'s Sighting> {
    let part = all.get(i).map(|s| s.part);
    all.iter()
        .enumerate()
        .filter(move |(k, s)| *k != i && Some(s.part) == part && letters(image, s).is_none())
        .map(|(_, s)| s)
}

/// Does something beside them say that they are a plater's: A1, the grade of a coat?
fn graded(image: &Image, device: u32, beside: &[Sighting]) -> bool {
    let shown = |d: u32| {
        let shows = |s: &Sighting| matches!(s.what, What::Lookalike(x) if image.covers(d as usize, x as usize));
        d == device || beside.iter().any(shows)
    };
    let met = image.device(device as usize).lookalikes();
    met.map(|l| image.lookalike(l as usize)).filter(|l| l.denies() && !l.unless_maker()).any(|l| {
        let mut sets = l.needs();
        sets.any(|set| {
            let set: Vec<u32> = set.collect();
            set.contains(&device) && set.iter().all(|d| shown(*d))
        })
    })
}

/// Is there an office's town mark and a standard mark that stood together? An assay master's mark
/// stands for a standard's.
fn vouched(image: &Image, beside: &[Sighting]) -> bool {
    let assayer = |s: &Sighting| match &s.what {
        What::Device(v) => {
            v.iter().any(|d| image.device(*d as usize).kind() == DeviceKind::Assayer)
        }
        What::Slot(slot) => *slot == Slot::Assayer,
        _ => false,
    };
    let town = |s: &Sighting| lookalikes::shows_office(image, s);
    let standard = |s: &Sighting| lookalikes::shows_standard(image, s) || assayer(s);
    let some = beside.iter().any(town)
        && (beside.iter().any(standard) || lookalikes::makes_standard(image, beside));
    some && together(image, beside, |s| town(s) || standard(s), |_| true)
}

/// Did the assay master work where and when the marks beside his letters were struck?
fn assayed(image: &Image, assayer: u32, beside: &[Sighting]) -> bool {
    let his = |row: usize| {
        let mut marks = image.row(row).marks();
        marks.any(|m| m.device() == assayer as usize)
    };
    let town = |s: &Sighting| lookalikes::shows_office(image, s);
    beside.iter().any(town) && together(image, beside, |_| true, his)
}

/// Does some row of this sort allow all those marks together?
fn together(
    image: &Image,
    marks: &[Sighting],
    of: impl Fn(&Sighting) -> bool,
    row: impl Fn(usize) -> bool,
) -> bool {
    let told: Vec<Sighting> = marks.iter().filter(|s| of(s)).cloned().collect();
    let evidence = gather(image, &told, false);
    let allowed = |i: usize| {
        let all = image.all_bits().word(i);
        evidence.iter().fold(all, |w, e: &Evidence| w & e.allowed(i))
    };
    (0..image.width()).any(|i| {
        let word = allowed(i);
        (0..64).any(|b| word >> b & 1 == 1 && row(i * 64 + b))
    })
}
