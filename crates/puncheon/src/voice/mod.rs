//! What is said last: sentences out of values.

pub mod bearing;
pub mod chart;
pub mod claim;
pub mod dates;
pub mod letters;
pub mod marks;
pub mod proof;
pub mod reading;
pub mod sentence;
pub mod trace;
pub mod wording;
