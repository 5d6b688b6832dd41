//! Weights as the trade and old catalogues write them: "178.5 g", "12 oz 5 dwt", "3oz 12", a scratch
//! weight "24=10". Exact: every unit of the tables is a whole number of parts of a gram.

use std::ops::Range;

use num_rational::BigRational;
use num_traits::Zero;
use puncheon_schema::entry::System;
use puncheon_schema::image::{Image, Meta, UnitView};

use crate::lexis::grammar::figures::{self, Kind, Refused};
use crate::lexis::steps;
use crate::tables::Tables;

/// The most that is taken for the weight of a piece, in grams.
const MOST: u32 = 1_000_000;
/// Signs between the figures of a scratch weight.
const SCRATCHED: [&str; 2] = ["=", ":"];
/// Fractions that old catalogues print behind a figure.
const FRACTIONS: [(char, i32, i32); 9] = [
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];
/// What a fraction written with a stroke may count: "2 1/2" is a weight, "10/11" is none.
const PARTS: [u32; 12] = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 32, 64];
/// What joins the least and the most of a span.
pub(crate) const TO: [&str; 3] = ["-", "\u{2013}", "to"];
/// Words that make a weight a guess.
pub(crate) const ABOUT: [&str; 8] =
    ["about", "approx", "approximately", "c", "ca", "circa", "roughly", "say"];
/// Words that say that a weight is that of one of several pieces.
pub(crate) const COUNTING: [&str; 5] = ["each", "apiece", "per", "x", "\u{d7}"];

/// A weight as it was typed and what it comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Weight {
    /// As typed.
    pub text: String,
    /// In grams, exactly.
    pub grams: BigRational,
    /// How words that leave something open were taken, a sentence each.
    pub notes: Vec<String>,
}

impl Weight {
    /// Reads a weight that stands alone.
    ///
    /// # Errors
    /// If the words are no weight, if units are mixed that are never added up, or if the weight is
    /// nothing or beyond anything that is weighed; with what would be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Weight, Refused> {
        let image = tables.image();
        let Some((weight, at)) = measured(image, words)? else {
            return Err(unread(image, words));
        };
        let rest = format!("{} {}", &words[..at.start], &words[at.end..]);
        let about = rest.trim_matches(|c: char| c.is_whitespace() || ".,;".contains(c));
        match about.is_empty() {
            true => Ok(weight),
            false => Err(Refused::new(
                format!("\"{about}\" is no part of a weight, in \"{}\"", words.trim()),
                format!("write the weight alone: {}", weight.text),
            )),
        }
    }

    /// For a reader, in grams to the hundredth and in ounces of old plate to the thousandth:
    /// "178.5 g (5.739 oz t)".
    pub fn shown(&self, tables: &Tables) -> String {
        shown(tables.image(), &self.grams)
    }

    /// In grams alone, for a reader.
    pub(crate) fn in_grams(&self) -> String {
        in_grams(&self.grams)
    }
}

fn in_grams(weight: &BigRational) -> String {
    format!("{} g", told(weight, 2))
}

/// A weight for a reader.
pub(crate) fn shown(image: &Image, weight: &BigRational) -> String {
    let own = in_grams(weight);
    match place(image, 1) {
        Some(unit) => {
            let ounces = told(&(weight / grams(unit)), 3);
            format!("{own} ({ounces} {})", unit.short())
        }
        None => own,
    }
}

/// A weight to so many decimals; a chip of metal to three figures.
fn told(weight: &BigRational, places: usize) -> String {
    let ten = figures::whole(10);
    let mut noughts = 0;
    let mut scaled = weight * &ten;
    while scaled > BigRational::zero() && scaled < figures::one() && noughts < 9 {
        scaled *= &ten;
        noughts += 1;
    }
    let places = match *weight < figures::one() {
        true => places.max(noughts + 3),
        false => places,
    };
    figures::plain(weight, places)
}

/// The weight of an ounce of old plate in grams; of one gram where the tables hold no such unit.
pub(crate) fn ounce(image: &Image) -> BigRational {
    place(image, 1).map_or_else(figures::one, grams)
}

/// The unit in some place of an old weight.
pub(crate) fn place(image: &Image, place: u32) -> Option<UnitView<'_>> {
    units(image).find(|u| u.scratch() == Some(place))
}

