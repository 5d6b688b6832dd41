//! Proves that the tables agree with themselves.
//!
//! Every rule is a small function over all entries, and every rule is run: one run reports every
//! problem. Rules look at what the entries say, never at where they came from, so an overlay is
//! held to the same rules as the built-in tables.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::date::Bound;
use crate::entry::*;
use crate::image::stated_words;
use crate::letters::{self, Place, Struck};
use crate::problem::Problem;
use crate::read::{Entries, Filed};
use crate::sponsor::{self, Sponsor};

/// Every problem of the entries, sorted by file, place and rule.
///
/// Entries that verify clean can be expanded; [`crate::expand`] skips what it cannot understand.
pub fn verify(entries: &Entries) -> Vec<Problem> {
    let mut report = Report::default();
    for rule in [
        ids,
        device_names,
        lettering_and_outline_names,
        standard_names,
        office_names,
        vocabulary_names,
        lookalikes_met,
        lookalikes_expected,
        cites,
        sources_used,
        standard_parts,
        units_exact,
        weight_phrases,
        deductions_said,
        boasts_said,
        cycle_counts,
        cycle_letters,
        cycle_repeats,
        cycle_notes,
        cycle_candidates,
        cycle_shorts,
        cycle_outlines,
        office_years,
        optional_letters,
        reasons,
        year_starts,
        dated_spans,
        year_spans,
        silver_regimes,
        phrases_once,
        phrases_written,
        words_stand,
        fractions_told,
        devices_reached,
        towns_named,
        warnings_named,
        warnings_said,
        cautions_named,
        omissions_named,
        designs_in_order,
        sponsors_named,
        sponsors_struck,
        sponsors_dated,
        sponsors_initials,
        sponsors_once,
        devices_used,
        webs,
        lettering_pairs,
    ] {
        rule(entries, &mut report);
    }
    report.sorted()
}

// ---- Reporting ----------------------------------------------------------------------------------

/// The problems found so far.
#[derive(Default)]
struct Report(Vec<Problem>);

impl Report {
    fn add(&mut self, spot: &Spot, rule: &str, message: impl AsRef<str>) {
        self.0.push(Problem::entry(spot.file, &spot.place, rule, message.as_ref()));
    }

    fn sorted(mut self) -> Vec<Problem> {
        let key = |p: &Problem| {
            let Problem { file, place, rule, message, .. } = p.clone();
            (file, place, rule, message)
        };
        self.0.sort_by_cached_key(key);
        self.0.dedup();
        self.0
    }
}

/// Where an entry, or a part of one, stands.
#[derive(Clone)]
struct Spot<'a> {
    file: &'a str,
    place: String,
}

impl<'a> Spot<'a> {
    fn new(file: &'a str, place: impl Into<String>) -> Self {
        Spot { file, place: place.into() }
    }

    /// A part of the entry: `london` and `cycle 1478`.
    fn part(&self, name: &str, number: i32) -> Self {
        Spot::new(self.file, format!("{} {name} {number}", self.place))
    }

    /// A phrase of the vocabulary.
    fn phrase(file: &'a str, phrase: &str) -> Self {
        Spot::new(file, format!("words '{phrase}'"))
    }
}

/// `1829`, `1829 to 1831`, `1829 and after`.
fn shown_years(from: i32, to: i32) -> String {
    match to {
        _ if to == from => from.to_string(),
        i32::MAX => format!("{from} and after"),
        _ => format!("{from} to {to}"),
    }
}

// ---- Ways through the entries -------------------------------------------------------------------

/// An entry with an id, and what its kind is called.
trait Identified {
    const KIND: &'static str;

    fn id(&self) -> &str;

    /// The natural name in a report.
    fn place(&self) -> String {
        format!("{} {}", Self::KIND, self.id())
    }
}

macro_rules! identified {
    ($($entry:ident $kind:literal),*) => {$(
        impl Identified for $entry {
            const KIND: &'static str = $kind;

            fn id(&self) -> &str {
                &self.id
            }
        }
    )*};
}

identified!(
    Source "source",
    Device "device",
    Lettering "lettering",
    Outline "outline",
    Standard "standard",
    Regime "regime",
    Mark "mark",
    Lookalike "lookalike",
    Reign "reign",
    Rule "rule",
    Warning "warning",
    Caution "caution",
    Omission "omission",
    Designs "designs",
    Unit "unit",
    Scale "scale",
    Deduction "deduction",
    Boast "boast",
    Sponsor "sponsor"
);

impl Identified for Office {
    const KIND: &'static str = "office";

    fn id(&self) -> &str {
        &self.id
    }

    fn place(&self) -> String {
        self.id.clone()
    }
}

/// Entries of one kind with their places.
fn spots<T: Identified>(v: &[Filed<T>]) -> impl Iterator<Item = (Spot<'_>, &T)> {
    v.iter().map(|f| (Spot::new(&f.file, f.entry.place()), &f.entry))
}

/// Shared marks, then each office's own with their office.
fn marks(e: &Entries) -> impl Iterator<Item = (Spot<'_>, &Mark, Option<&Office>)> {
    let own = e.offices.iter().flat_map(|f| {
        f.entry.marks.iter().map(|m| (Spot::new(&f.file, m.place()), m, Some(&f.entry)))
    });
    spots(&e.marks).map(|(spot, m)| (spot, m, None)).chain(own)
}

/// Every run of letters.
fn cycles(e: &Entries) -> impl Iterator<Item = (Spot<'_>, &Cycle)> {
    spots(&e.offices)
        .flat_map(|(spot, o)| o.cycles.iter().map(move |c| (spot.part("cycle", c.from), c)))
}

/// A run's places as they now stand: the year, its note, and what the place says.
fn places(cycle: &Cycle) -> impl Iterator<Item = (i32, Option<&YearNote>, Result<Place, String>)> {
    (cycle.from..).zip(cycle.letters.split_whitespace()).map(|(year, token)| {
        let note = cycle.years.iter().find(|n| n.year == year);
        let token = note.and_then(|n| n.letter.as_deref()).unwrap_or(token);
        (year, note, letters::place(token))
    })
}

/// The letters struck in a run, two in one year one after the other.
fn struck(cycle: &Cycle) -> impl Iterator<Item = (i32, Option<&YearNote>, Struck)> {
    places(cycle).flat_map(|(year, note, place)| {
        let letters = match place {
            Ok(Place::Struck(v)) => v,
            _ => Vec::new(),
        };
        letters.into_iter().map(move |s| (year, note, s))
    })
}

/// The rival letters of one year, each read.
fn rivals(c: &Candidates) -> impl Iterator<Item = (&str, Result<Place, String>)> {
    c.letters.split_whitespace().map(|token| (token, letters::place(token)))
}

/// The years for which an office has a place in a run of letters.
fn letter_years(office: &Office) -> BTreeSet<i32> {
    let runs = office.cycles.iter();
    runs.flat_map(|c| places(c).map(|(year, ..)| year)).collect()
}

/// Devices that some mark or regime strikes.
fn struck_devices(e: &Entries) -> BTreeSet<&str> {
    let by_regimes = e.regimes.iter().flat_map(|f| &f.entry.marks);
    marks(e)
        .map(|(_, m, _)| m.device.as_str())
        .chain(by_regimes.map(|s| s.device.as_str()))
        .collect()
}

/// Which entries of one kind are forms of which.
struct Web<'a>(HashMap<&'a str, &'a [String]>);

impl<'a> Web<'a> {
    fn new<T: Identified>(v: &'a [Filed<T>], is: fn(&T) -> &[String]) -> Self {
        Web(v.iter().map(|f| (f.entry.id(), is(&f.entry))).collect())
    }

    fn devices(e: &'a Entries) -> Self {
        Web::new(&e.devices, |d| &d.is)
    }

    /// Everything an entry is a form of, in steps; itself only if the web has a cycle.
    fn broader(&self, id: &'a str) -> Vec<&'a str> {
        let mut out: Vec<&str> = Vec::new();
        let mut next = vec![id];
        while let Some(id) = next.pop() {
            for up in self.0.get(id).copied().unwrap_or_default() {
                if !out.contains(&up.as_str()) {
                    out.push(up);
                    next.push(up);
                }
            }
        }
        out
    }

    /// An entry and everything it is a form of.
    fn with_broader(&self, id: &'a str) -> Vec<&'a str> {
        let mut out = self.broader(id);
        out.push(id);
        out
    }
}

// ---- Years that lie side by side ----------------------------------------------------------------

/// Years that belong to one entry; an open end is `i32::MAX`.
struct Stretch<'a> {
    from: i32,
    to: i32,
    spot: Spot<'a>,
}

impl Stretch<'_> {
    fn holds(&self, year: i32) -> bool {
        (self.from..=self.to).contains(&year)
    }
}

/// Reports every stretch that shares years with one before it.
fn no_overlap(report: &mut Report, stretches: &[Stretch]) {
    for (i, s) in stretches.iter().enumerate() {
        for other in &stretches[..i] {
            let (from, to) = (s.from.max(other.from), s.to.min(other.to));
            if from <= to {
                let years = shown_years(from, to);
                let message =
                    format!("{years} already in {}; let one of them end sooner", other.spot.place);
                report.add(&s.spot, "overlap", message);
            }
        }
    }
}

/// The years wanted that nothing covers, joined to runs.
fn missing(
    wanted: impl IntoIterator<Item = i32>,
    covered: impl Fn(i32) -> bool,
) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = Vec::new();
    for year in wanted.into_iter().filter(|y| !covered(*y)) {
        match out.last_mut() {
            Some((_, to)) if *to + 1 == year => *to = year,
            _ => out.push((year, year)),
        }
    }
    out
}

// ---- Ids and names ------------------------------------------------------------------------------

/// Ids are kebab-case, and unique among the entries of their kind.
fn ids(e: &Entries, report: &mut Report) {
    check_ids(report, spots(&e.sources));
    check_ids(report, spots(&e.devices));
    check_ids(report, spots(&e.letterings));
    check_ids(report, spots(&e.outlines));
    check_ids(report, spots(&e.standards));
    check_ids(report, spots(&e.regimes));
    check_ids(report, marks(e).map(|(spot, m, _)| (spot, m)));
    check_ids(report, spots(&e.offices));
    check_ids(report, spots(&e.lookalikes));
    check_ids(report, spots(&e.rules));
    check_ids(report, spots(&e.reigns));
    check_ids(report, spots(&e.warnings));
    check_ids(report, spots(&e.cautions));
    check_ids(report, spots(&e.omissions));
    check_ids(report, spots(&e.designs));
    check_ids(report, spots(&e.units));
    check_ids(report, spots(&e.scales));
    check_ids(report, spots(&e.deductions));
    check_ids(report, spots(&e.boasts));
    check_ids(report, spots(&e.sponsors));
}

fn check_ids<'a, T: Identified + 'a>(
    report: &mut Report,
    entries: impl Iterator<Item = (Spot<'a>, &'a T)>,
) {
    let mut first: HashMap<&str, &str> = HashMap::new();
    for (spot, entry) in entries {
        let id = entry.id();
        if !is_kebab(id) {
            let message =
                format!("\"{id}\" is not an id; write small letters and figures joined by hyphens");
            report.add(&spot, "id", message);
        }
        if let Some(file) = first.insert(id, spot.file) {
            let message =
                format!("{file} has a {} of this id already; give one of them another", T::KIND);
            report.add(&spot, "id", message);
        }
    }
}

fn is_kebab(id: &str) -> bool {
    let word =
        |w: &str| !w.is_empty() && w.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
    id.split('-').all(word)
}

/// The ids that a field may name.
struct Known<'a> {
    kind: &'static str,
    ids: HashSet<&'a str>,
}

impl<'a> Known<'a> {
    fn of<T: Identified>(v: &'a [Filed<T>]) -> Self {
        Known { kind: T::KIND, ids: v.iter().map(|f| f.entry.id()).collect() }
    }

    fn check(
        &self,
        report: &mut Report,
        spot: &Spot,
        ids: impl IntoIterator<Item = impl AsRef<str>>,
    ) {
        for id in ids {
            let id = id.as_ref();
            if !self.ids.contains(id) {
                let message = format!(
                    "no {kind} is called \"{id}\"; name one of the tables' or add it",
                    kind = self.kind
                );
                report.add(spot, "name", message);
            }
        }
    }
}

