//! The marks that a piece of an office, year and standard should bear, in the shape that
//! `puncheon.expected/1` prints.

use puncheon_schema::entry::{Metal, Origin, Slot};
use puncheon_schema::export;
use puncheon_schema::image::{Image, MarkView, Meta, RowView};
use serde::Serialize;

use crate::engine::cautions::{self, Facts, Use};
use crate::engine::claim::claimed::Claim;
use crate::engine::fit::letter_year::letter_of;
use crate::engine::fit::narrow::weaker;
use crate::json::reading::LetterStruck;
use crate::lexis::sighting::slot_name;
use crate::tables::Tables;
use crate::voice;
use crate::voice::claim::ClaimError;
use crate::voice::letters;
use crate::voice::marks::mark_sentence;
use crate::voice::sentence::sentence;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.expected/1";

/// The place of the mark of whoever sent the piece in.
pub(crate) const SPONSOR: &str = "sponsor's mark";
/// How it looks, as far as can be said of all of them.
pub(crate) const SPONSOR_LOOKS: &str = "the maker's or sponsor's letters or picture";

/// What is asked: offices, years and standards as a claim names them, and bounds on them.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The offices, years and standards.
    #[serde(flatten)]
    pub claim: Claim,
    /// silver, gold, platinum or palladium; null for any that the claim allows.
    #[serde(serialize_with = "as_word")]
    pub metal: Option<Metal>,
    /// Ware brought in from abroad.
    pub imported: bool,
}

fn as_word<S: serde::Serializer>(m: &Option<Metal>, s: S) -> Result<S::Ok, S::Error> {
    m.map(export::metal).serialize(s)
}

impl Asked {
    /// Reads a question such as "an office 1803" or "an office 1910, imported, 18 ct".
    ///
    /// # Errors
    /// As [`Claim::read`]; and if no year is named.
    pub fn read(tables: &Tables, words: &str) -> Result<Asked, ClaimError> {
        let claim = Claim::read(tables, words)?;
        if claim.years.is_empty() {
            return Err(voice::claim::without_a_year(tables.image(), words));
        }
        Ok(claim.into())
    }
}

impl From<Claim> for Asked {
    /// All that a claim allows.
    fn from(claim: Claim) -> Asked {
        Asked { imported: claim.imported, claim, metal: None }
    }
}

/// One mark of a set.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ExpectedMark {
    /// Its place in the set: "town mark", "duty mark", "date letter".
    pub place: String,
    /// How it should look; alternatives joined by "or".
    pub looks: String,
    /// The shape round it; null where not known.
    pub outline: Option<String>,
    /// The law or the office's rule asks for it; else it was struck by choice.
    pub due: bool,
    /// Articles on which it is often lacking.
    pub may_lack: Vec<String>,
    /// What it says, a sentence.
    pub why: String,
    /// published, memory or both.
    pub basis: &'static str,
    /// high, medium or low.
    pub confidence: &'static str,
    /// Sources.
    pub sources: Vec<String>,
}

/// A set of marks that could have been struck on one day, over the letter years that share it.
#[derive(Clone, Debug, Serialize)]
pub struct ExpectedSet {
    /// The office, lower case.
    pub office: String,
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// As the trade writes it.
    pub shown: String,
    /// First day, ISO; null where not known, or for several years.
    pub begins: Option<String>,
    /// Last day, ISO.
    pub ends: Option<String>,
    /// home, foreign or either.
    pub origin: &'static str,
    /// silver, gold, platinum or palladium.
    pub metal: &'static str,
    /// Whole parts per thousand; null where no standard is known.
    pub fineness: Option<u16>,
    /// The standard's name.
    pub standard: String,
    /// The date letters, one for each letter year.
    pub letters: Vec<LetterStruck>,
    /// The marks, the date letter and the sponsor's mark among them.
    pub marks: Vec<ExpectedMark>,
    /// The office's name, for a reader.
    #[serde(skip)]
    pub office_name: String,
}

/// A mark that could not stand in the years asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Impossible {
    /// The office, lower case.
    pub office: String,
    /// The mark.
    pub mark: String,
    /// Its place in the set.
    pub place: String,
    /// When the office struck it.
    pub struck: String,
    #[serde(skip)]
    far: i32,
}