pub(crate) fn units(image: &Image) -> impl Iterator<Item = UnitView<'_>> {
    (0..image.meta(Meta::Units)).map(|u| image.unit(u))
}

pub(crate) fn grams(unit: UnitView<'_>) -> BigRational {
    figures::exact(unit.grams())
}

/// The unit that the words at the beginning of a text name, how many bytes they take, and what has to
/// be said where they leave it open. An error names units between which the words leave the choice.
pub(crate) fn unit_at<'i>(
    image: &'i Image,
    text: &str,
) -> Result<Option<(UnitView<'i>, usize, Option<String>)>, Refused> {
    let words = cut(text);
    unit_of(image, text, &words, 0)
        .map(|found| found.map(|(unit, next, note)| (unit, words[next - 1].end, note)))
}

/// What a word of a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Is {
    Figures,
    Word,
    Sign,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub is: Is,
    pub start: usize,
    pub end: usize,
}

/// Figures, words and signs, each with its place. Points behind a word are left out, and so are
/// blanks; whether any stood there does not matter.
pub(crate) fn cut(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut run = (1, 0);
    let mut chars = text.char_indices().peekable();
    while let Some((start, c)) = chars.next() {
        steps::take(1);
        if c.is_whitespace() {
            continue;
        }
        let fraction = |c: char| FRACTIONS.iter().any(|f| f.0 == c);
        // Does a figure stand behind points and commas? Each run of these is looked at once.
        let mut after = |i: usize| {
            if i < run.0 || run.1 < i {
                let rest = text[i..].trim_start_matches(['.', ',']);
                run = (i, text.len() - rest.len());
                steps::take(run.1 - i + 1);
            }
            text[run.1..].starts_with(|c: char| c.is_ascii_digit())
        };
        let behind_word = out.last().is_some_and(|t| t.is == Is::Word && t.end == start);
        // The point of "12oz.5dwt" ends a word.
        let point = c == '.' && !behind_word && after(start + 1);
        let is = if c.is_ascii_digit() || fraction(c) || point {
            Is::Figures
        } else if c.is_alphabetic() {
            Is::Word
        } else {
            Is::Sign
        };
        let mut end = start + c.len_utf8();
        while let Some(&(i, c)) = chars.peek() {
            let same = match is {
                // A comma or a point within figures belongs to them; behind them it does not.
                Is::Figures => {
                    c.is_ascii_digit() || fraction(c) || ",.".contains(c) && after(i + 1)
                }
                Is::Word => c.is_alphabetic(),
                Is::Sign => false,
            };
            if !same {
                break;
            }
            end = i + c.len_utf8();
            chars.next();
        }
        if is == Is::Figures {
            end += fraction_behind(&text[start..end], &text[end..]);
            while chars.peek().is_some_and(|(i, _)| *i < end) {
                chars.next();
            }
        }
        let point = is == Is::Sign && c == '.';
        if !(point && out.last().is_some_and(|t| t.is == Is::Word)) {
            out.push(Token { is, start, end });
        }
    }
    out
}

/// How many bytes of a fraction stand behind figures: the "/2" of "1/2", the " 1/2" of "2 1/2".
fn fraction_behind(figures: &str, behind: &str) -> usize {
    if !figures.bytes().all(|b| b.is_ascii_digit()) {
        return 0;
    }
    let digits = |s: &str| s.bytes().take_while(u8::is_ascii_digit).count();
    let stroke = |a: &str, behind: &str| -> usize {
        let Some(rest) = behind.strip_prefix('/') else {
            return 0;
        };
        let n = digits(rest);
        let (a, b) = (a.parse::<u32>(), rest[..n].parse::<u32>());
        let ends = !rest[n..].starts_with(['/', '.', ',']);
        match (a, b) {
            (Ok(a), Ok(b)) if 0 < a && a < b && PARTS.contains(&b) && ends => 1 + n,
            _ => 0,
        }
    };
    let own = stroke(figures, behind);
    if own > 0 {
        return own;
    }
    let Some(rest) = behind.strip_prefix([' ', '-']) else {
        return 0;
    };
    let sign = rest.chars().next().filter(|c| FRACTIONS.iter().any(|f| f.0 == *c));
    if let Some(c) = sign {
        return 1 + c.len_utf8();
    }
    let n = digits(rest);
    match stroke(&rest[..n], &rest[n..]) {
        0 => 0,
        more => 1 + n + more,
    }
}

