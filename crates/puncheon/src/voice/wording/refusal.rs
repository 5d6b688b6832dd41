//! Why a piece is not described as of a precious metal, and what can be said instead.

use std::ops::Range;

use puncheon_schema::image::Image;

use crate::engine::claim::item::{Bearing, Excess, LeftOpen, Where, Why, held_against, unborne};
use crate::engine::fit::narrow::Options;
use crate::json::reading::Kind;
use crate::lexis::grammar::objects::Item;
use crate::tables::Tables;
use crate::voice::lists::{capital, clean};
use crate::voice::wording::borne::SetRead;
use crate::voice::wording::called::{Counted, noun};
use crate::voice::wording::line::Weighing;
use crate::voice::wording::{Asked, Because, NotBorne, borne};

/// What is stated, text by text, as it was read.
pub(super) struct Stated<'a, 'i, 'w> {
    pub item: &'a Item<'i, 'w>,
    pub size: Option<&'a Item<'i, 'w>>,
    pub condition: Option<&'a Item<'i, 'w>>,
    /// All of them, and the weight, in the order in which they were asked.
    pub all: &'a [Item<'i, 'w>],
    /// How many pieces the item is.
    pub counted: &'a Counted,
}

impl<'a, 'i, 'w> Stated<'a, 'i, 'w> {
    /// Texts in the order of the item, the weight, the size and the condition, as far as they were given.
    pub fn of(asked: &Asked, all: &'a [Item<'i, 'w>], counted: &'a Counted) -> Stated<'a, 'i, 'w> {
        let size = 1 + usize::from(asked.weight.is_some());
        let condition = size + usize::from(asked.size.is_some());
        Stated {
            item: &all[0],
            size: asked.size.as_ref().and(all.get(size)),
            condition: asked.condition.as_ref().and(all.get(condition)),
            all,
            counted,
        }
    }
}

/// Why no metal may be named, by the marks or by what is stated beside them.
pub(super) fn refusal(
    tables: &Tables,
    asked: &Asked,
    stated: &Stated,
    read: &[SetRead],
    lacking: &[usize],
    options: &Options,
    notes: &mut Vec<String>,
) -> Option<NotBorne> {
    let image = tables.image();
    let sets: Vec<Bearing> = (0..read.len())
        .filter(|i| !lacking.contains(i))
        .map(|set| Bearing { set, borne: &read[set].borne })
        .collect();
    by_marks(read, &sets).or_else(|| by_metal(image, asked, stated, &sets, lacking)).or_else(|| {
        let texts = [
            Some((Where::Item, stated.item)),
            stated.size.map(|t| (Where::Size, t)),
            stated.condition.map(|t| (Where::Condition, t)),
        ];
        let texts: Vec<(Where, &Item)> = texts.into_iter().flatten().collect();
        let mut open = Vec::new();
        let excess = held_against(tables.registers(), &texts, &sets, options, &mut open);
        notes.extend(open.iter().map(left_open));
        notes.dedup();
        excess.map(|e| too_much(image, &e))
    })
}

/// What the marks themselves do not bear out.
fn by_marks(read: &[SetRead], sets: &[Bearing]) -> Option<NotBorne> {
    let not = |why: String, set: Option<usize>| {
        Some(NotBorne { because: Because::Marks, why, set, remedy: None })
    };
    let Some(first) = sets.first() else {
        return not("No marks were described.".into(), None);
    };
    for s in sets {
        if let Some(why) = borne::refused(s.borne, &read[s.set].reading) {
            return not(why, Some(s.set));
        }
    }
    if sets.iter().any(|s| s.borne.metal != first.borne.metal) {
        return not(
            "The sets of marks are of different metals; describe those pieces apart.".into(),
            None,
        );
    }
    None
}

