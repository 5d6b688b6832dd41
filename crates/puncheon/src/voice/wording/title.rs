//! A title of a given length.

use crate::voice::refused::Refused;
use crate::voice::wording::line::Words;
use crate::voice::wording::wrong;

impl Words {
    /// At most so many characters: what is most telling is taken first, then put in the trade's order.
    /// The item is never cut within a phrase.
    pub fn title(&self, length: usize) -> Result<String, Refused> {
        // The piece itself ends before a "with" and behind a comma, what is said of it before any
        // word that joins.
        let whole = self.item.text.len();
        let cuts = self.item.cuts.iter();
        let noun = cuts.clone().find(|(_, ends)| *ends).map_or(whole, |c| c.0);
        let cuts = cuts.map(|c| c.0).filter(|c| *c >= noun).chain([whole]);
        let upto = |cut: usize| self.item.upto(cut);
        let mut t = Title { length, parts: Vec::new() };
        let mut metal = self.metal.as_str();
        t.parts.push(self.head(metal, upto(noun)));
        if !t.fits() {
            metal = self.plain;
            t.parts[0] = self.head(metal, upto(noun));
        }
        if !t.fits() {
            let least = t.joined().chars().count();
            return wrong(
                format!("\"{}\" has {least} characters and is cut no shorter", t.joined()),
                &format!("ask for a title of at least {least}, or name the piece in fewer words"),
            );
        }
        // Then when and where, whose, and the rest of the item.
        t.parts.resize(6, String::new());
        t.best(1, [self.ascribed()].iter());
        let sponsor = self.sponsor().map(|s| format!("sponsor's mark {s}"));
        t.best(2, sponsor.iter().rev());
        let heads: Vec<String> = cuts.map(|c| self.head(metal, upto(c))).collect();
        t.best(0, heads.iter());
        // In grams, and in ounces too if there is room.
        let weights = self.weight.iter().flat_map(|w| [w.short(), w.whole()]);
        let weights: Vec<String> = weights.collect();
        t.best(4, weights.iter());
        t.best(3, self.size.iter());
        t.best(5, self.condition.iter());
        Ok(t.joined())
    }
}

/// A title in the making: its parts in the trade's order, the untaken ones empty.
struct Title {
    length: usize,
    parts: Vec<String>,
}

impl Title {
    fn joined(&self) -> String {
        let parts: Vec<&str> = self.parts.iter().map(String::as_str).collect();
        let parts: Vec<&str> = parts.into_iter().filter(|p| !p.is_empty()).collect();
        parts.join(", ")
    }

    fn fits(&self) -> bool {
        self.joined().chars().count() <= self.length
    }

    /// Puts the last of these forms that fits into its place.
    fn best<'f>(&mut self, place: usize, forms: impl DoubleEndedIterator<Item = &'f String>) {
        for form in forms.rev() {
            let before = std::mem::replace(&mut self.parts[place], form.clone());
            if self.fits() {
                return;
            }
            self.parts[place] = before;
        }
    }
}
