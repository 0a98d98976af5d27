//! Parts that are ordered only after a phase, by hand and by law, and what a part costs the finish as it is forecast now.

mod support;

use needline::engine::effect::{self, Effect, Holder};
use needline::engine::forecast::costs::Together;
use needline::engine::swap::{self, Wish};
use needline::engine::why::{self, Cause};
use needline::engine::{Figures, compute, problems};
use needline::model::{
    Action, Condition, ConditionId, Gate, GateId, LeadUnit, Need, OptionId, OptionState, PartId, PhaseId,
    Presence, Project, Severity,
};
use proptest::prelude::*;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Cabinets Mon 1 to Fri 5, trim Mon 8 to Wed 10, countertop set Thu 11, plumbing Fri 12. Friday 19 is a holiday.
fn kitchen() -> Project {
    let mut p = project(MONDAY);
    add_phases(
        &mut p,
        [("cabinets", 5, ""), ("trim", 3, "cabinets"), ("top", 1, "trim"), ("plumbing", 1, "top")],
    );
    p
}

/// A countertop for its phase, made in `lead` calendar days, measured after another phase.
fn measured(p: &mut Project, after: &str, days: u32, lead: u32) -> PartId {
    let (needed, after) = (phase_id(p, "top"), phase_id(p, after));
    add_part(p, |part| {
        part.phase = Some(needed);
        part.lead = Some(lead);
        part.order_after = Some(after);
        part.order_after_days = Some(days);
    })
}

fn plain(p: &mut Project, phase: &str, lead: u32) -> PartId {
    let phase = phase_id(p, phase);
    add_part(p, |part| (part.phase, part.lead) = (Some(phase), Some(lead)))
}

fn costs(f: &Figures, id: PartId) -> i32 {
    part(f, id).costs_days
}

fn of(p: &Project, f: &Figures, id: PartId) -> Option<Effect> {
    effect::effect(p, f, f.index.of(id.0).unwrap())
}

/// Cabinets end Friday 5 and two days are for the drawings, Sunday 7: so it can be ordered on Monday 8. Ten days after
/// it is Thursday 18, a week after it is needed.
#[test]
fn a_measured_part_waits_for_its_phase() {
    let mut p = kitchen();
    let top = measured(&mut p, "cabinets", 2, 10);
    let f = figures(&p, MONDAY);
    let own = part(&f, top);
    assert_eq!(own.orderable_from, Some(day("2026-06-08")));
    assert_eq!((own.arrival, own.need_date), (Some(day("2026-06-18")), Some(day("2026-06-11"))));
    assert!(own.late);
    // Ordered on Monday 1 it would come on Thursday 11, but it cannot be.
    assert_eq!((own.order_by, own.days_in_hand), (Some(day("2026-06-01")), Some(-7)));
    assert_eq!(own.waits_from(), own.orderable_from);
    // Plan: plumbing on Friday 12. Forecast: top on Thursday 18, plumbing on Monday 22, since Friday 19 is a holiday.
    assert_eq!(f.plan_finish, Some(day("2026-06-12")));
    assert_eq!(f.forecast_finish, Some(day("2026-06-22")));
    // Five working days from Thursday 11 to Thursday 18.
    assert_eq!((costs(&f, top), f.days_lost), (5, Some(5)));
    let found = problems(&p, &f);
    let late = found.iter().find(|found| found.code == "late").unwrap();
    assert_eq!(late.severity, Severity::Error);
    for words in
        ["cannot be ordered before 2026-06-08", "arrives 2026-06-18", "costs the finish 5 working days"]
    {
        assert!(late.message.contains(words), "{words}: {}", late.message);
    }
}

/// The chain of the finish goes through the part to the phase it is measured after.
#[test]
fn the_chain_goes_on_behind_the_order() {
    let mut p = kitchen();
    let top = measured(&mut p, "cabinets", 2, 10);
    let f = figures(&p, MONDAY);
    let chain = why::chain(&p, &f, why::last_phase(&p, &f).unwrap());
    let names: Vec<&str> = chain.iter().map(|step| p.phases[step.phase].key.as_str()).collect();
    assert_eq!(names, ["plumbing", "top", "cabinets"]);
    assert!(matches!(chain[1].cause, Cause::Delivery { days: 5, .. }));
    let (selection, _, document) = p.part(top).unwrap();
    let way = why::delivery(&p, &f, f.index.of(top.0).unwrap(), document, selection.decide_on).unwrap();
    assert_eq!((way.order, way.arrival), (day("2026-06-08"), day("2026-06-18")));
    assert_eq!(way.after, p.phase_at(phase_id(&p, "cabinets")));
}

