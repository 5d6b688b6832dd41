//! The whole answer to one description: fits, nears, what to look at next, lookalikes and
//! cautions put together.

use puncheon_schema::export;
use puncheon_schema::image::Image;

use crate::explain::{self, shown};
use crate::lookalikes;
use crate::narrow::{Group, Narrow, Nears, Options, find_office, ones};
use crate::next;
use crate::reading::*;
use crate::sighting::{Sightings, What};

/// Reads sightings against the tables.
pub(crate) fn read(image: &Image, asked: &str, seen: &Sightings, options: &Options) -> Reading {
    let narrow = Narrow::new(image, &seen.sightings, options);
    let mut reading = Reading {
        schema: SCHEMA,
        asked: asked.to_string(),
        outcome: Outcome::Outside,
        outside_because: None,
        conflict: None,
        sure: None,
        sightings: seen
            .sightings
            .iter()
            .map(|s| s.seen(image, asked))
            .collect(),
        remarks: seen.remarks.clone(),
        claimed: seen.claimed.clone(),
        fits: Vec::new(),
        nears: Vec::new(),
        look_next: Vec::new(),
        lookalikes: lookalikes::met(image, seen),
        cautions: Vec::new(),
        parts: Vec::new(),
        conflict_why: None,
        years: 0,
        offices: 0,
    };
    reading.outside_because = outside(image, seen, &reading, &narrow, options);
    if reading.outside_because.is_none() {
        let mut groups = narrow.group(&narrow.fits(), (0, 0));
        let years = |groups: &[Group]| {
            let mut v: Vec<(u32, i32)> = groups.iter().map(|g| (g.key.office, g.year)).collect();
            v.sort_unstable();
            v.dedup();
            v
        };
        let office_years = years(&groups);
        reading.years = office_years.len();
        let mut offices: Vec<u32> = office_years.iter().map(|y| y.0).collect();
        offices.dedup();
        reading.offices = offices.len();
        reading.look_next = {
            let rows: Vec<usize> = groups.iter().map(|g| g.best.row as usize).collect();
            next::look(&narrow, &rows)
        };
        groups = narrow.merge(groups);
        groups.sort_unstable_by_key(|g| g.key);
        reading.fits = groups.iter().map(|g| fit(&narrow, g)).collect();
        if options.nears == Nears::Always || reading.fits.is_empty() {
            reading.nears = narrow.nears().iter().map(|g| fit(&narrow, g)).collect();
        }
        reading.outcome = match (reading.fits.is_empty(), reading.nears.is_empty()) {
            (false, _) => Outcome::Fits,
            (true, false) => Outcome::Nears,
            (true, true) => Outcome::None,
        };
        if reading.fits.is_empty() {
            reading.conflict = narrow.conflict();
            reading.conflict_why = reading
                .conflict
                .map(|pair| explain::apart(&narrow, pair, asked));
        }
        reading.sure = match reading.outcome {
            Outcome::Fits if reading.years == 1 => Some(
                if reading
                    .fits
                    .iter()
                    .any(|f| f.confidence != "low" && f.strains.is_empty())
                {
                    Sure::OneYear
                } else {
                    Sure::OneYearDoubtful
                },
            ),
            Outcome::Fits => Some(Sure::Several),
            Outcome::Nears => Some(Sure::Misreading),
            _ => None,
        };
    }
    reading.cautions = explain::cautions(&reading);
    reading
}

/// The one office that was asked for, or that all the marks point to.
fn office_asked(image: &Image, seen: &Sightings, options: &Options) -> Option<usize> {
    if let Some(named) = options.office.as_deref() {
        return find_office(image, named);
    }
    let unbounded = Narrow::new(image, &seen.sightings, &Options::default());
    let fits = unbounded.fits();
    let mut offices = ones(&fits).map(|r| image.row(r).letter().office());
    let first = offices.next()?;
    offices.all(|o| o == first).then_some(first)
}

/// Why the description lies outside the tables, if it does.
fn outside(
    image: &Image,
    seen: &Sightings,
    reading: &Reading,
    narrow: &Narrow,
    options: &Options,
) -> Option<OutsideBecause> {
    if reading.lookalikes.iter().any(|l| l.denies) {
        return Some(OutsideBecause::Denied);
    }
    if let Some(because) = lookalikes::outside(image, seen, &reading.lookalikes) {
        return Some(because);
    }
    let something = narrow
        .evidence
        .iter()
        .any(|e| !e.turned && !matches!(seen.sightings[e.sighting].what, What::Absent(_)));
    if !something {
        return Some(OutsideBecause::NothingUnderstood);
    }
    if let Some(asked) = options.between
        && let Some(o) = office_asked(image, seen, options)
    {
        let (first, last) = image.office(o).years();
        if asked.1 < first || asked.0 > last {
            return Some(OutsideBecause::OfficeClosed);
        }
    }
    None
}

/// A group as it is answered.
fn fit(n: &Narrow, g: &Group) -> Fit {
    let image = n.image;
    let row = g.best.row as usize;
    let view = image.row(row);
    let letter = view.letter();
    let office = image.office(letter.office());
    let standard = image.standard(view.standard());
    let (basis, _) = n.rests_on(view);
    let bearing = explain::bearings(n, row);
    Fit {
        office: Some(office.id().to_string()),
        office_name: office.name().to_string(),
        year: (!g.run).then_some(g.year),
        from: g.year,
        to: g.to,
        shown: if g.run {
            explain::shown_span(image, letter.office(), g.year, g.to)
        } else {
            shown(g.year, g.to, letter.calendar_year())
        },
        begins: Some(export::day(g.begins)).filter(|d| !d.is_empty()),
        ends: Some(export::day(g.ends)).filter(|d| !d.is_empty()),
        origin: export::origin(view.origin()),
        letter: (!g.run).then(|| explain::letter_struck(image, view)),
        metal: export::metal(standard.metal()),
        fineness: standard.parts(),
        standard_name: standard.name().to_string(),
        basis: export::basis(basis),
        confidence: export::confidence(g.weakest),
        sources: explain::sources(n, row),
        agrees: bearing.agrees,
        silent: bearing.silent,
        strains: bearing.strains,
        clashes: bearing.clashes,
        row,
        strain: g.best.strain,
    }
}
