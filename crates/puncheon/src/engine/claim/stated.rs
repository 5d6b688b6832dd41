//! What is stated of a piece in words, held against its marks: metals and standards, offices and
//! dates, makers, and words that claim what no mark tells.
//!
//! Much that names an office or a date claims none: an engraved date, a town's arms, later work. It is
//! passed over by where it stands.

use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta, Sense};

use crate::engine::borne::Borne;
use crate::engine::claim::claimed::Claim;
use crate::engine::fit::narrow::Options;
use crate::engine::words;
use crate::lexis::grammar::claims::spelled;
use crate::lexis::grammar::objects;
use crate::lexis::phrase::{Is, Pieces};
use crate::lexis::sighting::{Sighting, What};
use crate::lexis::token::Text;
use crate::tables::Tables;
use crate::voice::wording::{Asked, Because, NotBorne, Set};
use crate::{Ruling, check_claim};

/// Where something is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Item,
    Size,
    Condition,
}

impl Place {
    fn name(self) -> &'static str {
        match self {
            Place::Item => "item",
            Place::Size => "size",
            Place::Condition => "condition",
        }
    }
}

/// Why what is stated is more than the marks bear out; what they leave open goes to the notes.
pub(crate) fn held_against(
    tables: &Tables,
    asked: &Asked,
    borne: &[(usize, &Set, &Borne)],
    options: &Options,
    notes: &mut Vec<String>,
) -> Option<NotBorne> {
    let texts = [
        (Place::Item, Some(&asked.item)),
        (Place::Size, asked.size.as_ref()),
        (Place::Condition, asked.condition.as_ref()),
    ];
    for (place, text) in texts {
        let Some(text) = text else { continue };
        let refused = boast(tables.image(), place, text, borne)
            .or_else(|| maker(tables, place, text))
            .or_else(|| claimed(tables, place, &spelled(text), borne, options, notes));
        if refused.is_some() {
            return refused;
        }
    }
    let names = unknown_names(tables.image(), &asked.item);
    notes.extend(names.map(|name| {
        format!("The item names \"{name}\", which no mark that was described bears out.")
    }));
    notes.dedup();
    None
}

/// Names of two words or more that the vocabulary does not hold.
fn unknown_names(image: &Image, text: &str) -> Option<String> {
    let cut = Pieces::cut(image, Text::new(image, text));
    let name = |p: &&crate::lexis::phrase::Piece| {
        p.what == Is::Unknown && text[p.start..].starts_with(char::is_uppercase)
    };
    let from = cut.pieces.windows(2).position(|pair| pair.iter().all(|p| name(&p)))?;
    let last = cut.pieces[from..].iter().take_while(name).last()?;
    Some(text[cut.pieces[from].start..last.end].to_string())
}

fn not_borne(place: Place, said: &str, why: &str, set: Option<usize>, remedy: &str) -> NotBorne {
    NotBorne {
        because: Because::Claim,
        why: format!("The {} says \"{said}\"{why}", place.name()),
        set,
        remedy: Some(format!("Leave \"{said}\" out{remedy}")),
    }
}

/// Words that claim more than the marks bear out.
fn boast(
    image: &Image,
    place: Place,
    text: &str,
    borne: &[(usize, &Set, &Borne)],
) -> Option<NotBorne> {
    let all: Vec<(usize, &str)> = words_of(text).collect();
    for b in (0..image.meta(Meta::Boasts)).map(|b| image.boast(b)) {
        for phrase in b.say() {
            let n = phrase.split(' ').count();
            for said in all.windows(n) {
                let same = said.iter().zip(phrase.split(' '));
                if !same.clone().all(|((_, w), p)| w.to_lowercase() == p) {
                    continue;
                }
                let (from, to) = (said[0].0, said[n - 1].0 + said[n - 1].1.len());
                let standard = |b: &Borne| b.standard.as_deref() == Some(phrase);
                let at_home = |b: &Borne, offices: &[u32]| {
                    let here = |id: &Option<String>| {
                        let named = |o: &u32| Some(image.office(*o as usize).id()) == id.as_deref();
                        offices.iter().any(named)
                    };
                    b.spoken_of().all(|f| here(&f.office))
                };
                let offices: Vec<u32> = b.offices().collect();
                let bears = |b: &Borne| standard(b) || !offices.is_empty() && at_home(b, &offices);
                let set = borne.iter().find(|(_, _, b)| !bears(b));
                let Some((set, ..)) = set else { continue };
                if !offices.is_empty() && (of_a_part(text, from) || of_a_style(image, &text[to..]))
                {
                    continue;
                }
                return Some(not_borne(
                    place,
                    &text[from..to],
                    &format!(". {}", b.why()),
                    Some(*set),
                    ".",
                ));
            }
        }
    }
    None
}

