//! Runs of letters.

use std::collections::HashMap;

use super::report::{Report, Spot, shown_years};
use super::stretch::{Stretch, no_overlap};
use super::walk::{cycles, places, rivals, struck};
use crate::entry::{Case, Cycle, Metal, ShortLetter};
use crate::letters::{self, Place, Struck};
use crate::read::Entries;

/// A run has one place for each of its years.
pub(super) fn cycle_counts(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let places = c.letters.split_whitespace().count() as i32;
        let years = c.to - c.from + 1;
        if places != years {
            let message = format!(
                "{places} letters for the {years} years {} to {}; the letters end in {}",
                c.from,
                c.to,
                c.from + places - 1
            );
            report.add(&spot, "count", message);
        }
    }
}

/// Each place can be read, none carries on from nothing, omitted letters are not struck, and
/// letters are written in the run's case.
pub(super) fn cycle_letters(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (year, _, place) in places(c) {
            let here = spot.part("year", year);
            match place {
                Err(message) => report.add(&here, "letter", message),
                Ok(Place::Carried) if year == c.from => {
                    let message = "a run cannot begin with `=`; let the run before it end later";
                    report.add(&here, "letter", message);
                }
                Ok(_) => {}
            }
        }
        let omitted = c.omitted.to_ascii_uppercase();
        for (year, note, s) in struck(c) {
            let here = spot.part("year", year);
            if s.value.len() == 1 && omitted.contains(&s.value) {
                let message = format!("{} is struck, yet omitted names it; drop one", s.shown);
                report.add(&here, "omitted", message);
            }
            // A year with a reason of its own may depart from its run.
            let case = match note {
                Some(n) if n.case.is_none() && !n.why.is_empty() => None,
                note => note.and_then(|n| n.case).or(c.case),
            };
            if let Some(case) = case.filter(|case| against(*case, &s)) {
                let message = format!(
                    "{} is not of case {case:?}; write it so, or give the year a case",
                    s.shown
                );
                report.add(&here, "case", message);
            }
        }
    }
}

/// Is a letter written in the other case?
fn against(case: Case, s: &Struck) -> bool {
    let wrong = match case {
        Case::Upper => |c: char| c.is_lowercase(),
        Case::Lower => |c: char| c.is_uppercase(),
        Case::Either => return false,
    };
    !s.varies && !s.shown.starts_with('{') && s.shown.chars().any(wrong)
}

/// No letter comes twice in a run, unless a year's note says why.
pub(super) fn cycle_repeats(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let mut seen: Vec<(i32, Struck)> = Vec::new();
        for (year, note, s) in struck(c) {
            let explained = note.is_some_and(|n| !n.why.is_empty());
            let before = seen.iter().find(|(before, other)| {
                other.value == s.value && (*before != year || other.shown == s.shown)
            });
            if let Some((before, _)) = before.filter(|_| !explained) {
                let message = format!(
                    "{} was struck in {before}; write `=` if carried on, or a note with why",
                    s.shown
                );
                report.add(&spot.part("year", year), "twice", message);
            }
            seen.push((year, s));
        }
    }
}

/// Reports a part of a run that lies outside it.
fn inside(report: &mut Report, spot: &Spot, cycle: &Cycle, year: i32) {
    if !(cycle.from..=cycle.to).contains(&year) {
        let message = format!(
            "{year} is not in the run {}; move it to its own run",
            shown_years(cycle.from, cycle.to)
        );
        report.add(spot, "inside", message);
    }
}

/// Notes lie in their run, one a year, and say why they replace a letter.
pub(super) fn cycle_notes(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (i, n) in c.years.iter().enumerate() {
            let here = spot.part("year", n.year);
            inside(report, &here, c, n.year);
            if c.years[..i].iter().any(|m| m.year == n.year) {
                report.add(&here, "note", "the year has a note already; join the two");
            }
            let Some(was) = &n.was else { continue };
            if n.why.is_empty() {
                let message = format!("was \"{was}\" without a reason; say why it changed");
                report.add(&here, "note", message);
            }
            if places(c).any(|(year, _, now)| year == n.year && now == letters::place(was)) {
                let message = format!("\"{was}\" still stands; give the new letter or drop was");
                report.add(&here, "note", message);
            }
        }
    }
}

/// Rival letters lie in their run, can be read, and differ from the chosen letter.
pub(super) fn cycle_candidates(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for rival_letters in &c.candidates {
            let year = rival_letters.year;
            let here = spot.part("year", year);
            inside(report, &here, c, year);
            if rivals(rival_letters).next().is_none() {
                report.add(&here, "candidate", "no rival is named; name it or drop this");
            }
            for (token, place) in rivals(rival_letters) {
                let message = match place {
                    Err(message) => message,
                    Ok(Place::Struck(v)) => {
                        let chosen = struck(c).filter(|(y, ..)| *y == year);
                        let same = |s: &Struck| v.iter().any(|r| r.value == s.value);
                        if !chosen.into_iter().any(|(.., s)| same(&s)) {
                            continue;
                        }
                        format!("{token} is the chosen letter; name only its rivals")
                    }
                    Ok(_) => format!("\"{token}\" names no letter; name the rival"),
                };
                report.add(&here, "candidate", message);
            }
        }
    }
}

