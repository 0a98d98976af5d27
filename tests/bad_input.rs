//! Bad input: every fault is named with its place, nothing is written, and the exit code is 2.

mod common;

use common::{HOUSE, house_with, run, write_sheets};
use needline::exchange::import_folder;
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

/// Sheet, text, what stands there instead, and how the only fault begins and goes on.
type Case = (&'static str, &'static str, &'static str, &'static str, &'static str);

const CASES: &[Case] = &[
    // Dates, numbers and words.
    (
        "settings",
        "start,2026-06-01",
        "start,06/01/2026",
        "settings.csv row 3, column value: ",
        "start: `06/01/2026`",
    ),
    ("settings", "start,2026-06-01", "beginning,2026-06-01", "settings.csv: ", "the row start is missing"),
    (
        "settings",
        "start,2026-06-01",
        "start,",
        "settings.csv row 3, column value: ",
        "start: this cell is empty",
    ),
    ("settings", "12.5", "120", "settings.csv row 11, column value: ", "above 100 percent"),
    (
        "settings",
        "currency,USD",
        "currency,dollars",
        "settings.csv row 6, column value: ",
        "`dollars` is no currency",
    ),
    (
        "settings",
        "holidays,us-federal",
        "holidays,moon",
        "settings.csv row 7, column value: ",
        "neither us-federal",
    ),
    (
        "settings",
        "weekdays,Mon-Fri",
        "weekdays,Noday",
        "settings.csv row 8, column value: ",
        "`noday` is no weekday",
    ),
    ("settings", "tax_by,order", "tax_by,whim", "settings.csv row 12, column value: ", "order, line"),
    ("settings", "year_built,1962", "start,2026-07-01", "settings.csv row 14, column key: ", "row 3 already"),
    ("closed", "2026-08-14", "2026-08-01", "closed.csv row 2, column to: ", "ends before it begins"),
    ("rooms", "8,5.5,8", "8,5.5 ft,8", "rooms.csv row 2, column width: ", "`5.5 ft` is no number"),
    ("rooms", "8,5.5,8", "8,-5.5,8", "rooms.csv row 2, column width: ", "negative"),
    (
        "rooms",
        "kitchen,Kitchen",
        "bath,Twin,,,,,\nkitchen,Kitchen",
        "rooms.csv row 3, column key: ",
        "in row 2",
    ),
    ("rooms", "12 10; ", "12; ", "rooms.csv row 3, column polygon: ", "`12` is no corner"),
    (
        "rooms",
        "0 0; 12 0; 12 10; 6 10; 6 14; 0 14",
        "0 0; 12 0",
        "rooms.csv row 3, column polygon: ",
        "three corners",
    ),
    ("openings", "bath,door", "barn,door", "openings.csv row 2, column room: ", "no room `barn`"),
    ("openings", "bath,door", "bath,hatch", "openings.csv row 2, column kind: ", "door, window, cased"),
    ("openings", "2.5,6.67,1", "2.5,-6.67,1", "openings.csv row 2, column height: ", "negative"),
    ("openings", "2.5,6.67,1", ",6.67,1", "openings.csv row 2, column width: ", "this cell is empty"),
    ("phases", "work,4,3,6", "work,-4,3,6", "phases.csv row 3, column days: ", "negative"),
    ("phases", "work,4,3,6", "work,four,3,6", "phases.csv row 3, column days: ", "`four` is no whole number"),
    ("phases", "work,4,3,6", "work,4,5,6", "phases.csv row 3, column days_min: ", "not between"),
    (
        "phases",
        "2026-06-15",
        "2026-06-31",
        "phases.csv row 4, column not_before: ",
        "`2026-06-31` is no date",
    ),
    ("phases", "milestone,0", "milestone,3", "phases.csv row 2, column kind: ", "a milestone takes no days"),
    (
        "links",
        "permit,demo,FS",
        "permit,demmo,FS",
        "links.csv row 2, column after: ",
        "no phase `demmo` in phases.csv (`demo`?)",
    ),
    ("links", "permit,demo,FS", "demo,demo,FS", "links.csv row 2, column before: ", "cannot wait for itself"),
    ("links", "permit,demo,FS", "permit,demo,XY", "links.csv row 2, column type: ", "FS, SS, FF, SF"),
    (
        "links",
        "tile,finish,FF,1,working",
        "tile,finish,FF,1,elapsed",
        "links.csv row 6, column type: ",
        "elapsed lag",
    ),
    (
        "links",
        "permit,demo",
        "finish,demo",
        "links.csv row ",
        "rough > rough_ok > tile > finish > demo > rough",
    ),
    (
        "attempts",
        "rough_ok,",
        "tile,",
        "attempts.csv row 2, column phase: ",
        "only an inspection has attempts",
    ),
    ("attempts", "failed", "maybe", "attempts.csv row 2, column result: ", "passed, failed"),
    ("suppliers", "8.875", "108.875", "suppliers.csv row 2, column tax_pct: ", "above 100 percent"),
    ("suppliers", "2500,yes", "2500,perhaps", "suppliers.csv row 2, column freight_taxed: ", "yes, no"),
    ("supplier_closed", "stone", "stones", "supplier_closed.csv row 2, column supplier: ", "(`stone`?)"),
    ("selections", "shower,bath", "shower,garage", "selections.csv row 2, column room: ", "no room `garage`"),
    ("selections", "shower,bath", "shower,", "selections.csv row 2, column room: ", "this cell is empty"),
    (
        "selections",
        "Kitchen sink,600",
        "Kitchen sink,\"$1,600\"",
        "selections.csv row 4, column allowance: ",
        "`$1,600` is no number",
    ),
    (
        "selections",
        "Kitchen sink,600",
        "Kitchen sink,-600",
        "selections.csv row 4, column allowance: ",
        "negative",
    ),
    (
        "options",
        "steel,candidate",
        "steel,chosen",
        "options.csv row 3, column state: ",
        "more than one option of `shower` is chosen: see row 2",
    ),
    ("options", "shower,shower_b", "shover,shower_b", "options.csv row 3, column selection: ", "(`shower`?)"),
    (
        "options",
        "shower,shower_b",
        "shower,shower_a,,,\nshower,shower_b",
        "options.csv row 3, column key: ",
        "in row 2",
    ),
    (
        "parts",
        "pipes,rough,start",
        "pumps,rough,start",
        "parts.csv row 2, column supplier: ",
        "no supplier `pumps`",
    ),
    ("parts", "pipes,rough,start", "pipes,ruff,start", "parts.csv row 2, column phase: ", "no phase `ruff`"),
    (
        "parts",
        "pipes,rough,start,1,each",
        "pipes,rough,start,-1,each",
        "parts.csv row 2, column quantity: ",
        "negative",
    ),
    ("parts", "\"band(0,7)\"", "flor*2", "parts.csv row 5, column quantity: ", "no measure of a room"),
    ("parts", "214.35", "-214.35", "parts.csv row 2, column unit_price: ", "negative"),
    (
        "parts",
        "3,weeks,2,6",
        "three,weeks,2,6",
        "parts.csv row 2, column lead: ",
        "`three` is no whole number",
    ),
    ("parts", "3,weeks,2,6", "3,weeks,4,6", "parts.csv row 2, column lead_min: ", "not between"),
    ("parts", "3,weeks,2,6", "-3,weeks,,6", "parts.csv row 2, column lead: ", "-3 is negative"),
    ("parts", "3,weeks,2,6", "3,months,2,6", "parts.csv row 2, column lead_unit: ", "days, weeks, working"),
    ("parts", "shower_a,shower_trim", "shower_a,shower_body", "parts.csv row 3, column key: ", "in row 2"),
    ("parts", "shower_a,shower_trim", "shower_a,", "parts.csv row 3, column key: ", "this cell is empty"),
    (
        "parts",
        "2026-06-01,,2026-06-04",
        "2026-06-09,,2026-06-04",
        "parts.csv row 6, column ordered_on: ",
        "before it was ordered",
    ),
    ("parts", "5.38,10", "0,10", "parts.csv row 5, column pack: ", "holds nothing"),
    ("quotes", "q2,rough", "q1,rough", "quotes.csv row 3, column key: ", "in row 2"),
    ("quotes", "candidate", "considered", "quotes.csv row 3, column state: ", "candidate, accepted"),
    ("quotes", "4200", "4.2.0", "quotes.csv row 2, column amount: ", "no number"),
    (
        "extras",
        "rot,Rotten joist,extra,demo",
        "rot,Rotten joist,extra,deno",
        "extras.csv row 3, column phase: ",
        "(`demo`?)",
    ),
    // Headers and rows.
    (
        "parts",
        "option,key,name",
        "options,key,name",
        "parts.csv row 1, column option: ",
        "this column is missing",
    ),
    ("phases", "days_min,days_max", "days_min,days_min", "phases.csv row 1, column days_min: ", "twice"),
    (
        "extras",
        "rot,Rotten joist,extra,demo,640,",
        "rot,Rotten joist,extra,demo,640,,7",
        "extras.csv row 3: ",
        "7 cells where the header has 6",
    ),
    (
        "extras",
        "rot,Rotten joist,extra,demo,640,",
        "rot,Rotten joist",
        "extras.csv row 3: ",
        "2 cells where the header has 6",
    ),
];

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
    let half = &good[..good.len() / 2];
    let broken_at = format!("line {}", half.lines().count());
    for (text, expected) in [
        (good.replace("schema: 1", "schema: 99"), "later version (schema 99"),
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