/// The phase is done: its actual last day counts, in the plan's place. An order that was placed waits for nothing.
#[test]
fn an_actual_day_and_a_placed_order_count() {
    let mut p = kitchen();
    let top = measured(&mut p, "cabinets", 0, 3);
    edit_phase(&mut p, "cabinets", |phase| {
        phase.actual_start = Some(date("2026-06-01"));
        phase.actual_finish = Some(date("2026-06-03"));
    });
    let own = part(&figures(&p, "2026-06-04"), top).clone();
    assert_eq!((own.orderable_from, own.arrival), (Some(day("2026-06-04")), Some(day("2026-06-08"))));
    // Later on, the as-of day is the first.
    let own = part(&figures(&p, "2026-06-09"), top).clone();
    assert_eq!((own.orderable_from, own.arrival), (Some(day("2026-06-04")), Some(day("2026-06-12"))));
    let p = p.apply(&Action::MarkOrdered(vec![top], Some(date("2026-06-02")))).unwrap();
    let own = part(&figures(&p, "2026-06-04"), top).clone();
    assert_eq!((own.orderable_from, own.arrival), (None, Some(day("2026-06-05"))));
}

/// A later decision, and a candidate that does not count: it has its days and holds nothing.
#[test]
fn candidates_have_days_and_hold_nothing() {
    let mut p = kitchen();
    let top = measured(&mut p, "cabinets", 2, 10);
    let selection = p.part(top).unwrap().0.id;
    edit_selection(&mut p, selection, |s| s.decide_on = Some(date("2026-06-10")));
    assert_eq!(
        part(&figures(&p, MONDAY), top).arrival,
        Some(day("2026-06-22")),
        "10 days from the 10th is a Saturday"
    );
    edit_selection(&mut p, selection, |s| s.options[0].state = OptionState::Candidate);
    let f = figures(&p, MONDAY);
    assert_eq!(part(&f, top).orderable_from, Some(day("2026-06-08")));
    assert_eq!((f.forecast_finish, costs(&f, top)), (f.plan_finish, 0));
    let own = f.selection(selection).unwrap();
    assert_eq!((own.days_in_hand, own.too_late, own.waits_from), (Some(-7), 1, Some(day("2026-06-08"))));
}

/// A circle can only be written by hand. The tie that closes it is left out and named; the rest stands.
#[test]
fn a_circle_is_named_and_left_out() {
    let mut p = kitchen();
    let top = measured(&mut p, "plumbing", 0, 10);
    let f = figures(&p, MONDAY);
    assert_eq!((part(&f, top).arrival, part(&f, top).orderable_from), (None, None));
    assert_eq!(f.forecast_finish, f.plan_finish);
    let found = problems(&p, &f);
    assert_eq!(found.iter().filter(|found| found.code == "order_circle").count(), 1);
    // The first of two in the document holds; the second closes the circle.
    let mut p = kitchen();
    let first = measured(&mut p, "cabinets", 0, 3);
    let (needed, after) = (phase_id(&p, "cabinets"), phase_id(&p, "top"));
    let second = add_part(&mut p, |part| {
        (part.phase, part.lead, part.order_after) = (Some(needed), Some(3), Some(after));
    });
    let f = figures(&p, MONDAY);
    assert!(part(&f, first).arrival.is_some() && part(&f, second).arrival.is_none());
    assert!(f.phases.iter().all(|phase| phase.forecast_finish.is_some()));
    // What cannot be written by hand is refused.
    let (_, option, own) = p.part(first).unwrap();
    let (option, mut own) = (option.id, own.clone());
    own.order_after = Some(phase_id(&p, "plumbing"));
    assert!(p.apply(&Action::PutPart(option, own)).is_err());
}

/// A gate that waits for a measured part waits for its phase too; one that would wait for itself is left out.
#[test]
fn gates_wait_for_what_is_measured() {
    let mut p = kitchen();
    let top = measured(&mut p, "cabinets", 2, 10);
    let gate = |p: &Project, phase: &str| {
        let mut p = p.clone();
        let need = Need::Part { part: top, presence: Presence::OnSite };
        let condition = Condition { id: ConditionId(p.fresh_id()), need, who: String::new(), by: None };
        let gate = Gate {
            id: GateId(p.fresh_id()),
            key: "g".to_owned(),
            phase: phase_id(&p, phase),
            name: "Countertop is there".to_owned(),
            source: String::new(),
            conditions: vec![condition],
        };
        p.apply(&Action::PutGate(gate)).unwrap()
    };
    let behind = gate(&p, "plumbing");
    let f = figures(&behind, MONDAY);
    assert_eq!(f.gates[0].missing[0].expected, Some(day("2026-06-18")));
    assert!(!f.gates[0].missing[0].circle);
    let before = gate(&p, "cabinets");
    let f = figures(&before, MONDAY);
    assert!(f.gates[0].missing[0].circle);
    assert_eq!(f.forecast_finish, Some(day("2026-06-22")));
}

