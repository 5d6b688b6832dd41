//! Figures as they are typed, and as they are printed. Everything between is exact.

use std::fmt;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, Zero};

/// The most figures that a number may have: more is a slip, not a weight or a price.
const MOST_FIGURES: usize = 18;
/// The most decimals.
const MOST_DECIMALS: usize = 9;

/// Why something typed cannot be used: what is wrong with it, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Refused {
    /// What is wrong, with the words at fault in quotes.
    pub wrong: String,
    /// What would be right, a line each.
    pub remedy: Vec<String>,
}

impl Refused {
    pub(crate) fn new(wrong: impl Into<String>, remedy: impl Into<String>) -> Refused {
        Refused { wrong: wrong.into(), remedy: vec![remedy.into()] }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.wrong)?;
        for line in &self.remedy {
            write!(f, "\n  {line}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Refused {}

/// What a number is of, and how it is written in full, for a refusal.
pub(crate) struct Kind<'a> {
    /// "weight", "fee".
    pub what: &'a str,
    /// The whole as typed.
    pub typed: &'a str,
    /// The number as it should be written, with its unit.
    pub write: &'a dyn Fn(&str) -> String,
}

impl Kind<'_> {
    /// Reads figures with or without a point. A comma is taken only where it can mean one thing,
    /// between groups of three before a point or before another comma.
    pub fn read(&self, figures: &str) -> Result<BigRational, Refused> {
        let (what, typed) = (self.what, self.typed);
        let write = |n: &str| format!("write {}", (self.write)(n));
        let points = figures.matches('.').count();
        let commas = figures.matches(',').count();
        let plain = figures.replace(',', "");
        if figures.starts_with('-') {
            return Err(Refused::new(
                format!("the {what} \"{typed}\" is below nothing"),
                write(figures.trim_start_matches('-')),
            ));
        }
        if commas > 0 {
            let grouped = grouped(figures.split('.').next().unwrap_or_default());
            if points > 0 && figures.rfind(',') > figures.rfind('.') {
                // A point between groups and a comma for the point.
                let right = figures.replace('.', "").replacen(',', ".", 1);
                return Err(Refused::new(
                    format!("the {what} \"{typed}\" has a comma where the point belongs"),
                    write(&right),
                ));
            }
            if points == 0 && commas == 1 {
                let point = figures.replacen(',', ".", 1);
                if grouped {
                    let (a, b) = ((self.write)(&point), (self.write)(&plain));
                    let wide = point.len().max(plain.len());
                    return Err(Refused {
                        wrong: format!("the {what} \"{typed}\" can be read two ways"),
                        remedy: [(point, a), (plain, b)]
                            .map(|(n, w)| format!("{n:<wide$}  write {w}"))
                            .to_vec(),
                    });
                }
                return Err(Refused::new(
                    format!("the {what} \"{typed}\" has a comma where the point belongs"),
                    write(&point),
                ));
            }
            if !grouped || points > 1 {
                return Err(Refused::new(
                    format!("the {what} \"{typed}\" has commas that do not part it by threes"),
                    write("1234.5"),
                ));
            }
        }
        if points > 1 {
            let groups: Vec<&str> = figures.split('.').collect();
            // Points between groups of three, or a slip.
            let right = match groups[1..].iter().all(|g| g.len() == 3) {
                true => groups.concat(),
                false => format!("{}.{}", groups[0], groups[1..].concat()),
            };
            return Err(Refused::new(
                format!("the {what} \"{typed}\" has more than one point"),
                format!("write one point at most, such as {}", (self.write)(&right)),
            ));
        }
        let (whole, part) = plain.split_once('.').unwrap_or((&plain, ""));
        let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() && part.is_empty() || !digits(whole) || !digits(part) {
            let right = powers(figures).unwrap_or_else(|| "1234.5".into());
            return Err(Refused::new(
                format!("the {what} \"{typed}\" is no number"),
                format!("write plain figures, such as {}", (self.write)(&right)),
            ));
        }
        if whole.len() + part.len() > MOST_FIGURES || part.len() > MOST_DECIMALS {
            let remedy = match part.len() > MOST_DECIMALS {
                true => format!("write at most {MOST_DECIMALS} behind the point"),
                false => format!("write at most {MOST_FIGURES} figures"),
            };
            return Err(Refused::new(
                format!("the {what} \"{typed}\" has more figures than anything is known to"),
                remedy,
            ));
        }
        let digits: BigInt = format!("{whole}{part}").parse().unwrap_or_default();
        Ok(BigRational::new(digits, ten(part.len())))
    }
}

/// What figures with a power of ten behind them come to, "1e3"; None if they are none.
fn powers(figures: &str) -> Option<String> {
    let (n, power) = figures.split_once(['e', 'E'])?;
    let power: usize = power.trim_start_matches('+').parse().ok().filter(|p| *p < 10)?;
    let plain = n.bytes().all(|b| b.is_ascii_digit());
    (plain && !n.is_empty() && n.len() < 10).then(|| format!("{n}{}", "0".repeat(power)))
}

/// Are figures parted by commas into threes?
fn grouped(figures: &str) -> bool {
    let mut groups = figures.split(',');
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && groups.all(|g| g.len() == 3)
}

fn ten(places: usize) -> BigInt {
    num_traits::pow(BigInt::from(10), places)
}

/// A whole number.
pub(crate) fn whole(n: impl Into<BigInt>) -> BigRational {
    BigRational::from_integer(n.into())
}

/// A ratio.
pub(crate) fn ratio(a: impl Into<BigInt>, b: impl Into<BigInt>) -> BigRational {
    BigRational::new(a.into(), b.into())
}

/// An exact decimal of the tables, such as a unit's grams.
pub(crate) fn exact(decimal: &str) -> BigRational {
    let (whole, part) = decimal.split_once('.').unwrap_or((decimal, ""));
    let digits: BigInt = format!("{whole}{part}").parse().unwrap_or_default();
    BigRational::new(digits, ten(part.len()))
}

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
pub(crate) fn fixed(n: &BigInt, places: usize) -> String {
    let sign = if n.is_negative() { "-" } else { "" };
    let digits = n.abs().to_string();
    let digits = format!("{digits:0>width$}", width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    match places {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{part}"),
    }
}

/// The share that "11%" is. `below` is the least that is too much, in hundredths; None where there is
/// no bound.
pub(crate) fn share(what: &str, typed: &str, below: Option<u32>) -> Result<BigRational, Refused> {
    let text = typed.trim();
    let write = |n: &str| format!("{n}%");
    let kind = Kind { what, typed, write: &write };
    let Some(figures) = text.strip_suffix('%') else {
        // A number is a share in hundredths that lacks its sign; anything else is none.
        let n = kind.read(text);
        let right = n.map_or_else(
            |_| write("5"),
            |n| {
                // 0.95 most likely means the part of one, not of a hundred.
                let meant = if n < whole(1) { &n * whole(100) } else { n };
                write(&plain(&meant, MOST_DECIMALS))
            },
        );
        return Err(Refused::new(
            format!("the {what} \"{typed}\" is no share of a hundred"),
            format!("write {right}"),
        ));
    };
    let hundredths = kind.read(figures.trim_end())?;
    if below.is_some_and(|b| hundredths >= whole(b)) {
        return Err(Refused::new(
            format!("the {what} \"{typed}\" leaves nothing"),
            format!("write a share below {}%", below.unwrap_or_default()),
        ));
    }
    if hundredths > whole(1000) {
        return Err(Refused::new(
            format!("the {what} \"{typed}\" is more than ten times the whole"),
            "write a share such as 5%",
        ));
    }
    if hundredths.denom() > &ten(4) {
        return Err(Refused::new(
            format!("the {what} \"{typed}\" has more than four figures behind the point"),
            format!("write {}", write(&plain(&hundredths, 4))),
        ));
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
    pub(crate) fn about(x: &BigRational) -> Span {
        let tenth = x / whole(10);
        Span { low: x - &tenth, high: x + tenth }
    }
}

/// One.
pub(crate) fn one() -> BigRational {
    BigRational::one()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(figures: &str) -> Result<String, String> {
        let write = |n: &str| format!("{n}g");
        let kind = Kind { what: "weight", typed: figures, write: &write };
        kind.read(figures).map(|n| plain(&n, 9)).map_err(|e| e.to_string())
    }

    #[test]
    fn commas_are_read_where_they_mean_one_thing() {
        for (typed, n) in [
            ("178.5", "178.5"),
            (".5", "0.5"),
            ("1,234.5", "1234.5"),
            ("1,234,567", "1234567"),
            ("0007", "7"),
            ("1.234", "1.234"),
        ] {
            assert_eq!(read(typed).as_deref(), Ok(n), "{typed}");
        }
        for (typed, said) in [
            ("1,785", "read two ways\n  1.785  write 1.785g\n  1785   write 1785g"),
            ("1.234,5", "comma where the point belongs\n  write 1234.5g"),
            ("12,5", "comma where the point belongs\n  write 12.5g"),
            ("1,23,4", "do not part it by threes"),
            ("1.2.3", "more than one point"),
            (".", "is no number"),
            ("1e9", "is no number"),
            ("-5", "is below nothing\n  write 5g"),
            ("1234567890123456789", "more figures"),
            ("0.1234567890", "more figures"),
        ] {
            let e = read(typed).expect_err(typed);
            assert!(e.contains(said), "{typed}: {e}");
        }
    }

    #[test]
    fn decimals_are_rounded_once() {
        assert_eq!(decimal(&ratio(5, 2), 0), "3");
        assert_eq!(decimal(&ratio(-1, 200), 2), "-0.01");
        assert_eq!(decimal(&ratio(1, 3), 4), "0.3333");
        assert_eq!(plain(&ratio(37, 40), 4), "0.925");
        assert_eq!(plain(&whole(100), 2), "100");
    }
}
