//! The built-in hallmark tables, and nothing else.
//!
//! [`IMAGE`] and [`REGISTER`] are the packed forms that the engine works on where they lie, made at
//! build time from the files under tables/. [`TEXTS`] is those files untouched, which are parsed only when a
//! user's own folder is laid over them.

/// The packed tables, for `puncheon_schema::image::Image::open`.
pub static IMAGE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/tables.bin"));

/// The packed register of sponsors' marks, for `puncheon_schema::register::Register::open`.
pub static REGISTER: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/register.bin"));

/// Every table file but those of the register: its path below tables/, and its text.
pub static TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/texts.rs"));

/// The files of the register, likewise. A user's entries lie over the packed register, so that these
/// are parsed only to be proved again.
pub static SPONSOR_TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/sponsor_texts.rs"));
