//! The words of a claim: offices, dates, reigns and standards, in any order.
//!
//! What is not understood is never dropped in silence. A figure, a place, a word that orders or turns
//! a date and no date has put to use, and any word not understood beside what is claimed refuse the
//! claim, since the rest of it might hold without that word. What is set aside is known: objects,
//! makers' names, and what a piece has on it.

use std::borrow::Cow;
use std::cell::Cell;
use std::ops::Range;

use puncheon_schema::entry::{DeviceKind, LookalikeKind, OutsideBecause, Slot};
use puncheon_schema::export;
use puncheon_schema::image::{Ending, Image, LookalikeView, METALS, Meta, Sense};
use strsim::osa_distance;

use crate::engine::claim::claimed::{Claim, ClaimError, Unused, Years};
use crate::engine::fit::narrow::ones;
use crate::engine::place::Place;
use crate::lexis::grammar::dates::{ABOUT, CENTURY, Dating, century};
use crate::lexis::grammar::initials::{ending, sense};
use crate::lexis::phrase::{Is, Piece, Pieces, as_year};
use crate::lexis::said::RemarkKind;
use crate::lexis::steps::{self, Counted};
use crate::lexis::token::Text;

/// A pair of years further apart than this, with the second in two figures, is most likely a slip.
const WIDE_PAIR: i32 = 50;
/// How far ahead the word is looked for that small words, or other dates, part from what it belongs to.
const AHEAD: usize = 40;
/// The most dates of which any will do.
const MOST_SPANS: usize = 100;

/// Words that only say that a date is one.
const SAYS_DATE: [&str; 6] = ["period", "era", "reign", "date", "dated", "year"];

/// What opens a list of what a piece has on it.
const HAS: &str = "with";

/// Into how many parts a century alone is cut: decades, by number or by name.
const PARTS_OF_CENTURY: i32 = 10;

/// What to write for a word of dates that was not understood.
const YEARS_MEANT: &str = "write the years meant, as 1851-1900, \"not after 1810\" or \
                           \"last quarter of the 18th century\"";

/// What is wrong with words of which none bears on a claim.
pub(crate) const NAMES_NOTHING: &str = "the claim names no office, year, reign or standard";

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// Reads a claim. `names` finds whoever is named in one, in bytes of its text.
pub(crate) fn read(
    image: &Image,
    claim: &str,
    names: &dyn Fn(&Claim) -> Vec<Range<usize>>,
) -> Result<Claim, ClaimError> {
    let written = spelled(claim);
    let pieces = Pieces::cut(image, Text::new(image, &written));
    Reader {
        image,
        clauses: clauses(&pieces),
        sentences: sentences(&pieces),
        mended_far: mended_far(&pieces),
        pieces,
        claim: Claim {
            text: claim.split_whitespace().collect::<Vec<_>>().join(" "),
            ..Claim::default()
        },
        metals: Vec::new(),
        shown: Vec::new(),
        dates: Vec::new(),
        last_office: None,
        word: Cell::default(),
        waiting: None,
        unread: Vec::new(),
        turning: Vec::new(),
    }
    .read(names)
}

/// Ways of writing a date that run together: "C19th", "1790's", "circa1803", "1794-05-14".
pub(crate) fn spelled(claim: &str) -> Cow<'_, str> {
    let mut out = String::new();
    let mut changed = false;
    for (i, word) in claim.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        let core = word.trim_end_matches([',', ';', '.', ')']).trim_start_matches('(');
        match core.is_ascii().then(|| respelled(core)).flatten() {
            Some(new) => {
                out.push_str(&word.replacen(core, &new, 1));
                changed = true;
            }
            None => out.push_str(word),
        }
    }
    if changed { Cow::Owned(out) } else { Cow::Borrowed(claim) }
}

fn respelled(word: &str) -> Option<String> {
    let lower = word.to_ascii_lowercase();
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let four = |s: &str| s.len() == 4 && digits(s);
    // "1794-05-14"
    if let [y, m, d] = lower.split('-').collect::<Vec<_>>()[..]
        && four(y)
        && m.len() == 2
        && d.len() == 2
        && digits(m)
        && digits(d)
    {
        return Some(y.to_string());
    }
    // "1790's"
    if let Some(y) = lower.strip_suffix("'s").filter(|y| four(y)) {
        return Some(format!("{y}s"));
    }
    // "1803-ish"
    if let Some(y) = lower.strip_suffix("ish") {
        let y = y.strip_suffix('-').unwrap_or(y);
        return four(y).then(|| format!("about {y}"));
    }
    // "1920s-30s", "1920-30s", "1920s/30s"
    if let Some((a, b)) = lower.split_once(['-', '/'])
        && let Some(b) = b.strip_suffix('s')
        && four(a.trim_end_matches('s'))
        && digits(b)
        && (b.len() == 2 || b.len() == 4)
    {
        let century = &a[..4 - b.len()];
        return Some(format!("{a} to {century}{b}s"));
    }
    // "C19th", "C19", "19thC", "19thc", "nineteenth-century"
    let stem = lower.trim_start_matches("c.").trim_start_matches('c');
    let ordinal = stem.trim_end_matches('c');
    let figures = ordinal.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let ending = &ordinal[figures.len()..];
    if digits(figures)
        && figures.len() <= 2
        && matches!(ending, "" | "st" | "nd" | "rd" | "th")
        && ordinal.len() != lower.len()
    {
        let n: i32 = figures.parse().ok()?;
        return (10..=21).contains(&n).then(|| format!("{n}th century"));
    }
    let number = lower.strip_suffix("-century").unwrap_or(&lower);
    let named = [
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
        "twentieth",
        "twenty-first",
    ];
    if let Some(n) = named.iter().position(|n| *n == number) {
        let rest = if number.len() == lower.len() { "" } else { " century" };
        return Some(format!("{}th{rest}", n + 15));
    }
    // "circa1803", "london1794"
    let at = lower.len().checked_sub(4)?;
    let (name, year) = lower.split_at(at);
    let glued = name.len() >= 3 && name.bytes().all(|b| b.is_ascii_alphabetic()) && four(year);
    glued.then(|| format!("{} {year}", &word[..at]))
}

