//! What a piece, or a list of pieces, is worth in metal, as text for people.

use puncheon::schema::entry::{Basis, Confidence};
use puncheon::worth::{Advice, AtPrice, Entry, Sale, Schedule, TakenOff, Worth};

use crate::screen::Screen;

/// Width of the column of labels.
const LABEL: usize = 21;

/// The whole screen of one piece.
pub fn piece(w: &Worth, s: &Screen) -> String {
    let mut out = String::new();
    let at_most = if w.at_most { "at most " } else { "" };
    let title = match (&w.not_valued, &w.value, &w.fine, &w.fineness) {
        (Some(_), ..) => Some("Not valued".to_string()),
        (_, Some(v), ..) => Some(format!("Metal value {at_most}{}", v.shown)),
        (_, None, Some(fine), Some(f)) => {
            Some(format!("{at_most}{} of fine {}", fine.shown, f.metal.unwrap_or("metal")))
        }
        _ => None,
    };
    if let Some(t) = title {
        s.title(&mut out, &t);
        out.push('\n');
    }
    if let Some(why) = &w.not_valued {
        s.say(&mut out, 0, why);
        out.push('\n');
    }
    metal(w, s, &mut out);
    if let Some(sale) = &w.sale {
        if w.gross.is_some() {
            out.push('\n');
        }
        self::sale(w, sale, s, &mut out);
    }
    // Of what is not valued there is no most that it can be.
    foot(
        &w.advice,
        w.not_valued.is_none().then_some(&w.less),
        &w.notes,
        &w.cautions,
        w.price.is_some(),
        s,
        &mut out,
    );
    out
}

fn metal(w: &Worth, s: &Screen, out: &mut String) {
    if let Some(read) = &w.read_as {
        s.pair(out, "marks read as", read, LABEL);
    }
    if let Some(gross) = &w.gross {
        s.pair(out, "whole weight", &gross.shown, LABEL);
    }
    taken_off(&w.less, s, out);
    if let Some(net) = w.net.as_ref().filter(|_| !w.less.is_empty()) {
        s.pair(out, "metal", &net.shown, LABEL);
    }
    if let Some(f) = &w.fineness {
        let by = if f.from_marks { ", by the marks" } else { "" };
        let parts = match f.name.contains(f.shown.as_str()) {
            true => format!("{}{by}", f.name),
            false => format!("{}, {}{by}", f.name, f.shown),
        };
        s.pair(out, "fineness", &parts, LABEL);
    }
    let metal = w.fineness.as_ref().and_then(|f| f.metal).unwrap_or("metal");
    if let Some(fine) = &w.fine {
        s.pair(out, &format!("fine {metal}"), &fine.shown, LABEL);
    }
    if let Some(p) = &w.price {
        let mut said = format!("{} of fine {metal}", p.shown);
        if let Some(day) = &p.as_of {
            said.push_str(&format!(", as of {day}"));
        }
        if let Some(from) = &p.from {
            said.push_str(&format!(", from {from}"));
        }
        s.pair(out, "price", &said, LABEL);
    }
    let at_most = if w.at_most { "at most " } else { "" };
    if let Some(v) = &w.value {
        s.pair(out, "metal value", &format!("{at_most}{}", v.shown), LABEL);
    }
    if let Some(o) = &w.offer {
        s.pair(out, &format!("offer at {}", o.pays), &format!("{at_most}{}", o.sum.shown), LABEL);
    }
}

fn taken_off(less: &[TakenOff], s: &Screen, out: &mut String) {
    for l in less {
        s.pair(out, &format!("less {}", l.name), &l.weight.shown, LABEL);
    }
}

