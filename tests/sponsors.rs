//! The register of sponsors' marks: what `puncheon sponsors` prints, what `read`, `check` and `enrich`
//! say of makers, and the laws of listing them. The dated pieces here come from records that the
//! register does not rest on; their sources stand beside them.

use std::collections::BTreeSet;
use std::fs;

use insta::assert_snapshot;
use proptest::prelude::*;
use puncheon::Tables;
use puncheon::schema::sponsor::{capitals, letters};
use puncheon::sponsors::{Asked, Maker, sponsors};
use puncheon_tests::{Ran, proptest_config, run, run_with};
use serde_json::Value;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

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

fn asked(text: &str) -> Asked {
    Asked::read(Tables::builtin(), text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn ids(asked: &Asked) -> BTreeSet<String> {
    let found = sponsors(Tables::builtin(), asked).sponsors;
    found.into_iter().map(|m| m.id).collect()
}

// ---- Screens ------------------------------------------------------------------------------------

#[test]
fn letters_with_office_and_year_are_answered_in_words() {
    assert_snapshot!(
        "several",
        screen(&["sponsors", "W.S", "--office", "london", "--year", "1771"])
    );
    assert_snapshot!(
        "one",
        screen(&["sponsors", "pa", "--office", "London", "--year", "1730..1735"])
    );
    assert_snapshot!(
        "a_doubted_letter",
        screen(&["sponsors", "I? B", "--office", "birmingham", "--year", "1820"])
    );
    assert_snapshot!("either_letter", screen(&["sponsors", "H or M A", "--office", "newcastle"]));
    assert_snapshot!(
        "the_punch",
        screen(&["sponsors", "LC", "--office", "london", "--punch", "lozenge"])
    );
    assert_snapshot!(
        "an_office_and_a_year_alone",
        screen(&["sponsors", "--office", "St Andrews", "--year", "1680"])
    );
}

#[test]
fn narrow_terminals_get_narrow_lines() {
    for columns in ["40", "80"] {
        let args = ["sponsors", "IS", "--all"];
        let r = run_with(PUNCHEON, &args, "", &[("COLUMNS", columns)]);
        let width: usize = columns.parse().expect("a number");
        assert!(r.code == 0 && r.out.lines().count() > 10, "{}", r.screen());
        for line in r.out.lines() {
            assert!(line.chars().count() <= width, "{columns}: {line}");
        }
    }
}

#[test]
fn nothing_found_says_what_kind_of_nothing() {
    assert_snapshot!("nothing", screen(&["sponsors", "QX"]));
    assert_eq!(puncheon(&["sponsors", "QX"]).code, 1);
    assert_eq!(puncheon(&["sponsors", "QX", "--json"]).code, 1);
    for args in [
        &["sponsors"][..],
        &["sponsors", "1771"],
        &["sponsors", "HB", "banana"],
        &["sponsors", "HB", "London"],
        &["sponsors", "Paul Storr 1820"],
        &["sponsors", "HB, anchor, lion passant"],
        &["sponsors", "?"],
        &["sponsors", "HB", "--office", "atlantis"],
        &["sponsors", "HB", "--punch", "banana"],
        &["sponsors", "HB", "--year", "17x1"],
    ] {
        let r = puncheon(args);
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}");
        assert!(r.err.starts_with("puncheon: "), "{args:?}: {}", r.err);
    }
}

/// What is searched, and what the answer says was read.
fn taken(text: &str) -> (Vec<String>, String, String) {
    let v = json(&["sponsors", text]);
    let makers = v["sponsors"].as_array().expect("a list");
    let ids = makers.iter().map(|m| m["id"].as_str().expect("an id"));
    let word = |field: &str| v["asked"][field].as_str().unwrap_or_default().to_string();
    (ids.map(String::from).collect(), word("by"), word("read_as"))
}

#[test]
fn a_mark_described_in_words_is_searched_by_its_letters() {
    for (words, letters) in [
        ("HB script", "HB"),
        ("HB in script", "HB"),
        ("hb in an oval", "HB"),
        ("maker's mark HB", "HB"),
        ("crown over PS", "PS"),
        ("maker's mark PS, crown above", "PS"),
        ("maker's mark PB over AB", "PB/AB"),
        ("a crown above PS", "PS"),
        ("lozenge LC", "LC"),
    ] {
        let (ids, by, read_as) = taken(words);
        assert_eq!((by.as_str(), read_as.as_str()), ("letters", letters), "{words}");
        assert_eq!(ids, taken(letters).0, "{words} is {letters}");
        let said = puncheon(&["sponsors", words]).out;
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let told = format!("Of \"{words}\" the letters {letters} were searched");
        assert!(said.contains(&told), "{said}");
    }
    // What joins letters says nothing.
    for words in ["PB over AB", "pb over ab", "PB and AB"] {
        assert_eq!(taken(words).0, taken("PB/AB").0, "{words}");
    }
}

#[test]
fn a_name_is_searched_among_the_names() {
    for (typed, first, read_as) in [
        ("Paul Storr", "Paul Storr", ""),
        ("storr, paul", "Paul Storr", ""),
        ("P. Storr", "Paul Storr", ""),
        ("hester bateman", "Hester Bateman", ""),
        ("Hester Bateman's", "Hester Bateman", ""),
        ("Hester Batman", "Hester Bateman", "Hester Bateman"),
        ("Wm Kinman", "William Kinman", "W. Kinman"),
        ("ged", "William Ged", ""),
        ("PAUL STORR", "Paul Storr", ""),
        ("Thos Heming", "Thomas Heming", "T. Heming"),
        ("Paul Storr II", "Paul Storr", "Paul Storr"),
    ] {
        let v = json(&["sponsors", typed]);
        assert_eq!(v["sponsors"][0]["names"][0], first, "{typed}");
        let asked = &v["asked"];
        assert_eq!(asked["by"], "name", "{typed}");
        assert_eq!(asked["read_as"].as_str().unwrap_or(""), read_as, "{typed}");
        // Nobody else is listed.
        let surname = first.split(' ').next_back().expect("a surname");
        for m in v["sponsors"].as_array().expect("a list") {
            let names = format!("{} {}", m["names"], m["firm"]);
            assert!(names.contains(surname), "{typed}: {names}");
        }
        let said = puncheon(&["sponsors", typed]).out;
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("the names were searched"), "{typed}: {said}");
    }
    // A family is listed whole, and letters beside a name narrow it.
    let all = taken("Bateman").0;
    assert!(all.len() > 4, "{all:?}");
    let one = taken("WB Bateman").0;
    assert!(!one.is_empty() && one.len() < all.len(), "{one:?}");
    assert!(one.iter().all(|id| all.contains(id)), "{one:?}");
    assert_snapshot!("a_name", screen(&["sponsors", "hester", "batemann"]));
    assert_snapshot!(
        "a_name_and_a_year",
        screen(&["sponsors", "Bateman", "--office", "london", "--year", "1795"])
    );
    // What is known of a name that is not there is told.
    let part = puncheon(&["sponsors", "Barnard Brothers"]);
    assert_eq!(part.code, 1);
    assert!(part.out.contains("name Barnard."), "{}", part.out);
    // A name that is not there is answered in words, and is no letters.
    let none = puncheon(&["sponsors", "Quentin Xylander"]);
    assert_eq!(none.code, 1);
    assert!(none.out.contains("is of a maker called \"Quentin"), "{}", none.out);
}

