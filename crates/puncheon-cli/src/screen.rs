//! Readings as text for people. The answer is the first line; then why, then what else it could
//! be, then the one thing to look at, then one caution. Nothing here computes.

use std::env;
use std::fmt::Write;
use std::io::{self, IsTerminal};

use puncheon::LookNext;
use puncheon::reading::{Fit, Kind, LetterStruck, Outcome, OutsideBecause, Remark, RemarkKind};
use puncheon::schema::image::Meta;
use puncheon::{Reading, Tables};

use crate::args::Colour;
use crate::out::{bold, named, steers};
use crate::sponsors;

/// Most lines of alternatives without `--all`.
const MOST: usize = 10;

/// From this many years on an answer dates nothing.
const TOO_MANY: usize = 100;
/// Years or standards that are all named in one line.
const FEW: usize = 3;

/// Columns where no terminal says how many it has.
pub const USUAL_WIDTH: usize = 80;

/// A paragraph, wrapped to a width.
pub fn wrap(out: &mut String, width: usize, indent: usize, s: &str) {
    let mut column = 0;
    for word in s.split_whitespace() {
        let wide = columns(word);
        if column > 0 && column + 1 + wide > width {
            out.push('\n');
            column = 0;
        }
        if column == 0 {
            out.push_str(&" ".repeat(indent));
            column = indent;
        } else {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += wide;
    }
    out.push('\n');
}

/// The columns that a word takes: the codes that make it bold take none.
fn columns(word: &str) -> usize {
    let mut parts = word.split('\u{1b}');
    let first = parts.next().map_or(0, |p| p.chars().count());
    let after = |p: &str| p.split_once('m').map_or(0, |(_, rest)| rest.chars().count());
    first + parts.map(after).sum::<usize>()
}

/// What the terminal can show.
pub struct Screen {
    /// Styled letters may be shown.
    styled: bool,
    colour: bool,
    width: usize,
}

impl Screen {
    pub fn new(ascii: bool, colour: Colour) -> Screen {
        let terminal = io::stdout().is_terminal();
        let utf8 = ["LC_ALL", "LC_CTYPE", "LANG"]
            .iter()
            .find_map(|v| env::var(v).ok().filter(|s| !s.is_empty()))
            .is_some_and(|s| s.to_lowercase().contains("utf"));
        let no_colour = env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty())
            || env::var_os("TERM").is_some_and(|t| t == "dumb");
        let width = env::var("COLUMNS")
            .ok()
            .and_then(|c| c.parse().ok())
            .or_else(|| {
                terminal_size::terminal_size().filter(|_| terminal).map(|(w, _)| usize::from(w.0))
            })
            .unwrap_or(USUAL_WIDTH);
        Screen {
            styled: terminal && utf8 && !ascii,
            colour: match colour {
                Colour::Always => true,
                Colour::Never => false,
                Colour::Auto => terminal && !no_colour,
            },
            width: width.clamp(20, 100),
        }
    }

    pub fn strong(&self, s: &str) -> String {
        if self.colour { bold(s) } else { s.to_string() }
    }

    /// A heading, wrapped.
    pub fn title(&self, out: &mut String, s: &str) {
        let mut lines = String::new();
        self.say(&mut lines, 0, s);
        for line in lines.lines() {
            let _ = writeln!(out, "{}", self.strong(line));
        }
    }

    /// A paragraph, wrapped.
    pub fn say(&self, out: &mut String, indent: usize, s: &str) {
        wrap(out, self.width, indent, s);
    }

    /// Items side by side as far as the width allows, each whole on its line if it can be.
    pub fn flow(&self, out: &mut String, indent: usize, items: &[String]) {
        let mut column = 0;
        for item in items {
            let wide = item.chars().count();
            if column > 0 && column + 3 + wide <= self.width {
                let _ = write!(out, "   {item}");
                column += 3 + wide;
                continue;
            }
            if column > 0 {
                out.push('\n');
            }
            if indent + wide <= self.width {
                let _ = write!(out, "{:indent$}{item}", "");
                column = indent + wide;
                continue;
            }
            // What runs on stands further in, and nothing follows it on its line.
            let mut text = String::new();
            self.say(&mut text, indent + 2, item);
            let text: String = text.trim_end().chars().skip(2).collect();
            out.push_str(&text);
            column = self.width;
        }
        out.push('\n');
    }

    /// Two columns, or lines where the terminal is narrow.
    pub fn pair(&self, out: &mut String, left: &str, right: &str, at: usize) {
        let wide = left.chars().count() + 2;
        if self.width < 60 {
            self.say(out, 2, left);
            self.say(out, 4, right);
        } else if wide > at {
            self.say(out, 2, left);
            self.hang(out, "", right, at);
        } else {
            self.hang(out, left, right, at);
        }
    }

    /// Characters beyond ASCII can be shown.
    pub fn unicode(&self) -> bool {
        self.styled
    }

    /// The number of columns.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Two columns, the right one wrapped in its own; `at` is counted from the second column on.
    pub fn hang(&self, out: &mut String, left: &str, right: &str, at: usize) {
        let mut body = String::new();
        self.say(&mut body, at + 2, right);
        let first = format!("  {left}{}", " ".repeat(at.saturating_sub(left.chars().count())));
        let rest: String = body.chars().skip(at + 2).collect();
        let _ = writeln!(out, "{first}{}", rest.trim_end());
    }

    /// A letter in its lettering, where Unicode has it and the screen can be trusted.
    fn styled_letter(&self, tables: &Tables, l: &LetterStruck) -> Option<char> {
        let image = tables.image();
        let lettering = lettering(tables, l).filter(|_| self.styled)?;
        let c = l.struck.as_ref()?.chars().next().filter(char::is_ascii_alphabetic)?;
        let k = c.to_ascii_lowercase() as usize - 'a' as usize;
        image.lettering(lettering).styled(c.is_ascii_uppercase()).chars().nth(k)
    }

    /// The plain letter, behind the same in its lettering where the screen can be trusted. None
    /// where it is not known.
    pub fn struck(&self, tables: &Tables, l: &LetterStruck) -> Option<String> {
        let struck = l.struck.as_deref()?.trim_matches(['{', '}']);
        Some(match self.styled_letter(tables, l) {
            Some(c) => format!("{c} {struck}"),
            None => struck.to_string(),
        })
    }

    /// A letter in its lettering where the screen can be trusted, then the plain letter and words.
    fn letter(&self, tables: &Tables, l: &LetterStruck) -> String {
        let Some(struck) = self.struck(tables, l) else {
            return "letter not known".into();
        };
        let case = match l.case {
            Some("upper") => Some("capital"),
            Some("lower") => Some("small"),
            _ => None,
        };
        let name = lettering(tables, l).map(|n| tables.image().lettering(n).name());
        let words: Vec<&str> = [case, name].into_iter().flatten().collect();
        format!("{struck}  {}", words.join(" ")).trim_end().to_string()
    }
}