/// The marks expected.
#[derive(Clone, Debug, Serialize)]
pub struct Expected {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// The sets; empty if nothing was struck.
    pub sets: Vec<ExpectedSet>,
    /// What the office first struck in the year asked, where one is.
    pub began: Vec<String>,
    /// What it struck for the last time.
    pub ended: Vec<String>,
    /// Marks of the office that could not stand then, the nearest in time first.
    pub impossible: Vec<Impossible>,
    /// Other standards that the office marked then.
    pub others: Vec<String>,
    /// Why nothing was struck, a sentence; null if something was.
    pub nothing: Option<String>,
    /// How the words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

pub(crate) fn expected(image: &Image, asked: &Asked) -> Expected {
    let row = |r: &usize| image.row(*r);
    let origin = |r: &usize| (row(r).origin() == Origin::Foreign) == asked.imported;
    let metal =
        |r: &usize| asked.metal.is_none_or(|m| image.standard(row(r).standard()).metal() == m);
    let in_claim = asked.claim.rows(image);
    let mut rows: Vec<usize> = in_claim.iter().copied().filter(|r| origin(r) && metal(r)).collect();
    let mut others = Vec::new();
    if asked.claim.standards.is_empty() && asked.metal.is_none() {
        let first = first_standards(image, &rows);
        for r in &rows {
            let name = image.standard(row(r).standard()).name().to_string();
            if !others.contains(&name) {
                others.push(name);
            }
        }
        rows.retain(|r| first.contains(&(row(r).letter_index(), row(r).standard())));
        others.retain(|o| !rows.iter().any(|r| image.standard(row(r).standard()).name() == o));
    }
    let sets = sets(image, asked, &rows);
    let nothing = sets.is_empty().then(|| nothing(image, asked, &in_claim));
    let one = one_year(image, &in_claim);
    let (began, ended) = one.map_or_else(Default::default, |(o, y)| changes(image, o, y));
    let cautions = cautions::foot(image, Use::Expect, &Facts::default());
    Expected {
        schema: SCHEMA,
        asked: asked.clone(),
        impossible: if sets.is_empty() { Vec::new() } else { impossible(image, &rows) },
        sets,
        began,
        ended,
        others,
        nothing,
        conventions: voice::claim::conventions(image, &asked.claim),
        cautions,
    }
}

/// Of each letter the standard that stands first in the tables.
fn first_standards(image: &Image, rows: &[usize]) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for r in rows {
        let view = image.row(*r);
        let (letter, standard) = (view.letter_index(), view.standard());
        match out.iter_mut().find(|o| o.0 == letter) {
            Some(o) => o.1 = o.1.min(standard),
            None => out.push((letter, standard)),
        }
    }
    out
}

/// The one office and letter year, if all rows are of one.
fn one_year(image: &Image, rows: &[usize]) -> Option<(usize, i32)> {
    let of = |r: &usize| {
        let l = image.row(*r).letter();
        (l.office(), l.year())
    };
    let first = rows.first().map(of)?;
    rows.iter().all(|r| of(r) == first).then_some(first)
}

/// Rows that lie on the same days: marks of which the one or the other could be struck.
struct Cell {
    rows: Vec<usize>,
    /// Their sets of marks.
    sets: Vec<usize>,
}

/// Rows as sets: what could be struck on the same days is one set, and letter years that share
/// theirs are joined.
fn sets(image: &Image, asked: &Asked, rows: &[usize]) -> Vec<ExpectedSet> {
    let class = |r: usize| {
        let v = image.row(r);
        (v.letter().office(), v.standard(), v.origin())
    };
    let days = |r: usize| {
        let v = image.row(r);
        (v.letter().year(), v.letter_index(), v.begins(), v.ends())
    };
    let mut order: Vec<usize> = rows.to_vec();
    order.sort_by_key(|r| (class(*r), days(*r), image.row(*r).set()));
    let mut cells: Vec<Cell> = Vec::new();
    for r in order {
        let same = |c: &&mut Cell| (class(c.rows[0]), days(c.rows[0])) == (class(r), days(r));
        match cells.last_mut().filter(same) {
            Some(c) => {
                c.rows.push(r);
                c.sets.push(image.row(r).set());
            }
            None => cells.push(Cell { rows: vec![r], sets: vec![image.row(r).set()] }),
        }
    }
    let mut runs: Vec<Vec<Cell>> = Vec::new();
    for c in cells {
        let joins = |run: &&mut Vec<Cell>| {
            run.last().is_some_and(|l| {
                class(l.rows[0]) == class(c.rows[0])
                    && l.sets == c.sets
                    && days(c.rows[0]).0 <= image.row(l.rows[0]).letter().to() + 1
            })
        };
        match runs.last_mut().filter(joins) {
            Some(run) => run.push(c),
            None => runs.push(vec![c]),
        }
    }
    runs.iter().map(|run| set(image, asked, run)).collect()
}

