//! The makers' marks on record.

use std::collections::{HashMap, HashSet};

use super::names::Known;
use super::report::{Report, shown_years};
use super::walk::spots;
use crate::date::Bound;
use crate::read::Entries;
use crate::sponsor::{self, Sponsor};

/// Sponsors name letterings, outlines, offices and towns that exist.
pub(super) fn sponsors_named(e: &Entries, report: &mut Report) {
    let (letterings, outlines) = (Known::of(&e.letterings), Known::of(&e.outlines));
    let offices = Known::of(&e.offices);
    let towns: HashSet<String> =
        e.lookalikes.iter().filter_map(|f| f.entry.town.as_deref().map(sponsor::town_id)).collect();
    for (spot, s) in spots(&e.sponsors) {
        letterings.check(report, &spot, s.lettering.iter().map(|n| &n.0));
        outlines.check(report, &spot, s.punch.iter().map(|n| &n.0));
        let elsewhere = s.offices.iter().filter(|o| !towns.contains(*o));
        offices.check(report, &spot, elsewhere);
    }
}

/// A mark has letters or a picture, and a maker, or a note that says why it has none.
pub(super) fn sponsors_struck(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        let letters = !sponsor::capitals(&s.struck).is_empty();
        if letters != s.picture.is_empty() {
            let message = "a mark has letters, or a picture instead; write `struck` or `picture`";
            report.add(&spot, "struck", message);
        }
        if s.names.is_empty() && s.firm.is_empty() && s.note.is_empty() {
            let message = "no maker is named; name one, or say why not in `note`";
            report.add(&spot, "maker", message);
        }
        let said = s.names.iter().chain(&s.beside).chain(&s.with).chain(&s.trade);
        if said.into_iter().any(|w| w.trim().is_empty()) {
            report.add(&spot, "empty", "an item of a list is empty; fill it or drop it");
        }
    }
}

/// Longer than any mark was handed down without a word about it, in years.
const LONG_USE: i32 = 130;

/// Years run forwards, no mark is older than its users, and its offices were open in its time.
pub(super) fn sponsors_dated(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        if s.from.is_none() && s.to.is_some() || s.to.is_none() && s.still {
            let message = "a last year needs a first, and `still` a last";
            report.add(&spot, "years", message);
        }
        let Some(from) = s.from else { continue };
        let to = s.to.unwrap_or(from);
        if from > to || to - from > LONG_USE {
            let message = format!(
                "its years run from {from} to {to}; turn them round, or make an entry for each user"
            );
            report.add(&spot, "years", message);
        }
        for o in e.offices.iter().filter(|o| s.offices.contains(&o.entry.id)) {
            let o = &o.entry;
            let opened = o.opened.year();
            let closed = o.closed.map_or(i32::MAX, Bound::year);
            if to < opened || from > closed {
                let message = format!(
                    "{} was open in {}; the mark stood in {}",
                    o.name,
                    shown_years(opened, closed),
                    shown_years(from, to)
                );
                report.add(&spot, "open", message);
            }
        }
    }
}

/// The letters of a mark are initials of its names or firm, or the entry says why not.
pub(super) fn sponsors_initials(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        let known = !(s.names.is_empty() && s.firm.is_empty());
        if known && s.letters_why.is_empty() && !initials_match(s) {
            let message = format!(
                "\"{}\" is not the initials of its names or firm; correct one, or say why in `letters_why`",
                s.struck
            );
            report.add(&spot, "initials", message);
        }
    }
}

/// Is every capital of the mark the initial of a word of the names or the firm, and is every surname
/// among them?
fn initials_match(s: &Sponsor) -> bool {
    // "McKay" gives M and K, "O'Shaughnessy" O and S.
    let initials = |name: &str| -> Vec<u8> {
        let mut out = Vec::new();
        let mut before = ' ';
        for c in name.chars() {
            if c.is_uppercase() || !before.is_alphanumeric() && before != '\'' {
                out.extend(sponsor::fold(c));
            }
            before = c;
        }
        out
    };
    let capitals = sponsor::capitals(&s.struck);
    let covered = |mut have: Vec<u8>| {
        capitals.iter().all(|c| {
            let at = have.iter().position(|h| h == c);
            at.map(|i| have.swap_remove(i)).is_some()
        })
    };
    let people: Vec<&str> = s.names.iter().map(|n| without_number(n)).collect();
    let names: Vec<u8> = people.iter().flat_map(|n| initials(n)).collect();
    let firm = initials(&s.firm);
    let surnames = people.iter().all(|n| {
        let first = n.rsplit(' ').next().and_then(|w| w.chars().next());
        first.and_then(sponsor::fold).is_none_or(|f| capitals.contains(&f))
    });
    covered(firm.clone()) || surnames && covered([names, firm].concat())
}

