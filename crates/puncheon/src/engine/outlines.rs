//! The outlines of the tables: each word with what it means, and how many date letters have it. The
//! shape of an answer is what `puncheon.outlines/1` prints.

use puncheon_schema::entry::Metal;
use puncheon_schema::image::Meta;
use serde::Serialize;

use crate::tables::Tables;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.outlines/1";

/// Every outline of the tables.
#[derive(Clone, Debug, Serialize)]
pub struct Outlines {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The outlines, in the order of the tables.
    pub outlines: Vec<Outline>,
    /// Date letters that have no outline in the tables on either metal.
    pub not_known: usize,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// The shape round a punch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Outline {
    /// Its word.
    pub id: String,
    /// Its name, for a reader.
    pub name: String,
    /// What the word means, in one line.
    pub means: String,
    /// Words of the broader outlines it is a form of.
    pub forms_of: Vec<String>,
    /// Date letters that have it, on silver, on gold or on both. A year with two letters counts twice.
    pub letters: usize,
    /// Those that have it on silver.
    pub on_silver: usize,
    /// Those that have it on gold.
    pub on_gold: usize,
}

/// The outlines of the tables.
pub fn outlines(tables: &Tables) -> Outlines {
    let image = tables.image();
    let letters = || {
        (0..image.meta(Meta::Letters))
            .map(|i| image.letter(i))
            .filter(|l| !l.rival() && l.value().is_some())
    };
    // A letter carried on is struck in each of its years.
    let count = |has: &dyn Fn(Option<usize>, Option<usize>) -> bool| -> usize {
        letters()
            .filter(|l| has(l.outline(Metal::Silver), l.outline(Metal::Gold)))
            .map(|l| (l.to() - l.year() + 1) as usize)
            .sum()
    };
    Outlines {
        schema: SCHEMA,
        outlines: (0..image.meta(Meta::Outlines))
            .map(|i| Outline {
                id: image.outline_id(i).to_string(),
                name: image.outline_name(i).to_string(),
                means: image.outline_means(i).to_string(),
                forms_of: image
                    .outline_broader(i)
                    .map(|b| image.outline_id(b).to_string())
                    .collect(),
                letters: count(&|s, g| s == Some(i) || g == Some(i)),
                on_silver: count(&|s, _| s == Some(i)),
                on_gold: count(&|_, g| g == Some(i)),
            })
            .collect(),
        not_known: count(&|s, g| s.is_none() && g.is_none()),
        cautions: crate::rests_on_overlay(tables).into_iter().collect(),
    }
}
