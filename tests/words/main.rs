//! No word that is read stands in the code: words have their meanings in tables/vocabulary.
//!
//! What is said, printed or named is not looked at here, but only what a text is held against; see
//! `reading.rs` for how that is told apart.

mod reading;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use puncheon::schema::Entries;

use reading::{Word, read_in};

/// Crates that read no words: what a table says, the tables themselves, and drawings.
const READ_NONE: [&str; 3] = ["puncheon-schema", "puncheon-tables", "puncheon-draw"];

/// Folders of the library in which things are said and not read.
const SAY: [&str; 2] = ["crates/puncheon/src/voice/", "crates/puncheon/src/json/"];

/// What is read and is no word of a language: file, function or constant (none for the whole file), and
/// what it is.
const NO_WORDS: &[(&str, &str, &str)] = &[
    ("crates/puncheon-catalogue/src/holds.rs", "", "names that the format of workbooks gives"),
    ("crates/puncheon-cli/src/args/mod.rs", "refused", "how a misuse of options is reported"),
    ("crates/puncheon-cli/src/command/enrich.rs", "format", "endings of file names"),
    ("crates/puncheon-cli/src/command/enrich.rs", "is_sheet", "the ending of a file name"),
    ("crates/puncheon-cli/src/kept.rs", "plainly", "how the system ends a report"),
    ("crates/puncheon-cli/src/command/notebook.rs", "open", "endings of file names"),
    ("crates/puncheon-cli/src/out.rs", "BOLD", "what a terminal is told"),
    ("crates/puncheon-cli/src/out.rs", "USUAL", "what a terminal is told"),
    ("crates/puncheon-cli/src/screen.rs", "new", "values of the environment"),
    ("crates/puncheon-cli/src/signals.rs", "listed", "a field that the system reports"),
    (
        "crates/puncheon-cli/src/command/tables.rs",
        "show",
        "values of an argument, which the help lists",
    ),
    ("crates/puncheon-lexis/src/token.rs", "MANGLED", "marks that programs spoil on the way"),
    ("crates/puncheon/src/tables.rs", "walk", "the ending of a file name"),
    (
        "crates/puncheon/src/tables.rs",
        "with_overlay",
        "rules that tables are held to, by their names",
    ),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests/ lies in the repository")
}

