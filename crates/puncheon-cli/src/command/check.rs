//! `puncheon check`: a claim held against the marks.

use puncheon::check::{Ruling, SCHEMA, Verdict};
use puncheon::{Claim, ClaimError, Options, Tables};
use serde::Serialize;

use crate::args::{CheckArgs, Common};
use crate::out::{Exit, Failure, aside};
use crate::runner::{self, Answer, Runner, Way, each_line};
use crate::screen::Screen;
use crate::view;

pub fn run(a: &CheckArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let mut options = Options::default();
    options.complete = a.complete;
    let way = Way::of(a.json);
    let claimed = match a.claim.as_deref().map(|words| (words, Claim::read(&tables, words))) {
        None => None,
        Some((_, Ok(claim))) => Some(claim),
        Some((words, Err(e))) if e.impossible => {
            return runner::print(way, common, &Impossible { words, e });
        }
        Some((_, Err(e))) => return Err(Failure::Misuse(e.to_string())),
    };
    let held = |description: &str, number: Option<usize>| -> Result<Held, String> {
        let claim = match &claimed {
            Some(claim) => claim.clone(),
            None => stated(&tables, description)?,
        };
        let verdict = puncheon::check_claim(&tables, &claim, description, &options);
        Ok(Held { verdict, tables: &tables, all: a.all, number })
    };
    if !a.marks.is_empty() {
        let held = held(&a.marks.join(" "), None).map_err(Failure::Misuse)?;
        return runner::print(way, common, &held);
    }
    let mut runner = Runner::new(way, common);
    let (mut worst, mut number) = (None, 0);
    each_line(|description| {
        number += 1;
        let exit = match held(description, Some(number)) {
            Ok(held) => runner.print(&held)?,
            // The other lines are answered all the same.
            Err(why) => {
                let exit = runner.print(&Unread { why: &why, tables: &tables, description })?;
                aside!("puncheon: line {number}: {why}");
                exit
            }
        };
        worst = Some(worst.map_or(exit, |w| worse(w, exit)));
        Ok(())
    })?;
    // Nothing was described, so nothing is decided.
    Ok(worst.unwrap_or(Exit::Undecided))
}

/// The claim that a description makes itself, or why there is none.
fn stated(tables: &Tables, description: &str) -> Result<Claim, String> {
    let seen = puncheon::sightings(tables, description);
    match Claim::stated(tables, description, &seen) {
        Ok(Some(claim)) => Ok(claim),
        Ok(None) => Err("the description states no date and no standard to test\n  say what \
                         is claimed: --claim \"an office and a year\", or write it into the \
                         description as \"stated ...\""
            .into()),
        Err(e) => Err(format!("{e}\n  or give the claim by itself with --claim")),
    }
}

/// Of several lines one without a claim is the worst, then one that fails, then one undecided.
fn worse(a: Exit, b: Exit) -> Exit {
    [Exit::Misuse, Exit::NoAnswer, Exit::Undecided]
        .into_iter()
        .find(|e| *e == a || *e == b)
        .unwrap_or(a)
}

/// A claim held against marks.
struct Held<'a> {
    verdict: Verdict,
    tables: &'a Tables,
    all: bool,
    /// Of the line, where there are several.
    number: Option<usize>,
}

impl Answer for Held<'_> {
    fn value(&self) -> impl Serialize {
        &self.verdict
    }

    fn text(&self, screen: &Screen) -> String {
        let text = view::verdict::verdict(&self.verdict, self.tables, screen, self.all);
        match self.number {
            Some(n) => format!("{n}: {}\n{text}", self.verdict.reading.asked),
            None => text,
        }
    }

    fn exit(&self) -> Exit {
        match self.verdict.verdict {
            Ruling::Holds | Ruling::Possible => Exit::Answered,
            Ruling::Fails => Exit::NoAnswer,
            _ => Exit::Undecided,
        }
    }
}

/// A claim that was understood and names what never bore a dated hallmark.
struct Impossible<'a> {
    words: &'a str,
    e: ClaimError,
}

impl Answer for Impossible<'_> {
    fn value(&self) -> impl Serialize {
        serde_json::json!({
            "schema": SCHEMA, "claim": null, "verdict": "fails",
            "because": "never-struck", "problem": self.e.wrong, "reading": null,
        })
    }

    fn text(&self, screen: &Screen) -> String {
        let title = format!("The claim fails: {}", self.words);
        let mut text = format!("{}\n\n", screen.strong(&title));
        screen.say(&mut text, 0, &format!("{}.", self.e.wrong));
        text
    }

    fn exit(&self) -> Exit {
        Exit::NoAnswer
    }
}

/// A line without a claim that can be read. Why stands aside.
struct Unread<'a> {
    why: &'a str,
    tables: &'a Tables,
    description: &'a str,
}

impl Answer for Unread<'_> {
    fn value(&self) -> impl Serialize {
        let reading = puncheon::read(self.tables, self.description, &Options::default());
        serde_json::json!({
            "schema": SCHEMA, "claim": null, "verdict": null, "because": "no-claim",
            "problem": self.why, "reading": reading,
        })
    }

    fn text(&self, _: &Screen) -> String {
        String::new()
    }

    fn exit(&self) -> Exit {
        Exit::Misuse
    }
}
