//! Outlines in characters, for a terminal.

use kurbo::{BezPath, Line, ParamCurve, PathSeg, Point};

use crate::glyphs;
use crate::outlines::{self, GROUND, Shape, shape};

/// What a sketch is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sketch {
    /// Dots, eight to a character: a terminal must know the Braille patterns of Unicode.
    Dots,
    /// Strokes of plain ASCII.
    Strokes,
}

/// Columns and lines of a sketch of dots, and of one of strokes.
const DOTS: (usize, usize) = (9, 5);
const STROKES: (usize, usize) = (13, 6);
/// How far from its curve a drawn line may be, on the ground of a shape.
const TOLERANCE: f64 = 0.2;
/// Points looked at along a shape's width.
const STEPS: f64 = 400.0;
/// The character of no dots.
pub const NO_DOTS: char = '\u{2800}';
/// A dash and its gap, in points.
const DASH: usize = 96;

/// The shape of an outline in characters, a line each, all equally long; None where it has no shape
/// here. What the word for it does not tell is drawn in dashes, or in points.
pub fn sketch(outline: &str, how: Sketch) -> Option<Vec<String>> {
    let shape = shape(outline)?;
    let (told, not_told) = paths(shape)?;
    let lines = match how {
        Sketch::Dots => dots(&told, &not_told),
        Sketch::Strokes => strokes(&told, &not_told),
    };
    let blank = |l: &String| l.chars().all(|c| c == ' ' || c == NO_DOTS);
    let from = lines.iter().position(|l| !blank(l))?;
    let to = lines.iter().rposition(|l| !blank(l))?;
    Some(lines[from..=to].to_vec())
}

/// The columns that a sketch takes.
pub fn sketch_width(how: Sketch) -> usize {
    match how {
        Sketch::Dots => DOTS.0,
        Sketch::Strokes => STROKES.0,
    }
}

/// The edge of a shape: what its word tells, and what it does not.
fn paths(shape: &Shape) -> Option<(BezPath, BezPath)> {
    let path = |text: &str| BezPath::from_svg(text).ok();
    match shape.line {
        outlines::Line::Path(told, not_told) => {
            Some((path(told)?, not_told.map_or(Some(BezPath::new()), path)?))
        }
        // The edge keeps to the letter, so the letter is what can be shown.
        outlines::Line::Follows => {
            let glyph = glyphs::any().glyph('A')?;
            let [left, top, right, bottom] = glyph.bounds;
            let [l, t, r, b] = shape.room;
            let (wide, high) = ((r - l) / (right - left), (b - t) / (bottom - top));
            let place = kurbo::Affine::translate((l, t))
                * kurbo::Affine::scale_non_uniform(wide, high)
                * kurbo::Affine::translate((-left, -top));
            Some((place * path(glyph.edge())?, BezPath::new()))
        }
    }
}

/// The straight pieces of a path.
fn lines(path: &BezPath) -> Vec<Line> {
    let mut flat = BezPath::new();
    kurbo::flatten(path, TOLERANCE, |e| flat.push(e));
    let pieces = flat.segments().filter_map(|s| match s {
        PathSeg::Line(l) => Some(l),
        _ => None,
    });
    pieces.collect()
}

/// Points close together along a path, each with the way it goes there.
fn points(path: &BezPath) -> Vec<(Point, kurbo::Vec2)> {
    let mut out = Vec::new();
    for l in lines(path) {
        let along = l.p1 - l.p0;
        let n = (along.hypot() * STEPS / GROUND.0).ceil().max(1.0);
        for i in 0..=n as usize {
            out.push((l.eval(i as f64 / n), along));
        }
    }
    out
}

/// Where a point of the ground falls on a grid.
fn cell(p: Point, across: usize, down: usize) -> (usize, usize) {
    let place = |at: f64, whole: f64, n: usize| {
        let at = (at / whole * n as f64).floor().max(0.0);
        (at as usize).min(n - 1)
    };
    (place(p.x, GROUND.0, across), place(p.y, GROUND.1, down))
}

fn dots(told: &BezPath, not_told: &BezPath) -> Vec<String> {
    let (across, down) = (DOTS.0 * 2, DOTS.1 * 4);
    let mut set = vec![vec![false; across]; down];
    let dashed = points(not_told).into_iter().enumerate();
    let dashed = dashed.filter(|(i, _)| i % DASH < DASH / 2).map(|(_, p)| p);
    for (p, _) in points(told).into_iter().chain(dashed) {
        let (x, y) = cell(p, across, down);
        set[y][x] = true;
    }
    // The order in which Unicode numbers the eight dots.
    const ORDER: [(usize, usize); 8] =
        [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3)];
    let braille = |x: usize, y: usize| {
        let on = |(_, (dx, dy)): &(usize, &(usize, usize))| set[y * 4 + dy][x * 2 + dx];
        let bits: u32 = ORDER.iter().enumerate().filter(on).map(|(i, _)| 1 << i).sum();
        char::from_u32(u32::from(NO_DOTS) + bits).unwrap_or(NO_DOTS)
    };
    let row = |y| (0..DOTS.0).map(|x| braille(x, y)).collect();
    (0..DOTS.1).map(row).collect()
}

fn strokes(told: &BezPath, not_told: &BezPath) -> Vec<String> {
    let (across, down) = STROKES;
    let mut way = vec![vec![kurbo::Vec2::ZERO; across]; down];
    for (p, along) in points(told) {
        let (x, y) = cell(p, across, down);
        // Which way a line is drawn does not matter.
        let along = if along.x < 0.0 || along.x == 0.0 && along.y < 0.0 { -along } else { along };
        way[y][x] += along.normalize();
    }
    let mut out: Vec<Vec<char>> =
        way.iter().map(|row| row.iter().map(|v| stroke(*v)).collect()).collect();
    for (p, _) in points(not_told) {
        let (x, y) = cell(p, across, down);
        out[y][x] = '.';
    }
    out.into_iter().map(|row| row.into_iter().collect()).collect()
}

/// The stroke that goes about this way.
fn stroke(along: kurbo::Vec2) -> char {
    // A character is about twice as high as it is wide.
    let (x, y) = (along.x.abs(), along.y.abs());
    match () {
        () if x + y == 0.0 => ' ',
        () if y < 0.4 * x => '-',
        () if x < 0.4 * y => '|',
        () if along.y > 0.0 => '\\',
        () => '/',
    }
}
