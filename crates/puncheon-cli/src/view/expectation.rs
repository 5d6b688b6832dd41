//! The marks that a piece should bear, as text for people.

use std::fmt::Write;

use puncheon::Expected;
use puncheon::expect::{ExpectedMark, ExpectedSet};
use puncheon::phrases::{doubt, entry};

use crate::screen::Screen;

/// Width of the column of places.
const LABEL: usize = 21;
/// Most sets without `--all`.
const MOST_SETS: usize = 6;
/// Most marks of other times without `--all`.
const MOST: usize = 10;

/// The whole screen of the marks expected.
pub fn expectation(e: &Expected, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    if let Some(why) = &e.nothing {
        let _ = writeln!(out, "{}\n", s.strong("Nothing was struck"));
        s.say(&mut out, 0, why);
        return out;
    }
    let most = if all { e.sets.len() } else { MOST_SETS };
    for (i, set) in e.sets.iter().take(most).enumerate() {
        let same = |x: &ExpectedSet| {
            (&x.office, &x.shown, &x.standard) == (&set.office, &set.shown, &set.standard)
        };
        let again = i > 0 && same(&e.sets[i - 1]);
        self::set(set, again, s, &mut out);
        out.push('\n');
    }
    if e.sets.len() > most {
        let more = format!(
            "and {} more sets: name an office, a standard or fewer years, or --all lists them.",
            e.sets.len() - most
        );
        s.say(&mut out, 0, &more);
        out.push('\n');
    }
    for (what, list) in [("Began", &e.began), ("Ended", &e.ended)] {
        if !list.is_empty() {
            s.say(&mut out, 0, &format!("{what} with this letter: {}.", list.join("; ")));
        }
    }
    let one_office = e.sets.iter().all(|x| x.office == e.sets[0].office);
    if !e.impossible.is_empty() && one_office {
        let most = if all { e.impossible.len() } else { MOST };
        out.push_str("Could not stand then:\n\n");
        for i in e.impossible.iter().take(most) {
            s.pair(&mut out, &i.place, &format!("{}: {}", i.mark, i.struck), LABEL);
        }
        if e.impossible.len() > most {
            let _ = writeln!(out, "  and {} more: --all lists them", e.impossible.len() - most);
        }
        out.push('\n');
    }
    if !e.others.is_empty() {
        s.say(
            &mut out,
            0,
            &format!(
                "Marked as well then: {}. Ask with --standard or --metal.",
                e.others.join(", ")
            ),
        );
    }
    let unused: Vec<String> =
        e.asked.claim.not_used.iter().map(|u| format!("\"{}\"", u.text)).collect();
    if !unused.is_empty() {
        s.say(&mut out, 0, &format!("Not used: {}.", unused.join(", ")));
    }
    for c in e.conventions.iter().chain(&e.cautions) {
        s.say(&mut out, 0, c);
    }
    out
}

fn set(x: &ExpectedSet, again: bool, s: &Screen, out: &mut String) {
    let title = entry(&x.office_name, &x.shown, &x.standard, x.origin);
    let _ = writeln!(out, "{}", s.strong(&title));
    if let (Some(a), Some(b)) = (&x.begins, &x.ends) {
        let _ = writeln!(out, "{a} to {b}");
    } else if again {
        out.push_str("in another part of the year\n");
    }
    out.push('\n');
    for m in &x.marks {
        let words = mark(m);
        s.pair(out, &m.place, &words, LABEL);
    }
    let lacking = lacking(x);
    if !lacking.is_empty() {
        s.pair(out, "often lacking", &lacking.join("; "), LABEL);
    }
}

fn mark(m: &ExpectedMark) -> String {
    let mut out = m.looks.clone();
    if let Some(o) = &m.outline {
        let _ = write!(out, "; outline: {o}");
    }
    if !m.due {
        out.push_str("; by choice");
    }
    if let Some(doubt) = doubt(m.basis, m.confidence) {
        let _ = write!(out, "; {doubt}");
    }
    out
}

/// Marks that were often left off, with the articles.
fn lacking(x: &ExpectedSet) -> Vec<String> {
    let mut articles: Vec<&str> =
        x.marks.iter().flat_map(|m| &m.may_lack).map(String::as_str).collect();
    articles.sort_unstable();
    articles.dedup();
    let mut out: Vec<(String, Vec<&str>)> = Vec::new();
    for on in articles {
        let lacks = |m: &&ExpectedMark| m.may_lack.iter().any(|l| l == on);
        let mut places: Vec<&str> =
            x.marks.iter().filter(lacks).map(|m| m.place.as_str()).collect();
        places.dedup();
        let places = places.join(" or ");
        match out.iter_mut().find(|o| o.0 == places) {
            Some(o) => o.1.push(on),
            None => out.push((places, vec![on])),
        }
    }
    out.iter().map(|(places, on)| format!("{places}, on {}", on.join(", and on "))).collect()
}
