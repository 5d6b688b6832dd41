//! The longest phrase of the vocabulary at a word, across commas and signs where it may cross them.

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::Sense;

use super::{At, Cutter, EVERY_TEXT, Found, SHORTENED, adds};
use crate::steps::{self};
use crate::token::{Token, TokenKind};

impl Cutter<'_, '_> {
    /// The longest phrase of the vocabulary at token `i`.
    pub(super) fn phrase(&self, i: usize) -> Option<Found> {
        self.phrase_of(i, true)
    }

    /// The same; `apart`: two whole marks that are joined are no phrase. What is looked up behind a
    /// joint need not know, and a chain of joints is then followed once.
    pub(super) fn phrase_of(&self, i: usize, apart: bool) -> Option<Found> {
        let mut best = None;
        for root in self.roots() {
            let from = At {
                node: root,
                j: i,
                commas: false,
                skipped: 0,
                joined: None,
                apart,
                slip: false,
            };
            self.walk(from, i, &mut best);
        }
        best
    }

    /// Where phrases begin. A grammar's own words come first; what stands in every text does if it is longer.
    pub(super) fn roots(&self) -> impl Iterator<Item = u32> {
        self.grammar.map(Grammar::root).into_iter().chain([EVERY_TEXT])
    }

    pub(super) fn walk(&self, at: At, first: usize, best: &mut Option<Found>) {
        steps::take(1);
        let At { node, j, commas, skipped, .. } = at;
        let Some(t) = self.text.tokens.get(j) else {
            return;
        };
        for (word, slip) in [(self.words[j], at.slip), (self.slips[j], true)] {
            let Some(next) = word.and_then(|w| self.image.step(node, w)) else {
                continue;
            };
            let ending = self.image.ending(next);
            let typed_upper = || {
                self.text.tokens[first..=j]
                    .iter()
                    .all(|t| t.upper || matches!(t.kind, TokenKind::Punct(_)))
            };
            // "STERLING" typed in capitals is the word as it is stamped.
            let shout = ending.capitals().filter(|_| typed_upper());
            if let Some(meaning) = shout.or(ending.plain())
                && (!commas || ending.may_cross(self.behind_comma(first, j)))
                && !self.adjective_after_and(first, j)
                && !(at.apart && self.two_marks(first, j, at.joined, meaning))
                && best.as_ref().is_none_or(|b| j + 1 > b.end)
            {
                *best = Some(Found {
                    end: j + 1,
                    meaning,
                    in_capitals: ending.capitals(),
                    slip: ending.is_slip() && shout.is_none(),
                    by_word: slip,
                    stands: ending.stands(),
                    doubt: (first + 1..j).any(|k| self.sense_of_word(k) == Some(Sense::Doubt)),
                });
            }
            self.walk(At { node: next, j: j + 1, slip, ..at }, first, best);
        }
        if j == first || skipped == 4 {
            return;
        }
        let skip = At { j: j + 1, skipped: skipped + 1, ..at };
        let joined = At { joined: Some(j), ..skip };
        match t.kind {
            _ if self.parts_marks(j) => {}
            TokenKind::Punct('&' | '/' | '+' | '-') => self.walk(joined, first, best),
            kind if adds(kind) => self.walk(At { commas: true, ..skip }, first, best),
            // A point that shortens a word: "geo. iii head", "leop. hd. crowned". Behind any other
            // word of more than three letters it ends a sentence, but for one whose phrase would
            // end in the air and goes on in small letters.
            TokenKind::Punct('.') if t.start == self.text.tokens[j - 1].end => {
                let before = &self.text.tokens[j - 1];
                let next = self.text.tokens.get(j + 1);
                let spaced = next.is_none_or(|n| n.spaced);
                let letters = before.end - before.start;
                let short = (2..=3).contains(&letters) || letters == 1 && j - 1 > first;
                let in_the_air = self.image.ending(node).plain().is_none();
                if j - first < 3 && (!spaced || short)
                    || self.cut_short(j - 1)
                    || in_the_air && self.small(j + 1)
                {
                    self.walk(skip, first, best);
                }
            }
            TokenKind::Word if self.joins(first, j) => self.walk(joined, first, best),
            TokenKind::Word if self.sense_of_word(j) == Some(Sense::Doubt) => {
                self.walk(skip, first, best);
            }
            _ => {}
        }
    }

