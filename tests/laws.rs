//! The laws of the contract, tried on invented descriptions and on every row of the tables.
//!
//! docs/laws.md lists each law in a sentence beside the name of its test. The marks are drawn from
//! the packed tables; what they ought to lead to is worked out here from the rows and marks alone,
//! one row at a time, and from the table files for what is broader, kin or easily misread. The
//! engine's own bit sets are never asked.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::Path;
use std::sync::LazyLock;

use proptest::prelude::*;
use puncheon::reading::{Fit, Outcome, Reading, RemarkKind};
use puncheon::schema::Entries;
use puncheon::schema::entry::{Case, Confidence, Device, DeviceKind};
use puncheon::schema::image::{Image, LetterView, MarkView, Meta, RowView, SLOTS};
use puncheon::tree::{Fate, Refusal, Use};
use puncheon::{LetterSeen, Nears, Options, Sighting, Sightings, Tables, Typed, What};
use puncheon_tests::{covers, proptest_config};

fn image() -> &'static Image {
    Tables::builtin().image()
}

/// The table files as a person wrote them, read apart from the packed form.
static ENTRIES: LazyLock<Entries> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tables");
    let files = puncheon::ron_files(&folder).expect("tables/ can be read");
    let (entries, problems) = Entries::read(files.iter().map(|(f, t)| (f.as_str(), t.as_str())));
    assert!(problems.is_empty(), "{problems:?}");
    entries
});

// ---- Descriptions -------------------------------------------------------------------------------

/// A few numbers from which a mark is made; proptest shrinks them towards the plainest.
type Seed = (u8, u32, u32, u32);

fn seeds(most: usize) -> impl Strategy<Value = (u32, Vec<Seed>)> {
    let seed = (0u8..20, any::<u32>(), any::<u32>(), any::<u32>());
    (any::<u32>(), prop::collection::vec(seed, 1..=most))
}

fn pick(n: u32, of: usize) -> usize {
    n as usize % of.max(1)
}

/// Devices that stand on hallmarks of these islands.
static DEVICES: LazyLock<Vec<u32>> = LazyLock::new(|| {
    (0..image().meta(Meta::Devices))
        .filter(|d| image().device(*d).kind() != DeviceKind::Lookalike)
        .map(|d| d as u32)
        .collect()
});

/// A letter of the row, with some of its features said.
fn letter_of(row: RowView, say: u32) -> LetterSeen {
    let l = row.letter();
    let mut seen = LetterSeen::default();
    if let Some(v) = l.value() {
        seen.values = vec![Typed {
            value: Some(v as u32),
            upper: Some(l.case() != Case::Lower),
            shown: l.struck().to_string(),
        }];
    }
    if say & 1 == 1 && l.case() != Case::Either {
        seen.case = Some(l.case());
    }
    if say & 2 == 2 {
        seen.lettering = l.lettering().map(|n| n as u32);
    }
    if say & 4 == 4 {
        seen.outline = l.outline(image().standard(row.standard()).metal()).map(|o| o as u32);
    }
    seen
}

fn any_letter(a: u32, b: u32, c: u32) -> LetterSeen {
    let image = image();
    let typed = |n: u32| {
        let v = pick(n, image.meta(Meta::Values));
        Typed { value: Some(v as u32), upper: Some(n & 1 == 1), shown: image.value(v).to_string() }
    };
    LetterSeen {
        values: match c & 7 {
            0 => vec![],
            1 | 2 => vec![typed(a), typed(b)],
            _ => vec![typed(a)],
        },
        case: [None, None, Some(Case::Upper), Some(Case::Lower)][pick(c >> 3, 4)],
        lettering: (c & 0x60 == 0x60).then_some(pick(b, image.meta(Meta::Letterings)) as u32),
        outline: (c & 0x180 == 0x180).then_some(pick(a, image.meta(Meta::Outlines)) as u32),
        case_doubt: c & 0x600 == 0x600,
        lettering_doubt: c & 0x1800 == 0x1800,
        outline_doubt: c & 0x6000 == 0x6000,
    }
}

fn what(row: RowView, (kind, a, b, c): Seed) -> What {
    let image = image();
    let marks: Vec<u32> = row.marks().map(|m| m.device() as u32).collect();
    match kind {
        // Mostly marks of one row, so that something is left to fit.
        0..=5 if !marks.is_empty() => What::Device(vec![marks[pick(a, marks.len())]]),
        6..=8 => What::Letter(letter_of(row, b)),
        9 if !marks.is_empty() => {
            What::Device(vec![marks[pick(a, marks.len())], DEVICES[pick(b, DEVICES.len())]])
        }
        10 => What::Letter(any_letter(a, b, c)),
        11 => What::Slot(SLOTS[pick(a, SLOTS.len())]),
        12 => What::Town(pick(a, image.meta(Meta::Offices)) as u32),
        13 => What::Standard(pick(a, image.meta(Meta::Standards)) as u32),
        14 => What::Sponsor,
        15 => What::Absent(Box::new(What::Slot(SLOTS[pick(a, SLOTS.len())]))),
        16 if !marks.is_empty() => {
            What::Absent(Box::new(What::Device(vec![marks[pick(a, marks.len())]])))
        }
        17 => What::Absent(Box::new(What::Letter(LetterSeen::default()))),
        _ => What::Device(vec![DEVICES[pick(a, DEVICES.len())]]),
    }
}

/// As many letters as marks, so that every sighting has words to point at.
const WORDS: &str = "abcdefghijklmnopqrstuvwxyz";

fn describe((row, seeds): &(u32, Vec<Seed>)) -> Vec<Sighting> {
    let row = image().row(pick(*row, image().meta(Meta::Rows)));
    seeds
        .iter()
        .enumerate()
        .map(|(i, s)| Sighting {
            start: i,
            end: i + 1,
            what: what(row, *s),
            doubt: s.3 >> 16 & 7 == 7,
            form_doubt: s.3 >> 22 & 7 == 7,
            worn: s.3 >> 19 & 7 == 7,
            number: None,
            part: 0,
        })
        .collect()
}

fn read(sightings: &[Sighting]) -> Reading {
    let mut seen = Sightings::new(image(), WORDS);
    seen.sightings = sightings.to_vec();
    seen.parts = vec![String::new()];
    puncheon::read_sightings(Tables::builtin(), &seen, &Options::default()).expect("of WORDS")
}

// ---- What is compared ---------------------------------------------------------------------------

