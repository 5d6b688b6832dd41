//! A reading in one line.

use puncheon::phrases::{counted, either, entry};
use puncheon::reading::{Fit, Outcome, OutsideBecause};
use puncheon::{Reading, Tables};

use crate::out::named;

/// Years or standards that are all named in one line.
const FEW: usize = 3;

/// One line for a reading.
pub fn brief(r: &Reading, tables: &Tables) -> String {
    let line = match r.outcome {
        Outcome::Fits => {
            let fits = match r.left.years {
                1 => best(r),
                _ => one_of(r),
            };
            let more = puncheon::more_left(&r.left).map_or(String::new(), |m| format!("; {m}"));
            let fits = format!("{fits}{}{more}", letter_not_known(r));
            not_led(r, fits)
        }
        Outcome::Nears => {
            let n = &r.nears[0];
            format!(
                "nothing fits; nearest {} {}, {}, {}",
                n.office_name, n.shown, n.standard_short, n.if_misread
            )
        }
        Outcome::None => "nothing fits, and nothing is near".into(),
        _ => outside_line(r),
    };
    match tables.overlay() {
        Some(folder) => format!("{line} (with the tables in {})", named(folder)),
        None => line,
    }
}

/// What stands behind years of which the letter that was read is not known to be theirs.
pub fn letter_not_known(r: &Reading) -> &'static str {
    match r.fits.iter().all(|f| f.unread) {
        true if r.years == 1 => ": its letter is not known",
        true => ": their letters are not known",
        false => "",
    }
}

/// The first fit, with every standard that its year leaves.
pub fn best(r: &Reading) -> String {
    let f = &r.fits[0];
    let same = |x: &&Fit| (&x.office_name, &x.shown) == (&f.office_name, &f.shown);
    let standards = short_standards(r.fits.iter().filter(same));
    format!("{} {}{standards}", f.office_name, f.shown)
}

/// Several years. One of them alone would be taken for the answer.
fn one_of(r: &Reading) -> String {
    let first = &r.fits[0];
    // Those that fit as well as the first.
    let left: Vec<&Fit> =
        r.fits.iter().filter(|f| (f.unread, f.strain) <= (first.unread, first.strain)).collect();
    let mut named: Vec<(&str, &str)> = Vec::new();
    for f in &left {
        let name = (f.office_name.as_str(), f.shown.as_str());
        if !named.contains(&name) {
            named.push(name);
        }
    }
    let standards = short_standards(left.iter().copied());
    let runs = left.iter().any(|f| f.year.is_none());
    if r.left.years <= FEW && !runs {
        let mut years: Vec<String> = Vec::new();
        for (i, (office, shown)) in named.iter().enumerate() {
            let same = i > 0 && named[i - 1].0 == *office;
            years.push(if same { shown.to_string() } else { format!("{office} {shown}") });
        }
        return format!("{}{standards}", either(&years));
    }
    let (from, to) =
        left.iter().fold((i32::MAX, i32::MIN), |(a, b), f| (a.min(f.from), b.max(f.to)));
    let (office, shown) = named[0];
    let years = counted(r.left.years, "year");
    let (head, such) = match r.left.offices {
        1 => (format!("{office}, one of {years}"), shown.to_string()),
        n => (format!("one of {years} in {}", counted(n, "office")), format!("{office} {shown}")),
    };
    let such = if first.year.is_none() { String::new() } else { format!(", such as {such}") };
    format!("{head} from {from} to {to}{such}{standards}")
}

/// The standards of some fits, to stand behind them; several are named as far as they are few.
fn short_standards<'f>(fits: impl Iterator<Item = &'f Fit>) -> String {
    let mut names: Vec<String> = Vec::new();
    for name in fits.map(|f| f.standard_short.as_str()) {
        if !names.iter().any(|n| n == name) {
            names.push(name.to_string());
        }
    }
    match names.len() {
        0 => String::new(),
        n if n <= FEW => format!(", {}", either(&names)),
        _ => ", standard open".into(),
    }
}

pub fn head(f: &Fit) -> String {
    entry(&f.office_name, &f.shown, &f.standard_name, f.origin)
}

/// Silver that a mark easily misread would make of it, where nothing described shows another metal.
pub fn or_silver(r: &Reading) -> Option<String> {
    let n = &r.nears[r.silver_misread?];
    Some(format!("{} {}", head(n), n.if_misread))
}

/// The first fit is named last where its metal is not shown.
pub fn not_led(r: &Reading, fits: String) -> String {
    match or_silver(r) {
        Some(silver) => format!("{silver}; as described {fits}"),
        None if r.metal_not_shown => format!("Metal not shown; as described {fits}"),
        None => fits,
    }
}

pub fn no_yearly_letter(r: &Reading) -> String {
    match r.lookalikes.iter().find(|l| !l.town.is_empty()) {
        Some(l) => format!("Marked at {}; no yearly letter", l.town),
        None => "A town that struck no yearly letter".into(),
    }
}

fn outside_line(r: &Reading) -> String {
    match r.outside_because {
        Some(OutsideBecause::Denied) => {
            let mut denying = r.lookalikes.iter().filter(|l| l.denies);
            let Some(first) = denying.next() else {
                return "not a British or Irish hallmark".into();
            };
            // The same mark can be of several countries.
            let other = denying.filter(|l| l.sightings == first.sightings);
            let what: Vec<&str> =
                std::iter::once(first).chain(other).map(|l| l.what.as_str()).collect();
            format!("not a British or Irish hallmark: {}", what.join(", or "))
        }
        Some(OutsideBecause::ForeignFineness) => "not a British or Irish standard".into(),
        Some(OutsideBecause::NoYearLetters) => no_yearly_letter(r),
        Some(OutsideBecause::OfficeClosed) => "that office was not open in those years".into(),
        _ => "no mark was recognised".into(),
    }
}