/// Marks, regimes, lookalikes and devices name devices that exist.
fn device_names(e: &Entries, report: &mut Report) {
    let devices = Known::of(&e.devices);
    for (spot, m, _) in marks(e) {
        devices.check(report, &spot, [&m.device]);
    }
    for (spot, r) in spots(&e.regimes) {
        devices.check(report, &spot, r.marks.iter().map(|s| &s.device));
    }
    for (spot, l) in spots(&e.lookalikes) {
        let named = l.needs.iter().flatten().chain(&l.shares).chain(&l.assayer);
        devices.check(report, &spot, named);
    }
    for (spot, d) in spots(&e.devices) {
        devices.check(report, &spot, d.is.iter().chain(&d.misread).chain(&d.strains));
    }
}

/// Letterings and outlines named anywhere but in the vocabulary exist.
fn lettering_and_outline_names(e: &Entries, report: &mut Report) {
    let (letterings, outlines) = (Known::of(&e.letterings), Known::of(&e.outlines));
    for (spot, l) in spots(&e.letterings) {
        letterings.check(report, &spot, &l.strains);
    }
    for (spot, o) in spots(&e.outlines) {
        outlines.check(report, &spot, &o.is);
    }
    for (spot, m, _) in marks(e) {
        outlines.check(report, &spot, m.outline.as_ref().map(|n| &n.0));
    }
    for (spot, r) in spots(&e.regimes) {
        let named = r.marks.iter().filter_map(|s| s.outline.as_ref());
        outlines.check(report, &spot, named.map(|n| &n.0));
    }
    for (spot, c) in cycles(e) {
        letterings.check(report, &spot, c.lettering.as_ref().map(|n| &n.0));
        for n in &c.years {
            let spot = spot.part("year", n.year);
            letterings.check(report, &spot, n.lettering.as_ref().map(|n| &n.0));
        }
        for o in &c.outlines {
            outlines.check(report, &spot.part("outline", o.from), [&o.outline.0]);
        }
    }
}

/// Regimes and marks name standards that exist.
fn standard_names(e: &Entries, report: &mut Report) {
    let standards = Known::of(&e.standards);
    for (spot, r) in spots(&e.regimes) {
        standards.check(report, &spot, [&r.standard]);
    }
    for (spot, m, _) in marks(e) {
        standards.check(report, &spot, m.standards.iter().chain(&m.not_standards));
    }
}

/// Offices and their groups.
fn known_offices(e: &Entries) -> Known<'_> {
    let mut offices = Known::of(&e.offices);
    offices.kind = "office or group of offices";
    let groups = e.offices.iter().flat_map(|f| &f.entry.groups);
    offices.ids.extend(groups.map(String::as_str));
    offices
}

/// Regimes and shared marks name offices or groups that exist, an office's own mark none.
fn office_names(e: &Entries, report: &mut Report) {
    let offices = known_offices(e);
    let shared = marks(e).filter(|(.., own)| own.is_none());
    let regimes = spots(&e.regimes).map(|(spot, r)| (spot, &r.offices));
    for (spot, named) in regimes.chain(shared.map(|(spot, m, _)| (spot, &m.offices))) {
        offices.check(report, &spot, named);
        if named.is_empty() {
            report.add(&spot, "offices", "no office is named; name offices or groups");
        }
    }
    for (spot, m, own) in marks(e) {
        if let Some(own) = own.filter(|_| !m.offices.is_empty()) {
            let message = format!("a mark in {}'s own file is its own; leave offices out", own.id);
            report.add(&spot, "offices", message);
        }
    }
}

/// The vocabulary means things that exist.
fn vocabulary_names(e: &Entries, report: &mut Report) {
    let devices = Known::of(&e.devices);
    for f in &e.words {
        let spot = group_spot(f);
        match &f.entry.means {
            Meaning::Device(d) => devices.check(report, &spot, [d]),
            Meaning::Lettering(l) => Known::of(&e.letterings).check(report, &spot, [l]),
            Meaning::Outline(o) => Known::of(&e.outlines).check(report, &spot, [o]),
            Meaning::Town(o) => Known::of(&e.offices).check(report, &spot, [o]),
            Meaning::Standard(s) => Known::of(&e.standards).check(report, &spot, [s]),
            Meaning::Reign(r) => Known::of(&e.reigns).check(report, &spot, [r]),
            _ => {}
        }
    }
    for (spot, r) in spots(&e.reigns) {
        devices.check(report, &spot, &r.head);
    }
}

/// Only a device's words can depend on what stands beside them.
fn words_stand(e: &Entries, report: &mut Report) {
    for f in &e.words {
        let g = &f.entry;
        if g.stands != Standing::Anyhow && !matches!(g.means, Meaning::Device(_)) {
            let message = "`stands` is for the words of a device; leave it out";
            report.add(&group_spot(f), "stands", message);
        }
    }
}

/// A date is parted into thirds, halves, quarters, tenths, or a century's decades.
fn fractions_told(e: &Entries, report: &mut Report) {
    for f in &e.words {
        if let Meaning::Fraction(nth, of) = f.entry.means {
            let told = match of {
                2..=4 | 10 => (1..=of).contains(&nth),
                100 => nth < 100 && nth % 10 == 0,
                _ => false,
            };
            if !told {
                let message = "a fraction is a half, third, quarter or tenth by its number, or a \
                               decade by its years of a hundred";
                report.add(&group_spot(f), "fraction", message);
            }
        }
    }
}

/// A group of words is found by its first phrase.
fn group_spot(f: &Filed<Words>) -> Spot<'_> {
    let g = &f.entry;
    let first = g.say.iter().chain(&g.slips).chain(&g.capitals).next();
    match first {
        Some(phrase) => Spot::phrase(&f.file, phrase),
        None => Spot::new(&f.file, format!("words of {:?}", g.means)),
    }
}

// ---- Lookalikes ---------------------------------------------------------------------------------

/// The lookalike that stands for any description called false.
const PSEUDO: &str = "pseudo";

/// Lookalikes that are met by what is *not* described, of which there is one each.
const BARE: [LookalikeKind; 3] =
    [LookalikeKind::BareLetter, LookalikeKind::BareFigure, LookalikeKind::MakerOnly];

/// Every lookalike has devices by which it is met.
fn lookalikes_met(e: &Entries, report: &mut Report) {
    for (spot, l) in spots(&e.lookalikes) {
        if l.needs.iter().any(Vec::is_empty) {
            report.add(&spot, "lookalike", "a set in needs is empty; name its devices or drop it");
        }
        let by_devices = !BARE.contains(&l.kind) && l.id != PSEUDO;
        if by_devices && l.needs.is_empty() && l.shares.is_empty() {
            report.add(&spot, "lookalike", "no description can meet it; give needs or shares");
        }
        let letters = l.unless_maker || l.assayer.is_some();
        if letters && !(l.denies && l.needs.iter().all(|set| set.len() == 1)) {
            report.add(
                &spot,
                "lookalike",
                "unless_maker and assayer are of an entry that denies by one device of its own",
            );
        }
    }
}

/// Where there are lookalikes, those that need no device are there, once each.
fn lookalikes_expected(e: &Entries, report: &mut Report) {
    let Some(first) = e.lookalikes.first() else {
        return;
    };
    let all = Spot::new(&first.file, "lookalikes");
    for kind in BARE {
        let mut of_kind = spots(&e.lookalikes).filter(|(_, l)| l.kind == kind);
        match of_kind.next() {
            None => report.add(&all, "lookalike", format!("none is of kind {kind:?}; add one")),
            Some((_, first)) => {
                for (spot, _) in of_kind {
                    let message = format!("{} is of kind {kind:?} already; keep one", first.id);
                    report.add(&spot, "lookalike", message);
                }
            }
        }
    }
    if !e.lookalikes.iter().any(|f| f.entry.id == PSEUDO) {
        report.add(&all, "lookalike", format!("none has the id \"{PSEUDO}\"; add it"));
    }
}

// ---- Warnings and omissions ---------------------------------------------------------------------

/// What a warning looks for exists, and it looks for something.
fn warnings_named(e: &Entries, report: &mut Report) {
    let mut marks = Known::of(&e.devices);
    marks.kind = "device or standard";
    marks.ids.extend(e.standards.iter().map(|f| f.entry.id.as_str()));
    let (devices, offices) = (Known::of(&e.devices), known_offices(e));
    for (spot, w) in spots(&e.warnings) {
        if w.when.is_empty() {
            report.add(&spot, "warning", "nothing can raise it; give it a condition");
        }
        for when in &w.when {
            match when {
                When::Seen(ids) | When::Contrary(ids) => marks.check(report, &spot, ids),
                When::WantingMark(id) | When::DesignLater(id) => devices.check(report, &spot, [id]),
                When::Offices(names) => offices.check(report, &spot, names),
                When::Years { from: Some(from), to: Some(to) } if from > to => {
                    let message = format!("its years run from {from} to {to}; turn them round");
                    report.add(&spot, "warning", message);
                }
                _ => {}
            }
        }
        for (field, text) in [("reason", &w.reason), ("innocent", &w.innocent), ("judge", &w.judge)]
        {
            if text.trim().is_empty() {
                let message = format!("its {field} is empty; a warning is never bare");
                report.add(&spot, "warning", message);
            }
        }
        // One sentence: a full stop at its end and none within.
        if w.reason.matches(". ").count() > 0 || !w.reason.ends_with('.') {
            let message = "its reason is not one sentence; put the rest into innocent";
            report.add(&spot, "warning", message);
        }
    }
}

/// Each sign that a warning looks for has words, and each word for a sign a warning.
fn warnings_said(e: &Entries, report: &mut Report) {
    let signs = e.signs();
    let said = |f: &Filed<Words>| match &f.entry.means {
        Meaning::Sign(s) => Some(s.clone()),
        _ => None,
    };
    for (spot, w) in spots(&e.warnings) {
        for when in &w.when {
            if let When::Said(sign) = when
                && !e.words.iter().any(|f| said(f).as_ref() == Some(sign))
            {
                let message = format!("no phrase means Sign(\"{sign}\"); add one");
                report.add(&spot, "unreached", message);
            }
        }
    }
    for f in &e.words {
        if let Some(sign) = said(f).filter(|s| !signs.contains(&s.as_str())) {
            let message = format!("no warning looks for \"{sign}\"; add one or use Aside");
            report.add(&group_spot(f), "unused", message);
        }
    }
}

/// A caution says something, to be told somewhere, and what it looks for exists.
fn cautions_named(e: &Entries, report: &mut Report) {
    let (signs, offices) = (e.signs(), known_offices(e));
    for (spot, c) in spots(&e.cautions) {
        for when in &c.when {
            let wrong = match when {
                Applies::Said(ids) => ids
                    .iter()
                    .find(|s| !signs.contains(&s.as_str()))
                    .map(|s| format!("no warning looks for the sign \"{s}\"; name one that does")),
                // So they are compared with what is stated.
                Applies::Stated(phrases) => phrases
                    .iter()
                    .find(|p| stated_words(p).join(" ") != **p)
                    .map(|p| format!("\"{p}\" is not written in small letters and single blanks")),
                Applies::Fits { offices: names, from, to } => {
                    offices.check(report, &spot, names);
                    match (from, to) {
                        (Some(from), Some(to)) if from > to => {
                            Some(format!("its years run from {from} to {to}; turn them round"))
                        }
                        _ => None,
                    }
                }
                _ => None,
            };
            if let Some(message) = wrong {
                report.add(&spot, "caution", message);
            }
        }
        if c.uses.is_empty() && !c.when.is_empty() {
            report.add(&spot, "caution", "its conditions are never tried; give it a use");
        }
        if c.about.trim().is_empty() {
            report.add(&spot, "caution", "it stands under no heading; give it one");
        }
        if !c.says.ends_with('.') || !c.then.is_empty() && !c.then.ends_with('.') {
            report.add(&spot, "caution", "it is not made of sentences; end them with a point");
        }
    }
}

/// Omissions name offices and standards that exist, and something that is left off.
fn omissions_named(e: &Entries, report: &mut Report) {
    let (offices, standards) = (known_offices(e), Known::of(&e.standards));
    for (spot, o) in spots(&e.omissions) {
        offices.check(report, &spot, &o.offices);
        standards.check(report, &spot, &o.standards);
        if o.offices.is_empty() || o.slots.is_empty() && !o.letter || o.on.is_empty() {
            let message = "it needs offices, the marks left off and the articles";
            report.add(&spot, "omission", message);
        }
        if let (Some(from), Some(to)) = (o.from, o.to)
            && from > to
        {
            let message = format!("its years run from {from} to {to}; turn them round");
            report.add(&spot, "omission", message);
        }
    }
}

