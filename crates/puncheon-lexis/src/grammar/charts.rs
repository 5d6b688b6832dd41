//! The words that ask for a chart: an office, years and a letter, in any order.

use std::ops::Range;

use puncheon_schema::entry::{Case, Grammar};
use puncheon_schema::image::{Image, Sense};

use crate::claim::{self, Claimed, Taken, Years};
use crate::grammar::claims;
use crate::phrase::{Is, Piece, Pieces, as_year};
use crate::token::Text;
use crate::tree::{Fate, Tree, Use};

/// The most signs that a letter with its figure has.
const LONGEST: usize = 3;

/// What is wished for.
pub struct Wish {
    /// As typed, with single spaces.
    pub text: String,
    /// Offices named, by their numbers in the tables; none for any.
    pub offices: Vec<u32>,
    /// The one span of years named; None for any.
    pub years: Option<Years>,
    /// The letter named; None for any.
    pub letter: Option<Letter>,
    /// How words were taken, and the text that their places are of.
    pub taken: Vec<Taken>,
    /// The text that the places of `taken` are of.
    pub typed: String,
}

/// A letter that is wished for.
#[derive(Clone, PartialEq)]
pub struct Letter {
    /// As typed; a symbol stands in braces.
    pub letter: String,
    /// How it looks.
    pub look: Look,
}

/// How a letter looks, as far as it is said.
#[derive(Clone, Copy, Default, PartialEq)]
pub struct Look {
    /// Its lettering, by its number in the tables; None where none is named.
    pub lettering: Option<u32>,
    /// Capital or small; None where that is left open.
    pub case: Option<Case>,
}

/// Why a wish cannot be read.
pub struct Problem {
    /// The text that the place is of.
    pub typed: String,
    /// The words at fault; empty where it is the whole.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub wrong: Wrong,
}

/// What is wrong with a wish.
pub enum Wrong {
    /// Two years that nothing joins.
    SideBySide(i32, i32),
    /// Two points, and no years beside them.
    NoSpan,
    /// The first and the last year, the later first.
    Backwards(i32, i32),
    /// How a letter looks, and no letter.
    LookAlone,
    /// More than one letter.
    Letters,
    /// Words of no office, year or letter.
    Unread(String),
    /// A metal or a standard.
    Standard,
    /// More than one span of years.
    Spans,
    /// Nothing to chart.
    Nothing,
    /// A span of years at every office.
    EveryOffice,
    /// The years of several offices.
    Offices,
    /// What no claim could say either.
    Claim(claim::Wrong),
}

/// A wish that was read.
pub struct Read {
    /// What is wished for, or why that cannot be told.
    pub said: Result<Wish, Problem>,
    /// What became of every byte of it.
    pub tree: Tree,
}

/// Reads a question.
pub fn read(image: &Image, words: &str) -> Read {
    let mut reader = Reader {
        image,
        typed: words,
        years: Vec::new(),
        letter: None,
        look: Look::default(),
        nodes: Vec::new(),
    };
    let said = reader.read();
    reader.nodes.sort_by_key(|(at, _)| at.start);
    Read { said, tree: Tree::over(words, reader.nodes) }
}

/// The letter value that a letter stands for as it is asked: plain, or a symbol in braces.
pub fn value(image: &Image, letter: &str) -> Option<usize> {
    if letter.starts_with('{') {
        return image.value_of(letter);
    }
    image.value_of(&letter.to_uppercase())
}

struct Reader<'i, 't> {
    image: &'i Image,
    typed: &'t str,
    years: Vec<Years>,
    letter: Option<String>,
    /// What is said of the letter.
    look: Look,
    /// What became of the words that were read.
    nodes: Vec<(Range<usize>, Fate)>,
}

