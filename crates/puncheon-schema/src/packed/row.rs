//! Letters, and the rows of marks that stood beside them.

use super::image::Image;
use super::mark::MarkView;
use super::numbered::{BASES, CASES, CONFIDENCES, ORIGINS};
use super::part::{Meta, Part};
use super::view::view;
use crate::entry::{Basis, Case, Confidence, Metal, Origin};

view!(/// A date letter of one office and year.
    LetterView, LetterCols, 18);

impl<'a> LetterView<'a> {
    /// Its office.
    pub fn office(self) -> usize {
        self.col(0) as usize
    }
    /// The calendar year in which it came into use.
    pub fn year(self) -> i32 {
        self.col(1) as i32
    }
    /// The last letter year it served; as `year` unless carried on.
    pub fn to(self) -> i32 {
        self.col(2) as i32
    }
    /// The letter as struck, or nothing where not known.
    pub fn struck(self) -> &'a str {
        self.image.str(self.col(3))
    }
    /// The letter value, or None where not known.
    pub fn value(self) -> Option<usize> {
        (self.col(4) != u32::MAX).then_some(self.col(4) as usize)
    }
    /// Its case.
    pub fn case(self) -> Case {
        CASES[self.col(5) as usize]
    }
    /// Its lettering, where known.
    pub fn lettering(self) -> Option<usize> {
        (self.col(6) != u32::MAX).then_some(self.col(6) as usize)
    }
    /// How sure the letter is.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(7) as usize]
    }
    /// How sure its lettering is.
    pub fn lettering_confidence(self) -> Confidence {
        CONFIDENCES[self.col(8) as usize]
    }
    /// How sure its case is.
    pub fn case_confidence(self) -> Confidence {
        CONFIDENCES[self.col(9) as usize]
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(10) as usize]
    }
    /// Sources.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(11))
    }
    /// It is a rival letter of a disputed year.
    pub fn rival(self) -> bool {
        self.col(12) & 1 == 1
    }
    /// The year runs with the calendar, so it is shown as one year.
    pub fn calendar_year(self) -> bool {
        self.col(12) & 2 == 2
    }
    /// A set of this year often lacks its letter.
    pub fn optional(self) -> bool {
        self.col(12) & 4 == 4
    }
    /// The outline on a metal, where known.
    pub fn outline(self, metal: Metal) -> Option<usize> {
        let c = match metal {
            Metal::Silver => 13,
            Metal::Gold => 14,
            _ => return None,
        };
        (self.col(c) != u32::MAX).then_some(self.col(c) as usize)
    }
    /// First day as YYYYMMDD, 0 where not known.
    pub fn begins(self) -> i32 {
        self.col(15) as i32
    }
    /// Last day as YYYYMMDD, 0 where not known.
    pub fn ends(self) -> i32 {
        self.col(16) as i32
    }
    /// The cycle, by its id `office.first-year`.
    pub fn cycle(self) -> &'a str {
        self.image.str(self.col(17))
    }
}

/// A row: a set of marks that could have been struck on one day.
#[derive(Clone, Copy, Debug)]
pub struct RowView<'a> {
    pub(super) image: &'a Image,
    /// Its number.
    pub i: usize,
}

impl<'a> RowView<'a> {
    /// The date letter.
    pub fn letter(self) -> LetterView<'a> {
        self.image.letter(self.letter_index())
    }
    /// The date letter's number.
    pub fn letter_index(self) -> usize {
        self.image.u16(Part::RowLetter, self.i) as usize
    }
    /// The standard's number.
    pub fn standard(self) -> usize {
        self.image.u8(Part::RowStandard, self.i) as usize
    }
    /// Home or foreign ware.
    pub fn origin(self) -> Origin {
        ORIGINS[self.image.u8(Part::RowOrigin, self.i) as usize]
    }
    /// First day as YYYYMMDD, 0 where not known.
    pub fn begins(self) -> i32 {
        self.image.i32(Part::RowBegins, self.i)
    }
    /// Last day as YYYYMMDD, 0 where not known.
    pub fn ends(self) -> i32 {
        self.image.i32(Part::RowEnds, self.i)
    }
    /// The number of its set of marks.
    pub fn set(self) -> usize {
        self.image.u16(Part::RowSet, self.i) as usize
    }
    /// Its marks in groups. The marks of one group are alternatives for the same place.
    pub fn groups(self) -> impl Iterator<Item = Group<'a>> {
        self.image.set_groups(self.set())
    }
    /// All its marks.
    pub fn marks(self) -> impl Iterator<Item = MarkView<'a>> {
        self.groups().flat_map(|g| g.marks())
    }
}

/// Marks of a set that are alternatives for one place.
#[derive(Clone, Copy, Debug)]
pub struct Group<'a> {
    image: &'a Image,
    from: u32,
    to: u32,
    /// At least one of them must stand.
    pub due: bool,
}

impl<'a> Group<'a> {
    /// The alternatives.
    pub fn marks(self) -> impl Iterator<Item = MarkView<'a>> {
        let image = self.image;
        (self.from..self.to)
            .map(move |k| MarkView { image, i: image.u16(Part::SetMarks, k as usize) as usize })
    }
}

impl Image {
    /// The groups of a set of marks.
    pub fn set_groups(&self, set: usize) -> impl Iterator<Item = Group<'_>> {
        let first = if set == 0 { 0 } else { self.u32(Part::SetGroups, set - 1) };
        let last = self.u32(Part::SetGroups, set);
        let sets = self.meta(Meta::Sets);
        (first..last).map(move |g| {
            let end = |g: u32| self.u32(Part::SetGroups, sets + g as usize);
            let from = if g == 0 { 0 } else { end(g - 1) & 0x7fff_ffff };
            Group { image: self, from, to: end(g) & 0x7fff_ffff, due: end(g) >> 31 == 1 }
        })
    }
}