/// A date of a claim.
struct Date {
    years: Years,
    /// Bytes of the claim.
    start: usize,
    end: usize,
    /// The year before a century was counted in.
    round: bool,
    /// A reign or period.
    period: bool,
    /// A pair whose second year was written short.
    short: bool,
    /// As typed, before the words round it are taken into account.
    plain: (i32, i32),
    /// The piece that it begins with, and the first of the words that waited for it.
    first: usize,
    waited: Option<usize>,
    dating: Dating,
}

impl Date {
    /// Works out the years anew after a word changed the dating.
    fn settle(&mut self) {
        let (mut from, to) = self.dating.span(self.plain.0, self.plain.1);
        // The year before a century is often counted to it: 1800 to the nineteenth.
        if self.round && from == Some(self.plain.0) {
            from = Some(self.plain.0 - 1);
        }
        self.years = Years { from, to, one_letter: self.years.one_letter && from == to };
    }
}

/// What a clause of the claim says for all its words.
#[derive(Clone, Copy, Default)]
struct Clause {
    /// It calls its letters a letter or a maker's mark.
    calls_letters: bool,
    /// It says more than that something is in a style.
    says: bool,
    /// The first "with" behind all that it claims.
    has: Option<usize>,
}

/// Each clause, by its number.
fn clauses(pieces: &Pieces) -> Vec<Clause> {
    let last = pieces.pieces.last().map_or(0, |p| p.clause as usize);
    let mut out = vec![Clause::default(); last + 1];
    for (k, p) in pieces.pieces.iter().enumerate() {
        let clause = &mut out[p.clause as usize];
        clause.calls_letters |=
            matches!(p.what, Is::Sense(Sense::LetterNoun | Sense::SponsorNoun | Sense::Firm));
        clause.says |= !small(p.what) && !is_style(p.what);
        let has = || pieces.typed(p).to_lowercase().starts_with(HAS);
        if claims(p.what) {
            clause.has = None;
        } else if p.what == Is::Sense(Sense::And) && has() {
            clause.has.get_or_insert(k);
        }
    }
    out
}

/// Does a sentence claim something? By its number.
fn sentences(pieces: &Pieces) -> Vec<bool> {
    let last = pieces.pieces.last().map_or(0, |p| p.sentence as usize);
    let mut out = vec![false; last + 1];
    for p in pieces.pieces.iter().filter(|p| claims(p.what)) {
        out[p.sentence as usize] = true;
    }
    out
}

/// The words that were taken for others by more than one slip, in order.
fn mended_far(pieces: &Pieces) -> Vec<(usize, usize)> {
    let far = pieces.remarks.iter().filter(|r| {
        let nearest = r.nearest.as_deref().unwrap_or_default();
        osa_distance(&pieces.text.typed[r.start..r.end].to_lowercase(), nearest) > 1
    });
    let mut out: Vec<(usize, usize)> = far.map(|r| (r.start, r.end)).collect();
    out.sort_unstable();
    out
}

struct Reader<'i, 't> {
    image: &'i Image,
    pieces: Pieces<'t>,
    clauses: Vec<Clause>,
    /// Which sentences claim something.
    sentences: Vec<bool>,
    /// Words taken for others by more than one slip.
    mended_far: Vec<(usize, usize)>,
    claim: Claim,
    metals: Vec<usize>,
    /// The standards that each standard mark named may stand for.
    shown: Vec<Vec<usize>>,
    dates: Vec<Date>,
    /// Where the last office named ends.
    last_office: Option<usize>,
    /// The stretch between blanks that was looked at last, and whether a figure stands in it.
    word: Cell<(usize, usize, bool)>,
    /// The first of the words that wait for their date.
    waiting: Option<usize>,
    /// Pieces that were not understood.
    unread: Vec<usize>,
    /// Pieces that order or turn a date, and that no date has put to use.
    turning: Vec<usize>,
}

impl Reader<'_, '_> {
    fn read(mut self, names: &dyn Fn(&Claim) -> Vec<Range<usize>>) -> Result<Claim, ClaimError> {
        let mut dating = Dating::default();
        let mut k = 0;
        while k < self.pieces.pieces.len() {
            k = self.piece(k, &mut dating)?;
        }
        for u in &mut self.claim.not_used {
            u.text = self.pieces.text.typed[u.start..u.end].to_string();
        }
        self.unplaced()?;
        self.without_a_date(dating)?;
        self.parts_of_dates()?;
        self.not_put_to_use()?;
        self.not_read(names)?;
        self.dates_together()?;
        self.standards_together()?;
        self.corrections();
        let said = !self.claim.offices.is_empty()
            || !self.claim.years.is_empty()
            || !self.claim.standards.is_empty();
        if !said {
            let empty = self.claim.text.is_empty();
            let at = if empty { 0..0 } else { self.all() };
            let wrong = if empty { "the claim is empty" } else { NAMES_NOTHING };
            return Err(self.error(at, wrong.to_string(), None));
        }
        self.marks_shown();
        Ok(self.claim)
    }

    fn all(&self) -> Range<usize> {
        0..self.pieces.text.typed.len()
    }

    /// A piece as typed, in small letters, without points.
    fn lower(&self, k: usize) -> String {
        let typed = self.pieces.typed(&self.pieces.pieces[k]).to_lowercase();
        typed.trim_end_matches('.').to_string()
    }

    fn is(&self, k: usize) -> Option<Is> {
        self.pieces.pieces.get(k).map(|p| p.what)
    }

