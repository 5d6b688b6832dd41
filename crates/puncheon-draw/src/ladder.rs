//! What a chart's drawing and its page have in common: the rungs of the ladder, in their sections.

use puncheon::chart::{Chart, ChartLetter, Question, Row};
use puncheon::reading::LetterStruck;
use puncheon::schema::entry::{Basis, Case, Confidence};
use puncheon::{Tables, date_in_words};

use crate::punch::{self, Doubts, Drawn};

/// Most changes told beside a year.
const MOST: usize = 3;

/// Rungs under one heading.
pub struct Section {
    /// The heading: a run of years, an office; empty where one is not needed.
    pub head: String,
    /// In order, downwards.
    pub rungs: Vec<Rung>,
}

impl Section {
    /// Puts a rung below the others; years without a known letter come together on one.
    fn add(&mut self, rung: Rung) {
        match self.rungs.last_mut() {
            Some(last) if last.blank && rung.blank => last.to = Some(rung.label),
            _ => self.rungs.push(rung),
        }
    }
}

/// One year of an office, or several whose letters are not known.
pub struct Rung {
    /// The year, or the office and the year.
    label: String,
    /// The last year, where there are several.
    to: Option<String>,
    /// There is no letter to show and nothing to tell.
    blank: bool,
    /// The punches, each with its words.
    pub punches: Vec<Punched>,
    /// What the office first or last struck in this year, a sentence each.
    pub changes: Vec<String>,
}

impl Rung {
    /// What stands beside it.
    pub fn label(&self) -> String {
        match &self.to {
            Some(to) => format!("{} to {to}", self.label),
            None => self.label.clone(),
        }
    }
}

/// A punch with all that is said of it.
pub struct Punched {
    pub drawn: Drawn,
    /// What the sources say, and how the letter was used.
    pub notes: Vec<String>,
}

impl Punched {
    /// What the drawing owes the reader, then what else is said.
    pub fn all_notes(&self) -> impl Iterator<Item = &str> {
        self.drawn.notes.iter().chain(&self.notes).map(String::as_str)
    }
}

/// The chart as sections of rungs, with what changed in each year or without.
pub fn sections(tables: &Tables, chart: &Chart, with_changes: bool) -> Vec<Section> {
    let offices = |r: &Row| r.office != chart.rows[0].office;
    let several = chart.rows.iter().any(offices);
    let mut out: Vec<(usize, Section)> = Vec::new();
    for row in &chart.rows {
        for (i, cell) in row.cells.iter().enumerate() {
            let column = &chart.columns[cell.column];
            // A year's letters stand office by office, so a run would hold one rung.
            let (key, head) = match chart.asked.question {
                Question::Office => {
                    let mut head = vec![column.shown.clone(), column.style.clone()];
                    if several {
                        head.insert(0, row.office_name.clone());
                    }
                    head.retain(|h| !h.is_empty());
                    (cell.column, head.join(", "))
                }
                Question::Letter => {
                    let first = chart.rows.iter().position(|r| r.office == row.office);
                    (first.unwrap_or_default(), row.office_name.clone())
                }
                _ => (0, String::new()),
            };
            let label = match chart.asked.question {
                Question::Office | Question::Letter => row.shown.clone(),
                _ => format!("{} {}", row.office_name, row.shown),
            };
            // A year that stands in two runs tells its changes once.
            let by_year = chart.asked.question == Question::Office;
            let changes = match with_changes && by_year && i == 0 {
                true => changes(row),
                false => Vec::new(),
            };
            let rung = Rung {
                label,
                to: None,
                blank: by_year
                    && changes.is_empty()
                    && cell.letters.iter().all(|l| l.struck.is_none() && !l.disputed),
                punches: cell
                    .letters
                    .iter()
                    .flat_map(|l| {
                        // Of a run the first letter tells its day, and each where a year has several.
                        let first = out.last().is_none_or(|(k, _)| *k != key);
                        let told = match chart.asked.question {
                            Question::Office => first || cell.letters.len() > 1,
                            Question::Year => true,
                            _ => false,
                        };
                        let day = told.then(|| begins(row, l)).flatten();
                        punches(tables, l, day)
                    })
                    .collect(),
                changes,
            };
            match out.last_mut().filter(|(k, _)| *k == key) {
                Some((_, section)) => section.add(rung),
                None => out.push((key, Section { head, rungs: vec![rung] })),
            }
        }
    }
    out.into_iter().map(|(_, section)| section).collect()
}

