//! What a row of a catalogue can hold of an answer, without a sentence of prose.

use std::ops::Range;

use puncheon_schema::entry::{Basis, Confidence};
use puncheon_schema::export;
use puncheon_schema::image::Image;

use crate::engine::claim::attributed::Attributed;
use crate::engine::claim::check::Case;
use crate::engine::claim::claimed::Claim;
use crate::engine::fit::answer::{Decided, shared};
use crate::engine::fit::narrow::{Group, Options};
use crate::engine::makers::left::Left;
use crate::json::reading::{Outcome, OutsideBecause, RemarkKind, Sure};
use crate::json::verdict::Ruling;
use crate::lexis::sighting::{Sightings, What};
use crate::voice::letters;

/// The letter years of one fit, and its days where they are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// First day still possible, as 18030529; 0 where it is not known.
    pub begins: i32,
    /// Last day still possible; 0 where it is not known.
    pub ends: i32,
    /// The letter began with the calendar year.
    pub calendar: bool,
}

/// An answer in values: it speaks of all fits, and its cells are those of [`crate::Reading`].
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Gist<'t> {
    /// How the description turned out.
    pub outcome: Outcome,
    /// Why it lies outside the tables.
    pub outside_because: Option<OutsideBecause>,
    /// How sure, by rule.
    pub sure: Option<Sure>,
    /// The office, if all fits share it.
    pub office: Option<&'t str>,
    /// Lowest and highest letter year of the fits.
    pub years: Option<(i32, i32)>,
    /// The letter year as the trade writes it, if all fits share it.
    pub shown: Option<String>,
    /// The plain letter as struck, if all fits share it and it is known.
    pub letter: Option<&'t str>,
    /// The metal, if all fits share it.
    pub metal: Option<&'static str>,
    /// Whole parts per thousand, if all fits share them.
    pub fineness: Option<u16>,
    /// How many fits.
    pub fits: usize,
    /// Office and letter year of the first fit.
    pub best: Option<(&'t str, String)>,
    /// The name of that office.
    pub best_name: Option<&'t str>,
    /// Each fit's years, once each.
    pub spans: Vec<Span>,
    /// The answer rests on a doubtful fact or a strain.
    pub doubtful: bool,
    /// What the first fit rests on: published, memory or both.
    pub basis: Option<Basis>,
    /// How sure its weakest fact is: high, medium or low.
    pub confidence: Option<Confidence>,
    /// Lookalikes met, by their words in the tables.
    pub lookalikes: Vec<&'t str>,
    /// Words not understood, as bytes of the description.
    pub not_understood: Vec<Range<usize>>,
    /// How the claim stands, where there is one.
    pub verdict: Option<Ruling>,
    /// Warning signs met, by their words in the tables.
    pub warnings: Vec<String>,
    /// The offices and years left for the maker of the piece, where a maker's mark was described.
    pub left: Left,
}

pub(crate) fn gist<'t>(
    image: &'t Image,
    seen: &Sightings,
    d: &Decided,
    claim: Option<(&Claim, &[Attributed])>,
    options: &Options,
) -> Gist<'t> {
    let row = |g: &Group| image.row(g.best.row as usize);
    let letter = |g: &Group| row(g).letter();
    let standard = |g: &Group| image.standard(row(g).standard());
    let shown = |g: &Group| {
        let l = letter(g);
        if g.run {
            letters::shown_span(image, l.office(), g.year, g.to)
        } else {
            letters::shown(l, g.year, g.to)
        }
    };
    let mut spans: Vec<Span> = d
        .fits
        .iter()
        .map(|g| Span {
            from: g.year,
            to: g.to,
            begins: g.begins,
            ends: g.ends,
            calendar: letter(g).calendar_year(),
        })
        .collect();
    spans.sort_unstable_by_key(|s| (s.from, s.to, s.begins, s.ends));
    spans.dedup();
    let one = shared(d.fits.iter().map(|g| (g.key.office, g.year, g.to, g.run)));
    let judged =
        claim.map(|(claim, makers)| Case { claim, seen, options, decided: d, makers }.decide());
    let made = seen.sightings.iter().any(|s| s.what == What::Sponsor);
    Gist {
        left: match made {
            true => Left::of(d),
            false => Left::default(),
        },
        outcome: d.outcome.into(),
        outside_because: d.outside_because.map(OutsideBecause::from),
        sure: d.sure.map(Sure::from),
        office: shared(d.fits.iter().map(|g| g.key.office)).map(|o| image.office(o as usize).id()),
        years: d.fits.iter().map(|g| (g.year, g.to)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))),
        shown: one.and_then(|_| d.fits.first().map(shown)),
        letter: one
            .filter(|o| !o.3)
            .and_then(|_| shared(d.fits.iter().map(|g| letter(g).struck())))
            .filter(|l| !l.is_empty()),
        // Where no mark shows another metal than silver, none is named.
        metal: shared(d.fits.iter().map(|g| export::metal(standard(g).metal())))
            .filter(|_| !d.metal_not_shown),
        fineness: shared(d.fits.iter().map(|g| standard(g).parts()))
            .flatten()
            .filter(|_| !d.metal_not_shown),
        fits: d.fits.len(),
        best: d.fits.first().map(|g| (image.office(g.key.office as usize).id(), shown(g))),
        best_name: d.fits.first().map(|g| image.office(g.key.office as usize).name()),
        spans,
        basis: d.fits.first().map(|g| d.narrow.rests_on(row(g)).0),
        confidence: d.fits.first().map(|g| g.weakest),
        doubtful: d.sure.map(Sure::from) == Some(Sure::OneYearDoubtful),
        lookalikes: d.raised.iter().map(|r| image.lookalike(r.i).id()).collect(),
        not_understood: seen
            .remarks
            .iter()
            .filter(|r| r.remark == RemarkKind::NotUnderstood)
            .map(|r| r.start..r.end)
            .collect(),
        verdict: judged.as_ref().map(|j| j.verdict.into()),
        warnings: judged.map_or_else(Vec::new, |j| {
            j.warnings.iter().map(|w| image.warning(w.warning).id().to_string()).collect()
        }),
    }
}
