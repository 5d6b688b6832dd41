//! The contract's rules and examples as checks, grouped by its sections.
//!
//! One test for each rule, named after it, with a table of phrases inside. What is expected comes
//! from the words of `docs/contract.md`; the letters and years that a phrase is tried on are those
//! of the offices' tables. A failure names the phrase and what came out, and a table is run to its
//! end before it fails.

use std::collections::BTreeSet;
use std::fmt::Debug;
use std::io::{Read, Write};
use std::process::{Command, Stdio};

use puncheon::reading::{Outcome, OutsideBecause, RemarkKind};
use puncheon::schema::entry::{Confidence, Origin};
use puncheon::{Options, Reading, Tables, What};
use puncheon_tests::{Ran, run};
use serde_json::Value;

const EXE: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

// ---------------------------------------------------------------------------------------------
// Helpers
// ---------------------------------------------------------------------------------------------

/// A public enum's name in JSON.
macro_rules! name {
    ($of:expr) => {
        text_of(serde_json::to_value($of))
    };
}

/// The failures of one table of cases.
#[derive(Default)]
struct Misses(Vec<String>);

impl Misses {
    fn same<T: PartialEq + Debug>(&mut self, phrase: &str, got: T, want: T) {
        if got != want {
            self.0.push(format!("{phrase:?}\n      came out {got:?}\n      expected {want:?}"));
        }
    }

    fn that(&mut self, phrase: &str, holds: bool, got: impl Debug, want: &str) {
        if !holds {
            self.0.push(format!("{phrase:?}\n      came out {got:?}\n      expected {want}"));
        }
    }
}

impl Drop for Misses {
    fn drop(&mut self) {
        if !self.0.is_empty() && !std::thread::panicking() {
            panic!("{} failed:\n    {}\n", self.0.len(), self.0.join("\n    "));
        }
    }
}

fn read(text: &str) -> Reading {
    puncheon::read(Tables::builtin(), text, &Options::default())
}

/// A reading bounded to one office and some letter years.
fn bounded(text: &str, office: Option<&str>, years: Option<(i32, i32)>, complete: bool) -> Reading {
    let mut o = Options::default();
    o.office = office.map(|name| Tables::builtin().office(name).expect("an office"));
    o.between = years;
    o.complete = complete;
    puncheon::read(Tables::builtin(), text, &o)
}

/// All that was understood of a description.
fn understood(text: &str) -> puncheon::Understood {
    puncheon::understood(Tables::builtin(), text)
}

/// The marks, each as "kind: what it reads as".
fn marks(text: &str) -> Vec<String> {
    understood(text)
        .sightings
        .into_iter()
        .map(|seen| format!("{}: {}", name!(seen.kind), seen.reads_as))
        .collect()
}

/// The marks, each as its kind and the words it came from.
fn kinds(text: &str) -> Vec<(String, String)> {
    understood(text).sightings.into_iter().map(|seen| (name!(seen.kind), seen.text)).collect()
}

/// Kinds alone.
fn kinds_only(text: &str) -> Vec<String> {
    kinds(text).into_iter().map(|(k, _)| k).collect()
}

fn text_of(v: Result<Value, serde_json::Error>) -> String {
    match v {
        Ok(Value::String(s)) => s,
        other => format!("{other:?}"),
    }
}

fn remarks(text: &str) -> Vec<(RemarkKind, String)> {
    understood(text).remarks.into_iter().map(|r| (r.remark, r.text)).collect()
}

fn has_remark(text: &str, kind: RemarkKind) -> bool {
    remarks(text).iter().any(|(k, _)| *k == kind)
}

/// What is claimed, each as "office from-to period standard", with what is not said left out.
fn claimed(text: &str) -> Vec<String> {
    understood(text)
        .claimed
        .into_iter()
        .map(|c| {
            let years = match (c.from, c.to) {
                (Some(a), Some(b)) => Some(format!("{a}-{b}")),
                (Some(a), None) => Some(format!("{a}-")),
                (None, Some(b)) => Some(format!("-{b}")),
                (None, None) => None,
            };
            [c.office, years, c.period, c.standard]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect()
}

fn outcome(text: &str) -> String {
    let r = read(text);
    match r.outside_because {
        Some(b) => format!("{}: {}", name!(r.outcome), name!(b)),
        None => name!(r.outcome),
    }
}

/// Ids of the lookalikes met.
fn lookalikes(text: &str) -> Vec<String> {
    read(text).lookalikes.into_iter().map(|l| l.id).collect()
}

fn lookalike_kinds(text: &str) -> BTreeSet<&'static str> {
    read(text).lookalikes.iter().map(|l| l.kind).collect()
}

/// How a whole description bears on an office and letter year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Bears {
    /// Some entry clashes and strains with nothing.
    Fits,
    /// Some entry clashes with nothing, but each strains.
    Strains,
    /// No entry fits, but one mark or two misread would make one.
    Near,
    /// Not even that.
    Gone,
}
use Bears::*;

fn bears_on(r: &Reading, office: &str, year: i32) -> Bears {
    let here = |f: &&puncheon::reading::Fit| {
        f.office.as_deref() == Some(office) && f.from <= year && year <= f.to
    };
    let mut best = Gone;
    for f in r.fits.iter().filter(here) {
        if f.strains.is_empty() && f.strain == 0 {
            return Fits;
        }
        best = Strains;
    }
    if best == Gone && r.nears.iter().any(|n| here(&n)) {
        best = Near;
    }
    best
}

fn bears(text: &str, office: &str, year: i32) -> Bears {
    bears_on(&bounded(text, Some(office), Some((year, year)), false), office, year)
}

fn bears_complete(text: &str, office: &str, year: i32) -> Bears {
    bears_on(&bounded(text, Some(office), Some((year, year)), true), office, year)
}

/// The lines of a table, without its comments.
fn lines(table: &str) -> impl Iterator<Item = &str> {
    table.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#'))
}

/// A table of office, letter year, how the phrase should bear on it, and the phrase.
fn bearings(table: &str) {
    let mut m = Misses::default();
    for line in lines(table) {
        let mut rest = line;
        let mut word = || {
            let (w, r) = rest.split_once(' ').expect("four columns");
            rest = r.trim_start();
            w
        };
        let (office, year, want) = (word(), word(), word());
        let year = year.parse().expect("a year");
        let want = [Fits, Strains, Near, Gone]
            .into_iter()
            .find(|b| format!("{b:?}") == want)
            .expect("a bearing");
        m.same(&format!("{rest} ({office} {year})"), bears(rest, office, year), want);
    }
}

/// A table of phrases, each with what a function should make of it: `phrase => a: b | c: d`.
fn table(table: &str, of: impl Fn(&str) -> Vec<String>) {
    let mut m = Misses::default();
    for line in lines(table) {
        let (text, want) = line.split_once("=>").expect("a phrase and its marks");
        let want = want.split('|').map(str::trim).filter(|w| !w.is_empty());
        m.same(text.trim(), of(text.trim()), want.map(str::to_string).collect());
    }
}

/// A table of phrases and the marks they should give, each as its kind and what it reads as.
fn tables_of_marks(cases: &str) {
    table(cases, marks);
}

/// A table of phrases and the marks they should give, each as its kind and its words.
fn tables_of_kinds(cases: &str) {
    table(cases, |text| {
        let all = kinds(text).into_iter();
        all.map(|(k, t)| format!("{k}: {t}")).collect()
    });
}

/// The office-years that fit, without the strained ones if asked.
fn years_of(r: &Reading) -> BTreeSet<(String, i32)> {
    r.fits
        .iter()
        .flat_map(|f| {
            (f.from..=f.to).map(|y| (f.office.clone().unwrap_or_else(|| "none".into()), y))
        })
        .collect()
}

/// Fits in short, for showing.
fn fits(r: &Reading) -> Vec<String> {
    r.fits
        .iter()
        .map(|f| {
            format!(
                "{} {} {} {:?}{}",
                f.office.as_deref().unwrap_or("-"),
                f.shown,
                f.metal,
                f.fineness,
                if f.strains.is_empty() { "" } else { " strained" }
            )
        })
        .collect()
}

fn puncheon(args: &[&str], input: &str) -> Ran {
    run(EXE, args, input)
}

/// The program's answers in JSON, a line each.
fn json(args: &[&str], input: &str) -> Vec<Value> {
    let ran = puncheon(args, input);
    ran.out
        .lines()
        .map(|l| serde_json::from_str(l).unwrap_or_else(|e| panic!("{args:?}: {e}: {l}")))
        .collect()
}

/// The program on a pseudo-terminal. None where the machine has no `script` to make one.
fn on_a_terminal(args: &str, lang: &str) -> Option<(String, i32)> {
    let done = Command::new("script")
        .args(["-qec", &format!("'{EXE}' {args}"), "/dev/null"])
        .env_clear()
        .env("PATH", std::env::var_os("PATH").unwrap_or_default())
        .env("TERM", "xterm")
        .env("LANG", lang)
        .stdin(Stdio::null())
        .output()
        .ok()?;
    Some((String::from_utf8_lossy(&done.stdout).into_owned(), done.status.code()?))
}

/// Mathematical letters and those that stand in their holes.
fn styled(text: &str) -> Option<char> {
    text.chars()
        .find(|c| ('\u{1d400}'..='\u{1d7ff}').contains(c) || "ℭℌℑℜℨℬℰℱℋℐℒℳℛℯℊℴℎ".contains(*c))
}

// ---------------------------------------------------------------------------------------------
// Section 1: from words to sightings
// ---------------------------------------------------------------------------------------------

#[test]
fn s1_never_fails_and_offsets_point_into_the_text_as_typed() {
    let long = "anchor and ".repeat(3000);
    let open = "(".repeat(5000);
    let mixed =
        "ａｎｃｈｏｒ, ‘lion’ pass\u{200b}ant, 𝔨?, é, 🦁, \u{1f3f4}\u{e0067}, \0, \r\n;;;///…";
    let cases = [
        "",
        " ",
        "\n",
        "?",
        ",",
        "a",
        "/",
        "& & &",
        ".",
        "..925",
        "1,785,33.2.1",
        "((((",
        "\"",
        "'",
        "’’’",
        "\u{0}",
        "\u{200b}",
        "𝔨",
        "𝔨𝔨𝔨",
        "ℭ?ℌ",
        "no",
        "no no no",
        "or",
        "f or",
        "or f",
        "maker's mark",
        "date letter",
        "letter",
        "?????",
        "c.",
        "c. c. 1790?",
        "99999999999999999999",
        "18000000000000000000000s",
        "1890s-",
        "£",
        "£££",
        "#",
        "lot",
        "cup:",
        "(a) (b)",
        "ÀÉÎ õ ß ﬁ İ ı",
        "ſ",
        mixed,
        long.as_str(),
        open.as_str(),
    ];
    let mut m = Misses::default();
    for text in cases {
        let r = read(text);
        let shown: String = text.chars().take(40).collect();
        for s in &r.sightings {
            m.that(
                &shown,
                text.get(s.start..s.end) == Some(s.text.as_str()) && s.start < s.end,
                (s.start, s.end, &s.text),
                "sightings whose bytes are their text",
            );
        }
        for s in r.remarks.iter().filter(|r| r.remark != RemarkKind::Ambiguous) {
            m.that(
                &shown,
                text.get(s.start..s.end) == Some(s.text.as_str()),
                (s.start, s.end, &s.text),
                "remarks whose bytes are their text",
            );
        }
        for s in &r.claimed {
            m.that(
                &shown,
                text.get(s.start..s.end) == Some(s.text.as_str()),
                (s.start, s.end, &s.text),
                "claims whose bytes are their text",
            );
        }
    }
}

#[test]
fn s1_characters_are_folded_before_reading() {
    tables_of_marks(
        "
        ａｎｃｈｏｒ              => town: anchor
        an\u{200b}chor      => town: anchor
        an\u{ad}chor        => town: anchor
        \u{feff}anchor      => town: anchor
        lion\u{a0}passant   => standard: lion passant
        lion\u{202f}passant => standard: lion passant
        lion\u{3000}passant => standard: lion passant
        king’s head         => duty: king's head
        king‘s head         => duty: king's head
        kingʼs head         => duty: king's head
        “anchor”            => town: anchor
        ‘anchor’, lion      => town: anchor | standard: lion
        leopard＇s head      => town: leopard's head
        ．925                => fineness: .925
        ",
    );
    // Offsets are those of the text as typed.
    tables_of_kinds(
        "
        ａｎｃｈｏｒ, an\u{200b}chor => town: ａｎｃｈｏｒ | town: an\u{200b}chor
        🦁, king’s head         => duty: king’s head
        ",
    );
}

#[test]
fn s1_a_typed_styled_letter_states_its_lettering() {
    tables_of_marks(
        "
        𝔨               => letter: k, black-letter
        anchor, lion, 𝔨 => town: anchor | standard: lion | letter: k, black-letter
        𝔎               => letter: K, black-letter
        𝒦               => letter: K, script
        𝑘               => letter: k, italic
        # The holes of the alphabets.
        ℭ               => letter: C, black-letter
        ℌ               => letter: H, black-letter
        ℑ               => letter: I, black-letter
        ℜ               => letter: R, black-letter
        ℨ               => letter: Z, black-letter
        ℬ               => letter: B, script
        ℰ               => letter: E, script
        ℱ               => letter: F, script
        ℋ               => letter: H, script
        ℐ               => letter: I, script
        ℒ               => letter: L, script
        ℳ               => letter: M, script
        ℛ               => letter: R, script
        ℯ               => letter: e, script
        ℊ               => letter: g, script
        ℴ               => letter: o, script
        ℎ               => letter: h, italic
        ",
    );
}

#[test]
fn s1_longest_known_phrase_first() {
    tables_of_marks(
        "
        tree, fish, bell and bird               => town: tree, fish, bell and bird
        tree, fish, bell, bird                  => town: tree, fish, bell and bird
        tree fish bell bird                     => town: tree, fish, bell and bird
        tree/fish/bell/bird                     => town: tree, fish, bell and bird
        tree & fish & bell & bird               => town: tree, fish, bell and bird
        tree-fish-bell-bird                     => town: tree, fish, bell and bird
        tree + fish + bell + bird               => town: tree, fish, bell and bird
        tree, fish, bell and bird, lion rampant => town: tree, fish, bell and bird | standard: lion rampant
        three wheatsheaves and a sword          => town: three wheatsheaves and a sword
        three wheatsheaves & a sword            => town: three wheatsheaves and a sword
        three wheatsheaves & sword              => town: three wheatsheaves and a sword
        three wheatsheaves/sword                => town: three wheatsheaves and a sword
        three wheatsheaves + sword              => town: three wheatsheaves and a sword
        three wheatsheaves, sword               => town: three wheatsheaves and a sword
        wheatsheaves, sword, lion passant       => town: three wheatsheaves and a sword | standard: lion passant
        crown and 18                            => standard: crown and 18
        crown & 18                              => standard: crown and 18
        crown/18                                => standard: crown and 18
        crown + 18                              => standard: crown and 18
        crown-18                                => standard: crown and 18
        crown 18                                => standard: crown and 18
        ",
    );
}

#[test]
fn s1_across_a_comma_only_parts_of_one_picture_or_a_word_that_cannot_stand_alone() {
    tables_of_marks(
        "
        leopard's head, crowned                  => town: leopard's head crowned
        leopard's head, uncrowned                => town: uncrowned leopard's head
        lion's head, erased                      => standard: lion's head erased
        lion passant, guardant                   => standard: lion passant guardant
        lion passant, leopard's head, crowned, f => standard: lion passant | town: leopard's head crowned | letter: f
        lion passant, leopard's head (crowned), f => standard: lion passant | town: leopard's head crowned | letter: f
        # Never between two words that are each a mark.
        crown, leopard's head uncrowned, 22      => town: crown | town: uncrowned leopard's head | fineness: 22
        Britannia, incuse king's head            => standard: figure of Britannia | duty: incuse sovereign's head
        crown, 18                                => town: crown | fineness: 18
        crown, lion passant                      => town: crown | standard: lion passant
        lion passant, crown                      => standard: lion passant | town: crown
        leopard's head, crown                    => town: leopard's head | town: crown
        harp, crown                              => standard: harp | town: crown
        castle, lion passant                     => town: castle | standard: lion passant
        ",
    );
}

#[test]
fn s1_two_whole_marks_that_are_joined_are_two() {
    tables_of_marks(
        "
        castle and lion passant, k               => town: castle | standard: lion passant | letter: k
        castle & lion passant & k                => town: castle | standard: lion passant | letter: k
        castle + lion passant + k                => town: castle | standard: lion passant | letter: k
        castle - lion passant - k                => town: castle | standard: lion passant | letter: k
        castle lion passant k                    => town: castle | standard: lion passant | letter: k
        castle with a lion passant               => town: castle | standard: lion passant
        lion & king's head                       => standard: lion | duty: king's head
        lion + head of Victoria                  => standard: lion | duty: head of Victoria
        Hibernia and harp, K                     => town: Hibernia seated | standard: harp | letter: K
        leopard's head + crown, q                => town: leopard's head | town: crown | letter: q
        leopard's head and crown and 18, q       => town: leopard's head | standard: crown and 18 | letter: q
        lion and wheatsheaves                    => standard: lion | town: wheatsheaves
        # One mark of two parts, and one that is a form of both.
        castle over lion                         => town: castle over a lion passant
        lions and wheatsheaves                   => town: demi-lions joined with wheatsheaves
        harp and crown, K                        => standard: harp crowned | letter: K
        harp & crown, K                          => standard: harp crowned | letter: K
        leopard's head and crown, lion passant   => town: leopard's head crowned | standard: lion passant
        crown & 18, q                            => standard: crown and 18 | letter: q
        tree + fish + bell + bird                => town: tree, fish, bell and bird
        ",
    );
}