/// The longest phrase of a unit from token `i` on, with the token behind it.
fn unit_of<'i>(
    image: &'i Image,
    text: &str,
    tokens: &[Token],
    i: usize,
) -> Result<Option<(UnitView<'i>, usize, Option<String>)>, Refused> {
    let words = tokens[i.min(tokens.len())..]
        .iter()
        .take_while(|t| t.is == Is::Word)
        .take(3)
        .map(|t| text[t.start..t.end].to_lowercase());
    let words: Vec<String> = words.collect();
    for n in (1..=words.len()).rev() {
        let phrase = words[..n].join(" ");
        let said: Vec<UnitView> = units(image).filter(|u| u.say().any(|p| p == phrase)).collect();
        match said[..] {
            [] => {}
            [unit] => return Ok(Some((unit, i + n, None))),
            _ => {
                let or: Vec<&str> = said.iter().map(|u| u.short()).collect();
                return Err(Refused::new(
                    format!("\"{phrase}\" can be {}", names(&said)),
                    format!("write {}", or.join(" or ")),
                ));
            }
        }
        if let Some(unit) = units(image).find(|u| u.bare().any(|p| p == phrase)) {
            let note = format!("\"{phrase}\" is read as the {}; {}.", unit.name(), unit.bare_why());
            return Ok(Some((unit, i + n, Some(note))));
        }
    }
    Ok(None)
}

fn names(units: &[UnitView]) -> String {
    let names: Vec<String> = units.iter().map(|u| format!("the {}", u.name())).collect();
    names.join(" or ")
}

/// Figures with a fraction behind them.
fn figures(kind: &Kind, typed: &str) -> Result<BigRational, Refused> {
    let sign = FRACTIONS.iter().find(|f| typed.ends_with(f.0));
    let (before, part) = if let Some(&(sign, a, b)) = sign {
        (typed.trim_end_matches(sign), figures::ratio(a, b))
    } else if let Some((head, b)) = typed.rsplit_once('/') {
        let before = head.trim_end_matches(|c: char| c.is_ascii_digit());
        let a = kind.read(&head[before.len()..])?;
        (before, a / kind.read(b)?)
    } else {
        return kind.read(typed);
    };
    let n = match before.trim_end_matches([' ', '-']) {
        "" => BigRational::zero(),
        whole => kind.read(whole)?,
    };
    Ok(n + part)
}

/// Is it a fraction with no whole before it? "5 oz 1/2" does not say of what.
fn half(typed: &str) -> bool {
    let digits = typed.bytes().take_while(u8::is_ascii_digit).count();
    typed[digits..].starts_with('/')
}

/// A reader of one text.
struct Reader<'i, 't> {
    image: &'i Image,
    text: &'t str,
    tokens: Vec<Token>,
    notes: Vec<String>,
    /// "3oz 12" is read as ounces and pennyweights.
    short: bool,
}

impl<'i, 't> Reader<'i, 't> {
    fn new(image: &'i Image, text: &'t str, short: bool) -> Reader<'i, 't> {
        Reader { image, text, tokens: cut(text), notes: Vec::new(), short }
    }

