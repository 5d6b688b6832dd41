//! Marks that are not British or Irish hallmarks, or that stand beside them.

use puncheon_schema::entry::{DeviceKind, LookalikeKind, OutsideBecause as Outside, Slot};
use puncheon_schema::image::{Image, LookalikeView, Meta};

use crate::fit::outcome::OutsideBecause;
use crate::numbered::places;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::{Sighting, Sightings, What};

/// A lookalike met by a description.
pub struct Raised {
    /// Its number in the tables.
    pub i: usize,
    /// Sightings that met it.
    pub by: Vec<usize>,
    /// It excludes a hallmark.
    pub denies: bool,
}

/// The lookalikes worth naming beside a description.
///
/// An entry is met when all devices of one of its sets were described. Where no standard mark was
/// described, an entry that shares a device is named too; and where no office's mark was, a bare
/// letter, a bare fineness or a standard's device alone is.
pub fn met(image: &Image, seen: &Sightings) -> Vec<Raised> {
    let s = &seen.sightings;
    let standard = s.iter().any(|x| shows_standard(image, x)) || makes_standard(image, s);
    let town = s.iter().any(|x| shows_office(image, x));
    let any = s.iter().any(|x| !matches!(x.what, What::Absent(_)));
    let devices = s.iter().flat_map(|x| match &x.what {
        What::Lookalike(d) => std::slice::from_ref(d),
        What::Device(v) => v,
        _ => &[],
    });
    let taken = seen.letters_taken.iter().map(|(_, d)| d);
    let mut candidates: Vec<usize> = devices
        .chain(taken)
        .flat_map(|d| image.device(*d as usize).lookalikes())
        .chain(image.general_lookalikes())
        .map(|i| i as usize)
        .collect();
    candidates.sort_unstable();
    candidates.dedup();
    let mut out = Vec::new();
    for i in candidates {
        let l = image.lookalike(i);
        let shown = |d: u32| described(image, s, d as usize);
        let needed = l.needs().find_map(|set| {
            let by: Option<Vec<usize>> = set.map(shown).collect();
            by.filter(|v| !v.is_empty())
        });
        // Letters taken for a maker's are named beside the reading, and deny nothing.
        if let Some((at, _)) = seen
            .letters_taken
            .iter()
            .find(|(_, d)| needed.is_none() && l.unless_maker() && l.devices().any(|n| n == *d))
        {
            let (by, denies) = (vec![*at], false);
            out.push(Raised { i, by, denies });
            continue;
        }
        let by_rule = match l.kind() {
            LookalikeKind::BareLetter => {
                (!town && !standard).then(|| letters(s)).filter(|v| !v.is_empty())
            }
            LookalikeKind::BareFigure => {
                (!town).then(|| figures(image, s)).filter(|v| !v.is_empty())
            }
            LookalikeKind::MakerOnly => {
                let makers = places(s, |x| x.what == What::Sponsor);
                let alone = |x: &Sighting| matches!(x.what, What::Sponsor | What::Absent(_));
                (any && s.iter().all(alone)).then_some(makers)
            }
            LookalikeKind::Pseudo if l.is_general() => pseudo(image, seen, town),
            _ => None,
        };
        let shared = || {
            let by: Vec<usize> = l.shares().filter_map(shown).collect();
            (!standard && !by.is_empty()).then_some(by)
        };
        // A shared device never denies: it may be the real mark.
        let denies = l.denies() && needed.is_some();
        if let Some(by) = needed.or(by_rule).or_else(shared) {
            out.push(Raised { i, by, denies });
        }
    }
    out
}

/// Does nothing stand beside what this kind means: a letter, a figure or a maker's mark alone?
pub fn stands_alone(k: LookalikeKind) -> bool {
    matches!(k, LookalikeKind::BareLetter | LookalikeKind::BareFigure | LookalikeKind::MakerOnly)
}

/// The sighting that shows a device, or a narrower form of it.
fn described(image: &Image, s: &[Sighting], device: usize) -> Option<usize> {
    let shown = |d: &u32| image.covers(device, *d as usize);
    s.iter().position(|x| match &x.what {
        What::Lookalike(d) => shown(d),
        What::Device(v) => v.iter().all(shown),
        _ => false,
    })
}

/// A standard mark. A carat figure without its crown or decimal does not count as one.
pub fn shows_standard(image: &Image, s: &Sighting) -> bool {
    match &s.what {
        What::Device(v) => v.iter().any(|d| {
            image.device(*d as usize).kind() == DeviceKind::Standard || decimal(image, *d)
        }),
        What::Slot(slot) => *slot == Slot::Standard,
        // "sterling mark"; a carat is only a figure.
        What::Standard(_) => s.kind(image) == Kind::Standard,
        _ => false,
    }
}

