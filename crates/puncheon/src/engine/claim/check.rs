//! A claim held against the marks: the verdict and its reasons, in the shape that
//! `puncheon.verdict/1` prints.

use std::slice;

use puncheon_schema::entry::Slot;
use puncheon_schema::image::{Image, RowView};
use serde::Serialize;

use crate::engine::cautions::{self, Facts, Use};
use crate::engine::claim::attributed::MakerClaimed;
use crate::engine::claim::claimed::{Claim, Standing};
use crate::engine::claim::warnings::{self, Scene, WarningMet};
use crate::engine::expect;
use crate::engine::fit::answer::Decided;
use crate::engine::fit::letter_year::letter_of;
use crate::engine::fit::lookalikes;
use crate::engine::fit::narrow::{Group, Narrow, Options};
use crate::engine::next;
use crate::engine::place::Place;
use crate::json::reading::{Bearing, Kind, Outcome, OutsideBecause, Reading, Settles};
use crate::lexis::sighting::{Sighting, Sightings, What, slot_name};
use crate::voice;
use crate::voice::bearing::Teller;
use crate::voice::letters::{letter_words, shown, shown_span};

/// The name of the shape of a verdict.
pub const SCHEMA: &str = "puncheon.verdict/1";

/// Answers of a feature that can be told in a sentence.
const MOST_ANSWERS: usize = 4;

/// Years or offices named before the rest is only counted.
const MOST_NAMED: usize = 6;

/// How a claim stands to the marks described.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Ruling {
    /// All that fits the marks lies in the claim.
    Holds,
    /// Some of what fits lies in the claim, or half in it.
    Possible,
    /// Nothing that fits does.
    Fails,
    /// The marks described do not decide it.
    Undecided,
}

/// Which rule decided; they are tried in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Because {
    /// The office was not open then, or the standard did not exist.
    NeverStruck,
    /// A mark that denies a hallmark was described.
    Denied,
    /// Nothing described bears on the claim.
    NothingBears,
    /// The description itself says that the marks do not vouch for the piece.
    MarksInDoubt,
    /// A letter was read, and of what fits in the claim the letter is not known.
    LetterNotKnown,
    /// Nothing fits, or only a metal that no mark shows; with one mark misread something in the claim
    /// would.
    OnlyMisread,
    /// Nothing fits, and nothing in the claim is near.
    NothingFits,
    /// All that fits lies in the claim.
    AllInside,
    /// Some of what fits does.
    SomeInside,
    /// What fits lies outside.
    NoneInside,
}

/// A described mark that cannot be so if the claim is true.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Clash {
    /// Index into the sightings; null for the claim itself.
    pub sighting: Option<usize>,
    /// What was described or claimed.
    pub saw: String,
    /// What it would have to be.
    pub would_be: String,
    /// Where and when it was struck, a sentence.
    pub why: String,
    /// The two are easily taken for each other.
    #[serde(skip)]
    pub easy: bool,
}

/// A mark that the claim asks for and that was not described.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotDescribed {
    /// Its place in the set: "town mark", "duty mark".
    pub mark: String,
    /// How it should look.
    pub looks: String,
    /// Articles on which it is often lacking.
    pub may_lack: Vec<String>,
}

/// An office and letter year of a claim.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Compared {
    /// The office, lower case.
    pub office: String,
    /// The letter year, as the trade writes it.
    pub shown: String,
    /// The office's name, for a reader.
    #[serde(skip)]
    pub office_name: String,
}

/// What becomes of a claim.
#[derive(Clone, Debug, Serialize)]
pub struct Verdict {
    /// Always [`SCHEMA`].
    pub schema: &'static str,
    /// The claim as understood.
    pub claim: Claim,
    /// How it stands.
    pub verdict: Ruling,
    /// The rule that decided.
    pub because: Because,
    /// The office and year of the claim that the marks meet best, which the reasons speak of.
    pub compared: Option<Compared>,
    /// What agrees with the claim.
    pub supports: Vec<Bearing>,
    /// Indices of the fits that lie in the claim.
    pub inside: Vec<usize>,
    /// Indices of the fits that lie half in it.
    pub half: Vec<usize>,
    /// What could agree but asks for an excuse.
    pub strains: Vec<Bearing>,
    /// What cannot be so if the claim is true.
    pub clashes: Vec<Clash>,
    /// What the claim asks for and was not described.
    pub not_described: Vec<NotDescribed>,
    /// How the claim's words were taken, a sentence each.
    pub conventions: Vec<String>,
    /// What to look at to settle it.
    pub settle: Option<Settles>,
    /// The makers that the claim names; they change no verdict.
    pub makers: Vec<MakerClaimed>,
    /// Signs worth a second look.
    pub warnings: Vec<WarningMet>,
    /// Cautions, a sentence or two each.
    pub cautions: Vec<String>,
    /// The marks read without the claim.
    pub reading: Reading,
}

