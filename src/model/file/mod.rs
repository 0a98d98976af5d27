//! The project file: RON with a schema number, written so that a crash leaves the old file or the new one whole.
//!
//! The only part of the model that touches the disk.

mod access;
mod backup;
mod disk;
pub mod journal;
mod lock;
pub mod set;
mod text;
mod trouble;

pub use backup::KEPT_BACKUPS;
pub use disk::{Disk, System, beside, real, sync_folder};
pub use lock::{Holder, Lock, LockError};
pub use text::{MINOR, SCHEMA, from_text, to_text};
pub use trouble::Trouble;

use super::project::Project;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Why a project could not be read or written. The text names the file and says what to do.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file could not be read.
    #[error("{path}: {}", Trouble::Reading(source))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file could not be written.
    #[error("{path}: {}", Trouble::Writing(source))]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The document could not be put into words.
    #[error("{path}: the project could not be written as text: {source}; the file was left as it is")]
    Text {
        /// The file.
        path: PathBuf,
        /// Why not.
        source: ron::Error,
    },
    /// The text is no project. Line and column count from one.
    #[error("{path}: line {line}, column {column}: {message}")]
    Syntax {
        /// The file.
        path: PathBuf,
        /// The line.
        line: usize,
        /// The column.
        column: usize,
        /// What was expected.
        message: String,
    },
    /// A later version of the program wrote it.
    #[error(
        "{path}: written by a later version (schema {found}, this one reads up to {SCHEMA}); it was left as it is, open it with that version"
    )]
    NewerSchema {
        /// The file.
        path: PathBuf,
        /// Its schema number.
        found: u32,
    },
    /// The document breaks its own rules.
    #[error("{path}: {}", faults.join("\n"))]
    Faults {
        /// The file.
        path: PathBuf,
        /// What is wrong, one thing each.
        faults: Vec<String>,
    },
    /// A file that cannot be read, with earlier versions beside it.
    #[error(
        "{fault}\nearlier versions are beside it: {versions}; copy one to a name of its own that ends in .ron, and open the copy"
    )]
    WithVersions {
        /// What is wrong with the file.
        fault: Box<FileError>,
        /// Their names and days.
        versions: String,
    },
    /// Somebody else has it open to change it.
    #[error(transparent)]
    Locked(#[from] LockError),
    /// Somebody else changed the file since it was opened.
    #[error("{path}: changed on disk since it was opened; save under another name, or open it again")]
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
}

/// What a file looked like when it was last read or written, to notice a change by someone else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    modified: Option<SystemTime>,
    length: u64,
}

impl Stamp {
    /// The stamp of a file now; `None` when there is none.
    pub fn of(path: &Path) -> Option<Stamp> {
        let data = fs::metadata(path).ok()?;
        Some(Stamp { modified: data.modified().ok(), length: data.len() })
    }

    /// When it was written, where the system says it.
    pub fn written(&self) -> Option<SystemTime> {
        self.modified
    }
}

/// Largest project file that is read: a project of 100,000 parts takes a fifth of it.
pub const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// Reads a file that somebody names, which may be anything: a folder, a file without end, one larger than the memory.
///
/// # Errors
/// As the system reports, or in words what else it is and what to do.
pub fn read_at_most(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    if path.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "this is a folder; choose a file"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let words = format!(
            "this has more than {} MB, which nothing needs that is read here; it was left as it is",
            most / 1024 / 1024
        );
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, words));
    }
    Ok(bytes)
}

/// Reads a project.
///
/// # Errors
/// Names the file and the place of the fault, and earlier versions where there are some; the file is never changed.
pub fn load(path: &Path) -> Result<(Project, Stamp), FileError> {
    read(path).map_err(|fault| match backup::in_words(path) {
        Some(versions) if !matches!(fault, FileError::NewerSchema { .. }) => {
            FileError::WithVersions { fault: Box::new(fault), versions }
        }
        _ => fault,
    })
}

