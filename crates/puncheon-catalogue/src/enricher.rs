//! Rows in, rows out: a reader cuts the stream into chunks of whole rows, workers answer them, and
//! the chunks are written in the order in which they came.

use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::io::{self, Read, Write};
use std::ops::Range;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

use puncheon::{Claim, Nears, Options, Tables};
use serde::Serialize;

use crate::columns::{self, Column, Terms};
use crate::split::{self, Dialect, Record};

/// The column that holds a whole reading.
const READING: &str = "reading";
/// Bytes of a chunk; a row that is longer gets a chunk of its own.
const CHUNK: usize = 1 << 18;
/// Answers that a worker remembers, twice: the newer half outlives the older.
const REMEMBERED: usize = 4096;
/// Words not understood that are counted; past this the rarest are forgotten.
const COUNTED: usize = 20_000;
/// Disagreements kept for a list of them.
const KEPT: usize = 100_000;

/// How the text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// Fields with a delimiter between, which is found from the head.
    Delimited,
    /// One JSON object a line.
    JsonLines,
}

/// Adds answers to the rows of a catalogue.
#[derive(Clone, Debug)]
pub struct Enricher<'t> {
    /// The tables to read from.
    pub tables: &'t Tables,
    /// The name of the column that holds the marks.
    pub marks: String,
    /// The name of the column that holds what is stated.
    pub claim: Option<String>,
    /// Columns to add.
    pub columns: Vec<Column>,
    /// Stands before the name of each added column.
    pub prefix: String,
    /// Adds the whole reading as JSON, in a column named `reading`.
    pub detail: bool,
    /// Adds the versions and a sentence for the record.
    pub stamp: bool,
    /// The user's own words for ours.
    pub terms: Terms,
    /// Bounds on the answers.
    pub options: Options,
    /// Workers; 0 is one for each core.
    pub threads: usize,
    /// How the text is written.
    pub format: Format,
}

/// Why a catalogue could not be enriched.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// The input could not be read.
    Read(io::Error),
    /// The output could not be written.
    Write(io::Error),
    /// The head does not allow it; what is wrong and what would be right.
    Head(String),
    /// Stopped by the caller, after so many rows.
    Stopped(u64),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Error::Read(e) => write!(f, "the catalogue could not be read: {e}"),
            Error::Write(e) => write!(f, "the rows could not be written: {e}"),
            Error::Head(s) => f.write_str(s),
            Error::Stopped(rows) => write!(f, "stopped after {rows} rows"),
        }
    }
}

impl std::error::Error for Error {}

/// A row that could not be answered. It is kept all the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The row's number, the first below the head being 1.
    pub row: u64,
    /// The line of the file where it is, from 1.
    pub line: u64,
    /// The byte of that line, from 1.
    pub column: u64,
    /// What is wrong.
    pub wrong: String,
}

/// A row whose stated date does not agree with its marks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Disagreement {
    /// The row's number.
    pub row: u64,
    /// fails or undecided.
    pub verdict: &'static str,
    /// What is stated.
    pub stated: String,
    /// The marks as described.
    pub marks: String,
    /// What the marks support best; empty if nothing.
    pub best: String,
    /// How sure that is, by rule.
    pub sure: String,
}

/// What became of a catalogue.
#[derive(Clone, Debug, Default, Serialize)]
#[non_exhaustive]
pub struct Summary {
    /// The name of the shape.
    pub schema: &'static str,
    /// Rows read, and as many written.
    pub rows: u64,
    /// Rows of each outcome.
    pub outcomes: BTreeMap<String, u64>,
    /// Rows of each verdict, where something was stated.
    pub verdicts: BTreeMap<String, u64>,
    /// Rows that could not be read.
    pub problems: u64,
    /// The first of them.
    pub first_problems: Vec<Problem>,
    /// Words not understood, most often first.
    pub not_understood: Vec<(String, u64)>,
    /// Rows answered from memory, having been seen before.
    pub repeated: u64,
    /// Rows for which nears had to be worked out.
    pub nears_worked_out: u64,
    /// Seconds taken.
    pub elapsed: f64,
    /// Bytes read.
    pub bytes: u64,
    /// Rows whose stated date disagrees, surest first.
    #[serde(skip)]
    pub disagreements: Vec<Disagreement>,
}

