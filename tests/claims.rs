//! Claims held against marks, and the marks that are expected: contract sections 4 and 5.
//!
//! How a claim's words are taken, the order in which a verdict is decided, the warning signs, pieces
//! that handbooks, museums and the trade's press describe as wrong, and the laws that every row of
//! the tables keeps. Scenarios without a source are invented.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use insta::assert_snapshot;
use proptest::prelude::*;
use puncheon::check::Because;
use puncheon::expect::{ExpectedMark, ExpectedSet};
use puncheon::schema::entry::{Basis, Case, Origin};
use puncheon::schema::image::{Image, Meta};
use puncheon::tree::{Fate, Node};
use puncheon::{Asked, Claim, Options, Ruling, Tables, Verdict, Years};
use puncheon_tests::{Ran, covers, proptest_config, run};

fn tables() -> &'static Tables {
    Tables::builtin()
}

fn image() -> &'static Image {
    tables().image()
}

fn claim(words: &str) -> Claim {
    Claim::read(tables(), words).unwrap_or_else(|e| panic!("{words}: {e}"))
}

fn check(words: &str, marks: &str) -> Verdict {
    puncheon::check_claim(tables(), &claim(words), marks, &Options::default())
}

fn rules(v: &Verdict) -> Vec<&str> {
    v.warnings.iter().map(|w| w.rule.as_str()).collect()
}

fn program(args: &[&str]) -> Ran {
    run(env!("CARGO_BIN_EXE_puncheon-under-test"), args, "")
}

// ---- The words of a claim -----------------------------------------------------------------------

fn years(words: &str) -> Vec<(Option<i32>, Option<i32>, bool)> {
    let of = |y: &Years| (y.from, y.to, y.one_letter);
    claim(words).years.iter().map(of).collect()
}

fn span(words: &str) -> (Option<i32>, Option<i32>) {
    let spans = years(words);
    assert_eq!(spans.len(), 1, "{words}: {spans:?}");
    (spans[0].0, spans[0].1)
}

/// Contract 4: each convention, with the years it means.
#[test]
fn every_convention_means_its_years() {
    for (words, from, to) in [
        ("1908", Some(1908), Some(1908)),
        ("1803-1810", Some(1803), Some(1810)),
        ("1803 to 1810", Some(1803), Some(1810)),
        ("between 1780 and 1790", Some(1780), Some(1790)),
        // Ten years either side.
        ("c. 1790", Some(1780), Some(1800)),
        ("c1790", Some(1780), Some(1800)),
        ("ca. 1790", Some(1780), Some(1800)),
        ("circa 1790", Some(1780), Some(1800)),
        ("about 1790", Some(1780), Some(1800)),
        ("1790?", Some(1780), Some(1800)),
        ("1790~", Some(1780), Some(1800)),
        ("1790 circa", Some(1780), Some(1800)),
        ("1790 or thereabouts", Some(1780), Some(1800)),
        ("1790 or so", Some(1780), Some(1800)),
        ("c. 1790-1795", Some(1780), Some(1805)),
        // A decade and a century.
        ("1890s", Some(1890), Some(1899)),
        ("19th century", Some(1800), Some(1900)),
        ("18th c.", Some(1700), Some(1800)),
        // Thirds.
        ("early 19th century", Some(1800), Some(1833)),
        ("mid 19th century", Some(1834), Some(1866)),
        ("mid-19th century", Some(1834), Some(1866)),
        ("late 19th century", Some(1867), Some(1900)),
        // The year named is not meant.
        ("before 1784", None, Some(1783)),
        ("after 1784", Some(1785), None),
        // Periods and reigns, first and last year included.
        ("Georgian", Some(1714), Some(1837)),
        ("Regency", Some(1811), Some(1820)),
        ("Victorian", Some(1837), Some(1901)),
        ("Edwardian", Some(1901), Some(1910)),
        ("George III", Some(1760), Some(1820)),
        ("late Victorian", Some(1880), Some(1901)),
        // Side by side the one narrows the other.
        ("Georgian, about 1790", Some(1780), Some(1800)),
        ("Edwardian, 1908", Some(1908), Some(1908)),
        ("late 18th to early 19th century", Some(1767), Some(1833)),
        ("early to mid 18th century", Some(1700), Some(1766)),
        ("second half of the 19th century", Some(1851), Some(1900)),
        ("last quarter of the 18th century", Some(1776), Some(1800)),
        ("first decade of the 20th century", Some(1900), Some(1910)),
        // As catalogues run them together.
        ("C19th", Some(1800), Some(1900)),
        ("late C18", Some(1767), Some(1800)),
        ("19thC", Some(1800), Some(1900)),
        ("nineteenth century", Some(1800), Some(1900)),
        ("1790's", Some(1790), Some(1799)),
        ("1920s-30s", Some(1920), Some(1939)),
        ("circa1803", Some(1793), Some(1813)),
        ("London1794", Some(1794), Some(1794)),
        ("9 June 1794", Some(1794), Some(1794)),
        ("1794-05-14", Some(1794), Some(1794)),
        ("1935 Jubilee", Some(1935), Some(1935)),
        ("c1790s", Some(1780), Some(1809)),
        ("c.1790's", Some(1780), Some(1809)),
        ("1920s to 30s", Some(1920), Some(1939)),
        ("1920s and thirties", Some(1920), Some(1939)),
        ("1803-ish", Some(1793), Some(1813)),
        ("1803 ish", Some(1793), Some(1813)),
        ("14/05/1794", Some(1794), Some(1794)),
        ("9th of June 1794", Some(1794), Some(1794)),
        ("March 1794", Some(1794), Some(1794)),
        ("nineteenth-century", Some(1800), Some(1900)),
        ("AD 1803", Some(1803), Some(1803)),
        ("1803 AD", Some(1803), Some(1803)),
        ("in the year of our Lord 1794", Some(1794), Some(1794)),
        ("GIII", Some(1760), Some(1820)),
        ("EVII", Some(1901), Some(1910)),
        // What joins two dates, whatever the word.
        ("1790 until 1800", Some(1790), Some(1800)),
        ("1790 till 1800", Some(1790), Some(1800)),
        ("1790 up to 1800", Some(1790), Some(1800)),
        ("1790 through to 1800", Some(1790), Some(1800)),
        ("from 1790 until 1800", Some(1790), Some(1800)),
        ("sometime between 1790 and 1800", Some(1790), Some(1800)),
        ("between about 1790 and 1800", Some(1780), Some(1800)),
        ("between 1800-1810", Some(1800), Some(1810)),
        ("between 1800/10", Some(1800), Some(1810)),
        ("between the years 1800 and 1810", Some(1800), Some(1810)),
        ("between the years of 1800 and 1810", Some(1800), Some(1810)),
        ("between the 1790s and 1810", Some(1790), Some(1810)),
        ("between the early 1800s and 1830", Some(1800), Some(1830)),
        ("between the 18th and 19th century", Some(1700), Some(1900)),
        ("19c", Some(1800), Some(1900)),
        ("late 18C", Some(1767), Some(1800)),
        ("nineteenth c.", Some(1800), Some(1900)),
        // A word that opens or closes a span does so past the words that turn its date.
        ("from about 1790", Some(1780), None),
        ("from the 1790s", Some(1790), None),
        ("from the early 19th century", Some(1800), None),
        ("by about 1803", None, Some(1813)),
        ("by the 1790s", None, Some(1799)),
        ("1803 at the latest", None, Some(1803)),
        ("at the very latest 1803", None, Some(1803)),
        ("1803, at the earliest", Some(1803), None),
        ("1803 upwards", Some(1803), None),
        ("1803-present", Some(1803), None),
        ("1803 to the present day", Some(1803), None),
        ("1803 on", Some(1803), None),
        ("Birmingham 1803 on a tray", Some(1803), Some(1803)),
        // Open spans, with the year named in them.
        ("not later than 1803", None, Some(1803)),
        ("no later than 1803", None, Some(1803)),
        ("until 1803", None, Some(1803)),
        ("by 1803", None, Some(1803)),
        ("1803 or earlier", None, Some(1803)),
        ("not before 1803", Some(1803), None),
        ("since 1803", Some(1803), None),
        ("from 1803", Some(1803), None),
        ("1803 onwards", Some(1803), None),
        ("1803+", Some(1803), None),
        ("from 1780 to 1790", Some(1780), Some(1790)),
        ("1803-ish", Some(1793), Some(1813)),
        ("1803ish", Some(1793), Some(1813)),
        ("during 1803", Some(1803), Some(1803)),
        ("h/m Birmingham 1803", Some(1803), Some(1803)),
        // Signs between two years join them as their words do.
        ("1800 & 1810", Some(1800), Some(1810)),
        ("1800 + 1810", Some(1800), Some(1810)),
        ("1800+1810", Some(1800), Some(1810)),
        ("1803 to 9", Some(1803), Some(1809)),
        ("1798 to 1803", Some(1798), Some(1803)),
        ("1883 to 91", Some(1883), Some(1891)),
        // A figure that is shaped like a year is one, whatever stands behind it.
        ("Birmingham 1803 in fitted case", Some(1803), Some(1803)),
        ("Birmingham 1803 in original box", Some(1803), Some(1803)),
        ("1803 in good condition", Some(1803), Some(1803)),
        ("1803 in old English pattern", Some(1803), Some(1803)),
        ("Birmingham 1803 in", Some(1803), Some(1803)),
        ("Birmingham c. 1803 in a box", Some(1793), Some(1813)),
        ("Birmingham 1803 G Unite", Some(1803), Some(1803)),
        ("Birmingham 1803 G. R. Elkington", Some(1803), Some(1803)),
        ("GIII Birmingham", Some(1760), Some(1820)),
        ("Birmingham, GIV", Some(1820), Some(1830)),
        ("between 1780 & 1790", Some(1780), Some(1790)),
        // About a year, before and after it.
        ("probably 1790", Some(1780), Some(1800)),
        ("?1790", Some(1780), Some(1800)),
        ("1790(?)", Some(1780), Some(1800)),
        ("before c. 1810", None, Some(1819)),
        ("after c. 1790", Some(1781), None),
        ("Vic. sterling", Some(1837), Some(1901)),
        ("Victoria", Some(1837), Some(1901)),
        ("London 1794, later decorated in 1880", Some(1794), Some(1794)),
    ] {
        assert_eq!(span(words), (from, to), "{words}");
    }
    for words in ["1803/04", "1803-4", "1803-04", "1803/4", "1803-1804", "1803–04"] {
        assert_eq!(years(words), [(Some(1803), Some(1803), true)], "{words}");
    }
    assert_eq!(
        years("1803 or 1828"),
        [(Some(1803), Some(1803), false), (Some(1828), Some(1828), false)]
    );
    assert_eq!(years("1883 or 4"), years("1883 or 1884"));
}

