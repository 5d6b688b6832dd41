//! An image, opened: its pools, its bit sets, and the ways to its entries and words.

use std::borrow::Cow;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::bits::Bits;
use super::caution::{BoastView, CautionView};
use super::ending::{Ending, edge_hash, hash};
use super::lookalike::LookalikeView;
use super::mark::{
    DeviceView, LetteringView, MarkView, Meets, OmissionView, ReignView, SponsorDueView,
};
use super::office::OfficeView;
use super::part::{
    DEVICE_BITS, FEATURE_BITS, MAGIC, MEANING_COLS, Meta, OUTLINE_COLS, PARTS, Part, SLOT_BITS,
    VALUE_BITS, le32,
};
use super::row::{LetterView, RowView};
use super::standard::{ScaleView, StandardView};
use super::warning::WarningView;
use super::weight::{DeductionView, UnitView};
use crate::entry::{Metal, Slot};
use crate::meaning::Sense;

/// Packed tables.
#[derive(Clone, Debug)]
pub struct Image {
    data: Cow<'static, [u8]>,
    at: [(u32, u32); PARTS],
    /// Tells one image from another; copies share it.
    number: usize,
}

impl Image {
    /// Opens packed tables. Only the few bytes of the head are looked at.
    ///
    /// # Panics
    /// If the bytes are not an image written by this version of the crate; the build and the
    /// overlay reader never pass others.
    pub fn open(data: impl Into<Cow<'static, [u8]>>) -> Image {
        let data = data.into();
        assert!(data.starts_with(MAGIC), "not a packed table");
        let mut at = [(0, 0); PARTS];
        for (i, slot) in at.iter_mut().enumerate() {
            let k = 4 + i * 8;
            *slot = (le32(&data, k), le32(&data, k + 4));
        }
        static OPENED: AtomicUsize = AtomicUsize::new(0);
        Image { data, at, number: OPENED.fetch_add(1, Ordering::Relaxed) }
    }

    /// A number that tells one image from another within a process; copies of an image share it.
    pub fn number(&self) -> usize {
        self.number
    }

    /// The bytes, as they can be written to a file and opened again.
    pub fn bytes(&self) -> &[u8] {
        &self.data
    }

    #[inline]
    fn part(&self, p: Part) -> &[u8] {
        let (from, len) = self.at[p as usize];
        &self.data[from as usize..(from + len) as usize]
    }

    #[inline]
    pub(super) fn u8(&self, p: Part, i: usize) -> u8 {
        self.part(p)[i]
    }

    #[inline]
    pub(super) fn u16(&self, p: Part, i: usize) -> u16 {
        u16::from_le_bytes(self.part(p).as_chunks::<2>().0[i])
    }

    #[inline]
    pub(super) fn u32(&self, p: Part, i: usize) -> u32 {
        u32::from_le_bytes(self.part(p).as_chunks::<4>().0[i])
    }

    #[inline]
    pub(super) fn i32(&self, p: Part, i: usize) -> i32 {
        self.u32(p, i) as i32
    }

    /// A count or base.
    #[inline]
    pub fn meta(&self, m: Meta) -> usize {
        self.u32(Part::Meta, m as usize) as usize
    }

    /// A string of the pool.
    pub fn str(&self, id: u32) -> &str {
        std::str::from_utf8(self.str_bytes(id)).unwrap_or("")
    }

    fn str_bytes(&self, id: u32) -> &[u8] {
        let id = id as usize;
        let from = if id == 0 { 0 } else { self.u32(Part::StrEnds, id - 1) as usize };
        let to = self.u32(Part::StrEnds, id) as usize;
        &self.part(Part::StrBytes)[from..to]
    }

