//! Fineness: by the name of a standard, by a way of counting such as carats, in parts of a thousand, or
//! from the marks as they were read.

use num_rational::BigRational;
use num_traits::ToPrimitive;
use puncheon_schema::entry::{Confidence, Metal};
use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta, StandardView};

use crate::books::Books;
use crate::claim::claimed::Claim;
use crate::fit::narrow::Options;
use crate::metal::{self, Borne};
use crate::words;
use puncheon_lexis::grammar::figures::{self, Misread, Span};
use puncheon_lexis::grammar::fineness::{self as said, Counted, Word};
use puncheon_lexis::grammar::objects::Barred;

/// The least that is taken for parts of a thousand.
const LEAST_PARTS: u32 = 100;
/// How far a standard's figure may lie from the plain ratio of its name, in parts of a thousand.
const NEAR: u32 = 2;

/// How fine a metal is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fineness {
    /// What it is called.
    pub name: Name,
    /// The metal, where it is known.
    pub metal: Option<Metal>,
    /// Standards by their numbers in the tables, if it is one of these.
    pub standards: Vec<usize>,
    /// Pure metal in one part of the alloy, exactly; a span where the marks leave several standards.
    pub parts: Span,
    /// It was read from the marks.
    pub from_marks: bool,
    /// The marks are read with a doubt.
    pub doubted: bool,
    /// What has to be said of it.
    pub remarks: Vec<Remark>,
}

/// What a fineness is called.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Name {
    /// By these standards, one of which it is.
    Standards(Vec<usize>),
    /// So many of a scale.
    Scale { n: BigRational, scale: usize },
    /// Parts of a thousand, of a metal if one is named.
    Parts { parts: BigRational, metal: Option<Metal> },
}

/// What has to be said of a fineness. Standards are numbers of the tables.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Remark {
    /// The tables are not sure of it.
    Unsure { standard: usize },
    /// The law cuts the ratio to whole parts of a thousand, or sets others.
    ByLaw { standard: usize, exact: BigRational, by_law: u16 },
    /// A standard of the law goes before the plain ratio of a scale.
    NotPlain { standard: usize, parts: BigRational, n: BigRational, whole: u32, exact: BigRational },
    /// Figures are reckoned as typed, though a standard of that name is another ratio.
    AsTyped { standard: usize, parts: BigRational, by_name: BigRational },
    /// The marks leave several standards, the finest first.
    Several { standards: Vec<usize> },
}

/// Why marks do not settle a fineness.
#[allow(missing_docs)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotSettled {
    /// They bear out no metal.
    NotBorne,
    /// The tables know no fineness of a standard.
    NoFineness { standard: usize },
    /// They fit nothing.
    FitsNothing,
}

/// Why words are no fineness.
#[allow(missing_docs)]
pub enum Fault {
    /// There are none.
    Empty,
    /// Their figures are none.
    Figures(NoParts),
    /// A word that names none.
    NoFineness { word: String },
    /// The words say more.
    MoreThanFineness,
    /// They speak of what is no metal.
    Barred(Barred),
    /// The tables know no fineness of a standard.
    Unknown { standard: usize },
    /// Several standards go by the words.
    Several { standards: Vec<usize> },
}

/// Why figures are no fineness.
#[allow(missing_docs)]
pub enum NoParts {
    /// They are no number.
    Misread(Misread),
    /// More than pure metal, as a scale counts it.
    OverWhole { scale: usize },
    /// A metal that the scale does not count.
    OtherScale { metal: Metal, own: Metal, scale: usize },
    /// More than a thousand parts of a thousand, or none.
    OverThousand,
    /// Too few for parts of a thousand.
    Uncounted { parts: BigRational },
    /// Figures of metals of which the rarer is not meant before the others.
    WhichMetal { parts: BigRational },
}

/// Every standard of the tables.
pub fn standards(image: &Image) -> impl Iterator<Item = StandardView<'_>> {
    (0..image.meta(Meta::Standards)).map(|s| image.standard(s))
}

fn parts(s: StandardView) -> Option<BigRational> {
    s.exact().map(|(a, b)| figures::ratio(a, b))
}

/// Words of a fineness without the blanks and marks round them.
pub fn tidy(words: &str) -> String {
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    words.trim_matches([',', ';', ' ', '(', ')']).to_string()
}

