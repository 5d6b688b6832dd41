//! A user's own tables laid over the built-in ones: an invented office read through the program
//! and through the library, corrections, retired entries, and bad tables refused with their place.
//!
//! Ravenport, its marmot and its guide are invented; no source stands behind them.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use puncheon::{Error, Tables};
use puncheon_tests::Ran;
use serde_json::Value;

// ---- Folders and runs ---------------------------------------------------------------------------

/// A folder of tables that goes when the test ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, files: &[(&str, &str)]) -> Folder {
        let path = std::env::temp_dir().join(format!("puncheon-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        for (file, text) in files {
            let file = path.join(file);
            fs::create_dir_all(file.parent().expect("a file has a folder"))
                .expect("folder is made");
            fs::write(file, text).expect("table is written");
        }
        fs::create_dir_all(&path).expect("folder is made");
        Folder(path)
    }

    fn path(&self) -> &str {
        self.0.to_str().expect("the temporary folder's name is UTF-8")
    }

    fn tables(&self) -> Result<Tables, Error> {
        Tables::with_overlay(&self.0)
    }

    /// The problems that the library names, each as it is printed.
    fn problems(&self) -> Vec<String> {
        match self.tables() {
            Ok(_) => Vec::new(),
            Err(Error::Problems(v)) => v.iter().map(ToString::to_string).collect(),
            Err(e) => panic!("{e}"),
        }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// Runs the program with PUNCHEON_TABLES set to a folder, or unset.
fn puncheon_in(tables: Option<&str>, args: &[&str]) -> Ran {
    let mut c = Command::new(env!("CARGO_BIN_EXE_puncheon-under-test"));
    c.args(args).env_clear().stdin(Stdio::null());
    if let Some(folder) = tables {
        c.env("PUNCHEON_TABLES", folder);
    }
    let done = c.output().expect("the program runs");
    Ran {
        out: String::from_utf8(done.stdout).expect("output is UTF-8"),
        err: String::from_utf8(done.stderr).expect("errors are UTF-8"),
        code: done.status.code().expect("the program exits by itself"),
    }
}

fn puncheon(args: &[&str]) -> Ran {
    puncheon_in(None, args)
}

fn json(r: &Ran) -> Value {
    assert_eq!(r.out.lines().count(), 1, "{}{}", r.out, r.err);
    serde_json::from_str(&r.out).expect("JSON")
}

/// Office, shown year, first and last day of each fit.
fn fits(v: &Value) -> Vec<[String; 4]> {
    let text = |f: &Value, k: &str| f[k].as_str().unwrap_or("-").to_string();
    v["fits"]
        .as_array()
        .expect("fits is a list")
        .iter()
        .map(|f| ["office", "shown", "begins", "ends"].map(|k| text(f, k)))
        .collect()
}

fn read(tables: &Tables, description: &str) -> Value {
    let r = puncheon::read(tables, description, &Default::default());
    serde_json::to_value(r).expect("a reading can be written")
}

fn fit(office: &str, shown: &str, begins: &str, ends: &str) -> [String; 4] {
    [office, shown, begins, ends].map(str::to_string)
}

// ---- An invented office -------------------------------------------------------------------------

const OFFICE: &str = r#"Office(
    id: "ravenport",
    name: "Ravenport",
    opened: "1790-10-17",
    closed: "1796-10-16",
    year_starts: [
        (from: 1790, day: "10-17", basis: Published, confidence: High, cites: ["ravenport-guide p. 3"]),
    ],
    marks: [
        (id: "ravenport-marmot", slot: Town, device: "marmot-with-key", from: "1790", to: "1795",
            basis: Published, confidence: High, cites: ["ravenport-guide p. 4"]),
    ],
    cycles: [
        (from: 1790, to: 1795, lettering: Roman, case: Upper, basis: Published, confidence: High,
            cites: ["ravenport-guide p. 5"], letters: "A7 B7 {crown} D E F"),
    ],
)
"#;

