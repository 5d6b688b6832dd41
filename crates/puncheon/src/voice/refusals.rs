//! Why a question of worth cannot be answered, in sentences, each with what would be right.

use std::ops::Range;

use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS, Meta};

use crate::engine::worth::fault::{Against, Alone, Fault, Off, Sum, What};
use crate::engine::worth::fineness::{self, Name, NoParts};
use crate::engine::worth::list::{self, COLUMNS};
use crate::engine::worth::till::Rounds;
use crate::lexis::grammar::deductions;
use crate::lexis::grammar::figures::NoShare;
use crate::lexis::grammar::money::{self, Currency, PriceFault};
use crate::lexis::grammar::weights::{self, NotOne};
use crate::voice::figures::Shown;
use crate::voice::figures::{Kind, no_share, plain, written};
use crate::voice::refused::Refused;
use crate::voice::wording::borne;
use crate::voice::worth;

/// A price of metal as it is written.
const PRICE: &str = "24.50/ozt";

/// What the engine names by a value, in words.
trait Named {
    /// Its name in a sentence.
    fn name(self) -> &'static str;

    /// Its name as something that is charged.
    fn charged(self) -> &'static str;
}

impl Named for What {
    fn name(self) -> &'static str {
        match self {
            What::PricePaid => "price paid",
            What::FixedFee => "fixed fee",
            What::Post => "post",
            What::PostCharged => "post charged",
            What::PriceAsked => "price asked",
            What::Margin => "margin",
            What::Markup => "markup",
            What::Fee => "fee",
            What::Premium => "premium",
            What::PremiumTax => "tax on the premium",
            What::Scheme => "rate of the scheme",
            What::SharePaid => "share paid",
        }
    }

    fn charged(self) -> &'static str {
        match self {
            What::Fee => "a fee",
            What::FixedFee => "a fixed fee",
            other => other.name(),
        }
    }
}

/// Why a question of worth has no answer, in sentences.
pub(crate) fn said(image: &Image, fault: &Fault) -> Refused {
    match fault {
        Fault::Weight { text, why } => weight(image, text, why),
        Fault::Fineness { text, why } => fineness(image, text, why),
        Fault::Deduction { text, why } => deduction(image, text, why),
        Fault::Amount { what, text, why } => amount(what.name(), text, why),
        Fault::Price { text, why } => price(image, text, why),
        Fault::Share { what, text, why } => no_share(what.name(), text, why),
        Fault::List(why) => list(why),
        Fault::Alone(alone) => named_alone(*alone),
        Fault::Off(why) => off(why),
        Fault::Sum(why) => sum(why),
        Fault::Against(why) => against(image, why),
        Fault::MarginAndMarkup => Refused::new(
            "a margin and a markup are both named",
            "name one: a margin is of the sale price, a markup of the cost",
        ),
    }
}

/// What comes off a weight and leaves none of it.
fn off(why: &Off) -> Refused {
    match why {
        Off::TakesAll { text, gross } => Refused::new(
            format!("\"{text}\" takes off the whole weight or more"),
            format!("the piece weighs {} g; look at both weights", plain(gross, 2)),
        ),
        Off::SharesTakeAll { shares } => Refused::new(
            format!("the shares taken off come to {}% of the whole weight", plain(shares, 2)),
            "write shares that leave some of it; each is a share of the whole weight",
        ),
        Off::AllTaken { off, gross } => Refused::new(
            format!(
                "what comes off, {} g, is the whole weight of {} g or more",
                plain(off, 2),
                plain(gross, 2)
            ),
            "look at both weights; a share is of the whole weight",
        ),
        Off::HowMuch { text } => Refused::new(
            format!("\"{text}\" does not say how much comes off"),
            "write what it weighs, such as \"blades 42g\", or its share of the whole, such as \"60%\"",
        ),
    }
}

/// Amounts that are read and cannot be used.
fn sum(why: &Sum) -> Refused {
    match why {
        Sum::TooMuch { what, text } => Refused::new(
            format!("the {} \"{text}\" is more than a thousand million", what.name()),
            "look at the figures",
        ),
        Sum::Decimals { what, sum, currency } => {
            let places = match currency.places {
                0 => "no decimals".to_string(),
                n => format!("{n} decimals"),
            };
            let sum_shown = currency.dress(&plain(sum, 9), false);
            Refused::new(
                format!("the {} {sum_shown} has more than {places}", what.name()),
                format!("write {}", currency.show(currency.nearest(sum))),
            )
        }
        Sum::Currencies { first: (a, first), second: (b, second) } => Refused::new(
            format!("\"{a}\" is in {} and \"{b}\" in {}", first.shown, second.shown),
            "write all amounts in one currency; no rate between two is known here",
        ),
        Sum::PaysMore { text } => Refused::new(
            format!("a buyer who pays {text} pays more than the metal is worth"),
            "write the share of the metal value that is paid, such as 95%",
        ),
    }
}

