//! The maker that a claim names, held against the letters described.
//!
//! Initials prove no maker: at best one is possible. Letters that are none of a maker's speak against
//! it, and the register holds only some marks.

use std::ops::Range;

use puncheon_schema::entry::{Grammar, ItemWord};
use puncheon_schema::image::{Image, Sense};
use puncheon_schema::register::Entry;

use crate::books::Books;
use crate::claim::claimed::{Claim, Unused};
use crate::makers::asked::letters_told;
use crate::makers::names::{self, Name};
use crate::makers::sought::{Sought, Span, Wanted, others};
use puncheon_lexis::grammar::initials::{Letters, sense};
use puncheon_lexis::phrase::longest;
use puncheon_lexis::sighting::Sightings;
use puncheon_lexis::steps;
use puncheon_lexis::token::end_of;

/// Words of a name that is looked for among others.
const MOST_WORDS: usize = 6;
/// Bytes before a name in which the words that introduce it stand.
const REACH: usize = 200;

/// How a maker claimed stands to the letters described.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Attribution {
    /// The letters fit a mark of the maker, as they may fit another's.
    Possible,
    /// The letters are none of the maker's.
    Against,
    /// No letters of a maker are described.
    Untested,
    /// The register does not know the maker.
    Unknown,
}

/// A maker that a claim names, held against the letters described.
pub struct Attributed<'a> {
    /// The words of the claim.
    pub text: String,
    /// The name, where a slip was mended or a word shortened.
    pub read_as: Option<String>,
    /// The marks of the maker; None where the register does not know the name.
    pub marks: Option<Sought<'a, 'a>>,
    /// How the letters described bear on the maker.
    pub held: Held,
}

/// How the letters described bear on a maker.
#[allow(missing_docs)]
pub enum Held {
    /// There is no maker to hold them against.
    Unknown,
    /// None are described.
    Untested,
    /// They are none of the maker's. `sighting`: the first of them.
    Against { sighting: usize },
    /// They fit a mark of the maker.
    Possible {
        sighting: usize,
        /// Place of the mark among those of the maker, likeliest first.
        mark: usize,
        /// The letters fit the mark, and not only the initials of the name.
        fits: bool,
        /// Others of the register whom they fit.
        others: usize,
    },
}

impl Attributed<'_> {
    /// How the maker stands.
    pub fn ruling(&self) -> Attribution {
        match self.held {
            Held::Unknown => Attribution::Unknown,
            Held::Untested => Attribution::Untested,
            Held::Against { .. } => Attribution::Against,
            Held::Possible { .. } => Attribution::Possible,
        }
    }
}

/// A maker's name in a claim, as far as its words were not used otherwise.
struct Found {
    /// Those words.
    unused: Unused,
    /// Its bytes in them.
    start: usize,
    end: usize,
    /// None where the register does not know it.
    name: Option<Name>,
}

/// The makers that a claim names, ruled; and the words of the claim that are left unused.
/// `outside`: the marks beside are no hallmark, so that letters are no sponsor's.
pub fn ruled<'a>(
    books: Books<'a>,
    claim: &'a Claim,
    seen: &Sightings,
    outside: bool,
) -> (Vec<Attributed<'a>>, Vec<Unused>) {
    let found = found(books, claim);
    if found.is_empty() {
        return (Vec::new(), claim.not_used.clone());
    }
    let letters: Vec<(usize, Letters)> = match outside {
        true => Vec::new(),
        false => letters_told(books.image, seen),
    };
    let spans = spans(claim);
    let ruled = found
        .iter()
        .map(|f| {
            let text = f.unused.text.get(f.start..f.end).unwrap_or_default().to_string();
            rule(books, text, f.name.as_ref(), &letters, &spans)
        })
        .collect();
    (ruled, left(books.image, claim, &found))
}

/// Does a claim name a maker?
pub fn names_maker(books: Books, words: &str) -> bool {
    let claim = Claim {
        text: words.to_string(),
        not_used: vec![Unused { text: words.to_string(), start: 0, end: words.len() }],
        ..Claim::default()
    };
    found(books, &claim).iter().any(|f| f.name.is_some())
}

