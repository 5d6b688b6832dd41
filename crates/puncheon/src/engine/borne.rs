//! Whether marks bear out a precious metal: what may be said of a piece by its marks, or why not.

use puncheon_schema::entry::{Confidence, LookalikeKind};
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS};

use crate::engine::claim::claimed::Claim;
use crate::engine::claim::warnings::{self, Scene};
use crate::engine::fit::answer::{self, Decided, shared};
use crate::engine::fit::narrow::{Group, Nears, Options};
use crate::engine::words;
use crate::json::reading::{Fit, Kind, Misreading, Outcome, OutsideBecause, Reading, RemarkKind};
use crate::json::verdict::WarningMet;
use crate::lexis::grammar::objects;
use crate::lexis::said;
use crate::lexis::sighting::{Sighting, Sightings};
use crate::tables::Tables;
use crate::voice::{makers, reading, verdict};

/// One set of marks, read for a description of the piece.
pub(crate) struct Borne {
    pub reading: Reading,
    /// Signs worth a second look.
    pub warnings: Vec<WarningMet>,
    /// The metal of the fits that are spoken of.
    pub metal: Option<&'static str>,
    /// The standard, where the marks settle it.
    pub standard: Option<String>,
    /// Other metals that the same marks would fit.
    also: Vec<Other>,
    /// How many marks have to be misread for what is spoken of: silver, where what fits is another
    /// metal that no mark shows.
    misread: usize,
    /// Why no metal may be named; None where it may.
    pub refused: Option<String>,
    /// What the marks lack, where they are refused only for what they do not show.
    pub lack: Option<Lack>,
}

/// Another metal that the same marks would fit.
struct Other {
    metal: &'static str,
    /// Marks that would show it, by name.
    shown_by: Vec<String>,
}

/// What marks lack to bear out a metal, where nothing speaks against them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lack {
    /// It is said that there are none.
    Unmarked,
    /// None could be read.
    Unread,
    /// Too few.
    Partly,
    /// They are no hallmarks.
    Other,
}

/// Why no metal may be named.
struct Refusal {
    why: String,
    lack: Option<Lack>,
}

fn against(why: impl Into<String>) -> Option<Refusal> {
    Some(Refusal { why: why.into(), lack: None })
}

fn lacking(lack: Lack, why: impl Into<String>) -> Option<Refusal> {
    Some(Refusal { why: why.into(), lack: Some(lack) })
}

/// Reads a set of marks, and the signs in what is stated of the piece beside them.
pub(crate) fn read(tables: &Tables, marks: &str, stated: &str, options: &Options) -> Borne {
    let image = tables.image();
    let mut seen = words::read(image, marks);
    seen.signs.extend(words::read(image, stated).signs);
    let options = Options { nears: Nears::IfNoFits, ..options.clone() };
    let decided = answer::decide(image, &seen, &options);
    let mut reading = reading::told(&decided, marks, &seen, &options);
    makers::tell(tables, &seen, &decided, &mut reading);
    let scene = Scene {
        image,
        claim: &Claim::default(),
        description: marks,
        seen: &seen,
        options: &options,
        decided: &decided,
        claimed: &[],
        best: decided.fits.first().map(|g| g.best.row as usize),
        agrees: true,
    };
    let signs = warnings::met(&scene, &[]);
    let warnings: Vec<WarningMet> = signs.iter().map(|s| verdict::warning(image, s)).collect();
    let refused = refusal(image, &seen, &decided, &reading, &warnings);
    let spoken = match decided.silver_misread {
        Some(near) => reading.nears.get(near),
        None => reading.fits.first(),
    };
    let mut out = Borne {
        metal: spoken.map(|f| f.metal),
        misread: spoken.map_or(0, |f| f.clashes.len()),
        standard: None,
        also: others(&decided, spoken.map(|f| f.metal)),
        lack: refused.as_ref().and_then(|r| r.lack),
        refused: refused.map(|r| r.why),
        warnings,
        reading,
    };
    out.standard = shared(out.spoken_of().map(|f| &f.standard_name)).cloned();
    out
}

impl Borne {
    /// What the marks bear out, unless what is stated of the piece says that it is made of something
    /// else.
    pub fn unless_stated(mut self, image: &Image, stated: &str) -> Borne {
        if self.refused.is_none() {
            let metal = METALS.into_iter().find(|m| Some(export::metal(*m)) == self.metal);
            self.refused =
                objects::bars(image, stated, metal).map(|b| format!("{} {}", b.why, b.remedy));
        }
        self
    }

