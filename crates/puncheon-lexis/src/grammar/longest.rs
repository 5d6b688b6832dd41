//! The longest phrase of the vocabulary at a word, for grammars that cut figures in their own way.

use std::borrow::Borrow;

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use crate::phrase::EVERY_TEXT;
use crate::steps;

/// What the words at the beginning say in a grammar, and how many of them say it: the longest phrase,
/// and of two as long the grammar's own. Words are in small letters.
pub fn phrase<W: Borrow<str>>(
    image: &Image,
    grammar: Grammar,
    words: impl Iterator<Item = W> + Clone,
) -> Option<(Sense, usize)> {
    let general = from(image, EVERY_TEXT, words.clone());
    let own = from(image, grammar.root(), words);
    match (own, general) {
        (Some(own), Some(general)) if general.1 > own.1 => Some(general),
        (own, general) => own.or(general),
    }
}

/// The same with the words of the grammar alone.
pub fn own<W: Borrow<str>>(
    image: &Image,
    grammar: Grammar,
    words: impl Iterator<Item = W>,
) -> Option<(Sense, usize)> {
    from(image, grammar.root(), words)
}

fn from<W: Borrow<str>>(
    image: &Image,
    root: u32,
    words: impl Iterator<Item = W>,
) -> Option<(Sense, usize)> {
    let mut node = root;
    let mut found = None;
    for (n, word) in words.enumerate() {
        steps::take(1);
        let next = image.word(word.borrow().as_bytes()).and_then(|w| image.step(node, w));
        let Some(next) = next else {
            break;
        };
        node = next;
        if let Some(m) = image.ending(node).plain() {
            found = Some((image.meaning(m), n + 1));
        }
    }
    found
}
