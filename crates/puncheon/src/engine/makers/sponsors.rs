//! The register of sponsors' marks: who may have struck the letters that are left of a mark. The
//! shape of an answer is what `puncheon.sponsors/1` prints.
//!
//! Initials alone give a list, never a name. A maker's years and offices agree, strain or clash, and
//! put the likelier first; they exclude no one, since widows, successors, retailers and old punches
//! went on.

use std::collections::HashSet;
use std::ops::Deref;

use once_cell::sync::OnceCell;
use puncheon_schema::entry::{Basis, LookalikeKind};
use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta};
use puncheon_schema::register::{Entry, Register};
use puncheon_schema::sponsor::{Arrangement, town_id};
use serde::Serialize;

use crate::engine::fit::answer::Decided;
use crate::engine::fit::narrow::{Group, find_office};
use crate::engine::fit::strain;
use crate::engine::makers::names::{self, Name};
use crate::engine::place::Place;
use crate::json::reading::{Outcome, OutsideBecause, Reading, Remark, RemarkKind};
use crate::lexis::grammar::initials::{self, Letters, LettersError};
use crate::lexis::sighting::{Sighting, Sightings, What};
use crate::tables::Tables;
use crate::voice::reading::kind_word;

/// Kinds of lookalike beside which letters are no sponsor's mark.
const OF_PLATE: [LookalikeKind; 2] = [LookalikeKind::Plate, LookalikeKind::Alloy];

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.sponsors/1";

/// What is asked of the register.
#[derive(Clone, Debug, Default, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The letters as typed; empty for every mark.
    pub text: String,
    /// Offices, or towns without yearly letters, as [`Tables::place`] gives them; none for any.
    pub offices: Vec<Place>,
    /// First letter year.
    pub from: Option<i32>,
    /// Last letter year.
    pub to: Option<i32>,
    /// The outline of the punch, by its word.
    pub punch: Option<String>,
    /// What the text was taken for; None where it is empty.
    pub by: Option<By>,
    /// The letters or the name that were taken out of it, where it holds more or was mended.
    pub read_as: Option<String>,
    #[serde(skip)]
    letters: Option<Letters>,
    #[serde(skip)]
    name: Option<Name>,
}

/// What the register is searched by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum By {
    /// The letters of a mark.
    Letters,
    /// The name of a maker, or of a firm.
    Name,
}

impl Asked {
    /// Asks for letters, in the words of the trade (`W.S`, `I? B`, `H or M`, `HB in script`), or for
    /// a name (`Paul Storr`, `bateman`). Empty text asks for every mark.
    ///
    /// # Errors
    /// If the words are neither.
    pub fn read(tables: &Tables, text: &str) -> Result<Asked, LettersError> {
        let asked = Asked { text: text.to_string(), ..Asked::default() };
        if text.trim().is_empty() {
            return Ok(asked);
        }
        let (image, registers) = (tables.image(), tables.registers());
        let by_letters = |letters: Letters, read_as: Option<String>| Asked {
            by: Some(By::Letters),
            read_as: read_as.filter(|r| r != text.trim()),
            letters: Some(letters),
            ..asked.clone()
        };
        let by_name = |name: Name| -> Result<Asked, LettersError> {
            let letters = match name.groups.join(" ") {
                none if none.is_empty() => None,
                groups => Some(Letters::read(image, &groups)?),
            };
            Ok(Asked {
                by: Some(By::Name),
                read_as: name.read_as.clone(),
                letters,
                name: Some(name),
                ..asked.clone()
            })
        };
        // A word that is a maker's name is one, even where its capital could be a letter.
        let index = registers.index();
        if let Some(name) = Name::read(index, image, text, false) {
            return by_name(name);
        }
        let first = Name::first(image, text);
        let letters = match first {
            None => Letters::read(image, text),
            Some(word) => {
                let at = word.as_ptr() as usize - text.as_ptr() as usize;
                Err(LettersError::no_part(text, at..at + word.len()))
            }
        };
        if let Ok(letters) = letters {
            if !registers.found(Some(&letters), None).is_empty() {
                return Ok(by_letters(letters, None));
            }
            // "ged" is a name and "hb in an oval" a description, if no mark has such letters.
            return match (Name::short(index, image, text), described(tables, text)) {
                (Some(name), _) => by_name(name),
                (None, Some((letters, read_as))) => Ok(by_letters(letters, Some(read_as))),
                (None, None) => Ok(by_letters(letters, None)),
            };
        }
        if let Some((letters, read_as)) = described(tables, text) {
            return Ok(by_letters(letters, Some(read_as)));
        }
        match Name::read(index, image, text, true) {
            Some(name) => by_name(name),
            // A name that the register does not know.
            None if Name::is_nothing_else(image, text) => {
                Ok(Asked { by: Some(By::Name), ..asked.clone() })
            }
            None => letters.map(|_| asked.clone()),
        }
    }
}

