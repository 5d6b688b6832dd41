//! A user's own register: a notebook of marks, as RON or as a table with a head.
//!
//! Every row that cannot be used is reported with its line and what would be right. A row that says
//! nothing of its basis rests on the keeper's memory.

use std::collections::HashSet;

use crate::entry::{Basis, Confidence, File, Name};
use crate::head::{Delimiter, Head, folded};
use crate::problem::Problem;
use crate::read;
use crate::register::{BETWEEN, COLUMNS};
use crate::sponsor::{self, Arrangement, Sponsor};

/// Signs that people write between several, where the register asks for another.
const NOT_BETWEEN: [char; 5] = [';', ',', '/', '&', '+'];

/// The words that a register may use for what the tables name.
#[derive(Clone, Debug, Default)]
pub struct Words {
    /// Offices, and towns without yearly letters.
    pub offices: HashSet<String>,
    /// Letterings.
    pub letterings: HashSet<String>,
    /// Outlines of punches.
    pub outlines: HashSet<String>,
}

/// Reads a register. A file whose name ends in .ron holds `Sponsors([…])`; any other is a table with
/// commas, semicolons or tabs between its fields.
///
/// # Errors
/// Every problem of the file, each with its place.
pub fn read(file: &str, text: &str, words: &Words) -> Result<Vec<Sponsor>, Vec<Problem>> {
    let mut problems = Vec::new();
    let text = &plain(text);
    let mut rows: Vec<(Option<usize>, Sponsor)> = if file.to_lowercase().ends_with(".ron") {
        match read::parse(file, text) {
            Ok(File::Sponsors(v)) => v.into_iter().map(|s| (None, s)).collect(),
            Ok(_) => {
                let message = "a register holds Sponsors([…]) and nothing else";
                return Err(vec![Problem::at(file, 1, 1, message)]);
            }
            Err(p) => return Err(vec![p]),
        }
    } else {
        table(file, text, &mut problems)
    };
    // RON may hold by its number what is not in the text itself.
    for (_, s) in &mut rows {
        clean(s);
    }
    let mut ids = HashSet::new();
    for (line, s) in &rows {
        let mut faults = faults(s, words);
        if !ids.insert(&s.id) {
            faults.push(format!("the id \"{}\" stands twice; give one another", s.id));
        }
        problems.extend(faults.into_iter().map(|message| match line {
            Some(line) => Problem::at(file, *line, 1, &message),
            None => Problem::entry(file, &format!("sponsor {}", s.id), "register", &message),
        }));
    }
    if !problems.is_empty() {
        problems.sort_by_key(|p| p.position);
        return Err(problems);
    }
    Ok(rows.into_iter().map(|(_, s)| s).collect())
}

/// A text without what steers a terminal: a file that was sent by somebody is shown as it is.
fn plain(text: &str) -> String {
    let steers = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
    text.replace(steers, " ")
}

/// Takes out of an entry what steers a terminal.
fn clean(s: &mut Sponsor) {
    let words = [
        &mut s.id,
        &mut s.struck,
        &mut s.picture,
        &mut s.firm,
        &mut s.town,
        &mut s.letters_why,
        &mut s.note,
    ];
    let lists =
        [&mut s.beside, &mut s.with, &mut s.offices, &mut s.names, &mut s.trade, &mut s.cites];
    for word in words.into_iter().chain(lists.into_iter().flatten()) {
        *word = plain(word);
    }
    for Name(name) in s.lettering.iter_mut().chain(&mut s.punch) {
        *name = plain(name);
    }
}

/// What is wrong with an entry.
fn faults(s: &Sponsor, words: &Words) -> Vec<String> {
    let mut out = Vec::new();
    if sponsor::capitals(&s.struck).is_empty() && s.picture.is_empty() {
        out.push("a mark needs letters, capitals among them, or a picture".to_string());
    }
    if let (Some(from), Some(to)) = (s.from, s.to)
        && from > to
    {
        out.push(format!("its years run from {from} to {to}; turn them round"));
    }
    if s.from.is_none() && s.to.is_some() {
        out.push("a last year needs a first".to_string());
    }
    let mut known = |what: &str, named: &[&String], known: &HashSet<String>| {
        for word in named.iter().filter(|w| !known.contains(w.as_str())) {
            let mut all: Vec<&str> = known.iter().map(String::as_str).collect();
            all.sort_unstable();
            out.push(format!("no {what} is called \"{word}\"; name one of {}", all.join(", ")));
        }
    };
    let lettering: Vec<&String> = s.lettering.iter().map(|n| &n.0).collect();
    known("lettering", &lettering, &words.letterings);
    let punch: Vec<&String> = s.punch.iter().map(|n| &n.0).collect();
    known("outline", &punch, &words.outlines);
    for office in s.offices.iter().filter(|o| !words.offices.contains(*o)) {
        out.push(format!(
            "no office or town of the tables is called \"{office}\"; correct it, or name the place under `town`"
        ));
    }
    out
}

