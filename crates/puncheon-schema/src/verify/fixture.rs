//! A small folder of tables in order, and what breaks when one text of it is another.

#![cfg(test)]

use super::verify;
use crate::problem::Problem;
use crate::read::Entries;

/// One office with three letter years and everything they need.
pub(super) const GOOD: [(&str, &str); 16] = [
    ("sources.ron", r#"Sources([(id: "guide", title: "A guide"), (id: "act", title: "An act")])"#),
    (
        "devices.ron",
        r#"Devices([
            (id: "tower", name: "tower", kind: Town),
            (id: "tower-burning", name: "burning tower", kind: Town, is: ["tower"]),
            (id: "lion", name: "lion", kind: Standard, misread: ["tower"], strains: []),
            (id: "ep", name: "EP", kind: Lookalike),
        ])"#,
    ),
    (
        "letterings.ron",
        r#"Letterings([
            (id: "roman", name: "roman", strains: [], alike_upper: ["C G", "O Q"], alike_lower: ["n u"],
                styled_upper: "ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
        ])"#,
    ),
    (
        "outlines.ron",
        r#"Outlines([(id: "shield", name: "shield"), (id: "square", name: "square", is: ["shield"])])"#,
    ),
    (
        "standards.ron",
        r#"Standards([
            (id: "sterling", name: "sterling", metal: Silver, parts: 925, exact: "37/40",
                basis: Published, confidence: High, cites: ["act s. 1"]),
        ])"#,
    ),
    (
        "regimes.ron",
        r#"Regimes([
            (id: "lion-silver", standard: "sterling", offices: ["england"], from: "1700", to: "1702",
                marks: [(device: "lion", outline: Square)], basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "alton.ron",
        r#"Office(
            id: "alton", name: "Alton", groups: ["england"], opened: "1700", closed: "1702-06-01",
            year_starts: [
                (from: 1700, to: 1700, day: "05-01", latest: "05-31", basis: Memory, confidence: Low),
                (from: 1701, day: "05-29", basis: Published, confidence: High, cites: ["guide p. 2"]),
            ],
            marks: [
                (id: "alton-tower", slot: Town, device: "tower-burning", from: "1700-05-01", to: "1702-06-01",
                    outline: Shield, basis: Published, confidence: High, cites: ["guide"]),
            ],
            letter_optional: [(from: 1701, why: "Few pieces.")],
            cycles: [
                (from: 1700, to: 1701, lettering: Roman, case: Upper, basis: Both, confidence: High,
                    cites: ["guide"], letters: "A B", omitted: "J",
                    years: [(year: 1701, letter: "C", lettering: Roman, was: "D", why: "Misread.")],
                    candidates: [(year: 1700, letters: "E", why: "A worn punch.")],
                    short: [(year: 1700, letter: "A", begins: "1700-05-02", ends: "1701-01")],
                    outlines: [
                        (from: 1700, to: 1700, metal: Silver, outline: Square),
                        (from: 1701, to: 1701, metal: Silver, outline: Shield),
                    ]),
            ],
            gaps: [(from: 1702, to: 1702, why: "Closing.")],
        )"#,
    ),
    (
        "lookalikes.ron",
        r#"Lookalikes([
            (id: "plate", kind: Plate, what: "plate", why: "w", needs: [["ep"]], from: 1840, to: 1900,
                basis: Memory, confidence: High),
            (id: "pseudo", kind: Pseudo, what: "false", why: "w", basis: Memory, confidence: High),
            (id: "bare-letter", kind: BareLetter, what: "l", why: "w", basis: Memory, confidence: High),
            (id: "bare-figure", kind: BareFigure, what: "f", why: "w", basis: Memory, confidence: High),
            (id: "maker-only", kind: MakerOnly, what: "m", why: "w", basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "warnings.ron",
        r#"Warnings([
            (id: "let-in", when: [Said("inserted"), Seen(["tower-burning", "sterling"]), Offices(["england"]),
                    Years(from: 1700, to: 1701)],
                reason: "Let in.", innocent: "A repair.", judge: "an office", basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "units.ron",
        r#"Units([
            (id: "ounce", name: "ounce", short: "oz t", grams: "31.1034768", system: Troy, scratch: 1,
                say: ["oz t"], bare: ["oz"], bare_why: "else say so", basis: Memory, confidence: High),
            (id: "dwt", name: "pennyweight", short: "dwt", grams: "1.55517384", system: Troy, scratch: 2,
                say: ["dwt"], basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "scales.ron",
        r#"Scales([(id: "carat", name: "carat", whole: 24, say: ["ct"], basis: Memory, confidence: High)])"#,
    ),
    (
        "deductions.ron",
        r#"Deductions([
            (id: "loaded", name: "loading", share: (85, 95), say: ["loaded"], advice: "Only the shell counts.",
                devices: ["ep"], bars: [Gold], basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "boasts.ron",
        r#"Boasts([
            (id: "local", say: ["altonian"], offices: ["alton"], why: "It is of Alton.",
                basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "cautions.ron",
        r#"Cautions([
            (id: "mind", about: "A heading", uses: [Sell], when: [Said(["inserted"]), Stated(["gilt"]),
                    Fits(offices: ["alton"], from: 1702, to: 1703)],
                says: "Mind it.", then: "Ask.", basis: Memory, confidence: High),
        ])"#,
    ),
    (
        "reigns.ron",
        r#"Reigns([(id: "george", name: "George", from: 1714, to: 1727, say: ["george"], head: "lion")])"#,
    ),
    (
        "words.ron",
        r#"Vocabulary([
            (means: Sign("inserted"), say: ["disc let in"]),
            (means: Device("tower"), say: ["tower"], slips: ["towre"], capitals: ["TW"]),
            (means: Device("lion"), say: ["lion"]),
            (means: Device("ep"), say: ["ep"]),
            (means: Town("alton"), say: ["alton"]),
            (means: Standard("sterling"), say: ["sterling", ".925"]),
            (means: Lettering("roman"), say: ["roman"]),
            (means: Outline("shield"), say: ["shield"]),
        ])"#,
    ),
];

pub(super) fn problems(files: &[(&str, String)]) -> Vec<Problem> {
    let (entries, unread) = Entries::read(files.iter().map(|(f, t)| (*f, t.as_str())));
    assert_eq!(unread, [], "the fixture itself must be readable");
    verify(&entries)
}

/// The problems of the good folder with one text put in the place of another.
fn with(old: &str, new: &str) -> Vec<Problem> {
    let found: usize = GOOD.iter().map(|(_, t)| t.matches(old).count()).sum();
    assert_eq!(found, 1, "{old} must stand once in the good folder");
    problems(&GOOD.map(|(f, t)| (f, t.replace(old, new))))
}

/// Asserts that a replacement breaks a rule at a place.
#[track_caller]
pub(super) fn breaks(old: &str, new: &str, place: &str, rule: &str) {
    let found = with(old, new);
    assert!(
        found.iter().any(|p| p.place == place && p.rule == rule),
        "no {rule} at {place}, but {found:#?}"
    );
}

/// Asserts that a replacement is in order.
#[track_caller]
pub(super) fn keeps(old: &str, new: &str) {
    assert_eq!(with(old, new), [], "{new} is in order");
}

/// The problems of the good folder with one file more.
pub(super) fn and(file: &str, text: &str) -> Vec<Problem> {
    let mut files: Vec<(&str, String)> = GOOD.map(|(f, t)| (f, t.to_string())).into();
    files.push((file, text.to_string()));
    problems(&files)
}