    /// A list of small integers of the pool.
    pub fn list(&self, id: u32) -> impl Iterator<Item = u32> + '_ {
        let id = id as usize;
        let from = if id == 0 { 0 } else { self.u32(Part::ListEnds, id - 1) as usize };
        let to = self.u32(Part::ListEnds, id) as usize;
        (from..to).map(|i| self.u32(Part::ListItems, i))
    }

    /// A list of strings of the pool.
    pub fn strs(&self, id: u32) -> impl Iterator<Item = &str> + '_ {
        self.list(id).map(|s| self.str(s))
    }

    /// A bit set by its number.
    #[inline]
    pub fn bits(&self, id: usize) -> Bits<'_> {
        let k = id * 8;
        let index = self.part(Part::BitIndex);
        let lo = u16::from_le_bytes([index[k], index[k + 1]]) as usize;
        let len = u16::from_le_bytes([index[k + 2], index[k + 3]]) as usize;
        let off = le32(index, k + 4) as usize;
        Bits { lo, bytes: &self.part(Part::BitWords)[off * 8..(off + len) * 8] }
    }

    /// How many words a set over all rows has.
    pub fn width(&self) -> usize {
        self.meta(Meta::Rows).div_ceil(64)
    }

    /// Rows by how they meet a device: 0 agree, 1 strain, 2 easily misread; 3 are the rows in which
    /// it should stand.
    #[inline]
    pub fn device_bits(&self, device: usize, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsDevice) + device * DEVICE_BITS + which)
    }

    /// Rows with a mark in a slot (0), and those where one is due (1).
    pub fn slot_bits(&self, slot: Slot, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsSlot) + slot as usize * SLOT_BITS + which)
    }

    /// Rows with a letter (0), and rows whose letter is taken for it when worn (1).
    pub fn value_bits(&self, value: usize, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsValue) + value * VALUE_BITS + which)
    }

    /// Rows by how they meet a stated case (0 capital, 1 small): 0 agree, 1 silent, 2 strain.
    pub fn case_bits(&self, case: usize, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsCase) + case * FEATURE_BITS + which)
    }

    /// Rows by how they meet a stated lettering: 0 agree, 1 silent, 2 strain.
    pub fn lettering_bits(&self, lettering: usize, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsLettering) + lettering * FEATURE_BITS + which)
    }

    /// Rows by how they meet a stated outline: 0 agree, 1 silent, 2 strain.
    pub fn outline_bits(&self, outline: usize, which: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOutline) + outline * FEATURE_BITS + which)
    }

    /// Rows of a standard.
    pub fn standard_bits(&self, standard: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsStandard) + standard)
    }

    /// Rows of a metal.
    pub fn metal_bits(&self, metal: Metal) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsMetal) + metal as usize)
    }

    /// Rows of an office.
    pub fn office_bits(&self, office: usize) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOffice) + office)
    }

    /// Every row.
    pub fn all_bits(&self) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOther) + 3)
    }

    /// Rows whose letter is not known.
    pub fn unknown_letter_bits(&self) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOther))
    }

    /// Rows in which a date letter should stand.
    pub fn letter_due_bits(&self) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOther) + 1)
    }

    /// Rows of a rival letter of a disputed year: each strains by itself.
    pub fn rival_bits(&self) -> Bits<'_> {
        self.bits(self.meta(Meta::BitsOther) + 2)
    }

    /// The tables' version: the day and a digest of their text.
    pub fn version(&self) -> &str {
        self.str(self.u32(Part::Meta, Meta::Version as usize))
    }

    /// An office.
    pub fn office(&self, i: usize) -> OfficeView<'_> {
        OfficeView { image: self, i }
    }

    /// A standard.
    pub fn standard(&self, i: usize) -> StandardView<'_> {
        StandardView { image: self, i }
    }

    /// A device.
    pub fn device(&self, i: usize) -> DeviceView<'_> {
        DeviceView { image: self, i }
    }

    /// A mark.
    pub fn mark(&self, i: usize) -> MarkView<'_> {
        MarkView { image: self, i }
    }

    /// A letter of an office and year.
    pub fn letter(&self, i: usize) -> LetterView<'_> {
        LetterView { image: self, i }
    }

    /// A row.
    pub fn row(&self, i: usize) -> RowView<'_> {
        RowView { image: self, i }
    }

    /// Lookalikes that are raised by rule, not by devices of their own.
    pub fn general_lookalikes(&self) -> impl Iterator<Item = u32> + '_ {
        self.list(self.meta(Meta::GeneralLookalikes) as u32)
    }

    /// A lookalike.
    pub fn lookalike(&self, i: usize) -> LookalikeView<'_> {
        LookalikeView { image: self, i }
    }

    /// A unit of weight.
    pub fn unit(&self, i: usize) -> UnitView<'_> {
        UnitView { image: self, i }
    }

    /// A way of counting fineness.
    pub fn scale(&self, i: usize) -> ScaleView<'_> {
        ScaleView { image: self, i }
    }

    /// What is weighed with a piece and is not its metal.
    pub fn deduction(&self, i: usize) -> DeductionView<'_> {
        DeductionView { image: self, i }
    }

    /// Words that claim more than marks bear out.
    pub fn boast(&self, i: usize) -> BoastView<'_> {
        BoastView { image: self, i }
    }

    /// A sign worth a second look.
    pub fn warning(&self, i: usize) -> WarningView<'_> {
        WarningView { image: self, i }
    }

    /// Something to mind.
    pub fn caution(&self, i: usize) -> CautionView<'_> {
        CautionView { image: self, i }
    }

    /// Marks that some articles went without.
    pub fn omission(&self, i: usize) -> OmissionView<'_> {
        OmissionView { image: self, i }
    }

    /// A rule that asks for a sponsor's mark.
    pub fn sponsor_due(&self, i: usize) -> SponsorDueView<'_> {
        SponsorDueView { image: self, i }
    }

    /// The year in which a design's number was given out, and by how many years that may be wrong;
    /// None beyond the last year of the list.
    pub fn design_year(&self, number: u32) -> Option<(i32, i32)> {
        let n = self.meta(Meta::Designs);
        let first = |i: usize| self.u32(Part::DesignCols, i * 2 + 1);
        let i = (0..n).rposition(|i| first(i) <= number)?;
        (i + 1 < n).then(|| {
            let year = self.u32(Part::DesignCols, i * 2) as i32;
            (year, self.meta(Meta::DesignSlack) as i32)
        })
    }

    /// A reign.
    pub fn reign(&self, i: usize) -> ReignView<'_> {
        ReignView { image: self, i }
    }

    /// A lettering: id, name, styled capitals and styled small letters.
    pub fn lettering(&self, i: usize) -> LetteringView<'_> {
        LetteringView { image: self, i }
    }

    /// An outline's id.
    pub fn outline_id(&self, i: usize) -> &str {
        self.str(self.u32(Part::OutlineCols, i * OUTLINE_COLS))
    }

    /// An outline's name.
    pub fn outline_name(&self, i: usize) -> &str {
        self.str(self.u32(Part::OutlineCols, i * OUTLINE_COLS + 1))
    }

    /// The broader outlines that an outline is a form of.
    pub fn outline_broader(&self, i: usize) -> impl Iterator<Item = usize> + '_ {
        self.list(self.u32(Part::OutlineCols, i * OUTLINE_COLS + 2)).map(|b| b as usize)
    }

    /// What an outline's word means, in one line; its name where that is plain enough.
    pub fn outline_means(&self, i: usize) -> &str {
        match self.str(self.u32(Part::OutlineCols, i * OUTLINE_COLS + 3)) {
            "" => self.outline_name(i),
            means => means,
        }
    }

    /// The plain letter of a letter value, upper case or in braces.
    pub fn value(&self, i: usize) -> &str {
        self.str(self.u32(Part::ValueStr, i))
    }

    /// The letter value of a plain letter, upper case.
    pub fn value_of(&self, letter: &str) -> Option<usize> {
        self.value_where(|v| v == letter.as_bytes())
    }

    /// The letter value of a symbol struck in a letter's place, by its word.
    pub fn symbol_of(&self, word: &str) -> Option<usize> {
        let inner = |v: &[u8]| {
            let v = v.strip_prefix(b"{")?.strip_suffix(b"}")?;
            Some(v == word.as_bytes())
        };
        self.value_where(|v| inner(v) == Some(true))
    }

    fn value_where(&self, f: impl Fn(&[u8]) -> bool) -> Option<usize> {
        (0..self.meta(Meta::Values)).find(|&i| f(self.str_bytes(self.u32(Part::ValueStr, i))))
    }

    /// How a device word meets a device struck.
    #[inline]
    pub fn relation(&self, word: usize, struck: usize) -> Meets {
        let n = self.meta(Meta::Devices);
        let k = word * n + struck;
        match self.u8(Part::Relations, k / 4) >> (k % 4 * 2) & 3 {
            0 => Meets::Clash,
            1 => Meets::Agree,
            2 => Meets::Strain,
            _ => Meets::Misread,
        }
    }

    /// Is the first device the second, or a broader form of it?
    pub fn covers(&self, broad: usize, narrow: usize) -> bool {
        let k = broad * self.meta(Meta::Devices) + narrow;
        self.u8(Part::Covers, k / 8) >> (k % 8) & 1 == 1
    }

    // The lexicon.

    /// The number of a vocabulary word, given folded.
    #[inline]
    pub fn word(&self, folded: &[u8]) -> Option<u32> {
        let slots = self.part(Part::WordHash).len() / 4;
        let mut k = hash(folded) as usize & (slots - 1);
        loop {
            let id = self.u32(Part::WordHash, k);
            if id == u32::MAX {
                return None;
            }
            if self.str_bytes(self.u32(Part::WordStr, id as usize)) == folded {
                return Some(id);
            }
            k = (k + 1) & (slots - 1);
        }
    }

    /// A vocabulary word by number.
    pub fn word_str(&self, id: u32) -> &str {
        self.str(self.u32(Part::WordStr, id as usize))
    }

    /// True if the word stands in some phrase about marks, and so is worth suggesting.
    pub fn word_tells(&self, id: u32) -> bool {
        self.u8(Part::WordFlags, id as usize) & 2 == 2
    }

    /// Words that begin with a letter, for spelling help.
    pub fn words_from(&self, initial: u8) -> impl Iterator<Item = u32> + '_ {
        let k = usize::from(initial.wrapping_sub(b'a').min(26));
        let n = 28;
        let from = self.u32(Part::WordByInitial, k) as usize;
        let to = self.u32(Part::WordByInitial, k + 1) as usize;
        (from..to).map(move |i| self.u32(Part::WordByInitial, n + i))
    }

    /// The phrase node reached from `node` by a word.
    #[inline]
    pub fn step(&self, node: u32, word: u32) -> Option<u32> {
        let slots = self.meta(Meta::EdgeSlots);
        let mut k = edge_hash(node, word) as usize & (slots - 1);
        loop {
            let from = self.u32(Part::TrieEdges, k * 3);
            if from == u32::MAX {
                return None;
            }
            if from == node && self.u32(Part::TrieEdges, k * 3 + 1) == word {
                return Some(self.u32(Part::TrieEdges, k * 3 + 2));
            }
            k = (k + 1) & (slots - 1);
        }
    }

    /// What a phrase means where it ends at `node`.
    #[inline]
    pub fn ending(&self, node: u32) -> Ending {
        let k = node as usize * 2;
        Ending { plain: self.u32(Part::TrieNodes, k), capitals: self.u32(Part::TrieNodes, k + 1) }
    }

    /// The word that a word of the lexicon is a slip for.
    pub fn slip_for(&self, word: u32) -> Option<u32> {
        Some(self.u32(Part::WordMeant, word as usize)).filter(|w| *w != u32::MAX)
    }

    /// How many meanings the vocabulary tells apart.
    pub fn meanings(&self) -> u32 {
        (self.part(Part::MeaningCols).len() / (MEANING_COLS * 4)) as u32
    }

    /// The plainest phrase of a meaning.
    pub fn meaning_said(&self, id: u32) -> &str {
        self.str(self.u32(Part::MeaningCols, id as usize * MEANING_COLS + 2))
    }

    /// A meaning by number.
    #[inline]
    pub fn meaning(&self, id: u32) -> Sense {
        let k = id as usize * MEANING_COLS;
        let (kind, arg) = (self.u32(Part::MeaningCols, k), self.u32(Part::MeaningCols, k + 1));
        Sense::unpack(kind, arg)
    }
}
