//! What to mind, as text for people.

use puncheon::cautions::{Caution, PRACTICE};
use puncheon::schema::entry::Confidence;

use crate::screen::Screen;

/// The whole screen of some cautions.
pub fn cautions(list: &[Caution], s: &Screen) -> String {
    let mut out = String::new();
    listed(list, s, &mut out);
    if list.iter().any(|c| c.source == PRACTICE) {
        out.push('\n');
        s.say(&mut out, 0, "What names no source is the common practice of the trade.");
    }
    if list.is_empty() {
        out.push_str("The tables hold no caution for this.\n");
    }
    out
}

/// Heading by heading, each caution with what it rests on.
pub fn listed(list: &[Caution], s: &Screen, out: &mut String) {
    let mut heading = "";
    for c in list {
        if c.about != heading {
            if !out.is_empty() && !out.ends_with("\n\n") {
                out.push('\n');
            }
            s.title(out, &c.about);
            out.push('\n');
            heading = &c.about;
        }
        s.say(out, 2, &format!("{}{}", c.told(), rests_on(c)));
    }
}

/// What a caution rests on, behind it in brackets; nothing for common practice.
fn rests_on(c: &Caution) -> String {
    let parts = [
        (c.source != PRACTICE).then(|| c.source.clone()),
        (c.confidence != Confidence::High).then(|| format!("{} confidence", c.confidence)),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    match parts.is_empty() {
        true => String::new(),
        false => format!(" ({})", parts.join(", ")),
    }
}
