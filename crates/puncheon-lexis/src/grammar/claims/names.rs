//! The offices of a claim, the names in it, and the words that may be either.

use std::ops::Range;

use puncheon_schema::image::{Meta, Sense};
use strsim::osa_distance;

use super::Reader;
use super::clauses::{claims, is_style};
use super::dates::is_date;
use crate::claim::{Claimed, Problem, Wrong};
use crate::phrase::{Is, Piece};
use crate::steps;
use crate::tree::Use;

impl Reader<'_, '_> {
    /// Letters are a mark's or a name's, and not a date's: called a letter or a maker's mark, beside a
    /// name, or away from all that is claimed.
    pub(super) fn of_a_mark(&self, k: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let clause = pieces[k].clause;
        let called = self.clauses[clause as usize].calls_letters;
        let beside = [k.checked_sub(1), Some(k + 1)];
        let beside = || beside.into_iter().flatten().filter_map(|j| pieces.get(j));
        let name = |p: &Piece| {
            matches!(p.what, Is::Unknown | Is::Initials | Is::Sense(Sense::Aside))
                && self.pieces.typed(p).starts_with(char::is_uppercase)
        };
        let far = pieces[k].what == Is::Initials
            && !beside().any(|p| p.clause == clause && claims(p.what));
        called || far || beside().any(name)
    }
    /// A second office counts only where "or" or the like stands between.
    pub(super) fn office(&mut self, k: usize, o: u32) -> Result<(), Problem> {
        let p = self.pieces.pieces[k];
        let last = self.last_office.replace(k);
        if !self.claim.offices.contains(&o) {
            let joins = |j: usize| {
                steps::take(1);
                match self.is(j) {
                    Some(Is::Sense(Sense::And)) => {
                        !self.pieces.typed(&self.pieces.pieces[j]).contains(' ')
                    }
                    what => matches!(what, Some(Is::Sense(Sense::Or) | Is::Slash)),
                }
            };
            // "London, Birmingham" lists two.
            let listed = |last: usize| {
                let end = self.pieces.pieces[last].end;
                self.pieces.text.typed[end..p.start].contains(',')
            };
            let apart = |last: usize| !(last + 1..k).all(joins) || last + 1 == k && !listed(last);
            if last.is_some_and(apart) {
                return Err(Problem::new(p.start..p.end, Wrong::SecondOffice));
            }
            self.claim.offices.push(o);
        }
        self.fates.used(k, Use::Place);
        Ok(())
    }

    /// "E.B. Birmingham 1912": letters with a sign among them that open a clause right before its office are
    /// whose mark it is. Without one they may be a word.
    pub(super) fn opens_with_a_maker(&self, k: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let opens = k == 0 || pieces[k - 1].clause != pieces[k].clause;
        let office = pieces.get(k + 1).filter(|p| p.clause == pieces[k].clause);
        let signed = self.pieces.typed(&pieces[k]).contains(['.', '&', '/']);
        opens
            && signed
            && pieces[k].what == Is::Initials
            && office.is_some_and(|p| matches!(p.what, Is::Sense(Sense::Town(_))))
    }

    pub(super) fn figures(&self, p: &Piece) -> bool {
        self.between_blanks(p).2
    }

    /// The stretch between blanks that a piece stands in, and whether a figure stands in it. Of a stretch
    /// it is looked at once, however many pieces stand in it.
    pub(super) fn between_blanks(&self, p: &Piece) -> (usize, usize, bool) {
        let known = self.word.get();
        if known.0 <= p.start && p.end <= known.1 {
            return known;
        }
        let typed = self.pieces.text.typed;
        let start = typed[..p.start]
            .char_indices()
            .rev()
            .find(|(_, c)| c.is_whitespace())
            .map_or(0, |(i, c)| i + c.len_utf8());
        let end = typed[p.end..].find(char::is_whitespace).map_or(typed.len(), |i| p.end + i);
        steps::take(end - start);
        let figure = typed[start..end].contains(|c: char| c.is_ascii_digit());
        let found = (start, end, figure);
        // A piece of several words stands in several stretches.
        if !typed[p.start..p.end].contains(char::is_whitespace) {
            self.word.set(found);
        }
        found
    }

    /// The word that a piece stands in, without the punctuation round it.
    pub(super) fn whole_word(&self, p: &Piece) -> Range<usize> {
        let typed = self.pieces.text.typed;
        let (start, end, _) = self.between_blanks(p);
        let edge = |c: char| !c.is_alphanumeric();
        let word = &typed[start..end];
        let start = start + (word.len() - word.trim_start_matches(edge).len()).min(p.start - start);
        let end = (start + typed[start..end].trim_end_matches(edge).len()).max(p.end);
        start..end
    }

