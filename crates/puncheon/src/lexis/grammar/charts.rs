//! The words that ask for a chart: an office, years and a letter, in any order.

use std::ops::Range;

use puncheon_schema::export;
use puncheon_schema::image::{Image, Meta, Sense};

use crate::engine::chart::{Asked, LetterAsked, Question};
use crate::engine::claim::claimed::{Claim, ClaimError, Years};
use crate::lexis::grammar::claims;
use crate::lexis::phrase::{Is, Piece, Pieces};
use crate::lexis::token::Text;
use crate::tables::Tables;

/// The most signs that a letter with its figure has.
const LONGEST: usize = 3;

/// Reads a question.
pub(crate) fn read(tables: &Tables, words: &str) -> Result<Asked, ClaimError> {
    let text = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut reader = Reader {
        image: tables.image(),
        rest: text.clone(),
        text,
        years: Vec::new(),
        letter: None,
        style: LetterAsked::default(),
    };
    reader.spans()?;
    reader.letters()?;
    let claim = reader.claim(tables)?;
    reader.together(claim)
}

/// The letter value that a letter stands for as it is asked: plain, or a symbol in braces.
pub(crate) fn value(image: &Image, letter: &str) -> Option<usize> {
    if letter.starts_with('{') {
        return image.value_of(letter);
    }
    image.value_of(&letter.to_uppercase())
}

/// "letter k, small black-letter".
pub(crate) fn letter_in_words(image: &Image, l: &LetterAsked) -> String {
    let case = match l.case {
        Some("upper") => Some("capital"),
        Some(_) => Some("small"),
        None => None,
    };
    let lettering = (0..image.meta(Meta::Letterings))
        .map(|i| image.lettering(i))
        .find(|n| Some(n.id()) == l.lettering.as_deref())
        .map(|n| n.name());
    let looks: Vec<&str> = [case, lettering].into_iter().flatten().collect();
    let letter = format!("letter {}", l.letter.trim_matches(['{', '}']));
    match looks.is_empty() {
        true => letter,
        false => format!("{letter}, {}", looks.join(" ")),
    }
}

struct Reader<'i> {
    image: &'i Image,
    /// As typed, with single spaces.
    text: String,
    /// The same, with what was understood blanked out, so that places stay what they are.
    rest: String,
    years: Vec<Years>,
    letter: Option<String>,
    /// What is said of the letter.
    style: LetterAsked,
}