/// What a verdict is made from.
pub(crate) struct Case<'a> {
    pub claim: &'a Claim,
    pub description: &'a str,
    pub seen: &'a Sightings,
    pub options: &'a Options,
    pub decided: &'a Decided<'a>,
    /// The makers that the claim names.
    pub makers: &'a [MakerClaimed],
}

/// A verdict without its reasons.
pub(crate) struct Judged {
    pub verdict: Ruling,
    pub because: Because,
    pub inside: Vec<usize>,
    pub half: Vec<usize>,
    pub warnings: Vec<WarningMet>,
    /// The row of the claim that the marks meet best.
    nearest: Option<usize>,
}

impl Case<'_> {
    fn image(&self) -> &Image {
        self.decided.narrow.image
    }

    /// Decides, in the order of the contract.
    pub fn decide(&self) -> Judged {
        let (image, n, d) = (self.image(), &self.decided.narrow, self.decided);
        let claimed = self.claim.rows(image);
        let (mut inside, mut half) = (Vec::new(), Vec::new());
        for (i, g) in d.fits.iter().enumerate() {
            match self.standing(g) {
                Standing::Inside => inside.push(i),
                Standing::Half => half.push(i),
                Standing::Outside => {}
            }
        }
        let bears = d.outside_because != Some(OutsideBecause::NothingUnderstood)
            && !self.found_on_anything();
        let holds = |row: usize| self.claim.holds(image, image.row(row));
        let (verdict, because) = if claimed.is_empty() {
            (Ruling::Fails, Because::NeverStruck)
        } else if d.raised.iter().any(|r| r.denies) {
            (Ruling::Fails, Because::Denied)
        } else if !bears {
            (Ruling::Undecided, Because::NothingBears)
        } else if d.outcome != Outcome::Fits {
            let near = d.outside_because.is_none() && n.any_near(|g| holds(g.best.row as usize));
            if near {
                (Ruling::Undecided, Because::OnlyMisread)
            } else {
                (Ruling::Fails, Because::NothingFits)
            }
        } else if inside.is_empty()
            && half.is_empty()
            && d.silver_misread.is_some()
            && n.any_near(|g| holds(g.best.row as usize))
        {
            (Ruling::Undecided, Because::OnlyMisread)
        } else if inside.len() == d.fits.len() {
            (Ruling::Holds, Because::AllInside)
        } else if !inside.is_empty() || !half.is_empty() {
            (Ruling::Possible, Because::SomeInside)
        } else {
            (Ruling::Fails, Because::NoneInside)
        };
        let row = |i: &usize| d.fits[*i].best.row as usize;
        // A run stands for many years, of which only some are claimed.
        let half_row = half.first().filter(|i| inside.is_empty() && !d.fits[**i].run);
        let nearest = match half_row {
            Some(i) => Some(row(i)),
            None => n.best_of(claimed.iter().copied()),
        };
        let scene = Scene {
            image,
            claim: self.claim,
            description: self.description,
            seen: self.seen,
            options: self.options,
            decided: d,
            claimed: &claimed,
            best: inside.first().map(row).or(nearest),
            agrees: !inside.is_empty() || !half.is_empty(),
        };
        let warnings = warnings::met_of(&scene, self.makers);
        let (verdict, because) = match verdict {
            Ruling::Holds | Ruling::Possible if warnings.iter().any(|w| w.unsettles) => {
                (Ruling::Undecided, Because::MarksInDoubt)
            }
            // Any letter would do there, so that the one described bears nothing out.
            Ruling::Holds | Ruling::Possible
                if inside.iter().chain(&half).all(|i| d.fits[*i].key.unread) =>
            {
                (Ruling::Undecided, Because::LetterNotKnown)
            }
            _ => (verdict, because),
        };
        Judged { verdict, because, inside, half, warnings, nearest }
    }

    /// Decides and gives the reasons.
    pub fn judge(&self, reading: Reading) -> Verdict {
        let n = &self.decided.narrow;
        let j = self.decide();
        let mut out = Verdict {
            schema: SCHEMA,
            claim: self.claim.clone(),
            verdict: j.verdict,
            because: j.because,
            inside: j.inside,
            half: j.half,
            compared: None,
            supports: Vec::new(),
            strains: Vec::new(),
            clashes: Vec::new(),
            not_described: Vec::new(),
            conventions: voice::claim::conventions(self.image(), self.claim),
            settle: None,
            makers: self.makers.to_vec(),
            warnings: j.warnings,
            cautions: Vec::new(),
            reading,
        };
        let facts = Facts {
            readings: slice::from_ref(&out.reading),
            holds: out.verdict == Ruling::Holds,
            ..Facts::default()
        };
        out.cautions = cautions::foot(self.image(), Use::Check, &facts);
        match j.nearest {
            Some(row) if out.because != Because::NothingBears => self.reasons(n, row, &mut out),
            Some(_) => {}
            None => out.clashes.push(self.never_struck()),
        }
        if out.because == Because::Denied {
            // What bears no hallmark lacks none.
            out.not_described.clear();
            out.compared = out.compared.filter(|_| !self.claim.offices.is_empty());
        }
        if out.verdict == Ruling::Possible {
            out.settle = self.settle(n);
        }
        out
    }

    /// Is there no mark of an office or a standard? A letter alone is then told by the claim's
    /// office, if it names one; a figure beside it is no standard's and tells nothing.
    fn found_on_anything(&self) -> bool {
        let s = &self.seen.sightings;
        lookalikes::nothing_shown(self.image(), s)
            && (self.claim.offices.is_empty()
                || s.iter().any(|x| x.kind(self.image()) == Kind::Fineness))
    }

    fn standing(&self, g: &Group) -> Standing {
        let image = self.image();
        let row = image.row(g.best.row as usize);
        if !self.claim.ware(row) {
            return Standing::Outside;
        }
        let office = row.letter().office();
        let last = letter_of(image, office, g.to);
        self.claim.standing(
            image.office(office).id(),
            image.standard(row.standard()).id(),
            (g.year, g.to),
            last.is_some_and(|l| l.calendar_year()),
        )
    }

    /// What agrees, clashes and is wanting, if the claim is true.
    fn reasons(&self, n: &Narrow, row: usize, out: &mut Verdict) {
        let view = self.image().row(row);
        let office = self.image().office(view.letter().office());
        out.compared = Some(Compared {
            office: office.id().to_string(),
            office_name: office.name().to_string(),
            shown: shown(view.letter(), view.letter().year(), view.letter().to()),
        });
        let bearings = Teller::new(n).bearings(row);
        // A mark that clashes in its style supports nothing by its letter.
        let clashing: Vec<Option<usize>> = bearings.clashes.iter().map(|m| m.sighting).collect();
        let upheld = |list: Vec<Bearing>| -> Vec<Bearing> {
            let clashes = |b: &Bearing| b.sighting.is_some() && clashing.contains(&b.sighting);
            list.into_iter().filter(|b| !clashes(b)).collect()
        };
        out.supports = upheld(bearings.agrees);
        out.strains = upheld(bearings.strains);
        let of_letter = |b: &Bearing| {
            b.sighting.is_some_and(|i| self.seen.sightings[i].kind(self.image()) == Kind::Letter)
        };
        if n.unread(view) {
            let silent = bearings.silent.into_iter().filter(of_letter);
            out.strains.extend(upheld(silent.collect()));
        }
        out.clashes = bearings
            .clashes
            .into_iter()
            .map(|m| Clash {
                sighting: m.sighting,
                why: m.sighting.map_or(String::new(), |i| self.struck_elsewhere(i, view)),
                saw: m.saw,
                would_be: self.in_which_year(m.sighting, m.would_be, view),
                easy: m.easy,
            })
            .collect();
        // What stands against the claim is not wanting as well.
        out.not_described = self.not_described(n, view);
        out.not_described.retain(|d| !out.clashes.iter().any(|c| c.would_be == d.looks));
    }

    /// Where many years are claimed, a letter is asked for by one of them only.
    fn in_which_year(&self, i: Option<usize>, would_be: String, view: RowView) -> String {
        let letter = view.letter();
        let of_letter =
            i.is_some_and(|i| self.seen.sightings[i].kind(self.image()) == Kind::Letter);
        if of_letter && would_be == letter.struck() && !self.one_year_claimed() {
            let year = shown(letter, letter.year(), letter.to());
            return format!("{would_be}, as in {year}");
        }
        would_be
    }

    fn one_year_claimed(&self) -> bool {
        self.claim.years.len() == 1 && matches!(self.claim.span(), (Some(a), Some(b)) if a == b)
    }

    /// When the claimed office, or another, struck what was described.
    fn struck_elsewhere(&self, i: usize, claimed: RowView) -> String {
        let image = self.image();
        let s = &self.seen.sightings[i];
        let claimed_office = claimed.letter().office();
        let office = image.office(claimed_office);
        let one = slice::from_ref(s);
        let own =
            Options { office: Some(Place::office(image, claimed_office)), ..Options::default() };
        let (here, covers) =
            self.struck(&Narrow::new(image, one, &own), s, claimed.letter().year());
        let letter = s.kind(image) == Kind::Letter;
        if covers {
            return format!("struck at {}, but never with the rest of such a set", office.name());
        }
        if !here.is_empty() {
            let verb = if letter { "used" } else { "struck" };
            return format!("{verb} at {} in {}", office.name(), few(&here));
        }
        let n = Narrow::new(image, one, &Options::default());
        let mut offices: Vec<&str> = n
            .group(&n.fits(), (0, 0))
            .iter()
            .filter(|g| self.known(g, s))
            .map(|g| image.office(g.key.office as usize).name())
            .collect();
        offices.sort_unstable();
        offices.dedup();
        if offices.is_empty() {
            "in none of the tables".into()
        } else {
            format!("never struck at {}; struck at {}", office.name(), few(&offices))
        }
    }

    /// Letter years, or runs of them, in which a mark was struck, and whether a year is one of them.
    fn struck(&self, n: &Narrow, s: &Sighting, year: i32) -> (Vec<String>, bool) {
        let mut groups = n.group(&n.fits(), (0, 0));
        groups.retain(|g| self.known(g, s));
        let mut runs: Vec<(i32, i32)> = Vec::new();
        groups.sort_by_key(|g| g.year);
        for g in &groups {
            match runs.last_mut() {
                Some(r) if r.1 + 1 >= g.year => r.1 = r.1.max(g.to),
                _ => runs.push((g.year, g.to)),
            }
        }
        let office = groups.first().map_or(0, |g| g.key.office as usize);
        let covers = runs.iter().any(|r| r.0 <= year && year <= r.1);
        let shown = runs.into_iter().map(|(a, b)| shown_span(self.image(), office, a, b)).collect();
        (shown, covers)
    }

    /// Is the mark known to have been struck, rather than only not known to be another?
    fn known(&self, g: &Group, s: &Sighting) -> bool {
        !matches!(s.what, What::Letter(_))
            || self.image().row(g.best.row as usize).letter().value().is_some()
    }

    /// Marks that should stand in the claimed set and were not described.
    fn not_described(&self, n: &Narrow, view: RowView) -> Vec<NotDescribed> {
        let mut out: Vec<NotDescribed> = n
            .due_unsaid(view)
            .map(|g| {
                let names: Vec<&str> =
                    g.marks().map(|m| self.image().device(m.device()).name()).collect();
                let slot = g.marks().next().map_or(Slot::Special, |m| m.slot());
                NotDescribed {
                    mark: slot_name(slot).to_string(),
                    looks: names.join(" or "),
                    may_lack: expect::omitted(self.image(), view, Some(slot)),
                }
            })
            .collect();
        let said = |kind| self.seen.sightings.iter().any(|s| s.kind(self.image()) == kind);
        if !said(Kind::Letter) && !view.letter().optional() {
            let looks = if self.one_year_claimed() && view.letter().value().is_some() {
                letter_words(self.image(), view)
            } else {
                "a letter of the claimed years".to_string()
            };
            out.push(NotDescribed {
                mark: "date letter".into(),
                looks,
                may_lack: expect::omitted(self.image(), view, None),
            });
        }
        if !said(Kind::Sponsor) {
            out.push(NotDescribed {
                mark: expect::SPONSOR.into(),
                looks: expect::SPONSOR_LOOKS.into(),
                may_lack: Vec::new(),
            });
        }
        out
    }

    /// Nothing of the kind was struck: what the tables hold instead.
    fn never_struck(&self) -> Clash {
        Clash {
            sighting: None,
            saw: self.claim.text.clone(),
            would_be: voice::claim::never_struck(self.image(), self.claim),
            why: String::new(),
            easy: false,
        }
    }

    /// The feature that would best part the claim from what else fits.
    fn settle(&self, n: &Narrow) -> Option<Settles> {
        let groups = n.group(&n.fits(), (0, 0));
        let rows: Vec<usize> = groups.iter().map(|g| g.best.row as usize).collect();
        let inside: Vec<bool> =
            rows.iter().map(|r| self.claim.holds(self.image(), self.image().row(*r))).collect();
        let others = inside.iter().filter(|i| !**i).count();
        // A feature that leaves most of the rest, or has many answers, settles nothing.
        next::settle(n, &rows, &inside)
            .filter(|s| s.others * 2 <= others && s.found.len() <= MOST_ANSWERS)
    }
}

/// The first few, and how many more.
fn few<S: AsRef<str>>(list: &[S]) -> String {
    let named: Vec<&str> = list.iter().take(MOST_NAMED).map(AsRef::as_ref).collect();
    match (list.len() - named.len(), named.split_last()) {
        (0, Some((last, rest))) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        (0, _) => named.join(", "),
        (more, _) => format!("{} and {more} more", named.join(", ")),
    }
}
