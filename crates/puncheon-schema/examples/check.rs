//! Reads a tables folder and prints every problem.
use std::path::Path;

use puncheon_schema::{Entries, verify::verify};

fn walk(dir: &Path, root: &Path, out: &mut Vec<(String, String)>) {
    let mut list: Vec<_> = std::fs::read_dir(dir)
        .expect("a folder")
        .map(|e| e.expect("an entry").path())
        .collect();
    list.sort();
    for p in list {
        if p.is_dir() {
            walk(&p, root, out);
        } else if p.extension().is_some_and(|e| e == "ron") {
            let name = p.strip_prefix(root).expect("below the root");
            let text = std::fs::read_to_string(&p).expect("a readable file");
            out.push((name.display().to_string(), text));
        }
    }
}

fn main() -> std::process::ExitCode {
    let root = std::env::args().nth(1).expect("folder");
    let mut files = Vec::new();
    walk(Path::new(&root), Path::new(&root), &mut files);
    let (e, unread) = Entries::read(files.iter().map(|(a, b)| (a.as_str(), b.as_str())));
    let broken = verify(&e);
    for p in unread.iter().chain(&broken) {
        println!("{p}");
    }
    println!(
        "{} offices, {} marks, {} regimes, {} devices, {} word groups, {} lookalikes, {} sources; \
         {} files unread, {} other problems",
        e.offices.len(),
        e.marks.len(),
        e.regimes.len(),
        e.devices.len(),
        e.words.len(),
        e.lookalikes.len(),
        e.sources.len(),
        unread.len(),
        broken.len()
    );
    std::process::ExitCode::from(u8::from(!(unread.is_empty() && broken.is_empty())))
}
