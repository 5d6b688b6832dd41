//! Parts of a piece, each with marks of its own.

use puncheon_schema::image::Sense;

use super::Clauses;
use crate::phrase::{Is, Piece, Pieces};
use crate::steps::Counted;
use crate::tree::{Fate, Use};

impl Clauses<'_, '_> {
    /// "(a)"
    pub(super) fn in_brackets(&self, k: usize) -> bool {
        let p = &self.p.pieces[k];
        let typed = self.p.text.typed;
        p.what == Is::Letter && typed[..p.start].ends_with('(') && typed[p.end..].starts_with(')')
    }

    /// Is the part's name all there is in the clause?
    pub(super) fn stands_alone(&self, to: usize) -> bool {
        let of_name = |p: &Piece| {
            matches!(
                p.what,
                Is::Sense(Sense::Part | Sense::Filler | Sense::Article | Sense::In) | Is::Colon
            )
        };
        let all = || self.p.pieces[self.begins..to].iter().counted().all(of_name);
        *self.whole.part.get_or_init(all)
    }

    pub(super) fn start_part(&mut self, k: usize, end: usize) {
        let label =
            self.p.text.typed[self.p.pieces[k].start..self.p.pieces[end - 1].end].to_string();
        self.out.parts.push(label);
        self.part = self.out.parts.len() - 1;
        let fate = Fate::Used(Use::Part(self.part as u32));
        (k..end).for_each(|k| self.fates.set(k, fate));
    }
}

/// Where sentences begin with the name of an object and a colon, "spoon: …; fork: …", or with a figure,
/// "1) … 2) …"; one alone labels nothing.
pub(super) fn labels_by_name(p: &Pieces) -> Vec<(usize, usize)> {
    let object = |n: &Piece| matches!(n.what, Is::Unknown | Is::Sense(Sense::Aside | Sense::Part));
    let small = |n: &Piece| matches!(n.what, Is::Sense(Sense::Filler | Sense::Article));
    let mut out = Vec::new();
    let mut at = 0;
    for clause in p.pieces.chunk_by(|a, b| a.clause == b.clause) {
        let begins = at == 0 || p.pieces[at - 1].sentence != clause[0].sentence;
        let name = match clause {
            [name @ .., colon] if begins && colon.what == Is::Colon => {
                let named = name.iter().any(object) && name.iter().all(|n| object(n) || small(n));
                named.then_some(name.len())
            }
            [figure] if figure.what == Is::Number => {
                p.text.typed[figure.end..].starts_with(')').then_some(1)
            }
            _ => None,
        };
        out.extend(name.map(|n| (at, at + n)));
        at += clause.len();
    }
    if out.len() < 2 {
        out.clear();
    }
    out
}

/// "(a) … (b) …" labels two pieces: the first two letters of the alphabet, each in brackets.
pub(super) fn labels_by_letter(p: &Pieces) -> bool {
    let label = |nth: u8| {
        p.pieces.iter().enumerate().any(|(i, x)| {
            x.what == Is::Letter
                && p.typed(x).bytes().map(|b| b.to_ascii_lowercase()).eq([b'a' + nth])
                && p.text.typed[..x.start].ends_with('(')
                && p.text.typed[x.end..].starts_with(')')
                && p.pieces.get(i + 1).is_some()
        })
    };
    label(0) && label(1)
}