/// Each convention is named when it is used, and none when none is.
#[test]
fn conventions_are_shown_when_used() {
    for (words, said) in [
        ("c. 1790", "10 years either side"),
        ("1790?", "10 years either side"),
        ("early 19th century", "its first third"),
        ("mid 19th century", "its middle third"),
        ("late 19th century", "its last third"),
        ("1890s", "1890 to 1899"),
        ("19th century", "1800 to 1900"),
        ("before 1784", "1783 and earlier"),
        ("after 1784", "1785 and later"),
        ("Georgian", "1714 to 1837"),
        ("1803/04", "one letter"),
    ] {
        let v = check(words, "anchor, lion passant, small roman f");
        let shown = v.conventions.join(" ");
        assert!(shown.contains(said), "{words}: {shown}");
        let typed = format!("\"{}\"", words.trim());
        assert!(shown.contains(&typed), "{words}: {shown}");
    }
    assert!(claim("Birmingham 1803").conventions(tables()).is_empty());
}

#[test]
fn a_claim_holds_offices_and_standards() {
    let c = claim("18 ct, Birmingham 1880s");
    assert_eq!(c.offices, ["birmingham"]);
    assert_eq!(c.standards, ["gold-18"]);
    assert_eq!(span("18 ct, Birmingham 1880s"), (Some(1880), Some(1889)));
    assert_eq!(claim("Victorian sterling, London").standards, ["sterling"]);
    assert_eq!(claim("Chester or Birmingham 1908").offices, ["chester", "birmingham"]);
    let gold = claim("solid gold, London 1910").standards;
    assert!(gold.iter().all(|s| s.starts_with("gold-")), "{gold:?}");
    assert!(gold.len() > 5);
    assert_eq!(claim("925, Sheffield 1990").standards, ["sterling"]);
}

/// Words that bear on nothing are echoed, as long as something else was understood.
#[test]
fn other_words_are_echoed_as_not_used() {
    let c = claim("lovely Victorian teapot, London, 178 g");
    let echoed: Vec<&str> = c.not_used.iter().map(|u| u.text.as_str()).collect();
    assert_eq!(echoed, ["lovely", "teapot", "178 g"]);
    let counted = claim("12 spoons London 1794");
    assert_eq!(counted.not_used[0].text, "12 spoons");
    // Weights, prices and numbers of things are no years.
    for words in [
        "Birmingham 1884, weighing 1,803 g",
        "Birmingham 1884, £1803",
        "Birmingham 1884, lot 1803",
        "Birmingham 1884, No. 2",
        "Birmingham 1884, 7 in high",
    ] {
        assert_eq!(span(words), (Some(1884), Some(1884)), "{words}");
    }
    let style = claim("Georgian style, London 1908");
    assert_eq!(style.periods, [""; 0]);
    assert_eq!(style.years.len(), 1);
}

/// Dropping such a word would let the rest of the claim hold.
#[test]
fn numbers_and_places_not_understood_are_refused() {
    for (words, at) in [
        ("Chester 19O8", "19O8"),
        ("Chester l908", "l908"),
        ("Chester 190", "190"),
        ("Chester 19088", "19088"),
        ("Hester 1908", "Hester"),
        ("Cheltre 1908", "Cheltre"),
        ("Sheffeild-on-Sea 1908, Bormingham", "Bormingham"),
        ("Bristol 1750", "Bristol"),
        ("Perth 1820", "Perth"),
        ("not London 1794", "not"),
        ("1804-03", "1804-03"),
        ("Birmingham London 1803", "London"),
        ("London 1794, retailed in Birmingham", "Birmingham"),
        ("12 London 1794", "12"),
        // A figure that may be a year, and a year that is denied or cut short.
        ("Birmingham 1803 g", "1803 g"),
        ("Birmingham 1803g", "1803g"),
        ("Birmingham 1803 oz", "1803 oz"),
        ("Birmingham c. 1803 mm", "1803 mm"),
        ("Birmingham, not 1884", "not"),
        ("Birmingham (not 1884)", "not"),
        ("Birmingham; not 1884", "not"),
        ("Birmingham. Not 1884.", "Not"),
        ("Birmingham, no 1884", "no"),
        ("Birmingham without 1884", "without"),
        ("Birmingham, not 84", "not"),
        ("Birmingham '84", "84"),
        ("Birmingham 84", "84"),
        ("VR Birmingham", "VR"),
        ("Birmingham GR", "GR"),
        ("EPNS, London 1908", "EPNS"),
        ("George III, 1908", "1908"),
    ] {
        match Claim::read(tables(), words) {
            Ok(c) => assert!(
                words.contains("Sheffeild") || words.contains("Cheltre"),
                "{words} was read as {c:?}"
            ),
            Err(e) => {
                assert_eq!(&words[e.at.clone()], at, "{words}: {e}");
                assert!(!e.remedy.is_empty());
            }
        }
    }
    for words in ["", "   ", "lovely", "anchor and lion", "18 ct silver", "Georgian style"] {
        let e = Claim::read(tables(), words).expect_err(words);
        assert!(!e.remedy.is_empty(), "{words}");
    }
}

/// A part of a date narrows it, before it and behind it.
#[test]
fn a_part_of_a_date_is_read_on_either_side() {
    for (words, from, to) in [
        ("19th century, its second half", 1851, 1900),
        ("19th century (2nd half)", 1851, 1900),
        ("19th century [second half]", 1851, 1900),
        ("the 19th century's second half", 1851, 1900),
        ("19th century. Second half.", 1851, 1900),
        ("19TH CENTURY, SECOND HALF", 1851, 1900),
        ("the latter half of the 19th century", 1851, 1900),
        ("2nd half 19thC", 1851, 1900),
        ("19th century, towards the end", 1867, 1900),
        ("towards the end of the 19th century", 1867, 1900),
        ("19th century, the final third", 1867, 1900),
        ("the latter part of the 19th century", 1867, 1900),
        ("C19 (late)", 1867, 1900),
        ("19th century - late", 1867, 1900),
        ("19th century, closing years", 1891, 1900),
        ("closing decade of the 19th century", 1891, 1900),
        ("opening decade of the 20th century", 1900, 1910),
        ("19th century, the nineties", 1890, 1899),
        ("the eighties of the 18th century", 1780, 1789),
        ("1st quarter of the 18th century", 1700, 1725),
        ("the third quarter of the 19th century", 1851, 1875),
        ("second quarter to third quarter of the 19th century", 1826, 1875),
        ("1800-1899 (late)", 1866, 1899),
        ("George III, late", 1800, 1820),
        ("late in the reign of George III", 1800, 1820),
        ("early part of the reign of Victoria", 1837, 1857),
    ] {
        assert_eq!(span(words), (Some(from), Some(to)), "{words}");
    }
    // A spoon may be early, and the year is the year.
    assert_eq!(span("early spoon, 1803"), (Some(1803), Some(1803)));
}

/// The marks are those of 1803: a claim that says more than was read of it must not hold by them.
#[test]
fn a_claim_with_a_word_that_was_not_read_is_refused() {
    for (words, at) in [
        ("well into the 19th century", "well into"),
        ("turn of the century", "turn of"),
        ("turn of the 19th century", "turn of"),
        ("pre-war", "pre"),
        ("interwar", "interwar"),
        ("between the wars", "wars"),
        ("by mid-century", "mid"),
        ("fin de siecle", "fin"),
        ("the nineties", "the nineties"),
        ("Victorian, nineties", "Victorian, nineties"),
        ("eighteen-nineties", "nineties"),
        ("wartime", "wartime"),
        ("19th century, advanced", "advanced"),
        ("19th century and beyond", "beyond"),
        ("dawn of the 19th century", "dawn"),
        ("upper half of the 19th century", "half"),
        ("L. 19th century", "L"),
        ("last century", "last"),
        ("the previous century", "previous"),
        ("the century before 1803", "century"),
        ("early or late 19th century", "early or late 19th century"),
        ("the last years of George III", "the last years of George III"),
        ("not much later than 1803", "not much"),
        ("shortly after 1800", "shortly after"),
        ("soon after 1800", "soon after"),
        ("just before 1810", "just before"),
        ("some years before 1810", "some years"),
        ("a few years before 1810", "a few years"),
        ("nearer 1803 than 1810", "nearer"),
        ("rather than 1803", "rather than"),
        ("far from 1803", "far"),
        ("hardly 1803", "hardly"),
        ("formerly thought 1803", "formerly"),
        ("1803, possibly later", "later"),
        ("1803 or rather later", "later"),
        ("1803, twenty years later", "years"),
        ("1803 ff", "ff"),
        ("spring 1803", "spring"),
        ("early 1803", "early 1803"),
        ("first half of 1803", "first half of 1803"),
        ("1803 (early)", "early"),
        ("1803 style", "style"),
        ("1803 type", "type"),
        ("1803-type spoon", "type"),
        ("1884 look", "look"),
        ("1803 lookalike", "lookalike"),
        ("between 1790", "between"),
        ("1790 to", "to"),
        ("1803 latest of all the latest", "the latest"),
        ("VR", "VR"),
        ("V.R.", "V.R"),
        ("1890 VRI", "VRI"),
        ("GR, 1803", "GR"),
        ("March", "March"),
        ("in the style of 1803", "in the style of"),
        ("1803 copy", "copy"),
        ("1803 reproduction", "reproduction"),
        ("19th century, 2/2", "2/2"),
        ("MDCCCIII", "MDCCCIII"),
        ("1803 pattern", "pattern"),
        ("1803, revival", "revival"),
        ("isn't 1803", "isn't"),
        ("1803, Continental", "Continental"),
        ("1803, gold plated", "gold plated"),
        ("1803 American silver", "American silver"),
        ("1803, 835", "835"),
    ] {
        let words = format!("Birmingham, {words}");
        match Claim::read(tables(), &words) {
            Ok(c) => panic!("{words} was read as {c:?}"),
            Err(e) => {
                assert_eq!(&e.claim[e.at.clone()], at, "{words}: {e}");
                assert!(!e.remedy.is_empty(), "{words}");
            }
        }
    }
    // So before the office, which may only be looked like.
    for (words, at) in [
        ("style of Birmingham 1803", "style of"),
        ("in the manner of Birmingham 1803", "in the manner of"),
        ("a box in the style of Birmingham", "in the style of"),
        ("after a Birmingham 1803 original", "after a"),
        ("looks like Birmingham 1803", "looks like"),
        ("modelled on Birmingham 1803", "modelled on"),
        ("Birmingham style, 1803", "style"),
        ("Birmingham pattern", "pattern"),
    ] {
        let e = Claim::read(tables(), words).expect_err(words);
        assert_eq!(&e.claim[e.at.clone()], at, "{words}: {e}");
    }
    let ran = program(&[
        "check",
        "--claim",
        "Birmingham 19th century, its advanced part",
        "anchor, lion passant, small roman f",
    ]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("\"advanced\" was not understood"), "{}", ran.err);
    assert!(ran.err.contains("leave it out"), "{}", ran.err);
}

