//! The house in use: days without a room or a service, what lies stored, and what can no longer go back.

mod support;

use needline::model::*;
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