/// The letters of a maker's mark described in words, "HB in script", if nothing else is; and those
/// letters alone.
fn described(tables: &Tables, text: &str) -> Option<(Letters, String)> {
    let image = tables.image();
    let typed = &initials::shouted(image, text);
    let seen = crate::engine::words::read(image, typed);
    let lost = |r: &Remark| r.remark == RemarkKind::NotUnderstood;
    // A picture that stands over the letters is part of the mark.
    let picture = |s: &Sighting| matches!(s.what, What::Device(_)) && initials::over(image, typed);
    let other = |s: &Sighting| s.what != What::Sponsor && !picture(s);
    let more = seen.remarks.iter().any(lost)
        || seen.sightings.iter().any(other)
        || !seen.claimed.is_empty();
    let mut marks: Vec<Letters> =
        told(tables, &seen).into_iter().map(|(_, letters)| letters).collect();
    if seen.sightings.is_empty() {
        // Letters that mean something beside other marks, "LC", mean nothing else here.
        marks.extend(Letters::among(image, typed));
    }
    let letters = marks.pop().filter(|_| !more && marks.is_empty())?;
    let read_as = letters.typed.clone();
    Some((letters, read_as))
}

/// What the register answers.
#[derive(Clone, Debug, Serialize)]
pub struct Sponsors {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// Marks that have the letters, likeliest first.
    pub sponsors: Vec<Maker>,
    /// How many marks were looked through.
    pub register: usize,
    /// Why there are none, or null.
    pub nothing: Option<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// A mark of the register, and how it bears on what was asked.
#[derive(Clone, Debug, Serialize)]
pub struct Maker {
    /// Its word in the register.
    pub id: String,
    /// The letters as struck, a stroke between lines or partners; null for a picture.
    pub struck: Option<String>,
    /// What it shows instead of letters.
    pub picture: Option<String>,
    /// row, stacked, grouped, joined or apart; null where not known.
    pub arrangement: Option<&'static str>,
    /// The lettering, by its word.
    pub lettering: Option<String>,
    /// The outlines of its punches, by their words.
    pub punch: Vec<String>,
    /// What stands in the punch with the letters.
    pub beside: Vec<String>,
    /// What was struck beside it in a town without an office.
    pub with: Vec<String>,
    /// The persons.
    pub names: Vec<String>,
    /// The firm, or null.
    pub firm: Option<String>,
    /// Where they worked, or null.
    pub town: Option<String>,
    /// What they made.
    pub trade: Vec<String>,
    /// Offices that marked the work, and towns without yearly letters, by their words.
    pub offices: Vec<String>,
    /// The year it was entered or is first known.
    pub from: Option<i32>,
    /// The last year in which it is known.
    pub to: Option<i32>,
    /// It may have been in use longer than `to`.
    pub still: bool,
    /// The years are approximate.
    pub about: bool,
    /// What agrees, a sentence each.
    pub agrees: Vec<String>,
    /// What cannot well be so.
    pub clashes: Vec<String>,
    /// What asks for an excuse.
    pub strains: Vec<String>,
    /// What maker and years rest on: published, memory or both.
    pub basis: &'static str,
    /// How sure they are: high, medium or low.
    pub confidence: &'static str,
    /// What the letters as struck rest on.
    pub letters_basis: &'static str,
    /// How sure the letters are.
    pub letters_confidence: &'static str,
    /// Why the letters are not the initials of the names, or null.
    pub letters_why: Option<String>,
    /// A remark, or null.
    pub note: Option<String>,
    /// Sources.
    pub sources: Vec<String>,
    /// It stands in the user's own register.
    pub own: bool,
    /// Names of the offices and towns, for a reader.
    #[serde(skip)]
    pub office_names: Vec<String>,
}

impl Maker {
    /// Who it is, for a reader: the persons, or the firm.
    pub fn who(&self) -> String {
        who_of(&self.names, self.firm.as_deref().unwrap_or_default())
    }

    /// Its years, for a reader: "1782 to 1807", "about 1782 to 1807", "1748".
    pub fn years(&self) -> String {
        years(self.from, self.to, self.still, self.about)
    }

    /// Where and when, in few words: the firm where it is not named already, offices, years.
    pub fn placed(&self) -> String {
        let mut places = self.office_names.clone();
        if places.is_empty() {
            places.extend(self.town.clone());
        }
        if let Some(firm) = self.firm.as_ref().filter(|f| **f != self.who()) {
            places.insert(0, firm.clone());
        }
        places.push(self.years());
        places.join(", ")
    }

