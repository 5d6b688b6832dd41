//! The marks that a piece should bear, in words.

use puncheon_schema::entry::{Origin, Slot};
use puncheon_schema::export;
use puncheon_schema::image::{Image, MarkView, RowView};

use crate::engine::cautions::Facts;
use crate::engine::expect::{
    self as value, Change, Nothing, OtherTimes, Place, Set, expected, omitted,
};
use crate::engine::fit::narrow::weaker;
use crate::json::expectation::{Asked, Expected, ExpectedMark, ExpectedSet, Impossible, SCHEMA};
use crate::tables::Tables;
use crate::voice::cautions::{self, Use};
use crate::voice::claim::{self, ClaimError};
use crate::voice::letters::{letter_sentence, letter_struck, letter_words, shown_span, years};
use crate::voice::marks::mark_sentence;
use crate::voice::sentence::sentence;
use crate::voice::sighting::slot_name;

/// The place of the mark of whoever sent the piece in.
pub(crate) const SPONSOR: &str = "sponsor's mark";
/// How it looks, as far as can be said of all of them.
pub(crate) const SPONSOR_LOOKS: &str = "the maker's or sponsor's letters or picture";

impl Asked {
    /// Reads a question such as "an office 1803" or "an office 1910, imported, 18 ct".
    ///
    /// # Errors
    /// As [`crate::Claim::read`]; and if no year is named.
    pub fn read(tables: &Tables, words: &str) -> Result<Asked, ClaimError> {
        let claim = claim::read(tables, words)?;
        if claim.years.is_empty() {
            return Err(claim::without_a_year(tables.image(), words));
        }
        Ok(claim.into())
    }

    /// Reads the name of a standard: those that it can mean, by their words in the tables.
    ///
    /// # Errors
    /// As [`crate::Claim::read`]; and if no standard is named.
    pub fn standards(tables: &Tables, words: &str) -> Result<Vec<String>, ClaimError> {
        let named = claim::read(tables, words)?.standards;
        match named.is_empty() {
            true => Err(claim::without_a_standard(tables.image(), words)),
            false => Ok(named),
        }
    }
}

/// The marks that are asked for.
pub(crate) fn told(image: &Image, asked: &Asked) -> Expected {
    let value = asked.value();
    let found = expected(image, &value);
    let changes = |list: &[Change], new: bool| list.iter().map(|c| change(image, c, new)).collect();
    let standard = |s: &usize| image.standard(*s).name().to_string();
    Expected {
        schema: SCHEMA,
        asked: asked.clone(),
        sets: found.sets.iter().map(|s| set(image, asked, s)).collect(),
        began: changes(&found.began, true),
        ended: changes(&found.ended, false),
        impossible: found.impossible.iter().map(|m| impossible(image, m)).collect(),
        others: found.others.iter().map(standard).collect(),
        nothing: found.nothing.map(|n| nothing(image, &value, &n)),
        conventions: claim::conventions(image, &asked.claim),
        cautions: cautions::told(image, Use::Expect, &Facts::default()),
    }
}

fn set(image: &Image, asked: &Asked, set: &Set) -> ExpectedSet {
    let views: Vec<RowView> = set.rows.iter().map(|r| image.row(*r)).collect();
    let (first, last) = (views[0], views[views.len() - 1]);
    let office = first.letter().office();
    let standard = image.standard(first.standard());
    let one = first.letter_index() == last.letter_index();
    let day = |d: i32| Some(export::day(d)).filter(|d| one && !d.is_empty());
    let mut marks: Vec<ExpectedMark> = set.places.iter().map(|p| mark(image, first, p)).collect();
    marks.push(letter_mark(image, &views, &set.letters));
    marks.extend(sponsor_mark(image, set));
    // A mark struck by choice stands after those that are due.
    marks.sort_by_key(|m| !m.due);
    ExpectedSet {
        office: image.office(office).id().to_string(),
        office_name: image.office(office).name().to_string(),
        from: first.letter().year(),
        to: last.letter().to(),
        shown: if one {
            years(first)
        } else {
            shown_span(image, office, first.letter().year(), last.letter().to())
        },
        begins: day(first.begins()),
        ends: day(last.ends()),
        origin: if asked.imported { Origin::Foreign } else { first.origin() },
        metal: export::metal(standard.metal()),
        fineness: standard.parts(),
        standard: standard.name().to_string(),
        letters: set
            .letters
            .iter()
            .filter_map(|l| views.iter().find(|v| v.letter_index() == *l))
            .map(|v| letter_struck(image, *v))
            .collect(),
        marks,
    }
}

/// A place in words.
fn mark(image: &Image, row: RowView, place: &Place) -> ExpectedMark {
    let all: Vec<MarkView> = place.marks.iter().map(|m| image.mark(*m)).collect();
    let mut names: Vec<&str> = all.iter().map(|m| image.device(m.device()).name()).collect();
    names.dedup();
    let mut whys: Vec<String> = all.iter().map(|m| mark_sentence(image, row, *m)).collect();
    whys.dedup();
    let sources = each_once(all.iter().flat_map(|m| m.cites()));
    let slot = place.slot;
    let weakest = all.iter().map(|m| (m.basis(), m.confidence()));
    let (basis, confidence) =
        weakest.reduce(weaker).unwrap_or((row.letter().basis(), row.letter().confidence()));
    ExpectedMark {
        place: slot_name(slot).to_string(),
        looks: names.join(" or "),
        outline: all.iter().find_map(|m| m.outline()).map(|o| image.outline_name(o).to_string()),
        due: place.due,
        may_lack: lacking(image, row, Some(slot)),
        why: sentence(whys.join("; or ")),
        basis,
        confidence,
        sources,
    }
}

