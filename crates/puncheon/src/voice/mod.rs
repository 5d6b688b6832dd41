//! What is said last: sentences out of values.

pub mod bearing;
pub mod dates;
pub mod letters;
pub mod marks;
pub mod proof;
pub mod reading;
pub mod sentence;
pub mod sighting;
pub mod trace;
pub mod wording;
