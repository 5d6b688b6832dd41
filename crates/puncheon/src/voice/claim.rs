//! A claim in words: how it was taken, why it cannot be read, and when what it claims was struck.

use std::fmt;
use std::ops::Range;

use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta};

use crate::engine::claim::claimed::{self, Struck, Unstruck, Ware};
use crate::json::claim::Claim;
use crate::lexis::claim::{How, Problem, Taken, Wrong, Years};
use crate::lexis::grammar::dates::{ABOUT, CENTURY};
use crate::lexis::grammar::{claims, records};
use crate::lexis::sighting::Sightings;
use crate::lexis::token::Text;
use crate::tables::Tables;
use crate::voice::letters::letters_run;

/// What to write for a word of dates that was not understood.
const YEARS_MEANT: &str = "write the years meant, as 1851-1900, \"not after 1810\" or \
                           \"last quarter of the 18th century\"";

/// Why a claim cannot be read: where, what is wrong, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ClaimError {
    /// The claim, as typed.
    pub claim: String,
    /// The words at fault, in bytes of the claim; empty where it is the whole.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub wrong: String,
    /// What would be right.
    pub remedy: String,
    /// The claim was understood and cannot be so: it names what never bore a dated hallmark.
    pub impossible: bool,
}

impl fmt::Display for ClaimError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.wrong)?;
        if !self.at.is_empty() && !self.claim.contains(['\n', '\r', '\t']) {
            let before = self.claim[..self.at.start].chars().count();
            let under = self.claim[self.at.clone()].chars().count();
            write!(f, "\n  {}", self.claim)?;
            write!(f, "\n  {}{}", " ".repeat(before), "^".repeat(under))?;
        }
        write!(f, "\n  {}", self.remedy)
    }
}

impl std::error::Error for ClaimError {}

impl Claim {
    /// Reads a claim.
    ///
    /// # Errors
    /// If it names no office, year, reign or standard, if a figure or a word that looks like an
    /// office is not understood, or if it contradicts itself: dropping such a word would let the
    /// rest of the claim hold.
    pub fn read(tables: &Tables, claim: &str) -> Result<Claim, ClaimError> {
        let lead = |e: ClaimError| match e.impossible {
            true => e,
            false => ClaimError { wrong: format!("the claim cannot be read: {}", e.wrong), ..e },
        };
        read(tables, claim).map_err(lead)
    }

    /// Does a cell of a record claim nothing: is it empty, a sign such as a dash, or "undated"?
    pub fn states_nothing(tables: &Tables, cell: &str) -> bool {
        records::states_nothing(tables.image(), cell)
    }

    /// The claim that a description makes beside its marks; None if it makes none.
    ///
    /// # Errors
    /// As [`Claim::read`].
    pub fn stated(
        tables: &Tables,
        description: &str,
        seen: &Sightings,
    ) -> Result<Option<Claim>, ClaimError> {
        if seen.claimed.is_empty() {
            return Ok(None);
        }
        let text = Text::new(tables.image(), description);
        let stretches = claims::stretches(tables.image(), &text, seen);
        let words: Vec<&str> = stretches.into_iter().map(|at| &description[at]).collect();
        Claim::read(tables, &words.join(", ")).map(Some)
    }

    /// How words such as "about" and "1890s" were taken, a sentence each.
    pub fn conventions(&self, tables: &Tables) -> Vec<String> {
        conventions(tables.image(), self)
    }

    /// What was understood, in words.
    pub fn read_as(&self, tables: &Tables) -> String {
        let image = tables.image();
        let years = self.years.iter().map(|y| years_in_words(*y));
        let standards: Vec<&str> = (0..image.meta(Meta::Standards))
            .map(|s| image.standard(s))
            .filter(|s| self.standards.iter().any(|id| id == s.id()))
            .map(|s| s.name())
            .collect();
        let mut parts = vec![offices(image, self).join(" or ")];
        parts.push(years.collect::<Vec<_>>().join(" or "));
        parts.push(match standards.len() {
            0..=3 => standards.join(" or "),
            n => format!("one of {n} standards"),
        });
        parts.retain(|p| !p.is_empty());
        parts.join(", ")
    }
}

