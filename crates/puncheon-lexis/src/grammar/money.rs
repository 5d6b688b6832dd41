//! Money as it is typed: figures with a currency beside them, and a price for a weight. No rate is known
//! here and none is fetched.

use std::ops::Range;

use iso_currency::Currency as Iso;
use num_bigint::BigInt;
use num_rational::BigRational;
use puncheon_schema::entry::{Grammar, Metal};
use puncheon_schema::image::{Image, Sense};

use crate::grammar::figures::{self, Misread};
use crate::grammar::weights::{self, Is, Taken, Token, Unit};
use crate::phrase::longest;
use crate::tree::{Aside, Fate, Tree, Use};

/// Decimals where no currency is named, or only its sign.
const PLACES: usize = 2;
/// The most figures before a point that can be meant for thousands.
const THOUSANDS: usize = 3;

/// A currency as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currency {
    /// "£" or "GBP"; empty where none was named.
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

    /// Is it the same money?
    pub fn same(&self, other: &Currency) -> bool {
        match (&self.code, &other.code) {
            (Some(a), Some(b)) => a == b,
            _ => self.shown == other.shown,
        }
    }

    /// Its smallest parts in one of it.
    pub fn parts(&self) -> BigRational {
        BigRational::from_integer(figures::ten(self.places))
    }

    /// By a sign of the tables or its three letters.
    fn named(image: &Image, typed: &str) -> Option<Currency> {
        let word = typed.to_lowercase();
        if let Some((Sense::Currency(code), _)) =
            longest::own(image, Grammar::Money, [word.as_str()].into_iter())
        {
            let code = code.map(|c| c.map(char::from).iter().collect());
            return Some(Currency { shown: typed.to_string(), code, places: PLACES });
        }
        let code = typed.to_uppercase();
        let known = Iso::from_code(&code)?;
        let places = known.exponent().map_or(PLACES, usize::from);
        Some(Currency { shown: code.clone(), code: Some(code), places })
    }
}

/// An amount of money, exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    /// So much of the currency, in whole units of it: 12.5 for "£12.50".
    pub sum: BigRational,
    /// None where none was named.
    pub currency: Option<Currency>,
}

/// Why a text is no amount of money. Places are bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It has no figures.
    NoFigures,
    /// It is below nothing; the parts of it that are not the sign.
    BelowNothing {
        /// What stands before the figures; empty where nothing does.
        before: Range<usize>,
        /// The figures.
        figures: Range<usize>,
        /// What stands behind them; empty where nothing does.
        behind: Range<usize>,
    },
    /// Something stands on either side of the figures.
    BothSides {
        /// What stands before them.
        before: Range<usize>,
        /// The figures.
        figures: Range<usize>,
    },
    /// A word of doubt stands beside them; what is left without it.
    Guess {
        /// The amount without the word of doubt.
        left: Range<usize>,
    },
    /// What stands beside them is no currency.
    NoCurrency {
        /// What stands there.
        at: Range<usize>,
    },
    /// The figures are no number.
    Figures {
        /// The currency beside them; None where none was named.
        currency: Option<Currency>,
        /// Why they are no number.
        why: Misread,
    },
}

/// Reads an amount.
pub fn amount(image: &Image, text: &str) -> Result<Amount, Fault> {
    let Parted { figures, currency, .. } = parted(image, text)?;
    match figures::read(&text[figures]) {
        Ok(sum) => Ok(Amount { sum, currency }),
        Err(why) => Err(Fault::Figures { currency, why }),
    }
}

/// What became of a text that is read for an amount.
pub fn tree(image: &Image, text: &str) -> Tree {
    let read = amount(image, text).is_ok();
    match parted(image, text).ok().filter(|_| read) {
        Some(parted) => Tree::over(text, parted.told(0)),
        None => Tree::over(text, weights::refused(image, text, 0..text.len())),
    }
}

/// Figures with a currency on one side.
struct Parted {
    figures: Range<usize>,
    currency: Option<Currency>,
    /// Where that stands.
    named: Option<Range<usize>>,
}

impl Parted {
    /// What it is, with so many bytes before its text.
    fn told(&self, from: usize) -> Vec<(Range<usize>, Fate)> {
        let mut all: Vec<&Range<usize>> = [&self.figures].into_iter().chain(&self.named).collect();
        all.sort_by_key(|at| at.start);
        let money = |at: &Range<usize>| (from + at.start..from + at.end, Fate::Used(Use::Money));
        all.into_iter().map(money).collect()
    }
}

