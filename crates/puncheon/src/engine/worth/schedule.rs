//! A schedule of pieces, for probate or insurance: rows in, each with its fine weight and metal value,
//! and what cannot be valued listed apart. The shape of an answer is what `puncheon.schedule/1` prints.

use std::collections::HashSet;

use csv::{ReaderBuilder, Trim, WriterBuilder};
use num_rational::BigRational;
use puncheon_schema::entry::Metal;
use puncheon_schema::export;
use puncheon_schema::head::{Delimiter, Head, folded};
use puncheon_schema::image::METALS;
use serde::Serialize;

use crate::engine::borne::{and, ascribed};
use crate::engine::worth::sale::Pennies;
use crate::engine::worth::{
    Advice, Fineness, FinenessTold, PriceTold, Sum, TakenOff, Weighed, fineness, price_of, scales,
    sum, told, weighed,
};
use crate::lexis::grammar::figures::{Refused, Span};
use crate::lexis::grammar::money::{Currency, Price, Till};
use crate::tables::Tables;

/// The name of the shape of an answer.
pub const SCHEDULE_SCHEMA: &str = "puncheon.schedule/1";

/// The columns of a list, each with the names it may have; the first is the one to write.
const COLUMNS: [(&str, &[&str]); 6] = [
    ("number", &["no", "no.", "ref", "lot"]),
    ("description", &["what", "article", "title", "piece", "item"]),
    ("marks", &["hallmarks", "mark"]),
    ("metal", &[]),
    ("gross", &["weight", "gross weight"]),
    ("deductions", &["less", "deduct"]),
];
/// A word for either of two columns: the description, or the number where another is the description.
const EITHER: &str = "item";
/// Signs at the head of a cell that make a spreadsheet run it.
const RUN: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
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

/// A piece that is valued.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Entry {
    /// Its number, as in the list.
    pub number: String,
    /// What it is, as in the list.
    pub description: String,
    /// The marks, as in the list.
    pub marks: String,
    /// What they were read as.
    pub read_as: String,
    /// The whole weight.
    pub gross: Weighed,
    /// What was taken off.
    pub less: Vec<TakenOff>,
    /// What is left.
    pub net: Weighed,
    /// The fineness.
    pub fineness: FinenessTold,
    /// Pure metal.
    pub fine: Weighed,
    /// The metal value; null where no price of the metal was named.
    pub value: Option<Sum>,
    /// Something named in the description has to come off the weight and did not.
    pub at_most: bool,
    /// What the trade does about what the piece has on it.
    pub advice: Vec<Advice>,
    /// How words were taken, a sentence each.
    pub notes: Vec<String>,
}

/// A piece that is not valued as precious metal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct NotValued {
    /// Its number, as in the list.
    pub number: String,
    /// What it is, as in the list.
    pub description: String,
    /// The marks, as in the list.
    pub marks: String,
    /// The weight, as in the list.
    pub gross: String,
    /// A sentence.
    pub why: String,
    /// The row could not be read, which is not the marks' doing.
    pub unreadable: bool,
}

/// What the pieces of one metal come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Total {
    /// silver, gold, platinum or palladium.
    pub metal: &'static str,
    /// How many pieces.
    pub pieces: usize,
    /// The whole weight.
    pub gross: Weighed,
    /// Pure metal.
    pub fine: Weighed,
    /// The metal value; null where no price of the metal was named.
    pub value: Option<Sum>,
    /// One of the pieces may be worth less than its value says.
    pub at_most: bool,
    /// The price; null where none was named.
    pub price: Option<PriceTold>,
}

/// A schedule of pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Schedule {
    /// Always [`SCHEDULE_SCHEMA`].
    pub schema: &'static str,
    /// The basis of the valuation, in the user's words; null where none was named.
    pub basis: Option<String>,
    /// The three letters of the currency, or its sign; null where none was named.
    pub currency: Option<String>,
    /// The pieces that are valued, in the order of the list.
    pub items: Vec<Entry>,
    /// The pieces that are not, in the order of the list.
    pub not_valued: Vec<NotValued>,
    /// What the valued pieces come to, metal by metal.
    pub totals: Vec<Total>,
    /// All metal values together; null where no price was named.
    pub value: Option<Sum>,
    /// One of the pieces may be worth less than its value says.
    pub at_most: bool,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// A row of a list.
