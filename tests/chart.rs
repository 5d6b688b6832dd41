//! Charts of date letters: what `puncheon chart` and `puncheon outlines` print, and the law that a
//! chart holds the exported letters, each once, and nothing else.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};

use insta::assert_snapshot;
use proptest::prelude::*;
use puncheon::Tables;
use puncheon::chart::{Asked, chart};
use puncheon::schema::image::Meta;
use puncheon_tests::{Ran, covers, proptest_config, run};
use serde_json::Value;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

fn puncheon(args: &[&str]) -> Ran {
    run(PUNCHEON, args, "")
}

/// What a run printed, with its exit code and what went to standard error.
fn screen(args: &[&str]) -> String {
    puncheon(args).screen()
}

/// Runs in a terminal of some width, as far as COLUMNS tells.
fn wide(columns: usize, args: &[&str]) -> String {
    let out = Command::new(PUNCHEON)
        .args(args)
        .env_clear()
        .env("COLUMNS", columns.to_string())
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    String::from_utf8(out.stdout).expect("output is UTF-8")
}

fn json(args: &[&str]) -> Value {
    puncheon(&[args, &["--json"]].concat()).json()
}

fn list<'v>(v: &'v Value, key: &str) -> &'v [Value] {
    v[key].as_array().unwrap_or_else(|| panic!("{key} is a list"))
}

fn text<'v>(v: &'v Value, key: &str) -> &'v str {
    v[key].as_str().unwrap_or("")
}

fn offices() -> Vec<&'static str> {
    let image = Tables::builtin().image();
    (0..image.meta(Meta::Offices)).map(|o| image.office(o).id()).collect()
}

// ---- What is printed ----------------------------------------------------------------------------

#[test]
fn years_of_one_office() {
    assert_snapshot!(screen(&["chart", "birmingham", "1800..1830"]));
}

#[test]
fn one_year_at_every_office() {
    assert_snapshot!(screen(&["chart", "1803"]));
}

#[test]
fn one_letter_at_one_office() {
    assert_snapshot!(screen(&["chart", "london", "k"]));
}

#[test]
fn letters_carried_on_and_doubtful() {
    assert_snapshot!(screen(&["chart", "dublin", "1680..1700"]));
}

#[test]
fn letters_not_known() {
    assert_snapshot!(screen(&["chart", "norwich", "1580..1630"]));
}

#[test]
fn a_gap_between_runs() {
    assert_snapshot!(screen(&["chart", "york", "1710..1780"]));
}

#[test]
fn a_disputed_year() {
    assert_snapshot!(screen(&["chart", "dublin", "1994..1997"]));
}

#[test]
fn two_letters_in_one_year() {
    assert_snapshot!(screen(&["chart", "london", "1695..1698"]));
}

#[test]
fn an_outline_of_part_of_a_run() {
    let said = |years: &str| puncheon(&["chart", "london", years]).out;
    let waisted = "waisted shield with a notched top";
    let flat = |years: &str| said(years).split_whitespace().collect::<Vec<_>>().join(" ");
    for (years, words) in [
        ("1736..1760", "e small roman; outline on silver until 1755/56: "),
        ("1736..1750", "e small roman; outline on silver from here on: "),
        ("1740..1750", "The letter changed on 29 May; outline on silver: "),
    ] {
        let out = flat(years);
        assert!(out.contains(&format!("{words}{waisted}")), "{out}");
        assert_eq!(out.matches(waisted).count(), 1, "{out}");
    }
}

#[test]
fn when_the_letter_changed() {
    for (words, said) in [
        ("birmingham 1803", "f small roman; from a day in July"),
        (
            "dublin 1803",
            "G capital roman; from a day between 29 May and 1 November, by a doubtful table",
        ),
        ("london 1803", "H capital roman; from 29 May"),
        ("london 1655..1663", "B capital black-letter; from 19 May"),
        ("birmingham 1800..1803", "The letter changed in July."),
        ("york 1803..1805", "The day on which the letter changed is not known."),
        ("birmingham 1976..1980", "The letter changed on 1 January."),
    ] {
        let out = puncheon(&["chart", words]).out;
        let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(said), "{words}: {out}");
    }
}

#[test]
fn a_year_of_many_changes() {
    assert_snapshot!(screen(&["chart", "1975"]));
}

