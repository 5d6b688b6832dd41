//! Sightings to the rows that they fit, and to those that they all but fit.

pub mod answer;
pub mod bearing;
pub mod evidence;
pub mod letter_year;
pub mod letters_taken;
pub mod lookalikes;
pub mod narrow;
pub mod outcome;
pub mod parts;
pub mod strain;