/// The faucet comes on Monday 15, one working day after it is needed; the countertop holds plumbing until Monday 22.
#[test]
fn what_holds_the_phase_anyway_is_named() {
    let mut p = kitchen();
    let faucet = plain(&mut p, "plumbing", 14);
    let alone = figures(&p, MONDAY);
    assert_eq!((part(&alone, faucet).late, of(&p, &alone, faucet)), (true, Some(Effect::Costs(1))));
    let top = measured(&mut p, "cabinets", 2, 10);
    let f = figures(&p, MONDAY);
    assert!(part(&f, faucet).late);
    let at = f.index.of(top.0).unwrap();
    assert_eq!(
        (costs(&f, faucet), costs(&f, top)),
        (0, 4),
        "without the countertop the faucet holds one of the five"
    );
    assert_eq!(of(&p, &f, faucet), Some(Effect::Anyway(Holder::Part(at))));
    let late = |f: &Figures| {
        problems(&p, f)
            .into_iter()
            .find(|found| found.code == "late" && found.about == key(&p, faucet))
            .unwrap()
    };
    assert!(late(&f).message.contains("costs no day"), "{}", late(&f).message);
    assert_eq!(late(&f).severity, Severity::Warning);
}

fn key(p: &Project, id: PartId) -> String {
    p.part(id).unwrap().2.key.clone()
}

/// Two cabinets come on the same day, nine days after they are needed. Neither alone wins a day; both win all.
#[test]
fn two_that_must_be_changed_together_are_named() {
    let mut p = kitchen();
    let (base, wall) = (plain(&mut p, "cabinets", 9), plain(&mut p, "cabinets", 9));
    let f = figures(&p, MONDAY);
    assert_eq!((costs(&f, base), costs(&f, wall), f.days_lost), (0, 0, Some(7)));
    let at = |id: PartId| f.index.of(id.0).unwrap();
    let together = |id| Some(Effect::Together(Together { others: vec![at(id)], days: 7 }));
    assert_eq!((of(&p, &f, base), of(&p, &f, wall)), (together(wall), together(base)));
    // A swap of one of them says so: the other is to be changed too.
    let selection = p.part(base).unwrap().0.id;
    let mut swapped = p.clone();
    let (option, in_time) = (OptionId(swapped.fresh_id()), PartId(swapped.fresh_id()));
    edit_selection(&mut swapped, selection, |s| {
        let mut other = s.options[0].clone();
        (other.id, other.key, other.state) = (option, "other".to_owned(), OptionState::Candidate);
        (other.parts[0].id, other.parts[0].key, other.parts[0].lead) = (in_time, "quick".to_owned(), Some(0));
        s.options.push(other);
    });
    let before = figures(&swapped, MONDAY);
    let wish = Wish {
        selection,
        to: option,
        on: date(MONDAY),
        why: String::new(),
        reverses: None,
        fates: Vec::new(),
        prices: Vec::new(),
    };
    let preview = swap::preview(&swapped, &before, &wish).unwrap();
    assert_eq!(preview.finish_moves, Some(0));
    let words = preview.together.unwrap();
    assert!(
        words.starts_with("changing Part ") && words.ends_with("too would win 7 working days"),
        "{words}"
    );
    // In two phases side by side that end together: the same.
    let mut p = project(MONDAY);
    add_phases(
        &mut p,
        [("cabinets", 5, ""), ("trim", 3, "cabinets"), ("paint", 5, ""), ("floors", 3, "paint")],
    );
    add_phases(&mut p, [("top", 1, "trim,floors")]);
    let (base, paint) = (plain(&mut p, "cabinets", 9), plain(&mut p, "paint", 9));
    let f = figures(&p, MONDAY);
    let at = |id: PartId| f.index.of(id.0).unwrap();
    assert_eq!(of(&p, &f, base), Some(Effect::Together(Together { others: vec![at(paint)], days: 7 })));
    assert!(effect::words(&p, &f, at(base)).unwrap().contains("7 working days would be won"));
}

/// A phase with room: its late part holds it and not the finish.
#[test]
fn a_phase_with_room_costs_no_day() {
    let mut p = kitchen();
    add_phases(&mut p, [("shelves", 1, "")]);
    let shelf = plain(&mut p, "shelves", 8);
    let f = figures(&p, MONDAY);
    assert_eq!((part(&f, shelf).late, of(&p, &f, shelf)), (true, Some(Effect::Room)));
}

