//! Ways of writing a date that run together.

use std::borrow::Cow;

/// Ways of writing a date that run together: "C19th", "1790's", "circa1803", "1794-05-14".
pub fn spelled(claim: &str) -> Cow<'_, str> {
    let mut out = String::new();
    let mut changed = false;
    for (i, word) in claim.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        let core = word.trim_end_matches([',', ';', '.', ')']).trim_start_matches('(');
        match core.is_ascii().then(|| respelled(core)).flatten() {
            Some(new) => {
                out.push_str(&word.replacen(core, &new, 1));
                changed = true;
            }
            None => out.push_str(word),
        }
    }
    if changed { Cow::Owned(out) } else { Cow::Borrowed(claim) }
}

fn respelled(word: &str) -> Option<String> {
    let lower = word.to_ascii_lowercase();
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let four = |s: &str| s.len() == 4 && digits(s);
    // "1794-05-14"
    if let [y, m, d] = lower.split('-').collect::<Vec<_>>()[..]
        && four(y)
        && m.len() == 2
        && d.len() == 2
        && digits(m)
        && digits(d)
    {
        return Some(y.to_string());
    }
    // "1790's"
    if let Some(y) = lower.strip_suffix("'s").filter(|y| four(y)) {
        return Some(format!("{y}s"));
    }
    // "1803-ish"
    if let Some(y) = lower.strip_suffix("ish") {
        let y = y.strip_suffix('-').unwrap_or(y);
        return four(y).then(|| format!("about {y}"));
    }
    // "1920s-30s", "1920-30s", "1920s/30s"
    if let Some((a, b)) = lower.split_once(['-', '/'])
        && let Some(b) = b.strip_suffix('s')
        && four(a.trim_end_matches('s'))
        && digits(b)
        && (b.len() == 2 || b.len() == 4)
    {
        let century = &a[..4 - b.len()];
        return Some(format!("{a} to {century}{b}s"));
    }
    // "C19th", "C19", "19thC", "19thc", "nineteenth-century"
    let stem = lower.trim_start_matches("c.").trim_start_matches('c');
    let ordinal = stem.trim_end_matches('c');
    let figures = ordinal.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let ending = &ordinal[figures.len()..];
    if digits(figures)
        && figures.len() <= 2
        && matches!(ending, "" | "st" | "nd" | "rd" | "th")
        && ordinal.len() != lower.len()
    {
        let n: i32 = figures.parse().ok()?;
        return (10..=21).contains(&n).then(|| format!("{n}th century"));
    }
    let number = lower.strip_suffix("-century").unwrap_or(&lower);
    let named = [
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
        "twentieth",
        "twenty-first",
    ];
    if let Some(n) = named.iter().position(|n| *n == number) {
        let rest = if number.len() == lower.len() { "" } else { " century" };
        return Some(format!("{}th{rest}", n + 15));
    }
    // "circa1803", "london1794"
    let at = lower.len().checked_sub(4)?;
    let (name, year) = lower.split_at(at);
    let glued = name.len() >= 3 && name.bytes().all(|b| b.is_ascii_alphabetic()) && four(year);
    glued.then(|| format!("{} {year}", &word[..at]))
}
