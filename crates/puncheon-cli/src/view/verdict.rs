//! What becomes of a claim, as text for people.

use puncheon::check::{Because, Clash, Ruling, Verdict};
use puncheon::phrases::capital;
use puncheon::reading::{Fit, OutsideBecause};
use puncheon::{Attribution, Tables, WarningMet};

use super::makers as register;
use super::reading::near_lines;
use super::remarks::remarks;
use crate::screen::Screen;

/// Width of the column of words before the reasons.
const LABEL: usize = 10;
/// Most lines of what fits without `--all`.
const MOST: usize = 10;

/// The whole screen of a verdict.
pub fn verdict(v: &Verdict, tables: &Tables, s: &Screen, all: bool) -> String {
    let mut out = String::new();
    let title = match v.verdict {
        Ruling::Holds => "The claim holds",
        Ruling::Possible => "The claim is possible",
        Ruling::Fails => "The claim fails",
        _ => "The claim is undecided",
    };
    // What was dropped must not seem to hold, nor a maker by initials.
    let mut claimed = match v.claim.not_used.is_empty() && v.makers.is_empty() {
        true => v.claim.text.clone(),
        false => v.claim.read_as(tables),
    };
    for m in &v.makers {
        let stands = match m.ruling {
            Attribution::Possible => "is possible",
            Attribution::Against => "does not fit the letters",
            Attribution::Untested => "is not tested",
            _ => "is not in the register",
        };
        claimed.push_str(&format!("; \"{}\" {stands}", m.text));
    }
    if !v.claim.not_used.is_empty() {
        claimed.push_str(" (as far as it was read)");
    }
    s.title(&mut out, &format!("{title}: {claimed}"));
    out.push('\n');
    because(v, s, &mut out);
    reasons(v, s, &mut out);
    makers(v, s, &mut out);
    supported(v, s, all, &mut out);
    settle(v, s, &mut out);
    warnings(&v.warnings, s, &mut out);
    for c in &v.conventions {
        s.say(&mut out, 0, c);
    }
    let unused: Vec<String> = v.claim.not_used.iter().map(|u| format!("\"{}\"", u.text)).collect();
    if !unused.is_empty() {
        s.say(&mut out, 0, &format!("Not used of the claim: {}.", unused.join(", ")));
    }
    out.push_str(&register::lines(&v.reading, s, all));
    s.say(&mut out, 0, &v.cautions.join(" "));
    remarks(&v.reading, s, &mut out);
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
        Because::NeverStruck => {
            v.clashes.first().map_or(String::new(), |c| format!("{}.", capital(&c.would_be)))
        }
        Because::Denied => format!("Not a British or Irish hallmark{}.", denied()),
        Because::NothingBears if v.reading.sightings.is_empty() => {
            "No mark was recognised in the description.".into()
        }
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
        Because::LetterNotKnown => {
            "No letter known for that time is the one described: what fits are years whose letter \
             is not known, where any letter would."
                .into()
        }
        _ => return,
    };
    s.say(out, 0, &said);
    out.push('\n');
}

fn line(s: &Screen, out: &mut String, label: &str, words: &str) {
    s.pair(out, label, words, LABEL);
}

/// The makers claimed, a line each.
fn makers(v: &Verdict, s: &Screen, out: &mut String) {
    for m in &v.makers {
        let name = m.read_as.as_ref().unwrap_or(&m.text);
        line(s, out, "maker", &format!("{name}: {}", m.why));
    }
    if !v.makers.is_empty() {
        out.push('\n');
    }
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
    // Where much is claimed, the reasons speak of one year of it.
    if let Some(c) = v.compared.as_ref().filter(|_| wide(v) && !v.clashes.is_empty()) {
        s.say(out, 0, &format!("Nearest in the claim is {} {}:", c.office_name, c.shown));
        out.push('\n');
    }
    for b in &v.supports {
        line(s, out, "agrees", &format!("{}{}", quoted(b.sighting), plain(&b.why)));
        said = true;
    }
    for b in &v.strains {
        line(s, out, "strained", &format!("{}{}", quoted(b.sighting), plain(&b.why)));
        said = true;
    }
    // One mark can clash in its letter, case and lettering: that is one line.
    for clashes in v.clashes.chunk_by(|a, b| a.sighting == b.sighting) {
        let quoted = quoted(clashes[0].sighting);
        line(s, out, "against", &format!("{quoted}{}", against(clashes)));
        said = true;
    }
    if !v.not_described.is_empty() {
        let list: Vec<&str> = v.not_described.iter().map(|n| n.listed.as_str()).collect();
        line(s, out, "unseen", &list.join("; "));
        said = true;
    }
    if said {
        out.push('\n');
    }
}

