//! `puncheon ask`: one piece after another at the bench, a line at a time. Each mark typed has a
//! number of its own.
//!
//! On a terminal lines are edited, with a history and the vocabulary's words to complete; from a
//! pipe they are read one by one, and each answer is written before the next is read.

use std::io::{self, BufRead, IsTerminal, Write};

use puncheon::ask::{self, Left, MOST_ANSWERS, Piece, Question};
use puncheon::reading::Outcome;
use puncheon::{Options, Tables};
use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::Validator;
use rustyline::{CompletionType, Config, Context, Editor, Helper};

use crate::args::{self, AskArgs};
use crate::notebook::Notebook;
use crate::out::{Exit, Failure};
use crate::screen::{Screen, best, brief, plural, remark_line};

const PROMPT: &str = "> ";
/// The most words offered for completion.
const MOST_OFFERED: usize = 12;

const HELP: &str = "Type what you see, in any words and order; a number answers the question, 0 if it \
    cannot be made out. Or:";
/// What else can be typed, and what it does.
const HELP_COMMANDS: [(&str, &str); 8] = [
    (
        "undo",
        "take back the last step, also over the end of a piece",
    ),
    ("lines", "show the marks, with numbers"),
    (
        "without 2",
        "what if mark 2 is misread: leave it out; with 2 puts it back",
    ),
    (
        "change 2 ...",
        "put other words in its place; drop 2 takes it out",
    ),
    ("all", "the whole reading"),
    ("done", "write the note and begin the next piece"),
    ("next", "begin the next piece without a note"),
    ("quit", "end"),
];
/// The column in which that begins.
const HELP_AT: usize = 14;

/// What is said of a mark that is too far gone to answer for.
const CANNOT: [&str; 14] = [
    "can't read it",
    "can't read",
    "can't see",
    "can't tell",
    "cannot read",
    "cannot see",
    "cannot tell",
    "don't know",
    "dunno",
    "illegible",
    "not sure",
    "unclear",
    "unsure",
    "worn",
];

/// Words that are no description, in the order of the help.
const COMMANDS: [&str; 10] = [
    "undo", "lines", "without", "with", "change", "drop", "all", "done", "next", "quit",
];

pub fn run(a: &AskArgs) -> Result<Exit, Failure> {
    let Some(common) = &a.common else {
        return Err(args::short_help());
    };
    let tables = common.tables()?;
    let options = a.bounds.options(&tables)?;
    let mut session = Session {
        tables: &tables,
        options,
        screen: Screen::new(common.ascii, common.color),
        notebook: a.note.as_deref().map(Notebook::open).transpose()?,
        piece: Piece::new(),
        before: None,
        question: None,
        letter_explained: false,
    };
    let mut out = io::stdout().lock();
    let mut say = |text: &str| -> Result<(), Failure> {
        out.write_all(text.as_bytes())?;
        Ok(out.flush()?)
    };
    if !a.marks.is_empty() {
        let mut text = String::new();
        session.add(&a.marks.join(" "), &mut text);
        say(&text)?;
    }
    if io::stdin().is_terminal() && io::stdout().is_terminal() {
        if a.marks.is_empty() {
            say("Type what you see; help shows what else can be typed.\n")?;
        }
        let screen = || Screen::new(common.ascii, common.color);
        session.at_terminal(screen, &mut say)?;
    } else {
        for line in io::stdin().lock().split(b'\n') {
            let line = line?;
            let mut text = String::new();
            let go_on = session.take(String::from_utf8_lossy(&line).trim(), &mut text)?;
            say(&text)?;
            if !go_on {
                break;
            }
        }
    }
    let mut text = String::new();
    session.ends(&mut text);
    say(&text)?;
    Ok(Exit::Answered)
}

struct Session<'t> {
    tables: &'t Tables,
    options: Options,
    screen: Screen,
    notebook: Option<Notebook>,
    piece: Piece,
    /// The piece before this one, to come back to.
    before: Option<Piece>,
    /// The question that a number answers.
    question: Option<Question>,
    /// How a letter is typed was said.
    letter_explained: bool,
}