struct Row {
    cells: [String; COLUMNS.len()],
}

impl Row {
    fn get(&self, name: &str) -> &str {
        let at = COLUMNS.iter().position(|c| c.0 == name);
        at.map_or("", |i| &self.cells[i])
    }
}

/// Works out a schedule from a list written as CSV, whose first line names its columns.
///
/// # Errors
/// If the list has no head or lacks a column, if it cannot be read as CSV, or if the prices cannot be
/// used; with what would be right. A row that cannot be read is listed apart.
pub fn schedule(tables: &Tables, list: &str, asked: &ScheduleAsked) -> Result<Schedule, Refused> {
    let image = tables.image();
    let mut till = Till::default();
    let prices = asked
        .price
        .iter()
        .map(|p| till.price(image, p))
        .collect::<Result<Vec<Price>, Refused>>()?;
    // Two prices of one metal are refused even if no piece is of it.
    price_of(&prices, None)?;
    let currency = till.currency();
    let mut items = Vec::new();
    let mut not_valued = Vec::new();
    let mut sums: Vec<(Metal, Tally)> = Vec::new();
    let mut numbers: HashSet<String> = HashSet::new();
    for row in rows(list)? {
        let row = match row {
            Ok(row) => row,
            Err(bad) => {
                not_valued.push(bad);
                continue;
            }
        };
        let number = row.get("number");
        let again = !number.is_empty() && !numbers.insert(number.to_string());
        let again = again.then(|| format!("The number {number} stands at an earlier row too."));
        match entry(tables, &row, &prices, &currency) {
            Ok((metal, mut entry, tally)) => {
                entry.notes.extend(again);
                items.push(entry);
                match sums.iter_mut().find(|s| s.0 == metal) {
                    Some((_, sum)) => sum.add(tally),
                    None => sums.push((metal, tally)),
                }
            }
            Err(Unvalued { why, unreadable }) => not_valued.push(NotValued {
                number: row.get("number").into(),
                description: row.get("description").into(),
                marks: row.get("marks").into(),
                gross: row.get("gross").into(),
                why: again.map_or(why.clone(), |again| format!("{why} {again}")),
                unreadable,
            }),
        }
    }
    if let Some(p) = prices.iter().find(|p| p.metal.is_none())
        && sums.len() > 1
    {
        let metals: Vec<&str> = sums.iter().map(|(m, _)| export::metal(*m)).collect();
        return Err(Refused::new(
            format!(
                "the price \"{}\" names no metal, and the list holds {}",
                p.text,
                metals.join(" and ")
            ),
            format!("write the metal before each price, such as \"{} {}\"", metals[0], p.text),
        ));
    }
    sums.sort_by_key(|(metal, _)| METALS.iter().position(|m| m == metal));
    let mut totals = Vec::new();
    for (metal, tally) in &sums {
        let price = price_of(&prices, Some(*metal))?;
        totals.push(Total {
            metal: export::metal(*metal),
            pieces: tally.pieces,
            gross: weighed(image, &Span::exactly(tally.gross.clone())),
            fine: weighed(image, &tally.fine),
            value: price.map(|_| sum(&currency, tally.value.0, tally.value.1)),
            at_most: tally.at_most,
            price: price.map(|p| PriceTold {
                text: p.text.clone(),
                amount: crate::lexis::grammar::figures::plain(&p.amount, 9),
                per: p.unit.clone(),
                as_of: asked.price_as_of.clone(),
                from: asked.price_from.clone(),
                shown: p.shown(&currency),
            }),
        });
    }
    let all = sums.iter().fold((0, 0), |a, (_, t)| (a.0 + t.value.0, a.1 + t.value.1));
    let mut cautions =
        vec!["Rests on the marks and weights as listed, not on an assay.".to_string()];
    let stated: Vec<&str> = items.iter().map(|i: &Entry| i.description.as_str()).collect();
    cautions.extend(crate::engine::worth::foot(image, &stated.join("; "), &[], false));
    cautions.extend(crate::rests_on_overlay(tables));
    Ok(Schedule {
        schema: SCHEDULE_SCHEMA,
        basis: asked.basis.clone(),
        currency: Some(currency.code.clone().unwrap_or(currency.shown.clone()))
            .filter(|c| !c.is_empty()),
        items,
        not_valued,
        totals,
        value: (!prices.is_empty()).then(|| sum(&currency, all.0, all.1)),
        at_most: sums.iter().any(|(_, t)| t.at_most),
        cautions,
    })
}

