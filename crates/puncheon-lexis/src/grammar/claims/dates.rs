//! The dates of a claim: years, centuries, reigns, the words that order or turn them, and how two are
//! joined.

use std::ops::Range;

use puncheon_schema::image::{Meta, Sense};

use super::Reader;
use super::clauses::{dates, small};
use crate::claim::{How, Problem, Taken, Wrong, Years};
use crate::grammar::dates::{CENTURY, Dating};
use crate::phrase::{Is, Piece, as_year};
use crate::steps::{self, Counted};

/// A pair of years further apart than this, with the second in two figures, is most likely a slip.
const WIDE_PAIR: i32 = 50;
/// How far ahead the word is looked for that small words, or other dates, part from what it belongs to.
const AHEAD: usize = 40;
/// The most dates of which any will do.
const MOST_SPANS: usize = 100;
/// Into how many parts a century alone is cut: decades, by number or by name.
const PARTS_OF_CENTURY: i32 = 10;
const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// A date of a claim.
pub(super) struct Date {
    pub years: Years,
    /// Bytes of the claim.
    pub start: usize,
    pub end: usize,
    /// The year before a century was counted in.
    pub round: bool,
    /// A reign or period.
    pub period: bool,
    /// A pair whose second year was written short.
    pub short: bool,
    /// As typed, before the words round it are taken into account.
    pub plain: (i32, i32),
    /// The piece that it begins with, and the first of the words that waited for it.
    pub first: usize,
    pub waited: Option<usize>,
    pub dating: Dating,
}

impl Date {
    /// Works out the years anew after a word changed the dating.
    pub(super) fn settle(&mut self) {
        let (mut from, to) = self.dating.span(self.plain.0, self.plain.1);
        // The year before a century is often counted to it: 1800 to the nineteenth.
        if self.round && from == Some(self.plain.0) {
            from = Some(self.plain.0 - 1);
        }
        self.years = Years { from, to, one_letter: self.years.one_letter && from == to };
    }

    /// How it was taken; None where it means what it says.
    fn taken(&self, typed: &str) -> Option<Taken> {
        let words = typed[self.start..self.end].trim_end();
        let d = &self.dating;
        let decade = words.ends_with(['s', 'S']);
        let how = How {
            portion: d.portion,
            about: d.about,
            excluded: d.before || d.after,
            included: d.until || d.since,
            round: (self.round && d.portion.is_none_or(|p| p.0 == 1)).then(|| self.plain.0 - 1),
            spans: self.plain.0 != self.plain.1 && (self.period || self.short || decade),
        };
        let plain = how == How::default() && !self.years.one_letter;
        let at = self.start..self.start + words.len();
        (!plain).then_some(Taken::Date { at, years: self.years, how })
    }
}
impl Reader<'_, '_> {
    pub(super) fn years(
        &mut self,
        k: usize,
        a: i32,
        b: i32,
        dating: &mut Dating,
    ) -> Result<(), Problem> {
        let text = self.pieces.typed(&self.pieces.pieces[k]).to_string();
        // "1803/04" is the one letter of 1803.
        let pair = b == a + 1 && text.contains(|c: char| !c.is_ascii_digit());
        let short = !pair && b > a && text.len() < 9 && !text.ends_with(['s', 'S']);
        if short && b - a > WIDE_PAIR {
            let p = self.pieces.pieces[k];
            return Err(Problem::new(p.start..p.end, Wrong::TwoWays(a, b)));
        }
        if let Some(style) = self.styled(k) {
            return Err(self.no_date_for(style));
        }
        let mut d = std::mem::take(dating);
        self.signs_beside(k, &mut d);
        self.date(k, k, if pair { (a, a) } else { (a, b) }, d);
        if let Some(d) = self.dates.last_mut() {
            d.short = short;
            d.years.one_letter = pair && d.years.from == d.years.to;
        }
        Ok(())
    }