/// The name of the shape of a summary.
pub const SCHEMA: &str = "puncheon.summary/1";

/// How far a run has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress {
    /// Rows written.
    pub rows: u64,
    /// Bytes read.
    pub bytes: u64,
    /// Time since the start.
    pub elapsed: Duration,
}

/// What the caller is told and can ask for while rows go by.
pub struct Watch<'w> {
    /// Called now and then; false stops the run.
    pub progress: &'w mut dyn FnMut(Progress) -> bool,
    /// Rows that could not be read are copied here.
    pub rejects: Option<&'w mut dyn Write>,
}

/// One answer, ready to be written.
#[derive(Clone, Debug)]
struct Answer {
    /// The cells, as they are appended to a row.
    cells: Vec<u8>,
    outcome: &'static str,
    verdict: &'static str,
    words: Vec<String>,
    nears: bool,
    best: String,
    sure: String,
}

/// Answers seen before. The older half goes when the newer is full, so memory stays flat.
#[derive(Default)]
struct Memory {
    newer: HashMap<Box<[u8]>, Answer>,
    older: HashMap<Box<[u8]>, Answer>,
    /// The key of the row at hand, kept to save its allocation.
    key: Vec<u8>,
}

impl Memory {
    /// The answer for marks and claim, worked out if it is not remembered; and whether it was.
    fn answer(
        &mut self,
        marks: &[u8],
        claim: &[u8],
        work_out: impl FnOnce() -> Answer,
    ) -> (&Answer, bool) {
        self.key.clear();
        self.key.extend_from_slice(marks);
        self.key.push(0);
        self.key.extend_from_slice(claim);
        let known = self.newer.contains_key(&self.key[..]);
        if !known {
            let older = self.older.remove_entry(&self.key[..]);
            let repeated = older.is_some();
            let (key, answer) = older.unwrap_or_else(|| (self.key.as_slice().into(), work_out()));
            if self.newer.len() >= REMEMBERED {
                self.older = std::mem::take(&mut self.newer);
            }
            return (self.newer.entry(key).or_insert(answer), repeated);
        }
        (&self.newer[&self.key[..]], true)
    }
}

/// Whole rows on their way to a worker.
struct Chunk {
    number: usize,
    bytes: Vec<u8>,
    /// Lines before it.
    lines: u64,
    /// Rows before it.
    rows: u64,
}

/// Answered rows on their way out.
#[derive(Default)]
struct Done {
    number: usize,
    out: Vec<u8>,
    rejects: Vec<u8>,
    taken: Summary,
    words: HashMap<String, u64>,
}

/// What the head settles.
struct Head {
    dialect: Dialect,
    fields: usize,
    marks: usize,
    claim: Option<usize>,
    /// Names of the added columns.
    added: Vec<String>,
}

