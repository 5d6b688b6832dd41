//! A schedule of pieces, as it is told: for JSON, and as CSV.

use csv::WriterBuilder;
use puncheon_schema::export;

use crate::engine::worth::list::{Column, Row};
use crate::engine::worth::schedule::{self, ScheduleAsked, Tally, Why};
use crate::engine::worth::till::price_of;
use crate::json::schedule::{Entry, NotValued, SCHEDULE_SCHEMA, Schedule, Total};
use crate::json::worth::Sum;
use crate::lexis::grammar::figures::Span;
use crate::tables::Tables;
use crate::voice::lists::and;
use crate::voice::refusals::said;
use crate::voice::wording::ascribed;
use crate::voice::wording::borne::reading_of;
use crate::voice::worth::{
    advice, code, fineness_notes, fineness_told, foot, not_settled, price_told, sum, taken_off,
    weighed, weighing,
};

/// Signs at the head of a cell that make a spreadsheet run it.
const RUN: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A schedule for a reader and for JSON.
pub(crate) fn told(tables: &Tables, asked: &ScheduleAsked, s: &schedule::Schedule) -> Schedule {
    let image = tables.image();
    let currency = &s.currency;
    let priced = !s.prices.is_empty();
    let items: Vec<Entry> = s.items.iter().map(|e| entry(tables, s, e)).collect();
    let not_valued = s.not_valued.iter().map(|n| NotValued {
        why: said_again(why(tables, &n.why), n.again.then_some(&n.row)).join(" "),
        unreadable: n.why.unreadable(),
        ..unvalued(&n.row)
    });
    let value = |tally: &Tally| sum(currency, tally.value);
    let totals = s.totals.iter().map(|(metal, tally)| {
        // Two prices of one metal were refused before.
        let price = price_of(&s.prices, Some(*metal)).ok().flatten();
        let said = (&asked.price_as_of, &asked.price_from);
        Total {
            metal: export::metal(*metal),
            pieces: tally.pieces,
            gross: weighed(image, &Span::exactly(tally.gross.clone())),
            fine: weighed(image, &tally.fine),
            value: price.map(|_| value(tally)),
            at_most: tally.at_most,
            price: price.map(|p| price_told(image, p, currency, said)),
        }
    });
    let all = s.totals.iter().fold((0, 0), |a, (_, t)| (a.0 + t.value.0, a.1 + t.value.1));
    let mut cautions =
        vec!["Rests on the marks and weights as listed, not on an assay.".to_string()];
    let stated: Vec<&str> = items.iter().map(|i| i.description.as_str()).collect();
    cautions.extend(foot(image, &stated.join("; "), &[], false));
    Schedule {
        schema: SCHEDULE_SCHEMA,
        basis: asked.basis.clone(),
        currency: code(currency),
        not_valued: not_valued.collect(),
        totals: totals.collect(),
        value: priced.then(|| sum(currency, all)),
        at_most: s.totals.iter().any(|(_, t)| t.at_most),
        items,
        cautions,
    }
}

/// What is said of a row, with a word where its number stands twice.
fn said_again(said: impl Into<Vec<String>>, again: Option<&Row>) -> Vec<String> {
    let mut said = said.into();
    said.extend(again.map(|row| {
        format!("The number {} stands at an earlier row too.", row.get(Column::Number))
    }));
    said
}

fn unvalued(row: &Row) -> NotValued {
    NotValued {
        number: row.get(Column::Number).into(),
        description: row.get(Column::Description).into(),
        marks: row.get(Column::Marks).into(),
        gross: row.get(Column::Gross).into(),
        why: String::new(),
        unreadable: false,
    }
}

/// Why a row is not valued, a sentence or two.
fn why(tables: &Tables, why: &Why) -> [String; 1] {
    [match why {
        Why::Uneven(u) => format!(
            "The row near line {} has {} fields where the first line names {}.",
            u.line, u.fields, u.named
        ),
        Why::NoMarks => "No marks are listed, so the piece is not valued as precious metal.".into(),
        Why::Marks(why, borne) => not_settled(*why, borne, &reading_of(tables, borne)),
        Why::MetalOpen => "The marks leave the metal open.".into(),
        Why::Fault(fault) => {
            let refused = said(tables.image(), fault);
            let line = |r: &String| r.split_whitespace().collect::<Vec<_>>().join(" ");
            let remedy: Vec<String> = refused.remedy.iter().map(line).collect();
            format!("It cannot be read: {}; {}.", refused.wrong, remedy.join(", "))
        }
    }]
}