impl Reader<'_> {
    fn error(&self, at: Range<usize>, wrong: String, remedy: String) -> ClaimError {
        ClaimError { claim: self.text.clone(), at, wrong, remedy, impossible: false }
    }

    fn blank(&mut self, at: Range<usize>) {
        self.rest.replace_range(at.clone(), &" ".repeat(at.len()));
    }

    /// Each word with its place.
    fn words(&self) -> Vec<(Range<usize>, String)> {
        let mut out = Vec::new();
        let mut at = 0;
        for word in self.rest.split(' ') {
            let core = word.trim_matches([',', ';']);
            if !core.is_empty() {
                let start = at + word.find(core).unwrap_or(0);
                out.push((start..start + core.len(), core.to_string()));
            }
            at += word.len() + 1;
        }
        out
    }

    /// Two points between years, which stand for "to"; and years long before or after all letters,
    /// which are years all the same.
    fn spans(&mut self) -> Result<(), ClaimError> {
        let year = |s: &str| s.parse::<i32>().ok().filter(|y| (1000..3000).contains(y));
        let words = self.words();
        let plain = |w: &str| w.len() == 4 && year(w).is_some();
        let beside = words.windows(2).find(|w| w.iter().all(|(_, w)| plain(w)));
        if let Some([a, b]) = beside {
            return Err(self.error(
                a.0.start..b.0.end,
                "two years stand side by side".into(),
                format!(
                    "write {}..{} for all from the one to the other",
                    (&a.1).min(&b.1),
                    (&a.1).max(&b.1)
                ),
            ));
        }
        for (at, word) in words {
            let (from, to) = match word.split_once("..") {
                Some((a, b)) => {
                    let b = b.trim_start_matches(['.', '=']);
                    let sound = |s: &str| s.is_empty() || year(s).is_some();
                    if !sound(a) || !sound(b) || a.is_empty() && b.is_empty() {
                        return Err(self.error(
                            at,
                            format!("\"{word}\" is no span of years"),
                            format!("write {}", self.span_example()),
                        ));
                    }
                    (year(a), year(b))
                }
                None if plain(&word) => (year(&word), year(&word)),
                None => continue,
            };
            if let (Some(a), Some(b)) = (from, to)
                && a > b
            {
                return Err(self.error(
                    at,
                    format!("\"{word}\" runs backwards"),
                    format!("write the earlier year first: {b}..{a}"),
                ));
            }
            if word.contains("..") || !self.in_reach(&word) {
                self.years.push(Years { from, to, one_letter: false });
                self.blank(at);
            }
        }
        Ok(())
    }

    /// Is the word taken for a year wherever years are read?
    fn in_reach(&self, word: &str) -> bool {
        let pieces = Pieces::cut(self.image, Text::new(self.image, word));
        matches!(pieces.pieces[..], [Piece { what: Is::Years(..), .. }])
    }

    /// Takes the letter and what is said of it out of the words.
    fn letters(&mut self) -> Result<(), ClaimError> {
        let rest = self.rest.clone();
        let pieces = Pieces::cut(self.image, Text::new(self.image, &rest));
        let mut found: Vec<(Range<usize>, String)> = Vec::new();
        let mut articles = Vec::new();
        for (k, p) in pieces.pieces.iter().enumerate() {
            let at = p.start..p.end;
            let typed = rest[at.clone()].trim_end_matches('.');
            let before_a_year = matches!(
                pieces.pieces.get(k + 1),
                Some(Piece { what: Is::Years(..) | Is::Ordinal(_), .. })
            );
            match p.what {
                // "c. 1803" is about 1803.
                Is::Sense(Sense::About) if before_a_year => continue,
                Is::Sense(Sense::Lettering(n)) => {
                    self.style.lettering = Some(self.image.lettering(n as usize).id().to_string());
                }
                Is::Sense(Sense::Case(c)) => {
                    self.style.case = export::case(c);
                }
                Is::Sense(Sense::LetterNoun) => {}
                _ if self.is_letter(typed) => {
                    if p.what == Is::Sense(Sense::Article) {
                        articles.push((at.clone(), typed.to_string()));
                    } else {
                        found.push((at.clone(), typed.to_string()));
                    }
                }
                _ => match self.image.symbol_of(&typed.to_lowercase()) {
                    Some(v) => found.push((at.clone(), self.image.value(v).to_string())),
                    None => continue,
                },
            }
            self.blank(at);
        }
        // "A small k": the article; "small a": the letter.
        if found.is_empty()
            && let Some(last) = articles.pop()
        {
            found.push(last);
        }
        match &found[..] {
            [] => {
                let styled = self.style != LetterAsked::default();
                if styled {
                    return Err(self.error(
                        0..0,
                        "how a letter looks is said, and no letter is named".into(),
                        "name the letter beside it".into(),
                    ));
                }
                Ok(())
            }
            [(_, letter)] => {
                self.letter = Some(letter.clone());
                Ok(())
            }
            [.., (at, _)] => Err(self.error(
                at.clone(),
                "more than one letter is named".into(),
                "ask for one letter at a time".into(),
            )),
        }
    }

    /// One letter, or one with its figure as some office struck it.
    fn is_letter(&self, typed: &str) -> bool {
        let signs = typed.chars().count();
        let plain = signs == 1 && typed.chars().all(char::is_alphabetic);
        let struck = signs <= LONGEST
            && typed.starts_with(|c: char| c.is_ascii_alphabetic())
            && value(self.image, typed).is_some();
        plain || struck
    }

    /// What is left names offices and years as a claim does.
    fn claim(&self, tables: &Tables) -> Result<Claim, ClaimError> {
        if self.rest.trim_matches([' ', ',', ';', '.']).is_empty() {
            return Ok(Claim::default());
        }
        let claim = Claim::read(tables, &self.rest).map_err(|e| self.as_asked(e))?;
        if let Some(u) = claim.not_used.first() {
            let there = self.text.get(u.start..u.end) == Some(&u.text);
            return Err(self.error(
                if there { u.start..u.end } else { 0..0 },
                format!("\"{}\" was not understood", u.text),
                self.forms(),
            ));
        }
        if !claim.standards.is_empty() {
            return Err(self.error(
                0..0,
                "a chart is not of a metal or a standard".into(),
                "leave it out: one letter served for every metal of a year".into(),
            ));
        }
        Ok(claim)
    }

    /// Why a claim cannot be read, said of a chart.
    fn as_asked(&self, e: ClaimError) -> ClaimError {
        let said = e.wrong.replacen("the claim cannot be read: ", "", 1);
        let wrong = match said == claims::NAMES_NOTHING {
            true => format!("\"{}\" was not understood", self.rest.trim()),
            false => said,
        };
        let remedy = if e.remedy == claims::forms(self.image) { self.forms() } else { e.remedy };
        // Words that ran together were parted before they were read; places then lie in those.
        let claim = match e.claim == self.rest {
            true => self.text.clone(),
            false => e.claim,
        };
        ClaimError { claim, wrong, remedy, ..e }
    }

    fn together(mut self, mut claim: Claim) -> Result<Asked, ClaimError> {
        claim.years.append(&mut self.years);
        let years = match claim.years[..] {
            [] => (None, None),
            [y] => (y.from, y.to),
            _ => {
                return Err(self.error(
                    0..0,
                    "more than one span of years is named".into(),
                    format!("ask for one at a time, such as {}", self.span_example()),
                ));
            }
        };
        let one_year = years.0.is_some() && years.0 == years.1;
        let question = match (&self.letter, &claim.offices[..]) {
            (Some(_), _) => Question::Letter,
            (None, [_]) => Question::Office,
            (None, _) if one_year => Question::Year,
            (None, []) if claim.years.is_empty() => {
                return Err(self.error(0..0, "nothing to chart is named".into(), self.forms()));
            }
            (None, []) => {
                return Err(self.error(
                    0..0,
                    "a span of years is charted for one office".into(),
                    self.with_an_office(),
                ));
            }
            (None, _) => {
                return Err(self.error(
                    0..0,
                    "the years of one office are charted at a time".into(),
                    "name one of the offices, or one year for all of them".into(),
                ));
            }
        };
        // That either of two offices will do is said last, and is no way to take a chart of both.
        if claim.offices.len() > 1 {
            claim.conventions.pop();
        }
        Ok(Asked {
            text: self.text,
            question,
            offices: claim.offices,
            from: years.0,
            to: years.1,
            letter: self.letter.map(|letter| LetterAsked { letter, ..self.style }),
            conventions: claim.conventions,
        })
    }

    /// What to write where a span of years stands alone.
    fn with_an_office(&self) -> String {
        let name = match self.image.meta(Meta::Offices) {
            0 => "an office",
            _ => self.image.office(0).name(),
        };
        format!("name the office as well, as in \"{name} {}\", or ask one year", self.text)
    }

    /// A span of years that some office struck letters in.
    fn span_example(&self) -> String {
        let years = (self.image.meta(Meta::Offices) > 0).then(|| self.image.office(0).years());
        let (first, last) = years.unwrap_or_default();
        let middle = first.midpoint(last) / 10 * 10;
        format!("{}..{}", middle - 10, middle + 10)
    }

    /// What can be asked.
    fn forms(&self) -> String {
        if self.image.meta(Meta::Offices) == 0 {
            return "name an office, a year or a letter".into();
        }
        let office = self.image.office(0);
        let name = office.name();
        let middle = office.years().0.midpoint(office.years().1);
        format!(
            "these work: \"{name}\"; \"{name} {}\"; \"{middle}\"; \"{name} k\"; \"k\"",
            self.span_example()
        )
    }
}
