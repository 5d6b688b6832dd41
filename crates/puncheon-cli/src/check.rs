//! `puncheon check`: a claim held against the marks, as text or JSON.

use std::fmt::Write as _;
use std::io::{self, BufRead, IsTerminal, Write};

use puncheon::check::{Because, Clash, Ruling, Verdict};
use puncheon::reading::{Fit, OutsideBecause};
use puncheon::{Claim, Options, Tables};

use crate::args::{self, CheckArgs};
use crate::out::{Exit, Failure};
use crate::screen::{self, Screen};

/// Width of the column of words before the reasons.
const LABEL: usize = 10;
/// Most lines of what fits without `--all`.
const MOST: usize = 10;

pub fn run(a: &CheckArgs) -> Result<Exit, Failure> {
    let Some(common) = &a.common else {
        return Err(args::short_help());
    };
    let tables = common.tables()?;
    let screen = Screen::new(common.ascii, common.color);
    let mut options = Options::default();
    options.complete = a.complete;
    let claim = match &a.claim {
        Some(words) => Some(Claim::read(&tables, words).map_err(unreadable)?),
        None => None,
    };
    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut worst = Exit::Answered;
    let mut shown = 0usize;
    let mut answer = |description: &str, out: &mut dyn Write| -> Result<(), Failure> {
        let claim = match &claim {
            Some(c) => c.clone(),
            None => stated(&tables, description)?,
        };
        let v = puncheon::check_claim(&tables, &claim, description, &options);
        worst = worse(worst, exit(v.verdict));
        if a.json {
            let line = serde_json::to_string(&v).map_err(|e| Failure::Misuse(e.to_string()))?;
            writeln!(out, "{line}")?;
        } else {
            if shown > 0 {
                writeln!(out)?;
            }
            shown += 1;
            out.write_all(verdict(&v, &screen, a.all).as_bytes())?;
        }
        Ok(())
    };
    if a.marks.is_empty() {
        let stdin = io::stdin();
        if stdin.is_terminal() {
            return Err(args::short_help());
        }
        for line in stdin.lock().lines() {
            answer(&line?, &mut out)?;
            out.flush()?;
        }
    } else {
        answer(&a.marks.join(" "), &mut out)?;
    }
    out.flush()?;
    Ok(worst)
}

fn unreadable(e: puncheon::ClaimError) -> Failure {
    Failure::Misuse(e.to_string())
}

/// The claim that the description makes.
fn stated(tables: &Tables, description: &str) -> Result<Claim, Failure> {
    let seen = puncheon::sightings(tables, description);
    Claim::stated(tables, description, &seen)
        .map_err(unreadable)?
        .ok_or_else(|| {
            Failure::Misuse(
                "the description states no date and no place to test\n  \
                 say what is claimed: --claim \"an office and a year\", or write it into the \
                 description as \"stated ...\""
                    .into(),
            )
        })
}

fn exit(r: Ruling) -> Exit {
    match r {
        Ruling::Holds | Ruling::Possible => Exit::Answered,
        Ruling::Fails => Exit::NoAnswer,
        _ => Exit::Undecided,
    }
}

/// Of several verdicts one that fails is the worst, then one undecided.
fn worse(a: Exit, b: Exit) -> Exit {
    [Exit::NoAnswer, Exit::Undecided]
        .into_iter()
        .find(|e| *e == a || *e == b)
        .unwrap_or(a)
}

/// The whole screen of a verdict.
fn verdict(v: &Verdict, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    let title = match v.verdict {
        Ruling::Holds => "The claim holds",
        Ruling::Possible => "The claim is possible",
        Ruling::Fails => "The claim fails",
        _ => "The claim is undecided",
    };
    let _ = writeln!(out, "{}\n", s.strong(&format!("{title}: {}", v.claim.text)));
    because(v, s, &mut out);
    reasons(v, s, &mut out);
    supported(v, s, all, &mut out);
    settle(v, s, &mut out);
    warnings(v, s, &mut out);
    for c in &v.conventions {
        s.say(&mut out, 0, c);
    }
    for u in &v.claim.not_used {
        s.say(
            &mut out,
            0,
            &format!("\"{}\" of the claim was not used.", u.text),
        );
    }
    cautions(v, s, &mut out);
    screen::remarks(&v.reading, s, &mut out);
    // Blocks that say nothing leave no gap.
    while out.contains("\n\n\n") {
        out = out.replace("\n\n\n", "\n\n");
    }
    out
}

