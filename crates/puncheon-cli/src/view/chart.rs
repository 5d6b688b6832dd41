//! Date letters as a ladder of years, office by office, or letter by letter.

use std::fmt::{self, Write};

use puncheon::Tables;
use puncheon::chart::{Cell, Chart, ChartLetter, Question, Row, Without};
use puncheon::reading::LetterStruck;
use puncheon::schema::entry::{Basis, Confidence};
use puncheon::schema::image::Meta;

use crate::screen::Screen;

/// Most changes told on a year's line; `expect` tells them all.
const MOST: usize = 3;
/// Room for a letter before and after its styled form; a symbol's word may stand out of it.
const WIDEST: usize = 5;
/// The last days of the months.
const MONTH_ENDS: [u8; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/// Room for "1803/04".
const YEAR: usize = 7;

/// The whole screen of a chart.
pub fn chart(chart: &Chart, tables: &Tables, s: &Screen) -> String {
    View::new(chart, tables, s).text()
}

struct View<'a> {
    chart: &'a Chart,
    tables: &'a Tables,
    s: &'a Screen,
    /// Width of the column of letters.
    letter: usize,
}

impl<'a> View<'a> {
    fn new(chart: &'a Chart, tables: &'a Tables, s: &'a Screen) -> View<'a> {
        let mut view = View { chart, tables, s, letter: 1 };
        let letters = chart.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.letters);
        let wide = letters.map(|l| view.struck(l).chars().count()).max();
        view.letter = wide.unwrap_or(1).min(WIDEST);
        view
    }

    fn text(&self) -> String {
        let mut out = String::new();
        self.s.title(&mut out, &self.chart.title);
        if let Some(why) = &self.chart.nothing {
            out.push('\n');
            self.s.say(&mut out, 0, why);
        }
        match self.chart.asked.question {
            Question::Year => self.offices(&mut out),
            _ => self.ladder(&mut out),
        }
        self.foot(&mut out);
        out
    }

    /// Years downwards, a heading for each run of letters.
    fn ladder(&self, out: &mut String) {
        let c = self.chart;
        let by_letter = c.asked.question == Question::Letter;
        let several = c.rows.iter().any(|r| r.office != c.rows[0].office);
        if by_letter && !several && !c.rows.is_empty() {
            out.push('\n');
        }
        let mut column = None;
        let mut office = "";
        let mut k = 0;
        while k < c.rows.len() {
            let row = &c.rows[k];
            if by_letter && several && row.office != office {
                office = &row.office;
                let _ = writeln!(out, "\n{}", self.s.strong(&row.office_name));
            }
            let here = row.cells.first().map(|c| c.column);
            if !by_letter && here != column {
                column = here;
                if let Some(i) = here {
                    out.push('\n');
                    self.heading(i, out);
                }
            }
            let run = self.unknown_run(k);
            if run > 1 {
                let last = &c.rows[k + run - 1];
                let _ = writeln!(out, "  {} to {}  letters not known", row.shown, last.shown);
                if !by_letter {
                    self.changes(&row.began, &last.ended, 2 + YEAR + 2, out);
                }
                k += run;
                continue;
            }
            self.year(row, out);
            k += 1;
        }
        if !c.without.is_empty() && !c.rows.is_empty() {
            out.push('\n');
        }
        for w in c.without.iter().filter(|_| !c.rows.is_empty()) {
            self.s.say(out, 0, &format!("No letters, {}: {}", span(w), w.why));
        }
    }

    /// A run of letters: its years and looks, the day its letters changed, and their outline where
    /// all have one.
    fn heading(&self, column: usize, out: &mut String) {
        let col = &self.chart.columns[column];
        let style = if col.style.is_empty() { "lettering not known" } else { &col.style };
        self.s.title(out, &format!("{}, {style}", col.shown));
        let mut said: Vec<String> = Vec::new();
        if let Some((when, always)) = self.usual_day(column) {
            let mostly = if always { "" } else { "mostly " };
            said.push(format!("the letter {mostly}changed {when}"));
        } else if self
            .letters(column)
            .any(|(r, l)| l.struck.is_some() && !l.carried && when(r).is_none())
        {
            said.push("the day on which the letter changed is not known".into());
        }
        said.extend(self.shared(column).map(|o| o.words(self.tables, "")));
        if !said.is_empty() {
            self.s.say(out, 2, &sentence(&said.join("; ")));
        }
        out.push('\n');
    }

    /// The outlines that all letters of a run have.
    fn shared(&self, column: usize) -> Option<Outlines> {
        let mut struck = self.letters(column).filter(|(_, l)| l.struck.is_some());
        let first = Outlines::of(struck.next()?.1);
        (first.known() && struck.all(|(_, l)| Outlines::of(l) == first)).then_some(first)
    }

