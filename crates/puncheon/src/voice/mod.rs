//! What is said last: sentences out of values.

pub mod explain;
pub mod figures;
pub mod refusals;
pub mod refused;
pub mod schedule;
pub mod trace;
pub mod wording;
pub mod worth;
