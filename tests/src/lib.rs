//! What several test targets share: running the program as a child process.

pub mod questions;

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a run of the program gave.
pub struct Ran {
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
    /// Exit code.
    pub code: i32,
}

impl Ran {
    /// What was printed, with the exit code and what went to standard error, for a snapshot.
    pub fn screen(&self) -> String {
        let err = match self.err.is_empty() {
            true => String::new(),
            false => format!("-- standard error --\n{}", self.err),
        };
        format!("{}-- exit {} --\n{err}", self.out, self.code)
    }

    /// The one line of JSON that was printed; the run was no misuse.
    pub fn json(&self) -> Value {
        assert!(self.code < 2, "{}", self.screen());
        assert_eq!(self.out.lines().count(), 1, "one line: {}", self.out);
        serde_json::from_str(&self.out).expect("JSON")
    }
}

/// Runs the program at `exe` in a clean environment with `input` on standard input.
pub fn run(exe: &str, args: &[&str], input: &str) -> Ran {
    run_with(exe, args, input, &[])
}

/// The same with these variables in the environment.
pub fn run_with(exe: &str, args: &[&str], input: &str, vars: &[(&str, &str)]) -> Ran {
    let mut child = Command::new(exe)
        .args(args)
        .env_clear()
        .envs(vars.iter().copied())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child
        .stdin
        .take()
        .expect("standard input is a pipe")
        .write_all(input.as_bytes())
        // A program that needs no input may be gone before it is written.
        .or_else(|e| if e.kind() == std::io::ErrorKind::BrokenPipe { Ok(()) } else { Err(e) })
        .expect("input is written");
    let done = child.wait_with_output().expect("the program ends");
    Ran {
        out: String::from_utf8(done.stdout).expect("output is UTF-8"),
        err: String::from_utf8(done.stderr).expect("errors are UTF-8"),
        code: done.status.code().expect("the program exits by itself"),
    }
}

/// Holds a tree to its text: nodes that lie one behind the other, none of them empty, and cover every byte.
pub fn covers(text: &str, tree: &puncheon::tree::Tree) {
    let mut end = 0;
    for n in tree.nodes() {
        let sound = n.start == end && n.end > n.start && text.get(n.start..n.end).is_some();
        assert!(sound, "{text:?}: {n:?} of {tree:?}");
        end = n.end;
    }
    assert_eq!(end, text.len(), "{text:?}: {tree:?}");
}

/// How every property test of this member runs: so many cases, and a failing input kept in a file
/// beside the test's own source.
///
/// Proptest's default would put that file into a new folder at the top of the repository.
pub fn proptest_config(cases: u32) -> proptest::test_runner::Config {
    use proptest::test_runner::{Config, FileFailurePersistence};
    Config {
        cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource(
            "proptest-regressions",
        ))),
        ..Config::default()
    }
}