    fn typed(&self, i: usize) -> &'t str {
        self.tokens.get(i).map_or("", |t| &self.text[t.start..t.end])
    }

    fn is(&self, i: usize, is: Is) -> bool {
        self.tokens.get(i).is_some_and(|t| t.is == is)
    }

    /// Does a scratch weight begin at token `i`: figures, a sign, figures?
    fn scratch_at(&self, i: usize) -> bool {
        self.is(i, Is::Figures)
            && SCRATCHED.contains(&self.typed(i + 1))
            && self.is(i + 2, Is::Figures)
    }

    fn unit(&self, i: usize) -> Result<Option<(UnitView<'i>, usize, Option<String>)>, Refused> {
        unit_of(self.image, self.text, &self.tokens, i)
    }

    fn read_figures(&self, i: usize, unit: UnitView) -> Result<BigRational, Refused> {
        let write = |n: &str| written(n, unit);
        let below = self.below_nothing(i);
        let start = self.tokens[i - usize::from(below)].start;
        let kind = Kind {
            what: "weight",
            typed: self.text[start..self.tokens[i].end].trim(),
            write: &write,
        };
        if below {
            return kind.read(&format!("-{}", self.typed(i)));
        }
        figures(&kind, self.typed(i))
    }

    /// A sign of less than nothing stands right before token `i`, and no figures before that.
    fn below_nothing(&self, i: usize) -> bool {
        i > 0
            && matches!(self.typed(i - 1), "-" | "\u{2212}")
            && self.tokens[i - 1].end == self.tokens[i].start
            && !(i > 1 && self.tokens[i - 2].end == self.tokens[i - 1].start)
    }

    /// Figures and signs: ounces, pennyweights and grains of old plate.
    fn scratch(&self, i: usize) -> Result<(BigRational, usize), Refused> {
        let mut sum = BigRational::zero();
        let mut at = i;
        for n in 1.. {
            let Some(unit) = place(self.image, n) else {
                break;
            };
            let count = self.read_figures(at, unit)?;
            self.within(unit, n, &count, i, at)?;
            sum += count * grams(unit);
            at += 1;
            let more = SCRATCHED.contains(&self.typed(at)) && self.is(at + 1, Is::Figures);
            if !more {
                break;
            }
            at += 1;
        }
        Ok((sum, at))
    }

    /// A lower place of an old weight is less than one of the place above.
    fn within(
        &self,
        unit: UnitView,
        n: u32,
        count: &BigRational,
        from: usize,
        at: usize,
    ) -> Result<(), Refused> {
        let Some(above) = n.checked_sub(1).and_then(|n| place(self.image, n)) else {
            return Ok(());
        };
        if count * grams(unit) < grams(above) {
            return Ok(());
        }
        let typed = self.text[self.tokens[from].start..self.tokens[at].end].trim();
        Err(Refused::new(
            format!(
                "\"{typed}\" has {} as {}, which is a whole {} or more",
                self.typed(at),
                unit.short(),
                above.name()
            ),
            format!(
                "write fewer than {} {}, or each figure with its unit",
                figures::plain(&(grams(above) / grams(unit)), 0),
                unit.short()
            ),
        ))
    }

    /// Figures with their units from token `i` on, added up while they follow each other downward.
    fn chain(&mut self, i: usize) -> Result<Option<(BigRational, usize)>, Refused> {
        if self.scratch_at(i) {
            return self.scratch(i).map(Some);
        }
        let mut sum = BigRational::zero();
        let mut last: Option<UnitView> = None;
        let mut at = i;
        loop {
            // "12 oz, 5 dwt" and "12 oz and 5 dwt" are one weight.
            let joined = last.is_some() && matches!(self.typed(at), "," | "and" | "&");
            let next = at + usize::from(joined);
            if !self.is(next, Is::Figures) {
                break;
            }
            let Some((unit, end, note)) = self.unit(next + 1)? else {
                break;
            };
            if let Some(before) = last {
                let smaller = grams(unit) < grams(before);
                if unit.system() != before.system() || !smaller {
                    // Behind a comma it is another measure of the text.
                    if joined && !self.short {
                        break;
                    }
                    return Err(self.contrary(i, end, before, unit));
                }
            }
            let count = self.read_figures(next, unit)?;
            if let Some(above) = last.filter(|above| &count * grams(unit) >= grams(*above)) {
                let typed = &self.text[self.tokens[i].start..self.tokens[end - 1].end];
                self.notes.push(format!(
                    "\"{typed}\" has as much as a whole {} in its {}; it is added up as written.",
                    above.name(),
                    unit.short()
                ));
            }
            sum += count * grams(unit);
            self.notes.extend(note);
            (last, at) = (Some(unit), end);
        }
        let Some(unit) = last else {
            return Ok(None);
        };
        if self.short {
            if let Some(second) = self.unit(at)? {
                return Err(self.contrary(i, second.1, unit, second.0));
            }
            if let Some((more, end)) = self.shorthand(i, at, unit)? {
                sum += more;
                at = end;
            }
        }
        Ok(Some((sum, at)))
    }

    fn contrary(&self, from: usize, end: usize, a: UnitView, b: UnitView) -> Refused {
        let typed = self.text[self.tokens[from].start..self.tokens[end - 1].end].trim();
        let wrong = if a.i == b.i {
            format!("\"{typed}\" names {} twice", a.short())
        } else {
            format!(
                "\"{typed}\" has {} and {}, which are not written together so",
                a.short(),
                b.short()
            )
        };
        let figures = self.typed(from);
        Refused::new(
            wrong,
            format!("write one of them, {}, or + between two weights", written(figures, a)),
        )
    }

    /// "3oz 12": a bare figure behind a place of an old weight is of the next place.
    fn shorthand(
        &mut self,
        from: usize,
        at: usize,
        unit: UnitView,
    ) -> Result<Option<(BigRational, usize)>, Refused> {
        let Some((n, next)) = unit.scratch().and_then(|n| Some((n + 1, place(self.image, n + 1)?)))
        else {
            return Ok(None);
        };
        let typed = self.typed(at);
        let whole = typed.bytes().take_while(u8::is_ascii_digit).count();
        let bare = self.is(at, Is::Figures)
            && (1..=2).contains(&whole)
            && !half(typed)
            && !typed.contains(['.', ','])
            && !scaled(self.image, &self.typed(at + 1).to_lowercase())
            && !matches!(self.typed(at + 1), "%" | "/" | "=" | ":");
        if !bare {
            return Ok(None);
        }
        let count = self.read_figures(at, next)?;
        self.within(next, n, &count, from, at)?;
        self.notes.push(format!(
            "\"{}\" is read as {} {}.",
            self.text[self.tokens[from].start..self.tokens[at].end].trim(),
            self.text[self.tokens[from].start..self.tokens[at - 1].end].trim(),
            format_args!("{typed} {}", next.short())
        ));
        Ok(Some((count * grams(next), at + 1)))
    }
}

