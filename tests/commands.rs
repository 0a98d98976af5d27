//! Commands, as a user calls them.

mod common;

use common::{HOUSE, run, sample_folders, write_sheets};
use needline::commands::{self, Outcome};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The house and the samples as project files in a folder.
fn projects(folder: &Path) -> Vec<PathBuf> {
    let sheets = folder.join("house sheets");
    write_sheets(&sheets, HOUSE);
    let mut files = Vec::new();
    for (i, source) in [sheets].into_iter().chain(sample_folders()).enumerate() {
        let file = folder.join(format!("project {i}.ron"));
        let (code, out, err) = run(&[&"import", &source, &"--out", &file]);
        assert_eq!((code, err.as_str()), (0, ""), "{}", source.display());
        assert!(out.contains("rooms"), "{out}");
        files.push(file);
    }
    files
}

fn figures(file: &Path) -> Value {
    let (code, out, err) = run(&[&"figures", &file]);
    assert_eq!((code, err.as_str()), (0, ""));
    serde_json::from_str(&out).unwrap()
}

fn decimal(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

#[test]
fn figures_have_the_agreed_keys() {
    let folder = tempfile::tempdir().unwrap();
    for file in projects(folder.path()) {
        let (_, text, _) = run(&[&"figures", &file]);
        let value: Value = serde_json::from_str(&text).unwrap();
        let has = |value: &Value, keys: &str| {
            for key in keys.split(' ') {
                assert!(value.get(key).is_some(), "{key} is missing in {value}");
            }
        };
        has(&value, "as_of plan_finish forecast_finish days_lost phases parts money problems");
        has(
            &value["phases"][0],
            "key early_start early_finish late_start late_finish total_float free_float",
        );
        has(&value["phases"][0], "critical forecast_start forecast_finish held_by");
        has(
            &value["parts"][0],
            "key option selection room supplier phase live quantity_to_buy amount freight",
        );
        has(&value["parts"][0], "tax total need_date arrival order_by last_safe_order days_in_hand late");
        let columns = "allowance chosen ordered paid to_pay forecast over_under";
        has(&value["money"], columns);
        has(&value["money"], "contingency contingency_left by_room by_supplier by_category by_phase");
        has(&value["problems"][0], "severity code about message");
        has(&value["selections"][0], columns);
        // The order of the keys is part of the agreement.
        let at = |key: &str| text.find(&format!("\n  \"{key}\"")).expect(key);
        assert!(at("as_of") < at("plan_finish") && at("phases") < at("parts") && at("parts") < at("money"));
    }
}

#[test]
fn every_grouping_adds_up_to_the_total() {
    let folder = tempfile::tempdir().unwrap();
    for file in projects(folder.path()) {
        let money = &figures(&file)["money"];
        for grouping in ["by_room", "by_supplier", "by_category", "by_phase"] {
            for column in ["allowance", "chosen", "ordered", "paid", "to_pay", "forecast", "over_under"] {
                let rows = money[grouping].as_array().unwrap();
                let sum: Decimal = rows.iter().map(|row| decimal(&row[column])).sum();
                assert_eq!(sum, decimal(&money[column]), "{} {grouping} {column}", file.display());
            }
        }
    }
}

#[test]
fn purchase_lists_equal_the_figures_to_the_cent() {
    let folder = tempfile::tempdir().unwrap();
    for (i, file) in projects(folder.path()).into_iter().enumerate() {
        let lists = folder.path().join(format!("lists {i}"));
        let (code, out, err) = run(&[&"buy", &file, &"--out", &lists, &"--format", &"csv"]);
        assert_eq!((code, err.as_str()), (0, ""));
        let figures = figures(&file);
        let mut files = 0;
        for supplier in figures["money"]["by_supplier"].as_array().unwrap() {
            let Some(key) = supplier["key"].as_str() else { continue };
            let path = lists.join(format!("{key}.csv"));
            let bought = decimal(&supplier["forecast"]);
            if !path.exists() {
                assert!(bought.is_zero(), "{key} has no list");
                continue;
            }
            files += 1;
            let total = check_list(&path, &figures, &supplier["key"]);
            // What went back stands on its list as it was billed, what was cancelled does not.
            let part = |r: &Value| {
                figures["parts"].as_array().unwrap().iter().find(|p| p["key"] == r["part"]).unwrap()
            };
            let returns =
                figures["returns"].as_array().unwrap().iter().filter(|r| part(r)["supplier"] == *key);
            let cancelled = |r: &Value| r["state"] == "went_back" && r["came"] == false;
            let listed = |r: &Value| if cancelled(r) { Decimal::ZERO } else { decimal(&r["full"]) };
            let saved: Decimal = returns.map(|r| listed(r) - decimal(&r["forecast"])).sum();
            // What is left of an allowance stands for a price that nobody has said, and on no list.
            assert_eq!(total - saved, bought - decimal(&supplier["assumed"]), "{key}");
            let orders = figures["orders"].as_array().unwrap().iter().filter(|o| o["supplier"] == *key);
            assert_eq!(orders.map(|o| decimal(&o["total"])).sum::<Decimal>(), total, "{key}");
            assert!(out.contains(&format!("{key}.csv: ")) && out.contains(&total.to_string()), "{out}");
        }
        assert!(files > 0, "{}", file.display());
        let loose = figures["parts"].as_array().unwrap().iter();
        let loose: Decimal = loose
            .filter(|p| p["supplier"].is_null() && p["live"] == true)
            .filter(|p| !p["total"].is_null())
            .map(|p| decimal(&p["total"]))
            .sum();
        let no_supplier = lists.join("no_supplier.csv");
        if no_supplier.exists() {
            assert_eq!(check_list(&no_supplier, &figures, &Value::Null), loose);
            files += 1;
        } else {
            assert!(loose.is_zero());
        }
        assert_eq!(fs::read_dir(&lists).unwrap().count(), files);
    }
}

/// Checks the lines of a list against the figures and against its last line; the total.
fn check_list(path: &Path, figures: &Value, supplier: &Value) -> Decimal {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let header = reader.headers().unwrap().clone();
    let at = |name: &str| header.iter().position(|h| h == name).expect(name);
    let mut rows: Vec<csv::StringRecord> = reader.records().map(|r| r.unwrap()).collect();
    let last = rows.pop().unwrap();
    let unpriced = rows.iter().filter(|row| row[at("unit_price")].is_empty()).count();
    assert_eq!(last[0] == *"total", unpriced == 0, "{}", &last[0]);
    assert!(
        unpriced == 0 || last[0].starts_with(&format!("total at least ({unpriced} part")),
        "{}",
        &last[0]
    );
    let orders = figures["orders"].as_array().unwrap().iter().filter(|o| o["supplier"] == *supplier);
    let keys: Vec<&Value> = orders.flat_map(|o| o["parts"].as_array().unwrap()).collect();
    assert_eq!(rows.len(), keys.len(), "{}", path.display());
    for (row, key) in rows.iter().zip(keys) {
        let parts = figures["parts"].as_array().unwrap();
        let part = parts.iter().find(|p| p["key"] == *key).unwrap();
        for column in ["amount", "freight", "tax", "total"] {
            // What nobody has said is blank, never zero.
            let unpriced = part["amount"].is_null();
            let said = if column == "total" && unpriced { &part["freight"] } else { &part[column] };
            let said = said.as_str().filter(|said| !unpriced || *said != "0.00").unwrap_or_default();
            assert_eq!(row[at(column)], *said, "{column} of {}", key);
        }
        assert_eq!(row[at("quantity")], *part["quantity_to_buy"].as_str().unwrap());
        for (column, figure) in
            [("expected", "arrival"), ("ask_by", "ask_by"), ("orderable_from", "orderable_from")]
        {
            assert_eq!(row[at(column)], *part[figure].as_str().unwrap_or_default(), "{column} of {}", key);
        }
        assert_eq!(
            row[at("lead")].starts_with("typically"),
            !part["ask_by"].is_null(),
            "{}",
            &row[at("lead")]
        );
        assert_eq!(row[at("state")] == *"to order", row[at("order")] == *"to order");
    }
    for column in ["amount", "freight", "tax", "total"] {
        let said = rows.iter().map(|r| &r[at(column)]).filter(|cell| !cell.is_empty());
        let sum: Decimal = said.map(|cell| cell.parse::<Decimal>().unwrap()).sum();
        assert_eq!(sum, last[at(column)].parse().unwrap(), "{column}");
    }
    last[at("total")].parse().unwrap()
}

#[test]
fn export_then_import_gives_the_same_figures() {
    let folder = tempfile::tempdir().unwrap();
    for (i, file) in projects(folder.path()).into_iter().enumerate() {
        let (sheets, again) =
            (folder.path().join(format!("out {i}")), folder.path().join(format!("again {i}.ron")));
        assert_eq!(run(&[&"export", &file, &"--out", &sheets]).0, 0);
        assert_eq!(run(&[&"import", &sheets, &"--out", &again]).0, 0);
        assert_eq!(figures(&again), figures(&file));
        let load = |path: &Path| needline::model::file::load(path).unwrap().0;
        assert_eq!(load(&again), load(&file));
    }
}

#[test]
fn the_day_asked_for_goes_before_the_one_kept() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    assert_eq!(figures(&file)["as_of"], "2026-06-08");
    for day in ["2026-07-01", "7/1/2026", "Jul 1", "1 July 2026"] {
        let (_, out, err) = run(&[&"figures", &file, &"--as-of", &day]);
        assert!(out.contains("\"as_of\": \"2026-07-01\""), "{day}: {err}");
    }
    let (_, out, _) = run(&[&"figures", &file, &"--as-of=2026-07-01"]);
    assert!(out.contains("\"as_of\": \"2026-07-01\""));
}