/// Whoever a claim names, in bytes of its text: makers, capitalised words of the register's names, and
/// capitalised words behind "by", which may be a retailer's.
pub fn named(books: Books, claim: &Claim) -> Vec<Range<usize>> {
    let Books { image, registers } = books;
    let makers =
        found(books, claim).into_iter().map(|f| f.unused.start + f.start..f.unused.start + f.end);
    let text = claim.text.as_str();
    let words: Vec<&str> = text.split_whitespace().collect();
    let bare = |w: &str| w.trim_matches([',', ';', '.', ':', '(', ')']).to_string();
    let capital = |w: &str| {
        let shouted = w.chars().count() > 2 && !w.contains(char::is_lowercase);
        w.starts_with(char::is_uppercase) && !shouted
    };
    let registered = |w: &str| {
        let name = Name::read(registers.index(), image, w, false);
        name.is_some_and(|n| {
            n.groups.is_empty() && !registers.index().find(registers, &n).is_empty()
        })
    };
    let mut out: Vec<Range<usize>> = makers.collect();
    // "by Eley & Fearn": what joins two names is part of both.
    let mut behind_by = false;
    for (i, w) in words.iter().enumerate() {
        let word = bare(w);
        let joins = || names::joins(image, &word) && words.get(i + 1).is_some_and(|n| capital(n));
        if capital(&word) && (behind_by || registered(&word)) {
            let start = w.as_ptr() as usize - text.as_ptr() as usize;
            out.push(start..start + w.len());
        }
        behind_by = is_by(image, &word)
            || behind_by && (capital(&word) || joins()) && !w.ends_with([',', ';']);
    }
    out
}

fn found(books: Books, claim: &Claim) -> Vec<Found> {
    let mut from = 0;
    let mut out = Vec::new();
    for u in joined(books.image, claim) {
        // Words that ran together were parted before they were read; places then lie in those.
        let there = claim.text.get(u.start..).unwrap_or_default();
        let at = match there.starts_with(&u.text) {
            true => Some(u.start),
            false => {
                let at = claim.text.get(from..).and_then(|rest| rest.find(&u.text));
                let at = at.map(|at| from + at);
                steps::take(at.unwrap_or(claim.text.len()) - from);
                at
            }
        };
        let before = at.and_then(|at| claim.text.get(..at)).unwrap_or_default();
        from = at.map_or(from, |at| at + u.text.len());
        out.extend(among(books, before, u));
    }
    out
}

/// The words of a claim that were not used, those side by side as one.
fn joined(image: &Image, claim: &Claim) -> Vec<Unused> {
    let mut out: Vec<Unused> = Vec::new();
    for u in &claim.not_used {
        let gap = |before: &Unused| claim.text.get(before.end..u.start).map(str::trim);
        let beside =
            |before: &&mut Unused| gap(before).is_some_and(|g| g.is_empty() || is_and(image, g));
        match out.last_mut().filter(beside) {
            Some(before) => before.end = u.end,
            None => out.push(u.clone()),
        }
    }
    // Words that others were joined to are copied once it is known where they end.
    for u in out.iter_mut().filter(|u| u.text.len() < u.end - u.start) {
        if let Some(text) = claim.text.get(u.start..u.end) {
            u.text = text.to_string();
        }
    }
    out
}

