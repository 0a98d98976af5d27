//! `keep`, `log` and `update`, as a user calls them.

mod common;

use common::{HOUSE, run, write_sheets};
use needline::model::{Cause, Project, file};
use std::fs;
use std::path::{Path, PathBuf};

const DAY: &str = "2026-06-08";

/// The house as a project without its own kept plans, and its sheets.
fn house(folder: &Path) -> (PathBuf, PathBuf) {
    let sheets = folder.join("sheets");
    write_sheets(&sheets, HOUSE);
    for own in ["kept_plans", "kept_phases", "kept_rooms", "log"] {
        let _ = fs::remove_file(sheets.join(format!("{own}.csv")));
    }
    let file = folder.join("house.ron");
    assert_eq!(run(&[&"import", &sheets, &"--out", &file]).0, 0);
    (file, sheets)
}

fn read(path: &Path) -> Project {
    file::load(path).unwrap().0
}

fn keep(file: &Path, name: &str) -> (u8, String, String) {
    run(&[&"keep", &file, &"--as-of", &DAY, &"--name", &name, &"--out", &file, &"--force"])
}

fn update(file: &Path, from: &Path, more: &[&str]) -> (u8, String, String) {
    let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> =
        vec![&"update", &file, &"--from", &from, &"--as-of", &DAY, &"--out", &file, &"--force"];
    args.extend(more.iter().map(|word| word as &dyn AsRef<std::ffi::OsStr>));
    run(&args)
}

/// A cell of a sheet, changed by its whole text.
fn change(sheets: &Path, sheet: &str, old: &str, new: &str) {
    let path = sheets.join(format!("{sheet}.csv"));
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text.matches(old).count(), 1, "{sheet}: {old}");
    fs::write(path, text.replace(old, new)).unwrap();
}

#[test]
fn changed_sheets_are_a_line_with_its_cause() {
    let folder = tempfile::tempdir().unwrap();
    let (file, _) = house(folder.path());
    let (code, out, _) = run(&[&"log", &file, &"--as-of", &DAY]);
    assert_eq!((code, out.as_str()), (0, "no plan is kept; needline keep keeps one\n"));
    assert_eq!(keep(&file, "  With the bank ").0, 0);
    let plan = read(&file).agreed_plan().unwrap().clone();
    assert_eq!(plan.name, "With the bank");
    let sheets = folder.path().join("changed");
    assert_eq!(run(&[&"export", &file, &"--out", &sheets]).0, 0);
    // Nothing is changed, so nothing is noted.
    assert_eq!(update(&file, &sheets, &[]).0, 0);
    assert!(read(&file).log.is_empty());
    change(
        &sheets,
        "phases",
        "Tile setting,Tile setter,work,,cover_up,5,4,8,",
        "Tile setting,Tile setter,work,,cover_up,45,40,48,",
    );
    let (code, out, err) =
        update(&file, &sheets, &["--what", "the tile setter needs longer", "--cause", "trade"]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let after = read(&file);
    let line = after.log.iter().next().unwrap();
    assert_eq!(
        (after.log.len(), line.what.as_str(), line.cause),
        (1, "the tile setter needs longer", Cause::Trade)
    );
    assert_eq!(line.finish_before, plan.finish);
    assert!(line.finish_after > line.finish_before);
    assert!(out.contains("trade: the tile setter needs longer; "), "{out}");
    let (_, told, _) = run(&[&"log", &file, &"--as-of", &DAY, &"--plan", &plan.key]);
    assert_eq!(told.lines().count(), 3, "{told}");
    assert!(told.lines().next().unwrap().contains("With the bank") && told.contains("trades"), "{told}");
    // Days later the wait itself is told, and stored only by a change.
    let (_, later, _) = run(&[&"log", &file, &"--as-of", &"2026-08-31"]);
    assert!(later.contains("time passed") && later.contains("to be noted with the next change"), "{later}");
    assert_eq!(read(&file), after);
}

#[test]
fn sheets_of_another_log_and_bad_cells_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (file, old_sheets) = house(folder.path());
    // Before a plan is kept, changed sheets are taken without a line.
    assert_eq!(update(&file, &old_sheets, &[]).0, 0);
    keep(&file, "First");
    let before = fs::read(&file).unwrap();
    let (code, _, err) = update(&file, &old_sheets, &[]);
    assert_eq!(code, 2);
    assert!(err.contains("not those of the project before"), "{err}");
    let sheets = folder.path().join("changed");
    assert_eq!(run(&[&"export", &file, &"--out", &sheets]).0, 0);
    change(&sheets, "phases", "rough_plumbing,in_wall,4", "rough_plumbing,in_wall,four");
    let (code, _, err) = update(&file, &sheets, &[]);
    assert_eq!(code, 2);
    assert!(err.contains("phases.csv row 4") && err.contains("nothing was written"), "{err}");
    for (more, word) in [(["--cause", "weather"], "weather"), (["--what", ""], "what")] {
        let (code, _, err) = update(&file, &sheets, &more);
        assert!(code == 2 && err.contains(word), "{more:?}: {err}");
    }
    let (code, _, err) = run(&[&"log", &file, &"--as-of", &DAY, &"--plan", &"other"]);
    assert!(code == 2 && err.contains("other") && err.contains("first"), "{err}");
    let (code, _, err) = keep(&file, " ");
    assert!(code == 2 && err.contains("name"), "{err}");
    assert_eq!(fs::read(&file).unwrap(), before);
    let other = folder.path().join("other.ron");
    fs::write(&other, "notes").unwrap();
    let (code, _, err) = run(&[&"keep", &file, &"--as-of", &DAY, &"--name", &"x", &"--out", &other]);
    assert!(code == 2 && err.contains("--force"), "{err}");
    assert_eq!(fs::read(&other).unwrap(), b"notes");
    let (code, _, err) = run(&[&"keep", &file, &"--as-of", &DAY, &"--name", &"x"]);
    assert!(code == 2 && err.contains("--out"), "{err}");
    assert_eq!(fs::read(&file).unwrap(), before);
}
