//! One question engine: `read`, `check` and `ask` give the same first advice and the same counts, and an
//! answer leaves what it was said to leave.

use puncheon::ask::{self, Piece};
use puncheon::schema::entry::{Case, Metal, Slot};
use puncheon::schema::image::{Image, Meta, RowView};
use puncheon::{Options, Tables};
use puncheon_tests::run;
use serde_json::Value;

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

fn image() -> &'static Image {
    Tables::builtin().image()
}

/// A description, and a claim that is true of the row it was made from.
struct Described {
    words: String,
    claim: String,
}

/// The name of the mark in one place of a row's set.
fn mark(row: RowView, slot: Slot) -> Option<&'static str> {
    let mut marks = row.groups().filter(|g| g.due).flat_map(|g| g.marks());
    marks.find(|m| m.slot() == slot).map(|m| image().device(m.device()).name())
}

/// A row as people describe one: whole or in part, sure or in doubt, worn, in broad words.
fn typed(row: RowView, way: usize) -> Option<String> {
    let letter = row.letter();
    let bare = image().value(letter.value()?).trim_matches(['{', '}']).to_string();
    let small = if letter.case() == Case::Lower { bare.to_lowercase() } else { bare };
    let case = match letter.case() {
        Case::Upper => "capital ",
        Case::Lower => "small ",
        Case::Either => "",
    };
    let lettering = letter.lettering().map_or("", |l| image().lettering(l).name());
    // Where no mark of the town is known to have been due, people name the town.
    let town = mark(row, Slot::Town).or_else(|| mark(row, Slot::Import));
    let town = town.unwrap_or(image().office(letter.office()).name());
    let standard = mark(row, Slot::Standard);
    let both = standard.map_or(town.to_string(), |s| format!("{town}, {s}"));
    let standard = standard.unwrap_or(town);
    Some(match way {
        0 => both,
        1 => format!("{both}, {small}"),
        2 => format!("{standard}, {case}{lettering} {small}"),
        3 => format!("{town}, {small} worn"),
        4 => format!("{town}, {case}{small}?, king's head"),
        5 => format!("{both}, {small}, no duty mark"),
        _ => format!("{standard}; date letter {case}{lettering} {small}; maker's mark HB"),
    })
}

/// Descriptions of every office and of every metal that it marked, in each of the ways by turns.
fn descriptions() -> Vec<Described> {
    const WAYS: usize = 7;
    let image = image();
    let mut out: Vec<Described> = Vec::new();
    for office in (0..image.meta(Meta::Offices)).map(|o| image.office(o)) {
        for metal in [Metal::Silver, Metal::Gold, Metal::Platinum, Metal::Palladium] {
            let of = |r: &usize| image.standard(image.row(*r).standard()).metal() == metal;
            let rows: Vec<usize> = office.rows().filter(of).collect();
            let few = if metal == Metal::Silver { 2 * WAYS } else { 3 };
            for k in 0..few.min(rows.len()) {
                let row = image.row(rows[k * rows.len() / few]);
                let Some(words) = typed(row, out.len() % WAYS) else { continue };
                let claim = format!("{} {}", office.name(), row.letter().year());
                out.push(Described { words, claim });
            }
        }
    }
    out
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&run(PUNCHEON, args, "").out).expect("one line of JSON")
}

/// The number that stands before some words.
fn number_before(text: &str, words: &str) -> Option<u64> {
    let before = &text[..text.find(words)?];
    before.rsplit(' ').next()?.parse().ok()
}

#[test]
fn read_check_and_ask_give_one_advice_and_one_count() {
    let all = descriptions();
    assert!(all.len() >= 60, "{}", all.len());
    let (mut asked, mut more, mut offices) = (0, 0, std::collections::BTreeSet::new());
    for Described { words, claim } in &all {
        let read = json(&["read", "--json", words]);
        let check = &json(&["check", "--json", "--claim", claim, words])["reading"];
        for field in ["left", "look_next"] {
            assert_eq!(read[field], check[field], "{words}: {field}");
        }
        let screen = run(PUNCHEON, &["ask", words], "").out;
        let screen = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        let (years, others) = (read["left"]["years"].as_u64(), read["left"]["more"].as_u64());
        match years {
            Some(0) => {}
            Some(1) => assert!(!screen.contains("left"), "{words}: {screen}"),
            n => assert_eq!(number_before(&screen, " years left"), n, "{words}: {screen}"),
        }
        let said = number_before(&screen, " more if").or(number_before(&screen, " more whose"));
        assert_eq!(said.unwrap_or(0), others.unwrap_or(0), "{words}: {screen}");
        match read["look_next"][0]["asks"].as_str() {
            Some(asks) => {
                assert!(screen.contains(asks), "{words}: {asks}: {screen}");
                asked += 1;
            }
            None => assert!(!screen.contains("0 cannot tell"), "{words}: {screen}"),
        }
        more += usize::from(others > Some(0));
        offices.insert(claim.split(' ').next());
        // The screen of `read` counts in the same words.
        if years > Some(1) {
            let screen = run(PUNCHEON, &["read", words], "").out;
            let screen = screen.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(number_before(&screen, " years left"), years, "{words}: {screen}");
        }
    }
    assert_eq!(offices.len(), image().meta(Meta::Offices));
    assert!(asked > all.len() / 2 && more > all.len() / 8, "{asked} {more} of {}", all.len());
}

