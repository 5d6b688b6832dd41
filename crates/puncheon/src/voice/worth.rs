//! What a piece is worth, as it is told: figures for a reader and for JSON, and how words were taken.

use num_rational::BigRational;
use puncheon_schema::entry::{Metal, Particular};
use puncheon_schema::export;
use puncheon_schema::image::{Image, UnitView};

use crate::engine::metal::Borne;
use crate::engine::worth::deduction::{Advised, Deduction, Scales, Taken};
use crate::engine::worth::fineness::{self, Name, NotSettled, Remark};
use crate::engine::worth::sale::{Ends, Wish};
use crate::engine::worth::terms::{self, SaleFigures};
use crate::engine::worth::till::Price;
use crate::engine::worth::{Asked, MetalWorth, SaleAsked, Unvalued, Valuation};
use crate::json::reading::Reading;
use crate::json::worth::{
    Advice, AtPrice, AtPriceShown, Figures, FinenessTold, Offer, PriceTold, SCHEMA, Sale,
    SaleShown, Sum, TakenOff, Weighed, Worth,
};
use crate::lexis::grammar::figures::{self as exact, Span};
use crate::lexis::grammar::money::Currency;
use crate::lexis::grammar::weights::{self, Taken as WeightTaken};
use crate::tables::Tables;
use crate::voice::cautions::{self, Facts, Use};
use crate::voice::figures::Shown;
use crate::voice::figures::{self, in_thousand, percents, plain};
use crate::voice::lists::and;
use crate::voice::refusals;
use crate::voice::refused::Refused;
use crate::voice::wording::ascribed;
use crate::voice::wording::borne::{self as said_of_marks, reading_of};

/// Decimals of an exact figure in JSON.
const PLACES: usize = 6;
/// Decimals of a price as it was typed.
const TYPED: usize = 9;

// ---- Weights ------------------------------------------------------------------------------------

/// A weight as it was typed and what it comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Weight {
    /// As typed.
    pub text: String,
    /// In grams, exactly.
    pub grams: BigRational,
    /// How words that leave something open were taken, a sentence each.
    pub notes: Vec<String>,
}

impl Weight {
    /// Reads a weight that stands alone.
    ///
    /// # Errors
    /// If the words are no weight, if units are mixed that are never added up, or if the weight is
    /// nothing or beyond anything that is weighed; with what would be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Weight, Refused> {
        let image = tables.image();
        let read = weights::alone(image, words);
        let read = read.map_err(|why| refusals::weight(image, words, &why))?;
        Ok(Weight {
            text: words[read.at.clone()].trim().to_string(),
            notes: taken(image, words, &read.taken),
            grams: read.grams,
        })
    }

    /// For a reader, in grams to the hundredth and in ounces of old plate to the thousandth:
    /// "178.5 g (5.739 oz t)".
    pub fn shown(&self, tables: &Tables) -> String {
        figures::weight(tables.image(), &self.grams)
    }

    /// In grams alone, for a reader.
    pub(crate) fn in_grams(&self) -> String {
        figures::grams(&self.grams)
    }
}

/// How words of a weight were taken, a sentence each.
fn taken(image: &Image, text: &str, all: &[WeightTaken]) -> Vec<String> {
    let mut notes: Vec<String> = all.iter().map(|t| one_taken(image, text, t)).collect();
    notes.dedup();
    notes
}

fn one_taken(image: &Image, text: &str, taken: &WeightTaken) -> String {
    match taken {
        WeightTaken::Bare { at, unit } => bare(image.unit(*unit), &text[at.clone()]),
        WeightTaken::Over { at, above, unit } => format!(
            "\"{}\" has as much as a whole {} in its {}; it is added up as written.",
            &text[at.clone()],
            image.unit(*above).name(),
            image.unit(*unit).short()
        ),
        WeightTaken::Short { at, last, unit } => format!(
            "\"{}\" is read as {} {} {}.",
            &text[at.clone()],
            text[at.start..last.start].trim().trim_end_matches('.'),
            &text[last.clone()],
            image.unit(*unit).short()
        ),
    }
}

fn bare(unit: UnitView, phrase: &str) -> String {
    // Letters as typed are told in small ones, as the tables have them.
    let phrase = phrase.to_lowercase();
    format!("\"{phrase}\" is read as the {}; {}.", unit.name(), unit.bare_why())
}

/// A span as decimals.
fn decimals(s: &Span, places: usize) -> Figures {
    Figures { low: plain(&s.low, places), high: plain(&s.high, places) }
}

