//! What may come against scipy and numpy: distributions, published examples worked out exactly, and whole simulations
//! by code of their own. `tests/outside/risk.py` made the answers.

mod support;

use needline::engine::risk::generator::Generator;
use needline::engine::risk::spread::{Dice, Spread};
use needline::engine::risk::{Risk as Trials, Run, Watch, simulate};
use needline::engine::{Day, compute};
use needline::model::*;
use rust_decimal::prelude::ToPrimitive;
use serde_json::Value;
use std::sync::Arc;
use support::*;

const TRIALS: u32 = 20_000;

fn answers() -> Value {
    serde_json::from_str(include_str!("outside/risk.json")).unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("{value} is no whole number"))
}

fn three(value: &Value) -> [i64; 3] {
    [whole(&value[0]), whole(&value[1]), whole(&value[2])]
}

fn spread([min, likely, max]: [i64; 3]) -> Spread {
    Spread::new(Some(min), likely, Some(max))
}

/// A share of 2^64 as a decimal.
fn share(of: u128) -> f64 {
    of as f64 / 2_f64.powi(64)
}

/// Mean and variance of what is drawn, by the formulas and scipy; here summed over the chances of all values, and of the
/// draws themselves.
#[test]
fn triangular_numbers_are_those_of_scipy() {
    let answers = answers();
    for case in list(&answers["triangular"]) {
        let own = spread(three(&case["spread"]));
        for pair in list(&case["up_to"]) {
            let chance = share(own.up_to(whole(&pair[0])));
            assert!((chance - number(&pair[1])).abs() < 1e-9, "{own:?}: {pair} is {chance}");
        }
        for pair in list(&case["percentiles"]) {
            let percent = u32::try_from(whole(&pair[0])).unwrap();
            assert_eq!(own.percentile(percent), whole(&pair[1]), "{own:?}: {percent}");
        }
        let chances = (own.min..=own.max).map(|k| (k as f64, share(own.up_to(k) - own.up_to(k - 1))));
        let chances: Vec<(f64, f64)> = chances.collect();
        let mean: f64 = chances.iter().map(|(k, chance)| k * chance).sum();
        let variance: f64 = chances.iter().map(|(k, chance)| (k - mean).powi(2) * chance).sum();
        assert!((mean - number(&case["rounded_mean"])).abs() < 1e-6, "{own:?}: mean {mean}");
        let known = number(&case["rounded_variance"]);
        assert!((variance - known).abs() < 1e-6 * known.max(1.0), "{own:?}: variance {variance}");
        // What is drawn, by a table or by the inverse, within four standard errors.
        let (numbers, count) = (Generator::new(5), 20_000_u32);
        let error = (variance / f64::from(count)).sqrt();
        for dice in [Dice::of(own), Dice::Wide(own)] {
            let sum: i64 = (0..u64::from(count)).map(|at| dice.value(numbers.number(at))).sum();
            let drawn = sum as f64 / f64::from(count);
            assert!((drawn - mean).abs() < 4.0 * error, "{own:?}: {drawn} for {mean}");
        }
        // Rounding half up moves the mean of the triangle little.
        assert!((mean - number(&case["mean"])).abs() < 0.35, "{own:?}");
    }
}

fn run(p: &Project) -> Trials {
    let f = compute(p, p.settings.start);
    simulate(p, &f, Run::new(TRIALS, 2026), &Watch::default()).unwrap()
}

