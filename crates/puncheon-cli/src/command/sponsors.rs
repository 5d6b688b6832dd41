//! `puncheon sponsors`: who may have struck a mark; and the register by lines.

use std::io::Write;

use puncheon::Tables;
use puncheon::schema::image::Meta;
use puncheon::schema::register::COLUMNS;
use puncheon::schema::sponsor::town_id;
use puncheon::sponsors::{self, Asked, Sponsors};
use serde::Serialize;

use crate::args::{Common, SponsorsArgs, SponsorsWhat};
use crate::out::{Exit, Failure, Out};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &SponsorsArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    if let Some(SponsorsWhat::Export) = a.what {
        return export(&tables);
    }
    let found = sponsors::sponsors(&tables, &asked(a, &tables)?);
    runner::print(Way::of(a.json), common, &Found { found, tables: &tables, all: a.all })
}

/// Every mark of the register, a line each.
fn export(tables: &Tables) -> Result<Exit, Failure> {
    let mut out = Out::data();
    writeln!(out, "{}", COLUMNS.join("\t"))?;
    for (entry, _) in tables.registers().iter() {
        // A tab or a line ending within a cell would be taken for one between cells.
        let cells = entry.cells().map(|c| c.replace(['\t', '\n', '\r'], " "));
        writeln!(out, "{}", cells.join("\t"))?;
    }
    out.flush()?;
    Ok(Exit::Answered)
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

struct Found<'a> {
    found: Sponsors,
    tables: &'a Tables,
    all: bool,
}

impl Answer for Found<'_> {
    fn value(&self) -> impl Serialize {
        &self.found
    }

    fn text(&self, screen: &Screen) -> String {
        view::makers::makers(&self.found, self.tables, screen, self.all)
    }

    fn exit(&self) -> Exit {
        if self.found.sponsors.is_empty() { Exit::NoAnswer } else { Exit::Answered }
    }
}
