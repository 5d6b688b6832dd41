//! What is asked of the register of sponsors' marks, and what a description tells of such marks.

use puncheon_schema::image::Image;

use crate::books::Books;
use crate::makers::names::Name;
use crate::makers::sought::Wanted;
use crate::place::Place;
use crate::words;
use puncheon_lexis::grammar::initials::{self, Letters, LettersError};
use puncheon_lexis::said::{Remark, RemarkKind};
use puncheon_lexis::sighting::{Sighting, Sightings, What};

/// What is asked of the register.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The letters as typed; empty for every mark.
    pub text: String,
    /// Offices, or towns without yearly letters, as the tables have them; none for any.
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
    /// The letters, where they are asked for.
    pub letters: Option<Letters>,
    /// The name, where one is asked for and known.
    pub name: Option<Name>,
}

/// What the register is searched by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// The letters of a mark.
    Letters,
    /// The name of a maker, or of a firm.
    Name,
}

impl Asked {
    /// Reads letters, described or written, or a name; empty text asks for every mark.
    ///
    /// # Errors
    /// If the words are neither.
    pub fn read(books: Books, text: &str) -> Result<Asked, LettersError> {
        let asked = Asked { text: text.to_string(), ..Asked::default() };
        if text.trim().is_empty() {
            return Ok(asked);
        }
        let Books { image, registers } = books;
        let by_letters = |letters: Letters, read_as: Option<String>| Asked {
            by: Some(By::Letters),
            read_as: read_as.filter(|r| r != text.trim()),
            letters: Some(letters),
            ..asked.clone()
        };
        let by_name = |name: Name| -> Result<Asked, LettersError> {
            let letters = match name.groups.join(" ") {
                none if none.is_empty() => None,
                groups => Some(Letters::read(image, &groups)?),
            };
            Ok(Asked {
                by: Some(By::Name),
                read_as: name.read_as.clone(),
                letters,
                name: Some(name),
                ..asked.clone()
            })
        };
        // A word that is a maker's name is one, even where its capital could be a letter.
        let index = registers.index();
        if let Some(name) = Name::read(index, image, text, false) {
            return by_name(name);
        }
        let first = Name::first(image, text);
        let letters = match first {
            None => Letters::read(image, text),
            Some(word) => {
                let at = word.as_ptr() as usize - text.as_ptr() as usize;
                Err(LettersError::no_part(text, at..at + word.len()))
            }
        };
        if let Ok(letters) = letters {
            if !registers.found(Some(&letters), None).is_empty() {
                return Ok(by_letters(letters, None));
            }
            // "ged" is a name and "hb in an oval" a description, if no mark has such letters.
            return match (Name::short(index, image, text), described(image, text)) {
                (Some(name), _) => by_name(name),
                (None, Some((letters, read_as))) => Ok(by_letters(letters, Some(read_as))),
                (None, None) => Ok(by_letters(letters, None)),
            };
        }
        if let Some((letters, read_as)) = described(image, text) {
            return Ok(by_letters(letters, Some(read_as)));
        }
        match Name::read(index, image, text, true) {
            Some(name) => by_name(name),
            // A name that the register does not know.
            None if Name::is_nothing_else(image, text) => {
                Ok(Asked { by: Some(By::Name), ..asked.clone() })
            }
            None => letters.map(|_| asked.clone()),
        }
    }
}

impl Asked {
    /// What marks it looks for.
    pub fn wanted(&self) -> Wanted<'_> {
        Wanted {
            letters: self.letters.as_ref(),
            name: self.name.as_ref(),
            punch: self.punch.as_deref(),
        }
    }
}

/// The letters of a maker's mark described in words, "HB in script", if nothing else is; and those
/// letters alone.
fn described(image: &Image, text: &str) -> Option<(Letters, String)> {
    let typed = &initials::shouted(image, text);
    let seen = words::read(image, typed);
    let lost = |r: &Remark| r.remark == RemarkKind::NotUnderstood;
    // A picture that stands over the letters is part of the mark.
    let picture = |s: &Sighting| matches!(s.what, What::Device(_)) && initials::over(image, typed);
    let other = |s: &Sighting| s.what != What::Sponsor && !picture(s);
    let more = seen.remarks.iter().any(lost)
        || seen.sightings.iter().any(other)
        || !seen.claimed.is_empty();
    let mut marks: Vec<Letters> =
        letters_told(image, &seen).into_iter().map(|(_, letters)| letters).collect();
    if seen.sightings.is_empty() {
        // Letters that mean something beside other marks, "LC", mean nothing else here.
        marks.extend(Letters::among(image, typed));
    }
    let letters = marks.pop().filter(|_| !more && marks.is_empty())?;
    let read_as = letters.typed.clone();
    Some((letters, read_as))
}

/// The sponsors' marks of a description whose letters are told, by their sightings.
pub fn letters_told(image: &Image, seen: &Sightings) -> Vec<(usize, Letters)> {
    let all = marks_in_words(image, seen).into_iter();
    all.filter_map(|(i, words)| Some((i, Letters::among(image, words)?))).collect()
}

/// The words that describe the sponsors' marks of a description, each with the first sighting that it
/// rests on. Lines of one mark that were taken for two, "PB over AB", are one.
pub fn marks_in_words<'s>(image: &Image, seen: &'s Sightings) -> Vec<(usize, &'s str)> {
    let words = |from: usize, to: usize| seen.text.get(from..to).unwrap_or_default();
    let marks = seen.sightings.iter().enumerate().filter(|(_, s)| s.what == What::Sponsor);
    let marks: Vec<(usize, &Sighting)> = marks.collect();
    let mut out = Vec::new();
    let mut rest = marks.as_slice();
    while let [(first, s), more @ ..] = rest {
        let from = s.start;
        let mut to = s.end;
        rest = more;
        while let [(_, s), more @ ..] = rest {
            if s.start < to || !initials::stacked(image, words(to, s.start)) {
                break;
            }
            to = s.end;
            rest = more;
        }
        out.push((*first, words(from, to)));
    }
    out
}
