//! What candidates show of the date letter: which it is, its style and its outline.

use puncheon_schema::entry::Case;
use puncheon_schema::image::{Bits, LetterView, Meta};
use puncheon_schema::letters::sister;

use crate::numbered::{ByNumber, places};
use crate::questions::answer::{Answer, Shown, Sort, place_in};
use crate::questions::candidate::{Candidate, Candidates};
use crate::questions::feature::Said;
use puncheon_lexis::said::Kind;

/// Which letter it is.
pub(super) fn letter(said: Said, c: &Candidates) -> Option<Shown> {
    if said.letters().any(|l| !l.values.is_empty()) || said.absent(Kind::Letter) {
        return None;
    }
    let image = c.image;
    let mut values: Vec<usize> = Vec::new();
    let mut place = ByNumber::all(None, image.meta(Meta::Values));
    for v in c.rows.iter().filter_map(|r| r.view.letter().value()) {
        if place.get(v).is_none() {
            place.set(v, Some(values.len()));
            values.push(v);
        }
    }
    // A letter, the same where it also answers to its sister, and none: years whose letter is not
    // known are counted apart as soon as one was read.
    let alone = values.iter().enumerate().map(|(a, _)| Sort { shows: vec![a], keeps: vec![a] });
    let mut sorts: Vec<Sort> = alone.collect();
    let sisters: Vec<Option<(usize, Bits)>> = values
        .iter()
        .map(|v| {
            let other = image.value_of(sister(image.value(*v))?)?;
            let a = place.get(other)?;
            Some((a, image.value_bits(other, 0)))
        })
        .collect();
    for (a, sister) in sisters.iter().enumerate() {
        let keeps = sister.iter().map(|s| s.0).chain([a]).collect();
        sorts.push(Sort { shows: vec![a], keeps });
    }
    let silent = sorts.len();
    sorts.push(Sort::default());
    let of = |r: &Candidate| match r.view.letter().value().and_then(|v| place.get(v)) {
        None => silent,
        Some(a) if sisters.get(a).is_some_and(|s| s.is_some_and(|(_, b)| b.has(r.row))) => {
            values.len() + a
        }
        Some(a) => a,
    };
    let of = c.rows.iter().map(of).collect();
    Some(Shown { answers: values.into_iter().map(Answer::Letter).collect(), sorts, of })
}

/// Its case and lettering, where a letter was read: one that was not, or is one of two, is first to
/// be settled itself.
pub(super) fn style(said: Said, c: &Candidates) -> Option<Shown> {
    let image = c.image;
    said.letters().find(|l| l.values.len() == 1)?;
    let case_said = said.letters().any(|l| l.case.is_some());
    let lettering_said = said.letters().any(|l| l.lettering.is_some());
    // An answer that says no more than was said is none, and one that says less than can be seen
    // would have to be asked about again: a letter whose case or lettering the table lacks is kept by
    // every answer that it could be.
    let own = |r: &Candidate| {
        let l = r.view.letter();
        let tells = !lettering_said || l.case() != Case::Either && !case_said;
        let lettering = l.lettering().filter(|_| tells && l.case() != Case::Either)?;
        Some(Answer::Style(l.case(), lettering))
    };
    let states = |answer: Answer| match answer {
        Answer::Style(case, lettering) => vec![
            [0, 1].map(|w| image.case_bits(case as usize, w)),
            [0, 1].map(|w| image.lettering_bits(lettering, w)),
        ],
        _ => Vec::new(),
    };
    Some(one_by_one(c, own, states))
}

/// The shape of its punch.
pub(super) fn outline(said: Said, c: &Candidates) -> Option<Shown> {
    let image = c.image;
    if said.letters().any(|l| l.outline.is_some()) || said.absent(Kind::Letter) {
        return None;
    }
    let own = |r: &Candidate| {
        let metal = image.standard(r.view.standard()).metal();
        LetterView::outline(r.view.letter(), metal).map(Answer::Outline)
    };
    let states = |answer: Answer| match answer {
        Answer::Outline(o) => vec![[0, 1].map(|w| image.outline_bits(o, w))],
        _ => Vec::new(),
    };
    Some(one_by_one(c, own, states))
}

/// The rows that agree with something stated of a letter, and those that are silent on it.
type Stated<'b> = [Bits<'b>; 2];

/// Answers of which each row tells by itself whether it is left by them: `states` says what an answer
/// states.
fn one_by_one<'b>(
    c: &Candidates,
    own: impl Fn(&Candidate) -> Option<Answer>,
    states: impl Fn(Answer) -> Vec<Stated<'b>>,
) -> Shown {
    let mut answers: Vec<Answer> = Vec::new();
    let shows: Vec<Option<usize>> =
        c.rows.iter().map(|r| own(r).map(|a| place_in(&mut answers, a))).collect();
    let stated: Vec<Vec<Stated>> = answers.iter().map(|a| states(*a)).collect();
    let mut sorts: Vec<Sort> = Vec::new();
    let of = c
        .rows
        .iter()
        .zip(shows)
        .map(|(r, shows)| {
            let met = |bits: &Stated| bits.iter().any(|b| b.has(r.row));
            let keeps = places(&stated, |all| all.iter().all(met));
            place_in(&mut sorts, Sort { shows: shows.into_iter().collect(), keeps })
        })
        .collect();
    Shown { answers, sorts, of }
}
