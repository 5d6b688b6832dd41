//! Lists, numbers, plurals and the heads of sentences.

use puncheon_schema::image::Image;

/// "a, b and c".
pub(crate) fn and(parts: &[String]) -> String {
    joined(parts, "and")
}

/// "a, b or c".
pub fn either(parts: &[String]) -> String {
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
pub fn number(n: usize) -> String {
    NUMBERS.get(n).map_or_else(|| n.to_string(), |w| w.to_string())
}

/// "1 year", "3 years": how many there are of what has its plural in s.
pub fn counted(n: usize, one: &str) -> String {
    let s = if n == 1 { "" } else { "s" };
    format!("{n} {one}{s}")
}

/// With a capital at its head.
pub fn capital(s: &str) -> String {
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
