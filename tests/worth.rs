//! Weights, money and worth: what `puncheon worth` prints, published values with their sources, an
//! outside check of the units, the laws of the sums, and refusals of what cannot be read.

use std::io::Write as _;
use std::process::{Command, Stdio};

use insta::assert_snapshot;
use proptest::prelude::*;
use puncheon::Tables;
use puncheon::schema::Entries;
use puncheon::schema::entry::Meaning;
use puncheon::schema::image::Meta;
use puncheon::tree::{Fate, Tree};
use puncheon::worth::{Asked, SaleAsked, Weight, Worth, trees, worth};
use puncheon_tests::{Ran, covers, proptest_config, run};
use serde_json::Value;
use uom::si::f64::Mass;
use uom::si::mass;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// A full set of marks of one year.
const MARKS: &str = "anchor, lion passant, small roman f, king's head";

fn puncheon(args: &[&str]) -> Ran {
    run(PUNCHEON, args, "")
}

/// What a run printed, with its exit code and what went to standard error.
fn screen(args: &[&str]) -> String {
    puncheon(args).screen()
}

fn json(args: &[&str]) -> Value {
    puncheon(&[&["worth"], args, &["--json"]].concat()).json()
}

/// A figure of an answer, which must be exact.
fn exact(v: &Value) -> &str {
    assert_eq!(v["low"], v["high"], "{v}");
    v["low"].as_str().expect("a decimal in quotes")
}

/// A decimal to so many places, rounded as a person would, without binary fractions.
fn places(decimal: &str, n: usize) -> String {
    let (whole, part) = decimal.split_once('.').unwrap_or((decimal, ""));
    let part = format!("{part:0<12}");
    let digits: i128 = format!("{whole}{part}").parse().expect("figures");
    let unit = 10i128.pow(12 - n as u32);
    let rounded = (digits + unit / 2) / unit;
    let text = format!("{rounded:0>width$}", width = n + 1);
    let (whole, part) = text.split_at(text.len() - n);
    format!("{whole}.{part}").trim_end_matches('.').to_string()
}

// ---- What is printed ----------------------------------------------------------------------------

#[test]
fn a_value() {
    assert_snapshot!(screen(&["worth", "178.5g", "sterling", "--price", "24.10/ozt"]));
}

#[test]
fn deductions_and_an_offer() {
    assert_snapshot!(screen(&[
        "worth",
        "178.5g sterling",
        "--less",
        "blades 42g",
        "--less",
        "filled handles 60%",
        "--price",
        "£24.10/oz",
        "--price-as-of",
        "20 November 2026",
        "--price-from",
        "a refiner's list",
        "--pays",
        "95%",
    ]));
}

#[test]
fn sell_or_melt() {
    assert_snapshot!(screen(&[
        "worth",
        "178.5g sterling",
        "--price",
        "£24.10/ozt",
        "--pays",
        "95%",
        "--paid",
        "140",
        "--fee",
        "11%",
        "--fee-fixed",
        "0.25",
        "--post",
        "4.10",
        "--charged-post",
        "4.50",
        "--at",
        "120,150,180",
    ]));
}

#[test]
fn before_buying() {
    assert_snapshot!(screen(&[
        "worth",
        "--at",
        "150,300",
        "--margin",
        "20%",
        "--fee",
        "11%",
        "--fee-on",
        "hammer",
        "--charged-post",
        "5",
        "--premium",
        "25%",
        "--premium-vat",
        "20%",
        "--margin-scheme",
        "20%",
    ]));
}

#[test]
fn from_the_marks() {
    assert_snapshot!(screen(&["worth", "12 oz 5 dwt", "--marks", MARKS, "--price", "£24.10/ozt"]));
}

#[test]
fn what_silver_and_gold_share_is_valued_as_silver() {
    for marks in [
        "harp crowned, F",
        "harp crowned, Hibernia, K, king's head",
        "leopard's head, lion passant, q",
        "leopard's head, 999, q",
    ] {
        let gold = puncheon(&["worth", "100g", "--price", "gold £3000/ozt", "--marks", marks]);
        assert_eq!(gold.code, 2, "{marks}: {}", gold.screen());
        assert!(gold.err.contains("silver"), "{marks}: {}", gold.err);
        let worth = json(&["100g", "--price", "silver £20/ozt", "--marks", marks]);
        assert_eq!(worth["fineness"]["metal"], "silver", "{marks}");
        let notes = worth["notes"].to_string();
        assert!(notes.contains("silver is taken"), "{marks}: {notes}");
    }
    // The mark that would make it gold is named, where there is one.
    let worth = json(&["100g", "--price", "silver £20/ozt", "--marks", "harp crowned, F"]);
    assert!(worth["notes"].to_string().contains("gold by 22"), "{}", worth["notes"]);
    // What was described already would show nothing.
    let marks = "leopard's head, lion passant, sun?, q";
    let worth = json(&["100g", "--price", "silver £20/ozt", "--marks", marks]);
    let notes = worth["notes"].to_string();
    assert!(notes.contains("gold by sun in splendour."), "{notes}");
    // Named by its owner, or shown by its own mark, it is gold.
    for args in [
        ["--metal", "gold", "--marks", "harp crowned, F"],
        ["--item", "a ring", "--marks", "harp crowned, F, 22"],
    ] {
        let price = ["100g", "--price", "gold £3000/ozt"];
        let worth = json(&[&price, &args[..]].concat());
        assert_eq!(worth["fineness"]["metal"], "gold", "{args:?}");
    }
}

#[test]
fn letters_of_plate_taken_for_a_makers_are_told() {
    let worth = json(&["100g", "--price", "£20/ozt", "--marks", &format!("RG, {MARKS}")]);
    assert_eq!(worth["fineness"]["metal"], "silver");
    let notes = worth["notes"].to_string();
    assert!(notes.contains("taken for a maker's mark; alone it would be"), "{notes}");
    let worth = json(&["100g", "--price", "£20/ozt", "--marks", &format!("A1, {MARKS}")]);
    assert!(worth["notes"].to_string().contains("a plater's word"), "{worth}");
    let worth = json(&["100g", "--price", "gold £3000/ozt", "--marks", "anchor, crown, k"]);
    assert!(worth["not_valued"].is_string(), "{worth}");
    let worth = json(&["100g", "--price", "£20/ozt", "--marks", "RG, crown, S"]);
    assert!(worth["not_valued"].is_string(), "{worth}");
}

#[test]
fn several_standards() {
    assert_snapshot!(screen(&[
        "worth",
        "20g",
        "--marks",
        "triangle, small roman k",
        "--metal",
        "gold",
        "--price",
        "£80/g"
    ]));
}

#[test]
fn loaded_with_nothing_taken_off() {
    assert_snapshot!(screen(&[
        "worth",
        "420g",
        "--marks",
        MARKS,
        "--item",
        "loaded candlestick, gilt inside",
        "--price",
        "£24.10/ozt"
    ]));
}

#[test]
fn not_valued_for_its_marks() {
    let runs = [
        "EPNS",
        "lion passant",
        "small roman k",
        "anchor, leopard's head",
        "wibble",
        "anchor, lion passant, k",
    ];
    let said = runs.map(|m| screen(&["worth", "100g", "--marks", m, "--price", "£24.10/ozt"]));
    assert_snapshot!(said.join("\n"));
}

#[test]
fn in_json() {
    assert_snapshot!(screen(&[
        "worth",
        "178.5g",
        "--marks",
        MARKS,
        "--less",
        "about 20g pitch",
        "--price",
        "$24.10/ozt",
        "--pays",
        "90%",
        "--paid",
        "100",
        "--at",
        "150",
        "--json"
    ]));
}

#[test]
fn columns_give_way_to_lines() {
    let out = Command::new(PUNCHEON)
        .args(["worth", "178.5g sterling", "--price", "£24.10/ozt", "--paid", "140"])
        .args(["--at", "120,150", "--fee", "11%", "--margin", "10%"])
        .env_clear()
        .env("COLUMNS", "50")
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    let text = String::from_utf8(out.stdout).expect("output is UTF-8");
    assert!(text.lines().all(|l| l.chars().count() <= 50), "{text}");
    assert_snapshot!(text);
}

