//! What a seller says: a set of offices, of letter years and of standards, read from words such as
//! "an office 1908", "about 1790, sterling" or "18 ct, 1880s".

use std::ops::Range;

use puncheon_schema::entry::{Metal, Origin};
use puncheon_schema::image::{Image, Meta, RowView};

use crate::books::Books;
use crate::claim::attributed;
use crate::fit::letter_year::joined;
use crate::numbered::ByNumber;
use crate::place::Place;
use puncheon_lexis::claim::{Claimed, Problem, Taken, Wrong, Years};
use puncheon_lexis::grammar::claims;

/// Standards whose dates are told; a metal alone stands for more.
const MOST_STANDARDS: usize = 3;

/// What is said of a piece, to be held against its marks. An empty list claims nothing of its kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Claim {
    /// The words, as typed.
    pub text: String,
    /// Offices.
    pub offices: Vec<Place>,
    /// Spans of years, any of which will do.
    pub years: Vec<Years>,
    /// Reigns and periods named.
    pub periods: Vec<String>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Words that bear on none of these.
    pub not_used: Vec<Unused>,
    /// The text with its line ends and blanks, in which words have their places.
    pub typed: String,
    /// How words such as "about" and "1890s" were taken.
    pub taken: Vec<Taken>,
    /// The words say that the piece was brought in from abroad.
    pub imported: bool,
    /// Signs named that bear on what the marks vouch for, by their numbers in the tables.
    pub signs: Vec<u32>,
}

/// Words of a claim that were put aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unused {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
}

/// Where a span of letter years lies to a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Every letter year lies in the claim.
    Inside,
    /// Only part does, or only the later calendar year of a letter.
    Half,
    /// None does.
    Outside,
}

impl Claim {
    /// Reads a claim, and says what is wrong with one in values.
    pub fn of(books: Books, words: &str) -> Result<Claim, Problem> {
        let image = books.image;
        match Claim::cut(books, words).said {
            Ok(said) => {
                let text = words.split_whitespace().collect::<Vec<_>>().join(" ");
                Ok(Claim { text, ..Claim::made(image, words, &said) })
            }
            // Initials prove no maker, so that a name alone cannot be tested.
            Err(Problem { at, wrong: Wrong::NamesNothing })
                if attributed::names_maker(books, words) =>
            {
                Err(Problem::new(at, Wrong::MakerAlone))
            }
            Err(problem) => Err(problem),
        }
    }

    /// What the words of a claim come to, and what became of each.
    pub fn cut(books: Books, words: &str) -> claims::Read {
        let image = books.image;
        let names = |said: &Claimed| attributed::named(books, &Claim::made(image, words, said));
        claims::read(image, words, &names)
    }

    /// What was said, with the words of the tables for its numbers.
    pub fn made(image: &Image, typed: &str, said: &Claimed) -> Claim {
        let unused = |at: &Range<usize>| Unused {
            text: typed.get(at.clone()).unwrap_or_default().to_string(),
            start: at.start,
            end: at.end,
        };
        Claim {
            text: typed.to_string(),
            offices: said.offices.iter().map(|o| Place::office(image, *o as usize)).collect(),
            years: said.years.clone(),
            periods: said.reigns.iter().map(|r| image.reign(*r as usize).name().into()).collect(),
            standards: said
                .standards
                .iter()
                .map(|s| image.standard(*s as usize).id().into())
                .collect(),
            not_used: said.not_used.iter().map(unused).collect(),
            typed: typed.to_string(),
            taken: said.taken.clone(),
            imported: said.imported,
            signs: said.signs.clone(),
        }
    }

    /// Is the office one that is claimed?
    pub fn office(&self, id: &str) -> bool {
        self.offices.is_empty() || self.offices.iter().any(|o| o == id)
    }

    /// May a row be of the ware that is claimed?
    pub fn ware(&self, row: RowView) -> bool {
        !self.imported || row.origin() == Origin::Foreign
    }

    /// Is the standard one that is claimed?
    pub fn standard(&self, id: &str) -> bool {
        self.standards.is_empty() || self.standards.iter().any(|s| s == id)
    }

    fn year(&self, year: i32) -> bool {
        self.years.is_empty() || self.years.iter().any(|y| y.holds(year))
    }

    /// Does a letter year lie in the claim, with its office and standard?
    pub fn holds(&self, image: &Image, row: RowView) -> bool {
        let letter = row.letter();
        self.office(image.office(letter.office()).id())
            && self.standard(image.standard(row.standard()).id())
            && self.ware(row)
            && self.in_years(row)
    }

    /// Does a letter year lie in the years claimed?
    pub fn in_years(&self, row: RowView) -> bool {
        let letter = row.letter();
        (letter.year()..=letter.to()).any(|y| self.year(y))
    }

    /// The rows of the tables that lie in the claim.
    pub fn rows(&self, image: &Image) -> Vec<usize> {
        let standards: ByNumber<bool> = (0..image.meta(Meta::Standards))
            .map(|s| self.standard(image.standard(s).id()))
            .collect();
        (0..image.meta(Meta::Offices))
            .map(|o| image.office(o))
            .filter(|o| self.office(o.id()))
            .flat_map(|o| o.rows())
            .filter(|r| {
                let row = image.row(*r);
                standards.get(row.standard()) && self.ware(row) && self.in_years(row)
            })
            .collect()
    }

