//! Units of weight, and what is weighed with a piece.

use super::numbered::{BASES, CONFIDENCES};
use super::view::view;
use crate::entry::{Basis, Confidence, Metal, System};

view!(/// A unit of weight.
    UnitView, UnitCols, 8);

impl<'a> UnitView<'a> {
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// The same short, as it is to be written.
    pub fn short(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// Its weight in grams, as an exact decimal.
    pub fn grams(self) -> &'a str {
        self.image.str(self.col(2))
    }
    /// What it is added up with.
    pub fn system(self) -> System {
        [System::Metric, System::Troy, System::Avoirdupois][self.col(3) as usize]
    }
    /// Its place in a weight of old plate, from 1 on.
    pub fn scratch(self) -> Option<u32> {
        (self.col(4) != 0).then_some(self.col(4))
    }
    /// Phrases that mean it.
    pub fn say(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(5))
    }
    /// Phrases that leave the unit open and are taken for this one.
    pub fn bare(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(6))
    }
    /// What to write instead where another unit is meant.
    pub fn bare_why(self) -> &'a str {
        self.image.str(self.col(7))
    }
}

view!(/// What is weighed with a piece and is not its metal.
    DeductionView, DeductionCols, 11);

impl<'a> DeductionView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// Phrases that speak of it.
    pub fn say(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(2))
    }
    /// What the trade does about it.
    pub fn advice(self) -> &'a str {
        self.image.str(self.col(3))
    }
    /// The part of the whole weight, in hundredths, that it took in published cases.
    pub fn share(self) -> Option<(u32, u32)> {
        let share = self.col(4);
        (share != 0).then_some((share >> 8, share & 0xff))
    }
    /// It has to come off the weight.
    pub fn weighs(self) -> bool {
        self.col(5) == 1
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(6) as usize]
    }
    /// How sure.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(7) as usize]
    }
    /// Sources; none is the common practice of the trade.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(8))
    }
    /// Devices of lookalikes whose words speak of it too.
    pub fn devices(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(9))
    }
    /// Is a piece of another metal, if the words are said of the piece itself?
    pub fn bars(self, metal: Metal) -> bool {
        self.col(10) >> metal as u32 & 1 == 1
    }
}
