//! Records of a delimited text by what the quoting says, each as the bytes it stands in.

use std::ops::Range;

use memchr::{memchr, memchr2};
use puncheon::schema::head::{BOM, Delimiter};
use puncheon::steps;

/// Bytes within which a quote must be closed; past them the line where it opened is one bad row.
pub const LONGEST: usize = 1 << 20;

/// How a delimited text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dialect {
    /// Between fields.
    pub delimiter: u8,
    /// A byte order mark stands before the head.
    pub bom: bool,
}

impl Dialect {
    /// Finds the delimiter from the first line: of comma, semicolon, tab and bar the one that stands
    /// most often outside quotes.
    pub fn find(head: &[u8]) -> Dialect {
        Finder::default().find(head)
    }
}

/// Finds the delimiter of a head that is read piece by piece, each byte looked at once.
#[derive(Default)]
pub(crate) struct Finder(Delimiter);

impl Finder {
    /// The dialect by as much of the head as was read; it goes on from what was read before.
    pub fn find(&mut self, head: &[u8]) -> Dialect {
        let before = self.0.looked();
        let delimiter = self.0.find(head);
        steps::take(self.0.looked() - before);
        Dialect { delimiter, bom: head.starts_with(BOM) }
    }
}

/// A record in a buffer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// Its bytes without the line ending.
    pub body: Range<usize>,
    /// Past its line ending.
    pub end: usize,
    /// A quote opened here and was not closed.
    pub unclosed: Option<usize>,
}

/// How far a record was looked at when more of it had to be read.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Seen {
    /// Bytes of it that need not be looked at again.
    bytes: usize,
    /// Where in it the quote opens that was not closed by then.
    open: Option<usize>,
}

/// The record that begins at `at`; None if more bytes must be read first. `whole`: no more will come.
pub fn record(buf: &[u8], at: usize, whole: bool, d: Dialect) -> Option<Record> {
    record_on(buf, at, &mut Seen::default(), whole, d)
}

/// The same of a record that is read piece by piece; where more must be read again, `seen` goes forward.
pub(crate) fn record_on(
    buf: &[u8],
    at: usize,
    seen: &mut Seen,
    whole: bool,
    d: Dialect,
) -> Option<Record> {
    let mut i = at + seen.bytes;
    let mut open = seen.open.map(|open| at + open);
    // A quote that closes at the last byte may yet be doubled.
    let mut last = None;
    loop {
        let Some(quote) = open.take() else {
            // On to the next quote of this record, or its end.
            let next = memchr2(b'"', b'\n', &buf[i..]).map(|n| i + n);
            steps::take(next.unwrap_or(buf.len()) - i);
            match next {
                Some(n) if buf[n] == b'\n' => return Some(ended(buf, at, n, None)),
                // A quote counts only where a field begins.
                Some(n) => {
                    open = (n == at || buf[n - 1] == d.delimiter).then_some(n);
                    i = n + 1;
                }
                None if whole && at < buf.len() => return Some(ended_here(buf, at, None)),
                None => {
                    *seen = last.unwrap_or(Seen { bytes: buf.len() - at, open: None });
                    return None;
                }
            }
            continue;
        };
        let inside = |bytes: usize| Seen { bytes: bytes - at, open: Some(quote - at) };
        match closing(buf, quote, i) {
            Closing::At(q) => {
                steps::take(q - i);
                last = (q + 1 == buf.len()).then(|| inside(q));
                i = q + 1;
            }
            Closing::TooFar => return bad(buf, at, quote, whole),
            Closing::NotYet(_) if whole => return bad(buf, at, quote, whole),
            Closing::NotYet(next) => {
                steps::take(next - i);
                *seen = inside(next);
                return None;
            }
        }
    }
}

/// Where the line that begins at `at` ends; None if more bytes must be read first.
pub(crate) fn line_on(buf: &[u8], at: usize, seen: &mut Seen) -> Option<usize> {
    let from = at + seen.bytes;
    let end = memchr(b'\n', &buf[from..]).map(|n| from + n);
    steps::take(end.unwrap_or(buf.len()) - from);
    seen.bytes = end.unwrap_or(buf.len()) - at;
    end
}

enum Closing {
    At(usize),
    /// Not in the bytes before this one.
    NotYet(usize),
    TooFar,
}

/// The quote that closes the one at `open`, of which all before `from` is known to be inside.
fn closing(buf: &[u8], open: usize, from: usize) -> Closing {
    let limit = buf.len().min(open + LONGEST);
    let mut i = from;
    while let Some(n) = memchr(b'"', &buf[i.min(limit)..limit]).map(|n| i + n) {
        match buf.get(n + 1) {
            Some(b'"') => i = n + 2,
            Some(_) => return Closing::At(n),
            // The next byte may double it.
            None => {
                return if limit < open + LONGEST { Closing::At(n) } else { Closing::TooFar };
            }
        }
    }
    if limit == open + LONGEST { Closing::TooFar } else { Closing::NotYet(i.max(limit)) }
}

/// The record up to the end of the line in which the quote at `open` stands.
fn bad(buf: &[u8], at: usize, open: usize, whole: bool) -> Option<Record> {
    match memchr(b'\n', &buf[open..]).map(|n| open + n) {
        Some(n) => Some(ended(buf, at, n, Some(open))),
        // A line of more than the limit is taken in pieces no further.
        None if whole || buf.len() - open >= LONGEST => Some(ended_here(buf, at, Some(open))),
        None => None,
    }
}