/// What a description claims beside its marks keeps the words that join and turn its dates.
#[test]
fn a_stated_date_keeps_the_words_round_it() {
    for (stated, from, to) in [
        ("stated 1803 to 1810", Some(1803), Some(1810)),
        ("between 1803 and 1810", Some(1803), Some(1810)),
        ("dated 1803 or later", Some(1803), None),
        ("catalogued as 1803 onwards", Some(1803), None),
        ("catalogued as 19th century, late", Some(1867), Some(1900)),
        ("stated 1803 at the latest", None, Some(1803)),
        ("stated from 1790 until 1800", Some(1790), Some(1800)),
        ("by 1803", None, Some(1803)),
        ("1790?", Some(1780), Some(1800)),
        ("late Victorian to Edwardian", Some(1880), Some(1910)),
        ("Birmingham 1803 or earlier", None, Some(1803)),
        // Behind another word "to" and "from" may be that one's.
        ("dates to 1884", Some(1884), Some(1884)),
        ("dating from 1790", Some(1790), Some(1790)),
        ("in my family from 1790", Some(1790), Some(1790)),
        // What stands apart narrows, as in any claim.
        ("Georgian, about 1790", Some(1780), Some(1800)),
    ] {
        for description in
            [format!("anchor, lion passant, {stated}"), format!("{stated}; anchor, lion passant")]
        {
            let seen = puncheon::sightings(tables(), &description);
            let claim = Claim::stated(tables(), &description, &seen).expect(&description);
            let claim = claim.expect(&description);
            assert_eq!(claim.years.len(), 1, "{description}: {:?}", claim.years);
            let years = claim.years[0];
            assert_eq!((years.from, years.to), (from, to), "{description}: {}", claim.text);
        }
    }
    // What it was used for later is no end of a span.
    let used = "anchor, lion passant, 1790, in use until 1950";
    let seen = puncheon::sightings(tables(), used);
    let claim = Claim::stated(tables(), used, &seen).expect(used).expect(used);
    assert_eq!((claim.years[0].from, claim.years[0].to), (Some(1790), Some(1790)));
    let either = "anchor, lion passant, stated 1803 or 1805";
    let seen = puncheon::sightings(tables(), either);
    let claim = Claim::stated(tables(), either, &seen).expect(either).expect(either);
    assert_eq!(claim.years.len(), 2);
}

/// A sovereign's letters are somebody's where a maker is named; capitals before an office are a maker's.
#[test]
fn letters_of_makers_are_set_aside() {
    for (words, letters) in [
        ("by VR, Birmingham 1890", "VR"),
        ("Birmingham 1890, by V.R.", "V.R"),
        ("E.B. Birmingham 1912", "E.B"),
        ("EB & Co Birmingham 1912", "EB & Co"),
        ("Birmingham 1803, AB", "AB"),
    ] {
        let c = claim(words);
        assert_eq!(c.offices, ["birmingham"], "{words}");
        assert!(c.not_used.iter().any(|u| u.text == letters), "{words}: {:?}", c.not_used);
    }
    // Behind a town capitals may say which town of that name, and before it they may be a word.
    for words in
        ["Chester PA 1890", "AB Birmingham 1803", "NON Birmingham 1808", "Q.V. Birmingham 1884"]
    {
        assert!(Claim::read(tables(), words).is_err(), "{words}");
    }
}

/// Words of a claim: what claims, what turns a date, what joins, what is set aside, and what is none.
fn claim_word() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "1803",
        "1790s",
        "c1790",
        "C19th",
        "19th",
        "century",
        "1803/04",
        "the 30s",
        "14/05/1794",
        "June",
        "9",
        "Georgian",
        "George III",
        "IV",
        "Birmingham",
        "London",
        "sterling",
        "18 ct",
        "gold",
        "early",
        "late",
        "second half of",
        "about",
        "ish",
        "before",
        "not after",
        "from",
        "by",
        "to",
        "between",
        "until",
        "or",
        "and",
        "later",
        "earlier",
        "onwards",
        "on",
        "at the latest",
        "at the earliest",
        "AD",
        "period",
        "the",
        "a",
        "with",
        "handle",
        "later handle",
        "engraved crest",
        "178 g",
        "lot 5",
        "AB",
        "VR",
        "GR",
        "Hester Bateman",
        "style",
        "type",
        "look",
        "not",
        "no",
        "copy",
        "?",
        "~",
        "-",
        "/",
        ",",
        ";",
        ".",
        "(",
        ")",
        "wobbly",
        "Zanzibar",
        "q1x",
        "84",
        "925",
        "m\u{fc}nchen",
        "\u{201c}x\u{201d}",
        "+",
    ])
}

proptest! {
    #![proptest_config(proptest_config(10_000))]

    /// Every byte of a claim lies in one node. A claim that is read has no node that is refused, and one
    /// that is refused for its words has such a node where it says that they stand.
    #[test]
    fn a_claim_is_covered_by_its_nodes(
        words in prop::collection::vec((claim_word(), prop::sample::select(vec![" ", " ", " ", "", ", "])), 0..12),
    ) {
        let text: String = words.iter().flat_map(|(word, gap)| [*word, *gap]).collect();
        let tree = puncheon::claim_tree(tables(), &text);
        covers(&text, &tree);
        match Claim::read(tables(), &text) {
            Ok(c) => prop_assert_eq!(tree.refused(), None, "{:?}: {:?}", text, c),
            // It names nothing, and no word of it is at fault.
            Err(e) if e.at.is_empty() || e.at == (0..text.len()) => {}
            Err(e) => {
                let here = |n: &Node| n.start < e.at.end && e.at.start < n.end;
                let refused = |n: &&Node| matches!(n.fate, Fate::Refused(_)) && here(n);
                prop_assert!(tree.nodes().iter().any(|n| refused(&n)), "{text:?}: {e}\n{tree:?}");
            }
        }
    }
}

/// What is said of the piece, its maker and its owners turns no date.
#[test]
fn a_true_claim_in_a_dealers_words_holds() {
    for words in [
        "Birmingham 1803 caddy spoon by Samuel Pemberton",
        "a George III silver vinaigrette, Birmingham 1803",
        "A scarce George III silver nutmeg grater, Birmingham, 1803, by Samuel Pemberton, of teardrop \
         form with engraved decoration",
        "George III snuff box, Birmingham 1803, maker Samuel Pemberton, engraved with initials",
        "A fine George III vinaigrette by Cocks & Bettridge, Birmingham 1803, the lid engraved with a \
         later monogram, 3cm long",
        "Birmingham 1803/04 vinaigrette by Joseph Willmore, pierced grille",
        "Birmingham 1803. Lovely condition, no dents.",
        "Birmingham 1803, in excellent original condition",
        "Birmingham 1803, bearing a later crest",
        "Birmingham 1803, later engraved",
        "Birmingham 1803, date letter f",
        "Birmingham 1803, retailed by Whibley & Sons",
        "Birmingham 1803 for George Smith",
        "Birmingham 1803 by Quentin Xylander",
        "Birmingham 1803, the cover with a quibbled finial",
        "Birmingham 1803, weighing approx 12g, up to 4cm long",
        "three George III teaspoons, Birmingham 1803",
        "Birmingham, opening years of the 19th century",
        "early 19th century Birmingham caddy spoon",
        "Birmingham 19th century, early",
        "Birmingham 1803 vinagrette",
        "an Adam style Birmingham 1803 tray",
        "Birmingham 1803, in the manner of Adam",
        "Birmingham 1803, thread pattern",
        "Birmingham 1803, lion passant",
    ] {
        let v = check(words, "anchor, lion passant, small roman f, king's head");
        assert_eq!(v.verdict, Ruling::Holds, "{words}: {:?}", v.claim);
    }
}

#[test]
fn without_a_claim_the_description_states_one() {
    let marks = "leopard's head crowned, lion passant, date letter for 1766-67";
    let seen = puncheon::sightings(tables(), marks);
    let c = Claim::stated(tables(), marks, &seen).expect("it can be read").expect("a claim");
    assert_eq!(c.years, claim("1766-67").years);
    let marks = "anchor, lion, k, catalogued as Chester 1908?";
    let seen = puncheon::sightings(tables(), marks);
    let c = Claim::stated(tables(), marks, &seen).expect("it can be read").expect("a claim");
    assert_eq!(
        (c.offices, c.years),
        (vec![Tables::builtin().office("chester").expect("an office")], claim("1908?").years)
    );
    let seen = puncheon::sightings(tables(), "anchor, lion, k");
    assert_eq!(Claim::stated(tables(), "anchor, lion, k", &seen), Ok(None));
}