/// A note and the sources stand with marks that are few, and with all on request.
#[test]
fn notes_and_sources_can_be_seen() {
    let few = puncheon(&["sponsors", "HB"]).out;
    assert!(few.contains("Bunhill Row"), "{few}");
    assert!(few.contains("Sources: jacksons-bateman"), "{few}");
    let many = puncheon(&["sponsors", "W.S"]).out;
    assert!(!many.contains("Source: "), "{many}");
    assert!(many.to_lowercase().contains("notes and sources"), "{many}");
    let v = json(&["sponsors", "W.S"]);
    let said = puncheon(&["sponsors", "W.S", "--all"]).out;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for m in v["sponsors"].as_array().expect("a list") {
        let sources = m["sources"].as_array().expect("a list");
        for told in sources.iter().chain([&m["note"]]).filter_map(Value::as_str) {
            let told = told.trim_end_matches('.');
            let found = said.to_lowercase().contains(&told.to_lowercase());
            assert!(found, "{}: {told} in {said}", m["id"]);
        }
    }
}

#[test]
fn json_has_the_published_shape() {
    let v = json(&["sponsors", "CAM/ERON", "--office", "dundee", "--year", "1829"]);
    assert_eq!(v["schema"], "puncheon.sponsors/1");
    assert_snapshot!("json", serde_json::to_string_pretty(&v).expect("JSON"));
    for field in [
        "struck",
        "names",
        "firm",
        "offices",
        "from",
        "to",
        "about",
        "agrees",
        "clashes",
        "strains",
        "basis",
        "confidence",
        "sources",
    ] {
        assert!(v["sponsors"][0].get(field).is_some(), "{field}");
    }
}

#[test]
fn the_export_is_one_line_for_each_mark_and_can_be_read_back() {
    let r = puncheon(&["sponsors", "export"]);
    let lines: Vec<&str> = r.out.lines().collect();
    assert_eq!(lines.len(), Tables::builtin().registers().len() + 1);
    assert!(lines.iter().all(|l| l.matches('\t').count() == 23));
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("all.tsv");
    fs::write(&file, &r.out).expect("written");
    let file = file.to_str().expect("a path");
    let again = puncheon(&["sponsors", "export", "--register", file]);
    assert_eq!(again.err, "");
    assert_eq!(again.out, r.out, "a register laid over itself is itself");
}

// ---- A register of one's own --------------------------------------------------------------------

const OWN: &str = "struck,names,offices,from,to,note\n\
    QX,Quentin Xavier,London,1790,1799,seen on a spoon in my shop\n\
    WS,Walter Small,london,1770,1775,\n";

#[test]
fn a_register_of_ones_own_lies_over_the_built_in_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let csv = folder.path().join("mine.csv");
    fs::write(&csv, OWN).expect("written");
    let csv = csv.to_str().expect("a path");
    let found = puncheon(&["sponsors", "Q.X", "--register", csv]);
    assert_eq!(found.code, 0);
    assert!(found.out.contains("Quentin Xavier"), "{}", found.out);
    assert!(found.out.contains("mine.csv"), "the answer says so: {}", found.out);
    let ws = run_with(
        PUNCHEON,
        &["sponsors", "W.S", "--office", "london", "--year", "1771", "--json"],
        "",
        &[("PUNCHEON_REGISTER", csv)],
    );
    let v: Value = serde_json::from_str(&ws.out).expect("JSON");
    assert_eq!(v["sponsors"][0]["names"][0], "Walter Small");
    assert_eq!(v["sponsors"][0]["own"], true);
    assert_eq!(v["sponsors"][1]["own"], false);
    // An entry of an id that is known takes its place.
    let ron = folder.path().join("mine.ron");
    fs::write(
        &ron,
        r#"Sponsors([(id: "london-hb-1761", struck: "HB", names: ["Hugo Brown"], basis: Memory, confidence: Low)])"#,
    )
    .expect("written");
    let v = puncheon(&["sponsors", "HB", "--json", "--register", ron.to_str().expect("a path")]);
    assert!(v.out.contains("Hugo Brown") && !v.out.contains("Hester"), "{}", v.out);
    // A folder of tables may hold marks as well, and take some away.
    let retired = folder.path().join("tables");
    fs::create_dir(&retired).expect("a folder");
    fs::write(retired.join("gone.ron"), r#"Retired(["london-hb-1761"])"#).expect("written");
    fs::copy(&ron, retired.join("mine.ron")).expect("copied");
    let tables = retired.to_str().expect("a path");
    let v = puncheon(&["sponsors", "HB", "--json", "--tables", tables]);
    assert!(v.out.contains("Hugo Brown"), "{} {}", v.out, v.err);
}

