//! Spreadsheets: the rows of one sheet of a workbook with the answers behind them, the other sheets
//! as they are.
//!
//! Marks and claims are handed to [`Enricher::run`] as a text of two columns, so that a spreadsheet
//! is answered and counted by the same code as any other catalogue.

use std::fs::File;
use std::io::{self, BufReader, Write};
use std::sync::Mutex;
use std::sync::mpsc::sync_channel;
use std::thread;
use std::time::Instant;

use calamine::{
    DataRef, Reader, SheetType, SheetVisible, Xlsx, XlsxCellReader, XlsxError as Unread,
};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format as Look, Workbook, Worksheet, XlsxError as Unwritten,
};

use crate::columns::Column;
use crate::error::Error;
use crate::gathered::{Progress, Watch};
use crate::holds;
use crate::settings::{Enricher, Format};
use crate::split::{self, Dialect};
use crate::summary::{Problem, Summary};

/// The columns of the text that is handed on.
const MARKS: &str = "marks";
const CLAIM: &str = "claim";
/// How that text is written. Its head holds one tab, so it is found to be so.
const TABS: Dialect = Dialect { delimiter: b'\t', bom: false };
/// Columns that a sheet can have.
const WIDEST: u32 = 1 << 14;
/// UTF-16 units that a cell can hold.
const LONGEST: usize = 32_767;
/// Rows after which the caller is asked whether to go on.
const ASKED: u64 = 1024;
/// Days from the first day of the one way of counting dates to that of the other.
const LATER_EPOCH: f64 = 1462.0;
/// Problems that a summary names.
const NAMED: usize = 10;

/// A workbook whose rows are to be answered.
pub struct Book {
    xlsx: Xlsx<BufReader<File>>,
    size: u64,
    lost: Vec<String>,
}

/// What the first pass over a sheet finds.
struct Found {
    /// Marks and claims, one row a row of the sheet that holds anything.
    text: Vec<u8>,
    /// The rows of the sheet where those stand, from 1.
    places: Vec<u32>,
    /// Columns in use in any row.
    width: u32,
    added: Vec<String>,
}

impl Book {
    /// Opens a workbook of the kind .xlsx.
    ///
    /// # Errors
    /// If the file is not a whole workbook of that kind.
    pub fn open(file: File) -> Result<Book, Error> {
        let size = file.metadata().map_err(Error::Read)?.len();
        let lost = holds::lost(&file);
        let xlsx = Xlsx::new(BufReader::new(file)).map_err(|e| match e {
            Unread::Io(e) => Error::Read(e),
            Unread::Password => bad(
                "the workbook is locked with a password\n  save it without one".into(),
            ),
            // How an archive is built helps nobody to mend it.
            Unread::Zip(_) => bad(
                "it is no whole .xlsx workbook\n  open it in a spreadsheet program and save it as .xlsx"
                    .into(),
            ),
            e => bad(format!(
                "it is no whole .xlsx workbook ({e})\n  open it in a spreadsheet program and save it as .xlsx"
            )),
        })?;
        Ok(Book { xlsx, size, lost })
    }

    /// What the workbook holds that is not kept when it is written with the answers, in words: notes,
    /// links, formulas, formats and the like. Empty if nothing of the user's is lost but how sheets
    /// are shown and printed.
    pub fn lost(&self) -> &[String] {
        &self.lost
    }

    /// The names of the sheets that hold cells, in order.
    pub fn sheets(&self) -> Vec<String> {
        self.named(true)
    }

    /// The names of the sheets that hold no cells, such as charts. They are not copied.
    pub fn left_out(&self) -> Vec<String> {
        self.named(false)
    }

    fn named(&self, cells: bool) -> Vec<String> {
        let all = self.xlsx.sheets_metadata().iter();
        all.filter(|s| (s.typ == SheetType::WorkSheet) == cells).map(|s| s.name.clone()).collect()
    }

