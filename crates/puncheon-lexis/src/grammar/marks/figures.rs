//! Figures that stand beside marks and are none: the number of a design, a year that is engraved, and
//! what a piece weighed and weighs.

use crate::grammar::weights;
use crate::phrase::as_year;
use crate::sighting::{Engraving, Sighting, Weighed};
use crate::steps::{self, Counted};
use crate::token::TokenKind;

use super::Clauses;

impl Clauses<'_, '_> {
    /// Reads what stands beside the marks, once all of them are known.
    pub(super) fn figures(&mut self) {
        let mut sightings = std::mem::take(&mut self.out.sightings);
        for s in &mut sightings {
            s.number = self.number_behind(s);
        }
        self.out.sightings = sightings;
        self.out.weighed = self.weighed();
    }

    /// The figures right behind a mark, whatever signs stand between.
    fn number_behind(&self, s: &Sighting) -> Option<u32> {
        let tokens = &self.p.text.tokens;
        let behind = tokens.partition_point(|t| t.start < s.end);
        let mut words = tokens[behind..].iter().counted();
        let figures = words.find(|t| !matches!(t.kind, TokenKind::Punct(_)))?;
        let typed = self.p.text.typed[figures.start..].chars().counted();
        let digits: String = typed
            .take_while(|c| c.is_ascii_digit() || *c == ',')
            .filter(char::is_ascii_digit)
            .collect();
        digits.parse().ok()
    }

    /// A scratch weight, and the weight that stands outside all that is engraved.
    fn weighed(&self) -> Option<Weighed> {
        let typed = self.p.text.typed;
        let mut engraved = self.out.engraved.iter().map(|e| &typed[e.at.clone()]);
        let then = engraved.find_map(|text| weights::scratched(self.image, text))?;
        // What is engraved stands in the order of the text.
        let mut outside = String::with_capacity(typed.len());
        let mut from = 0;
        for e in &self.out.engraved {
            steps::take(1);
            outside.push_str(typed.get(from..e.at.start).unwrap_or_default());
            from = e.at.end;
        }
        outside.push_str(typed.get(from..).unwrap_or_default());
        let now = weights::first(self.image, &outside)?;
        Some(Weighed { then, now })
    }
}

/// What is engraved at some bytes of a text.
pub(super) fn engraving(typed: &str, at: std::ops::Range<usize>) -> Engraving {
    let years = typed[at.clone()].split(|c: char| !c.is_ascii_digit()).filter_map(as_year);
    Engraving { latest: years.max(), at }
}
