//! Office and year in the words of a sale, with their doubt.

use puncheon_schema::image::Image;

use crate::engine::metal::{Borne, Certainty, Placing, SIDE_BY_SIDE};
use crate::json::reading::Fit;
use crate::voice::letters::shown_year;
use crate::voice::lists::either;

/// Office and year in the words of a sale.
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

/// The office and years that marks leave, in words.
pub(crate) fn ascribed(image: &Image, b: &Borne) -> Ascribed {
    let Some(p) = b.placing() else {
        return Ascribed::default();
    };
    let Some(first) = p.best.first() else {
        return Ascribed::default();
    };
    let office = first.office_name.clone();
    if p.certainty == Certainty::NoLetterKnown {
        return Ascribed {
            phrase: if p.one_office { office } else { String::new() },
            doubt: doubt(&p),
            ..Ascribed::default()
        };
    }
    let probably = if p.probable() { "probably " } else { "" };
    if !p.one_office {
        if !p.nameable {
            return Ascribed {
                doubt: Some("The marks described do not settle office and year".into()),
                ..Ascribed::default()
            };
        }
        let list: Vec<String> = p.best.iter().map(|f| placed(f)).collect();
        return Ascribed {
            phrase: format!("{probably}{}", either(&list)),
            doubt: doubt(&p),
            ..Ascribed::default()
        };
    }
    let year = match p.nameable {
        true => either(&p.best.iter().map(|f| f.shown.clone()).collect::<Vec<_>>()),
        false => between(image, &p.best),
    };
    // An office as doubtful as its year cannot be taken on by what follows.
    let sure = p.rest.iter().all(|f| f.office == first.office);
    let plain = p.best.len() == 1 && first.year.is_some();
    Ascribed {
        phrase: match (p.probable(), sure) {
            (true, false) => format!("probably {office} {year}"),
            (true, true) => format!("{office}, probably {year}"),
            (false, _) if plain => format!("{office} {year}"),
            (false, _) => format!("{office}, {year}"),
        },
        office: sure.then_some(office),
        year: sure.then(|| format!("{probably}{year}")),
        doubt: doubt(&p),
    }
}

fn doubt(p: &Placing) -> Option<String> {
    Some(match p.certainty {
        Certainty::Settled => return None,
        Certainty::Likelier => {
            format!("Less probably the marks could be read as {}", named(&p.rest))
        }
        Certainty::Probable => format!("The marks could also be read as {}", named(&p.rest)),
        Certainty::Strained => {
            "The year is probable only: a mark is worn, doubtful or not as it should be".into()
        }
        Certainty::Weak => "The year is probable only: the record of its letter is doubtful".into(),
        Certainty::NoLetterKnown => {
            "The letter described is none that is known of that time".into()
        }
    })
}

fn placed(f: &Fit) -> String {
    format!("{} {}", f.office_name, f.shown)
}

/// "between the first and the last", of one office.
fn between(image: &Image, list: &[&Fit]) -> String {
    let first = list.iter().min_by_key(|f| f.from).map(|f| ends(image, f).0);
    let last = list.iter().max_by_key(|f| f.to).map(|f| ends(image, f).1);
    match (first, last) {
        (Some(a), Some(b)) if a == b => a,
        (Some(a), Some(b)) => format!("between {a} and {b}"),
        _ => String::new(),
    }
}

/// The first and the last year of a fit, as the trade writes them.
fn ends(image: &Image, f: &Fit) -> (String, String) {
    let letter = image.row(f.row).letter();
    match f.year {
        None => {
            let year = |y| shown_year(image, letter.office(), y);
            (year(f.from), year(f.to))
        }
        Some(_) if letter.calendar_year() => (f.from.to_string(), f.to.to_string()),
        Some(_) => (f.shown.clone(), f.shown.clone()),
    }
}

/// The first few by name, and how many more.
fn named(list: &[&Fit]) -> String {
    let mut names: Vec<String> = list.iter().take(SIDE_BY_SIDE).map(|f| placed(f)).collect();
    match list.len() - names.len() {
        0 => {}
        1 => names.push("one other".into()),
        n => names.push(format!("{n} others")),
    }
    either(&names)
}
