//! From sightings to rows: those that clash with nothing and those that all but do, gathered by
//! office, letter year and standard, and put in order.

use std::borrow::Cow;
use std::cell::RefCell;
use std::cmp::Reverse;

use puncheon_schema::entry::{Basis, Case, Confidence, DeviceKind, Metal, Origin, Slot};
use puncheon_schema::image::{
    Bits, Group as MarkGroup, Image, LetterView, MarkView, Meets, Meta, RowView,
};

use crate::fit::evidence::{Evidence, gather};
use crate::fit::strain;
use crate::place::{Place, find_office};
use puncheon_lexis::sighting::{Sighting, What};

/// When the entries that would fit with one mark misread are worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Nears {
    /// Always.
    #[default]
    Always,
    /// Only where nothing fits.
    IfNoFits,
}

/// Bounds on what may be answered.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Options {
    /// Only this office, as the tables have it; one of other tables has no rows here.
    pub office: Option<Place>,
    /// Only this metal.
    pub metal: Option<Metal>,
    /// Only letter years from the first to the last.
    pub between: Option<(i32, i32)>,
    /// What was not described is not there: an absence clashes, and what is due and unsaid strains.
    pub complete: bool,
    /// When nears are worked out.
    pub nears: Nears,
}

impl Options {
    /// The same, with nears worked out otherwise.
    pub fn with(&self, nears: Nears) -> Options {
        Options { nears, ..self.clone() }
    }
}

/// The most nears that an answer lists.
const MOST_NEARS: usize = 12;

/// Rows allowed by the options alone.
struct Bounds {
    words: Vec<u64>,
    lo: usize,
    hi: usize,
}

impl Bounds {
    fn new(image: &Image, options: &Options) -> Bounds {
        let width = image.width();
        let mut words: Vec<u64> = image.all_bits().words().collect();
        words.resize(width, 0);
        let mut keep = |f: &dyn Fn(RowView) -> bool| {
            for (i, word) in words.iter_mut().enumerate() {
                for bit in 0..64 {
                    if *word >> bit & 1 == 1 && !f(image.row(i * 64 + bit)) {
                        *word &= !(1 << bit);
                    }
                }
            }
        };
        if let Some((a, b)) = options.between {
            keep(&|r| r.letter().year() <= b && r.letter().to() >= a);
        }
        let mut and = |bits: puncheon_schema::image::Bits| {
            for (i, w) in words.iter_mut().enumerate() {
                *w &= bits.word(i);
            }
        };
        if let Some(m) = options.metal {
            and(image.metal_bits(m));
        }
        match options.office.as_deref().map(|o| find_office(image, o)) {
            Some(Some(o)) => and(image.office_bits(o)),
            Some(None) => words.fill(0),
            None => {}
        }
        Bounds { words, lo: 0, hi: width }
    }

    /// No bounds at all: every row.
    fn open(image: &Image) -> Bounds {
        Bounds { words: Vec::new(), lo: 0, hi: image.width() }
    }

    /// Adds the rows allowed to the words of `out`, of which the first is word `from`.
    fn add_to(&self, out: &mut [u64], from: usize, image: &Image) {
        if self.words.is_empty() {
            image.all_bits().add_to(out, from);
        } else {
            for (o, w) in out.iter_mut().zip(self.words.iter().skip(from)) {
                *o |= w;
            }
        }
    }

    #[inline]
    fn word(&self, i: usize, image: &Image) -> u64 {
        match self.words.is_empty() {
            true => image.all_bits().word(i),
            false => self.words.get(i).copied().unwrap_or_default(),
        }
    }
}

/// A row that is left, and what it cost.
#[derive(Clone, Copy)]
pub struct Hit {
    /// The row's number.
    pub row: u32,
    /// What it cost.
    pub strain: u32,
}

