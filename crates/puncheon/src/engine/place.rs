//! Places that can be asked for: offices, and towns without yearly letters.

use std::fmt;
use std::ops::Deref;

use puncheon_schema::image::{Image, Meta};
use puncheon_schema::sponsor::town_id;
use serde::Serialize;
use strsim::osa_distance;

use crate::engine::fit::narrow::find_office;
use crate::engine::words;
use crate::lexis::said::RemarkKind;
use crate::lexis::sighting::What;
use crate::tables::{Error, Tables};

/// Slips for which a name is still taken to be meant, in a word of so many letters for each.
const LETTERS_A_SLIP: usize = 3;

/// An office that the tables know, or a town without yearly letters, by its lower-case word. It can
/// be had from [`Tables::office`] and [`Tables::place`] alone, so that nothing else can be asked for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Place(String);

impl Place {
    /// The office of this number.
    pub(crate) fn office(image: &Image, office: usize) -> Place {
        Place(image.office(office).id().to_string())
    }
}

impl Deref for Place {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self)
    }
}

impl PartialEq<str> for Place {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}

impl PartialEq<&str> for Place {
    fn eq(&self, other: &&str) -> bool {
        self.0 == *other
    }
}

/// Towns without yearly letters.
pub fn towns(image: &Image) -> impl Iterator<Item = &str> {
    (0..image.meta(Meta::Lookalikes)).map(|i| image.lookalike(i).town()).filter(|t| !t.is_empty())
}

/// The name of an office, or of a town without yearly letters, by its word.
pub(crate) fn place_name<'i>(image: &'i Image, id: &str) -> Option<&'i str> {
    match find_office(image, id) {
        Some(o) => Some(image.office(o).name()),
        None => towns(image).find(|t| town_id(t) == id),
    }
}

impl Tables {
    /// An office by its word, its name or any other name that the vocabulary has for it, in capitals
    /// or small letters.
    ///
    /// ```
    /// use puncheon::{Options, Tables, read};
    ///
    /// let tables = Tables::builtin();
    /// let mut options = Options::default();
    /// options.office = Some(tables.office("BIRMINGHAM")?);
    /// let reading = read(tables, "lion passant, small roman f, king's head", &options);
    /// assert!(reading.fits.iter().all(|f| f.office.as_deref() == Some("birmingham")));
    ///
    /// let wrong = tables.office("Brimingham").unwrap_err().to_string();
    /// assert!(wrong.contains("the nearest is birmingham"));
    /// # Ok::<(), puncheon::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NoOffice`] if no office is called so, or if the name holds more than an office. A
    /// slip of the pen is not mended: the error names the nearest.
    pub fn office(&self, name: &str) -> Result<Place, Error> {
        let image = self.image();
        let wanted = name.trim().to_lowercase();
        let all = || (0..image.meta(Meta::Offices)).map(|o| image.office(o));
        let so_named = || all().position(|o| o.name().to_lowercase() == wanted);
        if let Some(o) = find_office(image, &wanted).or_else(so_named) {
            return Ok(Place::office(image, o));
        }
        let seen = words::read(image, name.trim());
        let named = match seen.sightings.as_slice() {
            [one] if seen.claimed.is_empty() && !one.doubt => match one.what {
                What::Town(o) if (one.start, one.end) == (0, name.trim().len()) => Some(o as usize),
                _ => None,
            },
            _ => None,
        };
        if let (Some(o), []) = (named, seen.remarks.as_slice()) {
            return Ok(Place::office(image, o));
        }
        let mended = seen.remarks.iter().all(|r| r.remark == RemarkKind::Guessed);
        let by_words = named.filter(|_| mended).map(|o| image.office(o).id());
        let near = || {
            let slips = |id: &str| osa_distance(id, &wanted);
            let near = all().map(|o| o.id()).min_by_key(|id| slips(id));
            near.filter(|id| slips(id) * LETTERS_A_SLIP <= wanted.chars().count())
        };
        Err(Error::NoOffice {
            asked: name.to_string(),
            nearest: by_words.or_else(near).map(str::to_string),
            offices: all().map(|o| o.id().to_string()).collect(),
        })
    }

    /// An office as [`Tables::office`], or a town without yearly letters, of which there may be makers.
    ///
    /// # Errors
    /// [`Error::NoOffice`] if there is neither.
    pub fn place(&self, name: &str) -> Result<Place, Error> {
        let wanted = town_id(name);
        if towns(self.image()).any(|t| town_id(t) == wanted) {
            return Ok(Place(wanted));
        }
        // The word of a town joins what stands apart.
        match find_office(self.image(), &wanted) {
            Some(o) => Ok(Place::office(self.image(), o)),
            None => self.office(name),
        }
    }
}
