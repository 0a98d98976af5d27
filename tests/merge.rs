//! Two versions of a project brought together: each kind of conflict by hand.

mod support;

use needline::engine::{compute, log};
use needline::model::merge::{Conflict, Merged, Side, Took, merge};
use needline::model::*;
use std::collections::HashMap;
use std::sync::Arc;
use support::*;

/// Two rooms' worth of things: three phases, a supplier, two selections with two options each.
fn house() -> Project {
    let mut p = project("2026-06-01");
    add_phases(&mut p, [("rough", 4, ""), ("tile", 5, "rough"), ("trim", 3, "tile")]);
    let shop = add_supplier(&mut p, |s| s.name = "Corner shop".to_owned());
    for _ in 0..2 {
        let id = add_selection(&mut p, "450", &[(OptionState::Candidate, 1), (OptionState::Candidate, 1)]);
        let part = p.selection(id).unwrap().options[0].parts[0].id;
        let tile = phase_id(&p, "tile");
        edit_part(&mut p, part, |part| {
            (part.supplier, part.phase, part.unit_price, part.lead) =
                (Some(shop), Some(tile), Some(money("100")), Some(10));
        });
    }
    p.reindex();
    assert_eq!(validate::document(&p), Vec::<String>::new());
    p
}

fn done(p: &Project, action: Action) -> Project {
    p.apply(&action).unwrap()
}

fn both(base: &Project, ours: &Project, theirs: &Project) -> Merged {
    let merged = merge(base, ours, theirs, &HashMap::new()).unwrap();
    assert_eq!(validate::document(&merged.project), Vec::<String>::new());
    merged
}

fn told(conflict: &Conflict) -> [&str; 4] {
    [&conflict.place, &conflict.base, &conflict.ours, &conflict.theirs]
}

/// The conflict with the other side's wish.
fn the_other_way(base: &Project, ours: &Project, theirs: &Project) -> Project {
    let first = both(base, ours, theirs);
    let wishes = first.conflicts.iter().map(|c| {
        let side = if c.took == Took::Ours { Side::Theirs } else { Side::Ours };
        (c.at.clone(), side)
    });
    merge(base, ours, theirs, &wishes.collect()).unwrap().project
}

fn part_of(p: &Project, selection: usize, option: usize) -> Part {
    p.selections[selection].options[option].parts[0].clone()
}

fn put_part(p: &Project, selection: usize, option: usize, edit: impl FnOnce(&mut Part)) -> Project {
    let mut part = part_of(p, selection, option);
    edit(&mut part);
    done(p, Action::PutPart(p.selections[selection].options[option].id, part))
}

#[test]
fn different_fields_of_one_thing_come_together() {
    let base = house();
    let ours = put_part(&base, 0, 0, |part| part.unit_price = Some(money("120")));
    let theirs = put_part(&base, 0, 0, |part| part.article = "A-7".to_owned());
    let merged = both(&base, &ours, &theirs);
    assert!(merged.conflicts.is_empty());
    let part = part_of(&merged.project, 0, 0);
    assert_eq!((part.unit_price, part.article.as_str()), (Some(money("120")), "A-7"));
}

#[test]
fn one_value_changed_on_both_sides_is_told_with_both() {
    let base = house();
    let ours = put_part(&base, 0, 0, |part| part.unit_price = Some(money("120")));
    let theirs = put_part(&base, 0, 0, |part| part.unit_price = Some(money("90")));
    let merged = both(&base, &ours, &theirs);
    let name = &base.selections[0];
    let place = format!(
        "selection {}, option {}, part {}: unit price",
        name.name, name.options[0].name, name.options[0].parts[0].name
    );
    assert_eq!(merged.conflicts.len(), 1);
    assert_eq!(told(&merged.conflicts[0]), [place.as_str(), "100", "120", "90"]);
    assert_eq!(merged.project, ours);
    assert_eq!(the_other_way(&base, &ours, &theirs), theirs);
}

