//! What is said last: sentences out of values.

pub mod chart;
pub mod claim;
pub mod explain;
pub mod trace;
pub mod wording;
