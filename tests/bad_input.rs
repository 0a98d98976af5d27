//! Bad input: every fault is named with its place, nothing is written, and the exit code is 2.

#[path = "common/bad_cells.rs"]
mod bad_cells;
mod common;

use bad_cells::CASES;
use common::{HOUSE, house_with, run, write_sheets};
use needline::exchange::import_folder;
use needline::exchange::notice::MOST_FAULTS;
use needline::model::{Project, file};
use std::fs;
use std::path::Path;

/// The house with one text in one sheet replaced by another.
fn house_but(folder: &Path, sheet: &str, old: &str, new: &str) {
    let (_, text) = HOUSE.iter().find(|(name, _)| *name == sheet).expect(sheet);
    assert!(text.contains(old), "{sheet} has no {old}");
    write_sheets(folder, &house_with(sheet, &text.replacen(old, new, 1)));
}

fn faults(folder: &Path) -> Vec<String> {
    match import_folder(folder) {
        Ok(_) => Vec::new(),
        Err(errors) => errors.faults.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn each_fault_is_named_once_and_with_its_place() {
    for (sheet, old, new, place, message) in CASES {
        let folder = tempfile::tempdir().unwrap();
        house_but(folder.path(), sheet, old, new);
        let found = faults(folder.path());
        let [only] = found.as_slice() else {
            panic!("{sheet}, {new}: one fault is expected, there are {found:#?}")
        };
        assert!(only.starts_with(place), "{sheet}, {new}: {only}");
        assert!(only.contains(message), "{sheet}, {new}: {only}");
    }
}

#[test]
fn all_bad_rows_are_reported_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let parts = "option,key,supplier,lead,unit_price,quantity\nshower_a,a,pipes,x,1,1\nshower_a,b,pipes,1,-1,1\n\
                 \nshower_a,c,pipes,1,1,1\nnone,d,nobody,y,z,-4\n";
    write_sheets(folder.path(), &house_with("parts", parts));
    fs::write(folder.path().join("closed.csv"), "from,to\nnever,2026-01-01\n").unwrap();
    // Other sheets name the parts that are not there now.
    let naming = ["facts", "specs", "returns", "deliveries", "payments", "conditions", "handover"];
    for sheet in naming.into_iter().chain(["log", "kept_plans", "kept_phases", "kept_rooms"]) {
        fs::remove_file(folder.path().join(format!("{sheet}.csv"))).unwrap();
    }
    let found = faults(folder.path());
    let places = [
        "closed.csv row 2, column from: ",
        "parts.csv row 2, column lead: ",
        "parts.csv row 3, column unit_price: ",
        "parts.csv row 6, column option: ",
        "parts.csv row 6, column supplier: ",
        "parts.csv row 6, column quantity: ",
        "parts.csv row 6, column unit_price: ",
        "parts.csv row 6, column lead: ",
    ];
    assert_eq!(found.len(), places.len(), "{found:#?}");
    for (fault, place) in found.iter().zip(places) {
        assert!(fault.starts_with(place), "{fault} is not at {place}");
    }
}

#[test]
fn a_bad_row_brings_no_faults_in_the_sheets_that_refer_to_it() {
    let folder = tempfile::tempdir().unwrap();
    house_but(folder.path(), "rooms", "8,5.5,8", "x,5.5,8");
    assert_eq!(faults(folder.path()).len(), 1);
    house_but(folder.path(), "phases", "tile,Tile setting,", "tile;Tile setting,");
    let found = faults(folder.path());
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("phases.csv row 6: "), "{found:?}");
}

#[test]
fn numbers_beyond_all_bounds_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    for lag in ["-2147483648", "2147483647", "5001", "99999999999"] {
        house_but(folder.path(), "links", "permit,demo,FS,0", &format!("permit,demo,FS,{lag}"));
        let found = faults(folder.path());
        assert_eq!(found.len(), 1, "{lag}: {found:?}");
        assert!(found[0].starts_with("links.csv row 2, column lag: "), "{found:?}");
    }
    let path = saved_house(folder.path());
    let text = fs::read_to_string(&path).unwrap();
    let at = text.find("next_id: ").unwrap();
    fs::write(&path, format!("{}next_id: 4294967295,\n  ),\n)\n", &text[..at])).unwrap();
    let (code, _, err) = run(&[&"check", &path]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("next_id 4294967295"), "{err}");
}

