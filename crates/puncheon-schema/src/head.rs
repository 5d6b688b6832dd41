//! The head of a table: the first line, which names the columns.
//!
//! Every table that a person hands over is read by this one rule: a register of makers, a list of
//! pieces to value, a catalogue.

/// The byte order mark of UTF-8, which may stand before a head and is no part of its first name.
pub const BOM: &[u8] = b"\xef\xbb\xbf";

/// What may stand between two fields; of those that stand equally often, the first.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// Finds what stands between the fields, in a text that may be read piece by piece.
#[derive(Clone, Debug, Default)]
pub struct Delimiter {
    counts: [usize; DELIMITERS.len()],
    quoted: bool,
    looked: usize,
    ended: bool,
}

impl Delimiter {
    /// The delimiter of a whole text: of comma, semicolon, tab and bar the one that stands most often
    /// in its first line outside quotes, and a comma where none does.
    pub fn of(text: &[u8]) -> u8 {
        Delimiter::default().find(text)
    }

    /// The delimiter by as much of the text as was read; what an earlier call looked at is not looked
    /// at again.
    pub fn find(&mut self, text: &[u8]) -> u8 {
        for b in text.iter().skip(self.looked) {
            if self.ended {
                break;
            }
            self.looked += 1;
            match b {
                b'"' => self.quoted = !self.quoted,
                b'\n' if !self.quoted => self.ended = true,
                b if !self.quoted => {
                    if let Some(i) = DELIMITERS.iter().position(|d| d == b) {
                        self.counts[i] += 1;
                    }
                }
                _ => {}
            }
        }
        let most = self.counts.iter().max();
        let first = self.counts.iter().position(|c| Some(c) == most);
        DELIMITERS[first.unwrap_or_default()]
    }

    /// How many bytes were looked at.
    pub fn looked(&self) -> usize {
        self.looked
    }
}

/// The names of the columns, in order, as they are written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head(Vec<String>);

/// Why a column cannot be found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub remedy: String,
}

impl Head {
    /// A head of these names, without their quotes.
    pub fn new<N: Into<String>>(names: impl IntoIterator<Item = N>) -> Head {
        Head(names.into_iter().map(Into::into).collect())
    }

    /// The names as they are written.
    pub fn names(&self) -> &[String] {
        &self.0
    }

    /// The columns of any of these names, in their order. Capitals and blanks tell no names apart.
    pub fn all(&self, wanted: &[&str]) -> Vec<usize> {
        let wanted: Vec<String> = wanted.iter().map(|w| folded(w)).collect();
        (0..self.0.len()).filter(|i| wanted.contains(&folded(&self.0[*i]))).collect()
    }

    /// The one column of a name. Of several that differ in capitals or blanks alone, it is the one
    /// written just so.
    ///
    /// # Errors
    /// If no column is called so, or more than one.
    pub fn find(&self, wanted: &str) -> Result<usize, Refused> {
        let exact: Vec<usize> = (0..self.0.len()).filter(|i| self.0[*i] == wanted).collect();
        match (exact.as_slice(), self.all(&[wanted]).as_slice()) {
            ([one], _) | ([], [one]) => Ok(*one),
            ([], []) => Err(Refused {
                wrong: format!("no column is called \"{wanted}\""),
                remedy: format!("the columns are {}", quoted(&self.0)),
            }),
            _ => Err(twice(wanted)),
        }
    }

    /// Holds each name to stand once.
    ///
    /// # Errors
    /// If two columns have one name.
    pub fn each_once(&self) -> Result<(), Refused> {
        let twin = self.0.iter().find(|n| self.all(&[n]).len() > 1);
        twin.map_or(Ok(()), |name| Err(twice(name.trim())))
    }
}

/// Names in quotes, with commas between.
pub fn quoted<'n>(names: impl IntoIterator<Item = &'n String>) -> String {
    let names: Vec<String> = names.into_iter().map(|n| format!("\"{n}\"")).collect();
    names.join(", ")
}

fn twice(name: &str) -> Refused {
    Refused {
        wrong: format!("more than one column is called \"{name}\""),
        remedy: "give them names of their own".to_string(),
    }
}

/// A name as names are told apart: in small letters, with one blank between its words.
pub fn folded(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn delimiters_are_found() {
        for (head, delimiter) in [
            ("a,b\n", b','),
            ("a;b;c,d\n", b';'),
            ("a\tb\n", b'\t'),
            ("a|b\n", b'|'),
            ("one\n", b','),
            ("a,b;c\n;;;;\n", b','),
            ("\"a;b;c\",d\n", b','),
            ("\"a\n;;\",b\n", b','),
        ] {
            assert_eq!(Delimiter::of(head.as_bytes()), delimiter, "{head}");
            let mut piecewise = Delimiter::default();
            for i in 0..=head.len() {
                piecewise.find(&head.as_bytes()[..i]);
            }
            assert_eq!(piecewise.find(head.as_bytes()), delimiter, "{head}");
        }
    }

    #[test]
    fn a_name_is_found_whatever_its_capitals_and_blanks() {
        let head = Head::new([" Marks ", "MARKS", "marks", "Gross  weight", "ÉTAT"]);
        assert_eq!(head.find("marks"), Ok(2));
        assert_eq!(head.find("gross weight"), Ok(3));
        assert_eq!(head.find("état"), Ok(4));
        assert_eq!(head.all(&["état", "marks"]), [0, 1, 2, 4]);
        let none = head.find("date").expect_err("there is none");
        assert_eq!(none.wrong, "no column is called \"date\"");
        assert!(none.remedy.contains("\"Gross  weight\""), "{}", none.remedy);
        let several = head.find("Marks").expect_err("there are several");
        assert_eq!(several.wrong, "more than one column is called \"Marks\"");
        assert!(head.each_once().is_err());
        assert!(Head::new(["a", "b"]).each_once().is_ok());
    }
}
