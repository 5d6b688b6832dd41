//! `puncheon sponsors`: who may have struck a mark, as text, JSON or lines.

use std::fmt::Write as _;
use std::io::Write;

use puncheon::Tables;
use puncheon::phrases::{capital, counted};
use puncheon::schema::entry::{Basis, Confidence};
use puncheon::schema::image::Meta;
use puncheon::schema::register::COLUMNS;
use puncheon::schema::sponsor::{Arrangement, town_id};
use puncheon::sponsors::{self, Asked, By, Maker, Sponsors};

use crate::args::{Common, SponsorsArgs, SponsorsWhat};
use crate::out::{Exit, Failure, Out};
use crate::screen::Screen;

/// Most makers without `--all`.
const MOST: usize = 10;
/// Where no more makers are listed, notes and sources stand with them.
const FEW: usize = 3;

pub fn run(a: &SponsorsArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let mut out = Out::new(a.json || a.what.is_some());
    if let Some(SponsorsWhat::Export) = a.what {
        writeln!(out, "{}", COLUMNS.join("\t"))?;
        for (entry, _) in tables.registers().iter() {
            // A tab or a line ending within a cell would be taken for one between cells.
            let cells = entry.cells().map(|c| c.replace(['\t', '\n', '\r'], " "));
            writeln!(out, "{}", cells.join("\t"))?;
        }
        out.flush()?;
        return Ok(Exit::Answered);
    }
    let asked = asked(a, &tables)?;
    let found = sponsors::sponsors(&tables, &asked);
    if a.json {
        let line = serde_json::to_string(&found).map_err(|e| Failure::Misuse(e.to_string()))?;
        writeln!(out, "{line}")?;
    } else {
        let screen = Screen::new(common.ascii, common.color);
        out.write_all(text(&found, &tables, &screen, a.all).as_bytes())?;
    }
    out.flush()?;
    Ok(match found.sponsors.is_empty() {
        true => Exit::NoAnswer,
        false => Exit::Answered,
    })
}

fn asked(a: &SponsorsArgs, tables: &Tables) -> Result<Asked, Failure> {
    let typed = a.letters.join(" ");
    if typed.trim().is_empty() && a.office.is_none() && a.year.is_none() && a.punch.is_none() {
        return Err(Failure::Misuse(
            "nothing was asked\n  name the letters of the mark, or an office or a year; `sponsors export` prints all"
                .into(),
        ));
    }
    let mut asked = Asked::read(tables, &typed).map_err(|e| Failure::Misuse(e.to_string()))?;
    if let Some(name) = &a.office {
        asked.offices = vec![tables.place(name)?];
    }
    if let Some((from, to)) = a.year {
        (asked.from, asked.to) = (Some(from), Some(to));
    }
    if let Some(word) = &a.punch {
        let image = tables.image();
        let wanted = town_id(word);
        let all = (0..image.meta(Meta::Outlines)).map(|o| image.outline_id(o));
        if !all.into_iter().any(|id| id == wanted) {
            return Err(Failure::Misuse(format!(
                "no outline is called \"{word}\"\n  `puncheon outlines` lists their words"
            )));
        }
        asked.punch = Some(wanted);
    }
    Ok(asked)
}

fn text(found: &Sponsors, tables: &Tables, s: &Screen, all: bool) -> String {
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
