//! "a" and "I": letters, or words that say nothing.

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::Sense;

use super::{AHEAD, Clauses};
use crate::phrase::longest;
use crate::phrase::{Is, Piece};
use crate::sighting::LetterSeen;

impl Clauses<'_, '_> {
    /// "a" before a described letter is the article; "I" before a word is the speaker.
    pub(super) fn is_article(&self, k: usize, to: usize) -> bool {
        self.article(k, to, self.letter_noun.is_some())
    }

    /// The same; `called_for`: a noun stands before that asks for a letter.
    pub(super) fn article(&self, k: usize, to: usize, called_for: bool) -> bool {
        let p = self.p.pieces[k];
        let token = self.p.text.tokens[p.token];
        let word =
            longest::own(self.image, Grammar::Letters, [self.p.text.word(&token)].into_iter());
        let Some((word, _)) = word else {
            return false;
        };
        let follows = (k + 1..to).map(|j| self.is(j)).next();
        let described = self.waiting.letter != LetterSeen::default();
        match word {
            _ if described => false,
            // "n or u or a"
            Sense::Article if self.or => false,
            // Typed as a capital it is the letter, unless it opens a sentence of words.
            Sense::Article if token.upper && !self.opens_sentence(k, to) => false,
            Sense::Article => self.indefinite(k, to, called_for),
            Sense::Speaker => {
                token.upper
                    && !called_for
                    && matches!(
                        follows,
                        Some(
                            Is::Unknown
                                | Is::Sense(
                                    Sense::Filler
                                        | Sense::ClaimIntro
                                        | Sense::LooksLike
                                        | Sense::Doubt
                                )
                        )
                    )
            }
            Sense::Decade => {
                k > 0
                    && self.p.pieces[k - 1].end + 1 >= p.start
                    && matches!(self.is(k - 1), Is::Years(..))
            }
            _ => false,
        }
    }

    /// "a" before what is no letter of it: does it belong to the noun behind?
    fn indefinite(&self, k: usize, to: usize, called_for: bool) -> bool {
        let token = self.p.text.tokens[self.p.pieces[k].token];
        let mut behind = (k + 1..to).map(|j| self.is(j));
        let follows = behind.next();
        let letter_follows = self.letter_behind(k, to);
        // "a silver disk", "a worn lion": words that say nothing of a letter stand before the noun.
        let passed = |w: &Is| {
            matches!(
                w,
                Is::Sense(
                    Sense::Filler
                        | Sense::Worn
                        | Sense::Illegible
                        | Sense::Doubt
                        | Sense::Decorative
                        | Sense::LooksLike
                )
            )
        };
        let noun = match follows.filter(passed) {
            // but "letter a to f" are letters.
            Some(_) => {
                behind.find(|w| !passed(w)).filter(|w| *w != Is::Letter || !called_for).or(follows)
            }
            None => follows,
        };
        match noun {
            // a "k", a (k)
            None => k + 1 == to && self.letter_in_quotes(k),
            // "a punch", "a very rubbed mark"
            Some(Is::Sense(Sense::Filler)) if !token.upper => !called_for,
            // "date letter a crown": the symbol is the letter.
            Some(_) if called_for && self.symbol(k + 1).is_some() => true,
            Some(Is::Letter) => true,
            Some(Is::Sense(Sense::Case(_) | Sense::Lettering(_) | Sense::Worn | Sense::Doubt)) => {
                // "a very rubbed mark"
                let thing = k + 2 < to && self.is(to - 1) == Is::Sense(Sense::Filler);
                letter_follows || thing && !called_for
            }
            Some(Is::Unknown) => !called_for,
            Some(Is::Sense(
                Sense::Filler
                | Sense::Early
                | Sense::Mid
                | Sense::Late
                | Sense::Style
                | Sense::Town(_),
            )) if token.upper => !called_for,
            // "A lion anchor" is the letter, "A lion, an anchor and a small k" none.
            Some(Is::Sense(Sense::Device(_))) if token.upper => {
                !called_for && self.letter_or_article_behind(k)
            }
            Some(Is::Sense(
                Sense::Device(_)
                | Sense::SlotNoun(_)
                | Sense::StandardNoun
                | Sense::SponsorNoun
                | Sense::LetterNoun
                | Sense::Part
                | Sense::Aside
                | Sense::Outline(_)
                | Sense::Reign(_)
                | Sense::MarkNoun
                | Sense::Standard(_)
                | Sense::FalseFriend,
            )) => {
                !called_for && (!self.before_vowel_or_figure(k) || self.letter_or_article_behind(k))
            }
            _ => false,
        }
    }

    /// Before the first mark of a sentence, with more of its clause to come in small letters: "A lion", "Lot
    /// 245: A mustard pot".
    pub(super) fn opens_sentence(&self, k: usize, to: usize) -> bool {
        let first = self.out.sightings.len() == self.first_of_sentence
            && self.letter_noun.is_none()
            && self.opens(k);
        let next = (k + 1 < to).then(|| &self.p.text.tokens[self.p.pieces[k + 1].token]);
        first && self.p.text.has_small && next.is_some_and(|t| !t.upper)
    }

    /// Does a letter in quotes or brackets come next?
    pub(super) fn letter_in_quotes(&self, k: usize) -> bool {
        self.p.pieces.get(k + 1).is_some_and(|n| {
            let between = &self.p.text.typed[self.p.pieces[k].end..n.start];
            let opens = matches!(between.trim(), "\"" | "(" | "“" | "[");
            n.what == Is::Letter && opens
        })
    }

    /// Is there another letter behind the piece, or another article?
    pub(super) fn letter_or_article_behind(&self, k: usize) -> bool {
        let mut behind = self.p.pieces[k + 1..].iter().take(AHEAD);
        behind.any(|p| matches!(p.what, Is::Letter | Is::Sense(Sense::Article)))
    }

    /// Does the piece open its sentence, but for numbers of a lot and what is set aside?
    pub(super) fn opens(&self, k: usize) -> bool {
        let sentence = self.p.pieces[k].sentence;
        let plain = |p: &Piece| {
            matches!(
                p.what,
                Is::Number
                    | Is::Measure
                    | Is::Colon
                    | Is::Years(..)
                    | Is::Sense(Sense::Numbered | Sense::Aside | Sense::Filler | Sense::ClaimIntro)
            )
        };
        let before = self.p.pieces[..k].iter().rev().take(AHEAD);
        let mut here = before.take_while(|p| p.sentence == sentence);
        here.all(plain)
    }

    /// No one writes "a anchor", nor "a 925".
    pub(super) fn before_vowel_or_figure(&self, k: usize) -> bool {
        let next = &self.p.text.tokens[self.p.pieces[k + 1].token];
        self.p.text.word(next).starts_with(|c: char| "aeiou".contains(c) || !c.is_alphabetic())
    }
}