#[test]
fn a_described_letter() {
    assert_snapshot!(screen(&["chart", "small", "black", "letter", "k"]));
}

#[test]
fn sixty_columns() {
    assert_snapshot!("columns_60_office", wide(60, &["chart", "dublin", "1690..1700"]));
    assert_snapshot!("columns_60_year", wide(60, &["chart", "1803"]));
    assert_snapshot!("columns_40_year", wide(40, &["chart", "1803"]));
}

#[test]
fn a_small_chart_in_json() {
    assert_snapshot!(screen(&["chart", "birmingham", "1803", "--json"]));
}

#[test]
fn nothing_to_show_is_said_in_words() {
    for (name, words) in [
        ("before_the_office", "birmingham 1700..1720"),
        ("in_a_gap", "glasgow 1750"),
        ("before_all_letters", "1200"),
        ("after_the_tables", "2090"),
        ("no_such_letter", "exeter small court hand k"),
    ] {
        let r = puncheon(&["chart", words]);
        assert_eq!(r.code, 1, "{words}");
        assert_snapshot!(format!("nothing_{name}"), screen(&["chart", words]));
    }
}

#[test]
fn misuse_says_what_would_be_right() {
    for (name, words) in [
        ("an_office_misspelt", "birmnghamm"),
        ("a_span_without_an_office", "1800..1830"),
        ("a_span_backwards", "london 1830..1800"),
        ("a_span_of_words", "london 1800..now"),
        ("two_years", "london 1803 1805"),
        ("two_letters", "london k m"),
        ("a_lettering_alone", "london black letter"),
        ("a_standard", "london sterling"),
        ("a_town_without_letters", "perth"),
        ("another_word", "london teapot"),
    ] {
        let r = puncheon(&["chart", words]);
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{words}");
        assert_snapshot!(format!("misuse_{name}"), r.err);
    }
}

#[test]
fn outlines_are_listed() {
    assert_snapshot!("outlines", screen(&["outlines"]));
    assert_snapshot!("outlines_json", screen(&["outlines", "--json"]));
}

// ---- How words are taken ------------------------------------------------------------------------

#[test]
fn one_question_in_several_ways() {
    for ways in [
        &[
            "birmingham 1800..1830",
            "1800..1830, Birmingham",
            "brum 1800 to 1830",
            "B'ham 1800-1830",
        ][..],
        &["1803", "1803..1803"],
        &["london k", "k, London", "London letter k", "k london"],
        &[
            "london small gothic k",
            "small black letter k London",
            "k, lower case, old english, london",
        ],
        &["london a", "a london", "the letter a, london"],
        &["sheffield 1803/04", "sheff 1803/04"],
    ] {
        let charts: Vec<Value> = ways.iter().map(|w| json(&["chart", w])).collect();
        for (way, c) in ways.iter().zip(&charts) {
            assert!(!list(c, "rows").is_empty(), "{way}");
            assert_eq!(c["rows"], charts[0]["rows"], "{way}");
        }
    }
}

#[test]
fn a_slip_is_taken_for_the_office_and_said() {
    let said = puncheon(&["chart", "brimingham", "1803"]).out;
    assert!(said.contains("\"brimingham\" was taken for birmingham."), "{said}");
}

#[test]
fn about_a_year_is_no_letter_c() {
    let c = json(&["chart", "london c. 1803"]);
    assert_eq!(text(&c["asked"], "question"), "office");
    assert_eq!((&c["asked"]["from"], &c["asked"]["to"]), (&1793.into(), &1813.into()));
}

#[test]
fn a_stated_case_and_lettering_bound_a_letter() {
    let all = json(&["chart", "k"]);
    let bound = json(&["chart", "small black letter k"]);
    let letters = |c: &Value| -> Vec<(String, i64, Value)> {
        let mut out = Vec::new();
        for r in list(c, "rows") {
            for l in list(r, "cells").iter().flat_map(|c| list(c, "letters")) {
                let year = r["year"].as_i64().expect("a year");
                out.push((text(r, "office").to_string(), year, l.clone()));
            }
        }
        out
    };
    let (all, bound) = (letters(&all), letters(&bound));
    assert!(bound.len() < all.len());
    for (office, year, l) in &bound {
        let known = |key: &str, is: &str| l[key].is_null() || l[key] == is;
        let rivals = !list(l, "rivals").is_empty();
        assert!(
            known("case", "lower") && known("lettering", "black-letter") || rivals,
            "{office} {year}"
        );
        assert!(all.iter().any(|a| (&a.0, a.1) == (office, *year)), "{office} {year}");
    }
}