impl<'t> Enricher<'t> {
    /// Adds every column to rows whose marks stand in the column of this name.
    pub fn new(tables: &'t Tables, marks: &str) -> Enricher<'t> {
        let mut options = Options::default();
        options.nears = Nears::IfNoFits;
        Enricher {
            tables,
            marks: marks.to_string(),
            claim: None,
            columns: Column::ALL.to_vec(),
            prefix: String::new(),
            detail: false,
            stamp: false,
            terms: Terms::default(),
            options,
            threads: 0,
            format: Format::Delimited,
        }
    }

    /// Names of the columns that are added, in order.
    pub fn added(&self) -> Vec<String> {
        let mut names: Vec<&str> = self.columns.iter().map(|c| c.name()).collect();
        if self.stamp {
            names.extend(["stamp_program", "stamp_tables", "stamp_note"]);
        }
        if self.detail {
            names.push(READING);
        }
        names
            .iter()
            .map(|n| format!("{}{n}", self.prefix))
            .collect()
    }

    /// Reads a catalogue and writes it with the columns added, row for row in the same order.
    ///
    /// # Errors
    /// If the head lacks the columns named or has one that would be added, if reading or writing
    /// fails, or if the caller stops it. A row that cannot be read is no error: it is kept, with its
    /// problem in the first added column.
    pub fn run(
        &self,
        input: impl Read + Send,
        mut output: impl Write,
        mut watch: Watch,
    ) -> Result<Summary, Error> {
        let start = Instant::now();
        let workers = match self.threads {
            0 => thread::available_parallelism().map_or(1, usize::from),
            n => n,
        };
        let mut feed = Feed::new(input, self.format);
        let head = self.head(&mut feed, &mut output)?;
        let head = &head;
        let (chunk_to, chunk_from) = sync_channel::<Chunk>(workers);
        let (done_to, done_from) = sync_channel::<Done>(workers);
        let chunk_from = Mutex::new(chunk_from);
        // A chunk may only be read when one was written, so that memory stays flat.
        let (ticket_to, ticket_from) = sync_channel::<()>(workers * 4);
        for _ in 0..workers * 4 {
            let _ = ticket_to.send(());
        }
        let stop = AtomicBool::new(false);
        let (mut total, mut words) = (Summary::default(), HashMap::new());
        let result = thread::scope(|scope| {
            let reader = scope.spawn(|| feed.chunks(head.dialect, chunk_to, ticket_from, &stop));
            for _ in 0..workers {
                let (done_to, chunk_from) = (done_to.clone(), &chunk_from);
                scope.spawn(move || self.work(head, chunk_from, &done_to));
            }
            drop(done_to);
            let written = gather(
                &done_from,
                &ticket_to,
                &mut output,
                &mut watch,
                &mut total,
                &mut words,
                start,
            );
            // A writer that failed or was stopped wakes the others, so that all come to an end.
            stop.store(true, Ordering::Relaxed);
            drop(ticket_to);
            while done_from.recv().is_ok() {}
            let read = reader.join().unwrap_or(Ok(0));
            written?;
            total.bytes = read.map_err(Error::Read)?;
            Ok::<(), Error>(())
        });
        result?;
        output.flush().map_err(Error::Write)?;
        total.schema = SCHEMA;
        total.elapsed = start.elapsed().as_secs_f64();
        total.not_understood = most_often(words);
        // Surest first: a claim that fails by one sure year, then the rest.
        let rank = |d: &Disagreement| {
            let sure = ["one-year", "one-year-doubtful", "several", "misreading"];
            let sure = sure.iter().position(|s| *s == d.sure).unwrap_or(9);
            (d.verdict != "fails", sure, d.row)
        };
        total.disagreements.sort_by_key(rank);
        Ok(total)
    }

    /// Reads the head, writes it with the names added, and finds the columns.
    fn head(&self, feed: &mut Feed<impl Read>, output: &mut impl Write) -> Result<Head, Error> {
        if self.format == Format::JsonLines {
            return Ok(Head {
                dialect: Dialect {
                    delimiter: b'\n',
                    bom: false,
                },
                fields: 0,
                marks: 0,
                claim: None,
                added: self.added(),
            });
        }
        let (bytes, dialect) = feed.first_record().map_err(Error::Read)?;
        let body = bytes
            .strip_suffix(b"\n")
            .map_or(&bytes[..], |b| b.strip_suffix(b"\r").unwrap_or(b));
        let ending = &bytes[body.len()..];
        let start = if dialect.bom { split::BOM.len() } else { 0 };
        let mut ranges = Vec::new();
        split::fields(&body[start..], dialect, &mut ranges);
        let names: Vec<String> = ranges
            .iter()
            .map(|r| String::from_utf8_lossy(&split::plain(&body[start..][r.clone()])).into_owned())
            .collect();
        let (marks, claim, added) = self.columns_in(&names)?;
        let mut out = body.to_vec();
        for name in &added {
            out.push(dialect.delimiter);
            split::push(&mut out, name.as_bytes(), dialect);
        }
        out.extend_from_slice(ending);
        output.write_all(&out).map_err(Error::Write)?;
        Ok(Head {
            dialect,
            fields: names.len(),
            marks,
            claim,
            added,
        })
    }

    /// Where the marks and the claim stand among the columns of a catalogue, and the names to add.
    pub(crate) fn columns_in(
        &self,
        names: &[String],
    ) -> Result<(usize, Option<usize>, Vec<String>), Error> {
        let find = |wanted: &str| find_column(names, wanted);
        let marks = find(&self.marks)?;
        let claim = self.claim.as_deref().map(find).transpose()?;
        let added = self.added();
        if let Some(taken) = added.iter().find(|a| names.contains(a)) {
            return Err(Error::Head(format!(
                "the catalogue has a column \"{taken}\" already\n  choose other columns with --add, or a prefix for the new ones with --prefix"
            )));
        }
        Ok((marks, claim, added))
    }

    fn work(&self, head: &Head, from: &Mutex<Receiver<Chunk>>, to: &SyncSender<Done>) {
        let mut memory = Memory::default();
        loop {
            let chunk = from.lock().map(|f| f.recv());
            let Ok(Ok(chunk)) = chunk else { return };
            let done = match self.format {
                Format::JsonLines => self.lines(&chunk, head, &mut memory),
                Format::Delimited => self.rows(&chunk, head, &mut memory),
            };
            if to.send(done).is_err() {
                return;
            }
        }
    }

    /// Answers the rows of a chunk.
    fn rows(&self, chunk: &Chunk, head: &Head, memory: &mut Memory) -> Done {
        let d = head.dialect;
        let buf = &chunk.bytes;
        let mut done = Done {
            number: chunk.number,
            out: Vec::with_capacity(buf.len() * 2),
            ..Done::default()
        };
        let (mut at, mut ranges) = (0, Vec::new());
        while at < buf.len() {
            let Some(r) = split::record(buf, at, true, d) else {
                break;
            };
            at = r.end;
            let body = &buf[r.body.clone()];
            done.out.extend_from_slice(body);
            // A line with nothing on it is no row.
            if !body.is_empty() {
                done.taken.rows += 1;
                let row = chunk.rows + done.taken.rows;
                split::fields(body, d, &mut ranges);
                match self.readable(&r, body, &ranges, head) {
                    Ok((marks, claim)) => self.append(&marks, &claim, row, d, memory, &mut done),
                    Err((place, wrong)) => {
                        let problem = place_of(chunk, r.body.start + place, row, wrong);
                        // Fields that a short row lacks stand empty, so that the new ones keep their place.
                        for _ in ranges.len()..head.fields {
                            done.out.push(d.delimiter);
                        }
                        done.out.push(d.delimiter);
                        split::push(&mut done.out, said(&problem).as_bytes(), d);
                        for _ in 1..head.added.len() {
                            done.out.push(d.delimiter);
                        }
                        done.reject(problem, body);
                    }
                }
            }
            done.out.extend_from_slice(&buf[r.body.end..r.end]);
        }
        done
    }

    /// The marks and the claim of a row, or where and why it cannot be read.
    fn readable<'b>(
        &self,
        r: &Record,
        body: &'b [u8],
        ranges: &[Range<usize>],
        head: &Head,
    ) -> Result<(Text<'b>, Text<'b>), (usize, String)> {
        if let Some(open) = r.unclosed {
            return Err((open - r.body.start, "a quote is not closed".into()));
        }
        if ranges.len() != head.fields {
            let wrong = format!("{} fields where the head has {}", ranges.len(), head.fields);
            return Err((0, wrong));
        }
        let cell = |i: usize| {
            let range = ranges[i].clone();
            let raw = &body[range.clone()];
            if raw.len() > split::LONGEST {
                return Err((
                    range.start,
                    "a field of more than a million bytes".to_string(),
                ));
            }
            if let Some(n) = memchr::memchr(0, raw) {
                return Err((range.start + n, "a zero byte".to_string()));
            }
            match std::str::from_utf8(raw) {
                Ok(_) => Ok(split::plain(raw)),
                Err(e) => Err((
                    range.start + e.valid_up_to(),
                    "bytes that are not UTF-8".into(),
                )),
            }
        };
        let claim = match head.claim {
            Some(i) => cell(i)?,
            None => (&b""[..]).into(),
        };
        Ok((cell(head.marks)?, claim))
    }