fn set(image: &Image, asked: &Asked, run: &[Cell]) -> ExpectedSet {
    let views: Vec<RowView> = run.iter().map(|c| image.row(c.rows[0])).collect();
    let (first, last) = (views[0], views[views.len() - 1]);
    let office = first.letter().office();
    let standard = image.standard(first.standard());
    let one = first.letter_index() == last.letter_index();
    let day = |d: i32| Some(export::day(d)).filter(|d| one && !d.is_empty());
    let mut letters: Vec<usize> = views.iter().map(|v| v.letter_index()).collect();
    letters.dedup();
    let mut marks: Vec<ExpectedMark> =
        places(image, &run[0]).iter().map(|p| mark(image, first, p)).collect();
    marks.push(letter_mark(image, &views, &letters));
    marks.push(sponsor_mark());
    // A mark struck by choice stands after those that are due.
    marks.sort_by_key(|m| !m.due);
    ExpectedSet {
        office: image.office(office).id().to_string(),
        office_name: image.office(office).name().to_string(),
        from: first.letter().year(),
        to: last.letter().to(),
        shown: if one {
            let l = first.letter();
            letters::shown(l, l.year(), l.to())
        } else {
            letters::shown_span(image, office, first.letter().year(), last.letter().to())
        },
        begins: day(first.begins()),
        ends: day(last.ends()),
        origin: if asked.imported { "foreign" } else { export::origin(first.origin()) },
        metal: export::metal(standard.metal()),
        fineness: standard.parts(),
        standard: standard.name().to_string(),
        letters: letters
            .iter()
            .filter_map(|l| views.iter().find(|v| v.letter_index() == *l))
            .map(|v| letters::letter_struck(image, *v))
            .collect(),
        marks,
    }
}

/// One place of a set, with the marks of which any may fill it.
struct Place<'a> {
    slot: Slot,
    /// How many places of that slot stand before it.
    nth: usize,
    /// Rows that have it.
    rows: usize,
    due: bool,
    marks: Vec<MarkView<'a>>,
}

/// The places of a set in the order of their slots. A place is due if every row has it due.
fn places<'a>(image: &'a Image, cell: &Cell) -> Vec<Place<'a>> {
    let mut out: Vec<Place> = Vec::new();
    for r in &cell.rows {
        let mut before: Vec<Slot> = Vec::new();
        for g in image.row(*r).groups() {
            let marks: Vec<MarkView> = g.marks().collect();
            let Some(slot) = marks.first().map(|m| m.slot()) else {
                continue;
            };
            let nth = before.iter().filter(|s| **s == slot).count();
            before.push(slot);
            match out.iter_mut().find(|p| (p.slot, p.nth) == (slot, nth)) {
                Some(p) => {
                    p.rows += 1;
                    p.due &= g.due;
                    let known: Vec<usize> = p.marks.iter().map(|m| m.device()).collect();
                    let new = marks.into_iter().filter(|m| !known.contains(&m.device()));
                    p.marks.extend(new);
                }
                None => out.push(Place { slot, nth, rows: 1, due: g.due, marks }),
            }
        }
    }
    for p in &mut out {
        p.due &= p.rows == cell.rows.len();
    }
    out.sort_by_key(|p| (p.slot as u8, p.nth));
    out
}

