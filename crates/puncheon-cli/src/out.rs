//! Exit codes, failures and the standard streams. What steers a terminal is taken out of every text
//! here, whether it came from a file, an argument or a table.

use std::collections::hash_map::RandomState;
use std::fmt;
use std::hash::BuildHasher;
use std::io::{self, BufWriter, ErrorKind, StdoutLock, Write};
use std::path::Path;
use std::process::ExitCode;
use std::sync::OnceLock;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// Answered.
    Answered = 0,
    /// A well-formed question without an answer; a claim that fails.
    NoAnswer = 1,
    /// Misuse: an unknown option, an unusable file, a bad table.
    Misuse = 2,
    /// A claim that the marks do not decide.
    Undecided = 3,
}

impl From<Exit> for ExitCode {
    fn from(e: Exit) -> ExitCode {
        ExitCode::from(e as u8)
    }
}

/// Why the program stopped short.
#[derive(Debug)]
pub enum Failure {
    /// Something was asked that cannot be done; the sentence says what would work.
    Misuse(String),
    /// Nothing was asked: short help, on standard error.
    Help(String),
    /// Help or version was asked for: on standard output.
    Shown(String),
    /// Output could not be written.
    Write(io::Error),
}

impl Failure {
    /// Says what is wrong and gives the exit code.
    pub fn report(self) -> ExitCode {
        match self {
            // A reader that has seen enough is no failure.
            Failure::Write(e) if e.kind() == ErrorKind::BrokenPipe => Exit::Answered.into(),
            Failure::Write(e) => {
                aside!("puncheon: the answer could not be written: {e}");
                Exit::Misuse.into()
            }
            Failure::Shown(text) => {
                let mut out = Out::text();
                match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
                    Ok(()) => Exit::Answered.into(),
                    Err(e) => Failure::Write(e).report(),
                }
            }
            other => {
                aside!("{other}");
                Exit::Misuse.into()
            }
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Failure::Misuse(s) => write!(f, "puncheon: {s}"),
            Failure::Help(s) | Failure::Shown(s) => f.write_str(s.trim_end()),
            Failure::Write(e) => write!(f, "puncheon: {e}"),
        }
    }
}

impl From<io::Error> for Failure {
    fn from(e: io::Error) -> Failure {
        Failure::Write(e)
    }
}

impl From<serde_json::Error> for Failure {
    fn from(e: serde_json::Error) -> Failure {
        Failure::Misuse(e.to_string())
    }
}

impl From<puncheon::Error> for Failure {
    fn from(e: puncheon::Error) -> Failure {
        Failure::Misuse(e.to_string())
    }
}

/// Standard output.
pub struct Out {
    to: BufWriter<StdoutLock<'static>>,
    data: bool,
}

impl Out {
    /// For a person: nothing that is written steers the terminal but what [`bold`] makes.
    pub fn text() -> Out {
        Out::new(false)
    }

    /// For a program: every byte as it is.
    pub fn data() -> Out {
        Out::new(true)
    }

    /// For a program, or else for a person.
    pub fn new(data: bool) -> Out {
        Out { to: BufWriter::new(io::stdout().lock()), data }
    }
}

impl Write for Out {
    /// Takes whole characters, as `write!` and texts hand them over.
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        if self.data {
            return self.to.write(buf);
        }
        let text = String::from_utf8_lossy(buf);
        let mut parts = text.split(own());
        let first = parts.next().unwrap_or_default();
        self.to.write_all(plain(first).as_bytes())?;
        for part in parts {
            let code = [BOLD, USUAL].into_iter().find(|c| part.starts_with(c));
            let rest = match code {
                Some(code) => {
                    write!(self.to, "\u{1b}{code}")?;
                    &part[code.len()..]
                }
                None => part,
            };
            self.to.write_all(plain(rest).as_bytes())?;
        }
        Ok(buf.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// What makes letters bold, and what ends that, behind an escape.
const BOLD: &str = "[1m";
const USUAL: &str = "[0m";

/// Stands for the escape before the program's own codes. It is another at each run, so that nothing
/// that is read can hold it.
fn own() -> &'static str {
    static OWN: OnceLock<String> = OnceLock::new();
    OWN.get_or_init(|| format!("\u{1b}{}", RandomState::new().hash_one(BOLD)))
}

/// A text in bold letters, to be written to [`Out::text`].
pub fn bold(s: &str) -> String {
    format!("{0}{BOLD}{s}{0}{USUAL}", own())
}

/// A text without what steers a terminal, one character for another, so that columns stay. Lines and
/// tabs are kept.
pub fn plain(text: &str) -> String {
    let plain = |c: char| match c {
        '\n' | '\t' => c,
        c if steers(c) => ' ',
        c => c,
    };
    text.chars().map(plain).collect()
}

/// The same as one line, for what must not end it: a name, a cell.
pub fn one_line(text: &str) -> String {
    plain(text).replace(['\n', '\t'], " ")
}

/// The name of a file as it is said.
pub fn named(path: &Path) -> String {
    one_line(&path.display().to_string())
}

/// Does a character move, colour or turn round what a terminal shows?
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c,
            // Ends of lines and paragraphs.
            '\u{2028}' | '\u{2029}'
            // What turns the direction of writing round.
            | '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
            // Notes between the lines.
            | '\u{fff9}'..='\u{fffb}')
}

/// Says a line on standard error, for a person. Where nobody can hear it, the work goes on.
pub fn say_aside(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", plain(text));
}

/// [`say_aside`], with the text put together as by `format!`.
macro_rules! aside {
    ($($text:tt)*) => { $crate::out::say_aside(&format!($($text)*)) };
}
pub(crate) use aside;
