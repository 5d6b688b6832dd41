//! Spreadsheets: what goes in comes out, with the answers of the same rows as a text behind it.

use std::fs::{self, File};
use std::io::{BufReader, Read, Write};
use std::path::{Path, PathBuf};

use calamine::{Data, Range, Reader, SheetVisible, Xlsx};
use puncheon_tests::{Ran, run};
use rust_xlsxwriter::{
    Button, Chart, ChartType, ConditionalFormatDuplicate, DataValidation, DocProperties,
    ExcelDateTime, FilterCondition, Format, Formula, Image, Note, Shape, Sparkline, Table, Url,
    Workbook, Worksheet, XlsxError,
};
use tempfile::TempDir;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// Rows of a stock book: lot, marks, what is stated.
const STOCK: [(&str, &str, &str); 6] = [
    ("spoon", "anchor, lion passant, small roman f, king's head", "Birmingham 1803"),
    ("fork", "anchor, lion passant, small k", "London 1750"),
    ("cup", "lion passant, leopard's head, worn gothic n or h", ""),
    ("tray", "gibberish, \"zzz\"\tand\nanother line", "nonsense"),
    ("empty", "", ""),
    ("again", "anchor, lion passant, small k", "1808"),
];

struct Bench {
    folder: TempDir,
}

impl Bench {
    fn new() -> Bench {
        Bench { folder: tempfile::tempdir().expect("a folder can be made") }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn named(&self, name: &str) -> String {
        self.path(name).to_string_lossy().into_owned()
    }

    fn save(&self, name: &str, mut book: Workbook) -> String {
        book.save(self.path(name)).expect("the workbook is written");
        self.named(name)
    }

    /// The stock book, as it is, in a workbook of one sheet.
    fn stock(&self) -> String {
        let mut book = Workbook::new();
        stock(book.add_worksheet());
        self.save("stock.xlsx", book)
    }

    fn files(&self) -> Vec<String> {
        let all = fs::read_dir(self.folder.path()).expect("the folder can be listed");
        let mut names: Vec<String> =
            all.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

fn stock(sheet: &mut Worksheet) {
    for (i, name) in ["Lot", "Hallmarks", "Stated"].iter().enumerate() {
        sheet.write_string(0, i as u16, *name).expect("a head");
    }
    for (i, (lot, marks, stated)) in STOCK.iter().enumerate() {
        let row = i as u32 + 1;
        for (column, text) in [lot, marks, stated].iter().enumerate() {
            sheet.write_string(row, column as u16, **text).expect("a cell");
        }
    }
}

fn enrich(args: &[&str]) -> Ran {
    run(PUNCHEON, &[&["enrich"], args].concat(), "")
}

fn done(args: &[&str]) -> Ran {
    let r = enrich(args);
    assert_eq!(r.code, 0, "{}", r.err);
    assert!(r.out.is_empty(), "{}", r.out);
    r
}

fn refused(args: &[&str], said: &[&str]) {
    let r = enrich(args);
    assert_eq!(r.code, 2, "{}{}", r.out, r.err);
    for s in said {
        assert!(r.err.contains(s), "{s:?} is not in: {}", r.err);
    }
    assert!(r.out.is_empty(), "{}", r.out);
}

fn opened(path: impl AsRef<Path>) -> Xlsx<BufReader<File>> {
    calamine::open_workbook(path).expect("the result is a workbook")
}

fn sheet(path: impl AsRef<Path>, name: &str) -> Range<Data> {
    opened(path).worksheet_range(name).expect("the sheet is there")
}

/// A cell by its row and column.
fn at(range: &Range<Data>, row: u32, column: u32) -> Data {
    range.get_value((row, column)).cloned().unwrap_or_default()
}

/// Every used cell of a sheet.
fn used(range: &Range<Data>) -> Vec<(usize, usize, Data)> {
    let cells = range.used_cells();
    cells.map(|(r, c, v)| (r, c, v.clone())).collect()
}

fn column(range: &Range<Data>, name: &str) -> u32 {
    let head = 0..=range.end().expect("the sheet holds something").1;
    head.into_iter()
        .find(|c| at(range, 0, *c) == Data::String(name.into()))
        .unwrap_or_else(|| panic!("no column {name}"))
}

/// A text taken apart, quotes and all.
fn parsed(csv: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut field) = (Vec::new(), Vec::new(), String::new());
    let mut quoted = false;
    let mut chars = csv.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                field.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut field)),
            '\n' if !quoted => {
                row.push(std::mem::take(&mut field));
                rows.push(std::mem::take(&mut row));
            }
            c => field.push(c),
        }
    }
    rows
}

