//! The letters of a sponsor's mark as they are described, and the marks that they fit.
//!
//! Order, points and strokes say nothing: one person writes a mark from the top, another from the
//! left. A letter may be doubted, one of several, or not read at all.

use std::fmt;
use std::ops::Range;

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Ending, Image, Sense};
use puncheon_schema::register::Register;
use puncheon_schema::sponsor;

use crate::phrase::longest;

/// More letters than any mark has: what follows is no mark.
const MOST_LETTERS: usize = 16;
/// Ways to read a mark, "HB or WB or MB"; more say nothing.
const MOST_WAYS: usize = 8;
/// Capitals of one group. A longer word of capitals is a word.
const GROUP: usize = 4;
/// Letters of a word such as Co or Ltd that stands in a mark.
const SHORT_WORD: usize = 3;

/// One letter as described, folded.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Seen {
    One(u8),
    Either(Vec<u8>),
    Doubted(u8),
    Unread,
}

impl Seen {
    /// The letter, where it is read for sure.
    fn sure(&self) -> Option<u8> {
        match self {
            Seen::One(c) => Some(*c),
            _ => None,
        }
    }

    /// Makes it one of several letters, if it was read as such.
    fn or(&mut self, letter: u8) -> bool {
        match self {
            Seen::One(c) => *self = Seen::Either(vec![*c, letter]),
            Seen::Either(letters) => letters.push(letter),
            Seen::Doubted(_) | Seen::Unread => return false,
        }
        true
    }
}

/// The letters of a mark as described.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Letters {
    /// Each way in which the description can be meant.
    ways: Vec<Vec<Seen>>,
    /// The letters read for sure, in the order of the first way.
    order: Vec<u8>,
    /// As they were described, without the words round them.
    pub typed: String,
}

/// Why words are not the letters of a mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LettersError {
    /// The words as typed.
    pub typed: String,
    /// Where in them, in bytes.
    pub at: Range<usize>,
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub remedy: String,
}

impl LettersError {
    fn new(typed: &str, at: Range<usize>, wrong: String) -> LettersError {
        LettersError {
            typed: typed.to_string(),
            at,
            wrong,
            remedy: "write the letters alone (W.S, PB/AB, I? B, H or M) or a maker's name; \
                     office and year apart"
                .into(),
        }
    }

    /// A word stands there that is neither.
    pub fn no_part(typed: &str, at: Range<usize>) -> LettersError {
        let word = typed.get(at.clone()).unwrap_or_default();
        let wrong =
            format!("\"{word}\" is no part of a mark's letters, nor a name in the register");
        LettersError::new(typed, at, wrong)
    }
}

impl fmt::Display for LettersError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}\n  {}", self.wrong, self.remedy)
    }
}

impl std::error::Error for LettersError {}

/// A run of characters between blanks.
struct Chunk<'t> {
    text: &'t str,
    start: usize,
}

fn chunks(text: &str) -> impl Iterator<Item = Chunk<'_>> {
    text.split_whitespace()
        .map(|chunk| Chunk { text: chunk, start: chunk.as_ptr() as usize - text.as_ptr() as usize })
}

/// What a word, or a phrase, means by itself.
pub fn sense(image: &Image, words: &str) -> Option<Sense> {
    ending(image, words)?.plain().map(|m| image.meaning(m))
}

/// Where words lead that are a phrase of the vocabulary, or begin one.
pub fn ending(image: &Image, words: &str) -> Option<Ending> {
    let mut words = words.split_whitespace();
    let node = words.try_fold(0, |node, w| image.step(node, image.word(w.as_bytes())?))?;
    (node != 0).then(|| image.ending(node))
}

/// What a word means by itself in a grammar that has words of its own, and else in every text.
pub fn sense_within(image: &Image, grammar: Grammar, word: &str) -> Option<Sense> {
    longest::phrase(image, grammar, [word].into_iter()).map(|(sense, _)| sense)
}

/// Do words between two groups of letters say that one stands over the other?
pub fn stacked(image: &Image, between: &str) -> bool {
    let mut words = chunks(between);
    words.next().is_some_and(|w| sense(image, w.text) == Some(Sense::Over))
        && words.next().is_none()
}

/// A text with its short words in capitals where they mean nothing: "hb in script".
pub fn shouted(image: &Image, text: &str) -> String {
    let mut out = text.to_string();
    for c in chunks(text) {
        let small = c.text.chars().all(|c| c.is_ascii_lowercase());
        if small && c.text.len() <= GROUP && sense(image, c.text).is_none() {
            out.replace_range(c.start..c.start + c.text.len(), &c.text.to_uppercase());
        }
    }
    out
}

/// Does a text say that something stands over something else?
pub fn over(image: &Image, text: &str) -> bool {
    let over = |w: Chunk| matches!(sense(image, w.text), Some(Sense::Over | Sense::Beside));
    chunks(text).any(over)
}

/// Letters gathered group by group.
#[derive(Default)]
struct Gathered {
    ways: Vec<Vec<Seen>>,
    now: Vec<Seen>,
    /// Letters of the last group.
    last: usize,
    or: bool,
    typed: String,
}

