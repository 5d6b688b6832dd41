//! What a seller says: a set of offices, of letter years and of standards, read from words such as
//! "an office 1908", "about 1790, sterling" or "18 ct, 1880s".

use std::fmt;
use std::ops::Range;

use puncheon_schema::entry::DeviceKind;
use puncheon_schema::export;
use puncheon_schema::image::{Image, METALS, Meta, RowView, Sense};
use serde::Serialize;
use strsim::osa_distance;

use crate::dating::{ABOUT, Dating, century};
use crate::explain;
use crate::narrow::ones;
use crate::pieces::{Is, Piece, Pieces};
use crate::sighting::Sightings;
use crate::tables::Tables;
use crate::text::Text;

/// Standards whose dates are told; a metal alone stands for more.
const MOST_STANDARDS: usize = 3;

/// What is said of a piece, to be held against its marks. An empty list claims nothing of its kind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Claim {
    /// The words, as typed.
    pub text: String,
    /// Offices, by their lower-case words.
    pub offices: Vec<String>,
    /// Spans of years, any of which will do.
    pub years: Vec<Years>,
    /// Reigns and periods named.
    pub periods: Vec<String>,
    /// Standards, by their words in the tables.
    pub standards: Vec<String>,
    /// Words that bear on none of these.
    pub not_used: Vec<Unused>,
    /// How words such as "about" and "1890s" were taken, a sentence each.
    #[serde(skip)]
    pub conventions: Vec<String>,
    /// The words say that the piece was brought in from abroad.
    #[serde(skip)]
    pub imported: bool,
}

/// Calendar years, first and last; None is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Years {
    /// First year.
    pub from: Option<i32>,
    /// Last year.
    pub to: Option<i32>,
    /// One letter was named, as in 1803/04: a letter that only runs into its year is not it.
    pub one_letter: bool,
}

/// Words of a claim that were put aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unused {
    /// The words, as typed.
    pub text: String,
    /// Byte offset of the first.
    pub start: usize,
    /// Byte offset past the last.
    pub end: usize,
}

/// Why a claim cannot be read: where, what is wrong, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ClaimError {
    /// The claim, as typed.
    pub claim: String,
    /// The words at fault, in bytes of the claim; empty where it is the whole.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub wrong: String,
    /// What would be right.
    pub remedy: String,
}

impl fmt::Display for ClaimError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.wrong)?;
        if !self.at.is_empty() && !self.claim.contains(['\n', '\r', '\t']) {
            let before = self.claim[..self.at.start].chars().count();
            let under = self.claim[self.at.clone()].chars().count();
            write!(f, "\n  {}", self.claim)?;
            write!(f, "\n  {}{}", " ".repeat(before), "^".repeat(under))?;
        }
        write!(f, "\n  {}", self.remedy)
    }
}

impl std::error::Error for ClaimError {}

/// Where a span of letter years lies to a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Standing {
    /// Every letter year lies in the claim.
    Inside,
    /// Only part does, or only the later calendar year of a letter.
    Half,
    /// None does.
    Outside,
}

impl Years {
    fn holds(self, year: i32) -> bool {
        self.from.is_none_or(|f| f <= year) && self.to.is_none_or(|t| year <= t)
    }

    /// The years of both.
    fn and(self, other: Years) -> Option<Years> {
        let later = |a: Option<i32>, b: Option<i32>| a.max(b);
        let sooner = |a: Option<i32>, b: Option<i32>| match (a, b) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let both = Years {
            from: later(self.from, other.from),
            to: sooner(self.to, other.to),
            one_letter: self.one_letter || other.one_letter,
        };
        match (both.from, both.to) {
            (Some(a), Some(b)) if a > b => None,
            _ => Some(both),
        }
    }
}

impl fmt::Display for Years {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match (self.from, self.to) {
            (Some(a), Some(b)) if a == b => write!(f, "{a}"),
            (Some(a), Some(b)) => write!(f, "{a} to {b}"),
            (Some(a), None) => write!(f, "{a} and later"),
            (None, Some(b)) => write!(f, "{b} and earlier"),
            (None, None) => write!(f, "any year"),
        }
    }
}

