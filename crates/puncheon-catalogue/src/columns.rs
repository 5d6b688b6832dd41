//! The columns that are added, and what stands in their cells.

use std::collections::HashMap;
use std::fmt::Write;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use puncheon::gist::Span;
use puncheon::reading::{Outcome, Sure};
use puncheon::{Gist, Ruling};

/// Between the items of a list in a cell.
pub(crate) const SEPARATOR: &str = "; ";

/// A column that can be added. The order is that of the output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub enum Column {
    Outcome,
    Office,
    YearFrom,
    YearTo,
    Shown,
    Letter,
    Metal,
    Fineness,
    Fits,
    BestOffice,
    BestShown,
    Sure,
    Verdict,
    Warnings,
    Lookalikes,
    NotUnderstood,
    DateEdtf,
    Sponsors,
    Wording,
    NotWorded,
}

use Column::*;

impl Column {
    /// Every column that is added unless others are named, in order.
    pub const ALL: [Column; 18] = [
        Outcome,
        Office,
        YearFrom,
        YearTo,
        Shown,
        Letter,
        Metal,
        Fineness,
        Fits,
        BestOffice,
        BestShown,
        Sure,
        Verdict,
        Warnings,
        Lookalikes,
        NotUnderstood,
        DateEdtf,
        Sponsors,
    ];

    /// Columns that are added only where they are named: each takes a reading of its own.
    pub const WHERE_NAMED: [Column; 2] = [Wording, NotWorded];

    /// Every column by its name: those of [`Column::ALL`], then the others.
    pub fn names() -> impl Iterator<Item = &'static str> {
        let all = Column::ALL.into_iter().chain(Column::WHERE_NAMED);
        all.map(Column::name)
    }

    /// The name that stands at its head.
    pub fn name(self) -> &'static str {
        match self {
            Outcome => "outcome",
            Office => "office",
            YearFrom => "year_from",
            YearTo => "year_to",
            Shown => "shown",
            Letter => "letter",
            Metal => "metal",
            Fineness => "fineness",
            Fits => "fits",
            BestOffice => "best_office",
            BestShown => "best_shown",
            Sure => "sure",
            Verdict => "verdict",
            Warnings => "warnings",
            Lookalikes => "lookalikes",
            NotUnderstood => "not_understood",
            DateEdtf => "date_edtf",
            Sponsors => "sponsors",
            Wording => "wording",
            NotWorded => "not_worded",
        }
    }

    /// Does it hold a number?
    pub fn is_number(self) -> bool {
        matches!(self, YearFrom | YearTo | Fineness | Fits)
    }

    /// The column of a name, in whatever letters.
    pub fn named(name: &str) -> Option<Column> {
        let mut all = Column::ALL.into_iter().chain(Column::WHERE_NAMED);
        all.find(|c| c.name().eq_ignore_ascii_case(name))
    }

    /// Writes what stands in its cell. The words not understood, the letters of a maker and what cannot
    /// be read of what is stated are no part of a gist: they stand in the description.
    pub(crate) fn write(self, g: &Gist, out: &mut String) {
        let number = |n: Option<i32>, out: &mut String| {
            if let Some(n) = n {
                let _ = write!(out, "{n}");
            }
        };
        match self {
            Outcome => out.push_str(outcome_word(g.outcome)),
            Office => out.push_str(g.office.unwrap_or_default()),
            YearFrom => number(g.years.map(|y| y.0), out),
            YearTo => number(g.years.map(|y| y.1), out),
            Shown => out.push_str(g.shown.as_deref().unwrap_or_default()),
            Letter => out.push_str(g.letter.unwrap_or_default()),
            Metal => out.push_str(g.metal.unwrap_or_default()),
            Fineness => number(g.fineness.map(i32::from), out),
            Fits => number(i32::try_from(g.fits).ok(), out),
            BestOffice => out.push_str(g.best.as_ref().map_or("", |b| b.0)),
            BestShown => out.push_str(g.best.as_ref().map_or("", |b| b.1.as_str())),
            Sure => out.push_str(sure_word(g.sure)),
            Warnings => list(g.warnings.iter().map(String::as_str), out),
            Lookalikes => list(g.lookalikes.iter().copied(), out),
            Verdict | NotUnderstood | Sponsors | Wording | NotWorded => {}
            DateEdtf => edtf(g, out),
        }
    }
}

fn list<'i>(items: impl Iterator<Item = &'i str>, out: &mut String) {
    for (i, item) in items.enumerate() {
        if i > 0 {
            out.push_str(SEPARATOR);
        }
        out.push_str(item);
    }
}

