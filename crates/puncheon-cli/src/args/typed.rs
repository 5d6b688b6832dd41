//! What is typed behind an option, and how it is taken.

use std::convert::Infallible;
use std::ffi::OsString;

/// Stands before a description that would look like an option. No argument can hold this character.
const NOT_AN_OPTION: char = '\0';

/// A pasted list may begin with a dash, "- anchor, lion": that is a description, not an option.
pub fn marked(arg: OsString) -> OsString {
    let listed = arg.to_str().and_then(|s| s.strip_prefix('-')).is_some_and(|rest| {
        let name = rest.strip_prefix('-').unwrap_or(rest);
        let named = name.starts_with(char::is_alphabetic);
        let sentence = name.contains(char::is_whitespace) && !name.contains('=');
        !rest.is_empty() && rest != "-" && (!named || sentence)
    });
    if !listed {
        return arg;
    }
    let mut text = OsString::from(NOT_AN_OPTION.to_string());
    text.push(arg);
    text
}

/// A description as typed.
pub fn marks(arg: &str) -> Result<String, Infallible> {
    Ok(arg.strip_prefix(NOT_AN_OPTION).unwrap_or(arg).to_string())
}

pub fn years(s: &str) -> Result<(i32, i32), String> {
    let parse = |s: &str| s.trim().parse::<i32>().ok().filter(|y| (1000..3000).contains(y));
    let pair = match s.split_once("..") {
        Some((a, b)) => parse(a).zip(parse(b.trim_start_matches('='))),
        None => parse(s).map(|y| (y, y)),
    };
    match pair {
        Some((a, b)) if a > b => Err(format!("the later year stands first: write {b}..{a}")),
        Some(pair) => Ok(pair),
        None => Err("write a year, or two joined by two points: 1780..1820".to_string()),
    }
}
