//! The shapes that `puncheon.worth/1` prints.

use puncheon_schema::entry::{Basis, Confidence};
use puncheon_schema::image::DeductionView;
use serde::Serialize;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.worth/1";

/// A span of decimals; both ends are the same where the figure is exact.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Figures {
    /// The least.
    pub low: String,
    /// The most.
    pub high: String,
}

/// A weight in grams and in ounces of old plate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Weighed {
    /// Grams, to the millionth.
    pub g: Figures,
    /// Troy ounces, to the millionth.
    pub ozt: Figures,
    /// For a reader.
    #[serde(skip)]
    pub shown: String,
}

/// Something taken off the weight.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct TakenOff {
    /// As typed.
    pub text: String,
    /// What it is, in the words typed.
    pub name: String,
    /// What it is in the tables, by its word there; null where they do not know it.
    pub kind: Option<String>,
    /// How much.
    pub weight: Weighed,
}

/// A fineness, as JSON has it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct FinenessTold {
    /// For a reader.
    pub name: String,
    /// silver, gold, platinum or palladium; null where it is not known.
    pub metal: Option<&'static str>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Parts of a thousand, to the millionth.
    pub parts: Figures,
    /// It was read from the marks.
    pub from_marks: bool,
    /// For a reader, "925 parts in 1000".
    #[serde(skip)]
    pub shown: String,
}

/// The price, as typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct PriceTold {
    /// As typed.
    pub text: String,
    /// For the unit named, exactly.
    pub amount: String,
    /// The unit's name.
    pub per: String,
    /// The day, as typed.
    pub as_of: Option<String>,
    /// Who says so, as typed.
    pub from: Option<String>,
    /// For a reader, "£24.10 per troy ounce".
    #[serde(skip)]
    pub shown: String,
}

/// Money, or a span of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Sum {
    /// The least.
    pub low: String,
    /// The most.
    pub high: String,
    /// For a reader.
    #[serde(skip)]
    pub shown: String,
}

/// What a buyer of scrap would pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Offer {
    /// The share as typed.
    pub pays: String,
    /// The offer.
    #[serde(flatten)]
    pub sum: Sum,
}

/// What a sale at one price comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct AtPrice {
    /// The hammer price.
    pub price: String,
    /// What the sale charges.
    pub fees: String,
    /// What is left once it is charged and sent, before tax.
    pub in_hand: String,
    /// Tax under the scheme; null where no scheme or no cost was stated.
    pub tax: Option<String>,
    /// Above what was paid; null where nothing was.
    pub profit: Option<String>,
    /// Above what melting brings; null where that is not known.
    pub over_melting: Option<Sum>,
    /// The highest bid that earns the profit wished for; null where none was wished or none earns it.
    pub highest_bid: Option<String>,
    /// What that bid costs with everything on top.
    pub bid_costs: Option<String>,
    /// What it would earn.
    pub bid_earns: Option<String>,
    /// The same for a reader, in the order above.
    #[serde(skip)]
    pub shown: AtPriceShown,
}

/// The figures of [`AtPrice`] for a reader.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub struct AtPriceShown {
    pub price: String,
    pub fees: String,
    pub in_hand: String,
    pub tax: Option<String>,
    pub profit: Option<String>,
    pub highest_bid: Option<String>,
    pub bid_costs: Option<String>,
    pub bid_earns: Option<String>,
}

/// Sell or melt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Sale {
    /// What was paid; null where it was not stated.
    pub paid: Option<String>,
    /// The hammer price that breaks even; null where nothing was paid or no price does.
    pub breaks_even: Option<String>,
    /// Below this hammer price melting pays better; null where that is not known.
    pub melt_below: Option<Sum>,
    /// The prices asked.
    pub at: Vec<AtPrice>,
    /// The profit wished for, in words; null where none was.
    pub wish: Option<String>,
    /// The terms in words.
    pub terms: String,
    /// For a reader.
    #[serde(skip)]
    pub shown: SaleShown,
}

/// The figures of [`Sale`] for a reader.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub struct SaleShown {
    pub paid: Option<String>,
    pub breaks_even: Option<String>,
}

/// What a piece is worth in metal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Worth {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The piece as typed.
    pub asked: String,
    /// The marks as typed; null where none were.
    pub marks: Option<String>,
    /// Office and year that they were read as, in a few words; null where they bear out no metal or
    /// settle neither.
    pub read_as: Option<String>,
    /// What the piece is, as typed.
    pub item: Option<String>,
    /// Why it is not valued, a sentence; null if it is, or if no piece was named.
    pub not_valued: Option<String>,
    /// The whole weight; null where none was named.
    pub gross: Option<Weighed>,
    /// What was taken off.
    pub less: Vec<TakenOff>,
    /// What is left of the weight.
    pub net: Option<Weighed>,
    /// The fineness.
    pub fineness: Option<FinenessTold>,
    /// Pure metal.
    pub fine: Option<Weighed>,
    /// The three letters of the currency, or its sign where that is all that is known; null where none
    /// was named.
    pub currency: Option<String>,
    /// The price.
    pub price: Option<PriceTold>,
    /// The metal value.
    pub value: Option<Sum>,
    /// Something named in the description has to come off the weight and did not: the value is the
    /// most that it can be.
    pub at_most: bool,
    /// What a buyer of scrap would pay.
    pub offer: Option<Offer>,
    /// Sell or melt; null where nothing of a sale was asked.
    pub sale: Option<Sale>,
    /// What the trade does about what the piece has on it.
    pub advice: Vec<Advice>,
    /// How words were taken, a sentence each.
    pub notes: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// What the trade does about something named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Advice {
    /// Its word in the tables.
    pub id: String,
    /// What it is.
    pub name: String,
    /// A sentence or two.
    pub advice: String,
    /// Something was taken off for it, or nothing need be.
    pub allowed_for: bool,
    /// published, memory or both.
    pub basis: Basis,
    /// high, medium or low.
    pub confidence: Confidence,
    /// Sources; none is the common practice of the trade.
    pub sources: Vec<String>,
}

impl Advice {
    pub(crate) fn of(d: DeductionView, allowed_for: bool) -> Advice {
        Advice {
            id: d.id().to_string(),
            name: d.name().to_string(),
            advice: d.advice().to_string(),
            allowed_for: allowed_for || !d.weighs(),
            basis: d.basis(),
            confidence: d.confidence(),
            sources: d.cites().map(str::to_string).collect(),
        }
    }
}
