//! What was typed, and the plan it becomes. Each option is defined once, here.

use std::borrow::Cow;
use std::convert::Infallible;
use std::ffi::OsString;
use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::error::{ContextKind, ErrorKind};
use clap::{Args, ColorChoice, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};
use clap_complete::engine::ArgValueCompleter;
use puncheon::cautions::Use;
use puncheon::schema::entry::Metal;
use puncheon::schema::export;
use puncheon::schema::image::USES;
use puncheon::{Options, Tables};
use puncheon_catalogue::Column;

use crate::out::Failure;
use crate::screen::{USUAL_WIDTH, wrap};
use crate::shell;

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
enum Command {
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

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// `read`.
#[derive(Clone, Debug, Args)]
pub struct ReadArgs {
    /// The marks as you see them; several words are one description
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// Bounds on the answer.
#[derive(Clone, Debug, Args)]
pub struct Bounds {
    /// Only this office
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(shell::Offices))]
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

fn years(s: &str) -> Result<(i32, i32), String> {
    let parse = |s: &str| s.trim().parse::<i32>().ok().filter(|y| (1000..3000).contains(y));
    let pair = match s.split_once("..") {
        Some((a, b)) => parse(a).zip(parse(b.trim_start_matches('='))),
        None => parse(s).map(|y| (y, y)),
    };
    match pair {
        Some((a, b)) if a > b => Err(format!("the later year stands first: write {b}..{a}")),
        Some(pair) => Ok(pair),
        None => Err("write a year, or two joined by two points: 1780..1820".to_string()),
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
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
    pub marks: Vec<String>,
    #[command(flatten)]
    pub bounds: Bounds,
    /// Add a note of each finished piece to this file: .txt, .jsonl or .csv
    #[arg(long, value_name = "FILE")]
    pub note: Option<PathBuf>,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `check`.
#[derive(Clone, Debug, Args)]
pub struct CheckArgs {
    /// The marks as you see them; several words are one description
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `expect`.
#[derive(Clone, Debug, Args)]
pub struct ExpectArgs {
    /// An office and a year, such as Birmingham 1803; a span of years will do
    #[arg(value_name = "OFFICE AND YEAR", required = true, value_parser = marks, add = ArgValueCompleter::new(shell::Offices))]
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `chart`.
#[derive(Clone, Debug, Args)]
pub struct ChartArgs {
    /// An office, with years if you like: birmingham 1800..1830. Or a year alone: 1803. Or a letter,
    /// with an office, a lettering or years if you like: london small k
    #[arg(value_name = "OFFICE, YEAR OR LETTER", required = true, value_parser = marks, add = ArgValueCompleter::new(shell::Offices))]
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
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
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(shell::Offices))]
    pub office: Option<String>,
    /// A letter year, or a span such as 1780..1820
    #[arg(long, value_name = "YEARS", value_parser = years)]
    pub year: Option<(i32, i32)>,
    /// The outline of the punch, by its word
    #[arg(long, value_name = "OUTLINE", add = ArgValueCompleter::new(shell::Outlines))]
    pub punch: Option<String>,
    /// List every maker, not the first ten, with notes and sources
    #[arg(long)]
    pub all: bool,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `worth`.
#[derive(Clone, Debug, Args)]
pub struct WorthArgs {
    /// A weight and a fineness, such as 178.5g sterling, 12 oz 5 dwt Britannia or 20g 18 ct
    #[arg(value_name = "WEIGHT AND FINENESS", value_parser = marks)]
    pub piece: Vec<String>,
    /// The marks as you see them, to take the fineness from
    #[arg(long, value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
    pub marks: Option<String>,
    /// The metal, where the marks leave more than one
    #[arg(long, value_name = "METAL")]
    pub metal: Option<MetalArg>,
    /// What the piece is, for the warnings that go with it
    #[arg(long, value_name = "WORDS", value_parser = marks)]
    pub item: Option<String>,
    /// What is not the metal, by weight or share of the whole: "blades 42g", "filled handles 60%",
    /// "liner 40-45g"
    #[arg(long, value_name = "WHAT AND HOW MUCH", value_parser = marks)]
    pub less: Vec<String>,
    /// What a unit of fine metal costs, such as 24.10/ozt or "silver £24.10/ozt"
    #[arg(long, value_name = "PRICE", value_parser = marks)]
    pub price: Vec<String>,
    /// The day of the price
    #[arg(long, value_name = "DAY", requires = "price")]
    pub price_as_of: Option<String>,
    /// Who says so
    #[arg(long, value_name = "SOURCE", requires = "price")]
    pub price_from: Option<String>,
    /// The share of the metal value that a buyer of scrap pays, such as 95%
    #[arg(long, value_name = "SHARE", value_parser = marks, conflicts_with = "list")]
    pub pays: Option<String>,
    /// A schedule of the pieces in this CSV file, or - for standard input: columns number,
    /// description, marks, metal, gross, deductions
    #[arg(long, value_name = "FILE", conflicts_with_all = ["piece", "marks", "metal", "item", "less", "sale"])]
    pub list: Option<PathBuf>,
    /// The basis of the schedule, in your words
    #[arg(long, value_name = "WORDS", requires = "list")]
    pub basis: Option<String>,
    /// Print the schedule as CSV
    #[arg(long, requires = "list", conflicts_with = "json")]
    pub csv: bool,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub sale: SaleArgs,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// The figures of a sale.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Sell or melt")]
#[group(id = "sale", multiple = true)]
pub struct SaleArgs {
    /// All that the piece cost you
    #[arg(long, value_name = "MONEY", value_parser = marks)]
    pub paid: Option<String>,
    /// The price paid is a hammer price: the premium and its tax come on top
    #[arg(long, requires = "paid", requires = "premium")]
    pub paid_hammer: bool,
    /// The share of the price that the place of sale charges you
    #[arg(long, value_name = "SHARE", value_parser = marks)]
    pub fee: Option<String>,
    /// What the fee falls on
    #[arg(long, value_name = "WHAT", default_value = "all")]
    pub fee_on: FeeOn,
    /// A sum charged besides
    #[arg(long, value_name = "MONEY", value_parser = marks)]
    pub fee_fixed: Option<String>,
    /// What sending the piece costs you
    #[arg(long, value_name = "MONEY", value_parser = marks)]
    pub post: Option<String>,
    /// What the buyer pays for the post
    #[arg(long, value_name = "MONEY", value_parser = marks)]
    pub charged_post: Option<String>,
    /// Hammer prices to reckon with, such as 120,150,180
    #[arg(long, value_name = "PRICES", value_parser = marks)]
    pub at: Option<String>,
    /// The profit you wish: a share of the sale price, 20%, or a sum, 25
    #[arg(long, value_name = "SHARE OR MONEY", value_parser = marks, requires = "at")]
    pub margin: Option<String>,
    /// The profit you wish, as a share of all that the piece costs
    #[arg(long, value_name = "SHARE", value_parser = marks, requires = "at", conflicts_with = "margin")]
    pub markup: Option<String>,
    /// The buyer's premium: on the bid that --margin or --markup finds, or on the price of --paid-hammer
    #[arg(long, value_name = "SHARE", value_parser = marks)]
    pub premium: Option<String>,
    /// Tax on that premium
    #[arg(long, value_name = "SHARE", value_parser = marks, requires = "premium")]
    pub premium_vat: Option<String>,
    /// The rate of a tax contained in what the buyer pays above your cost, as in a margin scheme
    #[arg(long, value_name = "SHARE", value_parser = marks)]
    pub margin_scheme: Option<String>,
}

/// What a fee falls on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FeeOn {
    /// The hammer price and the post charged
    All,
    /// The hammer price alone
    Hammer,
}

/// `say`.
#[derive(Clone, Debug, Args)]
pub struct SayArgs {
    /// The marks as you see them; several words are one description
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
    pub marks: Vec<String>,
    /// What the piece is, such as "mustard pot"; several pieces in the plural
    #[arg(long, value_name = "ITEM", required = true, value_parser = marks)]
    pub item: String,
    /// The marks of some of several pieces, with how many bear them, or of a part: "4x anchor, lion,
    /// k", "cover: anchor, lion, k"
    #[arg(long = "marks", value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
    pub sets: Vec<String>,
    /// Its weight, as on the scale
    #[arg(long, value_name = "WEIGHT", value_parser = marks)]
    pub weight: Option<String>,
    /// Its measurements, such as "7 cm high"
    #[arg(long, value_name = "SIZE", value_parser = marks)]
    pub size: Vec<String>,
    /// Its condition, such as "light wear, no dents"
    #[arg(long, value_name = "CONDITION", value_parser = marks)]
    pub condition: Vec<String>,
    /// Make a title too, of at most so many characters
    #[arg(long, value_name = "LENGTH")]
    pub title: Option<usize>,
    #[command(flatten)]
    pub bounds: Bounds,
    /// Print the sale line alone, or the title if one is asked for
    #[arg(long, conflicts_with = "json")]
    pub brief: bool,
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

#[derive(Clone, Debug, Subcommand)]
pub enum SponsorsWhat {
    /// Print one line for each mark of the register, separated by tabs
    Export,
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// The words for what is done.
fn uses() -> impl TypedValueParser<Value = Use> {
    PossibleValuesParser::new(USES.map(export::used)).map(|word| {
        let named = |u: &Use| export::used(*u) == word;
        USES.into_iter().find(named).unwrap_or(USES[0])
    })
}

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
    #[arg(long, value_name = "COLUMNS", value_delimiter = ',', add = ArgValueCompleter::new(shell::Columns))]
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
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
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `why`.
#[derive(Clone, Debug, Args)]
pub struct WhyArgs {
    /// The marks as you see them
    #[arg(value_name = "MARKS", required = true, value_parser = marks, add = ArgValueCompleter::new(shell::Words))]
    pub marks: Vec<String>,
    /// The office
    #[arg(long, value_name = "OFFICE", add = ArgValueCompleter::new(shell::Offices))]
    pub office: String,
    /// The letter year
    #[arg(long, value_name = "YEAR")]
    pub year: i32,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
}

/// `tables`.
#[derive(Clone, Debug, Args)]
pub struct TablesArgs {
    #[command(subcommand)]
    pub what: TablesWhat,
    #[clap(skip = None::<Common>)]
    pub common: Option<Common>,
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
        #[arg(value_name = "OFFICE", add = ArgValueCompleter::new(shell::Offices))]
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
    #[arg(add = ArgValueCompleter::new(shell::Commands))]
    pub command: Option<String>,
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

/// What is to be done.
pub enum Plan {
    /// Answer descriptions.
    Read(ReadArgs),
    /// Ask about a piece.
    Ask(AskArgs),
    /// Test a claim.
    Check(CheckArgs),
    /// Reckon a value.
    Worth(Box<WorthArgs>),
    /// Word a description for sale.
    Say(Box<SayArgs>),
    /// Say what to mind.
    Cautions(CautionsArgs),
    /// Add answers to a catalogue.
    Enrich(Box<EnrichArgs>),
    /// Write an invented catalogue.
    Sample(SampleArgs),
    /// Say what a piece should bear.
    Expect(ExpectArgs),
    /// Show date letters.
    Chart(ChartArgs),
    /// List outlines.
    Outlines(OutlinesArgs),
    /// Say who may have struck a mark.
    Sponsors(SponsorsArgs),
    /// Prove one answer.
    Why(WhyArgs),
    /// Look into the tables.
    Tables(TablesArgs),
    /// Print a script for a shell.
    Completions(CompletionsArgs),
    /// Print a manual page.
    Man(ManArgs),
}

/// Stands before a description that would look like an option. No argument can hold this character.
const NOT_AN_OPTION: char = '\0';

/// A pasted list may begin with a dash, "- anchor, lion": that is a description, not an option.
fn marked(arg: OsString) -> OsString {
    let listed = arg.to_str().and_then(|s| s.strip_prefix('-')).is_some_and(|rest| {
        let name = rest.strip_prefix('-').unwrap_or(rest);
        let named = name.starts_with(char::is_alphabetic);
        let sentence = name.contains(char::is_whitespace) && !name.contains('=');
        !rest.is_empty() && rest != "-" && (!named || sentence)
    });
    if !listed {
        return arg;
    }
    let mut text = OsString::from(NOT_AN_OPTION.to_string());
    text.push(arg);
    text
}

/// A description as typed.
fn marks(arg: &str) -> Result<String, Infallible> {
    Ok(arg.strip_prefix(NOT_AN_OPTION).unwrap_or(arg).to_string())
}

/// Every command and option.
pub fn command() -> clap::Command {
    Cli::command().bin_name("puncheon").color(ColorChoice::Never)
}

/// Reads the process's arguments.
pub fn parse() -> Result<Plan, Failure> {
    let matches =
        command().try_get_matches_from(std::env::args_os().map(marked)).map_err(refused)?;
    let cli = Cli::from_arg_matches(&matches).map_err(refused)?;
    if cli.version {
        return Err(Failure::Shown(format!(
            "puncheon {}\ntables {}\n",
            env!("CARGO_PKG_VERSION"),
            cli.common.tables()?.version()
        )));
    }
    let common = Some(cli.common);
    Ok(match cli.command {
        None => return Err(short_help()),
        Some(Command::Read(a)) => Plan::Read(ReadArgs { common, ..a }),
        Some(Command::Ask(a)) => Plan::Ask(AskArgs { common, ..a }),
        Some(Command::Check(a)) => Plan::Check(CheckArgs { common, ..a }),
        Some(Command::Worth(a)) => Plan::Worth(Box::new(WorthArgs { common, ..*a })),
        Some(Command::Say(a)) => Plan::Say(Box::new(SayArgs { common, ..*a })),
        Some(Command::Cautions(a)) => Plan::Cautions(CautionsArgs { common, ..a }),
        Some(Command::Enrich(a)) => Plan::Enrich(Box::new(EnrichArgs { common, ..*a })),
        Some(Command::SampleCatalogue(a)) => Plan::Sample(SampleArgs { common, ..a }),
        Some(Command::Expect(a)) => Plan::Expect(ExpectArgs { common, ..a }),
        Some(Command::Chart(a)) => Plan::Chart(ChartArgs { common, ..a }),
        Some(Command::Outlines(a)) => Plan::Outlines(OutlinesArgs { common, ..a }),
        Some(Command::Sponsors(a)) => Plan::Sponsors(SponsorsArgs { common, ..a }),
        Some(Command::Why(a)) => Plan::Why(WhyArgs { common, ..a }),
        Some(Command::Tables(a)) => Plan::Tables(TablesArgs { common, ..a }),
        Some(Command::Completions(a)) => Plan::Completions(a),
        Some(Command::Man(a)) => Plan::Man(a),
    })
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
