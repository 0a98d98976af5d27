//! What must be known of a selection, by when and for whom: by hand on the calendar of June 2026 (Monday 1; Friday 19 is a
//! holiday), and by law.

mod support;

use needline::engine::specs::{self, Contradiction, DecideFor, WaitsFor};
use needline::engine::swap::{self, KnockOnKind, Wish};
use needline::engine::{Day, Figures, compute, problems};
use needline::model::facts::{Fact, FactValue};
use needline::model::{Action, OptionId, OptionState, PartId, Problem, Project, SelectionId, Severity, Spec};
use proptest::prelude::*;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Rough work Mon 1 to Fri 5, drywall Mon 8 to Fri 12, cabinets from Mon 15. An oven with two candidates for the cabinets,
/// and cabinets that take ten calendar days.
fn kitchen() -> (Project, SelectionId, PartId) {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 5, ""), ("drywall", 5, "rough"), ("cabinets", 3, "drywall")]);
    let oven = add_selection(&mut p, "0", &[(OptionState::Candidate, 1), (OptionState::Candidate, 1)]);
    let phase = phase_id(&p, "cabinets");
    let parts: Vec<PartId> = p.selection(oven).unwrap().options.iter().map(|o| o.parts[0].id).collect();
    for (id, lead) in parts.iter().zip([3, 30]) {
        edit_part(&mut p, *id, |part| (part.phase, part.lead) = (Some(phase), Some(lead)));
    }
    let cabinets = add_part(&mut p, |part| (part.phase, part.lead) = (Some(phase), Some(10)));
    (p, oven, cabinets)
}

fn circuit(p: &Project) -> Spec {
    Spec { phase: Some(phase_id(p, "rough")), ..Spec::new("circuit and amperes") }
}

fn put(p: &Project, selection: SelectionId, at: usize, spec: Spec) -> Project {
    p.apply(&Action::PutSpec(selection, at, spec)).unwrap()
}

fn found(p: &Project, f: &Figures, code: &str) -> Vec<Problem> {
    problems(p, f).into_iter().filter(|problem| problem.code == code).collect()
}

/// Without specs the first order-by of the candidates in time decides: three days before Monday 15 is Friday 12. The other
/// one, thirty days, can no longer come.
#[test]
fn candidates_alone_decide_by_their_order_by() {
    let (p, oven, _) = kitchen();
    let f = figures(&p, MONDAY);
    let own = f.selection(oven).unwrap();
    assert_eq!((own.decide.by, own.decide.reason), (Some(day("2026-06-12")), Some(DecideFor::Order)));
    assert_eq!((own.days_in_hand, own.too_late), (Some(11), 1));
    // The work before is done, and on the Sunday none can be in time any more: the as-of day.
    let mut p = p;
    for (key, first, last) in [("rough", MONDAY, "2026-06-05"), ("drywall", "2026-06-08", "2026-06-12")] {
        edit_phase(&mut p, key, |phase| {
            (phase.actual_start, phase.actual_finish) = (Some(date(first)), Some(date(last)));
        });
    }
    let f = figures(&p, "2026-06-14");
    let own = f.selection(oven).unwrap();
    assert_eq!((own.decide.by, own.days_in_hand), (Some(day("2026-06-14")), Some(-2)));
}

