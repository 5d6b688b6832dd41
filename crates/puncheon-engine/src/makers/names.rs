//! Makers looked up by name, as a notebook or a seller writes it: `Paul Storr`, `bateman`,
//! `Wm Chawner`.
//!
//! Every word must be one of the maker's or of the firm's; capitals say nothing. A slip of the pen is
//! mended where one name alone is near, and told.

use std::collections::HashMap;
use std::ops::Range;

use puncheon_schema::image::{Image, Sense};
use strsim::osa_distance;

use crate::makers::register::Registers;
use puncheon_lexis::grammar::initials::sense;
use puncheon_lexis::steps;

/// Letters of a word that shortens a first name: Wm, Thos.
const SHORTENED: usize = 4;
/// Letters of a group of capitals that is no name by itself.
const NUMERAL: usize = 2;
/// From this many letters on, two slips are forgiven.
const LONG: usize = 8;
/// Small letters behind a capital that make a word a name, where "&" stands beside it: Ltd is none.
const SMALL_OF_FIRM: usize = 3;

/// The words of the names in registers, and the marks that they lead to.
#[derive(Clone, Debug, Default)]
pub struct Index {
    /// By the word in small letters: the layer of the registers, and the mark in it.
    words: HashMap<String, Vec<(usize, usize)>>,
}

/// A name as it is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    words: Vec<Word>,
    /// How it was read, where that differs from what was typed.
    pub read_as: Option<String>,
    /// Groups of capitals that stood beside it: "PS Paul Storr".
    pub groups: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Word {
    /// In small letters.
    Whole(String),
    /// The first letter of a name that was shortened, small.
    Initial(char),
}

/// A word of what was typed.
enum Typed<'t> {
    /// A word that can only be a name.
    Name(&'t str),
    /// A short word: a name where one stands beside it.
    Short(&'t str),
    /// Letters of a mark.
    Group(&'t str),
    /// "and", "of".
    Joins,
}

/// Words of a text, without signs.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && !is_apostrophe(c))
        .map(|w| w.trim_matches(is_apostrophe))
        .filter(|w| !w.is_empty())
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}')
}

/// A word without what makes it a maker's own.
pub fn not_owned(word: &str) -> &str {
    let owned = |w: &&str| w.ends_with(['s', 'S']);
    match word.rsplit_once(is_apostrophe).filter(|(_, s)| owned(s) && s.len() == 1) {
        Some((name, _)) => name,
        None => word,
    }
}

/// A word as names are compared by: small, and not a maker's own.
fn folded(word: &str) -> String {
    not_owned(&word.to_lowercase().replace('\u{2019}', "'")).to_string()
}

/// Does a word only join others?
pub fn joins(image: &Image, word: &str) -> bool {
    let meaning = sense(image, word);
    matches!(meaning, Some(Sense::And | Sense::Filler | Sense::Article))
}

fn typed<'t>(image: &Image, word: &'t str, firm: bool) -> Typed<'t> {
    let small = word.chars().filter(|c| c.is_lowercase()).count();
    let capitals = word.chars().filter(|c| c.is_uppercase()).count();
    let count = word.chars().count();
    match (capitals, small) {
        (0, _) if joins(image, word) => Typed::Joins,
        (0, _) if count > SHORTENED => Typed::Name(word),
        (0, _) => Typed::Short(word),
        (_, 0) if count > 1 => Typed::Group(word),
        (_, 0 | 1) => Typed::Short(word),
        _ if firm && small < SMALL_OF_FIRM => Typed::Short(word),
        _ => Typed::Name(word),
    }
}

/// Does a word mean nothing to the vocabulary, but that it is somebody's name?
fn is_free(image: &Image, word: &str) -> bool {
    let meaning = sense(image, &word.to_lowercase());
    matches!(meaning, None | Some(Sense::Aside | Sense::FalseFriend))
}

impl Index {
    /// The names of every mark of the registers.
    pub fn of(registers: &Registers) -> Index {
        let mut words_of: HashMap<String, Vec<(usize, usize)>> = HashMap::new();
        for (place, entry) in registers.places() {
            for name in entry.names.iter().copied().chain([entry.firm]) {
                for word in words(name) {
                    let marks = words_of.entry(folded(word)).or_default();
                    if marks.last() != Some(&place) {
                        marks.push(place);
                    }
                }
            }
        }
        Index { words: words_of }
    }

