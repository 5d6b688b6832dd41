//! `puncheon enrich`: answers added to the rows of a catalogue.

use std::fs::{self, File, Metadata};
use std::io::{self, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use puncheon::Tables;
use puncheon_catalogue::{
    Book, Column, DISAGREEMENTS, Enricher, Error, Format, Progress, Summary, Terms, Watch, Wrong,
    sample as stock_book,
};

use crate::args::{self, Common, EnrichArgs, FormatArg, SampleArgs};
use crate::awaited::awaited;
use crate::kept::{self, Kept, Was, folder, unusable};
use crate::out::{Exit, Failure, Out, aside, named, one_line};
use crate::signals;

/// How often the terminal is told how far it is.
const TOLD: Duration = Duration::from_millis(250);
/// Words not understood that the summary names.
const MOST_WORDS: usize = 8;

pub fn run(a: &EnrichArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let target = target(a)?;
    each_its_own(a, target.as_deref())?;
    let mut enricher = asked(a, &tables)?;
    let format = format(a)?;
    enricher.format = match format {
        FormatArg::Jsonl => Format::JsonLines,
        _ => Format::Delimited,
    };
    let source = Source::open(a, format, target.as_deref())?;
    let mut beside = Beside::new(a)?;
    let mut result = match (&target, &source.about) {
        (None, _) => None,
        (Some(file), Some(about)) if a.in_place && about.is_file() => {
            Some(Kept::in_place(file, Was::of(about))?)
        }
        (Some(file), _) => Some(Kept::new(file)?),
    };
    let summary = source
        .enriched(&enricher, a.sheet.as_deref(), result.as_mut(), beside.rejects.as_mut())
        .map_err(|e| failed(e, target.as_deref()))?;
    beside.keep(a, &summary, &enricher, result)?;
    tell(a, &summary, target.as_deref(), format == FormatArg::Xlsx);
    if let Some(file) = &a.terms {
        tell_terms(file, &enricher.terms);
    }
    Ok(if summary.problems > 0 { Exit::NoAnswer } else { Exit::Answered })
}

/// What is to be added to each row.
fn asked<'t>(a: &EnrichArgs, tables: &'t Tables) -> Result<Enricher<'t>, Failure> {
    let mut enricher = Enricher::new(tables, &a.marks);
    enricher.claim = a.claim.clone();
    enricher.prefix = a.prefix.clone();
    enricher.detail = a.detail.is_some();
    enricher.stamp = a.stamp;
    enricher.threads = a.threads;
    if !a.add.is_empty() {
        enricher.columns = columns(a)?;
    }
    if let Some(file) = &a.terms {
        enricher.terms = terms(file)?;
    }
    Ok(enricher)
}

/// The catalogue, opened.
struct Source {
    /// A text; of a workbook nothing is read here.
    input: Box<dyn Read + Send>,
    book: Option<Book>,
    /// Of the file that is open: by its name another may be found by now.
    about: Option<Metadata>,
    /// An end was asked for.
    stopped: Arc<AtomicBool>,
}

impl Source {
    fn open(a: &EnrichArgs, format: FormatArg, target: Option<&Path>) -> Result<Source, Failure> {
        let book = match format {
            FormatArg::Xlsx => Some(book(a, target)?),
            _ if a.sheet.is_some() => {
                return Err(Failure::Misuse(
                    "--sheet names a sheet of a spreadsheet, and this is a text\n  leave --sheet out"
                        .into(),
                ));
            }
            _ => None,
        };
        if let Some(old) = &a.since {
            File::open(old).map_err(|e| unusable(old, &e))?;
        }
        if let Some((book, about)) = book {
            let stopped = signals::heard();
            let input = Box::new(io::empty());
            return Ok(Source { input, book: Some(book), about: Some(about), stopped });
        }
        if target.is_some_and(is_sheet) {
            return Err(Failure::Misuse(format!(
                "{}: the catalogue is a text, and so is the result\n  write it to a file that ends as the catalogue's does",
                named(&a.output)
            )));
        }
        if is_standard(&a.input) {
            let stopped = signals::heard();
            let input = awaited(Box::new(io::stdin()), &stopped);
            return Ok(Source { input, book: None, about: None, stopped });
        }
        let file = File::open(&a.input).map_err(|e| unusable(&a.input, &e))?;
        let about = file.metadata().map_err(|e| unusable(&a.input, &e))?;
        if about.is_dir() {
            return Err(folder(&a.input));
        }
        let stopped = signals::heard();
        let input: Box<dyn Read + Send> = match about.is_file() {
            true => Box::new(file),
            // Nobody knows when a pipe or a terminal hands over the next row.
            false => awaited(Box::new(file), &stopped),
        };
        Ok(Source { input, book: None, about: Some(about), stopped })
    }