const FILES: [(&str, &str); 5] = [
    (
        "sources.ron",
        r#"Sources([Source(id: "ravenport-guide", title: "A guide to Ravenport plate")])"#,
    ),
    (
        "devices.ron",
        r#"Devices([Device(id: "marmot-with-key", name: "marmot with a key", kind: Town)])"#,
    ),
    ("offices/ravenport.ron", OFFICE),
    (
        "regimes.ron",
        r#"Regimes([
            Regime(id: "ag-ravenport", standard: "sterling", offices: ["ravenport"], from: "1790", to: "1795",
                marks: [(device: "lion-passant-guardant")], basis: Published, confidence: High,
                cites: ["ravenport-guide p. 6"]),
        ])"#,
    ),
    (
        "words.ron",
        r#"Vocabulary([
            Words(means: Device("marmot-with-key"), say: ["marmot with a key", "marmot with key", "marmot"]),
            Words(means: Town("ravenport"), say: ["ravenport"]),
        ])"#,
    ),
];

#[test]
fn an_invented_office_is_read_through_every_door() {
    let folder = Folder::new("office", &FILES);
    let marks = "marmot with a key, lion passant, A7";
    let by_library = read(&folder.tables().expect("the folder verifies"), marks);
    let by_option = puncheon(&["--tables", folder.path(), "read", "--json", marks]);
    let by_late_option = puncheon(&["read", "--json", "--tables", folder.path(), marks]);
    let by_variable = puncheon_in(Some(folder.path()), &["read", "--json", marks]);
    for r in [&by_option, &by_late_option, &by_variable] {
        assert_eq!(r.code, 0, "{}", r.err);
        assert_eq!(json(r), by_library);
    }
    assert_eq!(fits(&by_library), [fit("ravenport", "1790/91", "1790-10-17", "1791-10-16")]);
    assert_eq!(by_library["fits"][0]["letter"]["struck"], "A7");
    assert_eq!(by_library["fits"][0]["sources"][0], "ravenport-guide p. 5");
    // Without the folder the program has never heard of it.
    let without = json(&puncheon(&["read", "--json", marks]));
    assert!(fits(&without).iter().all(|f| f[0] != "ravenport"), "{without}");
}

/// Where an office is not of the tables that are read, nothing is of that office.
#[test]
fn an_office_of_other_tables_has_no_rows() {
    let folder = Folder::new("elsewhere", &FILES);
    let own = folder.tables().expect("good tables");
    let mut options = puncheon::Options::default();
    options.office = Some(own.office("RAVENPORT").expect("an office"));
    let marks = "lion passant, f";
    assert!(!puncheon::read(&own, marks, &options).fits.is_empty());
    let r = puncheon::read(Tables::builtin(), marks, &options);
    assert!(r.fits.is_empty() && r.nears.is_empty(), "{:?}", r.fits);
    let place = options.office.expect("it was set");
    assert!(puncheon::why(Tables::builtin(), marks, &place, 1790, &Default::default()).is_none());
    assert!(Tables::builtin().office("ravenport").is_err());
}

#[test]
fn the_option_wins_over_the_variable() {
    let folder = Folder::new("wins", &FILES);
    let empty = Folder::new("wins-empty", &[]);
    let r = puncheon_in(
        Some(empty.path()),
        &["read", "--json", "--tables", folder.path(), "marmot, B7"],
    );
    assert_eq!(r.code, 0, "{}", r.err);
    assert_eq!(fits(&json(&r))[0][1], "1791/92");
}

#[test]
fn a_letter_may_carry_a_figure() {
    let folder = Folder::new("figure", &FILES);
    let tables = folder.tables().expect("the folder verifies");
    for said in ["B7", "b7", "date letter B7", "capital roman B7"] {
        let v = read(&tables, &format!("marmot, lion passant, {said}"));
        assert_eq!(
            fits(&v),
            [fit("ravenport", "1791/92", "1791-10-17", "1792-10-16")],
            "{said}: {v}"
        );
    }
    // The plain letter is another letter.
    let v = read(&tables, "marmot, lion passant, B");
    assert_eq!(fits(&v), [[""; 4]; 0], "{v}");
}

