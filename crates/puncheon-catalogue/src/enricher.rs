//! Rows in, rows out: a reader cuts the stream into chunks of whole rows, workers answer them, and
//! the chunks are written in the order in which they came.

use std::io::{Read, Write};
use std::ops::Range;
use std::panic::resume_unwind;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Instant;

use puncheon::schema::head;
use puncheon::steps;

use crate::answers::{Answers, Form};
use crate::error::Error;
use crate::feed::{Chunk, Feed};
use crate::gathered::{Alarm, Done, Gathered, Watch};
use crate::settings::{Enricher, Format};
use crate::split::{self, Dialect, Record};
use crate::summary::{At, Problem, Summary, Wrong};

/// No machine has so many cores, and each worker takes memory.
const MOST_WORKERS: usize = 1024;

/// What the head settles.
struct Head {
    dialect: Dialect,
    fields: usize,
    marks: usize,
    claim: Option<usize>,
    /// Names of the added columns.
    added: Vec<String>,
}

impl Enricher<'_> {
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
        let form = match self.format {
            Format::Delimited => Form::Delimited(head.dialect),
            Format::JsonLines => Form::Fields(&head.added),
        };
        let answers = Answers::new(self, form);
        let wanted = [Some(self.marks.as_str()), self.claim.as_deref()];
        let mut gathered = Gathered::new(wanted, &mut output, &mut watch, start);
        let shared =
            self.shared(workers.min(MOST_WORKERS), &mut feed, &head, &answers, &mut gathered);
        match shared {
            Some(done) => done?,
            None => self.alone(&mut feed, &head, &answers, &mut gathered)?,
        }
        let total = gathered.end()?;
        output.flush().map_err(Error::Write)?;
        Ok(total.finish(feed.bytes(), start.elapsed()))
    }

    /// Answers chunks in as many threads as can be started. None, with nothing read, if it takes
    /// more of them than there are.
    fn shared(
        &self,
        workers: usize,
        feed: &mut Feed<impl Read + Send>,
        head: &Head,
        answers: &Answers,
        gathered: &mut Gathered<'_, '_, impl Write>,
    ) -> Option<Result<(), Error>> {
        let (chunk_to, chunk_from) = sync_channel::<Chunk>(workers);
        let (done_to, done_from) = sync_channel::<Option<Done>>(workers);
        // A chunk may only be read when one was written, so that memory stays flat.
        let tickets = workers * 2 + 2;
        let (ticket_to, ticket_from) = sync_channel::<()>(tickets);
        for _ in 0..tickets {
            let _ = ticket_to.send(());
        }
        let stop = &AtomicBool::new(false);
        thread::scope(|scope| {
            // Every end of a channel belongs to one side: whichever side ends, by an error, a stop or
            // a panic, wakes the others.
            let chunk_from = Arc::new(Mutex::new(chunk_from));
            let (done_from, ticket_to) = (done_from, ticket_to);
            let mut started = 0;
            for _ in 0..workers {
                let (from, to) = (Arc::clone(&chunk_from), Alarm(done_to.clone()));
                let work = move || self.work(head, answers, &from, &to);
                // The system allows no more: those that there are do it all.
                if thread::Builder::new().spawn_scoped(scope, work).is_err() {
                    break;
                }
                started += 1;
            }
            drop((chunk_from, done_to));
            let read = move || {
                let mut read = || {
                    while ticket_from.recv().is_ok() {
                        let Some(chunk) = feed.chunk(head.dialect, stop)? else {
                            break;
                        };
                        if chunk_to.send(chunk).is_err() {
                            break;
                        }
                    }
                    Ok(())
                };
                (read(), steps::taken())
            };
            if started == 0 {
                return None;
            }
            let reader = thread::Builder::new().spawn_scoped(scope, read).ok()?;
            let written = gathered.all(&done_from, &ticket_to);
            stop.store(true, Ordering::Relaxed);
            drop(ticket_to);
            while done_from.recv().is_ok() {}
            let (read, taken) = reader.join().unwrap_or_else(|p| resume_unwind(p));
            steps::take(taken);
            Some(written.and(read.map_err(Error::Read)))
        })
    }

    /// Answers chunks one after another, in the caller's own thread.
    fn alone(
        &self,
        feed: &mut Feed<impl Read>,
        head: &Head,
        answers: &Answers,
        gathered: &mut Gathered<'_, '_, impl Write>,
    ) -> Result<(), Error> {
        let never = AtomicBool::new(false);
        while let Some(chunk) = feed.chunk(head.dialect, &never).map_err(Error::Read)? {
            if !gathered.add(self.answered(&chunk, head, answers))? {
                break;
            }
        }
        Ok(())
    }

    /// Reads the head, writes it with the names added, and finds the columns.
    fn head(&self, feed: &mut Feed<impl Read>, output: &mut impl Write) -> Result<Head, Error> {
        if self.format == Format::JsonLines {
            return Ok(Head {
                dialect: Dialect { delimiter: b'\n', bom: false },
                fields: 0,
                marks: 0,
                claim: None,
                added: self.added(),
            });
        }
        let (bytes, dialect) = feed.first_record().map_err(Error::Read)?;
        if bytes.is_empty() {
            return Err(Error::Head(
                "the catalogue is empty\n  its first line must hold the names of the columns"
                    .into(),
            ));
        }
        if [b"\xff\xfe", b"\xfe\xff"].iter().any(|m| bytes.starts_with(*m)) {
            return Err(Error::Head(
                "the catalogue is written in UTF-16\n  save it as UTF-8".into(),
            ));
        }
        let body =
            bytes.strip_suffix(b"\n").map_or(&bytes[..], |b| b.strip_suffix(b"\r").unwrap_or(b));
        let ending = &bytes[body.len()..];
        let start = if dialect.bom { head::BOM.len() } else { 0 };
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
        Ok(Head { dialect, fields: names.len(), marks, claim, added })
    }

    fn work(&self, head: &Head, answers: &Answers, from: &Mutex<Receiver<Chunk>>, to: &Alarm) {
        loop {
            let chunk = from.lock().map(|f| f.recv());
            let Ok(Ok(chunk)) = chunk else { return };
            let done = self.answered(&chunk, head, answers);
            if to.0.send(Some(done)).is_err() {
                return;
            }
        }
    }

    /// Answers a chunk.
    fn answered(&self, chunk: &Chunk, head: &Head, answers: &Answers) -> Done {
        let mut done = Done {
            number: chunk.number,
            read: chunk.bytes.len() as u64,
            out: Vec::with_capacity(chunk.bytes.len() * 2),
            ..Done::default()
        };
        match self.format {
            Format::JsonLines => self.lines(chunk, head, answers, &mut done),
            Format::Delimited => {
                // The head has settled it.
                done.had = [true; 2];
                self.rows(chunk, head, answers, &mut done);
            }
        }
        done
    }

    /// Answers the rows of a chunk.
    fn rows(&self, chunk: &Chunk, head: &Head, answers: &Answers, done: &mut Done) {
        let d = head.dialect;
        let buf = &chunk.bytes;
        let (mut at, mut ranges, mut line) = (0, Vec::new(), chunk.lines + 1);
        let mut asked = Vec::new();
        while at < buf.len() {
            let Some(r) = split::record(buf, at, true, d) else {
                break;
            };
            at = r.end;
            let body = &buf[r.body.clone()];
            let begins = line;
            // Few rows hold a line's end, and to see that there is none is cheaper than to count.
            line += match memchr::memchr(b'\n', &buf[r.body.start..r.end]) {
                Some(n) if r.body.start + n + 1 == r.end => 1,
                Some(_) => memchr::memchr_iter(b'\n', &buf[r.body.start..r.end]).count() as u64,
                None => 0,
            };
            done.out.extend_from_slice(body);
            // A line with nothing on it is no row.
            if !body.is_empty() {
                let row = done.row(chunk);
                split::fields(body, d, &mut ranges);
                match self.readable(&r, body, &ranges, head) {
                    Ok((marks, claim)) => {
                        let at = At { row, line: begins };
                        let answer =
                            answers.answer(&marks, &claim, &mut asked, &mut done.tally, at);
                        done.out.extend_from_slice(&answer.cells);
                    }
                    Err((place, wrong)) => {
                        let problem = chunk.problem(r.body.start + place, row, wrong);
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
    }

    /// The marks and the claim of a row, or where and why it cannot be read.
    fn readable<'b>(
        &self,
        r: &Record,
        body: &'b [u8],
        ranges: &[Range<usize>],
        head: &Head,
    ) -> Result<(Text<'b>, Text<'b>), (usize, Wrong)> {
        if let Some(open) = r.unclosed {
            let wrong = "a quote that is not closed, or not within a million bytes";
            return Err((open - r.body.start, wrong.into()));
        }
        if ranges.len() != head.fields {
            let wrong = format!("{} fields where the head has {}", ranges.len(), head.fields);
            return Err((0, wrong.into()));
        }
        let cell = |i: usize| {
            let range = ranges[i].clone();
            let raw = &body[range.clone()];
            if raw.len() > split::LONGEST {
                return Err((range.start, "a field of more than a million bytes".into()));
            }
            if let Some(n) = memchr::memchr(0, raw) {
                return Err((range.start + n, "a zero byte".into()));
            }
            match std::str::from_utf8(raw) {
                Ok(_) => Ok(split::plain(raw)),
                Err(e) => Err((range.start + e.valid_up_to(), Wrong::NotUtf8)),
            }
        };
        let claim = match head.claim {
            Some(i) => cell(i)?,
            None => (&b""[..]).into(),
        };
        Ok((cell(head.marks)?, claim))
    }

    /// The cells that are added to one row, in the order of [`Enricher::added`].
    pub fn cells(&self, marks: &str, stated: &str) -> Vec<String> {
        Answers::cells(self, marks, stated)
    }

    /// Answers the lines of a chunk, one JSON object each. The object's own bytes are kept; the new
    /// fields are put in before its closing brace.
    fn lines(&self, chunk: &Chunk, head: &Head, answers: &Answers, done: &mut Done) {
        let (mut at, mut line_number, mut objects) = (0, chunk.lines, 0);
        let mut asked = Vec::new();
        while at < chunk.bytes.len() {
            let end =
                memchr::memchr(b'\n', &chunk.bytes[at..]).map_or(chunk.bytes.len(), |n| at + n + 1);
            let line = &chunk.bytes[at..end];
            line_number += 1;
            let body =
                line.strip_suffix(b"\n").map_or(line, |b| b.strip_suffix(b"\r").unwrap_or(b));
            if body.iter().all(u8::is_ascii_whitespace) {
                done.out.extend_from_slice(line);
                at = end;
                continue;
            }
            let row = done.row(chunk);
            match self.fields_of(body, head) {
                Ok(o) => {
                    done.had[0] |= o.marks.is_some();
                    done.had[1] |= o.claim.is_some();
                    if objects == 0 {
                        done.names = o.names;
                    }
                    objects += 1;
                    let (marks, claim) = (o.marks.unwrap_or_default(), o.claim.unwrap_or_default());
                    let (marks, claim) = (marks.as_bytes(), claim.as_bytes());
                    let at = At { row, line: line_number };
                    let answer = answers.answer(marks, claim, &mut asked, &mut done.tally, at);
                    // Before the first field of an object stands no comma.
                    let cells = &answer.cells[usize::from(o.empty)..];
                    done.out.extend_from_slice(&body[..o.brace]);
                    done.out.extend_from_slice(cells);
                    done.out.extend_from_slice(&body[o.brace..]);
                }
                Err(Unfit::Taken(name)) if row == 1 => {
                    done.taken = Some(name);
                    return;
                }
                Err(unfit) => {
                    let (place, wrong) = unfit.said();
                    let problem = chunk.problem(at + place, row, wrong);
                    // What is no object is kept as it is: there is no place to put the problem.
                    done.out.extend_from_slice(body);
                    done.reject(problem, body);
                }
            }
            done.out.extend_from_slice(&line[body.len()..]);
            at = end;
        }
    }

    /// What a line's object holds, or where and why it cannot be read.
    fn fields_of(&self, body: &[u8], head: &Head) -> Result<Object, Unfit> {
        let bom = if body.starts_with(head::BOM) { head::BOM.len() } else { 0 };
        let text = std::str::from_utf8(&body[bom..]).map_err(|e| {
            let at = bom + e.valid_up_to();
            Unfit::Unread(at, Wrong::NotUtf8)
        })?;
        let object: serde_json::Map<String, serde_json::Value> = serde_json::from_str(text)
            .map_err(|e| {
                let at = bom + e.column().saturating_sub(1);
                Unfit::Unread(at, format!("no JSON object: {e}").into())
            })?;
        if let Some(name) = head.added.iter().find(|a| object.contains_key(*a)) {
            return Err(Unfit::Taken(name.clone()));
        }
        // As with columns, a name in other letters will do.
        let named = |name: &str| {
            let mut other = object.iter();
            object.get(name).or_else(|| Some(other.find(|(k, _)| k.eq_ignore_ascii_case(name))?.1))
        };
        let field = |name: &str| {
            named(name).map(|v| match v {
                serde_json::Value::String(s) => s.clone(),
                serde_json::Value::Null => String::new(),
                other => other.to_string(),
            })
        };
        let marks = field(&self.marks);
        let claim = self.claim.as_deref().map(field);
        let lacks = marks.is_none() || claim == Some(None);
        Ok(Object {
            marks,
            claim: claim.flatten(),
            brace: body.iter().rposition(|b| *b == b'}').unwrap_or(body.len()),
            empty: object.is_empty(),
            names: lacks.then(|| head::quoted(object.keys())),
        })
    }
}

/// An object of a line.
struct Object {
    /// None where it has no such field, and so below.
    marks: Option<String>,
    claim: Option<String>,
    /// Where its closing brace stands.
    brace: usize,
    /// It has no field at all.
    empty: bool,
    /// The names of its fields, where it lacks one of these two.
    names: Option<String>,
}

/// Why a line of JSON cannot be answered.
enum Unfit {
    /// It is no object: the byte of the line, and what is wrong there.
    Unread(usize, Wrong),
    /// It has a field of an added one's name.
    Taken(String),
}

impl Unfit {
    fn said(self) -> (usize, Wrong) {
        match self {
            Unfit::Unread(at, wrong) => (at, wrong),
            Unfit::Taken(name) => {
                (0, format!("a field \"{name}\" is there already; use --prefix").into())
            }
        }
    }
}

type Text<'b> = std::borrow::Cow<'b, [u8]>;

fn said(p: &Problem) -> String {
    format!("unreadable: {} (line {}, column {})", p.wrong, p.line, p.column)
}
