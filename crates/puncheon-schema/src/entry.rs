//! The tables as a person writes them: one struct for each kind of entry.
//!
//! Every struct refuses unknown fields, so that a misspelt field is an error with a line and a
//! column. Names of things that the tables themselves define (devices, letterings, outlines,
//! standards, offices) are plain words here and are checked against their own table by
//! [`crate::verify`].

use serde::Deserialize;
use serde::de::{self, Deserializer, Visitor};
use std::fmt;

use crate::date::{Bound, MonthDay};
pub use crate::meaning::{Command, Grammar, Meaning, Words};
use crate::sponsor::Sponsor;

/// A bare RON identifier such as `BlackLetter`, naming an entry of another table.
///
/// It is kept in the tables' kebab spelling, `black-letter`, which is also what exports print.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(pub String);

impl<'de> Deserialize<'de> for Name {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl Visitor<'_> for V {
            type Value = Name;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a bare name such as BlackLetter or CutCorners")
            }
            fn visit_str<E: de::Error>(self, s: &str) -> Result<Name, E> {
                Ok(Name(kebab(s)))
            }
        }
        d.deserialize_identifier(V)
    }
}

/// `BlackLetter` to `black-letter`.
fn kebab(camel: &str) -> String {
    let mut out = String::with_capacity(camel.len() + 4);
    for (i, c) in camel.chars().enumerate() {
        if c.is_ascii_uppercase() {
            if i > 0 {
                out.push('-');
            }
            out.push(c.to_ascii_lowercase());
        } else {
            out.push(c);
        }
    }
    out
}

/// What a fact rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Basis {
    /// A published source says it; the entry cites it.
    Published,
    /// Remembered from the trade's handbooks; no page was before the writer.
    Memory,
    /// Partly the one and partly the other.
    Both,
}

/// How sure a fact is. The order is from sure to unsure, so that the greatest is the weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Confidence {
    /// Would be surprising if wrong.
    High,
    /// Probably right; a better source could change it.
    Medium,
    /// A working guess: contrary words strain it rather than clash with it.
    Low,
}

/// The metal of an article.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Metal {
    /// Silver.
    Silver,
    /// Gold.
    Gold,
    /// Platinum, marked since 1975.
    Platinum,
    /// Palladium, marked since 2009.
    Palladium,
}

/// Where an article was made, as far as its marks tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Origin {
    /// Made in the office's own country.
    Home,
    /// Brought in and marked as foreign.
    Foreign,
    /// The marks no longer tell.
    Either,
}

/// Capital or small.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Case {
    /// Capital letters.
    Upper,
    /// Small letters.
    Lower,
    /// Known to vary, or not known: a described case says nothing.
    Either,
}

/// The place a mark fills in a set of marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Slot {
    /// The assay office's own mark.
    Town,
    /// The mark or figures of the standard.
    Standard,
    /// A further mark the office struck as a rule, such as London's leopard's head at Chester.
    Extra,
    /// The sovereign's head: duty paid.
    Duty,
    /// The mark of an office on foreign ware.
    Import,
    /// The common control mark of the convention countries.
    Convention,
    /// A mark for an event, struck by choice.
    Commemorative,
    /// The assay master's mark.
    Assayer,
    /// Something joined to the date letter, such as a pellet.
    Joined,
    /// Anything else: drawback, countermarks.
    Special,
}

/// How strictly a mark belongs to its set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Due {
    /// The law or the office's rule asks for it; without it the set is short.
    Must,
    /// Struck by choice or often left out.
    May,
}

/// A published source, or a body of them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The word that `cites` fields use.
    pub id: String,
    /// Author or institution.
    #[serde(default)]
    pub author: String,
    /// Title, edition, year, and what part was seen.
    pub title: String,
    /// True for a hobbyist's or dealer's word that needs support.
    #[serde(default)]
    pub weak: bool,
}