/// A weight for an answer, in grams.
pub(crate) fn weighed(image: &Image, grams: &Span) -> Weighed {
    let ounce = exact::one() / weights::ounce(image);
    let shown = match grams.is_exact() {
        true => figures::weight(image, &grams.low),
        false => format!(
            "{} to {}",
            figures::weight(image, &grams.low),
            figures::weight(image, &grams.high)
        ),
    };
    Weighed { g: decimals(grams, PLACES), ozt: decimals(&grams.times(&ounce), PLACES), shown }
}

/// What was taken off a weight.
pub(crate) fn taken_off(image: &Image, scales: &Scales) -> Vec<TakenOff> {
    let one = |l: &Deduction| {
        let name: Vec<&str> = l.name.iter().map(|at| &l.text[at.clone()]).collect();
        TakenOff {
            text: l.text.clone(),
            name: if name.is_empty() { l.text.clone() } else { name.join(" ") },
            kind: l.kind.map(|k| image.deduction(k).id().to_string()),
            weight: weighed(image, &l.grams),
        }
    };
    scales.deductions.iter().map(one).collect()
}

/// How the weight and what comes off it were taken, a sentence each.
pub(crate) fn weighing(image: &Image, scales: &Scales) -> Vec<String> {
    let mut notes = taken(image, &scales.text, &scales.gross.taken);
    notes.extend(scales.deductions.iter().filter_map(|l| deduction_taken(image, l)));
    notes
}

fn deduction_taken(image: &Image, l: &Deduction) -> Option<String> {
    let text = &l.text;
    Some(match l.taken.as_ref()? {
        Taken::Weight => format!(
            "\"{text}\" is taken as {} to {} g, a tenth either side.",
            plain(&l.grams.low, 2),
            plain(&l.grams.high, 2)
        ),
        Taken::Share(share) => format!(
            "The share in \"{text}\" is an estimate and is taken as {}, a tenth either side; write both ends to say how sure it is.",
            percents(share)
        ),
        Taken::Published { kind, share } => format!(
            "Nothing says how heavy the {} is: taken as {} of the whole weight, from published cases; a guess until the piece is opened.",
            image.deduction(*kind).name(),
            percents(share)
        ),
    })
}

/// What the trade does about what the piece has on it.
pub(crate) fn advice(image: &Image, advised: &[Advised]) -> Vec<Advice> {
    advised.iter().map(|a| Advice::of(image.deduction(a.kind), a.allowed_for)).collect()
}

// ---- Fineness -----------------------------------------------------------------------------------

/// How fine a metal is.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Fineness {
    /// For a reader: the standard's name, or the parts.
    pub name: String,
    /// The metal, where it is known.
    pub metal: Option<Metal>,
    /// Standards by their words in the tables, if it is one of these.
    pub standards: Vec<String>,
    /// Pure metal in one part of the alloy, exactly; a span where the marks leave several standards.
    pub parts: Span,
    /// It was read from the marks.
    pub from_marks: bool,
    /// What has to be said of it, a sentence each.
    pub notes: Vec<String>,
}

impl Fineness {
    /// Reads a fineness: "sterling", "18 ct", "925", "800 silver".
    ///
    /// # Errors
    /// If the words name no fineness, or more than one; with what would be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Fineness, Refused> {
        let image = tables.image();
        let words = fineness::tidy(words);
        match fineness::Fineness::read(tables.books(), &words, None) {
            Ok(f) => Ok(Fineness::of(image, &f)),
            Err(why) => Err(refusals::fineness(image, &words, &why)),
        }
    }

    fn of(image: &Image, f: &fineness::Fineness) -> Fineness {
        Fineness {
            name: fineness_name(image, &f.name),
            metal: f.metal,
            standards: ids(image, &f.standards),
            parts: f.parts.clone(),
            from_marks: f.from_marks,
            notes: fineness_notes(image, f, None),
        }
    }
}

fn ids(image: &Image, standards: &[usize]) -> Vec<String> {
    standards.iter().map(|s| image.standard(*s).id().to_string()).collect()
}

/// What a fineness is called.
pub(crate) fn fineness_name(image: &Image, name: &Name) -> String {
    match name {
        Name::Standards(all) => either(image, all),
        Name::Scale { n, scale } => format!("{} {}", plain(n, 4), image.scale(*scale).name()),
        Name::Parts { parts, metal: Some(m) } => {
            format!("{} {}", plain(parts, 4), export::metal(*m))
        }
        Name::Parts { parts, metal: None } => format!("{} parts in 1000", plain(parts, 4)),
    }
}

