//! The packed tables: columns of small integers and bit sets over the rows, ready to use where
//! they lie.
//!
//! [`crate::expand`] writes an image, at build time for the built-in tables and at start for a
//! user's overlay; the engine reads it. Nothing is parsed or copied when an image is opened: every
//! accessor decodes a few bytes in place.

use std::borrow::Cow;
use std::sync::atomic::{AtomicUsize, Ordering};

pub use crate::meaning::Sense;

use crate::entry::{
    Basis, Case, Confidence, DeviceKind, Due, LookalikeKind, Metal, Origin, OutsideBecause,
    Particular, Slot, Standing, System, Use,
};

/// A column or pool of the image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
#[allow(missing_docs)]
pub enum Part {
    Meta,
    StrEnds,
    StrBytes,
    ListEnds,
    ListItems,
    BitIndex,
    BitWords,
    OfficeCols,
    StandardCols,
    DeviceCols,
    LetteringCols,
    OutlineCols,
    MarkCols,
    SetGroups,
    SetMarks,
    LetterCols,
    RowLetter,
    RowStandard,
    RowOrigin,
    RowSet,
    RowBegins,
    RowEnds,
    ValueStr,
    LookalikeCols,
    ReignCols,
    WarningCols,
    CautionCols,
    OmissionCols,
    SponsorDueCols,
    DesignCols,
    UnitCols,
    ScaleCols,
    DeductionCols,
    BoastCols,
    WordHash,
    WordStr,
    WordFlags,
    WordMeant,
    TrieEdges,
    TrieNodes,
    MeaningCols,
    WordByInitial,
    Relations,
    Covers,
    Count,
}

const PARTS: usize = Part::Count as usize;
const MAGIC: &[u8; 4] = b"PNC1";

/// Counts and bases kept in [`Part::Meta`].
#[derive(Clone, Copy, Debug)]
#[repr(usize)]
#[allow(missing_docs)]
pub enum Meta {
    Rows,
    Offices,
    Standards,
    Devices,
    Letterings,
    Outlines,
    Marks,
    Sets,
    Letters,
    Values,
    Lookalikes,
    GeneralLookalikes,
    Reigns,
    Warnings,
    Cautions,
    Omissions,
    SponsorsDue,
    Designs,
    DesignSlack,
    Units,
    Scales,
    Deductions,
    Boasts,
    Words,
    EdgeSlots,
    Version,
    BitsDevice,
    BitsSlot,
    BitsValue,
    BitsCase,
    BitsLettering,
    BitsOutline,
    BitsStandard,
    BitsMetal,
    BitsOffice,
    BitsOther,
    Count,
}

/// Columns kept for each outline.
const OUTLINE_COLS: usize = 4;
/// Bit sets kept for each device word.
pub const DEVICE_BITS: usize = 4;
/// Bit sets kept for each slot.
pub const SLOT_BITS: usize = 2;
/// Bit sets kept for each letter.
pub const VALUE_BITS: usize = 2;
/// Bit sets kept for each case, lettering and outline.
pub const FEATURE_BITS: usize = 3;
/// Columns of a meaning: its kind, its argument and its plainest phrase.
const MEANING_COLS: usize = 3;

/// No entry: the null of small integers in the image.
pub const NONE8: u8 = u8::MAX;
/// No entry: the null of indices in the image.
pub const NONE16: u16 = u16::MAX;

/// Rows as a set, of which only the words between the first and the last that hold anything are
/// kept.
#[derive(Clone, Copy, Debug, Default)]
pub struct Bits<'a> {
    /// Index of the first word kept.
    pub lo: usize,
    bytes: &'a [u8],
}

impl<'a> Bits<'a> {
    /// The set of nothing.
    pub const EMPTY: Bits<'static> = Bits { lo: 0, bytes: &[] };

    /// How many words are kept.
    pub fn len(&self) -> usize {
        self.bytes.len() / 8
    }

    /// True if no row is in the set.
    pub fn is_empty(&self) -> bool {
        self.bytes.is_empty()
    }