fn quoted(s: &str) -> String {
    format!("\"{}\"", s.replace('"', "\"\""))
}

#[test]
fn the_answers_are_those_of_the_same_rows_as_a_text() {
    let b = Bench::new();
    let book = b.stock();
    let mut csv = "Lot,Hallmarks,Stated\n".to_string();
    for (lot, marks, stated) in STOCK {
        csv += &format!("{},{},{}\n", quoted(lot), quoted(marks), quoted(stated));
    }
    fs::write(b.path("stock.csv"), csv).expect("the text is written");
    let with = ["--marks", "Hallmarks", "--claim", "stated", "--stamp", "--prefix", "hm_"];
    let (out, text) = (b.named("out.xlsx"), b.named("out.csv"));
    let (sums, text_sums) = (b.named("sheet.json"), b.named("text.json"));
    let (work, text_work) = (b.named("sheet.work"), b.named("text.work"));
    let mut args = vec![book.as_str(), "-o", &out, "--summary", &sums, "--worklist", &work];
    args.extend(with);
    let r = done(&args);
    assert!(
        r.err.starts_with(
            "values and their types are kept; formulas become their values, and formats are lost\n"
        ),
        "{}",
        r.err
    );
    assert!(r.err.contains("6 rows read, 6 written to"), "{}", r.err);
    let csv_file = b.named("stock.csv");
    let mut args =
        vec![csv_file.as_str(), "-o", &text, "--summary", &text_sums, "--worklist", &text_work];
    args.extend(with);
    done(&args);

    let range = sheet(&out, "Sheet1");
    let rows = parsed(&fs::read_to_string(&text).expect("the text is there"));
    assert_eq!(rows.len(), STOCK.len() + 1);
    assert_eq!(range.get_size(), (rows.len(), rows[0].len()));
    let numbers = ["hm_year_from", "hm_year_to", "hm_fineness", "hm_fits"];
    let mut seen = 0;
    for (r, row) in rows.iter().enumerate() {
        for (c, text) in row.iter().enumerate() {
            let cell = at(&range, r as u32, c as u32);
            let expected = if text.is_empty() {
                Data::Empty
            } else if r > 0 && numbers.contains(&rows[0][c].as_str()) {
                seen += 1;
                Data::Float(text.parse().expect("a number"))
            } else {
                Data::String(text.clone())
            };
            assert_eq!(cell, expected, "row {r}, {}", rows[0][c]);
        }
    }
    assert!(seen > 5, "{seen} numbers");

    let summary = |file: &str| {
        let text = fs::read_to_string(file).expect("the summary is there");
        let mut v: serde_json::Value = serde_json::from_str(&text).expect("the summary is JSON");
        for differs in ["elapsed", "bytes", "repeated"] {
            assert!(v.as_object_mut().expect("an object").remove(differs).is_some());
        }
        v
    };
    assert_eq!(summary(&sums), summary(&text_sums));
    let read = |f: &str| fs::read_to_string(f).expect("the worklist is there");
    assert_eq!(read(&work), read(&text_work));
    assert!(read(&work).lines().count() > 1, "nothing disagrees");
}

#[test]
fn a_reading_too_long_for_a_cell_is_left_out_and_said_to_be() {
    let b = Bench::new();
    let out = b.named("out.xlsx");
    let r = enrich(&[
        &b.stock(),
        "--marks",
        "Hallmarks",
        "--add",
        "outcome",
        "--detail",
        "json",
        "-o",
        &out,
    ]);
    assert_eq!(r.code, 1, "{}", r.err);
    let said =
        "\"reading\" is left out: it takes more than the 32767 characters that a cell can hold";
    assert!(
        r.err.contains("1 answer does not fit into a cell:\n    row 4, column 5: "),
        "{}",
        r.err
    );
    assert!(r.err.contains(said), "{}", r.err);
    let range = sheet(&out, "Sheet1");
    for row in 1..=STOCK.len() as u32 {
        assert_ne!(at(&range, row, 3), Data::Empty, "row {row}");
        let Data::String(text) = at(&range, row, 4) else {
            panic!("row {row} has no reading");
        };
        if row == 3 {
            assert_eq!(text, said);
        } else {
            serde_json::from_str::<serde_json::Value>(&text).expect("a reading is JSON");
        }
    }
}

