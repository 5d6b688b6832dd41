//! Every outline of the tables with its word.

use puncheon::Tables;
use puncheon::outlines::Outlines;
use puncheon::reading::LetterStruck;
use puncheon::schema::entry::Case;

use crate::glyphs;
use crate::outlines::GROUND;
use crate::punch::{self, Doubts};
use crate::svg::{Type, document};

/// Every outline with its word and what it means, side by side, each round the same letter.
pub fn outlines(tables: &Tables, outlines: &Outlines) -> String {
    const CELL: f64 = 148.0;
    const ACROSS: usize = 5;
    const MARGIN: f64 = 20.0;
    const TITLE: &str = "The outlines of punches";
    let width = CELL * ACROSS as f64 + 2.0 * MARGIN;
    let mut body = String::new();
    Type::of(20.0).bold().line(&mut body, MARGIN, 34.0, TITLE);
    let about = Type::of(12.0).pale();
    let mut y = about.lines(
        &mut body,
        MARGIN,
        56.0,
        width - 2.0 * MARGIN,
        "Drawn from their words, round a letter that shows its place. Punches vary in proportion. \
         A dashed edge is what a word does not tell.",
    );
    let name = Type::of(13.0).bold().centred();
    let small = Type::of(11.0).centred().pale();
    let room = CELL - 12.0;
    for row in outlines.outlines.chunks(ACROSS) {
        let mut below = y;
        for (i, outline) in row.iter().enumerate() {
            let letter = LetterStruck {
                struck: Some("A".into()),
                lettering: Some(glyphs::any().id.into()),
                case: Case::Upper,
                outline: Some(outline.id.clone()),
            };
            let drawn = punch::draw(tables, &letter, Doubts::default());
            let middle = MARGIN + CELL * (i as f64 + 0.5);
            drawn.at(&mut body, middle - GROUND.0 / 2.0, y, 1.0);
            let mut at = y + GROUND.1 + 14.0;
            at = name.lines(&mut body, middle, at, room, &outline.name);
            for line in std::iter::once(&outline.means).chain(&drawn.notes) {
                at = small.lines(&mut body, middle, at, room, line);
            }
            below = below.max(at);
        }
        y = below + 10.0;
    }
    for line in &outlines.cautions {
        y = about.lines(&mut body, MARGIN, y + 12.0, width - 2.0 * MARGIN, line);
    }
    document(width, y + 10.0, TITLE, &body)
}
