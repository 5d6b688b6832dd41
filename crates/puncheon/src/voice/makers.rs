//! Makers of the register in words: who, where and when, and how each bears on what is asked.

use puncheon_schema::image::Image;
use puncheon_schema::register::Entry;

use crate::engine::fit::answer::Decided;
use crate::engine::makers::asked::{self, letters_told};
use crate::engine::makers::left::{self, Left};
use crate::engine::makers::register::Found;
use crate::engine::makers::sought::{Rank, Sought, Span, Time, Wanted, outline};
use crate::engine::place::place_name;
use crate::json::makers::{Asked, By, Maker, Met, SCHEMA, Sponsors};
use crate::json::reading::Reading;
use crate::lexis::grammar::initials::LettersError;
use crate::lexis::sighting::Sightings;
use crate::tables::Tables;
use crate::voice::lists::taken_for;

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
        let names = self.office_names.iter().map(String::as_str).collect();
        let firm = self.firm.as_deref().unwrap_or_default();
        place_and_time(firm, &self.who(), names, self.town.as_deref(), &self.years())
    }

    /// Nothing of it clashes.
    pub fn consistent(&self) -> bool {
        self.clashes.is_empty()
    }
}

/// Where and when the maker of a mark worked, in few words.
pub(crate) fn placed(image: &Image, e: &Entry) -> String {
    let names = e.offices.iter().map(|o| place_name(image, o).unwrap_or(o)).collect();
    let town = Some(e.town).filter(|t| !t.is_empty());
    place_and_time(e.firm, &who_of(&e.names, e.firm), names, town, &years_of(e))
}

fn place_and_time<'a>(
    firm: &'a str,
    who: &str,
    offices: Vec<&'a str>,
    town: Option<&'a str>,
    years: &'a str,
) -> String {
    let mut places = offices;
    if places.is_empty() {
        places.extend(town);
    }
    if !firm.is_empty() && firm != who {
        places.insert(0, firm);
    }
    places.push(years);
    places.join(", ")
}

fn years_of(e: &Entry) -> String {
    years(e.from, e.to, e.still, e.about)
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

impl Asked {
    /// Asks for letters, in the words of the trade (`W.S`, `I? B`, `H or M`, `HB in script`), or for
    /// a name (`Paul Storr`, `bateman`). Empty text asks for every mark.
    ///
    /// # Errors
    /// If the words are neither.
    pub fn read(tables: &Tables, text: &str) -> Result<Asked, LettersError> {
        asked::Asked::read(tables.books(), text).map(Asked::from)
    }
}

/// The words that describe the sponsors' marks of a description, each with the first sighting that it
/// rests on. Lines of one mark that were taken for two, "PB over AB", are one.
pub fn words<'s>(tables: &Tables, seen: &'s Sightings) -> Vec<(usize, &'s str)> {
    asked::marks_in_words(tables.image(), seen)
}

/// Marks of the register that a sponsor's mark may be, whatever its office and year.
#[derive(Clone, Debug)]
pub struct Makers<'t>(left::Makers<'t>);

impl<'t> Makers<'t> {
    /// The marks that the letters in these words fit; none where they tell no letters.
    pub fn of(tables: &'t Tables, words: &str) -> Makers<'t> {
        Makers(left::Makers::of(tables.books(), words))
    }

    /// What it takes up beside its own size, in bytes.
    pub fn bytes(&self) -> usize {
        self.0.bytes()
    }

    /// Who is consistent with what the other marks leave, likeliest first, each once.
    pub fn who(&self, tables: &Tables, left: &Left) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for e in self.0.consistent(tables.image(), left) {
            let name = who_of(&e.names, e.firm);
            if !out.contains(&name) {
                out.push(name);
            }
        }
        out
    }
}

/// Answers from the register.
pub fn sponsors(tables: &Tables, asked: &Asked) -> Sponsors {
    let value = asked.value();
    let sought = Sought::answer(tables.books(), &value);
    Sponsors {
        schema: SCHEMA,
        asked: asked.clone(),
        sponsors: makers(tables, &sought, value.wanted()),
        register: tables.registers().len(),
        nothing: sought.ranks.is_empty().then(|| nothing(tables, asked)),
        cautions: cautions(tables, asked.by),
    }
}

