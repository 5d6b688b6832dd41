//! The letters as plain lines: what `tables export` prints and the golden snapshot keeps.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::entry::{Basis, Case, Confidence, Metal, Origin, Slot, Use};
use crate::packed::{Image, Meta};
use crate::sponsor::Arrangement;

/// The head line.
pub const HEAD: &str = "office\tyear\tbegins\tends\tletter\tlettering\tcase\toutline_silver\toutline_gold\ttown_mark\tbasis\tconfidence\tsources";

/// The word printed for a basis.
pub fn basis(b: Basis) -> &'static str {
    match b {
        Basis::Published => "published",
        Basis::Memory => "memory",
        Basis::Both => "both",
    }
}

/// The word printed for a confidence.
pub fn confidence(c: Confidence) -> &'static str {
    match c {
        Confidence::High => "high",
        Confidence::Medium => "medium",
        Confidence::Low => "low",
    }
}

/// The word printed for what is done.
pub fn used(u: Use) -> &'static str {
    match u {
        Use::Read => "read",
        Use::Check => "check",
        Use::Expect => "expect",
        Use::Worth => "worth",
        Use::Sell => "sell",
        Use::Show => "show",
        Use::Test => "test",
        Use::Clean => "clean",
        Use::Mend => "mend",
    }
}

/// The word printed for a metal.
pub fn metal(m: Metal) -> &'static str {
    match m {
        Metal::Silver => "silver",
        Metal::Gold => "gold",
        Metal::Platinum => "platinum",
        Metal::Palladium => "palladium",
    }
}

/// The word printed for the case of a letter; None where it varies or is not known.
pub fn case(c: Case) -> Option<&'static str> {
    match c {
        Case::Upper => Some("upper"),
        Case::Lower => Some("lower"),
        Case::Either => None,
    }
}

/// The word printed for where an article was made.
pub fn origin(o: Origin) -> &'static str {
    match o {
        Origin::Home => "home",
        Origin::Foreign => "foreign",
        Origin::Either => "either",
    }
}

/// Values are printed by their words, in text and in JSON.
macro_rules! printed {
    ($($kind:ty: $word:expr),*) => {$(
        impl fmt::Display for $kind {
            fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.pad($word(*self))
            }
        }
        impl Serialize for $kind {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.serialize_str($word(*self))
            }
        }
    )*};
}

printed!(Arrangement: Arrangement::word, Basis: basis, Confidence: confidence, Origin: origin);

/// A case that varies or is not known is null in JSON.
impl Serialize for Case {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        case(*self).serialize(s)
    }
}

/// A day of the image as ISO text, empty where not known.
pub fn day(number: i32) -> String {
    if number == 0 {
        return String::new();
    }
    format!("{:04}-{:02}-{:02}", number / 10_000, number / 100 % 100, number % 100)
}

/// One line for each office, assay year and letter, below [`HEAD`]. Only the chosen letters stand
/// here, not the rivals of a disputed year.
pub fn lines(image: &Image) -> Vec<String> {
    let mut towns: Vec<Vec<&str>> = vec![Vec::new(); image.meta(Meta::Letters)];
    for r in 0..image.meta(Meta::Rows) {
        let row = image.row(r);
        let list = &mut towns[row.letter_index()];
        for m in row.marks().filter(|m| m.slot() == Slot::Town) {
            let id = image.device(m.device()).id();
            if !list.contains(&id) {
                list.push(id);
            }
        }
    }
    let mut out: Vec<(String, String, String, String)> = Vec::new();
    for (i, town) in towns.iter().enumerate() {
        let l = image.letter(i);
        if l.rival() {
            continue;
        }
        let office = image.office(l.office()).id();
        let outline = |m| l.outline(m).map_or("", |o| image.outline_id(o));
        for year in l.year()..=l.to() {
            // The days of a carried letter are known only at its two ends.
            let begins = if year == l.year() { day(l.begins()) } else { String::new() };
            let ends = if year == l.to() { day(l.ends()) } else { String::new() };
            let mut town = town.clone();
            town.sort_unstable();
            let line = [
                office.to_string(),
                year.to_string(),
                begins,
                ends,
                l.struck().to_string(),
                l.lettering().map_or("", |n| image.lettering(n).id()).to_string(),
                match l.case() {
                    _ if l.struck().is_empty() => "",
                    Case::Upper => "upper",
                    Case::Lower => "lower",
                    Case::Either => "",
                }
                .to_string(),
                outline(Metal::Silver).to_string(),
                outline(Metal::Gold).to_string(),
                town.join("|"),
                basis(l.basis()).to_string(),
                confidence(l.confidence()).to_string(),
                l.cites().collect::<Vec<_>>().join("|"),
            ]
            .join("\t");
            out.push((office.to_string(), year.to_string(), day(l.begins()), line));
        }
    }
    out.sort();
    out.into_iter().map(|(.., line)| line).collect()
}
