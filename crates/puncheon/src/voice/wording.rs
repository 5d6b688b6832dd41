//! Words for a sale: a plain line, a title of a given length and a fuller paragraph, from the marks as
//! read and what the seller states. Only what was seen is said, with its doubt; where the marks do not
//! bear out a precious metal none is named. The shape of an answer is what `puncheon.wording/1` prints.
//!
//! ```
//! use puncheon::wording::{Asked, Set, wording};
//! let tables = puncheon::Tables::builtin();
//! let mut asked = Asked::default();
//! asked.item = "mug".into();
//! asked.sets = vec![Set::read(tables, "anchor, lion passant, small roman f, king's head").unwrap()];
//! let w = wording(tables, &asked, &Default::default()).unwrap();
//! assert_eq!(w.line.unwrap(), "Sterling silver mug, Birmingham 1803/04");
//! ```

use puncheon_schema::entry::{Metal, Particular};
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS, Sense, stated_words};
use serde::Serialize;

use crate::engine::borne::{self, Ascribed, Borne, Lack};
use crate::engine::claim::stated::{self, unborne};
use crate::engine::fit::answer::shared;
use crate::engine::fit::narrow::Options;
use crate::engine::words;
use crate::engine::worth::{self, Advice, Refused, Span, Weighed, Weight};
use crate::json::cautions::Caution;
use crate::json::reading::{Kind, Reading};
use crate::json::verdict::WarningMet;
use crate::lexis::grammar::objects;
use crate::lexis::phrase::{Is, Pieces};
use crate::lexis::sighting::What;
use crate::lexis::token::Text;
use crate::tables::Tables;
use crate::voice::cautions::{self, Facts, Use};
use crate::voice::sentence::sentence;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.wording/1";

/// The shortest title that can be asked for.
pub const SHORTEST_TITLE: usize = 20;
/// The most characters that are stated of one kind.
const MOST_STATED: usize = 1000;
/// The most pieces that can be counted.
const MOST_PIECES: u32 = 10_000;

/// What is asked: the marks, set by set, and what the seller states.
#[derive(Clone, Debug, Default, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The sets of marks.
    pub sets: Vec<Set>,
    /// What the piece is.
    pub item: String,
    /// Its weight, as typed.
    pub weight: Option<String>,
    /// Its measurements, as typed.
    pub size: Option<String>,
    /// Its condition, as typed.
    pub condition: Option<String>,
    /// The length of the title, in characters.
    pub title: Option<usize>,
}

/// One set of marks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Set {
    /// How many pieces bear it; null where they were not counted.
    pub pieces: Option<u32>,
    /// The part of the piece that bears it; null where none was named.
    pub part: Option<String>,
    /// The marks, as typed.
    pub marks: String,
}

fn wrong<T>(wrong: String, remedy: &str) -> Result<T, Refused> {
    Err(Refused::new(wrong, remedy.to_string()))
}

impl Set {
    /// Reads a set: marks, behind how many pieces bear them, "4x anchor, lion", or behind the part that
    /// does, "cover: anchor, lion".
    ///
    /// # Errors
    /// If the count is none, or more than can be.
    pub fn read(tables: &Tables, typed: &str) -> Result<Set, Refused> {
        let typed = typed.trim();
        let after = typed.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = &typed[..typed.len() - after.len()];
        let counted = after
            .trim_start()
            .strip_prefix(['x', 'X', '×'])
            .filter(|m| !digits.is_empty() && m.starts_with(char::is_whitespace));
        let pieces = match (counted, digits.parse::<u32>()) {
            (None, _) => None,
            (Some(_), Ok(n)) if (1..=MOST_PIECES).contains(&n) => Some(n),
            (Some(_), _) => {
                return wrong(
                    format!("\"{digits}\" pieces cannot be described"),
                    "write how many bear the marks, such as 4x before them",
                );
            }
        };
        let marks = counted.unwrap_or(typed).trim();
        let (pieces, marks) = match pieces {
            None => counted_in_words(tables.image(), marks),
            some => (some, marks),
        };
        let (part, marks) = part_of(tables, marks).unwrap_or((None, marks));
        Ok(Set {
            pieces,
            part: part.map(|name| clean(name).to_lowercase()),
            marks: marks.to_string(),
        })
    }
}

/// A count in words before marks, "six leopard's head crowned, …", and the marks behind it. A number
/// that belongs to a mark is none.
fn counted_in_words<'t>(image: &Image, marks: &'t str) -> (Option<u32>, &'t str) {
    let end = marks.find([' ', ':']).unwrap_or(marks.len());
    let (word, behind) = marks.split_at(end);
    let behind = behind.trim_start_matches([' ', ':']);
    let n = NUMBERS.iter().skip(2).position(|n| n.eq_ignore_ascii_case(word));
    let seen = words::read(image, marks).sightings;
    let apart = seen.first().is_some_and(|s| s.start >= end);
    match n.filter(|_| apart && !behind.is_empty()) {
        Some(n) => (Some(n as u32 + 2), behind),
        None => (None, marks),
    }
}

/// Words before a part, or all of a part's label, that name none.
const EVERY: [&str; 4] = ["both", "all", "each", "every"];

