//! The vocabulary: what its phrases mean, how they are written, and what they must reach.

use std::collections::{BTreeSet, HashMap};

use super::devices::Web;
use super::names::Known;
use super::report::{Report, Spot};
use super::walk::{spots, struck_devices};
use crate::entry::{DeviceKind, Standing};
use crate::meaning::{Grammar, Meaning, Words};
use crate::read::{Entries, Filed};

/// The vocabulary means things that exist.
pub(super) fn vocabulary_names(e: &Entries, report: &mut Report) {
    let devices = Known::of(&e.devices);
    for f in &e.words {
        let spot = group_spot(f);
        match &f.entry.means {
            Meaning::Device(d) => devices.check(report, &spot, [d]),
            Meaning::Lettering(l) => Known::of(&e.letterings).check(report, &spot, [l]),
            Meaning::Outline(o) => Known::of(&e.outlines).check(report, &spot, [o]),
            Meaning::Town(o) => Known::of(&e.offices).check(report, &spot, [o]),
            Meaning::Standard(s) => Known::of(&e.standards).check(report, &spot, [s]),
            Meaning::Reign(r) => Known::of(&e.reigns).check(report, &spot, [r]),
            _ => {}
        }
    }
    for (spot, r) in spots(&e.reigns) {
        devices.check(report, &spot, &r.head);
    }
}

/// Only a device's words can depend on what stands beside them.
pub(super) fn words_stand(e: &Entries, report: &mut Report) {
    for f in &e.words {
        let g = &f.entry;
        if g.stands != Standing::Anyhow && !matches!(g.means, Meaning::Device(_)) {
            let message = "`stands` is for the words of a device; leave it out";
            report.add(&group_spot(f), "stands", message);
        }
    }
}

/// A date is parted into thirds, halves, quarters, tenths, or a century's decades.
pub(super) fn fractions_told(e: &Entries, report: &mut Report) {
    for f in &e.words {
        if let Meaning::Fraction(nth, of) = f.entry.means {
            let told = match of {
                2..=4 | 10 => (1..=of).contains(&nth),
                100 => nth < 100 && nth % 10 == 0,
                _ => false,
            };
            if !told {
                let message = "a fraction is a half, third, quarter or tenth by its number, or a \
                               decade by its years of a hundred";
                report.add(&group_spot(f), "fraction", message);
            }
        }
    }
}

/// A group of words is found by its first phrase.
pub(super) fn group_spot(f: &Filed<Words>) -> Spot<'_> {
    let g = &f.entry;
    let first = g.say.iter().chain(&g.slips).chain(&g.capitals).next();
    match first {
        Some(phrase) => Spot::phrase(&f.file, phrase),
        None => Spot::new(&f.file, format!("words of {:?}", g.means)),
    }
}

/// A phrase, where it stands and what it means.
struct Phrase<'a> {
    file: &'a str,
    text: &'a str,
    means: String,
    within: &'a [Grammar],
}

/// All phrases that count however they are typed.
fn phrases(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    let groups = e.words.iter().flat_map(|f| {
        let g = &f.entry;
        g.say.iter().chain(&g.slips).map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", g.means),
            within: &g.within,
        })
    });
    let reigns = e.reigns.iter().flat_map(|f| {
        f.entry.say.iter().map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", Meaning::Reign(f.entry.id.clone())),
            within: &[],
        })
    });
    groups.chain(reigns).chain(of_items(e)).chain(of_weights(e))
}

/// The phrases of units and scales, which count within weights; those of several units once.
fn of_weights(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    let within = &[Grammar::Weights][..];
    let mut once = BTreeSet::new();
    let units = e.units.iter().flat_map(|f| {
        let all = f.entry.say.iter().chain(&f.entry.bare);
        all.map(|text| (f.file.as_str(), text, format!("unit {}", f.entry.id)))
    });
    let units = units.filter(move |(_, text, _)| once.insert(*text));
    let scales = e.scales.iter().flat_map(|f| {
        let means = format!("scale {}", f.entry.id);
        f.entry.say.iter().map(move |text| (f.file.as_str(), text, means.clone()))
    });
    units.chain(scales).map(move |(file, text, means)| Phrase { file, text, means, within })
}

