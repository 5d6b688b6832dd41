//! What was said, held against the tables: answers in values.
//!
//! No text is made here and nothing ends the program: `clippy.toml` forbids the macros that would, and
//! these lints what may panic.

#![deny(
    clippy::disallowed_macros,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unwrap_used
)]

pub mod books;
pub mod cautions;
pub mod chart;
pub mod claim;
pub mod expect;
pub mod fit;
pub mod makers;
pub mod metal;
pub mod numbered;
pub mod outlines;
pub mod place;
pub mod questions;
pub mod words;
pub mod worth;