#[test]
fn values_types_and_other_sheets_are_kept() {
    let b = Bench::new();
    let mut book = Workbook::new();
    let day = Format::new().set_num_format("d mmmm yyyy").set_bold();
    let time = Format::new().set_num_format("hh:mm");
    let both = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    let span = Format::new().set_num_format("[h]:mm:ss");
    let when = |s: &str| ExcelDateTime::parse_from_str(s).expect("a date");
    let fill = |s: &mut Worksheet| {
        s.write_string(0, 0, "Marks")?;
        for (i, name) in ["n", "b", "d", "dt", "t", "span", "f", "text"].iter().enumerate() {
            s.write_string(0, i as u16 + 1, *name)?;
        }
        for row in [1, 3] {
            s.write_string(row, 0, "anchor, lion passant, small k")?;
            s.write_number(row, 1, 0.1 + 0.2)?;
            s.write_boolean(row, 2, true)?;
            s.write_datetime_with_format(row, 3, when("1999-12-31"), &day)?;
            s.write_datetime_with_format(row, 4, when("2001-02-03T04:05"), &both)?;
            s.write_datetime_with_format(row, 5, when("04:05"), &time)?;
            s.write_number_with_format(row, 6, 1.5, &span)?;
            s.write_formula(row, 7, Formula::new("=6*7").set_result("42"))?;
            s.write_string(row, 8, "  =1+1 <&> \u{1f944}\nnext  ")?;
        }
        // Past the head, and in a row that has no marks.
        s.write_string(3, 11, "far out")?;
        s.write_number(4, 1, -12_345_678_901.0)?;
        Ok::<_, rust_xlsxwriter::XlsxError>(())
    };
    fill(book.add_worksheet().set_name("Notes & more").expect("a name")).expect("cells");
    let stock = book.add_worksheet().set_name("Stock").expect("a name");
    fill(stock).expect("cells");
    let hidden = book.add_worksheet().set_name("Hidden").expect("a name");
    hidden.set_hidden(true);
    hidden.write_string(5, 5, "alone").expect("a cell");
    let empty = book.add_worksheet().set_name("Empty").expect("a name");
    empty.set_very_hidden(true);
    let input = b.save("in.xlsx", book);
    let out = b.named("out.xlsx");
    let r = done(&[&input, "--marks", "Marks", "--sheet", "stock", "-o", &out]);
    // The row between holds nothing, and is no row.
    assert!(r.err.contains("3 rows read, 3 written"), "{}", r.err);

    let (mut was, mut is) = (opened(&input), opened(&out));
    assert_eq!(was.sheet_names(), is.sheet_names());
    let seen = |x: &Xlsx<_>| -> Vec<SheetVisible> {
        x.sheets_metadata().iter().map(|s| s.visible).collect()
    };
    assert_eq!(seen(&was), seen(&is));
    for name in ["Notes & more", "Hidden", "Empty"] {
        let (was, is) = (
            was.worksheet_range(name).expect("a sheet"),
            is.worksheet_range(name).expect("a sheet"),
        );
        assert_eq!(was.start(), is.start(), "{name}");
        assert_eq!(used(&was), used(&is), "{name}");
    }
    let (was, is) = (sheet(&input, "Stock"), sheet(&out, "Stock"));
    for row in 0..5 {
        for c in 0..12 {
            assert_eq!(at(&was, row, c), at(&is, row, c), "row {row}, column {c}");
        }
    }
    assert_eq!(at(&is, 1, 7), Data::Float(42.0));
    assert_eq!(at(&is, 1, 8), Data::String("  =1+1 <&> \u{1f944}\nnext  ".into()));
    assert!(matches!(at(&is, 1, 3), Data::DateTime(d) if d.is_datetime()));
    assert!(matches!(at(&is, 1, 6), Data::DateTime(d) if d.is_duration()));
    assert_eq!(column(&is, "outcome"), 12, "behind the widest row");
    assert_eq!(at(&is, 1, 12), Data::String("fits".into()));
    assert_eq!(at(&is, 2, 12), Data::Empty);
    assert_eq!(is.end().expect("cells").0, 4);
    // Formulas are gone.
    let formulas = opened(&out).worksheet_formula("Stock").expect("a sheet");
    assert!(formulas.is_empty(), "{formulas:?}");
}

