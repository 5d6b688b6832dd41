//! Cautions, and what they look for.

use super::names::known_offices;
use super::report::Report;
use super::walk::spots;
use crate::entry::Applies;
use crate::image::stated_words;
use crate::read::Entries;

/// A caution says something, to be told somewhere, and what it looks for exists.
pub(super) fn cautions_named(e: &Entries, report: &mut Report) {
    let (signs, offices) = (e.signs(), known_offices(e));
    for (spot, c) in spots(&e.cautions) {
        for when in &c.when {
            let wrong = match when {
                Applies::Said(ids) => ids
                    .iter()
                    .find(|s| !signs.contains(&s.as_str()))
                    .map(|s| format!("no warning looks for the sign \"{s}\"; name one that does")),
                // So they are compared with what is stated.
                Applies::Stated(phrases) => phrases
                    .iter()
                    .find(|p| stated_words(p).join(" ") != **p)
                    .map(|p| format!("\"{p}\" is not written in small letters and single blanks")),
                Applies::Fits { offices: names, from, to } => {
                    offices.check(report, &spot, names);
                    match (from, to) {
                        (Some(from), Some(to)) if from > to => {
                            Some(format!("its years run from {from} to {to}; turn them round"))
                        }
                        _ => None,
                    }
                }
                _ => None,
            };
            if let Some(message) = wrong {
                report.add(&spot, "caution", message);
            }
        }
        if c.uses.is_empty() && !c.when.is_empty() {
            report.add(&spot, "caution", "its conditions are never tried; give it a use");
        }
        if c.about.trim().is_empty() {
            report.add(&spot, "caution", "it stands under no heading; give it one");
        }
        if !c.says.ends_with('.') || !c.then.is_empty() && !c.then.ends_with('.') {
            report.add(&spot, "caution", "it is not made of sentences; end them with a point");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn cautions_look_for_what_there_is() {
        let place = "caution mind";
        for (old, new, rule) in [
            (r#"Said(["inserted"])"#, r#"Said(["inset"])"#, "caution"),
            (r#"Stated(["gilt"])"#, r#"Stated(["Parcel-gilt"])"#, "caution"),
            (r#"Fits(offices: ["alton"]"#, r#"Fits(offices: ["wales"]"#, "name"),
            ("from: 1702, to: 1703", "from: 1703, to: 1702", "caution"),
            ("uses: [Sell], when", "when", "caution"),
            (r#"about: "A heading""#, r#"about: " ""#, "caution"),
            (r#"says: "Mind it.""#, r#"says: "Mind it""#, "caution"),
            (r#"then: "Ask.""#, r#"then: "Ask""#, "caution"),
        ] {
            breaks(old, new, place, rule);
        }
        keeps(r#"then: "Ask.", "#, "");
        keeps("from: 1702, to: 1703", "from: 1702");
    }
}
