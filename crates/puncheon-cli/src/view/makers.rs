//! Makers of the register, as text for people: those asked for, and those of the marks in a reading.

use std::fmt::Write;

use puncheon::phrases::{capital, counted};
use puncheon::reading::{Outcome, OutsideBecause};
use puncheon::schema::entry::{Basis, Confidence};
use puncheon::schema::image::Meta;
use puncheon::schema::sponsor::Arrangement;
use puncheon::sponsors::{self, By, Maker, Sponsors};
use puncheon::{Reading, Tables};

use crate::screen::Screen;

/// Most makers without `--all`.
const MOST: usize = 10;
/// Most makers of a mark in a reading without `--all`; where no more are listed, notes and sources
/// stand with them.
const FEW: usize = 3;

/// The whole screen of what the register answers.
pub fn makers(found: &Sponsors, tables: &Tables, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    let (fit, apart): (Vec<&Maker>, Vec<&Maker>) =
        found.sponsors.iter().partition(|m| m.consistent());
    s.title(&mut out, &title(found, tables, &fit));
    let most = if all { usize::MAX } else { MOST };
    let fitting = fit.len().min(most);
    // Where some fit, those that do not are few unless they are asked for.
    let rest = match (fit.is_empty(), all) {
        (false, false) => FEW.min(most - fitting),
        _ => most - fitting,
    };
    let rest = apart.len().min(rest);
    if fitting > 0 {
        out.push('\n');
    }
    let whole = all || fitting + rest <= FEW;
    for m in &fit[..fitting] {
        entry(m, tables, s, whole, &mut out);
    }
    if rest > 0 {
        let same = match found.asked.by {
            None => "Also",
            Some(By::Name) => "Of that name, elsewhere or at another time",
            _ => "The same letters, elsewhere or at another time",
        };
        let _ = writeln!(out, "\n{same}:\n");
    }
    for m in &apart[..rest] {
        entry(m, tables, s, whole, &mut out);
    }
    out.push('\n');
    let left = found.sponsors.len() - fitting - rest;
    match (left, whole) {
        (0, true) => {}
        (0, false) => s.say(&mut out, 0, "Notes and sources: --all gives them."),
        (n, true) => s.say(&mut out, 0, &format!("{n} more: --all lists them.")),
        (n, false) => {
            s.say(&mut out, 0, &format!("{n} more: --all lists them, with notes and sources."))
        }
    }
    if let Some(taken) = sponsors::taken(&found.asked) {
        s.say(&mut out, 0, &taken);
    }
    for c in &found.cautions {
        s.say(&mut out, 0, c);
    }
    out
}

/// The answer in one line: never a name alone where others fit.
fn title(found: &Sponsors, tables: &Tables, fit: &[&Maker]) -> String {
    if let Some(nothing) = &found.nothing {
        return nothing.clone();
    }
    let a = &found.asked;
    let image = tables.image();
    let text = a.read_as.as_deref().unwrap_or(a.text.trim());
    let mut what: Vec<String> = vec![text.to_string()];
    what.extend(a.offices.iter().map(|o| sponsors::place(image, o)));
    what.extend(a.from.map(|from| match a.to {
        Some(to) if to != from => format!("{from} to {to}"),
        _ => from.to_string(),
    }));
    what.retain(|w| !w.is_empty());
    let what = match what.is_empty() {
        true => "That punch".to_string(),
        false => what.join(", "),
    };
    let mut makers: Vec<String> = Vec::new();
    for who in fit.iter().map(|m| m.who()) {
        if !makers.contains(&who) {
            makers.push(who);
        }
    }
    if a.by == Some(By::Name) {
        let marks = |n| counted(n, "mark");
        return match (fit.len(), found.sponsors.len() - fit.len()) {
            (n, 0) => format!("{what}: {} in the register", marks(n)),
            (0, n) => format!("{what}: {} of the name, none of that office and time", marks(n)),
            (n, apart) => format!(
                "{what}: {} in the register, and {apart} of the name elsewhere or at another time",
                marks(n)
            ),
        };
    }
    match makers.as_slice() {
        [] => format!(
            "{what}: no maker of the register fits; {} had these letters",
            found.sponsors.len()
        ),
        [one] => format!("{what}: consistent with {one}, and with no other in the register"),
        many => format!("{what}: consistent with {} of the register", counted(many.len(), "maker")),
    }
}

