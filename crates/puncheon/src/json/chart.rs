//! Charts of date letters in the shape that `puncheon.chart/1` prints.

use puncheon_schema::entry::{Basis, Case, Confidence};
use serde::Serialize;

use crate::engine::chart as value;
use crate::engine::place::Place;
pub use crate::json::words::Question;
use crate::json::words::places;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The words, as typed.
    pub text: String,
    /// Which of the three questions.
    pub question: Question,
    /// Offices; empty for all.
    #[serde(serialize_with = "places")]
    pub offices: Vec<Place>,
    /// First letter year; null for no bound.
    pub from: Option<i32>,
    /// Last letter year; null for no bound.
    pub to: Option<i32>,
    /// The letter; null where none is asked.
    pub letter: Option<LetterAsked>,
    /// How words were taken, a sentence each.
    #[serde(skip)]
    pub conventions: Vec<String>,
}

/// The letter that is asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct LetterAsked {
    /// As typed; a symbol stands in braces.
    pub letter: String,
    /// Its lettering, by its word in the tables; null for any.
    pub lettering: Option<String>,
    /// upper or lower; null for either. Only words such as "small" say it.
    pub case: Option<&'static str>,
}

impl Asked {
    /// The same for the engine.
    pub(crate) fn value(&self) -> value::Asked {
        let letter = |l: &LetterAsked| value::LetterAsked {
            letter: l.letter.clone(),
            lettering: l.lettering.clone(),
            case: l.case,
        };
        value::Asked {
            question: self.question.into(),
            offices: self.offices.clone(),
            from: self.from,
            to: self.to,
            letter: self.letter.as_ref().map(letter),
        }
    }
}

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.chart/1";

/// A chart of date letters.
#[derive(Clone, Debug, Serialize)]
pub struct Chart {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// What it shows, in words.
    pub title: String,
    /// The runs of letters that it shows, in the order of the rows.
    pub columns: Vec<Column>,
    /// Its rows: years of one office in order, or offices in the order of the tables.
    pub rows: Vec<Row>,
    /// Offices and years asked for that struck no letter.
    pub without: Vec<Without>,
    /// Every source that a letter, a day or a reason rests on, once, in the order of the rows.
    pub sources: Vec<String>,
    /// Why there is nothing to show, a sentence; null if there is.
    pub nothing: Option<String>,
    /// How words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// A run of letters in one lettering.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// The office and the first letter year: its word in the tables.
    pub id: String,
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// First letter year of the whole run, shown here or not.
    pub from: i32,
    /// Last letter year of the whole run.
    pub to: i32,
    /// Both as the trade writes them: "1798/99 to 1823/24".
    pub shown: String,
    /// "small roman": how most of its letters look. Empty where nothing is known.
    pub style: String,
    /// The lettering of most of its letters, by its word; null where not known.
    pub lettering: Option<String>,
    /// The same for a reader.
    pub lettering_name: Option<String>,
    /// upper or lower; null where it varies or is not known.
    pub case: Case,
}

/// One letter year of one office.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// The calendar year in which the letter came into use.
    pub year: i32,
    /// As the trade writes it: "1803/04", or "1987" for a calendar-year letter.
    pub shown: String,
    /// The day on which the letter came into use, ISO; null where not known.
    pub begins: Option<String>,
    /// Its last day, ISO; null where not known.
    pub ends: Option<String>,
    /// First and last day on which it can have come into use, ISO, where the day itself is not
    /// known; null where it is, or where nothing is known of it.
    pub begins_between: Option<[String; 2]>,
    /// high, medium or low: how sure the office's day is, or the days between; null where nothing is
    /// known of it, or a letter had a day of its own.
    pub begins_confidence: Option<Confidence>,
    /// Sources of that day.
    pub begins_sources: Vec<String>,
    /// What stands in the columns. A column that is not named here has nothing in this row.
    pub cells: Vec<Cell>,
    /// Marks and standards that the office first struck in this year.
    pub began: Vec<String>,
    /// What it struck for the last time.
    pub ended: Vec<String>,
}

/// What a row has in a column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cell {
    /// Index into the columns.
    pub column: usize,
    /// The letters, at least one; two were both struck in one year.
    pub letters: Vec<ChartLetter>,
}

/// One letter of a cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ChartLetter {
    /// The plain letter as struck, a symbol in braces; null where the tables do not know it.
    pub struck: Option<String>,
    /// Its lettering, by its word; null where not known.
    pub lettering: Option<String>,
    /// The same for a reader.
    pub lettering_name: Option<String>,
    /// upper or lower; null where it varies or is not known.
    pub case: Case,
    /// "small roman", as far as it is known.
    pub style: String,
    /// The shape round it on silver, by its word; null where not known.
    pub outline_silver: Option<String>,
    /// The shape round it on gold; null where not known.
    pub outline_gold: Option<String>,
    /// First day of this letter, ISO; null where not known.
    pub begins: Option<String>,
    /// Last day of this letter, ISO; null where not known.
    pub ends: Option<String>,
    /// The letter year in which it came into use.
    pub since: i32,
    /// It came into use in an earlier year and was struck on.
    pub carried: bool,
    /// A set of this year often lacks its letter.
    pub optional: bool,
    /// Sources differ on the letter of this year.
    pub disputed: bool,
    /// What the others say; empty where nothing is disputed.
    pub rivals: Vec<Rival>,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low: how sure the letter is.
    pub confidence: Confidence,
    /// How sure its lettering is.
    pub lettering_confidence: Confidence,
    /// How sure its case is.
    pub case_confidence: Confidence,
    /// Sources.
    pub sources: Vec<String>,
}

/// A letter that some sources give to a disputed year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Rival {
    /// The plain letter.
    pub struck: String,
    /// "small roman", as far as it is known.
    pub style: String,
}

/// Years in which an office struck no letter.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Without {
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// First of these years: of a gap between letters the whole is named, asked for or not.
    pub from: i32,
    /// Last of them.
    pub to: i32,
    /// Why, a sentence.
    pub why: String,
    /// Sources of the reason.
    pub sources: Vec<String>,
}
