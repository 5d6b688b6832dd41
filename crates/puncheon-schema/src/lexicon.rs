//! The vocabulary, compiled for one pass over the words of a description.
//!
//! Words are numbered and found by hashing; phrases are a trie over word numbers. A phrase has one
//! meaning, and may have another when it is typed in capitals.

use std::collections::HashMap;

use crate::entry::{Grammar, Meaning, Slot, Standing};
use crate::meaning::Sense;
use crate::packed::{Commas, Ending, Part, Writer, edge_hash, hash};
use crate::read::{Entries, index};

#[derive(Clone, Copy, Default)]
struct Node {
    plain: Option<u32>,
    capitals: Option<u32>,
    slip: bool,
    commas: Commas,
    stands: Standing,
    turns: bool,
}

/// Where a phrase ends, and what it means.
struct End {
    node: usize,
    meaning: u32,
    slip: bool,
    capitals: bool,
    commas: Commas,
    stands: Standing,
    turns: bool,
}

/// Writes the lexicon and returns the numbers of its words and of its edge slots.
pub(crate) fn compile(e: &Entries, w: &mut Writer) -> (usize, usize) {
    // Each word with its flags: 1, a true word and no slip; 2, part of a phrase about marks.
    let mut words: Vec<(String, u8)> = Vec::new();
    let mut word_at: HashMap<String, u32> = HashMap::new();
    let mut edges: HashMap<(u32, u32), u32> = HashMap::new();
    // The root of every text, and one for each grammar with words of its own.
    let mut nodes = vec![Node::default(); 1 + Grammar::ALL.len()];
    let mut meanings: Vec<[u32; 3]> = Vec::new();
    let mut meaning_at: HashMap<(u32, u32), u32> = HashMap::new();

    let senses = senses(e);
    let mut place = |root: u32, phrase: &str, flags: u8| -> usize {
        let mut node = root;
        for word in phrase.split_whitespace() {
            let id = *word_at.entry(word.into()).or_insert_with(|| {
                words.push((word.into(), 0));
                words.len() as u32 - 1
            });
            words[id as usize].1 |= flags;
            let next = nodes.len() as u32;
            node = *edges.entry((node, id)).or_insert(next);
            if node == next {
                nodes.push(Node::default());
            }
        }
        node as usize
    };
    let mut ends: Vec<End> = Vec::new();
    for (sense, said) in &senses {
        let (kind, arg) = sense.pack();
        let m = *meaning_at.entry((kind, arg)).or_insert_with(|| {
            let plainest = said.say.first().map_or(0, |p| w.str(p));
            meanings.push([kind, arg, plainest]);
            meanings.len() as u32 - 1
        });
        let roots: Vec<u32> = match said.within {
            // A standard is named in a piece's own words in whatever letters it is typed.
            [] if matches!(sense, Sense::Standard(_)) => vec![0, Grammar::Items.root()],
            [] => vec![0],
            some => some.iter().map(|g| g.root()).collect(),
        };
        let mut end = |root: u32, phrase: &str, slip: bool, capitals: bool| {
            // Words of one grammar help no spelling elsewhere.
            let flags = u8::from(!slip && !capitals) | u8::from(sense.tells()) << 1;
            let node = place(root, phrase, if root == 0 { flags } else { 0 });
            ends.push(End {
                node,
                meaning: m,
                slip,
                capitals,
                commas: said.commas(phrase),
                stands: said.stands,
                turns: said.turns,
            });
        };
        for root in roots {
            said.say.iter().for_each(|p| end(root, p, false, false));
            said.slips.iter().for_each(|p| end(root, p, true, false));
            said.capitals.iter().for_each(|p| end(root, &p.to_lowercase(), false, true));
        }
    }
    // What the program itself calls a thing is understood too, unless people mean something else by it.
    for (sense, called) in names(e) {
        let name = fold(called);
        // Only a name with a comma of its own is one picture across a comma.
        let commas = if called.contains(',') { Commas::Anywhere } else { Commas::Nowhere };
        let (kind, arg) = sense.pack();
        let m = *meaning_at.entry((kind, arg)).or_insert_with(|| {
            meanings.push([kind, arg, w.str(&name)]);
            meanings.len() as u32 - 1
        });
        let node = place(0, &name, 1 | u8::from(sense.tells()) << 1);
        match ends.iter_mut().find(|end| end.node == node && !end.capitals) {
            Some(end) if end.meaning == m && commas == Commas::Anywhere => end.commas = commas,
            Some(_) => {}
            None => ends.push(End {
                node,
                meaning: m,
                slip: false,
                capitals: false,
                commas,
                stands: Standing::Anyhow,
                turns: false,
            }),
        }
    }
    for end in ends {
        let n = &mut nodes[end.node];
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

    let mut meant: HashMap<u32, u32> = HashMap::new();
    for f in &e.slips {
        if let Some(&true_word) = word_at.get(f.entry.means.as_str()) {
            let typed = *word_at.entry(f.entry.typed.clone()).or_insert_with(|| {
                words.push((f.entry.typed.clone(), 0));
                words.len() as u32 - 1
            });
            meant.insert(typed, true_word);
        }
    }

    let slots = (words.len() * 2).next_power_of_two().max(16);
    let mut table = vec![u32::MAX; slots];
    for (i, (word, _)) in words.iter().enumerate() {
        let mut k = hash(word.as_bytes()) as usize & (slots - 1);
        while table[k] != u32::MAX {
            k = (k + 1) & (slots - 1);
        }
        table[k] = i as u32;
    }
    w.cols(Part::WordHash, &table);
    for (i, (word, flags)) in words.iter().enumerate() {
        w.u32(Part::WordMeant, meant.get(&(i as u32)).copied().unwrap_or(u32::MAX));
        let s = w.str(word);
        w.u32(Part::WordStr, s);
        w.u8(Part::WordFlags, *flags);
    }
    let mut by_initial: Vec<Vec<u32>> = vec![Vec::new(); 27];
    for (i, (word, flags)) in words.iter().enumerate() {
        let first = word.as_bytes().first().copied().unwrap_or(0);
        if flags & 1 == 1 && first.is_ascii_lowercase() && word.len() > 3 {
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

    let edge_slots = (edges.len() * 2).next_power_of_two().max(16);
    let mut table = vec![[u32::MAX; 3]; edge_slots];
    let mut sorted: Vec<_> = edges.into_iter().collect();
    sorted.sort_unstable();
    for ((node, word), next) in sorted {
        let mut k = edge_hash(node, word) as usize & (edge_slots - 1);
        while table[k][0] != u32::MAX {
            k = (k + 1) & (edge_slots - 1);
        }
        table[k] = [node, word, next];
    }
    for row in &table {
        w.cols(Part::TrieEdges, row);
    }
    for n in &nodes {
        w.u32(Part::TrieNodes, Ending::pack(n.plain, n.slip, n.commas, n.stands, n.turns));
        w.u32(
            Part::TrieNodes,
            Ending::pack(n.capitals, false, Commas::Nowhere, Standing::Anyhow, false),
        );
    }
    for m in meanings {
        w.cols(Part::MeaningCols, &m);
    }
    (words.len(), edge_slots)
}

/// A name, folded as a description is.
fn fold(name: &str) -> String {
    let kept = |c: char| match c {
        '\'' => None,
        c if c.is_alphanumeric() || c == '.' => Some(c.to_ascii_lowercase()),
        _ => Some(' '),
    };
    name.chars().filter_map(kept).collect()
}

/// The names of devices, letterings and outlines.
fn names(e: &Entries) -> impl Iterator<Item = (Sense, &str)> {
    let devices = e.devices.iter().enumerate();
    let letterings = e.letterings.iter().enumerate();
    let outlines = e.outlines.iter().enumerate();
    devices
        .map(|(i, f)| (Sense::Device(i as u32), f.entry.name.as_str()))
        .chain(letterings.map(|(i, f)| (Sense::Lettering(i as u32), f.entry.name.as_str())))
        .chain(outlines.map(|(i, f)| (Sense::Outline(i as u32), f.entry.name.as_str())))
}

/// The phrases of one meaning.
#[derive(Default)]
struct Said<'a> {
    say: &'a [String],
    slips: &'a [String],
    capitals: &'a [String],
    commas: bool,
    after_comma: &'a [String],
    stands: Standing,
    turns: bool,
    within: &'a [Grammar],
}

impl Said<'_> {
    fn commas(&self, phrase: &str) -> Commas {
        let ends_with = |w: &&String| {
            let before = phrase.strip_suffix(w.as_str());
            before.is_some_and(|before| before.ends_with(' '))
        };
        match self.after_comma.iter().filter(ends_with).map(|w| w.split(' ').count()).max() {
            _ if self.commas => Commas::Anywhere,
            Some(1) => Commas::BeforeLast,
            Some(2) => Commas::BeforeLastTwo,
            _ => Commas::Nowhere,
        }
    }
}

/// Where the words of deductions and boasts count.
const OF_ITEMS: &[Grammar] = &[Grammar::Items];
/// Where those of units and scales do.
const OF_WEIGHTS: &[Grammar] = &[Grammar::Weights];

/// Every group of words with its meaning in the image's numbers. Reigns, deductions, boasts, units and
/// scales bring their own words.
fn senses(e: &Entries) -> Vec<(Sense, Said<'_>)> {
    let devices = index(&e.devices, |d| &d.id);
    let letterings = index(&e.letterings, |l| &l.id);
    let outlines = index(&e.outlines, |o| &o.id);
    let offices = index(&e.offices, |o| &o.id);
    let standards = index(&e.standards, |s| &s.id);
    let reigns = index(&e.reigns, |r| &r.id);
    let signs = e.signs();
    let at = |index: &HashMap<&str, usize>, id: &str| index.get(id).map(|i| *i as u32);
    let mut out = Vec::new();
    for f in &e.words {
        let g = &f.entry;
        let sense = match &g.means {
            Meaning::Device(d) => at(&devices, d).map(Sense::Device),
            Meaning::Lettering(l) => at(&letterings, l).map(Sense::Lettering),
            Meaning::Case(c) => Some(Sense::Case(*c)),
            Meaning::Outline(o) => at(&outlines, o).map(Sense::Outline),
            Meaning::Town(o) => at(&offices, o).map(Sense::Town),
            Meaning::Standard(s) => at(&standards, s).map(Sense::Standard),
            Meaning::Reign(r) => at(&reigns, r).map(Sense::Reign),
            Meaning::TownNoun => Some(Sense::SlotNoun(Slot::Town)),
            Meaning::DutyNoun => Some(Sense::SlotNoun(Slot::Duty)),
            Meaning::ImportNoun => Some(Sense::SlotNoun(Slot::Import)),
            Meaning::AssayerNoun => Some(Sense::SlotNoun(Slot::Assayer)),
            Meaning::CommemorativeNoun => Some(Sense::SlotNoun(Slot::Commemorative)),
            Meaning::StandardMark(s) => at(&standards, s).map(Sense::StandardMark),
            Meaning::Fraction(nth, of) => Some(Sense::Fraction(*nth, *of)),
            Meaning::Number(n) => Some(Sense::Number(*n)),
            Meaning::Month(m) => Some(Sense::Month(*m)),
            Meaning::Item(w) => Some(Sense::Item(*w)),
            Meaning::Metal(m) => Some(Sense::Metal(*m)),
            Meaning::Currency(code) => Some(Sense::Currency(code.map(|c| c.0))),
            Meaning::Command(c) => Some(Sense::Command(*c)),
            Meaning::Sign(s) => {
                let at = signs.iter().position(|x| x == s);
                at.map(|i| Sense::Sign(i as u32))
            }
            plain => Sense::plain(plain),
        };
        if let Some(sense) = sense {
            let said = Said {
                say: &g.say,
                slips: &g.slips,
                capitals: &g.capitals,
                commas: g.commas,
                after_comma: &g.after_comma,
                stands: g.stands,
                turns: g.turns,
                within: &g.within,
            };
            out.push((sense, said));
        }
    }
    for f in &e.reigns {
        if let Some(r) = at(&reigns, &f.entry.id) {
            let said = Said { say: &f.entry.say, ..Said::default() };
            out.push((Sense::Reign(r), said));
        }
    }
    for (i, f) in e.deductions.iter().enumerate() {
        let said = Said { say: &f.entry.say, within: OF_ITEMS, ..Said::default() };
        out.push((Sense::Deduction(i as u32), said));
    }
    for (i, f) in e.boasts.iter().enumerate() {
        for (nth, phrase) in f.entry.say.iter().enumerate() {
            let say = std::slice::from_ref(phrase);
            let said = Said { say, within: OF_ITEMS, ..Said::default() };
            out.push((Sense::Boast(i as u16, nth as u16), said));
        }
    }
    out.extend(of_weights(e));
    out
}

/// The phrases of units and scales. One phrase may be of several units, so each stands alone.
fn of_weights(e: &Entries) -> Vec<(Sense, Said<'_>)> {
    let mut out = Vec::new();
    let mut add = |sense: Sense, say| {
        out.push((sense, Said { say, within: OF_WEIGHTS, ..Said::default() }));
    };
    for (i, f) in e.units.iter().enumerate() {
        for phrase in &f.entry.say {
            let of = e.units.iter().map(|f| u32::from(f.entry.say.contains(phrase)));
            let set = of.enumerate().fold(0, |set, (k, says)| set | says << k);
            // A phrase of several units comes with the first.
            if set.trailing_zeros() as usize == i {
                add(Sense::Units(set), std::slice::from_ref(phrase));
            }
        }
        if !f.entry.bare.is_empty() {
            add(Sense::BareUnit(i as u32), &f.entry.bare);
        }
    }
    for (i, f) in e.scales.iter().enumerate() {
        add(Sense::Scale(i as u32), &f.entry.say);
    }
    out
}
