//! What must stand beside a word.

use serde::Deserialize;

/// How words must stand to mean what they mean.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
pub enum Standing {
    /// However they stand.
    #[default]
    Anyhow,
    /// Behind other words for the same mark: "duty mark: Victoria". Elsewhere they are not understood.
    Joined,
    /// Without a word before them that is not understood or says whose it is: a head, and not a
    /// wolf's head.
    Unowned,
}
