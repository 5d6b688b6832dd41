//! A schedule of pieces, for probate or insurance: rows in, each with its fine weight and metal value,
//! and what cannot be valued apart.

use std::collections::HashSet;

use num_rational::BigRational;
use puncheon_schema::entry::Metal;
use puncheon_schema::image::{Image, METALS};

use crate::metal::Borne;
use crate::worth::deduction::Scales;
use crate::worth::fault::{Against, Fault};
use crate::worth::fineness::{self, Fineness, NotSettled};
use crate::worth::list::{self, Column, Row, Uneven};
use crate::worth::sale::Ends;
use crate::worth::till::{Price, Rounds, Till, price_of};
use puncheon_lexis::grammar::figures::Span;
use puncheon_lexis::grammar::money::{self, Currency};
use puncheon_lexis::grammar::weights;

/// Signs between the deductions of one cell; a comma is one where no figure stands behind it.
const PARTING: [char; 3] = [';', '|', ','];

/// What is asked of a list, in the words typed.
#[derive(Clone, Debug, Default)]
pub struct ScheduleAsked {
    /// Prices of fine metal, each with its metal where there is more than one.
    pub price: Vec<String>,
    /// The day of the prices, as typed.
    pub price_as_of: Option<String>,
    /// Who says so, as typed.
    pub price_from: Option<String>,
    /// The basis of the valuation, in the user's words.
    pub basis: Option<String>,
}

/// A schedule of pieces.
pub struct Schedule<'t> {
    /// The currency of its sums.
    pub currency: Currency,
    /// The prices of metal.
    pub prices: Vec<Price>,
    /// In the order of the list.
    pub items: Vec<Entry<'t>>,
    /// Pieces that are not valued, in the order of the list.
    pub not_valued: Vec<Unvalued<'t>>,
    /// What the valued pieces come to, metal by metal.
    pub totals: Vec<(Metal, Tally)>,
}

/// A piece that is valued.
pub struct Entry<'t> {
    /// The row, as written.
    pub row: Row,
    /// Its number stands at an earlier row too.
    pub again: bool,
    /// What is weighed.
    pub scales: Scales,
    /// What its marks bear out.
    pub borne: Borne<'t>,
    /// How fine it is.
    pub fineness: Fineness,
    /// The metal.
    pub metal: Metal,
    /// Pure metal, in grams.
    pub fine: Span,
    /// None where no price of the metal was named.
    pub value: Option<Ends>,
}

/// A piece that is not valued as precious metal.
pub struct Unvalued<'t> {
    /// The row, as written.
    pub row: Row,
    /// Its number stands at an earlier row too.
    pub again: bool,
    /// Why it is not valued.
    pub why: Why<'t>,
}

/// Why a row is not valued.
pub enum Why<'t> {
    /// It has more fields than the first line names, or fewer.
    Uneven(Uneven),
    /// No marks are listed.
    NoMarks,
    /// The marks settle no fineness.
    Marks(NotSettled, Box<Borne<'t>>),
    /// They leave the metal open.
    MetalOpen,
    /// A cell cannot be read.
    Fault(Fault),
}

impl From<Fault> for Why<'_> {
    fn from(fault: Fault) -> Self {
        Why::Fault(fault)
    }
}

impl Why<'_> {
    /// Is it not the marks' doing?
    pub fn unreadable(&self) -> bool {
        matches!(self, Why::Uneven(_) | Why::Fault(_))
    }
}

/// Works out a schedule from a list written as CSV, whose first line names its columns.
pub fn schedule<'t>(
    image: &'t Image,
    list: &str,
    asked: &ScheduleAsked,
) -> Result<Schedule<'t>, Fault> {
    let mut till = Till::default();
    let prices =
        asked.price.iter().map(|p| till.price(image, p)).collect::<Result<Vec<Price>, Fault>>()?;
    // Two prices of one metal are refused even if no piece is of it.
    price_of(&prices, None)?;
    let currency = till.currency();
    let mut items: Vec<Entry<'t>> = Vec::new();
    let mut not_valued = Vec::new();
    let mut totals: Vec<(Metal, Tally)> = Vec::new();
    let mut numbers: HashSet<String> = HashSet::new();
    for row in list::rows(list).map_err(Fault::List)? {
        if let Some(uneven) = row.uneven {
            not_valued.push(Unvalued { row, again: false, why: Why::Uneven(uneven) });
            continue;
        }
        let number = row.get(Column::Number);
        let again = !number.is_empty() && !numbers.insert(number.to_string());
        match entry(image, &row, &prices, &currency) {
            Ok(valued) => {
                let entry = Entry { row, again, ..valued };
                match totals.iter_mut().find(|s| s.0 == entry.metal) {
                    Some((_, sum)) => sum.add(Tally::of(&entry)),
                    None => totals.push((entry.metal, Tally::of(&entry))),
                }
                items.push(entry);
            }
            Err(why) => not_valued.push(Unvalued { row, again, why }),
        }
    }
    if let Some(p) = prices.iter().find(|p| p.metal.is_none())
        && totals.len() > 1
    {
        let metals = totals.iter().map(|(m, _)| *m).collect();
        return Err(Fault::Against(Box::new(Against::PriceOfWhich {
            text: p.text.clone(),
            metals,
        })));
    }
    totals.sort_by_key(|(metal, _)| METALS.iter().position(|m| m == metal));
    Ok(Schedule { currency, prices, items, not_valued, totals })
}

