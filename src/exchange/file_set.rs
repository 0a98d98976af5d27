//! Writing several files as one: all of them, or none.
//!
//! Each file is first written beside its place and brought to the disk. Only when all are there do they take their
//! places, one rename after the other, so that each file is at every moment the old one or the new one. When a rename
//! is refused, those that were made before it are taken back. A record says meanwhile what is on its way, so that the next run
//! that writes into the folder finishes the set of one that was ended in the middle, or takes it back.

use super::progress::{Cancelled, Progress};
use crate::model::file::set::{OnItsWay, Record, finish_left};
use crate::model::file::{Disk, System, Trouble, beside, place, sync_folder};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

/// A file that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{path}: {}", Trouble::Writing(source))]
pub struct WriteError {
    /// The file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub source: io::Error,
}

/// Makes a folder and those above it where they are missing.
fn make_folder(disk: &dyn Disk, path: &Path) -> Result<(), WriteError> {
    disk.make_folder(path).map_err(|source| WriteError { path: path.to_owned(), source })
}

/// Why an export did not come about. Every file is then as it was.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// A file or folder that could not be written.
    #[error("{0}; nothing was written")]
    Write(#[from] WriteError),
    /// Files of the same names are there and are not to be replaced.
    #[error("{}; nothing was written", there(.0))]
    There(Vec<PathBuf>),
    /// The user stopped it.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// A file could not be put together.
    #[error("{file}: {why}; nothing was written")]
    Made {
        /// The file it would have become.
        file: String,
        /// What was in the way.
        why: String,
    },
}

fn there(paths: &[PathBuf]) -> String {
    let first = paths.first().map_or(String::new(), |path| path.display().to_string());
    match paths.len() {
        0 | 1 => format!("{first} is there already"),
        n => format!("{first} and {} more files are there already", n - 1),
    }
}

/// A folder that files go to, and whether they may replace what is there.
#[derive(Clone, Copy)]
pub struct Folder<'a> {
    /// The folder; it is made when it is missing.
    pub path: &'a Path,
    /// Files of the same names are replaced; else nothing is written when there is one.
    pub replace: bool,
    /// The disk it is on.
    disk: &'a dyn Disk,
}

/// A folder whose files are replaced.
impl<'a, P: AsRef<Path> + ?Sized> From<&'a P> for Folder<'a> {
    fn from(path: &'a P) -> Folder<'a> {
        Folder::new(path.as_ref(), true)
    }
}

