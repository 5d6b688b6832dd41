//! What was said, held against the tables: answers in values.

#![allow(missing_docs)]

pub mod books;
pub mod cautions;
pub mod chart;
pub mod claim;
pub mod expect;
pub mod fit;
pub mod makers;
pub mod metal;
pub mod outlines;
pub mod place;
pub mod questions;
pub mod words;
pub mod worth;
