//! How many pieces an item is: "six teaspoons", "two dozen", "a pair of", "cased set of 12"; and where the noun
//! begins and ends.

use std::ops::Range;

use puncheon_schema::entry::{DeviceKind, ItemWord};
use puncheon_schema::image::Sense;

use super::own::Is as OwnIs;
use super::{Item, beside};
use crate::phrase::Is;
use crate::token::TokenKind;

/// The most pieces that can be counted.
pub const MOST_PIECES: u32 = 10_000;
/// In a dozen.
const DOZEN: u32 = 12;
/// Numbers from this on multiply the one before them.
const HUNDRED: u32 = 100;
/// Signs behind which the item goes on with something else.
const AFTER: [char; 3] = [',', ';', ':'];

/// How pieces are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// In words that go on to the noun: "six", "set of four", "two dozen".
    Words,
    /// So many pairs.
    Pairs(u32),
    /// "6 x".
    Times,
}

/// How many pieces an item is.
#[derive(Clone, Debug)]
pub struct Count {
    /// The number of pieces, from one to [`MOST_PIECES`]; of pairs, two for each.
    pub pieces: u32,
    /// How they are counted.
    pub way: Way,
    /// The words that count, as bytes of the text.
    pub at: Range<usize>,
}

/// Where an item goes on with something more, or ends a phrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Break {
    /// The first byte of what follows.
    pub at: usize,
    /// The piece itself has ended: "with", a comma, a bracket.
    pub ends: bool,
    /// Another noun is joined: "and".
    pub joins: bool,
}

impl Item<'_, '_> {
    fn own_is(&self, token: usize) -> Option<OwnIs> {
        Some(self.own[(*self.own_at.get(token)?)?].is)
    }

    fn own_end(&self, token: usize) -> usize {
        match self.own_at[token] {
            Some(k) => self.own[k].tokens.end,
            None => token + 1,
        }
    }

    fn says_at(&self, token: usize, word: ItemWord) -> bool {
        self.own_is(token) == Some(OwnIs::Word(word))
    }

    /// Is the token a sign that holds two words together: "half-dozen"?
    fn hyphen(&self, token: usize) -> bool {
        let t = self.pieces.text.tokens.get(token);
        t.is_some_and(|t| t.kind == TokenKind::Punct('-') && !t.spaced)
    }

    /// The token of the noun, behind an article or a word that points.
    fn head(&self) -> usize {
        let more = self.pieces.text.tokens.len() > 1;
        let article = self.says_at(0, ItemWord::Article) || self.says_at(0, ItemWord::Points);
        usize::from(more && article)
    }

    /// A number at a token, and the token behind it.
    fn number(&self, token: usize) -> Option<(u32, usize)> {
        let (mut n, mut next) = self.plain_number(token)?;
        loop {
            let at = if self.hyphen(next) { next + 1 } else { next };
            let Some(OwnIs::Number(more)) = self.own_is(at) else {
                return Some((n, next));
            };
            n = match more {
                HUNDRED.. => n.checked_mul(more)?,
                1..10 if n >= 20 && n % 10 == 0 => n.checked_add(more)?,
                _ => return Some((n, next)),
            };
            next = self.own_end(at);
        }
    }

    fn plain_number(&self, token: usize) -> Option<(u32, usize)> {
        if let Some(OwnIs::Number(n)) = self.own_is(token) {
            return Some((n, self.own_end(token)));
        }
        let t = self.pieces.text.tokens.get(token)?;
        let typed = &self.text()[t.start..t.end];
        // Figures of a fineness count nothing, "925 mug", nor does a year.
        let figures = typed.bytes().all(|b| b.is_ascii_digit()) && !self.marked(token);
        Some((typed.parse().ok().filter(|_| figures)?, token + 1))
    }