    /// The fits of the metal that is spoken of. Of marks that silver and gold share, those of silver
    /// stand first: so they were struck on nearly all that bears them.
    pub fn spoken_of(&self) -> impl Iterator<Item = &Fit> {
        let all = match self.misread {
            0 => &self.reading.fits,
            _ => &self.reading.nears,
        };
        let few = |f: &&Fit| f.clashes.len() == self.misread && easily(f);
        all.iter().filter(|f| Some(f.metal) == self.metal).filter(few)
    }

    /// Marks of plate or of an alloy that deny nothing, each with what it is.
    pub fn beside(&self) -> impl Iterator<Item = String> {
        let plate = [LookalikeKind::Plate, LookalikeKind::Alloy].map(reading::kind_word);
        let reading = &self.reading;
        let met = reading.lookalikes.iter().filter(move |l| plate.contains(&l.kind));
        let by = met.flat_map(move |l| {
            let seen = l.sightings.iter().map(move |i| &reading.sightings[*i]);
            seen.map(move |s| (l, s))
        });
        by.filter(|(_, s)| s.kind == Kind::Lookalike).map(|(l, s)| {
            format!("\"{}\" stands there too: {}. Look for more of the kind.", s.text, l.what)
        })
    }

    /// What words were taken for, where they were not plain.
    pub fn guesses(&self) -> impl Iterator<Item = String> {
        let remarks = self.reading.remarks.iter();
        let guessed = remarks.filter(|r| r.remark == RemarkKind::Guessed);
        guessed.filter_map(|r| {
            let taken = r.nearest.as_ref()?;
            Some(format!("\"{}\" was taken for {taken}.", r.text))
        })
    }

    /// What else the marks would fit, and which mark would show it; None where it is one metal alone.
    pub fn other_metals(&self) -> Option<String> {
        let metal = self.metal.filter(|_| !self.also.is_empty())?;
        let names: Vec<String> = self.also.iter().map(|o| o.metal.to_string()).collect();
        let first = match self.spoken_of().next().filter(|_| self.misread > 0) {
            Some(f) => {
                let read = |c: &Misreading| format!("the {} for the {}", c.saw, c.would_be);
                let read: Vec<String> = f.clashes.iter().map(read).collect();
                format!(
                    "As described the marks fit {} alone, but none of them is {}'s own; {metal} is \
                     taken, with {} misread.",
                    and(&names),
                    names[0],
                    and(&read),
                )
            }
            None => format!("Such marks stood on {} too; {metal} is taken.", and(&names)),
        };
        let shown: Vec<String> = self
            .also
            .iter()
            .filter(|o| !o.shown_by.is_empty())
            .map(|o| format!("{} by {}", o.metal, either(o.shown_by.clone())))
            .collect();
        Some(match shown.is_empty() {
            true => format!("{first} No other mark would tell them apart; an assay office can."),
            false => format!("{first} Another mark would show it: {}.", shown.join("; ")),
        })
    }
}

/// Is all that clashes easily misread?
fn easily(f: &Fit) -> bool {
    f.clashes.iter().all(|c| c.easy)
}

/// The metals of the fits beside the one that is spoken of.
fn others(d: &Decided, spoken: Option<&str>) -> Vec<Other> {
    let n = &d.narrow;
    let row = |g: &Group| g.best.row as usize;
    let metal = |row: usize| export::metal(n.metal(n.image.row(row)));
    // What these bear tells nothing: gold kept the lion while silver had Britannia.
    let of_spoken: Vec<usize> =
        d.fits.iter().map(row).filter(|r| Some(metal(*r)) == spoken).collect();
    let mut out: Vec<Other> = Vec::new();
    for row in d.fits.iter().map(row) {
        let metal = metal(row);
        if Some(metal) == spoken {
            continue;
        }
        let at = out.iter().position(|o| o.metal == metal);
        let at = at.unwrap_or_else(|| {
            let shown_by = Vec::new();
            out.push(Other { metal, shown_by });
            out.len() - 1
        });
        let marks = &mut out[at].shown_by;
        for name in n.own_marks(row, &of_spoken) {
            if marks.len() < MARKS_NAMED && !marks.iter().any(|m| m == name) {
                marks.push(name.to_string());
            }
        }
    }
    out
}