/// The number of a letter's lettering.
fn lettering(tables: &Tables, l: &LetterStruck) -> Option<usize> {
    let image = tables.image();
    let id = l.lettering.as_deref()?;
    (0..image.meta(Meta::Letterings)).find(|i| image.lettering(*i).id() == id)
}

/// One line for a reading.
pub fn brief(r: &Reading, tables: &Tables) -> String {
    let line = match r.outcome {
        Outcome::Fits => {
            let fits = match r.left.years {
                1 => best(r),
                _ => one_of(r),
            };
            let more = puncheon::more_left(&r.left).map_or(String::new(), |m| format!("; {m}"));
            let fits = format!("{fits}{}{more}", letter_not_known(r));
            not_led(r, fits)
        }
        Outcome::Nears => {
            let n = &r.nears[0];
            format!(
                "nothing fits; nearest {} {}, {}, {}",
                n.office_name,
                n.shown,
                short_standard(n),
                misread(r, n)
            )
        }
        Outcome::None => "nothing fits, and nothing is near".into(),
        _ => outside_line(r),
    };
    match tables.overlay() {
        Some(folder) => format!("{line} (with the tables in {})", named(folder)),
        None => line,
    }
}

/// What stands behind years of which the letter that was read is not known to be theirs.
fn letter_not_known(r: &Reading) -> &'static str {
    match r.fits.iter().all(|f| f.unread) {
        true if r.years == 1 => ": its letter is not known",
        true => ": their letters are not known",
        false => "",
    }
}

