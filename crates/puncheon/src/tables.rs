//! The tables a reading is made from.

use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use once_cell::sync::Lazy;
use puncheon_schema::image::{Image, Meta};
use puncheon_schema::register::Register;
use puncheon_schema::sponsor::town_id;
use puncheon_schema::{Entries, Problem, expand, own, verify};

use crate::engine::books::Books;
use crate::engine::makers::register::Registers;
use crate::engine::place::{self, NoOffice, Place, towns};

/// Hallmark tables: the built-in ones, or those with a user's folder laid over them. They are a
/// value; any law can be tried on a table of three rows.
#[derive(Clone, Debug)]
pub struct Tables {
    image: Image,
    registers: Registers,
    overlay: Option<PathBuf>,
    register_file: Option<PathBuf>,
}

static BUILTIN: Lazy<Tables> = Lazy::new(|| Tables {
    image: Image::open(puncheon_tables::IMAGE),
    registers: Registers::new(Register::open(puncheon_tables::REGISTER)),
    overlay: None,
    register_file: None,
});

/// Why tables could not be used.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// A file or folder could not be read.
    Unreadable(PathBuf, std::io::Error),
    /// The tables do not agree with themselves; every problem is listed.
    Problems(Vec<Problem>),
    /// A user's own register could not be read.
    NoRegister(PathBuf, std::io::Error),
    /// Lines of a user's own register cannot be used; every one is listed.
    Register(Vec<Problem>),
    /// Sightings that cannot be read; what is wrong with them.
    Sightings(String),
    /// No office is called so.
    NoOffice {
        /// The name, as typed.
        asked: String,
        /// The office that is likeliest meant, if one is near.
        nearest: Option<String>,
        /// The offices that there are.
        offices: Vec<String>,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Error::Unreadable(path, e) => {
                write!(f, "{}: {e}; name a folder of .ron tables", path.display())
            }
            Error::NoRegister(path, e) => {
                write!(f, "{}: {e}; name a file of your own marks", path.display())
            }
            Error::Sightings(wrong) => write!(
                f,
                "the sightings cannot be read: {wrong}\n  make them with `sightings`, from these tables"
            ),
            Error::NoOffice { asked, nearest, offices } => {
                write!(f, "no office is called \"{asked}\"")?;
                if let Some(n) = nearest {
                    write!(f, "; the nearest is {n}")?;
                }
                write!(f, "\n  the offices are {}", offices.join(", "))
            }
            Error::Problems(list) | Error::Register(list) => {
                let place = match self {
                    Error::Problems(_) => "tables",
                    _ => "register",
                };
                write!(f, "{} in the {place}", count(list.len()))?;
                for p in list {
                    write!(f, "\n{p}")?;
                }
                Ok(())
            }
        }
    }
}

fn count(n: usize) -> String {
    if n == 1 { "1 problem".into() } else { format!("{n} problems") }
}

impl std::error::Error for Error {}

