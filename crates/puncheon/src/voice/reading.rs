//! The answer to one description, put into sentences.

use puncheon_schema::entry::{LookalikeKind, Metal};
use puncheon_schema::export;
use puncheon_schema::image::Image;

use crate::engine::cautions::Facts;
use crate::engine::fit::answer::{Decided, decide};
use crate::engine::fit::bearing;
use crate::engine::fit::lookalikes::Raised;
use crate::engine::fit::narrow::{Group, Options};
use crate::engine::fit::parts;
use crate::engine::questions::{self, choose};
use crate::json::reading::{
    Fit, LookalikeMet, OutsideBecause, PartRead, Reading, Remark, RemarkKind, SCHEMA, Sure,
};
use crate::lexis::sighting::Sightings;
use crate::voice::bearing::{Bearings, Teller, apart};
use crate::voice::cautions::{self, Use};
use crate::voice::letters::{group_shown, letter_struck};
use crate::voice::questions::{counted, look_next};
use crate::voice::sighting;

/// A decision in words, and each part apart where the whole fits nothing.
pub(crate) fn told(d: &Decided, asked: &str, seen: &Sightings, options: &Options) -> Reading {
    let image = d.narrow.image;
    let mut reading = whole(d, asked, seen, &seen.signs);
    let parts = parts::apart(d, seen);
    if parts.is_empty() {
        return reading;
    }
    for (part, own) in &parts {
        let label = seen.parts[*part].clone();
        let reading_of = whole(&decide(image, own, options), asked, own, &seen.signs);
        reading.parts.push(PartRead { label, reading: reading_of });
    }
    if reading.cautions.is_empty() {
        let first = |p: &PartRead| p.reading.cautions.first().cloned();
        reading.cautions = reading.parts.iter().flat_map(first).take(1).collect();
    }
    reading.remarks.push(Remark {
        text: asked.to_string(),
        start: 0,
        end: asked.len(),
        remark: RemarkKind::Ambiguous,
        nearest: Some("two sets of marks seem to be described; each is read apart".into()),
    });
    reading
}

/// A decision in words. `signs`: those described, by their numbers.
fn whole(d: &Decided, asked: &str, seen: &Sightings, signs: &[u32]) -> Reading {
    let image = d.narrow.image;
    let teller = Teller::new(&d.narrow);
    let left = questions::left(d);
    let next = choose::ranked(&d.narrow, &left, &[]);
    let understood = sighting::understood(image, seen, asked);
    Reading {
        schema: SCHEMA,
        asked: asked.to_string(),
        outcome: d.outcome.into(),
        outside_because: d.outside_because.map(OutsideBecause::from),
        conflict: d.conflict,
        sure: d.sure.map(Sure::from),
        sightings: understood.sightings,
        remarks: understood.remarks,
        claimed: understood.claimed,
        left: counted(&left.counts),
        look_next: look_next(&d.narrow, &next),
        fits: d.fits.iter().map(|g| fit(&teller, g)).collect(),
        nears: d.nears.iter().map(|g| fit(&teller, g)).collect(),
        lookalikes: d.raised.iter().map(|r| lookalike(image, r)).collect(),
        sponsors: Vec::new(),
        cautions: cautions::told(image, Use::Read, &Facts::of(d, signs)),
        parts: Vec::new(),
        conflict_why: d.conflict.map(|pair| apart(&d.narrow, pair, asked)),
        towns_apart: d.towns_apart,
        metal_not_shown: d.metal_not_shown,
        silver_misread: d.silver_misread,
        years: d.years,
        offices: d.offices,
    }
}

/// A group as it is answered.
fn fit(teller: &Teller, g: &Group) -> Fit {
    let n = teller.n;
    let image = n.image;
    let row = g.best.row as usize;
    let view = image.row(row);
    let letter = view.letter();
    let office = image.office(letter.office());
    let standard = image.standard(view.standard());
    let (basis, _) = n.rests_on(view);
    let bearing = teller.bearings(row);
    let if_misread = if_misread(teller, &bearing);
    let standard_name = standard.name();
    let bare = standard_name.strip_suffix(&format!(" {}", export::metal(Metal::Silver)));
    Fit {
        office: Some(office.id().to_string()),
        office_name: office.name().to_string(),
        year: (!g.run).then_some(g.year),
        from: g.year,
        to: g.to,
        shown: group_shown(image, g),
        begins: Some(export::day(g.begins)).filter(|d| !d.is_empty()),
        ends: Some(export::day(g.ends)).filter(|d| !d.is_empty()),
        origin: view.origin(),
        letter: (!g.run).then(|| letter_struck(image, view)),
        metal: export::metal(standard.metal()),
        fineness: standard.parts(),
        standard: standard.id().to_string(),
        standard_name: standard_name.to_string(),
        standard_short: bare.unwrap_or(standard_name).to_string(),
        if_misread,
        basis,
        confidence: g.weakest,
        sources: bearing::sources(n, row).into_iter().map(str::to_string).collect(),
        agrees: bearing.agrees,
        silent: bearing.silent,
        strains: bearing.strains,
        clashes: bearing.clashes,
        row,
        strain: g.best.strain,
        unread: g.key.unread,
        undescribed: g.key.undescribed,
    }
}

/// What would have to be misread, in words: the mark left out where what it would be was described
/// already.
fn if_misread(teller: &Teller, bearing: &Bearings) -> String {
    let agreeing = || bearing.agrees.iter().filter_map(|b| b.sighting);
    let reads_as = |i: usize| sighting::reads_as(teller.n.image, &teller.n.sightings[i]);
    let there = |would_be: &str| agreeing().any(|i| would_be.starts_with(&reads_as(i)));
    let each = bearing.clashes.iter().map(|c| match c.easy && !there(&c.would_be) {
        true => c.if_so.clone(),
        false => format!("without the {}", c.saw),
    });
    each.collect::<Vec<_>>().join(" and ")
}

/// A lookalike for the reader of an answer.
fn lookalike(image: &Image, r: &Raised) -> LookalikeMet {
    let l = image.lookalike(r.i);
    LookalikeMet {
        id: l.id().to_string(),
        kind: kind_word(l.kind()),
        what: l.what().to_string(),
        town: l.town().to_string(),
        why: l.why().to_string(),
        from: l.from(),
        to: l.to(),
        confidence: l.confidence(),
        sources: l.cites().map(str::to_string).collect(),
        denies: r.denies,
        sightings: r.by.clone(),
    }
}

/// The word printed for a kind of lookalike.
pub(crate) const fn kind_word(k: LookalikeKind) -> &'static str {
    match k {
        LookalikeKind::Plate => "plate",
        LookalikeKind::Alloy => "alloy",
        LookalikeKind::Words => "words",
        LookalikeKind::Foreign => "foreign",
        LookalikeKind::Provincial => "provincial",
        LookalikeKind::Pseudo => "pseudo",
        LookalikeKind::MakerOnly => "maker-only",
        LookalikeKind::BareFigure => "bare-figure",
        LookalikeKind::BareLetter => "bare-letter",
        LookalikeKind::OtherMark => "other-mark",
    }
}
