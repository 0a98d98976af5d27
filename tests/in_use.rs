//! The house in use: days without a room or a service, what lies stored, and what can no longer go back.

mod support;

use needline::engine::in_use::{Level, Most, Out, Span};
use needline::engine::swap::{Wish, preview};
use needline::engine::{Day, Figures, problems, without};
use needline::exchange::outgoing::json::figures::to_text;
use needline::exchange::outgoing::json::swaps::preview_lines;
use needline::exchange::outgoing::print::html;
use needline::exchange::outgoing::print::papers::PaperKind;
use needline::model::*;
use proptest::prelude::*;
use std::sync::Arc;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Demolition Mon 1 to Fri 5, rough work Mon 8 to Fri 12, tile Mon 15 to Wed 17, paint from Thu 18; two rooms.
fn house() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("demo", 5, ""), ("rough", 5, "demo"), ("tile", 3, "rough"), ("paint", 2, "tile")]);
    add_room(&mut p, "8", "6", "8");
    add_room(&mut p, "9", "6", "8");
    p
}

fn use_as(p: &Project, room: usize, used_as: Use) -> Project {
    p.apply(&Action::PutRoom(Room { used_as, ..p.rooms[room].clone() })).unwrap()
}

/// A row of a room or a service, by the keys of its phases.
fn out(p: &Project, what: Result<usize, Service>, from: &str, to: &str) -> OutOfUse {
    let new = OutOfUse::new(OutOfUseId(p.next_id), phase_id(p, from));
    let to_phase = (!to.is_empty()).then(|| phase_id(p, to));
    OutOfUse { room: what.ok().map(|at| p.rooms[at].id), service: what.err(), to_phase, ..new }
}

fn with(p: &Project, what: Result<usize, Service>, from: &str, to: &str) -> Project {
    p.apply(&Action::PutOutOfUse(out(p, what, from, to))).unwrap()
}

#[test]
fn rows_are_refused_that_name_nothing_or_too_much() {
    let p = use_as(&house(), 0, Use::Bath);
    assert_eq!(p.rooms.iter().map(|r| r.used_as.word()).collect::<Vec<_>>(), ["bath", "other"]);
    let refused = |o: OutOfUse| p.apply(&Action::PutOutOfUse(o)).unwrap_err().to_string();
    let good = out(&p, Ok(0), "demo", "");
    assert!(refused(OutOfUse { service: Some(Service::Gas), ..good.clone() }).contains("keep one of them"));
    assert!(refused(OutOfUse { room: None, ..good.clone() }).contains("which room or which service"));
    assert!(refused(OutOfUse { room: Some(RoomId(999)), ..good.clone() }).contains("not in the project"));
    assert!(
        refused(OutOfUse { to_phase: Some(PhaseId(999)), ..good.clone() }).contains("not in the project")
    );
    let p = p.apply(&Action::PutOutOfUse(good.clone())).unwrap();
    assert_eq!(Action::RemoveOutOfUse(good.id).label(&p), format!("remove days without {}", p.rooms[0].name));
    assert!(p.apply(&Action::RemoveOutOfUse(good.id)).unwrap().out_of_use.is_empty());
}

/// Of two phases the other stands for both; without its room, or without a phase, a row goes. Undo brings it back.
#[test]
fn what_is_removed_is_taken_out_of_what_names_it() {
    let p = with(
        &with(&with(&house(), Ok(0), "demo", "tile"), Err(Service::Water), "tile", ""),
        Ok(1),
        "rough",
        "tile",
    );
    let phases = |p: &Project| -> Vec<(PhaseId, PhaseId)> {
        p.out_of_use.iter().map(|o| (o.from_phase, o.last_phase())).collect()
    };
    let [demo, rough, tile] = ["demo", "rough", "tile"].map(|key| phase_id(&p, key));
    let mut history = History::new(p.clone());
    history.apply(&Action::RemovePhase(tile)).unwrap();
    assert_eq!(phases(history.project()), [(demo, demo), (rough, rough)], "water has no phase any more");
    history.apply(&Action::RemoveRoom(p.rooms[1].id)).unwrap();
    assert_eq!(phases(history.project()), [(demo, demo)]);
    assert!(history.undo() && history.undo());
    assert_eq!(**history.project(), p);
    let next = p.apply(&Action::RemovePhase(demo)).unwrap();
    assert_eq!(phases(&next)[0], (tile, tile));
}

