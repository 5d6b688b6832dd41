//! `puncheon ask`: one piece after another at the bench, a line at a time. Each mark typed has a
//! number of its own.
//!
//! On a terminal lines are edited, with a history and the vocabulary's words to complete; from a
//! pipe they are read one by one, and each answer is written before the next is read.

use std::io::{self, BufRead, IsTerminal, Write};

use puncheon::ask::{self, Left, Piece, Question};
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
use crate::out::{Exit, Failure, Out};
use crate::screen::{Screen, best, brief, capital, either, plural, remark_line};
use crate::signals;

const PROMPT: &str = "> ";
/// Says that there is no date letter.
const NO_LETTER: &str = "no date letter";
/// The most words offered for completion.
const MOST_OFFERED: usize = 12;

const HELP: &str = "Type what you see, in any words and order; a number answers the question, 0 if it \
    cannot be made out. Or:";
/// What else can be typed, and what it does.
const HELP_COMMANDS: [(&str, &str); 8] = [
    ("undo", "take back the last step, also over the end of a piece"),
    ("lines", "show the marks, with numbers"),
    ("without 2", "what if mark 2 is misread: leave it out; with 2 puts it back"),
    ("change 2 ...", "put other words in its place; drop 2 takes it out"),
    ("all", "the whole reading"),
    ("done", "write the note and begin the next piece"),
    ("next", "begin the next piece without a note"),
    ("quit", "end"),
];
/// The column in which that begins.
const HELP_AT: usize = 14;

/// What passes a question by, as a 0 does, and says nothing of a mark in a description: "lid gone".
const PASSES: [&str; 3] = ["gone", "pass", "skip"];
/// Short for no.
const NO: &str = "n";

/// What says that a mark is there, and not which.
const SOMETHING: [&str; 20] = [
    "y",
    "yes",
    "yes please",
    "yep",
    "yeah",
    "yea",
    "yup",
    "aye",
    "ok",
    "there is",
    "there's one",
    "there is one",
    "yes there is",
    "yes there is one",
    "yes there's one",
    "yes it has",
    "it has one",
    "has one",
    "one is there",
    "i can see one",
];
/// What begins a question, behind words of talk.
const ASKS: [&str; 9] =
    ["what", "what's", "which", "when", "when's", "who", "who's", "whose", "why"];
const ASKS_TOO: [&str; 22] = [
    "where",
    "how",
    "is it",
    "is this",
    "is that",
    "is there",
    "are they",
    "are these",
    "are there",
    "was it",
    "were they",
    "does it",
    "does that",
    "do you",
    "did they",
    "can you",
    "could it",
    "would it",
    "any idea",
    "any ideas",
    "any clue",
    "tell me",
];
/// What may stand before it.
const TALK: [&str; 10] = ["so", "well", "ok", "okay", "and", "but", "then", "now", "erm", "hmm"];
/// Behind a word that asks, these begin a description: "what looks like an anchor".
const SEEMS: [&str; 9] =
    ["looks", "look", "appears", "seems", "seem", "may", "might", "could", "i"];

