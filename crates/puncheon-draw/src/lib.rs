//! Draws date letters in their lettering within their outlines, as SVG, and pages of them as HTML.
//!
//! Letters are always paths, so that they look the same everywhere; years and words are text. What
//! the tables do not know is drawn as not known, and where a letter had to be drawn in another
//! lettering than its own, the drawing says so.
//!
//! ```
//! let tables = puncheon::Tables::builtin();
//! let reading = puncheon::read(tables, "anchor, lion passant, small roman f, king's head", &Default::default());
//! let svg = puncheon_draw::candidates(tables, &reading, 12);
//! assert!(svg.starts_with("<svg"));
//! ```

mod candidates;
mod chart;
mod glyphs;
mod ladder;
mod outlines;
mod page;
mod punch;
mod sheet;
mod sketch;
mod svg;

pub use candidates::candidates;
pub use chart::chart;
pub use glyphs::{Face, Glyph, face, faces};
pub use outlines::{Line, Shape, shape, shapes};
pub use page::page;
pub use punch::{letter, notes};
pub use sheet::outlines;
pub use sketch::{NO_DOTS, Sketch, sketch, sketch_width};