impl Session<'_> {
    fn at_terminal(
        &mut self,
        screen: impl Fn() -> Screen,
        say: &mut dyn FnMut(&str) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        // Between two lines the terminal would end the program, and with it what was typed so far.
        let _ = ctrlc::set_handler(|| {});
        let config = Config::builder()
            .completion_type(CompletionType::List)
            .auto_add_history(true)
            .build();
        let mut editor: Editor<Words, DefaultHistory> =
            Editor::with_config(config).map_err(unreadable)?;
        editor.set_helper(Some(Words {
            tables: self.tables.clone(),
        }));
        let mut interrupted = false;
        loop {
            let read = editor.readline(PROMPT);
            // The window may have another size by now.
            self.screen = screen();
            let again = std::mem::replace(
                &mut interrupted,
                matches!(read, Err(ReadlineError::Interrupted)),
            );
            match read {
                Ok(line) => {
                    let mut text = String::new();
                    let go_on = self.take(line.trim(), &mut text)?;
                    say(&text)?;
                    if !go_on {
                        return Ok(());
                    }
                }
                Err(ReadlineError::Interrupted) if !again => {
                    say("Ctrl-C again, Ctrl-D or quit ends.\n")?;
                }
                Err(ReadlineError::Interrupted | ReadlineError::Eof) => return Ok(()),
                Err(e) => return Err(unreadable(e)),
            }
        }
    }

    /// Takes one line and says what comes of it. False if it was the last.
    fn take(&mut self, line: &str, out: &mut String) -> Result<bool, Failure> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        let rest = rest.trim();
        // "without crown" and "with a crown" are descriptions; a number makes them ours.
        let (number, words) = rest.split_once(' ').unwrap_or((rest, ""));
        let number = number.parse::<usize>().ok();
        match (word.to_lowercase().as_str(), rest, number) {
            ("", ..) => self.tell(out),
            ("quit" | "exit", "", _) => return Ok(false),
            ("help" | "?", "", _) => {
                self.screen.say(out, 0, HELP);
                for (word, does) in HELP_COMMANDS {
                    self.screen.pair(out, word, does, HELP_AT);
                }
            }
            ("lines", "", _) => self.lines(out),
            ("all", "", _) => {
                let r = puncheon::read(self.tables, &self.piece.description(), &self.options);
                out.push_str(&crate::screen::reading(&r, self.tables, &self.screen, true));
            }
            ("undo", "", _) => self.undo(out),
            ("without", _, Some(n)) if words.is_empty() => {
                let done = n > 0 && self.piece.set_aside(n - 1, true);
                self.changed(done, n, out);
            }
            ("with", _, Some(n)) if words.is_empty() => {
                let done = n > 0 && self.piece.set_aside(n - 1, false);
                self.changed(done, n, out);
            }
            ("drop", _, Some(n)) if words.is_empty() => {
                let done = n > 0 && self.piece.change(n - 1, "");
                self.changed(done, n, out);
            }
            ("change", _, Some(n)) if !words.is_empty() => {
                let done = n > 0 && self.piece.change(n - 1, words.trim());
                self.changed(done, n, out);
            }
            ("without" | "with" | "drop", "", _) => {
                let line = format!("{word} needs the number of a mark, as in {word} 2; lines shows them.");
                self.screen.say(out, 0, &line);
            }
            ("change", "", _) | ("change", _, Some(_)) => self.screen.say(
                out,
                0,
                "change needs the number of a mark and other words, as in change 2 small k; lines shows them.",
            ),
            ("done", "", _) => self.done(out)?,
            ("next", "", _) => {
                self.begin_anew();
                out.push_str("Next piece.\n");
            }
            _ => self.answer_or_add(line, out),
        }
        Ok(true)
    }

    fn changed(&mut self, done: bool, n: usize, out: &mut String) {
        if done {
            self.tell(out);
        } else {
            self.screen
                .say(out, 0, &format!("There is no mark {n}; lines shows them."));
        }
    }

    fn answer_or_add(&mut self, line: &str, out: &mut String) {
        if let Some(q) = self.question.take() {
            match reply(&q, line) {
                Reply::Passed => {
                    self.piece.pass(q.feature);
                    return self.tell(out);
                }
                Reply::Answer(a) => {
                    self.piece.answer(q.feature, &q.answers[a].words);
                    return self.tell(out);
                }
                Reply::NoSuchAnswer(n) => {
                    let right = match numbered(&q) {
                        0 => "Type the letter, not a number; 0 if it cannot be read.".into(),
                        most => format!("The answers are 0 to {most}."),
                    };
                    let line =
                        format!("{right} If {n} is struck as a mark, say what it is: {n} ct.");
                    self.screen.say(out, 0, &line);
                    self.question = Some(q);
                    return;
                }
                Reply::Words(words) => {
                    if self.piece.reply(self.tables, &q, words) {
                        return self.tell(out);
                    }
                }
            }
        }
        self.add(line, out);
    }

    fn add(&mut self, line: &str, out: &mut String) {
        let before = self.piece.description();
        if self.piece.add(self.tables, line) {
            self.remarks(&self.piece.description(), before.len(), out);
        } else {
            let kept = out.len();
            self.remarks(line, 0, out);
            if out.len() == kept {
                let line = format!(
                    "\"{line}\" says nothing of a mark, and is left out; ? shows what can be typed."
                );
                self.screen.say(out, 0, &line);
            }
        }
        self.tell(out);
    }

    /// What was not understood of a description from some place on.
    fn remarks(&self, description: &str, from: usize, out: &mut String) {
        let seen = puncheon::sightings(self.tables, description);
        let told = seen.remarks.iter().filter(|r| r.start >= from);
        for line in told.filter_map(remark_line) {
            self.screen.say(out, 0, &line);
        }
    }

    fn undo(&mut self, out: &mut String) {
        if self.piece.undo() {
            return self.tell(out);
        }
        match self.before.take() {
            Some(piece) => {
                self.piece = piece;
                out.push_str("Back at the piece before; a note of it that was written stays.\n");
                self.tell(out);
            }
            None => out.push_str("There is nothing to take back.\n"),
        }
    }

    fn begin_anew(&mut self) {
        self.before = Some(std::mem::take(&mut self.piece));
        self.question = None;
    }

    /// What is left when no more is typed.
    fn ends(&self, out: &mut String) {
        if self.notebook.is_some() && !self.piece.description().is_empty() {
            self.screen.say(
                out,
                0,
                "The last piece was not noted; done would have done it.",
            );
        }
    }

    fn lines(&self, out: &mut String) {
        if self.piece.lines().is_empty() {
            out.push_str("Nothing was typed yet.\n");
        }
        for (i, l) in self.piece.lines().iter().enumerate() {
            let aside = if l.aside { "  (left out)" } else { "" };
            self.screen
                .say(out, 2, &format!("{} {}{aside}", i + 1, l.words));
        }
    }

    /// What is left, and the best question.
    fn tell(&mut self, out: &mut String) {
        let left = ask::left(self.tables, &self.piece, &self.options);
        match left.reading.outcome {
            Outcome::Fits => self.fits(&left, out),
            Outcome::Nears | Outcome::None => self.nothing_fits(&left, out),
            _ if self.piece.description().trim().is_empty() => {
                out.push_str("Nothing was typed yet.\n");
            }
            _ => {
                let line = brief(&left.reading, self.tables);
                self.screen.say(out, 0, &format!("{}.", capital(&line)));
            }
        }
        self.question = left.question;
        if let Some(q) = &self.question {
            ask_it(q, &self.screen, self.letter_explained, out);
            self.letter_explained |= q.feature == ask::Feature::Letter;
        }
    }

    fn fits(&self, left: &Left, out: &mut String) {
        let more = match left.more {
            0 => String::new(),
            n => {
                format!(" {n} more if a mark is worn or missing, or where the letter is not known.")
            }
        };
        if left.years == 1 {
            let line = self.screen.strong(&best(&left.reading));
            self.screen.say(out, 0, &format!("{line}.{more}"));
            return;
        }
        let all = left.years <= left.leading.len();
        let span = match left.span {
            Some((a, b)) if !all => format!(", {a} to {b}"),
            _ => String::new(),
        };
        let leading = match left.leading.as_slice() {
            [] => String::new(),
            some if all => format!(": {}", some.join(", ")),
            some => format!("; likeliest {}", some.join(", ")),
        };
        let offices = match left.offices {
            1 => String::new(),
            n => format!(" in {n} offices"),
        };
        let count = format!("{} left{offices}", plural(left.years, "year"));
        let count = self.screen.strong(&count);
        self.screen
            .say(out, 0, &format!("{count}{span}{leading}.{more}"));
        if left.question.is_none() {
            self.screen.say(out, 0, "Nothing else tells them apart.");
        }
    }

    fn nothing_fits(&self, left: &Left, out: &mut String) {
        let why = left.reading.conflict_why.as_deref().unwrap_or("");
        let line = format!("{} {why}", self.screen.strong("No year fits all of it."));
        self.screen.say(out, 0, line.trim_end());
        for (i, years) in left.without.iter().take(3) {
            let words = &self.piece.lines()[*i].words;
            let line = format!(
                "without {} leaves {}: \"{words}\"",
                i + 1,
                plural(*years, "year")
            );
            self.screen.say(out, 2, &line);
        }
        let bounded = self.bounded();
        if !bounded.is_empty() {
            let mut free = self.options.clone();
            (free.office, free.metal, free.between) = (None, None, None);
            let years = ask::left(self.tables, &self.piece, &free).years;
            if years > 0 {
                let line = format!("without {bounded}, {} fit", plural(years, "year"));
                return self.screen.say(out, 2, &line);
            }
        }
        if left.without.is_empty() {
            self.screen.say(
                out,
                0,
                "No one mark is in the way; look again at all of them.",
            );
        }
    }

    /// The options that bound the answer.
    fn bounded(&self) -> String {
        let o = &self.options;
        let named = [
            (o.office.is_some(), "--office"),
            (o.metal.is_some(), "--metal"),
            (o.between.is_some(), "--between"),
        ];
        let named: Vec<&str> = named.into_iter().filter(|n| n.0).map(|n| n.1).collect();
        named.join(" and ")
    }

    fn done(&mut self, out: &mut String) -> Result<(), Failure> {
        let description = self.piece.description();
        if description.is_empty() {
            out.push_str("There is nothing to note.\n");
            return Ok(());
        }
        let left = ask::left(self.tables, &self.piece, &self.options);
        let line = match (left.reading.outcome, left.years) {
            (Outcome::Fits, 1) => best(&left.reading),
            _ => brief(&left.reading, self.tables),
        };
        let note = format!(
            "{}. Marks as described: {description}. Not an assay.",
            capital(&line)
        );
        self.screen.say(out, 0, &note);
        if let Some(book) = &mut self.notebook {
            book.add(self.tables, &self.options, &description, &note)?;
            self.screen
                .say(out, 0, &format!("Noted in {}.", book.name()));
        }
        self.begin_anew();
        Ok(())
    }
}