/// The rule that decided, where the reasons below do not say it.
fn because(v: &Verdict, s: &Screen, out: &mut String) {
    let denied = || {
        let l = v.reading.lookalikes.iter().find(|l| l.denies);
        l.map_or(String::new(), |l| format!(": {}", l.what))
    };
    let said = match v.because {
        Because::NeverStruck => v
            .clashes
            .first()
            .map_or(String::new(), |c| format!("{}.", capital(&c.would_be))),
        Because::Denied => format!("Not a British or Irish hallmark{}.", denied()),
        Because::NothingBears => {
            "Nothing described bears on it. A maker's mark, a word, or a letter or figure alone is \
             no hallmark."
                .into()
        }
        Because::OnlyMisread => {
            "As described no year fits, but one in the claim would if a mark were misread.".into()
        }
        Because::NothingFits => match v.reading.outside_because {
            Some(OutsideBecause::ForeignFineness) => "Not a standard of these islands.".into(),
            Some(OutsideBecause::NoYearLetters) => {
                "The marks are those of a town that struck no yearly letter.".into()
            }
            _ => "As described no year fits, and none in the claim is near.".into(),
        },
        Because::MarksInDoubt => {
            "The marks would fit, but what is said of them leaves open whether they are the \
             piece's own."
                .into()
        }
        _ => return,
    };
    s.say(out, 0, &said);
    out.push('\n');
}

fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn line(s: &Screen, out: &mut String, label: &str, words: &str) {
    s.pair(out, label, words, LABEL);
}

/// What agrees, what clashes and what was not described, a line each.
fn reasons(v: &Verdict, s: &Screen, out: &mut String) {
    if v.because == Because::NeverStruck {
        return;
    }
    let quoted = |i: Option<usize>| {
        i.and_then(|i| v.reading.sightings.get(i))
            .map_or(String::new(), |x| format!("\"{}\": ", x.text))
    };
    let plain = |why: &str| why.trim_end_matches('.').to_string();
    let mut said = false;
    for b in &v.supports {
        line(
            s,
            out,
            "agrees",
            &format!("{}{}", quoted(b.sighting), plain(&b.why)),
        );
        said = true;
    }
    for b in &v.strains {
        line(
            s,
            out,
            "strained",
            &format!("{}{}", quoted(b.sighting), plain(&b.why)),
        );
        said = true;
    }
    for c in &v.clashes {
        line(s, out, "against", &against(c, &quoted(c.sighting)));
        said = true;
    }
    if !v.not_described.is_empty() {
        let list: Vec<String> = v
            .not_described
            .iter()
            .map(|n| match n.mark.as_str() {
                "sponsor's mark" => n.mark.clone(),
                "date letter" => format!("date letter: {}", n.looks),
                _ => n.looks.clone(),
            })
            .collect();
        line(s, out, "unseen", &list.join("; "));
        said = true;
    }
    if said {
        out.push('\n');
    }
}

fn against(c: &Clash, quoted: &str) -> String {
    let asks = if c.would_be.starts_with("not there") {
        c.would_be.clone()
    } else {
        format!("the claim asks for {}", c.would_be)
    };
    if c.why.is_empty() {
        return format!("{quoted}{asks}");
    }
    format!("{quoted}{}; {asks}", c.why)
}

