//! What was not understood of a description, shown in place.

use std::fmt::Write;

use puncheon::Reading;
use puncheon::reading::{Remark, RemarkKind};

use crate::out::steers;
use crate::screen::Screen;

/// Words not understood, in place, under the words.
pub fn remarks(r: &Reading, s: &Screen, out: &mut String) {
    let told: Vec<_> = r.remarks.iter().filter(|m| remark_line(m).is_some()).collect();
    if told.is_empty() {
        return;
    }
    out.push('\n');
    let mut from = 0;
    for line in r.asked.split('\n') {
        let to = from + line.len();
        let here: Vec<_> = told
            .iter()
            .filter(|m| m.start >= from && m.end <= to && m.remark != RemarkKind::Ambiguous)
            .collect();
        // Only a line that fits is shown with its marks under the words.
        let fits = line.chars().count() + 2 <= s.width() && !line.chars().any(steers);
        if !here.is_empty() && fits {
            let _ = writeln!(out, "  {line}");
            let mut under = String::new();
            for m in &here {
                let at = r.asked[from..m.start].chars().count();
                let len = r.asked[m.start..m.end].chars().count();
                under.push_str(&" ".repeat(at.saturating_sub(under.chars().count())));
                under.push_str(&"^".repeat(len));
            }
            let _ = writeln!(out, "  {under}");
        }
        from = to + 1;
    }
    for line in told.iter().filter_map(|m| remark_line(m)) {
        s.say(out, 0, &line);
    }
}

/// A remark in words, where it is worth a line. What is no mark is not, but a letter put aside may be
/// the one thing to correct.
pub fn remark_line(m: &Remark) -> Option<String> {
    let said = match (m.remark, &m.nearest) {
        (RemarkKind::Guessed, Some(n)) => format!("was taken for {n}."),
        (RemarkKind::NotUnderstood, Some(n)) => {
            format!("was not understood; the nearest word known is {n}.")
        }
        (RemarkKind::NotUnderstood, None) => "was not understood.".into(),
        (RemarkKind::SetAside, _) if lone_letter(m) => {
            "was put aside: another letter is called the date letter.".into()
        }
        // With a nearest it is the whole text: the screen says already that its sets are read apart.
        (RemarkKind::Ambiguous, None) => {
            "could belong to more than one mark and was left out.".into()
        }
        _ => return None,
    };
    Some(format!("\"{}\" {said}", m.text))
}

fn lone_letter(m: &Remark) -> bool {
    m.text.chars().count() == 1 && m.text.chars().all(char::is_alphabetic)
}
