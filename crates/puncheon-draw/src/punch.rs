//! One punch: a letter in its lettering within its outline, and what must be said of it.

use std::fmt::Write as _;

use puncheon::Tables;
use puncheon::phrases::style;
use puncheon::reading::LetterStruck;
use puncheon::schema::entry::Case;
use puncheon::schema::image::{LetteringView, Meta};

use crate::glyphs::{self, Face, Glyph, face};
use crate::outlines::{GROUND, Line, Shape, not_known, shape};
use crate::svg::{INK, Num, Safe, Type, document};

/// How much of the room's height capitals take; small letters take all of it, with what rises and
/// hangs. So a small letter stays smaller than its capital.
const CAPITALS: f64 = 0.8;

/// How far a letter too wide for its room is narrowed before it is made smaller.
const NARROWEST: f64 = 0.8;

/// What of a letter the tables are not sure of.
#[derive(Clone, Copy, Default)]
pub(crate) struct Doubts {
    pub letter: bool,
    pub lettering: bool,
    pub case: bool,
}

/// A punch as drawn, on a ground of [`GROUND`].
pub(crate) struct Drawn {
    /// The elements.
    pub body: String,
    /// The letter in words: "f, small roman".
    pub words: String,
    /// What the drawing owes the reader.
    pub notes: Vec<String>,
}

impl Drawn {
    /// Words and notes together.
    pub fn told(&self) -> String {
        let mut out = self.words.clone();
        for n in &self.notes {
            out.push_str("; ");
            out.push_str(n);
        }
        out
    }

    /// The elements with a title, put at a place in a larger drawing.
    pub fn at(&self, out: &mut String, x: f64, y: f64, scale: f64) {
        let _ = writeln!(
            out,
            "<g transform=\"translate({} {}) scale({})\"><title>{}</title>{}</g>",
            Num(x),
            Num(y),
            Num(scale),
            Safe(&self.told()),
            self.body
        );
    }
}

/// One letter in its outline as a figure with its words: an SVG document that can also stand in a
/// page. `doubtful` marks a letter that the tables are not sure of.
pub fn letter(tables: &Tables, letter: &LetterStruck, doubtful: bool) -> String {
    const WIDTH: f64 = 150.0;
    let drawn = draw(tables, letter, Doubts::of(doubtful));
    let mut body = String::new();
    drawn.at(&mut body, (WIDTH - GROUND.0) / 2.0, 2.0, 1.0);
    let (plain, small) = (Type::of(11.0).centred(), Type::of(10.0).centred().pale());
    let mut y = plain.lines(&mut body, WIDTH / 2.0, GROUND.1 + 16.0, WIDTH - 8.0, &drawn.words);
    for n in &drawn.notes {
        y = small.lines(&mut body, WIDTH / 2.0, y, WIDTH - 8.0, n);
    }
    document(WIDTH, y - 4.0, &drawn.told(), &body)
}

/// What a drawing of a letter says besides the letter: that it is doubtful, or that it had to be drawn
/// otherwise than it was struck.
pub fn notes(tables: &Tables, letter: &LetterStruck, doubtful: bool) -> Vec<String> {
    draw(tables, letter, Doubts::of(doubtful)).notes
}

impl Doubts {
    /// Doubt of the letter itself.
    pub fn of(letter: bool) -> Doubts {
        Doubts { letter, ..Doubts::default() }
    }

    fn noted(self) -> impl Iterator<Item = &'static str> {
        [
            (self.letter, "doubtful"),
            (self.lettering && !self.letter, "lettering doubtful"),
            (self.case && !self.letter, "case doubtful"),
        ]
        .into_iter()
        .filter_map(|(doubted, note)| doubted.then_some(note))
    }
}