/// A rule of marking that no row can hold: how sponsors' marks were made, where marks are struck.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Unique word.
    pub id: String,
    /// What it is about, one word or two: "sponsors", "struck abroad".
    pub about: String,
    /// The rule, a sentence or two.
    pub says: String,
    /// First year, where it has one.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year, where it has one.
    #[serde(default)]
    pub to: Option<i32>,
    /// Offices or groups at which it has whoever sends a piece in strike a mark; most rules have
    /// nobody.
    #[serde(default)]
    pub sponsor_due_at: Vec<String>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Where two sources differ.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dispute {
    /// The question.
    pub about: String,
    /// What each side says, with its sources.
    pub views: Vec<View>,
    /// Which is followed in these tables, and why.
    pub followed: String,
}

/// One side of a [`Dispute`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// What is said.
    pub says: String,
    /// Who says it; empty means memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A picture a punch can show. Devices form a web: a narrow device `is` each of its broader ones.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    /// The word that marks and the vocabulary use.
    pub id: String,
    /// How it is named to a reader, without an article.
    pub name: String,
    /// The slot a reader would give it before the rest of the set is known.
    pub kind: DeviceKind,
    /// Broader devices it is a form of.
    #[serde(default)]
    pub is: Vec<String>,
    /// Devices it is easily misread for (both ways): a near may rest on it.
    #[serde(default)]
    pub misread: Vec<String>,
    /// Devices (marks) that this word, when described, strains instead of clashing with.
    #[serde(default)]
    pub strains: Vec<String>,
    /// A word for different things ("lion"), not one thing of several forms: a table that is unsure of
    /// a form leaves another thing out all the same.
    #[serde(default)]
    pub loose: bool,
}

/// What a device stands for in a description.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum DeviceKind {
    /// An office's mark.
    Town,
    /// A standard mark.
    Standard,
    /// Figures of a fineness.
    Fineness,
    /// A duty mark.
    Duty,
    /// An import mark.
    Import,
    /// A convention mark.
    Convention,
    /// A commemorative mark.
    Commemorative,
    /// An assay master's mark.
    Assayer,
    /// A letter's companion.
    Letter,
    /// Not a hallmark of these islands: a feature of lookalikes only.
    Lookalike,
}

/// A style of lettering.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lettering {
    /// The word used everywhere, `black-letter`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// Letterings that a description of this one strains instead of clashing with.
    #[serde(default)]
    pub strains: Vec<String>,
    /// In this lettering case says nothing.
    #[serde(default)]
    pub caseless: bool,
    /// Pairs easily confused when capital: "C G", "O Q".
    #[serde(default)]
    pub alike_upper: Vec<String>,
    /// Pairs easily confused when small: "n u", "c e".
    #[serde(default)]
    pub alike_lower: Vec<String>,
    /// Twenty-six styled capitals A to Z for a screen, if Unicode has them.
    #[serde(default)]
    pub styled_upper: Option<String>,
    /// Twenty-six styled small letters a to z for a screen, if Unicode has them.
    #[serde(default)]
    pub styled_lower: Option<String>,
}

/// The shape round a punch.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outline {
    /// The word used everywhere, `cut-corners`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// What the word means, for a reader who does not know it, in one line.
    #[serde(default)]
    pub means: String,
    /// Broader outlines it is a form of: "shield" says little, "rectangle" more.
    #[serde(default)]
    pub is: Vec<String>,
}

/// A lawful standard of fineness.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    /// The word used everywhere, `sterling`, `gold-18`.
    pub id: String,
    /// How a reader is told: "sterling silver", "18 carat gold".
    pub name: String,
    /// The metal.
    pub metal: Metal,
    /// Whole parts per thousand, cut and not rounded; None where no standard is known.
    #[serde(default)]
    pub parts: Option<u16>,
    /// The exact ratio, "37/40".
    #[serde(default)]
    pub exact: Option<String>,
    /// What the standard rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Units that are added up with each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum System {
    /// Grams.
    Metric,
    /// The weight of precious metal.
    Troy,
    /// The weight of everything else.
    Avoirdupois,
}