#[test]
fn an_existing_file_is_replaced_only_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    let sheets = folder.path().join("house sheets");
    fs::write(&file, "other").unwrap();
    let (code, _, err) = run(&[&"import", &sheets, &"--out", &file]);
    assert_eq!(code, 2);
    assert!(err.contains("--force"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), "other");
    assert_eq!(run(&[&"import", &sheets, &"--out", &file, &"--force"]).0, 0);
    assert_ne!(fs::read_to_string(&file).unwrap(), "other");
}

#[test]
fn sheets_lists_and_papers_replace_nothing_untold() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    let out = folder.path().join("out");
    for (verb, mine) in [("export", "rooms.csv"), ("buy", "stone.csv"), ("print", "budget.pdf")] {
        fs::create_dir(&out).unwrap();
        fs::write(out.join(mine), "my own notes").unwrap();
        let (code, printed, err) = run(&[&verb, &file, &"--out", &out]);
        assert_eq!((code, printed.as_str()), (2, ""), "{verb}");
        assert!(
            err.contains(mine) && err.contains("--force") && err.contains("nothing was written"),
            "{err}"
        );
        assert_eq!(fs::read_to_string(out.join(mine)).unwrap(), "my own notes", "{verb}");
        assert_eq!(fs::read_dir(&out).unwrap().count(), 1, "{verb}: nothing beside it");
        assert_eq!(run(&[&verb, &file, &"--out", &out, &"--force"]).0, 0, "{verb}");
        assert_ne!(fs::read(out.join(mine)).unwrap(), b"my own notes", "{verb}");
        assert_eq!(run(&[&verb, &file, &"--out", &out]).0, 2, "{verb}: also over its own");
        fs::remove_dir_all(&out).unwrap();
    }
}

