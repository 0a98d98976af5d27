//! Earlier versions of a project file, kept beside it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// How many earlier versions are kept.
pub const KEPT_BACKUPS: usize = 5;

/// The path of the n-th last version, 1 being the latest.
fn backup_path(path: &Path, n: usize) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{n}.bak"));
    path.with_file_name(name)
}

/// Moves the kept versions one up and copies the file to the first place. Nothing happens when there is no file yet.
pub fn keep(path: &Path) -> io::Result<()> {
    if !path.exists() {
        return Ok(());
    }
    for n in (1..KEPT_BACKUPS).rev() {
        let from = backup_path(path, n);
        if from.exists() {
            fs::rename(from, backup_path(path, n + 1))?;
        }
    }
    fs::copy(path, backup_path(path, 1)).map(drop)
}
