//! `puncheon say`: words for a sale.

use puncheon::wording::{Asked, Set, Wording, wording};
use puncheon::worth::Refused;
use serde::Serialize;

use crate::args::{Common, SayArgs};
use crate::out::{Exit, Failure};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

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
    let wording = wording(&tables, &asked, &options).map_err(misuse)?;
    runner::print(Way::of(a.json).or(Way::Brief, a.brief), common, &Worded(wording))
}

struct Worded(Wording);

impl Answer for Worded {
    fn value(&self) -> impl Serialize {
        &self.0
    }

    fn text(&self, screen: &Screen) -> String {
        view::wording::wording(&self.0, screen)
    }

    fn brief(&self, _: &Screen) -> Result<String, String> {
        let w = &self.0;
        match &w.refused {
            Some(r) => Err(format!("{}: {}", view::wording::against(r), r.why)),
            None => Ok(w.title.as_ref().or(w.line.as_ref()).cloned().unwrap_or_default()),
        }
    }

    fn exit(&self) -> Exit {
        match self.0.refused {
            Some(_) => Exit::NoAnswer,
            None => Exit::Answered,
        }
    }
}
