//! Reading table files, and laying a user's folder over the built-in one.

use std::collections::HashMap;

use ron::extensions::Extensions;

use crate::entry::*;
use crate::problem::Problem;
use crate::product;
use crate::sponsor::Sponsor;

/// An entry with the file it stands in, so that a problem found later can name the place.
#[derive(Clone, Debug)]
pub struct Filed<T> {
    /// Path of the file, relative to the tables folder.
    pub file: String,
    /// The entry.
    pub entry: T,
}

/// All entries of a tables folder.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)]
pub struct Entries {
    pub sources: Vec<Filed<Source>>,
    pub devices: Vec<Filed<Device>>,
    pub letterings: Vec<Filed<Lettering>>,
    pub outlines: Vec<Filed<Outline>>,
    pub standards: Vec<Filed<Standard>>,
    pub regimes: Vec<Filed<Regime>>,
    pub marks: Vec<Filed<Mark>>,
    pub offices: Vec<Filed<Office>>,
    pub lookalikes: Vec<Filed<Lookalike>>,
    pub reigns: Vec<Filed<Reign>>,
    /// Lists that phrases name in braces; the phrases are written out as they are read.
    pub alternatives: Vec<Filed<Alternatives>>,
    pub words: Vec<Filed<Words>>,
    pub slips: Vec<Filed<Slip>>,
    pub rules: Vec<Filed<Rule>>,
    pub disputes: Vec<Filed<Dispute>>,
    pub warnings: Vec<Filed<Warning>>,
    pub cautions: Vec<Filed<Caution>>,
    pub omissions: Vec<Filed<Omission>>,
    pub designs: Vec<Filed<Designs>>,
    pub units: Vec<Filed<Unit>>,
    pub scales: Vec<Filed<Scale>>,
    pub deductions: Vec<Filed<Deduction>>,
    /// Words that claim more than marks bear out.
    pub boasts: Vec<Filed<Boast>>,
    pub sponsors: Vec<Filed<Sponsor>>,
}

fn options() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_VARIANT_NEWTYPES)
}

/// Parses one file.
///
/// # Errors
/// A [`Problem`] at the line and column where the text stops making sense.
pub fn parse(file: &str, text: &str) -> Result<File, Problem> {
    options().from_str(text).map_err(|e| {
        let at = e.span.start;
        Problem::at(file, at.line, at.col, &e.code.to_string())
    })
}

impl Entries {
    /// Reads `(path, text)` pairs. Every unreadable file is reported; the rest is still read.
    pub fn read<'a>(
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> (Entries, Vec<Problem>) {
        let mut entries = Entries::default();
        let problems = entries.lay(files, false);
        (entries, problems)
    }

    /// Lays further files over these: an entry with an id already known replaces it, a new one is
    /// added, and `Retired` ids go. Words and disputes have no id and are only added.
    pub fn overlay<'a>(
        &mut self,
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Vec<Problem> {
        self.lay(files, true)
    }

