//! What changed between two results of the same catalogue.

use std::collections::HashMap;
use std::io::{self, Read};

use puncheon::schema::head;

use crate::error::Error;
use crate::split::{self, Dialect, Seen};

/// A cell whose answer is another than before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The row's number, the first below the head being 1.
    pub row: u64,
    /// The column.
    pub column: String,
    /// What stood there.
    pub was: String,
    /// What stands there now.
    pub is: String,
}

/// Rows of a delimited text, one at a time.
struct Rows<R> {
    input: R,
    held: Vec<u8>,
    at: usize,
    /// How far the row there was looked at.
    seen: Seen,
    whole: bool,
    dialect: Option<Dialect>,
}

impl<R: Read> Rows<R> {
    fn next(&mut self) -> io::Result<Option<Vec<String>>> {
        loop {
            if self.at > 1 << 16 {
                self.held.drain(..self.at);
                self.at = 0;
            }
            if let Some(d) = self.dialect
                && self.at < self.held.len()
                && let Some(r) =
                    split::record_on(&self.held, self.at, &mut self.seen, self.whole, d)
            {
                (self.at, self.seen) = (r.end, Seen::default());
                let start = if r.body.start == 0 && d.bom { head::BOM.len() } else { 0 };
                let body = &self.held[r.body][start..];
                if body.is_empty() {
                    continue;
                }
                let mut ranges = Vec::new();
                split::fields(body, d, &mut ranges);
                let plain = |r: &std::ops::Range<usize>| {
                    String::from_utf8_lossy(&split::plain(&body[r.clone()])).into_owned()
                };
                return Ok(Some(ranges.iter().map(plain).collect()));
            }
            if self.whole {
                return Ok(None);
            }
            let from = self.held.len();
            self.held.resize(from + (1 << 16), 0);
            let n = self.input.read(&mut self.held[from..])?;
            self.held.truncate(from + n);
            self.whole = n == 0;
            self.dialect.get_or_insert_with(|| Dialect::find(&self.held));
        }
    }
}

fn rows<R: Read>(input: R) -> Rows<R> {
    Rows { input, held: Vec::new(), at: 0, seen: Seen::default(), whole: false, dialect: None }
}

/// The added cells that differ, row by row. The two results must have the same rows in the same order.
///
/// # Errors
/// If a result lacks the columns, if one cannot be read, or if a row is plainly another.
pub fn changes(
    old: impl Read,
    new: impl Read,
    added: &[String],
) -> Result<impl Iterator<Item = Result<Change, Error>>, Error> {
    let (mut old, mut new) = (rows(old), rows(new));
    let head = |r: Option<Vec<String>>| r.unwrap_or_default();
    let was = head(old.next().map_err(Error::Read)?);
    let is = head(new.next().map_err(Error::Read)?);
    // Columns that both have.
    let columns: Vec<(String, usize, usize)> = added
        .iter()
        .filter_map(|name| {
            let at = |head: &[String]| head.iter().position(|n| n == name);
            Some((name.clone(), at(&was)?, at(&is)?))
        })
        .collect();
    if columns.is_empty() {
        return Err(Error::Head(
            "the earlier result has none of the added columns\n  name a file that an earlier run wrote, with the same --prefix".into(),
        ));
    }
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (i, name) in was.iter().enumerate() {
        places.entry(name).or_insert(i);
    }
    // The user's own, by which a row is known again.
    let own: Vec<(usize, usize)> = is
        .iter()
        .enumerate()
        .filter(|(_, name)| !added.contains(name))
        .filter_map(|(j, name)| Some((*places.get(name.as_str())?, j)))
        .collect();
    let (mut row, mut waiting) = (0, Vec::new().into_iter());
    Ok(std::iter::from_fn(move || {
        loop {
            if let Some(c) = waiting.next() {
                return Some(Ok(c));
            }
            let pair = old.next().and_then(|a| Ok((a, new.next()?)));
            let (a, b) = match pair {
                Ok((Some(a), Some(b))) => (a, b),
                Ok((None, None)) => return None,
                Ok(_) => {
                    row = u64::MAX;
                    return Some(Err(Error::Head(
                        "the two results have not the same number of rows\n  compare results of the same catalogue".into(),
                    )));
                }
                Err(e) => return Some(Err(Error::Read(e))),
            };
            row += 1;
            let cell = |row: &[String], i: usize| row.get(i).cloned().unwrap_or_default();
            // A description may have been mended since; a row of which more differs is another piece.
            let differ = own.iter().filter(|(i, j)| cell(&a, *i) != cell(&b, *j));
            if differ.count() * 2 > own.len() && own.len() > 1 {
                return Some(Err(Error::Head(format!(
                    "row {row} is another than in the earlier result\n  compare results of the same rows in the same order"
                ))));
            }
            let found: Vec<Change> = columns
                .iter()
                .filter_map(|(name, i, j)| {
                    let (was, is) = (cell(&a, *i), cell(&b, *j));
                    (was != is).then(|| Change { row, column: name.clone(), was, is })
                })
                .collect();
            waiting = found.into_iter();
        }
    }))
}
