//! What was typed, and the command it becomes. Each option is defined once, here.

mod catalogue;
mod lookups;
mod marks;
mod sale;
mod typed;

use std::borrow::Cow;
use std::ffi::OsStr;
use std::path::PathBuf;

use clap::error::{ContextKind, ErrorKind};
use clap::{Args, ColorChoice, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};
use clap_complete::engine::{ArgValueCompleter, CompletionCandidate, ValueCompleter};
use puncheon::Tables;
use puncheon_catalogue::Column;

pub use catalogue::{EnrichArgs, FormatArg, SampleArgs};
pub use lookups::{
    ChartArgs, ExpectArgs, OutlinesArgs, SponsorsArgs, SponsorsWhat, TablesArgs, TablesWhat,
};
pub use marks::{AskArgs, CautionsArgs, CheckArgs, ReadArgs, WhyArgs};
pub use sale::{FeeOn, SaleArgs, SayArgs, WorthArgs};

use crate::completion::beginning;
use crate::out::Failure;
use crate::screen::{Colour, USUAL_WIDTH, wrap};

const EXAMPLES: &str = "\
Examples:
  puncheon read anchor, lion passant, small roman f, kings head
  puncheon read \"leopard's head crowned, lion passant, worn gothic n or h\"
  puncheon read --brief --each \"anchor, lion, k\" \"castle, thistle, small m\"
  puncheon read --json < descriptions.txt
  puncheon ask anchor
  puncheon expect Birmingham 1803
  puncheon chart birmingham 1800..1830
  puncheon sponsors W.S --office london --year 1771
  puncheon worth 178.5g sterling --price 24.10/ozt --pays 95%
  puncheon say anchor, lion passant, f, kings head --item \"mustard pot\"
  puncheon enrich stock.csv --marks Hallmarks -o stock.dated.csv
  puncheon why \"anchor, lion passant, f\" --office birmingham --year 1803
  puncheon tables show chester

A reading rests on a description; it is not an assay. How the tables can be
wrong is written in docs/scope-and-accuracy.md.";

const BEFORE: &str = "\
Describe the punches you see, in any order, half of them worn:
  puncheon read anchor, lion passant, small roman f, kings head
";

/// The names of the columns that can be added.
pub fn column_names() -> String {
    Column::names().collect::<Vec<_>>().join(", ")
}

/// What the options of `enrich` do not tell.
fn enrich_help() -> String {
    let mut names = String::new();
    wrap(&mut names, USUAL_WIDTH, 2, &column_names());
    format!(
        "\
Columns:
{names}
Exit codes: 0 every row answered, whatever the marks say; 1 some rows could not
be read, and were kept as they are; 2 nothing done, and no file changed."
    )
}

/// Reads British and Irish hallmarks from a description of the punches.
#[derive(Debug, Parser)]
#[command(name = "puncheon", before_help = BEFORE, after_help = EXAMPLES, disable_help_subcommand = true)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    common: Common,
    /// Print the versions of the program and of its tables
    #[arg(short = 'V', long)]
    version: bool,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say which office, year and standard fit the marks described
    Read(ReadArgs),
    /// Be asked one question after another about the piece in your hand
    Ask(AskArgs),
    /// Test a seller's claim against the marks described
    Check(CheckArgs),
    /// Show the marks that a piece of an office and year should bear
    Expect(ExpectArgs),
    /// Show the date letters of an office, of a year, or of a letter
    Chart(ChartArgs),
    /// List the outlines of punches, with what each word means
    Outlines(OutlinesArgs),
    /// Say who may have struck a maker's mark, from a register of sponsors
    Sponsors(SponsorsArgs),
    /// Reckon what a piece is worth in metal, and whether to sell or melt it
    Worth(Box<WorthArgs>),
    /// Word a description for sale from the marks and what you state
    Say(Box<SayArgs>),
    /// Say what to mind: in a result, in selling, testing, cleaning and mending
    Cautions(CautionsArgs),
    /// Add the answers to the rows of a catalogue
    #[command(after_help = enrich_help())]
    Enrich(Box<EnrichArgs>),
    /// Write an invented stock book, for measuring
    #[command(hide = true)]
    SampleCatalogue(SampleArgs),
    /// Show each mark against one office and year, with the fact it met and its source
    Why(WhyArgs),
    /// Look into, check and compare the tables
    Tables(TablesArgs),
    /// Print the script that lets a shell complete commands and words of the trade
    Completions(CompletionsArgs),
    /// Print the manual page of the program or of one of its commands
    Man(ManArgs),
}