#[test]
fn the_first_sheet_shown_is_taken_and_its_first_row_with_anything_is_the_head() {
    let b = Bench::new();
    let mut book = Workbook::new();
    book.add_worksheet().set_hidden(true);
    let s = book.add_worksheet().set_active(true);
    s.write_string(2, 3, "Marks").expect("a cell");
    s.write_string(2, 4, "When").expect("a cell");
    s.write_string(3, 3, "anchor, lion passant, small k").expect("a cell");
    s.write_number(3, 4, 1808).expect("a cell");
    let input = b.save("in.xlsx", book);
    let out = b.named("out.xlsx");
    done(&[&input, "--marks", "marks", "--claim", "When", "-o", &out]);
    let range = sheet(&out, "Sheet2");
    assert_eq!(range.start(), Some((2, 3)));
    assert_eq!(at(&range, 3, 4), Data::Float(1808.0));
    assert_eq!(at(&range, 2, 5), Data::String("outcome".into()));
    let verdict = (5..40).find(|c| at(&range, 2, *c) == Data::String("verdict".into()));
    // A number is a year as much as its text is.
    assert_eq!(at(&range, 3, verdict.expect("a verdict")), Data::String("possible".into()));
}

#[test]
fn many_rows_come_out_in_order_and_the_same_every_time() {
    let b = Bench::new();
    let mut book = Workbook::new();
    let s = book.add_worksheet();
    s.write_string(0, 0, "Lot").expect("a cell");
    s.write_string(0, 1, "Marks").expect("a cell");
    for row in 1..=5000u32 {
        s.write_number(row, 0, row).expect("a cell");
        let letter = (b'a' + (row % 26) as u8) as char;
        s.write_string(row, 1, format!("anchor, lion passant, small {letter}, zzq{row}"))
            .expect("a cell");
    }
    let input = b.save("in.xlsx", book);
    let (one, two) = (b.named("one.xlsx"), b.named("two.xlsx"));
    let add = ["--marks", "Marks", "--add", "best_shown,not_understood,fits"];
    done(&[&[input.as_str(), "-o", &one][..], &add].concat());
    done(&[&[input.as_str(), "--threads", "1", "-o", &two][..], &add].concat());
    assert!(fs::read(&one).expect("a file") == fs::read(&two).expect("a file"));
    let range = sheet(&one, "Sheet1");
    assert_eq!(range.get_size(), (5001, 5));
    for row in 1..=5000 {
        assert_eq!(at(&range, row, 0), Data::Float(f64::from(row)));
        let Data::String(words) = at(&range, row, 3) else {
            panic!("row {row} names no words");
        };
        assert!(words.contains(&format!("zzq{row}")), "row {row}: {words}");
    }
}

#[test]
fn the_workbook_itself_is_replaced_only_when_asked() {
    let b = Bench::new();
    let book = b.stock();
    let before = fs::read(&book).expect("a file");
    let marks = ["--marks", "Hallmarks"];
    refused(
        &[&[book.as_str(), "-o", &book][..], &marks].concat(),
        &["is the catalogue itself", "--in-place"],
    );
    assert!(fs::read(&book).expect("a file") == before);
    done(&[&[book.as_str(), "--in-place"][..], &marks].concat());
    assert_eq!(column(&sheet(&book, "Sheet1"), "outcome"), 3);
    // A second time the columns are there already.
    let before = fs::read(&book).expect("a file");
    refused(
        &[&[book.as_str(), "--in-place"][..], &marks].concat(),
        &["has a column \"outcome\" already", "--prefix"],
    );
    assert!(fs::read(&book).expect("a file") == before);
    assert_eq!(b.files(), ["stock.xlsx"]);
}

/// A picture of one dot.
const DOT: [u8; 67] = [
    0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d, 0x49, 0x48, 0x44, 0x52,
    0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x08, 0x00, 0x00, 0x00, 0x00, 0x3a, 0x7e, 0x9b,
    0x55, 0x00, 0x00, 0x00, 0x0a, 0x49, 0x44, 0x41, 0x54, 0x78, 0x9c, 0x63, 0x60, 0x00, 0x00, 0x00,
    0x02, 0x00, 0x01, 0x48, 0xaf, 0xa4, 0x71, 0x00, 0x00, 0x00, 0x00, 0x49, 0x45, 0x4e, 0x44, 0xae,
    0x42, 0x60, 0x82,
];