    /// Nothing of it clashes.
    pub fn consistent(&self) -> bool {
        self.clashes.is_empty()
    }
}

fn years(from: Option<i32>, to: Option<i32>, still: bool, about: bool) -> String {
    let about = if about { "about " } else { "" };
    match (from, to) {
        (None, _) => "years not known".into(),
        (Some(a), None) if about.is_empty() => format!("known in {a}"),
        (Some(a), None) => format!("known {about}{a}"),
        (Some(a), Some(b)) if a == b && !still => format!("{about}{a}"),
        (Some(a), Some(b)) => {
            let on = if still { " or later" } else { "" };
            format!("{about}{a} to {b}{on}")
        }
    }
}

/// A sponsor's mark of a description that the register knows, with one of its makers.
#[derive(Clone, Debug, Serialize)]
pub struct Met {
    /// Index into the sightings.
    pub sighting: usize,
    /// The maker.
    #[serde(flatten)]
    pub maker: Maker,
}

/// Letter years of an office.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Span<'o> {
    /// None for any office.
    office: Option<&'o str>,
    years: Option<(i32, i32)>,
}

impl<'o> Span<'o> {
    pub(crate) fn new(office: Option<&'o str>, years: Option<(i32, i32)>) -> Span<'o> {
        Span { office, years }
    }
}

/// Any office and time.
const ANY: Span<'static> = Span { office: None, years: None };

/// The registers of tables: the built-in one, and a user's own over it.
#[derive(Clone, Debug)]
pub struct Registers {
    /// The topmost first; the last is the built-in one.
    layers: Vec<Layer>,
    /// The names in them, once a name was asked for.
    names: OnceCell<names::Index>,
}

#[derive(Clone, Debug)]
struct Layer {
    register: Register,
    /// Ids that it replaces or takes away below it.
    hides: HashSet<String>,
}

impl Registers {
    pub(crate) fn new(base: Register) -> Registers {
        let hides = HashSet::new();
        Registers { layers: vec![Layer { register: base, hides }], names: OnceCell::new() }
    }

    /// Lays a user's own over these, entry by entry; `retired` go.
    pub(crate) fn lay(&mut self, own: Register, retired: impl IntoIterator<Item = String>) {
        let mut hides: HashSet<String> = own.iter().map(|e| e.id.to_string()).collect();
        hides.extend(retired);
        let register = own;
        self.layers.insert(0, Layer { register, hides });
        self.names = OnceCell::new();
    }

    /// The names of the makers.
    pub(crate) fn index(&self) -> &names::Index {
        self.names.get_or_init(|| names::Index::of(self))
    }

    /// Every mark that nothing hides, with its place: the layer, and its number in it.
    pub(crate) fn places(&self) -> impl Iterator<Item = ((usize, usize), Entry<'_>)> {
        self.layers().flat_map(move |(layer, register, _)| {
            let all = register.iter().enumerate();
            all.filter(move |(_, e)| self.shows(layer, e.id)).map(move |(i, e)| ((layer, i), e))
        })
    }

    /// The mark at a place.
    pub(crate) fn at(&self, (layer, i): (usize, usize)) -> Entry<'_> {
        self.layers[layer].register.get(i)
    }

    /// Does a mark of this id stand in them?
    pub(crate) fn has(&self, id: &str) -> bool {
        self.iter().any(|(e, _)| e.id == id)
    }

    /// The layers, each with whether it is the user's own.
    fn layers(&self) -> impl Iterator<Item = (usize, &Register, bool)> {
        let last = self.layers.len() - 1;
        let each = self.layers.iter().enumerate();
        each.map(move |(i, l)| (i, &l.register, i < last))
    }

    /// Does nothing above hide it?
    fn shows(&self, layer: usize, id: &str) -> bool {
        self.layers[..layer].iter().all(|l| !l.hides.contains(id))
    }

    /// Every mark, the user's own first, and whether it is theirs.
    pub fn iter(&self) -> impl Iterator<Item = (Entry<'_>, bool)> {
        self.layers().flat_map(move |(layer, register, own)| {
            let shown = register.iter().filter(move |e| self.shows(layer, e.id));
            shown.map(move |e| (e, own))
        })
    }

    /// How many marks there are.
    pub fn len(&self) -> usize {
        match self.layers.as_slice() {
            [base] => base.register.len(),
            _ => self.iter().count(),
        }
    }