#[test]
fn the_library_answers_as_the_program_does() {
    let tables = Tables::builtin();
    let asked = Asked::read(tables, "london k").expect("it is read");
    let own = serde_json::to_value(chart(tables, &asked)).expect("a chart is JSON");
    assert_eq!(own, json(&["chart", "london", "k"]));
}

/// Words of which questions are made, and some that have no place in them.
const WORDS: [&str; 40] = [
    "london",
    "brum",
    "B'ham",
    "Sheff",
    "chester",
    "glasgo",
    "k",
    "K",
    "a",
    "the",
    "é",
    "𝔨",
    "A7",
    "crown",
    "small",
    "capital",
    "black",
    "letter",
    "Old English",
    "roman",
    "1803",
    "1803/04",
    "1800..1830",
    "..1830",
    "1800..",
    "1800-30",
    "1200",
    "9999",
    "circa1803",
    "c.",
    "Georgian",
    "19th",
    "century",
    "to",
    "or",
    ",",
    "sterling",
    "perth",
    "teapot",
    "18o3",
];

proptest! {
    #![proptest_config(proptest_config(400))]

    #[test]
    fn any_words_are_charted_or_refused(words in prop::collection::vec(prop::sample::select(&WORDS[..]), 0..6)) {
        charted_or_refused(&words.join(" "))?;
    }

    /// Every byte of a wish lies in one node, and one that is met has none that is refused.
    #[test]
    fn a_wish_is_covered_by_its_nodes(words in prop::collection::vec(prop::sample::select(&WORDS[..]), 0..7)) {
        let wish = words.join(" ");
        let tree = puncheon::wish_tree(Tables::builtin(), &wish);
        covers(&wish, &tree);
        if Asked::read(Tables::builtin(), &wish).is_ok() {
            prop_assert_eq!(tree.refused(), None, "{}", wish);
        }
    }

    #[test]
    fn any_text_is_charted_or_refused(text in "\\PC{0,30}") {
        charted_or_refused(&text)?;
    }
}

/// The chart keeps to what is asked; or the refusal points into the words and says what is right.
fn charted_or_refused(words: &str) -> Result<(), TestCaseError> {
    let tables = Tables::builtin();
    match Asked::read(tables, words) {
        Ok(asked) => {
            let c = chart(tables, &asked);
            prop_assert_eq!(c.rows.is_empty(), c.nothing.is_some());
            for r in &c.rows {
                prop_assert!(asked.from.is_none_or(|f| f <= r.year));
                prop_assert!(asked.to.is_none_or(|t| r.year <= t));
                prop_assert!(
                    asked.offices.is_empty() || asked.offices.iter().any(|o| *o == *r.office)
                );
                prop_assert!(!r.cells.is_empty());
            }
        }
        Err(e) => {
            prop_assert!(e.claim.get(e.at.clone()).is_some(), "{e:?}");
            prop_assert!(!e.wrong.is_empty() && !e.remedy.is_empty());
            prop_assert!(!e.to_string().is_empty());
        }
    }
    Ok(())
}

// ---- Laws ---------------------------------------------------------------------------------------

/// A letter as both tell of it: letter, lettering, case, outlines, basis, confidence, sources, days.
type Told = Vec<String>;

/// The exported letters of each office and year.
fn exported() -> BTreeMap<(String, i64), Vec<Told>> {
    let r = puncheon(&["tables", "export"]);
    let mut lines = r.out.lines();
    let head: Vec<&str> = lines.next().expect("a head").split('\t').collect();
    let mut out: BTreeMap<_, Vec<Told>> = BTreeMap::new();
    for line in lines {
        let fields: Vec<&str> = line.split('\t').collect();
        let field = |name: &str| {
            let at = head.iter().position(|h| *h == name).expect("a column");
            fields[at].to_string()
        };
        let told = [
            "letter",
            "lettering",
            "case",
            "outline_silver",
            "outline_gold",
            "basis",
            "confidence",
            "sources",
            "begins",
            "ends",
        ]
        .map(field)
        .to_vec();
        let year = field("year").parse().expect("a year");
        out.entry((field("office"), year)).or_default().push(told);
    }
    out.values_mut().for_each(|v| v.sort());
    out
}

