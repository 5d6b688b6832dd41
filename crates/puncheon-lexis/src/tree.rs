//! The tree of a text: every byte lies in exactly one node, and each node is used, set aside with its
//! kind, refused, or parts others.
//!
//! A grammar says what became of each phrase as it reads it; what no phrase covers can only be blanks
//! and signs. So nothing that was typed is lost without a trace: a word that a grammar forgot stands in
//! the tree as refused.

use std::ops::Range;

use crate::token::of_a_word;

/// What became of a stretch of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fate {
    /// It is part of what was read.
    Used(Use),
    /// It is known, and no part of what is asked.
    Aside(Aside),
    /// It is not put to use, and what is read may be wrong without it.
    Refused(Refusal),
    /// Blanks, and signs that part words.
    Parting,
}

/// What a node is part of. Numbers are places in the list of what was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Use {
    /// A mark, in [`crate::sighting::Sightings::sightings`].
    Mark(u32),
    /// A date, place or standard stated, in [`crate::sighting::Sightings::claimed`].
    Stated(u32),
    /// The label of a part of the piece, in [`crate::sighting::Sightings::parts`].
    Part(u32),
    /// A sign that a warning looks for, by its number in the tables.
    Sign(u32),
    /// That the marks are copies, or that nothing else is there.
    Copy,
    /// An office or a town.
    Place,
    /// A year, a span or a period, with the words that turn it.
    Date,
    /// A standard, a fineness or a metal.
    Standard,
    /// A date letter that is asked for, and how it looks.
    Letter,
    /// Somebody's name or letters.
    Name,
    /// A figure, with its unit.
    Figure,
    /// An amount of money, with its currency.
    Money,
    /// What a piece is, and how many of it.
    Object,
    /// What is not the metal, of the piece or of a part.
    Beside,
    /// What claims more than marks tell.
    Boast,
    /// An answer to a question.
    Reply,
}

/// What sort of thing was set aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Aside {
    /// Words that only join others: "the", "with", "struck".
    Joining,
    /// An object, a pattern, a condition: what is no mark.
    Thing,
    /// A size, a weight, a price, a count, a number of a lot.
    Measure,
    /// What is engraved.
    Engraved,
    /// A style or a revival, which dates nothing.
    Style,
    /// Whoever gave, owned, engraved or sold a piece.
    Person,
    /// What is said not to be so: "not worn", "not a copy".
    Denied,
    /// What is described of a mark and tells nothing of it: the outline of a lion, a doubt of a date.
    Untold,
    /// A letter beside the one that was called the date letter.
    OtherLetter,
    /// More than is looked at.
    TooMany,
}

/// Why a stretch was not put to use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Refusal {
    /// The word is not known, or is known for what it is not.
    NotUnderstood,
    /// A word that turns, narrows or describes another, which is not there: "small" without its letter,
    /// "early" without its date.
    Headless,
    /// It may belong to more than one thing.
    Ambiguous,
    /// It turns round or contradicts what else is said.
    Contradicts,
}

/// A stretch of a text and what became of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Node {
    /// Its first byte.
    pub start: usize,
    /// Past its last byte.
    pub end: usize,
    /// What became of it.
    pub fate: Fate,
}

/// Every byte of a text, in nodes one behind the other.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tree {
    nodes: Vec<Node>,
}

impl Tree {
    /// The nodes of a text: `told` says in order what became of each phrase; what stands between is
    /// parting, and refused if there is a letter or a figure in it.
    pub fn over(text: &str, told: impl IntoIterator<Item = (Range<usize>, Fate)>) -> Tree {
        let mut nodes: Vec<Node> = Vec::new();
        let mut at = 0;
        for (span, fate) in told {
            // Two phrases never share a byte; if they did, the first keeps it.
            let start = span.start.max(at);
            if span.end <= start {
                continue;
            }
            between(text, at..start, &mut nodes);
            nodes.push(Node { start, end: span.end, fate });
            at = span.end;
        }
        between(text, at..text.len(), &mut nodes);
        Tree { nodes }
    }

    /// The nodes, in order; each begins where the one before ends, and the last ends with the text.
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// The first node that was refused.
    pub fn refused(&self) -> Option<(Range<usize>, Refusal)> {
        self.nodes.iter().find_map(|n| match n.fate {
            Fate::Refused(why) => Some((n.start..n.end, why)),
            _ => None,
        })
    }
}

/// What no phrase covers.
fn between(text: &str, gap: Range<usize>, nodes: &mut Vec<Node>) {
    if gap.is_empty() {
        return;
    }
    let lost = text.get(gap.clone()).is_none_or(|s| s.contains(of_a_word));
    let fate = if lost { Fate::Refused(Refusal::NotUnderstood) } else { Fate::Parting };
    nodes.push(Node { start: gap.start, end: gap.end, fate });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_phrase_covers_parts_or_is_refused() {
        let used = Fate::Used(Use::Date);
        let tree = Tree::over("1803, ab 4", [(0..4, used), (9..10, used)]);
        let fates: Vec<(usize, usize, Fate)> =
            tree.nodes().iter().map(|n| (n.start, n.end, n.fate)).collect();
        let lost = Fate::Refused(Refusal::NotUnderstood);
        assert_eq!(fates, [(0, 4, used), (4, 9, lost), (9, 10, used)]);
        assert_eq!(tree.refused(), Some((4..9, Refusal::NotUnderstood)));
        assert_eq!(Tree::over(" - ", []).nodes()[0].fate, Fate::Parting);
        assert_eq!(Tree::over("", []).nodes(), []);
    }
}