/// What would be lost in a workbook's own place is named, and the workbook is left as it is.
#[test]
fn a_workbook_is_not_replaced_where_anything_would_be_lost() {
    type Add = fn(&mut Workbook) -> Result<(), XlsxError>;
    fn first(book: &mut Workbook) -> &mut Worksheet {
        book.worksheet_from_index(0).expect("a sheet")
    }
    let b = Bench::new();
    let things: [(&str, Add); 34] = [
        ("notes", |b| first(b).insert_note(1, 0, &Note::new("sold")).map(drop)),
        ("pictures", |b| {
            let dot = Image::new_from_buffer(&DOT)?;
            first(b).insert_image(2, 5, &dot).map(drop)
        }),
        ("cells of another kind", |b| {
            let dot = Image::new_from_buffer(&DOT)?;
            first(b).embed_image(2, 5, &dot).map(drop)
        }),
        ("pictures", |b| {
            let dot = Image::new_from_buffer(&DOT)?;
            first(b).insert_background_image(&dot);
            Ok(())
        }),
        ("charts", |b| {
            let mut chart = Chart::new(ChartType::Line);
            chart.add_series().set_values("Sheet1!$A$2:$A$4");
            first(b).insert_chart(1, 5, &chart).map(drop)
        }),
        ("sheets of charts", |b| {
            let mut chart = Chart::new(ChartType::Line);
            chart.add_series().set_values("Sheet1!$A$2:$A$4");
            b.add_chartsheet().insert_chart(0, 0, &chart).map(drop)
        }),
        ("pictures", |b| first(b).insert_shape(1, 5, &Shape::textbox()).map(drop)),
        ("controls", |b| first(b).insert_button(1, 5, &Button::new()).map(drop)),
        ("links", |b| {
            let url = Url::new("https://example.com/1");
            first(b).write_url(1, 5, url).map(drop)
        }),
        ("filters", |b| first(b).autofilter(0, 0, 6, 2).map(drop)),
        ("hidden", |b| {
            first(b).autofilter(0, 0, 6, 2)?;
            let spoons = FilterCondition::new().add_list_filter("spoon");
            first(b).filter_column(0, &spoons).map(drop)
        }),
        ("what may be typed", |b| {
            let rule = DataValidation::new().allow_list_strings(&["yes", "no"])?;
            first(b).add_data_validation(1, 5, 6, 5, &rule).map(drop)
        }),
        ("frozen", |b| first(b).set_freeze_panes(1, 0).map(drop)),
        ("merged", |b| {
            let usual = Format::new();
            first(b).merge_range(8, 0, 8, 2, "sold", &usual).map(drop)
        }),
        ("conditional formats", |b| {
            let twice = ConditionalFormatDuplicate::new();
            first(b).add_conditional_format(1, 0, 6, 0, &twice).map(drop)
        }),
        ("tables", |b| first(b).add_table(10, 0, 12, 2, &Table::new()).map(drop)),
        ("extLst", |b| {
            let line = Sparkline::new().set_range(("Sheet1", 1, 0, 4, 0));
            first(b).add_sparkline(1, 5, &line).map(drop)
        }),
        ("names of cells", |b| b.define_name("Stock", "=Sheet1!$A$2:$C$7").map(drop)),
        ("protection", |b| {
            first(b).protect();
            Ok(())
        }),
        ("protection", |b| {
            b.read_only_recommended();
            Ok(())
        }),
        ("hidden or grouped", |b| first(b).set_row_hidden(2).map(drop)),
        ("hidden or grouped", |b| first(b).set_column_hidden(2).map(drop)),
        ("hidden or grouped", |b| first(b).group_rows(2, 3).map(drop)),
        ("formats", |b| {
            let bold = Format::new().set_bold();
            first(b).write_string_with_format(0, 0, "Lot", &bold).map(drop)
        }),
        ("formats", |b| {
            let money = Format::new().set_num_format("\"\u{a3}\"0.00");
            first(b).write_number_with_format(2, 5, 12, &money).map(drop)
        }),
        ("formats", |b| {
            let red = Format::new().set_background_color(0xff_00_00);
            first(b).set_column_format(1, &red).map(drop)
        }),
        ("formats within a cell", |b| {
            let (usual, bold) = (Format::new(), Format::new().set_bold());
            let parts = [(&usual, "not "), (&bold, "sold")];
            first(b).write_rich_string(2, 5, &parts).map(drop)
        }),
        ("formulas", |b| {
            let sum = Formula::new("=6*7").set_result("42");
            first(b).write_formula(2, 5, sum).map(drop)
        }),
        ("page breaks", |b| first(b).set_page_breaks(&[3]).map(drop)),
        ("coloured tabs", |b| {
            first(b).set_tab_color(0xff_00_00);
            Ok(())
        }),
        ("properties of its own", |b| {
            b.set_properties(&DocProperties::new().set_custom_property("Insured", "yes"));
            Ok(())
        }),
        ("the property HyperlinkBase", |b| {
            let base = DocProperties::new().set_hyperlink_base("https://example.com/");
            b.set_properties(&base);
            Ok(())
        }),
        // All that hold nothing.
        ("hidden or grouped", |b| {
            first(b).hide_unused_rows(true);
            Ok(())
        }),
        // On any of the sheets.
        ("merged", |b| {
            let other = b.add_worksheet();
            let usual = Format::new();
            other.merge_range(8, 0, 8, 2, "sold", &usual).map(drop)
        }),
    ];
    for (i, (word, add)) in things.into_iter().enumerate() {
        let mut book = Workbook::new();
        stock(book.add_worksheet());
        add(&mut book).expect("it can be added");
        let book = b.save("held.xlsx", book);
        let before = fs::read(&book).expect("a file");
        let at = format!("{i}, {word}");
        let r = enrich(&[&book, "--in-place", "--marks", "Hallmarks"]);
        assert_eq!(r.code, 2, "{at}: {}", r.err);
        let first = r.err.lines().next().unwrap_or_default();
        assert!(first.contains("holds what would be lost: "), "{at}: {first}");
        assert!(first.contains(word), "{at}: {first}");
        assert!(r.err.contains("with -o") && r.err.contains("as CSV"));
        assert!(fs::read(&book).expect("a file") == before, "{at}");
        assert_eq!(b.files(), ["held.xlsx"], "{at}");
        // Beside it the answers can stand, and the same is said.
        let out = b.named("out.xlsx");
        let r = done(&[&book, "--marks", "Hallmarks", "-o", &out]);
        assert!(r.err.contains("of this workbook are lost: "), "{at}: {}", r.err);
        assert!(r.err.contains(word), "{at}: {}", r.err);
        assert!(fs::read(&book).expect("a file") == before, "{at}");
        fs::remove_file(&out).expect("a file");
    }
}

