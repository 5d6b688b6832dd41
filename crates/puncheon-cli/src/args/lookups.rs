//! Options of the commands that look into the tables.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use clap_complete::engine::ArgValueCompleter;

use super::marks::MetalArg;
use super::typed::{marks, years};
use crate::completion;

/// `expect`.
#[derive(Clone, Debug, Args)]
pub struct ExpectArgs {
    /// An office and a year, such as Birmingham 1803; a span of years will do
    #[arg(value_name = "OFFICE AND YEAR", required = true, value_parser = marks, add = ArgValueCompleter::new(completion::Offices))]
    pub asked: Vec<String>,
    /// Only this metal
    #[arg(long, value_name = "METAL")]
    pub metal: Option<MetalArg>,
    /// Only this standard, such as sterling or "18 ct"
    #[arg(long, value_name = "STANDARD")]
    pub standard: Option<String>,
    /// Ware brought in from abroad
    #[arg(long)]
    pub imported: bool,
    /// List every set and every mark of other times
    #[arg(long)]
    pub all: bool,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
}

/// `chart`.
#[derive(Clone, Debug, Args)]
pub struct ChartArgs {
    /// An office, with years if you like: birmingham 1800..1830. Or a year alone: 1803. Or a letter,
    /// with an office, a lettering or years if you like: london small k
    #[arg(value_name = "OFFICE, YEAR OR LETTER", required = true, value_parser = marks, add = ArgValueCompleter::new(completion::Offices))]
    pub asked: Vec<String>,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
    /// Draw the letters in their outlines into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Write a page with the letters drawn, to read or to print, into this file
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
}

/// `outlines`.
#[derive(Clone, Debug, Args)]
pub struct OutlinesArgs {
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
    /// Draw every outline with its word into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
}

/// `sponsors`.
#[derive(Clone, Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct SponsorsArgs {
    #[command(subcommand)]
    pub what: Option<SponsorsWhat>,
    /// The letters as you see them (W.S, PB/AB, "I? B", "H or M"), or the maker's name
    #[arg(value_name = "LETTERS OR NAME", value_parser = marks)]
    pub letters: Vec<String>,
    /// An office, or a town without yearly letters
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(completion::Offices))]
    pub office: Option<String>,
    /// A letter year, or a span such as 1780..1820
    #[arg(long, value_name = "YEARS", value_parser = years)]
    pub year: Option<(i32, i32)>,
    /// The outline of the punch, by its word
    #[arg(long, value_name = "OUTLINE", add = ArgValueCompleter::new(completion::Outlines))]
    pub punch: Option<String>,
    /// List every maker, not the first ten, with notes and sources
    #[arg(long)]
    pub all: bool,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Clone, Debug, Subcommand)]
pub enum SponsorsWhat {
    /// Print one line for each mark of the register, separated by tabs
    Export,
}

/// `tables`.
#[derive(Clone, Debug, Args)]
pub struct TablesArgs {
    #[command(subcommand)]
    pub what: TablesWhat,
}

#[derive(Clone, Debug, Subcommand)]
pub enum TablesWhat {
    /// Prove that the tables agree with themselves
    Verify {
        /// A tables folder to check by itself, instead of the built-in tables
        folder: Option<PathBuf>,
    },
    /// List the offices with their years, letters and doubts
    List,
    /// Show one office's letters, marks, notes and disputes; or rules, warnings, omissions, disputes, units,
    /// deductions, sources
    Show {
        /// The office; or "rules", "warnings", "omissions", "disputes", "units", "deductions" or "sources", which belong to no
        /// one office; or the word by which one source is cited
        #[arg(value_name = "OFFICE", add = ArgValueCompleter::new(completion::Offices))]
        what: String,
    },
    /// Print one line for each office, year and letter, separated by tabs
    Export,
    /// Compare two tables folders: changed lines, and sample descriptions whose answer changes
    Diff {
        /// The older folder
        old: PathBuf,
        /// The newer folder
        new: PathBuf,
    },
}