    fn piece(&mut self, k: usize, dating: &mut Dating) -> Result<usize, ClaimError> {
        steps::take(1);
        let p = self.pieces.pieces[k];
        if let Some(next) = self.part_of_a_day(k) {
            return Ok(next);
        }
        if let Some(next) = self.behind_a_date(k) {
            return Ok(next);
        }
        if self.is_reign_by_name(k) {
            return self.sense(k, self.reign_named(&self.lower(k)), dating);
        }
        if let Some(reign) = self.next_of_the_name(k) {
            return self.sense(k, reign, dating);
        }
        if let Some(end) = self.short_year(k) {
            self.date(k, k, (end, end), std::mem::take(dating));
            return Ok(k + 1);
        }
        match p.what {
            Is::Years(a, b) => self.years(k, a, b, dating)?,
            Is::Ordinal(n) => match self.century_after(k) {
                Some(last) => {
                    let d = std::mem::take(dating);
                    self.date(k, last, century(n), d);
                    if let Some(d) = self.dates.last_mut() {
                        d.round = true;
                        d.settle();
                    }
                    return Ok(last + 1);
                }
                None => return Err(self.not_understood(k)),
            },
            Is::Number | Is::Initials if self.figures(&p) => return Err(self.not_understood(k)),
            Is::Question => {
                if !self.about_beside(k, dating) {
                    self.aside(&p);
                }
            }
            Is::Sense(s) => return self.sense(k, s, dating),
            Is::Unknown if self.figures(&p) || self.like_an_office(&p) => {
                return Err(self.not_understood(k));
            }
            Is::Measure if self.year_with_unit(&p) => {
                let typed = self.pieces.typed(&p);
                let wrong = format!("\"{typed}\" may be a year or a measure");
                let remedy = "write a year without a unit, and a measure of thousands with a comma, \
                              as 1,803 g";
                return Err(self.error(p.start..p.end, wrong, Some(remedy.into())));
            }
            Is::Measure | Is::Number => self.aside(&p),
            Is::Letter | Is::Initials if self.of_a_mark(k) => self.aside(&p),
            // Before a noun it is the article.
            Is::Letter if sense(self.image, &self.lower(k)) == Some(Sense::Article) => {}
            Is::Unknown | Is::Letter | Is::Initials => self.unread(k),
            Is::Colon | Is::Slash => {}
        }
        Ok(k + 1)
    }