/// A metal or a standard that is stated and not borne out.
fn by_metal(
    image: &Image,
    asked: &Asked,
    stated: &Stated,
    sets: &[Bearing],
    lacking: &[usize],
) -> Option<NotBorne> {
    let not = |why: String, set: Option<usize>, remedy: String| {
        Some(NotBorne { because: Because::Metal, why, set, remedy: Some(remedy) })
    };
    let first = sets.first()?.borne;
    let metal = first.metal;
    if let Some(barred) = stated.all.iter().find_map(|t| t.bars(metal)) {
        let (why, remedy) = borne::not_metal(image, &barred);
        return not(why, None, remedy);
    }
    if let Some(word) = stated.all.iter().find_map(|t| unborne(t, metal)) {
        return not(
            format!("What is stated says \"{word}\", and the marks do not bear it out."),
            None,
            format!("Leave \"{word}\" out, or describe the marks that show it."),
        );
    }
    // Of a piece whose parts are not all borne out no more than its head may name the metal.
    let set = *lacking.first()?;
    let item = stated.item;
    let rest: Range<usize> = noun(item, stated.counted, Some(first))..item.text().len();
    if !item.names_metal(&rest) {
        return None;
    }
    let part = asked.sets[set].part.as_deref().unwrap_or_default();
    let rest = item.said(&rest);
    not(
        format!(
            "The item names a metal in \"{rest}\", and the marks do not bear it out for the {part}."
        ),
        Some(set),
        "Name the piece without a metal; the marks say which of its parts are of it.".into(),
    )
}

fn place(w: Where) -> &'static str {
    match w {
        Where::Item => "item",
        Where::Size => "size",
        Where::Condition => "condition",
    }
}

/// What is stated and is more than the marks bear out, in words.
fn too_much(image: &Image, e: &Excess) -> NotBorne {
    let (why, remedy) = match e.why {
        Why::Boast(b) => (format!(". {}", image.boast(b).why()), "."),
        Why::Maker => (
            ", and letters struck by a maker prove no name.".to_string(),
            "; the sponsor's mark is told as it is struck.",
        ),
        Why::SpokenAgainst => (
            ", and the marks speak against it.".to_string(),
            match e.place {
                Where::Item => {
                    " of the item; what was done to the piece later belongs to its condition."
                }
                _ => ", or say what was done to the piece then.",
            },
        ),
    };
    let said = &e.said;
    NotBorne {
        because: Because::Claim,
        why: format!("The {} says \"{said}\"{why}", place(e.place)),
        set: e.set,
        remedy: Some(format!("Leave \"{said}\" out{remedy}")),
    }
}

fn left_open(open: &LeftOpen) -> String {
    match open {
        LeftOpen::Claim { place: w, said } => {
            format!("The {} says \"{said}\", which the marks alone do not settle.", place(*w))
        }
        LeftOpen::Name(name) => {
            format!("The item names \"{name}\", which no mark that was described bears out.")
        }
    }
}

/// What the marks leave open, for the seller.
pub(super) fn open<'b>(read: impl Iterator<Item = &'b SetRead<'b>>) -> Vec<String> {
    let mut out = Vec::new();
    for SetRead { borne: b, reading } in read {
        out.extend(borne::other_metals(b));
        out.extend(borne::beside(reading));
        if b.standard.is_none() {
            out.push("The marks leave the fineness open, so none is named.".into());
        }
    }
    out.dedup();
    out
}

/// A line that names no metal.
pub(super) fn instead(
    asked: &Asked,
    stated: &Stated,
    weighed: Option<Weighing>,
    read: &[SetRead],
    marks: &[Item],
) -> Option<String> {
    if stated.all.iter().any(|t| unborne(t, None).is_some()) {
        return None;
    }
    let mut parts = vec![asked.item.clone()];
    parts.extend(asked.size.clone());
    parts.extend(weighed.map(|w| w.whole()));
    parts.extend(asked.condition.clone());
    let mut struck: Vec<String> = Vec::new();
    for (set, marks) in read.iter().zip(marks) {
        let seen = set.reading.sightings.iter().filter(|s| s.kind != Kind::Absence);
        let seen = seen.filter(|s| !marks.names_metal(&(s.start..s.end)));
        struck.extend(seen.map(|s| format!("\"{}\"", clean(&s.text))));
    }
    if !struck.is_empty() {
        parts.push(format!("struck {}", struck.join(", ")));
    }
    Some(capital(&parts.join(", ")))
}