#[test]
fn fields_that_belong_together_are_taken_from_one_side() {
    let base = house();
    let ours = put_part(&base, 0, 0, |part| part.lead_min = Some(8));
    let theirs = put_part(&base, 0, 0, |part| part.lead = Some(5));
    // A lead of 5 days with a shortest of 8 would be neither's.
    let merged = both(&base, &ours, &theirs);
    assert_eq!(merged.project, ours);
    assert_eq!(merged.conflicts.len(), 1);
    assert_eq!(
        told(&merged.conflicts[0])[2..],
        ["lead 10, lead unit days, lead min 8", "lead 5, lead unit days"]
    );
    assert_eq!(the_other_way(&base, &ours, &theirs), theirs);
}

#[test]
fn two_choices_of_one_selection_are_a_conflict_and_no_fault() {
    let base = house();
    let options = &base.selections[0].options;
    let ours = done(&base, Action::Choose(options[0].id));
    let theirs = done(&base, Action::Choose(options[1].id));
    let merged = both(&base, &ours, &theirs);
    assert_eq!(merged.project, ours);
    let [place, was, mine, other] = told(&merged.conflicts[0]);
    assert_eq!(place, format!("selection {}: choice", base.selections[0].name));
    assert_eq!((was, mine), ("nothing", format!("chosen option {}", options[0].name).as_str()));
    assert_eq!(other, format!("chosen option {}", options[1].name));
    assert_eq!(the_other_way(&base, &ours, &theirs), theirs);
}

#[test]
fn what_one_side_removed_and_the_other_changed_stays() {
    let base = house();
    let gone = &base.selections[1];
    let removed = done(&base, Action::RemoveSelection(gone.id));
    let changed = put_part(&base, 1, 0, |part| part.unit_price = Some(money("5")));
    for (ours, theirs, took) in [(&removed, &changed, Took::Theirs), (&changed, &removed, Took::Ours)] {
        let merged = both(&base, ours, theirs);
        assert_eq!(merged.project, changed);
        assert_eq!(merged.conflicts.len(), 1);
        assert_eq!(merged.conflicts[0].took, took);
        assert_eq!(merged.conflicts[0].place, format!("selection {}", gone.name));
        assert_eq!(the_other_way(&base, ours, theirs), removed);
    }
    let merged = both(&base, &removed, &base);
    assert_eq!((merged.project, merged.conflicts.len()), (removed, 0));
}

#[test]
fn what_one_side_removed_and_the_other_uses_comes_back() {
    let mut base = house();
    let other = add_supplier(&mut base, |s| s.name = "Yard".to_owned());
    base.reindex();
    let ours = done(&base, Action::RemoveSupplier(other));
    let theirs = put_part(&base, 0, 1, |part| part.supplier = Some(other));
    for (ours, theirs) in [(&ours, &theirs), (&theirs, &ours)] {
        let merged = both(&base, ours, theirs);
        assert_eq!(part_of(&merged.project, 0, 1).supplier, Some(other));
        assert!(merged.project.supplier(other).is_some());
        assert_eq!(merged.conflicts.len(), 1);
        assert_eq!(
            (merged.conflicts[0].place.as_str(), merged.conflicts[0].took),
            ("supplier Yard", Took::Stays)
        );
    }
}

#[test]
fn things_added_under_one_number_are_two_things() {
    let base = house();
    let room = base.rooms[0].id;
    let add = |name: &str, price: &str| {
        let mut p = base.clone();
        let (selection, option, part) = (p.fresh_id(), p.fresh_id(), p.fresh_id());
        let mut part = Part::new(PartId(part), &format!("{name}_part"), "Body");
        part.unit_price = Some(money(price));
        let mut option = SelectionOption::new(OptionId(option), &format!("{name}_option"), "Arc");
        (option.parts, option.state) = (vec![part], OptionState::Chosen);
        let mut new = Selection::new(SelectionId(selection), room);
        (new.key, new.name, new.options) = (name.to_owned(), name.to_owned(), vec![option]);
        done(&base, Action::PutSelection(new))
    };
    let (ours, theirs) = (add("sink", "80"), add("tub", "700"));
    assert_eq!(ours.selections.last().unwrap().id, theirs.selections.last().unwrap().id);
    let merged = both(&base, &ours, &theirs);
    assert!(merged.conflicts.is_empty());
    let names: Vec<&str> = merged.project.selections.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names[names.len() - 2..], ["sink", "tub"]);
    let added = |p: &Project| figures(p, "2026-06-01").money.total.chosen;
    assert_eq!(added(&merged.project), money("780"));
    assert_eq!((merged.numbers.len(), merged.notes.len()), (3, 3));
    assert!(merged.project.selections.last().unwrap().id.0 >= ours.next_id);

    // The same names on both sides: the second one's keys are others.
    let merged = both(&base, &add("sink", "80"), &add("sink", "90"));
    let keys: Vec<&str> = merged.project.selections.iter().map(|s| s.key.as_str()).collect();
    assert_eq!(keys[keys.len() - 2..], ["sink", "sink_2"]);
    assert!(
        merged.notes.iter().any(|note| note == "sink: the key sink is used already, here it is sink_2"),
        "{:?}",
        merged.notes
    );
}