    /// The words kept, from `lo` on.
    pub fn words(&self) -> impl Iterator<Item = u64> + 'a {
        self.bytes.as_chunks::<8>().0.iter().map(|c| u64::from_le_bytes(*c))
    }

    /// Word `i` counted from the first row, zero outside what is kept.
    #[inline]
    pub fn word(&self, i: usize) -> u64 {
        let k = i.wrapping_sub(self.lo);
        self.bytes.as_chunks::<8>().0.get(k).map_or(0, |c| u64::from_le_bytes(*c))
    }

    /// Adds the set's rows to the words of `out`, of which the first is word `from`.
    pub fn add_to(&self, out: &mut [u64], from: usize) {
        let lo = self.lo.max(from);
        let hi = (self.lo + self.len()).min(from + out.len());
        if lo >= hi {
            return;
        }
        let kept = &self.bytes.as_chunks::<8>().0[lo - self.lo..hi - self.lo];
        for (o, w) in out[lo - from..hi - from].iter_mut().zip(kept) {
            *o |= u64::from_le_bytes(*w);
        }
    }

    /// The first row of the set from a row on.
    pub fn next(&self, row: usize) -> Option<usize> {
        let from = self.lo.max(row / 64);
        let rest = |i: usize| match i == row / 64 {
            true => self.word(i) & (!0 << (row % 64)),
            false => self.word(i),
        };
        (from..self.lo + self.len())
            .find(|i| rest(*i) != 0)
            .map(|i| i * 64 + rest(i).trailing_zeros() as usize)
    }

    /// Is the row in the set?
    #[inline]
    pub fn has(&self, row: usize) -> bool {
        self.word(row / 64) >> (row % 64) & 1 == 1
    }
}

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
    fn u8(&self, p: Part, i: usize) -> u8 {
        self.part(p)[i]
    }

    #[inline]
    fn u16(&self, p: Part, i: usize) -> u16 {
        u16::from_le_bytes(self.part(p).as_chunks::<2>().0[i])
    }

    #[inline]
    fn u32(&self, p: Part, i: usize) -> u32 {
        u32::from_le_bytes(self.part(p).as_chunks::<4>().0[i])
    }

    #[inline]
    fn i32(&self, p: Part, i: usize) -> i32 {
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

/// Where a comma may stand inside a phrase.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Commas {
    #[default]
    Nowhere,
    BeforeLast,
    Anywhere,
    BeforeLastTwo,
}

/// What a phrase means.
#[derive(Clone, Copy, Debug)]
pub struct Ending {
    plain: u32,
    capitals: u32,
}

impl Ending {
    const SLIP: u32 = 1 << 30;
    const COMMAS: u32 = 3 << 28;
    const JOINED: u32 = 1 << 27;
    const UNOWNED: u32 = 1 << 26;
    const TURNS: u32 = 1 << 25;
    const MASK: u32 = (1 << 25) - 1;

    pub(crate) fn pack(
        meaning: Option<u32>,
        slip: bool,
        commas: Commas,
        stands: Standing,
        turns: bool,
    ) -> u32 {
        let stands = match stands {
            Standing::Anyhow => 0,
            Standing::Joined => Self::JOINED,
            Standing::Unowned => Self::UNOWNED,
        };
        match meaning {
            None => u32::MAX,
            Some(m) => {
                let turns = if turns { Self::TURNS } else { 0 };
                m | u32::from(slip) << 30 | (commas as u32) << 28 | stands | turns
            }
        }
    }

    /// The meaning in any case of letters, if the phrase has one.
    pub fn plain(self) -> Option<u32> {
        (self.plain != u32::MAX).then_some(self.plain & Self::MASK)
    }

    /// The meaning when typed in capitals, if it has one of its own.
    pub fn capitals(self) -> Option<u32> {
        (self.capitals != u32::MAX).then_some(self.capitals & Self::MASK)
    }

    /// The phrase is a known slip of the pen.
    pub fn is_slip(self) -> bool {
        self.plain != u32::MAX && self.plain & Self::SLIP != 0
    }

    /// The phrase orders, narrows or turns a date.
    pub fn turns(self) -> bool {
        self.plain != u32::MAX && self.plain & Self::TURNS != 0
    }

