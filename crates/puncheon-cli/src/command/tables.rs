//! `puncheon tables`: verify, list, show, export, diff.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use puncheon::schema::Entries;
use puncheon::schema::date::MonthDay;
use puncheon::schema::entry::{Basis, Confidence, Dispute, Office, Slot, Source};
use puncheon::schema::export::{self, HEAD};
use puncheon::schema::image::{Image, Meta};
use puncheon::{Error, Tables};

use crate::args::{Common, TablesArgs, TablesWhat};
use crate::out::{Exit, Failure, Out, aside, named};
use crate::view::brief::brief;

pub fn run(a: &TablesArgs, common: &Common) -> Result<Exit, Failure> {
    let mut out = Out::new(matches!(a.what, TablesWhat::Export));
    let exit = match &a.what {
        TablesWhat::Verify { folder } => verify(common, folder.as_deref(), &mut out)?,
        TablesWhat::List => list(common.tables()?.image(), &mut out)?,
        TablesWhat::Show { what } => show(&*common.tables()?, what, &mut out)?,
        TablesWhat::Export => {
            writeln!(out, "{HEAD}")?;
            for line in export::lines(common.tables()?.image()) {
                writeln!(out, "{line}")?;
            }
            Exit::Answered
        }
        TablesWhat::Diff { old, new } => diff(old, new, &mut out)?,
    };
    out.flush()?;
    Ok(exit)
}

/// Tables read from a folder by themselves.
fn folder(path: &Path) -> Result<Tables, Error> {
    let files = puncheon::ron_files(path)?;
    Tables::from_files(files.iter().map(|(f, t)| (f.as_str(), t.as_str())))
}

fn verify(common: &Common, path: Option<&Path>, out: &mut dyn Write) -> Result<Exit, Failure> {
    let tables = match path {
        Some(p) => folder(p),
        None => match common.tables() {
            Ok(t) => t.reverify(),
            Err(e) => return Err(e),
        },
    };
    match tables {
        Ok(t) => {
            let image = t.image();
            writeln!(
                out,
                "The tables agree with themselves: {} offices, {} letters, {} marks, {} lookalikes, {} rows.",
                image.meta(Meta::Offices),
                image.meta(Meta::Letters),
                image.meta(Meta::Marks),
                image.meta(Meta::Lookalikes),
                image.meta(Meta::Rows)
            )?;
            Ok(Exit::Answered)
        }
        Err(Error::Problems(list)) => {
            for p in &list {
                writeln!(out, "{p}")?;
            }
            out.flush()?;
            aside!("puncheon: {} in the tables", list.len());
            Ok(Exit::Misuse)
        }
        Err(e) => Err(e.into()),
    }
}

fn list(image: &Image, out: &mut dyn Write) -> Result<Exit, Failure> {
    writeln!(
        out,
        "{:<12} {:<12} {:>8} {:>8} {:>9} {:>8}",
        "office", "years", "letters", "unknown", "doubtful", "rivals"
    )?;
    for o in 0..image.meta(Meta::Offices) {
        let view = image.office(o);
        let (first, last) = view.years();
        let letters: Vec<_> = (0..image.meta(Meta::Letters))
            .map(|i| image.letter(i))
            .filter(|l| l.office() == o)
            .collect();
        let count = |f: &dyn Fn(&puncheon::schema::image::LetterView) -> bool| {
            letters.iter().filter(|l| f(l)).count()
        };
        let years =
            format!("{first}-{}", if view.open() { "now".to_string() } else { last.to_string() });
        writeln!(
            out,
            "{:<12} {:<12} {:>8} {:>8} {:>9} {:>8}",
            view.id(),
            years,
            count(&|l| !l.rival() && l.value().is_some()),
            count(&|l| !l.rival() && l.value().is_none()),
            count(&|l| !l.rival() && l.value().is_some() && l.confidence() == Confidence::Low),
            count(&|l| l.rival()),
        )?;
    }
    Ok(Exit::Answered)
}

fn show(tables: &Tables, what: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let entries = tables.entries()?;
    match what {
        "rules" => rules(&entries, out)?,
        "warnings" => warnings(&entries, out)?,
        "omissions" => omissions(&entries, out)?,
        "disputes" => disputes(entries.disputes.iter().map(|f| &f.entry), out)?,
        "units" => units(&entries, out)?,
        "deductions" => deductions(&entries, out)?,
        "sources" => sources(&entries, |_| true, out)?,
        id if entries.sources.iter().any(|f| f.entry.id == id) => {
            sources(&entries, |s| s.id == id, out)?;
        }
        office => {
            show_office(tables, office, out)?;
            let id = tables.office(office)?;
            if let Some(f) = entries.offices.iter().find(|f| id == f.entry.id.as_str()) {
                notes(&f.entry, out)?;
            }
        }
    }
    Ok(Exit::Answered)
}

