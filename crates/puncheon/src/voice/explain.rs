//! Sentences: how each sighting bears on an entry, and which facts it met.

use puncheon_schema::entry::{Basis, Case, Confidence, Slot};
use puncheon_schema::export;
use puncheon_schema::image::{Bits, Image, LetterView, MarkView, Meets, Meta, RowView};

use crate::engine::fit::evidence::{Evidence, Feature};
use crate::engine::fit::narrow::Narrow;
use crate::json::reading::{Bearing, Kind, LetterStruck, Misreading};
use crate::lexis::sighting::{LetterSeen, Sighting, What};
use crate::lexis::steps;
use crate::voice::sighting;

/// Offices that are named as those of a mark.
const MOST_OWNERS: usize = 3;

/// How all sightings bear on one row.
#[derive(Default)]
pub(crate) struct Bearings {
    pub agrees: Vec<Bearing>,
    pub silent: Vec<Bearing>,
    pub strains: Vec<Bearing>,
    pub clashes: Vec<Misreading>,
}

pub(crate) fn bearings(n: &Narrow, row: usize) -> Bearings {
    let mut out = Bearings::default();
    let view = n.image.row(row);
    for (i, s) in n.sightings.iter().enumerate() {
        if !n.evidence.iter().any(|e| e.sighting == i) {
            let why = match &s.what {
                What::Letter(_) => "a date letter, not read".to_string(),
                What::Absent(_) => "nothing known speaks for or against it".to_string(),
                _ => "says nothing of office or year here".to_string(),
            };
            out.silent.push(Bearing { sighting: Some(i), why: sentence(why) });
            continue;
        }
        let (mut agrees, mut strains, mut silent): (Vec<String>, Vec<String>, Vec<String>) =
            Default::default();
        for e in n.evidence.iter().filter(|e| e.sighting == i) {
            if e.allowed(row / 64) >> (row % 64) & 1 == 0 {
                out.clashes.push(misreading(n, view, row, e));
            } else if e.strain_of(row) > 0 {
                strains.push(strained(n, view, s, e));
            } else if says_nothing(n.image, view, s, e) {
                silent.push(unknown(e));
            } else {
                agrees.push(agreed(n, view, s, e));
            }
        }
        agrees.retain(|a| !a.is_empty());
        let bearing =
            |why: Vec<String>| Bearing { sighting: Some(i), why: sentence(why.join("; ")) };
        if !strains.is_empty() {
            out.strains.push(bearing(strains));
        } else if !agrees.is_empty() {
            agrees.extend(silent);
            out.agrees.push(bearing(agrees));
        } else if !silent.is_empty() {
            out.silent.push(bearing(silent));
        }
    }
    for name in n.missing(row) {
        out.strains.push(Bearing {
            sighting: None,
            why: sentence(format!("the {name} is due and was not described")),
        });
    }
    if n.image.rival_bits().has(row) {
        out.strains.push(Bearing {
            sighting: None,
            why: sentence(format!("sources differ on the letter of {}", years(view))),
        });
    }
    out
}

/// With a capital and a point.
pub(crate) fn sentence(mut s: String) -> String {
    if let Some(first) = s.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    if !s.is_empty() {
        s.push('.');
    }
    s
}

/// A letter year as the trade writes it: one of the letter's, or several.
pub(crate) fn shown(letter: LetterView, year: i32, to: i32) -> String {
    if letter.calendar_year() {
        return if to > year { format!("{year} to {to}") } else { year.to_string() };
    }
    // A letter that was carried on may have ended with a December, when years came to begin in January.
    let carried = to > letter.year() && to == letter.to();
    match to {
        _ if !(carried && letter.ends() == to * 10_000 + 12_31) => {
            format!("{year}/{:02}", (to + 1) % 100)
        }
        _ if to == year => year.to_string(),
        _ => format!("{year}/{:02}", to % 100),
    }
}