/// The letters of a chart by office and year.
fn charted(c: &Value) -> BTreeMap<(String, i64), Vec<Told>> {
    let mut out: BTreeMap<_, Vec<Told>> = BTreeMap::new();
    for r in list(c, "rows") {
        for s in list(r, "begins_sources") {
            assert!(list(c, "sources").contains(s), "{s} stands at the foot");
        }
        let year = r["year"].as_i64().expect("a year");
        let key = (text(r, "office").to_string(), year);
        assert!(!out.contains_key(&key), "two rows for {key:?}");
        for cell in list(r, "cells") {
            let column = cell["column"].as_u64().expect("an index") as usize;
            let column = &list(c, "columns")[column];
            assert_eq!(text(column, "office"), key.0);
            let span = column["from"].as_i64()..=column["to"].as_i64();
            assert!(span.contains(&Some(year)), "{key:?} lies in its run");
            for l in list(cell, "letters") {
                let sources: Vec<&str> =
                    list(l, "sources").iter().filter_map(Value::as_str).collect();
                for s in &sources {
                    assert!(list(c, "sources").iter().any(|x| x == s), "{s} stands at the foot");
                }
                let mut told: Told = [
                    "struck",
                    "lettering",
                    "case",
                    "outline_silver",
                    "outline_gold",
                    "basis",
                    "confidence",
                ]
                .iter()
                .map(|k| text(l, k).to_string())
                .collect();
                told.push(sources.join("|"));
                told.extend(["begins", "ends"].map(|k| text(l, k).to_string()));
                out.entry(key.clone()).or_default().push(told);
            }
        }
    }
    out.values_mut().for_each(|v| v.sort());
    out
}

/// A day is known, or lies between two of about its year, or nothing is said of it.
fn days_agree(r: &Value) {
    let year = text(r, "shown");
    let Some(between) = r["begins_between"].as_array() else {
        assert!(r["begins"].is_string() || r["begins_confidence"].is_null(), "{year}");
        return;
    };
    assert!(r["begins"].is_null() && r["begins_confidence"].is_string(), "{year}");
    let days: Vec<&str> = between.iter().filter_map(Value::as_str).collect();
    assert!(days.len() == 2 && days[0] < days[1], "{year}: {days:?}");
    let in_year = |d: &&str| d.starts_with(&r["year"].to_string());
    assert!(days.iter().all(in_year), "{year}: {days:?}");
}

#[test]
fn an_office_s_chart_holds_its_exported_letters_and_nothing_else() {
    let exported = exported();
    let mut seen = 0;
    for office in offices() {
        let of_office: BTreeMap<_, _> = exported
            .iter()
            .filter(|((o, _), _)| o == office)
            .map(|(k, v)| (k.clone(), v.clone()))
            .collect();
        assert!(!of_office.is_empty(), "{office}");
        let c = json(&["chart", office]);
        assert_eq!(charted(&c), of_office, "{office}");
        seen += of_office.len();
        for r in list(&c, "rows") {
            days_agree(r);
        }
        // The years are an axis: in order, and every one of them told.
        let image = Tables::builtin().image();
        let (first, last) = (0..image.meta(Meta::Offices))
            .map(|o| image.office(o))
            .find(|o| o.id() == office)
            .expect("the office")
            .years();
        let rows: Vec<i64> = list(&c, "rows").iter().filter_map(|r| r["year"].as_i64()).collect();
        assert!(rows.is_sorted(), "{office}");
        for year in i64::from(first)..=i64::from(last) {
            let gap = list(&c, "without")
                .iter()
                .any(|w| (w["from"].as_i64()..=w["to"].as_i64()).contains(&Some(year)));
            assert_ne!(gap, rows.contains(&year), "{office} {year}");
        }
    }
    assert_eq!(seen, exported.len(), "every office was asked");
}

#[test]
fn a_year_s_chart_holds_its_exported_letters_and_every_office() {
    let exported = exported();
    for year in (1470..2040).step_by(7) {
        let of_year: BTreeMap<_, _> = exported
            .iter()
            .filter(|((_, y), _)| *y == year)
            .map(|(k, v)| (k.clone(), v.clone()))
            .collect();
        let c = json(&["chart", &year.to_string()]);
        assert_eq!(charted(&c), of_year, "{year}");
        for office in offices() {
            let told = |key| list(&c, key).iter().any(|r| text(r, "office") == office);
            assert_ne!(told("rows"), told("without"), "{year} {office}");
        }
    }
}

