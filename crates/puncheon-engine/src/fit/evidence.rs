//! What one sighting asks of the rows, as bit sets.

use puncheon_schema::entry::Case;
use puncheon_schema::image::{Bits, Image};
use puncheon_schema::letters::sister;

use crate::fit::strain;
use puncheon_lexis::sighting::{LetterSeen, Sighting, What};

/// One feature that a sighting states, with the rows that meet it. A letter in a stated case and
/// lettering is three of these.
pub struct Evidence<'a> {
    /// Index of the sighting.
    pub sighting: usize,
    /// The feature that it states.
    pub feature: Feature,
    /// Rows that agree or are silent.
    pub clean: Parts<'a>,
    /// Rows that strain, and what each strain costs.
    pub strain: Parts<'a>,
    /// What a strain costs.
    pub cost: u32,
    /// Rows that clash but are easily misread.
    pub easy: Parts<'a>,
    /// Every other row strains too: the describer was not sure.
    pub rest_strains: bool,
    /// Rows are turned round: the mark is said to be missing.
    pub turned: bool,
    /// A missing mark that is due clashes: the set was said to be complete.
    pub strict: bool,
}

/// A feature of a mark or of a date letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feature {
    /// The mark itself.
    Mark,
    /// Which letter it is.
    Letter,
    /// Capital or small.
    Case,
    /// The style of the letter.
    Lettering,
    /// The shape of its punch.
    Outline,
}

impl Feature {
    /// Every feature, in the order in which a sighting states them.
    pub const ALL: [Feature; 5] =
        [Feature::Mark, Feature::Letter, Feature::Case, Feature::Lettering, Feature::Outline];
}

/// The union of a few bit sets. Two lie here, where most need no more.
#[derive(Clone, Debug, Default)]
pub struct Parts<'a> {
    two: [Bits<'a>; 2],
    more: Vec<Bits<'a>>,
}

