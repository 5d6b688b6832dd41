//! Pieces to marks, clause by clause.
//!
//! An adjective goes to the noun beside it, what follows a maker's mark goes to the maker, and
//! towns, dates and standards that are stated and not shown go to what is claimed.

use std::cell::OnceCell;

use puncheon_schema::entry::{Case, DeviceKind, Metal, Slot};
use puncheon_schema::image::{Image, Sense};

use crate::lexis::grammar::dates::{Dating, century};
use crate::lexis::near::nearest;
use crate::lexis::phrase::{Is, Piece, Pieces};
use crate::lexis::said::{Kind, Remark, RemarkKind, Stated};
use crate::lexis::sighting::{LetterSeen, Sighting, Sightings, Typed, What};
use crate::lexis::steps::{self, Counted};

/// More marks than any one set has, or two, and more than one mark can be taken for: what follows is put
/// aside, so that a page of text is no slower to read than a line.
const MOST_MARKS: usize = 60;
/// How far ahead in a clause a noun is looked for, and how far back words that join it to another.
const AHEAD: usize = 40;

/// Adjectives waiting for the noun they belong to.
#[derive(Clone, Debug, Default)]
struct Waiting {
    letter: LetterSeen,
    start: Option<usize>,
    doubt: bool,
    worn: bool,
    illegible: bool,
    absent: Option<usize>,
}

/// The last thing said, which a question mark doubts.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Last {
    Nothing,
    Mark,
    Case,
    Lettering,
    Outline,
}

/// What was found out of a whole clause, once, however many of its pieces ask.
#[derive(Default)]
struct Whole {
    /// It names a part of the piece, and nothing else.
    part: OnceCell<bool>,
    /// A date stands in it, or alone in the next or the one before.
    dated: OnceCell<bool>,
    /// Its last piece of a sort.
    plain: OnceCell<Option<usize>>,
    letter: OnceCell<Option<usize>>,
    style: OnceCell<Option<usize>>,
    town: OnceCell<Option<usize>>,
    standard: OnceCell<Option<usize>>,
}

pub(crate) struct Clauses<'i, 't> {
    image: &'i Image,
    p: Pieces<'t>,
    out: Sightings,
    /// Sightings that were called the date letter in so many words.
    named_letters: Vec<usize>,
    /// Words that mean a lookalike if they stand alone: the claim's number and the meaning.
    alone: Vec<(usize, u32)>,
    waiting: Waiting,
    last: Last,
    /// First piece of the clause.
    begins: usize,
    whole: Whole,
    /// The last letter of the text.
    last_letter: Option<usize>,
    /// How many single letters the text has.
    letters: usize,
    /// First sighting of the clause.
    first_here: usize,
    /// First sighting of the sentence.
    first_of_sentence: usize,
    /// Words now belong to a sponsor's mark.
    sponsor: Option<usize>,
    sponsor_read: bool,
    /// The clause before was a sponsor's.
    sponsor_before: bool,
    assayer: bool,
    letter_noun: Option<(usize, usize)>,
    or: bool,
    /// A stroke stands before: only letters take it for "or".
    stroke: bool,
    /// "town mark:" waits for its device.
    label: Option<usize>,
    /// The clause stands behind a colon.
    labelled: bool,
    /// The clause is one piece.
    alone_in_clause: bool,
    after_in: bool,
    claim: bool,
    made_in: bool,
    dating: Dating,
    part: usize,
    lettered: bool,
    /// The clauses that name a piece each, "spoon: …; fork: …", in order: the first piece of the clause, and
    /// one past the last of the name.
    named: Vec<(usize, usize)>,
}

impl<'i, 't> Clauses<'i, 't> {
    pub fn read(image: &'i Image, p: Pieces<'t>) -> Sightings {
        let lettered_parts = labels_by_letter(&p);
        let named = labels_by_name(&p);
        let mut c = Clauses {
            image,
            out: Sightings { parts: vec![String::new()], ..Sightings::default() },
            named_letters: Vec::new(),
            alone: Vec::new(),
            waiting: Waiting::default(),
            last: Last::Nothing,
            begins: 0,
            whole: Whole::default(),
            last_letter: p.pieces.iter().rposition(|p| p.what == Is::Letter),
            letters: p.pieces.iter().filter(|p| p.what == Is::Letter).count(),
            first_here: 0,
            first_of_sentence: 0,
            sponsor: None,
            sponsor_read: false,
            sponsor_before: false,
            assayer: false,
            letter_noun: None,
            or: false,
            stroke: false,
            label: None,
            labelled: false,
            alone_in_clause: false,
            after_in: false,
            claim: false,
            made_in: false,
            dating: Dating::default(),
            part: 0,
            lettered: lettered_parts,
            named,
            p,
        };
        let mut i = 0;
        while i < c.p.pieces.len() {
            let clause = c.p.pieces[i].clause;
            let len = c.p.pieces[i..].iter().take_while(|p| p.clause == clause).count();
            c.clause(i, i + len);
            i += len;
        }
        c.finish()
    }

    fn is(&self, k: usize) -> Is {
        self.p.pieces[k].what
    }

    fn clause(&mut self, from: usize, to: usize) {
        self.open_clause(from);
        self.alone_in_clause = to == from + 1;
        // A sign counts wherever it stands, among a maker's words too.
        for k in from..to {
            if let Is::Sense(Sense::Sign(sign)) = self.is(k)
                && !self.out.signs.contains(&sign)
                && !self.denied(from, k)
            {
                self.out.signs.push(sign);
            }
        }
        if let Ok(n) = self.named.binary_search_by_key(&from, |n| n.0) {
            self.start_part(from, self.named[n].1);
            return;
        }
        if self.lettered && to == from + 1 && self.in_brackets(from) {
            self.start_part(from, from + 1);
            return;
        }
        // "HT (Henry Tudor)": what stands in brackets behind the maker's mark is the maker's.
        let bracket = self.p.text.typed[..self.p.pieces[from].start]
            .trim_end_matches(['"', '\'', ' '])
            .ends_with(['(', '[']);
        if self.sponsor_before && bracket && !self.noun_in(from, to) {
            self.extend_sponsor(to - 1);
            return;
        }
        if self.sponsor_before && self.ends_beside(from, to) {
            self.extend_sponsor(to - 1);
            return;
        }
        if self.adjectives_alone(from, to) && self.bind_alone(from, to) {
            return;
        }
        let mut k = from;
        while k < to {
            k = self.piece(k, to);
        }
        self.close_clause(to);
    }

    /// "marks not let in", "not a marriage": does a word of absence stand directly before?
    fn denied(&self, from: usize, k: usize) -> bool {
        let plain = |p: &&Piece| {
            !matches!(p.what, Is::Sense(Sense::Filler | Sense::Article | Sense::MarkNoun))
        };
        let before = self.p.pieces[from..k].iter().rev().take(AHEAD).find(plain);
        before.is_some_and(|p| p.what == Is::Sense(Sense::Absent))
    }

    /// Does a noun of another mark, or a repeat, stand in the clause?
    fn noun_in(&self, from: usize, to: usize) -> bool {
        self.p.pieces[from..to].iter().any(|p| {
            matches!(
                p.what,
                Is::Sense(
                    Sense::LetterNoun
                        | Sense::SlotNoun(_)
                        | Sense::StandardNoun
                        | Sense::Repeat
                        | Sense::Device(_)
                )
            )
        })
    }

