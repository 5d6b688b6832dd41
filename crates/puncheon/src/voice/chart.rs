//! Charts of date letters, in words.

use puncheon_schema::entry::{Case, Metal};
use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta};

use crate::engine::chart::{self as value, Because, Letter, asks_office};
use crate::json::chart::{
    Asked, Cell, Chart, ChartLetter, Column, Question, Rival, Row, SCHEMA, Without,
};
use crate::tables::Tables;
use crate::voice::expectation::change;
use crate::voice::letters::{letters_run, shown, shown_span, shown_year, style_of_letter};
use crate::voice::sentence::sentence;
use crate::voice::wish;

/// The chart of what is asked.
pub fn chart(tables: &Tables, asked: &Asked) -> Chart {
    let image = tables.image();
    let value = asked.value();
    let found = value::chart(image, &value);
    let rows: Vec<Row> = found.rows.iter().map(|r| row(image, r)).collect();
    let without: Vec<Without> = found.without.iter().map(|w| none(image, w)).collect();
    Chart {
        schema: SCHEMA,
        title: title(image, asked),
        nothing: rows.is_empty().then(|| nothing(image, asked, &found.without)),
        asked: asked.clone(),
        sources: sources(&rows, &without),
        conventions: conventions(asked, rows.is_empty()),
        columns: found.columns.iter().map(|c| column(image, c)).collect(),
        rows,
        without,
        cautions: crate::rests_on_overlay(tables).into_iter().collect(),
    }
}

fn known(s: String) -> Option<String> {
    Some(s).filter(|s| !s.is_empty())
}

fn column(image: &Image, c: &value::Column) -> Column {
    let letter = image.letter(c.letter);
    let office = image.office(c.office);
    let lettering = letter.lettering().map(|n| image.lettering(n));
    Column {
        id: letter.cycle().to_string(),
        office: office.id().to_string(),
        office_name: office.name().to_string(),
        from: c.from,
        to: c.to,
        shown: shown_span(image, c.office, c.from, c.to),
        style: style_of_letter(image, letter),
        lettering: lettering.map(|l| l.id().to_string()),
        lettering_name: lettering.map(|l| l.name().to_string()),
        case: letter.case(),
    }
}

fn row(image: &Image, r: &value::Row) -> Row {
    let office = image.office(r.office);
    let start = r.start.as_ref();
    let cites = start.map_or(&[][..], |s| &s.cites);
    Row {
        begins_between: r.between.map(|(a, b)| [export::day(a), export::day(b)]),
        begins_confidence: start.map(|s| s.confidence),
        begins_sources: cites.iter().map(|c| (*c).to_string()).collect(),
        office: office.id().to_string(),
        office_name: office.name().to_string(),
        year: r.year,
        shown: shown(image.letter(r.first), r.year, r.year),
        begins: known(export::day(r.begins)),
        ends: known(export::day(r.ends)),
        cells: r.cells.iter().map(|c| cell(image, c, r.year)).collect(),
        began: r.began.iter().map(|c| change(image, c, true)).collect(),
        ended: r.ended.iter().map(|c| change(image, c, false)).collect(),
    }
}

fn cell(image: &Image, c: &value::Cell, year: i32) -> Cell {
    let letters = c.letters.iter().map(|l| letter(image, l, year)).collect();
    Cell { column: c.column, letters }
}

fn letter(image: &Image, letter: &Letter, year: i32) -> ChartLetter {
    let l = image.letter(letter.letter);
    let lettering = l.lettering().map(|n| image.lettering(n));
    let outline = |metal| l.outline(metal).map(|o| image.outline_id(o).to_string());
    let bound = |here: bool, day: i32| here.then(|| export::day(day)).and_then(known);
    ChartLetter {
        struck: known(l.struck().to_string()),
        lettering: lettering.map(|n| n.id().to_string()),
        lettering_name: lettering.map(|n| n.name().to_string()),
        case: l.value().map_or(Case::Either, |_| l.case()),
        style: style_of_letter(image, l),
        outline_silver: outline(Metal::Silver),
        outline_gold: outline(Metal::Gold),
        begins: bound(year == l.year(), l.begins()),
        ends: bound(year == l.to(), l.ends()),
        since: l.year(),
        carried: year > l.year(),
        optional: l.optional(),
        disputed: !letter.rivals.is_empty(),
        rivals: letter
            .rivals
            .iter()
            .map(|r| image.letter(*r))
            .map(|r| Rival { struck: r.struck().to_string(), style: style_of_letter(image, r) })
            .collect(),
        basis: l.basis(),
        confidence: l.confidence(),
        lettering_confidence: l.lettering_confidence(),
        case_confidence: l.case_confidence(),
        sources: l.cites().map(str::to_string).collect(),
    }
}

