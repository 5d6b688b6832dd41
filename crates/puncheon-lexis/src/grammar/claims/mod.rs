//! The words of a claim: offices, dates, reigns and standards, in any order.
//!
//! What is not understood is never dropped in silence. A figure, a place, a word that orders or turns
//! a date and no date has put to use, and any word not understood beside what is claimed refuse the
//! claim, since the rest of it might hold without that word. What is set aside is known: objects,
//! makers' names, and what a piece has on it.

mod clauses;
mod dates;
mod names;
mod spelled;
mod standards;

use std::cell::Cell;
use std::ops::Range;

use puncheon_schema::entry::Slot;
use puncheon_schema::image::{Ending, Image, Sense};
use strsim::osa_distance;

use crate::claim::{Claimed, Problem, Taken, Wrong};
use crate::grammar::dates::{Dating, century};
use crate::grammar::initials::{ending, sense};
use crate::phrase::{Is, Piece, Pieces, as_year};
use crate::said::RemarkKind;
use crate::steps;
use crate::steps::Counted;
use crate::token::Text;
use clauses::Clause;
use dates::Date;
pub use spelled::spelled;

/// Words that only say that a date is one.
const SAYS_DATE: [&str; 6] = ["period", "era", "reign", "date", "dated", "year"];

/// Reads a claim. `names` finds whoever is named in one, in bytes of its text.
pub fn read(
    image: &Image,
    claim: &str,
    names: &dyn Fn(&Claimed) -> Vec<Range<usize>>,
) -> Result<Claimed, Problem> {
    let pieces = Pieces::cut(image, Text::new(image, claim));
    Reader {
        image,
        clauses: clauses::clauses(&pieces),
        sentences: clauses::sentences(&pieces),
        mended_far: mended_far(&pieces),
        pieces,
        claim: Claimed::default(),
        metals: Vec::new(),
        shown: Vec::new(),
        dates: Vec::new(),
        last_office: None,
        word: Cell::default(),
        waiting: None,
        unread: Vec::new(),
        turning: Vec::new(),
    }
    .read(names)
}

/// The words that were taken for others by more than one slip, in order.
fn mended_far(pieces: &Pieces) -> Vec<(usize, usize)> {
    let far = pieces.remarks.iter().filter(|r| {
        let nearest = r.nearest.as_deref().unwrap_or_default();
        osa_distance(&pieces.text.typed[r.start..r.end].to_lowercase(), nearest) > 1
    });
    let mut out: Vec<(usize, usize)> = far.map(|r| (r.start, r.end)).collect();
    out.sort_unstable();
    out
}

struct Reader<'i, 't> {
    image: &'i Image,
    pieces: Pieces<'t>,
    clauses: Vec<Clause>,
    /// Which sentences claim something.
    sentences: Vec<bool>,
    /// Words taken for others by more than one slip.
    mended_far: Vec<(usize, usize)>,
    claim: Claimed,
    metals: Vec<usize>,
    /// The standards that each standard mark named may stand for.
    shown: Vec<Vec<u32>>,
    dates: Vec<Date>,
    /// Where the last office named ends.
    last_office: Option<usize>,
    /// The stretch between blanks that was looked at last, and whether a figure stands in it.
    word: Cell<(usize, usize, bool)>,
    /// The first of the words that wait for their date.
    waiting: Option<usize>,
    /// Pieces that were not understood.
    unread: Vec<usize>,
    /// Pieces that order or turn a date, and that no date has put to use.
    turning: Vec<usize>,
}

impl Reader<'_, '_> {
    fn read(mut self, names: &dyn Fn(&Claimed) -> Vec<Range<usize>>) -> Result<Claimed, Problem> {
        let mut dating = Dating::default();
        let mut k = 0;
        while k < self.pieces.pieces.len() {
            k = self.piece(k, &mut dating)?;
        }
        self.unplaced()?;
        self.without_a_date(dating)?;
        self.parts_of_dates()?;
        self.not_put_to_use()?;
        self.not_read(names)?;
        self.dates_together()?;
        self.standards_together()?;
        self.corrections();
        let said = !self.claim.offices.is_empty()
            || !self.claim.years.is_empty()
            || !self.claim.standards.is_empty();
        if !said {
            return Err(match self.pieces.text.typed.trim().is_empty() {
                true => Problem::new(0..0, Wrong::Empty),
                false => Problem::new(self.all(), Wrong::NamesNothing),
            });
        }
        self.marks_shown();
        Ok(self.claim)
    }

