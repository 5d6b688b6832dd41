//! The packed tables: columns of small integers and bit sets over the rows, ready to use where
//! they lie.
//!
//! [`crate::expand`] writes an image, at build time for the built-in tables and at start for a
//! user's overlay; the engine reads it. Nothing is parsed or copied when an image is opened: every
//! accessor decodes a few bytes in place.

mod bits;
mod caution;
mod ending;
mod image;
mod lookalike;
mod mark;
mod numbered;
mod office;
mod part;
mod row;
mod standard;
mod view;
mod warning;
mod weight;
mod writer;

pub use crate::meaning::Sense;
pub use bits::Bits;
pub use caution::{Applying, BoastView, CautionView, stated_words};
pub use ending::Ending;
pub(crate) use ending::{Commas, edge_hash, hash};
pub use image::Image;
pub use lookalike::LookalikeView;
pub use mark::{
    DeviceView, LetteringView, MarkView, Meets, OmissionView, ReignView, SponsorDueView,
};
pub(crate) use numbered::CASES;
pub use numbered::{METALS, SLOTS, USES};
pub use office::{GapView, OfficeView, StartView};
pub use part::{DEVICE_BITS, FEATURE_BITS, Meta, NONE8, NONE16, Part, SLOT_BITS, VALUE_BITS};
pub use row::{Group, LetterView, RowView};
pub use standard::{ScaleView, StandardView};
pub use warning::{Condition, Named, WarningView};
pub use weight::{DeductionView, UnitView};
pub(crate) use writer::Writer;