/// A workbook with another text in the place of one of a part's.
fn with_part(book: &str, part: &str, from: &str, to: &str) {
    let whole = File::open(book).expect("a file");
    let mut parts = zip::ZipArchive::new(whole).expect("an archive");
    let mut out = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for i in 0..parts.len() {
        let mut file = parts.by_index(i).expect("a part");
        let name = file.name().expect("its name").into_owned();
        let mut text = Vec::new();
        file.read_to_end(&mut text).expect("its text");
        if name == part {
            let before = String::from_utf8(text).expect("text");
            assert!(before.contains(from), "{before}");
            text = before.replacen(from, to, 1).into_bytes();
        }
        let usual = zip::write::SimpleFileOptions::default();
        out.start_file(name, usual).expect("a part");
        out.write_all(&text).expect("written");
    }
    let out = out.finish().expect("an archive").into_inner();
    fs::write(book, out).expect("written");
}

/// What is said of the workbook as a whole is kept, or named.
#[test]
fn properties_are_kept_or_named() {
    let b = Bench::new();
    let (core, app) = ("docProps/core.xml", "docProps/app.xml");
    let (end, app_end) = ("</cp:coreProperties>", "</Properties>");
    let book = || {
        let mut book = Workbook::new();
        stock(book.add_worksheet());
        b.save("said.xlsx", book)
    };
    for (part, end, element, said) in [
        (core, end, "<dc:identifier>7</dc:identifier>", "identifier"),
        (core, end, "<cp:version>2.1</cp:version>", "version"),
        (core, end, "<cp:contentType>list</cp:contentType>", "contentType"),
        (core, end, "<dc:rights>ours</dc:rights>", "rights"),
        (core, end, "<dc:publisher><![CDATA[us]]></dc:publisher>", "publisher"),
        (core, end, "<dc:source>&amp;</dc:source>", "source"),
        (app, app_end, "<HyperlinkBase>x</HyperlinkBase>", "HyperlinkBase"),
        (app, app_end, "<Template>stock.xltx</Template>", "Template"),
        (app, app_end, "<HLinks><x/></HLinks>", "HLinks"),
        (app, app_end, "<Ours>1</Ours>", "Ours"),
    ] {
        let book = book();
        with_part(&book, part, end, &format!("{element}{end}"));
        let before = fs::read(&book).expect("a file");
        refused(
            &[&book, "--in-place", "--marks", "Hallmarks"],
            &["holds what would be lost: ", &format!("the property {said}\n")],
        );
        assert!(fs::read(&book).expect("a file") == before, "{element}");
    }
    // What holds nothing, and what programs write for themselves.
    for (part, end, element) in [
        (core, end, "<dc:identifier></dc:identifier>"),
        (core, end, "<dc:identifier/>"),
        (core, end, "<dc:identifier>\n  </dc:identifier>"),
        (core, end, "<cp:revision>3</cp:revision>"),
        (core, end, "<dc:language>en-GB</dc:language>"),
        (core, end, "<cp:lastPrinted>2020-01-01T00:00:00Z</cp:lastPrinted>"),
        (app, app_end, "<TotalTime>12</TotalTime>"),
        (app, app_end, "<Template></Template>"),
    ] {
        let book = book();
        with_part(&book, part, end, &format!("{element}{end}"));
        let r = done(&[&book, "--in-place", "--marks", "Hallmarks"]);
        assert!(!r.err.contains("are lost: "), "{element}: {}", r.err);
    }
    // What is kept is there afterwards.
    let mut kept = Workbook::new();
    stock(kept.add_worksheet());
    let said = DocProperties::new()
        .set_title("Stock & more")
        .set_subject("silver")
        .set_author("AB")
        .set_manager("CD")
        .set_company("EF")
        .set_category("GH")
        .set_keywords("IJ")
        .set_comment("KL")
        .set_status("Final");
    kept.set_properties(&said);
    let kept = b.save("kept.xlsx", kept);
    let of = |book: &str| opened(book).workbook_properties().expect("properties");
    let before = of(&kept);
    done(&[&kept, "--in-place", "--marks", "Hallmarks"]);
    let after = of(&kept);
    assert_eq!(after.content_status.as_deref(), Some("Final"));
    let told = |p: &calamine::WorkbookProperties| {
        [
            p.title.clone(),
            p.subject.clone(),
            p.creator.clone(),
            p.manager.clone(),
            p.company.clone(),
            p.category.clone(),
            p.keywords.clone(),
            p.description.clone(),
            p.content_status.clone(),
        ]
    };
    assert_eq!(told(&after), told(&before));
}

