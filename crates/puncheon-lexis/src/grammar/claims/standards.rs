//! The standards and metals of a claim.

use puncheon_schema::entry::{DeviceKind, LookalikeKind, OutsideBecause};
use puncheon_schema::export;
use puncheon_schema::image::{LookalikeView, METALS, Meta};

use super::Reader;
use crate::claim::{Problem, Wrong};
use crate::grammar::dates::Dating;
use crate::phrase::{Piece, as_year};
use crate::tree::{Aside, Use};

impl Reader<'_, '_> {
    pub(super) fn standard(&mut self, k: usize, s: u32) {
        self.fates.used(k, Use::Standard);
        if !self.claim.standards.contains(&s) {
            self.claim.standards.push(s);
        }
    }

    /// A figure of fineness or a standard's picture claims every standard that it shows.
    pub(super) fn device(&mut self, k: usize, d: u32, dating: &mut Dating) -> Result<(), Problem> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        let typed = self.pieces.typed(&p).to_string();
        // "1935 Jubilee" claims the year.
        let year = typed.split(|c: char| !c.is_ascii_digit()).find_map(as_year);
        if let Some(y) = year {
            self.date(k, k, (y, y), std::mem::take(dating));
            return Ok(());
        }
        let kind = image.device(d as usize).kind();
        match kind {
            // A bare number of one or two figures counts or dates something: "'84".
            DeviceKind::Fineness | DeviceKind::Lookalike
                if typed.len() <= 2
                    && typed.bytes().all(|b| b.is_ascii_digit())
                    && self.metals.is_empty()
                    && !self.metal_follows(k) =>
            {
                return Err(Problem::new(p.start..p.end, Wrong::BareNumber));
            }
            DeviceKind::Fineness | DeviceKind::Standard => {
                let bits = image.device_bits(d as usize, 0);
                let rows = (0..image.meta(Meta::Rows)).filter(|r| bits.has(*r));
                let mut shown: Vec<u32> = rows.map(|r| image.row(r).standard() as u32).collect();
                shown.sort_unstable();
                shown.dedup();
                // A lion stands for several standards, of which any will do; a standard's own word for it.
                let named = |s: &u32| image.standard(*s as usize).id().eq_ignore_ascii_case(&typed);
                if let Some(s) = shown.iter().copied().find(named) {
                    self.standard(k, s);
                } else if kind == DeviceKind::Standard && shown.len() > 1 {
                    self.fates.used(k, Use::Standard);
                    self.shown.push(shown);
                } else {
                    shown.into_iter().for_each(|s| self.standard(k, s));
                }
            }
            DeviceKind::Lookalike => {
                let named = |s: &usize| image.standard(*s).name().eq_ignore_ascii_case(&typed);
                if let Some(s) = (0..image.meta(Meta::Standards)).find(named) {
                    self.standard(k, s as u32);
                    return Ok(());
                }
                let shows = |x: u32| image.covers(x as usize, d as usize);
                let entry = (0..image.meta(Meta::Lookalikes))
                    .map(|i| (i as u32, image.lookalike(i)))
                    .find(|(_, l)| l.needs().any(|mut set| set.all(shows)));
                if let Some((l, _)) = entry.filter(|(_, l)| l.denies() || !l.town().is_empty()) {
                    return Err(Problem::new(p.start..p.end, Wrong::Impossible(l)));
                }
                // Words that name a metal and are no mark seen: "gold plated", "American silver".
                let elsewhere = |l: &LookalikeView| {
                    use LookalikeKind::{Foreign, Plate, Pseudo};
                    let kind = matches!(l.kind(), Foreign | Plate | Pseudo);
                    kind && self.metals_in(&p).len() == 1
                        || l.outside() == Some(OutsideBecause::ForeignFineness)
                        || self.turns(k)
                };
                if let Some((l, _)) = entry.filter(|(_, l)| elsewhere(l)) {
                    return Err(Problem::new(p.start..p.end, Wrong::NoStandard(l)));
                }
                self.aside(k, Aside::Thing);
            }
            _ => self.aside(k, Aside::Thing),
        }
        Ok(())
    }

    pub(super) fn metal_follows(&self, k: usize) -> bool {
        self.pieces.pieces.get(k + 1).is_some_and(|p| !self.metals_in(p).is_empty())
    }

    /// The metals that a phrase names in so many words: "solid silver", "rose gold".
    pub(super) fn metals_in(&self, p: &Piece) -> Vec<usize> {
        let typed = self.pieces.typed(p).to_lowercase();
        (0..METALS.len())
            .filter(|m| {
                typed.split(|c: char| !c.is_alphabetic()).any(|w| w == export::metal(METALS[*m]))
            })
            .collect()
    }
    /// A mark named beside what is claimed narrows it to the standards that the mark may stand for.
    pub(super) fn marks_shown(&mut self) {
        for shown in std::mem::take(&mut self.shown) {
            // What is said in words stands.
            if self.claim.standards.is_empty() {
                self.claim.standards = shown;
            } else if self.claim.standards.iter().any(|s| shown.contains(s)) {
                self.claim.standards.retain(|s| shown.contains(s));
            }
        }
    }

    pub(super) fn standards_together(&mut self) -> Result<(), Problem> {
        if self.metals.is_empty() {
            return Ok(());
        }
        let of_metal = |s: &u32| {
            let metal = self.image.standard(*s as usize).metal();
            self.metals.iter().any(|m| METALS[*m] == metal)
        };
        if self.claim.standards.is_empty() {
            let all = 0..self.image.meta(Meta::Standards) as u32;
            self.claim.standards = all.filter(of_metal).collect();
        } else {
            self.claim.standards.retain(of_metal);
            if self.claim.standards.is_empty() {
                return Err(Problem::new(self.all(), Wrong::OtherMetal));
            }
        }
        Ok(())
    }
}
