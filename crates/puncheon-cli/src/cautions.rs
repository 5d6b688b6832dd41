//! `puncheon cautions`: what to mind, as text or JSON.

use std::io::Write;
use std::slice;

use puncheon::Options;
use puncheon::cautions::{self, Caution, Cautions, Facts, PRACTICE, SCHEMA};
use puncheon::schema::entry::Confidence;
use puncheon::schema::export;

use crate::args::{CautionsArgs, Common};
use crate::out::{Exit, Failure, Out, named};
use crate::screen::Screen;

pub fn run(a: &CautionsArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let list = match (a.wanted, &a.marks) {
        (None, _) => cautions::all(&tables),
        (Some(wanted), None) => cautions::of(&tables, wanted),
        (Some(wanted), Some(marks)) => {
            let reading = puncheon::read(&tables, marks, &Options::default());
            let facts = Facts { readings: slice::from_ref(&reading), ..Facts::default() };
            cautions::applying(&tables, wanted, &facts)
        }
    };
    let mut out = Out::new(a.json);
    if a.json {
        let all = Cautions {
            schema: SCHEMA,
            asked: a.wanted.map(export::used),
            marks: a.marks.clone(),
            cautions: list,
        };
        let line = serde_json::to_string(&all).map_err(|e| Failure::Misuse(e.to_string()))?;
        writeln!(out, "{line}")?;
    } else {
        let screen = Screen::new(common.ascii, common.color);
        out.write_all(text(&list, &screen).as_bytes())?;
        if let Some(folder) = tables.overlay() {
            writeln!(out, "\nWith the tables in {} laid over the built-in ones.", named(folder))?;
        }
    }
    out.flush()?;
    Ok(Exit::Answered)
}

fn text(list: &[Caution], s: &Screen) -> String {
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