/// What the marks support apart from the claim.
fn supported(v: &Verdict, s: &Screen, all: bool, out: &mut String) {
    let r = &v.reading;
    match v.verdict {
        Ruling::Holds => {
            if r.years > 1 {
                s.say(
                    out,
                    0,
                    &format!(
                        "{} fit, and all lie in the claim.",
                        screen::plural(r.years, "year")
                    ),
                );
            } else {
                s.say(out, 0, "Nothing else fits the marks described.");
            }
            return;
        }
        Ruling::Undecided | Ruling::Fails if r.fits.is_empty() => {
            if !r.nears.is_empty() {
                out.push_str("Nearest, with a misreading:\n\n");
                screen::near_lines(r, s, out);
                out.push('\n');
            }
            return;
        }
        _ => {}
    }
    // A mark with nothing beside it supports no date.
    if v.because == Because::NothingBears || v.because == Because::Denied {
        return;
    }
    let claimed = |i: &usize| v.inside.contains(i) || v.half.contains(i);
    let (within, beyond): (Vec<usize>, Vec<usize>) = (0..r.fits.len()).partition(claimed);
    match v.verdict {
        Ruling::Fails => {
            let list = years(v, &beyond, all);
            s.say(out, 0, &format!("The marks support {list}."));
        }
        _ => {
            let list = years(v, &within, all);
            let lead = match v.inside.is_empty() {
                true => "Partly in the claim lies",
                false => "In the claim the marks fit",
            };
            s.say(out, 0, &format!("{lead} {list}."));
            let list = years(v, &beyond, all);
            if !list.is_empty() {
                s.say(out, 0, &format!("They fit as well {list}."));
            }
        }
    }
}

/// The years of some fits, office by office.
fn years(v: &Verdict, fits: &[usize], all: bool) -> String {
    let fits: Vec<&Fit> = fits.iter().map(|i| &v.reading.fits[*i]).collect();
    let mut lines: Vec<&Fit> = Vec::new();
    for f in fits {
        // A run of one standard may lie within that of another.
        let before = v.reading.fits.iter().take_while(|l| l.row != f.row);
        let covered = before
            .chain(lines.iter().copied())
            .any(|l| l.office == f.office && l.from <= f.from && f.to <= l.to);
        if !covered {
            lines.push(f);
        }
    }
    let most = if all { lines.len() } else { MOST };
    let mut by_office: Vec<(&str, Vec<&str>)> = Vec::new();
    for l in lines.iter().take(most) {
        match by_office.iter_mut().find(|o| o.0 == l.office_name) {
            Some(o) => o.1.push(&l.shown),
            None => by_office.push((&l.office_name, vec![&l.shown])),
        }
    }
    let list: Vec<String> = by_office
        .iter()
        .map(|(office, years)| format!("{office} {}", years.join(", ")))
        .collect();
    let more = match lines.len().saturating_sub(most) {
        0 => String::new(),
        n => format!("; and {n} more, which --all lists"),
    };
    format!("{}{more}", list.join("; "))
}

/// What would settle the claim, or save it.
fn settle(v: &Verdict, s: &Screen, out: &mut String) {
    if let Some(t) = &v.settle {
        let rest = match t.others {
            0 => "nothing else would then fit".to_string(),
            1 => "1 other year would then be left".into(),
            n => format!("{n} other years would then be left"),
        };
        let found = match t.found.as_slice() {
            [one] => one.clone(),
            many if many.len() <= 4 => many.join(" or "),
            many => format!("one of {}", many.len()),
        };
        s.say(
            out,
            0,
            &format!(
                "To settle it look at the {}: the claim asks for {found}; {rest}.",
                t.feature
            ),
        );
    }
    let easy: Vec<String> = v
        .clashes
        .iter()
        .filter(|c| c.easy)
        .map(|c| format!("the {} would have to be {}", c.saw, c.would_be))
        .collect();
    if v.verdict != Ruling::Possible && !easy.is_empty() && easy.len() == v.clashes.len() {
        s.say(
            out,
            0,
            &format!(
                "To save the claim {}: look at it again.",
                easy.join(" and ")
            ),
        );
    }
}

/// Signs worth a second look. None is an accusation.
fn warnings(v: &Verdict, s: &Screen, out: &mut String) {
    for w in &v.warnings {
        out.push('\n');
        s.say(out, 0, &format!("Look twice: {}", w.reason));
        s.say(out, 2, &format!("It may be harmless: {}", w.innocent));
        s.say(
            out,
            2,
            &format!("Who can judge: {}. Source: {}.", w.judge, w.source),
        );
    }
    if !v.warnings.is_empty() {
        out.push('\n');
    }
}

fn cautions(v: &Verdict, s: &Screen, out: &mut String) {
    let said = match v.verdict {
        Ruling::Holds => {
            "Marks that agree are no proof: a verdict rests on your description, not on an assay."
        }
        _ => "Rests on your description, not on an assay. An assay office can judge.",
    };
    s.say(out, 0, said);
    for c in v.reading.cautions.iter().skip(1) {
        s.say(out, 0, c);
    }
}
