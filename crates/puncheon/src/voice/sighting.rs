//! Marks as they were described, in words: what each was taken for.

use puncheon_schema::entry::{Case, Slot};
use puncheon_schema::image::Image;

use crate::engine::fit::letters_taken::alone;
use crate::json::reading::{Claimed, Remark, RemarkKind, SeenMark, Understood};
use crate::lexis::said;
use crate::lexis::sighting::{Fault, LetterSeen, Sighting, Sightings, What};
use crate::voice::lists;

/// All that was understood of a description.
pub(crate) fn understood(image: &Image, seen: &Sightings, typed: &str) -> Understood {
    Understood {
        sightings: seen.sightings.iter().map(|s| mark(image, s, typed)).collect(),
        remarks: seen.remarks.iter().map(|r| remarked(image, seen, r, typed)).collect(),
        claimed: seen.claimed.iter().map(|c| claimed(image, c, typed)).collect(),
    }
}

/// A mark for the reader of an answer.
fn mark(image: &Image, s: &Sighting, typed: &str) -> SeenMark {
    let quoted = s.quoted(typed);
    SeenMark {
        text: typed[quoted.clone()].to_string(),
        start: quoted.start,
        end: quoted.end,
        kind: s.kind(image),
        reads_as: reads_as(image, s),
    }
}

fn remarked(image: &Image, seen: &Sightings, r: &said::Remark, typed: &str) -> Remark {
    Remark {
        text: typed[r.start..r.end].to_string(),
        start: r.start,
        end: r.end,
        remark: r.remark,
        nearest: r.nearest.clone().or_else(|| taken_for(image, seen, r, typed)),
    }
}

/// A remark in words, where it is worth a line. What is no mark is not, but a letter put aside may be
/// the one thing to correct.
pub fn remark(m: &Remark) -> Option<String> {
    let one_letter = || m.text.chars().count() == 1 && m.text.chars().all(char::is_alphabetic);
    let said = match (m.remark, &m.nearest) {
        (RemarkKind::Guessed, Some(n)) => return Some(lists::taken_for(&m.text, n)),
        (RemarkKind::NotUnderstood, Some(n)) => {
            format!("was not understood; the nearest word known is {n}.")
        }
        (RemarkKind::NotUnderstood, None) => "was not understood.".into(),
        (RemarkKind::SetAside, _) if one_letter() => {
            "was put aside: another letter is called the date letter.".into()
        }
        // With a nearest it is the whole text: its sets are read apart, which is said elsewhere.
        (RemarkKind::Ambiguous, None) => {
            "could belong to more than one mark and was left out.".into()
        }
        _ => return None,
    };
    Some(format!("\"{}\" {said}", m.text))
}

/// What letters that a plater and a maker shared were taken for, and what they would be alone.
fn taken_for(image: &Image, seen: &Sightings, r: &said::Remark, typed: &str) -> Option<String> {
    let mut taken = seen.letters_taken.iter();
    let (i, device) = taken.find(|(i, _)| seen.sightings[*i].quoted(typed) == (r.start..r.end))?;
    let taken_for = match &seen.sightings[*i].what {
        What::Device(devices) => image.device(*devices.first()? as usize).name(),
        _ => "a maker's mark",
    };
    Some(format!("{taken_for}; alone it would be {}", alone(image, *device)?.what()))
}

fn claimed(image: &Image, c: &said::Stated, typed: &str) -> Claimed {
    Claimed {
        text: typed[c.start..c.end].to_string(),
        start: c.start,
        end: c.end,
        office: c.office.map(|o| image.office(o as usize).id().to_string()),
        from: c.from,
        to: c.to,
        period: c.period.map(|r| image.reign(r as usize).name().to_string()),
        standard: c.standard.map(|s| image.standard(s as usize).id().to_string()),
    }
}

/// What a sighting was taken for.
pub(crate) fn reads_as(image: &Image, s: &Sighting) -> String {
    let mut out = what(image, &s.what);
    if s.doubt {
        out.push_str(", doubtful");
    }
    if s.worn {
        out.push_str(", worn");
    }
    out
}

/// The same without how sure it was.
pub(crate) fn what(image: &Image, w: &What) -> String {
    match w {
        What::Device(d) => {
            let names: Vec<&str> = d.iter().map(|d| image.device(*d as usize).name()).collect();
            names.join(" or ")
        }
        What::Slot(s) => slot_name(*s).to_string(),
        What::Standard(s) => image.standard(*s as usize).name().to_string(),
        What::Town(o) => format!("mark of {}", image.office(*o as usize).name()),
        What::Letter(l) => letter(image, l),
        What::Sponsor => "sponsor's mark".into(),
        What::Lookalike(d) => image.device(*d as usize).name().to_string(),
        What::Absent(w) => format!("no {}", what(image, w)),
    }
}

/// A slot in the trade's words.
pub(crate) fn slot_name(slot: Slot) -> &'static str {
    match slot {
        Slot::Town => "town mark",
        Slot::Standard => "standard mark",
        Slot::Extra => "further mark",
        Slot::Duty => "duty mark",
        Slot::Import => "import mark",
        Slot::Convention => "convention mark",
        Slot::Commemorative => "commemorative mark",
        Slot::Assayer => "assay master's mark",
        Slot::Joined => "mark joined to the letter",
        Slot::Special => "special mark",
    }
}

fn letter(image: &Image, l: &LetterSeen) -> String {
    let mut s = match l.values.as_slice() {
        [] => "date letter, not read".to_string(),
        v => v.iter().map(|t| t.shown.as_str()).collect::<Vec<_>>().join(" or "),
    };
    let style = [
        match l.case {
            Some(Case::Upper) => Some("capital"),
            Some(Case::Lower) => Some("small"),
            _ => None,
        },
        l.lettering.map(|l| image.lettering(l as usize).name()),
    ];
    let style: Vec<&str> = style.into_iter().flatten().collect();
    if !style.is_empty() {
        s.push_str(", ");
        s.push_str(&style.join(" "));
    }
    if let Some(o) = l.outline {
        s.push_str(", in a ");
        s.push_str(image.outline_name(o as usize));
    }
    s
}

/// What is wrong with sightings made by hand.
pub(crate) fn fault(f: &Fault) -> String {
    match f {
        Fault::OtherTables => "they are of other tables".into(),
        Fault::NoWords { sighting, start, end } => format!(
            "sighting {sighting} stands at bytes {start}..{end}, which are no words of its text"
        ),
        Fault::NoPart { sighting, part } => {
            format!("sighting {sighting} is of part {part}, which is none")
        }
        Fault::NoMark(sighting) => format!("sighting {sighting} is of a mark that is none"),
        Fault::NothingStated(i) => format!("statement {i} is of something that is none"),
        Fault::NoSpan(at) => format!("bytes {at:?} are no words of their text"),
    }
}
