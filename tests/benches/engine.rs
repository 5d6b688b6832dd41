//! The engine's three steps, each beside the same question asked of SQLite in memory.
//!
//! The rival holds the same rows: every row's letter and standard, and for every mark each word
//! that agrees with it, indexed by what is asked. It is asked the plainest form of each question,
//! with prepared statements: it knows no doubt, no unknown letter, no order and no sentence.
//!
//! Criterion measures each side by itself; `ratios` then measures both by turns and prints the
//! ratios, which hold on a busy machine too.

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::Criterion;
use puncheon::schema::entry::Case;
use puncheon::schema::image::{Image, Meets, Meta};
use puncheon::{Options, Sightings, Tables, What};
use rusqlite::{Connection, Statement, params};

/// Sixty bytes of ASCII, every word known.
const SIXTY: &str = "anchor, lion passant, date letter small roman f, king's head";

/// Typical descriptions: a full set, a short one, a broad one, a worn letter, gold.
const ASKED: [&str; 5] = [
    SIXTY,
    "leopard's head crowned, lion passant, date letter k",
    "castle, thistle",
    "anchor, lion passant, date letter k, worn",
    "crown, 18, gothic capital D",
];

/// What each step may cost.
const AIM_FITS: Duration = Duration::from_nanos(500);
const AIM_READ: Duration = Duration::from_micros(20);
const AIM_WORDS: Duration = Duration::from_micros(2);

fn main() {
    assert_eq!(SIXTY.len(), 60);
    let tables = Tables::builtin();
    let options = Options::default();
    let seen: Vec<Sightings> = ASKED.iter().map(|a| puncheon::sightings(tables, a)).collect();
    assert!(seen[0].remarks.is_empty(), "every word of the sixty bytes is known");
    let db = fill(tables.image()).expect("SQLite holds the rows");
    let mut rival = Rival::new(&db).expect("SQLite understands the questions");
    let question = Question::of(&seen[0]);
    check(tables, &seen[0], &options, &mut rival, &question);

    let mut c = Criterion::default().configure_from_args();
    for (asked, seen) in ASKED.iter().zip(&seen) {
        c.bench_function(&format!("fits/{asked}"), |b| {
            b.iter(|| puncheon::fit_set(tables, black_box(seen), &options))
        });
        c.bench_function(&format!("read/{asked}"), |b| {
            b.iter(|| puncheon::read_sightings(tables, black_box(seen), &options))
        });
    }
    c.bench_function("words/60 bytes", |b| {
        b.iter(|| puncheon::sightings(tables, black_box(SIXTY)))
    });
    c.bench_function("sqlite/fits", |b| b.iter(|| rival.fits(&question)));
    c.bench_function("sqlite/read", |b| b.iter(|| rival.fits_and_nears(&question)));
    c.bench_function("sqlite/words", |b| b.iter(|| rival.words(SIXTY)));
    c.final_summary();

    if std::env::args().any(|a| a == "--bench") {
        ratios(tables, &seen[0], &options, &mut rival, &question);
    }
}

/// Both sides by turns, and how many times longer the rival takes.
fn ratios(
    tables: &Tables,
    seen: &Sightings,
    options: &Options,
    rival: &mut Rival,
    question: &Question,
) {
    println!("\n\"{SIXTY}\"");
    println!("                        puncheon        aim     sqlite   sqlite / puncheon");
    line(
        "fits of sightings",
        AIM_FITS,
        &mut [
            &mut || drop(black_box(puncheon::fit_set(tables, black_box(seen), options))),
            &mut || drop(black_box(rival.fits(black_box(question)))),
        ],
    );
    line(
        "reading of sightings",
        AIM_READ,
        &mut [
            &mut || drop(black_box(puncheon::read_sightings(tables, black_box(seen), options))),
            &mut || drop(black_box(rival.fits_and_nears(black_box(question)))),
        ],
    );
    line(
        "words to sightings",
        AIM_WORDS,
        &mut [&mut || drop(black_box(puncheon::sightings(tables, black_box(SIXTY)))), &mut || {
            drop(black_box(rival.words(black_box(SIXTY))))
        }],
    );
}