/// A unit of weight.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unit {
    /// Unique word, `ounce-troy`.
    pub id: String,
    /// How a reader is told, "troy ounce".
    pub name: String,
    /// The same short, "oz t"; what a reader is told to write.
    pub short: String,
    /// Its weight in grams, exactly, as a decimal.
    pub grams: String,
    /// What it is added up with.
    pub system: System,
    /// Its place in a weight of old plate with signs or nothing between the figures, from 1 on.
    #[serde(default)]
    pub scratch: Option<u8>,
    /// Phrases that mean it, in small letters and without points. A phrase of two units is refused
    /// until the writer says which.
    pub say: Vec<String>,
    /// Phrases that leave the unit open and are taken for this one, which is always said.
    #[serde(default)]
    pub bare: Vec<String>,
    /// What to write instead where another unit is meant.
    #[serde(default)]
    pub bare_why: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A way of counting fineness: so many parts of a whole.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// Unique word, `carat`.
    pub id: String,
    /// How a reader is told, "carat".
    pub name: String,
    /// Parts of the pure metal.
    pub whole: u16,
    /// The metal so counted, where it is one alone.
    #[serde(default)]
    pub metal: Option<Metal>,
    /// Words for it behind a figure, in small letters.
    pub say: Vec<String>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

fn yes() -> bool {
    true
}

/// Something that is weighed with a piece and is not its metal.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Deduction {
    /// Unique word, `loaded`.
    pub id: String,
    /// How a reader is told, "loading".
    pub name: String,
    /// Phrases that speak of it, in small letters, hyphens written as spaces.
    pub say: Vec<String>,
    /// What the trade does about it, in whole sentences.
    pub advice: String,
    /// The part of the whole weight, in hundredths, that it took in published cases.
    #[serde(default)]
    pub share: Option<(u8, u8)>,
    /// It has to come off the weight.
    #[serde(default = "yes")]
    pub weighs: bool,
    /// Devices of lookalikes whose words speak of it too.
    #[serde(default)]
    pub devices: Vec<String>,
    /// Metals that a piece is not of if these words are said of the piece itself.
    #[serde(default)]
    pub bars: Vec<Metal>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Words of a sale that claim more than a standard, an office and a year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boast {
    /// Unique word, `solid`.
    pub id: String,
    /// Phrases that claim it, in small letters, hyphens written as spaces.
    pub say: Vec<String>,
    /// Offices or groups of offices whose marks bear it out; none if no marks do.
    #[serde(default)]
    pub offices: Vec<String>,
    /// Why marks do not bear it out, a sentence.
    pub why: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The marks by which one standard was shown at some offices over some time.
///
/// An article class (office, standard, origin) exists on a day only if a regime covers that day.
/// Regimes of one class may overlap in a change-over year; then either set of marks could stand.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Regime {
    /// Unique word.
    pub id: String,
    /// The [`Standard`].
    pub standard: String,
    /// Offices or groups of offices ("england", "uk").
    pub offices: Vec<String>,
    /// Home ware, foreign ware or either.
    #[serde(default = "home")]
    pub origin: Origin,
    /// First day or letter year.
    pub from: Bound,
    /// Last day or letter year; None is still in force.
    #[serde(default)]
    pub to: Option<Bound>,
    /// The marks that show it; empty where the standard stood without a mark of its own.
    pub marks: Vec<Stands>,
    /// The statute or rule.
    #[serde(default)]
    pub statute: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

fn home() -> Origin {
    Origin::Home
}

/// One mark of a [`Regime`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stands {
    /// The [`Device`].
    pub device: String,
    /// Must it stand?
    #[serde(default = "must")]
    pub due: Due,
    /// The shape round it, where known.
    #[serde(default)]
    pub outline: Option<Name>,
}

fn must() -> Due {
    Due::Must
}

