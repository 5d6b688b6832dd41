//! Slips of spelling.

use std::cell::RefCell;
use std::collections::HashMap;

use puncheon_schema::image::Image;
use strsim::osa_distance;

/// Words of this many letters or fewer are never corrected.
const SHORT: usize = 4;
/// From this many letters on, two slips are forgiven.
const LONG: usize = 8;
/// Words whose neighbours are remembered. Catalogues repeat their slips.
const REMEMBERED: usize = 4096;

/// The nearest words at a distance; None if there are none within the limit.
type Near = Option<(usize, Vec<u32>)>;

thread_local! {
    /// Neighbours of words looked up on this thread, by tables, limit and word.
    static NEAR: RefCell<HashMap<(usize, usize), HashMap<String, Near>>> = RefCell::default();
}

/// The one vocabulary word that a slip of the pen stands for.
pub fn correct(image: &Image, word: &str) -> Option<u32> {
    let len = word.chars().count();
    if len <= SHORT || !word.bytes().all(|b| b.is_ascii_lowercase()) {
        return None;
    }
    let (best, near) = nearest(image, word, if len >= LONG { 2 } else { 1 })?;
    match near.as_slice() {
        [one] => Some(*one),
        // Several forms of one word at the same distance: the shortest stem of them all will do.
        _ if best == 1 => {
            let shortest = near.iter().min_by_key(|id| image.word_str(**id).len())?;
            let stem = image.word_str(*shortest);
            near.iter().all(|id| image.word_str(*id).starts_with(stem)).then_some(*shortest)
        }
        _ => None,
    }
}

/// Vocabulary words at the least distance from a word, up to a limit. Each word is looked for once.
pub fn nearest(image: &Image, word: &str, limit: usize) -> Near {
    NEAR.with_borrow_mut(|known| {
        let known = known.entry((image.number(), limit)).or_default();
        if let Some(near) = known.get(word) {
            return near.clone();
        }
        let near = look(image, word, limit);
        if known.len() >= REMEMBERED {
            known.clear();
        }
        known.insert(word.to_string(), near.clone());
        near
    })
}

fn look(image: &Image, word: &str, limit: usize) -> Near {
    let mut best = limit;
    let mut near = Vec::new();
    for id in image.words_from(*word.as_bytes().first()?) {
        let known = image.word_str(id);
        if known.len().abs_diff(word.len()) > best {
            continue;
        }
        let d = osa_distance(word, known);
        if d < best {
            near.clear();
            best = d;
        }
        if d == best {
            near.push(id);
        }
    }
    (!near.is_empty()).then_some((best, near))
}
