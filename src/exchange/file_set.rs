//! Writing several files as one: all of them, or none.
//!
//! Each file is first written beside its place and brought to the disk. Only when all are there do they take their
//! places, one rename after the other, so that each file is at every moment the old one or the new one. When a rename
//! is refused, those that were made before it are taken back.

use super::progress::{Cancelled, Progress};
use crate::model::file::{Disk, System, beside, sync_folder};
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// A file that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{path}: {source}")]
pub struct WriteError {
    /// The file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub source: io::Error,
}

/// Makes a folder and those above it where they are missing.
fn make_folder(path: &Path) -> Result<(), WriteError> {
    fs::create_dir_all(path).map_err(|source| WriteError { path: path.to_owned(), source })
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
#[derive(Debug, Clone, Copy)]
pub struct Folder<'a> {
    /// The folder; it is made when it is missing.
    pub path: &'a Path,
    /// Files of the same names are replaced; else nothing is written when there is one.
    pub replace: bool,
}

/// A folder whose files are replaced.
impl<'a, P: AsRef<Path> + ?Sized> From<&'a P> for Folder<'a> {
    fn from(path: &'a P) -> Folder<'a> {
        Folder { path: path.as_ref(), replace: true }
    }
}

impl Folder<'_> {
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
        make_folder(self.path)?;
        write_all(files, progress)
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
    path: PathBuf,
    beside: PathBuf,
    /// A second name of the old file, where there was one.
    old: Option<PathBuf>,
}

/// Writes all files or none. Counts a step of the progress for each file.
///
/// # Errors
/// Names the file that could not be written. What was there before is whole then, and no new file is left.
pub fn write_all(files: &[NewFile], progress: &Progress) -> Result<(), ExportError> {
    let mut steps: Vec<Step> = Vec::with_capacity(files.len());
    let prepared = files.iter().try_for_each(|file| {
        progress.go_on()?;
        let step = Step { path: file.path.clone(), beside: beside(&file.path, "part"), old: None };
        // Noted before it is written, so that a half-written copy is cleared away too.
        steps.push(step);
        let named = |source| WriteError { path: file.path.clone(), source };
        write_beside(file, &beside(&file.path, "part")).map_err(named)?;
        progress.step().map_err(ExportError::from)
    });
    let done = prepared.and_then(|()| Ok(take_places(&mut steps)?));
    for step in &steps {
        // What is left over of an old name or a half-written copy is of no use to anybody.
        if done.is_err() {
            let _ = fs::remove_file(&step.beside);
        }
        if let Some(old) = &step.old {
            let _ = fs::remove_file(old);
        }
    }
    if done.is_ok() {
        files
            .iter()
            .filter_map(|f| f.path.parent())
            .collect::<BTreeSet<_>>()
            .into_iter()
            .for_each(sync_folder);
    }
    done
}

fn write_beside(file: &NewFile, beside: &Path) -> io::Result<()> {
    if file.path.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "there is a folder of this name"));
    }
    System.write(beside, &file.bytes)
}

/// Renames each file to its place; at a refusal those before it get their old content back.
fn take_places(steps: &mut [Step]) -> Result<(), WriteError> {
    for at in 0..steps.len() {
        let step = &mut steps[at];
        if let Err(source) = take_place(step) {
            let failed = step.path.clone();
            for made in steps[..at].iter_mut().rev() {
                take_back(made);
            }
            return Err(WriteError { path: failed, source });
        }
    }
    Ok(())
}

fn take_place(step: &mut Step) -> io::Result<()> {
    if step.path.exists() {
        let old = beside(&step.path, "old");
        // A second name costs nothing; where the file system has none, a copy does.
        let _ = fs::remove_file(&old);
        if fs::hard_link(&step.path, &old).is_err() {
            fs::copy(&step.path, &old)?;
        }
        step.old = Some(old);
    }
    fs::rename(&step.beside, &step.path)
}

fn take_back(step: &mut Step) {
    // Nothing better can be done when this is refused too: the new file is whole then.
    match step.old.take() {
        Some(old) => drop(fs::rename(old, &step.path)),
        None => drop(fs::remove_file(&step.path)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_refused_rename_takes_back_those_before_it() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old").unwrap();
        let mut steps = Vec::new();
        for name in ["a", "b", "c"] {
            let step = Step { path: at.join(name), beside: beside(&at.join(name), "part"), old: None };
            if name != "c" {
                fs::write(&step.beside, "new").unwrap();
            }
            steps.push(step);
        }
        // The copy of `c` is gone, so its rename is refused after `a` and `b` took their places.
        let error = take_places(&mut steps).unwrap_err();
        assert_eq!(error.path, at.join("c"));
        assert_eq!(fs::read_to_string(at.join("a")).unwrap(), "old");
        assert!(!at.join("b").exists());
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