/// Office, letter year, metal, fineness.
type Key = (String, i32, &'static str, Option<u16>);

/// The fits of a reading, each run of years counted year by year.
fn keys(r: &Reading) -> BTreeSet<Key> {
    let key = |f: &Fit, year| {
        let office = f.office.clone().unwrap_or_default();
        (office, year, f.metal, f.fineness)
    };
    r.fits.iter().flat_map(|f| (f.from..=f.to).map(move |y| key(f, y))).collect()
}

fn keys_of_row(row: RowView) -> impl Iterator<Item = Key> + use<> {
    let l = row.letter();
    let s = image().standard(row.standard());
    let (office, metal, parts) =
        (image().office(l.office()).id(), puncheon::schema::export::metal(s.metal()), s.parts());
    (l.year()..=l.to()).map(move |y| (office.to_string(), y, metal, parts))
}

fn rows() -> impl Iterator<Item = RowView<'static>> {
    (0..image().meta(Meta::Rows)).map(|r| image().row(r))
}

fn shown(sightings: &[Sighting]) -> Vec<String> {
    sightings.iter().map(|s| puncheon::reads_as(Tables::builtin(), s)).collect()
}

// ---- The oracle ---------------------------------------------------------------------------------

/// How one sighting, taken alone, meets one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Verdict {
    /// Agrees or is silent.
    Clean,
    Strains,
    Clashes,
}
use Verdict::{Clashes, Clean, Strains};

/// The devices' web and the letterings' lists, from the table files.
struct Oracle {
    /// For each device, itself and all it is a form of.
    up: Vec<BTreeSet<usize>>,
    /// For each device, what it is a form of at first hand, loose words left out.
    parents: Vec<BTreeSet<usize>>,
    /// Two things in one punch, "crown and 18": one of them alone does not explain both.
    joint: BTreeSet<usize>,
    strains: Vec<BTreeSet<usize>>,
    misread: Vec<BTreeSet<usize>>,
    /// For each lettering, those that a description of it strains.
    kin: Vec<BTreeSet<usize>>,
    /// For each lettering, pairs taken for each other: capital, small.
    alike: Vec<[Vec<(String, String)>; 2]>,
    /// Letters struck in each cycle.
    cycles: HashMap<&'static str, BTreeSet<&'static str>>,
}

static ORACLE: LazyLock<Oracle> = LazyLock::new(Oracle::new);

impl Oracle {
    fn new() -> Oracle {
        let e = &*ENTRIES;
        let image = image();
        let device: HashMap<&str, usize> =
            (0..image.meta(Meta::Devices)).map(|i| (image.device(i).id(), i)).collect();
        let entry: HashMap<&str, _> = e.devices.iter().map(|f| (&*f.entry.id, &f.entry)).collect();
        let ids = |v: &[String]| v.iter().map(|d| device[&**d]).collect::<BTreeSet<usize>>();
        let up = (0..device.len())
            .map(|i| {
                let mut all = BTreeSet::from([i]);
                let mut next = vec![image.device(i).id()];
                while let Some(id) = next.pop() {
                    for broader in &entry[id].is {
                        if all.insert(device[&**broader]) {
                            next.push(broader);
                        }
                    }
                }
                all
            })
            .collect();
        let list = |of: fn(&Device) -> &Vec<String>| -> Vec<BTreeSet<usize>> {
            (0..device.len()).map(|i| ids(of(entry[image.device(i).id()]))).collect()
        };
        let loose: BTreeSet<usize> =
            (0..device.len()).filter(|i| entry[image.device(*i).id()].loose).collect();
        let all_parents = list(|d| &d.is);
        let kinds = |of: &BTreeSet<usize>| -> BTreeSet<String> {
            let kind = |i: &usize| format!("{:?}", image.device(*i).kind());
            of.iter().map(kind).collect()
        };
        let joint = (0..device.len()).filter(|i| kinds(&all_parents[*i]).len() > 1).collect();
        let parents = all_parents.iter().map(|p| p - &loose).collect();
        let (strains, misread) = (list(|d| &d.strains), list(|d| &d.misread));
        let lettering: HashMap<&str, usize> =
            (0..image.meta(Meta::Letterings)).map(|i| (image.lettering(i).id(), i)).collect();
        let mut kin = vec![BTreeSet::new(); lettering.len()];
        let mut alike = vec![[Vec::new(), Vec::new()]; lettering.len()];
        for f in &e.letterings {
            let i = lettering[&*f.entry.id];
            kin[i] = f.entry.strains.iter().map(|s| lettering[&**s]).collect();
            alike[i] = [&f.entry.alike_upper, &f.entry.alike_lower].map(|pairs| {
                pairs
                    .iter()
                    .filter_map(|p| p.split_once(' '))
                    .map(|(a, b)| (a.to_uppercase(), b.to_uppercase()))
                    .collect()
            });
        }
        let mut cycles: HashMap<&str, BTreeSet<&str>> = HashMap::new();
        for i in 0..image.meta(Meta::Letters) {
            let l = image.letter(i);
            if let Some(v) = l.value().filter(|_| !l.rival()) {
                cycles.entry(l.cycle()).or_default().insert(image.value(v));
            }
        }
        Oracle { up, parents, joint, strains, misread, kin, alike, cycles }
    }

    /// Is the one easily misread for the other, or a form of them for a form of the other?
    fn misreads(&self, a: usize, b: usize) -> bool {
        let one_way = |a: usize, b: usize| {
            let mut forms = self.up[a].iter();
            forms.any(|f| !self.misread[*f].is_disjoint(&self.up[b]))
        };
        one_way(a, b) || one_way(b, a)
    }

    /// A described device against the marks of a row: as well as the best of them meets it. Where
    /// only its form was doubted, what it is easily misread for strains.
    fn device(&self, word: usize, row: RowView, form_doubt: bool) -> Verdict {
        row.marks()
            .map(|m| {
                let struck = m.device();
                let part = self.joint.contains(&word) && word != struck;
                let broader = self.up[word].contains(&struck) && !part;
                let contrary = !self.up[struck].contains(&word) && !broader;
                let loosely = !self.strains[word].is_disjoint(&self.up[struck]);
                // Easily misread: strains where the describer doubted the form, or where the table
                // itself only guesses which form of the thing it was.
                let guessed = m.confidence() == Confidence::Low
                    && !self.parents[word].is_disjoint(&self.parents[struck]);
                let misread = (form_doubt || guessed) && self.misreads(word, struck);
                match (contrary, loosely || misread) {
                    (false, _) => Clean,
                    (true, true) => Strains,
                    (true, false) => Clashes,
                }
            })
            .min()
            .unwrap_or(Clashes)
    }

    /// I answers for J, and U for V, where the alphabet strikes only one of them.
    fn same_letter(&self, l: LetterView, typed: &str) -> bool {
        let Some(struck) = l.value().map(|v| image().value(v)) else {
            return false;
        };
        let both = self.cycles.get(l.cycle()).is_some_and(|c| c.contains(typed));
        struck == typed || sisters(struck, typed) && !both
    }

