//! Gathers the letterforms of glyphs/, one file a lettering, so that no lettering is named in code.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    let folder = Path::new(&env::var("CARGO_MANIFEST_DIR").unwrap_or_default()).join("glyphs");
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut files: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|e| e == "glyphs"))
        .collect();
    files.sort();
    let mut out = String::from("&[\n");
    for path in &files {
        println!("cargo::rerun-if-changed={}", path.display());
        let id = path.file_stem().unwrap_or_default().to_string_lossy();
        let _ = writeln!(out, "    ({id:?}, include_str!({path:?})),");
    }
    out.push_str("]\n");
    let to = PathBuf::from(env::var("OUT_DIR").unwrap_or_default()).join("glyphs.rs");
    fs::write(&to, out).unwrap_or_else(|e| panic!("{}: {e}", to.display()));
}