/// No line is longer than the screen, whatever is asked.
#[test]
fn no_line_is_longer_than_the_width() {
    let file = {
        let mut file = tempfile::NamedTempFile::new().expect("a file");
        file.write_all(LIST.as_bytes()).expect("it is written");
        file
    };
    let list = file.path().to_str().expect("a plain name");
    let sale = [
        "178.5g sterling",
        "--price",
        "£24.10/oz",
        "--pays",
        "95%",
        "--paid",
        "£1,140.00",
        "--at",
        "1120,1150",
        "--margin",
        "20%",
        "--fee",
        "11%",
        "--premium",
        "25%",
        "--margin-scheme",
        "20%",
        "--less",
        "blades 10-20%",
    ];
    let runs: [&[&str]; 3] = [
        &sale,
        &["--list", list, PRICES[0], PRICES[1], PRICES[2], PRICES[3]],
        &[
            "100g",
            "--marks",
            "EPNS",
            "--item",
            "loaded, gilt and glass lined tray with ivory handles",
        ],
    ];
    for columns in [40, 60, 80, 100] {
        for args in runs {
            let out = Command::new(PUNCHEON)
                .arg("worth")
                .args(args)
                .env_clear()
                .env("COLUMNS", columns.to_string())
                .stdin(Stdio::null())
                .output()
                .expect("the program starts");
            let text = String::from_utf8(out.stdout).expect("output is UTF-8");
            let long = text.lines().find(|l| l.chars().count() > columns);
            assert_eq!(long, None, "{columns} columns, {args:?}");
        }
    }
}

/// A chip of metal is not told as nothing, and a price without decimals not in pennies.
#[test]
fn weights_and_money_as_they_are_written() {
    for (weight, grams) in [
        ("2 1/2 oz", "77.758692"),
        ("1/2 oz", "15.551738"),
        ("2½ oz", "77.758692"),
        ("2-1/2oz", "77.758692"),
        ("1 ½ oz", "46.655215"),
        ("3⅛ oz", "97.198365"),
        ("12 1/2 dwt", "19.439673"),
    ] {
        let v = json(&[&format!("{weight} sterling")]);
        assert_eq!(places(exact(&v["gross"]["g"]), 6), grams, "{weight}");
    }
    let v = json(&["12 oz 25 dwt sterling"]);
    assert!(v["notes"].to_string().contains("a whole troy ounce in its dwt"), "{v}");
    let v = json(&["10g sterling", "--price", "£1.000/kg"]);
    assert!(v["notes"].to_string().contains("for thousands write £1000/kg"), "{v}");
    let v = json(&["100g sterling", "--less", "loading 1%", "--price", "1/g"]);
    assert_eq!(v["at_most"], true, "{v}");
    let v = json(&["100g sterling", "--less", "loading 90%", "--price", "1/g"]);
    assert_eq!(v["at_most"], false, "{v}");
    assert_eq!(json(&["10g sterling", "--at", "150; 180"])["sale"]["at"][1]["price"], "180.00");
    for (args, said) in [
        (&["1.2.3g sterling"][..], "such as 1.23g"),
        (&["1.234.567g sterling"], "such as 1234567g"),
        (&["10g sterling", "--price", "1e3/g"], "such as 1000/g"),
        (&["10g sterling", "--price", "£24.10"], "such as £24.10/ozt"),
        (&["10g sterling", "--at", "150 180"], "\"150, 180\""),
        (&["12345678901234567890g sterling"], "at most 18 figures"),
        (&["10g sterling", "--price", "0.12345678901/g"], "at most 9 behind the point"),
        (&["40-45g sterling"], "is a span"),
        (&["40g to 45g sterling"], "is a span"),
        (&["about 45g sterling"], "is a guess"),
        (&["2 x 50g sterling"], "write what they weigh together: 100g"),
        (&["50g each sterling"], "counts pieces"),
        (&["5 oz 1/2 sterling"], "names no fineness"),
        (&["20g rolled gold"], "speaks of plate"),
        (
            &["100g sterling", "--less", "blades 60%", "--less", "pitch 50%"],
            "come to 110% of the whole weight",
        ),
    ] {
        let r = puncheon(&[&["worth"], args].concat());
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}: {}", r.err);
        assert!(r.err.contains(said), "{args:?}: {}", r.err);
    }
}

/// A small weight is told to three figures.
#[test]
fn small_weights_and_whole_currencies() {
    let r = puncheon(&["worth", "0.0042g", "22 ct", "--price", "JPY 15,000.5/g"]);
    assert!(r.out.contains("0.0042 g (0.000135 oz t)"), "{}", r.out);
    assert!(r.out.starts_with("Metal value 58 JPY\n"), "{}", r.out);
}

#[test]
fn any_price_breaks_even_where_the_post_pays_for_it() {
    let r = puncheon(&["worth", "--paid", "2", "--charged-post", "5", "--post", "1"]);
    assert!(r.out.starts_with("Breaks even at any price from 0.00\n"), "{}", r.out);
}

#[test]
fn plain_ascii_on_request() {
    let r = puncheon(&["worth", "10g sterling", "--price", "£1.10/g", "--ascii"]);
    assert!(r.out.is_ascii(), "{}", r.out);
    assert!(r.out.starts_with("Metal value GBP 10.18\n"), "{}", r.out);
}

/// Each unit and each thing taken off is shown with what it rests on.
#[test]
fn units_and_deductions_show_their_sources() {
    let image = Tables::builtin().image();
    let units = puncheon(&["tables", "show", "units"]).out;
    for u in (0..image.meta(Meta::Units)).map(|u| image.unit(u)) {
        assert!(units.contains(&format!("{} g exactly", u.grams())), "{}", u.name());
    }
    assert!(units.contains("weights-act-1985 s. 1"), "{units}");
    let deductions = puncheon(&["tables", "show", "deductions"]).out;
    for d in (0..image.meta(Meta::Deductions)).map(|d| image.deduction(d)) {
        assert!(deductions.contains(d.advice()), "{}", d.id());
    }
    assert!(deductions.contains("weighted-candlestick"), "{deductions}");
}

/// A sign that the marks do not vouch for the piece leaves it without a value, wherever it is stated.
#[test]
fn marks_let_in_value_nothing() {
    for (marks, item) in [
        (MARKS.to_string(), "mug, marks let into the base"),
        (format!("{MARKS}, let into the base"), "mug"),
    ] {
        let v = json(&["60g", "--marks", &marks, "--item", item, "--price", "1/g"]);
        assert!(v["not_valued"].is_string(), "{v}");
        assert!(v["value"].is_null() && v["fine"].is_null(), "{v}");
    }
    let list =
        format!("description,marks,gross\n\"mug, marks let into the base\",\"{MARKS}\",60g\n");
    let v: Value = serde_json::from_str(&listed(&list, &["--json"]).out).expect("JSON");
    assert_eq!(v["items"], serde_json::json!([]), "{v}");
}

/// A piece that is itself plated, gilt base metal or an imitation is not valued, however its fineness is
/// given; where only a part of it is, its value is the most that it can be.
#[test]
fn plate_is_not_valued_and_a_plated_part_is_at_most() {
    let gold = "anchor, crown, 18, small roman f";
    let whole = [
        "gold plated chain",
        "gold-plated bangle",
        "rolled gold chain",
        "gilt metal locket",
        "chain, gold plated",
        "chain (gold plated)",
        "pair of plated cufflinks",
        "locket in rolled gold",
        "silver plated teapot",
        "E.P.N.S. teapot",
        "teapot, heavily silver plated",
        "plated and engraved mug",
        "gold-tone chain",
        "brass locket",
    ];
    for item in whole {
        for asked in [&["20g", "--marks", MARKS][..], &["20g", "--marks", gold], &["20g 9ct"]] {
            let v = json(&[asked, &["--item", item, "--price", "1/g"]].concat());
            assert!(v["not_valued"].is_string(), "{item}, {asked:?}: {v}");
            assert!(v["value"].is_null() && v["fine"].is_null(), "{item}: {v}");
        }
        let v: Value = serde_json::from_str(
            &listed(&format!("description,marks,gross\n\"{item}\",\"{MARKS}\",20g\n"), &["--json"])
                .out,
        )
        .expect("JSON");
        assert_eq!(v["items"], serde_json::json!([]), "{item}: {v}");
    }
    for item in [
        "chain, plated chain attached",
        "teapot with plated liner",
        "mug (cover EPNS)",
        "mug, the lid silver plated",
        "mug in plated stand",
        "mug and brass tray",
    ] {
        let v = json(&["20g", "--marks", MARKS, "--item", item]);
        assert!(v["not_valued"].is_null(), "{item}: {v}");
        assert_eq!(v["at_most"], true, "{item}: {v}");
    }
    for item in [
        "mug, not plated",
        "mug without plated liner",
        "ring, rhodium plated",
        "silver gilt mug",
        "old silver plate, a mug",
    ] {
        let v = json(&["20g", "--marks", MARKS, "--item", item]);
        assert!(v["not_valued"].is_null(), "{item}: {v}");
        assert_eq!(v["at_most"], false, "{item}: {v}");
    }
    // Gilding is on silver: it makes nothing gold.
    let v = json(&["20g 9ct", "--item", "vermeil locket"]);
    assert!(v["not_valued"].is_string(), "{v}");
}

