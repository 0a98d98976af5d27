//! Plan and forecast dates of small projects, counted by hand on the calendar of June 2026 (Monday 1; Friday 19 is a
//! holiday), and the law of `held_by` on random ones.

mod support;

use needline::engine::why::{self, Cause, RestsOn};
use needline::engine::{Day, Figures, compute, problems};
use needline::model::{Attempt, NeededAt, PartId, PhaseKind, Project, Severity, SupplierId};
use proptest::prelude::*;
use std::sync::Arc;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Demolition Mon 1 to Wed 3, tile Thu 4 to Wed 10, paint Thu 11 to Fri 12.
fn three_phases() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("demo", 3, ""), ("tile", 5, "demo"), ("paint", 2, "tile")]);
    p
}

/// A chosen part for a phase, not ordered, with a lead time in calendar days.
fn part_for(p: &mut Project, key: &str, lead: u32) -> PartId {
    let phase = phase_id(p, key);
    add_part(p, |part| (part.phase, part.lead) = (Some(phase), Some(lead)))
}

fn june(from: u32, to: u32) -> (Option<needline::engine::Day>, Option<needline::engine::Day>) {
    (Some(day(&format!("2026-06-{from:02}"))), Some(day(&format!("2026-06-{to:02}"))))
}

fn planned(
    f: &Figures,
    p: &Project,
    key: &str,
) -> (Option<needline::engine::Day>, Option<needline::engine::Day>) {
    (phase(f, p, key).early_start, phase(f, p, key).early_finish)
}

fn forecast(
    f: &Figures,
    p: &Project,
    key: &str,
) -> (Option<needline::engine::Day>, Option<needline::engine::Day>) {
    (phase(f, p, key).forecast_start, phase(f, p, key).forecast_finish)
}

/// The parts that hold a phase, with their days.
fn held(f: &Figures, p: &Project, key: &str) -> Vec<(PartId, i32)> {
    phase(f, p, key).held_by.iter().map(|h| (f.parts[h.part].id, h.days)).collect()
}

fn codes(p: &Project, f: &Figures) -> Vec<&'static str> {
    problems(p, f).iter().map(|problem| problem.code).collect()
}

#[test]
fn a_late_part_holds_its_phase_and_moves_the_finish() {
    let mut p = three_phases();
    let late = part_for(&mut p, "tile", 14);
    let f = figures(&p, MONDAY);
    assert_eq!(planned(&f, &p, "tile"), june(4, 10), "the plan knows no deliveries");
    assert_eq!(f.plan_finish, Some(day("2026-06-12")));
    assert_eq!(part(&f, late).arrival, Some(day("2026-06-15")));
    assert_eq!(forecast(&f, &p, "demo"), june(1, 3));
    assert_eq!(forecast(&f, &p, "tile"), june(15, 22), "over Friday 19, a holiday");
    assert_eq!(forecast(&f, &p, "paint"), june(23, 24));
    assert_eq!(f.forecast_finish, Some(day("2026-06-24")));
    assert_eq!(f.days_lost, Some(7));
    assert_eq!(held(&f, &p, "tile"), [(late, 7)]);
    assert_eq!(phase(&f, &p, "tile").held_days, 7);
    assert_eq!(held(&f, &p, "paint"), [], "paint waits for tile, not for a part");
    assert!(codes(&p, &f).contains(&"late"));
}

#[test]
fn a_part_in_time_holds_nothing() {
    let mut p = three_phases();
    let id = part_for(&mut p, "tile", 3);
    let f = figures(&p, MONDAY);
    assert_eq!(part(&f, id).arrival, Some(day("2026-06-04")), "on the very day");
    assert_eq!((f.days_lost, part(&f, id).late), (Some(0), false));
    assert_eq!(held(&f, &p, "tile"), []);
    edit_part(&mut p, id, |part| part.hold = Some(1));
    let f = figures(&p, MONDAY);
    assert_eq!((f.days_lost, part(&f, id).late), (Some(1), true), "the hold is not kept");
    assert_eq!(held(&f, &p, "tile"), [(id, 1)]);
}