/// The phrases of deductions and boasts, which count within items.
fn of_items(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    let within = &[Grammar::Items][..];
    let deductions = e.deductions.iter().flat_map(move |f| {
        let means = format!("deduction {}", f.entry.id);
        let file = &f.file;
        f.entry.say.iter().map(move |text| Phrase { file, text, means: means.clone(), within })
    });
    let boasts = e.boasts.iter().flat_map(move |f| {
        let means = format!("boast {}", f.entry.id);
        let file = &f.file;
        f.entry.say.iter().map(move |text| Phrase { file, text, means: means.clone(), within })
    });
    deductions.chain(boasts)
}

/// Abbreviations that count only in capitals.
fn capitals(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    e.words.iter().flat_map(|f| {
        f.entry.capitals.iter().map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", f.entry.means),
            within: &f.entry.within,
        })
    })
}

/// A phrase has one meaning in a grammar, and may have another in capitals.
pub(super) fn phrases_once(e: &Entries, report: &mut Report) {
    let mut once = |phrases: &mut dyn Iterator<Item = Phrase>| {
        let mut seen: HashMap<(String, Option<Grammar>), (String, String)> = HashMap::new();
        for p in phrases {
            let everywhere = p.within.is_empty().then_some(None);
            for grammar in p.within.iter().copied().map(Some).chain(everywhere) {
                let key = (p.text.to_lowercase(), grammar);
                if let Some((file, means)) = seen.get(&key) {
                    let message = format!(
                        "means {} here and {means} in {file}; keep one of the two",
                        p.means
                    );
                    report.add(&Spot::phrase(p.file, p.text), "phrase-twice", message);
                    continue;
                }
                seen.insert(key, (p.file.into(), p.means.clone()));
            }
        }
    };
    once(&mut phrases(e));
    once(&mut capitals(e));
}

/// Phrases are written as a description is read, and no group is empty.
pub(super) fn phrases_written(e: &Entries, report: &mut Report) {
    let mut written = |p: &Phrase, case: &str, cased: String| {
        let message = if p.text.is_empty() {
            "it is empty; write a phrase or drop it".to_string()
        } else if cased != p.text {
            format!("it is not in {case}; write \"{cased}\"")
        } else if let Some(fault) = fault(p.text) {
            fault.to_string()
        } else {
            return;
        };
        report.add(&Spot::phrase(p.file, p.text), "phrase", message);
    };
    for p in phrases(e) {
        written(&p, "lower case", p.text.to_lowercase());
    }
    for p in capitals(e) {
        written(&p, "capitals", p.text.to_uppercase());
    }
    for f in &e.words {
        let g = &f.entry;
        if g.say.is_empty() && g.slips.is_empty() && g.capitals.is_empty() {
            report.add(&group_spot(f), "phrase", "the group has no phrase; add one");
        }
    }
}

/// What keeps a phrase from ever being found.
fn fault(phrase: &str) -> Option<&'static str> {
    let words: Vec<&str> = phrase.split_whitespace().collect();
    if words.join(" ") != phrase {
        Some("its words are not parted by single spaces")
    } else if phrase.contains(['\'', '’', ',']) {
        Some("descriptions are read without apostrophes and commas; leave them out")
    } else if !words.iter().all(|w| points_in_figures(w) || signed(w)) {
        Some("a point counts only in figures and behind single letters (m.m.); leave it out")
    } else {
        None
    }
}

/// Is it an abbreviation of single letters, each with its point or stroke, as in `m.m.` and `w/`?
fn signed(word: &str) -> bool {
    let sign = |b: u8| matches!(b, b'.' | b'/');
    let alternates = |(i, b): (usize, u8)| {
        if i % 2 == 0 { b.is_ascii_lowercase() } else { sign(b) }
    };
    word.len() > 1 && word.bytes().enumerate().all(alternates)
}

/// Does every point open or part figures, as in `.925` and `0.925`?
fn points_in_figures(word: &str) -> bool {
    let b = word.as_bytes();
    let digit = |i: usize| b.get(i).is_some_and(u8::is_ascii_digit);
    (0..b.len()).filter(|i| b[*i] == b'.').all(|i| digit(i + 1) && (i == 0 || digit(i - 1)))
}