/// A number as it is written with a unit: "178.5g", "5 oz t".
pub(crate) fn written(n: &str, unit: UnitView) -> String {
    match unit.system() {
        System::Metric => format!("{n}{}", unit.short()),
        _ => format!("{n} {}", unit.short()),
    }
}

/// Is the word one for a way of counting fineness?
fn scaled(image: &Image, word: &str) -> bool {
    (0..image.meta(Meta::Scales)).any(|s| image.scale(s).say().any(|w| w == word))
}

/// The weight that stands in a text, and where. Weights joined by + are added up.
pub(crate) fn find(image: &Image, text: &str) -> Result<Option<(Weight, Range<usize>)>, Refused> {
    let mut r = Reader::new(image, text, true);
    let mut i = 0;
    let (mut sum, mut at) = loop {
        if i >= r.tokens.len() {
            return Ok(None);
        }
        if r.is(i, Is::Figures)
            && let Some(found) = r.chain(i)?
        {
            break found;
        }
        i += 1;
    };
    while r.typed(at) == "+" {
        let Some((more, end)) = r.chain(at + 1)? else {
            return Err(Refused::new(
                format!("no weight stands behind the + of \"{}\"", text.trim()),
                "write both weights with their units, such as 120g + 58.5g",
            ));
        };
        sum += more;
        at = end;
    }
    let range = r.tokens[i].start..r.tokens[at - 1].end;
    let typed = text[range.clone()].trim().to_string();
    // A second weight would be dropped in silence.
    for j in at..r.tokens.len() {
        let weighed = r.is(j, Is::Figures) && (r.scratch_at(j) || r.unit(j + 1)?.is_some());
        if weighed && TO.contains(&r.typed(j - 1)) {
            return Err(span(text.trim()));
        }
        if weighed {
            return Err(Refused::new(
                format!("a second weight stands in \"{}\"", text.trim()),
                "write one weight, or + between two",
            ));
        }
    }
    if sum.is_zero() {
        return Err(Refused::new(
            format!("the weight \"{typed}\" is nothing"),
            format!("write what the piece weighs, such as {}", example(image)),
        ));
    }
    if sum > figures::whole(MOST) {
        return Err(Refused::new(
            format!("the weight \"{typed}\" is more than a tonne"),
            format!("look at the figures and the unit, such as {}", example(image)),
        ));
    }
    let mut notes = std::mem::take(&mut r.notes);
    notes.dedup();
    let weight = Weight { text: typed, grams: sum, notes };
    Ok(Some((weight, range)))
}

