//! What the words for a piece say that is not its metal: plate, base metal, glass, pitch. Words that stand for the
//! piece itself are told from those that stand for a part of it.

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::ops::Range;

use puncheon_schema::entry::ItemWord;
use puncheon_schema::image::{DeductionView, Meta, Sense};

use super::own::{self, SIGNS};
use super::{Item, context};
use crate::phrase::{self, Piece};
use crate::sighting::What;
use crate::steps;
use crate::token::TokenKind;

/// What is named in a text, and where.
#[derive(Clone)]
pub struct Named<'i> {
    /// What is named, as the tables hold it.
    pub kind: DeductionView<'i>,
    /// The words, as bytes of the text.
    pub at: Range<usize>,
    /// They are said of the piece itself.
    pub whole: bool,
}

/// Bytes before and behind words in which a part of a text bears on them.
const REACH: usize = 400;

/// What an item speaks of that is not the metal, in order; where phrases overlap the longest counts.
pub(super) fn named<'i>(
    item: &Item<'i, '_>,
    kinds: Vec<(usize, Range<usize>)>,
    first: bool,
) -> Vec<Named<'i>> {
    // Of equal length the phrase of a kind goes before the words of a mark.
    let mut found: Vec<(bool, usize, Range<usize>)> =
        kinds.into_iter().map(|(kind, at)| (false, kind, at)).collect();
    found.extend(lookalikes(item).map(|(kind, at)| (true, kind, at)));
    found.sort_by_key(|(mark, kind, at)| (Reverse(at.len()), *mark, *kind, at.start));
    let mut taken: BTreeMap<usize, (usize, Range<usize>)> = BTreeMap::new();
    for (_, kind, at) in found {
        steps::take(1);
        let before = taken.range(..at.end).next_back();
        if before.is_none_or(|(_, (_, o))| o.end <= at.start) {
            taken.insert(at.start, (kind, at));
        }
    }
    let spans: Vec<(usize, Range<usize>)> = taken.into_values().collect();
    let parts = Parts::of(item, &spans, first);
    let mut out = Vec::new();
    let mut taken_back_to = None;
    for (kind, at) in spans {
        if takes_back(item, &at, taken_back_to) {
            // "Without plated liner" takes back the liner as well.
            taken_back_to = Some(at.end);
            continue;
        }
        out.push(Named { kind: item.image.deduction(kind), whole: parts.whole(&at), at });
    }
    out
}

/// Does a word before it, or what it has taken back already, take back what stands here?
fn takes_back(item: &Item, at: &Range<usize>, taken_back_to: Option<usize>) -> bool {
    let tokens = &item.pieces.text.tokens;
    let here = tokens.partition_point(|t| t.end <= at.start);
    let before = tokens[..here].iter().rposition(|t| t.kind == TokenKind::Word);
    before.is_some_and(|i| {
        let parted = tokens[i + 1..here]
            .iter()
            .any(|t| matches!(t.kind, TokenKind::Punct(c) if SIGNS.contains(&c)));
        let not = matches!(item.word_at(i), Some(ItemWord::Not | ItemWord::Without));
        !parted && (not || taken_back_to == Some(tokens[i].end))
    })
}

/// Words of marks that speak of a kind as well.
fn lookalikes(item: &Item) -> impl Iterator<Item = (usize, Range<usize>)> {
    let image = item.image;
    item.seen.sightings.iter().filter_map(move |s| {
        let What::Lookalike(device) = s.what else {
            return None;
        };
        let id = image.device(device as usize).id();
        let all = image.meta(Meta::Deductions);
        let kind = (0..all).find(|d| image.deduction(*d).devices().any(|w| w == id))?;
        Some((kind, s.start..s.end))
    })
}

/// A text in parts: what is said of the piece, and what is added to it.
struct Parts<'a> {
    pieces: &'a [Piece],
    /// Words that point at a part of the piece, by their first bytes.
    pointing: Vec<usize>,
    /// In order.
    parts: Vec<Part>,
    /// The first of them is of the piece.
    first: bool,
}

struct Part {
    at: Range<usize>,
    /// Another thing is named here.
    joined: bool,
    /// The part before, and a colon, name what this one is of.
    labelled: Option<Range<usize>>,
}

/// Where a text is parted.
struct Break {
    at: Range<usize>,
    joins: bool,
    labels: bool,
}