    /// Are there none?
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Marks that letters fit and whose makers have a name, or every mark.
    fn found(&self, letters: Option<&Letters>, name: Option<&Name>) -> Vec<Found<'_>> {
        let fits = |e: &Entry| letters.map_or(Some(0), |l| l.fit(e.struck));
        let mut out = Vec::new();
        match (name, letters) {
            (Some(name), _) => {
                let own = self.layers.len() - 1;
                for place in self.index().find(self, name) {
                    let entry = self.at(place);
                    if let Some(others) = fits(&entry) {
                        out.push(Found::of(entry, place.0 < own, others, letters, Some(name)));
                    }
                }
            }
            (None, None) => {
                out.extend(self.iter().map(|(e, own)| Found::of(e, own, 0, None, None)))
            }
            (None, Some(letters)) => {
                for (layer, register, own) in self.layers() {
                    for (i, others) in letters.found(register) {
                        let entry = register.get(i);
                        if self.shows(layer, entry.id) {
                            out.push(Found::of(entry, own, others, Some(letters), None));
                        }
                    }
                }
            }
        }
        out
    }
}

/// A mark of the register that letters fit.
#[derive(Clone, Debug)]
struct Found<'r> {
    entry: Entry<'r>,
    own: bool,
    /// Doubted letters that would have to be others.
    others: u32,
    /// Its letters stand in another order than they were typed in.
    turned: bool,
    /// Partners of the one whose name was asked for.
    partners: usize,
}

impl<'r> Found<'r> {
    fn of(
        entry: Entry<'r>,
        own: bool,
        others: u32,
        letters: Option<&Letters>,
        name: Option<&Name>,
    ) -> Found<'r> {
        Found {
            // The order never decides what is listed; of equals the mark read so comes first.
            turned: letters.is_some_and(|l| !l.in_order(entry.struck)),
            partners: name.map_or(0, |_| entry.names.len()),
            entry,
            own,
            others,
        }
    }
}

/// Answers from the register.
pub fn sponsors(tables: &Tables, asked: &Asked) -> Sponsors {
    let years = asked.from.map(|a| (a, asked.to.unwrap_or(a)));
    let mut spans: Vec<Span> = Vec::new();
    spans.extend(asked.offices.iter().map(|o| Span { office: Some(o), years }));
    if spans.is_empty() {
        spans.push(Span { years, ..ANY });
    }
    let wanted = Wanted {
        letters: asked.letters.as_ref(),
        name: asked.name.as_ref(),
        punch: asked.punch.as_deref(),
    };
    let mut makers = match (asked.by, &asked.name) {
        // A name that the register does not know.
        (Some(By::Name), None) => Vec::new(),
        _ => makers(tables, wanted, &spans),
    };
    // With neither, office and years are what is asked for and no longer a bound among many.
    if asked.by.is_none() {
        makers.retain(Maker::consistent);
    }
    let text = asked.read_as.as_deref().unwrap_or(asked.text.trim());
    let nothing = makers.is_empty().then(|| {
        let none = match asked.by {
            Some(By::Letters) => format!("has the letters \"{text}\""),
            Some(By::Name) => format!("is of a maker called \"{text}\""),
            None => "is of that office and time".to_string(),
        };
        let registers = tables.registers();
        let alone = match asked.by {
            Some(By::Name) => registers.index().surnames(registers, text),
            _ => Vec::new(),
        };
        let alone = match alone.as_slice() {
            [] => String::new(),
            names => format!(" It has marks of the name {}.", names.join(" and of ")),
        };
        format!(
            "No mark of the register {none}.{alone} It holds few of the marks that were struck."
        )
    });
    Sponsors {
        schema: SCHEMA,
        asked: asked.clone(),
        sponsors: makers,
        register: tables.registers().len(),
        nothing,
        cautions: cautions(tables, asked.by),
    }
}

fn cautions(tables: &Tables, by: Option<By>) -> Vec<String> {
    let first = match by {
        Some(By::Name) => "The register holds only some makers, and few of the marks of each.",
        _ => "Initials alone name no one: makers shared them, and the register holds only some.",
    };
    let mut out = vec![first.to_string()];
    out.extend(crate::rests_on_overlay(tables));
    out.extend(crate::rests_on_register(tables));
    out
}

/// Gives a reading the makers of every sponsor's mark whose letters a description tells, against the
/// offices and years that its other marks leave; or says why the register is not asked.
pub(crate) fn tell(tables: &Tables, seen: &Sightings, r: &mut Reading) {
    let told = told(tables, seen);
    if told.is_empty() {
        return;
    }
    let plate = OF_PLATE.map(kind_word);
    if no_sponsors(r.outside_because, r.lookalikes.iter().any(|l| plate.contains(&l.kind))) {
        let why = "The register of makers is not asked: beside such marks letters are a plater's or \
                   a foreign maker's, and no mark entered at an assay office.";
        r.cautions.push(why.to_string());
        return;
    }
    let towns = towns_of(r);
    let spans = left(r, &towns);
    let mut met = Vec::new();
    for (sighting, letters) in told {
        let found = makers(tables, Wanted::letters(&letters), &spans);
        met.extend(found.into_iter().map(|maker| Met { sighting, maker }));
    }
    r.sponsors = met;
}