/// What is named twice, or of different metals.
fn against(image: &Image, why: &Against) -> Refused {
    let name = |n: &Name| worth::fineness_name(image, n);
    match why {
        Against::NoPrice { text } => Refused::new(
            format!("the price \"{text}\" is no price of metal"),
            format!("write what a unit of fine metal costs, such as {PRICE}"),
        ),
        Against::SecondPrice { text } => Refused::new(
            format!("\"{text}\" is a second price of the same"),
            "name a price once for each metal, such as \"gold 2900/ozt\"",
        ),
        Against::OtherPrices { texts, fineness } => Refused::new(
            format!("no price is of the metal of {}: \"{}\"", name(fineness), texts.join("\", \"")),
            "name a price of that metal, or one without a metal",
        ),
        Against::PriceOf { text, metal, fineness, wanted } => Refused::new(
            format!(
                "\"{text}\" is a price of {}, and {} is none",
                export::metal(*metal),
                name(fineness)
            ),
            format!("name a price of {}", export::metal(*wanted)),
        ),
        Against::PriceOfWhich { text, metals } => {
            let metals: Vec<&str> = metals.iter().map(|m| export::metal(*m)).collect();
            Refused::new(
                format!(
                    "the price \"{text}\" names no metal, and the list holds {}",
                    metals.join(" and ")
                ),
                format!("write the metal before each price, such as \"{} {text}\"", metals[0]),
            )
        }
        Against::BesideMarks { text } => Refused::new(
            format!("\"{text}\" stands beside the weight, and the marks are given as well"),
            "leave the fineness to the marks, or leave the marks out",
        ),
        Against::OtherMetal { fineness, metal } => Refused::new(
            format!("{} is no {}", name(fineness), export::metal(*metal)),
            "leave the metal out, or name a fineness of it",
        ),
        Against::NoMetal { text } => Refused::new(
            format!("\"{text}\" is no metal"),
            format!("write {}, or nothing", METALS.map(export::metal).join(", ")),
        ),
    }
}

/// A figure without what it falls on.
fn named_alone(alone: Alone) -> Refused {
    let (wrong, remedy) = match alone {
        Alone::PremiumTax => {
            ("a tax on the premium is named, and no premium", "name the premium too, such as 25%")
        }
        Alone::FeeOn => (
            "what a fee falls on is named, and no fee",
            "name the fee too, such as 11%, or leave out what it falls on",
        ),
        Alone::Hammer => (
            "a hammer price is said to be paid, and the price or its premium is lacking",
            "name both, such as --paid 150 --premium 26%; without a premium the price is all \
             that was paid",
        ),
        Alone::Premium => (
            "a premium is named, and nothing that it falls on",
            "for the highest bid name the profit you wish, such as --margin 25%; if the price \
             paid was a hammer price write --paid-hammer, and the premium is added to it; if it \
             was all you paid, leave the premium out",
        ),
        Alone::Scheme => (
            "a tax on what is paid above the cost is named, and no cost",
            "name all that the piece cost, such as --paid 150, or leave the tax out",
        ),
        Alone::Wish => (
            "a profit is wished for, and no price is expected",
            "name the hammer price you expect, such as 150",
        ),
        Alone::Pays => (
            "a share of the metal value is named, and no price",
            "name what a unit of fine metal costs, such as 24.50/ozt",
        ),
        Alone::Charge(what) => {
            return Refused::new(
                format!("{} is named, and nothing that is sold", what.charged()),
                "name a hammer price, such as --at 150, or what was paid, such as --paid 100, or \
                 a price of the metal",
            );
        }
    };
    Refused::new(wrong, remedy)
}

// ---- Weights ------------------------------------------------------------------------------------

/// A weight to write, in the first unit of the tables.
fn example(image: &Image) -> String {
    let unit = weights::units(image).next();
    unit.map_or_else(|| "178.5".into(), |u| written("178.5", u))
}

fn units(image: &Image) -> String {
    let units: Vec<&str> = weights::units(image).map(|u| u.short()).collect();
    units.join(", ")
}

