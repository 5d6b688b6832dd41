//! Answers seen before, up to a bound: catalogues are full of repeats.

use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::sync::{Arc, Mutex, PoisonError};

/// Answers by what was asked. The older half goes when the newer is full, so memory stays flat and
/// what comes often stays.
pub(crate) struct Memory<T> {
    newer: HashMap<Box<[u8]>, Arc<T>>,
    older: HashMap<Box<[u8]>, Arc<T>>,
    /// Answers in a half.
    most: usize,
}

impl<T> Memory<T> {
    pub fn new(most: usize) -> Memory<T> {
        Memory {
            newer: HashMap::new(),
            older: HashMap::new(),
            most,
        }
    }

    /// The answer to what was asked, if it is remembered.
    pub fn get(&mut self, asked: &[u8]) -> Option<Arc<T>> {
        if let Some(answer) = self.newer.get(asked) {
            return Some(Arc::clone(answer));
        }
        let (asked, answer) = self.older.remove_entry(asked)?;
        self.keep(asked, &answer);
        Some(answer)
    }

    /// Remembers an answer.
    pub fn put(&mut self, asked: &[u8], answer: &Arc<T>) {
        self.keep(asked.into(), answer);
    }

    fn keep(&mut self, asked: Box<[u8]>, answer: &Arc<T>) {
        if self.newer.len() >= self.most {
            self.older = std::mem::take(&mut self.newer);
        }
        self.newer.insert(asked, Arc::clone(answer));
    }
}

/// Parts of a shared memory: workers seldom want the same one at the same time.
const PARTS: usize = 16;

/// A memory that all workers share.
pub(crate) struct Shared<T> {
    parts: [Mutex<Memory<T>>; PARTS],
    hash: RandomState,
}

impl<T> Shared<T> {
    pub fn new(most: usize) -> Shared<T> {
        Shared {
            parts: std::array::from_fn(|_| Mutex::new(Memory::new(most / PARTS))),
            hash: RandomState::new(),
        }
    }

    /// The answer to what was asked, worked out if it is not remembered; and whether it was.
    pub fn answer(&self, asked: &[u8], work_out: impl FnOnce() -> T) -> (Arc<T>, bool) {
        let part = &self.parts[self.hash.hash_one(asked) as usize % PARTS];
        let lock = || part.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = lock().get(asked) {
            return (answer, true);
        }
        // Nobody waits while it is worked out; two may do the same work, and get the same.
        let answer = Arc::new(work_out());
        lock().put(asked, &answer);
        (answer, false)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_often_stays_and_no_more_than_two_halves_are_kept() {
        let mut m: Memory<u32> = Memory::new(4);
        for n in 0u32..100 {
            assert!(m.get(&n.to_le_bytes()).is_none());
            m.put(&n.to_le_bytes(), &Arc::new(n));
            // Asked for each time, the first is never forgotten.
            assert_eq!(m.get(&0u32.to_le_bytes()).as_deref(), Some(&0));
            assert!(m.newer.len() + m.older.len() <= 8);
        }
        assert!(m.get(&1u32.to_le_bytes()).is_none());
    }

    #[test]
    fn a_shared_answer_is_worked_out_once() {
        let s: Shared<u32> = Shared::new(64);
        assert_eq!(s.answer(b"k", || 7), (Arc::new(7), false));
        assert_eq!(
            s.answer(b"k", || unreachable!("it is remembered")),
            (Arc::new(7), true)
        );
    }
}
