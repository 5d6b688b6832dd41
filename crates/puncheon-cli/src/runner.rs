//! Answers are printed here, in the way that was asked for: as text, in one line, in JSON or as CSV.

use std::io::{self, BufRead, IsTerminal, Write};

use serde::Serialize;

use crate::args::{self, Common};
use crate::out::{Exit, Failure, Out, aside};
use crate::screen::Screen;

/// A way of printing an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// For a person, laid out for the screen.
    Text,
    /// In one line.
    Brief,
    /// For a program, in one line.
    Json,
    /// For a spreadsheet.
    Csv,
}

impl Way {
    /// JSON where that is asked for, text else.
    pub fn of(json: bool) -> Way {
        if json { Way::Json } else { Way::Text }
    }

    /// Another way, where that is asked for.
    pub fn or(self, way: Way, asked: bool) -> Way {
        if asked { way } else { self }
    }
}

/// What a command answers: a value and its views. A way of printing that the command does not have is
/// never asked for, and is the text.
pub trait Answer {
    /// The value, in the shape that JSON prints.
    fn value(&self) -> impl Serialize;

    /// The whole of it for a person.
    fn text(&self, screen: &Screen) -> String;

    /// One line of it; or why there is none, to be said aside.
    fn brief(&self, screen: &Screen) -> Result<String, String> {
        Ok(self.text(screen))
    }

    /// Its rows, with their head.
    fn csv(&self, screen: &Screen) -> String {
        self.text(screen)
    }

    /// What the program ends with if this is its one answer.
    fn exit(&self) -> Exit {
        Exit::Answered
    }
}

/// Prints one answer after another.
pub struct Runner {
    way: Way,
    screen: Screen,
    out: Out,
    /// Texts printed so far.
    texts: usize,
}

impl Runner {
    pub fn new(way: Way, common: &Common) -> Runner {
        let data = matches!(way, Way::Json | Way::Csv);
        let screen = Screen::new(common.ascii, common.color);
        Runner { way, screen, out: Out::new(data), texts: 0 }
    }

    /// Prints an answer, so that a person or a program can ask the next; and what the program would
    /// end with if it were the last.
    pub fn print(&mut self, answer: &impl Answer) -> Result<Exit, Failure> {
        let text = match self.way {
            Way::Text => {
                let text = answer.text(&self.screen);
                let apart = if self.texts > 0 && !text.is_empty() { "\n" } else { "" };
                self.texts += 1;
                format!("{apart}{text}")
            }
            Way::Brief => match answer.brief(&self.screen) {
                Ok(line) => line + "\n",
                Err(why) => {
                    aside!("puncheon: {why}");
                    String::new()
                }
            },
            Way::Json => serde_json::to_string(&answer.value())? + "\n",
            Way::Csv => answer.csv(&self.screen),
        };
        self.out.write_all(text.as_bytes())?;
        self.out.flush()?;
        Ok(answer.exit())
    }
}

/// Prints the one answer of a command.
pub fn print(way: Way, common: &Common, answer: &impl Answer) -> Result<Exit, Failure> {
    Runner::new(way, common).print(answer)
}

/// Hands on each line of standard input, without its ending. A terminal is not waited for.
pub fn each_line(mut take: impl FnMut(&str) -> Result<(), Failure>) -> Result<(), Failure> {
    let mut input = io::stdin().lock();
    if io::stdin().is_terminal() {
        return Err(args::short_help());
    }
    let mut line = Vec::new();
    while input.read_until(b'\n', &mut line)? > 0 {
        take(String::from_utf8_lossy(&line).trim_end_matches(['\n', '\r']))?;
        line.clear();
    }
    Ok(())
}
