//! Words for a sale and the cautions beside them: what `puncheon say` and `puncheon cautions` print,
//! and the laws that nothing is said which the marks do not bear out, and no title is too long.

use std::collections::BTreeSet;
use std::process::{Command, Stdio};

use insta::assert_snapshot;
use proptest::prelude::*;
use puncheon::cautions::{self, Facts, Use};
use puncheon::schema::image::{Image, METALS, Meta, RowView, USES};
use puncheon::schema::{Entries, export};
use puncheon::wording::{Asked, Set, Wording, wording};
use puncheon::{Options, Tables};
use puncheon_tests::{Ran, covers, proptest_config, run};
use serde_json::Value;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// A set that fits one year.
const MARKS: &str = "anchor, lion passant, small roman f, king's head, maker's mark JT";
/// Another, of a later year at another office.
const LONDON: &str = "leopard's head crowned, lion passant, capital roman H, king's head, WB";

fn puncheon(args: &[&str]) -> Ran {
    run(PUNCHEON, args, "")
}

/// What a run printed, with its exit code and what went to standard error.
fn screen(args: &[&str]) -> String {
    puncheon(args).screen()
}

fn json(args: &[&str]) -> Value {
    puncheon(&[args, &["--json"]].concat()).json()
}

/// A run's only line.
fn brief(args: &[&str]) -> String {
    let r = puncheon(&[&["say"], args, &["--brief"]].concat());
    assert_eq!(r.code, 0, "{args:?}: {}", r.err);
    assert_eq!(r.out.lines().count(), 1, "{args:?}: {}", r.out);
    r.out.trim_end().to_string()
}

fn image() -> &'static Image {
    Tables::builtin().image()
}

/// A piece that is called plate is not called silver, whatever marks are claimed for it.
#[test]
fn plate_by_its_description_is_not_called_silver() {
    let marks = "anchor, lion passant, small roman f, king's head";
    for item in [
        "EPNS tray",
        "Sheffield plate mug",
        "silver plated tray",
        "tray, silver-plated",
        "plated tray",
        "gold plated chain",
        "gilt metal box",
        "silver-coated mug",
    ] {
        let r = puncheon(&["say", marks, "--item", item]);
        assert_eq!(r.code, 1, "{item}: {}", r.out);
        assert!(!r.out.contains("Sterling silver"), "{item}: {}", r.out);
    }
    // So does its condition.
    let worn = ["say", marks, "--item", "mug", "--condition", "plating worn at the edges"];
    assert_eq!(puncheon(&worn).code, 1);
    assert_eq!(
        brief(&[marks, "--item", "teapot with plated stand"]),
        "Sterling silver teapot with plated stand, Birmingham 1803/04"
    );
}

/// An import mark is told though its office is open, and a part of a piece is no piece.
#[test]
fn imports_and_parts_are_told_as_such() {
    let line = brief(&["omega, .925, b", "--item", "box"]);
    assert_eq!(line, "Sterling silver box, marked as imported");
    let bowl = "bowl: anchor, lion passant, small roman f, king's head";
    let two = "2x leopard's head crowned, lion passant, capital H, king's head";
    let line = brief(&["--item", "salts", "--marks", bowl, "--marks", two]);
    assert!(line.starts_with("Two sterling silver salts"), "{line}");
}

/// The library's words, with what is stated.
fn said(sets: &[&str], item: &str, change: impl FnOnce(&mut Asked)) -> Option<Wording> {
    let mut asked = Asked::default();
    for s in sets {
        asked.sets.push(Set::read(Tables::builtin(), s).ok()?);
    }
    asked.item = item.into();
    change(&mut asked);
    wording(Tables::builtin(), &asked, &Options::default()).ok()
}

// ---- What is printed ----------------------------------------------------------------------------

#[test]
fn one_piece() {
    assert_snapshot!(screen(&[
        "say",
        MARKS,
        "--item",
        "mustard pot with blue glass liner",
        "--weight",
        "178.5g",
        "--size",
        "7 cm high",
        "--condition",
        "light wear, no dents",
        "--title",
        "80",
    ]));
}

#[test]
fn a_set_of_spoons() {
    let four = format!("4x {LONDON}");
    let two = "2x leopard's head crowned, lion passant, capital roman P, king's head, WB";
    assert_snapshot!(screen(&[
        "say",
        "--item",
        "teaspoons",
        "--marks",
        &four,
        "--marks",
        two,
        "--office",
        "london"
    ]));
    assert_eq!(
        brief(&["--item", "teaspoons", "--marks", &four, "--marks", two]),
        "Six sterling silver teaspoons, four probably York 1783/84, York 1794/95 or London 1803/04, two probably York 1801/02 or London 1810/11, sponsor's mark WB"
    );
}

#[test]
fn a_part_of_its_own_year() {
    let (cup, cover) = (
        format!("cup: {LONDON}"),
        "the cover: leopard's head crowned, lion passant, capital roman P, king's head, WB",
    );
    assert_eq!(
        brief(&[
            "--item",
            "cup and cover",
            "--marks",
            &cup,
            "--marks",
            cover,
            "--office",
            "london"
        ]),
        "Sterling silver cup and cover, the cup London 1803/04, the cover 1810/11, sponsor's mark WB"
    );
    assert_eq!(
        brief(&[&format!("lid: {MARKS}"), "--item", "mustard pot"]),
        "Sterling silver mustard pot, the lid Birmingham 1803/04, sponsor's mark JT"
    );
    // What is no part's name stays with the marks.
    assert_eq!(
        brief(&["marks: anchor, lion passant, small roman f, king's head", "--item", "mug"]),
        "Sterling silver mug, Birmingham 1803/04"
    );
}

