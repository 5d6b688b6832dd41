//! Steps of the readers, counted: that reading is linear in the length of a text is tried by these
//! and by no clock.
//!
//! Every loop that looks back or ahead over what was typed counts what it looks at. Only a build with
//! debug assertions counts; in a release nothing is left of it.

#[cfg(debug_assertions)]
use std::cell::Cell;

#[cfg(debug_assertions)]
thread_local! {
    static TAKEN: Cell<usize> = const { Cell::new(0) };
    static CUT: Cell<usize> = const { Cell::new(0) };
}

/// Texts that this thread has cut into tokens so far; none in a release.
pub fn cuts() -> usize {
    #[cfg(debug_assertions)]
    return CUT.get();
    #[cfg(not(debug_assertions))]
    0
}

/// Counts a text that is cut.
#[inline(always)]
pub fn cut() {
    #[cfg(debug_assertions)]
    CUT.set(CUT.get() + 1);
}

/// Steps that this thread has taken so far; none in a release.
pub fn taken() -> usize {
    #[cfg(debug_assertions)]
    return TAKEN.get();
    #[cfg(not(debug_assertions))]
    0
}

/// Counts so many steps: bytes copied or searched at one go.
#[inline(always)]
pub fn take(steps: usize) {
    #[cfg(debug_assertions)]
    TAKEN.set(TAKEN.get() + steps);
    #[cfg(not(debug_assertions))]
    let _ = steps;
}

/// An iterator of which each item is a step.
pub struct Steps<I>(I);

impl<I: Iterator> Iterator for Steps<I> {
    type Item = I::Item;

    #[inline(always)]
    fn next(&mut self) -> Option<I::Item> {
        take(1);
        self.0.next()
    }
}

/// Counts what is taken from an iterator.
pub trait Counted: Iterator + Sized {
    /// Each item is a step.
    #[inline(always)]
    fn counted(self) -> Steps<Self> {
        Steps(self)
    }
}

impl<I: Iterator> Counted for I {}