    /// Answers every row, into the result or onto standard output.
    fn enriched(
        self,
        enricher: &Enricher,
        sheet: Option<&str>,
        result: Option<&mut Kept>,
        rejects: Option<&mut Kept>,
    ) -> Result<Summary, Error> {
        let size = self.about.as_ref().map(Metadata::len);
        let mut teller = Teller::new(size, io::stderr().is_terminal());
        let mut rows = 0;
        let mut progress = |p: Progress| {
            teller.tell(p);
            rows = p.rows;
            !self.stopped.load(Ordering::Relaxed)
        };
        let rejects = rejects.map(|r| r as &mut dyn Write);
        let summary = match (result, self.book) {
            (Some(kept), Some(book)) => book.enrich(enricher, sheet, kept, &mut progress),
            (Some(kept), None) => {
                enricher.run(self.input, kept, Watch { progress: &mut progress, rejects })
            }
            (None, _) => {
                enricher.run(self.input, Out::data(), Watch { progress: &mut progress, rejects })
            }
        };
        teller.clear();
        summary.map_err(|e| match e {
            // Asked to end, it waited for no more.
            Error::Read(_) if self.stopped.load(Ordering::Relaxed) => Error::Stopped(rows),
            e => e,
        })
    }
}

/// What is written beside the result.
struct Beside {
    rejects: Option<Kept>,
    worklist: Option<Kept>,
    summary: Option<Kept>,
}

impl Beside {
    fn new(a: &EnrichArgs) -> Result<Beside, Failure> {
        let kept = |file: &Option<PathBuf>| file.as_deref().map(Kept::new).transpose();
        Ok(Beside {
            rejects: kept(&a.rejects)?,
            worklist: kept(&a.worklist)?,
            summary: kept(&a.summary)?,
        })
    }

    /// The files take their names together, when all of them are whole. The result comes last: what
    /// it replaces is worth most, and is not touched until all others have theirs.
    fn keep(
        self,
        a: &EnrichArgs,
        summary: &Summary,
        enricher: &Enricher,
        mut result: Option<Kept>,
    ) -> Result<(), Failure> {
        let mut whole: Vec<Kept> = self.rejects.into_iter().collect();
        if let Some(mut kept) = self.worklist {
            kept.put(&worklist(summary))?;
            whole.push(kept);
        }
        if let Some(mut kept) = self.summary {
            let text = serde_json::to_string(summary)?;
            kept.put(&format!("{text}\n"))?;
            whole.push(kept);
        }
        if let (Some(old), Some(result)) = (&a.since, &mut result) {
            changed(old, result.held()?, &enricher.added())?;
        }
        whole.extend(result);
        kept::keep(whole)
    }
}

/// Writes the invented stock book.
pub fn sample(a: &SampleArgs, common: &Common) -> Result<Exit, Failure> {
    let repeats =
        if a.repeats { stock_book::Repeats::AsInLife } else { stock_book::Repeats::Never };
    let tables = common.tables()?;
    let mut out = Out::data();
    stock_book::write(&tables, a.rows, a.seed, repeats, &mut out)?;
    out.flush()?;
    Ok(Exit::Answered)
}

