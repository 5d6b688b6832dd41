//! Why marks bear out no metal, and what they leave open, in sentences.

use puncheon_schema::entry::LookalikeKind;
use puncheon_schema::export;
use puncheon_schema::image::Image;

use crate::engine::metal::{Borne, Fault, Other};
use crate::json::reading::{Kind, Misreading, Reading, RemarkKind};
use crate::lexis::grammar::objects::Barred;
use crate::tables::Tables;
use crate::voice::bearing::Teller;
use crate::voice::lists::{and, either, taken_for};
use crate::voice::reading::{self, kind_word};
use crate::voice::{makers, verdict};

/// One set of marks with its reading.
pub(crate) struct SetRead<'i> {
    pub borne: Borne<'i>,
    pub reading: Reading,
}

impl<'i> SetRead<'i> {
    /// Puts what was decided of a set into sentences.
    pub fn of(tables: &Tables, borne: Borne<'i>) -> SetRead<'i> {
        let reading = reading_of(tables, &borne);
        SetRead { borne, reading }
    }
}

/// The reading of a set of marks.
pub(crate) fn reading_of(tables: &Tables, b: &Borne) -> Reading {
    let seen = b.seen_with_signs();
    let mut reading = reading::told(&b.decided, seen.text(), &seen, &b.options);
    makers::tell(tables, &seen, &b.decided, &mut reading);
    reading
}

/// Why no metal may be named by the marks, a sentence or two; None where one may.
pub(crate) fn refused(b: &Borne, reading: &Reading) -> Option<String> {
    let image = b.image();
    Some(match b.refused.as_ref()? {
        Fault::NoMark { .. } => "No mark was recognised.".into(),
        Fault::SetsTogether => {
            "Several sets of marks were described together, and no year fits them all; give each as a set of its own."
                .into()
        }
        Fault::OfficeClosed => "That office was not open in those years.".into(),
        Fault::NoStandard => match reading.lookalikes.first() {
            Some(l) => {
                let words = quoted(reading, &l.sightings);
                format!("{words} tells of no standard: {}.", l.what)
            }
            None => "Nothing described tells of a standard.".into(),
        },
        Fault::NothingFits => match &reading.conflict_why {
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
pub(crate) fn beside(reading: &Reading) -> impl Iterator<Item = String> {
    let plate = [LookalikeKind::Plate, LookalikeKind::Alloy].map(kind_word);
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
pub(crate) fn guesses(reading: &Reading) -> impl Iterator<Item = String> {
    let guessed = reading.remarks.iter().filter(|r| r.remark == RemarkKind::Guessed);
    guessed.filter_map(|r| Some(taken_for(&r.text, r.nearest.as_ref()?)))
}

/// What else the marks would fit, and which mark would show it; None where it is one metal alone.
pub(crate) fn other_metals(b: &Borne) -> Option<String> {
    let metal = export::metal(b.metal.filter(|_| !b.also.is_empty())?);
    let image = b.image();
    let name = |o: &Other| export::metal(o.metal).to_string();
    let names: Vec<String> = b.also.iter().map(name).collect();
    let first = match b.spoken_of().next().filter(|_| b.misread > 0) {
        Some(g) => {
            let clashes = Teller::new(&b.decided.narrow).bearings(g.best.row as usize).clashes;
            let read = |c: &Misreading| format!("the {} for the {}", c.saw, c.would_be);
            let read: Vec<String> = clashes.iter().map(read).collect();
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
    let device = |d: &usize| image.device(*d).name().to_string();
    let by = |o: &Other| either(&o.shown_by.iter().map(device).collect::<Vec<_>>());
    let shown: Vec<String> = shown.map(|o| format!("{} by {}", name(o), by(o))).collect();
    Some(match shown.is_empty() {
        true => format!("{first} No other mark would tell them apart; an assay office can."),
        false => format!("{first} Another mark would show it: {}.", shown.join("; ")),
    })
}
