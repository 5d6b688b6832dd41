//! What a piece is worth in metal, and whether it is better sold or melted, in values.
//!
//! Weights, finenesses and prices are exact ratios; money is rounded once, to the penny, where it is
//! told. Every price, fee and rate is the user's own: none is known here and none is fetched.

pub mod deduction;
pub mod fault;
pub mod fineness;
pub mod list;
pub mod sale;
pub mod schedule;
pub mod terms;
pub mod till;

use std::ops::Range;

use num_rational::BigRational;
use puncheon_schema::entry::Metal;

use crate::books::Books;
use crate::metal::Borne;
use crate::words;
use deduction::Scales;
use fault::{Against, Alone, Fault, Sum, What};
use fineness::{Fineness, NotSettled};
use puncheon_lexis::grammar::figures::{self, Span};
use puncheon_lexis::grammar::money::Currency;
use puncheon_lexis::grammar::objects::Barred;
use puncheon_lexis::grammar::weights;
use sale::Ends;
use terms::{Sale, SaleFigures};
use till::{Price, Rounds, Till, price_of};

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

impl SaleAsked {
    /// Is a bid asked for?
    pub fn bids(&self) -> bool {
        self.margin.is_some() || self.markup.is_some()
    }
}

/// What a piece is worth.
pub struct Valuation<'t> {
    /// The currency of its sums.
    pub currency: Currency,
    /// None where no piece was named.
    pub metal: Option<MetalWorth<'t>>,
    /// The sums of a sale; None where none is asked for.
    pub sale: Option<Sale>,
}

/// Why a piece is not valued.
pub enum Unvalued {
    /// Its marks settle no fineness.
    Marks(NotSettled),
    /// What is stated of it speaks of no metal.
    Stated(Barred),
}

/// The half of an answer that is about metal.
pub struct MetalWorth<'t> {
    /// What is weighed.
    pub scales: Scales,
    /// The marks, where they were given.
    pub borne: Option<Borne<'t>>,
    /// How fine the metal is, or why that is not known.
    pub fineness: Result<Fineness, Unvalued>,
    /// By the fineness, or as it was named.
    pub metal: Option<Metal>,
    /// Pure metal, in grams.
    pub fine: Option<Span>,
    /// The price it is valued by; None where none was named.
    pub price: Option<Price>,
    /// What the metal is worth, at least and at most.
    pub value: Option<Ends>,
    /// What a buyer of scrap would pay.
    pub offer: Option<Ends>,
}

/// Works out what a piece is worth in metal, and the sums of a sale.
pub fn value<'t>(books: Books<'t>, asked: &Asked) -> Result<Valuation<'t>, Fault> {
    let image = books.image;
    let mut till = Till::default();
    let prices =
        asked.price.iter().map(|p| till.price(image, p)).collect::<Result<Vec<Price>, Fault>>()?;
    let figures = SaleFigures::read(image, &mut till, &asked.sale)?;
    let currency = till.currency();
    let piece = asked.piece.trim();
    let weightless =
        || Fault::Weight { text: piece.to_string(), why: Box::new(weights::none(piece)) };
    let metal = if !piece.is_empty() || asked.marks.is_some() {
        Some(metal_worth(books, asked, &prices, &currency)?)
    } else if !prices.is_empty()
        || !asked.less.is_empty()
        || asked.metal.is_some()
        || asked.item.is_some()
    {
        // Whatever is said of the metal needs a weight.
        return Err(weightless());
    } else {
        None
    };
    let valued = metal.as_ref().is_none_or(|m| m.fineness.is_ok());
    let priced = metal.as_ref().is_some_and(|m| m.value.is_some());
    if asked.pays.is_some() && !priced && valued {
        return Err(Fault::Alone(Alone::Pays));
    }
    let sale = match (figures, &metal) {
        (Some(figures), _) => {
            let melting = metal.as_ref().and_then(|m| m.offer.or(m.value));
            figures.sell(melting, valued)?
        }
        (None, None) => return Err(weightless()),
        (None, Some(_)) => None,
    };
    Ok(Valuation { currency, metal, sale })
}

/// What is said of the metal of a piece beside its weight.
struct Settled<'t> {
    borne: Option<Borne<'t>>,
    fineness: Result<Fineness, Unvalued>,
}