#[test]
fn s1_an_article_is_no_date_letter_and_a_letter_beside_a_year_is_one() {
    tables_of_marks(
        "
        an anchor, date letter illegible, a lion passant => town: anchor | letter: date letter, not read | standard: lion passant
        an anchor, date letter rubbed, a king's head     => town: anchor | letter: date letter, not read, worn | duty: king's head
        date letter: a, lion                             => letter: a | standard: lion
        date letter: a                                   => letter: a
        Lot 245: A George III mustard pot, anchor, f     => town: anchor | letter: f
        Lot 12. A Victorian cream jug, anchor, lion, f   => town: anchor | standard: lion | letter: f
        245 A George III mustard pot, anchor, f          => town: anchor | letter: f
        A silver disk, anchor                            => town: anchor
        a silver disk, anchor                            => town: anchor
        a silver spoon with an anchor                    => town: anchor
        A lion passant, an anchor and a small roman k    => standard: lion passant | town: anchor | letter: k, small roman
        a lion a anchor and a g                          => standard: lion | town: anchor | letter: g
        a worn anchor, a worn lion, a worn f             => town: anchor, worn | standard: lion, worn | letter: f, worn
        a possible anchor and a possible lion            => town: anchor, doubtful | standard: lion, doubtful
        anchor lion a king's head                        => town: anchor | standard: lion | duty: king's head
        A & B, anchor                                    => sponsor: sponsor's mark | town: anchor
        A lion anchor                                    => letter: A | standard: lion | town: anchor
        anchor, lion, a                                  => town: anchor | standard: lion | letter: a
        anchor, lion, A                                  => town: anchor | standard: lion | letter: A
        P 1914                                           => letter: P
        anchor, lion, P 1914                             => town: anchor | standard: lion | letter: P
        anchor, G 1906                                   => town: anchor | letter: G
        anchor, S 1910                                   => town: anchor | letter: S
        anchor, C 1902                                   => town: anchor | letter: C
        anchor, p 1914                                   => town: anchor | letter: p
        date letter c 1902, anchor                       => letter: c | town: anchor
        small roman c 1902, anchor                       => letter: c, small roman | town: anchor
        anchor, P1914                                    => town: anchor | letter: P
        anchor, lion, a \"k\"                            => town: anchor | standard: lion | letter: k
        anchor, lion, a (k)                              => town: anchor | standard: lion | letter: k
        anchor, a curly k                                => town: anchor | letter: k
        a rubbed out letter, anchor                      => letter: date letter, not read | town: anchor
        a very rubbed mark, anchor                       => town: anchor
        a nice spoon, anchor                             => town: anchor
        # Weights, measures and counts.
        anchor, gross weight 178.5 g (5.739 oz t)        => town: anchor
        anchor, 4 oz t                                   => town: anchor
        anchor, k, H 12cm, W 5cm                         => town: anchor | letter: k
        6 x teaspoons, anchor                            => town: anchor
        teaspoons x 6, anchor                            => town: anchor
        # Circa and pages.
        anchor, (c) 1902                                 => town: anchor
        anchor, c 1902                                   => town: anchor
        anchor, c.1902                                   => town: anchor
        anchor, C. 1902                                  => town: anchor
        anchor, c1902                                    => town: anchor
        anchor, p. 45                                    => town: anchor
        anchor, p 45                                     => town: anchor
        ",
    );
}

#[test]
fn s1_a_count_a_list_and_a_scratch_weight_are_no_fineness() {
    tables_of_marks(
        "
        18 teaspoons, anchor, k                  => town: anchor | letter: k
        set of 18 spoons, anchor                 => town: anchor
        9 piece set, anchor                      => town: anchor
        18pc anchor k                            => town: anchor | letter: k
        22 pieces, anchor                        => town: anchor
        lot 22 crown, leopard's head             => town: crown | town: leopard's head
        9) anchor, lion                          => town: anchor | standard: lion
        18\" long, anchor                        => town: anchor
        18=10, anchor, lion                      => town: anchor | standard: lion
        sunburst finial, anchor, lion            => town: anchor | standard: lion
        # Struck figures.
        anchor, 18, k                            => town: anchor | fineness: 18 | letter: k
        crown 18, anchor                         => standard: crown and 18 | town: anchor
        anchor, (9), .375                        => town: anchor | fineness: 9 | fineness: .375
        anchor, 750 ring                         => town: anchor | fineness: 750
        9ct ring, anchor                         => fineness: 9 carat gold | town: anchor
        ",
    );
}

#[test]
fn s1_what_leaves_a_letter_open_leaves_it_unread() {
    tables_of_marks(
        "
        date letter between k and m, anchor      => letter: date letter, not read | town: anchor
        k or earlier, anchor                     => letter: date letter, not read | town: anchor
        before k, anchor                         => letter: date letter, not read | town: anchor
        ",
    );
}

#[test]
fn s1_a_sign_that_is_denied_is_none() {
    let mut m = Misses::default();
    let full = "anchor, lion passant, small roman f, king's head";
    for (said, code) in [
        ("marks not let in", 0),
        ("no let in marks", 0),
        ("not a marriage", 0),
        ("marks not transposed", 0),
        ("not a copy", 0),
        ("not fake", 0),
        ("marks let in", 3),
        ("a marriage", 3),
        ("transposed marks", 3),
        ("fake", 3),
    ] {
        let text = format!("{full}, {said}");
        let ran = puncheon(&["check", "--claim", "Birmingham 1803", &text], "");
        m.same(&text, ran.code, code);
    }
}

#[test]
fn s1_an_absence_is_said_in_many_ways() {
    tables_of_marks(
        "
        never had a duty mark, anchor            => absence: no duty mark | town: anchor
        duty: no, anchor                         => absence: no duty mark | town: anchor
        duty nil, anchor                         => absence: no duty mark | town: anchor
        duty mark gone, anchor                   => absence: no duty mark | town: anchor
        duty mark - none, anchor                 => absence: no duty mark | town: anchor
        zero duty marks, anchor                  => absence: no duty mark | town: anchor
        don't see a king's head, anchor          => absence: no king's head | town: anchor
        too late for a duty mark, anchor         => absence: no duty mark | town: anchor
        # Nothing of a mark is absent.
        no wear, king's head, anchor             => duty: king's head | town: anchor
        without wear, leopard's head crowned     => town: leopard's head crowned
        ",
    );
}

#[test]
fn s1_an_absence_strains_and_a_broad_word_means_a_named_set() {
    let mut m = Misses::default();
    for crown in [
        "leopard's head, no crown visible",
        "leopard's head (no crown visible)",
        "leopard's head without a crown",
        "leopard's head with no crown",
        "leopard's head lacking its crown",
        "no crown on the leopard's head",
        "leopard's head, crown not visible",
        "leopard's head, crown worn away",
        "leopard's head with its crown rubbed",
        "leopard's head (crown polished away)",
    ] {
        let text = format!("{crown}, lion passant, capital roman N, king's head");
        let r = read(&text);
        m.that(
            &text,
            years_of(&r).contains(&("london".to_string(), 1808)),
            fits(&r),
            "London 1808 among the fits",
        );
    }
    let said = "uncrowned leopard's head, lion passant, capital roman N, king's head";
    m.that(
        said,
        !years_of(&read(said)).contains(&("london".to_string(), 1808)),
        fits(&read(said)),
        "a head said to be uncrowned is no crowned one",
    );
    for (text, years) in [
        ("crown, lion passant, coronation mark", vec![1952, 1953]),
        ("crown, lion passant, jubilee mark", vec![1933, 1934, 1935]),
        ("rose, lion passant, jubilee mark", vec![1977, 2002, 2011, 2012, 2021, 2022]),
    ] {
        let all: BTreeSet<i32> = years_of(&read(text)).into_iter().map(|y| y.1).collect();
        m.same(text, all.into_iter().collect::<Vec<_>>(), years);
    }
}

#[test]
fn s1_numbers_shaped_like_years_come_after_phrases() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, 1903", vec!["1903-1903"]),
        ("lion passant, 1890s", vec!["1890-1899"]),
        ("lion passant, 1803-1820", vec!["1803-1820"]),
    ] {
        m.same(text, claimed(text), want.iter().map(|s| s.to_string()).collect());
        let years = marks(text).iter().any(|k| k.contains("18") || k.contains("19"));
        m.that(text, !years, marks(text), "no mark made of the year");
    }
    // A phrase of the vocabulary that holds a year is longer than the year.
    tables_of_kinds(
        "
        jubilee mark 1935 => commemorative: jubilee mark 1935
        ",
    );
}

#[test]
fn s1_two_or_more_groups_of_capitals_are_initials() {
    tables_of_kinds(
        "
        PB/AB/WB, anchor => sponsor: PB/AB/WB | town: anchor
        W.S, anchor      => sponsor: W.S | town: anchor
        W·S, anchor      => sponsor: W·S | town: anchor
        W S, anchor      => sponsor: W S | town: anchor
        G.W.H.S, anchor  => sponsor: G.W.H.S | town: anchor
        anchor, HB       => town: anchor | sponsor: HB
        anchor, PB AB    => town: anchor | sponsor: PB AB
        N/H, anchor      => sponsor: N/H | town: anchor
        ",
    );
}

#[test]
fn s1_single_letters_joined_by_or_are_alternatives() {
    tables_of_marks(
        "
        n or h              => letter: n or h
        anchor, n or h      => town: anchor | letter: n or h
        letter n/h          => letter: n or h
        letter N/H          => letter: N or H
        date letter: f                 => letter: f
        date letter n/h     => letter: n or h
        date letter n or h  => letter: n or h
        small gothic n or h => letter: n or h, small black-letter
        a, c or e           => letter: a or c or e
        a or c or e         => letter: a or c or e
        ",
    );
}

#[test]
fn s1_a_range_is_all_its_letters_and_an_open_one_is_told() {
    let a_to_f = "letter: A or B or C or D or E or F";
    tables_of_marks(&format!(
        "
        anchor, letter A-F => town: anchor | {a_to_f}
        letter A - F, anchor => {a_to_f} | town: anchor
        letters a-c, anchor => letter: a or b or c | town: anchor
        small roman a-c => letter: a or b or c, small roman
        letter A–F => {a_to_f}
        date letter: c-e => letter: c or d or e
        # No order, and a dash that parts marks.
        anchor - k - lion => town: anchor | letter: k | standard: lion
        a - anchor => letter: a | town: anchor
        letter k or n => letter: k or n
        early date letter k => letter: k
        "
    ));
    let mut m = Misses::default();
    for (text, told) in [
        ("letter after f, anchor", "after f"),
        ("letter before f, anchor", "before f"),
        ("letter up to f, anchor", "up to f"),
        ("letter F or later, anchor", "F or later"),
        ("anchor, k or later", "k or later"),
        ("letter a to f, anchor", "a to f"),
    ] {
        let want = (RemarkKind::NotUnderstood, told.to_string());
        m.that(text, remarks(text).contains(&want), remarks(text), told);
        let mut read = marks(text);
        read.retain(|mark| mark.starts_with("letter"));
        m.same(text, read, vec!["letter: date letter, not read".to_string()]);
    }
}

#[test]
fn s1_once_a_letter_is_called_the_date_letter_no_other_is_one() {
    let mut m = Misses::default();
    for (text, want) in [
        ("date letter f, anchor, lion, h", "letter: f"),
        ("anchor, lion, h, date letter f", "letter: f"),
        ("h, anchor, f date letter", "letter: f"),
        ("anchor, lion, B, date letter f", "letter: f"),
        ("date letter f, X, anchor", "letter: f"),
    ] {
        let letters: Vec<String> =
            marks(text).into_iter().filter(|k| k.starts_with("letter")).collect();
        m.same(text, letters, vec![want.to_string()]);
    }
}

#[test]
fn s1_a_group_of_capitals_is_initials_unless_the_vocabulary_knows_it() {
    tables_of_marks(
        "
        anchor, LP, f     => town: anchor | standard: lion passant | letter: f
        anchor, LP, KH, f => town: anchor | standard: lion passant | duty: king's head | letter: f
        anchor, EP        => town: anchor | lookalike: EP
        anchor, lion, EP  => town: anchor | standard: lion | sponsor: sponsor's mark
        anchor, EPNS      => town: anchor | lookalike: EPNS
        anchor, HB, f     => town: anchor | sponsor: sponsor's mark | letter: f
        ",
    );
}

#[test]
fn s1_in_a_text_of_capitals_initials_need_a_point_a_stroke_or_maker() {
    let mut m = Misses::default();
    for (text, want) in [
        ("ANCHOR, LION PASSANT, H.B, F", true),
        ("ANCHOR, LION PASSANT, HB/JB, F", true),
        ("ANCHOR, LION PASSANT, MAKER HB, F", true),
        ("ANCHOR, LION PASSANT, MAKER'S MARK HB, F", true),
        ("ANCHOR, LION PASSANT, HB, F", false),
        ("ANCHOR, LION PASSANT, F", false),
    ] {
        let got = marks(text);
        m.that(
            text,
            got.iter().any(|k| k.starts_with("sponsor")) == want,
            &got,
            if want { "a sponsor's mark" } else { "no sponsor's mark" },
        );
        for mark in ["town: anchor", "standard: lion passant", "letter: F"] {
            m.that(text, got.iter().any(|g| g == mark), &got, mark);
        }
    }
}

#[test]
fn s1_an_adjective_binds_to_the_noun_beside_it() {
    tables_of_marks(
        "
        maker's mark HB in script, date letter e => sponsor: sponsor's mark | letter: e
        date letter e, maker's mark HB in script => letter: e | sponsor: sponsor's mark
        HB in script, anchor, e                  => sponsor: sponsor's mark | town: anchor | letter: e
        anchor, small gothic e, HB in script     => town: anchor | letter: e, small black-letter | sponsor: sponsor's mark
        anchor, e in script                      => town: anchor | letter: e, script
        ",
    );
}

#[test]
fn s1_what_follows_makers_mark_to_the_end_of_its_clause_is_the_sponsors() {
    tables_of_marks(
        "
        maker's mark anchor                          => sponsor: sponsor's mark
        maker's mark anchor, lion passant, f         => sponsor: sponsor's mark | standard: lion passant | letter: f
        maker's mark a crescent enclosing a mullet, lion passant, f => sponsor: sponsor's mark | standard: lion passant | letter: f
        maker's mark: a crescent enclosing a mullet, lion passant, f => sponsor: sponsor's mark | standard: lion passant | letter: f
        maker's mark HB beneath a crown, lion passant, f => sponsor: sponsor's mark | standard: lion passant | letter: f
        PA, crown above, lion passant, f             => sponsor: sponsor's mark | standard: lion passant | letter: f
        PA, crown below, lion passant, f             => sponsor: sponsor's mark | standard: lion passant | letter: f
        PA, crown beneath, lion passant, f           => sponsor: sponsor's mark | standard: lion passant | letter: f
        PA, mullet between, lion passant, f          => sponsor: sponsor's mark | standard: lion passant | letter: f
        PA, crown above                              => sponsor: sponsor's mark
        maker's mark PA, crown above, anchor         => sponsor: sponsor's mark | town: anchor
        maker's mark: anchor, lion passant, f => sponsor: sponsor's mark | standard: lion passant | letter: f
        anchor, TH, pellet between, crown above, lion passant => town: anchor | sponsor: sponsor's mark | standard: lion passant
        anchor, AB in a rectangle, with a crown above, lion passant => town: anchor | sponsor: sponsor's mark | standard: lion passant
        # An office's mark further on is one where no other is described.
        HB in script, leopard's head below, lion passant => sponsor: sponsor's mark | town: leopard's head | standard: lion passant
        KE with a crown above and a star below, lion passant => sponsor: sponsor's mark | standard: lion passant
        # Not in the next clause where that ends in no such word.
        maker's mark HB, anchor                      => sponsor: sponsor's mark | town: anchor
        PA, crown, lion passant                      => sponsor: sponsor's mark | town: crown | standard: lion passant
        ",
    );
}

#[test]
fn s1_capitals_that_are_words_too_are_somebodys_where_they_stand_alone() {
    tables_of_marks(
        "
        anchor, lion passant, PR                 => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, CO                 => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, LC                 => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, HM, f              => town: anchor | standard: lion passant | sponsor: sponsor's mark | letter: f
        anchor, lion passant, P.R.               => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, PR in a rectangle  => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, PR conjoined, f    => town: anchor | standard: lion passant | sponsor: sponsor's mark | letter: f
        anchor, lion passant, JMcE               => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, DWCCo              => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, HE Ld              => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, Ly & Co            => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, RG&S               => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, A&LLd              => town: anchor | standard: lion passant | sponsor: sponsor's mark
        anchor, lion passant, E.B & J.B, f       => town: anchor | standard: lion passant | sponsor: sponsor's mark | letter: f
        anchor, lion passant, C over SH, f       => town: anchor | standard: lion passant | sponsor: sponsor's mark | letter: f
        # Beside what they count or measure, and in small letters, they are words.
        anchor, lion passant, f, 12 OZ           => town: anchor | standard: lion passant | letter: f
        anchor, lion passant, f, PR of spoons    => town: anchor | standard: lion passant | letter: f
        anchor, lion passant, LC f               => town: anchor | standard: lion passant | letter: f, small
        anchor, lion passant, pr                 => town: anchor | standard: lion passant
        anchor, lion passant, f, D.L. k          => town: anchor | standard: lion passant | letter: k
        anchor, lion passant, f, CA. 1803        => town: anchor | standard: lion passant | letter: f
        anchor, lion passant, f, KHd             => town: anchor | standard: lion passant | letter: f
        # Plate stays plate, and a duty or standard mark one of its own.
        EP&S                                     => lookalike: EP
        W over EPNS                              => letter: W | lookalike: EPNS
        AB in rectangle, king's head below, lion passant => sponsor: sponsor's mark | duty: king's head | standard: lion passant
        # A letter and a maker that \"and\" joins are two.
        anchor, lion passant, AB and K           => town: anchor | standard: lion passant | sponsor: sponsor's mark | letter: K
        ",
    );
}

#[test]
fn s1_big_is_capital_and_a_before_a_described_letter_is_the_article() {
    tables_of_marks(
        "
        big F                           => letter: F, capital
        large F                         => letter: F, capital
        large f                         => letter: f, capital
        big letter f                    => letter: f, capital
        anchor, capital letter         => town: anchor | letter: date letter, not read, capital
        the date letter a small roman f => letter: f, small roman
        date letter a gothic K          => letter: K, black-letter
        a small roman f                 => letter: f, small roman
        anchor, a small f               => town: anchor | letter: f, small
        # And the letter a is still a letter.
        date letter a                   => letter: a
        small roman a                   => letter: a, small roman
        anchor, lion passant, a         => town: anchor | standard: lion passant | letter: a
        ",
    );
}

#[test]
fn s1_first_letter_and_last_letter_belong_to_initials() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, f, maker's mark, last letter B", vec!["letter: f"]),
        ("anchor, lion passant, f, initials, first letter H", vec!["letter: f"]),
        ("anchor, lion passant, f, first letter H", vec!["letter: f"]),
        ("anchor, lion passant, f, last letter B", vec!["letter: f"]),
        ("last letter B, anchor", vec![]),
        ("first letter illegible, last letter B, anchor, date letter f", vec!["letter: f"]),
    ] {
        let letters: Vec<String> =
            marks(text).into_iter().filter(|k| k.starts_with("letter")).collect();
        m.same(text, letters, want.iter().map(|s| s.to_string()).collect());
    }
}

#[test]
fn s1_a_clause_of_adjectives_alone_binds_to_the_nearest_letter_or_is_ambiguous() {
    let mut m = Misses::default();
    for (text, letter, ambiguous) in [
        ("anchor, lion, f, small roman", "letter: f, small roman", false),
        ("anchor, f, gothic", "letter: f, black-letter", false),
        ("anchor, small roman, f", "letter: f, small roman", false),
        ("f, anchor, small roman", "letter: f", true),
        ("f, lion passant, gothic", "letter: f", true),
        ("gothic, lion passant, f", "letter: f", true),
    ] {
        let got = marks(text);
        m.that(text, got.iter().any(|k| k == letter), &got, letter);
        m.that(
            text,
            has_remark(text, RemarkKind::Ambiguous) == ambiguous,
            remarks(text),
            if ambiguous { "an ambiguous remark" } else { "no ambiguous remark" },
        );
    }
}

