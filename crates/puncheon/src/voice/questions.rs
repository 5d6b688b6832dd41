//! What is left and what is asked next, in words.

use puncheon_schema::entry::Case;
use puncheon_schema::image::Image;

use crate::engine::fit::narrow::{Group, Narrow};
use crate::engine::questions::answer::Answer;
use crate::engine::questions::candidate::Counts;
use crate::engine::questions::choose::Question;
use crate::engine::questions::feature::{Feature, Said};
use crate::engine::questions::settle::Settling;
use crate::json::questions::{self, LookNext, Settles, YearsLeft};
use crate::lexis::said::Kind;
use crate::lexis::sighting::What;
use crate::voice::letters::shown;
use crate::voice::sentence::with_article;
use crate::voice::sighting::{reads_as, slot_name};

/// The most features that a reading names.
const MOST_FEATURES: usize = 3;

/// How many years are left, and how many more fit if a mark is worn or loosely said.
pub fn years_left(left: &YearsLeft) -> String {
    let years = match left.years {
        1 => "1 year left".to_string(),
        n => format!("{n} years left"),
    };
    let offices = match left.offices {
        0 | 1 => String::new(),
        n => format!(" in {n} offices"),
    };
    format!("{years}{offices}{}", more_left(left).map_or(String::new(), |m| format!(", {m}")))
}

/// How many more fit, and on what condition; none where no more do.
pub fn more_left(left: &YearsLeft) -> Option<String> {
    let why = match (left.more - left.unread, left.unread) {
        (0, 0) => return None,
        (_, 0) => "if a mark is worn or loosely said",
        (0, _) => "whose letter is not known",
        _ => "if a mark is worn or loosely said, or where the letter is not known",
    };
    Some(format!("{} more {why}", left.more))
}

/// The counts as JSON prints them.
pub(crate) fn counted(counts: &Counts) -> YearsLeft {
    YearsLeft {
        years: counts.years,
        more: counts.more,
        unread: counts.unread,
        offices: counts.offices,
        span: counts.span,
    }
}

/// A feature's name.
fn feature_name(feature: Feature) -> &'static str {
    match feature {
        Feature::Letter => "date letter",
        Feature::Style => "style of the letter",
        Feature::Outline => "outline of the letter",
        Feature::Mark(slot) => slot_name(slot),
        Feature::Beside => "second town mark",
    }
}

/// What is found, where the feature is known that was looked at.
pub(crate) fn found(image: &Image, feature: Feature, answer: Answer) -> String {
    match (answer, feature) {
        (Answer::Letter(v), _) => image.value(v).to_string(),
        (Answer::Style(case, lettering), _) => {
            let lettering = image.lettering(lettering).name();
            match case {
                Case::Upper => format!("capital {lettering}"),
                Case::Lower => format!("small {lettering}"),
                Case::Either => lettering.to_string(),
            }
        }
        (Answer::Outline(o), _) => image.outline_name(o).to_string(),
        (Answer::Device(d), _) => image.device(d).name().to_string(),
        (Answer::Missing, Feature::Beside) => "no other town mark".into(),
        (Answer::Missing, _) => format!("no {}", feature_name(feature)),
    }
}

/// What is found as it stands behind the number of an answer, from which a figure is told apart.
pub(crate) fn numbered(image: &Image, feature: Feature, answer: Answer) -> String {
    let found = found(image, feature, answer);
    match found.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        true => format!("figure {found}"),
        false => found,
    }
}

/// The words that describe what is found. `letter` is the letter whose style or outline it is.
pub(crate) fn described(image: &Image, q: &Question, answer: Answer, letter: &str) -> String {
    let found = found(image, q.feature, answer);
    match (answer, q.feature) {
        (Answer::Letter(_), _) => dated(&found),
        (Answer::Style(..), _) => styled(&found, letter),
        (Answer::Outline(_), _) => outlined(&with_article(&found), letter),
        (Answer::Missing, Feature::Beside) => {
            let others = q.answers.iter().filter_map(|f| match f.answer {
                Answer::Device(d) => Some(format!("no {}", image.device(d).name())),
                _ => None,
            });
            others.collect::<Vec<_>>().join("; ")
        }
        (Answer::Device(_) | Answer::Missing, _) => found,
    }
}

/// The words that say a letter: as struck, without its case.
pub(crate) fn dated(letter: &str) -> String {
    format!("date letter {}", letter.trim_matches(['{', '}']))
}

/// The words that say the style of a letter.
pub(crate) fn styled(style: &str, letter: &str) -> String {
    format!("date letter {style} {letter}")
}

