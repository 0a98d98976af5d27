//! Who has a project open to change it: a lock that the system lets go of when its process is gone, whatever ends it.
//!
//! The lock is a file beside the project, which says in words who holds it. That it is there means nothing; that
//! somebody has it locked does. So nothing has to be guessed about one that a killed run left. Whoever takes a project
//! over puts another file of the same name in its place, and the one before notices.

use super::disk::{left_beside, real, standing};
use super::{Trouble, access, backup};
use std::ffi::OsString;
use std::fmt;
use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Who holds a lock, in their own words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holder {
    /// The user's name at the system; empty when it says none.
    pub user: String,
    /// The name of the machine; empty when it says none.
    pub machine: String,
    /// The number of the process there.
    pub process: u32,
    /// Whether it is a window, which holds a project as long as it is open; else a command.
    pub window: bool,
    /// Since when, by the clock of the disk.
    pub since: Option<SystemTime>,
}

impl Holder {
    /// This process.
    pub fn me(window: bool) -> Holder {
        let named = |names: [&str; 2]| names.iter().find_map(|n| std::env::var(n).ok()).unwrap_or_default();
        let told = fs::read_to_string("/proc/sys/kernel/hostname").ok();
        let machine = told.unwrap_or_else(|| named(["COMPUTERNAME", "HOSTNAME"])).trim().to_owned();
        Holder {
            user: named(["USER", "USERNAME"]),
            machine,
            process: std::process::id(),
            window,
            since: None,
        }
    }

    fn text(&self) -> String {
        let what = if self.window { "window" } else { "command" };
        let line = |text: &str| text.replace(char::is_control, " ");
        format!("{what}\n{}\n{}\n{}\n", self.process, line(&self.user), line(&self.machine))
    }

    /// What a lock file says. One that says nothing yet is of somebody who is about to write it.
    fn read(path: &Path) -> Holder {
        let mut text = String::new();
        // A lock of ours has a few names in it; whatever else stands there is not read to its end.
        let read = File::open(path).and_then(|file| file.take(2_000).read_to_string(&mut text));
        let mut lines = text.lines();
        let mut line = || if read.is_ok() { lines.next().unwrap_or_default() } else { "" };
        Holder {
            window: line() == "window",
            process: line().parse().unwrap_or(0),
            user: line().to_owned(),
            machine: line().to_owned(),
            since: fs::metadata(path).ok().and_then(|data| data.modified().ok()),
        }
    }
}

/// `a window of sam on attic (process 41), since 2026-07-06 10:15`.
impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.window { "a window" } else { "a command" })?;
        if !self.user.is_empty() {
            write!(f, " of {}", self.user)?;
        }
        if !self.machine.is_empty() {
            write!(f, " on {}", self.machine)?;
        }
        if self.process != 0 {
            write!(f, " (process {})", self.process)?;
        }
        if let Some(since) = self.since {
            write!(f, ", since {}", chrono::DateTime::<chrono::Local>::from(since).format("%Y-%m-%d %H:%M"))?;
        }
        Ok(())
    }
}

/// Why a project was not locked.
#[derive(Debug, thiserror::Error)]
pub enum LockError {
    /// Somebody else has it.
    #[error(
        "{path}: {holder} has this project open to change it; close it there and try again, or save under another name"
    )]
    Held {
        /// The project file.
        path: PathBuf,
        /// Who.
        holder: Holder,
    },
    /// The lock could not be written, so the project could not be either.
    #[error("{path}: {}", Trouble::Writing(source))]
    Refused {
        /// The project file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// A lock that is held, until it is dropped or the process ends.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    file: File,
}

/// The lock of a project file.
fn lock_path(path: &Path) -> io::Result<PathBuf> {
    let real = standing(path)?;
    let mut name = OsString::from(".");
    name.push(real.file_name().ok_or(io::ErrorKind::InvalidInput)?);
    name.push(".lock");
    Ok(real.with_file_name(name))
}

/// Opens a lock file, and says whether it may be written. One of another user may only be looked at.
fn open(path: &Path) -> io::Result<(File, bool)> {
    if path.is_symlink() {
        let words = format!("{} is a link and no lock; remove it and try again", path.display());
        return Err(io::Error::other(words));
    }
    match File::options().read(true).write(true).create(true).truncate(false).open(path) {
        Err(why) if why.kind() == io::ErrorKind::PermissionDenied => {
            File::open(path).map(|file| (file, false))
        }
        file => file.map(|file| (file, true)),
    }
}

impl Lock {
    /// Takes the lock of a project file, which need not be there yet, and clears away what ended runs left beside it.
    /// On a disk that knows no locks nothing is held, and saving still notices what changed.
    ///
    /// # Errors
    /// Who holds it, or what the system said.
    pub fn take(path: &Path, window: bool) -> Result<Lock, LockError> {
        let refused = |source| LockError::Refused { path: path.to_owned(), source };
        let lock = lock_path(path).map_err(refused)?;
        // Whoever lets go removes the file. When that came between opening and locking it, there is another by now.
        for _ in 0..1_000 {
            let (file, writable) = open(&lock).map_err(refused)?;
            let held = match file.try_lock() {
                Ok(()) => true,
                Err(TryLockError::WouldBlock) => {
                    return Err(LockError::Held { path: path.to_owned(), holder: Holder::read(&lock) });
                }
                Err(TryLockError::Error(why)) if why.kind() == io::ErrorKind::Unsupported => false,
                Err(TryLockError::Error(why)) => return Err(refused(why)),
            };
            if !access::same_file(&file, &lock) {
                continue;
            }
            if !writable {
                // Another user left it, and nobody holds it.
                fs::remove_file(&lock).map_err(refused)?;
                continue;
            }
            let mut taken = Lock { path: lock, file };
            taken.sign(window).map_err(refused)?;
            if held {
                tidy(path);
            }
            return Ok(taken);
        }
        Err(refused(io::ErrorKind::ResourceBusy.into()))
    }

    /// Takes it from whoever holds it. They notice before they save.
    ///
    /// # Errors
    /// As [`Lock::take`].
    pub fn take_over(path: &Path, window: bool) -> Result<Lock, LockError> {
        let refused = |source| LockError::Refused { path: path.to_owned(), source };
        match fs::remove_file(lock_path(path).map_err(refused)?) {
            Err(why) if why.kind() != io::ErrorKind::NotFound => Err(refused(why)),
            _ => Lock::take(path, window),
        }
    }

    /// Whether nobody took it over: the file that is locked is still the one of this name.
    pub fn is_mine(&self) -> bool {
        access::same_file(&self.file, &self.path)
    }

    /// Whether it is the lock of this project file, by whatever path.
    pub fn is_of(&self, path: &Path) -> bool {
        lock_path(path).is_ok_and(|path| path == self.path)
    }

    fn sign(&mut self, window: bool) -> io::Result<()> {
        self.file.set_len(0)?;
        self.file.write_all(Holder::me(window).text().as_bytes())
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        if self.is_mine() {
            // A lock file that stays is no lock: the next one takes it.
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// Clears away what ended runs left beside a file. Only with its lock: without it, another may be writing just now.
fn tidy(path: &Path) {
    let Ok(path) = real(path) else { return };
    for half in left_beside(&path, &["part", "bak"]) {
        // What cannot be removed is in nobody's way.
        let _ = fs::remove_file(half);
    }
    left_beside(&path, &["old"]).iter().for_each(|old| backup::put_back(&path, old));
}