/// The part of a piece that a description names before a colon, and what follows. A label that means
/// every part alike leaves the marks to the whole piece.
fn part_of<'t>(tables: &Tables, marks: &'t str) -> Option<(Option<&'t str>, &'t str)> {
    let (label, rest) = marks.split_once(':')?;
    let (label, rest) = (label.trim(), rest.trim());
    let image = tables.image();
    // Only where there is one: more belong to sets of their own.
    let parts = words::read(image, marks).parts;
    if rest.is_empty() || parts.iter().filter(|p| !p.is_empty()).count() > 1 {
        return None;
    }
    let bare = |s: &'t str| -> &'t str {
        let words = ["on the ", "of the ", "on ", "the "];
        let behind = words.iter().find_map(|on| {
            let begins = s.get(..on.len()).is_some_and(|b| b.eq_ignore_ascii_case(on));
            begins.then(|| &s[on.len()..])
        });
        behind.unwrap_or(s)
    };
    let label = bare(label);
    if EVERY.iter().any(|w| w.eq_ignore_ascii_case(label)) {
        return Some((None, rest));
    }
    objects::names_part(image, label).then_some((Some(label), rest))
}

/// Words for a sale.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct Wording {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// The metal, where the marks bear it out: silver, gold, platinum or palladium.
    pub metal: Option<&'static str>,
    /// The standard, where the marks settle it.
    pub standard: Option<String>,
    /// The sale line; null where it is refused.
    pub line: Option<String>,
    /// The title, where one was asked for.
    pub title: Option<String>,
    /// The fuller description.
    pub paragraph: Option<String>,
    /// The weight stated, exactly; null where none is.
    pub weight: Option<Weighed>,
    /// What is stated to be of the piece and is not its metal, with what the trade does about it.
    pub beside: Vec<Advice>,
    /// Why no metal may be named; null where it may.
    pub refused: Option<NotBorne>,
    /// What can be said without naming a metal, where the wording is refused.
    pub instead: Option<String>,
    /// Remarks to the seller, a sentence or two each.
    pub notes: Vec<String>,
    /// Signs worth a second look.
    pub warnings: Vec<WarningMet>,
    /// What a careful seller shows and states.
    pub show: Vec<Caution>,
    /// Cautions that apply, those of the law among them.
    pub cautions: Vec<Caution>,
    /// The sets as read, in the order asked.
    pub sets: Vec<Read>,
}

/// One set as read.
#[derive(Clone, Debug, Serialize)]
pub struct Read {
    /// How many pieces bear it.
    pub pieces: Option<u32>,
    /// The part that bears it.
    pub part: Option<String>,
    /// Office and year with their doubt, in words; empty where neither is settled.
    pub ascribed: String,
    /// The sponsor's mark as struck.
    pub sponsor: Option<String>,
    /// Who that mark is consistent with, by the register of sponsors' marks, in words; null where no
    /// one is known.
    pub makers: Option<String>,
    /// Why the part that bears it is not called a precious metal, a sentence; null where it is, or
    /// where nothing is.
    pub not_borne: Option<String>,
    /// The reading.
    pub reading: Reading,
}

/// Why no metal may be named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotBorne {
    /// What is at fault: the marks, or what is stated beside them.
    pub because: Because,
    /// The reason, a sentence.
    pub why: String,
    /// The number of the set that is at fault; null where it is what is stated.
    pub set: Option<usize>,
    /// What would be right, a sentence; null where the marks alone decide.
    pub remedy: Option<String>,
}

/// What stands against a wording.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Because {
    /// The marks do not bear out a precious metal.
    Marks,
    /// A metal or a standard is stated that the marks do not bear out.
    Metal,
    /// An office, a date or a standard is stated that the marks speak against.
    Claim,
}