/// The rows of a table under its head, each with its line.
fn table(file: &str, text: &str, problems: &mut Vec<Problem>) -> Vec<(Option<usize>, Sponsor)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let delimiter = char::from(Delimiter::of(text.as_bytes()));
    let mut rows = Rows { rest: text, line: 1, delimiter };
    let columns: Vec<String> = match rows.next() {
        Some((_, Ok(cells))) => cells.iter().map(|c| folded(c)).collect(),
        _ => Vec::new(),
    };
    for c in &columns {
        if !COLUMNS.contains(&c.as_str()) {
            let message =
                format!("no column is called \"{c}\"; the columns are {}", COLUMNS.join(", "));
            problems.push(Problem::at(file, 1, 1, &message));
        }
    }
    if let Err(twice) = Head::new(columns.clone()).each_once() {
        let message = format!("{}; {}", twice.wrong, twice.remedy);
        problems.push(Problem::at(file, 1, 1, &message));
    }
    if !columns.iter().any(|c| c == "struck") {
        let message = "no column is called \"struck\"; the first line names the columns, \"struck\" among them";
        problems.push(Problem::at(file, 1, 1, message));
    }
    if !problems.is_empty() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (line, cells) in rows {
        let mut wrong = |message: &str| problems.push(Problem::at(file, line, 1, message));
        let cells = match cells {
            Ok(cells) => cells,
            Err(message) => {
                wrong(message);
                continue;
            }
        };
        if cells.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        if cells.len() != columns.len() {
            wrong(&format!("{} fields where the head has {}", cells.len(), columns.len()));
            continue;
        }
        let mut s = blank(line);
        let mut whole = true;
        for (column, cell) in columns.iter().zip(&cells) {
            if let Err(message) = fill(&mut s, column, cell.trim()) {
                wrong(&format!("{column}: {message}"));
                whole = false;
            }
        }
        if whole {
            out.push((Some(line), s));
        }
    }
    out
}

/// An entry of which nothing is known yet.
fn blank(line: usize) -> Sponsor {
    Sponsor {
        id: format!("own-{line}"),
        struck: String::new(),
        picture: String::new(),
        arrangement: None,
        lettering: None,
        punch: Vec::new(),
        beside: Vec::new(),
        with: Vec::new(),
        offices: Vec::new(),
        from: None,
        to: None,
        still: false,
        about: false,
        names: Vec::new(),
        firm: String::new(),
        town: String::new(),
        trade: Vec::new(),
        basis: Basis::Memory,
        confidence: Confidence::Medium,
        letters_basis: None,
        letters_confidence: None,
        letters_why: String::new(),
        cites: Vec::new(),
        note: String::new(),
    }
}

/// Puts a cell in its field. An empty cell leaves the field as it is.
fn fill(s: &mut Sponsor, column: &str, cell: &str) -> Result<(), String> {
    if cell.is_empty() {
        return Ok(());
    }
    let wrong = match column {
        "offices" | "punch" => &NOT_BETWEEN[..],
        // A comma may stand in a name.
        "names" => &NOT_BETWEEN[..1],
        _ => &[],
    };
    if cell.contains(wrong) {
        return Err(format!("\"{cell}\" seems to be several; write them with {BETWEEN} between"));
    }
    let list = || -> Vec<String> {
        let items = cell.split(BETWEEN).map(str::trim);
        items.filter(|i| !i.is_empty()).map(String::from).collect()
    };
    let names = || -> Vec<Name> { list().iter().map(|i| Name(sponsor::town_id(i))).collect() };
    match column {
        "id" => s.id = cell.into(),
        "struck" => s.struck = cell.into(),
        "picture" => s.picture = cell.into(),
        "arrangement" => s.arrangement = Some(arrangement(cell)?),
        "lettering" => s.lettering = Some(Name(sponsor::town_id(cell))),
        "punch" => s.punch = names(),
        "beside" => s.beside = list(),
        "with" => s.with = list(),
        "offices" => s.offices = list().iter().map(|o| sponsor::town_id(o)).collect(),
        "from" => s.from = Some(year(cell)?),
        "to" => s.to = Some(year(cell)?),
        "still" => s.still = yes(cell)?,
        "about" => s.about = yes(cell)?,
        "names" => s.names = list(),
        "firm" => s.firm = cell.into(),
        "town" => s.town = cell.into(),
        "trade" => s.trade = list(),
        "basis" => s.basis = basis(cell)?,
        "confidence" => s.confidence = confidence(cell)?,
        "letters_basis" => s.letters_basis = Some(basis(cell)?),
        "letters_confidence" => s.letters_confidence = Some(confidence(cell)?),
        "letters_why" => s.letters_why = cell.into(),
        "sources" => s.cites = list(),
        _ => s.note = cell.into(),
    }
    Ok(())
}

