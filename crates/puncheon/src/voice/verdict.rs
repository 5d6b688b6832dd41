//! What becomes of a claim, in sentences.

use std::collections::BTreeSet;

use puncheon_schema::image::{Image, RowView};
use puncheon_schema::register::Entry;

use crate::engine::cautions::Facts;
use crate::engine::claim::attributed::{Attributed, Held};
use crate::engine::claim::check::Case;
use crate::engine::claim::claimed;
use crate::engine::claim::verdict::{Against, Due, Reasons, Struck, Wanting};
use crate::engine::claim::warnings::Sign;
use crate::engine::makers::sought::{Sought, Wanted};
use crate::json::claim::Claim;
use crate::json::reading::Reading;
use crate::json::verdict::{
    Because, Clash, Compared, MakerClaimed, NotDescribed, Ruling, SCHEMA, Verdict, WarningMet,
};
use crate::lexis::sighting::What;
use crate::tables::Tables;
use crate::voice::bearing::Teller;
use crate::voice::cautions::{self, Use};
use crate::voice::claim;
use crate::voice::expectation::{SPONSOR, SPONSOR_LOOKS, articles};
use crate::voice::letters::{letter_words, shown_span, years};
use crate::voice::makers::{against, placed};
use crate::voice::questions;
use crate::voice::sentence::few;
use crate::voice::sighting::slot_name;

/// Years or offices named before the rest is only counted.
const MOST_NAMED: usize = 6;
/// Marks of one maker that are told.
const MOST_TOLD: usize = 3;

/// A verdict with its reasons. `reading`: the marks read without the claim.
pub(crate) fn told(tables: &Tables, case: &Case, reading: Reading) -> Verdict {
    let image = tables.image();
    let judged = case.decide();
    let claim = Claim::from(case.claim.clone());
    let makers = case.makers.iter().map(|m| maker(tables, case, m)).collect();
    let mut out = Verdict {
        schema: SCHEMA,
        conventions: claim::conventions(image, &claim),
        claim,
        verdict: judged.verdict.into(),
        because: judged.because.into(),
        inside: judged.inside,
        half: judged.half,
        compared: None,
        supports: Vec::new(),
        strains: Vec::new(),
        clashes: Vec::new(),
        not_described: Vec::new(),
        settle: None,
        makers,
        warnings: judged.warnings.iter().map(|s| warning(image, s)).collect(),
        cautions: Vec::new(),
        reading,
    };
    let facts =
        Facts { holds: out.verdict == Ruling::Holds, ..Facts::of(case.decided, &case.seen.signs) };
    out.cautions = cautions::told(image, Use::Check, &facts);
    match judged.nearest {
        Some(row) if out.because != Because::NothingBears => reasons(case, row, &mut out),
        Some(_) => {}
        None => out.clashes.push(never_struck(image, case.claim)),
    }
    if out.because == Because::Denied {
        // What bears no hallmark lacks none.
        out.not_described.clear();
        out.compared = out.compared.filter(|_| !case.claim.offices.is_empty());
    }
    if out.verdict == Ruling::Possible {
        out.settle = case.settle().map(|s| questions::settles(image, &s));
    }
    out
}

/// What agrees, clashes and is wanting, if the claim is true.
fn reasons(case: &Case, row: usize, out: &mut Verdict) {
    let n = &case.decided.narrow;
    let view = n.image.row(row);
    let office = n.image.office(view.letter().office());
    out.compared = Some(Compared {
        office: office.id().to_string(),
        office_name: office.name().to_string(),
        shown: years(view),
    });
    let teller = Teller::new(n);
    let Reasons { supports, strains, unread, clashes, wanting } = case.reasons(row);
    out.supports = supports.iter().map(|b| teller.agrees(view, b)).collect();
    out.strains = strains.iter().map(|b| teller.strains(view, b)).collect();
    out.strains.extend(unread.iter().map(|b| teller.silent(b)));
    out.clashes = clashes.iter().map(|a| clash(&teller, view, a)).collect();
    out.not_described = wanting.iter().map(|w| not_described(n.image, view, w)).collect();
}

fn clash(teller: &Teller, view: RowView, a: &Against) -> Clash {
    let m = teller.misreading(view, &a.clash);
    let would_be = match a.of_one_year {
        true => format!("{}, as in {}", m.would_be, years(view)),
        false => m.would_be,
    };
    Clash {
        sighting: m.sighting,
        why: struck(teller, view, a),
        if_so: teller.if_so(&a.clash, &m.saw, &would_be),
        absent: teller.absent(&a.clash),
        saw: m.saw,
        would_be,
        easy: m.easy,
    }
}

/// When the claimed office, or another, struck what was described.
fn struck(teller: &Teller, view: RowView, a: &Against) -> String {
    let image = teller.n.image;
    let of = view.letter().office();
    let office = image.office(of).name();
    match &a.struck {
        Struck::Apart => format!("struck at {office}, but never with the rest of such a set"),
        Struck::Then(spans) => {
            let letter = matches!(teller.n.sightings[a.clash.sighting].what, What::Letter(_));
            let verb = if letter { "used" } else { "struck" };
            let spans: Vec<String> =
                spans.iter().map(|(from, to)| shown_span(image, of, *from, *to)).collect();
            format!("{verb} at {office} in {}", few(&spans, MOST_NAMED))
        }
        Struck::At(offices) => {
            let mut names: Vec<&str> = offices.iter().map(|o| image.office(*o).name()).collect();
            names.sort_unstable();
            names.dedup();
            format!("never struck at {office}; struck at {}", few(&names, MOST_NAMED))
        }
        Struck::Nowhere => "in none of the tables".into(),
    }
}