/// What the claim itself says of the marks counts as it does in the description, in a row as well.
#[test]
fn a_sign_in_a_claim_unsettles_it() {
    let marks = "anchor, lion passant, small black letter k, queen's head";
    for (words, rule) in [
        ("marriage", "made-up-piece"),
        ("a married piece", "made-up-piece"),
        ("composite", "made-up-piece"),
        ("converted", "made-up-piece"),
        ("made up", "made-up-piece"),
        ("marks let in", "marks-let-in"),
        ("transposed marks", "marks-let-in"),
        ("duty dodger", "marks-let-in"),
        ("soldered in marks", "marks-let-in"),
        ("cast marks", "marks-cast"),
    ] {
        let words = format!("Birmingham 1884, {words}");
        let v = check(&words, marks);
        assert_eq!(
            (v.verdict, v.because, rules(&v)),
            (Ruling::Undecided, Because::MarksInDoubt, vec![rule]),
            "{words}"
        );
        let row = puncheon::gist(tables(), marks, Some(&claim(&words)), &Options::default());
        assert_eq!(row.verdict, Some(Ruling::Undecided), "{words}");
        assert_eq!(row.warnings, [rule], "{words}");
    }
    for words in ["later converted", "coin let in"] {
        let v = check(&format!("Birmingham 1884, {words}"), marks);
        assert_eq!(v.verdict, Ruling::Holds, "{words}");
    }
}

/// What was brought in bears an import mark, and there was a time before those.
#[test]
fn a_claim_of_imported_ware_asks_for_its_mark() {
    let home = "anchor, lion passant, small black letter k, queen's head";
    let set = "anchor, lion passant, small roman f, king's head";
    for (words, marks, verdict) in [
        ("Birmingham 1884, imported", home, Ruling::Fails),
        ("Birmingham 1884, import marks", home, Ruling::Fails),
        ("imported, Birmingham 1924", "triangle, 925, z", Ruling::Possible),
        ("imported, Birmingham", "triangle, 925, z", Ruling::Holds),
    ] {
        assert_eq!(check(words, marks).verdict, verdict, "{words}");
    }
    let v = check("Birmingham 1803, imported", set);
    assert_eq!(v.because, Because::NeverStruck);
    let told = &v.clashes[0].would_be;
    assert!(told.contains("foreign ware was marked there"), "{told}");
}

/// A standard said by one word is claimed as one said by two.
#[test]
fn words_for_standards_are_claims_of_them() {
    assert_eq!(claim("Birmingham 1884 Britannia").standards, ["britannia"]);
    assert_eq!(claim("1884, fine silver").standards, ["silver-999"]);
    let lion = claim("Birmingham 1884, lion passant").standards;
    assert!(lion.len() > 1 && lion.contains(&"sterling".to_string()), "{lion:?}");
    assert_eq!(claim("18 ct, 1884, lion passant").standards, ["gold-18"]);
    let e = Claim::read(tables(), "Birmingham 1884 rolled gold").expect_err("plate");
    assert!(e.impossible, "{e}");
}

fn any_claim() -> impl Strategy<Value = Vec<String>> {
    let office = (0..11usize).prop_map(|o| image().office(o).name().to_string());
    let date = prop_oneof![
        (1500..2020i32).prop_map(|y| y.to_string()),
        (1500..2020i32).prop_map(|y| format!("about {y}")),
        (150..202i32).prop_map(|d| format!("{}s", d * 10)),
        (1500..2020i32).prop_map(|y| format!("before {y}")),
        (1500..2020i32).prop_map(|y| format!("{y}/{:02}", (y + 1) % 100)),
        Just("Victorian".to_string()),
        Just("early 19th century".to_string()),
    ];
    let standard =
        prop_oneof![Just("sterling"), Just("18 ct"), Just("Britannia silver"), Just("gold")];
    (office, date, standard, any::<u8>()).prop_map(|(office, date, standard, kept)| {
        let mut parts = vec![date];
        if kept & 1 == 1 {
            parts.push(office);
        }
        if kept & 2 == 2 {
            parts.push(standard.to_string());
        }
        parts
    })
}

proptest! {
    #![proptest_config(proptest_config(256))]

    /// No text panics, and an error points inside it.
    #[test]
    fn any_text_is_read_or_refused(words in "\\PC{0,60}") {
        if let Err(e) = Claim::read(tables(), &words) {
            prop_assert!(words.get(e.at.clone()).is_some());
            prop_assert!(!e.to_string().is_empty());
        }
    }

    /// So with the words of claims in any order.
    #[test]
    fn any_words_of_claims_are_read_or_refused(
        words in prop::collection::vec(prop_oneof![
            Just("Chester"), Just("about"), Just("before"), Just("early"), Just("19th"), Just("century"),
            Just("1890s"), Just("1908"), Just("1803/04"), Just("or"), Just("to"), Just("and"), Just("?"),
            Just("George III"), Just("style"), Just("18 ct"), Just("sterling"), Just("silver"), Just(","),
            Just("-"), Just("imported"), Just("engraved"), Just("between"), Just("after"), Just("c."),
        ], 0..10)
    ) {
        let words = words.join(" ");
        if let Ok(c) = Claim::read(tables(), &words) {
            for y in &c.years {
                if let (Some(a), Some(b)) = (y.from, y.to) {
                    prop_assert!(a <= b, "{}: {:?}", words, c.years);
                }
            }
        }
    }

    /// Office, date and standard mean the same in any order.
    #[test]
    fn the_order_of_a_claims_parts_never_matters(parts in any_claim(), turn in 0usize..6) {
        let mut turned = parts.clone();
        turned.rotate_left(turn % parts.len());
        if turn > 2 {
            turned.reverse();
        }
        let (a, b) = (claim(&parts.join(", ")), claim(&turned.join(", ")));
        prop_assert_eq!((a.offices, a.years, a.standards), (b.offices, b.years, b.standards));
    }
}

// ---- The verdict --------------------------------------------------------------------------------

/// Contract 4: the rules in their order, the first that applies.
#[test]
fn verdicts_are_decided_in_the_contracts_order() {
    use Because::*;
    use Ruling::*;
    let set = "anchor, lion passant, small roman f, king's head";
    for (words, marks, verdict, because) in [
        // 1. Before the office opened, after it closed, before the standard was.
        ("Birmingham 1750", set, Fails, NeverStruck),
        ("Chester 1970", "three wheatsheaves and a sword, lion", Fails, NeverStruck),
        ("15 ct, Birmingham 1840", "anchor, 15, .625, R", Fails, NeverStruck),
        ("Norwich 1750", "EPNS", Fails, NeverStruck),
        // 2. A mark that denies a hallmark.
        ("Sheffield 1908", "crown, lion passant, q, EPNS", Fails, Denied),
        // 3. Nothing that bears on it.
        ("Chester 1908", "", Undecided, NothingBears),
        ("Chester 1908", "maker's mark W.S", Undecided, NothingBears),
        ("Chester 1908", "STERLING", Undecided, NothingBears),
        ("Chester 1908", "no duty mark", Undecided, NothingBears),
        ("18 ct, 1908", "18CT", Undecided, NothingBears),
        ("1903", "letter F", Undecided, NothingBears),
        // 4. No fit.
        (
            "Birmingham 1803",
            "anchor, lion passant, small black letter f, king's head",
            Undecided,
            OnlyMisread,
        ),
        ("Chester 1908", "anchor, harp crowned, thistle, small roman z", Fails, NothingFits),
        ("London 1890", "835", Fails, NothingFits),
        // 5. Fits.
        ("Birmingham 1803", set, Holds, AllInside),
        ("Birmingham", "anchor, lion passant, k", Holds, AllInside),
        ("Georgian", set, Holds, AllInside),
        ("Birmingham 1808", "anchor, lion passant, k", Possible, SomeInside),
        ("Birmingham 1805", set, Fails, NoneInside),
        ("Chester 1803", set, Fails, NoneInside),
        ("18 ct, Birmingham 1803 or 1850", set, Fails, NoneInside),
    ] {
        let v = check(words, marks);
        assert_eq!((v.verdict, v.because), (verdict, because), "{words}: {marks}");
    }
}

/// A letter that only runs into the year claimed is half inside; a run is if a part of it is.
/// A year whose letter the tables do not know takes any letter, so that the one described bears nothing
/// out. Sheffield's of 1793 is disputed, York's of 1857 and Norwich's of the 1690s are not known.
#[test]
fn a_letter_that_is_not_known_bears_nothing_out() {
    for (words, marks) in [
        ("Sheffield 1793", "crown, lion passant, king's head, script small q"),
        ("York 1857", "five lions on cross, lion passant, queen's head, gothic z"),
        ("Norwich", "lion's head erased, leopard's head, letter D, Norwich town mark"),
    ] {
        let v = check(words, marks);
        assert_eq!((v.verdict, v.because), (Ruling::Undecided, Because::LetterNotKnown), "{words}");
        let silent = |b: &puncheon::reading::Bearing| b.why.contains("is not known");
        assert!(v.strains.iter().any(silent), "{words}: {:?}", v.strains);
        let brief = program(&["read", "--brief", marks]).out;
        assert!(brief.contains("not known"), "{brief}");
    }
    // Without a letter nothing is said of it, and a letter that is known decides.
    let v = check("Sheffield 1773-1798", "crown, lion passant, black letter capital E");
    assert_ne!(v.because, Because::LetterNotKnown);
    let brief = program(&["read", "--brief", "five lions on cross, lion passant"]).out;
    assert!(!brief.contains("not known"), "{brief}");
}

#[test]
fn half_is_possible_and_never_holds() {
    let w = "anchor, lion passant, capital roman W, no duty mark";
    let v = check("Birmingham 1947", w);
    assert_eq!(v.verdict, Ruling::Possible);
    assert!(v.inside.is_empty() && v.half.len() == 1, "{:?} {:?}", v.inside, v.half);
    assert_eq!(check("Birmingham 1946", w).inside.len(), 1);
    assert_eq!(check("Birmingham 1948", w).verdict, Ruling::Fails);
    // Where one letter is named, the letter of the year before is another.
    assert_eq!(check("Birmingham 1947/48", w).verdict, Ruling::Fails);
    assert_eq!(check("Birmingham 1946/47", w).inside.len(), 1);
    // No letter read: the years are one run.
    let v = check("Birmingham 1908", "anchor, lion passant");
    assert_eq!(v.verdict, Ruling::Possible);
    assert!(v.inside.is_empty() && !v.half.is_empty());
}

