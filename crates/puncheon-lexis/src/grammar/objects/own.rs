//! The words of a text that play a part in items alone, by the vocabulary's phrases.

use std::iter;
use std::ops::Range;

use puncheon_schema::entry::{Grammar, ItemWord, Metal};
use puncheon_schema::image::{Image, Sense};

use crate::phrase::longest;
use crate::steps;
use crate::token::{Text, TokenKind};

/// Signs that part a text like a word that parts it.
pub(super) const SIGNS: [char; 9] = [',', ';', ':', '(', ')', '[', ']', '+', '&'];

/// What a word of an item is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Is {
    Word(ItemWord),
    Number(u32),
    Metal(Metal),
    Standard(u32),
}

/// Words of an item.
#[derive(Clone, Debug)]
pub(super) struct Own {
    pub is: Is,
    /// Tokens.
    pub tokens: Range<usize>,
    /// Bytes of the text.
    pub at: Range<usize>,
}

/// What was found.
pub(super) struct Found {
    pub own: Vec<Own>,
    /// The deductions spoken of, by their numbers, wherever they stand.
    pub kinds: Vec<(usize, Range<usize>)>,
    /// Boasts, each with the number of its phrase, in the order of the tables.
    pub boasts: Vec<(usize, usize, Range<usize>)>,
}

impl Found {
    /// Which of the own words each of so many tokens belongs to.
    pub fn at(&self, tokens: usize) -> Vec<Option<usize>> {
        let mut out = vec![None; tokens];
        for (k, own) in self.own.iter().enumerate() {
            out[own.tokens.clone()].fill(Some(k));
        }
        out
    }
}

/// May a phrase go on past this sign: a hyphen, a point, quotes?
fn within_phrase(kind: TokenKind) -> bool {
    matches!(kind, TokenKind::Punct(c) if !SIGNS.contains(&c) && !c.is_control())
}

/// Finds the phrases of items, each at its longest.
pub(super) fn find(image: &Image, text: &Text) -> Found {
    let mut out = Found { own: Vec::new(), kinds: Vec::new(), boasts: Vec::new() };
    let word = |j: usize| match text.tokens[j].kind {
        TokenKind::Punct(_) => None,
        _ => image.word(text.word(&text.tokens[j]).as_bytes()),
    };
    // "9ct fronted": a phrase may begin with the unit that its figures run into.
    let unit = |j: usize| {
        let typed = text.word(&text.tokens[j]);
        let unit = typed.trim_start_matches(|c: char| c.is_ascii_digit());
        (unit.len() < typed.len()).then(|| image.word(unit.as_bytes())).flatten()
    };
    let mut taken = 0;
    let starts = (0..text.tokens.len()).flat_map(|i| [(i, word(i)), (i, unit(i))]);
    for (i, first) in starts.filter_map(|(i, first)| Some((i, first?))) {
        let mut longest: Option<(Is, usize)> = None;
        let behind = (i + 1..text.tokens.len()).filter(|j| {
            steps::take(1);
            !within_phrase(text.tokens[*j].kind)
        });
        let words = behind.map_while(|j| match text.tokens[j].kind {
            TokenKind::Punct(_) => None,
            _ => Some((j, word(j))),
        });
        let words = iter::once((i, Some(first))).chain(words);
        for (last, sense) in longest::ends(image, Grammar::Items.root(), words) {
            let at = text.tokens[i].start..text.tokens[last].end;
            match sense {
                Sense::Item(w) => longest = Some((Is::Word(w), last + 1)),
                Sense::Number(n) => longest = Some((Is::Number(n), last + 1)),
                Sense::Metal(m) => longest = Some((Is::Metal(m), last + 1)),
                Sense::Standard(s) => longest = Some((Is::Standard(s), last + 1)),
                Sense::Deduction(d) => out.kinds.push((d as usize, at)),
                Sense::Boast(b, nth) => {
                    out.boasts.push((usize::from(b), usize::from(nth), at));
                }
                _ => {}
            }
        }
        if let Some((is, end)) = longest.filter(|_| i >= taken) {
            let at = text.tokens[i].start..text.tokens[end - 1].end;
            out.own.push(Own { is, tokens: i..end, at });
            taken = end;
        }
    }
    out.boasts.sort_by_key(|(b, nth, at)| (*b, *nth, at.start));
    out
}
