//! Who may read and write a file, kept when another takes its place.

use std::fs::{self, File, Metadata};
use std::io;
use std::path::Path;

/// Makes a file of a name that nothing bears yet: a link that somebody put there is not written through. With `like` it
/// gets the owner and the permissions of that file.
pub(super) fn create(path: &Path, like: Option<&Path>) -> io::Result<File> {
    let mut options = File::options();
    options.write(true).create_new(true);
    let Some(like) = like else { return options.open(path) };
    let like = fs::metadata(like)?;
    // What others may not read, they may not read on its way either.
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options.open(path)?;
    give(&file, &like)?;
    Ok(file)
}

/// Owner and group where the system lets this be said, then the permissions. Where the group cannot be kept, another one
/// gets none of its rights.
#[cfg(unix)]
fn give(file: &File, like: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let own = file.metadata()?;
    let mut mode = like.mode() & 0o777;
    if own.gid() != like.gid() && fchown(file, None, Some(like.gid())).is_err() {
        mode &= 0o707;
    }
    if own.uid() != like.uid() {
        // Only an administrator can give a file away. Whoever could write the old one owns the new one.
        let _ = fchown(file, Some(like.uid()), None);
    }
    // A disk without permissions refuses to set any, and says the same ones of all its files.
    if file.metadata()?.mode() & 0o777 == mode {
        return Ok(());
    }
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn give(file: &File, like: &Metadata) -> io::Result<()> {
    file.set_permissions(like.permissions())
}

/// Whether a file may be replaced, which the system leaves to its folder: one that is set to read-only, or that this
/// user may not write, stays.
///
/// # Errors
/// In words for what is no file or set to read-only; else as the system reports.
pub(super) fn may_replace(path: &Path) -> io::Result<()> {
    let data = match fs::metadata(path) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(()),
        data => data?,
    };
    if data.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "there is a folder of this name"));
    }
    if !data.is_file() {
        return Err(io::Error::other("this is a device and no file; choose another name"));
    }
    if data.permissions().readonly() {
        let words = "this file is set to read-only; allow writing to it, or save under another name";
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, words));
    }
    // Nothing is written: opening it is the question.
    File::options().append(true).open(path).map(drop)
}

/// Whether an open file is the one of this name, and has no other name.
#[cfg(unix)]
pub(super) fn same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(open), Ok(named)) = (file.metadata(), fs::symlink_metadata(path)) else { return false };
    (open.dev(), open.ino(), open.nlink()) == (named.dev(), named.ino(), 1)
}

#[cfg(not(unix))]
pub(super) fn same_file(_: &File, path: &Path) -> bool {
    path.is_file()
}