/// Why no mark answers.
fn nothing(tables: &Tables, asked: &Asked) -> String {
    let text = asked.read_as.as_deref().unwrap_or(asked.text.trim());
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
    format!("No mark of the register {none}.{alone} It holds few of the marks that were struck.")
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
pub(crate) fn tell(tables: &Tables, seen: &Sightings, d: &Decided, r: &mut Reading) {
    let told = letters_told(tables.image(), seen);
    if told.is_empty() {
        return;
    }
    if left::no_sponsors(d) {
        let why = "The register of makers is not asked: beside such marks letters are a plater's or \
                   a foreign maker's, and no mark entered at an assay office.";
        r.cautions.push(why.to_string());
        return;
    }
    let towns = left::towns_alone(d);
    let spans: Vec<Span> = left::spans(d, &towns);
    let mut met = Vec::new();
    for (sighting, letters) in told {
        let wanted = Wanted::letters(&letters);
        let found = makers(tables, &Sought::of(tables.books(), wanted, &spans), wanted);
        met.extend(found.into_iter().map(|maker| Met { sighting, maker }));
    }
    r.sponsors = met;
}

/// Marks found, for the reader of an answer.
pub(crate) fn makers(tables: &Tables, sought: &Sought, wanted: Wanted) -> Vec<Maker> {
    let image = tables.image();
    let each = sought.iter();
    each.map(|(f, r)| maker(image, &f.entry, f.own, bearing(image, f, r, wanted))).collect()
}

/// Who a mark is of: the persons, or the firm.
pub(crate) fn who_of<N: AsRef<str>>(names: &[N], firm: &str) -> String {
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

/// What agrees, strains and clashes, in words.
#[derive(Default)]
struct Bearing {
    agrees: Vec<String>,
    strains: Vec<String>,
    clashes: Vec<String>,
}

fn bearing(image: &Image, found: &Found, r: &Rank, wanted: Wanted) -> Bearing {
    let e = &found.entry;
    let mut b = Bearing::default();
    if wanted.letters.is_some() {
        b.agrees.push(format!("struck {}", e.struck));
    }
    if wanted.name.is_some() {
        b.agrees.push(format!("called {}", who_of(&e.names, e.firm)));
    }
    if found.others > 0 {
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
            let known = years_of(e);
            b.agrees.push(format!("at work then: {known}"));
            None
        }
        Time::Before(n) => Some(match e.to {
            Some(to) => format!("last known {about}{to}, {} before", ago(n)),
            None => {
                let known = years_of(e);
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

/// What speaks against a maker: what clashes, then what strains.
pub(crate) fn against(
    image: &Image,
    found: &Found,
    r: &Rank,
    wanted: Wanted,
) -> impl Iterator<Item = String> {
    let b = bearing(image, found, r, wanted);
    b.clashes.into_iter().chain(b.strains)
}

fn ago(years: i32) -> String {
    match years {
        1 => "1 year".into(),
        n => format!("{n} years"),
    }
}

/// What the words asked for were taken for, where that is not plain to see.
pub fn taken(asked: &Asked) -> Option<String> {
    let typed = asked.text.trim();
    match (asked.by, &asked.read_as) {
        (Some(By::Name), name) => {
            let name = name.as_ref().map_or("a name".into(), |n| format!("the name {n}"));
            Some(taken_for(typed, &format!("{name}, and the names were searched")))
        }
        (_, Some(letters)) => Some(format!(
            "Of \"{typed}\" the letters {letters} were searched, whatever their style and what stands beside them."
        )),
        _ => None,
    }
}

/// The name of an office, or of a town without yearly letters.
pub fn place(image: &Image, id: &str) -> String {
    place_name(image, id).unwrap_or(id).to_string()
}

fn maker(image: &Image, e: &Entry, own: bool, b: Bearing) -> Maker {
    let some = |s: &str| Some(s.to_string()).filter(|s| !s.is_empty());
    let list = |v: &[&str]| v.iter().map(|s| s.to_string()).collect::<Vec<_>>();
    Maker {
        id: e.id.to_string(),
        struck: some(e.struck),
        picture: some(e.picture),
        arrangement: e.arrangement,
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
        agrees: b.agrees,
        clashes: b.clashes,
        strains: b.strains,
        basis: e.basis,
        confidence: e.confidence,
        letters_basis: e.letters_basis,
        letters_confidence: e.letters_confidence,
        letters_why: some(e.letters_why),
        note: some(e.note),
        sources: list(&e.cites),
        own,
        office_names: e.offices.iter().map(|o| place(image, o)).collect(),
    }
}
