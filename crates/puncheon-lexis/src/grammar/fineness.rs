//! Fineness in figures, as it is typed: "925", "18 ct", "800 silver", "84 zolotnik".

use num_rational::BigRational;
use puncheon_schema::entry::{Grammar, Metal};
use puncheon_schema::image::{Image, Sense};

use crate::grammar::figures::{self, Misread};
use crate::phrase::longest;

/// Behind figures, that they are parts of a thousand.
const OF_A_THOUSAND: [&str; 2] = ["/1000", "\u{2030}"];

/// A fineness in figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// The figures as a number, in the way of counting that `scale` says: 84 of "84 zolotnik".
    pub n: BigRational,
    /// The way of counting, by its number in the tables; None for parts of a thousand.
    pub scale: Option<usize>,
    /// It is written as a part of one: ".925".
    pub decimal: bool,
    /// The metal named with it.
    pub metal: Option<Metal>,
}

/// What a word beside a fineness says.
pub enum Word {
    /// Nothing of it: "of", "fine".
    Filler,
    /// The metal of that name.
    Metal(Metal),
    /// "in", which joins figures to a metal.
    In,
    /// The way of counting of that name, by its number in the tables.
    Scale(usize),
    /// It has no part in a fineness.
    Other,
}

/// What a word, in small letters, says beside a fineness.
pub fn word(image: &Image, word: &str) -> Word {
    match longest::phrase(image, Grammar::Weights, [word].into_iter()) {
        Some((Sense::Filler, 1))
            if longest::own(image, Grammar::Weights, [word].into_iter()).is_some() =>
        {
            Word::Filler
        }
        Some((Sense::Metal(metal), 1)) => Word::Metal(metal),
        Some((Sense::In, 1)) => Word::In,
        Some((Sense::Scale(scale), 1)) => Word::Scale(scale as usize),
        _ => Word::Other,
    }
}

/// A fineness in figures, alone or counted; None if the words are none.
pub fn counted(image: &Image, words: &str) -> Result<Option<Counted>, Misread> {
    let lower = words.to_lowercase();
    let mut metal = None;
    let mut typed: Option<&str> = None;
    let mut scale = None;
    for word in lower.split([' ', '-']) {
        let word = word.trim_end_matches(['.', ',', ';']);
        let begins = word.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-');
        let end =
            word.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(word.len());
        let (number, unit) = word.split_at(if begins { end } else { 0 });
        if !number.is_empty() && typed.replace(number).is_some() {
            return Ok(None);
        }
        if unit.is_empty() || !number.is_empty() && OF_A_THOUSAND.contains(&unit) {
            continue;
        }
        match self::word(image, unit) {
            Word::Filler => {}
            Word::In if number.is_empty() => {}
            Word::Metal(m) => metal = Some(m),
            Word::Scale(s) => scale = Some(s),
            Word::In | Word::Other => return Ok(None),
        }
    }
    let Some(typed) = typed else {
        return Ok(None);
    };
    let decimal = typed.starts_with(['.', '0']);
    Ok(Some(Counted { n: figures::read(typed)?, scale, decimal, metal }))
}
