//! What is said to come off a weight: "blades 42g", "filled handles 60%", "about 20-25g pitch".

use std::ops::Range;

use num_rational::BigRational;
use puncheon_schema::entry::Grammar;
use puncheon_schema::image::{Image, Sense};

use crate::grammar::figures::{self, NoShare, Span};
use crate::grammar::weights::{self, Is, NotOne, Reader, Token};
use crate::phrase::longest;
use crate::tree::{Fate, Tree, Use};

/// Marks that stand round the words for what comes off.
const ROUND: [char; 10] = [',', ';', ':', '.', '~', '(', ')', '=', '-', ' '];
/// How far behind the first figures of a span the second may stand, in tokens: "40 oz t to 45 oz t".
const REACH: usize = 5;

/// A deduction as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deduction {
    /// None where nothing says how much comes off.
    pub amount: Option<Amount>,
    /// The words for what it is.
    pub name: Vec<Range<usize>>,
    /// Words and signs that say that the amount is a guess.
    pub about: Vec<Range<usize>>,
    /// Its least and its most were given.
    pub spanned: bool,
}

/// How much comes off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Amount {
    /// In grams.
    Weighed(Span),
    /// A part of the whole weight, in hundredths.
    Share(Span),
}

/// Why a text is no deduction. Places are bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// Its weight cannot be read.
    Weight(weights::Fault),
    /// The figures of a share are no number.
    Share {
        /// The figures.
        at: Range<usize>,
        /// Why they are no share.
        why: NoShare,
    },
    /// A share of more than the whole.
    MoreThanAll {
        /// The share, or the least and the most of it.
        at: Range<usize>,
    },
    /// The most stands before the least.
    Backwards {
        /// From the one to the other.
        at: Range<usize>,
    },
    /// A word or a figure counts pieces.
    Counts {
        /// That word or figure.
        word: Range<usize>,
    },
}

/// Reads a deduction: a name, with a weight or a share of the whole weight on either side of it.
pub fn read(image: &Image, text: &str) -> Result<Deduction, Fault> {
    let (amount, at, spanned) = match amount(image, text)? {
        Some((amount, at, spanned)) => (Some(amount), at, spanned),
        None => (None, text.len()..text.len(), false),
    };
    let outside = [0..at.start, at.end..text.len()];
    let mut about: Vec<Range<usize>> =
        outside.iter().flat_map(|part| about_signs(image, text, part)).collect();
    let words: Vec<Range<usize>> = outside.into_iter().flat_map(|part| words(text, part)).collect();
    let lower: Vec<String> = words.iter().map(|w| text[w.clone()].to_lowercase()).collect();
    let mut name = Vec::new();
    let mut i = 0;
    while i < words.len() {
        let figures = lower[i].contains(|c: char| c.is_ascii_digit());
        let said = longest::phrase(image, Grammar::Weights, lower[i..].iter().map(String::as_str));
        match said {
            _ if figures => return Err(Fault::Counts { word: words[i].clone() }),
            Some((Sense::Each, _)) => return Err(Fault::Counts { word: words[i].clone() }),
            Some((Sense::About, n)) => {
                about.push(words[i].start..words[i + n - 1].end);
                i += n;
            }
            _ => {
                name.push(words[i].clone());
                i += 1;
            }
        }
    }
    Ok(Deduction { amount, name, about, spanned })
}

/// What became of a text that is read for a deduction.
pub fn tree(image: &Image, text: &str) -> Tree {
    let (Ok(read), Ok(amount)) = (read(image, text), amount(image, text)) else {
        return Tree::over(text, weights::refused(image, text, 0..text.len()));
    };
    let amount = amount.map(|(_, at, _)| at);
    let figure = amount.into_iter().chain(read.about).map(|at| (at, Fate::Used(Use::Figure)));
    let name = read.name.into_iter().map(|at| (at, Fate::Used(Use::Object)));
    let mut told: Vec<(Range<usize>, Fate)> = figure.chain(name).collect();
    told.sort_by_key(|(at, _)| at.start);
    Tree::over(text, told)
}

/// Signs of a part of a text that say that it is a guess: "~20g".
fn about_signs(image: &Image, text: &str, part: &Range<usize>) -> Vec<Range<usize>> {
    let typed = &text[part.clone()];
    let tokens = weights::cut(typed);
    let signs = tokens.iter().filter(|t| t.is == Is::Sign).filter(|t| {
        let sign = &typed[t.start..t.end];
        let said = longest::own(image, Grammar::Weights, [sign].into_iter());
        said.is_some_and(|(sense, _)| sense == Sense::About)
    });
    signs.map(|t| part.start + t.start..part.start + t.end).collect()
}

