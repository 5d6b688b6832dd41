//! What the image writes as a small number, each in its order.

use crate::entry::{
    Basis, Case, Confidence, DeviceKind, LookalikeKind, Metal, Origin, Particular, Slot, Use,
};

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

pub(super) const ORIGINS: [Origin; 3] = [Origin::Home, Origin::Foreign, Origin::Either];

pub(super) const BASES: [Basis; 3] = [Basis::Published, Basis::Memory, Basis::Both];

pub(super) const CONFIDENCES: [Confidence; 3] =
    [Confidence::High, Confidence::Medium, Confidence::Low];

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

pub(super) const PARTICULARS: [Particular; 3] =
    [Particular::Weight, Particular::Size, Particular::Condition];

pub(super) const KINDS: [DeviceKind; 10] = [
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

pub(super) const LOOKALIKES: [LookalikeKind; 10] = [
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