pub(crate) fn draw(tables: &Tables, letter: &LetterStruck, doubts: Doubts) -> Drawn {
    let own = lettering(tables, letter.lettering.as_deref());
    let mut notes = Vec::new();
    let shape = shape_of(tables, letter.outline.as_deref(), &mut notes);
    let mut body = String::new();
    let set = match letter.struck.as_deref() {
        None => None,
        Some(struck) => set(tables, struck, letter, own, &mut notes),
    };
    let dashed = letter.struck.is_none() || shape.id == not_known().id;
    match (shape.line, &set) {
        (Line::Path(path, not_told), _) => outline(&mut body, path, not_told, dashed),
        (Line::Follows, Some(set)) => follow(&mut body, &set.placed(shape)),
        (Line::Follows, None) => {
            if let Line::Path(path, _) = not_known().line {
                outline(&mut body, path, None, true);
            }
        }
    }
    for p in set.iter().flat_map(|s| s.placed(shape)) {
        p.draw(&mut body);
    }
    if letter.struck.is_some() {
        let before = notes.len();
        notes.extend(doubts.noted().map(str::to_string));
        if notes.len() > before {
            let _ = write!(
                body,
                "<path fill=\"none\" stroke=\"{INK}\" stroke-width=\"3\" \
                 stroke-linecap=\"round\" stroke-dasharray=\"0 7\" d=\"M16 120H84\"/>"
            );
        }
    }
    Drawn { body, words: words(letter, own), notes }
}

fn lettering<'t>(tables: &'t Tables, id: Option<&str>) -> Option<LetteringView<'t>> {
    let image = tables.image();
    (0..image.meta(Meta::Letterings)).map(|i| image.lettering(i)).find(|l| Some(l.id()) == id)
}

/// The letter in words, as the program's screens say it.
fn words(letter: &LetterStruck, own: Option<LetteringView>) -> String {
    let Some(struck) = &letter.struck else {
        return "letter not known".into();
    };
    let plain = struck.trim_matches(['{', '}']);
    match style(letter.case, own.map(LetteringView::name)) {
        style if style.is_empty() => plain.to_string(),
        style => format!("{plain}, {style}"),
    }
}

fn shape_of(tables: &Tables, id: Option<&str>, notes: &mut Vec<String>) -> &'static Shape {
    let Some(id) = id else {
        return not_known();
    };
    shape(id).unwrap_or_else(|| {
        let image = tables.image();
        let name = (0..image.meta(Meta::Outlines))
            .find(|i| image.outline_id(*i) == id)
            .map_or(id, |i| image.outline_name(i));
        notes.push(format!("outline not drawn: {name}"));
        not_known()
    })
}

/// Letters of one face, set beside each other.
struct Set {
    face: &'static Face,
    glyphs: Vec<&'static Glyph>,
    /// They are measured as small letters.
    small: bool,
}

/// Finds the letterforms, and notes where they are not those of the letter's own lettering.
fn set(
    tables: &Tables,
    struck: &str,
    letter: &LetterStruck,
    own: Option<LetteringView>,
    notes: &mut Vec<String>,
) -> Option<Set> {
    let of = |face: &'static Face| -> Option<Vec<&'static Glyph>> {
        struck.chars().map(|c| face.glyph(c)).collect()
    };
    let best = face(letter.lettering.as_deref());
    let found = [best, glyphs::any()].into_iter().find_map(|f| Some((f, of(f)?)));
    let Some((face, glyphs)) = found else {
        notes.push(format!("{} is not drawn", struck.trim_matches(['{', '}']).replace('-', " ")));
        return None;
    };
    if Some(face.id) != letter.lettering.as_deref() {
        let drawn = lettering(tables, Some(face.id)).map_or(face.id, LetteringView::name);
        notes.push(match (own, letter.lettering.as_deref()) {
            (Some(own), _) => format!("{}, drawn as {drawn}", own.name()),
            (None, Some(id)) => format!("{id}, drawn as {drawn}"),
            (None, None) => format!("lettering not known, drawn as {drawn}"),
        });
    }
    if letter.case == Case::Either && !own.is_some_and(LetteringView::caseless) {
        notes.push("capital or small".to_string());
    }
    Some(Set { face, glyphs, small: struck.chars().any(char::is_lowercase) })
}