fn line(what: &str, aim: Duration, sides: &mut [&mut dyn FnMut(); 2]) {
    let [ours, theirs] = by_turns(sides);
    println!(
        "{what:<22} {:>7.2} us {:>7.2} us {:>7.2} us   {:.1}",
        ours * 1e6,
        aim.as_secs_f64() * 1e6,
        theirs * 1e6,
        theirs / ours
    );
}

/// Seconds a call of each takes: the median of many short turns.
fn by_turns(sides: &mut [&mut dyn FnMut(); 2]) -> [f64; 2] {
    const TURNS: usize = 101;
    const TURN: Duration = Duration::from_millis(2);
    let calls = [0, 1].map(|k| {
        let before = Instant::now();
        let mut n = 0u32;
        while before.elapsed() < TURN * 10 {
            sides[k]();
            n += 1;
        }
        (n / 10).max(1)
    });
    let mut took = [Vec::new(), Vec::new()];
    for _ in 0..TURNS {
        for (k, took) in took.iter_mut().enumerate() {
            let before = Instant::now();
            for _ in 0..calls[k] {
                sides[k]();
            }
            took.push(before.elapsed().as_secs_f64() / f64::from(calls[k]));
        }
    }
    took.map(|mut t| {
        t.sort_unstable_by(f64::total_cmp);
        t[TURNS / 2]
    })
}

/// What the rival is asked: rows with two marks and a letter of a case and a lettering.
struct Question {
    marks: [u32; 2],
    letter: u32,
    lower: bool,
    lettering: u32,
}

impl Question {
    fn of(seen: &Sightings) -> Question {
        let mut marks = seen.sightings.iter().filter_map(|s| match &s.what {
            What::Device(d) => d.first().copied(),
            _ => None,
        });
        let letter = seen.sightings.iter().find_map(|s| match &s.what {
            What::Letter(l) => Some((l.values.first()?.value?, l.case?, l.lettering?)),
            _ => None,
        });
        let mut mark = || marks.next().expect("two marks are described");
        let marks = [mark(), mark()];
        let (letter, case, lettering) = letter.expect("a letter is described in full");
        Question { marks, letter, lower: case == Case::Lower, lettering }
    }
}

/// The rival must have answered, and nothing that the engine rules out on the same evidence.
fn check(
    tables: &Tables,
    seen: &Sightings,
    options: &Options,
    rival: &mut Rival,
    question: &Question,
) {
    let mut same = seen.clone();
    same.sightings.retain(|s| match &s.what {
        What::Device(d) => d.iter().any(|d| question.marks.contains(d)),
        What::Letter(_) => true,
        _ => false,
    });
    let ours = puncheon::fit_set(tables, &same, options).expect("of these tables");
    let theirs = rival.fits(question);
    assert!(!theirs.is_empty(), "SQLite finds rows");
    for row in theirs {
        let row = row as usize;
        assert_eq!(ours[row / 64] >> (row % 64) & 1, 1, "row {row}");
    }
}

