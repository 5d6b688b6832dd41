//! What is left and what to look at next, in the shape that JSON prints.

use serde::Serialize;

/// Office-years that fit: how many are left, and how many more could be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct YearsLeft {
    /// Those that fit as well as the first fit does.
    pub years: usize,
    /// The others: they fit if a mark is worn or loosely said, or their letter is not known.
    pub more: usize,
    /// Those of the others whose letter is not known.
    #[serde(skip)]
    pub unread: usize,
    /// Offices among those that fit as well as the first.
    #[serde(skip)]
    pub offices: usize,
    /// First and last letter year of those.
    #[serde(skip)]
    pub span: Option<(i32, i32)>,
}

/// What to look at next, and what each answer would leave.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LookNext {
    /// The feature not yet described.
    pub feature: String,
    /// What is asked of it, as the bench does.
    pub asks: String,
    /// Its answers.
    pub answers: Vec<Answer>,
}

/// One answer of [`LookNext`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// What is found.
    #[serde(rename = "if")]
    pub found: String,
    /// How many office-years it would leave.
    pub leaves: usize,
}

/// What would settle a claim.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Settles {
    /// The feature to look at, not yet described.
    pub feature: String,
    /// What it has to be if the claim is true.
    #[serde(rename = "if")]
    pub found: Vec<String>,
    /// Office-years outside the claim that would still be left.
    pub others: usize,
}
