//! How each sighting bears on an entry, in sentences.

use std::cell::RefCell;

use puncheon_schema::entry::Case;
use puncheon_schema::image::{Image, MarkView, RowView};

use crate::engine::fit::bearing::{self as value, By, Clash, Features, owners};
use crate::engine::fit::evidence::Feature;
use crate::engine::fit::narrow::Narrow;
use crate::json::reading::{Bearing, Kind, Misreading};
use crate::lexis::sighting::{LetterSeen, Sighting, What};
use crate::voice::letters::{letter_and_days, letter_sentence, style_of, years};
use crate::voice::marks::{mark_sentence, standard_sentence};
use crate::voice::sentence::{sentence, with_article};
use crate::voice::sighting::{self, slot_name};

/// Writes the sentences of one description.
pub(crate) struct Teller<'n> {
    pub n: &'n Narrow<'n>,
    /// Sentences of marks already told, by mark and office: many entries share them.
    told: RefCell<Vec<(usize, usize, String)>>,
}

/// How all sightings bear on one row.
pub(crate) struct Bearings {
    pub agrees: Vec<Bearing>,
    pub silent: Vec<Bearing>,
    pub strains: Vec<Bearing>,
    pub clashes: Vec<Misreading>,
}

impl<'n> Teller<'n> {
    pub fn new(n: &'n Narrow<'n>) -> Teller<'n> {
        Teller { n, told: RefCell::default() }
    }

    pub fn bearings(&self, row: usize) -> Bearings {
        let all = value::bearings(self.n, row);
        let view = self.n.image.row(row);
        Bearings {
            agrees: all.agrees.iter().map(|b| self.agrees(view, b)).collect(),
            silent: all.silent.iter().map(|b| self.silent(b)).collect(),
            strains: all.strains.iter().map(|b| self.strains(view, b)).collect(),
            clashes: all.clashes.iter().map(|c| self.misreading(view, c)).collect(),
        }
    }

    /// Something that agrees with a row.
    pub fn agrees(&self, view: RowView, b: &value::Bearing) -> Bearing {
        let sighting = b.sighting();
        let agreed = sighting.map(|i| &self.n.sightings[i]).into_iter().flat_map(|s| {
            let features = b.features.iter();
            features.map(move |f| self.agreed(view, s, f, b.mark))
        });
        let why: Vec<String> = agreed.chain(unknown(b.silent)).collect();
        let of_letter =
            sighting.and_then(|i| match (&self.n.sightings[i].what, b.features.iter().next()?) {
                (What::Letter(_), f) if f != Feature::Outline => {
                    let rest = why.iter().skip(1).cloned();
                    let said = std::iter::once(letter_and_days(self.n.image, view)).chain(rest);
                    Some(said.collect::<Vec<_>>().join("; "))
                }
                _ => None,
            });
        Bearing { sighting, why: sentence(why.join("; ")), of_letter }
    }

    /// Something on which the tables are silent.
    pub fn silent(&self, b: &value::Bearing) -> Bearing {
        let sighting = b.sighting();
        let why = match sighting.map(|i| &self.n.sightings[i].what) {
            _ if !b.silent.is_empty() => unknown(b.silent).collect::<Vec<_>>().join("; "),
            Some(What::Letter(_)) => "a date letter, not read".to_string(),
            Some(What::Absent(_)) => "nothing known speaks for or against it".to_string(),
            _ => "says nothing of office or year here".to_string(),
        };
        Bearing { sighting, why: sentence(why), of_letter: None }
    }

    /// Something that strains a row.
    pub fn strains(&self, view: RowView, b: &value::Bearing) -> Bearing {
        let why = match b.by {
            By::Sighting(i) => {
                let s = &self.n.sightings[i];
                let each = b.features.iter().map(|f| strained(self.n.image, view, s, f, b.mark));
                each.collect::<Vec<_>>().join("; ")
            }
            By::Missing(slot) => {
                format!(
                    "the {} is due and was not described",
                    slot.map_or("date letter", slot_name)
                )
            }
            By::Disputed => format!("sources differ on the letter of {}", years(view)),
        };
        Bearing { sighting: b.sighting(), why: sentence(why), of_letter: None }
    }

    /// What would have to be misread.
    pub fn misreading(&self, view: RowView, c: &Clash) -> Misreading {
        let s = &self.n.sightings[c.sighting];
        let (saw, would_be) = misread(self.n.image, view, s, c);
        let if_so = self.if_so(c, &saw, &would_be);
        Misreading { sighting: Some(c.sighting), saw, would_be, easy: c.easy, if_so }
    }

    /// Would what was described have to be absent?
    pub fn absent(&self, c: &Clash) -> bool {
        let what = &self.n.sightings[c.sighting].what;
        let named = matches!(what, What::Town(_) | What::Standard(_));
        c.feature == Feature::Mark && c.mark.is_none() && !named
    }

    /// "if the f is t", "if the small letter is capital", "if the king's head is the head of Victoria".
    pub fn if_so(&self, c: &Clash, saw: &str, would_be: &str) -> String {
        let letter = self.n.sightings[c.sighting].kind(self.n.image) == Kind::Letter;
        let article = if letter { "" } else { "the " };
        // A case or a lettering is said by an adjective, and a letter has two signs at most.
        let adjective = letter && saw.chars().count() > 2 && !saw.ends_with("letter");
        let noun = if adjective { " letter" } else { "" };
        format!("if the {saw}{noun} is {article}{would_be}")
    }

    fn agreed(&self, view: RowView, s: &Sighting, f: Feature, mark: Option<usize>) -> String {
        match (&s.what, mark) {
            (What::Device(_) | What::Slot(_), Some(m)) => self.told(view, self.n.image.mark(m)),
            _ => agreed(self.n.image, view, s, f, mark),
        }
    }

    /// [`mark_sentence`], made once for each mark and office.
    fn told(&self, view: RowView, m: MarkView) -> String {
        let office = view.letter().office();
        let mut told = self.told.borrow_mut();
        if let Some((.., s)) = told.iter().find(|(mark, at, _)| (*mark, *at) == (m.i, office)) {
            return s.clone();
        }
        let s = mark_sentence(self.n.image, view, m);
        told.push((m.i, office, s.clone()));
        s
    }
}

