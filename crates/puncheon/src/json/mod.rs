//! Answers in the shape that JSON prints.

pub mod reading;