/// A register that somebody sent shows no more than its letters.
#[test]
fn a_register_of_ones_own_does_not_steer_the_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    for (file, text) in [
        ("mine.csv", "struck,names,note\nQX,Q\u{1b}[2JX,\u{1b}]0;x\u{7}\n"),
        (
            "mine.ron",
            r#"Sponsors([(id: "q", struck: "QX", names: ["Q\u{1b}[2JX"], basis: Memory, confidence: Low)])"#,
        ),
        ("faulty.csv", "struck,names,from\nQX,Q\u{1b}X,\u{1b}[2J18\n"),
    ] {
        let path = folder.path().join(file);
        fs::write(&path, text).expect("written");
        let path = path.to_str().expect("a path");
        for args in [
            &["sponsors", "QX", "--register", path][..],
            &["sponsors", "export", "--register", path],
            &["read", "anchor, maker's mark QX", "--register", path],
        ] {
            let r = puncheon(args);
            assert!(!r.out.contains('\u{1b}') && !r.err.contains('\u{1b}'), "{args:?}");
        }
    }
}

#[test]
fn every_bad_line_of_ones_own_register_is_told_with_its_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let csv = folder.path().join("mine.csv");
    fs::write(
        &csv,
        "struck,from,to,offices\nAB,18O1,,london\nCD,1801,1790,london\nEF,1801\nGH,1801,,atlantis\n",
    )
    .expect("written");
    let r = puncheon(&["sponsors", "AB", "--register", csv.to_str().expect("a path")]);
    assert_eq!((r.code, r.out.as_str()), (2, ""));
    for (line, what) in [(2, "18O1"), (3, "turn them round"), (4, "2 fields"), (5, "atlantis")] {
        let place = format!("mine.csv:{line}:1: ");
        let told = r.err.lines().any(|l| l.contains(&place) && l.contains(what));
        assert!(told, "{place}{what} in {}", r.err);
    }
    let none = puncheon(&["sponsors", "AB", "--register", "no-such-file.csv"]);
    assert_eq!(none.code, 2);
}

// ---- Readings, claims and catalogues ------------------------------------------------------------

const PIECE: &str = "W.S, leopard's head crowned, lion passant, black letter capital Q";

#[test]
fn readings_and_claims_name_makers_and_say_that_others_fit() {
    assert_snapshot!("read", screen(&["read", PIECE]));
    assert_snapshot!("check", screen(&["check", PIECE, "--claim", "London 1771"]));
    let v = json(&["read", PIECE]);
    let makers = v["sponsors"].as_array().expect("a list");
    assert!(makers.len() > 3, "all are listed in JSON: {}", makers.len());
    assert!(makers.iter().all(|m| m["sighting"] == 0));
    let all = puncheon(&["read", PIECE, "--all"]).out;
    for m in makers {
        let name = m["names"][0].as_str().expect("a name");
        let said = all.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(name), "--all names {name}");
    }
}

/// The maker's letters never take a year away, nor add one.
#[test]
fn makers_never_change_a_reading() {
    let fits = |d: &str| {
        let v = json(&["read", d]);
        let fits = v["fits"].as_array().expect("a list").clone();
        let years: Vec<(String, i64)> = fits
            .iter()
            .map(|f| (f["office"].to_string(), f["from"].as_i64().unwrap_or(0)))
            .collect();
        years
    };
    let bare = "leopard's head crowned, lion passant, black letter capital Q";
    for maker in ["W.S", "maker's mark CAM/ERON", "maker's mark QX", "J. P"] {
        assert_eq!(fits(&format!("{maker}, {bare}")), fits(bare), "{maker}");
    }
}

/// Letters beside marks of plate, or of another country, are no mark entered at an office.
#[test]
fn no_maker_is_named_beside_plate() {
    for (marks, mark) in [
        ("EPNS, maker's mark HB", true),
        ("W.S, EP, A1", true),
        ("nickel silver, maker's mark JD&S", true),
        ("A1, maker's mark HB", true),
        ("830S, maker's mark HB", true),
        ("kokoshnik, maker's mark HB", true),
        ("maker's mark HB", false),
        ("crown, lion passant, maker's mark JD&S", false),
    ] {
        let v = json(&["read", marks]);
        let makers = v["sponsors"].as_array().expect("a list");
        let said = v["cautions"].to_string();
        assert_eq!(makers.is_empty(), mark, "{marks}: {makers:?}");
        assert_eq!(said.contains("The register of makers is not asked"), mark, "{marks}");
    }
}

/// Where nothing fits the other marks, no office and no year speaks for a maker.
#[test]
fn a_maker_is_not_consistent_with_what_fits_nothing() {
    let marks = "anchor, harp crowned, thistle, castle, maker's mark HB";
    let v = json(&["read", marks]);
    assert_eq!(v["outcome"], "none");
    assert_eq!(v["sponsors"][0]["agrees"], serde_json::json!(["struck HB"]));
    let out = puncheon(&["read", marks]).out;
    let said = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("Nothing fits the other marks"), "{said}");
    assert!(!said.contains("is consistent with"), "{said}");
    // A town without yearly letters is a place like any other.
    let v = json(&["read", "lamb and flag, maker's mark WR"]);
    let first = &v["sponsors"][0];
    assert_eq!(first["offices"], serde_json::json!(["perth"]));
    assert!(first["agrees"].to_string().contains("Perth"), "{first}");
    let others = v["sponsors"].as_array().expect("a list");
    assert!(others[1..].iter().all(|m| m["clashes"] != serde_json::json!([])));
}