/// Words for a piece, or for pieces of one kind.
///
/// # Errors
/// If what is asked contradicts itself, or a title is asked for that is too short.
pub fn wording(tables: &Tables, asked: &Asked, options: &Options) -> Result<Wording, Refused> {
    let asked = tidy(asked)?;
    let counted = Counted::of(tables, &asked)?;
    let image = tables.image();
    let weight = match &asked.weight {
        Some(typed) => Some(Weight::read(tables, typed)?),
        None => None,
    };
    let told: String = stated(&asked).collect::<Vec<_>>().join("; ");
    let beside = worth::named(image, &told);
    let read: Vec<Borne> =
        asked.sets.iter().map(|s| borne::read(tables, &s.marks, &told, options)).collect();
    // What a part lacks is not held against the rest of the piece.
    let part_lacks = |i: &usize| asked.sets[*i].part.is_some() && read[*i].lack.is_some();
    let some_borne = read.iter().any(|b| b.refused.is_none());
    let lacking: Vec<usize> = (0..read.len()).filter(|i| some_borne && part_lacks(i)).collect();
    let weighed = weight.as_ref().map(|w| {
        let gross = !lacking.is_empty() || beside.iter().any(|d| d.weighs());
        let of = if gross { "gross weight " } else { "" };
        format!("{of}{}", w.shown(tables))
    });
    let mut notes = weight.as_ref().map_or_else(Vec::new, |w| w.notes.clone());
    let refused = refusal(tables, &asked, &read, &lacking, options, &mut notes);
    let words = refused
        .is_none()
        .then(|| Words::of(image, &asked, &counted, &read, &lacking, weighed.clone()));
    let instead = match &refused {
        // What was claimed is not said in other words either.
        Some(r) if r.because != Because::Claim => instead(tables, &asked, weighed, &read),
        _ => None,
    };
    let particulars = [
        (Particular::Weight, asked.weight.is_some()),
        (Particular::Size, asked.size.is_some()),
        (Particular::Condition, asked.condition.is_some()),
    ];
    let sets: Vec<Read> = asked
        .sets
        .iter()
        .zip(&read)
        .enumerate()
        .map(|(i, (s, b))| Read {
            pieces: s.pieces,
            part: s.part.clone(),
            ascribed: borne::ascribed(b).phrase,
            sponsor: sponsor(image, &b.reading),
            makers: consistent_with(&b.reading),
            not_borne: b.refused.clone().filter(|_| lacking.contains(&i)),
            reading: b.reading.clone(),
        })
        .collect();
    let readings: Vec<Reading> = sets.iter().map(|s| s.reading.clone()).collect();
    let facts = Facts {
        readings: &readings,
        pieces: counted.pieces.unwrap_or(1),
        stated: &told,
        particulars: particulars.into_iter().filter(|(_, given)| *given).map(|(p, _)| p).collect(),
        unsupported: match &refused {
            Some(r) => r.because != Because::Claim,
            None => !lacking.is_empty(),
        },
        holds: false,
    };
    let mut warnings: Vec<WarningMet> = Vec::new();
    for w in read.iter().flat_map(|b| &b.warnings) {
        if !warnings.contains(w) {
            warnings.push(w.clone());
        }
    }
    if refused.is_none() {
        notes.extend(open(read.iter().filter(|b| b.refused.is_none())));
    }
    notes.extend(crate::rests_on_overlay(tables));
    Ok(Wording {
        schema: SCHEMA,
        metal: words.as_ref().map(|w| w.plain),
        standard: words.as_ref().and_then(|w| w.standard.clone()),
        line: words.as_ref().map(Words::line),
        title: match (&words, asked.title) {
            (Some(w), Some(length)) => Some(w.title(length)?),
            _ => None,
        },
        paragraph: words.as_ref().map(|w| w.paragraph(&read)),
        weight: weight.map(|w| worth::weighed(image, &Span::exactly(w.grams))),
        beside: beside.into_iter().map(|d| Advice::of(d, false)).collect(),
        refused,
        instead,
        notes,
        warnings,
        show: cautions::applying(tables, Use::Show, &facts),
        cautions: cautions::applying(tables, Use::Sell, &facts),
        sets,
        asked,
    })
}

/// What the marks alone let a row say: the standard, office and year, the sponsor's mark.
///
/// # Errors
/// Why no metal may be named, a sentence.
pub fn in_short(tables: &Tables, marks: &str, options: &Options) -> Result<String, String> {
    let borne = borne::read(tables, marks, "", options);
    if let Some(why) = borne.refused {
        return Err(why);
    }
    let asked = Asked {
        sets: vec![Set { pieces: None, part: None, marks: marks.to_string() }],
        ..Asked::default()
    };
    let read = [borne];
    let none = Counted { pieces: None, before: String::new(), item: String::new() };
    Ok(Words::of(tables.image(), &asked, &none, &read, &[], None).line())
}

/// What was typed, on one line each and without what no line can hold.
fn tidy(asked: &Asked) -> Result<Asked, Refused> {
    let one_line = |s: &str| {
        let shown: String = s.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let words: Vec<&str> = shown.split_whitespace().collect();
        // A comma typed without its blank: "label,pierced".
        let joined = words.join(" ");
        let mut spaced = String::with_capacity(joined.len());
        let mut chars = joined.chars().peekable();
        while let Some(c) = chars.next() {
            spaced.push(c);
            if matches!(c, ',' | ';') && chars.peek().is_some_and(|n| n.is_alphabetic()) {
                spaced.push(' ');
            }
        }
        spaced.trim_end_matches(['.', ',', ';']).to_string()
    };
    let given = |s: &Option<String>| s.as_deref().map(one_line).filter(|s| !s.is_empty());
    let out = Asked {
        sets: asked.sets.clone(),
        item: one_line(&asked.item),
        weight: given(&asked.weight),
        size: given(&asked.size),
        condition: given(&asked.condition),
        title: asked.title,
    };
    if out.item.is_empty() {
        return wrong(
            "it is not said what the piece is".into(),
            "name the piece, such as \"mustard pot\"",
        );
    }
    if let Some(long) = stated(&out).find(|s| s.chars().count() > MOST_STATED) {
        let begins: String = long.chars().take(20).collect();
        return wrong(
            format!("what is stated as \"{begins}…\" is too long"),
            &format!("say it in {MOST_STATED} characters at most"),
        );
    }
    if out.title.is_some_and(|n| n < SHORTEST_TITLE) {
        return wrong(
            "a title of that length says nothing".into(),
            &format!("ask for at least {SHORTEST_TITLE} characters"),
        );
    }
    Ok(out)
}

/// How many pieces there are, by the sets or by the item.
struct Counted {
    /// The number, where it is known.
    pieces: Option<u32>,
    /// What stands before the item: "six", "pair of"; may be empty.
    before: String,
    /// The item without it.
    item: String,
}

