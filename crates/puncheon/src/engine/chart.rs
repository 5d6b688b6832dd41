//! Charts of date letters: the years of one office, the letters of one year at every office, or
//! every year that struck a letter. The shape of an answer is what `puncheon.chart/1` prints.
//!
//! ```
//! use puncheon::chart::{Asked, chart};
//! let tables = puncheon::Tables::builtin();
//! let chart = chart(tables, &Asked::read(tables, "birmingham 1800..1830").unwrap());
//! assert_eq!(chart.rows[3].shown, "1803/04");
//! assert_eq!(chart.rows[3].cells[0].letters[0].struck.as_deref(), Some("f"));
//! ```

use puncheon_schema::entry::Metal;
use puncheon_schema::export;
use puncheon_schema::image::{Image, LetterView, Meta};
use serde::Serialize;

use crate::engine::expect::StruckBy;
use crate::engine::place::Place;
use crate::lexis::claim::Years;
use crate::lexis::grammar::charts::{self, Wish};
use crate::tables::Tables;
use crate::voice;
use crate::voice::claim::ClaimError;
use crate::voice::expectation::change;
use crate::voice::letters;
use crate::voice::sentence::sentence;

/// The name of the shape of an answer.
pub const SCHEMA: &str = "puncheon.chart/1";

/// From the first day of a year to the last, both as YYYYMMDD.
const WHOLE_YEAR: i32 = 1231 - 101;

/// What a chart is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Question {
    /// The years of one office: a row for each year, in order.
    Office,
    /// One year: a row for each office that struck a letter.
    Year,
    /// One letter: a row for each office and year that struck it, office by office.
    Letter,
}

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Asked {
    /// The words, as typed.
    pub text: String,
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
    /// How words were taken, a sentence each.
    #[serde(skip)]
    pub conventions: Vec<String>,
}

/// The letter that is asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct LetterAsked {
    /// As typed; a symbol stands in braces.
    pub letter: String,
    /// Its lettering, by its word in the tables; null for any.
    pub lettering: Option<String>,
    /// upper or lower; null for either. Only words such as "small" say it.
    pub case: Option<&'static str>,
}

impl Asked {
    /// Reads a question such as "an office 1800..1830", "an office", "1803", "an office k" or
    /// "small black letter k".
    ///
    /// # Errors
    /// If a word is not understood, or the words ask none of the three questions; with what would
    /// be right.
    pub fn read(tables: &Tables, words: &str) -> Result<Asked, ClaimError> {
        let image = tables.image();
        match charts::read(image, words) {
            Ok(wish) => Ok(Asked::of(image, wish)),
            Err(problem) => Err(voice::chart::refused(image, &problem)),
        }
    }

    fn of(image: &Image, wish: Wish) -> Asked {
        let one_year = |y: Years| y.from.is_some() && y.from == y.to;
        let question = match (&wish.letter, wish.offices.len()) {
            (Some(_), _) => Question::Letter,
            (None, n) if n != 1 && wish.years.is_some_and(one_year) => Question::Year,
            (None, _) => Question::Office,
        };
        let conventions = voice::claim::taken(&wish.typed, &wish.taken);
        Asked {
            text: wish.text,
            question,
            offices: wish.offices.iter().map(|o| Place::office(image, *o as usize)).collect(),
            from: wish.years.and_then(|y| y.from),
            to: wish.years.and_then(|y| y.to),
            letter: wish.letter.map(|l| LetterAsked {
                letter: l.letter,
                lettering: l.look.lettering.map(|n| image.lettering(n as usize).id().to_string()),
                case: l.look.case.and_then(letters::case_word),
            }),
            conventions,
        }
    }
}

/// A chart of date letters.
#[derive(Clone, Debug, Serialize)]
pub struct Chart {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// What was asked.
    pub asked: Asked,
    /// What it shows, in words.
    pub title: String,
    /// The runs of letters that it shows, in the order of the rows.
    pub columns: Vec<Column>,
    /// Its rows: years of one office in order, or offices in the order of the tables.
    pub rows: Vec<Row>,
    /// Offices and years asked for that struck no letter.
    pub without: Vec<Without>,
    /// Every source that a letter, a day or a reason rests on, once, in the order of the rows.
    pub sources: Vec<String>,
    /// Why there is nothing to show, a sentence; null if there is.
    pub nothing: Option<String>,
    /// How words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
}