#[test]
fn a_letter_may_be_a_symbol() {
    let folder = Folder::new("symbol", &FILES);
    let tables = folder.tables().expect("the folder verifies");
    // Without its letter the year is one of six.
    let v = read(&tables, "marmot, lion passant");
    assert_eq!(fits(&v)[0][1], "1790/91 to 1795/96", "{v}");
    let export = puncheon(&["tables", "export", "--tables", folder.path()]);
    assert!(
        export
            .out
            .lines()
            .any(|l| l.starts_with("ravenport\t1792\t1792-10-17\t1793-10-16\t{crown}\t")),
        "{}",
        export.out.lines().filter(|l| l.starts_with("ravenport")).collect::<Vec<_>>().join("\n")
    );
    for said in ["date letter a crown", "crown date letter"] {
        let v = read(&tables, &format!("marmot, lion passant, {said}"));
        assert_eq!(
            fits(&v),
            [fit("ravenport", "1792/93", "1792-10-17", "1793-10-16")],
            "{said}: {v}"
        );
    }
}

#[test]
fn an_invented_office_can_be_named_and_asked_for() {
    let folder = Folder::new("named", &FILES);
    let r = puncheon(&[
        "read",
        "--json",
        "--tables",
        folder.path(),
        "--office",
        "Ravenport",
        "lion passant, D",
    ]);
    assert_eq!(r.code, 0, "{}", r.err);
    assert_eq!(fits(&json(&r)), [fit("ravenport", "1793/94", "1793-10-17", "1794-10-16")]);
    let r = puncheon(&["read", "--json", "--tables", folder.path(), "Ravenport town mark, E"]);
    assert_eq!(fits(&json(&r)), [fit("ravenport", "1794/95", "1794-10-17", "1795-10-16")]);
    let r = puncheon(&["read", "--office", "ravenport", "lion passant, D"]);
    assert_eq!(r.code, 2);
    assert!(r.out.is_empty() && r.err.contains("no office is called \"ravenport\""), "{}", r.err);
    for what in ["list", "show"] {
        let args: Vec<&str> = [
            Some("tables"),
            Some(what),
            (what == "show").then_some("ravenport"),
            Some("--tables"),
            Some(folder.path()),
        ]
        .into_iter()
        .flatten()
        .collect();
        let r = puncheon(&args);
        assert_eq!(r.code, 0, "{}", r.err);
        assert!(r.out.to_lowercase().contains("ravenport"), "{}", r.out);
    }
    let r = puncheon(&["tables", "verify", "--tables", folder.path()]);
    assert_eq!(r.code, 0, "{}{}", r.out, r.err);
}

#[test]
fn an_invented_office_has_a_chart() {
    let folder = Folder::new("chart", &FILES);
    let struck = |words: &str| -> Vec<(i64, String)> {
        let v = json(&puncheon_in(Some(folder.path()), &["chart", words, "--json"]));
        let rows = v["rows"].as_array().expect("rows is a list").clone();
        let letter = |r: &Value| r["cells"][0]["letters"][0]["struck"].as_str().map(String::from);
        rows.iter()
            .map(|r| (r["year"].as_i64().expect("a year"), letter(r).expect("a letter")))
            .collect()
    };
    let all = struck("ravenport");
    let letters: Vec<&str> = all.iter().map(|(_, l)| l.as_str()).collect();
    assert_eq!(letters, ["A7", "B7", "{crown}", "D", "E", "F"]);
    // A letter with its figure, and a symbol by its word.
    assert_eq!(struck("ravenport B7"), [(1791, "B7".to_string())]);
    assert_eq!(struck("ravenport crown"), [(1792, "{crown}".to_string())]);
    let said = puncheon_in(Some(folder.path()), &["chart", "ravenport"]).out;
    assert!(said.contains("1792/93  crown"), "{said}");
}