    /// "castle & lion", "lion + head": are the tokens two marks, each whole on its side of the sign or word
    /// that joins them, and not one that is a form of both, "crown & 18"?
    pub(super) fn two_marks(
        &self,
        first: usize,
        last: usize,
        joined: Option<usize>,
        meaning: u32,
    ) -> bool {
        let and = |k: &usize| self.sense_of_word(*k) == Some(Sense::And);
        let spelled = (first + 1..last).rev().find(and);
        let Some(joint) = joined.or(spelled) else {
            return false;
        };
        // "N & castle" is no town.
        if matches!(self.image.meaning(meaning), Sense::Town(_)) {
            return joined.is_some() && self.text.tokens[joint].spaced;
        }
        let device = |meaning: u32| match self.image.meaning(meaning) {
            Sense::Device(d) => Some(d as usize),
            _ => None,
        };
        let joins = |k: &usize| matches!(self.sense_of_word(*k), Some(Sense::And | Sense::Article));
        let after = (joint + 1..=last).find(|k| !joins(k));
        let (Some(all), Some(after)) = (device(meaning), after) else {
            return false;
        };
        // "leopard's head and crown and 18": the crown is of the longer phrase that it opens. What the
        // vocabulary holds with its "and" is else one mark.
        let behind = self.phrase_of(after, false).filter(|f| f.end > last);
        if joined.is_none() {
            return behind.is_some_and(|f| f.end > last + 1);
        }
        let mut words = self.words[first..joint].iter();
        let before = words.try_fold(0, |node, w| self.image.step(node, (*w)?));
        let before = before.and_then(|node| self.image.ending(node).plain());
        let (Some(a), Some(b)) = (before.and_then(device), behind.and_then(|f| device(f.meaning)))
        else {
            return false;
        };
        !(self.image.covers(a, all) && self.image.covers(b, all)) && a != all && b != all
    }

    /// Is the word known as a shorter way to write another, with letters left out?
    pub(super) fn cut_short(&self, j: usize) -> bool {
        let Some(meant) = self.slips[j] else {
            return false;
        };
        let short = self.text.word(&self.text.tokens[j]);
        let full = self.image.word_str(meant);
        let mut rest = full.chars();
        short.len() < full.len() && short.chars().all(|c| rest.any(|f| f == c))
    }

    /// Does the token begin with a small letter?
    pub(super) fn small(&self, j: usize) -> bool {
        let typed = |t: &Token| self.text.typed[t.start..t.end].starts_with(char::is_lowercase);
        self.text.tokens.get(j).is_some_and(typed)
    }

    /// "small rom. k", "cap. K": the point behind the word only shortens it, and the sentence goes on.
    pub(super) fn goes_on(&self, i: usize) -> bool {
        let letter =
            self.text.tokens.get(i + 1).is_some_and(|n| {
                n.kind == TokenKind::Word && self.text.word(n).chars().count() == 1
            });
        let Some(before) = i.checked_sub(1) else {
            return false;
        };
        let t = &self.text.tokens[before];
        let adjective = matches!(
            self.sense_of_word(before),
            Some(Sense::Case(_) | Sense::Lettering(_) | Sense::LetterNoun)
        );
        self.cut_short(before) && (letter || self.small(i + 1))
            || adjective && letter && t.end - t.start <= SHORTENED
    }

    /// "lion and crowned leopard's head": an adjective behind "and" is of the noun to come.
    pub(super) fn adjective_after_and(&self, first: usize, j: usize) -> bool {
        j > first
            && matches!(self.sense_of_word(j), Some(Sense::Beside | Sense::Illegible))
            && (self.text.tokens[j - 1].kind == TokenKind::Punct('&')
                || self.sense_of_word(j - 1) == Some(Sense::And))
    }

    /// How many tokens up to `last` stand behind the one comma or bracket of these tokens.
    pub(super) fn behind_comma(&self, first: usize, last: usize) -> Option<usize> {
        let mut commas = (first..last).filter(|&k| adds(self.text.tokens[k].kind));
        let comma = commas.next().filter(|_| commas.next().is_none())?;
        // "X, crowned harp": there the adjective belongs to the noun behind it.
        (!self.noun_behind(last + 1)).then_some(last - comma)
    }

    /// Is the token a word that an adjective before it may belong to?
    pub(super) fn noun_behind(&self, j: usize) -> bool {
        self.text.tokens.get(j).is_some_and(|t| {
            t.kind == TokenKind::Word
                && !matches!(self.sense_of_word(j), Some(Sense::And | Sense::Filler))
        })
    }

    /// "and", and "a" after it: may stand inside a phrase.
    pub(super) fn joins(&self, first: usize, j: usize) -> bool {
        match self.sense_of_word(j) {
            Some(Sense::And) => true,
            Some(Sense::Article) => {
                let before = &self.text.tokens[j - 1];
                j > first + 1
                    && !self.text.tokens[j].upper
                    && (before.kind == TokenKind::Punct('&')
                        || self.sense_of_word(j - 1) == Some(Sense::And))
            }
            _ => false,
        }
    }

    /// What a word means by itself.
    pub(super) fn sense_of_word(&self, j: usize) -> Option<Sense> {
        self.senses.get(j).copied().flatten()
    }
}