    /// Where some letters of a run have an outline, it is told with the first of them, and how long
    /// it lasted.
    fn outline(&self, row: &Row, l: &ChartLetter, column: usize) -> Option<String> {
        let here = Outlines::of(l);
        if !here.known() || l.struck.is_none() || self.shared(column).is_some() {
            return None;
        }
        let same = |(_, l): &(&Row, &ChartLetter)| Outlines::of(l) == here;
        let before = self.letters(column).filter(|(r, _)| r.year < row.year);
        if before.last().as_ref().is_some_and(same) {
            return None;
        }
        let from_here = self.letters(column).filter(|(r, _)| r.year >= row.year);
        let (last, _) = from_here.take_while(same).last()?;
        // Beyond the years that are shown it may go on.
        let goes_on = self.letters(column).all(|(r, _)| r.year <= last.year)
            && last.year < self.chart.columns[column].to;
        let until = match goes_on {
            true => " from here on".to_string(),
            false if last.year == row.year => String::new(),
            false => format!(" until {}", last.shown),
        };
        Some(here.words(self.tables, &until))
    }

    fn letters(&self, column: usize) -> impl Iterator<Item = (&Row, &ChartLetter)> {
        self.chart.rows.iter().flat_map(move |r| {
            let cells = r.cells.iter().filter(move |c| c.column == column);
            cells.flat_map(|c| &c.letters).map(move |l| (r, l))
        })
    }

    /// When in the year most letters of a run came into use.
    fn usual_day(&self, column: usize) -> Option<(When, bool)> {
        let mut days: Vec<(When, usize)> = Vec::new();
        let of_run = |r: &&Row| r.cells.iter().any(|c| c.column == column);
        let rows = self.chart.rows.iter().filter(of_run);
        for day in rows.filter_map(when) {
            match days.iter_mut().find(|(d, _)| *d == day) {
                Some((_, n)) => *n += 1,
                None => days.push((day, 1)),
            }
        }
        let all: usize = days.iter().map(|(_, n)| n).sum();
        let (day, n) = days.into_iter().max_by_key(|(_, n)| *n)?;
        (n > 1 && n * 2 > all).then_some((day, n == all))
    }

    /// How many years from here on have nothing but a letter that is not known, and no change among
    /// them.
    fn unknown_run(&self, from: usize) -> usize {
        let rows = &self.chart.rows[from..];
        let unknown = |r: &Row| match &r.cells[..] {
            [Cell { letters, .. }] => {
                letters.len() == 1 && letters[0].struck.is_none() && !letters[0].disputed
            }
            _ => false,
        };
        let follows = |a: &Row, b: &Row| {
            (&a.office, a.year + 1, a.cells[0].column) == (&b.office, b.year, b.cells[0].column)
                && a.ended.is_empty()
                && b.began.is_empty()
        };
        let mut run = 0;
        while let Some(row) = rows.get(run).filter(|r| unknown(r))
            && (run == 0 || follows(&rows[run - 1], row))
        {
            run += 1;
        }
        run
    }

    /// The letters of one year, a line each, and what changed.
    fn year(&self, row: &Row, out: &mut String) {
        let mut years = row.shown.as_str();
        let two = row.cells.iter().map(|c| c.letters.len()).sum::<usize>() > 1;
        for cell in &row.cells {
            let usual = self.usual_day(cell.column).map(|u| u.0);
            for l in &cell.letters {
                let mut said = self.words(l);
                said.extend(self.day(row, l, two, usual.as_ref()));
                said.extend(match self.chart.asked.question {
                    Question::Letter => Outlines::of(l).told(self.tables),
                    _ => self.outline(row, l, cell.column),
                });
                self.line(out, years, &self.struck(l), &said.join("; "));
                years = "";
            }
        }
        if self.chart.asked.question == Question::Office {
            self.changes(&row.began, &row.ended, 2 + YEAR + 2, out);
        }
    }

    /// Every office of one year.
    fn offices(&self, out: &mut String) {
        let c = self.chart;
        let names =
            c.rows.iter().map(|r| &r.office_name).chain(c.without.iter().map(|w| &w.office_name));
        let wide = names.map(|n| n.chars().count()).max().unwrap_or(0) + 2;
        if !c.rows.is_empty() {
            out.push('\n');
        }
        for row in &c.rows {
            let mut office = row.office_name.as_str();
            let two = row.cells.iter().map(|c| c.letters.len()).sum::<usize>() > 1;
            for l in row.cells.iter().flat_map(|c| &c.letters) {
                let mut said = self.words(l);
                said.extend(self.day(row, l, two, None));
                said.extend(Outlines::of(l).told(self.tables));
                let years = if office.is_empty() { "" } else { &row.shown };
                let letter = self.struck(l);
                let at = self.letter;
                let left = format!("{office:<wide$}{years:<YEAR$}  {letter:<at$}");
                self.entry(out, &left, &said.join("; "));
                office = "";
            }
            self.changes(&row.began, &row.ended, 2 + wide, out);
        }
        if c.without.is_empty() || c.rows.is_empty() {
            return;
        }
        out.push_str("\nNo letter then:\n\n");
        for w in &c.without {
            let years = match w.from == w.to {
                true => String::new(),
                false => format!("none from {}: ", span(w)),
            };
            self.s.pair(out, &w.office_name, &format!("{years}{}", w.why), wide);
        }
    }