    /// Are figures a fineness or a year?
    fn marked(&self, token: usize) -> bool {
        let piece = self.pieces.pieces.iter().find(|p| p.token == token);
        piece.is_some_and(|p| match p.what {
            Is::Years(..) => true,
            Is::Sense(Sense::Device(d)) => {
                self.image.device(d as usize).kind() == DeviceKind::Fineness
            }
            Is::Sense(Sense::Standard(_)) => true,
            _ => false,
        })
    }

    /// Does the number at a token belong to the name: "2 handled cup", "four piece set", "six-bottle cruet"?
    fn of_the_name(&self, token: usize, next: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let piece = pieces.iter().find(|p| p.token == token);
        let tokens = &self.pieces.text.tokens;
        let longer = |end: usize| tokens.get(next).is_some_and(|t| t.start < end);
        self.hyphen(next)
            || self.says_at(next, ItemWord::Feature)
            || piece.is_some_and(|p| longer(p.end))
    }

    /// So many dozens, pairs or pieces, from a token on.
    fn counted(&self, from: usize) -> Option<(u32, Way, usize)> {
        let dozen = |at: usize| self.says_at(at, ItemWord::Dozen);
        if dozen(from) {
            return Some((DOZEN, Way::Words, from + 1));
        }
        if self.says_at(from, ItemWord::Half) {
            let next = from + 1;
            let skips = self.hyphen(next) || self.says_at(next, ItemWord::Article);
            let next = next + usize::from(skips);
            return dozen(next).then_some((DOZEN / 2, Way::Words, next + 1));
        }
        if self.says_at(from, ItemWord::Pair) {
            return Some((2, Way::Pairs(1), self.own_end(from)));
        }
        if let Some(set) = self.set_from(from) {
            let (n, next) = self.number(set)?;
            return Some(match dozen(next) {
                true => (n.checked_mul(DOZEN)?, Way::Words, next + 1),
                false => (n, Way::Words, next),
            });
        }
        let (n, next) = self.number(from)?;
        if dozen(next) {
            return Some((n.checked_mul(DOZEN)?, Way::Words, next + 1));
        }
        if self.says_at(next, ItemWord::Pair) || self.says_at(next, ItemWord::Pairs) {
            return Some((n.checked_mul(2)?, Way::Pairs(n), self.own_end(next)));
        }
        if self.says_at(next, ItemWord::Times) {
            return Some((n, Way::Times, next + 1));
        }
        (!self.of_the_name(from, next)).then_some((n, Way::Words, next))
    }

    /// The token behind "set of", or "cased set of".
    fn set_from(&self, from: usize) -> Option<usize> {
        let mut at = from;
        while self.says_at(at, ItemWord::SetSort) {
            at = self.own_end(at);
        }
        self.says_at(at, ItemWord::Set).then(|| self.own_end(at))
    }

    /// How many pieces there are, where it is said.
    pub fn count(&self) -> Option<Count> {
        let from = self.head();
        let (pieces, way, next) = self.counted(from)?;
        let tokens = &self.pieces.text.tokens;
        let more = tokens.get(next)?;
        // What follows is a word: "six, various" names nothing.
        let noun = !matches!(more.kind, TokenKind::Punct(_)) || more.spaced;
        let fits = (1..=MOST_PIECES).contains(&pieces) && noun;
        let at = tokens[from].start..tokens[next - 1].end;
        fits.then_some(Count { pieces, way, at })
    }

    /// The first byte of what the piece is called, behind its count or article.
    pub fn noun_begins(&self, count: Option<&Count>) -> usize {
        let tokens = &self.pieces.text.tokens;
        let next = match count {
            Some(c) => self.token_at(c.at.end),
            None => self.head(),
        };
        tokens.get(next).map_or(0, |t| t.start)
    }

    /// The end of the noun that begins at a byte, before what goes on from it and what was done to it: "mug gifted
    /// by".
    pub fn noun_ends(&self, from: usize, breaks: &[Break]) -> usize {
        let end = breaks.iter().find(|b| b.at > from).map_or(self.text().len(), |b| b.at);
        let done = |i: &usize| {
            let word = self.word_at(*i);
            matches!(
                word,
                Some(ItemWord::Gives | ItemWord::Sells | ItemWord::Engraves | ItemWord::Deed)
            )
        };
        let (first, behind) = (self.token_at(from), self.token_at(end));
        let last = (first + 1..behind).rev().take_while(done).last();
        last.map_or(end, |i| self.pieces.text.tokens[i].start)
    }