    /// Writes the workbook with the answers behind the rows of one sheet: the sheet of this name, or
    /// the first that is shown. The first row that holds anything is its head; a row that holds
    /// nothing is no row.
    ///
    /// Values and their types are kept. Formulas become their values, and formats are lost, with
    /// what else [`Book::lost`] names.
    ///
    /// # Errors
    /// If there is no such sheet, its head lacks the columns named or has one that would be added,
    /// a cell cannot be read, writing fails, or the caller stops it by answering false. What was
    /// written by then is not a workbook. The new workbook is held in memory until it is written.
    pub fn enrich(
        mut self,
        enricher: &Enricher,
        sheet: Option<&str>,
        output: impl Write + Send,
        progress: &mut dyn FnMut(Progress) -> bool,
    ) -> Result<Summary, Error> {
        let start = Instant::now();
        let chosen = self.chosen(sheet)?;
        let mut go_on = |rows: u64, bytes: u64| {
            let told = Progress { rows, bytes, elapsed: start.elapsed() };
            if progress(told) { Ok(()) } else { Err(Error::Stopped(rows)) }
        };
        let found = self.find(enricher, &chosen, &mut || go_on(0, 0))?;
        let mut book = Workbook::new();
        book.set_properties(&self.properties());
        let looks = Looks::new(self.xlsx.has_1904_epoch());
        let mut summary = Summary::default();
        let mut shown = false;
        let sheets = self.xlsx.sheets_metadata().to_vec();
        for s in sheets.iter().filter(|s| s.typ == SheetType::WorkSheet) {
            // Kept in memory until all is answered: the writer's other way, a temporary file for each
            // sheet, ends the program where the disk is full.
            let to = book.add_worksheet();
            to.set_name(&s.name).map_err(unwritten)?;
            match s.visible {
                SheetVisible::Visible => {
                    // A program opens a workbook at its first sheet unless told otherwise, and
                    // that one may be hidden.
                    to.set_active(!shown).set_first_tab(!shown);
                    shown = true;
                }
                SheetVisible::Hidden => {
                    to.set_hidden(true);
                }
                SheetVisible::VeryHidden => {
                    to.set_very_hidden(true);
                }
            }
            let mut from = Rows::of(&mut self.xlsx, &s.name)?;
            if s.name == chosen {
                let rows = found.places.len().max(1);
                let size = self.size;
                let mut told = |p: Progress| {
                    let share = p.rows as f64 / rows as f64;
                    go_on(p.rows, (size as f64 * share) as u64).is_ok()
                };
                summary = answer(enricher, &found, from, to, &looks, &mut told)?;
            } else {
                let mut rows = 0u64;
                while let Some((row, cells)) = from.next()? {
                    copy(to, row, &cells, &s.name, &looks)?;
                    rows += 1;
                    if rows.is_multiple_of(ASKED) {
                        go_on(summary.rows, 0)?;
                    }
                }
            }
        }
        go_on(summary.rows, self.size)?;
        // The writer takes a thread for each sheet, and would end the program if it got none.
        if !can_start(sheets.len()) {
            return Err(Error::Write(io::Error::other(
                "no threads can be started, and a workbook takes one for each sheet\n  save the sheet as CSV and enrich that",
            )));
        }
        let output = Failing { to: output, failed: false };
        book.save_to_writer(output).map_err(unwritten)?;
        summary.bytes = self.size;
        summary.elapsed = start.elapsed().as_secs_f64();
        Ok(summary)
    }

    fn chosen(&self, wanted: Option<&str>) -> Result<String, Error> {
        let all = self.sheets();
        let shown = |s: &&calamine::Sheet| {
            s.typ == SheetType::WorkSheet && s.visible == SheetVisible::Visible
        };
        let found = match wanted {
            None => {
                let first = self.xlsx.sheets_metadata().iter().find(shown);
                first.map(|s| &s.name).or(all.first())
            }
            // Names of sheets differ in more than their capitals.
            Some(w) => {
                let same = |s: &&String| s.trim().to_lowercase() == w.trim().to_lowercase();
                all.iter().find(|s| *s == w).or(all.iter().find(same))
            }
        };
        found.cloned().ok_or_else(|| {
            let names: Vec<String> = all.iter().map(|s| format!("\"{s}\"")).collect();
            Error::Head(match wanted {
                Some(w) => {
                    format!("no sheet is called \"{w}\"\n  the sheets are {}", names.join(", "))
                }
                None => "the workbook has no sheet with cells\n  put the catalogue into one".into(),
            })
        })
    }

