//! What is said last: sentences out of values.

pub mod explain;
pub mod sighting;
pub mod trace;
pub mod wording;