/// Rows of one office, letter year and standard.
pub struct Group {
    /// The row that stands for it: the least strained, then the least short of its marks.
    pub best: Hit,
    /// Its place in the order of fits.
    pub key: Key,
    /// First letter year.
    pub year: i32,
    /// Last letter year.
    pub to: i32,
    /// Bounds of the days still possible, 0 where not known.
    pub begins: i32,
    /// The last day, 0 where it is not known.
    pub ends: i32,
    /// More letter years merged in: the letter is not told.
    pub run: bool,
    /// The weakest fact that any of its years rests on.
    pub weakest: Confidence,
}

/// The order of fits, least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    clashes: (u8, u8),
    /// Another metal than silver: it stands behind every silver fit, for a mark that it alone bore
    /// would have left none.
    pub not_silver: bool,
    /// A letter was read, and the table does not know the row's.
    pub unread: bool,
    strain: u32,
    /// Marks due and not described.
    pub undescribed: u32,
    typed: u8,
    confidence: Confidence,
    /// The metal.
    pub metal: Metal,
    origin: Origin,
    year: Reverse<i32>,
    /// The office, by its number.
    pub office: u32,
    /// The standard, by its number.
    pub standard: u32,
}

impl Key {
    /// Every clash is with something easily misread.
    pub fn easily_misread(&self) -> bool {
        self.clashes.1 == 0
    }

    /// How many marks would have to be misread.
    pub fn misread(&self) -> usize {
        usize::from(self.clashes.0)
    }

    /// How well it fits, least best: a letter that was read before one that is not known, then the
    /// strain.
    pub fn rank(&self) -> (bool, u32) {
        (self.unread, self.strain)
    }
}

/// The rows of the tables, narrowed by what was seen.
pub struct Narrow<'a> {
    /// The tables.
    pub image: &'a Image,
    /// What was seen.
    pub sightings: Cow<'a, [Sighting]>,
    /// What it states, feature by feature.
    pub evidence: Vec<Evidence<'a>>,
    bounds: Bounds,
    complete: bool,
    /// No option bounds the rows.
    pub free: bool,
    rivals: Bits<'a>,
    standard_named: bool,
    /// A letter was described, read or not.
    letter_said: bool,
    /// A letter was read.
    letter_read: bool,
    /// Thousands of rows share some hundreds of sets of marks: each set is looked at once.
    sets: RefCell<Sets>,
}

/// What the sightings make of a set of marks, whatever its letter.
#[derive(Clone, Copy)]
struct SetFacts {
    /// Marks due and not described.
    undescribed: u8,
    /// The same where the standard named is the row's.
    undescribed_of_named: u8,
    /// The weakest of the marks that were described.
    rests_on: Option<(Basis, Confidence)>,
}

/// Facts of the sets looked at. Most descriptions leave a handful, some leave hundreds.
#[derive(Default)]
struct Sets {
    /// For each set one more than its place among the facts, or 0.
    place: Vec<u32>,
    facts: Vec<SetFacts>,
}

impl Sets {
    fn get(&self, set: usize) -> Option<SetFacts> {
        let place = *self.place.get(set)? as usize;
        self.facts.get(place.checked_sub(1)?).copied()
    }

    /// Remembers a set's facts; `all` sets there are.
    fn put(&mut self, set: usize, facts: SetFacts, all: usize) {
        self.facts.push(facts);
        self.place.resize(all, 0);
        if let Some(place) = self.place.get_mut(set) {
            *place = self.facts.len() as u32;
        }
    }
}