/// The first fit, with every standard that its year leaves.
pub fn best(r: &Reading) -> String {
    let f = &r.fits[0];
    let same = |x: &&Fit| (&x.office_name, &x.shown) == (&f.office_name, &f.shown);
    let standards = short_standards(r.fits.iter().filter(same));
    format!("{} {}{standards}", f.office_name, f.shown)
}

/// Several years. One of them alone would be taken for the answer.
fn one_of(r: &Reading) -> String {
    let first = &r.fits[0];
    // Those that fit as well as the first.
    let left: Vec<&Fit> =
        r.fits.iter().filter(|f| (f.unread, f.strain) <= (first.unread, first.strain)).collect();
    let mut named: Vec<(&str, &str)> = Vec::new();
    for f in &left {
        let name = (f.office_name.as_str(), f.shown.as_str());
        if !named.contains(&name) {
            named.push(name);
        }
    }
    let standards = short_standards(left.iter().copied());
    let runs = left.iter().any(|f| f.year.is_none());
    if r.left.years <= FEW && !runs {
        let mut years: Vec<String> = Vec::new();
        for (i, (office, shown)) in named.iter().enumerate() {
            let same = i > 0 && named[i - 1].0 == *office;
            years.push(if same { shown.to_string() } else { format!("{office} {shown}") });
        }
        return format!("{}{standards}", either(&years));
    }
    let (from, to) =
        left.iter().fold((i32::MAX, i32::MIN), |(a, b), f| (a.min(f.from), b.max(f.to)));
    let (office, shown) = named[0];
    let years = plural(r.left.years, "year");
    let (head, such) = match r.left.offices {
        1 => (format!("{office}, one of {years}"), shown.to_string()),
        n => (format!("one of {years} in {}", plural(n, "office")), format!("{office} {shown}")),
    };
    let such = if first.year.is_none() { String::new() } else { format!(", such as {such}") };
    format!("{head} from {from} to {to}{such}{standards}")
}

/// "a, b or c".
pub fn either(items: &[String]) -> String {
    match items {
        [all @ .., last] if !all.is_empty() => format!("{} or {last}", all.join(", ")),
        _ => items.join(""),
    }
}

/// The standards of some fits, to stand behind them; several are named as far as they are few.
fn short_standards<'f>(fits: impl Iterator<Item = &'f Fit>) -> String {
    let mut names: Vec<String> = Vec::new();
    for name in fits.map(short_standard) {
        if !names.iter().any(|n| n == name) {
            names.push(name.to_string());
        }
    }
    match names.len() {
        0 => String::new(),
        n if n <= FEW => format!(", {}", either(&names)),
        _ => ", standard open".into(),
    }
}

fn short_standard(f: &Fit) -> &str {
    f.standard_name.strip_suffix(" silver").unwrap_or(&f.standard_name)
}

/// What would have to be misread, in words: the mark left out where what it would be was
/// described already.
fn misread(r: &Reading, f: &Fit) -> String {
    let there = |would_be: &str| {
        f.agrees
            .iter()
            .filter_map(|b| b.sighting)
            .any(|i| would_be.starts_with(&r.sightings[i].reads_as))
    };
    let parts: Vec<String> = f
        .clashes
        .iter()
        .map(|c| match c.easy && !there(&c.would_be) {
            true => if_it_is(r, c.sighting, &c.saw, &c.would_be),
            false => format!("without the {}", c.saw),
        })
        .collect();
    parts.join(" and ")
}

/// "if the f is t", "if the small letter is capital", "if the king's head is the head of Victoria".
pub fn if_it_is(r: &Reading, sighting: Option<usize>, saw: &str, would_be: &str) -> String {
    let letter = sighting.is_some_and(|i| r.sightings[i].kind == Kind::Letter);
    let article = if letter { "" } else { "the " };
    // A case or a lettering is said by an adjective, and a letter has two signs at most.
    let noun =
        if letter && saw.chars().count() > 2 && !saw.ends_with("letter") { " letter" } else { "" };
    format!("if the {saw}{noun} is {article}{would_be}")
}