fn sale(w: &Worth, sale: &Sale, s: &Screen, out: &mut String) {
    let title = match (&sale.shown.breaks_even, &sale.shown.paid) {
        (Some(at), _) if nothing(sale.breaks_even.as_deref()) => {
            format!("Breaks even at any price from {at}")
        }
        (Some(at), _) => format!("Breaks even at {at}"),
        (None, Some(_)) => "No price breaks even".to_string(),
        _ => match (&sale.wish, &sale.at[..]) {
            (Some(_), [one]) => match &one.shown.highest_bid {
                Some(bid) => format!("Bid at most {bid}"),
                None => "No bid earns the profit wished for".to_string(),
            },
            (Some(_), _) => "The highest bid for each price expected".to_string(),
            _ => "Sell or melt".to_string(),
        },
    };
    s.title(out, &title);
    out.push('\n');
    if let Some(paid) = &sale.shown.paid {
        s.pair(out, "paid", paid, LABEL);
    }
    if let Some(m) = &sale.melt_below {
        let words = match &w.offer {
            Some(o) => format!("{}, against the offer at {}", m.shown, o.pays),
            None => format!("{}, against the whole metal value", m.shown),
        };
        s.pair(out, "melt below", &words, LABEL);
    }
    if let Some(wish) = &sale.wish {
        s.pair(out, "profit wished", wish, LABEL);
    }
    if !sale.at.is_empty() {
        if sale.shown.paid.is_some() || sale.melt_below.is_some() || sale.wish.is_some() {
            out.push('\n');
        }
        at_prices(&sale.at, s, out);
    }
    out.push('\n');
    s.say(out, 0, &sale.terms);
    let none = sale.at.iter().filter(|p| p.highest_bid.is_none()).count();
    if sale.wish.is_some() && none > 0 {
        s.say(out, 0, "Where no bid stands, none earns the profit wished for.");
    }
}

/// Is the sum nothing?
fn nothing(sum: Option<&str>) -> bool {
    sum.is_some_and(|s| s.bytes().all(|b| matches!(b, b'0' | b'.')))
}