/// Words with which something on the piece begins.
const ON_IT: [&str; 8] =
    ["with", "bearing", "depicting", "showing", "engraved", "inscribed", "having", "for"];

/// Does something on the piece begin before this byte, rather than the piece itself?
fn of_a_part(text: &str, at: usize) -> bool {
    let clause = clause_before(text, at);
    words_of(clause).any(|(_, w)| ON_IT.iter().any(|o| w.eq_ignore_ascii_case(o)))
}

/// Do the words that follow speak of a style?
fn of_a_style(image: &Image, after: &str) -> bool {
    matches!(meanings(image, after).first(), Some(Is::Sense(Sense::Style)))
}

/// What stands before a byte, back to the sign that parts it.
fn clause_before(text: &str, at: usize) -> &str {
    let from = text[..at].rfind([',', ';', '(', ')']).map_or(0, |i| i + 1);
    &text[from..at]
}

/// What stands behind a byte, up to the sign that parts it.
fn clause_behind(text: &str, at: usize) -> &str {
    let to = text[at..].find([',', ';', '(', ')']).map_or(text.len(), |i| at + i);
    &text[at..to]
}

fn meanings(image: &Image, text: &str) -> Vec<Is> {
    let cut = Pieces::cut(image, Text::new(image, text));
    cut.pieces.iter().map(|p| p.what).collect()
}

/// Words behind which a person stands who did not make the piece.
const GIVING: [&str; 8] =
    ["presented", "given", "donated", "owned", "used", "won", "engraved", "signed"];

/// A maker's name: one of the register, or a name behind "by".
fn maker(tables: &Tables, place: Place, text: &str) -> Option<NotBorne> {
    let all: Vec<(usize, &str)> = words_of(text).collect();
    let lower: Vec<String> = all.iter().map(|(_, w)| w.to_lowercase()).collect();
    let innocent = |at: usize| {
        let clause = clause_before(text, at).to_lowercase();
        words_of(&clause).any(|(_, w)| GIVING.contains(&w))
    };
    let refuse = |from: usize, to: usize| {
        not_borne(
            place,
            &text[from..to],
            ", and letters struck by a maker prove no name.",
            None,
            "; the sponsor's mark is told as it is struck.",
        )
    };
    for name in tables.registers().iter().flat_map(|(e, _)| e.names.clone()) {
        let parts: Vec<String> = words_of(name).map(|(_, w)| w.to_lowercase()).collect();
        if parts.len() < 2 || parts.len() > lower.len() {
            continue;
        }
        let found = lower.windows(parts.len()).position(|w| w == parts.as_slice());
        if let Some(i) = found.filter(|i| !innocent(all[*i].0)) {
            let (last, word) = all[i + parts.len() - 1];
            return Some(refuse(all[i].0, last + word.len()));
        }
    }
    let named = |w: &str| w.starts_with(char::is_uppercase);
    let by = (1..all.len())
        .find(|i| lower[i - 1] == "by" && named(all[*i].1) && !innocent(all[*i].0))?;
    let end = (by..all.len()).take_while(|i| named(all[*i].1)).last().unwrap_or(by);
    Some(refuse(all[by - 1].0, all[end].0 + all[end].1.len()))
}

