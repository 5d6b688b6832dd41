//! Reads British and Irish hallmarks from a description of the punches.
//!
//! ```
//! let tables = puncheon::Tables::builtin();
//! let reading = puncheon::read(tables, "anchor, lion passant, small roman f, king's head", &Default::default());
//! assert_eq!(reading.fits[0].shown, "1803/04");
//! ```
//!
//! Data flows one way: words become [`Sightings`], sightings narrow the rows of the tables to a
//! [`Reading`]. The tables name every office, device, letter and word; nothing of the trade is
//! named in the code.

pub mod ask;
use puncheon_engine as engine;
mod json;
use puncheon_lexis as lexis;
mod tables;
mod voice;
pub mod worth;

pub use engine::fit::narrow::{Nears, Options};
pub use engine::place::Place;
pub use json::claim::{Claim, Unused};
pub use json::expectation::{self as expect, Asked, Expected};
pub use json::questions::{Answer, LookNext, Settles, YearsLeft};
pub use json::reading::{self, Reading, Understood};
pub use json::verdict::{self as check, Attribution, MakerClaimed, Ruling, Verdict, WarningMet};
pub use lexis::claim::Years;
pub use lexis::grammar::initials::{Letters, LettersError};
pub use lexis::sighting::{Engraving, LetterSeen, Sighting, Sightings, Typed, Weighed, What};
#[doc(hidden)]
pub use lexis::steps;
/// What became of every byte of a text.
pub mod tree {
    pub use crate::lexis::tree::{Aside, Fate, Node, Refusal, Tree, Use};
}
pub use puncheon_schema as schema;
pub use tables::{Error, Tables, ron_files};
pub use voice::claim::{ClaimError, years_in_words};
pub use voice::dates::date_in_words;
pub use voice::proof::Proof;
pub use voice::questions::{more_left, years_left};
pub use voice::summary::{self as gist, Gist};
pub use voice::trace::{Stage, trace};
pub use voice::wording;

use engine::claim::attributed;
use engine::claim::check::Case;
use engine::fit::outcome::Outcome;
use engine::fit::{answer, narrow};
use engine::words;
use voice::{expectation, makers, proof, reading as said, sighting, summary, verdict};

/// What to mind.
pub mod cautions {
    pub use crate::json::cautions::*;
    pub use crate::voice::cautions::{Facts, PRACTICE, Use, all, applying, of};
}

/// The outlines of the tables.
pub mod outlines {
    pub use crate::json::outlines::*;
    pub use crate::voice::outlines::outlines;
}

/// Lists, numbers and the like, said alike everywhere.
pub mod phrases {
    pub use crate::voice::letters::{doubt, entry, style};
    pub use crate::voice::lists::{capital, counted, either, number};
    pub use crate::voice::sighting::remark;
}

/// Charts of date letters.
///
/// ```
/// use puncheon::chart::{Asked, chart};
/// let tables = puncheon::Tables::builtin();
/// let chart = chart(tables, &Asked::read(tables, "birmingham 1800..1830").unwrap());
/// assert_eq!(chart.rows[3].shown, "1803/04");
/// assert_eq!(chart.rows[3].cells[0].letters[0].struck.as_deref(), Some("f"));
/// ```
pub mod chart {
    pub use crate::json::chart::*;
    pub use crate::voice::chart::chart;
}

/// The register of sponsors' marks, asked.
pub mod sponsors {
    pub use crate::engine::makers::left::Left;
    pub use crate::engine::makers::register::Registers;
    pub use crate::engine::place::towns;
    pub use crate::json::makers::{Asked, By, Maker, Met, SCHEMA, Sponsors};
    pub use crate::voice::makers::{Makers, place, sponsors, taken, words};
}

/// Reads a description into sightings. Never fails; what is not understood is remarked on.
pub fn sightings(tables: &Tables, description: &str) -> Sightings {
    words::read(tables.image(), description)
}

/// Reads a description against the tables.
pub fn read(tables: &Tables, description: &str, options: &Options) -> Reading {
    let seen = words::read(tables.image(), description);
    read_seen(tables, &seen, options)
}

/// Reads sightings already made. They know the text that they point into.
///
/// # Errors
/// [`Error::Sightings`] if they were made from other tables, or were changed so that they point
/// past their text or the tables.
pub fn read_sightings(
    tables: &Tables,
    seen: &Sightings,
    options: &Options,
) -> Result<Reading, Error> {
    of_these(tables, seen)?;
    Ok(read_seen(tables, seen, options))
}

fn of_these(tables: &Tables, seen: &Sightings) -> Result<(), Error> {
    let fault = seen.fault(tables.image());
    fault.map_or(Ok(()), |f| Err(Error::Sightings(sighting::fault(&f))))
}

/// What is understood of a description, each mark with what it is taken for, before anything is decided.
pub fn understood(tables: &Tables, description: &str) -> Understood {
    let image = tables.image();
    sighting::understood(image, &words::read(image, description), description)
}

/// The same of sightings already made.
///
/// # Errors
/// [`Error::Sightings`] as for [`read_sightings`].
pub fn understood_sightings(tables: &Tables, seen: &Sightings) -> Result<Understood, Error> {
    of_these(tables, seen)?;
    Ok(sighting::understood(tables.image(), seen, seen.text()))
}

/// What a sighting was taken for, in words.
pub fn reads_as(tables: &Tables, seen: &Sighting) -> String {
    sighting::reads_as(tables.image(), seen)
}

fn read_seen(tables: &Tables, seen: &Sightings, options: &Options) -> Reading {
    read_decided(tables, seen, options, &answer::decide(tables.image(), seen, options))
}