fn not_described(image: &Image, view: RowView, w: &Wanting) -> NotDescribed {
    let (mark, looks) = match &w.mark {
        Due::Mark(slot, devices) => {
            let names: Vec<&str> = devices.iter().map(|d| image.device(*d).name()).collect();
            (slot_name(*slot), names.join(" or "))
        }
        Due::Letter { one: true } => ("date letter", letter_words(image, view)),
        Due::Letter { one: false } => ("date letter", "a letter of the claimed years".to_string()),
        Due::Sponsor => (SPONSOR, SPONSOR_LOOKS.to_string()),
    };
    let listed = match w.mark {
        Due::Mark(..) => looks.clone(),
        Due::Letter { .. } => format!("{mark}: {looks}"),
        Due::Sponsor => mark.to_string(),
    };
    let may_lack = articles(image, &w.may_lack);
    NotDescribed { mark: mark.to_string(), looks, may_lack, listed }
}

/// Nothing of the kind was struck: what the tables hold instead.
fn never_struck(image: &Image, claim: &claimed::Claim) -> Clash {
    Clash {
        sighting: None,
        saw: claim.text.clone(),
        would_be: claim::never_struck(image, claim),
        why: String::new(),
        easy: false,
        absent: false,
        if_so: String::new(),
    }
}

/// A sign that was met, in words.
pub(crate) fn warning(image: &Image, sign: &Sign) -> WarningMet {
    let w = image.warning(sign.warning);
    let met: Vec<_> = sign.lookalikes.iter().map(|l| image.lookalike(*l)).collect();
    // Each mark says what it is.
    let what: Vec<&str> = met.iter().map(|l| l.what()).collect();
    let cites: BTreeSet<&str> = met.iter().flat_map(|l| l.cites()).collect();
    let mut left_off: Vec<String> = Vec::new();
    for on in articles(image, &sign.left_off) {
        if !left_off.contains(&on) {
            left_off.push(on);
        }
    }
    let innocent = w.innocent();
    WarningMet {
        rule: w.id().to_string(),
        reason: match what.is_empty() {
            true => w.reason().to_string(),
            false => format!("{} It may be: {}.", w.reason(), what.join("; ")),
        },
        innocent: match left_off.is_empty() {
            true => innocent.to_string(),
            false => {
                let off = left_off.join(", and ");
                format!("{innocent} Such a mark was often left off {off}.")
            }
        },
        judge: w.judge().to_string(),
        confidence: met.iter().map(|l| l.confidence()).max().unwrap_or(w.confidence()),
        source: match cites.is_empty() {
            true => cautions::sources(w.cites()),
            false => cautions::sources(cites.into_iter()),
        },
        unsettles: sign.unsettles,
    }
}

/// A maker that the claim names, in words.
fn maker(tables: &Tables, case: &Case, m: &Attributed) -> MakerClaimed {
    let said = |i: usize| {
        let s = &case.seen.sightings[i];
        &case.seen.text()[s.start..s.end]
    };
    let known = |m: &Attributed| m.marks.as_ref().map_or(String::new(), |k| marks(tables, k));
    MakerClaimed {
        text: m.text.clone(),
        read_as: m.read_as.clone(),
        ruling: m.ruling().into(),
        why: match m.held {
            Held::Unknown => "The register knows no maker of that name; it holds only some.".into(),
            Held::Untested => format!(
                "No maker's letters are described that could be held against it. In the register: {}.",
                known(m)
            ),
            Held::Against { sighting } => format!(
                "\"{}\" is none of the marks that the register has: {}.",
                said(sighting),
                known(m)
            ),
            Held::Possible { sighting, mark, fits, others } => {
                let sought = m.marks.as_ref();
                let placed = sought
                    .map_or(String::new(), |k| possible(tables, k, said(sighting), mark, fits));
                placed + &initials_prove_none(others)
            }
        },
        marks: m.marks.iter().flat_map(Sought::iter).map(|(f, _)| f.entry.id.to_string()).collect(),
    }
}

/// Why a maker may be the one.
fn possible(tables: &Tables, marks: &Sought, said: &str, mark: usize, fits: bool) -> String {
    let Some((found, rank)) = marks.iter().nth(mark) else {
        return String::new();
    };
    let e = &found.entry;
    let placed = placed(tables.image(), e);
    let struck = e.struck;
    let mut why = match fits {
        true => format!("\"{said}\" fits the mark {struck} ({placed})."),
        false => format!(
            "\"{said}\" has the initials of the name; the register knows {struck} ({placed})."
        ),
    };
    for against in against(tables.image(), found, rank, Wanted::default()) {
        why.push_str(&format!(" But {against}."));
    }
    why
}

fn initials_prove_none(others: usize) -> String {
    match others {
        0 => " Initials prove no maker, and the register holds only some.".to_string(),
        1 => {
            " Initials prove no maker: another of the register is consistent with them.".to_string()
        }
        n => format!(
            " Initials prove no maker: {n} others of the register are consistent with them."
        ),
    }
}

/// The first marks of a maker, with where and when.
fn marks(tables: &Tables, marks: &Sought) -> String {
    let mut told: Vec<String> = Vec::new();
    let struck = |e: &Entry| if e.struck.is_empty() { e.picture } else { e.struck }.to_string();
    for (f, _) in marks.iter() {
        let said = format!("{} ({})", struck(&f.entry), placed(tables.image(), &f.entry));
        if !told.contains(&said) {
            told.push(said);
        }
    }
    let more = told.len().saturating_sub(MOST_TOLD);
    told.truncate(MOST_TOLD);
    if more > 0 {
        told.push(format!("and {more} more"));
    }
    told.join("; ")
}