#[test]
fn an_answer_leaves_what_it_was_said_to_leave() {
    let tables = Tables::builtin();
    let mut tried = 0;
    for Described { words, .. } in descriptions().iter().step_by(2) {
        let mut piece = Piece::new();
        piece.add(tables, words);
        let before = ask::left(tables, &piece, &Options::default());
        let Some(q) = &before.question else { continue };
        let rank = |left: &ask::Left| left.reading.fits.first().map(|f| (f.unread, f.strain));
        for choice in q.answers.iter().take(5) {
            let mut answered = piece.clone();
            answered.answer(q.feature, &choice.words);
            let left = ask::left(tables, &answered, &Options::default());
            let years = left.years.years;
            // Silver that only the answer strains stands before gold that it leaves.
            if rank(&left) == rank(&before) {
                assert_eq!(years, choice.leaves, "{words}: {} {}", q.asks, choice.words);
                tried += 1;
            } else {
                assert!(years >= choice.leaves, "{words}: {} {}", q.asks, choice.words);
            }
        }
    }
    assert!(tried > 100, "{tried}");
}

/// What is answered is read as such by its question, in whatever words.
#[test]
fn a_reply_is_read_by_its_question() {
    use puncheon::ask::{Command, Reply};
    let tables = Tables::builtin();
    let question = |words: &str| {
        let mut piece = Piece::new();
        piece.add(tables, words);
        ask::left(tables, &piece, &Options::default()).question
    };
    let letter = question("anchor, lion passant");
    let style = question("anchor, lion passant, k");
    let mark = question("anchor, lion passant, small roman k");
    let asks = |q: &Option<ask::Question>, line: &'static str| ask::reply(tables, q.as_ref(), line);
    for (line, of_letter, of_style, of_mark) in [
        ("n", Reply::Words("n"), Reply::NoSuchAnswer, Reply::Answer(1)),
        ("y", Reply::Words("y"), Reply::Something, Reply::Answer(0)),
        ("nope", Reply::NoLetter, Reply::NoSuchAnswer, Reply::Answer(1)),
        ("Yes, please!", Reply::Something, Reply::Something, Reply::Answer(0)),
        ("2.", Reply::Figure("2"), Reply::Answer(1), Reply::Answer(1)),
        ("18", Reply::Figure("18"), Reply::Figure("18"), Reply::Figure("18")),
        ("1 or 2", Reply::Numbers, Reply::Numbers, Reply::Numbers),
        ("it's gone", Reply::Passed, Reply::Passed, Reply::Passed),
        ("worn", Reply::Passed, Reply::Passed, Reply::Passed),
        ("which year?", Reply::Asks, Reply::Asks, Reply::Asks),
        (
            "without 2",
            Reply::Command(Command::Without, "2"),
            Reply::Command(Command::Without, "2"),
            Reply::Command(Command::Without, "2"),
        ),
        ("all worn", Reply::Passed, Reply::Passed, Reply::Passed),
        (
            "king's head",
            Reply::Words("king's head"),
            Reply::Words("king's head"),
            Reply::Words("king's head"),
        ),
    ] {
        assert_eq!(asks(&letter, line), of_letter, "{line}");
        assert_eq!(asks(&style, line), of_style, "{line}");
        assert_eq!(asks(&mark, line), of_mark, "{line}");
    }
    // Without a question nothing is answered.
    assert_eq!(ask::reply(tables, None, "yes"), Reply::Words("yes"));
    assert_eq!(ask::reply(tables, None, ""), Reply::Empty);
    assert_eq!(ask::reply(tables, None, "Quit"), Reply::Command(Command::Quit, ""));
    assert_eq!(ask::numbers(tables, "1, 2 and 3"), Some(vec![1, 2, 3]));
    assert_eq!(ask::numbers(tables, "lion"), None);
}
