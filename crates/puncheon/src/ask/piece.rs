//! What was seen of one piece, mark by mark, and every step of it to be taken back.

use crate::ask::{Feature, Question};
use crate::engine::fit::narrow::Options;
use crate::json::reading::Outcome;
use crate::lexis::grammar::replies;
use crate::lexis::sighting::{LetterSeen, Sighting, What};
use crate::tables::Tables;
use crate::voice::questions as voice;

/// One mark that was typed, or an answer to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its words.
    pub words: String,
    /// It is left out for the time being: what if it is misread?
    pub aside: bool,
    /// A comma parts it from the line before, with which it was typed; else a semicolon does.
    comma: bool,
}

impl Line {
    fn new(words: &str) -> Line {
        Line { words: words.to_string(), aside: false, comma: false }
    }
}

/// What was seen of one piece, mark by mark.
#[derive(Clone, Debug, Default)]
pub struct Piece {
    now: State,
    /// What stood before each step, to be taken back.
    before: Vec<State>,
}

#[derive(Clone, Debug, Default)]
struct State {
    lines: Vec<Line>,
    /// Features that were answered or could not be made out.
    asked: Vec<Feature>,
}

impl Piece {
    /// Nothing seen yet.
    pub fn new() -> Piece {
        Piece::default()
    }

    /// The lines, oldest first.
    pub fn lines(&self) -> &[Line] {
        &self.now.lines
    }

    /// Adds what was typed, each mark as a line of its own, so that each can be set aside. False if
    /// nothing of it was understood: then it is not kept.
    pub fn add(&mut self, tables: &Tables, typed: &str) -> bool {
        let known = |lines: &[Line]| {
            let seen = crate::sightings(tables, &described(lines, |_| true));
            (seen.signature(), seen.claimed.len())
        };
        // Words of which only the question mark counts, or a mark's name, ask something; and those that
        // say no more than that it cannot be read would wipe out the mark before.
        let plain = typed.trim_end_matches(['?', ' ']);
        let asks = plain != typed
            && (replies::names_only(tables.image(), plain) || !self.clone().add(tables, plain));
        if asks || replies::cannot_tell(tables.image(), typed, None) {
            return false;
        }
        let before = known(self.lines());
        let new = marks(tables, typed);
        // A word that cannot stand alone, such as "worn", goes with the mark before it.
        for comma in [false, true] {
            let mut lines = self.now.lines.clone();
            lines.extend(new.iter().cloned());
            if let Some(first) = lines.get_mut(self.now.lines.len()) {
                first.comma = comma;
            }
            if known(&lines) != before {
                self.step(|s| s.lines = lines);
                return true;
            }
        }
        false
    }

    /// Takes what was typed as the answer to a question: the words of one of its answers, the style of
    /// its letter, whole or in part, or a letter that by itself would say something of a year. False
    /// if it is none of these, or any other letter, which is a mark like any other: what was typed may
    /// say its case.
    pub fn reply(&mut self, tables: &Tables, question: &Question, typed: &str) -> bool {
        if question.feature == Feature::Letter {
            let words = dated_letter(tables, typed);
            self.now_says(words.as_deref());
            return words.is_some();
        }
        if let Some(choice) = question.answers.iter().find(|c| c.is_said(tables, question, typed)) {
            self.answer(question.feature, &choice.words);
            return true;
        }
        let Some(letter) = &question.letter else {
            return false;
        };
        let words = voice::styled(typed, letter);
        let styled =
            letter_said(tables, &words).is_some_and(|l| l.case.is_some() || l.lettering.is_some());
        self.now_says(styled.then_some(&words));
        styled
    }

    /// Adds a line, if there is one.
    fn now_says(&mut self, words: Option<&str>) {
        if let Some(words) = words {
            self.step(|s| s.lines.push(Line::new(words)));
        }
    }

    /// The piece with one mark more, if a year fits all of it then; none if it is no mark.
    pub fn with(&self, tables: &Tables, options: &Options, typed: &str) -> Option<Piece> {
        let mut with = self.clone();
        let fits = with.add(tables, typed)
            && crate::read(tables, &with.description(), options).outcome == Outcome::Fits;
        fits.then_some(with)
    }

    /// Takes back the last step, whatever it was. False if there is none.
    pub fn undo(&mut self) -> bool {
        match self.before.pop() {
            Some(s) => {
                self.now = s;
                true
            }
            None => false,
        }
    }

