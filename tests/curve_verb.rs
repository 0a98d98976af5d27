//! Cheaper or sooner without a window: what `figures --curve` tells, and what `choose` makes.

mod common;

use common::run;
use needline::engine::preview;
use needline::model::{Action, file};
use serde_json::Value;
use std::path::{Path, PathBuf};

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron")
}

fn told(file: &Path, more: &[&str]) -> Value {
    let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"figures", &file];
    args.extend(more.iter().map(|arg| arg as &dyn AsRef<std::ffi::OsStr>));
    let (code, out, err) = run(&args);
    assert_eq!((code, err.as_str()), (0, ""));
    serde_json::from_str(&out).unwrap()
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_owned()
}

#[test]
fn points_are_told_and_the_cheapest_by_a_day_is_made() {
    let json = told(&sample(), &["--curve"]);
    assert!(told(&sample(), &[]).get("curve").is_none(), "only when it is asked for");
    let points = json["curve"].as_array().unwrap();
    assert!(!points.is_empty(), "{}", json["curve_refused"]);
    for pair in points.windows(2) {
        assert!(text(&pair[0]["finish"]) < text(&pair[1]["finish"]));
    }
    assert_eq!(json["curve_of"]["finish"], json["forecast_finish"]);
    assert_eq!(json["curve_of"]["total"], json["money"]["forecast"]);
    for fix in json["fix"].as_array().unwrap() {
        assert!(fix["wins"].as_i64().unwrap() > 0);
        assert_eq!(fix["alone"].as_array().unwrap().len(), fix["changes"].as_array().unwrap().len());
    }

    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("made.ron");
    let point = &points[points.len() - 1];
    let finish = text(&point["finish"]);
    let args: [&dyn AsRef<std::ffi::OsStr>; 6] =
        [&"choose", &sample(), &"--finish", &finish, &"--out", &made];
    let (code, out, err) = run(&args);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains(&format!("finish {finish}, before")), "{out}");
    let after = told(&made, &[]);
    assert_eq!(after["forecast_finish"], point["finish"]);
    assert_eq!(after["money"]["forecast"], point["total"]);
    let lines = out.lines().filter(|line| line.contains(": ")).count();
    assert!(lines >= point["changes"].as_array().unwrap().len(), "{out}");
    assert_eq!(run(&args).0, 2, "another file is not written over");
}

/// The large sample shows what it is for: dearer things in stock against slow cheap ones, and two countertops that win days
/// together only.
#[test]
fn the_large_sample_trades_money_for_days() {
    let json = told(&sample(), &["--as-of", "2026-09-21", "--curve"]);
    assert!(json["curve"].as_array().unwrap().len() >= 3, "{}", json["curve"]);
    let together = |fix: &&Value| fix["alone"] == serde_json::json!([0, 0]);
    let fix = json["fix"].as_array().unwrap().iter().find(together).expect("two that win nothing alone");
    let keys: Vec<String> =
        fix["changes"].as_array().unwrap().iter().map(|c| text(&c["selection"])).collect();
    assert_eq!(keys, ["kitchen_island_countertop", "laundry_countertop"]);
    // Each alone and both, by documents in which they are chosen.
    let project = file::load(&sample()).unwrap().0;
    let day = project.settings.as_of.unwrap();
    let key = |id| project.option(id).map_or("", |(_, o)| o.key.as_str());
    let all = project.selections.iter().flat_map(|s| &s.options).map(|o| o.id);
    let wanted = |change: &Value| all.clone().find(|id| key(*id) == change["to"]).unwrap();
    let actions: Vec<Action> =
        fix["changes"].as_array().unwrap().iter().map(|change| Action::Choose(wanted(change))).collect();
    let finish = |action: &Action| {
        let after = preview(&project, action, day).unwrap();
        after.forecast_finish.unwrap().to_string()
    };
    for one in &actions {
        assert_eq!(finish(one), text(&json["curve_of"]["finish"]));
    }
    assert_eq!(finish(&Action::Batch { label: String::new(), actions }), text(&fix["finish"]));
}

/// With all that is not ordered open again, countertops that are templated on cabinets and a finish for each bath among it.
#[test]
fn everything_not_ordered_can_be_asked_for() {
    let json = told(&sample(), &["--as-of", "2026-09-21", "--curve", "--reopen-all"]);
    assert_eq!(json["curve_refused"], Value::Null);
    assert!(json["curve_of"]["open"].as_u64().unwrap() > 50);
    let points = json["curve"].as_array().unwrap();
    assert!(points.len() > 1, "{} points", points.len());
    for pair in points.windows(2) {
        assert!(text(&pair[0]["finish"]) < text(&pair[1]["finish"]));
    }
}

#[test]
fn what_cannot_be_done_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("made.ron");
    let choose = |more: &[&str]| {
        let file = sample();
        let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"choose", &file, &"--out", &made];
        args.extend(more.iter().map(|arg| arg as &dyn AsRef<std::ffi::OsStr>));
        let (code, _, err) = run(&args);
        assert!(!made.exists(), "nothing is written");
        assert_eq!(code, 2);
        err
    };
    let never = choose(&["--finish", "2020-01-01"]);
    assert!(never.contains("no set of choices finishes by 2020-01-01; the soonest is"), "{never}");
    assert!(choose(&["--finish", "2030-01-01", "--keep", "nowhere"]).contains("there is no room `nowhere`"));
    assert!(choose(&["--finish", "2030-01-01", "--reopen", "no"]).contains("there is no selection `no`"));
    assert!(choose(&["--finish", "someday"]).contains("--finish"));
    let dear = choose(&["--finish", "2030-01-01", "--at-most", "1"]);
    assert!(dear.contains("within these limits"), "{dear}");
    let early = choose(&["--finish", "2030-01-01", "--here-by", "2000-01-01"]);
    assert!(early.contains("nothing is open"), "{early}");
}