/// Does the claim leave more than one office-year?
fn wide(v: &Verdict) -> bool {
    let c = &v.claim;
    c.offices.len() != 1 || c.years.len() != 1 || c.years[0].from != c.years[0].to
}

/// Why one mark speaks against the claim, and what it would have to be.
fn against(clashes: &[Clash]) -> String {
    let would_be: Vec<&str> = clashes.iter().map(|c| c.would_be.as_str()).collect();
    let would_be = would_be.join(", ");
    let asks = match clashes[0].absent {
        true => would_be,
        false => format!("the claim asks for {would_be}"),
    };
    match clashes[0].why.as_str() {
        "" => asks,
        why => format!("{why}; {asks}"),
    }
}

/// What the marks support apart from the claim.
fn supported(v: &Verdict, s: &Screen, all: bool, out: &mut String) {
    let r = &v.reading;
    match v.verdict {
        Ruling::Holds => {
            if r.years > 1 {
                s.say(out, 0, &format!("{}: all lie in the claim.", puncheon::years_left(&r.left)));
            } else {
                s.say(out, 0, "Nothing else fits the marks described.");
            }
            return;
        }
        Ruling::Undecided | Ruling::Fails if r.fits.is_empty() => {
            if !r.nears.is_empty() {
                out.push_str("Nearest, with a misreading:\n\n");
                near_lines(r, s, out);
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
                true => "Only partly in the claim:",
                false => "In the claim the marks fit",
            };
            s.say(out, 0, &format!("{lead} {list}."));
            let list = years(v, &beyond, all);
            if !list.is_empty() {
                s.say(out, 0, &format!("They also fit {list}."));
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
    let named: Vec<&str> = v.claim.standards.iter().map(String::as_str).collect();
    let mut by_office: Vec<(&str, Vec<(i32, String)>)> = Vec::new();
    for l in lines.iter().take(most) {
        // The standard is said where it is not the one claimed.
        let other = !named.is_empty() && !named.contains(&l.standard.as_str());
        let shown =
            if other { format!("{} ({})", l.shown, l.standard_name) } else { l.shown.clone() };
        match by_office.iter_mut().find(|o| o.0 == l.office_name) {
            Some(o) => o.1.push((l.from, shown)),
            None => by_office.push((&l.office_name, vec![(l.from, shown)])),
        }
    }
    let list: Vec<String> = by_office
        .iter_mut()
        .map(|(office, years)| {
            years.sort();
            let years: Vec<&str> = years.iter().map(|y| y.1.as_str()).collect();
            format!("{office} {}", years.join(", "))
        })
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
            &format!("To settle it look at the {}: the claim asks for {found}; {rest}.", t.feature),
        );
    }
    let easy: Vec<&str> = v.clashes.iter().filter(|c| c.easy).map(|c| c.if_so.as_str()).collect();
    if v.verdict != Ruling::Possible && !easy.is_empty() && easy.len() == v.clashes.len() {
        s.say(out, 0, &format!("The claim could stand {}: look again.", easy.join(" and ")));
    }
}

/// Signs worth a second look. None is an accusation.
pub fn warnings(list: &[WarningMet], s: &Screen, out: &mut String) {
    for w in list {
        out.push('\n');
        s.say(out, 0, &format!("Look twice: {}", w.reason));
        s.say(out, 2, &format!("It may be harmless: {}", w.innocent));
        s.say(out, 2, &format!("Who can judge: {}. Source: {}.", w.judge, w.source));
    }
    if !list.is_empty() {
        out.push('\n');
    }
}
