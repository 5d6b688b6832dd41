//! Words of the vocabulary that go on from what was typed so far.

use puncheon_schema::image::Sense;

use crate::tables::Tables;

/// Words and phrases of the vocabulary that go on from what was typed, the shortest first. Of each
/// meaning only the plainest phrase is offered, and its words.
pub fn completions(tables: &Tables, typed: &str) -> Vec<String> {
    // Phrases stand without apostrophes.
    let begun = typed.trim_start().to_lowercase().replace(['\'', '\u{2019}'], "");
    if begun.is_empty() {
        return Vec::new();
    }
    let image = tables.image();
    let described = (0..image.meanings()).filter(|m| image.meaning(*m).is_general());
    let phrases = described.map(|m| image.meaning_said(m));
    let mut out: Vec<String> = phrases
        .flat_map(|p| p.split(' ').chain([p]))
        .filter(|p| p.len() > begun.len() && p.to_lowercase().starts_with(&begun))
        .map(str::to_string)
        .collect();
    out.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    out.dedup();
    out
}

/// What can stand in place of the end of a line that was typed so far: the byte from which on, and the
/// words. A phrase of the whole clause comes before one of its last word.
pub fn complete(tables: &Tables, line: &str) -> (usize, Vec<String>) {
    let clause = line.rfind([',', ';']).map_or(0, |i| i + 1);
    let from = line.len() - line[clause..].trim_start().len();
    let offered = completions(tables, &line[from..]);
    match line[from..].rfind(' ') {
        Some(space) if offered.is_empty() => {
            let start = from + space + 1;
            (start, completions(tables, &line[start..]))
        }
        _ => (from, offered),
    }
}

/// The words for what can be done at the bench.
pub fn commands(tables: &Tables) -> Vec<&str> {
    let image = tables.image();
    let command = |m: &u32| matches!(image.meaning(*m), Sense::Command(_));
    (0..image.meanings()).filter(command).map(|m| image.meaning_said(m)).collect()
}