    /// Puts lines aside, or back, in one step. False if one of them is not there.
    pub fn set_aside(&mut self, lines: &[usize], aside: bool) -> bool {
        let there = lines.iter().all(|l| *l < self.now.lines.len());
        if there {
            self.step(|s| lines.iter().for_each(|l| s.lines[*l].aside = aside));
        }
        there
    }

    /// Takes lines out, in one step. False if one of them is not there.
    pub fn remove(&mut self, lines: &[usize]) -> bool {
        let there = lines.iter().all(|l| *l < self.now.lines.len());
        if there {
            let mut i = 0;
            self.step(|s| {
                s.lines.retain(|_| {
                    i += 1;
                    !lines.contains(&(i - 1))
                });
            });
        }
        there
    }

    /// Puts other words in a line's place. False if there is no such line.
    pub fn change(&mut self, line: usize, words: &str) -> bool {
        let there = line < self.now.lines.len();
        if there {
            self.step(|s| s.lines[line].words = words.to_string());
        }
        there
    }

    /// Answers a question: adds the words as a line. The same is not asked again.
    pub fn answer(&mut self, feature: Feature, words: &str) {
        self.step(|s| {
            s.lines.push(Line::new(words));
            s.asked.push(feature);
        });
    }

    /// A feature that cannot be made out is not asked about again.
    pub fn pass(&mut self, feature: Feature) {
        self.step(|s| s.asked.push(feature));
    }

    /// All that was seen and is not aside, as one description.
    pub fn description(&self) -> String {
        described(self.lines(), |_| true)
    }

    /// The same but for one line.
    pub(super) fn described_without(&self, line: usize) -> String {
        described(self.lines(), |k| k != line)
    }

    /// Features that were answered or could not be made out.
    pub(super) fn asked(&self) -> &[Feature] {
        &self.now.asked
    }

    fn step(&mut self, change: impl FnOnce(&mut State)) {
        self.before.push(self.now.clone());
        change(&mut self.now);
    }
}

/// Lines as one description, but for those that are aside or left out.
fn described(lines: &[Line], with: impl Fn(usize) -> bool) -> String {
    let mut out = String::new();
    let lines = lines.iter().enumerate();
    for (_, l) in lines.filter(|(i, l)| !l.aside && with(*i)) {
        if !out.is_empty() {
            out.push_str(if l.comma { ", " } else { "; " });
        }
        out.push_str(&l.words);
    }
    out
}

/// The words that say a letter that was typed beside a year; none if it is something else. By itself
/// "c 1902" is about that year.
fn dated_letter(tables: &Tables, typed: &str) -> Option<String> {
    let (letter, year) = typed.split_once([' ', ','])?;
    let one = letter.chars().count() == 1 && letter.chars().all(char::is_alphabetic);
    let is_letter = |w: &What| matches!(w, What::Letter(_));
    let by_itself = crate::sightings(tables, typed);
    if !one || by_itself.sightings.iter().any(|s| is_letter(&s.what)) {
        return None;
    }
    let words = format!("{}, {}", voice::dated(letter), year.trim());
    let dated = !crate::sightings(tables, &words).claimed.is_empty();
    (dated && letter_said(tables, &words).is_some()).then_some(words)
}

/// The letter that words describe, if they say that of one letter and nothing else.
pub(super) fn letter_said(tables: &Tables, words: &str) -> Option<LetterSeen> {
    let seen = crate::sightings(tables, words);
    match seen.sightings.as_slice() {
        [Sighting { what: What::Letter(l), .. }]
            if l.values.len() == 1 && seen.remarks.is_empty() =>
        {
            Some(l.clone())
        }
        _ => None,
    }
}

/// What was typed, mark by mark: parted at the commas and semicolons between two marks, never within
/// one ("leopard's head, crowned").
fn marks(tables: &Tables, typed: &str) -> Vec<Line> {
    let mut seen = crate::sightings(tables, typed).sightings;
    seen.sort_by_key(|s| (s.start, s.end));
    let (mut out, mut from, mut comma) = (Vec::new(), 0, false);
    for pair in seen.windows(2) {
        let gap = typed.get(pair[0].end..pair[1].start).unwrap_or_default();
        let Some(at) = gap.rfind([',', ';']) else {
            continue;
        };
        let at = pair[0].end + at;
        out.push(Line { words: typed[from..at].trim().to_string(), aside: false, comma });
        comma = typed[at..].starts_with(',');
        from = at + 1;
    }
    out.push(Line { words: typed[from..].trim().to_string(), aside: false, comma });
    out
}
