//! `puncheon read`: one description or many, as text, one line or JSON.

use std::io::{self, BufRead, IsTerminal, Write};

use puncheon::reading::Outcome;
use puncheon::{Reading, Tables};

use crate::args::{self, Common, ReadArgs};
use crate::kept::Kept;
use crate::out::{Exit, Failure, Out};
use crate::screen::Screen;
use crate::view::brief::brief;
use crate::view::reading::reading;

/// Fits and nears drawn unless all are asked for.
const DRAWN: usize = 12;

pub fn run(a: &ReadArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let options = a.bounds.options(&tables)?;
    let screen = Screen::new(common.ascii, common.color);
    let mut out = Out::new(a.json);
    let mut drawing = None;
    if let Some(file) = &a.svg {
        if a.marks.is_empty() {
            return Err(Failure::Misuse(
                "--svg draws one description\n  name the marks after `read`".into(),
            ));
        }
        drawing = Some(Kept::new(file)?);
    }
    let mut answered = false;
    let mut several = 0usize;
    let mut answer = |description: &str, out: &mut dyn Write| -> Result<(), Failure> {
        let r = puncheon::read(&tables, description, &options);
        answered |= r.outcome == Outcome::Fits;
        if let Some(file) = drawing.take() {
            let most = if a.all { usize::MAX } else { DRAWN };
            file.hold(&puncheon_draw::candidates(&tables, &r, most))?;
        }
        if a.json {
            let line = serde_json::to_string(&r).map_err(|e| Failure::Misuse(e.to_string()))?;
            writeln!(out, "{line}")?;
        } else if a.brief {
            writeln!(out, "{}", brief(&r, &tables))?;
        } else {
            if several > 0 {
                writeln!(out)?;
            }
            several += 1;
            text(&r, &tables, &screen, a.all, out)?;
        }
        Ok(())
    };
    if a.marks.is_empty() {
        let stdin = io::stdin();
        if stdin.is_terminal() {
            return Err(args::short_help());
        }
        let mut line = Vec::new();
        let mut input = stdin.lock();
        loop {
            line.clear();
            if input.read_until(b'\n', &mut line)? == 0 {
                break;
            }
            let description = String::from_utf8_lossy(&line);
            answer(description.trim_end_matches(['\n', '\r']), &mut out)?;
            // One answer at a time, so that a person or a program can ask the next.
            out.flush()?;
        }
    } else if a.each {
        for m in &a.marks {
            answer(m, &mut out)?;
        }
    } else {
        answer(&a.marks.join(" "), &mut out)?;
    }
    out.flush()?;
    Ok(if answered { Exit::Answered } else { Exit::NoAnswer })
}

fn text(
    r: &Reading,
    tables: &Tables,
    screen: &Screen,
    all: bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    out.write_all(reading(r, tables, screen, all).as_bytes())?;
    Ok(())
}
