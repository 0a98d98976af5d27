//! The engine against answers computed outside the project: numpy, networkx, HiGHS and walks by day, made by the
//! scripts in `tests/outside` and read here from their files. `tests/outside/README.md` says how each was made.

mod support;

use needline::engine::calendar::{Calendar, DayRule, DayTable, HolidayTable};
use needline::engine::days::Days;
use needline::engine::lead::Lead;
use needline::engine::{Day, compute};
use needline::model::{
    Attempt, ClosedRange, Crew, CrewId, HolidayRule, Holidays, LagUnit, LeadUnit, Link, LinkId, LinkKind,
    Missed, NeededAt, PartId, Phase, PhaseId, PhaseKind, Project, Weekdays,
};
use serde_json::Value;
use std::collections::HashMap;
use std::sync::Arc;
use support::*;

fn weekdays(text: &str) -> Weekdays {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn holidays(rule: &str, own: &str) -> Holidays {
    format!("{rule} {own}").parse().unwrap_or_else(|e| panic!("{rule} {own}: {e}"))
}

/// Ranges as `from/to`, with spaces between.
fn ranges(text: &str) -> Vec<ClosedRange> {
    let range = |pair: &str| {
        let (from, to) = pair.split_once('/').unwrap();
        ClosedRange { from: date(from), to: date(to), why: String::new() }
    };
    text.split_whitespace().map(range).collect()
}

/// Lines of a file without its remarks, split at the commas.
fn rows(text: &str) -> impl Iterator<Item = (&str, Vec<&str>)> {
    text.lines().filter(|line| !line.starts_with('#')).map(|line| (line, line.split(',').collect()))
}

/// A table of the years around a case, and one of all years.
struct Tables {
    all: (DayTable, HolidayTable),
    some: (DayTable, HolidayTable),
}

impl Tables {
    fn new(mask: &str, rule: &str, own: &str, closed: &str, some: Day) -> Tables {
        let kept = holidays(rule, own);
        let table = |from: Day, to: Day| {
            let kept = HolidayTable::new(&kept, from, to);
            (DayTable::new(DayRule::new(weekdays(mask), true, &ranges(closed)), &kept), kept)
        };
        Tables { all: table(Day::first(), Day::last()), some: table(some.plus(-200), some.plus(200)) }
    }
}

fn answer(calendar: Calendar<'_>, question: &str, from: Day, arg: &str) -> String {
    match question {
        "offset" => calendar.offset(from, arg.parse().unwrap()).to_string(),
        "count" => calendar.count(from, day(arg)).to_string(),
        "open" => u8::from(calendar.is_open(from)).to_string(),
        "forward" => calendar.roll_forward(from).to_string(),
        "back" => calendar.roll_back(from).to_string(),
        other => panic!("no question {other}"),
    }
}

/// numpy's busday functions, <https://numpy.org/doc/stable/reference/routines.datetime.html>: over a table of all
/// years, and over a short one, most of whose answers lie beyond it.
#[test]
fn working_days_as_numpy_counts_them() {
    let mut calendars: HashMap<&str, (Vec<&str>, Option<Tables>)> = HashMap::new();
    let mut checked = 0;
    for (line, row) in rows(include_str!("outside/calendar_cases.csv")) {
        if row[0] == "calendar" {
            calendars.insert(row[1], (row, None));
            continue;
        }
        let [number, question, from, arg, expected] = row[..] else { panic!("{line}") };
        let (rule, tables) = calendars.get_mut(number).unwrap();
        let tables = tables.get_or_insert_with(|| Tables::new(rule[2], rule[3], rule[4], rule[5], day(from)));
        for (which, (table, kept)) in [("all years", &tables.all), ("some years", &tables.some)] {
            let got = answer(Calendar::new(table, kept), question, day(from), arg);
            assert_eq!(got, expected, "{which}: {line}\nof {rule:?}");
        }
        checked += 1;
    }
    println!("{checked} calendar cases, each asked twice");
    assert!(checked >= 5_000, "{checked}");
}

/// Section 3.3 of the design by walking day by day.
#[test]
fn arrivals_and_order_by_days_as_walked() {
    let mut desks: HashMap<&str, (Vec<&str>, Days)> = HashMap::new();
    let mut checked = [0, 0];
    for (line, row) in rows(include_str!("outside/deliveries.csv")) {
        if row[0] == "supplier" {
            let mut p = project(row[2]);
            p.settings.weekdays = weekdays(row[3]);
            p.settings.holidays = holidays(row[4], row[5]);
            p.settings.closed = ranges(row[6]);
            add_supplier(&mut p, |s| {
                s.weekdays = weekdays(row[7]);
                s.closed = ranges(row[8]);
                s.delivery_weekdays = (!row[9].is_empty()).then(|| weekdays(row[9]));
                s.ship_days = row[10].parse().unwrap();
            });
            let days = Days::new(&p, day(row[2]));
            desks.insert(row[1], (row, days));
            continue;
        }
        let [number, question, from, count, unit, expected] = row[..] else { panic!("{line}") };
        let (rule, days) = &desks[number];
        let unit = match unit {
            "days" => LeadUnit::Days,
            "weeks" => LeadUnit::Weeks,
            "working" => LeadUnit::Working,
            other => panic!("no unit {other}"),
        };
        let lead = Lead { count: count.parse().unwrap(), unit };
        let desk = days.supplier(Some(0));
        let got = match question {
            "arrival" => desk.arrival(day(from), lead),
            _ => desk.order_by(day(from), lead),
        };
        assert_eq!(got.to_string(), expected, "{line}\nof {rule:?}");
        checked[usize::from(question == "order_by")] += 1;
    }
    println!("{} arrivals and {} order-by days", checked[0], checked[1]);
    assert!(checked[0] + checked[1] >= 2_000 && checked[0].min(checked[1]) >= 1_000, "{checked:?}");
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text"))
}

fn number(value: &Value) -> i32 {
    i32::try_from(value.as_i64().unwrap_or_else(|| panic!("{value} is no number"))).unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list"))
}

/// A phase as the file writes it: kind, days and what else is known.
fn read_phase(id: u32, row: &[Value]) -> Phase {
    let key = format!("n{id}");
    let mut phase = Phase::new(PhaseId(id), &key, &key, number(&row[1]));
    phase.kind = match text(&row[0]) {
        "w" => PhaseKind::Work,
        "i" => PhaseKind::Inspection,
        "m" => PhaseKind::Milestone,
        other => panic!("no kind {other}"),
    };
    let known = row.get(2).unwrap_or(&Value::Null);
    let on = |name: &str| known.get(name).map(|d| date(text(d)));
    phase.not_before = on("not_before");
    phase.actual_start = on("actual_start");
    phase.actual_finish = on("actual_finish");
    phase.days_left = known.get("days_left").map(number);
    for attempt in known.get("attempts").map_or(&[][..], list) {
        phase.attempts.push(Attempt {
            date: date(text(&attempt[0])),
            passed: attempt[1].as_bool().unwrap(),
            booked: false,
            note: String::new(),
            correct_by: attempt[2].as_str().map(date),
        });
    }
    phase
}

fn read_project(case: &Value) -> Project {
    let mut p = project(text(&case["start"]));
    let calendar = list(&case["calendar"]);
    p.settings.weekdays = weekdays(text(&calendar[0]));
    p.settings.holidays.rule =
        if text(&calendar[1]) == "none" { HolidayRule::None } else { HolidayRule::UsFederal };
    p.settings.holidays.own = list(&calendar[2]).iter().map(|d| date(text(d))).collect();
    let range =
        |r: &Value| ClosedRange { from: date(text(&r[0])), to: date(text(&r[1])), why: String::new() };
    p.settings.closed = list(&calendar[3]).iter().map(range).collect();
    p.settings.target_finish = case["target"].as_str().map(date);
    p.settings.reinspect_wait = number(&case["wait"]) as u32;
    let mut ids = Vec::new();
    for row in list(&case["phases"]) {
        let id = p.fresh_id();
        ids.push(PhaseId(id));
        Arc::make_mut(&mut p.phases).push(read_phase(id, list(row)));
    }
    for row in list(&case["links"]) {
        let how = text(&row[2]);
        let link = Link {
            id: LinkId(p.fresh_id()),
            before: ids[number(&row[0]) as usize],
            after: ids[number(&row[1]) as usize],
            kind: LinkKind::ALL.into_iter().find(|(word, _)| *word == &how[..2]).unwrap().1,
            lag: number(&row[3]),
            unit: if how.ends_with('e') { LagUnit::Elapsed } else { LagUnit::Working },
        };
        Arc::make_mut(&mut p.links).push(link);
    }
    p
}

/// Longest paths by networkx, linear programs by HiGHS (<https://highs.dev>, through scipy), and rules relaxed over
/// numpy's working days; see the script for which is used where.
#[test]
fn networks_as_solved_elsewhere() {
    let file: Value = serde_json::from_str(include_str!("outside/networks.json")).unwrap();
    let mut checked = [0, 0];
    for case in list(&file["networks"]) {
        let p = read_project(case);
        let start = Day::from(p.settings.start);
        let f = compute(&p, date(text(&case["as_of"])));
        let on = |offset: &Value| Some(start.plus(number(offset)));
        assert_eq!(f.plan_finish, on(&case["finish"]), "finish of {case}");
        assert_eq!(
            (f.forecast_finish, f.days_lost),
            (f.plan_finish, Some(0)),
            "nothing is delivered: {case}"
        );
        for (i, (got, row)) in f.phases.iter().zip(list(&case["expected"])).enumerate() {
            let float = |at: usize| (!row[at].is_null()).then(|| number(&row[at]));
            let shown = [got.early_start, got.early_finish, got.late_start, got.late_finish];
            let name = text(&case["name"]);
            assert_eq!(
                shown,
                [on(&row[0]), on(&row[1]), on(&row[2]), on(&row[3])],
                "{name}, phase {i}: {case}"
            );
            let floats = [got.total_float, got.free_float, got.target_float];
            assert_eq!(floats, [float(4), float(5), float(6)], "{name}, floats of phase {i}: {case}");
            assert_eq!(got.critical, float(4).is_some_and(|total| total <= 0), "{name}, phase {i}");
            checked[1] += 1;
        }
        assert_eq!(f.phases.len(), list(&case["expected"]).len(), "{case}");
        checked[0] += 1;
    }
    println!("{} networks of {} phases", checked[0], checked[1]);
    assert!(checked[0] >= 500, "{checked:?}");
}

/// Crews with days away and missed days, walked day by day; see `crew_days.py`.
#[test]
fn phases_on_the_days_of_their_crews() {
    let file: Value = serde_json::from_str(include_str!("outside/crew_days.json")).unwrap();
    // Networks, and phases that a crew's days moved.
    let (mut checked, mut moved) = (0, 0);
    for case in list(&file["networks"]) {
        let mut p = read_project(case);
        let plain = compute(&p, date(text(&case["as_of"])));
        for (n, away) in list(&case["crews"]).iter().enumerate() {
            let key = format!("crew{n}");
            let mut crew = Crew::new(CrewId(p.fresh_id()), &key, &key);
            let range = |r: &Value| ClosedRange {
                from: date(text(&r[0])),
                to: date(text(&r[1])),
                why: String::new(),
            };
            crew.away = list(away).iter().map(range).collect();
            assert_eq!(crew.check(), Ok(()));
            Arc::make_mut(&mut p.crews).push(crew);
        }
        let crews: Vec<CrewId> = p.crews.iter().map(|c| c.id).collect();
        let known = list(&case["crew"]).iter().zip(list(&case["missed"]));
        for (phase, (crew, missed)) in Arc::make_mut(&mut p.phases).iter_mut().zip(known) {
            phase.crew = crew.as_u64().map(|at| crews[at as usize]);
            let day = |d: &Value| Missed { date: date(text(d)), why: String::new() };
            phase.missed = list(missed).iter().map(day).collect();
        }
        for row in list(&case["deliveries"]) {
            let phase = p.phases[number(&row[0]) as usize].id;
            let as_of = date(text(&case["as_of"]));
            add_part(&mut p, |part| {
                part.phase = Some(phase);
                (part.ordered_on, part.promised_on) = (Some(as_of), Some(date(text(&row[1]))));
                part.at = if text(&row[2]) == "start" { NeededAt::Start } else { NeededAt::Finish };
                part.hold = Some(number(&row[3]) as u32);
            });
        }
        let start = Day::from(p.settings.start);
        let f = compute(&p, date(text(&case["as_of"])));
        for (i, (got, row)) in f.phases.iter().zip(list(&case["expected"])).enumerate() {
            let on = |at: usize| Some(start.plus(number(&row[at])));
            let name = format!("{}, phase {i} of {case}", case["name"]);
            assert_eq!((got.early_start, got.early_finish), (on(0), on(1)), "early: {name}");
            assert_eq!((got.late_start, got.late_finish), (on(2), on(3)), "late: {name}");
            assert_eq!((got.forecast_start, got.forecast_finish), (on(4), on(5)), "forecast: {name}");
            let float = |at: usize| (!row[at].is_null()).then(|| number(&row[at]));
            assert_eq!((got.total_float, got.free_float), (float(6), float(7)), "floats: {name}");
            moved += usize::from(got.early_finish != plain.phases[i].early_finish);
        }
        checked += 1;
    }
    println!("{checked} networks with crews, {moved} phases moved");
    assert!(checked >= 300 && moved >= 1_000, "{checked} {moved}");
}

/// A supplier as the file writes it.
fn read_supplier(p: &mut Project, row: &Value) {
    let closed = list(&row[1]).iter().map(|r| ClosedRange {
        from: date(text(&r[0])),
        to: date(text(&r[1])),
        why: String::new(),
    });
    add_supplier(p, |s| {
        s.weekdays = weekdays(text(&row[0]));
        s.closed = closed.collect();
        s.delivery_weekdays = Some(text(&row[2])).filter(|days| !days.is_empty()).map(weekdays);
        s.ship_days = number(&row[3]) as u32;
    });
}

/// A chosen part as the file writes it.
fn read_part(p: &mut Project, row: &Value) -> PartId {
    let phase = |at: &Value| at.as_u64().map(|at| p.phases[at as usize].id);
    let (needed, after) = (phase(&row[0]), phase(&row[1]));
    let supplier = p.suppliers[number(&row[7]) as usize].id;
    let id = add_part(p, |part| {
        part.phase = needed;
        part.order_after = after;
        part.order_after_days = after.map(|_| number(&row[2]) as u32);
        part.at = if text(&row[3]) == "start" { NeededAt::Start } else { NeededAt::Finish };
        part.hold = Some(number(&row[4]) as u32);
        part.lead = Some(number(&row[5]) as u32);
        part.lead_unit = match text(&row[6]) {
            "days" => LeadUnit::Days,
            "weeks" => LeadUnit::Weeks,
            _ => LeadUnit::Working,
        };
        part.supplier = Some(supplier);
    });
    let selection = p.part(id).unwrap().0.id;
    edit_selection(p, selection, |s| s.decide_on = row[8].as_str().map(date));
    id
}

/// Plain iteration to the least fixpoint, day by day, without an order of the phases; see `order_after.py`.
#[test]
fn forecasts_with_parts_ordered_only_after_a_phase() {
    let file: Value = serde_json::from_str(include_str!("outside/order_after.json")).unwrap();
    // Networks, parts that are ordered after a phase, those of them that cost days.
    let mut checked = [0, 0, 0];
    for case in list(&file["networks"]) {
        let mut p = read_project(case);
        list(&case["suppliers"]).iter().for_each(|row| read_supplier(&mut p, row));
        let parts: Vec<PartId> = list(&case["parts"]).iter().map(|row| read_part(&mut p, row)).collect();
        let start = Day::from(p.settings.start);
        let f = compute(&p, date(text(&case["as_of"])));
        let on = |offset: &Value| (!offset.is_null()).then(|| start.plus(number(offset)));
        for (i, (got, row)) in f.phases.iter().zip(list(&case["expected"])).enumerate() {
            let got = (got.forecast_start, got.forecast_finish);
            assert_eq!(got, (on(&row[0]), on(&row[1])), "{}, phase {i}: {case}", case["name"]);
        }
        assert_eq!(f.forecast_finish, on(&case["finish"]), "finish of {case}");
        for (i, (id, row)) in parts.iter().zip(list(&case["expected_parts"])).enumerate() {
            let got = f.part(*id).unwrap();
            let days = (got.orderable_from, got.arrival, got.expected);
            assert_eq!(days, (on(&row[0]), on(&row[1]), on(&row[1])), "{}, part {i}: {case}", case["name"]);
            assert_eq!(got.costs_days, number(&row[2]), "{}, what part {i} costs: {case}", case["name"]);
            checked[1] += usize::from(got.orderable_from.is_some());
            checked[2] += usize::from(got.orderable_from.is_some() && got.costs_days > 0);
        }
        checked[0] += 1;
    }
    println!(
        "{} networks, {} parts ordered after a phase, {} of them cost days",
        checked[0], checked[1], checked[2]
    );
    assert!(checked[0] >= 300 && checked[1] >= 1_000 && checked[2] >= 200, "{checked:?}");
}
