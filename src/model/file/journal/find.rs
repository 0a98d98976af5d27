//! Finding what ended runs left.

use super::read::{self, Left, glance};
use super::{JournalError, beside_project, is_one, own_folder};
use crate::model::file::disk::standing;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// What is on its way longer than this was left by a run that ended.
const LONG_AGO: Duration = Duration::from_secs(24 * 60 * 60);

/// A journal that waits to be looked at, of a project that is not open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiting {
    /// The journal.
    pub path: PathBuf,
    /// The project file; none when it was never saved.
    pub project: Option<PathBuf>,
    /// What the project is called.
    pub name: String,
    /// When it was written last, by the clock of the disk.
    pub when: Option<SystemTime>,
}

/// What ended runs left of a project file: beside it, and in the folder of the program. The newest comes first.
pub fn left_by(path: &Path, state: Option<&Path>) -> Vec<Result<Left, JournalError>> {
    let is_of = |waiting: &Waiting| waiting.project.as_ref().is_some_and(|said| of_project(said, path));
    let own = in_own_folder(state).into_iter().filter_map(|found| found.ok().filter(is_of)).map(|w| w.path);
    let all = beside_project(path).into_iter().flatten().chain(own);
    let mut left: Vec<_> = all.filter_map(|path| read::read(&path).transpose()).collect();
    left.sort_by_key(|left| std::cmp::Reverse(left.as_ref().ok().map(|left| left.said.when)));
    left
}

/// Whether a path that a journal says is that of a project file.
fn of_project(said: &Path, path: &Path) -> bool {
    standing(path).is_ok_and(|path| path.to_string_lossy() == said.to_string_lossy())
}

/// What waits for somebody who has opened no project yet: what is in the folder of the program, of projects that were
/// never saved and others, and what stands beside the project files given. The newest comes first; what cannot be read
/// says why. What ended runs left on its way is cleared away.
pub fn waiting(
    state: Option<&Path>,
    projects: &[PathBuf],
    now: SystemTime,
) -> Vec<Result<Waiting, JournalError>> {
    if let Some(state) = state {
        tidy(&own_folder(state), now);
    }
    let mut found = in_own_folder(state);
    for project in projects {
        let beside = beside_project(project).into_iter().flatten();
        // Folders are moved with what is in them: it belongs to the project that it stands beside.
        found.extend(
            beside
                .filter_map(|path| look(path).transpose())
                .map(|waiting| waiting.map(|waiting| Waiting { project: Some(project.clone()), ..waiting })),
        );
    }
    found.sort_by_key(|waiting| std::cmp::Reverse(waiting.as_ref().ok().and_then(|w| w.when)));
    found
}

/// Journals in the folder of the program.
fn in_own_folder(state: Option<&Path>) -> Vec<Result<Waiting, JournalError>> {
    let entries = state.and_then(|state| fs::read_dir(own_folder(state)).ok());
    let mut paths: Vec<PathBuf> = entries.into_iter().flatten().flatten().map(|e| e.path()).collect();
    paths.sort();
    paths.into_iter().filter(|path| is_one(path)).filter_map(|path| look(path).transpose()).collect()
}

fn look(path: PathBuf) -> Result<Option<Waiting>, JournalError> {
    let when = fs::metadata(&path).and_then(|data| data.modified()).ok();
    Ok(glance(&path)?.map(|(project, name)| Waiting { path, project, name, when }))
}

/// Clears away what was on its way into a folder when the run ended.
fn tidy(folder: &Path, now: SystemTime) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        let modified = entry.metadata().and_then(|data| data.modified()).ok();
        let old = modified.and_then(|at| now.duration_since(at).ok()).is_some_and(|age| age > LONG_AGO);
        if old && path.extension().is_some_and(|ending| ending == "part") {
            let _ = fs::remove_file(path);
        }
    }
}
