//! `puncheon why`: each mark against one office and year, with the fact it met and its source, so
//! that a reading can be disputed line by line.

use std::io::Write;

use crate::args::{Common, WhyArgs};
use crate::out::{Exit, Failure, Out};
use crate::view;

pub fn run(a: &WhyArgs, common: &Common) -> Result<Exit, Failure> {
    let tables = common.tables()?;
    let office = tables.office(&a.office)?;
    let description = a.marks.join(" ");
    let mut out = Out::text();
    let Some(proofs) = puncheon::why(&tables, &description, &office, a.year, &Default::default())
    else {
        writeln!(out, "The tables hold no letter of {} for {}.", a.office, a.year)?;
        out.flush()?;
        return Ok(Exit::NoAnswer);
    };
    writeln!(out, "{} {}, mark by mark\n", a.office, a.year)?;
    for p in &proofs {
        let feature = p.feature.map_or(String::new(), |f| format!(" ({f})"));
        writeln!(out, "\"{}\"{feature} {}", p.text, p.relation)?;
        writeln!(out, "  {}", p.why)?;
        writeln!(out, "  fact    {}", p.fact)?;
        let sources =
            if p.sources.is_empty() { "none cited".to_string() } else { p.sources.join("; ") };
        writeln!(out, "  source  {sources} ({}, {} confidence)", p.basis, p.confidence)?;
    }
    write!(out, "{}", view::overlay(&tables))?;
    if proofs.is_empty() {
        writeln!(out, "Nothing described bears on it.")?;
    }
    out.flush()?;
    Ok(Exit::Answered)
}
