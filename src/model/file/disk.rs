//! What writing a file asks of the disk, one method a step, so that a test can refuse any single one.

use super::access;
use std::ffi::OsString;
use std::fs::{self, File};
use std::hash::{BuildHasher, Hasher, RandomState};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The steps of writing. The disk of the system does each; a test refuses one and looks at what is left.
pub trait Disk {
    /// Writes a file of a name that nothing bears yet and waits until it is on the disk. With `like` it gets the owner
    /// and the permissions of that file, and at no moment more than these.
    ///
    /// # Errors
    /// As the system reports; there may be half a file then. A name that is taken is left as it is.
    fn write(&self, path: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<()> {
        let mut file = access::create(path, like)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Copies a file to a name that nothing bears yet, with its owner and permissions, and waits until it is on the
    /// disk.
    ///
    /// # Errors
    /// As [`Disk::write`].
    fn copy(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut old = File::open(from)?;
        let mut file = access::create(to, Some(from))?;
        io::copy(&mut old, &mut file)?;
        file.sync_all()
    }

    /// Gives a file another name; one that bore it is replaced.
    ///
    /// # Errors
    /// As the system reports; nothing has changed then.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    /// Adds to the end of a file that is open for it, and waits until it is on the disk.
    ///
    /// # Errors
    /// As the system reports; some of it may be there then.
    fn append(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)?;
        file.sync_data()
    }

    /// Removes what nobody needs.
    ///
    /// # Errors
    /// As the system reports.
    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    /// Keeps what a file holds under a second name, until the first one has been given to another.
    ///
    /// # Errors
    /// As [`Disk::copy`].
    fn keep(&self, from: &Path, to: &Path) -> io::Result<()> {
        // A second name costs nothing; where the file system has none, a copy does.
        fs::hard_link(from, to).or_else(|_| self.copy(from, to))
    }

    /// Makes a folder and those above it where they are missing.
    ///
    /// # Errors
    /// As the system reports.
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir_all(path)
    }
}

/// The disk of the system.
pub struct System;

impl Disk for System {}

/// A name beside a file for what is on its way there. No two are the same, and nobody can tell one beforehand.
pub fn beside(path: &Path, ending: &str) -> PathBuf {
    let chance = RandomState::new().build_hasher().finish();
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{}.{chance:016x}.{ending}", std::process::id()));
    path.with_file_name(name)
}

/// Whether a path is a name beside a file that [`beside`] could have given, of an ending.
pub(super) fn is_beside(path: &Path, other: &Path, ending: &str) -> bool {
    let begin = format!(".{}.", path.file_name().unwrap_or_default().to_string_lossy());
    let name = other.file_name().unwrap_or_default().to_string_lossy();
    let number = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_hexdigit());
    path.parent() == other.parent()
        && name.strip_prefix(&begin).is_some_and(|rest| {
            let parts: Vec<&str> = rest.split('.').collect();
            matches!(parts.as_slice(), [process, chance, end] if number(process) && number(chance) && *end == ending)
        })
}

/// What runs that were ended in the middle left beside a file, of the endings given.
pub(super) fn left_beside(path: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let begin = format!(".{}.", path.file_name().unwrap_or_default().to_string_lossy());
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let ours = |name: &str| {
        let parts: Vec<&str> = name.strip_prefix(&begin)?.split('.').collect();
        let (ending, numbers) = parts.split_last()?;
        // Before the name had chance in it, it was the number of the process alone.
        let number = |text: &&str| !text.is_empty() && text.chars().all(|c| c.is_ascii_hexdigit());
        (endings.contains(ending) && matches!(numbers.len(), 1 | 2) && numbers.iter().all(number))
            .then_some(())
    };
    let entries = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let mut found: Vec<PathBuf> =
        entries.filter(|e| ours(&e.file_name().to_string_lossy()).is_some()).map(|e| e.path()).collect();
    found.sort();
    found
}

/// Where a file really is: links are followed, one that leads to nothing yet too.
///
/// # Errors
/// Links that go round in circles.
pub fn real(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_owned();
    for _ in 0..40 {
        match fs::read_link(&at) {
            Ok(next) => at = at.parent().unwrap_or(Path::new("")).join(next),
            Err(_) => return Ok(at),
        }
    }
    Err(io::Error::other("this is a link that leads back to itself"))
}

/// The whole path of a file, the same from wherever it is named: through links, and from the root.
///
/// # Errors
/// Links that go round in circles, and a path that names no file. A folder that is not there is told of when it is written
/// to.
pub(super) fn standing(path: &Path) -> io::Result<PathBuf> {
    let real = real(path)?;
    let name = real.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let folder = real.parent().unwrap_or(Path::new(""));
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    Ok(match fs::canonicalize(folder) {
        Ok(folder) => folder.join(name),
        Err(_) => real,
    })
}

/// Renames in order; at a refusal those before it are taken back, so that every name is as it was. Only the last one
/// may replace a file.
pub(super) fn rename_all(disk: &dyn Disk, moves: &[(PathBuf, PathBuf)]) -> io::Result<()> {
    for (at, (from, to)) in moves.iter().enumerate() {
        if let Err(refused) = disk.rename(from, to) {
            for (from, to) in moves[..at].iter().rev() {
                // When this is refused too, what it holds is still there under its new name.
                let _ = disk.rename(to, from);
            }
            return Err(refused);
        }
    }
    Ok(())
}

/// Waits until the names in a folder are on the disk. Where a folder cannot be opened for that, the renames themselves
/// have to do.
pub fn sync_folder(folder: &Path) {
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
