//! Units, scales and deductions.

use std::collections::{HashMap, HashSet};

use super::report::Report;
use super::walk::spots;
use crate::entry::DeviceKind;
use crate::read::Entries;

/// A unit is an exact decimal of grams, and each place of an old weight belongs to one unit.
pub(super) fn units_exact(e: &Entries, report: &mut Report) {
    let mut places: HashMap<u8, &str> = HashMap::new();
    for (spot, u) in spots(&e.units) {
        if grams(&u.grams).is_none() {
            let message =
                format!("grams \"{}\" is no decimal above nothing; write \"31.1034768\"", u.grams);
            report.add(&spot, "unit", message);
        }
        if let Some(first) = u.scratch.and_then(|p| places.insert(p, &u.id)) {
            let message = format!("{first} has its place of an old weight; give it another");
            report.add(&spot, "unit", message);
        }
        if u.bare.is_empty() != u.bare_why.is_empty() {
            let message = "bare phrases and bare_why go together; give both or neither";
            report.add(&spot, "unit", message);
        }
    }
    if let Some((spot, _)) = spots(&e.units).nth(u32::BITS as usize) {
        report.add(&spot, "unit", "there are more units than can be told apart; leave some out");
    }
    for (spot, s) in spots(&e.scales) {
        if s.whole == 0 {
            report.add(&spot, "scale", "its whole has no parts; write 24");
        }
    }
}

/// Figures before and behind the point of an exact weight.
fn grams(text: &str) -> Option<(u64, &str)> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let figures = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let sound = figures(whole) && figures(part) && part.len() <= 12;
    let whole = whole.parse().ok().filter(|_| sound)?;
    (whole > 0 || part.bytes().any(|b| b != b'0')).then_some((whole, part))
}

/// Words of units, scales and deductions are written in small letters and without points; a bare
/// phrase of a unit is a phrase of no other, and no deduction's phrase is another's.
pub(super) fn weight_phrases(e: &Entries, report: &mut Report) {
    let mut bare: HashMap<&str, &str> = HashMap::new();
    let written = |p: &str| {
        let sound = |c: char| c.is_ascii_lowercase() || c == ' ';
        !p.is_empty() && p.chars().all(sound) && p.split(' ').all(|w| !w.is_empty())
    };
    let units = spots(&e.units).map(|(spot, u)| (spot, u.say.iter().chain(&u.bare)));
    for (spot, phrases) in units {
        for p in phrases.filter(|p| !written(p)) {
            let message = format!("phrase \"{p}\": write small letters alone, such as \"oz t\"");
            report.add(&spot, "phrase", message);
        }
    }
    for (spot, u) in spots(&e.units) {
        for p in &u.bare {
            let said = e.units.iter().any(|f| f.entry.say.contains(p));
            if said || bare.insert(p, &u.id).is_some() {
                let message = format!("phrase \"{p}\" means a unit already; leave one out");
                report.add(&spot, "phrase", message);
            }
        }
    }
    let scales = spots(&e.scales).map(|(spot, s)| (spot, &s.say));
    let deductions = spots(&e.deductions).map(|(spot, d)| (spot, &d.say));
    let mut seen: HashSet<&str> = HashSet::new();
    for (spot, phrases) in scales.chain(deductions) {
        for p in phrases {
            if !written(p) {
                let message = format!("phrase \"{p}\": write small letters alone");
                report.add(&spot, "phrase", message);
            }
            if !seen.insert(p) {
                let message = format!("phrase \"{p}\" is given twice; leave one out");
                report.add(&spot, "phrase", message);
            }
        }
    }
}

/// A deduction says what is done about it, its share is a part of the whole, and its devices are those
/// of lookalikes.
pub(super) fn deductions_said(e: &Entries, report: &mut Report) {
    for (spot, d) in spots(&e.deductions) {
        if d.advice.trim().is_empty() || !d.advice.ends_with('.') {
            let message = "its advice is no sentence; say what the trade does about it";
            report.add(&spot, "deduction", message);
        }
        if d.say.is_empty() {
            report.add(&spot, "deduction", "no phrase speaks of it; give one");
        }
        if let Some((low, high)) = d.share
            && (low > high || high > 100)
        {
            let message = format!("its share runs from {low} to {high}; write hundredths, rising");
            report.add(&spot, "deduction", message);
        }
        for device in &d.devices {
            let known = e.devices.iter().map(|f| &f.entry);
            if !known.clone().any(|k| k.id == *device && k.kind == DeviceKind::Lookalike) {
                let message = format!("\"{device}\" is no device of a lookalike; name one");
                report.add(&spot, "deduction", message);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn weights_are_exact_and_their_words_are_plain() {
        for (old, new, at, rule) in [
            ("31.1034768", "31.1O", "unit ounce", "unit"),
            ("31.1034768", "0.0", "unit ounce", "unit"),
            ("scratch: 2", "scratch: 1", "unit dwt", "unit"),
            (r#", bare_why: "else say so""#, "", "unit ounce", "unit"),
            ("whole: 24", "whole: 0", "scale carat", "scale"),
            (r#"say: ["oz t"]"#, r#"say: ["Oz. t"]"#, "unit ounce", "phrase"),
            (r#"say: ["dwt"]"#, r#"say: ["oz"]"#, "unit ounce", "phrase"),
            (r#"say: ["ct"]"#, r#"say: ["loaded"]"#, "deduction loaded", "phrase"),
            (r#"say: ["loaded"]"#, r#"say: ["co-loaded"]"#, "deduction loaded", "phrase"),
            (r#"say: ["loaded"]"#, "say: []", "deduction loaded", "deduction"),
            ("the shell counts.", "the shell", "deduction loaded", "deduction"),
            ("(85, 95)", "(95, 85)", "deduction loaded", "deduction"),
            (r#"["altonian"]"#, r#"["Alton's"]"#, "boast local", "boast"),
            (r#"["altonian"]"#, r#"["altonian", "altonian"]"#, "boast local", "boast"),
            (r#"["altonian"]"#, "[]", "boast local", "boast"),
            ("It is of Alton.", "Alton", "boast local", "boast"),
            (r#"offices: ["alton"], why"#, r#"offices: ["camelot"], why"#, "boast local", "boast"),
            (r#"devices: ["ep"]"#, r#"devices: ["tower"]"#, "deduction loaded", "deduction"),
        ] {
            breaks(old, new, at, rule);
        }
    }
}
