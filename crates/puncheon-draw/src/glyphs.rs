//! The letterforms: one file of glyphs/ for each lettering, read once.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The letterforms of one lettering, 1000 units to the em, y downwards from the baseline.
#[derive(Clone, Debug)]
pub struct Face {
    /// The lettering's id in the tables.
    pub id: &'static str,
    /// Top and bottom of the capitals and figures, tails apart.
    pub upper: (f64, f64),
    /// Top and bottom of the small letters, with what rises and hangs.
    pub lower: (f64, f64),
    /// How much the strokes are thickened: struck letters are stouter than printed ones.
    pub weight: f64,
    /// Letterings without letterforms of their own that these serve for; `*` is any.
    stands_for: Vec<&'static str>,
    glyphs: BTreeMap<char, Glyph>,
}

/// One letter.
#[derive(Clone, Copy, Debug)]
pub struct Glyph {
    /// How far the next letter stands.
    pub advance: f64,
    /// Left, top, right, bottom.
    pub bounds: [f64; 4],
    /// The outline as SVG path data: shapes first, each from an `M`, then the holes, from an `m`.
    pub path: &'static str,
}

impl Glyph {
    /// The outline without its holes.
    pub(crate) fn edge(&self) -> &'static str {
        self.path.split('m').next().unwrap_or(self.path)
    }
}

static FACES: LazyLock<Vec<Face>> = LazyLock::new(|| {
    let texts: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/glyphs.rs"));
    texts.iter().map(|(id, text)| read(id, text)).collect()
});

/// Every lettering that has letterforms.
pub fn faces() -> &'static [Face] {
    &FACES
}

/// The letterforms of a lettering: its own, or those that serve for it.
pub fn face(lettering: Option<&str>) -> &'static Face {
    let own = |f: &&Face| Some(f.id) == lettering;
    let named = |f: &&Face| f.stands_for.iter().any(|s| Some(*s) == lettering);
    FACES.iter().find(own).or_else(|| FACES.iter().find(named)).unwrap_or_else(|| any())
}

/// The letterforms that serve where there are no better ones.
pub fn any() -> &'static Face {
    let any = FACES.iter().find(|f| f.stands_for.contains(&"*"));
    any.expect("a file of glyphs/ says that it stands for any")
}

impl Face {
    /// The form of a letter.
    pub fn glyph(&self, letter: char) -> Option<&Glyph> {
        self.glyphs.get(&letter)
    }

    /// Every letter with its form.
    pub fn letters(&self) -> impl Iterator<Item = (char, &Glyph)> {
        self.glyphs.iter().map(|(c, g)| (*c, g))
    }
}

/// Reads a file. A test reads all of them, so a bad one never leaves the house.
fn read(id: &'static str, text: &'static str) -> Face {
    let mut face = Face {
        id,
        upper: (0.0, 0.0),
        lower: (0.0, 0.0),
        weight: 0.0,
        stands_for: Vec::new(),
        glyphs: BTreeMap::new(),
    };
    for line in text.lines().filter(|l| !l.starts_with('#')) {
        take(&mut face, line).unwrap_or_else(|| {
            panic!("glyphs/{id}.glyphs: {line}: not a letter, five numbers and a path")
        });
    }
    face
}

fn take(face: &mut Face, line: &'static str) -> Option<()> {
    let (head, rest) = line.split_once(' ')?;
    let band = || {
        let (top, bottom) = rest.split_once(' ')?;
        Some((top.parse().ok()?, bottom.parse().ok()?))
    };
    match head {
        "upper" => face.upper = band()?,
        "lower" => face.lower = band()?,
        "weight" => face.weight = rest.parse().ok()?,
        "stands-for" => face.stands_for.extend(rest.split(' ')),
        _ => {
            let (letter, glyph) = glyph(head, rest)?;
            face.glyphs.insert(letter, glyph);
        }
    }
    Some(())
}

fn glyph(letter: &str, rest: &'static str) -> Option<(char, Glyph)> {
    let mut fields = rest.splitn(6, ' ');
    let mut number = || fields.next()?.parse::<f64>().ok();
    let glyph = Glyph {
        advance: number()?,
        bounds: [number()?, number()?, number()?, number()?],
        path: fields.next()?,
    };
    let mut letters = letter.chars();
    Some((letters.next().filter(|_| letters.next().is_none())?, glyph))
}