pub fn plural(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

/// The whole screen of a reading.
pub fn reading(r: &Reading, tables: &Tables, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    match r.outcome {
        _ if !r.parts.is_empty() => parts(r, tables, s, all, &mut out),
        Outcome::Fits if r.years == 1 || r.fits.len() == 1 => one(r, tables, s, all, &mut out),
        Outcome::Fits => several(r, tables, s, all, &mut out),
        Outcome::Nears | Outcome::None => nothing_fits(r, s, all, &mut out),
        _ => outside(r, s, all, &mut out),
    }
    stated(r, s, &mut out);
    remarks(r, s, &mut out);
    out
}

fn head(f: &Fit) -> String {
    let origin = if f.origin == "foreign" { ", foreign ware" } else { "" };
    format!("{} {}, {}{origin}", f.office_name, f.shown, f.standard_name)
}

/// Silver that a mark easily misread would make of it, where nothing described shows another metal.
fn or_silver(r: &Reading) -> Option<String> {
    let n = &r.nears[r.silver_misread?];
    Some(format!("{} {}", head(n), misread(r, n)))
}

/// The first fit is named last where its metal is not shown.
fn not_led(r: &Reading, fits: String) -> String {
    match or_silver(r) {
        Some(silver) => format!("{silver}; as described {fits}"),
        None if r.metal_not_shown => format!("Metal not shown; as described {fits}"),
        None => fits,
    }
}

fn no_mark_shows(r: &Reading) -> String {
    format!("no mark described is {}'s alone", r.fits[0].metal)
}

fn one(r: &Reading, tables: &Tables, s: &Screen, all: bool, out: &mut String) {
    let f = &r.fits[0];
    let head = format!("{}{}", head(f), letter_not_known(r));
    s.title(out, &not_led(r, head));
    out.push('\n');
    evidence(r, f, tables, s, out);
    if let Some(l) = f.letter.as_ref().filter(|l| l.struck.is_some())
        && !r.sightings.iter().any(|x| x.kind == Kind::Letter)
    {
        let _ = writeln!(out, "\nIts letter should be {}.", s.letter(tables, l));
    }
    out.push('\n');
    let others: Vec<&Fit> = r.fits[1..].iter().collect();
    if !others.is_empty() {
        let list: Vec<String> = others.iter().take(4).map(|f| f.standard_name.clone()).collect();
        s.say(out, 0, &format!("The same year also fits as {}.", list.join(" or ")));
    } else {
        let n = r.sightings.len();
        let all_of = match n {
            0 | 1 => "it".to_string(),
            2 => "both".into(),
            n => format!("all {}", number(n)),
        };
        s.say(out, 0, &format!("Nothing else fits {all_of}.{}", near_hint(r)));
    }
    if r.left.years > 1 {
        let too_many = if r.left.years > TOO_MANY { ": too little to date it" } else { "" };
        s.say(out, 0, &format!("{}{too_many}.", puncheon::years_left(&r.left)));
        look_next(&r.look_next, s, out);
    }
    nears(r, s, all, out);
    lookalikes(r, s, out);
    caution(r, s, all, out);
}

fn number(n: usize) -> String {
    ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
        .get(n)
        .map_or_else(|| n.to_string(), |w| w.to_string())
}

/// The nearest entry by one easy misreading, in a sentence.
fn near_hint(r: &Reading) -> String {
    match r.nears.iter().find(|n| n.clashes.len() == 1 && n.clashes[0].easy) {
        Some(n) => {
            let c = &n.clashes[0];
            let so = if_it_is(r, c.sighting, &c.saw, &c.would_be).replacen("if", "If", 1);
            format!(" {so} after all: {} {}.", n.office_name, n.shown)
        }
        None => String::new(),
    }
}

/// Each sighting and what it says of the entry.
fn evidence(r: &Reading, f: &Fit, tables: &Tables, s: &Screen, out: &mut String) {
    let quoted: Vec<String> = r.sightings.iter().map(|x| format!("\"{}\"", x.text)).collect();
    let at = quoted.iter().map(|q| q.chars().count()).max().unwrap_or(0).min(28) + 2;
    for (i, q) in quoted.iter().enumerate() {
        let of = |list: &[puncheon::reading::Bearing]| {
            list.iter()
                .find(|b| b.sighting == Some(i))
                .map(|b| b.why.trim_end_matches('.').to_string())
        };
        let why = of(&f.agrees)
            .or_else(|| of(&f.strains).map(|w| format!("Strained: {w}")))
            .or_else(|| of(&f.silent))
            .unwrap_or_default();
        let letter = f.letter.as_ref().filter(|_| r.sightings[i].kind == Kind::Letter);
        let styled = letter.and_then(|l| s.styled_letter(tables, l));
        let why = styled.map_or(why.clone(), |c| why.replacen("The letter", &c.to_string(), 1));
        s.pair(out, q, &why, at);
    }
    for b in f.strains.iter().filter(|b| b.sighting.is_none()) {
        s.say(out, 2, &b.why);
    }
}

/// Entries of one office and span, which differ only in metal and fineness.
struct Line<'a> {
    first: &'a Fit,
    standards: Vec<&'a str>,
}