/// The fineness of a piece: by the words beside its weight, or by its marks.
fn settle<'t>(
    books: Books<'t>,
    asked: &Asked,
    beside: &str,
    prices: &[Price],
) -> Result<Settled<'t>, Fault> {
    let item = asked.item.as_deref().unwrap_or_default();
    let Some(marks) = &asked.marks else {
        // Bare figures are of the metal that is named elsewhere.
        let elsewhere = asked.metal.or(match prices {
            [one] => one.metal,
            _ => None,
        });
        let words = fineness::tidy(beside);
        let fineness = Fineness::read(books, &words, elsewhere)
            .map_err(|why| Fault::Fineness { text: words, why: Box::new(why) })?;
        let metal = fineness.metal.or(elsewhere);
        let fineness = match words::bars(books.image, item, metal) {
            Some(barred) => Err(Unvalued::Stated(barred)),
            None => Ok(fineness),
        };
        return Ok(Settled { borne: None, fineness });
    };
    if !beside.is_empty() {
        return Err(Fault::Against(Box::new(Against::BesideMarks { text: beside.to_string() })));
    }
    let borne = fineness::of_marks(books.image, marks, item, asked.metal);
    let fineness = Fineness::borne(books.image, &borne).map_err(Unvalued::Marks);
    Ok(Settled { borne: Some(borne), fineness })
}

/// Works out the half of an answer that is about metal.
fn metal_worth<'t>(
    books: Books<'t>,
    asked: &Asked,
    prices: &[Price],
    currency: &Currency,
) -> Result<MetalWorth<'t>, Fault> {
    let image = books.image;
    let piece = asked.piece.trim();
    let weight = |why| Fault::Weight { text: piece.to_string(), why: Box::new(why) };
    let gross = weights::measured(image, piece).map_err(weight)?;
    let gross = gross.ok_or_else(|| weight(weights::none(piece)))?;
    let part = |at: Range<usize>| piece.get(at).unwrap_or_default();
    let beside = [part(0..gross.at.start), " ", part(gross.at.end..piece.len())].concat();
    let beside = beside.split_whitespace().collect::<Vec<_>>().join(" ");
    let beside = beside.trim_matches([',', ';', '.', ' ']);
    let Settled { borne, fineness } = settle(books, asked, beside, prices)?;
    if let (Ok(f), Some(metal)) = (&fineness, asked.metal)
        && f.metal.is_some_and(|m| m != metal)
    {
        return Err(Fault::Against(Box::new(Against::OtherMetal {
            fineness: f.name.clone(),
            metal,
        })));
    }
    let scales = Scales::of(image, (piece, gross), &asked.of_the_piece(), &asked.less)?;
    let fine = fineness.as_ref().ok().map(|f| scales.net.by(&f.parts));
    let metal = fineness.as_ref().ok().and_then(|f| f.metal).or(asked.metal);
    let mut out =
        MetalWorth { scales, borne, fineness, metal, fine, price: None, value: None, offer: None };
    let (Ok(fineness), Some(fine)) = (&out.fineness, &out.fine) else {
        return Ok(out);
    };
    if prices.is_empty() {
        return Ok(out);
    }
    let Some(price) = price_of(prices, metal)? else {
        let texts = prices.iter().map(|p| p.text.clone()).collect();
        return Err(Fault::Against(Box::new(Against::OtherPrices {
            texts,
            fineness: fineness.name.clone(),
        })));
    };
    if let (Some(of), Some(wanted)) = (price.metal, metal)
        && of != wanted
    {
        let (text, fineness) = (price.text.clone(), fineness.name.clone());
        return Err(Fault::Against(Box::new(Against::PriceOf {
            text,
            metal: of,
            fineness,
            wanted,
        })));
    }
    let exact = fine.times(&price.per_gram);
    let ends = |s: &Span| (currency.nearest(&s.low), currency.nearest(&s.high));
    out.value = Some(ends(&exact));
    if let Some(pays) = &asked.pays {
        out.offer = Some(ends(&exact.times(&pays_share(pays)?)));
    }
    out.price = Some(price.clone());
    Ok(out)
}

/// The share that a buyer of scrap pays; never more than the metal is worth.
fn pays_share(typed: &str) -> Result<BigRational, Fault> {
    let share = terms::share(What::SharePaid, typed, None)?;
    match share > figures::one() {
        false => Ok(share),
        true => Err(Fault::Sum(Box::new(Sum::PaysMore { text: typed.trim().to_string() }))),
    }
}

impl Asked {
    /// All words for the piece: where marks stand may tell of it too, "on the blade", "stamped weighted".
    pub fn of_the_piece(&self) -> String {
        [&self.item, &self.marks].map(|t| t.as_deref().unwrap_or_default()).join("; ")
    }
}
