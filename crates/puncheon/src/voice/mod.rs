//! What is said last: sentences out of values.

pub mod bearing;
pub mod cautions;
pub mod chart;
pub mod claim;
pub mod dates;
pub mod expectation;
pub mod figures;
pub mod letters;
pub mod lists;
pub mod makers;
pub mod marks;
pub mod outlines;
pub mod proof;
pub mod questions;
pub mod reading;
pub mod refusals;
pub mod refused;
pub mod schedule;
pub mod sentence;
pub mod sighting;
pub mod summary;
pub mod trace;
pub mod verdict;
pub mod wish;
pub mod wording;
pub mod worth;
