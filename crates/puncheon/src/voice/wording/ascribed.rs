//! Office and year in the words of a sale, with their doubt.

use puncheon_schema::image::Image;

use crate::engine::fit::narrow::Group;
use crate::engine::metal::{Borne, Certainty, Placing, SIDE_BY_SIDE};
use crate::voice::letters::{group_shown, shown_year};
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
pub(crate) fn ascribed(b: &Borne) -> Ascribed {
    let image = b.image();
    let Some(p) = b.placing() else {
        return Ascribed::default();
    };
    let Some(first) = p.best.first() else {
        return Ascribed::default();
    };
    let office = office_name(image, first).to_string();
    if p.certainty == Certainty::NoLetterKnown {
        return Ascribed {
            phrase: if p.one_office { office } else { String::new() },
            doubt: doubt(image, &p),
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
        let list: Vec<String> = p.best.iter().map(|g| placed(image, g)).collect();
        return Ascribed {
            phrase: format!("{probably}{}", either(&list)),
            doubt: doubt(image, &p),
            ..Ascribed::default()
        };
    }
    let year = match p.nameable {
        true => either(&p.best.iter().map(|g| group_shown(image, g)).collect::<Vec<_>>()),
        false => between(image, &p.best),
    };
    // An office as doubtful as its year cannot be taken on by what follows.
    let sure = p.rest.iter().all(|g| g.key.office == first.key.office);
    let plain = p.best.len() == 1 && !first.run;
    Ascribed {
        phrase: match (p.probable(), sure) {
            (true, false) => format!("probably {office} {year}"),
            (true, true) => format!("{office}, probably {year}"),
            (false, _) if plain => format!("{office} {year}"),
            (false, _) => format!("{office}, {year}"),
        },
        office: sure.then_some(office),
        year: sure.then(|| format!("{probably}{year}")),
        doubt: doubt(image, &p),
    }
}

fn doubt(image: &Image, p: &Placing) -> Option<String> {
    Some(match p.certainty {
        Certainty::Settled => return None,
        Certainty::Likelier => {
            format!("Less probably the marks could be read as {}", named(image, &p.rest))
        }
        Certainty::Probable => format!("The marks could also be read as {}", named(image, &p.rest)),
        Certainty::Strained => {
            "The year is probable only: a mark is worn, doubtful or not as it should be".into()
        }
        Certainty::Weak => "The year is probable only: the record of its letter is doubtful".into(),
        Certainty::NoLetterKnown => {
            "The letter described is none that is known of that time".into()
        }
    })
}

fn office_name<'i>(image: &'i Image, g: &Group) -> &'i str {
    image.office(g.key.office as usize).name()
}

fn placed(image: &Image, g: &Group) -> String {
    format!("{} {}", office_name(image, g), group_shown(image, g))
}

/// "between the first and the last", of one office.
fn between(image: &Image, list: &[&Group]) -> String {
    let first = list.iter().min_by_key(|g| g.year).map(|g| ends(image, g).0);
    let last = list.iter().max_by_key(|g| g.to).map(|g| ends(image, g).1);
    match (first, last) {
        (Some(a), Some(b)) if a == b => a,
        (Some(a), Some(b)) => format!("between {a} and {b}"),
        _ => String::new(),
    }
}

/// The first and the last year of a fit, as the trade writes them.
fn ends(image: &Image, g: &Group) -> (String, String) {
    let letter = image.row(g.best.row as usize).letter();
    if g.run {
        let year = |y| shown_year(image, letter.office(), y);
        return (year(g.year), year(g.to));
    }
    if letter.calendar_year() {
        return (g.year.to_string(), g.to.to_string());
    }
    let shown = group_shown(image, g);
    (shown.clone(), shown)
}

/// The first few by name, and how many more.
fn named(image: &Image, list: &[&Group]) -> String {
    let mut names: Vec<String> = list.iter().take(SIDE_BY_SIDE).map(|g| placed(image, g)).collect();
    match list.len() - names.len() {
        0 => {}
        1 => names.push("one other".into()),
        n => names.push(format!("{n} others")),
    }
    either(&names)
}
