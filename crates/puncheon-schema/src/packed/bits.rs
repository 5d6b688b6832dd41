//! Sets of rows.

/// Rows as a set, of which only the words between the first and the last that hold anything are
/// kept.
#[derive(Clone, Copy, Debug, Default)]
pub struct Bits<'a> {
    /// Index of the first word kept.
    pub lo: usize,
    pub(super) bytes: &'a [u8],
}

impl<'a> Bits<'a> {
    /// The set of nothing.
    pub const EMPTY: Bits<'static> = Bits { lo: 0, bytes: &[] };

    /// How many words are kept.
    pub fn len(&self) -> usize {
        self.bytes.len() / 8
    }

    /// True if no row is in the set.
    pub fn is_empty(&self) -> bool {
        self.bytes.is_empty()
    }

    /// The words kept, from `lo` on.
    pub fn words(&self) -> impl Iterator<Item = u64> + 'a {
        self.bytes.as_chunks::<8>().0.iter().map(|c| u64::from_le_bytes(*c))
    }

    /// Word `i` counted from the first row, zero outside what is kept.
    #[inline]
    pub fn word(&self, i: usize) -> u64 {
        let k = i.wrapping_sub(self.lo);
        self.bytes.as_chunks::<8>().0.get(k).map_or(0, |c| u64::from_le_bytes(*c))
    }

    /// Adds the set's rows to the words of `out`, of which the first is word `from`.
    pub fn add_to(&self, out: &mut [u64], from: usize) {
        let lo = self.lo.max(from);
        let hi = (self.lo + self.len()).min(from + out.len());
        if lo >= hi {
            return;
        }
        let kept = &self.bytes.as_chunks::<8>().0[lo - self.lo..hi - self.lo];
        for (o, w) in out[lo - from..hi - from].iter_mut().zip(kept) {
            *o |= u64::from_le_bytes(*w);
        }
    }

    /// The first row of the set from a row on.
    pub fn next(&self, row: usize) -> Option<usize> {
        let from = self.lo.max(row / 64);
        let rest = |i: usize| match i == row / 64 {
            true => self.word(i) & (!0 << (row % 64)),
            false => self.word(i),
        };
        (from..self.lo + self.len())
            .find(|i| rest(*i) != 0)
            .map(|i| i * 64 + rest(i).trailing_zeros() as usize)
    }

    /// Is the row in the set?
    #[inline]
    pub fn has(&self, row: usize) -> bool {
        self.word(row / 64) >> (row % 64) & 1 == 1
    }
}
