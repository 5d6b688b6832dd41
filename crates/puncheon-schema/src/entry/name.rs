//! A bare name of another table's entry.

use std::fmt;

use serde::de::{Deserializer, Visitor};
use serde::{Deserialize, de};

/// A bare RON identifier such as `BlackLetter`, naming an entry of another table.
///
/// It is kept in the tables' kebab spelling, `black-letter`, which is also what exports print.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(pub String);

impl<'de> Deserialize<'de> for Name {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl Visitor<'_> for V {
            type Value = Name;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a bare name such as BlackLetter or CutCorners")
            }
            fn visit_str<E: de::Error>(self, s: &str) -> Result<Name, E> {
                Ok(Name(kebab(s)))
            }
        }
        d.deserialize_identifier(V)
    }
}

/// `BlackLetter` to `black-letter`.
fn kebab(camel: &str) -> String {
    let mut out = String::with_capacity(camel.len() + 4);
    for (i, c) in camel.chars().enumerate() {
        if c.is_ascii_uppercase() {
            if i > 0 {
                out.push('-');
            }
            out.push(c.to_ascii_lowercase());
        } else {
            out.push(c);
        }
    }
    out
}
