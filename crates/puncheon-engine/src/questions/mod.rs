//! What is left, and what to look at next: one engine for a reading, a claim and the bench.
//!
//! It works in values: [`candidate`] holds the rows that are left and their office-years, [`feature`]
//! says what can still be looked at, [`answer`] what can be found, [`letters`] and [`marks`] which
//! candidate shows which answer, [`choose`] weighs the features and [`settle`] finds the one that
//! parts a claim from the rest.

pub mod answer;
pub mod candidate;
pub mod choose;
pub mod feature;
pub mod letters;
pub mod marks;
pub mod settle;

use crate::fit::answer::Decided;
use crate::fit::outcome::OutsideBecause;
use crate::questions::candidate::{Candidates, Leader, Scope};

pub use answer::Answer;
pub use feature::Feature;

/// What is left of a description. One that only says nothing of a mark leaves every year that it does
/// not speak against; one that lies outside the tables otherwise leaves none.
pub fn left<'a>(d: &Decided<'a>) -> Candidates<'a> {
    match d.outside_because {
        None => Candidates::of(&d.narrow, &d.leaders, Scope::Left),
        Some(OutsideBecause::NothingUnderstood) => {
            let groups = d.narrow.group(&d.narrow.fits(), (0, 0));
            let leaders: Vec<Leader> = groups.iter().map(Leader::of).collect();
            Candidates::of(&d.narrow, &leaders, Scope::Left)
        }
        Some(_) => Candidates::none(d.narrow.image),
    }
}

/// All that fits, whether well or loosely: what a claim is held against.
pub fn fitting<'a>(d: &Decided<'a>) -> Candidates<'a> {
    Candidates::of(&d.narrow, &d.leaders, Scope::Fits)
}