    /// "~1803", ">1790", "1790+" and plain words that open a span: "from 1790", "by 1803".
    fn signs_beside(&self, k: usize, d: &mut Dating) {
        let p = self.pieces.pieces[k];
        let typed = self.pieces.text.typed;
        let before = typed[..p.start].trim_end();
        let after = &typed[p.end..];
        match before.chars().last() {
            Some('~' | '\u{2248}' | '?') => d.about = true,
            Some('>') => d.after = true,
            Some('<') => d.before = true,
            Some('\u{2265}') => d.since = true,
            Some('\u{2264}') => d.until = true,
            Some('-' | '\u{2013}') if self.dates.is_empty() && k == 0 => d.until = true,
            _ => {}
        }
        let dates_follow = self.pieces.pieces[k + 1..]
            .iter()
            .counted()
            .any(|p| matches!(p.what, Is::Years(..) | Is::Ordinal(_)));
        match after.chars().next() {
            Some('~' | '\u{2248}') => d.about = true,
            // "1800+1810" names two.
            Some('+') if !after[1..].trim_start().starts_with(|c: char| c.is_ascii_digit()) => {
                d.since = true;
            }
            Some('-' | '\u{2013}') if !dates_follow => d.since = true,
            _ => {}
        }
        if k > 0 && matches!(self.is(k - 1), Some(Is::Sense(Sense::Filler))) {
            match self.lower(k - 1).as_str() {
                "from" => d.since = true,
                "by" => d.until = true,
                "to" if self.dates.is_empty() => d.until = true,
                _ => {}
            }
        }
        let about = "~ \u{2248}";
        if d.start.is_none() && before.ends_with(|c| about.contains(c)) {
            d.start = Some(before.len() - before.chars().last().map_or(0, char::len_utf8));
        }
    }

    /// "1803 g": figures shaped like a year, with a unit behind.
    pub(super) fn year_with_unit(&self, p: &Piece) -> bool {
        let typed = self.pieces.typed(p);
        let behind = typed.trim_start_matches(|c: char| c.is_ascii_digit());
        !behind.is_empty() && as_year(&typed[..typed.len() - behind.len()]).is_some()
    }
    pub(super) fn short_year(&self, k: usize) -> Option<i32> {
        let p = self.pieces.pieces[k];
        let figures = self.pieces.typed(&p);
        let joined = match self.is(k.checked_sub(1)?)? {
            Is::Sense(Sense::Or) => true,
            Is::Sense(Sense::Filler) => self.lower(k - 1) == "to",
            _ => false,
        };
        let Is::Years(year, same) = self.is(k.checked_sub(2)?)? else {
            return None;
        };
        let short = joined && year == same && (1..=2).contains(&figures.len());
        let short = short && figures.bytes().all(|b| b.is_ascii_digit());
        let within = if figures.len() == 1 { 10 } else { CENTURY };
        let end = year / within * within + figures.parse::<i32>().ok()?;
        (short && end > year && !self.metal_follows(k)).then_some(end)
    }

    /// A day or month before a year: "9 June 1794".
    pub(super) fn part_of_a_day(&self, k: usize) -> Option<usize> {
        let month = |k: usize| {
            let word = self.pieces.pieces.get(k).map(|_| self.lower(k));
            word.is_some_and(|w| {
                w.len() >= 3 && MONTHS.iter().any(|m| w.starts_with(m)) && is_month(&w)
            })
        };
        let year = |k: usize| matches!(self.is(k), Some(Is::Years(..)));
        let day = self
            .lower(k)
            .trim_end_matches(|c: char| c.is_ascii_alphabetic())
            .parse()
            .is_ok_and(|d: u32| (1..=31).contains(&d));
        if month(k) && (year(k + 1) || day_between(self, k)) {
            return Some(k + 1);
        }
        (day && (month(k + 1) || k > 0 && month(k - 1) && year(k + 1))).then_some(k + 1)
    }