#[test]
fn bad_use_leaves_with_two_and_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    let out = folder.path().join("nothing");
    let cases: [(&[&dyn AsRef<std::ffi::OsStr>], &str); 15] = [
        (&[&"import", &"x"], "--out <FILE>"),
        (&[&"export", &file], "--out <FOLDER>"),
        (&[&"check"], "<FILE>"),
        (&[&"check", &file, &file], "Usage: needline check"),
        (&[&"check", &file, &"--out", &out], "unexpected argument '--out'"),
        (&[&"check", &file, &"--as-of", &"July 41"], "`July 41` is no date"),
        (&[&"check", &file, &"--as-of"], "--as-of"),
        (&[&"buy", &file, &"--out", &out, &"--format", &"csv,"], "`` is no format"),
        (&[&"buy", &file, &"--out", &out, &"--supplier", &"nobody"], "no supplier with the key `nobody`"),
        (&[&"print", &file, &"--out", &out, &"--format", &"csv"], "`csv` is no format; there are pdf, html"),
        (&[&"print", &file, &"--out", &out, &"--paper", &"gossip"], "`gossip` is no paper"),
        (&[&"buy", &file, &"--out", &out, &"--format", &"doc"], "`doc` is no format"),
        (&[&"buy", &file, &"--out", &out, &"--out", &out], "'--out <FOLDER>' cannot be used multiple times"),
        (&[&"figs", &file], "`figs` is no command"),
        (&[&"--frce"], "--frce"),
    ];
    for (args, expected) in cases {
        let (code, printed, err) = run(args);
        assert_eq!((code, printed.as_str()), (2, ""), "{err}");
        assert!(err.contains(expected), "{expected}: {err}");
        assert!(err.starts_with("needline: ") && !err.contains("error: "), "{err}");
    }
    assert!(!out.exists());
}