    /// How the phrase must stand to mean what it means.
    pub fn stands(self) -> Standing {
        match self.plain {
            u32::MAX => Standing::Anyhow,
            p if p & Self::JOINED != 0 => Standing::Joined,
            p if p & Self::UNOWNED != 0 => Standing::Unowned,
            _ => Standing::Anyhow,
        }
    }

    /// May the phrase cross commas, where `behind` words stand behind the only one it crosses?
    pub fn may_cross(self, behind: Option<usize>) -> bool {
        let commas = (self.plain & Self::COMMAS) >> 28;
        self.plain != u32::MAX
            && (commas == Commas::Anywhere as u32
                || behind == Some(1) && commas == Commas::BeforeLast as u32
                || behind == Some(2) && commas == Commas::BeforeLastTwo as u32)
    }
}

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

/// Every slot, in the order of its number.
pub const SLOTS: [Slot; 10] = [
    Slot::Town,
    Slot::Standard,
    Slot::Extra,
    Slot::Duty,
    Slot::Import,
    Slot::Convention,
    Slot::Commemorative,
    Slot::Assayer,
    Slot::Joined,
    Slot::Special,
];
/// Every metal, in the order of its number.
pub const METALS: [Metal; 4] = [Metal::Silver, Metal::Gold, Metal::Platinum, Metal::Palladium];
pub(crate) const CASES: [Case; 3] = [Case::Upper, Case::Lower, Case::Either];
const ORIGINS: [Origin; 3] = [Origin::Home, Origin::Foreign, Origin::Either];
const BASES: [Basis; 3] = [Basis::Published, Basis::Memory, Basis::Both];
const CONFIDENCES: [Confidence; 3] = [Confidence::High, Confidence::Medium, Confidence::Low];
/// Uses in their order.
pub const USES: [Use; 9] = [
    Use::Read,
    Use::Check,
    Use::Expect,
    Use::Worth,
    Use::Sell,
    Use::Show,
    Use::Test,
    Use::Clean,
    Use::Mend,
];
const PARTICULARS: [Particular; 3] = [Particular::Weight, Particular::Size, Particular::Condition];
const KINDS: [DeviceKind; 10] = [
    DeviceKind::Town,
    DeviceKind::Standard,
    DeviceKind::Fineness,
    DeviceKind::Duty,
    DeviceKind::Import,
    DeviceKind::Convention,
    DeviceKind::Commemorative,
    DeviceKind::Assayer,
    DeviceKind::Letter,
    DeviceKind::Lookalike,
];
const LOOKALIKES: [LookalikeKind; 10] = [
    LookalikeKind::Plate,
    LookalikeKind::Alloy,
    LookalikeKind::Words,
    LookalikeKind::Foreign,
    LookalikeKind::Provincial,
    LookalikeKind::Pseudo,
    LookalikeKind::MakerOnly,
    LookalikeKind::BareFigure,
    LookalikeKind::BareLetter,
    LookalikeKind::OtherMark,
];

fn le32(b: &[u8], k: usize) -> u32 {
    u32::from_le_bytes([b[k], b[k + 1], b[k + 2], b[k + 3]])
}

/// FNV-1a, which is short and good enough for a few thousand words.
pub(crate) fn hash(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0x811c_9dc5, |h, b| (h ^ u32::from(*b)).wrapping_mul(0x0100_0193))
}

pub(crate) fn edge_hash(node: u32, word: u32) -> u32 {
    let h = node.wrapping_mul(0x9e37_79b1) ^ word.wrapping_mul(0x85eb_ca77);
    h ^ (h >> 15)
}

macro_rules! view {
    ($(#[$doc:meta])* $name:ident, $part:ident, $cols:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug)]
        pub struct $name<'a> {
            image: &'a Image,
            /// Its number.
            pub i: usize,
        }
        #[allow(dead_code)]
        impl<'a> $name<'a> {
            pub(crate) const COLS: usize = $cols;
            #[inline]
            fn col(self, c: usize) -> u32 {
                self.image.u32(Part::$part, self.i * $cols + c)
            }
        }
    };
}

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

view!(/// Words that claim more than marks bear out.
    BoastView, BoastCols, 3);