/// A sheet of gold over something else is not valued as gold, however it is said and however its fineness
/// is given; a piece in two metals is worth at most what one alone would be.
#[test]
fn a_sheet_of_gold_is_no_gold_and_two_metals_are_not_one() {
    let marks = "anchor, crown, 18, small roman f";
    for item in [
        "gold fronted locket",
        "locket, gold front",
        "gold-fronted silver locket",
        "9ct gold back and front locket",
        "9ct back and front locket",
        "9ct fronted locket",
        "gold on silver bangle",
        "9ct on silver bangle",
        "9 carat on silver bangle",
        "9ct gold on silver bangle",
        "gold over silver bracelet",
        "gold over brass chain",
        "gold on metal bangle",
        "9ct on metal bangle",
        "gold on steel bangle",
        "gold overlay bangle",
        "gold overlaid cigarette case",
        "gold shell pendant",
        "gold veneer cufflinks",
        "gold clad watch chain",
        "vermeil locket",
        "silver gilt locket",
        "gold washed spoon",
    ] {
        for asked in [&["20g 9ct"][..], &["20g", "--marks", marks, "--metal", "gold"]] {
            let v = json(&[asked, &["--item", item, "--price", "1/g"]].concat());
            assert!(v["not_valued"].is_string(), "{item}, {asked:?}: {v}");
        }
    }
    for item in [
        "gold and silver brooch",
        "silver and gold ring",
        "brooch, silver topped",
        "silver-backed brooch",
        "gold bracelet with base metal pin",
        "platinum topped ring",
        "ring in gold and platinum",
    ] {
        let v = json(&["20g 9ct", "--item", item, "--price", "1/g"]);
        assert!(v["not_valued"].is_null(), "{item}: {v}");
        assert_eq!(v["at_most"], true, "{item}: {v}");
    }
    // So is a fineness that is said so itself.
    for piece in ["20g 9ct on silver", "20g 9ct fronted", "20g 9ct on metal", "20g 9ct plated"] {
        let r = puncheon(&["worth", piece]);
        assert_eq!(r.code, 2, "{piece}: {}", r.out);
    }
}

/// What the marks stand on, or say beside themselves, counts as what the piece is.
#[test]
fn the_marks_tell_of_what_is_not_metal() {
    let marks = format!("on the blade: {MARKS}");
    let v = json(&["60g", "--marks", &marks, "--price", "1/g"]);
    assert_eq!(v["at_most"], true, "{v}");
    assert_eq!(v["advice"][0]["id"], "steel");
}

// ---- Schedules ----------------------------------------------------------------------------------

const LIST: &str = "\
number,description,marks,metal,gross,deductions
1,Mustard pot with blue glass liner,\"anchor, lion passant, small roman f, king's head\",,178.5g,liner 42g
2,Six teaspoons,\"leopard's head crowned, lion passant, small roman h, king's head\",Silver,3oz 12,
3,\"Ring, old\",\"anchor, crown, 18, black letter capital e\",gold,6.2 g,
4,Entrée dish,EPNS,,1100g,
5,Unmarked spoon,,,42g,
6,Pair of loaded candlesticks,\"anchor, lion passant, small roman f, king's head\",,\"1,785g\",
7,Loaded candlestick,\"anchor, lion passant, small roman f, king's head\",,420g,
";

fn listed(list: &str, args: &[&str]) -> Ran {
    let mut file = tempfile::NamedTempFile::new().expect("a file");
    file.write_all(list.as_bytes()).expect("it is written");
    let name = file.path().to_str().expect("a plain name").to_string();
    let mut r = puncheon(&[&["worth", "--list", &name], args].concat());
    r.err = r.err.replace(&name, "list.csv");
    r
}

const PRICES: [&str; 4] = ["--price", "silver £24.10/ozt", "--price", "gold £80/g"];

#[test]
fn a_schedule() {
    let more = ["--basis", "scrap value for probate", "--price-as-of", "20 November 2026"];
    let r = listed(LIST, &[&PRICES[..], &more].concat());
    assert_eq!(r.code, 1, "one row cannot be read: {}", r.err);
    assert_snapshot!(r.out);
}

#[test]
fn a_schedule_as_csv() {
    let r = listed(LIST, &[&PRICES[..], &["--basis", "probate", "--csv"]].concat());
    assert_snapshot!(r.out);
}

#[test]
fn a_schedule_adds_up_and_invents_nothing() {
    let r = listed(LIST, &[&PRICES[..], &["--json"]].concat());
    let v: Value = serde_json::from_str(&r.out).expect("JSON");
    assert_eq!(v["schema"], "puncheon.schedule/1");
    let pennies = |s: &Value| -> i64 {
        s.as_str().expect("money").replace('.', "").parse().expect("figures")
    };
    let items = v["items"].as_array().expect("a list");
    for end in ["low", "high"] {
        let sum: i64 = items.iter().map(|i| pennies(&i["value"][end])).sum();
        let totals: i64 =
            v["totals"].as_array().expect("a list").iter().map(|t| pennies(&t["value"][end])).sum();
        assert_eq!((sum, totals), (pennies(&v["value"][end]), sum));
    }
    let numbers = |list: &str| -> Vec<String> {
        let list = v[list].as_array().expect("a list");
        list.iter().map(|i| i["number"].as_str().expect("text").to_string()).collect()
    };
    assert_eq!(numbers("items"), ["1", "2", "3", "7"]);
    assert_eq!(numbers("not_valued"), ["4", "5", "6"]);
    let at_most: Vec<bool> = items.iter().map(|i| i["at_most"] == true).collect();
    assert_eq!(at_most, [false, false, false, true]);
}

#[test]
fn a_schedule_by_other_writers() {
    let other = "\u{feff}No.;Article;Hallmarks;Weight;Less\r\n9;Box;\"anchor, lion passant, small roman f, king's head\";100 g;glass 10g | stones 5 g\r\n\r\n";
    let r = listed(other, &["--price", "£1/g", "--json"]);
    assert_eq!(r.code, 0, "{}{}", r.out, r.err);
    let v: Value = serde_json::from_str(&r.out).expect("JSON");
    assert_eq!(v["value"]["low"], "78.63", "85 g at 925 in 1000");
    let piped = run(PUNCHEON, &["worth", "--list", "-", "--price", "£1/g", "--json"], other);
    assert_eq!(piped.out, r.out);
}

/// What a spreadsheet would run is made harmless, a number given twice is told, the reason of "at most"
/// stands in its row, and columns go by other words.
#[test]
fn a_schedule_is_safe_and_says_what_it_must() {
    let list = format!(
        "no,item,hallmarks,weight,less\n\
         1,\"=HYPERLINK(\"\"x\"\")\",\"{MARKS}\",100g,\n\
         1,-2+3,\"{MARKS}\",100g,\"glass 10g, stones 5g\"\n\
         +3,Loaded candlestick,\"{MARKS}\",100g,\n\
         1,@SUM(A1),EPNS,100g,\n"
    );
    let r = listed(&list, &["--price", "£1/g", "--csv"]);
    assert_eq!(r.code, 0, "{}{}", r.out, r.err);
    let mut csv = csv::ReaderBuilder::new().from_reader(r.out.as_bytes());
    let rows: Vec<csv::StringRecord> = csv.records().map(|r| r.expect("a row")).collect();
    for cell in rows.iter().flatten() {
        assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell}");
    }
    assert_eq!(&rows[0][1], "'=HYPERLINK(\"x\")");
    assert_eq!(&rows[1][6], "glass 10g; stones 5g");
    assert_eq!(&rows[1][7], "85");
    assert!(rows[1][14].contains("The number 1 stands at an earlier row too."), "{:?}", rows[1]);
    assert!(rows[3][14].contains("The number 1 stands"), "{:?}", rows[3]);
    assert!(!rows[0][14].contains("The number"), "{:?}", rows[0]);
    assert!(
        rows[2][14].contains("the most it can be: not enough was taken off for loading"),
        "{:?}",
        rows[2]
    );
    let other = format!("item,description,marks,gross\n7,Mug,\"{MARKS}\",10g\n");
    let v: Value = serde_json::from_str(&listed(&other, &["--json"]).out).expect("JSON");
    assert_eq!(
        (&v["items"][0]["number"], &v["items"][0]["description"]),
        (&"7".into(), &"Mug".into())
    );
    let r = listed("a,b\n1,2\n", &[]);
    assert!(r.err.contains("marks (or hallmarks, mark)"), "{}", r.err);
}

