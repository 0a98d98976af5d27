//! `needline check` before walls are closed, a countertop is measured and a fan is set: one line for each thing missing, with
//! what to do; cautions; sheets and JSON of gates.

mod common;

use common::run;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// A kitchen and a bath in the week in which it all comes together, on Monday 2026-06-08.
const WALLS_OPEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/sample_projects/walls_open");

fn project(folder: &Path) -> PathBuf {
    let file = folder.join("walls_open.ron");
    let (code, _, errors) = run(&[&"import", &WALLS_OPEN, &"--out", &file]);
    assert_eq!((code, errors.as_str()), (0, ""));
    file
}

/// In-wall bodies are on site and set before cover-up, countertops are measured with the sink on hand, and the place of a fan
/// and its route outdoors are agreed before it is set (common practice, no source).
#[test]
fn check_names_each_thing_missing_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let (_, out, _) = run(&[&"check", &project(folder.path())]);
    let lines: Vec<&str> = out.lines().filter(|l| l.contains("gate_not_ready")).collect();
    assert_eq!(
        lines,
        [
            "warning gate_not_ready cover_up: before Hang drywall (2026-06-22): Valve body of Shower set is not built in, \
             expected 2026-06-22; press Plain Street Pipes for it",
            "warning gate_not_ready template_ready: before Template countertops (2026-06-22): Sink bowl of Kitchen sink is not \
             on site, expected 2026-06-22; order it now, or mark it received",
            "warning gate_not_ready fan_places: before Rough ducts and fans (2026-06-10): not confirmed: a duct route to \
             the outdoors, expected 2026-06-10; ask HVAC and note who said so and when",
        ]
    );
    assert!(out.contains(
        "gate_holds template_ready: Ready to measure countertops holds Template countertops for 10 working days"
    ));
}

#[test]
fn check_and_purchase_lists_carry_the_cautions() {
    let folder = tempfile::tempdir().unwrap();
    let file = project(folder.path());
    let (_, out, _) = run(&[&"check", &file]);
    let cautions: Vec<&str> = out.lines().filter(|l| l.starts_with("caution ")).collect();
    let words: Vec<&str> = cautions.iter().filter_map(|l| l.split([' ', ':']).nth(1)).collect();
    assert_eq!(words, ["asbestos", "ladders", "exhaust", "makeup_air", "duct_dust"]);
    assert!(
        cautions[2].starts_with("caution exhaust: Rough ducts and fans: Fans blow outdoors"),
        "{}",
        cautions[2]
    );
    for line in &cautions {
        assert!(line.contains("Local code and licensed trades decide. ["), "{line}");
    }
    let lists = folder.path().join("lists");
    assert_eq!(run(&[&"buy", &file, &"--out", &lists]).0, 0);
    let mut list = csv::Reader::from_path(lists.join("pipes.csv")).unwrap();
    let at = |name: &str, heads: &csv::StringRecord| heads.iter().position(|head| head == name).unwrap();
    let heads = list.headers().unwrap().clone();
    let (part, caution) = (at("part", &heads), at("caution", &heads));
    let rows: Vec<csv::StringRecord> = list.records().map(Result::unwrap).collect();
    let fan = rows.iter().find(|row| &row[part] == "Fan body").unwrap();
    assert_eq!(
        &fan[caution],
        "Asbestos, Ladders, Exhaust outdoors, Makeup air, Dust in ducts. Local code and licensed trades decide."
    );
}

#[test]
fn figures_say_which_gates_are_ready_and_what_the_others_miss() {
    let folder = tempfile::tempdir().unwrap();
    let (_, out, _) = run(&[&"figures", &project(folder.path())]);
    let figures: Value = serde_json::from_str(&out).unwrap();
    let gates = figures["gates"].as_array().unwrap();
    assert_eq!(gates.len(), 3);
    let fan = &gates[2];
    assert_eq!((fan["key"].as_str(), fan["phase"].as_str()), (Some("fan_places"), Some("rough_mechanical")));
    assert_eq!((fan["ready"].as_bool(), fan["days"].as_i64()), (Some(false), Some(2)));
    let missing = &fan["missing"][0];
    assert_eq!(missing["what"], "not confirmed: a duct route to the outdoors");
    assert_eq!((&missing["who"], &missing["by"]), (&Value::from("HVAC"), &Value::from("2026-06-10")));
    assert_eq!(missing["expected"], "2026-06-10");
    assert_eq!(gates[0]["missing"][0]["part"], "shower_body");
    let phases = figures["phases"].as_array().unwrap();
    let ducts = phases.iter().find(|p| p["key"] == "rough_mechanical").unwrap();
    assert_eq!(ducts["held_by_gate"][0]["gate"], "fan_places");
    assert_eq!((ducts["held_by_gate"][0]["days"].as_i64(), ducts["gate_days"].as_i64()), (Some(2), Some(2)));
    assert_eq!(
        ducts["cautions"],
        serde_json::json!(["asbestos", "ladders", "exhaust", "makeup_air", "duct_dust"])
    );
    assert_eq!(ducts["early_start"], "2026-06-08", "the plan knows no gates");
    assert_eq!(ducts["forecast_start"], "2026-06-10");
    let exhaust = figures["cautions"].as_array().unwrap().iter().find(|c| c["hazard"] == "exhaust").unwrap();
    assert_eq!(exhaust["phases"], serde_json::json!(["rough_mechanical"]));
}