fn read(path: &Path) -> Result<(Project, Stamp), FileError> {
    let at = |source| FileError::Read { path: path.to_owned(), source };
    let bytes = read_at_most(path, MOST_BYTES).map_err(at)?;
    let stamp = Stamp::of(path).ok_or_else(|| at(io::ErrorKind::NotFound.into()))?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        FileError::Syntax {
            path: path.to_owned(),
            line: good.iter().filter(|b| **b == b'\n').count() + 1,
            column: good.iter().rev().take_while(|b| **b != b'\n').count() + 1,
            message: "this is not UTF-8 text".to_owned(),
        }
    })?;
    Ok((from_text(&text, path)?, stamp))
}

/// Writes a project: beside the file, to the disk, then in its place. The last few versions are kept.
///
/// `known` is the stamp from reading or the last save; with it, a file that someone else changed is not overwritten.
///
/// # Errors
/// Names the file; the old one and its earlier versions are then still whole.
pub fn save(project: &Project, path: &Path, known: Option<&Stamp>) -> Result<Stamp, FileError> {
    save_on(&System, project, path, known)
}

/// As [`save`], on a disk of the caller's choice.
///
/// # Errors
/// As [`save`].
pub fn save_on(
    disk: &dyn Disk,
    project: &Project,
    path: &Path,
    known: Option<&Stamp>,
) -> Result<Stamp, FileError> {
    if let Some(known) = known
        && Stamp::of(path).is_some_and(|now| now != *known)
    {
        return Err(FileError::ChangedOnDisk { path: path.to_owned() });
    }
    let at = |source| FileError::Write { path: path.to_owned(), source };
    let text = to_text(project).map_err(|source| FileError::Text { path: path.to_owned(), source })?;
    write_keeping(disk, path, text.as_bytes()).map_err(at)?;
    Stamp::of(path).ok_or_else(|| at(io::ErrorKind::NotFound.into()))
}

/// Writes the new file and the version to be kept beside their places. Only when both are whole names change.
fn write_keeping(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    let path = &place(path)?;
    let (new, copy) = (beside(path, "part"), beside(path, "bak"));
    let there = path.exists().then_some(path.as_path());
    let (mut moves, oldest) = there.map_or((Vec::new(), None), |path| backup::moves(path, &copy));
    moves.push((new.clone(), path.clone()));
    let done = disk
        .write(&new, bytes, there)
        .and_then(|()| there.map_or(Ok(()), |path| disk.copy(path, &copy)))
        .and_then(|()| disk::rename_all(disk, &moves));
    // What is left over on the way is of no use to anybody.
    match &done {
        Ok(()) => oldest.iter().for_each(|oldest| drop(disk.remove(oldest))),
        Err(_) => [new, copy].iter().for_each(|half| drop(disk.remove(half))),
    }
    path.parent().into_iter().for_each(sync_folder);
    done
}

/// Where what is written for a path goes, when it may be written there: to what a link leads to.
///
/// # Errors
/// As the system reports, or in words: a link in circles, a folder, a device, a file that is set to read-only.
pub fn place(path: &Path) -> io::Result<PathBuf> {
    path.file_name()
        .ok_or_else(|| io::Error::new(io::ErrorKind::InvalidInput, "this names no file; choose one"))?;
    let real = real(path)?;
    access::may_replace(&real)?;
    Ok(real)
}

/// Writes bytes so that the file is at every moment the old one or the new one.
///
/// # Errors
/// As the system reports; the old file is then untouched.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_whole_on(&System, path, bytes)
}

/// As [`write_whole`], on a disk of the caller's choice.
///
/// # Errors
/// As [`write_whole`].
pub fn write_whole_on(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    let path = &place(path)?;
    let beside = beside(path, "part");
    let there = path.exists().then_some(path.as_path());
    let written = disk.write(&beside, bytes, there).and_then(|()| disk.rename(&beside, path));
    if written.is_err() {
        // The half-written copy is of no use to anybody.
        let _ = disk.remove(&beside);
    }
    path.parent().into_iter().for_each(sync_folder);
    written
}

/// Copies a file so that there is never half of it under its new name, which nothing bears yet.
///
/// # Errors
/// As the system reports; nothing of it is there then.
pub fn copy_whole(disk: &dyn Disk, from: &Path, to: &Path) -> io::Result<()> {
    let beside = beside(to, "part");
    let copied = disk.copy(from, &beside).and_then(|()| disk.rename(&beside, to));
    if copied.is_err() {
        let _ = disk.remove(&beside);
    }
    to.parent().into_iter().for_each(sync_folder);
    copied
}
