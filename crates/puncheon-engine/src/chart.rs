//! Charts of date letters: the years of one office, the letters of one year at every office, or
//! every year that struck a letter.

use puncheon_schema::export;
use puncheon_schema::image::{Image, LetterView, Meta, StartView};

use crate::expect::{Change, StruckBy};
use crate::numbered::ByNumber;
use crate::place::Place;
use puncheon_lexis::grammar::charts;

/// From the first day of a year to the last, both as YYYYMMDD.
const WHOLE_YEAR: i32 = 1231 - 101;

/// What a chart is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// The years of one office: a row for each year, in order.
    Office,
    /// One year: a row for each office that struck a letter.
    Year,
    /// One letter: a row for each office and year that struck it, office by office.
    Letter,
}

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Which of the three questions.
    pub question: Question,
    /// Offices; empty for all.
    pub offices: Vec<Place>,
    /// First letter year; null for no bound.
    pub from: Option<i32>,
    /// Last letter year; null for no bound.
    pub to: Option<i32>,
    /// The letter; null where none is asked.
    pub letter: Option<LetterAsked>,
}

/// The letter that is asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LetterAsked {
    /// As typed; a symbol stands in braces.
    pub letter: String,
    /// Its lettering, by its word in the tables; null for any.
    pub lettering: Option<String>,
    /// upper or lower; null for either. Only words such as "small" say it.
    pub case: Option<&'static str>,
}

/// A chart of date letters.
pub struct Chart<'i> {
    /// The runs of letters that it shows, in the order of the rows.
    pub columns: Vec<Column>,
    /// Its rows: years of one office in order, or offices in the order of the tables.
    pub rows: Vec<Row<'i>>,
    /// Offices and years asked for that struck no letter.
    pub without: Vec<Without>,
}

/// A run of letters in one lettering.
pub struct Column {
    /// The office, by its number.
    pub office: usize,
    /// First letter year of the whole run, shown here or not.
    pub from: i32,
    /// Last letter year of the whole run.
    pub to: i32,
    /// A letter that looks as most of the run do, by its number.
    pub letter: usize,
}

/// One letter year of one office.
pub struct Row<'i> {
    /// The office, by its number.
    pub office: usize,
    /// The calendar year in which the letter came into use.
    pub year: i32,
    /// The first letter of the year.
    pub first: usize,
    /// The day on which the letter came into use, 0 where it is not known.
    pub begins: i32,
    /// Its last day, 0 where it is not known.
    pub ends: i32,
    /// First and last day on which it can have come into use, where the day itself is not known.
    pub between: Option<(i32, i32)>,
    /// What the tables say of the day; None where nothing is known of it, or a letter had a day of its
    /// own.
    pub start: Option<StartView<'i>>,
    /// What stands in the columns. A column that is not named here has nothing in this row.
    pub cells: Vec<Cell>,
    /// Marks and standards that the office first struck in this year.
    pub began: Vec<Change>,
    /// What it struck for the last time.
    pub ended: Vec<Change>,
}

/// What a row has in a column: at least one letter; two were both struck in one year.
pub struct Cell {
    /// Index into the columns.
    pub column: usize,
    /// The letters, the first first.
    pub letters: Vec<Letter>,
}

/// A letter by its number, with those that other sources give to its year.
pub struct Letter {
    /// Its number.
    pub letter: usize,
    /// The letters that other sources give, by their numbers.
    pub rivals: Vec<usize>,
}

/// Years in which an office struck no letter: of a gap between letters all, asked for or not.
pub struct Without {
    /// The office, by its number.
    pub office: usize,
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// Why it struck none.
    pub because: Because,
}

/// Why an office struck no letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// It had not opened, or was closed.
    Closed,
    /// The gap of this number between its letters.
    Gap(usize),
    /// The tables end with this year.
    NotYet(i32),
}

/// The chart of what is asked.
pub fn chart<'i>(image: &'i Image, asked: &'i Asked) -> Chart<'i> {
    let mut drawn = Drawn::new(image, asked);
    for office in (0..image.meta(Meta::Offices)).filter(|o| asks_office(image, &asked.offices, *o))
    {
        drawn.office(office);
    }
    Chart { columns: drawn.columns, rows: drawn.rows, without: drawn.without }
}