    fn line(&self, out: &mut String, years: &str, letter: &str, words: &str) {
        let wide = self.letter;
        let left = format!("{years:<YEAR$}  {letter:<wide$}");
        self.entry(out, &left, words);
    }

    /// What stands at the left, and words beside it in a column of their own.
    fn entry(&self, out: &mut String, left: &str, words: &str) {
        let at = left.chars().count() + 2;
        if words.is_empty() {
            let _ = writeln!(out, "  {}", left.trim_end());
        } else if self.s.width() < at + 24 {
            let _ = writeln!(out, "  {}", left.trim_end());
            self.s.say(out, 4, words);
        } else {
            self.s.hang(out, left, words, at);
        }
    }

    fn struck(&self, l: &ChartLetter) -> String {
        let letter = LetterStruck {
            struck: l.struck.clone(),
            lettering: l.lettering.clone(),
            case: l.case,
            outline: None,
        };
        self.s.struck(self.tables, &letter).unwrap_or_default()
    }

    /// How a letter looks, and every doubt of it.
    fn words(&self, l: &ChartLetter) -> Vec<String> {
        let rivals: Vec<String> = l
            .rivals
            .iter()
            .map(|r| match r.style == l.style {
                true => r.struck.clone(),
                false => format!("{} {}", r.style, r.struck),
            })
            .collect();
        let rivals = rivals.join(" or ");
        if l.struck.is_none() {
            return vec![match l.disputed {
                true => format!("letter not known: sources say {rivals}"),
                false => "letter not known".into(),
            }];
        }
        let mut out = Vec::new();
        out.push(match l.style.as_str() {
            "" => "lettering not known".to_string(),
            style if l.lettering.is_none() => format!("{style}, lettering not known"),
            style => style.to_string(),
        });
        if l.carried {
            out.push(format!("carried on from {}", l.since));
        }
        if l.disputed {
            out.push(format!("disputed: other sources say {rivals}"));
        }
        match (l.confidence, l.basis) {
            (Confidence::Low, _) => out.push("by a doubtful table".into()),
            (_, Basis::Memory) => out.push("by memory".into()),
            _ => {}
        }
        if l.confidence != Confidence::Low {
            match (l.lettering_confidence, l.case_confidence) {
                (Confidence::Low, Confidence::Low) => {
                    out.push("lettering and case doubtful".into())
                }
                (Confidence::Low, _) => out.push("lettering doubtful".into()),
                (_, Confidence::Low) => out.push("case doubtful".into()),
                _ => {}
            }
        }
        out
    }

    /// The days of a letter, where they are not those of its run.
    fn day(&self, row: &Row, l: &ChartLetter, two: bool, usual: Option<&When>) -> Option<String> {
        l.struck.as_ref()?;
        if two {
            return match (&l.begins, &l.ends) {
                (Some(a), Some(b)) => Some(format!("{} to {}", day(a), day(b))),
                (Some(a), None) => Some(format!("from {}", day(a))),
                (None, Some(b)) => Some(format!("to {}", day(b))),
                (None, None) => None,
            };
        }
        match (when(row), usual) {
            // A letter of the calendar year needs no day.
            _ if l.carried || row.shown.parse() == Ok(row.year) => None,
            // Among years of one letter a day that is not known tells nothing.
            _ if self.chart.asked.question == Question::Letter && row.begins.is_none() => None,
            (Some(w), usual) if Some(&w) == usual => None,
            (Some(w), _) => Some(w.from()),
            (None, Some(_)) => Some("day not known".into()),
            (None, None) => None,
        }
    }

    /// What began and ended with a year's letter.
    fn changes(&self, began: &[String], ended: &[String], indent: usize, out: &mut String) {
        let indent = if self.s.width() < 60 { 4 } else { indent };
        for (what, list) in [("began", began), ("ended", ended)] {
            if list.is_empty() {
                continue;
            }
            let shown = if list.len() > MOST + 1 { MOST } else { list.len() };
            let mut said = list[..shown].join("; ");
            if list.len() > shown {
                let _ = write!(said, "; and {} more", list.len() - shown);
            }
            let left = format!("{}{what}:", " ".repeat(indent - 2));
            let at = left.chars().count() + 1;
            self.s.hang(out, &left, &said, at);
        }
    }