/// A piece that is valued.
fn entry(tables: &Tables, s: &schedule::Schedule, e: &schedule::Entry) -> Entry {
    let image = tables.image();
    let reading = reading_of(tables, &e.borne);
    let mut notes = weighing(image, &e.scales);
    notes.extend(fineness_notes(image, &e.fineness, Some((&e.borne, &reading))));
    if e.value.is_none() && !s.prices.is_empty() {
        let metal = export::metal(e.metal);
        notes.push(format!("No price of {metal} was named, so it has no value here."));
    }
    Entry {
        number: e.row.get(Column::Number).into(),
        description: e.row.get(Column::Description).into(),
        marks: e.row.get(Column::Marks).into(),
        read_as: ascribed(&e.borne).phrase,
        gross: weighed(image, &Span::exactly(e.scales.gross.grams.clone())),
        less: taken_off(image, &e.scales),
        net: weighed(image, &e.scales.net),
        fineness: fineness_told(image, &e.fineness, Some(e.metal)),
        fine: weighed(image, &e.fine),
        value: e.value.map(|v| sum(&s.currency, v)),
        at_most: e.scales.at_most,
        advice: advice(image, &e.scales.advised),
        notes: said_again(notes, e.again.then_some(&e.row)),
    }
}

/// A cell that no spreadsheet runs: an apostrophe before a sign that would make it a formula.
fn harmless(cell: &str) -> String {
    match cell.starts_with(RUN) {
        true => format!("'{cell}"),
        false => cell.to_string(),
    }
}

/// The columns of a schedule as CSV.
const COLUMNS: [&str; 15] = [
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
];

fn low(s: &Option<Sum>) -> String {
    s.as_ref().map_or(String::new(), |s| s.low.clone())
}

fn high(s: &Option<Sum>) -> String {
    s.as_ref().map_or(String::new(), |s| s.high.clone())
}

impl Schedule {
    /// The schedule as CSV: a row for each piece in the order valued, not valued, totals.
    pub fn csv(&self) -> String {
        let mut out = WriterBuilder::new().from_writer(Vec::new());
        let items = self.items.iter().map(|x| self.valued(x));
        let unvalued = self.not_valued.iter().map(unvalued_row);
        let totals = self.totals.iter().map(|t| self.total(t));
        let head = COLUMNS.map(String::from);
        for row in [head].into_iter().chain(items).chain(unvalued).chain(totals) {
            // Writing into memory does not fail.
            let _ = out.write_record(row.map(|cell| harmless(&cell)));
        }
        String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
    }

    fn valued(&self, x: &Entry) -> [String; 15] {
        let less: Vec<&str> = x.less.iter().map(|l| l.text.as_str()).collect();
        let mut remark = x.notes.clone();
        if x.at_most {
            let open = x.advice.iter().filter(|a| !a.allowed_for);
            let open = and(&open.map(|a| a.name.clone()).collect::<Vec<_>>());
            remark.insert(
                0,
                format!("The value is the most it can be: not enough was taken off for {open}."),
            );
        }
        [
            x.number.clone(),
            x.description.clone(),
            x.marks.clone(),
            x.read_as.clone(),
            x.fineness.name.clone(),
            x.gross.g.low.clone(),
            less.join("; "),
            x.net.g.low.clone(),
            x.net.g.high.clone(),
            x.fine.g.low.clone(),
            x.fine.g.high.clone(),
            low(&x.value),
            high(&x.value),
            self.currency.clone().unwrap_or_default(),
            remark.join(" "),
        ]
    }

    fn total(&self, t: &Total) -> [String; 15] {
        let pieces = if t.pieces == 1 { "piece" } else { "pieces" };
        let basis = self.basis.as_deref().unwrap_or_default();
        let remark = match t.at_most {
            true => format!("At most: a value above is the most it can be. {basis}"),
            false => basis.to_string(),
        };
        let mut row = [(); 15].map(|()| String::new());
        row[1] = format!("total {}, {} {pieces}", t.metal, t.pieces);
        row[5] = t.gross.g.low.clone();
        row[9] = t.fine.g.low.clone();
        row[10] = t.fine.g.high.clone();
        row[11] = low(&t.value);
        row[12] = high(&t.value);
        row[13] = self.currency.clone().unwrap_or_default();
        row[14] = remark.trim().to_string();
        row
    }

    /// Rows that could not be read, as against those that are not valued for their marks.
    pub fn unreadable(&self) -> usize {
        self.not_valued.iter().filter(|n| n.unreadable).count()
    }
}

fn unvalued_row(x: &NotValued) -> [String; 15] {
    let weight = match x.gross.as_str() {
        "" => String::new(),
        w => format!(" The list has its weight as {w}."),
    };
    let mut row = [(); 15].map(|()| String::new());
    row[0] = x.number.clone();
    row[1] = x.description.clone();
    row[2] = x.marks.clone();
    row[14] = format!("Not valued. {}{weight}", x.why);
    row
}