/// A sign of more than one byte behind a figure parts no deductions.
#[test]
fn a_schedule_reads_every_sign_behind_a_figure() {
    let list = format!("number,description,marks,gross,less\n1,Dish,\"{MARKS}\",100g,handle 4½g\n");
    let r = listed(&list, &["--json"]);
    assert_eq!(r.code, 0, "{}{}", r.out, r.err);
    let v: Value = serde_json::from_str(&r.out).expect("JSON");
    let told = v["items"].as_array().into_iter().chain(v["not_valued"].as_array()).flatten();
    assert_eq!(told.count(), 1, "{v}");
}

#[test]
fn schedules_that_cannot_be_made() {
    for (list, args, said) in [
        ("", &["--price", "1/g"][..], "the list is empty"),
        ("number,marks\n1,anchor\n", &[], "no column is called \"gross\""),
        ("marks,gross,weight\n", &[], "\"gross\" and \"weight\" are both the gross of the list"),
        (
            LIST,
            &["--price", "£1/g"],
            "the price \"£1/g\" names no metal, and the list holds silver and gold\n  write the metal before each price, such as \"silver £1/g\"",
        ),
        (
            LIST,
            &["--price", "silver £1/g", "--price", "silver £2/g"],
            "is a second price of the same",
        ),
    ] {
        let r = listed(list, args);
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{said}: {}", r.err);
        assert!(r.err.contains(said), "{}", r.err);
    }
    let r = puncheon(&["worth", "--list", "no-such-list.csv"]);
    assert_eq!(r.code, 2);
    assert!(r.err.contains("no-such-list.csv"), "{}", r.err);
    let short = listed("number,marks,gross\n1,anchor\n2,EPNS,5g\n", &[]);
    assert_eq!(short.code, 1);
    assert!(short.out.contains("has 2 fields where the first line names 3"), "{}", short.out);
}

// ---- Published values ---------------------------------------------------------------------------

/// What a published text says comes out, each with its source.
#[test]
fn published_weights_and_finenesses() {
    // A newspaper's article on the units of weight for silver: a sterling fork of 50 g holds 46.25 g.
    let fork = json(&["50g sterling"]);
    assert_eq!(exact(&fork["fine"]["g"]), "46.25");
    // Hallmarking Act 1973, Schedule 1 Part II paras. 12A and 16: 7.78 g is five pennyweights rounded up,
    // 15.55 g ten pennyweights rounded down.
    let five = json(&["5 dwt sterling"]);
    assert_eq!(exact(&five["gross"]["g"]), "7.775869");
    assert_eq!(places(exact(&five["gross"]["g"]), 2), "7.78");
    let ten = json(&["10 dwt sterling"]);
    assert_eq!(places(exact(&ten["gross"]["g"]), 2), "15.55");
    // R. L. Kenyon, The Gold Coins of England (1884), Victoria: a sovereign weighs 123.27447 grains at 22
    // carats; an encyclopaedia's article on the coin: 7.98805 g, 0.2354 troy ounces of gold.
    let sovereign = json(&["123.27447 grains 22 carat"]);
    assert_eq!(places(exact(&sovereign["gross"]["g"]), 5), "7.98805");
    assert_eq!(places(exact(&sovereign["fine"]["ozt"]), 4), "0.2354");
    // William Chaffers, Hall Marks on Gold and Silver Plate, 10th edition, 1922, p. 120: five sovereigns
    // weigh 1 oz 5 dwt 16.37 gr.
    let five = json(&["1 oz t 5 dwt 16.37 gr 22 carat"]);
    let one: f64 = exact(&sovereign["gross"]["g"]).parse().expect("figures");
    let five: f64 = exact(&five["gross"]["g"]).parse().expect("figures");
    assert!((five - 5.0 * one).abs() < 0.001, "{five} and five of {one}");
    // A dealer's article on weighted silver: a candlestick of 274 g held 28.5 g, 0.916 oz, of sterling.
    let whole = json(&["9.672 oz av sterling"]);
    assert_eq!(places(exact(&whole["gross"]["g"]), 0), "274");
    let shell = json(&["1.005 oz av sterling"]);
    assert_eq!(places(exact(&shell["gross"]["g"]), 1), "28.5");
    assert_eq!(places(exact(&shell["gross"]["ozt"]), 3), "0.916");
    // Antique Trader, 60-Second Silver: candelabra of 4 lb hold 6.4 ounces, 5.83 troy ounces, of sterling.
    let candelabra = json(&["4 lb av sterling", "--less", "weights 57.6 oz av"]);
    assert_eq!(places(exact(&candelabra["net"]["ozt"]), 2), "5.83");
    // Plate Duty Act 1719 (6 Geo. I c. 11) s. 41: sterling is 11 oz 2 dwt, Britannia 11 oz 10 dwt, of fine
    // silver in the troy pound.
    let sterling = json(&["1 lb t sterling"]);
    assert_eq!(exact(&sterling["fine"]["ozt"]), "11.1");
    let britannia = json(&["1 lb t Britannia"]);
    assert_eq!(exact(&britannia["fine"]["ozt"]), "11.5");
}

/// William Chaffers, Hall Marks on Gold and Silver Plate, 10th edition, 1922, p. 120: what an ounce of
/// gold of each carat comes to where 22 carats are 77s. 10 1/2d. He gives farthings, and cuts some.
#[test]
fn published_prices_of_gold_by_carat() {
    // Pence for an ounce of fine gold: 934.5 times 24/22.
    let price = "1019.454545455/ozt";
    for (carat, pence) in [
        ("22 ct", 934.5),
        ("20 ct", 849.5),
        ("18 ct", 764.5),
        ("15 ct", 637.0),
        ("12 ct", 509.75),
        ("9 ct", 382.25),
    ] {
        let v = json(&["1 oz t", carat, "--price", price]);
        let came: f64 = exact(&v["value"]).parse().expect("money");
        assert!((came - pence).abs() <= 0.25, "{carat}: {came}, printed {pence}");
    }
}

/// Values worked out by hand from the exact units.
#[test]
fn worked_values() {
    let teapot = json(&["22=11 sterling"]);
    assert_eq!(exact(&teapot["gross"]["ozt"]), "22.55");
    assert_eq!(places(exact(&teapot["gross"]["g"]), 3), "701.383");
    assert_eq!(places(exact(&teapot["fine"]["ozt"]), 4), "20.8588");
    let mug = json(&["10 oz t Britannia"]);
    assert_eq!(places(exact(&mug["fine"]["ozt"]), 5), "9.58333");
    let bar = json(&["1 kg 800"]);
    assert_eq!(exact(&bar["fine"]["ozt"]), "25.720597");
    let spoon = json(&["60 g 84 zolotnik"]);
    assert_eq!(exact(&spoon["fine"]["g"]), "52.5");
    for (words, parts) in [
        ("22 ct", "916.666667"),
        ("916", "916"),
        ("14 ct", "585"),
        ("9k", "375"),
        ("21 carat gold", "875"),
        (".925", "925"),
        ("Britannia", "958.333333"),
        ("958", "958"),
        ("fine silver", "999"),
        ("24 ct", "1000"),
    ] {
        let v = json(&["10g", words]);
        assert_eq!(exact(&v["fineness"]["parts"]), parts, "{words}");
    }
}

/// The units of the tables are those of a general library of units, which knows nothing of this one.
#[test]
fn units_are_those_of_a_library_of_units() {
    let image = Tables::builtin().image();
    let known: [(&str, f64); 7] = [
        ("g", Mass::new::<mass::gram>(1.0).value),
        ("kg", Mass::new::<mass::kilogram>(1.0).value),
        ("gr", Mass::new::<mass::grain>(1.0).value),
        ("dwt", Mass::new::<mass::pennyweight>(1.0).value),
        ("oz t", Mass::new::<mass::ounce_troy>(1.0).value),
        ("oz av", Mass::new::<mass::ounce>(1.0).value),
        ("lb t", Mass::new::<mass::pound_troy>(1.0).value),
    ];
    let pound = ("lb av", Mass::new::<mass::pound>(1.0).value);
    let mut checked = 0;
    for unit in (0..image.meta(Meta::Units)).map(|u| image.unit(u)) {
        let (_, kilograms) = known
            .iter()
            .chain([&pound])
            .find(|k| k.0 == unit.short())
            .unwrap_or_else(|| panic!("{} is checked", unit.short()));
        let own: f64 = unit.grams().parse().expect("a decimal");
        let off = (own / 1000.0 / kilograms - 1.0).abs();
        // That library holds some units to seven figures.
        assert!(off < 1e-6, "{}: {own} g and {kilograms} kg", unit.name());
        checked += 1;
    }
    assert_eq!(checked, 8);
}