impl Tables {
    /// The built-in tables. They lie ready in the program; nothing is parsed.
    pub fn builtin() -> &'static Tables {
        &BUILTIN
    }

    /// The built-in tables with a user's folder laid over them, entry by entry.
    ///
    /// # Errors
    /// If the folder cannot be read, or the tables then break a rule.
    pub fn with_overlay(folder: &Path) -> Result<Tables, Error> {
        let (entries, mut problems, files) = with_files(Some(folder))?;
        // The built-in register is not parsed: it lies packed below the folder's own marks.
        let base = Register::open(puncheon_tables::REGISTER);
        let mut registers = Registers::new(base);
        let mut retired = Vec::new();
        problems.retain(|p| {
            let known = p.rule == "retired" && registers.has(&p.place);
            if known {
                retired.push(p.place.clone());
            }
            !known
        });
        // What the overlay leaves without a use below it is no fault of its keeper.
        let mine = |file: &str| files.iter().any(|(f, _)| f == file);
        let idle =
            |p: &Problem| matches!(p.rule.as_str(), "unused" | "unreached") && !mine(&p.file);
        let mut tables = Tables::from_entries(&entries, problems, idle)?;
        if !entries.sponsors.is_empty() || !retired.is_empty() {
            registers.lay(packed(&entries), retired);
        }
        tables.registers = registers;
        tables.overlay = Some(folder.to_path_buf());
        Ok(tables)
    }

    /// The entries these tables were made from, with the notes, rules and disputes that no row
    /// holds. They are read again from their texts.
    ///
    /// # Errors
    /// If the overlay cannot be read any more.
    pub fn entries(&self) -> Result<Entries, Error> {
        with_files(self.overlay.as_deref()).map(|(entries, ..)| entries)
    }

    /// Reads and proves these tables again from their texts: the built-in ones, with the overlay if
    /// there is one.
    ///
    /// # Errors
    /// If the overlay cannot be read, or the tables break a rule.
    pub fn reverify(&self) -> Result<Tables, Error> {
        match &self.overlay {
            Some(folder) => Tables::with_overlay(folder),
            None => {
                let register = puncheon_tables::SPONSOR_TEXTS.iter();
                Tables::from_files(puncheon_tables::TEXTS.iter().chain(register).copied())
            }
        }
    }

    /// Tables from files alone, none built in.
    ///
    /// # Errors
    /// If the tables break a rule.
    pub fn from_files<'a>(
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Tables, Error> {
        let (entries, problems) = Entries::read(files);
        Tables::from_entries(&entries, problems, |_| false)
    }

    fn from_entries(
        entries: &Entries,
        mut problems: Vec<Problem>,
        forgiven: impl Fn(&Problem) -> bool,
    ) -> Result<Tables, Error> {
        if problems.is_empty() {
            problems = verify::verify(entries);
            problems.retain(|p| !forgiven(p));
        }
        if !problems.is_empty() {
            return Err(Error::Problems(problems));
        }
        Ok(Tables {
            image: expand::expand(
                entries,
                &format!("{} with a folder of the user's", puncheon_version()),
            ),
            registers: Registers::new(packed(entries)),
            overlay: None,
            register_file: None,
        })
    }

    /// These tables with a user's own register over the built-in one: a file of `Sponsors([…])`, or
    /// a table with a head.
    ///
    /// # Errors
    /// If the file cannot be read, or a line of it cannot be used; every such line is named.
    pub fn with_register(&self, file: &Path) -> Result<Tables, Error> {
        let text = fs::read_to_string(file).map_err(|e| Error::NoRegister(file.into(), e))?;
        let name = file.display().to_string();
        let marks = own::read(&name, &text, &self.words()).map_err(Error::Register)?;
        let mut out = self.clone();
        out.registers.lay(Register::pack(&marks), None);
        out.register_file = Some(file.to_path_buf());
        Ok(out)
    }

    /// The words of the tables that a register may use.
    fn words(&self) -> own::Words {
        let image = &self.image;
        let offices = (0..image.meta(Meta::Offices)).map(|i| image.office(i).id().to_string());
        own::Words {
            offices: offices.chain(towns(image).map(town_id)).collect(),
            letterings: (0..image.meta(Meta::Letterings))
                .map(|i| image.lettering(i).id().to_string())
                .collect(),
            outlines: (0..image.meta(Meta::Outlines))
                .map(|i| image.outline_id(i).to_string())
                .collect(),
        }
    }

    /// These tables with another register in the built-in one's place, for measuring.
    #[doc(hidden)]
    pub fn with_other_register(&self, register: Register) -> Tables {
        Tables { registers: Registers::new(register), ..self.clone() }
    }

    /// The registers of sponsors' marks.
    pub fn registers(&self) -> &Registers {
        &self.registers
    }

    /// What an answer is looked up in.
    pub(crate) fn books(&self) -> Books<'_> {
        Books { image: &self.image, registers: &self.registers }
    }

    /// An office by its word, its name or any other name that the vocabulary has for it, in capitals
    /// or small letters.
    ///
    /// ```
    /// use puncheon::{Options, Tables, read};
    ///
    /// let tables = Tables::builtin();
    /// let mut options = Options::default();
    /// options.office = Some(tables.office("BIRMINGHAM")?);
    /// let reading = read(tables, "lion passant, small roman f, king's head", &options);
    /// assert!(reading.fits.iter().all(|f| f.office.as_deref() == Some("birmingham")));
    ///
    /// let wrong = tables.office("Brimingham").unwrap_err().to_string();
    /// assert!(wrong.contains("the nearest is birmingham"));
    /// # Ok::<(), puncheon::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NoOffice`] if no office is called so, or if the name holds more than an office. A
    /// slip of the pen is not mended: the error names the nearest.
    pub fn office(&self, name: &str) -> Result<Place, Error> {
        place::office(&self.image, name).map_err(|none| no_office(name, &none))
    }

    /// An office as [`Tables::office`], or a town without yearly letters, of which there may be makers.
    ///
    /// # Errors
    /// [`Error::NoOffice`] if there is neither.
    pub fn place(&self, name: &str) -> Result<Place, Error> {
        place::place(&self.image, name).map_err(|none| no_office(name, &none))
    }

    /// The file of the user's own register, if there is one.
    pub fn register_file(&self) -> Option<&Path> {
        self.register_file.as_deref()
    }

    /// The folder laid over the built-in tables, if there is one.
    pub fn overlay(&self) -> Option<&Path> {
        self.overlay.as_deref()
    }

    /// The packed tables.
    pub fn image(&self) -> &Image {
        &self.image
    }

    /// The tables' version.
    pub fn version(&self) -> &str {
        self.image.version()
    }
}