    /// Lets a word wait for its date. One that measures a piece has none to wait for.
    pub(super) fn wait(&mut self, k: usize, dating: &mut Dating, f: impl FnOnce(&mut Dating)) {
        let p = self.pieces.pieces[k];
        if self.is(k + 1) == Some(Is::Measure) {
            return self.aside(&p);
        }
        f(dating);
        dating.start.get_or_insert(p.start);
        self.waiting.get_or_insert(k);
    }
    /// "or later", "and earlier", "onwards" behind a date.
    pub(super) fn behind_a_date(&mut self, k: usize) -> Option<usize> {
        let p = self.pieces.pieces[k];
        let text = self.pieces.text.typed;
        let after = self.dates.last()?.end;
        // No more than one word stands between.
        if k > 1 && self.pieces.pieces[k - 2].start >= after {
            return None;
        }
        steps::take(p.start - after);
        let gap = text[after..p.start].trim_matches([' ', ',']).to_lowercase();
        let (beside, joined) = (gap.is_empty(), matches!(gap.as_str(), "or" | "and" | "&"));
        // "or before 1810" speaks of the date that follows.
        let date_follows = matches!(self.is(k + 1), Some(Is::Years(..) | Is::Ordinal(_)));
        if date_follows {
            return None;
        }
        let word = self.lower(k);
        let d = self.dates.last_mut()?;
        match word.as_str() {
            "onwards" | "onward" | "on" if beside || joined => d.dating.since = true,
            "later" | "after" | "younger" if joined => d.dating.since = true,
            "earlier" | "before" | "older" if joined => d.dating.until = true,
            _ => return None,
        }
        d.end = p.end;
        d.settle();
        Some(k + 1)
    }

    /// A piece that the vocabulary takes for something else, and that is a sovereign's bare name.
    pub(super) fn is_reign_by_name(&self, k: usize) -> bool {
        !matches!(self.is(k), Some(Is::Sense(Sense::Reign(_))))
            && matches!(self.reign_named(&self.lower(k)), Sense::Reign(_))
    }

    /// "George IV or III": the numeral alone takes the name before it.
    pub(super) fn next_of_the_name(&self, k: usize) -> Option<Sense> {
        let word = self.lower(k);
        let roman = !word.is_empty() && word.bytes().all(|b| b"ivx".contains(&b));
        let last = self.image.reign(*self.claim.reigns.last()? as usize);
        let name = last.name().split_whitespace().next()?.to_lowercase();
        let joined = k > 0 && self.is(k - 1) == Some(Is::Sense(Sense::Or));
        let reign = self.reign_named(&format!("{name} {word}"));
        (roman && joined && matches!(reign, Sense::Reign(_))).then_some(reign)
    }

    pub(super) fn reign_named(&self, word: &str) -> Sense {
        let lower = |name: &str| name.chars().flat_map(char::to_lowercase).eq(word.chars());
        (0..self.image.meta(Meta::Reigns))
            .find(|r| lower(self.image.reign(*r).name()))
            .map_or(Sense::Filler, |r| Sense::Reign(r as u32))
    }
    pub(super) fn date(&mut self, first: usize, last: usize, plain: (i32, i32), dating: Dating) {
        let mut date = Date {
            years: Years { from: None, to: None, one_letter: false },
            start: dating.start.unwrap_or(self.pieces.pieces[first].start),
            end: self.pieces.pieces[last].end,
            round: false,
            period: false,
            short: false,
            plain,
            first,
            waited: self.waiting.take(),
            dating,
        };
        date.settle();
        self.dates.push(date);
    }

    /// "1790?", "1794(?)", "1790 or thereabouts" and "?1794" are about that year. Does a date stand beside?
    pub(super) fn about_beside(&mut self, k: usize, dating: &mut Dating) -> bool {
        let p = self.pieces.pieces[k];
        let typed = self.pieces.text.typed;
        let year_follows = matches!(self.is(k + 1), Some(Is::Years(..)));
        // "1790 about 1800": a word goes to the year behind it.
        let word = p.what != Is::Question;
        let beside = |d: &&mut Date| {
            !(word && year_follows)
                && typed[d.end.min(p.start)..p.start]
                    .chars()
                    .rev()
                    .counted()
                    .all(|c| matches!(c, '(' | ' ' | '[' | ')'))
        };
        if let Some(d) = self.dates.last_mut().filter(beside) {
            d.dating.about = true;
            d.years.one_letter = false;
            d.settle();
            d.end = p.end;
            return true;
        }
        if year_follows {
            dating.about = true;
            dating.start.get_or_insert(p.start);
        }
        year_follows
    }