/// A verdict names what agrees, what clashes and when that was struck, what is wanting, what would
/// settle it, and what the marks do support.
#[test]
fn a_verdict_gives_its_reasons() {
    let v = check("Chester 1908", "three wheatsheaves and a sword, roman capital H");
    assert_eq!(v.verdict, Ruling::Fails);
    assert_eq!(v.supports.len(), 1);
    assert_eq!(v.clashes.len(), 1);
    assert!(v.clashes[0].why.contains("1891/92"), "{:?}", v.clashes);
    assert_eq!(v.clashes[0].would_be, "script");
    let wanting: Vec<&str> = v.not_described.iter().map(|n| n.mark.as_str()).collect();
    assert_eq!(wanting, ["standard mark", "sponsor's mark"]);
    assert!(!v.reading.fits.is_empty());
    let v = check("Birmingham 1808", "anchor, lion passant, k");
    let settle = v.settle.expect("something settles it");
    assert_eq!(settle.feature, "duty mark");
    assert_eq!(settle.others, 0);
}

// ---- Warning signs ------------------------------------------------------------------------------

/// Each sign with a scenario that raises it and one, close by, that must not.
const SIGNS: &[(&str, &str, &str, &str, &str)] = &[
    (
        "maker-apart",
        "London 1816 by Hester Bateman",
        "PS, leopard's head crowned, lion passant, a, king's head",
        "London 1816 by Paul Storr",
        "PS, leopard's head crowned, lion passant, a, king's head",
    ),
    (
        "duty-wanting",
        "Birmingham 1803",
        "anchor, lion passant, f, no duty mark",
        "Birmingham 1903",
        "anchor, lion passant, d, no duty mark",
    ),
    (
        "duty-out-of-time",
        "Birmingham 1903",
        "anchor, lion passant, d, incuse king's head",
        "Birmingham 1785",
        "anchor, lion passant, N, incuse king's head",
    ),
    (
        "duty-on-low-gold",
        "Birmingham 1870",
        "anchor, 9, .375, V, queen's head",
        "Birmingham 1870",
        "anchor, 9, .375, V",
    ),
    (
        "leopard-crowned-late",
        "London 1850",
        "leopard's head crowned, lion passant, P",
        "London 1821",
        "leopard's head crowned, lion passant, f",
    ),
    (
        "leopard-uncrowned-early",
        "London 1750",
        "leopard's head uncrowned, lion passant, p",
        "London 1821",
        "leopard's head uncrowned, lion passant, f",
    ),
    (
        "lion-guardant-out-of-time",
        "London 1850",
        "leopard's head, lion passant guardant, P",
        "London 1750",
        "leopard's head, lion passant guardant, p",
    ),
    (
        "offices-apart",
        "Chester 1908",
        "anchor, lion passant, capital script H",
        "Chester 1908",
        "three wheatsheaves and a sword, lion passant, capital script H",
    ),
    (
        "letters-apart",
        "London 1777",
        "cup: leopard's head crowned, lion passant, small roman b; lid: leopard's head crowned, lion passant, small roman k",
        "London 1777",
        "cup: leopard's head crowned, lion passant, small roman b; lid: leopard's head crowned, lion passant, small roman c",
    ),
    (
        "letter-wanting",
        "London 1850",
        "leopard's head, lion passant, queen's head, no date letter",
        "London 2005",
        "leopard's head, 925, no date letter",
    ),
    (
        "britannia-out-of-time",
        "London 1690",
        "figure of Britannia, lion's head erased, N",
        "London 1720",
        "figure of Britannia, lion's head erased, E",
    ),
    (
        "sterling-lion-out-of-time",
        "London 1705",
        "leopard's head crowned, lion passant, K",
        "London 1725",
        "leopard's head crowned, lion passant, K",
    ),
    (
        "standard-without-town",
        "London 1789",
        "lion passant, king's head, O, no town mark",
        "London 1789",
        "leopard's head crowned, lion passant, king's head, O",
    ),
    (
        "town-without-standard",
        "Birmingham 1803",
        "anchor, king's head, f, no standard mark",
        "Birmingham 1803",
        "anchor, lion passant, king's head, f",
    ),
    (
        "dublin-without-harp",
        "Dublin 1812",
        "Hibernia, king's head, Q, no standard mark",
        "Dublin 1812",
        "Hibernia, harp crowned, king's head, Q",
    ),
    (
        "import-beside-lion",
        "London 1910",
        "sign of Leo, lion passant, .925, p",
        "London 1890",
        "leopard's head, lion passant, F in an oval, P",
    ),
    (
        "low-carats-out-of-time",
        "Birmingham 1950",
        "anchor, 15, .625, A",
        "Birmingham 1900",
        "anchor, 15, .625, a",
    ),
    (
        "nine-carat-out-of-time",
        "Birmingham 1840",
        "anchor, 9, .375, R",
        "Birmingham 1870",
        "anchor, 9, .375, V",
    ),
    (
        "fourteen-carat-out-of-time",
        "Birmingham 1910",
        "anchor, 14, .585, l",
        "Birmingham 1950",
        "anchor, 14, .585, A",
    ),
    (
        "crown-and-22-out-of-time",
        "London 1800",
        "crown and 22, leopard's head, E",
        "London 1850",
        "crown and 22, leopard's head, P",
    ),
    (
        "eighteen-carat-out-of-time",
        "London 1780",
        "crown and 18, leopard's head, e",
        "London 1850",
        "crown and 18, leopard's head, P",
    ),
    (
        "modern-figure-early",
        "London 1890",
        "leopard's head, 925, P",
        "London 2010",
        "leopard's head, 925, l",
    ),
    (
        "convention-mark-early",
        "London 1950",
        "leopard's head, lion passant, balance, P",
        "London 1980",
        "leopard's head, balance, 925, F",
    ),
    (
        "commemorative-out-of-time",
        "Birmingham 1950",
        "anchor, lion passant, jubilee mark 1935, A",
        "Birmingham 1934",
        "anchor, lion passant, jubilee mark 1935, K",
    ),
    (
        "struck-without-an-office",
        "1697-1701",
        "F SIL, leopard's head erased, N",
        "Norwich 1698",
        "F SIL, leopard's head erased, N",
    ),
    (
        "crown-and-figure-in-one-punch",
        "Chester 1815",
        "crown and 18 in a single punch, three wheatsheaves and a sword",
        "Chester 1815",
        "crown and 18, three wheatsheaves and a sword",
    ),
    (
        "marks-cancelled",
        "London 1713",
        "Britannia, lion's head erased, s, LAO 9597",
        "London 1713",
        "Britannia, lion's head erased, s",
    ),
    (
        "mark-hidden",
        "Birmingham 1812",
        "anchor, lion passant, o, duty mark filled with solder",
        "Birmingham 1812",
        "anchor, lion passant, o, king's head",
    ),
    (
        "sponsor-overstruck",
        "London 1785",
        "leopard's head crowned, lion passant, k, maker's mark HB overstruck by another",
        "London 1785",
        "leopard's head crowned, lion passant, k, maker's mark HB",
    ),
    (
        "marks-overstruck",
        "London 1785",
        "leopard's head crowned, lion passant, k, struck over older hallmarks",
        "London 1785",
        "leopard's head crowned, lion passant, k",
    ),
    (
        "marks-let-in",
        "London 1730",
        "on an inserted disc: leopard's head crowned, lion passant, P",
        "London 1730",
        "leopard's head crowned, lion passant, P, coin let into the lid",
    ),
    (
        "marks-cast",
        "London 1703",
        "Britannia, lion's head erased, court hand h, all cast with the stem",
        "London 1703",
        "Britannia, lion's head erased, court hand h, cast handle",
    ),
    (
        "marks-misplaced",
        "London 1756",
        "leopard's head crowned, lion passant, black letter A, in the wrong place",
        "London 1756",
        "leopard's head crowned, lion passant, black letter A, on base",
    ),
    (
        "marks-on-two-faces",
        "London 1731",
        "lion passant, Q, maker's mark IG on the other face",
        "London 1731",
        "lion passant, Q, maker's mark IG",
    ),
    (
        "made-up-piece",
        "London 1771",
        "leopard's head crowned, lion passant, Q, converted from a tankard",
        "London 1771",
        "leopard's head crowned, lion passant, Q",
    ),
    (
        "later-part",
        "London 1771",
        "leopard's head crowned, lion passant, Q, later spout",
        "London 1771",
        "leopard's head crowned, lion passant, Q, spout",
    ),
    (
        "erased-crest",
        "London 1771",
        "leopard's head crowned, lion passant, Q, erased crest",
        "London 1771",
        "leopard's head crowned, lion passant, Q, engraved crest",
    ),
    (
        "marks-pinched",
        "London 1771",
        "leopard's head crowned, lion passant, Q, marks pinched",
        "London 1771",
        "leopard's head crowned, lion passant, Q",
    ),
    (
        "bottom-marked-late",
        "London 1810",
        "bottom marked: leopard's head crowned, lion passant, P",
        "London 1770",
        "bottom marked: leopard's head crowned, lion passant, P",
    ),
    (
        "top-marked-early",
        "London 1750",
        "top marked: leopard's head crowned, lion passant, p",
        "London 1810",
        "top marked: leopard's head crowned, lion passant, P",
    ),
    (
        "lighter-than-scratch-weight",
        "London 1750",
        "leopard's head crowned, lion passant, p, scratch weight 24=10, weighs 620 g",
        "London 1750",
        "leopard's head crowned, lion passant, p, scratch weight 24=10, weighs 740 g",
    ),
    (
        "design-later",
        "Birmingham 1890",
        "anchor, lion passant, q, Rd No 291300",
        "Birmingham 1898",
        "anchor, lion passant, y, Rd No 291300",
    ),
    (
        "design-number-early",
        "Birmingham 1870",
        "anchor, lion passant, V, Rd No 1234",
        "Birmingham 1890",
        "anchor, lion passant, q, Rd No 1234",
    ),
    (
        "design-diamond-early",
        "Birmingham 1830",
        "anchor, lion passant, G, registration diamond",
        "Birmingham 1870",
        "anchor, lion passant, V, registration diamond",
    ),
    (
        "engraved-earlier",
        "Birmingham 1870",
        "anchor, lion passant, V, engraved 1820",
        "Birmingham 1870",
        "anchor, lion passant, V, engraved 1880",
    ),
    (
        "shank-alone-marked",
        "18 ct, Birmingham 1890",
        "anchor, crown and 18, q, marked on the shank",
        "18 ct, Birmingham 1890",
        "anchor, crown and 18, q",
    ),
    (
        "case-not-movement",
        "18 ct, Chester 1890",
        "three wheatsheaves and a sword, crown and 18, G, pocket watch case",
        "18 ct, Chester 1890",
        "three wheatsheaves and a sword, crown and 18, G",
    ),
    (
        "plate-or-alloy",
        "Sheffield 1908",
        "crown, EPNS, q",
        "Sheffield 1908",
        "crown, lion passant, q",
    ),
    (
        "foreign-mark",
        "London 1900",
        "Minerva's head, e",
        "London 1900",
        "leopard's head, lion passant, e",
    ),
    (
        "called-foreign",
        "Birmingham 1956",
        "Gorham: lion, anchor, black letter capital G",
        "Birmingham 1956",
        "lion, anchor, black letter capital G",
    ),
    (
        "provincial-mark",
        "Edinburgh 1820",
        "Perth, double-headed eagle",
        "Edinburgh 1820",
        "castle with three towers, thistle, o",
    ),
    (
        "imitated-marks",
        "London 1810",
        "pseudo marks: lion passant, leopard's head crowned, P",
        "London 1810",
        "lion passant, leopard's head crowned, P, nothing else",
    ),
    (
        "words-alone",
        "London 1900",
        "STERLING",
        "London 1900",
        "leopard's head, lion passant, e, STERLING",
    ),
    (
        "maker-alone",
        "London 1730",
        "maker's mark struck four times; no hallmarks",
        "London 1730",
        "maker's mark AB, leopard's head crowned, lion passant, P",
    ),
    (
        "letter-or-figure-alone",
        "1903",
        "letter F",
        "London 1903",
        "leopard's head, lion passant, h",
    ),
];