/// The bibliography, or some of it.
fn sources(
    entries: &Entries,
    wanted: impl Fn(&Source) -> bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let all = entries.sources.iter().map(|f| &f.entry);
    for s in all.filter(|s| wanted(s)) {
        let author = if s.author.is_empty() { String::new() } else { format!("{}: ", s.author) };
        let weak = if s.weak { "; weak by itself" } else { "" };
        writeln!(out, "{}\n  {author}{}{weak}", s.id, s.title)?;
    }
    Ok(())
}

fn rules(entries: &Entries, out: &mut dyn Write) -> Result<(), Failure> {
    for f in &entries.rules {
        let r = &f.entry;
        writeln!(
            out,
            "{}{}\n  {}\n  {}",
            r.about,
            span(r.from, r.to),
            r.says,
            proof(r.basis, r.confidence, &r.cites)
        )?;
    }
    Ok(())
}

/// ", 1720 to 1758", as far as it is known.
fn span(from: Option<i32>, to: Option<i32>) -> String {
    match (from, to) {
        (Some(a), Some(b)) => format!(", {a} to {b}"),
        (Some(a), None) => format!(", from {a}"),
        (None, Some(b)) => format!(", to {b}"),
        (None, None) => String::new(),
    }
}

fn warnings(entries: &Entries, out: &mut dyn Write) -> Result<(), Failure> {
    for f in &entries.warnings {
        let w = &f.entry;
        let unsettles = if w.unsettles { "; no claim then holds by the marks" } else { "" };
        writeln!(
            out,
            "{}{unsettles}\n  {}\n  It may be harmless: {}\n  Who can judge: {}.\n  {}",
            w.id,
            w.reason,
            w.innocent,
            w.judge,
            proof(w.basis, w.confidence, &w.cites)
        )?;
    }
    Ok(())
}

fn omissions(entries: &Entries, out: &mut dyn Write) -> Result<(), Failure> {
    for f in &entries.omissions {
        let o = &f.entry;
        writeln!(
            out,
            "{}{}\n  {}\n  {}",
            o.offices.join(", "),
            span(o.from, o.to),
            o.on,
            proof(o.basis, o.confidence, &o.cites)
        )?;
    }
    Ok(())
}

/// Units of weight, then the ways of counting fineness.
fn units(entries: &Entries, out: &mut dyn Write) -> Result<(), Failure> {
    for f in &entries.units {
        let u = &f.entry;
        let open = match u.bare.is_empty() {
            true => String::new(),
            false => format!("; taken for it: {}", u.bare.join(", ")),
        };
        writeln!(
            out,
            "{}, {}\n  {} g exactly\n  {}{open}\n  {}",
            u.name,
            u.short,
            u.grams,
            u.say.join(", "),
            proof(u.basis, u.confidence, &u.cites)
        )?;
    }
    for f in &entries.scales {
        let s = &f.entry;
        writeln!(
            out,
            "{}\n  {} are pure\n  {}\n  {}",
            s.name,
            s.whole,
            s.say.join(", "),
            proof(s.basis, s.confidence, &s.cites)
        )?;
    }
    Ok(())
}

fn deductions(entries: &Entries, out: &mut dyn Write) -> Result<(), Failure> {
    for f in &entries.deductions {
        let d = &f.entry;
        let share = d.share.map_or(String::new(), |(low, high)| {
            format!("  {low}% to {high}% of the whole weight in published cases\n")
        });
        writeln!(
            out,
            "{}\n  {}\n{share}  {}\n  {}",
            d.name,
            d.advice,
            d.say.join(", "),
            proof(d.basis, d.confidence, &d.cites)
        )?;
    }
    Ok(())
}

fn disputes<'a>(
    list: impl Iterator<Item = &'a Dispute>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    for d in list {
        writeln!(out, "  {}", d.about)?;
        for v in &d.views {
            let who = if v.cites.is_empty() { "memory".to_string() } else { v.cites.join("; ") };
            writeln!(out, "    {}  ({who})", v.says)?;
        }
        writeln!(out, "    Followed: {}", d.followed)?;
    }
    Ok(())
}

/// What the rows cannot hold: when the year began, gaps, remarks and disputes.
fn notes(o: &Office, out: &mut dyn Write) -> Result<(), Failure> {
    writeln!(out, "\nNotes")?;
    if !o.about.is_empty() {
        writeln!(out, "  {}", o.about)?;
    }
    let span = |from: i32, to: Option<i32>| match to {
        Some(t) if t == from => from.to_string(),
        Some(t) => format!("{from} to {t}"),
        None => format!("from {from}"),
    };
    let day = |d: MonthDay| format!("{:02}-{:02}", d.month, d.day);
    for y in &o.year_starts {
        let latest = y.latest.map_or_else(String::new, |l| format!(" to {}", day(l)));
        writeln!(
            out,
            "  {}: the letter changed on {}{latest}  {}",
            span(y.from, y.to),
            day(y.day),
            proof(y.basis, y.confidence, &y.cites)
        )?;
    }
    for s in o.gaps.iter().chain(&o.letter_optional) {
        writeln!(out, "  {}: {}", span(s.from, s.to), s.why)?;
    }
    for c in &o.cycles {
        if !c.note.is_empty() {
            writeln!(out, "  {}.{}: {}", o.id, c.from, c.note)?;
        }
        for y in c.years.iter().filter(|y| !y.why.is_empty()) {
            let was = y.was.as_ref().map_or_else(String::new, |w| format!(" (was {w})"));
            writeln!(out, "  {}{was}: {}", y.year, y.why)?;
        }
        for r in &c.candidates {
            writeln!(out, "  {}, rival {}: {}", r.year, r.letters, r.why)?;
        }
    }
    if !o.disputes.is_empty() {
        writeln!(out, "\nDisputes")?;
        disputes(o.disputes.iter(), out)?;
    }
    Ok(())
}

