//! The project file: RON with a schema number, written so that a crash leaves the old file or the new one whole.
//!
//! The only part of the model that touches the disk.

mod backup;
mod text;

pub use backup::KEPT_BACKUPS;
pub use text::{SCHEMA, from_text, to_text};

use super::project::Project;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Why a project could not be read or written. The text names the file and says what to do.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The disk refused.
    #[error("{path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
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
}

/// Reads a project.
///
/// # Errors
/// Names the file and the place of the fault; the file is never changed.
pub fn load(path: &Path) -> Result<(Project, Stamp), FileError> {
    let at = |source| FileError::Io { path: path.to_owned(), source };
    let bytes = fs::read(path).map_err(at)?;
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
/// Names the file; the old one is then still whole.
pub fn save(project: &Project, path: &Path, known: Option<&Stamp>) -> Result<Stamp, FileError> {
    if let Some(known) = known
        && Stamp::of(path).is_some_and(|now| now != *known)
    {
        return Err(FileError::ChangedOnDisk { path: path.to_owned() });
    }
    let at = |source| FileError::Io { path: path.to_owned(), source };
    backup::keep(path).map_err(at)?;
    write_whole(path, to_text(project).as_bytes()).map_err(at)?;
    Stamp::of(path).ok_or_else(|| at(io::ErrorKind::NotFound.into()))
}

/// Writes bytes so that the file is at every moment the old one or the new one.
///
/// # Errors
/// As the system reports; the old file is then untouched.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?.to_string_lossy();
    let beside = folder.join(format!(".{name}.{}.part", std::process::id()));
    let written = (|| {
        let mut file = File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&beside, path)
    })();
    if written.is_err() {
        // The half-written copy is of no use to anybody.
        let _ = fs::remove_file(&beside);
        return written;
    }
    // On systems where a folder cannot be opened for syncing the rename itself has to do.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}