impl<'t> Reader<'_, 't> {
    fn read(&mut self) -> Result<Wish, Problem> {
        self.spans()?;
        // What was understood is blanked out, so that places stay what they are.
        let mut rest = self.typed.to_string();
        for (at, _) in &self.nodes {
            rest.replace_range(at.clone(), &" ".repeat(at.len()));
        }
        let text = Text::new(self.image, &rest);
        let mut pieces = Pieces::cut_for(self.image, text, Some(Grammar::Claims));
        self.letters(&mut pieces)?;
        let claim = self.claim(pieces)?;
        self.together(claim)
    }

    fn error(&self, at: Range<usize>, wrong: Wrong) -> Problem {
        Problem { typed: self.typed.to_string(), at, wrong }
    }

    /// Each word with its place.
    fn words(&self) -> Vec<(Range<usize>, &'t str)> {
        let words = self.typed.split_whitespace();
        let cores = words.map(|word| word.trim_matches([',', ';'])).filter(|core| !core.is_empty());
        let placed = cores.map(|core| {
            let start = core.as_ptr() as usize - self.typed.as_ptr() as usize;
            (start..start + core.len(), core)
        });
        placed.collect()
    }

    /// Two points between years, which stand for "to"; and years long before or after all letters,
    /// which are years all the same.
    fn spans(&mut self) -> Result<(), Problem> {
        let year = |s: &str| s.parse::<i32>().ok().filter(|y| (1000..3000).contains(y));
        let words = self.words();
        let plain = |w: &str| year(w).filter(|_| w.len() == 4);
        for pair in words.windows(2) {
            let ((first, a), (second, b)) = (&pair[0], &pair[1]);
            if let (Some(a), Some(b)) = (plain(a), plain(b)) {
                let at = first.start..second.end;
                return Err(self.error(at, Wrong::SideBySide(a.min(b), a.max(b))));
            }
        }
        for (at, word) in words {
            let (from, to) = match word.split_once("..") {
                Some((a, b)) => {
                    let b = b.trim_start_matches(['.', '=']);
                    let sound = |s: &str| s.is_empty() || year(s).is_some();
                    if !sound(a) || !sound(b) || a.is_empty() && b.is_empty() {
                        return Err(self.error(at, Wrong::NoSpan));
                    }
                    (year(a), year(b))
                }
                None if plain(word).is_some() => (year(word), year(word)),
                None => continue,
            };
            if let (Some(a), Some(b)) = (from, to)
                && a > b
            {
                return Err(self.error(at, Wrong::Backwards(a, b)));
            }
            // What is taken for a year in every text is left to the words round it.
            if word.contains("..") || as_year(word).is_none() {
                self.years.push(Years { from, to, one_letter: false });
                self.nodes.push((at, Fate::Used(Use::Date)));
            }
        }
        Ok(())
    }

    /// Takes the letter and what is said of it out of the words.
    fn letters(&mut self, pieces: &mut Pieces) -> Result<(), Problem> {
        let mut found: Vec<(Range<usize>, String)> = Vec::new();
        let mut articles = Vec::new();
        let mut kept = vec![true; pieces.pieces.len()];
        for (k, p) in pieces.pieces.iter().enumerate() {
            let at = p.start..p.end;
            let typed = self.typed[at.clone()].trim_end_matches('.');
            let before_a_year = matches!(
                pieces.pieces.get(k + 1),
                Some(Piece { what: Is::Years(..) | Is::Ordinal(_) | Is::Century(_), .. })
            );
            match p.what {
                // "c. 1803" is about 1803.
                Is::Sense(Sense::About) if before_a_year => continue,
                // "18thC"
                Is::Sense(Sense::Century) => continue,
                Is::Sense(Sense::Lettering(n)) => {
                    self.look.lettering = Some(n);
                }
                Is::Sense(Sense::Case(c)) => {
                    self.look.case = Some(c).filter(|c| *c != Case::Either);
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
            kept[k] = false;
            self.nodes.push((at, Fate::Used(Use::Letter)));
        }
        let mut kept = kept.into_iter();
        pieces.pieces.retain(|_| kept.next().unwrap_or(true));
        // "A small k": the article; "small a": the letter.
        if found.is_empty()
            && let Some(last) = articles.pop()
        {
            found.push(last);
        }
        match &found[..] {
            [] if self.look != Look::default() => Err(self.error(0..0, Wrong::LookAlone)),
            [] => Ok(()),
            [(_, letter)] => {
                self.letter = Some(letter.clone());
                Ok(())
            }
            [.., (at, _)] => Err(self.error(at.clone(), Wrong::Letters)),
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
    fn claim(&mut self, pieces: Pieces) -> Result<Claimed, Problem> {
        let [first, .., last] = &pieces.pieces[..] else {
            return match pieces.pieces.first() {
                None => Ok(Claimed::default()),
                Some(only) => self.claimed(only.start..only.end, pieces),
            };
        };
        self.claimed(first.start..last.end, pieces)
    }

    fn claimed(&mut self, all: Range<usize>, pieces: Pieces) -> Result<Claimed, Problem> {
        let claims::Read { said, nodes } = claims::of(self.image, pieces, &|_| Vec::new());
        self.nodes.extend(nodes);
        let said = said.map_err(|claim::Problem { at, wrong }| match wrong {
            claim::Wrong::NamesNothing => self.unread(all),
            wrong => self.error(at, Wrong::Claim(wrong)),
        })?;
        if let Some(at) = said.not_used.first() {
            return Err(self.unread(at.clone()));
        }
        match said.standards.is_empty() {
            true => Ok(said),
            false => Err(self.error(0..0, Wrong::Standard)),
        }
    }

    fn unread(&self, at: Range<usize>) -> Problem {
        let word = self.typed[at.clone()].to_string();
        self.error(at, Wrong::Unread(word))
    }

    fn together(&mut self, mut said: Claimed) -> Result<Wish, Problem> {
        said.years.append(&mut self.years);
        let years = match said.years[..] {
            [] => None,
            [y] => Some(y),
            _ => return Err(self.error(0..0, Wrong::Spans)),
        };
        let one_year = years.is_some_and(|y| y.from.is_some() && y.from == y.to);
        let wrong = match (&self.letter, said.offices.len()) {
            (Some(_), _) | (None, 1) => None,
            (None, _) if one_year => None,
            (None, 0) if years.is_none() => Some(Wrong::Nothing),
            (None, 0) => Some(Wrong::EveryOffice),
            (None, _) => Some(Wrong::Offices),
        };
        if let Some(wrong) = wrong {
            return Err(self.error(0..0, wrong));
        }
        let look = self.look;
        Ok(Wish {
            text: self.typed.split_whitespace().collect::<Vec<_>>().join(" "),
            offices: said.offices,
            years,
            letter: self.letter.take().map(|letter| Letter { letter, look }),
            taken: said.taken,
            typed: self.typed.to_string(),
        })
    }
}