impl Counted {
    fn of(tables: &Tables, asked: &Asked) -> Result<Counted, Refused> {
        let (before, stated, item) = split_count(tables.image(), &asked.item);
        // Parts of one piece are not counted as pieces.
        let parts = asked.sets.iter().any(|s| s.part.is_some());
        let counts =
            asked.sets.iter().any(|s| s.pieces.is_some()) || asked.sets.len() > 1 && !parts;
        if !counts {
            return Ok(Counted { pieces: stated, before, item });
        }
        let whole = asked.sets.iter().filter(|s| s.part.is_none());
        let sum: u32 = whole.map(|s| s.pieces.unwrap_or(1)).sum();
        match stated {
            Some(n) if n != sum => wrong(
                format!("the item says {}, and the marks count {}", number(n), number(sum)),
                "write how many pieces bear each set of marks, such as 4x before the marks",
            ),
            Some(_) => Ok(Counted { pieces: stated, before, item }),
            None => Ok(Counted {
                pieces: Some(sum),
                before: if sum > 1 { number(sum) } else { String::new() },
                item: if sum > 1 { plural(tables.image(), &item) } else { item },
            }),
        }
    }
}

const NUMBERS: [&str; 13] = [
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
];

/// A number in words, as far as words are shorter to read.
fn number(n: u32) -> String {
    NUMBERS.get(n as usize).map_or_else(|| n.to_string(), |w| w.to_string())
}

/// "six teaspoons", "pair of candlesticks", "set of 6 spoons": what counts them, how many, and what.
fn split_count(image: &Image, item: &str) -> (String, Option<u32>, String) {
    let words: Vec<&str> = item.split(' ').collect();
    // Figures of a fineness count nothing: "925 mug".
    let marks = words::read(image, words[0]).sightings;
    let marked = marks.iter().any(|s| s.kind(image) == Kind::Fineness);
    let value = |w: &str| -> Option<u32> {
        let named = NUMBERS.iter().position(|n| n.eq_ignore_ascii_case(w));
        named
            .map(|n| n as u32)
            .or_else(|| w.parse().ok().filter(|_| !marked))
            .filter(|n| (1..=MOST_PIECES).contains(n))
    };
    let is = |at: usize, word: &str| words.get(at).is_some_and(|w| w.eq_ignore_ascii_case(word));
    let from = usize::from(words.len() > 1 && ["a", "an", "the"].iter().any(|w| is(0, w)));
    // "2 handled cup", "four piece set": the number is part of the name.
    let singular = |at: usize| words[at..].last().is_some_and(|w| !w.ends_with('s'));
    let named_so = |at: usize| {
        let next = words.get(at + 1).filter(|_| at + 2 < words.len());
        let Some(next) = next.filter(|_| value(words[at]).is_some()) else {
            return false;
        };
        let phrase = format!("{} {next}", words[at]);
        let cut = Pieces::cut(image, Text::new(image, &phrase)).pieces;
        cut.len() == 1 || singular(at) && next.ends_with("ed")
    };
    let half = usize::from(is(from, "half")) + usize::from(is(from + 1, "a"));
    let dozen = from + if is(from, "half") { half } else { 0 };
    let taken = if is(dozen, "dozen") {
        Some((dozen + 1, if dozen > from { 6 } else { 12 }))
    } else if named_so(from) {
        None
    } else if is(from, "pair") && is(from + 1, "of") {
        Some((from + 2, 2))
    } else if is(from, "set") && is(from + 1, "of") {
        words.get(from + 2).and_then(|w| value(w)).map(|n| (from + 3, n))
    } else {
        words.get(from).and_then(|w| value(w)).map(|n| (from + 1, n))
    };
    match taken.filter(|(at, _)| *at < words.len()) {
        Some((at, n)) => {
            let item = words[at..].join(" ");
            let item = if n > 1 { plural(image, &item) } else { item };
            (words[from..at].join(" "), Some(n), item)
        }
        None => (String::new(), None, words[from..].join(" ")),
    }
}

/// The item in the plural: the last word of what it is called before anything is added. What has a
/// second noun in it, or is none that the vocabulary knows in the plural, is left as it was typed.
fn plural(image: &Image, item: &str) -> String {
    let words: Vec<&str> = item.split(' ').collect();
    let adds = |w: &&str| is_of(&ADDING, w) || is_of(&JOINING, w) || w.starts_with('(');
    let to = words.iter().position(adds).unwrap_or(words.len());
    let to = words[..to].iter().position(|w| w.ends_with([',', ';', ':'])).map_or(to, |i| i + 1);
    let joined = words.get(to).is_some_and(|w| is_of(&["and", "&"], w));
    let Some(last) = to.checked_sub(1).filter(|_| !joined).map(|i| words[i]) else {
        return item.to_string();
    };
    let noun = last.trim_end_matches([',', ';', ':']);
    let known = |w: &str| image.word(w.to_lowercase().as_bytes()).is_some();
    let stem = |ending: &str| noun.strip_suffix(ending);
    let candidates = [
        stem("fe").map(|s| format!("{s}ves")),
        stem("f").map(|s| format!("{s}ves")),
        stem("y").map(|s| format!("{s}ies")),
        Some(format!("{noun}es")),
        Some(format!("{noun}s")),
    ];
    let found = candidates.into_iter().flatten().find(|c| known(c));
    let Some(many) = found.filter(|_| !noun.ends_with('s') && known(noun)) else {
        return item.to_string();
    };
    let many = format!("{many}{}", &last[noun.len()..]);
    let mut out: Vec<&str> = words.clone();
    out[to - 1] = &many;
    out.join(" ")
}