    /// Reads the sheet once, so that everything that is wrong with it is said before anything is
    /// written, and so that the answers can stand behind its widest row.
    fn find(
        &mut self,
        enricher: &Enricher,
        sheet: &str,
        go_on: &mut dyn FnMut() -> Result<(), Error>,
    ) -> Result<Found, Error> {
        let mut rows = Rows::of(&mut self.xlsx, sheet)?;
        let Some((_, head)) = rows.next()? else {
            return Err(Error::Head(format!(
                "the sheet \"{sheet}\" is empty\n  its first row must hold the names of the columns; choose another sheet with --sheet"
            )));
        };
        let names: Vec<String> = head.iter().map(|(_, v)| said(v)).collect();
        let (marks, claim, added) = enricher.columns_in(&names)?;
        let marks = head[marks].0;
        let claim = claim.map(|c| head[c].0);
        let mut found = Found {
            text: format!("{MARKS}\t{CLAIM}\n").into_bytes(),
            places: Vec::new(),
            width: after(&head),
            added,
        };
        while let Some((row, cells)) = rows.next()? {
            let text = |column| {
                let cell = cells.iter().find(|(c, _)| *c == column);
                // A zero byte would make a row of a text unreadable.
                cell.map_or(String::new(), |(_, v)| said(v).replace('\0', "\u{fffd}"))
            };
            split::push(&mut found.text, text(marks).as_bytes(), TABS);
            found.text.push(TABS.delimiter);
            let stated = claim.map_or(String::new(), text);
            split::push(&mut found.text, stated.as_bytes(), TABS);
            found.text.push(b'\n');
            found.width = found.width.max(after(&cells));
            found.places.push(row + 1);
            if (found.places.len() as u64).is_multiple_of(ASKED) {
                go_on()?;
            }
        }
        if found.width + found.added.len() as u32 > WIDEST {
            return Err(Error::Head(format!(
                "the sheet \"{sheet}\" has {} columns, and {} more do not fit into {WIDEST}\n  choose fewer with --add, or remove what stands in its last columns",
                found.width,
                found.added.len()
            )));
        }
        Ok(found)
    }

    /// What is said of the workbook as a whole.
    fn properties(&mut self) -> DocProperties {
        // They are no cells: where they cannot be read, the rows are still worth having.
        let p = self.xlsx.workbook_properties().unwrap_or_default();
        let created = p
            .created
            .as_deref()
            .and_then(|c| ExcelDateTime::parse_from_str(c).ok())
            // The time of the run would make two results of the same workbook differ.
            .or_else(|| ExcelDateTime::from_timestamp(0).ok());
        let mut to = DocProperties::new();
        type Set = fn(DocProperties, String) -> DocProperties;
        let said: [(Option<String>, Set); 9] = [
            (p.title, DocProperties::set_title),
            (p.subject, DocProperties::set_subject),
            (p.creator, DocProperties::set_author),
            (p.manager, DocProperties::set_manager),
            (p.company, DocProperties::set_company),
            (p.category, DocProperties::set_category),
            (p.keywords, DocProperties::set_keywords),
            (p.description, DocProperties::set_comment),
            (p.content_status, DocProperties::set_status),
        ];
        for (value, set) in said {
            if let Some(value) = value {
                to = set(to, value);
            }
        }
        match created {
            Some(c) => to.set_creation_datetime(&c),
            None => to,
        }
    }
}

/// An output that fails once. The archive's writer tries to close the archive after a failure, and
/// would print a second complaint if that failed too.
struct Failing<W> {
    to: W,
    failed: bool,
}

impl<W: Write> Write for Failing<W> {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        if self.failed {
            return Ok(buf.len());
        }
        let written = self.to.write(buf);
        let again = |e: &io::Error| e.kind() == io::ErrorKind::Interrupted;
        self.failed = written.as_ref().is_err_and(|e| !again(e));
        written
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.failed {
            return Ok(());
        }
        let flushed = self.to.flush();
        self.failed = flushed.is_err();
        flushed
    }
}

/// Can so many threads be started at a time?
fn can_start(threads: usize) -> bool {
    let (held, holds) = sync_channel::<()>(0);
    let holds = Mutex::new(holds);
    thread::scope(|scope| {
        let wait = || {
            // Until all are there.
            let _ = holds.lock().map(|h| h.recv());
        };
        let all = (0..threads).all(|_| thread::Builder::new().spawn_scoped(scope, wait).is_ok());
        drop(held);
        all
    })
}

/// The column after the last of a row.
fn after(row: &[(u32, DataRef)]) -> u32 {
    row.iter().map(|(c, _)| c + 1).max().unwrap_or(0)
}

fn bad(wrong: String) -> Error {
    Error::Read(io::Error::new(io::ErrorKind::InvalidData, wrong))
}

