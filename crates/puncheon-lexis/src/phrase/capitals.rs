//! Capitals: a sponsor's letters, abbreviations with points, first names.

use puncheon_schema::entry::{DeviceKind, Slot};
use puncheon_schema::image::Sense;

use super::figures::beside_figures;
use super::{
    Cutter, ENDS_CLAUSE, Found, Is, MOST_GROUPS, MOST_POINTED, names_no_mark, says_nothing,
};
use crate::grammar::initials::ending;
use crate::steps::{self};
use crate::token::{Token, TokenKind};

/// The longest name cut short that is written in capitals and small letters: "DWCCo".
const MOST_MIXED: usize = 6;
/// The longest beginning of a name before a firm's word: "Ly & Co".
const SHORT_NAME: usize = 3;

/// Single letters with points between them.
struct Run {
    letters: String,
    /// Where the run would end after each letter.
    ends: Vec<usize>,
    /// All are capitals.
    upper: bool,
}

impl Cutter<'_, '_> {
    /// Is the text nothing but groups of two to four capitals, none of which the vocabulary knows?
    pub(super) fn is_initials_alone(&self) -> bool {
        let tokens = self.text.tokens.len();
        let group = |i: usize| {
            self.is_group(i)
                && self.text.word(&self.text.tokens[i]).len() > 1
                && self.phrase(i).is_none_or(|f| says_nothing(self.image.meaning(f.meaning)))
        };
        (1..=MOST_GROUPS).contains(&tokens) && !self.text.has_small && (0..tokens).all(group)
    }

    /// One to four letters, all capitals.
    pub(super) fn is_group(&self, i: usize) -> bool {
        self.text.tokens.get(i).is_some_and(|t| {
            t.kind == TokenKind::Word
                && t.upper
                && (1..=4).contains(&(t.end - t.start))
                && self.text.word(t).bytes().all(|b| b.is_ascii_alphabetic())
        })
    }

    /// Do capitals mean something: is some letter typed small, or is there nothing but initials?
    pub(super) fn in_small_text(&self) -> bool {
        self.text.has_small || self.initials_alone
    }

    /// Is the word without a meaning of its own, such as "we", or of two letters that name no mark, "PR",
    /// typed in capitals and alone in its clause? Then it is somebody's initials.
    pub(super) fn names_someone(&self, i: usize, f: &Found, sense: Sense) -> bool {
        self.may_be_initials(i, f, sense)
            && self.text.word(&self.text.tokens[i]).len() > 1
            && !(sense == Sense::About && self.before_figures(i + 1))
            && (self.initials_alone
                || self.text.has_small && (self.alone_in_clause(i) || self.is_described(i, sense)))
    }

    /// Do figures follow, perhaps behind the point of a word cut short: "CA. 1803"?
    fn before_figures(&self, j: usize) -> bool {
        let kind = |k: usize| self.text.tokens.get(k).map(|t| t.kind);
        let at = if kind(j) == Some(TokenKind::Punct('.')) { j + 1 } else { j };
        kind(at) == Some(TokenKind::Number)
    }

    /// Does the token open its clause, and what follows say how a punch looks: "in a rectangle", "with a
    /// crown above", "conjoined"?
    fn is_described(&self, i: usize, sense: Sense) -> bool {
        let next = self.phrase(i + 1).map(|f| self.image.meaning(f.meaning));
        let looks = match next {
            // "IN OVAL" is how a letter stands.
            Some(Sense::Outline(_)) => !says_nothing(sense),
            Some(Sense::In | Sense::And | Sense::Over | Sense::Beside | Sense::Lettering(_)) => {
                true
            }
            _ => false,
        };
        looks && self.clause_so_far().next().is_none()
    }

    /// May a group of capitals that the vocabulary knows as something else be somebody's?
    fn may_be_initials(&self, i: usize, f: &Found, sense: Sense) -> bool {
        let short = self.text.word(&self.text.tokens[i]).len() == 2 && f.in_capitals.is_none();
        f.end == i + 1 && self.is_group(i) && (says_nothing(sense) || short && names_no_mark(sense))
    }

    /// Does the token stand alone between what ends clauses?
    fn alone_in_clause(&self, i: usize) -> bool {
        self.is_last(i) && self.opens_clause(i)
    }

