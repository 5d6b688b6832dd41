//! The input, cut into chunks of whole rows.

use std::io::{self, Read};
use std::sync::atomic::{AtomicBool, Ordering};

use crate::settings::Format;
use crate::split::{self, Dialect, Finder, Seen};
use crate::summary::{Problem, Wrong};

/// Bytes of a chunk; a row that is longer gets a chunk of its own.
const CHUNK: usize = 1 << 18;

/// Whole rows on their way to a worker.
pub(crate) struct Chunk {
    pub number: usize,
    pub bytes: Vec<u8>,
    /// Lines before it.
    pub lines: u64,
    /// Rows before it.
    pub rows: u64,
}

impl Chunk {
    /// What is wrong at a byte of the chunk, with its line and column.
    pub fn problem(&self, byte: usize, row: u64, wrong: Wrong) -> Problem {
        let before = &self.bytes[..byte.min(self.bytes.len())];
        let lines = memchr::memchr_iter(b'\n', before).count() as u64;
        let start = memchr::memrchr(b'\n', before).map_or(0, |n| n + 1);
        Problem {
            row,
            line: self.lines + lines + 1,
            column: (before.len() - start) as u64 + 1,
            wrong,
        }
    }
}

/// The input, cut into chunks of whole rows.
pub(crate) struct Feed<R> {
    input: R,
    /// Bytes read and not yet handed on.
    held: Vec<u8>,
    whole: bool,
    bytes: u64,
    lines: u64,
    /// How far the first row held was looked at.
    seen: Seen,
    /// Chunks and rows handed on.
    chunks: usize,
    rows: u64,
    format: Format,
}

impl<R: Read> Feed<R> {
    pub fn new(input: R, format: Format) -> Feed<R> {
        Feed {
            input,
            held: Vec::new(),
            whole: false,
            bytes: 0,
            lines: 0,
            seen: Seen::default(),
            chunks: 0,
            rows: 0,
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
    pub fn first_record(&mut self) -> io::Result<(Vec<u8>, Dialect)> {
        let mut finder = Finder::default();
        let mut last = None;
        let (mut lines, mut seen) = (false, Seen::default());
        loop {
            let from = self.held.len();
            self.more()?;
            let d = finder.find(&self.held);
            lines |= memchr::memchr(b'\n', &self.held[from..]).is_some();
            if self.whole || lines {
                // By another delimiter other quotes count.
                if last != Some(d) {
                    (last, seen) = (Some(d), Seen::default());
                }
                let r = split::record_on(&self.held, 0, &mut seen, self.whole, d);
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

    /// Bytes read so far.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// The next chunk; none behind the last, or once it is stopped.
    pub fn chunk(&mut self, d: Dialect, stop: &AtomicBool) -> io::Result<Option<Chunk>> {
        loop {
            if self.held.len() < CHUNK && !self.whole {
                self.more()?;
            }
            if stop.load(Ordering::Relaxed) {
                return Ok(None);
            }
            let (end, count) = self.whole_rows(d);
            if end > 0 {
                let rest = self.held.split_off(end);
                let bytes = std::mem::replace(&mut self.held, rest);
                let lines = memchr::memchr_iter(b'\n', &bytes).count() as u64;
                let chunk =
                    Chunk { number: self.chunks, bytes, lines: self.lines, rows: self.rows };
                self.chunks += 1;
                self.lines += lines;
                self.rows += count;
                return Ok(Some(chunk));
            }
            if self.whole {
                return Ok(None);
            }
            self.more()?;
        }
    }

    /// How many bytes at the front are whole rows, and how many rows.
    fn whole_rows(&mut self, d: Dialect) -> (usize, u64) {
        let (mut at, mut rows) = (0, 0);
        while at < self.held.len() {
            let seen = &mut self.seen;
            let end = match self.format {
                Format::Delimited => split::record_on(&self.held, at, seen, self.whole, d)
                    .map(|r| (r.end, !r.body.is_empty())),
                Format::JsonLines => match split::line_on(&self.held, at, seen) {
                    Some(n) => Some((n + 1, n > at)),
                    None => self.whole.then_some((self.held.len(), true)),
                },
            };
            let Some((end, row)) = end else { break };
            self.seen = Seen::default();
            at = end;
            rows += u64::from(row);
        }
        (at, rows)
    }
}
