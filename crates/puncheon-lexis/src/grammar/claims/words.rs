//! What each word of a claim does: it claims, turns a date, joins others, or is set aside.

use puncheon_schema::entry::{Grammar, ItemWord, Slot};
use puncheon_schema::image::{Ending, Sense};

use super::Reader;
use crate::claim::{Problem, Wrong};
use crate::grammar::dates::Dating;
use crate::grammar::initials::{ending, sense, sense_within};
use crate::phrase::{Is, as_year};
use crate::tree::{Aside, Use};

impl Reader<'_, '_> {
    pub(super) fn sense(
        &mut self,
        k: usize,
        sense: Sense,
        dating: &mut Dating,
    ) -> Result<usize, Problem> {
        let p = self.pieces.pieces[k];
        if self.turns_what_follows(k, sense, dating) {
            return Ok(k + 1);
        }
        match sense {
            Sense::Town(o) => self.office(k, o)?,
            Sense::Standard(s) | Sense::StandardMark(s) => self.standard(k, s),
            Sense::Device(d) => self.device(k, d, dating)?,
            Sense::Reign(r) => return self.reign(k, r, dating),
            Sense::SlotNoun(Slot::Import) => {
                self.claim.imported = true;
                self.fates.used(k, Use::Place);
            }
            Sense::Absent | Sense::AbsentAfter | Sense::Numbered
                if sense != Sense::Numbered || self.denies(k) =>
            {
                return Err(Problem::new(p.start..p.end, Wrong::Denied));
            }
            Sense::Cypher => {
                if !self.of_a_mark(k) && !self.behind_by(k) {
                    return Err(Problem::new(p.start..p.end, Wrong::Cypher));
                }
                self.aside(k, Aside::Person);
            }
            Sense::Aside
            | Sense::Sign(_)
            | Sense::Filler
            | Sense::MarkNoun
            | Sense::StandardNoun => return Ok(self.known(k, sense)),
            _ if joins(sense) => self.fates.joins(k),
            // An ordinal takes the century that belongs to it, and a date what is latest or earliest.
            Sense::Century
            | Sense::Pseudo
            | Sense::NothingElse
            | Sense::AtLatest
            | Sense::AtEarliest => {
                self.aside(k, Aside::Thing);
                self.turning.push(k);
            }
            Sense::Style | Sense::LooksLike => {
                self.aside(k, Aside::Style);
                if self.style_of_the_claim(k) {
                    self.turning.push(k);
                }
            }
            // What is engraved is no claim of what was struck.
            Sense::Engraved => return Ok(self.rest_aside(k, Aside::Engraved)),
            Sense::FalseFriend if self.like_an_office(&p) => return Err(self.not_understood(k)),
            Sense::FalseFriend => self.unread(k),
            _ if self.mended_far(k) => self.unread(k),
            _ => {
                self.aside(k, Aside::Thing);
                if self.turns(k) {
                    self.turning.push(k);
                }
            }
        }
        Ok(k + 1)
    }

    /// Lets a word that turns a date wait for it, where one follows or may follow.
    fn turns_what_follows(&mut self, k: usize, sense: Sense, dating: &mut Dating) -> bool {
        if sense == Sense::About && self.about_beside(k, dating) {
            self.fates.used(k, Use::Date);
            return true;
        }
        // "early to mid" joins two words that wait; behind a comma "until" joins no dates.
        let clause = |k: usize| self.pieces.pieces[k].clause;
        let first = self.dates.last().is_none_or(|d| clause(d.first) != clause(k))
            && self.waiting.is_none();
        match sense {
            Sense::About | Sense::Doubt => self.wait(k, dating, |d| d.about = true),
            Sense::Before => self.wait(k, dating, |d| d.before = true),
            Sense::After => self.wait(k, dating, |d| d.after = true),
            Sense::NotBefore => self.wait(k, dating, |d| d.since = true),
            Sense::NotAfter => self.wait(k, dating, |d| d.until = true),
            Sense::Early => self.wait(k, dating, |d| d.third(1)),
            Sense::Mid => self.wait(k, dating, |d| d.third(2)),
            Sense::Late => self.wait(k, dating, |d| d.third(3)),
            Sense::Fraction(nth, of) => self.wait(k, dating, |d| d.part(nth, of)),
            _ if self.date_ahead(k).is_none() => return false,
            Sense::AtLatest => self.wait(k, dating, |d| d.until = true),
            Sense::AtEarliest => self.wait(k, dating, |d| d.since = true),
            // Small words, which are no part of the date as it is told.
            Sense::From => dating.since = true,
            Sense::Item(ItemWord::By) => dating.until = true,
            Sense::To if first => dating.until = true,
            _ => return false,
        }
        self.fates.used(k, Use::Date);
        true
    }

