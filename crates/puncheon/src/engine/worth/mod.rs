//! What a piece is worth in metal, and whether it is better sold or melted. The shape of an answer is
//! what `puncheon.worth/1` prints.
//!
//! Weights, finenesses and prices are exact ratios; money is rounded once, to the penny, where it is
//! told. Every price, fee and rate is the user's own: none is known here and none is fetched.
//!
//! ```
//! use puncheon::worth::{Asked, worth};
//! let tables = puncheon::Tables::builtin();
//! let asked = Asked {
//!     piece: "178.5g sterling".into(),
//!     price: vec!["£24.10/ozt".into()],
//!     ..Asked::default()
//! };
//! let w = worth(tables, &asked).unwrap();
//! assert_eq!(w.value.unwrap().low, "127.93");
//! ```

mod fineness;
mod less;
mod sale;
mod schedule;

use num_rational::BigRational;
use puncheon_schema::entry::{Metal, Particular};
use puncheon_schema::export;
use puncheon_schema::image::Image;
use serde::Serialize;

pub use crate::lexis::grammar::figures::{Refused, Span};
pub use crate::lexis::grammar::weights::Weight;
pub(crate) use crate::lexis::grammar::weights::{first, scratched};
pub use fineness::Fineness;
pub use less::Advice;
pub(crate) use less::named;
pub use schedule::{Entry, NotValued, SCHEDULE_SCHEMA, Schedule, ScheduleAsked, Total, schedule};

use crate::engine::borne::{and, ascribed};
use crate::json::reading::Reading;
use crate::lexis::grammar::money::{Currency, Price, Till};
use crate::lexis::grammar::{figures, objects, weights};
use crate::tables::Tables;
use crate::voice::cautions::{self, Facts, Use};
use less::Less;
use sale::{Pennies, Rate, Terms, Wish};

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.worth/1";

/// Decimals of an exact figure in JSON.
const PLACES: usize = 6;

/// What is asked, in the words typed. What is left empty or None is not asked.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// A weight and a fineness: "178.5g sterling". The fineness may be left to the marks.
    pub piece: String,
    /// The marks as they are seen, from which the fineness is read.
    pub marks: Option<String>,
    /// The metal, where the marks leave more than one.
    pub metal: Option<Metal>,
    /// What the piece is, for the warnings that go with it.
    pub item: Option<String>,
    /// What is not the metal: "blades 42g", "filled handles 60%".
    pub less: Vec<String>,
    /// Prices of fine metal: "24.10/ozt", or "silver 24.10/ozt" where there is more than one.
    pub price: Vec<String>,
    /// The day of the price, as typed.
    pub price_as_of: Option<String>,
    /// Who says so, as typed.
    pub price_from: Option<String>,
    /// The share of the metal value that a buyer of scrap pays: "95%".
    pub pays: Option<String>,
    /// The figures of a sale.
    pub sale: SaleAsked,
}

/// The figures of a sale, in the words typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaleAsked {
    /// All that the piece cost.
    pub paid: Option<String>,
    /// That is a hammer price: the premium and its tax come on top.
    pub paid_hammer: bool,
    /// The share of the price that the place of sale charges.
    pub fee: Option<String>,
    /// The fee falls on the hammer price alone, and not on the post charged as well.
    pub fee_on_hammer: bool,
    /// A sum charged besides.
    pub fee_fixed: Option<String>,
    /// What sending the piece costs.
    pub post: Option<String>,
    /// What the buyer pays for the post.
    pub charged_post: Option<String>,
    /// Hammer prices to be reckoned with.
    pub at: Vec<String>,
    /// The profit wished for: a share of the sale price, "20%", or a sum, "25".
    pub margin: Option<String>,
    /// The profit wished for, as a share of all that the piece cost.
    pub markup: Option<String>,
    /// The buyer's premium on a bid.
    pub premium: Option<String>,
    /// Tax on that premium.
    pub premium_tax: Option<String>,
    /// A tax on the difference between sale and cost: its rate, contained in the difference.
    pub scheme: Option<String>,
}

/// A span of decimals; both ends are the same where the figure is exact.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Figures {
    /// The least.
    pub low: String,
    /// The most.
    pub high: String,
}