fn no_office(asked: &str, none: &NoOffice) -> Error {
    Error::NoOffice {
        asked: asked.to_string(),
        nearest: none.nearest.map(str::to_string),
        offices: none.offices.iter().map(|o| o.to_string()).collect(),
    }
}

fn packed(entries: &Entries) -> Register {
    Register::pack(entries.sponsors.iter().map(|f| &f.entry))
}

type Files = Vec<(String, String)>;

/// The built-in entries with those of a folder laid over them, and the folder's files.
fn with_files(folder: Option<&Path>) -> Result<(Entries, Vec<Problem>, Files), Error> {
    let (mut entries, mut problems) = Entries::read(puncheon_tables::TEXTS.iter().copied());
    let files = folder.map_or_else(|| Ok(Vec::new()), ron_files)?;
    problems.extend(entries.overlay(files.iter().map(|(f, t)| (f.as_str(), t.as_str()))));
    Ok((entries, problems, files))
}

fn puncheon_version() -> &'static str {
    env!("CARGO_PKG_VERSION")
}

/// Every .ron file below a folder, its path and its text.
///
/// # Errors
/// If the folder or a file cannot be read.
pub fn ron_files(folder: &Path) -> Result<Vec<(String, String)>, Error> {
    fn walk(root: &Path, folder: &Path, out: &mut Vec<(String, String)>) -> Result<(), Error> {
        let unreadable = |path: &Path| {
            let path = path.to_path_buf();
            move |e| Error::Unreadable(path, e)
        };
        for entry in fs::read_dir(folder).map_err(unreadable(folder))? {
            let path = entry.map_err(unreadable(folder))?.path();
            if path.is_dir() {
                walk(root, &path, out)?;
            } else if path.extension().is_some_and(|e| e == "ron") {
                let text = fs::read_to_string(&path).map_err(unreadable(&path))?;
                let name =
                    path.strip_prefix(root).unwrap_or(&path).to_string_lossy().replace('\\', "/");
                out.push((name, text));
            }
        }
        Ok(())
    }
    let mut out = Vec::new();
    walk(folder, folder, &mut out)?;
    out.sort();
    Ok(out)
}