/// Is an office one of those asked for? None stands for all.
pub fn asks_office(image: &Image, asked: &[Place], office: usize) -> bool {
    let id = image.office(office).id();
    asked.is_empty() || asked.iter().any(|o| o == id)
}

struct Drawn<'i> {
    image: &'i Image,
    asked: &'i Asked,
    /// Of each letter, whether it answers to the one asked for.
    answers: ByNumber<bool>,
    columns: Vec<Column>,
    rows: Vec<Row<'i>>,
    without: Vec<Without>,
}

impl<'i> Drawn<'i> {
    fn new(image: &'i Image, asked: &'i Asked) -> Drawn<'i> {
        Drawn {
            image,
            asked,
            answers: answers(image, asked),
            columns: Vec::new(),
            rows: Vec::new(),
            without: Vec::new(),
        }
    }

    /// Draws the rows of one office.
    fn office(&mut self, office: usize) {
        let image = self.image;
        let letters: Vec<LetterView> = (0..image.meta(Meta::Letters))
            .map(|i| image.letter(i))
            .filter(|l| l.office() == office)
            .collect();
        let (first, last) = image.office(office).years();
        let struck = StruckBy::new(image, office);
        let from = self.asked.from.map_or(first, |f| f.max(first));
        let to = self.asked.to.map_or(last, |t| t.min(last));
        for year in from..=to {
            let of_year: Vec<LetterView> =
                letters.iter().copied().filter(|l| l.year() <= year && year <= l.to()).collect();
            if of_year.iter().any(|l| self.answers.get(l.i)) {
                self.row(office, year, &letters, &of_year, &struck);
            }
        }
        if self.asked.question != Question::Letter {
            self.years_without(office);
        }
    }

    fn row(
        &mut self,
        office: usize,
        year: i32,
        letters: &[LetterView<'i>],
        of_year: &[LetterView<'i>],
        struck: &StruckBy,
    ) {
        let image = self.image;
        let chosen: Vec<LetterView> = of_year.iter().copied().filter(|l| !l.rival()).collect();
        let rivals: Vec<LetterView> = of_year.iter().copied().filter(|l| l.rival()).collect();
        let rival_answers = rivals.iter().any(|l| self.answers.get(l.i));
        let mut cells: Vec<Cell> = Vec::new();
        for (k, l) in chosen.iter().enumerate() {
            // Rivals are told with the first letter of their year.
            let rivals = if k == 0 { &rivals[..] } else { &[] };
            let answers = self.answers.get(l.i) || k == 0 && rival_answers;
            if !answers {
                continue;
            }
            let column = self.column(office, *l, letters);
            let rivals = rivals.iter().map(|r| r.i).collect();
            let letter = Letter { letter: l.i, rivals };
            match cells.iter_mut().find(|c| c.column == column) {
                Some(c) => c.letters.push(letter),
                None => cells.push(Cell { column, letters: vec![letter] }),
            }
        }
        let Some(any) = chosen.first() else {
            return;
        };
        let begins = chosen.iter().filter(|l| l.year() == year).map(|l| l.begins());
        let ends = chosen.iter().filter(|l| l.to() == year).map(|l| l.ends());
        // An unknown day is no bound: the year's own is then not known either.
        let first_day = begins.min().unwrap_or(0);
        let ends = match ends.clone().min() {
            Some(0) | None => 0,
            _ => ends.max().unwrap_or(0),
        };
        let view = image.office(office);
        // A whole year is no knowledge of a day, and a letter carried on began in another year. A
        // letter out of turn had a day of its own.
        let start = view
            .start(year)
            .filter(|s| any.year() == year && (first_day == 0 || first_day == s.day))
            .filter(|s| s.latest.is_none_or(|l| l - s.day < WHOLE_YEAR));
        let between = start.as_ref().filter(|_| first_day == 0);
        let between = between.and_then(|s| Some((s.day, s.latest?)));
        let start = start.filter(|_| first_day != 0 || between.is_some());
        self.rows.push(Row {
            office,
            year,
            first: any.i,
            begins: first_day,
            ends,
            between,
            start,
            cells,
            began: struck.began(year),
            ended: struck.ended(year),
        });
    }

    /// The number of a run's column, made where there is none yet.
    fn column(&mut self, office: usize, of: LetterView<'i>, letters: &[LetterView<'i>]) -> usize {
        let cycle = of.cycle();
        let same = |c: &Column| self.image.letter(c.letter).cycle() == cycle;
        if let Some(i) = self.columns.iter().position(same) {
            return i;
        }
        let run: Vec<LetterView> =
            letters.iter().copied().filter(|l| !l.rival() && l.cycle() == cycle).collect();
        let from = run.iter().map(|l| l.year()).min().unwrap_or_default();
        let to = run.iter().map(|l| l.to()).max().unwrap_or_default();
        let most = most_common(run.iter().filter(|l| l.value().is_some()).copied(), |l| {
            (l.lettering(), l.case())
        })
        .or_else(|| run.first().copied());
        let letter = most.unwrap_or(of);
        self.columns.push(Column { office, from, to, letter: letter.i });
        self.columns.len() - 1
    }

    /// Years asked for in which the office struck nothing.
    fn years_without(&mut self, office: usize) {
        let image = self.image;
        let view = image.office(office);
        let (first, last) = view.years();
        let asked = self.asked;
        let mut tell = |from: i32, to: i32, because: Because| {
            let meets = asked.from.is_none_or(|f| f <= to) && asked.to.is_none_or(|t| from <= t);
            if from <= to && meets {
                self.without.push(Without { office, from, to, because });
            }
        };
        if let Some(from) = asked.from {
            let to = asked.to.map_or(first - 1, |t| t.min(first - 1));
            tell(from, to, Because::Closed);
        }
        for (i, gap) in view.gaps().iter().enumerate() {
            tell(gap.from, gap.to, Because::Gap(i));
        }
        if let Some(to) = asked.to {
            let because = if view.open() { Because::NotYet(last) } else { Because::Closed };
            let from = asked.from.map_or(last + 1, |f| f.max(last + 1));
            tell(from, to, because);
        }
    }
}

