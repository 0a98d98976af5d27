//! The lock of a project file: who holds it, what is no lock, and what is cleared away with it.

mod support;

use needline::commands::{self, Outcome};
use needline::model::file::{KEPT_BACKUPS, Lock, LockError, load, save};
use std::fs;
use std::path::{Path, PathBuf};
use support::project;

fn house() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    save(&project("2026-06-01"), &path, None).unwrap();
    (folder, path)
}

fn names(folder: &Path) -> Vec<String> {
    let name = |e: std::io::Result<fs::DirEntry>| e.unwrap().file_name().to_string_lossy().into_owned();
    let mut names: Vec<String> = fs::read_dir(folder).unwrap().map(name).collect();
    names.sort();
    names
}

/// flock(2): a lock belongs to an open file, so that a second one of the same process is refused as one of another is.
#[test]
fn one_holds_it_and_the_other_is_told_who() {
    let (folder, path) = house();
    let held = Lock::take(&path, true).unwrap();
    let said = Lock::take(&path, false).unwrap_err().to_string();
    for words in
        ["house.ron: a window", &format!("(process {})", std::process::id()), ", since 20", "try again"]
    {
        assert!(said.contains(words), "{said}");
    }
    drop(held);
    assert_eq!(names(folder.path()), ["house.ron"]);
    drop(Lock::take(&path, false).unwrap());
    // A lock for a project that is not there yet, and none where it could not be written.
    drop(Lock::take(&folder.path().join("new.ron"), false).unwrap());
    let said = Lock::take(&folder.path().join("gone/new.ron"), false).unwrap_err().to_string();
    assert!(said.contains("its folder is not there any more"), "{said}");
}

#[test]
fn whoever_it_was_taken_from_notices_and_leaves_the_new_one() {
    let (_folder, path) = house();
    let first = Lock::take(&path, true).unwrap();
    assert!(first.is_mine());
    let second = Lock::take_over(&path, true).unwrap();
    assert!(!first.is_mine() && second.is_mine());
    drop(first);
    assert!(second.is_mine());
    assert!(matches!(Lock::take(&path, false), Err(LockError::Held { .. })));
}

/// What a killed run left says that somebody holds it; nobody does. Nor is a link written through, or a text read for long.
#[test]
fn a_file_alone_is_no_lock() {
    let (folder, path) = house();
    let lock = folder.path().join(".house.ron.lock");
    for text in ["window\n1\nsomebody\nfar away\n".to_owned(), "x".repeat(1_000_000), "\u{1b}[2J".to_owned()]
    {
        fs::write(&lock, text).unwrap();
        drop(Lock::take(&path, false).unwrap());
        assert!(!lock.exists());
    }
    #[cfg(unix)]
    for planted in ["house.ron", "nothing"] {
        let before = fs::read(&path).unwrap();
        std::os::unix::fs::symlink(folder.path().join(planted), &lock).unwrap();
        let said = Lock::take(&path, false).unwrap_err().to_string();
        assert!(said.contains("is a link and no lock; remove it"), "{said}");
        fs::remove_file(&lock).unwrap();
        assert_eq!(fs::read(&path).unwrap(), before);
        assert_eq!(names(folder.path()), ["house.ron"]);
    }
}

/// Both through a link and by the name itself it is the same project.
#[cfg(unix)]
#[test]
fn a_link_has_the_lock_of_what_it_leads_to() {
    let (folder, path) = house();
    let link = folder.path().join("link.ron");
    std::os::unix::fs::symlink("house.ron", &link).unwrap();
    let held = Lock::take(&link, true).unwrap();
    assert!(held.is_of(&path) && held.is_of(&link) && !held.is_of(&folder.path().join("other.ron")));
    assert!(
        held.is_of(&folder.path().join("../").join(folder.path().file_name().unwrap()).join("house.ron"))
    );
    assert!(matches!(Lock::take(&path, false), Err(LockError::Held { .. })));
}

#[test]
fn what_ended_runs_left_is_cleared_away_and_nothing_else() {
    let (folder, path) = house();
    let ours =
        [".house.ron.41.part", ".house.ron.41.00ff00ff00ff00ff.part", ".house.ron.7.00ff00ff00ff00ff.bak"];
    let others = [".house.ron.notes.part", ".house.rona.41.part", "house.ron.41.part", ".house.ron.41.txt"];
    ours.iter().chain(&others).for_each(|name| fs::write(folder.path().join(name), "x").unwrap());
    drop(Lock::take(&path, false).unwrap());
    let mut left: Vec<&str> = others.into_iter().chain(["house.ron"]).collect();
    left.sort_unstable();
    assert_eq!(names(folder.path()), left);
}

/// Wherever the run was ended while versions went up, the five that were there are there again, in their order.
#[test]
fn the_oldest_version_comes_back_when_the_new_one_never_came() {
    for gap in 1..=KEPT_BACKUPS {
        let (folder, path) = house();
        let version = |n: usize| folder.path().join(format!("house.ron.{n}.bak"));
        // Before, 1 to 5 held their numbers; those from the gap on went one up, and 5 went aside.
        (1..gap).for_each(|n| fs::write(version(n), n.to_string()).unwrap());
        (gap..KEPT_BACKUPS).for_each(|n| fs::write(version(n + 1), n.to_string()).unwrap());
        fs::write(folder.path().join(".house.ron.41.00ff00ff00ff00ff.old"), KEPT_BACKUPS.to_string())
            .unwrap();
        drop(Lock::take(&path, false).unwrap());
        let now = (1..=KEPT_BACKUPS).map(|n| fs::read_to_string(version(n)).unwrap());
        assert_eq!(now.collect::<Vec<_>>(), ["1", "2", "3", "4", "5"], "gap at {gap}");
        assert_eq!(names(folder.path()).len(), 1 + KEPT_BACKUPS);
    }
}

/// A command that would write says who has the project, and writes nothing; one that reads is not kept from it.
#[test]
fn commands_that_write_leave_what_a_window_holds() {
    let (folder, path) = house();
    let before = fs::read(&path).unwrap();
    let run = |args: &[&str]| {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let args = args.iter().map(|a| a.replace("FILE", &path.display().to_string()).into()).collect();
        let outcome = commands::run_with(args, &mut out, &mut err);
        (outcome, String::from_utf8(err).unwrap())
    };
    let held = Lock::take(&path, true).unwrap();
    for args in [
        &["keep", "FILE", "--name", "a", "--out", "FILE"][..],
        &["choose", "FILE", "--finish", "2027-01-01", "--out", "FILE"],
        &["import", "sample_projects/orchard_house", "--out", "FILE", "--force"],
        &["return", "FILE", "--part", "x", "--state", "kept", "--out", "FILE"],
    ] {
        let (outcome, said) = run(args);
        assert_eq!(outcome, Outcome::Exit(commands::BAD), "{args:?}: {said}");
        assert!(said.contains("a window") && said.contains("has this project open"), "{args:?}: {said}");
        assert_eq!(fs::read(&path).unwrap(), before);
    }
    assert_ne!(run(&["check", "FILE"]).0, Outcome::Exit(commands::BAD));
    drop(held);
    let (outcome, said) = run(&["keep", "FILE", "--name", "a", "--out", "FILE"]);
    assert_eq!(outcome, Outcome::Exit(commands::GOOD), "{said}");
    assert_eq!(load(&path).unwrap().0.kept_plans.len(), 1);
    assert_eq!(names(folder.path()), ["house.ron", "house.ron.1.bak"]);
}
