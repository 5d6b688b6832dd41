//! One description from bytes to answer, with the values in between, for those who carry the
//! code on. The document *how a reading is made* is written from it.

use crate::engine::fit::evidence::Feature;
use crate::engine::fit::narrow::{Narrow, Options};
use crate::lexis::phrase::{Is, Pieces};
use crate::lexis::token::{Text, TokenKind};
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
    let text = Text::new(image, description);
    let tokens = text
        .tokens
        .iter()
        .map(|t| {
            let kind = match t.kind {
                TokenKind::Word => "word",
                TokenKind::Number => "number",
                TokenKind::Punct(_) => "punctuation",
            };
            format!("{:>3}..{:<3} {:<12} {}", t.start, t.end, kind, text.word(t))
        })
        .collect();

    let pieces = Pieces::cut(image, text);
    let cut = pieces
        .pieces
        .iter()
        .map(|p| {
            let what = match p.what {
                Is::Sense(s) => format!("{s:?}"),
                other => format!("{other:?}"),
            };
            format!("clause {}  {:<16} {what}", p.clause, pieces.typed(p))
        })
        .collect();

    let seen = crate::engine::words::read(image, description);
    let sightings = seen
        .sightings
        .iter()
        .map(|s| {
            format!("{:>3}..{:<3} {:?}: {}", s.start, s.end, s.kind(image), reads_as(image, s))
        })
        .collect();

    let narrow = Narrow::new(image, &seen.sightings, &Options::default());
    let width = image.width();
    let count = |f: &dyn Fn(usize) -> u64| -> u32 { (0..width).map(|i| f(i).count_ones()).sum() };
    let all = image.all_bits();
    let evidence = narrow
        .evidence
        .iter()
        .map(|e| {
            let feature = if e.feature == Feature::Mark { "" } else { feature_word(e.feature) };
            format!(
                "sighting {} {:<9} {:>6} rows allowed, {:>5} more easily misread",
                e.sighting,
                feature,
                count(&|i| e.allowed(i) & all.word(i)),
                count(&|i| e.misread(i) & all.word(i)),
            )
        })
        .collect();

    let fits = narrow.fits();
    let left: u32 = fits.iter().map(|w| w.count_ones()).sum();
    let rows = vec![
        format!("{} rows, {} words of 64", count(&|i| all.word(i)), width),
        format!("{left} rows clash with nothing"),
    ];

    let reading = crate::read(tables, description, &Options::default());
    let line = |f: &crate::json::reading::Fit| {
        format!(
            "{} {}, {}; strain {}, {} confidence",
            f.office_name, f.shown, f.standard_name, f.strain, f.confidence
        )
    };
    let nears = reading
        .nears
        .iter()
        .take(3)
        .map(|n| {
            let c: Vec<String> = n
                .clashes
                .iter()
                .map(|c| format!("saw {}, would be {}", c.saw, c.would_be))
                .collect();
            format!("{} {}: {}", n.office_name, n.shown, c.join("; "))
        })
        .collect();
    let next = reading
        .look_next
        .iter()
        .map(|l| {
            let answers: Vec<String> =
                l.answers.iter().map(|a| format!("{} leaves {}", a.found, a.leaves)).collect();
            format!("{}: {}", l.feature, answers.join("; "))
        })
        .collect();
    vec![
        Stage { name: "tokens", lines: tokens },
        Stage { name: "pieces", lines: cut },
        Stage { name: "sightings", lines: sightings },
        Stage { name: "evidence", lines: evidence },
        Stage { name: "rows", lines: rows },
        Stage { name: "fits", lines: reading.fits.iter().take(6).map(line).collect() },
        Stage { name: "nears", lines: nears },
        Stage { name: "next", lines: next },
    ]
}