    /// Appends the answer to a row.
    fn append(
        &self,
        marks: &[u8],
        claim: &[u8],
        row: u64,
        d: Dialect,
        memory: &mut Memory,
        done: &mut Done,
    ) {
        let text = |bytes| String::from_utf8_lossy(bytes);
        let (a, repeated) = memory.answer(marks, claim, || {
            let mut out = Vec::new();
            let told = self.told(&text(marks), &text(claim), |cell| {
                out.push(d.delimiter);
                split::push(&mut out, cell.as_bytes(), d);
            });
            Answer { cells: out, ..told }
        });
        done.taken.repeated += u64::from(repeated);
        done.out.extend_from_slice(&a.cells);
        done.count(a, row, marks, claim);
    }

    /// The cells that are added to one row, in the order of [`Enricher::added`].
    pub fn cells(&self, marks: &str, stated: &str) -> Vec<String> {
        let mut out = Vec::new();
        self.told(marks, stated, |cell| out.push(cell));
        out
    }

    /// Works out an answer; `each` takes its cells in order.
    fn told(&self, marks: &str, stated: &str, mut each: impl FnMut(String)) -> Answer {
        let claim = match stated.trim() {
            "" => None,
            words => Some(Claim::read(self.tables, words)),
        };
        let readable = claim.as_ref().and_then(|c| c.as_ref().ok());
        let g = puncheon::gist(self.tables, marks, readable, &self.options);
        let verdict = match &claim {
            Some(Err(e)) if e.impossible => "fails",
            Some(Err(_)) => "unreadable",
            _ => columns::verdict(&g),
        };
        for c in &self.columns {
            let cell = match c {
                Column::Verdict => verdict.to_string(),
                c => c.cell(&g, marks),
            };
            each(self.terms.apply(cell));
        }
        if self.stamp {
            each(format!("puncheon {}", env!("CARGO_PKG_VERSION")));
            each(self.tables.version().to_string());
            each(note(&g));
        }
        if self.detail {
            let reading = puncheon::read(self.tables, marks, &self.options);
            each(serde_json::to_string(&reading).unwrap_or_default());
        }
        Answer {
            cells: Vec::new(),
            outcome: columns::outcome(&g),
            verdict,
            words: columns::words(&g, marks).map(str::to_lowercase).collect(),
            nears: g.fits == 0,
            best: g
                .best
                .as_ref()
                .map_or(String::new(), |b| format!("{} {}", b.0, b.1)),
            sure: Column::Sure.cell(&g, marks),
        }
    }