fn either(image: &Image, standards: &[usize]) -> String {
    let names: Vec<&str> = standards.iter().map(|s| image.standard(*s).name()).collect();
    names.join(" or ")
}

fn capital(s: &str) -> String {
    let mut chars = s.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + chars.as_str()
}

/// What has to be said of a fineness, and of the marks that it was read from.
pub(crate) fn fineness_notes(
    image: &Image,
    f: &fineness::Fineness,
    marks: Option<(&Borne, &Reading)>,
) -> Vec<String> {
    let mut notes: Vec<String> = f.remarks.iter().map(|r| remark(image, r)).collect();
    if let Some((borne, reading)) = marks {
        notes.extend(said_of_marks::other_metals(borne));
        notes.extend(said_of_marks::guesses(reading));
        notes.extend(said_of_marks::beside(reading));
    }
    if f.doubted {
        notes.push("The marks are read with a doubt; look at them again.".into());
    }
    notes
}

fn remark(image: &Image, remark: &Remark) -> String {
    let name = |s: usize| image.standard(s).name();
    match remark {
        Remark::Unsure { standard } => format!("The tables are not sure of {}.", name(*standard)),
        Remark::ByLaw { standard, exact, by_law } => format!(
            "{} is reckoned as {exact}, {} parts in 1000; the mark says {by_law}.",
            capital(name(*standard)),
            in_thousand(exact)
        ),
        Remark::NotPlain { standard, parts, n, whole, exact } => format!(
            "{} is {} parts in 1000 by law; {n} in {whole} would be {}.",
            capital(name(*standard)),
            in_thousand(parts),
            in_thousand(exact)
        ),
        Remark::AsTyped { standard, parts, by_name } => format!(
            "{} is reckoned as typed; {} is {by_name}, {} parts in 1000: name it so to reckon with that.",
            plain(parts, 4),
            name(*standard),
            in_thousand(by_name)
        ),
        Remark::Several { standards } => format!(
            "The marks leave {}: what follows runs from the least to the most of them.",
            either(image, standards)
        ),
    }
}

/// A fineness as JSON has it.
pub(crate) fn fineness_told(
    image: &Image,
    f: &fineness::Fineness,
    metal: Option<Metal>,
) -> FinenessTold {
    let shown = match f.parts.is_exact() {
        true => format!("{} parts in 1000", in_thousand(&f.parts.low)),
        false => {
            format!("{} to {} parts in 1000", in_thousand(&f.parts.low), in_thousand(&f.parts.high))
        }
    };
    FinenessTold {
        name: fineness_name(image, &f.name),
        metal: metal.map(export::metal),
        standards: ids(image, &f.standards),
        parts: decimals(&f.parts.times(&exact::whole(1000)), PLACES),
        from_marks: f.from_marks,
        shown,
    }
}

/// Why marks settle no fineness.
pub(crate) fn not_settled(why: NotSettled, borne: &Borne, reading: &Reading) -> String {
    let so = match why {
        NotSettled::NotBorne => said_of_marks::refused(borne, reading).unwrap_or_default(),
        NotSettled::NoFineness { standard } => {
            format!("The tables know no fineness of {}.", borne.image().standard(standard).name())
        }
        NotSettled::FitsNothing => "The marks fit nothing.".into(),
    };
    format!("{so} So the piece is not valued as precious metal.")
}

// ---- Money --------------------------------------------------------------------------------------

/// Money for an answer, or a span of it.
pub(crate) fn sum(currency: &Currency, (low, high): Ends) -> Sum {
    Sum {
        low: currency.figures(low),
        high: currency.figures(high),
        shown: currency.show_ends((low, high)),
    }
}

/// The letters of a currency, or its sign.
pub(crate) fn code(currency: &Currency) -> Option<String> {
    let code = currency.code.clone().unwrap_or_else(|| currency.shown.clone());
    Some(code).filter(|c| !c.is_empty())
}

