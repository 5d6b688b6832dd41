//! Dates as they are written in figures: days, decades and centuries, whatever they run together with.

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use super::figures::{as_year, beside_figures};
use super::{Cutter, Is, alone};
use crate::token::{Text, Token, TokenKind};

/// Centuries that are written in figures.
const ORDINALS: std::ops::RangeInclusive<i32> = 1..=21;
/// Centuries that "c" before bare figures may name.
const CENTURIES: std::ops::RangeInclusive<i32> = 10..=21;
/// The first century of which pieces are dated by their marks, and the one whose figures are a carat's too.
const CENTURY_OF_MARKS: i32 = 15;
const CARAT: i32 = 18;
/// Years of a decade, and of a century.
const DECADE: i32 = 10;
const CENTURY: i32 = 100;

impl Cutter<'_, '_> {
    /// A date of which the figures are only part: "18th", "18th c", "C18", "1794-05-14", "the 30s".
    pub(super) fn date_in_figures(&mut self, i: usize) -> Option<usize> {
        self.ordinal(i)
            .or_else(|| self.century(i))
            .or_else(|| self.day(i))
            .or_else(|| self.decade_alone(i))
    }

    fn is_tight(&self, k: usize) -> bool {
        self.text.tokens.get(k).is_some_and(|t| !t.spaced)
    }

    /// The value of figures, where the token is so many of them at most.
    fn figures(&self, k: usize, most: usize) -> Option<i32> {
        let t = self.text.tokens.get(k).filter(|t| t.kind == TokenKind::Number)?;
        let word = self.text.word(t);
        (word.len() <= most).then(|| word.parse().ok()).flatten()
    }

    fn is_sign(&self, k: usize, signs: &[char]) -> bool {
        self.text
            .tokens
            .get(k)
            .is_some_and(|t| matches!(t.kind, TokenKind::Punct(c) if signs.contains(&c)))
    }

    /// Is the token what ends an ordinal, right behind its figures?
    fn ends_ordinal(&self, k: usize) -> bool {
        self.is_tight(k) && self.letters(k) == Some(Sense::Ordinal)
    }

    /// Is the token the "s" of a decade, right behind its figures?
    fn ends_decade(&self, k: usize) -> bool {
        self.is_tight(k) && self.letters(k) == Some(Sense::Decade)
    }

    /// "18th", "18th c".
    fn ordinal(&mut self, i: usize) -> Option<usize> {
        let n = self.figures(i, 2).filter(|n| ORDINALS.contains(n))?;
        if self.is_short_century(i, n) {
            self.push(Is::Century(n), i, i + 2);
            return Some(i + 2);
        }
        self.ends_ordinal(i + 1).then_some(())?;
        self.push(Is::Ordinal(n), i, i + 2);
        // "c" after an ordinal is the century.
        if self.letters(i + 2) == Some(Sense::Century) {
            self.push(Is::Sense(Sense::Century), i + 2, i + 3);
            return Some(i + 3);
        }
        Some(i + 2)
    }

    /// "19c". Outside a claim "18c" may be a carat.
    fn is_short_century(&self, i: usize, n: i32) -> bool {
        let claims = self.grammar == Some(Grammar::Claims);
        let known =
            if claims { CENTURIES.contains(&n) } else { n >= CENTURY_OF_MARKS && n != CARAT };
        known && self.is_tight(i + 1) && self.letters(i + 1) == Some(Sense::Century)
    }

    /// "C19th", "c.19th"; in a claim "C19" too.
    fn century(&mut self, i: usize) -> Option<usize> {
        (self.letters(i) == Some(Sense::Century)).then_some(())?;
        let figures =
            if self.is_sign(i + 1, &['.']) && self.is_tight(i + 1) { i + 2 } else { i + 1 };
        let n = self.figures(figures, 2).filter(|n| CENTURIES.contains(n))?;
        self.is_tight(figures).then_some(())?;
        let ordinal = self.ends_ordinal(figures + 1);
        let end = if ordinal { figures + 2 } else { figures + 1 };
        let longer = || self.phrase(figures).is_some_and(|f| f.end > figures + 1);
        let bare = || self.grammar == Some(Grammar::Claims) && !longer();
        (ordinal || bare()).then_some(())?;
        // "c.19th century" is about that century.
        let next = self.phrase(end).map(|f| self.image.meaning(f.meaning));
        (next != Some(Sense::Century)).then_some(())?;
        self.push(Is::Century(n), i, end);
        Some(end)
    }