impl<'a> BoastView<'a> {
    /// Phrases that claim it.
    pub fn say(self) -> impl Iterator<Item = &'a str> {
        self.image.strs(self.col(0))
    }
    /// Numbers of the offices whose marks bear it out.
    pub fn offices(self) -> impl Iterator<Item = u32> + 'a {
        self.image.list(self.col(1))
    }
    /// Why marks do not bear it out, a sentence.
    pub fn why(self) -> &'a str {
        self.image.str(self.col(2))
    }
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
    image: &'a Image,
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

/// A mark that a [`Condition`] names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A device, with its narrower forms.
    Device(usize),
    /// A standard.
    Standard(usize),
}

/// A [`crate::entry::When`] in the image's numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Condition {
    Said(u32),
    Seen(Vec<Named>),
    Contrary(Vec<Named>),
    Wanting(Slot),
    WantingMark(usize),
    WantingLetter,
    Offices(Vec<usize>),
    Years(Option<i32>, Option<i32>),
    OfficesApart,
    LettersApart(i32),
    DesignLater(usize),
    EngravedBefore,
    Lighter(u32),
    Lookalike(Vec<LookalikeKind>),
    NothingFits,
    NoOfficeClaimed,
    MakerAgainst,
}

/// Marks a standard among numbers of devices.
const STANDARD: u32 = 1 << 31;

impl Condition {
    pub(crate) fn pack(&self) -> Vec<u32> {
        let named = |tag: u32, v: &[Named]| {
            let number = |n: &Named| match n {
                Named::Device(d) => *d as u32,
                Named::Standard(s) => *s as u32 | STANDARD,
            };
            [tag].into_iter().chain(v.iter().map(number)).collect()
        };
        let year = |y: &Option<i32>| y.unwrap_or(0) as u32;
        match self {
            Condition::Said(s) => vec![0, *s],
            Condition::Seen(v) => named(1, v),
            Condition::Contrary(v) => named(2, v),
            Condition::Wanting(s) => vec![3, *s as u32],
            Condition::WantingMark(d) => vec![4, *d as u32],
            Condition::WantingLetter => vec![5],
            Condition::Offices(v) => [6].into_iter().chain(v.iter().map(|o| *o as u32)).collect(),
            Condition::Years(from, to) => vec![7, year(from), year(to)],
            Condition::OfficesApart => vec![8],
            Condition::LettersApart(n) => vec![9, *n as u32],
            Condition::DesignLater(d) => vec![10, *d as u32],
            Condition::EngravedBefore => vec![11],
            Condition::Lighter(n) => vec![12, *n],
            Condition::NothingFits => vec![14],
            Condition::NoOfficeClaimed => vec![15],
            Condition::MakerAgainst => vec![16],
            Condition::Lookalike(v) => {
                [13].into_iter().chain(v.iter().map(|k| *k as u32)).collect()
            }
        }
    }

    fn unpack(list: impl Iterator<Item = u32>) -> Condition {
        let list: Vec<u32> = list.collect();
        let (tag, rest) = list.split_first().map_or((8, &[][..]), |(t, r)| (*t, r));
        let named = || {
            rest.iter()
                .map(|n| match n & STANDARD {
                    0 => Named::Device(*n as usize),
                    _ => Named::Standard((n & !STANDARD) as usize),
                })
                .collect()
        };
        let first = rest.first().copied().unwrap_or(0);
        let year = |i: usize| rest.get(i).map(|y| *y as i32).filter(|y| *y != 0);
        match tag {
            0 => Condition::Said(first),
            1 => Condition::Seen(named()),
            2 => Condition::Contrary(named()),
            3 => Condition::Wanting(SLOTS[first as usize]),
            4 => Condition::WantingMark(first as usize),
            5 => Condition::WantingLetter,
            6 => Condition::Offices(rest.iter().map(|o| *o as usize).collect()),
            7 => Condition::Years(year(0), year(1)),
            9 => Condition::LettersApart(first as i32),
            10 => Condition::DesignLater(first as usize),
            11 => Condition::EngravedBefore,
            12 => Condition::Lighter(first),
            13 => Condition::Lookalike(rest.iter().map(|k| LOOKALIKES[*k as usize]).collect()),
            14 => Condition::NothingFits,
            15 => Condition::NoOfficeClaimed,
            16 => Condition::MakerAgainst,
            _ => Condition::OfficesApart,
        }
    }
}

