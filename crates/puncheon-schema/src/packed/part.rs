//! The parts of an image: its columns and pools, its counts, and how wide they are.

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

pub(super) const PARTS: usize = Part::Count as usize;

pub(super) const MAGIC: &[u8; 4] = b"PNC1";

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
pub(super) const OUTLINE_COLS: usize = 4;

/// Bit sets kept for each device word.
pub const DEVICE_BITS: usize = 4;

/// Bit sets kept for each slot.
pub const SLOT_BITS: usize = 2;

/// Bit sets kept for each letter.
pub const VALUE_BITS: usize = 2;

/// Bit sets kept for each case, lettering and outline.
pub const FEATURE_BITS: usize = 3;

/// Columns of a meaning: its kind, its argument and its plainest phrase.
pub(super) const MEANING_COLS: usize = 3;

/// No entry: the null of small integers in the image.
pub const NONE8: u8 = u8::MAX;

/// No entry: the null of indices in the image.
pub const NONE16: u16 = u16::MAX;

pub(super) fn le32(b: &[u8], k: usize) -> u32 {
    u32::from_le_bytes([b[k], b[k + 1], b[k + 2], b[k + 3]])
}
