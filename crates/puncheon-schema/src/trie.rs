//! Phrases as a trie over the numbers of their words. Words are found by hashing.

use std::collections::HashMap;

use crate::entry::{Grammar, Standing};
use crate::meaning::Sense;
use crate::packed::{Commas, Ending, Part, Writer, edge_hash, hash};

/// A word that is true, and no slip or abbreviation: spelling may be mended to it.
const TRUE: u8 = 1;
/// A word of a phrase about marks.
const TELLS: u8 = 2;
/// The shortest word that others are mended to.
const MENDED: usize = 4;
/// No word, no edge.
const NONE: u32 = u32::MAX;

/// The vocabulary while it is gathered.
pub(crate) struct Trie {
    /// Each word with its flags.
    words: Vec<(String, u8)>,
    word_at: HashMap<String, u32>,
    edges: HashMap<(u32, u32), u32>,
    nodes: Vec<Node>,
    /// Kind, argument and plainest phrase of each meaning.
    meanings: Vec<[u32; 3]>,
    meaning_at: HashMap<(u32, u32), u32>,
    ends: Vec<(usize, Close)>,
    /// The words that slips are taken for.
    meant: HashMap<u32, u32>,
}

#[derive(Clone, Copy, Default)]
struct Node {
    plain: Option<u32>,
    capitals: Option<u32>,
    slip: bool,
    commas: Commas,
    stands: Standing,
    turns: bool,
}

/// What the words of a phrase are good for by themselves.
#[derive(Clone, Copy)]
pub(crate) struct Word {
    /// Spelling may be mended to them.
    pub mends: bool,
    /// They speak of marks.
    pub tells: bool,
}

/// What a phrase means where it ends.
pub(crate) struct Close {
    pub meaning: u32,
    pub slip: bool,
    /// Where it is typed in capitals.
    pub capitals: bool,
    pub commas: Commas,
    pub stands: Standing,
    pub turns: bool,
}

impl Default for Trie {
    fn default() -> Trie {
        Trie {
            words: Vec::new(),
            word_at: HashMap::new(),
            edges: HashMap::new(),
            // The root of every text, and one for each grammar with words of its own.
            nodes: vec![Node::default(); 1 + Grammar::ALL.len()],
            meanings: Vec::new(),
            meaning_at: HashMap::new(),
            ends: Vec::new(),
            meant: HashMap::new(),
        }
    }
}

impl Trie {
    /// The number of a meaning, with the plainest phrase for it if it is new.
    pub fn meaning(&mut self, sense: Sense, plainest: impl FnOnce() -> u32) -> u32 {
        let (kind, arg) = sense.pack();
        let meanings = &mut self.meanings;
        *self.meaning_at.entry((kind, arg)).or_insert_with(|| {
            meanings.push([kind, arg, plainest()]);
            meanings.len() as u32 - 1
        })
    }

    fn word(&mut self, word: &str) -> u32 {
        if let Some(id) = self.word_at.get(word) {
            return *id;
        }
        let id = self.words.len() as u32;
        self.words.push((word.into(), 0));
        self.word_at.insert(word.into(), id);
        id
    }

    /// The node at the end of a phrase.
    fn place(&mut self, root: u32, phrase: &str, word: Word) -> usize {
        let flags = (u8::from(word.mends) * TRUE) | (u8::from(word.tells) * TELLS);
        let mut node = root;
        for word in phrase.split_whitespace() {
            let id = self.word(word);
            self.words[id as usize].1 |= flags;
            let next = self.nodes.len() as u32;
            node = *self.edges.entry((node, id)).or_insert(next);
            if node == next {
                self.nodes.push(Node::default());
            }
        }
        node as usize
    }

    /// A phrase below a root. Of two that are alike the later one counts.
    pub fn end(&mut self, root: u32, phrase: &str, word: Word, close: Close) {
        let node = self.place(root, phrase, word);
        self.ends.push((node, close));
    }