/// A weight in grams and in ounces of old plate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Weighed {
    /// Grams, to the millionth.
    pub g: Figures,
    /// Troy ounces, to the millionth.
    pub ozt: Figures,
    /// For a reader.
    #[serde(skip)]
    pub shown: String,
}

/// Something taken off the weight.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct TakenOff {
    /// As typed.
    pub text: String,
    /// What it is, in the words typed.
    pub name: String,
    /// What it is in the tables, by its word there; null where they do not know it.
    pub kind: Option<String>,
    /// How much.
    pub weight: Weighed,
}

/// A fineness, as JSON has it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct FinenessTold {
    /// For a reader.
    pub name: String,
    /// silver, gold, platinum or palladium; null where it is not known.
    pub metal: Option<&'static str>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Parts of a thousand, to the millionth.
    pub parts: Figures,
    /// It was read from the marks.
    pub from_marks: bool,
    /// For a reader, "925 parts in 1000".
    #[serde(skip)]
    pub shown: String,
}

/// The price, as typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct PriceTold {
    /// As typed.
    pub text: String,
    /// For the unit named, exactly.
    pub amount: String,
    /// The unit's name.
    pub per: String,
    /// The day, as typed.
    pub as_of: Option<String>,
    /// Who says so, as typed.
    pub from: Option<String>,
    /// For a reader, "£24.10 per troy ounce".
    #[serde(skip)]
    pub shown: String,
}

/// Money, or a span of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Sum {
    /// The least.
    pub low: String,
    /// The most.
    pub high: String,
    /// For a reader.
    #[serde(skip)]
    pub shown: String,
    #[serde(skip)]
    ends: (Pennies, Pennies),
}

/// What a buyer of scrap would pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Offer {
    /// The share as typed.
    pub pays: String,
    /// The offer.
    #[serde(flatten)]
    pub sum: Sum,
}

/// What a sale at one price comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct AtPrice {
    /// The hammer price.
    pub price: String,
    /// What the sale charges.
    pub fees: String,
    /// What is left once it is charged and sent, before tax.
    pub in_hand: String,
    /// Tax under the scheme; null where no scheme or no cost was stated.
    pub tax: Option<String>,
    /// Above what was paid; null where nothing was.
    pub profit: Option<String>,
    /// Above what melting brings; null where that is not known.
    pub over_melting: Option<Sum>,
    /// The highest bid that earns the profit wished for; null where none was wished or none earns it.
    pub highest_bid: Option<String>,
    /// What that bid costs with everything on top.
    pub bid_costs: Option<String>,
    /// What it would earn.
    pub bid_earns: Option<String>,
    /// The same for a reader, in the order above.
    #[serde(skip)]
    pub shown: AtPriceShown,
}

/// The figures of [`AtPrice`] for a reader.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub struct AtPriceShown {
    pub price: String,
    pub fees: String,
    pub in_hand: String,
    pub tax: Option<String>,
    pub profit: Option<String>,
    pub highest_bid: Option<String>,
    pub bid_costs: Option<String>,
    pub bid_earns: Option<String>,
}

/// Sell or melt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Sale {
    /// What was paid; null where it was not stated.
    pub paid: Option<String>,
    /// The hammer price that breaks even; null where nothing was paid or no price does.
    pub breaks_even: Option<String>,
    /// Below this hammer price melting pays better; null where that is not known.
    pub melt_below: Option<Sum>,
    /// The prices asked.
    pub at: Vec<AtPrice>,
    /// The profit wished for, in words; null where none was.
    pub wish: Option<String>,
    /// The terms in words.
    pub terms: String,
    /// For a reader.
    #[serde(skip)]
    pub shown: SaleShown,
}

/// The figures of [`Sale`] for a reader.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub struct SaleShown {
    pub paid: Option<String>,
    pub breaks_even: Option<String>,
}

