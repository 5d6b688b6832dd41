//! What would settle a claim: the feature that parts what lies in it from the rest.

use crate::fit::narrow::Narrow;
use crate::numbered::ByNumber;
use crate::questions::answer::Answer;
use crate::questions::candidate::Candidates;
use crate::questions::feature::{FEATURES, Feature};

/// A feature with more answers than this inside a claim settles nothing.
const MOST_ANSWERS: usize = 4;

/// A feature to look at, and what has to be found if a claim is true.
#[derive(Debug)]
pub struct Settling {
    /// What to look at.
    pub feature: Feature,
    /// Any of these.
    pub found: Vec<Answer>,
    /// Office-years outside the claim that would still be left.
    pub others: usize,
}

/// The feature that best parts some of the candidates from the rest, if it leaves no more than half of
/// the rest. `inside` says which are meant.
pub fn settling(n: &Narrow, c: &Candidates, inside: impl Fn(usize) -> bool) -> Option<Settling> {
    let inside: ByNumber<bool> = c.rows.iter().map(|r| inside(r.row)).collect();
    let outside = |keeps: &dyn Fn(usize) -> bool| {
        let one = |k: usize| if !inside.get(k) && keeps(k) { &[0][..] } else { &[] };
        c.count(1, one).get(0)
    };
    let all = outside(&|_| true);
    let mut best: Option<Settling> = None;
    for feature in FEATURES {
        let Some(shown) = feature.shown(n, c) else { continue };
        let mut wanted: Vec<usize> = Vec::new();
        for (k, _) in c.rows.iter().enumerate().filter(|(k, r)| inside.get(*k) && r.leads) {
            wanted.extend(&shown.sort(k).shows);
        }
        wanted.sort_unstable();
        wanted.dedup();
        if wanted.is_empty() || wanted.len() > MOST_ANSWERS {
            continue;
        }
        let others = outside(&|k| shown.sort(k).keeps.iter().any(|a| wanted.contains(a)));
        if others * 2 <= all && others < all && best.as_ref().is_none_or(|b| others < b.others) {
            let found = wanted.iter().filter_map(|a| shown.answers.get(*a).copied()).collect();
            best = Some(Settling { feature, found, others });
        }
    }
    best
}