/// The letter of an office in a year: the year's own, or the first after it.
pub(crate) fn letter_of(image: &Image, office: usize, year: i32) -> Option<LetterView<'_>> {
    let rows = image.office(office).rows();
    let letter = |row: usize| image.row(row).letter();
    // Rows stand in order of letter year.
    let (mut from, mut to) = (rows.start, rows.end);
    while from < to {
        let middle = from.midpoint(to);
        if letter(middle).to() < year {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    (from < rows.end).then(|| letter(from))
}

/// A letter year as its office wrote it.
pub(crate) fn shown_year(image: &Image, office: usize, year: i32) -> String {
    letter_of(image, office, year).map_or(year.to_string(), |l| shown(l, year, year))
}

/// Letter years from the first to the last, each as its office wrote it.
pub(crate) fn shown_span(image: &Image, office: usize, from: i32, to: i32) -> String {
    let first = shown_year(image, office, from);
    if from == to { first } else { format!("{first} to {}", shown_year(image, office, to)) }
}

/// "An office's letters run from 1687 to 1962/63".
pub(crate) fn letters_run(image: &Image, office: usize) -> String {
    let view = image.office(office);
    let (first, last) = view.years();
    let until = match view.open() {
        true => "on".to_string(),
        false => format!("to {}", shown_year(image, office, last)),
    };
    format!("{}'s letters run from {first} {until}", view.name())
}

fn years(view: RowView) -> String {
    let l = view.letter();
    shown(l, l.year(), l.to())
}

/// Is the table silent on the feature?
fn says_nothing(image: &Image, view: RowView, s: &Sighting, e: &Evidence) -> bool {
    let l = view.letter();
    match (e.feature, &s.what) {
        (Feature::Letter, _) => l.value().is_none(),
        (Feature::Case, _) => {
            l.value().is_none()
                || l.case() == Case::Either
                || l.lettering().is_some_and(|n| image.lettering(n).caseless())
        }
        (Feature::Lettering, _) => l.value().is_none() || l.lettering().is_none(),
        (Feature::Outline, _) => l.outline(image.standard(view.standard()).metal()).is_none(),
        _ => false,
    }
}

fn unknown(e: &Evidence) -> String {
    match e.feature {
        Feature::Letter => "the letter of this year is not known".into(),
        Feature::Case => "nothing is known of its case here".into(),
        Feature::Lettering => "the lettering of this year is not known".into(),
        Feature::Outline => "the outline is not known".into(),
        Feature::Mark => "nothing is known of it here".into(),
    }
}

/// The mark of a row that meets a sighting best.
pub(crate) fn met<'a>(image: &'a Image, view: RowView<'a>, what: &What) -> Option<MarkView<'a>> {
    let rank = |m: &MarkView| match what {
        What::Device(d) => d
            .iter()
            .map(|d| match image.relation(*d as usize, m.device()) {
                Meets::Agree => 0,
                Meets::Strain => 1,
                Meets::Misread => 2,
                Meets::Clash => 3,
            })
            .min()
            .unwrap_or(3),
        What::Slot(s) if *s == m.slot() => 0,
        What::Standard(_) if m.slot() == Slot::Standard => 0,
        What::Town(_) if m.slot() == Slot::Town => 0,
        _ => 3,
    };
    view.marks()
        .map(|m| (rank(&m), m))
        .filter(|(r, _)| *r < 3)
        // Of marks no nearer, a doubtful one is what a contrary word strains against.
        .min_by_key(|(r, m)| match r {
            2 => (*r, m.confidence() != Confidence::Low, m.confidence()),
            _ => (*r, false, m.confidence()),
        })
        .map(|(_, m)| m)
}

fn agreed(n: &Narrow, view: RowView, s: &Sighting, e: &Evidence) -> String {
    let image = n.image;
    match &s.what {
        What::Letter(l) => match e.feature {
            Feature::Letter => letter_sentence(image, view),
            // The sentence of the letter says its case and lettering already.
            Feature::Case | Feature::Lettering if !l.values.is_empty() => String::new(),
            Feature::Outline => {
                let outline = view.letter().outline(image.standard(view.standard()).metal());
                let name = outline.map_or("", |o| image.outline_name(o));
                format!("in {}", with_article(name))
            }
            _ => letter_sentence(image, view),
        },
        What::Absent(w) => format!("no {} is due here", sighting::what(image, w)),
        What::Town(o) => format!("mark of {}", image.office(*o as usize).name()),
        What::Standard(st) => standard_sentence(image, *st as usize),
        what => met(image, view, what).map_or_else(String::new, |m| told(n, view, m)),
    }
}

/// [`mark_sentence`], made once for each mark and office.
fn told(n: &Narrow, view: RowView, m: MarkView) -> String {
    let office = view.letter().office();
    let mut told = n.told.borrow_mut();
    if let Some((.., s)) = told.iter().find(|(mark, at, _)| (*mark, *at) == (m.i, office)) {
        return s.clone();
    }
    let s = mark_sentence(n.image, view, m);
    told.push((m.i, office, s.clone()));
    s
}

/// What a struck mark is, in the trade's words.
pub(crate) fn mark_sentence(image: &Image, view: RowView, m: MarkView) -> String {
    let office = image.office(view.letter().office()).name();
    let device = image.device(m.device()).name();
    let doubt = if m.confidence() == Confidence::Low { ", by a doubtful table" } else { "" };
    let span = || match m.span() {
        (from, "") => format!("from {}", date_in_words(from)),
        (from, to) if from == to => format!("in {}", date_in_words(from)),
        (from, to) => format!("{} to {}", date_in_words(from), date_in_words(to)),
    };
    match m.slot() {
        Slot::Town => format!("town mark of {office}{doubt}"),
        Slot::Standard => format!("{}{doubt}", standard_sentence(image, view.standard())),
        Slot::Extra => format!("{device}, struck at {office} {}{doubt}", span()),
        Slot::Duty => format!("duty paid: {device}, {}{doubt}", span()),
        Slot::Import => format!("import mark: {device}, {}{doubt}", span()),
        Slot::Convention => format!("common control mark, {}{doubt}", span()),
        Slot::Commemorative => format!("{device}, struck by choice{doubt}"),
        Slot::Assayer => format!("assay master's mark of {office}, {}{doubt}", span()),
        Slot::Joined => format!("{device}, {}{doubt}", span()),
        Slot::Special => format!("{device}, {}{doubt}", span()),
    }
}

fn standard_sentence(image: &Image, standard: usize) -> String {
    let st = image.standard(standard);
    match st.parts() {
        Some(p) => format!("{}, {p} parts in 1000", st.name()),
        None => st.name().to_string(),
    }
}

/// "f, small roman: 1803/04".
pub(crate) fn letter_sentence(image: &Image, view: RowView) -> String {
    let l = view.letter();
    let doubt = match l.confidence() {
        Confidence::Low => ", by a doubtful table",
        Confidence::Medium if l.basis() == Basis::Memory => ", by memory of the handbooks",
        _ => "",
    };
    let days = match (l.begins(), l.ends()) {
        (0, _) | (_, 0) => years(view),
        (a, b) => format!("{} to {}", long_day(a), long_day(b)),
    };
    format!("the letter {}: {days}{doubt}", letter_words(image, view))
}

/// "f, small roman".
pub(crate) fn letter_words(image: &Image, view: RowView) -> String {
    let (struck, style) = (view.letter().struck(), style_of(image, view));
    if style.is_empty() { struck.to_string() } else { format!("{struck}, {style}") }
}

/// The date letter of a row, as an answer gives it.
pub(crate) fn letter_struck(image: &Image, view: RowView) -> LetterStruck {
    let letter = view.letter();
    let metal = image.standard(view.standard()).metal();
    LetterStruck {
        struck: Some(letter.struck().to_string()).filter(|s| !s.is_empty()),
        lettering: letter.lettering().map(|l| image.lettering(l).id().to_string()),
        case: case_word(letter.case()),
        outline: letter.outline(metal).map(|o| image.outline_id(o).to_string()),
    }
}

/// The word of an answer for a case; None where it varies or is not known.
pub(crate) fn case_word(case: Case) -> Option<&'static str> {
    match case {
        Case::Upper => Some("upper"),
        Case::Lower => Some("lower"),
        Case::Either => None,
    }
}

