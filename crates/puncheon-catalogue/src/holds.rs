//! What a workbook holds that is not kept when it is written again.
//!
//! The parts, elements and attributes of which nothing is lost are listed; whatever is not listed is
//! taken to be lost. How a sheet looks on the screen and prints (widths, heights, views, margins, the
//! usual letters) counts as nothing, and so does the look of a date, which stays a date.

use std::collections::HashMap;
use std::io::{BufRead, BufReader, Read, Seek};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

/// The part that says what each part is.
const TYPES: &str = "[Content_Types].xml";

/// What a part is, by the end of its type.
const SHEET: &str = "spreadsheetml.worksheet+xml";
const STRINGS: &str = "spreadsheetml.sharedStrings+xml";
const STYLES: &str = "spreadsheetml.styles+xml";
const BOOK: &str = "spreadsheetml.sheet.main+xml";
/// Parts that say something of the workbook as a whole, one property an element.
const PROPERTIES: [&str; 2] = ["package.core-properties+xml", "extended-properties+xml"];
/// Parts that hold nothing of the user's, or what is kept.
const KEPT: [&str; 4] = [
    "relationships+xml",
    "theme+xml",
    "spreadsheetml.calcChain+xml",
    "spreadsheetml.printerSettings",
];

/// Properties that are written again.
const WRITTEN: [&str; 10] = [
    "title",
    "subject",
    "creator",
    "Manager",
    "Company",
    "category",
    "keywords",
    "description",
    "contentStatus",
    "created",
];
/// Properties that programs write for themselves, by saving and printing.
const OF_PROGRAMS: [&str; 15] = [
    "Application",
    "AppVersion",
    "DocSecurity",
    "HeadingPairs",
    "HyperlinksChanged",
    "LinksUpToDate",
    "ScaleCrop",
    "SharedDoc",
    "TitlesOfParts",
    "TotalTime",
    // That of whoever saved it last, and unasked.
    "language",
    "lastModifiedBy",
    "lastPrinted",
    "modified",
    "revision",
];

/// Elements that hold nothing of the user's, or what is kept, each within another.
const PLAIN: [(&str, &[&str]); 16] = [
    (
        "worksheet",
        &[
            "sheetPr",
            "dimension",
            "sheetViews",
            "sheetFormatPr",
            "cols",
            "sheetData",
            "phoneticPr",
            "printOptions",
            "pageMargins",
            "pageSetup",
            "headerFooter",
        ],
    ),
    ("sheetPr", &["outlinePr", "pageSetUpPr"]),
    ("sheetViews", &["sheetView"]),
    ("sheetView", &["selection"]),
    (
        "headerFooter",
        &["oddHeader", "oddFooter", "evenHeader", "evenFooter", "firstHeader", "firstFooter"],
    ),
    ("cols", &["col"]),
    ("sheetData", &["row"]),
    ("row", &["c"]),
    ("c", &["v", "is"]),
    ("is", &["t", "r", "phoneticPr"]),
    ("sst", &["si"]),
    ("si", &["t", "r", "phoneticPr"]),
    ("r", &["t"]),
    (
        "workbook",
        &[
            "fileVersion",
            "workbookPr",
            "revisionPtr",
            "bookViews",
            "sheets",
            "calcPr",
            "fileRecoveryPr",
        ],
    ),
    ("bookViews", &["workbookView"]),
    ("sheets", &["sheet"]),
];
/// Elements of the workbook's part that a program writes for itself, with all that is in them.
const OWN: [&str; 2] = ["AlternateContent", "extLst"];