/// The day on which a letter came into use, in words.
fn begins(row: &Row, letter: &ChartLetter) -> Option<String> {
    if letter.carried || letter.struck.is_none() {
        return None;
    }
    if let Some(day) = letter.begins.as_ref().or(row.begins.as_ref()) {
        return Some(format!("from {}", date_in_words(day)));
    }
    let [first, last] = row.begins_between.as_ref()?.each_ref().map(|d| date_in_words(d));
    Some(format!("from a day between {first} and {last}"))
}

/// A letter as one punch, or as two where silver and gold are known to differ in outline.
fn punches(tables: &Tables, letter: &ChartLetter, day: Option<String>) -> Vec<Punched> {
    let low = |confidence| confidence == Confidence::Low;
    let doubts = Doubts {
        letter: low(letter.confidence),
        lettering: letter.lettering.is_some() && low(letter.lettering_confidence),
        case: letter.case != Case::Either && low(letter.case_confidence),
    };
    let draw = |outline: &Option<String>, notes: Vec<String>| {
        let struck = LetterStruck {
            struck: letter.struck.clone(),
            lettering: letter.lettering.clone(),
            case: letter.case,
            outline: outline.clone(),
        };
        Punched { drawn: punch::draw(tables, &struck, doubts), notes }
    };
    let on_gold = || vec!["outline on gold".to_string()];
    let mut said = said(letter);
    said.splice(0..0, day);
    match (&letter.outline_silver, &letter.outline_gold) {
        (silver, gold) if silver == gold || gold.is_none() => vec![draw(silver, said)],
        (None, gold) => vec![draw(gold, [on_gold(), said].concat())],
        (silver, gold) => vec![draw(silver, said), draw(gold, on_gold())],
    }
}

fn said(letter: &ChartLetter) -> Vec<String> {
    let mut out = Vec::new();
    if letter.carried {
        out.push(format!("carried on from {}", letter.since));
    }
    if letter.struck.is_some()
        && letter.basis == Basis::Memory
        && letter.confidence != Confidence::Low
    {
        out.push("by memory".to_string());
    }
    if letter.optional && letter.struck.is_some() {
        out.push("may be lacking".to_string());
    }
    if letter.disputed {
        let others: Vec<String> = letter
            .rivals
            .iter()
            .map(|r| match r.style == letter.style {
                true => r.struck.clone(),
                false => format!("{} {}", r.style, r.struck).trim().to_string(),
            })
            .collect();
        out.push(match others.is_empty() {
            true => "disputed".to_string(),
            false => format!("disputed: other sources say {}", others.join(" or ")),
        });
    }
    out
}

fn changes(row: &Row) -> Vec<String> {
    [("began", &row.began), ("ended", &row.ended)]
        .into_iter()
        .filter(|(_, list)| !list.is_empty())
        .map(|(what, list)| {
            let told = list[..list.len().min(MOST)].join("; ");
            match list.len().checked_sub(MOST).filter(|n| *n > 0) {
                Some(more) => format!("{what}: {told}; and {more} more"),
                None => format!("{what}: {told}"),
            }
        })
        .collect()
}

/// What the drawing's signs mean, as far as they stand in it.
pub fn legend(chart: &Chart) -> Vec<&'static str> {
    let letters = || {
        let cells = chart.rows.iter().flat_map(|r| &r.cells);
        cells.flat_map(|c| &c.letters)
    };
    let low = |l: &ChartLetter| {
        l.struck.is_some()
            && [l.confidence, l.lettering_confidence, l.case_confidence].contains(&Confidence::Low)
    };
    let mut out = Vec::new();
    if letters().next().is_some() {
        out.push("A dashed edge is an outline, or a part of one, that is not known.");
    }
    if letters().any(|l| l.outline_gold.is_some()) {
        out.push("An outline is that of silver unless gold is named beside it.");
    }
    if letters().any(low) {
        out.push("Dots under a letter: the tables are not sure of it.");
    }
    if letters().any(|l| l.optional && l.struck.is_some()) {
        out.push("May be lacking: a set of that year often has no letter.");
    }
    out.push("Letterforms are drawn from type, not copied from pieces.");
    out
}
