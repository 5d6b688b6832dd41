//! Metals and standards that an item names. Words for what is plated or imitated are no name of the metal, nor is
//! the name of a mark.

use std::ops::Range;

use puncheon_schema::entry::{DeviceKind, Metal};
use puncheon_schema::image::Sense;

use super::own::Is as OwnIs;
use super::{Item, Named};
use crate::phrase::Is;
use crate::sighting::What;
use crate::steps;

/// How a metal or a standard is named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fineness {
    /// The metal alone.
    Metal(Metal),
    /// A standard, by its number.
    Standard(u32),
    /// Figures that show standards, by their number among devices.
    Mark(u32),
}

/// Words that name a metal or a standard.
#[derive(Clone, Debug)]
pub struct MetalNamed {
    /// From the first of them to the last, as bytes of the text.
    pub at: Range<usize>,
    /// All that they say of it: "925 silver" says two things.
    pub says: Vec<Fineness>,
}

/// Bare figures of so many digits count something.
const BARE_FIGURES: usize = 2;

impl Item<'_, '_> {
    /// What is named, each by itself, in order.
    fn finenesses(&self) -> Vec<(Range<usize>, Fineness)> {
        let own = self.own.iter().filter_map(|o| {
            let says = match o.is {
                OwnIs::Metal(m) => Fineness::Metal(m),
                OwnIs::Standard(s) => Fineness::Standard(s),
                _ => return None,
            };
            Some((o.at.clone(), says))
        });
        let marks = self.pieces.pieces.iter().filter_map(|p| {
            let Is::Sense(Sense::Device(d)) = p.what else {
                return None;
            };
            let typed = self.said(&(p.start..p.end));
            let figures = typed.bytes().all(|b| b.is_ascii_digit());
            let bare = figures && typed.len() <= BARE_FIGURES;
            let kind = self.image.device(d as usize).kind();
            (kind == DeviceKind::Fineness && !bare).then_some((p.start..p.end, Fineness::Mark(d)))
        });
        let mut all: Vec<(Range<usize>, Fineness)> = own.chain(marks).collect();
        all.sort_by_key(|(at, _)| (at.start, usize::MAX - at.end));
        // The longest of what overlaps.
        let mut out: Vec<(Range<usize>, Fineness)> = Vec::new();
        for (at, says) in all {
            match out.last_mut() {
                Some(last) if last.0.end > at.start => {
                    if at.len() > last.0.len() {
                        *last = (at, says);
                    }
                }
                _ => out.push((at, says)),
            }
        }
        out
    }

    /// The metals and standards named, those side by side together.
    pub fn metals(&self) -> Vec<MetalNamed> {
        let mut out: Vec<MetalNamed> = Vec::new();
        for (at, says) in self.finenesses() {
            let beside = |last: &&mut MetalNamed| {
                let between = &self.text()[last.at.end..at.start];
                between.trim().is_empty()
            };
            match out.last_mut().filter(beside) {
                Some(last) => {
                    last.at.end = at.end;
                    last.says.push(says);
                }
                None => out.push(MetalNamed { at, says: vec![says] }),
            }
        }
        for m in &mut out {
            // "Silver gilt" is silver: what is on it speaks against gold alone.
            if let (Some(n), [Fineness::Metal(metal)]) = (self.beside_over(&m.at), &m.says[..])
                && !n.kind.bars(*metal)
            {
                m.at = n.at.clone();
            }
        }
        out.retain(|m| !self.names_no_metal(&m.at));
        out
    }

    /// Is a metal named at or behind this byte in any way, even as plated?
    pub fn names_metal(&self, within: &Range<usize>) -> bool {
        let inside = |at: &Range<usize>| within.start <= at.start && at.end <= within.end;
        let plain = self.own.iter().any(|o| matches!(o.is, OwnIs::Metal(_)) && inside(&o.at));
        plain || self.metals().iter().any(|m| inside(&m.at))
    }

    /// What is not the metal and is named in some of these words.
    fn beside_over(&self, at: &Range<usize>) -> Option<&Named<'_>> {
        let begun = self.beside().partition_point(|n| n.at.end <= at.start);
        self.beside().get(begun).filter(|n| n.at.start < at.end)
    }

    /// Do the words belong to what is not the metal, "gold plated", or to the name of a mark?
    fn names_no_metal(&self, at: &Range<usize>) -> bool {
        if self.beside_over(at).is_some_and(|n| n.at != *at) {
            return true;
        }
        let signs = [' ', '-'];
        self.seen.sightings.iter().any(|s| {
            steps::take(1);
            let within = s.start <= at.start && at.end <= s.end;
            within
                && match &s.what {
                    // A stamp that names the metal names it to a buyer as well.
                    What::Lookalike(_) => self.said(&(s.start..s.end)).contains(signs),
                    What::Device(_) => (s.start, s.end) != (at.start, at.end),
                    _ => false,
                }
        })
    }

    /// The end of the words at a byte that say the metal or the standard of a piece once more, where something is
    /// left behind them.
    pub fn said_again(&self, from: usize, same: impl Fn(Fineness) -> bool) -> usize {
        let mut end = from;
        for (at, says) in self.finenesses() {
            if at.start < end {
                continue;
            }
            let text = self.text();
            let rest = text[at.end..].trim_start();
            // "silver-gilt" is one word, and something has to be left.
            let one_word = text[at.end..].starts_with('-');
            let next = text[end..at.start].trim().is_empty();
            if !next || rest.is_empty() || one_word || !same(says) {
                break;
            }
            end = text.len() - rest.len();
        }
        end
    }
}