/// Words that are no description, in the order of the help.
const COMMANDS: [&str; 10] =
    ["undo", "lines", "without", "with", "change", "drop", "all", "done", "next", "quit"];

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
    let mut out = Out::text();
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
        // Between two lines Ctrl-C would end the program, and with it what was typed so far.
        signals::interrupt_is_no_end();
        let config =
            Config::builder().completion_type(CompletionType::List).auto_add_history(true).build();
        let mut editor: Editor<Words, DefaultHistory> =
            Editor::with_config(config).map_err(unreadable)?;
        editor.set_helper(Some(Words { tables: self.tables.clone() }));
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
        match (word.to_lowercase().as_str(), rest) {
            ("", _) => self.tell(out),
            ("quit" | "exit", "") => return Ok(false),
            ("help" | "?", "") => {
                self.screen.say(out, 0, HELP);
                for (word, does) in HELP_COMMANDS {
                    self.screen.pair(out, word, does, HELP_AT);
                }
            }
            ("lines", "") => self.lines(out),
            ("all", "") => {
                let r = puncheon::read(self.tables, &self.piece.description(), &self.options);
                out.push_str(&crate::screen::reading(&r, self.tables, &self.screen, true));
            }
            ("undo", "") => self.undo(out),
            ("change", _) => match self.line_and(rest) {
                Some((n, words)) if !words.is_empty() => {
                    let done = self.piece.change(n, words);
                    self.changed(done, n, out);
                }
                _ => self.screen.say(
                    out,
                    0,
                    "change needs the number of a mark and other words, as in change 2 small k; lines shows them.",
                ),
            },
            // "without crown" and "with a crown" are descriptions; a number or a mark's own words make
            // them ours.
            (command @ ("without" | "with" | "drop"), _) => match self.lines_named(rest) {
                Some(lines) => self.each(command, &lines, out),
                None if command == "drop" || rest.is_empty() || numbers(rest).is_some() => {
                    let line = format!("{command} needs the number of a mark, as in {command} 2; lines shows them.");
                    self.screen.say(out, 0, &line);
                }
                None => self.answer_or_add(line, out),
            },
            ("done", "") => self.done(out)?,
            ("next", "") => {
                self.begin_anew();
                out.push_str("Next piece.\n");
            }
            _ => self.answer_or_add(line, out),
        }
        Ok(true)
    }

    /// Sets marks aside, puts them back or takes them out.
    fn each(&mut self, command: &str, lines: &[usize], out: &mut String) {
        let done = match command {
            "drop" => self.piece.remove(lines),
            aside => self.piece.set_aside(lines, aside == "without"),
        };
        let last = lines.iter().max().copied().unwrap_or_default();
        self.changed(done, last, out);
    }

    /// Says what comes of a change, or that a mark is not there.
    fn changed(&mut self, done: bool, mark: usize, out: &mut String) {
        if done {
            self.tell(out);
        } else {
            let line = format!("There is no mark {}; lines shows them.", mark + 1);
            self.screen.say(out, 0, &line);
        }
    }

    /// The marks that numbers, or the words of one of them, stand for; the first is 0.
    fn lines_named(&self, words: &str) -> Option<Vec<usize>> {
        match numbers(words) {
            Some(all) => all.into_iter().map(|n| n.checked_sub(1)).collect(),
            None => {
                let same = |l: &ask::Line| l.words.eq_ignore_ascii_case(words);
                Some(vec![self.piece.lines().iter().position(same)?])
            }
        }
    }

    /// The mark that begins a line, by its number or its words, and what stands behind.
    fn line_and<'w>(&self, words: &'w str) -> Option<(usize, &'w str)> {
        let (number, rest) = words.split_once(' ').unwrap_or((words, ""));
        if let Ok(n) = number.parse::<usize>() {
            return Some((n.checked_sub(1)?, rest.trim()));
        }
        let behind = |l: &ask::Line| {
            let (mark, rest) = words.split_at_checked(l.words.len())?;
            (mark.eq_ignore_ascii_case(&l.words) && rest.starts_with(' ')).then(|| rest.trim())
        };
        let mut lines = self.piece.lines().iter().enumerate();
        lines.find_map(|(n, l)| Some((n, behind(l)?)))
    }

    fn answer_or_add(&mut self, line: &str, out: &mut String) {
        if asks(line) {
            // Where things stand is the answer.
            if !puncheon::sightings(self.tables, line).sightings.is_empty() {
                let line =
                    "What asks is no mark; type what you see, with a ? behind what you doubt.";
                self.screen.say(out, 0, line);
            }
            return self.tell(out);
        }
        if let Some(q) = self.question.take() {
            match reply(self.tables, &q, line) {
                Reply::Something => return self.something(q, out),
                Reply::NoSuchAnswer if is_figure(line) => return self.figure(q, line, out),
                Reply::Passed => {
                    self.piece.pass(q.feature);
                    return self.tell(out);
                }
                Reply::Answer(a) => {
                    self.piece.answer(q.feature, &q.answers[a].words);
                    return self.tell(out);
                }
                Reply::NoLetter => {
                    self.piece.answer(q.feature, NO_LETTER);
                    return self.tell(out);
                }
                Reply::NoSuchAnswer => return self.refuse(q, out),
                Reply::Words(words) => {
                    if self.piece.reply(self.tables, &q, words) {
                        return self.tell(out);
                    }
                    // A bare figure is more likely a slip of the number, unless it can be struck; one
                    // with a point is struck.
                    if is_figure(words) && !words.contains('.') {
                        return self.figure(q, words, out);
                    }
                    if numbers(words).is_some() {
                        self.screen.say(out, 0, "One number answers; 0 if it cannot be made out.");
                        self.question = Some(q);
                        return;
                    }
                }
            }
        }
        self.add(line, out);
    }

    /// Says what a number can be, and asks on.
    fn refuse(&mut self, q: Question, out: &mut String) {
        let right = match q.numbered {
            0 => "Type the letter, not a number; 0 if it cannot be read.".into(),
            most => format!("The answers are 0 to {most}."),
        };
        let line = format!("{right} A figure that is struck is written with its unit, such as ct.");
        self.screen.say(out, 0, &line);
        self.question = Some(q);
    }

    /// There is one: the next question is which.
    fn something(&mut self, q: Question, out: &mut String) {
        if let Some(words) = &q.some
            && self.piece.add(self.tables, words)
        {
            return self.tell(out);
        }
        let line = match q.numbered {
            0 => "Which? Type the letter; 0 if it cannot be read.",
            _ => "Which? Type its number or what you see; 0 if it cannot be made out.",
        };
        self.screen.say(out, 0, line);
        self.question = Some(q);
    }

    /// Takes a bare figure as a mark if it goes with the others.
    fn figure(&mut self, q: Question, words: &str, out: &mut String) {
        let words = bare(words);
        let Some(with) = self.piece.with(self.tables, &self.options, words) else {
            return self.refuse(q, out);
        };
        self.piece = with;
        let line = format!("{words} is taken as a mark; undo takes it back.");
        self.screen.say(out, 0, &line);
        self.tell(out);
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
        let understood = puncheon::understood(self.tables, description);
        let told = understood.remarks.iter().filter(|r| r.start >= from);
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
                let line = "Back at the piece before; a note of it that was written stays.";
                self.screen.say(out, 0, line);
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
            self.screen.say(out, 0, "The last piece was not noted; done would have done it.");
        }
    }

    fn lines(&self, out: &mut String) {
        if self.piece.lines().is_empty() {
            out.push_str("Nothing was typed yet.\n");
        }
        for (i, l) in self.piece.lines().iter().enumerate() {
            let aside = if l.aside { "  (left out)" } else { "" };
            self.screen.say(out, 2, &format!("{} {}{aside}", i + 1, l.words));
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
            _ if left.years > 0 => self.fits(&left, out),
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
        self.screen.say(out, 0, &format!("{count}{span}{leading}.{more}"));
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
            let line = format!("without {} leaves {}: \"{words}\"", i + 1, plural(*years, "year"));
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
            self.screen.say(out, 0, "No one mark is in the way; look again at all of them.");
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
        let line = match left.reading.outcome {
            Outcome::Fits => kept(&left),
            _ => brief(&left.reading, self.tables),
        };
        let note = format!("{}. Marks as described: {description}. Not an assay.", capital(&line));
        self.screen.say(out, 0, &note);
        if let Some(book) = &mut self.notebook {
            book.add(self.tables, &self.options, &description, &note)?;
            self.screen.say(out, 0, &format!("Noted in {}.", book.name()));
        }
        self.begin_anew();
        Ok(())
    }
}