    /// Answers the lines of a chunk, one JSON object each. The object's own bytes are kept; the new
    /// fields are put in before its closing brace.
    fn lines(&self, chunk: &Chunk, head: &Head, memory: &mut Memory) -> Done {
        let mut done = Done {
            number: chunk.number,
            out: Vec::with_capacity(chunk.bytes.len() * 2),
            ..Done::default()
        };
        let mut at = 0;
        while at < chunk.bytes.len() {
            let end =
                memchr::memchr(b'\n', &chunk.bytes[at..]).map_or(chunk.bytes.len(), |n| at + n + 1);
            let line = &chunk.bytes[at..end];
            let body = line
                .strip_suffix(b"\n")
                .map_or(line, |b| b.strip_suffix(b"\r").unwrap_or(b));
            if body.iter().all(u8::is_ascii_whitespace) {
                done.out.extend_from_slice(line);
                at = end;
                continue;
            }
            done.taken.rows += 1;
            let row = chunk.rows + done.taken.rows;
            match self.fields_of(body, head) {
                Ok((marks, claim, brace, empty)) => {
                    let (a, repeated) = memory.answer(marks.as_bytes(), claim.as_bytes(), || {
                        let mut out = Vec::new();
                        let mut names = head.added.iter();
                        let told = self.told(&marks, &claim, |cell| {
                            if let Some(name) = names.next() {
                                json_field(name, &self.prefix, &cell, &mut out);
                            }
                        });
                        Answer { cells: out, ..told }
                    });
                    done.taken.repeated += u64::from(repeated);
                    done.out.extend_from_slice(&body[..brace]);
                    done.out
                        .extend_from_slice(if empty { &a.cells[1..] } else { &a.cells });
                    done.out.extend_from_slice(&body[brace..]);
                    done.count(a, row, marks.as_bytes(), claim.as_bytes());
                }
                Err((place, wrong)) => {
                    let problem = place_of(chunk, at + place, row, wrong);
                    // What is no object is kept as it is: there is no place to put the problem.
                    done.out.extend_from_slice(body);
                    done.reject(problem, body);
                }
            }
            done.out.extend_from_slice(&line[body.len()..]);
            at = end;
        }
        done
    }