/// The circuit must be known when the rough work begins, so that is the day, and it is past on any day after it.
#[test]
fn an_oven_is_decided_before_its_circuit() {
    let (p, oven, _) = kitchen();
    let p = put(&p, oven, 0, circuit(&p));
    let f = figures(&p, MONDAY);
    let own = f.selection(oven).unwrap();
    assert_eq!((own.decide.by, own.decide.reason), (Some(day(MONDAY)), Some(DecideFor::Spec(0))));
    assert_eq!((own.days_in_hand, own.decide.open), (Some(0), 1));
    assert_eq!(specs::reason_words(&p, &f, own).unwrap(), "circuit and amperes, for rough");
    let mut later = p.clone();
    edit_phase(&mut later, "rough", |phase| {
        (phase.actual_start, phase.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
    });
    let f = figures(&later, "2026-06-09");
    let own = f.selection(oven).unwrap();
    assert_eq!((own.decide.by, own.days_in_hand), (Some(day(MONDAY)), Some(-8)), "not 3 days in hand");
    let open = found(&later, &f, "spec_open");
    assert_eq!((open.len(), open[0].severity), (1, Severity::Warning));
    assert!(
        open[0].message.contains("8 days ago") && open[0].message.contains("has begun"),
        "{}",
        open[0].message
    );
    assert!(found(&later, &f, "undecided")[0].message.contains("it had to be decided by 2026-06-01"));
}

/// Two working days before drywall begins on Monday 8; before cabinets that are to be ordered by Friday 5, Wednesday 3.
#[test]
fn working_days_before_a_phase_and_before_an_order() {
    let (p, oven, cabinets) = kitchen();
    let before = |p: &Project, spec: Spec, days: u32| {
        let p = put(p, oven, 0, Spec { days_before: days, ..spec });
        let f = figures(&p, MONDAY);
        f.spec_facts(&p).known_by(&p.selection(oven).unwrap().specs[0]).unwrap()
    };
    let drywall = Spec { phase: Some(phase_id(&p, "drywall")), ..Spec::new("height of the box") };
    let at = p.phase_at(phase_id(&p, "drywall")).unwrap();
    assert_eq!(before(&p, drywall.clone(), 0), (WaitsFor::Phase(at), Some(day("2026-06-08"))));
    assert_eq!(before(&p, drywall, 2).1, Some(day("2026-06-04")));
    let opening = Spec { part: Some(cabinets), ..Spec::new("width of the opening") };
    assert_eq!(before(&p, opening.clone(), 0).1, Some(day("2026-06-05")));
    assert_eq!(before(&p, opening.clone(), 2).1, Some(day("2026-06-03")));
    // Ordered: the order day. Nobody has said a lead time, and none is typical: no day.
    let ordered = p.apply(&Action::MarkOrdered(vec![cabinets], Some(date(MONDAY)))).unwrap();
    assert_eq!(before(&ordered, opening.clone(), 0).1, Some(day(MONDAY)));
    let mut unknown = p.clone();
    edit_part(&mut unknown, cabinets, |part| part.lead = None);
    assert_eq!(before(&unknown, opening, 0).1, None);
}

/// The cabinets are swapped for others: what waited for the old ones waits for the new.
#[test]
fn an_order_that_is_not_wanted_any_more_is_stood_in_for() {
    let (mut p, oven, cabinets) = kitchen();
    let opening = Spec { part: Some(cabinets), ..Spec::new("width of the opening") };
    let (selection, _, part) = p.part(cabinets).unwrap();
    let (selection, mut part) = (selection.id, part.clone());
    let option = OptionId(p.fresh_id());
    part.id = PartId(p.fresh_id());
    part.key = "others".to_owned();
    part.lead = Some(3);
    let new = part.id;
    edit_selection(&mut p, selection, |s| {
        let mut other = s.options[0].clone();
        (other.id, other.key, other.parts) = (option, "other".to_owned(), vec![part]);
        s.options[0].state = OptionState::Candidate;
        s.options.push(other);
    });
    let p = put(&p, oven, 0, opening);
    let f = figures(&p, MONDAY);
    let spec = &p.selection(oven).unwrap().specs[0];
    let at = f.index.of(new.0).unwrap();
    assert_eq!(f.spec_facts(&p).known_by(spec), Some((WaitsFor::Part(at), Some(day("2026-06-12")))));
}

/// Told is told, whatever is chosen; a choice that says otherwise is named, and so is a swap to one.
#[test]
fn what_was_told_is_told_and_a_choice_may_contradict_it() {
    let (mut p, oven, _) = kitchen();
    let options: Vec<OptionId> = p.selection(oven).unwrap().options.iter().map(|o| o.id).collect();
    let amperes = |value: &str| Fact { name: "circuit".to_owned(), value: value.parse().unwrap() };
    edit_selection(&mut p, oven, |s| {
        s.options[0].facts = vec![amperes("40 A")];
        s.options[1].facts = vec![amperes("50 A")];
        s.options[0].state = OptionState::Chosen;
    });
    let told = Spec {
        told_on: Some(date(MONDAY)),
        told_to: "Electrician".to_owned(),
        fact: "Circuit".to_owned(),
        told: Some("40 A".parse().unwrap()),
        told_for: Some(options[0]),
        ..circuit(&p)
    };
    let p = put(&p, oven, 0, told.clone());
    let f = figures(&p, MONDAY);
    let own = f.selection(oven).unwrap();
    assert_eq!((own.decide.by, own.decide.open), (None, 0));
    assert!(found(&p, &f, "spec_contradicted").is_empty() && found(&p, &f, "spec_open").is_empty());
    let wish = Wish {
        selection: oven,
        to: options[1],
        on: date(MONDAY),
        why: String::new(),
        reverses: None,
        fates: Vec::new(),
        prices: Vec::new(),
    };
    let preview = swap::preview(&p, &f, &wish).unwrap();
    let told_otherwise: Vec<_> = preview.knock_ons.iter().filter(|k| k.kind == KnockOnKind::Told).collect();
    assert_eq!(told_otherwise.len(), 1);
    assert!(
        told_otherwise[0].text.contains("Electrician was told 40 A")
            && told_otherwise[0].text.contains("50 A")
    );
    let mut swapped = p.clone();
    edit_selection(&mut swapped, oven, |s| {
        s.options[0].state = OptionState::Candidate;
        s.options[1].state = OptionState::Chosen;
    });
    let f = figures(&swapped, MONDAY);
    let contradicted = found(&swapped, &f, "spec_contradicted");
    assert_eq!((contradicted.len(), contradicted[0].severity), (1, Severity::Warning));
    // Other units that say the same are no contradiction; an option that says nothing may be one.
    let option = |value: Option<&str>| {
        let mut option = swapped.option(options[1]).unwrap().1.clone();
        option.facts = value.into_iter().map(amperes).collect();
        option
    };
    let width = Spec { told: Some("5 ft".parse().unwrap()), ..told.clone() };
    assert_eq!(specs::contradiction(&width, &option(Some("60 in"))), None);
    let says = |value: &str| Some(Contradiction::Says(value.parse::<FactValue>().unwrap()));
    assert_eq!(specs::contradiction(&width, &option(Some("61 in"))), says("61 in"));
    assert_eq!(specs::contradiction(&told, &option(None)), Some(Contradiction::Other));
    assert_eq!(specs::contradiction(&Spec { told_for: None, ..told.clone() }, &option(None)), None);
    assert_eq!(specs::contradiction(&circuit(&swapped), &option(Some("50 A"))), None, "nothing was told");
}

/// What is built in asks for nothing any more.
#[test]
fn what_is_built_in_needs_not_be_told() {
    let (mut p, oven, _) = kitchen();
    edit_selection(&mut p, oven, |s| {
        s.options[0].state = OptionState::Chosen;
        let part = &mut s.options[0].parts[0];
        (part.received_on, part.installed_on) = (Some(date(MONDAY)), Some(date(MONDAY)));
    });
    let p = put(&p, oven, 0, circuit(&p));
    let f = figures(&p, "2026-06-20");
    assert_eq!(f.selection(oven).unwrap().decide, specs::Decide::default());
    assert!(found(&p, &f, "spec_open").is_empty());
}

proptest! {
    /// Telling a spec never makes a day sooner, moves no other date, and the decide-by is the earliest of what is open, as
    /// counted here once more.
    #[test]
    fn telling_never_worsens_a_day(
        specs in prop::collection::vec((0..4_usize, 0..6_u32, any::<bool>()), 1..6),
        tell in 0..6_usize,
        chosen in any::<bool>(),
        today in 1..20_u32,
    ) {
        let (mut p, oven, cabinets) = kitchen();
        if chosen {
            edit_selection(&mut p, oven, |s| s.options[0].state = OptionState::Chosen);
        }
        for (i, (waits, days, told)) in specs.iter().enumerate() {
            let mut spec = Spec { days_before: *days, ..Spec::new(&format!("thing {i}")) };
            match waits {
                3 => spec.part = Some(cabinets),
                at => spec.phase = Some(p.phases[*at].id),
            }
            spec.told_on = told.then(|| date(MONDAY));
            p = put(&p, oven, i, spec);
        }
        let as_of = format!("2026-06-{today:02}");
        let f = figures(&p, &as_of);
        let own = f.selection(oven).unwrap();
        // The second way: every day walked back by hand from the plan.
        let walk = |mut day: Day, n: u32| {
            for _ in 0..n {
                day = day.plus(-1);
                while !f.days.work().is_open(day) { day = day.plus(-1); }
            }
            day
        };
        let mut days: Vec<Day> = Vec::new();
        for (waits, before, told) in &specs {
            let from = match waits {
                3 => part(&f, cabinets).order_by.unwrap(),
                at => f.phases[*at].early_start.unwrap(),
            };
            if !told { days.push(walk(from, *before)); }
        }
        if !chosen {
            let orders = p.selection(oven).unwrap().options.iter().map(|o| part(&f, o.parts[0].id).order_by.unwrap());
            days.push(orders.filter(|by| *by >= day(&as_of)).min().unwrap_or(day(&as_of)));
        }
        prop_assert_eq!(own.decide.by, days.iter().min().copied());
        let at = tell % specs.len();
        let spec = Spec { told_on: Some(date(MONDAY)), ..p.selection(oven).unwrap().specs[at].clone() };
        let told = compute(&put(&p, oven, at, spec), date(&as_of));
        let after = told.selection(oven).unwrap();
        prop_assert!(after.decide.by.is_none() || after.decide.by >= own.decide.by);
        prop_assert!(after.days_in_hand >= own.days_in_hand || after.days_in_hand.is_none());
        prop_assert_eq!(told.forecast_finish, f.forecast_finish);
        prop_assert_eq!(&told.parts, &f.parts);
    }
}