fn proof(basis: Basis, confidence: Confidence, cites: &[String]) -> String {
    let cites = if cites.is_empty() { String::new() } else { format!(": {}", cites.join("; ")) };
    format!("({}, {} confidence{cites})", export::basis(basis), export::confidence(confidence))
}

fn show_office(tables: &Tables, office: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let image = tables.image();
    let id = tables.office(office)?;
    let Some(o) = (0..image.meta(Meta::Offices)).find(|o| id == image.office(*o).id()) else {
        return Ok(Exit::NoAnswer);
    };
    let view = image.office(o);
    writeln!(
        out,
        "{}, {} to {}\n",
        view.name(),
        view.years().0,
        if view.open() { "now".into() } else { view.years().1.to_string() }
    )?;
    if let Some(folder) = tables.overlay() {
        writeln!(out, "With the tables in {} laid over the built-in ones.\n", named(folder))?;
    }
    writeln!(out, "Marks")?;
    let mut marks: BTreeSet<(u8, String, String)> = BTreeSet::new();
    for r in view.rows() {
        for m in image.row(r).marks() {
            if matches!(
                m.slot(),
                Slot::Town | Slot::Extra | Slot::Assayer | Slot::Joined | Slot::Import
            ) {
                let (from, to) = m.span();
                let to = if to.is_empty() { "now" } else { to };
                marks.insert((
                    m.slot() as u8,
                    from.to_string(),
                    format!(
                        "  {} to {}  {}  ({}, {} confidence: {})",
                        from,
                        to,
                        image.device(m.device()).name(),
                        export::basis(m.basis()),
                        export::confidence(m.confidence()),
                        m.cites().collect::<Vec<_>>().join("; ")
                    ),
                ));
            }
        }
    }
    for (.., line) in marks {
        writeln!(out, "{line}")?;
    }
    writeln!(out, "\nLetters")?;
    let mut cycle = String::new();
    for i in 0..image.meta(Meta::Letters) {
        let l = image.letter(i);
        if l.office() != o {
            continue;
        }
        if l.cycle() != cycle {
            cycle = l.cycle().to_string();
            writeln!(out, "  {cycle}  ({})", l.cites().collect::<Vec<_>>().join("; "))?;
        }
        let struck = if l.struck().is_empty() { "?" } else { l.struck() };
        let rival = if l.rival() { "  rival" } else { "" };
        writeln!(
            out,
            "    {}  {}  {}  {}{rival}",
            l.year(),
            struck,
            l.lettering().map_or("lettering not known", |n| image.lettering(n).name()),
            export::confidence(l.confidence()),
        )?;
    }
    Ok(Exit::Answered)
}

/// Descriptions whose answers are compared by `diff`: every mark of every tenth row, described in
/// full from the older tables.
fn samples(image: &Image) -> Vec<String> {
    (0..image.meta(Meta::Rows))
        .step_by(10)
        .map(|r| {
            let row = image.row(r);
            let mut parts: Vec<String> = row
                .groups()
                .filter(|g| g.due)
                .filter_map(|g| g.marks().next())
                .map(|m| image.device(m.device()).name().to_string())
                .collect();
            let struck = row.letter().struck();
            if !struck.is_empty() {
                parts.push(format!("date letter {struck}"));
            }
            parts.join(", ")
        })
        .collect()
}

fn diff(old: &Path, new: &Path, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (old, new) = (folder(old)?, folder(new)?);
    let (a, b) = (export::lines(old.image()), export::lines(new.image()));
    let (before, after): (BTreeSet<_>, BTreeSet<_>) =
        (a.into_iter().collect(), b.into_iter().collect());
    let mut differences = 0;
    for line in before.difference(&after) {
        writeln!(out, "- {line}")?;
        differences += 1;
    }
    for line in after.difference(&before) {
        writeln!(out, "+ {line}")?;
        differences += 1;
    }
    let mut asked = BTreeSet::new();
    for s in samples(old.image()).into_iter().chain(samples(new.image())) {
        if !asked.insert(s.clone()) {
            continue;
        }
        let was = brief(&puncheon::read(&old, &s, &Default::default()), &old);
        let is = brief(&puncheon::read(&new, &s, &Default::default()), &new);
        if was != is {
            writeln!(out, "\"{s}\"\n  was {was}\n  is  {is}")?;
            differences += 1;
        }
    }
    if differences == 0 {
        writeln!(out, "No difference.")?;
    }
    Ok(if differences == 0 { Exit::Answered } else { Exit::NoAnswer })
}