/// A place in words.
fn mark(image: &Image, row: RowView, place: &Place) -> ExpectedMark {
    let all = &place.marks;
    let mut names: Vec<&str> = all.iter().map(|m| image.device(m.device()).name()).collect();
    names.dedup();
    let mut whys: Vec<String> = all.iter().map(|m| mark_sentence(image, row, *m)).collect();
    whys.dedup();
    let mut sources: Vec<String> = Vec::new();
    for c in all.iter().flat_map(|m| m.cites()) {
        if !sources.iter().any(|s| s == c) {
            sources.push(c.to_string());
        }
    }
    let slot = place.slot;
    let weakest = all.iter().map(|m| (m.basis(), m.confidence()));
    let (basis, confidence) =
        weakest.reduce(weaker).unwrap_or((row.letter().basis(), row.letter().confidence()));
    ExpectedMark {
        place: slot_name(slot).to_string(),
        looks: names.join(" or "),
        outline: all.iter().find_map(|m| m.outline()).map(|o| image.outline_name(o).to_string()),
        due: place.due,
        may_lack: omitted(image, row, Some(slot)),
        why: sentence(whys.join("; or ")),
        basis: export::basis(basis),
        confidence: export::confidence(confidence),
        sources,
    }
}

fn letter_mark(image: &Image, views: &[RowView], letters: &[usize]) -> ExpectedMark {
    let first = views[0];
    let l = first.letter();
    let metal = image.standard(first.standard()).metal();
    let looks = match letters {
        [_] if l.value().is_none() => "not known".to_string(),
        [_] => letters::letter_words(image, first),
        _ if views.iter().all(|v| v.letter().year() == l.year()) => {
            let known = |v: &&RowView| v.letter().value().is_some();
            let mut named: Vec<String> =
                views.iter().filter(known).map(|v| letters::letter_words(image, *v)).collect();
            named.dedup();
            match views.iter().all(|v| known(&v)) {
                true => named.join(" or "),
                false => format!("not known: sources say {}", named.join(" or ")),
            }
        }
        _ => {
            let last = views[views.len() - 1];
            format!(
                "from {} to {}",
                letters::letter_words(image, first),
                letters::letter_words(image, last)
            )
        }
    };
    ExpectedMark {
        place: "date letter".into(),
        looks,
        outline: l
            .outline(metal)
            .filter(|_| letters.len() == 1)
            .map(|o| image.outline_name(o).to_string()),
        due: !l.optional(),
        may_lack: omitted(image, first, None),
        why: match letters {
            [_] => sentence(letters::letter_sentence(image, first)),
            _ => "The letter changed each year.".into(),
        },
        basis: export::basis(l.basis()),
        confidence: export::confidence(
            views.iter().map(|v| v.letter().confidence()).max().unwrap_or(l.confidence()),
        ),
        sources: l.cites().map(str::to_string).collect(),
    }
}

/// Every set bears the mark of whoever sent it in.
fn sponsor_mark() -> ExpectedMark {
    ExpectedMark {
        place: SPONSOR.into(),
        looks: SPONSOR_LOOKS.into(),
        outline: None,
        due: true,
        may_lack: Vec::new(),
        why: "Who sent the piece in to be assayed.".into(),
        basis: "both",
        confidence: "high",
        sources: Vec::new(),
    }
}

/// The articles on which a mark was often left off; no slot is the date letter.
pub(crate) fn omitted(image: &Image, row: RowView, slot: Option<Slot>) -> Vec<String> {
    (0..image.meta(Meta::Omissions))
        .map(|i| image.omission(i))
        .filter(|o| slot.map_or(o.leaves_out_letter(), |s| o.leaves_out(s)) && o.covers(row))
        .map(|o| o.on().to_string())
        .collect()
}

/// Why no row answers.
fn nothing(image: &Image, asked: &Asked, in_claim: &[usize]) -> String {
    if in_claim.is_empty() {
        return sentence(voice::claim::never_struck(image, &asked.claim));
    }
    let mut what = asked.metal.map_or("ware".to_string(), |m| export::metal(m).to_string());
    if asked.imported {
        what = format!("foreign {what}");
    }
    // What the offices did strike of it, and when.
    let mut parts = Vec::new();
    for o in (0..image.meta(Meta::Offices)).map(|o| image.office(o)) {
        if asked.claim.offices.is_empty() || !asked.claim.office(o.id()) {
            continue;
        }
        let years: Vec<i32> = o
            .rows()
            .map(|r| image.row(r))
            .filter(|v| (v.origin() == Origin::Foreign) == asked.imported)
            .filter(|v| {
                let standard = image.standard(v.standard());
                asked.metal.is_none_or(|m| standard.metal() == m)
                    && asked.claim.standard(standard.id())
            })
            .map(|v| v.letter().year())
            .collect();
        parts.push(match (years.iter().min(), years.iter().max()) {
            (Some(a), Some(b)) if *b == o.years().1 && o.open() => {
                format!("{} marked it from {a} on", o.name())
            }
            (Some(a), Some(b)) => format!("{} marked it from {a} to {b}", o.name()),
            _ => format!("{} never did", o.name()),
        });
    }
    parts.insert(0, format!("no {what} was marked there and then"));
    sentence(parts.join("; "))
}

