//! One piece at the bench: what was seen line by line, what is left, and the best next question.

use std::cmp::Reverse;

use puncheon_schema::entry::{Case, Slot};
use puncheon_schema::image::{Image, Meets, Meta, RowView, Sense};

use crate::engine::fit::narrow::{Group, Hit, Narrow, Options};
use crate::json::reading::{Kind, Outcome, OutsideBecause, Reading};
use crate::lexis::phrase::{Is, Pieces};
use crate::lexis::sighting::{LetterSeen, What};
use crate::lexis::token::Text;
use crate::tables::Tables;
use crate::voice::letters::shown as shown_letter;
use crate::voice::sentence::with_article;
use crate::voice::sighting::{reads_as, slot_name};

/// The most answers that are numbered: one key answers each.
const MOST_ANSWERS: usize = 9;
/// The most years that are named.
const MOST_LEADING: usize = 4;
/// Years that an answer leaves and that are named with it.
const FEW: usize = 3;
/// A question is worth an answer if on average it leaves no more than this part of the years.
const WORTH_ASKING: f64 = 0.97;

/// One mark that was typed, or an answer to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its words.
    pub words: String,
    /// It is left out for the time being: what if it is misread?
    pub aside: bool,
    /// A comma parts it from the line before, with which it was typed; else a semicolon does.
    comma: bool,
}

impl Line {
    fn new(words: &str) -> Line {
        Line { words: words.to_string(), aside: false, comma: false }
    }
}

/// A feature that can be asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Feature {
    /// Which letter it is.
    Letter,
    /// Whether it is capital or small, and its lettering.
    Style,
    /// The shape round it.
    Outline,
    /// The mark in a place of the set.
    Mark(Slot),
    /// Another town's mark beside the one that was described.
    Beside,
}

/// What was seen of one piece, mark by mark.
#[derive(Clone, Debug, Default)]
pub struct Piece {
    now: State,
    /// What stood before each step, to be taken back.
    before: Vec<State>,
}

#[derive(Clone, Debug, Default)]
struct State {
    lines: Vec<Line>,
    /// Features that were answered or could not be made out.
    asked: Vec<Feature>,
}

impl Piece {
    /// Nothing seen yet.
    pub fn new() -> Piece {
        Piece::default()
    }

    /// The lines, oldest first.
    pub fn lines(&self) -> &[Line] {
        &self.now.lines
    }

    /// Adds what was typed, each mark as a line of its own, so that each can be set aside. False if
    /// nothing of it was understood: then it is not kept.
    pub fn add(&mut self, tables: &Tables, typed: &str) -> bool {
        let known = |lines: &[Line]| {
            let seen = crate::sightings(tables, &described(lines, |_| true));
            (seen.signature(), seen.claimed.len())
        };
        // Words of which only the question mark counts, or a mark's name, ask something; and those that
        // say no more than that it cannot be read would wipe out the mark before.
        let plain = typed.trim_end_matches(['?', ' ']);
        let asks =
            plain != typed && (names_only(tables, plain) || !self.clone().add(tables, plain));
        if asks || cannot_tell(tables, typed, None) {
            return false;
        }
        let before = known(self.lines());
        let new = marks(tables, typed);
        // A word that cannot stand alone, such as "worn", goes with the mark before it.
        for comma in [false, true] {
            let mut lines = self.now.lines.clone();
            lines.extend(new.iter().cloned());
            if let Some(first) = lines.get_mut(self.now.lines.len()) {
                first.comma = comma;
            }
            if known(&lines) != before {
                self.step(|s| s.lines = lines);
                return true;
            }
        }
        false
    }

    /// Takes what was typed as the answer to a question: the words of one of its answers, the style of
    /// its letter, whole or in part, or a letter that by itself would say something of a year. False
    /// if it is none of these, or any other letter, which is a mark like any other: what was typed may
    /// say its case.
    pub fn reply(&mut self, tables: &Tables, question: &Question, typed: &str) -> bool {
        if question.feature == Feature::Letter {
            let words = dated_letter(tables, typed);
            self.now_says(words.as_deref());
            return words.is_some();
        }
        let same = |c: &&Choice| [&c.shown, &c.words].iter().any(|w| w.eq_ignore_ascii_case(typed));
        if let Some(choice) = question.answers.iter().find(same) {
            self.answer(question.feature, &choice.words);
            return true;
        }
        let Some(letter) = &question.letter else {
            return false;
        };
        let words = style_words(typed, letter);
        let seen = crate::sightings(tables, &words);
        let styled = match seen.sightings.as_slice() {
            [one] => matches!(&one.what, What::Letter(l)
                if l.values.len() == 1 && (l.case.is_some() || l.lettering.is_some())),
            _ => false,
        };
        let whole = styled && seen.remarks.is_empty();
        self.now_says(whole.then_some(&words));
        whole
    }