    /// "(a)"
    fn in_brackets(&self, k: usize) -> bool {
        let p = &self.p.pieces[k];
        let typed = self.p.text.typed;
        p.what == Is::Letter && typed[..p.start].ends_with('(') && typed[p.end..].starts_with(')')
    }

    fn open_clause(&mut self, from: usize) {
        self.begins = from;
        self.whole = Whole::default();
        let new_sentence =
            from > 0 && self.p.pieces[from].sentence != self.p.pieces[from - 1].sentence;
        self.sponsor_before = !new_sentence
            && (self.sponsor.is_some()
                || self.out.sightings.last().is_some_and(|s| {
                    s.what == What::Sponsor && from > 0 && s.end == self.p.pieces[from - 1].end
                }));
        // "maker's mark: …" goes on past the colon, unless the maker was read before it.
        self.labelled = from > 0 && self.is(from - 1) == Is::Colon;
        if !self.labelled || self.sponsor_read {
            self.sponsor = None;
            self.sponsor_read = false;
            self.assayer = false;
        }
        self.or = false;
        self.stroke = false;
        self.after_in = false;
        self.first_here = self.out.sightings.len();
        if new_sentence {
            self.first_of_sentence = self.out.sightings.len();
            self.claim = false;
            self.made_in = false;
            self.waiting = Waiting::default();
        }
    }

    fn close_clause(&mut self, to: usize) {
        // "duty: no"
        if self.labelled && self.alone_in_clause && self.waiting.absent.take().is_some() {
            self.waiting = Waiting::default();
            self.absent_after(self.p.pieces[to - 1].end);
        }
        if self.letter_noun.is_some() && self.letter_opens(to) {
            return;
        }
        if let Some((start, end)) = self.letter_noun.take() {
            self.unread_letter(start, end);
        }
        // Adjectives that found no noun in their clause go back to its letter.
        self.give_back();
    }

    /// "date letter: k", "date letter (k)": does the next clause of the sentence open with a letter?
    fn letter_opens(&self, to: usize) -> bool {
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

    fn unread_letter(&mut self, start: usize, end: usize) {
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

    fn give_back(&mut self) {
        if self.waiting.start.is_none() {
            return;
        }
        let w = std::mem::take(&mut self.waiting);
        let here = self.first_here;
        if let Some(s) = self.out.sightings.get_mut(here..).and_then(|v| v.last_mut()) {
            s.worn |= w.worn;
            s.doubt |= w.doubt;
        } else if w.letter != LetterSeen::default() || w.absent.is_some() {
            // Keep what may belong to the next clause's letter.
            self.waiting = w;
        }
    }

    fn push(&mut self, what: What, start: usize, end: usize, doubt: bool, worn: bool) {
        if self.out.sightings.len() == MOST_MARKS {
            self.remark_span(start, end, RemarkKind::SetAside, None);
            return;
        }
        self.out.sightings.push(Sighting {
            start,
            end,
            what,
            doubt,
            form_doubt: false,
            worn,
            part: self.part,
        });
        self.last = Last::Mark;
        self.claim = false;
        self.after_in = false;
        self.or = false;
        self.stroke = false;
        self.label = None;
    }

    fn remark(&mut self, k: usize, kind: RemarkKind, nearest: Option<String>) {
        let p = self.p.pieces[k];
        self.remark_span(p.start, p.end, kind, nearest);
    }

    fn remark_span(
        &mut self,
        start: usize,
        end: usize,
        remark: RemarkKind,
        nearest: Option<String>,
    ) {
        self.out.remarks.push(Remark { start, end, remark, nearest });
    }

    /// The last piece of this sort in the clause.
    fn last_in_clause(&self, to: usize, sort: impl Fn(Is) -> bool) -> Option<usize> {
        let back = (self.begins..to).rev();
        back.counted().find(|k| sort(self.is(*k)))
    }

    /// Does the clause end in "above", "below", "beneath" or "between"?
    fn ends_beside(&self, from: usize, to: usize) -> bool {
        let plain = |w: Is| !matches!(w, Is::Sense(Sense::Filler | Sense::Article));
        let last = *self.whole.plain.get_or_init(|| self.last_in_clause(to, plain));
        last.is_some_and(|k| k >= from && self.is(k) == Is::Sense(Sense::Beside))
    }

    /// Does a letter stand in the clause behind piece `k`?
    fn letter_behind(&self, k: usize, to: usize) -> bool {
        let letter = |w: Is| w == Is::Letter;
        let last = *self.whole.letter.get_or_init(|| self.last_in_clause(to, letter));
        last.is_some_and(|last| last > k)
    }

    fn extend_sponsor(&mut self, k: usize) {
        let end = self.p.pieces[k].end;
        if let Some(s) = self.out.sightings.iter_mut().rev().find(|s| s.what == What::Sponsor) {
            s.end = s.end.max(end);
        }
    }

    /// Is there nothing in the clause but adjectives of a letter?
    fn adjectives_alone(&self, from: usize, to: usize) -> bool {
        let mut some = false;
        self.p.pieces[from..to].iter().all(|p| match p.what {
            Is::Sense(
                Sense::Case(_)
                | Sense::Lettering(_)
                | Sense::Outline(_)
                | Sense::Worn
                | Sense::Illegible
                | Sense::Doubt,
            )
            | Is::Question => {
                some = true;
                true
            }
            Is::Sense(
                Sense::Decorative
                | Sense::In
                | Sense::Article
                | Sense::Filler
                | Sense::And
                | Sense::Or
                | Sense::MarkNoun
                | Sense::LooksLike
                | Sense::Repeat,
            ) => true,
            _ => false,
        }) && some
    }

    /// Gives a clause of adjectives to the letter beside it. False if the usual way will do.
    fn bind_alone(&mut self, from: usize, to: usize) -> bool {
        let of_letters = self.p.pieces[from..to]
            .iter()
            .any(|p| matches!(p.what, Is::Sense(Sense::Case(_) | Sense::Lettering(_))));
        let before = self.out.sightings.last().map(|s| &s.what);
        let is_letter = matches!(before, Some(What::Letter(_)));
        if before.is_none() && !of_letters {
            return false;
        }
        if is_letter || !of_letters {
            self.first_here = self.out.sightings.len() - 1;
            for k in from..to {
                self.piece_back(k);
            }
            return true;
        }
        if before == Some(&What::Sponsor) {
            return true;
        }
        // The next clause's letter, if it begins with one.
        let mut ahead = self.p.pieces[to..].iter().take(AHEAD).counted();
        let next = ahead.find(|p| {
            !matches!(
                p.what,
                Is::Sense(
                    Sense::Article
                        | Sense::Filler
                        | Sense::Case(_)
                        | Sense::Lettering(_)
                        | Sense::Outline(_)
                )
            )
        });
        if next.is_some_and(|p| matches!(p.what, Is::Letter | Is::Sense(Sense::LetterNoun))) {
            return false;
        }
        let letter_somewhere = self.out.sightings.iter().any(|s| matches!(s.what, What::Letter(_)))
            || self.last_letter.is_some_and(|k| k >= to);
        if letter_somewhere {
            let (start, end) = (self.p.pieces[from].start, self.p.pieces[to - 1].end);
            self.remark_span(start, end, RemarkKind::Ambiguous, None);
        }
        true
    }

    /// An adjective that can only go back to the mark before it.
    fn piece_back(&mut self, k: usize) {
        let p = self.p.pieces[k];
        match p.what {
            Is::Sense(s @ (Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_))) => {
                let doubt = std::mem::take(&mut self.waiting.doubt);
                self.waiting = Waiting::default();
                self.style_last(s, doubt, p.end);
            }
            Is::Sense(Sense::Worn) => self.mark_last(|s| s.worn = true),
            Is::Sense(Sense::Doubt) => {
                let adjective_follows = self.p.pieces.get(k + 1).is_some_and(|n| {
                    n.clause == p.clause
                        && matches!(
                            n.what,
                            Is::Sense(Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_))
                        )
                });
                if adjective_follows {
                    self.waiting.doubt = true;
                } else {
                    self.mark_last(|s| s.doubt = true);
                }
            }
            Is::Sense(Sense::Illegible) => self.mark_last(|s| {
                if let What::Letter(l) = &mut s.what {
                    l.values.clear();
                } else {
                    s.worn = true;
                }
            }),
            Is::Question => self.doubt_last(),
            _ => {}
        }
    }