/// A price for an answer, with its day and its source as typed.
pub(crate) fn price_told(
    image: &Image,
    price: &Price,
    currency: &Currency,
    (as_of, from): (&Option<String>, &Option<String>),
) -> PriceTold {
    let unit = image.unit(price.unit).name();
    let amount = plain(&price.amount, TYPED);
    let places = amount.split_once('.').map_or(0, |(_, p)| p.len());
    let typed = match places < currency.places {
        true => figures::decimal(&price.amount, currency.places),
        false => amount.clone(),
    };
    PriceTold {
        text: price.text.clone(),
        amount,
        per: unit.to_string(),
        as_of: as_of.clone(),
        from: from.clone(),
        shown: format!("{} per {unit}", currency.dress(&typed, false)),
    }
}

/// How a price was taken, where it was left open.
pub(crate) fn price_taken(image: &Image, price: &Price) -> Option<String> {
    let unit = price.taken.as_ref().map(|t| one_taken(image, &price.text, t));
    let read_as = price.thousands.as_ref().map(|thousands| {
        let currency = price.named.clone().unwrap_or_else(Currency::unnamed);
        format!(
            "The price \"{}\" is read with a point, as {}; for thousands write {}/{}.",
            price.text,
            currency.dress(&plain(&price.amount, 3), false),
            currency.dress(thousands, false),
            image.unit(price.unit).short()
        )
    });
    match (unit, read_as) {
        (Some(a), Some(b)) => Some(format!("{a} {b}")),
        (a, b) => a.or(b),
    }
}

// ---- An answer ----------------------------------------------------------------------------------

/// An answer for a reader and for JSON.
pub(crate) fn told(tables: &Tables, asked: &Asked, v: &Valuation) -> Worth {
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
        currency: code(&v.currency),
        price: None,
        value: None,
        at_most: false,
        offer: None,
        sale: None,
        advice: Vec::new(),
        notes: Vec::new(),
        cautions: Vec::new(),
    };
    if let Some(m) = &v.metal {
        metal_told(tables, asked, &v.currency, m, &mut out);
    }
    out.sale = v.sale.as_ref().map(|s| sale_told(&v.currency, &asked.sale, s));
    out.notes.dedup();
    out
}

/// Fills in the half of an answer that is about metal.
fn metal_told(
    tables: &Tables,
    asked: &Asked,
    currency: &Currency,
    m: &MetalWorth,
    out: &mut Worth,
) {
    let image = tables.image();
    let scales = &m.scales;
    out.gross = Some(weighed(image, &Span::exactly(scales.gross.grams.clone())));
    out.notes.extend(weighing(image, scales));
    out.less = taken_off(image, scales);
    out.net = Some(weighed(image, &scales.net));
    out.advice = advice(image, &scales.advised);
    if m.borne.is_none() {
        out.cautions.push("Rests on the weight and fineness you typed, not on an assay.".into());
    }
    let stated = format!("{} {}", asked.of_the_piece(), asked.less.join(" "));
    let reading = m.borne.as_ref().map(|b| reading_of(tables, b));
    out.cautions.extend(foot(image, &stated, reading.as_slice(), m.fineness.is_err()));
    let marks = m.borne.as_ref().zip(reading.as_ref());
    let f = match (&m.fineness, marks) {
        (Ok(f), _) => f,
        (Err(Unvalued::Marks(why)), Some((borne, reading))) => {
            out.not_valued = Some(not_settled(*why, borne, reading));
            return;
        }
        (Err(Unvalued::Marks(_)), None) => return,
        (Err(Unvalued::Stated(b)), _) => {
            let (why, remedy) = said_of_marks::not_metal(image, b);
            out.not_valued = Some(format!("{why} {remedy}"));
            return;
        }
    };
    out.at_most = scales.at_most;
    out.read_as = m.borne.as_ref().map(|b| ascribed(b).phrase).filter(|p| !p.is_empty());
    out.notes.extend(fineness_notes(image, f, marks));
    out.fineness = Some(fineness_told(image, f, m.metal));
    out.fine = m.fine.as_ref().map(|fine| weighed(image, fine));
    if let Some(price) = &m.price {
        out.notes.extend(price_taken(image, price));
        let said = (&asked.price_as_of, &asked.price_from);
        out.price = Some(price_told(image, price, currency, said));
    }
    out.value = m.value.map(|v| sum(currency, v));
    out.offer = m
        .offer
        .zip(asked.pays.as_ref())
        .map(|(offer, pays)| Offer { pays: pays.trim().to_string(), sum: sum(currency, offer) });
}

/// What stands at the foot of a value: the cautions of the tables for what was read and stated.
pub(crate) fn foot(
    image: &Image,
    stated: &str,
    readings: &[Reading],
    unsupported: bool,
) -> Vec<String> {
    let facts = Facts {
        readings,
        pieces: 1,
        signs: None,
        stated,
        particulars: vec![Particular::Weight],
        unsupported,
        holds: false,
    };
    cautions::foot(image, Use::Worth, &facts)
}

