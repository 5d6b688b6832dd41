//! What is weighed with a piece and is not its metal: blades, pitch, liners.

use std::ops::Range;

use num_rational::BigRational;
use puncheon_schema::image::{DeductionView, Image};

use crate::words;
use crate::worth::fault::{Fault, Off};
use puncheon_lexis::grammar::deductions::{self, Amount};
use puncheon_lexis::grammar::figures::{self, Span};
use puncheon_lexis::grammar::weights::Weight;

/// One thing taken off the weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deduction {
    /// As typed.
    pub text: String,
    /// The words for what it is, as bytes of that.
    pub name: Vec<Range<usize>>,
    /// What it is, by its number in the tables.
    pub kind: Option<usize>,
    /// How much comes off, in grams.
    pub grams: Span,
    /// How it was taken, where it was left open.
    pub taken: Option<Taken>,
    /// The share of the whole as typed, in hundredths; None where it was weighed, or not said.
    pub share: Option<Span>,
}

/// How an amount that was left open was taken.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// A weight that is a guess, a tenth either side.
    Weight,
    /// A share that is an estimate, a tenth either side, in hundredths.
    Share(Span),
    /// Nothing was said: the share of published cases, in hundredths.
    Published { kind: usize, share: Span },
}

impl Deduction {
    /// Is it a share below any that was found in published cases of its kind?
    fn is_too_little(&self, image: &Image) -> bool {
        let kind = self.kind.map(|k| image.deduction(k));
        let least = kind.and_then(|d| d.share()).map(|(low, _)| figures::whole(low));
        let share = self.share.as_ref();
        share.zip(least).is_some_and(|(share, least)| share.high < least)
    }

    /// Reads one, of a piece that weighs so much.
    pub fn read(image: &Image, typed: &str, gross: &BigRational) -> Result<Deduction, Fault> {
        let text = typed.trim();
        let kinds = named(image, text);
        let read = deductions::read(image, text)
            .map_err(|why| Fault::Deduction { text: text.to_string(), why: Box::new(why) })?;
        let hundred = figures::whole(100);
        let part = |s: &Span| s.times(&(gross / &hundred));
        let (grams, share, taken) = match read.amount {
            Some(Amount::Weighed(grams)) => match !read.about.is_empty() && grams.is_exact() {
                true => (Span::about(&grams.low), None, Some(Taken::Weight)),
                false => (grams, None, None),
            },
            Some(Amount::Share(share)) => match share.is_exact() && !read.spanned {
                true => {
                    let mut about = Span::about(&share.low);
                    about.high = about.high.min(hundred.clone());
                    (part(&about), Some(share), Some(Taken::Share(about)))
                }
                false => (part(&share), Some(share), None),
            },
            None => {
                let known = kinds.iter().find_map(|d| Some((d, d.share()?)));
                let Some((d, (low, high))) = known else {
                    return Err(Fault::Off(Box::new(Off::HowMuch { text: text.to_string() })));
                };
                let share = Span { low: figures::whole(low), high: figures::whole(high) };
                (part(&share), None, Some(Taken::Published { kind: d.i, share }))
            }
        };
        if grams.low >= *gross {
            return Err(Fault::Off(Box::new(Off::TakesAll {
                text: text.to_string(),
                gross: gross.clone(),
            })));
        }
        Ok(Deduction {
            text: text.to_string(),
            name: read.name,
            kind: kinds.first().map(|d| d.i),
            grams,
            taken,
            share,
        })
    }
}

/// What the trade does about something named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Advised {
    /// Its number in the tables.
    pub kind: usize,
    /// Something was taken off for it, or nothing need be.
    pub allowed_for: bool,
}

/// What a text speaks of that is not the metal, each kind once.
pub fn named<'i>(image: &'i Image, text: &str) -> Vec<DeductionView<'i>> {
    let mut out: Vec<DeductionView> = Vec::new();
    for n in words::beside(image, text) {
        if !out.iter().any(|o| o.i == n.kind.i) {
            out.push(n.kind);
        }
    }
    out
}

/// Weight, deductions and what they leave: the half of the sums that needs no fineness.
pub struct Scales {
    /// The weight as typed, and what it comes to.
    pub text: String,
    /// The whole weight.
    pub gross: Weight,
    /// What comes off it.
    pub deductions: Vec<Deduction>,
    /// What is left, in grams.
    pub net: Span,
    /// What may have to come off, and is not taken off.
    pub advised: Vec<Advised>,
    /// Something named has to come off the weight and did not.
    pub at_most: bool,
}

impl Scales {
    /// Takes off a weight what is said to come off; `item` are words for the piece, which may speak of more.
    pub fn of(
        image: &Image,
        (text, gross): (&str, Weight),
        item: &str,
        less: &[String],
    ) -> Result<Scales, Fault> {
        let read = less
            .iter()
            .map(|l| Deduction::read(image, l, &gross.grams))
            .collect::<Result<Vec<Deduction>, Fault>>()?;
        let shares = read.iter().filter_map(|l| l.share.as_ref());
        let shares = shares.fold(Span::zero(), |sum, s| sum.and(s));
        if shares.low >= figures::whole(100) {
            return Err(Fault::Off(Box::new(Off::SharesTakeAll { shares: shares.low })));
        }
        let off = read.iter().fold(Span::zero(), |sum, l| sum.and(&l.grams));
        if off.low >= gross.grams {
            return Err(Fault::Off(Box::new(Off::AllTaken { off: off.low, gross: gross.grams })));
        }
        let advised = advised(image, item, &read);
        Ok(Scales {
            text: text.to_string(),
            net: Span::exactly(gross.grams.clone()).without(&off),
            at_most: advised.iter().any(|a| !a.allowed_for),
            gross,
            deductions: read,
            advised,
        })
    }
}

/// What is to be done about all that is named, and whether something was taken off for it.
fn advised(image: &Image, item: &str, read: &[Deduction]) -> Vec<Advised> {
    let is = |l: &Deduction, kind: usize| l.kind == Some(kind);
    let too_little = |kind: usize| read.iter().any(|l| is(l, kind) && l.is_too_little(image));
    let allowed = |kind: usize| read.iter().any(|l| is(l, kind)) && !too_little(kind);
    let mut all: Vec<usize> = named(image, item).iter().map(|d| d.i).collect();
    // A deduction may speak of more than its own kind: "steel blades and pitch 120g".
    let spoken: Vec<usize> = read.iter().flat_map(|l| named(image, &l.text)).map(|d| d.i).collect();
    for kind in &spoken {
        if !all.contains(kind) {
            all.push(*kind);
        }
    }
    let of = |kind: &usize| Advised {
        kind: *kind,
        allowed_for: !image.deduction(*kind).weighs()
            || allowed(*kind)
            || spoken.contains(kind) && !too_little(*kind),
    };
    all.iter().map(of).collect()
}
