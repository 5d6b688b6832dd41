//! Readings as text for people. The answer is the first line; then why, then what else it could
//! be, then the one thing to look at, then one caution. Nothing here computes.

use std::fmt::Write;

use puncheon::LookNext;
use puncheon::phrases::{capital, doubt, number};
use puncheon::reading::{Bearing, Fit, Kind, Outcome, OutsideBecause};
use puncheon::schema::entry::Origin;
use puncheon::{Reading, Tables};

use super::brief::{brief, head, letter_not_known, no_yearly_letter, not_led, or_silver};
use super::{makers, remarks};
use crate::screen::Screen;

/// Most lines of alternatives without `--all`.
const MOST: usize = 10;

/// From this many years on an answer dates nothing.
const TOO_MANY: usize = 100;

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
    remarks::remarks(r, s, &mut out);
    out
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

/// The nearest entry by one easy misreading, in a sentence.
fn near_hint(r: &Reading) -> String {
    match r.nears.iter().find(|n| n.clashes.len() == 1 && n.clashes[0].easy) {
        Some(n) => {
            let c = &n.clashes[0];
            let so = capital(&c.if_so);
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
        let of = |list: &'_ [Bearing]| list.iter().find(|b| b.sighting == Some(i)).cloned();
        let plain = |b: &Bearing| b.why.trim_end_matches('.').to_string();
        let agrees = of(&f.agrees);
        let letter = f.letter.as_ref().and_then(|l| s.styled_letter(tables, l));
        let why = match (&agrees, agrees.as_ref().and_then(|b| b.of_letter.as_ref()), letter) {
            (_, Some(said), Some(letter)) => format!("{letter} {said}"),
            (Some(b), ..) => plain(b),
            (None, ..) => of(&f.strains)
                .map(|b| format!("Strained: {}", plain(&b)))
                .or_else(|| of(&f.silent).map(|b| plain(&b)))
                .unwrap_or_default(),
        };
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
        if s.width() < 60 || at + 20 > s.width() {
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
    if f.origin == Origin::Foreign {
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
    let doubt = doubt(f.basis, f.confidence).filter(|_| f.year.is_some());
    parts.extend(doubt.map(String::from));
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
    let mut groups: Vec<(&str, &str, Vec<&str>)> = Vec::new();
    for n in &r.nears {
        let if_so = n.if_misread.as_str();
        // A span that lies in another, for another standard, says nothing more here.
        let within = |m: &Fit| wider(m, n) && m.if_misread == if_so;
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
        s.pair(out, l, g.0, at);
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
    out.push_str(&makers::lines(r, s, all));
    for c in &r.cautions {
        s.say(out, 0, c);
    }
}