/// How a line answers a question.
enum Reply<'l> {
    /// It cannot be made out.
    Passed,
    /// By the number of an answer, from 0.
    Answer(usize),
    /// By a number that no answer has.
    NoSuchAnswer(usize),
    /// In words.
    Words(&'l str),
}

/// The answers of a question that have a number.
fn numbered(q: &Question) -> usize {
    match q.feature {
        ask::Feature::Letter => 0,
        _ => q.answers.len().min(MOST_ANSWERS),
    }
}

fn reply<'l>(q: &Question, line: &'l str) -> Reply<'l> {
    // "3." and "1?" are slips of 3 and 1.
    let plain = line.trim_end_matches(['.', ')', '?', '!', ':']).trim();
    // A figure of more digits may be a mark: 18 is a carat.
    if let Ok(n @ 0..=9) = plain.parse::<usize>() {
        return match n {
            0 => Reply::Passed,
            n if n <= numbered(q) => Reply::Answer(n - 1),
            n => Reply::NoSuchAnswer(n),
        };
    }
    let said = plain.to_lowercase().replace('\u{2019}', "'");
    if CANNOT
        .iter()
        .any(|c| *c == said || c.replace('\'', "") == said)
    {
        return Reply::Passed;
    }
    // The answer that nothing is there, and the only one that something is.
    let nothing = |a: &ask::Choice| a.words.starts_with("no ");
    let one = |wanted: bool| {
        let mut all = (0..q.answers.len()).filter(|a| nothing(&q.answers[*a]) == wanted);
        all.next().filter(|_| all.next().is_none())
    };
    let answer = match said.as_str() {
        "n" | "no" | "none" | "nothing" | "nothing else" | "not there" => one(true),
        "y" | "yes" if one(true).is_some() => one(false),
        _ => None,
    };
    match answer {
        // A letter may be an n or a y.
        Some(a) if q.feature != ask::Feature::Letter => Reply::Answer(a),
        _ => Reply::Words(plain),
    }
}