/// A span of years in words: "1803", "1803 to 1810", "1803 and later".
pub fn years_in_words(years: Years) -> String {
    match (years.from, years.to) {
        (Some(a), Some(b)) if a == b => a.to_string(),
        (Some(a), Some(b)) => format!("{a} to {b}"),
        (Some(a), None) => format!("{a} and later"),
        (None, Some(b)) => format!("{b} and earlier"),
        (None, None) => "any year".into(),
    }
}

/// The names of the offices claimed, in the order of the tables.
fn offices<'i>(image: &'i Image, claim: &Claim) -> Vec<&'i str> {
    (0..image.meta(Meta::Offices))
        .map(|o| image.office(o))
        .filter(|o| claim.offices.iter().any(|id| id == o.id()))
        .map(|o| o.name())
        .collect()
}

/// How the words of a claim were taken, a sentence each; last, that several offices will do.
pub(crate) fn conventions(image: &Image, claim: &Claim) -> Vec<String> {
    let mut out = taken(&claim.typed, &claim.taken);
    if claim.offices.len() > 1 {
        out.push(format!("Either office will do: {}.", offices(image, claim).join(" or ")));
    }
    out
}

/// The same of words alone.
pub(crate) fn taken(typed: &str, taken: &[Taken]) -> Vec<String> {
    let said = |t: &Taken| match t {
        Taken::Date { at, years, how } => convention(&typed[at.clone()], *years, how),
        Taken::Mended { at, nearest } => {
            format!("\"{}\" was taken for {nearest}.", &typed[at.clone()])
        }
    };
    taken.iter().map(said).collect()
}

/// A sentence on how a date was taken.
fn convention(words: &str, years: Years, d: &How) -> String {
    if years.one_letter {
        return format!("\"{words}\" is taken as the one letter of {}.", years_in_words(years));
    }
    let mut how: Vec<String> = d.portion.map(portion).into_iter().collect();
    if d.about {
        how.push(format!("{ABOUT} years either side"));
    }
    if d.excluded {
        how.push("the year named is not included".into());
    }
    if d.included {
        how.push("the year named is included".into());
    }
    if let Some(y) = d.round {
        how.push(format!("{y} counted in"));
    }
    match how.is_empty() {
        true => format!("\"{words}\" is taken as {}.", years_in_words(years)),
        false => format!("\"{words}\" is taken as {}: {}.", years_in_words(years), how.join("; ")),
    }
}

/// Which part of a date is meant.
fn portion((first, last, of): (i32, i32, i32)) -> String {
    let nth = |names: &'static [&'static str], n: i32| {
        usize::try_from(n - 1).ok().and_then(|n| names.get(n)).copied().unwrap_or("last")
    };
    let third = |n| nth(&["first", "middle", "last"], n);
    match of {
        3 if first == last => format!("its {} third", third(first)),
        3 => format!("from its {} to its {} third", third(first), third(last)),
        CENTURY => format!("its decade of {first}"),
        _ => {
            let part = match of {
                2 => "half",
                4 => "quarter",
                _ => "decade",
            };
            format!("its {} {part}", nth(&["first", "second", "third", "fourth"], first))
        }
    }
}

/// Reads what names an office, a date or a standard, and is no claim.
pub(crate) fn read(tables: &Tables, words: &str) -> Result<Claim, ClaimError> {
    claimed::Claim::of(tables.books(), words)
        .map(Claim::from)
        .map_err(|problem| refused(tables.image(), words, &problem))
}

/// Why words cannot be read, in words.
fn refused(image: &Image, typed: &str, problem: &Problem) -> ClaimError {
    let said = &typed[problem.at.clone()];
    let wrong = wrong(image, typed, said, &problem.wrong);
    let impossible = matches!(problem.wrong, Wrong::Impossible(_));
    ClaimError {
        claim: typed.to_string(),
        at: problem.at.clone(),
        wrong,
        remedy: remedy(image, said, &problem.wrong).unwrap_or_else(|| forms(image)),
        impossible,
    }
}

/// Where no year is named and one is needed.
pub(crate) fn without_a_year(image: &Image, words: &str) -> ClaimError {
    let (wrong, remedy) = (
        wrong(image, words, "", &Wrong::NoYear),
        remedy(image, "", &Wrong::NoYear).unwrap_or_default(),
    );
    ClaimError { claim: words.to_string(), at: 0..0, wrong, remedy, impossible: false }
}

