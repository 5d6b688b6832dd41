//! What a person saw: the marks of a description, each with the words it came from.

use std::ops::Range;

use num_rational::BigRational;
use puncheon_schema::entry::{Case, DeviceKind, Metal, Slot};
use puncheon_schema::image::{Image, Meta};

use crate::said::{Kind, Remark, Stated};
use crate::tree::Tree;

/// Everything a description says.
#[derive(Clone, Debug, Default)]
pub struct Sightings {
    /// The marks.
    pub sightings: Vec<Sighting>,
    /// Remarks on the words.
    pub remarks: Vec<Remark>,
    /// Dates, places and standards stated, not shown.
    pub claimed: Vec<Stated>,
    /// Labels of the parts described ("cup", "lid"); sightings point into it.
    pub parts: Vec<String>,
    /// The describer's own word that the marks are copies, or that nothing else is there.
    pub called_copy: bool,
    /// The describer's own word that the marks are copies.
    pub called_false: bool,
    /// Signs that a warning looks for, by their numbers in the tables.
    pub signs: Vec<u32>,
    /// Letters of plate that were taken for a maker's or an assay master's: the sighting, and the device
    /// that they would be alone.
    pub letters_taken: Vec<(usize, u32)>,
    /// Engraving, inscriptions and scratch weights, in the order of the description.
    pub engraved: Vec<Engraving>,
    /// What the piece weighed and weighs, where both are said.
    pub weighed: Option<Weighed>,
    /// What became of every byte of the description.
    pub tree: Tree,
    /// The description that all of them point into.
    pub text: String,
    /// The number of the tables that theirs are of; None for none.
    pub tables: Option<usize>,
}

impl Sightings {
    /// No marks yet of a description, for those who make sightings by themselves.
    pub fn new(image: &Image, description: &str) -> Sightings {
        Sightings::default().of(image, description)
    }

    /// The same sightings, known to be of these tables and this description.
    pub fn of(mut self, image: &Image, description: &str) -> Sightings {
        self.text = description.to_string();
        self.tables = Some(image.number());
        self
    }

    /// The description that they point into.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What is wrong with them for these tables, if anything: everything in them must point into their
    /// text and their tables, and whoever makes sightings by hand may be mistaken.
    pub fn fault(&self, image: &Image) -> Option<Fault> {
        if self.tables != Some(image.number()) {
            return Some(Fault::OtherTables);
        }
        let inside = |at: Range<usize>| self.text.get(at).is_some();
        for (i, s) in self.sightings.iter().enumerate() {
            if !inside(s.start..s.end) {
                return Some(Fault::NoWords { sighting: i, start: s.start, end: s.end });
            }
            if s.part >= self.parts.len().max(1) {
                return Some(Fault::NoPart { sighting: i, part: s.part });
            }
            if !s.what.within(image) {
                return Some(Fault::NoMark(i));
            }
        }
        let known = |n: Option<u32>, of: Meta| n.is_none_or(|n| (n as usize) < image.meta(of));
        for (i, c) in self.claimed.iter().enumerate() {
            let all = [
                (c.office, Meta::Offices),
                (c.period, Meta::Reigns),
                (c.standard, Meta::Standards),
            ];
            if !all.into_iter().all(|(n, of)| known(n, of)) {
                return Some(Fault::NothingStated(i));
            }
        }
        let remarks = self.remarks.iter().map(|r| r.start..r.end);
        let claimed = self.claimed.iter().map(|c| c.start..c.end);
        let engraved = self.engraved.iter().map(|e| e.at.clone());
        let mut all = remarks.chain(claimed).chain(engraved);
        all.find(|r| !inside(r.clone())).map(Fault::NoSpan)
    }

    /// All that decides an answer, in bytes. Descriptions of one signature, in whatever words and
    /// order, have the same fits, nears and lookalikes; where something is claimed, its warnings may
    /// still look at the words themselves.
    pub fn signature(&self) -> Vec<u8> {
        let mut marks = Vec::with_capacity(self.sightings.len() * 24);
        let mut each: Vec<Range<usize>> = Vec::with_capacity(self.sightings.len());
        for s in &self.sightings {
            let from = marks.len();
            s.signature(&mut marks);
            each.push(from..marks.len());
        }
        // The order of marks never matters.
        each.sort_unstable_by(|a, b| marks[a.clone()].cmp(&marks[b.clone()]));
        let mut out = Vec::with_capacity(marks.len() + each.len() * 4 + 1);
        out.push(u8::from(self.called_copy));
        let mut taken: Vec<u32> = self.letters_taken.iter().map(|t| t.1).collect();
        taken.sort_unstable();
        out.push(taken.len() as u8);
        taken.iter().for_each(|d| out.extend(d.to_le_bytes()));
        for m in each {
            out.extend_from_slice(&(m.len() as u32).to_le_bytes());
            out.extend_from_slice(&marks[m]);
        }
        out
    }
}