/// The marks and standards that an office struck in each of its letter years, in any set.
pub(crate) struct StruckBy<'i> {
    image: &'i Image,
    first: i32,
    last: i32,
    open: bool,
    /// From the first year on.
    years: Vec<StruckIn>,
}

impl StruckIn {
    /// How many metals were marked.
    fn metals(&self) -> usize {
        let mut all: Vec<Metal> = self.marks.iter().map(|m| m.2).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    }
}

/// What an office struck in one letter year.
#[derive(Clone, Default)]
struct StruckIn {
    marks: Vec<(Slot, usize, Metal)>,
    standards: Vec<usize>,
}

impl<'i> StruckBy<'i> {
    pub(crate) fn new(image: &'i Image, office: usize) -> StruckBy<'i> {
        let view = image.office(office);
        let (first, last) = view.years();
        let mut years = vec![StruckIn::default(); (last - first + 1).max(0) as usize];
        for row in view.rows().map(|r| image.row(r)) {
            let letter = row.letter();
            for year in letter.year()..=letter.to() {
                if let Some(year) = years.get_mut((year - first) as usize) {
                    let metal = image.standard(row.standard()).metal();
                    let marks = row.marks().map(|m| (m.slot(), m.device(), metal));
                    year.marks.extend(marks);
                    year.standards.push(row.standard());
                }
            }
        }
        for year in &mut years {
            year.marks.sort_unstable_by_key(|(s, d, m)| (*s as u8, *d, *m));
            year.marks.dedup();
            year.standards.sort_unstable();
            year.standards.dedup();
        }
        StruckBy { image, first, last, open: view.open(), years }
    }

    /// What was struck in a year and not in the other.
    fn against(&self, year: i32, other: i32) -> Vec<String> {
        let at = |y: i32| self.years.get((y - self.first) as usize);
        let (Some(here), Some(there)) = (at(year), at(other)) else {
            return Vec::new();
        };
        let mut out: Vec<String> = here
            .standards
            .iter()
            .filter(|s| !there.standards.contains(s))
            .map(|s| self.image.standard(*s).name().to_string())
            .collect();
        let name = |d: usize| self.image.device(d).name();
        // A mark in broader or narrower words is the same mark.
        let same = |a: usize, b: usize| {
            name(a) == name(b) || self.image.covers(a, b) || self.image.covers(b, a)
        };
        // Each mark with the metals on which the other year lacks it.
        let mut changed: Vec<(Slot, usize, Vec<Metal>)> = Vec::new();
        for (slot, device, metal) in &here.marks {
            let known =
                |(s, d, m): &(Slot, usize, Metal)| s == slot && m == metal && same(*d, *device);
            if there.marks.iter().any(known) {
                continue;
            }
            let at =
                |c: &&mut (Slot, usize, Vec<Metal>)| c.0 == *slot && name(c.1) == name(*device);
            match changed.iter_mut().find(at) {
                Some(c) if c.2.contains(metal) => {}
                Some(c) => c.2.push(*metal),
                None => changed.push((*slot, *device, vec![*metal])),
            }
        }
        let all = here.metals();
        let narrower = |c: &(Slot, usize, Vec<Metal>)| {
            changed
                .iter()
                .any(|n| n.0 == c.0 && n.1 != c.1 && n.2 == c.2 && self.image.covers(c.1, n.1))
        };
        for c in changed.iter().filter(|c| !narrower(c)) {
            let on: Vec<&str> = c.2.iter().map(|m| export::metal(*m)).collect();
            let on = match on.len() == all {
                true => String::new(),
                false => format!(", on {}", on.join(" and ")),
            };
            out.push(format!("{} ({}{on})", name(c.1), slot_name(c.0)));
        }
        out
    }

    /// What the office first struck in a year.
    pub(crate) fn began(&self, year: i32) -> Vec<String> {
        if year == self.first {
            vec!["the office's letters".to_string()]
        } else {
            self.against(year, year - 1)
        }
    }

    /// What it struck for the last time.
    pub(crate) fn ended(&self, year: i32) -> Vec<String> {
        if year < self.last {
            self.against(year, year + 1)
        } else if self.open {
            Vec::new()
        } else {
            vec!["the office's letters".to_string()]
        }
    }
}

/// What began and what ended in a letter year, against the years beside it.
fn changes(image: &Image, office: usize, year: i32) -> (Vec<String>, Vec<String>) {
    let (first, last) = image.office(office).years();
    let struck = StruckBy::new(image, office);
    let letter = letter_of(image, office, year);
    let run = |other: i32| {
        let there = letter_of(image, office, other);
        letter.zip(there).is_some_and(|(a, b)| a.cycle() != b.cycle())
    };
    let mut began = struck.began(year);
    if year > first && run(year - 1) {
        began.push("a new run of letters".into());
    }
    let mut ended = struck.ended(year);
    if year < last && run(year + 1) {
        ended.push("the run of letters".into());
    }
    (began, ended)
}

/// Marks that the offices struck at other times only, the nearest first.
fn impossible(image: &Image, rows: &[usize]) -> Vec<Impossible> {
    let mut offices: Vec<usize> = rows.iter().map(|r| image.row(*r).letter().office()).collect();
    offices.sort_unstable();
    offices.dedup();
    let (Some(from), Some(to)) = (
        rows.iter().map(|r| image.row(*r).letter().year()).min(),
        rows.iter().map(|r| image.row(*r).letter().to()).max(),
    ) else {
        return Vec::new();
    };
    let metals: Vec<_> =
        rows.iter().map(|r| image.standard(image.row(*r).standard()).metal()).collect();
    let devices: Vec<usize> = rows
        .iter()
        .flat_map(|r| image.row(*r).marks().map(|m| m.device()).collect::<Vec<_>>())
        .collect();
    let mut out: Vec<Impossible> = Vec::new();
    for o in offices {
        // Name and place of each mark, with the letter years that struck it.
        let mut seen: Vec<(Slot, &str, Vec<i32>)> = Vec::new();
        for v in image.office(o).rows().map(|r| image.row(r)) {
            if !metals.contains(&image.standard(v.standard()).metal()) {
                continue;
            }
            for m in v.marks() {
                // A broader name of what stands there is no contradiction.
                if devices.iter().any(|d| image.covers(m.device(), *d)) {
                    continue;
                }
                let name = image.device(m.device()).name();
                let at = match seen.iter().position(|s| s.0 == m.slot() && s.1 == name) {
                    Some(i) => i,
                    None => {
                        seen.push((m.slot(), name, Vec::new()));
                        seen.len() - 1
                    }
                };
                // A letter that was carried on is one of more years than its first.
                let letter = v.letter();
                let years = &mut seen[at].2;
                if years.last() != Some(&letter.to()) {
                    years.extend(letter.year()..=letter.to());
                }
            }
        }
        for (slot, name, mut years) in seen {
            years.sort_unstable();
            years.dedup();
            if years.iter().any(|y| (from..=to).contains(y)) {
                continue;
            }
            let far =
                years.iter().map(|y| if *y < from { from - y } else { y - to }).min().unwrap_or(0);
            out.push(Impossible {
                office: image.office(o).id().to_string(),
                mark: name.to_string(),
                place: slot_name(slot).to_string(),
                struck: spans(image, o, &years),
                far,
            });
        }
    }
    out.sort_by(|a, b| (a.far, &a.mark).cmp(&(b.far, &b.mark)));
    out
}

/// Letter years as spans: "1784/85 to 1821/22 and 1977".
fn spans(image: &Image, office: usize, years: &[i32]) -> String {
    let mut runs: Vec<(i32, i32)> = Vec::new();
    for y in years {
        match runs.last_mut() {
            Some(r) if r.1 + 1 >= *y => r.1 = *y,
            _ => runs.push((*y, *y)),
        }
    }
    let said: Vec<String> =
        runs.into_iter().map(|(a, b)| letters::shown_span(image, office, a, b)).collect();
    said.join(" and ")
}
