//! Fineness: by the name of a standard, by a way of counting such as carats, in parts of a thousand, or
//! from the marks as they were read.

use num_rational::BigRational;
use num_traits::ToPrimitive;
use puncheon_schema::entry::{Confidence, Metal};
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS, Meta, StandardView};

use crate::engine::claim::claimed::Claim;
use crate::engine::fit::narrow::Options;
use crate::engine::metal::{self, Borne};
use crate::engine::words as reads;
use crate::lexis::grammar::figures::{self, Kind, Refused, Span};
use crate::lexis::grammar::objects::Written;
use crate::tables::Tables;
use crate::voice::wording::borne;

/// Words that may stand beside a fineness and say nothing of it.
const FILLERS: [&str; 5] = ["of", "fine", "fineness", "parts", "standard"];
/// What is left of a pure metal's name without the metal: it names none.
const FINE: &str = "fine";
/// The least that is taken for parts of a thousand.
const LEAST_PARTS: u32 = 100;
/// How far a standard's figure may lie from the plain ratio of its name, in parts of a thousand.
const NEAR: u32 = 2;
/// How fine a metal is.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Fineness {
    /// For a reader: the standard's name, or the parts.
    pub name: String,
    /// The metal, where it is known.
    pub metal: Option<Metal>,
    /// Standards by their words in the tables, if it is one of these.
    pub standards: Vec<String>,
    /// Pure metal in one part of the alloy, exactly; a span where the marks leave several standards.
    pub parts: Span,
    /// It was read from the marks.
    pub from_marks: bool,
    /// What has to be said of it, a sentence each.
    pub notes: Vec<String>,
}

/// Why marks do not settle a fineness.
pub(crate) struct NotSettled {
    /// A sentence or two.
    pub why: String,
}

fn standards(image: &Image) -> impl Iterator<Item = StandardView<'_>> {
    (0..image.meta(Meta::Standards)).map(|s| image.standard(s))
}

fn parts(s: StandardView) -> Option<BigRational> {
    s.exact().map(|(a, b)| figures::ratio(a, b))
}

/// "925 parts in 1000", to the hundredth.
pub(crate) fn in_thousand(x: &BigRational) -> String {
    figures::plain(&(x * figures::whole(1000)), 2)
}

impl Fineness {
    /// Reads a fineness: "sterling", "18 ct", "925", "800 silver".
    ///
    /// # Errors
    /// If the words name no fineness, or more than one; with what would be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Fineness, Refused> {
        let image = tables.image();
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let words = words.trim_matches([',', ';', ' ', '(', ')']);
        if words.is_empty() {
            return Err(Refused::new(
                "no fineness is named",
                format!(
                    "write a standard such as {}, a carat, parts of a thousand, or the marks",
                    first(image)
                ),
            ));
        }
        match figures(image, words)? {
            Some(found) => Ok(found),
            None => named(tables, words),
        }
    }

    fn of(s: StandardView, exact: BigRational) -> Fineness {
        let mut notes = Vec::new();
        if s.confidence() == Confidence::Low {
            notes.push(format!("The tables are not sure of {}.", s.name()));
        }
        // The law cuts some ratios to whole parts, and it sets others.
        if let Some(by_law) = s.parts().filter(|p| figures::ratio(*p, 1000) != exact) {
            notes.push(format!(
                "{} is reckoned as {}, {} parts in 1000; the mark says {by_law}.",
                capital(s.name()),
                exact,
                in_thousand(&exact)
            ));
        }
        Fineness {
            name: s.name().to_string(),
            metal: Some(s.metal()),
            standards: vec![s.id().to_string()],
            parts: Span::exactly(exact),
            from_marks: false,
            notes,
        }
    }

    /// The fineness that marks bear out, which may be a span over several standards of one metal.
    ///
    /// # Errors
    /// If they bear out no precious metal, or the tables know no fineness of it.
    pub(crate) fn borne(image: &Image, b: &Borne) -> Result<Fineness, NotSettled> {
        let not = |so: &str| {
            Err(NotSettled { why: format!("{so} So the piece is not valued as precious metal.") })
        };
        if let Some(why) = borne::refused(image, b) {
            return not(&why);
        }
        let mut found: Vec<StandardView> = Vec::new();
        for fit in b.spoken_of() {
            let standard = standards(image).find(|s| s.id() == fit.standard);
            if let Some(s) = standard.filter(|s| !found.iter().any(|f| f.i == s.i)) {
                found.push(s);
            }
        }
        if let Some(s) = found.iter().find(|s| parts(**s).is_none()) {
            return not(&format!("The tables know no fineness of {}.", s.name()));
        }
        found.sort_by_key(|s| parts(*s));
        let all: Vec<BigRational> = found.iter().filter_map(|s| parts(*s)).collect();
        let (Some(low), Some(high)) = (all.first(), all.last()) else {
            return not("The marks fit nothing.");
        };
        let mut out = Fineness::of(found[0], low.clone());
        if found.len() > 1 {
            let names: Vec<&str> = found.iter().rev().map(|s| s.name()).collect();
            out = Fineness {
                name: names.join(" or "),
                standards: found.iter().map(|s| s.id().to_string()).collect(),
                parts: Span { low: low.clone(), high: high.clone() },
                notes: vec![format!(
                    "The marks leave {}: what follows runs from the least to the most of them.",
                    names.join(" or ")
                )],
                ..out
            };
        }
        out.notes.extend(borne::other_metals(b));
        out.notes.extend(borne::guesses(b));
        out.notes.extend(borne::beside(b));
        if b.spoken_of().any(|f| f.confidence == export::confidence(Confidence::Low))
            || b.spoken_of().all(|f| !f.strains.is_empty())
        {
            out.notes.push("The marks are read with a doubt; look at them again.".into());
        }
        out.from_marks = true;
        Ok(out)
    }
}