#[test]
fn the_built_in_answers_stand_beside_the_overlay() {
    let folder = Folder::new("beside", &FILES);
    let tables = folder.tables().expect("the folder verifies");
    for marks in
        ["anchor, lion passant, small roman f, king's head", "thistle, castle, date letter K"]
    {
        let (with, without) = (read(&tables, marks), read(Tables::builtin(), marks));
        assert_eq!(with["fits"], without["fits"], "{marks}");
        assert_eq!(with["nears"], without["nears"], "{marks}");
    }
}

#[test]
fn every_answer_that_rests_on_an_overlay_says_so() {
    let folder = Folder::new("says-so", &FILES);
    let marks = "marmot, lion passant, A7";
    let says_so = |text: &str| text.contains(folder.path());
    for args in [
        &["read", marks][..],
        &["read", "--brief", marks],
        &["read", "nothing known"],
        &["why", marks, "--office", "ravenport", "--year", "1790"],
        &["chart", "ravenport"],
        &["outlines"],
    ] {
        let r = puncheon_in(Some(folder.path()), args);
        assert!(says_so(&r.out) || says_so(&r.err), "{args:?}: {}{}", r.out, r.err);
    }
    // In JSON the answer is all that is kept, so it stands among its cautions.
    let v = json(&puncheon_in(Some(folder.path()), &["read", "--json", marks]));
    let cautions = v["cautions"].as_array().expect("cautions is a list");
    assert!(
        cautions.iter().filter_map(Value::as_str).any(says_so),
        "no caution names the folder: {cautions:?}"
    );
    let version = puncheon_in(Some(folder.path()), &["--version"]).out;
    assert!(version.contains("folder"), "the version of the tables does not tell: {version}");
    // And nothing is said where nothing is laid over.
    let r = puncheon(&["read", "--json", marks]);
    assert!(!r.out.contains(folder.path()));
}

// ---- Corrections --------------------------------------------------------------------------------

