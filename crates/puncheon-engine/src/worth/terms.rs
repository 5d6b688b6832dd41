//! The figures of a sale as they are asked, read and in whole pennies, and what they come to.

use num_rational::BigRational;
use puncheon_schema::image::Image;

use crate::worth::SaleAsked;
use crate::worth::fault::{Alone, Fault, What};
use crate::worth::sale::{Ends, Pennies, Rate, Terms, Wish};
use crate::worth::till::Till;
use puncheon_lexis::grammar::figures;

/// The figures of a sale.
pub struct SaleFigures {
    /// What is charged.
    pub terms: Terms,
    /// As it was named.
    pub paid: Option<Pennies>,
    /// What was paid is a hammer price.
    pub hammer: bool,
    /// Prices expected.
    pub at: Vec<Pennies>,
    /// The profit wished for.
    pub wish: Option<Wish>,
    /// A scheme was named.
    pub scheme: bool,
    /// Sums that were named, in the order in which they are told.
    pub fixed: Option<Pennies>,
    /// What sending costs.
    pub post: Option<Pennies>,
    /// What the buyer pays for the post.
    pub charged: Option<Pennies>,
    /// A fee was named.
    fee: bool,
}

/// What a sale comes to.
pub struct Sale {
    /// What was asked with.
    pub figures: SaleFigures,
    /// All that the piece cost.
    pub cost: Option<Pennies>,
    /// The hammer price that breaks even.
    pub breaks_even: Option<Pennies>,
    /// Below this hammer price melting pays better.
    pub melt_below: Option<Ends>,
    /// What comes of each price asked.
    pub at: Vec<AtPrice>,
}

/// What a sale at one price comes to.
pub struct AtPrice {
    /// The hammer price.
    pub price: Pennies,
    /// What the place of sale charges.
    pub fees: Pennies,
    /// What is left of it.
    pub in_hand: Pennies,
    /// Tax on the difference; None where no scheme was named.
    pub tax: Option<Pennies>,
    /// What is left above the cost; None where none was named.
    pub profit: Option<Pennies>,
    /// How much more than melting brings; None where that is not known.
    pub over_melting: Option<Ends>,
    /// The highest bid that leaves the profit wished for.
    pub highest_bid: Option<Pennies>,
    /// What that bid costs in all.
    pub bid_costs: Option<Pennies>,
    /// What it then earns.
    pub bid_earns: Option<Pennies>,
}

/// A share that is asked with.
pub fn share(what: What, typed: &str, below: Option<u32>) -> Result<BigRational, Fault> {
    figures::share(typed, below).map_err(|why| Fault::Share { what, text: typed.to_string(), why })
}

/// Shares of a sale, as they were asked.
struct Shares {
    fee: Option<BigRational>,
    premium: Option<BigRational>,
    premium_tax: Option<BigRational>,
    scheme: Option<BigRational>,
}

impl Shares {
    /// Reads them, and refuses those that fall on nothing.
    fn read(asked: &SaleAsked) -> Result<Shares, Fault> {
        let read = |what: What, typed: &Option<String>, below: Option<u32>| {
            typed.as_ref().map(|t| share(what, t, below)).transpose()
        };
        let out = Shares {
            fee: read(What::Fee, &asked.fee, Some(100))?,
            premium: read(What::Premium, &asked.premium, None)?,
            premium_tax: read(What::PremiumTax, &asked.premium_tax, None)?,
            scheme: read(What::Scheme, &asked.scheme, None)?,
        };
        let bids = asked.bids();
        let premium = out.premium.is_some();
        let alone = [
            (out.premium_tax.is_some() && !premium, Alone::PremiumTax),
            (asked.fee_on_hammer && asked.fee.is_none(), Alone::FeeOn),
            (asked.paid_hammer && (asked.paid.is_none() || !premium), Alone::Hammer),
            (premium && !bids && !asked.paid_hammer, Alone::Premium),
            (out.scheme.is_some() && !bids && asked.paid.is_none(), Alone::Scheme),
        ];
        match alone.into_iter().find(|a| a.0) {
            Some((_, alone)) => Err(Fault::Alone(alone)),
            None => Ok(out),
        }
    }
}