impl<'a> Parts<'a> {
    fn of(item: &'a Item, spans: &[(usize, Range<usize>)], first: bool) -> Parts<'a> {
        let text = item.text();
        let within = |i: usize| {
            steps::take(1);
            let begun = spans.partition_point(|(_, at)| at.start <= i);
            begun > 0 && i < spans[begun - 1].1.end
        };
        let signs = item.pieces.text.tokens.iter().filter_map(|t| match t.kind {
            TokenKind::Punct(c) if SIGNS.contains(&c) || c.is_control() => {
                Some(Break { at: t.start..t.end, joins: matches!(c, '&' | '+'), labels: c == ':' })
            }
            _ => None,
        });
        let words = item.own.iter().filter_map(|o| {
            let own::Is::Word(word) = o.is else {
                return None;
            };
            let joins = matches!(word, ItemWord::Adds | ItemWord::Joins);
            let parts = joins || matches!(word, ItemWord::Relates | ItemWord::For | ItemWord::By);
            parts.then(|| Break { at: o.at.clone(), joins, labels: false })
        });
        let mut breaks: Vec<Break> = signs.chain(words).filter(|b| !within(b.at.start)).collect();
        breaks.sort_by_key(|b| b.at.start);
        breaks.push(Break { at: text.len()..text.len(), joins: false, labels: false });
        let mut parts: Vec<Part> = Vec::new();
        let (mut from, mut joined, mut colon) = (0, false, false);
        for b in breaks {
            if !text[from..b.at.start].trim().is_empty() {
                let before = parts.last().map(|p: &Part| p.at.clone());
                let labelled = before.filter(|_| colon);
                parts.push(Part { at: from..b.at.start, joined, labelled });
                joined = false;
            }
            (from, joined, colon) = (b.at.end, joined || b.joins, b.labels);
        }
        let points =
            |o: &&own::Own| matches!(o.is, own::Is::Word(ItemWord::Points | ItemWord::Each));
        let pointing = item.own.iter().filter(points).map(|o| o.at.start).collect();
        Parts { pieces: &item.pieces.pieces, pointing, parts, first }
    }

    /// The pieces that begin within so many bytes.
    fn within(&self, at: Range<usize>) -> &[Piece] {
        let from = self.pieces.partition_point(|p| p.start < at.start);
        let to = self.pieces.partition_point(|p| p.start < at.end);
        &self.pieces[from..to.max(from)]
    }

    /// The pieces of which some words stand within so many bytes: "plated stand" may be one.
    fn behind(&self, at: Range<usize>) -> &[Piece] {
        let from = self.pieces.partition_point(|p| p.end <= at.start);
        let to = self.pieces.partition_point(|p| p.start < at.end);
        &self.pieces[from..to.max(from)]
    }

    /// Are the words said of the piece itself?
    fn whole(&self, at: &Range<usize>) -> bool {
        let i = self.parts.partition_point(|p| p.at.end <= at.start);
        let Some(part) = self.parts.get(i) else {
            return true;
        };
        if i == 0 && self.first {
            return true;
        }
        let from = part.at.start.max(at.start.saturating_sub(REACH)).min(at.start);
        let to = part.at.end.min(at.end + REACH).max(at.end);
        let before = self.within(from..at.start);
        let after = self.behind(at.end..to);
        let is_part = |p: &Piece| p.what == phrase::Is::Sense(Sense::Part);
        if part.labelled.clone().is_some_and(|l| self.within(l).iter().any(is_part)) {
            return false;
        }
        let point = self.pointing.partition_point(|p| *p < from);
        let pointed = self.pointing.get(point).is_some_and(|p| *p < at.start);
        if part.joined {
            let other = |p: &Piece| {
                steps::take(1);
                context::thing(p) || p.what == phrase::Is::Unknown
            };
            return !(before.iter().any(other) || after.iter().any(other) || pointed);
        }
        let behind = after.iter().find(|p| !context::describes(p));
        !(pointed || before.iter().any(is_part) || behind.is_some_and(context::thing))
    }
}

/// Does a label name a part of a piece, and nothing of its marks?
pub(super) fn names_part(label: &[Piece]) -> bool {
    let part = |p: &Piece| context::thing(p) || p.what == phrase::Is::Unknown;
    let joins =
        |p: &Piece| matches!(p.what, phrase::Is::Sense(Sense::And | Sense::In | Sense::Over));
    label.iter().any(part) && label.iter().all(|p| part(p) || joins(p) || context::describes(p))
}
