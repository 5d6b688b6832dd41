//! The sale line and the fuller description, in the order that the trade expects.

use puncheon_schema::entry::Origin;
use puncheon_schema::export;

use crate::engine::fit::answer::shared;
use crate::engine::fit::narrow::Group;
use crate::engine::metal::{Borne, Lack};
use crate::json::reading::Kind;
use crate::lexis::grammar::objects::Item;
use crate::voice::lists::{and, capital, clean, number};
use crate::voice::sentence::sentence;
use crate::voice::wording::ascribed::{Ascribed, ascribed};
use crate::voice::wording::borne::SetRead;
use crate::voice::wording::called::Called;
use crate::voice::wording::sponsor::{consistent_with, sponsor};
use crate::voice::wording::{Asked, Set};

/// One set of marks in a wording.
struct SetWords {
    /// Which pieces or which part bear it, where it is not all: "four", "the cover".
    on: Option<String>,
    ascribed: Ascribed,
    sponsor: Option<String>,
    /// Who it is consistent with, by the register.
    makers: Option<String>,
    /// The piece was marked as brought in from abroad.
    foreign: bool,
    /// What the part lacks to be called of the metal: "unmarked".
    lacks: Option<String>,
}

/// A weight in the words of a wording.
#[derive(Clone)]
pub(super) struct Weighing {
    /// Something is weighed with it that is not of the metal.
    pub gross: bool,
    /// "178.5 g".
    pub grams: String,
    /// "178.5 g (5.739 oz t)".
    pub shown: String,
}

impl Weighing {
    /// In grams and ounces.
    pub fn whole(&self) -> String {
        self.told(&self.shown)
    }

    /// In grams alone.
    pub fn short(&self) -> String {
        self.told(&self.grams)
    }

    fn told(&self, weight: &str) -> String {
        let of = if self.gross { "gross weight " } else { "" };
        format!("{of}{weight}")
    }
}

/// The parts of a wording, in the order that the trade expects.
pub(super) struct Words {
    /// "six", "pair of"; may be empty.
    pub before: String,
    /// The standard's name, or the metal where the marks leave the fineness open.
    pub metal: String,
    /// The metal's plain name.
    pub plain: &'static str,
    pub standard: Option<String>,
    pub item: Called,
    sets: Vec<SetWords>,
    pub size: Option<String>,
    pub weight: Option<Weighing>,
    pub condition: Option<String>,
}

/// What a part of a piece lacks, in words that go on from its name.
fn lack(marks: &Item, set: &SetRead) -> String {
    let struck = set.reading.sightings.iter();
    let struck = struck.filter(|s| s.kind != Kind::Absence);
    let struck: Vec<String> = struck.map(|s| clean(&s.text)).collect();
    let struck = struck.join(", ");
    match set.borne.lack() {
        Some(Lack::Partly) => format!("only partly marked ({struck})"),
        Some(Lack::Unmarked) => "unmarked".into(),
        Some(Lack::Unread) | None => "with marks that were not read".into(),
        Some(Lack::Other) => match marks.beside().first() {
            Some(named) => format!("of {} ({struck})", named.kind.name()),
            None => format!("not hallmarked ({struck})"),
        },
    }
}

/// Was what fits marked as brought in from abroad?
fn foreign(b: &Borne, g: &Group) -> bool {
    b.image().row(g.best.row as usize).origin() == Origin::Foreign
}

impl Words {
    /// The words for a piece some of whose sets bear out a metal; those of `lacking` do not.
    pub fn of(
        asked: &Asked,
        called: (String, Called),
        read: &[SetRead],
        marks: &[Item],
        lacking: &[usize],
        weight: Option<Weighing>,
    ) -> Words {
        let bears = |i: &usize| !lacking.contains(i);
        let borne: Vec<&Borne> = (0..read.len()).filter(bears).map(|i| &read[i].borne).collect();
        let name = |b: &Borne| b.standard.map(|s| b.image().standard(s).name().to_string());
        let standard = shared(borne.iter().map(|b| b.standard)).and(borne.first());
        let standard = standard.and_then(|b| name(b));
        let plain = borne.first().and_then(|b| b.metal).map(export::metal).unwrap_or_default();
        let several = asked.sets.iter().filter(|s| s.part.is_none()).count() > 1;
        let on = |s: &Set| match &s.part {
            Some(part) => Some(format!("the {part}")),
            None => several.then(|| number(s.pieces.unwrap_or(1) as usize)),
        };
        let sets = asked.sets.iter().zip(read).zip(marks).enumerate();
        let sets = sets.map(|(i, ((s, set), marks))| SetWords {
            on: on(s),
            ascribed: ascribed(&set.borne),
            sponsor: sponsor(marks, &set.reading),
            makers: consistent_with(&set.reading),
            foreign: set.borne.spoken_of().all(|g| foreign(&set.borne, g)),
            lacks: lacking.contains(&i).then(|| lack(marks, set)),
        });
        let (before, item) = called;
        Words {
            before,
            item,
            metal: standard.clone().unwrap_or_else(|| plain.to_string()),
            plain,
            standard,
            sets: sets.collect(),
            size: asked.size.clone(),
            weight,
            condition: asked.condition.clone(),
        }
    }

