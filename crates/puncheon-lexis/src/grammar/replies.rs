//! What is typed at the bench: an answer to the question that stands, by its number or in words, a
//! question back, something to be done, or more of the description.

use std::ops::Range;

use puncheon_schema::entry::{Command, Grammar};
use puncheon_schema::image::{Image, Sense};

use crate::grammar::initials::sense_within;
use crate::grammar::marks::Clauses;
use crate::phrase::{Is, Piece, Pieces};
use crate::token::{Text, TokenKind};
use crate::tree::{Aside, Fate, Tree, Use};

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Which letter is the date letter.
    Letter,
    /// The style or the outline of the letter.
    LetterForm,
    /// Another mark.
    Mark,
}

/// The question that stands.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// What it is about.
    pub about: About,
    /// How many answers have a number, from 1 on.
    pub numbered: usize,
    /// The answer that there is none, by its place.
    pub missing: Option<usize>,
    /// The answer that there is one, where only one says which.
    pub only: Option<usize>,
}

/// How a line is taken. Its words are those typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reply<'t> {
    /// Nothing was typed.
    Empty,
    /// Something is to be done, with what stands behind the word for it.
    Command(Command, &'t str),
    /// It asks something, rather than describe it.
    Asks,
    /// What is asked cannot be made out.
    Passed,
    /// An answer, by its place.
    Answer(usize),
    /// There is none, and no answer says so.
    NoSuchAnswer,
    /// There is no date letter.
    NoLetter,
    /// There is one, and not which.
    Something,
    /// A figure that numbers no answer.
    Figure(&'t str),
    /// Several numbers, of which none can be meant.
    Numbers,
    /// More of the description, or an answer in words of its own.
    Words(&'t str),
}

/// A single key answers: a figure of more digits may be a mark.
const MOST_NUMBERED: usize = 9;

/// Reads a line; `asked` is the question that stands.
pub fn read<'t>(image: &Image, typed: &'t str, asked: Option<&Asked>) -> Reply<'t> {
    let typed = typed.trim();
    let line = Line::of(image, typed);
    if let Some(reply) = line.command() {
        return reply;
    }
    if line.asks() {
        return Reply::Asks;
    }
    match asked {
        Some(asked) => line.answer(image, asked),
        None => Reply::Words(typed),
    }
}

/// What becomes of every byte of a line. What describes marks has the places of a description.
pub fn tree(image: &Image, typed: &str, asked: Option<&Asked>) -> Tree {
    let at = |part: &str| part.as_ptr() as usize - typed.as_ptr() as usize;
    let described = |part: &str| -> Vec<(Range<usize>, Fate)> {
        let clauses = Clauses::read(image, Pieces::cut(image, Text::new(image, part)));
        let tree = clauses.of(image, part).tree;
        let words = tree.nodes().iter().filter(|n| n.fate != Fate::Parting);
        words.map(|n| (at(part) + n.start..at(part) + n.end, n.fate)).collect()
    };
    let line = typed.trim();
    let begins = at(line);
    let nodes = match read(image, typed, asked) {
        Reply::Words(words) => described(words),
        Reply::Command(_, "") => {
            vec![(begins..begins + line.len(), Fate::Used(Use::Reply))]
        }
        Reply::Command(_, rest) => {
            let word = typed[begins..at(rest)].trim_end().len();
            let mut nodes = vec![(begins..begins + word, Fate::Used(Use::Reply))];
            nodes.extend(described(rest));
            nodes
        }
        _ => {
            let pieces = Line::of(image, line).pieces.into_iter();
            pieces.map(|p| (begins + p.start..begins + p.end, fate(p.what))).collect()
        }
    };
    Tree::over(typed, nodes)
}

/// What becomes of a word of an answer.
fn fate(what: Is) -> Fate {
    match what {
        Is::Sense(Sense::Filler | Sense::Article | Sense::MarkNoun | Sense::And | Sense::Or) => {
            Fate::Aside(Aside::Joining)
        }
        _ => Fate::Used(Use::Reply),
    }
}

/// Numbers of marks and nothing else, apart from what joins them: "1 and 2".
pub fn numbers(image: &Image, typed: &str) -> Option<Vec<usize>> {
    let text = Text::new(image, typed);
    let mut out = Vec::new();
    for t in &text.tokens {
        match t.kind {
            TokenKind::Number => out.push(text.word(t).parse().ok()?),
            TokenKind::Punct(',' | ';' | '#' | '-' | '&') => {}
            TokenKind::Word => match sense_within(image, Grammar::Replies, text.word(t))? {
                Sense::And | Sense::Or | Sense::Absent => {}
                _ => return None,
            },
            TokenKind::Punct(_) => return None,
        }
    }
    (!out.is_empty()).then_some(out)
}

/// Does a line say that something cannot be made out, and name no mark: "worn smooth"? A letter named is
/// the one that `asked` is about. Bare wear or doubt ("worn", "no idea") says so of what is asked, and
/// is else not enough: a worn mark may be read.
pub fn cannot_tell(image: &Image, typed: &str, asked: Option<About>) -> bool {
    let letter = matches!(asked, Some(About::Letter | About::LetterForm));
    let said = |what: Is| what == Is::Sense(Sense::Illegible);
    let weakly =
        |what: Is| asked.is_some() && matches!(what, Is::Sense(Sense::Worn | Sense::Doubt));
    let beside = |what: Is| {
        is_small(what)
            || matches!(what, Is::Sense(Sense::FalseFriend | Sense::NothingElse))
            || letter && what == Is::Sense(Sense::LetterNoun)
    };
    let all = described(image, typed);
    let plainly = all.iter().any(|w| said(*w));
    (plainly || all.iter().any(|w| weakly(*w)))
        // A word that is not known may be a mark that is misspelt.
        && all
            .into_iter()
            .all(|w| said(w) || beside(w) || plainly && w == Is::Unknown)
}