/// Phases in a row with links, and parts between any two of them: ordered after the first, needed by the second.
fn any_job() -> impl Strategy<Value = (Project, Vec<PartId>)> {
    let phases = prop::collection::vec((0..6_i32, prop::collection::vec(0..8_usize, 0..3)), 2..9);
    let parts = prop::collection::vec((0..8_usize, 0..8_usize, 0..5_u32, 0..30_u32, 0..3_u8, 0..4_u8), 1..7);
    (phases, parts).prop_map(|(phases, parts)| {
        let mut p = project(MONDAY);
        let n = phases.len();
        let rows: Vec<(String, i32, String)> = phases
            .iter()
            .enumerate()
            .map(|(i, (days, before))| {
                let mut before: Vec<String> =
                    before.iter().filter(|b| **b < i).map(|b| format!("n{b}")).collect();
                before.sort();
                before.dedup();
                (format!("n{i}"), *days, before.join(","))
            })
            .collect();
        add_phases(&mut p, rows.iter().map(|(key, days, before)| (key.as_str(), *days, before.as_str())));
        let id = |p: &Project, i: usize| p.phases[i % n].id;
        let add = |p: &mut Project, (a, b, days, lead, unit, tie): (usize, usize, u32, u32, u8, u8)| {
            let (a, b) = ((a % n).min(b % n), (a % n).max(b % n));
            let (after, needed): (PhaseId, PhaseId) = (id(p, a), id(p, b));
            add_part(p, |part| {
                part.phase = Some(needed);
                part.lead = Some(lead);
                part.lead_unit = [LeadUnit::Days, LeadUnit::Weeks, LeadUnit::Working][usize::from(unit)];
                if tie > 0 && a < b {
                    (part.order_after, part.order_after_days) = (Some(after), Some(days));
                }
            })
        };
        let parts = parts.into_iter().map(|part| add(&mut p, part)).collect();
        (p, parts)
    })
}

proptest! {
    /// What a part costs is the finish with it less the finish of the document in which no phase needs it.
    #[test]
    fn what_a_part_costs_is_what_the_document_without_it_wins((p, parts) in any_job()) {
        let f = figures(&p, MONDAY);
        for id in parts {
            let mut without = p.clone();
            edit_part(&mut without, id, |part| part.phase = None);
            let other = figures(&without, MONDAY);
            prop_assert_eq!(costs(&f, id), f.days_lost.unwrap() - other.days_lost.unwrap());
            if let Some(Effect::Together(together)) = of(&p, &f, id) {
                let mut without = without;
                for at in &together.others {
                    let other = f.parts[*at].id;
                    edit_part(&mut without, other, |part| part.phase = None);
                }
                let all = figures(&without, MONDAY);
                prop_assert_eq!(together.days, f.days_lost.unwrap() - all.days_lost.unwrap());
                prop_assert!(together.days > 0 && !together.others.is_empty());
            }
        }
    }

    /// A phase that takes longer never makes a part come sooner, and no order day lies before the phase is finished.
    #[test]
    fn a_later_phase_never_makes_a_part_come_sooner((p, parts) in any_job(), longer in 0..9_usize, more in 1..9_i32) {
        let before = figures(&p, MONDAY);
        let mut slow = p.clone();
        let key = p.phases[longer % p.phases.len()].key.clone();
        edit_phase(&mut slow, &key, |phase| phase.days = phase.days.map(|days| days + more));
        let after = figures(&slow, MONDAY);
        prop_assert!(after.forecast_finish >= before.forecast_finish);
        for id in parts {
            prop_assert!(part(&after, id).arrival >= part(&before, id).arrival);
            prop_assert!(part(&after, id).orderable_from >= part(&before, id).orderable_from);
            if let Some(from) = part(&before, id).orderable_from {
                let tied = p.part(id).unwrap().2.order_after.unwrap();
                let last = before.phase(tied).unwrap().forecast_finish.unwrap();
                prop_assert!(from > last && part(&before, id).arrival.unwrap() >= from);
            }
        }
    }

    /// The same figures whatever the order in which the phases are written.
    #[test]
    fn the_order_of_the_phases_in_the_document_means_nothing((p, parts) in any_job(), turn in 1..9_usize) {
        let mut turned = p.clone();
        let n = p.phases.len();
        std::sync::Arc::make_mut(&mut turned.phases).rotate_left(turn % n);
        let (one, other) = (compute(&p, date(MONDAY)), compute(&turned, date(MONDAY)));
        prop_assert_eq!(one.forecast_finish, other.forecast_finish);
        for id in parts {
            prop_assert_eq!(part(&one, id), &needline::engine::PartFigures {
                phase: part(&one, id).phase, ..part(&other, id).clone()
            });
        }
    }
}