/// Activities of published three-point estimates, side by side where the source has several paths. The share of trials
/// that are finished is that of the exact convolution; the sources, with narrower distributions, print a little more.
#[test]
fn published_three_point_estimates() {
    let answers = answers();
    for example in list(&answers["published"]) {
        let mut p = plain("2026-06-15");
        let mut rows: Vec<(String, i32, String)> = Vec::new();
        let mut spreads = Vec::new();
        for (c, chain) in list(&example["chains"]).iter().enumerate() {
            for (a, activity) in list(chain).iter().enumerate() {
                let before = if a == 0 { String::new() } else { format!("c{c}a{}", a - 1) };
                rows.push((format!("c{c}a{a}"), three(activity)[1] as i32, before));
                spreads.push(three(activity));
            }
        }
        add_phases(&mut p, rows.iter().map(|(key, days, before)| (key.as_str(), *days, before.as_str())));
        for (phase, [min, _, max]) in Arc::make_mut(&mut p.phases).iter_mut().zip(spreads) {
            (phase.days_min, phase.days_max) = (Some(min as i32), Some(max as i32));
        }
        let risk = run(&p);
        for pair in list(&example["up_to"]) {
            let (days, known) = (whole(&pair[0]) as i32, number(&pair[1]));
            let found = risk.finished_by(day("2026-06-15").plus(days - 1)).to_f64().unwrap();
            let error = (known * (1.0 - known) / f64::from(TRIALS)).sqrt();
            assert!(
                (found - known).abs() < 4.0 * error,
                "{}: {days} days {found}, {known}",
                example["source"]
            );
        }
        let (days, printed) = (whole(&example["printed"][1]) as i32, number(&example["printed"][2]));
        let found = risk.finished_by(day("2026-06-15").plus(days - 1)).to_f64().unwrap();
        assert!(found < printed && printed - found < 0.1, "{}: {found}", example["source"]);
    }
}

fn project_of(job: &Value, start: &str) -> (Project, Vec<PartId>) {
    let mut p = project(start);
    p.settings.holidays = "us-federal".parse().unwrap();
    p.settings.reinspect_wait = 2;
    let keys: Vec<String> = (0..list(&job["phases"]).len()).map(|i| format!("n{i}")).collect();
    let rows = keys.iter().zip(list(&job["phases"]));
    let rows: Vec<(&str, i32, &str)> =
        rows.map(|(key, phase)| (key.as_str(), three(&phase["days"])[1] as i32, "")).collect();
    add_phases(&mut p, rows);
    for (key, row) in keys.iter().zip(list(&job["phases"])) {
        let [min, _, max] = three(&row["days"]);
        edit_phase(&mut p, key, |phase| {
            (phase.days_min, phase.days_max) = (Some(min as i32), Some(max as i32));
            if let Some(fail) = row["fail_pct"].as_i64() {
                (phase.kind, phase.fail_pct) = (PhaseKind::Inspection, Some(fail.into()));
                phase.correct_days = row["correct_days"].as_u64().map(|days| days as u32);
            }
        });
    }
    for link in list(&job["links"]) {
        let end = |at: usize| p.phases[whole(&link[at]) as usize].id;
        let (before, after) = (end(0), end(1));
        let kind = LinkKind::ALL.iter().find(|(word, _)| *word == link[2].as_str().unwrap()).unwrap().1;
        let id = LinkId(p.fresh_id());
        let lag = whole(&link[3]) as i32;
        Arc::make_mut(&mut p.links).push(Link { id, before, after, kind, lag, unit: LagUnit::Working });
    }
    let mut parts = Vec::new();
    for row in list(&job["parts"]) {
        let [min, likely, max] = three(&row["lead"]).map(|n| Some(n as u32));
        let phase = p.phases[whole(&row["phase"]) as usize].id;
        parts.push(add_part(&mut p, |part| {
            part.phase = Some(phase);
            part.at = if row["at_finish"] == true { NeededAt::Finish } else { NeededAt::Start };
            (part.lead_min, part.lead, part.lead_max) = (min, likely, max);
            part.lead_unit = match row["unit"].as_str().unwrap() {
                "days" => LeadUnit::Days,
                "working" => LeadUnit::Working,
                _ => LeadUnit::Weeks,
            };
            part.hold = Some(whole(&row["hold"]) as u32);
            if let Some(after) = row["promised"].as_i64() {
                part.ordered_on = Some(date(start));
                part.promised_on = Some(day(start).plus(after as i32).date());
            }
        }));
    }
    for row in list(&job["risks"]) {
        let id = RiskId(p.fresh_id());
        let [days, cost] = [three(&row["days"]), three(&row["cost"])];
        let [days_min, days_likely, days_max] = days.map(|n| Some(n as i32));
        let [cost_min, cost_likely, cost_max] = cost.map(|n| Some(Money::new(n.into())));
        let (key, what) = (format!("r{}", id.0), "Rot".to_owned());
        let phase = Some(p.phases[whole(&row["phase"]) as usize].id);
        let chance_pct = whole(&row["chance_pct"]).into();
        let risk = Risk {
            id,
            key,
            what,
            phase,
            chance_pct,
            cost_min,
            cost_likely,
            cost_max,
            days_min,
            days_likely,
            days_max,
        };
        Arc::make_mut(&mut p.risks).push(risk);
    }
    for choice in list(&job["choices"]) {
        let options = vec![(OptionState::Candidate, 1); list(choice).len()];
        let id = add_selection(&mut p, "0", &options);
        edit_selection(&mut p, id, |selection| {
            for (option, price) in selection.options.iter_mut().zip(list(choice)) {
                option.parts[0].unit_price = Some(Money::new(whole(price).into()));
            }
        });
    }
    p.reindex();
    (p, parts)
}

