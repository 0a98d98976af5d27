//! Cheaper or sooner against integer programs solved by HiGHS: `tests/outside/curve.py` made the answers.

mod support;

use needline::engine::curve::{self, Question, curve};
use needline::engine::{Day, compute};
use needline::model::*;
use serde_json::Value;
use support::*;

const START: &str = "2026-06-01";

fn int(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// The house of a row: every day is worked and open, so that days are numbers from the start.
fn house(row: &Value) -> Project {
    let mut p = plain(START);
    let rows: Vec<(String, i32, String)> = row["phases"]
        .as_array()
        .unwrap()
        .iter()
        .enumerate()
        .map(|(i, phase)| {
            let before: Vec<String> =
                phase["after"].as_array().unwrap().iter().map(|b| format!("n{b}")).collect();
            (format!("n{i}"), int(&phase["days"]) as i32, before.join(","))
        })
        .collect();
    add_phases(&mut p, Table(rows).rows());
    let shop = add_supplier(&mut p, |s| s.weekdays = Weekdays::ALL);
    for options in row["selections"].as_array().unwrap() {
        let options = options.as_array().unwrap();
        let mut states = vec![(OptionState::Candidate, 1); options.len()];
        states[0].0 = OptionState::Chosen;
        let id = add_selection(&mut p, "0", &states);
        let phases: Vec<PhaseId> = p.phases.iter().map(|f| f.id).collect();
        edit_selection(&mut p, id, |s| {
            for (option, own) in s.options.iter_mut().zip(options) {
                let part = &mut option.parts[0];
                part.supplier = Some(shop);
                part.phase = Some(phases[int(&own["phase"]) as usize]);
                part.lead = Some(int(&own["lead"]) as u32);
                part.unit_price = Some(money(&int(&own["price"]).to_string()));
                part.hold = Some(0);
                part.order_after = own["order_after"].as_i64().map(|at| phases[at as usize]);
            }
        });
    }
    p
}

#[test]
fn the_points_are_those_of_integer_programs() {
    let text = include_str!("outside/curve.json");
    let file: Value = serde_json::from_str(text).unwrap();
    let houses = file["houses"].as_array().unwrap();
    assert_eq!(houses.len(), 20);
    for (n, row) in houses.iter().enumerate() {
        let p = house(row);
        let figures = compute(&p, date(START));
        let question = Question::all_not_ordered(&p);
        let found = curve(&p, &figures, &question).unwrap_or_else(|e| panic!("{n}: {e}"));
        let told: Vec<(i64, String, usize)> = found
            .points
            .iter()
            .map(|point: &curve::Point| {
                let end = i64::from(point.finish.since(Day::from(date(START)))) + 1;
                (end, point.total.to_plain(p.settings.currency), point.changes.len())
            })
            .collect();
        let answers: Vec<(i64, String, usize)> = row["points"]
            .as_array()
            .unwrap()
            .iter()
            .map(|a| (int(&a["end"]), format!("{}.00", int(&a["cost"])), int(&a["changes"]) as usize))
            .collect();
        assert_eq!(told, answers, "house {n}");
    }
}