/// An office, a date or a standard that is stated is held against the marks.
fn claimed(
    tables: &Tables,
    place: Place,
    text: &str,
    borne: &[(usize, &Set, &Borne)],
    options: &Options,
    notes: &mut Vec<String>,
) -> Option<NotBorne> {
    let image = tables.image();
    let seen = words::read(image, text);
    let town = |s: &Sighting| matches!(s.what, What::Town(_)).then_some(s.start..s.end);
    let spans = seen.claimed.iter().map(|c| c.start..c.end);
    let spans = spans.chain(seen.sightings.iter().filter_map(town));
    let mut claims: Vec<(&str, Claim)> = spans
        .filter_map(|span| {
            let claim = Claim::read(tables, &text[span.clone()]).ok()?;
            let claims = !innocent(image, place, text, span.start, span.end, &claim)
                && !dated_later(text, span.start, &claim, borne);
            claims.then_some((&text[span], claim))
        })
        .collect();
    claims.extend(standards_named(tables, text));
    let mut held: Vec<String> = Vec::new();
    claims.retain(|(said, _)| {
        let said = said.to_lowercase();
        let new = !held.contains(&said);
        held.push(said);
        new
    });
    for (said, claim) in claims {
        for (i, set, _) in borne {
            match check_claim(tables, &claim, &set.marks, options).verdict {
                Ruling::Holds => {}
                Ruling::Fails => {
                    return Some(not_borne(
                        place,
                        said,
                        ", and the marks speak against it.",
                        Some(*i),
                        match place {
                            Place::Item => {
                                " of the item; what was done to the piece later belongs to its condition."
                            }
                            _ => ", or say what was done to the piece then.",
                        },
                    ));
                }
                _ => notes.push(format!(
                    "The {} says \"{said}\", which the marks alone do not settle.",
                    place.name()
                )),
            }
        }
    }
    None
}

/// Small words between what was done and when.
const WHEN: [&str; 10] = ["in", "on", "at", "about", "c", "ca", "circa", "around", "the", "from"];

/// Does an office or a date claim nothing of the piece itself: a date of later work or engraving, a
/// town's arms, a period's decoration?
fn innocent(
    image: &Image,
    place: Place,
    text: &str,
    from: usize,
    to: usize,
    claim: &Claim,
) -> bool {
    let behind = clause_behind(text, to);
    let next = meanings(image, behind);
    if !claim.offices.is_empty() {
        let name = behind.strip_prefix(' ').and_then(|b| b.split(' ').next());
        // A town and a word that only a name has: a cathedral, a regiment.
        let of_a_name = name.is_some_and(|w| w.starts_with(char::is_uppercase))
            && next.first() == Some(&Is::Unknown);
        let owns = text[..to].ends_with("'s") || behind.starts_with(['\'', '\u{2019}']);
        let before = clause_before(text, from);
        let of = words_of(before).last().is_some_and(|(_, w)| w == "of");
        return place != Place::Size && (of_a_name || owns || of || of_a_part(text, from));
    }
    // A date: what was done then stands right before it.
    let before: Vec<(usize, &str)> = words_of(clause_before(text, from)).collect();
    let small = |w: &str| WHEN.iter().any(|s| w.eq_ignore_ascii_case(s));
    let deed = before.iter().rposition(|(_, w)| !small(w));
    let right_before = deed.is_some_and(|i| i + 1 == before.len());
    let done = deed.is_some_and(|i| did(image, before[i].1));
    let period = !claim.periods.is_empty();
    if done && !(period && right_before) {
        return true;
    }
    // A period's decoration, engraving or style; in a condition, a period's anything.
    let tells =
        |what: &Is| matches!(what, Is::Sense(Sense::Decorative | Sense::Engraved | Sense::Style));
    let later = next.first().is_some_and(tells);
    later || place == Place::Condition && period && words_of(behind).next().is_some()
}

/// The word for a date that stands on a piece.
const DATED: &str = "dated";

/// Is it a date on the piece that is later than its marks, and so was put there later?
fn dated_later(text: &str, from: usize, claim: &Claim, borne: &[(usize, &Set, &Borne)]) -> bool {
    let before = words_of(clause_before(text, from)).last();
    let dated = before.is_some_and(|(_, w)| w.eq_ignore_ascii_case(DATED));
    let last = borne.iter().flat_map(|(_, _, b)| b.spoken_of()).map(|f| f.to).max();
    let first = claim.years.iter().filter_map(|y| y.from).min();
    dated && first.is_some_and(|y| last.is_some_and(|last| y > last))
}

