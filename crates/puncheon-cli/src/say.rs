//! `puncheon say`: words for a sale, as text, one line or JSON.

use std::io::Write;

use puncheon::wording::{Asked, Because, NotBorne, Set, Wording, wording};
use puncheon::worth::Refused;

use crate::args::{Common, SayArgs};
use crate::cautions::listed;
use crate::check;
use crate::out::{Exit, Failure, Out, aside};
use crate::screen::Screen;
use crate::view::remarks::remarks;

pub fn run(a: &SayArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let options = a.bounds.options(&tables)?;
    let misuse = |e: Refused| Failure::Misuse(e.to_string());
    let mut asked = Asked::default();
    let first = a.marks.join(" ");
    let described = (!first.trim().is_empty()).then_some(&first);
    for typed in described.into_iter().chain(&a.sets) {
        asked.sets.push(Set::read(&tables, typed).map_err(misuse)?);
    }
    asked.item = a.item.clone();
    asked.weight = a.weight.clone();
    asked.size = (!a.size.is_empty()).then(|| a.size.join(", "));
    asked.condition = (!a.condition.is_empty()).then(|| a.condition.join(", "));
    asked.title = a.title;
    let w = wording(&tables, &asked, &options).map_err(misuse)?;
    let mut out = Out::new(a.json);
    if a.json {
        let line = serde_json::to_string(&w).map_err(|e| Failure::Misuse(e.to_string()))?;
        writeln!(out, "{line}")?;
    } else if a.brief {
        match &w.refused {
            Some(r) => aside!("puncheon: {}: {}", against(r), r.why),
            None => writeln!(out, "{}", w.title.as_ref().or(w.line.as_ref()).map_or("", |l| l))?,
        }
    } else {
        let screen = Screen::new(common.ascii, common.color);
        out.write_all(text(&w, &screen).as_bytes())?;
    }
    out.flush()?;
    Ok(match w.refused {
        Some(_) => Exit::NoAnswer,
        None => Exit::Answered,
    })
}

/// What stands against a wording.
fn against(r: &NotBorne) -> &'static str {
    match r.because {
        Because::Marks => "the marks do not bear out a precious metal",
        _ => "more is stated than the marks bear out",
    }
}

fn text(w: &Wording, s: &Screen) -> String {
    let mut out = String::new();
    match (&w.refused, &w.line) {
        (Some(r), _) => {
            s.title(&mut out, &format!("Not to be so described: {}", against(r)));
            out.push('\n');
            s.say(&mut out, 2, &r.why);
            if let Some(remedy) = &r.remedy {
                s.say(&mut out, 2, remedy);
            }
            if let Some(instead) = &w.instead {
                out.push_str("\nWhat can be said:\n\n");
                s.say(&mut out, 2, instead);
            }
        }
        (None, Some(line)) => {
            let title = w.title.as_ref().filter(|t| *t != line);
            s.title(&mut out, title.unwrap_or(line));
            out.push('\n');
            if title.is_some() {
                s.say(&mut out, 0, line);
                out.push('\n');
            }
            s.say(&mut out, 0, w.paragraph.as_deref().unwrap_or_default());
        }
        (None, None) => {}
    }
    listed(&w.show, s, &mut out);
    check::warnings(&w.warnings, s, &mut out);
    for d in &w.beside {
        out.push('\n');
        s.say(&mut out, 0, &d.advice);
    }
    for note in &w.notes {
        out.push('\n');
        s.say(&mut out, 0, note);
    }
    listed(&w.cautions, s, &mut out);
    for set in &w.sets {
        remarks(&set.reading, s, &mut out);
    }
    out
}
