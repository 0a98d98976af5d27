//! What writing a file asks of the disk, one method a step, so that a test can refuse any single one.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The steps of writing. The disk of the system does each; a test refuses one and looks at what is left.
pub trait Disk {
    /// Writes a new file and waits until it is on the disk.
    ///
    /// # Errors
    /// As the system reports; there may be half a file then.
    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = File::create(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Copies a file and waits until it is on the disk.
    ///
    /// # Errors
    /// As the system reports; there may be half a file then.
    fn copy(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::copy(from, to)?;
        // A file that may not be written cannot be waited for everywhere.
        File::options().append(true).open(to).map_or(Ok(()), |file| file.sync_all())
    }

    /// Gives a file another name; one that bore it is replaced.
    ///
    /// # Errors
    /// As the system reports; nothing has changed then.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    /// Removes what nobody needs.
    ///
    /// # Errors
    /// As the system reports.
    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
}

/// The disk of the system.
pub struct System;

impl Disk for System {}

/// A name beside a file for what is on its way there.
pub fn beside(path: &Path, ending: &str) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.{ending}", std::process::id()))
}

/// Renames in order; at a refusal those before it are taken back, so that every name is as it was. Only the last one
/// may replace a file.
pub(super) fn rename_all(disk: &dyn Disk, moves: &[(PathBuf, PathBuf)]) -> io::Result<()> {
    for (at, (from, to)) in moves.iter().enumerate() {
        if let Err(refused) = disk.rename(from, to) {
            for (from, to) in moves[..at].iter().rev() {
                // When this is refused too, what it holds is still there under its new name.
                let _ = disk.rename(to, from);
            }
            return Err(refused);
        }
    }
    Ok(())
}

/// Waits until the names in a folder are on the disk. Where a folder cannot be opened for that, the renames themselves
/// have to do.
pub fn sync_folder(folder: &Path) {
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