impl Gathered {
    fn group(&mut self, group: Vec<Seen>) {
        if group.is_empty() {
            return;
        }
        if std::mem::take(&mut self.or) {
            // "H or M" is one letter, "HB or WB" two ways to read the mark.
            if self.last == 1
                && let ([Seen::One(c)], Some(before)) = (&group[..], self.now.last_mut())
                && before.or(*c)
            {
                return;
            }
            self.ways.push(std::mem::take(&mut self.now));
        }
        self.last = group.len();
        self.now.extend(group);
    }

    fn letters(mut self) -> Option<Letters> {
        self.ways.push(self.now);
        self.ways.retain(|w| !w.is_empty());
        let order =
            self.ways.first().map_or_else(Vec::new, |w| w.iter().filter_map(Seen::sure).collect());
        for way in &mut self.ways {
            // The order never matters, so that it is not kept.
            way.sort_unstable_by_key(|s| match s {
                Seen::One(c) => (0, *c),
                Seen::Either(v) => (1, v[0]),
                Seen::Doubted(c) => (2, *c),
                Seen::Unread => (3, 0),
            });
        }
        let read = |s: &Seen| *s != Seen::Unread;
        let whole = !self.ways.is_empty()
            && self.ways.len() <= MOST_WAYS
            && self.ways.iter().all(|w| w.len() <= MOST_LETTERS && w.iter().any(read));
        whole.then_some(Letters { ways: self.ways, order, typed: self.typed })
    }
}

/// The letters of one chunk. A small letter is a part of a word, such as Co, and often left out.
fn group(chunk: &str, capitals_only: bool) -> Vec<Seen> {
    let mut out = Vec::new();
    let mut after_letter = false;
    for c in chunk.chars() {
        let letter = sponsor::fold(c).filter(|_| c.is_uppercase() || !capitals_only);
        match (letter, c) {
            (Some(l), _) => out.push(Seen::One(l)),
            (None, '?') if after_letter => {
                if let Some(Seen::One(l)) = out.pop() {
                    out.push(Seen::Doubted(l));
                }
            }
            (None, '?' | '_') => out.push(Seen::Unread),
            _ => {}
        }
        after_letter = letter.is_some();
    }
    out
}

impl Letters {
    /// Reads the letters of a mark as a person types them to search: `W.S`, `PB/AB`, `I? B`,
    /// `H or M`, `?S`. Small letters alone are taken for capitals.
    ///
    /// # Errors
    /// If there is no letter, or a word that is none.
    pub fn read(image: &Image, typed: &str) -> Result<Letters, LettersError> {
        let error = |at: Range<usize>, wrong: String| LettersError::new(typed, at, wrong);
        let capitals_only = typed.chars().any(char::is_uppercase);
        let mut gathered = Gathered { typed: typed.trim().to_string(), ..Gathered::default() };
        for chunk in chunks(typed) {
            let at = chunk.start..chunk.start + chunk.text.len();
            let small = chunk.text.chars().all(|c| !c.is_uppercase());
            match sense(image, chunk.text).filter(|_| small) {
                Some(Sense::Or) => {
                    gathered.or = !gathered.now.is_empty();
                    continue;
                }
                // "PB over AB"
                Some(Sense::And | Sense::Over) => continue,
                _ => {}
            }
            let count = chunk.text.chars().filter(|c| c.is_alphabetic()).count();
            let word = small && count >= if capitals_only { SHORT_WORD } else { GROUP + 1 };
            if word || chunk.text.chars().any(|c| c.is_ascii_digit()) {
                return Err(LettersError::no_part(typed, at));
            }
            gathered.group(group(chunk.text, capitals_only));
        }
        gathered
            .letters()
            .ok_or_else(|| error(0..typed.len(), format!("\"{typed}\" has no letters of a mark")))
    }

    /// The letters among the words that describe a sponsor's mark; None where none are told.
    pub fn among(image: &Image, words: &str) -> Option<Letters> {
        let mut gathered = Gathered::default();
        let mut begun = false;
        let mut joint = "";
        let all: Vec<Chunk> = chunks(words).collect();
        for (i, chunk) in all.iter().enumerate() {
            let bare = chunk.text.trim_matches(['(', ')', '"', '\'', ',', ';', ':']);
            let ends = |c: &str| c.ends_with([',', ';', ':', ')']);
            let opens = chunk.text.starts_with('(');
            if begun && (opens || i > 0 && ends(all[i - 1].text)) {
                break;
            }
            // "Ly & Co": a short word begins a mark only where a firm's sign follows it.
            let firm = all.get(i + 1).is_some_and(|next| next.text == "&");
            if is_group(bare, begun || firm) {
                begun = true;
                gathered.group(group(bare, true));
                gathered.typed.push_str(joint);
                gathered.typed.push_str(bare);
                joint = " ";
            } else if begun {
                let more = all.get(i + 1).is_some_and(|next| is_group(next.text, true));
                match sense(image, bare) {
                    _ if !more => break,
                    Some(Sense::Or) => {
                        gathered.or = true;
                        joint = " or ";
                    }
                    Some(Sense::And) => joint = " & ",
                    Some(Sense::Over) => joint = "/",
                    _ if bare.chars().all(|c| !c.is_alphanumeric()) => {}
                    _ => break,
                }
            }
        }
        // A doubted letter alone would fit every mark of one letter.
        let sure = |l: &Letters| l.ways.iter().all(|w| w.iter().any(|s| s.sure().is_some()));
        gathered.letters().filter(sure)
    }

