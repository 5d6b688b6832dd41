//! The problems found so far, and the places that they name.

use crate::problem::Problem;

/// The problems found so far.
#[derive(Default)]
pub(super) struct Report(Vec<Problem>);

impl Report {
    pub(super) fn add(&mut self, spot: &Spot, rule: &str, message: impl AsRef<str>) {
        self.0.push(Problem::entry(spot.file, &spot.place, rule, message.as_ref()));
    }

    pub(super) fn sorted(mut self) -> Vec<Problem> {
        let key = |p: &Problem| {
            let Problem { file, place, rule, message, .. } = p.clone();
            (file, place, rule, message)
        };
        self.0.sort_by_cached_key(key);
        self.0.dedup();
        self.0
    }
}

/// Where an entry, or a part of one, stands.
#[derive(Clone)]
pub(super) struct Spot<'a> {
    pub(super) file: &'a str,
    pub(super) place: String,
}

impl<'a> Spot<'a> {
    pub(super) fn new(file: &'a str, place: impl Into<String>) -> Self {
        Spot { file, place: place.into() }
    }

    /// A part of the entry: `london` and `cycle 1478`.
    pub(super) fn part(&self, name: &str, number: i32) -> Self {
        Spot::new(self.file, format!("{} {name} {number}", self.place))
    }

    /// A phrase of the vocabulary.
    pub(super) fn phrase(file: &'a str, phrase: &str) -> Self {
        Spot::new(file, format!("words '{phrase}'"))
    }
}

/// `1829`, `1829 to 1831`, `1829 and after`.
pub(super) fn shown_years(from: i32, to: i32) -> String {
    match to {
        _ if to == from => from.to_string(),
        i32::MAX => format!("{from} and after"),
        _ => format!("{from} to {to}"),
    }
}
