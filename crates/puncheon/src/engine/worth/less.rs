//! What is weighed with a piece and is not its metal: blades, pitch, liners.

use num_rational::BigRational;
use puncheon_schema::export;
use puncheon_schema::image::{DeductionView, Image};
use serde::Serialize;

use crate::engine::words;
use crate::lexis::grammar::figures::{self, Refused, Span};
use crate::lexis::grammar::weights::{self, ABOUT, COUNTING, Is, TO};

/// One thing taken off the weight.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Less {
    /// As typed.
    pub text: String,
    /// What it is, in the words typed.
    pub name: String,
    /// What it is in the tables, by its word there.
    pub kind: Option<String>,
    /// How much comes off, in grams.
    pub grams: Span,
    /// How it was taken, a sentence, where it was left open.
    pub note: Option<String>,
    /// The share of the whole as typed, in hundredths; None where it was weighed, or not said.
    pub share: Option<Span>,
}

impl Less {
    /// Is it a share below any that was found in published cases of its kind?
    pub fn is_too_little(&self, image: &Image) -> bool {
        let kinds = named(image, &self.text);
        let kind = kinds.iter().find(|d| Some(d.id()) == self.kind.as_deref());
        let least = kind.and_then(|d| d.share()).map(|(low, _)| figures::whole(low));
        let share = self.share.as_ref();
        share.zip(least).is_some_and(|(share, least)| share.high < least)
    }
}

/// What the trade does about something named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Advice {
    /// Its word in the tables.
    pub id: String,
    /// What it is.
    pub name: String,
    /// A sentence or two.
    pub advice: String,
    /// Something was taken off for it, or nothing need be.
    pub allowed_for: bool,
    /// published, memory or both.
    pub basis: &'static str,
    /// high, medium or low.
    pub confidence: &'static str,
    /// Sources; none is the common practice of the trade.
    pub sources: Vec<String>,
}

impl Advice {
    pub(crate) fn of(d: DeductionView, allowed_for: bool) -> Advice {
        Advice {
            id: d.id().to_string(),
            name: d.name().to_string(),
            advice: d.advice().to_string(),
            allowed_for: allowed_for || !d.weighs(),
            basis: export::basis(d.basis()),
            confidence: export::confidence(d.confidence()),
            sources: d.cites().map(str::to_string).collect(),
        }
    }
}

/// What a text speaks of that is not the metal, each kind once.
pub(crate) fn named<'i>(image: &'i Image, text: &str) -> Vec<DeductionView<'i>> {
    let mut out: Vec<DeductionView> = Vec::new();
    for n in words::beside(image, text) {
        if !out.iter().any(|o| o.i == n.kind.i) {
            out.push(n.kind);
        }
    }
    out
}

/// How much a deduction comes to.
enum Amount {
    Weighed(Span),
    /// A part of the whole weight, in hundredths.
    Share(Span),
}

/// Reads a deduction: a name, with a weight or a share of the whole weight on either side of it.
pub(crate) fn read(image: &Image, typed: &str, gross: &BigRational) -> Result<Less, Refused> {
    let text = typed.trim();
    let kinds = named(image, text);
    let (amount, rest, open) = amount(image, text)?;
    let words: Vec<&str> = rest
        .split_whitespace()
        .map(|w| w.trim_matches([',', ';', ':', '.', '~', '(', ')', '=', '-']))
        .filter(|w| !w.is_empty())
        .collect();
    let counts = |w: &&&str| {
        let w = w.to_lowercase();
        w.contains(|c: char| c.is_ascii_digit()) || COUNTING.contains(&w.as_str())
    };
    if let Some(word) = words.iter().find(counts) {
        return Err(Refused::new(
            format!("\"{text}\" counts pieces (\"{word}\"), and only one weight comes off"),
            "write what they weigh together, such as \"blades 420g\"",
        ));
    }
    let about =
        rest.contains('~') || words.iter().any(|w| ABOUT.contains(&w.to_lowercase().as_str()));
    let name = words
        .iter()
        .filter(|w| !ABOUT.contains(&w.to_lowercase().as_str()))
        .copied()
        .collect::<Vec<_>>()
        .join(" ");
    let hundred = figures::whole(100);
    let part = |x: &BigRational| gross * x / &hundred;
    let percent =
        |s: &Span| format!("{}% to {}%", figures::plain(&s.low, 2), figures::plain(&s.high, 2));
    let mut note = None;
    let share = match &amount {
        Some(Amount::Share(share)) => Some(share.clone()),
        _ => None,
    };
    let grams = match amount {
        Some(Amount::Weighed(mut grams)) => {
            if about && grams.is_exact() {
                grams = Span::about(&grams.low);
                note = Some(format!(
                    "\"{text}\" is taken as {} to {} g, a tenth either side.",
                    figures::plain(&grams.low, 2),
                    figures::plain(&grams.high, 2)
                ));
            }
            grams
        }
        Some(Amount::Share(mut share)) => {
            if open && share.is_exact() {
                share = Span::about(&share.low);
                share.high = share.high.min(hundred.clone());
                note = Some(format!(
                    "The share in \"{text}\" is an estimate and is taken as {}, a tenth either side; write both ends to say how sure it is.",
                    percent(&share)
                ));
            }
            Span { low: part(&share.low), high: part(&share.high) }
        }
        None => {
            let known = kinds.iter().find_map(|d| Some((d, d.share()?)));
            let Some((d, (low, high))) = known else {
                return Err(Refused::new(
                    format!("\"{text}\" does not say how much comes off"),
                    "write what it weighs, such as \"blades 42g\", or its share of the whole, such as \"60%\"",
                ));
            };
            let share = Span { low: figures::whole(low), high: figures::whole(high) };
            note = Some(format!(
                "Nothing says how heavy the {} is: taken as {} of the whole weight, from published cases; a guess until the piece is opened.",
                d.name(),
                percent(&share)
            ));
            Span { low: part(&share.low), high: part(&share.high) }
        }
    };
    if grams.low >= *gross {
        return Err(Refused::new(
            format!("\"{text}\" takes off the whole weight or more"),
            format!("the piece weighs {} g; look at both weights", figures::plain(gross, 2)),
        ));
    }
    Ok(Less {
        text: text.to_string(),
        name: if name.is_empty() { text.to_string() } else { name },
        kind: kinds.first().map(|d| d.id().to_string()),
        grams,
        note,
        share,
    })
}

