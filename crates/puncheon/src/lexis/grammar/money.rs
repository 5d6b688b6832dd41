//! Money as it is typed: an amount in pennies or whatever the currency's smallest part is, and a price
//! for a weight. No rate is known here and none is fetched.

use iso_currency::Currency as Iso;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::ToPrimitive;
use puncheon_schema::entry::Metal;
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS};

use crate::lexis::grammar::figures::{self, Kind, Refused};
use crate::lexis::grammar::weights;

/// Signs that stand for one currency, with its code; None where several share the sign.
const SIGNS: [(&str, Option<&str>); 3] = [("£", Some("GBP")), ("€", Some("EUR")), ("$", None)];
/// Decimals where no currency is named.
const PLACES: usize = 2;
/// The most that an amount may be, in whole currency.
const MOST: i64 = 1_000_000_000;

/// A currency as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Currency {
    /// As typed: "£" or "GBP"; empty where none was named.
    pub shown: String,
    /// Its three letters, where they are known.
    pub code: Option<String>,
    /// Decimals of its smallest part.
    pub places: usize,
}

impl Currency {
    /// No currency was named: figures with two decimals.
    pub fn unnamed() -> Currency {
        Currency { shown: String::new(), code: None, places: PLACES }
    }

    fn same(&self, other: &Currency) -> bool {
        match (&self.code, &other.code) {
            (Some(a), Some(b)) => a == b,
            _ => self.shown == other.shown,
        }
    }

    /// An amount in the smallest part, for a reader: "£24.10", "24.10 GBP", "-£5.00".
    pub fn show(&self, amount: i128) -> String {
        let figures = figures::fixed(&BigInt::from(amount.abs()), self.places);
        self.dress(&figures, amount < 0)
    }

    fn dress(&self, figures: &str, below_nothing: bool) -> String {
        let sign = if below_nothing { "-" } else { "" };
        match &self.shown {
            s if s.is_empty() => format!("{sign}{figures}"),
            s if s.chars().all(char::is_alphabetic) => format!("{sign}{figures} {s}"),
            s => format!("{sign}{s}{figures}"),
        }
    }

    /// An amount as a decimal without its currency.
    pub(crate) fn figures(&self, amount: i128) -> String {
        figures::fixed(&BigInt::from(amount), self.places)
    }

    /// An exact sum in the smallest part, to the nearest.
    pub(crate) fn nearest(&self, sum: &BigRational) -> i128 {
        let parts = sum * figures::whole(10i64.pow(self.places as u32));
        parts.round().to_integer().to_i128().unwrap_or(i128::MAX)
    }
}

/// The currencies of one question: every amount is of the first that is named.
#[derive(Debug, Default)]
pub(crate) struct Till(Option<(Currency, String)>);

impl Till {
    /// The currency of all amounts so far.
    pub fn currency(&self) -> Currency {
        self.0.as_ref().map_or_else(Currency::unnamed, |(c, _)| c.clone())
    }

    fn take(&mut self, currency: Option<Currency>, typed: &str) -> Result<(), Refused> {
        let Some(new) = currency else {
            return Ok(());
        };
        match &self.0 {
            Some((first, where_from)) if !first.same(&new) => Err(Refused::new(
                format!("\"{where_from}\" is in {} and \"{typed}\" in {}", first.shown, new.shown),
                "write all amounts in one currency; no rate between two is known here",
            )),
            Some(_) => Ok(()),
            None => {
                self.0 = Some((new, typed.to_string()));
                Ok(())
            }
        }
    }

    /// Reads an amount and makes sure of its currency. Amounts are whole pennies, so that sums of
    /// them are.
    pub fn amount(&mut self, what: &str, typed: &str) -> Result<BigRational, Refused> {
        let text = typed.trim();
        let (figures, currency) = parted(what, text)?;
        let dressed = currency.clone().unwrap_or_else(Currency::unnamed);
        let write = |n: &str| dressed.dress(n, false);
        let kind = Kind { what, typed: text, write: &write };
        let amount = kind.read(figures)?;
        self.take(currency, text)?;
        if amount > figures::whole(MOST) {
            return Err(Refused::new(
                format!("the {what} \"{text}\" is more than a thousand million"),
                "look at the figures",
            ));
        }
        Ok(amount)
    }

    /// Amounts in the smallest part of the currency, once every amount has been read.
    pub fn pennies(&self, what: &str, amount: &BigRational) -> Result<i128, Refused> {
        let currency = self.currency();
        let parts = amount * figures::whole(10i64.pow(currency.places as u32));
        if !parts.is_integer() {
            let places = match currency.places {
                0 => "no decimals".to_string(),
                n => format!("{n} decimals"),
            };
            return Err(Refused::new(
                format!(
                    "the {what} {} has more than {places}",
                    currency.dress(&figures::plain(amount, 9), false)
                ),
                format!("write {}", currency.show(currency.nearest(amount))),
            ));
        }
        Ok(currency.nearest(amount))
    }

