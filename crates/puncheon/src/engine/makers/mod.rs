//! Whose letters and whose name: the register of sponsors' marks, asked.

pub mod names;
pub mod sponsors;