    fn alike(&self, l: LetterView, typed: &str) -> bool {
        let Some(struck) = l.value().map(|v| image().value(v)) else {
            return false;
        };
        let letterings = match l.lettering() {
            Some(n) => n..n + 1,
            None => 0..self.alike.len(),
        };
        letterings.into_iter().any(|n| {
            let [upper, lower] = &self.alike[n];
            let in_list = |list: &[(String, String)]| {
                list.iter().any(|(a, b)| (a == struck && b == typed) || (a == typed && b == struck))
            };
            l.case() != Case::Lower && in_list(upper) || l.case() != Case::Upper && in_list(lower)
        })
    }

    /// A described letter against a row: one verdict for each feature that was said. `others` is
    /// the whole description: a row has one letter, known or not, and it cannot explain two.
    fn letter(
        &self,
        s: &Sighting,
        seen: &LetterSeen,
        row: RowView,
        others: &[Sighting],
    ) -> Vec<Verdict> {
        let l = row.letter();
        let mut out = Vec::new();
        let known = l.value().is_some();
        if !seen.values.is_empty() {
            let typed: Vec<&str> = seen
                .values
                .iter()
                .filter_map(|t| t.value)
                .map(|v| image().value(v as usize))
                .collect();
            let may_be_another = (s.worn || s.doubt) && seen.values.len() == 1;
            let silent = !known && !two_letters(others);
            out.push(if silent || typed.iter().any(|t| self.same_letter(l, t)) {
                Clean
            } else if may_be_another && typed.iter().any(|t| self.alike(l, t)) {
                Strains
            } else {
                Clashes
            });
        }
        let doubted = |v: Verdict, doubt: bool| if doubt { v.min(Strains) } else { v };
        if let Some(case) = seen.case.filter(|c| *c != Case::Either) {
            let caseless = l.lettering().is_some_and(|n| image().lettering(n).caseless());
            let v = if !known || caseless || l.case() == Case::Either || l.case() == case {
                Clean
            } else if l.case_confidence() == Confidence::Low {
                Strains
            } else {
                Clashes
            };
            out.push(doubted(v, seen.case_doubt));
        }
        if let Some(n) = seen.lettering {
            let v = match l.lettering().filter(|_| known) {
                None => Clean,
                Some(k) if k == n as usize => Clean,
                Some(k) if self.kin[n as usize].contains(&k) => Strains,
                Some(_) if l.lettering_confidence() == Confidence::Low => Strains,
                Some(_) => Clashes,
            };
            out.push(doubted(v, seen.lettering_doubt));
        }
        // An outline never excludes; whether one is a form of another is not judged here.
        out
    }

    /// Each thing the sighting says, against one row.
    fn verdicts(&self, s: &Sighting, row: RowView, others: &[Sighting]) -> Vec<Verdict> {
        let plain = |stands: bool| {
            vec![match (stands, s.doubt) {
                (true, _) => Clean,
                (false, true) => Strains,
                (false, false) => Clashes,
            }]
        };
        match &s.what {
            What::Device(words) => {
                let best = words.iter().map(|w| self.device(*w as usize, row, s.form_doubt)).min();
                let best = best.unwrap_or(Clashes);
                vec![if s.doubt { best.min(Strains) } else { best }]
            }
            What::Slot(slot) => plain(row.marks().any(|m| m.slot() == *slot)),
            What::Standard(st) => plain(row.standard() == *st as usize),
            What::Town(o) => plain(row.letter().office() == *o as usize),
            What::Letter(l) => self.letter(s, l, row, others),
            // Absence strains at most, unless the set was said to be complete.
            What::Absent(w) => vec![if self.is_due(w, row) { Strains } else { Clean }],
            _ => vec![],
        }
    }

    fn is_due(&self, what: &What, row: RowView) -> bool {
        match what {
            What::Slot(slot) => row.groups().any(|g| g.due && g.marks().any(|m| m.slot() == *slot)),
            What::Device(words) => row.groups().filter(|g| g.due).any(|g| {
                g.marks().any(|m| {
                    words.iter().any(|w| {
                        let (w, d) = (*w as usize, m.device());
                        self.up[d].contains(&w) || self.up[w].contains(&d)
                    })
                })
            }),
            What::Letter(_) => !row.letter().optional(),
            _ => false,
        }
    }

    fn clashes(&self, s: &Sighting, row: RowView, others: &[Sighting]) -> bool {
        self.verdicts(s, row, others).contains(&Clashes)
    }
}

/// The letters that each sighting may be, where it was read.
fn letters_read(sightings: &[Sighting]) -> Vec<Vec<&'static str>> {
    sightings
        .iter()
        .filter_map(|s| match &s.what {
            What::Letter(l) if !l.values.is_empty() => Some(&l.values),
            _ => None,
        })
        .map(|v| v.iter().filter_map(|t| t.value).map(|v| image().value(v as usize)).collect())
        .collect()
}

/// I and J, U and V: one letter wherever the alphabet strikes only one of them.
fn sisters(a: &str, b: &str) -> bool {
    matches!((a, b), ("I", "J") | ("J", "I") | ("U", "V") | ("V", "U"))
}

/// Were two letters read that cannot be one?
fn two_letters(sightings: &[Sighting]) -> bool {
    let read = letters_read(sightings);
    let one = |a: &[&str], b: &[&str]| a.iter().any(|x| b.iter().any(|y| x == y || sisters(x, y)));
    (0..read.len()).any(|i| (0..i).any(|j| !one(&read[i], &read[j])))
}

// ---- Laws of the words --------------------------------------------------------------------------

/// Every span of what was read lies inside the text, on the boundaries of its characters, and
/// holds the words it is said to hold.
fn spans_hold(typed: &str) {
    let seen = puncheon::sightings(Tables::builtin(), typed);
    let inside = |start: usize, end: usize, of: &str| {
        assert!(
            start <= end && typed.is_char_boundary(start) && typed.is_char_boundary(end),
            "{of}: {start}..{end} of {typed:?}"
        );
    };
    for s in &seen.sightings {
        inside(s.start, s.end, "sighting");
        assert!(s.start < s.end, "a sighting of no words in {typed:?}");
        assert!(s.part < seen.parts.len(), "no part {} in {typed:?}", s.part);
    }
    for r in &seen.remarks {
        inside(r.start, r.end, "remark");
        assert!(r.start < r.end, "a remark on no words in {typed:?}");
    }
    for c in &seen.claimed {
        inside(c.start, c.end, "claim");
        assert!(c.start < c.end, "a claim of no words in {typed:?}");
    }
    every_byte_has_one_home(typed, &seen);
}

