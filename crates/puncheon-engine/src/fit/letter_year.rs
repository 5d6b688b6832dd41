//! The letter that an office struck in a year.

use puncheon_schema::image::{Image, LetterView};

/// The letter of an office in a year: the year's own, or the first after it.
pub fn letter_of(image: &Image, office: usize, year: i32) -> Option<LetterView<'_>> {
    let rows = image.office(office).rows();
    let letter = |row: usize| image.row(row).letter();
    // Rows stand in order of letter year.
    let (mut from, mut to) = (rows.start, rows.end);
    while from < to {
        let middle = from.midpoint(to);
        if letter(middle).to() < year {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    (from < rows.end).then(|| letter(from))
}

/// The calendar year in which a letter ends that is told up to this year of its own.
pub fn last_year(letter: LetterView, to: i32) -> i32 {
    // A letter that was carried on may have ended with a December, when years came to begin in January.
    let carried = to > letter.year() && to == letter.to();
    let december = carried && letter.ends() == to * 10_000 + 12_31;
    match letter.calendar_year() || december {
        true => to,
        false => to + 1,
    }
}

/// Spans of years in order, joined where there is no gap between them.
pub fn joined(spans: impl IntoIterator<Item = (i32, i32)>) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = Vec::new();
    for (from, to) in spans {
        match out.last_mut() {
            Some(run) if from <= run.1 + 1 => run.1 = run.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}
