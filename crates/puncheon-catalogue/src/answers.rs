//! What is said of a row: worked out, or remembered by its words or by its marks.

use std::sync::Arc;

use puncheon::reading::{Outcome, RemarkKind, Sure};
use puncheon::schema::entry::{Basis, Confidence};
use puncheon::sponsors::{self, Left, Makers};
use puncheon::wording;
use puncheon::{Claim, Ruling, Sightings};

use crate::columns::{Column, SEPARATOR, Stated};
use crate::memory::{Memory, Remembered};
use crate::settings::Enricher;
use crate::split::{self, Dialect};
use crate::summary::{At, Row, Tally};

/// Bytes of answers that are remembered by the words of a row, by its marks, and of makers by the words
/// that tell their letters; each with what one of them commonly takes.
const BY_WORDS: (usize, usize) = (6 << 20, 900);
const BY_MARKS: (usize, usize) = (27 << 20, 500);
const BY_LETTERS: (usize, usize) = (1 << 20, 1024);

/// How added cells are written.
pub(crate) enum Form<'h> {
    /// Behind a delimiter each.
    Delimited(Dialect),
    /// As fields of an object, by their names.
    Fields(&'h [String]),
}

/// Answers to the rows of one catalogue.
pub(crate) struct Answers<'e> {
    enricher: &'e Enricher<'e>,
    form: Form<'e>,
    same_words: Memory<Answer>,
    /// Without what depends on the words.
    same_marks: Memory<Told>,
    same_letters: Memory<Makers<'e>>,
}

/// What a set of marks comes to.
struct Told {
    /// The added cells as they are written, but for those that depend on the words.
    cells: Box<[u8]>,
    /// Where those stand: the byte, and the number of the column.
    own: Box<[(usize, usize)]>,
    /// What the marks leave, for the makers of the row.
    left: Left,
    outcome: Outcome,
    stated: Option<Stated>,
    best: Box<str>,
    sure: Option<Sure>,
}

/// What a row comes to.
pub(crate) struct Answer {
    /// The added cells as they are written.
    pub cells: Box<[u8]>,
    told: Arc<Told>,
    words: Vec<String>,
}

impl Remembered for Answer {
    fn beside(&self) -> usize {
        // What the marks come to lies here once more at the most.
        let words: usize = self.words.iter().map(|w| size_of::<String>() + w.len()).sum();
        self.cells.len() + words + size_of::<Told>() + self.told.beside()
    }
}

impl Remembered for Told {
    fn beside(&self) -> usize {
        self.cells.len() + size_of_val(&self.own[..]) + self.left.bytes() + self.best.len()
    }
}

impl Remembered for Makers<'_> {
    fn beside(&self) -> usize {
        self.bytes()
    }
}

/// A cell to be written.
enum Cell<'c> {
    /// What stands in it.
    Text(&'c str),
    /// It depends on the words, and not on the marks alone.
    Own(Column),
}

