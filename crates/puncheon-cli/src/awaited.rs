//! Input that may be long in coming, and for which nobody waits who is asked to end.

use std::io::{self, Read};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, sync_channel};
use std::thread;
use std::time::Duration;

/// How often it is looked whether an end was asked for.
const LOOKS: Duration = Duration::from_millis(50);
/// Bytes read at a time, and how many times ahead.
const BUFFER: usize = 1 << 16;
const AHEAD: usize = 2;

/// Input that is read in a thread of its own.
struct Awaited {
    /// What was read; nothing at the end.
    from: Receiver<io::Result<Vec<u8>>>,
    held: Vec<u8>,
    /// Bytes of that handed on.
    at: usize,
    ended: bool,
    stopped: Arc<AtomicBool>,
}

/// The same input, of which reading fails once an end is asked for. Where no thread can be started it
/// is read as it is.
pub fn awaited(input: Box<dyn Read + Send>, stopped: &Arc<AtomicBool>) -> Box<dyn Read + Send> {
    let (to, from) = sync_channel(AHEAD);
    // Handed over once there is a thread, or it would be lost with the one that could not be had.
    let (hand, handed) = sync_channel::<Box<dyn Read + Send>>(1);
    let read = move || {
        let Ok(mut input) = handed.recv() else { return };
        let mut go_on = true;
        while go_on {
            let mut bytes = vec![0; BUFFER];
            let read = match input.read(&mut bytes) {
                Err(e) if e.kind() == io::ErrorKind::Interrupted => continue,
                read => read,
            };
            go_on = read.as_ref().is_ok_and(|n| *n > 0);
            let read = read.map(|n| {
                bytes.truncate(n);
                bytes
            });
            go_on &= to.send(read).is_ok();
        }
    };
    if thread::Builder::new().spawn(read).is_err() {
        return input;
    }
    if let Err(back) = hand.send(input) {
        return back.0;
    }
    Box::new(Awaited { from, held: Vec::new(), at: 0, ended: false, stopped: Arc::clone(stopped) })
}

impl Read for Awaited {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        while self.at == self.held.len() && !self.ended {
            if self.stopped.load(Ordering::Relaxed) {
                return Err(io::Error::other("an end was asked for"));
            }
            match self.from.recv_timeout(LOOKS) {
                Ok(read) => {
                    (self.held, self.at) = (read?, 0);
                    self.ended = self.held.is_empty();
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => {
                    return Err(io::Error::other("its reader ended before it did"));
                }
            }
        }
        let n = buf.len().min(self.held.len() - self.at);
        buf[..n].copy_from_slice(&self.held[self.at..self.at + n]);
        self.at += n;
        Ok(n)
    }
}
