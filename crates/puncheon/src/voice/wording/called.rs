//! What a piece is called in a wording: how many there are, and the noun with what is added to it.

use crate::engine::claim::item::says_again;
use crate::engine::metal::Borne;
use crate::lexis::grammar::objects::{Count, Item, Way};
use crate::voice::lists::{number, plural};
use crate::voice::refused::Refused;
use crate::voice::wording::{Asked, wrong};

/// How many pieces there are, by the sets or by the item.
pub(super) struct Counted {
    /// The number, where it is known.
    pub pieces: Option<u32>,
    /// What stands before the item: "six", "pair of"; may be empty.
    pub before: String,
    count: Option<Count>,
}

impl Counted {
    pub fn of(item: &Item, asked: &Asked) -> Result<Counted, Refused> {
        let count = item.count();
        let before = count.as_ref().map_or(String::new(), |c| match c.way {
            Way::Words => item.said(&c.at).to_string(),
            Way::Pairs(1) => "pair of".into(),
            Way::Pairs(n) => format!("{} pairs of", number(n as usize)),
            Way::Times => number(c.pieces as usize),
        });
        let stated = count.as_ref().map(|c| c.pieces);
        // Parts of one piece are not counted as pieces.
        let parts = asked.sets.iter().any(|s| s.part.is_some());
        let counts =
            asked.sets.iter().any(|s| s.pieces.is_some()) || asked.sets.len() > 1 && !parts;
        if !counts {
            return Ok(Counted { pieces: stated, before, count });
        }
        let whole = asked.sets.iter().filter(|s| s.part.is_none());
        let sum: u32 = whole.map(|s| s.pieces.unwrap_or(1)).sum();
        match stated {
            Some(n) if n != sum => wrong(
                format!(
                    "the item says {}, and the marks count {}",
                    number(n as usize),
                    number(sum as usize)
                ),
                "write how many pieces bear each set of marks, such as 4x before the marks",
            ),
            Some(_) => Ok(Counted { pieces: stated, before, count }),
            None => {
                let before = if sum > 1 { number(sum as usize) } else { String::new() };
                Ok(Counted { pieces: Some(sum), before, count })
            }
        }
    }
}

/// What a piece is called.
pub(super) struct Called {
    /// The words, as typed but for a noun put into the plural.
    pub text: String,
    /// The lengths at which it may be cut, in bytes, and whether the piece itself ends there.
    pub cuts: Vec<(usize, bool)>,
}

impl Called {
    /// Nothing.
    pub const NOTHING: Called = Called { text: String::new(), cuts: Vec::new() };

    /// Without what counts it, and without the words that say the metal once more.
    pub fn of(item: &Item, counted: &Counted, b: Option<&Borne>) -> Called {
        let from = noun(item, counted, b);
        let mut text = item.text()[from..].to_string();
        let breaks: Vec<_> = item.breaks().into_iter().filter(|b| b.at > from).collect();
        let mut cuts: Vec<(usize, bool)> = breaks.iter().map(|b| (b.at - from, b.ends)).collect();
        if counted.pieces.is_some_and(|n| n > 1) && !breaks.first().is_some_and(|b| b.joins) {
            let end = item.noun_ends(from, &breaks) - from;
            let noun = text[..end].trim_end().trim_end_matches([',', ';', ':']);
            let end = noun.len();
            let begin = noun.rfind(char::is_whitespace).map_or(0, |i| i + 1);
            if let Some(many) = plural(item.image, &noun[begin..]) {
                let longer = many.len() - (end - begin);
                text.replace_range(begin..end, &many);
                cuts.iter_mut().for_each(|c| c.0 += longer);
            }
        }
        Called { text, cuts }
    }

    /// So much of it, without the sign that would end it.
    pub fn upto(&self, cut: usize) -> &str {
        self.text[..cut].trim_end().trim_end_matches([',', ';', ':'])
    }
}

/// Where the noun begins, behind what counts it and what says the metal once more.
pub(super) fn noun(item: &Item, counted: &Counted, b: Option<&Borne>) -> usize {
    let from = item.noun_begins(counted.count.as_ref());
    match b {
        Some(b) => item.said_again(from, |f| says_again(item.image, b, f)),
        None => from,
    }
}
