//! The outlines of the tables, each with what its word means.

use crate::engine::outlines::counted;
use crate::json::outlines::{Outline, Outlines, SCHEMA};
use crate::tables::Tables;

/// The outlines of the tables.
pub fn outlines(tables: &Tables) -> Outlines {
    let image = tables.image();
    let (each, not_known) = counted(image);
    let broader = |i: usize| image.outline_broader(i).map(|b| image.outline_id(b).to_string());
    Outlines {
        schema: SCHEMA,
        outlines: each
            .iter()
            .enumerate()
            .map(|(i, letters)| Outline {
                id: image.outline_id(i).to_string(),
                name: image.outline_name(i).to_string(),
                means: image.outline_means(i).to_string(),
                forms_of: broader(i).collect(),
                letters: letters.either,
                on_silver: letters.on_silver,
                on_gold: letters.on_gold,
            })
            .collect(),
        not_known,
        cautions: crate::rests_on_overlay(tables).into_iter().collect(),
    }
}