impl SaleFigures {
    /// None where nothing of a sale was asked.
    pub fn read(
        image: &Image,
        till: &mut Till,
        asked: &SaleAsked,
    ) -> Result<Option<SaleFigures>, Fault> {
        if *asked == SaleAsked::default() {
            return Ok(None);
        }
        let shares = Shares::read(asked)?;
        // Amounts are counted in pennies only when the currency of all of them is known.
        let mut take = |what: What, typed: &Option<String>| {
            typed.as_ref().map(|t| till.amount(image, what, t)).transpose()
        };
        let paid = take(What::PricePaid, &asked.paid)?;
        let fixed = take(What::FixedFee, &asked.fee_fixed)?;
        let post = take(What::Post, &asked.post)?;
        let charged = take(What::PostCharged, &asked.charged_post)?;
        let at = asked
            .at
            .iter()
            .filter(|t| !t.trim().is_empty())
            .map(|t| till.amount(image, What::PriceAsked, t))
            .collect::<Result<Vec<_>, Fault>>()?;
        let sum_wished = match &asked.margin {
            Some(m) if !m.trim().ends_with('%') => Some(till.amount(image, What::Margin, m)?),
            _ => None,
        };
        let pennies = |what: What, sum: &Option<BigRational>| {
            sum.as_ref().map(|a| till.pennies(what, a)).transpose()
        };
        let paid = pennies(What::PricePaid, &paid)?;
        let fixed = pennies(What::FixedFee, &fixed)?;
        let post = pennies(What::Post, &post)?;
        let charged = pennies(What::PostCharged, &charged)?;
        let at = at
            .iter()
            .map(|a| till.pennies(What::PriceAsked, a))
            .collect::<Result<Vec<_>, Fault>>()?;
        let wish = wish(till, asked, sum_wished)?;
        if wish.is_some() && at.is_empty() {
            return Err(Fault::Alone(Alone::Wish));
        }
        let rate = |r: &Option<BigRational>| r.as_ref().map_or(Rate::NONE, Rate::of);
        Ok(Some(SaleFigures {
            terms: Terms {
                fee: rate(&shares.fee),
                fee_on_post: !asked.fee_on_hammer,
                fee_fixed: fixed.unwrap_or(0),
                post: post.unwrap_or(0),
                charged_post: charged.unwrap_or(0),
                scheme: rate(&shares.scheme),
                premium: rate(&shares.premium),
                premium_tax: rate(&shares.premium_tax),
            },
            paid,
            hammer: asked.paid_hammer,
            at,
            wish,
            scheme: shares.scheme.is_some(),
            fixed,
            post,
            charged,
            fee: shares.fee.is_some(),
        }))
    }

    /// All that the piece cost.
    fn cost(&self) -> Option<Pennies> {
        let on_top = |paid| match self.hammer {
            true => self.terms.cost(paid),
            false => paid,
        };
        self.paid.map(on_top)
    }

    /// The first charge of a sale that was named.
    fn charge(&self) -> Option<What> {
        let named = [
            (What::Fee, self.fee),
            (What::FixedFee, self.fixed.is_some()),
            (What::Post, self.post.is_some()),
            (What::PostCharged, self.charged.is_some()),
        ];
        named.iter().find(|c| c.1).map(|c| c.0)
    }

    /// What the sale comes to beside melting; None where the piece is not valued and nothing else of a
    /// sale was asked.
    pub fn sell(self, melting: Option<Ends>, valued: bool) -> Result<Option<Sale>, Fault> {
        let t = &self.terms;
        let sold = !self.at.is_empty() || self.paid.is_some() || melting.is_some();
        match self.charge().filter(|_| !sold) {
            Some(_) if !valued => return Ok(None),
            Some(charge) => return Err(Fault::Alone(Alone::Charge(charge))),
            None => {}
        }
        let paid = self.cost();
        let cost = paid.unwrap_or(0);
        let breaks_even = paid.and_then(|paid| t.least_price(paid, paid));
        // Without a cost a scheme's tax is not known, and nothing can be said against melting.
        let known = melting.filter(|_| paid.is_some() || !self.scheme);
        let melt_below = known
            .and_then(|(low, high)| Some((t.least_price(cost, low)?, t.least_price(cost, high)?)));
        let at = self.at.iter().map(|price| self.sold_at(*price, known)).collect();
        Ok(Some(Sale { cost: paid, breaks_even, melt_below, at, figures: self }))
    }

    fn sold_at(&self, price: Pennies, melting: Option<Ends>) -> AtPrice {
        let t = &self.terms;
        let in_hand = t.in_hand(price);
        let paid = self.cost();
        let tax = paid.filter(|_| self.scheme).map(|paid| t.tax(price, paid));
        let left = in_hand - tax.unwrap_or(0);
        let highest_bid = self.wish.and_then(|w| t.highest_bid(price, w));
        let bid_costs = highest_bid.map(|b| t.cost(b));
        AtPrice {
            price,
            fees: t.fees(price),
            in_hand,
            tax,
            profit: paid.map(|paid| t.profit(price, paid)),
            over_melting: melting.map(|(low, high)| (left - high, left - low)),
            highest_bid,
            bid_costs,
            bid_earns: bid_costs.map(|c| t.profit(price, c)),
        }
    }
}

/// The profit that is wished for.
fn wish(
    till: &Till,
    asked: &SaleAsked,
    sum_wished: Option<BigRational>,
) -> Result<Option<Wish>, Fault> {
    Ok(match (&asked.margin, &asked.markup) {
        (Some(_), Some(_)) => return Err(Fault::MarginAndMarkup),
        (Some(m), None) => Some(match &sum_wished {
            Some(sum) => Wish::Sum(till.pennies(What::Margin, sum)?),
            None => Wish::OfSale(Rate::of(&share(What::Margin, m, Some(100))?)),
        }),
        (None, Some(m)) => Some(Wish::OfCost(Rate::of(&share(What::Markup, m, None)?))),
        (None, None) => None,
    })
}