fn add_sources(folder: &Path, out: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for path in entries.flatten().map(|e| e.path()) {
        if path.is_dir() {
            add_sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// Every source in which words could be read, by its path from the top of the repository.
fn sources() -> Vec<(String, String)> {
    let mut files = Vec::new();
    for krate in fs::read_dir(root().join("crates")).expect("crates/ can be listed").flatten() {
        let name = krate.file_name();
        if !READ_NONE.iter().any(|n| *n == name) && krate.path().join("src").is_dir() {
            add_sources(&krate.path().join("src"), &mut files);
        }
    }
    files.sort();
    let named = files.into_iter().map(|file| {
        let path = file.strip_prefix(root()).expect("below the top").to_string_lossy();
        (path.replace('\\', "/"), fs::read_to_string(&file).expect("a source can be read"))
    });
    named.filter(|(path, _)| !SAY.iter().any(|s| path.starts_with(s))).collect()
}

/// Every phrase of the vocabulary.
fn vocabulary() -> BTreeSet<String> {
    let files = puncheon::ron_files(&root().join("tables")).expect("tables/ can be read");
    let (entries, problems) = Entries::read(files.iter().map(|(f, t)| (f.as_str(), t.as_str())));
    assert!(problems.is_empty(), "{problems:?}");
    let words = entries.words.iter().map(|f| &f.entry);
    words.flat_map(|w| w.say.iter().chain(&w.slips).chain(&w.capitals)).cloned().collect()
}

/// A list that no phrase names would say nothing.
#[test]
fn every_list_of_alternatives_is_named() {
    let files = puncheon::ron_files(&root().join("tables")).expect("tables/ can be read");
    let (entries, _) = Entries::read(files.iter().map(|(f, t)| (f.as_str(), t.as_str())));
    assert!(entries.alternatives.len() > 5, "are lists still read?");
    for list in entries.alternatives.iter().map(|f| &f.entry.id) {
        let named = format!("{{{list}}}");
        assert!(files.iter().any(|(_, text)| text.contains(&named)), "no phrase names {list}");
    }
}

fn is_no_word(file: &str, w: &Word) -> bool {
    NO_WORDS.iter().any(|(f, within, _)| *f == file && (within.is_empty() || *within == w.within))
}

#[test]
fn no_word_that_is_read_stands_in_the_code() {
    let sources = sources();
    for part in ["puncheon-lexis/", "puncheon-engine/", "puncheon-catalogue/", "puncheon-cli/"] {
        let files = sources.iter().filter(|(path, _)| path.contains(part)).count();
        assert!(files > 10, "{files} sources in {part}: has it moved?");
    }
    let mut read = read_in(&sources);
    for (file, words) in &mut read {
        words.retain(|w| !is_no_word(file, w));
    }
    read.retain(|_, words| !words.is_empty());
    let known = vocabulary();
    let wrong: Vec<String> = read
        .iter()
        .flat_map(|(file, words)| words.iter().map(move |w| (file, w)))
        .map(|(file, w)| {
            let known = known.contains(&w.text.to_lowercase());
            let has = if known { ", which the vocabulary has" } else { "" };
            format!("{file} line {}, {}: {:?}{has}", w.line, w.within, w.text)
        })
        .collect();
    assert!(
        wrong.is_empty(),
        "give words a meaning in tables/vocabulary, and values a type:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn every_exception_is_still_needed() {
    let read = read_in(&sources());
    for (file, within, what) in NO_WORDS.iter().copied() {
        let words = read.get(file).map(Vec::as_slice).unwrap_or_default();
        assert!(
            words.iter().any(|w| within.is_empty() || w.within == within),
            "{file} reads no {what} in {within:?}; drop the exception"
        );
    }
}

/// Strings that are read, each in another way, and strings that are said, in ways much like them.
const SAMPLE: &str = r#"
//! "in a comment"
const LISTED: [&str; 2] = ["list one", "list two"];
const PAIRS: [(&str, &str); 1] = [("pair read", "pair said")];
const SAID: [&str; 1] = ["said list"];
const ONE: &str = "constant";
const BYTES: &[u8] = b"bytes";
const PATTERN: &str = "constant pattern";

#[doc = "in a doc"]
fn compared(w: &str, t: &str) -> bool {
    w == "equal" || "equal from the left" == w || Some(w) != Some("some") || t.eq(ONE)
        || w.as_bytes() == BYTES
}

fn matched(w: &str) -> Option<&str> {
    match w {
        "arm" | "other arm" => None,
        PATTERN => None,
        _ if matches!(w, "matches" | "as well") => Some("said by an arm"),
        _ => {
            let ("let", _) = (w, 1) else { return None };
            Some("said at the end")
        }
    }
}

fn searched(w: &str) -> String {
    let _ = w.starts_with("start") || w.contains(&format!(" {w} template"));
    let _ = w.trim_end_matches("'s").split_once(" cut ");
    let _ = SAID[0];
    w.replace("replaced", "put in its place")
}

fn looked_through(w: &str) -> Option<&'static str> {
    let local = ["local one", "local two"];
    if LISTED.contains(&w) || local.iter().any(|l| *l == w) || vec!["in a vec"].contains(&w) {
        return None;
    }
    for l in ["looped"] {
        if w.ends_with(l) {
            return None;
        }
    }
    let nth = ["said first", "said second"];
    PAIRS.iter().find(|(k, _)| *k == w).map(|(_, v)| *v).or(nth.first().copied())
}

fn handed_on(all: &[&str], a: &str, say: &str) -> String {
    let is = |w: &str| all.first() == Some(&w);
    let _ = is("by a closure") || any_of(a, &["by a function"]);
    format!("said {say}")
}

fn any_of(w: &str, all: &[&str]) -> bool {
    all.iter().any(|x| *x == w)
}

fn got(row: &Row) -> &str {
    say("said argument");
    row.get("name of a field")
}

fn say(text: &str) -> bool {
    text.contains('?')
}

struct Row;
impl Row {
    fn get(&self, name: &str) -> &str {
        if name == "" { "" } else { "said" }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn t() {
        assert!("x" == "in a test");
    }
}
"#;

#[test]
fn what_is_read_is_told_from_what_is_said() {
    let read = read_in(&[("sample.rs".to_string(), SAMPLE.to_string())]);
    let words: Vec<&str> = read["sample.rs"].iter().map(|w| w.text.as_str()).collect();
    assert_eq!(
        words,
        [
            "list one",
            "list two",
            "pair read",
            "constant",
            "bytes",
            "constant pattern",
            "equal",
            "equal from the left",
            "some",
            "arm",
            "other arm",
            "matches",
            "as well",
            "let",
            "start",
            " {w} template",
            "'s",
            " cut ",
            "replaced",
            "local one",
            "local two",
            "in a vec",
            "looped",
            "by a closure",
            "by a function",
        ]
    );
    let within = |text: &str| read["sample.rs"].iter().find(|w| w.text == text).map(|w| &*w.within);
    assert_eq!(within("list two"), Some("LISTED"));
    assert_eq!(within("looped"), Some("looked_through"));
}