    /// "1794-05-14", "14/5/1794".
    fn day(&mut self, i: usize) -> Option<usize> {
        let signs = ['-', '/'];
        let parted = self.is_sign(i + 1, &signs) && self.is_sign(i + 3, &signs);
        let tight = parted && (i + 1..=i + 4).all(|k| self.is_tight(k));
        let year = |k: usize| {
            let t = self.text.tokens.get(k)?;
            as_year(self.text.word(t))
        };
        let up_to =
            |k: usize, most: i32| self.figures(k, 2).is_some_and(|d| (1..=most).contains(&d));
        // The day before its month or behind it.
        let pair =
            |a: usize, b: usize| up_to(a, 31) && up_to(b, 12) || up_to(a, 12) && up_to(b, 31);
        let year = match tight.then_some(())? {
            () if pair(i, i + 2) => year(i + 4),
            () if pair(i + 2, i + 4) => year(i),
            () => None,
        }?;
        self.push(Is::Years(year, year), i, i + 5);
        Some(i + 5)
    }

    /// "the 30s", of whatever century.
    fn decade_alone(&mut self, i: usize) -> Option<usize> {
        let claims = self.grammar == Some(Grammar::Claims);
        let n = self.figures(i, 2).filter(|n| claims && *n > 0 && n % DECADE == 0)?;
        self.ends_decade(i + 1).then_some(())?;
        self.push(Is::Sense(Sense::Fraction(n as u8, CENTURY as u8)), i, i + 2);
        Some(i + 2)
    }

    /// "1890s", "1920s-30s", "1920/30s": the last year, and the token behind.
    pub(super) fn decades(&self, i: usize, year: i32) -> Option<(i32, usize)> {
        let end = |year: i32| year + if year % CENTURY == 0 { CENTURY } else { DECADE } - 1;
        let one = self.ends_decade(i + 1);
        let sign = if one { i + 2 } else { i + 1 };
        if self.is_sign(sign, &['-', '/']) && self.ends_decade(sign + 2) {
            let short = self.figures(sign + 1, 2).map(|n| year / CENTURY * CENTURY + n);
            let long = || as_year(self.text.word(&self.text.tokens[sign + 1]));
            if let Some(last) = short.or_else(long).filter(|last| *last > year) {
                return Some((end(last), sign + 3));
            }
        }
        one.then(|| (end(year), i + 2))
    }
}

/// Parts what runs together in figures: "9.375", "178g", "1890s", "c1790", "C19th".
pub(super) fn part_figures(image: &Image, grammar: Option<Grammar>, text: &mut Text) {
    part_carats(image, text);
    let known = |w: &str| image.word(w.as_bytes());
    let needs = |t: &Token, w: &str| {
        t.kind == TokenKind::Word && w.bytes().any(|b| b.is_ascii_digit()) && known(w).is_none()
    };
    if !text.tokens.iter().any(|t| needs(t, text.word(t))) {
        return;
    }
    let mut out = Vec::with_capacity(text.tokens.len() + 4);
    for t in &text.tokens {
        let w = text.word(t);
        let cuts = if needs(t, w) { cuts(image, grammar, w) } else { [0; 2] };
        let typed = text.typed.as_bytes();
        let (mut rest, mut done) = (*t, 0);
        for cut in cuts {
            // Only where the folded word runs alongside the typed one.
            let beside = typed.get(t.start..t.start + cut);
            if cut > done && beside.is_some_and(|b| b.eq_ignore_ascii_case(&w.as_bytes()[..cut])) {
                let [a, b] = rest.split(cut - done);
                out.push(a.of_kind(kind_at(w, done)));
                rest = b.of_kind(kind_at(w, cut));
                done = cut;
            }
        }
        out.push(rest);
    }
    text.tokens = out;
}

