//! What the register of sponsors' marks answers, in the shape that `puncheon.sponsors/1` prints.

use puncheon_schema::entry::{Basis, Confidence};
use puncheon_schema::sponsor::Arrangement;
use serde::Serialize;

use crate::engine::makers::asked as value;
use crate::engine::makers::names::Name;
use crate::engine::place::Place;
pub use crate::json::words::By;
use crate::json::words::places;
use crate::lexis::grammar::initials::Letters;

/// What is asked of the register.
#[derive(Clone, Debug, Default, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The letters as typed; empty for every mark.
    pub text: String,
    /// Offices, or towns without yearly letters, as [`Tables::place`] gives them; none for any.
    ///
    /// [`Tables::place`]: crate::Tables::place
    #[serde(serialize_with = "places")]
    pub offices: Vec<Place>,
    /// First letter year.
    pub from: Option<i32>,
    /// Last letter year.
    pub to: Option<i32>,
    /// The outline of the punch, by its word.
    pub punch: Option<String>,
    /// What the text was taken for; None where it is empty.
    pub by: Option<By>,
    /// The letters or the name that were taken out of it, where it holds more or was mended.
    pub read_as: Option<String>,
    #[serde(skip)]
    letters: Option<Letters>,
    #[serde(skip)]
    name: Option<Name>,
}

impl From<value::Asked> for Asked {
    fn from(a: value::Asked) -> Asked {
        Asked {
            text: a.text,
            offices: a.offices,
            from: a.from,
            to: a.to,
            punch: a.punch,
            by: a.by.map(By::from),
            read_as: a.read_as,
            letters: a.letters,
            name: a.name,
        }
    }
}

impl Asked {
    /// The same for the engine.
    pub(crate) fn value(&self) -> value::Asked {
        value::Asked {
            text: self.text.clone(),
            offices: self.offices.clone(),
            from: self.from,
            to: self.to,
            punch: self.punch.clone(),
            by: self.by.map(By::into),
            read_as: self.read_as.clone(),
            letters: self.letters.clone(),
            name: self.name.clone(),
        }
    }
}

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.sponsors/1";

/// What the register answers.
#[derive(Clone, Debug, Serialize)]
pub struct Sponsors {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// Marks that have the letters, likeliest first.
    pub sponsors: Vec<Maker>,
    /// How many marks were looked through.
    pub register: usize,
    /// Why there are none, or null.
    pub nothing: Option<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// A mark of the register, and how it bears on what was asked.
#[derive(Clone, Debug, Serialize)]
pub struct Maker {
    /// Its word in the register.
    pub id: String,
    /// The letters as struck, a stroke between lines or partners; null for a picture.
    pub struck: Option<String>,
    /// What it shows instead of letters.
    pub picture: Option<String>,
    /// row, stacked, grouped, joined or apart; null where not known.
    pub arrangement: Option<Arrangement>,
    /// The lettering, by its word.
    pub lettering: Option<String>,
    /// The outlines of its punches, by their words.
    pub punch: Vec<String>,
    /// What stands in the punch with the letters.
    pub beside: Vec<String>,
    /// What was struck beside it in a town without an office.
    pub with: Vec<String>,
    /// The persons.
    pub names: Vec<String>,
    /// The firm, or null.
    pub firm: Option<String>,
    /// Where they worked, or null.
    pub town: Option<String>,
    /// What they made.
    pub trade: Vec<String>,
    /// Offices that marked the work, and towns without yearly letters, by their words.
    pub offices: Vec<String>,
    /// The year it was entered or is first known.
    pub from: Option<i32>,
    /// The last year in which it is known.
    pub to: Option<i32>,
    /// It may have been in use longer than `to`.
    pub still: bool,
    /// The years are approximate.
    pub about: bool,
    /// What agrees, a sentence each.
    pub agrees: Vec<String>,
    /// What cannot well be so.
    pub clashes: Vec<String>,
    /// What asks for an excuse.
    pub strains: Vec<String>,
    /// What maker and years rest on: published, memory or both.
    pub basis: Basis,
    /// How sure they are: high, medium or low.
    pub confidence: Confidence,
    /// What the letters as struck rest on.
    pub letters_basis: Basis,
    /// How sure the letters are.
    pub letters_confidence: Confidence,
    /// Why the letters are not the initials of the names, or null.
    pub letters_why: Option<String>,
    /// A remark, or null.
    pub note: Option<String>,
    /// Sources.
    pub sources: Vec<String>,
    /// It stands in the user's own register.
    pub own: bool,
    /// Names of the offices and towns, for a reader.
    #[serde(skip)]
    pub office_names: Vec<String>,
}

/// A sponsor's mark of a description that the register knows, with one of its makers.
#[derive(Clone, Debug, Serialize)]
pub struct Met {
    /// Index into the sightings.
    pub sighting: usize,
    /// The maker.
    #[serde(flatten)]
    pub maker: Maker,
}
