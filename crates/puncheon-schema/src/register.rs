//! The packed register of sponsors' marks.
//!
//! Like the tables' image it is one block of bytes that is used where it lies: opening it looks at a
//! few bytes, and an entry is decoded when it is asked for. It is apart from the image, so that a
//! reading without initials never touches it, however long it grows.

use std::borrow::Cow;

use crate::entry::{Basis, Confidence};
use crate::export;
use crate::sponsor::{self, Arrangement, Sponsor};

const MAGIC: &[u8; 4] = b"PNS1";
/// Bytes of the head: the magic word, the number of entries and that of the keys.
const HEAD: usize = 12;
/// Bytes of a key: the letters, then the entry.
const KEY: usize = 12;
/// Letters that a key holds; marks with more are told apart by their entries.
const KEYED: usize = 12;

/// Sponsors' marks, packed.
#[derive(Clone, Debug)]
pub struct Register {
    data: Cow<'static, [u8]>,
    entries: usize,
    keys: usize,
}

/// One mark of the register.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Entry<'r> {
    pub id: &'r str,
    pub struck: &'r str,
    pub picture: &'r str,
    pub arrangement: Option<Arrangement>,
    pub lettering: &'r str,
    pub punch: Vec<&'r str>,
    pub beside: Vec<&'r str>,
    pub with: Vec<&'r str>,
    pub offices: Vec<&'r str>,
    pub from: Option<i32>,
    pub to: Option<i32>,
    pub still: bool,
    pub about: bool,
    pub names: Vec<&'r str>,
    pub firm: &'r str,
    pub town: &'r str,
    pub trade: Vec<&'r str>,
    pub basis: Basis,
    pub confidence: Confidence,
    pub letters_basis: Basis,
    pub letters_confidence: Confidence,
    pub letters_why: &'r str,
    pub cites: Vec<&'r str>,
    pub note: &'r str,
}

