//! The words of a claim: offices, dates, reigns and standards, in any order.
//!
//! What is not understood is never dropped in silence. A figure, a place, a word that orders or turns
//! a date and no date has put to use, and any word not understood beside what is claimed refuse the
//! claim, since the rest of it might hold without that word. What is set aside is known: objects,
//! makers' names, and what a piece has on it.

mod clauses;
mod dates;
mod fates;
mod joined;
mod names;
mod standards;
mod stretches;
mod words;

use std::cell::Cell;
use std::ops::Range;

use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};
use strsim::osa_distance;

use crate::claim::{Claimed, Problem, Taken, Wrong};
use crate::grammar::dates::{Dating, century};
use crate::grammar::initials::sense;
use crate::phrase::{Is, Piece, Pieces};
use crate::said::RemarkKind;
use crate::steps;
use crate::token::Text;
use crate::tree::{Aside, Fate, Tree, Use};
use clauses::Clause;
use dates::Date;
use fates::Fates;
pub use stretches::stretches;

/// A claim that was read.
pub struct Read {
    /// What is claimed, or why that cannot be told.
    pub said: Result<Claimed, Problem>,
    /// What became of each of its words.
    pub nodes: Vec<(Range<usize>, Fate)>,
}

impl Read {
    /// What became of every byte of the claim.
    pub fn tree(self, claim: &str) -> Tree {
        Tree::over(claim, self.nodes)
    }
}

/// Reads a claim. `names` finds whoever is named in one, in bytes of its text.
pub fn read(image: &Image, claim: &str, names: &dyn Fn(&Claimed) -> Vec<Range<usize>>) -> Read {
    of(image, Pieces::cut_for(image, Text::new(image, claim), Some(Grammar::Claims)), names)
}

