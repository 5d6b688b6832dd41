//! Tokens to pieces: the longest phrases of the vocabulary, years, initials, measures and single
//! letters.

use puncheon_schema::entry::{Grammar, Standing};
use puncheon_schema::image::{Image, Sense};

use crate::near::correct;
use crate::said::{Remark, RemarkKind};
use crate::steps;
use crate::token::{Text, Token, TokenKind};

mod capitals;
mod context;
mod dates;
mod figures;
pub mod longest;
mod matcher;

use dates::part_figures;
pub(crate) use figures::{as_year, beside_figures};

/// A stretch of tokens and what it is.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    /// What they are taken for.
    pub what: Is,
    /// Its first byte in the text as typed.
    pub start: usize,
    /// Past its last byte.
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

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Is {
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
    /// "C19th": a century in one word.
    Century(i32),
    /// A question mark, which casts doubt on what stands beside it.
    Question,
    /// A colon.
    Colon,
    /// A stroke.
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

    /// Is it a word that stands before a date and turns or narrows it: "about", "early", "before"?
    pub fn turns_a_date(self) -> bool {
        matches!(
            self,
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
            )
        )
    }
}

/// A text cut into pieces.
#[derive(Clone)]
pub struct Pieces<'t> {
    /// The text with its tokens.
    pub text: Text<'t>,
    /// The pieces in order.
    pub pieces: Vec<Piece>,
    /// Words that were not taken as they stand, and others that need a remark.
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
pub const EVERY_TEXT: u32 = 0;
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
    pub(crate) fn cut_for(
        image: &Image,
        mut text: Text<'t>,
        grammar: Option<Grammar>,
    ) -> Pieces<'t> {
        part_figures(image, grammar, &mut text);
        let mut words = Vec::with_capacity(text.tokens.len());
        let mut slips = Vec::with_capacity(text.tokens.len());
        let mut guessed = vec![false; text.tokens.len()];
        for (i, t) in text.tokens.iter().enumerate() {
            let known = match t.kind {
                // A sign may stand for a word.
                TokenKind::Punct(_) => {
                    image.word(text.word(t).as_bytes()).and_then(|sign| image.slip_for(sign))
                }
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

    /// A piece as it was typed.
    pub fn typed(&self, p: &Piece) -> &str {
        &self.text.typed[p.start..p.end]
    }
}

/// A comma; or a bracket that adds to the mark before it, "leopard's head (crowned)".
fn adds(kind: TokenKind) -> bool {
    matches!(kind, TokenKind::Punct(',' | '(' | '['))
}

impl Cutter<'_, '_> {
    /// Takes one piece at token `i` and returns the next token.
    fn step(&mut self, i: usize) -> usize {
        steps::take(1);
        let t = self.text.tokens[i];
        if let TokenKind::Punct(c) = t.kind {
            return self.punctuation(i, c);
        }
        let apart = self.date_in_figures(i).or_else(|| self.signed(i));
        if let Some(next) = apart.or_else(|| self.initials(i)) {
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
                return self.place(i, f, sense);
            }
        }
        let next = i + 1;
        if !single
            && t.kind == TokenKind::Word
            && let Some(end) = self.mixed_initials(i)
        {
            return end;
        }
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

    /// Puts a phrase that was found where it belongs, and returns the token behind it.
    fn place(&mut self, i: usize, f: Found, sense: Sense) -> usize {
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
        placed.unwrap_or_else(|| self.take(i, f, sense))
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
        let what = match sense {
            Sense::Nth(n) => Is::Ordinal(n.into()),
            sense => Is::Sense(sense),
        };
        self.push_with(what, i, f.end, f.in_capitals);
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

/// Does a word of this meaning name no mark, and nothing of one? Two capitals that stand alone are then
/// somebody's rather than a pair, a unit or a count.
fn names_no_mark(sense: Sense) -> bool {
    says_nothing(sense)
        || matches!(
            sense,
            Sense::Aside
                | Sense::FalseFriend
                | Sense::Unit
                | Sense::Numbered
                | Sense::Firm
                | Sense::About
                | Sense::Or
                | Sense::And
                | Sense::Case(_)
                | Sense::MarkNoun
                | Sense::LetterNoun
                | Sense::Century
        )
}

/// What a word of the vocabulary means by itself.
fn alone(image: &Image, word: Option<u32>) -> Option<Sense> {
    let node = image.step(0, word?)?;
    image.ending(node).plain().map(|m| image.meaning(m))
}