impl Claim {
    /// Reads a claim.
    ///
    /// # Errors
    /// If it names no office, year, reign or standard, if a figure or a word that looks like an
    /// office is not understood, or if it contradicts itself: dropping such a word would let the
    /// rest of the claim hold.
    pub fn read(tables: &Tables, claim: &str) -> Result<Claim, ClaimError> {
        let image = tables.image();
        let pieces = Pieces::cut(image, Text::new(image, claim));
        Reader {
            image,
            pieces,
            claim: Claim {
                text: claim.trim().to_string(),
                ..Claim::default()
            },
            metals: Vec::new(),
            dates: Vec::new(),
        }
        .read()
    }

    /// The claim that a description makes beside its marks; None if it makes none.
    ///
    /// # Errors
    /// As [`Claim::read`].
    pub fn stated(
        tables: &Tables,
        description: &str,
        seen: &Sightings,
    ) -> Result<Option<Claim>, ClaimError> {
        if seen.claimed.is_empty() {
            return Ok(None);
        }
        let words: Vec<&str> = seen
            .claimed
            .iter()
            .map(|c| {
                // "1790?" is about 1790.
                let asked = description[c.end..].starts_with('?');
                &description[c.start..c.end + usize::from(asked)]
            })
            .collect();
        Claim::read(tables, &words.join(", ")).map(Some)
    }

    /// Is the office one that is claimed?
    pub(crate) fn office(&self, id: &str) -> bool {
        self.offices.is_empty() || self.offices.iter().any(|o| o == id)
    }

    /// Is the standard one that is claimed?
    pub(crate) fn standard(&self, id: &str) -> bool {
        self.standards.is_empty() || self.standards.iter().any(|s| s == id)
    }

    fn year(&self, year: i32) -> bool {
        self.years.is_empty() || self.years.iter().any(|y| y.holds(year))
    }

    /// Does a letter year lie in the claim, with its office and standard?
    pub(crate) fn holds(&self, image: &Image, row: RowView) -> bool {
        let letter = row.letter();
        self.office(image.office(letter.office()).id())
            && self.standard(image.standard(row.standard()).id())
            && self.in_years(row)
    }

    /// Does a letter year lie in the years claimed?
    pub(crate) fn in_years(&self, row: RowView) -> bool {
        let letter = row.letter();
        (letter.year()..=letter.to()).any(|y| self.year(y))
    }

    /// The rows of the tables that lie in the claim.
    pub(crate) fn rows(&self, image: &Image) -> Vec<usize> {
        let standards: Vec<bool> = (0..image.meta(Meta::Standards))
            .map(|s| self.standard(image.standard(s).id()))
            .collect();
        (0..image.meta(Meta::Offices))
            .map(|o| image.office(o))
            .filter(|o| self.office(o.id()))
            .flat_map(|o| o.rows())
            .filter(|r| {
                let row = image.row(*r);
                standards[row.standard()] && self.in_years(row)
            })
            .collect()
    }

    /// Where letter years of one office and standard lie. `calendar`: the letters began with the
    /// calendar year, so none runs into the next.
    pub(crate) fn standing(
        &self,
        office: &str,
        standard: &str,
        (from, to): (i32, i32),
        calendar: bool,
    ) -> Standing {
        if !self.office(office) || !self.standard(standard) {
            return Standing::Outside;
        }
        if (from..=to).all(|y| self.year(y)) {
            return Standing::Inside;
        }
        let runs_in = !calendar && self.years.iter().any(|y| !y.one_letter && y.holds(to + 1));
        if runs_in || (from..=to).any(|y| self.year(y)) {
            Standing::Half
        } else {
            Standing::Outside
        }
    }

