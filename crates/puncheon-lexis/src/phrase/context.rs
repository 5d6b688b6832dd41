//! What the clause so far calls for, and what joins the phrase before.

use puncheon_schema::entry::{Slot, Standing};
use puncheon_schema::image::Sense;

use super::{Cutter, Found, Is, Piece, as_year};
use crate::sighting::What;
use crate::steps::Counted;
use crate::token::{Token, TokenKind};

impl Cutter<'_, '_> {
    /// "duty mark: George III", "king's head, in a cusped oval": words for a narrower form of the
    /// mark just before are that mark. Adjectives may stand behind a comma; a reign there is a date.
    pub(super) fn join(&mut self, i: usize, f: &Found, device: u32) -> Option<usize> {
        let kind = What::Device(vec![device]).kind(self.image);
        let between = |p: &&Piece| p.what.stands_between();
        let back = self.out.iter().rev().counted();
        let skipped = back.take_while(between).count();
        let at = self.out.len().checked_sub(skipped + 1)?;
        let mark = self.out[at];
        if mark.sentence != self.sentence {
            return None;
        }
        let comma = self.text.typed[mark.end..self.text.tokens[i].start].contains(',');
        if comma && (f.stands != Standing::Joined || self.noun_behind(f.end)) {
            return None;
        }
        match mark.what {
            Is::Sense(Sense::SlotNoun(slot)) if What::Slot(slot).kind(self.image) == kind => {}
            Is::Sense(Sense::Device(d)) if self.image.covers(d as usize, device as usize) => {}
            // "duty mark: George III or George IV"
            Is::Sense(Sense::Or) if skipped == 0 && at > 0 => {
                let Is::Sense(Sense::Device(d)) = self.out[at - 1].what else {
                    return None;
                };
                if What::Device(vec![d]).kind(self.image) != kind {
                    return None;
                }
                self.push(Is::Sense(Sense::Device(device)), i, f.end);
                return Some(f.end);
            }
            _ => return None,
        }
        let doubt = |p: &Piece| p.what == Is::Sense(Sense::Doubt);
        let form_doubt = self.out[at + 1..].iter().any(doubt);
        self.out.truncate(at + 1);
        // What comes next belongs to the clause of the mark, though a colon was crossed.
        self.clause = mark.clause;
        self.out[at] = Piece {
            what: Is::Sense(Sense::Device(device)),
            end: self.text.tokens[f.end - 1].end,
            form_doubt: mark.form_doubt || form_doubt,
            ..mark
        };
        Some(f.end)
    }

    /// "wolf head", "bear's head": a strange word before it, or one that says whose it is, makes it
    /// something else, which is not understood.
    pub(super) fn owned(&mut self, i: usize, f: &Found, device: u32) -> Option<usize> {
        let first = self.words[i].and_then(|w| self.image.step(0, w))?;
        let ending = self.image.ending(first);
        let leans = ending.stands() == Standing::Unowned
            && ending.plain().map(|m| self.image.meaning(m)) == Some(Sense::Device(device));
        let owner = self.out.last().copied().filter(|p| leans && p.clause == self.clause)?;
        let strange = matches!(owner.what, Is::Unknown | Is::Sense(Sense::FalseFriend));
        let possessive = self.text.typed[owner.start..owner.end]
            .trim_end_matches(['s', 'S'])
            .ends_with(|c: char| !c.is_alphanumeric());
        if !strange && !possessive {
            return None;
        }
        let end = self.text.tokens[f.end - 1].end;
        let last = self.out.last_mut()?;
        (last.what, last.end) = (Is::Unknown, end);
        Some(f.end)
    }

