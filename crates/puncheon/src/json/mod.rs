//! Answers in the shape that JSON prints.

pub mod expectation;
pub mod makers;
pub mod reading;
pub mod verdict;