impl Fineness {
    /// Reads a fineness: "sterling", "18 ct", "925", "800 silver". Bare figures are of the metal that is
    /// named elsewhere. Words are tidy.
    pub fn read(books: Books, words: &str, elsewhere: Option<Metal>) -> Result<Fineness, Fault> {
        let image = books.image;
        if words.is_empty() {
            return Err(Fault::Empty);
        }
        let Some(counted) = said::counted(image, words).map_err(no_number)? else {
            return named(books, words);
        };
        let bare = words.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        let metal = counted.metal.or(elsewhere.filter(|_| bare));
        let read = match counted.scale {
            Some(scale) => by_scale(image, &counted.n, scale, metal),
            None => millesimal(image, &Counted { metal, ..counted }),
        };
        read.map_err(Fault::Figures)
    }

    fn of(s: StandardView, exact: BigRational) -> Fineness {
        let mut remarks = Vec::new();
        if s.confidence() == Confidence::Low {
            remarks.push(Remark::Unsure { standard: s.i });
        }
        if let Some(by_law) = s.parts().filter(|p| figures::ratio(*p, 1000) != exact) {
            remarks.push(Remark::ByLaw { standard: s.i, exact: exact.clone(), by_law });
        }
        Fineness {
            metal: Some(s.metal()),
            standards: vec![s.i],
            remarks,
            ..Fineness::plain(Name::Standards(vec![s.i]), None, exact)
        }
    }

    /// One that is no standard.
    fn plain(name: Name, metal: Option<Metal>, exact: BigRational) -> Fineness {
        Fineness {
            name,
            metal,
            standards: Vec::new(),
            parts: Span::exactly(exact),
            from_marks: false,
            doubted: false,
            remarks: Vec::new(),
        }
    }

    /// The fineness that marks bear out, which may be a span over several standards of one metal.
    pub fn borne(image: &Image, b: &Borne) -> Result<Fineness, NotSettled> {
        if b.refused.is_some() {
            return Err(NotSettled::NotBorne);
        }
        let mut found: Vec<StandardView> = Vec::new();
        for fit in b.spoken_of() {
            let standard = fit.key.standard as usize;
            if !found.iter().any(|f| f.i == standard) {
                found.push(image.standard(standard));
            }
        }
        if let Some(s) = found.iter().find(|s| parts(**s).is_none()) {
            return Err(NotSettled::NoFineness { standard: s.i });
        }
        found.sort_by_key(|s| parts(*s));
        let all: Vec<BigRational> = found.iter().filter_map(|s| parts(*s)).collect();
        let (Some(least), Some(low), Some(high)) = (found.first(), all.first(), all.last()) else {
            return Err(NotSettled::FitsNothing);
        };
        let mut out = Fineness::of(*least, low.clone());
        if found.len() > 1 {
            let finest: Vec<usize> = found.iter().rev().map(|s| s.i).collect();
            out = Fineness {
                name: Name::Standards(finest.clone()),
                standards: found.iter().map(|s| s.i).collect(),
                parts: Span { low: low.clone(), high: high.clone() },
                remarks: vec![Remark::Several { standards: finest }],
                ..out
            };
        }
        out.doubted = b.doubted();
        out.from_marks = true;
        Ok(out)
    }
}

fn no_number(why: Misread) -> Fault {
    Fault::Figures(NoParts::Misread(why))
}

/// Reads marks for what they bear out; what is stated of the piece may speak against them.
pub fn of_marks<'i>(
    image: &'i Image,
    marks: &str,
    stated: &str,
    metal: Option<Metal>,
) -> Borne<'i> {
    let options = Options { metal, ..Options::default() };
    let item = words::item(image, marks, true);
    let signs = words::read(image, stated).signs;
    metal::read(image, &item, &signs, &options).unless_stated(stated)
}

/// So many parts of the whole of a scale, or the standard that the law names so.
fn by_scale(
    image: &Image,
    n: &BigRational,
    scale: usize,
    metal: Option<Metal>,
) -> Result<Fineness, NoParts> {
    let of = image.scale(scale);
    let whole = figures::whole(of.whole());
    if *n > whole || *n <= figures::whole(0) {
        return Err(NoParts::OverWhole { scale });
    }
    if let (Some(metal), Some(own)) = (metal, of.metal())
        && metal != own
    {
        return Err(NoParts::OtherScale { metal, own, scale });
    }
    let exact = n / &whole;
    let near = figures::ratio(NEAR, 1000);
    let by_law = standards(image).find_map(|s| {
        let parts = parts(s)?;
        let off = if parts > exact { &parts - &exact } else { &exact - &parts };
        // A standard of another count, such as 990, is not meant by a whole number of parts.
        let meant = of.metal() == Some(s.metal()) && n.is_integer() && *n < whole;
        (meant && off <= near).then_some((s, parts))
    });
    if let Some((s, parts)) = by_law {
        let mut out = Fineness::of(s, parts.clone());
        if parts != exact {
            let (standard, n, whole) = (s.i, n.clone(), of.whole());
            out.remarks.push(Remark::NotPlain { standard, parts, n, whole, exact });
        }
        return Ok(out);
    }
    Ok(Fineness::plain(Name::Scale { n: n.clone(), scale }, metal.or(of.metal()), exact))
}

