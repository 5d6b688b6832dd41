//! `puncheon expect`: the marks that a piece should bear.

use puncheon::schema::image::Meta;
use puncheon::{Asked, ClaimError, Expected};
use serde::Serialize;

use crate::args::{Common, ExpectArgs};
use crate::out::{Exit, Failure};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &ExpectArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let misread = |e: ClaimError| Failure::Misuse(e.to_string());
    let mut asked = Asked::read(&tables, &a.asked.join(" ")).map_err(misread)?;
    asked.metal = a.metal.map(Into::into);
    asked.imported |= a.imported;
    if let Some(words) = &a.standard {
        let named = Asked::standards(&tables, words).map_err(misread)?;
        let of_metal = |id: &String| {
            asked.metal.is_none_or(|m| {
                let image = tables.image();
                (0..image.meta(Meta::Standards))
                    .map(|s| image.standard(s))
                    .any(|s| s.id() == id && s.metal() == m)
            })
        };
        if !named.iter().any(of_metal) {
            return Err(Failure::Misuse(format!(
                "\"{words}\" is not of the metal named\n  leave one of --standard and --metal out"
            )));
        }
        asked.claim.standards = named;
    }
    let marks = puncheon::expected_marks(&tables, &asked);
    runner::print(Way::of(a.json), common, &Found { marks, all: a.all })
}

struct Found {
    marks: Expected,
    all: bool,
}

impl Answer for Found {
    fn value(&self) -> impl Serialize {
        &self.marks
    }

    fn text(&self, screen: &Screen) -> String {
        view::expectation::expectation(&self.marks, screen, self.all)
    }

    fn exit(&self) -> Exit {
        if self.marks.sets.is_empty() { Exit::NoAnswer } else { Exit::Answered }
    }
}
