//! Answers seen before, up to a bound: catalogues are full of repeats.

use std::hash::{BuildHasher, RandomState};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use quick_cache::Weighter;
use quick_cache::sync::Cache;

/// What can be remembered.
pub(crate) trait Remembered {
    /// What it takes up beside its own size, in bytes.
    fn beside(&self) -> usize;
}

/// Answers by what was asked, which all workers share. What comes often stays; what came once goes
/// when the bound is reached.
pub(crate) struct Memory<T> {
    answers: Cache<Box<[u8]>, Arc<T>, Bytes>,
    asked_before: Option<AskedBefore>,
}

impl<T: Remembered> Memory<T> {
    /// Remembers so many bytes of answers, of about so many bytes each.
    pub fn new(bytes: usize, each: usize) -> Memory<T> {
        Memory {
            answers: Cache::with_weighter(bytes / each, bytes as u64, Bytes),
            asked_before: None,
        }
    }

    /// Remembers only what is asked twice: where most things come once, to keep them costs more than
    /// it saves.
    pub fn of_repeats(self) -> Memory<T> {
        Memory { asked_before: Some(AskedBefore::new()), ..self }
    }

    /// The answer to what was asked, worked out if it is not remembered; and whether it was.
    pub fn answer(&self, asked: &[u8], work_out: impl FnOnce() -> T) -> (Arc<T>, bool) {
        if let Some(answer) = self.answers.get(asked) {
            return (answer, true);
        }
        // Nobody waits while it is worked out; two may do the same work, and get the same.
        let answer = Arc::new(work_out());
        if self.asked_before.as_ref().is_none_or(|a| a.note(asked)) {
            self.answers.insert(asked.into(), Arc::clone(&answer));
        }
        (answer, false)
    }
}

/// What was asked lately, by a short hash: it may mistake one question for another, which costs an
/// answer kept in vain and no more.
struct AskedBefore {
    lately: Box<[AtomicU32]>,
    hash: RandomState,
}

impl AskedBefore {
    /// Questions that are noted at most.
    const LATELY: usize = 1 << 16;

    fn new() -> AskedBefore {
        AskedBefore {
            lately: (0..Self::LATELY).map(|_| AtomicU32::new(0)).collect(),
            hash: RandomState::new(),
        }
    }

    /// Notes a question; was it asked before?
    fn note(&self, asked: &[u8]) -> bool {
        let hash = self.hash.hash_one(asked);
        let (place, rest) = (hash as usize % Self::LATELY, (hash >> 32) as u32);
        self.lately[place].swap(rest, Ordering::Relaxed) == rest
    }
}

/// Bytes that an answer and what was asked take up.
#[derive(Clone)]
struct Bytes;

/// What the memory itself needs for each answer: its place in the table, and the counts of its users.
const PLACE: usize = 128;

impl<T: Remembered> Weighter<Box<[u8]>, Arc<T>> for Bytes {
    fn weight(&self, asked: &Box<[u8]>, answer: &Arc<T>) -> u64 {
        (PLACE + size_of::<T>() + asked.len() + answer.beside()) as u64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    impl Remembered for Vec<u8> {
        fn beside(&self) -> usize {
            self.capacity()
        }
    }

    #[test]
    fn an_answer_is_worked_out_once() {
        let m: Memory<Vec<u8>> = Memory::new(100_000, 100);
        assert_eq!(m.answer(b"k", || vec![7]), (Arc::new(vec![7]), false));
        assert_eq!(m.answer(b"k", || unreachable!("it is remembered")), (Arc::new(vec![7]), true));
    }

    #[test]
    fn of_repeats_only_what_is_asked_again_is_kept() {
        let m: Memory<Vec<u8>> = Memory::new(100_000, 100).of_repeats();
        for n in 0u32..1000 {
            assert!(!m.answer(&n.to_le_bytes(), Vec::new).1);
        }
        // One in some thousands may be taken for another.
        assert!(m.answers.len() < 10);
        assert!(!m.answer(b"k", || vec![7]).1);
        assert!(!m.answer(b"k", || vec![7]).1);
        assert!(m.answer(b"k", || unreachable!("it is remembered")).1);
    }

    #[test]
    fn no_more_is_kept_than_the_bound() {
        let m: Memory<Vec<u8>> = Memory::new(1_000_000, 1000);
        for n in 0u32..10_000 {
            m.answer(&n.to_le_bytes(), || vec![0; 1000]);
        }
        assert!(m.answers.weight() <= 1_000_000);
        assert!(m.answers.len() >= 500);
    }
}