    fn mark_last(&mut self, f: impl FnOnce(&mut Sighting)) {
        if let Some(s) = self.out.sightings.last_mut() {
            f(s);
        }
    }

    /// Gives a case, lettering or outline to the last letter. Other marks have none.
    fn style_last(&mut self, sense: Sense, doubt: bool, end: usize) {
        let Some(s) = self.out.sightings.last_mut() else {
            return;
        };
        let What::Letter(l) = &mut s.what else { return };
        s.end = s.end.max(end);
        self.last = style(l, sense, doubt);
    }

    /// Does a question mark stand after a date, a number or a word that is no mark?
    fn of_no_mark(&self, k: usize) -> bool {
        k > 0
            && matches!(
                self.is(k - 1),
                Is::Years(..)
                    | Is::Number
                    | Is::Measure
                    | Is::Ordinal(_)
                    | Is::Unknown
                    | Is::Sense(
                        Sense::Aside
                            | Sense::FalseFriend
                            | Sense::Reign(_)
                            | Sense::Century
                            | Sense::Pseudo
                    )
            )
    }

    /// A question mark doubts the word before it.
    fn doubt_last(&mut self) {
        if self.waiting.start.is_some() {
            let l = &mut self.waiting.letter;
            match self.last {
                Last::Case => l.case_doubt = true,
                Last::Lettering => l.lettering_doubt = true,
                Last::Outline => l.outline_doubt = true,
                _ => self.waiting.doubt = true,
            }
            return;
        }
        if let Some((start, end)) = self.letter_noun.take() {
            self.unread_letter(start, end);
            return;
        }
        let last = self.last;
        if let Some(s) = self.out.sightings.last_mut() {
            match (&mut s.what, last) {
                (What::Letter(l), Last::Case) => l.case_doubt = true,
                (What::Letter(l), Last::Lettering) => l.lettering_doubt = true,
                (What::Letter(l), Last::Outline) => l.outline_doubt = true,
                (_, Last::Outline) => {}
                _ => s.doubt = true,
            }
        }
    }

    /// The next noun of the clause after piece `k`.
    fn next_noun(&self, k: usize, to: usize) -> Option<Is> {
        let ahead = (k + 1..to.min(k + AHEAD)).counted();
        ahead.map(|j| self.is(j)).find(|w| {
            matches!(
                w,
                Is::Letter
                    | Is::Initials
                    | Is::Sense(
                        Sense::LetterNoun
                            | Sense::Device(_)
                            | Sense::SlotNoun(_)
                            | Sense::StandardNoun
                            | Sense::SponsorNoun
                            | Sense::Town(_)
                            | Sense::Standard(_)
                    )
            )
        })
    }

    /// Does a noun or adjective of a mark follow at once?
    fn follows_at_once(&self, k: usize, to: usize) -> bool {
        let next = (k + 1..to)
            .counted()
            .map(|j| self.is(j))
            .find(|w| !matches!(w, Is::Sense(Sense::Article | Sense::Filler)));
        matches!(
            next,
            Some(
                Is::Letter
                    | Is::Sense(
                        Sense::LetterNoun
                            | Sense::Device(_)
                            | Sense::SlotNoun(_)
                            | Sense::StandardNoun
                            | Sense::Case(_)
                            | Sense::Lettering(_)
                            | Sense::Outline(_)
                            | Sense::SponsorNoun
                            | Sense::Town(_)
                    )
            )
        )
    }

    /// Reads piece `k` and returns the next.
    fn piece(&mut self, k: usize, to: usize) -> usize {
        steps::take(1);
        let p = self.p.pieces[k];
        // "date letter {crown}": a symbol that an office struck for a letter.
        if self.letter_noun.is_some() && self.symbol(k).is_some() {
            return self.letter(k, to);
        }
        // A sponsor's clause swallows everything but the nouns that end it.
        if let Some(s) = self.sponsor
            && self.swallowed(k, to)
        {
            self.sponsor_read |= matches!(
                p.what,
                Is::Initials | Is::Letter | Is::Sense(Sense::Worn | Sense::Illegible)
            );
            self.out.sightings[s].end = p.end;
            return k + 1;
        }
        match p.what {
            Is::Sense(sense) => return self.sense(k, to, sense),
            Is::Letter => return self.letter(k, to),
            Is::Initials => self.initials(k, to),
            Is::Number => self.remark(k, RemarkKind::SetAside, None),
            Is::Measure => self.remark(k, RemarkKind::SetAside, None),
            Is::Years(a, b) => self.years(k, a, b),
            Is::Ordinal(n) => {
                if k + 1 < to && self.is(k + 1) == Is::Sense(Sense::Century) {
                    let (from, to) = century(n);
                    self.years_over(k, k + 1, from, to);
                    return k + 2;
                }
                self.remark(k, RemarkKind::SetAside, None);
            }
            Is::Question if self.of_no_mark(k) => {}
            Is::Question => self.doubt_last(),
            Is::Slash => self.stroke = true,
            Is::Colon => {}
            Is::Unknown => self.unknown(k),
        }
        k + 1
    }

    /// The symbol that an office struck for a date letter, if the word is its name.
    fn symbol(&self, k: usize) -> Option<String> {
        let p = &self.p.pieces[k];
        let word = self.p.text.word(&self.p.text.tokens[p.token]);
        (p.what != Is::Letter && self.image.symbol_of(word).is_some())
            .then(|| format!("{{{word}}}"))
    }

    fn unknown(&mut self, k: usize) {
        let word = self.p.typed(&self.p.pieces[k]).to_lowercase();
        let limit = if word.len() < 6 { 1 } else { 2 };
        let near = (word.is_ascii() && word.len() > 3)
            .then(|| nearest(self.image, &word, limit))
            .flatten()
            // A word that only stands inside phrases is no help to one who typed it.
            .filter(|(distance, _)| *distance > 0)
            .and_then(|(_, ids)| ids.into_iter().find(|id| self.image.word_tells(*id)))
            .map(|id| self.image.word_str(id).to_string());
        self.remark(k, RemarkKind::NotUnderstood, near);
        self.last = Last::Nothing;
    }

