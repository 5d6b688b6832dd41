//! Spans of calendar years, out of the words that stand before a date: "circa", "early", "before".

/// Words waiting for their date.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Dating {
    pub about: bool,
    /// The year named is not meant, and all earlier is.
    pub before: bool,
    /// The year named is not meant, and all later is.
    pub after: bool,
    /// The year named and all earlier.
    pub until: bool,
    /// The year named and all later.
    pub since: bool,
    /// From which to which of how many parts of the span.
    pub portion: Option<(i32, i32, i32)>,
    /// Where the first of the words begins.
    pub start: Option<usize>,
}

/// Years either side that "about" allows.
pub(crate) const ABOUT: i32 = 10;

impl Dating {
    /// "early", "mid", "late": one third, or from the one named before to this one.
    pub fn third(&mut self, n: i32) {
        self.portion = match self.portion {
            Some((first, _, 3)) => Some((first.min(n), first.max(n), 3)),
            _ => Some((n, n, 3)),
        };
    }

    /// First and last year meant by a span under these words; None is open.
    pub fn span(self, from: i32, to: i32) -> (Option<i32>, Option<i32>) {
        let (mut a, mut b) = match self.portion {
            None => (from, to),
            Some((first, last, of)) => {
                let part = |n: i32| from + (to - from + 1) * n / of;
                (part(first - 1), part(last) - 1)
            }
        };
        // What lies about a date lies about each end of what is before or after it.
        let slack = if self.about { ABOUT } else { 0 };
        if self.before {
            return (None, Some(a - 1 + slack));
        }
        if self.after {
            return (Some(b + 1 - slack), None);
        }
        (a, b) = (a - slack, b + slack);
        ((!self.until).then_some(a), (!self.since).then_some(b))
    }
}

/// First and last year of a century: the nineteenth runs from 1801 to 1900.
pub(crate) fn century(n: i32) -> (i32, i32) {
    ((n - 1) * 100 + 1, n * 100)
}