/// How a sheet is shown and printed, and the look of a date, are no reason to refuse.
#[test]
fn a_plain_workbook_is_replaced() {
    let b = Bench::new();
    let mut book = Workbook::new();
    let to = book.add_worksheet().set_name("A & B").expect("a name");
    stock(to);
    let look = |code: &str| Format::new().set_num_format(code);
    for (i, code) in ["d mmmm yyyy", "[$-809]dd/mm/yy;@", "hh:mm", "[h]:mm:ss", "General"]
        .into_iter()
        .enumerate()
    {
        let put = to.write_number_with_format(2, 5 + i as u16, 36_000.25, &look(code));
        put.expect("a cell");
    }
    to.write_boolean(3, 5, true).expect("a cell");
    to.set_column_width(1, 60).expect("a width");
    to.set_row_height(1, 30).expect("a height");
    to.set_landscape().set_header("&CStock").set_zoom(80);
    book.add_worksheet().set_hidden(true);
    let book = b.save("plain.xlsx", book);
    let r = done(&[&book, "--in-place", "--marks", "Hallmarks"]);
    assert!(!r.err.contains("are lost: "), "{}", r.err);
    let after = sheet(&book, "A & B");
    assert_eq!(column(&after, "outcome"), 10);
    assert_eq!(at(&after, 3, 5), Data::Bool(true));
    // The result is as plain as the catalogue was.
    done(&[&book, "--in-place", "--marks", "Hallmarks", "--prefix", "again_"]);
}