#[test]
fn what_an_added_thing_speaks_of_goes_with_it() {
    let base = house();
    let rough = phase_id(&base, "rough");
    let add = |name: &str| {
        let mut p = base.clone();
        let (phase, link) = (PhaseId(p.fresh_id()), LinkId(p.fresh_id()));
        let p = done(&base, Action::PutPhase(Phase::new(phase, name, name, 2)));
        let link = Link {
            id: link,
            before: rough,
            after: phase,
            kind: LinkKind::FS,
            lag: 0,
            unit: LagUnit::Working,
        };
        done(&p, Action::PutLink(link))
    };
    // The links look alike and speak of different phases.
    let merged = both(&base, &add("paint"), &add("paper"));
    let paper = phase_id(&merged.project, "paper");
    let after: Vec<PhaseId> =
        merged.project.links.iter().filter(|l| l.before == rough).map(|l| l.after).collect();
    assert_eq!(after.len(), 3);
    assert!(after.contains(&paper) && after.contains(&phase_id(&merged.project, "paint")));
}

#[test]
fn a_part_in_an_order_of_each_side_stays_in_one() {
    let base = house();
    let part = part_of(&base, 0, 0);
    let order = |key: &str| {
        let mut p = base.clone();
        let mut order = Order::new(OrderId(p.fresh_id()), key, part.supplier.unwrap());
        order.parts = vec![part.id];
        done(&base, Action::PutOrder(order))
    };
    let (ours, theirs) = (order("first"), order("second"));
    let merged = both(&base, &ours, &theirs);
    let of: Vec<&str> =
        merged.project.orders.iter().filter(|o| o.parts.contains(&part.id)).map(|o| o.key.as_str()).collect();
    assert_eq!(of, ["first"]);
    assert!(merged.conflicts.iter().any(|c| c.place.contains("second")), "{:#?}", merged.conflicts);
}

#[test]
fn links_of_both_sides_make_no_circle() {
    let mut base = project("2026-06-01");
    add_phases(&mut base, [("rough", 4, ""), ("tile", 5, "")]);
    base.reindex();
    let link = |before: &str, after: &str| {
        let id = LinkId(base.clone().fresh_id());
        let (before, after) = (phase_id(&base, before), phase_id(&base, after));
        let link = Link { id, before, after, kind: LinkKind::FS, lag: 0, unit: LagUnit::Working };
        done(&base, Action::PutLink(link))
    };
    let (ours, theirs) = (link("rough", "tile"), link("tile", "rough"));
    let merged = both(&base, &ours, &theirs);
    assert_eq!(merged.project.links, ours.links);
    assert_eq!(merged.conflicts[0].place, "link of tile and rough");
}

#[test]
fn one_bid_is_accepted_for_one_work() {
    let mut base = project("2026-06-01");
    add_phases(&mut base, [("tile", 5, "")]);
    base.reindex();
    let tile = phase_id(&base, "tile");
    for key in ["first", "second"] {
        let mut quote = Quote::new(QuoteId(base.clone().fresh_id()));
        (quote.key, quote.trade, quote.phase) = (key.to_owned(), key.to_owned(), Some(tile));
        quote.scope = "tile".to_owned();
        quote.amount = money("100");
        base = done(&base, Action::PutQuote(quote));
    }
    let accept = |at: usize| done(&base, Action::AcceptQuote(base.quotes[at].id));
    let merged = both(&base, &accept(0), &accept(1));
    let accepted: Vec<bool> = merged.project.quotes.iter().map(|q| q.accepted).collect();
    assert_eq!(accepted, [true, false]);
    assert_eq!(merged.conflicts.len(), 1, "{:#?}", merged.conflicts);
}

