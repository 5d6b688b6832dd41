//! What became of each piece of a claim.

use std::ops::Range;

use crate::claim::{Problem, Wrong};
use crate::phrase::Pieces;
use crate::tree::{Aside, Fate, Refusal, Use};

/// For each piece what became of it; None for one that nothing has taken up.
pub(super) struct Fates(Vec<Option<Fate>>);

impl Fates {
    pub fn new(pieces: usize) -> Fates {
        Fates(vec![None; pieces])
    }

    fn set(&mut self, k: usize, fate: Fate) {
        if let Some(f) = self.0.get_mut(k) {
            *f = Some(fate);
        }
    }

    pub fn used(&mut self, k: usize, part: Use) {
        self.set(k, Fate::Used(part));
    }

    pub fn aside(&mut self, k: usize, kind: Aside) {
        self.set(k, Fate::Aside(kind));
    }

    /// It joins others, and says nothing by itself.
    pub fn joins(&mut self, k: usize) {
        self.set(k, Fate::Aside(Aside::Joining));
    }

    /// Each piece with what became of it. What nothing has taken up is refused, and so is what `wrong` is
    /// about; words that turn a date have none in `turning`, which refuses a claim.
    pub fn nodes(
        mut self,
        pieces: &Pieces,
        turning: &[usize],
        wrong: Option<&Problem>,
    ) -> Vec<(Range<usize>, Fate)> {
        if let Some(Problem { at, wrong }) = wrong.filter(|w| !w.at.is_empty()) {
            let first = pieces.pieces.partition_point(|p| p.end <= at.start);
            let there = pieces.pieces[first..].iter().take_while(|p| p.start < at.end).count();
            (first..first + there).for_each(|k| self.set(k, Fate::Refused(refusal(wrong))));
            if matches!(wrong, Wrong::NoDate | Wrong::OnlyLooks) {
                turning.iter().for_each(|k| self.set(*k, Fate::Refused(Refusal::Headless)));
            }
        }
        let fates = pieces.pieces.iter().zip(self.0);
        let lost = Fate::Refused(Refusal::NotUnderstood);
        fates.map(|(p, fate)| (p.start..p.end, fate.unwrap_or(lost))).collect()
    }
}

fn refusal(wrong: &Wrong) -> Refusal {
    match wrong {
        Wrong::NoDate | Wrong::OnlyLooks | Wrong::PartOfYear | Wrong::NoCentury => {
            Refusal::Headless
        }
        Wrong::YearOrMeasure
        | Wrong::TwoWays(..)
        | Wrong::SecondOffice
        | Wrong::BareNumber
        | Wrong::Cypher
        | Wrong::TwoClaims => Refusal::Ambiguous,
        Wrong::Denied
        | Wrong::Impossible(_)
        | Wrong::OtherMetal
        | Wrong::NeverMeet { .. }
        | Wrong::NoYears
        | Wrong::PartsApart => Refusal::Contradicts,
        _ => Refusal::NotUnderstood,
    }
}
