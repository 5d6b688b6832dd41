//! What stands round a word of an item: whether an office or a date beside it speaks of the piece, of what is on
//! it, or of what was done to it later; and whoever is named.

use std::ops::Range;

use puncheon_schema::entry::ItemWord;
use puncheon_schema::image::Sense;

use super::{Item, own};
use crate::phrase::{Is, Piece};
use crate::steps;
use crate::token::TokenKind;

/// Signs that end a clause of an item.
const ENDS: [char; 4] = [',', ';', '(', ')'];
/// Ways in which an apostrophe is typed.
const APOSTROPHES: [char; 2] = ['\'', '\u{2019}'];

/// What stands round an office or a date of an item.
#[derive(Clone, Copy, Debug, Default)]
pub struct Place {
    /// Something on the piece begins before it: "with", "engraved".
    pub on_it: bool,
    /// "of" stands directly before it.
    pub of: bool,
    /// It owns what follows: "Chester's".
    pub owns: bool,
    /// A word follows that only a name has: "Chester Cathedral".
    pub of_a_name: bool,
    /// Something was done, and this says when.
    pub done: bool,
    /// No small word stands between what was done and this.
    pub right_behind: bool,
    /// "dated" stands directly before it.
    pub dated: bool,
    /// Decoration, engraving or a style follows.
    pub decorates: bool,
    /// Any word follows in its clause.
    pub followed: bool,
}

/// How whoever is named stands to the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Who {
    /// By whom it would have been made.
    Maker,
    /// Who gave it, owned it, engraved it or sold it.
    Another,
}

/// A part of an article, or an article.
pub(super) fn thing(p: &Piece) -> bool {
    matches!(p.what, Is::Sense(Sense::Part | Sense::Aside))
}

/// A word that only describes what stands behind it.
pub(super) fn describes(p: &Piece) -> bool {
    matches!(
        p.what,
        Is::Unknown
            | Is::Sense(
                Sense::Outline(_)
                    | Sense::Decorative
                    | Sense::Style
                    | Sense::Filler
                    | Sense::Article
                    | Sense::Case(_)
            )
    )
}

impl Item<'_, '_> {
    /// What part a token plays in an item.
    pub(super) fn word_at(&self, token: usize) -> Option<ItemWord> {
        match self.own[self.own_at[token]?].is {
            own::Is::Word(w) => Some(w),
            _ => None,
        }
    }

    /// The first token that begins at a byte or behind it.
    pub(super) fn token_at(&self, at: usize) -> usize {
        self.pieces.text.tokens.partition_point(|t| t.start < at)
    }

    fn is_word(&self, token: usize) -> bool {
        !matches!(self.pieces.text.tokens[token].kind, TokenKind::Punct(_))
    }

    fn ends_clause(&self, token: usize) -> bool {
        matches!(self.pieces.text.tokens[token].kind, TokenKind::Punct(c) if ENDS.contains(&c))
    }