fn lines(fits: &[Fit]) -> Vec<Line<'_>> {
    // The outline differs by metal and is not shown, so it does not part two lines.
    let same = |a: &Fit, b: &Fit| {
        let face =
            |f: &'_ Fit| f.letter.as_ref().map(|l| (l.struck.clone(), l.lettering.clone(), l.case));
        (&a.office, &a.shown, face(a)) == (&b.office, &b.shown, face(b))
    };
    let mut out: Vec<Line> = Vec::new();
    for f in fits {
        match out.iter_mut().find(|l| same(l.first, f)) {
            Some(l) => {
                if !l.standards.contains(&f.standard_name.as_str()) {
                    l.standards.push(&f.standard_name);
                }
            }
            None => out.push(Line { first: f, standards: vec![&f.standard_name] }),
        }
    }
    out
}

/// "sterling silver or 22 carat gold".
fn standards(list: &[&str]) -> String {
    match list {
        [one] => one.to_string(),
        [a, b] => format!("{a} or {b}"),
        [a, rest @ ..] => format!("{a}, or one of {} other standards", number(rest.len())),
        [] => String::new(),
    }
}

fn several(r: &Reading, tables: &Tables, s: &Screen, all: bool, out: &mut String) {
    let one_office = r.offices == 1;
    let years = puncheon::years_left(&r.left);
    let title = match (r.left.years, puncheon::more_left(&r.left)) {
        (1, Some(more)) => format!("{}; {more}", head(&r.fits[0])),
        _ if one_office => format!("{}: {years}", r.fits[0].office_name),
        _ => years,
    };
    let too_many = r.left.years > TOO_MANY;
    let title = if too_many { format!("{title}: too little to date it") } else { title };
    s.title(out, &format!("{title}{}", letter_not_known(r)));
    if let Some(silver) = or_silver(r) {
        s.say(out, 0, &format!("Or {silver}: {}.", no_mark_shows(r)));
    } else if r.metal_not_shown {
        s.say(out, 0, &format!("But {}.", no_mark_shows(r)));
    }
    out.push('\n');
    let lines = lines(&r.fits);
    let same_standard = lines.iter().all(|l| l.standards == lines[0].standards);
    let most = if all { lines.len() } else { MOST };
    let rows: Vec<[String; 4]> = lines
        .iter()
        .take(most)
        .map(|l| {
            let f = l.first;
            let letter = match &f.letter {
                Some(letter) => s.letter(tables, letter),
                None if f.unread => "letter not known".into(),
                None => String::new(),
            };
            let office = if one_office { String::new() } else { f.office_name.clone() };
            let standards = if same_standard { String::new() } else { standards(&l.standards) };
            [office, f.shown.clone(), letter, note(r, f, standards)]
        })
        .collect();
    table(&rows, s, out);
    if lines.len() > most {
        let _ = writeln!(out, "  and {} more: --all lists them", lines.len() - most);
    }
    out.push('\n');
    if same_standard {
        s.say(out, 0, &format!("All are {}.", standards(&lines[0].standards)));
    }
    look_next(&r.look_next, s, out);
    let hint = near_hint(r);
    if !hint.is_empty() && lines.len() <= 3 {
        s.say(out, 0, hint.trim());
    }
    nears(r, s, all, out);
    lookalikes(r, s, out);
    caution(r, s, all, out);
}