/// What a piece is worth in metal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Worth {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The piece as typed.
    pub asked: String,
    /// The marks as typed; null where none were.
    pub marks: Option<String>,
    /// Office and year that they were read as, in a few words; null where they bear out no metal or
    /// settle neither.
    pub read_as: Option<String>,
    /// What the piece is, as typed.
    pub item: Option<String>,
    /// Why it is not valued, a sentence; null if it is, or if no piece was named.
    pub not_valued: Option<String>,
    /// The whole weight; null where none was named.
    pub gross: Option<Weighed>,
    /// What was taken off.
    pub less: Vec<TakenOff>,
    /// What is left of the weight.
    pub net: Option<Weighed>,
    /// The fineness.
    pub fineness: Option<FinenessTold>,
    /// Pure metal.
    pub fine: Option<Weighed>,
    /// The three letters of the currency, or its sign where that is all that is known; null where none
    /// was named.
    pub currency: Option<String>,
    /// The price.
    pub price: Option<PriceTold>,
    /// The metal value.
    pub value: Option<Sum>,
    /// Something named in the description has to come off the weight and did not: the value is the
    /// most that it can be.
    pub at_most: bool,
    /// What a buyer of scrap would pay.
    pub offer: Option<Offer>,
    /// Sell or melt; null where nothing of a sale was asked.
    pub sale: Option<Sale>,
    /// What the trade does about what the piece has on it.
    pub advice: Vec<Advice>,
    /// How words were taken, a sentence each.
    pub notes: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// So many parts of a hundred.
pub(crate) fn hundredths(parts: u32) -> BigRational {
    figures::ratio(parts, 100)
}

/// A span as decimals.
fn figures(s: &Span, places: usize) -> Figures {
    Figures { low: figures::plain(&s.low, places), high: figures::plain(&s.high, places) }
}

/// A weight for an answer.
pub(crate) fn weighed(image: &Image, grams: &Span) -> Weighed {
    let ounce = figures::one() / weights::ounce(image);
    let shown = match grams.is_exact() {
        true => weights::shown(image, &grams.low),
        false => {
            format!(
                "{} to {}",
                weights::shown(image, &grams.low),
                weights::shown(image, &grams.high)
            )
        }
    };
    Weighed { g: figures(grams, PLACES), ozt: figures(&grams.times(&ounce), PLACES), shown }
}

fn sum(currency: &Currency, low: Pennies, high: Pennies) -> Sum {
    let shown = match low == high {
        true => currency.show(low),
        false => format!("{} to {}", currency.show(low), currency.show(high)),
    };
    Sum { low: currency.figures(low), high: currency.figures(high), shown, ends: (low, high) }
}

fn told(f: &Fineness) -> FinenessTold {
    let thousand = figures::whole(1000);
    let parts = f.parts.times(&thousand);
    let shown = match f.parts.is_exact() {
        true => format!("{} parts in 1000", fineness::in_thousand(&f.parts.low)),
        false => format!(
            "{} to {} parts in 1000",
            fineness::in_thousand(&f.parts.low),
            fineness::in_thousand(&f.parts.high)
        ),
    };
    FinenessTold {
        name: f.name.clone(),
        metal: f.metal.map(export::metal),
        standards: f.standards.clone(),
        parts: figures(&parts, PLACES),
        from_marks: f.from_marks,
        shown,
    }
}

/// Weight, deductions and what they leave: the half of the sums that needs no fineness.
struct Scales {
    gross: Weight,
    less: Vec<Less>,
    net: Span,
    advice: Vec<Advice>,
    at_most: bool,
}

fn scales(image: &Image, gross: Weight, item: &str, less: &[String]) -> Result<Scales, Refused> {
    let read = less
        .iter()
        .map(|l| less::read(image, l, &gross.grams))
        .collect::<Result<Vec<Less>, Refused>>()?;
    let shares = read.iter().filter_map(|l| l.share.as_ref());
    let shares = shares.fold(Span::zero(), |sum, s| sum.and(s));
    if shares.low >= figures::whole(100) {
        return Err(Refused::new(
            format!(
                "the shares taken off come to {}% of the whole weight",
                figures::plain(&shares.low, 2)
            ),
            "write shares that leave some of it; each is a share of the whole weight",
        ));
    }
    let off = read.iter().fold(Span::zero(), |sum, l| sum.and(&l.grams));
    if off.low >= gross.grams {
        return Err(Refused::new(
            format!(
                "what comes off, {} g, is the whole weight of {} g or more",
                figures::plain(&off.low, 2),
                figures::plain(&gross.grams, 2)
            ),
            "look at both weights; a share is of the whole weight",
        ));
    }
    let is = |l: &Less, id: &str| l.kind.as_deref() == Some(id);
    let too_little = |id: &str| read.iter().any(|l| is(l, id) && l.is_too_little(image));
    let allowed = |id: &str| read.iter().any(|l| is(l, id)) && !too_little(id);
    let mut named = less::named(image, item);
    for l in &read {
        for d in less::named(image, &l.text) {
            if !named.iter().any(|n| n.i == d.i) {
                named.push(d);
            }
        }
    }
    // A deduction may speak of more than its own kind: "steel blades and pitch 120g".
    let spoken =
        |id: &str| read.iter().any(|l| less::named(image, &l.text).iter().any(|d| d.id() == id));
    let advice: Vec<Advice> = named
        .iter()
        .map(|d| Advice::of(*d, allowed(d.id()) || spoken(d.id()) && !too_little(d.id())))
        .collect();
    Ok(Scales {
        net: Span::exactly(gross.grams.clone()).without(&off),
        at_most: advice.iter().any(|a| !a.allowed_for),
        gross,
        less: read,
        advice,
    })
}