/// Capitals alone, and a small word in capitals by itself, are somebody's letters.
#[test]
fn letters_alone_are_a_makers() {
    for (marks, letters) in [
        ("HB", Some("HB")),
        ("JDS", Some("JDS")),
        ("PB AB", Some("PB AB")),
        ("WE", Some("WE")),
        ("anchor, lion passant, WE", Some("WE")),
        ("WE, anchor, lion passant, k", Some("WE")),
        ("anchor, IT, lion passant", Some("IT")),
        ("WE/WF/WC, leopard's head", Some("WE/WF/WC")),
        ("leopard's head, WF/WE, lion", Some("WF/WE")),
        ("it IS AN anchor", None),
        ("EP", None),
        ("we see an anchor, it is worn", None),
        ("K", None),
        ("anchor, as far as WE can see", None),
        ("ANCHOR, LION PASSANT, WE", None),
    ] {
        let v = json(&["read", marks]);
        let seen = v["sightings"].as_array().expect("a list");
        let found = seen.iter().find(|s| s["kind"] == "sponsor");
        assert_eq!(found.map(|s| s["text"].as_str().expect("text")), letters, "{marks}");
    }
}

#[test]
fn a_catalogue_gets_the_makers_that_fit() {
    let csv = format!(
        "id,marks\n1,\"{PIECE}\"\n2,\"maker's mark QX, {}\"\n3,\"lion passant\"\n4,\"S.W, {}\"\n",
        &PIECE[5..],
        &PIECE[5..]
    );
    let r = run(PUNCHEON, &["enrich", "-", "--marks", "marks", "--add", "sponsors"], &csv);
    let lines: Vec<&str> = r.out.lines().collect();
    assert!(lines[0].ends_with(",sponsors"));
    assert!(lines[1].contains("William Skeen"), "{}", lines[1]);
    assert!(lines[2].ends_with(','), "{}", lines[2]);
    assert!(lines[3].ends_with(','), "{}", lines[3]);
    // The same letters the other way round, and marks that are otherwise the same.
    assert!(lines[4].contains("Samuel Wood") && lines[4].contains("William Skeen"), "{}", lines[4]);
}

/// A dated piece whose record states the maker and the letters.
struct Piece {
    /// The letters as the record prints them.
    letters: &'static str,
    /// Office and first calendar year stated, 0 where the record prints none.
    office: &'static str,
    year: i32,
    /// The marks in our words; a date letter only where the record prints it.
    marks: &'static str,
    stated: &'static [&'static str],
    source: &'static str,
    /// The register does not rest on this record.
    independent: bool,
}

const fn piece(
    (letters, office, year): (&'static str, &'static str, i32),
    marks: &'static str,
    stated: &'static [&'static str],
    source: &'static str,
    independent: bool,
) -> Piece {
    Piece { letters, office, year, marks, stated, source, independent }
}

