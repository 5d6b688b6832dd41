//! Where phrases end in the vocabulary, and how its words are found.

use crate::entry::Standing;

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
    pub(super) plain: u32,
    pub(super) capitals: u32,
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

/// FNV-1a, which is short and good enough for a few thousand words.
pub(crate) fn hash(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0x811c_9dc5, |h, b| (h ^ u32::from(*b)).wrapping_mul(0x0100_0193))
}

pub(crate) fn edge_hash(node: u32, word: u32) -> u32 {
    let h = node.wrapping_mul(0x9e37_79b1) ^ word.wrapping_mul(0x85eb_ca77);
    h ^ (h >> 15)
}
