//! Text laid out for the terminal it is shown on.

use std::env;
use std::fmt::Write;
use std::io::{self, IsTerminal};

use clap::ValueEnum;
use puncheon::Tables;
use puncheon::phrases::style;
use puncheon::reading::LetterStruck;
use puncheon::schema::image::Meta;

use crate::out::bold;

/// Columns where no terminal says how many it has.
pub const USUAL_WIDTH: usize = 80;

/// A paragraph, wrapped to a width.
pub fn wrap(out: &mut String, width: usize, indent: usize, s: &str) {
    let mut column = 0;
    for word in s.split_whitespace() {
        let wide = columns(word);
        if column > 0 && column + 1 + wide > width {
            out.push('\n');
            column = 0;
        }
        if column == 0 {
            out.push_str(&" ".repeat(indent));
            column = indent;
        } else {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += wide;
    }
    out.push('\n');
}

/// The columns that a word takes: the codes that make it bold take none.
fn columns(word: &str) -> usize {
    let mut parts = word.split('\u{1b}');
    let first = parts.next().map_or(0, |p| p.chars().count());
    let after = |p: &str| p.split_once('m').map_or(0, |(_, rest)| rest.chars().count());
    first + parts.map(after).sum::<usize>()
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// What the terminal can show.
pub struct Screen {
    /// Styled letters may be shown.
    styled: bool,
    colour: bool,
    width: usize,
}

impl Screen {
    pub fn new(ascii: bool, colour: Colour) -> Screen {
        let terminal = io::stdout().is_terminal();
        let utf8 = ["LC_ALL", "LC_CTYPE", "LANG"]
            .iter()
            .find_map(|v| env::var(v).ok().filter(|s| !s.is_empty()))
            .is_some_and(|s| s.to_lowercase().contains("utf"));
        let no_colour = env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty())
            || env::var_os("TERM").is_some_and(|t| t == "dumb");
        let width = env::var("COLUMNS")
            .ok()
            .and_then(|c| c.parse().ok())
            .or_else(|| {
                terminal_size::terminal_size().filter(|_| terminal).map(|(w, _)| usize::from(w.0))
            })
            .unwrap_or(USUAL_WIDTH);
        Screen {
            styled: terminal && utf8 && !ascii,
            colour: match colour {
                Colour::Always => true,
                Colour::Never => false,
                Colour::Auto => terminal && !no_colour,
            },
            width: width.clamp(20, 100),
        }
    }

    pub fn strong(&self, s: &str) -> String {
        if self.colour { bold(s) } else { s.to_string() }
    }

    /// A heading, wrapped.
    pub fn title(&self, out: &mut String, s: &str) {
        let mut lines = String::new();
        self.say(&mut lines, 0, s);
        for line in lines.lines() {
            let _ = writeln!(out, "{}", self.strong(line));
        }
    }

    /// A paragraph, wrapped.
    pub fn say(&self, out: &mut String, indent: usize, s: &str) {
        wrap(out, self.width, indent, s);
    }

    /// Items side by side as far as the width allows, each whole on its line if it can be.
    pub fn flow(&self, out: &mut String, indent: usize, items: &[String]) {
        let mut column = 0;
        for item in items {
            let wide = item.chars().count();
            if column > 0 && column + 3 + wide <= self.width {
                let _ = write!(out, "   {item}");
                column += 3 + wide;
                continue;
            }
            if column > 0 {
                out.push('\n');
            }
            if indent + wide <= self.width {
                let _ = write!(out, "{:indent$}{item}", "");
                column = indent + wide;
                continue;
            }
            // What runs on stands further in, and nothing follows it on its line.
            let mut text = String::new();
            self.say(&mut text, indent + 2, item);
            let text: String = text.trim_end().chars().skip(2).collect();
            out.push_str(&text);
            column = self.width;
        }
        out.push('\n');
    }

    /// Two columns, or lines where the terminal is narrow.
    pub fn pair(&self, out: &mut String, left: &str, right: &str, at: usize) {
        let wide = left.chars().count() + 2;
        if self.width < 60 {
            self.say(out, 2, left);
            self.say(out, 4, right);
        } else if wide > at {
            self.say(out, 2, left);
            self.hang(out, "", right, at);
        } else {
            self.hang(out, left, right, at);
        }
    }

    /// Characters beyond ASCII can be shown.
    pub fn unicode(&self) -> bool {
        self.styled
    }

    /// The number of columns.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Two columns, the right one wrapped in its own; `at` is counted from the second column on.
    pub fn hang(&self, out: &mut String, left: &str, right: &str, at: usize) {
        let mut body = String::new();
        self.say(&mut body, at + 2, right);
        let first = format!("  {left}{}", " ".repeat(at.saturating_sub(left.chars().count())));
        let rest: String = body.chars().skip(at + 2).collect();
        let _ = writeln!(out, "{first}{}", rest.trim_end());
    }

    /// A letter in its lettering, where Unicode has it and the screen can be trusted.
    pub fn styled_letter(&self, tables: &Tables, l: &LetterStruck) -> Option<char> {
        let image = tables.image();
        let lettering = lettering(tables, l).filter(|_| self.styled)?;
        let c = l.struck.as_ref()?.chars().next().filter(char::is_ascii_alphabetic)?;
        let k = c.to_ascii_lowercase() as usize - 'a' as usize;
        image.lettering(lettering).styled(c.is_ascii_uppercase()).chars().nth(k)
    }

    /// The plain letter, behind the same in its lettering where the screen can be trusted. None
    /// where it is not known.
    pub fn struck(&self, tables: &Tables, l: &LetterStruck) -> Option<String> {
        let struck = l.struck.as_deref()?.trim_matches(['{', '}']);
        Some(match self.styled_letter(tables, l) {
            Some(c) => format!("{c} {struck}"),
            None => struck.to_string(),
        })
    }

    /// A letter in its lettering where the screen can be trusted, then the plain letter and words.
    pub fn letter(&self, tables: &Tables, l: &LetterStruck) -> String {
        let Some(struck) = self.struck(tables, l) else {
            return "letter not known".into();
        };
        let name = lettering(tables, l).map(|n| tables.image().lettering(n).name());
        format!("{struck}  {}", style(l.case, name)).trim_end().to_string()
    }
}

/// The number of a letter's lettering.
fn lettering(tables: &Tables, l: &LetterStruck) -> Option<usize> {
    let image = tables.image();
    let id = l.lettering.as_deref()?;
    (0..image.meta(Meta::Letterings)).find(|i| image.lettering(*i).id() == id)
}