/// Reads marks for what they bear out; what is stated of the piece may speak against them.
pub(crate) fn of_marks(tables: &Tables, marks: &str, stated: &str, metal: Option<Metal>) -> Borne {
    let options = Options { metal, ..Options::default() };
    let image = tables.image();
    let written = Written::plain(marks);
    let item = reads::item(image, &written, true);
    let signs = reads::read(image, stated).signs;
    metal::read(tables, &item, &signs, &options).unless_stated(image, stated)
}

fn capital(s: &str) -> String {
    let mut chars = s.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + chars.as_str()
}

fn first(image: &Image) -> &str {
    standards(image).next().map_or("", |s| s.name())
}

/// What to write for a fineness in figures, by the first standard of the tables.
fn in_parts(image: &Image) -> String {
    let example = standards(image).find_map(|s| s.parts());
    let example = example.map_or_else(String::new, |p| format!(", such as {p}"));
    format!("parts of a thousand{example}")
}

/// A fineness in figures, alone or counted; None if the words are none.
fn figures(image: &Image, words: &str) -> Result<Option<Fineness>, Refused> {
    let lower = words.to_lowercase();
    let mut metal = None;
    let mut figures: Option<String> = None;
    let mut scale = None;
    let add = |w: &str, figures: &mut Option<String>| match figures {
        Some(_) => false,
        None => {
            *figures = Some(w.to_string());
            true
        }
    };
    for word in lower.split([' ', '-']) {
        let word = word.trim_end_matches(['.', ',', ';']);
        let begins = word.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-');
        let end =
            word.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(word.len());
        let (number, unit) = word.split_at(if begins { end } else { 0 });
        if !number.is_empty() && !add(number, &mut figures) {
            return Ok(None);
        }
        if unit.is_empty() || FILLERS.contains(&unit) || number.is_empty() && unit == "in" {
            continue;
        }
        if !number.is_empty() && matches!(unit, "/1000" | "\u{2030}") {
            continue;
        }
        if let Some(m) = METALS.iter().find(|m| export::metal(**m) == unit) {
            metal = Some(*m);
        } else if let Some(s) = (0..image.meta(Meta::Scales))
            .map(|s| image.scale(s))
            .find(|s| s.say().any(|w| w == unit))
        {
            scale = Some(s);
        } else {
            return Ok(None);
        }
    }
    let Some(typed) = figures else {
        return Ok(None);
    };
    let write = |n: &str| n.to_string();
    let kind = Kind { what: "fineness", typed: words, write: &write };
    let n = kind.read(&typed)?;
    match scale {
        Some(s) => counted(image, words, &n, s, metal).map(Some),
        None => millesimal(image, words, &n, typed.starts_with(['.', '0']), metal).map(Some),
    }
}