    /// Does what ends a clause stand behind the token?
    fn is_last(&self, i: usize) -> bool {
        match self.text.tokens.get(i + 1).map(|t| t.kind) {
            None => true,
            Some(TokenKind::Punct(c)) => ENDS_CLAUSE.contains(&c),
            Some(_) => false,
        }
    }

    /// Does nothing of the clause stand before?
    fn opens_clause(&self, i: usize) -> bool {
        i == 0 || self.clause_so_far().next().is_none()
    }

    /// Letters of a name that are not all capitals: "JMcE", "DWCCo", "Ly & Co".
    pub(super) fn mixed_initials(&mut self, i: usize) -> Option<usize> {
        let t = &self.text.tokens[i];
        let typed = &self.text.typed[t.start..t.end];
        let letters = typed.len() <= MOST_MIXED && typed.bytes().all(|b| b.is_ascii_alphabetic());
        if !letters || t.upper || !typed.starts_with(char::is_uppercase) {
            return None;
        }
        let mixed = self.is_mixed(i);
        let more = if mixed { self.and_more(i + 1) } else { None };
        let end = self.firm(more.unwrap_or(i + 1));
        let short = typed.len() <= SHORT_NAME && end > i + 2;
        (mixed || short).then(|| {
            self.push(Is::Initials, i, end);
            end
        })
    }

    /// Several capitals, with no small letters among them but those that cut a name or a firm's word short:
    /// the "Mc" of "JMcE", the "Co" of "DWCCo".
    fn is_mixed(&self, i: usize) -> bool {
        let Some(t) = self.text.tokens.get(i).filter(|t| t.kind == TokenKind::Word && !t.upper)
        else {
            return false;
        };
        let typed = &self.text.typed[t.start..t.end];
        let letters = typed.bytes().all(|b| b.is_ascii_alphabetic());
        if !letters || typed.len() > MOST_MIXED || !typed.starts_with(char::is_uppercase) {
            return false;
        }
        let firm = |w: &str| {
            let said = beside_figures(self.image, &w.to_lowercase());
            matches!(said, Some(Sense::Firm | Sense::Decade))
        };
        let (mut capitals, mut rest) = (0, typed);
        while !rest.is_empty() {
            let small = rest[1..].bytes().take_while(u8::is_ascii_lowercase).count();
            let cut_short = small == 0 || firm(&rest[..=small]) || firm(&rest[1..=small]);
            if !cut_short {
                return false;
            }
            capitals += 1;
            rest = &rest[1 + small..];
        }
        capitals > 1
    }

    /// "C over SH": past capitals that stand over or under a single one at token `i`.
    fn stacked(&self, i: usize) -> Option<usize> {
        let single = self.is_capital(i) && self.in_small_text() && !self.letter_called_for();
        let below = single
            && self.sense_of_word(i + 1) == Some(Sense::Over)
            && self.is_group(i + 2)
            && self.is_unknown(i + 2);
        below.then_some(i + 3)
    }

    /// A capital with a point before a name: "S. Kirk".
    pub(super) fn first_name(&self, i: usize) -> bool {
        let Some([a, point, name]) = self.text.tokens.get(i..i + 3) else {
            return false;
        };
        let capital = self.text.typed[name.start..name.end].starts_with(char::is_uppercase);
        a.upper
            && point.kind == TokenKind::Punct('.')
            && point.start == a.end
            && name.kind == TokenKind::Word
            && name.end - name.start > 2
            && capital
            && !name.upper
            && self.phrase(i + 2).is_none_or(|f| {
                matches!(
                    self.image.meaning(f.meaning),
                    Sense::Aside | Sense::FalseFriend | Sense::Filler
                )
            })
    }

    /// May the sign join groups of capitals? Not where it parts marks, nor a point before a space
    /// behind two letters or more.
    pub(super) fn joins_groups(&self, j: usize) -> bool {
        let before = &self.text.tokens[j - 1];
        let ends_sentence = self.text.tokens[j].kind == TokenKind::Punct('.')
            && self.text.tokens.get(j + 1).is_some_and(|n| n.spaced)
            && before.end - before.start > 1;
        !self.parts_marks(j) && !ends_sentence
    }

    /// Does a point stand directly behind the token?
    pub(super) fn pointed(&self, j: usize) -> bool {
        let t = &self.text.tokens[j];
        self.text
            .tokens
            .get(j + 1)
            .is_some_and(|p| p.kind == TokenKind::Punct('.') && p.start == t.end)
    }

