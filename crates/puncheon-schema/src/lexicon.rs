//! The vocabulary, compiled for one pass over the words of a description.
//!
//! A phrase has one meaning, and may have another when it is typed in capitals.

use std::collections::HashMap;

use crate::entry::{Grammar, Meaning, Slot, Standing};
use crate::meaning::Sense;
use crate::packed::{Commas, Writer};
use crate::read::{Entries, index};
use crate::trie::{Close, Trie, Word};

/// Writes the lexicon and returns the numbers of its words and of its edge slots.
pub(crate) fn compile(e: &Entries, w: &mut Writer) -> (usize, usize) {
    let mut trie = Trie::default();
    for (sense, said) in &senses(e) {
        let plainest = |w: &mut Writer| {
            said.say.first().or(said.capitals.first()).map_or(0, |phrase| w.str(phrase))
        };
        let meaning = trie.meaning(*sense, || plainest(w));
        let roots: Vec<u32> = match said.within {
            // A standard is named in a piece's own words in whatever letters it is typed.
            [] if matches!(sense, Sense::Standard(_)) => vec![0, Grammar::Items.root()],
            [] => vec![0],
            some => some.iter().map(|g| g.root()).collect(),
        };
        for root in roots {
            let mut end = |phrase: &str, slip: bool, capitals: bool| {
                // Words of one grammar help no spelling elsewhere.
                let word = Word {
                    tells: root == 0 && sense.tells(),
                    mends: root == 0 && !slip && !capitals,
                };
                let (commas, stands, turns) = (said.commas(phrase), said.stands, said.turns);
                trie.end(
                    root,
                    phrase,
                    word,
                    Close { meaning, slip, capitals, commas, stands, turns },
                );
            };
            said.say.iter().for_each(|p| end(p, false, false));
            said.slips.iter().for_each(|p| end(p, true, false));
            said.capitals.iter().for_each(|p| end(&p.to_lowercase(), false, true));
        }
    }
    // What the program itself calls a thing is understood too, unless people mean something else by it.
    for (sense, called) in names(e) {
        let name = fold(called);
        let meaning = trie.meaning(sense, || w.str(&name));
        // Only a name with a comma of its own is one picture across a comma.
        trie.name(&name, sense.tells(), meaning, called.contains(','));
    }
    for f in &e.slips {
        trie.slip(&f.entry.typed, &f.entry.means);
    }
    trie.write(w)
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
            Meaning::Nth(n) => Some(Sense::Nth(*n)),
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
