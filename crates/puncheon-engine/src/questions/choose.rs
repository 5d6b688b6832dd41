//! Which feature tells most: the one whose answers leave the fewest office-years on average.

use std::cmp::Reverse;

use crate::fit::narrow::Narrow;
use crate::numbered::ByNumber;
use crate::questions::answer::{Answer, Shown};
use crate::questions::candidate::Candidates;
use crate::questions::feature::{FEATURES, Feature};

/// A feature is worth a look if its answers leave, on average, no more than this many in a hundred.
const WORTH_A_LOOK: usize = 97;

/// A feature, its answers and what they leave.
#[derive(Debug)]
pub struct Question {
    /// What to look at.
    pub feature: Feature,
    /// The answers, those that most office-years give first.
    pub answers: Vec<Found>,
    /// Office-years that the answers leave, added up over the office-years that give them.
    pub leaves: usize,
    shown: Shown,
}

/// An answer, and what it leaves.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    /// What can be found.
    pub answer: Answer,
    /// Office-years.
    pub leaves: usize,
    /// Its place among the answers as the tables have them.
    place: usize,
}

impl Question {
    /// A feature of some candidates, if its answers rule something out.
    fn of(feature: Feature, n: &Narrow, c: &Candidates) -> Option<Question> {
        let shown = feature.shown(n, c)?;
        let years = c.firsts.len();
        let leaves = c.count(shown.answers.len(), |k| shown.sort(k).keeps.as_slice());
        // Each office-year gives its answer once; where the table is silent, nothing is learnt.
        let mut given = ByNumber::all(0, shown.answers.len());
        let mut sum = 0;
        for first in &c.firsts {
            match shown.sort(*first).shows.first() {
                Some(a) => {
                    given.change(*a, |n| *n += 1);
                    sum += leaves.get(*a);
                }
                None => sum += years,
            }
        }
        if sum * 100 > years * years * WORTH_A_LOOK {
            return None;
        }
        let found = |(place, answer): (usize, &Answer)| Found {
            answer: *answer,
            leaves: leaves.get(place),
            place,
        };
        let mut answers: Vec<Found> = shown.answers.iter().enumerate().map(found).collect();
        answers.sort_by_key(|f| (Reverse(given.get(f.place)), Reverse(f.leaves), f.place));
        Some(Question { feature, answers, leaves: sum, shown })
    }

    /// The candidates that an answer leaves, one for each office-year.
    pub fn left_by<'c>(
        &'c self,
        found: &'c Found,
        c: &'c Candidates,
    ) -> impl Iterator<Item = usize> + 'c {
        let mut last = usize::MAX;
        c.rows.iter().enumerate().filter_map(move |(k, r)| {
            let kept = self.shown.sort(k).keeps.contains(&found.place);
            (kept && std::mem::replace(&mut last, r.office_year) != r.office_year).then_some(r.row)
        })
    }
}

/// The features worth a look, the most telling first; of equals the easiest to make out. Of those
/// `asked` nothing more is to be learnt.
pub fn ranked(n: &Narrow, c: &Candidates, asked: &[Feature]) -> Vec<Question> {
    if c.firsts.len() < 2 {
        return Vec::new();
    }
    let open = FEATURES.into_iter().filter(|f| !asked.iter().any(|a| a.same_marks(*f)));
    let mut out: Vec<Question> = open.filter_map(|f| Question::of(f, n, c)).collect();
    out.sort_by_key(|q| q.leaves);
    out
}