    /// Adds a line, if there is one.
    fn now_says(&mut self, words: Option<&str>) {
        if let Some(words) = words {
            self.step(|s| s.lines.push(Line::new(words)));
        }
    }

    /// The piece with one mark more, if a year fits all of it then; none if it is no mark.
    pub fn with(&self, tables: &Tables, options: &Options, typed: &str) -> Option<Piece> {
        let mut with = self.clone();
        let fits = with.add(tables, typed)
            && crate::read(tables, &with.description(), options).outcome == Outcome::Fits;
        fits.then_some(with)
    }

    /// Takes back the last step, whatever it was. False if there is none.
    pub fn undo(&mut self) -> bool {
        match self.before.pop() {
            Some(s) => {
                self.now = s;
                true
            }
            None => false,
        }
    }

    /// Puts lines aside, or back, in one step. False if one of them is not there.
    pub fn set_aside(&mut self, lines: &[usize], aside: bool) -> bool {
        let there = lines.iter().all(|l| *l < self.now.lines.len());
        if there {
            self.step(|s| lines.iter().for_each(|l| s.lines[*l].aside = aside));
        }
        there
    }

    /// Takes lines out, in one step. False if one of them is not there.
    pub fn remove(&mut self, lines: &[usize]) -> bool {
        let there = lines.iter().all(|l| *l < self.now.lines.len());
        if there {
            let mut i = 0;
            self.step(|s| {
                s.lines.retain(|_| {
                    i += 1;
                    !lines.contains(&(i - 1))
                });
            });
        }
        there
    }

    /// Puts other words in a line's place. False if there is no such line.
    pub fn change(&mut self, line: usize, words: &str) -> bool {
        let there = line < self.now.lines.len();
        if there {
            self.step(|s| s.lines[line].words = words.to_string());
        }
        there
    }

    /// Answers a question: adds the words as a line. The same is not asked again.
    pub fn answer(&mut self, feature: Feature, words: &str) {
        self.step(|s| {
            s.lines.push(Line::new(words));
            s.asked.push(feature);
        });
    }

    /// A feature that cannot be made out is not asked about again.
    pub fn pass(&mut self, feature: Feature) {
        self.step(|s| s.asked.push(feature));
    }

    /// All that was seen and is not aside, as one description.
    pub fn description(&self) -> String {
        described(self.lines(), |_| true)
    }

    fn step(&mut self, change: impl FnOnce(&mut State)) {
        self.before.push(self.now.clone());
        change(&mut self.now);
    }
}

/// Lines as one description, but for those that are aside or left out.
fn described(lines: &[Line], with: impl Fn(usize) -> bool) -> String {
    let mut out = String::new();
    let lines = lines.iter().enumerate();
    for (_, l) in lines.filter(|(i, l)| !l.aside && with(*i)) {
        if !out.is_empty() {
            out.push_str(if l.comma { ", " } else { "; " });
        }
        out.push_str(&l.words);
    }
    out
}

/// Does a line say that something cannot be made out, and name no mark: "worn smooth"? A letter named is
/// the one that `asked` is about. Bare wear or doubt ("worn", "no idea") says so of what is asked, and
/// is else not enough: a worn mark may be read.
pub fn cannot_tell(tables: &Tables, typed: &str, asked: Option<Feature>) -> bool {
    let letter = matches!(asked, Some(Feature::Letter | Feature::Style | Feature::Outline));
    let said = |what: Is| what == Is::Sense(Sense::Illegible);
    let weakly =
        |what: Is| asked.is_some() && matches!(what, Is::Sense(Sense::Worn | Sense::Doubt));
    let beside = |what: Is| {
        is_small(what)
            || matches!(what, Is::Sense(Sense::FalseFriend | Sense::NothingElse))
            || letter && what == Is::Sense(Sense::LetterNoun)
    };
    let all = pieces(tables, typed);
    let plainly = all.iter().any(|w| said(*w));
    (plainly || all.iter().any(|w| weakly(*w)))
        // A word that is not known may be a mark that is misspelt.
        && all
            .into_iter()
            .all(|w| said(w) || beside(w) || plainly && w == Is::Unknown)
}

/// Does a line say that something is not there, and not what: "none", "there isn't one"?
pub fn says_none(tables: &Tables, typed: &str) -> bool {
    let said = |what: Is| {
        matches!(what, Is::Sense(Sense::Absent | Sense::AbsentAfter | Sense::NothingElse))
    };
    let beside =
        |what: Is| matches!(what, Is::Sense(Sense::Filler | Sense::Article | Sense::MarkNoun));
    let all = pieces(tables, typed);
    all.iter().any(|w| said(*w)) && all.into_iter().all(|w| said(w) || beside(w))
}