    /// Past "& S" or ". & D.", where more capitals are joined to initials that end at token `j`.
    pub(super) fn and_more(&self, j: usize) -> Option<usize> {
        let kind = |k: usize| self.text.tokens.get(k).map(|t| t.kind);
        let and = if kind(j) == Some(TokenKind::Punct('.')) { j + 1 } else { j };
        let capital = self.text.tokens.get(and + 1)?;
        let signed = kind(and) == Some(TokenKind::Punct('&'));
        // "A&LLd": a name cut short joins where nothing parts it from the sign.
        if signed && !capital.spaced && self.is_mixed(and + 1) {
            return Some(and + 2);
        }
        let more = self.pointed_run(and + 1);
        let joins = signed && more.upper;
        let end = more.ends.last().copied().filter(|_| joins)?;
        Some(if self.pointed(end - 1) { end + 1 } else { end })
    }

    /// Past "& Co", "& Sons", where that follows token `j`.
    pub(super) fn firm(&self, j: usize) -> usize {
        let and = self.text.tokens.get(j).is_some_and(|t| t.kind == TokenKind::Punct('&'))
            || self.sense_of_word(j) == Some(Sense::And);
        let after = if and { j + 1 } else { j };
        if self.sense_of_word(after) == Some(Sense::Firm) { after + 1 } else { j }
    }

    /// Past "& Co", ". & Co" or letters that a sign joins without a blank, "EP&S", behind letters of plate,
    /// which end at token `j`: whether they are a maker's is told by what stands beside them.
    pub(super) fn with_firm(&self, j: usize, sense: Sense) -> usize {
        let plate = matches!(sense, Sense::Device(d)
            if self.image.device(d as usize).kind() == DeviceKind::Lookalike);
        let point = self.text.tokens.get(j).map(|t| t.kind) == Some(TokenKind::Punct('.'));
        let from = if point { j + 1 } else { j };
        let firm = self.firm(from);
        let joined = j > 0 && self.is_tight_pair(j - 1) && self.is_unknown(j + 1);
        match plate {
            true if firm > from => firm,
            true if joined => self.firm(j + 2),
            _ => j,
        }
    }

    /// Single capitals with strokes or spaces between, "E/P", "E P", that together are letters which the
    /// vocabulary knows in capitals.
    pub(super) fn stamped(&self, i: usize, end: usize) -> Option<Sense> {
        let tokens = &self.text.tokens[i..end];
        let single = |t: &&Token| t.kind == TokenKind::Word && t.end - t.start == 1;
        let stroke = |t: &Token| t.kind == TokenKind::Punct('/');
        if !tokens.iter().all(|t| single(&t) || stroke(t)) {
            return None;
        }
        let letters = tokens.iter().filter(single).map(|t| self.text.word(t));
        let meaning = ending(self.image, &letters.collect::<String>())?.capitals()?;
        Some(self.image.meaning(meaning))
    }

    /// An abbreviation that counts only with its strokes or points, and in small letters: "m/m",
    /// "m.m.", "w/". Capitals are somebody's initials, and figures before it make it a measure.
    pub(super) fn signed(&mut self, i: usize) -> Option<usize> {
        let letter = |j: usize| {
            let t = self.text.tokens.get(j)?;
            let one = t.kind == TokenKind::Word && t.end - t.start == 1;
            (one && !t.upper && (j == i || !t.spaced)).then_some(t)
        };
        let sign = |j: usize| {
            let t = self.text.tokens.get(j)?;
            let sign = matches!(t.kind, TokenKind::Punct('.' | '/')) && !t.spaced;
            sign.then_some(t)
        };
        (letter(i).is_some() && sign(i + 1).is_some()).then_some(())?;
        let measured = i > 0 && self.text.tokens[i - 1].kind == TokenKind::Number;
        let (mut word, mut j) = (String::new(), i);
        let mut known = None;
        while let Some(t) = if (j - i).is_multiple_of(2) { letter(j) } else { sign(j) } {
            word.push_str(self.text.word(t));
            j += 1;
            if j > i + 1
                && let Some(id) = self.image.word(word.as_bytes())
            {
                known = Some((j, id));
            }
            if word.len() == MOST_POINTED {
                break;
            }
        }
        let (end, id) = known.filter(|_| !measured)?;
        let meaning = self.image.ending(self.image.step(0, id)?).plain()?;
        // More letters make it something else: "w/o".
        (letter(end).is_none()).then_some(())?;
        // One letter with its point is a date letter as often as a word: it is the word between
        // two words of a clause, where no letter is called for.
        if end == i + 2 && self.text.tokens[i + 1].kind == TokenKind::Punct('.') {
            let inside = i > 0 && self.text.tokens[i - 1].kind == TokenKind::Word;
            let word = self.text.tokens.get(end).is_some_and(|t| t.end - t.start > 1);
            (inside && word && self.small(end) && !self.letter_called_for()).then_some(())?;
        }
        self.push(Is::Sense(self.image.meaning(meaning)), i, end);
        Some(end)
    }

