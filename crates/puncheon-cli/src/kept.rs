//! Files that are written whole or not at all, several of them together or none.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use tempfile::NamedTempFile;

use crate::out::{Failure, named};

/// Bytes written at a time.
const BUFFER: usize = 1 << 16;
/// How the names of files begin that stand beside others for a while.
const BESIDE: &str = ".puncheon-";

/// A file that takes its name only when it is whole. Dropped before that, it leaves nothing.
pub struct Kept {
    to: To,
    name: PathBuf,
    /// What stood in its place when that was read, where it is only to take the place of that.
    read: Option<Was>,
}

/// By what a file is known to be the one that was read, and unchanged.
#[derive(Clone, PartialEq)]
pub struct Was {
    length: u64,
    written: Option<SystemTime>,
    /// Device, number, and when anything about it changed: a time of writing can be set back.
    #[cfg(unix)]
    node: (u64, u64, i64, i64),
}

impl Was {
    pub fn of(m: &Metadata) -> Was {
        #[cfg(unix)]
        use std::os::unix::fs::MetadataExt;
        Was {
            length: m.len(),
            written: m.modified().ok(),
            #[cfg(unix)]
            node: (m.dev(), m.ino(), m.ctime(), m.ctime_nsec()),
        }
    }
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
        Ok(Kept { to, name, read: None })
    }

    /// The same, to stand in the place of a file that was read, if nobody changes that meanwhile.
    pub fn in_place(name: &Path, read: Was) -> Result<Kept, Failure> {
        let kept = Kept::new(name)?;
        Ok(Kept { read: Some(read), ..kept })
    }

    /// Writes a whole text and gives the file its name.
    pub fn hold(mut self, text: &str) -> Result<(), Failure> {
        self.put(text)?;
        keep(vec![self])
    }

    /// Adds a text.
    pub fn put(&mut self, text: &str) -> Result<(), Failure> {
        let put = self.write_all(text.as_bytes());
        put.map_err(|e| unusable(&self.name, &e))
    }

    /// Sees to it that all that was written is on the disk, still without the name.
    fn finish(&mut self) -> Result<(), Failure> {
        let finished = match &mut self.to {
            To::Straight(file) => file.flush(),
            To::Beside(file) => file.flush().and_then(|()| file.get_ref().as_file().sync_all()),
        };
        finished.map_err(|e| unusable(&self.name, &e))
    }

    /// What was written, to be read from its start.
    pub fn held(&mut self) -> Result<File, Failure> {
        self.finish()?;
        let opened = match &self.to {
            To::Beside(file) => file.get_ref().reopen(),
            To::Straight(_) => File::open(&self.name),
        };
        opened.map_err(|e| unusable(&self.name, &e))
    }

    /// An error if somebody changed what it is to replace.
    fn unchanged(&self) -> Result<(), Failure> {
        let is = fs::metadata(&self.name).ok().map(|m| Was::of(&m));
        if self.read.is_some() && self.read != is {
            return Err(Failure::Misuse(format!(
                "{} was changed by another while it was read\n  it is left so, and the result is not kept; run this again",
                named(&self.name)
            )));
        }
        Ok(())
    }

    /// Gives the file its name. What had that name is handed back if it is to be kept.
    fn take(self, keep_old: bool) -> Result<Option<Replaced>, Failure> {
        self.unchanged()?;
        let name = self.name;
        let To::Beside(file) = self.to else {
            return Ok(None);
        };
        let failed = |e: &io::Error| unusable(&name, e);
        let old = match fs::symlink_metadata(&name) {
            Ok(m) if m.is_dir() => return Err(folder(&name)),
            Ok(m) if keep_old => {
                let owner = owner(file.get_ref().as_file().metadata().ok().as_ref());
                Some(set_aside(&name, &m, owner).map_err(|e| failed(&e))?)
            }
            Ok(_) => None,
            Err(e) if e.kind() == ErrorKind::NotFound => None,
            Err(e) => return Err(failed(&e)),
        };
        let replaced = Replaced { name, old };
        let taken = file.into_inner().map_err(|e| e.into_error());
        let taken = taken.and_then(|f| f.persist(&replaced.name).map_err(|e| e.error));
        match taken {
            Ok(_) => Ok(Some(replaced)),
            Err(e) => {
                let failure = unusable(&replaced.name, &e);
                Err(with(failure, replaced.not_taken()))
            }
        }
    }
}

/// Gives files their names, all or none: where one cannot take its name, what the others replaced is
/// put back.
pub fn keep(mut files: Vec<Kept>) -> Result<(), Failure> {
    for file in &mut files {
        file.finish()?;
    }
    for file in &files {
        file.unchanged()?;
    }
    let last = files.len().saturating_sub(1);
    let mut replaced = Vec::new();
    for (i, file) in files.into_iter().enumerate() {
        // Behind the last nothing can fail, so what that replaces is not needed.
        match file.take(i < last) {
            Ok(r) => replaced.extend(r),
            Err(mut failure) => {
                for r in replaced.into_iter().rev() {
                    failure = with(failure, r.put_back());
                }
                return Err(failure);
            }
        }
    }
    Ok(())
}

/// A name that was taken, and what had it before.
struct Replaced {
    name: PathBuf,
    /// Goes when it is dropped.
    old: Option<NamedTempFile<()>>,
}

