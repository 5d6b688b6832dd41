//! An office, its letter years and the years it left out.

use super::numbered::{BASES, CONFIDENCES};
use super::view::view;
use crate::entry::{Basis, Confidence};

view!(/// An assay office.
    OfficeView, OfficeCols, 9);

impl<'a> OfficeView<'a> {
    /// Lower-case word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// First and last letter year.
    pub fn years(self) -> (i32, i32) {
        (self.col(2) as i32, self.col(3) as i32)
    }
    /// True if it still marks.
    pub fn open(self) -> bool {
        self.col(4) == 1
    }
    /// Its rows are contiguous.
    pub fn rows(self) -> std::ops::Range<usize> {
        self.col(5) as usize..self.col(6) as usize
    }
    /// Letter years between its first and last in which it struck no letter.
    pub fn gaps(self) -> Vec<GapView<'a>> {
        let items: Vec<u32> = self.image.list(self.col(7)).collect();
        items
            .as_chunks::<4>()
            .0
            .iter()
            .map(|[from, to, why, cites]| GapView {
                from: *from as i32,
                to: *to as i32,
                why: self.image.str(*why),
                cites: self.image.strs(*cites).collect(),
            })
            .collect()
    }
}

impl<'a> OfficeView<'a> {
    /// When the letter of a year came into use, as far as the tables know.
    pub fn start(self, year: i32) -> Option<StartView<'a>> {
        let items: Vec<u32> = self.image.list(self.col(8)).collect();
        let spans = items.as_chunks::<7>().0.iter();
        let &[_, _, day, latest, basis, confidence, cites] =
            spans.into_iter().find(|s| s[0] as i32 <= year && year <= s[1] as i32)?;
        let in_year = |day: u32| year * 10_000 + day as i32;
        Some(StartView {
            day: in_year(day),
            latest: (latest != 0).then(|| in_year(latest)),
            basis: BASES[basis as usize],
            confidence: CONFIDENCES[confidence as usize],
            cites: self.image.strs(cites).collect(),
        })
    }
}

/// When the letter of a year came into use.
#[derive(Clone, Debug)]
pub struct StartView<'a> {
    /// The day as YYYYMMDD, or the earliest it can have been if `latest` is given.
    pub day: i32,
    /// The latest it can have been: then the day is not known, only that it lay between.
    pub latest: Option<i32>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    pub cites: Vec<&'a str>,
}

/// Letter years in which an office struck no letter.
#[derive(Clone, Debug)]
pub struct GapView<'a> {
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// The reason.
    pub why: &'a str,
    /// Sources.
    pub cites: Vec<&'a str>,
}
