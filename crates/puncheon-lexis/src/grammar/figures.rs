//! Figures as they are typed. Everything is exact.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Zero};

/// The most figures that a number may have: more is a slip, not a weight or a price.
pub const MOST_FIGURES: usize = 18;
/// The most decimals.
pub const MOST_DECIMALS: usize = 9;

/// Why figures are no number, or not one alone, with what they may have been meant for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Misread {
    /// A sign of less than nothing stands before them.
    BelowNothing {
        /// The figures without the sign.
        without: String,
    },
    /// A comma where the point belongs.
    CommaForPoint {
        /// The figures with a point there.
        right: String,
    },
    /// "1,785" is either.
    TwoWays {
        /// The figures if the comma is the point.
        point: String,
        /// The figures if it parts thousands.
        thousands: String,
    },
    /// Commas that do not part them by threes.
    Ungrouped,
    /// More than one point.
    Points {
        /// What they may have been meant for: without points where these part groups of three, else with the
        /// first alone.
        right: String,
    },
    /// No figures; a power of ten written out.
    NoNumber {
        /// The number in full; None where they are no power of ten.
        power: Option<String>,
    },
    /// More figures than anything is known to.
    TooMany,
    /// More of them behind the point.
    TooFine,
}

/// Reads figures with or without a point. A comma is taken only where it can mean one thing, between
/// groups of three before a point or before another comma.
pub fn read(figures: &str) -> Result<BigRational, Misread> {
    let points = figures.matches('.').count();
    let commas = figures.matches(',').count();
    let plain = figures.replace(',', "");
    if figures.starts_with('-') {
        let without = figures.trim_start_matches('-').to_string();
        return Err(Misread::BelowNothing { without });
    }
    if commas > 0 {
        by_commas(figures, &plain, points, commas)?;
    }
    if points > 1 {
        let groups: Vec<&str> = figures.split('.').collect();
        // Points between groups of three, or a slip.
        let right = match groups[1..].iter().all(|g| g.len() == 3) {
            true => groups.concat(),
            false => [groups[0], ".", &groups[1..].concat()].concat(),
        };
        return Err(Misread::Points { right });
    }
    let (whole, part) = plain.split_once('.').unwrap_or((&plain, ""));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() && part.is_empty() || !digits(whole) || !digits(part) {
        return Err(Misread::NoNumber { power: powers(figures) });
    }
    if part.len() > MOST_DECIMALS {
        return Err(Misread::TooFine);
    }
    if whole.len() + part.len() > MOST_FIGURES {
        return Err(Misread::TooMany);
    }
    Ok(exact(&plain))
}

/// Do the commas of figures part thousands, and nothing else?
fn by_commas(figures: &str, plain: &str, points: usize, commas: usize) -> Result<(), Misread> {
    let grouped = grouped(figures.split('.').next().unwrap_or_default());
    if points > 0 && figures.rfind(',') > figures.rfind('.') {
        // A point between groups and a comma for the point.
        let right = figures.replace('.', "").replacen(',', ".", 1);
        return Err(Misread::CommaForPoint { right });
    }
    if points == 0 && commas == 1 {
        let point = figures.replacen(',', ".", 1);
        return Err(match grouped {
            true => Misread::TwoWays { point, thousands: plain.to_string() },
            false => Misread::CommaForPoint { right: point },
        });
    }
    match grouped && points <= 1 {
        true => Ok(()),
        false => Err(Misread::Ungrouped),
    }
}

/// What figures with a power of ten behind them come to, "1e3"; None if they are none.
fn powers(figures: &str) -> Option<String> {
    let (n, power) = figures.split_once(['e', 'E'])?;
    let power: usize = power.trim_start_matches('+').parse().ok().filter(|p| *p < 10)?;
    let plain = n.bytes().all(|b| b.is_ascii_digit());
    (plain && !n.is_empty() && n.len() < 10).then(|| [n, &"0".repeat(power)].concat())
}

/// Are figures parted by commas into threes?
fn grouped(figures: &str) -> bool {
    let mut groups = figures.split(',');
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && groups.all(|g| g.len() == 3)
}

/// Ten to some power.
pub fn ten(places: usize) -> BigInt {
    num_traits::pow(BigInt::from(10), places)
}

/// A whole number.
pub fn whole(n: impl Into<BigInt>) -> BigRational {
    BigRational::from_integer(n.into())
}

/// A ratio.
pub fn ratio(a: impl Into<BigInt>, b: impl Into<BigInt>) -> BigRational {
    BigRational::new(a.into(), b.into())
}