/// Options of every command.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Options of every command")]
pub struct Common {
    /// Lay a folder of your own tables over the built-in ones
    #[arg(long, value_name = "DIR", env = "PUNCHEON_TABLES", global = true)]
    tables: Option<PathBuf>,
    /// Lay a register of your own makers' marks over the built-in one: .ron, or a table with a head
    #[arg(long, value_name = "FILE", env = "PUNCHEON_REGISTER", global = true)]
    register: Option<PathBuf>,
    /// Plain ASCII only: no styled letters
    #[arg(long, global = true)]
    pub ascii: bool,
    /// When to colour the answer
    #[arg(long, value_name = "WHEN", default_value = "auto", global = true)]
    pub color: Colour,
}

/// `completions`.
#[derive(Clone, Debug, Args)]
pub struct CompletionsArgs {
    /// The shell
    pub shell: ShellArg,
}

/// A shell that can complete words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ShellArg {
    Bash,
    Zsh,
    Fish,
    Powershell,
}

impl ShellArg {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            ShellArg::Bash => "bash",
            ShellArg::Zsh => "zsh",
            ShellArg::Fish => "fish",
            ShellArg::Powershell => "powershell",
        }
    }
}

/// `man`.
#[derive(Clone, Debug, Args)]
pub struct ManArgs {
    /// A command; none is the program
    #[arg(add = ArgValueCompleter::new(Commands))]
    pub command: Option<String>,
}

/// Names of the commands.
#[derive(Clone)]
struct Commands;

impl ValueCompleter for Commands {
    fn complete(&self, current: &OsStr) -> Vec<CompletionCandidate> {
        let top = command();
        let shown = top.get_subcommands().filter(|c| !c.is_hide_set());
        beginning(current, shown.map(clap::Command::get_name))
    }
}

impl Common {
    /// The tables to read from.
    pub fn tables(&self) -> Result<Cow<'static, Tables>, Failure> {
        let tables = match &self.tables {
            None => Cow::Borrowed(Tables::builtin()),
            Some(folder) => Cow::Owned(Tables::with_overlay(folder)?),
        };
        match &self.register {
            None => Ok(tables),
            Some(file) => Ok(Cow::Owned(tables.with_register(file)?)),
        }
    }
}

/// Every command and option.
pub fn command() -> clap::Command {
    Cli::command().bin_name("puncheon").color(ColorChoice::Never)
}

/// Reads the process's arguments: a command, and the options that every command has.
pub fn parse() -> Result<(Command, Common), Failure> {
    let typed = std::env::args_os().map(typed::marked);
    let matches = command().try_get_matches_from(typed).map_err(refused)?;
    let cli = Cli::from_arg_matches(&matches).map_err(refused)?;
    if cli.version {
        return Err(Failure::Shown(format!(
            "puncheon {}\ntables {}\n",
            env!("CARGO_PKG_VERSION"),
            cli.common.tables()?.version()
        )));
    }
    match cli.command {
        Some(command) => Ok((command, cli.common)),
        None => Err(short_help()),
    }
}

fn refused(e: clap::Error) -> Failure {
    let text = e.render().to_string();
    match e.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Failure::Shown(text),
        ErrorKind::InvalidSubcommand => Failure::Misuse(no_command(&e)),
        _ => Failure::Help(text.replacen("error: ", "puncheon: ", 1)),
    }
}

/// A word that is no command is a slip of one, or the first of the marks to be read.
fn no_command(e: &clap::Error) -> String {
    let word = |kind| e.get(kind).map(ToString::to_string).unwrap_or_default();
    let typed = word(ContextKind::InvalidSubcommand);
    let nearest = match word(ContextKind::SuggestedSubcommand) {
        near if near.is_empty() => String::new(),
        near => format!("\n  the nearest command is {near}"),
    };
    format!(
        "\"{typed}\" is no command{nearest}\n  to read marks, write: puncheon read \"{typed} ...\"\n  puncheon --help lists the commands"
    )
}

/// What a bare `puncheon` says.
pub fn short_help() -> Failure {
    Failure::Help(format!("{BEFORE}\nMore: puncheon --help"))
}