fn built_in(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tables").join(file);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A table's text with one place changed; the place must be there, once.
fn changed(text: &str, old: &str, new: &str) -> String {
    assert_eq!(text.matches(old).count(), 1, "{old:?} must stand once; has the table changed?");
    text.replacen(old, new, 1)
}

/// Sheffield's letters of 1824 and after are a, b, c (Hayden, Chats on Old Silver, pp. 398-399).
#[test]
fn a_replaced_office_corrects_one_letter() {
    let run = r#"letters: "a b c d e f g h k l m p q r s t u v x z","#;
    let corrected = changed(
        &built_in("offices/sheffield.ron"),
        run,
        &format!(
            "{run}\n            years: [(year: 1829, letter: \"w\", case: Lower, was: \"f\", why: \"A dated cup.\")],"
        ),
    );
    let corrected = changed(&corrected, r#"omitted: "i j n o w y""#, r#"omitted: "i j n o y""#);
    let folder = Folder::new("corrects", &[("sheffield.ron", &corrected)]);
    let tables = folder.tables().unwrap_or_else(|e| panic!("{e}"));
    let years = |tables: &Tables, letter: &str| -> Vec<String> {
        let v = read(
            tables,
            &format!("Sheffield town mark, lion passant, date letter small roman {letter}"),
        );
        fits(&v).into_iter().map(|f| f[1].clone()).collect()
    };
    let now = "1829/30".to_string();
    assert!(years(Tables::builtin(), "f").contains(&now));
    assert!(!years(Tables::builtin(), "w").contains(&now));
    assert!(!years(&tables, "f").contains(&now));
    assert!(years(&tables, "w").contains(&now));
    // The year before is untouched.
    assert!(years(&tables, "e").contains(&"1828/29".to_string()));
}

/// A handbook put in the place of another must not be refused because nothing cites the other now.
#[test]
fn a_correction_may_leave_a_built_in_source_uncited() {
    let text = built_in("offices/sheffield.ron");
    let cited = text.split('"').filter_map(|s| s.split(' ').next()).map(str::to_string);
    let mut only_here: Vec<String> = cited
        .filter(|id| {
            let declared = format!("id: \"{id}\"");
            sources_text().contains(&declared)
                && !others_text("offices/sheffield.ron").contains(id.as_str())
        })
        .collect();
    only_here.sort();
    only_here.dedup();
    let id = only_here.first().expect("a source that this office alone cites");
    let corrected = text.replace(id.as_str(), "my-handbook");
    let folder = Folder::new(
        "uncited",
        &[
            ("sheffield.ron", &corrected),
            ("sources.ron", r#"Sources([Source(id: "my-handbook", title: "A better handbook")])"#),
        ],
    );
    assert_eq!(folder.problems(), [""; 0], "{id} is cited by nothing now");
}

fn all_tables() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tables");
    puncheon::ron_files(&folder).expect("tables/ can be read")
}

fn sources_text() -> String {
    all_tables().into_iter().filter(|(f, _)| f.starts_with("sources/")).map(|(_, t)| t).collect()
}

fn others_text(file: &str) -> String {
    all_tables()
        .into_iter()
        .filter(|(f, _)| f != file && !f.starts_with("sources/"))
        .map(|(_, t)| t)
        .collect()
}

// ---- Retired entries ----------------------------------------------------------------------------

#[test]
fn a_retired_mark_is_struck_no_more() {
    let device = "jubilee-1977";
    let image = Tables::builtin().image();
    let name = (0..image.meta(puncheon::schema::image::Meta::Devices))
        .map(|d| image.device(d))
        .find(|d| d.id() == device)
        .map(|d| d.name())
        .expect("the device is in the tables");
    assert!(!fits(&read(Tables::builtin(), name)).is_empty(), "{name}");
    let folder = Folder::new("retired", &[("retired.ron", r#"Retired(["commemorative-1977"])"#)]);
    let tables = folder.tables().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(fits(&read(&tables, name)), [[""; 4]; 0]);
}

#[test]
fn a_retired_lookalike_is_named_no_more() {
    let listed = |v: &Value, id: &str| {
        v["lookalikes"].as_array().into_iter().flatten().any(|l| l["id"] == id)
    };
    let asked = "STERLING";
    let before = read(Tables::builtin(), asked);
    let id = before["lookalikes"][0]["id"].as_str().expect("a lookalike is named").to_string();
    let folder = Folder::new("lookalike", &[("retired.ron", &format!("Retired([{id:?}])"))]);
    let tables = folder.tables().unwrap_or_else(|e| panic!("{e}"));
    let after = read(&tables, asked);
    assert!(listed(&before, &id) && !listed(&after, &id), "{after}");
}

#[test]
fn retiring_what_is_not_there_is_refused() {
    let folder =
        Folder::new("no-such", &[("gone.ron", r#"Retired(["no-such-mark", "nor-this"])"#)]);
    let problems = folder.problems();
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert!(problems[0].starts_with("gone.ron: no-such-mark: retired: "), "{problems:?}");
    assert!(problems[1].starts_with("gone.ron: nor-this: retired: "), "{problems:?}");
}

// ---- Bad tables ---------------------------------------------------------------------------------

/// Runs the program with a bad folder and gives its lines on standard error.
fn refused(folder: &Folder) -> Vec<String> {
    let option = puncheon(&["read", "--tables", folder.path(), "anchor"]);
    let variable = puncheon_in(Some(folder.path()), &["read", "anchor"]);
    assert_eq!((option.code, variable.code), (2, 2), "{}", option.err);
    assert!(option.out.is_empty() && variable.out.is_empty(), "{}", option.out);
    assert_eq!(option.err, variable.err);
    option.err.lines().map(str::to_string).collect()
}

/// `file:line:` with a column and a message after it.
fn at(lines: &[String], place: &str) -> bool {
    lines.iter().any(|l| {
        l.strip_prefix(place)
            .and_then(|rest| rest.split_once(": "))
            .is_some_and(|(col, message)| col.parse::<u32>().is_ok() && !message.is_empty())
    })
}

#[test]
fn every_unreadable_file_is_named_with_line_and_column() {
    let folder = Folder::new(
        "unreadable",
        &[
            (
                "misspelt.ron",
                "Regimes([\n    Regime(\n        id: \"x\",\n        standart: \"sterling\",\n    ),\n])\n",
            ),
            ("unclosed.ron", "Devices([\n    Device(id: \"y\", name: \"y\", kind: Town),\n"),
            ("deep/wrong-kind.ron", "\n\nMarcs([])\n"),
            (
                "deep/wrong-day.ron",
                "Reigns([\n    Reign(id: \"z\", name: \"Z\", from: \"1800\", to: 1801, say: []),\n])\n",
            ),
            ("good.ron", "Retired([])\n"),
        ],
    );
    let lines = refused(&folder);
    assert!(at(&lines, "misspelt.ron:4:"), "{lines:#?}");
    assert!(at(&lines, "unclosed.ron:3:") || at(&lines, "unclosed.ron:2:"), "{lines:#?}");
    assert!(at(&lines, "deep/wrong-kind.ron:3:"), "{lines:#?}");
    assert!(at(&lines, "deep/wrong-day.ron:2:"), "{lines:#?}");
    assert!(lines[0].contains("4 problems"), "{lines:#?}");
}

#[test]
fn every_broken_rule_is_named_with_file_place_and_rule() {
    let office = changed(OFFICE, r#""A7 B7 {crown} D E F""#, r#""A7 B7 {crown D E""#);
    let office = changed(&office, "marmot-with-key", "marmot-with-lock");
    let office = changed(&office, "ravenport-guide p. 5", "lost-guide p. 5");
    let mut files = FILES;
    files[2].1 = &office;
    let folder = Folder::new("rules", &files);
    let lines = refused(&folder);
    for (place, rule) in [
        ("offices/ravenport.ron: ravenport cycle 1790: count: ", "5 letters for the 6 years"),
        ("offices/ravenport.ron: ravenport cycle 1790 year 1792: letter: ", "{crown"),
        ("offices/ravenport.ron: mark ravenport-marmot: name: ", "marmot-with-lock"),
        ("offices/ravenport.ron: ravenport cycle 1790: name: ", "lost-guide"),
    ] {
        assert!(
            lines.iter().any(|l| l.starts_with(place) && l.contains(rule)),
            "no line {place}…{rule}…: {lines:#?}"
        );
    }
    // Only the folder's own files are at fault.
    for l in &lines[1..] {
        let file = l.split(':').next().unwrap_or_default();
        assert!(folder.0.join(file).is_file(), "{l}");
    }
    // `tables verify` says the same.
    let r = puncheon(&["tables", "verify", "--tables", folder.path()]);
    assert_eq!(r.code, 2);
    let all = format!("{}{}", r.out, r.err);
    assert!(lines[1..].iter().all(|l| all.contains(l.as_str())), "{all}");
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let folder = Folder::new("gone", &[]);
    let path = folder.path().to_string();
    drop(folder);
    let r = puncheon(&["read", "--tables", &path, "anchor"]);
    assert_eq!(r.code, 2);
    assert!(r.out.is_empty() && r.err.contains(&path), "{}", r.err);
    assert!(r.err.contains("name a folder"), "no remedy: {}", r.err);
}

#[test]
fn an_empty_folder_changes_nothing() {
    let folder = Folder::new("empty", &[("notes.txt", "not a table")]);
    let marks = "anchor, lion passant, small roman f, king's head";
    let tables = folder.tables().expect("nothing to refuse");
    assert_eq!(read(&tables, marks)["fits"], read(Tables::builtin(), marks)["fits"]);
}