/// A run of letters in one lettering.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// The office and the first letter year: its word in the tables.
    pub id: String,
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// First letter year of the whole run, shown here or not.
    pub from: i32,
    /// Last letter year of the whole run.
    pub to: i32,
    /// Both as the trade writes them: "1798/99 to 1823/24".
    pub shown: String,
    /// "small roman": how most of its letters look. Empty where nothing is known.
    pub style: String,
    /// The lettering of most of its letters, by its word; null where not known.
    pub lettering: Option<String>,
    /// The same for a reader.
    pub lettering_name: Option<String>,
    /// upper or lower; null where it varies or is not known.
    pub case: Option<&'static str>,
}

/// One letter year of one office.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// The calendar year in which the letter came into use.
    pub year: i32,
    /// As the trade writes it: "1803/04", or "1987" for a calendar-year letter.
    pub shown: String,
    /// The day on which the letter came into use, ISO; null where not known.
    pub begins: Option<String>,
    /// Its last day, ISO; null where not known.
    pub ends: Option<String>,
    /// First and last day on which it can have come into use, ISO, where the day itself is not
    /// known; null where it is, or where nothing is known of it.
    pub begins_between: Option<[String; 2]>,
    /// high, medium or low: how sure the office's day is, or the days between; null where nothing is
    /// known of it, or a letter had a day of its own.
    pub begins_confidence: Option<&'static str>,
    /// Sources of that day.
    pub begins_sources: Vec<String>,
    /// What stands in the columns. A column that is not named here has nothing in this row.
    pub cells: Vec<Cell>,
    /// Marks and standards that the office first struck in this year.
    pub began: Vec<String>,
    /// What it struck for the last time.
    pub ended: Vec<String>,
}

/// What a row has in a column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cell {
    /// Index into the columns.
    pub column: usize,
    /// The letters, at least one; two were both struck in one year.
    pub letters: Vec<ChartLetter>,
}

/// One letter of a cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ChartLetter {
    /// The plain letter as struck, a symbol in braces; null where the tables do not know it.
    pub struck: Option<String>,
    /// Its lettering, by its word; null where not known.
    pub lettering: Option<String>,
    /// The same for a reader.
    pub lettering_name: Option<String>,
    /// upper or lower; null where it varies or is not known.
    pub case: Option<&'static str>,
    /// "small roman", as far as it is known.
    pub style: String,
    /// The shape round it on silver, by its word; null where not known.
    pub outline_silver: Option<String>,
    /// The shape round it on gold; null where not known.
    pub outline_gold: Option<String>,
    /// First day of this letter, ISO; null where not known.
    pub begins: Option<String>,
    /// Last day of this letter, ISO; null where not known.
    pub ends: Option<String>,
    /// The letter year in which it came into use.
    pub since: i32,
    /// It came into use in an earlier year and was struck on.
    pub carried: bool,
    /// A set of this year often lacks its letter.
    pub optional: bool,
    /// Sources differ on the letter of this year.
    pub disputed: bool,
    /// What the others say; empty where nothing is disputed.
    pub rivals: Vec<Rival>,
    /// published, memory or both.
    pub basis: &'static str,
    /// high, medium or low: how sure the letter is.
    pub confidence: &'static str,
    /// How sure its lettering is.
    pub lettering_confidence: &'static str,
    /// How sure its case is.
    pub case_confidence: &'static str,
    /// Sources.
    pub sources: Vec<String>,
}

/// A letter that some sources give to a disputed year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Rival {
    /// The plain letter.
    pub struck: String,
    /// "small roman", as far as it is known.
    pub style: String,
}

/// Years in which an office struck no letter.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Without {
    /// The office, lower case.
    pub office: String,
    /// The office's name, for a reader.
    pub office_name: String,
    /// First of these years: of a gap between letters the whole is named, asked for or not.
    pub from: i32,
    /// Last of them.
    pub to: i32,
    /// Why, a sentence.
    pub why: String,
    /// Sources of the reason.
    pub sources: Vec<String>,
}