/// A part that bears too little, nothing or plate is told as such, and the rest is worded by its marks;
/// the whole is not called silver then.
#[test]
fn a_part_that_lacks_marks_is_told_and_not_called_silver() {
    let line = |part: &str| brief(&[MARKS, "--marks", part, "--item", "silver tankard"]);
    let head = |part: &str| {
        format!(
            "Tankard, sterling silver except for the {part}, Birmingham 1803/04, sponsor's mark JT"
        )
    };
    for (part, name, lacks) in [
        ("cover: EPNS", "cover", "of plate (EPNS)"),
        ("The cover: pewter", "cover", "of base metal (pewter)"),
        ("cover: lion passant", "cover", "only partly marked (lion passant)"),
        ("lid: unmarked", "lid", "unmarked"),
        ("lid: no marks", "lid", "unmarked"),
        ("burner: EPNS", "burner", "of plate (EPNS)"),
        ("cover: marks illegible", "cover", "with marks that were not read"),
        ("base and cover: lion passant", "base and cover", "only partly marked (lion passant)"),
        ("cover: maker's mark JT only", "cover", "not hallmarked (maker's mark JT only)"),
    ] {
        assert_eq!(line(part), format!("{}, the {name} {lacks}", head(name)));
        let v = json(&["say", MARKS, "--marks", part, "--item", "tankard", "--title", "60"]);
        let title = v["title"].as_str().expect("a title");
        assert!(title.contains("except for the"), "{title}");
        assert!(v["sets"][1]["not_borne"].is_string(), "{v}");
        assert!(v["sets"][0]["not_borne"].is_null(), "{v}");
        assert!(v["cautions"].to_string().contains("law-describing"), "{v}");
    }
    // What is against the marks of a part is against the piece.
    for part in ["cover: anchor, leopard's head", "cover: lion passant, fake marks"] {
        let r = puncheon(&["say", MARKS, "--marks", part, "--item", "tankard"]);
        assert_eq!(r.code, 1, "{part}: {}", r.out);
    }
    // Pieces are no parts, and an item may not say of the part what its marks do not.
    for args in [
        &["say", MARKS, "--marks", "2x EPNS", "--item", "spoons"][..],
        &["say", MARKS, "--marks", "cover: EPNS", "--item", "mug with silver cover"],
        &["say", "--marks", "cover: EPNS", "--item", "mug"],
    ] {
        let r = puncheon(args);
        assert_eq!(r.code, 1, "{args:?}: {}", r.out);
    }
    // A label that means every part is none.
    let each = format!("both: {MARKS}");
    assert_eq!(
        brief(&[&each, "--item", "pair of salts"]),
        "Pair of sterling silver salts, Birmingham 1803/04, sponsor's mark JT"
    );
}

/// A title is cut between phrases, and one that cannot hold the piece is refused.
#[test]
fn a_title_keeps_the_piece_whole() {
    let title = |item: &str, length: &str| {
        let r = puncheon(&["say", MARKS, "--item", item, "--title", length, "--brief"]);
        match r.code {
            0 => r.out.trim_end().to_string(),
            _ => r.err,
        }
    };
    assert_eq!(title("mustard pot", "20"), "Silver mustard pot");
    assert_eq!(title("mustard pot with liner", "30"), "Sterling silver mustard pot");
    assert_eq!(title("cup and cover", "30"), "Sterling silver cup and cover");
    let long = title("salt and pepper pots", "20");
    assert!(long.contains("at least 27"), "{long}");
    assert_eq!(title("salt and pepper pots", "27"), "Silver salt and pepper pots");
}

#[test]
fn years_in_doubt() {
    let line = |marks: &str| brief(&[marks, "--item", "mug"]);
    assert_eq!(
        line("anchor, lion passant, king's head, worn small roman n"),
        "Sterling silver mug, Birmingham, probably 1811/12"
    );
    assert_eq!(
        line("anchor, lion passant, small black letter n or h"),
        "Sterling silver mug, Birmingham, 1882/83 or 1887/88"
    );
    assert_eq!(
        line("anchor, lion passant, k"),
        "Sterling silver mug, Birmingham, between 1782/83 and 2009"
    );
    assert_eq!(
        line("leopard's head crowned, lion passant guardant, duty mark, date letter illegible"),
        "Sterling silver mug"
    );
    assert_snapshot!(screen(&[
        "say",
        "anchor, lion passant, king's head, worn small roman n",
        "--item",
        "mug"
    ]));
}

/// In a year whose letter is not known any letter would do: none is named.
#[test]
fn a_letter_that_is_not_known_names_no_year() {
    for (marks, line) in [
        ("crown, lion passant, king's head, script small q", "Sterling silver mug, Sheffield"),
        (
            "lion's head erased, leopard's head, letter D, Norwich town mark",
            "Britannia silver mug, Norwich",
        ),
    ] {
        assert_eq!(brief(&[marks, "--item", "mug"]), line);
    }
}

#[test]
fn plate_is_no_silver() {
    assert_snapshot!(screen(&[
        "say",
        "crown, EPNS, S",
        "--item",
        "mustard pot",
        "--size",
        "7 cm high"
    ]));
}

