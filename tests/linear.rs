//! Reading is linear in the length of the text: twice the text takes at most some two times the steps,
//! whatever the text. Steps are counted by the readers, in builds with debug assertions, so that no
//! clock decides.
#![cfg(debug_assertions)]

use std::io::{self, Read};
use std::mem::discriminant;

use puncheon::schema::image::{Image, Meta, Sense};
use puncheon::{Claim, Options, Tables, sponsors, steps, worth};
use puncheon_catalogue::{Column, Enricher, Format, Watch};

/// Twice the text may take so many times the steps; a search over all that stands before takes four.
const MOST: f64 = 2.6;
/// Steps that a reader may take at one go, however short the text.
const AT_ONCE: f64 = 1_000.0;
/// Bytes that a slow pipe hands over at a time.
const PIPE: usize = 20_000;
/// Of all pairs of phrases one in so many is tried.
const STRIDE: usize = 9;

fn image() -> &'static Image {
    Tables::builtin().image()
}

/// A phrase for each sort of meaning that the vocabulary knows, and what the readers know themselves.
fn phrases() -> Vec<String> {
    let mut sorts = Vec::new();
    let mut out = Vec::new();
    for id in 0..image().meanings() {
        let sense = image().meaning(id);
        let sort = match sense {
            Sense::Device(d) => format!("{:?}", image().device(d as usize).kind()),
            _ => format!("{:?}", discriminant(&sense)),
        };
        if !sorts.contains(&sort) {
            sorts.push(sort);
            out.push(image().meaning_said(id).to_string());
        }
    }
    let own = [
        "k",
        "K",
        "a",
        "W.S",
        "AB",
        "E P N S",
        "a-f",
        "1803",
        "1803/04",
        "1890s",
        "18th",
        "9",
        "9.5",
        "1,785",
        "178g",
        "12 oz 5",
        "£18",
        "zzzzzzzz",
        "Smith",
        "ancor",
        "(a)",
        "1)",
        "?",
        "𝔨",
        "12:5",
        "Paul Storr",
        "first",
        "june",
        "c.",
    ];
    out.extend(own.map(String::from));
    out
}

/// What stands between.
const JOINTS: [&str; 22] = [
    " ", ", ", "+", " & ", "/", " / ", "-", " - ", ".", ". ", "\n", "\"", " (", ") ", "[", ": ",
    "; ", "?", " or ", " and ", " by ", "",
];

/// Words repeated to so many bytes.
fn repeated(words: &str, bytes: usize) -> String {
    words.repeat(bytes.div_ceil(words.len()))
}

/// Steps that a reader takes over a text.
fn steps_of(read: &dyn Fn(&str), text: &str) -> usize {
    let before = steps::taken();
    read(text);
    steps::taken() - before
}

/// A reader, and the texts that it takes too many steps over.
struct Law<'r> {
    reader: &'static str,
    read: &'r dyn Fn(&str),
    broken: Vec<String>,
}

impl<'r> Law<'r> {
    fn of(reader: &'static str, read: &'r dyn Fn(&str)) -> Law<'r> {
        Law { reader, read, broken: Vec::new() }
    }

    /// Tries a text and one of the same sort that is twice as long.
    fn holds(&mut self, name: &str, of_length: &dyn Fn(usize) -> String, bytes: usize) {
        let (short, long) = (of_length(bytes), of_length(2 * bytes));
        let few = steps_of(self.read, &short);
        let many = steps_of(self.read, &long);
        let longer = long.len() as f64 / short.len() as f64;
        let bound = few as f64 * longer * MOST / 2.0 + AT_ONCE;
        if many as f64 > bound {
            self.broken.push(format!(
                "{} of {name}: {} bytes in {few} steps, {} in {many}",
                self.reader,
                short.len(),
                long.len(),
            ));
        }
    }

    /// Words said again and again.
    fn again(&mut self, words: &str, bytes: usize) {
        self.holds(&format!("{words:?}"), &|n| repeated(words, n), bytes);
    }

    /// Every phrase, with everything that can stand between, or with one in so many of these.
    fn phrases(&mut self, bytes: usize, one_in: usize) {
        for (i, phrase) in phrases().iter().enumerate() {
            for joint in JOINTS.iter().skip(i % one_in).step_by(one_in) {
                self.again(&format!("{phrase}{joint}"), bytes);
            }
        }
    }

    /// Every phrase beside others, by turns and one sort behind the other: what is looked for from each of
    /// the first stands behind all of them.
    fn pairs(&mut self, bytes: usize) {
        let all = phrases();
        let firsts = all.iter().enumerate();
        for (i, a) in firsts {
            for b in all.iter().skip(i % STRIDE).step_by(STRIDE) {
                for joint in [" ", ", "] {
                    self.again(&format!("{a}{joint}{b}{joint}"), bytes);
                    let halves = |n: usize| {
                        repeated(&format!("{a}{joint}"), n / 2) + &repeated(&format!("{b} "), n / 2)
                    };
                    self.holds(&format!("{a:?} before {b:?}"), &halves, bytes);
                }
            }
        }
    }

    fn end(self) {
        assert!(self.broken.is_empty(), "{}", self.broken.join("\n"));
    }
}

fn marks(text: &str) {
    puncheon::sightings(Tables::builtin(), text);
}

fn claim(text: &str) {
    let tables = Tables::builtin();
    if let Ok(claim) = Claim::read(tables, text) {
        let marks = "anchor, lion passant, k, maker's mark PS";
        puncheon::check_claim(tables, &claim, marks, &Options::default());
    }
}