/// There is one list of design numbers, and its years and numbers rise.
fn designs_in_order(e: &Entries, report: &mut Report) {
    for (i, (spot, d)) in spots(&e.designs).enumerate() {
        if i > 0 {
            report.add(&spot, "designs", "there is a list already; keep one");
        }
        for pair in d.years.windows(2) {
            let [a, b] = pair else { continue };
            if b.year != a.year + 1 || b.first <= a.first {
                let message = format!(
                    "{} ({}) does not follow {} ({}); years run on and numbers rise",
                    b.year, b.first, a.year, a.first
                );
                report.add(&spot, "designs", message);
            }
        }
    }
}

// ---- Sponsors -----------------------------------------------------------------------------------

/// Sponsors name letterings, outlines, offices and towns that exist.
fn sponsors_named(e: &Entries, report: &mut Report) {
    let (letterings, outlines) = (Known::of(&e.letterings), Known::of(&e.outlines));
    let offices = Known::of(&e.offices);
    let towns: HashSet<String> =
        e.lookalikes.iter().filter_map(|f| f.entry.town.as_deref().map(sponsor::town_id)).collect();
    for (spot, s) in spots(&e.sponsors) {
        letterings.check(report, &spot, s.lettering.iter().map(|n| &n.0));
        outlines.check(report, &spot, s.punch.iter().map(|n| &n.0));
        let elsewhere = s.offices.iter().filter(|o| !towns.contains(*o));
        offices.check(report, &spot, elsewhere);
    }
}

/// A mark has letters or a picture, and a maker, or a note that says why it has none.
fn sponsors_struck(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        let letters = !sponsor::capitals(&s.struck).is_empty();
        if letters != s.picture.is_empty() {
            let message = "a mark has letters, or a picture instead; write `struck` or `picture`";
            report.add(&spot, "struck", message);
        }
        if s.names.is_empty() && s.firm.is_empty() && s.note.is_empty() {
            let message = "no maker is named; name one, or say why not in `note`";
            report.add(&spot, "maker", message);
        }
        let said = s.names.iter().chain(&s.beside).chain(&s.with).chain(&s.trade);
        if said.into_iter().any(|w| w.trim().is_empty()) {
            report.add(&spot, "empty", "an item of a list is empty; fill it or drop it");
        }
    }
}

/// Longer than any mark was handed down without a word about it, in years.
const LONG_USE: i32 = 130;

/// Years run forwards, no mark is older than its users, and its offices were open in its time.
fn sponsors_dated(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        if s.from.is_none() && s.to.is_some() || s.to.is_none() && s.still {
            let message = "a last year needs a first, and `still` a last";
            report.add(&spot, "years", message);
        }
        let Some(from) = s.from else { continue };
        let to = s.to.unwrap_or(from);
        if from > to || to - from > LONG_USE {
            let message = format!(
                "its years run from {from} to {to}; turn them round, or make an entry for each user"
            );
            report.add(&spot, "years", message);
        }
        for o in e.offices.iter().filter(|o| s.offices.contains(&o.entry.id)) {
            let o = &o.entry;
            let opened = o.opened.year();
            let closed = o.closed.map_or(i32::MAX, Bound::year);
            if to < opened || from > closed {
                let message = format!(
                    "{} was open in {}; the mark stood in {}",
                    o.name,
                    shown_years(opened, closed),
                    shown_years(from, to)
                );
                report.add(&spot, "open", message);
            }
        }
    }
}

/// The letters of a mark are initials of its names or firm, or the entry says why not.
fn sponsors_initials(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.sponsors) {
        let known = !(s.names.is_empty() && s.firm.is_empty());
        if known && s.letters_why.is_empty() && !initials_match(s) {
            let message = format!(
                "\"{}\" is not the initials of its names or firm; correct one, or say why in `letters_why`",
                s.struck
            );
            report.add(&spot, "initials", message);
        }
    }
}

/// Is every capital of the mark the initial of a word of the names or the firm, and is every surname
/// among them?
fn initials_match(s: &Sponsor) -> bool {
    // "McKay" gives M and K, "O'Shaughnessy" O and S.
    let initials = |name: &str| -> Vec<u8> {
        let mut out = Vec::new();
        let mut before = ' ';
        for c in name.chars() {
            if c.is_uppercase() || !before.is_alphanumeric() && before != '\'' {
                out.extend(sponsor::fold(c));
            }
            before = c;
        }
        out
    };
    let capitals = sponsor::capitals(&s.struck);
    let covered = |mut have: Vec<u8>| {
        capitals.iter().all(|c| {
            let at = have.iter().position(|h| h == c);
            at.map(|i| have.swap_remove(i)).is_some()
        })
    };
    let people: Vec<&str> = s.names.iter().map(|n| without_number(n)).collect();
    let names: Vec<u8> = people.iter().flat_map(|n| initials(n)).collect();
    let firm = initials(&s.firm);
    let surnames = people.iter().all(|n| {
        let first = n.rsplit(' ').next().and_then(|w| w.chars().next());
        first.and_then(sponsor::fold).is_none_or(|f| capitals.contains(&f))
    });
    covered(firm.clone()) || surnames && covered([names, firm].concat())
}

/// A name without the number that tells a man from his father: `Robert Hennell II`.
fn without_number(name: &str) -> &str {
    match name.rsplit_once(' ') {
        Some((rest, number)) if number.chars().all(|c| "IVX".contains(c)) => rest,
        _ => name,
    }
}

/// No mark is entered twice: the same letters, makers, office and time.
fn sponsors_once(e: &Entries, report: &mut Report) {
    let mut by_letters: HashMap<Vec<u8>, Vec<&Sponsor>> = HashMap::new();
    for (spot, s) in spots(&e.sponsors) {
        let letters = s.struck.chars().filter_map(sponsor::fold).collect();
        let same = by_letters.entry(letters).or_default();
        let who = |x: &Sponsor| (x.names.clone(), x.firm.clone());
        let looks = |x: &Sponsor| (x.lettering.clone(), x.beside.clone(), x.punch.clone());
        let years = |x: &Sponsor| {
            let from = x.from.unwrap_or(i32::MIN);
            (from, x.to.unwrap_or(from))
        };
        let (from, to) = years(s);
        let twice = same.iter().find(|x| {
            let (a, b) = years(x);
            a <= to
                && from <= b
                && x.offices.iter().any(|o| s.offices.contains(o))
                && who(x) == who(s)
                && looks(x) == looks(s)
        });
        if let Some(other) = twice {
            let message =
                format!("the same mark as {}; join the two, or say how they differ", other.id);
            report.add(&spot, "twice", message);
        }
        same.push(s);
    }
}

// ---- Sources ------------------------------------------------------------------------------------

/// What one statement of the tables rests on.
struct Ground<'a> {
    spot: Spot<'a>,
    /// None where the statement has no basis of its own.
    basis: Option<Basis>,
    cites: &'a [String],
}

/// Every statement that can cite.
fn grounds(e: &Entries) -> Vec<Ground<'_>> {
    fn ground<'a>(spot: Spot<'a>, basis: Option<Basis>, cites: &'a [String]) -> Ground<'a> {
        Ground { spot, basis, cites }
    }
    let mut out = Vec::new();
    out.extend(spots(&e.standards).map(|(spot, s)| ground(spot, Some(s.basis), &s.cites)));
    out.extend(spots(&e.regimes).map(|(spot, r)| ground(spot, Some(r.basis), &r.cites)));
    out.extend(marks(e).map(|(spot, m, _)| ground(spot, Some(m.basis), &m.cites)));
    out.extend(spots(&e.lookalikes).map(|(spot, l)| ground(spot, Some(l.basis), &l.cites)));
    out.extend(spots(&e.rules).map(|(spot, r)| ground(spot, Some(r.basis), &r.cites)));
    out.extend(spots(&e.reigns).map(|(spot, r)| ground(spot, None, &r.cites)));
    // A warning or a caution that cites nothing is common practice, which its basis says.
    out.extend(spots(&e.warnings).map(|(spot, w)| ground(spot, Some(w.basis), &w.cites)));
    out.extend(spots(&e.cautions).map(|(spot, c)| ground(spot, Some(c.basis), &c.cites)));
    out.extend(spots(&e.omissions).map(|(spot, o)| ground(spot, Some(o.basis), &o.cites)));
    out.extend(spots(&e.designs).map(|(spot, d)| ground(spot, Some(d.basis), &d.cites)));
    out.extend(spots(&e.units).map(|(spot, u)| ground(spot, Some(u.basis), &u.cites)));
    out.extend(spots(&e.scales).map(|(spot, s)| ground(spot, Some(s.basis), &s.cites)));
    out.extend(spots(&e.deductions).map(|(spot, d)| ground(spot, Some(d.basis), &d.cites)));
    out.extend(spots(&e.boasts).map(|(spot, b)| ground(spot, Some(b.basis), &b.cites)));
    for (spot, s) in spots(&e.sponsors) {
        // The maker or the letters may rest on memory while the other is published.
        let basis = if s.letters_basis() == Basis::Memory { s.basis } else { s.letters_basis() };
        out.push(ground(spot, Some(basis), &s.cites));
    }
    for (spot, o) in spots(&e.offices) {
        out.push(ground(spot.clone(), None, &o.cites));
        let starts = o.year_starts.iter();
        out.extend(
            starts.map(|y| ground(spot.part("year start", y.from), Some(y.basis), &y.cites)),
        );
        out.extend(office_spans(&spot, o).map(|(spot, s)| ground(spot, None, &s.cites)));
    }
    for (spot, c) in cycles(e) {
        for n in &c.years {
            // A year without cites of its own rests on the run's.
            let basis = n.basis.filter(|_| c.cites.is_empty());
            out.push(ground(spot.part("year", n.year), basis, &n.cites));
        }
        let candidates = c.candidates.iter().map(|x| (x.year, &x.cites));
        let shorts = c.short.iter().map(|x| (x.year, &x.cites));
        for (year, cites) in candidates.chain(shorts) {
            out.push(ground(spot.part("year", year), None, cites));
        }
        for o in &c.outlines {
            out.push(ground(spot.part("outline", o.from), None, &o.cites));
        }
        out.push(ground(spot, Some(c.basis), &c.cites));
    }
    for (file, d) in disputes(e) {
        let spot = Spot::new(file, format!("dispute '{}'", d.about));
        let views = d.views.iter();
        out.extend(views.map(|v| ground(spot.clone(), None, &v.cites)));
    }
    out
}

/// Disputes of no office, then the offices' own.
fn disputes(e: &Entries) -> impl Iterator<Item = (&str, &Dispute)> {
    let shared = e.disputes.iter().map(|f| (f.file.as_str(), &f.entry));
    let own = e.offices.iter().flat_map(|f| f.entry.disputes.iter().map(|d| (f.file.as_str(), d)));
    shared.chain(own)
}

/// The id of the source a cite names; what follows is a page.
fn cited(cite: &str) -> &str {
    cite.split_whitespace().next().unwrap_or_default()
}

/// Cites name known sources, and what is said to be published cites.
fn cites(e: &Entries, report: &mut Report) {
    let sources = Known::of(&e.sources);
    for g in grounds(e) {
        sources.check(report, &g.spot, g.cites.iter().map(|c| cited(c)));
        let published = g.basis.filter(|b| *b != Basis::Memory);
        if let Some(basis) = published.filter(|_| g.cites.is_empty()) {
            let message = format!("basis {basis:?} without cites; cite, or write basis Memory");
            report.add(&g.spot, "basis", message);
        }
    }
}

/// Every source is cited somewhere.
fn sources_used(e: &Entries, report: &mut Report) {
    let grounds = grounds(e);
    let used: HashSet<&str> = grounds.iter().flat_map(|g| g.cites).map(|c| cited(c)).collect();
    for (spot, s) in spots(&e.sources) {
        if !used.contains(s.id.as_str()) {
            report.add(&spot, "unused", "nothing cites it; cite it or drop it");
        }
    }
}

// ---- Standards ----------------------------------------------------------------------------------