/// Transcribed apart from the register. Those that it lacked it now has from the record itself: they
/// prove no more than that an entry is found.
const PIECES: &[Piece] = &[
    // The record prints Pa.
    piece(
        ("PA", "london", 1702),
        "maker's mark PA with pellet below and covered cup above, Britannia, lion's head erased, court-hand capital G",
        &["Humphrey Payne"],
        "Canon Scott Robertson, Church Plate in Kent, Archaeologia Cantiana, paten of Acrise, 1702-3",
        true,
    ),
    piece(
        ("IR/IW", "newcastle", 1815),
        "3 castles, lion, monarch's head, maker's mark IR/IW, capital A",
        &["John Robertson II", "John Walton"],
        "an owner's note to a photograph of a serving spoon, Newcastle 1815, by John Robertson II and John Walton",
        true,
    ),
    piece(
        ("CH", "chester", 1897),
        "maker's mark CH, lion, three wheatsheaves and a sword, capital roman O",
        &["Charles Horner"],
        "a thimble collector's note on a thimble by Charles Horner, Chester 1897",
        true,
    ),
    piece(
        ("Ly & Co", "london", 1894),
        "maker's mark Ly & Co, leopard's head, lion passant, small roman t",
        &["Liberty & Co."],
        "The Peartree Collection, salts sold by Liberty, one of 1894, London",
        true,
    ),
    piece(
        ("HB", "london", 1780),
        "maker's mark HB in a shaped cartouche, lion passant, leopard's head crowned, e",
        &["Hester Bateman"],
        "Telfair Museums, 2012.15.28.1, teapot of 1780",
        true,
    ),
    piece(
        ("HB", "london", 1779),
        "lion passant, leopard's head, date letter, maker's mark HB",
        &["Hester Bateman"],
        "Harvard Art Museums, 1940.81, teapot of 1779-1780",
        true,
    ),
    piece(
        ("HB", "london", 1789),
        "lion passant, monarch's head, date letter o, maker's mark HB in script in a rectangle",
        &["Hester Bateman"],
        "Colonial Williamsburg, 1998-92, caddy spoon of 1789-1790",
        true,
    ),
    piece(
        ("HB", "london", 0),
        "maker's mark HB, lion passant, leopard's head crowned, date letter k, sovereign's head",
        &["Hester Bateman"],
        "Museum of Fine Arts, Boston, collections object 53133, tea canister given in 1933",
        true,
    ),
    piece(
        ("PB/AB/WB", "london", 1800),
        "maker's mark PB/AB/WB, lion passant, leopard's head crowned, sovereign's head, date letter E",
        &["Peter Bateman", "Ann Bateman", "William Bateman"],
        "Museum of Fine Arts, Boston, 1985.64, cream jug of 1800-01",
        true,
    ),
    piece(
        ("WG", "london", 0),
        "maker's mark WG, date letter M, leopard's head crowned, lion passant",
        &["William Grundy"],
        "Museum of Fine Arts, Boston, collections object 53099, coffeepot given in 1930",
        true,
    ),
    piece(
        ("RA", "london", 1736),
        "maker's mark RA with a crown above, leopard's head crowned, lion passant, date letter",
        &["Robert Abercromby"],
        "Colonial Williamsburg, 1954-329, salver of 1736-1737",
        true,
    ),
    piece(
        ("PC", "london", 1738),
        "maker's mark PC with a shell above and a mullet below, leopard's head crowned, lion passant, date letter",
        &["Paul Crespin"],
        "Colonial Williamsburg, 1954-542, salver of 1738-1739",
        true,
    ),
    piece(
        ("FW", "london", 1749),
        "leopard's head crowned, small roman o, maker's mark FW, lion passant",
        &["Fuller White"],
        "Chrysler Museum of Art, 78.119.1, sauce boat of 1749-1750",
        true,
    ),
    piece(
        ("WP", "london", 1754),
        "maker's mark WP within a heart, leopard's head crowned, lion passant, small letter t",
        &["William Peaston"],
        "Colonial Williamsburg, 1945-16,2, salver of 1754-1755",
        true,
    ),
    piece(
        ("PA/PM", "london", 1755),
        "lion passant, date letter U, leopard's head crowned, maker's mark PA and PM in a quatrefoil",
        &["Peter Archambo II", "Peter Meure"],
        "Colonial Williamsburg, 1954-321,5, plate of 1755-1756",
        true,
    ),
    piece(
        ("I·P/E·W", "london", 1765),
        "maker's mark I·P/E·W under a fleur-de-lis, lion passant, leopard's head crowned, Gothic K",
        &["John Parker I", "Edward Wakelin"],
        "Colonial Williamsburg, 2004-65, tea caddy of 1765-1766",
        true,
    ),
    piece(
        ("W.K", "london", 1774),
        "maker's mark W.K, London town mark, date letter T",
        &["William Kinman"],
        "Royal Armouries, object 64, hanger of 1774-75",
        true,
    ),
    // The record gives no more of the name; the register knows a second of it from 1776.
    piece(
        ("I.C", "london", 1773),
        "lion passant, leopard's head crowned, S, maker's mark I.C",
        &["John Carter"],
        "John Jay Homestead, JJ.1968.228, salver of 1773-1774",
        true,
    ),
    piece(
        ("GS", "london", 1810),
        "maker's mark GS in a rectangle, lion passant, leopard's head crowned, P in a shield, George III's head",
        &["George Smith IV"],
        "Telfair Museums, 2012.15.118, caster of 1810",
        true,
    ),
    piece(
        ("IM", "edinburgh", 1740),
        "maker's mark IM, castle, assay master's mark GED, script L",
        &["John Main"],
        "National Museums Scotland, A.1948.3, teapot of 1740-1741",
        true,
    ),
    // The record calls the candlestick fused plate, and lists the marks of silver.
    piece(
        ("MB", "birmingham", 1802),
        "maker's mark MB in a rectangle, date letter e, anchor, lion passant, sovereign's head",
        &["Matthew Boulton"],
        "Historic Deerfield, HD P.380.2, candlestick of 1802",
        true,
    ),
    piece(
        ("GG", "london", 1681),
        "maker's mark GG over a pellet, leopard's head crowned, d, lion passant",
        &["George Garthorne"],
        "Victoria and Albert Museum, object O78577, coffee pot of 1681-82",
        false,
    ),
    piece(
        ("WF", "london", 1683),
        "leopard's head crowned, small black letter f, lion passant guardant, maker's mark WF with a bowknot above and a cinquefoil below",
        &["William Fowle"],
        "Metropolitan Museum of Art, collections record 120018415, salvers of 1683-84",
        false,
    ),
    piece(
        ("Pa", "london", 1715),
        "Britannia, lion's head erased, date letter, maker's mark PA",
        &["Thomas Parr I"],
        "Harvard Art Museums, 1966.51.48, tankard of 1715-1716",
        false,
    ),
    piece(
        ("SM", "london", 1726),
        "lion passant, leopard's head, date letter, maker's mark SM with a crown above and a fleur-de-lis below",
        &["Samuel Margas"],
        "Harvard Art Museums, 1949.114.56, tray of 1726-1727",
        false,
    ),
    piece(
        ("T.R", "london", 1742),
        "maker's mark T.R in script in a rectangle, leopard's head crowned, lion passant, date letter",
        &["Thomas Rush"],
        "Colonial Williamsburg, 1954-514, salver of 1742-1743",
        false,
    ),
    piece(
        ("EW", "london", 1746),
        "lion passant guardant, leopard's head crowned, l, maker's mark EW with a crown above and a crescent below",
        &["Edward Wood"],
        "R. Massart, Association of Small Collectors of Antique Silver, members' window 46, salt cellar of 1746",
        false,
    ),
    piece(
        ("JW", "london", 1752),
        "maker's mark JW in script, leopard's head crowned, lion passant, date letter",
        &["John White"],
        "Colonial Williamsburg, 1945-2, mug of 1752-1753",
        false,
    ),
    piece(
        ("IS", "london", 1753),
        "leopard's head crowned, lion passant, long s, maker's mark IS in black letter in an oval",
        &["John Swift"],
        "Colonial Williamsburg, 1963-115,2, salver of 1753-1754",
        false,
    ),
    piece(
        ("WG", "london", 1760),
        "maker's mark WG in script, leopard's head crowned, lion passant, date letter",
        &["William Grundy"],
        "Colonial Williamsburg, 1967-165,1, sauceboat of 1760-1761",
        false,
    ),
    piece(
        ("JCE", "london", 1831),
        "maker's mark JCE in a rectangle, leopard's head, duty mark, date letter q, lion passant",
        &["James Charles Edington"],
        "Victoria and Albert Museum, 812-1890, tea caddy of 1831-32",
        false,
    ),
    piece(
        ("WR", "edinburgh", 1791),
        "maker's mark WR, castle, date letter",
        &["William Robertson"],
        "National Museums Scotland, H.MEQ 668, teapot of 1791-1792",
        false,
    ),
    piece(
        ("RS/WS", "glasgow", 1892),
        "maker's mark RS/WS, tree, bell, fish and bird, lion rampant, V",
        &["R. & W. Sorley"],
        "National Museums Scotland, H.MEQ 1607 C, sugar bowl of 1892",
        false,
    ),
];