/// Simulations by numpy of the same projects: percentiles within three standard errors of both, and so each share.
#[test]
fn random_projects_as_numpy_simulates_them() {
    let answers = answers();
    let start = answers["start"].as_str().unwrap();
    let theirs = number(&answers["trials"]);
    for (n, job) in list(&answers["projects"]).iter().enumerate() {
        let (p, parts) = project_of(job, start);
        let (risk, f) = (run(&p), compute(&p, date(start)));
        let known = &job["answer"];
        let since = |day: Day| f64::from(day.since(f.as_of));
        let (finish, total) = (risk.finish.unwrap(), risk.total);
        let cents = |amount: Money| amount.amount().to_f64().unwrap() * 100.0;
        let error = |at: usize| finish.errors[at].to_f64().unwrap();
        let pairs = [
            ("finish", "p50", since(finish.p50), error(0)),
            ("finish", "p80", since(finish.p80), error(1)),
            ("finish", "p90", since(finish.p90), error(2)),
            ("total", "p50", cents(total.p50), cents(total.errors[0])),
            ("total", "p80", cents(total.p80), cents(total.errors[1])),
            ("total", "p90", cents(total.p90), cents(total.errors[2])),
        ];
        for (of, percent, own, error) in pairs {
            let [other, theirs] = [number(&known[of][percent][0]), number(&known[of][percent][1])];
            let allowed = 3.0 * error.hypot(theirs);
            assert!((own - other).abs() <= allowed, "{n} {of} {percent}: {own}, {other}, within {allowed}");
        }
        let close = |what: &str, own: f64, other: f64| {
            let both = (own + other) / 2.0;
            let error = (both * (1.0 - both) * (1.0 / f64::from(TRIALS) + 1.0 / theirs)).sqrt();
            assert!((own - other).abs() <= 4.0 * error + 1e-4, "{n} {what}: {own}, {other}");
        };
        for pair in list(&known["up_to"]) {
            let by = f.as_of.plus(whole(&pair[0]) as i32);
            close("finished by", risk.finished_by(by).to_f64().unwrap(), number(&pair[1]));
        }
        for (at, other) in list(&known["phases"]).iter().enumerate() {
            close("phase", risk.share(risk.phases[at].fixing).to_f64().unwrap(), number(other));
        }
        for (at, id) in parts.iter().enumerate() {
            let own = risk.parts[f.index.of(id.0).unwrap()];
            close("part", risk.share(own.fixing).to_f64().unwrap(), number(&known["parts"][at]));
            let wait = own.week_costs.map(|days| days.to_f64().unwrap());
            match known["waits"][at].as_f64() {
                // A wait is at most a week of working days, so its spread is no more than that.
                Some(other) => {
                    let spread = (other * (5.0 - other).max(0.1)).sqrt() / f64::from(TRIALS).sqrt();
                    assert!(
                        (wait.unwrap() - other).abs() < 4.0 * spread + 0.006,
                        "{n} {at}: {wait:?}, {other}"
                    );
                }
                None => assert_eq!(wait, None),
            }
        }
    }
}