/// A table with a row for each price; a column only where there is something to say.
fn at_prices(rows: &[AtPrice], s: &Screen, out: &mut String) {
    type Cell = fn(&AtPrice) -> Option<String>;
    let all: [(&str, Cell); 9] = [
        ("sold at", |p| Some(p.shown.price.clone())),
        ("fees", |p| Some(p.shown.fees.clone())),
        ("in hand", |p| Some(p.shown.in_hand.clone())),
        ("tax", |p| p.shown.tax.clone()),
        ("profit", |p| p.shown.profit.clone()),
        ("over melting", |p| p.over_melting.as_ref().map(|m| m.shown.clone())),
        ("highest bid", |p| p.shown.highest_bid.clone()),
        ("it costs", |p| p.shown.bid_costs.clone()),
        ("it earns", |p| p.shown.bid_earns.clone()),
    ];
    let columns: Vec<(&str, Vec<String>)> = all
        .iter()
        .map(|(name, cell)| (*name, rows.iter().map(|r| cell(r).unwrap_or_default()).collect()))
        .filter(|(_, cells): &(&str, Vec<String>)| cells.iter().any(|c| !c.is_empty()))
        .collect();
    let wide = |(name, cells): &(&str, Vec<String>)| {
        let cells = cells.iter().map(|c| c.chars().count());
        cells.chain([name.chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = columns.iter().map(wide).collect();
    let whole: usize = widths.iter().map(|w| w + 2).sum();
    if whole <= s.width() {
        let mut line = |cells: Vec<&str>| {
            let mut text = String::new();
            for (cell, width) in cells.iter().zip(&widths) {
                let pad = width - cell.chars().count();
                text.push_str(&format!("  {}{cell}", " ".repeat(pad)));
            }
            out.push_str(text.trim_end());
            out.push('\n');
        };
        line(columns.iter().map(|c| c.0).collect());
        for i in 0..rows.len() {
            line(columns.iter().map(|c| c.1[i].as_str()).collect());
        }
        return;
    }
    for i in 0..rows.len() {
        let cells = columns.iter().filter(|c| !c.1[i].is_empty());
        let said: Vec<String> = cells.map(|(name, cells)| format!("{name} {}", cells[i])).collect();
        s.say(out, 2, &said.join(", "));
    }
}

fn foot(
    advice: &[Advice],
    less: Option<&Vec<TakenOff>>,
    notes: &[String],
    cautions: &[String],
    priced: bool,
    s: &Screen,
    out: &mut String,
) {
    if !advice.is_empty() || !notes.is_empty() || !cautions.is_empty() {
        out.push('\n');
    }
    for a in advice {
        let open = less.filter(|_| !a.allowed_for).map_or(String::new(), |less| {
            format!(" {} for {}, so the figures are the most they can be.", taken(a, less), a.name)
        });
        s.say(out, 0, &format!("{}{open}{}", a.advice, rests_on(a)));
    }
    for n in notes.iter().chain(cautions) {
        s.say(out, 0, n);
    }
    if priced {
        s.say(out, 0, "The price is the one you typed; none is ever fetched.");
    }
}

/// What was taken off for something that was not allowed for.
fn taken(a: &Advice, less: &[TakenOff]) -> &'static str {
    match less.iter().any(|l| l.kind.as_deref() == Some(a.id.as_str())) {
        true => "Less was taken off than in any published case",
        false => "Nothing was taken off",
    }
}

/// What a piece of advice rests on.
fn rests_on(a: &Advice) -> String {
    match (a.basis, a.confidence) {
        (Basis::Memory, Confidence::Low) => " (common practice, from memory; not sure)".into(),
        (Basis::Memory, _) => " (common practice, from memory)".into(),
        _ => format!(" ({})", a.sources.join("; ")),
    }
}

/// The whole screen of a schedule.
pub fn schedule(x: &Schedule, s: &Screen) -> String {
    let mut out = String::new();
    let pieces = |n: usize| match n {
        1 => "1 piece".to_string(),
        n => format!("{n} pieces"),
    };
    let all = x.items.len() + x.not_valued.len();
    let at_most = |most: bool| if most { "at most " } else { "" };
    let value = match &x.value {
        Some(v) if !x.items.is_empty() => {
            format!(", metal value {}{}", at_most(x.at_most), v.shown)
        }
        _ => String::new(),
    };
    // What no price was named for is reckoned in metal and is no part of the value.
    let priced = x.items.iter().filter(|i| i.value.is_some()).count();
    let what = match priced {
        0 => "reckoned, without a price",
        _ => "valued",
    };
    let count = if priced == 0 { x.items.len() } else { priced };
    s.title(&mut out, &format!("{count} of {} {what}{value}", pieces(all)));
    if priced > 0 && priced < x.items.len() {
        let line = format!(
            "{} of another metal: no price of it was named, and the value is without.",
            pieces(x.items.len() - priced)
        );
        s.say(&mut out, 0, &line);
    }
    out.push('\n');
    let basis = x.basis.as_deref().unwrap_or("none was named");
    s.say(&mut out, 0, &format!("Basis: {basis}"));
    for t in &x.totals {
        if let Some(p) = &t.price {
            let mut said = format!("Price: {} of fine {}", p.shown, t.metal);
            if let Some(day) = &p.as_of {
                said.push_str(&format!(", as of {day}"));
            }
            if let Some(from) = &p.from {
                said.push_str(&format!(", from {from}"));
            }
            s.say(&mut out, 0, &said);
        }
    }
    for item in &x.items {
        out.push('\n');
        entry(item, s, &mut out);
    }
    if !x.totals.is_empty() {
        out.push_str("\nTogether\n");
        for t in &x.totals {
            let value = t
                .value
                .as_ref()
                .map_or(String::new(), |v| format!("; {}{}", at_most(t.at_most), v.shown));
            let words = format!(
                "{}, whole weight {}, fine {}{value}",
                pieces(t.pieces),
                t.gross.shown,
                t.fine.shown
            );
            s.pair(&mut out, t.metal, &words, LABEL);
        }
    }
    if !x.not_valued.is_empty() {
        out.push_str("\nNot valued as precious metal\n");
        for n in &x.not_valued {
            let name = format!("{} {}", n.number, n.description);
            let name = match name.trim() {
                "" => "(no number)",
                name => name,
            };
            s.say(&mut out, 2, name);
            s.say(&mut out, 4, &n.why);
        }
    }
    foot(&[], None, &[], &x.cautions, x.value.is_some(), s, &mut out);
    out
}

fn entry(x: &Entry, s: &Screen, out: &mut String) {
    let name = format!("{} {}", x.number, x.description);
    s.say(out, 0, name.trim());
    s.pair(out, "marks", &x.marks, LABEL);
    s.pair(out, "read as", &format!("{}: {}", x.read_as, x.fineness.name), LABEL);
    s.pair(out, "whole weight", &x.gross.shown, LABEL);
    taken_off(&x.less, s, out);
    s.pair(out, "fine metal", &x.fine.shown, LABEL);
    let at_most = if x.at_most { "at most " } else { "" };
    if let Some(v) = &x.value {
        s.pair(out, "metal value", &format!("{at_most}{}", v.shown), LABEL);
    }
    for a in x.advice.iter().filter(|a| !a.allowed_for) {
        s.say(out, 2, &format!("{} {} for {}.", a.advice, taken(a, &x.less), a.name));
    }
    for n in &x.notes {
        s.say(out, 2, n);
    }
}
