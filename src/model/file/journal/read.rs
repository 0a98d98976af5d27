//! Reading a journal that an ended run left.

use super::record::{Begun, FORM, Header, Record, Records, begun, changed};
use super::{JournalError, MOST_BYTES};
use crate::model::file::{SCHEMA, access, from_text};
use crate::model::project::Project;
use chrono::{DateTime, FixedOffset};
use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Seek};
use std::path::{Path, PathBuf};

/// What an ended run did not save. It is held, so that no other window offers it too, until this is dropped.
#[derive(Debug)]
pub struct Left {
    /// The journal.
    pub path: PathBuf,
    file: File,
    /// What it says.
    pub said: Said,
}

/// What a journal says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The project file, by its whole path at the time; none when it was never saved.
    pub project: Option<PathBuf>,
    /// The user's name at the system; empty when it said none.
    pub user: String,
    /// The name of the machine; empty when it said none.
    pub machine: String,
    /// The document as it stood in the file; none when it was never saved.
    pub saved: Option<Project>,
    /// The document as it was on screen.
    pub now: Project,
    /// When it was changed last, by the clock of that machine.
    pub when: DateTime<FixedOffset>,
    /// How many edits led to it.
    pub edits: u32,
    /// What the last of them was called.
    pub last: String,
    /// Whether the end cannot be read, so that the last edits may be missing.
    pub cut: bool,
}

impl Left {
    pub(super) fn into_file(self) -> (PathBuf, File) {
        (self.path, self.file)
    }

    /// Removes it, with all that it holds.
    ///
    /// # Errors
    /// As the system reports; it is still there then.
    pub fn discard(self) -> io::Result<()> {
        fs::remove_file(&self.path)
    }
}

/// A journal that is open and held, with its bytes.
struct Held {
    file: File,
    bytes: Vec<u8>,
}

/// Opens and holds a journal; nothing where there is none, and where a living window writes it.
fn hold(path: &Path) -> io::Result<Option<Held>> {
    if path.is_symlink() || !path.is_file() {
        // Whatever it is, no window made it.
        return Ok(None);
    }
    // To go on with it, it has to be written too; what may only be read can still be offered.
    let opened = File::options().read(true).append(true).open(path).or_else(|_| File::open(path));
    let mut file = match opened {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(None),
        file => file?,
    };
    match file.try_lock() {
        // On a disk that knows no locks it cannot be told who has it.
        Ok(()) | Err(TryLockError::Error(_)) => {}
        Err(TryLockError::WouldBlock) => return Ok(None),
    }
    if !access::same_file(&file, path) {
        // It was replaced or removed in between, by a window that lives.
        return Ok(None);
    }
    let mut bytes = Vec::new();
    file.rewind()?;
    Read::by_ref(&mut file).take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(io::Error::new(
            io::ErrorKind::FileTooLarge,
            "this is larger than any project; it was left as it is",
        ));
    }
    Ok(Some(Held { file, bytes }))
}

/// Reads a journal and holds it. Nothing where there is none, where a living window writes it, and where nothing in it is
/// unsaved; it is cleared away then.
///
/// # Errors
/// Why nothing of it can be brought back; it is left as it is.
pub fn read(path: &Path) -> Result<Option<Left>, JournalError> {
    let at = |source| JournalError::Read { path: path.to_owned(), source };
    let Some(Held { file, bytes }) = hold(path).map_err(at)? else { return Ok(None) };
    if !bytes.is_empty() {
        let said = read_text(&bytes, path)?;
        if said.saved.as_ref() != Some(&said.now) {
            return Ok(Some(Left { path: path.to_owned(), file, said }));
        }
    }
    // A name that was taken and never written to, or one that could not be removed when all was saved.
    fs::remove_file(path).map_err(at)?;
    Ok(None)
}

/// Reads the bytes of a journal. `path` is only for messages.
///
/// # Errors
/// As [`read`].
pub fn read_text(bytes: &[u8], path: &Path) -> Result<Said, JournalError> {
    let spoiled = |why: String| JournalError::Spoiled { path: path.to_owned(), why };
    let (header, mut records) = opening(bytes, path)?;
    let (mut text, mut saved, mut last, mut cut) = (String::new(), None, None, false);
    for body in &mut records {
        let next = of_json::<Record<'_>>(body).ok();
        let Some((record, after)) = next.and_then(|r| Some((changed(&text, &r)?, r)).map(|(t, r)| (r, t)))
        else {
            // Whole by its own sum, and no change of what stands before it.
            cut = true;
            break;
        };
        text = after;
        match record.saved {
            true => saved = Some(text.clone()),
            false => last = Some((record.when, record.edits, record.last.into_owned())),
        }
    }
    let cut = cut || !records.is_done();
    let (when, edits, last) =
        last.ok_or_else(|| spoiled("it ends before its first whole change".to_owned()))?;
    let document = |text: &str| from_text(text, path).map_err(|why| spoiled(why.to_string()));
    Ok(Said {
        project: header.project.map(PathBuf::from),
        user: header.user,
        machine: header.machine,
        saved: saved.as_deref().map(document).transpose()?,
        now: document(&text)?,
        when,
        edits,
        last,
        cut,
    })
}

/// The header of a journal, and the records behind it.
fn opening<'a>(bytes: &'a [u8], path: &Path) -> Result<(Header, Records<'a>), JournalError> {
    let spoiled = |why: String| JournalError::Spoiled { path: path.to_owned(), why };
    let mut records = match begun(bytes) {
        Begun::Records(records) => records,
        Begun::Other(found) if found > FORM => {
            return Err(JournalError::Newer { path: path.to_owned(), found });
        }
        Begun::Other(_) | Begun::No => {
            return Err(spoiled("its beginning is spoiled, or it is something else".to_owned()));
        }
    };
    let first = records.next().ok_or_else(|| spoiled("its beginning is spoiled".to_owned()))?;
    let schema: Schema = of_json(first).map_err(spoiled)?;
    if schema.schema > SCHEMA {
        return Err(JournalError::Newer { path: path.to_owned(), found: schema.schema });
    }
    Ok((of_json(first).map_err(spoiled)?, records))
}

/// What is looked at before the rest of a header: a later version may have written things unknown here.
#[derive(serde::Deserialize)]
struct Schema {
    schema: u32,
}

fn of_json<'a, T: serde::Deserialize<'a>>(body: &'a [u8]) -> Result<T, String> {
    serde_json::from_slice(body).map_err(|why| format!("a record in it is none: {why}"))
}

/// The project file and the name in the header of a journal that nobody holds; nothing where there is none.
///
/// # Errors
/// As [`read`].
pub(super) fn glance(path: &Path) -> Result<Option<(Option<PathBuf>, String)>, JournalError> {
    let at = |source| JournalError::Read { path: path.to_owned(), source };
    let Some(held) = hold(path).map_err(at)? else { return Ok(None) };
    if held.bytes.is_empty() {
        // Looking at it as a whole clears it away.
        drop(held);
        return read(path).map(|_| None);
    }
    let (header, _) = opening(&held.bytes, path)?;
    Ok(Some((header.project.map(PathBuf::from), header.name)))
}
