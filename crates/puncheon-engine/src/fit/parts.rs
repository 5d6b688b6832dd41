//! Several sets described together: "cup: …; lid: …".

use crate::fit::answer::Decided;
use puncheon_lexis::said::Kind;
use puncheon_lexis::sighting::Sightings;

/// The parts that are read apart, where the whole fits nothing: those that tell an office or a letter,
/// if there are two or more. By their numbers, each with its own marks.
pub fn apart(d: &Decided, seen: &Sightings) -> Vec<(usize, Sightings)> {
    let image = d.narrow.image;
    let telling: Vec<usize> = (0..seen.parts.len())
        .filter(|p| {
            seen.sightings
                .iter()
                .any(|s| s.part == *p && matches!(s.kind(image), Kind::Town | Kind::Letter))
        })
        .collect();
    if telling.len() < 2 || !d.fits.is_empty() {
        return Vec::new();
    }
    let own = |p: usize| Sightings {
        parts: vec![String::new()],
        called_copy: seen.called_copy,
        sightings: seen.sightings.iter().filter(|s| s.part == p).cloned().collect(),
        ..Sightings::default()
    };
    telling.into_iter().map(|p| (p, own(p))).collect()
}
