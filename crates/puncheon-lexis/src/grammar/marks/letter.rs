//! Date letters: the letter, the noun that calls for it, and letters that are none.

use puncheon_schema::image::Sense;

use super::{AHEAD, Clauses, Last, MOST_MARKS, Waiting};
use crate::grammar::dates::Dating;
use crate::phrase::{Is, Piece};
use crate::said::RemarkKind;
use crate::sighting::{LetterSeen, Typed, What};
use crate::steps::Counted;

impl Clauses<'_, '_> {
    pub(super) fn letter(&mut self, k: usize, to: usize) -> usize {
        let p = self.p.pieces[k];
        if self.assayer {
            self.assayer = false;
            if let Some(s) = self.out.sightings.last_mut() {
                s.end = p.end;
            }
            return k + 1;
        }
        if p.through.is_none() && self.is_article(k, to) {
            return k + 1;
        }
        if self.of_measures(k, to) {
            self.remark(k, RemarkKind::SetAside, None);
            return k + 1;
        }
        let token = self.p.text.tokens[p.token];
        let values = self.values(k);
        if let Some(last) = self.last_of_unsettled(k, to) {
            self.unsettled(k, last);
            return last + 1;
        }
        let values = match self.or_letter(k, to, values) {
            Some(values) => values,
            None => return k + 1,
        };
        let w = std::mem::take(&mut self.waiting);
        let noun = self.letter_noun.take();
        let start = [w.start, noun.map(|n| n.0), Some(p.start)]
            .into_iter()
            .flatten()
            .min()
            .unwrap_or(p.start);
        let mut seen = w.letter;
        if let Some(l) = token.lettering {
            seen.lettering.get_or_insert(l);
        }
        seen.values = values;
        if noun.is_some() {
            self.named_letters.push(self.out.sightings.len());
        }
        if w.absent.is_some() {
            self.push(What::Absent(Box::new(What::Letter(seen))), start, p.end, false, false);
        } else {
            self.push(What::Letter(seen), start, p.end, w.doubt, w.worn || w.illegible);
        }
        k + 1
    }

    /// "8 x 6 inches", "6 x teaspoons", "H 12cm" beside another letter: is the letter a sign of a measure or
    /// of a count?
    pub(super) fn of_measures(&self, k: usize, to: usize) -> bool {
        let figure = |w: Option<Is>| matches!(w, Some(Is::Number | Is::Measure));
        let thing = |w: Option<Is>| w == Some(Is::Sense(Sense::Aside));
        let before = (k > self.begins).then(|| self.is(k - 1));
        let behind = (k + 1 < to).then(|| self.is(k + 1));
        let counts =
            figure(before) && (figure(behind) || thing(behind)) || thing(before) && figure(behind);
        let alone = to - self.begins == 2 && (figure(before) || figure(behind));
        let other = || self.letters > 1;
        counts || alone && self.letter_noun.is_none() && other()
    }

    /// The letters of a piece: one, or all of a range.
    pub(super) fn through(&self, p: Piece, first: Typed) -> Vec<Typed> {
        let byte = |token: usize| {
            let word = self.p.text.word(&self.p.text.tokens[token]);
            word.as_bytes()[0].to_ascii_uppercase()
        };
        let Some(last) = p.through else {
            return vec![first];
        };
        (byte(p.token)..=byte(last))
            .map(|b| self.typed(&char::from(b).to_string(), first.upper))
            .collect()
    }

    /// "letter after f", "F or later", "letter a to f": the last piece of words that leave open which
    /// letter it is. One letter alone of them would be a wrong answer.
    pub(super) fn last_of_unsettled(&self, k: usize, to: usize) -> Option<usize> {
        let at = |j: usize| (j < to).then(|| self.is(j));
        let called_for = self.letter_noun.is_some() || self.waiting.letter != LetterSeen::default();
        let more = matches!(
            (at(k + 1), at(k + 2)),
            (
                Some(Is::Sense(Sense::Or)),
                Some(
                    Is::Unknown
                        | Is::Sense(
                            Sense::Aside
                                | Sense::FalseFriend
                                | Sense::Before
                                | Sense::After
                                | Sense::Early
                                | Sense::Late
                        )
                )
            )
        );
        let d = &self.dating;
        let apart = d.after || d.before || d.since || d.until;
        let before = (k > self.begins).then(|| self.is(k - 1));
        // "before k", "between k and m": the word stands directly before the letter.
        let beside = apart
            && matches!(
                before,
                Some(Is::Sense(Sense::Before | Sense::After | Sense::NotBefore | Sense::NotAfter))
            );
        let joint = match before {
            Some(Is::Sense(Sense::Beside)) => Sense::And,
            _ => Sense::Filler,
        };
        let range = (called_for || beside || joint == Sense::And)
            && at(k + 1) == Some(Is::Sense(joint))
            && at(k + 2) == Some(Is::Letter)
            && self.in_order(k, k + 2);
        // "k or earlier"
        let earlier = at(k + 1) == Some(Is::Sense(Sense::Or))
            && at(k + 2) == Some(Is::Sense(Sense::Filler))
            && k + 3 == to;
        if more || range || earlier {
            return Some(k + 2);
        }
        ((called_for || beside) && apart).then_some(k)
    }

