//! The proof of a reading, line by line: each sighting against one row, with the facts it met.

use puncheon_schema::entry::{Basis, Confidence};

use crate::engine::fit::bearing::{Relation, clash, mark_met, relation, tells};
use crate::engine::fit::evidence::Feature;
use crate::engine::fit::narrow::Narrow;
use crate::lexis::sighting::What;
use crate::voice::bearing::{agreed, misread, not_known, strained};
use crate::voice::letters::style_of;

/// One line of the proof of a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// The words of the sighting.
    pub text: String,
    /// agrees, silent, strains or clashes.
    pub relation: &'static str,
    /// The feature, where a sighting states several: letter, case, lettering, outline.
    pub feature: Option<&'static str>,
    /// A sentence.
    pub why: String,
    /// The fact met: the entry's id and span, or the cycle.
    pub fact: String,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low.
    pub confidence: Confidence,
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
        let mark = mark_met(image, view, s);
        let met = mark.map(|m| m.i);
        let (relation, why) = match relation(n, view, row, e) {
            Relation::Clashes => {
                let (saw, would_be) = misread(image, view, s, &clash(n, view, row, e));
                ("clashes", format!("saw {saw}, would be {would_be}"))
            }
            Relation::Strains => ("strains", strained(image, view, s, e.feature, met)),
            Relation::Silent => ("silent", not_known(e.feature).to_string()),
            Relation::Agrees => {
                let why = match tells(s, e.feature, met) {
                    true => agreed(image, view, s, e.feature, met),
                    false => String::new(),
                };
                ("agrees", if why.is_empty() { style_of(image, view) } else { why })
            }
        };
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
            feature: Some(e.feature).filter(|f| *f != Feature::Mark).map(feature_word),
            why,
            fact,
            basis,
            confidence,
            sources,
        });
    }
    out
}

/// The word for a feature.
pub(crate) fn feature_word(f: Feature) -> &'static str {
    match f {
        Feature::Mark => "mark",
        Feature::Letter => "letter",
        Feature::Case => "case",
        Feature::Lettering => "lettering",
        Feature::Outline => "outline",
    }
}
