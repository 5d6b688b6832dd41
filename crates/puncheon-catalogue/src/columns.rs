//! The columns that are added, and what stands in their cells.

use std::collections::HashMap;
use std::fmt::Write;

use puncheon::gist::Span;
use puncheon::reading::{Outcome, Sure};
use puncheon::{Gist, Ruling};

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
}

use Column::*;

impl Column {
    /// Every column, in order.
    pub const ALL: [Column; 17] = [
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
    ];

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
        }
    }

    /// Does it hold a number?
    pub fn is_number(self) -> bool {
        matches!(self, YearFrom | YearTo | Fineness | Fits)
    }

    /// The column of a name.
    pub fn named(name: &str) -> Option<Column> {
        Column::ALL.into_iter().find(|c| c.name() == name)
    }

    /// What stands in its cell.
    pub fn cell(self, g: &Gist, description: &str) -> String {
        let number = |n: Option<i32>| n.map_or(String::new(), |n| n.to_string());
        let text = |s: Option<&str>| s.unwrap_or_default().to_string();
        match self {
            Outcome => outcome(g).to_string(),
            Office => text(g.office),
            YearFrom => number(g.years.map(|y| y.0)),
            YearTo => number(g.years.map(|y| y.1)),
            Shown => text(g.shown.as_deref()),
            Letter => text(g.letter),
            Metal => text(g.metal),
            Fineness => number(g.fineness.map(i32::from)),
            Fits => g.fits.to_string(),
            BestOffice => text(g.best.as_ref().map(|b| b.0)),
            BestShown => text(g.best.as_ref().map(|b| b.1.as_str())),
            Sure => sure(g).to_string(),
            Verdict => verdict(g).to_string(),
            Warnings => g.warnings.join("; "),
            Lookalikes => g.lookalikes.join("; "),
            NotUnderstood => words(g, description).collect::<Vec<_>>().join("; "),
            DateEdtf => edtf(g),
        }
    }
}

/// The words of a description that were not understood.
pub fn words<'a>(g: &'a Gist, description: &'a str) -> impl Iterator<Item = &'a str> {
    g.not_understood.iter().map(|r| &description[r.clone()])
}

/// The word printed for an outcome.
pub fn outcome(g: &Gist) -> &'static str {
    match g.outcome {
        Outcome::Fits => "fits",
        Outcome::Nears => "nears",
        Outcome::None => "none",
        _ => "outside",
    }
}

fn sure(g: &Gist) -> &'static str {
    match g.sure {
        Some(Sure::OneYear) => "one-year",
        Some(Sure::OneYearDoubtful) => "one-year-doubtful",
        Some(Sure::Several) => "several",
        Some(Sure::Misreading) => "misreading",
        _ => "",
    }
}

/// The word printed for a verdict; empty where nothing was stated.
pub fn verdict(g: &Gist) -> &'static str {
    match g.verdict {
        Some(Ruling::Holds) => "holds",
        Some(Ruling::Possible) => "possible",
        Some(Ruling::Fails) => "fails",
        Some(_) => "undecided",
        None => "",
    }
}

/// Days before 14 September 1752 are Julian and never converted: such dates give years only.
const GREGORIAN: i32 = 17_520_914;

/// The years that fit, in the Extended Date/Time Format of ISO 8601-2.
fn edtf(g: &Gist) -> String {
    let doubt = if g.doubtful { "?" } else { "" };
    let day = |d: i32| format!("{:04}-{:02}-{:02}", d / 10_000, d / 100 % 100, d % 100);
    match g.spans.as_slice() {
        [] => String::new(),
        [s] if s.begins >= GREGORIAN && s.ends >= s.begins => {
            format!("{}{doubt}/{}{doubt}", day(s.begins), day(s.ends))
        }
        // A letter that did not begin with the year ran into the next.
        [s] => {
            let last = if s.calendar { s.to } else { s.to + 1 };
            if last == s.from {
                format!("{}{doubt}", s.from)
            } else {
                format!("{}{doubt}/{last}{doubt}", s.from)
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
            let mut out = String::from("[");
            for (i, (a, b)) in years.iter().enumerate() {
                let comma = if i > 0 { "," } else { "" };
                let _ = match b - a {
                    0 => write!(out, "{comma}{a}"),
                    1 => write!(out, "{comma}{a},{b}"),
                    _ => write!(out, "{comma}{a}..{b}"),
                };
            }
            out.push(']');
            out
        }
    }
}

/// The user's own words for ours, by what stands in a cell.
#[derive(Clone, Debug, Default)]
pub struct Terms(HashMap<String, String>);

impl Terms {
    /// Terms from pairs of our value and the user's.
    pub fn new(pairs: impl IntoIterator<Item = (String, String)>) -> Terms {
        Terms(pairs.into_iter().collect())
    }

    /// The cell in the user's words; each item of a list by itself.
    pub fn apply(&self, cell: String) -> String {
        if self.0.is_empty() {
            return cell;
        }
        if let Some(t) = self.0.get(&cell) {
            return t.clone();
        }
        if !cell.contains("; ") {
            return cell;
        }
        let item = |i: &str| self.0.get(i).cloned().unwrap_or_else(|| i.to_string());
        cell.split("; ").map(item).collect::<Vec<_>>().join("; ")
    }
}
