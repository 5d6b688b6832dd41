//! Why a question of worth cannot be answered: values, which the voice puts into words.

use num_rational::BigRational;
use puncheon_schema::entry::Metal;

use crate::worth::fineness::{self, Name};
use crate::worth::list;
use puncheon_lexis::grammar::figures::NoShare;
use puncheon_lexis::grammar::money::{self, Currency, PriceFault};
use puncheon_lexis::grammar::{deductions, weights};

/// A figure that is asked with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// What the piece cost.
    PricePaid,
    /// A sum charged by the place of sale.
    FixedFee,
    /// What sending costs.
    Post,
    /// What the buyer pays for the post.
    PostCharged,
    /// A hammer price to reckon with.
    PriceAsked,
    /// A profit, as a share of the sale price or a sum.
    Margin,
    /// A profit, as a share of the cost.
    Markup,
    /// The share that the place of sale charges.
    Fee,
    /// The buyer's premium.
    Premium,
    /// Tax on the premium.
    PremiumTax,
    /// The rate of a tax on the difference.
    Scheme,
    /// The share of its value that a buyer of scrap pays.
    SharePaid,
}

/// A figure of a sale that is named without what it falls on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alone {
    /// A tax on a premium.
    PremiumTax,
    /// What a fee falls on.
    FeeOn,
    /// A hammer price paid, without the price or its premium.
    Hammer,
    /// A premium, without a bid or a hammer price.
    Premium,
    /// A tax on what is paid above the cost, without a cost.
    Scheme,
    /// A profit wished for, without a price expected.
    Wish,
    /// A share of the metal value, without a price of metal.
    Pays,
    /// A charge, without a sale.
    Charge(What),
}

/// Why a question cannot be answered. Texts are as typed; places in the faults of a text are its bytes.
#[allow(missing_docs)]
pub enum Fault {
    /// A weight cannot be read.
    Weight { text: String, why: Box<weights::Fault> },
    /// A fineness cannot.
    Fineness { text: String, why: Box<fineness::Fault> },
    /// What comes off the weight cannot.
    Deduction { text: String, why: Box<deductions::Fault> },
    /// What comes off is not known, or leaves nothing.
    Off(Box<Off>),
    /// An amount of money cannot be read.
    Amount { what: What, text: String, why: Box<money::Fault> },
    /// An amount that is read cannot be used.
    Sum(Box<Sum>),
    /// A price of metal cannot be read.
    Price { text: String, why: Box<PriceFault> },
    /// A price, a fineness and a metal do not go together.
    Against(Box<Against>),
    /// A share cannot be read.
    Share { what: What, text: String, why: NoShare },
    /// A margin and a markup are both named.
    MarginAndMarkup,
    /// A figure is named without what it falls on.
    Alone(Alone),
    /// A list cannot be read.
    List(list::Fault),
}

/// Why what comes off a weight cannot be taken off. Weights are in grams.
#[allow(missing_docs)]
pub enum Off {
    /// Nothing says how much comes off.
    HowMuch { text: String },
    /// One of them is the whole weight or more.
    TakesAll { text: String, gross: BigRational },
    /// Shares together come to the whole or more, in hundredths.
    SharesTakeAll { shares: BigRational },
    /// All of it is the whole weight or more.
    AllTaken { off: BigRational, gross: BigRational },
}

/// Why an amount that is read cannot be used.
#[allow(missing_docs)]
pub enum Sum {
    /// It is more than anyone pays.
    TooMuch { what: What, text: String },
    /// It has more decimals than its currency.
    Decimals { what: What, sum: BigRational, currency: Currency },
    /// Two amounts are in different currencies.
    Currencies { first: (String, Currency), second: (String, Currency) },
    /// A buyer pays more than the metal is worth.
    PaysMore { text: String },
}

/// Why a price, a fineness and a metal do not go together.
#[allow(missing_docs)]
pub enum Against {
    /// A price of nothing, or of more than anyone pays.
    NoPrice { text: String },
    /// A second price of one metal.
    SecondPrice { text: String },
    /// No price is of the metal.
    OtherPrices { texts: Vec<String>, fineness: Name },
    /// The price is of a metal that the fineness is not of.
    PriceOf { text: String, metal: Metal, fineness: Name, wanted: Metal },
    /// A price without a metal, where pieces are of several.
    PriceOfWhich { text: String, metals: Vec<Metal> },
    /// Something stands beside the weight where the marks are given as well.
    BesideMarks { text: String },
    /// The fineness is of another metal than is named.
    OtherMetal { fineness: Name, metal: Metal },
    /// What is named for a metal is none.
    NoMetal { text: String },
}
