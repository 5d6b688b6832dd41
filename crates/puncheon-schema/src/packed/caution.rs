//! Cautions and their conditions, and the words of a sale that claim too much.

use super::image::Image;
use super::numbered::{BASES, CONFIDENCES, PARTICULARS, USES};
use super::view::view;
use crate::entry::{Basis, Confidence, Particular, Use};

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
