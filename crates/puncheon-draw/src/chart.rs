//! A chart as one drawing: ladders of years that go down, side by side.

use std::fmt::Write as _;

use puncheon::Tables;
use puncheon::chart::Chart;

use crate::ladder::{Rung, legend, sections};
use crate::outlines::GROUND;
use crate::svg::{Num, Type, document};

const MARGIN: f64 = 20.0;
/// A ladder's whole width, and where its rails stand.
const LADDER: f64 = 296.0;
const LABEL: f64 = 74.0;
const SCALE: f64 = 0.44;
const RAILS: f64 = GROUND.0 * SCALE + 12.0;
const HEAD: f64 = 38.0;

const YEAR: Type = Type::of(12.0).bold();
const WORDS: Type = Type::of(11.0);
const NOTES: Type = Type::of(10.0).pale();
const HEADING: Type = Type::of(12.0).bold();

/// What stands at one height of a ladder.
enum Step {
    Head(Vec<String>),
    Rung(Rung),
}

impl Step {
    fn height(&self) -> f64 {
        match self {
            Step::Head(lines) => HEAD + HEADING.leading() * (lines.len() - 1) as f64,
            Step::Rung(r) => r.height(),
        }
    }
}

impl Rung {
    fn height(&self) -> f64 {
        self.punches.iter().map(|p| p.height()).sum::<f64>()
    }
}

impl crate::ladder::Punched {
    fn height(&self) -> f64 {
        let words = WORDS.cut(&self.drawn.words, words_width()).len() as f64;
        let notes: usize = self.all_notes().map(|n| NOTES.cut(n, words_width()).len()).sum();
        let text = 14.0 + words * WORDS.leading() + notes as f64 * NOTES.leading();
        text.max(GROUND.1 * SCALE + 6.0)
    }
}

const fn words_width() -> f64 {
    LADDER - LABEL - RAILS - 24.0
}

/// The chart as an SVG document.
pub fn chart(tables: &Tables, chart: &Chart) -> String {
    let steps: Vec<Step> = sections(tables, chart, false)
        .into_iter()
        .flat_map(|s| {
            let head = HEADING.cut(&s.head, LADDER - 20.0);
            let head = (!head.is_empty()).then_some(Step::Head(head));
            head.into_iter().chain(s.rungs.into_iter().map(Step::Rung)).collect::<Vec<_>>()
        })
        .collect();
    let total: f64 = steps.iter().map(Step::height).sum();
    // About as high as wide, as a sheet is.
    let ladders = (total / (1.2 * LADDER)).sqrt().ceil().clamp(1.0, 12.0);
    let width = (MARGIN * 2.0 + LADDER * ladders).max(2.0 * LADDER);
    let mut body = String::new();
    let text = width - 2.0 * MARGIN;
    let mut y = Type::of(18.0).bold().lines(&mut body, MARGIN, 36.0, text, &chart.title);
    for line in chart.nothing.iter() {
        y = Type::of(13.0).lines(&mut body, MARGIN, y + 4.0, text, line);
    }
    let top = y - 6.0;
    let most = total / ladders;
    let (mut x, mut y, mut lowest) = (MARGIN, top, top);
    let mut steps = steps.into_iter().peekable();
    let mut rails: Option<f64> = None;
    let mut heading = false;
    while let Some(step) = steps.next() {
        let with_next = match (&step, steps.peek()) {
            (Step::Head(_), Some(next)) => step.height() + next.height(),
            _ => step.height(),
        };
        // A heading does not stand alone at the foot of a ladder.
        let headed = std::mem::replace(&mut heading, matches!(step, Step::Head(_)));
        let full = y - top + with_next / 2.0 > most;
        if y > top && !headed && full && x + 2.0 * LADDER <= width {
            end_rails(&mut body, x, &mut rails, y);
            (x, y) = (x + LADDER, top);
        }
        match &step {
            Step::Head(lines) => {
                end_rails(&mut body, x, &mut rails, y);
                let mut at = y + HEAD - 10.0;
                for line in lines {
                    HEADING.line(&mut body, x, at, line);
                    at += HEADING.leading();
                }
            }
            Step::Rung(rung) => {
                rails.get_or_insert(y);
                draw(&mut body, rung, x, y);
            }
        }
        y += step.height();
        lowest = lowest.max(y);
    }
    end_rails(&mut body, x, &mut rails, y);
    let mut y = lowest + 26.0;
    let sources =
        (!chart.sources.is_empty()).then(|| format!("{SOURCES}: {}.", chart.sources.join("; ")));
    for line in foot(chart).into_iter().chain(sources) {
        y = NOTES.lines(&mut body, MARGIN, y, text, &line);
    }
    document(width, y + 8.0, &chart.title, &body)
}

/// Stands before the sources.
pub const SOURCES: &str = "Sources, by their words in the bibliography";

/// What is said below: signs, years without letters, cautions.
pub fn foot(chart: &Chart) -> Vec<String> {
    let mut out: Vec<String> = legend(chart).into_iter().map(str::to_string).collect();
    for w in &chart.without {
        let years = match w.from == w.to {
            true => w.from.to_string(),
            false => format!("{} to {}", w.from, w.to),
        };
        out.push(format!("{}, {years}: {}", w.office_name, w.why));
    }
    out.extend(chart.conventions.iter().chain(&chart.cautions).cloned());
    out
}

/// The two rails from the first rung to the last.
fn end_rails(out: &mut String, x: f64, from: &mut Option<f64>, to: f64) {
    let Some(from) = from.take() else {
        return;
    };
    let left = x + LABEL;
    let _ = writeln!(
        out,
        "<path fill=\"none\" stroke=\"#888\" d=\"M{} {}V{}M{} {}V{}M{} {}h{}\"/>",
        Num(left),
        Num(from),
        Num(to),
        Num(left + RAILS),
        Num(from),
        Num(to),
        Num(left),
        Num(from),
        Num(RAILS)
    );
}

fn draw(out: &mut String, rung: &Rung, x: f64, y: f64) {
    let left = x + LABEL;
    let mut at = y;
    let label_lines = YEAR.cut(&rung.label(), LABEL - 6.0);
    let middle = y + GROUND.1 * SCALE / 2.0 + 6.0;
    let mut line_at = middle - YEAR.leading() * (label_lines.len() - 1) as f64 / 2.0;
    for line in &label_lines {
        YEAR.line(out, x, line_at, line);
        line_at += YEAR.leading();
    }
    for p in &rung.punches {
        p.drawn.at(out, left + 6.0, at + 3.0, SCALE);
        let words_x = left + RAILS + 10.0;
        let count = WORDS.cut(&p.drawn.words, words_width()).len() + p.all_notes().count();
        let first = match count {
            1 => at + GROUND.1 * SCALE / 2.0 + 6.0,
            2 => at + GROUND.1 * SCALE / 2.0,
            _ => at + 18.0,
        };
        let mut below = WORDS.lines(out, words_x, first, words_width(), &p.drawn.words);
        for n in p.all_notes() {
            below = NOTES.lines(out, words_x, below, words_width(), n);
        }
        at += p.height();
    }
    let _ =
        writeln!(out, "<path stroke=\"#888\" d=\"M{} {}h{}\"/>", Num(left), Num(at), Num(RAILS));
}