    fn years(&mut self, k: usize, a: i32, b: i32, dating: &mut Dating) -> Result<(), ClaimError> {
        let text = self.pieces.typed(&self.pieces.pieces[k]).to_string();
        // "1803/04" is the one letter of 1803.
        let pair = b == a + 1 && text.contains(|c: char| !c.is_ascii_digit());
        let short = !pair && b > a && text.len() < 9 && !text.ends_with(['s', 'S']);
        if short && b - a > WIDE_PAIR {
            let p = self.pieces.pieces[k];
            let wrong = format!("\"{text}\" can be read two ways");
            let remedy = format!("write {a}-{b}, or the earlier year first");
            return Err(self.error(p.start..p.end, wrong, Some(remedy)));
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
    fn year_with_unit(&self, p: &Piece) -> bool {
        let typed = self.pieces.typed(p);
        let behind = typed.trim_start_matches(|c: char| c.is_ascii_digit());
        !behind.is_empty() && as_year(&typed[..typed.len() - behind.len()]).is_some()
    }

    /// "not 1884" numbers nothing, as "No. 2" does: a year that is denied turns the claim round.
    fn denies(&self, k: usize) -> bool {
        let pieces = &self.pieces;
        let (p, figures) = (&pieces.pieces[k], pieces.pieces.get(k + 1));
        let pointed = pieces.text.typed[p.end..].starts_with('.');
        let numbers = pointed || pieces.typed(p).starts_with(char::is_uppercase);
        let year = figures.is_some_and(|f| as_year(pieces.typed(f)).is_some());
        sense(self.image, &self.lower(k)) == Some(Sense::Absent) && (year || !numbers)
    }

    /// "1803 to 4", "1883 or 4": figures that stand for the end of the year before.
    fn short_year(&self, k: usize) -> Option<i32> {
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
    fn part_of_a_day(&self, k: usize) -> Option<usize> {
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
    fn wait(&mut self, k: usize, dating: &mut Dating, f: impl FnOnce(&mut Dating)) {
        let p = self.pieces.pieces[k];
        if self.is(k + 1) == Some(Is::Measure) {
            return self.aside(&p);
        }
        f(dating);
        dating.start.get_or_insert(p.start);
        self.waiting.get_or_insert(k);
    }

    /// Letters are a mark's or a name's, and not a date's: called a letter or a maker's mark, beside a
    /// name, or away from all that is claimed.
    fn of_a_mark(&self, k: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let clause = pieces[k].clause;
        let called = self.clauses[clause as usize].calls_letters;
        let beside = [k.checked_sub(1), Some(k + 1)];
        let beside = || beside.into_iter().flatten().filter_map(|j| pieces.get(j));
        let name = |p: &Piece| {
            matches!(p.what, Is::Unknown | Is::Initials | Is::Sense(Sense::Aside))
                && self.pieces.typed(p).starts_with(char::is_uppercase)
        };
        let far = pieces[k].what == Is::Initials
            && !beside().any(|p| p.clause == clause && claims(p.what));
        called || far || beside().any(name)
    }

    /// Does a word order or turn a date?
    fn turns(&self, k: usize) -> bool {
        let words = self.lower(k).replace('-', " ").replace(['\'', '\u{2019}'], "");
        ending(self.image, &words).is_some_and(Ending::turns)
    }

    /// Does a word only say that a date is one?
    fn says_date(&self, p: &Piece) -> bool {
        let typed = self.pieces.typed(p).to_lowercase();
        SAYS_DATE.contains(&typed.trim_end_matches('.'))
    }

    /// Puts aside a word that was not understood.
    fn unread(&mut self, k: usize) {
        let p = self.pieces.pieces[k];
        self.aside(&p);
        if !self.says_date(&p) && !self.on_the_piece(k) {
            self.unread.push(k);
        }
    }

    /// "with a ... finial": is it what the piece has on it, with nothing claimed before or behind it in
    /// the clause?
    fn on_the_piece(&self, k: usize) -> bool {
        let clause = self.pieces.pieces[k].clause;
        self.clauses[clause as usize].has.is_some_and(|has| has < k)
    }

    /// "or later", "and earlier", "onwards" behind a date.
    fn behind_a_date(&mut self, k: usize) -> Option<usize> {
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
    fn is_reign_by_name(&self, k: usize) -> bool {
        !matches!(self.is(k), Some(Is::Sense(Sense::Reign(_))))
            && matches!(self.reign_named(&self.lower(k)), Sense::Reign(_))
    }

    /// "George IV or III": the numeral alone takes the name before it.
    fn next_of_the_name(&self, k: usize) -> Option<Sense> {
        let word = self.lower(k);
        let roman = !word.is_empty() && word.bytes().all(|b| b"ivx".contains(&b));
        let name = self.claim.periods.last()?.split_whitespace().next()?.to_lowercase();
        let joined = k > 0 && self.is(k - 1) == Some(Is::Sense(Sense::Or));
        let reign = self.reign_named(&format!("{name} {word}"));
        (roman && joined && matches!(reign, Sense::Reign(_))).then_some(reign)
    }

    fn reign_named(&self, word: &str) -> Sense {
        let lower = |name: &str| name.chars().flat_map(char::to_lowercase).eq(word.chars());
        (0..self.image.meta(Meta::Reigns))
            .find(|r| lower(self.image.reign(*r).name()))
            .map_or(Sense::Filler, |r| Sense::Reign(r as u32))
    }

    fn sense(&mut self, k: usize, sense: Sense, dating: &mut Dating) -> Result<usize, ClaimError> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        if sense == Sense::About && self.about_beside(k, dating) {
            return Ok(k + 1);
        }
        let mut word = |f: &dyn Fn(&mut Dating)| self.wait(k, dating, f);
        match sense {
            Sense::Town(o) => self.office(k, o as usize)?,
            Sense::Standard(s) | Sense::StandardMark(s) => self.standard(s as usize),
            Sense::Device(d) => return self.device(k, d, dating).map(|()| k + 1),
            Sense::Reign(r) => {
                let styled = self.styled(k).is_some();
                // A surname: "Charles Stuart Harris".
                let named = self.part_of_a_name(k);
                if styled || named {
                    self.aside(&p);
                    *dating = Dating::default();
                    self.waiting = None;
                } else {
                    let view = image.reign(r as usize);
                    self.date(k, k, view.years(), std::mem::take(dating));
                    if let Some(d) = self.dates.last_mut() {
                        d.period = true;
                    }
                    self.claim.periods.push(view.name().to_string());
                }
            }
            Sense::About | Sense::Doubt => word(&|d| d.about = true),
            Sense::Before => word(&|d| d.before = true),
            Sense::After => word(&|d| d.after = true),
            Sense::NotBefore => word(&|d| d.since = true),
            Sense::NotAfter => word(&|d| d.until = true),
            Sense::Early => word(&|d| d.third(1)),
            Sense::Mid => word(&|d| d.third(2)),
            Sense::Late => word(&|d| d.third(3)),
            Sense::Fraction(nth, of) => word(&|d| d.part(nth, of)),
            Sense::SlotNoun(Slot::Import) => self.claim.imported = true,
            Sense::Absent | Sense::AbsentAfter | Sense::Numbered
                if sense != Sense::Numbered || self.denies(k) =>
            {
                let wrong = format!("\"{}\" turns the claim round", self.pieces.typed(&p));
                let remedy = "say what is claimed, not what is denied".to_string();
                return Err(self.error(p.start..p.end, wrong, Some(remedy)));
            }
            Sense::Aside
            | Sense::Sign(_)
            | Sense::Filler
            | Sense::MarkNoun
            | Sense::StandardNoun => {
                let metals = self.metals_in(&p);
                // "later decorated in 1880" dates the decoration, and "a later crest" the crest.
                let deed = !self.turns(k) || self.thing(k + 1);
                if sense != Sense::Filler && self.lower(k).starts_with("later") && deed {
                    return Ok(self.rest_aside(k));
                }
                if self.turns(k) {
                    self.turning.push(k);
                }
                if self.mended_far(k) {
                    self.unread(k);
                    return Ok(k + 1);
                }
                if metals.is_empty() && matches!(sense, Sense::Aside | Sense::Sign(_)) {
                    self.aside(&p);
                }
                if let Sense::Sign(s) = sense {
                    self.claim.signs.push(s);
                }
                self.metals.extend(metals);
            }
            Sense::Article
            | Sense::And
            | Sense::Or
            | Sense::In
            | Sense::Beside
            | Sense::LetterNoun
            | Sense::ClaimIntro
            | Sense::MadeIn
            | Sense::SlotNoun(_) => {}
            // An ordinal takes the century that belongs to it.
            Sense::Century | Sense::Pseudo | Sense::NothingElse => {
                self.aside(&p);
                self.turning.push(k);
            }
            Sense::Style | Sense::LooksLike => {
                self.aside(&p);
                if self.style_of_the_claim(k) {
                    self.turning.push(k);
                }
            }
            // What is engraved is no claim of what was struck.
            Sense::Engraved => return Ok(self.rest_aside(k)),
            Sense::FalseFriend if self.like_an_office(&p) => return Err(self.not_understood(k)),
            Sense::FalseFriend => self.unread(k),
            _ if self.mended_far(k) => self.unread(k),
            _ => {
                self.aside(&p);
                if self.turns(k) {
                    self.turning.push(k);
                }
            }
        }
        Ok(k + 1)
    }

    /// Was a word taken for another by more than one slip? Set aside, it may as well mean something else.
    fn mended_far(&self, k: usize) -> bool {
        let p = &self.pieces.pieces[k];
        self.mended_far.binary_search(&(p.start, p.end)).is_ok()
    }

    /// Is the piece a thing, or what was done to one?
    fn thing(&self, k: usize) -> bool {
        matches!(
            self.is(k),
            Some(Is::Sense(
                Sense::Aside | Sense::Sign(_) | Sense::Part | Sense::Engraved | Sense::Decorative
            ))
        ) && !self.turns(k)
    }

    /// The word that makes a date a style: "Georgian style", "neo-Georgian", "in the style of 1803".
    fn styled(&self, k: usize) -> Option<usize> {
        let style = |j: &usize| {
            let p = self.pieces.pieces[*j];
            p.what == Is::Sense(Sense::Style) && p.clause == self.pieces.pieces[k].clause
        };
        let small = |j: &usize| {
            matches!(self.is(*j), Some(Is::Sense(Sense::Filler | Sense::Article | Sense::In)))
        };
        let before = (0..k).rev().find(|j| !small(j)).filter(style);
        let behind = Some(k + 1).filter(|j| *j < self.pieces.pieces.len());
        before.or(behind.filter(style))
    }

    /// "style of Birmingham 1803", "looks like London", "1803, revival": is it what is claimed that is only
    /// looked like? A reign and a year see to what stands beside them.
    fn style_of_the_claim(&self, k: usize) -> bool {
        let pieces = &self.pieces.pieces;
        let clause = pieces[k].clause;
        if !self.clauses[clause as usize].says {
            return true;
        }
        let telling = |p: &&Piece| !small(p.what);
        let same = |p: &&Piece| p.clause == clause;
        let before = pieces[..k].iter().rev().counted().take_while(same);
        let before = before.into_iter().find(telling).map(|p| p.what);
        let behind = pieces[k + 1..].iter().counted().take_while(same);
        let behind = behind.into_iter().find(telling).map(|p| p.what);
        let claimed = |what: Is| claims(what) && !matches!(what, Is::Sense(Sense::Reign(_)));
        // "an Adam style Birmingham tray" speaks of Adam, and "in the style of" of what follows.
        let said = self.lower(k);
        let last = said.rsplit(' ').next().and_then(|w| sense(self.image, w));
        let forward = self.is(k) == Some(Is::Sense(Sense::LooksLike))
            || said.contains(' ') && last.is_some_and(|s| small(Is::Sense(s)));
        before.is_some_and(claimed) || behind.is_some_and(claimed) && (forward || before.is_none())
    }

    /// Puts aside what is left of the clause.
    fn rest_aside(&mut self, k: usize) -> usize {
        let clause = self.pieces.pieces[k].clause;
        let end =
            k + self.pieces.pieces[k..].iter().counted().take_while(|q| q.clause == clause).count();
        // One span, in which no word is looked at by itself.
        let (start, stop) = (self.pieces.pieces[k].start, self.pieces.pieces[end - 1].end);
        self.not_used(start, stop);
        end
    }

    /// A second office counts only where "or" or the like stands between.
    fn office(&mut self, k: usize, o: usize) -> Result<(), ClaimError> {
        let p = self.pieces.pieces[k];
        let id = Place::office(self.image, o);
        if let Some(end) = self.last_office
            && !self.claim.offices.contains(&id)
        {
            steps::take(p.start - end);
            let between = self.pieces.text.typed[end..p.start].to_lowercase();
            let joined = between
                .split(|c: char| c.is_whitespace() || c == ',')
                .filter(|w| !w.is_empty())
                .all(|w| matches!(w, "or" | "and" | "/" | "&" | "either"))
                && !between.trim().is_empty();
            if !joined {
                let wrong = format!("\"{}\" is a second office", self.pieces.typed(&p));
                let remedy = "write \"or\" between offices of which either will do, and test \
                              one pair of office and date at a time";
                return Err(self.error(p.start..p.end, wrong, Some(remedy.into())));
            }
        }
        self.last_office = Some(p.end);
        if !self.claim.offices.contains(&id) {
            self.claim.offices.push(id);
        }
        Ok(())
    }

    fn standard(&mut self, s: usize) {
        let id = self.image.standard(s).id().to_string();
        if !self.claim.standards.contains(&id) {
            self.claim.standards.push(id);
        }
    }

    /// A figure of fineness or a standard's picture claims every standard that it shows.
    fn device(&mut self, k: usize, d: u32, dating: &mut Dating) -> Result<(), ClaimError> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        let typed = self.pieces.typed(&p).to_string();
        // "1935 Jubilee" claims the year.
        let year = typed.split(|c: char| !c.is_ascii_digit()).find_map(as_year);
        if let Some(y) = year {
            self.date(k, k, (y, y), std::mem::take(dating));
            return Ok(());
        }
        let kind = image.device(d as usize).kind();
        match kind {
            // A bare number of one or two figures counts or dates something: "'84".
            DeviceKind::Fineness | DeviceKind::Lookalike
                if typed.len() <= 2
                    && typed.bytes().all(|b| b.is_ascii_digit())
                    && self.metals.is_empty()
                    && !self.metal_follows(k) =>
            {
                let wrong = format!("\"{typed}\" was not understood");
                let remedy = format!(
                    "write a carat as \"{typed} ct\" and a year in four figures; leave out other numbers"
                );
                return Err(self.error(p.start..p.end, wrong, Some(remedy)));
            }
            DeviceKind::Fineness | DeviceKind::Standard => {
                let mut rows = vec![0; image.width()];
                image.device_bits(d as usize, 0).add_to(&mut rows, 0);
                let mut shown: Vec<usize> = ones(&rows).map(|r| image.row(r).standard()).collect();
                shown.sort_unstable();
                shown.dedup();
                // A lion stands for several standards, of which any will do; a standard's own word for it.
                let named = |s: &usize| image.standard(*s).id().eq_ignore_ascii_case(&typed);
                if let Some(s) = shown.iter().copied().find(named) {
                    self.standard(s);
                } else if kind == DeviceKind::Standard && shown.len() > 1 {
                    self.shown.push(shown);
                } else {
                    shown.into_iter().for_each(|s| self.standard(s));
                }
            }
            DeviceKind::Lookalike => {
                let named = |s: &usize| image.standard(*s).name().eq_ignore_ascii_case(&typed);
                if let Some(s) = (0..image.meta(Meta::Standards)).find(named) {
                    self.standard(s);
                    return Ok(());
                }
                let shows = |x: u32| image.covers(x as usize, d as usize);
                let entry = (0..image.meta(Meta::Lookalikes))
                    .map(|i| image.lookalike(i))
                    .find(|l| l.needs().any(|mut set| set.all(shows)));
                if let Some(l) = entry.filter(|l| l.denies() || !l.town().is_empty()) {
                    let what = l.what().trim_end_matches('.').to_string();
                    let mut e = self.error(p.start..p.end, format!("{typed}: {what}"), None);
                    e.impossible = true;
                    e.wrong = format!("{what}. No dated hallmark goes with it");
                    return Err(e);
                }
                // Words that name a metal and are no mark seen: "gold plated", "American silver".
                let elsewhere = |l: &LookalikeView| {
                    use LookalikeKind::{Foreign, Plate, Pseudo};
                    let kind = matches!(l.kind(), Foreign | Plate | Pseudo);
                    kind && self.metals_in(&p).len() == 1
                        || l.outside() == Some(OutsideBecause::ForeignFineness)
                        || self.turns(k)
                };
                if let Some(l) = entry.filter(elsewhere) {
                    let what = l.what().trim_end_matches('.');
                    let wrong = format!("\"{typed}\" is no standard of an office: {what}");
                    let remedy = "leave it out to test the rest, or claim a metal or a standard";
                    return Err(self.error(p.start..p.end, wrong, Some(remedy.into())));
                }
                self.aside(&p);
            }
            _ => self.aside(&p),
        }
        Ok(())
    }

    fn metal_follows(&self, k: usize) -> bool {
        self.pieces.pieces.get(k + 1).is_some_and(|p| !self.metals_in(p).is_empty())
    }

    /// The metals that a phrase names in so many words: "solid silver", "rose gold".
    fn metals_in(&self, p: &Piece) -> Vec<usize> {
        let typed = self.pieces.typed(p).to_lowercase();
        (0..METALS.len())
            .filter(|m| {
                typed.split(|c: char| !c.is_alphabetic()).any(|w| w == export::metal(METALS[*m]))
            })
            .collect()
    }

    fn date(&mut self, first: usize, last: usize, plain: (i32, i32), dating: Dating) {
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
    fn about_beside(&mut self, k: usize, dating: &mut Dating) -> bool {
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
    fn century_after(&self, k: usize) -> Option<usize> {
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

    fn aside(&mut self, p: &Piece) {
        let typed = self.pieces.text.typed;
        if self.says_date(p) {
            return;
        }
        match self.claim.not_used.last_mut() {
            // Words side by side are echoed as one.
            Some(u) if u.end <= p.start && typed[u.end..p.start].trim().is_empty() => {
                u.end = p.end;
            }
            _ => self.not_used(p.start, p.end),
        }
    }

    /// Puts words aside; they are copied once it is known where they end.
    fn not_used(&mut self, start: usize, end: usize) {
        self.claim.not_used.push(Unused { text: String::new(), start, end });
    }

    fn figures(&self, p: &Piece) -> bool {
        self.between_blanks(p).2
    }

    /// The stretch between blanks that a piece stands in, and whether a figure stands in it. Of a stretch
    /// it is looked at once, however many pieces stand in it.
    fn between_blanks(&self, p: &Piece) -> (usize, usize, bool) {
        let known = self.word.get();
        if known.0 <= p.start && p.end <= known.1 {
            return known;
        }
        let typed = self.pieces.text.typed;
        let start = typed[..p.start]
            .char_indices()
            .rev()
            .find(|(_, c)| c.is_whitespace())
            .map_or(0, |(i, c)| i + c.len_utf8());
        let end = typed[p.end..].find(char::is_whitespace).map_or(typed.len(), |i| p.end + i);
        steps::take(end - start);
        let figure = typed[start..end].contains(|c: char| c.is_ascii_digit());
        let found = (start, end, figure);
        // A piece of several words stands in several stretches.
        if !typed[p.start..p.end].contains(char::is_whitespace) {
            self.word.set(found);
        }
        found
    }

    /// The word that a piece stands in, without the punctuation round it.
    fn whole_word(&self, p: &Piece) -> Range<usize> {
        let typed = self.pieces.text.typed;
        let (start, end, _) = self.between_blanks(p);
        let edge = |c: char| !c.is_alphanumeric();
        let word = &typed[start..end];
        let start = start + (word.len() - word.trim_start_matches(edge).len()).min(p.start - start);
        let end = (start + typed[start..end].trim_end_matches(edge).len()).max(p.end);
        start..end
    }

    /// Capitalised words on both sides, or one and a surname behind: the word is part of a name.
    fn part_of_a_name(&self, k: usize) -> bool {
        let name = |k: usize| {
            self.pieces.pieces.get(k).is_some_and(|p| {
                matches!(p.what, Is::Unknown | Is::Initials)
                    && self.pieces.typed(p).starts_with(|c: char| c.is_uppercase())
            })
        };
        let one_word = !self.lower(k).contains(' ');
        one_word && k > 0 && name(k - 1) && name(k + 1)
    }

    /// A word within two slips of an office's name.
    fn like_an_office(&self, p: &Piece) -> bool {
        const SHORT: usize = 4;
        let word = self.pieces.typed(p).to_lowercase();
        let count = word.chars().count();
        let near = |id: &str| {
            let allowed = if id.len() > SHORT + 2 { 2 } else { 1 };
            id.chars().count().abs_diff(count) <= allowed && osa_distance(&word, id) <= allowed
        };
        count > SHORT
            && (0..self.image.meta(Meta::Offices)).any(|o| near(self.image.office(o).id()))
    }

    /// A name beside a date, where no office was understood, is most likely a place.
    fn unplaced(&self) -> Result<(), ClaimError> {
        if !self.claim.offices.is_empty() {
            return Ok(());
        }
        let name = |p: &Piece| {
            matches!(p.what, Is::Unknown | Is::Sense(Sense::FalseFriend))
                && self.pieces.typed(p).starts_with(|c: char| c.is_uppercase())
                && self.pieces.text.has_small
                && !is_month(&self.pieces.typed(p).to_lowercase())
        };
        let date = |p: &Piece| matches!(p.what, Is::Years(..) | Is::Ordinal(_));
        let pieces = &self.pieces.pieces;
        let beside = (0..pieces.len()).find(|k| {
            name(&pieces[*k])
                && (pieces.get(k + 1).is_some_and(date) || *k > 0 && date(&pieces[k - 1]))
        });
        beside.map_or(Ok(()), |k| Err(self.not_understood(k)))
    }

    /// Words that no date followed: a part is of the date before, where nothing else can be meant.
    fn without_a_date(&mut self, dating: Dating) -> Result<(), ClaimError> {
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
    fn parts_of_dates(&mut self) -> Result<(), ClaimError> {
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
                "is part of a year, and a letter stands for a whole one"
            } else if d.dating.torn {
                "names parts that do not meet"
            } else if of >= PARTS_OF_CENTURY && !d.round {
                "is a decade of no century"
            } else {
                continue;
            };
            let typed = &self.pieces.text.typed[d.start..d.end];
            let wrong = format!("\"{typed}\" {wrong}");
            return Err(self.error(d.start..d.end, wrong, Some(YEARS_MEANT.into())));
        }
        Ok(())
    }

    /// A word that orders or turns a date, and that no date has put to use.
    fn not_put_to_use(&self) -> Result<(), ClaimError> {
        let claimed = !self.dates.is_empty() || !self.claim.offices.is_empty();
        match self.turning.first().filter(|_| claimed) {
            Some(k) => Err(self.no_date_for(*k)),
            None => Ok(()),
        }
    }

    /// A word that was not understood, in a sentence that claims something.
    fn not_read(&self, names: &dyn Fn(&Claim) -> Vec<Range<usize>>) -> Result<(), ClaimError> {
        let pieces = &self.pieces.pieces;
        let claiming = |k: &&usize| self.sentences[pieces[**k].sentence as usize];
        let mut unread = self.unread.iter().filter(claiming).peekable();
        if unread.peek().is_none() {
            return Ok(());
        }
        let mut names =
            names(&Claim { text: self.pieces.text.typed.to_string(), ..self.claim.clone() });
        names.sort_unstable_by_key(|n| n.start);
        // How far the names reach that begin no later than each.
        let reach: Vec<usize> = names
            .iter()
            .scan(0, |far, n| {
                *far = n.end.max(*far);
                Some(*far)
            })
            .collect();
        let named = |k: &usize| {
            let p = &pieces[*k];
            let begun = names.partition_point(|n| n.start <= p.start);
            begun > 0 && p.end <= reach[begun - 1]
        };
        unread.find(|k| !named(k)).map_or(Ok(()), |k| {
            let at = self.whole_word(&pieces[*k]);
            let wrong = format!("\"{}\" was not understood", &self.pieces.text.typed[at.clone()]);
            let remedy = "leave it out if it says nothing of date or place; write \"by\" before a \
                          maker's name, and a date in years, as 1851-1900";
            Err(self.error(at, wrong, Some(remedy.into())))
        })
    }

    /// A word of dates that none was found for.
    fn no_date_for(&self, k: usize) -> ClaimError {
        let p = self.pieces.pieces[k];
        let wrong = format!("\"{}\" was not understood", self.pieces.typed(&p));
        self.error(p.start..p.end, wrong, Some(YEARS_MEANT.into()))
    }

    fn not_understood(&self, k: usize) -> ClaimError {
        let p = &self.pieces.pieces[k];
        let at = self.whole_word(p);
        let word = &self.pieces.text.typed[at.clone()];
        let near = (0..self.image.meta(Meta::Offices))
            .map(|o| self.image.office(o))
            .map(|o| (osa_distance(&word.to_lowercase(), o.id()), o.name()))
            .min();
        let hint = match near {
            Some((d, name)) if d <= 2 && self.like_an_office(p) => format!("is {name} meant?"),
            _ if word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit()) => {
                format!(
                    "no office struck letters in {word}: write years as 1908, 1908/09, 1890s or 19th century"
                )
            }
            _ if self.figures(p) => {
                "write years with four figures, as 1908, 1908/09, 1890s or 19th century".into()
            }
            _ => {
                let all: Vec<&str> = (0..self.image.meta(Meta::Offices))
                    .map(|o| self.image.office(o).name())
                    .collect();
                format!("leave it out if it is no place; the offices are {}", all.join(", "))
            }
        };
        self.error(at.clone(), format!("\"{word}\" was not understood"), Some(hint))
    }

    /// Puts what stands between two dates to use: "or" joins them, "to" spans them, and side by side
    /// the one narrows the other.
    fn dates_together(&mut self) -> Result<(), ClaimError> {
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
                    let wrong = "two offices with a date each are two claims".to_string();
                    let remedy = "test them one at a time".to_string();
                    return Err(self.error(l.start..d.end, wrong, Some(remedy)));
                }
                Join::Either if out.len() == MOST_SPANS => {
                    let wrong = format!("it names more than {MOST_SPANS} dates");
                    let remedy = "test fewer at a time".to_string();
                    return Err(self.error(d.start..d.end, wrong, Some(remedy)));
                }
                Join::Either => out.push(d.years),
                Join::Through => {
                    out.pop();
                    out.push(Years { from: l.years.from, to: d.years.to, one_letter: false });
                }
                Join::Both => {
                    let narrowed: Vec<Years> = out.iter().filter_map(|y| y.and(d.years)).collect();
                    if narrowed.is_empty() {
                        let wrong = format!(
                            "it contradicts itself: \"{}\" ({}) and \"{}\" ({}) never meet",
                            &typed[l.start..l.end],
                            l.years,
                            &typed[d.start..d.end],
                            d.years
                        );
                        let remedy = "test one of the two, or write \"or\" where either will do";
                        return Err(self.error(d.start..d.end, wrong, Some(remedy.into())));
                    }
                    out = narrowed;
                }
            }
            last = Some(d);
        }
        let none = |y: &Years| matches!((y.from, y.to), (Some(a), Some(b)) if a > b);
        if out.iter().any(none) {
            let at = self.dates[0].start..self.dates[self.dates.len() - 1].end;
            let wrong = format!("\"{}\" holds no year", &typed[at.clone()]);
            return Err(self.error(at, wrong, None));
        }
        let said: Vec<String> = self.dates.iter().filter_map(|d| convention(d, typed)).collect();
        self.claim.conventions.extend(said);
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

    /// A mark named beside what is claimed narrows it to the standards that the mark may stand for.
    fn marks_shown(&mut self) {
        for shown in std::mem::take(&mut self.shown) {
            let shown = shown.into_iter().map(|s| self.image.standard(s).id());
            let shown: Vec<String> = shown.map(String::from).collect();
            // What is said in words stands.
            if self.claim.standards.is_empty() {
                self.claim.standards = shown;
            } else if self.claim.standards.iter().any(|s| shown.contains(s)) {
                self.claim.standards.retain(|s| shown.contains(s));
            }
        }
    }

    fn standards_together(&mut self) -> Result<(), ClaimError> {
        if self.metals.is_empty() {
            return Ok(());
        }
        let of_metal = |s: &usize| {
            let metal = self.image.standard(*s).metal();
            self.metals.iter().any(|m| METALS[*m] == metal)
        };
        let ids: Vec<String> = (0..self.image.meta(Meta::Standards))
            .filter(of_metal)
            .map(|s| self.image.standard(s).id().to_string())
            .collect();
        if self.claim.standards.is_empty() {
            self.claim.standards = ids;
        } else {
            self.claim.standards.retain(|s| ids.contains(s));
            if self.claim.standards.is_empty() {
                let wrong = "it names a standard and another metal".to_string();
                return Err(self.error(self.all(), wrong, None));
            }
        }
        Ok(())
    }

    /// Says what was corrected, and that several offices will do.
    fn corrections(&mut self) {
        for r in &self.pieces.remarks {
            if let (RemarkKind::Guessed, Some(n)) = (r.remark, &r.nearest) {
                let said =
                    format!("\"{}\" was taken for {n}.", &self.pieces.text.typed[r.start..r.end]);
                self.claim.conventions.push(said);
            }
        }
        if self.claim.offices.len() > 1 {
            let names: Vec<&str> = (0..self.image.meta(Meta::Offices))
                .map(|o| self.image.office(o))
                .filter(|o| self.claim.offices.iter().any(|id| id == o.id()))
                .map(|o| o.name())
                .collect();
            let said = format!("Either office will do: {}.", names.join(" or "));
            self.claim.conventions.push(said);
        }
    }

    fn error(&self, at: Range<usize>, wrong: String, remedy: Option<String>) -> ClaimError {
        ClaimError {
            claim: self.pieces.text.typed.to_string(),
            at,
            wrong: format!("the claim cannot be read: {wrong}"),
            remedy: remedy.unwrap_or_else(|| forms(self.image)),
            impossible: false,
        }
    }
}

/// The word before two dates of which the one begins a span and the other ends it.
const BETWEEN: &[u8] = b"between";

/// Is it part of a date?
fn dates(what: Is) -> bool {
    matches!(
        what,
        Is::Years(..)
            | Is::Ordinal(_)
            | Is::Sense(
                Sense::Reign(_)
                    | Sense::Century
                    | Sense::Early
                    | Sense::Mid
                    | Sense::Late
                    | Sense::Fraction(..)
                    | Sense::Before
                    | Sense::After
                    | Sense::NotBefore
                    | Sense::NotAfter
                    | Sense::About
                    | Sense::Doubt
            )
    )
}

/// Does it claim something, or is it part of what does?
fn claims(what: Is) -> bool {
    dates(what)
        || matches!(what, Is::Sense(Sense::Town(_) | Sense::Standard(_) | Sense::StandardMark(_)))
}

/// Does it say that something only looks as another does?
fn is_style(what: Is) -> bool {
    matches!(what, Is::Sense(Sense::Style | Sense::LooksLike))
}

/// A small word with nothing to say.
fn small(what: Is) -> bool {
    matches!(
        what,
        Is::Sense(Sense::Filler | Sense::Article | Sense::In | Sense::Or | Sense::And)
            | Is::Slash
            | Is::Colon
    )
}

/// How two dates are joined.
enum Join {
    /// Either will do.
    Either,
    /// All from the one to the other.
    Through,
    /// The one narrows the other.
    Both,
}

fn is_month(word: &str) -> bool {
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

/// A sentence on how a date was taken.
fn convention(d: &Date, typed: &str) -> Option<String> {
    let words = typed[d.start..d.end].trim();
    if d.years.one_letter {
        return Some(format!("\"{words}\" is taken as the one letter of {}.", d.years));
    }
    let mut how: Vec<String> = Vec::new();
    match d.dating.portion {
        Some((a, b, 3)) if a == b => {
            let part = ["first", "middle", "last"][(a - 1) as usize];
            how.push(format!("its {part} third"));
        }
        Some((a, b, 3)) => {
            let names = ["first", "middle", "last"];
            let (from, to) = (names[(a - 1) as usize], names[(b - 1) as usize]);
            how.push(format!("from its {from} to its {to} third"));
        }
        Some((decade, _, CENTURY)) => how.push(format!("its decade of {decade}")),
        Some((a, _, of)) => {
            let nth = ["first", "second", "third", "fourth"];
            let nth = nth.get((a - 1) as usize).copied().unwrap_or("last");
            let part = match of {
                2 => "half",
                4 => "quarter",
                _ => "decade",
            };
            how.push(format!("its {nth} {part}"));
        }
        None => {}
    }
    if d.dating.about {
        how.push(format!("{ABOUT} years either side"));
    }
    if d.dating.before || d.dating.after {
        how.push("the year named is not included".into());
    }
    if d.dating.until || d.dating.since {
        how.push("the year named is included".into());
    }
    if d.round && d.dating.portion.is_none_or(|p| p.0 == 1) {
        how.push(format!("{} counted in", d.plain.0 - 1));
    }
    let plain = d.plain.0 != d.plain.1 && (d.period || d.short || words.ends_with(['s', 'S']));
    match (how.is_empty(), plain) {
        (true, false) => None,
        (true, true) => Some(format!("\"{words}\" is taken as {}.", d.years)),
        _ => Some(format!("\"{words}\" is taken as {}: {}.", d.years, how.join("; "))),
    }
}

/// Forms that work, in the tables' own names.
/// What a claim may look like.
pub(crate) fn forms(image: &Image) -> String {
    let offices = image.meta(Meta::Offices);
    let reigns = image.meta(Meta::Reigns);
    if offices == 0 {
        return "name an office, a year, a reign or a standard".into();
    }
    let office = |o: usize| image.office(o % offices);
    let year = |o: usize| {
        let (first, last) = office(o).years();
        first.midpoint(last)
    };
    let mut out = vec![
        format!("\"{} {}\"", office(0).name(), year(0)),
        format!("\"about {}\"", year(1) / 10 * 10),
    ];
    if reigns > 0 && image.meta(Meta::Standards) > 0 {
        out.push(format!(
            "\"{}, {}, {}\"",
            office(1).name(),
            image.reign(reigns - 1).name(),
            image.standard(0).name()
        ));
    }
    out.push(format!("\"before {}\"", year(0)));
    format!("these work: {}", out.join("; "))
}
