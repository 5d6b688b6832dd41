//! The conditions of warnings and cautions in the image's numbers.

use super::Places;
use crate::entry::{Applies, When};
use crate::image::{Applying, Condition, Named, Part, Writer};
use crate::read::Entries;

/// The numbers of offices, named one by one or by group.
pub(super) fn office_numbers<'a>(
    e: &'a Entries,
    names: &'a [String],
) -> impl Iterator<Item = usize> + 'a {
    e.offices.iter().enumerate().filter(|(_, f)| f.entry.is_named(names)).map(|(i, _)| i)
}

/// A warning's condition in the image's numbers; None if what it names is not there.
pub(super) fn condition(e: &Entries, when: &When, at: &Places) -> Option<Condition> {
    let named = |ids: &[String]| -> Vec<Named> {
        ids.iter()
            .filter_map(|id| {
                let device = at.devices.get(id.as_str()).map(|d| Named::Device(*d));
                device.or_else(|| at.standards.get(id.as_str()).map(|s| Named::Standard(*s)))
            })
            .collect()
    };
    Some(match when {
        When::Said(sign) => Condition::Said(e.signs().iter().position(|s| s == sign)? as u32),
        When::Seen(ids) => Condition::Seen(named(ids)),
        When::Contrary(ids) => Condition::Contrary(named(ids)),
        When::Wanting(slot) => Condition::Wanting(*slot),
        When::WantingMark(id) => Condition::WantingMark(*at.devices.get(id.as_str())?),
        When::WantingLetter => Condition::WantingLetter,
        When::Offices(names) => Condition::Offices(office_numbers(e, names).collect()),
        When::Years { from, to } => Condition::Years(*from, *to),
        When::OfficesApart => Condition::OfficesApart,
        When::LettersApart(n) => Condition::LettersApart(i32::from(*n)),
        When::DesignLater(id) => Condition::DesignLater(*at.devices.get(id.as_str())?),
        When::EngravedBefore => Condition::EngravedBefore,
        When::Lighter(n) => Condition::Lighter(u32::from(*n)),
        When::NothingFits => Condition::NothingFits,
        When::NoOfficeClaimed => Condition::NoOfficeClaimed,
        When::MakerAgainst => Condition::MakerAgainst,
        When::Lookalike(kinds) => Condition::Lookalike(kinds.clone()),
    })
}

/// A caution's condition in the image's numbers.
fn applying<'a>(e: &Entries, when: &'a Applies) -> Applying<'a> {
    match when {
        Applies::Marked => Applying::Marked,
        Applies::Unsupported => Applying::Unsupported,
        Applies::OfficesApart => Applying::OfficesApart,
        Applies::Holds => Applying::Holds,
        Applies::Several => Applying::Several,
        Applies::Said(ids) => {
            let signs = e.signs();
            let number = |id: &String| signs.iter().position(|s| s == id).map(|n| n as u32);
            Applying::Said(ids.iter().filter_map(number).collect())
        }
        Applies::Stated(phrases) => Applying::Stated(phrases.iter().map(String::as_str).collect()),
        Applies::Unstated(p) => Applying::Unstated(*p),
        Applies::Fits { offices, from, to } => {
            Applying::Fits(office_numbers(e, offices).collect(), *from, *to)
        }
    }
}

/// Warning signs with their conditions.
pub(super) fn warnings(e: &Entries, at: &Places, w: &mut Writer) {
    for f in &e.warnings {
        let x = &f.entry;
        let when: Vec<u32> =
            x.when.iter().filter_map(|c| condition(e, c, at)).map(|c| w.list(c.pack())).collect();
        let cols = [
            w.str(&x.id),
            w.list(when),
            w.str(&x.reason),
            w.str(&x.innocent),
            w.str(&x.judge),
            u32::from(x.unsettles),
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::WarningCols, &cols);
    }
}

/// Cautions with their conditions.
pub(super) fn cautions(e: &Entries, w: &mut Writer) {
    for f in &e.cautions {
        let x = &f.entry;
        let when = x
            .when
            .iter()
            .map(|c| {
                let numbers = applying(e, c).pack(|phrase| w.str(phrase));
                w.list(numbers)
            })
            .collect();
        let cols = [
            w.str(&x.id),
            w.str(&x.about),
            x.uses.iter().fold(0, |set, u| set | 1 << *u as u32),
            w.list(when),
            w.str(&x.says),
            w.str(&x.then),
            x.basis as u32,
            x.confidence as u32,
            w.strs(&x.cites),
        ];
        w.cols(Part::CautionCols, &cols);
    }
}
