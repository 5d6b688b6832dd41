//! Letter years and date letters in the trade's words.

use puncheon_schema::entry::{Basis, Case, Confidence, Origin};
use puncheon_schema::image::{Image, LetterView, RowView};

use crate::engine::fit::letter_year::{last_year, letter_of};
use crate::engine::fit::narrow::Group;
use crate::json::reading::LetterStruck;
use crate::voice::dates::long_day;

/// A letter year as the trade writes it: one of the letter's, or several.
pub(crate) fn shown(letter: LetterView, year: i32, to: i32) -> String {
    if letter.calendar_year() {
        return if to > year { format!("{year} to {to}") } else { year.to_string() };
    }
    match last_year(letter, to) {
        last if last == year => year.to_string(),
        last => format!("{year}/{:02}", last % 100),
    }
}

/// The letter years of a group, as its office wrote them.
pub(crate) fn group_shown(image: &Image, g: &Group) -> String {
    match g.run {
        true => shown_span(image, g.key.office as usize, g.year, g.to),
        false => shown(image.row(g.best.row as usize).letter(), g.year, g.to),
    }
}

/// A letter year as its office wrote it.
pub(crate) fn shown_year(image: &Image, office: usize, year: i32) -> String {
    letter_of(image, office, year).map_or(year.to_string(), |l| shown(l, year, year))
}

/// Letter years from the first to the last, each as its office wrote it.
pub(crate) fn shown_span(image: &Image, office: usize, from: i32, to: i32) -> String {
    let first = shown_year(image, office, from);
    if from == to { first } else { format!("{first} to {}", shown_year(image, office, to)) }
}

/// "An office's letters run from 1687 to 1962/63".
pub(crate) fn letters_run(image: &Image, office: usize) -> String {
    let view = image.office(office);
    let (first, last) = view.years();
    let until = match view.open() {
        true => "on".to_string(),
        false => format!("to {}", shown_year(image, office, last)),
    };
    format!("{}'s letters run from {first} {until}", view.name())
}

/// The letter year of a row.
pub(crate) fn years(view: RowView) -> String {
    let l = view.letter();
    shown(l, l.year(), l.to())
}

/// "the letter f, small roman: 1803/04".
pub(crate) fn letter_sentence(image: &Image, view: RowView) -> String {
    format!("the letter {}", letter_and_days(image, view))
}

/// "f, small roman: 1803/04".
pub(crate) fn letter_and_days(image: &Image, view: RowView) -> String {
    let l = view.letter();
    let doubt = match l.confidence() {
        Confidence::Low => ", by a doubtful table",
        Confidence::Medium if l.basis() == Basis::Memory => ", by memory of the handbooks",
        _ => "",
    };
    let days = match (l.begins(), l.ends()) {
        (0, _) | (_, 0) => years(view),
        (a, b) => format!("{} to {}", long_day(a), long_day(b)),
    };
    format!("{}: {days}{doubt}", letter_words(image, view))
}

/// "f, small roman".
pub(crate) fn letter_words(image: &Image, view: RowView) -> String {
    let (struck, style) = (view.letter().struck(), style_of(image, view));
    if style.is_empty() { struck.to_string() } else { format!("{struck}, {style}") }
}

/// "Birmingham 1803/04, sterling silver, foreign ware": an office, its letter year and the ware.
pub fn entry(office: &str, shown: &str, standard: &str, origin: Origin) -> String {
    let ware = if origin == Origin::Foreign { ", foreign ware" } else { "" };
    format!("{office} {shown}, {standard}{ware}")
}

/// The date letter of a row, as an answer gives it.
pub(crate) fn letter_struck(image: &Image, view: RowView) -> LetterStruck {
    let letter = view.letter();
    let metal = image.standard(view.standard()).metal();
    LetterStruck {
        struck: Some(letter.struck().to_string()).filter(|s| !s.is_empty()),
        lettering: letter.lettering().map(|l| image.lettering(l).id().to_string()),
        case: letter.case(),
        outline: letter.outline(metal).map(|o| image.outline_id(o).to_string()),
    }
}

/// "small roman", as far as the table knows.
pub(crate) fn style_of(image: &Image, view: RowView) -> String {
    style_of_letter(image, view.letter())
}

/// The same of a letter by itself.
pub(crate) fn style_of_letter(image: &Image, l: LetterView) -> String {
    let lettering = l.lettering().map(|n| image.lettering(n));
    let case = match lettering.is_some_and(|n| n.caseless()) {
        true => Case::Either,
        false => l.case(),
    };
    style(case, lettering.map(|n| n.name()))
}

/// "small roman": how a letter looks, as far as it is known.
pub fn style(case: Case, lettering: Option<&str>) -> String {
    let case = match case {
        Case::Upper => Some("capital"),
        Case::Lower => Some("small"),
        Case::Either => None,
    };
    let words = [case, lettering];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// What is said of a fact that is not sure, where it is used.
pub fn doubt(basis: Basis, confidence: Confidence) -> Option<&'static str> {
    match (confidence, basis) {
        (Confidence::Low, _) => Some("by a doubtful table"),
        (Confidence::Medium, Basis::Memory) => Some("by memory"),
        _ => None,
    }
}