impl<'e> Answers<'e> {
    pub fn new(enricher: &'e Enricher, form: Form<'e>) -> Answers<'e> {
        Answers {
            enricher,
            form,
            same_words: Memory::new(BY_WORDS.0, BY_WORDS.1).of_repeats(),
            same_marks: Memory::new(BY_MARKS.0, BY_MARKS.1),
            same_letters: Memory::new(BY_LETTERS.0, BY_LETTERS.1),
        }
    }

    /// The cells of one row, in order.
    pub fn cells(enricher: &Enricher, marks: &str, stated: &str) -> Vec<String> {
        let seen = puncheon::sightings(enricher.tables, marks);
        let (mut out, mut wanting) = (Vec::new(), Vec::new());
        let told = told(enricher, marks, &seen, stated, |cell| match cell {
            Cell::Text(s) => out.push(s.to_string()),
            Cell::Own(column) => {
                wanting.push((out.len(), column));
                out.push(String::new());
            }
        });
        for (at, column) in wanting {
            let makers = |words: &str| Arc::new(Makers::of(enricher.tables, words));
            out[at] = own(enricher, column, marks, &seen, &told.left, makers);
        }
        out
    }

    /// Answers a row and counts it. `asked` is room for what is asked, used again for each row.
    pub fn answer(
        &self,
        marks: &[u8],
        stated: &[u8],
        asked: &mut Vec<u8>,
        tally: &mut Tally,
        at: At,
    ) -> Arc<Answer> {
        asked.clear();
        asked.extend_from_slice(marks);
        asked.extend_from_slice(stated);
        // Where the one ends and the other begins.
        asked.extend_from_slice(&stated.len().to_le_bytes());
        let (answer, repeated) = self.same_words.answer(asked, || {
            let text = |bytes| String::from_utf8_lossy(bytes);
            let (answer, same) = self.work_out(&text(marks), &text(stated));
            tally.sum.same_marks += u64::from(same);
            answer
        });
        tally.sum.repeated += u64::from(repeated);
        let t = &answer.told;
        let counted = Row {
            outcome: t.outcome,
            stated: t.stated,
            best: &t.best,
            sure: t.sure,
            words: &answer.words,
        };
        tally.count(&counted, at, marks, stated);
        answer
    }

    /// Answers a row whose words were not seen before; and whether its marks were.
    fn work_out(&self, marks: &str, stated: &str) -> (Answer, bool) {
        let seen = puncheon::sightings(self.enricher.tables, marks);
        let work_out = || self.told(marks, &seen, stated);
        // A claim's warnings look at the words; a whole reading and a wording repeat them.
        let of_words = self.enricher.detail || self.enricher.words_a_sale();
        let (told, same) = if Claim::states_nothing(self.enricher.tables, stated) && !of_words {
            self.same_marks.answer(&seen.signature(), work_out)
        } else {
            (Arc::new(work_out()), false)
        };
        let words = not_understood(&seen, marks);
        let mut cells = Vec::with_capacity(told.cells.len() + 16);
        let mut done = 0;
        for (at, column) in &told.own {
            cells.extend_from_slice(&told.cells[done..*at]);
            let which = self.enricher.columns[*column];
            let makers = |words: &str| {
                let look = || Makers::of(self.enricher.tables, words);
                self.same_letters.answer(words.as_bytes(), look).0
            };
            let cell = own(self.enricher, which, marks, &seen, &told.left, makers);
            self.push(*column, &cell, &mut cells);
            done = *at;
        }
        cells.extend_from_slice(&told.cells[done..]);
        let words = words.iter().map(|w| w.to_lowercase()).collect();
        let answer = Answer { cells: cells.into(), told, words };
        (answer, same)
    }

    fn told(&self, marks: &str, seen: &Sightings, stated: &str) -> Told {
        let (mut cells, mut own, mut column) = (Vec::with_capacity(192), Vec::new(), 0);
        let told = told(self.enricher, marks, seen, stated, |cell| {
            match cell {
                Cell::Text(s) => self.push(column, s, &mut cells),
                Cell::Own(_) => own.push((cells.len(), column)),
            }
            column += 1;
        });
        Told { cells: cells.into(), own: own.into(), ..told }
    }

    /// Appends the cell of an added column.
    fn push(&self, column: usize, cell: &str, out: &mut Vec<u8>) {
        match &self.form {
            Form::Delimited(d) => {
                out.push(d.delimiter);
                split::push(out, cell.as_bytes(), *d);
            }
            Form::Fields(names) => {
                // Values that are text are written as such; writing to memory does not fail.
                let json = |s: &str| serde_json::to_vec(s).unwrap_or_default();
                let name = &names[column];
                out.push(b',');
                out.extend_from_slice(&json(name));
                out.push(b':');
                let e = self.enricher;
                let number = e.columns.get(column).is_some_and(|c| c.is_number())
                    && cell.parse::<i64>().is_ok();
                let reading = e.detail && column + 1 == names.len();
                match cell {
                    "" => out.extend_from_slice(b"null"),
                    plain if number || reading => out.extend_from_slice(plain.as_bytes()),
                    text => out.extend_from_slice(&json(text)),
                }
            }
        }
    }
}

/// The words of a description that were not understood.
fn not_understood<'d>(seen: &Sightings, marks: &'d str) -> Vec<&'d str> {
    seen.remarks
        .iter()
        .filter(|r| r.remark == RemarkKind::NotUnderstood)
        .map(|r| &marks[r.start..r.end])
        .collect()
}