/// The words that say the outline of a letter, which may not have been read.
pub(crate) fn outlined(outline: &str, letter: &str) -> String {
    match letter {
        "" => format!("date letter in {outline}"),
        _ => format!("{} in {outline}", dated(letter)),
    }
}

/// The letter that was read, if it is one and not one of several.
pub(crate) fn letter_read<'n>(n: &'n Narrow) -> Option<&'n str> {
    let letters = Said { n }.letters().filter(|l| l.values.len() == 1);
    letters.map(|l| l.values[0].shown.trim_matches(['{', '}'])).min()
}

/// A question in words.
pub(crate) fn asks(n: &Narrow, q: &Question) -> String {
    let devices = q.answers.iter().filter(|f| matches!(f.answer, Answer::Device(_))).count();
    let may_miss = q.answers.iter().any(|f| f.answer == Answer::Missing);
    match q.feature {
        Feature::Letter => "Which letter is the date letter?".into(),
        Feature::Style => format!("Which {} is it?", letter_read(n).unwrap_or("letter")),
        Feature::Outline => "What shape is the punch of the letter?".into(),
        Feature::Mark(slot) => {
            let name = slot_name(slot);
            let one = with_article(name);
            match (may_miss, devices) {
                (true, 1) => format!("Is there {one}?"),
                (true, _) => format!("Is there {one}, and which?"),
                (false, _) => format!("Which {name} is it?"),
            }
        }
        Feature::Beside => {
            // Of several that may be one mark, the one that was named; their order says nothing.
            let towns = n.sightings.iter().filter(|s| s.kind(n.image) == Kind::Town);
            let named = towns.map(|s| (matches!(s.what, What::Slot(_)), reads_as(n.image, s)));
            let town = named.min().map_or("it".into(), |(_, town)| format!("the {town}"));
            let which = if devices == 1 { "" } else { ", and which" };
            format!("Is there another town mark beside {town}{which}?")
        }
    }
}

/// What to look at next, as a reading names it.
pub(crate) fn look_next(n: &Narrow, ranked: &[Question]) -> Vec<LookNext> {
    let one = |q: &Question| LookNext {
        feature: feature_name(q.feature).to_string(),
        asks: asks(n, q),
        answers: q
            .answers
            .iter()
            .map(|f| questions::Answer {
                found: found(n.image, q.feature, f.answer),
                leaves: f.leaves,
            })
            .collect(),
    };
    ranked.iter().take(MOST_FEATURES).map(one).collect()
}

/// What would settle a claim, in words.
pub(crate) fn settles(image: &Image, s: &Settling) -> Settles {
    let found = s.found.iter().map(|a| found(image, s.feature, *a));
    let found = found.collect();
    Settles { feature: feature_name(s.feature).to_string(), found, others: s.others }
}

/// The words that say that there is a mark, and not which; none where that answers nothing.
pub(crate) fn some(q: &Question) -> Option<String> {
    match q.feature {
        Feature::Mark(slot) if q.answers.iter().any(|f| f.answer == Answer::Missing) => {
            Some(slot_name(slot).to_string())
        }
        _ => None,
    }
}

/// The office-years of some rows, once each; the office is named where it is not the same for all.
pub(crate) fn office_years(
    image: &Image,
    rows: impl Iterator<Item = usize>,
    one_office: bool,
) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for row in rows {
        let l = image.row(row).letter();
        let shown = shown(l, l.year(), l.to());
        let said = match one_office {
            true => shown,
            false => format!("{} {shown}", image.office(l.office()).name()),
        };
        if !out.contains(&said) {
            out.push(said);
        }
    }
    out
}

/// Names the first office-years of some fits, once each; the office is named where it is not that of
/// the one before. Runs of years whose letter was not read tell nothing, and are left out.
pub(crate) fn leading<'g>(
    image: &Image,
    fits: impl Iterator<Item = &'g Group>,
    most: usize,
) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut named: Vec<(usize, i32)> = Vec::new();
    for g in fits.filter(|g| !g.run) {
        let letter = image.row(g.best.row as usize).letter();
        let office = letter.office();
        if named.contains(&(office, g.year)) {
            continue;
        }
        let shown = shown(letter, g.year, g.to);
        out.push(match named.last() {
            Some((last, _)) if *last == office => shown,
            _ => format!("{} {shown}", image.office(office).name()),
        });
        named.push((office, g.year));
        if out.len() == most {
            break;
        }
    }
    out
}
