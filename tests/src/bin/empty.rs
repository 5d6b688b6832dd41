//! The least a program can do: what a start costs before any work is done.
fn main() {}