/// What is said of features on which the table is silent.
fn unknown(features: Features) -> impl Iterator<Item = String> {
    features.iter().map(|f| not_known(f).to_string())
}

/// That the table is silent on a feature.
pub(crate) fn not_known(f: Feature) -> &'static str {
    match f {
        Feature::Letter => "the letter of this year is not known",
        Feature::Case => "nothing is known of its case here",
        Feature::Lettering => "the lettering of this year is not known",
        Feature::Outline => "the outline is not known",
        Feature::Mark => "nothing is known of it here",
    }
}

/// What a feature that agrees is. `mark`: the mark that the sighting meets.
pub(crate) fn agreed(
    image: &Image,
    view: RowView,
    s: &Sighting,
    f: Feature,
    mark: Option<usize>,
) -> String {
    match &s.what {
        What::Letter(_) if f == Feature::Outline => {
            let outline = view.letter().outline(image.standard(view.standard()).metal());
            let name = outline.map_or("", |o| image.outline_name(o));
            format!("in {}", with_article(name))
        }
        What::Letter(_) => letter_sentence(image, view),
        What::Absent(w) => format!("no {} is due here", sighting::what(image, w)),
        What::Town(o) => format!("mark of {}", image.office(*o as usize).name()),
        What::Standard(st) => standard_sentence(image, *st as usize),
        _ => mark.map_or_else(String::new, |m| mark_sentence(image, view, image.mark(m))),
    }
}