fn spans(of: &[Span]) -> Vec<(String, String)> {
    of.iter().map(|s| (s.from.to_string(), s.to.to_string())).collect()
}

fn june(spans: &[(u32, u32)]) -> Vec<(String, String)> {
    spans.iter().map(|(a, b)| (format!("2026-06-{a:02}"), format!("2026-06-{b:02}"))).collect()
}

fn missed(f: &Figures, what: Out) -> Vec<(String, String)> {
    f.in_use.of(what).map_or(Vec::new(), |outage| spans(&outage.forecast))
}

fn codes(p: &Project, f: &Figures, code: &str) -> Vec<String> {
    problems(p, f).into_iter().filter(|q| q.code == code).map(|q| q.message).collect()
}

/// The days of a phase and all days off between; a use is missed when all its rooms are out at once.
#[test]
fn a_use_is_missed_when_every_room_of_it_is_out() {
    let bath = Out::Use(Use::Bath);
    let p = with(&use_as(&house(), 0, Use::Bath), Ok(0), "demo", "tile");
    assert_eq!(missed(&figures(&p, MONDAY), bath), june(&[(1, 17)]), "weekends in it count");
    // Another bath that nothing takes is there every day.
    let p = use_as(&p, 1, Use::Bath);
    let f = figures(&p, MONDAY);
    assert_eq!(missed(&f, bath), june(&[]));
    assert_eq!(spans(&f.in_use.rooms[0].forecast), june(&[(1, 17)]));
    // Both at once: those days in which both are out, of two rows of one room apart from each other.
    let p = with(&with(&p, Ok(1), "rough", ""), Ok(1), "demo", "");
    assert_eq!(missed(&figures(&p, MONDAY), bath), june(&[(1, 5), (8, 12)]));
    // A row that touches another is one stretch with it.
    let p = with(&p, Ok(1), "demo", "rough");
    let f = figures(&p, MONDAY);
    assert_eq!(missed(&f, bath), june(&[(1, 12)]));
    assert_eq!(f.in_use.out[0].rows, [0, 1, 2, 3]);
}

#[test]
fn services_and_rooms_of_another_use_are_out_by_themselves() {
    let p = with(&house(), Err(Service::Water), "rough", "");
    let p = with(&with(&p, Err(Service::Water), "tile", ""), Ok(1), "paint", "");
    let f = figures(&p, MONDAY);
    assert_eq!(missed(&f, Out::Service(Service::Water)), june(&[(8, 12), (15, 17)]));
    assert_eq!(missed(&f, Out::Room(p.rooms[1].id)), june(&[(18, 22)]), "a holiday and a weekend");
    assert_eq!(f.in_use.out.len(), 2);
    // A document without rows has no figure, whatever its rooms are used for.
    let f = figures(&use_as(&house(), 0, Use::Kitchen), MONDAY);
    assert!(f.in_use.out.is_empty() && f.in_use.rooms.is_empty() && f.in_use.rows.is_empty());
    assert_eq!(f.in_use.stored, None);
}

