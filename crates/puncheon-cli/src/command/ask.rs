//! `puncheon ask`: one piece after another at the bench, a line at a time. Each mark typed has a
//! number of its own.
//!
//! On a terminal lines are edited, with a history and the vocabulary's words to complete; from a
//! pipe they are read one by one, and each answer is written before the next is read.

use std::io::{self, BufRead, IsTerminal, Write};

use puncheon::ask::{self, Command, Left, Piece, Question, Reply};
use puncheon::phrases::{capital, counted, either, remark};
use puncheon::reading::Outcome;
use puncheon::{Options, Tables};
use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::Validator;
use rustyline::{CompletionType, Config, Context, Editor, Helper};

use crate::args::{AskArgs, Common};
use crate::command::notebook::Notebook;
use crate::out::{Exit, Failure, Out};
use crate::screen::Screen;
use crate::signals;
use crate::view::brief::{best, brief};
use crate::view::reading::reading;

const PROMPT: &str = "> ";
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

pub fn run(a: &AskArgs, common: &Common) -> Result<Exit, Failure> {
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
        match ask::reply(self.tables, self.question.as_ref(), line) {
            Reply::Empty => self.tell(out),
            Reply::Command(command, rest) => return self.obey(command, rest, line, out),
            reply => self.answer(reply, line, out),
        }
        Ok(true)
    }

    /// Does what a word asks for. False if it was to end.
    fn obey(
        &mut self,
        command: Command,
        rest: &str,
        line: &str,
        out: &mut String,
    ) -> Result<bool, Failure> {
        match command {
            Command::Quit => return Ok(false),
            Command::Help => {
                self.screen.say(out, 0, HELP);
                for (word, does) in HELP_COMMANDS {
                    self.screen.pair(out, word, does, HELP_AT);
                }
            }
            Command::Lines => self.lines(out),
            Command::All => {
                let r = puncheon::read(self.tables, &self.piece.description(), &self.options);
                out.push_str(&reading(&r, self.tables, &self.screen, true));
            }
            Command::Undo => self.undo(out),
            Command::Change => match self.line_and(rest) {
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
            Command::Without | Command::With | Command::Drop => {
                self.each(command, rest, line, out);
            }
            Command::Done => self.done(out)?,
            Command::Next => {
                self.begin_anew();
                out.push_str("Next piece.\n");
            }
        }
        Ok(true)
    }

    /// Sets marks aside, puts them back or takes them out. "without crown" and "with a crown" are
    /// descriptions; a number or a mark's own words make them ours.
    fn each(&mut self, command: Command, rest: &str, line: &str, out: &mut String) {
        let numbers = ask::numbers(self.tables, rest);
        let numbered = numbers.is_some();
        let Some(lines) = self.lines_named(numbers, rest) else {
            let word = line.split(' ').next().unwrap_or_default();
            if command == Command::Drop || rest.is_empty() || numbered {
                let needs =
                    format!("{word} needs the number of a mark, as in {word} 2; lines shows them.");
                return self.screen.say(out, 0, &needs);
            }
            return self.answer(Reply::Words(line), line, out);
        };
        let done = match command {
            Command::Drop => self.piece.remove(&lines),
            _ => self.piece.set_aside(&lines, command == Command::Without),
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
    fn lines_named(&self, numbers: Option<Vec<usize>>, words: &str) -> Option<Vec<usize>> {
        match numbers {
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

    /// Takes a line as the answer to the question that stands, or as more of the description.
    fn answer(&mut self, reply: Reply, line: &str, out: &mut String) {
        if reply == Reply::Asks {
            // Where things stand is the answer.
            if !puncheon::sightings(self.tables, line).sightings.is_empty() {
                let line =
                    "What asks is no mark; type what you see, with a ? behind what you doubt.";
                self.screen.say(out, 0, line);
            }
            return self.tell(out);
        }
        let Some(q) = self.question.take() else {
            return self.add(line, out);
        };
        match reply {
            Reply::Something => self.something(q, out),
            Reply::NoSuchAnswer => self.refuse(q, out),
            Reply::Passed => {
                self.piece.pass(q.feature);
                self.tell(out);
            }
            Reply::Answer(a) => {
                self.piece.answer(q.feature, &q.answers[a].words);
                self.tell(out);
            }
            Reply::NoLetter => {
                self.piece.answer(q.feature, ask::NO_LETTER);
                self.tell(out);
            }
            Reply::Numbers => {
                self.screen.say(out, 0, "One number answers; 0 if it cannot be made out.");
                self.question = Some(q);
            }
            // A bare figure is more likely a slip of the number, unless it can be struck.
            Reply::Figure(words) => match self.piece.reply(self.tables, &q, words) {
                true => self.tell(out),
                false => self.figure(q, words, out),
            },
            Reply::Words(words) if self.piece.reply(self.tables, &q, words) => self.tell(out),
            _ => self.add(line, out),
        }
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
        for line in told.filter_map(remark) {
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
            _ if left.years.years > 0 => self.fits(&left, out),
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
        let years = left.years.years;
        if years == 1 {
            let line = self.screen.strong(&best(&left.reading));
            let more = puncheon::more_left(&left.years).map(|m| format!("; {m}"));
            return self.screen.say(out, 0, &format!("{line}{}.", more.unwrap_or_default()));
        }
        let count = self.screen.strong(&puncheon::years_left(&left.years));
        let all = years <= left.leading.len();
        let named = match (left.leading.as_slice(), left.years.span) {
            (some @ [_, ..], _) if all => format!(" {}.", either(some)),
            ([], Some((from, to))) => format!(" They run from {from} to {to}."),
            (some, Some((from, to))) => {
                format!(" They run from {from} to {to}; likeliest {}.", some.join(", "))
            }
            _ => String::new(),
        };
        self.screen.say(out, 0, &format!("{count}.{named}"));
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
            let line = format!("without {} leaves {}: \"{words}\"", i + 1, counted(*years, "year"));
            self.screen.say(out, 2, &line);
        }
        let bounded = self.bounded();
        if !bounded.is_empty() {
            let mut free = self.options.clone();
            (free.office, free.metal, free.between) = (None, None, None);
            let years = ask::left(self.tables, &self.piece, &free).years.years;
            if years > 0 {
                let line = format!("without {bounded}, {} fit", counted(years, "year"));
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
        let line = brief(&left.reading, self.tables);
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
                [] => counted(a.leaves, "year"),
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
            let commands = ask::commands(&self.tables).into_iter();
            offered.extend(commands.filter(|c| c.starts_with(begun)).map(str::to_string));
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