/// The words that say a letter that was typed beside a year; none if it is something else. By itself
/// "c 1902" is about that year.
fn dated_letter(tables: &Tables, typed: &str) -> Option<String> {
    let (letter, year) = typed.split_once([' ', ','])?;
    let one = letter.chars().count() == 1 && letter.chars().all(char::is_alphabetic);
    let is_letter = |w: &What| matches!(w, What::Letter(_));
    let by_itself = crate::sightings(tables, typed);
    if !one || by_itself.sightings.iter().any(|s| is_letter(&s.what)) {
        return None;
    }
    let words = format!("{}, {}", letter_words(letter), year.trim());
    let seen = crate::sightings(tables, &words);
    let read = |w: &What| matches!(w, What::Letter(l) if l.values.len() == 1);
    let whole = matches!(seen.sightings.as_slice(), [one] if read(&one.what));
    (whole && !seen.claimed.is_empty() && seen.remarks.is_empty()).then_some(words)
}

/// Does a line name a mark's place and nothing of the mark: "maker"?
fn names_only(tables: &Tables, typed: &str) -> bool {
    let noun = |what: Is| {
        matches!(
            what,
            Is::Sense(
                Sense::SlotNoun(_) | Sense::SponsorNoun | Sense::LetterNoun | Sense::StandardNoun
            )
        )
    };
    pieces(tables, typed).into_iter().all(|w| noun(w) || is_small(w))
}

fn pieces(tables: &Tables, typed: &str) -> Vec<Is> {
    let image = tables.image();
    let cut = Pieces::cut(image, Text::new(image, typed));
    cut.pieces.into_iter().map(|p| p.what).collect()
}

/// Does a word say nothing of a mark by itself?
fn is_small(what: Is) -> bool {
    matches!(
        what,
        Is::Sense(
            Sense::Filler
                | Sense::Article
                | Sense::MarkNoun
                | Sense::Worn
                | Sense::Doubt
                | Sense::And
                | Sense::Or
        ) | Is::Question
    )
}

/// What was typed, mark by mark: parted at the commas and semicolons between two marks, never within
/// one ("leopard's head, crowned").
fn marks(tables: &Tables, typed: &str) -> Vec<Line> {
    let mut seen = crate::sightings(tables, typed).sightings;
    seen.sort_by_key(|s| (s.start, s.end));
    let (mut out, mut from, mut comma) = (Vec::new(), 0, false);
    for pair in seen.windows(2) {
        let gap = typed.get(pair[0].end..pair[1].start).unwrap_or_default();
        let Some(at) = gap.rfind([',', ';']) else {
            continue;
        };
        let at = pair[0].end + at;
        out.push(Line { words: typed[from..at].trim().to_string(), aside: false, comma });
        comma = typed[at..].starts_with(',');
        from = at + 1;
    }
    out.push(Line { words: typed[from..].trim().to_string(), aside: false, comma });
    out
}

/// What is left of the years, and what to ask.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Left {
    /// The whole reading of what was seen.
    pub reading: Reading,
    /// Office-years that fit best.
    pub years: usize,
    /// Office-years that fit only if a mark is worn, missing or taken for another, or whose letter
    /// is not known.
    pub more: usize,
    /// Offices among those that fit best.
    pub offices: usize,
    /// First and last letter year of those left.
    pub span: Option<(i32, i32)>,
    /// The likeliest of them, in words; none where no letter was read.
    pub leading: Vec<String>,
    /// The best question; none if the marks tell the rest no further apart.
    pub question: Option<Question>,
    /// Where nothing fits: what one line less would leave, most first; the line, and office-years.
    pub without: Vec<(usize, usize)>,
}

/// A question about one feature.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Question {
    /// What it is about.
    pub feature: Feature,
    /// In words.
    pub asks: String,
    /// Its answers, the likeliest first. There may be more than can be numbered.
    pub answers: Vec<Choice>,
    /// How many of them have a number, from 1 on: none of a letter, and none from the first number
    /// on that may as well be a figure struck on the piece.
    pub numbered: usize,
    /// Office-years that are left on average.
    pub leaves: f64,
    /// The words that say that there is one, and not which, to be added as a line; none where that
    /// answers nothing.
    pub some: Option<String>,
    /// Where the style of a letter is asked, the letter.
    letter: Option<String>,
}

/// An answer to a question.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Choice {
    /// As it is shown.
    pub shown: String,
    /// The words that say it, to be added as a line.
    pub words: String,
    /// Office-years it would leave.
    pub leaves: usize,
    /// Those, where they are few; their office is named where it is not the same for all.
    pub years: Vec<String>,
}

