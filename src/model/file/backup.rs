//! Earlier versions of a project file, kept beside it.

use super::disk::beside;
use std::path::{Path, PathBuf};

/// How many earlier versions are kept.
pub const KEPT_BACKUPS: usize = 5;

/// The path of the n-th last version, 1 being the latest.
fn backup_path(path: &Path, n: usize) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{n}.bak"));
    path.with_file_name(name)
}

/// What has to be renamed so that `copy` becomes the latest version: up to the first gap each one goes one up. Without
/// a gap the oldest goes aside, to the path given back besides, and can be removed when all is done.
pub(super) fn moves(path: &Path, copy: &Path) -> (Vec<(PathBuf, PathBuf)>, Option<PathBuf>) {
    let gap = (1..=KEPT_BACKUPS).find(|n| !backup_path(path, *n).exists());
    let oldest = gap.is_none().then(|| beside(path, "old"));
    let aside = oldest.iter().map(|aside| (backup_path(path, KEPT_BACKUPS), aside.clone()));
    let up = (1..gap.unwrap_or(KEPT_BACKUPS)).rev().map(|n| (backup_path(path, n), backup_path(path, n + 1)));
    let last = (copy.to_owned(), backup_path(path, 1));
    (aside.chain(up).chain([last]).collect(), oldest)
}