/// Parts of a thousand, exactly as typed.
fn millesimal(image: &Image, typed: &Counted) -> Result<Fineness, NoParts> {
    let (n, metal) = (&typed.n, typed.metal);
    let thousand = figures::whole(1000);
    let parts = match typed.decimal && *n <= figures::whole(1) {
        true => n * &thousand,
        false => n.clone(),
    };
    if parts > thousand || parts <= figures::whole(0) {
        return Err(NoParts::OverThousand);
    }
    if parts < figures::whole(LEAST_PARTS) {
        return Err(NoParts::Uncounted { parts: n.clone() });
    }
    let exact = &parts / &thousand;
    let whole = parts.is_integer().then(|| parts.to_integer().to_u16()).flatten();
    let known: Vec<StandardView> = standards(image)
        .filter(|s| s.parts().is_some() && s.parts() == whole)
        .filter(|s| metal.is_none_or(|m| s.metal() == m))
        .collect();
    // The figures of rarer metals are those of silver and gold abroad.
    if let ([s], None) = (&known[..], metal)
        && matches!(s.metal(), Metal::Platinum | Metal::Palladium)
    {
        return Err(NoParts::WhichMetal { parts });
    }
    let name = Name::Parts { parts: parts.clone(), metal };
    let mut out = Fineness::plain(name, metal, exact.clone());
    if let [s] = known[..] {
        out.name = Name::Standards(vec![s.i]);
        out.metal = Some(s.metal());
        out.standards = vec![s.i];
        if let Some(by_name) = self::parts(s).filter(|p| *p != exact) {
            out.remarks.push(Remark::AsTyped { standard: s.i, parts, by_name });
        }
    }
    Ok(out)
}

/// A standard whose own name the words are, with or without its metal.
fn by_own_name<'i>(image: &'i Image, words: &str) -> Option<StandardView<'i>> {
    let lower = words.to_lowercase();
    // What is left of a pure metal's name without the metal, "fine", names none.
    let filler = matches!(said::word(image, &lower), Word::Filler);
    standards(image).find(|s| {
        let name = s.name().to_lowercase();
        let bare = name.strip_suffix(export::metal(s.metal()));
        lower == name || !filler && bare.is_some_and(|n| n.trim_end() == lower)
    })
}

/// A word that belongs to no standard, metal or figure.
fn beside(image: &Image, words: &str) -> Option<String> {
    let seen = words::read(image, words);
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
            || matches!(said::word(image, &plain), Word::Filler | Word::Metal(_))
            || spans.iter().any(|(from, to)| *from < end && start < *to);
        if !known {
            return Some(word.to_string());
        }
    }
    None
}

/// A standard by its name, in the words of the vocabulary.
fn named(books: Books, words: &str) -> Result<Fineness, Fault> {
    let image = books.image;
    let none = |word: &str| Fault::NoFineness { word: word.to_string() };
    // A standard's own name goes first: a bare one may be a mark as well.
    if let Some((s, exact)) = by_own_name(image, words).and_then(|s| Some((s, parts(s)?))) {
        return Ok(Fineness::of(s, exact));
    }
    if let Some(barred) = words::bars(image, words, None) {
        return Err(Fault::Barred(barred));
    }
    let claim = Claim::of(books, words).map_err(|_| none(words))?;
    if let Some(u) = claim.not_used.first() {
        return Err(none(&u.text));
    }
    // A claim passes over words that a weight must not: "half", "under", "about".
    if let Some(word) = beside(image, words) {
        return Err(none(&word));
    }
    if !claim.offices.is_empty() || !claim.years.is_empty() {
        return Err(Fault::MoreThanFineness);
    }
    let found: Vec<StandardView> =
        standards(image).filter(|s| claim.standards.iter().any(|c| c == s.id())).collect();
    match found[..] {
        [s] => match parts(s) {
            Some(exact) => Ok(Fineness::of(s, exact)),
            None => Err(Fault::Unknown { standard: s.i }),
        },
        [] => Err(none(words)),
        _ => Err(Fault::Several { standards: found.iter().map(|s| s.i).collect() }),
    }
}