/// Words and phrases of the vocabulary that go on from what was typed, the shortest first. Of each
/// meaning only the plainest phrase is offered, and its words.
pub fn completions(tables: &Tables, typed: &str) -> Vec<String> {
    // Phrases stand without apostrophes.
    let begun = typed.trim_start().to_lowercase().replace(['\'', '\u{2019}'], "");
    if begun.is_empty() {
        return Vec::new();
    }
    let image = tables.image();
    let phrases = (0..image.meanings()).map(|m| image.meaning_said(m));
    let mut out: Vec<String> = phrases
        .flat_map(|p| p.split(' ').chain([p]))
        .filter(|p| p.len() > begun.len() && p.to_lowercase().starts_with(&begun))
        .map(str::to_string)
        .collect();
    out.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    out.dedup();
    out
}

/// What can stand in place of the end of a line that was typed so far: the byte from which on, and the
/// words. A phrase of the whole clause comes before one of its last word.
pub fn complete(tables: &Tables, line: &str) -> (usize, Vec<String>) {
    let clause = line.rfind([',', ';']).map_or(0, |i| i + 1);
    let from = line.len() - line[clause..].trim_start().len();
    let offered = completions(tables, &line[from..]);
    match line[from..].rfind(' ') {
        Some(space) if offered.is_empty() => {
            let start = from + space + 1;
            (start, completions(tables, &line[start..]))
        }
        _ => (from, offered),
    }
}

/// Works out what is left.
pub fn left(tables: &Tables, piece: &Piece, options: &Options) -> Left {
    let description = piece.description();
    let reading = crate::read(tables, &description, options);
    let image = tables.image();
    let seen = crate::sightings(tables, &description);
    let n = Narrow::new(image, &seen.sightings, options);
    // Nothing but absences still leaves every year.
    let denied = reading.outcome == Outcome::Outside
        && reading.outside_because != Some(OutsideBecause::NothingUnderstood);
    let rows = if denied { Rows::default() } else { Rows::likeliest(&n) };
    let groups = {
        let mut words = vec![0u64; image.width()];
        for r in &rows.rows {
            words[r / 64] |= 1 << (r % 64);
        }
        let mut groups = n.merge(n.group(&words, (0, 0)));
        groups.sort_unstable_by_key(|g| g.key);
        groups
    };
    let years = rows.rows.iter().map(|r| image.row(*r).letter().year());
    let without = match reading.outcome {
        Outcome::Nears | Outcome::None => without_one(tables, piece, options),
        _ => Vec::new(),
    };
    Left {
        years: rows.count,
        offices: rows.offices,
        more: rows.more,
        span: years.clone().min().zip(years.max()),
        leading: leading(image, &groups),
        question: question(&n, &rows, &piece.now.asked)
            .map(|q| Question { numbered: numbered(tables, piece, options, &q), ..q }),
        without,
        reading,
    }
}

/// How many answers of a question are numbered.
fn numbered(tables: &Tables, piece: &Piece, options: &Options, q: &Question) -> usize {
    let most = match q.feature {
        Feature::Letter => 0,
        _ => q.answers.len().min(MOST_ANSWERS),
    };
    // Few figures are marks at all, and that is soon seen.
    let struck = |n: &usize| {
        let figure = n.to_string();
        Piece::new().add(tables, &figure) && piece.with(tables, options, &figure).is_some()
    };
    (1..=most).find(struck).map_or(most, |n| n - 1)
}

/// Names office-years, once each; the office is named where it is not that of the one before. Runs of
/// years whose letter was not read tell nothing, and are left out.
fn leading(image: &Image, groups: &[Group]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut named: Vec<(usize, i32)> = Vec::new();
    for g in groups.iter().filter(|g| !g.run) {
        let letter = image.row(g.best.row as usize).letter();
        let office = letter.office();
        if named.contains(&(office, g.year)) {
            continue;
        }
        let shown = shown_letter(letter, g.year, g.to);
        out.push(match named.last() {
            Some((last, _)) if *last == office => shown,
            _ => format!("{} {shown}", image.office(office).name()),
        });
        named.push((office, g.year));
        if out.len() == MOST_LEADING {
            break;
        }
    }
    out
}

/// What each line less would leave.
fn without_one(tables: &Tables, piece: &Piece, options: &Options) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = (0..piece.lines().len())
        .filter(|i| !piece.lines()[*i].aside)
        .filter_map(|i| {
            let description = described(piece.lines(), |k| k != i);
            let seen = crate::sightings(tables, &description);
            if seen.sightings.is_empty() {
                return None;
            }
            let n = Narrow::new(tables.image(), &seen.sightings, options);
            let count = Rows::likeliest(&n).count;
            (count > 0).then_some((i, count))
        })
        .collect();
    out.sort_by_key(|(i, count)| (Reverse(*count), *i));
    out
}