#[test]
fn s1_in_court_hand_case_says_nothing() {
    // London's court-hand a of 1638.
    bearings(
        "
        london 1638 Fits    leopard's head crowned, lion passant, court hand a
        london 1638 Fits    leopard's head crowned, lion passant, small court hand a
        london 1638 Fits    leopard's head crowned, lion passant, capital court hand A
        london 1638 Fits    leopard's head crowned, lion passant, capital A
        london 1638 Fits    leopard's head crowned, lion passant, small a
        ",
    );
}

#[test]
fn s1_figures_and_their_points() {
    // Pointed figures on foreign ware of 1904-74 and on low gold of 1932-74, plain ones since.
    bearings(
        "
        birmingham 1950 Fits    triangle, 925
        birmingham 1950 Fits    triangle, .925
        birmingham 1950 Fits    triangle, 0.925
        birmingham 1950 Strains triangle, 925 no point
        birmingham 1980 Fits    triangle, 925
        birmingham 1980 Strains triangle, .925
        birmingham 1980 Fits    triangle, 925 no point
        london     1950 Fits    leopard's head, 375
        london     1950 Fits    leopard's head, .375
        london     1950 Strains leopard's head, 375 no point
        london     1980 Fits    leopard's head, 375
        london     1980 Strains leopard's head, .375
        london     1980 Fits    leopard's head, 375 without point
        ",
    );
}

#[test]
fn s1_a_carat_word_agrees_with_any_mark_of_the_fineness() {
    // Crown and 18 until 1974, crown and 750 to 1998, 750 since.
    bearings(
        "
        london 1900 Fits    leopard's head, 18ct
        london 1900 Fits    leopard's head, 18 carat
        london 1900 Fits    leopard's head, 18k
        london 1985 Fits    leopard's head, 18ct
        london 1985 Fits    leopard's head, 18 carat
        london 1985 Fits    leopard's head, 18k
        london 2005 Fits    leopard's head, 18ct
        london 2005 Fits    leopard's head, 18 carat
        london 1900 Fits    leopard's head, 18
        london 1985 Strains leopard's head, 18
        london 2005 Strains leopard's head, 18
        london 1985 Strains leopard's head, 22
        london 1985 Strains leopard's head, 9
        london 1985 Fits    leopard's head, 9ct
        ",
    );
}

#[test]
fn s1_a_letter_typed_without_a_case_fits_both_and_the_typed_case_ranks() {
    // Birmingham: small roman k 1808, black-letter K 1833, both beside a king's head.
    bearings(
        "
        birmingham 1808 Fits    anchor, lion passant, k
        birmingham 1833 Fits    anchor, lion passant, k
        birmingham 1808 Fits    anchor, lion passant, K
        birmingham 1833 Fits    anchor, lion passant, K
        ",
    );
    let mut m = Misses::default();
    for (text, first) in [
        ("anchor, lion passant, king's head, k", 1808),
        ("anchor, lion passant, king's head, K", 1833),
    ] {
        let r = read(text);
        m.same(text, r.fits.first().and_then(|f| f.year), Some(first));
    }
}

#[test]
fn s1_a_stated_case_clashes_with_the_other() {
    bearings(
        "
        birmingham 1808 Fits    anchor, lion passant, king's head, small k
        birmingham 1808 Fits    anchor, lion passant, king's head, lower case k
        birmingham 1808 Near    anchor, lion passant, king's head, capital K
        birmingham 1808 Near    anchor, lion passant, king's head, upper case K
        birmingham 1833 Near    anchor, lion passant, king's head, small k
        birmingham 1833 Near    anchor, lion passant, king's head, lower case k
        birmingham 1833 Fits    anchor, lion passant, king's head, capital K
        birmingham 1833 Fits    anchor, lion passant, king's head, upper case k
        ",
    );
}

#[test]
fn s1_gothic_old_english_and_black_letter_are_one() {
    tables_of_marks(
        "
        gothic K       => letter: K, black-letter
        Old English K  => letter: K, black-letter
        black letter K => letter: K, black-letter
        black-letter K => letter: K, black-letter
        blackletter K  => letter: K, black-letter
        ",
    );
}

#[test]
fn s1_letterings_clash_or_strain() {
    // Birmingham: roman 1808 k, black letter 1833 K, sans 2009 k; italic capitals 1984 K.
    // Chester: script capitals of 1726-50.
    bearings(
        "
        birmingham 1808 Fits    anchor, lion passant, roman k
        birmingham 1808 Near    anchor, lion passant, gothic k
        birmingham 1808 Near    anchor, lion passant, italic k
        birmingham 1808 Near    anchor, lion passant, script k
        birmingham 1808 Strains anchor, lion passant, sans k
        birmingham 1808 Strains anchor, lion passant, sans serif k
        birmingham 2009 Strains anchor, lion passant, roman k
        birmingham 2009 Near    anchor, lion passant, gothic k
        birmingham 1833 Near    anchor, lion passant, roman K
        birmingham 1984 Strains anchor, lion passant, script K
        birmingham 1984 Fits    anchor, lion passant, italic K
        birmingham 1984 Near    anchor, lion passant, roman K
        chester    1735 Fits    leopard's head crowned, lion passant, script K
        chester    1735 Strains leopard's head crowned, lion passant, italic K
        chester    1735 Near    leopard's head crowned, lion passant, roman K
        ",
    );
}

#[test]
fn s1_a_table_of_low_confidence_in_lettering_or_case_only_strains() {
    // Birmingham's black letter of 1950-74 and Chester's roman of 1776-96 rest on low confidence;
    // Chester's case of 1751-75 varies.
    bearings(
        "
        birmingham 1959 Fits    anchor, lion passant, gothic K
        birmingham 1959 Strains anchor, lion passant, roman K
        birmingham 1959 Strains anchor, lion passant, script K
        birmingham 1959 Near    anchor, lion passant, small k
        chester    1785 Strains three wheatsheaves and a sword, lion passant, gothic k
        chester    1785 Near    three wheatsheaves and a sword, lion passant, capital K
        chester    1760 Fits    leopard's head crowned, lion passant, capital K
        chester    1760 Fits    leopard's head crowned, lion passant, small k
        ",
    );
}

#[test]
fn s1_decorative_says_nothing() {
    tables_of_marks(
        "
        decorative K        => letter: K
        fancy K             => letter: K
        stylised K          => letter: K
        stylized K          => letter: K
        scrolled K          => letter: K
        date letter fancy K => letter: K
        decorative small k  => letter: k, small
        ",
    );
}

#[test]
fn s1_what_the_table_does_not_know_is_silent() {
    // Sheffield's letter of 1793 is not known; nor the case of Dublin's court hand; nor outlines
    // of Birmingham silver.
    bearings(
        "
        sheffield  1793 Fits    crown, lion passant, q
        sheffield  1793 Fits    crown, lion passant, capital gothic Q
        birmingham 1803 Fits    anchor, lion passant, small roman f in a shield
        birmingham 1804 Fits    anchor, lion passant, small roman g in an oval
        ",
    );
}

#[test]
fn s1_i_and_j_are_one_letter_and_u_and_v_where_only_one_is_struck() {
    bearings(
        "
        # London leaves out j and v (or u).
        london     1804 Fits    leopard's head crowned, lion passant, i
        london     1804 Fits    leopard's head crowned, lion passant, j
        london     1815 Fits    leopard's head crowned, lion passant, U
        london     1815 Fits    leopard's head crowned, lion passant, V
        london     1735 Fits    leopard's head crowned, lion passant, U
        london     1735 Fits    leopard's head crowned, lion passant, V
        # Birmingham left out I in 1925-49.
        birmingham 1933 Fits    anchor, lion passant, I
        birmingham 1933 Fits    anchor, lion passant, J
        # Both stood at Birmingham in 1849-74, and u and v always.
        birmingham 1857 Fits    anchor, lion passant, I
        birmingham 1857 Near    anchor, lion passant, J
        birmingham 1858 Near    anchor, lion passant, I
        birmingham 1858 Fits    anchor, lion passant, J
        birmingham 1919 Fits    anchor, lion passant, u
        birmingham 1919 Near    anchor, lion passant, v
        birmingham 1920 Fits    anchor, lion passant, v
        ",
    );
}

#[test]
fn s1_long_s_looks_like_f() {
    // Birmingham's small roman s of 1816.
    bearings(
        "
        birmingham 1816 Fits    anchor, lion passant, small roman s
        birmingham 1816 Fits    anchor, lion passant, small roman long s
        birmingham 1816 Fits    anchor, lion passant, small roman ſ
        birmingham 1816 Near    anchor, lion passant, small roman f
        birmingham 1816 Strains anchor, lion passant, worn small roman f
        birmingham 1816 Strains anchor, lion passant, small roman f?
        ",
    );
}

#[test]
fn s1_broad_words_agree_with_narrow_facts() {
    bearings(
        "
        london     1800 Fits    leopard's head, lion passant, E
        london     1900 Fits    leopard's head, lion passant, e
        london     1800 Fits    leopard's head crowned, lion passant, E
        london     1900 Fits    leopard's head uncrowned, lion passant, e
        london     1783 Fits    lion passant, leopard's head, h
        london     1783 Fits    lion passant guardant, leopard's head, h
        birmingham 1800 Fits    anchor, lion passant, king's head, c
        birmingham 1826 Fits    anchor, lion passant, king's head, C
        birmingham 1835 Fits    anchor, lion passant, king's head, M
        birmingham 1800 Fits    anchor, lion passant, sovereign's head, c
        birmingham 1826 Fits    anchor, lion passant, sovereign's head, C
        birmingham 1835 Fits    anchor, lion passant, sovereign's head, M
        birmingham 1850 Fits    anchor, lion passant, sovereign's head, B
        birmingham 1850 Fits    anchor, lion passant, queen's head, B
        # Narrow words clash with the contrary fact.
        london     1800 Near    leopard's head uncrowned, lion passant, E
        london     1900 Near    leopard's head crowned, lion passant, e
        birmingham 1850 Near    anchor, lion passant, king's head, B
        birmingham 1800 Near    anchor, lion passant, queen's head, c
        birmingham 1800 Near    anchor, lion passant, Victoria's head, c
        birmingham 1800 Near    anchor, lion passant, head of George IV, c
        ",
    );
}

#[test]
fn s1_a_royal_head_meets_the_commemorative_heads_as_a_strain() {
    let mut m = Misses::default();
    // Letters: 1952 C, 1953 D (omitting I) at Birmingham; italic C 1977; sans c 2002, n 2012, y 2023.
    for year in [1952, 1953, 1977, 2002, 2012, 2023] {
        for (head, want) in
            [("king's head", Strains), ("queen's head", Strains), ("sovereign's head", Strains)]
        {
            let text = format!("anchor, lion passant, {head}");
            m.same(&format!("{text} ({year})"), bears(&text, "birmingham", year), want);
        }
        for head in ["incuse king's head", "incuse head", "Victoria's head", "duty mark"] {
            let text = format!("anchor, lion passant, {head}");
            let got = bears(&text, "birmingham", year);
            m.that(&format!("{text} ({year})"), matches!(got, Near | Gone), got, "no fit");
        }
    }
    for year in [1951, 1954, 1976, 1978, 2001, 2003, 2022, 2024] {
        let text = "anchor, lion passant, queen's head";
        let got = bears(text, "birmingham", year);
        m.that(&format!("{text} ({year})"), matches!(got, Near | Gone), got, "no fit");
    }
}

#[test]
fn s1_a_commemorative_mark_goes_by_letter_year() {
    bearings(
        "
        birmingham 1932 Near    anchor, lion passant, 1935 jubilee mark
        birmingham 1933 Fits    anchor, lion passant, 1935 jubilee mark
        birmingham 1934 Fits    anchor, lion passant, 1935 jubilee mark
        birmingham 1935 Fits    anchor, lion passant, 1935 jubilee mark
        birmingham 1936 Near    anchor, lion passant, 1935 jubilee mark
        birmingham 1951 Near    anchor, lion passant, 1953 coronation mark
        birmingham 1952 Fits    anchor, lion passant, 1953 coronation mark
        birmingham 1953 Fits    anchor, lion passant, 1953 coronation mark
        birmingham 1954 Near    anchor, lion passant, 1953 coronation mark
        ",
    );
}

#[test]
fn s1_a_head_struck_twice_is_the_doubled_head_of_1797() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, sovereign's head struck twice",
        "anchor, lion passant, king's head struck twice",
        "anchor, lion passant, duty mark struck twice",
    ] {
        m.same(text, kinds_only(text), vec!["town".into(), "standard".into(), "duty".to_string()]);
        m.that(text, !has_remark(text, RemarkKind::SetAside), remarks(text), "nothing set aside");
        m.same(text, bears(text, "birmingham", 1797), Fits);
        let later = bears(text, "birmingham", 1810);
        m.that(&format!("{text} (1810)"), matches!(later, Near | Gone), later, "no fit");
    }
}

#[test]
fn s1_which_way_a_mark_faces_strains_at_most() {
    let mut m = Misses::default();
    for (text, office, year) in [
        ("anchor, lion passant facing left, king's head, f", "birmingham", 1803),
        ("anchor, lion passant facing right, king's head, f", "birmingham", 1803),
        ("anchor, lion passant to the right, king's head, f", "birmingham", 1803),
        ("anchor, lion passant, king's head facing left, f", "birmingham", 1803),
        ("anchor, lion passant, king's head facing right, f", "birmingham", 1803),
        ("anchor on its side, lion passant, king's head, f", "birmingham", 1803),
        ("anchor sideways, lion passant, f", "birmingham", 1905),
        ("upright anchor, lion passant, f", "birmingham", 2005),
        ("anchor on its side, lion passant, f", "birmingham", 2005),
        ("leopard's head, lion passant facing right, e", "london", 1900),
        ("leopard's head, lion passant facing left, e", "london", 1900),
    ] {
        let got = bears(text, office, year);
        m.that(
            &format!("{text} ({office} {year})"),
            matches!(got, Fits | Strains),
            got,
            "a fit, strained at most",
        );
    }
}

#[test]
fn s1_doubt_strains_where_it_would_clash() {
    bearings(
        "
        london     1900 Strains leopard's head crowned?, lion passant, e
        london     1900 Strains possibly leopard's head crowned, lion passant, e
        london     1900 Strains maybe leopard's head crowned, lion passant, e
        london     1900 Strains leopard's head possibly crowned, lion passant, e
        london     1800 Fits    leopard's head crowned?, lion passant, E
        # For a letter only its look-alikes strain; any other letter still clashes.
        birmingham 1803 Fits    anchor, lion passant, king's head, small roman f?
        birmingham 1816 Strains anchor, lion passant, king's head, small roman f?
        birmingham 1816 Strains anchor, lion passant, king's head, possibly f
        birmingham 1816 Strains anchor, lion passant, king's head, maybe f
        birmingham 1800 Near    anchor, lion passant, king's head, small roman f?
        birmingham 1810 Near    anchor, lion passant, king's head, small roman f?
        ",
    );
}

#[test]
fn s1_a_question_mark_binds_to_the_word_before_it() {
    let mut m = Misses::default();
    for (text, mark, doubted) in [
        ("anchor in a lozenge?, lion", "town: anchor", false),
        ("anchor?, lion", "town: anchor", true),
        ("anchor? lion passant", "town: anchor", true),
        ("anchor, lion? f", "standard: lion", true),
        ("anchor, lion? f", "town: anchor", false),
        ("anchor, lion? f", "letter: f", false),
        ("lion passant ?, anchor", "standard: lion passant", true),
        ("anchor (?), lion", "town: anchor", true),
    ] {
        let got = marks(text);
        let want = if doubted { format!("{mark}, doubtful") } else { mark.to_string() };
        m.that(text, got.contains(&want), &got, &want);
    }
}

#[test]
fn s1_doubt_of_a_letter_does_not_touch_its_case_or_lettering() {
    bearings(
        "
        # Birmingham black-letter K 1833, small roman k 1808.
        birmingham 1833 Near    anchor, lion passant, king's head, small k?
        birmingham 1808 Near    anchor, lion passant, king's head, capital K?
        birmingham 1833 Near    anchor, lion passant, king's head, roman K?
        birmingham 1808 Near    anchor, lion passant, king's head, gothic k?
        # The case or lettering itself doubted.
        birmingham 1808 Strains anchor, lion passant, king's head, gothic? k
        birmingham 1808 Strains anchor, lion passant, king's head, possibly gothic k
        birmingham 1808 Strains anchor, lion passant, king's head, capital? k
        birmingham 1808 Strains anchor, lion passant, king's head, possibly capital k
        ",
    );
}

#[test]
fn s1_looks_like_is_a_plain_description_not_doubt() {
    tables_of_marks(
        "
        looks like an anchor                => town: anchor
        looks like an anchor, lion passant  => town: anchor | standard: lion passant
        something that looks like an anchor => town: anchor
        lion, what looks like a castle      => standard: lion | town: castle
        ",
    );
}

#[test]
fn s1_named_alternatives_are_all_there_are() {
    // Birmingham small roman: h 1805, n 1811, u 1818, b 1799.
    bearings(
        "
        birmingham 1811 Fits    anchor, lion passant, king's head, small roman n or h
        birmingham 1805 Fits    anchor, lion passant, king's head, small roman n or h
        birmingham 1805 Fits    anchor, lion passant, king's head, worn small roman n or h
        birmingham 1818 Near    anchor, lion passant, king's head, worn small roman n or h
        birmingham 1818 Near    anchor, lion passant, king's head, small roman n or h?
        birmingham 1818 Near    anchor, lion passant, king's head, possibly small roman n or h
        ",
    );
    bearings(
        "
        birmingham 1818 Strains anchor, lion passant, king's head, small roman n?
        birmingham 1818 Strains anchor, lion passant, king's head, worn small roman n
        ",
    );
}

#[test]
fn s1_a_worn_letter_strains_on_its_look_alikes_and_unworn_they_are_nears() {
    bearings(
        "
        birmingham 1805 Strains anchor, lion passant, king's head, worn small roman n
        birmingham 1805 Strains anchor, lion passant, king's head, rubbed small roman n
        birmingham 1805 Strains anchor, lion passant, king's head, small roman n, worn
        birmingham 1805 Strains anchor, lion passant, king's head, small roman n (rubbed)
        birmingham 1805 Near    anchor, lion passant, king's head, small roman n
        # By lettering: black-letter c and t are alike, roman ones are not.
        birmingham 1877 Strains anchor, lion passant, worn small gothic t
        birmingham 1800 Near    anchor, lion passant, king's head, worn small roman t
        ",
    );
}

#[test]
fn s1_illegible_says_only_that_the_mark_was_there() {
    tables_of_marks(
        "
        illegible date letter                       => letter: date letter, not read
        date letter illegible                       => letter: date letter, not read
        anchor, lion passant, date letter illegible => town: anchor | standard: lion passant | letter: date letter, not read
        anchor, illegible letter                    => town: anchor | letter: date letter, not read
        ",
    );
    bearings(
        "
        birmingham 1803 Fits    anchor, lion passant, date letter illegible
        birmingham 1803 Fits    illegible town mark, lion passant, small roman f, king's head
        ",
    );
}

