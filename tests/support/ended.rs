//! A disk under a run that is ended.

use needline::model::file::{Disk, System};
use std::cell::Cell;
use std::fs;
use std::io;
use std::path::Path;

/// A disk under a run that is ended before one of its steps: nothing after it is done.
pub struct Ended {
    left: Cell<usize>,
}

impl Ended {
    /// A run that does so many steps.
    pub fn new(steps: usize) -> Ended {
        Ended { left: Cell::new(steps) }
    }

    fn step(&self) {
        match self.left.get().checked_sub(1) {
            Some(left) => self.left.set(left),
            // Nothing of the run goes on, as nothing does behind a kill.
            None => std::panic::resume_unwind(Box::new("ended")),
        }
    }
}

impl Disk for Ended {
    fn write(&self, path: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<()> {
        self.step();
        System.write(path, bytes, like)
    }

    fn copy(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step();
        System.copy(from, to)
    }

    fn append(&self, file: &mut fs::File, bytes: &[u8]) -> io::Result<()> {
        self.step();
        System.append(file, bytes)
    }

    fn keep(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step();
        System.keep(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step();
        System.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.step();
        System.remove(path)
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.step();
        System.make_folder(path)
    }
}