impl Replaced {
    /// The name could not be taken: it is given back where what had it was moved aside. Where that has
    /// it still, only the second name goes: of two names of one file, the one does not replace the
    /// other.
    fn not_taken(self) -> Option<String> {
        match (fs::symlink_metadata(&self.name), self.old) {
            (_, None) => None,
            (Ok(_), Some(old)) => second_name_gone(old, &self.name),
            (Err(_), old) => Replaced { old, ..self }.put_back(),
        }
    }

    /// Gives the name back. If it cannot be done, it is said where what had it is.
    fn put_back(self) -> Option<String> {
        let name = named(&self.name);
        match self.old {
            None => match fs::remove_file(&self.name) {
                Err(e) if e.kind() != ErrorKind::NotFound => {
                    Some(format!("{name} is new, and could not be removed: {}", plainly(&e)))
                }
                _ => None,
            },
            Some(old) => match old.persist(&self.name) {
                Ok(()) => None,
                Err(e) => {
                    let why = plainly(&e.error);
                    let at = e.file.path().to_path_buf();
                    let _ = e.file.keep();
                    Some(format!(
                        "what stood at {name} could not be put back ({why}); it is in {}",
                        named(&at)
                    ))
                }
            },
        }
    }
}

/// Takes away the second name of a file that still has its first. If it cannot be done, it is said
/// where that is.
fn second_name_gone(old: NamedTempFile<()>, name: &Path) -> Option<String> {
    let at = old.path().to_path_buf();
    let e = old.close().err()?;
    Some(format!(
        "{} is also called {}, which could not be removed: {}",
        named(name),
        named(&at),
        plainly(&e)
    ))
}

/// A failure with another line, if there is one.
fn with(failure: Failure, line: Option<String>) -> Failure {
    match (failure, line) {
        (Failure::Misuse(said), Some(line)) => Failure::Misuse(format!("{said}\n  {line}")),
        (failure, _) => failure,
    }
}

/// A second name for a file, in the same folder. Where the file system knows none, the file is moved,
/// and where a second name could not be removed again.
fn set_aside(name: &Path, old: &Metadata, owner: Option<u32>) -> io::Result<NamedTempFile<()>> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(BESIDE);
    let folder = folder_of(name);
    let linked = match removable(folder, old, owner) {
        true => builder.make_in(folder, |second| fs::hard_link(name, second)),
        false => Err(ErrorKind::PermissionDenied.into()),
    };
    linked.or_else(|_| builder.make_in(folder, |second| fs::rename(name, second)))
}

/// Who owns a file.
fn owner(file: Option<&Metadata>) -> Option<u32> {
    #[cfg(unix)]
    return file.map(std::os::unix::fs::MetadataExt::uid);
    #[cfg(not(unix))]
    return file.and(None);
}

/// May this user remove a name of a file from a folder in which files can be made? Where all share a
/// folder, as /tmp, only who owns the file or the folder may.
#[cfg(unix)]
fn removable(folder: &Path, file: &Metadata, user: Option<u32>) -> bool {
    use std::os::unix::fs::PermissionsExt;
    /// The bit of such a folder.
    const SHARED: u32 = 0o1000;
    let Ok(folder) = fs::metadata(folder) else {
        return true;
    };
    let shared = folder.permissions().mode() & SHARED != 0;
    !shared || [file, &folder].iter().any(|m| owner(Some(*m)) == user)
}

#[cfg(not(unix))]
fn removable(_: &Path, _: &Metadata, _: Option<u32>) -> bool {
    true
}

/// The folder in which a name stands.
fn folder_of(name: &Path) -> &Path {
    match name.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    }
}

/// A file in the folder of a name, under a name of its own.
fn beside(name: &Path, there: Option<&fs::Metadata>) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(BESIDE);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // What the user's mask leaves, or what the file in its place has.
        let mode = there.map_or(0o666, |m| m.permissions().mode());
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    #[cfg(not(unix))]
    let _ = there;
    builder.tempfile_in(folder_of(name))
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
    Failure::Misuse(format!("{}: {}", named(path), plainly(e)))
}

/// A folder where a file is wanted.
pub fn folder(path: &Path) -> Failure {
    Failure::Misuse(format!("{} is a folder\n  name a file in it", named(path)))
}

/// What the system says is wrong, without its number.
fn plainly(e: &io::Error) -> String {
    let said = e.to_string();
    match said.split_once(" (os error") {
        Some((plain, _)) => plain.to_string(),
        None => said,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_not_taken_is_the_only_one_again() {
        let dir = tempfile::tempdir().expect("a folder");
        let name = dir.path().join("old.csv");
        for moved in [false, true] {
            fs::write(&name, "old").expect("written");
            let there = fs::symlink_metadata(&name).expect("it is there");
            let owner = owner(Some(&there));
            let old = set_aside(&name, &there, owner).expect("a second name");
            if moved {
                fs::remove_file(&name).expect("removed");
            }
            let replaced = Replaced { name: name.clone(), old: Some(old) };
            assert_eq!(replaced.not_taken(), None);
            assert_eq!(fs::read_to_string(&name).expect("it is there"), "old");
            assert_eq!(fs::read_dir(dir.path()).expect("listed").count(), 1);
        }
    }
}
