//! Saving on a disk that refuses.

mod support;

use needline::model::Project;
use needline::model::file::{Disk, KEPT_BACKUPS, System, load, save, save_on};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use support::*;

/// A disk that refuses some steps, after half of what they do.
struct Refusing<F: Fn(usize, &str) -> bool> {
    refuses: F,
    step: Cell<usize>,
    done: RefCell<Vec<String>>,
}

impl<F: Fn(usize, &str) -> bool> Refusing<F> {
    fn new(refuses: F) -> Refusing<F> {
        Refusing { refuses, step: Cell::new(0), done: RefCell::default() }
    }

    fn asked(&self, word: &str, half: impl FnOnce()) -> io::Result<()> {
        let step = self.step.replace(self.step.get() + 1);
        if (self.refuses)(step, word) {
            half();
            return Err(io::Error::new(io::ErrorKind::StorageFull, "the disk is full"));
        }
        self.done.borrow_mut().push(word.to_owned());
        Ok(())
    }
}

impl<F: Fn(usize, &str) -> bool> Disk for Refusing<F> {
    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.asked("write", || fs::write(path, &bytes[..bytes.len() / 2]).unwrap())?;
        System.write(path, bytes)
    }

    fn copy(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.asked("copy", || fs::write(to, "").unwrap())?;
        System.copy(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.asked("rename", || {})?;
        System.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.asked("remove", || {})?;
        System.remove(path)
    }
}

fn house(n: usize) -> Project {
    let mut project = project("2026-06-01");
    project.settings.name = format!("House {n}");
    project
}

/// A folder with a project that was saved so often, the last time as the last of these houses.
fn saved(times: usize) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    (0..times).for_each(|n| drop(save(&house(n), &path, None).unwrap()));
    (folder, path)
}

/// Every file of a folder by its name.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entry = |entry: io::Result<fs::DirEntry>| {
        let path = entry.unwrap().path();
        (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap_or_default())
    };
    fs::read_dir(folder).unwrap().map(entry).collect()
}

/// With all versions there, and with a gap among them: whichever step is refused, everything is as it was.
#[test]
fn one_refused_step_costs_no_version_and_leaves_nothing_behind() {
    for times in [0, 1, 4, 7] {
        let mut refused = 0;
        loop {
            let (folder, path) = saved(times);
            let before = files(folder.path());
            let disk = Refusing::new(|step, word| step == refused && word != "remove");
            if save_on(&disk, &house(9), &path, None).is_ok() {
                break;
            }
            assert_eq!(files(folder.path()), before, "{times} times saved, step {refused} refused");
            refused += 1;
        }
        // The new file and its name; the copy and its name; a step up for each version there.
        let steps = if times == 0 { 2 } else { 4 + (times - 1).min(KEPT_BACKUPS) };
        assert_eq!(refused, steps, "{times} times saved");
    }
}

/// A disk that is full, and one that goes away in the middle: what there was is still there, under whatever name.
#[test]
fn a_disk_that_goes_on_refusing_loses_no_version() {
    let (folder, path) = saved(7);
    let before = files(folder.path());
    for _ in 0..6 {
        let full = Refusing::new(|_, word| matches!(word, "write" | "copy"));
        assert!(save_on(&full, &house(9), &path, None).unwrap_err().to_string().contains("the disk is full"));
        assert_eq!(files(folder.path()), before);
    }
    for gone in 0..=9 {
        let (folder, path) = saved(7);
        let disk = Refusing::new(|step, _| step >= gone);
        let saved = save_on(&disk, &house(9), &path, None);
        let now = files(folder.path());
        let lost: Vec<&String> =
            before.iter().filter(|(_, old)| !now.values().any(|f| f == *old)).map(|o| o.0).collect();
        assert!(lost.is_empty(), "gone at step {gone}: {lost:?} lost");
        let whole = load(&path).unwrap().0;
        assert_eq!(whole, if saved.is_ok() { house(9) } else { house(6) });
    }
}

/// Through the system itself: a folder stands where the new file is written.
#[test]
fn six_refused_saves_leave_the_five_versions() {
    let (folder, path) = saved(7);
    fs::create_dir(folder.path().join(format!(".house.ron.{}.part", std::process::id()))).unwrap();
    let before = files(folder.path());
    for _ in 0..6 {
        save(&house(9), &path, None).unwrap_err();
    }
    assert_eq!(files(folder.path()), before);
}
