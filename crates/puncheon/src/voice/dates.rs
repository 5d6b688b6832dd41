//! Days in words.

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A date as the tables and answers write it, in words: "1822", "May 1786", "1 December 1784".
pub fn date_in_words(written: &str) -> String {
    let number = |s: &str| s.parse::<i32>().unwrap_or(0);
    let mut parts = written.splitn(3, '-');
    match (parts.next(), parts.next(), parts.next()) {
        (Some(y), Some(m), Some(d)) => long_day(number(y) * 10_000 + number(m) * 100 + number(d)),
        (Some(y), Some(m), None) => {
            format!("{} {y}", MONTHS[(number(m).clamp(1, 12) - 1) as usize])
        }
        _ => written.to_string(),
    }
}

/// A day in words.
pub(crate) fn long_day(number: i32) -> String {
    let month = MONTHS[(number / 100 % 100).clamp(1, 12) as usize - 1];
    format!("{} {month} {}", number % 100, number / 10_000)
}
