//! Lists, numbers, plurals and the heads of sentences.

use puncheon_schema::image::Image;

/// "a, b and c".
pub(crate) fn and(parts: &[String]) -> String {
    joined(parts, "and")
}

/// "a, b or c".
pub(crate) fn either(parts: &[String]) -> String {
    joined(parts, "or")
}

fn joined(parts: &[String], by: &str) -> String {
    match parts {
        [all @ .., last] if !all.is_empty() => format!("{} {by} {last}", all.join(", ")),
        _ => parts.concat(),
    }
}

/// What a word that was not plain was taken for.
pub(crate) fn taken_for(word: &str, taken: &str) -> String {
    format!("\"{word}\" was taken for {taken}.")
}

const NUMBERS: [&str; 13] = [
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
];

/// A number in words, as far as words are shorter to read.
pub(crate) fn number(n: u32) -> String {
    NUMBERS.get(n as usize).map_or_else(|| n.to_string(), |w| w.to_string())
}

/// With a capital at its head.
pub(crate) fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// On one line, with single blanks.
pub(crate) fn clean(text: &str) -> String {
    let shown: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    shown.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A noun in the plural, where the vocabulary knows it so; None where it does not, or where it is one.
pub(crate) fn plural(image: &Image, noun: &str) -> Option<String> {
    let known = |w: &str| image.word(w.to_lowercase().as_bytes()).is_some();
    let stem = |ending: &str| noun.strip_suffix(ending);
    let candidates = [
        stem("fe").map(|s| format!("{s}ves")),
        stem("f").map(|s| format!("{s}ves")),
        stem("y").map(|s| format!("{s}ies")),
        Some(format!("{noun}es")),
        Some(format!("{noun}s")),
    ];
    let found = candidates.into_iter().flatten().find(|c| known(c));
    found.filter(|_| !noun.ends_with('s') && known(noun))
}
