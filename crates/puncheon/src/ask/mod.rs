//! One piece at the bench: what was seen line by line, what is left, and the best next question.

use std::cmp::Reverse;

mod complete;
mod piece;

pub use crate::engine::questions::{Answer, Feature};
pub use crate::lexis::grammar::replies::Reply;
pub use complete::{commands, complete, completions};
pub use piece::{Line, Piece};
pub use puncheon_schema::entry::Command;

use crate::engine::fit::answer;
use crate::engine::fit::narrow::{Narrow, Nears, Options};
use crate::engine::questions::candidate::Candidates;
use crate::engine::questions::{self, choose};
use crate::engine::words;
use crate::json::questions::YearsLeft;
use crate::json::reading::{Outcome, Reading};
use crate::lexis::grammar::replies::{self, About, Asked};
use crate::lexis::sighting::{Sighting, What};
use crate::tables::Tables;
use crate::voice::questions as voice;

/// The words that say that there is no date letter.
pub const NO_LETTER: &str = "no date letter";
/// The most answers that are numbered: one key answers each.
const MOST_ANSWERS: usize = 9;
/// The most years that are named.
const MOST_LEADING: usize = 4;
/// Years that an answer leaves and that are named with it.
const FEW: usize = 3;

/// What is left of the years, and what to ask.
///
/// ```
/// use puncheon::ask::{Piece, left};
///
/// let tables = puncheon::Tables::builtin();
/// let mut piece = Piece::new();
/// piece.add(tables, "anchor, lion passant, small roman k");
/// let now = left(tables, &piece, &Default::default());
/// let read = puncheon::read(tables, &piece.description(), &Default::default());
/// assert_eq!(now.years, read.left);
/// assert_eq!(now.question.map(|q| q.asks), Some(read.look_next[0].asks.clone()));
/// ```
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Left {
    /// The whole reading of what was seen.
    pub reading: Reading,
    /// How many office-years are left, as the reading counts them.
    pub years: YearsLeft,
    /// The likeliest of the years left, in words; none where no letter was read.
    pub leading: Vec<String>,
    /// The best question; none if the marks tell the rest no further apart.
    pub question: Option<Question>,
    /// Where nothing fits: what one line less would leave, most first; the line, and office-years.
    pub without: Vec<(usize, usize)>,
}

/// A question about one feature.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Question {
    /// What it is about.
    pub feature: Feature,
    /// In words.
    pub asks: String,
    /// Its answers, the likeliest first. There may be more than can be numbered.
    pub answers: Vec<Choice>,
    /// How many of them have a number, from 1 on: none of a letter, and none from the first number
    /// on that may as well be a figure struck on the piece.
    pub numbered: usize,
    /// The words that say that there is one, and not which, to be added as a line; none where that
    /// answers nothing.
    pub some: Option<String>,
    /// Where the style of a letter is asked, the letter.
    letter: Option<String>,
}

/// An answer to a question.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Choice {
    /// What is found.
    pub answer: Answer,
    /// As it is shown.
    pub shown: String,
    /// The words that say it, to be added as a line.
    pub words: String,
    /// Office-years it would leave.
    pub leaves: usize,
    /// Those, where they are few; their office is named where it is not the same for all.
    pub years: Vec<String>,
}

/// Takes a line as the answer to the question that stands, as something to be done, or as more of the
/// description.
///
/// ```
/// use puncheon::ask::{Command, Piece, Reply, left, reply};
///
/// let tables = puncheon::Tables::builtin();
/// let mut piece = Piece::new();
/// piece.add(tables, "anchor, lion passant, small roman k");
/// let question = left(tables, &piece, &Default::default()).question;
/// assert_eq!(reply(tables, question.as_ref(), "2"), Reply::Answer(1));
/// assert_eq!(reply(tables, question.as_ref(), "skip"), Reply::Passed);
/// assert_eq!(reply(tables, question.as_ref(), "undo"), Reply::Command(Command::Undo, ""));
/// assert_eq!(reply(tables, question.as_ref(), "king's head"), Reply::Words("king's head"));
/// ```
pub fn reply<'t>(tables: &Tables, question: Option<&Question>, line: &'t str) -> Reply<'t> {
    replies::read(tables.image(), line, question.map(Question::asked).as_ref())
}

/// The numbers that words hold, if they hold nothing else: "1 and 2".
pub fn numbers(tables: &Tables, words: &str) -> Option<Vec<usize>> {
    replies::numbers(tables.image(), words)
}

