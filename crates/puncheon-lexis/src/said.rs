//! What a text says beside its marks: what is stated and not shown, and what is remarked on its words.

use serde::Serialize;

/// What sort of mark a sighting is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Kind {
    /// An office's mark.
    Town,
    /// A standard mark.
    Standard,
    /// A fineness in figures or words.
    Fineness,
    /// The date letter.
    Letter,
    /// A duty mark.
    Duty,
    /// An import mark.
    Import,
    /// A convention mark.
    Convention,
    /// A commemorative mark.
    Commemorative,
    /// A sponsor's (maker's) mark.
    Sponsor,
    /// An assay master's mark.
    Assayer,
    /// A mark that is not a hallmark of these islands.
    Lookalike,
    /// A mark said not to be there.
    Absence,
}

/// Something remarked on the words themselves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
    /// What is said of them.
    pub remark: RemarkKind,
    /// The nearest words known, or those that they were taken for.
    pub nearest: Option<String>,
}

/// Sorts of remark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum RemarkKind {
    /// The word is not known.
    NotUnderstood,
    /// A slip of the pen was corrected.
    Guessed,
    /// The words can be taken in two ways.
    Ambiguous,
    /// The words are no mark: an object, a measure, a name.
    SetAside,
}

/// A date, place or standard that a description states but does not show. Numbers are those of the
/// tables' image.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stated {
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
    /// The office.
    pub office: Option<u32>,
    /// First calendar year.
    pub from: Option<i32>,
    /// Last calendar year.
    pub to: Option<i32>,
    /// A reign or period.
    pub period: Option<u32>,
    /// A standard.
    pub standard: Option<u32>,
}
