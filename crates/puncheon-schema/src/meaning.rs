//! What words mean: the groups of phrases in tables/vocabulary, the part each plays, and the same in
//! the numbers of the packed tables.
//!
//! A new meaning is a variant of [`Meaning`] and of [`Sense`], its number in the list of plain ones (or
//! an arm of its own where it carries something), and, unless it is plain, an arm of `senses` in the
//! lexicon.

use serde::Deserialize;

use crate::entry::{Case, Metal, Slot, Standing};
use crate::packed::{CASES, METALS, SLOTS};

/// Words that share one meaning.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// What they mean.
    pub means: Meaning,
    /// The words and phrases, lower case, single spaces.
    pub say: Vec<String>,
    /// Common slips of the pen: understood, but said as guessed.
    #[serde(default)]
    pub slips: Vec<String>,
    /// Abbreviations that count only when typed in capitals (LP, LH, EP).
    #[serde(default)]
    pub capitals: Vec<String>,
    /// The parts of one picture: its words may be separated by commas (tree, fish, bell, bird).
    #[serde(default)]
    pub commas: bool,
    /// One or two words that cannot stand alone and so belong to the phrase across a comma or into a
    /// bracket, when they end it: "leopard's head, crowned", "king's head (struck twice)".
    #[serde(default)]
    pub after_comma: Vec<String>,
    /// How they must stand.
    #[serde(default)]
    pub stands: Standing,
    /// They order, narrow or turn a date: a claim in which one was not put to use is not read.
    #[serde(default)]
    pub turns: bool,
    /// Where alone they count, if not in every text: units in weights, yes and no in replies. There they
    /// are found before what the same words mean elsewhere.
    #[serde(default)]
    pub within: Vec<Grammar>,
}

/// A grammar that has words of its own beside the vocabulary of all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Grammar {
    /// What a seller claims.
    Claims,
    /// What a chart is asked for.
    Charts,
    /// What a piece is called and said to be made of.
    Items,
    /// Weights and counts of pieces.
    Weights,
    /// Amounts of money and prices.
    Money,
    /// Answers to a question at the bench.
    Replies,
    /// Letters behind figures, and single letters that may be a word.
    Letters,
    /// Whole cells of a record.
    Records,
}

impl Grammar {
    /// Each of them.
    pub const ALL: [Grammar; 8] = [
        Grammar::Claims,
        Grammar::Charts,
        Grammar::Items,
        Grammar::Weights,
        Grammar::Money,
        Grammar::Replies,
        Grammar::Letters,
        Grammar::Records,
    ];

    /// The node where its own phrases begin; those of every text begin at node 0.
    pub const fn root(self) -> u32 {
        1 + self as u32
    }
}

/// The part a word plays in what a piece is called, and in what is stated of it beside its marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum ItemWord {
    /// "with", "having": something more than the piece begins, and on it.
    Adds,
    /// "and": another thing is named.
    Joins,
    /// "in", "on", "after": where, or by what, the words before stand.
    Relates,
    /// "for": whom or what it serves.
    For,
    /// "by": whoever made it, unless a word before says what else was done.
    By,
    /// "of".
    Of,
    /// "no", "not", "lacking": takes back what stands behind it.
    Not,
    /// "without": takes back, and ends what the piece is called.
    Without,
    /// "the", "its": points at one thing, mostly a part.
    Points,
    /// "each": points at every part.
    Each,
    /// "both", "all": every part alike.
    Every,
    /// "a", "an".
    Article,
    /// "bearing", "depicting": what is shown on the piece follows.
    Shows,
    /// "engraved", "inscribed": what is on the piece follows; whoever did so did not make it.
    Engraves,
    /// "presented", "gifted", "owned": whoever is named did not make it.
    Gives,
    /// "retailed", "sold": whoever is named sold it.
    Sells,
    /// "dated".
    Dates,
    /// "about", "from": small words between what was done and when.
    When,
    /// "repaired", "chased": a date beside it is that of the work.
    Deed,
    /// "dozen": a number of twelves, or one.
    Dozen,
    /// "half": of a dozen.
    Half,
    /// "pair of", "pr": two.
    Pair,
    /// "pairs of", behind a number.
    Pairs,
    /// "set of": so many follow.
    Set,
    /// "cased", "part": a word before "set".
    SetSort,
    /// "x": times.
    Times,
    /// "handled", "legged": the number before it is part of the name, "two handled cup".
    Feature,
}

