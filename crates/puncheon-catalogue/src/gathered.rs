//! Answered chunks on their way out: written in the order in which their rows came, and added up.

use std::collections::BTreeMap;
use std::io::Write;
use std::sync::mpsc::{Receiver, SyncSender};
use std::thread;
use std::time::{Duration, Instant};

use crate::error::{Error, no_field, taken};
use crate::feed::Chunk;
use crate::summary::{Problem, Tally};

/// Rows of which one must have the field with the marks, or it is not there.
const ENOUGH: u64 = 100;

/// How far a run has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress {
    /// Rows written.
    pub rows: u64,
    /// Bytes read of which the rows are written.
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

/// Answered rows on their way out.
#[derive(Default)]
pub(crate) struct Done {
    pub number: usize,
    /// Bytes of the rows as they were read.
    pub read: u64,
    pub out: Vec<u8>,
    pub rejects: Vec<u8>,
    pub tally: Tally,
    /// Of the fields with the marks and the claim, which did any row have?
    pub had: [bool; 2],
    /// The fields of the first row, where it lacked one of these.
    pub names: Option<String>,
    /// The first row of all has a field of an added one's name.
    pub taken: Option<String>,
}

impl Done {
    /// Counts a row, and returns its number in the catalogue.
    pub fn row(&mut self, chunk: &Chunk) -> u64 {
        self.tally.sum.rows += 1;
        chunk.rows + self.tally.sum.rows
    }

    pub fn reject(&mut self, p: Problem, body: &[u8]) {
        self.rejects
            .extend_from_slice(format!("{}\t{}\t{}\t", p.line, p.column, p.wrong).as_bytes());
        self.rejects.extend_from_slice(body);
        self.rejects.push(b'\n');
        self.tally.reject(p);
    }
}

/// A way out for answered rows that tells when a worker ends by a panic: the rows it had are missing,
/// and to wait for them would be in vain.
pub(crate) struct Alarm(pub SyncSender<Option<Done>>);

impl Drop for Alarm {
    fn drop(&mut self) {
        if thread::panicking() {
            let _ = self.0.send(None);
        }
    }
}

/// Writes what is done, in order, and adds up what it says.
pub(crate) struct Gathered<'g, 'w, W> {
    /// The fields that some row must have.
    wanted: [Option<&'g str>; 2],
    output: &'g mut W,
    watch: &'g mut Watch<'w>,
    start: Instant,
    total: Tally,
    /// What came before its turn.
    waiting: BTreeMap<usize, Done>,
    /// The chunk whose turn it is.
    next: usize,
    bytes: u64,
    /// Which of the fields any row had, and the fields of the first row that lacked one.
    had: [bool; 2],
    names: Option<String>,
}

impl<'g, 'w, W: Write> Gathered<'g, 'w, W> {
    /// Nothing yet. `wanted`: the fields that some row must have.
    pub fn new(
        wanted: [Option<&'g str>; 2],
        output: &'g mut W,
        watch: &'g mut Watch<'w>,
        start: Instant,
    ) -> Gathered<'g, 'w, W> {
        Gathered {
            wanted,
            output,
            watch,
            start,
            total: Tally::default(),
            waiting: BTreeMap::new(),
            next: 0,
            bytes: 0,
            had: [false; 2],
            names: None,
        }
    }

    /// Takes what the workers hand over, and lets another chunk be read for each that is written.
    pub fn all(
        &mut self,
        from: &Receiver<Option<Done>>,
        tickets: &SyncSender<()>,
    ) -> Result<(), Error> {
        while let Ok(Some(done)) = from.recv() {
            let before = self.next;
            if !self.add(done)? {
                break;
            }
            for _ in before..self.next {
                let _ = tickets.try_send(());
            }
        }
        Ok(())
    }

    /// Takes a chunk. False if there is no use in another.
    pub fn add(&mut self, done: Done) -> Result<bool, Error> {
        self.waiting.insert(done.number, done);
        while let Some(done) = self.waiting.remove(&self.next) {
            if let Some(name) = done.taken {
                return Err(taken("field", &name));
            }
            self.output.write_all(&done.out).map_err(Error::Write)?;
            if let Some(rejects) = self.watch.rejects.as_deref_mut() {
                rejects.write_all(&done.rejects).map_err(Error::Write)?;
            }
            self.bytes += done.read;
            self.had = [self.had[0] | done.had[0], self.had[1] | done.had[1]];
            self.names = self.names.take().or(done.names);
            self.next += 1;
            self.total.follow(done.tally);
            let rows = self.total.sum.rows;
            if !self.had[0] && rows >= ENOUGH {
                return Ok(false);
            }
            let told = Progress { rows, bytes: self.bytes, elapsed: self.start.elapsed() };
            if !(self.watch.progress)(told) {
                return Err(Error::Stopped(rows));
            }
        }
        Ok(true)
    }

    /// What all of it says, once the last chunk was taken.
    pub fn end(self) -> Result<Tally, Error> {
        let mut lacking = self.wanted.into_iter().zip(self.had);
        match (lacking.find(|(w, had)| w.is_some() && !had), self.names) {
            (Some((Some(name), _)), Some(names)) => Err(no_field(name, &names)),
            _ => Ok(self.total),
        }
    }
}