#[test]
fn s1_absence_strains_and_clashes_only_when_complete() {
    tables_of_kinds(
        "
        anchor, lion passant, no duty mark => town: anchor | standard: lion passant | absence: no duty mark
        lion passant, f, no town mark      => standard: lion passant | letter: f | absence: no town mark
        anchor, f, without crown           => town: anchor | letter: f | absence: without crown
        ",
    );
    bearings(
        "
        birmingham 1803 Strains anchor, lion passant, f, no duty mark
        birmingham 1905 Fits    anchor, lion passant, f, no duty mark
        birmingham 1803 Strains lion passant, small roman f, king's head, no town mark
        ",
    );
    let mut m = Misses::default();
    for (text, year, want) in [
        ("anchor, lion passant, f, no duty mark", 1905, Fits),
        ("anchor, lion passant, f, no duty mark", 1803, Near),
        // What the set should show and was not described strains too.
        ("anchor, lion passant, f, king's head, maker's mark HB", 1803, Fits),
        ("anchor, lion passant, f", 1803, Strains),
        ("anchor, lion passant, king's head", 1803, Strains),
    ] {
        m.same(
            &format!("{text} ({year}, complete)"),
            bears_complete(text, "birmingham", year),
            want,
        );
    }
}

#[test]
fn s1_a_town_joined_to_a_mark_or_standing_alone_is_a_sighting() {
    let mut m = Misses::default();
    for (text, office, year) in [
        ("Chester town mark, lion passant", "chester", 1800),
        ("Chester, lion passant", "chester", 1800),
        ("Chester", "chester", 1800),
        ("Exeter castle, lion passant", "exeter", 1800),
        ("Birmingham anchor, lion passant", "birmingham", 1800),
        ("Sheffield import mark", "sheffield", 1910),
        ("Sheffield import mark, .925", "sheffield", 1910),
    ] {
        let r = read(text);
        let offices: BTreeSet<_> = r.fits.iter().map(|f| f.office.clone()).collect();
        m.same(text, offices, BTreeSet::from([Some(office.to_string())]));
        m.same(text, bears(text, office, year), Fits);
        m.same(text, claimed(text), vec![]);
    }
    // An import mark is no home mark.
    let text = "Sheffield import mark";
    let r = read(text);
    m.that(
        text,
        r.fits.iter().all(|f| f.from >= 1867 && f.origin != Origin::Home),
        fits(&r),
        "foreign ware only",
    );
}

#[test]
fn s1_a_town_with_a_date_or_after_a_sellers_word_is_claimed() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, Chester 1908", "chester 1908-1908"),
        ("Chester 1908, lion passant", "chester 1908-1908"),
        ("anchor, lion passant, seller says Chester", "chester"),
        ("anchor, lion passant, seller says Chester 1908", "chester 1908-1908"),
        ("anchor, lion passant, stated London", "london"),
        ("anchor, lion passant, catalogued as London", "london"),
        ("anchor, lion passant, made in London", "london"),
        ("anchor, lion passant, said to be Exeter", "exeter"),
        ("anchor, lion passant, Birmingham, 1903", "birmingham 1903-1903"),
        ("anchor, lion passant, 1903", "1903-1903"),
        ("anchor, lion passant, 1890s", "1890-1899"),
        ("anchor, lion passant, c.1790", "1780-1800"),
        ("anchor, lion passant, c. 1790", "1780-1800"),
        ("anchor, lion passant, c1790", "1780-1800"),
        ("anchor, lion passant, c 1790", "1780-1800"),
        ("anchor, lion passant, ca. 1790", "1780-1800"),
        ("anchor, lion passant, circa 1790", "1780-1800"),
        ("anchor, lion passant, 19th century", "1801-1900"),
        ("anchor, lion passant, 19th c.", "1801-1900"),
        ("anchor, lion passant, before 1790", "-1789"),
        ("anchor, lion passant, after 1790", "1791-"),
    ] {
        m.same(text, claimed(text), vec![want.to_string()]);
        let stray = marks(text)
            .into_iter()
            .filter(|k| k != "town: anchor" && k != "standard: lion passant")
            .count();
        m.that(text, stray == 0, marks(text), "no mark made of it");
    }
    for (text, from, to) in [
        ("anchor, lion passant, Victorian", 1837, 1901),
        ("anchor, lion passant, Georgian", 1714, 1837),
        ("anchor, lion passant, Regency", 1811, 1820),
        ("anchor, lion passant, Edwardian", 1901, 1910),
    ] {
        let c = puncheon::sightings(Tables::builtin(), text).claimed;
        m.that(
            text,
            c.len() == 1 && c[0].period.is_some() && (c[0].from, c[0].to) == (Some(from), Some(to)),
            &c,
            &format!("one period claimed, {from} to {to}"),
        );
    }
    // It is never evidence in `read`.
    let with = read("anchor, lion passant, small roman f, Chester 1908");
    let without = read("anchor, lion passant, small roman f");
    m.same("anchor, lion passant, small roman f, Chester 1908", fits(&with), fits(&without));
}

#[test]
fn s1_a_reign_joined_to_head_or_duty_is_a_duty_mark() {
    let mut m = Misses::default();
    for text in [
        "Geo III head",
        "George III head",
        "head of George III",
        "George III duty mark",
        "Victoria's head",
        "William IV head",
        "Victorian duty mark",
    ] {
        m.same(text, kinds_only(text), vec!["duty".to_string()]);
        m.same(text, claimed(text), vec![]);
    }
}

#[test]
fn s1_a_reign_is_joined_however_it_is_written_and_else_stays_a_claim() {
    tables_of_marks(
        "
        Duty mark: George III => duty: head of George III
        duty: William IV => duty: head of William IV
        duty (George III), k => duty: head of George III | letter: k
        duty william IV => duty: head of William IV
        duty Victoria => duty: head of Victoria
        duty mark - Geo. IV => duty: head of George IV
        duty mark: queen victoria => duty: head of Victoria
        duty mark: Victorian => duty: head of Victoria
        Duty mark George IV; anchor => duty: head of George IV | town: anchor
        sovereign's head: Victoria => duty: head of Victoria
        duty mark: Georgian => duty: king's head
        duty mark: possibly king's head => duty: king's head, doubtful
        duty mark: George III? => duty: head of George III, doubtful
        duty mark: George III or George IV => duty: head of George III or head of George IV
        worn duty mark: George III => duty: head of George III, worn
        queen's head: George III => duty: queen's head
        duty mark: Edward VII => duty: duty mark
        town mark: George III => town: town mark
        ",
    );
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, k, George III", "1760-1820 George III"),
        ("anchor, king's head; George III", "1760-1820 George III"),
        ("town mark: George III", "1760-1820 George III"),
        ("queen's head: George III", "1760-1820 George III"),
    ] {
        m.same(text, claimed(text), vec![want.to_string()]);
    }
}

#[test]
fn s1_cusped_is_a_duty_mark_only_with_its_head() {
    let cusped = "duty: head of George III in a cusped oval";
    let mut m = Misses::default();
    for text in [
        "king's head in a cusped oval",
        "king's head, in a cusped oval",
        "king's head cusped",
        "duty mark: cusped oval",
        "duty mark (cusped)",
    ] {
        m.same(text, marks(text), vec![cusped.to_string()]);
    }
    for text in [
        "leopard's head crowned, lion passant, capital gothic B in a cusped shield",
        "cusped shield: B; leopard's head crowned",
        "anchor in cusped oval, lion, k",
        "duty mark, cusped shield: B",
        "anchor, cusped, king's head",
    ] {
        let read = marks(text);
        m.that(text, !read.contains(&cusped.to_string()), &read, "no cusped head");
        let told = has_remark(text, RemarkKind::NotUnderstood);
        m.that(text, told, remarks(text), "cusped told as not understood");
    }
}

#[test]
fn s1_a_point_behind_a_shortened_word_ends_no_phrase() {
    tables_of_marks(
        "
        leop. head crowned, lion pass., N roman => town: leopard's head crowned | standard: lion passant | letter: N, roman
        Leop. hd. crowned; lion pass.; N => town: leopard's head crowned | standard: lion passant | letter: N
        Leop. Hd. Crowned; Lion Pass.; N => town: leopard's head crowned | standard: lion passant | letter: N
        lion pass. guard., k => standard: lion passant guardant | letter: k
        leop. hd. uncr., k => town: uncrowned leopard's head | letter: k
        lion, small rom. k => standard: lion | letter: k, small roman
        cap. K, lion => letter: K, capital | standard: lion
        duty. mark, k => duty: duty mark | letter: k
        # A sentence that ends, ends its phrases.
        anchor. crown. 18. => town: anchor | town: crown | fineness: 18
        anchor. lion. passant => town: anchor | standard: lion | standard: lion passant
        Leopard's head. Crowned lion => town: leopard's head | standard: crowned lion passant
        Anchor. Lion passant. Small roman k. King's head. => town: anchor | standard: lion passant | letter: k, small roman | duty: king's head
        Lion passant. Anchor in capitals. A fine piece => standard: lion passant | town: anchor
        ",
    );
}

#[test]
fn s1_abbreviations_with_their_strokes_and_points() {
    tables_of_kinds(
        "
        m/m W.B, anchor, lion, k => sponsor: m/m W.B | town: anchor | standard: lion | letter: k
        m.m. AB, anchor => sponsor: m.m. AB | town: anchor
        lion, k, m.m. rubbed => standard: lion | letter: k | sponsor: m.m. rubbed
        d/l k => letter: d/l k
        lion passant w/ anchor, k => standard: lion passant | town: anchor | letter: k
        lion passant w. anchor, k => standard: lion passant | town: anchor | letter: k
        leopard w. crown => town: leopard w. crown
        leopard w/ crown => town: leopard w/ crown
        lion w/o anchor => standard: lion | absence: w/o anchor
        # Letters, initials and measures.
        M/M, anchor => sponsor: M/M | town: anchor
        small w. anchor => letter: small w | town: anchor
        anchor, w. Lion => town: anchor | letter: w | standard: Lion
        letter d/l => letter: letter d/l
        38 m.m. wide, anchor => town: anchor
        ",
    );
    let mut m = Misses::default();
    let text = "lion, k, m.m. rubbed";
    m.that(text, marks(text)[1] == "letter: k", marks(text), "k not worn");
}

#[test]
fn s1_a_head_of_something_not_understood_is_not_the_sovereigns() {
    tables_of_marks(
        "
        bear's head, lion passant, small k => standard: lion passant | letter: k, small
        some animal's head =>
        wolf head, anchor => town: anchor
        animal head crowned, lion passant => standard: lion passant
        head of a wolf, anchor => town: anchor
        wolf’s head facing left, anchor => town: anchor
        head, anchor => duty: sovereign's head | town: anchor
        wolf, head, anchor => duty: sovereign's head | town: anchor
        worn head, anchor => duty: sovereign's head, worn | town: anchor
        clear head, anchor => duty: sovereign's head | town: anchor
        sovereign's head, anchor => duty: sovereign's head | town: anchor
        ",
    );
    let mut m = Misses::default();
    for (text, told) in [
        ("bear's head, lion passant, small k", "bear's head"),
        ("some animal's head", "animal's head"),
        ("wolf head, anchor", "wolf head"),
        ("animal head crowned", "animal head"),
    ] {
        let want = (RemarkKind::NotUnderstood, told.to_string());
        m.that(text, remarks(text).contains(&want), remarks(text), told);
    }
}

#[test]
fn s1_sterling_in_small_letters_is_claimed_and_in_capitals_a_lookalike() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, sterling",
        "sterling, anchor, lion passant",
        "anchor, lion passant, f, sterling silver",
    ] {
        m.same(text, claimed(text), vec!["sterling".to_string()]);
        m.that(
            text,
            !kinds_only(text).contains(&"lookalike".to_string()),
            kinds(text),
            "no lookalike",
        );
    }
    for text in [
        "anchor, lion passant, STERLING",
        "ANCHOR, LION PASSANT, STERLING",
        "STERLING, anchor",
        "STERLING",
        "sterling",
        "Sterling",
    ] {
        m.that(
            text,
            kinds_only(text).contains(&"lookalike".to_string()),
            kinds(text),
            "a lookalike",
        );
        m.that(
            text,
            lookalike_kinds(text).contains("words"),
            lookalikes(text),
            "a lookalike of kind words",
        );
        m.same(text, claimed(text), vec![]);
    }
}

#[test]
fn s1_engraved_dates_inscriptions_and_styles_go_nowhere() {
    let mut m = Misses::default();
    for text in [
        "engraved 1887",
        "engraved with the date 1887",
        "inscribed 1887",
        "inscribed 'Presented to J Smith 25 June 1887'",
        "dated inscription 1887",
        "Queen Anne style",
        "in the Queen Anne style",
        "Georgian style",
    ] {
        let all = format!("anchor, lion passant, f, {text}");
        m.same(
            &all,
            kinds_only(&all),
            vec!["town".into(), "standard".into(), "letter".to_string()],
        );
        m.same(&all, claimed(&all), vec![]);
    }
}

#[test]
fn s1_short_words_are_never_corrected() {
    let mut m = Misses::default();
    for text in ["lino", "crwm", "hesd", "ros", "hrap", "line", "cown"] {
        m.same(text, marks(text), vec![]);
        m.that(text, !has_remark(text, RemarkKind::Guessed), remarks(text), "no guess");
    }
}

#[test]
fn s1_longer_words_are_corrected_and_it_is_said() {
    let mut m = Misses::default();
    for (text, want) in [
        // One slip.
        ("ancor", "town: anchor"),
        ("anchour", "town: anchor"),
        ("anchr", "town: anchor"),
        ("castel", "town: castle"),
        ("thisle", "standard: thistle"),
        ("leapard's head", "town: leopard's head"),
        ("lepard's head", "town: leopard's head"),
        ("lion pasant", "standard: lion passant"),
        ("britania", "standard: figure of Britannia"),
        // A swap of neighbours counts as one.
        ("anchro", "town: anchor"),
        ("leoprad's head", "town: leopard's head"),
        ("lion pasasnt", "standard: lion passant"),
        // Two slips from eight letters.
        ("hibbernnia", "town: Hibernia seated"),
        ("brittania", "standard: figure of Britannia"),
        ("Birmigam, lion passant", "town: mark of Birmingham"),
        ("Birmngham town mark", "town: mark of Birmingham"),
        ("Sheffeild town mark", "town: mark of Sheffield"),
    ] {
        m.that(text, marks(text).iter().any(|k| k == want), marks(text), want);
        m.that(text, has_remark(text, RemarkKind::Guessed), remarks(text), "a guessed remark");
    }
}

#[test]
fn s1_the_first_letter_must_be_right() {
    let mut m = Misses::default();
    for text in ["Hester", "Hester Bateman", "canchor", "inchor", "bhester", "xchester"] {
        m.same(text, marks(text), vec![]);
        m.that(text, !has_remark(text, RemarkKind::Guessed), remarks(text), "no guess");
    }
}

#[test]
fn s1_slips_of_short_words_are_entries_and_are_said_as_guessed() {
    let mut m = Misses::default();
    for (text, want) in [
        ("kings hed", "duty: king's head"),
        ("leopards hed", "town: leopard's head"),
        ("crwn", "town: crown"),
        ("loin", "standard: lion"),
        ("loin passant", "standard: lion passant"),
        ("smal f", "letter: f, small"),
        ("three wheatsheaves and a sord", "town: three wheatsheaves and a sword"),
        ("casle", "town: castle"),
    ] {
        m.same(text, marks(text), vec![want.to_string()]);
        m.that(text, has_remark(text, RemarkKind::Guessed), remarks(text), "a guessed remark");
    }
}

#[test]
fn s1_false_friends_are_never_corrected_into_marks() {
    let mut m = Misses::default();
    for (word, mark) in [
        ("three", "tree"),
        ("brown", "crown"),
        ("cattle", "castle"),
        ("sharp", "harp"),
        ("whistle", "thistle"),
        ("nose", "rose"),
        ("belt", "bell"),
        ("lead", "head"),
        ("horn", "worn"),
        ("dish", "fish"),
        ("Norfolk", "Norwich"),
        ("Chesterfield", "Chester"),
        ("Yorke", "York"),
    ] {
        for text in [
            word.to_string(),
            format!("{word}, anchor"),
            format!("anchor, {word}, lion passant, f"),
        ] {
            let got = marks(&text);
            let stray = got.iter().any(|k| {
                !["town: anchor", "standard: lion passant", "letter: f"].contains(&k.as_str())
            });
            m.that(&text, !stray, &got, &format!("{word} not read as {mark}"));
            m.that(&text, !has_remark(&text, RemarkKind::Guessed), remarks(&text), "no guess");
        }
    }
    // "Horn" wears nothing down.
    m.same(
        "f horn handle",
        read("anchor, lion passant, horn f")
            .sightings
            .iter()
            .filter(|s| s.reads_as.contains("worn"))
            .count(),
        0,
    );
}

#[test]
fn s1_starling_is_a_mark_of_its_own() {
    let mut m = Misses::default();
    for text in ["starling", "STARLING", "starling, maker's mark WR"] {
        m.that(
            text,
            kinds_only(text).contains(&"lookalike".to_string()),
            kinds(text),
            "a lookalike",
        );
        m.that(
            text,
            !lookalikes(text).iter().any(|l| l == "sterling-word"),
            lookalikes(text),
            "not STERLING",
        );
        m.that(text, !has_remark(text, RemarkKind::Guessed), remarks(text), "no guess");
    }
}

#[test]
fn s1_objects_and_patterns_made_of_mark_words_are_set_aside() {
    let mut m = Misses::default();
    for text in [
        "King's pattern",
        "Kings pattern",
        "Queen's pattern",
        "fish slice",
        "fish knives",
        "rose bowl",
        "thistle mug",
        "castle-top card case",
        "castle top card case",
        "bell-shaped",
        "crown finial",
        "lion-mask handles",
        "lion mask handles",
        "shell bowl",
    ] {
        for (all, want) in [
            (text.to_string(), vec![]),
            (
                format!("{text}, anchor, lion passant, f"),
                vec!["town: anchor", "standard: lion passant", "letter: f"],
            ),
            (
                format!("a pair of {text}, anchor, lion passant, f"),
                vec!["town: anchor", "standard: lion passant", "letter: f"],
            ),
        ] {
            m.same(&all, marks(&all), want.iter().map(|s| s.to_string()).collect());
            m.that(
                &all,
                has_remark(&all, RemarkKind::SetAside),
                remarks(&all),
                "a set-aside remark",
            );
        }
    }
}

#[test]
fn s1_a_crest_and_an_article_in_the_shape_of_a_mark_are_no_marks() {
    tables_of_marks(
        "
        crest of a lion's head erased, anchor => town: anchor
        with the crest of a unicorn's head, anchor => town: anchor
        castle-form inkstand, anchor => town: anchor
        castle shaped inkstand =>
        fish-form box, lion passant => standard: lion passant
        tower shaped =>
        # A mark of that shape, and the arms of a town.
        castle shaped mark, lion => town: castle | standard: lion
        anchor-shaped stamp => town: anchor
        crest of Chester => town: upright sword with a wreath
        ",
    );
}

#[test]
fn s1_britannia_metal_and_german_silver_are_lookalikes() {
    let mut m = Misses::default();
    for text in ["Britannia metal", "German silver"] {
        m.same(text, kinds(text), vec![("lookalike".to_string(), text.to_string())]);
        m.same(text, outcome(text), "outside: denied".to_string());
    }
}

