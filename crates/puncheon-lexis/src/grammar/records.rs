//! Whole cells of a record.

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use crate::phrase::longest;

/// Does a cell state nothing: is it empty, a sign such as a dash, or a word for that? Points do not count.
pub fn states_nothing(image: &Image, cell: &str) -> bool {
    if !cell.contains(char::is_alphanumeric) {
        return true;
    }
    let said = cell.replace('.', "").to_lowercase();
    let words = said.split_whitespace();
    let all = words.clone().count();
    longest::own(image, Grammar::Records, words) == Some((Sense::NothingStated, all))
}