#[test]
fn refusals() {
    let refused = |args: &[&str]| -> (String, Value) {
        let v = json(&[&["say"], args].concat());
        for field in ["line", "title", "paragraph", "metal", "standard"] {
            assert!(v[field].is_null(), "{args:?}: {field} of {v}");
        }
        let why = v["refused"]["why"].as_str().expect("a reason").to_string();
        (why, v)
    };
    for (args, reason) in [
        (&["--item", "mug"][..], "No marks were described."),
        (&["nothing legible", "--item", "mug"], "No mark was recognised."),
        (&["lion passant", "--item", "mug"], "Too little was described"),
        (&["925", "--item", "ring"], "Too little was described"),
        (&["STERLING", "--item", "mug"], "\"STERLING\" tells of no standard"),
        (&["double-headed eagle, Perth", "--item", "spoon"], "\"Perth\" tells of no standard"),
        (&["835", "--item", "spoon"], "\"835\" tells of no standard"),
        (
            &["anchor, leopard's head, lion passant, small roman c", "--item", "mug"],
            "they never stood together",
        ),
        (
            &[
                "cup: anchor, lion passant, small roman k, king's head; lid: leopard's head crowned, lion passant, small roman b",
                "--item",
                "cup",
            ],
            "give each as a set of its own",
        ),
        (
            &[
                "anchor, lion passant, small roman f, king's head, marks let into the base",
                "--item",
                "mug",
            ],
            "set into the article",
        ),
        (&["anchor, lion passant, small roman f, fake", "--item", "mug"], "said to be false"),
        (&["anchor, k", "--item", "ring"], "more than one metal"),
        (&[MARKS, "--item", "jug made over from a mug"], "vouch for one of its parts at most"),
        (&[MARKS, "--item", "mug with gold bands"], "\"gold\""),
        (&[MARKS, "--item", "18ct gold mug"], "\"18ct gold\""),
        (&[MARKS, "--item", "mug", "--condition", "platinum rim"], "\"platinum\""),
        (&[MARKS, "--item", "Victorian mug"], "\"Victorian\""),
        (&[MARKS, "--item", "Britannia silver mug"], "\"Britannia silver\""),
    ] {
        let (why, v) = refused(args);
        assert!(why.contains(reason), "{args:?}: {why}");
        let cautions = v["cautions"].to_string();
        if v["refused"]["because"] == "claim" {
            assert!(!cautions.contains("law-describing"), "{args:?}");
            continue;
        }
        for law in ["law-describing", "law-light", "law-old", "law-altered", "law-notice"] {
            assert!(cautions.contains(law), "{args:?}: {law}");
        }
    }
}

/// What is stated in any place may not claim what the marks do not carry; what only names a town, a
/// date or a person is no such claim.
#[test]
fn words_beside_the_marks_claim_nothing_more() {
    let run = |place: &str, text: &str, how: &str| match place {
        "--item" => puncheon(&["say", MARKS, place, text, how]),
        _ => puncheon(&["say", MARKS, "--item", "mug", place, text, how]),
    };
    for (place, text) in [
        ("--item", "fine silver mug"),
        ("--item", "solid silver mug"),
        ("--item", "sterling silver solid silver mug"),
        ("--item", "pure silver mug"),
        ("--item", "100% silver mug"),
        ("--item", "Irish mug"),
        ("--item", "Scottish silver mug"),
        ("--item", "eighteenth-century mug"),
        ("--item", "18th c. mug"),
        ("--item", "mug, C18th"),
        ("--item", "mug dated 1720"),
        ("--item", "Chester mug"),
        ("--item", "mug by Hester Bateman"),
        ("--item", "Hester Bateman mug"),
        ("--item", "mug by Somebody Unheard"),
        ("--size", "7 cm high, 1720"),
        ("--size", "Chester"),
        ("--condition", "good for 1720"),
        ("--condition", "solid silver throughout"),
        ("--condition", "London marks rubbed"),
    ] {
        let r = run(place, text, "--brief");
        assert_eq!(r.code, 1, "{place} {text}: {}", r.out);
        assert!(r.out.is_empty(), "{place} {text}: {}", r.out);
        let v: Value = serde_json::from_str(&run(place, text, "--json").out).expect("JSON");
        assert!(v["instead"].is_null(), "{v}");
    }
    for (place, text) in [
        ("--item", "English mug"),
        ("--item", "mug dated 1937"),
        ("--item", "mug engraved 1937"),
        ("--item", "mug, Victorian decoration"),
        ("--item", "18th-century-style mug"),
        ("--item", "Lord Chester's mug"),
        ("--item", "mug with the arms of the City of Chester"),
        ("--item", "mug engraved with Chester Cathedral"),
        ("--item", "mug with Scottish thistle finial"),
        ("--item", "mug presented by John Smith"),
        ("--item", "mug with gold plated interior"),
        ("--item", "mug, interior gold plated"),
        ("--condition", "Victorian decoration"),
        ("--condition", "repaired in 1890"),
    ] {
        let r = run(place, text, "--brief");
        assert_eq!(r.code, 0, "{place} {text}: {}", r.err);
        assert!(r.out.contains(text), "{text}: {}", r.out);
    }
    let irish = "harp crowned, Hibernia, date letter capital roman F";
    let line = brief(&[irish, "--item", "Irish mug"]);
    assert!(line.contains("Irish mug, Dublin"), "{line}");
    let v = json(&["say", MARKS, "--item", "Somebody Unheard mug"]);
    assert!(v["notes"].to_string().contains("Somebody Unheard"), "{v}");
}