#[test]
fn s1_makers_surnames_conditions_sizes_prices_and_numbers_are_set_aside() {
    let mut m = Misses::default();
    for text in [
        "Hester Bateman",
        "by Hester Bateman",
        "good condition",
        "18cm long",
        "height 18 cm",
        "ring size M",
        "size M",
        "size N 1/2",
        "lot 18",
        "Lot 925",
        "page 22",
        "p. 22",
        "inv. no. 925",
        "inventory number 375",
        "on base:",
        "[twice]",
        "£925",
        "$18",
        "estimate £400-600",
        "weight 178g",
        "engraved 'To my king'",
    ] {
        let all = format!("anchor, lion passant, f, {text}");
        m.same(
            &all,
            marks(&all),
            vec!["town: anchor".into(), "standard: lion passant".into(), "letter: f".to_string()],
        );
        m.that(&all, !has_remark(&all, RemarkKind::Guessed), remarks(&all), "no guess");
    }
}

#[test]
fn s1_a_number_of_something_is_no_absence() {
    tables_of_marks(
        "
        stamped No 2, crown, lion passant, b => town: crown | standard: lion passant | letter: b
        No. 3, leopard's head, lion => town: leopard's head | standard: lion
        No. 4, F => letter: F
        no. 3 anchor => town: anchor
        NO. 2, ANCHOR => town: anchor
        anchor no 2 lion => town: anchor | standard: lion
        stamped No 18, crown, lion => town: crown | standard: lion
        anchor, no. 925 => town: anchor
        # What is absent.
        no. crown => absence: no crown
        no 18 ct mark => absence: no 18 carat gold
        no 925 mark, anchor => absence: no 925 | town: anchor
        No 925, anchor => absence: no 925 | town: anchor
        no crown, 18 => absence: no crown | fineness: 18
        ",
    );
}

#[test]
fn s1_a_number_with_a_unit_is_never_a_fineness() {
    let mut m = Misses::default();
    for unit in ["g", "kg", "cm", "mm", "in", "oz", "ozt", "dwt", "GBP", "pounds", "euros", "USD"] {
        for figure in ["925", "18", "375", "9"] {
            for text in [
                format!("anchor, {figure} {unit}"),
                format!("anchor, {figure}{unit}"),
                format!("anchor, {figure} {unit}, lion passant"),
            ] {
                let got = kinds_only(&text);
                m.that(&text, !got.contains(&"fineness".to_string()), kinds(&text), "no fineness");
            }
        }
    }
    for text in ["£925", "€925", "$925"] {
        m.same(text, marks(text), vec![]);
    }
    for (text, want) in [
        ("925 in an oval", "fineness: 925"),
        ("925 in oval", "fineness: 925"),
        (".925 in an oval", "fineness: .925"),
        ("18 in a shield", "fineness: 18"),
        ("925 in a rectangle, anchor", "fineness: 925"),
    ] {
        m.that(text, marks(text).iter().any(|k| k == want), marks(text), want);
    }
}

#[test]
fn s1_json_lists_what_is_set_aside_and_text_does_not() {
    let text = "fish slice, anchor, lion passant, f";
    let r = json(&["read", "--json", text], "");
    let aside: Vec<&Value> = r[0]["remarks"]
        .as_array()
        .into_iter()
        .flatten()
        .filter(|m| m["remark"] == "set-aside")
        .collect();
    assert!(!aside.is_empty(), "{text:?} in JSON: {}", r[0]["remarks"]);
    let shown = puncheon(&["read", text], "").out;
    assert!(!shown.contains("fish slice"), "{text:?} as text names what is set aside: {shown}");
}

#[test]
fn s1_two_of_a_kind_must_both_be_explained_by_the_row() {
    bearings(
        "
        # London gave up the crown within the letter year of 1821.
        london 1821 Fits    leopard's head crowned, leopard's head uncrowned, lion passant, f
        london 1820 Near    leopard's head crowned, leopard's head uncrowned, lion passant, e
        london 1822 Near    leopard's head crowned, leopard's head uncrowned, lion passant, g
        ",
    );
    let mut m = Misses::default();
    for text in ["anchor, leopard's head", "anchor, leopard's head, lion passant, f"] {
        let r = read(text);
        m.same(text, fits(&r), Vec::<String>::new());
    }
}

#[test]
fn s1_parts_are_explained_together_or_read_apart() {
    let mut m = Misses::default();
    for (text, labels) in [
        ("cup: anchor, lion passant, f; lid: leopard's head, lion passant, B", 2),
        ("(a) anchor, lion passant, f (b) leopard's head, lion passant, B", 2),
        ("(a) anchor, lion passant, f; (b) leopard's head, lion passant, B", 2),
        ("one anchor, lion passant, small roman f, the other leopard's head, lion passant, B", 2),
        ("cup: anchor, lion passant, f; lid: anchor, lion passant, K", 2),
    ] {
        let r = read(text);
        m.same(text, r.parts.len(), labels);
        m.that(
            text,
            r.remarks.iter().any(|m| m.remark == RemarkKind::Ambiguous),
            &r.remarks,
            "a remark that two sets seem to be described",
        );
        m.that(
            text,
            matches!(r.outcome, Outcome::Nears | Outcome::None) && r.fits.is_empty(),
            (r.outcome, fits(&r)),
            "the outcome of the whole",
        );
        for p in &r.parts {
            m.same(&format!("{text}: {}", p.label), p.reading.outcome, Outcome::Fits);
        }
    }
    // Explained together: not read apart.
    for text in [
        "cup: anchor, lion passant, small roman f, king's head; lid: lion passant, small roman f",
        "cup: anchor, lion passant, f; lid: anchor, lion passant, f",
        "cup: anchor, lion passant, f; lid: maker's mark HB",
    ] {
        let r = read(text);
        m.same(text, r.outcome, Outcome::Fits);
        m.same(text, r.parts.len(), 0);
    }
}

#[test]
fn s1_remark_kinds() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, zzyzx", "not-understood"),
        ("ancor", "guessed"),
        ("f, anchor, small roman", "ambiguous"),
        ("fish slice", "set-aside"),
    ] {
        let got: Vec<String> = remarks(text).iter().map(|(k, _)| name!(k)).collect();
        m.that(text, got.iter().any(|g| g == want), &got, want);
    }
}

// ---------------------------------------------------------------------------------------------
// Section 2: from sightings to a reading
// ---------------------------------------------------------------------------------------------

#[test]
fn s2_a_row_is_a_set_that_could_have_been_struck_on_one_day() {
    let mut m = Misses::default();
    // A lion passant stood beside 22 carat gold until 1844, never beside crown and 18.
    for text in [
        "lion passant, crown and 18",
        "lion passant guardant, crown & 18, leopard's head",
        "anchor, lion passant, F in an oval, small roman f, king's head",
        "leopard's head, lion passant, lion's head erased",
        "anchor, lion passant, .925, 18ct",
    ] {
        m.same(text, fits(&read(text)), Vec::<String>::new());
    }
    // A crowned figure stands for its own fineness of gold and no other.
    for (text, fineness) in [
        ("crown and 18", 750),
        ("crown and 22", 916),
        ("crown and 750", 750),
        ("crown and 375", 375),
    ] {
        let r = read(text);
        let got: BTreeSet<_> = r.fits.iter().map(|f| (f.metal, f.fineness)).collect();
        m.same(text, got, BTreeSet::from([("gold", Some(fineness))]));
    }
    // F in an oval stood from 1867 to 1904 and on foreign ware alone.
    let text = "lion passant, F in an oval";
    let r = read(text);
    m.that(text, !r.fits.is_empty(), fits(&r), "some fit");
    for f in &r.fits {
        m.that(
            text,
            f.from >= 1867 && f.to <= 1904 && f.origin == Origin::Foreign,
            (&f.office, &f.shown, f.origin),
            "foreign ware of 1867 to 1904",
        );
    }
    // A carried or unknown change-over day leaves both neighbours possible.
    for (text, office, year) in [
        ("leopard's head crowned, lion passant, small roman f", "london", 1821),
        ("leopard's head uncrowned, lion passant, small roman f", "london", 1821),
    ] {
        m.same(text, bears(text, office, year), Fits);
    }
}

#[test]
fn s2_answers_group_rows_by_office_letter_year_metal_and_fineness() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, f",
        "leopard's head, lion passant, sovereign's head, small roman i",
        "Chester",
        "leopard's head, 18ct",
        "thistle, small m",
        "Hibernia, harp crowned, E",
    ] {
        let r = read(text);
        let mut seen = BTreeSet::new();
        for f in &r.fits {
            let key = (f.office.clone(), f.from, f.to, f.metal, f.fineness, f.strain);
            m.that(text, seen.insert(key.clone()), key, "each group once");
        }
    }
}

#[test]
fn s2_a_disputed_year_gives_a_row_for_each_candidate_letter() {
    let mut m = Misses::default();
    // Chester: the tables differ on whether T served two years.
    for (chosen, rival, year) in [
        (
            "leopard's head crowned, lion passant, X",
            "leopard's head crowned, lion passant, W",
            1773,
        ),
        (
            "leopard's head crowned, lion passant, Z",
            "leopard's head crowned, lion passant, Y",
            1775,
        ),
    ] {
        m.same(&format!("{chosen} (chester {year})"), bears(chosen, "chester", year), Fits);
        m.same(&format!("{rival} (chester {year})"), bears(rival, "chester", year), Strains);
        let r = bounded(rival, Some("chester"), Some((year, year)), false);
        m.that(
            rival,
            r.fits.iter().filter(|f| f.from == year).all(|f| f.confidence == Confidence::Low),
            r.fits.iter().map(|f| f.confidence).collect::<Vec<_>>(),
            "low confidence",
        );
    }
    // Two letters both struck in one year are no dispute.
    for (text, office, year) in [
        ("Hibernia, harp crowned, capital E", "dublin", 1825),
        ("Hibernia, harp crowned, small e", "dublin", 1825),
        ("Britannia, lion's head erased, a", "london", 1697),
        ("Britannia, lion's head erased, b", "london", 1697),
    ] {
        m.same(&format!("{text} ({office} {year})"), bears(text, office, year), Fits);
    }
}

#[test]
fn s2_a_near_has_one_clash_or_two_if_one_is_easily_misread() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, small roman f, queen's head",
        "leopard's head crowned, lion passant, capital roman F, queen's head",
        "anchor, leopard's head, lion passant, f",
        "crown, lion passant, small gothic k, king's head",
        "anchor, lion passant, small roman f, king's head",
    ] {
        let r = read(text);
        m.that(text, !r.nears.is_empty(), fits(&r), "some near");
        let mut last = 0;
        for n in &r.nears {
            let c = n.clashes.len();
            m.that(
                text,
                (1..=2).contains(&c),
                (&n.office, &n.shown, &n.clashes),
                "one clash or two",
            );
            m.that(text, c >= last, (&n.office, &n.shown, c), "fewest clashes first");
            last = c;
        }
        m.that(text, r.nears.len() <= 12, r.nears.len(), "at most twelve nears");
    }
    // Easily misread: case, lettering, the crown, which sovereign, incuse or relief, the lion's
    // stance, a look-alike letter. One of these and one other clash is still near.
    for (text, office, year) in [
        ("anchor, lion passant, castle, king's head, capital roman F", "birmingham", 1803),
        ("anchor, lion passant, castle, king's head, small gothic f", "birmingham", 1803),
        ("leopard's head uncrowned, lion passant, castle, E, king's head", "london", 1800),
        ("anchor, lion passant, castle, Victoria's head, small roman f", "birmingham", 1803),
        ("anchor, lion passant, castle, incuse king's head, small roman f", "birmingham", 1803),
        ("anchor, lion rampant, castle, king's head, small roman f", "birmingham", 1803),
        ("anchor, lion passant, castle, king's head, small roman s", "birmingham", 1803),
    ] {
        m.same(&format!("{text} ({office} {year})"), bears(text, office, year), Near);
    }
    // Two clashes of which neither is easily misread are no near.
    for (text, office, year) in [
        ("anchor, castle, leopard's head, lion passant, small roman f", "birmingham", 1803),
        ("castle, lion passant, small roman q, king's head", "birmingham", 1803),
    ] {
        m.same(&format!("{text} ({office} {year})"), bears(text, office, year), Gone);
    }
}

#[test]
fn s2_strain_beyond_two_doubts_worth_is_neither_fit_nor_near() {
    bearings(
        "
        birmingham 1816 Strains anchor, lion passant, small roman f?, queen's head?
        birmingham 1816 Gone    leopard's head?, lion passant, small roman f?, queen's head?
        birmingham 1803 Gone    castle?, lion rampant?, small roman f, queen's head?
        ",
    );
}

#[test]
fn s2_outside_nothing_understood() {
    let mut m = Misses::default();
    for text in [
        "",
        "   ",
        "?",
        "zzyzx",
        "HB/JB",
        "W.S",
        "maker's mark HB",
        "John Smith",
        "1234",
        "no duty mark",
        "no town mark, no date letter",
        "fish slice",
        "178g",
        "1803",
    ] {
        m.same(text, outcome(text), "outside: nothing-understood".to_string());
    }
}

#[test]
fn s2_outside_denied_and_then_fits_are_empty_whatever_stands_beside() {
    let mut m = Misses::default();
    for what in [
        "EPNS",
        "E.P.N.S.",
        "E P N S",
        "EPBM",
        "A1 EP",
        "EP A1",
        "nickel silver",
        "plated",
        "Minerva",
        "head of Minerva",
        "crescent with crown",
        "crescent and crown",
        "crown and crescent",
        "kokoshnik",
        "COIN",
    ] {
        for text in [what.to_string(), format!("anchor, lion passant, f, {what}")] {
            let r = read(&text);
            m.same(&text, outcome(&text), "outside: denied".to_string());
            m.same(&text, fits(&r), Vec::<String>::new());
            m.that(&text, !r.lookalikes.is_empty(), &r.lookalikes, "the lookalike that denies");
        }
    }
}

#[test]
fn s2_outside_foreign_fineness_and_no_year_letters() {
    let mut m = Misses::default();
    for text in ["830S", "835", "84", "830 S", "835, maker's mark HB"] {
        m.same(text, outcome(text), "outside: foreign-fineness".to_string());
    }
    for text in ["Perth", "Perth town mark", "Perth town mark, maker's mark WR"] {
        m.same(text, outcome(text), "outside: no-year-letters".to_string());
    }
    let text = "Perth town mark";
    let shown = puncheon(&["read", text], "").out;
    let first = shown.lines().next().unwrap_or_default().to_string();
    m.that(text, first.contains("Perth"), first.clone(), "a first line that names Perth");
}

#[test]
fn s2_letters_of_plate_that_makers_had_too_deny_unless_marks_vouch_for_them() {
    let mut m = Misses::default();
    let denied = |text: &str| read(text).outside_because == Some(OutsideBecause::Denied);
    // Rows of platers, and letters without a town mark and a standard mark that stood together.
    for text in [
        "crown, EP, S, shield",
        "EP, k, crown, king's head",
        "EP",
        "E.P.",
        "E/P",
        "E P, crown, k",
        "E.P. & Co",
        "crown, E.P, S",
        "EP in shields, crown",
        "anchor, crown, EP, lion",
        "GF",
        "9ct GF",
        "GP",
        "G.P., crown",
        "RG & Co",
        "R/G, 9ct",
        "RG, anchor",
        "RG, lion passant, k",
        "GP, crown, k, shield",
        "EP, leopard's head, thistle",
        "crown, RG, king's head, k",
    ] {
        m.that(text, denied(text), outcome(text), "denied");
    }
    // Words, and letters that no maker had, deny whatever stands beside them.
    for letters in [
        "EPNS",
        "E.P.N.S.",
        "EPBM",
        "E.P.B.M",
        "EPWM",
        "EPGS",
        "EPC",
        "A1, EP",
        "electroplated",
        "rolled gold",
        "gold filled",
        "electroplate",
    ] {
        let text = format!("{letters}, anchor, lion passant, small roman f, king's head");
        m.that(&text, denied(&text), outcome(&text), "denied");
    }
    let full = "leopard's head, lion passant, small roman q, king's head";
    let alone = read(full);
    for letters in
        ["EP", "E.P.", "E/P", "E·P", "GF", "G.F", "RG", "R.G.", "R/G", "RG & Co", "GP", "G.P"]
    {
        for text in [format!("{letters}, {full}"), format!("{full}, {letters}")] {
            let r = read(&text);
            m.same(&text, years_of(&r), years_of(&alone));
            let told = r.remarks.iter().any(|x| {
                let taken = x.nearest.as_deref().unwrap_or_default();
                x.remark == RemarkKind::Guessed && taken.starts_with("a maker's mark; alone it")
            });
            m.that(&text, told, &r.remarks, "a remark on the letters");
            m.same(&text, r.lookalikes.len(), 1);
        }
    }
    // The assay master's own letters beside the castle, in his years.
    let r = read("castle with three towers, EP, P");
    m.that("castle, EP", !r.fits.is_empty(), fits(&r), "fits");
    for f in &r.fits {
        m.that("castle, EP", (1707..=1729).contains(&f.from), &f.shown, "his years");
    }
}

#[test]
fn s2_outside_office_closed_only_where_it_is_asked() {
    let mut m = Misses::default();
    for (text, office, years) in [
        ("lion passant, f", Some("chester"), Some((1970, 1980))),
        ("three wheatsheaves and a sword, lion passant", Some("chester"), Some((1970, 1980))),
        ("anchor, lion passant", Some("birmingham"), Some((1700, 1750))),
        ("tree, fish, bell and bird", Some("glasgow"), Some((1970, 1990))),
        ("Chester town mark", None, Some((1970, 1980))),
    ] {
        let r = bounded(text, office, years, false);
        m.same(
            &format!("{text} ({office:?} {years:?})"),
            (r.outcome, r.outside_because),
            (Outcome::Outside, Some(OutsideBecause::OfficeClosed)),
        );
    }
    // A date in the description is never evidence.
    let text = "three wheatsheaves and a sword, lion passant, Chester 1975";
    m.same(text, outcome(text), "fits".to_string());
    // A town's name alone and a lawful fineness are sightings.
    for text in ["Chester", "Birmingham", "925", ".925", "18ct", "750"] {
        m.same(text, outcome(text), "fits".to_string());
    }
}

#[test]
fn s2_outcomes_fits_nears_and_none() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, small roman f, king's head", "fits"),
        ("anchor, lion passant, small roman f, queen's head", "nears"),
        ("anchor, castle, three wheatsheaves and a sword", "none"),
    ] {
        m.same(text, outcome(text), want.to_string());
    }
}

#[test]
fn s2_conflict_names_two_marks_that_cannot_stand_together() {
    let mut m = Misses::default();
    for (text, a, b) in [
        ("anchor, leopard's head", "anchor", "leopard's head"),
        ("anchor, leopard's head, castle", "anchor", "leopard's head"),
        ("anchor, leopard's head, lion passant, f, king's head", "anchor", "leopard's head"),
    ] {
        let r = read(text);
        let named = r.conflict.map(|c| c.map(|i| r.sightings[i].text.clone()).to_vec());
        m.same(text, named, Some(vec![a.to_string(), b.to_string()]));
    }
    for text in ["anchor, lion passant, f", "anchor", ""] {
        m.same(text, read(text).conflict, None);
    }
}