    /// Nothing of the kind was struck: what the tables hold instead.
    pub(crate) fn never_struck(&self, image: &Image) -> String {
        let named = |list: &[String], id: &str| list.iter().any(|x| x == id);
        let offices: Vec<usize> = (0..image.meta(Meta::Offices))
            .filter(|o| named(&self.offices, image.office(*o).id()))
            .collect();
        // A metal stands for many standards, of which none need be named.
        let standards: Vec<usize> = (0..image.meta(Meta::Standards))
            .filter(|s| named(&self.standards, image.standard(*s).id()))
            .filter(|_| self.standards.len() <= MOST_STANDARDS)
            .collect();
        let span = |o: Option<usize>, s: usize| {
            (0..image.meta(Meta::Rows))
                .map(|r| image.row(r))
                .filter(|r| r.standard() == s && o.is_none_or(|o| r.letter().office() == o))
                .map(|r| (r.letter().year(), r.letter().to()))
                .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        };
        let now = (0..image.meta(Meta::Offices))
            .map(|o| image.office(o).years().1)
            .max();
        let marked = |o: Option<usize>, s: usize, place: &str| {
            let name = image.standard(s).name();
            match span(o, s) {
                Some((from, to)) if Some(to) == now => {
                    format!("{name} has been marked{place} since {from}")
                }
                Some((from, to)) => format!("{name} was marked{place} from {from} to {to}"),
                None => format!("{name} was never marked{place}"),
            }
        };
        let mut parts = Vec::new();
        for o in &offices {
            let office = image.office(*o);
            let (first, last) = office.years();
            parts.push(match office.open() {
                true => format!("{}'s letters run from {first} on", office.name()),
                false => format!(
                    "{}'s letters run from {first} to {}",
                    office.name(),
                    explain::shown_year(image, *o, last)
                ),
            });
            parts.extend(standards.iter().map(|s| marked(Some(*o), *s, " there")));
        }
        if offices.is_empty() {
            parts.extend(standards.iter().map(|s| marked(None, *s, "")));
        }
        if parts.is_empty() {
            parts.push("the tables hold no letter of those years".into());
        }
        parts.join("; ")
    }

    /// First and last year claimed; None is open.
    pub(crate) fn span(&self) -> (Option<i32>, Option<i32>) {
        let ends = |f: fn(&Years) -> Option<i32>| -> Option<Vec<i32>> {
            self.years.iter().map(f).collect()
        };
        (
            ends(|y| y.from).and_then(|v| v.into_iter().min()),
            ends(|y| y.to).and_then(|v| v.into_iter().max()),
        )
    }
}

/// A date of a claim.
struct Date {
    years: Years,
    /// Bytes of the claim.
    start: usize,
    end: usize,
    /// How it was taken, if by a convention.
    convention: Option<&'static str>,
    /// A reign or period.
    period: bool,
    /// As typed before "about" was taken into account, for a "?" behind it.
    plain: (i32, i32),
    dating: Dating,
}

struct Reader<'i, 't> {
    image: &'i Image,
    pieces: Pieces<'t>,
    claim: Claim,
    metals: Vec<usize>,
    dates: Vec<Date>,
}

impl Reader<'_, '_> {
    fn read(mut self) -> Result<Claim, ClaimError> {
        let mut dating = Dating::default();
        let mut k = 0;
        while k < self.pieces.pieces.len() {
            k = self.piece(k, &mut dating)?;
        }
        self.unplaced()?;
        self.dates_together()?;
        self.standards_together()?;
        let said = !self.claim.offices.is_empty()
            || !self.claim.years.is_empty()
            || !self.claim.standards.is_empty();
        if !said {
            let all = 0..self.pieces.text.typed.len();
            let wrong = if self.claim.text.is_empty() {
                "the claim is empty".to_string()
            } else {
                "the claim names no office, year, reign or standard".to_string()
            };
            return Err(self.error(
                if self.claim.text.is_empty() {
                    0..0
                } else {
                    all
                },
                wrong,
                None,
            ));
        }
        Ok(self.claim)
    }

