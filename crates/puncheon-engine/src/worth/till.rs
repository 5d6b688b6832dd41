//! The money of one question: every amount is of the first currency that is named.

use num_rational::BigRational;
use num_traits::ToPrimitive;
use puncheon_schema::entry::Metal;
use puncheon_schema::image::Image;

use crate::worth::fault::{Against, Fault, Sum, What};
use crate::worth::sale::Pennies;
use puncheon_lexis::grammar::figures;
use puncheon_lexis::grammar::money::{self, Currency};
use puncheon_lexis::grammar::weights::{self, Taken};

/// Sums counted in the smallest part of a currency.
pub trait Rounds {
    /// An exact sum in the smallest part, to the nearest.
    fn nearest(&self, sum: &BigRational) -> Pennies;
}

impl Rounds for Currency {
    fn nearest(&self, sum: &BigRational) -> Pennies {
        (sum * self.parts()).round().to_integer().to_i128().unwrap_or(Pennies::MAX)
    }
}

/// The currencies of one question.
#[derive(Debug, Default)]
pub struct Till(Option<(Currency, String)>);

impl Till {
    /// The currency of all amounts so far.
    pub fn currency(&self) -> Currency {
        self.0.as_ref().map_or_else(Currency::unnamed, |(c, _)| c.clone())
    }

    fn take(&mut self, currency: Option<Currency>, typed: &str) -> Result<(), Fault> {
        let Some(new) = currency else {
            return Ok(());
        };
        match &self.0 {
            Some((first, text)) if !first.same(&new) => {
                Err(Fault::Sum(Box::new(Sum::Currencies {
                    first: (text.clone(), first.clone()),
                    second: (typed.to_string(), new),
                })))
            }
            Some(_) => Ok(()),
            None => {
                self.0 = Some((new, typed.to_string()));
                Ok(())
            }
        }
    }

    /// Reads an amount and makes sure of its currency.
    pub fn amount(&mut self, image: &Image, what: What, typed: &str) -> Result<BigRational, Fault> {
        let text = typed.trim();
        let amount = money::amount(image, text).map_err(|why| Fault::Amount {
            what,
            text: text.to_string(),
            why: Box::new(why),
        })?;
        self.take(amount.currency, text)?;
        match amount.sum > money::most() {
            true => Err(Fault::Sum(Box::new(Sum::TooMuch { what, text: text.to_string() }))),
            false => Ok(amount.sum),
        }
    }

    /// An amount in the smallest part of the currency, once every amount has been read. Amounts are whole
    /// pennies, so that sums of them are.
    pub fn pennies(&self, what: What, amount: &BigRational) -> Result<Pennies, Fault> {
        let currency = self.currency();
        match (amount * currency.parts()).is_integer() {
            true => Ok(currency.nearest(amount)),
            false => {
                Err(Fault::Sum(Box::new(Sum::Decimals { what, sum: amount.clone(), currency })))
            }
        }
    }

    /// Reads a price of metal.
    pub fn price(&mut self, image: &Image, typed: &str) -> Result<Price, Fault> {
        let text = typed.trim().to_string();
        let read = match money::price(image, &text) {
            Ok(read) => read,
            Err(why) => return Err(Fault::Price { text, why: Box::new(why) }),
        };
        let amount = read.amount.sum;
        let named = read.amount.currency.clone();
        self.take(read.amount.currency, &text)?;
        if amount > money::most() || amount == figures::whole(0) {
            return Err(Fault::Against(Box::new(Against::NoPrice { text })));
        }
        Ok(Price {
            text,
            metal: read.metal,
            per_gram: &amount / weights::grams(image.unit(read.unit)),
            amount,
            named,
            unit: read.unit,
            taken: read.taken,
            thousands: read.thousands,
        })
    }
}

/// A price of fine metal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// As typed.
    pub text: String,
    /// The metal named with it.
    pub metal: Option<Metal>,
    /// For a gram, exactly.
    pub per_gram: BigRational,
    /// For the unit named.
    pub amount: BigRational,
    /// The currency that was named with it.
    pub named: Option<Currency>,
    /// The unit, by its number in the tables.
    pub unit: usize,
    /// How the unit was taken, where it was left open.
    pub taken: Option<Taken>,
    /// The figures without their point, where that can be meant to part thousands.
    pub thousands: Option<String>,
}

/// The price of a metal among those named.
pub fn price_of(prices: &[Price], metal: Option<Metal>) -> Result<Option<&Price>, Fault> {
    for (i, p) in prices.iter().enumerate() {
        if prices.iter().take(i).any(|q| q.metal == p.metal) {
            return Err(Fault::Against(Box::new(Against::SecondPrice { text: p.text.clone() })));
        }
    }
    let own = prices.iter().find(|p| p.metal.is_some() && p.metal == metal);
    let any = prices.iter().find(|p| p.metal.is_none());
    let one = match (prices, metal) {
        // One price with its metal, and a fineness that leaves the metal open.
        ([p], None) => Some(p),
        _ => None,
    };
    Ok(own.or(any).or(one))
}
