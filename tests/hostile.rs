//! Input made to be too much: without end, too large, too deep, too many. It is refused in words, in the memory of a
//! common computer, and nothing is written.

mod common;

use common::{HOUSE, run, write_sheets};
use needline::exchange::import_folder;
use needline::exchange::notice::MOST_FAULTS;
use needline::model::file;
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// A file of one byte more than a limit, of which the disk keeps nothing.
fn hole(path: &Path, length: u64) {
    fs::File::create(path).unwrap().set_len(length).unwrap();
}

#[test]
fn files_without_end_and_files_too_large_are_refused_as_projects() {
    let folder = tempfile::tempdir().unwrap();
    let large = folder.path().join("large.ron");
    hole(&large, file::MOST_BYTES + 1);
    let mut paths = vec![large];
    if Path::new("/dev/zero").exists() {
        paths.push("/dev/zero".into());
    }
    for path in paths {
        let (code, out, err) = run(&[&"check", &path]);
        assert_eq!((code, out.as_str()), (2, ""), "{err}");
        assert!(err.contains("this has more than 256 MB"), "{err}");
    }
    let (code, _, err) = run(&[&"check", &folder.path()]);
    assert!(code == 2 && err.contains("this is a folder; choose a file"), "{err}");
}

#[test]
fn sheets_too_large_are_refused_by_name() {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    hole(&folder.path().join("parts.csv"), 64 * 1024 * 1024 + 1);
    let told = import_folder(folder.path()).unwrap_err().to_string();
    assert!(told.contains("parts.csv: this has more than 64 MB"), "{told}");

    fs::write(folder.path().join("parts.csv"), ",".repeat(1_000_000)).unwrap();
    let told = import_folder(folder.path()).unwrap_err().to_string();
    assert!(told.contains("parts.csv row 1: the header has more than 256 columns"), "{told}");

    let mut rows = "key,name\n".to_owned();
    (0..=200_000).for_each(|i| writeln!(rows, "r{i},x").unwrap());
    fs::write(folder.path().join("rooms.csv"), rows).unwrap();
    let told = import_folder(folder.path()).unwrap_err().to_string();
    assert!(told.contains("rooms.csv row 200002: this sheet has more than 200000 rows"), "{told}");
}

#[test]
fn of_many_faults_the_first_are_told_and_the_rest_counted() {
    let folder = tempfile::tempdir().unwrap();
    let rows = 150_000;
    let mut text = "key,name,length\n".to_owned();
    (0..rows).for_each(|i| writeln!(text, "r{i},x,wide").unwrap());
    fs::write(folder.path().join("rooms.csv"), text).unwrap();
    fs::write(folder.path().join("settings.csv"), "key,value\nstart,2026-01-05\n").unwrap();
    let errors = import_folder(folder.path()).err().unwrap();
    assert_eq!((errors.faults.len(), errors.count()), (MOST_FAULTS, rows));
    let out = folder.path().join("out.ron");
    let (code, _, err) = run(&[&"import", &folder.path(), &"--out", &out]);
    assert_eq!(
        (code, err.lines().count()),
        (2, MOST_FAULTS + 2),
        "the faults, how many more, and the last line"
    );
    assert!(err.contains("\nand 149000 more faults like these"), "{}", &err[err.len() - 300..]);
    assert!(!out.exists());
}

#[test]
fn a_project_nested_without_end_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("deep.ron");
    for deep in ["(", "[", "{", "Some("] {
        for before in ["", "(schema: 5, project: ", "(schema: 5, project: (settings: "] {
            fs::write(&path, before.to_owned() + &deep.repeat(300_000)).unwrap();
            let (code, _, err) = run(&[&"check", &path]);
            assert_eq!(code, 2, "{err}");
        }
    }
}