    /// The piece that makes an ordinal a century: "18th century", "18th to early 19th century".
    pub(super) fn century_after(&self, k: usize) -> Option<usize> {
        let rest = &self.pieces.pieces[k + 1..];
        let mut ahead = rest.iter().take(AHEAD).counted();
        if rest.first()?.what == Is::Sense(Sense::Century) {
            return Some(k + 1);
        }
        let shared = ahead
            .find(|p| {
                !matches!(
                    p.what,
                    Is::Slash
                        | Is::Ordinal(_)
                        | Is::Sense(
                            Sense::Or
                                | Sense::And
                                | Sense::Filler
                                | Sense::Early
                                | Sense::Mid
                                | Sense::Late
                        )
                )
            })
            .is_some_and(|p| p.what == Is::Sense(Sense::Century));
        shared.then_some(k)
    }
    /// Words that no date followed: a part is of the date before, where nothing else can be meant.
    pub(super) fn without_a_date(&mut self, dating: Dating) -> Result<(), Problem> {
        let Some(k) = self.waiting.filter(|_| dating.narrows()) else {
            return Ok(());
        };
        let pieces = &self.pieces.pieces;
        let only = Dating { portion: None, start: None, ..dating };
        let alone = pieces[k..]
            .iter()
            .take_while(|p| p.clause == pieces[k].clause)
            .all(|p| dates(p.what) || small(p.what) || self.says_date(p));
        let end = pieces[k].end;
        let many = |d: &&mut Date| d.dating.portion.is_none() && d.plain.0 != d.plain.1;
        match self.dates.last_mut().filter(many) {
            Some(d) if alone && !only.narrows() => {
                (d.dating.portion, d.dating.torn) = (dating.portion, dating.torn);
                d.dating.about |= dating.about;
                d.end = d.end.max(end);
                d.settle();
                Ok(())
            }
            _ => Err(self.no_date_for(k)),
        }
    }

    /// A third of one year, or a decade of less than a century, is no date.
    pub(super) fn parts_of_dates(&mut self) -> Result<(), Problem> {
        for i in 0..self.dates.len() {
            let d = &self.dates[i];
            let Some((_, _, of)) = d.dating.portion else {
                continue;
            };
            let one_year = d.plain.0 == d.plain.1;
            // "an early spoon of 1803" is early, and not the year.
            let of_a_thing = || (d.waited.unwrap_or(d.first)..d.first).any(|k| self.thing(k));
            if one_year && of_a_thing() {
                let d = &mut self.dates[i];
                d.dating.portion = None;
                d.settle();
                continue;
            }
            let wrong = if one_year {
                Wrong::PartOfYear
            } else if d.dating.torn {
                Wrong::PartsApart
            } else if of >= PARTS_OF_CENTURY && !d.round {
                Wrong::NoCentury
            } else {
                continue;
            };
            return Err(Problem::new(d.start..d.end, wrong));
        }
        Ok(())
    }

