//! Phrases written as products: "{round|oval} punch{|es}" is four phrases.
//!
//! A brace holds alternatives parted by bars, each of which may be empty or hold braces itself, or else the
//! id of a list of them. Where an alternative is empty, one of the blanks beside it goes.

use crate::entry::Alternatives;
use crate::read::Filed;

/// No family of words is larger; more is a slip in a brace.
const MOST: usize = 5_000;

/// The phrases that one is written for, the first alternatives first.
///
/// # Errors
/// What is wrong with its braces, and what would be right.
pub(crate) fn phrases(written: &str, lists: &[Filed<Alternatives>]) -> Result<Vec<String>, String> {
    let mut reader = Reader { rest: written, lists };
    let mut out = reader.sequence()?;
    match reader.rest.chars().next() {
        Some(sign) => return Err(format!("a '{sign}' stands outside braces; drop it or open one")),
        None if written.ends_with('}') => {
            out.iter_mut().for_each(|p| p.truncate(p.trim_end_matches(' ').len()));
        }
        None => {}
    }
    Ok(out)
}

struct Reader<'w> {
    rest: &'w str,
    lists: &'w [Filed<Alternatives>],
}

impl Reader<'_> {
    /// What is written up to a bar or the end of a brace that is open, written out.
    fn sequence(&mut self) -> Result<Vec<String>, String> {
        let mut out = vec![String::new()];
        let mut behind_brace = false;
        loop {
            let plain = self.rest.find(['{', '|', '}']).unwrap_or(self.rest.len());
            let (text, rest) = self.rest.split_at(plain);
            for phrase in &mut out {
                let blank_stands = phrase.is_empty() || phrase.ends_with(' ');
                let text = match text.strip_prefix(' ') {
                    Some(text) if behind_brace && blank_stands => text,
                    _ => text,
                };
                phrase.push_str(text);
            }
            let Some(inside) = rest.strip_prefix('{') else {
                self.rest = rest;
                return Ok(out);
            };
            self.rest = inside;
            let choices = self.choices()?;
            if out.len() * choices.len() > MOST {
                return Err(format!("it is more than {MOST} phrases; part it"));
            }
            let each = |before: &String| choices.iter().map(|c| format!("{before}{c}")).collect();
            out = out.iter().flat_map(|before| -> Vec<String> { each(before) }).collect();
            behind_brace = true;
        }
    }

    /// The alternatives of a brace that is open, and past its end.
    fn choices(&mut self) -> Result<Vec<String>, String> {
        if let Some(end) = self.rest.find(['{', '|', '}'])
            && self.rest[end..].starts_with('}')
        {
            let id = &self.rest[..end];
            self.rest = &self.rest[end + 1..];
            let list = self.lists.iter().find(|f| f.entry.id == id);
            return list.map(|f| f.entry.say.clone()).ok_or_else(|| {
                format!(
                    "no list of alternatives is called \"{id}\"; name one, or part alternatives by bars"
                )
            });
        }
        let mut out = Vec::new();
        for nth in 1.. {
            out.extend(self.sequence()?);
            let mut signs = self.rest.chars();
            match signs.next() {
                Some('|') => self.rest = signs.as_str(),
                Some(_) if nth > 1 => {
                    self.rest = signs.as_str();
                    break;
                }
                Some(_) => return Err("a brace holds one alternative; add a bar or drop it".into()),
                None => return Err("a brace is not closed; close it".into()),
            }
        }
        Ok(out)
    }
}

#[cfg(test)]
mod tests {
    use super::phrases;
    use crate::entry::Alternatives;
    use crate::read::Filed;

    fn written_out(written: &str) -> Result<Vec<String>, String> {
        let say = vec!["ct".to_string(), "carat".to_string()];
        let entry = Alternatives { id: "carats".into(), say };
        phrases(written, &[Filed { file: "lists.ron".into(), entry }])
    }

    #[test]
    fn a_product_is_exactly_its_phrases() {
        for (written, out) in [
            ("lion", &["lion"][..]),
            ("", &[""]),
            (" lion  passant ", &[" lion  passant "]),
            (
                "{round|oval} punch{|es}",
                &["round punch", "round punches", "oval punch", "oval punches"],
            ),
            ("{|the }lion", &["lion", "the lion"]),
            (
                "{|the} lion {|not} passant {|mark}",
                &[
                    "lion passant",
                    "lion passant mark",
                    "lion not passant",
                    "lion not passant mark",
                    "the lion passant",
                    "the lion passant mark",
                    "the lion not passant",
                    "the lion not passant mark",
                ],
            ),
            ("18{| }{carats}", &["18ct", "18carat", "18 ct", "18 carat"]),
            (
                "{a {|big} {lion|{cat|dog}s}|beast} here",
                &[
                    "a lion here",
                    "a cats here",
                    "a dogs here",
                    "a big lion here",
                    "a big cats here",
                    "a big dogs here",
                    "beast here",
                ],
            ),
        ] {
            let out: Vec<String> = out.iter().map(ToString::to_string).collect();
            assert_eq!(written_out(written), Ok(out), "{written}");
        }
    }

    #[test]
    fn a_wrong_brace_is_refused() {
        for (written, wrong) in [
            ("{round", "is not closed"),
            ("{round|oval", "is not closed"),
            ("round}", "'}' stands outside"),
            ("round|oval", "'|' stands outside"),
            ("{round{|s}} punch", "one alternative"),
            ("18 {carots}", "called \"carots\""),
            ("{}", "called \"\""),
            ("{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}{a|b}", "more than 5000"),
        ] {
            let refused = written_out(written).expect_err(written);
            assert!(refused.contains(wrong), "{written}: {refused}");
        }
    }
}