view!(/// A sign worth a second look.
    WarningView, WarningCols, 9);
impl<'a> WarningView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// All of these must hold.
    pub fn when(self) -> impl Iterator<Item = Condition> + 'a {
        let image = self.image;
        image.list(self.col(1)).map(move |l| Condition::unpack(image.list(l)))
    }
    /// What is unusual.
    pub fn reason(self) -> &'a str {
        self.image.str(self.col(2))
    }
    /// The harmless reasons there may be.
    pub fn innocent(self) -> &'a str {
        self.image.str(self.col(3))
    }
    /// Who can judge.
    pub fn judge(self) -> &'a str {
        self.image.str(self.col(4))
    }
    /// The marks then do not vouch for the piece.
    pub fn unsettles(self) -> bool {
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
}

/// A condition of a caution, in the image's numbers; phrases are numbers of texts.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub enum Applying<'a> {
    Marked,
    Unsupported,
    OfficesApart,
    Holds,
    Several,
    Said(Vec<u32>),
    Stated(Vec<&'a str>),
    Unstated(Particular),
    Fits(Vec<usize>, Option<i32>, Option<i32>),
}

/// The words of what is stated of a piece, as the phrases of a caution are compared with them.
pub fn stated_words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect()
}

impl<'a> Applying<'a> {
    /// Numbers of a condition: its tag and what it names. `text` gives the number of a phrase.
    pub(crate) fn pack(&self, mut text: impl FnMut(&str) -> u32) -> Vec<u32> {
        let tagged = |tag: u32, v: Vec<u32>| [vec![tag], v].concat();
        let year = |y: &Option<i32>| y.unwrap_or(0) as u32;
        match self {
            Applying::Marked => vec![0],
            Applying::Unsupported => vec![1],
            Applying::OfficesApart => vec![2],
            Applying::Holds => vec![3],
            Applying::Several => vec![4],
            Applying::Said(v) => tagged(5, v.clone()),
            Applying::Stated(v) => tagged(6, v.iter().map(|s| text(s)).collect()),
            Applying::Unstated(p) => vec![7, *p as u32],
            Applying::Fits(v, from, to) => {
                let offices = v.iter().map(|o| *o as u32);
                [8, year(from), year(to)].into_iter().chain(offices).collect()
            }
        }
    }

    fn unpack(image: &'a Image, list: impl Iterator<Item = u32>) -> Applying<'a> {
        let list: Vec<u32> = list.collect();
        let (tag, rest) = list.split_first().map_or((0, &[][..]), |(t, r)| (*t, r));
        let year = |i: usize| rest.get(i).map(|y| *y as i32).filter(|y| *y != 0);
        match tag {
            1 => Applying::Unsupported,
            2 => Applying::OfficesApart,
            3 => Applying::Holds,
            4 => Applying::Several,
            5 => Applying::Said(rest.to_vec()),
            6 => Applying::Stated(rest.iter().map(|s| image.str(*s)).collect()),
            7 => Applying::Unstated(PARTICULARS[rest.first().map_or(0, |p| *p as usize)]),
            8 => {
                let offices = rest.iter().skip(2).map(|o| *o as usize);
                Applying::Fits(offices.collect(), year(0), year(1))
            }
            _ => Applying::Marked,
        }
    }
}

view!(/// Something to mind.
    CautionView, CautionCols, 9);
impl<'a> CautionView<'a> {
    /// Unique word.
    pub fn id(self) -> &'a str {
        self.image.str(self.col(0))
    }
    /// The heading it stands under.
    pub fn about(self) -> &'a str {
        self.image.str(self.col(1))
    }
    /// What it is told for.
    pub fn uses(self) -> impl Iterator<Item = Use> {
        let set = self.col(2);
        USES.into_iter().filter(move |u| set >> *u as u32 & 1 == 1)
    }
    /// Is it told for this?
    pub fn is_for(self, wanted: Use) -> bool {
        self.col(2) >> wanted as u32 & 1 == 1
    }
    /// All of these must hold.
    pub fn when(self) -> impl Iterator<Item = Applying<'a>> {
        let image = self.image;
        image.list(self.col(3)).map(move |l| Applying::unpack(image, image.list(l)))
    }
    /// The caution.
    pub fn says(self) -> &'a str {
        self.image.str(self.col(4))
    }
    /// Who can judge, or what to do; may be empty.
    pub fn then(self) -> &'a str {
        self.image.str(self.col(5))
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