/// The sponsor's mark is told as struck, and a maker only as one with whom it is consistent.
#[test]
fn a_sponsor_is_told_as_struck_and_never_named_for_sure() {
    let told = |marks: &str| {
        let v = json(&["say", marks, "--item", "spoon"]);
        let sponsor = v["sets"][0]["sponsor"].as_str().unwrap_or_default().to_string();
        let makers = v["sets"][0]["makers"].as_str().unwrap_or_default().to_string();
        (sponsor, makers, v["paragraph"].as_str().expect("words").to_string())
    };
    let london = "leopard's head crowned, lion passant, small roman h";
    for (typed, struck) in [
        ("maker's mark HB in script", "HB in script"),
        ("HB script", "HB script"),
        ("script HB", "script HB"),
        ("maker's mark HB only", "HB"),
    ] {
        let (sponsor, makers, paragraph) = told(&format!("{london}, {typed}"));
        assert_eq!(sponsor, struck, "{typed}");
        assert_eq!(makers, "consistent with Hester Bateman, among others");
        assert!(paragraph.contains(&format!("Sponsor's mark: {struck}, {makers}.")), "{paragraph}");
    }
    let (_, makers, paragraph) = told(&format!("{london}, QX"));
    assert!(makers.is_empty() && paragraph.contains("Sponsor's mark: QX."), "{paragraph}");
    // However many are consistent with letters of the register, three are named at most.
    let mut kinds: BTreeSet<&str> = BTreeSet::new();
    for (entry, _) in Tables::builtin().registers().iter() {
        let marks = format!("leopard's head, lion passant, maker's mark {}", entry.struck);
        let Some(w) = said_of(&marks) else { continue };
        let consistent = w.sets[0].reading.sponsors.iter();
        let consistent = consistent.filter(|m| m.maker.consistent()).map(|m| m.maker.who());
        let who: BTreeSet<String> = consistent.collect();
        let told = w.sets[0].makers.clone().unwrap_or_default();
        match who.len() {
            0 => assert!(told.is_empty(), "{told}"),
            1..=3 => {
                kinds.insert("named");
                assert!(told.starts_with("consistent with "), "{told}");
                assert!(told.ends_with(", among others"), "{told}");
                assert!(who.iter().all(|w| told.contains(w.as_str())), "{told}");
            }
            _ => {
                kinds.insert("several");
                assert_eq!(told, "several makers used these letters");
            }
        }
    }
    assert_eq!(kinds.len(), 2, "both kinds were met: {kinds:?}");
}

/// The words for one set of marks on a spoon.
fn said_of(marks: &str) -> Option<Wording> {
    said(&[marks], "spoon", |_| {})
}

/// The line reads as a person would write it: no article behind the metal, no word said twice, and
/// several pieces in the plural.
#[test]
fn a_line_reads_as_it_should() {
    let rest = "Birmingham 1803/04, sponsor's mark JT";
    let four = format!("4x {MARKS}");
    let six = format!("six {MARKS}");
    for (marks, item, head) in [
        (MARKS, "a mug", "Sterling silver mug"),
        (MARKS, "An inkstand", "Sterling silver inkstand"),
        (MARKS, "Sterling silver sterling silver mug", "Sterling silver mug"),
        (MARKS, "925 silver mug", "Sterling silver mug"),
        (MARKS, "six teaspoon", "Six sterling silver teaspoons"),
        (MARKS, "half a dozen forks", "Half a dozen sterling silver forks"),
        (MARKS, "2 handled cup", "Sterling silver 2 handled cup"),
        (MARKS, "four piece tea set", "Sterling silver four piece tea set"),
        (MARKS, "a pair of candlestick", "Pair of sterling silver candlesticks"),
        (MARKS, "wine label,pierced", "Sterling silver wine label, pierced"),
        (&four, "teaspoon", "Four sterling silver teaspoons"),
        (&four, "fish knife", "Four sterling silver fish knives"),
        (&four, "box with hinged lid", "Four sterling silver boxes with hinged lid"),
        (&six, "spoons", "Six sterling silver spoons"),
    ] {
        assert_eq!(brief(&[marks, "--item", item]), format!("{head}, {rest}"));
    }
}

/// Pieces are counted as a dealer writes them; a number that belongs to the name counts none.
#[test]
fn pieces_are_counted_as_a_dealer_writes_them() {
    let rest = "Birmingham 1803/04, sponsor's mark JT";
    for (item, pieces, head) in [
        ("two dozen spoons", 24, "Two dozen sterling silver spoons"),
        ("three dozen fork", 36, "Three dozen sterling silver forks"),
        ("half-dozen forks", 6, "Half-dozen sterling silver forks"),
        ("pr salts", 2, "Pair of sterling silver salts"),
        ("a pr of Geo III salts", 2, "Pair of sterling silver Geo III salts"),
        ("two pairs of salts", 4, "Two pairs of sterling silver salts"),
        ("6 x teaspoons", 6, "Six sterling silver teaspoons"),
        ("6x teaspoon", 6, "Six sterling silver teaspoons"),
        ("set of six teaspoons", 6, "Set of six sterling silver teaspoons"),
        (
            "cased set of 12 tea spoons & tongs",
            12,
            "Cased set of 12 sterling silver tea spoons & tongs",
        ),
        ("twenty-four spoons", 24, "Twenty-four sterling silver spoons"),
        ("part set of spoons", 1, "Sterling silver part set of spoons"),
        ("six-bottle cruet", 1, "Sterling silver six-bottle cruet"),
        ("two handled cups", 1, "Sterling silver two handled cups"),
    ] {
        assert_eq!(brief(&[MARKS, "--item", item]), format!("{head}, {rest}"));
        // So many bear the marks, and no other number does.
        let counted = format!("{pieces}x {MARKS}");
        let other = format!("{}x {MARKS}", pieces + 1);
        let r = puncheon(&["say", "--item", item, "--marks", &counted]);
        assert_eq!(r.code, 0, "{item}: {}", r.err);
        let r = puncheon(&["say", "--item", item, "--marks", &other]);
        assert_eq!(r.code, if pieces > 1 { 2 } else { 0 }, "{item}: {}", r.err);
    }
}