impl Register {
    /// Packs entries, in their order.
    pub fn pack<'s>(entries: impl IntoIterator<Item = &'s Sponsor>) -> Register {
        let (mut records, mut ends, mut keys, mut masks) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        for (i, s) in entries.into_iter().enumerate() {
            let (capitals, letters) = (sponsor::capitals(&s.struck), sponsor::letters(&s.struck));
            keys.push((key(&capitals), i as u32));
            if capitals != letters {
                keys.push((key(&letters), i as u32));
            }
            masks.push(mask(&letters) | (capitals.len().min(MOST_CAPITALS) as u32) << LETTERS);
            write(s, &mut records);
            ends.push(records.len() as u32);
        }
        keys.sort_unstable();
        let fixed = HEAD + keys.len() * KEY + ends.len() * 8;
        let mut data = Vec::with_capacity(fixed + records.len());
        data.extend_from_slice(MAGIC);
        data.extend_from_slice(&(ends.len() as u32).to_le_bytes());
        data.extend_from_slice(&(keys.len() as u32).to_le_bytes());
        for (key, entry) in keys {
            data.extend_from_slice(&key.to_le_bytes());
            data.extend_from_slice(&entry.to_le_bytes());
        }
        for number in masks.into_iter().chain(ends) {
            data.extend_from_slice(&number.to_le_bytes());
        }
        data.extend_from_slice(&records);
        Register::open(data)
    }

    /// Opens a packed register. Only the head is looked at.
    ///
    /// # Panics
    /// If the bytes are not a register written by this version of the crate.
    pub fn open(data: impl Into<Cow<'static, [u8]>>) -> Register {
        let data = data.into();
        assert!(data.starts_with(MAGIC), "not a packed register");
        Register { entries: le32(&data, 4) as usize, keys: le32(&data, 8) as usize, data }
    }

    /// The bytes, as they can be written to a file and opened again.
    pub fn bytes(&self) -> &[u8] {
        &self.data
    }

    /// How many marks it holds.
    pub fn len(&self) -> usize {
        self.entries
    }

    /// Does it hold none?
    pub fn is_empty(&self) -> bool {
        self.entries == 0
    }

    /// Marks whose capitals, or all of whose letters, are these, folded and sorted. Of marks with
    /// very many letters some may have others: the caller compares.
    pub fn with_letters(&self, letters: &[u8]) -> impl Iterator<Item = usize> + '_ {
        let wanted = key(letters);
        let (mut low, mut high) = (0, self.keys);
        while low < high {
            let mid = (low + high) / 2;
            match self.key(mid) < wanted {
                true => low = mid + 1,
                false => high = mid,
            }
        }
        (low..self.keys)
            .take_while(move |i| self.key(*i) == wanted)
            .map(|i| le32(&self.data, HEAD + i * KEY + 8) as usize)
    }

    /// Marks that have all of these letters, folded, and no more than so many capitals.
    pub fn that_may_hold(
        &self,
        letters: &[u8],
        capitals: usize,
    ) -> impl Iterator<Item = usize> + '_ {
        let wanted = mask(letters);
        let at = HEAD + self.keys * KEY;
        let masks = &self.data[at..at + self.entries * 4];
        masks
            .as_chunks::<4>()
            .0
            .iter()
            .map(|m| u32::from_le_bytes(*m))
            .enumerate()
            .filter(move |(_, m)| wanted & !m == 0 && (m >> LETTERS) as usize <= capitals)
            .map(|(i, _)| i)
    }

    fn key(&self, i: usize) -> u64 {
        let at = HEAD + i * KEY;
        self.data[at..at + 8].try_into().map_or(0, u64::from_le_bytes)
    }

    /// The letters of a mark as struck, without reading the rest of it.
    pub fn struck(&self, i: usize) -> &str {
        self.reader(i).str()
    }

    /// A mark.
    pub fn get(&self, i: usize) -> Entry<'_> {
        let mut r = self.reader(i);
        Entry {
            struck: r.str(),
            id: r.str(),
            picture: r.str(),
            arrangement: Arrangement::ALL.get(usize::from(r.byte())).copied(),
            lettering: r.str(),
            punch: r.list(),
            beside: r.list(),
            with: r.list(),
            offices: r.list(),
            from: r.year(),
            to: r.year(),
            still: r.byte() != 0,
            about: r.byte() != 0,
            names: r.list(),
            firm: r.str(),
            town: r.str(),
            trade: r.list(),
            basis: r.basis(),
            confidence: r.confidence(),
            letters_basis: r.basis(),
            letters_confidence: r.confidence(),
            letters_why: r.str(),
            cites: r.list(),
            note: r.str(),
        }
    }

    /// Every mark, in order.
    pub fn iter(&self) -> impl Iterator<Item = Entry<'_>> {
        (0..self.entries).map(|i| self.get(i))
    }

    fn reader(&self, i: usize) -> Reader<'_> {
        let ends = HEAD + self.keys * KEY + self.entries * 4;
        let records = ends + self.entries * 4;
        let from = match i {
            0 => 0,
            _ => le32(&self.data, ends + (i - 1) * 4) as usize,
        };
        Reader(&self.data[records + from..])
    }
}

/// Letters of the alphabet; above them a mask holds the number of capitals.
const LETTERS: u32 = 26;
/// The highest number of capitals that a mask holds.
const MOST_CAPITALS: usize = (1 << (u32::BITS - LETTERS)) - 1;

/// A bit for each letter.
fn mask(letters: &[u8]) -> u32 {
    letters.iter().fold(0, |m, c| m | 1 << (c - b'A'))
}

/// Letters packed into a number, in order.
fn key(letters: &[u8]) -> u64 {
    letters.iter().take(KEYED).fold(0, |k, c| k << 5 | u64::from(c - b'A' + 1))
}

fn le32(bytes: &[u8], at: usize) -> u32 {
    bytes[at..at + 4].try_into().map_or(0, u32::from_le_bytes)
}