#[test]
fn every_letter_is_found_under_itself() {
    let mut by_letter: BTreeMap<String, Vec<(String, i64, Told)>> = BTreeMap::new();
    for ((office, year), letters) in exported() {
        for told in letters {
            let letter = told[0].to_uppercase();
            by_letter.entry(letter).or_default().push((office.clone(), year, told));
        }
    }
    by_letter.remove("");
    assert!(by_letter.len() > 20, "{} letters", by_letter.len());
    for (letter, struck) in by_letter {
        let c = charted(&json(&["chart", &letter]));
        for (office, year, told) in struck {
            let there = c.get(&(office.clone(), year)).is_some_and(|v| v.contains(&told));
            assert!(there, "{letter} of {office} {year}");
        }
    }
}

#[test]
fn no_line_is_longer_than_the_width() {
    let mut asked: Vec<Vec<String>> =
        offices().iter().map(|o| vec!["chart".to_string(), o.to_string()]).collect();
    for words in ["1697", "1803", "1975", "1200", "k", "a", "london small k"] {
        asked.push(vec!["chart".into(), words.into()]);
    }
    asked.push(vec!["outlines".into()]);
    for args in asked {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        for width in [80, 60, 40] {
            let out = wide(width, &args);
            assert!(!out.is_empty(), "{args:?} in {width}");
            for line in out.lines() {
                assert!(line.chars().count() <= width, "{args:?} in {width}: {line:?}");
                assert_eq!(line, line.trim_end(), "{args:?} in {width}");
            }
        }
    }
}

#[test]
fn plain_ascii_on_request() {
    for words in offices().into_iter().chain(["1803", "k"]) {
        let r = puncheon(&["chart", words, "--ascii"]);
        assert!(r.code == 0 && !r.out.is_empty() && r.out.is_ascii(), "{words}: {}", r.screen());
    }
    assert_snapshot!(screen(&["chart", "sheffield", "1773..1780", "--ascii"]));
}

#[test]
fn every_doubt_is_said_on_its_line() {
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for office in offices() {
        let c = json(&["chart", office]);
        for r in list(&c, "rows") {
            let year = r["year"].to_string();
            let out = wide(100, &["chart", office, &format!("{year}..{year}")]);
            for l in list(r, "cells").iter().flat_map(|c| list(c, "letters")) {
                let must = [
                    (l["struck"].is_null(), "not known"),
                    (!l["struck"].is_null() && l["confidence"] == "low", "by a doubtful table"),
                    (!l["struck"].is_null() && l["disputed"] == true, "disputed"),
                    (!l["struck"].is_null() && l["carried"] == true, "carried on from"),
                ];
                for (doubtful, words) in must {
                    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
                    assert!(!doubtful || flat.contains(words), "{office} {year}: {words}\n{out}");
                    *met.entry(words).or_default() += usize::from(doubtful);
                }
            }
        }
    }
    assert!(met.len() == 4 && met.values().all(|n| *n > 0), "each doubt is met: {met:?}");
}

#[test]
fn outlines_count_the_exported_letters() {
    let exported = exported();
    let letters: Vec<&Told> = exported.values().flatten().filter(|t| !t[0].is_empty()).collect();
    let all = json(&["outlines"]);
    assert_eq!(list(&all, "outlines").len(), Tables::builtin().image().meta(Meta::Outlines));
    for o in list(&all, "outlines") {
        let id = text(o, "id");
        let count = |f: &dyn Fn(&Told) -> bool| letters.iter().filter(|t| f(t)).count() as u64;
        assert_eq!(o["on_silver"], count(&|t| t[3] == id), "{id}");
        assert_eq!(o["on_gold"], count(&|t| t[4] == id), "{id}");
        assert_eq!(o["letters"], count(&|t| t[3] == id || t[4] == id), "{id}");
        assert!(!text(o, "means").is_empty(), "{id}");
    }
    let none = letters.iter().filter(|t| t[3].is_empty() && t[4].is_empty()).count() as u64;
    assert_eq!(all["not_known"], none);
}
