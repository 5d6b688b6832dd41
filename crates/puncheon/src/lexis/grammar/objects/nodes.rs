//! An item as a row of nodes that lie side by side and cover it: each byte belongs to one.

use std::collections::BTreeMap;
use std::ops::Range;

use puncheon_schema::image::Sense;

use super::own::Is as OwnIs;
use super::{Item, Who};
use crate::lexis::phrase::Is;
use crate::lexis::sighting::{Sighting, What};

/// What the words of a node are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// How many there are.
    Count,
    /// A metal or a standard, to be borne out.
    Metal,
    /// What is not the metal, said of the piece itself or of a part.
    Beside { whole: bool },
    /// What marks do not tell, to be borne out.
    Boast,
    /// An office or a date, to be borne out.
    Claim,
    /// Whoever is named.
    Name(Who),
    /// What joins, points or relates.
    Joining,
    /// An article or a part of one.
    Thing,
    /// What the vocabulary knows, and what says nothing of metal, place or time.
    Word,
    /// What the vocabulary does not know.
    Unknown,
}

/// What becomes of the words of a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Home {
    /// They count, name or speak of the piece.
    Used,
    /// They say nothing that marks could bear out.
    SetAside,
    /// They are worded only where the marks bear them out.
    ToBeBorne,
}

impl Kind {
    pub fn home(self) -> Home {
        match self {
            Kind::Metal | Kind::Boast | Kind::Claim | Kind::Name(Who::Maker) => Home::ToBeBorne,
            Kind::Beside { whole: true } => Home::ToBeBorne,
            Kind::Count | Kind::Thing | Kind::Beside { whole: false } | Kind::Joining => Home::Used,
            Kind::Name(Who::Another) | Kind::Word | Kind::Unknown => Home::SetAside,
        }
    }
}

/// Words of an item, up to where the next begin.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub at: Range<usize>,
    pub kind: Kind,
}

impl Item<'_, '_> {
    /// Offices and dates that are stated, as bytes of the text.
    pub fn claims(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        let town = |s: &Sighting| matches!(s.what, What::Town(_)).then_some(s.start..s.end);
        let dated = self.seen.claimed.iter().map(|c| c.start..c.end);
        dated.chain(self.seen.sightings.iter().filter_map(town))
    }

    /// The nodes in order. Where two would overlap, what is to be borne out goes first.
    pub fn nodes(&self) -> Vec<Node> {
        let mut found: Vec<(Range<usize>, Kind)> = Vec::new();
        let boasts = self.boasts().iter().map(|(_, _, at)| (at.clone(), Kind::Boast));
        found.extend(boasts);
        found.extend(self.attributed().into_iter().map(|(who, at, _)| (at, Kind::Name(who))));
        found.extend(self.claims().map(|at| (at, Kind::Claim)));
        let beside = self.beside().iter();
        found.extend(beside.map(|n| (n.at.clone(), Kind::Beside { whole: n.whole })));
        found.extend(self.metals().into_iter().map(|m| (m.at, Kind::Metal)));
        found.extend(self.count().map(|c| (c.at, Kind::Count)));
        found.extend(self.own.iter().filter_map(|o| match o.is {
            OwnIs::Word(_) => Some((o.at.clone(), Kind::Joining)),
            _ => None,
        }));
        found.extend(self.pieces.pieces.iter().map(|p| (p.start..p.end, plain(p.what))));
        let tokens = self.pieces.text.tokens.iter();
        found.extend(tokens.map(|t| (t.start..t.end, Kind::Word)));
        let mut taken: BTreeMap<usize, (usize, Kind)> = BTreeMap::new();
        for (at, kind) in found {
            let before = taken.range(..at.end).next_back();
            if !at.is_empty() && before.is_none_or(|(_, (end, _))| *end <= at.start) {
                taken.insert(at.start, (at.end, kind));
            }
        }
        let mut out: Vec<Node> = Vec::with_capacity(taken.len());
        for (start, (_, kind)) in taken {
            let start = if out.is_empty() { 0 } else { start };
            if let Some(last) = out.last_mut() {
                last.at.end = start;
            }
            out.push(Node { at: start..self.text().len(), kind });
        }
        out
    }
}

fn plain(what: Is) -> Kind {
    match what {
        Is::Unknown => Kind::Unknown,
        Is::Sense(Sense::Part | Sense::Aside) => Kind::Thing,
        Is::Sense(Sense::And | Sense::In | Sense::Filler | Sense::Article) => Kind::Joining,
        _ => Kind::Word,
    }
}