/// What a feature that strains would have to be.
pub(crate) fn strained(
    image: &Image,
    view: RowView,
    s: &Sighting,
    f: Feature,
    mark: Option<usize>,
) -> String {
    let l = view.letter();
    match (f, &s.what) {
        (Feature::Letter, What::Letter(_)) => {
            format!("worn or doubtful: the letter of {} is {}", years(view), l.struck())
        }
        (Feature::Case, _) => {
            format!("the table gives {} here, but is not sure of its case", style_of(image, view))
        }
        (Feature::Lettering, What::Letter(LetterSeen { lettering_doubt: true, .. })) => {
            format!("doubtful: {} was {}", years(view), style_of(image, view))
        }
        (Feature::Lettering, _) => format!(
            "{} was {}, which is close, or not surely known",
            years(view),
            style_of(image, view)
        ),
        (Feature::Outline, _) => {
            let outline = l.outline(image.standard(view.standard()).metal());
            let name = outline.map_or("different outline", |o| image.outline_name(o));
            format!("the table gives {}; punches vary", with_article(name))
        }
        (_, What::Absent(w)) => {
            format!("{} is due here; small articles and wear excuse it", sighting::what(image, w))
        }
        _ => match mark {
            Some(m) => {
                format!("would have to be the {}", image.device(image.mark(m).device()).name())
            }
            None => format!("no such mark stood in {}; it would have to be misread", years(view)),
        },
    }
}

/// What was described of a feature that clashes, and what it would have to be.
pub(crate) fn misread(image: &Image, view: RowView, s: &Sighting, c: &Clash) -> (String, String) {
    let l = view.letter();
    let lettering = |n: usize| image.lettering(n).name().to_string();
    let saw = match (&s.what, c.feature) {
        (What::Letter(seen), Feature::Case) => case(seen.case).to_string(),
        (What::Letter(seen), Feature::Lettering) => {
            seen.lettering.map_or(String::new(), |n| lettering(n as usize))
        }
        (What::Letter(seen), Feature::Letter) => {
            seen.values.iter().map(|v| v.shown.clone()).collect::<Vec<_>>().join(" or ")
        }
        (what, _) => sighting::what(image, what),
    };
    let would_be = match (c.feature, &s.what, c.mark) {
        (Feature::Letter, ..) => l.struck().to_string(),
        (Feature::Case, ..) => case(Some(l.case())).into(),
        (Feature::Lettering, ..) => {
            l.lettering().map_or_else(|| "another lettering".into(), lettering)
        }
        (Feature::Outline, ..) => "another outline".into(),
        (Feature::Mark, What::Town(_), _) => format!("mark of {}", image.office(l.office()).name()),
        (Feature::Mark, What::Standard(_), _) => image.standard(view.standard()).name().to_string(),
        (Feature::Mark, _, Some(m)) => image.device(image.mark(m).device()).name().to_string(),
        (Feature::Mark, _, None) => {
            format!("not there at {} in {}", image.office(l.office()).name(), years(view))
        }
    };
    (saw, would_be)
}

fn case(c: Option<Case>) -> &'static str {
    match c {
        Some(Case::Upper) => "capital",
        _ => "small",
    }
}

/// Why two sightings never stand together, a sentence.
pub(crate) fn apart(n: &Narrow, pair: [usize; 2], asked: &str) -> String {
    let image = n.image;
    let [a, b] = pair.map(|i| {
        let s = &n.sightings[i];
        let words = asked[s.quoted(asked)].trim();
        let offices = owners(image, s);
        let offices: Vec<&str> = offices.iter().map(|o| image.office(*o).name()).collect();
        match offices.as_slice() {
            [] => {
                let name = sighting::reads_as(image, s);
                let name = match &s.what {
                    What::Letter(_) => format!("the letter {name}"),
                    _ => with_article(&name),
                };
                format!("\"{words}\" is {name}")
            }
            offices => format!("\"{words}\" is the mark of {}", offices.join(" or ")),
        }
    });
    let why = match n.free {
        true => "they never stood together",
        false => "no year within the bounds asked for has both",
    };
    format!("{a} and {b}: {why}.")
}