/// Whoever gave, owned or sold a piece did not make it, and what was done then dates no mark.
#[test]
fn givers_and_sellers_made_nothing() {
    for item in [
        "mug gifted by John Smith",
        "mug bequeathed by Mrs Jones",
        "mug awarded by the Royal Society",
        "mug retailed by Garrard",
        "tray presented by the mayor 1911",
        "mug presented to Mary Brown 1911",
        "mug gifted to Mary 1912",
    ] {
        let r = puncheon(&["say", MARKS, "--item", item, "--brief"]);
        assert_eq!(r.code, 0, "{item}: {}", r.err);
        assert!(r.out.contains(item), "{item}: {}", r.out);
    }
    for item in ["mug made by John Smith", "mug, gifted, by John Smith", "mug by Garrard"] {
        let r = puncheon(&["say", MARKS, "--item", item, "--brief"]);
        assert_eq!(r.code, 1, "{item}: {}", r.out);
    }
}

/// Each text is cut into its words once, whatever is asked of it.
#[cfg(debug_assertions)]
#[test]
fn a_text_is_cut_once() {
    let tables = Tables::builtin();
    let plate = "crown, EPNS";
    for marks in [&[MARKS][..], &[MARKS, LONDON], &[plate]] {
        for item in [
            "mug",
            "two dozen Georgian silver spoons by Hester Bateman, with plated tongs",
            "tray presented by the mayor of Chester 1911, dated 1803/04",
            "925 silver Irish mug, C18th, London 1803",
        ] {
            let mut asked = Asked::default();
            for m in marks {
                asked.sets.push(Set::read(tables, m).expect("a set"));
            }
            asked.item = item.into();
            asked.condition = Some("repaired about 1890".into());
            asked.size = Some("7 cm high".into());
            asked.title = Some(100);
            let before = puncheon::steps::cuts();
            let w = wording(tables, &asked, &Options::default());
            let cuts = puncheon::steps::cuts() - before;
            assert_eq!(cuts, marks.len() + 3, "{marks:?}, {item}: {}", w.is_ok());
        }
    }
}

/// A picture of several things has no article.
#[test]
fn a_picture_of_several_things_has_no_article() {
    let r = puncheon(&["read", "crossed arrows, anchor"]);
    assert!(r.out.contains("\"crossed arrows\" is crossed arrows"), "{}", r.out);
}

#[test]
fn what_is_stated_may_be_said_again() {
    for (item, line) in [
        ("silver mug", "Sterling silver mug, Birmingham 1803/04, sponsor's mark JT"),
        ("sterling silver mug", "Sterling silver mug, Birmingham 1803/04, sponsor's mark JT"),
        (
            "Georgian mug, silver gilt",
            "Sterling silver Georgian mug, silver gilt, Birmingham 1803/04, sponsor's mark JT",
        ),
        (
            "mug, the lid silver plated",
            "Sterling silver mug, the lid silver plated, Birmingham 1803/04, sponsor's mark JT",
        ),
        ("pair of mugs", "Pair of sterling silver mugs, Birmingham 1803/04, sponsor's mark JT"),
        ("2 mugs", "2 sterling silver mugs, Birmingham 1803/04, sponsor's mark JT"),
        // Words that join two dates make one statement of them.
        (
            "late C18th/early C19th mug",
            "Sterling silver late C18th/early C19th mug, Birmingham 1803/04, sponsor's mark JT",
        ),
        ("19c mug", "Sterling silver 19c mug, Birmingham 1803/04, sponsor's mark JT"),
    ] {
        assert_eq!(brief(&[MARKS, "--item", item]), line);
    }
}

#[test]
fn weights_are_read_exactly() {
    let line = |item: &str, weight: &str| brief(&[MARKS, "--item", item, "--weight", weight]);
    let head = "Birmingham 1803/04, sponsor's mark JT";
    assert_eq!(
        line("mug", "12 oz 5 dwt"),
        format!("Sterling silver mug, {head}, 381.02 g (12.25 oz t)")
    );
    assert_eq!(
        line("mug with glass liner", "178.5g"),
        format!("Sterling silver mug with glass liner, {head}, gross weight 178.5 g (5.739 oz t)")
    );
    let v = json(&["say", MARKS, "--item", "loaded candlestick", "--weight", "12 oz"]);
    assert_eq!(v["weight"]["ozt"]["low"], "12");
    assert!(v["beside"][0]["advice"].as_str().is_some_and(|a| a.contains("shell")), "{v}");
    assert!(v["notes"].to_string().contains("read as"), "{v}");
    for (weight, remedy) in [
        ("heavy", "\n  "),
        ("-5 g", "\n  "),
        ("1,785 g", "\n  "),
        ("0 g", "\n  "),
        ("5 g and a half", "\n  "),
    ] {
        let r = puncheon(&["say", MARKS, "--item", "mug", "--weight", weight]);
        assert_eq!(r.code, 2, "{weight}: {}", r.out);
        assert!(r.err.contains(remedy), "{weight}: {}", r.err);
    }
}

#[test]
fn titles_keep_what_tells_most() {
    let title = |length: &str| {
        brief(&[
            MARKS,
            "--item",
            "mustard pot with blue glass liner, of barrel form",
            "--weight",
            "178.5g",
            "--size",
            "7 cm high",
            "--condition",
            "light wear",
            "--title",
            length,
        ])
    };
    assert_snapshot!(
        ["20", "30", "50", "65", "80", "100", "120", "200"]
            .map(|n| format!("{n:>3}  {}", title(n)))
            .join("\n")
    );
}

#[test]
fn what_cannot_be_asked_is_refused_with_a_remedy() {
    for (args, remedy) in [
        (&["say", MARKS][..], "--item"),
        (&["say", MARKS, "--item", "  "], "name the piece"),
        (&["say", MARKS, "--item", &"mug ".repeat(300)], "1000 characters at most"),
        (&["say", MARKS, "--item", "mug", "--title", "5"], "at least 20"),
        (&["say", MARKS, "--item", "mug", "--title", "-5"], "--title"),
        (&["say", "--item", "mugs", "--marks", "0x anchor"], "such as 4x"),
        (&["say", "--item", "mugs", "--marks", "99999999999x anchor"], "such as 4x"),
        (
            &["say", "--item", "six mugs", "--marks", "4x anchor", "--marks", "anchor"],
            "the item says six, and the marks count five",
        ),
        (&["say", MARKS, "--item", "mug", "--office", "Camelot"], "the offices are"),
    ] {
        let r = puncheon(args);
        assert_eq!(r.code, 2, "{args:?}: {}", r.out);
        assert!(r.err.contains(remedy), "{args:?}: {}", r.err);
        assert!(r.out.is_empty(), "{args:?}: {}", r.out);
    }
}