#[test]
fn of_two_late_parts_the_later_one_holds() {
    let mut p = three_phases();
    let later = part_for(&mut p, "tile", 14);
    let sooner = part_for(&mut p, "tile", 10);
    let f = figures(&p, MONDAY);
    assert_eq!(part(&f, sooner).arrival, Some(day("2026-06-11")));
    // Without the later one tile would start on Thu 11: two working days are won, not seven.
    assert_eq!(held(&f, &p, "tile"), [(later, 2)]);
    assert_eq!(phase(&f, &p, "tile").held_days, 7);
    edit_part(&mut p, sooner, |part| part.lead = Some(14));
    let f = figures(&p, MONDAY);
    assert_eq!(held(&f, &p, "tile"), [(later, 0), (sooner, 0)], "neither alone helps");
    assert_eq!(phase(&f, &p, "tile").held_days, 7);
}

#[test]
fn only_parts_of_the_choice_or_the_leaning_count() {
    use needline::model::OptionState::{Candidate, Chosen, Leaning};
    for (states, lost) in [
        ([Chosen, Candidate], 7),
        ([Candidate, Chosen], 0),
        ([Leaning, Candidate], 7),
        ([Leaning, Chosen], 0),
        ([Candidate, Candidate], 0),
    ] {
        let mut p = three_phases();
        let tile = phase_id(&p, "tile");
        let s = add_selection(&mut p, "100", &states.map(|state| (state, 1)));
        edit_selection(&mut p, s, |s| {
            let part = &mut s.options[0].parts[0];
            (part.phase, part.lead) = (Some(tile), Some(14));
        });
        let f = figures(&p, MONDAY);
        assert_eq!(f.days_lost, Some(lost), "{states:?}");
        let undecided = codes(&p, &f).contains(&"undecided");
        assert_eq!(undecided, states == [Candidate, Candidate], "{states:?}");
    }
}

#[test]
fn a_part_for_the_finish_bounds_the_last_day() {
    let mut p = three_phases();
    let id = part_for(&mut p, "tile", 14);
    edit_part(&mut p, id, |part| part.at = NeededAt::Finish);
    let f = figures(&p, MONDAY);
    assert_eq!(part(&f, id).need_date, Some(day("2026-06-10")));
    // The last day is Mon 15 at the earliest: Tue 9 to Mon 15.
    assert_eq!(forecast(&f, &p, "tile"), june(9, 15));
    assert_eq!(held(&f, &p, "tile"), [(id, 3)]);
    assert_eq!(f.days_lost, Some(3));
    edit_part(&mut p, id, |part| part.hold = Some(2));
    assert_eq!(forecast(&figures(&p, MONDAY), &p, "tile"), june(11, 17));
}

#[test]
fn a_part_for_the_finish_of_a_started_phase() {
    let mut p = three_phases();
    let id = part_for(&mut p, "tile", 14);
    edit_part(&mut p, id, |part| part.at = NeededAt::Finish);
    edit_phase(&mut p, "demo", |f| f.actual_finish = Some(date("2026-06-03")));
    edit_phase(&mut p, "tile", |f| f.actual_start = Some(date("2026-06-04")));
    let f = figures(&p, "2026-06-04");
    assert_eq!(part(&f, id).arrival, Some(day("2026-06-18")));
    assert_eq!(forecast(&f, &p, "tile"), june(4, 18), "it began and waits for its last day");
    assert_eq!(held(&f, &p, "tile"), [(id, 6)]);
    edit_part(&mut p, id, |part| part.at = NeededAt::Start);
    let f = figures(&p, "2026-06-04");
    assert_eq!(forecast(&f, &p, "tile"), june(4, 10), "what was needed to start no longer binds");
}