    fn foot(&self, out: &mut String) {
        let c = self.chart;
        if !c.sources.is_empty() {
            out.push('\n');
            self.s.say(out, 0, &format!("Sources: {}.", c.sources.join("; ")));
        }
        let told = c.rows.iter().any(|r| r.began.len() > MOST + 1 || r.ended.len() > MOST + 1);
        if told && c.asked.question != Question::Letter {
            self.s.say(out, 0, "puncheon expect, with an office and a year, tells every change.");
        }
        for said in c.conventions.iter().chain(&c.cautions) {
            self.s.say(out, 0, said);
        }
    }
}

/// The outlines of a letter, by their words.
#[derive(Clone, Default, PartialEq, Eq)]
struct Outlines {
    silver: Option<String>,
    gold: Option<String>,
}

impl Outlines {
    fn of(l: &ChartLetter) -> Outlines {
        Outlines { silver: l.outline_silver.clone(), gold: l.outline_gold.clone() }
    }

    /// "outline on silver: oval"; `until` stands before the colon.
    fn words(&self, tables: &Tables, until: &str) -> String {
        let image = tables.image();
        let name = |id: &String| {
            (0..image.meta(Meta::Outlines))
                .find(|i| image.outline_id(*i) == id)
                .map_or(id.as_str(), |i| image.outline_name(i))
                .to_string()
        };
        match (&self.silver, &self.gold) {
            (Some(s), Some(g)) if s == g => format!("outline{until}: {}", name(s)),
            (Some(s), Some(g)) => format!("outline{until}: {}, on gold {}", name(s), name(g)),
            (Some(s), None) => format!("outline on silver{until}: {}", name(s)),
            (None, Some(g)) => format!("outline on gold{until}: {}", name(g)),
            (None, None) => String::new(),
        }
    }

    fn known(&self) -> bool {
        *self != Outlines::default()
    }

    /// The same, if anything is known.
    fn told(&self, tables: &Tables) -> Option<String> {
        self.known().then(|| self.words(tables, ""))
    }
}

/// "1697 to 1700".
fn span(w: &Without) -> String {
    if w.from == w.to { w.from.to_string() } else { format!("{} to {}", w.from, w.to) }
}

fn sentence(s: &str) -> String {
    let mut c = s.chars();
    let first = c.next().map(|f| f.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), c.as_str())
}

/// "27 March 1697" of an ISO day.
fn day(iso: &str) -> String {
    puncheon::date_in_words(iso)
}

/// When in its year a letter came into use.
#[derive(PartialEq, Eq)]
struct When {
    day: Day,
    /// By a doubtful table.
    doubtful: bool,
}

/// The day of a year, as far as it is known.
#[derive(PartialEq, Eq)]
enum Day {
    /// "29 May".
    On(String),
    /// "July".
    In(String),
    /// "29 May" and "1 November".
    Between(String, String),
}

impl When {
    /// "from 29 May", "from a day in July".
    fn from(&self) -> String {
        match self.day {
            Day::On(ref day) => format!("from {day}{}", self.doubt()),
            _ => format!("from a day {self}"),
        }
    }

    fn doubt(&self) -> &'static str {
        if self.doubtful { ", by a doubtful table" } else { "" }
    }
}

/// "on 29 May", "in July", "between 29 May and 1 November".
impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match &self.day {
            Day::On(day) => write!(f, "on {day}")?,
            Day::In(month) => write!(f, "in {month}")?,
            Day::Between(first, last) => write!(f, "between {first} and {last}")?,
        }
        f.write_str(self.doubt())
    }
}

fn when(row: &Row) -> Option<When> {
    let day = match (&row.begins, &row.begins_between) {
        (Some(day), _) => Day::On(day_of_year(day)),
        (None, Some([a, b])) => {
            let (first, last) = (day_of_year(a), day_of_year(b));
            let month = last.trim_start_matches(|c: char| !c.is_alphabetic());
            match a.ends_with("-01") && ends_its_month(b) && first.ends_with(month) {
                true => Day::In(month.to_string()),
                false => Day::Between(first, last),
            }
        }
        (None, None) => return None,
    };
    Some(When { day, doubtful: row.begins_confidence == Some(Confidence::Low) })
}

/// Is an ISO day the last of its month?
fn ends_its_month(iso: &str) -> bool {
    let mut parts = iso.split('-').skip(1).map(str::parse::<u8>);
    let month = parts.next().and_then(Result::ok);
    let last = month.and_then(|m| MONTH_ENDS.get(usize::from(m).wrapping_sub(1)).copied());
    last.is_some() && last == parts.next().and_then(Result::ok)
}

/// "27 March", the same in every year.
fn day_of_year(iso: &str) -> String {
    let words = day(iso);
    words.rsplit_once(' ').map_or(words.clone(), |(d, _)| d.to_string())
}