/// Sums of one metal.
struct Tally {
    pieces: usize,
    gross: BigRational,
    fine: Span,
    value: (Pennies, Pennies),
    at_most: bool,
}

impl Tally {
    fn add(&mut self, other: Tally) {
        self.pieces += other.pieces;
        self.gross += other.gross;
        self.fine = self.fine.and(&other.fine);
        self.value.0 += other.value.0;
        self.value.1 += other.value.1;
        self.at_most |= other.at_most;
    }
}

/// Why a row is not valued.
struct Unvalued {
    why: String,
    unreadable: bool,
}

impl From<Refused> for Unvalued {
    fn from(e: Refused) -> Unvalued {
        let remedy: Vec<String> =
            e.remedy.iter().map(|r| r.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        Unvalued {
            why: format!("It cannot be read: {}; {}.", e.wrong, remedy.join(", ")),
            unreadable: true,
        }
    }
}

/// The deductions of one cell.
fn deductions(cell: &str) -> Vec<String> {
    let parts = |(i, c): (usize, char)| {
        let figure = |c: char| c.is_ascii_digit();
        let within = cell[..i].ends_with(figure) && cell[i + 1..].starts_with(figure);
        PARTING.contains(&c) && !(c == ',' && within)
    };
    let mut out = Vec::new();
    let mut from = 0;
    let ends = cell.char_indices().filter(|at| parts(*at)).map(|(i, _)| i);
    for end in ends.chain([cell.len()]) {
        out.push(cell[from..end].trim().to_string());
        from = (end + 1).min(cell.len());
    }
    out.retain(|d| !d.is_empty());
    out
}

/// Works out one row.
fn entry(
    tables: &Tables,
    row: &Row,
    prices: &[Price],
    currency: &Currency,
) -> Result<(Metal, Entry, Tally), Unvalued> {
    let image = tables.image();
    let not = |why: &str| Unvalued { why: why.into(), unreadable: false };
    let marks = row.get("marks");
    if marks.is_empty() {
        return Err(not("No marks are listed, so the piece is not valued as precious metal."));
    }
    let gross = crate::engine::worth::Weight::read(tables, row.get("gross"))?;
    let less = deductions(row.get("deductions"));
    let what = format!("{}; {marks}", row.get("description"));
    let s = scales(image, gross, &what, &less)?;
    let borne = fineness::of_marks(tables, marks, row.get("description"), metal(row.get("metal"))?);
    let f = Fineness::borne(image, &borne).map_err(|e| not(&e.why))?;
    let Some(metal) = f.metal else {
        return Err(not("The marks leave the metal open."));
    };
    let fine = s.net.by(&f.parts);
    let price = price_of(prices, Some(metal))?;
    let unpriced = price.is_none() && !prices.is_empty();
    let value = price.map(|p| {
        let exact = fine.times(&p.per_gram);
        (currency.nearest(&exact.low), currency.nearest(&exact.high))
    });
    let mut notes = s.gross.notes.clone();
    notes.extend(s.less.iter().filter_map(|l| l.note.clone()));
    notes.extend(f.notes.iter().cloned());
    if unpriced {
        notes.push(format!(
            "No price of {} was named, so it has no value here.",
            export::metal(metal)
        ));
    }
    let entry = Entry {
        number: row.get("number").into(),
        description: row.get("description").into(),
        marks: marks.into(),
        read_as: ascribed(&borne).phrase,
        gross: weighed(image, &Span::exactly(s.gross.grams.clone())),
        less: s
            .less
            .iter()
            .map(|l| TakenOff {
                text: l.text.clone(),
                name: l.name.clone(),
                kind: l.kind.clone(),
                weight: weighed(image, &l.grams),
            })
            .collect(),
        net: weighed(image, &s.net),
        fineness: told(&f),
        fine: weighed(image, &fine),
        value: value.map(|(low, high)| sum(currency, low, high)),
        at_most: s.at_most,
        advice: s.advice,
        notes,
    };
    let tally = Tally {
        pieces: 1,
        gross: s.gross.grams,
        fine,
        value: value.unwrap_or_default(),
        at_most: s.at_most,
    };
    Ok((metal, entry, tally))
}

/// The metal that a row names, where the marks leave more than one.
fn metal(cell: &str) -> Result<Option<Metal>, Refused> {
    let named = METALS.into_iter().find(|m| export::metal(*m).eq_ignore_ascii_case(cell));
    match named.is_some() || cell.is_empty() {
        true => Ok(named),
        false => Err(Refused::new(
            format!("\"{cell}\" is no metal"),
            format!("write {}, or nothing", METALS.map(export::metal).join(", ")),
        )),
    }
}

/// The rows of a list; what is no row of it is told with its line.
fn rows(list: &str) -> Result<Vec<Result<Row, NotValued>>, Refused> {
    let list = list.strip_prefix('\u{feff}').unwrap_or(list);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .delimiter(Delimiter::of(list.as_bytes()))
        .from_reader(list.as_bytes());
    let mut records = reader.records();
    let unread = |e: csv::Error| {
        Refused::new(format!("the list cannot be read: {e}"), "write it as CSV in UTF-8")
    };
    let head = match records.next() {
        Some(head) => head.map_err(unread)?,
        None => {
            return Err(Refused::new(
                "the list is empty",
                format!("write the columns in its first line: {}", heads().join(", ")),
            ));
        }
    };
    let at = columns(&Head::new(head.iter()))?;
    let mut out = Vec::new();
    for record in records {
        let record = record.map_err(unread)?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, csv::Position::line);
        let cell = |i: usize| {
            let found = at[i].and_then(|k| record.get(k));
            found.unwrap_or_default().to_string()
        };
        let row = Row { cells: std::array::from_fn(cell) };
        if record.len() != head.len() {
            out.push(Err(NotValued {
                number: row.get("number").into(),
                description: row.get("description").into(),
                marks: row.get("marks").into(),
                gross: row.get("gross").into(),
                why: format!(
                    "The row near line {line} has {} fields where the first line names {}.",
                    record.len(),
                    head.len()
                ),
                unreadable: true,
            }));
        } else {
            out.push(Ok(row));
        }
    }
    Ok(out)
}