/// Sums of one metal.
pub struct Tally {
    /// How many.
    pub pieces: usize,
    /// Their whole weight, in grams.
    pub gross: BigRational,
    /// Pure metal, in grams.
    pub fine: Span,
    /// What that is worth, at least and at most.
    pub value: Ends,
    /// Of some of them more may have to come off.
    pub at_most: bool,
}

impl Tally {
    fn of(entry: &Entry) -> Tally {
        Tally {
            pieces: 1,
            gross: entry.scales.gross.grams.clone(),
            fine: entry.fine.clone(),
            value: entry.value.unwrap_or_default(),
            at_most: entry.scales.at_most,
        }
    }

    fn add(&mut self, other: Tally) {
        self.pieces += other.pieces;
        self.gross += other.gross;
        self.fine = self.fine.and(&other.fine);
        self.value.0 += other.value.0;
        self.value.1 += other.value.1;
        self.at_most |= other.at_most;
    }
}

/// The deductions of one cell.
fn deductions(cell: &str) -> Vec<String> {
    let parts = |(i, c): (usize, char)| {
        let figure = |c: char| c.is_ascii_digit();
        let (before, behind) = (cell.get(..i), cell.get(i + 1..));
        let within = before.is_some_and(|b| b.ends_with(figure))
            && behind.is_some_and(|b| b.starts_with(figure));
        PARTING.contains(&c) && !(c == ',' && within)
    };
    let mut out = Vec::new();
    let mut from = 0;
    let ends = cell.char_indices().filter(|at| parts(*at)).map(|(i, _)| i);
    for end in ends.chain([cell.len()]) {
        out.extend(cell.get(from..end).map(|part| part.trim().to_string()));
        from = (end + 1).min(cell.len());
    }
    out.retain(|d| !d.is_empty());
    out
}

/// Works out one row.
fn entry<'t>(
    image: &'t Image,
    row: &Row,
    prices: &[Price],
    currency: &Currency,
) -> Result<Entry<'t>, Why<'t>> {
    let marks = row.get(Column::Marks);
    if marks.is_empty() {
        return Err(Why::NoMarks);
    }
    let typed = row.get(Column::Gross);
    let gross = weights::alone(image, typed)
        .map_err(|why| Fault::Weight { text: typed.to_string(), why: Box::new(why) })?;
    let less = deductions(row.get(Column::Deductions));
    let description = row.get(Column::Description);
    let what = [description, marks].join("; ");
    let scales = Scales::of(image, (typed, gross), &what, &less)?;
    let metal = match row.get(Column::Metal) {
        "" => None,
        cell => Some(money::metal(image, cell).ok_or_else(|| {
            Fault::Against(Box::new(Against::NoMetal { text: cell.to_string() }))
        })?),
    };
    let borne = fineness::of_marks(image, marks, description, metal);
    let fineness = match Fineness::borne(image, &borne) {
        Ok(fineness) => fineness,
        Err(why) => return Err(Why::Marks(why, Box::new(borne))),
    };
    let Some(metal) = fineness.metal else {
        return Err(Why::MetalOpen);
    };
    let fine = scales.net.by(&fineness.parts);
    let value = price_of(prices, Some(metal))?.map(|p| {
        let exact = fine.times(&p.per_gram);
        (currency.nearest(&exact.low), currency.nearest(&exact.high))
    });
    Ok(Entry { row: row.clone(), again: false, scales, borne, fineness, metal, fine, value })
}