/// The chart of what is asked.
pub fn chart(tables: &Tables, asked: &Asked) -> Chart {
    let image = tables.image();
    let mut drawn = Drawn::new(image, asked);
    for office in (0..image.meta(Meta::Offices)).filter(|o| asks_office(image, asked, *o)) {
        drawn.office(office);
    }
    let mut chart = drawn.done();
    chart.cautions.extend(crate::rests_on_overlay(tables));
    chart
}

fn asks_office(image: &Image, asked: &Asked, office: usize) -> bool {
    let id = image.office(office).id();
    asked.offices.is_empty() || asked.offices.iter().any(|o| o == id)
}

fn known(s: String) -> Option<String> {
    Some(s).filter(|s| !s.is_empty())
}

struct Drawn<'i> {
    image: &'i Image,
    asked: &'i Asked,
    /// Of each letter, whether it answers to the one asked for.
    answers: Vec<bool>,
    columns: Vec<Column>,
    rows: Vec<Row>,
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
            if of_year.iter().any(|l| self.answers[l.i]) {
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
        letters: &[LetterView],
        of_year: &[LetterView],
        struck: &StruckBy,
    ) {
        let image = self.image;
        let chosen: Vec<LetterView> = of_year.iter().copied().filter(|l| !l.rival()).collect();
        let rivals: Vec<LetterView> = of_year.iter().copied().filter(|l| l.rival()).collect();
        let rival_answers = rivals.iter().any(|l| self.answers[l.i]);
        let mut cells: Vec<Cell> = Vec::new();
        for (k, l) in chosen.iter().enumerate() {
            // Rivals are told with the first letter of their year.
            let rivals = if k == 0 { &rivals[..] } else { &[] };
            let answers = self.answers[l.i] || k == 0 && rival_answers;
            if !answers {
                continue;
            }
            let column = self.column(office, l.cycle(), letters);
            let letter = chart_letter(image, *l, year, rivals);
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
        let begins = known(export::day(first_day));
        let ends = match ends.clone().min() {
            Some(0) | None => None,
            _ => ends.max().map(export::day),
        };
        let view = image.office(office);
        // A whole year is no knowledge of a day, and a letter carried on began in another year. A
        // letter out of turn had a day of its own.
        let start = view
            .start(year)
            .filter(|s| any.year() == year && (first_day == 0 || first_day == s.day))
            .filter(|s| s.latest.is_none_or(|l| l - s.day < WHOLE_YEAR));
        let between = start.as_ref().filter(|_| begins.is_none());
        let between = between.and_then(|s| Some([export::day(s.day), export::day(s.latest?)]));
        let start = start.filter(|_| begins.is_some() || between.is_some());
        self.rows.push(Row {
            begins_between: between,
            begins_confidence: start.as_ref().map(|s| export::confidence(s.confidence)),
            begins_sources: start
                .map_or_else(Vec::new, |s| s.cites.iter().map(|c| (*c).to_string()).collect()),
            office: view.id().to_string(),
            office_name: view.name().to_string(),
            year,
            shown: letters::shown(*any, year, year),
            begins,
            ends,
            cells,
            began: struck.began(year).iter().map(|c| change(image, c, true)).collect(),
            ended: struck.ended(year).iter().map(|c| change(image, c, false)).collect(),
        });
    }

    /// The number of a run's column, made where there is none yet.
    fn column(&mut self, office: usize, cycle: &str, letters: &[LetterView]) -> usize {
        if let Some(i) = self.columns.iter().position(|c| c.id == cycle) {
            return i;
        }
        let image = self.image;
        let run: Vec<LetterView> =
            letters.iter().copied().filter(|l| !l.rival() && l.cycle() == cycle).collect();
        let from = run.iter().map(|l| l.year()).min().unwrap_or_default();
        let to = run.iter().map(|l| l.to()).max().unwrap_or_default();
        let most = most_common(run.iter().filter(|l| l.value().is_some()).copied(), |l| {
            (l.lettering(), letters::case_word(l.case()))
        })
        .or_else(|| run.first().copied());
        let lettering = most.and_then(|l| l.lettering()).map(|n| image.lettering(n));
        self.columns.push(Column {
            id: cycle.to_string(),
            office: image.office(office).id().to_string(),
            office_name: image.office(office).name().to_string(),
            from,
            to,
            shown: letters::shown_span(image, office, from, to),
            style: most.map_or_else(String::new, |l| letters::style_of_letter(image, l)),
            lettering: lettering.map(|l| l.id().to_string()),
            lettering_name: lettering.map(|l| l.name().to_string()),
            case: most.and_then(|l| letters::case_word(l.case())),
        });
        self.columns.len() - 1
    }

    /// Years asked for in which the office struck nothing.
    fn years_without(&mut self, office: usize) {
        let image = self.image;
        let view = image.office(office);
        let (first, last) = view.years();
        let asked = self.asked;
        let mut tell = |from: i32, to: i32, why: String, sources: Vec<String>| {
            let meets = asked.from.is_none_or(|f| f <= to) && asked.to.is_none_or(|t| from <= t);
            if from <= to && meets {
                self.without.push(Without {
                    office: view.id().to_string(),
                    office_name: view.name().to_string(),
                    from,
                    to,
                    why,
                    sources,
                });
            }
        };
        let run = sentence(letters::letters_run(image, office));
        if let Some(from) = asked.from {
            let to = asked.to.map_or(first - 1, |t| t.min(first - 1));
            tell(from, to, run.clone(), Vec::new());
        }
        for gap in view.gaps() {
            let cites = gap.cites.iter().map(|c| (*c).to_string()).collect();
            tell(gap.from, gap.to, gap.why.to_string(), cites);
        }
        if let Some(to) = asked.to {
            let why = if view.open() { format!("The tables end with {last}.") } else { run };
            let from = asked.from.map_or(last + 1, |f| f.max(last + 1));
            tell(from, to, why, Vec::new());
        }
    }

    fn done(self) -> Chart {
        let mut sources: Vec<String> = Vec::new();
        let of_rows = self.rows.iter().flat_map(|r| {
            let letters = r.cells.iter().flat_map(|c| &c.letters);
            letters.flat_map(|l| &l.sources).chain(&r.begins_sources)
        });
        let reasons = self.without.iter().flat_map(|w| &w.sources);
        for s in of_rows.chain(reasons) {
            if !sources.contains(s) {
                sources.push(s.clone());
            }
        }
        let conventions = conventions(self.asked, self.rows.is_empty());
        Chart {
            schema: SCHEMA,
            title: title(self.image, self.asked),
            nothing: self.rows.is_empty().then(|| nothing(self.image, self.asked, &self.without)),
            asked: self.asked.clone(),
            columns: self.columns,
            rows: self.rows,
            without: self.without,
            sources,
            conventions,
            cautions: Vec::new(),
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
fn answers(image: &Image, asked: &Asked) -> Vec<bool> {
    let Some(wanted) = &asked.letter else {
        return vec![true; image.meta(Meta::Letters)];
    };
    let mut out = vec![false; image.meta(Meta::Letters)];
    let Some(value) = charts::value(image, &wanted.letter) else {
        return out;
    };
    // The rows know which letters stand for each other where an alphabet lacks one of them.
    let same = image.value_bits(value, 0);
    for r in (0..image.meta(Meta::Rows)).filter(|r| same.has(*r)) {
        let l = image.row(r).letter();
        let lettering = l.lettering().map(|n| image.lettering(n));
        let caseless = lettering.is_some_and(|n| n.caseless());
        let struck = letters::case_word(l.case());
        // What the tables do not know speaks against nothing.
        let case = wanted.case.is_none() || caseless || struck.is_none() || struck == wanted.case;
        let style = match (&wanted.lettering, lettering) {
            (Some(w), Some(n)) => w == n.id(),
            _ => true,
        };
        out[l.i] = case && style;
    }
    out
}

fn chart_letter(image: &Image, l: LetterView, year: i32, rivals: &[LetterView]) -> ChartLetter {
    let lettering = l.lettering().map(|n| image.lettering(n));
    let outline = |metal| l.outline(metal).map(|o| image.outline_id(o).to_string());
    let bound = |here: bool, day: i32| here.then(|| export::day(day)).and_then(known);
    ChartLetter {
        struck: known(l.struck().to_string()),
        lettering: lettering.map(|n| n.id().to_string()),
        lettering_name: lettering.map(|n| n.name().to_string()),
        case: l.value().and_then(|_| letters::case_word(l.case())),
        style: letters::style_of_letter(image, l),
        outline_silver: outline(Metal::Silver),
        outline_gold: outline(Metal::Gold),
        begins: bound(year == l.year(), l.begins()),
        ends: bound(year == l.to(), l.ends()),
        since: l.year(),
        carried: year > l.year(),
        optional: l.optional(),
        disputed: !rivals.is_empty(),
        rivals: rivals
            .iter()
            .map(|r| Rival {
                struck: r.struck().to_string(),
                style: letters::style_of_letter(image, *r),
            })
            .collect(),
        basis: export::basis(l.basis()),
        confidence: export::confidence(l.confidence()),
        lettering_confidence: export::confidence(l.lettering_confidence()),
        case_confidence: export::confidence(l.case_confidence()),
        sources: l.cites().map(str::to_string).collect(),
    }
}

/// The names of the offices asked for.
fn office_names(image: &Image, asked: &Asked) -> Vec<String> {
    (0..image.meta(Meta::Offices))
        .filter(|o| !asked.offices.is_empty() && asks_office(image, asked, *o))
        .map(|o| image.office(o).name().to_string())
        .collect()
}

/// The years asked for, in words.
fn years_asked(asked: &Asked) -> Option<String> {
    Some(match (asked.from, asked.to) {
        (Some(a), Some(b)) if a == b => a.to_string(),
        (Some(a), Some(b)) => format!("{a} to {b}"),
        (Some(a), None) => format!("{a} and later"),
        (None, Some(b)) => format!("{b} and earlier"),
        (None, None) => return None,
    })
}

fn title(image: &Image, asked: &Asked) -> String {
    let offices = office_names(image, asked);
    let at = match offices.is_empty() {
        true => "every office".to_string(),
        false => offices.join(" and "),
    };
    let mut parts = match &asked.letter {
        Some(l) => vec![format!("The {}", voice::chart::letter(image, l)), at],
        None if asked.question == Question::Year => vec![format!("Date letters of {at}")],
        None => vec![format!("{at}, date letters")],
    };
    parts.extend(years_asked(asked));
    parts.join(", ")
}

/// How words were taken; and, of one year, which of its two letters is meant.
fn conventions(asked: &Asked, empty: bool) -> Vec<String> {
    let mut out = asked.conventions.clone();
    if asked.question == Question::Year && !empty {
        out.push(
            "A letter stands under the year in which it came into use; until that day the letter before it was struck."
                .into(),
        );
    }
    out
}

/// Why there is nothing to show.
fn nothing(image: &Image, asked: &Asked, without: &[Without]) -> String {
    let offices: Vec<usize> =
        (0..image.meta(Meta::Offices)).filter(|o| asks_office(image, asked, *o)).collect();
    if let Some(l) = &asked.letter {
        let words = voice::chart::letter(image, l);
        let mut of = office_names(image, asked);
        of.extend(years_asked(asked));
        let before = match of.is_empty() {
            true => String::new(),
            false => format!("of {} ", of.join(", ")),
        };
        return sentence(format!("{before}the tables hold no {words}"));
    }
    if let [office] = offices[..] {
        let run = sentence(letters::letters_run(image, office));
        let gaps = image.office(office).gaps();
        let mut said = vec![run.clone()];
        for w in without.iter().filter(|w| w.why != run) {
            said.push(match gaps.iter().any(|g| g.from == w.from) {
                true => format!("From {} to {} it struck none: {}", w.from, w.to, w.why),
                false => w.why.clone(),
            });
        }
        return said.join(" ");
    }
    let first = offices.iter().min_by_key(|o| image.office(**o).years().0);
    let last = offices.iter().map(|o| image.office(*o).years().1).max();
    match (first, last) {
        (Some(o), Some(last)) => {
            let view = image.office(*o);
            format!(
                "Date letters begin with {}'s of {}, and the tables end with {last}.",
                view.name(),
                letters::shown_year(image, *o, view.years().0)
            )
        }
        _ => "The tables hold no letters.".into(),
    }
}