    /// Initials of a sponsor: groups of capitals joined by a point, a stroke or a space. Letters
    /// with points between them may also be an abbreviation that the vocabulary knows.
    pub(super) fn initials(&mut self, i: usize) -> Option<usize> {
        let first = self.text.tokens[i];
        if first.kind != TokenKind::Word || first.end - first.start > 4 {
            return None;
        }
        let run = self.pointed_run(i);
        if let Some(end) = self.abbreviation(i, &run) {
            return Some(end);
        }
        let last = run.ends.last().copied();
        let joined = last.filter(|_| run.upper).and_then(|end| {
            self.and_more(end).or_else(|| self.stacked(i).filter(|_| end == i + 1))
        });
        match last {
            Some(last) if run.letters.len() > 1 || joined.is_some() => {
                (run.upper || self.after_maker()).then(|| {
                    let end = self.firm(joined.unwrap_or(last));
                    self.push(Is::Initials, i, end);
                    end
                })
            }
            _ => self.groups(i),
        }
    }

    /// Single letters from token `i` on with points between them: l.p., E.P.N.S., W.S.
    fn pointed_run(&self, i: usize) -> Run {
        let mut run = Run { letters: String::new(), ends: Vec::new(), upper: true };
        let mut j = i;
        while let Some(t) = self.text.tokens.get(j) {
            if t.kind != TokenKind::Word
                || run.letters.len() == MOST_POINTED
                || t.end - t.start != 1
                || (j > i && t.spaced && !(t.upper && self.pointed(j)))
            {
                break;
            }
            run.letters.push_str(self.text.word(t));
            run.upper &= t.upper;
            run.ends.push(j + 1);
            let point = self.text.tokens.get(j + 1).is_some_and(|p| {
                matches!(p.kind, TokenKind::Punct('.' | '·' | '*')) && p.start == t.end
            });
            j += 1;
            if !point {
                break;
            }
            j += 1;
        }
        run
    }

    /// The longest abbreviation that the vocabulary knows: "E.P.N.S. W H" begins with one.
    fn abbreviation(&mut self, i: usize, run: &Run) -> Option<usize> {
        for n in (2..=run.letters.len()).rev() {
            let Some(word) = self.image.word(&run.letters.as_bytes()[..n]) else {
                continue;
            };
            let meaning = self.roots().find_map(|root| {
                let ending = self.image.ending(self.image.step(root, word)?);
                let shout = ending.capitals().filter(|_| run.upper);
                shout.or(ending.plain().filter(|m| !self.is_pointed_name(i, n, run, *m)))
            });
            if let Some(meaning) = meaning {
                let sense = self.image.meaning(meaning);
                let end = self.with_firm(run.ends[n - 1], sense);
                self.push(Is::Sense(sense), i, end);
                return Some(end);
            }
        }
        None
    }

    /// "P.R." alone in its clause is somebody's, and no pair.
    fn is_pointed_name(&self, i: usize, letters: usize, run: &Run, meaning: u32) -> bool {
        let sense = self.image.meaning(meaning);
        let last = run.ends[run.letters.len() - 1];
        let end = if self.pointed(last - 1) { last } else { last - 1 };
        let all = letters == run.letters.len() || sense != Sense::LetterNoun;
        let dated = sense == Sense::About && self.before_figures(last);
        run.upper
            && all
            && names_no_mark(sense)
            && !dated
            && self.is_last(end)
            && self.opens_clause(i)
    }

