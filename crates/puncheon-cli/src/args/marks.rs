//! Options of the commands that read marks.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use clap_complete::engine::ArgValueCompleter;
use puncheon::cautions::Use;
use puncheon::schema::entry::Metal;
use puncheon::schema::export;
use puncheon::schema::image::USES;
use puncheon::{Options, Tables};

use super::typed::{marks, years};
use crate::completion;
use crate::out::Failure;

/// `read`.
#[derive(Clone, Debug, Args)]
pub struct ReadArgs {
    /// The marks as you see them; several words are one description
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
    pub marks: Vec<String>,
    #[command(flatten)]
    pub bounds: Bounds,
    /// List every year that fits, not the first ten
    #[arg(long)]
    pub all: bool,
    /// Answer in one line
    #[arg(long, conflicts_with = "json")]
    pub brief: bool,
    /// Take each argument as a description of its own
    #[arg(long)]
    pub each: bool,
    /// Answer in JSON, one line for each description
    #[arg(long)]
    pub json: bool,
    /// Draw the letters that fit, or all but fit, side by side into this file
    #[arg(long, value_name = "FILE", conflicts_with = "each")]
    pub svg: Option<PathBuf>,
}

/// Bounds on the answer.
#[derive(Clone, Debug, Args)]
pub struct Bounds {
    /// Only this office
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(completion::Offices))]
    office: Option<String>,
    /// Only this metal
    #[arg(long, value_name = "METAL")]
    metal: Option<MetalArg>,
    /// Only these letter years, such as 1780..1820
    #[arg(long, value_name = "YEARS", value_parser = years)]
    between: Option<(i32, i32)>,
    /// What is not described is not there
    #[arg(long)]
    complete: bool,
}

/// A metal as an option names it.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum MetalArg {
    Silver,
    Gold,
    Platinum,
    Palladium,
}

impl From<MetalArg> for Metal {
    fn from(m: MetalArg) -> Metal {
        match m {
            MetalArg::Silver => Metal::Silver,
            MetalArg::Gold => Metal::Gold,
            MetalArg::Platinum => Metal::Platinum,
            MetalArg::Palladium => Metal::Palladium,
        }
    }
}

impl Bounds {
    /// The library's options, with the office's name checked against the tables.
    pub fn options(&self, tables: &Tables) -> Result<Options, Failure> {
        let mut o = Options::default();
        if let Some(name) = &self.office {
            o.office = Some(tables.office(name)?);
        }
        o.metal = self.metal.map(Into::into);
        o.between = self.between;
        o.complete = self.complete;
        Ok(o)
    }
}

/// `ask`.
#[derive(Clone, Debug, Args)]
pub struct AskArgs {
    /// The marks you see first, such as the town mark
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
    pub marks: Vec<String>,
    #[command(flatten)]
    pub bounds: Bounds,
    /// Add a note of each finished piece to this file: .txt, .jsonl or .csv
    #[arg(long, value_name = "FILE")]
    pub note: Option<PathBuf>,
}

/// `check`.
#[derive(Clone, Debug, Args)]
pub struct CheckArgs {
    /// The marks as you see them; several words are one description
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
    pub marks: Vec<String>,
    /// What is said of the piece: an office, a date, a reign, a standard. Without it the claim is
    /// read out of the description
    #[arg(long, value_name = "CLAIM", value_parser = marks)]
    pub claim: Option<String>,
    /// What is not described is not there
    #[arg(long)]
    pub complete: bool,
    /// List every year that fits, not the first ten
    #[arg(long)]
    pub all: bool,
    /// Answer in JSON, one line for each description
    #[arg(long)]
    pub json: bool,
}

/// `why`.
#[derive(Clone, Debug, Args)]
pub struct WhyArgs {
    /// The marks as you see them
    #[arg(value_name = "MARKS", required = true, value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
    pub marks: Vec<String>,
    /// The office
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(completion::Offices))]
    pub office: String,
    /// The letter year
    #[arg(long, value_name = "YEAR")]
    pub year: i32,
}

/// `cautions`.
#[derive(Clone, Debug, Args)]
pub struct CautionsArgs {
    /// What is done [default: everything]
    #[arg(value_name = "USE", value_parser = uses())]
    pub wanted: Option<Use>,
    /// Only those that apply to these marks
    #[arg(long, value_name = "MARKS", value_parser = marks, requires = "wanted")]
    pub marks: Option<String>,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
}

/// The words for what is done.
fn uses() -> impl TypedValueParser<Value = Use> {
    PossibleValuesParser::new(USES.map(export::used)).map(|word| {
        let named = |u: &Use| export::used(*u) == word;
        USES.into_iter().find(named).unwrap_or(USES[0])
    })
}