/// An exact decimal, such as a unit's grams in the tables.
pub fn exact(decimal: &str) -> BigRational {
    let (whole, part) = decimal.split_once('.').unwrap_or((decimal, ""));
    let digits: BigInt = [whole, part].concat().parse().unwrap_or_default();
    BigRational::new(digits, ten(part.len()))
}

/// Why a text is no share of a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoShare {
    /// No sign of a hundred stands behind it; how many hundredths may be meant.
    Unsigned {
        /// None where the text is no number either.
        meant: Option<BigRational>,
    },
    /// Its figures are no number.
    Figures(Misread),
    /// Nothing is left once it is taken; the least that is too much.
    LeavesNothing {
        /// In hundredths.
        below: u32,
    },
    /// More than ten times the whole.
    TooMuch,
    /// More than four figures behind the point.
    TooFine(BigRational),
}

/// The share that "11%" is. `below` is the least that is too much, in hundredths; None where there is
/// no bound.
pub fn share(typed: &str, below: Option<u32>) -> Result<BigRational, NoShare> {
    let text = typed.trim();
    let Some(figures) = text.strip_suffix('%') else {
        // A number is a share in hundredths that lacks its sign; anything else is none.
        // 0.95 most likely means the part of one, not of a hundred.
        let hundredths = |n: BigRational| if n < one() { n * whole(100) } else { n };
        return Err(NoShare::Unsigned { meant: read(text).ok().map(hundredths) });
    };
    let hundredths = read(figures.trim_end()).map_err(NoShare::Figures)?;
    if let Some(below) = below.filter(|b| hundredths >= whole(*b)) {
        return Err(NoShare::LeavesNothing { below });
    }
    if hundredths > whole(1000) {
        return Err(NoShare::TooMuch);
    }
    if hundredths.denom() > &ten(4) {
        return Err(NoShare::TooFine(hundredths));
    }
    Ok(hundredths / whole(100))
}

/// What is not known to the last figure: its least and its most.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// The least it can be.
    pub low: BigRational,
    /// The most it can be.
    pub high: BigRational,
}

impl Span {
    /// What is known exactly.
    pub fn exactly(x: BigRational) -> Span {
        Span { low: x.clone(), high: x }
    }

    /// Nothing at all.
    pub fn zero() -> Span {
        Span::exactly(BigRational::zero())
    }

    /// Is it known exactly?
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }

    /// Both ends times what is never below nothing.
    pub fn times(&self, x: &BigRational) -> Span {
        Span { low: &self.low * x, high: &self.high * x }
    }

    /// The least by the least and the most by the most; neither is ever below nothing.
    pub fn by(&self, other: &Span) -> Span {
        Span { low: &self.low * &other.low, high: &self.high * &other.high }
    }

    /// The one and the other together.
    pub fn and(&self, other: &Span) -> Span {
        Span { low: &self.low + &other.low, high: &self.high + &other.high }
    }

    /// What is left when the other is taken away; never below nothing.
    pub fn without(&self, other: &Span) -> Span {
        let nothing = BigRational::zero();
        Span {
            low: (&self.low - &other.high).max(nothing.clone()),
            high: (&self.high - &other.low).max(nothing),
        }
    }

    /// A tenth either side: what "about" is taken for.
    pub fn about(x: &BigRational) -> Span {
        let tenth = x / whole(10);
        Span { low: x - &tenth, high: x + tenth }
    }
}

/// One.
pub fn one() -> BigRational {
    BigRational::one()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_are_read_where_they_mean_one_thing() {
        for (typed, n) in [
            ("178.5", ratio(357, 2)),
            (".5", ratio(1, 2)),
            ("1,234.5", ratio(2469, 2)),
            ("1,234,567", whole(1_234_567)),
            ("0007", whole(7)),
            ("1.234", ratio(617, 500)),
        ] {
            assert_eq!(read(typed), Ok(n), "{typed}");
        }
        let two = ("1.785".to_string(), "1785".to_string());
        for (typed, why) in [
            ("1,785", Misread::TwoWays { point: two.0, thousands: two.1 }),
            ("1.234,5", Misread::CommaForPoint { right: "1234.5".into() }),
            ("12,5", Misread::CommaForPoint { right: "12.5".into() }),
            ("1,23,4", Misread::Ungrouped),
            ("1.2.3", Misread::Points { right: "1.23".into() }),
            (".", Misread::NoNumber { power: None }),
            ("1e3", Misread::NoNumber { power: Some("1000".into()) }),
            ("-5", Misread::BelowNothing { without: "5".into() }),
            ("1234567890123456789", Misread::TooMany),
            ("0.1234567890", Misread::TooFine),
        ] {
            assert_eq!(read(typed), Err(why), "{typed}");
        }
    }
}
