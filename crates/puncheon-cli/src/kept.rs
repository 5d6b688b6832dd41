//! Files that are written whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::out::Failure;

/// Bytes written at a time.
const BUFFER: usize = 1 << 16;

/// A file that takes its name only when it is whole. Dropped before that, it leaves nothing.
pub struct Kept {
    to: To,
    name: PathBuf,
}

enum To {
    /// Beside the name, until it is whole.
    Beside(BufWriter<NamedTempFile>),
    /// Into the pipe or device of that name, which must not be replaced.
    Straight(BufWriter<File>),
}

impl Kept {
    pub fn new(name: &Path) -> Result<Kept, Failure> {
        // Where the name is a link, what it leads to is written and the link stays.
        let name = fs::canonicalize(name).unwrap_or_else(|_| name.to_path_buf());
        let there = fs::metadata(&name).ok();
        if there.as_ref().is_some_and(|m| m.is_dir()) {
            return Err(folder(&name));
        }
        let to = if there.as_ref().is_some_and(|m| !m.is_file()) {
            let file = OpenOptions::new().write(true).open(&name);
            let file = file.map_err(|e| unusable(&name, &e))?;
            To::Straight(BufWriter::with_capacity(BUFFER, file))
        } else {
            let file = beside(&name, there.as_ref()).map_err(|e| unusable(&name, &e))?;
            To::Beside(BufWriter::with_capacity(BUFFER, file))
        };
        Ok(Kept { to, name })
    }

    /// Writes a whole text and gives the file its name.
    pub fn hold(mut self, text: &str) -> Result<(), Failure> {
        self.put(text)?;
        self.finish()?;
        self.keep()
    }

    /// Adds a text.
    pub fn put(&mut self, text: &str) -> Result<(), Failure> {
        let put = self.write_all(text.as_bytes());
        put.map_err(|e| unusable(&self.name, &e))
    }

    /// Sees to it that all that was written is on the disk, still without the name.
    pub fn finish(&mut self) -> Result<(), Failure> {
        let finished = match &mut self.to {
            To::Straight(file) => file.flush(),
            To::Beside(file) => file
                .flush()
                .and_then(|()| file.get_ref().as_file().sync_all()),
        };
        finished.map_err(|e| unusable(&self.name, &e))
    }

    /// What was written, to be read from its start.
    pub fn held(&self) -> Result<File, Failure> {
        let opened = match &self.to {
            To::Beside(file) => file.get_ref().reopen(),
            To::Straight(_) => File::open(&self.name),
        };
        opened.map_err(|e| unusable(&self.name, &e))
    }

    /// Gives the file its name, once it is finished.
    pub fn keep(self) -> Result<(), Failure> {
        let name = &self.name;
        let failed = |e: &io::Error| unusable(name, e);
        match self.to {
            To::Straight(_) => Ok(()),
            To::Beside(file) => {
                let file = file.into_inner().map_err(|e| failed(e.error()))?;
                file.persist(name).map_err(|e| failed(&e.error))?;
                Ok(())
            }
        }
    }
}

/// A file in the folder of a name, under a name of its own.
fn beside(name: &Path, there: Option<&fs::Metadata>) -> io::Result<NamedTempFile> {
    let folder = match name.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".puncheon-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // What the user's mask leaves, or what the file in its place has.
        let mode = there.map_or(0o666, |m| m.permissions().mode());
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    #[cfg(not(unix))]
    let _ = there;
    builder.tempfile_in(folder)
}

impl Write for Kept {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        match &mut self.to {
            To::Beside(f) => f.write(buf),
            To::Straight(f) => f.write(buf),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.to {
            To::Beside(f) => f.flush(),
            To::Straight(f) => f.flush(),
        }
    }
}

/// A file that cannot be read or written.
pub fn unusable(path: &Path, e: &io::Error) -> Failure {
    Failure::Misuse(format!("{}: {}", path.display(), plainly(e)))
}

/// A folder where a file is wanted.
pub fn folder(path: &Path) -> Failure {
    Failure::Misuse(format!(
        "{} is a folder\n  name a file in it",
        path.display()
    ))
}

/// What the system says is wrong, without its number.
fn plainly(e: &io::Error) -> String {
    let said = e.to_string();
    match said.split_once(" (os error") {
        Some((plain, _)) => plain.to_string(),
        None => said,
    }
}
