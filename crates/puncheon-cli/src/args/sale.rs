//! Options of the commands for a sale.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use clap_complete::engine::ArgValueCompleter;

use super::marks::{Bounds, MetalArg};
use super::typed::marks;
use crate::completion;

/// `worth`.
#[derive(Clone, Debug, Args)]
pub struct WorthArgs {
    /// A weight and a fineness, such as 178.5g sterling, 12 oz 5 dwt Britannia or 20g 18 ct
    #[arg(value_name = "WEIGHT AND FINENESS", value_parser = marks)]
    pub piece: Vec<String>,
    /// The marks as you see them, to take the fineness from
    #[arg(long, value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
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
    #[arg(value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
    pub marks: Vec<String>,
    /// What the piece is, such as "mustard pot"; several pieces in the plural
    #[arg(long, value_name = "ITEM", required = true, value_parser = marks)]
    pub item: String,
    /// The marks of some of several pieces, with how many bear them, or of a part: "4x anchor, lion,
    /// k", "cover: anchor, lion, k"
    #[arg(long = "marks", value_name = "MARKS", value_parser = marks, add = ArgValueCompleter::new(completion::Words))]
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
}