fn is_standard(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Where the result goes; None is standard output. The catalogue itself only if that was asked for.
fn target(a: &EnrichArgs) -> Result<Option<PathBuf>, Failure> {
    if a.in_place {
        if is_standard(&a.input) {
            return Err(Failure::Misuse(
                "standard input has no place to write to\n  name a file, or leave --in-place out"
                    .into(),
            ));
        }
        return Ok(Some(a.input.clone()));
    }
    if is_standard(&a.output) {
        return match a.since {
            Some(_) => Err(Failure::Misuse(
                "--since compares two files\n  name the new one with -o".into(),
            )),
            None => Ok(None),
        };
    }
    let same = |p: &Path| fs::canonicalize(p).ok();
    if !is_standard(&a.input) && same(&a.input).is_some() && same(&a.input) == same(&a.output) {
        return Err(Failure::Misuse(format!(
            "{} is the catalogue itself\n  write to another file, or say --in-place",
            named(&a.output)
        )));
    }
    Ok(Some(a.output.clone()))
}

/// No file is written over another, nor over one that is read.
fn each_its_own(a: &EnrichArgs, target: Option<&Path>) -> Result<(), Failure> {
    let whole = |p: &Path| fs::canonicalize(p).unwrap_or_else(|_| p.to_path_buf());
    let read = [
        // The catalogue may be replaced by its result where that was asked for.
        (!a.in_place).then_some(("the catalogue", a.input.as_path())),
        a.since.as_deref().map(|f| ("--since", f)),
        a.terms.as_deref().map(|f| ("--terms", f)),
    ];
    let written = [
        target.map(|f| ("the result", f)),
        a.rejects.as_deref().map(|f| ("--rejects", f)),
        a.worklist.as_deref().map(|f| ("--worklist", f)),
        a.summary.as_deref().map(|f| ("--summary", f)),
    ];
    let read = read.into_iter().flatten();
    let mut taken: Vec<(&str, PathBuf)> = read.map(|(what, file)| (what, whole(file))).collect();
    for (what, file) in written.into_iter().flatten() {
        if is_standard(file) {
            return Err(Failure::Misuse(format!(
                "{what} is written to a file of its own\n  name one"
            )));
        }
        let name = whole(file);
        // What is no file, such as a terminal or a pipe, can take several.
        let device = fs::metadata(&name).is_ok_and(|m| !m.is_file());
        if let Some((other, _)) = taken.iter().find(|t| !device && t.1 == name) {
            return Err(Failure::Misuse(format!(
                "{} is named for {other} and for {what}\n  name a file for each",
                named(file)
            )));
        }
        taken.push((what, name));
    }
    Ok(())
}

/// The workbook to be read, once it is known that it can be, and that the result can be kept.
fn book(a: &EnrichArgs, target: Option<&Path>) -> Result<(Book, Metadata), Failure> {
    let refuse = |said: &str| Err(Failure::Misuse(said.into()));
    if is_standard(&a.input) {
        return refuse(
            "a spreadsheet cannot be read from standard input\n  name the workbook's file",
        );
    }
    let Some(target) = target else {
        return refuse(
            "a spreadsheet cannot be written to standard output\n  name a file that ends in .xlsx with -o",
        );
    };
    if !is_sheet(target) {
        return Err(Failure::Misuse(format!(
            "{}: the result is a spreadsheet\n  write it to a file that ends in .xlsx",
            named(target)
        )));
    }
    if a.rejects.is_some() {
        return refuse(
            "--rejects copies rows of a text, and every row of a spreadsheet can be read\n  leave --rejects out",
        );
    }
    if a.since.is_some() {
        return refuse(
            "--since compares texts, not spreadsheets\n  save both as CSV and compare those",
        );
    }
    // Looked at before it is opened: opening a pipe would wait for its writer.
    let kind = fs::metadata(&a.input).map_err(|e| unusable(&a.input, &e))?;
    if !kind.is_file() {
        return Err(Failure::Misuse(format!(
            "{} is no file, and a spreadsheet is read from its end\n  name the workbook's file",
            named(&a.input)
        )));
    }
    let file = File::open(&a.input).map_err(|e| unusable(&a.input, &e))?;
    let about = file.metadata().map_err(|e| unusable(&a.input, &e))?;
    let book = Book::open(file).map_err(|e| failed(e, Some(target)))?;
    let lost = book.lost().join(", ");
    if a.in_place && !lost.is_empty() {
        return Err(Failure::Misuse(format!(
            "{} holds what would be lost: {lost}\n  leave it as it is and write to another file with -o, or save the sheet as CSV and enrich that",
            named(&a.input)
        )));
    }
    aside!("values and their types are kept; formulas become their values, and formats are lost");
    if !lost.is_empty() {
        aside!("of this workbook are lost: {lost}");
    }
    let left_out = book.left_out();
    if !left_out.is_empty() {
        aside!("sheets without cells are left out: {}", left_out.join(", "));
    }
    Ok((book, about))
}

/// Does the name end as that of a spreadsheet does?
fn is_sheet(file: &Path) -> bool {
    let ending = file.extension().and_then(|e| e.to_str());
    ending.is_some_and(|e| e.eq_ignore_ascii_case("xlsx"))
}

/// The columns named, each once.
fn columns(a: &EnrichArgs) -> Result<Vec<Column>, Failure> {
    let mut columns = Vec::new();
    for name in &a.add {
        let column = Column::named(name.trim()).ok_or_else(|| {
            Failure::Misuse(format!(
                "no column \"{name}\" can be added\n  the columns are {}; without --add, all but the wording are added",
                args::column_names()
            ))
        })?;
        if columns.contains(&column) {
            return Err(Failure::Misuse(format!(
                "--add names \"{}\" twice\n  name each column once",
                column.name()
            )));
        }
        if column == Column::Verdict && a.claim.is_none() {
            return Err(Failure::Misuse(
                "--add names \"verdict\", and there is nothing to judge\n  name the column that holds what is stated with --claim".into(),
            ));
        }
        columns.push(column);
    }
    Ok(columns)
}

fn format(a: &EnrichArgs) -> Result<FormatArg, Failure> {
    if let Some(f) = a.format {
        return Ok(f);
    }
    let ending = a.input.extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
    match ending.as_deref() {
        Some("jsonl" | "ndjson") => Ok(FormatArg::Jsonl),
        Some("xlsx") => Ok(FormatArg::Xlsx),
        Some("csv" | "tsv" | "tab" | "txt") => Ok(FormatArg::Csv),
        None if is_standard(&a.input) => Ok(FormatArg::Csv),
        _ => Err(Failure::Misuse(format!(
            "{}: its ending does not say how it is written\n  add --format csv, tsv, jsonl or xlsx",
            named(&a.input)
        ))),
    }
}

/// Our values and the user's terms for them: a text of two columns.
fn terms(file: &Path) -> Result<Terms, Failure> {
    let text = fs::read_to_string(file).map_err(|e| unusable(file, &e))?;
    let mut pairs = Vec::new();
    for (i, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
        let Some((ours, theirs)) = line.split_once('\t').or_else(|| line.split_once(',')) else {
            return Err(Failure::Misuse(format!(
                "{}:{}: one column where two are needed\n  write our value, a comma or a tab, and your term",
                named(file),
                i + 1
            )));
        };
        pairs.push((ours.trim().to_string(), theirs.trim().trim_matches('"').to_string()));
    }
    Ok(Terms::new(pairs))
}

fn failed(e: Error, target: Option<&Path>) -> Failure {
    let kept = |said: String| match target {
        Some(file) => Failure::Misuse(format!("{said}\n  {} was not touched", named(file))),
        None => Failure::Misuse(said),
    };
    match e {
        Error::Write(e) if target.is_none() => Failure::Write(e),
        Error::Head(s) => Failure::Misuse(s),
        other => kept(other.to_string()),
    }
}

/// Rows whose stated date disagrees, surest first.
fn worklist(s: &Summary) -> String {
    let mut text = String::from("row\tline\tverdict\tstated\tbest\tsure\tmarks\n");
    for d in &s.disagreements {
        let number = [d.row.to_string(), d.line.to_string()];
        let [stated, marks] = [one_line(&d.stated), one_line(&d.marks)];
        let cells = [d.verdict.word(), &stated, &d.best, d.sure(), &marks];
        text.push_str(&format!("{}\t{}\n", number.join("\t"), cells.join("\t")));
    }
    text
}

/// Rows whose answer differs between two results, on standard output.
fn changed(old: &Path, new: File, added: &[String]) -> Result<(), Failure> {
    let open = |p: &Path| File::open(p).map_err(|e| unusable(p, &e));
    let changes = puncheon_catalogue::changes(open(old)?, new, added)
        .map_err(|e| Failure::Misuse(e.to_string()))?;
    let mut out = Out::text();
    writeln!(out, "row\tcolumn\twas\tis")?;
    for c in changes {
        let c = c.map_err(|e| Failure::Misuse(e.to_string()))?;
        let cells = [&c.column, &c.was, &c.is].map(|cell| one_line(cell));
        writeln!(out, "{}\t{}", c.row, cells.join("\t"))?;
    }
    out.flush()?;
    Ok(())
}

/// Tells a terminal how far it is.
struct Teller {
    size: Option<u64>,
    terminal: bool,
    last: Duration,
}

impl Teller {
    fn new(size: Option<u64>, terminal: bool) -> Teller {
        Teller { size, terminal, last: Duration::ZERO }
    }

    fn tell(&mut self, p: Progress) {
        if !self.terminal || p.elapsed < self.last + TOLD {
            return;
        }
        self.last = p.elapsed;
        let seconds = p.elapsed.as_secs_f64();
        let left = self.size.filter(|s| p.bytes > 0 && *s > p.bytes).map_or(String::new(), |s| {
            let left = seconds * (s - p.bytes) as f64 / p.bytes as f64;
            format!(", about {left:.0} s left")
        });
        let rate = p.rows as f64 / seconds;
        steer(&format!("\r{} rows, {rate:.0} a second{left}\u{1b}[K", p.rows));
    }

    fn clear(&self) {
        if self.terminal && self.last > Duration::ZERO {
            steer("\r\u{1b}[K");
        }
    }
}

/// Writes over the line that was told last.
fn steer(line: &str) {
    let _ = write!(io::stderr(), "{line}");
}

/// Terms that stood in no cell, on standard error: one may be misspelt.
fn tell_terms(file: &Path, terms: &Terms) {
    let not_met = terms.not_met();
    if not_met.is_empty() {
        return;
    }
    let terms: Vec<String> =
        not_met.iter().take(MOST_WORDS).map(|t| format!("\"{}\"", t)).collect();
    let more = match not_met.len() - terms.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    aside!("Values of {} that stood in no cell: {}{more}", named(file), terms.join(", "));
}

/// The summary, on standard error.
fn tell(a: &EnrichArgs, s: &Summary, target: Option<&Path>, sheet: bool) {
    let to = target.map_or("standard output".to_string(), named);
    let rows = if s.rows == 1 { "row" } else { "rows" };
    aside!(
        "{}: {} {rows} read, {} written to {to} in {:.1} s",
        named(&a.input),
        s.rows,
        s.rows,
        s.elapsed
    );
    let counts = |map: &std::collections::BTreeMap<String, u64>| {
        let all: Vec<String> = map.iter().map(|(k, n)| format!("{k} {n}")).collect();
        all.join(", ")
    };
    if !s.outcomes.is_empty() {
        aside!("  outcomes: {}", counts(&s.outcomes));
    }
    if !s.verdicts.is_empty() {
        aside!("  stated dates: {}", counts(&s.verdicts));
    }
    if a.worklist.is_some() && s.disagreements.len() == DISAGREEMENTS {
        aside!("  the worklist holds the first {DISAGREEMENTS} rows that disagree, and no more");
    }
    if s.problems > 0 {
        // Every row of a sheet can be read; what can go wrong is the room for the answer.
        let (wrong, line) = match (sheet, s.problems) {
            (true, 1) => ("answer does not fit into a cell", "row"),
            (true, _) => ("answers do not fit into a cell", "row"),
            (false, 1) => ("row could not be read and was kept as it is", "line"),
            (false, _) => ("rows could not be read and were kept as they are", "line"),
        };
        aside!("  {} {wrong}:", s.problems);
        for p in &s.first_problems {
            aside!("    {line} {}, column {}: {}", p.line, p.column, p.wrong);
        }
        if s.first_problems.iter().any(|p| p.wrong == Wrong::NotUtf8) {
            aside!("    save the catalogue as UTF-8, and those rows can be read");
        }
        match s.problems - s.first_problems.len() as u64 {
            0 => {}
            more if a.rejects.is_some() => aside!("    and {more} more, in the file of rejects"),
            more => aside!("    and {more} more; --rejects FILE lists them all"),
        }
    }
    if !s.not_understood.is_empty() {
        let words: Vec<String> = s
            .not_understood
            .iter()
            .take(MOST_WORDS)
            .map(|(w, n)| format!("\"{}\" {n}", w))
            .collect();
        aside!("Words most often not understood: {}", words.join(", "));
    }
}