fn arrangement(cell: &str) -> Result<Arrangement, String> {
    let all = Arrangement::ALL.map(Arrangement::word);
    Arrangement::ALL
        .into_iter()
        .find(|a| a.word() == cell.to_lowercase())
        .ok_or_else(|| format!("\"{cell}\" is not known; write {}", all.join(", ")))
}

fn year(cell: &str) -> Result<i32, String> {
    cell.parse().ok().filter(|y| (1000..3000).contains(y)).ok_or_else(|| {
        format!("\"{cell}\" is not a year; write four figures, and `about` beside them")
    })
}

fn yes(cell: &str) -> Result<bool, String> {
    match cell.to_lowercase().as_str() {
        "yes" | "true" | "1" => Ok(true),
        "no" | "false" | "0" => Ok(false),
        _ => Err(format!("\"{cell}\" is neither; write yes or no")),
    }
}

fn basis(cell: &str) -> Result<Basis, String> {
    match cell.to_lowercase().as_str() {
        "published" => Ok(Basis::Published),
        "memory" => Ok(Basis::Memory),
        "both" => Ok(Basis::Both),
        _ => Err(format!("\"{cell}\" is not known; write published, memory or both")),
    }
}

fn confidence(cell: &str) -> Result<Confidence, String> {
    match cell.to_lowercase().as_str() {
        "high" => Ok(Confidence::High),
        "medium" => Ok(Confidence::Medium),
        "low" => Ok(Confidence::Low),
        _ => Err(format!("\"{cell}\" is not known; write high, medium or low")),
    }
}

/// Records of a delimited text, each with the line it begins on.
struct Rows<'t> {
    rest: &'t str,
    line: usize,
    delimiter: char,
}