/// The longest name among words of a claim; `claimed` stands before them. One word is a name only where
/// it is said to be a maker's.
fn among(books: Books, claimed: &str, unused: Unused) -> Option<Found> {
    let Books { image, registers } = books;
    let text = unused.text.as_str();
    let words: Vec<(usize, usize)> = text
        .split_whitespace()
        .map(|w| {
            let start = w.as_ptr() as usize - text.as_ptr() as usize;
            (start, start + w.trim_end_matches([',', ';', ')']).len())
        })
        .filter(|(start, end)| start < end)
        .collect();
    let part = |at: Range<usize>| text.get(at).unwrap_or_default();
    let said_of = |start: usize| introduced(image, claimed, part(0..start));
    let known = |(start, end): (usize, usize), mended: bool| -> Option<Name> {
        let index = registers.index();
        let name = Name::read(index, image, part(start..end), mended)?;
        let fits = name.groups.is_empty() && !index.find(registers, &name).is_empty();
        fits.then_some(name)
    };
    let joins = |(start, end): (usize, usize)| names::joins(image, part(start..end));
    let mut found = None;
    for long in (1..=words.len().min(MOST_WORDS)).rev() {
        for run in words.windows(long) {
            steps::take(1);
            let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
            let at = (first.0, last.1);
            if joins(*first) || joins(*last) {
                continue;
            }
            let said = said_of(at.0);
            if !said && spoken_of(image, claimed, part(0..at.0)) {
                continue;
            }
            // A word alone must be a surname or a firm's, and said to be a maker's.
            let name = known(at, false).filter(|n| long > 1 || said && n.is_surname(registers));
            // A slip is mended only where a maker is spoken of.
            let mended = || known(at, true).filter(|n| long > 1 || n.is_surname(registers));
            if let Some(name) = name.or_else(|| said.then(mended).flatten()) {
                found = Some((at, Some(name)));
                break;
            }
        }
        if found.is_some() {
            break;
        }
    }
    // Whoever "by" speaks of has a name with capitals.
    let ((start, end), name) = found.or_else(|| {
        let capital = |w: &&(usize, usize)| part(w.0..w.1).starts_with(char::is_uppercase);
        let first = words.iter().position(|w| capital(&w) && said_of(w.0))?;
        let name = words.iter().skip(first).take_while(capital);
        let (start, end) = (name.clone().next()?.0, name.last()?.1);
        Name::is_nothing_else(image, part(start..end)).then_some(((start, end), None))
    })?;
    Some(Found { unused, start, end, name })
}

/// Does the claim say that what begins here is a maker: "by", "maker", "mark of"? `before` are the words
/// before it that were not used either, `claimed` what stands before those.
fn introduced(image: &Image, claimed: &str, before: &str) -> bool {
    let words: Vec<String> = words_before(claimed, before).take(4).collect();
    match words.split_first() {
        // "retailed by", "given by": another did that.
        Some((w, rest)) if is_by(image, w) => {
            let done = rest.first().is_some_and(|w| is_done(image, w));
            !done || ends_in_maker(image, &words)
        }
        // "maker's mark of"
        Some((w, rest)) if names::joins(image, w) => ends_in_maker(image, rest),
        Some(_) => ends_in_maker(image, &words),
        None => false,
    }
}

/// What part a word plays in items.
fn item_word(image: &Image, word: &str) -> Option<ItemWord> {
    let word = word.to_lowercase();
    match longest::own(image, Grammar::Items, [word.as_str()].into_iter()) {
        Some((Sense::Item(w), _)) => Some(w),
        _ => None,
    }
}

/// Is it the word that stands before a maker's name?
fn is_by(image: &Image, word: &str) -> bool {
    item_word(image, word) == Some(ItemWord::By)
}

/// Is it the word or sign that joins two names?
fn is_and(image: &Image, word: &str) -> bool {
    item_word(image, word) == Some(ItemWord::Joins)
}

/// Does a word say that something was done which is no making of the piece?
fn is_done(image: &Image, word: &str) -> bool {
    let done = matches!(
        item_word(image, word),
        Some(ItemWord::Gives | ItemWord::Sells | ItemWord::Engraves | ItemWord::Deed)
    );
    done || matches!(sense(image, word), Some(Sense::MarkNoun | Sense::ClaimIntro))
}

/// Do words, the last first, end in one for a maker or his mark?
fn ends_in_maker(image: &Image, words: &[String]) -> bool {
    (1..=words.len().min(3)).any(|n| {
        let phrase: Vec<&str> = words.iter().take(n).rev().map(String::as_str).collect();
        is_maker(image, &phrase.join(" "))
    })
}