fn names() -> Vec<&'static str> {
    COLUMNS.iter().map(|c| c.0).collect()
}

/// The columns, each with the other words for it.
fn heads() -> Vec<String> {
    let others = |(name, others): &(&str, &[&str])| match others {
        [] => name.to_string(),
        _ => format!("{name} (or {})", others.join(", ")),
    };
    COLUMNS.iter().map(others).collect()
}

/// A cell that no spreadsheet runs: an apostrophe before a sign that would make it a formula.
fn harmless(cell: &str) -> String {
    match cell.starts_with(RUN) {
        true => format!("'{cell}"),
        false => cell.to_string(),
    }
}

/// Where each column stands in the head.
fn columns(head: &Head) -> Result<[Option<usize>; COLUMNS.len()], Refused> {
    let mut at = [None; COLUMNS.len()];
    for (i, (name, others)) in COLUMNS.iter().enumerate() {
        let mut found = head.all(&[&[*name], *others].concat());
        let either = |k: &usize| folded(&head.names()[*k]) == EITHER;
        match (i, found.len()) {
            // "item,description": the first is the number.
            (1, 2) if at[0].is_none() => {
                at[0] = found.iter().copied().find(either);
                found.retain(|k| at[0] != Some(*k));
            }
            _ => {}
        }
        if let [a, b, ..] = found[..] {
            return Err(Refused::new(
                format!(
                    "\"{}\" and \"{}\" are both the {name} of the list",
                    &head.names()[a],
                    &head.names()[b]
                ),
                "leave one of them out",
            ));
        }
        at[i] = found.first().copied();
    }
    for needed in ["marks", "gross"] {
        let i = names().iter().position(|n| *n == needed).unwrap_or_default();
        if at[i].is_none() {
            return Err(Refused::new(
                format!("no column is called \"{needed}\""),
                format!("name the columns in its first line: {}", heads().join(", ")),
            ));
        }
    }
    Ok(at)
}