/// A part for the rough work that takes until Mon 22 moves it in the forecast, and not in the plan.
#[test]
fn plan_and_forecast_have_days_of_their_own_and_a_change_says_both() {
    let mut p = with(&use_as(&house(), 0, Use::Bath), Ok(0), "rough", "");
    let supplier = add_supplier(&mut p, |_| {});
    let rough = phase_id(&p, "rough");
    let part = add_part(&mut p, |part| {
        (part.supplier, part.phase, part.lead) = (Some(supplier), Some(rough), Some(21));
    });
    let f = figures(&p, MONDAY);
    let outage = &f.in_use.out[0];
    assert_eq!((spans(&outage.plan), spans(&outage.forecast)), (june(&[(8, 12)]), june(&[(22, 26)])));
    let [message] = codes(&p, &f, "days_without").try_into().unwrap();
    assert!(message.starts_with(
        "no bath 2026-06-22 to 2026-06-26, 5 days, in the plan 2026-06-08 to 2026-06-12: Room "
    ));
    assert!(
        message.contains("is the only bath, and it is out of use during rough")
            && message.contains("arrange for another bath")
    );
    // With the part in time.
    let mut sooner = p.clone();
    edit_part(&mut sooner, part, |part| part.lead = Some(7));
    let g = figures(&sooner, MONDAY);
    let words = |a, b| -> Vec<String> {
        without::changes(a, b).iter().map(|w| w.words.plain(Currency::USD)).collect()
    };
    assert_eq!(
        words((&p, &f), (&sooner, &g)),
        ["no bath 2026-06-08 to 2026-06-12 (was 2026-06-22 to 2026-06-26)"]
    );
    let none = sooner.apply(&Action::RemoveOutOfUse(p.out_of_use[0].id)).unwrap();
    let h = figures(&none, MONDAY);
    assert_eq!(words((&sooner, &g), (&none, &h)), ["no bath on no day (was 2026-06-08 to 2026-06-12)"]);
    assert_eq!(words((&none, &h), (&sooner, &g)), ["no bath 2026-06-08 to 2026-06-12 (was on no day)"]);
    assert_eq!(words((&p, &f), (&p, &f)), [""; 0]);
    // What is past is not said any more.
    assert_eq!(codes(&p, &figures(&p, "2026-07-10"), "days_without").len(), 1, "it has not begun");
    edit_phase(&mut sooner, "rough", |r| {
        (r.actual_start, r.actual_finish) = (Some(date("2026-06-08")), Some(date("2026-06-12")));
    });
    assert!(codes(&sooner, &figures(&sooner, "2026-06-13"), "days_without").is_empty());
    assert_eq!(codes(&sooner, &figures(&sooner, "2026-06-12"), "days_without").len(), 1);
}

#[test]
fn phases_in_the_wrong_order_are_named_and_take_nothing() {
    let p = with(&use_as(&house(), 0, Use::Bath), Ok(0), "tile", "demo");
    let f = figures(&p, MONDAY);
    assert!(f.in_use.out.is_empty());
    let [message] = codes(&p, &f, "out_upside_down").try_into().unwrap();
    assert!(message.contains("from the start of tile to the finish of demo, which ends before"), "{message}");
    assert!(codes(&house(), &figures(&house(), MONDAY), "out_upside_down").is_empty());
    // A circle of links has no days, and is a fault of its own.
    let mut p = with(&house(), Ok(0), "rough", "tile");
    let link = Link { before: phase_id(&p, "tile"), after: phase_id(&p, "rough"), ..p.links[0].clone() };
    Arc::make_mut(&mut p.links).push(Link { id: LinkId(p.next_id), ..link });
    let f = figures(&p, MONDAY);
    assert!(!f.in_use.rows[0].known && codes(&p, &f, "out_upside_down").is_empty());
}

