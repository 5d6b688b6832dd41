//! The dates of a claim: years, centuries, reigns, and the words that order or turn them.

use puncheon_schema::image::{Meta, Sense};

use super::Reader;
use super::clauses::{dates, small};
use crate::claim::{How, Problem, Taken, Wrong, Years};
use crate::grammar::dates::{CENTURY, Dating};
use crate::phrase::{Is, Piece, as_year, beside_figures};
use crate::steps::{self, Counted};
use crate::tree::{Aside, Use};

/// A pair of years further apart than this, with the second in two figures, is most likely a slip.
const WIDE_PAIR: i32 = 50;
/// How far ahead the word is looked for that small words, or other dates, part from what it belongs to.
const AHEAD: usize = 40;
/// Into how many parts a century alone is cut: decades, by number or by name.
const PARTS_OF_CENTURY: i32 = 10;

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
    pub(super) fn taken(&self, typed: &str) -> Option<Taken> {
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

    /// "~1803", ">1790", "1790+".
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
        let dates_follow = self.pieces.pieces[k + 1..].iter().counted().any(|p| is_date(p.what));
        match after.chars().next() {
            Some('~' | '\u{2248}') => d.about = true,
            // "1800+1810" names two.
            Some('+') if !after[1..].trim_start().starts_with(|c: char| c.is_ascii_digit()) => {
                d.since = true;
            }
            // "1803-ish" and "1803-type" are compounds, and no spans.
            Some('-' | '\u{2013}')
                if !dates_follow && !after.chars().nth(1).is_some_and(char::is_alphabetic) =>
            {
                d.since = true;
            }
            _ => {}
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
    /// The date before, where a word that joins two stands between: "1794 or", "1790s to".
    fn joined_before(&self, k: usize) -> Option<(i32, i32)> {
        match (self.is(k.checked_sub(2)?)?, self.means(k - 1)?) {
            (Is::Years(from, to), Sense::Or | Sense::And | Sense::To) => Some((from, to)),
            _ => None,
        }
    }

    /// "1794 or 5", "1794 to 95": the year that the figures end.
    pub(super) fn short_year(&self, k: usize) -> Option<(i32, i32)> {
        let joined = self.means(k.checked_sub(1)?) != Some(Sense::And);
        let (year, _) = self.joined_before(k).filter(|(from, to)| joined && from == to)?;
        let p = self.pieces.pieces[k];
        let figures = self.pieces.typed(&p);
        let short = (1..=2).contains(&figures.len()) && figures.bytes().all(|b| b.is_ascii_digit());
        let within = if figures.len() == 1 { 10 } else { CENTURY };
        let end = year / within * within + figures.parse::<i32>().ok()?;
        (short && end > year && !self.metal_follows(k)).then_some((end, end))
    }

    /// "1920s to 30s", "the 1920s or thirties": the decade of the same century.
    pub(super) fn short_decade(&self, k: usize) -> Option<(i32, i32)> {
        let (year, _) = self.joined_before(k)?;
        let Sense::Fraction(n, of) = self.means(k)? else {
            return None;
        };
        let from = year / CENTURY * CENTURY + i32::from(n);
        (i32::from(of) == CENTURY && from > year).then_some((from, from + 9))
    }

    /// The date that words from here on turn, in the same clause.
    pub(super) fn date_ahead(&self, k: usize) -> Option<usize> {
        let pieces = &self.pieces.pieces;
        let ahead = (k + 1..pieces.len()).take(AHEAD).counted();
        let passed = |j: &usize| {
            let what = pieces[*j].what;
            what.turns_a_date()
                || matches!(
                    what,
                    Is::Sense(Sense::Article | Sense::Filler | Sense::DateNoun | Sense::Month(_))
                )
                || self.part_of_a_day(*j)
        };
        let mut ahead = ahead.skip_while(passed);
        ahead.next().filter(|j| is_date(pieces[*j].what) && pieces[*j].clause == pieces[k].clause)
    }

    /// A day or month before a year: "9 June 1794", "June 9, 1794".
    pub(super) fn part_of_a_day(&self, k: usize) -> bool {
        let month = |k: usize| matches!(self.means(k), Some(Sense::Month(_)));
        let year = |k: usize| matches!(self.is(k), Some(Is::Years(..)));
        let day = |k: usize| {
            let typed = self.pieces.pieces.get(k).map_or("", |p| self.pieces.typed(p));
            let figures = typed.trim_end_matches(|c: char| c.is_ascii_alphabetic());
            figures.parse().is_ok_and(|d: u32| (1..=31).contains(&d))
        };
        let before = || k > 0 && month(k - 1) && year(k + 1);
        // "9th of June 1794"
        let of = || self.means(k + 1) == Some(Sense::Filler) && month(k + 2) && year(k + 3);
        month(k) && (year(k + 1) || day(k + 1) && year(k + 2))
            || day(k) && (month(k + 1) || of() || before())
    }

    /// Lets a word wait for its date. One that measures a piece has none to wait for.
    pub(super) fn wait(&mut self, k: usize, dating: &mut Dating, f: impl FnOnce(&mut Dating)) {
        let p = self.pieces.pieces[k];
        if self.is(k + 1) == Some(Is::Measure) {
            return self.aside(k, Aside::Measure);
        }
        f(dating);
        dating.start.get_or_insert(p.start);
        self.waiting.get_or_insert(k);
    }

    /// "or later", "and earlier", "onwards", "at the latest" behind a date.
    pub(super) fn behind_a_date(&mut self, k: usize) -> bool {
        let turn: fn(&mut Dating) = match self.means(k) {
            Some(Sense::Onwards | Sense::AtEarliest | Sense::Later | Sense::After) => {
                |d| d.since = true
            }
            Some(Sense::AtLatest | Sense::Earlier | Sense::Before) => |d| d.until = true,
            _ => return false,
        };
        let Some(after) = self.dates.last().map(|d| d.end) else {
            return false;
        };
        // No more than one word stands between, which joins them.
        let pieces = &self.pieces.pieces;
        let first = pieces.partition_point(|p| p.start < after);
        let beside = first == k;
        // "or rather later" corrects, and joins nothing.
        let joins = matches!(self.means(first), Some(Sense::Or | Sense::And | Sense::To))
            && !self.pieces.typed(&pieces[first]).contains(' ');
        let joined = first + 1 == k && joins && self.beside(after, first);
        let from = if beside { after } else { pieces[k - 1].end };
        // "later" by itself is of what follows.
        let alone =
            matches!(self.means(k), Some(Sense::Onwards | Sense::AtLatest | Sense::AtEarliest));
        // "1803 on" and "1803 on a tray": a word that turns nothing else does so where its clause ends.
        let ends = pieces.get(k + 1).is_none_or(|next| next.clause != pieces[k].clause);
        let turns = self.means(k) != Some(Sense::Onwards) || ends || self.turns(k);
        let here = (beside && alone || joined) && turns && self.beside(from, k);
        // "or before 1810" speaks of the date that follows.
        if !here || self.date_ahead(k).is_some() {
            return false;
        }
        let end = pieces[k].end;
        if let Some(d) = self.dates.last_mut() {
            turn(&mut d.dating);
            d.end = end;
            d.settle();
        }
        if joined {
            self.fates.used(first, Use::Date);
        }
        true
    }

    /// Does nothing but blanks, commas and dashes stand before a piece, from a place on?
    fn beside(&self, from: usize, k: usize) -> bool {
        let before = &self.pieces.text.typed[from..self.pieces.pieces[k].start];
        steps::take(before.len());
        before.chars().all(|c| matches!(c, ' ' | ',' | '-' | '\u{2013}'))
    }

    /// A sovereign's bare name, which the vocabulary takes for something else.
    pub(super) fn reign_by_name(&self, k: usize) -> Option<u32> {
        match self.means(k) {
            Some(Sense::Reign(_)) => None,
            _ => self.reign_named(&self.lower(k)),
        }
    }

    /// "George IV or III": the numeral alone takes the name before it.
    pub(super) fn next_of_the_name(&self, k: usize) -> Option<u32> {
        let last = self.image.reign(*self.claim.reigns.last()? as usize);
        let joined = k > 0 && self.means(k - 1) == Some(Sense::Or);
        let word = joined.then(|| self.lower(k))?;
        let roman = !word.is_empty() && word.bytes().all(|b| b"ivx".contains(&b));
        let name = last.name().split_whitespace().next()?.to_lowercase();
        roman.then(|| self.reign_named(&format!("{name} {word}")))?
    }

    fn reign_named(&self, word: &str) -> Option<u32> {
        let lower = |name: &str| name.chars().flat_map(char::to_lowercase).eq(word.chars());
        let named = |r: &usize| lower(self.image.reign(*r).name());
        (0..self.image.meta(Meta::Reigns)).find(named).map(|r| r as u32)
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
        for k in (first..=last).chain(date.waited) {
            self.fates.used(k, Use::Date);
        }
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
                    .all(|c| matches!(c, '(' | ' ' | '[' | ')' | '-'))
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
        let next = rest.first()?;
        // "nineteenth c."
        let short = beside_figures(self.image, &self.lower(k + 1)) == Some(Sense::Century)
            && self.date_ahead(k + 1).is_none();
        if next.what == Is::Sense(Sense::Century) || short {
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
                                | Sense::To
                                | Sense::Article
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
            .all(|p| dates(p.what) || small(p.what));
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
}

/// Is it a date in figures, or a century?
pub(super) fn is_date(what: Is) -> bool {
    matches!(what, Is::Years(..) | Is::Ordinal(_) | Is::Century(_))
}
