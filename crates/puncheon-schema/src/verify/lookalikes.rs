//! Lookalikes, and the devices by which they are met.

use super::report::{Report, Spot};
use super::walk::spots;
use crate::entry::LookalikeKind;
use crate::read::Entries;

/// The lookalike that stands for any description called false.
const PSEUDO: &str = "pseudo";

/// Lookalikes that are met by what is *not* described, of which there is one each.
const BARE: [LookalikeKind; 3] =
    [LookalikeKind::BareLetter, LookalikeKind::BareFigure, LookalikeKind::MakerOnly];

/// Every lookalike has devices by which it is met.
pub(super) fn lookalikes_met(e: &Entries, report: &mut Report) {
    for (spot, l) in spots(&e.lookalikes) {
        if l.needs.iter().any(Vec::is_empty) {
            report.add(&spot, "lookalike", "a set in needs is empty; name its devices or drop it");
        }
        let by_devices = !BARE.contains(&l.kind) && l.id != PSEUDO;
        if by_devices && l.needs.is_empty() && l.shares.is_empty() {
            report.add(&spot, "lookalike", "no description can meet it; give needs or shares");
        }
        let letters = l.unless_maker || l.assayer.is_some();
        if letters && !(l.denies && l.needs.iter().all(|set| set.len() == 1)) {
            report.add(
                &spot,
                "lookalike",
                "unless_maker and assayer are of an entry that denies by one device of its own",
            );
        }
    }
}

/// Where there are lookalikes, those that need no device are there, once each.
pub(super) fn lookalikes_expected(e: &Entries, report: &mut Report) {
    let Some(first) = e.lookalikes.first() else {
        return;
    };
    let all = Spot::new(&first.file, "lookalikes");
    for kind in BARE {
        let mut of_kind = spots(&e.lookalikes).filter(|(_, l)| l.kind == kind);
        match of_kind.next() {
            None => report.add(&all, "lookalike", format!("none is of kind {kind:?}; add one")),
            Some((_, first)) => {
                for (spot, _) in of_kind {
                    let message = format!("{} is of kind {kind:?} already; keep one", first.id);
                    report.add(&spot, "lookalike", message);
                }
            }
        }
    }
    if !e.lookalikes.iter().any(|f| f.entry.id == PSEUDO) {
        report.add(&all, "lookalike", format!("none has the id \"{PSEUDO}\"; add it"));
    }
}

#[cfg(test)]
mod tests {
    use crate::verify::fixture::{breaks, keeps};

    #[test]
    fn lookalikes_can_be_met() {
        let rule = "lookalike";
        breaks(r#"needs: [["ep"]],"#, "", "lookalike plate", rule);
        breaks(r#"needs: [["ep"]],"#, "needs: [[]],", "lookalike plate", rule);
        breaks(
            r#"needs: [["ep"]],"#,
            r#"needs: [["ep"]], unless_maker: true,"#,
            "lookalike plate",
            rule,
        );
        keeps(r#"needs: [["ep"]],"#, r#"needs: [["ep"]], denies: true, unless_maker: true,"#);
        breaks("kind: BareLetter", "kind: MakerOnly", "lookalikes", rule);
        breaks("kind: Pseudo", "kind: MakerOnly", "lookalike maker-only", rule);
        breaks(r#"id: "pseudo""#, r#"id: "false""#, "lookalikes", rule);
        keeps(r#"needs: [["ep"]],"#, r#"needs: [["ep"]], shares: ["lion"],"#);
    }
}
