//! Writing a journal: an edit is appended, and all of it is written anew where that cannot be.

use super::record::{self, Header, Record, change, framed};
use super::{JournalError, Left, beside_project, named, own_folder};
use crate::model::file::disk::{Disk, beside, standing, sync_folder};
use crate::model::file::{Holder, SCHEMA, access, to_text};
use crate::model::project::Project;
use chrono::{DateTime, FixedOffset};
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Journals in the folder of the program.
const MOST_OWN: u32 = 200;
/// Letters of a project's name in names of that folder, where another file system may take fewer than beside it.
const MOST_LETTERS: usize = 40;
/// Bytes of changes that are appended even to a small project before all is written anew.
const LEAST_CHANGES: usize = 64 * 1024;

/// A document that is not saved.
#[derive(Debug, Clone)]
pub struct Now {
    /// The document.
    pub project: Arc<Project>,
    /// When it was changed last.
    pub when: DateTime<FixedOffset>,
    /// How many edits led to it since the file.
    pub edits: u32,
    /// What the last of them was called.
    pub last: String,
}

/// What a journal should hold.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// The project file; nowhere yet for a new project.
    pub path: Option<PathBuf>,
    /// The document as it stands in the file.
    pub saved: Option<Arc<Project>>,
    /// What is not saved; nothing when all is.
    pub now: Option<Now>,
}

/// Writes the journal of one document, and holds it.
pub struct Pen {
    disk: Box<dyn Disk + Send>,
    /// The folder of the program, for what cannot stand beside its project.
    state: Option<PathBuf>,
    open: Option<Open>,
}

/// A journal that is held.
struct Open {
    path: PathBuf,
    file: File,
    /// What it was made for: the project file and the document in it.
    of: Option<PathBuf>,
    saved: Option<Arc<Project>>,
    /// The text it ends with.
    text: String,
    /// Bytes of changes in it, and how many of them may be.
    changes: usize,
    most: usize,
    /// Whether more may be appended: it ends with a whole record.
    whole: bool,
}

impl Pen {
    /// A pen that has written nothing yet.
    pub fn new(disk: Box<dyn Disk + Send>, state: Option<PathBuf>) -> Pen {
        Pen { disk, state, open: None }
    }

    /// Goes on with a journal that an ended run left of a project file, or of nowhere: it is written anew with the next
    /// edit, elsewhere when that is of another file, or removed when nothing is unsaved.
    pub fn adopt(&mut self, left: Left, of: Option<PathBuf>) {
        let (path, file) = left.into_file();
        let (text, changes, most, whole) = (String::new(), 0, 0, false);
        self.open = Some(Open { path, file, of, saved: None, text, changes, most, whole });
    }

    /// The journal that is held.
    pub fn path(&self) -> Option<&Path> {
        self.open.as_ref().map(|open| open.path.as_path())
    }

    /// Lets go of the journal, as the end of the process would.
    pub fn put_down(&mut self) {
        self.open = None;
    }

    /// Brings the journal to what it should hold, and waits until that is on the disk. Where nothing is unsaved there is
    /// none.
    ///
    /// # Errors
    /// Why what is not saved could not be kept. What the journal held before is still there.
    pub fn bring(&mut self, wanted: &Wanted) -> Result<(), JournalError> {
        let unsaved = |now: &&Now| wanted.saved.as_ref().is_none_or(|saved| *saved != now.project);
        let Some(now) = wanted.now.as_ref().filter(unsaved) else {
            self.remove();
            return Ok(());
        };
        let text = to_text(&now.project).map_err(|why| JournalError::Text(why.to_string()))?;
        if self.append(wanted, now, &text)? { Ok(()) } else { self.anew(wanted, now, text) }
    }