/// Every byte lies in exactly one node of the tree; what parts words has no word in it; marks, statements
/// and parts have nodes and no other numbers do; and no word that was not understood goes untold.
fn every_byte_has_one_home(typed: &str, seen: &Sightings) {
    let nodes = seen.tree.nodes();
    covers(typed, &seen.tree);
    let (mut marks, mut stated, mut parts) =
        (BTreeSet::new(), BTreeSet::new(), BTreeSet::from([0]));
    for n in nodes {
        let said = &typed[n.start..n.end];
        match n.fate {
            Fate::Parting => {
                // An apostrophe that Unicode calls a letter is none, nor an accent by itself.
                let word = |c: char| {
                    c.is_alphanumeric() && c != '\u{2bc}' && !('\u{300}'..='\u{36f}').contains(&c)
                };
                assert!(!said.contains(word), "{said:?} lost in {typed:?}");
            }
            Fate::Used(Use::Mark(i)) => drop(marks.insert(i as usize)),
            Fate::Used(Use::Stated(i)) => drop(stated.insert(i as usize)),
            Fate::Used(Use::Part(i)) => drop(parts.insert(i as usize)),
            Fate::Refused(Refusal::NotUnderstood) => {
                let told = seen.remarks.iter().any(|r| {
                    r.remark == RemarkKind::NotUnderstood && r.start <= n.start && n.end <= r.end
                });
                assert!(told, "{said:?} of {typed:?} is not understood, and not told");
            }
            _ => {}
        }
    }
    assert_eq!(marks, (0..seen.sightings.len()).collect(), "marks of {typed:?}: {nodes:?}");
    assert_eq!(stated, (0..seen.claimed.len()).collect(), "statements of {typed:?}: {nodes:?}");
    assert_eq!(parts, (0..seen.parts.len()).collect(), "parts of {typed:?}: {nodes:?}");
}

/// Characters that fold, shrink or grow, join or vanish.
const ODD: &str = "İıŉßﬁǅſÆæŒœÑñÇçØøÅå𝔨𝔎ℭℌℑℜℨℬℰℱℋℐℒℳℛℯℊℴℎ𝐀𝟗ＡｋＺ９．，\
    \u{200b}\u{200d}\u{2060}\u{feff}\u{ad}\u{301}\u{a0}\u{2009}\u{3000}\u{85}\u{2028}\u{2029}\r\n\t\0\
    ‘’ʼ′“”„«»″‐–—−•·*½¼№£$€#&+/-?!:;.,()[]{}|\"'☾♔😀漢字ЖώאبA9az";

/// Every phrase of the vocabulary, and figures, in table order.
static VOCABULARY: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
    let mut all: Vec<&str> = ENTRIES
        .words
        .iter()
        .flat_map(|f| {
            let w = &f.entry;
            w.say.iter().chain(&w.slips).chain(&w.capitals)
        })
        .chain(ENTRIES.reigns.iter().flat_map(|f| &f.entry.say))
        .map(String::as_str)
        .collect();
    all.extend([
        "925", ".925", "0.925", "18", "18ct", "375", "1803", "1803/04", "1803-4", "1890s", "c1790",
        "18th", "178g", "12.5", "1,785", "7 in", "£18", "#4", "W.S", "PB/AB/WB", "HB", "a", "A",
        "i", "I", "n or h", "(a)", "(b)", "k", "A7",
    ]);
    all
});

const BETWEEN: [&str; 22] = [
    " ", " ", " ", ", ", ", ", "; ", ". ", "\n", "?", " ? ", ": ", "/", " & ", " + ", " - ", "-",
    "(", ") ", "\"", "'", ".", "",
];

/// Vocabulary, punctuation and figures in any order.
fn salad() -> impl Strategy<Value = String> {
    let bit = (any::<u32>(), any::<u32>(), 0u8..8);
    prop::collection::vec(bit, 0..30).prop_map(|bits| {
        bits.into_iter()
            .map(|(word, between, how)| {
                let word = VOCABULARY[pick(word, VOCABULARY.len())];
                let word = match how {
                    0 => word.to_uppercase(),
                    1 => word.chars().rev().collect(),
                    _ => word.to_string(),
                };
                word + BETWEEN[pick(between, BETWEEN.len())]
            })
            .collect()
    })
}

fn odd_text() -> impl Strategy<Value = String> {
    let odd: Vec<char> = ODD.chars().collect();
    prop::collection::vec(prop::sample::select(odd), 0..40).prop_map(|v| v.into_iter().collect())
}

proptest! {
    #![proptest_config(proptest_config(600))]

    #[test]
    fn any_unicode_is_read_without_panic_and_spans_hold(typed in any::<String>()) {
        spans_hold(&typed);
    }

    #[test]
    fn odd_characters_are_read_without_panic_and_spans_hold(typed in odd_text(), words in salad()) {
        spans_hold(&typed);
        let mixed: String = words.chars().zip(typed.chars().cycle()).flat_map(|(a, b)| [a, b]).collect();
        spans_hold(&mixed);
    }

    #[test]
    fn any_vocabulary_is_read_without_panic_and_spans_hold(typed in salad()) {
        spans_hold(&typed);
    }
}

// ---- Laws of rows -------------------------------------------------------------------------------

