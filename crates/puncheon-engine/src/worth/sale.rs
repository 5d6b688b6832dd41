//! Sell or melt, and what to bid: sums in whole pennies, each fee rounded to the penny as it is charged.
//!
//! Every figure is the user's own: no fee, rate or scheme of anyone is known here.

use num_rational::BigRational;
use num_traits::ToPrimitive;

/// An amount in the smallest part of the currency.
pub type Pennies = i128;
/// The least and the most of one.
pub type Ends = (Pennies, Pennies);

/// No price is looked for beyond this.
const MOST: Pennies = 100_000_000_000_000;
/// The most pennies that are tried one by one: enough where a penny more brings a millionth.
const LONGEST_WALK: usize = 5_000_000;

/// A share as a ratio of small whole numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rate {
    a: i128,
    b: i128,
}

impl Rate {
    /// Nothing.
    pub const NONE: Rate = Rate { a: 0, b: 1 };

    /// A share that was read; its parts are small, since its figures are few.
    pub fn of(share: &BigRational) -> Rate {
        Rate {
            a: share.numer().to_i128().unwrap_or_default(),
            b: share.denom().to_i128().unwrap_or(1).max(1),
        }
    }

    /// The share of a sum, to the nearest penny; halves go up.
    pub fn of_sum(self, sum: Pennies) -> Pennies {
        (2 * self.a * sum + self.b).div_euclid(2 * self.b)
    }

    /// The part of a sum that already holds the share: a sixth for a fifth.
    fn within(self) -> Rate {
        Rate { a: self.a, b: self.a + self.b }
    }

    /// Is the share of a whole at least, or at most, a sum? Without rounding.
    fn compare(self, whole: Pennies, sum: Pennies) -> std::cmp::Ordering {
        (self.a * whole).cmp(&(self.b * sum))
    }
}

/// What a sale costs, and what a bid does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Terms {
    /// Share of the price that is charged.
    pub fee: Rate,
    /// It falls on the post that the buyer pays as well.
    pub fee_on_post: bool,
    /// A sum charged besides.
    pub fee_fixed: Pennies,
    /// What sending costs.
    pub post: Pennies,
    /// What the buyer pays for it.
    pub charged_post: Pennies,
    /// Tax within the difference between sale and cost.
    pub scheme: Rate,
    /// A buyer's share on top of a bid.
    pub premium: Rate,
    /// Tax on top of that share.
    pub premium_tax: Rate,
}

/// A profit that is wished for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// A share of the sale price.
    OfSale(Rate),
    /// A share of everything the piece cost.
    OfCost(Rate),
    /// A sum.
    Sum(Pennies),
}

impl Wish {
    /// Does a profit meet it?
    fn met(self, price: Pennies, cost: Pennies, profit: Pennies) -> bool {
        match self {
            Wish::OfSale(rate) => rate.compare(price, profit).is_le(),
            Wish::OfCost(rate) => rate.compare(cost, profit).is_le(),
            Wish::Sum(sum) => profit >= sum,
        }
    }
}

impl Terms {
    /// What the sale charges at a price.
    pub fn fees(&self, price: Pennies) -> Pennies {
        let on = price + if self.fee_on_post { self.charged_post } else { 0 };
        self.fee.of_sum(on) + self.fee_fixed
    }

    /// What is left in hand once it is charged and sent.
    pub fn in_hand(&self, price: Pennies) -> Pennies {
        price + self.charged_post - self.fees(price) - self.post
    }

    /// Tax within the difference between what the buyer pays and what the piece cost.
    pub fn tax(&self, price: Pennies, cost: Pennies) -> Pennies {
        let difference = (price + self.charged_post - cost).max(0);
        self.scheme.within().of_sum(difference)
    }

    /// What a sale brings above the cost.
    pub fn profit(&self, price: Pennies, cost: Pennies) -> Pennies {
        self.in_hand(price) - self.tax(price, cost) - cost
    }

    /// What a bid costs with everything on top.
    pub fn cost(&self, bid: Pennies) -> Pennies {
        let premium = self.premium.of_sum(bid);
        bid + premium + self.premium_tax.of_sum(premium)
    }

    /// The least price at which what is left, less tax, comes to a sum; None if no price does.
    pub fn least_price(&self, cost: Pennies, wanted: Pennies) -> Option<Pennies> {
        let left = |price: Pennies| self.in_hand(price) - self.tax(price, cost);
        if left(0) >= wanted {
            return Some(0);
        }
        // Up to the cost no tax falls, beyond it less is left of each penny. On each side what is left
        // rises or falls throughout, but for a penny either way by which the two roundings move it.
        let bend = (cost - self.charged_post).max(0);
        for (from, to) in [(0, bend), (bend, MOST)] {
            let near = wanted - 2;
            if left(to) < near {
                continue;
            }
            let (mut lo, mut hi) = (from, to);
            while lo < hi {
                let mid = lo + (hi - lo) / 2;
                match left(mid) >= near {
                    true => hi = mid,
                    false => lo = mid + 1,
                }
            }
            // Nothing before is enough: two pennies are more than the roundings move.
            let found = (lo..=to).take(LONGEST_WALK).find(|p| left(*p) >= wanted);
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// The highest bid that still earns a wish if the piece is sold at a price; None if none does.
    pub fn highest_bid(&self, price: Pennies, wish: Wish) -> Option<Pennies> {
        let earns = |bid: Pennies| {
            let cost = self.cost(bid);
            wish.met(price, cost, self.profit(price, cost))
        };
        if !earns(0) {
            return None;
        }
        // A penny more bid never earns more.
        let (mut lo, mut hi) = (0, price + self.charged_post + 1);
        while lo + 1 < hi {
            let mid = lo + (hi - lo) / 2;
            match earns(mid) {
                true => lo = mid,
                false => hi = mid,
            }
        }
        Some(lo)
    }
}

impl Default for Terms {
    fn default() -> Terms {
        Terms {
            fee: Rate::NONE,
            fee_on_post: true,
            fee_fixed: 0,
            post: 0,
            charged_post: 0,
            scheme: Rate::NONE,
            premium: Rate::NONE,
            premium_tax: Rate::NONE,
        }
    }
}
