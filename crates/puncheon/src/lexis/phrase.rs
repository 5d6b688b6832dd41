//! Tokens to pieces: the longest phrases of the vocabulary, years, initials, measures and single
//! letters.

use puncheon_schema::entry::{DeviceKind, Grammar, Slot, Standing};
use puncheon_schema::image::{Image, Sense};

use crate::lexis::grammar::initials::ending;
use crate::lexis::near::correct;
use crate::lexis::said::{Remark, RemarkKind};
use crate::lexis::sighting::What;
use crate::lexis::steps::{self, Counted};
use crate::lexis::token::{Text, Token, TokenKind};

/// A stretch of tokens and what it is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    pub what: Is,
    /// Byte offsets into the text as typed.
    pub start: usize,
    pub end: usize,
    /// Pieces between two separators share a number.
    pub clause: u32,
    /// Sentences end at a full stop, a semicolon or a line's end.
    pub sentence: u32,
    /// The first token, for single letters and numbers.
    pub token: usize,
    /// The meaning the same words have in capitals.
    pub in_capitals: Option<u32>,
    /// A word of doubt stands inside the phrase: "leopard's head possibly crowned".
    pub form_doubt: bool,
    /// The token of the last letter, where the piece is all letters from one to another: "a-f".
    pub through: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Is {
    /// A phrase of the vocabulary.
    Sense(Sense),
    /// One letter.
    Letter,
    /// A sponsor's letters.
    Initials,
    /// Figures that mean nothing here.
    Number,
    /// Calendar years, first and last.
    Years(i32, i32),
    /// "19th".
    Ordinal(i32),
    Question,
    Colon,
    Slash,
    /// A word that the vocabulary does not hold.
    Unknown,
    /// A weight, size, price or number of something.
    Measure,
}

impl Is {
    /// May it stand between a mark's noun and the device that is the same mark: "duty mark: possibly the
    /// king's head"?
    pub fn stands_between(self) -> bool {
        matches!(
            self,
            Is::Colon
                | Is::Sense(
                    Sense::Filler
                        | Sense::Article
                        | Sense::In
                        | Sense::MarkNoun
                        | Sense::Doubt
                        | Sense::LooksLike
                )
        )
    }
}

pub(crate) struct Pieces<'t> {
    pub text: Text<'t>,
    pub pieces: Vec<Piece>,
    pub remarks: Vec<Remark>,
}

/// A word for a letter's form with a point behind it, of this many letters at most, is a word cut
/// short where a letter follows: "cap. K".
const SHORTENED: usize = 4;
/// The longest run of letters with points between them that is one abbreviation.
const MOST_POINTED: usize = 8;
/// Groups of capitals that are initials with nothing beside them: "PB AB WB".
const MOST_GROUPS: usize = 3;
/// Where the phrases of every text begin.
const EVERY_TEXT: u32 = 0;
/// Signs that end a clause wherever they stand.
const ENDS_CLAUSE: [char; 8] = [',', ';', '\n', '.', ')', ']', '|', '!'];

struct Cutter<'i, 't> {
    image: &'i Image,
    /// The grammar whose own words count beside those of every text.
    grammar: Option<Grammar>,
    text: Text<'t>,
    words: Vec<Option<u32>>,
    /// What a word is a known slip for.
    slips: Vec<Option<u32>>,
    guessed: Vec<bool>,
    /// Strokes and dots with a space on both sides, where they stand often enough to be the
    /// writer's way of parting marks.
    separators: Vec<char>,
    /// What each word means by itself.
    senses: Vec<Option<Sense>>,
    out: Vec<Piece>,
    remarks: Vec<Remark>,
    clause: u32,
    sentence: u32,
    /// The text is nothing but a few groups of capitals that mean nothing else.
    initials_alone: bool,
}

/// How far a phrase has been followed.
#[derive(Clone, Copy)]
struct At {
    node: u32,
    /// The next token.
    j: usize,
    /// A comma or bracket was crossed.
    commas: bool,
    /// Joining words and signs passed over.
    skipped: u32,
    /// The last of them.
    joined: Option<usize>,
    /// Two whole marks that are joined are no phrase.
    apart: bool,
    /// Some word was a known slip.
    slip: bool,
}

struct Found {
    end: usize,
    meaning: u32,
    in_capitals: Option<u32>,
    /// The phrase is a known slip, or a word of it is.
    slip: bool,
    by_word: bool,
    doubt: bool,
    stands: Standing,
}