/// Rows that are left, each with the number of its office-year.
#[derive(Default)]
struct Rows {
    rows: Vec<usize>,
    office_years: Vec<u32>,
    /// Office-years among them.
    count: usize,
    /// Offices among them.
    offices: usize,
    /// Further office-years, of more strain.
    more: usize,
}

impl Rows {
    /// Those that the sightings meet best: where a letter was read, a year whose letter is not known
    /// comes after every year that has it, and then the least strained.
    fn likeliest(n: &Narrow) -> Rows {
        let rank = |h: &Hit| (n.unread(n.image.row(h.row as usize)), h.strain);
        let fits = n.fits();
        let hits: Vec<Hit> = n.hits(&fits).collect();
        let best = hits.iter().map(rank).min();
        let mut out = Rows::default();
        let (mut last, mut last_of_all, mut all) = (None, None, 0);
        for h in &hits {
            let letter = n.image.row(h.row as usize).letter();
            let key = Some((letter.office(), letter.year()));
            // Rows stand in order of office and letter year.
            if key != last_of_all {
                last_of_all = key;
                all += 1;
            }
            if Some(rank(h)) > best {
                continue;
            }
            if key != last {
                let before = last.map(|(office, _)| office);
                out.offices += usize::from(before != Some(letter.office()));
                last = key;
                out.count += 1;
            }
            out.rows.push(h.row as usize);
            out.office_years.push(out.count as u32 - 1);
        }
        out.more = all - out.count;
        out
    }

    /// Office-years among the rows that a test keeps.
    fn kept(&self, keeps: impl Fn(usize) -> bool) -> usize {
        let (mut n, mut last) = (0, u32::MAX);
        for (k, y) in self.office_years.iter().enumerate() {
            if *y != last && keeps(k) {
                last = *y;
                n += 1;
            }
        }
        n
    }
}

/// The question that on average leaves the fewest office-years; none if no answer rules any out.
fn question(n: &Narrow, rows: &Rows, asked: &[Feature]) -> Option<Question> {
    if rows.count < 2 {
        return None;
    }
    let asks = Asks::new(n, rows);
    // The easiest to make out first: whether there is a head at all, before which way a lion looks.
    let slots = [
        Slot::Duty,
        Slot::Town,
        Slot::Import,
        Slot::Convention,
        Slot::Extra,
        Slot::Standard,
        Slot::Commemorative,
    ];
    let mut best: Option<Question> = None;
    let all = [Feature::Letter, Feature::Style]
        .into_iter()
        .chain(slots.map(Feature::Mark))
        .chain([Feature::Beside, Feature::Outline]);
    // Both are about the same marks: who cannot tell the one cannot tell the other.
    let town = [Feature::Beside, Feature::Mark(Slot::Town)];
    let town_asked = town.iter().any(|f| asked.contains(f));
    for feature in all.filter(|f| !(asked.contains(f) || town_asked && town.contains(f))) {
        let found = match feature {
            Feature::Letter => asks.letter(),
            Feature::Style => asks.style(),
            Feature::Outline => asks.outline(),
            Feature::Mark(slot) => asks.mark(slot),
            Feature::Beside => asks.beside(),
        };
        // Of equals the first is the easiest to see.
        if let Some(q) = found
            && best.as_ref().is_none_or(|b| q.leaves < b.leaves - 1e-9)
        {
            best = Some(q);
        }
    }
    best
}

/// The rows left, and what can be asked of them.
struct Asks<'a, 'n> {
    n: &'n Narrow<'a>,
    rows: &'n Rows,
    views: Vec<RowView<'a>>,
}

impl<'a, 'n> Asks<'a, 'n> {
    fn new(n: &'n Narrow<'a>, rows: &'n Rows) -> Asks<'a, 'n> {
        Asks { n, rows, views: rows.rows.iter().map(|r| n.image.row(*r)).collect() }
    }