/// A cell that depends on the words of a row, and not on its marks alone. `makers` finds the marks of
/// the register by words that tell letters.
fn own<'t>(
    enricher: &Enricher,
    column: Column,
    marks: &str,
    seen: &Sightings,
    left: &Left,
    makers: impl Fn(&str) -> Arc<Makers<'t>>,
) -> String {
    match column {
        Column::Sponsors => {
            let told = sponsors::words(enricher.tables, seen);
            let mut who: Vec<String> = Vec::new();
            for name in told.into_iter().flat_map(|(_, w)| makers(w).who(enricher.tables, left)) {
                if !who.contains(&name) {
                    who.push(name);
                }
            }
            who.join(SEPARATOR)
        }
        _ => not_understood(seen, marks).join(SEPARATOR),
    }
}

/// Works out what a row comes to; `each` takes its cells in the order of [`Enricher::added`].
fn told(
    enricher: &Enricher,
    marks: &str,
    seen: &Sightings,
    stated: &str,
    mut each: impl FnMut(Cell),
) -> Told {
    let (tables, options) = (enricher.tables, &enricher.options);
    let claim =
        (!Claim::states_nothing(tables, stated)).then(|| Claim::read(tables, stated.trim()));
    let readable = claim.as_ref().and_then(|c| c.as_ref().ok());
    // They are of these tables and these marks, or else are made anew.
    let mut g = puncheon::gist_sightings(tables, seen, readable, options)
        .unwrap_or_else(|_| puncheon::gist(tables, marks, readable, options));
    let verdict = match &claim {
        Some(Err(e)) if e.impossible => Some(Stated::Read(Ruling::Fails)),
        Some(Err(_)) => Some(Stated::Unreadable),
        _ => g.verdict.map(Stated::Read),
    };
    let wording = enricher.words_a_sale().then(|| wording::in_short(tables, marks, options));
    let mut cell = String::new();
    for c in &enricher.columns {
        cell.clear();
        match c {
            Column::NotUnderstood | Column::Sponsors => {
                each(Cell::Own(*c));
                continue;
            }
            Column::Verdict => cell.push_str(verdict.map_or("", Stated::word)),
            Column::Wording | Column::NotWorded => match &wording {
                Some(Ok(line)) if *c == Column::Wording => cell.push_str(line),
                Some(Err(why)) if *c == Column::NotWorded => cell.push_str(why),
                _ => {}
            },
            c => c.write(&g, &mut cell),
        }
        enricher.terms.apply(&mut cell);
        each(Cell::Text(&cell));
    }
    if enricher.stamp {
        each(Cell::Text(concat!("puncheon ", env!("CARGO_PKG_VERSION"))));
        each(Cell::Text(tables.version()));
        each(Cell::Text(&note(&g)));
    }
    if enricher.detail {
        let reading = puncheon::read_sightings(tables, seen, options)
            .unwrap_or_else(|_| puncheon::read(tables, marks, options));
        each(Cell::Text(&serde_json::to_string(&reading).unwrap_or_default()));
    }
    Told {
        cells: Box::default(),
        own: Box::default(),
        left: std::mem::take(&mut g.left),
        outcome: g.outcome,
        stated: verdict,
        best: g.best.as_ref().map_or(String::new(), |b| format!("{} {}", b.0, b.1)).into(),
        sure: g.sure,
    }
}

/// A sentence for the record, with its basis.
fn note(g: &puncheon::Gist) -> String {
    let (Some((_, shown)), Some(office)) = (&g.best, g.best_name) else {
        return "Nothing fits the marks as described.".into();
    };
    let best = match (g.fits, g.years) {
        (0 | 1, _) | (_, None) => format!("{office} {shown}"),
        // One name alone would be taken for the answer.
        (n, Some((from, to))) if from == to => {
            format!("{n} fit, all of {from}, such as {office} {shown}")
        }
        (n, Some((from, to))) => {
            format!("{n} fit, from {from} to {to}, such as {office} {shown}")
        }
    };
    format!(
        "Read from a description of the marks, not from the piece: {best}; the tables rest on {} here, of {} confidence.",
        match g.basis {
            Some(Basis::Memory) => "memory",
            Some(Basis::Published) => "published sources",
            _ => "published sources and memory",
        },
        g.confidence.unwrap_or(Confidence::Low),
    )
}