    /// A name, unless people mean something else by it.
    pub fn name(&mut self, name: &str, tells: bool, meaning: u32, one_picture: bool) {
        let commas = if one_picture { Commas::Anywhere } else { Commas::Nowhere };
        let node = self.place(0, name, Word { mends: true, tells });
        match self.ends.iter_mut().find(|(at, end)| *at == node && !end.capitals) {
            Some((_, end)) if end.meaning == meaning && one_picture => end.commas = commas,
            Some(_) => {}
            None => {
                let (stands, turns) = (Standing::Anyhow, false);
                let (slip, capitals) = (false, false);
                let close = Close { meaning, slip, capitals, commas, stands, turns };
                self.ends.push((node, close));
            }
        }
    }

    /// A slip that is taken for a word, wherever it stands.
    pub fn slip(&mut self, typed: &str, means: &str) {
        if let Some(word) = self.word_at.get(means).copied() {
            let typed = self.word(typed);
            self.meant.insert(typed, word);
        }
    }

    /// Writes it, and returns the numbers of its words and of its edge slots.
    pub fn write(mut self, w: &mut Writer) -> (usize, usize) {
        for (node, end) in std::mem::take(&mut self.ends) {
            let n = &mut self.nodes[node];
            if end.capitals {
                n.capitals = Some(end.meaning);
            } else {
                n.plain = Some(end.meaning);
                n.slip = end.slip;
                n.commas = end.commas;
                n.stands = end.stands;
                n.turns = end.turns;
            }
        }
        self.write_words(w);
        self.write_by_initial(w);
        let words = self.words.len();
        (words, self.write_phrases(w))
    }

    fn write_words(&self, w: &mut Writer) {
        let slots = slots(self.words.len());
        let mut table = vec![NONE; slots];
        for (i, (word, _)) in self.words.iter().enumerate() {
            let mut k = hash(word.as_bytes()) as usize & (slots - 1);
            while table[k] != NONE {
                k = (k + 1) & (slots - 1);
            }
            table[k] = i as u32;
        }
        w.cols(Part::WordHash, &table);
        for (i, (word, flags)) in self.words.iter().enumerate() {
            w.u32(Part::WordMeant, self.meant.get(&(i as u32)).copied().unwrap_or(NONE));
            let s = w.str(word);
            w.u32(Part::WordStr, s);
            w.u8(Part::WordFlags, *flags);
        }
    }

    /// The words that slips are mended to, by their first letters.
    fn write_by_initial(&self, w: &mut Writer) {
        let mut by_initial: Vec<Vec<u32>> = vec![Vec::new(); 27];
        for (i, (word, flags)) in self.words.iter().enumerate() {
            let first = word.as_bytes().first().copied().unwrap_or(0);
            if flags & TRUE != 0 && first.is_ascii_lowercase() && word.len() >= MENDED {
                by_initial[usize::from(first - b'a')].push(i as u32);
            }
        }
        let mut at = 0;
        w.u32(Part::WordByInitial, 0);
        for list in &by_initial {
            at += list.len() as u32;
            w.u32(Part::WordByInitial, at);
        }
        for id in by_initial.iter().flatten() {
            w.u32(Part::WordByInitial, *id);
        }
    }

    /// Edges, nodes and meanings; returns the number of slots for edges.
    fn write_phrases(self, w: &mut Writer) -> usize {
        let slots = slots(self.edges.len());
        let mut table = vec![[NONE; 3]; slots];
        let mut sorted: Vec<_> = self.edges.into_iter().collect();
        sorted.sort_unstable();
        for ((node, word), next) in sorted {
            let mut k = edge_hash(node, word) as usize & (slots - 1);
            while table[k][0] != NONE {
                k = (k + 1) & (slots - 1);
            }
            table[k] = [node, word, next];
        }
        for row in &table {
            w.cols(Part::TrieEdges, row);
        }
        for n in &self.nodes {
            w.u32(Part::TrieNodes, Ending::pack(n.plain, n.slip, n.commas, n.stands, n.turns));
            let (commas, stands) = (Commas::Nowhere, Standing::Anyhow);
            w.u32(Part::TrieNodes, Ending::pack(n.capitals, false, commas, stands, false));
        }
        for m in self.meanings {
            w.cols(Part::MeaningCols, &m);
        }
        slots
    }
}

/// Twice as many slots as entries at least, so that a look-up ends soon.
fn slots(entries: usize) -> usize {
    (entries * 2).next_power_of_two().max(16)
}