#[test]
fn a_wording_in_json() {
    assert_snapshot!(
        puncheon(&["say", "crown, EPNS", "--item", "mug", "--weight", "20g", "--json"]).out
    );
    let v = json(&["say", MARKS, "--item", "mug", "--title", "40"]);
    assert_eq!(v["schema"], "puncheon.wording/1");
    assert_eq!(v["metal"], "silver");
    assert_eq!(v["standard"], "sterling silver");
    assert_eq!(v["sets"][0]["ascribed"], "Birmingham 1803/04");
    assert_eq!(v["sets"][0]["sponsor"], "JT");
    assert_eq!(v["sets"][0]["reading"]["schema"], "puncheon.reading/1");
    assert!(v["refused"].is_null() && v["instead"].is_null(), "{v}");
}

#[test]
fn an_addition_is_looked_at_twice() {
    let v = json(&["say", MARKS, "--item", "tankard", "--condition", "spout added about 1890"]);
    assert!(v["refused"].is_null(), "{v}");
    assert_eq!(v["warnings"][0]["rule"], "later-part", "{v}");
    let plain = json(&["say", MARKS, "--item", "tankard"]);
    assert_eq!(plain["warnings"].as_array().map(Vec::len), Some(0), "{plain}");
}

#[test]
fn the_law_of_later_dublin_work_is_told() {
    let law = |years: &str| {
        let marks = "harp crowned, Hibernia, date letter capital roman F";
        let v = json(&["say", marks, "--item", "beaker", "--between", years]);
        assert!(v["refused"].is_null(), "{v}");
        v["cautions"].to_string().contains("law-dublin")
    };
    assert!(law("1947"));
    // One reading of several is enough.
    assert!(law("1900..1950"));
    assert!(!law("1800..1830"));
    let v = json(&["say", MARKS, "--item", "beaker"]);
    assert!(!v["cautions"].to_string().contains("law-dublin"));
}

#[test]
fn lines_fit_a_narrow_screen() {
    for columns in [40, 60, 80] {
        let out = Command::new(PUNCHEON)
            .args(["say", MARKS, "--item", "mustard pot", "--size", "7 cm high"])
            .env_clear()
            .env("COLUMNS", columns.to_string())
            .stdin(Stdio::null())
            .output()
            .expect("the program starts");
        assert!(out.status.success(), "{columns}: {out:?}");
        let out = String::from_utf8(out.stdout).expect("output is UTF-8");
        assert!(out.lines().count() > 5, "{columns}: {out}");
        for line in out.lines() {
            assert!(line.chars().count() <= columns, "{columns}: {line}");
        }
    }
}

#[test]
fn a_catalogue_gets_the_wording_of_its_marks() {
    let csv = "id,marks\n1,\"anchor, lion passant, small roman f, king's head, maker's mark JT\"\n\
        2,\"anchor, lion passant, small roman f, king's head, maker's mark WB\"\n3,EPNS\n";
    let args = ["enrich", "-", "--marks", "marks", "--add", "wording,not_worded"];
    let r = run(PUNCHEON, &args, csv);
    assert_eq!(r.code, 0, "{}", r.err);
    assert_snapshot!(r.out);
    let r = run(PUNCHEON, &["enrich", "-", "--marks", "marks"], csv);
    assert!(!r.out.contains("worded"), "{}", r.out);
}

// ---- Cautions -----------------------------------------------------------------------------------

#[test]
fn cautions_for_what_is_done() {
    assert_snapshot!(screen(&["cautions", "clean"]));
    assert_snapshot!(screen(&["cautions", "sell", "--marks", MARKS]));
}

/// Before a value, what is weighed with a piece is to be minded: loading and blades among it.
#[test]
fn cautions_of_a_value_tell_what_is_not_metal() {
    let v = json(&["cautions", "worth"]);
    let ids: Vec<&str> =
        v["cautions"].as_array().expect("a list").iter().filter_map(|c| c["id"].as_str()).collect();
    for id in ["not-an-assay", "loaded", "steel", "gilt", "plate"] {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
}

#[test]
fn cautions_in_json() {
    let v = json(&["cautions", "test"]);
    assert_eq!(v["schema"], "puncheon.cautions/1");
    assert_eq!(v["asked"], "test");
    let all = v["cautions"].as_array().expect("a list");
    assert!(!all.is_empty());
    for c in all {
        for field in ["id", "about", "says", "basis", "confidence", "source"] {
            assert!(c[field].as_str().is_some_and(|s| !s.is_empty()), "{field}: {c}");
        }
    }
}

#[test]
fn cautions_are_asked_in_their_words() {
    for args in [&["cautions", "polish"][..], &["cautions", "--marks", "anchor"]] {
        let r = puncheon(args);
        assert_eq!(r.code, 2, "{args:?}: {}", r.out);
    }
}

#[test]
fn cautions_of_ones_own() {
    let dir = tempfile::tempdir().expect("a folder");
    for (file, text) in [
        (
            "house.ron",
            r#"Cautions([Caution(id: "house", about: "Our house", uses: [Sell], when: [Stated(["snuff box"])],
                says: "Ask the head of the silver room.", basis: Memory, confidence: High)])"#,
        ),
        ("gone.ron", r#"Retired(["law-notice"])"#),
    ] {
        std::fs::write(dir.path().join(file), text).expect("the file is written");
    }
    let tables = dir.path().to_str().expect("a path");
    let ids = |item: &str| -> Vec<String> {
        let v = json(&["say", MARKS, "--item", item, "--tables", tables]);
        let list = v["cautions"].as_array().expect("a list");
        list.iter().map(|c| c["id"].as_str().unwrap_or("").to_string()).collect()
    };
    assert_eq!(ids("Snuff-box"), ["not-an-assay", "who-judges", "house"]);
    assert_eq!(ids("mug"), ["not-an-assay", "who-judges"]);
    let told = puncheon(&["cautions", "sell", "--tables", tables]);
    assert!(told.out.contains("laid over the built-in ones"), "{}", told.out);
}