/// Does a line name a mark's place and nothing of the mark: "maker"?
pub fn names_only(image: &Image, typed: &str) -> bool {
    let noun = |what: Is| {
        matches!(
            what,
            Is::Sense(
                Sense::SlotNoun(_) | Sense::SponsorNoun | Sense::LetterNoun | Sense::StandardNoun
            )
        )
    };
    described(image, typed).into_iter().all(|w| noun(w) || is_small(w))
}

/// The pieces of a line read as a description.
fn described(image: &Image, typed: &str) -> Vec<Is> {
    let cut = Pieces::cut(image, Text::new(image, typed));
    cut.pieces.into_iter().map(|p| p.what).collect()
}

/// Does a word say nothing of a mark by itself?
fn is_small(what: Is) -> bool {
    matches!(
        what,
        Is::Sense(
            Sense::Filler
                | Sense::Article
                | Sense::MarkNoun
                | Sense::Worn
                | Sense::Doubt
                | Sense::And
                | Sense::Or
        ) | Is::Question
    )
}

/// A line in pieces, the words of the bench among them.
struct Line<'t> {
    typed: &'t str,
    pieces: Vec<Piece>,
}

impl<'t> Line<'t> {
    fn of(image: &Image, typed: &'t str) -> Line<'t> {
        let cut = Pieces::cut_for(image, Text::new(image, typed), Some(Grammar::Replies));
        Line { typed, pieces: cut.pieces }
    }

    /// What is to be done. A word for it counts only where it begins the line, and but for those that
    /// name marks, only alone.
    fn command(&self) -> Option<Reply<'t>> {
        if self.typed.is_empty() {
            return Some(Reply::Empty);
        }
        if self.typed == "?" {
            return Some(Reply::Command(Command::Help, ""));
        }
        let first = self.pieces.first().filter(|p| p.start == 0)?;
        let Is::Sense(Sense::Command(command)) = first.what else {
            return None;
        };
        let rest = &self.typed[first.end..];
        let names =
            matches!(command, Command::Change | Command::Drop | Command::With | Command::Without);
        let ends = if names { rest.is_empty() || rest.starts_with(' ') } else { rest.is_empty() };
        ends.then(|| Reply::Command(command, rest.trim()))
    }

    /// Does it ask something? What a word that asks has behind it may be described: "what looks like an
    /// anchor".
    fn asks(&self) -> bool {
        let talk = |w: Is| matches!(w, Is::Sense(Sense::Filler | Sense::Yes | Sense::And));
        let mut said = self.pieces.iter().map(|p| p.what).skip_while(|w| talk(*w));
        let described = |w: Is| matches!(w, Is::Sense(Sense::LooksLike | Sense::Doubt));
        said.next() == Some(Is::Sense(Sense::Asks)) && !said.next().is_some_and(described)
    }

    fn answer(&self, image: &Image, asked: &Asked) -> Reply<'t> {
        // "3." and "1?" are slips of 3 and 1.
        let plain = self.typed.trim_end_matches(['.', ')', '?', '!', ':']).trim();
        if let Some(reply) = figure(image, plain, asked) {
            return reply;
        }
        let letter = asked.about == About::Letter;
        // A letter may be an n or a y.
        let one_letter = letter && plain.chars().count() == 1;
        if self.is_all(|s| s == Sense::Pass) {
            return Reply::Passed;
        }
        let none =
            |s| matches!(s, Sense::No | Sense::Absent | Sense::AbsentAfter | Sense::NothingElse);
        // "It has none" has a word for yes in it.
        let says_none = self.says(none) && self.is_all(|s| none(s) || s == Sense::Yes);
        if !one_letter && says_none {
            return match asked.missing {
                Some(a) => Reply::Answer(a),
                None if letter => Reply::NoLetter,
                None => Reply::NoSuchAnswer,
            };
        }
        if !one_letter && self.is_all(|s| s == Sense::Yes) {
            return match (asked.missing, asked.only) {
                (Some(_), Some(a)) => Reply::Answer(a),
                _ => Reply::Something,
            };
        }
        match cannot_tell(image, plain, Some(asked.about)) {
            true => Reply::Passed,
            false => Reply::Words(plain),
        }
    }

    /// Does it say this, and nothing else but small words?
    fn is_all(&self, says: impl Fn(Sense) -> bool) -> bool {
        let said = |p: &Piece| matches!(p.what, Is::Sense(s) if says(s));
        let small = |p: &Piece| {
            matches!(
                p.what,
                Is::Sense(Sense::Filler | Sense::Article | Sense::MarkNoun) | Is::Question
            )
        };
        self.says(&says) && self.pieces.iter().all(|p| said(p) || small(p))
    }

    fn says(&self, says: impl Fn(Sense) -> bool) -> bool {
        self.pieces.iter().any(|p| matches!(p.what, Is::Sense(s) if says(s)))
    }
}

/// A line of figures alone.
fn figure<'t>(image: &Image, plain: &'t str, asked: &Asked) -> Option<Reply<'t>> {
    // One with a point is struck, and no number.
    Some(match numbers(image, plain)?.as_slice() {
        [0] => Reply::Passed,
        [n] if *n <= asked.numbered.min(MOST_NUMBERED) && plain.len() == 1 => Reply::Answer(n - 1),
        [_] => Reply::Figure(plain),
        _ => Reply::Numbers,
    })
}
