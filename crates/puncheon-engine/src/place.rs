//! Places that can be asked for: offices, and towns without yearly letters.

use std::fmt;
use std::ops::Deref;

use puncheon_schema::image::{Image, Meta};
use puncheon_schema::sponsor::town_id;
use strsim::osa_distance;

use crate::words;
use puncheon_lexis::said::RemarkKind;
use puncheon_lexis::sighting::What;

/// Slips for which a name is still taken to be meant, in a word of so many letters for each.
const LETTERS_A_SLIP: usize = 3;

/// An office that the tables know, or a town without yearly letters, by its lower-case word. It can
/// be had from the tables alone, so that nothing else can be asked for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place(String);

impl Place {
    /// The office of this number.
    pub fn office(image: &Image, office: usize) -> Place {
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
pub fn place_name<'i>(image: &'i Image, id: &str) -> Option<&'i str> {
    match find_office(image, id) {
        Some(o) => Some(image.office(o).name()),
        None => towns(image).find(|t| town_id(t) == id),
    }
}

/// A name that no office has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoOffice<'i> {
    /// The office that is likeliest meant, if one is near.
    pub nearest: Option<&'i str>,
    /// The offices that there are.
    pub offices: Vec<&'i str>,
}

/// An office by its word, its name or any other name that the vocabulary has for it, in capitals
/// or small letters.
///
/// # Errors
/// If no office is called so, or if the name holds more than an office. A slip of the pen is not
/// mended: the error names the nearest.
pub fn office<'i>(image: &'i Image, name: &str) -> Result<Place, NoOffice<'i>> {
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
    Err(NoOffice { nearest: by_words.or_else(near), offices: all().map(|o| o.id()).collect() })
}

/// The same, or a town without yearly letters, of which there may be makers.
///
/// # Errors
/// If there is neither.
pub fn place<'i>(image: &'i Image, name: &str) -> Result<Place, NoOffice<'i>> {
    let wanted = town_id(name);
    if towns(image).any(|t| town_id(t) == wanted) {
        return Ok(Place(wanted));
    }
    // The word of a town joins what stands apart.
    match find_office(image, &wanted) {
        Some(o) => Ok(Place::office(image, o)),
        None => office(image, name),
    }
}

/// The number of an office by its lower-case word.
pub fn find_office(image: &Image, id: &str) -> Option<usize> {
    (0..image.meta(Meta::Offices)).find(|o| image.office(*o).id() == id)
}
