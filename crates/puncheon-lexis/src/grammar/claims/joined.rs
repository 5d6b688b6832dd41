//! How two dates of a claim are joined.

use puncheon_schema::image::Sense;

use super::Reader;
use super::dates::Date;
use crate::claim::{Problem, Wrong, Years};
use crate::phrase::{Is, Piece};
use crate::steps::{self, Counted};
use crate::token::TokenKind;
use crate::tree::Use;

/// The most dates of which any will do.
const MOST_SPANS: usize = 100;

/// Small words that stand between "between" and its first date.
const MOST_SMALL: usize = 4;

/// How two dates are joined.
enum Join {
    /// Either will do.
    Either,
    /// All from the one to the other.
    Through,
    /// The one narrows the other.
    Both,
}

impl Reader<'_, '_> {
    /// Puts what stands between two dates to use: "or" joins them, "to" spans them, and side by side
    /// the one narrows the other.
    pub(super) fn dates_together(&mut self) -> Result<(), Problem> {
        let typed = self.pieces.text.typed;
        let mut out: Vec<Years> = Vec::new();
        let mut last: Option<&Date> = None;
        let mut joints: Vec<usize> = Vec::new();
        for d in &self.dates {
            let Some(l) = last else {
                out.push(d.years);
                last = Some(d);
                continue;
            };
            let range = l.end.min(d.start)..d.start;
            let pieces = &self.pieces.pieces;
            let first = pieces.partition_point(|p| p.start < range.start);
            let there = || {
                let pieces = pieces[first..].iter().counted();
                pieces.take_while(|p| p.start < range.end)
            };
            // "by Eley & Fearn" joins no dates.
            let of_a_name = |p: &&Piece| matches!(p.what, Is::Unknown | Is::Sense(Sense::Aside));
            let behind = there().filter(of_a_name).map(|p| p.end.min(d.start)).max();
            let (between, there_too) = self.between(l, behind.unwrap_or(range.start), d);
            joints.extend(there_too);
            // An office and its date on each side of "or" are two claims.
            let apart = there().any(|p| matches!(p.what, Is::Sense(Sense::Town(_))));
            match between {
                Join::Either if apart => {
                    return Err(Problem::new(l.start..d.end, Wrong::TwoClaims));
                }
                Join::Either if out.len() == MOST_SPANS => {
                    return Err(Problem::new(d.start..d.end, Wrong::TooMany(MOST_SPANS)));
                }
                Join::Either => out.push(d.years),
                Join::Through => {
                    out.pop();
                    out.push(Years { from: l.years.from, to: d.years.to, one_letter: false });
                }
                Join::Both => {
                    let narrowed: Vec<Years> = out.iter().filter_map(|y| y.and(d.years)).collect();
                    if narrowed.is_empty() {
                        let (first, years) = (l.start..l.end, [l.years, d.years]);
                        let wrong = Wrong::NeverMeet { first, years };
                        return Err(Problem::new(d.start..d.end, wrong));
                    }
                    out = narrowed;
                }
            }
            last = Some(d);
        }
        if out.iter().any(|y| y.none()) {
            let at = self.dates[0].start..self.dates[self.dates.len() - 1].end;
            return Err(Problem::new(at, Wrong::NoYears));
        }
        joints.sort_unstable();
        if let Some(k) = self.open_ended(&joints) {
            return Err(self.no_date_for(k));
        }
        joints.iter().for_each(|k| self.fates.used(*k, Use::Date));
        self.claim.taken.extend(self.dates.iter().filter_map(|d| d.taken(typed)));
        self.claim.years = out;
        Ok(())
    }

    /// How what stands from a place on joins a date to the one before; with the pieces that say so.
    fn between(&self, before: &Date, from: usize, d: &Date) -> (Join, Vec<usize>) {
        let pieces = &self.pieces.pieces;
        let first = pieces.partition_point(|p| p.start < from);
        let last = pieces.partition_point(|p| p.start < d.start);
        steps::take(last - first);
        let opens = self.between_before(pieces.partition_point(|p| p.start < before.start));
        let dashed = self.dashed(from, d.start);
        if first == last && !dashed {
            return (Join::Both, Vec::new());
        }
        if let Some(opens) = opens {
            return (Join::Through, (first..last).chain([opens]).collect());
        }
        let either = |k: &usize| self.is(*k) == Some(Is::Slash) || self.opens_with(*k, Sense::Or);
        if let Some(k) = (first..last).find(either) {
            return (Join::Either, vec![k]);
        }
        // "1780 and 1790" runs from the one to the other, and "1780 & 1790" as well.
        let runs = |k: &usize| match self.means(*k) {
            Some(Sense::To) => pieces[*k].clause == pieces[before.first].clause,
            Some(Sense::And) => !self.pieces.typed(&pieces[*k]).contains(' '),
            _ => false,
        };
        match (first..last).next_back().filter(runs) {
            Some(k) => (Join::Through, vec![k]),
            None if dashed => (Join::Through, Vec::new()),
            None => (Join::Both, Vec::new()),
        }
    }

    /// "between", "between the years": the word that bounds a span, before its first date.
    fn between_before(&self, first: usize) -> Option<usize> {
        let small = |k: &usize| {
            matches!(self.means(*k), Some(Sense::Article | Sense::Filler | Sense::DateNoun))
        };
        let mut before = (0..first).rev().take(MOST_SMALL).skip_while(small);
        before.next().filter(|k| self.means(*k) == Some(Sense::Between))
    }

    /// Is a dash, or are two points, the last that stands before a place?
    fn dashed(&self, from: usize, to: usize) -> bool {
        let tokens = &self.pieces.text.tokens;
        let past = tokens.partition_point(|t| t.start < to);
        let sign = |back: usize| {
            let token = past.checked_sub(back).map(|k| tokens[k]);
            token.filter(|t| t.start >= from).map(|t| t.kind)
        };
        let point = |back| sign(back) == Some(TokenKind::Punct('.'));
        sign(1) == Some(TokenKind::Punct('-')) || point(1) && point(2)
    }

    /// "between 1780", "1780 to": a word that bounds a span, and the other end is not there.
    fn open_ended(&self, joints: &[usize]) -> Option<usize> {
        let pieces = &self.pieces.pieces;
        let beside_a_date = |k: usize| {
            let before = k.checked_sub(1).map(|j| pieces[j].end);
            before.is_some_and(|end| self.dates.binary_search_by_key(&end, |d| d.end).is_ok())
        };
        let ends = |k: usize| pieces.get(k + 1).is_none_or(|next| next.clause != pieces[k].clause);
        (0..pieces.len()).filter(|k| joints.binary_search(k).is_err()).find(|k| {
            match self.means(*k) {
                // "between 1800-1810" has both.
                Some(Sense::Between) => self.date_ahead(*k).is_some_and(|date| {
                    let at = self.dates.binary_search_by_key(&date, |d| d.first);
                    at.is_ok_and(|i| self.dates[i].plain.0 == self.dates[i].plain.1)
                }),
                Some(Sense::To) => ends(*k) && beside_a_date(*k),
                _ => false,
            }
        })
    }
}
