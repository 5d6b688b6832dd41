//! What is shown of an answer.

use puncheon::Tables;

use crate::out::named;

pub mod brief;
pub mod cautions;
pub mod chart;
pub mod expectation;
pub mod makers;
pub mod outlines;
pub mod reading;
pub mod remarks;
pub mod verdict;
pub mod wording;
pub mod worth;

/// A line where a folder of tables lies over the built-in ones.
pub fn overlay(tables: &Tables) -> String {
    tables.overlay().map_or(String::new(), |folder| {
        format!("\nWith the tables in {} laid over the built-in ones.\n", named(folder))
    })
}
