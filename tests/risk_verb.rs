//! What may come as the verb `figures` tells it.

mod common;

use common::run;
use serde_json::Value;
use std::path::{Path, PathBuf};

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron")
}

fn told(more: &[&str]) -> String {
    let file = sample();
    let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"figures", &file];
    args.extend(more.iter().map(|arg| arg as &dyn AsRef<std::ffi::OsStr>));
    let (code, out, err) = run(&args);
    assert_eq!(code, 0, "{err}");
    out
}

/// The project says how sure last order days are to be; who asks for trials may say otherwise.
#[test]
fn the_project_says_how_sure_order_days_are() {
    let plain: Value = serde_json::from_str(&told(&[])).unwrap();
    let asked: Value = serde_json::from_str(&told(&["--risk", "1"])).unwrap();
    assert_eq!((&plain["confidence"], &asked["risk"]["confidence"]), (&80.into(), &80.into()));
    let parts = plain["parts"].as_array().unwrap();
    let (mut sure, mut sooner) = (0, 0);
    for own in asked["risk"]["parts"].as_array().unwrap() {
        let part = parts.iter().find(|part| part["key"] == own["key"]).unwrap();
        assert_eq!(part["order_by_sure"], own["order_by_at"], "{part}");
        if !part["order_by_sure"].is_null() {
            sure += 1;
            sooner += usize::from(part["order_by_sure"].as_str() < part["order_by"].as_str());
        }
    }
    assert!(sure > 20 && sooner > 5, "{sure} {sooner}");
}

#[test]
fn the_same_bytes_with_one_thread_and_with_two() {
    let one = told(&["--risk", "200", "--seed", "9", "--threads", "1"]);
    assert!(one == told(&["--risk", "200", "--seed", "9", "--threads", "2"]));
    assert!(one != told(&["--risk", "200", "--seed", "8", "--threads", "2"]));
}

#[test]
fn the_keys_are_there_and_hang_together() {
    let json: Value =
        serde_json::from_str(&told(&["--risk", "300", "--seed", "2", "--confidence", "90"])).unwrap();
    let risk = &json["risk"];
    assert_eq!((&risk["trials"], &risk["seed"], &risk["confidence"]), (&300.into(), &2.into(), &90.into()));
    let text = |value: &Value| value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_owned();
    let share = |value: &Value| text(value).parse::<f64>().unwrap();
    let finish = &risk["finish"];
    assert!(text(&finish["p50"]) <= text(&finish["p80"]) && text(&finish["p80"]) <= text(&finish["p90"]));
    for of in ["finish", "total"] {
        for percent in ["p50", "p80", "p90"] {
            assert!(share(&risk[of]["se"][percent]) >= 0.0);
        }
    }
    // The days add up to all trials, and the first by which half are finished is the median.
    let days = risk["by_day"].as_array().unwrap();
    let mut sum = 0;
    let half = days.iter().find(|day| {
        sum += day["trials"].as_u64().unwrap();
        sum >= 150
    });
    assert_eq!(half.unwrap()["day"], finish["p50"]);
    assert_eq!(days.iter().map(|day| day["trials"].as_u64().unwrap()).sum::<u64>(), 300);
    let amounts = risk["by_amount"].as_array().unwrap();
    assert_eq!(amounts.iter().map(|step| step["trials"].as_u64().unwrap()).sum::<u64>(), 300);
    assert_eq!(text(&amounts.last().unwrap()["share"]), "1.0000");
    let mut sum = 0;
    for step in amounts {
        sum += step["trials"].as_u64().unwrap();
        assert_eq!(text(&step["share"]), format!("{:.4}", sum as f64 / 300.0));
    }
    assert!((2..=24).contains(&amounts.len()));
    let target = json_day_share(days, "2027-02-05");
    assert_eq!(text(&risk["target_chance"]), format!("{target:.4}"));
    assert!((0.0..=1.0).contains(&share(&risk["contingency_chance"])));
    assert_eq!(risk["phases"].as_array().unwrap().len(), json["phases"].as_array().unwrap().len());
    let last = risk["phases"].as_array().unwrap().last().unwrap();
    assert_eq!(text(&last["share"]), "1.0000", "moving back in ends every chain");
    let parts = risk["parts"].as_array().unwrap();
    assert!(parts.iter().any(|part| share(&part["share"]) > 0.0));
    assert!(parts.iter().any(|part| !part["week_costs"].is_null() && !part["order_by_at"].is_null()));
    // With more confidence the last order day is no later.
    let other: Value = serde_json::from_str(&told(&["--risk", "1", "--confidence", "50"])).unwrap();
    for (part, other) in parts.iter().zip(other["risk"]["parts"].as_array().unwrap()) {
        assert_eq!(part["key"], other["key"]);
        if !part["order_by_at"].is_null() {
            assert!(text(&part["order_by_at"]) <= text(&other["order_by_at"]), "{part}");
        }
    }
}

fn json_day_share(days: &[Value], target: &str) -> f64 {
    let by = days.iter().filter(|day| day["day"].as_str().unwrap() <= target);
    by.map(|day| day["trials"].as_u64().unwrap()).sum::<u64>() as f64 / 300.0
}

#[test]
fn without_trials_there_is_nothing_of_it() {
    let json: Value = serde_json::from_str(&told(&[])).unwrap();
    assert!(json.get("risk").is_none());
}

#[test]
fn too_few_and_too_many_trials_are_refused_in_words() {
    let file = sample();
    for count in ["0", "1000000000", "1000001", "-1", "many", "1e3"] {
        let (code, out, err) = run(&[&"figures", &file, &format!("--risk={count}")]);
        assert_eq!((code, out.as_str()), (2, ""), "{count}");
        assert!(err.contains("a whole number from 1 to 1000000"), "{count}: {err}");
    }
    for more in [["--threads=0", "--risk=5"], ["--confidence=100", "--risk=5"], ["--seed=x", "--risk=5"]] {
        let (code, out, err) = run(&[&"figures", &file, &more[0], &more[1]]);
        assert_eq!((code, out.as_str()), (2, ""), "{more:?}: {err}");
        assert!(err.contains(more[0].split('=').next().unwrap()), "{err}");
    }
}