/// Some phrase means each device that can be struck, or a broader one; and each device that a
/// lookalike needs, or a narrower one.
pub(super) fn devices_reached(e: &Entries, report: &mut Report) {
    let web = Web::devices(e);
    let said: BTreeSet<&str> = e
        .words
        .iter()
        .flat_map(|f| match &f.entry.means {
            Meaning::Device(d) => std::slice::from_ref(d),
            _ => &[],
        })
        .map(String::as_str)
        .collect();
    let struck = struck_devices(e);
    let needed: BTreeSet<&str> = e
        .lookalikes
        .iter()
        .flat_map(|f| f.entry.needs.iter().flatten())
        .map(String::as_str)
        .collect();
    let met: BTreeSet<&str> = said.iter().flat_map(|d| web.with_broader(d)).collect();
    for (spot, d) in spots(&e.devices) {
        let id = d.id.as_str();
        let is_struck = struck.contains(id) && d.kind != DeviceKind::Lookalike;
        if is_struck && !web.with_broader(id).iter().any(|w| said.contains(w)) {
            let message = "no phrase means it or a broader device; add one to the vocabulary";
            report.add(&spot, "unreached", message);
        } else if needed.contains(id) && !met.contains(id) {
            let message = "a lookalike needs it and no phrase means it; add one to the vocabulary";
            report.add(&spot, "unreached", message);
        }
    }
}

/// Every office can be named.
pub(super) fn towns_named(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let names_it = |f: &Filed<Words>| matches!(&f.entry.means, Meaning::Town(t) if *t == o.id);
        if !e.words.iter().any(names_it) {
            let message = format!("no phrase means Town(\"{}\"); add one", o.id);
            report.add(&spot, "town", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn the_vocabulary_names_known_things() {
        for (old, new, place) in [
            (r#"Device("tower")"#, r#"Device("towr")"#, "words 'tower'"),
            (r#"Device("lion")"#, r#"Device("lyon")"#, "words 'lion'"),
            (r#"Lettering("roman")"#, r#"Lettering("sans")"#, "words 'roman'"),
            (r#"Outline("shield")"#, r#"Outline("oval")"#, "words 'shield'"),
            (r#"Town("alton")"#, r#"Town("alten")"#, "words 'alton'"),
            (r#"Standard("sterling")"#, r#"Standard("fine")"#, "words 'sterling'"),
            (r#"Outline("shield")"#, r#"Reign("anne")"#, "words 'shield'"),
            (r#"head: "lion""#, r#"head: "lyon""#, "reign george"),
        ] {
            breaks(old, new, place, "name");
        }
    }

    #[test]
    fn only_the_words_of_a_device_may_need_a_place() {
        let (device, town) = (r#"say: ["lion"]"#, r#"say: ["alton"]"#);
        keeps(device, r#"stands: Joined, say: ["lion"]"#);
        breaks(town, r#"stands: Joined, say: ["alton"]"#, "words 'alton'", "stands");
    }

    #[test]
    fn a_phrase_has_one_meaning() {
        breaks(r#"say: ["roman"]"#, r#"say: ["roman", "towre"]"#, "words 'towre'", "phrase-twice");
        breaks(
            r#"say: ["roman"]"#,
            r#"say: ["roman"], capitals: ["TW"]"#,
            "words 'TW'",
            "phrase-twice",
        );
        keeps(r#"say: ["roman"]"#, r#"say: ["roman"], capitals: ["TOWER"]"#);
    }

    #[test]
    fn phrases_are_written_as_read() {
        for phrase in
            ["", "Roman", " roman", "roman  face", "st dunstan's", "a, b", "st. john", "925."]
        {
            breaks(
                r#"say: ["roman"]"#,
                &format!("say: [\"{phrase}\"]"),
                &format!("words '{phrase}'"),
                "phrase",
            );
        }
        breaks(r#"["TW"]"#, r#"["Tw"]"#, "words 'Tw'", "phrase");
        breaks(r#"say: ["roman"]"#, "say: []", r#"words of Lettering("roman")"#, "phrase");
        keeps(r#"say: ["roman"]"#, r#"say: ["roman", "0.925 roman", "?"]"#);
    }

    #[test]
    fn devices_and_towns_can_be_said() {
        breaks(r#"Device("tower")"#, "Filler", "device tower-burning", "unreached");
        breaks(r#"Device("ep")"#, "Filler", "device ep", "unreached");
        breaks(r#"Town("alton")"#, "Filler", "alton", "town");
        keeps(r#"Device("tower")"#, r#"Device("tower-burning")"#);
    }

    #[test]
    fn a_fraction_is_a_part_that_can_be_told() {
        let of = |nth_of: &str| format!("Fraction({nth_of})");
        let town = r#"Lettering("roman")"#;
        for good in ["1, 2", "4, 4", "10, 10", "0, 100", "90, 100"] {
            keeps(town, &of(good));
        }
        for bad in ["0, 2", "3, 2", "1, 5", "95, 100", "11, 10"] {
            breaks(town, &of(bad), "words 'roman'", "fraction");
        }
    }
}