/// Why a text is no weight of a piece.
pub(crate) fn weight(image: &Image, text: &str, why: &weights::Fault) -> Refused {
    let said = |at: &Range<usize>| text[at.clone()].trim();
    let short = |unit: usize| image.unit(unit).short();
    match why {
        weights::Fault::None { figures } => no_weight(image, text.trim(), *figures),
        weights::Fault::Figures { at, unit, why } => {
            let write = |n: &str| written(n, image.unit(*unit));
            Kind { what: "weight", typed: said(at), write: &write }.refused(why)
        }
        weights::Fault::OpenUnit { at, units } => open_unit(image, said(at), units),
        weights::Fault::WholePlace { at, figures, unit, above } => {
            let (unit, above) = (image.unit(*unit), image.unit(*above));
            Refused::new(
                format!(
                    "\"{}\" has {} as {}, which is a whole {} or more",
                    said(at),
                    said(figures),
                    unit.short(),
                    above.name()
                ),
                format!(
                    "write fewer than {} {}, or each figure with its unit",
                    plain(&(weights::grams(above) / weights::grams(unit)), 0),
                    unit.short()
                ),
            )
        }
        weights::Fault::Contrary { at, figures, units: [a, b] } => Refused::new(
            match a == b {
                true => format!("\"{}\" names {} twice", said(at), short(*a)),
                false => format!(
                    "\"{}\" has {} and {}, which are not written together so",
                    said(at),
                    short(*a),
                    short(*b)
                ),
            },
            format!(
                "write one of them, {}, or + between two weights",
                written(said(figures), image.unit(*a))
            ),
        ),
        weights::Fault::NothingAdded { within } => Refused::new(
            format!("no weight stands behind the + of \"{}\"", said(within)),
            "write both weights with their units, such as 120g + 58.5g",
        ),
        weights::Fault::Second { within } => Refused::new(
            format!("a second weight stands in \"{}\"", said(within)),
            "write one weight, or + between two",
        ),
        weights::Fault::NotOne(why) => not_one(image, text, why),
    }
}

/// Why a weight that is read is not that of one piece.
fn not_one(image: &Image, text: &str, why: &NotOne) -> Refused {
    let said = |at: &Range<usize>| text[at.clone()].trim();
    match why {
        NotOne::Span { at } => Refused::new(
            format!("\"{}\" is a span, and a piece has one weight", said(at)),
            "write what it weighs; or reckon twice, with the least and with the most",
        ),
        NotOne::Nothing { at } => Refused::new(
            format!("the weight \"{}\" is nothing", said(at)),
            format!("write what the piece weighs, such as {}", example(image)),
        ),
        NotOne::TooMuch { at } => Refused::new(
            format!("the weight \"{}\" is more than a tonne", said(at)),
            format!("look at the figures and the unit, such as {}", example(image)),
        ),
        NotOne::Guess { at, weight } => Refused::new(
            format!("\"{}\" is a guess, and a piece has one weight", said(at)),
            format!("write what it weighs, such as {}", said(weight)),
        ),
        NotOne::OfEach { at, together } => Refused::new(
            format!("\"{}\" counts pieces", said(at)),
            match together {
                Some(g) => format!("write what they weigh together: {}g", plain(g, 4)),
                None => "write what they weigh together, such as 120g".into(),
            },
        ),
        NotOne::Beside { weight } => {
            let rest = format!("{} {}", &text[..weight.start], &text[weight.end..]);
            let beside = rest.trim_matches(|c: char| c.is_whitespace() || ".,;".contains(c));
            Refused::new(
                format!("\"{beside}\" is no part of a weight, in \"{}\"", text.trim()),
                format!("write the weight alone: {}", said(weight)),
            )
        }
    }
}

fn no_weight(image: &Image, words: &str, figures: bool) -> Refused {
    let wrong = match (words.is_empty(), figures) {
        (true, _) => "no weight is named".to_string(),
        (_, true) => format!("\"{words}\" names no weight: no unit stands behind its figures"),
        _ => format!("\"{words}\" names no weight"),
    };
    Refused::new(
        wrong,
        format!(
            "write figures with a unit, such as {}; the units are {}",
            example(image),
            units(image)
        ),
    )
}

fn open_unit(image: &Image, phrase: &str, units: &[usize]) -> Refused {
    let all = || units.iter().map(|u| image.unit(*u));
    let names: Vec<String> = all().map(|u| format!("the {}", u.name())).collect();
    let shorts: Vec<&str> = all().map(|u| u.short()).collect();
    // Letters as typed are told in small ones, as the tables have them.
    let phrase = phrase.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    Refused::new(
        format!("\"{phrase}\" can be {}", names.join(" or ")),
        format!("write {}", shorts.join(" or ")),
    )
}