/// Why no metal may be named, by the marks or by what is stated beside them.
fn refusal(
    tables: &Tables,
    asked: &Asked,
    read: &[Borne],
    lacking: &[usize],
    options: &Options,
    notes: &mut Vec<String>,
) -> Option<NotBorne> {
    let by_marks = |why: String, set: Option<usize>| NotBorne {
        because: Because::Marks,
        why,
        set,
        remedy: None,
    };
    if read.is_empty() {
        return Some(by_marks("No marks were described.".into(), None));
    }
    let borne: Vec<usize> = (0..read.len()).filter(|i| !lacking.contains(i)).collect();
    for i in &borne {
        if let Some(why) = &read[*i].refused {
            return Some(by_marks(why.clone(), Some(*i)));
        }
    }
    let first = borne.first().and_then(|i| read[*i].metal);
    if borne.iter().any(|i| read[*i].metal != first) {
        return Some(by_marks(
            "The sets of marks are of different metals; describe those pieces apart.".into(),
            None,
        ));
    }
    let metal = METALS.into_iter().find(|m| Some(export::metal(*m)) == first);
    let told: Vec<&str> = stated(asked).collect();
    if let Some(b) = objects::bars(tables.image(), &told.join("; "), metal) {
        return Some(NotBorne {
            because: Because::Metal,
            why: b.why,
            set: None,
            remedy: Some(b.remedy),
        });
    }
    for text in told {
        if let Some(word) = unborne(tables, text, first) {
            return Some(NotBorne {
                because: Because::Metal,
                why: format!("What is stated says \"{word}\", and the marks do not bear it out."),
                set: None,
                remedy: Some(format!("Leave \"{word}\" out, or describe the marks that show it.")),
            });
        }
    }
    // Of a piece whose parts are not all borne out no more than its head may name the metal.
    let plain = first.unwrap_or_default();
    let standard = shared(borne.iter().map(|i| &read[*i].standard)).cloned();
    let standard = standard.flatten().unwrap_or_default();
    let rest =
        without(tables.image(), &split_count(tables.image(), &asked.item).2, &standard, plain);
    if let Some(part) = lacking.first().filter(|_| names_metal(tables, &rest)) {
        let part = asked.sets[*part].part.as_deref().unwrap_or_default();
        return Some(NotBorne {
            because: Because::Metal,
            why: format!(
                "The item names a metal in \"{rest}\", and the marks do not bear it out for the {part}."
            ),
            set: lacking.first().copied(),
            remedy: Some(
                "Name the piece without a metal; the marks say which of its parts are of it."
                    .into(),
            ),
        });
    }
    let borne: Vec<(usize, &Set, &Borne)> =
        borne.iter().map(|i| (*i, &asked.sets[*i], &read[*i])).collect();
    stated::held_against(tables, asked, &borne, options, notes)
}

/// What is stated of the piece, text by text.
fn stated(asked: &Asked) -> impl Iterator<Item = &str> {
    [Some(&asked.item), asked.weight.as_ref(), asked.size.as_ref(), asked.condition.as_ref()]
        .into_iter()
        .flatten()
        .map(String::as_str)
}

/// What the marks leave open, for the seller.
fn open<'b>(read: impl Iterator<Item = &'b Borne>) -> Vec<String> {
    let mut out = Vec::new();
    for b in read {
        out.extend(b.other_metals());
        out.extend(b.beside());
        if b.standard.is_none() {
            out.push("The marks leave the fineness open, so none is named.".into());
        }
    }
    out.dedup();
    out
}

/// A line that names no metal.
fn instead(
    tables: &Tables,
    asked: &Asked,
    weighed: Option<String>,
    read: &[Borne],
) -> Option<String> {
    if stated(asked).any(|s| unborne(tables, s, None).is_some()) {
        return None;
    }
    let mut parts = vec![asked.item.clone()];
    parts.extend(asked.size.clone());
    parts.extend(weighed);
    parts.extend(asked.condition.clone());
    let struck: Vec<String> = read
        .iter()
        .flat_map(|b| &b.reading.sightings)
        .filter(|s| s.kind != Kind::Absence && !names_metal(tables, &s.text))
        .map(|s| format!("\"{}\"", clean(&s.text)))
        .collect();
    if !struck.is_empty() {
        parts.push(format!("struck {}", struck.join(", ")));
    }
    Some(capital(&parts.join(", ")))
}

/// Does a text name a metal or a standard in any way, even as plated?
fn names_metal(tables: &Tables, text: &str) -> bool {
    let words = stated_words(text);
    let named = |m: &Metal| words.iter().any(|w| w == export::metal(*m));
    METALS.iter().any(named) || unborne(tables, text, None).is_some()
}