#[test]
fn s2_lookalikes_stand_beside_a_full_set_without_harm() {
    let mut m = Misses::default();
    for set in [
        "anchor, lion passant, small roman f, king's head",
        "leopard's head, lion passant, small roman e",
    ] {
        for (word, kind) in [
            ("STERLING", "words"),
            ("ENGLAND", "words"),
            ("Rd No 123456", "other-mark"),
            ("PATENT", "other-mark"),
        ] {
            let text = format!("{set}, {word}");
            let (with, without) = (read(&text), read(set));
            m.same(&text, fits(&with), fits(&without));
            m.same(&text, outcome(&text), outcome(set));
            m.that(
                &text,
                with.lookalikes.iter().any(|l| l.kind == kind),
                with.lookalikes.iter().map(|l| (&l.id, l.kind)).collect::<Vec<_>>(),
                &format!("a lookalike of kind {kind}"),
            );
        }
    }
}

#[test]
fn s2_lookalikes_that_share_a_device_stand_where_no_standard_mark_is_described() {
    let mut m = Misses::default();
    for (text, some) in
        [("anchor, 15", "anchor"), ("anchor", "anchor"), ("crown", "plate"), ("castle", "Denmark")]
    {
        let met = read(text).lookalikes;
        let told: Vec<String> =
            met.iter().map(|l| format!("{}: {} {}", l.id, l.what, l.why)).collect();
        m.that(
            text,
            told.iter().any(|t| {
                t.to_lowercase().contains(&some.to_lowercase())
                    || t.contains("Danish") && some == "Denmark"
            }),
            &told,
            &format!("one that speaks of {some}"),
        );
        m.same(text, outcome(text), "fits".to_string());
    }
    for text in [
        "anchor, lion passant, f",
        "crown, lion passant, f",
        "anchor, 925",
        "anchor, standard mark",
        "anchor, sterling mark",
    ] {
        m.that(text, lookalikes(text).is_empty(), lookalikes(text), "none beside a standard mark");
    }
}

#[test]
fn s2_bare_letter_bare_figure_and_pseudo_where_no_offices_mark_is_described() {
    let mut m = Misses::default();
    for (text, kind) in [
        ("f", "bare-letter"),
        ("small gothic k", "bare-letter"),
        ("date letter f", "bare-letter"),
        ("HB/JB, date letter f", "bare-letter"),
        ("925", "bare-figure"),
        (".925", "bare-figure"),
        ("18CT", "bare-figure"),
        ("18ct", "bare-figure"),
        ("750", "bare-figure"),
        ("18ct, HB/JB", "bare-figure"),
        ("lion passant", "pseudo"),
        ("lion passant, f", "pseudo"),
        ("lion passant, small roman f, king's head", "pseudo"),
        ("thistle", "pseudo"),
        ("Britannia", "pseudo"),
    ] {
        m.that(text, lookalike_kinds(text).contains(kind), lookalikes(text), kind);
    }
    for text in
        ["anchor, lion passant, f", "Chester, lion passant", "anchor, 925", "leopard's head, 750"]
    {
        let got = lookalike_kinds(text);
        m.that(
            text,
            !["bare-letter", "bare-figure", "pseudo"].iter().any(|k| got.contains(k)),
            lookalikes(text),
            "none of the three",
        );
    }
    // The describer's own words count.
    for word in ["crude", "pseudo", "fake", "copy", "not hallmarks", "nothing else"] {
        let text = format!("anchor, lion passant, f, {word}");
        m.that(&text, lookalike_kinds(&text).contains("pseudo"), lookalikes(&text), "pseudo");
        m.same(&text, fits(&read(&text)), fits(&read("anchor, lion passant, f")));
    }
}

#[test]
fn s2_lookalike_kinds_are_those_of_the_contract() {
    let known = [
        "plate",
        "alloy",
        "words",
        "foreign",
        "provincial",
        "pseudo",
        "maker-only",
        "bare-figure",
        "bare-letter",
        "other-mark",
    ];
    let mut m = Misses::default();
    for text in [
        "EPNS",
        "STERLING",
        "Minerva",
        "830S",
        "Perth",
        "anchor",
        "crown",
        "castle",
        "18ct",
        "f",
        "lion passant",
        "PATENT",
        "Rd No 1234",
        "German silver",
        "starling",
        "COIN",
    ] {
        for kind in lookalike_kinds(text) {
            m.that(text, known.contains(&kind), kind, "a kind of the contract");
        }
    }
}

#[test]
fn s2_no_date_letter_read_gives_runs() {
    let mut m = Misses::default();
    let text = "leopard's head crowned, lion passant, king's head";
    let r = read(text);
    let silver: Vec<_> = r
        .fits
        .iter()
        .filter(|f| f.office.as_deref() == Some("london") && f.metal == "silver")
        .collect();
    m.that(
        text,
        silver.iter().any(|f| {
            f.shown == "1784/85 to 1821/22" && (f.year, f.from, f.to) == (None, 1784, 1821)
        }),
        fits(&r),
        "London silver, 1784/85 to 1821/22",
    );
    m.same(text, silver.len(), 1);
    for f in &r.fits {
        m.same(
            &format!("{text}: {}", f.shown),
            f.year.is_none() && f.letter.is_none(),
            f.from != f.to,
        );
    }

    // Only rows of equal strain are merged.
    let text = "triangle, .925";
    let r = read(text);
    let got: Vec<_> = r
        .fits
        .iter()
        .filter(|f| f.fineness == Some(925) && f.office.as_deref() == Some("birmingham"))
        .map(|f| (f.from, f.to, f.strains.is_empty()))
        .collect();
    m.same(text, got, vec![(1904, 1974, true), (1975, 1998, false)]);

    // A run of one year is an ordinary fit.
    let text = "anchor, lion passant, 1977 jubilee mark";
    let r = read(text);
    m.that(
        text,
        r.fits.iter().any(|f| f.year == Some(1977) && f.letter.is_some()),
        r.fits.iter().map(|f| (f.year, f.letter.clone())).collect::<Vec<_>>(),
        "1977 with its letter",
    );
    // A run for each office, metal and fineness.
    let text = "lion passant, king's head";
    let r = read(text);
    let mut keys = BTreeSet::new();
    for f in r.fits.iter().filter(|f| f.strain == 0) {
        let unbroken = keys.insert((f.office.clone(), f.metal, f.fineness));
        m.that(text, unbroken, (&f.office, &f.shown, f.metal, f.fineness), "one unbroken run");
    }
}

#[test]
fn s2_years_of_unknown_letter_stand_after_every_letter_that_agrees() {
    // Sheffield's letter of 1793 is not known.
    let mut m = Misses::default();
    for text in [
        "crown, lion passant, king's head, m",
        "crown, lion passant, king's head, q",
        "Sheffield, lion passant, m",
    ] {
        let r = read(text);
        let unread =
            |f: &puncheon::reading::Fit| f.letter.as_ref().is_none_or(|l| l.struck.is_none());
        let first = r.fits.iter().position(unread);
        m.that(text, first.is_some_and(|i| r.fits[i..].iter().all(unread)), fits(&r), "1793 last");
        for f in r.fits.iter().filter(|f| !unread(f)) {
            m.that(
                text,
                f.year.is_some() && f.letter.is_some(),
                (&f.shown, f.year),
                "years with a letter not merged",
            );
        }
    }
}

#[test]
fn s2_a_letter_carried_on_is_one_fit() {
    let mut m = Misses::default();
    for (text, office, year, to) in [
        (
            "leopard's head crowned, three wheatsheaves and a sword, lion passant, D",
            "chester",
            1821,
            1822,
        ),
        ("Hibernia, harp crowned, P", "dublin", 1930, 1931),
    ] {
        let r = bounded(text, Some(office), Some((year, to)), false);
        let got: Vec<_> = r
            .fits
            .iter()
            .filter(|f| f.from <= to && f.to >= year && f.metal == "silver")
            .map(|f| (f.year, f.from, f.to))
            .collect();
        m.same(text, got, vec![(Some(year), year, to)]);
    }
}

#[test]
fn s2_begins_and_ends_bound_the_days_still_possible() {
    let mut m = Misses::default();
    let text = "leopard's head crowned, lion passant, small roman i, sovereign's head";
    let r = read(text);
    let f = r.fits.iter().find(|f| f.year == Some(1784) && f.metal == "silver");
    m.same(text, f.and_then(|f| f.begins.clone()), Some("1784-12-01".to_string()));
    let text = "leopard's head crowned, lion passant, small roman i";
    let r = read(text);
    let f = r.fits.iter().find(|f| f.year == Some(1784) && f.metal == "silver");
    m.that(
        text,
        f.is_some_and(|f| f.begins.as_deref().is_some_and(|b| b.starts_with("1784-05"))),
        f.map(|f| &f.begins),
        "May 1784",
    );
}

#[test]
fn s2_order_of_fits() {
    let mut m = Misses::default();
    let first = |text: &str| read(text).fits.first().and_then(|f| f.year);
    let place = |r: &Reading, year: i32| r.fits.iter().position(|f| f.year == Some(year));
    // A sovereign's head due but unsaid puts 1801 after 1903.
    let text = "anchor, lion passant, small roman d";
    let r = read(text);
    m.that(
        text,
        matches!((place(&r, 1903), place(&r, 1801)), (Some(a), Some(b)) if a < b),
        fits(&r),
        "1903 before 1801",
    );
    // Silver before other metals, then least strain.
    for text in [
        "anchor, lion passant, roman k",
        "leopard's head, .375",
        "triangle, .925",
        "anchor, worn n",
        "harp crowned, F",
        "H",
        "leopard's head crowned, lion passant, small roman h",
        "leopard's head, 999",
    ] {
        let r = read(text);
        let order: Vec<(bool, bool, u32)> =
            r.fits.iter().map(|f| (f.metal != "silver", f.unread, f.strain)).collect();
        m.that(
            text,
            order.is_sorted(),
            order.iter().find(|o| o.0),
            "silver before other metals, then a letter that is known, then least strain",
        );
    }
    // Home before foreign, and of one office and year silver.
    for text in ["leopard's head crowned, lion passant, small roman h", "Chester, small roman k"] {
        let r = read(text);
        let mut bad = Vec::new();
        for (i, f) in r.fits.iter().enumerate() {
            let silver_after = r.fits[i..].iter().any(|g| {
                g.office == f.office
                    && g.from == f.from
                    && g.strain == f.strain
                    && g.metal == "silver"
            });
            if f.metal == "gold" && silver_after {
                bad.push((f.office.clone(), f.shown.clone()));
            }
        }
        m.that(text, bad.is_empty(), bad.clone(), "silver before gold of the same year");
    }
    // Then the later year: London small roman h of 1823 (crown gone, duty due) and 1783, 1743.
    let text = "leopard's head crowned, lion passant, small roman c";
    m.same(text, first(text), Some(1778));
}

#[test]
fn s2_metal_is_decided_by_evidence() {
    let mut m = Misses::default();
    let metal = |text: &str| read(text).fits.first().map(|f| f.metal);
    // Silver and gold shared these marks, and silver stands first whatever else was described.
    for text in [
        "harp crowned, F",
        "harp crowned, capital roman K",
        "H",
        "K",
        "leopard's head, lion passant, q",
        "anchor, lion passant, small roman d",
        "leopard's head, 999",
        "castle, thistle, worn k",
        "king's head, k",
    ] {
        m.same(text, metal(text), Some("silver"));
    }
    // A mark of gold's own.
    for text in [
        "crown and 999",
        "crown and 750",
        "anchor, crown, 18, k",
        "anchor, 15, .625",
        "unicorn's head, K",
        "leopard's head, 22ct, k",
    ] {
        m.same(text, metal(text), Some("gold"));
    }
    // Another office's lion, Britannia for Hibernia: a mark that the table only doubts is not
    // therefore another mark.
    for text in [
        "lion rampant, leopard's head, q",
        "harp crowned, seated Britannia, letter K, king's head",
        "lion rampant, leopard's head, small roman k",
        "lion rampant, three wheatsheaves and a sword, k",
    ] {
        let r = read(text);
        m.same(text, r.outcome, Outcome::Nears);
        m.same(text, r.nears.first().map(|f| f.metal), Some("silver"));
    }
    // A crown without its figure stood on plate as well.
    for text in ["anchor, crown, k", "crown, leopard's head, k"] {
        let r = read(text);
        m.that(text, r.metal_not_shown, fits(&r), "no mark shows gold");
        let first = puncheon(&["read", "--brief", text], "").out;
        m.that(text, first.starts_with("Metal not shown"), first, "the metal last");
    }
    // A point belongs to the carats of the law of 1854, not to the figures of other metals.
    for text in [".5, leopard's head, q", ".5, anchor, k", "leopard's head, .500, k"] {
        let r = read(text);
        let other = |f: &&puncheon::reading::Fit| f.metal != "gold";
        let others: Vec<_> = r.fits.iter().filter(other).collect();
        m.same(text, metal(text), Some("gold"));
        m.that(
            text,
            !others.is_empty() && others.iter().all(|f| f.strain > 0),
            others.iter().map(|f| (f.metal, f.strain)).collect::<Vec<_>>(),
            "palladium is there and strains",
        );
    }
}

#[test]
fn s2_how_sure_is_said_by_rule() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor, lion passant, small roman f, king's head", Some("one-year")),
        ("anchor, lion passant, f", Some("several")),
        ("anchor, lion passant, small roman f, queen's head", Some("misreading")),
        ("", None),
        ("EPNS", None),
        ("Chester", Some("several")),
    ] {
        m.same(text, read(text).sure.map(|s| name!(s)), want.map(str::to_string));
    }
    // A letter of low confidence: Birmingham 1958.
    let text = "anchor, lion passant, J";
    let r = bounded(text, Some("birmingham"), Some((1958, 1958)), false);
    m.same(text, r.sure.map(|s| name!(s)), Some("one-year-doubtful".to_string()));
    // A strained fit is a doubtful one.
    let text = "anchor, lion passant, king's head, worn small roman f";
    let r = bounded(text, Some("birmingham"), Some((1816, 1816)), false);
    m.same(text, r.sure.map(|s| name!(s)), Some("one-year-doubtful".to_string()));
    // Office-years are counted, not metals: London 1803 in silver and in 22 carat gold.
    let text = "leopard's head crowned, lion passant, capital roman H, king's head";
    let r = bounded(text, Some("london"), None, false);
    m.same(&format!("{text}: years"), r.years, years_of(&r).len());
    m.same(text, r.sure.map(|s| name!(s)), Some("one-year".to_string()));
    for text in
        ["anchor, lion passant, small roman f, king's head", "anchor, lion passant, f", "Chester"]
    {
        let shown = puncheon(&["read", text], "").out.to_lowercase();
        m.that(text, !shown.contains("certain"), shown.clone(), "never \"certain\"");
    }
}

#[test]
fn s2_what_to_look_at_next() {
    let mut m = Misses::default();
    let text = "anchor, lion passant, small roman k";
    let r = read(text);
    m.that(text, !r.look_next.is_empty(), &r.look_next, "something to look at");
    if let Some(next) = r.look_next.first() {
        m.that(text, next.answers.len() >= 2, next, "two answers or more");
        m.that(
            text,
            next.answers.iter().all(|a| a.leaves <= r.years),
            (next, r.years),
            "answers that leave no more than there are",
        );
        m.that(
            text,
            next.answers.iter().any(|a| a.leaves < r.years),
            (next, r.years),
            "an answer that leaves fewer",
        );
    }
    // Nothing is left to tell apart where one year fits.
    let text = "anchor, lion passant, small roman f, king's head";
    let r = read(text);
    m.that(text, r.look_next.is_empty(), &r.look_next, "nothing to look at");
}

#[test]
fn s2_more_evidence_never_adds_a_fit() {
    let mut m = Misses::default();
    let more = [
        "f",
        "king's head",
        "small roman f",
        "no duty mark",
        "lion passant guardant",
        "HB/JB",
        "STERLING",
        "worn n or h",
        "925",
        "castle?",
        "Victoria's head",
    ];
    for base in [
        "anchor, lion passant",
        "leopard's head, lion passant",
        "lion passant",
        "Chester",
        "crown, 18",
    ] {
        let before = years_of(&read(base));
        for add in more {
            let text = format!("{base}, {add}");
            let after = years_of(&read(&text));
            let added: Vec<_> = after.difference(&before).take(3).collect();
            m.that(&text, added.is_empty(), &added, "no office-year more than before");
        }
    }
}

#[test]
fn s2_the_order_of_sightings_never_matters() {
    let mut m = Misses::default();
    for parts in [
        ["anchor", "lion passant", "small roman f", "king's head"],
        ["leopard's head crowned", "lion passant guardant", "worn n", "no duty mark"],
        ["three wheatsheaves and a sword", "Chester town mark", "18ct", "capital roman K"],
        ["anchor", "leopard's head", "castle", "f"],
    ] {
        let whole = |order: [usize; 4]| {
            let text = order.map(|i| parts[i]).join(", ");
            let r = read(&text);
            (text, r.outcome, fits(&r))
        };
        let (_, outcome, list) = whole([0, 1, 2, 3]);
        for order in [[3, 2, 1, 0], [1, 0, 3, 2], [2, 3, 0, 1], [3, 0, 2, 1]] {
            let (text, o, l) = whole(order);
            m.same(&text, o, outcome);
            m.same(&text, l, list.clone());
        }
    }
}

#[test]
fn s2_every_fit_bears_on_every_sighting_and_every_near_names_each_clash() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, small roman f, king's head",
        "anchor, lion passant, small roman f, queen's head",
        "leopard's head crowned?, lion passant, worn n or h, HB/JB",
        "triangle, .925, STERLING",
        "anchor, leopard's head, lion passant, f",
        "Chester",
    ] {
        let r = read(text);
        for f in &r.fits {
            let mut told: Vec<usize> = [&f.agrees, &f.silent, &f.strains]
                .into_iter()
                .flatten()
                .filter_map(|b| b.sighting)
                .collect();
            told.sort_unstable();
            told.dedup();
            m.that(
                text,
                told == (0..r.sightings.len()).collect::<Vec<_>>(),
                (&f.office, &f.shown, &told),
                "each sighting agrees, is silent or strains",
            );
            m.that(text, f.clashes.is_empty(), &f.clashes, "no clash in a fit");
        }
        for n in &r.nears {
            let mut told: Vec<usize> = [&n.agrees, &n.silent, &n.strains]
                .into_iter()
                .flatten()
                .filter_map(|b| b.sighting)
                .chain(n.clashes.iter().filter_map(|c| c.sighting))
                .collect();
            told.sort_unstable();
            told.dedup();
            m.that(
                text,
                told == (0..r.sightings.len()).collect::<Vec<_>>(),
                (&n.office, &n.shown, &told),
                "each sighting agrees, is silent, strains or clashes",
            );
            m.that(
                text,
                !n.clashes.is_empty()
                    && n.clashes.iter().all(|c| !c.saw.is_empty() && !c.would_be.is_empty()),
                (&n.office, &n.shown, &n.clashes),
                "clashes that say what was seen and what it would be",
            );
        }
    }
}