proptest! {
    #![proptest_config(proptest_config(400))]

    #[test]
    fn more_evidence_never_adds_a_fit(marks in seeds(6), at in any::<prop::sample::Index>()) {
        let all = describe(&marks);
        let mut fewer = all.clone();
        fewer.remove(at.index(all.len()));
        let before = read(&fewer);
        prop_assume!(before.outcome != Outcome::Outside);
        let (before, after) = (keys(&before), keys(&read(&all)));
        let added: Vec<&Key> = after.difference(&before).collect();
        prop_assert!(added.is_empty(), "{:?} beside {:?} adds {added:?}", shown(&all), shown(&fewer));
    }

    #[test]
    fn more_words_never_add_a_fit(marks in seeds(5), extra in salad()) {
        let said = words(&describe(&marks));
        let more = format!("{said}; {extra}");
        // Words may change what other words mean; the law speaks of marks read alike.
        let (few, many) = (puncheon::sightings(Tables::builtin(), &said), puncheon::sightings(Tables::builtin(), &more));
        let alike = |a: &Sighting, b: &Sighting| (&a.what, a.doubt, a.worn, a.part) == (&b.what, b.doubt, b.worn, b.part);
        prop_assume!(many.sightings.len() >= few.sightings.len()
            && few.sightings.iter().zip(&many.sightings).all(|(a, b)| alike(a, b)));
        let before = puncheon::read(Tables::builtin(), &said, &Options::default());
        prop_assume!(before.outcome != Outcome::Outside);
        let (before, after) = (keys(&before), keys(&puncheon::read(Tables::builtin(), &more, &Options::default())));
        let added: Vec<&Key> = after.difference(&before).collect();
        prop_assert!(added.is_empty(), "{more:?} adds {added:?} to {said:?}");
    }

    #[test]
    fn the_order_of_sightings_never_matters(
        (marks, order) in seeds(6).prop_flat_map(|m| {
            let order: Vec<usize> = (0..m.1.len()).collect();
            (Just(m), Just(order).prop_shuffle())
        })
    ) {
        let first = describe(&marks);
        let second: Vec<Sighting> = order.iter().map(|i| first[*i].clone()).collect();
        let (a, b) = (read(&first), read(&second));
        let identity: Vec<usize> = (0..first.len()).collect();
        prop_assert_eq!(answer(&a, &identity), answer(&b, &order), "{:?}", shown(&first));
    }

    #[test]
    fn one_signature_is_one_answer(
        (marks, order) in seeds(5).prop_flat_map(|m| {
            let order: Vec<usize> = (0..m.1.len()).collect();
            (Just(m), Just(order).prop_shuffle())
        }),
        at in any::<prop::sample::Index>(),
        other in (0u8..20, any::<u32>(), any::<u32>(), any::<u32>()),
        copies in any::<[bool; 2]>(),
    ) {
        let seen = |sightings: Vec<Sighting>, called_copy| {
            let mut seen = Sightings::new(image(), WORDS);
            (seen.sightings, seen.called_copy) = (sightings, called_copy);
            seen
        };
        let gist = |seen: &Sightings| {
            let g = puncheon::gist_sightings(Tables::builtin(), seen, None, &Options::default());
            let g = g.expect("of WORDS");
            format!("{g:?}")
        };
        let first = describe(&marks);
        let turned = seen(order.iter().map(|i| first[*i].clone()).collect(), copies[0]);
        let mut changed = marks.clone();
        let at = at.index(changed.1.len());
        changed.1[at] = other;
        let changed = seen(describe(&changed), copies[1]);
        let first = seen(first, copies[0]);
        prop_assert_eq!(first.signature(), turned.signature());
        prop_assert_eq!(gist(&first), gist(&turned));
        // What is left out of a signature may not change an answer.
        if first.signature() == changed.signature() {
            prop_assert_eq!(gist(&first), gist(&changed));
        }
    }

    #[test]
    fn the_order_of_clauses_never_matters(
        (marks, order) in seeds(6).prop_flat_map(|m| {
            let order: Vec<usize> = (0..m.1.len()).collect();
            (Just(m), Just(order).prop_shuffle())
        })
    ) {
        let first = describe(&marks);
        let second: Vec<Sighting> = order.iter().map(|i| first[*i].clone()).collect();
        let (a, b) = (words(&first), words(&second));
        let of = |text: &str| puncheon::sightings(Tables::builtin(), text).sightings;
        let sorted = |v: &[Sighting]| {
            let mut v: Vec<String> = v.iter().map(|s| format!("{:?} {} {}", s.what, s.doubt, s.worn)).collect();
            v.sort();
            v
        };
        prop_assert_eq!(sorted(&of(&a)), sorted(&of(&b)), "{:?} against {:?}", a, b);
        let read = |text: &str| keys(&puncheon::read(Tables::builtin(), text, &Options::default()));
        prop_assert_eq!(read(&a), read(&b), "{:?} against {:?}", a, b);
    }

    #[test]
    fn every_fit_answers_for_every_sighting_once(marks in seeds(6)) {
        let seen = describe(&marks);
        let r = read(&seen);
        let all: Vec<usize> = (0..seen.len()).collect();
        for f in &r.fits {
            let mut met: Vec<usize> = [&f.agrees, &f.silent, &f.strains]
                .into_iter()
                .flatten()
                .filter_map(|b| b.sighting)
                .collect();
            met.sort_unstable();
            prop_assert_eq!(&met, &all, "{} {} for {:?}", f.office_name, f.shown, shown(&seen));
            prop_assert!(f.clashes.is_empty(), "a fit with a clash: {:?}", f.clashes);
            for b in f.agrees.iter().chain(&f.silent).chain(&f.strains) {
                prop_assert!(!b.why.trim().is_empty(), "no reason: {b:?} of {:?}", shown(&seen));
            }
        }
    }

    #[test]
    fn every_near_names_each_clash(marks in seeds(6)) {
        let seen = describe(&marks);
        // Two forms of one letter have a test of their own.
        let read_as: Vec<&str> = letters_read(&seen).concat();
        prop_assume!(!read_as.iter().any(|a| read_as.iter().any(|b| sisters(a, b))));
        let r = read(&seen);
        prop_assert!(r.nears.len() <= 12);
        for f in &r.nears {
            let said: BTreeSet<usize> = f.clashes.iter().filter_map(|c| c.sighting).collect();
            let true_clashes: BTreeSet<usize> = (0..seen.len())
                .filter(|i| ORACLE.clashes(&seen[*i], image().row(f.row), &seen))
                .collect();
            prop_assert_eq!(&said, &true_clashes, "{} {} for {:?}", f.office_name, f.shown, shown(&seen));
            prop_assert!((1..=2).contains(&f.clashes.len()), "{:?}", f.clashes);
            for c in &f.clashes {
                prop_assert!(!c.saw.trim().is_empty() && !c.would_be.trim().is_empty(), "{c:?} of {:?}", shown(&seen));
            }
            let met: BTreeSet<usize> = [&f.agrees, &f.silent, &f.strains]
                .into_iter()
                .flatten()
                .filter_map(|b| b.sighting)
                .chain(said)
                .collect();
            prop_assert_eq!(met, (0..seen.len()).collect(), "{:?}", shown(&seen));
        }
    }

    #[test]
    fn fits_are_those_a_plain_search_finds(marks in seeds(5)) {
        let seen = describe(&marks);
        // Two forms of one letter have a test of their own.
        let read_as: Vec<&str> = letters_read(&seen).concat();
        prop_assume!(!read_as.iter().any(|a| read_as.iter().any(|b| sisters(a, b))));
        let r = read(&seen);
        if r.outcome == Outcome::Outside {
            prop_assert!(r.fits.is_empty() && r.nears.is_empty());
            return Ok(());
        }
        // Two strains never pass the limit of two doubts' worth; more may.
        let (mut must, mut may) = (BTreeSet::new(), BTreeSet::new());
        for row in rows() {
            let verdicts: Vec<Verdict> = seen.iter().flat_map(|s| ORACLE.verdicts(s, row, &seen)).collect();
            if verdicts.contains(&Clashes) {
                continue;
            }
            let outline = seen.iter().filter(|s| matches!(&s.what, What::Letter(l) if l.outline.is_some())).count();
            let strains = verdicts.iter().filter(|v| **v == Strains).count() + outline + usize::from(row.letter().rival());
            may.extend(keys_of_row(row));
            if strains <= 2 {
                must.extend(keys_of_row(row));
            }
        }
        let found = keys(&r);
        let wrong: Vec<&Key> = found.difference(&may).take(5).collect();
        let missed: Vec<&Key> = must.difference(&found).take(5).collect();
        prop_assert!(wrong.is_empty() && missed.is_empty(),
            "{:?}: wrongly found {wrong:?}, missed {missed:?}", shown(&seen));
        prop_assert_eq!(r.outcome == Outcome::Fits, !found.is_empty());
    }

    #[test]
    fn json_is_one_line_in_the_published_shape(marks in seeds(5), typed in salad(), odd in odd_text()) {
        for r in [
            read(&describe(&marks)),
            puncheon::read(Tables::builtin(), &typed, &Options::default()),
            puncheon::read(Tables::builtin(), &odd, &Options::default()),
        ] {
            json_holds(&r);
        }
    }
}