    /// A word that is known and claims nothing, but may name a metal or a sign.
    fn known(&mut self, k: usize, sense: Sense) -> usize {
        let p = self.pieces.pieces[k];
        let metals = self.metals_in(&p);
        // "later decorated in 1880" dates the decoration, and "a later crest" the crest.
        let deed = !self.turns(k) || self.thing(k + 1);
        if sense != Sense::Filler && self.opens_with(k, Sense::Later) && deed {
            return self.rest_aside(k, Aside::Thing);
        }
        if self.turns(k) {
            self.turning.push(k);
        }
        if self.mended_far(k) {
            self.unread(k);
            return k + 1;
        }
        if let Sense::Sign(s) = sense {
            self.claim.signs.push(s);
        }
        if !metals.is_empty() {
            self.fates.used(k, Use::Standard);
        } else if matches!(sense, Sense::Aside | Sense::Sign(_)) {
            self.aside(k, Aside::Thing);
        } else {
            self.fates.joins(k);
        }
        self.metals.extend(metals);
        k + 1
    }

    /// A reign or a period, or somebody of that name: "Charles Stuart Harris".
    pub(super) fn reign(
        &mut self,
        k: usize,
        reign: u32,
        dating: &mut Dating,
    ) -> Result<usize, Problem> {
        if self.styled(k).is_some() || self.part_of_a_name(k) {
            self.aside(k, Aside::Style);
            *dating = Dating::default();
            self.waiting = None;
        } else {
            let years = self.image.reign(reign as usize).years();
            self.date(k, k, years, std::mem::take(dating));
            if let Some(d) = self.dates.last_mut() {
                d.period = true;
            }
            self.claim.reigns.push(reign);
        }
        Ok(k + 1)
    }

    /// "not 1884" numbers nothing, as "No. 2" does: a year that is denied turns the claim round.
    fn denies(&self, k: usize) -> bool {
        let pieces = &self.pieces;
        let (p, figures) = (&pieces.pieces[k], pieces.pieces.get(k + 1));
        let pointed = pieces.text.typed[p.end..].starts_with('.');
        let numbers = pointed || pieces.typed(p).starts_with(char::is_uppercase);
        let year = figures.is_some_and(|f| as_year(pieces.typed(f)).is_some());
        sense(self.image, &self.lower(k)) == Some(Sense::Absent) && (year || !numbers)
    }

    /// Does a word order or turn a date?
    pub(super) fn turns(&self, k: usize) -> bool {
        let words = self.lower(k).replace('-', " ").replace(['\'', '\u{2019}'], "");
        ending(self.image, &words).is_some_and(Ending::turns)
    }

    /// Does the first word of a piece mean this by itself?
    pub(super) fn opens_with(&self, k: usize, sense: Sense) -> bool {
        let words = self.lower(k);
        let first = words.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
        sense_within(self.image, Grammar::Claims, first) == Some(sense)
    }

    /// Does a word stand before that says who made it?
    fn behind_by(&self, k: usize) -> bool {
        k > 0 && self.means(k - 1) == Some(Sense::Item(ItemWord::By))
    }

    /// Is the piece a thing, or what was done to one?
    pub(super) fn thing(&self, k: usize) -> bool {
        matches!(
            self.is(k),
            Some(Is::Sense(
                Sense::Aside | Sense::Sign(_) | Sense::Part | Sense::Engraved | Sense::Decorative
            ))
        ) && !self.turns(k)
    }
}

/// Does a word only join others, or say what they are?
fn joins(sense: Sense) -> bool {
    matches!(
        sense,
        Sense::Article
            | Sense::And
            | Sense::Or
            | Sense::In
            | Sense::Beside
            | Sense::LetterNoun
            | Sense::ClaimIntro
            | Sense::MadeIn
            | Sense::SlotNoun(_)
            | Sense::DateNoun
            | Sense::From
            | Sense::To
            | Sense::Between
            | Sense::Item(_)
    )
}