impl<'a> Folder<'a> {
    /// A folder on the disk of the system, and whether files in it may be replaced.
    pub fn new(path: &'a Path, replace: bool) -> Folder<'a> {
        Folder { path, replace, disk: &System }
    }

    /// The same folder on a disk of the caller's choice.
    pub fn on(self, disk: &'a dyn Disk) -> Folder<'a> {
        Folder { disk, ..self }
    }

    /// Writes all files, which stand in this folder, or none. Counts a step of the progress for each.
    ///
    /// # Errors
    /// As [`write_all`], or names the files that are there already and may not be replaced.
    pub fn write(self, files: &[NewFile], progress: &Progress) -> Result<(), ExportError> {
        let there = |file: &&NewFile| file.path.symlink_metadata().is_ok();
        let there: Vec<PathBuf> =
            files.iter().filter(there).filter(|_| !self.replace).map(|f| f.path.clone()).collect();
        if !there.is_empty() {
            return Err(ExportError::There(there));
        }
        make_folder(self.disk, self.path)?;
        let below: BTreeSet<&Path> = files.iter().filter_map(|file| file.path.parent()).collect();
        for folder in below.into_iter().filter(|folder| *folder != self.path) {
            make_folder(self.disk, folder)?;
        }
        write_all_on(self.disk, files, progress)
    }
}

/// A file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewFile {
    /// Its place.
    pub path: PathBuf,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// A file on its way: written beside its place, and what to do to take it back.
struct Step {
    /// As it was asked for, for messages.
    path: PathBuf,
    /// Where it goes, which is what a link leads to; where it is written first, and a second name of the old file.
    way: OnItsWay,
}

impl Step {
    fn to(path: &Path) -> Result<Step, WriteError> {
        let named = |source| WriteError { path: path.to_owned(), source };
        let place = place(path).map_err(named)?;
        let old = place.exists().then(|| beside(&place, "old"));
        Ok(Step { path: path.to_owned(), way: OnItsWay { beside: beside(&place, "part"), place, old } })
    }

    fn named(&self, done: io::Result<()>) -> Result<(), WriteError> {
        done.map_err(|source| WriteError { path: self.path.clone(), source })
    }

    /// Writes the new file beside its place, and what it takes to bring the old one back.
    fn prepare(&self, disk: &dyn Disk, bytes: &[u8]) -> Result<(), WriteError> {
        let OnItsWay { place, beside, old } = &self.way;
        let like = old.as_ref().map(|_| place.as_path());
        self.named(disk.write(beside, bytes, like))?;
        old.as_ref().map_or(Ok(()), |old| self.named(disk.keep(place, old)))
    }

    fn take_back(&self, disk: &dyn Disk) {
        // Nothing better can be done when this is refused too: the new file is whole then.
        match &self.way.old {
            Some(old) => drop(disk.rename(old, &self.way.place)),
            None => drop(disk.remove(&self.way.place)),
        }
    }
}

/// Writes all files or none. Counts a step of the progress for each file.
///
/// # Errors
/// Names the file that could not be written. What was there before is whole then, and no new file is left.
pub fn write_all(files: &[NewFile], progress: &Progress) -> Result<(), ExportError> {
    write_all_on(&System, files, progress)
}

/// As [`write_all`], on a disk of the caller's choice.
///
/// # Errors
/// As [`write_all`].
pub fn write_all_on(disk: &dyn Disk, files: &[NewFile], progress: &Progress) -> Result<(), ExportError> {
    let Some(first) = files.first() else { return Ok(()) };
    let steps = files.iter().map(|file| Step::to(&file.path)).collect::<Result<Vec<Step>, WriteError>>()?;
    let folder = folder_of(&first.path);
    finish_left(disk, folder);
    // What is on its way is noted before it is written, so that a half-written copy is cleared away too.
    let ways: Vec<OnItsWay> = steps.iter().map(|step| step.way.clone()).collect();
    let begun = Record::begin(disk, folder, &ways);
    let mut record = begun.map_err(|source| WriteError { path: first.path.clone(), source })?;
    let prepared = steps.iter().zip(files).try_for_each(|(step, file)| {
        progress.go_on()?;
        step.prepare(disk, &file.bytes)?;
        progress.step().map_err(ExportError::from)
    });
    let whole = prepared.and_then(|()| {
        let noted = record.as_mut().map_or(Ok(()), |record| record.whole(disk));
        noted.map_err(|source| WriteError { path: first.path.clone(), source }.into())
    });
    let done = whole.and_then(|()| {
        let mut renamed = 0;
        let refused = steps.iter().find_map(|step| {
            let done = step.named(disk.rename(&step.way.beside, &step.way.place));
            renamed += usize::from(done.is_ok());
            done.err()
        });
        let Some(refused) = refused else { return Ok(()) };
        // Nobody is to finish what is taken back.
        if let Some(record) = record.take() {
            record.done(disk);
        }
        steps[..renamed].iter().rev().for_each(|made| made.take_back(disk));
        Err(refused.into())
    });
    for step in &steps {
        // What is left over of an old file or a half-written copy is of no use to anybody.
        if done.is_err() {
            let _ = disk.remove(&step.way.beside);
        }
        if let Some(old) = &step.way.old {
            let _ = disk.remove(old);
        }
    }
    if let Some(record) = record {
        record.done(disk);
    }
    if done.is_ok() {
        let folders: BTreeSet<_> = steps.iter().filter_map(|step| step.way.place.parent()).collect();
        folders.into_iter().for_each(sync_folder);
    }
    done
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn file(folder: &Path, name: &str, text: &str) -> NewFile {
        NewFile { path: folder.join(name), bytes: text.as_bytes().to_vec() }
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn all_are_written_over_what_was_there() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old").unwrap();
        write_all(&[file(at, "a", "new"), file(at, "b", "two")], &Progress::new()).unwrap();
        assert_eq!(fs::read_to_string(at.join("a")).unwrap(), "new");
        assert_eq!(names(at), ["a", "b"]);
    }

    #[test]
    fn one_that_fails_is_named_and_leaves_the_others_as_they_were() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old").unwrap();
        // Written before anything is renamed: a folder that is missing, a folder in the place of the file.
        fs::create_dir(at.join("c")).unwrap();
        for bad in ["missing/b", "c"] {
            let error = write_all(&[file(at, "a", "new"), file(at, bad, "x")], &Progress::new()).unwrap_err();
            assert!(error.to_string().contains(bad), "{error}");
            assert_eq!(fs::read_to_string(at.join("a")).unwrap(), "old");
            assert_eq!(names(at), ["a", "c"]);
        }
    }

    #[test]
    fn a_cancelled_export_leaves_the_old_files() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old").unwrap();
        let progress = Progress::new();
        progress.cancel();
        let error = write_all(&[file(at, "a", "new")], &progress).unwrap_err();
        assert!(matches!(error, ExportError::Cancelled(_)));
        assert_eq!(fs::read_to_string(at.join("a")).unwrap(), "old");
        assert_eq!(names(at), ["a"]);
    }
}