fn clean(text: &str) -> String {
    let shown: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    shown.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// The sponsor's mark as struck: its letters, with the words for their style and punch.
fn sponsor(image: &Image, reading: &Reading) -> Option<String> {
    let seen = reading.sightings.iter().find(|s| s.kind == Kind::Sponsor)?;
    let letters = |w: &str| {
        let n = w.chars().filter(|c| c.is_alphabetic()).count();
        (1..=4).contains(&n)
            && w.chars().all(|c| !c.is_lowercase())
            && w.chars().any(char::is_uppercase)
    };
    let mut words = seen.text.split(' ').filter(|w| letters(w));
    let at = |w: &str| w.as_ptr() as usize - seen.text.as_ptr() as usize + seen.start;
    let first = at(words.next()?);
    let last = seen.text.split(' ').rfind(|w| letters(w))?;
    let last = at(last) + last.trim_end_matches([',', ';']).len();
    // Words of style may stand on either side of the letters, up to the sign that parts marks.
    let typed = &reading.asked;
    let parts = |c: char| matches!(c, ',' | ';' | ':' | '\n');
    let from = typed[..first].rfind(parts).map_or(0, |i| i + 1);
    let to = typed[last..].find(parts).map_or(typed.len(), |i| last + i);
    let style = |what: &Is| {
        matches!(
            what,
            Is::Sense(
                Sense::Lettering(_)
                    | Sense::Case(_)
                    | Sense::Outline(_)
                    | Sense::Decorative
                    | Sense::In
                    | Sense::Article
            )
        )
    };
    let joins = |what: &Is| matches!(what, Is::Sense(Sense::In | Sense::Article));
    let before = Pieces::cut(image, Text::new(image, &typed[from..first])).pieces;
    let before = before.iter().rev().take_while(|p| style(&p.what)).last();
    let behind = Pieces::cut(image, Text::new(image, &typed[last..to])).pieces;
    let behind: Vec<_> = behind.iter().take_while(|p| style(&p.what)).collect();
    let behind = behind.iter().rev().find(|p| !joins(&p.what));
    let from = before.map_or(first, |p| from + p.start);
    let to = behind.map_or(last, |p| last + p.end);
    Some(clean(&typed[from..to]))
}

/// Makers of the register named side by side; of more none is named.
const MAKERS: usize = 3;

/// Who the sponsor's mark is consistent with by the register, in words that go on from it. Letters
/// alone name no one.
fn consistent_with(reading: &Reading) -> Option<String> {
    let mut makers: Vec<String> = Vec::new();
    for met in reading.sponsors.iter().filter(|m| m.maker.consistent()) {
        let who = met.maker.who();
        if !makers.contains(&who) {
            makers.push(who);
        }
    }
    match makers.len() {
        0 => None,
        n if n > MAKERS => Some("several makers used these letters".into()),
        _ => Some(format!("consistent with {}, among others", borne::either(makers))),
    }
}

/// One set of marks in a wording.
struct SetWords {
    /// Which pieces or which part bear it, where it is not all: "four", "the cover".
    on: Option<String>,
    ascribed: Ascribed,
    sponsor: Option<String>,
    /// Who it is consistent with, by the register.
    makers: Option<String>,
    /// The piece was marked as brought in from abroad.
    foreign: bool,
    /// What the part lacks to be called of the metal: "unmarked".
    lacks: Option<String>,
}

/// The parts of a wording, in the order that the trade expects.
struct Words {
    /// "six", "pair of"; may be empty.
    before: String,
    /// The standard's name, or the metal where the marks leave the fineness open.
    metal: String,
    /// The metal's plain name.
    plain: &'static str,
    standard: Option<String>,
    item: String,
    sets: Vec<SetWords>,
    size: Option<String>,
    weight: Option<String>,
    condition: Option<String>,
}

/// What a part of a piece lacks, in words that go on from its name.
fn lack(image: &Image, marks: &str, b: &Borne) -> String {
    let struck = b.reading.sightings.iter();
    let struck = struck.filter(|s| s.kind != Kind::Absence);
    let struck: Vec<String> = struck.map(|s| clean(&s.text)).collect();
    let struck = struck.join(", ");
    match b.lack {
        Some(Lack::Partly) => format!("only partly marked ({struck})"),
        Some(Lack::Unmarked) => "unmarked".into(),
        Some(Lack::Unread) | None => "with marks that were not read".into(),
        Some(Lack::Other) => match worth::named(image, marks).first() {
            Some(kind) => format!("of {} ({struck})", kind.name()),
            None => format!("not hallmarked ({struck})"),
        },
    }
}

impl Words {
    /// The words for a piece some of whose sets bear out a metal; those of `lacking` do not.
    fn of(
        image: &Image,
        asked: &Asked,
        counted: &Counted,
        read: &[Borne],
        lacking: &[usize],
        weight: Option<String>,
    ) -> Words {
        let borne: Vec<&Borne> =
            (0..read.len()).filter(|i| !lacking.contains(i)).map(|i| &read[i]).collect();
        let standard = shared(borne.iter().map(|b| &b.standard)).cloned().flatten();
        let plain = borne.first().and_then(|b| b.metal).unwrap_or_default();
        let metal = match &standard {
            Some(name) => name.clone(),
            None => plain.to_string(),
        };
        let several = asked.sets.iter().filter(|s| s.part.is_none()).count() > 1;
        Words {
            before: counted.before.clone(),
            item: without(image, &counted.item, &metal, plain),
            metal,
            plain,
            standard,
            sets: asked
                .sets
                .iter()
                .zip(read)
                .enumerate()
                .map(|(i, (s, b))| SetWords {
                    on: match &s.part {
                        Some(part) => Some(format!("the {part}")),
                        None => several.then(|| number(s.pieces.unwrap_or(1))),
                    },
                    ascribed: borne::ascribed(b),
                    sponsor: sponsor(image, &b.reading),
                    makers: consistent_with(&b.reading),
                    foreign: b.spoken_of().all(|f| f.origin == "foreign"),
                    lacks: lacking.contains(&i).then(|| lack(image, &s.marks, b)),
                })
                .collect(),
            size: asked.size.clone(),
            weight,
            condition: asked.condition.clone(),
        }
    }

    /// "Six sterling silver teaspoons"; "Tankard, sterling silver except for the cover".
    fn head(&self, metal: &str, item: &str) -> String {
        let lacking = self.sets.iter().filter(|s| s.lacks.is_some());
        let lacking: Vec<String> = lacking.filter_map(|s| s.on.clone()).collect();
        let words = match lacking.is_empty() {
            true => vec![self.before.as_str(), metal, item],
            false => vec![self.before.as_str(), item],
        };
        let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
        let head = capital(&words.join(" "));
        match lacking.is_empty() {
            true => head,
            false => format!("{head}, {metal} except for {}", borne::and(&lacking)),
        }
    }

    /// The sets that bear out the metal.
    fn borne(&self) -> impl Iterator<Item = &SetWords> {
        self.sets.iter().filter(|s| s.lacks.is_none())
    }

    /// Offices and years, set by set: "four London 1803/04, two 1810/11".
    fn ascribed(&self) -> String {
        let mut out: Vec<String> = Vec::new();
        let mut last: Option<&String> = None;
        for set in self.borne() {
            let a = &set.ascribed;
            let mut words = match (&a.office, &a.year) {
                (Some(office), Some(year)) if last == Some(office) => year.clone(),
                _ => a.phrase.clone(),
            };
            if words.is_empty() && set.on.is_some() {
                words = "of an office and year not settled".into();
            } else if set.foreign {
                let comma = if words.is_empty() { "" } else { ", " };
                words = format!("{words}{comma}marked as imported");
            }
            if let Some(on) = &set.on {
                words = format!("{on} {words}");
            }
            let own = set.sponsor.as_ref().filter(|_| self.sponsor().is_none());
            if let Some(s) = own {
                words = format!("{words} (sponsor's mark {s})");
            }
            last = a.office.as_ref();
            out.push(words);
        }
        out.retain(|w| !w.is_empty());
        out.join(", ")
    }

    /// The parts that bear out nothing, each with what it lacks.
    fn lacking(&self) -> Vec<String> {
        let parts = self.sets.iter();
        let told = |s: &SetWords| Some(format!("{} {}", s.on.as_ref()?, s.lacks.as_ref()?));
        parts.filter_map(told).collect()
    }

    /// The sponsor's mark, if all sets share it.
    fn sponsor(&self) -> Option<&String> {
        shared(self.borne().map(|s| s.sponsor.as_ref())).flatten()
    }

    /// The sponsors' marks in sentences, with whom they are consistent with.
    fn sponsors(&self) -> Vec<String> {
        let struck: Vec<&SetWords> = self.borne().filter(|s| s.sponsor.is_some()).collect();
        let one = shared(struck.iter().map(|s| (&s.sponsor, &s.makers))).is_some();
        let told = struck.iter().map(|set| {
            let on = set.on.as_ref().filter(|_| !one);
            let on = on.map_or(String::new(), |on| format!(" on {on}"));
            let makers = set.makers.as_ref();
            let makers = makers.map_or(String::new(), |m| format!(", {m}"));
            let mark = set.sponsor.as_deref().unwrap_or_default();
            format!("Sponsor's mark{on}: {mark}{makers}")
        });
        told.take(if one { 1 } else { usize::MAX }).collect()
    }

    fn line(&self) -> String {
        let sponsor = self.sponsor().map(|s| format!("sponsor's mark {s}"));
        let mut parts =
            vec![Some(self.head(&self.metal, &self.item)), Some(self.ascribed()), sponsor];
        parts.extend(self.lacking().into_iter().map(Some));
        parts.extend([self.size.clone(), self.weight.clone(), self.condition.clone()]);
        let parts: Vec<String> = parts.into_iter().flatten().filter(|p| !p.is_empty()).collect();
        parts.join(", ")
    }

    /// At most so many characters: what is most telling is taken first, then put in the trade's order.
    /// The item is never cut within a phrase.
    fn title(&self, length: usize) -> Result<String, Refused> {
        let words: Vec<&str> = self.item.split(' ').collect();
        let upto = |n: usize| {
            let item = words[..n].join(" ");
            item.trim_end_matches([',', ';', ':']).to_string()
        };
        let ends = |n: &usize, joining: &[&str]| {
            words.get(*n).is_none_or(|next| {
                is_of(&ADDING, next)
                    || is_of(joining, next)
                    || next.starts_with('(')
                    || words[n - 1].ends_with([',', ';', ':'])
            })
        };
        // The piece itself ends before a "with" and behind a comma, what is said of it before any
        // word that joins.
        let noun = (1..=words.len()).find(|n| ends(n, &[])).unwrap_or(words.len());
        let cuts = (noun..=words.len()).filter(|n| ends(n, &JOINING));
        let mut t = Title { length, parts: Vec::new() };
        let mut metal = self.metal.as_str();
        t.parts.push(self.head(metal, &upto(noun)));
        if !t.fits() {
            metal = self.plain;
            t.parts[0] = self.head(metal, &upto(noun));
        }
        if !t.fits() {
            let least = t.joined().chars().count();
            return wrong(
                format!("\"{}\" has {least} characters and is cut no shorter", t.joined()),
                &format!("ask for a title of at least {least}, or name the piece in fewer words"),
            );
        }
        // Then when and where, whose, and the rest of the item.
        t.parts.resize(6, String::new());
        t.best(1, [self.ascribed()].iter());
        let sponsor = self.sponsor().map(|s| format!("sponsor's mark {s}"));
        t.best(2, sponsor.iter().rev());
        let heads: Vec<String> = cuts.map(|n| self.head(metal, &upto(n))).collect();
        t.best(0, heads.iter());
        // In grams, and in ounces too if there is room.
        let grams = self.weight.as_ref().and_then(|w| w.split_once(" ("));
        let weights = [grams.map(|g| g.0.to_string()), self.weight.clone()];
        t.best(4, weights.iter().flatten());
        t.best(3, self.size.iter());
        t.best(5, self.condition.iter());
        Ok(t.joined())
    }

    fn paragraph(&self, read: &[Borne]) -> String {
        let several = self.sets.len() > 1;
        let head = self.head(&self.metal, &self.item);
        let mut out = vec![match self.ascribed().as_str() {
            "" => head,
            ascribed if several => format!("{head}: {ascribed}"),
            ascribed => format!("{head}, {ascribed}"),
        }];
        for (set, b) in self.sets.iter().zip(read) {
            if let (Some(on), Some(lacks)) = (&set.on, &set.lacks) {
                let on = capital(on);
                out.push(format!("{on}: {lacks}, and not called {}", self.plain));
                continue;
            }
            let marks = b.reading.sightings.iter();
            let marks = marks.filter(|s| s.kind != Kind::Sponsor);
            let marks: Vec<String> = marks.map(|s| clean(&s.text)).collect();
            let on = set.on.as_ref().map_or(String::new(), |on| format!(" on {on}"));
            out.push(format!("Marks{on}: {}", marks.join(", ")));
            out.extend(set.ascribed.doubt.clone());
        }
        out.extend(self.sponsors());
        let mut measured: Vec<String> = Vec::new();
        measured.extend(self.size.clone());
        measured.extend(self.weight.as_ref().map(|w| match w.starts_with(char::is_alphabetic) {
            true => w.clone(),
            false => format!("weight {w}"),
        }));
        if !measured.is_empty() {
            out.push(measured.join(", "));
        }
        out.extend(self.condition.as_ref().map(|c| format!("Condition: {c}")));
        out.push("Described from the marks as seen, not assayed".into());
        out.into_iter().map(sentence).collect::<Vec<_>>().join(" ")
    }
}

/// A title in the making: its parts in the trade's order, the untaken ones empty.
struct Title {
    length: usize,
    parts: Vec<String>,
}

impl Title {
    fn joined(&self) -> String {
        let parts: Vec<&str> = self.parts.iter().map(String::as_str).collect();
        let parts: Vec<&str> = parts.into_iter().filter(|p| !p.is_empty()).collect();
        parts.join(", ")
    }

    fn fits(&self) -> bool {
        self.joined().chars().count() <= self.length
    }

    /// Puts the last of these forms that fits into its place.
    fn best<'f>(&mut self, place: usize, forms: impl DoubleEndedIterator<Item = &'f String>) {
        for form in forms.rev() {
            let before = std::mem::replace(&mut self.parts[place], form.clone());
            if self.fits() {
                return;
            }
            self.parts[place] = before;
        }
    }
}