    /// Marks of makers who have every word of a name, in the order of the registers.
    pub fn find(&self, registers: &Registers, name: &Name) -> Vec<(usize, usize)> {
        let lists: Option<Vec<&Vec<(usize, usize)>>> = name
            .words
            .iter()
            .filter_map(|w| match w {
                Word::Whole(w) => Some(self.words.get(w)),
                Word::Initial(_) => None,
            })
            .collect();
        let Some([first, rest @ ..]) = lists.as_deref() else {
            return Vec::new();
        };
        let held = |place: &&(usize, usize)| rest.iter().all(|l| l.binary_search(place).is_ok());
        first
            .iter()
            .filter(held)
            .copied()
            .filter(|place| name.initials_fit(registers, *place))
            .collect()
    }

    /// Where all the words of a maker's name stand side by side among words, two or more of them.
    pub fn whole_names(&self, registers: &Registers, typed: &[&str]) -> Vec<Range<usize>> {
        let typed: Vec<String> = typed.iter().map(|w| folded(w)).collect();
        let mut out = Vec::new();
        for (i, first) in typed.iter().enumerate() {
            for place in self.words.get(first).into_iter().flatten() {
                steps::take(1);
                let Some(entry) = registers.at(*place) else { continue };
                let found = entry.names.iter().find_map(|name| {
                    let parts: Vec<String> = words(name).map(folded).collect();
                    let all = parts.len();
                    (all > 1 && typed.get(i..).is_some_and(|t| t.starts_with(&parts)))
                        .then_some(i..i + all)
                });
                if let Some(run) = found {
                    out.push(run);
                    break;
                }
            }
        }
        out
    }

    /// The last names among the words of a text.
    pub fn surnames<'t>(&self, registers: &Registers, text: &'t str) -> Vec<&'t str> {
        let of_one = |w: &&str| {
            let name =
                Name { words: vec![Word::Whole(folded(w))], read_as: None, groups: Vec::new() };
            name.is_last(registers, false)
        };
        words(text).filter(of_one).collect()
    }

    /// The one name that a word is a slip for.
    fn nearest(&self, word: &str) -> Option<&str> {
        let count = word.chars().count();
        if count <= SHORTENED {
            return None;
        }
        let limit = if count >= LONG { 2 } else { 1 };
        let first = word.chars().next();
        let mut best: Option<(usize, &str)> = None;
        let mut tied = false;
        for known in self.words.keys().filter(|k| k.chars().next() == first) {
            // Words so unlike in length are no slips, however long the one is.
            if known.chars().count().abs_diff(count) > limit {
                continue;
            }
            steps::take(count);
            let d = osa_distance(word, known);
            if d > limit {
                continue;
            }
            match best {
                Some((least, _)) if d > least => {}
                Some((least, _)) if d == least => tied = true,
                _ => (best, tied) = (Some((d, known.as_str())), false),
            }
        }
        best.filter(|_| !tied).map(|(_, known)| known)
    }
}

impl Name {
    /// The name that was typed, if a word of it can be nothing else. With `mended`, slips of the pen
    /// are put right; without, every word must be known. None if there is no name, or a word that is
    /// none of the register's.
    pub fn read(index: &Index, image: &Image, text: &str, mended: bool) -> Option<Name> {
        let firm = text.contains('&');
        let all: Vec<Typed> = words(text).map(|w| typed(image, w, firm)).collect();
        all.iter()
            .any(|w| matches!(w, Typed::Name(_)))
            .then(|| Name::of(index, image, all, mended))?
    }