/// Reads the pieces of a claim, or those that are left of what another grammar has read.
pub(crate) fn of(
    image: &Image,
    pieces: Pieces,
    names: &dyn Fn(&Claimed) -> Vec<Range<usize>>,
) -> Read {
    Reader {
        image,
        clauses: clauses::clauses(image, &pieces),
        sentences: clauses::sentences(&pieces),
        mended_far: mended_far(&pieces),
        fates: Fates::new(pieces.pieces.len()),
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
    /// What became of each piece.
    fates: Fates,
    claim: Claimed,
    metals: Vec<usize>,
    /// The standards that each standard mark named may stand for.
    shown: Vec<Vec<u32>>,
    dates: Vec<Date>,
    /// The piece of the last office named.
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
    fn read(mut self, names: &dyn Fn(&Claimed) -> Vec<Range<usize>>) -> Read {
        let mut dating = Dating::default();
        let mut wrong = None;
        let mut k = 0;
        while k < self.pieces.pieces.len() {
            k = self.piece(k, &mut dating).unwrap_or_else(|problem| {
                // What follows is read all the same, so that all of it has its place.
                wrong.get_or_insert(problem);
                k + 1
            });
        }
        let wrong = wrong.or_else(|| self.as_a_whole(dating, names).err());
        let nodes = self.fates.nodes(&self.pieces, &self.turning, wrong.as_ref());
        Read { said: wrong.map_or(Ok(self.claim), Err), nodes }
    }

    /// What only all of a claim tells.
    fn as_a_whole(
        &mut self,
        dating: Dating,
        names: &dyn Fn(&Claimed) -> Vec<Range<usize>>,
    ) -> Result<(), Problem> {
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
        Ok(())
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

    fn means(&self, k: usize) -> Option<Sense> {
        match self.is(k) {
            Some(Is::Sense(sense)) => Some(sense),
            _ => None,
        }
    }

    /// Looks at one piece, and says which is next.
    fn piece(&mut self, k: usize, dating: &mut Dating) -> Result<usize, Problem> {
        steps::take(1);
        let p = self.pieces.pieces[k];
        if self.part_of_a_day(k) || self.behind_a_date(k) {
            self.fates.used(k, Use::Date);
            return Ok(k + 1);
        }
        if let Some(reign) = self.reign_by_name(k).or_else(|| self.next_of_the_name(k)) {
            return self.reign(k, reign, dating);
        }
        if let Some(plain) = self.short_year(k).or_else(|| self.short_decade(k)) {
            self.date(k, k, plain, std::mem::take(dating));
            return Ok(k + 1);
        }
        match self.plainly(k) {
            Is::Years(a, b) => self.years(k, a, b, dating)?,
            Is::Century(n) => return Ok(self.century(k, k, n, dating)),
            Is::Ordinal(n) => match self.century_after(k) {
                Some(last) => return Ok(self.century(k, last, n, dating)),
                None => return Err(self.not_understood(k)),
            },
            Is::Number | Is::Initials if self.figures(&p) => return Err(self.not_understood(k)),
            Is::Question => {
                if self.about_beside(k, dating) {
                    self.fates.used(k, Use::Date);
                } else {
                    self.aside(k, Aside::Untold);
                }
            }
            Is::Sense(s) => return self.sense(k, s, dating),
            Is::Unknown if self.figures(&p) || self.like_an_office(&p) => {
                return Err(self.not_understood(k));
            }
            Is::Measure if self.year_with_unit(&p) => {
                return Err(Problem::new(p.start..p.end, Wrong::YearOrMeasure));
            }
            Is::Measure | Is::Number => {
                // "about 178 g, 1803": it is the weight that is not sure.
                if !dating.narrows() {
                    *dating = Dating::default();
                    self.waiting = None;
                }
                self.aside(k, Aside::Measure);
            }
            Is::Letter | Is::Initials if self.of_a_mark(k) || self.opens_with_a_maker(k) => {
                self.aside(k, Aside::Person);
            }
            // Before a noun it is the article.
            Is::Letter if sense(self.image, &self.lower(k)) == Some(Sense::Article) => {
                self.fates.joins(k);
            }
            Is::Unknown | Is::Letter | Is::Initials => self.unread(k),
            Is::Colon | Is::Slash => self.fates.joins(k),
        }
        Ok(k + 1)
    }

    /// What a piece is, where a word that claims have for themselves is none of a date here: "March
    /// House", "on a tray".
    fn plainly(&self, k: usize) -> Is {
        match self.pieces.pieces[k].what {
            Is::Sense(Sense::Month(_) | Sense::Onwards | Sense::Later | Sense::Earlier) => {
                sense(self.image, &self.lower(k)).map_or(Is::Unknown, Is::Sense)
            }
            what => what,
        }
    }

    fn century(&mut self, k: usize, last: usize, n: i32, dating: &mut Dating) -> usize {
        self.date(k, last, century(n), std::mem::take(dating));
        if let Some(d) = self.dates.last_mut() {
            d.round = true;
            d.settle();
        }
        last + 1
    }

    /// Puts aside a word that was not understood.
    fn unread(&mut self, k: usize) {
        self.aside(k, Aside::Person);
        if !self.on_the_piece(k) {
            self.unread.push(k);
        }
    }

    /// Was a word taken for another by more than one slip? Set aside, it may as well mean something else.
    fn mended_far(&self, k: usize) -> bool {
        let p = &self.pieces.pieces[k];
        self.mended_far.binary_search(&(p.start, p.end)).is_ok()
    }

    /// Puts aside what is left of the clause.
    fn rest_aside(&mut self, k: usize, kind: Aside) -> usize {
        let clause = self.pieces.pieces[k].clause;
        let rest = self.pieces.pieces[k..].iter();
        let end = k + rest.take_while(|q| q.clause == clause).count();
        steps::take(end - k);
        // One span, in which no word is looked at by itself.
        let (start, stop) = (self.pieces.pieces[k].start, self.pieces.pieces[end - 1].end);
        self.claim.not_used.push(start..stop);
        (k..end).for_each(|j| self.fates.aside(j, kind));
        end
    }

    fn aside(&mut self, k: usize, kind: Aside) {
        self.fates.aside(k, kind);
        let p: Piece = self.pieces.pieces[k];
        let typed = self.pieces.text.typed;
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