// ---- Laws ---------------------------------------------------------------------------------------

fn ask(piece: &str, price: &str, less: &[String]) -> Worth {
    let asked = Asked {
        piece: piece.into(),
        price: vec![price.into()],
        less: less.to_vec(),
        ..Asked::default()
    };
    worth(Tables::builtin(), &asked).unwrap_or_else(|e| panic!("{piece}, {price}, {less:?}: {e}"))
}

fn pennies(s: &str) -> i128 {
    let (whole, part) = s.split_once('.').expect("money has two places");
    assert_eq!(part.len(), 2, "{s}");
    let n: i128 = format!("{}{part}", whole.trim_start_matches('-')).parse().expect("figures");
    if s.starts_with('-') { -n } else { n }
}

fn value(w: &Worth) -> (i128, i128) {
    let v = w.value.as_ref().expect("a price was named");
    (pennies(&v.low), pennies(&v.high))
}

fn money(p: i128) -> String {
    format!("{}.{:02}", p / 100, p % 100)
}

/// The share of a sum of pennies, to the nearest, worked out apart from the library: `rate` is in
/// hundredths of a hundredth.
fn share(sum: i128, rate: i128) -> i128 {
    let n = sum * rate;
    (n + 5_000).div_euclid(10_000)
}

/// A rate in hundredths of a hundredth as it is typed.
fn percent(rate: i128) -> String {
    format!("{}.{:02}%", rate / 100, rate % 100)
}

/// Standards by name with their ratios.
const FINE: [(&str, i128, i128); 5] = [
    ("sterling", 37, 40),
    ("Britannia", 23, 24),
    ("22 ct", 11, 12),
    ("18 ct", 3, 4),
    ("835", 835, 1000),
];

#[derive(Clone, Debug)]
struct Deal {
    paid: i128,
    fee: i128,
    on_hammer: bool,
    fixed: i128,
    post: i128,
    charged: i128,
    scheme: i128,
    premium: i128,
    tax: i128,
    at: i128,
}

fn deals() -> impl Strategy<Value = Deal> {
    let rates = (0i128..4_000, 0i128..3_000, 0i128..3_000, 0i128..3_000);
    let sums = (0i128..200_000, 0i128..500, 0i128..2_000, 0i128..2_000, 1i128..400_000);
    (sums, rates, any::<bool>()).prop_map(|(sums, rates, on_hammer)| Deal {
        paid: sums.0,
        fixed: sums.1,
        post: sums.2,
        charged: sums.3,
        at: sums.4,
        fee: rates.0,
        scheme: rates.1,
        premium: rates.2,
        tax: rates.3,
        on_hammer,
    })
}

impl Deal {
    fn asked(&self) -> SaleAsked {
        SaleAsked {
            paid: Some(money(self.paid)),
            fee: Some(percent(self.fee)),
            fee_on_hammer: self.on_hammer,
            fee_fixed: Some(money(self.fixed)),
            post: Some(money(self.post)),
            charged_post: Some(money(self.charged)),
            at: vec![money(self.at)],
            scheme: Some(percent(self.scheme)),
            ..SaleAsked::default()
        }
    }

    /// The same, with a premium on what is bid or was paid.
    fn with_premium(&self) -> SaleAsked {
        SaleAsked {
            premium: Some(percent(self.premium)),
            premium_tax: Some(percent(self.tax)),
            ..self.asked()
        }
    }

    fn told(&self, sale: SaleAsked) -> puncheon::worth::Sale {
        let asked = Asked { sale, ..Asked::default() };
        let w = worth(Tables::builtin(), &asked).unwrap_or_else(|e| panic!("{self:?}: {e}"));
        w.sale.expect("a sale was asked")
    }

    /// What a sale brings, worked out here.
    fn profit(&self, price: i128, cost: i128) -> i128 {
        let on = if self.on_hammer { price } else { price + self.charged };
        let fees = share(on, self.fee) + self.fixed;
        let above = (price + self.charged - cost).max(0);
        // The tax contained in a sum: rate in ten thousand and rate more.
        let whole = 10_000 + self.scheme;
        let tax = (2 * above * self.scheme + whole).div_euclid(2 * whole);
        price + self.charged - fees - self.post - tax - cost
    }

    fn cost(&self, bid: i128) -> i128 {
        let premium = share(bid, self.premium);
        bid + premium + share(premium, self.tax)
    }
}