// ---------------------------------------------------------------------------------------------
// Section 3: JSON
// ---------------------------------------------------------------------------------------------

/// The fields of an object and what sort of value each may hold: `name: sort, name: sort|sort`.
fn shape(m: &mut Misses, at: &str, v: &Value, fields: &str) {
    let Some(object) = v.as_object() else {
        m.that(at, false, v, "an object");
        return;
    };
    for (field, sort) in fields.split(", ").filter_map(|f| f.split_once(": ")) {
        let Some(v) = object.get(field) else {
            let known: Vec<_> = object.keys().collect();
            m.that(at, false, known, &format!("a field {field}"));
            continue;
        };
        let ok = sort.split('|').any(|s| match s {
            "string" => v.is_string(),
            "list" => v.is_array(),
            "int" => v.is_i64() || v.is_u64(),
            "null" => v.is_null(),
            "object" => v.is_object(),
            other => panic!("{other}"),
        });
        m.that(&format!("{at}.{field}"), ok, v, sort);
    }
}

fn list<'v>(v: &'v Value, field: &str) -> Vec<&'v Value> {
    v[field].as_array().into_iter().flatten().collect()
}

fn one_of(m: &mut Misses, at: &str, v: &Value, known: &[&str]) {
    m.that(at, v.as_str().is_some_and(|s| known.contains(&s)), v, &format!("one of {known:?}"));
}

fn reading_shape(m: &mut Misses, at: &str, r: &Value) {
    shape(
        m,
        at,
        r,
        "schema: string, asked: string, outcome: string, outside_because: string|null, \
             conflict: list|null, sure: string|null, sightings: list, remarks: list, claimed: \
             list, fits: list, nears: list, left: object, look_next: list, lookalikes: list, cautions: \
             list, parts: list",
    );
    m.that(at, r["schema"] == "puncheon.reading/1", &r["schema"], "puncheon.reading/1");
    one_of(m, &format!("{at}.outcome"), &r["outcome"], &["fits", "nears", "none", "outside"]);
    if !r["sure"].is_null() {
        one_of(
            m,
            &format!("{at}.sure"),
            &r["sure"],
            &["one-year", "one-year-doubtful", "several", "misreading"],
        );
    }
    if let Some(c) = r["conflict"].as_array() {
        let n = list(r, "sightings").len() as u64;
        m.that(
            at,
            c.len() == 2 && c.iter().all(|i| i.as_u64().is_some_and(|i| i < n)),
            c,
            "two indices into the sightings",
        );
    }
    m.that(
        at,
        (r["outcome"] == "outside") != r["outside_because"].is_null(),
        (&r["outcome"], &r["outside_because"]),
        "outside_because exactly where the outcome is outside",
    );
    let asked = r["asked"].as_str().unwrap_or_default();
    for s in list(r, "sightings") {
        shape(
            m,
            &format!("{at} sightings"),
            s,
            "text: string, start: int, end: int, kind: string, reads_as: string",
        );
        one_of(
            m,
            &format!("{at} sightings.kind"),
            &s["kind"],
            &[
                "town",
                "standard",
                "fineness",
                "letter",
                "duty",
                "import",
                "convention",
                "commemorative",
                "sponsor",
                "assayer",
                "lookalike",
                "absence",
            ],
        );
        let span = s["start"].as_u64().zip(s["end"].as_u64());
        let text = span.and_then(|(a, b)| asked.get(a as usize..b as usize));
        m.that(at, text.is_some() && text == s["text"].as_str(), s, "bytes that are its text");
    }
    for s in list(r, "remarks") {
        shape(
            m,
            &format!("{at} remarks"),
            s,
            "text: string, start: int, end: int, remark: string, nearest: string|null",
        );
        one_of(
            m,
            &format!("{at} remarks.remark"),
            &s["remark"],
            &["not-understood", "guessed", "ambiguous", "set-aside"],
        );
    }
    for s in list(r, "claimed") {
        shape(
            m,
            &format!("{at} claimed"),
            s,
            "text: string, start: int, end: int, office: string|null, from: int|null, to: \
             int|null, period: string|null, standard: string|null",
        );
    }
    for (which, near) in [("fits", false), ("nears", true)] {
        for f in list(r, which) {
            fit_shape(m, &format!("{at} {which}"), f, near);
        }
    }
    m.that(at, list(r, "nears").len() <= 12, list(r, "nears").len(), "at most twelve nears");
    shape(m, &format!("{at} left"), &r["left"], "years: int, more: int");
    for s in list(r, "look_next") {
        shape(m, &format!("{at} look_next"), s, "feature: string, asks: string, answers: list");
        for a in list(s, "answers") {
            shape(m, &format!("{at} answers"), a, "if: string, leaves: int");
        }
    }
    for s in list(r, "lookalikes") {
        shape(
            m,
            &format!("{at} lookalikes"),
            s,
            "id: string, kind: string, what: string, why: string, from: int|null, to: \
             int|null, confidence: string, sources: list",
        );
    }
    for s in list(r, "parts") {
        shape(m, &format!("{at} parts"), s, "label: string, reading: object");
        reading_shape(m, &format!("{at} part"), &s["reading"]);
    }
}

fn fit_shape(m: &mut Misses, at: &str, f: &Value, near: bool) {
    shape(
        m,
        at,
        f,
        "office: string|null, year: int|null, from: int, to: int, shown: string, begins: \
             string|null, ends: string|null, origin: string, letter: object|null, metal: \
             string, fineness: int|null, agrees: list, silent: list, strains: list, basis: \
             string, confidence: string, sources: list",
    );
    one_of(m, &format!("{at}.origin"), &f["origin"], &["home", "foreign", "either"]);
    one_of(m, &format!("{at}.metal"), &f["metal"], &["silver", "gold", "platinum", "palladium"]);
    one_of(m, &format!("{at}.basis"), &f["basis"], &["published", "memory", "both"]);
    one_of(m, &format!("{at}.confidence"), &f["confidence"], &["high", "medium", "low"]);
    if let Some(office) = f["office"].as_str() {
        m.that(at, office == office.to_lowercase(), office, "the office's lower-case name");
    }
    if !f["letter"].is_null() {
        shape(
            m,
            &format!("{at}.letter"),
            &f["letter"],
            "struck: string|null, lettering: string|null, case: string|null, outline: \
             string|null",
        );
        if !f["letter"]["case"].is_null() {
            one_of(m, &format!("{at}.letter.case"), &f["letter"]["case"], &["upper", "lower"]);
        }
    }
    for day in ["begins", "ends"] {
        if let Some(d) = f[day].as_str() {
            let parts: Vec<&str> = d.split('-').collect();
            m.that(
                &format!("{at}.{day}"),
                parts.iter().map(|p| p.len()).collect::<Vec<_>>() == [4, 2, 2],
                d,
                "an ISO day",
            );
        }
    }
    for which in ["agrees", "silent", "strains"] {
        for b in list(f, which) {
            shape(m, &format!("{at}.{which}"), b, "sighting: int|null, why: string");
        }
    }
    if near {
        shape(m, at, f, "clashes: list");
        m.that(at, !list(f, "clashes").is_empty(), &f["shown"], "a clash");
        for c in list(f, "clashes") {
            shape(
                m,
                &format!("{at}.clashes"),
                c,
                "sighting: int|null, saw: string, would_be: string",
            );
        }
    } else {
        m.that(at, list(f, "clashes").is_empty(), &f["clashes"], "no clashes in a fit");
    }
}

#[test]
fn s3_json_has_the_contracts_shape() {
    let mut m = Misses::default();
    for text in [
        "anchor, lion passant, small roman f, king's head",
        "anchor, lion passant, small roman f, queen's head",
        "anchor, leopard's head, castle",
        "anchor, lion passant, Chester 1908, HB, fish slice, zzyzx",
        "EPNS",
        "Perth town mark",
        "830S",
        "f",
        "Chester",
        "",
        "F in an oval",
        "crown, lion passant, m",
        "cup: anchor, lion passant, f; lid: leopard's head, lion passant, B",
        "ancor, f, lion, gothic, Victorian",
    ] {
        let ran = puncheon(&["read", "--json", text], "");
        m.same(text, ran.out.lines().count(), 1);
        m.that(text, ran.out.ends_with('\n'), ran.out.len(), "a line's end");
        m.that(text, ran.err.is_empty(), &ran.err, "nothing on standard error");
        match serde_json::from_str::<Value>(&ran.out) {
            Ok(r) => {
                m.same(text, r["asked"].as_str(), Some(text));
                reading_shape(&mut m, text, &r);
            }
            Err(e) => m.that(text, false, e.to_string(), "JSON"),
        }
        if m.0.len() > 40 {
            break;
        }
    }
}

#[test]
fn s3_why_and_cautions_are_sentences() {
    let mut seen = BTreeSet::new();
    for text in [
        "anchor, lion passant, small roman f, king's head",
        "anchor, lion passant, sans serif f, no duty mark",
        "leopard's head crowned?, lion passant, worn n",
        "triangle, .925, Birmingham import mark",
        "crown, lion passant, q in an oval",
        "EPNS",
        "Chester",
    ] {
        let r = read(text);
        seen.extend(r.cautions.iter().cloned());
        for f in r.fits.iter().chain(&r.nears) {
            for b in [&f.agrees, &f.silent, &f.strains].into_iter().flatten() {
                seen.insert(b.why.clone());
            }
        }
    }
    let mut m = Misses::default();
    let no_sentence = |s: &&String| {
        s.chars().next().is_none_or(char::is_lowercase) || !s.ends_with(['.', '!', '?'])
    };
    let bad: Vec<_> = seen.iter().filter(no_sentence).collect();
    m.that(
        &format!("{} of {}", bad.len(), seen.len()),
        bad.is_empty(),
        bad.iter().take(8).collect::<Vec<_>>(),
        "sentences: a capital first and a point last",
    );
}

#[test]
fn s3_json_lists_every_fit() {
    let text = "anchor, lion passant, f";
    let r = json(&["read", "--json", text], "");
    let all = json(&["read", "--json", "--all", text], "");
    let library = read(text);
    assert_eq!(list(&r[0], "fits").len(), library.fits.len(), "{text:?}");
    assert_eq!(list(&all[0], "fits").len(), library.fits.len(), "{text:?} --all");
    // Nears stand beside fits too.
    assert!(!list(&r[0], "nears").is_empty(), "{text:?} has nears");
}

#[test]
fn s3_values_mean_what_the_contract_says() {
    let mut m = Misses::default();
    let shown = |text: &str, office: &str, year: i32| {
        bounded(text, Some(office), Some((year, year)), false)
            .fits
            .iter()
            .find(|f| f.from == year)
            .map(|f| f.shown.clone())
    };
    m.same(
        "shown 1803",
        shown("anchor, lion passant, f", "birmingham", 1803),
        Some("1803/04".to_string()),
    );
    m.same(
        "shown 1987",
        shown("anchor, lion passant, N", "birmingham", 1987),
        Some("1987".to_string()),
    );
    // Fineness, cut to whole parts per thousand.
    for (text, office, year, want) in [
        ("leopard's head, lion passant, e", "london", 1900, 925),
        ("Britannia, lion's head erased", "london", 1700, 958),
        ("leopard's head, 22ct", "london", 1900, 916),
        ("leopard's head, 20ct", "dublin", 1900, 833),
        ("leopard's head, 18ct", "london", 1900, 750),
        ("leopard's head, 15ct", "london", 1900, 625),
        ("leopard's head, 14ct", "london", 1950, 585),
        ("leopard's head, 12ct", "london", 1900, 500),
        ("leopard's head, 10ct", "dublin", 1990, 417),
        ("leopard's head, 9ct", "london", 1900, 375),
    ] {
        let text = if office == "dublin" {
            text.replacen("leopard's head", "Hibernia", 1)
        } else {
            text.to_string()
        };
        let r = bounded(&text, Some(office), Some((year, year)), false);
        let got: BTreeSet<_> = r.fits.iter().map(|f| f.fineness).collect();
        m.same(&format!("{text} ({office} {year})"), got, BTreeSet::from([Some(want)]));
    }
    // Null where no standard is known: Scottish silver before 1720.
    for year in [1690, 1700, 1710] {
        let r = bounded("Edinburgh town mark", Some("edinburgh"), Some((year, year)), false);
        let got: BTreeSet<_> =
            r.fits.iter().filter(|f| f.metal == "silver").map(|f| f.fineness).collect();
        m.same(&format!("Edinburgh town mark ({year})"), got, BTreeSet::from([None]));
    }
    // `sighting` is null for something expected and not described.
    let r = bounded("anchor, lion passant, f", Some("birmingham"), Some((1803, 1803)), true);
    let nulls = r
        .fits
        .iter()
        .flat_map(|f| f.strains.iter().chain(&f.silent))
        .filter(|b| b.sighting.is_none())
        .count();
    m.that("anchor, lion passant, f (complete)", nulls > 0, nulls, "the duty mark due");
    // A letter carried on: `year` its first, `to` its last.
    let text = "Hibernia, harp crowned, P";
    let r = bounded(text, Some("dublin"), Some((1930, 1931)), false);
    m.that(
        text,
        r.fits.iter().any(|f| (f.year, f.from, f.to) == (Some(1930), 1930, 1931)),
        r.fits.iter().map(|f| (f.year, f.from, f.to)).collect::<Vec<_>>(),
        "1930 to 1931",
    );
}

#[test]
fn s3_kinds_of_sighting() {
    let mut m = Misses::default();
    for (text, want) in [
        ("anchor", "town"),
        ("lion passant", "standard"),
        (".925", "fineness"),
        ("18ct", "fineness"),
        ("date letter f", "letter"),
        ("king's head", "duty"),
        ("duty mark", "duty"),
        ("F in an oval", "import"),
        ("import mark", "import"),
        ("crossed arrows", "import"),
        ("common control mark", "convention"),
        ("1935 jubilee mark", "commemorative"),
        ("maker's mark HB", "sponsor"),
        ("HB/JB", "sponsor"),
        ("assay master's mark", "assayer"),
        ("EPNS", "lookalike"),
        ("no duty mark", "absence"),
    ] {
        m.same(text, kinds_only(text), vec![want.to_string()]);
    }
}

// ---------------------------------------------------------------------------------------------
// Section 5: exit codes
// ---------------------------------------------------------------------------------------------

/// Cases of arguments, standard input and the exit code they should give.
fn codes(cases: &[(&[&str], &str, i32)]) {
    let mut m = Misses::default();
    for (args, input, want) in cases {
        let ran = puncheon(args, input);
        m.that(
            &format!("puncheon {}", args.join(" ")),
            ran.code == *want,
            (ran.code, ran.err.lines().next().unwrap_or_default()),
            &format!("exit code {want}"),
        );
    }
}

/// Is the command built? Commands still to come are checked as soon as the help names them.
fn built(command: &str) -> bool {
    puncheon(&["--help"], "")
        .out
        .lines()
        .any(|l| l.trim_start().split(' ').next() == Some(command) && l.starts_with("  "))
}

#[test]
fn s5_read_gives_0_for_fits_and_1_for_the_rest() {
    codes(&[
        (&["read", "anchor, lion passant, small roman f, king's head"], "", 0),
        (&["read", "anchor, lion passant, f"], "", 0),
        (&["read", "--json", "anchor, lion passant, f"], "", 0),
        (&["read", "--brief", "anchor, lion passant, f"], "", 0),
        // Nears, none, outside.
        (&["read", "anchor, lion passant, small roman f, queen's head"], "", 1),
        (&["read", "anchor, leopard's head, castle"], "", 1),
        (&["read", "EPNS"], "", 1),
        (&["read", "830S"], "", 1),
        (&["read", "Perth town mark"], "", 1),
        (&["read", "--office", "chester", "--between", "1970..1980", "lion passant"], "", 1),
        (&["read", "--json", "EPNS"], "", 1),
        (&["read", "--brief", "EPNS"], "", 1),
        // Never 2 because of the words described.
        (&["read", ""], "", 1),
        (&["read", " "], "", 1),
        (&["read", "zzyzx"], "", 1),
        (&["read", "?", ",", "(", "\""], "", 1),
        (&["read", "\u{200b}"], "", 1),
    ]);
    let ran = puncheon(&["read", ""], "");
    assert!(!ran.out.trim().is_empty(), "read \"\" answers in words: {:?}", ran.out);
    assert!(ran.err.is_empty(), "read \"\" says on standard error: {}", ran.err);
}

#[test]
fn s5_of_several_descriptions_0_if_any_fits() {
    codes(&[
        (&["read", "--each", "EPNS", "anchor, lion passant, f"], "", 0),
        (&["read", "--each", "anchor, lion passant, f", "EPNS"], "", 0),
        (&["read", "--each", "EPNS", "zzyzx"], "", 1),
        (&["read"], "EPNS\nanchor, lion passant, f\n", 0),
        (&["read"], "anchor, lion passant, f\nEPNS\n", 0),
        (&["read"], "EPNS\nzzyzx\n", 1),
        (&["read", "--json"], "EPNS\nanchor, lion passant, f\n", 0),
        (&["read"], "\n", 1),
    ]);
}

#[test]
fn s5_why_and_tables() {
    let bad = std::env::temp_dir().join(format!("puncheon-contract-{}", std::process::id()));
    std::fs::create_dir_all(&bad).expect("a folder");
    std::fs::write(bad.join("bad.ron"), "Offices([ nonsense").expect("a file");
    let bad = bad.to_str().expect("a name in UTF-8").to_string();
    let tables = concat!(env!("CARGO_MANIFEST_DIR"), "/../tables");
    codes(&[
        (&["why", "anchor, lion passant, f", "--office", "birmingham", "--year", "1803"], "", 0),
        // Refused, or no such row.
        (&["why", "anchor, lion passant, f", "--office", "chester", "--year", "1975"], "", 1),
        (&["tables", "verify"], "", 0),
        (&["tables", "verify", tables], "", 0),
        (&["tables", "verify", &bad], "", 2),
        (&["tables", "verify", "/nowhere/at/all"], "", 2),
        (&["tables", "diff", tables, tables], "", 0),
        (&["tables", "diff", "/nowhere/at/all", tables], "", 2),
        (&["tables", "export"], "", 0),
        // A bad table is misuse everywhere.
        (&["read", "--tables", &bad, "anchor"], "", 2),
        (&["--tables", &bad, "read", "anchor"], "", 2),
        (&["read", "--tables", "/nowhere/at/all", "anchor"], "", 2),
    ]);
    std::fs::remove_dir_all(&bad).expect("the folder goes");
}

#[test]
fn s5_tables_diff_gives_1_on_differences() {
    let from = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../tables"));
    let to = std::env::temp_dir().join(format!("puncheon-contract-diff-{}", std::process::id()));
    copy(from, &to);
    let file = to.join("offices/birmingham.ron");
    let text = std::fs::read_to_string(&file).expect("the table");
    let changed = text.replacen("lettering: Roman, case: Upper", "lettering: Sans, case: Upper", 1);
    assert_ne!(text, changed, "the table can be changed");
    std::fs::write(&file, changed).expect("the table is written");
    let (a, b) = (from.to_str().expect("UTF-8"), to.to_str().expect("UTF-8"));
    let ran = puncheon(&["tables", "diff", a, b], "");
    std::fs::remove_dir_all(&to).expect("the folder goes");
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("birmingham"), "{}", ran.out);
}