    /// Adds what changed; false where the journal has to be written anew.
    fn append(&mut self, wanted: &Wanted, now: &Now, text: &str) -> Result<bool, JournalError> {
        let Some(open) = &mut self.open else { return Ok(false) };
        let same = |a: &Option<Arc<Project>>, b: &Option<Arc<Project>>| match (a, b) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (a, b) => a.is_none() && b.is_none(),
        };
        let fits = open.whole && open.of == wanted.path && same(&open.saved, &wanted.saved);
        if !fits || !access::same_file(&open.file, &open.path) {
            return Ok(false);
        }
        let bytes = recorded(now, &open.text, text, false)?;
        if open.changes + bytes.len() > open.most {
            return Ok(false);
        }
        // Should it break off in the middle, nothing may be added behind it.
        open.whole = false;
        if let Err(why) = self.disk.append(&mut open.file, &bytes) {
            log::info!("{}: {why}", open.path.display());
            return Ok(false);
        }
        open.whole = true;
        open.changes += bytes.len();
        text.clone_into(&mut open.text);
        Ok(true)
    }

    /// Writes all of it: in place of the one that is held, else beside the project, else in the folder of the program.
    fn anew(&mut self, wanted: &Wanted, now: &Now, text: String) -> Result<(), JournalError> {
        let before = match &wanted.saved {
            Some(saved) => to_text(saved).map_err(|why| JournalError::Text(why.to_string()))?,
            None => String::new(),
        };
        let mut bytes = record::mark();
        bytes.extend(framed(&header(wanted, now)).map_err(|why| JournalError::Text(why.to_string()))?);
        if wanted.saved.is_some() {
            bytes.extend(recorded(now, "", &before, true)?);
        }
        bytes.extend(recorded(now, &before, &text, false)?);
        let (path, file) = self.place(wanted, &bytes)?;
        let old = self.open.take();
        if let Some(old) = old.filter(|old| old.path != path) {
            self.discard(&old);
        }
        self.open = Some(Open {
            path,
            file,
            of: wanted.path.clone(),
            saved: wanted.saved.clone(),
            changes: 0,
            most: text.len().max(LEAST_CHANGES),
            text,
            whole: true,
        });
        Ok(())
    }

    /// Writes the bytes where they belong, and gives the path with the file, which is held.
    fn place(&mut self, wanted: &Wanted, bytes: &[u8]) -> Result<(PathBuf, File), JournalError> {
        let project = wanted.path.as_deref().and_then(|path| standing(path).ok());
        let like = project.as_deref().filter(|path| path.exists());
        let mut refused = None;
        if let Some(open) = &self.open
            && open.of == wanted.path
            && access::same_file(&open.file, &open.path)
        {
            // The name of the project is in that of what is on its way, so that whoever holds the project next clears
            // away what an ended run leaves.
            let near = project.as_deref().filter(|p| p.parent() == open.path.parent()).unwrap_or(&open.path);
            match replace(&*self.disk, &open.path, near, bytes, Some(&open.path)) {
                Ok(file) => return Ok((open.path.clone(), file)),
                Err(why) => refused = Some(JournalError::Write { path: open.path.clone(), source: why }),
            }
        }
        if let Some(path) = &project {
            let folder = path.parent().unwrap_or(Path::new("")).to_owned();
            match beside_project(path).and_then(|mut names| claim(&*self.disk, &mut names, path, bytes, like))
            {
                Ok(placed) => return Ok(placed),
                Err(why) => refused = refused.or(Some(JournalError::Write { path: folder, source: why })),
            }
        }
        if let Some(state) = &self.state {
            let folder = own_folder(state);
            let name = project.as_deref().and_then(Path::file_name).unwrap_or("unsaved".as_ref());
            let name: String = name.to_string_lossy().chars().take(MOST_LETTERS).collect();
            let near = folder.join(&name);
            let mut names = (1..=MOST_OWN).map(|n| named(&folder, &name, n));
            let placed = private(&*self.disk, &folder)
                .and_then(|()| claim(&*self.disk, &mut names, &near, bytes, None));
            match placed {
                Ok(placed) => return Ok(placed),
                Err(why) => refused = refused.or(Some(JournalError::Write { path: folder, source: why })),
            }
        }
        Err(refused.unwrap_or(JournalError::NoFolder))
    }

    /// Removes the journal that is held: nothing is unsaved.
    fn remove(&mut self) {
        if let Some(open) = self.open.take() {
            self.discard(&open);
        }
    }

    /// One that cannot be removed is told from unsaved work by what it holds, when it is found.
    fn discard(&self, old: &Open) {
        if access::same_file(&old.file, &old.path)
            && let Err(why) = self.disk.remove(&old.path)
        {
            log::info!("{}: {why}", old.path.display());
        }
    }
}

/// Who writes, and of what.
fn header(wanted: &Wanted, now: &Now) -> Header {
    let me = Holder::me(true);
    let whole = |path: &PathBuf| standing(path).unwrap_or(path.clone()).to_string_lossy().into_owned();
    Header {
        schema: SCHEMA,
        project: wanted.path.as_ref().map(whole),
        name: now.project.settings.name.clone(),
        user: me.user,
        machine: me.machine,
        process: me.process,
    }
}

/// The record that leads from one text to another.
fn recorded(now: &Now, before: &str, after: &str, saved: bool) -> Result<Vec<u8>, JournalError> {
    let (keep, gone, text) = change(before, after);
    let record = Record {
        saved,
        when: now.when,
        edits: if saved { 0 } else { now.edits },
        last: if saved { "" } else { now.last.as_str() }.into(),
        keep,
        gone,
        text: text.into(),
        sum: record::sum(after.as_bytes()),
    };
    framed(&record).map_err(|why| JournalError::Text(why.to_string()))
}

/// Takes the first name that nothing bears, and writes the bytes there.
fn claim(
    disk: &dyn Disk,
    names: &mut dyn Iterator<Item = PathBuf>,
    near: &Path,
    bytes: &[u8],
    like: Option<&Path>,
) -> io::Result<(PathBuf, File)> {
    for path in names {
        match disk.write(&path, b"", like) {
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists => {}
            done => {
                let written = done.and_then(|()| replace(disk, &path, near, bytes, like));
                if written.is_err() && fs::metadata(&path).is_ok_and(|data| data.len() == 0) {
                    // Nothing came of the name that was taken.
                    let _ = disk.remove(&path);
                }
                return written.map(|file| (path, file));
            }
        }
    }
    Err(io::Error::other("there are too many records of changes here that were left for later"))
}

/// Writes bytes beside a name, on their way under one like that of `near`, and gives them the name when they are whole
/// and held.
fn replace(disk: &dyn Disk, path: &Path, near: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<File> {
    let half = beside(near, "part");
    let written = disk.write(&half, bytes, like).and_then(|()| {
        let file = File::options().read(true).append(true).open(&half)?;
        match file.try_lock() {
            // On a disk that knows no locks nobody else knows of one either.
            Ok(()) | Err(TryLockError::Error(_)) => {}
            Err(TryLockError::WouldBlock) => return Err(io::ErrorKind::ResourceBusy.into()),
        }
        disk.rename(&half, path)?;
        Ok(file)
    });
    if written.is_err() {
        let _ = disk.remove(&half);
    }
    path.parent().into_iter().for_each(sync_folder);
    written
}

/// Makes the folder of journals, for this user alone: what they hold may be for nobody else.
fn private(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    disk.make_folder(folder)?;
    #[cfg(unix)]
    fs::set_permissions(folder, std::os::unix::fs::PermissionsExt::from_mode(0o700))?;
    Ok(())
}
