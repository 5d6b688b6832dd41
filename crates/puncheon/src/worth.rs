//! What a piece is worth in metal, and whether it is better sold or melted. The shape of an answer is
//! what `puncheon.worth/1` prints.
//!
//! Weights, finenesses and prices are exact ratios; money is rounded once, to the penny, where it is
//! told. Every price, fee and rate is the user's own: none is known here and none is fetched.
//!
//! ```
//! use puncheon::worth::{Asked, worth};
//! let tables = puncheon::Tables::builtin();
//! let asked = Asked {
//!     piece: "178.5g sterling".into(),
//!     price: vec!["£24.10/ozt".into()],
//!     ..Asked::default()
//! };
//! let w = worth(tables, &asked).unwrap();
//! assert_eq!(w.value.unwrap().low, "127.93");
//! ```

pub use crate::engine::worth::schedule::ScheduleAsked;
pub use crate::engine::worth::{Asked, SaleAsked};
pub use crate::json::schedule::{Entry, NotValued, SCHEDULE_SCHEMA, Schedule, Total};
pub use crate::json::worth::{
    Advice, AtPrice, AtPriceShown, Figures, FinenessTold, Offer, PriceTold, SCHEMA, Sale,
    SaleShown, Sum, TakenOff, Weighed, Worth,
};
pub use crate::lexis::grammar::figures::Span;
pub use crate::voice::refused::Refused;
pub use crate::voice::worth::{Fineness, Weight};

use crate::engine::worth as engine;
use crate::tables::Tables;
use crate::voice;
use crate::voice::refusals::said;

/// What became of every byte of a text that is read for a weight, an amount, a price or a deduction.
pub mod trees {
    use crate::lexis::grammar::{deductions, money, weights};
    use crate::lexis::tree::Tree;
    use crate::tables::Tables;

    /// Of a weight that stands alone.
    pub fn weight(tables: &Tables, text: &str) -> Tree {
        weights::tree(tables.image(), text)
    }

    /// Of an amount of money.
    pub fn amount(tables: &Tables, text: &str) -> Tree {
        money::tree(tables.image(), text)
    }

    /// Of a price of metal.
    pub fn price(tables: &Tables, text: &str) -> Tree {
        money::price_tree(tables.image(), text)
    }

    /// Of something that comes off a weight.
    pub fn deduction(tables: &Tables, text: &str) -> Tree {
        deductions::tree(tables.image(), text)
    }
}

/// Works out what a piece is worth in metal, and the sums of a sale.
///
/// # Errors
/// If a weight, a fineness, an amount or a share cannot be read, or if they contradict each other;
/// with what would be right. A piece whose marks settle no fineness is no error: it is not valued,
/// and [`Worth::not_valued`] says why.
pub fn worth(tables: &Tables, asked: &Asked) -> Result<Worth, Refused> {
    let valued =
        engine::value(tables.books(), asked).map_err(|fault| said(tables.image(), &fault))?;
    let mut told = voice::worth::told(tables, asked, &valued);
    told.cautions.extend(crate::rests_on_overlay(tables));
    Ok(told)
}

/// Works out a schedule from a list written as CSV, whose first line names its columns.
///
/// # Errors
/// If the list has no head or lacks a column, if it cannot be read as CSV, or if the prices cannot be
/// used; with what would be right. A row that cannot be read is listed apart.
pub fn schedule(tables: &Tables, list: &str, asked: &ScheduleAsked) -> Result<Schedule, Refused> {
    let made = engine::schedule::schedule(tables.image(), list, asked);
    let made = made.map_err(|fault| said(tables.image(), &fault))?;
    let mut told = voice::schedule::told(tables, asked, &made);
    told.cautions.extend(crate::rests_on_overlay(tables));
    Ok(told)
}