impl ItemWord {
    /// Each of them, in the order of their numbers.
    pub const ALL: [ItemWord; 27] = [
        ItemWord::Adds,
        ItemWord::Joins,
        ItemWord::Relates,
        ItemWord::For,
        ItemWord::By,
        ItemWord::Of,
        ItemWord::Not,
        ItemWord::Without,
        ItemWord::Points,
        ItemWord::Each,
        ItemWord::Every,
        ItemWord::Article,
        ItemWord::Shows,
        ItemWord::Engraves,
        ItemWord::Gives,
        ItemWord::Sells,
        ItemWord::Dates,
        ItemWord::When,
        ItemWord::Deed,
        ItemWord::Dozen,
        ItemWord::Half,
        ItemWord::Pair,
        ItemWord::Pairs,
        ItemWord::Set,
        ItemWord::SetSort,
        ItemWord::Times,
        ItemWord::Feature,
    ];
}

/// The part a word plays in a description.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Meaning {
    /// One device, or two struck as one.
    Device(String),
    /// A lettering.
    Lettering(String),
    /// Capital or small.
    Case(Case),
    /// An outline.
    Outline(String),
    /// "date letter", "letter".
    LetterNoun,
    /// "town mark": the office's mark, device not named.
    TownNoun,
    /// "standard mark", "fineness mark".
    StandardNoun,
    /// "duty mark".
    DutyNoun,
    /// "import mark".
    ImportNoun,
    /// "maker's mark", "sponsor's mark".
    SponsorNoun,
    /// "assay master's mark".
    AssayerNoun,
    /// "jubilee mark", "commemorative mark", event not named.
    CommemorativeNoun,
    /// "hallmarked", "full set of marks", "struck with": says nothing by itself.
    MarkNoun,
    /// The name of an office.
    Town(String),
    /// The name of a fineness: meets every mark of that standard ("18 carat", "sterling").
    Standard(String),
    /// The mark of a standard, named by the standard: "sterling mark".
    StandardMark(String),
    /// What ends the name of a firm after its initials: "Co", "Sons".
    Firm,
    /// A part of an article: base, lid, bowl.
    Part,
    /// An object, pattern, condition, surname or other thing made of mark words: set aside.
    Aside,
    /// A word that turns what follows into the seller's claim: "stated", "catalogued as".
    ClaimIntro,
    /// A word that makes a name after it a claim of the maker's whereabouts: "made in".
    MadeIn,
    /// A reign or period, by its id.
    Reign(String),
    /// "about", "circa".
    About,
    /// "century": makes the ordinal before it a claimed date.
    Century,
    /// "early": the first third of what follows.
    Early,
    /// "mid": the middle third of what follows.
    Mid,
    /// "late": the last third of what follows.
    Late,
    /// "second half of", "last quarter": which part of how many of a date.
    Fraction(u8, u8),
    /// "before": what follows is excluded and all earlier claimed.
    Before,
    /// "after": what follows is excluded and all later claimed.
    After,
    /// "not before", "since": what follows and all later is claimed.
    NotBefore,
    /// "not after", "until": what follows and all earlier is claimed.
    NotAfter,
    /// "lot", "page", "number": the number after it is no mark.
    Numbered,
    /// "engraved", "inscribed": what follows is not a mark.
    Engraved,
    /// "style", "revival": takes the meaning out of the period before it.
    Style,
    /// `?`, "possibly".
    Doubt,
    /// "worn", "rubbed".
    Worn,
    /// "illegible", "unread".
    Illegible,
    /// "no", "without".
    Absent,
    /// "lacking" and the like after the noun: "duty mark absent".
    AbsentAfter,
    /// "looks like": a plain description, not a doubt.
    LooksLike,
    /// "or".
    Or,
    /// "and", "with".
    And,
    /// "in a", "within".
    In,
    /// "above", "below", "beneath", "between": ends a sponsor's clause.
    Beside,
    /// "over", "conjoined" between initials.
    Over,
    /// "twice", "repeated".
    Repeat,
    /// "decorative", "stylised": says nothing of the lettering.
    Decorative,
    /// "first", "last" before letter: it belongs to initials.
    OfInitials,
    /// "crude", "pseudo", "fake", "copy".
    Pseudo,
    /// "not hallmarks", "nothing else".
    NothingElse,
    /// A unit: a number before it is a measure.
    Unit,
    /// "with a point", said of figures.
    Point,
    /// "without a point", said of figures.
    NoPoint,
    /// "the other": starts another set.
    OtherPiece,
    /// A plain word with nothing to say: "the", "struck", "of".
    Filler,
    /// "a", "an": an article unless it can only be a letter.
    Article,
    /// A true word that must never be corrected into a mark ("cattle", "dish").
    FalseFriend,
    /// Something about the piece that a [`crate::entry::Warning`] looks for, by its sign: "let into the base". It
    /// is no mark and is set aside.
    Sign(String),
    /// A number in words: "two", "dozen".
    Number(u32),
    /// A month by its number, January the first.
    Month(u8),
    /// An ordinal in words: "nineteenth".
    Nth(u8),
    /// "period", "year": only says that what stands beside it is a date.
    DateNoun,
    /// "from": the date that follows begins a span.
    From,
    /// "between": the two dates that follow bound a span.
    Between,
    /// "later": than the date before, behind "or".
    Later,
    /// "earlier": than the date before, behind "or".
    Earlier,
    /// "onwards": what stands before it and all later.
    Onwards,
    /// "at the latest": what stands beside it and all earlier.
    AtLatest,
    /// "at the earliest": what stands beside it and all later.
    AtEarliest,
    /// The letters of a sovereign, which may be anybody's.
    Cypher,
    /// A word of what a piece is called.
    Item(ItemWord),
    /// A metal by its name alone: "silver".
    Metal(Metal),
    /// The sign of a currency, with its three letters; None where several share it.
    Currency(Option<Code>),
    /// "each", "per": what is said is of one of several, or of one unit.
    Each,
    /// "to": joins the least and the most.
    To,
    /// "yes": there is one, and not which.
    Yes,
    /// "n": there is none.
    No,
    /// "skip": the question is passed by.
    Pass,
    /// "what", "is it": a question back.
    Asks,
    /// What is to be done at the bench: "undo".
    Command(Command),
    /// "th": behind figures, it makes them an ordinal.
    Ordinal,
    /// "s": behind a year, it makes it a decade.
    Decade,
    /// "I": the speaker.
    Speaker,
    /// "undated": in a record, that nothing is stated.
    NothingStated,
}