/// What is left, for a note: the years where they are few, and never one of several alone.
fn kept(left: &Left) -> String {
    let more = match left.more {
        0 => String::new(),
        n => format!("; {n} more if a mark is worn or misread"),
    };
    if left.years == 1 {
        return format!("{}{more}", best(&left.reading));
    }
    if left.years <= left.leading.len() {
        return format!("{}{more}", either(&left.leading));
    }
    let offices = match left.offices {
        1 => String::new(),
        n => format!(" in {n} offices"),
    };
    let (from, to) = left.span.unwrap_or_default();
    let such = left.leading.first().map_or(String::new(), |l| format!(", such as {l}"));
    format!("one of {}{offices} from {from} to {to}{such}{more}", plural(left.years, "year"))
}

/// Numbers and nothing else, apart from what joins them.
fn numbers(words: &str) -> Option<Vec<usize>> {
    let joins = |w: &&str| !matches!(*w, "" | "and" | "or" | "either" | "not");
    let mut all = words.split([' ', ',', ';']).filter(joins).peekable();
    all.peek()?;
    all.map(|w| w.trim_start_matches(['#', '-']).parse().ok()).collect()
}

/// How a line answers a question.
enum Reply<'l> {
    /// It cannot be made out.
    Passed,
    /// By the number of an answer, from 0.
    Answer(usize),
    /// By a number that no answer has.
    NoSuchAnswer,
    /// There is no date letter.
    NoLetter,
    /// There is one, and not which.
    Something,
    /// In words.
    Words(&'l str),
}

