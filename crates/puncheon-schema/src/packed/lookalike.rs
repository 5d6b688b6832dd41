//! Marks that are no British or Irish hallmarks.

use super::numbered::{BASES, CONFIDENCES, LOOKALIKES};
use super::view::view;
use crate::entry::{Basis, Confidence, LookalikeKind, OutsideBecause};

view!(/// A mark that is not a British or Irish hallmark.
    LookalikeView, LookalikeCols, 16);

impl<'a> LookalikeView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// What sort.
    pub fn kind(self) -> LookalikeKind {
        LOOKALIKES[self.col(1) as usize]
    }
    /// What it is.
    pub fn what(self) -> &'a str {
        self.image.str(self.col(2))
    }
    /// What it tells.
    pub fn why(self) -> &'a str {
        self.image.str(self.col(3))
    }
    /// It excludes a hallmark.
    pub fn denies(self) -> bool {
        self.col(4) & 1 == 1
    }
    /// Its letters were makers' letters too.
    pub fn unless_maker(self) -> bool {
        self.col(4) >> 3 & 1 == 1
    }
    /// The device of an assay master whose letters these were too.
    pub fn assayer(self) -> Option<u32> {
        self.image.list(self.col(15)).next()
    }
    /// The entry that is raised by rule, not by devices of its own.
    pub fn is_general(self) -> bool {
        self.needs().next().is_none() && self.shares().next().is_none()
    }
    /// Why it puts a description outside the tables.
    pub fn outside(self) -> Option<OutsideBecause> {
        match self.col(4) >> 1 & 3 {
            1 => Some(OutsideBecause::ForeignFineness),
            2 => Some(OutsideBecause::NoYearLetters),
            _ => None,
        }
    }
    /// Sets of devices, any one of which, described in full, meets the entry.
    pub fn needs(self) -> impl Iterator<Item = impl Iterator<Item = u32> + 'a> {
        let image = self.image;
        image.list(self.col(5)).map(move |l| image.list(l))
    }
    /// Every device that it needs or shares, each once: without one of them it cannot be met.
    pub fn devices(self) -> impl Iterator<Item = u32> + 'a {
        self.image.list(self.col(14))
    }
    /// Devices of real hallmarks that it also shows.
    pub fn shares(self) -> impl Iterator<Item = u32> + 'a {
        self.image.list(self.col(6))
    }
    /// The town, for a town that struck no yearly letter.
    pub fn town(self) -> &'a str {
        self.image.str(self.col(7))
    }
    /// First year, where known.
    pub fn from(self) -> Option<i32> {
        (self.col(8) != 0).then_some(self.col(8) as i32)
    }
    /// Last year, where known.
    pub fn to(self) -> Option<i32> {
        (self.col(9) != 0).then_some(self.col(9) as i32)
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(10) as usize]
    }
    /// How sure.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(11) as usize]
    }
    /// Sources.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(12))
    }
    /// The file it stands in.
    pub fn file(self) -> &'a str {
        self.image.str(self.col(13))
    }
}