/// "small roman", as far as the table knows.
pub(crate) fn style_of(image: &Image, view: RowView) -> String {
    style_of_letter(image, view.letter())
}

/// The same of a letter by itself.
pub(crate) fn style_of_letter(image: &Image, l: LetterView) -> String {
    let caseless = l.lettering().is_some_and(|n| image.lettering(n).caseless());
    let case = match l.case() {
        Case::Upper if !caseless => Some("capital"),
        Case::Lower if !caseless => Some("small"),
        _ => None,
    };
    let words = [case, l.lettering().map(|n| image.lettering(n).name())];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A date as the tables and answers write it, in words: "1822", "May 1786", "1 December 1784".
pub fn date_in_words(written: &str) -> String {
    let number = |s: &str| s.parse::<i32>().unwrap_or(0);
    let mut parts = written.splitn(3, '-');
    match (parts.next(), parts.next(), parts.next()) {
        (Some(y), Some(m), Some(d)) => long_day(number(y) * 10_000 + number(m) * 100 + number(d)),
        (Some(y), Some(m), None) => {
            format!("{} {y}", MONTHS[(number(m).clamp(1, 12) - 1) as usize])
        }
        _ => written.to_string(),
    }
}

/// A day in words.
pub(crate) fn long_day(number: i32) -> String {
    let month = MONTHS[(number / 100 % 100).clamp(1, 12) as usize - 1];
    format!("{} {month} {}", number % 100, number / 10_000)
}

fn strained(n: &Narrow, view: RowView, s: &Sighting, e: &Evidence) -> String {
    let image = n.image;
    let l = view.letter();
    match (e.feature, &s.what) {
        (Feature::Letter, What::Letter(_)) => {
            format!("worn or doubtful: the letter of {} is {}", years(view), l.struck())
        }
        (Feature::Case, _) => {
            format!("the table gives {} here, but is not sure of its case", style_of(image, view))
        }
        (Feature::Lettering, _) if s_doubts_lettering(s) => {
            format!("doubtful: {} was {}", years(view), style_of(image, view))
        }
        (Feature::Lettering, _) => format!(
            "{} was {}, which is close, or not surely known",
            years(view),
            style_of(image, view)
        ),
        (Feature::Outline, _) => {
            let outline = l.outline(image.standard(view.standard()).metal());
            let name = outline.map_or("different outline", |o| image.outline_name(o));
            format!("the table gives {}; punches vary", with_article(name))
        }
        (_, What::Absent(w)) => {
            format!("{} is due here; small articles and wear excuse it", sighting::what(image, w))
        }
        (_, what) => match met(image, view, what) {
            Some(m) => format!("would have to be {}", struck_as(image, m)),
            None => format!("no such mark stood in {}; it would have to be misread", years(view)),
        },
    }
}

fn s_doubts_lettering(s: &Sighting) -> bool {
    matches!(&s.what, What::Letter(LetterSeen { lettering_doubt: true, .. }))
}

/// "the leopard's head without a crown".
fn struck_as(image: &Image, m: MarkView) -> String {
    format!("the {}", image.device(m.device()).name())
}

fn misreading(n: &Narrow, view: RowView, row: usize, e: &Evidence) -> Misreading {
    let image = n.image;
    let s = &n.sightings[e.sighting];
    let l = view.letter();
    let nothing = || format!("not there at {} in {}", image.office(l.office()).name(), years(view));
    let saw = match (&s.what, e.feature) {
        (What::Letter(seen), Feature::Case) => match seen.case {
            Some(Case::Upper) => "capital".to_string(),
            _ => "small".to_string(),
        },
        (What::Letter(seen), Feature::Lettering) => {
            seen.lettering.map_or(String::new(), |n| image.lettering(n as usize).name().to_string())
        }
        (What::Letter(seen), Feature::Letter) => {
            seen.values.iter().map(|v| v.shown.clone()).collect::<Vec<_>>().join(" or ")
        }
        (what, _) => sighting::what(image, what),
    };
    let would_be = match e.feature {
        Feature::Letter => l.struck().to_string(),
        Feature::Case => match l.case() {
            Case::Upper => "capital".into(),
            _ => "small".into(),
        },
        Feature::Lettering => l
            .lettering()
            .map_or_else(|| "another lettering".into(), |n| image.lettering(n).name().to_string()),
        Feature::Outline => "another outline".into(),
        Feature::Mark => match &s.what {
            What::Town(_) => format!("mark of {}", image.office(l.office()).name()),
            What::Standard(_) => image.standard(view.standard()).name().to_string(),
            what => match met(image, view, what) {
                Some(m) => image.device(m.device()).name().to_string(),
                None => in_its_place(image, view, s).unwrap_or_else(nothing),
            },
        },
    };
    Misreading {
        sighting: Some(e.sighting),
        saw,
        would_be,
        easy: e.misread(row / 64) >> (row % 64) & 1 == 1,
    }
}

/// What stands in the row where the sighting's sort of mark would.
fn in_its_place(image: &Image, view: RowView, s: &Sighting) -> Option<String> {
    let kind = s.kind(image);
    let slot = match kind {
        Kind::Town => Slot::Town,
        Kind::Standard | Kind::Fineness => Slot::Standard,
        Kind::Duty => Slot::Duty,
        Kind::Import => Slot::Import,
        _ => return None,
    };
    view.marks().find(|m| m.slot() == slot).map(|m| image.device(m.device()).name().to_string())
}

/// Sources of a row's answer: its letter's, then those of the marks that were met.
pub(crate) fn sources(n: &Narrow, row: usize) -> Vec<String> {
    let view = n.image.row(row);
    let mut out: Vec<String> = view.letter().cites().map(str::to_string).collect();
    for s in n.sightings {
        if let What::Device(_) | What::Slot(_) = s.what
            && let Some(m) = met(n.image, view, &s.what)
        {
            for c in m.cites() {
                if !out.iter().any(|o| o == c) {
                    out.push(c.to_string());
                }
            }
        }
    }
    out
}

/// Why two sightings never stand together, a sentence.
pub(crate) fn apart(n: &Narrow, pair: [usize; 2], asked: &str) -> String {
    let [a, b] = pair.map(|i| {
        let s = &n.sightings[i];
        let words = asked[s.quoted(asked)].trim();
        match owners(n.image, s).as_slice() {
            [] => {
                let name = sighting::reads_as(n.image, s);
                let name = match &s.what {
                    What::Letter(_) => format!("the letter {name}"),
                    _ => with_article(&name),
                };
                format!("\"{words}\" is {name}")
            }
            offices => format!("\"{words}\" is the mark of {}", offices.join(" or ")),
        }
    });
    let why = match n.free {
        true => "they never stood together",
        false => "no year within the bounds asked for has both",
    };
    format!("{a} and {b}: {why}.")
}

/// "an anchor", "a lion passant", "the figure 18"; letters that are a mark stand alone, and so do
/// pictures of several things, "crossed arrows".
pub(crate) fn with_article(name: &str) -> String {
    let several = name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("is");
    match name.chars().next() {
        _ if several => name.to_string(),
        Some(c) if "aeiouAEIOU".contains(c) => format!("an {name}"),
        Some(c) if c.is_alphabetic() && name.len() > 3 => format!("a {name}"),
        Some(c) if c.is_ascii_digit() || c == '.' => format!("the figure {name}"),
        _ => name.to_string(),
    }
}

/// The offices whose own mark a sighting is, if they are few.
fn owners<'a>(image: &'a Image, s: &Sighting) -> Vec<&'a str> {
    let What::Device(devices) = &s.what else {
        return Vec::new();
    };
    if s.kind(image) != Kind::Town {
        return Vec::new();
    }
    let own = |view: RowView| {
        met(image, view, &s.what).is_some_and(|m| {
            let covers = |d: &u32| image.covers(*d as usize, m.device());
            m.slot() == Slot::Town && devices.iter().any(covers)
        })
    };
    // Only rows that agree with the mark can have it for their office's. Of these the first of an office
    // is enough, and of those with one set of marks any.
    let agree: Vec<Bits> = devices.iter().map(|d| image.device_bits(*d as usize, 0)).collect();
    let mut others = vec![false; image.meta(Meta::Sets)];
    let mut offices = Vec::new();
    let mut from = 0;
    while let Some(row) = agree.iter().filter_map(|bits| bits.next(from)).min() {
        steps::take(1);
        let view = image.row(row);
        from = row + 1;
        let other = &mut others[view.set()];
        if *other || !own(view) {
            *other = true;
            continue;
        }
        offices.push(view.letter().office());
        from = from.max(image.office(view.letter().office()).rows().end);
    }
    if offices.len() > MOST_OWNERS {
        return Vec::new();
    }
    offices.sort_unstable();
    let name = |o: &usize| image.office(*o).name();
    offices.iter().map(name).collect()
}