/// Each caution of the tables is told, under its heading once, and each use has some.
#[test]
fn every_caution_is_told() {
    let tables = Tables::builtin();
    let entries: Entries = tables.entries().expect("the built-in tables can be read");
    let told = cautions::all(tables);
    assert_eq!(told.len(), entries.cautions.len());
    let mut headings: Vec<&str> = told.iter().map(|c| c.about.as_str()).collect();
    headings.dedup();
    let once: BTreeSet<&str> = headings.iter().copied().collect();
    assert_eq!(once.len(), headings.len(), "a heading stands twice: {headings:?}");
    for wanted in USES {
        assert!(!cautions::of(tables, wanted).is_empty(), "{wanted:?}");
    }
    let shown = puncheon(&["cautions"]).out;
    let flat = |s: &str| s.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown = flat(&shown);
    for c in &told {
        assert!(shown.contains(&flat(&c.told())), "{} is not shown", c.id);
    }
}

/// Each condition that looks at what is stated is met by each of its phrases, and not without.
#[test]
fn what_is_stated_has_its_cautions() {
    let ids = |wanted: Use, stated: &str| -> BTreeSet<String> {
        let facts = Facts { stated, ..Facts::default() };
        let met = cautions::applying(Tables::builtin(), wanted, &facts);
        met.into_iter().map(|c| c.id).collect()
    };
    for (wanted, stated, id) in [
        (Use::Sell, "ivory insulators", "law-ivory"),
        (Use::Show, "engraved with a crest", "show-engraving"),
        (Use::Show, "and cover", "show-parts"),
    ] {
        assert!(ids(wanted, stated).contains(id), "{stated}");
        assert!(!ids(wanted, "plain").contains(id), "{stated}");
    }
}

// ---- Laws ---------------------------------------------------------------------------------------

fn full(row: RowView) -> String {
    let mut parts: Vec<String> = row
        .groups()
        .filter(|g| g.due)
        .filter_map(|g| g.marks().next())
        .map(|m| image().device(m.device()).name().to_string())
        .collect();
    let struck = row.letter().struck();
    if !struck.is_empty() {
        parts.push(format!("date letter {struck}"));
    }
    parts.join(", ")
}

/// Descriptions of rows, or parts of one, and what stands beside marks.
fn marks() -> impl Strategy<Value = String> {
    let row = || (0..image().meta(Meta::Rows)).prop_map(|r| full(image().row(r)));
    let odd = prop::sample::select(vec![
        "EPNS",
        "925",
        "STERLING",
        "lion passant",
        "gold plated",
        "18ct",
        "worn",
        "?",
        "maker's mark AB",
        "no duty mark",
        "Britannia",
        "let into the base",
        "sterling",
        "silver",
        "",
    ]);
    let part = (row(), any::<u8>()).prop_map(|(words, drop)| {
        let kept = words.split(", ").enumerate();
        let kept = kept.filter(|(i, _)| drop >> (i % 8) & 1 == 0);
        kept.map(|(_, w)| w).collect::<Vec<_>>().join(", ")
    });
    prop_oneof![
        4 => row(),
        2 => part.clone(),
        2 => (part, odd).prop_map(|(a, b)| format!("{a}, {b}")),
        1 => any::<String>(),
    ]
}

/// What may be stated, without the name of a metal.
fn item() -> impl Strategy<Value = String> {
    prop_oneof![
        prop::sample::select(vec![
            "mustard pot with blue glass liner",
            "teaspoons",
            "pair of candlesticks, loaded",
            "ring",
            "six forks",
            "Georgian wine label",
            "box and cover",
            "mug",
        ])
        .prop_map(str::to_string),
        "[a-z]{1,12}( [a-z]{1,12}){0,12}",
    ]
}

/// A word of the vocabulary or none, with what stands behind it.
fn word() -> impl Strategy<Value = String> {
    let known = (0..image().meanings()).prop_map(|m| image().meaning_said(m).to_string());
    let dealers = prop::sample::select(vec![
        "six",
        "two dozen",
        "a pair of",
        "mug",
        "spoons",
        "with",
        "and",
        "by",
        "Smith",
        "presented",
        "gifted",
        "of",
        "Chester",
        "1803",
        "1720",
        "dated",
        "silver",
        "gold",
        "18ct",
        "plated",
        "lid",
        "no",
        "solid silver",
        "Irish",
        "Victorian",
        "C18th",
        "engraved",
        "repaired in",
        "the",
        "Hester Bateman",
        "half",
        "x",
        "set of",
        "ivory",
        "EPNS",
        "925",
    ]);
    let word = prop_oneof![
        2 => known,
        4 => dealers.prop_map(str::to_string),
        1 => "[a-zA-Zé]{1,8}",
        1 => any::<String>(),
    ];
    let behind =
        prop::sample::select(vec![" ", ", ", "; ", " (", ") ", "-", " & ", ": ", "  ", "."]);
    (word, behind).prop_map(|(word, behind)| format!("{word}{behind}"))
}