/// Pieces whose records the register does not rest on.
const INDEPENDENT: usize = 21;

/// A name without what tells namesakes apart.
fn plain(name: &str) -> &str {
    name.trim_end_matches(['I', 'V']).trim_end()
}

/// Is a maker the one that a record states?
fn is_stated(m: &Value, stated: &[&str]) -> bool {
    let names: Vec<&str> = m["names"]
        .as_array()
        .into_iter()
        .flatten()
        .chain([&m["firm"]])
        .filter_map(Value::as_str)
        .collect();
    let known = |name: &&str| names.iter().any(|n| plain(n) == plain(name));
    stated.iter().all(known)
}

fn clashes(m: &Value) -> bool {
    m["clashes"].as_array().is_some_and(|c| !c.is_empty())
}

#[test]
fn the_stated_maker_is_listed_for_letters_office_and_year() {
    for p in PIECES {
        let year = p.year.to_string();
        let mut args = vec!["sponsors", p.letters, "--office", p.office];
        if p.year > 0 {
            args.extend(["--year", &year]);
        }
        let v = json(&args);
        let makers = v["sponsors"].as_array().expect("a list");
        let stated = makers.iter().position(|m| is_stated(m, p.stated));
        let Some(stated) = stated else {
            panic!("{:?} is not listed for {} ({})", p.stated, p.letters, p.source)
        };
        let m = &makers[stated];
        assert!(!clashes(m), "{:?}: {m} ({})", p.stated, p.source);
        // Never asserted alone when others fit.
        let others = makers.iter().filter(|m| !clashes(m)).count();
        let said = puncheon(&args).out;
        let first = said.split("\n\n").next().unwrap_or_default();
        let first = first.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(first.contains("consistent with"), "{first}");
        let alone = first.contains("no other in the register");
        let who = |m: &Value| format!("{}{}", m["names"], m["firm"]);
        let one = makers.iter().filter(|m| !clashes(m)).map(who).collect::<BTreeSet<_>>();
        assert_eq!(alone, one.len() == 1, "{others} fit: {first}");
    }
    let independent = PIECES.iter().filter(|p| p.independent).count();
    assert_eq!(independent, INDEPENDENT, "pieces went missing");
}

#[test]
fn the_stated_maker_is_listed_and_never_alone_where_others_fit() {
    for p in PIECES {
        let v = json(&["read", p.marks]);
        let makers = v["sponsors"].as_array().expect("a list");
        let Some(m) = makers.iter().find(|m| is_stated(m, p.stated)) else {
            panic!("{:?} is not listed for {} ({})", p.stated, p.marks, p.source)
        };
        assert!(!clashes(m), "{:?}: {m} ({})", p.stated, p.source);
        let out = puncheon(&["read", p.marks]).out;
        let said = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("consistent with"), "{said}");
        let name =
            |m: &Value| m["names"][0].as_str().or(m["firm"].as_str()).unwrap_or("").to_string();
        let others = makers.iter().filter(|m| !clashes(m) && !is_stated(m, p.stated));
        for other in others.take(2) {
            let told = said.contains("more") || said.contains(&name(other));
            assert!(told, "{} beside {:?} in {said}", name(other), p.stated);
        }
    }
}

/// A museum's medallion, Birmingham 1923, HB&S for H. Bushell & Son (Market Lavington Museum): the
/// register does not know the firm, and must not name another for it.
#[test]
fn a_maker_that_the_register_lacks_is_no_one_else() {
    let v = json(&["read", "anchor, lion, letter X, maker's mark HB&S"]);
    assert_eq!(v["sponsors"], Value::Array(Vec::new()));
}

/// The page says how much of the register rests on memory.
#[test]
fn the_figures_of_the_page_on_accuracy_are_counted() {
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/scope-and-accuracy.md");
    let page = fs::read_to_string(page).expect("the page");
    let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let registers = Tables::builtin().registers();
    let count = |of: &dyn Fn(&puncheon::schema::register::Entry) -> bool| {
        registers.iter().filter(|(e, _)| of(e)).count()
    };
    let memory = puncheon::schema::entry::Basis::Memory;
    for said in [
        format!("Of {} marks", registers.len()),
        format!(
            "{} rest on memory alone",
            count(&|e| e.basis == memory && e.letters_basis == memory)
        ),
        format!("the letters as struck of {} do", count(&|e| e.letters_basis == memory)),
        format!("punch is known for {}.", count(&|e| !e.punch.is_empty())),
    ] {
        assert!(words.contains(&said), "the page should say: {said}");
    }
}