/// The three letters of a currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(try_from = "String")]
pub struct Code(pub [u8; 3]);

impl TryFrom<String> for Code {
    type Error = String;

    fn try_from(code: String) -> Result<Code, String> {
        let letters = <[u8; 3]>::try_from(code.as_bytes()).ok();
        let capitals = letters.filter(|l| l.iter().all(u8::is_ascii_uppercase));
        capitals
            .map(Code)
            .ok_or_else(|| format!("\"{code}\" is no currency; write three capitals, GBP"))
    }
}

/// What can be done at the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Command {
    /// Take back the last step.
    Undo,
    /// Show the marks, with numbers.
    Lines,
    /// Leave marks out for the time being.
    Without,
    /// Put them back.
    With,
    /// Put other words in a mark's place.
    Change,
    /// Take marks out.
    Drop,
    /// Show the whole reading.
    All,
    /// Write the note and begin the next piece.
    Done,
    /// Begin the next piece.
    Next,
    /// End.
    Quit,
    /// Say what can be typed.
    Help,
}

impl Command {
    const ALL: [Command; 11] = [
        Command::Undo,
        Command::Lines,
        Command::Without,
        Command::With,
        Command::Change,
        Command::Drop,
        Command::All,
        Command::Done,
        Command::Next,
        Command::Quit,
        Command::Help,
    ];
}