    /// Groups of capitals, unless they spell a phrase: "E P N S".
    fn groups(&mut self, i: usize) -> Option<usize> {
        if !self.is_group(i) || self.phrase(i).is_some_and(|f| f.end > i + 1) {
            return None;
        }
        // "assay master's mark EP": what the noun names is no abbreviation.
        let named = self.out.last().is_some_and(|p| {
            p.clause == self.clause
                && matches!(p.what, Is::Sense(Sense::SponsorNoun | Sense::SlotNoun(Slot::Assayer)))
        });
        let unknown = |s: &Self, k: usize| named && k == i || s.is_unknown(k);
        let free = |s: &Self, k: usize| named && k == i || s.is_free(k);
        let sign = |k: usize| {
            let kind = self.text.tokens.get(k).map(|t| t.kind);
            matches!(kind, Some(TokenKind::Punct('/' | '·' | '.' | '*' | '&' | '+')))
        };
        let goes_on = sign(i + 1) && self.is_group(i + 2) || self.firm(i + 1) > i + 1;
        let in_run = goes_on && free(self, i);
        if !unknown(self, i) && !in_run {
            return None;
        }
        let single = |s: &Self, k: usize| s.letters_of(k) == 1;
        let called_for = self.letter_called_for();
        let (mut j, mut groups, mut tight) = (i + 1, 1, false);
        while let Some(t) = self.text.tokens.get(j) {
            steps::take(1);
            match t.kind {
                TokenKind::Punct('/' | '·' | '.' | '*' | '&' | '+')
                    if self.joins_groups(j) && self.is_group(j + 1) && free(self, j + 1) =>
                {
                    let stroke = t.kind == TokenKind::Punct('/');
                    if stroke && called_for && single(self, i) && single(self, j + 1) {
                        return None;
                    }
                    if !stroke && called_for && single(self, i) {
                        return None;
                    }
                    tight = true;
                    groups += 1;
                    j += 2;
                }
                TokenKind::Word
                    if self.in_small_text()
                        && self.is_group(j)
                        && unknown(self, j)
                        && !(called_for && single(self, i)) =>
                {
                    groups += 1;
                    j += 1;
                }
                _ => break,
            }
        }
        if let Some(sense) = self.stamped(i, j) {
            let end = self.with_firm(j, sense);
            self.push(Is::Sense(sense), i, end);
            return Some(end);
        }
        let firm = self.firm(j);
        let single_name = groups == 1 && (named && !single(self, i) || firm > j);
        j = firm;
        if !single_name && (groups < 2 || !(tight || self.in_small_text() || self.after_maker())) {
            return None;
        }
        self.push(Is::Initials, i, j);
        Some(j)
    }

    /// The letters of a token.
    fn letters_of(&self, k: usize) -> usize {
        self.text.tokens.get(k).map_or(0, |t| t.end - t.start)
    }

    /// A group that the vocabulary does not know, or one letter.
    fn is_unknown(&self, k: usize) -> bool {
        self.letters_of(k) == 1 || self.phrase(k).is_none()
    }

    /// May a group be part of initials? Among groups that a sign joins, "WE/WF/WC", and before a firm's word,
    /// one that names no mark may; and two letters of plate where a sign joins them without a blank to others
    /// before that the vocabulary does not know, "IW/RG". Behind a single letter they are plate.
    fn is_free(&self, k: usize) -> bool {
        let Some(f) = self.phrase(k).filter(|_| !self.is_unknown(k)) else {
            return true;
        };
        let joined = || {
            let before = k > 1 && self.is_tight_pair(k - 2) && self.letters_of(k - 2) > 1;
            before && self.is_unknown(k - 2)
        };
        let short = f.end == k + 1 && self.letters_of(k) == 2;
        self.may_be_initials(k, &f, self.image.meaning(f.meaning)) || short && joined()
    }

    /// Two groups with a sign between, and no blank: by a stroke none of a single letter, which may be one of
    /// two that are read.
    fn is_tight_pair(&self, k: usize) -> bool {
        let no_blank = |t: usize| self.text.tokens.get(t).is_some_and(|t| !t.spaced);
        let least = match self.text.tokens.get(k + 1).map(|t| t.kind) {
            Some(TokenKind::Punct('&')) => 1,
            Some(TokenKind::Punct('/')) => 2,
            _ => return false,
        };
        let group = |k: usize| self.is_group(k) && self.letters_of(k) >= least;
        group(k) && group(k + 2) && no_blank(k + 1) && no_blank(k + 2)
    }

    /// One letter, a capital.
    pub(super) fn is_capital(&self, i: usize) -> bool {
        let letter = |t: &Token| t.kind == TokenKind::Word && t.upper && t.end - t.start == 1;
        self.text.tokens.get(i).is_some_and(letter)
    }
}