    /// "Six sterling silver teaspoons"; "Tankard, sterling silver except for the cover".
    pub fn head(&self, metal: &str, item: &str) -> String {
        let lacking = self.sets.iter().filter(|s| s.lacks.is_some());
        let lacking: Vec<String> = lacking.filter_map(|s| s.on.clone()).collect();
        let words = match lacking.is_empty() {
            true => vec![self.before.as_str(), metal, item],
            false => vec![self.before.as_str(), item],
        };
        let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
        let head = capital(&words.join(" "));
        match lacking.is_empty() {
            true => head,
            false => format!("{head}, {metal} except for {}", and(&lacking)),
        }
    }

    /// The sets that bear out the metal.
    fn borne(&self) -> impl Iterator<Item = &SetWords> {
        self.sets.iter().filter(|s| s.lacks.is_none())
    }

    /// Offices and years, set by set: "four London 1803/04, two 1810/11".
    pub fn ascribed(&self) -> String {
        let mut out: Vec<String> = Vec::new();
        let mut last: Option<&String> = None;
        for set in self.borne() {
            let a = &set.ascribed;
            let mut words = match (&a.office, &a.year) {
                (Some(office), Some(year)) if last == Some(office) => year.clone(),
                _ => a.phrase.clone(),
            };
            if words.is_empty() && set.on.is_some() {
                words = "of an office and year not settled".into();
            } else if set.foreign {
                let comma = if words.is_empty() { "" } else { ", " };
                words = format!("{words}{comma}marked as imported");
            }
            if let Some(on) = &set.on {
                words = format!("{on} {words}");
            }
            let own = set.sponsor.as_ref().filter(|_| self.sponsor().is_none());
            if let Some(s) = own {
                words = format!("{words} (sponsor's mark {s})");
            }
            last = a.office.as_ref();
            out.push(words);
        }
        out.retain(|w| !w.is_empty());
        out.join(", ")
    }

    /// The parts that bear out nothing, each with what it lacks.
    fn lacking(&self) -> Vec<String> {
        let parts = self.sets.iter();
        let told = |s: &SetWords| Some(format!("{} {}", s.on.as_ref()?, s.lacks.as_ref()?));
        parts.filter_map(told).collect()
    }

    /// The sponsor's mark, if all sets share it.
    pub fn sponsor(&self) -> Option<&String> {
        shared(self.borne().map(|s| s.sponsor.as_ref())).flatten()
    }

    /// The sponsors' marks in sentences, with whom they are consistent with.
    fn sponsors(&self) -> Vec<String> {
        let struck: Vec<&SetWords> = self.borne().filter(|s| s.sponsor.is_some()).collect();
        let one = shared(struck.iter().map(|s| (&s.sponsor, &s.makers))).is_some();
        let told = struck.iter().map(|set| {
            let on = set.on.as_ref().filter(|_| !one);
            let on = on.map_or(String::new(), |on| format!(" on {on}"));
            let makers = set.makers.as_ref();
            let makers = makers.map_or(String::new(), |m| format!(", {m}"));
            let mark = set.sponsor.as_deref().unwrap_or_default();
            format!("Sponsor's mark{on}: {mark}{makers}")
        });
        told.take(if one { 1 } else { usize::MAX }).collect()
    }

    pub fn line(&self) -> String {
        let sponsor = self.sponsor().map(|s| format!("sponsor's mark {s}"));
        let mut parts =
            vec![Some(self.head(&self.metal, &self.item.text)), Some(self.ascribed()), sponsor];
        parts.extend(self.lacking().into_iter().map(Some));
        let weight = self.weight.as_ref().map(Weighing::whole);
        parts.extend([self.size.clone(), weight, self.condition.clone()]);
        let parts: Vec<String> = parts.into_iter().flatten().filter(|p| !p.is_empty()).collect();
        parts.join(", ")
    }

    pub fn paragraph(&self, read: &[SetRead]) -> String {
        let several = self.sets.len() > 1;
        let head = self.head(&self.metal, &self.item.text);
        let mut out = vec![match self.ascribed().as_str() {
            "" => head,
            ascribed if several => format!("{head}: {ascribed}"),
            ascribed => format!("{head}, {ascribed}"),
        }];
        for (set, told) in self.sets.iter().zip(read) {
            if let (Some(on), Some(lacks)) = (&set.on, &set.lacks) {
                let on = capital(on);
                out.push(format!("{on}: {lacks}, and not called {}", self.plain));
                continue;
            }
            let marks = told.reading.sightings.iter();
            let marks = marks.filter(|s| s.kind != Kind::Sponsor);
            let marks: Vec<String> = marks.map(|s| clean(&s.text)).collect();
            let on = set.on.as_ref().map_or(String::new(), |on| format!(" on {on}"));
            out.push(format!("Marks{on}: {}", marks.join(", ")));
            out.extend(set.ascribed.doubt.clone());
        }
        out.extend(self.sponsors());
        let mut measured: Vec<String> = Vec::new();
        measured.extend(self.size.clone());
        measured.extend(self.weight.as_ref().map(|w| match w.gross {
            true => w.whole(),
            false => format!("weight {}", w.whole()),
        }));
        if !measured.is_empty() {
            out.push(measured.join(", "));
        }
        out.extend(self.condition.as_ref().map(|c| format!("Condition: {c}")));
        out.push("Described from the marks as seen, not assayed".into());
        out.into_iter().map(sentence).collect::<Vec<_>>().join(" ")
    }
}
