//! Letterings and the letters that look alike in them.

use std::collections::{BTreeSet, HashSet};

use super::report::Report;
use super::walk::spots;
use crate::entry::Case;
use crate::read::Entries;

/// Pairs of letters alike are two letters of their case, each pair once; styled alphabets are
/// whole.
pub(super) fn lettering_pairs(e: &Entries, report: &mut Report) {
    for (spot, l) in spots(&e.letterings) {
        for (case, pairs) in [(Case::Upper, &l.alike_upper), (Case::Lower, &l.alike_lower)] {
            let mut seen: HashSet<BTreeSet<&str>> = HashSet::new();
            for text in pairs {
                let pair: BTreeSet<&str> = text.split(' ').collect();
                let cased = |w: &&str| match (case, w.as_bytes()) {
                    (Case::Upper, [b]) => b.is_ascii_uppercase(),
                    (_, [b]) => b.is_ascii_lowercase(),
                    _ => false,
                };
                if pair.len() != 2 || !pair.iter().all(cased) {
                    let message = format!("\"{text}\" is not two letters of case {case:?}");
                    report.add(&spot, "alike", message);
                }
                if !seen.insert(pair) {
                    let message = format!("\"{text}\" is listed already in case {case:?}");
                    report.add(&spot, "alike", message);
                }
            }
        }
        for styled in [&l.styled_upper, &l.styled_lower].into_iter().flatten() {
            let count = styled.chars().count();
            if count != 26 {
                let message = format!("{count} styled letters where the alphabet has 26");
                report.add(&spot, "styled", message);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn letterings_are_whole() {
        for pair in ["C", "C G O", "C C", "c g", "Q O", "CG"] {
            breaks(r#"["C G", "#, &format!("[\"{pair}\", "), "lettering roman", "alike");
        }
        breaks("WXYZ", "WXY", "lettering roman", "styled");
    }
}
