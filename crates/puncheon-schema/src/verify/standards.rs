//! Standards, and the regimes of home silver.

use std::collections::HashSet;

use super::report::{Report, shown_years};
use super::stretch::missing;
use super::walk::{letter_years, spots};
use crate::entry::{Metal, Origin, Regime};
use crate::read::Entries;

/// A standard's parts are its exact ratio, cut to whole thousandths.
pub(super) fn standard_parts(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.standards) {
        let Some(exact) = &s.exact else { continue };
        let ratio = exact
            .split_once('/')
            .and_then(|(a, b)| Some((a.parse::<u64>().ok()?, b.parse::<u64>().ok()?)))
            .filter(|(a, b)| a <= b && (1..=1_000_000).contains(b));
        match (ratio, s.parts) {
            (None, _) => {
                let message = format!("exact \"{exact}\" is not a ratio; write \"37/40\"");
                report.add(&spot, "parts", message);
            }
            // The law names a few a part away from the ratio: 10 carat is 417, 14 carat 585.
            (Some((a, b)), Some(parts)) if (a * 1000 / b).abs_diff(u64::from(parts)) > 2 => {
                let message = format!("{exact} is {} parts and not {parts}", a * 1000 / b);
                report.add(&spot, "parts", message);
            }
            _ => {}
        }
    }
}

/// Every letter year of an office has a regime for home silver.
pub(super) fn silver_regimes(e: &Entries, report: &mut Report) {
    let silver: HashSet<&str> = e
        .standards
        .iter()
        .filter(|f| f.entry.metal == Metal::Silver)
        .map(|f| f.entry.id.as_str())
        .collect();
    for (spot, o) in spots(&e.offices) {
        let regimes: Vec<&Regime> = e
            .regimes
            .iter()
            .map(|f| &f.entry)
            .filter(|r| r.origin != Origin::Foreign && silver.contains(r.standard.as_str()))
            .filter(|r| o.is_named(&r.offices))
            .collect();
        let covered = |year| {
            regimes.iter().any(|r| r.from.year() <= year && r.to.is_none_or(|t| year <= t.year()))
        };
        for (from, to) in missing(letter_years(o), covered) {
            let message = format!(
                "{} have letters but no regime for home silver; add one",
                shown_years(from, to)
            );
            report.add(&spot, "silver-regime", message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::breaks;

    #[test]
    fn parts_agree_with_the_ratio() {
        breaks("parts: 925", "parts: 935", "standard sterling", "parts");
        breaks(r#""37/40""#, r#""37:40""#, "standard sterling", "parts");
    }

    #[test]
    fn every_letter_year_has_silver() {
        let rule = "silver-regime";
        breaks(
            r#"to: "1702",
"#,
            r#"to: "1700",
"#,
            "alton",
            rule,
        );
        breaks("metal: Silver, parts", "metal: Gold, parts", "alton", rule);
        breaks(
            r#"offices: ["england"]"#,
            r#"origin: Foreign, offices: ["england"]"#,
            "alton",
            rule,
        );
    }
}