fn unwritten(e: Unwritten) -> Error {
    Error::Write(match e {
        Unwritten::IoError(e) => e,
        e => io::Error::other(e),
    })
}

/// The name of a cell, such as B7.
fn place(row: u32, column: u32) -> String {
    let mut letters = Vec::new();
    let mut left = column + 1;
    while left > 0 {
        left -= 1;
        letters.insert(0, (b'A' + (left % 26) as u8) as char);
        left /= 26;
    }
    format!("{}{}", letters.iter().collect::<String>(), row + 1)
}

/// A row of a sheet: its number, and its cells with the columns where they stand.
type Row<'a> = (u32, Vec<(u32, DataRef<'a>)>);

/// The rows of a sheet that hold anything, one after another.
struct Rows<'a> {
    cells: XlsxCellReader<'a, BufReader<File>>,
    sheet: String,
    /// The first cell of the next row.
    held: Option<(u32, u32, DataRef<'a>)>,
    last: u32,
    /// The reader would read on past the last cell, so it is not asked again.
    ended: bool,
}

impl<'a> Rows<'a> {
    fn of(xlsx: &'a mut Xlsx<BufReader<File>>, sheet: &str) -> Result<Rows<'a>, Error> {
        let cells = xlsx.worksheet_cells_reader(sheet).map_err(|e| {
            bad(format!(
                "the sheet \"{sheet}\" is damaged ({e})\n  open the workbook in a spreadsheet program and save it again"
            ))
        })?;
        Ok(Rows { cells, sheet: sheet.to_string(), held: None, last: 0, ended: false })
    }

    fn next(&mut self) -> Result<Option<Row<'a>>, Error> {
        let mut row: Option<Row> = None;
        loop {
            let next = match self.held.take() {
                Some(cell) => Some(cell),
                None => self.cell()?,
            };
            match (next, &mut row) {
                (None, _) => return Ok(row),
                (Some((r, c, v)), None) => row = Some((r, vec![(c, v)])),
                (Some((r, c, v)), Some((of, cells))) if r == *of => cells.push((c, v)),
                (held, _) => {
                    self.held = held;
                    return Ok(row);
                }
            }
        }
    }

    /// The next cell that holds anything.
    fn cell(&mut self) -> Result<Option<(u32, u32, DataRef<'a>)>, Error> {
        while !self.ended {
            let next = self.cells.next_cell_with_formula_metadata();
            let Some(cell) = next.map_err(|e| self.unread(&e))? else {
                self.ended = true;
                break;
            };
            let (row, column) = cell.pos;
            let at = || format!("sheet \"{}\", cell {}", self.sheet, place(row, column));
            if row < self.last {
                return Err(bad(format!(
                    "{}: the row stands after row {}\n  open the workbook in a spreadsheet program and save it again",
                    at(),
                    self.last + 1
                )));
            }
            self.last = row;
            match cell.value {
                // Its value would be lost without a word.
                DataRef::Empty if cell.formula.is_some() => {
                    return Err(bad(format!(
                        "{}: the formula has no value yet\n  open the workbook in a spreadsheet program, which works it out, and save it again",
                        at()
                    )));
                }
                DataRef::Empty => {}
                DataRef::String(s) if s.is_empty() => {}
                DataRef::SharedString("") => {}
                value => return Ok(Some((row, column, value))),
            }
        }
        Ok(None)
    }

    fn unread(&self, e: &Unread) -> Error {
        let at = format!("sheet \"{}\", row {} or after", self.sheet, self.last + 1);
        bad(match e {
            Unread::CellError(what) => format!(
                "{at}: a cell holds the error {what}, which is not known here\n  mend its formula, or put text in its place"
            ),
            e => {
                format!("{at}: {e}\n  open the workbook in a spreadsheet program and save it again")
            }
        })
    }
}

/// What stands in a cell, as a text would have it.
fn said(value: &DataRef) -> String {
    match value {
        DataRef::Empty => String::new(),
        DataRef::Int(n) => n.to_string(),
        DataRef::Float(n) => n.to_string(),
        DataRef::String(s) | DataRef::DateTimeIso(s) | DataRef::DurationIso(s) => s.clone(),
        DataRef::SharedString(s) => s.to_string(),
        DataRef::Bool(b) => if *b { "TRUE" } else { "FALSE" }.into(),
        DataRef::DateTime(d) => {
            let (y, m, day, h, min, s, _) = d.to_ymd_hms_milli();
            let time = format!("{h:02}:{min:02}:{s:02}");
            match Moment::of(d.as_f64(), d.is_duration()) {
                Moment::Day => format!("{y:04}-{m:02}-{day:02}"),
                Moment::DayAndTime => format!("{y:04}-{m:02}-{day:02} {time}"),
                Moment::Time => time,
                Moment::Span => {
                    let s = (d.as_f64() * 86_400.0).round() as i64;
                    format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
                }
            }
        }
        DataRef::Error(e) => e.to_string(),
    }
}