/// Where no standard is named and one is needed.
pub(crate) fn without_a_standard(image: &Image, words: &str) -> ClaimError {
    ClaimError {
        claim: words.to_string(),
        at: 0..0,
        wrong: format!("\"{words}\" names no standard"),
        remedy: format!(
            "write a name, a carat or a fineness, such as \"{}\"",
            image.standard(0).name()
        ),
        impossible: false,
    }
}

/// What is wrong; `said` are the words at fault.
pub(crate) fn wrong(image: &Image, typed: &str, said: &str, wrong: &Wrong) -> String {
    let lookalike = |l: u32| image.lookalike(l as usize).what().trim_end_matches('.').to_string();
    match wrong {
        Wrong::Empty => "the claim is empty".into(),
        Wrong::NamesNothing | Wrong::MakerAlone => {
            "the claim names no office, year, reign or standard".into()
        }
        Wrong::NoYear => "no year is named".into(),
        Wrong::NoDate => format!("\"{said}\" has no date that it goes with"),
        Wrong::OnlyLooks => format!("\"{said}\" says that it only looks so"),
        Wrong::Unread
        | Wrong::MeantOffice(_)
        | Wrong::NoSuchYear
        | Wrong::Figures
        | Wrong::NoPlace
        | Wrong::BareNumber => format!("\"{said}\" was not understood"),
        Wrong::YearOrMeasure => format!("\"{said}\" may be a year or a measure"),
        Wrong::TwoWays(..) => format!("\"{said}\" can be read two ways"),
        Wrong::Denied => format!("\"{said}\" turns the claim round"),
        Wrong::Cypher => format!("\"{said}\" may be a sovereign or somebody's letters"),
        Wrong::SecondOffice => format!("\"{said}\" is a second office"),
        Wrong::Impossible(l) => format!("{}. No dated hallmark goes with it", lookalike(*l)),
        Wrong::NoStandard(l) => {
            format!("\"{said}\" is no standard of an office: {}", lookalike(*l))
        }
        Wrong::OtherMetal => "it names a standard and another metal".into(),
        Wrong::TwoClaims => "two offices with a date each are two claims".into(),
        Wrong::TooMany(most) => format!("it names more than {most} dates"),
        Wrong::NeverMeet { first, years: [a, b] } => format!(
            "it contradicts itself: \"{}\" ({}) and \"{said}\" ({}) never meet",
            &typed[first.clone()],
            years_in_words(*a),
            years_in_words(*b),
        ),
        Wrong::NoYears => format!("\"{said}\" holds no year"),
        Wrong::PartOfYear => {
            format!("\"{said}\" is part of a year, and a letter stands for a whole one")
        }
        Wrong::PartsApart => format!("\"{said}\" names parts that do not meet"),
        Wrong::NoCentury => format!("\"{said}\" is a decade of no century"),
    }
}