    /// A question, if some answer rules something out. `own` is the answer that a row itself would
    /// give, and `keeps` whether an answer leaves a row.
    fn question(
        &self,
        feature: Feature,
        asks: String,
        answers: Vec<(String, String)>,
        own: impl Fn(usize) -> Option<usize>,
        keeps: impl Fn(usize, usize) -> bool,
    ) -> Option<Question> {
        let leaves: Vec<usize> =
            (0..answers.len()).map(|a| self.rows.kept(|k| keeps(a, k))).collect();
        // Each office-year gives its answer once; where the table is silent, nothing is learnt.
        let (mut sum, mut last) = (0, u32::MAX);
        let mut given = vec![0; answers.len()];
        for (k, y) in self.rows.office_years.iter().enumerate() {
            if *y != last {
                last = *y;
                let answer = own(k);
                sum += answer.map_or(self.rows.count, |a| leaves[a]);
                if let Some(a) = answer {
                    given[a] += 1;
                }
            }
        }
        let average = sum as f64 / self.rows.count as f64;
        if average > self.rows.count as f64 * WORTH_ASKING {
            return None;
        }
        // The answers that most years give come first.
        let mut order: Vec<usize> = (0..answers.len()).collect();
        order.sort_by_key(|a| {
            let (given, leaves) = (given[*a], leaves[*a]);
            (Reverse(given), Reverse(leaves), answers[*a].0.as_str())
        });
        let answers = order
            .into_iter()
            .map(|a| Choice {
                shown: answers[a].0.clone(),
                words: answers[a].1.clone(),
                leaves: leaves[a],
                years: if leaves[a] > FEW { Vec::new() } else { self.years(|k| keeps(a, k)) },
            })
            .collect();
        Some(Question {
            feature,
            asks,
            answers,
            numbered: 0,
            leaves: average,
            some: None,
            letter: None,
        })
    }

    /// The office-years that a test keeps, in words.
    fn years(&self, keeps: impl Fn(usize) -> bool) -> Vec<String> {
        let image = self.n.image;
        let office = |v: &RowView| v.letter().office();
        let one_office = self.views.windows(2).all(|w| office(&w[0]) == office(&w[1]));
        let mut out: Vec<String> = Vec::new();
        for (_, v) in self.views.iter().enumerate().filter(|(k, _)| keeps(*k)) {
            let l = v.letter();
            let shown = shown_letter(l, l.year(), l.to());
            let said = match one_office {
                true => shown,
                false => format!("{} {shown}", image.office(l.office()).name()),
            };
            if !out.contains(&said) {
                out.push(said);
            }
        }
        out
    }

    /// The date letters described: an answer about a letter's style is one more.
    fn letters(&self) -> impl Iterator<Item = &LetterSeen> {
        self.n.sightings.iter().filter_map(|s| match &s.what {
            What::Letter(l) => Some(l),
            _ => None,
        })
    }

    /// The letter read, if it is one and not one of several.
    fn read(&self) -> Option<&str> {
        let one = self.letters().find_map(|l| match l.values.as_slice() {
            [one] => Some(one.shown.as_str()),
            _ => None,
        });
        one.map(|l| l.trim_matches(['{', '}']))
    }

    fn letter(&self) -> Option<Question> {
        if self.letters().any(|l| !l.values.is_empty()) || self.absent(Kind::Letter) {
            return None;
        }
        let image = self.n.image;
        let mut values: Vec<usize> = Vec::new();
        let mut place = vec![usize::MAX; image.meta(Meta::Values)];
        for v in self.views.iter().filter_map(|v| v.letter().value()) {
            if place[v] == usize::MAX {
                place[v] = values.len();
                values.push(v);
            }
        }
        let own: Vec<Option<usize>> =
            self.views.iter().map(|v| v.letter().value().map(|v| place[v])).collect();
        let answers = values
            .iter()
            .map(|v| (image.value(*v).to_string(), letter_words(image.value(*v))))
            .collect();
        self.question(
            Feature::Letter,
            "Which letter is the date letter?".into(),
            answers,
            |k| own[k],
            |a, k| own[k].is_none_or(|o| o == a),
        )
    }

    fn style(&self) -> Option<Question> {
        let image = self.n.image;
        // A letter that was not read, or is one of two, is first to be settled itself.
        let letter = self.read()?;
        let (case_said, lettering_said) = (
            self.letters().any(|l| l.case.is_some()),
            self.letters().any(|l| l.lettering.is_some()),
        );
        // An answer that says no more than was said is none, and one that says less than can be seen
        // would have to be asked about again: a letter whose case or lettering the table lacks is
        // kept by every answer that it could be.
        let style = |v: &RowView| {
            let l = v.letter();
            let tells = !lettering_said || l.case() != Case::Either && !case_said;
            let whole = l.lettering().is_some() && l.case() != Case::Either;
            (tells && whole).then(|| (l.case(), l.lettering()))
        };
        let mut styles: Vec<(Case, Option<usize>)> = Vec::new();
        let own: Vec<Option<usize>> = self
            .views
            .iter()
            .map(|v| {
                let s = style(v)?;
                Some(styles.iter().position(|x| *x == s).unwrap_or_else(|| {
                    styles.push(s);
                    styles.len() - 1
                }))
            })
            .collect();
        let answers = styles
            .iter()
            .map(|(case, lettering)| {
                let case = match case {
                    Case::Upper => "capital",
                    Case::Lower => "small",
                    Case::Either => "",
                };
                let lettering = lettering.map_or("", |l| image.lettering(l).name());
                let said = format!("{case} {lettering}");
                let said = said.trim().to_string();
                let words = style_words(&said, letter);
                (said, words)
            })
            .collect();
        // As a stated case and lettering are held against a row: agreeing or silent.
        let meets = |a: usize, k: usize| {
            let (case, lettering) = styles[a];
            let row = self.rows.rows[k];
            let case =
                case == Case::Either || (0..2).any(|w| image.case_bits(case as usize, w).has(row));
            let lettering =
                lettering.is_none_or(|l| (0..2).any(|w| image.lettering_bits(l, w).has(row)));
            case && lettering
        };
        let question = self.question(
            Feature::Style,
            format!("Which {letter} is it?"),
            answers,
            |k| own[k],
            meets,
        );
        question.map(|q| Question { letter: Some(letter.to_string()), ..q })
    }

