//! What the words for a piece say that is not its metal: plate, base metal, glass, pitch. Words that
//! stand for the piece itself are told from those that stand for a part of it.

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::ops::Range;

use puncheon_schema::entry::Metal;
use puncheon_schema::export;
use puncheon_schema::image::{DeductionView, Image, METALS, Meta, Sense};

use crate::engine::words;
use crate::lexis::phrase::{Is, Pieces};
use crate::lexis::sighting::What;
use crate::lexis::steps;
use crate::lexis::token::{Text, begin_of, end_of};

/// What is named in a text, and where.
pub(crate) struct Named<'i> {
    pub kind: DeductionView<'i>,
    /// The words, as bytes of the text.
    pub at: Range<usize>,
    /// They are said of the piece itself.
    pub whole: bool,
}

/// Why a piece is not of a metal: the words that say so, and what they speak of.
pub(crate) struct Barred {
    /// A sentence.
    pub why: String,
    /// What would be right, a sentence.
    pub remedy: String,
}

/// Words that part a text into what is said of the piece and of what is on it. Not "of": "a pair of
/// plated spoons" speaks of the spoons.
const PARTING: [&str; 13] = [
    "with",
    "and",
    "in",
    "on",
    "by",
    "for",
    "having",
    "within",
    "after",
    "including",
    "plus",
    "to",
    "over",
];
/// Those of them behind which another thing stands.
const JOINING: [&str; 5] = ["with", "and", "having", "including", "plus"];
/// Words that take back what stands behind them.
const NOT: [&str; 6] = ["no", "not", "non", "never", "without", "lacking"];
/// Words that point at a part of the piece.
const POINTING: [&str; 4] = ["the", "its", "each", "their"];
/// Bytes before and behind words in which a part of a text bears on them.
const REACH: usize = 400;
/// Signs that part a text like a word that parts it.
const SIGNS: [char; 9] = [',', ';', ':', '(', ')', '[', ']', '+', '&'];

/// A word of a text, in small letters, with its place.
struct Word {
    start: usize,
    end: usize,
    lower: String,
}

fn cut(text: &str) -> Vec<Word> {
    text.split(|c: char| !c.is_alphabetic())
        .filter(|w| !w.is_empty())
        .map(|w| {
            let start = w.as_ptr() as usize - text.as_ptr() as usize;
            Word { start, end: start + w.len(), lower: w.to_lowercase() }
        })
        .collect()
}

/// What a text speaks of that is not the metal, in the order of the text; where phrases overlap the
/// longest counts.
pub(crate) fn named<'i>(image: &'i Image, text: &str) -> Vec<Named<'i>> {
    let words = cut(text);
    let mut found = phrases(image, text, &words);
    found.extend(lookalikes(image, text));
    // Of equal length the phrase of a kind goes before the words of a mark.
    found.sort_by_key(|(_, at)| Reverse(at.len()));
    let mut taken: BTreeMap<usize, (DeductionView, Range<usize>)> = BTreeMap::new();
    for (kind, at) in found {
        steps::take(1);
        let before = taken.range(..at.end).next_back();
        if before.is_none_or(|(_, (_, o))| o.end <= at.start) {
            taken.insert(at.start, (kind, at));
        }
    }
    let spans: Vec<(DeductionView, Range<usize>)> = taken.into_values().collect();
    let parts = Parts::of(text, &words, &spans);
    let mut out = Vec::new();
    let mut taken_back_to = None;
    for (kind, at) in &spans {
        let before = words.partition_point(|w| w.end <= at.start);
        let before = before.checked_sub(1).map(|i| &words[i]);
        let taken_back = before.is_some_and(|w| {
            let not = NOT.contains(&w.lower.as_str()) || taken_back_to == Some(w.end);
            not && !text[w.end..at.start].contains(SIGNS)
        });
        if taken_back {
            // "Without plated liner" takes back the liner as well.
            taken_back_to = Some(at.end);
            continue;
        }
        out.push(Named { kind: *kind, at: at.clone(), whole: parts.whole(image, at) });
    }
    out
}

/// The phrases of the kinds, wherever they stand.
fn phrases<'i>(
    image: &'i Image,
    text: &str,
    words: &[Word],
) -> Vec<(DeductionView<'i>, Range<usize>)> {
    let mut out = Vec::new();
    for d in (0..image.meta(Meta::Deductions)).map(|d| image.deduction(d)) {
        for phrase in d.say() {
            let n = phrase.split(' ').count();
            for said in words.windows(n) {
                let at = said[0].start..said[n - 1].end;
                let same = said.iter().map(|w| w.lower.as_str()).eq(phrase.split(' '));
                if same && !text[at.clone()].contains(SIGNS) {
                    out.push((d, at));
                }
            }
        }
    }
    out
}

/// Words of marks that speak of a kind as well.
fn lookalikes<'i>(image: &'i Image, text: &str) -> Vec<(DeductionView<'i>, Range<usize>)> {
    let mut out = Vec::new();
    for s in words::read(image, text).sightings {
        let What::Lookalike(device) = s.what else {
            continue;
        };
        let word = image.device(device as usize).id();
        let kinds = (0..image.meta(Meta::Deductions)).map(|d| image.deduction(d));
        let mut kinds = kinds.filter(|d| d.devices().any(|w| w == word));
        out.extend(kinds.next().map(|d| (d, s.start..s.end)));
    }
    out
}