/// A maker with what is known of the mark, and what speaks against it. `whole`: with its note and
/// sources.
fn entry(m: &Maker, tables: &Tables, s: &Screen, whole: bool, out: &mut String) {
    let _ = writeln!(out, "  {}", s.strong(&m.who()));
    let mut said = vec![mark(m, tables), placed(m)];
    said.extend(Some(m.trade.join(", ")).filter(|t| !t.is_empty()));
    said.extend(basis(m).map(String::from));
    s.say(out, 6, &format!("{}.", said.join("; ")));
    for against in m.clashes.iter().chain(&m.strains) {
        s.say(out, 6, &format!("But {against}."));
    }
    // What a person noted of a mark of their own is what they look for.
    if whole || m.own {
        let why = m.letters_why.as_ref();
        let why = why.map(|w| format!("The letters are {}", w.trim_end_matches('.')));
        let note = m.note.as_ref().map(|n| capital(n.trim_end_matches('.')));
        for said in why.into_iter().chain(note) {
            s.say(out, 6, &format!("{said}."));
        }
        if !m.sources.is_empty() {
            let many = if m.sources.len() == 1 { "" } else { "s" };
            s.say(out, 6, &format!("Source{many}: {}.", m.sources.join("; ")));
        }
    }
}

/// How the mark looks.
fn mark(m: &Maker, tables: &Tables) -> String {
    let image = tables.image();
    let mut out = m.struck.clone().or(m.picture.clone()).unwrap_or_default();
    let lettering = m.lettering.as_deref().and_then(|id| {
        let all = (0..image.meta(Meta::Letterings)).map(|l| image.lettering(l));
        all.into_iter().find(|l| l.id() == id).map(|l| l.name())
    });
    let outline = |id: &String| {
        let all = 0..image.meta(Meta::Outlines);
        let known = all.into_iter().find(|o| image.outline_id(*o) == id);
        known.map_or(id.clone(), |o| image.outline_name(o).to_string())
    };
    let punch: Vec<String> = m.punch.iter().map(outline).collect();
    let punch = Some(punch.join(" or ")).filter(|p| !p.is_empty());
    let looks = lettering
        .map(String::from)
        .into_iter()
        .chain(m.arrangement.filter(|a| *a != Arrangement::Row).map(|a| a.to_string()))
        .chain(m.beside.iter().cloned())
        .chain(punch.map(|p| format!("in a {p}")));
    for look in looks {
        out.push_str(", ");
        out.push_str(&look);
    }
    if !m.with.is_empty() {
        let _ = write!(out, "; beside {}", m.with.join(", "));
    }
    out
}

/// Where and when.
fn placed(m: &Maker) -> String {
    let mut places = m.office_names.clone();
    if let Some(town) = m.town.as_ref().filter(|t| !places.contains(t)) {
        places.insert(0, format!("worked at {town}"));
    }
    if let Some(firm) = m.firm.as_ref().filter(|f| **f != m.who()) {
        places.insert(0, firm.clone());
    }
    places.push(m.years());
    places.join(", ")
}

/// What a doubtful entry rests on.
fn basis(m: &Maker) -> Option<&'static str> {
    match (m.confidence, m.basis, m.letters_confidence, m.letters_basis) {
        (Confidence::Low, ..) => Some("doubtful"),
        (_, Basis::Memory, ..) => Some("by memory"),
        (_, _, Confidence::Low, _) => Some("the letters doubtful"),
        (_, _, _, Basis::Memory) => Some("the letters by memory"),
        _ => None,
    }
}

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