#[test]
fn help_version_and_the_window() {
    for args in ["help", "--help", "-h"] {
        let (code, out, err) = run(&[&args]);
        assert_eq!((code, err.as_str()), (0, ""));
        for told in ["needline [FILE]", "import-list", "swaps", "Exit codes: 0 good", "DATE is 2026-08-24"] {
            assert!(out.contains(told), "{args} does not tell of {told}: {out}");
        }
    }
    let (code, out, _) = run(&[&"buy", &"--help"]);
    assert!(code == 0 && out.contains("Any of csv, xlsx, pdf, html and ics"), "{out}");
    let (_, out, _) = run(&[&"--version"]);
    assert_eq!(out, format!("needline {}\n", env!("CARGO_PKG_VERSION")));
    let window = |args: &[&str]| commands::run(args.iter().map(Into::into).collect());
    assert_eq!(window(&[]), Outcome::Window(None));
    assert_eq!(window(&["house.ron"]), Outcome::Window(Some("house.ron".into())));
}

fn program() -> Command {
    Command::new(env!("CARGO_BIN_EXE_needline"))
}

#[test]
fn the_program_hands_its_codes_to_the_shell() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    let code = |args: &[&str]| program().args(args).arg(&file).output().unwrap().status.code();
    assert_eq!(code(&["figures"]), Some(0));
    assert_eq!(code(&["check", "--as-of", "2026-06-22"]), Some(1));
    assert_eq!(code(&["check", "--as-of", "soon"]), Some(2));
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let file = projects(folder.path()).remove(0);
    let mut command = program();
    command.args(["check", "--as-of", "2026-06-22"]).arg(&file).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8_lossy(&done.stderr), "");
    assert_eq!(done.status.code(), Some(1));
}

/// A list with a range in parentheses and a day of arrival, taken by the command: the time stays as it is, its ends are
/// its bounds, and the day is the one it is promised for. A day of shipping is no day of arrival, and is looked at first.
#[test]
fn a_list_with_ranges_and_arrival_days_is_taken_as_it_says() {
    let folder = tempfile::tempdir().unwrap();
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/hall_bath.ron");
    let project = folder.path().join("bath.ron");
    fs::copy(sample, &project).unwrap();
    let list = folder.path().join("list.csv");
    fs::write(&list, "Key,Lead time,ETA\nbath_tub_acrylic,6 (5 to 8) weeks,2026-12-17\n").unwrap();
    // It is not ordered yet, so the day is asked for by its name.
    let (code, out, err) = run(&[
        &"import-list",
        &list,
        &"--into",
        &project,
        &"--supplier",
        &"bath_counter",
        &"--accept",
        &"bath_tub_acrylic:lead,bath_tub_acrylic:promised_on",
    ]);
    assert_eq!(code, 0, "{out}{err}");
    let (taken, _) = needline::model::file::load(&project).unwrap();
    let part = taken.all_parts().find(|(_, _, part)| part.key == "bath_tub_acrylic").unwrap().2;
    assert_eq!((part.lead, part.lead_min, part.lead_max), (Some(6), Some(5), Some(8)));
    assert_eq!(part.lead_unit, needline::model::LeadUnit::Weeks);
    assert_eq!(part.promised_on, "2026-12-17".parse().ok());
    fs::write(&list, "Key,Ships on\nbath_tub_acrylic,2026-11-02\n").unwrap();
    let (_, out, err) =
        run(&[&"import-list", &list, &"--into", &project, &"--supplier", &"bath_counter", &"--preview"]);
    assert!(out.contains("2026-12-17 -> 2026-11-02 ? this is the day it leaves its supplier"), "{out}{err}");
    assert_eq!(needline::model::file::load(&project).unwrap().0, taken);
}