#[test]
fn many_faults_do_not_take_forever() {
    let folder = tempfile::tempdir().unwrap();
    let mut parts = "option,key,supplier,phase\n".to_owned();
    let mut phases = "key\n".to_owned();
    let mut links = "before,after\n".to_owned();
    for i in 0..4_000 {
        parts.push_str(&format!("no_such_option_{i},part_{i},nobody_{i},phase_{i}_\n"));
        phases.push_str(&format!("phase_{i}\n"));
        links.push_str(&format!("phase_{i},phase_{}\n", i ^ 1));
    }
    write_sheets(folder.path(), &[("settings", "key,value\nstart,2026-06-01\n")]);
    write_sheets(folder.path(), &[("parts", &parts), ("phases", &phases), ("links", &links)]);
    let errors = import_folder(folder.path()).expect_err("none of the parts has an option");
    // All are counted; as many as somebody can read are told, from each of the sheets.
    assert!(errors.count() > 12_000, "{}", errors.count());
    let found: Vec<String> = errors.faults.iter().map(ToString::to_string).collect();
    assert_eq!(found.len(), MOST_FAULTS);
    assert!(found.iter().any(|f| f.starts_with("parts.csv row ")), "{}", found[0]);
    assert!(found.iter().any(|f| f.starts_with("links.csv row ")), "{}", found[0]);
}

#[test]
fn what_is_no_text_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    let rooms = folder.path().join("rooms.csv");
    for (bytes, expected) in [
        (&b"key,name\nbath,ok\nkitchen,caf\xe9\n"[..], "rooms.csv row 3, column name: this is not UTF-8"),
        (b"\xff\xfek\0e\0y\0", "rooms.csv: this is UTF-16"),
        (b"", "rooms.csv: the file is empty"),
        (b"key;name\nbath;ok\n", "rooms.csv row 1, column key: this column is missing; the cells seem"),
        (b"key,name\nbath,ok\nkitchen,\"open\nattic,x\n", "rooms.csv row 3: a quotation mark"),
    ] {
        fs::write(&rooms, bytes).unwrap();
        let found = faults(folder.path());
        assert_eq!(found.len(), 1, "{expected}: {found:#?}");
        assert!(found[0].starts_with(expected), "{expected}: {found:#?}");
    }
    fs::remove_file(folder.path().join("settings.csv")).unwrap();
    write_sheets(folder.path(), &[("rooms", "key\nbath\nkitchen\n")]);
    let found = faults(folder.path());
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].starts_with("settings.csv: this sheet is missing"), "{found:?}");
    assert!(!faults(&folder.path().join("nowhere")).is_empty());
}

#[test]
fn a_bad_import_writes_nothing_and_leaves_with_two() {
    let folder = tempfile::tempdir().unwrap();
    let sheets = folder.path().join("sheets");
    house_but(&sheets, "parts", "214.35", "-214.35");
    let out = folder.path().join("house.ron");
    let (code, text, err) = run(&[&"import", &sheets, &"--out", &out]);
    assert_eq!((code, text.as_str()), (2, ""));
    assert!(err.contains("parts.csv row 2, column unit_price: -214.35 is negative"), "{err}");
    assert!(err.contains("1 fault"), "{err}");
    assert!(!out.exists());
    // One that is there stays as it is, also when it may be replaced.
    fs::write(&out, "precious").unwrap();
    for args in [&[&"--force"][..], &[]] {
        let mut all: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"import", &sheets, &"--out", &out];
        args.iter().for_each(|a| all.push(*a));
        assert_eq!(run(&all).0, 2);
        assert_eq!(fs::read_to_string(&out).unwrap(), "precious");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

fn saved_house(folder: &Path) -> std::path::PathBuf {
    let sheets = folder.join("sheets");
    write_sheets(&sheets, HOUSE);
    let path = folder.join("house.ron");
    let (project, _) = import_folder(&sheets).unwrap();
    file::save(&project, &path, None).unwrap();
    path
}

#[test]
fn unreadable_projects_leave_with_two_and_stay_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_house(folder.path());
    let good = fs::read_to_string(&path).unwrap();
    let half = &good[..good.find("lead: 60").unwrap() + "lead:".len()];
    let broken_at = format!("line {}", half.lines().count());
    for (text, expected) in [
        (good.replace(&format!("schema: {}", file::SCHEMA), "schema: 99"), "later version (schema 99"),
        (half.to_owned(), broken_at.as_str()),
        (good.replace("lead: 60", "lead: -60"), "line "),
        (good.replace("unit_price: \"512", "unit_price: \"-512"), "the unit price -512 is negative"),
        (String::new(), "line 1, column 1"),
    ] {
        assert_ne!(text, good);
        fs::write(&path, &text).unwrap();
        let out = folder.path().join("out");
        let commands: [&[&dyn AsRef<std::ffi::OsStr>]; 4] = [
            &[&"check", &path],
            &[&"figures", &path, &"--as-of", &"2026-06-08"],
            &[&"buy", &path, &"--out", &out],
            &[&"export", &path, &"--out", &out],
        ];
        for args in commands {
            let (code, printed, err) = run(args);
            assert_eq!((code, printed.as_str()), (2, ""), "{err}");
            assert!(err.contains("house.ron") && err.contains(expected), "{expected}: {err}");
        }
        assert!(!out.exists());
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
    }
    let (code, _, err) = run(&[&"check", &folder.path().join("missing.ron")]);
    assert_eq!(code, 2);
    assert!(err.contains("missing.ron"), "{err}");
}