    /// Does the piece belong to the sponsor's mark now being read?
    fn swallowed(&mut self, k: usize, to: usize) -> bool {
        match self.is(k) {
            Is::Sense(
                Sense::LetterNoun
                | Sense::SlotNoun(_)
                | Sense::StandardNoun
                | Sense::ClaimIntro
                | Sense::Absent,
            ) => {
                self.sponsor = None;
                false
            }
            // "struck with maker's mark and lion passant"
            Is::Sense(Sense::Device(_) | Sense::Town(_))
                if self.and_after_maker(k)
                    && !self.ends_beside(k, to)
                    // "maker's mark AB and crown," is all the maker's.
                    && (!self.sponsor_read || k + 1 < to || self.one_clause()) =>
            {
                self.sponsor = None;
                false
            }
            // "makers mark lion anchor k": marks of two sorts are no maker's.
            Is::Sense(Sense::Device(_)) if self.one_clause() && self.two_sorts_from(k, to) => {
                self.sponsor = None;
                false
            }
            // A description without any comma would lose all its marks to the maker: there the
            // initials end his mark.
            Is::Sense(Sense::Device(_) | Sense::Case(_) | Sense::Lettering(_)) | Is::Letter
                if self.sponsor_read
                    && self.one_clause()
                    && !self.ends_beside(k, to)
                    && !self.beside_before(k) =>
            {
                self.sponsor = None;
                false
            }
            _ => true,
        }
    }

    /// Do devices of an office and of a standard, or a letter, follow from here?
    fn two_sorts_from(&self, k: usize, to: usize) -> bool {
        let of_kind = |w: Is, kind: DeviceKind| matches!(w, Is::Sense(Sense::Device(d)) if self.image.device(d as usize).kind() == kind);
        let last = |kind: DeviceKind| self.last_in_clause(to, |w| of_kind(w, kind));
        let town = self.whole.town.get_or_init(|| last(DeviceKind::Town));
        let standard = self.whole.standard.get_or_init(|| last(DeviceKind::Standard));
        *town >= Some(k) && *standard >= Some(k)
    }

    /// Does "and" stand before, directly behind the maker's noun or initials?
    fn and_after_maker(&self, k: usize) -> bool {
        let before = |j: usize| {
            self.p.pieces[..j]
                .iter()
                .rev()
                .take(AHEAD)
                .counted()
                .position(|p| !matches!(p.what, Is::Sense(Sense::Article | Sense::Filler)))
                .map(|back| j - 1 - back)
        };
        before(k)
            .filter(|j| self.is(*j) == Is::Sense(Sense::And))
            .and_then(before)
            .is_some_and(|j| matches!(self.is(j), Is::Initials | Is::Sense(Sense::SponsorNoun)))
    }

    fn beside_before(&self, k: usize) -> bool {
        self.p.pieces[..k]
            .iter()
            .rev()
            .counted()
            .take_while(|p| {
                matches!(
                    p.what,
                    Is::Sense(
                        Sense::Beside
                            | Sense::In
                            | Sense::Over
                            | Sense::And
                            | Sense::Article
                            | Sense::Filler
                    )
                )
            })
            .any(|p| {
                matches!(p.what, Is::Sense(Sense::Beside | Sense::In | Sense::Over | Sense::And))
            })
    }

    fn one_clause(&self) -> bool {
        self.p.pieces.first().map(|p| p.clause) == self.p.pieces.last().map(|p| p.clause)
    }

    fn sense(&mut self, k: usize, to: usize, sense: Sense) -> usize {
        let p = self.p.pieces[k];
        match sense {
            Sense::Filler
            | Sense::Article
            | Sense::MarkNoun
            | Sense::LooksLike
            | Sense::Decorative
            | Sense::Point
            | Sense::NoPoint
            | Sense::And
            | Sense::Over => {}
            Sense::Or => {
                // "no king's head or town mark": neither is there.
                let n = self.out.sightings.len();
                let absent = n > self.first_here
                    && k > 0
                    && matches!(self.out.sightings[n - 1].what, What::Absent(_))
                    && self.out.sightings[n - 1].end == self.p.pieces[k - 1].end;
                if absent {
                    self.waiting.absent = Some(p.start);
                    self.waiting.start.get_or_insert(p.start);
                } else {
                    self.or = true;
                }
            }
            Sense::In => self.after_in = true,
            Sense::Repeat => self.remark(k, RemarkKind::SetAside, None),
            Sense::Aside | Sense::Unit | Sense::Sign(_) => {
                // "no wear": what is absent was said.
                if self.waiting.absent.take().is_some() {
                    self.waiting = Waiting::default();
                }
                self.remark(k, RemarkKind::SetAside, None);
            }
            Sense::Numbered => {
                // "size N": the letter after it is no mark.
                let end = if k + 1 < to && self.is(k + 1) == Is::Letter { k + 1 } else { k };
                self.remark_span(p.start, self.p.pieces[end].end, RemarkKind::SetAside, None);
                return end + 1;
            }
            Sense::FalseFriend => self.remark(k, RemarkKind::NotUnderstood, None),
            Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_) => self.style(k, to, sense),
            Sense::Doubt => {
                if self.next_noun(k, to).is_some() || self.follows_at_once(k, to) {
                    self.waiting.doubt = true;
                    self.waiting.start.get_or_insert(p.start);
                } else {
                    self.mark_last(|s| s.doubt = true);
                }
            }
            Sense::Worn | Sense::Illegible => self.wear(k, to, sense == Sense::Illegible),
            Sense::Absent => {
                self.waiting.absent = Some(p.start);
                self.waiting.start.get_or_insert(p.start);
            }
            Sense::AbsentAfter => {
                let nothing_yet =
                    self.out.sightings.len() == self.first_here && self.letter_noun.is_none();
                if nothing_yet && self.next_noun(k, to).is_some() {
                    self.waiting.absent = Some(p.start);
                    self.waiting.start.get_or_insert(p.start);
                } else {
                    self.absent_after(p.end);
                }
            }
            Sense::Device(d) => self.device(k, &[d]),
            Sense::LetterNoun => {
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
            Sense::OfInitials => {
                let plain =
                    |j: &usize| !matches!(self.is(*j), Is::Sense(Sense::Filler | Sense::Article));
                let letter = |j: &usize| matches!(self.is(*j), Is::Letter | Is::Initials);
                let noun = (k + 1..to)
                    .counted()
                    .find(plain)
                    .filter(|j| self.is(*j) == Is::Sense(Sense::LetterNoun));
                let after = noun.map_or(k + 1, |j| j + 1);
                let end = (after..to).next().filter(letter).or(noun).unwrap_or(k);
                let (start, stop) = (p.start, self.p.pieces[end].end);
                self.remark_span(start, stop, RemarkKind::SetAside, None);
                return end + 1;
            }
            Sense::SlotNoun(slot) => self.slot(k, slot),
            Sense::StandardNoun => self.slot(k, Slot::Standard),
            Sense::SponsorNoun => self.sponsor_noun(k),
            Sense::Town(o) => self.town(k, to, o),
            Sense::Standard(s) => self.standard(k, s),
            Sense::StandardMark(s) => self.standard_mark(k, s),
            Sense::Firm => self.remark(k, RemarkKind::SetAside, None),
            Sense::Reign(r) => self.reign(k, to, r),
            Sense::ClaimIntro => self.claim = true,
            Sense::MadeIn => self.made_in = true,
            Sense::About => self.date_word(k, |d| d.about = true),
            Sense::Before => self.date_word(k, |d| d.before = true),
            Sense::After => self.date_word(k, |d| d.after = true),
            Sense::NotBefore => self.date_word(k, |d| d.since = true),
            Sense::NotAfter => self.date_word(k, |d| d.until = true),
            Sense::Early => self.date_word(k, |d| d.third(1)),
            Sense::Mid => self.date_word(k, |d| d.third(2)),
            Sense::Late => self.date_word(k, |d| d.third(3)),
            Sense::Fraction(nth, of) => self.date_word(k, |d| d.part(nth, of)),
            Sense::Century => self.remark(k, RemarkKind::SetAside, None),
            Sense::Style => self.remark(k, RemarkKind::SetAside, None),
            Sense::Engraved => {
                let end = self.p.pieces[to - 1].end;
                self.remark_span(p.start, end, RemarkKind::SetAside, None);
                self.out.engraved.push(p.start..end);
                return to;
            }
            Sense::Part => {
                let labels = k + 1 < to && self.is(k + 1) == Is::Colon || self.stands_alone(to);
                if labels {
                    self.start_part(k, k + 1);
                }
            }
            Sense::OtherPiece => self.start_part(k, k + 1),
            Sense::Beside => {
                // "HB beneath a crown": what follows is the maker's too.
                let n = self.out.sightings.len();
                if n > self.first_here && self.out.sightings[n - 1].what == What::Sponsor {
                    self.sponsor = Some(n - 1);
                    self.sponsor_read = false;
                }
            }
            // "not a copy"
            Sense::Pseudo if self.waiting.absent.take().is_some() => {
                self.waiting = Waiting::default();
            }
            Sense::Pseudo => {
                self.out.called_copy = true;
                self.out.called_false = true;
            }
            Sense::NothingElse => self.out.called_copy = true,
            // Words of other grammars; no description of marks has them.
            Sense::Number(_) | Sense::Month(_) => self.remark(k, RemarkKind::SetAside, None),
        }
        k + 1
    }