#[test]
fn a_part_built_in_needs_no_hold() {
    let mut p = three_phases();
    let id = part_for(&mut p, "tile", 0);
    edit_part(&mut p, id, |part| (part.hold, part.received_on) = (Some(5), Some(date("2026-06-02"))));
    assert_eq!(forecast(&figures(&p, "2026-06-02"), &p, "tile"), june(9, 15), "five days from Tue 2");
    edit_part(&mut p, id, |part| part.installed_on = Some(date("2026-06-02")));
    assert_eq!(
        forecast(&figures(&p, "2026-06-02"), &p, "tile"),
        june(5, 11),
        "set already; from as-of Tue 2"
    );
}

fn failed(on: &str, correct_by: Option<&str>) -> Attempt {
    Attempt {
        date: date(on),
        passed: false,
        booked: false,
        note: "Support".to_owned(),
        correct_by: correct_by.map(date),
    }
}

/// An inspection after a day of work, then a day of cover.
fn inspected() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 1, ""), ("check", 1, "rough"), ("cover", 1, "check")]);
    edit_phase(&mut p, "rough", |f| f.actual_finish = Some(date(MONDAY)));
    edit_phase(&mut p, "check", |f| f.kind = PhaseKind::Inspection);
    p
}

#[test]
fn a_failed_inspection_comes_again() {
    // (attempts, wait, next visit): the first working day after the latest date, then the wait.
    let fridays = "2026-06-05";
    for (attempts, wait, next) in [
        (vec![failed("2026-06-02", None)], 2, 5),
        (vec![failed("2026-06-02", None)], 0, 3),
        (vec![failed("2026-06-02", Some("2026-06-09"))], 2, 12),
        (vec![failed("2026-06-02", Some(fridays))], 2, 10),
        (vec![failed("2026-06-02", Some("2026-06-06"))], 0, 8),
        (vec![failed("2026-06-02", Some("2026-06-03")), failed("2026-06-08", None)], 1, 10),
    ] {
        let mut p = inspected();
        p.settings.reinspect_wait = wait;
        edit_phase(&mut p, "check", |f| f.attempts = attempts.clone());
        let f = figures(&p, "2026-06-02");
        assert_eq!(planned(&f, &p, "check"), june(next, next), "{attempts:?}, wait {wait}");
        assert!(phase(&f, &p, "cover").early_start > planned(&f, &p, "check").0);
        assert!(codes(&p, &f).contains(&"failed_inspection"));
    }
}

#[test]
fn a_passed_inspection_is_finished_that_day() {
    let mut p = inspected();
    edit_phase(&mut p, "check", |f| {
        f.attempts = vec![
            failed("2026-06-02", None),
            Attempt { passed: true, booked: false, ..failed("2026-06-08", None) },
        ];
    });
    let f = figures(&p, "2026-06-08");
    assert_eq!(planned(&f, &p, "check").1, Some(day("2026-06-08")));
    assert_eq!(planned(&f, &p, "cover"), june(9, 9));
    assert_eq!(phase(&f, &p, "check").total_float, None);
    assert!(!codes(&p, &f).contains(&"failed_inspection"));
}