/// The same rows in SQLite.
fn fill(image: &Image) -> rusqlite::Result<Connection> {
    let mut db = Connection::open_in_memory()?;
    db.execute_batch(
        "CREATE TABLE letter (id INTEGER PRIMARY KEY, office INT, year INT, value INT, lower INT,
             lettering INT);
         CREATE TABLE hallmark (id INTEGER PRIMARY KEY, letter INT, standard INT);
         CREATE TABLE mark (word INT, hallmark INT, PRIMARY KEY (word, hallmark)) WITHOUT ROWID;
         CREATE TABLE word (text TEXT PRIMARY KEY, id INT) WITHOUT ROWID;",
    )?;
    let fill = db.transaction()?;
    {
        let mut letter = fill.prepare("INSERT INTO letter VALUES (?, ?, ?, ?, ?, ?)")?;
        for i in 0..image.meta(Meta::Letters) {
            let l = image.letter(i);
            let lower = match l.case() {
                Case::Upper => Some(false),
                Case::Lower => Some(true),
                Case::Either => None,
            };
            letter.execute(params![
                i as u32,
                l.office() as u32,
                l.year(),
                l.value().map(|v| v as u32),
                lower,
                l.lettering().map(|n| n as u32),
            ])?;
        }
        let mut hallmark = fill.prepare("INSERT INTO hallmark VALUES (?, ?, ?)")?;
        let mut mark = fill.prepare("INSERT OR IGNORE INTO mark VALUES (?, ?)")?;
        for i in 0..image.meta(Meta::Rows) {
            let row = image.row(i);
            hallmark.execute(params![
                i as u32,
                row.letter_index() as u32,
                row.standard() as u32
            ])?;
            for m in row.marks() {
                for word in 0..image.meta(Meta::Devices) {
                    if image.relation(word, m.device()) == Meets::Agree {
                        mark.execute(params![word as u32, i as u32])?;
                    }
                }
            }
        }
        let mut word = fill.prepare("INSERT OR IGNORE INTO word VALUES (?, ?)")?;
        for id in 0..image.meta(Meta::Words) as u32 {
            word.execute(params![image.word_str(id), id])?;
        }
    }
    fill.commit()?;
    db.execute_batch(
        "CREATE INDEX letter_as_seen ON letter (value, lower, lettering);
         CREATE INDEX hallmark_by_letter ON hallmark (letter);
         ANALYZE;",
    )?;
    Ok(db)
}

struct Rival<'a> {
    fits: Statement<'a>,
    nears: Statement<'a>,
    word: Statement<'a>,
}

impl<'a> Rival<'a> {
    fn new(db: &'a Connection) -> rusqlite::Result<Rival<'a>> {
        Ok(Rival {
            fits: db.prepare(
                "SELECT h.id FROM letter l JOIN hallmark h ON h.letter = l.id
                 JOIN mark a ON a.hallmark = h.id AND a.word = ?1
                 JOIN mark b ON b.hallmark = h.id AND b.word = ?2
                 WHERE l.value = ?3 AND l.lower = ?4 AND l.lettering = ?5",
            )?,
            // Rows that want at most one of the three: they fit, or are near.
            nears: db.prepare(
                "SELECT l.office, l.year, h.standard, max(s.met) FROM (
                   SELECT id, sum(n) AS met FROM (
                     SELECT hallmark AS id, 1 AS n FROM mark WHERE word = ?1
                     UNION ALL SELECT hallmark, 1 FROM mark WHERE word = ?2
                     UNION ALL SELECT h.id, 1 FROM letter l JOIN hallmark h ON h.letter = l.id
                       WHERE l.value = ?3 AND l.lower = ?4 AND l.lettering = ?5)
                   GROUP BY id HAVING met >= 2) s
                 JOIN hallmark h ON h.id = s.id JOIN letter l ON l.id = h.letter
                 GROUP BY l.office, l.year, h.standard",
            )?,
            word: db.prepare("SELECT id FROM word WHERE text = ?1")?,
        })
    }

    fn fits(&mut self, q: &Question) -> Vec<u32> {
        self.fits
            .query_map(params![q.marks[0], q.marks[1], q.letter, q.lower, q.lettering], |r| {
                r.get(0)
            })
            .and_then(Iterator::collect)
            .expect("SQLite answers")
    }

    fn fits_and_nears(&mut self, q: &Question) -> Vec<(u32, i32, u32, u32)> {
        self.nears
            .query_map(params![q.marks[0], q.marks[1], q.letter, q.lower, q.lettering], |r| {
                Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?))
            })
            .and_then(Iterator::collect)
            .expect("SQLite answers")
    }

    /// One look for each word; phrases and grammar are spared.
    fn words(&mut self, text: &str) -> Vec<Option<u32>> {
        use rusqlite::OptionalExtension as _;
        text.split([' ', ','])
            .filter(|w| !w.is_empty())
            .map(|w| {
                let plain = w.to_ascii_lowercase().replace('\'', "");
                self.word.query_row([plain], |r| r.get(0)).optional().expect("SQLite answers")
            })
            .collect()
    }
}