impl<'t> Pieces<'t> {
    /// Cuts a description of marks.
    pub fn cut(image: &Image, text: Text<'t>) -> Pieces<'t> {
        Pieces::cut_for(image, text, None)
    }

    /// Cuts a text in which the words of a grammar count too.
    pub fn cut_for(image: &Image, mut text: Text<'t>, grammar: Option<Grammar>) -> Pieces<'t> {
        split_figures(image, &mut text);
        let mut words = Vec::with_capacity(text.tokens.len());
        let mut slips = Vec::with_capacity(text.tokens.len());
        let mut guessed = vec![false; text.tokens.len()];
        for (i, t) in text.tokens.iter().enumerate() {
            let known = match t.kind {
                TokenKind::Punct('&') => image.word(b"and"),
                TokenKind::Punct(_) => None,
                _ => image.word(text.word(t).as_bytes()),
            };
            slips.push(known.and_then(|w| image.slip_for(w)));
            words.push(known.or_else(|| {
                // A name in the middle of a sentence is no slip of a teapot.
                let name = !t.upper && text.typed[t.start..].starts_with(char::is_uppercase);
                let near = (t.kind == TokenKind::Word)
                    .then(|| correct(image, text.word(t)))
                    .flatten()
                    .filter(|w| !name || image.word_tells(*w));
                guessed[i] = near.is_some();
                near
            }));
        }
        let mut c = Cutter {
            image,
            grammar,
            separators: separators(&text.tokens),
            senses: words.iter().map(|w| alone(image, *w)).collect(),
            words,
            slips,
            guessed,
            out: Vec::with_capacity(text.tokens.len()),
            remarks: Vec::new(),
            clause: 0,
            sentence: 0,
            initials_alone: false,
            text,
        };
        c.initials_alone = c.is_initials_alone();
        let mut i = 0;
        while i < c.text.tokens.len() {
            i = c.step(i);
        }
        Pieces { text: c.text, pieces: c.out, remarks: c.remarks }
    }

    pub fn typed(&self, p: &Piece) -> &str {
        &self.text.typed[p.start..p.end]
    }
}

/// A comma; or a bracket that adds to the mark before it, "leopard's head (crowned)".
fn adds(kind: TokenKind) -> bool {
    matches!(kind, TokenKind::Punct(',' | '(' | '['))
}

/// Cuts "178g", "1890s" and "c1790" where the vocabulary does not hold them whole.
fn split_figures(image: &Image, text: &mut Text) {
    let known = |w: &str| image.word(w.as_bytes());
    // "9.375" is a carat with its decimal, where the vocabulary holds both and not the whole.
    let carat = |i: usize, text: &Text| {
        let t = &text.tokens[i];
        if t.kind != TokenKind::Number {
            return None;
        }
        let w = text.word(t);
        let k = w.find(['.', ',']).filter(|k| *k > 0 && w.len() == t.end - t.start)?;
        let unit = text
            .tokens
            .get(i + 1)
            .is_some_and(|n| alone(image, known(text.word(n))) == Some(Sense::Unit));
        let decimal = format!(".{}", &w[k + 1..]);
        (!unit && known(w).is_none() && known(&w[..k]).is_some() && known(&decimal).is_some())
            .then_some(k)
    };
    if (0..text.tokens.len()).any(|i| carat(i, text).is_some()) {
        let mut out = Vec::with_capacity(text.tokens.len() + 2);
        let mut commas = Vec::new();
        for (i, t) in text.tokens.iter().enumerate() {
            match carat(i, text) {
                Some(k) => {
                    let [a, b] = t.split(k);
                    commas.push(b);
                    out.extend([a, b]);
                }
                None => out.push(*t),
            }
        }
        text.tokens = out;
        commas.iter().for_each(|t| text.point(t));
    }
    let needs = |t: &Token, w: &str| {
        t.kind == TokenKind::Word && w.bytes().any(|b| b.is_ascii_digit()) && known(w).is_none()
    };
    if !text.tokens.iter().any(|t| needs(t, text.word(t))) {
        return;
    }
    let mut out = Vec::with_capacity(text.tokens.len() + 4);
    for t in &text.tokens {
        let w = text.word(t);
        let split = needs(t, w)
            .then(|| {
                let digit = |b: u8| b.is_ascii_digit() || b == b'.';
                let first = digit(w.as_bytes()[0]);
                w.bytes().position(|b| digit(b) != first)
            })
            .flatten()
            // Only where the folded word runs alongside the typed one.
            .filter(|_| w.is_ascii() && w.len() == t.end - t.start);
        match split {
            Some(k) if w.as_bytes()[0].is_ascii_digit() || w.len() - k == 4 && k <= 2 => {
                let figures_first = w.as_bytes()[0].is_ascii_digit();
                let kind = |figures| {
                    if figures { TokenKind::Number } else { TokenKind::Word }
                };
                let [a, b] = t.split(k);
                out.extend([a.of_kind(kind(figures_first)), b.of_kind(kind(!figures_first))]);
            }
            _ => out.push(*t),
        }
    }
    text.tokens = out;
}

impl Cutter<'_, '_> {
    /// Takes one piece at token `i` and returns the next token.
    fn step(&mut self, i: usize) -> usize {
        steps::take(1);
        let t = self.text.tokens[i];
        if let TokenKind::Punct(c) = t.kind {
            return self.punctuation(i, c);
        }
        if let Some(next) = self.ordinal(i).or_else(|| self.signed(i)).or_else(|| self.initials(i))
        {
            return next;
        }
        let single = t.kind == TokenKind::Word && self.text.word(&t).chars().count() == 1;
        if single && self.first_name(i) {
            self.push(Is::Initials, i, i + 3);
            return i + 3;
        }
        if t.kind == TokenKind::Number
            && self.counted()
            && let Some(next) = self.measured(i, i + 1)
        {
            return next;
        }
        if let Some(mut f) = self.phrase(i) {
            let sense = self.image.meaning(f.meaning);
            if f.in_capitals == Some(f.meaning) {
                f.end = self.with_firm(f.end, sense);
            }
            // One letter alone is a word only where it can be nothing else, and a letter called for is that
            // letter, whatever phrase it may open.
            let called_for = single
                && f.end > i + 1
                && t.kind == TokenKind::Word
                && match sense {
                    Sense::Device(_) => self.letter_awaited(),
                    // "18 N castle thistle" is the letter, if it is the only one.
                    Sense::Town(_) => self.letter_awaited() || self.only_letter(i),
                    _ => false,
                };
            let lone_letter = called_for || single && f.end == i + 1 && !self.lone_word(i, sense);
            if !lone_letter && !self.names_someone(i, &f, sense) {
                if let Some(next) = self.measure(i, f.end, sense) {
                    return next;
                }
                if sense == Sense::Absent
                    && f.end == i + 1
                    && let Some(figures) = self.numbers(i)
                {
                    self.push(Is::Sense(Sense::Numbered), i, figures);
                    return figures;
                }
                let placed = match sense {
                    Sense::Reign(r) => {
                        let head = self.image.reign(r as usize).head();
                        head.and_then(|d| self.join(i, &f, d))
                    }
                    Sense::Device(d) if f.stands == Standing::Joined => {
                        let joined = self.join(i, &f, d);
                        Some(joined.unwrap_or_else(|| {
                            self.push(Is::Unknown, i, f.end);
                            f.end
                        }))
                    }
                    Sense::Device(d) => self.owned(i, &f, d),
                    _ => None,
                };
                return placed.unwrap_or_else(|| self.take(i, f, sense));
            }
        }
        let next = i + 1;
        match t.kind {
            _ if single && self.text.word(&t).as_bytes()[0].is_ascii_alphabetic() => {
                if let Some(last) = self.last_of_range(i) {
                    self.push(Is::Letter, i, last + 1);
                    if let Some(p) = self.out.last_mut() {
                        p.through = Some(last);
                    }
                    return last + 1;
                }
                self.push(Is::Letter, i, next)
            }
            TokenKind::Number => return self.number(i),
            _ if self.is_group(i) && (self.in_small_text() || self.after_maker()) => {
                self.push(Is::Initials, i, next);
            }
            _ if self.image.value_of(&self.text.word(&t).to_ascii_uppercase()).is_some() => {
                self.push(Is::Letter, i, next);
            }
            _ => self.push(Is::Unknown, i, next),
        }
        next
    }

    fn push(&mut self, what: Is, i: usize, next: usize) {
        self.push_with(what, i, next, None);
    }

    fn push_with(&mut self, what: Is, i: usize, next: usize, in_capitals: Option<u32>) {
        let words = &self.text.tokens[i..next];
        self.out.push(Piece {
            what,
            start: words[0].start,
            end: words[words.len() - 1].end,
            clause: self.clause,
            sentence: self.sentence,
            token: i,
            in_capitals,
            form_doubt: false,
            through: None,
        });
    }

    fn take(&mut self, i: usize, f: Found, sense: Sense) -> usize {
        let guessed = f.slip || f.by_word || self.guessed[i..f.end].iter().any(|g| *g);
        self.push_with(Is::Sense(sense), i, f.end, f.in_capitals);
        if let Some(p) = self.out.last_mut() {
            p.form_doubt = f.doubt;
        }
        if guessed {
            let words: Vec<&str> =
                (i..f.end).filter_map(|k| self.words[k]).map(|w| self.image.word_str(w)).collect();
            let p = self.out[self.out.len() - 1];
            let nearest = if f.slip || f.by_word {
                self.image.meaning_said(f.meaning).to_string()
            } else {
                words.join(" ")
            };
            self.remarks.push(Remark {
                start: p.start,
                end: p.end,
                remark: RemarkKind::Guessed,
                nearest: Some(nearest),
            });
        }
        f.end
    }

    /// "duty mark: George III", "king's head, in a cusped oval": words for a narrower form of the
    /// mark just before are that mark. Adjectives may stand behind a comma; a reign there is a date.
    fn join(&mut self, i: usize, f: &Found, device: u32) -> Option<usize> {
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
    fn owned(&mut self, i: usize, f: &Found, device: u32) -> Option<usize> {
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

    fn punctuation(&mut self, i: usize, c: char) -> usize {
        let t = self.text.tokens[i];
        let next = i + 1;
        let next_spaced = self.text.tokens.get(next).is_none_or(|n| n.spaced);
        match c {
            _ if self.parts_marks(i) => self.clause += 1,
            '?' => self.push(Is::Question, i, next),
            ':' => {
                self.push(Is::Colon, i, next);
                self.clause += 1;
            }
            '/' => self.push(Is::Slash, i, next),
            '&' | '+' => self.push(Is::Sense(Sense::And), i, next),
            ',' | '(' | ')' | '[' | ']' | '{' | '}' | '|' | '"' | '—' => self.clause += 1,
            ';' | '\n' | '!' => {
                self.clause += 1;
                self.sentence += 1;
            }
            '.' if next_spaced => {
                // A point after one or two letters shortens a word; it ends no sentence.
                let shortens = i > 0 && t.start == self.text.tokens[i - 1].end && {
                    let before = &self.text.tokens[i - 1];
                    before.kind == TokenKind::Word
                        && before.end - before.start <= 2
                        // but capitals are somebody's, and end where their point stands.
                        && !(before.upper && before.end - before.start == 2)
                        || self.goes_on(i)
                };
                if !shortens {
                    self.clause += 1;
                    self.sentence += 1;
                }
            }
            '-' | '·' if t.spaced && next_spaced => self.clause += 1,
            '£' | '$' | '€' => {
                // A price, or two with a dash between.
                let figure =
                    |k: usize| self.text.tokens.get(k).is_some_and(|n| n.kind == TokenKind::Number);
                let dash =
                    self.text.tokens.get(next + 1).is_some_and(|n| n.kind == TokenKind::Punct('-'));
                if figure(next) {
                    let end = if dash && figure(next + 2) { next + 3 } else { next + 1 };
                    self.push(Is::Measure, i, end);
                    return end;
                }
            }
            '#' => self.push(Is::Sense(Sense::Numbered), i, next),
            _ => {}
        }
        next
    }

    /// Does the writer part marks with this sign?
    fn parts_marks(&self, j: usize) -> bool {
        match self.text.tokens[j].kind {
            TokenKind::Punct(c) if self.separators.contains(&c) => {
                self.text.tokens[j].spaced && self.text.tokens.get(j + 1).is_none_or(|n| n.spaced)
            }
            _ => false,
        }
    }

    /// The longest phrase of the vocabulary at token `i`.
    fn phrase(&self, i: usize) -> Option<Found> {
        self.phrase_of(i, true)
    }

    /// The same; `apart`: two whole marks that are joined are no phrase. What is looked up behind a
    /// joint need not know, and a chain of joints is then followed once.
    fn phrase_of(&self, i: usize, apart: bool) -> Option<Found> {
        let mut best = None;
        // A grammar's own words come first; what stands in every text does if it is longer.
        for root in self.grammar.map(Grammar::root).into_iter().chain([EVERY_TEXT]) {
            let from = At {
                node: root,
                j: i,
                commas: false,
                skipped: 0,
                joined: None,
                apart,
                slip: false,
            };
            self.walk(from, i, &mut best);
        }
        best
    }

    fn walk(&self, at: At, first: usize, best: &mut Option<Found>) {
        steps::take(1);
        let At { node, j, commas, skipped, .. } = at;
        let Some(t) = self.text.tokens.get(j) else {
            return;
        };
        for (word, slip) in [(self.words[j], at.slip), (self.slips[j], true)] {
            let Some(next) = word.and_then(|w| self.image.step(node, w)) else {
                continue;
            };
            let ending = self.image.ending(next);
            let typed_upper = || {
                self.text.tokens[first..=j]
                    .iter()
                    .all(|t| t.upper || matches!(t.kind, TokenKind::Punct(_)))
            };
            // "STERLING" typed in capitals is the word as it is stamped.
            let shout = ending.capitals().filter(|_| typed_upper());
            if let Some(meaning) = shout.or(ending.plain())
                && (!commas || ending.may_cross(self.behind_comma(first, j)))
                && !self.adjective_after_and(first, j)
                && !(at.apart && self.two_marks(first, j, at.joined, meaning))
                && best.as_ref().is_none_or(|b| j + 1 > b.end)
            {
                *best = Some(Found {
                    end: j + 1,
                    meaning,
                    in_capitals: ending.capitals(),
                    slip: ending.is_slip() && shout.is_none(),
                    by_word: slip,
                    stands: ending.stands(),
                    doubt: (first + 1..j).any(|k| self.sense_of_word(k) == Some(Sense::Doubt)),
                });
            }
            self.walk(At { node: next, j: j + 1, slip, ..at }, first, best);
        }
        if j == first || skipped == 4 {
            return;
        }
        let skip = At { j: j + 1, skipped: skipped + 1, ..at };
        let joined = At { joined: Some(j), ..skip };
        match t.kind {
            _ if self.parts_marks(j) => {}
            TokenKind::Punct('&' | '/' | '+' | '-') => self.walk(joined, first, best),
            kind if adds(kind) => self.walk(At { commas: true, ..skip }, first, best),
            // A point that shortens a word: "geo. iii head", "leop. hd. crowned". Behind any other
            // word of more than three letters it ends a sentence, but for one whose phrase would
            // end in the air and goes on in small letters.
            TokenKind::Punct('.') if t.start == self.text.tokens[j - 1].end => {
                let before = &self.text.tokens[j - 1];
                let next = self.text.tokens.get(j + 1);
                let spaced = next.is_none_or(|n| n.spaced);
                let letters = before.end - before.start;
                let short = (2..=3).contains(&letters) || letters == 1 && j - 1 > first;
                let in_the_air = self.image.ending(node).plain().is_none();
                if j - first < 3 && (!spaced || short)
                    || self.cut_short(j - 1)
                    || in_the_air && self.small(j + 1)
                {
                    self.walk(skip, first, best);
                }
            }
            TokenKind::Word if self.joins(first, j) => self.walk(joined, first, best),
            TokenKind::Word if self.sense_of_word(j) == Some(Sense::Doubt) => {
                self.walk(skip, first, best);
            }
            _ => {}
        }
    }

    /// "castle & lion", "lion + head": are the tokens two marks, each whole on its side of the sign or word
    /// that joins them, and not one that is a form of both, "crown & 18"?
    fn two_marks(&self, first: usize, last: usize, joined: Option<usize>, meaning: u32) -> bool {
        let and = |k: &usize| self.sense_of_word(*k) == Some(Sense::And);
        let spelled = (first + 1..last).rev().find(and);
        let Some(joint) = joined.or(spelled) else {
            return false;
        };
        // "N & castle" is no town.
        if matches!(self.image.meaning(meaning), Sense::Town(_)) {
            return joined.is_some() && self.text.tokens[joint].spaced;
        }
        let device = |meaning: u32| match self.image.meaning(meaning) {
            Sense::Device(d) => Some(d as usize),
            _ => None,
        };
        let joins = |k: &usize| matches!(self.sense_of_word(*k), Some(Sense::And | Sense::Article));
        let after = (joint + 1..=last).find(|k| !joins(k));
        let (Some(all), Some(after)) = (device(meaning), after) else {
            return false;
        };
        // "leopard's head and crown and 18": the crown is of the longer phrase that it opens. What the
        // vocabulary holds with its "and" is else one mark.
        let behind = self.phrase_of(after, false).filter(|f| f.end > last);
        if joined.is_none() {
            return behind.is_some_and(|f| f.end > last + 1);
        }
        let mut words = self.words[first..joint].iter();
        let before = words.try_fold(0, |node, w| self.image.step(node, (*w)?));
        let before = before.and_then(|node| self.image.ending(node).plain());
        let (Some(a), Some(b)) = (before.and_then(device), behind.and_then(|f| device(f.meaning)))
        else {
            return false;
        };
        !(self.image.covers(a, all) && self.image.covers(b, all)) && a != all && b != all
    }

    /// Is the word known as a shorter way to write another, with letters left out?
    fn cut_short(&self, j: usize) -> bool {
        let Some(meant) = self.slips[j] else {
            return false;
        };
        let short = self.text.word(&self.text.tokens[j]);
        let full = self.image.word_str(meant);
        let mut rest = full.chars();
        short.len() < full.len() && short.chars().all(|c| rest.any(|f| f == c))
    }

    /// Does the token begin with a small letter?
    fn small(&self, j: usize) -> bool {
        let typed = |t: &Token| self.text.typed[t.start..t.end].starts_with(char::is_lowercase);
        self.text.tokens.get(j).is_some_and(typed)
    }

    /// "small rom. k", "cap. K": the point behind the word only shortens it, and the sentence goes on.
    fn goes_on(&self, i: usize) -> bool {
        let letter =
            self.text.tokens.get(i + 1).is_some_and(|n| {
                n.kind == TokenKind::Word && self.text.word(n).chars().count() == 1
            });
        let Some(before) = i.checked_sub(1) else {
            return false;
        };
        let t = &self.text.tokens[before];
        let adjective = matches!(
            self.sense_of_word(before),
            Some(Sense::Case(_) | Sense::Lettering(_) | Sense::LetterNoun)
        );
        self.cut_short(before) && (letter || self.small(i + 1))
            || adjective && letter && t.end - t.start <= SHORTENED
    }

    /// "lion and crowned leopard's head": an adjective behind "and" is of the noun to come.
    fn adjective_after_and(&self, first: usize, j: usize) -> bool {
        j > first
            && matches!(self.sense_of_word(j), Some(Sense::Beside | Sense::Illegible))
            && (self.text.tokens[j - 1].kind == TokenKind::Punct('&')
                || self.sense_of_word(j - 1) == Some(Sense::And))
    }

    /// How many tokens up to `last` stand behind the one comma or bracket of these tokens.
    fn behind_comma(&self, first: usize, last: usize) -> Option<usize> {
        let mut commas = (first..last).filter(|&k| adds(self.text.tokens[k].kind));
        let comma = commas.next().filter(|_| commas.next().is_none())?;
        // "X, crowned harp": there the adjective belongs to the noun behind it.
        (!self.noun_behind(last + 1)).then_some(last - comma)
    }

    /// Is the token a word that an adjective before it may belong to?
    fn noun_behind(&self, j: usize) -> bool {
        self.text.tokens.get(j).is_some_and(|t| {
            t.kind == TokenKind::Word
                && !matches!(self.sense_of_word(j), Some(Sense::And | Sense::Filler))
        })
    }

    /// "and", and "a" after it: may stand inside a phrase.
    fn joins(&self, first: usize, j: usize) -> bool {
        match self.sense_of_word(j) {
            Some(Sense::And) => true,
            Some(Sense::Article) => {
                let before = &self.text.tokens[j - 1];
                j > first + 1
                    && !self.text.tokens[j].upper
                    && (before.kind == TokenKind::Punct('&')
                        || self.sense_of_word(j - 1) == Some(Sense::And))
            }
            _ => false,
        }
    }

    /// What a word means by itself.
    fn sense_of_word(&self, j: usize) -> Option<Sense> {
        self.senses.get(j).copied().flatten()
    }

    /// May a word of one letter be taken for the word?
    fn lone_word(&self, i: usize, sense: Sense) -> bool {
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
            _ => false,
        }
    }

    /// "No. 2", "No 2": where a word of absence numbers something, the token of its figures. Figures
    /// that are a mark can be absent, "no 925", but not behind a point, nor where the word has a
    /// capital in the middle of a sentence.
    fn numbers(&self, i: usize) -> Option<usize> {
        let figures = if self.pointed(i) { i + 2 } else { i + 1 };
        let number = self.text.tokens.get(figures).is_some_and(|t| t.kind == TokenKind::Number);
        let opens = self.out.last().is_none_or(|p| p.sentence != self.sentence);
        let named = !opens && self.text.has_small && !self.small(i);
        (number && (figures > i + 1 || named || self.phrase(figures).is_none())).then_some(figures)
    }

    /// One letter, a capital.
    fn is_capital(&self, i: usize) -> bool {
        let letter = |t: &Token| t.kind == TokenKind::Word && t.upper && t.end - t.start == 1;
        self.text.tokens.get(i).is_some_and(letter)
    }

    /// A number that measures, prices or counts: "178 g", "7 in high", "lot 18".
    fn measure(&mut self, i: usize, end: usize, sense: Sense) -> Option<usize> {
        let figure = self.text.tokens[i..end].iter().all(|t| t.kind == TokenKind::Number);
        if !figure || !matches!(sense, Sense::Device(_)) {
            return None;
        }
        self.measured(i, end)
    }

    /// Does a word that numbers something stand before: "lot 22"?
    fn counted(&self) -> bool {
        let numbers = |p: &Piece| p.what == Is::Sense(Sense::Numbered) && p.clause == self.clause;
        self.out.last().is_some_and(numbers)
    }

    fn measured(&mut self, i: usize, end: usize) -> Option<usize> {
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
    fn counts(&self, i: usize, end: usize) -> bool {
        let t = &self.text.tokens[i];
        let figure = self.text.word(t);
        end == i + 1 && figure.len() <= 2 && figure.bytes().all(|b| b.is_ascii_digit())
    }

    /// Past the sign behind a figure that says what it is: 18" is a length, 18=10 a scratch weight, "9)" an
    /// item of a list.
    fn past_sign(&self, i: usize, end: usize) -> Option<usize> {
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

    fn number(&mut self, i: usize) -> usize {
        if let Some(next) = self.measured(i, i + 1) {
            return next;
        }
        let word = self.text.word(&self.text.tokens[i]).to_string();
        let tight = |s: &Self, k: usize| s.text.tokens.get(k).is_some_and(|t| !t.spaced);
        let text_of = |s: &Self, k: usize| {
            s.text.tokens.get(k).map(|t| s.text.word(t).to_string()).unwrap_or_default()
        };
        if let Some(year) = as_year(&word) {
            // "1890s"
            if tight(self, i + 1) && text_of(self, i + 1) == "s" {
                self.push(Is::Years(year, year + if year % 100 == 0 { 99 } else { 9 }), i, i + 2);
                return i + 2;
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

    /// "18th", "18th c".
    fn ordinal(&mut self, i: usize) -> Option<usize> {
        let [figures, ending] = self.text.tokens.get(i..i + 2)? else {
            return None;
        };
        let tight = figures.kind == TokenKind::Number && !ending.spaced;
        if !tight || !matches!(self.text.word(ending), "st" | "nd" | "rd" | "th") {
            return None;
        }
        let n = self.text.word(figures).parse().ok().filter(|n| (1..=21).contains(n))?;
        self.push(Is::Ordinal(n), i, i + 2);
        // "c" after an ordinal is the century.
        let century = self.text.tokens.get(i + 2).is_some_and(|t| self.text.word(t) == "c");
        if century {
            self.push(Is::Sense(Sense::Century), i + 2, i + 3);
        }
        Some(if century { i + 3 } else { i + 2 })
    }

    /// Is the text nothing but groups of two to four capitals, none of which the vocabulary knows?
    fn is_initials_alone(&self) -> bool {
        let tokens = self.text.tokens.len();
        let group = |i: usize| {
            self.is_group(i)
                && self.text.word(&self.text.tokens[i]).len() > 1
                && self.phrase(i).is_none_or(|f| says_nothing(self.image.meaning(f.meaning)))
        };
        (1..=MOST_GROUPS).contains(&tokens) && !self.text.has_small && (0..tokens).all(group)
    }

    /// One to four letters, all capitals.
    fn is_group(&self, i: usize) -> bool {
        self.text.tokens.get(i).is_some_and(|t| {
            t.kind == TokenKind::Word
                && t.upper
                && (1..=4).contains(&(t.end - t.start))
                && self.text.word(t).bytes().all(|b| b.is_ascii_alphabetic())
        })
    }

    /// Do capitals mean something: is some letter typed small, or is there nothing but initials?
    fn in_small_text(&self) -> bool {
        self.text.has_small || self.initials_alone
    }

    /// Is the word without a meaning of its own, such as "we", typed in capitals and alone in its
    /// clause? Then it is somebody's initials.
    fn names_someone(&self, i: usize, f: &Found, sense: Sense) -> bool {
        let ends = || match self.text.tokens.get(i + 1).map(|t| t.kind) {
            None => true,
            Some(TokenKind::Punct(c)) => ENDS_CLAUSE.contains(&c),
            Some(_) => false,
        };
        f.end == i + 1
            && says_nothing(sense)
            && self.is_group(i)
            && self.text.word(&self.text.tokens[i]).len() > 1
            && (self.initials_alone
                || self.text.has_small && ends() && self.clause_so_far().next().is_none())
    }

    /// "A-F", "a - f": the token of the last letter of a range, both of one case and in order.
    fn last_of_range(&self, i: usize) -> Option<usize> {
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

    /// A capital with a point before a name: "S. Kirk".
    fn first_name(&self, i: usize) -> bool {
        let Some([a, point, name]) = self.text.tokens.get(i..i + 3) else {
            return false;
        };
        let capital = self.text.typed[name.start..name.end].starts_with(char::is_uppercase);
        a.upper
            && point.kind == TokenKind::Punct('.')
            && point.start == a.end
            && name.kind == TokenKind::Word
            && name.end - name.start > 2
            && capital
            && !name.upper
            && self.phrase(i + 2).is_none_or(|f| {
                matches!(
                    self.image.meaning(f.meaning),
                    Sense::Aside | Sense::FalseFriend | Sense::Filler
                )
            })
    }

    /// What the clause holds before this place, newest first; its last forty pieces are enough.
    fn clause_so_far(&self) -> impl Iterator<Item = &Piece> {
        self.out.iter().rev().take(40).counted().take_while(|p| p.clause == self.clause)
    }

    /// The clause so far speaks of the maker or the assayer, so capitals are their initials.
    fn after_maker(&self) -> bool {
        self.clause_so_far().any(|p| {
            matches!(p.what, Is::Sense(Sense::SponsorNoun | Sense::SlotNoun(Slot::Assayer)))
        })
    }

    /// The clause so far calls for a date letter.
    fn letter_called_for(&self) -> bool {
        // "date letter: X": the noun stands before the colon.
        let labelled = matches!(
            self.out.as_slice(),
            [.., Piece { what: Is::Sense(Sense::LetterNoun), .. }, Piece { what: Is::Colon, .. }]
        );
        labelled || self.letter_called_for_here()
    }

    /// Is it still to come?
    fn letter_awaited(&self) -> bool {
        let read = self.clause_so_far().any(|p| p.what == Is::Letter);
        self.letter_called_for() && !read
    }

    /// Does the letter stand by itself, with no other single letter in the text?
    fn only_letter(&self, i: usize) -> bool {
        let single = |t: &Token| t.kind == TokenKind::Word && self.text.word(t).len() == 1;
        let alone = self.text.tokens.get(i + 1).is_some_and(|n| n.spaced);
        alone && self.text.tokens.iter().filter(|t| single(t)).take(2).count() == 1
    }

    fn letter_called_for_here(&self) -> bool {
        self.clause_so_far().any(|p| {
            matches!(p.what, Is::Sense(Sense::LetterNoun | Sense::Case(_) | Sense::Lettering(_)))
        })
    }

    /// May the sign join groups of capitals? Not where it parts marks, nor a point before a space
    /// behind two letters or more.
    fn joins_groups(&self, j: usize) -> bool {
        let before = &self.text.tokens[j - 1];
        let ends_sentence = self.text.tokens[j].kind == TokenKind::Punct('.')
            && self.text.tokens.get(j + 1).is_some_and(|n| n.spaced)
            && before.end - before.start > 1;
        !self.parts_marks(j) && !ends_sentence
    }

    /// Does a point stand directly behind the token?
    fn pointed(&self, j: usize) -> bool {
        let t = &self.text.tokens[j];
        self.text
            .tokens
            .get(j + 1)
            .is_some_and(|p| p.kind == TokenKind::Punct('.') && p.start == t.end)
    }

    /// Past "& S" or ". & D.", where more capitals are joined to initials that end at token `j`.
    fn and_more(&self, j: usize) -> Option<usize> {
        let kind = |k: usize| self.text.tokens.get(k).map(|t| t.kind);
        let and = if kind(j) == Some(TokenKind::Punct('.')) { j + 1 } else { j };
        let capital = self.text.tokens.get(and + 1)?;
        let joins = kind(and) == Some(TokenKind::Punct('&'))
            && capital.upper
            && capital.end - capital.start == 1;
        let point = self
            .text
            .tokens
            .get(and + 2)
            .is_some_and(|t| t.kind == TokenKind::Punct('.') && t.start == capital.end);
        joins.then_some(if point { and + 3 } else { and + 2 })
    }

    /// Past "& Co", "& Sons", where that follows token `j`.
    fn firm(&self, j: usize) -> usize {
        let and = self.text.tokens.get(j).is_some_and(|t| t.kind == TokenKind::Punct('&'))
            || self.sense_of_word(j) == Some(Sense::And);
        let after = if and { j + 1 } else { j };
        if self.sense_of_word(after) == Some(Sense::Firm) { after + 1 } else { j }
    }

    /// Past "& Co" or ". & Co" behind letters of plate, which end at token `j`.
    fn with_firm(&self, j: usize, sense: Sense) -> usize {
        let plate = matches!(sense, Sense::Device(d)
            if self.image.device(d as usize).kind() == DeviceKind::Lookalike);
        let point = self.text.tokens.get(j).map(|t| t.kind) == Some(TokenKind::Punct('.'));
        let from = if point { j + 1 } else { j };
        let firm = self.firm(from);
        if plate && firm > from { firm } else { j }
    }

    /// Single capitals with strokes or spaces between, "E/P", "E P", that together are letters which the
    /// vocabulary knows in capitals.
    fn stamped(&self, i: usize, end: usize) -> Option<Sense> {
        let tokens = &self.text.tokens[i..end];
        let single = |t: &&Token| t.kind == TokenKind::Word && t.end - t.start == 1;
        let stroke = |t: &Token| t.kind == TokenKind::Punct('/');
        if !tokens.iter().all(|t| single(&t) || stroke(t)) {
            return None;
        }
        let letters = tokens.iter().filter(single).map(|t| self.text.word(t));
        let meaning = ending(self.image, &letters.collect::<String>())?.capitals()?;
        Some(self.image.meaning(meaning))
    }

    /// An abbreviation that counts only with its strokes or points, and in small letters: "m/m",
    /// "m.m.", "w/". Capitals are somebody's initials, and figures before it make it a measure.
    fn signed(&mut self, i: usize) -> Option<usize> {
        let letter = |j: usize| {
            let t = self.text.tokens.get(j)?;
            let one = t.kind == TokenKind::Word && t.end - t.start == 1;
            (one && !t.upper && (j == i || !t.spaced)).then_some(t)
        };
        let sign = |j: usize| {
            let t = self.text.tokens.get(j)?;
            let sign = matches!(t.kind, TokenKind::Punct('.' | '/')) && !t.spaced;
            sign.then_some(t)
        };
        (letter(i).is_some() && sign(i + 1).is_some()).then_some(())?;
        let measured = i > 0 && self.text.tokens[i - 1].kind == TokenKind::Number;
        let (mut word, mut j) = (String::new(), i);
        let mut known = None;
        while let Some(t) = if (j - i).is_multiple_of(2) { letter(j) } else { sign(j) } {
            word.push_str(self.text.word(t));
            j += 1;
            if j > i + 1
                && let Some(id) = self.image.word(word.as_bytes())
            {
                known = Some((j, id));
            }
            if word.len() == MOST_POINTED {
                break;
            }
        }
        let (end, id) = known.filter(|_| !measured)?;
        let meaning = self.image.ending(self.image.step(0, id)?).plain()?;
        // More letters make it something else: "w/o".
        (letter(end).is_none()).then_some(())?;
        // One letter with its point is a date letter as often as a word: it is the word between
        // two words of a clause, where no letter is called for.
        if end == i + 2 && self.text.tokens[i + 1].kind == TokenKind::Punct('.') {
            let inside = i > 0 && self.text.tokens[i - 1].kind == TokenKind::Word;
            let word = self.text.tokens.get(end).is_some_and(|t| t.end - t.start > 1);
            (inside && word && self.small(end) && !self.letter_called_for()).then_some(())?;
        }
        self.push(Is::Sense(self.image.meaning(meaning)), i, end);
        Some(end)
    }

    /// Initials of a sponsor: groups of capitals joined by a point, a stroke or a space. Letters
    /// with points between them may also be an abbreviation that the vocabulary knows.
    fn initials(&mut self, i: usize) -> Option<usize> {
        let first = self.text.tokens[i];
        if first.kind != TokenKind::Word || first.end - first.start > 4 {
            return None;
        }
        // Points first: l.p., E.P.N.S., W.S
        let mut j = i;
        let mut letters = String::new();
        // Where the run would end after each letter.
        let mut ends = Vec::new();
        let mut upper = true;
        while let Some(t) = self.text.tokens.get(j) {
            if t.kind != TokenKind::Word
                || letters.len() == MOST_POINTED
                || t.end - t.start != 1
                || (j > i && t.spaced && !(t.upper && self.pointed(j)))
            {
                break;
            }
            letters.push_str(self.text.word(t));
            upper &= t.upper;
            ends.push(j + 1);
            let point = self.text.tokens.get(j + 1).is_some_and(|p| {
                matches!(p.kind, TokenKind::Punct('.' | '·' | '*')) && p.start == t.end
            });
            j += 1;
            if !point {
                break;
            }
            j += 1;
        }
        // The longest abbreviation that the vocabulary knows: "E.P.N.S. W H" begins with one.
        for n in (2..=letters.len()).rev() {
            let known = self
                .image
                .word(&letters.as_bytes()[..n])
                .and_then(|w| self.image.step(0, w))
                .map(|node| self.image.ending(node));
            let meaning =
                known.and_then(|e| if upper { e.capitals().or(e.plain()) } else { e.plain() });
            if let Some(meaning) = meaning {
                let sense = self.image.meaning(meaning);
                let end = self.with_firm(ends[n - 1], sense);
                self.push(Is::Sense(sense), i, end);
                return Some(end);
            }
        }
        let joined = (upper && !letters.is_empty())
            .then(|| self.and_more(ends[letters.len() - 1]))
            .flatten();
        if letters.len() > 1 || joined.is_some() {
            if upper || self.after_maker() {
                let end = self.firm(joined.unwrap_or(ends[letters.len() - 1]));
                self.push(Is::Initials, i, end);
                return Some(end);
            }
            return None;
        }
        // Groups of capitals, unless they spell a phrase: "E P N S".
        if !self.is_group(i) || self.phrase(i).is_some_and(|f| f.end > i + 1) {
            return None;
        }
        // "assay master's mark EP": what the noun names is no abbreviation.
        let named = self.out.last().is_some_and(|p| {
            p.clause == self.clause
                && matches!(p.what, Is::Sense(Sense::SponsorNoun | Sense::SlotNoun(Slot::Assayer)))
        });
        let unknown = |s: &Self, k: usize| {
            let t = &s.text.tokens[k];
            t.end - t.start == 1 || named && k == i || s.phrase(k).is_none()
        };
        // Among groups that a sign joins, "WE/WF/WC", a word that only joins others is a group too.
        let free = |s: &Self, k: usize| {
            let joins = |f: Found| f.end == k + 1 && says_nothing(s.image.meaning(f.meaning));
            unknown(s, k) || s.phrase(k).is_some_and(joins)
        };
        let sign = |k: usize| {
            let kind = self.text.tokens.get(k).map(|t| t.kind);
            matches!(kind, Some(TokenKind::Punct('/' | '·' | '.' | '*' | '&' | '+')))
        };
        let in_run = sign(i + 1) && self.is_group(i + 2) && free(self, i);
        if !unknown(self, i) && !in_run {
            return None;
        }
        let single = |s: &Self, k: usize| s.text.tokens[k].end - s.text.tokens[k].start == 1;
        let called_for = self.letter_called_for();
        let (mut j, mut groups, mut tight) = (i + 1, 1, false);
        while let Some(t) = self.text.tokens.get(j) {
            steps::take(1);
            match t.kind {
                TokenKind::Punct('/' | '·' | '.' | '*' | '&' | '+')
                    if self.joins_groups(j) && self.is_group(j + 1) && free(self, j + 1) =>
                {
                    let stroke = t.kind == TokenKind::Punct('/');
                    if stroke && called_for && single(self, i) && single(self, j + 1) {
                        return None;
                    }
                    if !stroke && called_for && single(self, i) {
                        return None;
                    }
                    tight = true;
                    groups += 1;
                    j += 2;
                }
                TokenKind::Word
                    if self.in_small_text()
                        && self.is_group(j)
                        && unknown(self, j)
                        && !(called_for && single(self, i)) =>
                {
                    groups += 1;
                    j += 1;
                }
                _ => break,
            }
        }
        if let Some(sense) = self.stamped(i, j) {
            let end = self.with_firm(j, sense);
            self.push(Is::Sense(sense), i, end);
            return Some(end);
        }
        let firm = self.firm(j);
        let single_name = groups == 1 && (named && !single(self, i) || firm > j);
        j = firm;
        if !single_name && (groups < 2 || !(tight || self.in_small_text() || self.after_maker())) {
            return None;
        }
        self.push(Is::Initials, i, j);
        Some(j)
    }
}

/// Strokes and dots that stand alone between spaces twice or more.
fn separators(tokens: &[Token]) -> Vec<char> {
    ['/', '·']
        .into_iter()
        .filter(|c| {
            let spaced =
                |w: &&[Token]| w[0].kind == TokenKind::Punct(*c) && w[0].spaced && w[1].spaced;
            tokens.windows(2).filter(spaced).count() > 1
        })
        .collect()
}

/// Does a word of this meaning only join others?
fn says_nothing(sense: Sense) -> bool {
    matches!(sense, Sense::Filler | Sense::Article | Sense::In)
}

/// What a word of the vocabulary means by itself.
fn alone(image: &Image, word: Option<u32>) -> Option<Sense> {
    let node = image.step(0, word?)?;
    image.ending(node).plain().map(|m| image.meaning(m))
}

pub(crate) fn as_year(digits: &str) -> Option<i32> {
    let y = (digits.len() == 4).then(|| digits.parse::<i32>().ok()).flatten()?;
    (1300..=2099).contains(&y).then_some(y)
}