/// The weight or share in a text, the rest of it, and whether the amount is a single figure.
fn amount(image: &Image, text: &str) -> Result<(Option<Amount>, String, bool), Refused> {
    let tokens = weights::cut(text);
    let typed = |i: usize| tokens.get(i).map_or("", |t| &text[t.start..t.end]);
    let Some(i) = tokens.iter().position(|t| t.is == Is::Figures) else {
        return Ok((None, text.to_string(), false));
    };
    // "40-45g", "40g to 45g", "55% to 65%": the figures behind the word that joins them.
    let joined = (i + 1..tokens.len().min(i + 5)).find(|k| {
        TO.contains(&typed(*k)) && tokens.get(k + 1).is_some_and(|t| t.is == Is::Figures)
    });
    let last = joined.map_or(i, |k| k + 1);
    let rest_without = |from: usize, to: usize| format!("{} {}", &text[..from], &text[to..]);
    if typed(last + 1) == "%" {
        let one = |k: usize| figures::share("share", &format!("{}%", typed(k)), None);
        let share =
            Span { low: one(i)? * figures::whole(100), high: one(last)? * figures::whole(100) };
        let said = &text[tokens[i].start..tokens[last + 1].end];
        if share.high > figures::whole(100) {
            return Err(Refused::new(
                format!("the share \"{said}\" is more than the whole"),
                "write a share of the whole weight, such as 60%",
            ));
        }
        ordered(&share, said)?;
        let rest = rest_without(tokens[i].start, tokens[last + 1].end);
        return Ok((Some(Amount::Share(share)), rest, joined.is_none()));
    }
    let Some(k) = joined else {
        let Some((found, at)) = weights::find(image, text)? else {
            return Err(weights::unread(image, text));
        };
        let rest = rest_without(at.start, at.end);
        return Ok((Some(Amount::Weighed(Span::exactly(found.grams))), rest, true));
    };
    let high_text = &text[tokens[k + 1].start..];
    let Some((high, at)) = weights::find(image, high_text)? else {
        return Err(weights::unread(image, text));
    };
    let low_text = text[tokens[i].start..tokens[k].start].trim();
    let low_text = match tokens[i + 1..k].is_empty() {
        // The unit stands behind the second figure alone.
        true => {
            format!("{low_text}{}", &high_text[tokens[k + 1].end - tokens[k + 1].start..at.end])
        }
        false => low_text.to_string(),
    };
    let Some((low, _)) = weights::find(image, &low_text)? else {
        return Err(weights::unread(image, text));
    };
    let end = tokens[k + 1].start + at.end;
    let said = &text[tokens[i].start..end];
    let span = Span { low: low.grams, high: high.grams };
    ordered(&span, said)?;
    Ok((Some(Amount::Weighed(span)), rest_without(tokens[i].start, end), false))
}

fn ordered(span: &Span, said: &str) -> Result<(), Refused> {
    match span.low <= span.high {
        true => Ok(()),
        false => Err(Refused::new(format!("\"{said}\" runs backwards"), "write the lesser first")),
    }
}