    fn lay<'a>(
        &mut self,
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
        over: bool,
    ) -> Vec<Problem> {
        let mut problems = Vec::new();
        let mut read: Vec<(&str, Result<File, Problem>)> =
            files.into_iter().map(|(file, text)| (file, parse(file, text))).collect();
        // Lists before the phrases that name them.
        for (file, of) in &mut read {
            if let Ok(File::Alternatives(lists)) = of {
                for mut list in std::mem::take(lists) {
                    self.write_out(file, &mut list.say, &mut problems);
                    place(&mut self.alternatives, file, vec![list], |e| &e.id, over);
                }
            }
        }
        for (file, of) in &mut read {
            for phrases in of.iter_mut().flat_map(phrases_of) {
                self.write_out(file, phrases, &mut problems);
            }
        }
        for (file, of) in read {
            match of {
                Ok(File::Sources(v)) => place(&mut self.sources, file, v, |e| &e.id, over),
                Ok(File::Devices(v)) => place(&mut self.devices, file, v, |e| &e.id, over),
                Ok(File::Letterings(v)) => place(&mut self.letterings, file, v, |e| &e.id, over),
                Ok(File::Outlines(v)) => place(&mut self.outlines, file, v, |e| &e.id, over),
                Ok(File::Standards(v)) => place(&mut self.standards, file, v, |e| &e.id, over),
                Ok(File::Regimes(v)) => place(&mut self.regimes, file, v, |e| &e.id, over),
                Ok(File::Marks(v)) => place(&mut self.marks, file, v, |e| &e.id, over),
                Ok(File::Lookalikes(v)) => place(&mut self.lookalikes, file, v, |e| &e.id, over),
                Ok(File::Rules(v)) => place(&mut self.rules, file, v, |e| &e.id, over),
                Ok(File::Reigns(v)) => place(&mut self.reigns, file, v, |e| &e.id, over),
                Ok(File::Warnings(v)) => place(&mut self.warnings, file, v, |e| &e.id, over),
                Ok(File::Cautions(v)) => place(&mut self.cautions, file, v, |e| &e.id, over),
                Ok(File::Omissions(v)) => place(&mut self.omissions, file, v, |e| &e.id, over),
                Ok(File::Designs(d)) => place(&mut self.designs, file, vec![*d], |e| &e.id, over),
                Ok(File::Units(v)) => place(&mut self.units, file, v, |e| &e.id, over),
                Ok(File::Scales(v)) => place(&mut self.scales, file, v, |e| &e.id, over),
                Ok(File::Deductions(v)) => place(&mut self.deductions, file, v, |e| &e.id, over),
                Ok(File::Boasts(v)) => place(&mut self.boasts, file, v, |e| &e.id, over),
                Ok(File::Sponsors(v)) => place(&mut self.sponsors, file, v, |e| &e.id, over),
                Ok(File::Office(o)) => place(&mut self.offices, file, vec![*o], |e| &e.id, over),
                Ok(File::Vocabulary(v)) => {
                    if over {
                        self.unsay(&v);
                    }
                    self.words
                        .extend(v.into_iter().map(|entry| Filed { file: file.into(), entry }));
                }
                Ok(File::Slips(v)) => {
                    self.slips
                        .extend(v.into_iter().map(|entry| Filed { file: file.into(), entry }));
                }
                Ok(File::Disputes(v)) => {
                    self.disputes
                        .extend(v.into_iter().map(|entry| Filed { file: file.into(), entry }));
                }
                Ok(File::Alternatives(_)) => {}
                Ok(File::Retired(ids)) => {
                    for id in ids {
                        if !self.retire(&id) {
                            problems.push(Problem::entry(
                                file,
                                &id,
                                "retired",
                                "no entry has this id; name one that the tables hold",
                            ));
                        }
                    }
                }
                Err(p) => problems.push(p),
            }
        }
        problems
    }

    /// Puts phrases in the place of the products that they are written as.
    fn write_out(&self, file: &str, phrases: &mut Vec<String>, problems: &mut Vec<Problem>) {
        let mut out = Vec::with_capacity(phrases.len());
        for written in std::mem::take(phrases) {
            match product::phrases(&written, &self.alternatives) {
                Ok(phrases) => out.extend(phrases),
                Err(wrong) => {
                    let place = format!("words '{written}'");
                    problems.push(Problem::entry(file, &place, "product", &wrong));
                }
            }
        }
        *phrases = out;
    }

    /// A phrase of an overlay takes the place of the same phrase below it, in whatever grammar both count.
    fn unsay(&mut self, new: &[Words]) {
        let mut said: HashMap<&str, Vec<&[Grammar]>> = HashMap::new();
        let mut shouted: HashMap<&str, Vec<&[Grammar]>> = HashMap::new();
        for w in new {
            for p in w.say.iter().chain(&w.slips) {
                said.entry(p).or_default().push(&w.within);
            }
            for p in &w.capitals {
                shouted.entry(p).or_default().push(&w.within);
            }
        }
        for f in &mut self.words {
            let own = &f.entry.within;
            let both = |theirs: &&[Grammar]| {
                theirs.is_empty() && own.is_empty() || theirs.iter().any(|g| own.contains(g))
            };
            let stays = |by: &HashMap<&str, Vec<&[Grammar]>>, p: &String| {
                !by.get(p.as_str()).is_some_and(|all| all.iter().any(both))
            };
            f.entry.say.retain(|p| stays(&said, p));
            f.entry.slips.retain(|p| stays(&said, p));
            f.entry.capitals.retain(|p| stays(&shouted, p));
        }
        self.words.retain(|f| {
            let w = &f.entry;
            !(w.say.is_empty() && w.slips.is_empty() && w.capitals.is_empty())
        });
    }

    fn retire(&mut self, id: &str) -> bool {
        fn drop_id<T>(v: &mut Vec<Filed<T>>, id: &str, key: fn(&T) -> &String) -> bool {
            let before = v.len();
            v.retain(|f| key(&f.entry) != id);
            v.len() != before
        }
        drop_id(&mut self.regimes, id, |e| &e.id)
            | drop_id(&mut self.marks, id, |e| &e.id)
            | drop_id(&mut self.offices, id, |e| &e.id)
            | drop_id(&mut self.lookalikes, id, |e| &e.id)
            | drop_id(&mut self.reigns, id, |e| &e.id)
            | drop_id(&mut self.warnings, id, |e| &e.id)
            | drop_id(&mut self.cautions, id, |e| &e.id)
            | drop_id(&mut self.omissions, id, |e| &e.id)
            | drop_id(&mut self.units, id, |e| &e.id)
            | drop_id(&mut self.scales, id, |e| &e.id)
            | drop_id(&mut self.deductions, id, |e| &e.id)
            | drop_id(&mut self.boasts, id, |e| &e.id)
            | drop_id(&mut self.sponsors, id, |e| &e.id)
    }
}