#[test]
fn visits_of_both_sides_stand_in_their_order() {
    let mut base = house();
    edit_phase(&mut base, "rough", |p| p.kind = PhaseKind::Inspection);
    base.reindex();
    let visit = |on: &str| {
        let attempt =
            Attempt { date: date(on), passed: false, booked: false, note: on.to_owned(), correct_by: None };
        done(&base, Action::RecordAttempt(phase_id(&base, "rough"), attempt))
    };
    let merged = both(&base, &visit("2026-06-09"), &visit("2026-06-05"));
    assert!(merged.conflicts.is_empty());
    let days: Vec<_> = merged.project.phases[0].attempts.iter().map(|a| a.date).collect();
    assert_eq!(days, [date("2026-06-05"), date("2026-06-09")]);
}

#[test]
fn lists_moved_on_both_sides_go_by_one() {
    let base = house();
    let moved = |a: usize, b: usize| {
        let mut p = base.clone();
        Arc::make_mut(&mut p.phases).swap(a, b);
        p.reindex();
        p
    };
    let (ours, theirs) = (moved(0, 1), moved(1, 2));
    let merged = both(&base, &ours, &theirs);
    assert_eq!(merged.project, ours);
    assert_eq!(merged.conflicts[0].place, "the order of phases");
    assert_eq!(the_other_way(&base, &ours, &theirs), theirs);
}

/// The lines lead from the kept plan to the figures, with what both did.
fn adds_up(p: &Project, on: &str) {
    let figures = figures(p, on);
    let mut stands = p.kept_plans[0].standing();
    for line in p.log.iter().map(Arc::as_ref).chain(&log::pending(p, &figures)) {
        assert_eq!(line.before(), stands);
        stands = line.after();
    }
    assert_eq!(stands, log::standing(&figures));
}

#[test]
fn the_log_of_both_adds_up() {
    let day = date("2026-06-01");
    let base = house();
    let base = done(&base, log::keep(&base, &compute(&base, day), "Agreed"));
    let edit = |p: &Project, key: &str, days: i32| {
        let phase = Phase { days: Some(days), ..p.phase(phase_id(p, key)).unwrap().clone() };
        log::take_on(p, &Action::PutPhase(phase), day).unwrap()
    };
    let ours = edit(&base, "rough", 6);
    let theirs = edit(&edit(&base, "tile", 9), "trim", 4);
    let merged = both(&base, &ours, &theirs);
    assert!(merged.conflicts.is_empty());
    assert_eq!(merged.project.log.len(), 3);
    adds_up(&merged.project, "2026-06-01");
    let closed = log::close(&merged.project, day, "both versions brought together").unwrap();
    assert!(log::pending(&closed, &compute(&closed, day)).is_empty());
    adds_up(&closed, "2026-06-01");

    // A plan that the other side kept after its change stands where it was kept.
    let agreed = done(&theirs, log::keep(&theirs, &compute(&theirs, day), "Again"));
    let merged = both(&base, &ours, &agreed);
    assert_eq!(merged.project.kept_plans.len(), 2);
    assert_eq!(merged.project.kept_plans[1].standing(), agreed.kept_plans[1].standing());
    adds_up(&merged.project, "2026-06-01");

    // One side forgets the plan: both cannot be.
    let forgot = done(&base, Action::RemovePlan(base.kept_plans[0].id));
    let merged = both(&base, &forgot, &theirs);
    assert_eq!(merged.conflicts[0].place, "kept plans and the log");
}

#[test]
fn a_kept_plan_keeps_both_days_of_its_phases() {
    let day = date("2026-06-01");
    let base = house();
    let base = done(&base, log::keep(&base, &compute(&base, day), "Agreed"));
    let plan = base.kept_plans[0].clone();
    let ours = done(&base, Action::RenamePlan(plan.id, "Spring".to_owned()));
    let trim = phase_id(&base, "trim");
    let ours = done(&ours, Action::RemovePhase(trim));
    let theirs = done(&base, Action::SetNotBefore(trim, Some(date("2026-07-01"))));
    let merged = both(&base, &ours, &theirs);
    let kept = &merged.project.kept_plans[0];
    assert_eq!(kept.name, "Spring");
    assert_eq!((kept.phases.len(), kept.phase(trim)), (plan.phases.len(), plan.phase(trim)));
}
