//! What the shell is given: completions with the vocabulary's words, and manual pages.
//!
//! The script that `completions` prints asks the program itself for the words, so that it never falls
//! behind the program or the tables.

use std::ffi::OsStr;
use std::io::Write;

use clap::Command;
use clap_complete::engine::{CompletionCandidate, ValueCompleter};
use clap_complete::env::{CompleteEnv, Shells};
use puncheon::Tables;
use puncheon::schema::image::Meta;
use puncheon_catalogue::Column;

use crate::args::{self, CompletionsArgs, ManArgs};
use crate::out::{Exit, Failure, Out};

/// The variable by which a script asks for words.
const ASKS: &str = "PUNCHEON_COMPLETE";
/// The most words that are offered.
const MOST: usize = 60;

/// Answers a script that asks for words. True if that was all there was to do.
pub fn answered() -> Result<bool, Failure> {
    CompleteEnv::with_factory(args::command)
        .var(ASKS)
        .try_complete(std::env::args_os(), std::env::current_dir().ok().as_deref())
        .map_err(|e| Failure::Misuse(e.to_string()))
}

/// Prints the script for a shell.
pub fn completions(a: &CompletionsArgs) -> Result<Exit, Failure> {
    let name = a.shell.name();
    let shells = Shells::builtins();
    let Some(shell) = shells.completer(name) else {
        return Err(Failure::Misuse(format!("nothing can be printed for {name}")));
    };
    let mut out = Vec::new();
    shell.write_registration(ASKS, "puncheon", "puncheon", "puncheon", &mut out)?;
    let mut to = Out::data();
    to.write_all(&out)?;
    to.flush()?;
    Ok(Exit::Answered)
}

/// Prints the manual page of the program or of one of its commands.
pub fn man(a: &ManArgs) -> Result<Exit, Failure> {
    let mut top = args::command();
    top.build();
    let (page, title) = match &a.command {
        None => (top, "puncheon".to_string()),
        Some(name) => {
            let found = top.get_subcommands().find(|c| c.get_name() == name);
            let Some(found) = found.filter(|c| !c.is_hide_set()) else {
                let all: Vec<&str> = top
                    .get_subcommands()
                    .filter(|c| !c.is_hide_set())
                    .map(Command::get_name)
                    .collect();
                return Err(Failure::Misuse(format!(
                    "there is no command \"{name}\"\n  the commands are {}",
                    all.join(", ")
                )));
            };
            (found.clone(), format!("puncheon-{name}"))
        }
    };
    let mut out = Vec::new();
    clap_mangen::Man::new(page).title(title).render(&mut out)?;
    let mut to = Out::data();
    to.write_all(&out)?;
    to.flush()?;
    Ok(Exit::Answered)
}

/// Words of the vocabulary, for the last word of a description.
#[derive(Clone)]
pub struct Words;

impl ValueCompleter for Words {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        let Some(typed) = current.to_str() else {
            return Vec::new();
        };
        // Within quotes the whole description is one word of the shell's; without, a phrase of several
        // words is as good as one, since all of them are one description.
        let tables = Tables::builtin();
        let (from, offered) = puncheon::ask::complete(tables, typed);
        let (before, begun) = typed.split_at(from);
        let plain =
            |w: &String| w.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b' ');
        // What is typed may be whole already.
        let seen = puncheon::sightings(tables, begun);
        let whole = !seen.sightings.is_empty() && seen.remarks.is_empty();
        let typed = whole.then(|| begun.to_string());
        let offered = offered.into_iter().filter(plain).take(MOST);
        offered.chain(typed).map(|w| CompletionCandidate::new(format!("{before}{w}"))).collect()
    }
}

/// Names of the offices.
#[derive(Clone)]
pub struct Offices;

impl ValueCompleter for Offices {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        let image = Tables::builtin().image();
        let ids = (0..image.meta(Meta::Offices)).map(|o| image.office(o).id());
        beginning(current, ids)
    }
}

/// Words for the outlines of punches.
#[derive(Clone)]
pub struct Outlines;

impl ValueCompleter for Outlines {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        let image = Tables::builtin().image();
        let ids = (0..image.meta(Meta::Outlines)).map(|o| image.outline_id(o));
        beginning(current, ids)
    }
}

/// Names of the commands.
#[derive(Clone)]
pub struct Commands;

impl ValueCompleter for Commands {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        let top = args::command();
        let shown = top.get_subcommands().filter(|c| !c.is_hide_set());
        beginning(current, shown.map(Command::get_name))
    }
}

/// Columns that can be added, the last of a list.
#[derive(Clone)]
pub struct Columns;

impl ValueCompleter for Columns {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        beginning(current, Column::names())
    }
}

fn beginning<'n>(typed: &OsStr, names: impl Iterator<Item = &'n str>) -> Vec<CompletionCandidate> {
    let typed = typed.to_string_lossy().to_lowercase();
    names.filter(|n| n.starts_with(&typed)).map(CompletionCandidate::new).collect()
}
