//! What can be found of a feature, and which candidates show it.

use puncheon_schema::entry::Case;

/// An answer to a question. Numbers are those of the tables' image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The date letter is this one.
    Letter(usize),
    /// The letter is of this case and lettering.
    Style(Case, usize),
    /// The punch of the letter has this outline.
    Outline(usize),
    /// The mark shows this device.
    Device(usize),
    /// There is no such mark.
    Missing,
}

/// The answers to one feature, and what each candidate makes of them.
#[derive(Debug, Default)]
pub struct Shown {
    /// The answers, as the tables have them.
    pub answers: Vec<Answer>,
    /// What candidates of one sort make of them.
    pub sorts: Vec<Sort>,
    /// The sort of each candidate.
    pub of: Vec<usize>,
}

/// Candidates that say the same of a feature. Answers go by their place in the list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sort {
    /// Answers that may be found on such a piece, the first of them the plainest; none where the
    /// tables are silent.
    pub shows: Vec<usize>,
    /// Answers that leave it: agreeing, or silent.
    pub keeps: Vec<usize>,
}

impl Shown {
    /// What a candidate makes of the answers; one that is not known is silent.
    pub fn sort(&self, candidate: usize) -> &Sort {
        static SILENT: Sort = Sort { shows: Vec::new(), keeps: Vec::new() };
        let sort = self.of.get(candidate).and_then(|sort| self.sorts.get(*sort));
        sort.unwrap_or(&SILENT)
    }
}

/// The place of a value in a list, at whose end it is put if it is new.
pub fn place_in<T: PartialEq>(list: &mut Vec<T>, value: T) -> usize {
    list.iter().position(|x| *x == value).unwrap_or_else(|| {
        list.push(value);
        list.len() - 1
    })
}