    fn outline(&self) -> Option<Question> {
        let image = self.n.image;
        if self.letters().any(|l| l.outline.is_some()) {
            return None;
        }
        let mut outlines: Vec<usize> = Vec::new();
        let own: Vec<Option<usize>> = self
            .views
            .iter()
            .map(|v| {
                let o = v.letter().outline(image.standard(v.standard()).metal())?;
                Some(outlines.iter().position(|x| *x == o).unwrap_or_else(|| {
                    outlines.push(o);
                    outlines.len() - 1
                }))
            })
            .collect();
        let letter = self.read().unwrap_or_default();
        let answers = outlines
            .iter()
            .map(|o| {
                let name = image.outline_name(*o);
                let name_in = with_article(name);
                let words = format!("date letter {letter} in {name_in}");
                (name.to_string(), words.replace("  ", " "))
            })
            .collect();
        self.question(
            Feature::Outline,
            "What shape is the punch of the letter?".into(),
            answers,
            |k| own[k],
            |a, k| own[k].is_none_or(|o| o == a),
        )
    }

    fn mark(&self, slot: Slot) -> Option<Question> {
        let image = self.n.image;
        let kind = What::Slot(slot).kind(image);
        // Said to be missing, a mark was looked for.
        let absent = self.absent(kind);
        // The town's mark stands in for an import mark, and a figure for a standard's.
        let other = match kind {
            Kind::Town => self.described(Kind::Import),
            Kind::Import => self.described(Kind::Town),
            _ => false,
        };
        if absent || other {
            return None;
        }
        let sets = Shown::of(image, &self.views, slot);
        let described =
            self.described(kind) || kind == Kind::Standard && self.described(Kind::Fineness);
        // Described in broad words, it is there.
        let none = !described && sets.some_without;
        let name = slot_name(slot);
        // A broad word may still be told apart; the name of a mark that was struck is told.
        let told = self.n.sightings.iter().any(|s| match &s.what {
            What::Device(d) => sets.devices.iter().any(|x| d.contains(&(*x as u32))),
            _ => false,
        });
        if told {
            return None;
        }
        let mut answers: Vec<(String, String)> = sets
            .devices
            .iter()
            .map(|d| image.device(*d).name())
            .map(|n| (figure(n), n.to_string()))
            .collect();
        let missing = answers.len();
        if none {
            answers.push((format!("no {name}"), format!("no {name}")));
        }
        let one = with_article(name);
        let asks = match (none, missing) {
            (true, 1) => format!("Is there {one}?"),
            (true, _) => format!("Is there {one}, and which?"),
            (false, _) => format!("Which {name} is it?"),
        };
        let question = self.question(
            Feature::Mark(slot),
            asks,
            answers,
            |k| match sets.of_set(self.views[k].set()) {
                s if !s.due.is_empty() => Some(s.due[0]),
                _ if none => Some(missing),
                _ => None,
            },
            |a, k| {
                let s = sets.of_set(self.views[k].set());
                if a == missing {
                    s.due.is_empty()
                } else {
                    s.meets.contains(&a) || s.due.is_empty() && s.may
                }
            },
        );
        question.map(|q| Question { some: none.then(|| name.to_string()), ..q })
    }