/// No year is known.
const NO_YEAR: i16 = i16::MIN;
/// No arrangement is known.
const NO_ARRANGEMENT: u8 = u8::MAX;

fn write(s: &Sponsor, out: &mut Vec<u8>) {
    fn str(s: &str, out: &mut Vec<u8>) {
        let len = s.len().min(usize::from(u16::MAX));
        out.extend_from_slice(&(len as u16).to_le_bytes());
        out.extend_from_slice(&s.as_bytes()[..len]);
    }
    fn list<'l>(items: impl ExactSizeIterator<Item = &'l str>, out: &mut Vec<u8>) {
        let len = items.len().min(usize::from(u8::MAX));
        out.push(len as u8);
        items.take(len).for_each(|i| str(i, out));
    }
    let year =
        |y: Option<i32>| y.and_then(|y| i16::try_from(y).ok()).unwrap_or(NO_YEAR).to_le_bytes();
    str(&s.struck, out);
    str(&s.id, out);
    str(&s.picture, out);
    out.push(s.arrangement.map_or(NO_ARRANGEMENT, |a| a as u8));
    str(s.lettering.as_ref().map_or("", |n| &n.0), out);
    list(s.punch.iter().map(|n| n.0.as_str()), out);
    list(s.beside.iter().map(String::as_str), out);
    list(s.with.iter().map(String::as_str), out);
    list(s.offices.iter().map(String::as_str), out);
    out.extend_from_slice(&year(s.from));
    out.extend_from_slice(&year(s.to));
    out.push(u8::from(s.still));
    out.push(u8::from(s.about));
    list(s.names.iter().map(String::as_str), out);
    str(&s.firm, out);
    str(&s.town, out);
    list(s.trade.iter().map(String::as_str), out);
    out.push(s.basis as u8);
    out.push(s.confidence as u8);
    out.push(s.letters_basis() as u8);
    out.push(s.letters_confidence() as u8);
    str(&s.letters_why, out);
    list(s.cites.iter().map(String::as_str), out);
    str(&s.note, out);
}

/// Reads a record from its beginning on.
struct Reader<'r>(&'r [u8]);

impl<'r> Reader<'r> {
    fn take(&mut self, n: usize) -> &'r [u8] {
        let (head, rest) = self.0.split_at(n);
        self.0 = rest;
        head
    }

    fn byte(&mut self) -> u8 {
        self.take(1)[0]
    }

    fn two(&mut self) -> [u8; 2] {
        let b = self.take(2);
        [b[0], b[1]]
    }

    fn str(&mut self) -> &'r str {
        let len = u16::from_le_bytes(self.two());
        std::str::from_utf8(self.take(usize::from(len))).unwrap_or("")
    }

    fn list(&mut self) -> Vec<&'r str> {
        (0..self.byte()).map(|_| self.str()).collect()
    }

    fn year(&mut self) -> Option<i32> {
        match i16::from_le_bytes(self.two()) {
            NO_YEAR => None,
            y => Some(i32::from(y)),
        }
    }

    fn basis(&mut self) -> Basis {
        match self.byte() {
            0 => Basis::Published,
            1 => Basis::Memory,
            _ => Basis::Both,
        }
    }

    fn confidence(&mut self) -> Confidence {
        match self.byte() {
            0 => Confidence::High,
            1 => Confidence::Medium,
            _ => Confidence::Low,
        }
    }
}

/// The columns of an exported register, which are those that a user's own may have.
pub const COLUMNS: [&str; 24] = [
    "id",
    "struck",
    "picture",
    "arrangement",
    "lettering",
    "punch",
    "beside",
    "with",
    "offices",
    "from",
    "to",
    "still",
    "about",
    "names",
    "firm",
    "town",
    "trade",
    "basis",
    "confidence",
    "letters_basis",
    "letters_confidence",
    "letters_why",
    "sources",
    "note",
];

/// Between the items of a list in a cell.
pub const BETWEEN: char = '|';