    fn piece(&mut self, k: usize, dating: &mut Dating) -> Result<usize, ClaimError> {
        let p = self.pieces.pieces[k];
        match p.what {
            Is::Years(a, b) => {
                // "1803/04" is the one letter of 1803.
                let text = self.pieces.typed(&p);
                let pair = b == a + 1 && text.contains(|c: char| !c.is_ascii_digit());
                let decade = text.ends_with(['s', 'S']);
                let (years, convention) = match (pair, decade) {
                    (true, _) => ((a, a), None),
                    (_, true) => ((a, b), Some("every year of it")),
                    _ => ((a, b), None),
                };
                self.date(k, k, years, std::mem::take(dating), convention, pair);
            }
            Is::Ordinal(n) => match self.century_after(k) {
                Some(last) => {
                    let (from, to) = century(n);
                    // The year before a century is often counted to it: 1800 to the nineteenth.
                    let d = std::mem::take(dating);
                    let convention = "with the round year before it";
                    self.date(k, last, (from - 1, to), d, Some(convention), false);
                    return Ok(last + 1);
                }
                None => return Err(self.not_understood(k)),
            },
            Is::Number | Is::Initials if self.figures(&p) => return Err(self.not_understood(k)),
            Is::Question => self.ask(k),
            Is::Sense(s) => return self.sense(k, s, dating),
            Is::Unknown if self.figures(&p) || self.like_an_office(&p) => {
                return Err(self.not_understood(k));
            }
            Is::Unknown | Is::Letter | Is::Initials | Is::Measure | Is::Number => self.aside(&p),
            Is::Colon | Is::Slash => {}
        }
        Ok(k + 1)
    }