/// A mark that is not a standard's: town, duty, import, convention, commemorative and so on.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Unique word.
    pub id: String,
    /// Its place in the set.
    pub slot: Slot,
    /// The [`Device`] it shows.
    pub device: String,
    /// Offices or groups; an office's own file leaves it out.
    #[serde(default)]
    pub offices: Vec<String>,
    /// Metals it stands on; empty means any.
    #[serde(default)]
    pub metals: Vec<Metal>,
    /// Standards it stands on; empty means any.
    #[serde(default)]
    pub standards: Vec<String>,
    /// Standards it does not stand on.
    #[serde(default)]
    pub not_standards: Vec<String>,
    /// On home ware, foreign ware or both (`Either`).
    #[serde(default = "either")]
    pub origin: Origin,
    /// First day or letter year.
    pub from: Bound,
    /// Last day or letter year; None is still in force.
    #[serde(default)]
    pub to: Option<Bound>,
    /// Must it stand?
    #[serde(default = "must")]
    pub due: Due,
    /// Slots whose marks it takes the place of: an import mark stands instead of the town mark.
    #[serde(default)]
    pub replaces: Vec<Slot>,
    /// While in force, every class of home ware may also be foreign ware that bears this mark
    /// beside the home marks (the F in an oval of 1867).
    #[serde(default)]
    pub opens_foreign: bool,
    /// The shape round it, where known.
    #[serde(default)]
    pub outline: Option<Name>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

fn either() -> Origin {
    Origin::Either
}

/// An assay office with its town marks and date letters.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Office {
    /// Lower-case word, `birmingham`.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// Groups that regimes and marks may name ("england", "uk").
    #[serde(default)]
    pub groups: Vec<String>,
    /// First day or year of marking.
    pub opened: Bound,
    /// Last day or year of marking.
    #[serde(default)]
    pub closed: Option<Bound>,
    /// Sources of the opening and closing.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A few sentences for a reader of the tables.
    #[serde(default)]
    pub about: String,
    /// The day on which each year's letter began.
    pub year_starts: Vec<YearStart>,
    /// Town marks and other marks of this office alone.
    pub marks: Vec<Mark>,
    /// Spans in which a set often lacks a date letter.
    #[serde(default)]
    pub letter_optional: Vec<Span>,
    /// The runs of letters.
    pub cycles: Vec<Cycle>,
    /// Years without a letter, declared.
    #[serde(default)]
    pub gaps: Vec<Span>,
    /// Where sources differ.
    #[serde(default)]
    pub disputes: Vec<Dispute>,
}

impl Office {
    /// Does a list of offices and groups mean this office?
    pub(crate) fn is_named(&self, names: &[String]) -> bool {
        names.iter().any(|n| *n == self.id || self.groups.contains(n))
    }
}

/// A span of letter years with a reason.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// First letter year.
    pub from: i32,
    /// Last letter year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The reason.
    pub why: String,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The day a year's letter came into use, over a span of letter years.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearStart {
    /// First letter year.
    pub from: i32,
    /// Last letter year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The day, or the earliest it can have been if `latest` is given.
    pub day: MonthDay,
    /// The latest it can have been: then the day is not known, only that it lay between.
    #[serde(default)]
    pub latest: Option<MonthDay>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

/// A run of date letters in one lettering.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cycle {
    /// First letter year.
    pub from: i32,
    /// Last letter year; must agree with `letters`.
    pub to: i32,
    /// The lettering, None where not known.
    #[serde(default)]
    pub lettering: Option<Name>,
    /// The case, None where not known.
    #[serde(default)]
    pub case: Option<Case>,
    /// What the letters rest on.
    pub basis: Basis,
    /// How sure the letters are.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// How sure the lettering is; as `confidence` if left out.
    #[serde(default)]
    pub lettering_confidence: Option<Confidence>,
    /// How sure the case is; as `confidence` if left out.
    #[serde(default)]
    pub case_confidence: Option<Confidence>,
    /// The letters in order, one a year, separated by spaces. `_` unknown, `=` the letter before
    /// carried on, `a+b` two in one year, `A/a` case varies, `{crown}` a symbol.
    pub letters: String,
    /// Letters of the alphabet this run leaves out.
    #[serde(default)]
    pub omitted: String,
    /// One line corrects or qualifies one year.
    #[serde(default)]
    pub years: Vec<YearNote>,
    /// Years for which sources name different letters; the first is the chosen one.
    #[serde(default)]
    pub candidates: Vec<Candidates>,
    /// Letters that did not run the office's whole year.
    #[serde(default)]
    pub short: Vec<ShortLetter>,
    /// Outlines of the letter punch where known.
    #[serde(default)]
    pub outlines: Vec<LetterOutline>,
    /// A remark for the reader of the tables.
    #[serde(default)]
    pub note: String,
}