/// Cabinets came Wed 3 and are used from Mon 15: they lie there 3 to 15. Tile comes Tue 9 for Mon 15, of unknown area.
/// Boards come Wed 10 for Thu 18.
fn store() -> (Project, [PartId; 3]) {
    let mut p = house();
    edit_phase(&mut p, "demo", |demo| {
        (demo.actual_start, demo.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
    });
    p.settings.storage = Some(dec("60"));
    let supplier = add_supplier(&mut p, |s| s.return_days = Some(5));
    let [tile, paint] = ["tile", "paint"].map(|key| phase_id(&p, key));
    let mut part = |phase, on: &str, came: bool, area: Option<&str>| {
        add_part(&mut p, |part| {
            (part.supplier, part.phase, part.lead) = (Some(supplier), Some(phase), Some(0));
            part.ordered_on = Some(date(MONDAY));
            part.floor_area = area.map(dec);
            if came {
                part.received_on = Some(date(on));
            } else {
                part.promised_on = Some(date(on));
            }
        })
    };
    let cabinets = part(tile, "2026-06-03", true, Some("40.5"));
    let tiles = part(tile, "2026-06-09", false, None);
    let boards = part(paint, "2026-06-10", false, Some("25"));
    (p, [cabinets, tiles, boards])
}

fn level(from: u32, to: u32, area: &str, unknown: usize) -> Level {
    let day = |n| Day::from_ymd(2026, 6, n).unwrap();
    Level { days: Span { from: day(from), to: day(to) }, area: dec(area), unknown }
}

#[test]
fn what_lies_stored_is_held_against_the_floor_day_by_day() {
    let (p, [cabinets, tiles, boards]) = store();
    let f = figures(&p, "2026-06-05");
    let at = |id| f.parts.iter().position(|part| part.id == id).unwrap();
    let stored = f.in_use.stored.as_ref().unwrap();
    assert_eq!(
        stored.levels,
        [level(5, 8, "40.5", 0), level(9, 9, "40.5", 1), level(10, 15, "65.5", 1), level(16, 18, "25", 0)]
    );
    let most = Most {
        on: day("2026-06-10"),
        area: dec("65.5"),
        unknown: 1,
        parts: vec![at(cabinets), at(boards), at(tiles)],
    };
    assert_eq!((stored.most.as_ref(), stored.undated), (Some(&most), 0));
    let [full] = stored.full.as_slice() else { panic!("{:?}", stored.full) };
    assert_eq!((spans(&[full.days]), &full.most), (june(&[(10, 15)]), &most));
    let [message] = codes(&p, &f, "storage_full").try_into().unwrap();
    assert!(
        message.contains(
            "from 2026-06-10 to 2026-06-15, worst on 2026-06-10: 65.5 of 60 sq ft at least, as 1 thing has no"
        ),
        "{message}"
    );
    // As much as there is room for is not too much.
    let mut p = p;
    p.settings.storage = Some(dec("65.5"));
    assert!(figures(&p, "2026-06-05").in_use.stored.unwrap().full.is_empty());
    // Built in, it lies there no more.
    edit_part(&mut p, cabinets, |part| part.installed_on = Some(date("2026-06-04")));
    let stored = figures(&p, "2026-06-05").in_use.stored.unwrap();
    assert_eq!(stored.levels[0], level(9, 9, "0", 1), "a thing of unknown area is not nothing");
    // Nobody knows when what has no lead time comes.
    edit_part(&mut p, boards, |part| (part.ordered_on, part.promised_on, part.lead) = (None, None, None));
    assert_eq!(figures(&p, "2026-06-05").in_use.stored.unwrap().undated, 1);
}

/// What is no longer the choice lies there until it goes back.
#[test]
fn what_is_not_wanted_any_more_lies_there_until_it_goes_back() {
    let (mut p, [cabinets, ..]) = store();
    let selection = p.part(cabinets).unwrap().0.id;
    edit_selection(&mut p, selection, |s| s.options[0].state = OptionState::Candidate);
    let area = |p: &Project, on: &str| {
        let levels = figures(p, "2026-06-05").in_use.stored.unwrap().levels;
        let level = levels.iter().find(|l| l.days.from <= day(on) && day(on) <= l.days.to);
        level.map_or(dec("0"), |l| l.area)
    };
    assert_eq!(area(&p, "2026-06-22"), dec("40.5"), "to the end");
    let back = Return::new(ReturnId(p.fresh_id()), cabinets);
    let mut with = |state, on: Option<&str>| {
        let r = Return { state, went_back_on: on.map(date), ..back.clone() };
        p.returns = Arc::new(vec![r]);
        (area(&p, "2026-06-05"), area(&p, "2026-06-08"))
    };
    assert_eq!(with(ReturnState::WentBack, Some("2026-06-05")), (dec("40.5"), dec("0")));
    assert_eq!(with(ReturnState::GoingBack, None), (dec("40.5"), dec("40.5")));
    assert_eq!(with(ReturnState::WrittenOff, None), (dec("0"), dec("0")));
}

/// Five days from Wed 3 end on Mon 8, before Mon 15; from Wed 10 on Mon 15, before Thu 18.
#[test]
fn a_return_that_closes_before_the_part_is_used_is_named() {
    let (mut p, [cabinets, tiles, boards]) = store();
    let closing = |p: &Project, on: &str| -> Vec<(PartId, String, String)> {
        let f = figures(p, on);
        let one = |c: &needline::engine::in_use::Closing| {
            (f.parts[c.part].id, c.last.to_string(), c.used.to_string())
        };
        f.in_use.closing.iter().map(one).collect()
    };
    let of = |id, last: &str, used: &str| (id, format!("2026-06-{last}"), format!("2026-06-{used}"));
    let all = [of(cabinets, "08", "15"), of(tiles, "14", "15"), of(boards, "15", "18")];
    assert_eq!(closing(&p, "2026-06-05"), all);
    edit_phase(&mut p, "rough", |rough| rough.actual_start = Some(date("2026-06-08")));
    let f = figures(&p, "2026-06-09");
    let texts = codes(&p, &f, "return_closes");
    assert!(
        texts.iter().any(|t| t.contains("could go back until 2026-06-08, and tile uses it on 2026-06-15"))
    );
    assert!(
        texts
            .iter()
            .any(|t| t.contains("comes on 2026-06-10 and can go back until 2026-06-15, before paint"))
    );
    edit_phase(&mut p, "rough", |rough| rough.actual_start = None);
    // To the very day it is used is enough.
    Arc::make_mut(&mut p.suppliers)[0].return_days = Some(12);
    assert!(closing(&p, "2026-06-05").is_empty());
    Arc::make_mut(&mut p.suppliers)[0].return_days = Some(11);
    assert_eq!(closing(&p, "2026-06-05"), [of(cabinets, "14", "15")]);
    // What is not ordered can be ordered later, and what is built in was found good.
    edit_part(&mut p, cabinets, |part| part.installed_on = Some(date("2026-06-04")));
    assert!(closing(&p, "2026-06-05").is_empty());
    Arc::make_mut(&mut p.suppliers)[0].return_days = Some(0);
    edit_part(&mut p, tiles, |part| (part.ordered_on, part.promised_on) = (None, None));
    edit_part(&mut p, boards, |part| (part.ordered_on, part.promised_on) = (None, None));
    assert!(closing(&p, "2026-06-05").is_empty());
}

#[test]
fn figures_are_in_the_json() {
    let (p, _) = store();
    let p = with(&use_as(&p, 0, Use::Bath), Ok(0), "rough", "tile");
    let f = figures(&p, "2026-06-05");
    let json: serde_json::Value = serde_json::from_str(&to_text(&p, &f, &problems(&p, &f)).unwrap()).unwrap();
    let days = serde_json::json!([{ "from": "2026-06-08", "to": "2026-06-17" }]);
    assert_eq!(json["in_use"]["out"][0]["what"], "bath");
    assert_eq!((&json["in_use"]["out"][0]["plan"], &json["in_use"]["out"][0]["forecast"]), (&days, &days));
    assert_eq!(json["in_use"]["rooms"][0]["room"], p.rooms[0].key.as_str());
    assert_eq!(json["storage"]["most"]["area"], "65.5");
    assert_eq!(
        (&json["storage"]["most"]["at_least"], &json["storage"]["full"][0]["to"]),
        (&true.into(), &"2026-06-15".into())
    );
    assert_eq!(json["return_closes"][0]["last"], "2026-06-08");
    let f = figures(&house(), MONDAY);
    let json: serde_json::Value = serde_json::from_str(&to_text(&house(), &f, &[]).unwrap()).unwrap();
    assert!(json["storage"].is_null() && json["in_use"]["out"].as_array().unwrap().is_empty());
}

/// What a new room is used for is read off its name, by whole words.
#[test]
fn names_of_new_rooms_say_their_use() {
    for (name, used_as) in [
        ("Hall bath", Use::Bath),
        ("Bathroom 2", Use::Bath),
        ("KITCHEN", Use::Kitchen),
        ("Second bedroom", Use::Bedroom),
        ("Laundry and mudroom", Use::Laundry),
        ("Half bath", Use::Other),
        ("Powder room", Use::Other),
        ("Kitchen pantry", Use::Other),
        ("Bathgate study", Use::Other),
        ("", Use::Other),
    ] {
        assert_eq!(Use::of_name(name), used_as, "{name}");
    }
}

/// A swap to a set that takes three weeks more moves the rough work, and with it the days without a bath.
#[test]
fn a_swap_says_before_and_after() {
    let mut p = with(&use_as(&house(), 0, Use::Bath), Ok(0), "rough", "");
    let supplier = add_supplier(&mut p, |_| {});
    let rough = phase_id(&p, "rough");
    let both = [(OptionState::Chosen, 1), (OptionState::Candidate, 1)];
    let selection = add_selection(&mut p, "0", &both);
    let options = p.selection(selection).unwrap().options.clone();
    for (option, lead) in options.iter().zip([0, 21]) {
        edit_part(&mut p, option.parts[0].id, |part| {
            (part.supplier, part.phase, part.lead) = (Some(supplier), Some(rough), Some(lead));
        });
    }
    let f = figures(&p, MONDAY);
    let seen = preview(&p, &f, &Wish::new(selection, options[1].id, date(MONDAY))).unwrap();
    let words: Vec<String> = seen.without.iter().map(|changed| changed.words.plain(Currency::USD)).collect();
    assert_eq!(words, ["no bath 2026-06-22 to 2026-06-26 (was 2026-06-08 to 2026-06-12)"]);
    assert!(preview_lines(&p, f.as_of, &seen).contains(&words[0]));
    let back = p.apply(&seen.action).unwrap();
    let g = figures(&back, MONDAY);
    let seen = preview(&back, &g, &Wish::new(selection, options[0].id, date(MONDAY))).unwrap();
    let words: Vec<String> = seen.without.iter().map(|changed| changed.words.plain(Currency::USD)).collect();
    assert_eq!(words, ["no bath 2026-06-08 to 2026-06-12 (was 2026-06-22 to 2026-06-26)"]);
    let none = house();
    assert!(
        without::changes((&none, &figures(&none, MONDAY)), (&none, &figures(&none, "2026-06-03"))).is_empty()
    );
}

#[test]
fn the_schedule_says_the_days_on_paper() {
    let p = with(&use_as(&house(), 0, Use::Bath), Ok(0), "rough", "tile");
    let written = |p: &Project| html::html(&PaperKind::Schedule.make(p, &figures(p, MONDAY), None));
    let paper = written(&p);
    assert!(paper.contains("Days without a room or a service") && paper.contains("no bath"), "{paper}");
    assert!(paper.contains("rough to tile"), "{paper}");
    assert!(!written(&house()).contains("Days without"));
}

// Laws, against a walk day by day.

/// A random house: a network, rooms with uses, rows, and parts that come, lie there and are used.
fn any_house() -> impl Strategy<Value = Project> {
    let rows = proptest::collection::vec((0_usize..9, 0_usize..9, 0_usize..9), 0..9);
    let uses = proptest::collection::vec(0_usize..5, 0..5);
    let parts = proptest::collection::vec((0_usize..10, 0_u32..40, 0_i64..50, 0_u32..256), 0..9);
    (any_network(), uses, rows, parts, 0_i64..90).prop_map(|(table, uses, rows, parts, floor)| {
        let mut p = project(MONDAY);
        add_phases(&mut p, table.rows());
        p.settings.storage = (floor > 9).then(|| floor.into());
        for at in &uses {
            add_room(&mut p, "8", "6", "8");
            Arc::make_mut(&mut p.rooms).last_mut().unwrap().used_as = Use::ALL[*at].1;
        }
        for (what, from, to) in rows {
            let id = OutOfUseId(p.fresh_id());
            let room = p.rooms.get(what).map(|r| r.id);
            let service = room.is_none().then(|| Service::ALL[what % 4].1);
            let at = |n: usize| p.phases[n % p.phases.len()].id;
            let row = OutOfUse {
                room,
                service,
                to_phase: (to != from).then(|| at(to)),
                ..OutOfUse::new(id, at(from))
            };
            Arc::make_mut(&mut p.out_of_use).push(row);
        }
        let supplier = add_supplier(&mut p, |s| s.return_days = Some(floor as u32 % 12));
        for (phase, days, area, dice) in parts {
            let phase = p.phases.get(phase).map(|phase| phase.id);
            add_part(&mut p, |part| {
                (part.supplier, part.phase) = (Some(supplier), phase);
                part.lead = (dice & 3 != 0).then_some(days);
                part.floor_area = (dice & 4 != 0).then(|| rust_decimal::Decimal::new(area, 1));
                part.at = if dice & 8 != 0 { NeededAt::Finish } else { NeededAt::Start };
                let on = date(MONDAY) + chrono::Days::new(u64::from(days) / 3);
                part.ordered_on = (dice & 16 != 0).then_some(on);
                part.received_on = (dice & 48 == 48).then(|| on + chrono::Days::new(u64::from(days) / 4));
                part.installed_on = (dice & 112 == 112).then(|| on + chrono::Days::new(u64::from(days)));
            });
        }
        p
    })
}

/// The days of a span one by one, over two years.
fn walk(has: impl Fn(Day) -> bool) -> Vec<Day> {
    let first = day("2026-01-01");
    (0..730).map(|n| first.plus(n)).filter(|on| has(*on)).collect()
}

fn in_spans(spans: &[Span]) -> Vec<Day> {
    assert!(spans.windows(2).all(|pair| pair[0].to.plus(1) < pair[1].from), "apart and in order: {spans:?}");
    walk(|on| spans.iter().any(|s| s.from <= on && on <= s.to))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(320))]

    #[test]
    fn days_without_are_those_of_a_walk_day_by_day(p in any_house(), later in 0_i32..40) {
        let as_of = day(MONDAY).plus(later).date();
        let f = needline::engine::compute(&p, as_of);
        // A room is out on a day when some row has begun and not ended.
        for forecast in [false, true] {
            let takes = |row: &OutOfUse, on: Day| {
                let (a, b) = (f.phase(row.from_phase).unwrap(), f.phase(row.last_phase()).unwrap());
                let (from, to) = match forecast {
                    true => (a.forecast_start, b.forecast_finish),
                    false => (a.early_start, b.early_finish),
                };
                from.is_some_and(|from| on >= from) && to.is_some_and(|to| on <= to)
            };
            let out = |id: RoomId, on: Day| p.out_of_use.iter().any(|row| row.room == Some(id) && takes(row, on));
            let told = |what| f.in_use.of(what).map_or(Vec::new(), |o| in_spans(if forecast { &o.forecast } else { &o.plan }));
            for (_, of) in Use::ALL.into_iter().filter(|(_, of)| *of != Use::Other) {
                let mut left = p.rooms.iter().filter(|r| r.used_as == of).peekable();
                let has = left.peek().is_some();
                let rooms: Vec<RoomId> = left.map(|r| r.id).collect();
                let missed = walk(|on| has && rooms.iter().all(|id| out(*id, on)));
                prop_assert_eq!(told(Out::Use(of)), missed);
            }
            for (_, service) in Service::ALL {
                let missed = walk(|on| p.out_of_use.iter().any(|row| row.service == Some(service) && takes(row, on)));
                prop_assert_eq!(told(Out::Service(service)), missed);
            }
            for room in p.rooms.iter().filter(|r| r.used_as == Use::Other) {
                prop_assert_eq!(told(Out::Room(room.id)), walk(|on| out(room.id, on)));
            }
            for room in &f.in_use.rooms {
                let days = in_spans(if forecast { &room.forecast } else { &room.plan });
                prop_assert_eq!(days, walk(|on| out(room.room, on)));
            }
        }
        prop_assert_eq!(f.in_use.out.is_empty() || !p.out_of_use.is_empty(), true);
        problems(&p, &f);
    }

    #[test]
    fn what_lies_stored_is_that_of_a_walk_day_by_day(p in any_house(), later in 0_i32..40) {
        let as_of = day(MONDAY).plus(later);
        let f = needline::engine::compute(&p, as_of.date());
        let Some(stored) = &f.in_use.stored else {
            prop_assert_eq!(p.settings.storage, None);
            return Ok(());
        };
        let lies = |part: &Part, own: &needline::engine::PartFigures, on: Day| {
            let known = |day: Option<chrono::NaiveDate>| day.map(Day::from).filter(|day| *day <= as_of);
            let phase = part.phase.map(|id| f.phase(id).unwrap());
            let used = match (known(part.installed_on), part.at) {
                (Some(day), _) => Some(day),
                (None, NeededAt::Start) => phase.and_then(|phase| phase.forecast_start),
                (None, NeededAt::Finish) => phase.and_then(|phase| phase.forecast_finish),
            };
            let Some(from) = known(part.received_on).or(known(part.installed_on)).or(own.expected) else { return false };
            let to = used.or(f.forecast_finish).unwrap_or(from).max(from);
            from <= on && on <= to && on >= as_of
        };
        let of = |on: Day| {
            let all = p.all_parts().zip(&f.parts).filter(|((_, _, part), own)| lies(part, own, on));
            all.fold((dec("0"), 0), |(area, unknown), ((_, _, part), _)| match part.floor_area {
                Some(own) => (area + own, unknown),
                None => (area, unknown + 1),
            })
        };
        for n in 0..400 {
            let on = day(MONDAY).plus(n);
            let told = stored.levels.iter().find(|l| l.days.from <= on && on <= l.days.to);
            prop_assert_eq!(told.map_or((dec("0"), 0), |l| (l.area, l.unknown)), of(on), "{}", on);
            let full = stored.full.iter().any(|l| l.days.from <= on && on <= l.days.to);
            prop_assert_eq!(full, of(on).0 > stored.floor, "{}", on);
        }
        for full in &stored.full {
            let days = (0..full.days.days()).map(|n| full.days.from.plus(n));
            let worst = days.clone().map(|on| of(on).0).max().unwrap();
            prop_assert_eq!((full.most.area, of(full.most.on).0), (worst, worst));
            prop_assert_eq!(full.most.on, days.into_iter().find(|on| of(*on) == (worst, full.most.unknown)).unwrap());
        }
        for (at, ((_, _, part), own)) in p.all_parts().zip(&f.parts).enumerate() {
            let told = f.in_use.closing.iter().find(|c| c.part == at);
            let installed = part.installed_on.is_some_and(|on| Day::from(on) <= as_of);
            let ordered = [part.ordered_on, part.received_on].into_iter().flatten().any(|on| Day::from(on) <= as_of);
            let used = part.phase.and_then(|id| match part.at {
                NeededAt::Start => f.phase(id).unwrap().forecast_start,
                NeededAt::Finish => f.phase(id).unwrap().forecast_finish,
            });
            let last = own.expected.map(|came| came.plus(p.suppliers[0].return_days.unwrap() as i32));
            let closes = ordered && !installed && last.zip(used).is_some_and(|(last, used)| last < used && used >= as_of);
            prop_assert_eq!(told.map(|c| (Some(c.last), Some(c.used))), closes.then_some((last, used)));
        }
    }

    /// A longer phase never makes fewer days out for a room that it takes out.
    #[test]
    fn a_longer_phase_takes_a_room_no_fewer_days(table in any_network(), at in 0_usize..8, more in 1_i32..9) {
        let mut p = project(MONDAY);
        add_phases(&mut p, table.rows());
        add_room(&mut p, "8", "6", "8");
        let phase = p.phases[at % p.phases.len()].clone();
        if phase.kind == PhaseKind::Milestone {
            return Ok(());
        }
        let row = OutOfUse { room: Some(p.rooms[0].id), ..OutOfUse::new(OutOfUseId(p.next_id), phase.id) };
        let p = p.apply(&Action::PutOutOfUse(row)).unwrap();
        let longer = Phase { days: phase.days.map(|days| days + more), ..phase.clone() };
        let longer = p.apply(&Action::PutPhase(longer)).unwrap();
        let days = |p: &Project| -> [i32; 2] {
            let out = &figures(p, MONDAY).in_use.out[0];
            [&out.plan, &out.forecast].map(|spans| spans.iter().map(|s| s.days()).sum())
        };
        let (before, after) = (days(&p), days(&longer));
        prop_assert!(before[0] <= after[0] && before[1] <= after[1], "{before:?} {after:?}");
    }
}