proptest! {
    #![proptest_config(proptest_config(200))]

    /// The value is the weight by the fineness by the price and nothing else, to the penny.
    #[test]
    fn the_value_is_weight_by_fineness_by_price(
        thousandths in 1i128..50_000_000,
        price in 1i128..1_000_000,
        fine in 0usize..FINE.len(),
    ) {
        let (name, a, b) = FINE[fine];
        let piece = format!("{}.{:03}g {name}", thousandths / 1000, thousandths % 1000);
        let w = ask(&piece, &format!("{}/ozt", money(price)), &[]);
        // Grams by price by ratio over the ounce, all in whole numbers.
        let n = thousandths * price * a * 10_000_000;
        let d = 1000 * b * 311_034_768;
        let nearest = (2 * n + d) / (2 * d);
        prop_assert_eq!(value(&w), (nearest, nearest));
    }

    /// So many times the weight is so many times the value, to the pennies that rounding moves.
    #[test]
    fn value_is_linear_in_weight(grams in 1u32..5_000, times in 1u32..40, price in 1i128..100_000) {
        let price = format!("{}/ozt", money(price));
        let one = value(&ask(&format!("{grams}g sterling"), &price, &[])).0;
        let many = value(&ask(&format!("{}g sterling", grams * times), &price, &[])).0;
        prop_assert!((many - one * i128::from(times)).abs() <= i128::from(times) / 2 + 1, "{} {}", one, many);
    }

    /// A price is the same by the gram, the kilogram and the ounce.
    #[test]
    fn a_price_is_one_whatever_its_unit(grams in 1u32..30_000, pence in 1i128..100_000) {
        let piece = format!("{grams}g sterling");
        let by_gram = ask(&piece, &format!("{}/g", money(pence)), &[]);
        let by_kilo = ask(&piece, &format!("{}/kg", money(pence * 1000)), &[]);
        prop_assert_eq!(value(&by_gram), value(&by_kilo));
        let ounces = format!("{grams} oz t sterling");
        let troy = ask(&ounces, &format!("{}/ozt", money(pence)), &[]);
        prop_assert_eq!(value(&troy), value(&by_gram));
    }

    /// A deduction never raises a value, and no value is ever below nothing.
    #[test]
    fn a_deduction_never_raises_the_value(
        grams in 100u32..5_000,
        less in proptest::collection::vec((0usize..6, 1u32..40), 0..5),
    ) {
        let kinds = ["blades {}g", "liner about {}g", "pitch {}%", "handles {}-90g", "stones {}%-60%", "loaded"];
        let mut taken: Vec<String> = Vec::new();
        let piece = format!("{grams}g sterling");
        let mut before = value(&ask(&piece, "1.00/g", &taken));
        for (kind, n) in less {
            taken.push(kinds[kind].replace("{}", &n.to_string()));
            let asked = Asked {
                piece: piece.clone(),
                price: vec!["1.00/g".into()],
                less: taken.clone(),
                ..Asked::default()
            };
            let Ok(w) = worth(Tables::builtin(), &asked) else {
                // More comes off than there is, which is refused.
                taken.pop();
                continue;
            };
            let now = value(&w);
            prop_assert!(now.0 <= before.0 && now.1 <= before.1 && 0 <= now.0 && now.0 <= now.1, "{:?}: {:?} {:?}", taken, before, now);
            before = now;
        }
    }

    /// What breaks even nets nothing, to the penny, and a penny less never does better than that.
    #[test]
    fn sold_at_break_even_nets_nothing(deal in deals()) {
        let sale = deal.told(deal.asked());
        let Some(at) = sale.breaks_even else {
            return Err(TestCaseError::fail(format!("{deal:?} breaks even nowhere")));
        };
        let again = deal.told(SaleAsked { at: vec![at.clone()], ..deal.asked() });
        let profit = pennies(again.at[0].profit.as_deref().expect("it was paid for"));
        prop_assert_eq!(profit, deal.profit(pennies(&at), deal.paid));
        if pennies(&at) == 0 {
            prop_assert!(profit >= 0, "any price is enough");
        } else {
            prop_assert_eq!(profit, 0, "at {}", at);
            prop_assert!(deal.profit(pennies(&at) - 1, deal.paid) < 0, "{}", at);
        }
    }

    /// The highest bid, bought and sold at the expected price, earns the profit wished for; a penny
    /// more does not.
    #[test]
    fn the_highest_bid_earns_what_is_wished(deal in deals(), kind in 0usize..3, n in 0i128..6_000) {
        let mut asked = deal.with_premium();
        match kind {
            0 => asked.margin = Some(percent(n)),
            1 => asked.markup = Some(percent(n)),
            _ => asked.margin = Some(money(n)),
        }
        let meets = |bid: i128| {
            let cost = deal.cost(bid);
            let profit = deal.profit(deal.at, cost);
            match kind {
                0 => profit * 10_000 >= n * deal.at,
                1 => profit * 10_000 >= n * cost,
                _ => profit >= n,
            }
        };
        let row = &deal.told(asked).at[0];
        match &row.highest_bid {
            None => prop_assert!(!meets(0), "{:?}", row),
            Some(bid) => {
                let bid = pennies(bid);
                prop_assert!(meets(bid) && !meets(bid + 1), "{:?}", row);
                let costs = row.bid_costs.clone().expect("a bid costs something");
                prop_assert_eq!(pennies(&costs), deal.cost(bid));
                // Bought for that and sold as expected.
                let bought = deal.told(SaleAsked { paid: Some(costs), ..deal.asked() });
                prop_assert_eq!(&bought.at[0].profit, &row.bid_earns);
            }
        }
    }

    /// A hammer price paid is the same as all that it came to.
    #[test]
    fn a_hammer_price_paid_costs_what_comes_on_top(deal in deals()) {
        let hammer = deal.told(SaleAsked { paid_hammer: true, ..deal.with_premium() });
        let all = deal.told(SaleAsked { paid: Some(money(deal.cost(deal.paid))), ..deal.asked() });
        prop_assert_eq!(&hammer.paid, &all.paid);
        prop_assert_eq!(&hammer.breaks_even, &all.breaks_even);
        prop_assert_eq!(&hammer.at[0].profit, &all.at[0].profit);
        prop_assert_eq!(&hammer.at[0].tax, &all.at[0].tax);
    }

    /// At the price below which melting pays better, selling brings at least what melting does; a
    /// penny less brings less.
    #[test]
    fn melting_pays_better_below_its_price_alone(deal in deals(), grams in 1u32..2_000) {
        let asked = Asked {
            piece: format!("{grams}g sterling"),
            price: vec!["0.80/g".into()],
            pays: Some("95%".into()),
            sale: deal.asked(),
            ..Asked::default()
        };
        let w = worth(Tables::builtin(), &asked).expect("it can be reckoned");
        let offer = pennies(&w.offer.expect("a buyer pays").sum.low);
        let below = w.sale.expect("a sale").melt_below.expect("melting is known");
        let at = pennies(&below.low);
        let left = |price: i128| deal.profit(price, deal.paid) + deal.paid;
        prop_assert!(left(at) >= offer, "{} {}", left(at), offer);
        prop_assert!(at == 0 || left(at - 1) < offer, "{} {}", left(at - 1), offer);
    }

    /// A weight written in ounces, pennyweights and grains comes to what its grains do.
    #[test]
    fn a_weight_is_one_however_it_is_written(oz in 1u32..500, dwt in 0u32..20, gr in 0u32..24) {
        let grains = (oz * 20 + dwt) * 24 + gr;
        let read = |s: String| Weight::read(Tables::builtin(), &s).unwrap_or_else(|e| panic!("{s}: {e}")).grams;
        let want = read(format!("{grains} grains"));
        for way in [
            format!("{oz} oz {dwt} dwt {gr} gr"),
            format!("{oz}oz. {dwt}dwt. {gr}gr."),
            format!("{oz}={dwt}={gr}"),
            format!("{oz} ozt + {} gr", dwt * 24 + gr),
        ] {
            prop_assert_eq!(read(way.clone()), want.clone(), "{}", way);
        }
        if gr == 0 {
            prop_assert_eq!(read(format!("{oz}oz {dwt}")), want.clone());
            prop_assert_eq!(read(format!("{oz} = {dwt}")), want);
        }
    }

    /// Any words at all are reckoned or refused; a refusal says what would be right, and a value is a
    /// value.
    #[test]
    fn any_words_are_reckoned_or_refused(
        piece in "[0-9a-z½£€ .,=:+%/-]{0,24}|\\PC{0,24}",
        price in "[0-9.,£$€a-z /]{0,14}|\\PC{0,10}",
        less in "[0-9a-z .,%~-]{0,16}|\\PC{0,12}",
        paid in "[0-9.,£$-]{0,9}|\\PC{0,6}",
        fee in "[0-9.,%-]{0,8}",
    ) {
        for (p, l) in [(piece.as_str(), Vec::new()), ("178.5g sterling", vec![less]), ("20g 18 ct", Vec::new())] {
            let asked = Asked {
                piece: p.into(),
                less: l,
                price: vec![price.clone()],
                sale: SaleAsked { paid: Some(paid.clone()), fee: Some(fee.clone()), at: vec![paid.clone()], ..SaleAsked::default() },
                ..Asked::default()
            };
            let mut bare = asked.clone();
            bare.price.clear();
            bare.sale = SaleAsked::default();
            for a in [asked, bare] {
                match worth(Tables::builtin(), &a) {
                    Ok(w) => {
                        if let Some(v) = w.value {
                            prop_assert!(pennies_of_any(&v.low) >= 0 && pennies_of_any(&v.high) >= pennies_of_any(&v.low));
                        }
                    }
                    Err(e) => {
                        prop_assert!(!e.wrong.is_empty() && !e.remedy.is_empty(), "{:?}", e);
                        prop_assert!(e.remedy.iter().all(|r| !r.trim().is_empty()), "{:?}", e);
                    }
                }
            }
        }
    }
}

/// Parts of weights, amounts, prices and deductions, and what is none of them.
const MEASURED: [&str; 40] = [
    "178.5", "12", "1,785", "2 1/2", "½", "24=10", "-5", "0", "%", "g", "oz t", "oz", "dwt", "lb",
    "kg", "ct", "£", "GBP", "$", "€", "/", "per", "a", "each", "x", "to", "-", "–", "about", "~",
    "or so", "and", "+", ",", "silver", "gold", "blades", "wibble", "(", ".",
];

proptest! {
    #![proptest_config(proptest_config(2_000))]

    /// Every byte of what is weighed or paid has one home, and what is taken leaves no word of it out.
    #[test]
    fn every_byte_of_a_measure_has_one_home(
        parts in proptest::collection::vec((0usize..MEASURED.len(), any::<bool>()), 1..8),
    ) {
        let tables = Tables::builtin();
        let text: String = parts
            .iter()
            .map(|(i, spaced)| format!("{}{}", MEASURED[*i], if *spaced { " " } else { "" }))
            .collect();
        let text = text.trim();
        let weight = Weight::read(tables, text).is_ok();
        let paid = SaleAsked { paid: Some(text.into()), ..SaleAsked::default() };
        let amount = worth(tables, &Asked { sale: paid, ..Asked::default() }).is_ok();
        let piece =
            |asked: Asked| worth(tables, &Asked { piece: "9kg 925 gold".into(), ..asked }).is_ok();
        let price = piece(Asked { price: vec![text.into()], ..Asked::default() });
        let less = piece(Asked { less: vec![text.into()], ..Asked::default() });
        for (tree, taken) in [
            (trees::weight(tables, text), weight),
            (trees::amount(tables, text), amount),
            (trees::price(tables, text), price),
            (trees::deduction(tables, text), less),
        ] {
            covers(text, &tree);
            prop_assert!(!taken || tree.refused().is_none(), "{:?}: {:?}", text, tree);
        }
    }
}

/// What a tree says of a text.
#[test]
fn homes_of_a_weight_and_a_price() {
    let tables = Tables::builtin();
    let fates = |tree: Tree| -> Vec<String> {
        let told = tree.nodes().iter().filter(|n| n.fate != Fate::Parting);
        told.map(|n| format!("{:?}", n.fate)).collect()
    };
    assert_eq!(fates(trees::weight(tables, "12 oz, 5 dwt")), ["Used(Figure)"]);
    assert_eq!(
        fates(trees::weight(tables, "mug 178g")),
        ["Refused(NotUnderstood)", "Used(Figure)"]
    );
    assert_eq!(
        fates(trees::price(tables, "silver £24.10 per troy ounce")),
        ["Used(Standard)", "Used(Money)", "Used(Money)", "Aside(Joining)", "Used(Figure)"]
    );
    assert_eq!(fates(trees::amount(tables, "about £5"))[0], "Refused(Headless)");
}