/// One line of the proof of a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// The words of the sighting.
    pub text: String,
    /// agrees, silent, strains or clashes.
    pub relation: &'static str,
    /// The feature, where a sighting states several: letter, case, lettering, outline.
    pub feature: &'static str,
    /// A sentence.
    pub why: String,
    /// The fact met: the entry's id and span, or the cycle.
    pub fact: String,
    /// published, memory or both.
    pub basis: &'static str,
    /// high, medium or low.
    pub confidence: &'static str,
    /// Sources with their pages.
    pub sources: Vec<String>,
}

/// Every sighting against one row, with the facts it met.
pub(crate) fn proofs(n: &Narrow, row: usize, asked: &str) -> Vec<Proof> {
    let image = n.image;
    let view = image.row(row);
    let l = view.letter();
    let mut out = Vec::new();
    for e in &n.evidence {
        let s = &n.sightings[e.sighting];
        let (relation, why) = if e.allowed(row / 64) >> (row % 64) & 1 == 0 {
            let m = misreading(n, view, row, e);
            ("clashes", format!("saw {}, would be {}", m.saw, m.would_be))
        } else if e.strain_of(row) > 0 {
            ("strains", strained(n, view, s, e))
        } else if says_nothing(image, view, s, e) {
            ("silent", unknown(e))
        } else {
            let why = agreed(n, view, s, e);
            ("agrees", if why.is_empty() { style_of(image, view) } else { why })
        };
        let mark = if matches!(s.what, What::Letter(_)) { None } else { met(image, view, &s.what) };
        let (fact, basis, confidence, sources) = match mark {
            Some(m) => {
                let (from, to) = m.span();
                let to = if to.is_empty() { "now" } else { to };
                (
                    format!("{} ({from} to {to}), {}", m.id(), m.file()),
                    m.basis(),
                    m.confidence(),
                    m.cites().map(str::to_string).collect(),
                )
            }
            None if matches!(s.what, What::Letter(_)) => {
                let confidence = match e.feature {
                    Feature::Case => l.case_confidence(),
                    Feature::Lettering => l.lettering_confidence(),
                    _ => l.confidence(),
                };
                (
                    format!("cycle {}", l.cycle()),
                    l.basis(),
                    confidence,
                    l.cites().map(str::to_string).collect(),
                )
            }
            None => {
                let o = image.office(l.office());
                (format!("office {}", o.id()), l.basis(), l.confidence(), Vec::new())
            }
        };
        out.push(Proof {
            text: asked[s.quoted(asked)].to_string(),
            relation,
            feature: e.feature.name(),
            why,
            fact,
            basis: export::basis(basis),
            confidence: export::confidence(confidence),
            sources,
        });
    }
    out
}