/// A year whose letter the table does not know may have been either.
#[test]
fn i_and_j_are_one_letter_where_the_letter_is_not_known() {
    let row = rows().find(|r| r.letter().value().is_none()).expect("some letter is not known");
    let letter = |shown: &str| {
        What::Letter(LetterSeen {
            values: vec![Typed {
                value: image().value_of(shown).map(|v| v as u32),
                upper: Some(true),
                shown: shown.to_string(),
            }],
            ..LetterSeen::default()
        })
    };
    for (a, b) in [("I", "J"), ("U", "V")] {
        let found = keys(&read(&numbered([letter(a), letter(b)])));
        assert!(keys_of_row(row).all(|k| found.contains(&k)), "{a} and {b}");
    }
}

/// What an answer says, with sightings numbered as they first stood: `was[i]` is the old number of
/// sighting `i`.
fn answer(r: &Reading, was: &[usize]) -> impl PartialEq + std::fmt::Debug + use<> {
    let entry = |f: &Fit| {
        let of = |v: &[puncheon::reading::Bearing]| -> BTreeSet<(Option<usize>, String)> {
            v.iter().map(|b| (b.sighting.map(|i| was[i]), b.why.clone())).collect()
        };
        let clashes: BTreeSet<_> = f
            .clashes
            .iter()
            .map(|c| (c.sighting.map(|i| was[i]), c.saw.clone(), c.would_be.clone()))
            .collect();
        (
            (f.office.clone(), f.year, f.from, f.to, f.shown.clone()),
            (f.begins.clone(), f.ends.clone(), f.origin, f.letter.clone()),
            (f.metal, f.fineness, f.basis, f.confidence),
            (of(&f.agrees), of(&f.silent), of(&f.strains), clashes),
            f.sources.iter().cloned().collect::<BTreeSet<_>>(),
        )
    };
    (
        (r.outcome, r.outside_because, r.sure, r.conflict.is_some()),
        r.fits.iter().map(entry).collect::<Vec<_>>(),
        r.nears.iter().map(entry).collect::<Vec<_>>(),
        (r.left, r.look_next.clone()),
        r.lookalikes.iter().map(|l| l.id.clone()).collect::<Vec<_>>(),
        r.cautions.clone(),
    )
}

// ---- JSON ---------------------------------------------------------------------------------------

fn json_holds(r: &Reading) {
    let line = serde_json::to_string(r).expect("a reading can be written");
    assert!(!line.contains(['\n', '\r']), "{line}");
    let back: serde_json::Value = serde_json::from_str(&line).expect("the line is JSON");
    assert_eq!(back, serde_json::to_value(r).expect("a reading is a value"));
    let fields = |v: &serde_json::Value| -> BTreeSet<String> {
        v.as_object().map(|o| o.keys().cloned().collect()).unwrap_or_default()
    };
    let has = |v: &serde_json::Value, names: &str| {
        let wanted: BTreeSet<String> = names.split(' ').map(str::to_string).collect();
        let missing: Vec<_> = wanted.difference(&fields(v)).cloned().collect();
        assert!(missing.is_empty(), "no {missing:?} in {v}");
    };
    // The shape of puncheon.reading/1 in docs/contract.md, section 3.
    assert_eq!(back["schema"], "puncheon.reading/1");
    has(
        &back,
        "schema asked outcome outside_because conflict sure sightings remarks claimed fits nears \
         left look_next lookalikes cautions parts",
    );
    for list in
        "sightings remarks claimed fits nears look_next lookalikes cautions parts".split(' ')
    {
        assert!(back[list].is_array(), "{list} is no list: {line}");
    }
    let each = |list: &str, names: &str| {
        for v in back[list].as_array().into_iter().flatten() {
            has(v, names);
        }
    };
    let entry = "office year from to shown begins ends origin letter metal fineness agrees silent \
                 strains basis confidence sources";
    each("sightings", "text start end kind reads_as");
    each("remarks", "text start end remark nearest");
    each("claimed", "text start end office from to period standard");
    each("fits", entry);
    each("nears", &format!("{entry} clashes"));
    each("look_next", "feature asks answers");
    each("lookalikes", "id kind what why from to confidence sources");
    each("parts", "label reading");
}

// ---- Every row ----------------------------------------------------------------------------------

/// "small roman f".
fn letter_words(l: &LetterSeen) -> String {
    let mut out = vec!["date letter".to_string()];
    out.extend(match l.case {
        Some(Case::Upper) => Some("capital".to_string()),
        Some(Case::Lower) => Some("small".to_string()),
        _ => None,
    });
    // The word of the tables: the name is for a reader and may hold a comma.
    let lettering = l.lettering.map(|n| image().lettering(n as usize).id());
    out.extend(lettering.map(|id| id.replace('-', " ")));
    let values: Vec<&str> = l.values.iter().map(|t| t.shown.as_str()).collect();
    out.push(values.join(" or "));
    out.join(" ")
}

/// The marks in a person's words, one clause each; those that have no plain words are left out.
fn words(sightings: &[Sighting]) -> String {
    let clauses: Vec<String> = sightings
        .iter()
        .filter_map(|s| match &s.what {
            What::Device(d) => Some(
                d.iter()
                    .map(|d| image().device(*d as usize).name())
                    .collect::<Vec<_>>()
                    .join(" or "),
            ),
            What::Letter(l) if !l.values.is_empty() => Some(letter_words(l)),
            What::Town(o) => Some(format!("{} town mark", image().office(*o as usize).name())),
            _ => None,
        })
        .collect();
    clauses.join("; ")
}

