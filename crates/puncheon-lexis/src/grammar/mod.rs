//! Grammars over one tokenizer and one vocabulary: what is asked of a text decides which reads it.

pub mod charts;
pub mod claims;
pub mod dates;
pub mod deductions;
pub mod figures;
pub mod fineness;
pub mod initials;
pub mod marks;
pub mod money;
pub mod objects;
pub mod records;
pub mod replies;
pub mod weights;