/// A letter at its place on the ground.
struct Placed {
    glyph: &'static Glyph,
    weight: f64,
    x: f64,
    baseline: f64,
    /// Across and down.
    scale: (f64, f64),
}

impl Placed {
    fn transform(&self) -> String {
        // Four decimals: a thousand units of a letter must not drift.
        let fine = |s: f64| (s * 10_000.0).floor() / 10_000.0;
        format!(
            "translate({} {}) scale({} {})",
            Num(self.x),
            Num(self.baseline),
            fine(self.scale.0),
            fine(self.scale.1)
        )
    }

    fn draw(&self, out: &mut String) {
        let _ =
            write!(out, "<path class=\"letter\" fill=\"{INK}\" transform=\"{}\"", self.transform());
        if self.weight > 0.0 {
            let _ = write!(
                out,
                " stroke=\"{INK}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
                Num(self.weight)
            );
        }
        let _ = write!(out, " d=\"{}\"/>", self.glyph.path);
    }
}

impl Set {
    /// One size and one baseline for all letters of a case in a shape; a letter too wide is made
    /// smaller, and one that hangs out is moved in.
    fn placed(&self, shape: &Shape) -> Vec<Placed> {
        let [left, top, right, bottom] = shape.room;
        let (width, height) = (right - left, bottom - top);
        let ((band_top, band_bottom), share) =
            if self.small { (self.face.lower, 1.0) } else { (self.face.upper, CAPITALS) };
        let mut bounds = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
        let mut pen = 0.0;
        for g in &self.glyphs {
            let [l, t, r, b] = g.bounds;
            bounds = [
                bounds[0].min(pen + l),
                bounds[1].min(t),
                bounds[2].max(pen + r),
                bounds[3].max(b),
            ];
            pen += g.advance;
        }
        let half = self.face.weight / 2.0;
        bounds = [bounds[0] - half, bounds[1] - half, bounds[2] + half, bounds[3] + half];
        let down = (height * share / (band_bottom - band_top))
            .min(width / NARROWEST / (bounds[2] - bounds[0]))
            .min(height / (bounds[3] - bounds[1]));
        let across = down.min(width / (bounds[2] - bounds[0]));
        let middle = |a: f64, b: f64| (a + b) / 2.0;
        let mut x = middle(left, right) - middle(bounds[0], bounds[2]) * across;
        let baseline = (middle(top, bottom) - middle(band_top, band_bottom) * down)
            .max(top - bounds[1] * down)
            .min(bottom - bounds[3] * down);
        let mut out = Vec::new();
        for glyph in &self.glyphs {
            out.push(Placed {
                glyph,
                weight: self.face.weight,
                x,
                baseline,
                scale: (across, down),
            });
            x += glyph.advance * across;
        }
        out
    }
}

/// Draws a shape: wholly dashed where it is not known, in part where its word tells only a part.
fn outline(out: &mut String, path: &str, not_told: Option<&str>, dashed: bool) {
    let mut line = |path: &str, dashed: bool| {
        let dash = if dashed { " stroke-dasharray=\"7 5\"" } else { "" };
        let _ = write!(
            out,
            "<path class=\"outline\" fill=\"#fff\" stroke=\"{INK}\" stroke-width=\"2.4\" \
             stroke-linejoin=\"round\"{dash} d=\"{path}\"/>"
        );
    };
    line(path, dashed);
    if let Some(path) = not_told {
        line(path, true);
    }
}

/// A line round the letters: their edges are drawn thick in ink, then less thick in white.
fn follow(out: &mut String, placed: &[Placed]) {
    for (ink, width) in [(INK, 18.0), ("#fff", 13.2)] {
        for p in placed {
            let _ = write!(
                out,
                "<path fill=\"{ink}\" stroke=\"{ink}\" stroke-width=\"{}\" \
                 stroke-linejoin=\"round\" transform=\"{}\" d=\"{}\"/>",
                Num(width / p.scale.1),
                p.transform(),
                p.glyph.edge()
            );
        }
    }
}