// ---- A sale -------------------------------------------------------------------------------------

fn sale_told(currency: &Currency, asked: &SaleAsked, s: &terms::Sale) -> Sale {
    let figures = |p| currency.figures(p);
    let said = terms_said(currency, asked, &s.figures);
    Sale {
        paid: s.cost.map(figures),
        breaks_even: s.breaks_even.map(figures),
        melt_below: s.melt_below.map(|m| sum(currency, m)),
        at: s.at.iter().map(|at| at_price(currency, at)).collect(),
        wish: wish_said(currency, asked, &s.figures),
        terms: match said.is_empty() {
            true => "No fee or post was named.".into(),
            false => format!("Reckoned with {}.", and(&said)),
        },
        shown: SaleShown {
            paid: cost_shown(currency, s),
            breaks_even: s.breaks_even.map(|p| currency.show(p)),
        },
    }
}

/// The cost for a reader, with what comes on top of a hammer price.
fn cost_shown(currency: &Currency, s: &terms::Sale) -> Option<String> {
    let (paid, cost) = s.figures.paid.zip(s.cost)?;
    let show = |p| currency.show(p);
    if !s.figures.hammer {
        return Some(show(cost));
    }
    let premium = s.figures.terms.premium.of_sum(paid);
    let tax = match cost - paid - premium {
        0 => String::new(),
        tax => format!(" and {} tax on it", show(tax)),
    };
    let (hammer, premium) = (show(paid), show(premium));
    Some(format!("{}: {hammer} hammer price, {premium} premium{tax}", show(cost)))
}

/// The terms, each in a few words.
fn terms_said(currency: &Currency, asked: &SaleAsked, f: &SaleFigures) -> Vec<String> {
    let mut said = Vec::new();
    let on = match asked.fee_on_hammer {
        true => "of the hammer price",
        false => "of the hammer price and the post charged",
    };
    if let Some(f) = &asked.fee {
        said.push(format!("a fee of {} {on}", f.trim()));
    }
    for (what, sum) in
        [("a fixed fee of", f.fixed), ("post of", f.post), ("post charged at", f.charged)]
    {
        said.extend(sum.map(|sum| format!("{what} {}", currency.show(sum))));
    }
    if let Some(s) = &asked.scheme {
        said.push(format!("tax at {} within what the buyer pays above the cost", s.trim()));
    }
    if let Some(p) = &asked.premium {
        let tax = asked.premium_tax.as_ref();
        let tax = tax.map_or(String::new(), |t| format!(" with {} tax on it", t.trim()));
        let on = match (asked.paid_hammer, asked.bids()) {
            (true, true) => "the hammer price paid and on a bid",
            (true, false) => "the hammer price paid",
            _ => "a bid",
        };
        said.push(format!("a premium of {} on {on}{tax}", p.trim()));
    }
    said
}

fn wish_said(currency: &Currency, asked: &SaleAsked, f: &SaleFigures) -> Option<String> {
    Some(match f.wish? {
        Wish::Sum(sum) => currency.show(sum),
        Wish::OfSale(_) => format!("{} of the sale price", asked.margin.as_ref()?.trim()),
        Wish::OfCost(_) => format!("{} of all that the piece costs", asked.markup.as_ref()?.trim()),
    })
}

fn at_price(currency: &Currency, at: &terms::AtPrice) -> AtPrice {
    let figures = |p| currency.figures(p);
    let show = |p| currency.show(p);
    AtPrice {
        price: figures(at.price),
        fees: figures(at.fees),
        in_hand: figures(at.in_hand),
        tax: at.tax.map(figures),
        profit: at.profit.map(figures),
        over_melting: at.over_melting.map(|m| sum(currency, m)),
        highest_bid: at.highest_bid.map(figures),
        bid_costs: at.bid_costs.map(figures),
        bid_earns: at.bid_earns.map(figures),
        shown: AtPriceShown {
            price: show(at.price),
            fees: show(at.fees),
            in_hand: show(at.in_hand),
            tax: at.tax.map(show),
            profit: at.profit.map(show),
            highest_bid: at.highest_bid.map(show),
            bid_costs: at.bid_costs.map(show),
            bid_earns: at.bid_earns.map(show),
        },
    }
}
