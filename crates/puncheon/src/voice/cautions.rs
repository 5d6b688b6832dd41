//! What to mind, by the tables: for a result and what is stated beside it, for something that is
//! done, or all of it.

use puncheon_schema::entry::Particular;
use puncheon_schema::export;
use puncheon_schema::image::{CautionView, Image, Meta, stated_words};

pub use puncheon_schema::entry::Use;

use crate::engine::cautions::{self as value, looks_for_signs, met, views};
use crate::engine::place::find_office;
use crate::engine::words;
use crate::json::cautions::Caution;
use crate::json::reading::{Fit, Reading};
use crate::tables::Tables;

/// What is named where there is no source.
pub const PRACTICE: &str = "common practice";

/// The heading of what is weighed with a piece.
const WEIGHED: &str = "What is weighed and is not the metal";

impl Caution {
    /// The caution and what follows from it.
    pub fn told(&self) -> String {
        match &self.then {
            Some(then) => format!("{} {then}", self.says),
            None => self.says.clone(),
        }
    }
}

/// What the conditions of a caution are tried on.
#[derive(Clone, Debug, Default)]
pub struct Facts<'a> {
    /// The marks as read, a reading for each set.
    pub readings: &'a [Reading],
    /// Pieces, where they were counted.
    pub pieces: u32,
    /// The signs in what is stated and in the marks, by their numbers in the tables, where both were read
    /// already.
    pub signs: Option<&'a [u32]>,
    /// What is stated of the piece, in words.
    pub stated: &'a str,
    /// Particulars that are stated.
    pub particulars: Vec<Particular>,
    /// A precious metal was looked for, and the marks do not bear it out.
    pub unsupported: bool,
    /// A claim was tested, and holds.
    pub holds: bool,
}

impl Facts<'_> {
    /// The same in values, for the cautions of what is done.
    fn known(&self, image: &Image, wanted: Use) -> value::Facts {
        let some = |r: &Reading| !r.fits.is_empty() || !r.nears.is_empty();
        let span = |f: &Fit| Some((find_office(image, f.office.as_deref()?)?, f.from, f.to));
        let texts = self.readings.iter().map(|r| r.asked.as_str()).chain([self.stated]);
        let texts = texts.filter(|_| looks_for_signs(image, wanted));
        let read = || texts.flat_map(|t| words::read(image, t).signs).collect();
        value::Facts {
            marked: self.readings.iter().any(some),
            offices_apart: self.readings.iter().any(|r| r.towns_apart),
            sets: self.readings.len(),
            pieces: self.pieces,
            fits: self.readings.iter().flat_map(|r| &r.fits).filter_map(span).collect(),
            signs: self.signs.map_or_else(read, <[u32]>::to_vec),
            stated: stated_words(self.stated),
            particulars: self.particulars.clone(),
            unsupported: self.unsupported,
            holds: self.holds,
        }
    }
}

/// Every caution of the tables.
pub fn all(tables: &Tables) -> Vec<Caution> {
    views(tables.image()).map(view).collect()
}

/// The cautions for what is done, whatever their conditions; for a value also what is weighed with a
/// piece and is not its metal.
pub fn of(tables: &Tables, wanted: Use) -> Vec<Caution> {
    let image = tables.image();
    let mut out: Vec<Caution> = views(image).filter(|c| c.is_for(wanted)).map(view).collect();
    if wanted == Use::Worth {
        let weighed = (0..image.meta(Meta::Deductions)).map(|d| image.deduction(d));
        out.extend(weighed.map(|d| Caution {
            id: d.id().to_string(),
            about: WEIGHED.to_string(),
            uses: vec![export::used(wanted)],
            says: d.advice().to_string(),
            then: None,
            basis: d.basis(),
            confidence: d.confidence(),
            source: sources(d.cites()),
        }));
    }
    out
}

/// The cautions for what is done whose conditions hold.
pub fn applying(tables: &Tables, wanted: Use, facts: &Facts) -> Vec<Caution> {
    let image = tables.image();
    met(image, wanted, &facts.known(image, wanted)).map(view).collect()
}

/// What stands at the foot of a result of several sets, or of what is stated.
pub(crate) fn foot(image: &Image, wanted: Use, facts: &Facts) -> Vec<String> {
    told(image, wanted, &facts.known(image, wanted))
}

/// What stands at the foot of a result.
pub(crate) fn told(image: &Image, wanted: Use, facts: &value::Facts) -> Vec<String> {
    met(image, wanted, facts).map(|c| view(c).told()).collect()
}

fn view(c: CautionView) -> Caution {
    Caution {
        id: c.id().to_string(),
        about: c.about().to_string(),
        uses: c.uses().map(export::used).collect(),
        says: c.says().to_string(),
        then: Some(c.then().to_string()).filter(|t| !t.is_empty()),
        basis: c.basis(),
        confidence: c.confidence(),
        source: sources(c.cites()),
    }
}

/// Sources as a result names them.
pub(crate) fn sources<'a>(cites: impl Iterator<Item = &'a str>) -> String {
    let cites: Vec<&str> = cites.collect();
    if cites.is_empty() { PRACTICE.into() } else { cites.join("; ") }
}