fn copy(from: &std::path::Path, to: &std::path::Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("the folder is read") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.file_type().expect("its type").is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).expect("a copy");
        }
    }
}

#[test]
fn s5_everywhere_2_is_misuse() {
    codes(&[
        (&[], "", 2),
        (&["--no-such-option"], "", 2),
        (&["no-such-command"], "", 2),
        (&["read", "--no-such-option", "anchor"], "", 2),
        (&["read", "--office", "atlantis", "anchor"], "", 2),
        (&["read", "--between", "soon", "anchor"], "", 2),
        (&["read", "--metal", "tin", "anchor"], "", 2),
        (&["why"], "", 2),
        (&["why", "anchor"], "", 2),
        (&["why", "anchor", "--office", "atlantis", "--year", "1803"], "", 2),
        (&["tables", "no-such-thing"], "", 2),
        (&["tables", "show", "atlantis"], "", 2),
        (&["--help"], "", 0),
        (&["read", "--help"], "", 0),
        (&["--version"], "", 0),
    ]);
    let mut m = Misses::default();
    for command in
        ["read", "why", "tables", "check", "expect", "chart", "sponsors", "worth", "say", "enrich"]
    {
        if built(command) {
            let ran = puncheon(&[command, "--no-such-option"], "");
            m.same(&format!("puncheon {command} --no-such-option"), ran.code, 2);
            m.that(command, ran.out.is_empty(), &ran.out, "nothing on standard output");
            m.that(command, !ran.err.is_empty(), &ran.err, "a word on standard error");
        }
    }
}

#[test]
fn s5_check_without_a_claim_is_2() {
    if built("check") {
        codes(&[(&["check", "anchor, lion passant, f"], "", 2)]);
    }
}

#[test]
fn s5_a_bare_puncheon_prints_short_help_and_exits_2() {
    let ran = puncheon(&[], "");
    assert_eq!(ran.code, 2);
    assert!(ran.out.is_empty(), "on standard output: {}", ran.out);
    assert!(ran.err.contains("puncheon read"), "{}", ran.err);
    assert!(ran.err.lines().count() <= 12, "short help: {}", ran.err);
}

#[test]
fn s5_a_closed_pipe_is_quiet() {
    let mut m = Misses::default();
    for args in [&["read", "--json"][..], &["read"], &["read", "--brief"], &["tables", "export"]] {
        let mut child = Command::new(EXE)
            .args(args)
            .env_clear()
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut stdin = child.stdin.take().expect("a pipe");
        let feed = std::thread::spawn(move || {
            for _ in 0..400 {
                if stdin.write_all(b"anchor, lion passant, f\n").is_err() {
                    break;
                }
            }
        });
        let mut out = child.stdout.take().expect("a pipe");
        let mut one = [0];
        out.read_exact(&mut one).expect("a first byte");
        drop(out);
        let done = child.wait_with_output().expect("the program ends");
        feed.join().expect("the feeder ends");
        let err = String::from_utf8_lossy(&done.stderr).into_owned();
        let called = format!("puncheon {}", args.join(" "));
        m.that(&called, err.is_empty(), &err, "nothing on standard error");
        m.that(&called, matches!(done.status.code(), Some(0 | 1)), done.status, "an ordinary end");
    }
}

// ---------------------------------------------------------------------------------------------
// Section 6: several descriptions
// ---------------------------------------------------------------------------------------------

#[test]
fn s6_all_arguments_are_one_description() {
    let mut m = Misses::default();
    for (args, whole) in [
        (vec!["anchor,", "lion", "passant,", "f"], "anchor, lion passant, f"),
        (
            vec!["anchor,", "lion", "passant,", "small", "roman", "f,", "kings", "head"],
            "anchor, lion passant, small roman f, kings head",
        ),
        (vec!["anchor", "lion passant", "f"], "anchor lion passant f"),
    ] {
        let mut all = vec!["read", "--json"];
        all.extend(&args);
        let r = json(&all, "");
        let called = all.join(" ");
        m.same(&called, r.len(), 1);
        m.same(&called, r[0]["asked"].as_str(), Some(whole));
        m.same(&called, r, json(&["read", "--json", whole], ""));
    }
    // The vocabulary knows `kings head`.
    m.same("kings head", marks("kings head"), vec!["duty: king's head".to_string()]);
    m.same("queens head", marks("queens head"), vec!["duty: queen's head".to_string()]);
    m.same("leopards head", marks("leopards head"), vec!["town: leopard's head".to_string()]);
    m.same(
        "lions head erased",
        marks("lions head erased"),
        vec!["standard: lion's head erased".to_string()],
    );
}

#[test]
fn s6_several_come_a_line_each_on_standard_input() {
    let mut m = Misses::default();
    let one = |text: &str| json(&["read", "--json", text], "")[0].clone();
    for input in [
        "anchor, lion passant, f\nEPNS\nf\n",
        "anchor, lion passant, f\r\nEPNS\r\nf\r\n",
        "anchor, lion passant, f\nEPNS\nf",
    ] {
        let got = json(&["read", "--json"], input);
        m.same(input, got, vec![one("anchor, lion passant, f"), one("EPNS"), one("f")]);
    }
    // An empty line is a description too, so that answers stay beside their lines.
    let got = json(&["read", "--json"], "anchor\n\nEPNS\n");
    m.same(
        "anchor, an empty line, EPNS",
        got.iter().map(|r| r["asked"].as_str().unwrap_or("?").to_string()).collect(),
        vec!["anchor".to_string(), String::new(), "EPNS".to_string()],
    );
    m.same("no line at all", json(&["read", "--json"], "").len(), 0);
}

#[test]
fn s6_each_takes_every_argument_apart() {
    let mut m = Misses::default();
    let got = json(&["read", "--json", "--each", "anchor, lion passant, f", "EPNS"], "");
    m.same(
        "--each",
        got.iter().map(|r| r["asked"].as_str().unwrap_or("?").to_string()).collect(),
        vec!["anchor, lion passant, f".to_string(), "EPNS".to_string()],
    );
    let ran =
        puncheon(&["read", "--brief", "--each", "anchor, lion, k", "castle, thistle, small m"], "");
    m.same("--brief --each", ran.out.lines().count(), 2);
    // Arguments are read and standard input is not.
    let got = json(&["read", "--json", "anchor"], "EPNS\n");
    m.same("an argument and a line", got.len(), 1);
}

#[test]
fn s6_a_newline_inside_an_argument_only_separates_marks() {
    let mut m = Misses::default();
    for (text, same) in [
        ("anchor\nlion passant\nf", "anchor; lion passant; f"),
        (
            "anchor, lion passant\nsmall roman f\nking's head",
            "anchor, lion passant; small roman f; king's head",
        ),
    ] {
        let r = json(&["read", "--json", text], "");
        m.same(text, r.len(), 1);
        m.same(text, r[0]["asked"].as_str(), Some(text));
        m.same(text, marks(text), marks(same));
        m.same(text, fits(&read(text)), fits(&read(same)));
        let each = json(&["read", "--json", "--each", text, "EPNS"], "");
        m.same(&format!("--each {text}"), each.len(), 2);
    }
    // Nothing is joined across it.
    m.same(
        "crown\n18",
        marks("crown\n18"),
        vec!["town: crown".to_string(), "fineness: 18".to_string()],
    );
}

#[test]
fn s6_no_argument_at_a_terminal_is_short_help_and_2() {
    let done = Command::new("script")
        .args(["-qec", &format!("'{EXE}' read"), "/dev/null"])
        .env_clear()
        .env("PATH", std::env::var_os("PATH").unwrap_or_default())
        .env("TERM", "xterm")
        .stdin(Stdio::null())
        .output();
    let Ok(done) = done else {
        return; // no `script` here to make a terminal
    };
    let out = String::from_utf8_lossy(&done.stdout);
    assert_eq!(done.status.code(), Some(2), "{out}");
    assert!(out.contains("puncheon read"), "short help: {out}");
}

// ---------------------------------------------------------------------------------------------
// Section 7: letters on the screen
// ---------------------------------------------------------------------------------------------

const BLACK_LETTER: &str = "anchor, lion passant, capital gothic K, king's head";

#[test]
fn s7_no_styled_letter_in_json_or_away_from_a_terminal() {
    let mut m = Misses::default();
    for text in [
        BLACK_LETTER,
        "anchor, lion passant, italic K",
        "leopard's head crowned, lion passant, script K",
        "leopard's head crowned, lion passant, court hand a",
    ] {
        for args in [
            vec!["read", "--json", text],
            vec!["read", text],
            vec!["read", "--brief", text],
            vec!["read", "--all", text],
            vec!["read", "--ascii", text],
        ] {
            let ran = puncheon(&args, "");
            m.same(&args.join(" "), styled(&ran.out), None);
        }
    }
    // A styled letter that was typed comes back where the person's own words do, and nowhere else.
    let text = "anchor, lion passant, 𝔎";
    let mut r = json(&["read", "--json", text], "").remove(0);
    m.same(text, r["asked"].as_str(), Some(text));
    r["asked"] = Value::Null;
    for list in ["sightings", "remarks"] {
        for s in r[list].as_array_mut().into_iter().flatten() {
            s["text"] = Value::Null;
        }
    }
    m.same(text, styled(&r.to_string()), None);
    m.same("tables export", styled(&puncheon(&["tables", "export"], "").out), None);
}

#[test]
fn s7_styled_letters_stand_on_a_utf8_terminal_beside_the_plain_letter_and_its_name() {
    let mut m = Misses::default();
    for (text, letter, plain, lettering) in [
        (BLACK_LETTER, "𝔎", "K", "black-letter"),
        ("anchor, lion passant, italic K", "𝐾", "K", "italic"),
        ("leopard's head crowned, lion passant, small gothic c", "𝔠", "c", "black-letter"),
    ] {
        let quoted = format!("read \"{text}\"");
        let Some((out, _)) = on_a_terminal(&quoted, "C.UTF-8") else {
            return; // no `script` here to make a terminal
        };
        m.that(text, out.contains(letter), &out, &format!("{letter} on a UTF-8 terminal"));
        m.that(
            text,
            out.contains(&format!("{letter} {plain}")) && out.contains(lettering),
            &out,
            "the plain letter and the lettering's name beside it",
        );
        for line in out.lines().filter(|l| styled(l).is_some()) {
            m.that(
                text,
                ["black-letter", "italic", "script"].iter().any(|name| line.contains(name)),
                line,
                "a lettering's name on the line",
            );
        }
        for (args, lang) in [
            (format!("read --ascii \"{text}\""), "C.UTF-8"),
            (format!("read \"{text}\""), "C"),
            (format!("read \"{text}\""), "en_GB.ISO-8859-1"),
            (format!("read --json \"{text}\""), "C.UTF-8"),
        ] {
            let (out, _) = on_a_terminal(&args, lang).expect("script ran before");
            m.same(&format!("{args} ({lang})"), styled(&out), None);
        }
    }
    // The holes of the alphabets.
    for (letter, plain) in [
        ("ℭ", "C"),
        ("ℌ", "H"),
        ("ℑ", "I"),
        ("ℜ", "R"),
        ("ℨ", "Z"),
        ("ℬ", "B"),
        ("ℰ", "E"),
        ("ℱ", "F"),
        ("ℋ", "H"),
        ("ℐ", "I"),
        ("ℒ", "L"),
        ("ℳ", "M"),
        ("ℛ", "R"),
    ] {
        let lettering = if "ℭℌℑℜℨ".contains(letter) { "gothic" } else { "script" };
        let text = format!("lion passant, capital {lettering} {plain}");
        let Some((out, _)) = on_a_terminal(&format!("read --all \"{text}\""), "C.UTF-8") else {
            return;
        };
        m.that(
            &text,
            out.contains(&format!("{letter} {plain}")),
            out.lines().take(12).collect::<Vec<_>>(),
            letter,
        );
    }
    // Court hand, Lombardic and uncial stay plain.
    for (text, name) in [
        ("leopard's head crowned, lion passant, court hand a", "court hand"),
        ("leopard's head crowned, lombardic A", "Lombardic"),
        ("Hibernia, harp crowned, uncial A", "uncial"),
    ] {
        let Some((out, _)) = on_a_terminal(&format!("read --all \"{text}\""), "C.UTF-8") else {
            return;
        };
        m.that(text, out.contains(name), &out, name);
        for line in out.lines().filter(|l| l.contains(name)) {
            m.same(text, styled(line), None);
        }
    }
}

// ---- 11. The library's face ---------------------------------------------------------------------

/// An office is known by any of its names in any capitals; what is none is an error that names the
/// nearest, and never bounds nothing in silence.
#[test]
fn an_office_is_known_or_refused() {
    let tables = Tables::builtin();
    let image = tables.image();
    for o in 0..image.meta(puncheon::schema::image::Meta::Offices) {
        let (id, name) = (image.office(o).id(), image.office(o).name());
        for typed in [
            id.to_string(),
            name.to_string(),
            id.to_uppercase(),
            format!("  {name}\n"),
            id.char_indices()
                .map(|(i, c)| match i % 2 {
                    0 => c.to_ascii_uppercase(),
                    _ => c,
                })
                .collect(),
        ] {
            assert_eq!(*tables.office(&typed).expect(&typed), *id, "{typed:?}");
            assert_eq!(*tables.place(&typed).expect(&typed), *id, "{typed:?}");
        }
        // One letter left out, doubled or turned is a slip: the nearest is named, not taken.
        for at in 1..id.len() - 1 {
            let (a, b) = id.split_at(at);
            let mut turned: Vec<char> = id.chars().collect();
            turned.swap(at, at + 1);
            for slip in [
                format!("{a}{}", &b[1..]),
                format!("{a}{}{b}", &b[..1]),
                turned.into_iter().collect(),
            ] {
                if slip == id {
                    continue;
                }
                let said = tables.office(&slip).map(|p| p.to_string());
                let said = said.expect_err(&slip).to_string();
                let nearest = format!("no office is called \"{slip}\"; the nearest is {id}\n");
                assert!(said.starts_with(&nearest), "{said}");
            }
        }
    }
    assert_eq!(*tables.office("Goldsmiths' Hall").expect("a name"), *"london");
    assert_eq!(*tables.place("CORK").expect("a town"), *"cork");
    for wrong in [
        "",
        " ",
        "bristol",
        "nonsense",
        "birmingham 1803",
        "not london",
        "london?",
        "no london",
        "london or chester",
        "london, chester",
        "anchor",
        "leopard's head",
        "mark of london",
        "sterling",
        "1803",
        "\u{1b}[2J",
        "cork",
    ] {
        let said = tables.office(wrong).map(|p| p.to_string());
        let said = said.expect_err(wrong).to_string();
        assert!(said.starts_with(&format!("no office is called \"{wrong}\"")), "{said}");
        assert!(said.contains("the offices are birmingham, chester"), "{said}");
    }
    for (args, said) in [
        (vec!["read", "--office", "Brimingham", "f"], "the nearest is birmingham"),
        (vec!["why", "f", "--year", "1803", "--office", "shefield"], "the nearest is sheffield"),
        (vec!["sponsors", "WS", "--office", "lundon"], "the nearest is london"),
        (vec!["ask", "f", "--office", "birmingham 1803"], "no office is called"),
        (vec!["say", "f", "--item", "spoon", "--office", "exetr"], "the nearest is exeter"),
        (vec!["tables", "show", "nowrich"], "the nearest is norwich"),
    ] {
        let r = run(EXE, &args, "");
        assert_eq!(r.code, 2, "{args:?}: {}", r.screen());
        assert!(r.err.contains(said), "{args:?}: {}", r.err);
    }
}

/// Sightings are read with the text and the tables that they are of. Changed by hand so that they point
/// elsewhere they are an error, and never a panic.
#[test]
fn sightings_of_something_else_are_refused() {
    let tables = Tables::builtin();
    let options = Options::default();
    let text = "ancre \u{e9}t\u{e9}, anchor, lion passant, small roman f in a shield, king's head";
    let good = || puncheon::sightings(tables, text);
    let refused = |what: &str, seen: &puncheon::Sightings, tables: &Tables| {
        let read = puncheon::read_sightings(tables, seen, &options).map(|_| ());
        let gist = puncheon::gist_sightings(tables, seen, None, &options).map(|_| ());
        let told = puncheon::understood_sightings(tables, seen).map(|_| ());
        let fits = puncheon::fit_set(tables, seen, &options).map(|_| ());
        for said in [read, gist, told, fits] {
            let said = said.expect_err(what).to_string();
            assert!(said.contains("cannot be read: "), "{what}: {said}");
            assert!(said.contains("make them with `sightings`"), "{what}: {said}");
        }
        puncheon::sponsors::words(tables, seen);
        seen.signature();
    };
    let reading = puncheon::read_sightings(tables, &good(), &options).expect("as made");
    assert_eq!(reading.asked, text);
    let whole = serde_json::to_string(&reading).expect("JSON");
    let anew = serde_json::to_string(&read(text)).expect("JSON");
    assert_eq!(whole, anew);
    // What is of no tables, and of others.
    refused("none", &Default::default(), tables);
    let other = Tables::with_overlay(tempfile::tempdir().expect("a folder").path()).expect("good");
    refused("other tables", &good(), &other);
    // Bytes past the end, within a letter, or turned round.
    let at = text.find('\u{e9}').expect("there") + 1;
    for (start, end) in [
        (0, text.len() + 1),
        (usize::MAX, usize::MAX),
        (usize::MAX - 1, 3),
        (9, 3),
        (at, at + 5),
        (0, at),
    ] {
        for i in 0..good().sightings.len() {
            let mut seen = good();
            (seen.sightings[i].start, seen.sightings[i].end) = (start, end);
            refused("bytes", &seen, tables);
        }
        let mut seen = good();
        (seen.remarks[0].start, seen.remarks[0].end) = (start, end);
        refused("a remark", &seen, tables);
        let mut seen = good();
        seen.engraved.push(puncheon::Engraving { at: start..end, latest: None });
        refused("engraving", &seen, tables);
        let mut seen = puncheon::sightings(tables, "Birmingham 1803, anchor");
        (seen.claimed[0].start, seen.claimed[0].end) = (usize::MAX - end % 2, end % 2);
        refused("a claim", &seen, tables);
    }
    // Numbers past those of the tables.
    let many = u32::MAX;
    let letter = |lettering, outline, value| {
        let mut l = puncheon::LetterSeen::default();
        (l.lettering, l.outline) = (lettering, outline);
        l.values = vec![puncheon::Typed { value, upper: None, shown: "x".into() }];
        What::Letter(l)
    };
    for what in [
        What::Device(vec![0, many]),
        What::Standard(many),
        What::Town(many),
        What::Lookalike(many),
        letter(Some(many), None, None),
        letter(None, Some(many), None),
        letter(None, None, Some(many)),
        What::Absent(Box::new(What::Device(vec![many]))),
    ] {
        let mut seen = good();
        seen.sightings[0].what = what;
        refused("a number", &seen, tables);
    }
    let mut seen = good();
    seen.sightings[0].part = 7;
    refused("a part", &seen, tables);
}
