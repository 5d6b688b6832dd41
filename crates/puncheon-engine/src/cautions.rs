//! Which cautions of the tables apply to a result and to what is stated beside it.

use puncheon_schema::entry::{Particular, Use};
use puncheon_schema::image::{Applying, CautionView, Image, Meta};

use crate::fit::answer::Decided;

/// What the conditions of a caution are tried on.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    /// Something fits the marks, or all but fits.
    pub marked: bool,
    /// Marks of two offices that never stood together were described.
    pub offices_apart: bool,
    /// Sets of marks.
    pub sets: usize,
    /// Pieces, where they were counted.
    pub pieces: u32,
    /// What fits: office, first and last letter year.
    pub fits: Vec<(usize, i32, i32)>,
    /// Signs that are described or stated, by their numbers in the tables.
    pub signs: Vec<u32>,
    /// The words of what is stated of the piece, small.
    pub stated: Vec<String>,
    /// Particulars that are stated.
    pub particulars: Vec<Particular>,
    /// A precious metal was looked for, and the marks do not bear it out.
    pub unsupported: bool,
    /// A claim was tested, and holds.
    pub holds: bool,
}

impl Facts {
    /// The facts of one set of marks with the signs that are described.
    pub fn of(d: &Decided, signs: &[u32]) -> Facts {
        Facts {
            marked: !d.fits.is_empty() || !d.nears.is_empty(),
            offices_apart: d.towns_apart,
            sets: 1,
            fits: d.fits.iter().map(|g| (g.key.office as usize, g.year, g.to)).collect(),
            signs: signs.to_vec(),
            ..Facts::default()
        }
    }
}

/// Every caution of the tables.
pub fn views(image: &Image) -> impl Iterator<Item = CautionView<'_>> {
    (0..image.meta(Meta::Cautions)).map(|i| image.caution(i))
}

/// The cautions for what is done whose conditions hold, in the order of the tables.
pub fn met<'a>(
    image: &'a Image,
    wanted: Use,
    facts: &'a Facts,
) -> impl Iterator<Item = CautionView<'a>> {
    views(image).filter(move |c| c.is_for(wanted) && c.when().all(|when| facts.hold(&when)))
}

/// Does a caution for what is done look for a sign in what is described or stated?
pub fn looks_for_signs(image: &Image, wanted: Use) -> bool {
    let said = |c: CautionView| c.when().any(|when| matches!(when, Applying::Said(_)));
    views(image).any(|c| c.is_for(wanted) && said(c))
}

impl Facts {
    fn hold(&self, when: &Applying) -> bool {
        match when {
            Applying::Marked => self.marked,
            Applying::Unsupported => self.unsupported,
            Applying::OfficesApart => self.offices_apart,
            Applying::Holds => self.holds,
            Applying::Several => self.sets > 1 || self.pieces > 1,
            Applying::Said(signs) => signs.iter().any(|s| self.signs.contains(s)),
            Applying::Stated(phrases) => phrases.iter().any(|p| {
                let phrase: Vec<&str> = p.split(' ').collect();
                self.stated.windows(phrase.len()).any(|w| w == phrase)
            }),
            Applying::Unstated(p) => !self.particulars.contains(p),
            Applying::Fits(offices, from, to) => self.fits.iter().any(|(office, first, last)| {
                let then = from.is_none_or(|y| y <= *last) && to.is_none_or(|y| *first <= y);
                then && offices.contains(office)
            }),
        }
    }
}
