//! Figures as they are printed, and what is said of those that cannot be read.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use puncheon_schema::entry::System;
use puncheon_schema::image::{Image, UnitView};

use crate::engine::worth::sale::{Ends, Pennies};
use crate::lexis::grammar::figures::{
    self, MOST_DECIMALS, MOST_FIGURES, Misread, NoShare, Span, ten,
};
use crate::lexis::grammar::money::Currency;
use crate::lexis::grammar::weights;
use crate::voice::refused::Refused;

/// A number to the nearest of so many decimals; halves go away from zero.
pub(crate) fn decimal(x: &BigRational, places: usize) -> String {
    let scaled = (x * BigRational::from_integer(ten(places))).round();
    fixed(&scaled.to_integer(), places)
}

/// The same without the noughts at its end.
pub(crate) fn plain(x: &BigRational, places: usize) -> String {
    let s = decimal(x, places);
    match s.contains('.') {
        true => s.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => s,
    }
}

/// A count of the last place as a decimal.
fn fixed(n: &BigInt, places: usize) -> String {
    let sign = if n.is_negative() { "-" } else { "" };
    let digits = n.abs().to_string();
    let digits = format!("{digits:0>width$}", width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    match places {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{part}"),
    }
}

/// "45% to 55%", of hundredths.
pub(crate) fn percents(s: &Span) -> String {
    format!("{}% to {}%", plain(&s.low, 2), plain(&s.high, 2))
}

/// "925", of a part of one, to the hundredth.
pub(crate) fn in_thousand(x: &BigRational) -> String {
    plain(&(x * figures::whole(1000)), 2)
}

/// A number as it is written with a unit: "178.5g", "5 oz t".
pub(crate) fn written(n: &str, unit: UnitView) -> String {
    match unit.system() {
        System::Metric => format!("{n}{}", unit.short()),
        _ => format!("{n} {}", unit.short()),
    }
}

/// A weight in grams to the hundredth and in ounces of old plate to the thousandth: "178.5 g (5.739 oz t)".
pub(crate) fn weight(image: &Image, grams: &BigRational) -> String {
    let own = self::grams(grams);
    match weights::place(image, 1) {
        Some(unit) => {
            let ounces = weighed(&(grams / weights::grams(unit)), 3);
            format!("{own} ({ounces} {})", unit.short())
        }
        None => own,
    }
}

/// A weight in grams to the hundredth.
pub(crate) fn grams(grams: &BigRational) -> String {
    format!("{} g", weighed(grams, 2))
}

/// A weight to so many decimals; a chip of metal to three figures.
fn weighed(weight: &BigRational, places: usize) -> String {
    let ten = figures::whole(10);
    let mut noughts = 0;
    let mut scaled = weight * &ten;
    while scaled > BigRational::zero() && scaled < figures::one() && noughts < MOST_DECIMALS {
        scaled *= &ten;
        noughts += 1;
    }
    let places = match *weight < figures::one() {
        true => places.max(noughts + 3),
        false => places,
    };
    plain(weight, places)
}

/// Amounts of a currency, for a reader.
pub(crate) trait Shown {
    /// An amount in the smallest part: "£24.10", "24.10 GBP", "-£5.00".
    fn show(&self, amount: Pennies) -> String;

    /// "£24.10 to £25.00", or one of them.
    fn show_ends(&self, ends: Ends) -> String;

    /// Figures with the currency, on the side where it is typed.
    fn dress(&self, figures: &str, below_nothing: bool) -> String;

    /// An amount as a decimal without its currency.
    fn figures(&self, amount: Pennies) -> String;
}

impl Shown for Currency {
    fn show(&self, amount: Pennies) -> String {
        self.dress(&fixed(&BigInt::from(amount.abs()), self.places), amount < 0)
    }

    fn show_ends(&self, (low, high): Ends) -> String {
        match low == high {
            true => self.show(low),
            false => format!("{} to {}", self.show(low), self.show(high)),
        }
    }

    fn dress(&self, figures: &str, below_nothing: bool) -> String {
        let sign = if below_nothing { "-" } else { "" };
        match &self.shown {
            s if s.is_empty() => format!("{sign}{figures}"),
            s if s.chars().all(char::is_alphabetic) => format!("{sign}{figures} {s}"),
            s => format!("{sign}{s}{figures}"),
        }
    }

    fn figures(&self, amount: Pennies) -> String {
        fixed(&BigInt::from(amount), self.places)
    }
}

/// What a number is of, and how it is written in full.
pub(crate) struct Kind<'a> {
    /// "weight", "fee".
    pub what: &'a str,
    /// The whole as typed.
    pub typed: &'a str,
    /// The number as it should be written, with its unit.
    pub write: &'a dyn Fn(&str) -> String,
}

impl Kind<'_> {
    /// Why figures are not read.
    pub fn refused(&self, why: &Misread) -> Refused {
        let (what, typed) = (self.what, self.typed);
        let number = |is: &str| format!("the {what} \"{typed}\" {is}");
        let write = |n: &str| format!("write {}", (self.write)(n));
        let (is, remedy) = match why {
            Misread::BelowNothing { without } => ("is below nothing", write(without)),
            Misread::CommaForPoint { right } => {
                ("has a comma where the point belongs", write(right))
            }
            Misread::TwoWays { point, thousands } => {
                let wide = point.len().max(thousands.len());
                let either = [point, thousands].map(|n| format!("{n:<wide$}  {}", write(n)));
                return Refused { wrong: number("can be read two ways"), remedy: either.to_vec() };
            }
            Misread::Ungrouped => ("has commas that do not part it by threes", write("1234.5")),
            Misread::Points { right } => (
                "has more than one point",
                format!("write one point at most, such as {}", (self.write)(right)),
            ),
            Misread::NoNumber { power } => {
                let right = (self.write)(power.as_deref().unwrap_or("1234.5"));
                ("is no number", format!("write plain figures, such as {right}"))
            }
            Misread::TooFine => (
                "has more figures than anything is known to",
                format!("write at most {MOST_DECIMALS} behind the point"),
            ),
            Misread::TooMany => (
                "has more figures than anything is known to",
                format!("write at most {MOST_FIGURES} figures"),
            ),
        };
        Refused::new(number(is), remedy)
    }
}

/// Why a share is not read; `typed` is the whole as typed.
pub(crate) fn no_share(what: &str, typed: &str, why: &NoShare) -> Refused {
    let write = |n: &str| format!("{n}%");
    let share = |is: &str| format!("the {what} \"{typed}\" {is}");
    let (is, remedy) = match why {
        NoShare::Figures(why) => return Kind { what, typed, write: &write }.refused(why),
        NoShare::Unsigned { meant } => {
            let right = meant.as_ref().map_or("5".into(), |n| plain(n, MOST_DECIMALS));
            ("is no share of a hundred", format!("write {}", write(&right)))
        }
        NoShare::LeavesNothing { below } => {
            ("leaves nothing", format!("write a share below {below}%"))
        }
        NoShare::TooMuch => ("is more than ten times the whole", "write a share such as 5%".into()),
        NoShare::TooFine(hundredths) => (
            "has more than four figures behind the point",
            format!("write {}", write(&plain(hundredths, 4))),
        ),
    };
    Refused::new(share(is), remedy)
}
