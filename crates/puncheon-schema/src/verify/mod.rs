//! Proves that the tables agree with themselves.
//!
//! Every rule is a small function over all entries, and every rule is run: one run reports every
//! problem. Rules look at what the entries say, never at where they came from, so an overlay is
//! held to the same rules as the built-in tables.

mod boasts;
mod cautions;
mod cycles;
mod devices;
mod fixture;
mod ids;
mod letterings;
mod lookalikes;
mod names;
mod office_years;
mod omissions;
mod report;
mod rules;
mod sources;
mod spans;
mod sponsors;
mod standards;
mod stretch;
mod vocabulary;
mod walk;
mod warnings;
mod weights;

use crate::problem::Problem;
use crate::read::Entries;
use boasts::boasts_said;
use cautions::cautions_named;
use cycles::{
    cycle_candidates, cycle_counts, cycle_letters, cycle_notes, cycle_outlines, cycle_repeats,
    cycle_shorts,
};
use devices::{devices_used, webs};
use ids::ids;
use letterings::lettering_pairs;
use lookalikes::{lookalikes_expected, lookalikes_met};
use names::{device_names, lettering_and_outline_names, office_names, standard_names};
use office_years::{office_years, optional_letters, reasons, year_starts};
use omissions::omissions_named;
use report::Report;
use rules::rules_named;
use sources::{cites, sources_used};
use spans::{dated_spans, year_spans};
use sponsors::{sponsors_dated, sponsors_initials, sponsors_named, sponsors_once, sponsors_struck};
use standards::{silver_regimes, standard_parts};
use vocabulary::{
    devices_reached, fractions_told, phrases_once, phrases_written, towns_named, vocabulary_names,
    words_stand,
};
use warnings::{designs_in_order, warnings_named, warnings_said};
use weights::{deductions_said, units_exact, weight_phrases};

/// Every problem of the entries, sorted by file, place and rule.
///
/// Entries that verify clean can be expanded; [`crate::expand`] skips what it cannot understand.
pub fn verify(entries: &Entries) -> Vec<Problem> {
    let mut report = Report::default();
    for rule in [
        ids,
        device_names,
        lettering_and_outline_names,
        standard_names,
        office_names,
        vocabulary_names,
        lookalikes_met,
        lookalikes_expected,
        cites,
        sources_used,
        standard_parts,
        units_exact,
        weight_phrases,
        deductions_said,
        boasts_said,
        cycle_counts,
        cycle_letters,
        cycle_repeats,
        cycle_notes,
        cycle_candidates,
        cycle_shorts,
        cycle_outlines,
        office_years,
        optional_letters,
        reasons,
        year_starts,
        dated_spans,
        year_spans,
        silver_regimes,
        phrases_once,
        phrases_written,
        words_stand,
        fractions_told,
        devices_reached,
        towns_named,
        warnings_named,
        warnings_said,
        cautions_named,
        omissions_named,
        rules_named,
        designs_in_order,
        sponsors_named,
        sponsors_struck,
        sponsors_dated,
        sponsors_initials,
        sponsors_once,
        devices_used,
        webs,
        lettering_pairs,
    ] {
        rule(entries, &mut report);
    }
    report.sorted()
}

#[cfg(test)]
mod tests {
    use super::fixture::{GOOD, problems};

    #[test]
    fn a_good_folder_has_no_problem() {
        assert_eq!(problems(&GOOD.map(|(f, t)| (f, t.to_string()))), []);
    }

    #[test]
    fn an_empty_folder_has_no_problem() {
        assert_eq!(problems(&[]), []);
    }

    #[test]
    fn problems_come_sorted_and_all_at_once() {
        let found = problems(&GOOD.map(|(f, t)| {
            let t = t.replace(r#"letters: "A B""#, r#"letters: "j ? B""#);
            (f, t.replace(r#"say: ["roman"]"#, r#"say: ["Roman"]"#))
        }));
        let brief: Vec<_> =
            found.iter().map(|p| format!("{}: {}: {}", p.file, p.place, p.rule)).collect();
        assert_eq!(
            brief,
            [
                "alton.ron: alton cycle 1700: count",
                "alton.ron: alton cycle 1700 year 1700: case",
                "alton.ron: alton cycle 1700 year 1700: omitted",
                "alton.ron: alton cycle 1700 year 1700: short",
                "words.ron: words 'Roman': phrase",
            ]
        );
    }
}