#[test]
fn marks_are_read_in_steps_as_many_as_the_text_is_long() {
    let mut law = Law::of("marks", &marks);
    law.phrases(4_000, 1);
    law.pairs(2_000);
    for words in ["k ", "k+", "AB ", "anchor, ", "lid: k "] {
        law.again(words, 20_000);
        law.again(words, 1_000_000);
    }
    for words in
        ["a", "?", "/", ".", "a.", "W S ", "a & ", "9", "(a) (b) ", "𝔨", "\u{301}", "\n", "c. "]
    {
        law.again(words, 100_000);
    }
    // All that the vocabulary knows, in one clause and in as many as there are phrases.
    for joint in [", ", " "] {
        let all: String = phrases().iter().flat_map(|p| [p.as_str(), joint]).collect();
        law.again(&all, 50_000);
    }
    law.end();
}

#[test]
fn answers_take_steps_as_many_as_the_text_is_long() {
    let tables = Tables::builtin();
    let options = Options::default();
    let claim = Claim::read(tables, "about 1790").expect("a claim");
    let checked = |text: &str| drop(puncheon::check_claim(tables, &claim, text, &options));
    let mut law = Law::of("marks held against a claim", &checked);
    for words in ["k ", "AB/", "anchor or ", "engraved 12:5, ", "9.", "lid: k, anchor; "] {
        law.again(words, 20_000);
    }
    law.end();
    let sponsors = |text: &str| drop(sponsors::Asked::read(tables, text));
    let mut law = Law::of("a maker's letters", &sponsors);
    for words in ["A or ", "AB ", "Paul ", "zzzz", "Bateman & "] {
        law.again(words, 20_000);
    }
    law.end();
    let piece = |text: &str| {
        let asked = worth::Asked {
            piece: "925 120g".into(),
            item: Some(text.into()),
            ..worth::Asked::default()
        };
        let _ = worth::worth(tables, &asked);
    };
    let mut law = Law::of("what a piece is", &piece);
    law.phrases(1_000, 6);
    for words in ["plated ", "plated, ", "with plated ", "glass + "] {
        law.again(words, 20_000);
    }
    law.end();
}

#[test]
fn wishes_and_lines_at_the_bench_take_steps_as_many_as_they_are_long() {
    let wish = |text: &str| drop(puncheon::wish_tree(Tables::builtin(), text));
    let mut law = Law::of("a chart's wish", &wish);
    law.phrases(1_000, 4);
    for words in ["k ", "1803 ", "1790..1800 ", "1200, ", "london ", "zzzz "] {
        law.again(words, 20_000);
    }
    law.end();
    let line = |text: &str| drop(puncheon::reply_tree(Tables::builtin(), text));
    let mut law = Law::of("a line at the bench", &line);
    law.phrases(1_000, 4);
    for words in ["1 ", "yes ", "no idea ", "what ", "change 1 ", "k "] {
        law.again(words, 20_000);
    }
    law.end();
}

/// Why two marks never stood together is told without a look at every row of the tables.
#[test]
fn a_contradiction_looks_at_few_rows() {
    let marks = "anchor, leopard's head, lion passant, small roman c";
    let pieces = ["cup", "lid", "spoon", "fork"].map(|part| format!("{part}: {marks}; "));
    let rows = image().meta(Meta::Rows);
    for text in [marks, &pieces.concat()] {
        let read = |text: &str| {
            let r = puncheon::read(Tables::builtin(), text, &Options::default());
            assert!(r.conflict_why.is_some(), "{text}");
        };
        let steps = steps_of(&read, text);
        assert!(steps < rows, "{text}: {steps} steps, and {rows} rows");
    }
}

/// Hands over so many bytes at a time, as a pipe does.
struct Pipe<'b>(&'b [u8]);

impl Read for Pipe<'_> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let n = out.len().min(PIPE);
        self.0.read(&mut out[..n])
    }
}

/// Enriches a catalogue for one column.
fn catalogue(text: &str, format: Format) {
    let mut enricher = Enricher::new(Tables::builtin(), "marks");
    enricher.columns = vec![Column::Outcome];
    (enricher.format, enricher.threads) = (format, 1);
    let watch = Watch { progress: &mut |_| true, rejects: None };
    // A head that has no such column is as long as another.
    let _ = enricher.run(Pipe(text.as_bytes()), io::sink(), watch);
}

#[test]
fn catalogues_are_cut_in_steps_as_many_as_their_rows_are_long() {
    let delimited = |text: &str| catalogue(text, Format::Delimited);
    let lines = |text: &str| catalogue(text, Format::JsonLines);
    const BYTES: usize = 500_000;
    let mut law = Law::of("a catalogue", &delimited);
    for head in ["", "marks,", "marks\n"] {
        for words in ["a", "a,", "\"a\",", "\"a\n\",", "\"\"", "\"a\"\"", "a;b,c", "a\n"] {
            let text = |n: usize| format!("{head}{}", repeated(words, n));
            law.holds(&format!("{head:?} and {words:?}"), &text, BYTES);
        }
    }
    law.end();
    let mut law = Law::of("lines of JSON", &lines);
    for words in ["a", "\"", "{\"a\":1}\n"] {
        law.again(words, BYTES);
    }
    law.end();
}

#[test]
fn claims_are_read_in_steps_as_many_as_the_text_is_long() {
    let mut law = Law::of("a claim", &claim);
    law.phrases(1_000, 1);
    for words in ["AB ", "zzzz ", "by Zzzz ", "1803 AB ", "1803? ", "with zz ", "st. ", "spooon "] {
        law.again(words, 20_000);
        let behind = |n: usize| format!("1803 {}", repeated(words, n));
        law.holds(&format!("1803 before {words:?}"), &behind, 20_000);
    }
    law.end();
}
