//! What is no mark: things, numbers of something, engraving, and the describer's word that marks are copies.

use puncheon_schema::image::Sense;

use super::figures::engraving;
use super::{Clauses, Waiting};
use crate::phrase::Is;
use crate::said::RemarkKind;
use crate::tree::{Fate, Use};

impl Clauses<'_, '_> {
    /// An object, a pattern, a condition.
    pub(super) fn thing(&mut self, k: usize) {
        // "no wear": what is absent was said.
        if self.waiting.absent.is_some() {
            self.deny(k);
            self.waiting = Waiting::default();
        }
        self.remark(k, RemarkKind::SetAside, None);
    }

    /// "size N": the letter after it is no mark. Returns the next piece.
    pub(super) fn numbered(&mut self, k: usize, to: usize) -> usize {
        let end = if k + 1 < to && self.is(k + 1) == Is::Letter { k + 1 } else { k };
        self.remark_pieces(k, end, RemarkKind::SetAside, None);
        end + 1
    }

    /// Engraving is no mark, to the end of its clause.
    pub(super) fn engraved(&mut self, k: usize, to: usize) -> usize {
        let p = self.p.pieces[k];
        let end = self.p.pieces[to - 1].end;
        self.remark_pieces(k, to - 1, RemarkKind::SetAside, None);
        self.out.engraved.push(engraving(self.p.text.typed, p.start..end));
        to
    }

    /// "copy", "not a copy", "nothing else".
    pub(super) fn copy(&mut self, k: usize, sense: Sense) {
        if sense == Sense::Pseudo && self.waiting.absent.is_some() {
            self.deny(k);
            self.waiting = Waiting::default();
            return;
        }
        self.fates.set(k, Fate::Used(Use::Copy));
        self.out.called_copy = true;
        self.out.called_false |= sense == Sense::Pseudo;
    }
}