    fn sense(&mut self, k: usize, sense: Sense, dating: &mut Dating) -> Result<usize, ClaimError> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        let mut word = |f: &dyn Fn(&mut Dating)| {
            f(dating);
            dating.start.get_or_insert(p.start);
        };
        match sense {
            Sense::Town(o) => {
                let id = image.office(o as usize).id().to_string();
                if !self.claim.offices.contains(&id) {
                    self.claim.offices.push(id);
                }
            }
            Sense::Standard(s) | Sense::StandardMark(s) => self.standard(s as usize),
            Sense::Device(d) => return self.device(k, d).map(|()| k + 1),
            Sense::Reign(r) => {
                let styled = self.pieces.pieces.get(k + 1);
                if styled.is_some_and(|n| n.what == Is::Sense(Sense::Style)) {
                    self.aside(&p);
                    *dating = Dating::default();
                } else {
                    let view = image.reign(r as usize);
                    self.date(k, k, view.years(), std::mem::take(dating), None, false);
                    if let Some(d) = self.dates.last_mut() {
                        d.period = true;
                    }
                    self.claim.periods.push(view.name().to_string());
                }
            }
            Sense::About => word(&|d| d.about = true),
            Sense::Before => word(&|d| d.before = true),
            Sense::After => word(&|d| d.after = true),
            Sense::Early => word(&|d| d.third = 1),
            Sense::Mid => word(&|d| d.third = 2),
            Sense::Late => word(&|d| d.third = 3),
            Sense::SlotNoun(puncheon_schema::entry::Slot::Import) => self.claim.imported = true,
            Sense::Aside | Sense::Filler | Sense::MarkNoun | Sense::StandardNoun => {
                let metals = self.metals_in(&p);
                if metals.is_empty() && sense == Sense::Aside {
                    self.aside(&p);
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
            // What is engraved is no claim of what was struck.
            Sense::Engraved => {
                let end = self.pieces.pieces[k..]
                    .iter()
                    .take_while(|q| q.clause == p.clause)
                    .count();
                for j in k..k + end {
                    let q = self.pieces.pieces[j];
                    self.aside(&q);
                }
                return Ok(k + end);
            }
            Sense::FalseFriend if self.like_an_office(&p) => return Err(self.not_understood(k)),
            _ => self.aside(&p),
        }
        Ok(k + 1)
    }

    fn standard(&mut self, s: usize) {
        let id = self.image.standard(s).id().to_string();
        if !self.claim.standards.contains(&id) {
            self.claim.standards.push(id);
        }
    }

    /// A figure of fineness or a standard's picture claims every standard that it shows.
    fn device(&mut self, k: usize, d: u32) -> Result<(), ClaimError> {
        let image = self.image;
        let p = self.pieces.pieces[k];
        let kind = image.device(d as usize).kind();
        match kind {
            DeviceKind::Fineness | DeviceKind::Standard => {
                let rows: Vec<u64> = {
                    let mut words = vec![0; image.width()];
                    image.device_bits(d as usize, 0).add_to(&mut words, 0);
                    words
                };
                let mut shown: Vec<usize> = ones(&rows).map(|r| image.row(r).standard()).collect();
                shown.sort_unstable();
                shown.dedup();
                // A lion stands for several standards and so names none.
                if kind == DeviceKind::Standard && shown.len() > 1 {
                    self.aside(&p);
                } else {
                    shown.into_iter().for_each(|s| self.standard(s));
                }
            }
            DeviceKind::Lookalike => {
                let entry = (0..image.meta(Meta::Lookalikes))
                    .map(|i| image.lookalike(i))
                    .find(|l| l.needs().any(|mut set| set.all(|x| x == d)));
                if let Some(l) = entry.filter(|l| l.denies() || !l.town().is_empty()) {
                    let wrong = format!(
                        "\"{}\" claims no hallmark with a year: {}",
                        self.pieces.typed(&p),
                        l.what()
                    );
                    return Err(self.error(p.start..p.end, wrong, None));
                }
                self.aside(&p);
            }
            _ => self.aside(&p),
        }
        Ok(())
    }

    /// The metals that a phrase names in so many words: "solid silver", "rose gold".
    fn metals_in(&self, p: &Piece) -> Vec<usize> {
        let typed = self.pieces.typed(p).to_lowercase();
        (0..METALS.len())
            .filter(|m| {
                typed
                    .split(|c: char| !c.is_alphabetic())
                    .any(|w| w == export::metal(METALS[*m]))
            })
            .collect()
    }

    fn date(
        &mut self,
        first: usize,
        last: usize,
        plain: (i32, i32),
        dating: Dating,
        convention: Option<&'static str>,
        one_letter: bool,
    ) {
        let (from, to) = dating.span(plain.0, plain.1);
        self.dates.push(Date {
            years: Years {
                from,
                to,
                one_letter: one_letter && from == to,
            },
            start: dating.start.unwrap_or(self.pieces.pieces[first].start),
            end: self.pieces.pieces[last].end,
            convention,
            period: false,
            plain,
            dating,
        });
    }

    /// "1790?" is about 1790.
    fn ask(&mut self, k: usize) {
        let p = self.pieces.pieces[k];
        let behind = self.dates.last_mut().filter(|d| d.end == p.start);
        match behind {
            Some(d) => {
                d.dating.about = true;
                let (from, to) = d.dating.span(d.plain.0, d.plain.1);
                d.years = Years {
                    from,
                    to,
                    one_letter: false,
                };
                d.end = p.end;
            }
            None => self.aside(&p),
        }
    }

    /// The piece that makes an ordinal a century: "18th century", "18th to early 19th century".
    fn century_after(&self, k: usize) -> Option<usize> {
        let rest = &self.pieces.pieces[k + 1..];
        if rest.first()?.what == Is::Sense(Sense::Century) {
            return Some(k + 1);
        }
        let shared = rest
            .iter()
            .find(|p| {
                !matches!(
                    p.what,
                    Is::Slash
                        | Is::Ordinal(_)
                        | Is::Sense(
                            Sense::Or
                                | Sense::And
                                | Sense::Filler
                                | Sense::Early
                                | Sense::Mid
                                | Sense::Late
                        )
                )
            })
            .is_some_and(|p| p.what == Is::Sense(Sense::Century));
        shared.then_some(k)
    }

    fn aside(&mut self, p: &Piece) {
        let typed = self.pieces.text.typed;
        match self.claim.not_used.last_mut() {
            // Words side by side are echoed as one.
            Some(u) if typed[u.end..p.start].trim().is_empty() => {
                u.end = p.end;
                u.text = typed[u.start..u.end].to_string();
            }
            _ => self.claim.not_used.push(Unused {
                text: typed[p.start..p.end].to_string(),
                start: p.start,
                end: p.end,
            }),
        }
    }

    fn figures(&self, p: &Piece) -> bool {
        let at = self.whole_word(p);
        self.pieces.text.typed[at].contains(|c: char| c.is_ascii_digit())
    }

    /// The word that a piece stands in, without the punctuation round it.
    fn whole_word(&self, p: &Piece) -> Range<usize> {
        let typed = self.pieces.text.typed;
        let start = typed[..p.start].rfind(char::is_whitespace).map_or(0, |i| {
            i + typed[i..].chars().next().map_or(1, char::len_utf8)
        });
        let end = typed[p.end..]
            .find(char::is_whitespace)
            .map_or(typed.len(), |i| p.end + i);
        let edge = |c: char| !c.is_alphanumeric();
        let word = &typed[start..end];
        let start = start + (word.len() - word.trim_start_matches(edge).len()).min(p.start - start);
        let end = (start + typed[start..end].trim_end_matches(edge).len()).max(p.end);
        start..end
    }

    /// A word within two slips of an office's name.
    fn like_an_office(&self, p: &Piece) -> bool {
        const SHORT: usize = 4;
        let word = self.pieces.typed(p).to_lowercase();
        let near = |id: &str| {
            let allowed = if id.len() > SHORT + 2 { 2 } else { 1 };
            osa_distance(&word, id) <= allowed
        };
        word.chars().count() >= SHORT
            && (0..self.image.meta(Meta::Offices)).any(|o| near(self.image.office(o).id()))
    }

    /// A name beside a date, where no office was understood, is most likely a place.
    fn unplaced(&self) -> Result<(), ClaimError> {
        if !self.claim.offices.is_empty() {
            return Ok(());
        }
        let name = |p: &Piece| {
            matches!(p.what, Is::Unknown | Is::Sense(Sense::FalseFriend))
                && self.pieces.typed(p).starts_with(|c: char| c.is_uppercase())
                && self.pieces.text.has_small
        };
        let date = |p: &Piece| matches!(p.what, Is::Years(..) | Is::Ordinal(_));
        let pieces = &self.pieces.pieces;
        let beside = (0..pieces.len()).find(|k| {
            name(&pieces[*k])
                && (pieces.get(k + 1).is_some_and(date) || *k > 0 && date(&pieces[k - 1]))
        });
        beside.map_or(Ok(()), |k| Err(self.not_understood(k)))
    }

    fn not_understood(&self, k: usize) -> ClaimError {
        let p = &self.pieces.pieces[k];
        let at = self.whole_word(p);
        let word = &self.pieces.text.typed[at.clone()];
        let near = (0..self.image.meta(Meta::Offices))
            .map(|o| self.image.office(o))
            .map(|o| (osa_distance(&word.to_lowercase(), o.id()), o.name()))
            .min();
        let hint = match near {
            Some((d, name)) if d <= 2 && self.like_an_office(p) => {
                Some(format!("is {name} meant?"))
            }
            _ if self.figures(p) => Some(
                "write years with four figures, as 1908, 1908/09, 1890s or 19th century".into(),
            ),
            _ => {
                let all: Vec<&str> = (0..self.image.meta(Meta::Offices))
                    .map(|o| self.image.office(o).name())
                    .collect();
                Some(format!(
                    "the offices are {}; leave it out if it is no place",
                    all.join(", ")
                ))
            }
        };
        self.error(at.clone(), format!("\"{word}\" was not understood"), hint)
    }

    /// Puts what stands between two dates to use: "or" joins them, "to" spans them, and side by side
    /// the one narrows the other.
    fn dates_together(&mut self) -> Result<(), ClaimError> {
        let typed = self.pieces.text.typed;
        let mut out: Vec<Years> = Vec::new();
        let mut last: Option<&Date> = None;
        for d in &self.dates {
            let join = last.map(|l| between(&typed[l.end.min(d.start)..d.start]));
            match (join, last) {
                (None, _) | (_, None) => out.push(d.years),
                (Some(Join::Either), _) => out.push(d.years),
                (Some(Join::Through), Some(l)) => {
                    out.pop();
                    out.push(Years {
                        from: l.years.from,
                        to: d.years.to,
                        one_letter: false,
                    });
                }
                (Some(Join::Both), Some(l)) => {
                    let narrowed: Vec<Years> = out.iter().filter_map(|y| y.and(d.years)).collect();
                    if narrowed.is_empty() {
                        let wrong = format!(
                            "\"{}\" ({}) and \"{}\" ({}) never meet",
                            &typed[l.start..l.end],
                            l.years,
                            &typed[d.start..d.end],
                            d.years
                        );
                        let remedy = "write \"or\" between dates of which either will do";
                        return Err(self.error(d.start..d.end, wrong, Some(remedy.into())));
                    }
                    out = narrowed;
                }
            }
            last = Some(d);
        }
        let none = |y: &Years| matches!((y.from, y.to), (Some(a), Some(b)) if a > b);
        if out.iter().any(none) {
            let at = self.dates[0].start..self.dates[self.dates.len() - 1].end;
            let wrong = format!("\"{}\" holds no year", &typed[at.clone()]);
            return Err(self.error(at, wrong, None));
        }
        let said: Vec<String> = self
            .dates
            .iter()
            .filter_map(|d| convention(d, typed))
            .collect();
        self.claim.conventions.extend(said);
        self.claim.years = out;
        Ok(())
    }

    fn standards_together(&mut self) -> Result<(), ClaimError> {
        if self.metals.is_empty() {
            return Ok(());
        }
        let of_metal = |s: &usize| {
            let metal = self.image.standard(*s).metal();
            self.metals.iter().any(|m| METALS[*m] == metal)
        };
        let ids: Vec<String> = (0..self.image.meta(Meta::Standards))
            .filter(of_metal)
            .map(|s| self.image.standard(s).id().to_string())
            .collect();
        if self.claim.standards.is_empty() {
            self.claim.standards = ids;
        } else {
            self.claim.standards.retain(|s| ids.contains(s));
            if self.claim.standards.is_empty() {
                let all = 0..self.pieces.text.typed.len();
                let wrong = "the claim names a standard and another metal".to_string();
                return Err(self.error(all, wrong, None));
            }
        }
        Ok(())
    }

    fn error(&self, at: Range<usize>, wrong: String, remedy: Option<String>) -> ClaimError {
        ClaimError {
            claim: self.pieces.text.typed.to_string(),
            at,
            wrong: format!("the claim cannot be read: {wrong}"),
            remedy: remedy.unwrap_or_else(|| forms(self.image)),
        }
    }
}

/// How the text between two dates joins them.
enum Join {
    /// Either will do.
    Either,
    /// All from the one to the other.
    Through,
    /// The one narrows the other.
    Both,
}

fn between(text: &str) -> Join {
    let words: Vec<String> = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    match words.last().map(String::as_str) {
        Some("or" | "/" | "&") => Join::Either,
        // "between 1780 and 1790" and "1780 and 1790" both run from the one to the other.
        Some("to" | "and" | "until" | "till" | "-" | "\u{2013}" | "\u{2014}" | "..") => {
            Join::Through
        }
        _ => Join::Both,
    }
}

/// A sentence on how a date was taken.
fn convention(d: &Date, typed: &str) -> Option<String> {
    let mut how: Vec<String> = Vec::new();
    if d.dating.third > 0 {
        let part = ["first", "middle", "last"][(d.dating.third - 1) as usize];
        how.push(format!("the {part} third of it"));
    }
    if d.dating.about {
        how.push(format!("{ABOUT} years either side"));
    }
    if d.dating.before || d.dating.after {
        how.push("the year named is not meant".into());
    }
    if let Some(c) = d.convention {
        how.push(c.to_string());
    }
    if d.period && how.is_empty() {
        how.push("first and last year included".into());
    }
    let words = typed[d.start..d.end].trim();
    if d.years.one_letter {
        return Some(format!(
            "\"{words}\" is taken as the one letter of {}.",
            d.years
        ));
    }
    (!how.is_empty()).then(|| format!("\"{words}\" is taken as {}: {}.", d.years, how.join("; ")))
}

/// Forms that work, in the tables' own names.
fn forms(image: &Image) -> String {
    let offices = image.meta(Meta::Offices);
    let reigns = image.meta(Meta::Reigns);
    if offices == 0 {
        return "name an office, a year, a reign or a standard".into();
    }
    let office = |o: usize| image.office(o % offices);
    let year = |o: usize| {
        let (first, last) = office(o).years();
        first.midpoint(last)
    };
    let mut out = vec![
        format!("\"{} {}\"", office(0).name(), year(0)),
        format!("\"about {}\"", year(1) / 10 * 10),
    ];
    if reigns > 0 && image.meta(Meta::Standards) > 0 {
        out.push(format!(
            "\"{}, {}, {}\"",
            office(1).name(),
            image.reign(reigns - 1).name(),
            image.standard(0).name()
        ));
    }
    out.push(format!("\"before {}\"", year(0)));
    format!("these work: {}", out.join("; "))
}