    /// May a word of one letter be taken for the word?
    pub(super) fn lone_word(&self, i: usize, sense: Sense) -> bool {
        let next = self.text.tokens.get(i + 1);
        match sense {
            Sense::About | Sense::Numbered => {
                let point = next.is_some_and(|t| t.kind == TokenKind::Punct('.'));
                let after = if point { i + 2 } else { i + 1 };
                // "(c) 1902"
                let kind = |k: usize| self.text.tokens.get(k).map(|t| t.kind);
                let bracket = sense == Sense::About
                    && kind(i + 1) == Some(TokenKind::Punct(')'))
                    && i.checked_sub(1).and_then(kind) == Some(TokenKind::Punct('('));
                let after = if bracket { i + 2 } else { after };
                let figures = self.text.tokens.get(after);
                let figures = figures.filter(|t| t.kind == TokenKind::Number);
                // "P 1914", "C 1902": a capital beside a year is the letter of that year; so is any letter
                // that would number a page or a lot, and one that is called for.
                let numbers = sense == Sense::Numbered;
                let year =
                    |t: &Token| as_year(self.text.word(t)).is_some() && (numbers || t.spaced);
                let letter = numbers || self.text.tokens[i].upper || self.letter_awaited();
                figures.is_some_and(|t| point || bracket || !(letter && year(t)))
            }
            Sense::Unit => {
                self.out.last().is_some_and(|p| matches!(p.what, Is::Number | Is::Measure))
            }
            Sense::And => {
                next.is_some_and(|t| t.kind == TokenKind::Word || t.kind == TokenKind::Number)
            }
            Sense::Yes | Sense::No => true,
            _ => false,
        }
    }

    /// "A-F", "a - f": the token of the last letter of a range, both of one case and in order.
    pub(super) fn last_of_range(&self, i: usize) -> Option<usize> {
        let [a, dash, b] = self.text.tokens.get(i..i + 3)? else {
            return None;
        };
        let (from, to) = (self.text.word(a), self.text.word(b));
        let letter = |w: &str| w.len() == 1 && w.as_bytes()[0].is_ascii_alphabetic();
        let further = self.text.tokens.get(i + 3);
        let tight = further.is_some_and(|t| t.kind == TokenKind::Punct('-') && !t.spaced);
        (dash.kind == TokenKind::Punct('-')
            && dash.spaced == b.spaced
            && !tight
            && letter(from)
            && letter(to)
            && from < to
            && a.upper == b.upper
            // With spaces round it a dash parts marks, unless letters are called for.
            && (!dash.spaced || self.letter_called_for()))
        .then_some(i + 2)
    }

    /// What the clause holds before this place, newest first; its last forty pieces are enough.
    pub(super) fn clause_so_far(&self) -> impl Iterator<Item = &Piece> {
        self.out.iter().rev().take(40).counted().take_while(|p| p.clause == self.clause)
    }

    /// The clause so far speaks of the maker or the assayer, so capitals are their initials.
    pub(super) fn after_maker(&self) -> bool {
        self.clause_so_far().any(|p| {
            matches!(p.what, Is::Sense(Sense::SponsorNoun | Sense::SlotNoun(Slot::Assayer)))
        })
    }

    /// The clause so far calls for a date letter.
    pub(super) fn letter_called_for(&self) -> bool {
        // "date letter: X": the noun stands before the colon.
        let labelled = matches!(
            self.out.as_slice(),
            [.., Piece { what: Is::Sense(Sense::LetterNoun), .. }, Piece { what: Is::Colon, .. }]
        );
        labelled || self.letter_called_for_here()
    }

    /// Is it still to come?
    pub(super) fn letter_awaited(&self) -> bool {
        let read = self.clause_so_far().any(|p| p.what == Is::Letter);
        self.letter_called_for() && !read
    }

    /// Does the letter stand by itself, with no other single letter in the text?
    pub(super) fn only_letter(&self, i: usize) -> bool {
        let single = |t: &Token| t.kind == TokenKind::Word && self.text.word(t).len() == 1;
        let alone = self.text.tokens.get(i + 1).is_some_and(|n| n.spaced);
        alone && self.text.tokens.iter().filter(|t| single(t)).take(2).count() == 1
    }

    pub(super) fn letter_called_for_here(&self) -> bool {
        self.clause_so_far().any(|p| {
            matches!(p.what, Is::Sense(Sense::LetterNoun | Sense::Case(_) | Sense::Lettering(_)))
        })
    }
}