/// What things are called, by a part of the names that they have in a workbook. What has no word here
/// is called as it is there.
const WORDS: [(&str, &str); 30] = [
    ("conditionalFormatting", "conditional formats"),
    ("threadedComment", "notes"),
    ("comments", "notes"),
    ("person+xml", "notes"),
    ("legacyDrawing", "notes or controls"),
    ("vmlDrawing", "notes or controls"),
    ("chartsheet", "sheets of charts"),
    ("drawing", "pictures or charts"),
    ("chart", "pictures or charts"),
    ("image/", "pictures or charts"),
    ("picture", "pictures or charts"),
    ("hyperlink", "links"),
    ("externalLink", "links to other workbooks"),
    ("externalReferences", "links to other workbooks"),
    ("autoFilter", "filters"),
    ("sortState", "filters"),
    ("dataValidation", "rules for what may be typed"),
    ("pane", "frozen or split panes"),
    ("mergeCells", "merged cells"),
    ("pivot", "pivot tables"),
    ("tableParts", "tables"),
    ("spreadsheetml.table", "tables"),
    ("rotection", "protection"),
    ("fileSharing", "protection"),
    ("protectedRanges", "protection"),
    ("definedNames", "names of cells"),
    ("Breaks", "page breaks"),
    ("tabColor", "coloured tabs"),
    ("custom-properties", "properties of its own"),
    ("vbaProject", "macros"),
];

/// Rows and columns that are there and not seen.
const HIDDEN: &str = "hidden or grouped rows or columns";

/// What is not kept, in the words of [`WORDS`], each once.
#[derive(Default)]
struct Lost(Vec<String>);

impl Lost {
    /// Adds a thing that is called so in the workbook.
    fn found(&mut self, name: &str) {
        let word = WORDS.iter().find(|(part, _)| name.contains(part));
        self.word(word.map_or(name, |w| w.1));
    }

    fn word(&mut self, word: &str) {
        if !self.0.iter().any(|w| w == word) {
            self.0.push(word.to_string());
        }
    }
}

/// What a workbook holds that is not kept; a part that cannot be read is said to be so.
pub(crate) fn lost(file: impl Read + Seek) -> Vec<String> {
    let mut lost = Lost::default();
    let mut part = TYPES.to_string();
    if search(file, &mut part, &mut lost).is_none() {
        lost.word(&format!("what cannot be read in its part {part}"));
    }
    lost.0
}

/// Looks through every part. None where one cannot be read: `part` names it.
fn search(file: impl Read + Seek, part: &mut String, lost: &mut Lost) -> Option<()> {
    let mut archive = ZipArchive::new(BufReader::new(file)).ok()?;
    let mut listed = Vec::new();
    archive.by_name(TYPES).ok()?.read_to_end(&mut listed).ok()?;
    let types = Types::read(&listed)?;
    let names = archive.file_names().map(|n| n.map(|n| n.into_owned()));
    let names: Vec<String> = names.collect::<Result<_, _>>().ok()?;
    let mut looks = Looks::default();
    for name in names.iter().filter(|n| types.of(n).ends_with(STYLES)) {
        part.clone_from(name);
        looks.read(BufReader::new(archive.by_name(name).ok()?))?;
    }
    for name in &names {
        part.clone_from(name);
        let kind = types.of(name);
        let is = |end: &str| kind.ends_with(end);
        if name.ends_with('/') || name == TYPES || KEPT.into_iter().any(is) || is(STYLES) {
            continue;
        }
        if PROPERTIES.into_iter().any(is) {
            properties(BufReader::new(archive.by_name(name).ok()?), lost)?;
            continue;
        }
        if ![SHEET, STRINGS, BOOK].into_iter().any(is) {
            // What is only called text says nothing: its name may.
            lost.found(if kind.ends_with("/xml") || kind.is_empty() { name } else { kind });
            continue;
        }
        let text = BufReader::new(archive.by_name(name).ok()?);
        elements(text, &mut |within, tag, empty| element(within, tag, empty, &looks, lost))?;
    }
    Some(())
}