impl Schedule {
    /// The schedule as CSV: a row for each piece in the order valued, not valued, totals.
    pub fn csv(&self) -> String {
        let mut out = WriterBuilder::new().from_writer(Vec::new());
        let mut write = |cells: [&str; 15]| {
            // Writing into memory does not fail.
            let _ = out.write_record(cells.map(harmless));
        };
        write([
            "number",
            "description",
            "marks",
            "read_as",
            "standard",
            "gross_g",
            "deductions",
            "net_g_low",
            "net_g_high",
            "fine_g_low",
            "fine_g_high",
            "metal_value_low",
            "metal_value_high",
            "currency",
            "remark",
        ]);
        let currency = self.currency.as_deref().unwrap_or_default();
        let low = |s: &Option<Sum>| s.as_ref().map_or(String::new(), |s| s.low.clone());
        let high = |s: &Option<Sum>| s.as_ref().map_or(String::new(), |s| s.high.clone());
        for x in &self.items {
            let less: Vec<&str> = x.less.iter().map(|l| l.text.as_str()).collect();
            let mut remark = x.notes.clone();
            if x.at_most {
                let open: Vec<String> =
                    x.advice.iter().filter(|a| !a.allowed_for).map(|a| a.name.clone()).collect();
                let open = and(&open);
                remark.insert(
                    0,
                    format!(
                        "The value is the most it can be: not enough was taken off for {open}."
                    ),
                );
            }
            write([
                &x.number,
                &x.description,
                &x.marks,
                &x.read_as,
                &x.fineness.name,
                &x.gross.g.low,
                &less.join("; "),
                &x.net.g.low,
                &x.net.g.high,
                &x.fine.g.low,
                &x.fine.g.high,
                &low(&x.value),
                &high(&x.value),
                currency,
                &remark.join(" "),
            ]);
        }
        for x in &self.not_valued {
            let weight = match x.gross.as_str() {
                "" => String::new(),
                w => format!(" The list has its weight as {w}."),
            };
            let why = format!("Not valued. {}{weight}", x.why);
            write([
                &x.number,
                &x.description,
                &x.marks,
                "",
                "",
                "",
                "",
                "",
                "",
                "",
                "",
                "",
                "",
                "",
                &why,
            ]);
        }
        for t in &self.totals {
            let pieces = if t.pieces == 1 { "piece" } else { "pieces" };
            let name = format!("total {}, {} {pieces}", t.metal, t.pieces);
            let remark = match (t.at_most, self.basis.as_deref().unwrap_or_default()) {
                (true, basis) => format!("At most: a value above is the most it can be. {basis}"),
                (false, basis) => basis.to_string(),
            };
            write([
                "",
                &name,
                "",
                "",
                "",
                &t.gross.g.low,
                "",
                "",
                "",
                &t.fine.g.low,
                &t.fine.g.high,
                &low(&t.value),
                &high(&t.value),
                currency,
                remark.trim(),
            ]);
        }
        String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
    }

    /// Rows that could not be read, as against those that are not valued for their marks.
    pub fn unreadable(&self) -> usize {
        self.not_valued.iter().filter(|n| n.unreadable).count()
    }
}