/// A correction or qualification of one year of a [`Cycle`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearNote {
    /// The letter year.
    pub year: i32,
    /// The letter as now held, in the notation of `letters`; None keeps the run's.
    #[serde(default)]
    pub letter: Option<String>,
    /// What stood here before.
    #[serde(default)]
    pub was: Option<String>,
    /// Lettering of this year alone.
    #[serde(default)]
    pub lettering: Option<Name>,
    /// Case of this year alone.
    #[serde(default)]
    pub case: Option<Case>,
    /// What this year rests on.
    #[serde(default)]
    pub basis: Option<Basis>,
    /// How sure this year is.
    #[serde(default)]
    pub confidence: Option<Confidence>,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
    /// The reason.
    #[serde(default)]
    pub why: String,
}

/// Rival letters of one year. They strain, and are of low confidence, beside the chosen one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Candidates {
    /// The letter year.
    pub year: i32,
    /// The rivals, separated by spaces (the chosen letter stands in `letters`).
    pub letters: String,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
    /// Why there is a doubt.
    pub why: String,
}

/// A letter with days of its own.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShortLetter {
    /// The letter year it is listed under.
    pub year: i32,
    /// The letter, as in `letters` (one of two in one year, or the only one).
    pub letter: String,
    /// Its first day, where known.
    #[serde(default)]
    pub begins: Option<Bound>,
    /// Its last day, where known.
    #[serde(default)]
    pub ends: Option<Bound>,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The outline of the letter punch over some years, on one metal.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetterOutline {
    /// First letter year.
    pub from: i32,
    /// Last letter year.
    pub to: i32,
    /// The metal.
    pub metal: Metal,
    /// The outline.
    pub outline: Name,
    /// How sure.
    #[serde(default)]
    pub confidence: Option<Confidence>,
    /// Sources; empty is memory.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A mark that is not a British or Irish hallmark, or that stands beside one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lookalike {
    /// Unique word.
    pub id: String,
    /// What sort.
    pub kind: LookalikeKind,
    /// What it is, one sentence fragment for a reader.
    pub what: String,
    /// What it tells and what it does not, a sentence.
    pub why: String,
    /// True if it excludes a hallmark whatever stands beside it.
    #[serde(default)]
    pub denies: bool,
    /// Its letters were makers' letters too: it does not deny beside a town mark and a standard mark
    /// that stood together, where the letters are taken for a maker's mark.
    #[serde(default)]
    pub unless_maker: bool,
    /// The device of an assay master whose letters these were too, where there was one.
    #[serde(default)]
    pub assayer: Option<String>,
    /// Sets of devices; the entry is met when all of any one set were described.
    #[serde(default)]
    pub needs: Vec<Vec<String>>,
    /// Devices of real hallmarks that it also shows; with no standard mark described, each makes
    /// this entry worth naming.
    #[serde(default)]
    pub shares: Vec<String>,
    /// For a town that struck no yearly letter: its name.
    #[serde(default)]
    pub town: Option<String>,
    /// Why a description that shows it lies outside these tables, if it does by itself.
    #[serde(default)]
    pub outside: Option<OutsideBecause>,
    /// First year, where known.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year, where known.
    #[serde(default)]
    pub to: Option<i32>,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// Sorts of lookalike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum LookalikeKind {
    /// A skin of silver or gold on another metal.
    Plate,
    /// An alloy without silver.
    Alloy,
    /// Words stamped in plain letters.
    Words,
    /// Another country's mark.
    Foreign,
    /// A British or Irish town without yearly letters.
    Provincial,
    /// Devices that imitate hallmarks.
    Pseudo,
    /// A maker's mark with nothing beside it.
    MakerOnly,
    /// A fineness with nothing beside it.
    BareFigure,
    /// A letter with nothing beside it.
    BareLetter,
    /// Design, patent, utility and other marks.
    OtherMark,
}

