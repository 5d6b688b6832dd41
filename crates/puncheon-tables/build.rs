//! Reads tables/, proves it, expands it, and leaves the packed form for `include_bytes!`.
//!
//! A bad table is a compile error that names file, place and rule.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, process};

use puncheon_schema::register::Register;
use puncheon_schema::{Entries, expand, verify};

/// The folder of the register, whose texts are kept apart: an overlay parses all the others.
const SPONSORS: &str = "sponsors/";

fn main() {
    let root = Path::new(&env::var("CARGO_MANIFEST_DIR").unwrap_or_default()).join("tables");
    println!("cargo::rerun-if-changed={}", root.display());
    if !root.is_dir() {
        fail(
            "crates/puncheon-tables/tables must be a link to the folder tables/ at the top of the \
             repository; on systems without links, copy that folder here",
        );
    }
    let mut paths = Vec::new();
    collect(&root, &mut paths);
    paths.sort();
    let files: Vec<(String, String)> = paths
        .iter()
        .map(|p| {
            let name = p.strip_prefix(&root).unwrap_or(p).to_string_lossy().replace('\\', "/");
            let text = fs::read_to_string(p).unwrap_or_else(|e| fail(&format!("{name}: {e}")));
            (name, text)
        })
        .collect();

    let (entries, mut problems) =
        Entries::read(files.iter().map(|(f, t)| (f.as_str(), t.as_str())));
    if problems.is_empty() {
        problems = verify::verify(&entries);
    }
    if !problems.is_empty() {
        let list: String = problems.iter().fold(String::new(), |mut s, p| {
            let _ = writeln!(s, "tables/{p}");
            s
        });
        fail(&format!("{} problems in the tables:\n{list}", problems.len()));
    }

    let version =
        format!("{} ({:08x})", env::var("CARGO_PKG_VERSION").unwrap_or_default(), digest(&files));
    let image = expand::expand(&entries, &version);
    let out = PathBuf::from(env::var("OUT_DIR").unwrap_or_default());
    write(&out.join("tables.bin"), image.bytes());
    let register = Register::pack(entries.sponsors.iter().map(|f| &f.entry));
    write(&out.join("register.bin"), register.bytes());

    let (sponsors, tables): (Vec<&str>, Vec<&str>) =
        files.iter().map(|(name, _)| name.as_str()).partition(|name| name.starts_with(SPONSORS));
    write(&out.join("texts.rs"), list(&root, &tables).as_bytes());
    write(&out.join("sponsor_texts.rs"), list(&root, &sponsors).as_bytes());
}

/// Rust for a list of files, each by its name and its text.
fn list(root: &Path, names: &[&str]) -> String {
    let mut texts = String::from("&[\n");
    for name in names {
        let _ = writeln!(texts, "    ({name:?}, include_str!({:?})),", root.join(name));
    }
    texts.push_str("]\n");
    texts
}

fn collect(folder: &Path, out: &mut Vec<PathBuf>) {
    // Editing a file does not touch its folder, and a new file does not touch its neighbours:
    // both are watched.
    println!("cargo::rerun-if-changed={}", folder.display());
    let entries =
        fs::read_dir(folder).unwrap_or_else(|e| fail(&format!("{}: {e}", folder.display())));
    for path in entries.flatten().map(|e| e.path()) {
        if path.is_dir() {
            collect(&path, out);
        } else if path.extension().is_some_and(|e| e == "ron") {
            println!("cargo::rerun-if-changed={}", path.display());
            out.push(path);
        }
    }
}

/// A short digest of all texts, so that two sets of tables are not taken for each other.
fn digest(files: &[(String, String)]) -> u32 {
    files
        .iter()
        .flat_map(|(name, text)| name.bytes().chain(text.bytes()))
        .fold(0x811c_9dc5_u32, |h, b| (h ^ u32::from(b)).wrapping_mul(0x0100_0193))
}

fn write(path: &Path, bytes: &[u8]) {
    fs::write(path, bytes).unwrap_or_else(|e| fail(&format!("{}: {e}", path.display())));
}

fn fail(message: &str) -> ! {
    eprintln!("{message}");
    process::exit(1)
}