/// Columns, which give way to lines on a narrow terminal.
fn table(rows: &[[String; 4]], s: &Screen, out: &mut String) {
    let width = |k: usize| rows.iter().map(|row| row[k].chars().count()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2)];
    let at: usize = widths.iter().filter(|w| **w > 0).map(|w| w + 2).sum();
    for row in rows {
        if s.width < 60 || at + 20 > s.width {
            let line: Vec<&str> = row.iter().map(|c| c.trim()).filter(|c| !c.is_empty()).collect();
            s.say(out, 2, &line.join(", "));
            continue;
        }
        let mut left = String::new();
        for (cell, w) in row.iter().zip(widths) {
            if w > 0 {
                let _ = write!(left, "{cell}{}", " ".repeat(w + 2 - cell.chars().count()));
            }
        }
        if row[3].is_empty() {
            let _ = writeln!(out, "  {}", left.trim_end());
        } else {
            s.hang(out, &left, &row[3], at);
        }
    }
}

/// What is to be said of one line: another standard, foreign ware, a strain, a doubtful table.
fn note(r: &Reading, f: &Fit, standards: String) -> String {
    let mut parts = Vec::new();
    if !standards.is_empty() {
        parts.push(standards);
    }
    if f.origin == "foreign" {
        parts.push("foreign ware".into());
    }
    for b in &f.strains {
        match b.sighting {
            Some(i) => {
                parts.push(format!("\"{}\": {}", r.sightings[i].text, b.why.trim_end_matches('.')))
            }
            // Such a sentence begins with no name, so it can go on from another.
            None => {
                let mut why = b.why.trim_end_matches('.').to_string();
                if let Some(first) = why.get_mut(..1).filter(|_| !parts.is_empty()) {
                    first.make_ascii_lowercase();
                }
                parts.push(why);
            }
        }
    }
    // Of a run some year is nearly always doubtful, which says nothing of the others.
    match (f.confidence, f.basis) {
        _ if f.year.is_none() => {}
        ("low", _) => parts.push("by a doubtful table".into()),
        ("medium", "memory") => parts.push("by memory".into()),
        _ => {}
    }
    parts.join("; ")
}

fn look_next(next: &[LookNext], s: &Screen, out: &mut String) {
    let Some(l) = next.first() else { return };
    let most = l.answers.iter().map(|a| a.leaves).max().unwrap_or(0);
    if l.answers.len() > 6 {
        s.say(
            out,
            0,
            &format!("Look next at the {}: whatever it is, at most {most} are left.", l.feature),
        );
        return;
    }
    let answers: Vec<String> =
        l.answers.iter().map(|a| format!("{} leaves {}", a.found, a.leaves)).collect();
    s.say(out, 0, &format!("Look next at the {}: {}.", l.feature, answers.join("; ")));
}

fn nears(r: &Reading, s: &Screen, all: bool, out: &mut String) {
    if !all || r.nears.is_empty() {
        return;
    }
    out.push_str("\nWith a misreading:\n\n");
    near_lines(r, s, out);
    out.push('\n');
}

/// Do the years of one entry hold all those of another of the same office, and more?
fn wider(one: &Fit, other: &Fit) -> bool {
    one.office == other.office
        && one.from <= other.from
        && other.to <= one.to
        && (one.from, one.to) != (other.from, other.to)
}

/// Years that rest on the same misreading share a line.
pub fn near_lines(r: &Reading, s: &Screen, out: &mut String) {
    let mut groups: Vec<(String, &str, Vec<&str>)> = Vec::new();
    for n in &r.nears {
        let if_so = misread(r, n);
        // A span that lies in another, for another standard, says nothing more here.
        let within = |m: &Fit| wider(m, n) && misread(r, m) == if_so;
        if r.nears.iter().any(within) {
            continue;
        }
        match groups.iter_mut().find(|g| g.0 == if_so && g.1 == n.office_name) {
            Some(g) if g.2.contains(&n.shown.as_str()) => {}
            Some(g) => g.2.push(&n.shown),
            None => groups.push((if_so, &n.office_name, vec![&n.shown])),
        }
    }
    let left: Vec<String> = groups.iter().map(|g| format!("{} {}", g.1, g.2.join(", "))).collect();
    let at = left.iter().map(|l| l.chars().count()).max().unwrap_or(0).min(34) + 2;
    for (g, l) in groups.iter().zip(&left) {
        s.pair(out, l, &g.0, at);
    }
}

