//! Weights as the trade and old catalogues write them: "178.5 g", "12 oz 5 dwt", "3oz 12", a scratch
//! weight "24=10". Exact: every unit of the tables is a whole number of parts of a gram.

mod fault;

use std::ops::Range;

use num_rational::BigRational;
use num_traits::Zero;
use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Meta, Sense, UnitView};

use crate::grammar::figures::{self, Misread};
use crate::phrase::longest;
use crate::steps;
use crate::tree::{Fate, Refusal, Tree, Use};

pub use fault::{Fault, NotOne, Taken, Weight};

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
/// Signs that may stand round a weight.
const PARTING: [&str; 3] = [".", ",", ";"];

/// The weight of an ounce of old plate in grams; of one gram where the tables hold no such unit.
pub fn ounce(image: &Image) -> BigRational {
    place(image, 1).map_or_else(figures::one, grams)
}

/// The unit in some place of an old weight.
pub fn place(image: &Image, place: u32) -> Option<UnitView<'_>> {
    units(image).find(|u| u.scratch() == Some(place))
}

/// Every unit of weight that the tables hold, in their order.
pub fn units(image: &Image) -> impl Iterator<Item = UnitView<'_>> {
    (0..image.meta(Meta::Units)).map(|u| image.unit(u))
}

/// What one of a unit weighs in grams, exactly.
pub fn grams(unit: UnitView<'_>) -> BigRational {
    figures::exact(unit.grams())
}

/// What a word of a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Is {
    /// Digits with their points, commas and fractions: "1,200.5", "2 1/2".
    Figures,
    /// Letters.
    Word,
    /// Any other character, by itself.
    Sign,
}

/// A word of a text, with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    /// What it is.
    pub is: Is,
    /// Its first byte in the text.
    pub start: usize,
    /// Past its last byte.
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

/// What the words from token `i` on say in a weight, and the token behind them.
pub(crate) fn says(
    image: &Image,
    text: &str,
    tokens: &[Token],
    i: usize,
) -> Option<(Sense, usize)> {
    let words = tokens.get(i..)?.iter().map(|t| text[t.start..t.end].to_lowercase());
    let (sense, n) = longest::phrase(image, Grammar::Weights, words)?;
    Some((sense, i + n))
}

/// A unit that words name, the token behind them, and how they were taken.
pub(crate) type Unit<'i> = (UnitView<'i>, usize, Option<Taken>);

/// The longest phrase of a unit from token `i` on. An error names units between which the words leave
/// the choice.
pub(crate) fn unit_of<'i>(
    image: &'i Image,
    text: &str,
    tokens: &[Token],
    i: usize,
) -> Result<Option<Unit<'i>>, Fault> {
    let words = tokens.iter().enumerate().skip(i).take_while(|(_, t)| t.is == Is::Word);
    let words = words.map(|(k, t)| {
        let word = text[t.start..t.end].to_lowercase();
        (k, image.word(word.as_bytes()))
    });
    let said = longest::ends(image, Grammar::Weights.root(), words);
    let said = said.filter(|(_, s)| matches!(s, Sense::Units(_) | Sense::BareUnit(_))).last();
    let unit = |last: usize, sense: Sense| {
        let at = tokens[i].start..tokens[last].end;
        let unit = |u: u32| image.unit(u as usize);
        match sense {
            Sense::Units(one) if one.is_power_of_two() => {
                Ok(Some((unit(one.trailing_zeros()), last + 1, None)))
            }
            Sense::Units(set) => {
                let units = (0..u32::BITS).filter(|u| set >> u & 1 == 1);
                Err(Fault::OpenUnit { at, units: units.map(|u| u as usize).collect() })
            }
            Sense::BareUnit(u) => {
                Ok(Some((unit(u), last + 1, Some(Taken::Bare { at, unit: u as usize }))))
            }
            _ => Ok(None),
        }
    };
    said.map_or(Ok(None), |(last, sense)| unit(last, sense))
}

/// Figures with a fraction behind them.
fn figures(typed: &str) -> Result<BigRational, Misread> {
    let sign = FRACTIONS.iter().find(|f| typed.ends_with(f.0));
    let (before, part) = if let Some(&(sign, a, b)) = sign {
        (typed.trim_end_matches(sign), figures::ratio(a, b))
    } else if let Some((head, b)) = typed.rsplit_once('/') {
        let before = head.trim_end_matches(|c: char| c.is_ascii_digit());
        let a = figures::read(&head[before.len()..])?;
        (before, a / figures::read(b)?)
    } else {
        return figures::read(typed);
    };
    let n = match before.trim_end_matches([' ', '-']) {
        "" => BigRational::zero(),
        whole => figures::read(whole)?,
    };
    Ok(n + part)
}

