//! Why marks bear out no metal, and what they leave open, in sentences.

use puncheon_schema::entry::LookalikeKind;
use puncheon_schema::export;
use puncheon_schema::image::Image;

use crate::engine::metal::{Borne, Fault};
use crate::json::reading::{Kind, Misreading, Reading, RemarkKind};
use crate::lexis::grammar::objects::Barred;
use crate::voice::lists::{and, either, taken_for};
use crate::voice::reading::kind_word;
use crate::voice::verdict;

/// Why no metal may be named by the marks, a sentence or two; None where one may.
pub(crate) fn refused(image: &Image, b: &Borne) -> Option<String> {
    Some(match b.refused.as_ref()? {
        Fault::NoMark { .. } => "No mark was recognised.".into(),
        Fault::SetsTogether => {
            "Several sets of marks were described together, and no year fits them all; give each as a set of its own."
                .into()
        }
        Fault::OfficeClosed => "That office was not open in those years.".into(),
        Fault::NoStandard => match b.reading.lookalikes.first() {
            Some(l) => {
                let words = quoted(&b.reading, &l.sightings);
                format!("{words} tells of no standard: {}.", l.what)
            }
            None => "Nothing described tells of a standard.".into(),
        },
        Fault::NothingFits => match &b.reading.conflict_why {
            Some(why) => why.clone(),
            None => "No year fits all the marks described.".into(),
        },
        Fault::CalledFalse => "The marks are said to be false.".into(),
        Fault::Sign(sign) => {
            let sign = b.warnings.get(*sign);
            sign.map(|s| verdict::warning(image, s).reason).unwrap_or_default()
        }
        Fault::TooFew => {
            "Too little was described: a standard shows by its mark beside an office's mark, a date letter or a duty mark."
                .into()
        }
        Fault::MetalNotShown(metal) => {
            format!("No mark was described that {} alone bore.", export::metal(*metal))
        }
        Fault::SeveralMetals => {
            "No standard mark was described, and what was described stood on more than one metal."
                .into()
        }
        Fault::Stated(barred) => {
            let (why, remedy) = not_metal(image, barred);
            format!("{why} {remedy}")
        }
    })
}

/// Why what is stated lets no metal be named, and what would be right: two sentences.
pub(crate) fn not_metal(image: &Image, barred: &Barred) -> (String, String) {
    let of = barred.metal.map_or("precious metal", export::metal);
    let kind = image.deduction(barred.kind).name();
    let why = format!("What is stated speaks of {kind} (\"{}\"), which is no {of}.", barred.said);
    let remedy = "If that is said of a part alone, name the part behind \"with\".".to_string();
    (why, remedy)
}

fn quoted(reading: &Reading, sightings: &[usize]) -> String {
    let words: Vec<String> =
        sightings.iter().map(|i| format!("\"{}\"", reading.sightings[*i].text)).collect();
    if words.is_empty() { "What was described".into() } else { words.join(" ") }
}

/// Marks of plate or of an alloy that deny nothing, each with what it is.
pub(crate) fn beside(b: &Borne) -> impl Iterator<Item = String> {
    let plate = [LookalikeKind::Plate, LookalikeKind::Alloy].map(kind_word);
    let reading = &b.reading;
    let met = reading.lookalikes.iter().filter(move |l| plate.contains(&l.kind));
    let by = met.flat_map(move |l| {
        let seen = l.sightings.iter().map(move |i| &reading.sightings[*i]);
        seen.map(move |s| (l, s))
    });
    by.filter(|(_, s)| s.kind == Kind::Lookalike).map(|(l, s)| {
        format!("\"{}\" stands there too: {}. Look for more of the kind.", s.text, l.what)
    })
}

/// What words were taken for, where they were not plain.
pub(crate) fn guesses(b: &Borne) -> impl Iterator<Item = String> {
    let guessed = b.reading.remarks.iter().filter(|r| r.remark == RemarkKind::Guessed);
    guessed.filter_map(|r| Some(taken_for(&r.text, r.nearest.as_ref()?)))
}

/// What else the marks would fit, and which mark would show it; None where it is one metal alone.
pub(crate) fn other_metals(b: &Borne) -> Option<String> {
    let metal = b.metal.filter(|_| !b.also.is_empty())?;
    let names: Vec<String> = b.also.iter().map(|o| o.metal.to_string()).collect();
    let first = match b.spoken_of().next().filter(|_| b.misread > 0) {
        Some(f) => {
            let read = |c: &Misreading| format!("the {} for the {}", c.saw, c.would_be);
            let read: Vec<String> = f.clashes.iter().map(read).collect();
            format!(
                "As described the marks fit {} alone, but none of them is {}'s own; {metal} is \
                 taken, with {} misread.",
                and(&names),
                names[0],
                and(&read),
            )
        }
        None => format!("Such marks stood on {} too; {metal} is taken.", and(&names)),
    };
    let shown = b.also.iter().filter(|o| !o.shown_by.is_empty());
    let shown: Vec<String> =
        shown.map(|o| format!("{} by {}", o.metal, either(&o.shown_by))).collect();
    Some(match shown.is_empty() {
        true => format!("{first} No other mark would tell them apart; an assay office can."),
        false => format!("{first} Another mark would show it: {}.", shown.join("; ")),
    })
}
