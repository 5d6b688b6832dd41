//! What became of the rows of a catalogue.

use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::time::Duration;

use puncheon::Ruling;
use puncheon::reading::{Outcome, Sure};
use serde::{Serialize, Serializer};

use crate::columns::{Stated, outcome_word, sure_word};

/// Words not understood that are counted; past this the rarest are forgotten.
const COUNTED: usize = 20_000;
/// Disagreements that are kept; the verdicts count all.
pub const DISAGREEMENTS: usize = 100_000;
/// Problems that are named.
const NAMED: usize = 10;
/// Words not understood that are named.
const WORDS: usize = 100;

/// A row that could not be answered. It is kept all the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The row's number, the first below the head being 1.
    pub row: u64,
    /// The line of the file where it is, from 1.
    pub line: u64,
    /// The byte of that line, from 1.
    pub column: u64,
    /// What is wrong.
    pub wrong: Wrong,
}

/// What is wrong with a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// It is not written in UTF-8.
    NotUtf8,
    /// Anything else, in words.
    Else(String),
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Wrong::NotUtf8 => "bytes that are not UTF-8",
            Wrong::Else(said) => said,
        })
    }
}

impl Serialize for Wrong {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<S: Into<String>> From<S> for Wrong {
    fn from(said: S) -> Wrong {
        Wrong::Else(said.into())
    }
}

/// A row whose stated date does not agree with its marks, or cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disagreement {
    /// The row's number, the first below the head being 1.
    pub row: u64,
    /// The line of the file where it begins, or the row of the sheet, from 1.
    pub line: u64,
    /// It fails, is undecided or cannot be read.
    pub verdict: Stated,
    /// What is stated.
    pub stated: String,
    /// The marks as described.
    pub marks: String,
    /// What the marks support best; empty if nothing.
    pub best: String,
    /// How sure that is, by rule.
    pub sure: Option<Sure>,
}

impl Disagreement {
    /// How sure what the marks support is, as it is printed.
    pub fn sure(&self) -> &'static str {
        sure_word(self.sure)
    }

    /// Surest first: a claim that fails by one sure year, then the rest, then what cannot be read.
    fn rank(&self) -> (usize, usize, u64) {
        let verdict = match self.verdict {
            Stated::Read(Ruling::Fails) => 0,
            Stated::Read(_) => 1,
            Stated::Unreadable => 2,
        };
        let sure = match self.sure {
            Some(Sure::OneYear) => 0,
            Some(Sure::OneYearDoubtful) => 1,
            Some(Sure::Several) => 2,
            Some(Sure::Misreading) => 3,
            _ => 4,
        };
        (verdict, sure, self.row)
    }
}

/// What became of a catalogue.
#[derive(Clone, Debug, Default, Serialize)]
#[non_exhaustive]
pub struct Summary {
    /// The name of the shape.
    pub schema: &'static str,
    /// Rows read, and as many written.
    pub rows: u64,
    /// Rows of each outcome.
    pub outcomes: BTreeMap<String, u64>,
    /// Rows of each verdict, where something was stated.
    pub verdicts: BTreeMap<String, u64>,
    /// Rows that could not be read.
    pub problems: u64,
    /// The first of them.
    pub first_problems: Vec<Problem>,
    /// Words not understood, most often first.
    pub not_understood: Vec<(String, u64)>,
    /// Rows answered from memory: the same words were seen before.
    pub repeated: u64,
    /// Rows answered from memory: the same marks were seen before, in other words.
    pub same_marks: u64,
    /// Rows that nothing fits, for which nears had to be worked out or remembered.
    pub nears_worked_out: u64,
    /// Seconds taken.
    pub elapsed: f64,
    /// Bytes read.
    pub bytes: u64,
    /// Rows whose stated date disagrees, surest first; of more than [`DISAGREEMENTS`] the first ones.
    #[serde(skip)]
    pub disagreements: Vec<Disagreement>,
}

/// The name of the shape of a summary.
pub const SCHEMA: &str = "puncheon.summary/1";

