//! The small things every drawing is put together from.

use std::fmt::{self, Display, Write as _};

/// What is drawn and written in: one dark ink on white, so that nothing depends on colour.
pub const INK: &str = "#111";
/// For words of less weight; still seven to one against white.
pub const PALE: &str = "#444";

/// Text made safe for a document, in an element or an attribute.
pub struct Safe<'a>(pub &'a str);

impl Display for Safe<'_> {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        for c in self.0.chars() {
            match c {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                '\'' => f.write_str("&#39;")?,
                // No document may hold these, however they are written.
                '\t' | '\n' | '\r' => f.write_char(' ')?,
                c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {
                    f.write_char('\u{fffd}')?
                }
                c => f.write_char(c)?,
            }
        }
        Ok(())
    }
}

/// A number with at most two decimals.
pub struct Num(pub f64);

impl Display for Num {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let rounded = (self.0 * 100.0).round() / 100.0;
        // No "-0".
        write!(f, "{}", if rounded == 0.0 { 0.0 } else { rounded })
    }
}

/// How a piece of text is set.
#[derive(Clone, Copy)]
pub struct Type {
    pub size: f64,
    pub bold: bool,
    pub pale: bool,
    pub centred: bool,
}

impl Type {
    pub const fn of(size: f64) -> Type {
        Type { size, bold: false, pale: false, centred: false }
    }

    pub const fn bold(self) -> Type {
        Type { bold: true, ..self }
    }

    pub const fn pale(self) -> Type {
        Type { pale: true, ..self }
    }

    pub const fn centred(self) -> Type {
        Type { centred: true, ..self }
    }

    /// Writes one line with its baseline at y.
    pub fn line(self, out: &mut String, x: f64, y: f64, text: &str) {
        let _ = write!(
            out,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\"",
            Num(x),
            Num(y),
            Num(self.size),
            if self.pale { PALE } else { INK }
        );
        if self.bold {
            out.push_str(" font-weight=\"bold\"");
        }
        if self.centred {
            out.push_str(" text-anchor=\"middle\"");
        }
        let _ = writeln!(out, ">{}</text>", Safe(text));
    }

    /// Writes as many lines as a width needs, and gives the baseline below the last.
    pub fn lines(self, out: &mut String, x: f64, y: f64, width: f64, text: &str) -> f64 {
        let mut y = y;
        for line in self.cut(text, width) {
            self.line(out, x, y, &line);
            y += self.leading();
        }
        y
    }

    pub fn leading(self) -> f64 {
        self.size * 1.25
    }

    /// Cuts text into lines that surely fit: no font is at hand to measure with, so a letter is
    /// taken as wide as the common fonts have it.
    pub fn cut(self, text: &str, width: f64) -> Vec<String> {
        let most = (width / (self.size * 0.53)).floor().max(4.0) as usize;
        let mut lines: Vec<String> = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace() {
            let mut word = word.to_string();
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > most {
                lines.push(std::mem::take(&mut line));
            }
            while word.chars().count() > most {
                let rest = word.chars().skip(most - 1).collect();
                lines.push(word.chars().take(most - 1).chain(['-']).collect());
                word = rest;
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }
}

/// On paper a drawing keeps to one sheet, so that no row is cut in two.
const PRINT: &str = "@media print{svg{max-width:100%;max-height:98vh}}";

/// A whole document or figure round what was drawn.
pub fn document(width: f64, height: f64, title: &str, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" \
         height=\"{h}\" role=\"img\" aria-label=\"{t}\" font-family=\"sans-serif\">\n\
         <title>{t}</title>\n<style>{PRINT}</style>\n<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>\n{body}</svg>\n",
        w = Num(width),
        h = Num(height),
        t = Safe(title),
    )
}
