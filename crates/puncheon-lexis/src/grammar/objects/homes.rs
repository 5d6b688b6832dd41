//! What became of every byte of an item.

use std::collections::BTreeMap;
use std::ops::Range;

use puncheon_schema::image::Sense;

use super::own::Is as OwnIs;
use super::{Item, Who};
use crate::phrase::Is;
use crate::sighting::{Sighting, What};
use crate::steps;
use crate::tree::{Aside, Fate, Tree, Use};

impl Item<'_, '_> {
    /// Offices and dates that are stated, as bytes of the text.
    fn claims(&self) -> impl Iterator<Item = (Range<usize>, Fate)> {
        let town = |s: &Sighting| {
            matches!(s.what, What::Town(_)).then_some((s.start..s.end, Fate::Used(Use::Place)))
        };
        let dated = self.seen.claimed.iter();
        let dated = dated.map(|c| (c.start..c.end, Fate::Used(Use::Date)));
        dated.chain(self.seen.sightings.iter().filter_map(town))
    }

    /// The tree of it. Where two phrases would share a byte, what is to be borne out by marks goes first.
    pub fn tree(&self) -> Tree {
        let mut found: Vec<(Range<usize>, Fate)> = Vec::new();
        let boasts = self.boasts().iter();
        found.extend(boasts.map(|(_, _, at)| (at.clone(), Fate::Used(Use::Boast))));
        found.extend(self.attributed().into_iter().map(|(who, at, _)| match who {
            Who::Maker => (at, Fate::Used(Use::Name)),
            Who::Another => (at, Fate::Aside(Aside::Person)),
        }));
        found.extend(self.claims());
        let beside = self.beside().iter();
        found.extend(beside.map(|n| (n.at.clone(), Fate::Used(Use::Beside))));
        found.extend(self.metals().into_iter().map(|m| (m.at, Fate::Used(Use::Standard))));
        found.extend(self.count().map(|c| (c.at, Fate::Used(Use::Object))));
        found.extend(self.own.iter().filter_map(|o| match o.is {
            OwnIs::Word(_) => Some((o.at.clone(), Fate::Aside(Aside::Joining))),
            _ => None,
        }));
        found.extend(self.pieces.pieces.iter().map(|p| (p.start..p.end, plain(p.what))));
        let words = self.words().map(|(at, _)| (at, Fate::Used(Use::Object)));
        found.extend(words);
        let mut taken: BTreeMap<usize, (usize, Fate)> = BTreeMap::new();
        for (at, fate) in found {
            steps::take(1);
            let before = taken.range(..at.end).next_back();
            if !at.is_empty() && before.is_none_or(|(_, (end, _))| *end <= at.start) {
                taken.insert(at.start, (at.end, fate));
            }
        }
        let told = taken.into_iter().map(|(start, (end, fate))| (start..end, fate));
        Tree::over(self.text(), told)
    }
}

/// What a piece of any description is in an item: words that it does not know name the thing as well.
fn plain(what: Is) -> Fate {
    match what {
        Is::Sense(Sense::And | Sense::In | Sense::Filler | Sense::Article) => {
            Fate::Aside(Aside::Joining)
        }
        Is::Sense(Sense::Style) => Fate::Aside(Aside::Style),
        Is::Sense(Sense::Engraved) => Fate::Aside(Aside::Engraved),
        Is::Sense(Sense::Unit | Sense::Numbered) | Is::Measure | Is::Number => {
            Fate::Aside(Aside::Measure)
        }
        _ => Fate::Used(Use::Object),
    }
}