    /// Marks, claim, the place of the closing brace and whether nothing stands before it.
    fn fields_of(
        &self,
        body: &[u8],
        head: &Head,
    ) -> Result<(String, String, usize, bool), (usize, String)> {
        let text = std::str::from_utf8(body)
            .map_err(|e| (e.valid_up_to(), "bytes that are not UTF-8".to_string()))?;
        let object: serde_json::Map<String, serde_json::Value> = serde_json::from_str(text)
            .map_err(|e| (e.column().saturating_sub(1), format!("no JSON object: {e}")))?;
        if let Some(taken) = head.added.iter().find(|a| object.contains_key(*a)) {
            return Err((
                0,
                format!("a field \"{taken}\" is there already; use --prefix"),
            ));
        }
        let field = |name: &str| match object.get(name) {
            Some(serde_json::Value::String(s)) => Ok(s.clone()),
            Some(serde_json::Value::Null) | None => Ok(String::new()),
            Some(other) => Ok(other.to_string()),
        };
        let marks = field(&self.marks)?;
        let claim = match &self.claim {
            Some(c) => field(c)?,
            None => String::new(),
        };
        let brace = text.rfind('}').unwrap_or(text.len());
        Ok((marks, claim, brace, object.is_empty()))
    }
}

type Text<'b> = std::borrow::Cow<'b, [u8]>;

/// Appends a field to an object: numbers as numbers, the reading as an object, an empty cell as null.
fn json_field(name: &str, prefix: &str, cell: &str, out: &mut Vec<u8>) {
    out.push(b',');
    out.extend_from_slice(&serde_json::to_vec(name).unwrap_or_default());
    out.push(b':');
    let column = name.strip_prefix(prefix).unwrap_or(name);
    let number =
        Column::named(column).is_some_and(Column::is_number) && cell.parse::<i64>().is_ok();
    if number || column == READING {
        out.extend_from_slice(cell.as_bytes());
    } else if cell.is_empty() {
        out.extend_from_slice(b"null");
    } else {
        out.extend_from_slice(&serde_json::to_vec(cell).unwrap_or_default());
    }
}

/// A sentence for the record, with its basis.
fn note(g: &puncheon::Gist) -> String {
    let Some((office, shown)) = &g.best else {
        return "Nothing fits the marks as described.".into();
    };
    let others = match g.fits {
        1 => String::new(),
        n => format!(", the first of {n} that fit"),
    };
    format!(
        "Read from a description of the marks, not from the piece: {office} {shown}{others}; the tables rest on {} here, of {} confidence.",
        match g.basis {
            Some("memory") => "memory",
            Some("published") => "published sources",
            _ => "published sources and memory",
        },
        g.confidence.unwrap_or("low"),
    )
}

/// A column by its name, or by the same name in other letters.
fn find_column(names: &[String], wanted: &str) -> Result<usize, Error> {
    let exact = names.iter().position(|n| n == wanted);
    let same = |n: &&String| n.trim().eq_ignore_ascii_case(wanted.trim());
    let loose: Vec<usize> = (0..names.len()).filter(|i| same(&&names[*i])).collect();
    let twice = names.iter().filter(|n| *n == wanted).count() > 1;
    match (exact, loose.as_slice()) {
        (Some(i), _) if !twice => Ok(i),
        (None, [one]) => Ok(*one),
        (_, []) => Err(Error::Head(format!(
            "no column is called \"{wanted}\"\n  the columns are {}",
            names
                .iter()
                .map(|n| format!("\"{n}\""))
                .collect::<Vec<_>>()
                .join(", ")
        ))),
        _ => Err(Error::Head(format!(
            "more than one column is called \"{wanted}\"\n  give them names of their own"
        ))),
    }
}