/// Tile began on Thu 4 with five days to do: (as-of, days left, last day).
#[test]
fn a_started_phase_ends_by_what_is_left() {
    for (as_of, left, last) in [
        ("2026-06-09", None, 10),
        ("2026-06-16", None, 16),
        ("2026-06-14", None, 15),
        ("2026-06-09", Some(4), 12),
        ("2026-06-09", Some(1), 9),
        ("2026-06-13", Some(1), 15),
        ("2026-06-15", Some(5), 22),
    ] {
        let mut p = three_phases();
        edit_phase(&mut p, "demo", |f| {
            (f.actual_start, f.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-03")));
        });
        edit_phase(&mut p, "tile", |f| (f.actual_start, f.days_left) = (Some(date("2026-06-04")), left));
        let f = figures(&p, as_of);
        assert_eq!(planned(&f, &p, "tile"), june(4, last), "as of {as_of}, {left:?} left");
        let tile = phase(&f, &p, "tile");
        assert_eq!(tile.late_start, tile.early_start, "it keeps its start as late start");
        assert_eq!((tile.total_float, tile.critical), (Some(0), true));
        assert_eq!(planned(&f, &p, "demo"), june(1, 3));
        assert_eq!(
            (phase(&f, &p, "demo").total_float, phase(&f, &p, "demo").late_finish),
            (None, june(1, 3).1)
        );
    }
}

#[test]
fn the_as_of_day_moves_what_has_not_begun() {
    let p = three_phases();
    let f = figures(&p, "2026-06-06");
    assert_eq!(planned(&f, &p, "demo"), june(8, 10), "from Saturday to Monday");
    assert_eq!(f.plan_finish, Some(day("2026-06-22")));
    assert_eq!(
        figures(&p, "2026-05-11").plan_finish,
        Some(day("2026-06-12")),
        "an earlier as-of day does not"
    );
}

#[test]
fn an_actual_start_before_the_project_stays() {
    let mut p = three_phases();
    edit_phase(&mut p, "demo", |f| {
        (f.actual_start, f.actual_finish) = (Some(date("2026-05-23")), Some(date("2026-05-30")));
    });
    let f = figures(&p, MONDAY);
    assert_eq!(phase(&f, &p, "demo").early_start, Some(day("2026-05-23")), "a Saturday, as it was");
    assert_eq!(phase(&f, &p, "demo").early_finish, Some(day("2026-05-30")));
    assert_eq!(planned(&f, &p, "tile"), june(1, 5));
}

/// Dates that cannot be are read so that nothing behind them starts too early or too late: a start that is yet to come
/// ends nothing before it, and a start noted behind the finish counts as no later than the finish.
#[test]
fn actual_dates_that_cannot_be() {
    let mut p = three_phases();
    edit_phase(&mut p, "demo", |f| (f.actual_start, f.days_left) = (Some(date("2026-06-10")), Some(0)));
    assert_eq!(planned(&figures(&p, MONDAY), &p, "tile"), june(10, 16));

    let mut p = project(MONDAY);
    add_phases(&mut p, [("demo", 3, ""), ("tile", 5, "demo SS")]);
    edit_phase(&mut p, "demo", |f| {
        (f.actual_start, f.actual_finish) = (Some(date("2026-06-10")), Some(date("2026-06-03")));
    });
    assert_eq!(planned(&figures(&p, MONDAY), &p, "tile"), june(4, 10));
}

#[test]
fn out_of_sequence_work_is_kept_and_reported() {
    let mut p = three_phases();
    edit_phase(&mut p, "paint", |f| f.actual_start = Some(date("2026-06-02")));
    let f = figures(&p, "2026-06-02");
    assert_eq!(phase(&f, &p, "paint").early_start, Some(day("2026-06-02")));
    assert!(codes(&p, &f).contains(&"out_of_sequence"));
    let f = figures(&three_phases(), "2026-06-02");
    assert!(!codes(&three_phases(), &f).contains(&"out_of_sequence"));
}

#[test]
fn a_target_that_cannot_be_met_makes_negative_float() {
    let mut p = three_phases();
    p.settings.target_finish = Some(date("2026-06-10"));
    let f = figures(&p, MONDAY);
    for key in ["demo", "tile", "paint"] {
        assert_eq!(phase(&f, &p, key).target_float, Some(-2), "{key}");
        assert_eq!(phase(&f, &p, key).total_float, Some(0), "{key}: against its own end");
    }
    assert!(codes(&p, &f).contains(&"target_missed"));
    // A target on a day off is the working day before it.
    p.settings.target_finish = Some(date("2026-06-14"));
    let f = figures(&p, MONDAY);
    assert_eq!(phase(&f, &p, "paint").target_float, Some(0));
    assert!(!codes(&p, &f).contains(&"target_missed"));
}

/// Elapsed days run over weekends: work ends or a milestone stands on Friday 5.
#[test]
fn elapsed_lags_over_a_weekend() {
    for (link, monday_or_later) in [
        ("work", 8),
        ("work FS+1e", 8),
        ("work FS+2e", 8),
        ("work FS+3e", 9),
        ("work SS+3e", 8),
        ("work SS+4e", 9),
        ("point FS+1e", 8),
        ("point FS+3e", 8),
        ("point FS+4e", 9),
        ("work FS+13e", 22),
    ] {
        let mut p = project(MONDAY);
        add_phases(&mut p, [("work", 1, ""), ("point", 0, ""), ("next", 1, link)]);
        for key in ["work", "point"] {
            edit_phase(&mut p, key, |f| f.not_before = Some(date("2026-06-05")));
        }
        let f = figures(&p, MONDAY);
        assert_eq!(planned(&f, &p, "next"), june(monday_or_later, monday_or_later), "{link}");
    }
    // A cure that ends on a weekend leaves float before it: Thursday would do as well as Friday.
    let mut p = project(MONDAY);
    add_phases(&mut p, [("pour", 1, ""), ("next", 1, "pour FS+3e")]);
    edit_phase(&mut p, "pour", |f| f.not_before = Some(date("2026-06-03")));
    let f = figures(&p, MONDAY);
    assert_eq!(planned(&f, &p, "next"), june(8, 8), "Wed 3, then Thu, Fri, Sat; Sunday is free");
    assert_eq!(phase(&f, &p, "pour").total_float, Some(1));
    assert_eq!(phase(&f, &p, "pour").late_start, Some(day("2026-06-04")));
}

#[test]
fn a_circle_takes_only_what_is_behind_it() {
    let mut p = project(MONDAY);
    add_phases(
        &mut p,
        [("a", 2, ""), ("b", 1, "a,c"), ("c", 1, "b"), ("d", 1, "c"), ("e", 3, "a"), ("f", 1, "e,d SS")],
    );
    let late = part_for(&mut p, "d", 90);
    let f = figures(&p, MONDAY);
    assert_eq!(planned(&f, &p, "a"), june(1, 2));
    assert_eq!(planned(&f, &p, "e"), june(3, 5));
    for key in ["b", "c", "d", "f"] {
        assert_eq!(planned(&f, &p, key), (None, None), "{key}");
        assert_eq!(forecast(&f, &p, key), (None, None), "{key}");
    }
    assert_eq!(f.plan_finish, Some(day("2026-06-05")));
    assert_eq!(part(&f, late).need_date, None);
    let problems = problems(&p, &f);
    let circle = problems.iter().find(|x| x.code == "cycle").unwrap();
    assert_eq!(circle.severity, Severity::Error);
    assert!(
        circle.message.contains("b > c > b") || circle.message.contains("c > b > c"),
        "{}",
        circle.message
    );
    assert_eq!(problems.iter().filter(|x| x.code == "cycle").count(), 1);
}

#[test]
fn a_negative_duration_and_a_lost_link_are_named() {
    let mut p = three_phases();
    add_phases(&mut p, [("other", 2, "")]);
    edit_phase(&mut p, "tile", |f| f.days = Some(-3));
    let other = phase_id(&p, "other");
    let links = Arc::make_mut(&mut p.links);
    let mut lost = links[0].clone();
    lost.id.0 = 900;
    (lost.before.0, lost.after) = (901, other);
    links.push(lost);
    part_for(&mut p, "tile", 10);
    let f = figures(&p, MONDAY);
    assert_eq!(planned(&f, &p, "demo"), june(1, 3));
    assert_eq!(planned(&f, &p, "other"), june(1, 2), "a link from nowhere binds nothing");
    assert_eq!(planned(&f, &p, "tile"), (None, None));
    assert_eq!(planned(&f, &p, "paint"), (None, None), "behind the broken one");
    let problems = problems(&p, &f);
    let named = |code: &str, about: &str| problems.iter().any(|x| x.code == code && x.about == about);
    assert!(named("negative_duration", "tile"), "{problems:?}");
    assert!(named("missing_phase", "link 900"), "{problems:?}");
}

#[test]
fn an_empty_project_has_no_dates() {
    let p = project(MONDAY);
    let f = figures(&p, MONDAY);
    assert_eq!((f.plan_finish, f.forecast_finish, f.days_lost), (None, None, None));
    assert!(problems(&p, &f).is_empty());
}

/// A random small project looked at on a day: some phases done or begun, parts in every state.
fn any_project() -> impl Strategy<Value = (Project, i32)> {
    let part = (0_usize..8, any::<bool>(), 0_u32..40, 0_u32..3, 0_u8..6, any::<bool>());
    let parts = proptest::collection::vec(part, 0..9);
    (any_network(), parts, 0_i32..25, proptest::collection::vec(0_u8..6, 8)).prop_map(
        |(table, parts, as_of, states)| {
            let mut p = project(MONDAY);
            add_phases(&mut p, table.rows());
            let phases = p.phases.len();
            let today = day(MONDAY).plus(as_of).date();
            for (i, state) in states.iter().enumerate().take(phases.saturating_sub(1)) {
                let key = format!("n{i}");
                match state {
                    0 => edit_phase(&mut p, &key, |f| f.actual_finish = Some(today)),
                    1 => edit_phase(&mut p, &key, |f| f.actual_start = Some(date(MONDAY))),
                    2 => edit_phase(&mut p, &key, |f| {
                        (f.actual_start, f.days_left) = (Some(date(MONDAY)), Some(1 + i as i32));
                    }),
                    _ => {}
                }
            }
            let supplier: SupplierId = add_supplier(&mut p, |s| s.ship_days = 1);
            for (phase, finish, lead, hold, state, bought) in parts {
                let phase = p.phases[phase % phases].id;
                add_part(&mut p, |part| {
                    part.phase = Some(phase);
                    part.at = if finish { NeededAt::Finish } else { NeededAt::Start };
                    (part.lead, part.hold) = (Some(lead), Some(hold));
                    part.supplier = bought.then_some(supplier);
                    match state {
                        0 => part.ordered_on = Some(date(MONDAY)),
                        1 => part.received_on = Some(today),
                        2 => (part.ordered_on, part.promised_on) = (Some(date(MONDAY)), Some(today)),
                        _ => {}
                    }
                });
            }
            (p, as_of)
        },
    )
}

proptest! {
    /// Taking a named part away wins exactly the days it is charged; taking away any other part wins none. Days are
    /// counted at the start of a phase, or at the finish of one that has begun.
    #[test]
    fn held_by_says_what_a_part_costs((p, as_of) in any_project()) {
        let as_of = day(MONDAY).plus(as_of).date();
        let f = needline::engine::compute(&p, as_of);
        let work = f.days.work();
        for (at, part) in f.parts.iter().enumerate() {
            let Some(phase) = part.phase.map(|i| i as usize) else { continue };
            let mut without = p.clone();
            edit_part(&mut without, part.id, |p| p.phase = None);
            let g = needline::engine::compute(&without, as_of);
            let (now, then) = (&f.phases[phase], &g.phases[phase]);
            let won = work.count(then.forecast_start.unwrap(), now.forecast_start.unwrap())
                .max(work.count(then.forecast_finish.unwrap(), now.forecast_finish.unwrap()));
            let charged = now.held_by.iter().find(|h| h.part == at).map_or(0, |h| h.days);
            prop_assert_eq!(won, charged, "part {} of {}", at, p.phases[phase].key);
        }
    }

    /// Without any of its parts a phase is as far ahead as `held_days` says; deliveries never make anything earlier.
    #[test]
    fn held_days_is_what_all_parts_cost((p, as_of) in any_project()) {
        let as_of = day(MONDAY).plus(as_of).date();
        let f = needline::engine::compute(&p, as_of);
        let work = f.days.work();
        prop_assert!(f.days_lost.unwrap() >= 0);
        for (i, phase) in f.phases.iter().enumerate() {
            prop_assert!(phase.forecast_start >= phase.early_start);
            prop_assert!(phase.forecast_finish >= phase.early_finish);
            prop_assert!(phase.held_days >= phase.held_by.iter().map(|h| h.days).max().unwrap_or(0));
            let mut without = p.clone();
            for part in f.parts.iter().filter(|part| part.phase == Some(i as u32)) {
                edit_part(&mut without, part.id, |p| p.phase = None);
            }
            let g = needline::engine::compute(&without, as_of);
            let then = &g.phases[i];
            let won = work.count(then.forecast_start.unwrap(), phase.forecast_start.unwrap())
                .max(work.count(then.forecast_finish.unwrap(), phase.forecast_finish.unwrap()));
            prop_assert_eq!(won, phase.held_days);
        }
    }

    /// A phase not begun starts after everything it waits for, on a working day, and not before the as-of day.
    #[test]
    fn the_forecast_keeps_its_own_rules((p, as_of) in any_project()) {
        let as_of = day(MONDAY).plus(as_of);
        let f = needline::engine::compute(&p, as_of.date());
        let work = f.days.work();
        for (phase, shown) in p.phases.iter().zip(&f.phases) {
            if phase.finished_on().is_some() || phase.actual_start.is_some() {
                continue;
            }
            let (start, finish) = (shown.forecast_start.unwrap(), shown.forecast_finish.unwrap());
            prop_assert!(start >= as_of && work.is_open(start) && work.is_open(finish));
            prop_assert_eq!(work.count(start, finish.plus(1)), phase.days.unwrap().max(1));
        }
        for ((_, _, part), shown) in p.all_parts().zip(&f.parts) {
            let phase = &p.phases[shown.phase.unwrap() as usize];
            if phase.finished_on().is_some() || phase.actual_start.is_some() {
                continue;
            }
            let f = &f.phases[shown.phase.unwrap() as usize];
            let used = if part.at == NeededAt::Start { f.forecast_start } else { f.forecast_finish };
            let usable = work.offset(shown.arrival.unwrap(), part.hold.unwrap() as i32);
            prop_assert!(used.unwrap() >= usable, "{} is used before it can be", part.key);
        }
    }
}

/// Start and finish of a phase in the forecast.
fn forecast_of(f: &Figures, at: usize) -> Option<(Day, Day)> {
    f.phases[at].forecast_start.zip(f.phases[at].forecast_finish)
}

proptest! {
    /// Every phase on a chain has a cause. Taking the only cause away lets it begin (once begun, end) sooner; nothing
    /// else is needed to say why it stands where it stands.
    #[test]
    fn without_its_only_cause_a_phase_comes_sooner((p, as_of) in any_project()) {
        let as_of = day(MONDAY).plus(as_of).date();
        let f = compute(&p, as_of);
        for at in 0..p.phases.len() {
            let chain = why::chain(&p, &f, at);
            prop_assert_eq!(chain[0].phase, at);
            for pair in chain.windows(2) {
                let waits = matches!(pair[0].cause, Cause::Link { before, .. } if before == pair[1].phase);
                prop_assert!(waits, "a chain goes on by links alone");
            }
            let step = &chain[0];
            prop_assert!(step.cause != Cause::NoDates);
            if !step.also.is_empty() {
                continue;
            }
            let mut without = p.clone();
            match step.cause {
                Cause::Link { link, .. } => {
                    Arc::make_mut(&mut without.links).retain(|l| l.id != link);
                    // A part that comes on the same day would cost nothing by itself, and is not named beside it.
                    let own: Vec<PartId> =
                        f.parts.iter().filter(|x| x.phase == Some(at as u32)).map(|x| x.id).collect();
                    own.into_iter().for_each(|id| edit_part(&mut without, id, |part| part.phase = None));
                }
                Cause::Delivery { part, days } => {
                    prop_assert!(days > 0);
                    if f.phases[at].held_by.len() > 1 {
                        continue;
                    }
                    let id = f.parts[part].id;
                    edit_part(&mut without, id, |part| part.phase = None);
                }
                Cause::NotBefore(_) => {
                    let key = p.phases[at].key.clone();
                    edit_phase(&mut without, &key, |f| f.not_before = None);
                }
                _ => continue,
            }
            let sooner = compute(&without, as_of);
            prop_assert!(forecast_of(&sooner, at) < forecast_of(&f, at), "{:?}", step);
        }
    }
}

#[test]
fn the_finish_is_explained_down_to_the_order() {
    let mut p = three_phases();
    let late = part_for(&mut p, "tile", 14);
    let f = figures(&p, MONDAY);
    let last = why::last_phase(&p, &f).unwrap();
    let chain = why::chain(&p, &f, last);
    let names: Vec<&str> = chain.iter().map(|s| p.phases[s.phase].key.as_str()).collect();
    assert_eq!(names, ["paint", "tile"], "what comes before tile no longer matters");
    let part = f.parts.iter().position(|x| x.id == late).unwrap();
    assert_eq!(chain[1].cause, Cause::Delivery { part, days: 7 });
    assert_eq!(chain[1].skipped.len(), 1, "Friday 19, a holiday, lies in it");
    assert_eq!((chain[1].skipped[0].from, chain[1].skipped[0].to), (day("2026-06-19"), day("2026-06-19")));
    let (_, _, document) = p.part(late).unwrap();
    let way = why::delivery(&p, &f, part, document, None).unwrap();
    assert_eq!((way.order, way.taken, way.ready), (day(MONDAY), day(MONDAY), day("2026-06-15")));
    assert_eq!((way.arrival, way.rests_on), (day("2026-06-15"), RestsOn::Lead));

    // Without the part the chain goes back to the first day.
    edit_part(&mut p, late, |part| part.lead = Some(0));
    let f = figures(&p, MONDAY);
    let chain = why::chain(&p, &f, last);
    let names: Vec<&str> = chain.iter().map(|s| p.phases[s.phase].key.as_str()).collect();
    assert_eq!(names, ["paint", "tile", "demo"]);
    assert_eq!(chain[2].cause, Cause::AsOf);
}

#[test]
fn a_failed_inspection_and_a_wanted_day_are_causes() {
    let mut p = three_phases();
    edit_phase(&mut p, "tile", |f| f.not_before = Some(date("2026-06-25")));
    let f = figures(&p, MONDAY);
    let at = f.index.of(phase_id(&p, "tile").0).unwrap();
    assert_eq!(why::chain(&p, &f, at)[0].cause, Cause::NotBefore(day("2026-06-25")));
    edit_phase(&mut p, "tile", |f| {
        f.kind = needline::model::PhaseKind::Inspection;
        f.not_before = None;
        f.attempts = vec![needline::model::Attempt {
            date: date(MONDAY),
            passed: false,
            booked: false,
            note: String::new(),
            correct_by: Some(date("2026-06-08")),
        }];
    });
    let f = figures(&p, "2026-06-02");
    let due = |day: &str| Cause::FailedInspection(support::day(MONDAY), Some(support::day(day)));
    assert_eq!(why::chain(&p, &f, at)[0].cause, due("2026-06-08"));

    // What the inspector asked for is due later, and the next visit waits for that.
    let correction = needline::model::Correction {
        id: needline::model::CorrectionId(p.next_id),
        phase: p.phases[at].id,
        found: date(MONDAY),
        what: "nail plates".to_owned(),
        trade: String::new(),
        fix_phase: None,
        due: Some(date("2026-06-22")),
        done: None,
    };
    let mut p = p.apply(&needline::model::Action::PutCorrection(correction.clone())).unwrap();
    let f = figures(&p, "2026-06-02");
    assert_eq!(f.phases[at].forecast_start, Some(day("2026-06-25")), "Jun 22, two working days to wait");
    assert_eq!(why::chain(&p, &f, at)[0].cause, due("2026-06-22"));

    // It is made in a phase of its own: the next visit waits for the end of that.
    add_phases(&mut p, [("fix", 30, "")]);
    let fix_phase = Some(phase_id(&p, "fix"));
    let again = needline::model::Correction { fix_phase, due: None, ..correction };
    let p = p.apply(&needline::model::Action::PutCorrection(again)).unwrap();
    let f = figures(&p, "2026-06-02");
    let fix = f.index.of(phase_id(&p, "fix").0).unwrap();
    assert_eq!(why::chain(&p, &f, at)[0].cause, Cause::Corrected(fix));
}