/// The word printed for an outcome.
pub(crate) fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Fits => "fits",
        Outcome::Nears => "nears",
        Outcome::None => "none",
        _ => "outside",
    }
}

/// How sure, as it is printed.
pub(crate) fn sure_word(sure: Option<Sure>) -> &'static str {
    match sure {
        Some(Sure::OneYear) => "one-year",
        Some(Sure::OneYearDoubtful) => "one-year-doubtful",
        Some(Sure::Several) => "several",
        Some(Sure::Misreading) => "misreading",
        _ => "",
    }
}

/// How what is stated stands to the marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stated {
    /// It can be read, and was held against them.
    Read(Ruling),
    /// It cannot be read.
    Unreadable,
}

impl Stated {
    /// The word printed for it.
    pub fn word(self) -> &'static str {
        match self {
            Stated::Read(Ruling::Holds) => "holds",
            Stated::Read(Ruling::Possible) => "possible",
            Stated::Read(Ruling::Fails) => "fails",
            Stated::Read(_) => "undecided",
            Stated::Unreadable => "unreadable",
        }
    }
}

/// Days before 14 September 1752 are Julian and never converted: such dates give years only.
const GREGORIAN: i32 = 17_520_914;

/// The years that fit, in the Extended Date/Time Format of ISO 8601-2. Writing to a string does not
/// fail.
fn edtf(g: &Gist, out: &mut String) {
    let doubt = if g.doubtful { "?" } else { "" };
    let day = |d: i32| format!("{:04}-{:02}-{:02}", d / 10_000, d / 100 % 100, d % 100);
    let _ = match g.spans.as_slice() {
        [] => Ok(()),
        [s] if s.begins >= GREGORIAN && s.ends >= s.begins => {
            write!(out, "{}{doubt}/{}{doubt}", day(s.begins), day(s.ends))
        }
        // A letter that did not begin with the year ran into the next.
        [s] => {
            let last = if s.calendar { s.to } else { s.to + 1 };
            if last == s.from {
                write!(out, "{}{doubt}", s.from)
            } else {
                write!(out, "{}{doubt}/{last}{doubt}", s.from)
            }
        }
        many => {
            let mut years: Vec<(i32, i32)> = Vec::new();
            for Span { from, to, .. } in many {
                match years.last_mut() {
                    Some(l) if l.1 + 1 >= *from => l.1 = l.1.max(*to),
                    _ => years.push((*from, *to)),
                }
            }
            out.push('[');
            for (i, (a, b)) in years.iter().enumerate() {
                let comma = if i > 0 { "," } else { "" };
                let _ = match b - a {
                    0 => write!(out, "{comma}{a}"),
                    1 => write!(out, "{comma}{a},{b}"),
                    _ => write!(out, "{comma}{a}..{b}"),
                };
            }
            out.push(']');
            Ok(())
        }
    };
}

/// The user's own words for ours, by what stands in a cell.
#[derive(Clone, Debug, Default)]
pub struct Terms(HashMap<String, Term>);

#[derive(Clone, Debug)]
struct Term {
    theirs: String,
    /// It stood in some cell.
    met: Arc<AtomicBool>,
}

impl Terms {
    /// Terms from pairs of our value and the user's.
    pub fn new(pairs: impl IntoIterator<Item = (String, String)>) -> Terms {
        let term = |(ours, theirs)| {
            let met = Arc::default();
            (ours, Term { theirs, met })
        };
        Terms(pairs.into_iter().map(term).collect())
    }

    /// Our values that stood in no cell so far, in order: a slip, or nothing of the kind was met.
    pub fn not_met(&self) -> Vec<&str> {
        let unmet = |t: &Term| !t.met.load(Ordering::Relaxed);
        let mut out: Vec<&str> =
            self.0.iter().filter_map(|(ours, t)| unmet(t).then_some(ours.as_str())).collect();
        out.sort_unstable();
        out
    }

    /// The user's word for one of ours.
    fn theirs(&self, ours: &str) -> Option<&str> {
        let t = self.0.get(ours)?;
        t.met.store(true, Ordering::Relaxed);
        Some(&t.theirs)
    }

    /// Puts the cell into the user's words; each item of a list by itself.
    pub(crate) fn apply(&self, cell: &mut String) {
        if self.0.is_empty() {
            return;
        }
        if let Some(t) = self.theirs(cell) {
            *cell = t.to_string();
        } else if cell.contains(SEPARATOR) {
            let item = |i| self.theirs(i).unwrap_or(i);
            let items: Vec<&str> = cell.split(SEPARATOR).map(item).collect();
            *cell = items.join(SEPARATOR);
        }
    }
}
