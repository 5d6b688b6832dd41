//! The registers of sponsors' marks: the built-in one and a user's own over it, looked through by letters
//! and by names.

use std::collections::HashSet;

use once_cell::sync::OnceCell;
use puncheon_schema::register::{Entry, Register};

use crate::makers::names::{self, Name};
use puncheon_lexis::grammar::initials::Letters;

/// The registers of tables: the built-in one, and a user's own over it.
#[derive(Clone, Debug)]
pub struct Registers {
    /// The topmost first; the last is the built-in one.
    layers: Vec<Layer>,
    /// The names in them, once a name was asked for.
    names: OnceCell<names::Index>,
}

#[derive(Clone, Debug)]
struct Layer {
    register: Register,
    /// Ids that it replaces or takes away below it.
    hides: HashSet<String>,
}

impl Registers {
    /// A register alone.
    pub fn new(base: Register) -> Registers {
        let hides = HashSet::new();
        Registers { layers: vec![Layer { register: base, hides }], names: OnceCell::new() }
    }

    /// Lays a user's own over these, entry by entry; `retired` go.
    pub fn lay(&mut self, own: Register, retired: impl IntoIterator<Item = String>) {
        let mut hides: HashSet<String> = own.iter().map(|e| e.id.to_string()).collect();
        hides.extend(retired);
        let register = own;
        self.layers.insert(0, Layer { register, hides });
        self.names = OnceCell::new();
    }

    /// The names of the makers.
    pub fn index(&self) -> &names::Index {
        self.names.get_or_init(|| names::Index::of(self))
    }

    /// Every mark that nothing hides, with its place: the layer, and its number in it.
    pub fn places(&self) -> impl Iterator<Item = ((usize, usize), Entry<'_>)> {
        self.layers().flat_map(move |(layer, register, _)| {
            let all = register.iter().enumerate();
            all.filter(move |(_, e)| self.shows(layer, e.id)).map(move |(i, e)| ((layer, i), e))
        })
    }

    /// The mark at a place; None where there is no such layer.
    pub fn at(&self, (layer, i): (usize, usize)) -> Option<Entry<'_>> {
        self.layers.get(layer).map(|l| l.register.get(i))
    }

    /// Does a mark of this id stand in them?
    pub fn has(&self, id: &str) -> bool {
        self.iter().any(|(e, _)| e.id == id)
    }

    /// The layers, each with whether it is the user's own.
    fn layers(&self) -> impl Iterator<Item = (usize, &Register, bool)> {
        let last = self.layers.len() - 1;
        let each = self.layers.iter().enumerate();
        each.map(move |(i, l)| (i, &l.register, i < last))
    }

    /// Does nothing above hide it?
    fn shows(&self, layer: usize, id: &str) -> bool {
        self.layers.iter().take(layer).all(|l| !l.hides.contains(id))
    }

    /// Every mark, the user's own first, and whether it is theirs.
    pub fn iter(&self) -> impl Iterator<Item = (Entry<'_>, bool)> {
        self.layers().flat_map(move |(layer, register, own)| {
            let shown = register.iter().filter(move |e| self.shows(layer, e.id));
            shown.map(move |e| (e, own))
        })
    }

    /// How many marks there are.
    pub fn len(&self) -> usize {
        match self.layers.as_slice() {
            [base] => base.register.len(),
            _ => self.iter().count(),
        }
    }

    /// Are there none?
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Marks that letters fit and whose makers have a name, or every mark.
    pub fn found(&self, letters: Option<&Letters>, name: Option<&Name>) -> Vec<Found<'_>> {
        let fits = |e: &Entry| letters.map_or(Some(0), |l| l.fit(e.struck));
        let mut out = Vec::new();
        match (name, letters) {
            (Some(name), _) => {
                let own = self.layers.len() - 1;
                for place in self.index().find(self, name) {
                    let Some(entry) = self.at(place) else { continue };
                    if let Some(others) = fits(&entry) {
                        out.push(Found::of(entry, place.0 < own, others, letters, Some(name)));
                    }
                }
            }
            (None, None) => {
                out.extend(self.iter().map(|(e, own)| Found::of(e, own, 0, None, None)))
            }
            (None, Some(letters)) => {
                for (layer, register, own) in self.layers() {
                    for (i, others) in letters.found(register) {
                        let entry = register.get(i);
                        if self.shows(layer, entry.id) {
                            out.push(Found::of(entry, own, others, Some(letters), None));
                        }
                    }
                }
            }
        }
        out
    }
}

/// A mark of the register that letters fit.
#[derive(Clone, Debug)]
pub struct Found<'r> {
    /// The mark.
    pub entry: Entry<'r>,
    /// It stands in the user's own register.
    pub own: bool,
    /// Doubted letters that would have to be others.
    pub others: u32,
    /// Its letters stand in another order than they were typed in.
    pub turned: bool,
    /// Partners of the one whose name was asked for.
    pub partners: usize,
}

impl<'r> Found<'r> {
    fn of(
        entry: Entry<'r>,
        own: bool,
        others: u32,
        letters: Option<&Letters>,
        name: Option<&Name>,
    ) -> Found<'r> {
        Found {
            // The order never decides what is listed; of equals the mark read so comes first.
            turned: letters.is_some_and(|l| !l.in_order(entry.struck)),
            partners: name.map_or(0, |_| entry.names.len()),
            entry,
            own,
            others,
        }
    }
}
