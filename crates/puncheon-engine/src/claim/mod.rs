//! What is claimed of a piece, held against its marks.

pub mod attributed;
pub mod check;
pub mod claimed;
pub mod item;
pub mod verdict;
pub mod warnings;
