//! Writing an image.

use std::collections::HashMap;

use super::image::Image;
use super::part::{MAGIC, Meta, PARTS, Part};

/// Gathers the parts of an image.
pub(crate) struct Writer {
    parts: [Vec<u8>; PARTS],
    strings: HashMap<String, u32>,
    lists: HashMap<Vec<u32>, u32>,
    bit_sets: u32,
    bit_words: u32,
    sets: HashMap<Vec<u64>, (u16, u16, u32)>,
}

impl Writer {
    pub fn new() -> Writer {
        Writer {
            parts: std::array::from_fn(|_| Vec::new()),
            strings: Default::default(),
            lists: Default::default(),
            bit_sets: 0,
            bit_words: 0,
            sets: Default::default(),
        }
    }
    pub fn u8(&mut self, p: Part, v: u8) {
        self.parts[p as usize].push(v);
    }
    pub fn u16(&mut self, p: Part, v: u16) {
        self.parts[p as usize].extend(v.to_le_bytes());
    }
    pub fn u32(&mut self, p: Part, v: u32) {
        self.parts[p as usize].extend(v.to_le_bytes());
    }
    pub fn cols(&mut self, p: Part, vs: &[u32]) {
        for v in vs {
            self.u32(p, *v);
        }
    }
    pub fn str(&mut self, s: &str) -> u32 {
        if let Some(&id) = self.strings.get(s) {
            return id;
        }
        self.parts[Part::StrBytes as usize].extend(s.as_bytes());
        let end = self.parts[Part::StrBytes as usize].len() as u32;
        self.u32(Part::StrEnds, end);
        let id = self.strings.len() as u32;
        self.strings.insert(s.into(), id);
        id
    }
    pub fn list(&mut self, items: Vec<u32>) -> u32 {
        if let Some(&id) = self.lists.get(&items) {
            return id;
        }
        for v in &items {
            self.u32(Part::ListItems, *v);
        }
        let end = self.parts[Part::ListItems as usize].len() as u32 / 4;
        self.u32(Part::ListEnds, end);
        let id = self.lists.len() as u32;
        self.lists.insert(items, id);
        id
    }
    pub fn strs(&mut self, items: &[String]) -> u32 {
        let ids = items.iter().map(|s| self.str(s)).collect();
        self.list(ids)
    }
    /// Adds a bit set over all rows and returns its number.
    pub fn bits(&mut self, words: &[u64]) -> u32 {
        let lo = words.iter().position(|w| *w != 0).unwrap_or(0);
        let hi = words.iter().rposition(|w| *w != 0).map_or(lo, |h| h + 1);
        let kept = &words[lo..hi];
        let (lo, len, off) = match self.sets.get(kept).copied() {
            Some((_, len, off)) => (lo as u16, len, off),
            None => {
                let off = self.bit_words;
                for w in kept {
                    self.parts[Part::BitWords as usize].extend(w.to_le_bytes());
                }
                self.bit_words += kept.len() as u32;
                self.sets.insert(kept.to_vec(), (lo as u16, kept.len() as u16, off));
                (lo as u16, kept.len() as u16, off)
            }
        };
        self.u16(Part::BitIndex, lo);
        self.u16(Part::BitIndex, len);
        self.u32(Part::BitIndex, off);
        self.bit_sets += 1;
        self.bit_sets - 1
    }
    pub fn next_bits(&self) -> u32 {
        self.bit_sets
    }
    pub fn finish(mut self, meta: &[u32; Meta::Count as usize]) -> Image {
        self.cols(Part::Meta, meta);
        let mut data = MAGIC.to_vec();
        let mut at = 4 + PARTS as u32 * 8;
        for part in &self.parts {
            data.extend(at.to_le_bytes());
            data.extend((part.len() as u32).to_le_bytes());
            at += part.len() as u32;
        }
        for part in &self.parts {
            data.extend(part);
        }
        Image::open(data)
    }
}
