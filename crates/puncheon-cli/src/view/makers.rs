//! The makers of the sponsor's marks in a reading, as `read` and `check` tell them.

use puncheon::Reading;
use puncheon::reading::{Outcome, OutsideBecause};
use puncheon::sponsors::Maker;

use crate::screen::Screen;

/// Most makers of a mark without `--all`.
const FEW: usize = 3;

/// The makers of the sponsor's marks in a reading, a few lines each.
pub fn lines(r: &Reading, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    let mut marks: Vec<usize> = r.sponsors.iter().map(|m| m.sighting).collect();
    marks.dedup();
    for mark in marks {
        let of = || r.sponsors.iter().filter(move |m| m.sighting == mark);
        // A maker had several punches, and is told once.
        let (mut fit, mut apart): (Vec<&Maker>, Vec<&Maker>) = (Vec::new(), Vec::new());
        for m in of().map(|m| &m.maker) {
            let list = if m.consistent() { &mut fit } else { &mut apart };
            if !list.iter().any(|x| x.who() == m.who()) {
                list.push(m);
            }
        }
        apart.retain(|m| !fit.iter().any(|x| x.who() == m.who()));
        let words = r.sightings.get(mark).map_or("", |m| m.text.as_str());
        let few = if all { usize::MAX } else { FEW };
        let told = |list: &[&Maker]| -> String {
            let each: Vec<String> =
                list.iter().take(few).map(|m| format!("{} ({})", m.who(), m.placed())).collect();
            let more = match list.len().saturating_sub(few) {
                0 => String::new(),
                n => format!("; and {n} more"),
            };
            format!("{}{more}", each.join("; "))
        };
        let lost =
            r.outcome == Outcome::None || r.outside_because == Some(OutsideBecause::OfficeClosed);
        let said = match (fit.is_empty(), apart.len()) {
            (false, 0) if lost => format!(
                "\"{words}\" stands in the register for {}. Nothing fits the other marks, so that no office and no year bears on it.",
                told(&fit)
            ),
            // Initials alone name no one, whoever else the register lacks.
            (false, 0) if fit.len() == 1 => format!(
                "\"{words}\" is consistent with {}. The register has no other maker with these letters; it holds only some.",
                told(&fit)
            ),
            (false, 0) => format!("\"{words}\" is consistent with {}.", told(&fit)),
            (false, n) => {
                let others = if all {
                    format!(" The same letters elsewhere or at another time: {}.", told(&apart))
                } else {
                    format!(" {n} more had the letters elsewhere or at another time.")
                };
                format!("\"{words}\" is consistent with {}.{others}", told(&fit))
            }
            (true, _) => format!(
                "\"{words}\": of the makers in the register with these letters none was at work there then: {}.",
                told(&apart)
            ),
        };
        s.say(&mut out, 0, &said);
    }
    out
}