impl<'a> Narrow<'a> {
    /// Holds sightings against the tables, within bounds.
    pub fn new(
        image: &'a Image,
        sightings: impl Into<Cow<'a, [Sighting]>>,
        options: &Options,
    ) -> Narrow<'a> {
        let sightings = sightings.into();
        let free = options.between.is_none() && options.metal.is_none() && options.office.is_none();
        Narrow {
            image,
            evidence: gather(image, &sightings, options.complete),
            bounds: if free { Bounds::open(image) } else { Bounds::new(image, options) },
            complete: options.complete,
            free,
            rivals: image.rival_bits(),
            standard_named: sightings.iter().any(|s| matches!(s.what, What::Standard(_))),
            letter_said: sightings.iter().any(|s| matches!(s.what, What::Letter(_))),
            letter_read: sightings
                .iter()
                .any(|s| matches!(&s.what, What::Letter(l) if !l.values.is_empty())),
            sets: RefCell::default(),
            sightings,
        }
    }

    /// The rows that clash with nothing, as a set over all rows.
    pub fn fits(&self) -> Vec<u64> {
        let width = self.image.width();
        let (mut lo, mut hi) = (self.bounds.lo, self.bounds.hi);
        for e in &self.evidence {
            let (a, b) = e.reach(width);
            (lo, hi) = (lo.max(a), hi.min(b));
        }
        let mut out = vec![0; width];
        if let Some(left) = out.get_mut(lo..hi).filter(|left| !left.is_empty()) {
            self.bounds.add_to(left, lo, self.image);
            let mut allowed = vec![0; left.len()];
            for e in self.evidence.iter().filter(|e| !e.allows_all()) {
                e.allowed_in(&mut allowed, lo);
                for (w, a) in left.iter_mut().zip(&allowed) {
                    *w &= a;
                }
            }
        }
        out
    }

    fn strain(&self, row: usize) -> u32 {
        let mut strain: u32 = self.evidence.iter().map(|e| e.strain_of(row)).sum();
        if self.rivals.has(row) {
            strain += strain::RIVAL;
        }
        if self.complete {
            strain += strain::UNDESCRIBED * self.undescribed(row);
        }
        strain
    }

    /// How many marks should stand in the row's set and were not described.
    fn undescribed(&self, row: usize) -> u32 {
        let view = self.image.row(row);
        let named = self.names_standard_of(view);
        let facts = self.set_facts(view);
        let n = if named { facts.undescribed_of_named } else { facts.undescribed };
        u32::from(n) + u32::from(!self.letter_said && !view.letter().optional())
    }

    /// The slots of marks due in a row and not described, where the set was said to be complete; None
    /// is the letter.
    pub fn missing(&self, row: usize) -> Vec<Option<Slot>> {
        if !self.complete {
            return Vec::new();
        }
        let view = self.image.row(row);
        let due = self.due_unsaid(view).filter_map(|g| g.marks().next());
        let mut out: Vec<Option<Slot>> = due.map(|m| Some(m.slot())).collect();
        if !self.letter_said && !view.letter().optional() {
            out.push(None);
        }
        out
    }

    /// Marks that are due in a row and were not described, each with what may stand for it.
    pub fn due_unsaid<'s>(&'s self, view: RowView<'s>) -> impl Iterator<Item = MarkGroup<'s>> {
        let named = self.names_standard_of(view);
        view.groups().filter(move |g| {
            g.due && !g.marks().any(|m| self.describes(m.device(), m.slot(), named))
        })
    }

    /// Was the row's standard named?
    fn names_standard_of(&self, view: RowView) -> bool {
        let standard = view.standard();
        self.standard_named
            && self
                .sightings
                .iter()
                .any(|s| matches!(&s.what, What::Standard(st) if *st as usize == standard))
    }

    fn set_facts(&self, view: RowView) -> SetFacts {
        let set = view.set();
        if let Some(facts) = self.sets.borrow().get(set) {
            return facts;
        }
        let undescribed = |named| {
            view.groups()
                .filter(|g| g.due)
                .filter(|g| !g.marks().any(|m| self.describes(m.device(), m.slot(), named)))
                .count() as u8
        };
        let otherwise = undescribed(false);
        let named = match self.standard_named {
            true => undescribed(true),
            false => otherwise,
        };
        let facts = SetFacts {
            undescribed: otherwise,
            undescribed_of_named: named,
            rests_on: self.marks_rest_on(view),
        };
        let all = self.image.meta(Meta::Sets);
        self.sets.borrow_mut().put(set, facts, all);
        facts
    }

    /// Was a mark with this device described? `named`: a standard that was named is the row's.
    fn describes(&self, device: usize, slot: Slot, named: bool) -> bool {
        self.sightings.iter().any(|s| match &s.what {
            What::Device(d) => d.iter().any(|d| {
                matches!(self.image.relation(*d as usize, device), Meets::Agree | Meets::Strain)
            }),
            What::Slot(named) => *named == slot,
            What::Standard(_) => slot == Slot::Standard && named,
            What::Town(_) => slot == Slot::Town || slot == Slot::Import,
            _ => false,
        })
    }

    /// How well the row's letter matches the case and lettering as typed: 0 best.
    fn typed(&self, view: RowView) -> u8 {
        self.sightings
            .iter()
            .filter_map(|s| match &s.what {
                What::Letter(l) => Some(l),
                _ => None,
            })
            // A case stated in words has judged already.
            .filter(|l| l.case.is_none())
            .flat_map(|l| l.values.iter().filter_map(|t| t.upper))
            .map(|upper| match view.letter().case() {
                Case::Either => 1,
                Case::Upper => u8::from(!upper) * 2,
                Case::Lower => u8::from(upper) * 2,
            })
            .min()
            .unwrap_or(0)
    }

    /// A letter was read, and the table does not know the row's.
    pub fn unread(&self, view: RowView) -> bool {
        self.letter_read && view.letter().value().is_none()
    }

    /// How well a row fits, as [`Key::rank`] says.
    pub fn rank(&self, hit: &Hit) -> (bool, u32) {
        (self.unread(self.image.row(hit.row as usize)), hit.strain)
    }

    fn key(&self, hit: Hit, clashes: (u8, u8)) -> Key {
        let row = hit.row as usize;
        let view = self.image.row(row);
        let letter = view.letter();
        let metal = self.metal(view);
        Key {
            clashes,
            not_silver: metal != Metal::Silver,
            unread: self.unread(view),
            strain: hit.strain,
            undescribed: self.undescribed(row),
            typed: self.typed(view),
            confidence: self.rests_on(view).1,
            metal,
            origin: view.origin(),
            year: Reverse(letter.year()),
            office: letter.office() as u32,
            standard: view.standard() as u32,
        }
    }

    /// The metal of a row.
    pub fn metal(&self, view: RowView) -> Metal {
        self.image.standard(view.standard()).metal()
    }

    /// Does a mark described show the row's metal: one that no silver of its office and letter year
    /// bore, nor anything that is easily taken for it?
    pub fn shows_metal(&self, row: usize) -> bool {
        let view = self.image.row(row);
        if self.metal(view) == Metal::Silver {
            return true;
        }
        // A crown alone is a part of gold's mark, and platers struck it; its figure is what tells.
        let whole = |device: u32| {
            let kind = self.image.device(device as usize).kind();
            let agrees =
                |m: &MarkView| self.image.relation(device as usize, m.device()) == Meets::Agree;
            let mut met = view.marks().filter(agrees).map(|m| self.image.device(m.device()).kind());
            kind == DeviceKind::Fineness || met.any(|k| k == kind)
        };
        let tells = |e: &Evidence| {
            let Some(s) = self.sightings.get(e.sighting) else {
                return false;
            };
            let told = match &s.what {
                What::Device(d) => d.iter().any(|d| whole(*d)),
                What::Standard(_) => true,
                _ => false,
            };
            told && !s.doubt && e.clean.has(row)
        };
        let silver: Vec<usize> = self.silver_of(view.letter()).collect();
        let borne = |e: &Evidence| {
            let met = |r: &usize| (e.allowed(r / 64) | e.misread(r / 64)) >> (r % 64) & 1 == 1;
            silver.iter().any(met)
        };
        self.evidence.iter().any(|e| tells(e) && !borne(e))
    }

    /// The marks of a row that no silver of its office and letter year bore, nor any of the rows
    /// `beside`, by their devices.
    pub fn own_marks(&self, row: usize, beside: &[usize]) -> Vec<usize> {
        let view = self.image.row(row);
        let silver: Vec<usize> = self.silver_of(view.letter()).collect();
        let on_silver = |device: usize| {
            let meets = |m: MarkView| self.image.relation(device, m.device()) == Meets::Agree;
            let mut others = silver.iter().chain(beside);
            others.any(|r| self.image.row(*r).marks().any(meets))
        };
        view.marks().map(|m| m.device()).filter(|d| !on_silver(*d)).collect()
    }

    /// The rows of silver of an office and letter year.
    fn silver_of(&self, letter: LetterView) -> impl Iterator<Item = usize> {
        let (office, year) = (letter.office(), letter.year());
        self.image.office(office).rows().filter(move |r| {
            let view = self.image.row(*r);
            view.letter().year() == year && self.metal(view) == Metal::Silver
        })
    }

    /// The weakest fact the row's answer rests on.
    pub fn rests_on(&self, view: RowView) -> (Basis, Confidence) {
        let letter = view.letter();
        let mut weakest = (letter.basis(), letter.confidence());
        if let Some(marks) = self.set_facts(view).rests_on {
            weakest = weaker(weakest, marks);
        }
        for s in self.sightings.iter() {
            if let What::Letter(l) = &s.what {
                if l.lettering.is_some() && letter.lettering().is_some() {
                    weakest.1 = weakest.1.max(letter.lettering_confidence());
                }
                if l.case.is_some() && letter.case() != Case::Either {
                    weakest.1 = weakest.1.max(letter.case_confidence());
                }
            }
        }
        weakest
    }

    /// The weakest of a row's marks that were described.
    fn marks_rest_on(&self, view: RowView) -> Option<(Basis, Confidence)> {
        self.sightings
            .iter()
            .filter_map(|s| match &s.what {
                What::Device(d) => Some(d),
                _ => None,
            })
            .filter_map(|d| {
                // The mark that meets the word best; a broad word does not rest on which form of
                // the mark the table gives.
                view.marks()
                    .filter_map(|m| {
                        d.iter()
                            .map(|d| *d as usize)
                            .filter(|d| self.image.relation(*d, m.device()) == Meets::Agree)
                            .map(|d| {
                                let c = m.confidence();
                                let c = if d != m.device() && c == Confidence::Low {
                                    Confidence::Medium
                                } else {
                                    c
                                };
                                (c, m.basis())
                            })
                            .min()
                    })
                    .min()
            })
            .map(|(c, b)| (b, c))
            .reduce(weaker)
    }

    /// The row of an office and letter year that the sightings meet best.
    pub fn best_row(&self, office: &str, year: i32) -> Option<usize> {
        let office = self.image.office(find_office(self.image, office)?);
        self.best_of(office.rows().filter(|r| {
            let l = self.image.row(*r).letter();
            l.year() <= year && year <= l.to()
        }))
    }

    /// The row that the sightings meet best.
    pub fn best_of(&self, rows: impl Iterator<Item = usize>) -> Option<usize> {
        rows.min_by_key(|r| {
            let (word, bit) = (r / 64, r % 64);
            let clashing = |e: &&Evidence| e.allowed(word) >> bit & 1 == 0;
            let clashes = self.evidence.iter().filter(clashing).count();
            let hard = self
                .evidence
                .iter()
                .filter(clashing)
                .filter(|e| e.misread(word) >> bit & 1 == 0)
                .count();
            let hit = Hit { row: *r as u32, strain: self.strain(*r) };
            (clashes, hard, self.key(hit, (0, 0)))
        })
    }

    /// Rows whose strains do not add up to more than the limit, in order.
    pub fn hits<'s>(&'s self, words: &'s [u64]) -> impl Iterator<Item = Hit> + 's {
        ones(words)
            .map(|row| Hit { row: row as u32, strain: self.strain(row) })
            .filter(|h| h.strain <= strain::LIMIT)
    }

    /// Groups rows by office, letter year and standard, each with its best row.
    pub fn group(&self, words: &[u64], clashes: (u8, u8)) -> Vec<Group> {
        let mut out: Vec<Group> = Vec::new();
        let mut open = 0;
        for hit in self.hits(words) {
            let view = self.image.row(hit.row as usize);
            let letter = view.letter();
            let key = self.key(hit, clashes);
            // Rows stand in order of office and letter year, so a group is among the last few.
            if out.get(open).is_some_and(|g| (g.key.office, g.year) != (key.office, letter.year()))
            {
                open = out.len();
            }
            match out.iter_mut().skip(open).find(|g| g.key.standard == key.standard) {
                Some(g) => {
                    g.begins = if g.begins == 0 || view.begins() == 0 {
                        0
                    } else {
                        g.begins.min(view.begins())
                    };
                    g.ends =
                        if g.ends == 0 || view.ends() == 0 { 0 } else { g.ends.max(view.ends()) };
                    if key < g.key {
                        (g.key, g.best, g.weakest) = (key, hit, key.confidence);
                    }
                    g.to = g.to.max(letter.to());
                }
                None => out.push(Group {
                    best: hit,
                    key,
                    year: letter.year(),
                    to: letter.to(),
                    begins: view.begins(),
                    ends: view.ends(),
                    run: false,
                    weakest: key.confidence,
                }),
            }
        }
        out
    }

    /// Merges unbroken runs of letter years of one office, standard and strain, where no letter
    /// tells them apart.
    pub fn merge(&self, groups: Vec<Group>) -> Vec<Group> {
        let read = self.letter_read;
        let (mut keep, mut runs): (Vec<Group>, Vec<Group>) = (Vec::new(), Vec::new());
        for g in groups {
            if read && !g.key.unread {
                keep.push(g);
            } else {
                runs.push(g);
            }
        }
        runs.sort_by_key(|g| (g.key.office, g.key.standard, g.key.strain, g.year));
        for g in runs {
            let same = keep.last_mut().filter(|l| {
                (l.key.office, l.key.standard, l.key.strain, l.key.unread)
                    == (g.key.office, g.key.standard, g.key.strain, g.key.unread)
                    && l.to + 1 >= g.year
                    && l.year <= g.year
                    && (!read || l.key.unread)
            });
            match same {
                Some(l) => {
                    l.run |= g.year != l.year;
                    l.to = l.to.max(g.to);
                    l.ends = g.ends;
                    l.weakest = l.weakest.max(g.weakest);
                    if (g.key.undescribed, g.key.confidence, g.key.origin)
                        < (l.key.undescribed, l.key.confidence, l.key.origin)
                    {
                        l.key = g.key;
                        l.best = g.best;
                    }
                }
                None => keep.push(g),
            }
        }
        keep
    }

    /// Rows with one clash, or two of which one is easily misread; with their tier.
    fn near_words(&self) -> Vec<(Vec<u64>, (u8, u8))> {
        let width = self.image.width();
        let mut counts = vec![Clashes::default(); width];
        let mut agree = vec![0; width];
        let (mut allowed, mut misread) = (vec![0; width], vec![0; width]);
        for e in &self.evidence {
            e.clean.add_to(&mut agree, 0);
            e.allowed_in(&mut allowed, 0);
            misread.fill(0);
            e.easy.add_to(&mut misread, 0);
            for (c, (allowed, easy)) in counts.iter_mut().zip(allowed.iter().zip(&misread)) {
                c.add(!allowed & !easy, !allowed & easy);
            }
        }
        let mut all = vec![0; width];
        self.bounds.add_to(&mut all, 0, self.image);
        // A row that nothing described agrees with is not near, only far.
        for (all, agree) in all.iter_mut().zip(&agree) {
            *all &= agree;
        }
        let tier = |of: fn(&Clashes) -> u64| -> Vec<u64> {
            all.iter().zip(&counts).map(|(all, c)| all & of(c)).collect()
        };
        vec![
            (tier(|c| !c.hard1 & c.easy1 & !c.easy2), (1, 0)),
            (tier(|c| c.hard1 & !c.hard2 & !c.easy1), (1, 1)),
            (tier(|c| !c.hard1 & c.easy2 & !c.easy3), (2, 0)),
            (tier(|c| c.hard1 & !c.hard2 & c.easy1 & !c.easy2), (2, 1)),
        ]
    }

    /// The nearest groups, best first.
    pub fn nears(&self) -> Vec<Group> {
        let mut out = Vec::new();
        if self.evidence.is_empty() {
            return out;
        }
        for (words, clashes) in self.near_words() {
            let mut groups = self.merge(self.group(&words, clashes));
            groups.sort_unstable_by_key(|g| g.key);
            groups.truncate(MOST_NEARS - out.len());
            out.append(&mut groups);
            if out.len() == MOST_NEARS {
                break;
            }
        }
        out
    }

    /// Would some office-year of this sort fit if a mark were misread?
    pub fn any_near(&self, wanted: impl Fn(&Group) -> bool) -> bool {
        !self.evidence.is_empty()
            && self
                .near_words()
                .iter()
                .any(|(words, clashes)| self.group(words, *clashes).iter().any(&wanted))
    }

    /// Two sightings that no row allows together.
    pub fn conflict(&self) -> Option<[usize; 2]> {
        self.conflict_among(|_| true)
    }

    /// Two sightings of a sort that no row allows together.
    pub fn conflict_among(&self, sort: impl Fn(usize) -> bool) -> Option<[usize; 2]> {
        let width = self.image.width();
        let of_sort = || self.evidence.iter().enumerate().filter(|(_, e)| sort(e.sighting));
        for (k, a) in of_sort() {
            for (_, b) in of_sort().filter(|(j, _)| *j > k) {
                if a.sighting != b.sighting
                    && !(0..width)
                        .any(|i| self.bounds.word(i, self.image) & a.allowed(i) & b.allowed(i) != 0)
                {
                    let mut pair = [a.sighting, b.sighting];
                    pair.sort_unstable();
                    return Some(pair);
                }
            }
        }
        None
    }
}

/// For 64 rows, whether each has at least one, two or three clashes, hard or easily misread.
#[derive(Clone, Copy, Default)]
struct Clashes {
    hard1: u64,
    hard2: u64,
    easy1: u64,
    easy2: u64,
    easy3: u64,
}

impl Clashes {
    fn add(&mut self, hard: u64, easy: u64) {
        self.hard2 |= self.hard1 & hard;
        self.hard1 |= hard;
        self.easy3 |= self.easy2 & easy;
        self.easy2 |= self.easy1 & easy;
        self.easy1 |= easy;
    }
}

/// What two facts rest on together.
pub fn weaker(a: (Basis, Confidence), b: (Basis, Confidence)) -> (Basis, Confidence) {
    let basis = if a.0 == b.0 { a.0 } else { Basis::Both };
    (basis, a.1.max(b.1))
}

/// Numbers of the rows in a set.
pub fn ones(words: &[u64]) -> impl Iterator<Item = usize> + '_ {
    words.iter().enumerate().flat_map(|(i, w)| {
        let mut w = *w;
        std::iter::from_fn(move || {
            (w != 0).then(|| {
                let bit = w.trailing_zeros() as usize;
                w &= w - 1;
                i * 64 + bit
            })
        })
    })
}