    /// How a mark's letters meet these: None if they do not fit, else how many doubted letters would
    /// have to be others.
    pub fn fit(&self, struck: &str) -> Option<u32> {
        self.ways.iter().filter_map(|w| Left::of(struck).fit(w)).min()
    }

    /// Do the letters read for sure stand in a mark in the order in which they were typed?
    pub fn in_order(&self, struck: &str) -> bool {
        let mut letters = struck.chars().filter_map(sponsor::fold);
        self.order.iter().all(|c| letters.any(|l| l == *c))
    }

    /// Marks of a register that they fit, each with how many doubted letters would have to be
    /// others.
    pub fn found(&self, register: &Register) -> Vec<(usize, u32)> {
        let exact: Option<Vec<Vec<u8>>> =
            self.ways.iter().map(|w| w.iter().map(Seen::sure).collect()).collect();
        let mut out: Vec<(usize, u32)> = match exact {
            Some(ways) => ways
                .iter()
                .flat_map(|w| register.with_letters(w))
                .filter_map(|i| Some((i, self.fit(register.struck(i))?)))
                .collect(),
            None => Vec::new(),
        };
        // A doubt, or some of the small letters of a firm, are found by looking at every mark.
        if out.is_empty() {
            for way in &self.ways {
                let sure: Vec<u8> = way.iter().filter_map(Seen::sure).collect();
                out.extend(
                    register
                        .that_may_hold(&sure, way.len())
                        .filter_map(|i| Some((i, self.fit(register.struck(i))?))),
                );
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}

/// Are these the letters of a mark in a description? `begun`: letters stand before, so that a short
/// word such as Co belongs to them.
fn is_group(chunk: &str, begun: bool) -> bool {
    let chunk = chunk.trim_matches(['(', ')', '"', '\'', ',', ';', ':']);
    if chunk.is_empty() || chunk.chars().any(|c| c.is_ascii_digit()) {
        return false;
    }
    let parts = chunk.split(|c: char| !c.is_alphabetic());
    let mut letters = 0;
    for part in parts.filter(|p| !p.is_empty()) {
        letters += 1;
        let capitals = part.chars().filter(|c| c.is_uppercase()).count();
        let count = part.chars().count();
        let group = capitals == count && count <= GROUP;
        let joined = capitals >= 2 && count <= 2 * GROUP;
        let short = capitals == 1 && count <= SHORT_WORD && (begun || letters > 1);
        if !(group || joined && capitals < count || short) {
            return false;
        }
    }
    letters > 0 || begun && chunk.chars().all(|c| c == '?' || c == '_')
}

/// The letters of a mark that nothing described has yet been laid to.
#[derive(Clone)]
struct Left {
    /// Every capital must be seen.
    capitals: [u8; 26],
    /// A small letter may be.
    small: [u8; 26],
}

impl Left {
    fn of(struck: &str) -> Left {
        let mut left = Left { capitals: [0; 26], small: [0; 26] };
        for c in struck.chars() {
            if let Some(l) = sponsor::fold(c) {
                let pool = match c.is_uppercase() {
                    true => &mut left.capitals,
                    false => &mut left.small,
                };
                pool[usize::from(l - b'A')] += 1;
            }
        }
        left
    }

    /// Takes a letter away, a capital first: it has to be seen.
    fn take(&mut self, letter: u8) -> bool {
        let i = usize::from(letter - b'A');
        let pool = match self.capitals[i] {
            0 => &mut self.small,
            _ => &mut self.capitals,
        };
        let has = pool[i] > 0;
        pool[i] -= u8::from(has);
        has
    }

    /// Lays every letter described to one of the mark's, the sure ones first.
    fn fit(mut self, seen: &[Seen]) -> Option<u32> {
        let mut others = 0u32;
        let mut free = 0;
        for (i, s) in seen.iter().enumerate() {
            match s {
                Seen::One(c) => {
                    if !self.take(*c) {
                        return None;
                    }
                }
                Seen::Either(letters) => {
                    return letters
                        .iter()
                        .filter_map(|c| {
                            let mut left = self.clone();
                            left.take(*c).then(|| left.fit(&seen[i + 1..])).flatten()
                        })
                        .min();
                }
                Seen::Doubted(c) => {
                    if !self.take(*c) {
                        others += 1;
                        free += 1;
                    }
                }
                Seen::Unread => free += 1,
            }
        }
        let sum = |pool: &[u8; 26]| pool.iter().map(|n| usize::from(*n)).sum::<usize>();
        let (must, may) = (sum(&self.capitals), sum(&self.small));
        (must <= free && free <= must + may).then_some(others)
    }
}