/// Every mark that is due in the row's set, the `k`th of each choice, and the letter in full.
fn in_full(row: RowView, k: usize) -> Vec<Sighting> {
    let mut whats: Vec<What> = row
        .groups()
        .filter(|g| g.due)
        .filter_map(|g| {
            let marks: Vec<u32> = g.marks().map(|m| m.device() as u32).collect();
            marks.get(k % marks.len().max(1)).map(|d| What::Device(vec![*d]))
        })
        .collect();
    if row.letter().value().is_some() {
        whats.push(What::Letter(letter_of(row, 7)));
    }
    numbered(whats)
}

/// Plain sightings, one word each.
fn numbered(whats: impl IntoIterator<Item = What>) -> Vec<Sighting> {
    whats
        .into_iter()
        .enumerate()
        .map(|(i, what)| Sighting {
            start: i,
            end: i + 1,
            what,
            doubt: false,
            form_doubt: false,
            worn: false,
            number: None,
            part: 0,
        })
        .collect()
}

/// How many choices the row's set leaves.
fn choices(row: RowView) -> usize {
    row.groups().filter(|g| g.due).map(|g| g.marks().count()).max().unwrap_or(1)
}

/// Rows of one office, letter, standard and set are described alike: one stands for them.
fn told_apart() -> Vec<RowView<'static>> {
    let mut seen = BTreeSet::new();
    rows().filter(|r| seen.insert((r.letter_index(), r.standard(), r.set()))).collect()
}

fn found_again(
    read: impl Fn(&[Sighting]) -> (String, Reading),
) -> BTreeMap<String, (usize, String)> {
    let mut lost: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for row in told_apart() {
        for k in 0..choices(row) {
            let marks = in_full(row, k);
            if marks.is_empty() {
                continue;
            }
            let (asked, r) = read(&marks);
            let found = keys(&r);
            if let Some((office, year, metal, parts)) =
                keys_of_row(row).find(|k| !found.contains(k))
            {
                let kinds: Vec<String> = marks
                    .iter()
                    .filter(|s| !matches!(s.what, What::Letter(_)))
                    .map(|s| puncheon::reads_as(Tables::builtin(), s))
                    .collect();
                let place = format!("{:?} for {}", r.outcome, kinds.join(", "));
                let example = format!("{office} {year} {metal} {parts:?}: {asked}");
                lost.entry(place).or_insert((0, example)).0 += 1;
            }
        }
    }
    lost
}

fn none_lost(lost: &BTreeMap<String, (usize, String)>) {
    let lines: Vec<String> = lost
        .iter()
        .map(|(place, (n, example))| format!("{n} rows, {place}\n    {example}"))
        .collect();
    assert!(lines.is_empty(), "rows described in full and not found again:\n{}", lines.join("\n"));
}

#[test]
fn every_row_described_in_full_is_found_again() {
    let mut options = Options::default();
    options.nears = Nears::IfNoFits;
    none_lost(&found_again(|marks| {
        let asked = words(marks);
        let r = puncheon::read(Tables::builtin(), &asked, &options);
        (asked, r)
    }));
}

#[test]
fn every_row_is_found_by_its_own_sightings() {
    none_lost(&found_again(|marks| (words(marks), read(marks))));
}

fn rows_with(device: usize) -> impl Iterator<Item = MarkView<'static>> {
    rows().flat_map(|r| r.marks()).filter(move |m| m.device() == device)
}

/// A mark is told to a reader by its device's name; typed back, the name means the mark.
#[test]
fn every_struck_device_is_understood_by_its_name() {
    let image = image();
    let struck: BTreeSet<usize> = rows().flat_map(|r| r.marks()).map(|m| m.device()).collect();
    let mut lost = Vec::new();
    for d in struck {
        let name = image.device(d).name();
        let seen = puncheon::sightings(Tables::builtin(), name);
        let whole: Vec<&What> = seen.sightings.iter().map(|s| &s.what).collect();
        let understood = match whole.as_slice() {
            [What::Device(v)] => v.iter().any(|w| ORACLE.up[d].contains(&(*w as usize))),
            // An assay master's mark is known by its place alone.
            [What::Slot(slot)] => rows_with(d).all(|m| m.slot() == *slot),
            _ => false,
        };
        if !understood {
            lost.push(format!(
                "{name} ({}) is read as {:?}",
                image.device(d).id(),
                shown(&seen.sightings)
            ));
        }
    }
    assert!(lost.is_empty(), "{} names:\n{}", lost.len(), lost.join("\n"));
}

// ---- Metal --------------------------------------------------------------------------------------

fn metal_of(row: RowView) -> &'static str {
    puncheon::schema::export::metal(image().standard(row.standard()).metal())
}

/// Sets of silver, told apart, every so many of them.
fn silver_sets(every: usize) -> impl Iterator<Item = Vec<Sighting>> {
    let silver = |row: &RowView| metal_of(*row) == "silver";
    let sets = told_apart().into_iter().filter(silver).step_by(every);
    sets.map(|row| in_full(row, 0)).filter(|marks| marks.len() > 1)
}

/// A piece of silver that is described in part was never gold first: a mark that gold alone bore is
/// not among its marks.
#[test]
fn no_part_of_a_silver_set_is_led_by_another_metal() {
    let mut tried = 0;
    for marks in silver_sets(4) {
        let parts = (0..marks.len()).flat_map(|left_out| {
            let without: Vec<Sighting> = marks
                .iter()
                .enumerate()
                .filter(|(i, _)| *i != left_out)
                .map(|(_, s)| s.clone())
                .collect();
            [without, vec![marks[left_out].clone()]]
        });
        for part in parts {
            let r = read(&part);
            let first = r.fits.first().map(|f| f.metal);
            assert!(
                first.is_none_or(|m| m == "silver"),
                "{:?} begins with {first:?}",
                shown(&part)
            );
            tried += usize::from(first.is_some());
        }
    }
    assert!(tried > 5_000, "{tried} parts");
}

/// One mark of a silver set named for another that is easily taken for it makes no gold of it: what
/// the program values is silver or nothing, and the first line never names gold alone.
#[test]
fn no_slip_turns_silver_into_another_metal() {
    let tables = Tables::builtin();
    let (mut tried, mut wrong) = (0, BTreeMap::new());
    for marks in silver_sets(16) {
        for (i, mark) in marks.iter().enumerate() {
            let What::Device(struck) = &mark.what else {
                continue;
            };
            let taken_for =
                DEVICES.iter().filter(|d| ORACLE.misreads(**d as usize, struck[0] as usize));
            for device in taken_for {
                let mut marks = marks.clone();
                marks[i].what = What::Device(vec![*device]);
                let asked = words(&marks);
                let r = puncheon::read(tables, &asked, &Options::default());
                tried += 1;
                let led = r.fits.first().is_some_and(|f| f.metal != "silver");
                if led && r.silver_misread.is_none() {
                    wrong.insert(asked.clone(), "begins with another metal".to_string());
                }
                if !led && r.fits.is_empty() {
                    continue;
                }
                let of = puncheon::worth::Asked {
                    piece: "100g".into(),
                    marks: Some(asked.clone()),
                    ..Default::default()
                };
                let worth = puncheon::worth::worth(tables, &of).expect("the weight is read");
                let metal = worth.fineness.and_then(|f| f.metal);
                if metal.is_some_and(|m| m != "silver") {
                    wrong.insert(asked, format!("valued as {metal:?}"));
                }
            }
        }
    }
    assert!(tried > 1_000, "{tried} sets");
    assert!(wrong.is_empty(), "{} of {tried}: {wrong:#?}", wrong.len());
}

