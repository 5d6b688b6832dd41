//! `puncheon read`: one description or many.

use puncheon::reading::Outcome;
use puncheon::{Reading, Tables};
use serde::Serialize;

use crate::args::{Common, ReadArgs};
use crate::kept::Kept;
use crate::out::{Exit, Failure};
use crate::runner::{Answer, Runner, Way, each_line};
use crate::screen::Screen;
use crate::view;

/// Fits and nears drawn unless all are asked for.
const DRAWN: usize = 12;

pub fn run(a: &ReadArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let options = a.bounds.options(&tables)?;
    let mut drawing = None;
    if let Some(file) = &a.svg {
        if a.marks.is_empty() {
            return Err(Failure::Misuse(
                "--svg draws one description\n  name the marks after `read`".into(),
            ));
        }
        drawing = Some(Kept::new(file)?);
    }
    let mut runner = Runner::new(Way::of(a.json).or(Way::Brief, a.brief), common);
    let mut exit = Exit::NoAnswer;
    let mut answer = |description: &str| -> Result<(), Failure> {
        let reading = puncheon::read(&tables, description, &options);
        if let Some(file) = drawing.take() {
            let most = if a.all { usize::MAX } else { DRAWN };
            file.hold(&puncheon_draw::candidates(&tables, &reading, most))?;
        }
        // One that fits is enough.
        if runner.print(&Read { reading, tables: &tables, all: a.all })? == Exit::Answered {
            exit = Exit::Answered;
        }
        Ok(())
    };
    match a.marks.as_slice() {
        [] => each_line(answer)?,
        all if a.each => all.iter().try_for_each(|m| answer(m))?,
        all => answer(&all.join(" "))?,
    }
    Ok(exit)
}

struct Read<'a> {
    reading: Reading,
    tables: &'a Tables,
    all: bool,
}

impl Answer for Read<'_> {
    fn value(&self) -> impl Serialize {
        &self.reading
    }

    fn text(&self, screen: &Screen) -> String {
        view::reading::reading(&self.reading, self.tables, screen, self.all)
    }

    fn brief(&self, _: &Screen) -> Result<String, String> {
        Ok(view::brief::brief(&self.reading, self.tables))
    }

    fn exit(&self) -> Exit {
        match self.reading.outcome {
            Outcome::Fits => Exit::Answered,
            _ => Exit::NoAnswer,
        }
    }
}
