//! Adds hallmark answers to the rows of a catalogue.
//!
//! ```
//! use puncheon_catalogue::{Enricher, Watch};
//!
//! let stock = "Item,Hallmarks\nspoon,\"anchor, lion passant, small roman f, king's head\"\n";
//! let mut out = Vec::new();
//! let watch = Watch { progress: &mut |_| true, rejects: None };
//! let summary = Enricher::new(puncheon::Tables::builtin(), "Hallmarks")
//!     .run(stock.as_bytes(), &mut out, watch)?;
//! assert_eq!(summary.rows, 1);
//! assert!(String::from_utf8_lossy(&out).contains("1803/04"));
//! # Ok::<(), puncheon_catalogue::Error>(())
//! ```
//!
//! A row's own bytes are never changed: the new fields stand behind them. Rows come out in the order
//! in which they went in, whatever the number of workers, and memory does not grow with their number.

mod answers;
mod columns;
mod enricher;
mod error;
mod feed;
mod gathered;
mod holds;
mod memory;
pub mod sample;
mod settings;
mod sheets;
mod since;
mod split;
mod summary;

pub use columns::{Column, Stated, Terms};
pub use error::Error;
pub use gathered::{Progress, Watch};
pub use settings::{Enricher, Format};
pub use sheets::Book;
pub use since::{Change, changes};
pub use summary::{DISAGREEMENTS, Disagreement, Problem, SCHEMA, Summary, Wrong};