/// A text in parts: what is said of the piece, and what is added to it.
struct Parts<'t> {
    text: &'t str,
    /// In order; the first is of the piece.
    parts: Vec<Part>,
}

struct Part {
    at: Range<usize>,
    /// Another thing is named here.
    joined: bool,
    /// The part before, and a colon, name what this one is of.
    labelled: Option<Range<usize>>,
}

impl<'t> Parts<'t> {
    fn of(text: &'t str, words: &[Word], spans: &[(DeductionView, Range<usize>)]) -> Parts<'t> {
        let within = |i: usize| {
            steps::take(1);
            let begun = spans.partition_point(|(_, at)| at.start <= i);
            begun > 0 && i < spans[begun - 1].1.end
        };
        let mut breaks: Vec<(usize, usize, bool, bool)> = text
            .char_indices()
            .filter(|(i, c)| !within(*i) && (SIGNS.contains(c) || c.is_control()))
            .map(|(i, c)| (i, i + c.len_utf8(), c == '&' || c == '+', c == ':'))
            .collect();
        breaks.extend(
            words
                .iter()
                .filter(|w| !within(w.start) && PARTING.contains(&w.lower.as_str()))
                .map(|w| (w.start, w.end, JOINING.contains(&w.lower.as_str()), false)),
        );
        breaks.sort_unstable();
        let mut parts: Vec<Part> = Vec::new();
        let (mut from, mut joined, mut colon) = (0, false, false);
        breaks.push((text.len(), text.len(), false, false));
        for (at, next, joins, labels) in breaks {
            if !text[from..at].trim().is_empty() {
                let before = parts.last().map(|p: &Part| p.at.clone());
                parts.push(Part { at: from..at, joined, labelled: before.filter(|_| colon) });
                joined = false;
            }
            (from, joined, colon) = (next, joined || joins, labels);
        }
        Parts { text, parts }
    }

    /// Are the words said of the piece itself?
    fn whole(&self, image: &Image, at: &Range<usize>) -> bool {
        let i = self.parts.partition_point(|p| p.at.end <= at.start);
        let Some(part) = self.parts.get(i) else {
            return true;
        };
        let before = end_of(&self.text[part.at.start.min(at.start)..at.start], REACH);
        let after = begin_of(&self.text[at.end..part.at.end.max(at.end)], REACH);
        if i == 0 {
            return true;
        }
        let label = part.labelled.as_ref().map(|l| &self.text[l.clone()]);
        if label.is_some_and(|l| senses(image, l).contains(&Is::Sense(Sense::Part))) {
            return false;
        }
        let pointed = cut(before).iter().any(|w| POINTING.contains(&w.lower.as_str()));
        let is_part = |what: &Is| *what == Is::Sense(Sense::Part);
        if part.joined {
            let other = |what: &Is| thing(what) || *what == Is::Unknown;
            return !(senses(image, before).iter().any(other)
                || senses(image, after).iter().any(other)
                || pointed);
        }
        let behind = senses(image, after);
        let behind = behind.iter().find(|what| !describes(what));
        !(pointed || senses(image, before).iter().any(is_part) || behind.is_some_and(thing))
    }
}

/// What the words of a text mean, one by one.
fn senses(image: &Image, text: &str) -> Vec<Is> {
    let cut = Pieces::cut(image, Text::new(image, text));
    cut.pieces.iter().map(|p| p.what).collect()
}

/// Do words name a part of a piece, and nothing of its marks?
pub(crate) fn names_part(image: &Image, label: &str) -> bool {
    let said = senses(image, label);
    let part = |what: &Is| thing(what) || *what == Is::Unknown;
    let joins = |what: &Is| matches!(what, Is::Sense(Sense::And | Sense::In | Sense::Over));
    said.iter().any(part) && said.iter().all(|what| part(what) || joins(what) || describes(what))
}

/// A part of an article, or an article.
fn thing(what: &Is) -> bool {
    matches!(what, Is::Sense(Sense::Part | Sense::Aside))
}

/// A word that only describes what stands behind it.
fn describes(what: &Is) -> bool {
    matches!(
        what,
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

/// Why what is stated of a piece lets no metal be named, or not this one.
pub(crate) fn bars(image: &Image, stated: &str, metal: Option<Metal>) -> Option<Barred> {
    let against = |d: DeductionView| match metal {
        Some(m) => d.bars(m),
        None => METALS.iter().all(|m| d.bars(*m)),
    };
    let found = named(image, stated).into_iter().find(|n| n.whole && against(n.kind))?;
    let of = metal.map_or("precious metal", export::metal);
    Some(Barred {
        why: format!(
            "What is stated speaks of {} (\"{}\"), which is no {of}.",
            found.kind.name(),
            &stated[found.at]
        ),
        remedy: "If that is said of a part alone, name the part behind \"with\".".into(),
    })
}