fn letter_mark(image: &Image, views: &[RowView], letters: &[usize]) -> ExpectedMark {
    let first = views[0];
    let l = first.letter();
    let metal = image.standard(first.standard()).metal();
    let looks = match letters {
        [_] if l.value().is_none() => "not known".to_string(),
        [_] => letter_words(image, first),
        _ if views.iter().all(|v| v.letter().year() == l.year()) => {
            let known = |v: &&RowView| v.letter().value().is_some();
            let mut named: Vec<String> =
                views.iter().filter(known).map(|v| letter_words(image, *v)).collect();
            named.dedup();
            match views.iter().all(|v| known(&v)) {
                true => named.join(" or "),
                false => format!("not known: sources say {}", named.join(" or ")),
            }
        }
        _ => {
            let last = views[views.len() - 1];
            format!("from {} to {}", letter_words(image, first), letter_words(image, last))
        }
    };
    ExpectedMark {
        place: "date letter".into(),
        looks,
        outline: l
            .outline(metal)
            .filter(|_| letters.len() == 1)
            .map(|o| image.outline_name(o).to_string()),
        due: !l.optional(),
        may_lack: lacking(image, first, None),
        why: match letters {
            [_] => sentence(letter_sentence(image, first)),
            _ => "The letter changed each year.".into(),
        },
        basis: l.basis(),
        confidence: views.iter().map(|v| v.letter().confidence()).max().unwrap_or(l.confidence()),
        sources: l.cites().map(str::to_string).collect(),
    }
}

/// Sources, each once, in order.
fn each_once<'a>(cites: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for c in cites {
        if !out.iter().any(|s| s == c) {
            out.push(c.to_string());
        }
    }
    out
}

/// The mark of whoever sent the piece in, where a rule of the tables asks for it.
fn sponsor_mark(image: &Image, set: &Set) -> Option<ExpectedMark> {
    let rules = || set.asking.iter().map(|i| image.sponsor_due(*i));
    let (basis, confidence) = rules().map(|r| (r.basis(), r.confidence())).reduce(weaker)?;
    let sources = each_once(rules().flat_map(|r| r.cites()));
    Some(ExpectedMark {
        place: SPONSOR.into(),
        looks: SPONSOR_LOOKS.into(),
        outline: None,
        due: set.sponsor_due,
        may_lack: Vec::new(),
        why: "Who sent the piece in to be assayed.".into(),
        basis,
        confidence,
        sources,
    })
}

/// The articles on which a mark was often left off.
fn lacking(image: &Image, row: RowView, slot: Option<Slot>) -> Vec<String> {
    articles(image, &omitted(image, row, slot).collect::<Vec<_>>())
}

/// The articles that omissions of the tables are of.
pub(crate) fn articles(image: &Image, omissions: &[usize]) -> Vec<String> {
    omissions.iter().map(|o| image.omission(*o).on().to_string()).collect()
}

/// Why no row answers.
fn nothing(image: &Image, asked: &value::Asked, why: &Nothing) -> String {
    let offices = match why {
        Nothing::NeverStruck => return sentence(claim::never_struck(image, &asked.claim)),
        Nothing::NotThen(offices) => offices,
    };
    let ware = asked.metal.map_or("ware", export::metal);
    let foreign = if asked.imported { "foreign " } else { "" };
    let mut parts = vec![format!("no {foreign}{ware} was marked there and then")];
    for (o, years) in offices {
        let office = image.office(*o);
        let name = office.name();
        parts.push(match years {
            Some((a, b)) if *b == office.years().1 && office.open() => {
                format!("{name} marked it from {a} on")
            }
            Some((a, b)) => format!("{name} marked it from {a} to {b}"),
            None => format!("{name} never did"),
        });
    }
    sentence(parts.join("; "))
}

/// What an office began to strike, or else struck for the last time.
pub(crate) fn change(image: &Image, change: &Change, new: bool) -> String {
    match change {
        Change::Standard(s) => image.standard(*s).name().to_string(),
        Change::Mark { slot, device, on } => {
            let on: Vec<&str> = on.iter().map(|m| export::metal(*m)).collect();
            let on = match on.is_empty() {
                true => String::new(),
                false => format!(", on {}", on.join(" and ")),
            };
            format!("{} ({}{on})", image.device(*device).name(), slot_name(*slot))
        }
        Change::Letters => "the office's letters".to_string(),
        Change::Run if new => "a new run of letters".to_string(),
        Change::Run => "the run of letters".to_string(),
    }
}

fn impossible(image: &Image, m: &OtherTimes) -> Impossible {
    let spans: Vec<String> =
        m.years.iter().map(|(from, to)| shown_span(image, m.office, *from, *to)).collect();
    Impossible {
        office: image.office(m.office).id().to_string(),
        mark: image.device(m.device).name().to_string(),
        place: slot_name(m.slot).to_string(),
        // "1784/85 to 1821/22 and 1977"
        struck: spans.join(" and "),
    }
}