/// Judges one element. False if what is in it is not to be looked at.
fn element(within: &str, tag: &BytesStart, empty: bool, looks: &Looks, lost: &mut Lost) -> bool {
    let name = local(tag);
    if within.is_empty() {
        return true;
    }
    if within == "workbook" && OWN.contains(&name.as_str()) {
        return false;
    }
    let listed = PLAIN.iter().find(|(w, _)| *w == within);
    if !listed.is_some_and(|(_, all)| all.contains(&name.as_str())) {
        match (within, name.as_str()) {
            ("c", "f") => lost.word("formulas"),
            ("r", "rPr") => lost.word("formats within a cell"),
            // An empty list holds nothing.
            _ if empty && attributes(tag).is_empty() => {}
            _ => lost.found(&name),
        }
        return false;
    }
    let set = |name: &str| value(tag, name).is_some_and(|v| !["0", "false"].contains(&&*v));
    match name.as_str() {
        // All rows of which nothing else is said.
        "sheetFormatPr" if set("zeroHeight") => lost.word(HIDDEN),
        "row" | "col" => {
            if ["hidden", "collapsed", "outlineLevel"].into_iter().any(set) {
                lost.word(HIDDEN);
            }
            let style = match name.as_str() {
                "row" if set("customFormat") => value(tag, "s"),
                "col" => value(tag, "style"),
                _ => None,
            };
            looks.judge(style.as_deref(), lost);
        }
        "c" => {
            for (name, value) in attributes(tag) {
                match (name.as_str(), value.as_str()) {
                    ("s", style) => looks.judge(Some(style), lost),
                    ("t", "e") => lost.word("errors"),
                    ("r" | "t", _) => {}
                    _ => lost.word("cells of another kind"),
                }
            }
        }
        _ => {}
    }
    true
}

/// Judges what is said of the workbook as a whole. None where it is no such text.
fn properties(text: impl BufRead, lost: &mut Lost) -> Option<()> {
    let mut reader = Reader::from_reader(text);
    let mut buffer = Vec::new();
    let (mut deep, mut property) = (0usize, String::new());
    loop {
        buffer.clear();
        let says = match reader.read_event_into(&mut buffer).ok()? {
            Event::Start(tag) => {
                deep += 1;
                if deep == 2 {
                    property = local(&tag);
                }
                deep > 2
            }
            Event::Empty(_) => deep > 1,
            Event::End(_) => {
                deep = deep.checked_sub(1)?;
                false
            }
            Event::Text(text) => deep > 1 && !text.trim_ascii().is_empty(),
            Event::CData(_) | Event::GeneralRef(_) => deep > 1,
            Event::Eof => return (deep == 0).then_some(()),
            _ => false,
        };
        let known = [&WRITTEN[..], &OF_PROGRAMS].concat();
        if says && !known.contains(&property.as_str()) {
            lost.word(&format!("the property {property}"));
        }
    }
}

/// Goes through the elements of a text, each with the name of that in which it stands, and whether it
/// holds nothing. None where it is no such text.
fn elements(
    text: impl BufRead,
    visit: &mut dyn FnMut(&str, &BytesStart, bool) -> bool,
) -> Option<()> {
    let mut reader = Reader::from_reader(text);
    let mut buffer = Vec::new();
    let mut open: Vec<String> = Vec::new();
    // How deep it is within an element that is not looked into.
    let mut skipped = 0usize;
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer).ok()? {
            Event::Start(_) if skipped > 0 => skipped += 1,
            Event::Start(tag) => match visit(open.last().map_or("", |n| n), &tag, false) {
                true => open.push(local(&tag)),
                false => skipped = 1,
            },
            Event::Empty(tag) if skipped == 0 => {
                visit(open.last().map_or("", |n| n), &tag, true);
            }
            Event::End(_) if skipped > 0 => skipped -= 1,
            Event::End(_) => {
                open.pop();
            }
            Event::Eof => return open.is_empty().then_some(()),
            _ => {}
        }
    }
}

/// The name of an element without its namespace's prefix.
fn local(tag: &BytesStart) -> String {
    tag.local_name().as_ref().to_string()
}

fn attributes(tag: &BytesStart) -> Vec<(String, String)> {
    let each = tag.attributes().flatten();
    each.map(|a| (a.key.as_ref().to_string(), a.value.into_owned())).collect()
}

fn value(tag: &BytesStart, name: &str) -> Option<String> {
    let mut all = attributes(tag).into_iter();
    all.find(|(n, _)| n == name).map(|(_, v)| v)
}