/// So many parts of the whole of a scale, or the standard that the law names so.
fn counted(
    image: &Image,
    words: &str,
    n: &BigRational,
    scale: puncheon_schema::image::ScaleView,
    metal: Option<Metal>,
) -> Result<Fineness, Refused> {
    let whole = figures::whole(scale.whole());
    if *n > whole || *n <= figures::whole(0) {
        return Err(Refused::new(
            format!("\"{words}\" is no fineness: pure metal is {} {}", scale.whole(), scale.name()),
            format!("write at most {} {}", scale.whole(), scale.name()),
        ));
    }
    if let (Some(a), Some(b)) = (metal, scale.metal())
        && a != b
    {
        return Err(Refused::new(
            format!("\"{words}\" counts {} in {}", export::metal(a), scale.name()),
            format!("write {}, or {} of {}", in_parts(image), scale.name(), export::metal(b)),
        ));
    }
    let metal = metal.or(scale.metal());
    let exact = n / &whole;
    let near = figures::ratio(NEAR, 1000);
    let by_law = standards(image).find_map(|s| {
        let parts = parts(s)?;
        let off = if parts > exact { &parts - &exact } else { &exact - &parts };
        // A standard of another count, such as 990, is not meant by a whole number of parts.
        let meant = scale.metal() == Some(s.metal()) && n.is_integer() && *n < whole;
        (meant && off <= near).then_some((s, parts))
    });
    if let Some((s, parts)) = by_law {
        let mut out = Fineness::of(s, parts.clone());
        if parts != exact {
            out.notes.push(format!(
                "{} is {} parts in 1000 by law; {n} in {} would be {}.",
                capital(s.name()),
                in_thousand(&parts),
                scale.whole(),
                in_thousand(&exact)
            ));
        }
        return Ok(out);
    }
    Ok(Fineness {
        name: format!("{} {}", figures::plain(n, 4), scale.name()),
        metal,
        standards: Vec::new(),
        parts: Span::exactly(exact),
        from_marks: false,
        notes: Vec::new(),
    })
}

/// Parts of a thousand, exactly as typed.
fn millesimal(
    image: &Image,
    words: &str,
    n: &BigRational,
    decimal: bool,
    metal: Option<Metal>,
) -> Result<Fineness, Refused> {
    let thousand = figures::whole(1000);
    let parts = match decimal && *n <= figures::whole(1) {
        true => n * &thousand,
        false => n.clone(),
    };
    if parts > thousand || parts <= figures::whole(0) {
        return Err(Refused::new(
            format!("\"{words}\" is no fineness: pure metal is 1000 parts in 1000"),
            format!("write {}", in_parts(image)),
        ));
    }
    if parts < figures::whole(LEAST_PARTS) {
        let scale = (0..image.meta(Meta::Scales)).map(|s| image.scale(s)).next();
        let or = scale.map_or("", |s| s.name());
        return Err(Refused::new(
            format!("\"{words}\" does not say of what it is counted"),
            format!("write {} {or}, or {}", figures::plain(n, 4), in_parts(image)),
        ));
    }
    let exact = &parts / &thousand;
    let whole = parts.is_integer().then(|| parts.to_integer().to_u16()).flatten();
    let known: Vec<StandardView> = standards(image)
        .filter(|s| s.parts().is_some() && s.parts() == whole)
        .filter(|s| metal.is_none_or(|m| s.metal() == m))
        .collect();
    let shown = figures::plain(&parts, 4);
    let mut out = Fineness {
        name: match metal {
            Some(m) => format!("{shown} {}", export::metal(m)),
            None => format!("{shown} parts in 1000"),
        },
        metal,
        standards: Vec::new(),
        parts: Span::exactly(exact.clone()),
        from_marks: false,
        notes: Vec::new(),
    };
    // The figures of rarer metals are those of silver and gold abroad.
    if let ([s], None) = (&known[..], metal)
        && matches!(s.metal(), Metal::Platinum | Metal::Palladium)
    {
        return Err(Refused::new(
            format!("\"{words}\" does not say of which metal"),
            format!(
                "write which: {shown} {}",
                METALS.map(export::metal).join(&format!(", {shown} "))
            ),
        ));
    }
    if let [s] = known[..] {
        out.name = s.name().to_string();
        out.metal = Some(s.metal());
        out.standards = vec![s.id().to_string()];
        let by_name = self::parts(s).filter(|p| *p != exact);
        if let Some(p) = by_name {
            out.notes.push(format!(
                "{shown} is reckoned as typed; {} is {p}, {} parts in 1000: name it so to reckon with that.",
                s.name(),
                in_thousand(&p)
            ));
        }
    }
    Ok(out)
}

