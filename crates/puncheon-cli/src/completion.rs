//! Words that a shell can complete.

use std::ffi::OsStr;

use clap_complete::engine::{CompletionCandidate, ValueCompleter};
use puncheon::Tables;
use puncheon::schema::image::Meta;
use puncheon_catalogue::Column;

/// The most words that are offered.
const MOST: usize = 60;

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

/// Columns that can be added, the last of a list.
#[derive(Clone)]
pub struct Columns;

impl ValueCompleter for Columns {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        beginning(current, Column::names())
    }
}

/// The names that begin as typed.
pub fn beginning<'n>(
    typed: &OsStr,
    names: impl Iterator<Item = &'n str>,
) -> Vec<CompletionCandidate> {
    let typed = typed.to_string_lossy().to_lowercase();
    names.filter(|n| n.starts_with(&typed)).map(CompletionCandidate::new).collect()
}
