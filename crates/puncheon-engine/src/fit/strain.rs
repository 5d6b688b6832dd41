//! Every weight the engine uses, each with its reason.
//!
//! A strain is something that could be so but asks for an excuse. Strains add up; past [`LIMIT`]
//! a row neither fits nor is near. The limit is absolute: it is never measured from the best row,
//! so more evidence can only take fits away.

/// What a doubt costs: the describer was not sure, and the fact is contrary.
pub const DOUBT: u32 = 4;
/// The most a row may be strained: two doubts' worth.
pub const LIMIT: u32 = 2 * DOUBT;
/// A worn letter taken for one that looks like it. A little less than a doubt, since wear is a
/// fact and doubt a feeling.
pub const WORN: u32 = 3;
/// A word that may loosely mean the mark: a modern royal head for a duty mark, a bare carat figure
/// where the law of the day struck thousandths, a point not noticed, a mark seen to face the other way.
pub const LOOSE: u32 = 2;
/// A lettering near of kin (roman and sans, italic and script), or one that the table is unsure of.
pub const LETTERING: u32 = 2;
/// A case that the table is unsure of.
pub const CASE: u32 = 2;
/// An outline other than the table's: real punches stray, small articles above all.
pub const OUTLINE: u32 = 1;
/// A mark said to be missing where one is due: small articles and wear excuse it.
pub const ABSENT: u32 = 2;
/// A mark due and not described, when the set was said to be complete.
pub const UNDESCRIBED: u32 = 1;
/// Years by which a maker's span may be out where it is approximate, or where its end is not known.
pub const ABOUT_YEARS: i32 = 10;
/// Years for which a maker's old punches, widow or successor may have gone on, or a mark have been
/// in use before the entry that is on record.
pub const OLD_PUNCH: i32 = 5;
/// Years for which a maker may have worked, where only the first is known.
pub const WORKING_LIFE: i32 = 40;
/// A rival letter of a disputed year.
pub const RIVAL: u32 = 2;
