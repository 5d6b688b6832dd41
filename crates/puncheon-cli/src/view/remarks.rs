//! What was not understood of a description, shown in place.

use std::fmt::Write;

use puncheon::Reading;
use puncheon::phrases::remark;
use puncheon::reading::RemarkKind;

use crate::out::steers;
use crate::screen::Screen;

/// Words not understood, in place, under the words.
pub fn remarks(r: &Reading, s: &Screen, out: &mut String) {
    let told: Vec<_> = r.remarks.iter().filter(|m| remark(m).is_some()).collect();
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
    for line in told.iter().filter_map(|m| remark(m)) {
        s.say(out, 0, &line);
    }
}
