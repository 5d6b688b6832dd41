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

mod ascribed;
pub(crate) mod borne;
mod called;
mod line;
mod refusal;
mod sponsor;
mod title;

use puncheon_schema::entry::Particular;
use puncheon_schema::image::{DeductionView, Image};
use serde::Serialize;

pub(crate) use self::ascribed::ascribed;
use self::borne::SetRead;
use self::called::{Called, Counted};
use self::line::{Weighing, Words};
use self::refusal::{Stated, instead, open, refusal};
use crate::engine::fit::narrow::Options;
use crate::engine::metal;
use crate::engine::words;
use crate::json::cautions::Caution;
use crate::json::reading::Reading;
use crate::json::verdict::WarningMet;
use crate::json::worth::{Advice, Weighed};
use crate::lexis::grammar::figures::Span;
use crate::lexis::grammar::objects::{Bearer, Item, MOST_PIECES};
use crate::tables::Tables;
use crate::voice::cautions::{self, Facts, Use};
use crate::voice::lists::clean;
use crate::voice::refused::Refused;
use crate::voice::verdict;
use crate::voice::worth::{self as worth_told, Weight};

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.wording/1";

/// The shortest title that can be asked for.
pub const SHORTEST_TITLE: usize = 20;
/// The most characters that are stated of one kind.
const MOST_STATED: usize = 1000;

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

pub(super) fn wrong<T>(wrong: String, remedy: &str) -> Result<T, Refused> {
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
        let item = words::item(tables.image(), marks, true);
        // Figures before them count already, and no part bears what several pieces do.
        let bearer =
            item.bearer().filter(|(b, _)| pieces.is_none() || !matches!(b, Bearer::Pieces(_)));
        let mut set = Set { pieces, part: None, marks: marks.to_string() };
        if let Some((bearer, from)) = bearer {
            match bearer {
                Bearer::Pieces(n) => set.pieces = Some(n),
                Bearer::Part(at) => set.part = Some(clean(item.said(&at)).to_lowercase()),
                Bearer::Every => {}
            }
            set.marks = marks[from..].to_string();
        }
        Ok(set)
    }
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
    let image = tables.image();
    let items = stated(&asked).enumerate().map(|(i, w)| words::item(image, w, i == 0));
    let items: Vec<Item> = items.collect();
    let marks = asked.sets.iter().map(|s| s.marks.as_str());
    let marks: Vec<Item> = marks.map(|m| words::item(image, m, true)).collect();
    let counted = Counted::of(&items[0], &asked)?;
    let weight = match &asked.weight {
        Some(typed) => Some(Weight::read(tables, typed)?),
        None => None,
    };
    let mut signs: Vec<u32> = items.iter().flat_map(|i| i.seen.signs.iter().copied()).collect();
    let borne = marks.iter().map(|m| metal::read(image, m, &signs, options));
    let read: Vec<SetRead> = borne.map(|b| SetRead::of(tables, b)).collect();
    signs.extend(marks.iter().flat_map(|m| &m.seen.signs));
    let lacking = lacking(&asked, &read);
    let beside = kinds(&items);
    let weighed = weight.as_ref().map(|w| Weighing {
        gross: !lacking.is_empty() || beside.iter().any(|d| d.weighs()),
        grams: w.in_grams(),
        shown: w.shown(tables),
    });
    let mut notes = weight.as_ref().map_or_else(Vec::new, |w| w.notes.clone());
    let told = Stated::of(&asked, &items, &counted);
    let refused = refusal(tables, &asked, &told, &read, &lacking, options, &mut notes);
    let bearing = (0..read.len()).find(|i| !lacking.contains(i)).map(|i| &read[i].borne);
    let words = refused.is_none().then(|| {
        let called = Called::of(&items[0], &counted, bearing);
        let called = (counted.before.clone(), called);
        Words::of(&asked, called, &read, &marks, &lacking, weighed.clone())
    });
    let instead = match &refused {
        // What was claimed is not said in other words either.
        Some(r) if r.because != Because::Claim => instead(&asked, &told, weighed, &read, &marks),
        _ => None,
    };
    if refused.is_none() {
        notes.extend(open(read.iter().filter(|s| s.borne.refused.is_none())));
    }
    notes.extend(crate::rests_on_overlay(tables));
    let sets: Vec<Read> = sets_read(&asked, &read, &marks, &lacking).collect();
    let readings: Vec<Reading> = sets.iter().map(|s| s.reading.clone()).collect();
    let told = stated(&asked).collect::<Vec<_>>().join("; ");
    let unsupported = match &refused {
        Some(r) => r.because != Because::Claim,
        None => !lacking.is_empty(),
    };
    let facts = Facts {
        readings: &readings,
        pieces: counted.pieces.unwrap_or(1),
        signs: Some(&signs),
        stated: &told,
        particulars: particulars(&asked),
        unsupported,
        holds: false,
    };
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
        weight: weight.map(|w| worth_told::weighed(image, &Span::exactly(w.grams))),
        beside: beside.into_iter().map(|d| Advice::of(d, false)).collect(),
        refused,
        instead,
        notes,
        warnings: warnings(image, &read),
        show: cautions::applying(tables, Use::Show, &facts),
        cautions: cautions::applying(tables, Use::Sell, &facts),
        sets,
        asked,
    })
}