/// Money of a currency with any number of places, without its point.
fn pennies_of_any(s: &str) -> i128 {
    s.replace('.', "").parse().expect("figures")
}

// ---- Refusals -----------------------------------------------------------------------------------

/// What cannot be read is answered with what was wrong and what would be right, and nothing else.
#[test]
fn hostile_input_is_refused_with_what_would_be_right() {
    let runs: [(&[&str], &str, &str); 40] = [
        (&[], "no weight is named", "such as 178.5g"),
        (&["178.5 sterling"], "no unit stands behind", "such as 178.5g"),
        (&["178.5 stone sterling"], "no unit stands behind", "the units are g, kg"),
        (&["-5g sterling"], "the weight \"-5\" is below nothing", "write 5g"),
        (&["0g sterling"], "is nothing", "write what the piece weighs"),
        (&["2000kg sterling"], "more than a tonne", "look at the figures and the unit"),
        (&["1,785g sterling"], "can be read two ways", "1785   write 1785g"),
        (&["1.234,5g sterling"], "comma where the point belongs", "write 1234.5g"),
        (&["12,5 oz t sterling"], "comma where the point belongs", "write 12.5 oz t"),
        (&["1..5g sterling"], "more than one point", "such as 1.5g"),
        (&["99999999999999999999g sterling"], "more figures than", "at most 18 figures"),
        (
            &["12 oz av 5 dwt sterling"],
            "oz av and dwt, which are not written together",
            "+ between two weights",
        ),
        (&["178.5g oz sterling"], "g and oz t, which are not written together", "178.5g"),
        (&["5 dwt 12 oz t sterling"], "dwt and oz t", "write one of them"),
        (&["178.5g 20g sterling"], "names g twice", "+ between two weights"),
        (&["178.5g sterling 20g"], "a second weight", "write one weight"),
        (&["12oz 25 sterling"], "25 as dwt", "fewer than 20 dwt"),
        (&["24=25 sterling"], "25 as dwt", "fewer than 20 dwt"),
        (&["5 lb sterling"], "the troy pound or the avoirdupois pound", "write lb t or lb av"),
        (&["178.5g"], "no fineness is named", "write a standard"),
        (&["178.5g silver"], "more than one standard", "write which: sterling silver"),
        (&["178.5g bronze"], "names no fineness", "write a standard"),
        (&["178.5g sterling Birmingham"], "says more than a fineness", "write the standard alone"),
        (&["20g 1200"], "pure metal is 1000 parts", "such as 925"),
        (&["20g 18"], "does not say of what it is counted", "write 18 carat"),
        (&["20g 25ct"], "pure metal is 24 carat", "at most 24"),
        (&["20g 18ct silver"], "counts silver in carat", "parts of a thousand"),
        (&["20g sterling", "--price", "24.10"], "says not for what weight", "24.10/ozt"),
        (&["20g sterling", "--price", "24.10/yard"], "no unit of weight", "the units are"),
        (&["20g sterling", "--price", "0/g"], "no price of metal", "24.50/ozt"),
        (&["20g sterling", "--price", "-3/g"], "below nothing", "write 3"),
        (&["20g sterling", "--price", "XYZ 3/g"], "\"XYZ\" is no currency", "GBP"),
        (
            &["20g sterling", "--price", "£3/g", "--paid", "€10"],
            "is in £ and \"€10\" in €",
            "in one currency",
        ),
        (
            &["20g sterling", "--price", "$3/g", "--paid", "USD 10"],
            "is in $ and",
            "in one currency",
        ),
        (&["20g sterling", "--price", "gold 3/g"], "no price is of the metal", "of that metal"),
        (&["20g sterling", "--pays", "95%"], "and no price", "24.50/ozt"),
        (&["20g sterling", "--price", "3/g", "--pays", "95"], "no share of a hundred", "write 95%"),
        (
            &["20g sterling", "--price", "3/g", "--pays", "105%"],
            "more than the metal is worth",
            "such as 95%",
        ),
        (&["20g sterling", "--less", "blades 30g"], "takes off the whole weight", "weighs 20 g"),
        (&["20g sterling", "--less", "blades"], "does not say how much", "blades 42g"),
    ];
    // What would be valued too high if a word were passed over.
    let hedged: [(&[&str], &str, &str); 9] = [
        (&["100g under 925"], "\"under\" names no fineness", "925"),
        (&["100g half sterling"], "\"half\" names", "sterling"),
        (&["100g about sterling"], "\"100g about\" is a guess", "such as 100g"),
        (&["approx 100g sterling"], "is a guess", "such as 100g"),
        (&["20 oz all in sterling"], "\"all\" names", "sterling"),
        (&["100g 900"], "does not say of which metal", "900 silver, 900 gold"),
        (&["640g sterling", "--less", "12 blades 35g each"], "counts pieces", "together"),
        (&["640g sterling", "--less", "12x35g blades"], "counts pieces", "together"),
        (
            &["20g sterling", "--price", "3/g", "--pays", "0.95"],
            "no share of a hundred",
            "write 95%",
        ),
    ];
    for (args, wrong, right) in runs.into_iter().chain(hedged) {
        let r = puncheon(&[&["worth"], args].concat());
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}: {}", r.err);
        assert!(r.err.starts_with("puncheon: "), "{args:?}: {}", r.err);
        assert!(r.err.contains(wrong), "{args:?}: {}", r.err);
        assert!(r.err.contains(right), "{args:?}: {}", r.err);
    }
}

/// Every word for "about" makes a guess of a weight, of what comes off it, of a fineness and of money.
#[test]
fn every_word_for_about_is_one_everywhere() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../tables/vocabulary/times.ron");
    let text = std::fs::read_to_string(file).expect("the table is there");
    let (entries, problems) = Entries::read([("times.ron", text.as_str())]);
    assert!(problems.is_empty(), "{problems:?}");
    let about = entries.words.iter().map(|w| &w.entry).filter(|w| w.means == Meaning::About);
    let phrases: Vec<&String> = about.flat_map(|w| w.say.iter().chain(&w.slips)).collect();
    assert!(phrases.len() > 20, "{phrases:?}");
    let refused = |asked: &Asked| match worth(Tables::builtin(), asked) {
        Ok(w) => panic!("{asked:?}: {w:?}"),
        Err(e) => e.wrong,
    };
    for said in phrases {
        let piece = |piece: String| Asked { piece, ..Asked::default() };
        for weight in [format!("{said} 178g sterling"), format!("178g {said} sterling")] {
            let wrong = refused(&piece(weight));
            assert!(wrong.contains("is a guess"), "{said}: {wrong}");
        }
        let wrong = refused(&piece(format!("sterling {said} {said} 178g")));
        assert!(wrong.contains("is a guess"), "{said}: {wrong}");
        for paid in [format!("{said} £140"), format!("£140 {said}"), format!("140 GBP {said}")] {
            let sale = SaleAsked { paid: Some(paid), ..SaleAsked::default() };
            let wrong = refused(&Asked { sale, ..Asked::default() });
            assert!(wrong.contains("is a guess"), "{said}: {wrong}");
        }
        let less = vec![format!("{said} 20g pitch")];
        let w = worth(Tables::builtin(), &Asked { less, ..piece("178g sterling".into()) });
        let w = w.unwrap_or_else(|e| panic!("{said}: {e}"));
        assert_eq!(
            (w.less[0].weight.g.low.as_str(), w.less[0].weight.g.high.as_str()),
            ("18", "22")
        );
        assert_eq!(w.less[0].name, "pitch", "{said}");
    }
}

/// Plate in the words for the piece is not valued, whatever fineness or marks stand beside it; a
/// plated part is.
#[test]
fn plate_by_its_description_is_not_valued() {
    let marks = "anchor, lion passant, small roman f, king's head";
    for (item, code) in [
        ("EPNS tray", 1),
        ("Sheffield plate dish", 1),
        ("silver plated tray", 1),
        ("tray", 0),
        ("mustard pot, the lid silver plated", 0),
        ("mustard pot with EPNS spoon", 0),
        ("six table knives", 0),
    ] {
        for piece in [&["100g sterling"][..], &["100g", "--marks", marks]] {
            let more = ["--item", item, "--price", "£24.10/ozt"];
            let r = puncheon(&[&["worth"], piece, &more].concat());
            assert_eq!(r.code, code, "{item}: {}{}", r.out, r.err);
            assert_eq!(r.out.contains("Not valued"), code == 1, "{}", r.out);
        }
    }
}