    /// One office's mark was a further mark of others, beside their own town marks.
    fn beside(&self) -> Option<Question> {
        let image = self.n.image;
        let name = slot_name(Slot::Town);
        let said = |d: usize| {
            self.n.sightings.iter().any(|s| match &s.what {
                What::Device(seen) => seen.iter().any(|x| {
                    let x = *x as usize;
                    x == d || image.relation(x, d) == Meets::Agree
                }),
                _ => false,
            })
        };
        let sets = Shown::of(image, &self.views, Slot::Town);
        let others: Vec<usize> =
            (0..sets.devices.len()).filter(|a| !said(sets.devices[*a])).collect();
        // A town mark is there, and some year would have it alone.
        if others.is_empty() || others.len() == sets.devices.len() || self.absent(Kind::Town) {
            return None;
        }
        let mut answers: Vec<(String, String)> = others
            .iter()
            .map(|a| image.device(sets.devices[*a]).name())
            .map(|n| (n.to_string(), n.to_string()))
            .collect();
        let no: Vec<String> = answers.iter().map(|a| format!("no {}", a.0)).collect();
        answers.push((format!("no other {name}"), no.join("; ")));
        let alone = others.len();
        let other = |k: usize| {
            let due = &sets.of_set(self.views[k].set()).due;
            let all_others = !due.is_empty() && due.iter().all(|d| others.contains(d));
            let first = all_others.then(|| others.iter().position(|o| *o == due[0]));
            first.flatten()
        };
        let seen = self.n.sightings.iter().find(|s| s.what.kind(image) == Kind::Town);
        let seen = seen.map_or("it".to_string(), |s| format!("the {}", reads_as(image, s)));
        let asks = match alone {
            1 => format!("Is there another {name} beside {seen}?"),
            _ => format!("Is there another {name} beside {seen}, and which?"),
        };
        self.question(
            Feature::Beside,
            asks,
            answers,
            |k| Some(other(k).unwrap_or(alone)),
            |a, k| match other(k) {
                None => a == alone,
                Some(_) if a == alone => false,
                Some(_) => sets.of_set(self.views[k].set()).meets.contains(&others[a]),
            },
        )
    }

    /// Was it said that a mark of this kind is missing?
    fn absent(&self, kind: Kind) -> bool {
        let image = self.n.image;
        let mut all = self.n.sightings.iter();
        all.any(|s| matches!(&s.what, What::Absent(w) if w.kind(image) == kind))
    }

    fn described(&self, kind: Kind) -> bool {
        let image = self.n.image;
        self.n.sightings.iter().any(|s| s.what.kind(image) == kind)
    }
}

/// A mark as it is shown behind the number of an answer, from which a figure is told apart.
fn figure(name: &str) -> String {
    match name.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        true => format!("figure {name}"),
        false => name.to_string(),
    }
}

/// The words that say the style of a letter.
fn style_words(style: &str, letter: &str) -> String {
    format!("date letter {style} {letter}")
}

/// The words that say a letter: as struck, without its case.
fn letter_words(value: &str) -> String {
    format!("date letter {}", value.trim_matches(['{', '}']))
}

/// What the sets of marks show in one place. Rows share their sets; each is looked at once.
struct Shown {
    devices: Vec<usize>,
    sets: Vec<Option<SetShown>>,
    some_without: bool,
}

#[derive(Clone, Default)]
struct SetShown {
    /// Devices that are due, by their place in the list.
    due: Vec<usize>,
    /// Devices that a mark of the set agrees with.
    meets: Vec<usize>,
    /// Some mark may stand there and need not.
    may: bool,
}

impl Shown {
    fn of(image: &Image, views: &[RowView], slot: Slot) -> Shown {
        let mut out = Shown {
            devices: Vec::new(),
            sets: vec![None; image.meta(Meta::Sets)],
            some_without: false,
        };
        for v in views {
            if out.sets[v.set()].is_some() {
                continue;
            }
            let mut shown = SetShown::default();
            for g in v.groups() {
                for m in g.marks().filter(|m| m.slot() == slot) {
                    if !g.due {
                        shown.may = true;
                        continue;
                    }
                    let d = m.device();
                    let known = out.devices.iter().position(|x| *x == d);
                    let place = known.unwrap_or_else(|| {
                        out.devices.push(d);
                        out.devices.len() - 1
                    });
                    if !shown.due.contains(&place) {
                        shown.due.push(place);
                    }
                }
            }
            out.some_without |= shown.due.is_empty();
            out.sets[v.set()] = Some(shown);
        }
        let devices = &out.devices;
        for shown in out.sets.iter_mut().flatten() {
            shown.meets = (0..devices.len())
                .filter(|a| {
                    shown
                        .due
                        .iter()
                        .any(|d| image.relation(devices[*a], devices[*d]) == Meets::Agree)
                })
                .collect();
        }
        out
    }

    fn of_set(&self, set: usize) -> &SetShown {
        const NOTHING: &SetShown = &SetShown { due: Vec::new(), meets: Vec::new(), may: false };
        self.sets[set].as_ref().unwrap_or(NOTHING)
    }
}
