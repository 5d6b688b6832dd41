//! A list of pieces as it is written: CSV, with its columns named in the first line.

use csv::{ReaderBuilder, Trim};
use puncheon_schema::head::{Delimiter, Head};

/// The columns of a list, each with the names it may have; the first is the one to write.
pub const COLUMNS: [(&str, &[&str]); 6] = [
    ("number", &["no", "no.", "ref", "lot"]),
    ("description", &["what", "article", "title", "piece", "item"]),
    ("marks", &["hallmarks", "mark"]),
    ("metal", &[]),
    ("gross", &["weight", "gross weight"]),
    ("deductions", &["less", "deduct"]),
];
/// A word for either of two columns: the description, or the number where another is the description.
const EITHER: &str = "item";

/// A column of a list, in the order of [`COLUMNS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Its number in the list.
    Number,
    /// What it is.
    Description,
    /// Its marks.
    Marks,
    /// Its metal, where the marks leave more than one.
    Metal,
    /// Its weight.
    Gross,
    /// What comes off the weight.
    Deductions,
}

/// Why a list cannot be read.
#[allow(missing_docs)]
pub enum Fault {
    /// It is no CSV.
    Unread(csv::Error),
    /// It has no first line.
    Empty,
    /// Two heads for one column.
    Twice { column: &'static str, heads: [String; 2] },
    /// No head for a column that is needed.
    Lacks { column: &'static str },
}

/// A row of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    cells: [String; COLUMNS.len()],
    /// It has another number of fields than the head; where, how many, and how many the head has.
    pub uneven: Option<Uneven>,
}

/// A row of another length than the first line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Uneven {
    /// The line near which it stands.
    pub line: u64,
    /// Fields that it has.
    pub fields: usize,
    /// Fields that the first line names.
    pub named: usize,
}

impl Row {
    /// What stands in a column, without the blanks round it.
    pub fn get(&self, column: Column) -> &str {
        self.cells.get(column as usize).map_or("", String::as_str)
    }
}

/// The rows of a list.
pub fn rows(list: &str) -> Result<Vec<Row>, Fault> {
    let list = list.strip_prefix('\u{feff}').unwrap_or(list);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .delimiter(Delimiter::of(list.as_bytes()))
        .from_reader(list.as_bytes());
    let mut records = reader.records();
    let head = records.next().ok_or(Fault::Empty)?.map_err(Fault::Unread)?;
    let at = columns(&Head::new(head.iter()))?;
    let mut out = Vec::new();
    for record in records {
        let record = record.map_err(Fault::Unread)?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let cell = |i: usize| {
            let found = at.get(i).copied().flatten().and_then(|k| record.get(k));
            found.unwrap_or_default().to_string()
        };
        let uneven = (record.len() != head.len()).then(|| Uneven {
            line: record.position().map_or(0, csv::Position::line),
            fields: record.len(),
            named: head.len(),
        });
        out.push(Row { cells: std::array::from_fn(cell), uneven });
    }
    Ok(out)
}

/// Where each column stands in the head.
fn columns(head: &Head) -> Result<[Option<usize>; COLUMNS.len()], Fault> {
    let mut at = [None; COLUMNS.len()];
    for (i, (name, others)) in COLUMNS.iter().enumerate() {
        let names = head.names();
        let mut found = head.all(&[&[*name], *others].concat());
        let either = head.all(&[EITHER]);
        match (i, found.len()) {
            // "item,description": the first is the number.
            (1, 2) if at[0].is_none() => {
                at[0] = found.iter().copied().find(|k| either.contains(k));
                found.retain(|k| at[0] != Some(*k));
            }
            _ => {}
        }
        if let [a, b, ..] = found[..] {
            let head = |i: usize| names.get(i).cloned().unwrap_or_default();
            return Err(Fault::Twice { column: name, heads: [head(a), head(b)] });
        }
        if let Some(at) = at.get_mut(i) {
            *at = found.first().copied();
        }
    }
    for needed in [Column::Marks, Column::Gross] {
        let column = COLUMNS.iter().zip(&at).nth(needed as usize);
        if let Some(((column, _), None)) = column {
            return Err(Fault::Lacks { column });
        }
    }
    Ok(at)
}
