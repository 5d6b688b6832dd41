//! Spans of calendar years, out of the words that stand before a date: "circa", "early", "before".

/// Words waiting for their date.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Dating {
    /// Some years either side are meant too: "circa".
    pub about: bool,
    /// The year named is not meant, and all earlier is.
    pub before: bool,
    /// The year named is not meant, and all later is.
    pub after: bool,
    /// The year named and all earlier.
    pub until: bool,
    /// The year named and all later.
    pub since: bool,
    /// From which to which of how many parts of the span; of a hundred, the decade that begins so many
    /// years into a century.
    pub portion: Option<(i32, i32, i32)>,
    /// Parts were named that do not meet: "early or late".
    pub torn: bool,
    /// Where the first of the words begins.
    pub start: Option<usize>,
}

/// Years either side that "about" allows.
pub const ABOUT: i32 = 10;

/// Years of a century.
pub const CENTURY: i32 = 100;

impl Dating {
    /// "early", "mid", "late": a third.
    pub fn third(&mut self, n: u8) {
        self.part(n, 3);
    }

    /// "second half", "last quarter": one part of several, or from the one named before to this one.
    pub fn part(&mut self, nth: u8, of: u8) {
        let (n, of) = (i32::from(nth), i32::from(of));
        self.portion = Some(match self.portion {
            Some((first, last, parts)) => {
                let meet = parts == of && of < CENTURY && (first - 1..=last + 1).contains(&n);
                self.torn |= !meet;
                (first.min(n), last.max(n), of)
            }
            None => (n, n, of),
        });
    }

    /// Do the words say more than that a date is not sure?
    pub fn narrows(self) -> bool {
        self.portion.is_some() || self.before || self.after || self.until || self.since
    }

    /// First and last year meant by a span under these words; None is open.
    pub fn span(self, from: i32, to: i32) -> (Option<i32>, Option<i32>) {
        let (mut a, mut b) = match self.portion {
            None => (from, to),
            // 1890 to 1899 is the decade of ninety of a century that begins with 1801.
            Some((first, _, CENTURY)) => (from - 1 + first, from + first + 8),
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
pub fn century(n: i32) -> (i32, i32) {
    ((n - 1) * 100 + 1, n * 100)
}