/// The item whose key comes most often; the first of equals.
fn most_common<T: Copy, K: PartialEq>(
    items: impl Iterator<Item = T>,
    key: impl Fn(&T) -> K,
) -> Option<T> {
    let mut counts: Vec<(T, usize)> = Vec::new();
    for x in items {
        match counts.iter_mut().find(|(y, _)| key(y) == key(&x)) {
            Some((_, n)) => *n += 1,
            None => counts.push((x, 1)),
        }
    }
    let most = counts.iter().map(|(_, n)| *n).max()?;
    counts.into_iter().find(|(_, n)| *n == most).map(|(x, _)| x)
}

/// Which letters of the tables are asked for.
fn answers(image: &Image, asked: &Asked) -> ByNumber<bool> {
    let Some(wanted) = &asked.letter else {
        return ByNumber::all(true, image.meta(Meta::Letters));
    };
    let mut out = ByNumber::all(false, image.meta(Meta::Letters));
    let Some(value) = charts::value(image, &wanted.letter) else {
        return out;
    };
    // The rows know which letters stand for each other where an alphabet lacks one of them.
    let same = image.value_bits(value, 0);
    for r in (0..image.meta(Meta::Rows)).filter(|r| same.has(*r)) {
        let l = image.row(r).letter();
        let lettering = l.lettering().map(|n| image.lettering(n));
        let caseless = lettering.is_some_and(|n| n.caseless());
        let struck = export::case(l.case());
        // What the tables do not know speaks against nothing.
        let case = wanted.case.is_none() || caseless || struck.is_none() || struck == wanted.case;
        let style = match (&wanted.lettering, lettering) {
            (Some(w), Some(n)) => w == n.id(),
            _ => true,
        };
        out.set(l.i, case && style);
    }
    out
}
