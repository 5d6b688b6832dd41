//! For everything that can be described, the rows that agree with it: bit sets.

use super::devices::{broader, relations};
use super::letters::Letter;
use super::rows::Expanded;
use super::{Header, Places};
use crate::entry::{Case, Confidence, Lettering, Metal};
use crate::image::{METALS, Meta, Part, SLOTS, Writer};
use crate::letters::sister;
use crate::read::{Entries, Filed};

/// Writes how devices meet each other, then the bit sets, kind after kind.
pub(super) fn features(
    e: &Entries,
    at: &Places,
    made: &Expanded,
    values: &[String],
    header: &mut Header,
    w: &mut Writer,
) {
    let bits = Bits { e, at, made };
    let met = relations(e, at);
    bits.device_tables(&met, w);
    header.set(Meta::BitsDevice, w.next_bits() as usize);
    bits.devices(&met, w);
    header.set(Meta::BitsSlot, w.next_bits() as usize);
    bits.slots(w);
    header.set(Meta::BitsValue, w.next_bits() as usize);
    bits.values(values, w);
    header.set(Meta::BitsCase, w.next_bits() as usize);
    bits.cases(w);
    header.set(Meta::BitsLettering, w.next_bits() as usize);
    bits.letterings(w);
    header.set(Meta::BitsOutline, w.next_bits() as usize);
    bits.outlines(w);
    header.set(Meta::BitsStandard, w.next_bits() as usize);
    bits.standards(w);
    header.set(Meta::BitsMetal, w.next_bits() as usize);
    bits.metals(w);
    header.set(Meta::BitsOffice, w.next_bits() as usize);
    bits.offices(w);
    header.set(Meta::BitsOther, w.next_bits() as usize);
    bits.others(w);
}

/// What the bit sets are made from.
struct Bits<'a> {
    e: &'a Entries,
    at: &'a Places<'a>,
    made: &'a Expanded<'a>,
}

impl<'a> Bits<'a> {
    /// The rows that something holds of, a bit each.
    fn rows(&self, mut keep: impl FnMut(usize) -> bool) -> Vec<u64> {
        let rows = self.made.rows.len();
        let mut words = vec![0u64; rows.div_ceil(64)];
        for i in 0..rows {
            if keep(i) {
                words[i / 64] |= 1 << (i % 64);
            }
        }
        words
    }

