//! Spans of calendar years, out of the words that stand before a date: "circa", "early", "before".

/// Words waiting for their date.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Dating {
    pub about: bool,
    pub before: bool,
    pub after: bool,
    /// 1, 2, 3: a third of the span.
    pub third: i32,
    /// Where the first of the words begins.
    pub start: Option<usize>,
}

/// Years either side that "about" allows.
pub(crate) const ABOUT: i32 = 10;

impl Dating {
    /// First and last year meant by a span under these words; None is open.
    pub fn span(self, from: i32, to: i32) -> (Option<i32>, Option<i32>) {
        let third = |n: i32| from + (to - from + 1) * n / 3;
        let (mut a, mut b) = match self.third {
            0 => (from, to),
            n => (third(n - 1), third(n) - 1),
        };
        if self.about {
            (a, b) = (a - ABOUT, b + ABOUT);
        }
        if self.before {
            (None, Some(a - 1))
        } else if self.after {
            (Some(b + 1), None)
        } else {
            (Some(a), Some(b))
        }
    }
}

/// First and last year of a century: the nineteenth runs from 1801 to 1900.
pub(crate) fn century(n: i32) -> (i32, i32) {
    ((n - 1) * 100 + 1, n * 100)
}