    /// Where it goes on with something more, or ends a phrase, in order.
    pub fn breaks(&self) -> Vec<Break> {
        let tokens = &self.pieces.text.tokens;
        let mut out = Vec::new();
        // "set of spoons": its second word goes on with the spoons.
        let of_a_set = |i: usize| {
            let own = self.own_at[i].map(|k| &self.own[k]);
            own.is_some_and(|o| o.is == OwnIs::Word(ItemWord::Set) && o.tokens.end == i + 1)
        };
        for i in 1..tokens.len() {
            let (before, t) = (&tokens[i - 1], &tokens[i]);
            let sign = |kind: TokenKind, signs: &[char]| matches!(kind, TokenKind::Punct(c) if signs.contains(&c));
            let word = self.word_at(i);
            let (ends, joins) = match word {
                _ if sign(before.kind, &AFTER) || sign(t.kind, &['(']) => (true, false),
                Some(ItemWord::Adds | ItemWord::Without) => (true, false),
                Some(ItemWord::Joins) => (false, true),
                Some(ItemWord::Set) if of_a_set(i) => (false, false),
                Some(ItemWord::Relates | ItemWord::For | ItemWord::By | ItemWord::Of) => {
                    (false, false)
                }
                None if sign(t.kind, &['&']) => (false, true),
                _ => continue,
            };
            if t.spaced {
                out.push(Break { at: t.start, ends, joins });
            }
        }
        out
    }
}

/// Marks as typed: how many pieces or which part bears them, and the marks themselves.
pub enum Bearer {
    /// So many pieces, in words.
    Pieces(u32),
    /// A part of the piece, in bytes of the text.
    Part(Range<usize>),
    /// Every part alike.
    Every,
}

impl Item<'_, '_> {
    /// What bears marks, where they say so at their head, "six leopard's head crowned, …" or "cover: anchor, lion",
    /// and the first byte behind. A number that belongs to a mark is none.
    pub fn bearer(&self) -> Option<(Bearer, usize)> {
        let tokens = &self.pieces.text.tokens;
        let first_mark = self.seen.sightings.first().map_or(0, |s| s.start);
        if let Some(OwnIs::Number(n)) = self.own_is(0)
            && n > 1
            && self.own_end(0) == 1
        {
            let colon = tokens.get(1).is_some_and(|t| t.kind == TokenKind::Punct(':'));
            let marks = tokens.get(1 + usize::from(colon))?;
            let apart = !self.seen.sightings.is_empty() && first_mark >= marks.start;
            if apart && (colon || marks.spaced) {
                return Some((Bearer::Pieces(n), marks.start));
            }
        }
        let colon = tokens.iter().position(|t| t.kind == TokenKind::Punct(':'))?;
        let marks = tokens.get(colon + 1)?.start;
        // Only where there is one: more belong to sets of their own.
        if self.seen.parts.iter().filter(|p| !p.is_empty()).count() > 1 {
            return None;
        }
        let small = |i: &usize| {
            matches!(self.word_at(*i), Some(ItemWord::Relates | ItemWord::Of | ItemWord::Points))
        };
        let from = (0..colon).find(|i| !small(i))?;
        let every = matches!(self.word_at(from), Some(ItemWord::Every | ItemWord::Each));
        if every && from + 1 == colon {
            return Some((Bearer::Every, marks));
        }
        let label = tokens[from].start..tokens[colon - 1].end;
        let pieces = &self.pieces.pieces;
        let begin = pieces.partition_point(|p| p.start < label.start);
        let end = pieces.partition_point(|p| p.start < label.end);
        beside::names_part(&pieces[begin..end]).then_some((Bearer::Part(label), marks))
    }
}
