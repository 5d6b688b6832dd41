//! The entries that a description leaves, drawn side by side for the eye to choose.

use puncheon::reading::{Fit, Kind, Outcome};
use puncheon::schema::entry::Confidence;
use puncheon::{Reading, Tables};

use crate::outlines::GROUND;
use crate::punch;
use crate::svg::{Type, document};

const WIDTH: f64 = 780.0;
const MARGIN: f64 = 20.0;
const ACROSS: usize = 4;
const TEXT: f64 = WIDTH - 2.0 * MARGIN;
const CELL: f64 = TEXT / ACROSS as f64;

/// Entries that show the same letter of the same office and year: they differ in metal or standard.
struct Card<'a> {
    first: &'a Fit,
    standards: Vec<&'a str>,
}

/// The fits and the nears of a reading, side by side with office, year and words: at most `most` of
/// each, and how many more there are. Sets described together that were read apart follow one by one.
pub fn candidates(tables: &Tables, reading: &Reading, most: usize) -> String {
    let mut body = String::new();
    let title = format!("Letters that could explain: {}", reading.asked);
    let mut y = Type::of(18.0).bold().lines(&mut body, MARGIN, 34.0, TEXT, &title);
    y = groups(tables, reading, most, &mut body, y);
    for part in &reading.parts {
        y += 24.0;
        let head = Type::of(16.0).bold();
        y = head.lines(&mut body, MARGIN, y, TEXT, &part.label);
        y = groups(tables, &part.reading, most, &mut body, y);
    }
    y += 12.0;
    let foot = Type::of(11.0).pale();
    for line in [
        "A dashed edge is an outline, or a part of one, that is not known. \
         Letterforms are drawn from type, not copied from pieces.",
        "Drawn from a description, not from an assay.",
    ] {
        y = foot.lines(&mut body, MARGIN, y, TEXT, line);
    }
    document(WIDTH, y + 4.0, &title, &body)
}

/// Draws the entries of one set, and gives where they end.
fn groups(tables: &Tables, reading: &Reading, most: usize, body: &mut String, from: f64) -> f64 {
    let mut y = from;
    let groups =
        [("These fit", &reading.fits), ("These would fit if a mark was misread", &reading.nears)];
    for (head, entries) in groups {
        if entries.is_empty() {
            continue;
        }
        let cards = cards(entries);
        y += 14.0;
        Type::of(14.0).bold().line(body, MARGIN, y, head);
        y += 14.0;
        for row in cards[..cards.len().min(most)].chunks(ACROSS) {
            let mut below = y;
            for (i, card) in row.iter().enumerate() {
                let x = MARGIN + CELL * i as f64;
                below = below.max(draw(tables, reading, card, body, x, y));
            }
            y = below + 10.0;
        }
        if let Some(more) = cards.len().checked_sub(most).filter(|n| *n > 0) {
            y += 6.0;
            let line = format!("and {more} more that are not drawn here");
            Type::of(12.0).pale().line(body, MARGIN, y, &line);
            y += 8.0;
        }
    }
    if reading.fits.is_empty() && reading.nears.is_empty() {
        let line = match (reading.outcome, reading.parts.is_empty()) {
            (Outcome::Outside, _) => "There is no letter to draw: this lies outside the tables.",
            (_, false) => "Nothing fits all of it together; each set is drawn by itself below.",
            (_, true) => "There is no letter to draw: nothing fits, and nothing is near.",
        };
        y += 10.0;
        Type::of(14.0).line(body, MARGIN, y, line);
        y += 10.0;
    }
    y
}

fn cards(entries: &[Fit]) -> Vec<Card<'_>> {
    let mut out: Vec<Card> = Vec::new();
    for f in entries {
        let same = |c: &&mut Card| {
            let g = c.first;
            (&g.office, &g.shown, &g.letter) == (&f.office, &f.shown, &f.letter)
                && g.clashes == f.clashes
        };
        match out.iter_mut().find(same) {
            Some(card) if card.standards.contains(&f.standard_name.as_str()) => {}
            Some(card) => card.standards.push(&f.standard_name),
            None => out.push(Card { first: f, standards: vec![&f.standard_name] }),
        }
    }
    out
}

/// Draws a card and gives where it ends.
fn draw(tables: &Tables, reading: &Reading, card: &Card, out: &mut String, x: f64, y: f64) -> f64 {
    let f = card.first;
    let middle = x + CELL / 2.0;
    let room = CELL - 14.0;
    let (bold, plain, small) = (
        Type::of(13.0).bold().centred(),
        Type::of(12.0).centred(),
        Type::of(11.0).centred().pale(),
    );
    let mut below = y + GROUND.1 + 16.0;
    let head = format!("{} {}", f.office_name, f.shown);
    match &f.letter {
        Some(l) => {
            let drawn = punch::draw(tables, l, punch::Doubts::of(f.confidence == Confidence::Low));
            drawn.at(out, middle - GROUND.0 / 2.0, y, 1.0);
            below = bold.lines(out, middle, below, room, &head);
            below = plain.lines(out, middle, below, room, &drawn.words);
            for n in &drawn.notes {
                below = small.lines(out, middle, below, room, n);
            }
        }
        // A run of years has no one letter.
        None => {
            below = bold.lines(out, middle, y + 16.0, room, &head);
            below = plain.lines(out, middle, below, room, "any letter of these years");
        }
    }
    below = small.lines(out, middle, below, room, &card.standards.join("; "));
    for c in &f.clashes {
        let letter = c.sighting.is_some_and(|i| reading.sightings[i].kind == Kind::Letter);
        // A case or a lettering is said by an adjective, which needs its noun.
        let saw = match letter && c.saw.chars().count() > 2 {
            true => format!("the {} letter", c.saw),
            false => c.saw.clone(),
        };
        let line = format!("{saw} would have to be {}", c.would_be);
        below = small.lines(out, middle, below, room, &line);
    }
    below
}