    /// Where letter years of one office and standard lie. `calendar`: the letters began with the
    /// calendar year, so none runs into the next.
    pub fn standing(
        &self,
        office: &str,
        standard: &str,
        (from, to): (i32, i32),
        calendar: bool,
    ) -> Standing {
        if !self.office(office) || !self.standard(standard) {
            return Standing::Outside;
        }
        if (from..=to).all(|y| self.year(y)) {
            return Standing::Inside;
        }
        let runs_in = !calendar && self.years.iter().any(|y| !y.one_letter && y.holds(to + 1));
        if runs_in || (from..=to).any(|y| self.year(y)) {
            Standing::Half
        } else {
            Standing::Outside
        }
    }

    /// When what is claimed was struck, where nothing of it was in the years claimed: the dates of the
    /// offices and standards.
    pub fn struck(&self, image: &Image) -> Vec<Struck> {
        let offices: Vec<usize> = (0..image.meta(Meta::Offices))
            .filter(|o| !self.offices.is_empty() && self.office(image.office(*o).id()))
            .collect();
        let mut out = Vec::new();
        for o in &offices {
            out.push(self.letters_of(image, *o));
            if self.imported {
                out.push(marked(image, Some(*o), Ware::Foreign));
            }
            out.extend(self.standards_at(image, Some(*o)));
        }
        if offices.is_empty() {
            out.extend(self.standards_at(image, None));
        }
        out
    }

    /// Why an office struck no letter of the years claimed.
    fn letters_of(&self, image: &Image, office: usize) -> Struck {
        let view = image.office(office);
        let (first, last) = view.years();
        let (from, to) = self.span();
        let before = to.unwrap_or(i32::MAX).min(last);
        let inside = from.is_none_or(|a| a <= last) && to.is_none_or(|b| b >= first);
        let open = |y: i32| {
            view.rows().any(|r| {
                let l = image.row(r).letter();
                l.year() <= y && y <= l.to()
            })
        };
        let why = if inside && !open(before) {
            Unstruck::Gap {
                from: (first..before).rev().find(|y| open(*y)).map_or(first, |y| y + 1),
                to: (before..=last).find(|y| open(*y)).map_or(last, |y| y - 1),
            }
        } else if view.open() && from.is_some_and(|a| a > last) {
            Unstruck::After(last)
        } else {
            Unstruck::Otherwise
        };
        Struck::Letters { office, why }
    }

    /// Each standard by itself, or the metal where all its standards are meant.
    fn standards_at(&self, image: &Image, office: Option<usize>) -> Vec<Struck> {
        let standards: Vec<usize> = (0..image.meta(Meta::Standards))
            .filter(|s| !self.standards.is_empty() && self.standard(image.standard(*s).id()))
            .collect();
        let wares: Vec<Ware> = match standards.len() > MOST_STANDARDS {
            true => {
                let mut metals: Vec<Metal> =
                    standards.iter().map(|s| image.standard(*s).metal()).collect();
                metals.dedup();
                metals.into_iter().map(Ware::Metal).collect()
            }
            false => standards.into_iter().map(Ware::Standard).collect(),
        };
        wares.into_iter().map(|ware| marked(image, office, ware)).collect()
    }

    /// First and last year claimed; None is open.
    pub fn span(&self) -> (Option<i32>, Option<i32>) {
        let ends = |f: fn(&Years) -> Option<i32>| -> Option<Vec<i32>> {
            self.years.iter().map(f).collect()
        };
        (
            ends(|y| y.from).and_then(|v| v.into_iter().min()),
            ends(|y| y.to).and_then(|v| v.into_iter().max()),
        )
    }
}

/// When something claimed was struck.
#[allow(missing_docs)]
pub enum Struck {
    /// The letters of an office, none of which is of the years claimed.
    Letters { office: usize, why: Unstruck },
    /// Ware: letter years without a gap between them, and whether the last goes on to this day.
    Marked { ware: Ware, there: bool, runs: Vec<(i32, i32)>, still: bool },
}

/// Why an office struck no letter of some years.
#[allow(missing_docs)]
pub enum Unstruck {
    /// The tables hold none for these years.
    Gap { from: i32, to: i32 },
    /// The tables end before them, with this year.
    After(i32),
    /// It was not open then.
    Otherwise,
}

/// What was marked.
#[derive(Clone, Copy)]
pub enum Ware {
    /// A standard, by its number.
    Standard(usize),
    /// All standards of a metal.
    Metal(Metal),
    /// Brought in from abroad.
    Foreign,
}

/// When ware was marked, at an office or at any.
fn marked(image: &Image, office: Option<usize>, ware: Ware) -> Struck {
    let of = |row: RowView| match ware {
        Ware::Standard(s) => row.standard() == s,
        Ware::Metal(m) => image.standard(row.standard()).metal() == m,
        Ware::Foreign => row.origin() == Origin::Foreign,
    };
    let here = |row: &RowView| office.is_none_or(|o| row.letter().office() == o) && of(*row);
    let rows = (0..image.meta(Meta::Rows)).map(|r| image.row(r)).filter(here);
    let mut years: Vec<(i32, i32)> = rows.map(|r| (r.letter().year(), r.letter().to())).collect();
    years.sort_unstable();
    let runs = joined(years);
    let now = (0..image.meta(Meta::Offices)).map(|o| image.office(o).years().1).max();
    let still = runs.last().is_some_and(|run| Some(run.1) == now);
    Struck::Marked { ware, there: office.is_some(), runs, still }
}
