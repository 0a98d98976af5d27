//! Input made to be too much: without end, too large, too deep, too many. It is refused in words, in the memory of a
//! common computer, and nothing is written.

mod common;

use common::{HOUSE, house_with, run, write_sheets};
use needline::exchange::import_folder;
use needline::exchange::notice::MOST_FAULTS;
use needline::model::{Action, Crew, CrewId, Project, file};
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

#[test]
fn keys_and_names_of_megabytes_are_refused_in_a_short_sentence() {
    let long = "n".repeat(2_000_000);
    let folder = tempfile::tempdir().unwrap();
    for (row, told) in [
        (format!("a,{long}"), "rooms.csv row 2, column name: the name `nnn"),
        (format!("{long},x"), "rooms.csv row 2, column key: the key `nnn"),
    ] {
        fs::write(folder.path().join("settings.csv"), "key,value\nstart,2026-01-05\n").unwrap();
        fs::write(folder.path().join("rooms.csv"), format!("key,name\n{row}\n")).unwrap();
        let errors = import_folder(folder.path()).unwrap_err().to_string();
        assert!(errors.starts_with(told) && errors.len() < 250, "{}", &errors[..300.min(errors.len())]);
    }
    // The same in a project file, and by an edit.
    let mut project = Project::new("House", needline::model::dates::FIRST_DAY);
    let crew = Crew::new(CrewId(1), "c", &long);
    assert!(project.apply(&Action::PutCrew(crew.clone())).is_err());
    project.next_id = 2;
    project.crews = std::sync::Arc::new(vec![crew]);
    let path = folder.path().join("long.ron");
    file::save(&project, &path, None).unwrap();
    let errors = file::load(&path).unwrap_err().to_string();
    assert!(errors.contains("crew `c`: the name `nnn") && errors.len() < 400, "{}", errors.len());
}

#[test]
fn of_many_faults_in_a_project_file_the_first_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut project = Project::new("House", needline::model::dates::FIRST_DAY);
    let crews = (1..=3_000).map(|id| Crew::new(CrewId(id), " ", "x"));
    project.crews = std::sync::Arc::new(crews.collect());
    project.next_id = 3_001;
    let path = folder.path().join("many.ron");
    file::save(&project, &path, None).unwrap();
    let (code, _, err) = run(&[&"check", &path]);
    // Each has a bad key, and all but the first one that is used already.
    assert_eq!((code, err.lines().count()), (2, 1_001));
    assert!(err.trim_end().ends_with("and 4999 more like these"), "{}", &err[err.len() - 100..]);
}

/// No byte that a terminal obeys (ECMA-48: C0, DEL and C1; bidirectional controls: UAX 9) is in what a command writes,
/// whatever names, notes, keys, file names and arguments hold.
#[test]
fn nothing_that_a_terminal_obeys_is_written() {
    const BAD: &str = "\u{1b}]0;owned\u{7}\u{9b}2J\rx\u{8}\u{202e}\u{7f}";
    let folder = tempfile::tempdir().unwrap();
    // Whatever has a name gets it: every name and note of the house.
    let (sheets, clean) = (folder.path().join("sheets"), folder.path().join("house.ron"));
    fs::create_dir(&sheets).unwrap();
    write_sheets(&sheets, HOUSE);
    run(&[&"import", &sheets, &"--out", &clean]);
    let text = fs::read_to_string(&clean).unwrap();
    let bad = BAD.chars().map(|c| format!("\\u{{{:x}}}", u32::from(c))).collect::<String>();
    let mut spoiled = String::new();
    let lines: Vec<&str> = text.lines().collect();
    for (line, next) in lines.iter().zip(lines.iter().skip(1).chain([&""])) {
        // The name of a fact is held to a word.
        let is_fact = next.trim_start().starts_with("value:");
        let named = ["name: \"", "note: \"", "why: \"", "contact: \""];
        match !is_fact && named.iter().any(|n| line.trim_start().starts_with(n)) {
            true => spoiled.push_str(&line.replacen(": \"", &format!(": \"x{bad}"), 1)),
            false => spoiled.push_str(line),
        }
        spoiled.push('\n');
    }
    assert!(spoiled.matches("\\u{1b}").count() > 20, "{spoiled}");
    let path = folder.path().join(format!("house{BAD}.ron"));
    fs::write(&path, &spoiled).unwrap();
    assert!(file::load(&path).is_ok());
    let (broken, missing) =
        (folder.path().join(format!("x{BAD}.ron")), folder.path().join(format!("y{BAD}")));
    fs::write(&broken, format!("(schema: 5, project: (settings: (name: {BAD}")).unwrap();
    write_sheets(&sheets, &house_with("rooms", &format!("key,name,length,{BAD}\nk{BAD},x,{BAD},\n")));
    let out = folder.path().join(format!("out{BAD}"));
    let runs: Vec<Vec<&dyn AsRef<std::ffi::OsStr>>> = vec![
        vec![&"check", &path],
        vec![&"figures", &path],
        vec![&"week", &path],
        vec![&"week", &path, &"--format", &"json"],
        vec![&"log", &path],
        vec![&"swaps", &path],
        vec![&"buy", &path, &"--out", &out],
        vec![&"buy", &path, &"--out", &out],
        vec![&"buy", &path, &"--out", &out, &"--supplier", &BAD],
        vec![&"crew", &path, &"--out", &out, &"--force"],
        vec![&"print", &path, &"--out", &out, &"--format", &"html", &"--force"],
        vec![&"export", &path, &"--out", &out, &"--force"],
        vec![&"check", &broken],
        vec![&"check", &missing],
        vec![&"import", &sheets, &"--out", &missing],
        vec![&"import-list", &path, &broken],
        vec![&BAD, &BAD],
        vec![&"check", &path, &"--as-of", &BAD],
        vec![&"check", &BAD, &BAD],
    ];
    let mut told = 0;
    for args in runs {
        let (code, out, err) = run(&args);
        let words: Vec<_> = args.iter().map(|a| a.as_ref().to_string_lossy().into_owned()).collect();
        for text in [&out, &err] {
            let obeyed = |c: &char| {
                c.is_control() && !matches!(c, '\n' | '\t')
                    || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
            };
            assert_eq!(text.chars().find(obeyed), None, "{words:?} {code}: {text:?}");
            told += text.matches("\\u001b").count();
        }
        if words[0] == "figures" {
            // JSON means the same with the character written so.
            let figures: serde_json::Value = serde_json::from_str(&out).unwrap();
            let text = figures.to_string();
            assert!(["\u{9b}2J", "\u{202e}"].iter().all(|c| text.contains(c)), "{text}");
        }
    }
    assert!(told > 20, "what was written is shown and not left out: {told}");
}
