//! What a chart is asked for, in words, and why words ask for none.

use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta};

use crate::engine::place::Place;
use crate::json::chart::{Asked, LetterAsked, Question};
use crate::lexis::claim::Years;
use crate::lexis::grammar::charts::{self, Problem, Wish, Wrong};
use crate::tables::Tables;
use crate::voice::claim::{self, ClaimError};

impl Asked {
    /// Reads a question such as "an office 1800..1830", "an office", "1803", "an office k" or
    /// "small black letter k".
    ///
    /// # Errors
    /// If a word is not understood, or the words ask none of the three questions; with what would
    /// be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Asked, ClaimError> {
        let image = tables.image();
        match charts::read(image, words).said {
            Ok(wish) => Ok(asked(image, wish)),
            Err(problem) => Err(refused(image, &problem)),
        }
    }
}

/// What is asked, with the words of the tables for its numbers.
fn asked(image: &Image, wish: Wish) -> Asked {
    let one_year = |y: Years| y.from.is_some() && y.from == y.to;
    let question = match (&wish.letter, wish.offices.len()) {
        (Some(_), _) => Question::Letter,
        (None, n) if n != 1 && wish.years.is_some_and(one_year) => Question::Year,
        (None, _) => Question::Office,
    };
    Asked {
        question,
        offices: wish.offices.iter().map(|o| Place::office(image, *o as usize)).collect(),
        from: wish.years.and_then(|y| y.from),
        to: wish.years.and_then(|y| y.to),
        letter: wish.letter.map(|l| LetterAsked {
            letter: l.letter,
            lettering: l.look.lettering.map(|n| image.lettering(n as usize).id().to_string()),
            case: l.look.case.and_then(export::case),
        }),
        conventions: claim::taken(&wish.typed, &wish.taken),
        text: wish.text,
    }
}

/// "letter k, small black-letter".
pub(crate) fn letter(image: &Image, l: &LetterAsked) -> String {
    let case = match l.case {
        Some("upper") => Some("capital"),
        Some(_) => Some("small"),
        None => None,
    };
    let lettering = (0..image.meta(Meta::Letterings))
        .map(|i| image.lettering(i))
        .find(|n| Some(n.id()) == l.lettering.as_deref())
        .map(|n| n.name());
    let looks: Vec<&str> = [case, lettering].into_iter().flatten().collect();
    let letter = format!("letter {}", l.letter.trim_matches(['{', '}']));
    match looks.is_empty() {
        true => letter,
        false => format!("{letter}, {}", looks.join(" ")),
    }
}

/// Why words ask for no chart.
pub(crate) fn refused(image: &Image, problem: &Problem) -> ClaimError {
    let said = &problem.typed[problem.at.clone()];
    let span = || span_example(image);
    let (wrong, remedy) = match &problem.wrong {
        Wrong::SideBySide(a, b) => (
            "two years stand side by side".into(),
            format!("write {a}..{b} for all from the one to the other"),
        ),
        Wrong::NoSpan => (format!("\"{said}\" is no span of years"), format!("write {}", span())),
        Wrong::Backwards(a, b) => (
            format!("\"{said}\" runs backwards"),
            format!("write the earlier year first: {b}..{a}"),
        ),
        Wrong::LookAlone => (
            "how a letter looks is said, and no letter is named".into(),
            "name the letter beside it".into(),
        ),
        Wrong::Letters => {
            ("more than one letter is named".into(), "ask for one letter at a time".into())
        }
        Wrong::Unread(word) => (format!("\"{word}\" was not understood"), forms(image)),
        Wrong::Standard => (
            "a chart is not of a metal or a standard".into(),
            "leave it out: one letter served for every metal of a year".into(),
        ),
        Wrong::Spans => (
            "more than one span of years is named".into(),
            format!("ask for one at a time, such as {}", span()),
        ),
        Wrong::Nothing => ("nothing to chart is named".into(), forms(image)),
        Wrong::EveryOffice => {
            ("a span of years is charted for one office".into(), with_office(image, problem))
        }
        Wrong::Offices => (
            "the years of one office are charted at a time".into(),
            "name one of the offices, or one year for all of them".into(),
        ),
        Wrong::Claim(wrong) => (
            claim::wrong(image, &problem.typed, said, wrong),
            claim::remedy(image, said, wrong).unwrap_or_else(|| forms(image)),
        ),
    };
    let impossible =
        matches!(problem.wrong, Wrong::Claim(crate::lexis::claim::Wrong::Impossible(_)));
    ClaimError { claim: problem.typed.clone(), at: problem.at.clone(), wrong, remedy, impossible }
}

/// What to write where a span of years stands alone.
fn with_office(image: &Image, problem: &Problem) -> String {
    let name = match image.meta(Meta::Offices) {
        0 => "an office",
        _ => image.office(0).name(),
    };
    format!("name the office as well, as in \"{name} {}\", or ask one year", problem.typed)
}

/// A span of years that some office struck letters in.
fn span_example(image: &Image) -> String {
    let years = (image.meta(Meta::Offices) > 0).then(|| image.office(0).years());
    let (first, last) = years.unwrap_or_default();
    let middle = first.midpoint(last) / 10 * 10;
    format!("{}..{}", middle - 10, middle + 10)
}

/// What can be asked.
fn forms(image: &Image) -> String {
    if image.meta(Meta::Offices) == 0 {
        return "name an office, a year or a letter".into();
    }
    let office = image.office(0);
    let name = office.name();
    let middle = office.years().0.midpoint(office.years().1);
    format!(
        "these work: \"{name}\"; \"{name} {}\"; \"{middle}\"; \"{name} k\"; \"k\"",
        span_example(image)
    )
}