/// A standard's parts are its exact ratio, cut to whole thousandths.
fn standard_parts(e: &Entries, report: &mut Report) {
    for (spot, s) in spots(&e.standards) {
        let Some(exact) = &s.exact else { continue };
        let ratio = exact
            .split_once('/')
            .and_then(|(a, b)| Some((a.parse::<u64>().ok()?, b.parse::<u64>().ok()?)))
            .filter(|(a, b)| a <= b && (1..=1_000_000).contains(b));
        match (ratio, s.parts) {
            (None, _) => {
                let message = format!("exact \"{exact}\" is not a ratio; write \"37/40\"");
                report.add(&spot, "parts", message);
            }
            // The law names a few a part away from the ratio: 10 carat is 417, 14 carat 585.
            (Some((a, b)), Some(parts)) if (a * 1000 / b).abs_diff(u64::from(parts)) > 2 => {
                let message = format!("{exact} is {} parts and not {parts}", a * 1000 / b);
                report.add(&spot, "parts", message);
            }
            _ => {}
        }
    }
}

// ---- Weights ------------------------------------------------------------------------------------

/// A unit is an exact decimal of grams, and each place of an old weight belongs to one unit.
fn units_exact(e: &Entries, report: &mut Report) {
    let mut places: HashMap<u8, &str> = HashMap::new();
    for (spot, u) in spots(&e.units) {
        if grams(&u.grams).is_none() {
            let message =
                format!("grams \"{}\" is no decimal above nothing; write \"31.1034768\"", u.grams);
            report.add(&spot, "unit", message);
        }
        if let Some(first) = u.scratch.and_then(|p| places.insert(p, &u.id)) {
            let message = format!("{first} has its place of an old weight; give it another");
            report.add(&spot, "unit", message);
        }
        if u.bare.is_empty() != u.bare_why.is_empty() {
            let message = "bare phrases and bare_why go together; give both or neither";
            report.add(&spot, "unit", message);
        }
    }
    for (spot, s) in spots(&e.scales) {
        if s.whole == 0 {
            report.add(&spot, "scale", "its whole has no parts; write 24");
        }
    }
}

/// Figures before and behind the point of an exact weight.
fn grams(text: &str) -> Option<(u64, &str)> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let figures = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let sound = figures(whole) && figures(part) && part.len() <= 12;
    let whole = whole.parse().ok().filter(|_| sound)?;
    (whole > 0 || part.bytes().any(|b| b != b'0')).then_some((whole, part))
}

/// Words of units, scales and deductions are written in small letters and without points; a bare
/// phrase of a unit is a phrase of no other, and no deduction's phrase is another's.
fn weight_phrases(e: &Entries, report: &mut Report) {
    let mut bare: HashMap<&str, &str> = HashMap::new();
    let written = |p: &str| {
        let sound = |c: char| c.is_ascii_lowercase() || c == ' ';
        !p.is_empty() && p.chars().all(sound) && p.split(' ').all(|w| !w.is_empty())
    };
    let units = spots(&e.units).map(|(spot, u)| (spot, u.say.iter().chain(&u.bare)));
    for (spot, phrases) in units {
        for p in phrases.filter(|p| !written(p)) {
            let message = format!("phrase \"{p}\": write small letters alone, such as \"oz t\"");
            report.add(&spot, "phrase", message);
        }
    }
    for (spot, u) in spots(&e.units) {
        for p in &u.bare {
            let said = e.units.iter().any(|f| f.entry.say.contains(p));
            if said || bare.insert(p, &u.id).is_some() {
                let message = format!("phrase \"{p}\" means a unit already; leave one out");
                report.add(&spot, "phrase", message);
            }
        }
    }
    let scales = spots(&e.scales).map(|(spot, s)| (spot, &s.say));
    let deductions = spots(&e.deductions).map(|(spot, d)| (spot, &d.say));
    let mut seen: HashSet<&str> = HashSet::new();
    for (spot, phrases) in scales.chain(deductions) {
        for p in phrases {
            if !written(p) {
                let message = format!("phrase \"{p}\": write small letters alone");
                report.add(&spot, "phrase", message);
            }
            if !seen.insert(p) {
                let message = format!("phrase \"{p}\" is given twice; leave one out");
                report.add(&spot, "phrase", message);
            }
        }
    }
}

/// A boast has phrases of its own, says why marks do not bear it out, and names offices that there are.
fn boasts_said(e: &Entries, report: &mut Report) {
    let mut seen: HashSet<&str> = HashSet::new();
    for (spot, b) in spots(&e.boasts) {
        let sound = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == ' ';
        for p in &b.say {
            if p.is_empty() || !p.chars().all(sound) || p.trim() != p {
                let message = format!("phrase \"{p}\": write small letters and figures alone");
                report.add(&spot, "boast", message);
            }
            if !seen.insert(p) {
                let message = format!("phrase \"{p}\" is given twice; leave one out");
                report.add(&spot, "boast", message);
            }
        }
        if b.say.is_empty() {
            report.add(&spot, "boast", "no phrase speaks of it; give one");
        }
        if !b.why.ends_with('.') {
            let message = "its reason is no sentence; say why marks do not bear it out";
            report.add(&spot, "boast", message);
        }
        for name in &b.offices {
            let named = e.offices.iter().map(|f| &f.entry);
            if !named.clone().any(|o| o.id == *name || o.groups.contains(name)) {
                let message = format!("\"{name}\" is no office or group of offices; name one");
                report.add(&spot, "boast", message);
            }
        }
    }
}

/// A deduction says what is done about it, its share is a part of the whole, and its devices are those
/// of lookalikes.
fn deductions_said(e: &Entries, report: &mut Report) {
    for (spot, d) in spots(&e.deductions) {
        if d.advice.trim().is_empty() || !d.advice.ends_with('.') {
            let message = "its advice is no sentence; say what the trade does about it";
            report.add(&spot, "deduction", message);
        }
        if d.say.is_empty() {
            report.add(&spot, "deduction", "no phrase speaks of it; give one");
        }
        if let Some((low, high)) = d.share
            && (low > high || high > 100)
        {
            let message = format!("its share runs from {low} to {high}; write hundredths, rising");
            report.add(&spot, "deduction", message);
        }
        for device in &d.devices {
            let known = e.devices.iter().map(|f| &f.entry);
            if !known.clone().any(|k| k.id == *device && k.kind == DeviceKind::Lookalike) {
                let message = format!("\"{device}\" is no device of a lookalike; name one");
                report.add(&spot, "deduction", message);
            }
        }
    }
}

// ---- Runs of letters ----------------------------------------------------------------------------

/// A run has one place for each of its years.
fn cycle_counts(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let places = c.letters.split_whitespace().count() as i32;
        let years = c.to - c.from + 1;
        if places != years {
            let message = format!(
                "{places} letters for the {years} years {} to {}; the letters end in {}",
                c.from,
                c.to,
                c.from + places - 1
            );
            report.add(&spot, "count", message);
        }
    }
}

/// Each place can be read, none carries on from nothing, omitted letters are not struck, and
/// letters are written in the run's case.
fn cycle_letters(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (year, _, place) in places(c) {
            let here = spot.part("year", year);
            match place {
                Err(message) => report.add(&here, "letter", message),
                Ok(Place::Carried) if year == c.from => {
                    let message = "a run cannot begin with `=`; let the run before it end later";
                    report.add(&here, "letter", message);
                }
                Ok(_) => {}
            }
        }
        let omitted = c.omitted.to_ascii_uppercase();
        for (year, note, s) in struck(c) {
            let here = spot.part("year", year);
            if s.value.len() == 1 && omitted.contains(&s.value) {
                let message = format!("{} is struck, yet omitted names it; drop one", s.shown);
                report.add(&here, "omitted", message);
            }
            // A year with a reason of its own may depart from its run.
            let case = match note {
                Some(n) if n.case.is_none() && !n.why.is_empty() => None,
                note => note.and_then(|n| n.case).or(c.case),
            };
            if let Some(case) = case.filter(|case| against(*case, &s)) {
                let message = format!(
                    "{} is not of case {case:?}; write it so, or give the year a case",
                    s.shown
                );
                report.add(&here, "case", message);
            }
        }
    }
}

/// Is a letter written in the other case?
fn against(case: Case, s: &Struck) -> bool {
    let wrong = match case {
        Case::Upper => |c: char| c.is_lowercase(),
        Case::Lower => |c: char| c.is_uppercase(),
        Case::Either => return false,
    };
    !s.varies && !s.shown.starts_with('{') && s.shown.chars().any(wrong)
}

/// No letter comes twice in a run, unless a year's note says why.
fn cycle_repeats(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let mut seen: Vec<(i32, Struck)> = Vec::new();
        for (year, note, s) in struck(c) {
            let explained = note.is_some_and(|n| !n.why.is_empty());
            let before = seen.iter().find(|(before, other)| {
                other.value == s.value && (*before != year || other.shown == s.shown)
            });
            if let Some((before, _)) = before.filter(|_| !explained) {
                let message = format!(
                    "{} was struck in {before}; write `=` if carried on, or a note with why",
                    s.shown
                );
                report.add(&spot.part("year", year), "twice", message);
            }
            seen.push((year, s));
        }
    }
}

/// Reports a part of a run that lies outside it.
fn inside(report: &mut Report, spot: &Spot, cycle: &Cycle, year: i32) {
    if !(cycle.from..=cycle.to).contains(&year) {
        let message = format!(
            "{year} is not in the run {}; move it to its own run",
            shown_years(cycle.from, cycle.to)
        );
        report.add(spot, "inside", message);
    }
}

/// Notes lie in their run, one a year, and say why they replace a letter.
fn cycle_notes(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (i, n) in c.years.iter().enumerate() {
            let here = spot.part("year", n.year);
            inside(report, &here, c, n.year);
            if c.years[..i].iter().any(|m| m.year == n.year) {
                report.add(&here, "note", "the year has a note already; join the two");
            }
            let Some(was) = &n.was else { continue };
            if n.why.is_empty() {
                let message = format!("was \"{was}\" without a reason; say why it changed");
                report.add(&here, "note", message);
            }
            if places(c).any(|(year, _, now)| year == n.year && now == letters::place(was)) {
                let message = format!("\"{was}\" still stands; give the new letter or drop was");
                report.add(&here, "note", message);
            }
        }
    }
}

/// Rival letters lie in their run, can be read, and differ from the chosen letter.
fn cycle_candidates(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for rival_letters in &c.candidates {
            let year = rival_letters.year;
            let here = spot.part("year", year);
            inside(report, &here, c, year);
            if rivals(rival_letters).next().is_none() {
                report.add(&here, "candidate", "no rival is named; name it or drop this");
            }
            for (token, place) in rivals(rival_letters) {
                let message = match place {
                    Err(message) => message,
                    Ok(Place::Struck(v)) => {
                        let chosen = struck(c).filter(|(y, ..)| *y == year);
                        let same = |s: &Struck| v.iter().any(|r| r.value == s.value);
                        if !chosen.into_iter().any(|(.., s)| same(&s)) {
                            continue;
                        }
                        format!("{token} is the chosen letter; name only its rivals")
                    }
                    Ok(_) => format!("\"{token}\" names no letter; name the rival"),
                };
                report.add(&here, "candidate", message);
            }
        }
    }
}

/// Short letters lie in their run, are struck in their year, and have a day.
fn cycle_shorts(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        for (i, s) in c.short.iter().enumerate() {
            let here = spot.part("year", s.year);
            inside(report, &here, c, s.year);
            let chosen = struck(c).filter(|(year, ..)| *year == s.year);
            let candidates = c.candidates.iter().filter(|x| x.year == s.year);
            let rival = candidates.flat_map(rivals).filter_map(|(_, place)| match place {
                Ok(Place::Struck(v)) => Some(v),
                _ => None,
            });
            let mut letters = chosen.map(|(.., s)| s).chain(rival.flatten());
            if !letters.any(|l| l.shown == s.letter) {
                let message = format!("no {} is struck in {}; name its letter", s.letter, s.year);
                report.add(&here, "short", message);
            }
            if s.begins.or(s.ends).is_none() {
                let message = format!("{} has no day; give begins or ends", s.letter);
                report.add(&here, "short", message);
            }
            let same = |o: &ShortLetter| o.year == s.year && o.letter == s.letter;
            if c.short[..i].iter().any(same) {
                let message = format!("{} has its days already; join the two", s.letter);
                report.add(&here, "short", message);
            }
        }
    }
}

