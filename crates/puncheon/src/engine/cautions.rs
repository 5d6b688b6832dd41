//! What to mind, by the tables: for a result and what is stated beside it, for something that is
//! done, or all of it. The shape of an answer is what `puncheon.cautions/1` prints.

use puncheon_schema::entry::Particular;
use puncheon_schema::export;
use puncheon_schema::image::{Applying, CautionView, Image, Meta, stated_words};
use serde::Serialize;

pub use puncheon_schema::entry::Use;

use crate::engine::words;
use crate::json::reading::Reading;
use crate::tables::Tables;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.cautions/1";

/// What is named where there is no source.
pub const PRACTICE: &str = "common practice";

/// The heading of what is weighed with a piece.
const WEIGHED: &str = "What is weighed and is not the metal";

/// Cautions, with what was asked.
#[derive(Clone, Debug, Serialize)]
pub struct Cautions {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What is done, where it was asked for.
    pub asked: Option<&'static str>,
    /// The description of the marks, where there was one.
    pub marks: Option<String>,
    /// The cautions, in the order of the tables.
    pub cautions: Vec<Caution>,
}

/// One caution.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Its word in the tables.
    pub id: String,
    /// The heading it stands under.
    pub about: String,
    /// What it is told for.
    pub uses: Vec<&'static str>,
    /// The caution, a sentence.
    pub says: String,
    /// Who can judge, or what to do, a sentence; null where nothing follows.
    pub then: Option<String>,
    /// published, memory or both.
    pub basis: &'static str,
    /// high, medium or low.
    pub confidence: &'static str,
    /// Sources joined by `; `, or "common practice".
    pub source: String,
}

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
            basis: export::basis(d.basis()),
            confidence: export::confidence(d.confidence()),
            source: sources(d.cites()),
        }));
    }
    out
}

/// The cautions for what is done whose conditions hold.
pub fn applying(tables: &Tables, wanted: Use, facts: &Facts) -> Vec<Caution> {
    met(tables.image(), wanted, facts).map(view).collect()
}

/// What stands at the foot of a result.
pub(crate) fn foot(image: &Image, wanted: Use, facts: &Facts) -> Vec<String> {
    met(image, wanted, facts).map(|c| view(c).told()).collect()
}

fn views(image: &Image) -> impl Iterator<Item = CautionView<'_>> {
    (0..image.meta(Meta::Cautions)).map(|i| image.caution(i))
}

fn met<'a>(
    image: &'a Image,
    wanted: Use,
    facts: &'a Facts,
) -> impl Iterator<Item = CautionView<'a>> {
    views(image)
        .filter(move |c| c.is_for(wanted) && c.when().all(|when| holds(image, &when, facts)))
}

fn view(c: CautionView) -> Caution {
    Caution {
        id: c.id().to_string(),
        about: c.about().to_string(),
        uses: c.uses().map(export::used).collect(),
        says: c.says().to_string(),
        then: Some(c.then().to_string()).filter(|t| !t.is_empty()),
        basis: export::basis(c.basis()),
        confidence: export::confidence(c.confidence()),
        source: sources(c.cites()),
    }
}

/// Sources as a result names them.
pub(crate) fn sources<'a>(cites: impl Iterator<Item = &'a str>) -> String {
    let cites: Vec<&str> = cites.collect();
    if cites.is_empty() { PRACTICE.into() } else { cites.join("; ") }
}

fn holds(image: &Image, when: &Applying, facts: &Facts) -> bool {
    let mut fits = facts.readings.iter().flat_map(|r| &r.fits);
    match when {
        Applying::Marked => {
            facts.readings.iter().any(|r| !r.fits.is_empty() || !r.nears.is_empty())
        }
        Applying::Unsupported => facts.unsupported,
        Applying::OfficesApart => facts.readings.iter().any(|r| r.towns_apart),
        Applying::Holds => facts.holds,
        Applying::Several => facts.readings.len() > 1 || facts.pieces > 1,
        Applying::Said(signs) => {
            let among = |seen: &[u32]| signs.iter().any(|s| seen.contains(s));
            let said = |text: &str| among(&words::read(image, text).signs);
            match facts.signs {
                Some(seen) => among(seen),
                None => said(facts.stated) || facts.readings.iter().any(|r| said(&r.asked)),
            }
        }
        Applying::Stated(phrases) => {
            let stated = stated_words(facts.stated);
            phrases.iter().any(|p| {
                let phrase: Vec<&str> = p.split(' ').collect();
                stated.windows(phrase.len()).any(|w| w == phrase)
            })
        }
        Applying::Unstated(p) => !facts.particulars.contains(p),
        Applying::Fits(offices, from, to) => fits.any(|f| {
            let here = |o: &usize| Some(image.office(*o).id()) == f.office.as_deref();
            let then = from.is_none_or(|y| y <= f.to) && to.is_none_or(|y| f.from <= y);
            then && offices.iter().any(here)
        }),
    }
}