/// Does a word say that something was done to a piece: "engraved", "dated", "repaired"? What tells of
/// its marks does not.
fn did(image: &Image, word: &str) -> bool {
    let lower = word.to_lowercase();
    let of_marks = |what: &Is| {
        matches!(
            what,
            Is::Sense(Sense::Filler | Sense::MarkNoun | Sense::ClaimIntro | Sense::MadeIn)
        )
    };
    lower.ends_with("ed") && !meanings(image, &lower).iter().any(of_marks)
}

/// The first words of a text that name a precious metal, or a standard of one, other than `borne`.
pub(crate) fn unborne<'t>(
    tables: &Tables,
    text: &'t str,
    borne: Option<&'static str>,
) -> Option<&'t str> {
    standards_named(tables, text)
        .into_iter()
        .find(|(_, claim)| {
            let of = |id: &String| standard_metal(tables.image(), id);
            !claim.standards.iter().any(|id| of(id) == borne && borne.is_some())
        })
        .map(|(words, _)| words)
}

/// The words of a text that name a standard or a metal, with what they claim; the longest phrases. Words
/// for what is plated or imitated are no claim to the metal, nor is the name of a mark.
fn standards_named<'t>(tables: &Tables, text: &'t str) -> Vec<(&'t str, Claim)> {
    let image = tables.image();
    let seen = words::read(image, text);
    // "Gold plated" names no gold, whatever stands behind it.
    let not_metal = objects::named(image, text);
    let aside = |from: usize, to: usize| {
        let over = |n: &objects::Named| n.at.start < to && from < n.at.end;
        let whole = |n: &objects::Named| (n.at.start, n.at.end) == (from, to);
        if not_metal.iter().any(|n| over(n) && !whole(n)) {
            return true;
        }
        seen.sightings.iter().any(|s| {
            let within = s.start <= from && to <= s.end;
            within
                && match &s.what {
                    // A stamp that names the metal names it to a buyer as well.
                    What::Lookalike(_) => text[s.start..s.end].contains([' ', '-']),
                    What::Device(_) => (s.start, s.end) != (from, to),
                    _ => false,
                }
        })
    };
    let all: Vec<(usize, usize)> = words_of(text).map(|(at, w)| (at, at + w.len())).collect();
    let mut out = Vec::new();
    let mut next = 0;
    while next < all.len() {
        let found = (1..=LONGEST_NAME.min(all.len() - next)).rev().find_map(|n| {
            let (from, to) = (all[next].0, all[next + n - 1].1);
            let said = &text[from..to];
            // Most words name nothing: a claim is read only where one could.
            let may = n > 1 || said.len() > 2;
            // A stamp in capitals names the standard to a buyer, whoever struck it.
            let claim = Claim::read(tables, &said.to_lowercase()).ok().filter(|_| may)?;
            let whole = claim.not_used.is_empty();
            (whole && !claim.standards.is_empty() && !aside(from, to)).then_some((n, said, claim))
        });
        match found {
            Some((n, said, claim)) => {
                // Not the "with" before it.
                let bare = words_of(said).map(|(at, _)| &said[at..]).filter(|shorter| {
                    let lower = shorter.to_lowercase();
                    Claim::read(tables, &lower).is_ok_and(|c| c.standards == claim.standards)
                });
                out.push((bare.last().unwrap_or(said), claim));
                next += n;
            }
            None => next += 1,
        }
    }
    out
}

/// The longest name of a standard, in words: "18 carat gold".
const LONGEST_NAME: usize = 3;

/// Words of letters and figures, with where they begin.
fn words_of(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(move |w| (w.as_ptr() as usize - text.as_ptr() as usize, w))
}

/// The metal of a standard, by its word in the tables.
fn standard_metal(image: &Image, id: &str) -> Option<&'static str> {
    (0..image.meta(Meta::Standards))
        .map(|s| image.standard(s))
        .find(|s| s.id() == id)
        .map(|s| export::metal(s.metal()))
}
