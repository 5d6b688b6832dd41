//! Sentences, articles and lists.

/// With a capital and a point.
pub(crate) fn sentence(mut s: String) -> String {
    if let Some(first) = s.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    if !s.is_empty() {
        s.push('.');
    }
    s
}

/// "an anchor", "a lion passant", "the figure 18"; letters that are a mark stand alone, and so do
/// pictures of several things, "crossed arrows".
pub(crate) fn with_article(name: &str) -> String {
    let several = name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("is");
    match name.chars().next() {
        _ if several => name.to_string(),
        Some(c) if "aeiouAEIOU".contains(c) => format!("an {name}"),
        Some(c) if c.is_alphabetic() && name.len() > 3 => format!("a {name}"),
        Some(c) if c.is_ascii_digit() || c == '.' => format!("the figure {name}"),
        _ => name.to_string(),
    }
}

/// The first few of a list, and how many more.
pub(crate) fn few<S: AsRef<str>>(list: &[S], most: usize) -> String {
    let named: Vec<&str> = list.iter().take(most).map(AsRef::as_ref).collect();
    match (list.len() - named.len(), named.split_last()) {
        (0, Some((last, rest))) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        (0, _) => named.join(", "),
        (more, _) => format!("{} and {more} more", named.join(", ")),
    }
}
