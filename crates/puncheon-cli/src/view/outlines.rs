//! The outlines of punches, as text for people.

use std::fmt::Write;

use puncheon::outlines::{Outline, Outlines};
use puncheon::phrases::counted;
use puncheon_draw::{NO_DOTS, Sketch, sketch, sketch_width};

use crate::screen::{Screen, wrap};

/// Columns before a sketch, and between it and its words.
const INDENT: usize = 2;
const GAP: usize = 3;
/// Words need so many columns to stand beside a sketch.
const NARROW: usize = 24;

/// The whole screen of the outlines.
pub fn outlines(all: &Outlines, s: &Screen) -> String {
    let mut out = String::new();
    let title = format!("{} of punches", counted(all.outlines.len(), "outline"));
    let _ = writeln!(out, "{}\n", s.strong(&title));
    let (struck, other): (Vec<&Outline>, Vec<&Outline>) =
        all.outlines.iter().partition(|o| o.letters > 0);
    for o in struck {
        one(o, &letters(o), s, &mut out);
    }
    if !other.is_empty() {
        out.push_str("No date letter of the tables has these:\n\n");
    }
    for o in other {
        one(o, "", s, &mut out);
    }
    let unknown =
        format!("Of {} the tables know no outline.", counted(all.not_known, "date letter"));
    s.say(&mut out, 0, &unknown);
    for c in &all.cautions {
        s.say(&mut out, 0, c);
    }
    out
}

/// A sketch of an outline, and beside it its word and what that means.
fn one(o: &Outline, letters: &str, s: &Screen, out: &mut String) {
    let how = match s.unicode() {
        true => Sketch::Dots,
        false => Sketch::Strokes,
    };
    let drawn = sketch(&o.id, how).unwrap_or_default();
    let beside = sketch_width(how) + INDENT + GAP;
    // On a narrow screen the words stand below.
    let room = s.width().saturating_sub(beside);
    let (room, at) = match room < NARROW {
        true => (s.width() - INDENT, drawn.len()),
        false => (room, 0),
    };
    let mut words = String::new();
    for line in [o.id.as_str(), &o.means, letters].iter().filter(|l| !l.is_empty()) {
        wrap(&mut words, room, 0, line);
    }
    let words: Vec<&str> = words.lines().collect();
    for i in 0..drawn.len().max(at + words.len()) {
        let picture = drawn.get(i).map_or("", String::as_str);
        let word = i.checked_sub(at).and_then(|i| words.get(i)).copied();
        let left = format!("{:INDENT$}{picture}", "");
        let pad = match at {
            0 => beside.saturating_sub(left.chars().count()),
            _ => 0,
        };
        let line = format!("{left}{:pad$}{}", "", word.unwrap_or_default());
        let _ = writeln!(out, "{}", line.trim_end_matches([' ', NO_DOTS]));
    }
    out.push('\n');
}

/// How many letters have it, in words.
fn letters(o: &Outline) -> String {
    let metals: Vec<String> = [(o.on_silver, "silver"), (o.on_gold, "gold")]
        .into_iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, metal)| format!("{} on {metal}", counted(n, "letter")))
        .collect();
    metals.join(", ")
}
