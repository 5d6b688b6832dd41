//! Answers in the shape that JSON prints.

pub mod chart;
pub mod expectation;
pub mod makers;
pub mod reading;
pub mod verdict;
