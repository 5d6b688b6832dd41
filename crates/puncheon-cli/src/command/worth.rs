//! `puncheon worth`: what a piece, or a list of pieces, is worth in metal.

use std::fs;
use std::io::{self, Read};

use puncheon::Tables;
use puncheon::worth::{Asked, Refused, SaleAsked, Schedule, ScheduleAsked, Worth};
use serde::Serialize;

use crate::args::{Common, FeeOn, SaleArgs, WorthArgs};
use crate::out::{Exit, Failure, named};
use crate::runner::{self, Answer, Way};
use crate::screen::Screen;
use crate::view;

/// The longest list that is taken, in bytes.
const LONGEST: u64 = 64 << 20;

pub fn run(a: &WorthArgs, common: &Common) -> Result<Exit, Failure> {
    // The parser lets these pass where the list itself would conflict.
    if a.list.is_none() && (a.csv || a.basis.is_some()) {
        return Err(Failure::Misuse(
            "--csv and --basis belong to a schedule\n  name its file with --list".into(),
        ));
    }
    let tables = common.tables()?;
    let way = Way::of(a.json).or(Way::Csv, a.csv);
    match &a.list {
        Some(file) => {
            let schedule = listed(&tables, a, &list(file)?)?;
            runner::print(way, common, &Listed { schedule, ascii: common.ascii })
        }
        None => {
            let worth = puncheon::worth::worth(&tables, &asked(a)?).map_err(refused)?;
            runner::print(way, common, &Piece { worth, ascii: common.ascii })
        }
    }
}

/// Signs of money are no ASCII; their letters are.
fn money(text: String, ascii: bool) -> String {
    match ascii {
        true => text.replace('£', "GBP ").replace('€', "EUR "),
        false => text,
    }
}

struct Piece {
    worth: Worth,
    ascii: bool,
}

impl Answer for Piece {
    fn value(&self) -> impl Serialize {
        &self.worth
    }

    fn text(&self, screen: &Screen) -> String {
        money(view::worth::piece(&self.worth, screen), self.ascii)
    }

    fn exit(&self) -> Exit {
        match self.worth.not_valued {
            None => Exit::Answered,
            Some(_) => Exit::NoAnswer,
        }
    }
}

struct Listed {
    schedule: Schedule,
    ascii: bool,
}

impl Answer for Listed {
    fn value(&self) -> impl Serialize {
        &self.schedule
    }

    fn text(&self, screen: &Screen) -> String {
        money(view::worth::schedule(&self.schedule, screen), self.ascii)
    }

    fn csv(&self, _: &Screen) -> String {
        self.schedule.csv()
    }

    fn exit(&self) -> Exit {
        match self.schedule.unreadable() {
            0 => Exit::Answered,
            _ => Exit::NoAnswer,
        }
    }
}

fn refused(e: Refused) -> Failure {
    Failure::Misuse(e.to_string())
}

fn asked(a: &WorthArgs) -> Result<Asked, Failure> {
    Ok(Asked {
        piece: a.piece.join(" "),
        marks: a.marks.clone(),
        metal: a.metal.map(Into::into),
        item: a.item.clone(),
        less: a.less.clone(),
        price: a.price.clone(),
        price_as_of: a.price_as_of.clone(),
        price_from: a.price_from.clone(),
        pays: a.pays.clone(),
        sale: sale_asked(&a.sale)?,
    })
}

fn sale_asked(a: &SaleArgs) -> Result<SaleAsked, Failure> {
    Ok(SaleAsked {
        paid: a.paid.clone(),
        paid_hammer: a.paid_hammer,
        fee: a.fee.clone(),
        fee_on_hammer: a.fee_on == FeeOn::Hammer,
        fee_fixed: a.fee_fixed.clone(),
        post: a.post.clone(),
        charged_post: a.charged_post.clone(),
        at: a.at.as_deref().map_or(Ok(Vec::new()), prices)?,
        margin: a.margin.clone(),
        markup: a.markup.clone(),
        premium: a.premium.clone(),
        premium_tax: a.premium_vat.clone(),
        scheme: a.margin_scheme.clone(),
    })
}

/// Prices parted by commas or semicolons. A comma that could part thousands is not guessed at.
fn prices(typed: &str) -> Result<Vec<String>, Failure> {
    if typed.contains(';') {
        return Ok(typed.split(';').map(|p| p.trim().to_string()).collect());
    }
    let parts: Vec<&str> = typed.split(',').collect();
    let blanks = |p: &&str| {
        let words: Vec<&str> = p.split_whitespace().collect();
        words.len() > 1 && words.iter().all(|w| w.ends_with(|c: char| c.is_ascii_digit()))
    };
    if parts.iter().any(blanks) {
        let words: Vec<&str> = typed.split([' ', ',']).filter(|w| !w.is_empty()).collect();
        return Err(Failure::Misuse(format!(
            "the prices in \"{typed}\" are not parted\n  write a comma between two: \"{}\"",
            words.join(", ")
        )));
    }
    let figures = |s: &str| s.chars().filter(char::is_ascii_digit).count();
    let thousands = |pair: &[&str]| {
        let whole = pair[1].split('.').next().unwrap_or_default();
        let before = pair[0].trim();
        let short = (1..3).contains(&figures(before)) && !before.contains('.');
        short && whole.len() == 3 && figures(whole) == 3
    };
    if parts.windows(2).any(thousands) {
        return Err(Failure::Misuse(format!(
            "the commas in \"{typed}\" can part prices or thousands\n  write thousands without a comma, and a blank behind a comma that parts prices: \"{}\"",
            parts.iter().map(|p| p.trim()).collect::<Vec<_>>().join(", ")
        )));
    }
    Ok(parts.iter().map(|p| p.trim().to_string()).collect())
}

fn list(file: &std::path::Path) -> Result<String, Failure> {
    let name = named(file);
    let unusable = |e: &dyn std::fmt::Display| {
        Failure::Misuse(format!("{name}: {e}\n  name a list written as CSV"))
    };
    let mut bytes = Vec::new();
    if file.as_os_str() == "-" {
        io::stdin().lock().take(LONGEST + 1).read_to_end(&mut bytes).map_err(|e| unusable(&e))?;
    } else {
        fs::File::open(file)
            .and_then(|f| f.take(LONGEST + 1).read_to_end(&mut bytes))
            .map_err(|e| unusable(&e))?;
    }
    if bytes.len() as u64 > LONGEST {
        return Err(unusable(&"the list is longer than 64 MiB"));
    }
    String::from_utf8(bytes)
        .map_err(|e| unusable(&format!("byte {} is not UTF-8", e.utf8_error().valid_up_to() + 1)))
}

fn listed(tables: &Tables, a: &WorthArgs, list: &str) -> Result<Schedule, Failure> {
    let asked = ScheduleAsked {
        price: a.price.clone(),
        price_as_of: a.price_as_of.clone(),
        price_from: a.price_from.clone(),
        basis: a.basis.clone(),
    };
    puncheon::worth::schedule(tables, list, &asked).map_err(refused)
}
