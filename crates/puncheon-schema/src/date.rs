//! Civil days as the tables write them.
//!
//! A day is held as a plain civil date. Days before 14 September 1752 are Julian, with the year
//! begun on 1 January, and are never converted: only their order matters here.

use jiff::civil::Date;
use serde::Deserialize;
use serde::de::{self, Deserializer};

/// One end of a span: a letter year, a month or a day.
///
/// Written `"1822"`, `"1822-01"` or `"1822-05-29"`. A bare year is the *letter year* of whichever
/// office is looked at: as a first bound the whole of that letter's time is inside, as a last
/// bound too. So a change on an unknown day of letter year 1821 is written with `to: "1821"` for
/// the old form and `from: "1821"` for the new, and either may stand in that year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// A letter year.
    Year(i32),
    /// A month, its day not known.
    Month(i32, i8),
    /// A day.
    Day(Date),
}

impl Bound {
    /// The calendar year named.
    pub fn year(self) -> i32 {
        match self {
            Bound::Year(y) | Bound::Month(y, _) => y,
            Bound::Day(d) => i32::from(d.year()),
        }
    }

    /// The first day this can mean when it opens a span, and whether that day is known exactly.
    pub fn first_day(self) -> Option<(Date, bool)> {
        match self {
            Bound::Year(_) => None,
            Bound::Month(y, m) => Some((Date::constant(y as i16, m, 1), false)),
            Bound::Day(d) => Some((d, true)),
        }
    }

    /// The last day this can mean when it closes a span, and whether that day is known exactly.
    pub fn last_day(self) -> Option<(Date, bool)> {
        match self {
            Bound::Year(_) => None,
            Bound::Month(y, m) => Some((Date::constant(y as i16, m, 1).last_of_month(), false)),
            Bound::Day(d) => Some((d, true)),
        }
    }

    fn parse(s: &str) -> Option<Bound> {
        let mut parts = s.splitn(3, '-');
        let year: i32 = parts.next().filter(|y| y.len() == 4)?.parse().ok()?;
        let Some(month) = parts.next() else {
            return Some(Bound::Year(year));
        };
        let month: i8 = month.parse().ok().filter(|m| (1..=12).contains(m))?;
        let Some(day) = parts.next() else {
            return Some(Bound::Month(year, month));
        };
        Date::new(year as i16, month, day.parse().ok()?).ok().map(Bound::Day)
    }
}

impl<'de> Deserialize<'de> for Bound {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let s = String::deserialize(d)?;
        Bound::parse(&s).ok_or_else(|| {
            de::Error::custom(format!(
                "\"{s}\" is not a date; write \"1822\" for a letter year, \"1822-01\" for a month or \"1822-05-29\" for a day"
            ))
        })
    }
}

/// A day of any year, written `"05-29"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    /// 1 to 12.
    pub month: i8,
    /// 1 to 31.
    pub day: i8,
}

impl MonthDay {
    /// This day in a year. The last days of February fall back to the 28th.
    pub fn in_year(self, year: i32) -> Date {
        Date::new(year as i16, self.month, self.day)
            .unwrap_or_else(|_| Date::constant(year as i16, self.month, 28))
    }
}

impl<'de> Deserialize<'de> for MonthDay {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let s = String::deserialize(d)?;
        let parsed = s.split_once('-').and_then(|(m, d)| {
            let (month, day) = (m.parse().ok()?, d.parse().ok()?);
            Date::new(2000, month, day).ok().map(|_| MonthDay { month, day })
        });
        parsed.ok_or_else(|| {
            de::Error::custom(format!("\"{s}\" is not a day of the year; write \"05-29\""))
        })
    }
}

/// A date as the whole number YYYYMMDD, which is how the packed tables hold it.
pub fn number(d: Date) -> i32 {
    i32::from(d.year()) * 10_000 + i32::from(d.month()) * 100 + i32::from(d.day())
}
