//! The heads of tables: every command that reads one finds its columns by the same rule, whatever the
//! program that wrote the table.

use std::io::Write;

use puncheon_tests::{Ran, run};

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// A command that reads a table.
struct Reader {
    /// Its arguments before the table and behind it.
    args: (&'static [&'static str], &'static [&'static str]),
    /// Two columns that it knows, of which it needs the first, and a row of them.
    names: [&'static str; 2],
    row: [&'static str; 2],
    /// What it prints of that row, where it read it.
    read: &'static str,
}

const READERS: [Reader; 3] = [
    Reader {
        args: (&["worth", "--list"], &[]),
        names: ["marks", "gross"],
        row: ["\"anchor, lion passant, small roman f, king's head\"", "42g"],
        read: "42",
    },
    Reader {
        args: (&["sponsors", "QX", "--register"], &[]),
        names: ["struck", "names"],
        row: ["\"QX\"", "Quentin Xavier"],
        read: "Quentin Xavier",
    },
    Reader {
        args: (&["enrich"], &["--marks", "marks", "--add", "office"]),
        names: ["marks", "note"],
        row: ["\"anchor, lion passant, small roman f, king's head\"", "kept"],
        read: "kept,birmingham",
    },
];

impl Reader {
    /// Runs the command on a table.
    fn of(&self, table: &str) -> Ran {
        let mut file = tempfile::Builder::new().suffix(".csv").tempfile().expect("a file");
        file.write_all(table.as_bytes()).expect("it is written");
        let name = file.path().to_str().expect("a plain name").to_string();
        run(PUNCHEON, &[self.args.0, &[&name], self.args.1].concat(), "")
    }

    /// A table with these names in its head, parted and ended so.
    fn table(&self, names: [&str; 2], parting: &str, ending: &str) -> String {
        format!("{}{ending}{}{ending}", names.join(parting), self.row.join(parting))
    }
}

#[test]
fn a_head_is_read_whatever_wrote_it() {
    for r in &READERS {
        let [a, b] = r.names;
        let (upper, blank) = (r.names.map(str::to_uppercase), r.names.map(|n| format!("  {n} ")));
        let quoted = r.names.map(|n| format!("\"{n}\""));
        let [upper, blank, quoted] =
            [&upper, &blank, &quoted].map(|n| [n[0].as_str(), n[1].as_str()]);
        for (table, what) in [
            (r.table([a, b], ",", "\n"), "plain"),
            (r.table([a, b], ",", "\r\n"), "the line endings of another system"),
            (format!("\u{feff}{}", r.table([a, b], ",", "\r\n")), "a byte order mark"),
            (format!("\u{feff}{}", r.table(quoted, ",", "\n")), "the same, and quotes"),
            (r.table([a, b], ";", "\n"), "semicolons"),
            (r.table([a, b], "\t", "\n"), "tabs"),
            (r.table([a, b], "|", "\n"), "bars"),
            (r.table(upper, ",", "\n"), "capitals"),
            (r.table(blank, ",", "\n"), "blanks round the names"),
        ] {
            let ran = r.of(&table);
            assert_eq!(ran.code, 0, "{what}: {}", ran.screen());
            let out = ran.out.replace([';', '\t', '|'], ",");
            assert!(out.contains(r.read), "{what}: {}", ran.screen());
        }
    }
}

#[test]
fn a_column_that_is_not_there_is_named() {
    for r in &READERS {
        let [a, b] = r.names;
        let lacks = r.of(&format!("{b}\n{}\n", r.row[1]));
        assert_eq!((lacks.code, lacks.out.as_str()), (2, ""), "{}", lacks.screen());
        let said = format!("no column is called \"{a}\"");
        assert!(lacks.err.contains(&said), "{}", lacks.screen());
    }
}

#[test]
fn two_columns_of_one_name_are_refused() {
    for r in &READERS {
        let a = r.names[0];
        let capital = format!("{}{}", a[..1].to_uppercase(), &a[1..]);
        let ran = r.of(&r.table([&capital, &format!(" {} ", a.to_uppercase())], ",", "\n"));
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.screen());
        let said = ["more than one column is called", "are both the marks of the list"];
        assert!(said.iter().any(|s| ran.err.contains(s)), "{}", ran.screen());
    }
}

#[test]
fn what_stands_in_quotes_parts_no_columns() {
    // A register refuses a column that it does not know.
    for r in READERS.iter().filter(|r| r.names[0] == "marks") {
        let [a, b] = r.names;
        let ran = r.of(&format!("{a},{b},\"a;b;c;d\"\n{},{},x\n", r.row[0], r.row[1]));
        assert_eq!(ran.code, 0, "{}", ran.screen());
    }
}

#[test]
fn a_register_refuses_a_column_that_it_does_not_know() {
    let ran = READERS[1].of("struck,names,colour\nQX,Quentin Xavier,red\n");
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.screen());
    assert!(ran.err.contains("no column is called \"colour\""), "{}", ran.screen());
}
