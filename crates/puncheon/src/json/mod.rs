//! Answers in the shape that JSON prints.

pub mod reading;
pub mod schedule;
pub mod worth;
