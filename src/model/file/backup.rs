//! Earlier versions of a project file, kept beside it.

use super::disk::{System, beside, real, rename_all};
use chrono::{DateTime, Local};
use std::fs;
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

/// Brings back the oldest version, which went aside for a new one that never came: those above the gap go one down.
pub(super) fn put_back(path: &Path, oldest: &Path) {
    let Some(gap) = (1..=KEPT_BACKUPS).find(|n| !backup_path(path, *n).exists()) else {
        // The new one came; only the last step was not done.
        let _ = fs::remove_file(oldest);
        return;
    };
    let down = (gap..KEPT_BACKUPS).map(|n| (backup_path(path, n + 1), backup_path(path, n)));
    let moves: Vec<_> = down.chain([(oldest.to_owned(), backup_path(path, KEPT_BACKUPS))]).collect();
    // Where this is refused everything stays under the names it has.
    let _ = rename_all(&System, &moves);
}

/// The versions beside a file in words, with the days they are from; nothing where there are none.
pub(super) fn in_words(path: &Path) -> Option<String> {
    let path = &real(path).ok()?;
    let version = |n| {
        let path = backup_path(path, n);
        let modified = fs::metadata(&path).ok()?.modified().ok()?;
        let from = DateTime::<Local>::from(modified).format("%Y-%m-%d %H:%M");
        Some(format!("{} of {from}", path.file_name()?.to_string_lossy()))
    };
    let versions: Vec<String> = (1..=KEPT_BACKUPS).filter_map(version).collect();
    (!versions.is_empty()).then(|| versions.join(", "))
}
