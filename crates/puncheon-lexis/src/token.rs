//! Folding a description and cutting it into tokens.
//!
//! Nothing here knows a hallmark. Offsets always point into the text as typed.

use std::ops::Range;

use puncheon_schema::image::{Image, Meta};

use crate::steps::{self, Counted};

/// A word, a number or a mark of punctuation.
#[derive(Clone, Copy, Debug)]
pub struct Token {
    /// Its first byte in the text as typed.
    pub start: usize,
    /// Past its last byte.
    pub end: usize,
    /// Range of the folded buffer.
    from: u32,
    to: u32,
    /// What it is.
    pub kind: TokenKind,
    /// Every letter was typed as a capital.
    pub upper: bool,
    /// It follows a space or the beginning.
    pub spaced: bool,
    /// A styled letter states its lettering.
    pub lettering: Option<u32>,
}

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TokenKind {
    /// Letters, perhaps with figures among them.
    Word,
    /// Digits, perhaps with a point: "18", ".925", "178.5".
    Number,
    /// One sign of punctuation, folded.
    Punct(char),
}

/// A description, folded and cut.
#[derive(Clone)]
pub struct Text<'t> {
    /// The description as typed.
    pub typed: &'t str,
    folded: String,
    /// Its tokens in order.
    pub tokens: Vec<Token>,
    /// Some letter was typed small: capitals mean something.
    pub has_small: bool,
}

/// Ways in which an apostrophe arrives. [`Text::cut`] looks for them by their first bytes.
const MANGLED: [&str; 8] =
    ["â€™", "&#39;", "&#x27;", "&apos;", "&rsquo;", "\\'", "''", "\u{2019}\u{2019}"];

impl<'t> Text<'t> {
    /// Folds a description and cuts it; `image` tells what its styled letters are.
    pub fn new(image: &Image, typed: &'t str) -> Text<'t> {
        let mut text = Text {
            typed,
            folded: String::with_capacity(typed.len() + 8),
            tokens: Vec::with_capacity(typed.len() / 4 + 4),
            has_small: false,
        };
        steps::cut();
        text.cut(image);
        text
    }

    /// Writes the decimal comma at the head of a token as a point.
    pub fn point(&mut self, t: &Token) {
        let head = t.from as usize..t.from as usize + 1;
        if self.folded.get(head.clone()) == Some(",") {
            self.folded.replace_range(head, ".");
        }
    }

    /// The token's folded form.
    pub fn word(&self, t: &Token) -> &str {
        &self.folded[t.from as usize..t.to as usize]
    }

    fn cut(&mut self, image: &Image) {
        let mut open: Option<Token> = None;
        let mut spaced = true;
        let mut chars = self.typed.char_indices().peekable();
        while let Some((at, c)) = chars.next() {
            steps::take(1);
            let (c, lettering) = if c.is_ascii() { (c, None) } else { fold(image, c) };
            // An apostrophe read in the wrong code page is several characters.
            let mangled = self.mangled(at).map_or(0, |m| m.chars().count() - 1);
            for _ in 0..mangled {
                chars.next();
            }
            let c = if mangled > 0 || c == '`' { '\'' } else { c };
            let end = chars.peek().map_or(self.typed.len(), |(i, _)| *i);
            let next = chars.peek().map(|(_, c)| *c);
            match c {
                '\u{0}' => {}
                _ if c.is_alphanumeric() => {
                    self.letter(&mut open, c, at..end, lettering, spaced);
                    spaced = false;
                }
                // An apostrophe inside a word goes; elsewhere it is a quote.
                '\'' if open.is_some() => {
                    if !next.is_some_and(char::is_alphanumeric) {
                        self.tokens.extend(open.take());
                    }
                }
                '.' | ',' if next.is_some_and(|n| n.is_ascii_digit()) => {
                    self.point_before_figures(&mut open, c, at..end, spaced);
                    spaced = false;
                }
                _ if c.is_whitespace() && c != '\n' => {
                    self.tokens.extend(open.take());
                    spaced = true;
                }
                _ => {
                    self.tokens.extend(open.take());
                    self.punct(c, at, end, spaced);
                    spaced = c == '\n';
                }
            }
        }
        self.tokens.extend(open.take());
        for t in &mut self.tokens {
            // "0.925" is ".925".
            if t.kind == TokenKind::Number
                && self.folded[t.from as usize..t.to as usize].starts_with("0.")
            {
                t.from += 1;
            }
        }
    }

    /// The way an apostrophe arrived here, if it is more than one character.
    fn mangled(&self, at: usize) -> Option<&'static str> {
        // Each begins with one of these bytes.
        match self.typed.as_bytes()[at] {
            b'&' | b'\\' | b'\'' | 0xc3 | 0xe2 => {
                MANGLED.into_iter().find(|m| self.typed[at..].starts_with(m))
            }
            _ => None,
        }
    }

    /// Adds a letter or figure to the word that is open, or opens one.
    fn letter(
        &mut self,
        open: &mut Option<Token>,
        c: char,
        at: Range<usize>,
        lettering: Option<u32>,
        spaced: bool,
    ) {
        let digit = c.is_ascii_digit();
        self.has_small |= c.is_lowercase();
        // A styled letter stands for itself and never grows into a word with its
        // neighbours in another style.
        let joins = open.as_ref().is_some_and(|t| t.lettering == lettering);
        if !joins && let Some(t) = open.take() {
            self.tokens.push(t);
        }
        let t = open.get_or_insert(Token {
            start: at.start,
            end: at.end,
            from: self.folded.len() as u32,
            to: 0,
            kind: if digit { TokenKind::Number } else { TokenKind::Word },
            upper: true,
            spaced,
            lettering,
        });
        t.end = at.end;
        if !digit {
            t.kind = TokenKind::Word;
            t.upper &= c.is_uppercase();
        }
        if c.is_ascii() {
            self.folded.push(c.to_ascii_lowercase());
        } else {
            self.folded.extend(c.to_lowercase());
        }
        t.to = self.folded.len() as u32;
    }