/// A part of a text without the blanks at its ends.
fn trimmed(text: &str, at: Range<usize>) -> Range<usize> {
    let part = &text[at.clone()];
    let start = at.start + (part.len() - part.trim_start().len());
    start..start + part.trim().len()
}

/// Figures and the currency beside them.
fn parted(image: &Image, text: &str) -> Result<Parted, Fault> {
    let figure = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let minus = ['-', '\u{2212}'];
    let Some(from) = text.find(figure) else {
        return Err(Fault::NoFigures);
    };
    let to = text.rfind(figure).map_or(from, |i| i + 1);
    let mut before = trimmed(text, 0..from);
    let (figures, behind) = (from..to, trimmed(text, to..text.len()));
    let said = &text[before.clone()];
    let less = if said.starts_with(minus) {
        let sign = said.chars().next().map_or(0, char::len_utf8);
        before = trimmed(text, before.start + sign..before.end);
        true
    } else if said.ends_with(minus) {
        let kept = said.trim_end_matches(minus).len();
        let last = said[kept..].chars().next_back().map_or(0, char::len_utf8);
        before = trimmed(text, before.start..before.end - last);
        true
    } else {
        false
    };
    if less {
        return Err(Fault::BelowNothing { before, figures, behind });
    }
    if let Some(left) = without_doubt(image, text, [&before, &figures, &behind]) {
        return Err(Fault::Guess { left });
    }
    let named = match (before.is_empty(), behind.is_empty()) {
        (true, true) => return Ok(Parted { figures, currency: None, named: None }),
        (false, false) => return Err(Fault::BothSides { before, figures }),
        (false, true) => before,
        (true, false) => behind,
    };
    match Currency::named(image, &text[named.clone()]) {
        Some(c) => Ok(Parted { figures, currency: Some(c), named: Some(named) }),
        None => Err(Fault::NoCurrency { at: named }),
    }
}

/// What is left of an amount where words beside it make it a guess: "about £140", "£140 or so".
fn without_doubt(
    image: &Image,
    text: &str,
    [before, figures, behind]: [&Range<usize>; 3],
) -> Option<Range<usize>> {
    let [first, last] = [before, behind].map(|part| weights::cut(&text[part.clone()]));
    let doubt = |part: &Range<usize>, tokens: &[Token]| {
        let typed = &text[part.clone()];
        let words = tokens.iter().map(|t| typed[t.start..t.end].to_lowercase());
        match longest::phrase(image, Grammar::Money, words) {
            Some((Sense::About, n)) => Some(tokens[n - 1].end),
            _ => None,
        }
    };
    if let Some(end) = doubt(before, &first) {
        return Some(trimmed(text, before.start + end..behind.end.max(figures.end)));
    }
    // Behind the figures a currency may stand before the doubt.
    let doubted = (0..last.len()).find(|i| doubt(behind, &last[*i..]).is_some());
    doubted.map(|i| trimmed(text, before.start.min(figures.start)..behind.start + last[i].start))
}

/// A price of metal for a weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// The metal named with it.
    pub metal: Option<Metal>,
    /// For the unit.
    pub amount: Amount,
    /// The unit, by its number in the tables.
    pub unit: usize,
    /// How the unit was taken, where it was left open.
    pub taken: Option<Taken>,
    /// Three figures behind a point can be meant for thousands: the figures without the point.
    pub thousands: Option<String>,
}

/// Why a text is no price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceFault {
    /// It does not say for what weight; the amount, where it is one.
    NoUnit {
        /// Where the amount stands; None where there is none that can be read.
        amount: Option<Range<usize>>,
    },
    /// What stands there is no unit of weight.
    UnknownUnit {
        /// What stands there; empty at the end of the text where nothing does.
        at: Range<usize>,
    },
    /// The words for the unit can be one of several.
    Unit(weights::Fault),
    /// The amount is none; where it stands.
    Amount {
        /// Where the amount should stand.
        at: Range<usize>,
        /// The unit of the price, by its number in the tables.
        unit: usize,
        /// Why it is none; its places are bytes of the part at `at`.
        why: Box<Fault>,
    },
}