fn read_decided(
    tables: &Tables,
    seen: &Sightings,
    options: &Options,
    decided: &answer::Decided,
) -> Reading {
    let mut reading = said::told(decided, seen.text(), seen, options);
    reading.cautions.extend(rests_on_overlay(tables));
    makers::tell(tables, seen, decided, &mut reading);
    reading
}

/// Holds a claim against the marks described.
///
/// Bounds in `options` are taken as known apart from the claim: with an office bound to the claimed
/// one, no other can speak against it.
pub fn check_claim(
    tables: &Tables,
    claim: &Claim,
    description: &str,
    options: &Options,
) -> Verdict {
    let seen = words::read(tables.image(), description);
    let options = options.with(Nears::Always);
    let decided = answer::decide(tables.image(), &seen, &options);
    let outside = decided.outcome == Outcome::Outside;
    let claim = claim.value();
    let (makers, not_used) = attributed::ruled(tables.books(), &claim, &seen, outside);
    let case =
        Case { claim: &claim, seen: &seen, options: &options, decided: &decided, makers: &makers };
    let mut reading = said::told(&decided, description, &seen, &options);
    reading.cautions.extend(rests_on_overlay(tables));
    makers::tell(tables, &seen, &decided, &mut reading);
    let mut verdict = verdict::told(tables, &case, reading);
    verdict.claim.not_used = not_used.into_iter().map(Unused::from).collect();
    verdict.cautions.extend(rests_on_overlay(tables));
    verdict
}

/// The answer in values, for a row of a catalogue: the same answer as [`read`], and the same verdict
/// as [`check_claim`], without their sentences.
///
/// Nears are worked out as `options` say; with [`Nears::IfNoFits`] a row that fits costs least.
pub fn gist<'t>(
    tables: &'t Tables,
    description: &str,
    claim: Option<&Claim>,
    options: &Options,
) -> Gist<'t> {
    let seen = words::read(tables.image(), description);
    gist_seen(tables, &seen, claim, options)
}

/// The same from sightings already made. They know the text that they point into.
///
/// Without a claim, descriptions of one [`Sightings::signature`] have the same gist but for the words
/// not understood.
///
/// # Errors
/// [`Error::Sightings`] as for [`read_sightings`].
pub fn gist_sightings<'t>(
    tables: &'t Tables,
    seen: &Sightings,
    claim: Option<&Claim>,
    options: &Options,
) -> Result<Gist<'t>, Error> {
    of_these(tables, seen)?;
    Ok(gist_seen(tables, seen, claim, options))
}

fn gist_seen<'t>(
    tables: &'t Tables,
    seen: &Sightings,
    claim: Option<&Claim>,
    options: &Options,
) -> Gist<'t> {
    let image = tables.image();
    let decided = answer::decide(image, seen, options);
    let outside = decided.outcome == Outcome::Outside;
    let claim = claim.map(Claim::value);
    let claim = claim.as_ref();
    let makers = claim
        .map_or_else(Vec::new, |claim| attributed::ruled(tables.books(), claim, seen, outside).0);
    let claimed = claim.map(|claim| (claim, makers.as_slice()));
    summary::gist(image, seen, &decided, claimed, options)
}

/// The marks that a piece should bear.
pub fn expected_marks(tables: &Tables, asked: &Asked) -> Expected {
    let mut out = expectation::told(tables.image(), asked);
    out.cautions.extend(rests_on_overlay(tables));
    out
}

/// Says so where a user's tables lie over the built-in ones.
fn rests_on_overlay(tables: &Tables) -> Option<String> {
    let folder = tables.overlay()?;
    Some(format!("Read with the tables in {} laid over the built-in ones.", folder.display()))
}

/// Says so where a user's own register lies over the built-in one.
fn rests_on_register(tables: &Tables) -> Option<String> {
    let file = tables.register_file()?;
    Some(format!("Makers of {} stand before those of the built-in register.", file.display()))
}

/// What becomes of every byte of what a piece is called.
#[doc(hidden)]
pub fn item_tree(tables: &Tables, item: &str) -> tree::Tree {
    words::item(tables.image(), item, true).tree()
}

/// What becomes of every byte of a claim.
#[doc(hidden)]
pub fn claim_tree(tables: &Tables, claim: &str) -> tree::Tree {
    engine::claim::claimed::Claim::cut(tables.books(), claim).tree(claim)
}

/// What becomes of every byte of what a chart is asked for.
#[doc(hidden)]
pub fn wish_tree(tables: &Tables, wish: &str) -> tree::Tree {
    lexis::grammar::charts::read(tables.image(), wish).tree
}

/// What becomes of every byte of a line at the bench, in answer to nothing.
#[doc(hidden)]
pub fn reply_tree(tables: &Tables, line: &str) -> tree::Tree {
    lexis::grammar::replies::tree(tables.image(), line, None)
}

/// The set of rows that clash with nothing, for measuring the engine alone.
#[doc(hidden)]
pub fn fit_set(tables: &Tables, seen: &Sightings, options: &Options) -> Result<Vec<u64>, Error> {
    of_these(tables, seen)?;
    Ok(narrow::Narrow::new(tables.image(), &seen.sightings, options).fits())
}

/// Each sighting against the best row of an office and letter year, with the facts it met.
/// None if the office struck no letter that year, or is not of these tables.
pub fn why(
    tables: &Tables,
    description: &str,
    office: &Place,
    year: i32,
    options: &Options,
) -> Option<Vec<Proof>> {
    let image = tables.image();
    let seen = words::read(image, description);
    let n = narrow::Narrow::new(image, &seen.sightings, options);
    let row = n.best_row(office, year)?;
    Some(proof::proofs(&n, row, description))
}