/// Outlines lie in their run, one a year on each metal.
fn cycle_outlines(e: &Entries, report: &mut Report) {
    for (spot, c) in cycles(e) {
        let mut by_metal: HashMap<&str, Vec<Stretch>> = HashMap::new();
        for o in &c.outlines {
            let here = spot.part("outline", o.from);
            inside(report, &here, c, o.from);
            inside(report, &here, c, o.to);
            let metal = match o.metal {
                Metal::Silver => "silver",
                Metal::Gold => "gold",
                Metal::Platinum => "platinum",
                Metal::Palladium => "palladium",
            };
            by_metal.entry(metal).or_default().push(Stretch {
                from: o.from,
                to: o.to,
                spot: Spot::new(here.file, format!("{} {metal}", here.place)),
            });
        }
        for stretches in by_metal.values() {
            no_overlap(report, stretches);
        }
    }
}

// ---- The years of an office ---------------------------------------------------------------------

/// An office's declared gaps and spans of letters by choice, with their places.
fn office_spans<'a>(spot: &Spot<'a>, o: &'a Office) -> impl Iterator<Item = (Spot<'a>, &'a Span)> {
    let named = |name: &'static str| {
        let spot = spot.clone();
        move |s: &'a Span| (spot.part(name, s.from), s)
    };
    let gaps = o.gaps.iter().map(named("gap"));
    gaps.chain(o.letter_optional.iter().map(named("optional letter")))
}

/// Runs of letters and declared gaps lie side by side from an office's first year to its last.
fn office_years(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let runs = o.cycles.iter().map(|c| Stretch {
            from: c.from,
            to: c.to,
            spot: spot.part("cycle", c.from),
        });
        let gaps = o.gaps.iter().map(|g| Stretch {
            from: g.from,
            to: g.to.unwrap_or(i32::MAX),
            spot: spot.part("gap", g.from),
        });
        let stretches: Vec<Stretch> = runs.chain(gaps).collect();
        no_overlap(report, &stretches);

        // A day in the office's first or last year may lie in the letter year begun the year before.
        let loose = |b: Bound| i32::from(!matches!(b, Bound::Year(_)));
        let first = o.opened.year();
        let earliest = first - loose(o.opened);
        let latest = o.closed.map(Bound::year);
        let last = match o.closed {
            Some(closed) => closed.year() - loose(closed),
            None => o.cycles.iter().map(|c| c.to).max().unwrap_or(first),
        };
        for (from, to) in missing(first..=last, |y| stretches.iter().any(|s| s.holds(y))) {
            let message = format!(
                "{} without a letter or a declared gap; add a run or a gap",
                shown_years(from, to)
            );
            report.add(&spot, "gap", message);
        }
        for s in &stretches {
            if s.from < earliest {
                let message = format!("begins before the office opened, {first}");
                report.add(&s.spot, "opened", message);
            }
            if let Some(latest) = latest.filter(|l| s.to > *l) {
                let message = format!("goes on after the office closed, {latest}");
                report.add(&s.spot, "closed", message);
            }
        }
    }
}

/// Spans of letters by choice touch years that have letters.
fn optional_letters(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let years = letter_years(o);
        for s in &o.letter_optional {
            let to = s.to.unwrap_or(i32::MAX);
            if s.from <= to && years.range(s.from..=to).next().is_none() {
                let message = format!("{} has no letters at all", shown_years(s.from, to));
                report.add(&spot.part("optional letter", s.from), "inside", message);
            }
        }
    }
}

/// Declared spans and rival letters give a reason.
fn reasons(e: &Entries, report: &mut Report) {
    let mut reason = |spot: &Spot, why: &str| {
        if why.trim().is_empty() {
            report.add(spot, "why", "no reason is given; say why");
        }
    };
    for (spot, o) in spots(&e.offices) {
        for (spot, s) in office_spans(&spot, o) {
            reason(&spot, &s.why);
        }
    }
    for (spot, c) in cycles(e) {
        for x in &c.candidates {
            reason(&spot.part("year", x.year), &x.why);
        }
    }
}

/// The starts of the letter years cover every letter year, once.
fn year_starts(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let stretches: Vec<Stretch> = o
            .year_starts
            .iter()
            .map(|y| Stretch {
                from: y.from,
                to: y.to.unwrap_or(i32::MAX),
                spot: spot.part("year start", y.from),
            })
            .collect();
        no_overlap(report, &stretches);
        let covered = |year| stretches.iter().any(|s| s.holds(year));
        for (from, to) in missing(letter_years(o), covered) {
            let message = format!(
                "{} have letters but no first day; add a year start",
                shown_years(from, to)
            );
            report.add(&spot, "year-start", message);
        }
        for y in &o.year_starts {
            if y.latest.is_some_and(|latest| latest < y.day) {
                let message = "latest lies before day; the earliest day comes first";
                report.add(&spot.part("year start", y.from), "year-start", message);
            }
        }
    }
}

// ---- Spans --------------------------------------------------------------------------------------

/// Spans bounded by days do not end before they begin.
fn dated_spans(e: &Entries, report: &mut Report) {
    let mut check = |spot: &Spot, from: Option<Bound>, to: Option<Bound>| {
        if let (Some(from), Some(to)) = (from, to)
            && is_after(from, to)
        {
            report.add(spot, "span", "it ends before it begins; look at both bounds");
        }
    };
    for (spot, m, _) in marks(e) {
        check(&spot, Some(m.from), m.to);
    }
    for (spot, r) in spots(&e.regimes) {
        check(&spot, Some(r.from), r.to);
    }
    for (spot, o) in spots(&e.offices) {
        check(&spot, Some(o.opened), o.closed);
    }
    for (spot, c) in cycles(e) {
        for s in &c.short {
            check(&spot.part("year", s.year), s.begins, s.ends);
        }
    }
}

/// Can a span that opens with the one bound not close with the other?
fn is_after(from: Bound, to: Bound) -> bool {
    match (from.first_day(), to.last_day()) {
        (Some((from, _)), Some((to, _))) => from > to,
        // A day early in the year still lies in the letter year begun the year before.
        (Some(_), None) => from.year() > to.year() + 1,
        _ => from.year() > to.year(),
    }
}

/// Spans of years do not end before they begin.
fn year_spans(e: &Entries, report: &mut Report) {
    let mut check = |spot: &Spot, from: Option<i32>, to: Option<i32>| {
        if let (Some(from), Some(to)) = (from, to)
            && from > to
        {
            let message = format!("it ends in {to}, before {from}; look at both years");
            report.add(spot, "span", message);
        }
    };
    for (spot, r) in spots(&e.reigns) {
        check(&spot, Some(r.from), Some(r.to));
    }
    for (spot, l) in spots(&e.lookalikes) {
        check(&spot, l.from, l.to);
    }
    for (spot, o) in spots(&e.offices) {
        for y in &o.year_starts {
            check(&spot.part("year start", y.from), Some(y.from), y.to);
        }
        for (spot, s) in office_spans(&spot, o) {
            check(&spot, Some(s.from), s.to);
        }
    }
    for (spot, c) in cycles(e) {
        for o in &c.outlines {
            check(&spot.part("outline", o.from), Some(o.from), Some(o.to));
        }
        check(&spot, Some(c.from), Some(c.to));
    }
}

// ---- Regimes ------------------------------------------------------------------------------------

/// Every letter year of an office has a regime for home silver.
fn silver_regimes(e: &Entries, report: &mut Report) {
    let silver: HashSet<&str> = e
        .standards
        .iter()
        .filter(|f| f.entry.metal == Metal::Silver)
        .map(|f| f.entry.id.as_str())
        .collect();
    for (spot, o) in spots(&e.offices) {
        let regimes: Vec<&Regime> = e
            .regimes
            .iter()
            .map(|f| &f.entry)
            .filter(|r| r.origin != Origin::Foreign && silver.contains(r.standard.as_str()))
            .filter(|r| o.is_named(&r.offices))
            .collect();
        let covered = |year| {
            regimes.iter().any(|r| r.from.year() <= year && r.to.is_none_or(|t| year <= t.year()))
        };
        for (from, to) in missing(letter_years(o), covered) {
            let message = format!(
                "{} have letters but no regime for home silver; add one",
                shown_years(from, to)
            );
            report.add(&spot, "silver-regime", message);
        }
    }
}

// ---- The vocabulary -----------------------------------------------------------------------------

/// A phrase, where it stands and what it means.
struct Phrase<'a> {
    file: &'a str,
    text: &'a str,
    means: String,
    within: &'a [Grammar],
}

/// All phrases that count however they are typed.
fn phrases(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    let groups = e.words.iter().flat_map(|f| {
        let g = &f.entry;
        g.say.iter().chain(&g.slips).map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", g.means),
            within: &g.within,
        })
    });
    let reigns = e.reigns.iter().flat_map(|f| {
        f.entry.say.iter().map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", Meaning::Reign(f.entry.id.clone())),
            within: &[],
        })
    });
    groups.chain(reigns)
}

/// Abbreviations that count only in capitals.
fn capitals(e: &Entries) -> impl Iterator<Item = Phrase<'_>> {
    e.words.iter().flat_map(|f| {
        f.entry.capitals.iter().map(|text| Phrase {
            file: &f.file,
            text,
            means: format!("{:?}", f.entry.means),
            within: &f.entry.within,
        })
    })
}

/// A phrase has one meaning in a grammar, and may have another in capitals.
fn phrases_once(e: &Entries, report: &mut Report) {
    let mut once = |phrases: &mut dyn Iterator<Item = Phrase>| {
        let mut seen: HashMap<(String, Option<Grammar>), (String, String)> = HashMap::new();
        for p in phrases {
            let everywhere = p.within.is_empty().then_some(None);
            for grammar in p.within.iter().copied().map(Some).chain(everywhere) {
                let key = (p.text.to_lowercase(), grammar);
                if let Some((file, means)) = seen.get(&key) {
                    let message = format!(
                        "means {} here and {means} in {file}; keep one of the two",
                        p.means
                    );
                    report.add(&Spot::phrase(p.file, p.text), "phrase-twice", message);
                    continue;
                }
                seen.insert(key, (p.file.into(), p.means.clone()));
            }
        }
    };
    once(&mut phrases(e));
    once(&mut capitals(e));
}

/// Phrases are written as a description is read, and no group is empty.
fn phrases_written(e: &Entries, report: &mut Report) {
    let mut written = |p: &Phrase, case: &str, cased: String| {
        let message = if p.text.is_empty() {
            "it is empty; write a phrase or drop it".to_string()
        } else if cased != p.text {
            format!("it is not in {case}; write \"{cased}\"")
        } else if let Some(fault) = fault(p.text) {
            fault.to_string()
        } else {
            return;
        };
        report.add(&Spot::phrase(p.file, p.text), "phrase", message);
    };
    for p in phrases(e) {
        written(&p, "lower case", p.text.to_lowercase());
    }
    for p in capitals(e) {
        written(&p, "capitals", p.text.to_uppercase());
    }
    for f in &e.words {
        let g = &f.entry;
        if g.say.is_empty() && g.slips.is_empty() && g.capitals.is_empty() {
            report.add(&group_spot(f), "phrase", "the group has no phrase; add one");
        }
    }
}

/// What keeps a phrase from ever being found.
fn fault(phrase: &str) -> Option<&'static str> {
    let words: Vec<&str> = phrase.split_whitespace().collect();
    if words.join(" ") != phrase {
        Some("its words are not parted by single spaces")
    } else if phrase.contains(['\'', '’', ',']) {
        Some("descriptions are read without apostrophes and commas; leave them out")
    } else if !words.iter().all(|w| points_in_figures(w) || signed(w)) {
        Some("a point counts only in figures and behind single letters (m.m.); leave it out")
    } else {
        None
    }
}

/// Is it an abbreviation of single letters, each with its point or stroke, as in `m.m.` and `w/`?
fn signed(word: &str) -> bool {
    let sign = |b: u8| matches!(b, b'.' | b'/');
    let alternates = |(i, b): (usize, u8)| {
        if i % 2 == 0 { b.is_ascii_lowercase() } else { sign(b) }
    };
    word.len() > 1 && word.bytes().enumerate().all(alternates)
}