fn is_figure(b: u8) -> bool {
    b.is_ascii_digit() || b == b'.'
}

/// What a part of a word is that begins at a byte of it.
fn kind_at(w: &str, at: usize) -> TokenKind {
    match w.as_bytes().get(at) {
        Some(b) if is_figure(*b) => TokenKind::Number,
        _ => TokenKind::Word,
    }
}

/// Where a word with figures in it is parted; 0 for nowhere.
fn cuts(image: &Image, grammar: Option<Grammar>, w: &str) -> [usize; 2] {
    let ends_ordinal = |w: &str| beside_figures(image, w) == Some(Sense::Ordinal);
    let of_century = |w: &str| beside_figures(image, w) == Some(Sense::Century);
    let run = |from: usize| {
        let bytes = &w.as_bytes()[from..];
        let first = bytes.first().is_some_and(|b| is_figure(*b));
        let len = bytes.iter().position(|b| is_figure(*b) != first);
        from + len.unwrap_or(bytes.len())
    };
    let first = run(0);
    let second = run(first);
    if w.as_bytes().first().is_some_and(|b| is_figure(*b)) {
        // "19thC": the century behind its ordinal.
        let tail = &w[first..second];
        let ordinal = (0..tail.len()).rev().filter(|k| tail.is_char_boundary(*k));
        let mut ordinal = ordinal.filter(|k| ends_ordinal(&tail[..*k]) && of_century(&tail[*k..]));
        return [first, ordinal.next().map_or(0, |k| first + k)];
    }
    let (letters, figures, tail) = (&w[..first], &w[first..second], &w[second..]);
    let rest = if tail.is_empty() { 0 } else { second };
    // "c1790", "g1803"; "circa1803", "London1794" and "c1790s" where the figures are a year.
    let short = first <= 2 && tail.is_empty() && figures.len() == 4;
    let word = first <= 2 || image.word(letters.as_bytes()).is_some();
    let decade = tail.is_empty() || beside_figures(image, tail) == Some(Sense::Decade);
    let year = word && as_year(figures).is_some() && decade;
    // "C19th", "C19".
    let n = figures.parse().is_ok_and(|n| CENTURIES.contains(&n));
    let ends = ends_ordinal(tail) || tail.is_empty() && grammar == Some(Grammar::Claims);
    match short || year || n && ends && of_century(letters) {
        true => [first, rest],
        false => [0; 2],
    }
}

/// "9.375" is a carat with its decimal, where the vocabulary holds both and not the whole.
fn part_carats(image: &Image, text: &mut Text) {
    let known = |w: &str| image.word(w.as_bytes());
    let carat = |i: usize, text: &Text| {
        let t = &text.tokens[i];
        if t.kind != TokenKind::Number {
            return None;
        }
        let w = text.word(t);
        let k = w.find(['.', ',']).filter(|k| *k > 0 && w.len() == t.end - t.start)?;
        let unit = text
            .tokens
            .get(i + 1)
            .is_some_and(|n| alone(image, known(text.word(n))) == Some(Sense::Unit));
        let decimal = format!(".{}", &w[k + 1..]);
        (!unit && known(w).is_none() && known(&w[..k]).is_some() && known(&decimal).is_some())
            .then_some(k)
    };
    if (0..text.tokens.len()).all(|i| carat(i, text).is_none()) {
        return;
    }
    let mut out = Vec::with_capacity(text.tokens.len() + 2);
    let mut commas = Vec::new();
    for (i, t) in text.tokens.iter().enumerate() {
        match carat(i, text) {
            Some(k) => {
                let [a, b] = t.split(k);
                commas.push(b);
                out.extend([a, b]);
            }
            None => out.push(*t),
        }
    }
    text.tokens = out;
    commas.iter().for_each(|t| text.point(t));
}
