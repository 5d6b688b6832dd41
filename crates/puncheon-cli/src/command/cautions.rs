//! `puncheon cautions`: what to mind.

use std::slice;

use puncheon::cautions::{self, Cautions, Facts, SCHEMA};
use puncheon::schema::export;
use puncheon::{Options, Tables};
use serde::Serialize;

use crate::args::{CautionsArgs, Common};
use crate::out::{Exit, Failure};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &CautionsArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let cautions = match (a.wanted, &a.marks) {
        (None, _) => cautions::all(&tables),
        (Some(wanted), None) => cautions::of(&tables, wanted),
        (Some(wanted), Some(marks)) => {
            let reading = puncheon::read(&tables, marks, &Options::default());
            let facts = Facts { readings: slice::from_ref(&reading), ..Facts::default() };
            cautions::applying(&tables, wanted, &facts)
        }
    };
    let asked = a.wanted.map(export::used);
    let all = Cautions { schema: SCHEMA, asked, marks: a.marks.clone(), cautions };
    runner::print(Way::of(a.json), common, &Listed { all, tables: &tables })
}

struct Listed<'a> {
    all: Cautions,
    tables: &'a Tables,
}

impl Answer for Listed<'_> {
    fn value(&self) -> impl Serialize {
        &self.all
    }

    fn text(&self, screen: &Screen) -> String {
        let mut text = view::cautions::cautions(&self.all.cautions, screen);
        text.push_str(&view::overlay(self.tables));
        text
    }
}