impl Question {
    /// As a line that answers it is read.
    fn asked(&self) -> Asked {
        let one = |missing: bool| {
            let of = |c: &Choice| (c.answer == Answer::Missing) == missing;
            let mut all = self.answers.iter().enumerate().filter(|(_, c)| of(c)).map(|(a, _)| a);
            all.next().filter(|_| all.next().is_none())
        };
        let about = match self.feature {
            Feature::Letter => About::Letter,
            Feature::Style | Feature::Outline => About::LetterForm,
            _ => About::Mark,
        };
        Asked { about, numbered: self.numbered, missing: one(true), only: one(false) }
    }
}

impl Choice {
    /// Do words say just this: the device and no other, the same style or outline of the letter?
    fn is_said(&self, tables: &Tables, of: &Question, words: &str) -> bool {
        let letter = of.letter.as_deref().unwrap_or_default();
        match self.answer {
            Answer::Style(case, lettering) => {
                let said = piece::letter_said(tables, &voice::styled(words, letter));
                said.is_some_and(|l| l.case == Some(case) && l.lettering == Some(lettering as u32))
            }
            Answer::Outline(outline) => {
                let said = crate::sightings(tables, &voice::outlined(words, letter));
                let is = |s: &Sighting| matches!(&s.what, What::Letter(l) if l.outline == Some(outline as u32));
                matches!(said.sightings.as_slice(), [one] if is(one))
            }
            Answer::Device(device) => {
                let said = crate::sightings(tables, words);
                let is = |s: &Sighting| s.what == What::Device(vec![device as u32]);
                matches!(said.sightings.as_slice(), [one] if is(one) && said.remarks.is_empty())
            }
            Answer::Letter(_) | Answer::Missing => false,
        }
    }
}

/// Works out what is left.
pub fn left(tables: &Tables, piece: &Piece, options: &Options) -> Left {
    let image = tables.image();
    let seen = words::read(image, &piece.description());
    let decided = answer::decide(image, &seen, options);
    let reading = crate::read_decided(tables, &seen, options, &decided);
    let candidates = questions::left(&decided);
    let ranked = choose::ranked(&decided.narrow, &candidates, piece.asked());
    let question = ranked.first().map(|q| in_words(&decided.narrow, &candidates, q));
    let without = match reading.outcome {
        Outcome::Nears | Outcome::None => without_one(tables, piece, options),
        _ => Vec::new(),
    };
    let best = decided.fits.first().map(|g| g.key.rank());
    let leading = decided.fits.iter().filter(|g| Some(g.key.rank()) <= best);
    Left {
        leading: voice::leading(image, leading, MOST_LEADING),
        question: question
            .map(|q| Question { numbered: numbered(tables, piece, options, &q), ..q }),
        without,
        years: reading.left,
        reading,
    }
}

/// A question as it is put.
fn in_words(n: &Narrow, c: &Candidates, q: &choose::Question) -> Question {
    let image = n.image;
    let letter = voice::letter_read(n);
    let choice = |f: &choose::Found| Choice {
        answer: f.answer,
        shown: voice::numbered(image, q.feature, f.answer),
        words: voice::described(image, q, f.answer, letter.unwrap_or_default()),
        leaves: f.leaves,
        years: match f.leaves > FEW {
            true => Vec::new(),
            false => voice::office_years(image, q.left_by(f, c), c.counts.offices == 1),
        },
    };
    Question {
        feature: q.feature,
        asks: voice::asks(n, q),
        answers: q.answers.iter().map(choice).collect(),
        numbered: 0,
        some: voice::some(q),
        letter: letter.filter(|_| q.feature != Feature::Letter).map(str::to_string),
    }
}

/// How many answers of a question are numbered.
fn numbered(tables: &Tables, piece: &Piece, options: &Options, q: &Question) -> usize {
    let most = match q.feature {
        Feature::Letter => 0,
        _ => q.answers.len().min(MOST_ANSWERS),
    };
    // Few figures are marks at all, and that is soon seen.
    let struck = |n: &usize| {
        let figure = n.to_string();
        Piece::new().add(tables, &figure) && piece.with(tables, options, &figure).is_some()
    };
    (1..=most).find(struck).map_or(most, |n| n - 1)
}

/// What each line less would leave.
fn without_one(tables: &Tables, piece: &Piece, options: &Options) -> Vec<(usize, usize)> {
    let image = tables.image();
    let options = options.with(Nears::IfNoFits);
    let mut out: Vec<(usize, usize)> = (0..piece.lines().len())
        .filter(|i| !piece.lines()[*i].aside)
        .filter_map(|i| {
            let seen = words::read(image, &piece.described_without(i));
            if seen.sightings.is_empty() {
                return None;
            }
            let years = questions::left(&answer::decide(image, &seen, &options)).counts.years;
            (years > 0).then_some((i, years))
        })
        .collect();
    out.sort_by_key(|(i, years)| (Reverse(*years), *i));
    out
}