fn none(image: &Image, w: &value::Without) -> Without {
    let office = image.office(w.office);
    let cites = match w.because {
        Because::Gap(i) => office.gaps().get(i).map_or(Vec::new(), |g| g.cites.to_vec()),
        _ => Vec::new(),
    };
    Without {
        office: office.id().to_string(),
        office_name: office.name().to_string(),
        from: w.from,
        to: w.to,
        why: why_none(image, w),
        sources: cites.iter().map(|c| (*c).to_string()).collect(),
    }
}

/// Why an office struck no letter, a sentence.
fn why_none(image: &Image, w: &value::Without) -> String {
    match w.because {
        Because::Closed => sentence(letters_run(image, w.office)),
        Because::Gap(i) => {
            image.office(w.office).gaps().get(i).map_or(String::new(), |g| g.why.to_string())
        }
        Because::NotYet(last) => format!("The tables end with {last}."),
    }
}

/// Every source, once, in the order of the rows.
fn sources(rows: &[Row], without: &[Without]) -> Vec<String> {
    let mut sources: Vec<String> = Vec::new();
    let of_rows = rows.iter().flat_map(|r| {
        let letters = r.cells.iter().flat_map(|c| &c.letters);
        letters.flat_map(|l| &l.sources).chain(&r.begins_sources)
    });
    for s in of_rows.chain(without.iter().flat_map(|w| &w.sources)) {
        if !sources.contains(s) {
            sources.push(s.clone());
        }
    }
    sources
}

/// The names of the offices asked for.
fn office_names(image: &Image, asked: &Asked) -> Vec<String> {
    (0..image.meta(Meta::Offices))
        .filter(|o| !asked.offices.is_empty() && asks_office(image, &asked.offices, *o))
        .map(|o| image.office(o).name().to_string())
        .collect()
}

/// The years asked for, in words.
fn years_asked(asked: &Asked) -> Option<String> {
    Some(match (asked.from, asked.to) {
        (Some(a), Some(b)) if a == b => a.to_string(),
        (Some(a), Some(b)) => format!("{a} to {b}"),
        (Some(a), None) => format!("{a} and later"),
        (None, Some(b)) => format!("{b} and earlier"),
        (None, None) => return None,
    })
}

fn title(image: &Image, asked: &Asked) -> String {
    let offices = office_names(image, asked);
    let at = match offices.is_empty() {
        true => "every office".to_string(),
        false => offices.join(" and "),
    };
    let mut parts = match &asked.letter {
        Some(l) => vec![format!("The {}", wish::letter(image, l)), at],
        None if asked.question == Question::Year => vec![format!("Date letters of {at}")],
        None => vec![format!("{at}, date letters")],
    };
    parts.extend(years_asked(asked));
    parts.join(", ")
}

/// How words were taken; and, of one year, which of its two letters is meant.
fn conventions(asked: &Asked, empty: bool) -> Vec<String> {
    let mut out = asked.conventions.clone();
    if asked.question == Question::Year && !empty {
        out.push(
            "A letter stands under the year in which it came into use; until that day the letter before it was struck."
                .into(),
        );
    }
    out
}

/// Why there is nothing to show.
fn nothing(image: &Image, asked: &Asked, without: &[value::Without]) -> String {
    let offices: Vec<usize> =
        (0..image.meta(Meta::Offices)).filter(|o| asks_office(image, &asked.offices, *o)).collect();
    if let Some(l) = &asked.letter {
        let words = wish::letter(image, l);
        let mut of = office_names(image, asked);
        of.extend(years_asked(asked));
        let before = match of.is_empty() {
            true => String::new(),
            false => format!("of {} ", of.join(", ")),
        };
        return sentence(format!("{before}the tables hold no {words}"));
    }
    if let [office] = offices[..] {
        let mut said = vec![sentence(letters_run(image, office))];
        for w in without {
            let why = why_none(image, w);
            match w.because {
                Because::Closed => {}
                Because::Gap(_) => {
                    said.push(format!("From {} to {} it struck none: {why}", w.from, w.to));
                }
                Because::NotYet(_) => said.push(why),
            }
        }
        return said.join(" ");
    }
    let first = offices.iter().min_by_key(|o| image.office(**o).years().0);
    let last = offices.iter().map(|o| image.office(*o).years().1).max();
    match (first, last) {
        (Some(o), Some(last)) => {
            let view = image.office(*o);
            format!(
                "Date letters begin with {}'s of {}, and the tables end with {last}.",
                view.name(),
                shown_year(image, *o, view.years().0)
            )
        }
        _ => "The tables hold no letters.".into(),
    }
}
