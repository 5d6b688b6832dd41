//! What is to be added to the rows of a catalogue.

use puncheon::schema::head;
use puncheon::{Nears, Options, Tables};

use crate::columns::{Column, Terms};
use crate::error::{Error, taken};

/// The column that holds a whole reading.
pub(crate) const READING: &str = "reading";

/// How the text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// Fields with a delimiter between, which is found from the head.
    Delimited,
    /// One JSON object a line.
    JsonLines,
}

/// Adds answers to the rows of a catalogue.
#[derive(Clone, Debug)]
pub struct Enricher<'t> {
    /// The tables to read from.
    pub tables: &'t Tables,
    /// The name of the column that holds the marks.
    pub marks: String,
    /// The name of the column that holds what is stated.
    pub claim: Option<String>,
    /// Columns to add.
    pub columns: Vec<Column>,
    /// Stands before the name of each added column.
    pub prefix: String,
    /// Adds the whole reading as JSON, in a column named `reading`.
    pub detail: bool,
    /// Adds the versions and a sentence for the record.
    pub stamp: bool,
    /// The user's own words for ours.
    pub terms: Terms,
    /// Bounds on the answers.
    pub options: Options,
    /// Workers; 0 is one for each core.
    pub threads: usize,
    /// How the text is written.
    pub format: Format,
}

impl<'t> Enricher<'t> {
    /// Adds every column to rows whose marks stand in the column of this name.
    pub fn new(tables: &'t Tables, marks: &str) -> Enricher<'t> {
        let mut options = Options::default();
        options.nears = Nears::IfNoFits;
        Enricher {
            tables,
            marks: marks.to_string(),
            claim: None,
            columns: Column::ALL.to_vec(),
            prefix: String::new(),
            detail: false,
            stamp: false,
            terms: Terms::default(),
            options,
            threads: 0,
            format: Format::Delimited,
        }
    }

    /// Is a wording among the columns?
    pub(crate) fn words_a_sale(&self) -> bool {
        let wording = |c: &Column| matches!(c, Column::Wording | Column::NotWorded);
        self.columns.iter().any(wording)
    }

    /// Names of the columns that are added, in order.
    pub fn added(&self) -> Vec<String> {
        let mut names: Vec<&str> = self.columns.iter().map(|c| c.name()).collect();
        if self.stamp {
            names.extend(["stamp_program", "stamp_tables", "stamp_note"]);
        }
        if self.detail {
            names.push(READING);
        }
        names.iter().map(|n| format!("{}{n}", self.prefix)).collect()
    }

    /// Where the marks and the claim stand among the columns of a catalogue, and the names to add.
    pub(crate) fn columns_in(
        &self,
        names: &[String],
    ) -> Result<(usize, Option<usize>, Vec<String>), Error> {
        let head = head::Head::new(names);
        let refused = |r: head::Refused| Error::Head(format!("{}\n  {}", r.wrong, r.remedy));
        let find = |wanted: &str| head.find(wanted).map_err(refused);
        let marks = find(&self.marks)?;
        let claim = self.claim.as_deref().map(find).transpose()?;
        let added = self.added();
        if let Some(name) = added.iter().find(|a| names.contains(a)) {
            return Err(taken("column", name));
        }
        Ok((marks, claim, added))
    }
}
