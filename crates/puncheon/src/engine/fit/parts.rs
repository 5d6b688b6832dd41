//! Several sets described together: "cup: …; lid: …".

use crate::engine::fit::answer::{self, Decided};
use crate::engine::fit::narrow::Options;
use crate::json::reading::{Kind, PartRead, Reading, Remark, RemarkKind};
use crate::lexis::sighting::Sightings;

/// Puts the whole into words, and reads each part apart where the whole fits nothing.
pub(crate) fn told(d: &Decided, asked: &str, seen: &Sightings, options: &Options) -> Reading {
    let image = d.narrow.image;
    let mut reading = answer::told(d, asked, seen);
    let telling: Vec<usize> = (0..seen.parts.len())
        .filter(|p| {
            seen.sightings
                .iter()
                .any(|s| s.part == *p && matches!(s.kind(image), Kind::Town | Kind::Letter))
        })
        .collect();
    if telling.len() < 2 || !reading.fits.is_empty() {
        return reading;
    }
    for p in telling {
        let mut own = Sightings {
            parts: vec![String::new()],
            called_copy: seen.called_copy,
            ..Sightings::default()
        };
        own.sightings = seen.sightings.iter().filter(|s| s.part == p).cloned().collect();
        let label = seen.parts[p].clone();
        reading.parts.push(PartRead { label, reading: answer::read(image, asked, &own, options) });
    }
    if reading.cautions.is_empty() {
        reading.cautions = reading
            .parts
            .iter()
            .flat_map(|p| p.reading.cautions.first().cloned())
            .take(1)
            .collect();
    }
    reading.remarks.push(Remark {
        text: asked.to_string(),
        start: 0,
        end: asked.len(),
        remark: RemarkKind::Ambiguous,
        nearest: Some("two sets of marks seem to be described; each is read apart".into()),
    });
    reading
}