/// What a number of days stands for.
enum Moment {
    Day,
    DayAndTime,
    Time,
    Span,
}

impl Moment {
    fn of(days: f64, span: bool) -> Moment {
        match days {
            _ if span => Moment::Span,
            d if (0.0..1.0).contains(&d) => Moment::Time,
            d if d.fract() == 0.0 => Moment::Day,
            _ => Moment::DayAndTime,
        }
    }
}

/// How dates and times are shown.
struct Looks {
    day: Look,
    day_and_time: Look,
    time: Look,
    span: Look,
    /// Dates are counted from the later of the two epochs, and must be written from the earlier.
    later: bool,
}

impl Looks {
    fn new(later: bool) -> Looks {
        let look = |format| Look::new().set_num_format(format);
        Looks {
            day: look("yyyy-mm-dd"),
            day_and_time: look("yyyy-mm-dd hh:mm:ss"),
            time: look("hh:mm:ss"),
            span: look("[h]:mm:ss"),
            later,
        }
    }

    /// Puts a value into a cell.
    fn put(&self, to: &mut Worksheet, row: u32, column: u16, v: &DataRef) -> Result<(), Unwritten> {
        match v {
            DataRef::Empty => return Ok(()),
            DataRef::Int(n) => to.write_number(row, column, *n as f64)?,
            DataRef::Float(n) => to.write_number(row, column, *n)?,
            DataRef::Bool(b) => to.write_boolean(row, column, *b)?,
            DataRef::DateTime(d) => {
                let days = d.as_f64();
                let from = if self.later { LATER_EPOCH } else { 0.0 };
                let (days, look) = match Moment::of(days, d.is_duration()) {
                    Moment::Day => (days + from, &self.day),
                    Moment::DayAndTime => (days + from, &self.day_and_time),
                    Moment::Time => (days, &self.time),
                    Moment::Span => (days, &self.span),
                };
                to.write_number_with_format(row, column, days, look)?
            }
            DataRef::DateTimeIso(s) => match ExcelDateTime::parse_from_str(s) {
                Ok(d) => {
                    let look = match (s.contains('-'), s.contains(':')) {
                        (true, true) => &self.day_and_time,
                        (true, false) => &self.day,
                        _ => &self.time,
                    };
                    to.write_datetime_with_format(row, column, d, look)?
                }
                // A day before the first that a spreadsheet counts stays the text that it is.
                Err(_) => to.write_string(row, column, s)?,
            },
            // Written as text: a formula that begins with an equals sign is one no more.
            v => to.write_string(row, column, said(v))?,
        };
        Ok(())
    }
}

fn copy(
    to: &mut Worksheet,
    row: u32,
    cells: &[(u32, DataRef)],
    sheet: &str,
    looks: &Looks,
) -> Result<(), Error> {
    for (column, value) in cells {
        let at = || format!("sheet \"{sheet}\", cell {}", place(row, *column));
        let narrow = u16::try_from(*column)
            .map_err(|_| bad(format!("{}: a sheet has no more than {WIDEST} columns", at())))?;
        looks.put(to, row, narrow, value).map_err(|e| match e {
            Unwritten::MaxStringLengthExceeded => bad(format!(
                "{}: a text of more than {LONGEST} characters\n  shorten it: no .xlsx workbook can hold it",
                at()
            )),
            Unwritten::RowColumnLimitError => {
                bad(format!("{}: it lies outside what a sheet can hold", at()))
            }
            e => unwritten(e),
        })?;
    }
    Ok(())
}

