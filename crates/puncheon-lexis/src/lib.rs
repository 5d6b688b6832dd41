//! Text to what was said. Nothing here knows a row, a year of a letter or an answer: the tokens of a
//! text ([`token`]), the longest phrases of the vocabulary ([`phrase`]), slips of spelling ([`near`])
//! and the grammars that read them ([`grammar`]).

pub mod claim;
pub mod grammar;
pub mod near;
pub mod phrase;
pub mod said;
pub mod sighting;
pub mod steps;
pub mod token;
pub mod tree;