fn span(said: &str) -> Refused {
    Refused::new(
        format!("\"{said}\" is a span, and a piece has one weight"),
        "write what it weighs; or reckon twice, with the least and with the most",
    )
}

/// The weight of a piece: one that is not a span, a guess, or that of one of several pieces.
pub(crate) fn measured(
    image: &Image,
    text: &str,
) -> Result<Option<(Weight, Range<usize>)>, Refused> {
    let found = find(image, text)?;
    let Some((weight, at)) = &found else {
        return Ok(None);
    };
    let tokens = cut(text);
    let typed = |t: &Token| text[t.start..t.end].to_lowercase();
    let before: Vec<&Token> = tokens.iter().filter(|t| t.end <= at.start).collect();
    let behind = tokens.iter().find(|t| t.start >= at.end);
    let last = before.iter().rev().find(|t| typed(t) != ".");
    let said = |from: &Token| text[from.start..at.end].trim().to_string();
    let joins = |words: &[&str]| last.is_some_and(|t| words.contains(&typed(t).as_str()));
    let count = before.len().checked_sub(2).map(|i| before[i]);
    if let Some(low) = count.filter(|t| joins(&TO) && (t.is == Is::Figures || t.is == Is::Word)) {
        return Err(span(&said(low)));
    }
    if let Some(about) = last.filter(|_| joins(&ABOUT)) {
        return Err(Refused::new(
            format!("\"{}\" is a guess, and a piece has one weight", said(about)),
            format!("write what it weighs, such as {}", weight.text),
        ));
    }
    let each = behind.filter(|t| COUNTING.contains(&typed(t).as_str()));
    let times = count.filter(|t| joins(&COUNTING) && t.is == Is::Figures);
    if let Some(n) = times {
        let together = figures::exact(&typed(n)) * &weight.grams;
        return Err(Refused::new(
            format!("\"{}\" counts pieces", said(n)),
            format!("write what they weigh together: {}g", figures::plain(&together, 4)),
        ));
    }
    if let Some(each) = each {
        return Err(Refused::new(
            format!("\"{}\" counts pieces", text[at.start..each.end].trim()),
            "write what they weigh together, such as 120g",
        ));
    }
    Ok(found)
}

/// A weight to write, in the first unit of the tables.
fn example(image: &Image) -> String {
    let unit = units(image).next();
    unit.map_or_else(|| "178.5".into(), |u| written("178.5", u))
}

/// Why a text without a weight is none.
pub(crate) fn unread(image: &Image, words: &str) -> Refused {
    let words = words.trim();
    let units: Vec<&str> = units(image).map(|u| u.short()).collect();
    let figures = cut(words).iter().any(|t| t.is == Is::Figures);
    let wrong = match (words.is_empty(), figures) {
        (true, _) => "no weight is named".to_string(),
        (_, true) => format!("\"{words}\" names no weight: no unit stands behind its figures"),
        _ => format!("\"{words}\" names no weight"),
    };
    Refused::new(
        wrong,
        format!(
            "write figures with a unit, such as {}; the units are {}",
            example(image),
            units.join(", ")
        ),
    )
}

/// The first weight of a description, in grams; what cannot be read for sure is none.
pub(crate) fn first(image: &Image, text: &str) -> Option<BigRational> {
    let mut r = Reader::new(image, text, false);
    for i in 0..r.tokens.len() {
        if !r.is(i, Is::Figures) || r.scratch_at(i) {
            continue;
        }
        if let Ok(Some((sum, _))) = r.chain(i) {
            return Some(sum).filter(|sum| !sum.is_zero());
        }
    }
    None
}

/// A scratch weight of a description, in grams: figures with a sign between, or a weight written out.
pub(crate) fn scratched(image: &Image, text: &str) -> Option<BigRational> {
    let r = Reader::new(image, text, false);
    (0..r.tokens.len())
        .find(|i| r.scratch_at(*i))
        .and_then(|i| r.scratch(i).ok())
        .map(|(sum, _)| sum)
        .or_else(|| first(image, text))
}