impl Entry<'_> {
    /// The cells under [`COLUMNS`].
    pub fn cells(&self) -> [String; 24] {
        let list = |v: &[&str]| v.join(&BETWEEN.to_string());
        let year = |y: Option<i32>| y.map_or(String::new(), |y| y.to_string());
        let yes = |b: bool| if b { "yes".to_string() } else { String::new() };
        [
            self.id.into(),
            self.struck.into(),
            self.picture.into(),
            self.arrangement.map_or("", Arrangement::word).into(),
            self.lettering.into(),
            list(&self.punch),
            list(&self.beside),
            list(&self.with),
            list(&self.offices),
            year(self.from),
            year(self.to),
            yes(self.still),
            yes(self.about),
            list(&self.names),
            self.firm.into(),
            self.town.into(),
            list(&self.trade),
            export::basis(self.basis).into(),
            export::confidence(self.confidence).into(),
            export::basis(self.letters_basis).into(),
            export::confidence(self.letters_confidence).into(),
            self.letters_why.into(),
            list(&self.cites),
            self.note.into(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::File;
    use crate::read;

    fn entries(text: &str) -> Vec<Sponsor> {
        match read::parse("t.ron", text) {
            Ok(File::Sponsors(v)) => v,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_packed_is_read_again() {
        let v = entries(
            r#"Sponsors([
                (id: "a", struck: "PB/AB", arrangement: Stacked, lettering: Roman, punch: [Rectangle],
                    beside: ["pellet"], with: ["STERLING"], offices: ["london"], from: 1791, to: 1800,
                    about: true, names: ["Peter Bateman", "Ann Bateman"], firm: "f", town: "London",
                    trade: ["plate"], basis: Both, confidence: Medium, letters_basis: Memory,
                    letters_confidence: Low, letters_why: "w", cites: ["c p. 1"], note: "n"),
                (id: "b", picture: "a buck", basis: Memory, confidence: Low),
            ])"#,
        );
        let packed = Register::open(Register::pack(&v).bytes().to_vec());
        assert_eq!(packed.len(), 2);
        let a = packed.get(0);
        assert_eq!((a.id, a.struck, a.from, a.to), ("a", "PB/AB", Some(1791), Some(1800)));
        assert_eq!(
            a.cells().join("\t"),
            "a\tPB/AB\t\tstacked\troman\trectangle\tpellet\tSTERLING\tlondon\t1791\t1800\t\tyes\tPeter \
             Bateman|Ann Bateman\tf\tLondon\tplate\tboth\tmedium\tmemory\tlow\tw\tc p. 1\tn"
        );
        let b = packed.get(1);
        assert_eq!((b.picture, b.from, b.letters_basis), ("a buck", None, Basis::Memory));
        assert_eq!(b.arrangement, None);
    }

    #[test]
    fn marks_are_found_by_their_letters_in_any_order() {
        let v = entries(
            r#"Sponsors([
                (id: "a", struck: "SM&Co", basis: Memory, confidence: Low),
                (id: "b", struck: "JU", basis: Memory, confidence: Low),
                (id: "c", struck: "VI", basis: Memory, confidence: Low),
            ])"#,
        );
        let packed = Register::pack(&v);
        let found =
            |typed: &str| -> Vec<usize> { packed.with_letters(&sponsor::letters(typed)).collect() };
        assert_eq!(found("U.I"), [1, 2]);
        assert_eq!(found("CSM"), [0]);
        assert_eq!(found("SM & CO"), [0]);
        assert_eq!(found("SM"), [] as [usize; 0]);
        let may = |typed: &str, n: usize| -> Vec<usize> {
            let letters = sponsor::letters(typed);
            packed.that_may_hold(&letters, n).collect()
        };
        assert_eq!(may("CO", 3), [0]);
        assert_eq!(may("CO", 2), [] as [usize; 0]);
        assert_eq!(may("J", 9), [1, 2]);
    }
}
