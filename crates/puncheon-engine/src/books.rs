//! What an answer is looked up in.

use puncheon_schema::image::Image;

use crate::makers::register::Registers;

/// The tables, with the registers of makers that go with them.
#[derive(Clone, Copy, Debug)]
pub struct Books<'t> {
    /// The packed tables.
    pub image: &'t Image,
    /// The registers of sponsors' marks.
    pub registers: &'t Registers,
}