    /// Is the part's name all there is in the clause?
    fn stands_alone(&self, to: usize) -> bool {
        let of_name = |p: &Piece| {
            matches!(
                p.what,
                Is::Sense(Sense::Part | Sense::Filler | Sense::Article | Sense::In) | Is::Colon
            )
        };
        let all = || self.p.pieces[self.begins..to].iter().counted().all(of_name);
        *self.whole.part.get_or_init(all)
    }

    fn start_part(&mut self, k: usize, end: usize) {
        let label =
            self.p.text.typed[self.p.pieces[k].start..self.p.pieces[end - 1].end].to_string();
        self.out.parts.push(label);
        self.part = self.out.parts.len() - 1;
    }

    fn style(&mut self, k: usize, to: usize, sense: Sense) {
        let p = self.p.pieces[k];
        let doubt = std::mem::take(&mut self.waiting.doubt);
        let after_in = std::mem::take(&mut self.after_in);
        let letter_ahead = match sense {
            Sense::Outline(_) => {
                self.follows_at_once(k, to)
                    && matches!(
                        self.next_noun(k, to),
                        Some(Is::Letter | Is::Sense(Sense::LetterNoun))
                    )
            }
            _ => matches!(self.next_noun(k, to), Some(Is::Letter | Is::Sense(Sense::LetterNoun))),
        };
        let noun_open = self.letter_noun.is_some();
        let here = self.out.sightings.len() > self.first_here;
        if noun_open
            || letter_ahead && !(after_in && here)
            || !here && !matches!(sense, Sense::Outline(_))
        {
            self.last = style(&mut self.waiting.letter, sense, doubt);
            self.waiting.start.get_or_insert(p.start);
        } else {
            self.style_last(sense, doubt, p.end);
            if matches!(sense, Sense::Outline(_)) {
                self.last = Last::Outline;
            }
        }
    }

    fn wear(&mut self, k: usize, to: usize, illegible: bool) {
        let p = self.p.pieces[k];
        if std::mem::take(&mut self.waiting.absent).is_some() {
            return; // "not worn"
        }
        if self.letter_noun.is_some() || self.follows_at_once(k, to) {
            self.waiting.worn |= !illegible;
            self.waiting.illegible |= illegible;
            self.waiting.start.get_or_insert(p.start);
            return;
        }
        self.piece_back(k);
    }

    fn absent(&mut self, what: What, end: usize) {
        let start = self.waiting.absent.take().unwrap_or(end);
        self.waiting = Waiting::default();
        self.push(What::Absent(Box::new(what)), start, end, false, false);
    }

    fn absent_after(&mut self, end: usize) {
        if let Some((start, _)) = self.letter_noun.take() {
            self.waiting = Waiting::default();
            self.push(
                What::Absent(Box::new(What::Letter(LetterSeen::default()))),
                start,
                end,
                false,
                false,
            );
            return;
        }
        // "Duty: none", "duty mark - none" speak of the mark before.
        let alone = self.labelled || self.alone_in_clause;
        let here = if alone { 0 } else { self.first_here };
        if let Some(s) = self.out.sightings.get_mut(here..).and_then(|v| v.last_mut())
            && !matches!(s.what, What::Absent(_) | What::Sponsor)
        {
            s.end = end;
            s.what = What::Absent(Box::new(s.what.clone()));
        }
    }

    fn device(&mut self, k: usize, devices: &[u32]) {
        let p = self.p.pieces[k];
        let lookalike = self.image.device(devices[0] as usize).kind() == DeviceKind::Lookalike;
        self.end_letter_noun();
        let what =
            if lookalike { What::Lookalike(devices[0]) } else { What::Device(devices.to_vec()) };
        if self.waiting.absent.is_some() {
            if lookalike {
                self.waiting.absent = None;
                self.remark(k, RemarkKind::SetAside, None);
            } else {
                self.absent(what, p.end);
            }
            return;
        }
        if self.or
            && !lookalike
            && self.out.sightings.len() > self.first_here
            && let Some(s) = self.out.sightings.last_mut()
            && let What::Device(d) = &mut s.what
        {
            self.or = false;
            if d.len() < MOST_MARKS {
                d.extend(devices);
                s.end = p.end;
            } else {
                self.remark(k, RemarkKind::SetAside, None);
            }
            return;
        }
        if self.joins_label(k, &what) {
            return;
        }
        let (doubt, worn, start) =
            (self.waiting.doubt, self.waiting.worn || self.waiting.illegible, p.start);
        self.waiting.doubt = false;
        self.waiting.worn = false;
        self.waiting.illegible = false;
        if self.waiting.letter == LetterSeen::default() {
            self.waiting.start = None;
        }
        let commemorative = what.kind(self.image) == Kind::Commemorative;
        self.push(what, start, p.end, doubt, worn);
        self.label = commemorative.then_some(k);
        if p.form_doubt {
            self.mark_last(|s| s.form_doubt = true);
        }
    }

    /// "town mark: anchor", "duty mark (king's head)": the noun and the device are one mark.
    fn joins_label(&mut self, k: usize, what: &What) -> bool {
        let Some(noun) = self.label.take() else {
            return false;
        };
        let mut between = self.p.pieces[noun + 1..k].iter().counted();
        let between = between.all(|p| p.what.stands_between());
        let end = self.p.pieces[k].end;
        let kind = what.kind(self.image);
        let one_sentence = self.p.pieces[noun].sentence == self.p.pieces[k].sentence;
        let Some(s) = self.out.sightings.last_mut() else {
            return false;
        };
        // "jubilee mark (queen's head)": the head is what that mark shows.
        let head = s.what.kind(self.image) == Kind::Commemorative && kind == Kind::Duty;
        if between && head && one_sentence {
            s.end = end;
            return true;
        }
        let noun = matches!(s.what, What::Slot(_));
        if !between || !noun || s.what.kind(self.image) != kind {
            return false;
        }
        s.what = what.clone();
        s.end = end;
        s.doubt |= std::mem::take(&mut self.waiting.doubt);
        self.last = Last::Mark;
        true
    }

    /// A letter's noun still waiting when another mark comes was a letter not read.
    fn end_letter_noun(&mut self) {
        if let Some((start, end)) = self.letter_noun.take() {
            self.unread_letter(start, end);
        }
    }