/// What would be right; None where only what a claim may look like can be said.
pub(crate) fn remedy(image: &Image, said: &str, wrong: &Wrong) -> Option<String> {
    let all = || {
        let names = (0..image.meta(Meta::Offices)).map(|o| image.office(o).name());
        names.collect::<Vec<_>>().join(", ")
    };
    Some(match wrong {
        Wrong::Empty
        | Wrong::NamesNothing
        | Wrong::Impossible(_)
        | Wrong::OtherMetal
        | Wrong::NoYears => return None,
        Wrong::MakerAlone => {
            "a maker is tested beside an office, a year or a standard; add one".into()
        }
        Wrong::NoYear => "name one beside the office; a span such as 1800-1810 will do".into(),
        Wrong::Unread => "leave it out if it says nothing of date or place; write \"by\" before a \
                          maker's name, and a date in years, as 1851-1900"
            .into(),
        Wrong::OnlyLooks => {
            "leave out what it is like, and claim when and where it was marked".into()
        }
        Wrong::NoDate | Wrong::PartOfYear | Wrong::PartsApart | Wrong::NoCentury => {
            YEARS_MEANT.into()
        }
        Wrong::MeantOffice(o) => format!("is {} meant?", image.office(*o as usize).name()),
        Wrong::NoSuchYear => format!(
            "no office struck letters in {said}: write years as 1908, 1908/09, 1890s or 19th century"
        ),
        Wrong::Figures => {
            "write years with four figures, as 1908, 1908/09, 1890s or 19th century".into()
        }
        Wrong::NoPlace => format!("leave it out if it is no place; the offices are {}", all()),
        Wrong::YearOrMeasure => "write a year without a unit, and a measure of thousands with a \
                                 comma, as 1,803 g"
            .into(),
        Wrong::TwoWays(a, b) => format!("write {a}-{b}, or the earlier year first"),
        Wrong::Denied => "say what is claimed, not what is denied".into(),
        Wrong::Cypher => {
            // A sovereign whose head was struck is the one most often meant.
            let mut reigns = (0..image.meta(Meta::Reigns)).map(|r| image.reign(r));
            let known = reigns.find(|r| r.head().is_some()).map_or("", |r| r.name());
            format!("name the sovereign in full, as {known}, or write \"by {said}\"")
        }
        Wrong::SecondOffice => {
            "write \"or\" between offices of which either will do, and test one \
                                pair of office and date at a time"
                .into()
        }
        Wrong::BareNumber => format!(
            "write a carat as \"{said} ct\" and a year in four figures; leave out other numbers"
        ),
        Wrong::NoStandard(_) => {
            "leave it out to test the rest, or claim a metal or a standard".into()
        }
        Wrong::TwoClaims => "test them one at a time".into(),
        Wrong::TooMany(_) => "test fewer at a time".into(),
        Wrong::NeverMeet { .. } => {
            "test one of the two, or write \"or\" where either will do".into()
        }
    })
}

/// What a claim may look like, in the tables' own names.
fn forms(image: &Image) -> String {
    let offices = image.meta(Meta::Offices);
    let reigns = image.meta(Meta::Reigns);
    if offices == 0 {
        return "name an office, a year, a reign or a standard".into();
    }
    let office = |o: usize| image.office(o % offices);
    let year = |o: usize| {
        let (first, last) = office(o).years();
        first.midpoint(last)
    };
    let mut out = vec![
        format!("\"{} {}\"", office(0).name(), year(0)),
        format!("\"about {}\"", year(1) / 10 * 10),
    ];
    if reigns > 0 && image.meta(Meta::Standards) > 0 {
        out.push(format!(
            "\"{}, {}, {}\"",
            office(1).name(),
            image.reign(reigns - 1).name(),
            image.standard(0).name()
        ));
    }
    out.push(format!("\"before {}\"", year(0)));
    format!("these work: {}", out.join("; "))
}

/// Why nothing claimed was ever struck: the dates of the offices and standards claimed.
pub(crate) fn never_struck(image: &Image, claim: &claimed::Claim) -> String {
    let parts: Vec<String> = claim.struck(image).iter().map(|s| when_struck(image, s)).collect();
    match parts.is_empty() {
        true => "the tables hold no letter of those years".into(),
        false => parts.join("; "),
    }
}

fn when_struck(image: &Image, struck: &Struck) -> String {
    match struck {
        Struck::Letters { office, why } => {
            let run = letters_run(image, *office);
            match why {
                Unstruck::Gap { from, to } => {
                    format!("{run}, and the tables hold none for {from} to {to}")
                }
                Unstruck::After(last) => format!("{run}, and the tables end with {last}"),
                Unstruck::Otherwise => run,
            }
        }
        Struck::Marked { ware, there, runs, still } => {
            let what = match ware {
                Ware::Standard(s) => image.standard(*s).name(),
                Ware::Metal(m) => export::metal(*m),
                Ware::Foreign => "foreign ware",
            };
            let place = if *there { " there" } else { "" };
            let last = runs.len().saturating_sub(1);
            match runs.as_slice() {
                [] => format!("{what} was never marked{place}"),
                [(from, _)] if *still => format!("{what} has been marked{place} since {from}"),
                all => {
                    let said = |(i, (from, to)): (usize, &(i32, i32))| match *still && i == last {
                        true => format!("since {from}"),
                        false => format!("from {from} to {to}"),
                    };
                    let all: Vec<String> = all.iter().enumerate().map(said).collect();
                    format!("{what} was marked{place} {}", all.join(" and "))
                }
            }
        }
    }
}
