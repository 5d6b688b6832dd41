//! Weights as the trade writes them: "178.5 g", "27 oz 5 dwt", a scratch weight "24=10". Exact, in
//! whole nanograms; an ounce is troy.

/// A weight in nanograms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Weight(pub i128);

const GRAM: i128 = 1_000_000_000;
/// A grain is 64.79891 mg by definition.
const GRAIN: i128 = 64_798_910;
const PENNYWEIGHT: i128 = 24 * GRAIN;
const OUNCE: i128 = 20 * PENNYWEIGHT;

fn unit(word: &str) -> Option<i128> {
    Some(match word {
        "g" | "gm" | "gms" | "gr." | "gram" | "grams" | "gramme" | "grammes" => GRAM,
        "kg" | "kilo" | "kilos" => 1000 * GRAM,
        "oz" | "ozs" | "ozt" | "ounce" | "ounces" => OUNCE,
        "dwt" | "dwts" | "pennyweight" | "pennyweights" => PENNYWEIGHT,
        "gr" | "grs" | "grain" | "grains" => GRAIN,
        _ => return None,
    })
}

/// A number of units, to the last decimal written.
fn times(figures: &str, unit: i128) -> Option<i128> {
    let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
    let places = u32::try_from(part.len()).ok().filter(|p| *p <= 6)?;
    let digits: i128 = format!("{whole}{part}").parse().ok()?;
    Some(digits.checked_mul(unit)? / 10i128.pow(places))
}

/// The first weight in a text: figures with their units, added up while they follow each other.
pub(crate) fn first(text: &str) -> Option<Weight> {
    let text = text.to_lowercase();
    let words: Vec<&str> = split(&text);
    let mut sum: Option<i128> = None;
    let mut i = 0;
    while i + 1 < words.len() {
        let figures = words[i].starts_with(|c: char| c.is_ascii_digit());
        match unit(words[i + 1]).filter(|_| figures) {
            Some(u) => {
                sum = Some(sum.unwrap_or(0) + times(words[i], u)?);
                i += 2;
            }
            None if sum.is_some() => break,
            None => i += 1,
        }
    }
    sum.filter(|w| *w > 0).map(Weight)
}

/// A scratch weight: ounces and pennyweights with a sign between, or a weight written out.
pub(crate) fn scratched(text: &str) -> Option<Weight> {
    let joined = |c: char| matches!(c, '=' | ':');
    let pair = text.match_indices(joined).find_map(|(at, sign)| {
        let before = text[..at].trim_end();
        let digits = before.len() - before.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let after = text[at + sign.len()..].trim_start();
        let end = after
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(after.len());
        let ounces: i128 = before[before.len() - digits..].parse().ok()?;
        let pennyweights: i128 = after[..end].parse().ok()?;
        Some(ounces.checked_mul(OUNCE)? + pennyweights.checked_mul(PENNYWEIGHT)?)
    });
    pair.map(Weight).or_else(|| first(text))
}

/// Figures and words apart, whether written together or not.
fn split(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let kind = |c: char| {
        if c.is_ascii_digit() || c == '.' {
            1
        } else if c.is_alphabetic() {
            2
        } else {
            0
        }
    };
    let mut start = 0;
    let mut last = 0;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        if kind(c) != last {
            let word = text[start..i].trim_end_matches('.');
            if last != 0 && !word.is_empty() {
                out.push(word);
            }
            (start, last) = (i, kind(c));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_exact() {
        assert_eq!(first("weighs 178.5g"), Some(Weight(178_500_000_000)));
        assert_eq!(first("1 oz"), Some(Weight(31_103_476_800)));
        assert_eq!(
            first("12 oz 5 dwt, 7 cm"),
            Some(Weight(12 * OUNCE + 5 * PENNYWEIGHT))
        );
        assert_eq!(first("7 cm high"), None);
        assert_eq!(
            scratched("scratch weight 24=10"),
            Some(Weight(24 * OUNCE + 10 * PENNYWEIGHT))
        );
        assert_eq!(scratched("scratched 31 : 00"), Some(Weight(31 * OUNCE)));
        assert_eq!(scratched("engraved with a crest"), None);
    }
}
