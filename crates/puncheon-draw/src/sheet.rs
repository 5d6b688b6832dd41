//! Every outline of the tables with its word.

use puncheon::Tables;
use puncheon::reading::LetterStruck;
use puncheon::schema::image::Meta;

use crate::outlines::GROUND;
use crate::punch;
use crate::svg::{Type, document};

/// Every outline with its word, side by side, each round the same letter.
pub fn outlines(tables: &Tables) -> String {
    const CELL: (f64, f64) = (140.0, 190.0);
    const ACROSS: usize = 5;
    const HEAD: f64 = 74.0;
    let image = tables.image();
    let count = image.meta(Meta::Outlines);
    let title = "The outlines of punches";
    let width = CELL.0 * ACROSS as f64 + 20.0;
    let mut body = String::new();
    Type::of(20.0).bold().line(&mut body, 20.0, 32.0, title);
    Type::of(12.0).pale().line(
        &mut body,
        20.0,
        54.0,
        "Drawn from their words, with a letter to show its place; a punch's own proportions vary.",
    );
    for i in 0..count {
        let letter = LetterStruck {
            struck: Some("A".into()),
            lettering: Some(crate::glyphs::any().id.into()),
            case: Some("upper"),
            outline: Some(image.outline_id(i).to_string()),
        };
        let drawn = punch::draw(tables, &letter, punch::Doubts::default());
        let x = 10.0 + CELL.0 * (i % ACROSS) as f64;
        let y = HEAD + CELL.1 * (i / ACROSS) as f64;
        drawn.at(&mut body, x + (CELL.0 - GROUND.0) / 2.0, y, 1.0);
        let middle = x + CELL.0 / 2.0;
        let name = Type::of(12.0).centred();
        let below = name.lines(
            &mut body,
            middle,
            y + GROUND.1 + 14.0,
            CELL.0 - 10.0,
            image.outline_name(i),
        );
        for n in &drawn.notes {
            Type::of(10.0)
                .centred()
                .pale()
                .lines(&mut body, middle, below, CELL.0 - 10.0, n);
        }
    }
    let rows = count.div_ceil(ACROSS) as f64;
    document(width, HEAD + CELL.1 * rows, title, &body)
}
