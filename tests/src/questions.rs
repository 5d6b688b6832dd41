//! A truthful answerer at the bench.
//!
//! It looks at one row of the tables and says what it shows. What the table does not know of a row
//! cannot be answered, and is passed over.

use std::collections::HashMap;
use std::rc::Rc;

use puncheon::ask::{Answer, Choice, Feature, Left, Piece, Question};
use puncheon::schema::entry::{Case, Slot};
use puncheon::schema::image::{Image, Meta, RowView};
use puncheon::{Options, Tables};

fn image() -> &'static Image {
    Tables::builtin().image()
}

/// What is left of a piece, worked out once for each description.
#[derive(Default)]
struct Bench {
    known: HashMap<String, Rc<Left>>,
}

impl Bench {
    fn left(&mut self, piece: &Piece, passed: &[Feature]) -> Rc<Left> {
        let key = format!("{} {passed:?}", piece.description());
        let left = self.known.entry(key).or_insert_with(|| {
            Rc::new(puncheon::ask::left(Tables::builtin(), piece, &Options::default()))
        });
        Rc::clone(left)
    }
}

/// Case and lettering of a row's letter in words, where something is known of them.
fn style(row: RowView) -> Option<String> {
    let letter = row.letter();
    let case = match letter.case() {
        Case::Upper => "capital",
        Case::Lower => "small",
        Case::Either => "",
    };
    let lettering = letter.lettering().map_or("", |l| image().lettering(l).name());
    let said = format!("{case} {lettering}").trim().to_string();
    (!said.is_empty()).then_some(said)
}

/// The answer that a row shows; None where the table does not know. Of a style that it knows in part,
/// the first that it can be: a piece has one of them.
fn truth<'q>(row: RowView, q: &'q Question) -> Option<&'q Choice> {
    let image = image();
    let letter = row.letter();
    let shown = |answer: Answer| q.answers.iter().find(|a| a.answer == answer);
    let due = |slot: Slot| {
        let due = row.groups().filter(|g| g.due).flat_map(|g| g.marks());
        due.filter(move |m| m.slot() == slot).map(|m| Answer::Device(m.device()))
    };
    match q.feature {
        Feature::Letter => shown(Answer::Letter(letter.value()?)),
        Feature::Style => q.answers.iter().find(|a| match a.answer {
            Answer::Style(case, lettering) => {
                (letter.case(), letter.lettering()) != (Case::Either, None)
                    && (letter.case() == Case::Either || letter.case() == case)
                    && letter.lettering().is_none_or(|l| l == lettering)
            }
            _ => false,
        }),
        Feature::Outline => {
            let metal = image.standard(row.standard()).metal();
            shown(Answer::Outline(letter.outline(metal)?))
        }
        Feature::Mark(slot) => match due(slot).next() {
            None => shown(Answer::Missing),
            Some(_) => due(slot).find_map(shown),
        },
        Feature::Beside => due(Slot::Town).find_map(shown).or_else(|| shown(Answer::Missing)),
    }
}

/// Questions until the rest cannot be told apart, and how many office-years are left then.
fn asked(bench: &mut Bench, row: RowView, first: Option<&str>, styled: bool) -> (usize, usize) {
    let mut piece = Piece::new();
    if let Some(words) = first {
        piece.add(Tables::builtin(), words);
    }
    let mut passed = Vec::new();
    let mut questions = 0;
    loop {
        let left = bench.left(&piece, &passed);
        let l = row.letter();
        let place = format!(
            "{} {} by \"{}\"",
            image().office(l.office()).id(),
            l.year(),
            piece.description()
        );
        let kept = piece.description().is_empty()
            || left.reading.fits.iter().any(|f| {
                f.office.as_deref() == Some(image().office(l.office()).id())
                    && f.from <= l.to()
                    && l.year() <= f.to
            });
        assert!(kept, "true answers lose {place}");
        let Some(q) = &left.question else {
            return (questions, left.years.years);
        };
        questions += 1;
        let with_style = if styled && q.feature == Feature::Letter { style(row) } else { None };
        assert!(questions < 20, "no end of questions for {place}");
        match truth(row, q) {
            Some(a) => match with_style {
                Some(style) => piece.answer(q.feature, &format!("date letter {style} {}", a.shown)),
                None => piece.answer(q.feature, &a.words),
            },
            None => piece.pass(q.feature),
        }
        passed.push(q.feature);
    }
}

/// What the questions came to.
#[derive(Clone, Copy, Debug)]
pub struct Counts {
    /// Questions on average.
    pub average: f64,
    /// Questions at worst.
    pub worst: usize,
    /// Office-years left in the end, on average: those that the marks do not tell apart.
    pub left: f64,
}

/// Asks about every so many office-years, from the town mark or from nothing, the letter typed with
/// its style or bare.
///
/// # Panics
/// If a true answer loses the truth, or the questions do not end.
pub fn measure(every: usize, from_town: bool, styled: bool) -> Counts {
    let image = image();
    let mut bench = Bench::default();
    let (mut sum, mut worst, mut left, mut n) = (0, 0, 0, 0);
    let mut last = None;
    for row in (0..image.meta(Meta::Rows)).map(|r| image.row(r)) {
        let l = row.letter();
        let year = Some((l.office(), l.year()));
        if last == year || l.value().is_none() || l.rival() {
            continue;
        }
        last = year;
        n += 1;
        if n % every != 0 {
            continue;
        }
        let town = row
            .groups()
            .filter(|g| g.due)
            .flat_map(|g| g.marks())
            .find(|m| matches!(m.slot(), Slot::Town | Slot::Import))
            .map(|m| image.device(m.device()).name());
        let first = if from_town { town } else { None };
        let (questions, years) = asked(&mut bench, row, first, styled);
        sum += questions;
        left += years;
        worst = worst.max(questions);
    }
    let n = (n / every) as f64;
    Counts { average: sum as f64 / n, worst, left: left as f64 / n }
}