/// Why a text is no deduction.
fn deduction(image: &Image, text: &str, why: &deductions::Fault) -> Refused {
    let said = |at: &Range<usize>| &text[at.clone()];
    match why {
        deductions::Fault::Weight(why) => weight(image, text, why),
        deductions::Fault::Share { at, why } => share(said(at), why),
        deductions::Fault::MoreThanAll { at } => Refused::new(
            format!("the share \"{}\" is more than the whole", said(at)),
            "write a share of the whole weight, such as 60%",
        ),
        deductions::Fault::Backwards { at } => {
            Refused::new(format!("\"{}\" runs backwards", said(at)), "write the lesser first")
        }
        deductions::Fault::Counts { word } => Refused::new(
            format!("\"{text}\" counts pieces (\"{}\"), and only one weight comes off", said(word)),
            "write what they weigh together, such as \"blades 420g\"",
        ),
    }
}

fn share(figures: &str, why: &NoShare) -> Refused {
    no_share("share", &format!("{figures}%"), why)
}

// ---- Money --------------------------------------------------------------------------------------

/// Why a text is no amount of money.
fn amount(what: &str, text: &str, why: &money::Fault) -> Refused {
    if let money::Fault::Figures { currency, why } = why {
        let currency = currency.clone().unwrap_or_else(Currency::unnamed);
        let write = |n: &str| currency.dress(n, false);
        return Kind { what, typed: text, write: &write }.refused(why);
    }
    beside_figures(what, text, why)
}

fn beside_figures(what: &str, text: &str, why: &money::Fault) -> Refused {
    let said = |at: &Range<usize>| &text[at.clone()];
    match why {
        money::Fault::BelowNothing { before, figures, behind } => Refused::new(
            format!("the {what} \"{text}\" is below nothing"),
            format!("write {}{}{}", said(before), said(figures), said(behind)),
        ),
        money::Fault::BothSides { before, figures } => Refused::new(
            format!("the {what} \"{text}\" has something on either side of its figures"),
            format!("write {}{}", said(before), said(figures)),
        ),
        money::Fault::Guess { left } => Refused::new(
            format!("the {what} \"{text}\" is a guess"),
            format!("write one amount, such as {}", said(left)),
        ),
        money::Fault::NoCurrency { at } => Refused::new(
            format!("\"{}\" is no currency, in the {what} \"{text}\"", said(at)),
            "write a sign, £, € or $, or the three letters of the currency, such as GBP",
        ),
        money::Fault::NoFigures | money::Fault::Figures { .. } => Refused::new(
            format!("the {what} \"{text}\" is no amount of money"),
            "write figures, such as 140 or £140.50",
        ),
    }
}

/// Why a text is no price of metal.
fn price(image: &Image, text: &str, why: &PriceFault) -> Refused {
    match why {
        PriceFault::NoUnit { amount } => Refused::new(
            format!("the price \"{text}\" says not for what weight"),
            match amount.as_ref().map(|at| &text[at.clone()]) {
                Some(rest) => format!("write the unit behind it, such as {rest}/ozt or {rest}/g"),
                None => format!("write the unit behind it, such as {PRICE}"),
            },
        ),
        PriceFault::UnknownUnit { at } => Refused::new(
            format!("\"{}\" is no unit of weight, in the price \"{text}\"", &text[at.clone()]),
            format!("write {PRICE}; the units are {}", units(image)),
        ),
        PriceFault::Unit(why) => weight(image, text, why),
        PriceFault::Amount { at, unit, why } => {
            let money::Fault::Figures { currency, why } = &**why else {
                return beside_figures("price", &text[at.clone()], why);
            };
            let currency = currency.clone().unwrap_or_else(Currency::unnamed);
            let short = image.unit(*unit).short();
            let write = |n: &str| format!("{}/{short}", currency.dress(n, false));
            Kind { what: "price", typed: text, write: &write }.refused(why)
        }
    }
}

// ---- Fineness -----------------------------------------------------------------------------------

fn standard(image: &Image) -> &str {
    fineness::standards(image).next().map_or("", |s| s.name())
}

/// What to write for a fineness in figures, by the first standard of the tables.
fn in_parts(image: &Image) -> String {
    let example = fineness::standards(image).find_map(|s| s.parts());
    let example = example.map_or_else(String::new, |p| format!(", such as {p}"));
    format!("parts of a thousand{example}")
}