    /// A word that orders or turns a date, and that no date has put to use.
    pub(super) fn not_put_to_use(&self) -> Result<(), Problem> {
        let claimed = !self.dates.is_empty() || !self.claim.offices.is_empty();
        match self.turning.first().filter(|_| claimed) {
            Some(k) => Err(self.no_date_for(*k)),
            None => Ok(()),
        }
    }
    /// Puts what stands between two dates to use: "or" joins them, "to" spans them, and side by side
    /// the one narrows the other.
    pub(super) fn dates_together(&mut self) -> Result<(), Problem> {
        let typed = self.pieces.text.typed;
        let mut out: Vec<Years> = Vec::new();
        let mut last: Option<&Date> = None;
        for d in &self.dates {
            let Some(l) = last else {
                out.push(d.years);
                last = Some(d);
                continue;
            };
            let range = l.end.min(d.start)..d.start;
            let pieces = &self.pieces.pieces;
            let first = pieces.partition_point(|p| p.start < range.start);
            let there = || {
                let pieces = pieces[first..].iter().counted();
                pieces.take_while(|p| p.start < range.end)
            };
            // "by Eley & Fearn" joins no dates.
            let of_a_name = |p: &&Piece| {
                matches!(p.what, Is::Unknown | Is::Sense(Sense::Aside)) && !self.says_date(p)
            };
            let behind = there().filter(of_a_name).map(|p| p.end.min(d.start)).max();
            let between = self.between(&typed[..l.start], behind.unwrap_or(range.start)..range.end);
            // An office and its date on each side of "or" are two claims.
            let apart = there().any(|p| matches!(p.what, Is::Sense(Sense::Town(_))));
            match between {
                Join::Either if apart => {
                    return Err(Problem::new(l.start..d.end, Wrong::TwoClaims));
                }
                Join::Either if out.len() == MOST_SPANS => {
                    return Err(Problem::new(d.start..d.end, Wrong::TooMany(MOST_SPANS)));
                }
                Join::Either => out.push(d.years),
                Join::Through => {
                    out.pop();
                    out.push(Years { from: l.years.from, to: d.years.to, one_letter: false });
                }
                Join::Both => {
                    let narrowed: Vec<Years> = out.iter().filter_map(|y| y.and(d.years)).collect();
                    if narrowed.is_empty() {
                        let (first, years) = (l.start..l.end, [l.years, d.years]);
                        let wrong = Wrong::NeverMeet { first, years };
                        return Err(Problem::new(d.start..d.end, wrong));
                    }
                    out = narrowed;
                }
            }
            last = Some(d);
        }
        if out.iter().any(|y| y.none()) {
            let at = self.dates[0].start..self.dates[self.dates.len() - 1].end;
            return Err(Problem::new(at, Wrong::NoYears));
        }
        self.claim.taken.extend(self.dates.iter().filter_map(|d| d.taken(typed)));
        self.claim.years = out;
        Ok(())
    }

    /// How the text between two dates joins them.
    fn between(&self, before: &str, range: Range<usize>) -> Join {
        steps::take(range.len());
        let text = self.pieces.text.typed[range].to_lowercase();
        let words: Vec<&str> =
            text.split(|c: char| c.is_whitespace() || c == ',').filter(|w| !w.is_empty()).collect();
        let tail = before.trim_end().as_bytes();
        let spans = tail
            .last_chunk::<{ BETWEEN.len() }>()
            .is_some_and(|tail| tail.eq_ignore_ascii_case(BETWEEN));
        if spans || words.is_empty() {
            let through = spans && !words.is_empty();
            return if through { Join::Through } else { Join::Both };
        }
        if words.iter().any(|w| matches!(*w, "or" | "/")) {
            return Join::Either;
        }
        // "1780 and 1790" runs from the one to the other, and "1780 & 1790" as well.
        let through = [
            "to", "and", "&", "+", "until", "till", "through", "thru", "-", "\u{2013}", "\u{2014}",
            "..",
        ];
        match words.last() {
            Some(w) if through.contains(w) => Join::Through,
            _ => Join::Both,
        }
    }
}
/// The word before two dates of which the one begins a span and the other ends it.
const BETWEEN: &[u8] = b"between";
/// How two dates are joined.
enum Join {
    /// Either will do.
    Either,
    /// All from the one to the other.
    Through,
    /// The one narrows the other.
    Both,
}

pub(super) fn is_month(word: &str) -> bool {
    const FULL: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    FULL.iter().any(|m| m.starts_with(word)) || word == "sept"
}

/// "June 9, 1794": a day stands between the month and the year.
fn day_between(r: &Reader, k: usize) -> bool {
    let day = r.pieces.pieces.get(k + 1).map(|_| r.lower(k + 1));
    day.is_some_and(|d| d.len() <= 4 && d.starts_with(|c: char| c.is_ascii_digit()))
        && matches!(r.is(k + 2), Some(Is::Years(..)))
}