fn said(p: &Problem) -> String {
    format!(
        "unreadable: {} (line {}, column {})",
        p.wrong, p.line, p.column
    )
}

/// Line and column of a byte of a chunk.
fn place_of(chunk: &Chunk, byte: usize, row: u64, wrong: String) -> Problem {
    let before = &chunk.bytes[..byte.min(chunk.bytes.len())];
    let lines = memchr::memchr_iter(b'\n', before).count() as u64;
    let start = memchr::memrchr(b'\n', before).map_or(0, |n| n + 1);
    Problem {
        row,
        line: chunk.lines + lines + 1,
        column: (before.len() - start) as u64 + 1,
        wrong,
    }
}

impl Done {
    fn count(&mut self, a: &Answer, row: u64, marks: &[u8], claim: &[u8]) {
        add(&mut self.taken.outcomes, a.outcome, 1);
        if !a.verdict.is_empty() {
            add(&mut self.taken.verdicts, a.verdict, 1);
        }
        self.taken.nears_worked_out += u64::from(a.nears);
        for w in &a.words {
            match self.words.get_mut(w) {
                Some(n) => *n += 1,
                None => {
                    self.words.insert(w.clone(), 1);
                }
            }
        }
        if matches!(a.verdict, "fails" | "undecided") && self.taken.disagreements.len() < KEPT {
            self.taken.disagreements.push(Disagreement {
                row,
                verdict: a.verdict,
                stated: String::from_utf8_lossy(claim).into_owned(),
                marks: String::from_utf8_lossy(marks).into_owned(),
                best: a.best.clone(),
                sure: a.sure.clone(),
            });
        }
    }

    fn reject(&mut self, p: Problem, body: &[u8]) {
        self.rejects
            .extend_from_slice(format!("{}\t{}\t{}\t", p.line, p.column, p.wrong).as_bytes());
        self.rejects.extend_from_slice(body);
        self.rejects.push(b'\n');
        self.taken.problems += 1;
        if self.taken.first_problems.len() < 10 {
            self.taken.first_problems.push(p);
        }
    }
}

fn add(into: &mut BTreeMap<String, u64>, key: &str, n: u64) {
    match into.get_mut(key) {
        Some(k) => *k += n,
        None => {
            into.insert(key.to_string(), n);
        }
    }
}

/// Writes what is done, in order, and adds up what it says.
fn gather(
    from: &Receiver<Done>,
    tickets: &SyncSender<()>,
    output: &mut impl Write,
    watch: &mut Watch,
    total: &mut Summary,
    words: &mut HashMap<String, u64>,
    start: Instant,
) -> Result<(), Error> {
    let mut waiting: BTreeMap<usize, Done> = BTreeMap::new();
    let mut next = 0;
    let mut bytes = 0;
    while let Ok(done) = from.recv() {
        waiting.insert(done.number, done);
        while let Some(done) = waiting.remove(&next) {
            next += 1;
            output.write_all(&done.out).map_err(Error::Write)?;
            if let Some(rejects) = watch.rejects.as_deref_mut() {
                rejects.write_all(&done.rejects).map_err(Error::Write)?;
            }
            bytes += done.out.len() as u64;
            take(total, words, done);
            let _ = tickets.try_send(());
            let told = Progress {
                rows: total.rows,
                bytes,
                elapsed: start.elapsed(),
            };
            if !(watch.progress)(told) {
                return Err(Error::Stopped(total.rows));
            }
        }
    }
    Ok(())
}

fn take(total: &mut Summary, words: &mut HashMap<String, u64>, done: Done) {
    let t = done.taken;
    total.rows += t.rows;
    total.problems += t.problems;
    total.repeated += t.repeated;
    total.nears_worked_out += t.nears_worked_out;
    for (k, n) in &t.outcomes {
        add(&mut total.outcomes, k, *n);
    }
    for (k, n) in &t.verdicts {
        add(&mut total.verdicts, k, *n);
    }
    let room = 10usize.saturating_sub(total.first_problems.len());
    total
        .first_problems
        .extend(t.first_problems.into_iter().take(room));
    let room = KEPT.saturating_sub(total.disagreements.len());
    total
        .disagreements
        .extend(t.disagreements.into_iter().take(room));
    for (w, n) in done.words {
        *words.entry(w).or_default() += n;
    }
    if words.len() > COUNTED {
        let mut counts: Vec<u64> = words.values().copied().collect();
        counts.sort_unstable();
        let least = counts[counts.len() / 2];
        words.retain(|_, n| *n > least);
    }
}