fn is_maker(image: &Image, words: &str) -> bool {
    let plain = words.to_lowercase().replace(['\'', '\u{2019}'], "");
    sense(image, &plain) == Some(Sense::SponsorNoun)
}

/// Does a small word stand before, "for", "from the", so that somebody else is spoken of?
fn spoken_of(image: &Image, claimed: &str, before: &str) -> bool {
    let mut words = words_before(claimed, before);
    words.next().is_some_and(|w| names::joins(image, &w))
}

/// The words before a name, the last first, in small letters.
fn words_before<'c>(claimed: &'c str, before: &'c str) -> impl Iterator<Item = String> + use<'c> {
    let words = end_of(before, REACH).split_whitespace().rev();
    let words = words.chain(end_of(claimed, REACH).split_whitespace().rev());
    words.map(|w| {
        steps::take(w.len());
        w.trim_end_matches([':', ',']).to_lowercase()
    })
}

/// The offices and years claimed.
fn spans(claim: &Claim) -> Vec<Span<'_>> {
    let (from, to) = claim.span();
    let years = from.zip(to).filter(|_| !claim.years.is_empty());
    match claim.offices.as_slice() {
        [] => vec![Span::new(None, years)],
        offices => offices.iter().map(|o| Span::new(Some(o), years)).collect(),
    }
}

fn rule<'a>(
    books: Books<'a>,
    text: String,
    name: Option<&Name>,
    told: &[(usize, Letters)],
    spans: &[Span<'a>],
) -> Attributed<'a> {
    let Some(name) = name else {
        return Attributed { text, read_as: None, marks: None, held: Held::Unknown };
    };
    let marks = Sought::of(books, Wanted::name(name), spans);
    let entries: Vec<&Entry> = marks.iter().map(|(f, _)| &f.entry).collect();
    let struck = |l: &Letters, e: &Entry| !e.struck.is_empty() && l.fit(e.struck).is_some();
    // The register may lack a punch, but not a maker's initials.
    let named = |l: &Letters, e: &Entry| e.names.iter().any(|n| l.fit(&initials(n)).is_some());
    let met = told.iter().find_map(|(sighting, letters)| {
        let by_mark = entries.iter().position(|e| struck(letters, e));
        let mark = by_mark.or_else(|| entries.iter().position(|e| named(letters, e)))?;
        Some((*sighting, letters, mark))
    });
    let held = match (met, told) {
        (Some((sighting, letters, mark)), _) => Held::Possible {
            sighting,
            mark,
            fits: entries.get(mark).is_some_and(|e| letters.fit(e.struck).is_some()),
            others: others(books, &marks, letters, spans),
        },
        (None, []) => Held::Untested,
        (None, [(sighting, _), ..]) => Held::Against { sighting: *sighting },
    };
    Attributed { text, read_as: name.read_as.clone(), marks: Some(marks), held }
}

/// The initials of a person, without what tells namesakes apart: "John Carter II" is JC.
fn initials(name: &str) -> String {
    name.split_whitespace()
        .filter(|w| w.chars().any(char::is_lowercase) || w.ends_with('.'))
        .filter_map(|w| w.chars().next())
        .filter(|c| c.is_uppercase())
        .collect()
}

/// The words of a claim without the makers' names.
fn left(image: &Image, claim: &Claim, found: &[Found]) -> Vec<Unused> {
    let mut out = Vec::new();
    let mut found = found.iter().peekable();
    for u in joined(image, claim) {
        let Some(f) = found.next_if(|f| f.unused == u) else {
            // "made by" is used up with the name.
            if !is_maker(image, &u.text) {
                out.push(u);
            }
            continue;
        };
        for (start, end) in [(0, f.start), (f.end, u.text.len())] {
            let text = u.text.get(start..end).unwrap_or_default();
            let text = text.trim_matches([' ', ',', ';', ')', '(']);
            if !text.is_empty() && !is_maker(image, text) {
                let at = text.as_ptr() as usize - u.text.as_ptr() as usize;
                out.push(Unused {
                    text: text.to_string(),
                    start: u.start + at,
                    end: u.start + at + text.len(),
                });
            }
        }
    }
    out
}
