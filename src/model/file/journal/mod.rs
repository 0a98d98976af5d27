//! What was changed and not saved, kept beside the project while it is on screen, for the day the program is ended.
//!
//! A journal holds the document as it stands in the file, and what became of it since. So nothing has to be taken on
//! trust: whoever reads it has the whole document, and knows whether the file is still the one that was changed. It is
//! locked by the window that writes it; one that nobody has locked was left by a run that ended before it saved.
//!
//! Beside `house.ron` it is `.house.ron.edits`. One that the user left for later keeps its name, and the next one is
//! `.house.ron.2.edits`. What was never saved, and what stands in a folder that cannot be written, is kept in the folder
//! that the system gives the program.

mod find;
mod pen;
mod read;
mod record;

pub use find::{Waiting, left_by, waiting};
pub use pen::{Now, Pen, Wanted};
pub use read::{Left, Said, read, read_text};

use super::disk::standing;
use super::{SCHEMA, Trouble};
use std::io;
use std::path::{Path, PathBuf};

/// How the names of journals end.
const ENDING: &str = "edits";
/// Journals beside one project. Each is one that was left for later.
const MOST_JOURNALS: u32 = 20;
/// Bytes of a journal that is read: the document twice, and as much again of changes.
const MOST_BYTES: u64 = 3 * super::MOST_BYTES;

/// Why a journal was not written or cannot be read. The text names it and says what to do.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// What is not saved could not be kept.
    #[error(
        "{path}: what is not saved could not be kept for the case that the program is ended: {}",
        Trouble::Writing(source)
    )]
    Write {
        /// The journal, or the folder it was to stand in.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// There is no folder for it.
    #[error(
        "what is not saved cannot be kept for the case that the program is ended, since the system gives it no folder; \
         save the project soon"
    )]
    NoFolder,
    /// The document could not be put into words.
    #[error(
        "what is not saved could not be kept for the case that the program is ended: {0}; save the project soon"
    )]
    Text(String),
    /// The file could not be read.
    #[error("{path}: {}", Trouble::Reading(source))]
    Read {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A later version of the program wrote it.
    #[error(
        "{path}: holds changes that a later version did not get to save (schema {found}, this one reads up to {SCHEMA}); \
         it was left as it is, open the project with that version"
    )]
    Newer {
        /// The journal.
        path: PathBuf,
        /// The number of its schema or its form.
        found: u32,
    },
    /// Nothing of it can be brought back.
    #[error(
        "{path}: holds changes that were not saved, and cannot be read: {why}; it was left as it is, remove it when \
         you no longer need it"
    )]
    Spoiled {
        /// The journal.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
}

/// Whether a file is a journal by its name.
pub fn is_one(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.starts_with('.') && path.extension().is_some_and(|ending| ending == ENDING)
}

/// The n-th name of a journal in a folder, for what is called so.
fn named(folder: &Path, of: &str, n: u32) -> PathBuf {
    let number = if n > 1 { format!(".{n}") } else { String::new() };
    folder.join(format!(".{of}{number}.{ENDING}"))
}

/// Names beside a project file.
fn beside_project(path: &Path) -> io::Result<impl Iterator<Item = PathBuf> + use<>> {
    let path = standing(path)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let folder = path.parent().unwrap_or(Path::new("")).to_owned();
    Ok((1..=MOST_JOURNALS).map(move |n| named(&folder, &name, n)))
}

/// The folder for journals in the one that the system gives the program.
fn own_folder(state: &Path) -> PathBuf {
    state.join("edits")
}