#[test]
fn check_reports_circles_late_parts_and_open_decisions() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_house(folder.path());
    let (code, out, _) = run(&[&"check", &path, &"--as-of", &"2026-06-22"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.lines().any(|l| l.starts_with("error late shower_trim: ")), "{out}");
    assert!(out.lines().any(|l| l.contains(" undecided sink: ")), "{out}");
    let last = out.lines().last().unwrap();
    assert!(last.ends_with("on 2026-06-22") && last.contains(" error"), "{last}");
    assert_eq!(
        out.lines().filter(|l| l.starts_with("error ")).count().to_string(),
        last.split(' ').next().unwrap()
    );

    let (mut project, _) = file::load(&path).unwrap();
    let links = std::sync::Arc::make_mut(&mut project.links);
    (links[0].before, links[0].after) = (project.phases[5].id, project.phases[1].id);
    file::save(&project, &path, None).unwrap();
    let (code, out, _) = run(&[&"check", &path]);
    assert_eq!(code, 1);
    assert!(
        out.lines().any(|l| l.starts_with("error cycle ") && l.contains("rough > rough_ok > tile")),
        "{out}"
    );
    assert_eq!(run(&[&"figures", &path]).0, 0);

    let empty = folder.path().join("empty.ron");
    let start = chrono::NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
    file::save(&Project::new("Empty", start), &empty, None).unwrap();
    let (code, out, _) = run(&[&"check", &empty, &"--as-of", &"2026-06-01"]);
    assert_eq!((code, out.as_str()), (0, "no problems on 2026-06-01\n"));
}

/// A PNG of 68 bytes whose header claims a side of so many dots; the sum over the header is that of RFC 2083.
fn claims(side: u32, sum: [u8; 4]) -> Vec<u8> {
    let mut png = vec![137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13];
    png.extend(b"IHDR");
    png.extend([side.to_be_bytes(), side.to_be_bytes()].concat());
    png.extend([8, 2, 0, 0, 0]);
    png.extend(sum);
    png.extend([0, 0, 0, 11, 73, 68, 65, 84, 120, 156, 99, 96, 0, 1, 0, 0, 6, 0, 1, 254, 140, 103, 200]);
    png.extend([0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130]);
    png
}

#[test]
fn a_picture_that_claims_to_be_huge_is_said_on_the_paper() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_house(folder.path());
    let picture = folder.path().join("house_pictures/shower_a.jpg");
    fs::create_dir(picture.parent().unwrap()).unwrap();
    let papers = folder.path().join("papers");
    for (side, sum) in [(30_000, [233, 69, 111, 237]), (400_000, [234, 249, 5, 52])] {
        fs::write(&picture, claims(side, sum)).unwrap();
        let (code, _, err) =
            run(&[&"print", &path, &"--out", &papers, &"--paper", &"selections", &"--format", &"html"]);
        assert_eq!((code, err.as_str()), (0, ""));
        let paper = fs::read_to_string(papers.join("selections.html")).unwrap();
        assert!(paper.contains("picture is too large to be shown; make it smaller"), "{side}");
        fs::remove_dir_all(&papers).unwrap();
    }
}
