//! From entries to rows and bit sets.
//!
//! A row is a set of marks that could have been struck on one day: office, letter, standard,
//! origin, and a stretch of days within the letter's time in which no mark or law changed.

mod bits;
mod columns;
mod conditions;
mod devices;
mod letters;
mod rows;
mod spans;

use crate::image::{Image, Meta, Writer};
use crate::lexicon;
use crate::read::{Entries, Index, index};

/// Where the entries of a kind stand, by their ids.
struct Places<'a> {
    devices: Index<'a>,
    letterings: Index<'a>,
    outlines: Index<'a>,
    standards: Index<'a>,
}

impl<'a> Places<'a> {
    fn new(e: &'a Entries) -> Self {
        Places {
            devices: index(&e.devices, |d| &d.id),
            letterings: index(&e.letterings, |l| &l.id),
            outlines: index(&e.outlines, |o| &o.id),
            standards: index(&e.standards, |s| &s.id),
        }
    }
}

/// The numbers at the head of the image.
struct Header([u32; Meta::Count as usize]);

impl Header {
    fn set(&mut self, m: Meta, n: usize) {
        self.0[m as usize] = n as u32;
    }
}

/// Expands verified entries into an image.
///
/// Entries that do not pass [`crate::verify`] are skipped where they cannot be understood; callers
/// verify first.
pub fn expand(e: &Entries, version: &str) -> Image {
    let at = Places::new(e);
    let made = rows::Build::new(e, &at).run();
    let values = columns::values(&made.letters);
    let designs = e.designs.first().map(|f| &f.entry);

    let mut w = Writer::new();
    let empty = w.str("");
    debug_assert_eq!(empty, 0);
    let mut header = Header([0; Meta::Count as usize]);
    columns::offices(e, &made.offices, &mut w);
    columns::standards(e, &mut w);
    columns::devices(e, &at, &mut w);
    columns::letterings(e, &mut w);
    columns::outlines(e, &at, &mut w);
    columns::marks(&made.facts, &mut w);
    columns::sets(&made.sets, &mut w);
    columns::letters(&values, &made.letters, &at, &mut w);
    columns::rows(&made.rows, &mut w);
    bits::features(e, &at, &made, &values, &mut header, &mut w);
    columns::lookalikes(e, &at, &mut w);
    columns::reigns(e, &at, &mut w);
    conditions::warnings(e, &at, &mut w);
    conditions::cautions(e, &mut w);
    columns::omissions(e, &at, &mut w);
    let asking = columns::sponsors_due(e, &mut w);
    columns::units(e, &mut w);
    columns::scales(e, &mut w);
    columns::deductions(e, &mut w);
    columns::boasts(e, &mut w);
    columns::designs(designs, &mut w);
    let general = columns::general_lookalikes(e, &mut w);
    let (words, edge_slots) = lexicon::compile(e, &mut w);
    let version = w.str(version) as usize;

    for (m, n) in [
        (Meta::Rows, made.rows.len()),
        (Meta::Offices, e.offices.len()),
        (Meta::Standards, e.standards.len()),
        (Meta::Devices, e.devices.len()),
        (Meta::Letterings, e.letterings.len()),
        (Meta::Outlines, e.outlines.len()),
        (Meta::Marks, made.facts.len()),
        (Meta::Sets, made.sets.len()),
        (Meta::Letters, made.letters.len()),
        (Meta::Values, values.len()),
        (Meta::Lookalikes, e.lookalikes.len()),
        (Meta::GeneralLookalikes, general),
        (Meta::Reigns, e.reigns.len()),
        (Meta::Warnings, e.warnings.len()),
        (Meta::Cautions, e.cautions.len()),
        (Meta::Omissions, e.omissions.len()),
        (Meta::SponsorsDue, asking),
        (Meta::Units, e.units.len()),
        (Meta::Scales, e.scales.len()),
        (Meta::Deductions, e.deductions.len()),
        (Meta::Boasts, e.boasts.len()),
        (Meta::Designs, designs.map_or(0, |d| d.years.len())),
        (Meta::DesignSlack, designs.map_or(0, |d| usize::from(d.slack))),
        (Meta::Words, words),
        (Meta::EdgeSlots, edge_slots),
        (Meta::Version, version),
    ] {
        header.set(m, n);
    }
    w.finish(&header.0)
}
