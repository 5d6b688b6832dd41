//! The commands: each takes its options, has the library answer and hands the answer on with its views.

pub mod ask;
pub mod cautions;
pub mod chart;
pub mod check;
pub mod enrich;
pub mod expect;
mod notebook;
pub mod outlines;
pub mod read;
pub mod say;
pub mod sponsors;
pub mod tables;
pub mod why;
pub mod worth;