    /// Reads a price: an amount, then / or "per", then a unit of weight; a metal may stand before it.
    pub fn price(&mut self, image: &Image, typed: &str) -> Result<Price, Refused> {
        let text = typed.trim();
        let (metal, rest) = metal_of(text);
        let example = "24.50/ozt";
        let lower = rest.to_lowercase();
        let parting = [" per ", "/", " an ", " a "]
            .iter()
            .find_map(|p| lower.find(p).map(|at| (at, p.len())));
        // Small letters may take more bytes than those typed; what was typed is cut by its own.
        let parting = parting.filter(|_| lower.len() == rest.len());
        let Some((at, wide)) = parting else {
            return Err(Refused::new(
                format!("the price \"{text}\" says not for what weight"),
                match parted("price", rest) {
                    Ok(_) => format!("write the unit behind it, such as {rest}/ozt or {rest}/g"),
                    Err(_) => format!("write the unit behind it, such as {example}"),
                },
            ));
        };
        let (amount, per) = (rest[..at].trim(), rest[at + wide..].trim());
        let found = weights::unit_at(image, per)?;
        let whole = found.filter(|(_, end, _)| per[*end..].trim_matches(['.', ' ']).is_empty());
        let Some((unit, _, note)) = whole else {
            let units: Vec<&str> = weights::units(image).map(|u| u.short()).collect();
            return Err(Refused::new(
                format!("\"{per}\" is no unit of weight, in the price \"{text}\""),
                format!("write {example}; the units are {}", units.join(", ")),
            ));
        };
        let (figures, currency) = parted("price", amount)?;
        let dressed = currency.clone().unwrap_or_else(Currency::unnamed);
        let write = |n: &str| format!("{}/{}", dressed.dress(n, false), unit.short());
        let kind = Kind { what: "price", typed: text, write: &write };
        let amount = kind.read(figures)?;
        // Three figures behind a point can be meant for thousands: it is said how they are read.
        let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
        let thousands = part.len() == 3 && (1..=3).contains(&whole.len()) && whole != "0";
        let read_as = thousands.then(|| {
            format!(
                "The price \"{text}\" is read with a point, as {}; for thousands write {}.",
                dressed.dress(&figures::plain(&amount, 3), false),
                write(&format!("{whole}{part}"))
            )
        });
        self.take(currency, text)?;
        if amount > figures::whole(MOST) || amount == figures::whole(0) {
            return Err(Refused::new(
                format!("the price \"{text}\" is no price of metal"),
                format!("write what a unit of fine metal costs, such as {example}"),
            ));
        }
        Ok(Price {
            text: text.to_string(),
            metal,
            per_gram: &amount / weights::grams(unit),
            amount,
            unit: unit.name().to_string(),
            note: match (note, read_as) {
                (Some(a), Some(b)) => Some(format!("{a} {b}")),
                (a, b) => a.or(b),
            },
        })
    }
}

/// A price of fine metal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Price {
    /// As typed.
    pub text: String,
    /// The metal named with it.
    pub metal: Option<Metal>,
    /// For a gram, exactly.
    pub per_gram: BigRational,
    /// For the unit named.
    pub amount: BigRational,
    /// The unit's name.
    pub unit: String,
    /// How the unit was taken, where it was left open.
    pub note: Option<String>,
}

impl Price {
    /// For a reader: "£24.10 per troy ounce".
    pub fn shown(&self, currency: &Currency) -> String {
        let mut figures = figures::plain(&self.amount, 9);
        let places = figures.split_once('.').map_or(0, |(_, p)| p.len());
        if places < currency.places {
            figures = figures::decimal(&self.amount, currency.places);
        }
        format!("{} per {}", currency.dress(&figures, false), self.unit)
    }
}

/// A metal named before a price, and the rest.
pub(crate) fn metal_of(text: &str) -> (Option<Metal>, &str) {
    for metal in METALS {
        let name = export::metal(metal);
        let named = text.get(..name.len()).filter(|s| s.eq_ignore_ascii_case(name));
        if named.is_some() {
            let rest = &text[name.len()..];
            if rest.starts_with([' ', ':', '=']) {
                return (Some(metal), rest.trim_start_matches([' ', ':', '=']));
            }
        }
    }
    (None, text)
}

/// Figures and the currency beside them.
fn parted<'t>(what: &str, text: &'t str) -> Result<(&'t str, Option<Currency>), Refused> {
    let example = |s: &str| format!("write {}", s);
    let figure = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let Some(from) = text.find(figure) else {
        return Err(Refused::new(
            format!("the {what} \"{text}\" is no amount of money"),
            example("figures, such as 140 or £140.50"),
        ));
    };
    let to = text.rfind(figure).map_or(from, |i| i + 1);
    let (before, figures, after) = (text[..from].trim(), &text[from..to], text[to..].trim());
    let (less, before) = match before.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest.trim()),
        None => match before.strip_suffix(['-', '\u{2212}']) {
            Some(rest) => (true, rest.trim()),
            None => (false, before),
        },
    };
    if less {
        return Err(Refused::new(
            format!("the {what} \"{text}\" is below nothing"),
            example(&format!("{before}{figures}{after}")),
        ));
    }
    let named = match (before.is_empty(), after.is_empty()) {
        (true, true) => return Ok((figures, None)),
        (false, false) => {
            return Err(Refused::new(
                format!("the {what} \"{text}\" has something on either side of its figures"),
                example(&format!("{before}{figures}")),
            ));
        }
        (false, true) => before,
        (true, false) => after,
    };
    match currency(named) {
        Some(c) => Ok((figures, Some(c))),
        None => Err(Refused::new(
            format!("\"{named}\" is no currency, in the {what} \"{text}\""),
            "write a sign, £, € or $, or the three letters of the currency, such as GBP",
        )),
    }
}

fn currency(named: &str) -> Option<Currency> {
    if let Some((sign, code)) = SIGNS.iter().find(|(sign, _)| *sign == named) {
        return Some(Currency {
            shown: sign.to_string(),
            code: code.map(str::to_string),
            places: PLACES,
        });
    }
    let code = named.to_uppercase();
    let known = Iso::from_code(&code)?;
    Some(Currency {
        shown: code.clone(),
        code: Some(code),
        places: known.exponent().map_or(PLACES, usize::from),
    })
}