/// Do the marks beside say that letters are no sponsor's mark: of plate, of an alloy, of another
/// country? `plate`: a lookalike of such a kind was met.
fn no_sponsors(because: Option<OutsideBecause>, plate: bool) -> bool {
    match because {
        Some(OutsideBecause::Denied | OutsideBecause::ForeignFineness) => true,
        Some(OutsideBecause::NothingUnderstood) => plate,
        _ => false,
    }
}

/// The sponsors' marks of a description whose letters are told, by their sightings.
pub(crate) fn told(tables: &Tables, seen: &Sightings) -> Vec<(usize, Letters)> {
    let image = tables.image();
    let all = words(tables, seen).into_iter();
    all.filter_map(|(i, words)| Some((i, Letters::among(image, words)?))).collect()
}

/// The words that describe the sponsors' marks of a description, each with the first sighting that it
/// rests on. Lines of one mark that were taken for two, "PB over AB", are one.
pub fn words<'s>(tables: &Tables, seen: &'s Sightings) -> Vec<(usize, &'s str)> {
    let image = tables.image();
    let words = |from: usize, to: usize| seen.text.get(from..to).unwrap_or_default();
    let marks: Vec<usize> =
        (0..seen.sightings.len()).filter(|i| seen.sightings[*i].what == What::Sponsor).collect();
    let mut out = Vec::new();
    let mut rest = marks.as_slice();
    while let [first, more @ ..] = rest {
        let from = seen.sightings[*first].start;
        let mut to = seen.sightings[*first].end;
        rest = more;
        while let [next, more @ ..] = rest {
            let s = &seen.sightings[*next];
            if s.start < to || !initials::stacked(image, words(to, s.start)) {
                break;
            }
            to = s.end;
            rest = more;
        }
        out.push((*first, words(from, to)));
    }
    out
}

/// The offices and letter years that the marks of a piece leave for its maker.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// The marks do not bear on office and year.
    any: bool,
    /// Towns without yearly letters, by their words, where nothing else is told.
    towns: Box<[String]>,
    /// Numbers of offices, with their first and last letter years.
    spans: Box<[(u16, i16, i16)]>,
}

impl Left {
    /// Those that fit, or else all but fit. Where the marks say nothing of office and year, any; where
    /// they speak against a hallmark, or cannot stand together, none.
    pub(crate) fn of(d: &Decided) -> Left {
        let met = || d.raised.iter().map(|r| d.narrow.image.lookalike(r.i));
        if d.outside_because.is_some() {
            if no_sponsors(d.outside_because, met().any(|l| OF_PLATE.contains(&l.kind()))) {
                return Left::default();
            }
            let towns: Box<[String]> = towns_among(met().map(|l| l.town()));
            return Left { any: towns.is_empty(), towns, ..Left::default() };
        }
        let fits = if d.fits.is_empty() { &d.nears } else { &d.fits };
        let span = |g: &Group| (g.key.office as u16, g.year as i16, g.to as i16);
        let mut spans: Vec<(u16, i16, i16)> = fits.iter().map(span).collect();
        spans.sort_unstable();
        spans.dedup();
        Left { spans: spans.into(), ..Left::default() }
    }

    fn spans<'t>(&'t self, image: &'t Image) -> Vec<Span<'t>> {
        if self.any {
            return vec![ANY];
        }
        let town = |t: &'t String| Span::new(Some(t), None);
        let towns = self.towns.iter().map(town);
        let span = |(office, from, to): &(u16, i16, i16)| Span {
            office: Some(image.office(usize::from(*office)).id()),
            years: Some((i32::from(*from), i32::from(*to))),
        };
        towns.chain(self.spans.iter().map(span)).collect()
    }

    /// What it takes up beside its own size, in bytes.
    pub fn bytes(&self) -> usize {
        size_of_val(&self.spans[..])
    }
}

/// Marks of the register that a sponsor's mark may be, whatever its office and year.
#[derive(Clone, Debug)]
pub struct Makers<'t>(Vec<Found<'t>>);

