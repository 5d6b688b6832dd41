//! `puncheon outlines`: the outlines of punches.

use puncheon::outlines::{Outlines, outlines};
use serde::Serialize;

use crate::args::{Common, OutlinesArgs};
use crate::kept::Kept;
use crate::out::{Exit, Failure};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &OutlinesArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let all = outlines(&tables);
    if let Some(file) = &a.svg {
        Kept::new(file)?.hold(&puncheon_draw::outlines(&tables, &all))?;
    }
    runner::print(Way::of(a.json), common, &Listed(all))
}

struct Listed(Outlines);

impl Answer for Listed {
    fn value(&self) -> impl Serialize {
        &self.0
    }

    fn text(&self, screen: &Screen) -> String {
        view::outlines::outlines(&self.0, screen)
    }
}