/// A [`Meaning`] in the numbers of the packed tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Sense {
    Device(u32),
    Lettering(u32),
    Case(Case),
    Outline(u32),
    LetterNoun,
    SlotNoun(Slot),
    StandardNoun,
    SponsorNoun,
    MarkNoun,
    Town(u32),
    Standard(u32),
    StandardMark(u32),
    Firm,
    Part,
    Aside,
    ClaimIntro,
    MadeIn,
    Reign(u32),
    About,
    Century,
    Early,
    Mid,
    Late,
    /// Which part of how many.
    Fraction(u8, u8),
    Before,
    After,
    NotBefore,
    NotAfter,
    Numbered,
    Engraved,
    Style,
    Doubt,
    Worn,
    Illegible,
    Absent,
    AbsentAfter,
    LooksLike,
    Or,
    And,
    In,
    Beside,
    Over,
    Repeat,
    Decorative,
    OfInitials,
    Pseudo,
    NothingElse,
    Unit,
    Point,
    NoPoint,
    OtherPiece,
    Filler,
    Article,
    FalseFriend,
    Sign(u32),
    Number(u32),
    Month(u8),
    Nth(u8),
    DateNoun,
    From,
    Between,
    Later,
    Earlier,
    Onwards,
    AtLatest,
    AtEarliest,
    Cypher,
    Item(ItemWord),
    /// A [`crate::entry::Deduction`] by its number: these bring their own words.
    Deduction(u32),
    /// A [`crate::entry::Boast`] by its number, and which of its phrases.
    Boast(u16, u16),
    Metal(Metal),
    Currency(Option<[u8; 3]>),
    Each,
    To,
    Yes,
    No,
    Pass,
    Asks,
    Command(Command),
    Ordinal,
    Decade,
    Speaker,
    /// The [`crate::entry::Unit`]s of a phrase, a bit for each number: these bring their own words.
    Units(u32),
    /// The unit that a phrase is taken for, though it leaves it open.
    BareUnit(u32),
    /// A [`crate::entry::Scale`] by its number: these bring their own words.
    Scale(u32),
    NothingStated,
}

impl Sense {
    /// Does it count in every text, and not in some grammars alone?
    pub fn is_general(self) -> bool {
        !matches!(
            self,
            Sense::Yes
                | Sense::No
                | Sense::Pass
                | Sense::Asks
                | Sense::Command(_)
                | Sense::Number(_)
                | Sense::Month(_)
                | Sense::DateNoun
                | Sense::From
                | Sense::Between
                | Sense::Later
                | Sense::Earlier
                | Sense::Onwards
                | Sense::AtLatest
                | Sense::AtEarliest
                | Sense::Cypher
                | Sense::Item(_)
                | Sense::Deduction(_)
                | Sense::Boast(..)
                | Sense::Metal(_)
                | Sense::Currency(_)
                | Sense::Each
                | Sense::To
                | Sense::Ordinal
                | Sense::Decade
                | Sense::Speaker
                | Sense::Units(_)
                | Sense::BareUnit(_)
                | Sense::Scale(_)
                | Sense::NothingStated
        )
    }

    /// Does a phrase of this sense speak of marks, rather than set itself aside?
    pub(crate) fn tells(self) -> bool {
        let aside = matches!(
            self,
            Sense::Aside
                | Sense::FalseFriend
                | Sense::Sign(_)
                | Sense::Filler
                | Sense::Article
                | Sense::Unit
                | Sense::Numbered
                | Sense::Nth(_)
        );
        !aside && self.is_general()
    }
}