impl<'t> Makers<'t> {
    /// The marks that the letters in these [`words`] fit; none where they tell no letters.
    pub fn of(tables: &'t Tables, words: &str) -> Makers<'t> {
        let letters = Letters::among(tables.image(), words);
        Makers(letters.map_or_else(Vec::new, |l| tables.registers().found(Some(&l), None)))
    }

    /// Who is consistent with what the other marks leave, likeliest first, each once.
    pub fn who(&self, tables: &Tables, left: &Left) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        let spans = left.spans(tables.image());
        if spans.is_empty() {
            return out;
        }
        for r in ranked(&self.0, &spans, |_| None, Ranked::consistent) {
            let name = who_of(&r.entry.names, r.entry.firm);
            if !out.contains(&name) {
                out.push(name);
            }
        }
        out
    }

    /// What it takes up beside its own size, in bytes.
    pub fn bytes(&self) -> usize {
        /// Names, offices and the like of a mark, which lie in lists of their own.
        const LISTS: usize = 160;
        self.0.len() * (size_of::<Found>() + LISTS)
    }
}

/// The marks of a maker of this name, likeliest first.
pub(crate) fn called(tables: &Tables, name: &Name, spans: &[Span]) -> Vec<Maker> {
    let wanted = Wanted { name: Some(name), ..Wanted::default() };
    makers(tables, wanted, spans)
}

/// How many makers of another name are consistent with letters.
pub(crate) fn others(tables: &Tables, name: &Name, letters: &Letters, spans: &[Span]) -> usize {
    let own: HashSet<String> = called(tables, name, spans).into_iter().map(|m| m.id).collect();
    let found = tables.registers().found(Some(letters), None);
    let all = ranked(&found, spans, |_| None, Ranked::consistent);
    let who: HashSet<String> = all
        .iter()
        .filter(|r| !own.contains(r.entry.id))
        .map(|r| who_of(&r.entry.names, r.entry.firm))
        .collect();
    who.len()
}

/// Who a mark is of: the persons, or the firm.
fn who_of<N: AsRef<str>>(names: &[N], firm: &str) -> String {
    match names {
        [] if firm.is_empty() => "a maker not named".into(),
        [] => firm.to_string(),
        [one] => one.as_ref().to_string(),
        [rest @ .., last] => {
            let rest: Vec<&str> = rest.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", rest.join(", "), last.as_ref())
        }
    }
}

/// The offices and letter years that fit, or else all but fit; else the towns without yearly letters
/// whose marks are described, by their words.
fn left<'r>(r: &'r Reading, towns: &'r [String]) -> Vec<Span<'r>> {
    let fits = if r.fits.is_empty() { &r.nears } else { &r.fits };
    let fits =
        fits.iter().map(|f| Span { office: f.office.as_deref(), years: Some((f.from, f.to)) });
    let towns = towns.iter().map(|t| Span::new(Some(t), None));
    let mut out: Vec<Span> = Vec::new();
    for span in fits.chain(towns) {
        if !out.contains(&span) {
            out.push(span);
        }
    }
    if out.is_empty() {
        out.push(ANY);
    }
    out
}

/// The towns without yearly letters whose marks are described, where nothing else is.
fn towns_of(r: &Reading) -> Box<[String]> {
    match r.outcome {
        Outcome::Outside => towns_among(r.lookalikes.iter().map(|l| l.town.as_str())),
        _ => Box::default(),
    }
}

/// The words of those towns of lookalikes that are named.
fn towns_among<'l>(towns: impl Iterator<Item = &'l str>) -> Box<[String]> {
    towns.filter(|t| !t.is_empty()).map(town_id).collect()
}

/// How a mark stands to one span of years of an office, without a word.
#[derive(Clone, Copy, Debug, Default)]
struct Standing {
    /// The office is one of the maker's; None where either is not known.
    office: Option<bool>,
    time: Time,
    /// So far off that it clashes.
    far: bool,
}

/// When a maker worked, seen from a span of years.
#[derive(Clone, Copy, Debug, Default)]
enum Time {
    /// Years are not known, or not asked for.
    #[default]
    Silent,
    /// At work then.
    Then,
    /// Last known so many years before.
    Before(i32),
    /// First known so many years after.
    After(i32),
}