    /// The letter of a row.
    fn letter(&self, row: usize) -> &'a Letter {
        &self.made.letters[self.made.rows[row].letter]
    }

    /// How a word for each device meets each device struck, and which is a form of which.
    fn device_tables(&self, met: &[Vec<u8>], w: &mut Writer) {
        let up: Vec<Vec<usize>> = (0..self.e.devices.len())
            .map(|i| broader(&self.e.devices, &self.at.devices, i))
            .collect();
        let mut packed = vec![0u8; (self.e.devices.len() * self.e.devices.len()).div_ceil(4)];
        for (word, row) in met.iter().enumerate() {
            for (struck, r) in row.iter().enumerate() {
                let k = word * self.e.devices.len() + struck;
                packed[k / 4] |= r << (k % 4 * 2);
            }
        }
        let mut covers = vec![0u8; (self.e.devices.len() * self.e.devices.len()).div_ceil(8)];
        for (narrow, up) in up.iter().enumerate() {
            for broad in up {
                let k = broad * self.e.devices.len() + narrow;
                covers[k / 8] |= 1 << (k % 8);
            }
        }
        for b in covers {
            w.u8(Part::Covers, b);
        }
        for b in packed {
            w.u8(Part::Relations, b);
        }
    }

    /// What each device is at first hand a form of.
    fn forms(&self) -> Vec<Vec<&'a String>> {
        self.e
            .devices
            .iter()
            .map(|d| {
                let loose = |id: &&String| {
                    let of = self.at.devices.get(id.as_str());
                    of.is_some_and(|i| self.e.devices[*i].entry.loose)
                };
                d.entry.is.iter().filter(|id| !loose(id)).collect()
            })
            .collect()
    }

    /// Devices: a set meets a word as well as its best mark does.
    fn devices(&self, met: &[Vec<u8>], w: &mut Writer) {
        let forms = self.forms();
        for (word, rel) in met.iter().enumerate() {
            let of_set: Vec<u8> = self
                .made
                .sets
                .iter()
                .map(|s| {
                    s.iter()
                        .flat_map(|(_, members)| members)
                        .map(|f| {
                            let fact = &self.made.facts[*f];
                            // An easily misread word strains a form of its thing that is itself a guess.
                            let kin = fact.confidence == Confidence::Low
                                && forms[word].iter().any(|a| forms[fact.device].contains(a));
                            match rel[fact.device] {
                                3 if kin => 2,
                                r => r,
                            }
                        })
                        .min_by_key(|r| match r {
                            1 => 0,
                            2 => 1,
                            3 => 2,
                            _ => 3,
                        })
                        .unwrap_or(0)
                })
                .collect();
            for want in 1..=3 {
                let bits = self.rows(|i| of_set[self.made.rows[i].set] == want);
                w.bits(&bits);
            }
            let due: Vec<bool> = self
                .made
                .sets
                .iter()
                .map(|s| {
                    s.iter().any(|(due, m)| {
                        *due && m.iter().any(|f| rel[self.made.facts[*f].device] == 1)
                    })
                })
                .collect();
            let bits = self.rows(|i| due[self.made.rows[i].set]);
            w.bits(&bits);
        }
    }

    /// Slots in which a set has a mark, and must have one.
    fn slots(&self, w: &mut Writer) {
        for slot in SLOTS {
            let of_set: Vec<(bool, bool)> = self
                .made
                .sets
                .iter()
                .map(|s| {
                    let has = |due: bool| {
                        s.iter().any(|(d, m)| {
                            (*d || !due) && m.iter().any(|f| self.made.facts[*f].slot == slot)
                        })
                    };
                    (has(false), has(true))
                })
                .collect();
            let bits = self.rows(|i| of_set[self.made.rows[i].set].0);
            w.bits(&bits);
            let bits = self.rows(|i| of_set[self.made.rows[i].set].1);
            w.bits(&bits);
        }
    }

    /// Letters that answer to a letter described, and those taken for it when worn.
    fn values(&self, values: &[String], w: &mut Writer) {
        let alike = Alike::new(self.e);
        for v in values {
            let same: Vec<bool> = self.made.letters.iter().map(|l| answers_to(l, v)).collect();
            let worn: Vec<bool> = self
                .made
                .letters
                .iter()
                .zip(&same)
                .map(|(l, same)| !same && l.value.as_deref().is_some_and(|s| alike.pair(l, s, v)))
                .collect();
            let bits = self.rows(|i| same[self.made.rows[i].letter]);
            w.bits(&bits);
            let bits = self.rows(|i| worn[self.made.rows[i].letter]);
            w.bits(&bits);
        }
    }

    /// Capitals and small letters: in that case, of unknown case, likely and surely in the other.
    fn cases(&self, w: &mut Writer) {
        let caseless = |l: &Letter| {
            l.lettering.as_deref().is_some_and(|n| {
                self.e.letterings.iter().any(|f| f.entry.id == n && f.entry.caseless)
            })
        };
        for case in [Case::Upper, Case::Lower] {
            let of: Vec<u8> = self
                .made
                .letters
                .iter()
                .map(|l| {
                    if l.value.is_none() || l.case == Case::Either || caseless(l) {
                        1
                    } else if l.case == case {
                        0
                    } else if l.case_confidence == Confidence::Low {
                        2
                    } else {
                        3
                    }
                })
                .collect();
            for want in 0..3 {
                let bits = self.rows(|i| of[self.made.rows[i].letter] == want);
                w.bits(&bits);
            }
        }
    }

    /// Letterings: the same, unknown, close, and another.
    fn letterings(&self, w: &mut Writer) {
        for f in &self.e.letterings {
            let of: Vec<u8> = self
                .made
                .letters
                .iter()
                .map(|l| match l.lettering.as_deref() {
                    _ if l.value.is_none() => 1,
                    None => 1,
                    Some(n) if n == f.entry.id => 0,
                    Some(n) if f.entry.strains.iter().any(|s| s == n) => 2,
                    Some(_) if l.lettering_confidence == Confidence::Low => 2,
                    Some(_) => 3,
                })
                .collect();
            for want in 0..3 {
                let bits = self.rows(|i| of[self.made.rows[i].letter] == want);
                w.bits(&bits);
            }
        }
    }

    /// An outline and all that it is a form of.
    fn wider(&self, id: &str) -> Vec<String> {
        let mut out = vec![id.to_string()];
        let mut k = 0;
        while k < out.len() {
            if let Some(&i) = self.at.outlines.get(out[k].as_str()) {
                out.extend(self.e.outlines[i].entry.is.clone());
            }
            k += 1;
        }
        out
    }

    /// Outlines: the same, unknown, and another.
    fn outlines(&self, w: &mut Writer) {
        for f in &self.e.outlines {
            let mine = self.wider(&f.entry.id);
            let of = |i: usize| -> u8 {
                let outline = match self.e.standards[self.made.rows[i].standard].entry.metal {
                    Metal::Silver => self.letter(i).outlines[0].as_deref(),
                    Metal::Gold => self.letter(i).outlines[1].as_deref(),
                    _ => None,
                };
                match outline {
                    None => 1,
                    Some(o)
                        if mine.iter().any(|m| m == o) || self.wider(o).contains(&f.entry.id) =>
                    {
                        0
                    }
                    // Real punches stray from the printed tables: an outline never excludes by itself.
                    Some(_) => 2,
                }
            };
            for want in 0..3 {
                let bits = self.rows(|i| of(i) == want);
                w.bits(&bits);
            }
        }
    }

    /// Standards.
    fn standards(&self, w: &mut Writer) {
        for s in 0..self.e.standards.len() {
            let bits = self.rows(|i| self.made.rows[i].standard == s);
            w.bits(&bits);
        }
    }

    /// Metals.
    fn metals(&self, w: &mut Writer) {
        for metal in METALS {
            let bits =
                self.rows(|i| self.e.standards[self.made.rows[i].standard].entry.metal == metal);
            w.bits(&bits);
        }
    }

    /// Offices.
    fn offices(&self, w: &mut Writer) {
        for o in 0..self.e.offices.len() {
            let bits = self.rows(|i| self.letter(i).office == o);
            w.bits(&bits);
        }
    }

    /// Letters not known, those that had to be struck, rivals, and every row.
    fn others(&self, w: &mut Writer) {
        let bits = self.rows(|i| self.letter(i).value.is_none());
        w.bits(&bits);
        let bits = self.rows(|i| !self.letter(i).optional);
        w.bits(&bits);
        let bits = self.rows(|i| self.letter(i).rival);
        w.bits(&bits);
        let bits = self.rows(|_| true);
        w.bits(&bits);
    }
}

/// Does a letter of the tables answer to a letter described?
fn answers_to(l: &Letter, v: &str) -> bool {
    match l.value.as_deref() {
        Some(s) if s == v => true,
        Some(s) => sister(s) == Some(v) && !l.sisters.iter().any(|x| x == v),
        None => false,
    }
}

/// Letters that are taken for each other when worn.
struct Alike<'a> {
    letterings: &'a [Filed<Lettering>],
}

impl<'a> Alike<'a> {
    fn new(e: &'a Entries) -> Self {
        Alike { letterings: &e.letterings }
    }

    fn pair(&self, l: &Letter, a: &str, b: &str) -> bool {
        let hit = |v: &[String]| {
            v.iter().filter_map(|p| p.split_once(' ')).any(|(x, y)| {
                let same = |p: &str, q: &str| p.eq_ignore_ascii_case(q);
                same(x, a) && same(y, b) || same(x, b) && same(y, a)
            })
        };
        self.letterings
            .iter()
            .filter(|f| l.lettering.as_deref().is_none_or(|n| n == f.entry.id))
            .any(|f| {
                l.case != Case::Lower && hit(&f.entry.alike_upper)
                    || l.case != Case::Upper && hit(&f.entry.alike_lower)
            })
    }
}
