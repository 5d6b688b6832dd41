//! Whose letters and whose name: the register of sponsors' marks, asked.

pub mod asked;
pub mod left;
pub mod names;
pub mod register;
pub mod sought;