/// The words that name a metal.
fn metals(text: &str) -> BTreeSet<&'static str> {
    let words: Vec<String> =
        text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect();
    METALS.iter().map(|m| export::metal(*m)).filter(|m| words.iter().any(|w| w == m)).collect()
}

proptest! {
    #![proptest_config(proptest_config(400))]

    #[test]
    fn a_title_is_never_too_long(m in marks(), i in item(), length in 20usize..200, c in "[a-z ]{0,40}") {
        if let Some(w) = said(&[&m], &i, |a| { a.title = Some(length); a.condition = Some(c) })
            && let Some(title) = &w.title
        {
            prop_assert!(title.chars().count() <= length, "{title}");
            prop_assert!(!title.is_empty());
        }
    }

    #[test]
    fn no_metal_is_named_that_the_marks_do_not_bear_out(m in marks(), n in marks(), i in item()) {
        for sets in [&[m.as_str()][..], &[&m, &n]] {
            let Some(w) = said(sets, &i, |a| a.title = Some(80)) else { continue };
            let fitting: BTreeSet<&str> =
                w.sets.iter().flat_map(|s| &s.reading.fits).map(|f| f.metal).collect();
            for text in [&w.line, &w.title].into_iter().flatten() {
                prop_assert!(w.refused.is_none());
                prop_assert!(metals(text).is_subset(&fitting), "{text}");
                prop_assert_eq!(metals(text).len(), 1, "{}", text);
            }
            prop_assert_eq!(w.line.is_some(), w.refused.is_none());
            if let Some(text) = &w.instead {
                prop_assert!(metals(text).is_empty(), "{text}");
            }
        }
    }

    #[test]
    fn an_item_is_covered_by_its_nodes(words in prop::collection::vec(word(), 0..14)) {
        let item: String = words.concat();
        let tree = puncheon::item_tree(Tables::builtin(), &item);
        covers(&item, &tree);
        // No word of an item is without a home.
        prop_assert_eq!(tree.refused(), None, "{}", item);
    }

    #[test]
    fn nothing_that_is_refused_is_worded(words in prop::collection::vec(word(), 1..10)) {
        let item: String = words.concat();
        let Some(w) = said(&[MARKS], &item, |a| a.title = Some(120)) else { return Ok(()) };
        prop_assert_eq!(w.line.is_some(), w.refused.is_none());
        prop_assert_eq!(w.paragraph.is_some(), w.refused.is_none());
        let Some(r) = &w.refused else { return Ok(()) };
        if r.because == puncheon::wording::Because::Marks {
            return Ok(());
        }
        // What is refused is quoted, and stands in what no other line says.
        let said = r.why.split('"').nth(1);
        prop_assert!(said.is_some(), "{}", r.why);
        let claim = r.because == puncheon::wording::Because::Claim;
        prop_assert!(!(claim && w.instead.is_some()), "{:?}", w.instead);
    }

    #[test]
    fn every_office_and_year_named_is_among_the_fits(m in marks(), i in "[a-z]{3,9}") {
        let Some(w) = said(&[&m], &i, |_| {}) else { return Ok(()) };
        let Some(line) = &w.line else { return Ok(()) };
        let fits = &w.sets[0].reading.fits;
        for o in 0..image().meta(Meta::Offices) {
            let office = image().office(o);
            if line.contains(office.name()) {
                prop_assert!(fits.iter().any(|f| f.office_name == office.name()), "{line}");
            }
        }
        let years = line.split(|c: char| !c.is_ascii_digit()).filter(|y| y.len() == 4);
        for year in years {
            prop_assert!(fits.iter().any(|f| f.shown.contains(year)), "{line}");
        }
        // One office and year without a doubt is the only one that fits.
        if let Some(only) = line.strip_suffix(&w.sets[0].ascribed)
            && !w.sets[0].ascribed.contains([','])
            && !w.sets[0].ascribed.contains("probably")
            && !w.sets[0].ascribed.contains(" or ")
            && !only.is_empty()
            && !w.sets[0].ascribed.is_empty()
        {
            let spoken = fits.iter().filter(|f| Some(f.metal) == w.metal);
            let least = spoken.clone().map(|f| f.strain).min();
            let shown: BTreeSet<&str> =
                spoken.filter(|f| Some(f.strain) == least).map(|f| f.shown.as_str()).collect();
            prop_assert_eq!(shown.len(), 1, "{}", line);
        }
    }

    #[test]
    fn any_text_is_taken(m in any::<String>(), i in any::<String>(), s in any::<String>(), n in any::<u16>()) {
        let w = said(&[&m, &format!("3x {m}")], &i, |a| {
            a.weight = Some(s.clone());
            a.size = Some(s.clone());
            a.condition = Some(s);
            a.title = Some(usize::from(n));
        });
        if let Some(w) = w {
            for text in [&w.line, &w.title, &w.paragraph, &w.instead].into_iter().flatten() {
                prop_assert!(!text.chars().any(char::is_control), "{text:?}");
            }
        }
    }

    #[test]
    fn a_line_keeps_the_order_of_the_trade(r in 0..image().meta(Meta::Rows)) {
        let m = format!("{}, maker's mark QX", full(image().row(r)));
        let w = said(&[&m], "beaker", |a| {
            a.size = Some("9 cm".into());
            a.weight = Some("201 g".into());
            a.condition = Some("dented".into());
        });
        let Some(line) = w.and_then(|w| w.line) else { return Ok(()) };
        let order = ["beaker", "sponsor's mark QX", "9 cm", "201 g", "dented"];
        let at: Vec<Option<usize>> = order.iter().map(|w| line.find(w)).collect();
        prop_assert!(at.iter().all(Option::is_some) && at.is_sorted(), "{line}");
    }
}