/// The lists of phrases in a file.
fn phrases_of<'f>(file: &'f mut File) -> Vec<&'f mut Vec<String>> {
    match file {
        File::Vocabulary(v) => {
            let lists =
                |w: &'f mut Words| [&mut w.say, &mut w.slips, &mut w.capitals, &mut w.after_comma];
            v.iter_mut().flat_map(lists).collect()
        }
        File::Reigns(v) => v.iter_mut().map(|r| &mut r.say).collect(),
        File::Deductions(v) => v.iter_mut().map(|d| &mut d.say).collect(),
        File::Boasts(v) => v.iter_mut().map(|b| &mut b.say).collect(),
        _ => Vec::new(),
    }
}

fn place<T>(into: &mut Vec<Filed<T>>, file: &str, new: Vec<T>, key: fn(&T) -> &String, over: bool) {
    for entry in new {
        let filed = Filed { file: file.to_string(), entry };
        let known =
            over.then(|| into.iter().position(|f| key(&f.entry) == key(&filed.entry))).flatten();
        match known {
            Some(i) => into[i] = filed,
            None => into.push(filed),
        }
    }
}

impl Entries {
    /// The signs that warnings look for, each once.
    pub(crate) fn signs(&self) -> Vec<&str> {
        let mut out: Vec<&str> = Vec::new();
        for when in self.warnings.iter().flat_map(|f| &f.entry.when) {
            if let When::Said(sign) = when
                && !out.contains(&sign.as_str())
            {
                out.push(sign);
            }
        }
        out
    }
}

/// Positions of entries by id.
pub(crate) type Index<'a> = HashMap<&'a str, usize>;

pub(crate) fn index<'a, T>(v: &'a [Filed<T>], key: fn(&'a T) -> &'a str) -> Index<'a> {
    v.iter().enumerate().map(|(i, f)| (key(&f.entry), i)).collect()
}

#[cfg(test)]
mod tests {
    use super::Entries;

    const LISTS: (&str, &str) = (
        "z-lists.ron",
        r#"Alternatives([(id: "beast", say: ["lion", "{big|small} cat"]), (id: "beasts", say: ["{beast}s"])])"#,
    );

    fn said(entries: &Entries) -> Vec<&str> {
        entries.words.iter().flat_map(|f| &f.entry.say).map(String::as_str).collect()
    }

    #[test]
    fn phrases_are_written_out_by_lists_of_any_file() {
        let words = r#"Vocabulary([(means: Aside, say: ["{|the} {beast}"], slips: ["{beasts}"])])"#;
        let (entries, problems) = Entries::read([("a-words.ron", words), LISTS]);
        assert_eq!(problems, []);
        let all = ["lion", "big cat", "small cat", "the lion", "the big cat", "the small cat"];
        assert_eq!(said(&entries), all);
        assert_eq!(entries.words[0].entry.slips, ["lions", "big cats", "small cats"]);
    }

    #[test]
    fn a_wrong_brace_is_a_problem_at_its_phrase() {
        for (file, text) in [
            ("words.ron", r#"Vocabulary([(means: Aside, say: ["cow", "old {beats}"])])"#),
            (
                "reigns.ron",
                r#"Reigns([(id: "one", name: "One", from: 1700, to: 1701, say: ["old {beats}"])])"#,
            ),
            ("lists.ron", r#"Alternatives([(id: "old", say: ["old {beats}"])])"#),
        ] {
            let (_, problems) = Entries::read([(file, text), LISTS]);
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            let place = format!("{file}: words 'old {{beats}}': product: no list of alternatives");
            assert_eq!(told.len(), 1, "{told:?}");
            assert!(told[0].starts_with(&place), "{told:?}");
        }
    }

    #[test]
    fn a_list_laid_over_another_is_that_of_the_phrases_laid_over() {
        let words = r#"Vocabulary([(means: Aside, say: ["old {beast}"])])"#;
        let (mut entries, _) = Entries::read([("words.ron", words), LISTS]);
        let over = [
            ("lists.ron", r#"Alternatives([(id: "beast", say: ["cow"])])"#),
            ("words.ron", r#"Vocabulary([(means: Part, say: ["new {beast}", "old lion"])])"#),
        ];
        assert_eq!(entries.overlay(over), []);
        assert_eq!(said(&entries), ["old big cat", "old small cat", "new cow", "old lion"]);
    }
}