    /// Are the letters of two pieces of one case, the first before the second?
    pub(super) fn in_order(&self, a: usize, b: usize) -> bool {
        let token = |k: usize| &self.p.text.tokens[self.p.pieces[k].token];
        let (a, b) = (token(a), token(b));
        a.upper == b.upper && self.p.text.word(a) < self.p.text.word(b)
    }

    /// "c, e or g", "h (or n)", "c, could be e": a letter that opens its clause, but for words of
    /// choice or doubt, goes on the list of the letter just before.
    pub(super) fn listed(&self, k: usize, to: usize) -> bool {
        let first = self.begins;
        let choice =
            |p: &&Piece| matches!(p.what, Is::Sense(Sense::Or | Sense::Doubt | Sense::LooksLike));
        let plain = |p: &&Piece| matches!(p.what, Is::Sense(Sense::Filler | Sense::Article));
        let lead = &self.p.pieces[first..k];
        let chosen = lead.len() <= AHEAD
            && lead.iter().counted().any(|p| choice(&p))
            && lead.iter().counted().all(|p| choice(&p) || plain(&p));
        let or_letter = |from: usize| {
            let rest: Vec<Is> = self.p.pieces[from..].iter().take(2).map(|p| p.what).collect();
            rest == [Is::Sense(Sense::Or), Is::Letter]
        };
        let opens_list = lead.is_empty() && (or_letter(k + 1) || k + 1 == to && or_letter(to));
        let before = first > 0
            && self.out.sightings.last().is_some_and(|s| {
                matches!(&s.what, What::Letter(l) if !l.values.is_empty())
                    && s.end == self.p.pieces[first - 1].end
            });
        before && (chosen || opens_list) && self.waiting.letter == LetterSeen::default()
    }

    /// "small f date letter": the letter just before the noun is the date letter.
    pub(super) fn name_letter_before(&mut self, k: usize, to: usize) {
        let n = self.out.sightings.len();
        let letter_ahead = self.letter_behind(k, to);
        let adjacent = n > self.first_here
            && k > 0
            && self.out.sightings[n - 1].end == self.p.pieces[k - 1].end;
        if !adjacent || letter_ahead {
            return;
        }
        // "crown date letter": a picture may be a letter where an office struck it for one.
        if let Some(symbol) = self.symbol(k - 1) {
            let seen =
                LetterSeen { values: vec![self.typed(&symbol, None)], ..LetterSeen::default() };
            self.out.sightings[n - 1].what = What::Letter(seen);
        }
        if matches!(self.out.sightings[n - 1].what, What::Letter(_)) {
            self.named_letters.push(n - 1);
            self.letter_noun = None;
            self.out.sightings[n - 1].end = self.p.pieces[k].end;
        }
    }

    /// A letter as typed, by its plain form.
    pub(super) fn typed(&self, plain: &str, upper: Option<bool>) -> Typed {
        let value = self.image.value_of(plain).map(|v| v as u32);
        let shown = match upper {
            Some(false) => plain.to_ascii_lowercase(),
            _ => plain.to_string(),
        };
        Typed { value, upper, shown }
    }

    /// A letter's noun still waiting when another mark comes was a letter not read.
    pub(super) fn end_letter_noun(&mut self) {
        if let Some((start, end)) = self.letter_noun.take() {
            self.unread_letter(start, end);
        }
    }

    pub(super) fn unread_letter(&mut self, start: usize, end: usize) {
        let w = std::mem::take(&mut self.waiting);
        // "k, capital letter": the style is the letter's just before.
        let here = self.first_here;
        let before = self.out.sightings.len() == here;
        if let Some(s) = self.out.sightings.last_mut()
            && before
            && w.letter != LetterSeen::default()
            && let What::Letter(l) = &mut s.what
        {
            l.case = l.case.or(w.letter.case);
            l.lettering = l.lettering.or(w.letter.lettering);
            s.end = s.end.max(end);
            return;
        }
        let start = w.start.map_or(start, |s| s.min(start));
        self.named_letters.push(self.out.sightings.len());
        self.push(What::Letter(w.letter), start, end, w.doubt, w.worn);
    }

    /// "date letter: k", "date letter (k)": does the next clause of the sentence open with a letter?
    pub(super) fn letter_opens(&self, to: usize) -> bool {
        let Some(first) = self.p.pieces.get(to) else {
            return false;
        };
        if first.sentence != self.p.pieces[to - 1].sentence || self.waiting.illegible {
            return false;
        }
        // "date letter: a" calls for a letter more than "date letter, a lion" does.
        let called_for = self.is(to - 1) == Is::Colon && !self.waiting.worn;
        let clause = self.p.pieces[to..].iter();
        let end = to + clause.take_while(|p| p.clause == first.clause).count();
        (to..end)
            .find(|k| {
                !matches!(
                    self.is(*k),
                    Is::Sense(
                        Sense::Case(_)
                            | Sense::Lettering(_)
                            | Sense::Doubt
                            | Sense::Worn
                            | Sense::Article
                            | Sense::Filler
                            | Sense::LooksLike
                    ) | Is::Colon
                )
            })
            .is_some_and(|k| self.is(k) == Is::Letter && !self.article(k, end, called_for))
    }