/// Why words are no fineness.
pub(crate) fn fineness(image: &Image, words: &str, why: &fineness::Fault) -> Refused {
    use fineness::Fault as F;
    let names =
        |all: &[usize]| -> Vec<&str> { all.iter().map(|s| image.standard(*s).name()).collect() };
    match why {
        F::Empty => Refused::new(
            "no fineness is named",
            format!(
                "write a standard such as {}, a carat, parts of a thousand, or the marks",
                standard(image)
            ),
        ),
        F::NoFineness { word } => Refused::new(
            format!("\"{word}\" names no fineness"),
            format!(
                "write a standard such as {}, a carat, or {}",
                standard(image),
                in_parts(image)
            ),
        ),
        F::MoreThanFineness => Refused::new(
            format!("\"{words}\" says more than a fineness"),
            format!("write the standard alone, such as {}", standard(image)),
        ),
        F::Barred(b) => {
            let (why, _) = borne::not_metal(image, b);
            let why = why.trim_end_matches('.').replacen("What", "what", 1);
            Refused::new(
                format!("\"{words}\" names no fineness: {why}"),
                "write a standard of what is metal throughout",
            )
        }
        F::Unknown { standard } => Refused::new(
            format!("the tables know no fineness of {}", image.standard(*standard).name()),
            "write the parts of a thousand if you know them",
        ),
        F::Several { standards } => Refused::new(
            format!("\"{words}\" can be of more than one standard"),
            format!("write which: {}", names(standards).join(", ")),
        ),
        F::Figures(why) => no_parts(image, words, why),
    }
}

/// Why figures are no fineness.
fn no_parts(image: &Image, words: &str, why: &NoParts) -> Refused {
    match why {
        NoParts::Misread(why) => {
            let write = |n: &str| n.to_string();
            Kind { what: "fineness", typed: words, write: &write }.refused(why)
        }
        NoParts::OverWhole { scale } => {
            let scale = image.scale(*scale);
            Refused::new(
                format!(
                    "\"{words}\" is no fineness: pure metal is {} {}",
                    scale.whole(),
                    scale.name()
                ),
                format!("write at most {} {}", scale.whole(), scale.name()),
            )
        }
        NoParts::OtherScale { metal, own, scale } => {
            let (scale, own) = (image.scale(*scale).name(), export::metal(*own));
            Refused::new(
                format!("\"{words}\" counts {} in {scale}", export::metal(*metal)),
                format!("write {}, or {scale} of {own}", in_parts(image)),
            )
        }
        NoParts::Uncounted { parts } => {
            let scale = (0..image.meta(Meta::Scales)).map(|s| image.scale(s)).next();
            let or = scale.map_or("", |s| s.name());
            Refused::new(
                format!("\"{words}\" does not say of what it is counted"),
                format!("write {} {or}, or {}", plain(parts, 4), in_parts(image)),
            )
        }
        NoParts::WhichMetal { parts } => {
            let shown = plain(parts, 4);
            Refused::new(
                format!("\"{words}\" does not say of which metal"),
                format!(
                    "write which: {shown} {}",
                    METALS.map(export::metal).join(&format!(", {shown} "))
                ),
            )
        }
        NoParts::OverThousand => Refused::new(
            format!("\"{words}\" is no fineness: pure metal is 1000 parts in 1000"),
            format!("write {}", in_parts(image)),
        ),
    }
}

// ---- Lists --------------------------------------------------------------------------------------

/// The columns, each with the other words for it.
fn heads() -> String {
    let others = |(name, others): &(&str, &[&str])| match others {
        [] => name.to_string(),
        _ => format!("{name} (or {})", others.join(", ")),
    };
    COLUMNS.iter().map(others).collect::<Vec<_>>().join(", ")
}

/// Why a list cannot be read.
fn list(why: &list::Fault) -> Refused {
    match why {
        list::Fault::Unread(e) => {
            Refused::new(format!("the list cannot be read: {e}"), "write it as CSV in UTF-8")
        }
        list::Fault::Empty => Refused::new(
            "the list is empty",
            format!("write the columns in its first line: {}", heads()),
        ),
        list::Fault::Twice { column, heads: [a, b] } => Refused::new(
            format!("\"{a}\" and \"{b}\" are both the {column} of the list"),
            "leave one of them out",
        ),
        list::Fault::Lacks { column } => Refused::new(
            format!("no column is called \"{column}\""),
            format!("name the columns in its first line: {}", heads()),
        ),
    }
}