/// Gathers the parts of an image.
pub(crate) struct Writer {
    parts: [Vec<u8>; PARTS],
    strings: std::collections::HashMap<String, u32>,
    lists: std::collections::HashMap<Vec<u32>, u32>,
    bit_sets: u32,
    bit_words: u32,
    sets: std::collections::HashMap<Vec<u64>, (u16, u16, u32)>,
}

impl Writer {
    pub fn new() -> Writer {
        Writer {
            parts: std::array::from_fn(|_| Vec::new()),
            strings: Default::default(),
            lists: Default::default(),
            bit_sets: 0,
            bit_words: 0,
            sets: Default::default(),
        }
    }
    pub fn u8(&mut self, p: Part, v: u8) {
        self.parts[p as usize].push(v);
    }
    pub fn u16(&mut self, p: Part, v: u16) {
        self.parts[p as usize].extend(v.to_le_bytes());
    }
    pub fn u32(&mut self, p: Part, v: u32) {
        self.parts[p as usize].extend(v.to_le_bytes());
    }
    pub fn cols(&mut self, p: Part, vs: &[u32]) {
        for v in vs {
            self.u32(p, *v);
        }
    }
    pub fn str(&mut self, s: &str) -> u32 {
        if let Some(&id) = self.strings.get(s) {
            return id;
        }
        self.parts[Part::StrBytes as usize].extend(s.as_bytes());
        let end = self.parts[Part::StrBytes as usize].len() as u32;
        self.u32(Part::StrEnds, end);
        let id = self.strings.len() as u32;
        self.strings.insert(s.into(), id);
        id
    }
    pub fn list(&mut self, items: Vec<u32>) -> u32 {
        if let Some(&id) = self.lists.get(&items) {
            return id;
        }
        for v in &items {
            self.u32(Part::ListItems, *v);
        }
        let end = self.parts[Part::ListItems as usize].len() as u32 / 4;
        self.u32(Part::ListEnds, end);
        let id = self.lists.len() as u32;
        self.lists.insert(items, id);
        id
    }
    pub fn strs(&mut self, items: &[String]) -> u32 {
        let ids = items.iter().map(|s| self.str(s)).collect();
        self.list(ids)
    }
    /// Adds a bit set over all rows and returns its number.
    pub fn bits(&mut self, words: &[u64]) -> u32 {
        let lo = words.iter().position(|w| *w != 0).unwrap_or(0);
        let hi = words.iter().rposition(|w| *w != 0).map_or(lo, |h| h + 1);
        let kept = &words[lo..hi];
        let (lo, len, off) = match self.sets.get(kept).copied() {
            Some((_, len, off)) => (lo as u16, len, off),
            None => {
                let off = self.bit_words;
                for w in kept {
                    self.parts[Part::BitWords as usize].extend(w.to_le_bytes());
                }
                self.bit_words += kept.len() as u32;
                self.sets.insert(kept.to_vec(), (lo as u16, kept.len() as u16, off));
                (lo as u16, kept.len() as u16, off)
            }
        };
        self.u16(Part::BitIndex, lo);
        self.u16(Part::BitIndex, len);
        self.u32(Part::BitIndex, off);
        self.bit_sets += 1;
        self.bit_sets - 1
    }
    pub fn next_bits(&self) -> u32 {
        self.bit_sets
    }
    pub fn finish(mut self, meta: &[u32; Meta::Count as usize]) -> Image {
        self.cols(Part::Meta, meta);
        let mut data = MAGIC.to_vec();
        let mut at = 4 + PARTS as u32 * 8;
        for part in &self.parts {
            data.extend(at.to_le_bytes());
            data.extend((part.len() as u32).to_le_bytes());
            at += part.len() as u32;
        }
        for part in &self.parts {
            data.extend(part);
        }
        Image::open(data)
    }
}