fn ended(buf: &[u8], at: usize, newline: usize, unclosed: Option<usize>) -> Record {
    let body_end = match buf[at..newline].last() {
        Some(b'\r') => newline - 1,
        _ => newline,
    };
    Record { body: at..body_end, end: newline + 1, unclosed }
}

fn ended_here(buf: &[u8], at: usize, unclosed: Option<usize>) -> Record {
    Record { body: at..buf.len(), end: buf.len(), unclosed }
}

/// The fields of a record, each as the bytes it stands in, quotes and all.
pub fn fields(body: &[u8], d: Dialect, out: &mut Vec<Range<usize>>) {
    out.clear();
    let mut start = 0;
    loop {
        let mut i = start;
        if body.get(i) == Some(&b'"') {
            i = match closing(body, i, i + 1) {
                Closing::At(q) => q + 1,
                _ => body.len(),
            };
        }
        match memchr(d.delimiter, &body[i..]) {
            Some(n) => {
                out.push(start..i + n);
                start = i + n + 1;
            }
            None => {
                out.push(start..body.len());
                return;
            }
        }
    }
}

/// A field without its quotes.
pub fn plain(field: &[u8]) -> std::borrow::Cow<'_, [u8]> {
    let Some(inner) = field.strip_prefix(b"\"") else {
        return field.into();
    };
    let close = match closing(field, 0, 1) {
        Closing::At(q) => q,
        _ => field.len(),
    };
    let (quoted, rest) = (&field[1..close], field.get(close + 1..).unwrap_or(&[]));
    if memchr(b'"', quoted).is_none() && rest.is_empty() {
        return quoted.into();
    }
    let mut out = Vec::with_capacity(inner.len());
    let mut i = 0;
    while i < quoted.len() {
        out.push(quoted[i]);
        i += if quoted[i] == b'"' { 2 } else { 1 };
    }
    out.extend_from_slice(rest);
    out.into()
}

/// Appends a field, quoted if it must be.
pub fn push(out: &mut Vec<u8>, field: &[u8], d: Dialect) {
    let special = |b: &u8| *b == d.delimiter || matches!(b, b'"' | b'\n' | b'\r');
    if !field.iter().any(special) {
        out.extend_from_slice(field);
        return;
    }
    out.push(b'"');
    for b in field {
        if *b == b'"' {
            out.push(b'"');
        }
        out.push(*b);
    }
    out.push(b'"');
}

#[cfg(test)]
mod tests {
    use super::*;

    const COMMA: Dialect = Dialect { delimiter: b',', bom: false };

    fn all(text: &str) -> Vec<(String, bool)> {
        let (buf, mut at, mut out) = (text.as_bytes(), 0, Vec::new());
        while at < buf.len() {
            let r = record(buf, at, true, COMMA).expect("the text is whole");
            out.push((text[r.body].to_string(), r.unclosed.is_some()));
            at = r.end;
        }
        out
    }

    fn good(text: &str, records: &[&str]) {
        let wanted: Vec<(String, bool)> = records.iter().map(|r| (r.to_string(), false)).collect();
        assert_eq!(all(text), wanted, "{text:?}");
    }

    #[test]
    fn records_are_what_the_quoting_says() {
        good("a,b\nc,d\n", &["a,b", "c,d"]);
        good("a,b\r\nc,d", &["a,b", "c,d"]);
        good("a,\"b\nc\"\nd,e\n", &["a,\"b\nc\"", "d,e"]);
        good("a,\"b \"\"q\"\" c\"\nd,e\n", &["a,\"b \"\"q\"\" c\"", "d,e"]);
        // A quote within a field is plain.
        good("5\" bowl,b\nd,e\n", &["5\" bowl,b", "d,e"]);
    }

    #[test]
    fn records_are_the_same_read_piece_by_piece() {
        let text = "a,\"b\"\"\n\"\"\",c\n\"\",\"x\",5\" y\n\"\"\"\"\nlast,\"\"";
        for piece in 1..text.len() {
            let (mut at, mut seen, mut read) = (0, Seen::default(), 0);
            let mut out = Vec::new();
            while at < text.len() {
                let whole = read == text.len();
                let buf = &text.as_bytes()[..read];
                match record_on(buf, at, &mut seen, whole, COMMA) {
                    Some(r) => {
                        out.push((text[r.body].to_string(), r.unclosed.is_some()));
                        (at, seen) = (r.end, Seen::default());
                    }
                    None => read = text.len().min(read + piece),
                }
            }
            assert_eq!(out, all(text), "pieces of {piece}");
        }
    }

    #[test]
    fn an_unclosed_quote_costs_one_line() {
        assert_eq!(
            all("a,\"b\nc,d\ne,f\n"),
            [("a,\"b".to_string(), true), ("c,d".to_string(), false), ("e,f".to_string(), false)]
        );
    }

    #[test]
    fn fields_are_cut_and_made_plain() {
        let body = b"a,\"b, \"\"c\"\"\",,d";
        let mut out = Vec::new();
        fields(body, COMMA, &mut out);
        let plain: Vec<_> = out.iter().map(|r| plain(&body[r.clone()]).into_owned()).collect();
        assert_eq!(plain, [&b"a"[..], b"b, \"c\"", b"", b"d"]);
    }
}