/// Why a lookalike, described, puts the whole description outside the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum OutsideBecause {
    /// A fineness no office of these islands struck.
    ForeignFineness,
    /// A town that struck no yearly letters.
    NoYearLetters,
}

/// A sign worth a second look when a seller's claim is held against the marks. It is never an
/// accusation: it says what is unusual, what harmless reasons there may be and who can judge.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Warning {
    /// Unique word.
    pub id: String,
    /// All of these must hold.
    pub when: Vec<When>,
    /// What is unusual, one sentence.
    pub reason: String,
    /// The harmless reasons there may be.
    pub innocent: String,
    /// Who can judge.
    pub judge: String,
    /// The marks then do not vouch for the piece, so that no claim holds by them.
    #[serde(default)]
    pub unsettles: bool,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources; none is the common practice of the trade.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// One condition of a [`Warning`]. Marks are named by a device, which stands for its narrower forms
/// too, or by a standard.
#[derive(Clone, Debug, Deserialize)]
pub enum When {
    /// The description says so, in words of the vocabulary that mean this sign.
    Said(String),
    /// One of these marks was described.
    Seen(Vec<String>),
    /// One of these marks was described and could not stand in any year claimed.
    Contrary(Vec<String>),
    /// A mark in this slot is due in the years claimed and wanting: said not to be there, or not
    /// described in a set that otherwise seems whole.
    Wanting(Slot),
    /// So with this mark.
    WantingMark(String),
    /// So with the date letter.
    WantingLetter,
    /// Every office claimed, or that fits, is one of these offices or groups.
    Offices(Vec<String>),
    /// Every year claimed, or that fits, lies in this span.
    Years {
        /// First year.
        #[serde(default)]
        from: Option<i32>,
        /// Last year.
        #[serde(default)]
        to: Option<i32>,
    },
    /// The town mark and the letter described fit the years claimed, each at another office; or two
    /// offices' marks were described that never stood together.
    OfficesApart,
    /// Two letters were described that lie at least so many years apart.
    LettersApart(u8),
    /// The number behind this mark is that of a design registered after the years claimed.
    DesignLater(String),
    /// An engraved date is earlier than the years claimed.
    EngravedBefore,
    /// The piece weighs less than its scratch weight by more than so many parts in a hundred.
    Lighter(u8),
    /// A mark of such a lookalike's own was described.
    Lookalike(Vec<LookalikeKind>),
    /// No year fits the marks described.
    NothingFits,
    /// The claim names no office.
    NoOfficeClaimed,
    /// The letters described are none of a maker's that the claim names.
    MakerAgainst,
}

/// Something to mind: what a result cannot tell, what the law asks, what harms a piece. A sign met in
/// a description is a [`Warning`].
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Unique word.
    pub id: String,
    /// The heading it stands under; cautions of one heading stand together.
    pub about: String,
    /// What it stands at the foot of, or is told for; none is told only where all are.
    #[serde(default)]
    pub uses: Vec<Use>,
    /// All of these must hold for it to be told.
    #[serde(default)]
    pub when: Vec<Applies>,
    /// The caution, a sentence.
    pub says: String,
    /// Who can judge, or what to do, a sentence.
    #[serde(default)]
    pub then: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources; none is the common practice of the trade.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// What is done, and so needs its cautions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Use {
    /// Reading marks.
    Read,
    /// Holding a claim against the marks.
    Check,
    /// Asking which marks a piece should bear.
    Expect,
    /// Reckoning what the metal is worth.
    Worth,
    /// Describing a piece for sale.
    Sell,
    /// Showing a piece to a buyer.
    Show,
    /// Testing the metal.
    Test,
    /// Cleaning and keeping.
    Clean,
    /// Repairing and altering.
    Mend,
}