/// A word that belongs to no standard, metal or figure.
fn beside(tables: &Tables, words: &str) -> Option<String> {
    let seen = crate::sightings(tables, words);
    let spans: Vec<(usize, usize)> = seen
        .sightings
        .iter()
        .map(|s| (s.start, s.end))
        .chain(seen.claimed.iter().map(|c| (c.start, c.end)))
        .collect();
    let mut at = 0;
    for word in words.split(' ') {
        let (start, end) = (at, at + word.len());
        at = end + 1;
        let plain = word.trim_matches([',', ';', '.', '(', ')', '-']).to_lowercase();
        let known = plain.is_empty()
            || FILLERS.contains(&plain.as_str())
            || METALS.iter().any(|m| export::metal(*m) == plain)
            || spans.iter().any(|(from, to)| *from < end && start < *to);
        if !known {
            return Some(word.to_string());
        }
    }
    None
}

/// A standard by its name, in the words of the vocabulary.
fn named(tables: &Tables, words: &str) -> Result<Fineness, Refused> {
    let image = tables.image();
    let none = |at: &str| {
        Refused::new(
            format!("\"{at}\" names no fineness"),
            format!("write a standard such as {}, a carat, or {}", first(image), in_parts(image)),
        )
    };
    // A standard's own name goes first, with or without its metal: a bare one may be a mark as well.
    let lower = words.to_lowercase();
    let own = standards(image).find(|s| {
        let name = s.name().to_lowercase();
        let metal = name.strip_suffix(export::metal(s.metal()));
        lower == name || metal.is_some_and(|n| n.trim_end() == lower && lower != FINE)
    });
    if let Some((s, exact)) = own.and_then(|s| Some((s, parts(s)?))) {
        return Ok(Fineness::of(s, exact));
    }
    if let Some(b) = reads::bars(image, words, None) {
        let (why, _) = borne::not_metal(image, &b);
        let why = why.trim_end_matches('.').replacen("What", "what", 1);
        return Err(Refused::new(
            format!("\"{words}\" names no fineness: {why}"),
            "write a standard of what is metal throughout",
        ));
    }
    let claim = Claim::read(tables, words).map_err(|_| none(words))?;
    if let Some(u) = claim.not_used.first() {
        return Err(none(&u.text));
    }
    // A claim passes over words that a weight must not: "half", "under", "about".
    if let Some(word) = beside(tables, words) {
        return Err(none(&word));
    }
    if !claim.offices.is_empty() || !claim.years.is_empty() {
        return Err(Refused::new(
            format!("\"{words}\" says more than a fineness"),
            format!("write the standard alone, such as {}", first(image)),
        ));
    }
    let found: Vec<StandardView> =
        standards(image).filter(|s| claim.standards.iter().any(|c| c == s.id())).collect();
    match found[..] {
        [s] => match parts(s) {
            Some(exact) => Ok(Fineness::of(s, exact)),
            None => Err(Refused::new(
                format!("the tables know no fineness of {}", s.name()),
                "write the parts of a thousand if you know them",
            )),
        },
        [] => Err(none(words)),
        _ => {
            let names: Vec<&str> = found.iter().map(|s| s.name()).collect();
            Err(Refused::new(
                format!("\"{words}\" can be of more than one standard"),
                format!("write which: {}", names.join(", ")),
            ))
        }
    }
}
