//! The sponsor's mark as struck, and whom of the register it is consistent with.

use puncheon_schema::image::Sense;

use crate::json::reading::{Kind, Reading};
use crate::lexis::grammar::objects::Item;
use crate::lexis::phrase::{Is, Piece};
use crate::voice::lists::{clean, either};

/// Makers of the register named side by side; of more none is named.
const MAKERS: usize = 3;

/// The sponsor's mark as struck: its letters, with the words for their style and punch.
pub(super) fn sponsor(marks: &Item, reading: &Reading) -> Option<String> {
    let seen = reading.sightings.iter().find(|s| s.kind == Kind::Sponsor)?;
    let letters = |w: &str| {
        let n = w.chars().filter(|c| c.is_alphabetic()).count();
        (1..=4).contains(&n)
            && w.chars().all(|c| !c.is_lowercase())
            && w.chars().any(char::is_uppercase)
    };
    let mut words = seen.text.split(' ').filter(|w| letters(w));
    let at = |w: &str| w.as_ptr() as usize - seen.text.as_ptr() as usize + seen.start;
    let first = at(words.next()?);
    let last = seen.text.split(' ').rfind(|w| letters(w))?;
    let last = at(last) + last.trim_end_matches([',', ';']).len();
    // Words of style may stand on either side of the letters, up to the sign that parts marks.
    let typed = marks.text();
    let parts = |c: char| matches!(c, ',' | ';' | ':' | '\n');
    let from = typed[..first].rfind(parts).map_or(0, |i| i + 1);
    let to = typed[last..].find(parts).map_or(typed.len(), |i| last + i);
    let pieces = &marks.pieces.pieces;
    let within = |from: usize, to: usize| {
        let begin = pieces.partition_point(|p| p.start < from);
        let end = pieces.partition_point(|p| p.end <= to);
        &pieces[begin..end.max(begin)]
    };
    let before = within(from, first).iter().rev().take_while(|p| style(p)).last();
    let behind: Vec<&Piece> = within(last, to).iter().take_while(|p| style(p)).collect();
    let behind = behind.iter().rev().find(|p| !joins(p));
    let from = before.map_or(first, |p| p.start);
    let to = behind.map_or(last, |p| p.end);
    Some(clean(&typed[from..to]))
}

fn style(p: &Piece) -> bool {
    joins(p)
        || matches!(
            p.what,
            Is::Sense(Sense::Lettering(_) | Sense::Case(_) | Sense::Outline(_) | Sense::Decorative)
        )
}

fn joins(p: &Piece) -> bool {
    matches!(p.what, Is::Sense(Sense::In | Sense::Article))
}

/// Who the sponsor's mark is consistent with by the register, in words that go on from it. Letters
/// alone name no one.
pub(super) fn consistent_with(reading: &Reading) -> Option<String> {
    let mut makers: Vec<String> = Vec::new();
    for met in reading.sponsors.iter().filter(|m| m.maker.consistent()) {
        let who = met.maker.who();
        if !makers.contains(&who) {
            makers.push(who);
        }
    }
    match makers.len() {
        0 => None,
        n if n > MAKERS => Some("several makers used these letters".into()),
        _ => Some(format!("consistent with {}, among others", either(&makers))),
    }
}