    /// A point or comma before a figure: inside a number, at the head of one, or a sign.
    fn point_before_figures(
        &mut self,
        open: &mut Option<Token>,
        c: char,
        at: Range<usize>,
        spaced: bool,
    ) {
        let in_number = open.as_ref().is_some_and(|t| t.kind == TokenKind::Number);
        let digits_follow =
            || self.typed[at.end..].bytes().counted().take_while(u8::is_ascii_digit).count();
        // "1,785" is one number; "18,925" is not.
        let thousands = || {
            digits_follow() == 3
                && open.as_ref().is_some_and(|t| {
                    t.end - t.start <= 3 && !self.typed[..t.start].ends_with([',', '.'])
                })
        };
        let opens_number = || {
            open.as_ref().is_none_or(|t| {
                self.typed[t.start..t.end].starts_with(|c: char| c.is_ascii_digit())
            })
        };
        if in_number && (c == '.' || thousands()) {
            self.folded.push(c);
            if let Some(t) = open.as_mut() {
                t.end = at.end;
                t.to = self.folded.len() as u32;
            }
        } else if c == '.' && opens_number() {
            self.tokens.extend(open.take());
            let from = self.folded.len() as u32;
            self.folded.push('.');
            *open = Some(Token {
                start: at.start,
                end: at.end,
                from,
                to: from + 1,
                kind: TokenKind::Number,
                upper: true,
                spaced,
                lettering: None,
            });
        } else {
            self.tokens.extend(open.take());
            self.punct(c, at.start, at.end, spaced);
        }
    }

    fn punct(&mut self, c: char, start: usize, end: usize, spaced: bool) {
        let from = self.folded.len() as u32;
        self.folded.push(c);
        self.tokens.push(Token {
            start,
            end,
            from,
            to: self.folded.len() as u32,
            kind: TokenKind::Punct(c),
            upper: false,
            spaced,
            lettering: None,
        });
    }
}

/// So many bytes at the end of a text, or fewer: enough to tell what stands before something.
pub fn end_of(text: &str, bytes: usize) -> &str {
    let far = text.len().saturating_sub(bytes);
    let whole = (far..).find(|at| text.is_char_boundary(*at));
    &text[whole.unwrap_or(text.len())..]
}

/// A character as it is read, and the lettering it states. NUL is nothing at all.
fn fold(image: &Image, c: char) -> (char, Option<u32>) {
    let plain = plain(c);
    if plain != c {
        return (plain, None);
    }
    for l in 0..image.meta(Meta::Letterings) {
        for upper in [true, false] {
            if let Some(k) = image.lettering(l).styled(upper).chars().position(|s| s == c) {
                let base = if upper { b'A' } else { b'a' };
                return (char::from(base + k as u8), Some(l as u32));
            }
        }
    }
    // The other mathematical alphabets run in blocks of capitals and small letters.
    if let Some(k) = (c as u32).checked_sub(0x1d400).filter(|k| *k < 13 * 52) {
        let k = (k % 52) as u8;
        return (char::from(if k < 26 { b'A' + k } else { b'a' + k - 26 }), None);
    }
    (c, None)
}

/// May the character be part of a word?
pub fn of_a_word(c: char) -> bool {
    plain(c).is_alphanumeric()
}

/// A character in the form that people mean by it; NUL is nothing at all.
fn plain(c: char) -> char {
    match c {
        '\u{200b}'..='\u{200f}'
        | '\u{2060}'
        | '\u{feff}'
        | '\u{ad}'
        | '\u{fe0e}'
        | '\u{fe0f}'
        | '\u{300}'..='\u{36f}' => '\0',
        '\u{a0}' | '\u{1680}' | '\u{2000}'..='\u{200a}' | '\u{202f}' | '\u{205f}' | '\u{3000}' => {
            ' '
        }
        '\u{2028}' | '\u{2029}' | '\u{85}' => '\n',
        '‘' | '’' | 'ʼ' | '′' | '´' | '‛' | '＇' | '\u{fffd}' => '\'',
        '“' | '”' | '„' | '«' | '»' | '″' => '"',
        '‐'..='―' | '−' => '-',
        '•' | '∙' | '●' | '◦' | '‣' => ';',
        'ſ' => 's',
        'À'..='Å' => 'A',
        'à'..='å' => 'a',
        'Ç' => 'C',
        'ç' => 'c',
        'È'..='Ë' => 'E',
        'è'..='ë' => 'e',
        'Ì'..='Ï' => 'I',
        'ì'..='ï' => 'i',
        'Ñ' => 'N',
        'ñ' => 'n',
        'Ò'..='Ö' | 'Ø' => 'O',
        'ò'..='ö' | 'ø' => 'o',
        'Ù'..='Ü' => 'U',
        'ù'..='ü' => 'u',
        '\u{ff01}'..='\u{ff5e}' => char::from_u32(c as u32 - 0xfee0).unwrap_or(c),
        _ => c,
    }
}

impl Token {
    /// Cuts a token whose folded word runs byte for byte alongside the typed one.
    pub fn split(self, at: usize) -> [Token; 2] {
        let mut a = self;
        let mut b = self;
        a.end = a.start + at;
        a.to = a.from + at as u32;
        b.start = a.end;
        b.from = a.to;
        b.spaced = false;
        [a, b]
    }

    /// Sets the kind by what the token is made of.
    pub fn of_kind(mut self, kind: TokenKind) -> Token {
        self.kind = kind;
        self
    }
}
