//! An invented stock book, made from the tables with a fixed seed: the same rows on every machine.

use std::io::{self, Write};

use puncheon::Tables;
use puncheon::schema::entry::Case;
use puncheon::schema::image::{Image, Meta, RowView};

/// Columns of the stock book.
pub const HEAD: &str = "Stock no,Item,Hallmarks,Stated date,Weight,Notes";

/// How often descriptions come again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeats {
    /// Each row's marks differ from all others'.
    Never,
    /// As in a real stock book: sets, pairs and the same few makers' spoons.
    AsInLife,
}

/// A small generator of numbers (xorshift), so that the rows need no library and never change.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    fn pick<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.below(list.len())]
    }
}

const ITEMS: [&str; 12] = [
    "Teaspoon",
    "Tablespoon",
    "Cream jug",
    "Sugar tongs",
    "Salver, 8 in",
    "Mustard pot",
    "Pair of salts",
    "Card case",
    "Vesta case",
    "Napkin ring",
    "Sauce ladle",
    "Christening mug",
];
const NOTES: [&str; 8] = [
    "Light wear to the bowl, otherwise good",
    "Small dent to the foot, monogram to the front",
    "From a house sale, one of several bought together",
    "Cleaned; marks clear under the glass",
    "Hinge sound, gilding worn inside",
    "Old repair near the handle",
    "To be photographed before the spring fair",
    "Kept in the second cabinet, lower shelf",
];

/// Writes the head and so many rows.
///
/// # Errors
/// If the writer fails.
pub fn write(
    tables: &Tables,
    rows: u64,
    seed: u64,
    repeats: Repeats,
    out: &mut dyn Write,
) -> io::Result<()> {
    let image = tables.image();
    let mut numbers = Numbers(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let common: Vec<String> = (0..2000).map(|_| marks(image, &mut numbers)).collect();
    writeln!(out, "{HEAD}")?;
    for n in 0..rows {
        let marks = match repeats {
            // A lot number among the marks, which a description sets aside, parts the rows.
            Repeats::Never => format!("{}; lot {n}", marks(image, &mut numbers)),
            Repeats::AsInLife if numbers.below(20) == 0 => marks(image, &mut numbers),
            // The commonest come far oftener than the rest.
            Repeats::AsInLife => {
                let (a, b) = (numbers.below(common.len()), numbers.below(common.len()));
                common[a.min(b)].clone()
            }
        };
        let year = 1700 + numbers.below(300);
        writeln!(
            out,
            "{n:07},{},\"{marks}\",{year},{}.{} g,{}",
            quoted(numbers.pick(&ITEMS)),
            8 + numbers.below(700),
            numbers.below(10),
            quoted(numbers.pick(&NOTES)),
        )?;
    }
    Ok(())
}

fn quoted(s: &str) -> String {
    if s.contains(',') { format!("\"{s}\"") } else { s.to_string() }
}

/// The marks of some row of the tables as a cataloguer might put them, with what is usual left out.
fn marks(image: &Image, numbers: &mut Numbers) -> String {
    let row = loop {
        let row = image.row(numbers.below(image.meta(Meta::Rows)));
        if row.letter().value().is_some() && !row.letter().rival() {
            break row;
        }
    };
    let mut parts: Vec<String> = row
        .groups()
        .filter(|g| g.due)
        .filter_map(|g| g.marks().next())
        .map(|m| image.device(m.device()).name().to_string())
        .collect();
    parts.push(letter(image, row, numbers));
    let by = numbers.below(parts.len());
    parts.rotate_left(by);
    let initials: String = (0..2).map(|_| char::from(b'A' + numbers.below(26) as u8)).collect();
    parts.push(format!("maker's mark {initials}"));
    parts.join("; ")
}

fn letter(image: &Image, row: RowView, numbers: &mut Numbers) -> String {
    let l = row.letter();
    let case = match l.case() {
        Case::Upper if numbers.below(2) == 0 => "capital ",
        Case::Lower if numbers.below(2) == 0 => "small ",
        _ => "",
    };
    let lettering = match l.lettering() {
        Some(n) if numbers.below(2) == 0 => {
            format!("{} ", image.lettering(n).id().replace('-', " "))
        }
        _ => String::new(),
    };
    format!("date letter {case}{lettering}{}", l.struck())
}