/// The parts of the piece whose marks bear out nothing and speak against nothing, where others do: what a
/// part lacks is not held against the rest.
fn lacking(asked: &Asked, read: &[SetRead]) -> Vec<usize> {
    let some_borne = read.iter().any(|s| s.borne.refused.is_none());
    let part_lacks = |i: &usize| asked.sets[*i].part.is_some() && read[*i].borne.lack().is_some();
    (0..read.len()).filter(|i| some_borne && part_lacks(i)).collect()
}

/// What the texts speak of that is not the metal, each kind once.
fn kinds<'i>(items: &[Item<'i, '_>]) -> Vec<DeductionView<'i>> {
    let mut out: Vec<DeductionView> = Vec::new();
    for named in items.iter().flat_map(Item::beside) {
        if !out.iter().any(|d| d.i == named.kind.i) {
            out.push(named.kind);
        }
    }
    out
}

fn sets_read<'a>(
    asked: &'a Asked,
    read: &'a [SetRead<'a>],
    marks: &'a [Item],
    lacking: &'a [usize],
) -> impl Iterator<Item = Read> + 'a {
    let sets = asked.sets.iter().zip(read).zip(marks).enumerate();
    sets.map(|(i, ((s, SetRead { borne, reading }), marks))| Read {
        pieces: s.pieces,
        part: s.part.clone(),
        ascribed: ascribed::ascribed(borne).phrase,
        sponsor: sponsor::sponsor(marks, reading),
        makers: sponsor::consistent_with(reading),
        not_borne: borne::refused(borne, reading).filter(|_| lacking.contains(&i)),
        reading: reading.clone(),
    })
}

fn particulars(asked: &Asked) -> Vec<Particular> {
    let all = [
        (Particular::Weight, asked.weight.is_some()),
        (Particular::Size, asked.size.is_some()),
        (Particular::Condition, asked.condition.is_some()),
    ];
    all.into_iter().filter(|(_, given)| *given).map(|(p, _)| p).collect()
}

/// The signs met by any set, each once.
fn warnings(image: &Image, read: &[SetRead]) -> Vec<WarningMet> {
    let mut out: Vec<WarningMet> = Vec::new();
    for sign in read.iter().flat_map(|s| &s.borne.warnings) {
        let w = verdict::warning(image, sign);
        if !out.contains(&w) {
            out.push(w);
        }
    }
    out
}

/// What the marks alone let a row say: the standard, office and year, the sponsor's mark.
///
/// # Errors
/// Why no metal may be named, a sentence.
pub fn in_short(tables: &Tables, marks: &str, options: &Options) -> Result<String, String> {
    let image = tables.image();
    let item = [words::item(image, marks, true)];
    let read = [SetRead::of(tables, metal::read(image, &item[0], &[], options))];
    if let Some(why) = borne::refused(&read[0].borne, &read[0].reading) {
        return Err(why);
    }
    let asked = Asked {
        sets: vec![Set { pieces: None, part: None, marks: marks.to_string() }],
        ..Asked::default()
    };
    let nothing = (String::new(), Called::NOTHING);
    Ok(Words::of(&asked, nothing, &read, &item, &[], None).line())
}

/// What is stated of the piece, text by text: the item first.
fn stated(asked: &Asked) -> impl Iterator<Item = &str> {
    [Some(&asked.item), asked.weight.as_ref(), asked.size.as_ref(), asked.condition.as_ref()]
        .into_iter()
        .flatten()
        .map(String::as_str)
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