macro_rules! senses {
    ($($n:literal => $plain:ident),* $(,)?) => {
        impl Sense {
            pub(crate) fn pack(self) -> (u32, u32) {
                match self {
                    Sense::Device(a) => (0, a),
                    Sense::Lettering(a) => (2, a),
                    Sense::Case(c) => (3, c as u32),
                    Sense::Outline(a) => (4, a),
                    Sense::SlotNoun(s) => (5, s as u32),
                    Sense::Town(a) => (6, a),
                    Sense::Standard(a) => (7, a),
                    Sense::Reign(a) => (8, a),
                    Sense::StandardMark(a) => (9, a),
                    Sense::Sign(a) => (10, a),
                    Sense::Fraction(nth, of) => (11, u32::from(nth) << 8 | u32::from(of)),
                    Sense::Number(n) => (12, n),
                    Sense::Month(m) => (13, u32::from(m)),
                    Sense::Nth(n) => (70, u32::from(n)),
                    Sense::Command(c) => (14, c as u32),
                    Sense::Metal(m) => (16, m as u32),
                    Sense::Currency(code) => {
                        let [a, b, c] = code.unwrap_or_default();
                        (17, u32::from_be_bytes([0, a, b, c]))
                    }
                    Sense::Item(w) => (18, w as u32),
                    Sense::Deduction(d) => (19, d),
                    Sense::Boast(b, nth) => (15, u32::from(b) << 16 | u32::from(nth)),
                    Sense::Units(set) => (80, set),
                    Sense::BareUnit(u) => (81, u),
                    Sense::Scale(s) => (82, s),
                    $(Sense::$plain => ($n, 0),)*
                }
            }
            /// A meaning that carries nothing.
            pub(crate) fn plain(means: &Meaning) -> Option<Sense> {
                match means {
                    $(Meaning::$plain => Some(Sense::$plain),)*
                    _ => None,
                }
            }
            pub(crate) fn unpack(kind: u32, arg: u32) -> Sense {
                match kind {
                    0 => Sense::Device(arg),
                    2 => Sense::Lettering(arg),
                    3 => Sense::Case(CASES[arg as usize]),
                    4 => Sense::Outline(arg),
                    5 => Sense::SlotNoun(SLOTS[arg as usize]),
                    6 => Sense::Town(arg),
                    7 => Sense::Standard(arg),
                    8 => Sense::Reign(arg),
                    9 => Sense::StandardMark(arg),
                    10 => Sense::Sign(arg),
                    11 => Sense::Fraction((arg >> 8) as u8, arg as u8),
                    12 => Sense::Number(arg),
                    13 => Sense::Month(arg as u8),
                    70 => Sense::Nth(arg as u8),
                    14 => Sense::Command(Command::ALL[arg as usize]),
                    16 => Sense::Metal(METALS[arg as usize]),
                    17 => {
                        let [_, a, b, c] = arg.to_be_bytes();
                        Sense::Currency(Some([a, b, c]).filter(|code| *code != [0; 3]))
                    }
                    18 => Sense::Item(ItemWord::ALL[arg as usize]),
                    19 => Sense::Deduction(arg),
                    15 => Sense::Boast((arg >> 16) as u16, arg as u16),
                    80 => Sense::Units(arg),
                    81 => Sense::BareUnit(arg),
                    82 => Sense::Scale(arg),
                    $($n => Sense::$plain,)*
                    _ => Sense::Filler,
                }
            }
        }
    };
}
senses! {
    20 => LetterNoun, 21 => StandardNoun, 22 => SponsorNoun, 23 => MarkNoun, 24 => Part, 25 => Aside,
    26 => ClaimIntro, 27 => MadeIn, 28 => About, 29 => Engraved, 30 => Style, 31 => Doubt, 32 => Worn,
    33 => Illegible, 34 => Absent, 35 => AbsentAfter, 36 => LooksLike, 37 => Or, 38 => And, 39 => In,
    40 => Beside, 41 => Over, 42 => Repeat, 43 => Decorative, 44 => OfInitials, 45 => Pseudo,
    46 => NothingElse, 47 => Unit, 48 => Point, 49 => NoPoint, 50 => OtherPiece, 51 => Filler,
    52 => Article, 53 => FalseFriend, 54 => Century, 55 => Early, 56 => Mid, 57 => Late, 58 => Before,
    59 => After, 62 => NotBefore, 63 => NotAfter, 60 => Numbered, 61 => Firm,
    64 => Yes, 65 => No, 66 => Pass, 67 => Asks,
    68 => Each, 69 => To, 71 => DateNoun, 72 => From, 73 => Between, 74 => Later, 75 => Earlier,
    76 => Onwards, 77 => AtLatest, 78 => AtEarliest, 79 => Cypher, 90 => Ordinal, 91 => Decade, 92 => Speaker,
    93 => NothingStated,
}