/// Is it a fraction with no whole before it? "5 oz 1/2" does not say of what.
fn half(typed: &str) -> bool {
    let digits = typed.bytes().take_while(u8::is_ascii_digit).count();
    typed[digits..].starts_with('/')
}

/// A reader of some tokens of a text.
pub(crate) struct Reader<'i, 't> {
    image: &'i Image,
    text: &'t str,
    tokens: &'t [Token],
    /// The tokens that it reads.
    reach: Range<usize>,
    taken: Vec<Taken>,
    /// "3oz 12" is read as ounces and pennyweights.
    short: bool,
}

impl<'i, 't> Reader<'i, 't> {
    /// Reads the tokens within `reach`; a bare figure behind ounces is taken for the next unit.
    pub(crate) fn new(
        image: &'i Image,
        text: &'t str,
        tokens: &'t [Token],
        reach: Range<usize>,
    ) -> Self {
        Reader { image, text, tokens, reach, taken: Vec::new(), short: true }
    }

    /// Reads weights among other measures of a description: "3oz 12" is none of its own.
    fn among_others(image: &'i Image, text: &'t str, tokens: &'t [Token]) -> Self {
        Reader { short: false, ..Reader::new(image, text, tokens, 0..tokens.len()) }
    }

    fn token(&self, i: usize) -> Option<&'t Token> {
        self.tokens[..self.reach.end].get(i).filter(|_| self.reach.start <= i)
    }

    fn typed(&self, i: usize) -> &'t str {
        self.token(i).map_or("", |t| &self.text[t.start..t.end])
    }

    fn is(&self, i: usize, is: Is) -> bool {
        self.token(i).is_some_and(|t| t.is == is)
    }

    /// Where tokens stand, from one to the one before another.
    fn at(&self, from: usize, to: usize) -> Range<usize> {
        self.tokens[from].start..self.tokens[to - 1].end
    }

    fn within(&self) -> Range<usize> {
        let Range { start, end } = self.reach;
        match start == 0 && end == self.tokens.len() {
            true => 0..self.text.len(),
            false => self.at(start, end),
        }
    }

    /// What words say here that only a weight says so.
    fn says(&self, i: usize, sense: Sense) -> Option<usize> {
        let found = says(self.image, self.text, &self.tokens[..self.reach.end], i);
        found.filter(|f| f.0 == sense).map(|f| f.1)
    }

    /// Does a scratch weight begin at token `i`: figures, a sign, figures?
    fn scratch_at(&self, i: usize) -> bool {
        self.is(i, Is::Figures)
            && SCRATCHED.contains(&self.typed(i + 1))
            && self.is(i + 2, Is::Figures)
    }

    /// The unit that begins at token `i`; None where none does.
    ///
    /// # Errors
    ///
    /// The words leave open which of several units is meant.
    pub(crate) fn unit(&self, i: usize) -> Result<Option<Unit<'i>>, Fault> {
        unit_of(self.image, self.text, &self.tokens[..self.reach.end], i)
    }

    /// The unit of the figures at token `i`, or that of a scratch weight.
    pub(crate) fn first_unit(&self, i: usize) -> Result<Option<UnitView<'i>>, Fault> {
        match self.scratch_at(i) {
            true => Ok(place(self.image, 1)),
            false => Ok(self.unit(i + 1)?.map(|u| u.0)),
        }
    }

    /// The number that token `i` is; a fault in it names the unit given.
    ///
    /// # Errors
    ///
    /// The figures are no number, or stand behind a sign of less than nothing.
    pub(crate) fn read_figures(&self, i: usize, unit: UnitView) -> Result<BigRational, Fault> {
        let below = self.below_nothing(i);
        let read = match below {
            true => figures::read(&["-", self.typed(i)].concat()),
            false => figures(self.typed(i)),
        };
        read.map_err(|why| Fault::Figures {
            at: self.at(i - usize::from(below), i + 1),
            unit: unit.i,
            why,
        })
    }

    /// A sign of less than nothing stands right before token `i`, and no figures before that.
    fn below_nothing(&self, i: usize) -> bool {
        i > self.reach.start
            && matches!(self.typed(i - 1), "-" | "\u{2212}")
            && self.tokens[i - 1].end == self.tokens[i].start
            && !(i > self.reach.start + 1 && self.tokens[i - 2].end == self.tokens[i - 1].start)
    }

    /// Figures and signs: ounces, pennyweights and grains of old plate.
    fn scratch(&self, i: usize) -> Result<(BigRational, usize), Fault> {
        let mut sum = BigRational::zero();
        let mut at = i;
        for n in 1.. {
            let Some(unit) = place(self.image, n) else {
                break;
            };
            let count = self.read_figures(at, unit)?;
            self.below_place(unit, n, &count, i, at)?;
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
    fn below_place(
        &self,
        unit: UnitView,
        n: u32,
        count: &BigRational,
        from: usize,
        at: usize,
    ) -> Result<(), Fault> {
        let Some(above) = n.checked_sub(1).and_then(|n| place(self.image, n)) else {
            return Ok(());
        };
        if count * grams(unit) < grams(above) {
            return Ok(());
        }
        Err(Fault::WholePlace {
            at: self.at(from, at + 1),
            figures: self.at(at, at + 1),
            unit: unit.i,
            above: above.i,
        })
    }

    /// Where a part of a weight stands behind another, with the token where it begins: "12 oz, 5 dwt" and
    /// "12 oz and 5 dwt" are one weight.
    fn joined(&self, at: usize) -> Option<usize> {
        let word = self.token(at).map(|t| self.text[t.start..t.end].to_lowercase())?;
        let joins = longest::own(self.image, Grammar::Weights, [word.as_str()].into_iter());
        let joins = joins.is_some_and(|(sense, _)| sense == Sense::And);
        (joins || word == ",").then_some(at + 1)
    }

    /// Figures with their units from token `i` on, added up while they follow each other downward.
    pub(crate) fn chain(&mut self, i: usize) -> Result<Option<(BigRational, usize)>, Fault> {
        if self.scratch_at(i) {
            return self.scratch(i).map(Some);
        }
        let mut sum = BigRational::zero();
        let mut last: Option<UnitView> = None;
        let mut at = i;
        loop {
            let joined = last.and_then(|_| self.joined(at));
            let next = joined.unwrap_or(at);
            if !self.is(next, Is::Figures) {
                break;
            }
            let Some((unit, end, taken)) = self.unit(next + 1)? else {
                break;
            };
            if let Some(before) = last {
                let smaller = grams(unit) < grams(before);
                if unit.system() != before.system() || !smaller {
                    // Behind a comma it is another measure of the text.
                    if joined.is_some() && !self.short {
                        break;
                    }
                    return Err(self.contrary(i, end, before, unit));
                }
            }
            let count = self.read_figures(next, unit)?;
            if let Some(above) = last.filter(|above| &count * grams(unit) >= grams(*above)) {
                let at = self.at(i, end);
                self.taken.push(Taken::Over { at, above: above.i, unit: unit.i });
            }
            sum += count * grams(unit);
            self.taken.extend(taken);
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

    fn contrary(&self, from: usize, end: usize, a: UnitView, b: UnitView) -> Fault {
        let (at, figures) = (self.at(from, end), self.at(from, from + 1));
        Fault::Contrary { at, figures, units: [a.i, b.i] }
    }

    /// "3oz 12": a bare figure behind a place of an old weight is of the next place.
    fn shorthand(
        &mut self,
        from: usize,
        at: usize,
        unit: UnitView,
    ) -> Result<Option<(BigRational, usize)>, Fault> {
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
        self.below_place(next, n, &count, from, at)?;
        let (whole, last) = (self.at(from, at + 1), self.at(at, at + 1));
        self.taken.push(Taken::Short { at: whole, last, unit: next.i });
        Ok(Some((count * grams(next), at + 1)))
    }

    /// The weight that the tokens hold, and the token behind it. Weights joined by + are added up.
    pub(crate) fn find(mut self) -> Result<Option<(Weight, Range<usize>)>, Fault> {
        let mut i = self.reach.start;
        let (mut sum, mut at) = loop {
            if i >= self.reach.end {
                return Ok(None);
            }
            if self.is(i, Is::Figures)
                && let Some(found) = self.chain(i)?
            {
                break found;
            }
            i += 1;
        };
        while self.typed(at) == "+" {
            let Some((more, end)) = self.chain(at + 1)? else {
                return Err(Fault::NothingAdded { within: self.within() });
            };
            sum += more;
            at = end;
        }
        // A second weight would be dropped in silence.
        for j in at..self.reach.end {
            let weighed =
                self.is(j, Is::Figures) && (self.scratch_at(j) || self.unit(j + 1)?.is_some());
            if weighed && self.says(j - 1, Sense::To).is_some() {
                return Err(Fault::NotOne(NotOne::Span { at: self.within() }));
            }
            if weighed {
                return Err(Fault::Second { within: self.within() });
            }
        }
        let place = self.at(i, at);
        if sum.is_zero() {
            return Err(Fault::NotOne(NotOne::Nothing { at: place }));
        }
        if sum > figures::whole(MOST) {
            return Err(Fault::NotOne(NotOne::TooMuch { at: place }));
        }
        Ok(Some((Weight { at: place, grams: sum, taken: self.taken }, i..at)))
    }
}

/// Is the word one for a way of counting fineness?
fn scaled(image: &Image, word: &str) -> bool {
    let said = longest::own(image, Grammar::Weights, [word].into_iter());
    said.is_some_and(|(sense, _)| matches!(sense, Sense::Scale(_)))
}

/// The weight of a piece: one that is not a span, a guess, or that of one of several pieces.
pub fn measured(image: &Image, text: &str) -> Result<Option<Weight>, Fault> {
    let tokens = cut(text);
    let found = Reader::new(image, text, &tokens, 0..tokens.len()).find()?;
    let Some((weight, at)) = found else {
        return Ok(None);
    };
    // What is said right before it, with the token where that begins, and behind it.
    let before = (0..at.start).find_map(|i| {
        let (sense, end) = says(image, text, &tokens[..at.start], i)?;
        let bears = matches!(sense, Sense::To | Sense::About | Sense::Each);
        let points = || tokens[end..at.start].iter().all(|t| &text[t.start..t.end] == ".");
        (bears && points()).then_some((sense, i))
    });
    let behind = says(image, text, &tokens, at.end);
    let from = |i: usize| tokens[i].start..weight.at.end;
    let to = |end: usize| weight.at.start..tokens[end - 1].end;
    let counted = |i: usize| i.checked_sub(1).map(|k| (k, tokens[k].is));
    match before {
        Some((Sense::To, i)) => {
            if let Some((low, Is::Figures | Is::Word)) = counted(i) {
                return Err(Fault::NotOne(NotOne::Span { at: from(low) }));
            }
        }
        Some((Sense::About, i)) => {
            return Err(Fault::NotOne(NotOne::Guess { at: from(i), weight: weight.at.clone() }));
        }
        Some((Sense::Each, i)) => {
            if let Some((n, Is::Figures)) = counted(i) {
                let typed = &text[tokens[n].start..tokens[n].end];
                let together = figures(typed).ok().map(|n| n * &weight.grams);
                return Err(Fault::NotOne(NotOne::OfEach { at: from(n), together }));
            }
        }
        _ => {}
    }
    match behind {
        Some((Sense::Each, end)) => {
            Err(Fault::NotOne(NotOne::OfEach { at: to(end), together: None }))
        }
        Some((Sense::About, end)) => {
            Err(Fault::NotOne(NotOne::Guess { at: to(end), weight: weight.at }))
        }
        _ => Ok(Some(weight)),
    }
}

/// Reads a weight that stands alone.
pub fn alone(image: &Image, text: &str) -> Result<Weight, Fault> {
    let Some(weight) = measured(image, text)? else {
        return Err(none(text));
    };
    match around(image, text, &weight.at).refused() {
        None => Ok(weight),
        Some(_) => Err(Fault::NotOne(NotOne::Beside { weight: weight.at })),
    }
}

/// What became of a text that is read for a weight alone.
pub fn tree(image: &Image, text: &str) -> Tree {
    match measured(image, text) {
        Ok(Some(weight)) => around(image, text, &weight.at),
        _ => Tree::over(text, refused(image, text, 0..text.len())),
    }
}

/// A weight, and what stands around it and is no part of it.
fn around(image: &Image, text: &str, weight: &Range<usize>) -> Tree {
    let mut told = refused(image, text, 0..weight.start);
    told.push((weight.clone(), Fate::Used(Use::Figure)));
    told.extend(refused(image, text, weight.end..text.len()));
    Tree::over(text, told)
}

/// The words, figures and signs of a part of a text that is not put to use.
pub fn refused(image: &Image, text: &str, part: Range<usize>) -> Vec<(Range<usize>, Fate)> {
    let typed = &text[part.clone()];
    let tokens = cut(typed);
    let mut told = Vec::new();
    let mut i = 0;
    while i < tokens.len() {
        let (why, next) = match says(image, typed, &tokens, i) {
            Some((Sense::About | Sense::Each | Sense::To, next)) => (Refusal::Headless, next),
            _ => (Refusal::NotUnderstood, i + 1),
        };
        let (start, end) = (tokens[i].start, tokens[next - 1].end);
        if !PARTING.contains(&&typed[start..end]) {
            told.push((part.start + start..part.start + end, Fate::Refused(why)));
        }
        i = next;
    }
    told
}

/// Why a text without a weight is none.
pub fn none(text: &str) -> Fault {
    Fault::None { figures: cut(text).iter().any(|t| t.is == Is::Figures) }
}

/// The first weight of a description, in grams; what cannot be read for sure is none.
pub fn first(image: &Image, text: &str) -> Option<BigRational> {
    let tokens = cut(text);
    let mut r = Reader::among_others(image, text, &tokens);
    for i in 0..tokens.len() {
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
pub fn scratched(image: &Image, text: &str) -> Option<BigRational> {
    let tokens = cut(text);
    let r = Reader::among_others(image, text, &tokens);
    (0..tokens.len())
        .find(|i| r.scratch_at(*i))
        .and_then(|i| r.scratch(i).ok())
        .map(|(sum, _)| sum)
        .or_else(|| first(image, text))
}