/// Several sets of marks, none of which explains the others.
fn parts(r: &Reading, tables: &Tables, s: &Screen, all: bool, out: &mut String) {
    let title = format!("{} sets of marks, each read apart", capital(&number(r.parts.len())));
    s.title(out, &title);
    out.push('\n');
    let labels: Vec<&str> = r
        .parts
        .iter()
        .map(|p| if p.label.is_empty() { "the first" } else { p.label.as_str() })
        .collect();
    let at = labels.iter().map(|l| l.chars().count()).max().unwrap_or(0) + 2;
    for (p, label) in r.parts.iter().zip(&labels) {
        s.pair(out, label, &brief(&p.reading, tables), at);
    }
    out.push('\n');
    s.say(out, 0, "No year fits all of them together. Describe one part by itself to see more.");
    caution(r, s, all, out);
}

/// A sentence with a capital at its head.
pub fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn nothing_fits(r: &Reading, s: &Screen, all: bool, out: &mut String) {
    let all_of = match r.sightings.len() {
        0 | 1 => "that mark".to_string(),
        2 => "both marks".into(),
        n => format!("all {} marks", number(n)),
    };
    s.title(out, &format!("No year fits {all_of}"));
    out.push('\n');
    if let Some(why) = &r.conflict_why {
        s.say(out, 2, why);
        out.push('\n');
    }
    if r.nears.is_empty() {
        s.say(out, 0, "Nothing is even near. Look again at the town mark and the standard mark.");
    } else {
        out.push_str("Nearest, with a misreading:\n\n");
        near_lines(r, s, out);
        out.push('\n');
    }
    lookalikes(r, s, out);
    caution(r, s, all, out);
}

fn no_yearly_letter(r: &Reading) -> String {
    match r.lookalikes.iter().find(|l| !l.town.is_empty()) {
        Some(l) => format!("Marked at {}; no yearly letter", l.town),
        None => "A town that struck no yearly letter".into(),
    }
}

fn outside_line(r: &Reading) -> String {
    match r.outside_because {
        Some(OutsideBecause::Denied) => {
            let mut denying = r.lookalikes.iter().filter(|l| l.denies);
            let Some(first) = denying.next() else {
                return "not a British or Irish hallmark".into();
            };
            // The same mark can be of several countries.
            let other = denying.filter(|l| l.sightings == first.sightings);
            let what: Vec<&str> =
                std::iter::once(first).chain(other).map(|l| l.what.as_str()).collect();
            format!("not a British or Irish hallmark: {}", what.join(", or "))
        }
        Some(OutsideBecause::ForeignFineness) => "not a British or Irish standard".into(),
        Some(OutsideBecause::NoYearLetters) => no_yearly_letter(r),
        Some(OutsideBecause::OfficeClosed) => "that office was not open in those years".into(),
        _ => "no mark was recognised".into(),
    }
}

fn outside(r: &Reading, s: &Screen, all: bool, out: &mut String) {
    let title = match r.outside_because {
        Some(OutsideBecause::Denied) => "Not a British or Irish hallmark",
        Some(OutsideBecause::ForeignFineness) => "Not a standard of these islands",
        Some(OutsideBecause::NoYearLetters) => &no_yearly_letter(r),
        Some(OutsideBecause::OfficeClosed) => "That office was not open in those years",
        _ if r.sightings.is_empty() => "No mark was recognised",
        _ => "Nothing here tells office or year",
    };
    s.title(out, title);
    out.push('\n');
    let mut said = false;
    for l in r.lookalikes.iter().take(MOST) {
        let words: Vec<String> =
            l.sightings.iter().map(|i| format!("\"{}\"", r.sightings[*i].text)).collect();
        s.pair(out, &words.join(" "), &format!("{}. {}", l.what, l.why), 12);
        said = true;
    }
    if said {
        out.push('\n');
    }
    if r.outside_because == Some(OutsideBecause::NothingUnderstood) {
        for c in &r.claimed {
            s.say(out, 0, &format!("\"{}\" is a statement, not a mark.", c.text));
        }
        s.say(
            out,
            0,
            "Describe the pictures and letters in the punches: the town mark, the standard mark and the date letter.",
        );
        if !r.sightings.is_empty() {
            look_next(&r.look_next, s, out);
        }
    }
    caution(r, s, all, out);
}

