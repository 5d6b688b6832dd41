//! The longest phrase of the vocabulary at a word, for grammars that cut figures in their own way.

use std::borrow::Borrow;

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use super::EVERY_TEXT;
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
    let words = (1..).zip(words.map(|w| image.word(w.borrow().as_bytes())));
    ends(image, root, words).last().map(|(n, sense)| (sense, n))
}

/// Every phrase that the words at the beginning say, the shortest first, by what is given with its last
/// word. Words are by their numbers in the tables.
pub fn ends<T>(
    image: &Image,
    root: u32,
    words: impl Iterator<Item = (T, Option<u32>)>,
) -> impl Iterator<Item = (T, Sense)> {
    let mut node = root;
    let known = words.map_while(move |(with, word)| {
        steps::take(1);
        node = image.step(node, word?)?;
        Some((with, node))
    });
    known.filter_map(|(with, node)| Some((with, image.meaning(image.ending(node).plain()?))))
}