    /// The words before a token in its clause, the nearest first.
    fn words_before(&self, token: usize) -> impl Iterator<Item = usize> + '_ {
        let back = (0..token).rev().take_while(|i| {
            steps::take(1);
            !self.ends_clause(*i)
        });
        back.filter(|i| self.is_word(*i))
    }

    /// The tokens behind a byte in its clause.
    fn clause_behind(&self, at: usize) -> Range<usize> {
        let from = self.token_at(at);
        let all = from..self.pieces.text.tokens.len();
        let to = all.clone().find(|i| {
            steps::take(1);
            self.ends_clause(*i)
        });
        from..to.unwrap_or(all.end)
    }

    /// Is a token typed with a capital at its head?
    fn capital(&self, token: usize) -> bool {
        let t = &self.pieces.text.tokens[token];
        self.is_word(token) && self.text()[t.start..t.end].starts_with(char::is_uppercase)
    }

    fn says(&self, tokens: impl Iterator<Item = usize>, words: &[ItemWord]) -> bool {
        let mut said = tokens.filter_map(|i| self.word_at(i));
        said.any(|w| words.contains(&w))
    }

    /// Does something on the piece begin before this byte, rather than the piece itself?
    pub fn on_it(&self, at: usize) -> bool {
        const ON_IT: [ItemWord; 4] =
            [ItemWord::Adds, ItemWord::For, ItemWord::Shows, ItemWord::Engraves];
        self.says(self.words_before(self.token_at(at)), &ON_IT)
    }

    /// Do the words behind this byte speak of a style?
    pub fn styled(&self, at: usize) -> bool {
        self.piece_behind(at).is_some_and(|p| p.what == Is::Sense(Sense::Style))
    }

    fn piece_behind(&self, at: usize) -> Option<&Piece> {
        let next = self.pieces.pieces.partition_point(|p| p.start < at);
        self.pieces.pieces.get(next)
    }

    /// What stands round an office or a date.
    pub fn place(&self, at: &Range<usize>) -> Place {
        let first = self.token_at(at.start);
        let behind = self.clause_behind(at.end);
        let before = self.words_before(first).next().and_then(|i| self.word_at(i));
        let ends = behind.end;
        let next = self.piece_behind(at.end).filter(|p| p.token < ends);
        let tokens = &self.pieces.text.tokens;
        let last = self.token_at(at.end).checked_sub(1).map(|i| &tokens[i]);
        let apostrophe = |s: &str| s.contains(APOSTROPHES);
        let deed = self.deed(first);
        let tells = |p: &Piece| {
            matches!(p.what, Is::Sense(Sense::Decorative | Sense::Engraved | Sense::Style))
        };
        Place {
            on_it: self.on_it(at.start),
            of: matches!(before, Some(ItemWord::Of | ItemWord::Pair | ItemWord::Set)),
            owns: last.is_some_and(|t| apostrophe(&self.text()[t.start..t.end]))
                || self.text()[at.end..].starts_with(APOSTROPHES),
            of_a_name: next.is_some_and(|p| p.what == Is::Unknown)
                && tokens.get(behind.start).is_some_and(|t| t.spaced)
                && self.capital(behind.start),
            done: deed.is_some(),
            right_behind: deed == Some(true),
            dated: before == Some(ItemWord::Dates),
            decorates: next.is_some_and(tells),
            followed: behind.clone().any(|i| self.is_word(i)),
        }
    }

    /// Does what stands before a token say that something was done then, and does it stand right before?
    /// "repaired in", "presented by the mayor".
    fn deed(&self, token: usize) -> Option<bool> {
        let mut right = true;
        for i in self.words_before(token) {
            match self.word_at(i) {
                Some(ItemWord::Deed | ItemWord::Engraves | ItemWord::Gives | ItemWord::Sells) => {
                    return Some(right);
                }
                Some(ItemWord::When | ItemWord::Relates | ItemWord::Points) => right = false,
                _ => {
                    let gives = [ItemWord::Gives, ItemWord::Sells];
                    return self.says(self.words_before(i), &gives).then_some(false);
                }
            }
        }
        None
    }

    /// Is whoever is named at this byte said to have given, owned, engraved or sold the piece?
    pub fn another(&self, at: usize) -> bool {
        const ANOTHER: [ItemWord; 3] = [ItemWord::Gives, ItemWord::Engraves, ItemWord::Sells];
        self.says(self.words_before(self.token_at(at)), &ANOTHER)
    }

    /// Whoever stands behind "by" with a capital, with that word, in order; and the bytes of the name.
    pub fn attributed(&self) -> Vec<(Who, Range<usize>, Range<usize>)> {
        let tokens = &self.pieces.text.tokens;
        let mut out = Vec::new();
        for by in 0..tokens.len() {
            if self.word_at(by) != Some(ItemWord::By) {
                continue;
            }
            let words = |from: usize| (from..tokens.len()).filter(|i| self.is_word(*i));
            let named = words(by + 1).take_while(|i| {
                steps::take(1);
                self.capital(*i)
            });
            let named: Vec<usize> = named.collect();
            if let (Some(first), Some(last)) = (named.first(), named.last()) {
                let name = tokens[*first].start..tokens[*last].end;
                let who = match self.another(name.start) {
                    true => Who::Another,
                    false => Who::Maker,
                };
                out.push((who, tokens[by].start..name.end, name));
            }
        }
        out
    }

    /// Names of two words or more that the vocabulary does not hold: the first.
    pub fn unknown_names(&self) -> Option<Range<usize>> {
        let pieces = &self.pieces.pieces;
        let name = |p: &&Piece| p.what == Is::Unknown && self.capital(p.token);
        let from = pieces.windows(2).position(|pair| pair.iter().all(|p| name(&p)))?;
        let last = pieces[from..].iter().take_while(name).last()?;
        Some(pieces[from].start..last.end)
    }

    /// Words of the text in order, as typed, with their places.
    pub fn words(&self) -> impl Iterator<Item = (Range<usize>, &str)> {
        let tokens = self.pieces.text.tokens.iter();
        let words = tokens.filter(|t| !matches!(t.kind, TokenKind::Punct(_)));
        words.map(|t| (t.start..t.end, &self.text()[t.start..t.end]))
    }
}