impl<'a> Parts<'a> {
    fn of(bits: impl IntoIterator<Item = Bits<'a>>) -> Parts<'a> {
        let mut bits = bits.into_iter().filter(|b| !b.is_empty());
        Parts { two: [(); 2].map(|()| bits.next().unwrap_or_default()), more: bits.collect() }
    }

    /// Sixty-four rows, from the row of this number times sixty-four.
    #[inline]
    pub fn word(&self, i: usize) -> u64 {
        let two = self.two[0].word(i) | self.two[1].word(i);
        self.more.iter().fold(two, |w, b| w | b.word(i))
    }

    fn and(mut self, more: Parts<'a>) -> Parts<'a> {
        self.more.extend(more.two.into_iter().filter(|b| !b.is_empty()));
        self.more.extend(more.more);
        self
    }

    /// Is a row among them?
    #[inline]
    pub fn has(&self, row: usize) -> bool {
        self.word(row / 64) >> (row % 64) & 1 == 1
    }

    /// Adds the rows to the words of `out`, of which the first is word `from`.
    pub fn add_to(&self, out: &mut [u64], from: usize) {
        for b in self.two.iter().chain(&self.more) {
            b.add_to(out, from);
        }
    }

    /// First and one past the last word that can hold a row.
    fn reach(&self) -> (usize, usize) {
        let kept = || self.two.iter().chain(&self.more).filter(|b| !b.is_empty());
        let lo = kept().map(|b| b.lo).min().unwrap_or(0);
        let hi = kept().map(|b| b.lo + b.len()).max().unwrap_or(0);
        (lo, hi)
    }
}

impl Evidence<'_> {
    /// No row clashes.
    #[inline]
    pub fn allows_all(&self) -> bool {
        self.rest_strains || self.turned && !self.strict
    }

    /// Rows that do not clash.
    #[inline]
    pub fn allowed(&self, i: usize) -> u64 {
        if self.allows_all() {
            !0
        } else if self.turned {
            !self.strain.word(i)
        } else {
            self.clean.word(i) | self.strain.word(i)
        }
    }

    /// Rows that do not clash, in place of what was in `out`, whose first word is `from`.
    pub fn allowed_in(&self, out: &mut [u64], from: usize) {
        if self.allows_all() {
            out.fill(!0);
            return;
        }
        out.fill(0);
        self.clean.add_to(out, from);
        self.strain.add_to(out, from);
        if self.turned {
            out.iter_mut().for_each(|w| *w = !*w);
        }
    }

    /// What the row's strain is.
    #[inline]
    pub fn strain_of(&self, row: usize) -> u32 {
        let strained = if self.strict {
            false
        } else if self.rest_strains {
            !self.clean.has(row)
        } else {
            self.strain.has(row) && !self.clean.has(row)
        };
        if strained { self.cost } else { 0 }
    }

    /// Rows that clash but are easily misread.
    #[inline]
    pub fn misread(&self, i: usize) -> u64 {
        self.easy.word(i) & !self.allowed(i)
    }

    /// The words outside of which nothing is allowed.
    pub fn reach(&self, width: usize) -> (usize, usize) {
        if self.rest_strains || self.turned {
            return (0, width);
        }
        let (a, b) = (self.clean.reach(), self.strain.reach());
        match (a, b) {
            (a, (_, 0)) => a,
            ((_, 0), b) => b,
            (a, b) => (a.0.min(b.0), a.1.max(b.1)),
        }
    }
}

/// The evidence of all sightings. `complete`: what was not described is not there.
pub fn gather<'a>(image: &'a Image, sightings: &[Sighting], complete: bool) -> Vec<Evidence<'a>> {
    let mut out = Vec::with_capacity(sightings.len() + 2);
    let two_letters = letters_differ(image, sightings);
    for (i, s) in sightings.iter().enumerate() {
        match &s.what {
            What::Device(d) => out.push(marks(i, s, d.iter().map(|d| *d as usize), image)),
            What::Slot(slot) => out.push(plain(i, s, [image.slot_bits(*slot, 0)])),
            What::Standard(st) => out.push(plain(i, s, [image.standard_bits(*st as usize)])),
            What::Town(o) => out.push(plain(i, s, [image.office_bits(*o as usize)])),
            What::Letter(l) => letter(i, s, l, two_letters, image, &mut out),
            What::Absent(what) => absent(i, s, what, image, complete, &mut out),
            What::Sponsor | What::Lookalike(_) => {}
        }
    }
    out
}

/// Were two different letters described?
fn letters_differ(image: &Image, sightings: &[Sighting]) -> bool {
    let read: Vec<Vec<Option<u32>>> = sightings
        .iter()
        .filter_map(|s| match &s.what {
            What::Letter(l) if !l.values.is_empty() => {
                Some(l.values.iter().map(|v| v.value).collect())
            }
            _ => None,
        })
        .collect();
    let same = |a: &Option<u32>, b: &Option<u32>| match (a, b) {
        // I may stand for J, and U for V, where the letter is not known.
        (Some(a), Some(b)) => {
            a == b || sister(image.value(*a as usize)) == Some(image.value(*b as usize))
        }
        (a, b) => a == b,
    };
    read.iter().enumerate().any(|(i, a)| {
        read.iter().skip(i + 1).any(|b| !a.iter().any(|v| b.iter().any(|w| same(v, w))))
    })
}

fn plain<'a>(
    sighting: usize,
    s: &Sighting,
    clean: impl IntoIterator<Item = Bits<'a>>,
) -> Evidence<'a> {
    Evidence {
        sighting,
        feature: Feature::Mark,
        clean: Parts::of(clean),
        strain: Parts::default(),
        cost: strain::DOUBT,
        easy: Parts::default(),
        rest_strains: s.doubt,
        turned: false,
        strict: false,
    }
}