impl Standing {
    fn of(e: &Entry, span: &Span) -> Standing {
        let office = span.office.filter(|_| !e.offices.is_empty());
        let office = office.map(|o| e.offices.contains(&o));
        let (Some((first, last)), Some(from)) = (span.years, e.from) else {
            return Standing { office, ..Standing::default() };
        };
        // A letter ran into the calendar year after its own.
        let last = last + 1;
        // Where no last year is known, a working life may have followed the first.
        let to = match (e.to, e.still) {
            (_, true) => i32::MAX,
            (Some(to), _) => to,
            (None, _) => from + strain::WORKING_LIFE,
        };
        let (time, apart) = if first > to {
            // The year told is the last known, or else the only one.
            (Time::Before(first - e.to.unwrap_or(from)), first - to)
        } else if last < from {
            (Time::After(from - last), from - last)
        } else if e.to.is_some() || (first..=last).contains(&from) {
            (Time::Then, 0)
        } else {
            (Time::Silent, 0)
        };
        let slack = match e.about || e.to.is_none() {
            true => strain::ABOUT_YEARS,
            false => strain::OLD_PUNCH,
        };
        Standing { office, time, far: apart > slack }
    }

    /// Clashes, strains, years apart, and how much does not agree.
    fn order(self) -> (u32, u32, i32, u32) {
        let elsewhere = u32::from(self.office == Some(false));
        let (apart, agrees) = match self.time {
            Time::Silent => (0, 0),
            Time::Then => (0, 1),
            Time::Before(n) | Time::After(n) => (n, 0),
        };
        let agrees = agrees + u32::from(self.office == Some(true));
        (elsewhere + u32::from(self.far), u32::from(apart > 0 && !self.far), apart, 2 - agrees)
    }
}

/// A mark of the register with how it stands to what is asked.
struct Ranked<'f, 'r> {
    found: &'f Found<'r>,
    /// The punch agrees; None where it is not known or not asked for.
    punch: Option<bool>,
    standing: Standing,
    span: Option<&'f Span<'f>>,
}

impl<'r> Deref for Ranked<'_, 'r> {
    type Target = Found<'r>;

    fn deref(&self) -> &Found<'r> {
        self.found
    }
}

impl Ranked<'_, '_> {
    fn consistent(&self) -> bool {
        self.standing.order().0 == 0
    }

    /// The likelier the lower.
    fn order(&self) -> impl Ord + '_ {
        let (clashes, strains, apart, agrees) = self.standing.order();
        let strains = strains + u32::from(self.others > 0) + u32::from(self.punch == Some(false));
        let e = &self.entry;
        (
            (clashes, strains, apart, agrees, self.punch != Some(true)),
            (!self.own, self.partners, self.turned, e.confidence, e.from),
            (&e.names, e.id),
        )
    }
}

/// Marks of the register that are to be kept, likeliest first. `punch` tells whether the punch of one
/// agrees.
fn ranked<'f, 'r>(
    found: &'f [Found<'r>],
    spans: &'f [Span],
    punch: impl Fn(&Entry) -> Option<bool>,
    keep: impl Fn(&Ranked<'f, 'r>) -> bool,
) -> Vec<Ranked<'f, 'r>> {
    let mut out: Vec<Ranked> = found
        .iter()
        .map(|found| {
            let best = spans
                .iter()
                .map(|s| (Standing::of(&found.entry, s), s))
                .min_by_key(|(standing, _)| standing.order());
            Ranked {
                punch: punch(&found.entry),
                standing: best.map_or_else(Standing::default, |(s, _)| s),
                span: best.map(|(_, span)| span),
                found,
            }
        })
        .filter(keep)
        .collect();
    out.sort_by(|a, b| a.order().cmp(&b.order()));
    out
}

/// What marks are looked for.
#[derive(Clone, Copy, Default)]
struct Wanted<'a> {
    letters: Option<&'a Letters>,
    name: Option<&'a Name>,
    /// The outline of the punch, by its word.
    punch: Option<&'a str>,
}