/// A name without the number that tells a man from his father: `Robert Hennell II`.
fn without_number(name: &str) -> &str {
    match name.rsplit_once(' ') {
        Some((rest, number)) if number.chars().all(|c| "IVX".contains(c)) => rest,
        _ => name,
    }
}

/// No mark is entered twice: the same letters, makers, office and time.
pub(super) fn sponsors_once(e: &Entries, report: &mut Report) {
    let mut by_letters: HashMap<Vec<u8>, Vec<&Sponsor>> = HashMap::new();
    for (spot, s) in spots(&e.sponsors) {
        let letters = s.struck.chars().filter_map(sponsor::fold).collect();
        let same = by_letters.entry(letters).or_default();
        let who = |x: &Sponsor| (x.names.clone(), x.firm.clone());
        let looks = |x: &Sponsor| (x.lettering.clone(), x.beside.clone(), x.punch.clone());
        let years = |x: &Sponsor| {
            let from = x.from.unwrap_or(i32::MIN);
            (from, x.to.unwrap_or(from))
        };
        let (from, to) = years(s);
        let twice = same.iter().find(|x| {
            let (a, b) = years(x);
            a <= to
                && from <= b
                && x.offices.iter().any(|o| s.offices.contains(o))
                && who(x) == who(s)
                && looks(x) == looks(s)
        });
        if let Some(other) = twice {
            let message =
                format!("the same mark as {}; join the two, or say how they differ", other.id);
            report.add(&spot, "twice", message);
        }
        same.push(s);
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::and;

    #[test]
    fn sponsors_are_in_order() {
        let sponsors = |fields: &str| {
            let text = format!(
                r#"Sponsors([
                    (id: "one", struck: "AB/C", offices: ["alton"], from: 1700, to: 1701, names: ["Ann Bell"],
                        firm: "Bell & Co.", basis: Memory, confidence: Low),
                    (id: "two", {fields}),
                ])"#
            );
            and("sponsors.ron", &text)
        };
        let rest = "basis: Memory, confidence: Low";
        let rules = |fields: &str| -> Vec<String> {
            let found = sponsors(&format!("{fields}, {rest}"));
            assert!(found.iter().all(|p| p.place == "sponsor two"), "{found:#?}");
            found.into_iter().map(|p| p.rule).collect()
        };
        let jo = r#"names: ["Jo Vane II"]"#;
        for good in [
            r#"struck: "JU", names: ["Iris Vane"], from: 1701, still: false"#,
            r#"struck: "IV", names: ["Jo Vane"], offices: ["alton"], from: 1650, to: 1700"#,
            r#"picture: "a hat", names: ["Jo Vane"], lettering: Roman, punch: [Square]"#,
            r#"struck: "VA", names: ["Jo Vane"], letters_why: "two of the surname""#,
            r#"struck: "XY", note: "The maker is not known.""#,
            // The same letters in another hand, at another time or place.
            r#"struck: "AB/C", names: ["Ann Bell"], firm: "Bell & Co.", offices: ["alton"], from: 1702"#,
        ] {
            assert_eq!(rules(good), [] as [String; 0], "{good}");
        }
        for (bad, rule) in [
            (format!(r#"struck: "JV", lettering: Uncial, {jo}"#), "name"),
            (format!(r#"struck: "JV", punch: [Oval], {jo}"#), "name"),
            (format!(r#"struck: "JV", offices: ["york"], {jo}"#), "name"),
            (format!(r#"picture: "a hat", struck: "JV", {jo}"#), "struck"),
            (jo.to_string(), "struck"),
            (r#"struck: "JV""#.to_string(), "maker"),
            (format!(r#"struck: "JV", beside: [""], {jo}"#), "empty"),
            (format!(r#"struck: "JV", to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1701, to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1501, to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1800, offices: ["alton"], {jo}"#), "open"),
            (format!(r#"struck: "JW", {jo}"#), "initials"),
            (format!(r#"struck: "J", {jo}"#), "initials"),
            (
                r#"struck: "AB/C", names: ["Ann Bell"], firm: "Bell & Co.", offices: ["alton"], from: 1701"#
                    .to_string(),
                "twice",
            ),
        ] {
            assert_eq!(rules(&bad), [rule], "{bad}");
        }
        let uncited = r#"struck: "JV", names: ["Jo Vane"], basis: Memory, confidence: Low, letters_basis: Published"#;
        assert!(sponsors(uncited).iter().any(|p| p.rule == "basis"));
        let unknown = r#"struck: "JV", names: ["Jo Vane"], basis: Published, confidence: Low, cites: ["atlas p. 2"]"#;
        assert!(sponsors(unknown).iter().any(|p| p.rule == "name"));
    }
}
