//! The built-in hallmark tables, and nothing else.
//!
//! [`IMAGE`] is the packed form that the engine works on where it lies, made at build time from
//! the files under tables/. [`TEXTS`] is those files untouched, which are parsed only when a
//! user's own folder is laid over them.

/// The packed tables, for `puncheon_schema::image::Image::open`.
pub static IMAGE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/tables.bin"));

/// Every table file: its path below tables/, and its text.
pub static TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/texts.rs"));
