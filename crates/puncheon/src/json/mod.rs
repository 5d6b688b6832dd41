//! Answers in the shape that JSON prints.

pub mod cautions;
pub mod chart;
pub mod claim;
pub mod expectation;
pub mod makers;
pub mod outlines;
pub mod questions;
pub mod reading;
pub mod schedule;
pub mod verdict;
pub mod words;
pub mod worth;
