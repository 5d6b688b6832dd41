//! `puncheon chart`: date letters of an office, of a year, or of a letter.

use puncheon::Tables;
use puncheon::chart::{Asked, Chart, chart};
use serde::Serialize;

use crate::args::{ChartArgs, Common};
use crate::kept::Kept;
use crate::out::{Exit, Failure};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &ChartArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let asked =
        Asked::read(&tables, &a.asked.join(" ")).map_err(|e| Failure::Misuse(e.to_string()))?;
    if a.svg.is_some() && a.svg == a.html {
        return Err(Failure::Misuse(
            "--svg and --html name one file\n  give each a file of its own".into(),
        ));
    }
    let chart = chart(&tables, &asked);
    if let Some(file) = &a.svg {
        Kept::new(file)?.hold(&puncheon_draw::chart(&tables, &chart))?;
    }
    if let Some(file) = &a.html {
        Kept::new(file)?.hold(&puncheon_draw::page(&tables, &chart))?;
    }
    runner::print(Way::of(a.json), common, &Found { chart, tables: &tables })
}

struct Found<'a> {
    chart: Chart,
    tables: &'a Tables,
}

impl Answer for Found<'_> {
    fn value(&self) -> impl Serialize {
        &self.chart
    }

    fn text(&self, screen: &Screen) -> String {
        view::chart::chart(&self.chart, self.tables, screen)
    }

    fn exit(&self) -> Exit {
        if self.chart.rows.is_empty() { Exit::NoAnswer } else { Exit::Answered }
    }
}