// ---- Joiners ------------------------------------------------------------------------------------

/// The marks of a set in the words of one who writes little: each by its broadest name, the letter bare
/// or with its style.
fn in_short(marks: &[Sighting], bare: bool) -> Vec<String> {
    let name = |s: &Sighting| match &s.what {
        What::Device(d) => {
            let up = ORACLE.up[d[0] as usize].iter();
            let names = up.map(|d| image().device(*d).name());
            names.min_by_key(|n| n.len()).map(str::to_string)
        }
        What::Letter(l) if bare => l.values.first().map(|t| match t.upper {
            Some(false) => t.shown.to_lowercase(),
            _ => t.shown.to_uppercase(),
        }),
        What::Letter(l) => Some(letter_words(l).replace("date letter ", "")),
        _ => None,
    };
    marks.iter().filter_map(name).collect()
}

/// Whole marks joined by any sign are the same marks.
#[test]
fn joiners_between_whole_marks_lose_no_truth() {
    let mut options = Options::default();
    options.nears = Nears::IfNoFits;
    let tables = Tables::builtin();
    let mut lost: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    let mut tried = 0;
    for (k, row) in told_apart().into_iter().enumerate().filter(|(k, _)| k % 4 == 0) {
        let mut marks = in_full(row, 0);
        let turn = k / 4 % marks.len().max(1);
        marks.rotate_left(turn);
        let all: Vec<String> = match k / 4 % 3 {
            0 => words(&marks).split("; ").map(str::to_string).collect(),
            1 => in_short(&marks, false),
            _ => in_short(&marks, true),
        };
        let truth: Vec<Key> = keys_of_row(row).collect();
        let found = |asked: &str| {
            let all = keys(&puncheon::read(tables, asked, &options));
            truth.iter().all(|k| all.contains(k))
        };
        if all.len() < 2 || !found(&all.join(", ")) {
            continue;
        }
        tried += 1;
        for joiner in [" and ", " & ", " + ", " - ", " "] {
            let asked = all.join(joiner);
            if !found(&asked) {
                lost.entry(joiner).or_default().insert(asked);
            }
        }
    }
    assert!(tried > 5_000, "{tried} sets");
    let told: Vec<String> =
        lost.iter().map(|(j, all)| format!("{} by {j:?}: {:#?}", all.len(), all)).collect();
    assert!(lost.is_empty(), "of {tried} sets lose the truth: {}", told.join("\n"));
}

// ---- Makers -------------------------------------------------------------------------------------

/// No letters of a maker on record, beside the marks of his office in his years, deny them: not those
/// that a plater had too, nor any others.
#[test]
fn no_makers_letters_deny_the_marks_of_his_office() {
    let tables = Tables::builtin();
    let all = puncheon::sponsors::sponsors(tables, &Default::default()).sponsors;
    assert!(all.len() > 700, "{} marks", all.len());
    let (mut tried, mut shared) = (0, 0);
    let mut denied = Vec::new();
    for maker in &all {
        let (Some(struck), Some(from)) = (&maker.struck, maker.from) else {
            continue;
        };
        let years = from..=maker.to.unwrap_or(from);
        let at = |row: &RowView| {
            let l = row.letter();
            let office = image().office(l.office()).id();
            let here = maker.offices.iter().any(|o| o == office) && years.contains(&l.year());
            here && metal_of(*row) == "silver" && in_full(*row, 0).len() > 1
        };
        let Some(row) = rows().find(at) else {
            continue;
        };
        let asked = format!("{struck}; {}", words(&in_full(row, 0)));
        let r = puncheon::read(tables, &asked, &Options::default());
        tried += 1;
        shared += usize::from(!r.lookalikes.is_empty());
        if r.outcome == Outcome::Outside {
            denied.push(format!("{asked}: {:?}", r.outside_because));
        }
    }
    assert!(tried > 600, "{tried} makers");
    assert!(shared > 5, "{shared} letters of plate");
    assert!(denied.is_empty(), "{} of {tried}: {denied:#?}", denied.len());
}

/// Every mark of the register, as it is written there and in other common ways, beside the marks of an
/// office is one sponsor's sighting and costs no fit. A single letter may be the date letter, and a name
/// with a word in it ("G of H") is none of letters.
#[test]
fn the_letters_of_every_maker_are_seen_as_a_makers() {
    let tables = Tables::builtin();
    let all = puncheon::sponsors::sponsors(tables, &Default::default()).sponsors;
    let row = rows().find(|r| metal_of(*r) == "silver" && in_full(*r, 0).len() > 2);
    // The office's mark and the standard's.
    let beside = words(&in_full(row.expect("some row bears them"), 0)[..2]);
    let fits = |text: &str| puncheon::read(tables, text, &Options::default()).fits.len();
    let without = fits(&beside);
    let (mut tried, mut lost) = (0, Vec::new());
    for struck in all.iter().filter_map(|m| m.struck.as_deref()) {
        let letters: Vec<&str> = struck.matches(char::is_uppercase).collect();
        // A whole word in capitals is a word, and one letter with small ones behind it may be any.
        let word = struck.split(|c: char| !c.is_alphabetic()).any(|w| w.len() > 5);
        if letters.len() < 2 || struck.contains(" of ") || word {
            continue;
        }
        let mut ways = vec![struck.to_string(), format!("maker's mark {struck}")];
        ways.extend(["in a rectangle", "conjoined", "in script"].map(|w| format!("{struck} {w}")));
        if letters.concat() == struck {
            ways.extend([letters.join("."), format!("{}.", letters.join(".")), letters.join("·")]);
        }
        for way in ways {
            let text = format!("{beside}; {way}");
            let seen = puncheon::sightings(tables, &text);
            tried += 1;
            let one = seen.sightings.len() == 3 && seen.sightings[2].what == What::Sponsor;
            if !one || fits(&text) != without {
                lost.push(way);
            }
        }
    }
    assert!(tried > 4_000, "{tried} ways");
    assert!(lost.is_empty(), "{} of {tried}: {lost:#?}", lost.len());
}