    fn initials_before(&self, k: usize) -> bool {
        k > 0 && self.is(k - 1) == Is::Sense(Sense::OfInitials)
    }

    /// "small f date letter": the letter just before the noun is the date letter.
    fn name_letter_before(&mut self, k: usize, to: usize) {
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
    fn typed(&self, plain: &str, upper: Option<bool>) -> Typed {
        let value = self.image.value_of(plain).map(|v| v as u32);
        let shown = match upper {
            Some(false) => plain.to_ascii_lowercase(),
            _ => plain.to_string(),
        };
        Typed { value, upper, shown }
    }

    fn slot(&mut self, k: usize, slot: Slot) {
        let p = self.p.pieces[k];
        self.end_letter_noun();
        if self.waiting.absent.is_some() {
            self.absent(What::Slot(slot), p.end);
            return;
        }
        let (doubt, worn) = (self.waiting.doubt, self.waiting.worn || self.waiting.illegible);
        self.waiting.doubt = false;
        self.waiting.worn = false;
        self.waiting.illegible = false;
        if self.waiting.letter == LetterSeen::default() {
            self.waiting.start = None;
        }
        // "king's head duty mark", "anchor town mark": one mark named twice.
        let named = self.out.sightings.len() > self.first_here
            && self.out.sightings.last().is_some_and(|s| {
                k > 0
                    && s.end == self.p.pieces[k - 1].end
                    && matches!(s.what, What::Device(_) | What::Town(_) | What::Standard(_))
                    && s.what.kind(self.image) == What::Slot(slot).kind(self.image)
            });
        if named {
            if let Some(s) = self.out.sightings.last_mut() {
                s.end = p.end;
                s.worn |= worn;
                s.doubt |= doubt;
            }
        } else {
            self.push(What::Slot(slot), p.start, p.end, doubt, worn);
            self.label = Some(k);
        }
        self.assayer = slot == Slot::Assayer;
    }

    fn sponsor_noun(&mut self, k: usize) {
        let p = self.p.pieces[k];
        self.end_letter_noun();
        if self.waiting.absent.take().is_some() {
            self.waiting = Waiting::default();
            self.remark(k, RemarkKind::SetAside, None);
            return;
        }
        self.waiting = Waiting::default();
        // "HB maker's mark": the initials just before are named.
        if self.out.sightings.len() > self.first_here
            && let Some(s) = self.out.sightings.last_mut()
            && s.what == What::Sponsor
        {
            s.end = p.end;
            return;
        }
        self.push(What::Sponsor, p.start, p.end, false, false);
        self.sponsor = Some(self.out.sightings.len() - 1);
        self.sponsor_read = false;
    }

    fn initials(&mut self, k: usize, to: usize) {
        let p = self.p.pieces[k];
        if self.assayer {
            self.assayer = false;
            if let Some(s) = self.out.sightings.last_mut() {
                s.end = p.end;
            }
            return;
        }
        self.end_letter_noun();
        if self.waiting.letter == LetterSeen::default() {
            self.waiting = Waiting::default();
        }
        self.push(What::Sponsor, p.start, p.end, false, false);
        if self.ends_beside(k, to) {
            self.sponsor = Some(self.out.sightings.len() - 1);
        }
    }

    fn letter(&mut self, k: usize, to: usize) -> usize {
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
        let symbol = self.symbol(k).filter(|_| self.letter_noun.is_some());
        let typed = match symbol {
            Some(symbol) => self.typed(&symbol, None),
            None => {
                let plain = self.p.text.word(&token).to_ascii_uppercase();
                // In a text of capitals alone the case says nothing.
                self.typed(&plain, self.p.text.has_small.then_some(token.upper))
            }
        };
        let values = self.through(p, typed);
        if let Some(last) = self.last_of_unsettled(k, to) {
            let start = self.dating.start.map_or(p.start, |s| s.min(p.start));
            let end = self.p.pieces[last].end;
            self.dating = Dating::default();
            self.remark_span(start, end, RemarkKind::NotUnderstood, None);
            // A letter was there; which is not known.
            self.letter_noun.get_or_insert((start, end));
            return last + 1;
        }
        let listed = self.listed(k, to);
        if (self.or || self.stroke || listed)
            && self.letter_noun.is_none()
            && (listed || self.out.sightings.len() > self.first_here)
            && let Some(s) = self.out.sightings.last_mut()
            && let What::Letter(l) = &mut s.what
            && !l.values.is_empty()
        {
            // "small n or capital K": a style before the second is its own, and says nothing of both.
            if self.waiting.start.is_some() {
                l.case = None;
                l.lettering = None;
                self.waiting = Waiting::default();
            }
            let room = l.values.len() < MOST_MARKS;
            if room {
                l.values.extend(values);
                s.end = p.end;
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
            return k + 1;
        }
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
    fn of_measures(&self, k: usize, to: usize) -> bool {
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
    fn through(&self, p: Piece, first: Typed) -> Vec<Typed> {
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
    fn last_of_unsettled(&self, k: usize, to: usize) -> Option<usize> {
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
    fn in_order(&self, a: usize, b: usize) -> bool {
        let token = |k: usize| &self.p.text.tokens[self.p.pieces[k].token];
        let (a, b) = (token(a), token(b));
        a.upper == b.upper && self.p.text.word(a) < self.p.text.word(b)
    }

    /// "c, e or g", "h (or n)", "c, could be e": a letter that opens its clause, but for words of
    /// choice or doubt, goes on the list of the letter just before.
    fn listed(&self, k: usize, to: usize) -> bool {
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

    /// "a" before a described letter is the article; "I" before a word is the speaker.
    fn is_article(&self, k: usize, to: usize) -> bool {
        self.article(k, to, self.letter_noun.is_some())
    }

    /// The same; `called_for`: a noun stands before that asks for a letter.
    fn article(&self, k: usize, to: usize, called_for: bool) -> bool {
        let p = self.p.pieces[k];
        let token = self.p.text.tokens[p.token];
        let word = self.p.text.word(&token);
        let mut behind = (k + 1..to).map(|j| self.is(j));
        let follows = behind.next();
        let described = self.waiting.letter != LetterSeen::default();
        match word {
            _ if described => false,
            // "n or u or a"
            "a" if self.or => false,
            // Typed as a capital it is the letter, unless it opens a sentence of words.
            "a" if token.upper && !self.opens_sentence(k, to) => false,
            "a" => {
                let letter_follows = self.letter_behind(k, to);
                // "a silver disk", "a worn lion": words that say nothing of a letter stand before the noun.
                let passed = |w: &Is| {
                    matches!(
                        w,
                        Is::Sense(
                            Sense::Filler
                                | Sense::Worn
                                | Sense::Illegible
                                | Sense::Doubt
                                | Sense::Decorative
                                | Sense::LooksLike
                        )
                    )
                };
                let noun = match follows.filter(passed) {
                    // but "letter a to f" are letters.
                    Some(_) => behind
                        .find(|w| !passed(w))
                        .filter(|w| *w != Is::Letter || !called_for)
                        .or(follows),
                    None => follows,
                };
                match noun {
                    // a "k", a (k)
                    None => k + 1 == to && self.letter_in_quotes(k),
                    // "a punch", "a very rubbed mark"
                    Some(Is::Sense(Sense::Filler)) if !token.upper => !called_for,
                    // "date letter a crown": the symbol is the letter.
                    Some(_) if called_for && self.symbol(k + 1).is_some() => true,
                    Some(Is::Letter) => true,
                    Some(Is::Sense(
                        Sense::Case(_) | Sense::Lettering(_) | Sense::Worn | Sense::Doubt,
                    )) => {
                        // "a very rubbed mark"
                        let thing = k + 2 < to && self.is(to - 1) == Is::Sense(Sense::Filler);
                        letter_follows || thing && !called_for
                    }
                    Some(Is::Unknown) => !called_for,
                    Some(Is::Sense(
                        Sense::Filler
                        | Sense::Early
                        | Sense::Mid
                        | Sense::Late
                        | Sense::Style
                        | Sense::Town(_),
                    )) if token.upper => !called_for,
                    // "A lion anchor" is the letter, "A lion, an anchor and a small k" none.
                    Some(Is::Sense(Sense::Device(_))) if token.upper => {
                        !called_for && self.letter_or_article_behind(k)
                    }
                    Some(Is::Sense(
                        Sense::Device(_)
                        | Sense::SlotNoun(_)
                        | Sense::StandardNoun
                        | Sense::SponsorNoun
                        | Sense::LetterNoun
                        | Sense::Part
                        | Sense::Aside
                        | Sense::Outline(_)
                        | Sense::Reign(_)
                        | Sense::MarkNoun
                        | Sense::Standard(_)
                        | Sense::FalseFriend,
                    )) => {
                        !called_for
                            && (!self.before_vowel_or_figure(k) || self.letter_or_article_behind(k))
                    }
                    _ => false,
                }
            }
            "i" => {
                token.upper
                    && !called_for
                    && matches!(
                        follows,
                        Some(
                            Is::Unknown
                                | Is::Sense(
                                    Sense::Filler
                                        | Sense::ClaimIntro
                                        | Sense::LooksLike
                                        | Sense::Doubt
                                )
                        )
                    )
            }
            "s" => {
                k > 0
                    && self.p.pieces[k - 1].end + 1 >= p.start
                    && matches!(self.is(k - 1), Is::Years(..))
            }
            _ => false,
        }
    }

    /// Before the first mark of a sentence, with more of its clause to come in small letters: "A lion", "Lot
    /// 245: A mustard pot".
    fn opens_sentence(&self, k: usize, to: usize) -> bool {
        let first = self.out.sightings.len() == self.first_of_sentence
            && self.letter_noun.is_none()
            && self.opens(k);
        let next = (k + 1 < to).then(|| &self.p.text.tokens[self.p.pieces[k + 1].token]);
        first && self.p.text.has_small && next.is_some_and(|t| !t.upper)
    }

    /// Does a letter in quotes or brackets come next?
    fn letter_in_quotes(&self, k: usize) -> bool {
        self.p.pieces.get(k + 1).is_some_and(|n| {
            let between = &self.p.text.typed[self.p.pieces[k].end..n.start];
            let opens = matches!(between.trim(), "\"" | "(" | "“" | "[");
            n.what == Is::Letter && opens
        })
    }

    /// Is there another letter behind the piece, or another article?
    fn letter_or_article_behind(&self, k: usize) -> bool {
        let mut behind = self.p.pieces[k + 1..].iter().take(AHEAD);
        behind.any(|p| matches!(p.what, Is::Letter | Is::Sense(Sense::Article)))
    }

    /// Does the piece open its sentence, but for numbers of a lot and what is set aside?
    fn opens(&self, k: usize) -> bool {
        let sentence = self.p.pieces[k].sentence;
        let plain = |p: &Piece| {
            matches!(
                p.what,
                Is::Number
                    | Is::Measure
                    | Is::Colon
                    | Is::Years(..)
                    | Is::Sense(Sense::Numbered | Sense::Aside | Sense::Filler | Sense::ClaimIntro)
            )
        };
        let before = self.p.pieces[..k].iter().rev().take(AHEAD);
        let mut here = before.take_while(|p| p.sentence == sentence);
        here.all(plain)
    }

    /// No one writes "a anchor", nor "a 925".
    fn before_vowel_or_figure(&self, k: usize) -> bool {
        let next = &self.p.text.tokens[self.p.pieces[k + 1].token];
        self.p.text.word(next).starts_with(|c: char| "aeiou".contains(c) || !c.is_alphabetic())
    }

    // What is claimed.

    fn date_word(&mut self, k: usize, f: impl FnOnce(&mut Dating)) {
        f(&mut self.dating);
        let start = self.p.pieces[k].start;
        self.dating.start.get_or_insert(start);
    }

    fn years(&mut self, k: usize, from: i32, to: i32) {
        self.years_over(k, k, from, to);
    }

    fn years_over(&mut self, first: usize, last: usize, from: i32, to: i32) {
        let d = std::mem::take(&mut self.dating);
        let start = d.start.unwrap_or(self.p.pieces[first].start);
        let end = self.p.pieces[last].end;
        let (from, to) = d.span(from, to);
        self.claim_with(start, end, |c| {
            (c.from, c.to) = (from, to);
        });
    }

    fn reign(&mut self, k: usize, to: usize, r: u32) {
        // "Queen Anne style" says nothing.
        let style = |w: Is| w == Is::Sense(Sense::Style);
        let styled = *self.whole.style.get_or_init(|| self.last_in_clause(to, style));
        if styled > Some(k) {
            self.dating = Dating::default();
            self.remark(k, RemarkKind::SetAside, None);
            return;
        }
        let d = std::mem::take(&mut self.dating);
        let p = self.p.pieces[k];
        let view = self.image.reign(r as usize);
        let (from, last) = view.years();
        let (from, to) = d.span(from, last);
        self.claim_with(d.start.unwrap_or(p.start), p.end, |c| {
            c.period = Some(r);
            (c.from, c.to) = (from, to);
        });
    }

    /// Adds to what is claimed: to the claim just made if nothing stands between, else a new one.
    fn claim_with(&mut self, start: usize, end: usize, f: impl FnOnce(&mut Stated)) {
        let marks_since = self
            .out
            .sightings
            .iter()
            .any(|s| self.out.claimed.last().is_some_and(|c| s.start > c.start));
        let mut add = Stated::default();
        f(&mut add);
        let joins = self.out.claimed.last().is_some_and(|c| {
            !marks_since
                && start >= c.end
                && start - c.end <= 12
                && !(c.office.is_some() && add.office.is_some())
                && !(c.from.is_some() && add.from.is_some())
                && !(c.standard.is_some() && add.standard.is_some())
        });
        if joins && let Some(c) = self.out.claimed.last_mut() {
            c.end = end;
            c.office = c.office.take().or(add.office);
            c.from = c.from.or(add.from);
            c.to = c.to.or(add.to);
            c.period = c.period.take().or(add.period);
            c.standard = c.standard.take().or(add.standard);
            return;
        }
        add.start = start;
        add.end = end;
        self.out.claimed.push(add);
    }

    fn town(&mut self, k: usize, to: usize, office: u32) {
        let p = self.p.pieces[k];
        let next = (k + 1 < to).then(|| self.is(k + 1));
        let town_device = |w: Option<Is>| matches!(w, Some(Is::Sense(Sense::Device(d))) if self.image.device(d as usize).kind() == DeviceKind::Town);
        let joined = matches!(next, Some(Is::Sense(Sense::SlotNoun(Slot::Town | Slot::Import))))
            || town_device(next);
        // A town struck with letters of its own stays a town with or without a date; a date beside
        // a bare name makes it a claim.
        let dated = *self.whole.dated.get_or_init(|| self.dated_beside(to));
        if !joined && (self.claim || self.made_in || dated) {
            self.made_in = false;
            self.claim_with(p.start, p.end, |c| c.office = Some(office));
            return;
        }
        self.end_letter_noun();
        if self.waiting.absent.is_some() {
            self.absent(What::Town(office), p.end);
            return;
        }
        let (doubt, worn) = (self.waiting.doubt, self.waiting.worn);
        if self.waiting.letter == LetterSeen::default() {
            self.waiting = Waiting::default();
        }
        self.push(What::Town(office), p.start, p.end, doubt, worn);
    }

    /// Is there a date in the clause, or alone in the next or the one before?
    fn dated_beside(&self, to: usize) -> bool {
        let date = |w: Is| matches!(w, Is::Years(..) | Is::Ordinal(_) | Is::Sense(Sense::Reign(_)));
        let (before, rest) = self.p.pieces.split_at(self.begins);
        let (here, behind) = rest.split_at(to - self.begins);
        if here.iter().counted().any(|p| date(p.what)) {
            return true;
        }
        let of_date = |p: &Piece| {
            date(p.what)
                || matches!(
                    p.what,
                    Is::Sense(
                        Sense::About
                            | Sense::Early
                            | Sense::Mid
                            | Sense::Late
                            | Sense::Fraction(..)
                            | Sense::Century
                            | Sense::Before
                            | Sense::After
                            | Sense::NotBefore
                            | Sense::NotAfter
                            | Sense::Filler
                    ) | Is::Question
                )
        };
        let alone = |clause: &[Piece]| {
            clause.iter().counted().all(of_date) && clause.iter().counted().any(|p| date(p.what))
        };
        let one = |a: &Piece, b: &Piece| {
            steps::take(1);
            a.clause == b.clause
        };
        let next = behind.chunk_by(one).next();
        let last = before.chunk_by(one).next_back();
        [next, last].into_iter().flatten().any(alone)
    }

    fn standard(&mut self, k: usize, standard: u32) {
        let p = self.p.pieces[k];
        let view = self.image.standard(standard as usize);
        let named = self.p.pieces.get(k + 1).is_some_and(|n| {
            n.clause == p.clause && matches!(n.what, Is::Sense(Sense::StandardNoun))
        });
        // "sterling" in small letters says what the piece is called, not what is struck on it;
        // a carat is the describer's reading of figures.
        if self.waiting.absent.is_none() && (view.metal() == Metal::Silver && !named || self.claim)
        {
            if let Some(c) = p.in_capitals {
                self.alone.push((self.out.claimed.len(), c));
            }
            self.claim_with(p.start, p.end, |c| c.standard = Some(standard));
            return;
        }
        self.standard_mark(k, standard);
    }

    /// A standard's own mark, or a carat.
    fn standard_mark(&mut self, k: usize, standard: u32) {
        let p = self.p.pieces[k];
        if self.waiting.absent.is_some() {
            self.absent(What::Standard(standard), p.end);
            return;
        }
        self.end_letter_noun();
        let doubt = std::mem::take(&mut self.waiting.doubt);
        let worn = std::mem::take(&mut self.waiting.worn);
        self.push(What::Standard(standard), p.start, p.end, doubt, worn);
    }

    fn finish(mut self) -> Sightings {
        self.end_letter_noun();
        // Once a letter is called the date letter no other single letter of its part is one.
        let named = std::mem::take(&mut self.named_letters);
        let read = |s: &Sighting| matches!(&s.what, What::Letter(l) if !l.values.is_empty());
        let named_parts: Vec<usize> = named
            .iter()
            .filter_map(|i| self.out.sightings.get(*i))
            .filter(|s| read(s))
            .map(|s| s.part)
            .collect();
        let read_parts: Vec<usize> =
            self.out.sightings.iter().filter(|s| read(s)).map(|s| s.part).collect();
        let mut aside = Vec::new();
        let mut i = 0;
        self.out.sightings.retain(|s| {
            let keep = match &s.what {
                What::Letter(_) if named.contains(&i) => read(s) || !read_parts.contains(&s.part),
                What::Letter(_) => !named_parts.contains(&s.part),
                _ => true,
            };
            if !keep && read(s) {
                aside.push((s.start, s.end));
            }
            i += 1;
            keep
        });
        for (start, end) in aside {
            self.remark_span(start, end, RemarkKind::SetAside, None);
        }
        // "sterling" and nothing else is a word, as it is stamped alone.
        if self.out.sightings.is_empty()
            && self.out.claimed.len() == 1
            && let Some((_, meaning)) = self.alone.first()
            && let Sense::Device(d) = self.image.meaning(*meaning)
        {
            let c = &self.out.claimed[0];
            let what = if self.image.device(d as usize).kind() == DeviceKind::Lookalike {
                What::Lookalike(d)
            } else {
                What::Device(vec![d])
            };
            self.out.sightings.push(Sighting {
                start: c.start,
                end: c.end,
                what,
                doubt: false,
                form_doubt: false,
                worn: false,
                part: 0,
            });
            self.out.claimed.clear();
        }
        self.out.remarks.append(&mut self.p.remarks);
        self.out.remarks.sort_by_key(|r| (r.start, r.end));
        self.out
    }
}

/// Sets a case, lettering or outline, and says which.
fn style(l: &mut LetterSeen, sense: Sense, doubt: bool) -> Last {
    match sense {
        Sense::Case(Case::Either) => Last::Case,
        Sense::Case(c) => {
            l.case = Some(c);
            l.case_doubt |= doubt;
            Last::Case
        }
        Sense::Lettering(n) => {
            l.lettering = Some(n);
            l.lettering_doubt |= doubt;
            Last::Lettering
        }
        Sense::Outline(o) => {
            l.outline = Some(o);
            l.outline_doubt |= doubt;
            Last::Outline
        }
        _ => Last::Nothing,
    }
}

/// Where sentences begin with the name of an object and a colon, "spoon: …; fork: …", or with a figure,
/// "1) … 2) …"; one alone labels nothing.
fn labels_by_name(p: &Pieces) -> Vec<(usize, usize)> {
    let object = |n: &Piece| matches!(n.what, Is::Unknown | Is::Sense(Sense::Aside | Sense::Part));
    let small = |n: &Piece| matches!(n.what, Is::Sense(Sense::Filler | Sense::Article));
    let mut out = Vec::new();
    let mut at = 0;
    for clause in p.pieces.chunk_by(|a, b| a.clause == b.clause) {
        let begins = at == 0 || p.pieces[at - 1].sentence != clause[0].sentence;
        let name = match clause {
            [name @ .., colon] if begins && colon.what == Is::Colon => {
                let named = name.iter().any(object) && name.iter().all(|n| object(n) || small(n));
                named.then_some(name.len())
            }
            [figure] if figure.what == Is::Number => {
                p.text.typed[figure.end..].starts_with(')').then_some(1)
            }
            _ => None,
        };
        out.extend(name.map(|n| (at, at + n)));
        at += clause.len();
    }
    if out.len() < 2 {
        out.clear();
    }
    out
}

/// "(a) … (b) …" labels two pieces.
fn labels_by_letter(p: &Pieces) -> bool {
    let label = |letter: &str| {
        p.pieces.iter().enumerate().any(|(i, x)| {
            x.what == Is::Letter
                && p.typed(x).eq_ignore_ascii_case(letter)
                && p.text.typed[..x.start].ends_with('(')
                && p.text.typed[x.end..].starts_with(')')
                && p.pieces.get(i + 1).is_some()
        })
    };
    label("a") && label("b")
}
