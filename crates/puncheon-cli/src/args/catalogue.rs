//! Options of the commands for catalogues.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use clap_complete::engine::ArgValueCompleter;

use crate::completion;

/// `enrich`.
#[derive(Clone, Debug, Args)]
pub struct EnrichArgs {
    /// The catalogue: a file, or - for standard input
    #[arg(value_name = "CATALOGUE")]
    pub input: PathBuf,
    /// The column that holds the marks
    #[arg(long, value_name = "COLUMN")]
    pub marks: String,
    /// The column that holds what is stated: an office, a date, a standard
    #[arg(long, value_name = "COLUMN")]
    pub claim: Option<String>,
    /// Columns to add, separated by commas [default: all but the wording]
    #[arg(long, value_name = "COLUMNS", value_delimiter = ',', add = ArgValueCompleter::new(completion::Columns))]
    pub add: Vec<String>,
    /// Put this before the name of each added column
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub prefix: String,
    /// Add the whole reading
    #[arg(long, value_name = "HOW")]
    pub detail: Option<Detail>,
    /// Add the versions and a sentence for the record
    #[arg(long)]
    pub stamp: bool,
    /// Write here; - is standard output
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    pub output: PathBuf,
    /// Put the result in the catalogue's place
    #[arg(long, conflicts_with = "output")]
    pub in_place: bool,
    /// How the catalogue is written, where its name does not tell
    #[arg(long, value_name = "FORMAT")]
    pub format: Option<FormatArg>,
    /// The sheet of a spreadsheet that holds the catalogue [default: the first]
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Copy rows that could not be read, with their places
    #[arg(long, value_name = "FILE")]
    pub rejects: Option<PathBuf>,
    /// Write the summary as JSON
    #[arg(long, value_name = "FILE")]
    pub summary: Option<PathBuf>,
    /// List the rows whose stated date disagrees, surest first
    #[arg(long, value_name = "FILE", requires = "claim")]
    pub worklist: Option<PathBuf>,
    /// List the rows whose answer changed since this earlier result
    #[arg(long, value_name = "OLD", conflicts_with = "in_place")]
    pub since: Option<PathBuf>,
    /// A file of two columns: our value, your term for it
    #[arg(long, value_name = "FILE")]
    pub terms: Option<PathBuf>,
    /// Workers [default: one for each core]
    #[arg(long, value_name = "N", default_value = "0", hide_default_value = true)]
    pub threads: usize,
}

/// How the whole reading is added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Detail {
    /// One column of JSON, or one object
    Json,
}

/// Ways of writing a catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FormatArg {
    /// Commas, semicolons, tabs or bars between fields, found from the head
    Csv,
    /// Tabs
    Tsv,
    /// One JSON object a line
    Jsonl,
    /// A spreadsheet
    Xlsx,
}

/// The invented stock book.
#[derive(Clone, Debug, Args)]
pub struct SampleArgs {
    /// Rows
    pub rows: u64,
    /// Seed
    #[arg(long, default_value = "1")]
    pub seed: u64,
    /// Let descriptions come again, as in a real stock book
    #[arg(long)]
    pub repeats: bool,
}
