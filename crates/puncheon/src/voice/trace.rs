//! One description from bytes to answer, with the values in between, for those who carry the
//! code on. The document *how a reading is made* is written from it.

use puncheon_schema::image::Image;

use crate::engine::fit::evidence::{Evidence, Feature};
use crate::engine::fit::narrow::{Narrow, Options};
use crate::engine::words;
use crate::json::questions::{Answer, LookNext};
use crate::json::reading::{Fit, Misreading, Reading};
use crate::lexis::phrase::{Is, Piece, Pieces};
use crate::lexis::token::{Text, Token, TokenKind};
use crate::tables::Tables;
use crate::voice::proof::feature_word;
use crate::voice::sighting::reads_as;

/// A stage of a reading and its values, a line each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// tokens, pieces, sightings, evidence, rows, fits, nears or next.
    pub name: &'static str,
    /// The values.
    pub lines: Vec<String>,
}

/// Every stage of one description.
pub fn trace(tables: &Tables, description: &str) -> Vec<Stage> {
    let image = tables.image();
    let seen = words::read(image, description);
    let narrow = Narrow::new(image, &seen.sightings, &Options::default());
    let reading = crate::read(tables, description, &Options::default());
    let sightings = seen.sightings.iter().map(|s| {
        format!("{:>3}..{:<3} {:?}: {}", s.start, s.end, s.kind(image), reads_as(image, s))
    });
    let mut out = words_of(image, description);
    out.push(Stage { name: "sightings", lines: sightings.collect() });
    out.extend(rows_of(&narrow));
    out.extend(answers_of(&reading));
    out
}

/// What the text is cut into.
fn words_of(image: &Image, description: &str) -> Vec<Stage> {
    let text = Text::new(image, description);
    let token = |t: &Token| {
        let kind = match t.kind {
            TokenKind::Word => "word",
            TokenKind::Number => "number",
            TokenKind::Punct(_) => "punctuation",
        };
        format!("{:>3}..{:<3} {:<12} {}", t.start, t.end, kind, text.word(t))
    };
    let tokens = text.tokens.iter().map(token).collect();
    let pieces = Pieces::cut(image, text);
    let piece = |p: &Piece| {
        let what = match p.what {
            Is::Sense(s) => format!("{s:?}"),
            other => format!("{other:?}"),
        };
        format!("clause {}  {:<16} {what}", p.clause, pieces.typed(p))
    };
    let cut = pieces.pieces.iter().map(piece).collect();
    vec![Stage { name: "tokens", lines: tokens }, Stage { name: "pieces", lines: cut }]
}

/// What the marks ask of the rows, and how many rows that leaves.
fn rows_of(narrow: &Narrow) -> [Stage; 2] {
    let image = narrow.image;
    let width = image.width();
    let count = |f: &dyn Fn(usize) -> u64| -> u32 { (0..width).map(|i| f(i).count_ones()).sum() };
    let all = image.all_bits();
    let line = |e: &Evidence| {
        let feature = if e.feature == Feature::Mark { "" } else { feature_word(e.feature) };
        format!(
            "sighting {} {:<9} {:>6} rows allowed, {:>5} more easily misread",
            e.sighting,
            feature,
            count(&|i| e.allowed(i) & all.word(i)),
            count(&|i| e.misread(i) & all.word(i)),
        )
    };
    let left: u32 = narrow.fits().iter().map(|w| w.count_ones()).sum();
    let rows = vec![
        format!("{} rows, {} words of 64", count(&|i| all.word(i)), width),
        format!("{left} rows clash with nothing"),
    ];
    [
        Stage { name: "evidence", lines: narrow.evidence.iter().map(line).collect() },
        Stage { name: "rows", lines: rows },
    ]
}

/// What is answered.
fn answers_of(reading: &Reading) -> [Stage; 3] {
    let fit = |f: &Fit| {
        format!(
            "{} {}, {}; strain {}, {} confidence",
            f.office_name, f.shown, f.standard_name, f.strain, f.confidence
        )
    };
    let near = |n: &Fit| {
        let clash = |c: &Misreading| format!("saw {}, would be {}", c.saw, c.would_be);
        let clashes: Vec<String> = n.clashes.iter().map(clash).collect();
        format!("{} {}: {}", n.office_name, n.shown, clashes.join("; "))
    };
    let next = |l: &LookNext| {
        let answer = |a: &Answer| format!("{} leaves {}", a.found, a.leaves);
        let answers: Vec<String> = l.answers.iter().map(answer).collect();
        format!("{}: {}", l.feature, answers.join("; "))
    };
    [
        Stage { name: "fits", lines: reading.fits.iter().take(6).map(fit).collect() },
        Stage { name: "nears", lines: reading.nears.iter().take(3).map(near).collect() },
        Stage { name: "next", lines: reading.look_next.iter().map(next).collect() },
    ]
}