/// Something engraved or scratched on a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Engraving {
    /// Where it stands in the description, in bytes.
    pub at: Range<usize>,
    /// The latest year in it.
    pub latest: Option<i32>,
}

/// A weight that was scratched on a piece, and the weight that is said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weighed {
    /// As it was scratched, in grams.
    pub then: BigRational,
    /// As it is said to be, in grams.
    pub now: BigRational,
}

/// What is wrong with sightings that were made or changed by hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// They are of other tables.
    OtherTables,
    /// A sighting stands at bytes that are no words of its text.
    NoWords {
        /// Which.
        sighting: usize,
        /// Its first byte.
        start: usize,
        /// Past its last.
        end: usize,
    },
    /// A sighting is of a part that is none.
    NoPart {
        /// Which.
        sighting: usize,
        /// Its part.
        part: usize,
    },
    /// A sighting, by its number, is of a mark that is none.
    NoMark(usize),
    /// What is stated, by its number, is none of these tables.
    NothingStated(usize),
    /// These bytes are no words of the text.
    NoSpan(Range<usize>),
}

/// One mark as described.
#[derive(Clone, Debug)]
pub struct Sighting {
    /// Its first byte in the text as typed.
    pub start: usize,
    /// Past the last byte.
    pub end: usize,
    /// What was seen.
    pub what: What,
    /// The describer was not sure: a contrary fact strains instead of clashing.
    pub doubt: bool,
    /// Only its form was doubted, "possibly crowned": what it is easily misread for strains.
    pub form_doubt: bool,
    /// It was said to be worn.
    pub worn: bool,
    /// The figures right behind it: "registered design 123456".
    pub number: Option<u32>,
    /// Index into [`Sightings::parts`].
    pub part: usize,
}

/// What was seen. Numbers are those of the tables' image.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// A device, or either of several.
    Device(Vec<u32>),
    /// Some mark in a slot, its device not said.
    Slot(Slot),
    /// A fineness by name: meets every mark of the standard.
    Standard(u32),
    /// An office by name: meets its mark.
    Town(u32),
    /// A date letter.
    Letter(LetterSeen),
    /// A sponsor's mark: says nothing of office or year here.
    Sponsor,
    /// A mark that is no hallmark of these islands.
    Lookalike(u32),
    /// A mark said not to be there.
    Absent(Box<What>),
}

/// A date letter as described. What was not said is None and says nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LetterSeen {
    /// The letters it may be; empty where it was not read.
    pub values: Vec<Typed>,
    /// Case as stated in words.
    pub case: Option<Case>,
    /// Lettering as stated in words or by a styled letter.
    pub lettering: Option<u32>,
    /// Outline as stated.
    pub outline: Option<u32>,
    /// The describer doubts the case.
    pub case_doubt: bool,
    /// The describer doubts the lettering.
    pub lettering_doubt: bool,
    /// The describer doubts the outline.
    pub outline_doubt: bool,
}

/// A letter as typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    /// Number of the letter, None for one no office struck.
    pub value: Option<u32>,
    /// Typed as a capital, which only ranks: k puts k before K. None in a text of capitals alone.
    pub upper: Option<bool>,
    /// For showing.
    pub shown: String,
}

impl Sighting {
    /// What sort of mark.
    pub fn kind(&self, image: &Image) -> Kind {
        self.what.kind(image)
    }

    fn signature(&self, out: &mut Vec<u8>) {
        let bit = |set: bool, n: u8| u8::from(set) << n;
        out.push(bit(self.doubt, 0) | bit(self.form_doubt, 1) | bit(self.worn, 2));
        self.what.signature(out);
    }

