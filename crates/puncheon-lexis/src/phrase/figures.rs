//! Figures: single years and spans, measures, counts and numbers of something.

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use super::{Cutter, Is, Piece};
use crate::phrase::longest;
use crate::token::TokenKind;

impl Cutter<'_, '_> {
    /// "No. 2", "No 2": where a word of absence numbers something, the token of its figures. Figures
    /// that are a mark can be absent, "no 925", but not behind a point, nor where the word has a
    /// capital in the middle of a sentence.
    pub(super) fn numbers(&self, i: usize) -> Option<usize> {
        let figures = if self.pointed(i) { i + 2 } else { i + 1 };
        let number = self.text.tokens.get(figures).is_some_and(|t| t.kind == TokenKind::Number);
        let opens = self.out.last().is_none_or(|p| p.sentence != self.sentence);
        let named = !opens && self.text.has_small && !self.small(i);
        (number && (figures > i + 1 || named || self.phrase(figures).is_none())).then_some(figures)
    }

    /// A number that measures, prices or counts: "178 g", "7 in high", "lot 18".
    pub(super) fn measure(&mut self, i: usize, end: usize, sense: Sense) -> Option<usize> {
        let figure = self.text.tokens[i..end].iter().all(|t| t.kind == TokenKind::Number);
        if !figure || !matches!(sense, Sense::Device(_)) {
            return None;
        }
        self.measured(i, end)
    }

    /// Does a word that numbers something stand before: "lot 22"?
    pub(super) fn counted(&self) -> bool {
        let numbers = |p: &Piece| p.what == Is::Sense(Sense::Numbered) && p.clause == self.clause;
        self.out.last().is_some_and(numbers)
    }

    pub(super) fn measured(&mut self, i: usize, end: usize) -> Option<usize> {
        let next = self.phrase_of(end, false);
        let sense = next.as_ref().map(|f| self.image.meaning(f.meaning));
        let year = end == i + 1 && as_year(self.text.word(&self.text.tokens[i])).is_some();
        let past = match (next, sense) {
            // "1803 G Unite": a capital behind a year is an initial.
            (Some(_), Some(Sense::Unit)) if year && self.text.has_small && self.is_capital(end) => {
                None
            }
            (Some(f), Some(Sense::Unit)) => Some(f.end),
            // "in" measures only where no noun follows, and no year: "1803 in fitted case".
            _ if self.sense_of_word(end) == Some(Sense::In) && !year => {
                let measures = match self.text.tokens.get(end + 1) {
                    None => true,
                    Some(t) if matches!(t.kind, TokenKind::Punct(_)) => true,
                    Some(_) => !matches!(
                        self.phrase(end + 1).map(|f| self.image.meaning(f.meaning)),
                        Some(
                            Sense::Article
                                | Sense::Outline(_)
                                | Sense::Device(_)
                                | Sense::Filler
                                | Sense::Case(_)
                                | Sense::Lettering(_)
                                | Sense::And
                        )
                    ),
                };
                measures.then_some(end + 1)
            }
            // "18 teaspoons": a figure of two places counts what follows.
            (_, Some(Sense::Aside)) if self.counts(i, end) => Some(end),
            _ => self.past_sign(i, end),
        };
        let past = past.or_else(|| self.counted().then_some(end))?;
        // What opens a list may be the label of a piece.
        let label =
            past == end && self.text.tokens.get(end).map(|t| t.kind) == Some(TokenKind::Punct(')'));
        self.push(if label { Is::Number } else { Is::Measure }, i, past);
        Some(past)
    }

    /// May the figure count something? Finenesses in thousandths have three places.
    pub(super) fn counts(&self, i: usize, end: usize) -> bool {
        let t = &self.text.tokens[i];
        let figure = self.text.word(t);
        end == i + 1 && figure.len() <= 2 && figure.bytes().all(|b| b.is_ascii_digit())
    }

    /// Past the sign behind a figure that says what it is: 18" is a length, 18=10 a scratch weight, "9)" an
    /// item of a list.
    pub(super) fn past_sign(&self, i: usize, end: usize) -> Option<usize> {
        let sign = self.text.tokens.get(end).filter(|t| !t.spaced)?;
        let before = i.checked_sub(1).map(|k| self.text.tokens[k].kind);
        let opened = |c| before == Some(TokenKind::Punct(c));
        let opens = self.out.last().is_none_or(|p| p.sentence != self.sentence);
        match sign.kind {
            TokenKind::Punct('"') => (!opened('"')).then_some(end + 1),
            TokenKind::Punct(')') => (opens && !opened('(') && self.counts(i, end)).then_some(end),
            TokenKind::Punct('=') => {
                let figure = self.text.tokens.get(end + 1)?;
                (figure.kind == TokenKind::Number).then_some(end + 2)
            }
            _ => None,
        }
    }

    pub(super) fn number(&mut self, i: usize) -> usize {
        if let Some(next) = self.measured(i, i + 1) {
            return next;
        }
        let word = self.text.word(&self.text.tokens[i]).to_string();
        if let Some(year) = as_year(&word) {
            if let Some((last, next)) = self.decades(i, year) {
                self.push(Is::Years(year, last), i, next);
                return next;
            }
            let joined = self
                .text
                .tokens
                .get(i + 1)
                .is_some_and(|t| matches!(t.kind, TokenKind::Punct('-' | '/')));
            let second = self.text.tokens.get(i + 2).filter(|t| t.kind == TokenKind::Number);
            if let Some(t) = second.filter(|_| joined) {
                let digits = self.text.word(t).to_string();
                let spaced = t.spaced;
                let last = match digits.len() {
                    4 => as_year(&digits),
                    2 => digits
                        .parse()
                        .ok()
                        .map(|d: i32| year / 100 * 100 + d)
                        .map(|y| if y < year { y + 100 } else { y }),
                    1 if !spaced => digits
                        .parse()
                        .ok()
                        .map(|d: i32| year / 10 * 10 + d)
                        .map(|y| if y < year { y + 10 } else { y }),
                    _ => None,
                };
                if let Some(last) = last.filter(|l| (year..year + 400).contains(l)) {
                    self.push(Is::Years(year, last), i, i + 3);
                    return i + 3;
                }
            }
            self.push(Is::Years(year, year), i, i + 1);
            return i + 1;
        }
        self.push(Is::Number, i, i + 1);
        i + 1
    }

    /// What the letters of a token say beside figures.
    pub(super) fn letters(&self, i: usize) -> Option<Sense> {
        beside_figures(self.image, self.text.word(self.text.tokens.get(i)?))
    }
}

/// What letters say beside figures.
pub(crate) fn beside_figures(image: &Image, word: &str) -> Option<Sense> {
    longest::own(image, Grammar::Letters, [word].into_iter()).map(|(sense, _)| sense)
}

/// The calendar year that four figures are, from 1300 to 2099; None for any others.
pub(crate) fn as_year(digits: &str) -> Option<i32> {
    let y = (digits.len() == 4).then(|| digits.parse::<i32>().ok()).flatten()?;
    (1300..=2099).contains(&y).then_some(y)
}