/// Reads a price: an amount, then / or "per", then a unit of weight; a metal may stand before it.
pub fn price(image: &Image, text: &str) -> Result<Price, PriceFault> {
    let tokens = weights::cut(text);
    let (metal, from) = metal_of(image, text, &tokens);
    let rest = &text[from..];
    let tokens = weights::cut(rest);
    let Some((end, per)) = parting(image, rest, &tokens) else {
        let amount = parted(image, rest).is_ok().then_some(from..text.len());
        return Err(PriceFault::NoUnit { amount });
    };
    let unit = weights::unit_of(image, rest, &tokens, per).map_err(|f| {
        PriceFault::Unit(match f {
            weights::Fault::OpenUnit { at, units } => {
                weights::Fault::OpenUnit { at: from + at.start..from + at.end, units }
            }
            other => other,
        })
    })?;
    let whole = |u: &Unit| rest[tokens[u.1 - 1].end..].trim_matches(['.', ' ']).is_empty();
    let Some((unit, _, taken)) = unit.filter(whole) else {
        let at = tokens.get(per).map_or(rest.len(), |t| t.start);
        let at = trimmed(text, from + at..text.len());
        return Err(PriceFault::UnknownUnit { at });
    };
    let taken = taken.map(|t| match t {
        Taken::Bare { at, unit } => Taken::Bare { at: from + at.start..from + at.end, unit },
        other => other,
    });
    let at = trimmed(text, from..from + end);
    let amount_text = &text[at.clone()];
    let amount = amount(image, amount_text).map_err(|why| PriceFault::Amount {
        at: at.clone(),
        unit: unit.i,
        why: Box::new(why),
    })?;
    let figures = parted(image, amount_text).map_or("", |p| &amount_text[p.figures]);
    let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
    let open = part.len() == THOUSANDS && (1..=THOUSANDS).contains(&whole.len()) && whole != "0";
    let thousands = open.then(|| [whole, part].concat());
    Ok(Price { metal, amount, unit: unit.i, taken, thousands })
}

/// What became of a text that is read for a price.
pub fn price_tree(image: &Image, text: &str) -> Tree {
    let (metal, from) = metal_of(image, text, &weights::cut(text));
    let rest = &text[from..];
    let tokens = weights::cut(rest);
    let read = price(image, text).is_ok();
    let Some((end, per)) = parting(image, rest, &tokens).filter(|_| read) else {
        return Tree::over(text, weights::refused(image, text, 0..text.len()));
    };
    let at = trimmed(text, from..from + end);
    let mut told = Vec::new();
    if metal.is_some() {
        let named = text[..from].trim_end_matches([' ', ':', '=']).len();
        told.push((0..named, Fate::Used(Use::Standard)));
    }
    let amount = parted(image, &text[at.clone()]);
    told.extend(amount.iter().flat_map(|a| a.told(at.start)));
    told.push((from + end..from + tokens[per - 1].end, Fate::Aside(Aside::Joining)));
    if let Ok(Some((_, next, _))) = weights::unit_of(image, rest, &tokens, per) {
        let unit = from + tokens[per].start..from + tokens[next - 1].end;
        told.push((unit, Fate::Used(Use::Figure)));
    }
    Tree::over(text, told)
}

/// What parts an amount from its unit: where the amount ends, and the token where the unit begins.
fn parting(image: &Image, text: &str, tokens: &[Token]) -> Option<(usize, usize)> {
    let figures = tokens.iter().position(|t| t.is == Is::Figures);
    (figures.map_or(0, |i| i + 1)..tokens.len()).find_map(|i| {
        let words = tokens[i..].iter().map(|t| text[t.start..t.end].to_lowercase());
        let (sense, n) = longest::own(image, Grammar::Money, words)?;
        (sense == Sense::Each).then_some((tokens[i].start, i + n))
    })
}

/// A metal named before a price, and where the rest begins.
fn metal_of(image: &Image, text: &str, tokens: &[Token]) -> (Option<Metal>, usize) {
    let words = tokens.iter().map(|t| text[t.start..t.end].to_lowercase());
    let Some((Sense::Metal(metal), n)) = longest::own(image, Grammar::Money, words) else {
        return (None, 0);
    };
    let behind = tokens[n - 1].end;
    let rest = text[behind..].trim_start_matches([' ', ':', '=']);
    match text.len() - rest.len() {
        same if same == behind => (None, 0),
        at => (Some(metal), at),
    }
}

/// The metal that words name, and nothing else.
pub fn metal(image: &Image, text: &str) -> Option<Metal> {
    let tokens = weights::cut(text);
    let words = tokens.iter().map(|t| text[t.start..t.end].to_lowercase());
    match longest::own(image, Grammar::Money, words) {
        Some((Sense::Metal(metal), n)) if n == tokens.len() => Some(metal),
        _ => None,
    }
}

/// The most that an amount may be, in whole currency.
pub fn most() -> BigRational {
    BigRational::from_integer(BigInt::from(1_000_000_000))
}
