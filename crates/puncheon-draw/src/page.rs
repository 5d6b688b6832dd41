//! A chart as a page that stands alone: to read on a screen or a phone, and to print.

use std::fmt::Write as _;

use puncheon::Tables;
use puncheon::chart::{Chart, Question};

use crate::chart::{SOURCES, foot};
use crate::ladder::{Punched, Rung, sections};
use crate::outlines::GROUND;
use crate::svg::{Num, Safe};

const STYLE: &str = "\
:root{color-scheme:light}
body{margin:0 auto;max-width:64rem;padding:1rem;background:#fff;color:#111;
font:16px/1.35 sans-serif}
h1{font-size:1.5rem;margin:0 0 .5rem}
h2{font-size:1.05rem;margin:1.2rem 0 .3rem;break-after:avoid;break-inside:avoid}
.years{columns:19rem;column-gap:2rem}
section{margin:0}
ol,ul{list-style:none;margin:0;padding:0}
.rung{display:grid;grid-template-columns:var(--label) auto;break-inside:avoid}
.year{font-weight:bold;align-self:center;overflow-wrap:anywhere}
.punch{display:grid;grid-template-columns:auto 1fr}
.step{border:solid #888;border-width:0 1px 1px;padding:.15rem .35rem;
display:flex;align-items:center}
.first .step{border-top-width:1px}
.step svg{width:2.6rem;height:auto}
.said{align-self:center;padding:.1rem 0 .1rem .6rem}
.said small,footer{color:#444;font-size:.85rem}
.said small{display:block}
footer{margin-top:1.5rem;border-top:1px solid #888}
footer p{margin:.4rem 0}
footer li{margin:.2rem 0}
@media (max-width:30rem){body{padding:.6rem}.step svg{width:3rem}}
@media print{@page{size:A4;margin:14mm}
body{max-width:none;padding:0;font-size:10pt}
.years{columns:2;column-gap:8mm}
.step svg{width:8.5mm}
footer{break-inside:avoid}}
";

/// The chart as an HTML document. It needs nothing beside itself.
pub fn page(tables: &Tables, chart: &Chart) -> String {
    let title = Safe(&chart.title);
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n\
         <h1>{title}</h1>\n"
    );
    if let Some(nothing) = &chart.nothing {
        let _ = writeln!(out, "<p>{}</p>", Safe(nothing));
    }
    let label = match chart.asked.question {
        Question::Year => "6.4em",
        _ => "5.2em",
    };
    let _ = writeln!(out, "<div class=\"years\" style=\"--label:{label}\">");
    for section in sections(tables, chart, true) {
        out.push_str("<section>\n");
        if !section.head.is_empty() {
            let _ = writeln!(out, "<h2>{}</h2>", Safe(&section.head));
        }
        out.push_str("<ol>\n");
        for (i, rung) in section.rungs.iter().enumerate() {
            draw(&mut out, rung, i == 0);
        }
        out.push_str("</ol>\n</section>\n");
    }
    out.push_str("</div>\n</main>\n<footer>\n");
    for line in foot(chart) {
        let _ = writeln!(out, "<p>{}</p>", Safe(&line));
    }
    if !chart.sources.is_empty() {
        let _ = writeln!(out, "<p>{SOURCES}:</p>\n<ul>");
        for s in &chart.sources {
            let _ = writeln!(out, "<li>{}</li>", Safe(s));
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

fn draw(out: &mut String, rung: &Rung, first: bool) {
    let class = if first { "rung first" } else { "rung" };
    let _ = write!(
        out,
        "<li class=\"{class}\"><span class=\"year\">{}</span><div>",
        Safe(&rung.label())
    );
    for (i, p) in rung.punches.iter().enumerate() {
        let last = i + 1 == rung.punches.len();
        punch(out, p, if last { &rung.changes } else { &[] });
    }
    out.push_str("</div></li>\n");
}

/// A punch with its words and notes, and below them what changed in its year.
fn punch(out: &mut String, p: &Punched, changes: &[String]) {
    let told = p.drawn.told();
    let _ = write!(
        out,
        "<div class=\"punch\"><span class=\"step\"><svg xmlns=\"http://www.w3.org/2000/svg\" \
         viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{told}\"><title>{told}</title>{}</svg>\
         </span><span class=\"said\">{}",
        Num(GROUND.0),
        Num(GROUND.1),
        p.drawn.body,
        Safe(&p.drawn.words),
        told = Safe(&told)
    );
    for n in p.all_notes().chain(changes.iter().map(String::as_str)) {
        let _ = write!(out, "<small>{}</small>", Safe(n));
    }
    out.push_str("</span></div>");
}