    /// Where the mark stands in what was typed. One that ends inside a bracket of its own ends with
    /// the bracket: "king's head (struck twice)".
    pub fn quoted(&self, typed: &str) -> Range<usize> {
        let said = &typed[self.start..self.end];
        let open = said.matches('(').count() > said.matches(')').count();
        let closes = open && typed[self.end..].starts_with(')');
        self.start..self.end + usize::from(closes)
    }
}

impl What {
    /// Are its numbers among those of the tables?
    fn within(&self, image: &Image) -> bool {
        let known = |n: u32, of: Meta| (n as usize) < image.meta(of);
        match self {
            What::Device(all) => all.iter().all(|d| known(*d, Meta::Devices)),
            What::Standard(s) => known(*s, Meta::Standards),
            What::Town(o) => known(*o, Meta::Offices),
            What::Lookalike(d) => known(*d, Meta::Devices),
            What::Letter(l) => {
                let values = l.values.iter().filter_map(|v| v.value);
                values.into_iter().all(|v| known(v, Meta::Values))
                    && l.lettering.is_none_or(|n| known(n, Meta::Letterings))
                    && l.outline.is_none_or(|n| known(n, Meta::Outlines))
            }
            What::Absent(what) => what.within(image),
            What::Slot(_) | What::Sponsor => true,
        }
    }

    /// The kind of mark that it is, as the tables group them.
    pub fn kind(&self, image: &Image) -> Kind {
        match self {
            What::Device(d) => match d.first().map(|d| image.device(*d as usize).kind()) {
                Some(DeviceKind::Town) | None => Kind::Town,
                Some(DeviceKind::Standard) => Kind::Standard,
                Some(DeviceKind::Fineness) => Kind::Fineness,
                Some(DeviceKind::Duty) => Kind::Duty,
                Some(DeviceKind::Import) => Kind::Import,
                Some(DeviceKind::Convention) => Kind::Convention,
                Some(DeviceKind::Commemorative) => Kind::Commemorative,
                Some(DeviceKind::Assayer) => Kind::Assayer,
                Some(DeviceKind::Letter) => Kind::Letter,
                Some(DeviceKind::Lookalike) => Kind::Lookalike,
            },
            What::Slot(s) => match s {
                Slot::Standard => Kind::Standard,
                Slot::Duty => Kind::Duty,
                Slot::Import => Kind::Import,
                Slot::Convention => Kind::Convention,
                Slot::Commemorative => Kind::Commemorative,
                Slot::Assayer => Kind::Assayer,
                Slot::Town | Slot::Extra | Slot::Joined | Slot::Special => Kind::Town,
            },
            // A carat names a fineness, "sterling mark" a mark.
            What::Standard(s) if image.standard(*s as usize).metal() == Metal::Silver => {
                Kind::Standard
            }
            What::Standard(_) => Kind::Fineness,
            What::Town(_) => Kind::Town,
            What::Letter(_) => Kind::Letter,
            What::Sponsor => Kind::Sponsor,
            What::Lookalike(_) => Kind::Lookalike,
            What::Absent(_) => Kind::Absence,
        }
    }

    fn signature(&self, out: &mut Vec<u8>) {
        let mut number = |kind: u8, n: u32| {
            out.push(kind);
            out.extend_from_slice(&n.to_le_bytes());
        };
        match self {
            What::Device(devices) => devices.iter().for_each(|d| number(0, *d)),
            What::Slot(slot) => number(1, *slot as u32),
            What::Standard(s) => number(2, *s),
            What::Town(o) => number(3, *o),
            What::Sponsor => out.push(4),
            What::Lookalike(d) => number(5, *d),
            What::Letter(l) => {
                out.push(6);
                l.signature(out);
            }
            What::Absent(what) => {
                out.push(7);
                what.signature(out);
            }
        }
    }
}

impl LetterSeen {
    fn signature(&self, out: &mut Vec<u8>) {
        let mut number = |n: Option<u32>| {
            // No number of the tables is so high.
            out.extend_from_slice(&n.unwrap_or(u32::MAX).to_le_bytes());
        };
        for t in &self.values {
            number(t.value);
            number(t.upper.map(u32::from));
        }
        number(self.case.map(|c| c as u32));
        number(self.lettering);
        number(self.outline);
        let bit = |set: bool, n: u8| u8::from(set) << n;
        out.push(
            bit(self.case_doubt, 0) | bit(self.lettering_doubt, 1) | bit(self.outline_doubt, 2),
        );
    }
}