impl<'a> Wanted<'a> {
    fn letters(letters: &'a Letters) -> Wanted<'a> {
        Wanted { letters: Some(letters), ..Wanted::default() }
    }
}

fn makers(tables: &Tables, wanted: Wanted, spans: &[Span]) -> Vec<Maker> {
    let image = tables.image();
    let found = tables.registers().found(wanted.letters, wanted.name);
    let punch = |e: &Entry| same_punch(image, e, wanted.punch?);
    ranked(&found, spans, punch, |_| true)
        .iter()
        .map(|r| maker(image, &r.entry, r.own, &bearing(image, r, wanted)))
        .collect()
}

/// What agrees, strains and clashes, in words.
#[derive(Default)]
struct Bearing {
    agrees: Vec<String>,
    strains: Vec<String>,
    clashes: Vec<String>,
}

fn bearing(image: &Image, r: &Ranked, wanted: Wanted) -> Bearing {
    let e = &r.entry;
    let mut b = Bearing::default();
    if wanted.letters.is_some() {
        b.agrees.push(format!("struck {}", e.struck));
    }
    if wanted.name.is_some() {
        b.agrees.push(format!("called {}", who_of(&e.names, e.firm)));
    }
    if r.others > 0 {
        b.strains.push("a letter that is in doubt would be another".into());
    }
    let office = r.span.and_then(|s| s.office).unwrap_or_default();
    match r.standing.office {
        Some(true) => b.agrees.push(format!("work marked at {}", place(image, office))),
        Some(false) => {
            let offices: Vec<String> = e.offices.iter().map(|o| place(image, o)).collect();
            b.clashes.push(format!(
                "work marked at {}, not {}",
                offices.join(" and "),
                place(image, office)
            ));
        }
        None => {}
    }
    let about = if e.about { "about " } else { "in " };
    let away = match r.standing.time {
        Time::Silent => None,
        Time::Then => {
            let known = years(e.from, e.to, e.still, e.about);
            b.agrees.push(format!("at work then: {known}"));
            None
        }
        Time::Before(n) => Some(match e.to {
            Some(to) => format!("last known {about}{to}, {} before", ago(n)),
            None => {
                let known = years(e.from, e.to, e.still, e.about);
                format!("{known}, {} before", ago(n))
            }
        }),
        Time::After(n) => Some(format!(
            "entered or first known {about}{}, {} after",
            e.from.unwrap_or_default(),
            ago(n)
        )),
    };
    match r.standing.far {
        true => b.clashes.extend(away),
        false => b.strains.extend(away),
    }
    let name =
        |id: &str| outline(image, id).map_or(id.to_string(), |o| image.outline_name(o).to_string());
    let punch = wanted.punch.unwrap_or_default();
    match r.punch {
        Some(true) => b.agrees.push(format!("punch: {}", name(punch))),
        Some(false) => {
            let known: Vec<String> = e.punch.iter().map(|p| name(p)).collect();
            b.strains.push(format!("punch: {}, not {}", known.join(" or "), name(punch)));
        }
        None => {}
    }
    b
}

fn ago(years: i32) -> String {
    match years {
        1 => "1 year".into(),
        n => format!("{n} years"),
    }
}

/// Is a punch one of the mark's? Real punches stray, so that another only strains. None where the
/// mark's is not known.
fn same_punch(image: &Image, e: &Entry, asked: &str) -> Option<bool> {
    let broader = |id: &str| -> Vec<&str> {
        outline(image, id).map_or_else(Vec::new, |o| {
            image.outline_broader(o).map(|b| image.outline_id(b)).collect()
        })
    };
    let same = |p: &&str| *p == asked || broader(p).contains(&asked) || broader(asked).contains(p);
    (!e.punch.is_empty()).then(|| e.punch.iter().any(same))
}

fn outline(image: &Image, id: &str) -> Option<usize> {
    (0..image.meta(Meta::Outlines)).find(|o| image.outline_id(*o) == id)
}

/// The name of an office, or of a town without yearly letters.
pub fn place(image: &Image, id: &str) -> String {
    if let Some(o) = find_office(image, id) {
        return image.office(o).name().to_string();
    }
    towns(image).find(|t| town_id(t) == id).map_or(id.to_string(), str::to_string)
}

/// Towns without yearly letters.
pub fn towns(image: &Image) -> impl Iterator<Item = &str> {
    (0..image.meta(Meta::Lookalikes)).map(|i| image.lookalike(i).town()).filter(|t| !t.is_empty())
}

fn maker(image: &Image, e: &Entry, own: bool, b: &Bearing) -> Maker {
    let some = |s: &str| Some(s.to_string()).filter(|s| !s.is_empty());
    let list = |v: &[&str]| v.iter().map(|s| s.to_string()).collect::<Vec<_>>();
    let basis = |b: Basis| export::basis(b);
    Maker {
        id: e.id.to_string(),
        struck: some(e.struck),
        picture: some(e.picture),
        arrangement: e.arrangement.map(Arrangement::word),
        lettering: some(e.lettering),
        punch: list(&e.punch),
        beside: list(&e.beside),
        with: list(&e.with),
        names: list(&e.names),
        firm: some(e.firm),
        town: some(e.town),
        trade: list(&e.trade),
        offices: list(&e.offices),
        from: e.from,
        to: e.to,
        still: e.still,
        about: e.about,
        agrees: b.agrees.clone(),
        clashes: b.clashes.clone(),
        strains: b.strains.clone(),
        basis: basis(e.basis),
        confidence: export::confidence(e.confidence),
        letters_basis: basis(e.letters_basis),
        letters_confidence: export::confidence(e.letters_confidence),
        letters_why: some(e.letters_why),
        note: some(e.note),
        sources: list(&e.cites),
        own,
        office_names: e.offices.iter().map(|o| place(image, o)).collect(),
    }
}