fn most_often(words: HashMap<String, u64>) -> Vec<(String, u64)> {
    let mut out: Vec<(String, u64)> = words.into_iter().collect();
    out.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    out.truncate(100);
    out
}

/// The input, cut into chunks of whole rows.
struct Feed<R> {
    input: R,
    /// Bytes read and not yet handed on.
    held: Vec<u8>,
    whole: bool,
    bytes: u64,
    lines: u64,
    format: Format,
}

impl<R: Read> Feed<R> {
    fn new(input: R, format: Format) -> Feed<R> {
        Feed {
            input,
            held: Vec::new(),
            whole: false,
            bytes: 0,
            lines: 0,
            format,
        }
    }

    fn more(&mut self) -> io::Result<()> {
        let from = self.held.len();
        self.held.resize(from + CHUNK, 0);
        let mut got = from;
        while got < self.held.len() {
            match self.input.read(&mut self.held[got..]) {
                Ok(0) => {
                    self.whole = true;
                    break;
                }
                Ok(n) => {
                    got += n;
                    // A slow pipe hands over what it has.
                    break;
                }
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e),
            }
        }
        self.held.truncate(got);
        self.bytes += (got - from) as u64;
        Ok(())
    }

    /// The head of a delimited text, with its line ending.
    fn first_record(&mut self) -> io::Result<(Vec<u8>, Dialect)> {
        loop {
            self.more()?;
            let d = Dialect::find(&self.held);
            if self.whole || memchr::memchr(b'\n', &self.held).is_some() {
                let r = split::record(&self.held, 0, self.whole, d);
                if let Some(r) = r {
                    let head: Vec<u8> = self.held.drain(..r.end).collect();
                    self.lines = memchr::memchr_iter(b'\n', &head).count() as u64;
                    return Ok((head, d));
                }
                if self.whole {
                    return Ok((Vec::new(), d));
                }
            }
        }
    }

    /// Hands on chunk after chunk, each when a ticket allows it. Returns the bytes read.
    fn chunks(
        mut self,
        d: Dialect,
        to: SyncSender<Chunk>,
        tickets: Receiver<()>,
        stop: &AtomicBool,
    ) -> io::Result<u64> {
        let (mut number, mut rows) = (0, 0);
        loop {
            if self.held.len() < CHUNK && !self.whole {
                self.more()?;
            }
            if stop.load(Ordering::Relaxed) {
                return Ok(self.bytes);
            }
            let (end, count) = self.whole_rows(d);
            if end > 0 {
                if tickets.recv().is_err() {
                    return Ok(self.bytes);
                }
                let rest = self.held.split_off(end);
                let bytes = std::mem::replace(&mut self.held, rest);
                let lines = memchr::memchr_iter(b'\n', &bytes).count() as u64;
                let chunk = Chunk {
                    number,
                    bytes,
                    lines: self.lines,
                    rows,
                };
                if to.send(chunk).is_err() {
                    return Ok(self.bytes);
                }
                number += 1;
                self.lines += lines;
                rows += count;
            } else if self.whole {
                return Ok(self.bytes);
            } else {
                self.more()?;
            }
        }
    }

    /// How many bytes at the front are whole rows, and how many rows.
    fn whole_rows(&self, d: Dialect) -> (usize, u64) {
        let (mut at, mut rows) = (0, 0);
        while at < self.held.len() {
            let end = match self.format {
                Format::Delimited => split::record(&self.held, at, self.whole, d)
                    .map(|r| (r.end, !r.body.is_empty())),
                Format::JsonLines => match memchr::memchr(b'\n', &self.held[at..]) {
                    Some(n) => Some((at + n + 1, n > 0)),
                    None => self.whole.then_some((self.held.len(), true)),
                },
            };
            let Some((end, row)) = end else { break };
            at = end;
            rows += u64::from(row);
        }
        (at, rows)
    }
}
