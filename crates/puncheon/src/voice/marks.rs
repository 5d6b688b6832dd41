//! Marks in the trade's words.

use puncheon_schema::entry::{Confidence, Slot};
use puncheon_schema::image::{Image, MarkView, RowView};

use crate::voice::dates::date_in_words;

/// What a struck mark is, in the trade's words.
pub(crate) fn mark_sentence(image: &Image, view: RowView, m: MarkView) -> String {
    let office = image.office(view.letter().office()).name();
    let device = image.device(m.device()).name();
    let doubt = if m.confidence() == Confidence::Low { ", by a doubtful table" } else { "" };
    let span = || match m.span() {
        (from, "") => format!("from {}", date_in_words(from)),
        (from, to) if from == to => format!("in {}", date_in_words(from)),
        (from, to) => format!("{} to {}", date_in_words(from), date_in_words(to)),
    };
    match m.slot() {
        Slot::Town => format!("town mark of {office}{doubt}"),
        Slot::Standard => format!("{}{doubt}", standard_sentence(image, view.standard())),
        Slot::Extra => format!("{device}, struck at {office} {}{doubt}", span()),
        Slot::Duty => format!("duty paid: {device}, {}{doubt}", span()),
        Slot::Import => format!("import mark: {device}, {}{doubt}", span()),
        Slot::Convention => format!("common control mark, {}{doubt}", span()),
        Slot::Commemorative => format!("{device}, struck by choice{doubt}"),
        Slot::Assayer => format!("assay master's mark of {office}, {}{doubt}", span()),
        Slot::Joined => format!("{device}, {}{doubt}", span()),
        Slot::Special => format!("{device}, {}{doubt}", span()),
    }
}

/// A standard, with its parts in 1000.
pub(crate) fn standard_sentence(image: &Image, standard: usize) -> String {
    let st = image.standard(standard);
    match st.parts() {
        Some(p) => format!("{}, {p} parts in 1000", st.name()),
        None => st.name().to_string(),
    }
}
