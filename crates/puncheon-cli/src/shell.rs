//! What the shell is given: completions with the vocabulary's words, and manual pages.
//!
//! The script that `completions` prints asks the program itself for the words, so that it never falls
//! behind the program or the tables.

use std::io::Write;

use clap::Command;
use clap_complete::env::{CompleteEnv, Shells};

use crate::args::{self, CompletionsArgs, ManArgs};
use crate::out::{Exit, Failure, Out};

/// The variable by which a script asks for words.
const ASKS: &str = "PUNCHEON_COMPLETE";

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