/// Does every point open or part figures, as in `.925` and `0.925`?
fn points_in_figures(word: &str) -> bool {
    let b = word.as_bytes();
    let digit = |i: usize| b.get(i).is_some_and(u8::is_ascii_digit);
    (0..b.len()).filter(|i| b[*i] == b'.').all(|i| digit(i + 1) && (i == 0 || digit(i - 1)))
}

/// Some phrase means each device that can be struck, or a broader one; and each device that a
/// lookalike needs, or a narrower one.
fn devices_reached(e: &Entries, report: &mut Report) {
    let web = Web::devices(e);
    let said: BTreeSet<&str> = e
        .words
        .iter()
        .flat_map(|f| match &f.entry.means {
            Meaning::Device(d) => std::slice::from_ref(d),
            _ => &[],
        })
        .map(String::as_str)
        .collect();
    let struck = struck_devices(e);
    let needed: BTreeSet<&str> = e
        .lookalikes
        .iter()
        .flat_map(|f| f.entry.needs.iter().flatten())
        .map(String::as_str)
        .collect();
    let met: BTreeSet<&str> = said.iter().flat_map(|d| web.with_broader(d)).collect();
    for (spot, d) in spots(&e.devices) {
        let id = d.id.as_str();
        let is_struck = struck.contains(id) && d.kind != DeviceKind::Lookalike;
        if is_struck && !web.with_broader(id).iter().any(|w| said.contains(w)) {
            let message = "no phrase means it or a broader device; add one to the vocabulary";
            report.add(&spot, "unreached", message);
        } else if needed.contains(id) && !met.contains(id) {
            let message = "a lookalike needs it and no phrase means it; add one to the vocabulary";
            report.add(&spot, "unreached", message);
        }
    }
}

/// Every office can be named.
fn towns_named(e: &Entries, report: &mut Report) {
    for (spot, o) in spots(&e.offices) {
        let names_it = |f: &Filed<Words>| matches!(&f.entry.means, Meaning::Town(t) if *t == o.id);
        if !e.words.iter().any(names_it) {
            let message = format!("no phrase means Town(\"{}\"); add one", o.id);
            report.add(&spot, "town", message);
        }
    }
}

// ---- Devices, outlines and letterings -----------------------------------------------------------

/// Every device is struck, or met by a lookalike, or broader than one that is.
fn devices_used(e: &Entries, report: &mut Report) {
    let web = Web::devices(e);
    let by_lookalikes = e.lookalikes.iter().flat_map(|f| {
        let l = &f.entry;
        l.needs.iter().flatten().chain(&l.shares)
    });
    let used: HashSet<&str> = struck_devices(e)
        .into_iter()
        .chain(by_lookalikes.map(String::as_str))
        .flat_map(|d| web.with_broader(d))
        .collect();
    // A word narrower than any mark known ("lion passant to the left") has its use too, if what it
    // narrows or loosely means is struck.
    let leads = |ids: &[String]| ids.iter().any(|d| used.contains(d.as_str()));
    for (spot, d) in spots(&e.devices) {
        if !used.contains(d.id.as_str()) && !leads(&d.is) && !leads(&d.strains) {
            let message = "no mark, regime or lookalike shows it; use it or drop it";
            report.add(&spot, "unused", message);
        }
    }
}

/// Nothing is, in steps, a form of itself.
fn webs(e: &Entries, report: &mut Report) {
    check_web(report, &e.devices, |d| &d.is);
    check_web(report, &e.outlines, |o| &o.is);
}

fn check_web<T: Identified>(report: &mut Report, v: &[Filed<T>], is: fn(&T) -> &[String]) {
    let web = Web::new(v, is);
    for (spot, entry) in spots(v) {
        if web.broader(entry.id()).contains(&entry.id()) {
            let message = "it is a form of itself; let `is` name broader ones only";
            report.add(&spot, "web", message);
        }
    }
}

