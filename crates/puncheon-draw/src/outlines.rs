//! The shapes of punches, read once from outlines.txt.

use std::sync::LazyLock;

/// The ground a punch is drawn on: 100 wide, with room for a line under the shape.
pub const GROUND: (f64, f64) = (100.0, 124.0);

/// The shape of a punch.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    /// The outline's id in the tables.
    pub id: &'static str,
    /// The room for the letter: left, top, right, bottom.
    pub room: [f64; 4],
    /// How it is drawn.
    pub line: Line,
}

/// How a shape is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Along a path of its own; the second is the part of the edge that the word does not tell.
    Path(&'static str, Option<&'static str>),
    /// Round the letter.
    Follows,
}

static SHAPES: LazyLock<Vec<Shape>> = LazyLock::new(|| {
    let lines = include_str!("../outlines.txt").lines();
    lines
        .filter(|l| !l.starts_with('#'))
        .map(|l| {
            read(l).unwrap_or_else(|| panic!("outlines.txt: {l}: not an id, four numbers, a path"))
        })
        .collect()
});

/// Every shape.
pub fn shapes() -> &'static [Shape] {
    &SHAPES
}

/// The shape of an outline by its id.
pub fn shape(id: &str) -> Option<&'static Shape> {
    SHAPES.iter().find(|s| s.id == id)
}

/// The shape drawn where the outline is not known.
pub fn not_known() -> &'static Shape {
    shape("-").expect("outlines.txt has a shape for what is not known")
}

fn read(line: &'static str) -> Option<Shape> {
    let mut fields = line.splitn(6, ' ');
    let id = fields.next()?;
    let mut number = || fields.next()?.parse::<f64>().ok();
    let room = [number()?, number()?, number()?, number()?];
    let line = match fields.next()? {
        "follow" => Line::Follows,
        path => match path.split_once('|') {
            Some((told, not_told)) => Line::Path(told, Some(not_told)),
            None => Line::Path(path, None),
        },
    };
    Some(Shape { id, room, line })
}
