//! Standards, and the scales by which fineness is counted.

use super::numbered::{BASES, CONFIDENCES, METALS};
use super::view::view;
use crate::entry::{Basis, Confidence, Metal};

view!(/// A standard of fineness.
    StandardView, StandardCols, 8);

impl<'a> StandardView<'a> {
    /// Lower-case word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// The metal.
    pub fn metal(self) -> Metal {
        METALS[self.col(2) as usize]
    }
    /// Whole parts per thousand, where known.
    pub fn parts(self) -> Option<u16> {
        (self.col(3) != 0).then_some(self.col(3) as u16)
    }
    /// The exact ratio of pure metal, where a standard is known.
    pub fn exact(self) -> Option<(u32, u32)> {
        (self.col(7) != 0).then_some((self.col(6), self.col(7)))
    }
    /// How sure the standard itself is.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(4) as usize]
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(5) as usize]
    }
}

view!(/// A way of counting fineness.
    ScaleView, ScaleCols, 4);

impl<'a> ScaleView<'a> {
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Parts of the pure metal.
    pub fn whole(self) -> u32 {
        self.col(1)
    }
    /// The metal so counted, where it is one alone.
    pub fn metal(self) -> Option<Metal> {
        (self.col(2) != 0).then(|| METALS[self.col(2) as usize - 1])
    }
    /// Words for it behind a figure.
    pub fn say(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(3))
    }
}