/// Words with which something more than the piece itself begins.
const ADDING: [&str; 4] = ["with", "having", "without", "including"];
/// Words that join what follows to what is before it.
const JOINING: [&str; 10] = ["and", "in", "on", "by", "for", "of", "to", "after", "within", "&"];

fn is_of(list: &[&str], word: &str) -> bool {
    list.iter().any(|w| word.eq_ignore_ascii_case(w))
}

/// The item without the words at its head that the standard's name says already.
fn without(image: &Image, item: &str, standard: &str, metal: &str) -> String {
    let mut said = stated_words(standard);
    said.push(metal.to_string());
    let seen = words::read(image, item);
    let named = seen
        .sightings
        .iter()
        .find(|s| {
            let fineness = s.kind(image) == Kind::Fineness;
            s.start == 0 && (fineness || matches!(s.what, What::Standard(_)))
        })
        .map_or(0, |s| s.end);
    let mut rest = item[named..].trim_start();
    loop {
        let end = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
        let word = rest[..end].to_lowercase();
        let more = rest[end..].trim_start();
        // "silver-gilt" is one word, and something has to be left.
        if word.is_empty()
            || more.is_empty()
            || rest[end..].starts_with('-')
            || !said.contains(&word)
        {
            break;
        }
        rest = more;
    }
    if rest.is_empty() { item.to_string() } else { rest.to_string() }
}
