//! Saving on a disk that refuses, and reading what was saved by other versions of the program.

#[path = "support/refusing.rs"]
mod refusing;
mod support;

use needline::model::Project;
use needline::model::file::{KEPT_BACKUPS, SCHEMA, from_text, load, save, save_on, to_text};
use refusing::Refusing;
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use support::*;

fn house(n: usize) -> Project {
    let mut project = project("2026-06-01");
    project.settings.name = format!("House {n}");
    project
}

/// A folder with a project that was saved so often, the last time as the last of these houses.
fn saved(times: usize) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    for n in 0..times {
        save(&house(n), &path, None).unwrap();
    }
    (folder, path)
}

/// Every file of a folder by its name.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entry = |entry: io::Result<fs::DirEntry>| {
        let path = entry.unwrap().path();
        (
            path.file_name().unwrap().to_string_lossy().into_owned(),
            fs::read_to_string(&path).unwrap_or_default(),
        )
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

/// Through the system itself: a name that no file system takes, and a path through a file.
#[test]
fn refused_saves_say_what_to_do_and_change_nothing() {
    let (folder, path) = saved(7);
    let before = files(folder.path());
    let long = folder.path().join(format!("{}.ron", "a".repeat(300)));
    for (bad, way_out) in [
        (long, "choose a shorter one"),
        (path.join("below.ron"), "choose another path"),
        (folder.path().join("gone/x.ron"), "its folder is not there any more"),
        (folder.path().to_owned(), "there is a folder of this name"),
        ("/dev/null".into(), "choose another name"),
    ] {
        let said = save(&house(9), &bad, None).unwrap_err().to_string();
        assert!(said.contains(way_out) && !said.contains("os error"), "{said}");
    }
    assert_eq!(files(folder.path()), before);
}

/// A project as the first schema wrote it; the file stays as it was written then.
#[test]
fn a_file_of_the_first_schema_is_read_and_saved_in_this_one() {
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/schema_1.ron");
    assert!(fs::read_to_string(&old).unwrap().contains("\n  schema: 1,\n"));
    let (read, _) = load(&old).unwrap();
    assert_eq!(read.settings.name, "Hall bath");
    let sizes = (read.rooms.len(), read.phases.len(), read.suppliers.len(), read.selections.len());
    assert_eq!(sizes, (2, 12, 5, 20));
    assert_eq!(read.all_parts().count(), 37);
    let folder = tempfile::tempdir().unwrap();
    let new = folder.path().join("new.ron");
    save(&read, &new, None).unwrap();
    assert!(fs::read_to_string(&new).unwrap().contains(&format!("\n  schema: {SCHEMA},\n")));
    assert_eq!(load(&new).unwrap().0, read);
}

/// The words, numbers and days between quotation marks in a project file, with how often each is there.
fn quoted(text: &str) -> std::collections::BTreeMap<&str, usize> {
    let mut found = std::collections::BTreeMap::new();
    for line in text.lines() {
        for piece in line.split('"').skip(1).step_by(2) {
            *found.entry(piece).or_default() += 1;
        }
    }
    found
}

/// The large sample as each later schema wrote it; the files stay as they were written then. Whatever stood between
/// quotation marks is in the file that is written now, as often as it was: nothing was lost on the way.
#[test]
fn a_file_of_each_schema_is_read_and_keeps_all_its_words() {
    let folder = tempfile::tempdir().unwrap();
    for schema in 2..SCHEMA {
        let old = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/data/schema_{schema}.ron"));
        let text = fs::read_to_string(&old).unwrap_or_else(|why| panic!("{}: {why}", old.display()));
        assert!(text.contains(&format!("\n  schema: {schema},\n")));
        let (read, _) = load(&old).unwrap();
        let new = folder.path().join(format!("{schema}.ron"));
        save(&read, &new, None).unwrap();
        assert_eq!(load(&new).unwrap().0, read);
        let written = fs::read_to_string(&new).unwrap();
        let now = quoted(&written);
        for (words, times) in quoted(&text) {
            let found = now.get(words).copied().unwrap_or(0);
            assert!(
                found >= times,
                "schema {schema}: `{words}` was there {times} times and is {found} times"
            );
        }
    }
}

/// What another version wrote is newer; in a file of a known schema an unknown field is a slip with its place.
#[test]
fn an_unknown_field_is_newer_only_in_a_newer_file() {
    let text = to_text(&house(1)).unwrap();
    let with = text.replacen("settings: (\n", "settings: (\n      moon: 3,\n", 1);
    assert_ne!(with, text);
    let read = |text: &str| from_text(text, Path::new("x.ron")).unwrap_err().to_string();
    let line = with.lines().position(|l| l.contains("moon")).unwrap() + 1;
    for schema in 1..=SCHEMA {
        let said = read(&with.replace(&format!("schema: {SCHEMA}"), &format!("schema: {schema}")));
        assert!(said.starts_with(&format!("x.ron: line {line}, column ")) && said.contains("moon"), "{said}");
    }
    let said = read(&with.replace(&format!("schema: {SCHEMA}"), &format!("schema: {}", SCHEMA + 1)));
    assert!(said.contains("written by a later version") && !said.contains("moon"), "{said}");
}

/// Whatever the fault, the versions beside a file are named with what to do; a text that never was a project is called so.
#[test]
fn a_file_that_cannot_be_read_names_its_earlier_versions() {
    let (_folder, path) = saved(3);
    let good = fs::read_to_string(&path).unwrap();
    for (text, expected) in [
        (good[..good.len() / 2].to_owned(), "the file ends here, in the middle of the project"),
        (String::new(), "this is no Needline project"),
        ("hello, there".to_owned(), "this is no Needline project"),
        (good.replace("hold: 0", "hold: none"), "line "),
    ] {
        fs::write(&path, text).unwrap();
        let said = load(&path).unwrap_err().to_string();
        assert!(said.contains(expected), "{said}");
        for version in ["house.ron.1.bak of 20", "house.ron.2.bak of 20", "copy one to a name of its own"] {
            assert!(said.contains(version), "{said}");
        }
        assert!(!said.contains("house.ron.3.bak") && !said.contains("`Read`"), "{said}");
    }
}