impl Iterator for Rows<'_> {
    type Item = (usize, Result<Vec<String>, &'static str>);

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let begun = self.line;
        let (mut cells, mut cell) = (Vec::new(), String::new());
        let (mut quoted, mut fresh) = (false, true);
        let mut chars = self.rest.char_indices().peekable();
        let mut end = self.rest.len();
        let mut lines = 1;
        while let Some((at, c)) = chars.next() {
            match c {
                '"' if quoted => match chars.peek() {
                    Some((_, '"')) => {
                        cell.push('"');
                        chars.next();
                    }
                    _ => quoted = false,
                },
                '"' if fresh => quoted = true,
                '\n' if !quoted => {
                    end = at + 1;
                    break;
                }
                c if c == self.delimiter && !quoted => {
                    cells.push(std::mem::take(&mut cell));
                    fresh = true;
                    continue;
                }
                c => {
                    lines += usize::from(c == '\n');
                    cell.push(c);
                }
            }
            fresh = false;
        }
        if quoted {
            // Only this line is given up: the next may be whole.
            end = self.rest.find('\n').map_or(self.rest.len(), |n| n + 1);
            lines = 1;
        }
        self.line += lines;
        self.rest = &self.rest[end..];
        if quoted {
            return Some((begun, Err("a quote opens here and is not closed; close or drop it")));
        }
        if cell.ends_with('\r') {
            cell.pop();
        }
        cells.push(cell);
        Some((begun, Ok(cells)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Words {
        let set = |w: &[&str]| w.iter().map(|w| w.to_string()).collect();
        Words {
            offices: set(&["london", "st-andrews"]),
            letterings: set(&["black-letter"]),
            outlines: set(&["oval"]),
        }
    }

    fn faulty(file: &str, text: &str) -> Vec<String> {
        read(file, text, &words())
            .expect_err("it has faults")
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn a_table_is_read_whatever_its_dialect() {
        for text in [
            "struck,names,offices,from,to,about,punch,lettering\r\n\"A,B\",Ann \"\"Bell|Bo Cole,London|St Andrews,1801,1810,yes,Oval,black letter\r\n\r\n",
            "\u{feff}struck;names;offices;from;to;about;punch;lettering\n\"A,B\";Ann \"\"Bell|Bo Cole;London|St Andrews;1801;1810;yes;Oval;black letter",
            "names\tstruck\toffices\tfrom\tto\tabout\tpunch\tlettering\nAnn \"\"Bell|Bo Cole\tA,B\tLondon|St Andrews\t1801\t1810\t1\tOval\tblack letter\n",
        ] {
            let v = read("notes.csv", text, &words()).expect("it is in order");
            assert_eq!(v.len(), 1, "{text}");
            let s = &v[0];
            assert_eq!((s.struck.as_str(), s.id.as_str()), ("A,B", "own-2"));
            assert_eq!(s.names, ["Ann \"\"Bell", "Bo Cole"]);
            assert_eq!(s.offices, ["london", "st-andrews"]);
            assert_eq!((s.from, s.to, s.about), (Some(1801), Some(1810), true));
            assert_eq!((s.basis, s.confidence), (Basis::Memory, Confidence::Medium));
        }
    }

    #[test]
    fn every_bad_line_is_told_with_its_place() {
        let text = "struck,from,to,offices\nAB,18O1,,london\nCD,1801,1790,london\nGH\nIJ,1801,,leeds\n\"K\nL\",1801,,york\nmn,1801,,london\n\"EF,1801,,london\n";
        assert_eq!(
            faulty("n.csv", text),
            [
                "n.csv:2:1: from: \"18O1\" is not a year; write four figures, and `about` beside them",
                "n.csv:3:1: its years run from 1801 to 1790; turn them round",
                "n.csv:4:1: 1 fields where the head has 4",
                "n.csv:5:1: no office or town of the tables is called \"leeds\"; correct it, or name the place under `town`",
                "n.csv:6:1: no office or town of the tables is called \"york\"; correct it, or name the place under `town`",
                "n.csv:8:1: a mark needs letters, capitals among them, or a picture",
                "n.csv:9:1: a quote opens here and is not closed; close or drop it",
            ]
        );
    }

    #[test]
    fn several_in_a_cell_are_told_how_to_be_written() {
        for (column, cell) in [
            ("offices", "\"London, St Andrews\""),
            ("offices", "London/St Andrews"),
            ("punch", "oval & oval"),
            ("names", "Ann Bell; Bo Cole"),
        ] {
            let told = faulty("n.csv", &format!("struck,{column}\nAB,{cell}\n"));
            let right = told.len() == 1 && told[0].contains("write them with | between");
            assert!(right, "{column} {cell}: {told:?}");
        }
        let one = read("n.csv", "struck,names\nAB,\"Bell, Ann\"\n", &words());
        assert_eq!(one.expect("it is in order")[0].names, ["Bell, Ann"]);
    }

    #[test]
    fn nothing_in_a_register_steers_the_terminal() {
        let table = "struck,names,note\nAB,A\u{1b}[31m Bell,\u{7}x\u{9b}\n";
        let ron = r#"Sponsors([(id: "a", struck: "AB", names: ["A\u{1b}[31m Bell"], basis: Memory,
            confidence: Low, note: "\u{7}x\u{9b}")])"#;
        for (file, text) in [("n.csv", table), ("n.ron", ron)] {
            let v = read(file, text, &words()).expect("it is in order");
            assert_eq!(v[0].names, ["A [31m Bell"], "{file}");
            assert_eq!(v[0].note.trim(), "x", "{file}");
        }
        let told = faulty("n.csv", "na\u{1b}me\nx\n");
        assert!(!told[0].contains('\u{1b}'), "{told:?}");
    }

    #[test]
    fn a_head_without_letters_and_other_files_are_refused() {
        assert!(
            faulty("n.csv", "maker,struck\nx,AB\n")[0].contains("no column is called \"maker\"")
        );
        assert!(faulty("n.csv", "names\nx\n")[0].contains("\"struck\" among them"));
        assert!(faulty("n.csv", "")[0].contains("the first line names"));
        assert!(faulty("n.ron", "Retired([])")[0].contains("n.ron:1:1"));
        assert!(faulty("n.ron", "Sponsors([(id: \"a\", strk: \"A\")])")[0].contains("strk"));
        let twice = r#"Sponsors([
            (id: "a", struck: "A", basis: Memory, confidence: Low),
            (id: "a", struck: "b", basis: Memory, confidence: Low, offices: ["york"]),
        ])"#;
        assert_eq!(faulty("n.ron", twice).len(), 3);
    }
}
