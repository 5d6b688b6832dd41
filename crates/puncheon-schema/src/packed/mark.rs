//! Marks, the devices and letterings they show, the reigns that heads stand for, and the articles that went without.

use super::numbered::{BASES, CONFIDENCES, KINDS, SLOTS};
use super::row::RowView;
use super::view::view;
use crate::entry::{Basis, Confidence, DeviceKind, Due, Slot};

/// How a described device meets a struck one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meets {
    /// They cannot be the same punch.
    Clash,
    /// The one covers the other.
    Agree,
    /// The word may loosely mean it.
    Strain,
    /// They cannot be the same, but are easily misread.
    Misread,
}

view!(/// A picture of a punch.
    DeviceView, DeviceCols, 4);

impl<'a> DeviceView<'a> {
    /// Word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// What it stands for before the rest is known.
    pub fn kind(self) -> DeviceKind {
        KINDS[self.col(2) as usize]
    }
    /// Lookalikes that it can meet when it is described.
    pub fn lookalikes(self) -> impl Iterator<Item = u32> + 'a {
        self.image.list(self.col(3))
    }
}

view!(/// A style of lettering.
    LetteringView, LetteringCols, 5);

impl<'a> LetteringView<'a> {
    /// Word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// Case says nothing in it.
    pub fn caseless(self) -> bool {
        self.col(2) == 1
    }
    /// Twenty-six styled capitals, or nothing.
    pub fn styled(self, upper: bool) -> &'a str {
        self.image.str(self.col(if upper { 3 } else { 4 }))
    }
}

view!(/// A mark: one device in one slot over one span, with its proof.
    MarkView, MarkCols, 12);

impl<'a> MarkView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// The device it shows.
    pub fn device(self) -> usize {
        self.col(1) as usize
    }
    /// Its place in the set.
    pub fn slot(self) -> Slot {
        SLOTS[self.col(2) as usize]
    }
    /// Must it stand?
    pub fn due(self) -> Due {
        if self.col(3) == 0 { Due::Must } else { Due::May }
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(4) as usize]
    }
    /// How sure.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(5) as usize]
    }
    /// Sources.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(6))
    }
    /// First and last as written in the tables; the last is empty if still in force.
    pub fn span(self) -> (&'a str, &'a str) {
        (self.image.str(self.col(7)), self.image.str(self.col(8)))
    }
    /// The outline, where known.
    pub fn outline(self) -> Option<usize> {
        (self.col(9) != u32::MAX).then_some(self.col(9) as usize)
    }
    /// The file it stands in.
    pub fn file(self) -> &'a str {
        self.image.str(self.col(10))
    }
    /// The statute, or nothing.
    pub fn statute(self) -> &'a str {
        self.image.str(self.col(11))
    }
}

view!(/// A reign or period.
    ReignView, ReignCols, 5);

impl<'a> ReignView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Name for a reader.
    pub fn name(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// First and last year.
    pub fn years(self) -> (i32, i32) {
        (self.col(2) as i32, self.col(3) as i32)
    }
    /// The device that its words mean where they are joined to a duty mark.
    pub fn head(self) -> Option<u32> {
        Some(self.col(4)).filter(|d| *d != u32::MAX)
    }
}

view!(/// Marks that some articles went without.
    OmissionView, OmissionCols, 11);

impl<'a> OmissionView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// Is the slot left empty?
    pub fn leaves_out(self, slot: Slot) -> bool {
        self.image.list(self.col(1)).any(|s| s == slot as u32)
    }
    /// Is the date letter left off?
    pub fn leaves_out_letter(self) -> bool {
        self.col(2) == 1
    }
    /// Does it speak of such a row?
    pub fn covers(self, row: RowView) -> bool {
        let letter = row.letter();
        let metal = self.image.standard(row.standard()).metal() as u32;
        let any_or = |list: u32, x: u32| {
            let mut items = self.image.list(list).peekable();
            items.peek().is_none() || items.any(|i| i == x)
        };
        let (from, to) = (self.col(6) as i32, self.col(7) as i32);
        self.image.list(self.col(3)).any(|o| o == letter.office() as u32)
            && any_or(self.col(4), metal)
            && any_or(self.col(5), row.standard() as u32)
            && from <= letter.year()
            && (to == 0 || letter.to() <= to)
    }
    /// The articles.
    pub fn on(self) -> &'a str {
        self.image.str(self.col(8))
    }
    /// How sure.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(9) as usize]
    }
    /// Sources.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(10))
    }
}

view!(/// A rule that asks for a sponsor's mark.
    SponsorDueView, SponsorDueCols, 6);

impl<'a> SponsorDueView<'a> {
    /// Does it ask such a row for one?
    pub fn covers(self, row: RowView) -> bool {
        let letter = row.letter();
        let (from, to) = (self.col(1) as i32, self.col(2) as i32);
        self.image.list(self.col(0)).any(|o| o == letter.office() as u32)
            && from <= letter.year()
            && (to == 0 || letter.year() <= to)
    }
    /// What it rests on.
    pub fn basis(self) -> Basis {
        BASES[self.col(3) as usize]
    }
    /// How sure.
    pub fn confidence(self) -> Confidence {
        CONFIDENCES[self.col(4) as usize]
    }
    /// Sources.
    pub fn cites(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(5))
    }
}
