//! `puncheon outlines`: the outlines of punches, as text or JSON.

use std::fmt::Write as _;
use std::io::{self, Write};

use puncheon::outlines::{Outline, Outlines, outlines};

use crate::args::{self, OutlinesArgs};
use crate::kept::Kept;
use crate::out::{Exit, Failure};
use crate::screen::{Screen, plural};

/// Width of the column of words.
const LABEL: usize = 22;

pub fn run(a: &OutlinesArgs) -> Result<Exit, Failure> {
    let Some(common) = &a.common else {
        return Err(args::short_help());
    };
    let tables = common.tables()?;
    let all = outlines(&tables);
    if let Some(file) = &a.svg {
        Kept::new(file)?.hold(&puncheon_draw::outlines(&tables, &all))?;
    }
    let mut out = io::BufWriter::new(io::stdout().lock());
    if a.json {
        let line = serde_json::to_string(&all).map_err(|e| Failure::Misuse(e.to_string()))?;
        writeln!(out, "{line}")?;
    } else {
        let screen = Screen::new(common.ascii, common.color);
        out.write_all(text(&all, &screen).as_bytes())?;
    }
    out.flush()?;
    Ok(Exit::Answered)
}

fn text(all: &Outlines, s: &Screen) -> String {
    let mut out = String::new();
    let title = format!("{} of punches", plural(all.outlines.len(), "outline"));
    let _ = writeln!(out, "{}\n", s.strong(&title));
    let (struck, other): (Vec<&Outline>, Vec<&Outline>) =
        all.outlines.iter().partition(|o| o.letters > 0);
    for o in struck {
        let words = format!("{}; {}", o.means, letters(o));
        s.pair(&mut out, &o.id, &words, LABEL);
    }
    if !other.is_empty() {
        out.push_str("\nNo date letter of the tables has these:\n\n");
    }
    for o in other {
        s.pair(&mut out, &o.id, &o.means, LABEL);
    }
    out.push('\n');
    let unknown = format!(
        "Of {} the tables know no outline.",
        plural(all.not_known, "date letter")
    );
    s.say(&mut out, 0, &unknown);
    for c in &all.cautions {
        s.say(&mut out, 0, c);
    }
    out
}

/// How many letters have it, in words.
fn letters(o: &Outline) -> String {
    let metals: Vec<String> = [(o.on_silver, "silver"), (o.on_gold, "gold")]
        .into_iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, metal)| format!("{} on {metal}", plural(n, "letter")))
        .collect();
    metals.join(", ")
}