/// Why the marks do not bear out a metal; None if they do.
fn refusal(
    image: &Image,
    seen: &Sightings,
    d: &Decided,
    reading: &Reading,
    warnings: &[WarningMet],
) -> Option<Refusal> {
    let absent = |s: &Sighting| s.kind(image) == Kind::Absence;
    if seen.sightings.iter().all(absent) {
        let unread = |r: &said::Remark| r.remark == RemarkKind::NotUnderstood;
        let none = seen.called_copy || !seen.sightings.is_empty();
        let lack = match none && !seen.remarks.iter().any(unread) {
            true => Lack::Unmarked,
            false => Lack::Unread,
        };
        return lacking(lack, "No mark was recognised.");
    }
    if !reading.parts.is_empty() {
        return against(
            "Several sets of marks were described together, and no year fits them all; give each as a set of its own.",
        );
    }
    if d.outcome != Outcome::Fits {
        return match d.outside_because {
            Some(OutsideBecause::OfficeClosed) => {
                against("That office was not open in those years.")
            }
            Some(_) => match reading.lookalikes.first() {
                Some(l) => lacking(
                    Lack::Other,
                    format!("{} tells of no standard: {}.", quoted(reading, &l.sightings), l.what),
                ),
                None => lacking(Lack::Other, "Nothing described tells of a standard."),
            },
            None => match &reading.conflict_why {
                Some(why) => against(why.clone()),
                None => against("No year fits all the marks described."),
            },
        };
    }
    if seen.called_false {
        return against("The marks are said to be false.");
    }
    if let Some(w) = warnings.iter().find(|w| w.unsettles) {
        return against(w.reason.clone());
    }
    let said = |kinds: &[Kind]| {
        let of = |s: &Sighting| kinds.contains(&s.kind(image));
        seen.sightings.iter().any(of)
    };
    let office = said(&[Kind::Town, Kind::Import, Kind::Convention]);
    let more = said(&[Kind::Letter, Kind::Duty]);
    // A figure or a word alone is struck by anybody, and one that is doubted shows no metal.
    let standard = said(&[Kind::Standard]);
    let figure = |s: &Sighting| s.kind(image) == Kind::Fineness && !s.doubt;
    let fineness = standard || seen.sightings.iter().any(figure);
    if !(office && (fineness || more) || standard && more) {
        return lacking(
            Lack::Partly,
            "Too little was described: a standard shows by its mark beside an office's mark, a date letter or a duty mark.",
        );
    }
    let metal = |g: &Group| image.standard(image.row(g.best.row as usize).standard()).metal();
    if d.metal_not_shown && d.silver_misread.is_none() {
        return lacking(
            Lack::Partly,
            format!("No mark was described that {} alone bore.", export::metal(metal(&d.fits[0]))),
        );
    }
    let first = metal(&d.fits[0]);
    if !fineness && d.fits.iter().any(|g| metal(g) != first) {
        return lacking(
            Lack::Partly,
            "No standard mark was described, and what was described stood on more than one metal.",
        );
    }
    None
}

fn quoted(reading: &Reading, sightings: &[usize]) -> String {
    let words: Vec<String> =
        sightings.iter().map(|i| format!("\"{}\"", reading.sightings[*i].text)).collect();
    if words.is_empty() { "What was described".into() } else { words.join(" ") }
}

/// Office and year in the words of a sale, with their doubt.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ascribed {
    /// The office, where it is one.
    pub office: Option<String>,
    /// The whole phrase: "Birmingham 1803/04", "Birmingham, probably 1803/04"; empty where neither
    /// office nor year is settled.
    pub phrase: String,
    /// The phrase without its office, where it can go on from another of the same office.
    pub year: Option<String>,
    /// What is to be added in a fuller description, a sentence without its point.
    pub doubt: Option<String>,
}

/// Marks that would show another metal, named of each.
const MARKS_NAMED: usize = 3;
/// Offices and years named side by side before the rest is only spanned.
const SIDE_BY_SIDE: usize = 3;