/// Copies a sheet with the answers.
fn answer(
    enricher: &Enricher,
    found: &Found,
    from: Rows,
    to: &mut Worksheet,
    looks: &Looks,
    progress: &mut dyn FnMut(Progress) -> bool,
) -> Result<Summary, Error> {
    let numbers = enricher.columns.iter().map(|c| Column::is_number(*c));
    let mut answered = Answered {
        from,
        to,
        looks,
        width: found.width,
        added: &found.added,
        numbers: numbers.collect(),
        rows: 0,
        problems: Vec::new(),
        problem_count: 0,
        failed: None,
    };
    answered.head()?;
    let of_text = Enricher {
        marks: MARKS.into(),
        claim: enricher.claim.as_ref().map(|_| CLAIM.into()),
        prefix: String::new(),
        format: Format::Delimited,
        ..enricher.clone()
    };
    let watch = Watch { progress, rejects: None };
    let summary = of_text.run(&found.text[..], &mut answered, watch);
    if let Some(e) = answered.failed {
        return Err(e);
    }
    let mut summary = summary?;
    for d in &mut summary.disagreements {
        d.line = u64::from(found.places[d.row as usize - 1]);
    }
    summary.problems += answered.problem_count;
    summary.first_problems.extend(answered.problems);
    Ok(summary)
}

/// Takes the answers as a text and puts them behind the rows that they belong to.
struct Answered<'a> {
    from: Rows<'a>,
    to: &'a mut Worksheet,
    looks: &'a Looks,
    /// Columns before the added ones.
    width: u32,
    added: &'a [String],
    /// For each added column, does it hold numbers? The columns past these hold none.
    numbers: Vec<bool>,
    /// Records taken, the head among them.
    rows: u64,
    problems: Vec<Problem>,
    problem_count: u64,
    /// Why writing ended; a writer can only tell that it did.
    failed: Option<Error>,
}

impl Answered<'_> {
    fn head(&mut self) -> Result<(), Error> {
        if let Some((row, cells)) = self.from.next()? {
            copy(self.to, row, &cells, &self.from.sheet, self.looks)?;
            for (i, name) in self.added.iter().enumerate() {
                let column = self.column(i);
                self.to.write_string(row, column, name).map_err(unwritten)?;
            }
        }
        Ok(())
    }

    /// Where an added cell stands. There is room for all: the first pass has seen to it.
    fn column(&self, i: usize) -> u16 {
        u16::try_from(self.width as usize + i).unwrap_or(u16::MAX)
    }

    fn row(&mut self, cells: &[String]) -> Result<(), Error> {
        let Some((row, own)) = self.from.next()? else {
            return Err(bad("the workbook changed while it was read".into()));
        };
        copy(self.to, row, &own, &self.from.sheet, self.looks)?;
        for (i, cell) in cells.iter().enumerate().filter(|(_, c)| !c.is_empty()) {
            let column = self.column(i);
            let number = self.numbers.get(i).is_some_and(|n| *n);
            let long = cell.len() > LONGEST && cell.encode_utf16().count() > LONGEST;
            let put = match cell.parse::<i32>() {
                Ok(n) if number => self.to.write_number(row, column, n),
                _ if long => {
                    let wrong = format!(
                        "\"{}\" is left out: it takes more than the {LONGEST} characters that a cell can hold",
                        self.added[i]
                    );
                    let put = self.to.write_string(row, column, &wrong);
                    self.problem_count += 1;
                    if self.problems.len() < NAMED {
                        self.problems.push(Problem {
                            row: self.rows,
                            line: u64::from(row) + 1,
                            column: u64::from(column) + 1,
                            wrong: wrong.into(),
                        });
                    }
                    put
                }
                _ => self.to.write_string(row, column, cell),
            };
            put.map_err(unwritten)?;
        }
        Ok(())
    }
}

impl Write for Answered<'_> {
    /// Takes whole records: [`Enricher::run`] writes its head in one piece, and its rows in pieces
    /// of whole rows.
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        let (mut at, mut ranges) = (0, Vec::new());
        while at < buf.len() {
            let Some(r) = split::record(buf, at, true, TABS) else {
                break;
            };
            at = r.end;
            // The head of the text is not that of the sheet.
            if self.rows > 0 {
                let body = &buf[r.body];
                split::fields(body, TABS, &mut ranges);
                let cells: Vec<String> = ranges
                    .iter()
                    .skip(2)
                    .map(|r| String::from_utf8_lossy(&split::plain(&body[r.clone()])).into_owned())
                    .collect();
                if let Err(e) = self.row(&cells) {
                    self.failed = Some(e);
                    return Err(io::Error::other("the sheet could not be written"));
                }
            }
            self.rows += 1;
        }
        Ok(buf.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