// ---- Laws ---------------------------------------------------------------------------------------

/// Does a mark hold every letter typed, and does what was typed hold every capital of the mark?
fn holds(m: &Maker, typed: &str) -> bool {
    let within = |small: &[u8], big: &[u8]| {
        let count = |v: &[u8], c: u8| v.iter().filter(|x| **x == c).count();
        small.iter().all(|c| count(small, *c) <= count(big, *c))
    };
    let struck = m.struck.as_deref().unwrap_or("");
    let typed = letters(typed);
    within(&typed, &letters(struck)) && within(&capitals(struck), &typed)
}

/// A mark of the register.
fn mark(i: usize) -> String {
    let all: Vec<String> = Tables::builtin()
        .registers()
        .iter()
        .filter(|(e, _)| !e.struck.is_empty())
        .map(|(e, _)| e.struck.to_string())
        .collect();
    all[i % all.len()].clone()
}

/// The capitals of a mark in another order and with other signs between them.
fn shuffled(struck: &str, seed: u64) -> String {
    let mut capitals: Vec<char> = struck.chars().filter(|c| c.is_uppercase()).collect();
    let mut seed = seed;
    let mut next = |n: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 33) as usize % n
    };
    for i in (1..capitals.len()).rev() {
        capitals.swap(i, next(i + 1));
    }
    let mut out = String::new();
    for (i, c) in capitals.iter().enumerate() {
        if i > 0 {
            out.push_str(["", ".", "/", " ", "·", " & "][next(6)]);
        }
        out.push(match (c, next(2)) {
            ('J', 0) => 'I',
            ('I', 0) => 'J',
            ('U', 0) => 'V',
            ('V', 0) => 'U',
            (c, _) => *c,
        });
    }
    out
}

proptest! {
    #![proptest_config(proptest_config(400))]

    #[test]
    fn a_maker_listed_fits_every_initial_seen(i in any::<usize>(), seed in any::<u64>()) {
        let typed = shuffled(&mark(i), seed);
        let found = sponsors(Tables::builtin(), &asked(&typed)).sponsors;
        prop_assert!(!found.is_empty(), "{typed} finds its own mark");
        for m in &found {
            prop_assert!(holds(m, &typed), "{typed}: {:?}", m.struck);
        }
        // And every mark that fits is listed, by a plain search of all.
        let all = sponsors(Tables::builtin(), &Asked::default()).sponsors;
        let plain: BTreeSet<String> =
            all.into_iter().filter(|m| m.struck.is_some() && holds(m, &typed)).map(|m| m.id).collect();
        let listed: BTreeSet<String> = found.into_iter().map(|m| m.id).collect();
        prop_assert_eq!(listed, plain, "{}", typed);
    }

    #[test]
    fn order_and_dots_do_not_matter(i in any::<usize>(), a in any::<u64>(), b in any::<u64>()) {
        let struck = mark(i);
        let (a, b) = (shuffled(&struck, a), shuffled(&struck, b));
        prop_assert_eq!(ids(&asked(&a)), ids(&asked(&b)), "{} and {}", a, b);
    }

    #[test]
    fn doubt_never_takes_a_maker_away(i in any::<usize>(), at in any::<usize>()) {
        let capitals: Vec<char> = mark(i).chars().filter(|c| c.is_uppercase()).collect();
        prop_assume!(capitals.len() > 1);
        let at = at % capitals.len();
        let sure: String = capitals.iter().collect();
        let with = |what: &dyn Fn(char) -> String| -> String {
            let each = capitals.iter().enumerate();
            each.map(|(i, c)| if i == at { what(*c) } else { c.to_string() })
                .collect::<Vec<_>>()
                .join(" ")
        };
        let listed = ids(&asked(&sure));
        for doubted in [with(&|c| format!("{c}?")), with(&|_| "?".into()), with(&|c| format!("{c} or Q"))] {
            let more = ids(&asked(&doubted));
            prop_assert!(listed.is_subset(&more), "{} beside {}", sure, doubted);
        }
    }

    #[test]
    fn office_year_and_punch_never_take_a_maker_away(
        i in any::<usize>(), year in 1500..2030i32, office in 0..4usize,
    ) {
        let plain = asked(&mark(i));
        let mut bound = plain.clone();
        let place = ["london", "birmingham", "cork", "edinburgh"][office];
        bound.offices = vec![Tables::builtin().place(place).expect("a place")];
        (bound.from, bound.to) = (Some(year), Some(year + 3));
        bound.punch = Some("oval".into());
        prop_assert_eq!(ids(&plain), ids(&bound));
    }

    #[test]
    fn a_name_finds_the_marks_of_all_who_have_it(i in any::<usize>(), turned in any::<bool>()) {
        let all: Vec<(String, Vec<String>)> = Tables::builtin()
            .registers()
            .iter()
            .filter(|(e, _)| !e.names.is_empty())
            .map(|(e, _)| (e.id.to_string(), e.names.iter().map(|n| n.to_string()).collect()))
            .collect();
        let (id, names) = &all[i % all.len()];
        let words: Vec<&str> = names[0].split(' ').filter(|w| w.contains(char::is_lowercase)).collect();
        prop_assume!(words.len() > 1);
        let typed = match turned {
            true => words.iter().rev().copied().collect::<Vec<_>>().join(", ").to_lowercase(),
            false => words.join(" "),
        };
        let found = sponsors(Tables::builtin(), &asked(&typed)).sponsors;
        prop_assert!(found.iter().any(|m| m.id == *id), "{typed} finds {id}");
        for m in &found {
            let known = format!("{} {}", m.names.join(" "), m.firm.as_deref().unwrap_or("")).to_lowercase();
            for word in &words {
                let word = word.trim_matches('.').to_lowercase();
                prop_assert!(known.contains(&word), "{typed}: {known}");
            }
        }
    }

    #[test]
    fn any_text_is_searched_or_refused(text in "\\PC{0,24}") {
        if let Err(e) = Asked::read(Tables::builtin(), &text) {
            prop_assert!(text.get(e.at.clone()).is_some(), "{:?} points into {:?}", e, text);
        }
    }

    #[test]
    fn any_words_of_a_makers_mark_are_read(words in "(maker's mark |W\\.S|\\?|[A-Z]{1,5}| or | over |&|, |[a-z]{1,4} |é|/){0,8}") {
        let description = format!("anchor, maker's mark {words}, lion passant");
        puncheon::read(Tables::builtin(), &description, &Default::default());
    }
}