/// Short letters lie in their run, are struck in their year, and have a day.
pub(super) fn cycle_shorts(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (i, s) in c.short.iter().enumerate() {
            let here = spot.part("year", s.year);
            inside(report, &here, c, s.year);
            let chosen = struck(c).filter(|(year, ..)| *year == s.year);
            let candidates = c.candidates.iter().filter(|x| x.year == s.year);
            let rival = candidates.flat_map(rivals).filter_map(|(_, place)| match place {
                Ok(Place::Struck(v)) => Some(v),
                _ => None,
            });
            let mut letters = chosen.map(|(.., s)| s).chain(rival.flatten());
            if !letters.any(|l| l.shown == s.letter) {
                let message = format!("no {} is struck in {}; name its letter", s.letter, s.year);
                report.add(&here, "short", message);
            }
            if s.begins.or(s.ends).is_none() {
                let message = format!("{} has no day; give begins or ends", s.letter);
                report.add(&here, "short", message);
            }
            let same = |o: &ShortLetter| o.year == s.year && o.letter == s.letter;
            if c.short[..i].iter().any(same) {
                let message = format!("{} has its days already; join the two", s.letter);
                report.add(&here, "short", message);
            }
        }
    }
}

/// Outlines lie in their run, one a year on each metal.
pub(super) fn cycle_outlines(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let mut by_metal: HashMap<&str, Vec<Stretch>> = HashMap::new();
        for o in &c.outlines {
            let here = spot.part("outline", o.from);
            inside(report, &here, c, o.from);
            inside(report, &here, c, o.to);
            let metal = match o.metal {
                Metal::Silver => "silver",
                Metal::Gold => "gold",
                Metal::Platinum => "platinum",
                Metal::Palladium => "palladium",
            };
            by_metal.entry(metal).or_default().push(Stretch {
                from: o.from,
                to: o.to,
                spot: Spot::new(here.file, format!("{} {metal}", here.place)),
            });
        }
        for stretches in by_metal.values() {
            no_overlap(report, stretches);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn letters_match_years() {
        let run = "alton cycle 1700";
        let year = |y: i32| format!("{run} year {y}");
        breaks(r#""A B""#, r#""A B C""#, run, "count");
        breaks(r#""A B""#, r#""A? B""#, &year(1700), "letter");
        breaks(r#""A B""#, r#""= B""#, &year(1700), "letter");
        breaks(r#"omitted: "J""#, r#"omitted: "J C""#, &year(1701), "omitted");
        breaks(r#""A B""#, r#""a B""#, &year(1700), "case");
        keeps(r#""A B""#, r#""A/a B""#);
        keeps(r#""A B""#, r#""A+{crown} B""#);
        keeps(r#"letter: "C""#, r#"case: Lower, letter: "c""#);
    }

    #[test]
    fn a_letter_comes_twice_only_with_a_reason() {
        keeps(r#"letter: "C", lettering: Roman, was: "D""#, r#"letter: "A""#);
        breaks(
            r#"letter: "C", lettering: Roman, was: "D", why: "Misread.""#,
            r#"letter: "A""#,
            "alton cycle 1700 year 1701",
            "twice",
        );
        keeps(r#"letter: "C", lettering: Roman, was: "D", why: "Misread.""#, r#"letter: "=""#);
    }

    #[test]
    fn parts_of_a_run_lie_inside_it() {
        let at = |part: &str| format!("alton cycle 1700 {part}");
        breaks("year: 1701", "year: 1702", &at("year 1702"), "inside");
        breaks("candidates: [(year: 1700", "candidates: [(year: 1699", &at("year 1699"), "inside");
        breaks("short: [(year: 1700", "short: [(year: 1699", &at("year 1699"), "inside");
        breaks("1701, metal: Silver", "1705, metal: Silver", &at("outline 1701"), "inside");
    }

    #[test]
    fn notes_candidates_and_short_letters_make_sense() {
        let (first, second) = ("alton cycle 1700 year 1700", "alton cycle 1700 year 1701");
        breaks(r#"why: "Misread.""#, "", second, "note");
        breaks(r#"was: "D""#, r#"was: "C""#, second, "note");
        breaks(r#"why: "Misread.")"#, r#"why: "Misread."), (year: 1701)"#, second, "note");
        breaks(r#"letters: "E""#, r#"letters: "A""#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: "_""#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: """#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: "?""#, first, "candidate");
        breaks(r#"letter: "A", begins"#, r#"letter: "B", begins"#, first, "short");
        breaks(r#"begins: "1700-05-02", ends: "1701-01""#, "", first, "short");
        breaks(
            r#"ends: "1701-01")"#,
            r#"ends: "1701-01"), (year: 1700, letter: "A", ends: "1701-02")"#,
            first,
            "short",
        );
        keeps(r#"letter: "A", begins"#, r#"letter: "E", begins"#);
        breaks(r#"why: "A worn punch.""#, r#"why: """#, first, "why");
    }

    #[test]
    fn outlines_of_a_metal_do_not_overlap() {
        breaks(
            "1700, metal: Silver",
            "1701, metal: Silver",
            "alton cycle 1700 outline 1701 silver",
            "overlap",
        );
    }
}
