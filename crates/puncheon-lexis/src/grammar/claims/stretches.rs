//! The words of a description that make a claim: what is stated, with the words that join or turn it.

use std::ops::Range;

use puncheon_schema::entry::{Grammar, ItemWord};
use puncheon_schema::image::{Image, Sense};

use crate::grammar::initials::sense_within;
use crate::phrase::longest;
use crate::sighting::Sightings;
use crate::steps;
use crate::token::{Text, TokenKind};

/// The most words behind a date that turn it: "at the very latest".
const MOST_WORDS: usize = 6;
/// Signs that may stand between a date and what turns or follows it.
const BETWEEN: [char; 6] = [',', '(', ')', '-', '/', '&'];

/// The stretches of a description that claim something, in bytes. What joins two statements stands in
/// one stretch with both, "1803 to 1810", and what turns one stands with it, "1803 or later"; a mark
/// between parts them.
pub fn stretches(image: &Image, text: &Text, seen: &Sightings) -> Vec<Range<usize>> {
    let mut marks: Vec<Range<usize>> = seen.sightings.iter().map(|s| s.start..s.end).collect();
    marks.sort_unstable_by_key(|m| m.start);
    let words = Words { image, text, marks };
    let mut out: Vec<Range<usize>> = Vec::new();
    for (i, c) in seen.claimed.iter().enumerate() {
        let next = seen.claimed.get(i + 1).map_or(text.typed.len(), |c| c.start);
        let stretch = words.begins(c.start)..words.ends(c.end, next);
        match out.last_mut().filter(|last| words.joined(last.end, c.start)) {
            Some(last) => last.end = stretch.end.max(last.end),
            None => out.push(stretch),
        }
    }
    out
}

struct Words<'i, 't> {
    image: &'i Image,
    text: &'i Text<'t>,
    /// Where marks stand, in order.
    marks: Vec<Range<usize>>,
}

impl Words<'_, '_> {
    /// What a token says in a claim by itself.
    fn sense(&self, i: usize) -> Option<Sense> {
        let t = self.text.tokens.get(i)?;
        match t.kind {
            TokenKind::Punct('&') => Some(Sense::And),
            TokenKind::Punct(_) => None,
            _ => sense_within(self.image, Grammar::Claims, self.text.word(t)),
        }
    }

    /// Does a mark stand in these bytes?
    fn marked(&self, from: usize, to: usize) -> bool {
        let first = self.marks.partition_point(|m| m.end <= from);
        self.marks.get(first).is_some_and(|m| m.start < to)
    }

    /// The first token that begins at a place or behind it.
    fn at(&self, place: usize) -> usize {
        self.text.tokens.partition_point(|t| t.start < place)
    }

    /// Where the word begins that opens or closes a span, right before a date. Behind another word it may be
    /// that one's: "dates to 1803", "in use from 1850".
    fn begins(&self, start: usize) -> usize {
        let Some(before) = self.at(start).checked_sub(1) else {
            return start;
        };
        let opens = before
            .checked_sub(1)
            .is_none_or(|k| matches!(self.text.tokens[k].kind, TokenKind::Punct(_)));
        let turns = match self.sense(before) {
            Some(Sense::Between) => true,
            Some(Sense::From | Sense::To | Sense::Item(ItemWord::By)) => opens,
            _ => false,
        };
        let begins = self.text.tokens[before].start;
        if turns && !self.marked(begins, start) { begins } else { start }
    }

    /// Where the words end that turn a date from behind, before the next statement.
    fn ends(&self, end: usize, next: usize) -> usize {
        let sign = |i: usize, among: &[char]| {
            let kind = self.text.tokens.get(i).map(|t| t.kind);
            matches!(kind, Some(TokenKind::Punct(c)) if among.contains(&c))
        };
        let mut i = self.at(end);
        // "1790?" is about 1790.
        if sign(i, &['?']) && self.text.tokens[i].start == end {
            return self.text.tokens[i].end;
        }
        i += usize::from(sign(i, &BETWEEN));
        let joined = matches!(self.sense(i), Some(Sense::Or | Sense::And | Sense::To));
        i += usize::from(joined);
        let behind = self.text.tokens.iter().skip(i).take(MOST_WORDS);
        let words = behind.take_while(|t| !matches!(t.kind, TokenKind::Punct(_)));
        let words = words.map(|t| self.text.word(t));
        let Some((sense, n)) = longest::phrase(self.image, Grammar::Claims, words) else {
            return end;
        };
        let turns = match sense {
            Sense::Onwards | Sense::AtLatest | Sense::AtEarliest | Sense::About => true,
            Sense::Early | Sense::Mid | Sense::Late | Sense::Fraction(..) => !joined,
            Sense::Later | Sense::Earlier | Sense::After | Sense::Before => joined,
            _ => false,
        };
        let far = self.text.tokens[i + n - 1].end;
        if turns && far <= next && !self.marked(end, far) { far } else { end }
    }

    /// Is there something between two statements, and is it nothing but what joins them?
    fn joined(&self, end: usize, start: usize) -> bool {
        let (from, to) = (self.at(end), self.at(start));
        steps::take(to.saturating_sub(from));
        let mut joins = false;
        let all = (from..to).all(|i| match (self.text.tokens[i].kind, self.sense(i)) {
            (_, Some(Sense::Or | Sense::And | Sense::To)) | (TokenKind::Punct('-' | '/'), _) => {
                joins = true;
                true
            }
            (TokenKind::Punct(c), _) => BETWEEN.contains(&c),
            (_, sense) => matches!(sense, Some(Sense::Article | Sense::DateNoun)),
        });
        all && joins && !self.marked(end, start)
    }
}