// ---- A maker that is claimed --------------------------------------------------------------------

/// How the makers of a claim are ruled, with what is left of its words.
fn claimed(claim: &str, marks: &str) -> (Value, String) {
    let v = json(&["check", marks, "--claim", claim]);
    let unused: Vec<&str> = v["claim"]["not_used"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|u| u["text"].as_str())
        .collect();
    (v.clone(), unused.join("; "))
}

const STORR: &str = "PS, leopard's head crowned, lion passant, king's head, small roman a";

#[test]
fn a_maker_that_is_claimed_is_ruled_by_the_letters() {
    let no_letters = STORR.trim_start_matches("PS, ");
    for (claim, marks, maker, ruling, unused) in [
        ("London 1816 by Paul Storr", STORR, "Paul Storr", "possible", ""),
        ("Paul Storr, London 1816", STORR, "Paul Storr", "possible", ""),
        ("paul storr london 1816", STORR, "paul storr", "possible", ""),
        ("London 1816 by Storr", STORR, "Storr", "possible", ""),
        ("London 1816, made by P. Storr", STORR, "P. Storr", "possible", ""),
        ("London 1816, maker's mark of Paul Storr", STORR, "Paul Storr", "possible", ""),
        ("London 1816, maker: Storr", STORR, "Storr", "possible", ""),
        ("London 1816 teapot by Paul Storr", STORR, "Paul Storr", "possible", "teapot"),
        ("London 1816 by Hester Bateman", STORR, "Hester Bateman", "against", ""),
        ("London 1816 by Robert Hennel", STORR, "Robert Hennel", "against", ""),
        ("London 1816 by Mappin & Webb", STORR, "Mappin & Webb", "against", ""),
        ("London 1816 by Quentin Xylander", STORR, "Quentin Xylander", "unknown", ""),
        ("London 1816 by Paul Storr", no_letters, "Paul Storr", "untested", ""),
        ("London 1816 by Paul Storr", "EPNS, maker's mark PS", "Paul Storr", "untested", ""),
        // The register knows no such punch of his; but the letters are those of his name.
        (
            "London 1816 by Thomas Parr",
            "TP, leopard's head crowned, lion passant, small roman a",
            "Thomas Parr",
            "possible",
            "",
        ),
        // Nobody's, or another's doing.
        ("London 1816", STORR, "", "", ""),
        ("London 1816 by PS", STORR, "", "", "PS"),
        ("London 1816 Smith", STORR, "", "", "Smith"),
        ("London 1816, retailed by Garrard", STORR, "", "", "retailed by Garrard"),
        ("London 1816, presented by George Smith", STORR, "", "", "presented by George Smith"),
        ("London 1816, given by George Smith", STORR, "", "", "given by George Smith"),
        ("London 1816, designed by George Smith", STORR, "", "", "designed; George Smith"),
        ("London 1816 for George Smith", STORR, "", "", "George Smith"),
        ("London 1816 by Paul", STORR, "Paul", "unknown", ""),
    ] {
        let (v, left) = claimed(claim, marks);
        let first = &v["makers"][0];
        let got = |field: &str| first[field].as_str().unwrap_or_default().to_string();
        assert_eq!((got("text").as_str(), got("ruling").as_str()), (maker, ruling), "{claim}");
        assert_eq!(left, unused, "{claim}");
        let sign = v["warnings"].to_string().contains("maker-apart");
        assert_eq!(sign, ruling == "against", "{claim}");
        // The verdict is that of the office and the year.
        let (plain, _) = claimed("London 1816", marks);
        assert_eq!(v["verdict"], plain["verdict"], "{claim}");
        assert_eq!(v["because"], plain["because"], "{claim}");
    }
}

/// A first line that is read alone does not let a maker hold.
#[test]
fn a_maker_never_holds_by_initials() {
    let marks = "PS, leopard's head, lion passant, king's head, small roman o";
    assert_snapshot!(
        "claim_of_a_maker",
        screen(&["check", marks, "--claim", "London 1829 by Paul Storr"])
    );
    assert_snapshot!(
        "claim_of_another_maker",
        screen(&["check", marks, "--claim", "London 1829 by Hester Bateman"])
    );
    let out = puncheon(&["check", marks, "--claim", "by Paul Storr"]);
    assert_eq!(out.code, 2);
    assert!(out.err.contains("beside an office"), "{}", out.err);
    let r = run(
        PUNCHEON,
        &["enrich", "-", "--marks", "m", "--claim", "c", "--add", "verdict,warnings"],
        "m,c\n\"PS, leopard's head crowned, lion passant, king's head, a\",London 1816 by Hester Bateman\n\"HB, leopard's head crowned, lion passant, e\",London 1780 by Hester Bateman\n",
    );
    let lines: Vec<&str> = r.out.lines().collect();
    assert!(lines[1].ends_with(",possible,maker-apart"), "{}", r.out);
    assert!(lines[2].ends_with(",possible,"), "{}", r.out);
}
