//! The program as a person runs it: child processes, text snapshots, exit codes.

use puncheon_tests::{Ran, run};

fn puncheon(args: &[&str]) -> Ran {
    run(env!("CARGO_BIN_EXE_puncheon-under-test"), args, "")
}

#[test]
fn the_main_job() {
    let r = puncheon(&["read", "anchor, lion passant, small roman f, king's head"]);
    assert_eq!(r.code, 0, "{}", r.err);
    insta::assert_snapshot!(r.out);
}

#[test]
fn the_expanded_letters_are_as_reviewed() {
    let r = puncheon(&["tables", "export"]);
    assert_eq!(r.code, 0, "{}", r.err);
    insta::assert_snapshot!("export", r.out);
}