/// Where a row stands in the catalogue.
#[derive(Clone, Copy)]
pub(crate) struct At {
    /// Its number, the first below the head being 1.
    pub row: u64,
    /// The line where it begins, from 1.
    pub line: u64,
}

/// What a row comes to.
pub(crate) struct Row<'r> {
    pub outcome: Outcome,
    pub stated: Option<Stated>,
    pub best: &'r str,
    pub sure: Option<Sure>,
    /// Words not understood, in small letters.
    pub words: &'r [String],
}

/// Rows counted so far.
#[derive(Default)]
pub(crate) struct Tally {
    pub sum: Summary,
    words: HashMap<String, u64>,
}

impl Tally {
    /// Counts a row that was answered.
    pub fn count(&mut self, r: &Row, at: At, marks: &[u8], claim: &[u8]) {
        add(&mut self.sum.outcomes, outcome_word(r.outcome), 1);
        if let Some(stated) = r.stated {
            add(&mut self.sum.verdicts, stated.word(), 1);
        }
        let nears = matches!(r.outcome, Outcome::Nears | Outcome::None);
        self.sum.nears_worked_out += u64::from(nears);
        for w in r.words {
            match self.words.get_mut(w) {
                Some(n) => *n += 1,
                None => {
                    self.words.insert(w.clone(), 1);
                }
            }
        }
        let agrees = |s: &Stated| matches!(s, Stated::Read(Ruling::Holds | Ruling::Possible));
        if let Some(verdict) = r.stated.filter(|s| !agrees(s))
            && self.sum.disagreements.len() < DISAGREEMENTS
        {
            self.sum.disagreements.push(Disagreement {
                row: at.row,
                line: at.line,
                verdict,
                stated: String::from_utf8_lossy(claim).into_owned(),
                marks: String::from_utf8_lossy(marks).into_owned(),
                best: r.best.to_string(),
                sure: r.sure,
            });
        }
    }

    /// Counts a row that could not be read.
    pub fn reject(&mut self, p: Problem) {
        self.sum.problems += 1;
        if self.sum.first_problems.len() < NAMED {
            self.sum.first_problems.push(p);
        }
    }

    /// Adds the rows that follow.
    pub fn follow(&mut self, next: Tally) {
        let (sum, n) = (&mut self.sum, next.sum);
        sum.rows += n.rows;
        sum.problems += n.problems;
        sum.repeated += n.repeated;
        sum.same_marks += n.same_marks;
        sum.nears_worked_out += n.nears_worked_out;
        for (k, n) in &n.outcomes {
            add(&mut sum.outcomes, k, *n);
        }
        for (k, n) in &n.verdicts {
            add(&mut sum.verdicts, k, *n);
        }
        fill(&mut sum.first_problems, n.first_problems, NAMED);
        fill(&mut sum.disagreements, n.disagreements, DISAGREEMENTS);
        for (w, n) in next.words {
            *self.words.entry(w).or_default() += n;
        }
        if self.words.len() > COUNTED {
            let mut counts: Vec<u64> = self.words.values().copied().collect();
            counts.sort_unstable();
            let least = counts[counts.len() / 2];
            self.words.retain(|_, n| *n > least);
        }
    }

    /// The summary of all that was counted.
    pub fn finish(mut self, bytes: u64, elapsed: Duration) -> Summary {
        let mut words: Vec<(String, u64)> = self.words.into_iter().collect();
        words.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        words.truncate(WORDS);
        self.sum.disagreements.sort_by_key(Disagreement::rank);
        Summary {
            schema: SCHEMA,
            not_understood: words,
            elapsed: elapsed.as_secs_f64(),
            bytes,
            ..self.sum
        }
    }
}

/// Adds what there is room for.
fn fill<T>(into: &mut Vec<T>, more: Vec<T>, most: usize) {
    let room = most.saturating_sub(into.len());
    into.extend(more.into_iter().take(room));
}

fn add(into: &mut BTreeMap<String, u64>, key: &str, n: u64) {
    match into.get_mut(key) {
        Some(k) => *k += n,
        None => {
            into.insert(key.to_string(), n);
        }
    }
}