/// Pairs of letters alike are two letters of their case, each pair once; styled alphabets are
/// whole.
fn lettering_pairs(e: &Entries, report: &mut Report) {
    for (spot, l) in spots(&e.letterings) {
        for (case, pairs) in [(Case::Upper, &l.alike_upper), (Case::Lower, &l.alike_lower)] {
            let mut seen: HashSet<BTreeSet<&str>> = HashSet::new();
            for text in pairs {
                let pair: BTreeSet<&str> = text.split(' ').collect();
                let cased = |w: &&str| match (case, w.as_bytes()) {
                    (Case::Upper, [b]) => b.is_ascii_uppercase(),
                    (_, [b]) => b.is_ascii_lowercase(),
                    _ => false,
                };
                if pair.len() != 2 || !pair.iter().all(cased) {
                    let message = format!("\"{text}\" is not two letters of case {case:?}");
                    report.add(&spot, "alike", message);
                }
                if !seen.insert(pair) {
                    let message = format!("\"{text}\" is listed already in case {case:?}");
                    report.add(&spot, "alike", message);
                }
            }
        }
        for styled in [&l.styled_upper, &l.styled_lower].into_iter().flatten() {
            let count = styled.chars().count();
            if count != 26 {
                let message = format!("{count} styled letters where the alphabet has 26");
                report.add(&spot, "styled", message);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One office with three letter years and everything they need.
    const GOOD: [(&str, &str); 16] = [
        (
            "sources.ron",
            r#"Sources([(id: "guide", title: "A guide"), (id: "act", title: "An act")])"#,
        ),
        (
            "devices.ron",
            r#"Devices([
                (id: "tower", name: "tower", kind: Town),
                (id: "tower-burning", name: "burning tower", kind: Town, is: ["tower"]),
                (id: "lion", name: "lion", kind: Standard, misread: ["tower"], strains: []),
                (id: "ep", name: "EP", kind: Lookalike),
            ])"#,
        ),
        (
            "letterings.ron",
            r#"Letterings([
                (id: "roman", name: "roman", strains: [], alike_upper: ["C G", "O Q"], alike_lower: ["n u"],
                    styled_upper: "ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
            ])"#,
        ),
        (
            "outlines.ron",
            r#"Outlines([(id: "shield", name: "shield"), (id: "square", name: "square", is: ["shield"])])"#,
        ),
        (
            "standards.ron",
            r#"Standards([
                (id: "sterling", name: "sterling", metal: Silver, parts: 925, exact: "37/40",
                    basis: Published, confidence: High, cites: ["act s. 1"]),
            ])"#,
        ),
        (
            "regimes.ron",
            r#"Regimes([
                (id: "lion-silver", standard: "sterling", offices: ["england"], from: "1700", to: "1702",
                    marks: [(device: "lion", outline: Square)], basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "alton.ron",
            r#"Office(
                id: "alton", name: "Alton", groups: ["england"], opened: "1700", closed: "1702-06-01",
                year_starts: [
                    (from: 1700, to: 1700, day: "05-01", latest: "05-31", basis: Memory, confidence: Low),
                    (from: 1701, day: "05-29", basis: Published, confidence: High, cites: ["guide p. 2"]),
                ],
                marks: [
                    (id: "alton-tower", slot: Town, device: "tower-burning", from: "1700-05-01", to: "1702-06-01",
                        outline: Shield, basis: Published, confidence: High, cites: ["guide"]),
                ],
                letter_optional: [(from: 1701, why: "Few pieces.")],
                cycles: [
                    (from: 1700, to: 1701, lettering: Roman, case: Upper, basis: Both, confidence: High,
                        cites: ["guide"], letters: "A B", omitted: "J",
                        years: [(year: 1701, letter: "C", lettering: Roman, was: "D", why: "Misread.")],
                        candidates: [(year: 1700, letters: "E", why: "A worn punch.")],
                        short: [(year: 1700, letter: "A", begins: "1700-05-02", ends: "1701-01")],
                        outlines: [
                            (from: 1700, to: 1700, metal: Silver, outline: Square),
                            (from: 1701, to: 1701, metal: Silver, outline: Shield),
                        ]),
                ],
                gaps: [(from: 1702, to: 1702, why: "Closing.")],
            )"#,
        ),
        (
            "lookalikes.ron",
            r#"Lookalikes([
                (id: "plate", kind: Plate, what: "plate", why: "w", needs: [["ep"]], from: 1840, to: 1900,
                    basis: Memory, confidence: High),
                (id: "pseudo", kind: Pseudo, what: "false", why: "w", basis: Memory, confidence: High),
                (id: "bare-letter", kind: BareLetter, what: "l", why: "w", basis: Memory, confidence: High),
                (id: "bare-figure", kind: BareFigure, what: "f", why: "w", basis: Memory, confidence: High),
                (id: "maker-only", kind: MakerOnly, what: "m", why: "w", basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "warnings.ron",
            r#"Warnings([
                (id: "let-in", when: [Said("inserted"), Seen(["tower-burning", "sterling"]), Offices(["england"]),
                        Years(from: 1700, to: 1701)],
                    reason: "Let in.", innocent: "A repair.", judge: "an office", basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "units.ron",
            r#"Units([
                (id: "ounce", name: "ounce", short: "oz t", grams: "31.1034768", system: Troy, scratch: 1,
                    say: ["oz t"], bare: ["oz"], bare_why: "else say so", basis: Memory, confidence: High),
                (id: "dwt", name: "pennyweight", short: "dwt", grams: "1.55517384", system: Troy, scratch: 2,
                    say: ["dwt"], basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "scales.ron",
            r#"Scales([(id: "carat", name: "carat", whole: 24, say: ["ct"], basis: Memory, confidence: High)])"#,
        ),
        (
            "deductions.ron",
            r#"Deductions([
                (id: "loaded", name: "loading", share: (85, 95), say: ["loaded"], advice: "Only the shell counts.",
                    devices: ["ep"], bars: [Gold], basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "boasts.ron",
            r#"Boasts([
                (id: "local", say: ["altonian"], offices: ["alton"], why: "It is of Alton.",
                    basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "cautions.ron",
            r#"Cautions([
                (id: "mind", about: "A heading", uses: [Sell], when: [Said(["inserted"]), Stated(["gilt"]),
                        Fits(offices: ["alton"], from: 1702, to: 1703)],
                    says: "Mind it.", then: "Ask.", basis: Memory, confidence: High),
            ])"#,
        ),
        (
            "reigns.ron",
            r#"Reigns([(id: "george", name: "George", from: 1714, to: 1727, say: ["george"], head: "lion")])"#,
        ),
        (
            "words.ron",
            r#"Vocabulary([
                (means: Sign("inserted"), say: ["disc let in"]),
                (means: Device("tower"), say: ["tower"], slips: ["towre"], capitals: ["TW"]),
                (means: Device("lion"), say: ["lion"]),
                (means: Device("ep"), say: ["ep"]),
                (means: Town("alton"), say: ["alton"]),
                (means: Standard("sterling"), say: ["sterling", ".925"]),
                (means: Lettering("roman"), say: ["roman"]),
                (means: Outline("shield"), say: ["shield"]),
            ])"#,
        ),
    ];

    fn problems(files: &[(&str, String)]) -> Vec<Problem> {
        let (entries, unread) = Entries::read(files.iter().map(|(f, t)| (*f, t.as_str())));
        assert_eq!(unread, [], "the fixture itself must be readable");
        verify(&entries)
    }

    /// The problems of the good folder with one text put in the place of another.
    fn with(old: &str, new: &str) -> Vec<Problem> {
        let found: usize = GOOD.iter().map(|(_, t)| t.matches(old).count()).sum();
        assert_eq!(found, 1, "{old} must stand once in the good folder");
        problems(&GOOD.map(|(f, t)| (f, t.replace(old, new))))
    }

    /// Asserts that a replacement breaks a rule at a place.
    #[track_caller]
    fn breaks(old: &str, new: &str, place: &str, rule: &str) {
        let found = with(old, new);
        assert!(
            found.iter().any(|p| p.place == place && p.rule == rule),
            "no {rule} at {place}, but {found:#?}"
        );
    }

    /// Asserts that a replacement is in order.
    #[track_caller]
    fn keeps(old: &str, new: &str) {
        assert_eq!(with(old, new), [], "{new} is in order");
    }

    #[test]
    fn a_good_folder_has_no_problem() {
        assert_eq!(problems(&GOOD.map(|(f, t)| (f, t.to_string()))), []);
    }

    #[test]
    fn an_empty_folder_has_no_problem() {
        assert_eq!(problems(&[]), []);
    }

    #[test]
    fn problems_come_sorted_and_all_at_once() {
        let found = problems(&GOOD.map(|(f, t)| {
            let t = t.replace(r#"letters: "A B""#, r#"letters: "j ? B""#);
            (f, t.replace(r#"say: ["roman"]"#, r#"say: ["Roman"]"#))
        }));
        let brief: Vec<_> =
            found.iter().map(|p| format!("{}: {}: {}", p.file, p.place, p.rule)).collect();
        assert_eq!(
            brief,
            [
                "alton.ron: alton cycle 1700: count",
                "alton.ron: alton cycle 1700 year 1700: case",
                "alton.ron: alton cycle 1700 year 1700: omitted",
                "alton.ron: alton cycle 1700 year 1700: short",
                "words.ron: words 'Roman': phrase",
            ]
        );
    }

    #[test]
    fn ids_are_unique_and_kebab() {
        breaks(r#"id: "act""#, r#"id: "guide""#, "source guide", "id");
        breaks(r#"id: "tower-burning""#, r#"id: "Tower_burning""#, "device Tower_burning", "id");
        breaks(r#"id: "bare-figure""#, r#"id: "plate""#, "lookalike plate", "id");
    }

    #[test]
    fn names_are_known() {
        let name = "name";
        breaks(r#"device: "tower-burning""#, r#"device: "towr""#, "mark alton-tower", name);
        breaks(r#"device: "lion""#, r#"device: "lyon""#, "regime lion-silver", name);
        breaks(r#"needs: [["ep"]]"#, r#"needs: [["epns"]]"#, "lookalike plate", name);
        breaks(r#"is: ["tower"]"#, r#"is: ["castle"]"#, "device tower-burning", name);
        breaks(r#"misread: ["tower"]"#, r#"misread: ["castle"]"#, "device lion", name);
        breaks(r#"["tower"], strains: []"#, r#"["tower"], strains: ["cat"]"#, "device lion", name);
        breaks(r#""roman", strains: []"#, r#""roman", strains: ["sans"]"#, "lettering roman", name);
        breaks("lettering: Roman, case", "lettering: Sans, case", "alton cycle 1700", name);
        breaks("lettering: Roman, was", "lettering: Sans, was", "alton cycle 1700 year 1701", name);
        breaks(r#"is: ["shield"]"#, r#"is: ["oval"]"#, "outline square", name);
        breaks("outline: Shield, basis", "outline: Oval, basis", "mark alton-tower", name);
        breaks("outline: Square)], basis", "outline: Oval)], basis", "regime lion-silver", name);
        breaks(
            "Silver, outline: Square",
            "Silver, outline: Oval",
            "alton cycle 1700 outline 1700",
            name,
        );
        breaks(r#"standard: "sterling""#, r#"standard: "fine""#, "regime lion-silver", name);
        breaks("slot: Town,", r#"slot: Town, not_standards: ["fine"],"#, "mark alton-tower", name);
        breaks(r#"offices: ["england"]"#, r#"offices: ["wales"]"#, "regime lion-silver", name);
    }

    #[test]
    fn the_vocabulary_names_known_things() {
        for (old, new, place) in [
            (r#"Device("tower")"#, r#"Device("towr")"#, "words 'tower'"),
            (r#"Device("lion")"#, r#"Device("lyon")"#, "words 'lion'"),
            (r#"Lettering("roman")"#, r#"Lettering("sans")"#, "words 'roman'"),
            (r#"Outline("shield")"#, r#"Outline("oval")"#, "words 'shield'"),
            (r#"Town("alton")"#, r#"Town("alten")"#, "words 'alton'"),
            (r#"Standard("sterling")"#, r#"Standard("fine")"#, "words 'sterling'"),
            (r#"Outline("shield")"#, r#"Reign("anne")"#, "words 'shield'"),
            (r#"head: "lion""#, r#"head: "lyon""#, "reign george"),
        ] {
            breaks(old, new, place, "name");
        }
    }

    #[test]
    fn only_the_words_of_a_device_may_need_a_place() {
        let (device, town) = (r#"say: ["lion"]"#, r#"say: ["alton"]"#);
        keeps(device, r#"stands: Joined, say: ["lion"]"#);
        breaks(town, r#"stands: Joined, say: ["alton"]"#, "words 'alton'", "stands");
    }

    #[test]
    fn marks_have_offices_unless_an_office_has_them() {
        breaks(r#"offices: ["england"]"#, "offices: []", "regime lion-silver", "offices");
        breaks("slot: Town,", r#"slot: Town, offices: ["alton"],"#, "mark alton-tower", "offices");
    }

    #[test]
    fn weights_are_exact_and_their_words_are_plain() {
        for (old, new, at, rule) in [
            ("31.1034768", "31.1O", "unit ounce", "unit"),
            ("31.1034768", "0.0", "unit ounce", "unit"),
            ("scratch: 2", "scratch: 1", "unit dwt", "unit"),
            (r#", bare_why: "else say so""#, "", "unit ounce", "unit"),
            ("whole: 24", "whole: 0", "scale carat", "scale"),
            (r#"say: ["oz t"]"#, r#"say: ["Oz. t"]"#, "unit ounce", "phrase"),
            (r#"say: ["dwt"]"#, r#"say: ["oz"]"#, "unit ounce", "phrase"),
            (r#"say: ["ct"]"#, r#"say: ["loaded"]"#, "deduction loaded", "phrase"),
            (r#"say: ["loaded"]"#, r#"say: ["co-loaded"]"#, "deduction loaded", "phrase"),
            (r#"say: ["loaded"]"#, "say: []", "deduction loaded", "deduction"),
            ("the shell counts.", "the shell", "deduction loaded", "deduction"),
            ("(85, 95)", "(95, 85)", "deduction loaded", "deduction"),
            (r#"["altonian"]"#, r#"["Alton's"]"#, "boast local", "boast"),
            (r#"["altonian"]"#, r#"["altonian", "altonian"]"#, "boast local", "boast"),
            (r#"["altonian"]"#, "[]", "boast local", "boast"),
            ("It is of Alton.", "Alton", "boast local", "boast"),
            (r#"offices: ["alton"], why"#, r#"offices: ["camelot"], why"#, "boast local", "boast"),
            (r#"devices: ["ep"]"#, r#"devices: ["tower"]"#, "deduction loaded", "deduction"),
        ] {
            breaks(old, new, at, rule);
        }
    }

    #[test]
    fn cautions_look_for_what_there_is() {
        let place = "caution mind";
        for (old, new, rule) in [
            (r#"Said(["inserted"])"#, r#"Said(["inset"])"#, "caution"),
            (r#"Stated(["gilt"])"#, r#"Stated(["Parcel-gilt"])"#, "caution"),
            (r#"Fits(offices: ["alton"]"#, r#"Fits(offices: ["wales"]"#, "name"),
            ("from: 1702, to: 1703", "from: 1703, to: 1702", "caution"),
            ("uses: [Sell], when", "when", "caution"),
            (r#"about: "A heading""#, r#"about: " ""#, "caution"),
            (r#"says: "Mind it.""#, r#"says: "Mind it""#, "caution"),
            (r#"then: "Ask.""#, r#"then: "Ask""#, "caution"),
        ] {
            breaks(old, new, place, rule);
        }
        keeps(r#"then: "Ask.", "#, "");
        keeps("from: 1702, to: 1703", "from: 1702");
    }

    #[test]
    fn warnings_look_for_what_there_is() {
        let place = "warning let-in";
        breaks(r#"Seen(["tower-burning", "sterling"])"#, r#"Seen(["towr"])"#, place, "name");
        breaks(r#"Offices(["england"])"#, r#"Offices(["wales"])"#, place, "name");
        breaks("Years(from: 1700, to: 1701)", "Years(from: 1701, to: 1700)", place, "warning");
        keeps("Years(from: 1700, to: 1701)", "Years(from: 1700)");
        breaks(r#"innocent: "A repair.""#, r#"innocent: """#, place, "warning");
        breaks(r#"reason: "Let in.""#, r#"reason: "Let in. Bad.""#, place, "warning");
        breaks(r#"Sign("inserted")"#, r#"Sign("inset")"#, place, "unreached");
        breaks(r#"Sign("inserted")"#, r#"Sign("inset")"#, "words 'disc let in'", "unused");
        keeps(r#"Said("inserted"), Seen"#, r#"Said("inserted"), WantingLetter, Seen"#);
    }

    /// The problems of the good folder with one file more.
    fn and(file: &str, text: &str) -> Vec<Problem> {
        let mut files: Vec<(&str, String)> = GOOD.map(|(f, t)| (f, t.to_string())).into();
        files.push((file, text.to_string()));
        problems(&files)
    }

    #[test]
    fn omissions_and_designs_are_in_order() {
        let omission = |fields: &str| {
            let text =
                format!(r#"Omissions([(id: "small", {fields} basis: Memory, confidence: Low)])"#);
            and("omissions.ron", &text)
        };
        let good = r#"slots: [Town], offices: ["england"], on: "spoons","#;
        assert_eq!(omission(good), []);
        for bad in [
            r#"offices: ["england"], on: "spoons","#,
            r#"slots: [Town], offices: ["wales"], on: "spoons","#,
            r#"slots: [Town], offices: ["england"], on: "","#,
            r#"slots: [Town], offices: ["england"], on: "spoons", from: 1720, to: 1700,"#,
            r#"slots: [Town], offices: ["england"], standards: ["gold-18"], on: "spoons","#,
        ] {
            assert_eq!(omission(bad).len(), 1, "{bad}");
        }
        let designs = |years: &str| {
            let text = format!(
                r#"Designs(id: "numbers", slack: 1, basis: Memory, confidence: Low, years: [{years}])"#
            );
            and("designs.ron", &text)
        };
        assert_eq!(designs("(year: 1884, first: 1), (year: 1885, first: 9)"), []);
        assert_eq!(designs("(year: 1884, first: 9), (year: 1885, first: 9)").len(), 1);
        assert_eq!(designs("(year: 1884, first: 1), (year: 1886, first: 9)").len(), 1);
    }

    #[test]
    fn sponsors_are_in_order() {
        let sponsors = |fields: &str| {
            let text = format!(
                r#"Sponsors([
                    (id: "one", struck: "AB/C", offices: ["alton"], from: 1700, to: 1701, names: ["Ann Bell"],
                        firm: "Bell & Co.", basis: Memory, confidence: Low),
                    (id: "two", {fields}),
                ])"#
            );
            and("sponsors.ron", &text)
        };
        let rest = "basis: Memory, confidence: Low";
        let rules = |fields: &str| -> Vec<String> {
            let found = sponsors(&format!("{fields}, {rest}"));
            assert!(found.iter().all(|p| p.place == "sponsor two"), "{found:#?}");
            found.into_iter().map(|p| p.rule).collect()
        };
        let jo = r#"names: ["Jo Vane II"]"#;
        for good in [
            r#"struck: "JU", names: ["Iris Vane"], from: 1701, still: false"#,
            r#"struck: "IV", names: ["Jo Vane"], offices: ["alton"], from: 1650, to: 1700"#,
            r#"picture: "a hat", names: ["Jo Vane"], lettering: Roman, punch: [Square]"#,
            r#"struck: "VA", names: ["Jo Vane"], letters_why: "two of the surname""#,
            r#"struck: "XY", note: "The maker is not known.""#,
            // The same letters in another hand, at another time or place.
            r#"struck: "AB/C", names: ["Ann Bell"], firm: "Bell & Co.", offices: ["alton"], from: 1702"#,
        ] {
            assert_eq!(rules(good), [] as [String; 0], "{good}");
        }
        for (bad, rule) in [
            (format!(r#"struck: "JV", lettering: Uncial, {jo}"#), "name"),
            (format!(r#"struck: "JV", punch: [Oval], {jo}"#), "name"),
            (format!(r#"struck: "JV", offices: ["york"], {jo}"#), "name"),
            (format!(r#"picture: "a hat", struck: "JV", {jo}"#), "struck"),
            (jo.to_string(), "struck"),
            (r#"struck: "JV""#.to_string(), "maker"),
            (format!(r#"struck: "JV", beside: [""], {jo}"#), "empty"),
            (format!(r#"struck: "JV", to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1701, to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1501, to: 1700, {jo}"#), "years"),
            (format!(r#"struck: "JV", from: 1800, offices: ["alton"], {jo}"#), "open"),
            (format!(r#"struck: "JW", {jo}"#), "initials"),
            (format!(r#"struck: "J", {jo}"#), "initials"),
            (
                r#"struck: "AB/C", names: ["Ann Bell"], firm: "Bell & Co.", offices: ["alton"], from: 1701"#
                    .to_string(),
                "twice",
            ),
        ] {
            assert_eq!(rules(&bad), [rule], "{bad}");
        }
        let uncited = r#"struck: "JV", names: ["Jo Vane"], basis: Memory, confidence: Low, letters_basis: Published"#;
        assert!(sponsors(uncited).iter().any(|p| p.rule == "basis"));
        let unknown = r#"struck: "JV", names: ["Jo Vane"], basis: Published, confidence: Low, cites: ["atlas p. 2"]"#;
        assert!(sponsors(unknown).iter().any(|p| p.rule == "name"));
    }

    #[test]
    fn lookalikes_can_be_met() {
        let rule = "lookalike";
        breaks(r#"needs: [["ep"]],"#, "", "lookalike plate", rule);
        breaks(r#"needs: [["ep"]],"#, "needs: [[]],", "lookalike plate", rule);
        breaks(
            r#"needs: [["ep"]],"#,
            r#"needs: [["ep"]], unless_maker: true,"#,
            "lookalike plate",
            rule,
        );
        keeps(r#"needs: [["ep"]],"#, r#"needs: [["ep"]], denies: true, unless_maker: true,"#);
        breaks("kind: BareLetter", "kind: MakerOnly", "lookalikes", rule);
        breaks("kind: Pseudo", "kind: MakerOnly", "lookalike maker-only", rule);
        breaks(r#"id: "pseudo""#, r#"id: "false""#, "lookalikes", rule);
        keeps(r#"needs: [["ep"]],"#, r#"needs: [["ep"]], shares: ["lion"],"#);
    }

    #[test]
    fn cites_name_sources_and_published_facts_cite() {
        breaks(
            r#"cites: ["guide p. 2"]"#,
            r#"cites: ["gide p. 2"]"#,
            "alton year start 1701",
            "name",
        );
        breaks(r#", cites: ["guide p. 2"]"#, "", "alton year start 1701", "basis");
        breaks(r#", cites: ["act s. 1"]"#, "", "standard sterling", "basis");
        breaks(r#", cites: ["act s. 1"]"#, "", "source act", "unused");
    }

    #[test]
    fn parts_agree_with_the_ratio() {
        breaks("parts: 925", "parts: 935", "standard sterling", "parts");
        breaks(r#""37/40""#, r#""37:40""#, "standard sterling", "parts");
    }

    #[test]
    fn letters_match_years() {
        let run = "alton cycle 1700";
        let year = |y: i32| format!("{run} year {y}");
        breaks(r#""A B""#, r#""A B C""#, run, "count");
        breaks(r#""A B""#, r#""A? B""#, &year(1700), "letter");
        breaks(r#""A B""#, r#""= B""#, &year(1700), "letter");
        breaks(r#"omitted: "J""#, r#"omitted: "J C""#, &year(1701), "omitted");
        breaks(r#""A B""#, r#""a B""#, &year(1700), "case");
        keeps(r#""A B""#, r#""A/a B""#);
        keeps(r#""A B""#, r#""A+{crown} B""#);
        keeps(r#"letter: "C""#, r#"case: Lower, letter: "c""#);
    }

    #[test]
    fn a_letter_comes_twice_only_with_a_reason() {
        keeps(r#"letter: "C", lettering: Roman, was: "D""#, r#"letter: "A""#);
        breaks(
            r#"letter: "C", lettering: Roman, was: "D", why: "Misread.""#,
            r#"letter: "A""#,
            "alton cycle 1700 year 1701",
            "twice",
        );
        keeps(r#"letter: "C", lettering: Roman, was: "D", why: "Misread.""#, r#"letter: "=""#);
    }

    #[test]
    fn parts_of_a_run_lie_inside_it() {
        let at = |part: &str| format!("alton cycle 1700 {part}");
        breaks("year: 1701", "year: 1702", &at("year 1702"), "inside");
        breaks("candidates: [(year: 1700", "candidates: [(year: 1699", &at("year 1699"), "inside");
        breaks("short: [(year: 1700", "short: [(year: 1699", &at("year 1699"), "inside");
        breaks("1701, metal: Silver", "1705, metal: Silver", &at("outline 1701"), "inside");
    }

    #[test]
    fn notes_candidates_and_short_letters_make_sense() {
        let (first, second) = ("alton cycle 1700 year 1700", "alton cycle 1700 year 1701");
        breaks(r#"why: "Misread.""#, "", second, "note");
        breaks(r#"was: "D""#, r#"was: "C""#, second, "note");
        breaks(r#"why: "Misread.")"#, r#"why: "Misread."), (year: 1701)"#, second, "note");
        breaks(r#"letters: "E""#, r#"letters: "A""#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: "_""#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: """#, first, "candidate");
        breaks(r#"letters: "E""#, r#"letters: "?""#, first, "candidate");
        breaks(r#"letter: "A", begins"#, r#"letter: "B", begins"#, first, "short");
        breaks(r#"begins: "1700-05-02", ends: "1701-01""#, "", first, "short");
        breaks(
            r#"ends: "1701-01")"#,
            r#"ends: "1701-01"), (year: 1700, letter: "A", ends: "1701-02")"#,
            first,
            "short",
        );
        keeps(r#"letter: "A", begins"#, r#"letter: "E", begins"#);
        breaks(r#"why: "A worn punch.""#, r#"why: """#, first, "why");
    }

    #[test]
    fn outlines_of_a_metal_do_not_overlap() {
        breaks(
            "1700, metal: Silver",
            "1701, metal: Silver",
            "alton cycle 1700 outline 1701 silver",
            "overlap",
        );
    }

    #[test]
    fn runs_and_gaps_lie_side_by_side() {
        breaks(
            "gaps: [(from: 1702, to: 1702",
            "gaps: [(from: 1701, to: 1702",
            "alton gap 1701",
            "overlap",
        );
        breaks(r#"closed: "1702-06-01""#, r#"closed: "1704""#, "alton", "gap");
        breaks(r#"closed: "1702-06-01""#, r#"closed: "1701""#, "alton gap 1702", "closed");
        breaks(r#"opened: "1700""#, r#"opened: "1699""#, "alton", "gap");
        breaks(r#"opened: "1700""#, r#"opened: "1701""#, "alton cycle 1700", "opened");
        breaks(r#"why: "Closing.""#, r#"why: """#, "alton gap 1702", "why");
        keeps(r#"gaps: [(from: 1702, to: 1702, why: "Closing.")],"#, "");
    }

    #[test]
    fn optional_letters_need_letters() {
        breaks(
            "letter_optional: [(from: 1701",
            "letter_optional: [(from: 1702",
            "alton optional letter 1702",
            "inside",
        );
    }

    #[test]
    fn year_starts_cover_the_letter_years() {
        breaks("(from: 1701, day", "(from: 1702, day", "alton", "year-start");
        breaks("(from: 1701, day", "(from: 1700, day", "alton year start 1700", "overlap");
        breaks(r#"latest: "05-31""#, r#"latest: "04-30""#, "alton year start 1700", "year-start");
    }

    #[test]
    fn spans_end_after_they_begin() {
        let span = "span";
        breaks(r#"from: "1700-05-01""#, r#"from: "1702-06-02""#, "mark alton-tower", span);
        breaks(
            r#"from: "1700", to: "1702""#,
            r#"from: "1700", to: "1699""#,
            "regime lion-silver",
            span,
        );
        breaks(
            r#"begins: "1700-05-02""#,
            r#"begins: "1701-02""#,
            "alton cycle 1700 year 1700",
            span,
        );
        breaks("from: 1840, to: 1900", "from: 1840, to: 1800", "lookalike plate", span);
        breaks(
            "(from: 1700, to: 1700, metal",
            "(from: 1701, to: 1700, metal",
            "alton cycle 1700 outline 1701",
            span,
        );
        breaks(
            "gaps: [(from: 1702, to: 1702",
            "gaps: [(from: 1702, to: 1701",
            "alton gap 1702",
            span,
        );
    }

    #[test]
    fn a_day_may_open_a_span_that_closes_with_the_letter_year_before() {
        let day = |y, m, d| Bound::Day(jiff::civil::date(y, m, d));
        assert!(!is_after(day(1697, 3, 27), Bound::Year(1696)));
        assert!(is_after(day(1698, 3, 27), Bound::Year(1696)));
        assert!(is_after(Bound::Year(1697), Bound::Month(1696, 3)));
        assert!(!is_after(Bound::Month(1697, 3), day(1697, 3, 1)));
    }

    #[test]
    fn every_letter_year_has_silver() {
        let rule = "silver-regime";
        breaks(
            r#"to: "1702",
"#,
            r#"to: "1700",
"#,
            "alton",
            rule,
        );
        breaks("metal: Silver, parts", "metal: Gold, parts", "alton", rule);
        breaks(
            r#"offices: ["england"]"#,
            r#"origin: Foreign, offices: ["england"]"#,
            "alton",
            rule,
        );
    }

    #[test]
    fn a_phrase_has_one_meaning() {
        breaks(r#"say: ["roman"]"#, r#"say: ["roman", "towre"]"#, "words 'towre'", "phrase-twice");
        breaks(
            r#"say: ["roman"]"#,
            r#"say: ["roman"], capitals: ["TW"]"#,
            "words 'TW'",
            "phrase-twice",
        );
        keeps(r#"say: ["roman"]"#, r#"say: ["roman"], capitals: ["TOWER"]"#);
    }

    #[test]
    fn phrases_are_written_as_read() {
        for phrase in
            ["", "Roman", " roman", "roman  face", "st dunstan's", "a, b", "st. john", "925."]
        {
            breaks(
                r#"say: ["roman"]"#,
                &format!("say: [\"{phrase}\"]"),
                &format!("words '{phrase}'"),
                "phrase",
            );
        }
        breaks(r#"["TW"]"#, r#"["Tw"]"#, "words 'Tw'", "phrase");
        breaks(r#"say: ["roman"]"#, "say: []", r#"words of Lettering("roman")"#, "phrase");
        keeps(r#"say: ["roman"]"#, r#"say: ["roman", "0.925 roman", "?"]"#);
    }

    #[test]
    fn devices_and_towns_can_be_said() {
        breaks(r#"Device("tower")"#, "Filler", "device tower-burning", "unreached");
        breaks(r#"Device("ep")"#, "Filler", "device ep", "unreached");
        breaks(r#"Town("alton")"#, "Filler", "alton", "town");
        keeps(r#"Device("tower")"#, r#"Device("tower-burning")"#);
    }

    #[test]
    fn a_fraction_is_a_part_that_can_be_told() {
        let of = |nth_of: &str| format!("Fraction({nth_of})");
        let town = r#"Lettering("roman")"#;
        for good in ["1, 2", "4, 4", "10, 10", "0, 100", "90, 100"] {
            keeps(town, &of(good));
        }
        for bad in ["0, 2", "3, 2", "1, 5", "95, 100", "11, 10"] {
            breaks(town, &of(bad), "words 'roman'", "fraction");
        }
    }

    #[test]
    fn devices_are_used() {
        breaks(
            r#"(id: "ep", name"#,
            r#"(id: "cat", name: "cat", kind: Town), (id: "ep", name"#,
            "device cat",
            "unused",
        );
        // A form narrower than any mark known still serves as a word.
        keeps(
            r#"(id: "ep", name"#,
            r#"(id: "cat", name: "cat", kind: Town, is: ["tower"]), (id: "ep", name"#,
        );
    }

    #[test]
    fn nothing_is_a_form_of_itself() {
        breaks(
            r#"name: "tower", kind: Town"#,
            r#"name: "tower", kind: Town, is: ["tower-burning"]"#,
            "device tower-burning",
            "web",
        );
        breaks(r#"is: ["shield"]"#, r#"is: ["square"]"#, "outline square", "web");
    }

    #[test]
    fn letterings_are_whole() {
        for pair in ["C", "C G O", "C C", "c g", "Q O", "CG"] {
            breaks(r#"["C G", "#, &format!("[\"{pair}\", "), "lettering roman", "alike");
        }
        breaks("WXYZ", "WXY", "lettering roman", "styled");
    }
}