fn marks<'a>(
    sighting: usize,
    s: &Sighting,
    devices: impl Iterator<Item = usize> + Clone,
    image: &'a Image,
) -> Evidence<'a> {
    let of = |which: usize| Parts::of(devices.clone().map(|d| image.device_bits(d, which)));
    Evidence {
        strain: if s.form_doubt { of(1).and(of(2)) } else { of(1) },
        easy: of(2),
        cost: if s.doubt { strain::DOUBT } else { strain::LOOSE },
        ..Evidence { clean: of(0), ..plain(sighting, s, []) }
    }
}

fn letter<'a>(
    i: usize,
    s: &Sighting,
    l: &LetterSeen,
    two_letters: bool,
    image: &'a Image,
    out: &mut Vec<Evidence<'a>>,
) {
    let base = || Evidence { rest_strains: false, ..plain(i, s, []) };
    let values = || l.values.iter().filter_map(|v| v.value).map(|v| v as usize);
    if !l.values.is_empty() {
        // A row has one letter, known or not: it cannot explain two.
        let unknown = (!two_letters).then(|| image.unknown_letter_bits());
        let alike = Parts::of(values().map(|v| image.value_bits(v, 1)));
        // Alternatives named are all there are: neither wear nor doubt adds others.
        let one = l.values.len() == 1;
        let strains = one && (s.worn || s.doubt);
        out.push(Evidence {
            feature: Feature::Letter,
            clean: Parts::of(values().map(|v| image.value_bits(v, 0)).chain(unknown)),
            strain: if strains { alike.clone() } else { Parts::default() },
            easy: if one { alike } else { Parts::default() },
            cost: if s.doubt { strain::DOUBT } else { strain::WORN },
            ..base()
        });
    }
    let mut feature = |feature,
                       cost,
                       doubt: bool,
                       bits: &dyn Fn(usize) -> Bits<'a>,
                       everything_easy: bool| {
        out.push(Evidence {
            feature,
            clean: Parts::of([bits(0), bits(1)]),
            strain: Parts::of([bits(2)]),
            easy: if everything_easy { Parts::of([image.all_bits()]) } else { Parts::default() },
            cost: if doubt { strain::DOUBT } else { cost },
            rest_strains: doubt,
            ..base()
        });
    };
    if let Some(c) = l.case.filter(|c| *c != Case::Either) {
        feature(
            Feature::Case,
            strain::CASE,
            l.case_doubt,
            &|w| image.case_bits(c as usize, w),
            true,
        );
    }
    if let Some(n) = l.lettering {
        feature(
            Feature::Lettering,
            strain::LETTERING,
            l.lettering_doubt,
            &|w| image.lettering_bits(n as usize, w),
            true,
        );
    }
    if let Some(o) = l.outline {
        feature(
            Feature::Outline,
            strain::OUTLINE,
            l.outline_doubt,
            &|w| image.outline_bits(o as usize, w),
            true,
        );
    }
}

fn absent<'a>(
    i: usize,
    s: &Sighting,
    what: &What,
    image: &'a Image,
    complete: bool,
    out: &mut Vec<Evidence<'a>>,
) {
    let due: Parts = match what {
        What::Device(d) => Parts::of(d.iter().map(|d| image.device_bits(*d as usize, 3))),
        What::Slot(slot) => Parts::of([image.slot_bits(*slot, 1)]),
        What::Letter(l) if l.values.is_empty() => Parts::of([image.letter_due_bits()]),
        What::Town(o) => Parts::of([image.office_bits(*o as usize)]),
        What::Standard(st) => Parts::of([image.standard_bits(*st as usize)]),
        _ => return,
    };
    // Small articles and wear excuse a missing mark, unless the set was said to be complete.
    out.push(Evidence {
        turned: true,
        strict: complete,
        strain: due,
        cost: strain::ABSENT,
        rest_strains: false,
        ..plain(i, s, [])
    });
}