/// The words of a part of a text, without the marks round them.
fn words(text: &str, part: Range<usize>) -> impl Iterator<Item = Range<usize>> {
    let base = text.as_ptr() as usize;
    text[part].split_whitespace().map(|w| w.trim_matches(ROUND)).filter(|w| !w.is_empty()).map(
        move |w| {
            let start = w.as_ptr() as usize - base;
            start..start + w.len()
        },
    )
}

/// The weight or share in a text, where it stands, and whether its least and most were given; None where
/// it has no figures.
fn amount(image: &Image, text: &str) -> Result<Option<(Amount, Range<usize>, bool)>, Fault> {
    let tokens = weights::cut(text);
    let Some(i) = tokens.iter().position(|t| t.is == Is::Figures) else {
        return Ok(None);
    };
    // "40-45g", "40g to 45g", "55% to 65%": the figures behind the word that joins them.
    let joined = (i + 1..tokens.len().min(i + REACH)).find_map(|k| {
        let (sense, next) = weights::says(image, text, &tokens, k)?;
        let figures = tokens.get(next).is_some_and(|t| t.is == Is::Figures);
        (sense == Sense::To && figures).then_some((k, next))
    });
    let last = joined.map_or(i, |(_, next)| next);
    let percent = tokens.get(last + 1).filter(|t| &text[t.start..t.end] == "%");
    if let Some(percent) = percent {
        let at = tokens[i].start..percent.end;
        let (share, at) = share(text, &tokens[i], &tokens[last], at)?;
        return Ok(Some((share, at, joined.is_some())));
    }
    match joined {
        None => {
            let found = Reader::new(image, text, &tokens, 0..tokens.len()).find();
            let (found, _) = found.map_err(Fault::Weight)?.ok_or_else(|| none(text))?;
            Ok(Some((Amount::Weighed(Span::exactly(found.grams)), found.at, false)))
        }
        Some((k, next)) => {
            let (span, at) = weighed(image, text, &tokens, [i, k, next])?;
            Ok(Some((span, at, true)))
        }
    }
}

fn none(text: &str) -> Fault {
    Fault::Weight(weights::none(text))
}

/// A share, or the least and the most of it.
fn share(
    text: &str,
    low: &Token,
    high: &Token,
    at: Range<usize>,
) -> Result<(Amount, Range<usize>), Fault> {
    let one = |t: &Token| -> Result<BigRational, Fault> {
        let typed = [&text[t.start..t.end], "%"].concat();
        match figures::share(&typed, None) {
            Ok(share) => Ok(share * figures::whole(100)),
            Err(why) => Err(Fault::Share { at: t.start..t.end, why }),
        }
    };
    let share = Span { low: one(low)?, high: one(high)? };
    if share.high > figures::whole(100) {
        return Err(Fault::MoreThanAll { at });
    }
    ordered(&share, &at)?;
    Ok((Amount::Share(share), at))
}

/// The least and the most of a weight, by the tokens of the least, of the word between and of the most.
fn weighed(
    image: &Image,
    text: &str,
    tokens: &[Token],
    [i, k, next]: [usize; 3],
) -> Result<(Amount, Range<usize>), Fault> {
    let part = |reach: Range<usize>| Reader::new(image, text, tokens, reach);
    let rest = part(next..tokens.len());
    let unit = rest.first_unit(next).map_err(Fault::Weight)?;
    let high_first = |unit| rest.read_figures(next, unit).map_err(Fault::Weight);
    let (before, high_count) = match unit {
        Some(unit) => (Some(unit), Some(high_first(unit)?)),
        None => (None, None),
    };
    let found = part(next..tokens.len()).find().map_err(Fault::Weight)?;
    let (high, _) = found.ok_or_else(|| none(text))?;
    let low = match (i + 1 == k, before, high_count) {
        // The unit stands behind the second figures alone.
        (true, Some(unit), Some(count)) => {
            let low = part(i..k).read_figures(i, unit).map_err(Fault::Weight)?;
            &high.grams - (count - low) * weights::grams(unit)
        }
        _ => {
            let low = part(i..k).find().map_err(Fault::Weight)?;
            low.ok_or_else(|| none(text))?.0.grams
        }
    };
    let at = tokens[i].start..high.at.end;
    if low == figures::whole(0) {
        let at = tokens[i].start..tokens[i].end;
        return Err(Fault::Weight(weights::Fault::NotOne(NotOne::Nothing { at })));
    }
    let span = Span { low, high: high.grams };
    ordered(&span, &at)?;
    Ok((Amount::Weighed(span), at))
}

fn ordered(span: &Span, at: &Range<usize>) -> Result<(), Fault> {
    match span.low <= span.high {
        true => Ok(()),
        false => Err(Fault::Backwards { at: at.clone() }),
    }
}