/// Two marks that are one standard's together: a crown and a carat figure.
pub fn makes_standard(image: &Image, s: &[Sighting]) -> bool {
    let devices: Vec<usize> = s
        .iter()
        .filter_map(|x| match &x.what {
            What::Device(v) => v.first().map(|d| *d as usize),
            _ => None,
        })
        .collect();
    let figure = |d: &&usize| image.device(**d).kind() == DeviceKind::Fineness;
    devices.iter().filter(figure).any(|f| {
        (0..image.meta(Meta::Devices)).any(|joint| {
            image.device(joint).kind() == DeviceKind::Standard
                && image.covers(*f, joint)
                && devices.iter().any(|d| d != f && image.covers(*d, joint))
        })
    })
}

/// A fineness in thousandths.
fn decimal(image: &Image, d: u32) -> bool {
    let view = image.device(d as usize);
    view.kind() == DeviceKind::Fineness && view.id().starts_with(|c: char| c.is_ascii_digit())
}

/// Does a sighting show an office, by its mark, by that of imports or by its name?
pub fn shows_office(image: &Image, s: &Sighting) -> bool {
    match &s.what {
        What::Device(v) => v.iter().any(|d| {
            matches!(image.device(*d as usize).kind(), DeviceKind::Town | DeviceKind::Import)
        }),
        What::Slot(slot) => matches!(slot, Slot::Town | Slot::Import),
        What::Town(_) => true,
        _ => false,
    }
}

/// Is there no mark of an office, a standard or another law: nothing but letters, bare figures,
/// initials, words and absences, which are found on anything?
pub fn nothing_shown(image: &Image, s: &[Sighting]) -> bool {
    let bare = |x: &Sighting| match &x.what {
        What::Letter(_) | What::Sponsor | What::Lookalike(_) | What::Absent(_) => true,
        What::Device(_) | What::Standard(_) => {
            x.kind(image) == Kind::Fineness && !shows_standard(image, x)
        }
        _ => false,
    };
    s.iter().all(bare) && !makes_standard(image, s)
}

fn letters(s: &[Sighting]) -> Vec<usize> {
    let all = s.iter().all(|x| matches!(x.what, What::Letter(_) | What::Sponsor));
    if !all {
        return Vec::new();
    }
    places(s, |x| matches!(&x.what, What::Letter(l) if !l.values.is_empty()))
}

fn figures(image: &Image, s: &[Sighting]) -> Vec<usize> {
    let figure = |x: &Sighting| match &x.what {
        What::Standard(_) => true,
        What::Device(v) => {
            v.iter().all(|d| image.device(*d as usize).kind() == DeviceKind::Fineness)
        }
        _ => false,
    };
    let all = s.iter().all(|x| figure(x) || matches!(x.what, What::Sponsor | What::Lookalike(_)));
    if !all {
        return Vec::new();
    }
    places(s, figure)
}

/// A standard's device without any office's mark, or the describer's own word for it.
fn pseudo(image: &Image, seen: &Sightings, town: bool) -> Option<Vec<usize>> {
    let by: Vec<usize> = seen
        .sightings
        .iter()
        .enumerate()
        .filter(|(_, x)| matches!(&x.what, What::Device(v) if v.iter().any(|d| image.device(*d as usize).kind() == DeviceKind::Standard)))
        .map(|(i, _)| i)
        .collect();
    let copy = seen.called_copy && !seen.sightings.is_empty();
    (copy || !town && !by.is_empty()).then_some(by)
}

/// Was it met by a mark of its own, not by one it shares with a hallmark?
pub fn own(r: &Raised, s: &[Sighting]) -> bool {
    r.by.iter().filter_map(|i| s.get(*i)).any(|x| matches!(x.what, What::Lookalike(_)))
}

/// Is the mark one that the lookalike shares with a hallmark: Greenock's anchor?
fn shared(entry: LookalikeView, image: &Image, s: &Sighting) -> bool {
    match &s.what {
        What::Device(v) => {
            entry.shares().any(|d| v.iter().all(|x| image.covers(d as usize, *x as usize)))
        }
        _ => false,
    }
}

/// Why the lookalikes met put the description outside the tables: only where no office's mark was
/// described beside them.
pub fn outside(image: &Image, seen: &Sightings, met: &[Raised]) -> Option<OutsideBecause> {
    let s = &seen.sightings;
    for r in met.iter().filter(|r| own(r, s)) {
        let entry = image.lookalike(r.i);
        match entry.outside() {
            Some(Outside::ForeignFineness) => return Some(OutsideBecause::ForeignFineness),
            Some(Outside::NoYearLetters)
                if !s.iter().any(|x| shows_office(image, x) && !shared(entry, image, x)) =>
            {
                return Some(OutsideBecause::NoYearLetters);
            }
            _ => {}
        }
    }
    None
}
