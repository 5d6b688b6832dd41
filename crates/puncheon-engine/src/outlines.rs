//! How many date letters have each outline.

use puncheon_schema::entry::Metal;
use puncheon_schema::image::{Image, LetterView, Meta};

/// Date letters that have an outline. A year with two letters counts twice.
pub struct Letters {
    /// On silver, on gold or on both.
    pub either: usize,
    /// On silver.
    pub on_silver: usize,
    /// On gold.
    pub on_gold: usize,
}

/// The letters of each outline, in the order of the tables, and those that have none on either metal.
pub fn counted(image: &Image) -> (Vec<Letters>, usize) {
    let (silver, gold) =
        (|l: LetterView| l.outline(Metal::Silver), |l: LetterView| l.outline(Metal::Gold));
    let letters = || {
        (0..image.meta(Meta::Letters))
            .map(|i| image.letter(i))
            .filter(|l| !l.rival() && l.value().is_some())
    };
    // A letter carried on is struck in each of its years.
    let count = |has: &dyn Fn(LetterView) -> bool| -> usize {
        letters().filter(|l| has(*l)).map(|l| (l.to() - l.year() + 1) as usize).sum()
    };
    let of = |i: usize| Letters {
        either: count(&|l| silver(l) == Some(i) || gold(l) == Some(i)),
        on_silver: count(&|l| silver(l) == Some(i)),
        on_gold: count(&|l| gold(l) == Some(i)),
    };
    let each = (0..image.meta(Meta::Outlines)).map(of).collect();
    (each, count(&|l| silver(l).is_none() && gold(l).is_none()))
}
