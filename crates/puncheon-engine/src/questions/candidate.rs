//! The rows that are left of a description, gathered to office-years.

use puncheon_schema::image::{Image, RowView};

use crate::fit::narrow::{Group, Key, Narrow};
use crate::numbered::ByNumber;

/// The row that stands for an office, letter year and standard, and its place in the order of fits.
#[derive(Clone, Copy)]
pub struct Leader {
    /// The row's number.
    pub row: usize,
    /// Its place in the order of fits.
    pub key: Key,
}

impl Leader {
    /// The row that stands for a group.
    pub fn of(g: &Group) -> Leader {
        Leader { row: g.best.row as usize, key: g.key }
    }
}

/// A row that is left.
pub struct Candidate<'a> {
    /// The row's number.
    pub row: usize,
    /// The row.
    pub view: RowView<'a>,
    /// The number of its office-year.
    pub office_year: usize,
    /// It stands for its office, letter year and standard.
    pub leads: bool,
}

/// How many office-years fit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Counts {
    /// Those that fit as well as the first fit does.
    pub years: usize,
    /// Offices among those.
    pub offices: usize,
    /// The others: they fit if a mark is worn or loosely said, or their letter is not known.
    pub more: usize,
    /// Those of the others whose letter is not known, where one was read.
    pub unread: usize,
    /// First and last letter year of those that fit as well as the first.
    pub span: Option<(i32, i32)>,
}

/// The rows that are left.
pub struct Candidates<'a> {
    /// The tables.
    pub image: &'a Image,
    /// The rows left.
    pub rows: Vec<Candidate<'a>>,
    /// For each office-year the place of its first fit among the rows.
    pub firsts: Vec<usize>,
    /// How many office-years they are.
    pub counts: Counts,
    /// The office of the last office-year counted as left.
    last_office: Option<usize>,
}

/// Which of the rows that fit are looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Those that fit as well as the first.
    Left,
    /// Every one.
    Fits,
}

impl<'a> Candidates<'a> {
    /// None.
    pub fn none(image: &'a Image) -> Candidates<'a> {
        let counts = Counts::default();
        Candidates { image, rows: Vec::new(), firsts: Vec::new(), counts, last_office: None }
    }

    /// The rows that fit. `leaders` are those that stand for an office, letter year and standard.
    pub fn of(n: &Narrow<'a>, leaders: &[Leader], scope: Scope) -> Candidates<'a> {
        let mut out = Candidates::none(n.image);
        let Some(first) = leaders.iter().min_by_key(|s| s.key) else {
            return out;
        };
        let worst = first.key.rank();
        let mut leaders: Vec<&Leader> = leaders.iter().collect();
        leaders.sort_unstable_by_key(|s| s.row);
        let mut leaders = leaders.into_iter().peekable();
        let mut open: Option<Open> = None;
        let fits = n.fits();
        for hit in n.hits(&fits) {
            let row = hit.row as usize;
            let view = n.image.row(row);
            let rank = n.rank(&hit);
            let office_year = (view.letter().office(), view.letter().year());
            // Rows stand in order of office and letter year.
            if let Some(closed) = open.take_if(|o| o.office_year != office_year) {
                out.close(closed);
            }
            let open =
                open.get_or_insert(Open { office_year, left: false, unread: true, first: None });
            open.left |= rank <= worst;
            open.unread &= rank.0 && !worst.0;
            let leads = leaders.next_if(|s| s.row == row);
            if scope == Scope::Left && rank > worst {
                continue;
            }
            let place = out.rows.len();
            if let Some(s) = leads
                && open.first.is_none_or(|(key, _)| s.key < key)
            {
                open.first = Some((s.key, place));
            }
            let office_year = out.firsts.len();
            out.rows.push(Candidate { row, view, office_year, leads: leads.is_some() });
        }
        if let Some(closed) = open {
            out.close(closed);
        }
        out
    }

    /// Counts an office-year whose rows have all been seen.
    fn close(&mut self, of: Open) {
        if let Some((_, first)) = of.first {
            self.firsts.push(first);
        }
        let counts = &mut self.counts;
        if !of.left {
            counts.more += 1;
            counts.unread += usize::from(of.unread);
            return;
        }
        let (office, year) = of.office_year;
        counts.years += 1;
        counts.offices += usize::from(self.last_office != Some(office));
        self.last_office = Some(office);
        let (from, to) = counts.span.unwrap_or((year, year));
        counts.span = Some((from.min(year), to.max(year)));
    }

    /// Counts the office-years of which some row passes a test, for each of several tests at once:
    /// `tests` names those that a row passes.
    pub fn count<'s>(
        &self,
        tests: usize,
        passes: impl Fn(usize) -> &'s [usize],
    ) -> ByNumber<usize> {
        let mut counts = ByNumber::all(0, tests);
        let mut last = ByNumber::all(None, tests);
        for (k, c) in self.rows.iter().enumerate() {
            for t in passes(k) {
                if last.get(*t) != Some(c.office_year) {
                    last.set(*t, Some(c.office_year));
                    counts.change(*t, |n| *n += 1);
                }
            }
        }
        counts
    }
}

/// An office-year whose rows are being looked at.
struct Open {
    office_year: (usize, i32),
    /// Some row fits as well as the first fit.
    left: bool,
    /// The letter of every row is not known.
    unread: bool,
    /// Its first fit among the rows kept.
    first: Option<(Key, usize)>,
}