pub(crate) fn ascribed(b: &Borne) -> Ascribed {
    let mut all: Vec<&Fit> = Vec::new();
    for f in b.spoken_of() {
        let same = |g: &&Fit| (&g.office, &g.shown) == (&f.office, &f.shown);
        if !all.iter().any(same) {
            all.push(f);
        }
    }
    let likely = least(&all, |f| (f.unread, f.strain));
    let nameable =
        |list: &[&Fit]| list.len() <= SIDE_BY_SIDE && list.iter().all(|f| f.year.is_some());
    // Where too many are left to be named, those whose marks were all described stand before the
    // others, in doubt.
    let whole = least(&likely, |f| f.undescribed);
    let (mut best, in_doubt) = match !nameable(&likely) && nameable(&whole) {
        true => (whole, true),
        false => (likely, false),
    };
    best.sort_by_key(|f| f.from);
    let rest: Vec<&Fit> =
        all.iter().copied().filter(|f| !best.iter().any(|g| std::ptr::eq(*f, *g))).collect();
    let Some(first) = best.first().copied() else {
        return Ascribed::default();
    };
    // Any letter would do in a year whose letter is not known, so that the one read names none.
    if first.unread {
        let one_office = best.iter().all(|f| f.office == first.office);
        return Ascribed {
            phrase: match one_office {
                true => first.office_name.clone(),
                false => String::new(),
            },
            doubt: Some("The letter described is none that is known of that time".into()),
            ..Ascribed::default()
        };
    }
    let strained = first.strain > 0;
    let weak = first.confidence == export::confidence(Confidence::Low) && first.year.is_some();
    let probable = in_doubt || best.len() == 1 && (!rest.is_empty() || strained || weak);
    let doubt = match (probable, rest.as_slice()) {
        (true, []) if strained => Some(
            "The year is probable only: a mark is worn, doubtful or not as it should be".into(),
        ),
        (true, []) => {
            Some("The year is probable only: the record of its letter is doubtful".into())
        }
        (true, rest) => Some(format!("The marks could also be read as {}", named(rest))),
        (false, []) => None,
        (false, rest) => Some(format!("Less probably the marks could be read as {}", named(rest))),
    };
    let probably = if probable { "probably " } else { "" };
    let one_office = best.iter().all(|f| f.office == first.office);
    let year = if nameable(&best) {
        either(best.iter().map(|f| f.shown.clone()).collect())
    } else {
        between(&best)
    };
    if !one_office {
        if !nameable(&best) {
            return Ascribed {
                doubt: Some("The marks described do not settle office and year".into()),
                ..Ascribed::default()
            };
        }
        let list = best.iter().map(|f| format!("{} {}", f.office_name, f.shown));
        return Ascribed {
            phrase: format!("{probably}{}", either(list.collect())),
            doubt,
            ..Ascribed::default()
        };
    }
    let office = first.office_name.clone();
    // An office as doubtful as its year cannot be taken on by what follows.
    let sure = rest.iter().all(|f| f.office == first.office);
    let plain = best.len() == 1 && first.year.is_some();
    Ascribed {
        phrase: match (probable, sure) {
            (true, false) => format!("probably {office} {year}"),
            (true, true) => format!("{office}, probably {year}"),
            (false, _) if plain => format!("{office} {year}"),
            (false, _) => format!("{office}, {year}"),
        },
        office: sure.then_some(office),
        year: sure.then(|| format!("{probably}{year}")),
        doubt,
    }
}

/// Those of the list of which this is least.
fn least<'f, K: Ord>(list: &[&'f Fit], key: impl Fn(&Fit) -> K) -> Vec<&'f Fit> {
    let Some(least) = list.iter().map(|f| key(f)).min() else {
        return Vec::new();
    };
    list.iter().copied().filter(|f| key(f) == least).collect()
}

/// "a, b and c".
pub(crate) fn and(parts: &[String]) -> String {
    match parts {
        [all @ .., last] if !all.is_empty() => format!("{} and {last}", all.join(", ")),
        _ => parts.concat(),
    }
}

/// "a, b or c".
pub(crate) fn either(mut list: Vec<String>) -> String {
    let last = list.pop().unwrap_or_default();
    if list.is_empty() { last } else { format!("{} or {last}", list.join(", ")) }
}

/// "between the first and the last", of one office.
fn between(list: &[&Fit]) -> String {
    let ends = |f: &Fit| -> (String, String) {
        match f.shown.split_once(" to ") {
            Some((first, last)) => (first.into(), last.into()),
            None => (f.shown.clone(), f.shown.clone()),
        }
    };
    let first = list.iter().min_by_key(|f| f.from).map(|f| ends(f).0);
    let last = list.iter().max_by_key(|f| f.to).map(|f| ends(f).1);
    match (first, last) {
        (Some(a), Some(b)) if a == b => a,
        (Some(a), Some(b)) => format!("between {a} and {b}"),
        _ => String::new(),
    }
}

/// The first few by name, and how many more.
fn named(list: &[&Fit]) -> String {
    let names = list.iter().take(SIDE_BY_SIDE);
    let names: Vec<String> = names.map(|f| format!("{} {}", f.office_name, f.shown)).collect();
    match list.len() - names.len() {
        0 => either(names),
        1 => format!("{} or one other", names.join(", ")),
        n => format!("{} or {n} others", names.join(", ")),
    }
}