    fn all(&self) -> Range<usize> {
        0..self.pieces.text.typed.len()
    }

    /// A piece as typed, in small letters, without points.
    fn lower(&self, k: usize) -> String {
        let typed = self.pieces.typed(&self.pieces.pieces[k]).to_lowercase();
        typed.trim_end_matches('.').to_string()
    }

    fn is(&self, k: usize) -> Option<Is> {
        self.pieces.pieces.get(k).map(|p| p.what)
    }

    fn piece(&mut self, k: usize, dating: &mut Dating) -> Result<usize, Problem> {
        steps::take(1);
        let p = self.pieces.pieces[k];
        if let Some(next) = self.part_of_a_day(k) {
            return Ok(next);
        }
        if let Some(next) = self.behind_a_date(k) {
            return Ok(next);
        }
        if self.is_reign_by_name(k) {
            return self.sense(k, self.reign_named(&self.lower(k)), dating);
        }
        if let Some(reign) = self.next_of_the_name(k) {
            return self.sense(k, reign, dating);
        }
        if let Some(end) = self.short_year(k) {
            self.date(k, k, (end, end), std::mem::take(dating));
            return Ok(k + 1);
        }
        match p.what {
            Is::Years(a, b) => self.years(k, a, b, dating)?,
            Is::Ordinal(n) => match self.century_after(k) {
                Some(last) => {
                    let d = std::mem::take(dating);
                    self.date(k, last, century(n), d);
                    if let Some(d) = self.dates.last_mut() {
                        d.round = true;
                        d.settle();
                    }
                    return Ok(last + 1);
                }
                None => return Err(self.not_understood(k)),
            },
            Is::Number | Is::Initials if self.figures(&p) => return Err(self.not_understood(k)),
            Is::Question => {
                if !self.about_beside(k, dating) {
                    self.aside(&p);
                }
            }
            Is::Sense(s) => return self.sense(k, s, dating),
            Is::Unknown if self.figures(&p) || self.like_an_office(&p) => {
                return Err(self.not_understood(k));
            }
            Is::Measure if self.year_with_unit(&p) => {
                return Err(Problem::new(p.start..p.end, Wrong::YearOrMeasure));
            }
            Is::Measure | Is::Number => self.aside(&p),
            Is::Letter | Is::Initials if self.of_a_mark(k) => self.aside(&p),
            // Before a noun it is the article.
            Is::Letter if sense(self.image, &self.lower(k)) == Some(Sense::Article) => {}
            Is::Unknown | Is::Letter | Is::Initials => self.unread(k),
            Is::Colon | Is::Slash => {}
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
    fn turns(&self, k: usize) -> bool {
        let words = self.lower(k).replace('-', " ").replace(['\'', '\u{2019}'], "");
        ending(self.image, &words).is_some_and(Ending::turns)
    }

    /// Does a word only say that a date is one?
    fn says_date(&self, p: &Piece) -> bool {
        let typed = self.pieces.typed(p).to_lowercase();
        SAYS_DATE.contains(&typed.trim_end_matches('.'))
    }

    /// Puts aside a word that was not understood.
    fn unread(&mut self, k: usize) {
        let p = self.pieces.pieces[k];
        self.aside(&p);
        if !self.says_date(&p) && !self.on_the_piece(k) {
            self.unread.push(k);
        }
    }
    fn sense(&mut self, k: usize, sense: Sense, dating: &mut Dating) -> Result<usize, Problem> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        if sense == Sense::About && self.about_beside(k, dating) {
            return Ok(k + 1);
        }
        let mut word = |f: &dyn Fn(&mut Dating)| self.wait(k, dating, f);
        match sense {
            Sense::Town(o) => self.office(k, o)?,
            Sense::Standard(s) | Sense::StandardMark(s) => self.standard(s),
            Sense::Device(d) => return self.device(k, d, dating).map(|()| k + 1),
            Sense::Reign(r) => {
                let styled = self.styled(k).is_some();
                // A surname: "Charles Stuart Harris".
                let named = self.part_of_a_name(k);
                if styled || named {
                    self.aside(&p);
                    *dating = Dating::default();
                    self.waiting = None;
                } else {
                    let view = image.reign(r as usize);
                    self.date(k, k, view.years(), std::mem::take(dating));
                    if let Some(d) = self.dates.last_mut() {
                        d.period = true;
                    }
                    self.claim.reigns.push(r);
                }
            }
            Sense::About | Sense::Doubt => word(&|d| d.about = true),
            Sense::Before => word(&|d| d.before = true),
            Sense::After => word(&|d| d.after = true),
            Sense::NotBefore => word(&|d| d.since = true),
            Sense::NotAfter => word(&|d| d.until = true),
            Sense::Early => word(&|d| d.third(1)),
            Sense::Mid => word(&|d| d.third(2)),
            Sense::Late => word(&|d| d.third(3)),
            Sense::Fraction(nth, of) => word(&|d| d.part(nth, of)),
            Sense::SlotNoun(Slot::Import) => self.claim.imported = true,
            Sense::Absent | Sense::AbsentAfter | Sense::Numbered
                if sense != Sense::Numbered || self.denies(k) =>
            {
                return Err(Problem::new(p.start..p.end, Wrong::Denied));
            }
            Sense::Aside
            | Sense::Sign(_)
            | Sense::Filler
            | Sense::MarkNoun
            | Sense::StandardNoun => {
                let metals = self.metals_in(&p);
                // "later decorated in 1880" dates the decoration, and "a later crest" the crest.
                let deed = !self.turns(k) || self.thing(k + 1);
                if sense != Sense::Filler && self.lower(k).starts_with("later") && deed {
                    return Ok(self.rest_aside(k));
                }
                if self.turns(k) {
                    self.turning.push(k);
                }
                if self.mended_far(k) {
                    self.unread(k);
                    return Ok(k + 1);
                }
                if metals.is_empty() && matches!(sense, Sense::Aside | Sense::Sign(_)) {
                    self.aside(&p);
                }
                if let Sense::Sign(s) = sense {
                    self.claim.signs.push(s);
                }
                self.metals.extend(metals);
            }
            Sense::Article
            | Sense::And
            | Sense::Or
            | Sense::In
            | Sense::Beside
            | Sense::LetterNoun
            | Sense::ClaimIntro
            | Sense::MadeIn
            | Sense::SlotNoun(_) => {}
            // An ordinal takes the century that belongs to it.
            Sense::Century | Sense::Pseudo | Sense::NothingElse => {
                self.aside(&p);
                self.turning.push(k);
            }
            Sense::Style | Sense::LooksLike => {
                self.aside(&p);
                if self.style_of_the_claim(k) {
                    self.turning.push(k);
                }
            }
            // What is engraved is no claim of what was struck.
            Sense::Engraved => return Ok(self.rest_aside(k)),
            Sense::FalseFriend if self.like_an_office(&p) => return Err(self.not_understood(k)),
            Sense::FalseFriend => self.unread(k),
            _ if self.mended_far(k) => self.unread(k),
            _ => {
                self.aside(&p);
                if self.turns(k) {
                    self.turning.push(k);
                }
            }
        }
        Ok(k + 1)
    }

    /// Was a word taken for another by more than one slip? Set aside, it may as well mean something else.
    fn mended_far(&self, k: usize) -> bool {
        let p = &self.pieces.pieces[k];
        self.mended_far.binary_search(&(p.start, p.end)).is_ok()
    }

    /// Is the piece a thing, or what was done to one?
    fn thing(&self, k: usize) -> bool {
        matches!(
            self.is(k),
            Some(Is::Sense(
                Sense::Aside | Sense::Sign(_) | Sense::Part | Sense::Engraved | Sense::Decorative
            ))
        ) && !self.turns(k)
    }
    /// Puts aside what is left of the clause.
    fn rest_aside(&mut self, k: usize) -> usize {
        let clause = self.pieces.pieces[k].clause;
        let end =
            k + self.pieces.pieces[k..].iter().counted().take_while(|q| q.clause == clause).count();
        // One span, in which no word is looked at by itself.
        let (start, stop) = (self.pieces.pieces[k].start, self.pieces.pieces[end - 1].end);
        self.claim.not_used.push(start..stop);
        end
    }
    fn aside(&mut self, p: &Piece) {
        let typed = self.pieces.text.typed;
        if self.says_date(p) {
            return;
        }
        match self.claim.not_used.last_mut() {
            // Words side by side are echoed as one.
            Some(u) if u.end <= p.start && typed[u.end..p.start].trim().is_empty() => {
                u.end = p.end;
            }
            _ => self.claim.not_used.push(p.start..p.end),
        }
    }
    /// Words that were mended.
    fn corrections(&mut self) {
        for r in &self.pieces.remarks {
            if let (RemarkKind::Guessed, Some(n)) = (r.remark, &r.nearest) {
                self.claim.taken.push(Taken::Mended { at: r.start..r.end, nearest: n.clone() });
            }
        }
    }
}
