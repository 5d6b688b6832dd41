//! The shape and the rules of puncheon's hallmark tables.
//!
//! The tables are RON files typed by hand ([`entry`]). This crate reads them ([`read`]), proves
//! that they agree with themselves ([`verify`]), and expands them into the packed form that the
//! engine works on ([`expand`], [`packed`]). It knows nothing of which tables are built in, nor of
//! how a description is matched.

pub mod date;
pub mod entry;
pub mod expand;
pub mod export;
pub mod head;
pub mod letters;
mod lexicon;
mod meaning;
pub mod own;
pub mod packed;
pub mod problem;
mod product;
pub mod read;
pub mod register;
mod trie;
pub mod verify;

pub use entry::sponsor;
pub use packed as image;
pub use problem::Problem;
pub use read::Entries;
