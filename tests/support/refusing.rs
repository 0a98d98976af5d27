//! A disk that refuses.

use needline::model::file::{Disk, System};
use std::cell::{Cell, RefCell};
use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// A disk that refuses some steps, after half of what they do.
pub struct Refusing<F: Fn(usize, &str) -> bool> {
    refuses: F,
    step: Cell<usize>,
    /// The steps that were done, in words.
    pub done: RefCell<Vec<String>>,
}

impl<F: Fn(usize, &str) -> bool> Refusing<F> {
    /// A disk that refuses the steps, by number and word, for which this is true.
    pub fn new(refuses: F) -> Refusing<F> {
        Refusing { refuses, step: Cell::new(0), done: RefCell::default() }
    }

    fn asked(&self, word: &str, half: impl FnOnce()) -> io::Result<()> {
        let step = self.step.replace(self.step.get() + 1);
        if (self.refuses)(step, word) {
            half();
            return Err(io::ErrorKind::StorageFull.into());
        }
        self.done.borrow_mut().push(word.to_owned());
        Ok(())
    }
}

impl<F: Fn(usize, &str) -> bool> Disk for Refusing<F> {
    fn write(&self, path: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<()> {
        // A name that is taken is left as it is.
        let half = || if path.exists() { Ok(()) } else { fs::write(path, &bytes[..bytes.len() / 2]) };
        self.asked("write", || half().unwrap())?;
        System.write(path, bytes, like)
    }

    fn copy(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.asked("copy", || fs::write(to, "").unwrap())?;
        System.copy(from, to)
    }

    fn append(&self, file: &mut fs::File, bytes: &[u8]) -> io::Result<()> {
        self.asked("append", || file.write_all(&bytes[..bytes.len() / 2]).unwrap())?;
        System.append(file, bytes)
    }

    fn keep(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.asked("keep", || {})?;
        System.keep(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.asked("rename", || {})?;
        System.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.asked("remove", || {})?;
        System.remove(path)
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.asked("make folder", || {})?;
        System.make_folder(path)
    }
}