/// What each part is.
#[derive(Default)]
struct Types {
    by_name: HashMap<String, String>,
    by_ending: HashMap<String, String>,
}

impl Types {
    fn read(text: &[u8]) -> Option<Types> {
        let mut types = Types::default();
        elements(text, &mut |_, tag, _| {
            let kind = value(tag, "ContentType").unwrap_or_default();
            if let Some(name) = value(tag, "PartName") {
                types.by_name.insert(name.to_lowercase(), kind);
            } else if let Some(ending) = value(tag, "Extension") {
                types.by_ending.insert(ending.to_lowercase(), kind);
            }
            true
        })?;
        Some(types)
    }

    fn of(&self, name: &str) -> &str {
        let name = name.to_lowercase();
        let ending = name.rsplit_once('.').map_or("", |(_, e)| e);
        let named = self.by_name.get(&format!("/{name}"));
        named.or_else(|| self.by_ending.get(ending)).map_or("", |k| k)
    }
}

/// The looks that cells can have: the number of each is its place in the list.
#[derive(Default)]
struct Looks {
    looks: Vec<CellLook>,
    /// The user's own formats of numbers.
    numbers: HashMap<String, String>,
}

struct CellLook {
    number: String,
    /// All else, as it is written.
    rest: String,
}

impl Looks {
    fn read(&mut self, text: impl BufRead) -> Option<()> {
        elements(text, &mut |within, tag, _| {
            let name = local(tag);
            match (within, name.as_str()) {
                ("numFmts", _) => {
                    let id = value(tag, "numFmtId").unwrap_or_default();
                    let code = value(tag, "formatCode").unwrap_or_default();
                    self.numbers.insert(id, code);
                }
                ("cellXfs", _) => {
                    let mut rest = attributes(tag);
                    rest.retain(|(n, _)| n != "numFmtId" && !n.starts_with("apply"));
                    self.looks.push(CellLook {
                        number: value(tag, "numFmtId").unwrap_or_default(),
                        rest: format!("{rest:?}"),
                    });
                }
                ("xf", _) => {
                    if let Some(look) = self.looks.last_mut() {
                        look.rest += &format!("{name}{:?}", attributes(tag));
                    }
                }
                ("styleSheet", "cellXfs" | "numFmts") | ("", _) => {}
                _ => return false,
            }
            true
        })
    }

    /// Says so if a look differs from the usual one in more than the way in which a date is written.
    fn judge(&self, style: Option<&str>, lost: &mut Lost) {
        let place = style.and_then(|s| s.parse::<usize>().ok()).unwrap_or(0);
        let (Some(usual), Some(look)) = (self.looks.first(), self.looks.get(place)) else {
            return;
        };
        if place > 0 && (look.rest != usual.rest || !self.of_a_date(&look.number)) {
            lost.word("formats");
        }
    }

    /// Is a format of numbers one for dates, or none?
    fn of_a_date(&self, id: &str) -> bool {
        match self.numbers.get(id) {
            Some(code) => date_or_none(code),
            None => {
                let id = id.parse().unwrap_or(0);
                matches!(id, 0 | 14..=22 | 27..=36 | 45..=47 | 50..=58)
            }
        }
    }
}

/// Does a user's own format of numbers write dates or times, or ask for nothing?
fn date_or_none(code: &str) -> bool {
    let code = code.replace("&quot;", "\"");
    let first = code.split(';').next().unwrap_or_default();
    if first.eq_ignore_ascii_case("general") {
        return true;
    }
    // What stands in quotes or brackets, or behind a stroke, is written as it is.
    let (mut quoted, mut bracketed, mut skip) = (false, false, false);
    first.chars().any(|c| {
        if std::mem::take(&mut skip) {
            return false;
        }
        match c {
            '"' => quoted = !quoted,
            '[' if !quoted => bracketed = true,
            ']' if !quoted => bracketed = false,
            '\\' | '_' | '*' if !quoted => skip = true,
            c if !quoted && !bracketed => {
                return matches!(c.to_ascii_lowercase(), 'd' | 'm' | 'y' | 'h' | 's');
            }
            _ => {}
        }
        false
    })
}
