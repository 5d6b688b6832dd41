//! What is shown of an answer, where several commands show it.

pub mod brief;
pub mod makers;
pub mod reading;
pub mod remarks;