    /// The first word of a text that can only be a name, as it was typed.
    pub fn first<'t>(image: &Image, text: &'t str) -> Option<&'t str> {
        let firm = text.contains('&');
        words(text).find(|w| matches!(typed(image, w, firm), Typed::Name(_)))
    }

    /// Is a text nothing but words of a name, none of which means anything else?
    pub fn is_nothing_else(image: &Image, text: &str) -> bool {
        let firm = text.contains('&');
        let names = |w: &str| match typed(image, w, firm) {
            Typed::Name(w) => is_free(image, w),
            Typed::Short(_) | Typed::Joins => true,
            Typed::Group(_) => false,
        };
        let figures = text.contains(|c: char| c.is_ascii_digit());
        Name::first(image, text).is_some() && !figures && words(text).all(names)
    }

    /// The name that short small words make: "ged", which may be letters as well.
    pub fn short(index: &Index, image: &Image, text: &str) -> Option<Name> {
        let all = words(text).map(|w| typed(image, w, false)).collect();
        Name::of(index, image, all, false)
    }

    fn of(index: &Index, image: &Image, all: Vec<Typed>, mended: bool) -> Option<Name> {
        let mut name = Name { words: Vec::new(), read_as: None, groups: Vec::new() };
        let (mut shown, mut changed) = (Vec::new(), false);
        for word in all {
            let known = |w: &str| index.words.contains_key(w);
            match word {
                Typed::Joins => {}
                // "PAUL STORR"
                Typed::Group(w) if known(&folded(w)) && w.chars().count() > NUMERAL => {
                    name.words.push(Word::Whole(folded(w)));
                    shown.push(capitalised(&folded(w)));
                }
                // What tells namesakes apart is often another's guess.
                Typed::Group(w) if is_numeral(w) => changed = true,
                Typed::Group(w) => name.groups.push(w.to_string()),
                Typed::Name(w) | Typed::Short(w) if known(&folded(w)) && w.chars().count() > 1 => {
                    name.words.push(Word::Whole(folded(w)));
                    shown.push(capitalised(w));
                }
                // A small word is no first name cut short: "wm" is, "made" is not.
                Typed::Short(w) | Typed::Name(w) if w.chars().count() <= SHORTENED => {
                    let first = w.chars().next().filter(|c| c.is_alphabetic())?;
                    let cut = w.chars().count() > 1;
                    if cut && !first.is_uppercase() && sense(image, w).is_some() {
                        return None;
                    }
                    changed |= cut;
                    name.words.push(Word::Initial(first.to_lowercase().next()?));
                    shown.push(first.to_uppercase().chain(['.']).collect());
                }
                Typed::Short(w) | Typed::Name(w) => {
                    let free = mended && is_free(image, w);
                    let near = free.then(|| index.nearest(&folded(w))).flatten()?;
                    changed = true;
                    name.words.push(Word::Whole(near.to_string()));
                    shown.push(capitalised(near));
                }
            }
        }
        let whole = name.words.iter().any(|w| matches!(w, Word::Whole(_)));
        name.read_as = changed.then(|| shown.join(" "));
        whole.then_some(name)
    }

    /// Is the one word of it somebody's last name, or a word of a firm's?
    pub fn is_surname(&self, registers: &Registers) -> bool {
        self.is_last(registers, true)
    }

    fn is_last(&self, registers: &Registers, firms: bool) -> bool {
        let [Word::Whole(word)] = self.words.as_slice() else {
            return false;
        };
        let of_firm = |firm: &str| firms && words(firm).any(|w| folded(w) == *word);
        // What tells namesakes apart, "II", has no small letter.
        let last = |name: &str| {
            let real = |w: &&str| w.chars().any(char::is_lowercase);
            words(name).filter(real).last().is_some_and(|w| folded(w) == *word)
        };
        let found = registers.index().find(registers, self).into_iter();
        found
            .filter_map(|place| registers.at(place))
            .any(|entry| entry.names.iter().any(|n| last(n)) || of_firm(entry.firm))
    }

    /// Has the maker a name that begins with each letter of a shortened one?
    fn initials_fit(&self, registers: &Registers, place: (usize, usize)) -> bool {
        let initials: Vec<char> = self
            .words
            .iter()
            .filter_map(|w| match w {
                Word::Initial(c) => Some(*c),
                Word::Whole(_) => None,
            })
            .collect();
        if initials.is_empty() {
            return true;
        }
        let Some(entry) = registers.at(place) else { return false };
        let mut others: Vec<String> = entry
            .names
            .iter()
            .copied()
            .chain([entry.firm])
            .flat_map(words)
            .map(folded)
            .filter(|w| !self.words.contains(&Word::Whole(w.clone())))
            .collect();
        initials.iter().all(|c| {
            let found = others.iter().position(|w| w.starts_with(*c));
            found.map(|i| others.remove(i)).is_some()
        })
    }
}

/// "II", "IV" behind a name.
fn is_numeral(word: &str) -> bool {
    word.chars().all(|c| matches!(c, 'I' | 'V'))
}

fn capitalised(word: &str) -> String {
    let mut chars = word.chars();
    let first = chars.next().into_iter().flat_map(char::to_uppercase);
    first.chain(chars).collect()
}