/// A line without the signs behind it: "3." and "1?" are slips of 3 and 1.
fn bare(line: &str) -> &str {
    line.trim_end_matches(['.', ')', '?', '!', ':']).trim()
}

fn is_figure(line: &str) -> bool {
    let line = bare(line);
    line.parse::<f64>().is_ok() && line.ends_with(|c: char| c.is_ascii_digit())
}

/// A word as it is listed above, or without its apostrophe.
fn is_one_of(word: &str, known: &[&str]) -> bool {
    let plain = |k: &&str| k.replace('\'', "");
    known.iter().any(|k| *k == word || plain(k) == word)
}

/// Does a line ask something, rather than describe it?
fn asks(line: &str) -> bool {
    let said = line.to_lowercase().replace('\u{2019}', "'");
    let words: Vec<&str> = said
        .split([' ', ',', '?', '.', '!'])
        .filter(|w| !w.is_empty())
        .skip_while(|w| TALK.contains(w))
        .collect();
    let two = words.iter().take(2).copied().collect::<Vec<_>>().join(" ");
    let begins = |k: &[&str]| words.first().is_some_and(|w| is_one_of(w, k));
    let seems = words.get(1).is_some_and(|w| SEEMS.contains(w));
    begins(&ASKS) && !seems || begins(&ASKS_TOO) || ASKS_TOO.contains(&two.as_str())
}

fn reply<'l>(tables: &Tables, q: &Question, line: &'l str) -> Reply<'l> {
    let plain = bare(line);
    // A figure of more digits may be a mark.
    if let Ok(n @ 0..=9) = plain.parse::<usize>() {
        return match n {
            0 => Reply::Passed,
            n if n <= q.numbered => Reply::Answer(n - 1),
            _ => Reply::NoSuchAnswer,
        };
    }
    let said = plain.to_lowercase().replace('\u{2019}', "'");
    // The answer that nothing is there, and the only one that something is.
    let nothing = |a: &ask::Choice| a.words.starts_with("no ");
    let one = |wanted: bool| {
        let mut all = (0..q.answers.len()).filter(|a| nothing(&q.answers[*a]) == wanted);
        all.next().filter(|_| all.next().is_none())
    };
    let letter = q.feature == ask::Feature::Letter;
    if PASSES.contains(&said.as_str()) {
        return Reply::Passed;
    }
    // A letter may be an n or a y.
    if ask::says_none(tables, plain) || said == NO && !letter {
        return match one(true) {
            Some(a) => Reply::Answer(a),
            None if letter => Reply::NoLetter,
            None => Reply::NoSuchAnswer,
        };
    }
    if is_one_of(&said.replace(',', ""), &SOMETHING) && !(letter && said.len() == 1) {
        return match (one(true), one(false)) {
            (Some(_), Some(a)) => Reply::Answer(a),
            _ => Reply::Something,
        };
    }
    match ask::cannot_tell(tables, plain, Some(q.feature)) {
        true => Reply::Passed,
        false => Reply::Words(plain),
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
        .take(q.numbered)
        .enumerate()
        .map(|(i, a)| {
            let leaves = match a.years.as_slice() {
                [] => plural(a.leaves, "year"),
                some => some.join(", "),
            };
            format!("{} {}: {leaves}", i + 1, a.shown)
        })
        .collect();
    match q.answers.len().saturating_sub(q.numbered) {
        0 => answers.push("0 cannot tell".into()),
        n => answers.push(format!("0 cannot tell, or type one of {n} more")),
    }
    screen.flow(out, 2, &answers);
}

fn unreadable(e: ReadlineError) -> Failure {
    Failure::Misuse(format!("the terminal cannot be read: {e}\n  pipe the lines in instead"))
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
        let begun = &line[..at];
        let (start, mut offered) = ask::complete(&self.tables, begun);
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
