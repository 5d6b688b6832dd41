//! The tables as a person writes them: one struct for each kind of entry.
//!
//! Every struct refuses unknown fields, so that a misspelt field is an error with a line and a
//! column. Names of things that the tables themselves define (devices, letterings, outlines,
//! standards, offices) are plain words here and are checked against their own table by
//! [`crate::verify`].

mod caution;
mod cycle;
mod device;
mod kinds;
mod lookalike;
mod mark;
mod name;
mod office;
mod source;
pub mod sponsor;
mod standard;
mod standing;
mod warning;
mod weight;

use serde::Deserialize;

use sponsor::Sponsor;

pub use crate::meaning::{Command, Grammar, ItemWord, Meaning, Words};
pub use caution::{Applies, Boast, Caution, Particular, Use};
pub use cycle::{Candidates, Cycle, LetterOutline, ShortLetter, YearNote};
pub use device::{Device, DeviceKind, Lettering, Outline};
pub use kinds::{Basis, Case, Confidence, Due, Metal, Origin, Slot};
pub use lookalike::{Lookalike, LookalikeKind, OutsideBecause};
pub use mark::{Mark, Omission, Regime, Reign, Stands};
pub use name::Name;
pub use office::{Office, Span, YearStart};
pub use source::{Dispute, Rule, Source, View};
pub use standard::{Scale, Standard};
pub use standing::Standing;
pub use warning::{Design, Designs, Warning, When};
pub use weight::{Deduction, System, Unit};

/// A slip of one word, understood in any phrase and said as guessed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slip {
    /// As people type it.
    pub typed: String,
    /// The word they mean; some phrase must hold it.
    pub means: String,
}

/// Words that can stand in one another's place within phrases, under a name for braces.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alternatives {
    /// What a brace names.
    pub id: String,
    /// Each of them; may be products themselves, of lists before it.
    pub say: Vec<String>,
}

/// A file under tables/: a list of one kind of entry.
#[derive(Clone, Debug, Deserialize)]
pub enum File {
    /// The bibliography.
    Sources(Vec<Source>),
    /// Pictures of punches.
    Devices(Vec<Device>),
    /// Styles of lettering.
    Letterings(Vec<Lettering>),
    /// Shapes of punches.
    Outlines(Vec<Outline>),
    /// Standards of fineness.
    Standards(Vec<Standard>),
    /// How standards were shown.
    Regimes(Vec<Regime>),
    /// Marks other than standards', shared by several offices.
    Marks(Vec<Mark>),
    /// An assay office.
    Office(Box<Office>),
    /// What is not a hallmark.
    Lookalikes(Vec<Lookalike>),
    /// Reigns and periods.
    Reigns(Vec<Reign>),
    /// Words and their meanings.
    Vocabulary(Vec<Words>),
    /// Rules that no row can hold.
    Rules(Vec<Rule>),
    /// Slips of single words.
    Slips(Vec<Slip>),
    /// Disputes that belong to no office.
    Disputes(Vec<Dispute>),
    /// Signs worth a second look.
    Warnings(Vec<Warning>),
    /// What to mind.
    Cautions(Vec<Caution>),
    /// Marks that some articles went without.
    Omissions(Vec<Omission>),
    /// The numbers of registered designs.
    Designs(Box<Designs>),
    /// Units of weight.
    Units(Vec<Unit>),
    /// Ways of counting fineness.
    Scales(Vec<Scale>),
    /// What is weighed with a piece and is not its metal.
    Deductions(Vec<Deduction>),
    /// Words that claim more than marks bear out.
    Boasts(Vec<Boast>),
    /// Sponsors' marks.
    Sponsors(Vec<Sponsor>),
    /// Lists that phrases name in braces.
    Alternatives(Vec<Alternatives>),
    /// Ids of entries that an overlay takes away.
    Retired(Vec<String>),
}