    /// Does a letter stand in the clause behind piece `k`?
    pub(super) fn letter_behind(&self, k: usize, to: usize) -> bool {
        let letter = |w: Is| w == Is::Letter;
        let last = *self.whole.letter.get_or_init(|| self.last_in_clause(to, letter));
        last.is_some_and(|last| last > k)
    }

    /// The symbol that an office struck for a date letter, if the word is its name.
    pub(super) fn symbol(&self, k: usize) -> Option<String> {
        let p = &self.p.pieces[k];
        let word = self.p.text.word(&self.p.text.tokens[p.token]);
        (p.what != Is::Letter && self.image.symbol_of(word).is_some())
            .then(|| format!("{{{word}}}"))
    }

    pub(super) fn initials_before(&self, k: usize) -> bool {
        k > 0 && self.is(k - 1) == Is::Sense(Sense::OfInitials)
    }

    /// The noun that calls for a letter, or names the one before it.
    pub(super) fn letter_word(&mut self, k: usize, to: usize) {
        let p = self.p.pieces[k];
        self.end_letter_noun();
        if self.waiting.absent.is_some() {
            self.absent(What::Letter(LetterSeen::default()), p.end);
        } else if self.initials_before(k) {
            self.remark(k, RemarkKind::SetAside, None);
        } else {
            self.letter_noun = Some((p.start, p.end));
            // "f date letter": the noun after its letter.
            self.name_letter_before(k, to);
        }
    }

    /// "first letter K": it is the maker's, and no date letter.
    pub(super) fn of_initials(&mut self, k: usize, to: usize) -> usize {
        let plain = |j: &usize| !matches!(self.is(*j), Is::Sense(Sense::Filler | Sense::Article));
        let letter = |j: &usize| matches!(self.is(*j), Is::Letter | Is::Initials);
        let noun = (k + 1..to)
            .counted()
            .find(plain)
            .filter(|j| self.is(*j) == Is::Sense(Sense::LetterNoun));
        let after = noun.map_or(k + 1, |j| j + 1);
        let end = (after..to).next().filter(letter).or(noun).unwrap_or(k);
        self.remark_pieces(k, end, RemarkKind::SetAside, None);
        end + 1
    }

    /// The letters of a piece, as typed.
    fn values(&self, k: usize) -> Vec<Typed> {
        let p = self.p.pieces[k];
        let token = self.p.text.tokens[p.token];
        let symbol = self.symbol(k).filter(|_| self.letter_noun.is_some());
        let typed = match symbol {
            Some(symbol) => self.typed(&symbol, None),
            None => {
                let plain = self.p.text.word(&token).to_ascii_uppercase();
                // In a text of capitals alone the case says nothing.
                self.typed(&plain, self.p.text.has_small.then_some(token.upper))
            }
        };
        self.through(p, typed)
    }

    /// A letter was there, up to piece `last`; which is not known.
    fn unsettled(&mut self, k: usize, last: usize) {
        let p = self.p.pieces[k];
        let start = self.dating.start.map_or(p.start, |s| s.min(p.start));
        let end = self.p.pieces[last].end;
        self.dating = Dating::default();
        // The words are the mark's, though what they say of it was not understood.
        self.remark_span(start, end, RemarkKind::NotUnderstood, None);
        self.letter_noun.get_or_insert((start, end));
    }

    /// Adds letters to those of the mark before, where they are another reading of it; else gives them back.
    fn or_letter(&mut self, k: usize, to: usize, values: Vec<Typed>) -> Option<Vec<Typed>> {
        let end = self.p.pieces[k].end;
        let listed = self.listed(k, to);
        let other = (self.or || self.stroke || listed)
            && self.letter_noun.is_none()
            && (listed || self.out.sightings.len() > self.first_here);
        let before = self.out.sightings.last_mut().filter(|_| other);
        let Some(s) = before else { return Some(values) };
        let What::Letter(l) = &mut s.what else { return Some(values) };
        if l.values.is_empty() {
            return Some(values);
        }
        // "small n or capital K": a style before the second is its own, and says nothing of both.
        if self.waiting.start.is_some() {
            l.case = None;
            l.lettering = None;
            self.waiting = Waiting::default();
        }
        if l.values.len() < MOST_MARKS {
            l.values.extend(values);
            s.end = end;
        } else {
            self.remark(k, RemarkKind::SetAside, None);
        }
        if listed {
            self.waiting = Waiting::default();
        }
        self.or = false;
        self.stroke = false;
        self.first_here = self.out.sightings.len() - 1;
        self.last = Last::Mark;
        None
    }
}