/// What is stated and not shown, so that nobody takes it for used.
fn stated(r: &Reading, s: &Screen, out: &mut String) {
    if r.claimed.is_empty() || r.outcome == Outcome::Outside {
        return;
    }
    let words: Vec<String> = r.claimed.iter().map(|c| format!("\"{}\"", c.text)).collect();
    s.say(
        out,
        0,
        &format!(
            "Stated, and no evidence here: {}. The command check holds it against the marks.",
            words.join(", ")
        ),
    );
}

fn lookalikes(r: &Reading, s: &Screen, out: &mut String) {
    let most = 3;
    let what: Vec<&str> = r.lookalikes.iter().take(most).map(|l| l.what.as_str()).collect();
    if what.is_empty() {
        return;
    }
    let more = match r.lookalikes.len() - what.len() {
        0 => String::new(),
        1 => "; and another, which --json lists".to_string(),
        n => format!("; and {n} others, which --json lists"),
    };
    s.say(out, 0, &format!("What was described also looks like: {}{more}.", what.join("; ")));
}

/// Who may have struck it, then the cautions.
fn caution(r: &Reading, s: &Screen, all: bool, out: &mut String) {
    out.push_str(&sponsors::lines(r, s, all));
    for c in &r.cautions {
        s.say(out, 0, c);
    }
}

/// Words not understood, in place, under the words.
pub fn remarks(r: &Reading, s: &Screen, out: &mut String) {
    let told: Vec<_> = r.remarks.iter().filter(|m| remark_line(m).is_some()).collect();
    if told.is_empty() {
        return;
    }
    out.push('\n');
    let mut from = 0;
    for line in r.asked.split('\n') {
        let to = from + line.len();
        let here: Vec<_> = told
            .iter()
            .filter(|m| m.start >= from && m.end <= to && m.remark != RemarkKind::Ambiguous)
            .collect();
        // Only a line that fits is shown with its marks under the words.
        let fits = line.chars().count() + 2 <= s.width && !line.chars().any(steers);
        if !here.is_empty() && fits {
            let _ = writeln!(out, "  {line}");
            let mut under = String::new();
            for m in &here {
                let at = r.asked[from..m.start].chars().count();
                let len = r.asked[m.start..m.end].chars().count();
                under.push_str(&" ".repeat(at.saturating_sub(under.chars().count())));
                under.push_str(&"^".repeat(len));
            }
            let _ = writeln!(out, "  {under}");
        }
        from = to + 1;
    }
    for line in told.iter().filter_map(|m| remark_line(m)) {
        s.say(out, 0, &line);
    }
}

/// A remark in words, where it is worth a line. What is no mark is not, but a letter put aside may be
/// the one thing to correct.
pub fn remark_line(m: &Remark) -> Option<String> {
    let said = match (m.remark, &m.nearest) {
        (RemarkKind::Guessed, Some(n)) => format!("was taken for {n}."),
        (RemarkKind::NotUnderstood, Some(n)) => {
            format!("was not understood; the nearest word known is {n}.")
        }
        (RemarkKind::NotUnderstood, None) => "was not understood.".into(),
        (RemarkKind::SetAside, _) if lone_letter(m) => {
            "was put aside: another letter is called the date letter.".into()
        }
        // With a nearest it is the whole text: the screen says already that its sets are read apart.
        (RemarkKind::Ambiguous, None) => {
            "could belong to more than one mark and was left out.".into()
        }
        _ => return None,
    };
    Some(format!("\"{}\" {said}", m.text))
}

fn lone_letter(m: &Remark) -> bool {
    m.text.chars().count() == 1 && m.text.chars().all(char::is_alphabetic)
}
