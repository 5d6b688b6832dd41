//! Warning signs and their conditions.

use super::numbered::{BASES, CONFIDENCES, LOOKALIKES, SLOTS};
use super::view::view;
use crate::entry::{Basis, Confidence, LookalikeKind, Slot};

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