/// One condition of a [`Caution`], tried on a result and on what is stated beside it.
#[derive(Clone, Debug, Deserialize)]
pub enum Applies {
    /// The marks fit some year, or all but fit.
    Marked,
    /// The marks do not bear out a precious metal.
    Unsupported,
    /// Marks of two offices that never stood together were described.
    OfficesApart,
    /// The claim holds.
    Holds,
    /// There are several pieces, or several sets of marks.
    Several,
    /// The description, or what is stated of the piece, says so, in words that mean one of these
    /// signs.
    Said(Vec<String>),
    /// One of these phrases stands in what is stated of the piece.
    Stated(Vec<String>),
    /// This is not stated.
    Unstated(Particular),
    /// Something that fits is of one of these offices or groups, in this span of letter years.
    Fits {
        /// Offices or groups.
        offices: Vec<String>,
        /// First year.
        #[serde(default)]
        from: Option<i32>,
        /// Last year.
        #[serde(default)]
        to: Option<i32>,
    },
}

/// What a seller states of a piece besides its marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Particular {
    /// Its weight.
    Weight,
    /// Its measurements.
    Size,
    /// Its condition.
    Condition,
}

/// Marks that some articles went without, by law or by habit.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Omission {
    /// Unique word.
    pub id: String,
    /// The slots left empty.
    #[serde(default)]
    pub slots: Vec<Slot>,
    /// The date letter was left off.
    #[serde(default)]
    pub letter: bool,
    /// Offices or groups.
    pub offices: Vec<String>,
    /// Metals; empty means any.
    #[serde(default)]
    pub metals: Vec<Metal>,
    /// Standards; empty means any.
    #[serde(default)]
    pub standards: Vec<String>,
    /// First year.
    #[serde(default)]
    pub from: Option<i32>,
    /// Last year; None is still so.
    #[serde(default)]
    pub to: Option<i32>,
    /// The articles, "small spoons and tongs".
    pub on: String,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// The first number given to a registered design in a year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Design {
    /// The calendar year.
    pub year: i32,
    /// Its first number.
    pub first: u32,
}

/// The numbers of registered designs, year by year.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Designs {
    /// Unique word.
    pub id: String,
    /// The years in order.
    pub years: Vec<Design>,
    /// Years by which the list may be out.
    pub slack: u8,
    /// What it rests on.
    pub basis: Basis,
    /// How sure.
    pub confidence: Confidence,
    /// Sources.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// A sovereign's reign or a named period.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reign {
    /// Unique word.
    pub id: String,
    /// How a reader is told.
    pub name: String,
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// Words and phrases that mean it.
    pub say: Vec<String>,
    /// The device that the words mean where they are joined to a duty mark: "duty mark: George III".
    #[serde(default)]
    pub head: Option<String>,
    /// Sources; empty is common knowledge.
    #[serde(default)]
    pub cites: Vec<String>,
}

/// How words must stand to mean what they mean.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
pub enum Standing {
    /// However they stand.
    #[default]
    Anyhow,
    /// Behind other words for the same mark: "duty mark: Victoria". Elsewhere they are not understood.
    Joined,
    /// Without a word before them that is not understood or says whose it is: a head, and not a
    /// wolf's head.
    Unowned,
}

/// A slip of one word, understood in any phrase and said as guessed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slip {
    /// As people type it.
    pub typed: String,
    /// The word they mean; some phrase must hold it.
    pub means: String,
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
    /// Ids of entries that an overlay takes away.
    Retired(Vec<String>),
}
