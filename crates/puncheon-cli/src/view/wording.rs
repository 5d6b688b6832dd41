//! Words for a sale, as text for people.

use puncheon::wording::{Because, NotBorne, Wording};

use super::cautions::listed;
use super::remarks::remarks;
use super::verdict::warnings;
use crate::screen::Screen;

/// What stands against a wording.
pub fn against(r: &NotBorne) -> &'static str {
    match r.because {
        Because::Marks => "the marks do not bear out a precious metal",
        _ => "more is stated than the marks bear out",
    }
}

/// The whole screen of a wording.
pub fn wording(w: &Wording, s: &Screen) -> String {
    let mut out = String::new();
    match (&w.refused, &w.line) {
        (Some(r), _) => {
            s.title(&mut out, &format!("Not to be so described: {}", against(r)));
            out.push('\n');
            s.say(&mut out, 2, &r.why);
            if let Some(remedy) = &r.remedy {
                s.say(&mut out, 2, remedy);
            }
            if let Some(instead) = &w.instead {
                out.push_str("\nWhat can be said:\n\n");
                s.say(&mut out, 2, instead);
            }
        }
        (None, Some(line)) => {
            let title = w.title.as_ref().filter(|t| *t != line);
            s.title(&mut out, title.unwrap_or(line));
            out.push('\n');
            if title.is_some() {
                s.say(&mut out, 0, line);
                out.push('\n');
            }
            s.say(&mut out, 0, w.paragraph.as_deref().unwrap_or_default());
        }
        (None, None) => {}
    }
    listed(&w.show, s, &mut out);
    warnings(&w.warnings, s, &mut out);
    for d in &w.beside {
        out.push('\n');
        s.say(&mut out, 0, &d.advice);
    }
    for note in &w.notes {
        out.push('\n');
        s.say(&mut out, 0, note);
    }
    listed(&w.cautions, s, &mut out);
    for set in &w.sets {
        remarks(&set.reading, s, &mut out);
    }
    out
}