/// The question, with its answers numbered.
fn ask_it(q: &Question, screen: &Screen, letter_explained: bool, out: &mut String) {
    if q.feature == ask::Feature::Letter {
        let how = match letter_explained {
            true => "0 if it cannot be read.",
            false => "Type it, with its style if you can see it; 0 if it cannot be read.",
        };
        return screen.say(out, 0, &format!("{} {how}", q.asks));
    }
    screen.say(out, 0, &q.asks);
    let mut answers: Vec<String> = q
        .answers
        .iter()
        .take(MOST_ANSWERS)
        .enumerate()
        .map(|(i, a)| {
            let leaves = match a.years.as_slice() {
                [] => plural(a.leaves, "year"),
                some => some.join(", "),
            };
            format!("{} {}: {leaves}", i + 1, a.shown)
        })
        .collect();
    match q.answers.len().saturating_sub(MOST_ANSWERS) {
        0 => answers.push("0 cannot tell".into()),
        n => answers.push(format!("0 cannot tell, or type one of {n} more")),
    }
    screen.flow(out, 2, &answers);
}

fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn unreadable(e: ReadlineError) -> Failure {
    Failure::Misuse(format!(
        "the terminal cannot be read: {e}\n  pipe the lines in instead"
    ))
}

/// Words to complete.
struct Words {
    tables: Tables,
}

impl Completer for Words {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        at: usize,
        _: &Context,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        let clause = line[..at].rfind([',', ';']).map_or(0, |i| i + 1);
        let from = clause + line[clause..at].len() - line[clause..at].trim_start().len();
        let begun = &line[from..at];
        let mut offered = ask::completions(&self.tables, begun);
        let mut start = from;
        // Inside a clause the last word may still be one that is known.
        if offered.is_empty()
            && let Some(space) = begun.rfind(' ')
        {
            start = from + space + 1;
            offered = ask::completions(&self.tables, &line[start..at]);
        }
        if start == 0 && !begun.is_empty() {
            let commands = COMMANDS.iter().filter(|c| c.starts_with(begun));
            offered.extend(commands.map(|c| c.to_string()));
        }
        offered.truncate(MOST_OFFERED);
        Ok((start, offered))
    }
}

impl Hinter for Words {
    type Hint = String;
}
impl Highlighter for Words {}
impl Validator for Words {}
impl Helper for Words {}