#[test]
fn what_is_wrong_with_the_head_is_said() {
    let b = Bench::new();
    let book = b.stock();
    let out = b.named("out.xlsx");
    refused(
        &[&book, "-o", &out, "--marks", "Punches"],
        &["no column is called \"Punches\"", "\"Lot\", \"Hallmarks\", \"Stated\""],
    );
    refused(
        &[&book, "-o", &out, "--marks", "Hallmarks", "--sheet", "Elsewhere"],
        &["no sheet is called \"Elsewhere\"", "the sheets are \"Sheet1\""],
    );
    let mut empty = Workbook::new();
    empty.add_worksheet();
    let empty = b.save("empty.xlsx", empty);
    refused(&[&empty, "-o", &out, "--marks", "Hallmarks"], &["the sheet \"Sheet1\" is empty"]);
    let mut wide = Workbook::new();
    let s = wide.add_worksheet();
    s.write_string(0, 0, "Marks").expect("a cell");
    s.write_string(1, 16_380, "far").expect("a cell");
    let wide = b.save("wide.xlsx", wide);
    refused(&[&wide, "-o", &out, "--marks", "Marks"], &["18 more do not fit"]);
    assert_eq!(b.files(), ["empty.xlsx", "stock.xlsx", "wide.xlsx"]);
}

#[test]
fn spreadsheets_need_files() {
    let b = Bench::new();
    let book = b.stock();
    let marks = ["--marks", "Hallmarks"];
    let out = b.named("out.xlsx");
    let with = |args: &[&str]| -> Vec<String> {
        args.iter().chain(&marks).map(|s| s.to_string()).collect()
    };
    let old = b.named("old.xlsx");
    let csv = b.named("out.csv");
    let folder = b.named("folder.xlsx");
    fs::create_dir(&folder).expect("a folder");
    fs::write(b.path("text.csv"), "Hallmarks\nanchor\n").expect("a text");
    let text = b.named("text.csv");
    for (args, said) in [
        (
            with(&["-", "--format", "xlsx", "-o", &out]),
            ["from standard input", "name the workbook's file"],
        ),
        (with(&[&book]), ["to standard output", "ends in .xlsx with -o"]),
        (with(&[&book, "-o", &csv]), ["the result is a spreadsheet", "ends in .xlsx"]),
        (
            with(&[&book, "-o", &out, "--rejects", &csv]),
            ["--rejects copies rows of a text", "leave --rejects out"],
        ),
        (with(&[&book, "-o", &out, "--since", &old]), ["--since compares texts", "as CSV"]),
        (with(&[&folder, "-o", &out]), ["is no file", "name the workbook's file"]),
        (with(&[&text, "-o", &csv, "--sheet", "Stock"]), ["this is a text", "leave --sheet out"]),
    ] {
        refused(&args.iter().map(String::as_str).collect::<Vec<_>>(), &said);
    }
    assert_eq!(b.files(), ["folder.xlsx", "stock.xlsx", "text.csv"]);
}

#[test]
fn a_broken_workbook_is_an_error_and_leaves_nothing() {
    let b = Bench::new();
    let whole = fs::read(b.stock()).expect("a file");
    fs::remove_file(b.path("stock.xlsx")).expect("a file");
    let out = b.named("out.xlsx");
    fs::write(&out, "what was there").expect("a file");
    let middle = whole.len() / 2;
    let mut dented = whole.clone();
    for byte in &mut dented[middle - 200..middle + 200] {
        *byte ^= 0x55;
    }
    for (name, bytes) in [
        ("nothing.xlsx", &[][..]),
        ("short.xlsx", &whole[..20]),
        ("half.xlsx", &whole[..middle]),
        ("end.xlsx", &whole[..whole.len() - 1]),
        ("text.xlsx", b"Hallmarks\nanchor\n"),
        ("dented.xlsx", &dented),
    ] {
        fs::write(b.path(name), bytes).expect("a file");
        refused(
            &[&b.named(name), "--marks", "Hallmarks", "-o", &out],
            &["the catalogue could not be read", "was not touched"],
        );
        fs::remove_file(b.path(name)).expect("a file");
    }
    assert_eq!(b.files(), ["out.xlsx"]);
    assert_eq!(fs::read_to_string(&out).expect("a file"), "what was there");
}
