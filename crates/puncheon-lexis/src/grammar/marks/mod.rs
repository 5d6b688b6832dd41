//! Pieces to marks, clause by clause.
//!
//! An adjective goes to the noun beside it, what follows a maker's mark goes to the maker, and
//! towns, dates and standards that are stated and not shown go to what is claimed.

use std::cell::OnceCell;

use puncheon_schema::entry::{DeviceKind, Slot};
use puncheon_schema::image::{Image, Sense};

use crate::grammar::dates::{Dating, century};
use crate::near::nearest;
use crate::phrase::{Is, Piece, Pieces};
use crate::said::{Kind, Remark, RemarkKind};
use crate::sighting::{LetterSeen, Sighting, Sightings, What};
use crate::steps::{self, Counted};
use crate::tree::{Aside, Fate, Refusal, Use};
use fates::{Fates, aside};
use part::{labels_by_letter, labels_by_name};

mod adjective;
mod article;
mod fates;
mod figures;
mod letter;
mod part;
mod sponsor;
mod statement;
mod thing;

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

/// Reads the pieces of a description clause by clause, and gathers the marks that it names.
pub struct Clauses<'i, 't> {
    image: &'i Image,
    p: Pieces<'t>,
    out: Sightings,
    fates: Fates,
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
    /// How often a mark of an office is named in all.
    towns: usize,
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
    /// Reads pieces to the end: what they say of marks, and what became of each word.
    pub fn read(image: &'i Image, p: Pieces<'t>) -> Sightings {
        let lettered_parts = labels_by_letter(&p);
        let named = labels_by_name(&p);
        let town = |p: &&Piece| sponsor::device_kind(image, p) == Some(DeviceKind::Town);
        let towns = p.pieces.iter().filter(town).count();
        let mut c = Clauses {
            image,
            fates: Fates::new(p.pieces.len()),
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
            towns,
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
                && !self.denied(from, k)
            {
                self.fates.set(k, Fate::Used(Use::Sign(sign)));
                if !self.out.signs.contains(&sign) {
                    self.out.signs.push(sign);
                }
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
        if self.sponsor_before && self.ends_beside(from, to) && self.may_be_sponsors(from, to) {
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

    fn open_clause(&mut self, from: usize) {
        self.begins = from;
        self.whole = Whole::default();
        let new_sentence =
            from > 0 && self.p.pieces[from].sentence != self.p.pieces[from - 1].sentence;
        self.sponsor_before =
            !new_sentence && (self.sponsor.is_some() || from > 0 && self.sponsor_last(from));
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

    fn push(&mut self, what: What, start: usize, end: usize, doubt: bool, worn: bool) {
        if self.out.sightings.len() == MOST_MARKS {
            self.fates.too_many(&self.p.pieces, start..end);
            self.remark_span(start, end, RemarkKind::SetAside, None);
            return;
        }
        self.fates.mark(&self.p.pieces, start..end, self.out.sightings.len());
        self.out.sightings.push(Sighting {
            start,
            end,
            what,
            doubt,
            form_doubt: false,
            worn,
            number: None,
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
        self.remark_pieces(k, k, kind, nearest);
    }

    /// Remarks on the pieces from one to another.
    fn remark_pieces(
        &mut self,
        first: usize,
        last: usize,
        kind: RemarkKind,
        nearest: Option<String>,
    ) {
        let (start, end) = (self.p.pieces[first].start, self.p.pieces[last].end);
        let fate = match kind {
            RemarkKind::NotUnderstood => Fate::Refused(Refusal::NotUnderstood),
            RemarkKind::Ambiguous => Fate::Refused(Refusal::Ambiguous),
            RemarkKind::SetAside | RemarkKind::Guessed => Fate::Aside(aside(self.is(first))),
        };
        (first..=last).for_each(|k| self.fates.set(k, fate));
        self.remark_span(start, end, kind, nearest);
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
            Is::Century(n) => {
                let (from, to) = century(n);
                self.years_over(k, k, from, to);
            }
            Is::Ordinal(n) => {
                if k + 1 < to && self.is(k + 1) == Is::Sense(Sense::Century) {
                    let (from, to) = century(n);
                    self.years_over(k, k + 1, from, to);
                    return k + 2;
                }
                self.remark(k, RemarkKind::SetAside, None);
            }
            Is::Question if self.of_no_mark(k) => {
                self.fates.set(k, Fate::Aside(Aside::Untold));
            }
            Is::Question => self.doubt_last(k),
            Is::Slash => self.stroke = true,
            Is::Colon => {}
            Is::Unknown => self.unknown(k),
        }
        k + 1
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
            Sense::Or => self.either(k),
            Sense::In => self.after_in = true,
            Sense::Repeat => self.remark(k, RemarkKind::SetAside, None),
            Sense::Aside | Sense::Unit | Sense::Sign(_) => self.thing(k),
            Sense::Numbered => return self.numbered(k, to),
            Sense::FalseFriend => self.remark(k, RemarkKind::NotUnderstood, None),
            Sense::Case(_) | Sense::Lettering(_) | Sense::Outline(_) => self.style(k, to, sense),
            Sense::Doubt => self.doubt(k, to),
            Sense::Worn | Sense::Illegible => self.wear(k, to, sense == Sense::Illegible),
            Sense::Absent => {
                self.waiting.absent = Some(p.start);
                self.waiting.start.get_or_insert(p.start);
            }
            Sense::AbsentAfter => self.lacking(k, to),
            Sense::Device(d) => self.device(k, &[d]),
            Sense::LetterNoun => self.letter_word(k, to),
            Sense::OfInitials => return self.of_initials(k, to),
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
            Sense::About
            | Sense::Before
            | Sense::After
            | Sense::NotBefore
            | Sense::NotAfter
            | Sense::Early
            | Sense::Mid
            | Sense::Late
            | Sense::Fraction(..) => self.turn_date(k, sense),
            Sense::Century => self.remark(k, RemarkKind::SetAside, None),
            Sense::Style => self.remark(k, RemarkKind::SetAside, None),
            Sense::Engraved => return self.engraved(k, to),
            Sense::Part => {
                let labels = k + 1 < to && self.is(k + 1) == Is::Colon || self.stands_alone(to);
                if labels {
                    self.start_part(k, k + 1);
                }
            }
            Sense::OtherPiece => self.start_part(k, k + 1),
            Sense::Beside => self.beside(),
            Sense::Pseudo | Sense::NothingElse => self.copy(k, sense),
            // Words of other grammars; no description of marks has them.
            _ => self.remark(k, RemarkKind::SetAside, None),
        }
        k + 1
    }

    fn device(&mut self, k: usize, devices: &[u32]) {
        let p = self.p.pieces[k];
        let lookalike = self.image.device(devices[0] as usize).kind() == DeviceKind::Lookalike;
        self.end_letter_noun();
        let what =
            if lookalike { What::Lookalike(devices[0]) } else { What::Device(devices.to_vec()) };
        if self.waiting.absent.is_some() {
            if lookalike {
                self.deny(k);
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
            self.mark_last(k, |s| s.form_doubt = true);
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

    // What is claimed.

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
        let mut kept = Vec::with_capacity(self.out.sightings.len());
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
            kept.push(keep);
            keep
        });
        self.fates.keep(&kept);
        for (start, end) in aside {
            self.fates.other_letter(&self.p.pieces, start..end);
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
                number: None,
                part: 0,
            });
            self.out.claimed.clear();
            self.fates.stated_is_marked();
        }
        self.figures();
        self.out.tree = self.fates.tree(&self.p, &self.out);
        self.out.remarks.append(&mut self.p.remarks);
        self.out.remarks.sort_by_key(|r| (r.start, r.end));
        self.out
    }
}