    /// Capitalised words on both sides, or one and a surname behind: the word is part of a name.
    pub(super) fn part_of_a_name(&self, k: usize) -> bool {
        let name = |k: usize| {
            self.pieces.pieces.get(k).is_some_and(|p| {
                matches!(p.what, Is::Unknown | Is::Initials)
                    && self.pieces.typed(p).starts_with(|c: char| c.is_uppercase())
            })
        };
        let one_word = !self.lower(k).contains(' ');
        one_word && k > 0 && name(k - 1) && name(k + 1)
    }

    /// A word within two slips of an office's name.
    pub(super) fn like_an_office(&self, p: &Piece) -> bool {
        const SHORT: usize = 4;
        let word = self.pieces.typed(p).to_lowercase();
        let count = word.chars().count();
        let near = |id: &str| {
            let allowed = if id.len() > SHORT + 2 { 2 } else { 1 };
            id.chars().count().abs_diff(count) <= allowed && osa_distance(&word, id) <= allowed
        };
        count > SHORT
            && (0..self.image.meta(Meta::Offices)).any(|o| near(self.image.office(o).id()))
    }

    /// A name beside a date, where no office was understood, is most likely a place.
    pub(super) fn unplaced(&self) -> Result<(), Problem> {
        if !self.claim.offices.is_empty() {
            return Ok(());
        }
        let name = |p: &Piece| {
            matches!(p.what, Is::Unknown | Is::Sense(Sense::FalseFriend))
                && self.pieces.typed(p).starts_with(|c: char| c.is_uppercase())
                && self.pieces.text.has_small
        };
        let date = |p: &Piece| is_date(p.what);
        let pieces = &self.pieces.pieces;
        let beside = (0..pieces.len()).find(|k| {
            name(&pieces[*k])
                && (pieces.get(k + 1).is_some_and(date) || *k > 0 && date(&pieces[k - 1]))
        });
        beside.map_or(Ok(()), |k| Err(self.not_understood(k)))
    }
    /// A word that was not understood, in a sentence that claims something.
    pub(super) fn not_read(
        &self,
        names: &dyn Fn(&Claimed) -> Vec<Range<usize>>,
    ) -> Result<(), Problem> {
        let pieces = &self.pieces.pieces;
        let claiming = |k: &&usize| self.sentences[pieces[**k].sentence as usize];
        let mut unread = self.unread.iter().filter(claiming).peekable();
        if unread.peek().is_none() {
            return Ok(());
        }
        let mut names = names(&self.claim);
        names.sort_unstable_by_key(|n| n.start);
        // How far the names reach that begin no later than each.
        let reach: Vec<usize> = names
            .iter()
            .scan(0, |far, n| {
                *far = n.end.max(*far);
                Some(*far)
            })
            .collect();
        let named = |k: &usize| {
            let p = &pieces[*k];
            let begun = names.partition_point(|n| n.start <= p.start);
            begun > 0 && p.end <= reach[begun - 1]
        };
        unread
            .find(|k| !named(k))
            .map_or(Ok(()), |k| Err(Problem::new(self.whole_word(&pieces[*k]), Wrong::Unread)))
    }

    /// A word of dates that none was found for, or one that makes what it stands beside a style.
    pub(super) fn no_date_for(&self, k: usize) -> Problem {
        let p = self.pieces.pieces[k];
        let wrong = if is_style(p.what) { Wrong::OnlyLooks } else { Wrong::NoDate };
        Problem::new(p.start..p.end, wrong)
    }

    pub(super) fn not_understood(&self, k: usize) -> Problem {
        let p = &self.pieces.pieces[k];
        let at = self.whole_word(p);
        let word = &self.pieces.text.typed[at.clone()];
        let near = (0..self.image.meta(Meta::Offices))
            .map(|o| (osa_distance(&word.to_lowercase(), self.image.office(o).id()), o as u32))
            .min_by_key(|(d, o)| (*d, self.image.office(*o as usize).name()));
        let wrong = match near {
            Some((d, o)) if d <= 2 && self.like_an_office(p) => Wrong::MeantOffice(o),
            _ if word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit()) => Wrong::NoSuchYear,
            _ if self.figures(p) => Wrong::Figures,
            _ => Wrong::NoPlace,
        };
        Problem::new(at, wrong)
    }
}