#[test]
fn every_sign_is_raised_where_it_should_be_and_not_beside_it() {
    let mut wrong = Vec::new();
    for (rule, words, marks, other, beside) in SIGNS {
        let v = check(words, marks);
        if !rules(&v).contains(rule) {
            wrong.push(format!("{rule} not raised by {words}: {marks}: {:?}", rules(&v)));
        }
        let unsettled =
            v.warnings.iter().any(|w| w.rule == *rule && unsettling().contains(&w.rule));
        if unsettled && matches!(v.verdict, Ruling::Holds | Ruling::Possible) {
            wrong.push(format!("{rule} leaves {:?}: {words}: {marks}", v.verdict));
        }
        let v = check(other, beside);
        if rules(&v).contains(rule) {
            wrong.push(format!("{rule} raised by {other}: {beside}"));
        }
    }
    let tried: BTreeSet<&str> = SIGNS.iter().map(|s| s.0).collect();
    for i in 0..image().meta(Meta::Warnings) {
        let id = image().warning(i).id();
        if !tried.contains(id) {
            wrong.push(format!("{id} is not tried"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn unsettling() -> Vec<String> {
    (0..image().meta(Meta::Warnings))
        .map(|i| image().warning(i))
        .filter(|w| w.unsettles())
        .map(|w| w.id().to_string())
        .collect()
}

/// A warning is never an accusation: it has a reason, harmless explanations and who can judge.
#[test]
fn warnings_are_whole_sentences_with_a_way_out() {
    for i in 0..image().meta(Meta::Warnings) {
        let w = image().warning(i);
        for text in [w.reason(), w.innocent()] {
            assert!(text.ends_with('.'), "{}: {text}", w.id());
        }
        let said = format!("{} {}", w.reason(), w.innocent()).to_lowercase();
        for word in ["fraud", "fake", "criminal", "crook", "guilty", "stolen"] {
            assert!(!said.contains(word), "{} accuses: {word}", w.id());
        }
    }
}

// ---- Published wrong pieces ---------------------------------------------------------------------

/// Where it is described; the claim; the marks in this project's words; the sign that says why, or
/// empty where the marks alone refute it.
const WRONG: &[(&str, &str, &str, &str)] = &[
    (
        "Colonial Williamsburg, 1978-212, two-handled cup (duty dodger)",
        "London 1732-33",
        "on a silver disc soldered where body meets foot: maker's mark PA, crown above; leopard's head crowned; lion passant; date letter R",
        "marks-let-in",
    ),
    (
        "Antiques Trade Gazette 2406, 2019, cover of a cup",
        "London 1734",
        "cover: maker's mark struck four times, no hallmarks",
        "maker-alone",
    ),
    (
        "Antiques Trade Gazette 2406, 2019, hot-milk pot",
        "London, about 1755",
        "maker's mark four times; no hallmarks",
        "maker-alone",
    ),
    (
        "Antiques Trade Gazette 2406, 2019, butter shells",
        "London, about 1735",
        "maker's mark; three false marks, not read",
        "imitated-marks",
    ),
    (
        "Wax Antiques (dealer), stock 8123, teapot",
        "London 1729-1738",
        "maker's mark twice; three marks in a line; no date letter",
        "maker-alone",
    ),
    (
        "Goldsmiths' Review 2009 p. 40, bosun's call",
        "London 1798",
        "transplanted marks of a dessert knife: lion passant, C",
        "marks-let-in",
    ),
    (
        "Goldsmiths' Company, Smoking guns and instruments of deception, 2024, mug",
        "London 1759",
        "leopard's head crowned, lion passant, black letter D, from forged punches",
        "imitated-marks",
    ),
    (
        "Antiques Trade Gazette, 6 October 2008, gold trefid spoon and fork",
        "London 1689",
        "counterfeit marks: leopard's head crowned, lion passant, m",
        "imitated-marks",
    ),
    (
        "D. McKinley, Association of Small Collectors of Antique Silver, article 155, cream jug",
        "London, late 18th century",
        "lion passant and date letter along one side of the plinth, which is made from a teaspoon stem; marks in the wrong place",
        "marks-misplaced",
    ),
    (
        "W. Chaffers, Hall Marks, 1922, p. 152, apostle spoon",
        "London 1650",
        "old hallmarks on the stem, leopard's head crowned, lion passant; made up from a skewer, the bowl and apostle added",
        "made-up-piece",
    ),
    (
        "W. Chaffers, Hall Marks, 1922, p. 157, spoons",
        "London 1712",
        "Britannia, lion's head erased, cast with the stem; date letter court hand r struck with a false punch",
        "marks-cast",
    ),
    (
        "W. Chaffers, Hall Marks, 1922, p. 155, wall sconces",
        "London 1690",
        "leopard's head crowned, lion passant, n; made from a badge, branches added; converted",
        "made-up-piece",
    ),
    (
        "an Edinburgh auction catalogue, two-handled cup (committee case 9597)",
        "London 1713",
        "Britannia, lion's head erased, date letter s, LAO 9597",
        "marks-cancelled",
    ),
    (
        "J. Warwick James, Association of Small Collectors of Antique Silver, article 204, cheese scoop",
        "Birmingham 1812",
        "anchor, lion passant, o, duty mark filled with solder and polished over",
        "mark-hidden",
    ),
    (
        "Antiques Trade Gazette, 6 October 2008 (Lyon and Twinam, 1898)",
        "London 1760-1809",
        "forged marks: leopard's head crowned, lion passant, P",
        "imitated-marks",
    ),
    (
        "Leopard Antiques (dealer), S1606, Canton table spoon",
        "London, about 1830",
        "lion passant; crowned leopard's head; letter C; king's head; pseudo marks",
        "imitated-marks",
    ),
    (
        "Leopard Antiques (dealer), S1606, without the describer's word",
        "London, about 1830",
        "lion passant; crowned leopard's head; letter C; king's head",
        "",
    ),
    (
        "Michael Backman (dealer), 6015, Calcutta mug",
        "London 1850",
        "maker's mark H&C; elephant; letter A",
        "",
    ),
    (
        "D. Boettcher, on imitation marks in watch cases, Swiss case",
        "London 1905",
        "0.875; leopard's head; lion; k; imitation marks",
        "imitated-marks",
    ),
    (
        "Glasgow Herald, 18 December 1895",
        "Birmingham 1895",
        "transposed marks: anchor, lion passant, v",
        "marks-let-in",
    ),
    (
        "Association of Small Collectors of Antique Silver, note on plate marks",
        "Sheffield 1887",
        "crown, EP, M",
        "plate-or-alloy",
    ),
];

#[test]
fn published_wrong_pieces_never_hold() {
    let mut wrong = Vec::new();
    for (source, words, marks, sign) in WRONG {
        let v = check(words, marks);
        let shown = format!("{:?} by {:?}, {:?}", v.verdict, v.because, rules(&v));
        if !matches!(v.verdict, Ruling::Fails | Ruling::Undecided) {
            wrong.push(format!("{source}: {words}: {shown}"));
        }
        if !sign.is_empty() && !rules(&v).contains(sign) {
            wrong.push(format!("{source}: no {sign}: {shown}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Pieces that look wrong and are not.
#[test]
fn published_right_pieces_are_not_refuted() {
    for (source, words, marks) in [
        (
            "A. Dove, the uncrowned leopard's head, p. 12: travelling spoon",
            "London 1821",
            "leopard's head uncrowned, lion passant, small roman f, king's head; handle: leopard's head crowned",
        ),
        (
            "Chiswick Auctions, 30 October 2020, lot 424, teapot marked anew",
            "Dublin 1811",
            "Hibernia, harp crowned, king's head, P",
        ),
        (
            "Act of 1876 and its successors: foreign ware of 1890",
            "London 1890",
            "leopard's head, lion passant, F in an oval, P",
        ),
        (
            "Colonial Williamsburg, 1998-92, caddy spoon without the leopard's head",
            "London 1789-90",
            "lion passant; king's head; date letter O; maker's mark HB in script",
        ),
    ] {
        let v = check(words, marks);
        assert!(
            matches!(v.verdict, Ruling::Holds | Ruling::Possible),
            "{source}: {:?} by {:?} {:?}",
            v.verdict,
            v.because,
            rules(&v)
        );
    }
}

/// Every lookalike, described by its own marks alone, and claimed for any office.
#[test]
fn no_lookalike_alone_makes_a_claim_hold() {
    let mut wrong = Vec::new();
    for i in 0..image().meta(Meta::Lookalikes) {
        let l = image().lookalike(i);
        for set in l.needs() {
            let marks: Vec<&str> = set.map(|d| image().device(d as usize).name()).collect();
            let marks = marks.join("; ");
            for words in
                ["London 1850", "Sheffield 1890", "Edinburgh 1820", "Dublin 1800", "sterling, 1950"]
            {
                let v = check(words, &marks);
                if v.verdict == Ruling::Holds {
                    wrong.push(format!("{}: {words}: {marks}", l.id()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

// ---- Every row ----------------------------------------------------------------------------------

/// What distinguishes a question about the tables: office, letter year, standard, foreign ware.
type Class = (usize, i32, usize, bool);

fn classes() -> Vec<Class> {
    let mut out: Vec<Class> = (0..image().meta(Meta::Rows))
        .map(|r| image().row(r))
        .map(|v| {
            let foreign = v.origin() == puncheon::schema::entry::Origin::Foreign;
            (v.letter().office(), v.letter().year(), v.standard(), foreign)
        })
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

fn asked((office, year, standard, foreign): Class) -> Asked {
    let mut claim = Claim::default();
    let place = Tables::builtin().office(image().office(office).id());
    claim.offices = vec![place.expect("an office")];
    claim.standards = vec![image().standard(standard).id().to_string()];
    claim.years = claim_years(year);
    claim.imported = foreign;
    claim.into()
}

fn claim_years(year: i32) -> Vec<Years> {
    claim(&year.to_string()).years
}

/// A set in words: each mark that is due, the `k`th of each choice, and the letter in full.
fn described(set: &ExpectedSet, k: usize) -> String {
    let mut clauses: Vec<String> = Vec::new();
    for m in set.marks.iter().filter(|m| m.due) {
        if m.place == "date letter" || m.place == "sponsor's mark" {
            continue;
        }
        let choices: Vec<&str> = m.looks.split(" or ").collect();
        clauses.push(choices[k % choices.len()].to_string());
    }
    if let Some(l) = set.letters.first()
        && let Some(struck) = &l.struck
    {
        let case = match l.case {
            Case::Upper => "capital ",
            Case::Lower => "small ",
            Case::Either => "",
        };
        let lettering = l.lettering.as_deref().unwrap_or("").replace('-', " ");
        clauses.push(format!("date letter {case}{lettering} {struck}"));
    }
    clauses.join("; ")
}

/// Runs over all classes on every core and gathers what went wrong.
fn over_all(classes: &[Class], wrong: impl Fn(Class, &mut Vec<String>) + Sync) -> Vec<String> {
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        let workers: Vec<_> = (0..thread::available_parallelism().map_or(2, usize::from))
            .map(|_| {
                scope.spawn(|| {
                    let mut out = Vec::new();
                    while let Some(c) = classes.get(next.fetch_add(1, Ordering::Relaxed)) {
                        wrong(*c, &mut out);
                    }
                    out
                })
            })
            .collect();
        workers.into_iter().flat_map(|w| w.join().expect("no panic")).collect()
    })
}

/// A row claimed against its own expected marks holds, or is possible beside other years struck
/// alike; never fails, never undecided. Contract 4.
#[test]
fn every_row_is_upheld_by_its_own_marks() {
    let wrong = over_all(&classes(), |class, wrong| {
        let asked = asked(class);
        let expected = puncheon::expected_marks(tables(), &asked);
        if expected.sets.is_empty() {
            wrong.push(format!("{:?}: nothing is expected: {:?}", asked.claim, expected.nothing));
        }
        for set in &expected.sets {
            let choices = if set.marks.iter().any(|m| m.looks.contains(" or ")) { 2 } else { 1 };
            for k in 0..choices {
                let marks = described(set, k);
                let v = puncheon::check_claim(tables(), &asked.claim, &marks, &Options::default());
                let upheld = match v.verdict {
                    Ruling::Holds => v.inside.len() == v.reading.fits.len(),
                    // Each year struck alike is named beside it.
                    Ruling::Possible => v.inside.len() < v.reading.fits.len(),
                    _ => false,
                };
                if !upheld {
                    let claim = (&asked.claim.offices, set.from, &asked.claim.standards);
                    wrong.push(format!("{claim:?}: {marks}: {:?} by {:?}", v.verdict, v.because));
                }
            }
        }
    });
    assert!(
        wrong.is_empty(),
        "{} sets, as\n{}",
        wrong.len(),
        wrong.iter().take(12).cloned().collect::<Vec<_>>().join("\n")
    );
}

/// A rule of the tables asks for the sponsor's mark of every set, and the set says what the rule rests
/// on: a source, or memory alone.
#[test]
fn every_set_has_a_sponsor_s_mark_by_a_rule() {
    let cited = |office: &str, year: i32| match office {
        "dublin" => None,
        "birmingham" | "edinburgh" | "london" | "sheffield" if year >= 1975 => {
            Some("act-1973 s. 2")
        }
        "edinburgh" | "glasgow" => None,
        _ => Some("newton-mint"),
    };
    let all = classes();
    let seen = AtomicUsize::new(0);
    let wrong = over_all(&all, |class, wrong| {
        for set in puncheon::expected_marks(tables(), &asked(class)).sets {
            seen.fetch_add(1, Ordering::Relaxed);
            let mut sources: Vec<&str> = vec![];
            sources.extend(cited(&set.office, set.from));
            let basis = if sources.is_empty() { Basis::Memory } else { Basis::Published };
            let right = |m: &ExpectedMark| m.due && m.basis == basis && m.sources == sources;
            let marks: Vec<_> = set.marks.iter().filter(|m| m.place == "sponsor's mark").collect();
            if marks.len() != 1 || !marks.iter().all(|m| right(m)) {
                wrong.push(format!("{} {}: {marks:?}", set.office, set.shown));
            }
        }
    });
    assert!(seen.into_inner() >= all.len(), "a class without a set");
    assert!(wrong.is_empty(), "{} sets, as {:#?}", wrong.len(), &wrong[..wrong.len().min(9)]);
}

/// Claimed for another office or another year, a full set never holds.
#[test]
fn no_row_is_upheld_by_anothers_marks() {
    let all = classes();
    let wrong = over_all(&all, |class, wrong| {
        let expected = puncheon::expected_marks(tables(), &asked(class));
        let Some(set) = expected.sets.first() else {
            return;
        };
        let marks = described(set, 0);
        // A letter carried on or a row of unknown letter is a run; its years are all its own.
        let own = set.from..=set.to;
        // Neighbours and a cycle away, in turn.
        let shift = [-20, -1, 1, 20][(class.1.unsigned_abs() as usize + class.2) % 4];
        if !own.contains(&(class.1 + shift)) {
            let mut claim = asked(class).claim;
            claim.years = claim_years(class.1 + shift);
            let v = puncheon::check_claim(tables(), &claim, &marks, &Options::default());
            if v.verdict == Ruling::Holds {
                wrong.push(format!("{:?} {}: {marks}", claim.offices, class.1 + shift));
            }
        }
        let office =
            (class.0 + 1 + class.1.unsigned_abs() as usize % 10) % image().meta(Meta::Offices);
        if office != class.0 {
            let mut claim = asked(class).claim;
            let place = Tables::builtin().office(image().office(office).id());
            claim.offices = vec![place.expect("an office")];
            let v = puncheon::check_claim(tables(), &claim, &marks, &Options::default());
            if v.verdict == Ruling::Holds {
                wrong.push(format!("{:?} {}: {marks}", claim.offices, class.1));
            }
        }
    });
    assert!(
        wrong.is_empty(),
        "{} claims, as\n{}",
        wrong.len(),
        wrong.iter().take(12).cloned().collect::<Vec<_>>().join("\n")
    );
}

// ---- Expected marks -----------------------------------------------------------------------------

fn expect(words: &str) -> puncheon::Expected {
    let asked = Asked::read(tables(), words).unwrap_or_else(|e| panic!("{words}: {e}"));
    puncheon::expected_marks(tables(), &asked)
}

fn looks(set: &ExpectedSet) -> Vec<(&str, &str)> {
    set.marks.iter().map(|m| (m.place.as_str(), m.looks.as_str())).collect()
}

/// Checked against D. McKinley and A. Stagg on the duty mark (from 1 December 1784, incuse until May
/// 1786) and the plate duty Act of 1784.
#[test]
fn a_year_in_which_something_changed_has_two_sets() {
    let e = expect("London 1784");
    assert_eq!(e.sets.len(), 2);
    let days: Vec<_> = e.sets.iter().map(|s| (s.begins.as_deref(), s.ends.as_deref())).collect();
    assert_eq!(
        days,
        [(Some("1784-05-29"), Some("1784-11-30")), (Some("1784-12-01"), Some("1785-05-28"))]
    );
    let duty = |s: &ExpectedSet| s.marks.iter().any(|m| m.place == "duty mark");
    assert!(!duty(&e.sets[0]) && duty(&e.sets[1]));
    assert!(e.began.iter().any(|b| b.contains("duty mark")), "{:?}", e.began);
    assert!(e.impossible.iter().any(|i| i.place == "duty mark" && i.struck.starts_with("1786/87")));
}

/// Checked against W. Chaffers, Hall Marks, 1922, pp. 174 and 276.
#[test]
fn the_marks_of_a_plain_year_are_these() {
    let e = expect("Birmingham 1803");
    assert_eq!(e.sets.len(), 1);
    let set = &e.sets[0];
    assert_eq!((set.metal, set.fineness, set.shown.as_str()), ("silver", Some(925), "1803/04"));
    let marks = looks(set);
    assert_eq!(marks[0], ("town mark", "upright anchor"));
    assert_eq!(marks[1].0, "standard mark");
    assert!(marks[1].1.starts_with("lion passant"));
    assert!(marks.iter().any(|m| m.0 == "duty mark" && m.1.contains("George III")));
    assert!(marks.contains(&("date letter", "f, small roman")));
    assert_eq!(marks.last().map(|m| m.0), Some("sponsor's mark"));
    assert!(e.others.iter().any(|o| o.contains("Britannia")));
}

/// Act of 1904 with its order: an import mark and the fineness instead of town mark and lion.
#[test]
fn imported_ware_bears_an_import_mark_instead() {
    let e = expect("London 1910, imported");
    let marks = looks(&e.sets[0]);
    assert!(marks.iter().any(|m| m.0 == "import mark"), "{marks:?}");
    assert!(marks.contains(&("standard mark", ".925")), "{marks:?}");
    assert!(!marks.iter().any(|m| m.0 == "town mark"));
    assert_eq!(e.sets[0].origin, Origin::Foreign);
}

#[test]
fn what_was_never_struck_is_said_with_its_dates() {
    let nothing = |words: &str| expect(words).nothing.expect(words);
    assert!(nothing("Chester 1970").contains("1962"));
    assert!(nothing("Birmingham 1750").contains("1773"));
    assert!(nothing("Birmingham 1803, imported").contains("1867"));
    // The standard that was unlawful in between: 8 & 9 William III c. 8 and 6 George I c. 11.
    assert!(nothing("London 1710 sterling").contains("from 1478 to 1696 and since 1720"));
    let mut asked = Asked::read(tables(), "Birmingham 1803").expect("it can be read");
    asked.metal = Some(puncheon::schema::entry::Metal::Gold);
    let e = puncheon::expected_marks(tables(), &asked);
    assert!(e.nothing.expect("nothing").contains("1824"));
    assert!(Asked::read(tables(), "Chester").is_err());
}

/// Where the letter is not known and sources name some, they are named.
#[test]
fn a_disputed_letter_is_not_named_as_known() {
    for (words, said) in [
        ("Sheffield 1793", "not known: sources say O"),
        ("Glasgow 1960", "not known: sources say L"),
    ] {
        let e = expect(words);
        let letter = looks(&e.sets[0]).into_iter().find(|m| m.0 == "date letter").expect(words);
        assert!(letter.1.starts_with(said), "{words}: {}", letter.1);
    }
}

/// Years that share their marks are joined, and each keeps its letter.
#[test]
fn a_span_joins_years_struck_alike() {
    let e = expect("Edinburgh 1790-1799");
    assert_eq!(e.sets.len(), 1);
    assert_eq!(e.sets[0].letters.len(), 10);
    assert_eq!((e.sets[0].from, e.sets[0].to), (1790, 1799));
}

// ---- The program --------------------------------------------------------------------------------

fn object(json: &str) -> serde_json::Value {
    assert_eq!(json.lines().count(), 1, "one line");
    serde_json::from_str(json).expect("JSON")
}

fn keys(v: &serde_json::Value) -> BTreeSet<&str> {
    v.as_object().expect("an object").keys().map(String::as_str).collect()
}

#[test]
fn json_has_the_published_shape() {
    let ran = program(&[
        "check",
        "--json",
        "--claim",
        "Birmingham, c. 1803",
        "anchor, f, 15, no duty mark",
    ]);
    let v = object(&ran.out);
    assert_eq!(v["schema"], "puncheon.verdict/1");
    for key in [
        "schema",
        "claim",
        "verdict",
        "supports",
        "clashes",
        "not_described",
        "conventions",
        "warnings",
        "reading",
    ] {
        assert!(keys(&v).contains(key), "{key}");
    }
    assert_eq!(v["reading"]["schema"], "puncheon.reading/1");
    assert_eq!(v["claim"]["offices"], serde_json::json!(["birmingham"]));
    for w in v["warnings"].as_array().expect("a list") {
        for key in ["rule", "reason", "innocent", "confidence", "source"] {
            assert!(w[key].is_string(), "{key} of {w}");
        }
    }
    assert!(v["conventions"][0].is_string());
    let v = object(&program(&["expect", "--json", "Birmingham", "1803"]).out);
    assert_eq!(v["schema"], "puncheon.expected/1");
    for key in ["place", "looks", "outline", "due", "may_lack", "basis", "confidence", "sources"] {
        assert!(keys(&v["sets"][0]["marks"][0]).contains(key), "{key}");
    }
}

/// Contract 5.
#[test]
fn exit_codes_tell_the_verdict() {
    let set = "anchor, lion passant, small roman f, king's head";
    for (args, code) in [
        (vec!["check", "--claim", "Birmingham 1803", set], 0),
        (vec!["check", "--claim", "Birmingham 1808", "anchor, lion, k"], 0),
        (vec!["check", "--claim", "Chester 1908", set], 1),
        (vec!["check", "--claim", "Chester 1970", set], 1),
        (vec!["check", "--claim", "Chester 1908", "maker's mark AB"], 3),
        (vec!["check", "--claim", "Chester 19O8", set], 2),
        (vec!["check", set], 2),
        (vec!["check", "anchor, lion, f, stated 1803"], 0),
        (vec!["expect", "Birmingham", "1803"], 0),
        (vec!["expect", "Birmingham", "1750"], 1),
        (vec!["expect", "Birmingham"], 2),
        (vec!["expect", "Birmingham", "1803", "--standard", "lovely"], 2),
    ] {
        let ran = program(&args);
        assert_eq!(ran.code, code, "{args:?}: {}{}", ran.out, ran.err);
        assert_eq!(ran.out.is_empty(), code == 2, "{args:?}");
    }
}

/// Several descriptions, one a line: the claim is the same for all, or each line states its own.
#[test]
fn lines_are_checked_one_by_one() {
    let exe = env!("CARGO_BIN_EXE_puncheon-under-test");
    let lines = "anchor, lion, f, stated 1803\nanchor, lion, f, stated 1804\n";
    let ran = run(exe, &["check", "--json"], lines);
    let verdicts: Vec<String> =
        ran.out.lines().map(|l| object(l)["verdict"].as_str().unwrap_or("").to_string()).collect();
    assert_eq!(verdicts, ["possible", "possible"]);
    let ran = run(exe, &["check", "--claim", "Chester 1908"], "anchor, lion, f\nmaker's mark AB\n");
    assert_eq!(ran.code, 1);
    assert_eq!(ran.out.matches("The claim ").count(), 2);
}

/// Every answer that rests on a user's tables says so.
#[test]
fn a_verdict_says_what_tables_it_rests_on() {
    let folder = std::env::temp_dir().join(format!("puncheon-claims-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(
        folder.join("mine.ron"),
        r#"Warnings([Warning(id: "erased-crest", when: [Seen(["anchor"])], reason: "An anchor of mine.",
            innocent: "None.", judge: "the keeper", basis: Memory, confidence: Low)])"#,
    )
    .expect("a file");
    let path = folder.to_string_lossy().to_string();
    let ran = program(&["check", "--tables", &path, "--claim", "Birmingham", "anchor, lion, f"]);
    assert!(ran.out.contains("laid over"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("An anchor of mine."), "{}", ran.out);
    std::fs::remove_dir_all(&folder).expect("it goes");
}

fn screen(args: &[&str]) -> String {
    let ran = program(args);
    format!("$ puncheon {}\n{}{}[{}]\n", args.join(" "), ran.out, ran.err, ran.code)
}

/// A dozen verdicts as a person would read them.
#[test]
fn verdicts_on_the_screen() {
    for (name, words, marks) in [
        (
            "holds",
            "Birmingham 1803",
            "anchor, lion passant, small roman f, king's head, maker's mark",
        ),
        ("possible", "Birmingham 1808", "anchor, lion passant, k"),
        ("fails", "Chester 1908", "three wheatsheaves and a sword, roman capital H"),
        ("fails_by_the_office", "Chester 1908", "anchor, lion passant, capital script H"),
        ("never_struck", "Chester 1970", "three wheatsheaves and a sword, lion passant"),
        ("standard_never_struck", "15 ct, Birmingham 1840", "anchor, 15, .625, R"),
        ("plate", "Sheffield 1908", "crown, EPNS, q"),
        ("nothing_bears", "London 1730", "maker's mark struck four times; no hallmarks"),
        (
            "only_misread",
            "Birmingham 1803",
            "anchor, lion passant, small black letter f, king's head",
        ),
        (
            "let_in",
            "London 1732-33",
            "on an inserted disc: leopard's head crowned, lion passant, R",
        ),
        ("half", "Birmingham 1947", "anchor, lion passant, capital roman W"),
        (
            "conventions",
            "lovely Georgian pot, about 1790, London",
            "leopard's head crowned, lion passant, small roman r, king's head",
        ),
        ("duty_wanting", "London 1850", "leopard's head, lion passant, P, no duty mark"),
    ] {
        assert_snapshot!(name, screen(&["check", "--claim", words, marks]));
    }
    assert_snapshot!(
        "stated_in_the_description",
        screen(&["check", "leopard's head crowned, lion passant, date letter L for 1766-67"])
    );
}

#[test]
fn mistakes_in_claims_on_the_screen() {
    for (name, words) in [
        ("misread_figure", "Chester 19O8"),
        ("misread_office", "Hester 1908"),
        ("a_place_without_an_office", "Bristol 1750"),
        ("no_claim", "lovely"),
        ("dates_that_never_meet", "George III, 1908"),
    ] {
        assert_snapshot!(name, screen(&["check", "--claim", words, "anchor, lion"]));
    }
    assert_snapshot!("nothing_stated", screen(&["check", "anchor, lion, k"]));
}

#[test]
fn expected_marks_on_the_screen() {
    for (name, args) in [
        ("expect_a_year", vec!["expect", "Birmingham", "1803"]),
        ("expect_a_year_of_change", vec!["expect", "London", "1784"]),
        ("expect_imported", vec!["expect", "London", "1910", "--imported"]),
        ("expect_gold", vec!["expect", "London", "1900", "--standard", "18 ct"]),
        ("expect_nothing", vec!["expect", "Chester", "1970"]),
    ] {
        assert_snapshot!(name, screen(&args));
    }
}