/// What steers a terminal is never printed back to it.
#[test]
fn nothing_typed_steers_the_terminal() {
    let list = "number,description,marks,gross\n1,sp\u{1b}[31moon,\"anchor, lion passant, small roman f, king's head\",30g\n";
    let listed = run(PUNCHEON, &["worth", "--list", "-", "--price", "£1/g"], list);
    let less = puncheon(&["worth", "100g sterling", "--less", "li\u{1b}[31mner 20g"]);
    let asked = puncheon(&["sponsors", "W\u{1b}[31mS"]);
    for r in [listed, less, asked] {
        assert!(!r.out.contains('\u{1b}') && !r.err.contains('\u{1b}'), "{}{}", r.out, r.err);
    }
}

/// What is weighed in and is no metal makes a value the most it can be, wherever it is spoken of.
#[test]
fn what_weighs_with_it_makes_a_value_the_most_it_can_be() {
    let marks = "anchor, lion passant, small roman f, king's head";
    let on_base = format!("{marks} on a plated base");
    for (marks, item) in [
        (marks, "six table knives"),
        (marks, "hairbrush"),
        (marks, "pocket watch"),
        (marks, "photograph frame"),
        (marks, "diamond ring"),
        (on_base.as_str(), "candlestick"),
    ] {
        let args = ["worth", "100g", "--marks", marks, "--item", item, "--price", "£1/g"];
        let r = puncheon(&args);
        assert_eq!(r.code, 0, "{item}: {}", r.err);
        assert!(r.out.starts_with("Metal value at most"), "{item}: {}", r.out);
    }
}

/// What no price was named for is counted apart from what is valued.
#[test]
fn a_schedule_counts_what_has_no_price_apart() {
    let list = "number,description,marks,gross\n\
        1,spoon,\"anchor, lion passant, small roman f, king's head\",30g\n\
        2,ring,\"anchor, crown, 18, small roman c\",5g\n";
    let r = run(PUNCHEON, &["worth", "--list", "-", "--price", "silver £24.10/ozt"], list);
    assert_eq!(r.code, 0, "{}", r.err);
    assert!(r.out.starts_with("1 of 2 pieces valued"), "{}", r.out);
    assert!(r.out.contains("no price of it was named"), "{}", r.out);
    assert!(r.out.contains("No price of gold was named"), "{}", r.out);
}

#[test]
fn hostile_figures_of_a_sale_are_refused() {
    let runs: [(&[&str], &str, &str); 10] = [
        (&["--paid", "10.005"], "more than 2 decimals", "write 10.01"),
        (&["--paid", "JPY 10.5"], "more than no decimals", "write 11 JPY"),
        (&["--paid", "10", "--fee", "100%"], "leaves nothing", "below 100%"),
        (&["--paid", "10", "--fee", "11"], "no share of a hundred", "write 11%"),
        (&["--paid", "10", "--at", "1,200"], "part prices or thousands", "1, 200"),
        (&["--paid", "10", "--at", "£1,200,£1,500"], "part prices or thousands", "without a comma"),
        (&["--paid", "ten"], "no amount of money", "such as 140"),
        (&["--paid", "£10", "--at", "120 quid"], "\"quid\" is no currency", "GBP"),
        (&["--at", "100", "--margin", "100%"], "leaves nothing", "below 100%"),
        (&["--paid", "99999999999"], "more than a thousand million", "look at the figures"),
    ];
    for (args, wrong, right) in runs {
        let r = puncheon(&[&["worth"], args].concat());
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}: {}", r.err);
        assert!(r.err.contains(wrong) && r.err.contains(right), "{args:?}: {}", r.err);
    }
    for args in [
        &["--margin", "20%"][..],
        &["--paid", "150", "--paid-hammer"],
        &["--paid-hammer", "--premium", "26%"],
        &["178g sterling", "--fee-on", "hammer"],
        &["--paid", "100", "--metal", "silver"],
        &["--paid", "100", "--item", "teapot"],
        &["--at", "100", "--margin", "20%", "--markup", "20%"],
        &["--at", "100", "--premium-vat", "20%"],
        &["178g sterling", "--basis", "probate"],
        &["178g sterling", "--list", "x.csv"],
        &["--list", "x.csv", "--paid", "3"],
    ] {
        let r = puncheon(&[&["worth"], args].concat());
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}: {}", r.err);
    }
}

/// What is named and falls on nothing is refused, and never said to have been reckoned with.
#[test]
fn what_a_sum_does_not_use_is_refused() {
    let piece = ["178.5g sterling", "--price", "24.10/ozt"];
    let at = ["--paid", "150", "--at", "250", "--fee", "15%"];
    for (args, wrong, right) in [
        (
            [&piece[..], &at, &["--premium", "26%", "--premium-vat", "20%"]].concat(),
            "a premium is named, and nothing that it falls on",
            "--paid-hammer",
        ),
        (
            vec!["--paid", "150", "--premium", "26%"],
            "a premium is named, and nothing that it falls on",
            "--margin 25%",
        ),
        (
            vec!["178.5g sterling", "--fee", "15%"],
            "a fee is named, and nothing that is sold",
            "--at 150",
        ),
        (vec!["--fee-fixed", "0.30"], "a fixed fee is named, and nothing that is sold", "--at 150"),
        (
            vec!["178.5g sterling", "--post", "5"],
            "post is named, and nothing that is sold",
            "--paid 100",
        ),
        (
            vec!["--charged-post", "5"],
            "post charged is named, and nothing that is sold",
            "--paid 100",
        ),
        (vec!["--at", "100", "--margin-scheme", "20%"], "and no cost", "--paid 150"),
        ([&piece[..], &["--margin-scheme", "20%"]].concat(), "and no cost", "--paid 150"),
        (vec!["--paid", "150", "--fee-on", "hammer"], "and no fee", "such as 11%"),
    ] {
        let r = puncheon(&[&["worth"], &args[..]].concat());
        assert_eq!((r.code, r.out.as_str()), (2, ""), "{args:?}: {}", r.err);
        assert!(r.err.contains(wrong) && r.err.contains(right), "{args:?}: {}", r.err);
    }
    // What is not valued is told so, and reckons nothing.
    let r = puncheon(&["worth", "178g", "--marks", "EPNS", "--fee", "15%"]);
    assert_eq!(r.code, 1, "{}", r.err);
    assert!(!r.out.contains("Reckoned"), "{}", r.out);
}

/// 150 and its premium of 39 and 7.80 tax on that: 196.80, which 15% less than 231.53 leaves.
#[test]
fn a_hammer_price_paid_has_its_premium_added() {
    let r = puncheon(&[
        "worth",
        "--paid",
        "150",
        "--paid-hammer",
        "--premium",
        "26%",
        "--premium-vat",
        "20%",
        "--at",
        "250",
        "--fee",
        "15%",
    ]);
    assert_eq!(r.code, 0, "{}", r.err);
    let flat = r.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Breaks even at 231.53",
        "196.80: 150.00 hammer price, 39.00 premium and 7.80 tax on it",
        "a premium of 26% on the hammer price paid with 20% tax on it",
        "250.00 37.50 212.50 15.70",
    ] {
        assert!(flat.contains(said), "{said}: {}", r.out);
    }
}

/// Words that leave something open are said to have been taken so.
#[test]
fn what_is_taken_for_granted_is_said() {
    for (args, said) in [
        (&["12 oz sterling"][..], "\"oz\" is read as the troy ounce"),
        (&["300 gr sterling"], "\"gr\" is read as the grain"),
        (&["3oz 12 sterling"], "is read as 3oz 12 dwt"),
        (&["20g 14ct"], "585 parts in 1000 by law; 14 in 24 would be 583.33"),
        (&["20g Britannia"], "is reckoned as 23/24"),
        (&["20g 958"], "is reckoned as typed"),
        (&["20g sterling", "--less", "pitch 50%"], "is taken as 45% to 55%"),
        (&["20g sterling", "--less", "about 5g pitch"], "is taken as 4.5 to 5.5 g"),
        (&["200g sterling", "--less", "loaded"], "from published cases; a guess"),
    ] {
        let r = puncheon(&[&["worth"], args].concat());
        let flat = r.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(r.code, 0, "{args:?}: {}", r.err);
        assert!(flat.contains(said), "{args:?}: {}", r.out);
    }
}