/// The price of a metal among those named.
fn price_of(prices: &[Price], metal: Option<Metal>) -> Result<Option<&Price>, Refused> {
    for (i, p) in prices.iter().enumerate() {
        if prices[..i].iter().any(|q| q.metal == p.metal) {
            return Err(Refused::new(
                format!("\"{}\" is a second price of the same", p.text),
                "name a price once for each metal, such as \"gold 2900/ozt\"",
            ));
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

/// Works out what a piece is worth in metal, and the sums of a sale.
///
/// # Errors
/// If a weight, a fineness, an amount or a share cannot be read, or if they contradict each other;
/// with what would be right. A piece whose marks settle no fineness is no error: it is not valued,
/// and [`Worth::not_valued`] says why.
pub fn worth(tables: &Tables, asked: &Asked) -> Result<Worth, Refused> {
    let image = tables.image();
    let mut till = Till::default();
    let prices = asked
        .price
        .iter()
        .map(|p| till.price(image, p))
        .collect::<Result<Vec<Price>, Refused>>()?;
    let figures = SaleFigures::read(&mut till, &asked.sale)?;
    let currency = till.currency();
    let mut out = Worth {
        schema: SCHEMA,
        asked: asked.piece.trim().to_string(),
        marks: asked.marks.clone(),
        read_as: None,
        item: asked.item.clone(),
        not_valued: None,
        gross: None,
        less: Vec::new(),
        net: None,
        fineness: None,
        fine: None,
        currency: Some(currency.code.clone().unwrap_or(currency.shown.clone()))
            .filter(|c| !c.is_empty()),
        price: None,
        value: None,
        at_most: false,
        offer: None,
        sale: None,
        advice: Vec::new(),
        notes: Vec::new(),
        cautions: Vec::new(),
    };
    let piece = asked.piece.trim();
    if !piece.is_empty() || asked.marks.is_some() {
        value(tables, asked, &prices, &currency, &mut out)?;
    } else if !prices.is_empty()
        || !asked.less.is_empty()
        || asked.metal.is_some()
        || asked.item.is_some()
    {
        // Whatever is said of the metal needs a weight.
        return Err(weights::unread(image, piece));
    }
    let wants_metal = asked.pays.is_some() && out.value.is_none();
    if wants_metal && out.not_valued.is_none() {
        return Err(Refused::new(
            "a share of the metal value is named, and no price",
            "name what a unit of fine metal costs, such as 24.50/ozt",
        ));
    }
    if let Some(figures) = figures {
        out.sale = figures.sell(&till, &out)?;
    } else if piece.is_empty() && asked.marks.is_none() {
        return Err(weights::unread(image, piece));
    }
    out.notes.dedup();
    out.cautions.extend(crate::rests_on_overlay(tables));
    Ok(out)
}

/// Fills in the half of an answer that is about metal.
fn value(
    tables: &Tables,
    asked: &Asked,
    prices: &[Price],
    currency: &Currency,
    out: &mut Worth,
) -> Result<(), Refused> {
    let image = tables.image();
    let piece = asked.piece.trim();
    let Some((gross, at)) = weights::measured(image, piece)? else {
        return Err(weights::unread(image, piece));
    };
    let rest = format!("{} {}", &piece[..at.start], &piece[at.end..]);
    let rest = rest.split_whitespace().collect::<Vec<_>>().join(" ");
    let rest = rest.trim_matches([',', ';', '.', ' ']);
    out.notes.extend(gross.notes.iter().cloned());
    let mut reading = None;
    // Bare figures are of the metal that is named elsewhere.
    let metal_named = asked.metal.or(match prices {
        [one] => one.metal,
        _ => None,
    });
    let bare = !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let with_metal = match metal_named {
        Some(m) if bare => format!("{rest} {}", export::metal(m)),
        _ => rest.to_string(),
    };
    let item = asked.item.as_deref().unwrap_or_default();
    let settled = match (&asked.marks, rest.is_empty()) {
        (None, _) => {
            let fineness = Fineness::read(tables, &with_metal)?;
            match objects::bars(image, item, fineness.metal.or(metal_named)) {
                Some(b) => Err(fineness::NotSettled { why: format!("{} {}", b.why, b.remedy) }),
                None => Ok(fineness),
            }
        }
        (Some(marks), true) => {
            let borne = fineness::of_marks(tables, marks, item, asked.metal);
            let settled = Fineness::borne(image, &borne);
            out.read_as =
                settled.is_ok().then(|| ascribed(&borne).phrase).filter(|p| !p.is_empty());
            reading = Some(borne.reading);
            settled
        }
        (Some(_), false) => {
            return Err(Refused::new(
                format!("\"{rest}\" stands beside the weight, and the marks are given as well"),
                "leave the fineness to the marks, or leave the marks out",
            ));
        }
    };
    if let (Ok(f), Some(metal)) = (&settled, asked.metal)
        && f.metal.is_some_and(|m| m != metal)
    {
        return Err(Refused::new(
            format!("{} is no {}", f.name, export::metal(metal)),
            "leave the metal out, or name a fineness of it",
        ));
    }
    // Where marks stand may tell of it too: "on the blade", "stamped weighted".
    let item = [&asked.item, &asked.marks].map(|t| t.as_deref().unwrap_or_default());
    let item = item.join("; ");
    let scales = scales(image, gross, &item, &asked.less)?;
    out.gross = Some(weighed(image, &Span::exactly(scales.gross.grams.clone())));
    out.notes.extend(scales.less.iter().filter_map(|l| l.note.clone()));
    out.less = scales
        .less
        .iter()
        .map(|l| TakenOff {
            text: l.text.clone(),
            name: l.name.clone(),
            kind: l.kind.clone(),
            weight: weighed(image, &l.grams),
        })
        .collect();
    out.net = Some(weighed(image, &scales.net));
    out.advice = scales.advice;
    out.at_most = scales.at_most;
    if reading.is_none() {
        out.cautions.push("Rests on the weight and fineness you typed, not on an assay.".into());
    }
    let stated = format!("{item} {}", asked.less.join(" "));
    let readings: Vec<Reading> = reading.into_iter().collect();
    out.cautions.extend(foot(image, &stated, &readings, settled.is_err()));
    let fineness = match settled {
        Ok(f) => f,
        Err(e) => {
            out.not_valued = Some(e.why);
            out.at_most = false;
            return Ok(());
        }
    };
    let metal = fineness.metal.or(asked.metal);
    out.notes.extend(fineness.notes.iter().cloned());
    let mut told = told(&fineness);
    told.metal = metal.map(export::metal);
    out.fineness = Some(told);
    let fine = scales.net.by(&fineness.parts);
    out.fine = Some(weighed(image, &fine));
    if prices.is_empty() {
        return Ok(());
    }
    let Some(price) = price_of(prices, metal)? else {
        let named: Vec<&str> = prices.iter().map(|p| p.text.as_str()).collect();
        return Err(Refused::new(
            format!("no price is of the metal of {}: \"{}\"", fineness.name, named.join("\", \"")),
            "name a price of that metal, or one without a metal",
        ));
    };
    if let (Some(a), Some(b)) = (price.metal, metal)
        && a != b
    {
        return Err(Refused::new(
            format!(
                "\"{}\" is a price of {}, and {} is none",
                price.text,
                export::metal(a),
                fineness.name
            ),
            format!("name a price of {}", export::metal(b)),
        ));
    }
    out.notes.extend(price.note.iter().cloned());
    out.price = Some(price_told(price, currency, asked));
    let exact = fine.times(&price.per_gram);
    out.value = Some(sum(currency, currency.nearest(&exact.low), currency.nearest(&exact.high)));
    if let Some(pays) = &asked.pays {
        let share = pays_share(pays)?;
        let paid = exact.times(&share);
        out.offer = Some(Offer {
            pays: pays.trim().to_string(),
            sum: sum(currency, currency.nearest(&paid.low), currency.nearest(&paid.high)),
        });
    }
    Ok(())
}

fn price_told(price: &Price, currency: &Currency, asked: &Asked) -> PriceTold {
    PriceTold {
        text: price.text.clone(),
        amount: figures::plain(&price.amount, 9),
        per: price.unit.clone(),
        as_of: asked.price_as_of.clone(),
        from: asked.price_from.clone(),
        shown: price.shown(currency),
    }
}

/// The share that a buyer of scrap pays; never more than the metal is worth.
fn pays_share(typed: &str) -> Result<BigRational, Refused> {
    let share = figures::share("share paid", typed, None)?;
    match share > figures::one() {
        false => Ok(share),
        true => Err(Refused::new(
            format!("a buyer who pays {} pays more than the metal is worth", typed.trim()),
            "write the share of the metal value that is paid, such as 95%",
        )),
    }
}

/// The figures of a sale, read and in whole pennies.
struct SaleFigures {
    terms: Terms,
    /// As it was named.
    paid: Option<Pennies>,
    /// What was paid is a hammer price.
    hammer: bool,
    /// The first charge of a sale that was named.
    charge: Option<&'static str>,
    at: Vec<Pennies>,
    wish: Option<Wish>,
    /// The terms as typed, for a reader.
    said: Vec<String>,
    wished: Option<String>,
    scheme: bool,
}

impl SaleFigures {
    fn read(till: &mut Till, asked: &SaleAsked) -> Result<Option<SaleFigures>, Refused> {
        if *asked == SaleAsked::default() {
            return Ok(None);
        }
        let share = |what: &str, typed: &Option<String>, below: Option<u32>| {
            typed.as_ref().map(|t| figures::share(what, t, below)).transpose()
        };
        let fee = share("fee", &asked.fee, Some(100))?;
        let premium = share("premium", &asked.premium, None)?;
        let premium_tax = share("tax on the premium", &asked.premium_tax, None)?;
        let scheme = share("rate of the scheme", &asked.scheme, None)?;
        if premium_tax.is_some() && premium.is_none() {
            return Err(Refused::new(
                "a tax on the premium is named, and no premium",
                "name the premium too, such as 25%",
            ));
        }
        if asked.fee_on_hammer && asked.fee.is_none() {
            return Err(Refused::new(
                "what a fee falls on is named, and no fee",
                "name the fee too, such as 11%, or leave out what it falls on",
            ));
        }
        if asked.paid_hammer && (asked.paid.is_none() || premium.is_none()) {
            return Err(Refused::new(
                "a hammer price is said to be paid, and the price or its premium is lacking",
                "name both, such as --paid 150 --premium 26%; without a premium the price is all \
                 that was paid",
            ));
        }
        let bids = asked.margin.is_some() || asked.markup.is_some();
        if premium.is_some() && !bids && !asked.paid_hammer {
            return Err(Refused::new(
                "a premium is named, and nothing that it falls on",
                "for the highest bid name the profit you wish, such as --margin 25%; if the price \
                 paid was a hammer price write --paid-hammer, and the premium is added to it; if it \
                 was all you paid, leave the premium out",
            ));
        }
        if scheme.is_some() && !bids && asked.paid.is_none() {
            return Err(Refused::new(
                "a tax on what is paid above the cost is named, and no cost",
                "name all that the piece cost, such as --paid 150, or leave the tax out",
            ));
        }
        // Amounts are counted in pennies only when the currency of all of them is known.
        let mut amounts: Vec<(&str, BigRational)> = Vec::new();
        let mut take = |what: &'static str, typed: &Option<String>, till: &mut Till| {
            let Some(typed) = typed else {
                return Ok::<_, Refused>(());
            };
            amounts.push((what, till.amount(what, typed)?));
            Ok(())
        };
        take("price paid", &asked.paid, till)?;
        take("fixed fee", &asked.fee_fixed, till)?;
        take("post", &asked.post, till)?;
        take("post charged", &asked.charged_post, till)?;
        let at = asked
            .at
            .iter()
            .filter(|t| !t.trim().is_empty())
            .map(|t| till.amount("price asked", t))
            .collect::<Result<Vec<_>, Refused>>()?;
        let sum_wished = match &asked.margin {
            Some(m) if !m.trim().ends_with('%') => Some(till.amount("margin", m)?),
            _ => None,
        };
        let pennies = |what: &str| {
            amounts.iter().find(|a| a.0 == what).map(|(w, a)| till.pennies(w, a)).transpose()
        };
        let paid = pennies("price paid")?;
        let (fixed, post, charged) =
            (pennies("fixed fee")?, pennies("post")?, pennies("post charged")?);
        let at = at
            .iter()
            .map(|a| till.pennies("price asked", a))
            .collect::<Result<Vec<_>, Refused>>()?;
        let wish = match (&asked.margin, &asked.markup) {
            (Some(_), Some(_)) => {
                return Err(Refused::new(
                    "a margin and a markup are both named",
                    "name one: a margin is of the sale price, a markup of the cost",
                ));
            }
            (Some(m), None) => Some(match &sum_wished {
                Some(sum) => Wish::Sum(till.pennies("margin", sum)?),
                None => Wish::OfSale(Rate::of(&figures::share("margin", m, Some(100))?)),
            }),
            (None, Some(m)) => Some(Wish::OfCost(Rate::of(&figures::share("markup", m, None)?))),
            (None, None) => None,
        };
        if wish.is_some() && at.is_empty() {
            return Err(Refused::new(
                "a profit is wished for, and no price is expected",
                "name the hammer price you expect, such as 150",
            ));
        }
        let currency = till.currency();
        let mut said = Vec::new();
        let on = match asked.fee_on_hammer {
            true => "of the hammer price",
            false => "of the hammer price and the post charged",
        };
        if let Some(f) = &asked.fee {
            said.push(format!("a fee of {} {on}", f.trim()));
        }
        for (what, sum) in
            [("a fixed fee of", fixed), ("post of", post), ("post charged at", charged)]
        {
            if let Some(sum) = sum {
                said.push(format!("{what} {}", currency.show(sum)));
            }
        }
        if let Some(s) = &asked.scheme {
            said.push(format!("tax at {} within what the buyer pays above the cost", s.trim()));
        }
        if let Some(p) = &asked.premium {
            let tax = asked
                .premium_tax
                .as_ref()
                .map_or(String::new(), |t| format!(" with {} tax on it", t.trim()));
            let on = match (asked.paid_hammer, bids) {
                (true, true) => "the hammer price paid and on a bid",
                (true, false) => "the hammer price paid",
                _ => "a bid",
            };
            said.push(format!("a premium of {} on {on}{tax}", p.trim()));
        }
        let wished = match (&asked.margin, &asked.markup) {
            (Some(m), _) if sum_wished.is_none() => Some(format!("{} of the sale price", m.trim())),
            (_, Some(m)) => Some(format!("{} of all that the piece costs", m.trim())),
            _ => match wish {
                Some(Wish::Sum(sum)) => Some(currency.show(sum)),
                _ => None,
            },
        };
        let rate = |r: &Option<BigRational>| r.as_ref().map_or(Rate::NONE, Rate::of);
        let charged_with = [
            ("a fee", asked.fee.is_some()),
            ("a fixed fee", fixed.is_some()),
            ("post", post.is_some()),
            ("post charged", charged.is_some()),
        ];
        Ok(Some(SaleFigures {
            hammer: asked.paid_hammer,
            charge: charged_with.iter().find(|c| c.1).map(|c| c.0),
            terms: Terms {
                fee: rate(&fee),
                fee_on_post: !asked.fee_on_hammer,
                fee_fixed: fixed.unwrap_or(0),
                post: post.unwrap_or(0),
                charged_post: charged.unwrap_or(0),
                scheme: rate(&scheme),
                premium: rate(&premium),
                premium_tax: rate(&premium_tax),
            },
            paid,
            at,
            wish,
            said,
            wished,
            scheme: scheme.is_some(),
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

    /// The cost for a reader, with what comes on top of a hammer price.
    fn cost_shown(&self, currency: &Currency) -> Option<String> {
        let (paid, cost) = self.paid.zip(self.cost())?;
        let show = |p| currency.show(p);
        if !self.hammer {
            return Some(show(cost));
        }
        let premium = self.terms.premium.of_sum(paid);
        let tax = match cost - paid - premium {
            0 => String::new(),
            tax => format!(" and {} tax on it", show(tax)),
        };
        let (hammer, premium) = (show(paid), show(premium));
        Some(format!("{}: {hammer} hammer price, {premium} premium{tax}", show(cost)))
    }

    /// None where the piece is not valued and nothing else of a sale was asked.
    fn sell(&self, till: &Till, out: &Worth) -> Result<Option<Sale>, Refused> {
        let currency = till.currency();
        let t = &self.terms;
        let melting = out.offer.as_ref().map(|o| o.sum.ends).or(out.value.as_ref().map(|v| v.ends));
        let sold = !self.at.is_empty() || self.paid.is_some() || melting.is_some();
        match self.charge.filter(|_| !sold) {
            Some(_) if out.not_valued.is_some() => return Ok(None),
            Some(charge) => {
                return Err(Refused::new(
                    format!("{charge} is named, and nothing that is sold"),
                    "name a hammer price, such as --at 150, or what was paid, such as --paid 100, or \
                     a price of the metal",
                ));
            }
            None => {}
        }
        let paid = self.cost();
        let cost = paid.unwrap_or(0);
        let breaks_even = paid.and_then(|paid| t.least_price(paid, paid));
        // Without a cost a scheme's tax is not known, and nothing can be said against melting.
        let known = paid.is_some() || !self.scheme;
        let melt_below = melting.filter(|_| known).and_then(|(low, high)| {
            let low = t.least_price(cost, low)?;
            Some(sum(&currency, low, t.least_price(cost, high)?))
        });
        let at = self
            .at
            .iter()
            .map(|price| self.at(&currency, *price, melting.filter(|_| known)))
            .collect();
        Ok(Some(Sale {
            paid: paid.map(|p| currency.figures(p)),
            breaks_even: breaks_even.map(|p| currency.figures(p)),
            melt_below,
            at,
            wish: self.wished.clone(),
            terms: match self.said.is_empty() {
                true => "No fee or post was named.".into(),
                false => format!("Reckoned with {}.", and(&self.said)),
            },
            shown: SaleShown {
                paid: self.cost_shown(&currency),
                breaks_even: breaks_even.map(|p| currency.show(p)),
            },
        }))
    }

    fn at(
        &self,
        currency: &Currency,
        price: Pennies,
        melting: Option<(Pennies, Pennies)>,
    ) -> AtPrice {
        let t = &self.terms;
        let fees = t.fees(price);
        let in_hand = t.in_hand(price);
        let paid = self.cost();
        let tax = paid.filter(|_| self.scheme).map(|paid| t.tax(price, paid));
        let left = in_hand - tax.unwrap_or(0);
        let profit = paid.map(|paid| t.profit(price, paid));
        let bid = self.wish.and_then(|w| t.highest_bid(price, w));
        let costs = bid.map(|b| t.cost(b));
        let earns = costs.map(|c| t.profit(price, c));
        let figures = |p: Pennies| currency.figures(p);
        let show = |p: Pennies| currency.show(p);
        AtPrice {
            price: figures(price),
            fees: figures(fees),
            in_hand: figures(in_hand),
            tax: tax.map(figures),
            profit: profit.map(figures),
            over_melting: melting.map(|(low, high)| sum(currency, left - high, left - low)),
            highest_bid: bid.map(figures),
            bid_costs: costs.map(figures),
            bid_earns: earns.map(figures),
            shown: AtPriceShown {
                price: show(price),
                fees: show(fees),
                in_hand: show(in_hand),
                tax: tax.map(show),
                profit: profit.map(show),
                highest_bid: bid.map(show),
                bid_costs: costs.map(show),
                bid_earns: earns.map(show),
            },
        }
    }
}

/// What stands at the foot of a value: the cautions of the tables for what was read and stated.
fn foot(image: &Image, stated: &str, readings: &[Reading], unsupported: bool) -> Vec<String> {
    let facts = Facts {
        readings,
        pieces: 1,
        stated,
        particulars: vec![Particular::Weight],
        unsupported,
        holds: false,
    };
    cautions::foot(image, Use::Worth, &facts)
}
