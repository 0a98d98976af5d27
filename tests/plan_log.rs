//! Kept plans and the log of days and money: whatever is done, on whatever days, the lines lead from the plan kept to the
//! figures now, to the day and the cent.

#[path = "support/random.rs"]
mod random;
mod support;

use needline::engine::log::{Story, keep, pending, standing, story, take, take_on};
use needline::engine::{Day, Figures, compute};
use needline::exchange::{export_sheets, import_sheets};
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use std::sync::Arc;
use support::*;

/// Working days between two days, counted by walking, the first not counted; negative backward.
fn walked(p: &Project, f: &Figures, from: chrono::NaiveDate, to: chrono::NaiveDate) -> i32 {
    let worked = |day: &chrono::NaiveDate| {
        let closed = p.settings.closed.iter().any(|c| c.from <= *day && *day <= c.to);
        p.settings.weekdays.contains(chrono::Datelike::weekday(day))
            && !closed
            && !f.days.is_holiday(Day::from(*day))
    };
    let between =
        |a: chrono::NaiveDate, b| a.iter_days().skip(1).take_while(|d| *d <= b).filter(worked).count() as i32;
    if from <= to { between(from, to) } else { -between(to, from) }
}

/// Where a document stands on a day.
fn stands(p: &Project, on: chrono::NaiveDate) -> Standing {
    standing(&compute(p, on))
}

/// The laws of a story: each line begins where the one before it ends, the first at the plan, the last now; days and
/// money add up, by line and by cause; and so does the money of rooms.
fn adds_up(p: &Project, f: &Figures, plan: &KeptPlan) -> Story {
    let story = story(p, f, plan);
    let now = standing(f);
    let mut at = plan.standing();
    for told in &story.lines {
        assert_eq!(told.line.before(), at, "{:?}", told.line);
        at = told.line.after();
    }
    assert_eq!(at, now, "the last line ends where the figures stand");
    let money = |all: &mut dyn Iterator<Item = Money>| all.fold(Money::ZERO, Money::plus);
    let by_line = money(&mut story.lines.iter().map(|t| t.money));
    assert_eq!(by_line, now.total.less(plan.total));
    assert_eq!(by_line, story.money);
    assert_eq!(by_line, money(&mut story.causes.iter().map(|c| c.money)));
    assert_eq!(by_line, money(&mut story.rooms.iter().map(|r| r.money())));
    let days: i32 = story.lines.iter().map(|t| t.days).sum();
    assert_eq!(days, story.causes.iter().map(|c| c.days).sum::<i32>());
    assert_eq!(story.days.is_some(), plan.finish.is_some() && now.finish.is_some());
    if let (Some(from), Some(to)) = (plan.finish, now.finish) {
        assert_eq!(days, walked(p, f, from, to), "{from} to {to}");
        assert_eq!(story.days, Some(days));
    }
    story
}

/// What the log should hold, kept beside it in plain code.
#[derive(Clone, Default)]
struct Beside {
    lines: Vec<(Standing, Standing)>,
    known: Option<(Standing, chrono::NaiveDate)>,
}

impl Beside {
    fn add(&mut self, from: Standing, to: Standing, on: chrono::NaiveDate) {
        if from != to {
            self.lines.push((from, to));
            self.known = Some((to, on));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// Actions, other as-of days, undo and redo in any order.
    #[test]
    fn lines_lead_from_the_plan_to_now(dice in any_dice(), days in proptest::collection::vec(-3_i64..40, 25)) {
        let mut day = date("2026-06-08");
        let start = house();
        let kept = take_on(&start, &keep(&start, &compute(&start, day), "Agreed"), day).unwrap();
        let mut history = History::new(kept.clone());
        let mut beside = vec![Beside { known: Some((stands(&kept, day), day)), ..Beside::default() }];
        for (dice, shift) in dice.into_iter().zip(days) {
            match shift {
                ..0 => day = date("2026-06-08") + chrono::Days::new(shift.unsigned_abs() * 9),
                0..6 => prop_assert!(history.undo() || history.place() == 0),
                6..10 => prop_assert!(history.redo() || history.place() + 1 == history.labels().len()),
                _ => {
                    let p = history.project().clone();
                    let f = compute(&p, day);
                    let action = any_action(&p, dice, 1);
                    let Ok(taken) = take(&p, &f, &action) else { continue };
                    let next = p.apply(&action).unwrap();
                    if let Some(figures) = &taken.figures {
                        prop_assert_eq!(standing(figures), stands(&taken.project, day));
                    }
                    let place = history.place();
                    history.take(action.label(&p), taken.project);
                    if history.place() == place {
                        continue;
                    }
                    let mut now = beside[place].clone();
                    let of_the_log = !Arc::ptr_eq(&next.log, &p.log) || next.kept_plans != p.kept_plans;
                    if next.kept_plans.is_empty() || of_the_log {
                        // Rules of its own hold for these; they are tested below.
                        let p = history.project();
                        now.lines = p.log.iter().map(|line| (line.before(), line.after())).collect();
                        let last = p.kept_plans.last().map(|plan| (plan.standing(), plan.on));
                        let line = p.log.last().map(|line| (line.after(), line.on));
                        let by_line = p.kept_plans.last().is_some_and(|k| (k.lines as usize) < p.log.len());
                        now.known = if by_line { line } else { last };
                    } else if let Some((known, on)) = now.known {
                        let before = stands(&p, day);
                        // What went and came back is nothing.
                        if before != known {
                            let then = if on == day { before } else { stands(&p, on) };
                            now.add(known, then, day);
                            now.add(then, before, day);
                        }
                        now.add(before, stands(&next, day), day);
                    }
                    beside.truncate(place + 1);
                    beside.push(now);
                }
            }
            let p = history.project();
            let held: Vec<_> = p.log.iter().map(|line| (line.before(), line.after())).collect();
            prop_assert_eq!(&held, &beside[history.place()].lines);
            let f = compute(p, day);
            p.kept_plans.iter().for_each(|plan| drop(adds_up(p, &f, plan)));
            prop_assert_eq!(validate::document(p), Vec::<String>::new());
        }
    }

    /// A project read from its own sheets has the same log, stored and pending, and the same sums.
    #[test]
    fn sheets_bring_the_same_log(dice in any_dice()) {
        let day = date("2026-06-08");
        let mut p = house();
        p = take_on(&p, &keep(&p, &compute(&p, day), "Agreed"), day).unwrap();
        for dice in dice {
            p = take_on(&p, &any_action(&p, dice, 1), day).unwrap_or(p);
        }
        // What sheets cannot hold is refused there, and has its own tests.
        if let Ok((again, _)) = import_sheets(export_sheets(&p), "House") {
            let later = date("2026-06-29");
            let of = |p: &Project| {
                let f = compute(p, later);
                let lines = |plan| story(p, &f, plan).lines.into_iter().map(|t| {
                    (t.line.on, t.line.what.clone(), t.line.cause, t.line.before(), t.line.after(), t.days)
                });
                p.kept_plans.iter().map(|plan| lines(plan).collect::<Vec<_>>()).collect::<Vec<_>>()
            };
            prop_assert_eq!(of(&again), of(&p));
        }
    }
}

/// A house worked on every day, with two phases and a part that is needed by the second.
fn two_phases() -> (Project, PartId) {
    let mut p = plain("2026-06-01");
    add_phases(&mut p, [("rough", 5, ""), ("tile", 3, "rough")]);
    let phase = phase_id(&p, "tile");
    let part = add_part(&mut p, |part| {
        (part.phase, part.lead, part.unit_price) = (Some(phase), Some(0), Some(money("100")));
    });
    (p, part)
}

/// A day that nothing was done on is told apart from what was done on it, and both are undone as one.
#[test]
fn time_that_passed_is_a_line_of_its_own() {
    let (p, _) = two_phases();
    let (first, later) = (date("2026-06-01"), date("2026-06-04"));
    let kept = take_on(&p, &keep(&p, &compute(&p, first), "Agreed"), first).unwrap();
    assert!(kept.log.is_empty() && pending(&kept, &compute(&kept, first)).is_empty());
    // Nothing was begun by Thursday, so all moves by three days; looking writes nothing.
    let f = compute(&kept, later);
    let told = adds_up(&kept, &f, &kept.kept_plans[0]);
    assert_eq!(told.days, Some(3));
    assert_eq!(
        told.lines.iter().map(|t| (t.at, t.line.cause)).collect::<Vec<_>>(),
        [(None, Cause::TimePassed)]
    );
    assert_eq!(told.lines[0].line.what, "time passed since Jun 1, 2026");
    // Looked at from before the day it was kept on, no time passed.
    let late = take_on(&p, &keep(&p, &f, "Late"), later).unwrap();
    let back: Vec<_> = pending(&late, &compute(&late, first)).iter().map(|line| line.what.clone()).collect();
    assert_eq!(back, ["looked at from a day before Jun 4, 2026"]);
    // With the next change it is written down, ahead of what the change moves.
    let rough = phase_id(&kept, "rough");
    let next = take(&kept, &f, &Action::SetNotBefore(rough, Some(date("2026-06-08")))).unwrap().project;
    let lines: Vec<_> = next.log.iter().map(|l| (l.on, l.cause, l.phase)).collect();
    assert_eq!(lines, [(later, Cause::TimePassed, None), (later, Cause::Trade, Some(rough))]);
    assert_eq!(adds_up(&next, &compute(&next, later), &next.kept_plans[0]).days, Some(7));
    let mut history = History::new(kept.clone());
    history.take("later".to_owned(), next);
    assert!(history.undo());
    assert_eq!(**history.project(), kept);
}

/// Work that went on as foreseen and is noted days later is no loss of time and no gain of a trade; what is gained
/// beyond, by something else, or on another day, stays what it is.
#[test]
fn what_is_noted_late_makes_up_for_the_time_that_passed() {
    let (mut p, _) = two_phases();
    add_phases(&mut p, [("paint", 4, "tile")]);
    let (first, later) = (date("2026-06-01"), date("2026-06-04"));
    let kept = take_on(&p, &keep(&p, &compute(&p, first), "Agreed"), first).unwrap();
    let (rough, paint) = (phase_id(&kept, "rough"), phase_id(&kept, "paint"));
    let sums = |p: &Project, on| {
        let story = adds_up(p, &compute(p, on), &p.kept_plans[0]);
        (story.lines.len(), story.causes.iter().map(|c| (c.cause, c.days)).collect::<Vec<_>>())
    };
    let begun = |p: &Project, start: &str, on| {
        let begun = Phase { actual_start: Some(date(start)), ..Phase::clone(p.phase(rough).unwrap()) };
        take_on(p, &Action::PutPhase(begun), on).unwrap()
    };
    // Begun on Monday and noted on Thursday: three days passed, and three are won back.
    let noted = begun(&kept, "2026-06-01", later);
    assert_eq!(sums(&noted, later), (2, vec![]));
    // Begun on Wednesday: two days are lost.
    assert_eq!(sums(&begun(&kept, "2026-06-03", later), later), (2, vec![(Cause::TimePassed, 2)]));
    // A day won by other means is not set off, nor what is noted on a later day.
    let shorter = |p: &Project, on| {
        let less = Phase { days: Some(3), ..Phase::clone(p.phase(paint).unwrap()) };
        let next = take_on(p, &Action::PutPhase(less), on).unwrap();
        let at = next.log.len() - 1;
        next.apply(&Action::SetCause(at, Cause::Decision)).unwrap()
    };
    assert_eq!(sums(&shorter(&kept, later), later), (2, vec![(Cause::TimePassed, 3), (Cause::Decision, -1)]));
    let both = shorter(&noted, later);
    assert_eq!(sums(&both, later), (3, vec![(Cause::Decision, -1)]));
    let waited = shorter(&kept, later);
    let next_day = begun(&waited, "2026-06-01", date("2026-06-05"));
    let left = vec![(Cause::TimePassed, 3), (Cause::Trade, -3), (Cause::Decision, -1)];
    assert_eq!(sums(&next_day, date("2026-06-05")), (4, left));
}

/// What was changed by hand in the file is told apart from time.
#[test]
fn what_was_changed_elsewhere_is_said() {
    let (p, part) = two_phases();
    let (first, later) = (date("2026-06-01"), date("2026-06-02"));
    let mut kept = take_on(&p, &keep(&p, &compute(&p, first), "Agreed"), first).unwrap();
    edit_part(&mut kept, part, |part| part.unit_price = Some(money("150.25")));
    kept.reindex();
    let told = adds_up(&kept, &compute(&kept, later), &kept.kept_plans[0]);
    let causes: Vec<_> = told.lines.iter().map(|t| (t.line.cause, t.days, t.money)).collect();
    assert_eq!(causes, [(Cause::Other, 0, money("50.25")), (Cause::TimePassed, 1, Money::ZERO)]);
}

/// The cause is guessed from what was done, and is the user's to correct; the sums follow.
#[test]
fn causes_are_guessed_and_corrected() {
    let (mut p, part) = two_phases();
    let day = date("2026-06-01");
    let selection = p.part(part).unwrap().0.id;
    edit_selection(&mut p, selection, |s| s.allowance = money("300"));
    p.reindex();
    let kept = take_on(&p, &keep(&p, &compute(&p, day), "Agreed"), day).unwrap();
    let (rough, tile) = (phase_id(&p, "rough"), phase_id(&p, "tile"));
    let (selection, option, held) = p.part(part).map(|(s, o, x)| (s.id, o.id, x.clone())).unwrap();
    let dearer = Part { unit_price: Some(money("175")), ..held.clone() };
    let slower = Part { lead: Some(30), ..held };
    let change = Change {
        key: "joist".to_owned(),
        what: "Sister a joist".to_owned(),
        phase: Some(rough),
        days: Some(2),
        amount: Some(money("640")),
        agreed_on: Some(day),
        ..Change::new(ChangeId(p.next_id + 20))
    };
    for (action, cause, about) in [
        (Action::PutPart(option, dearer), Cause::Price, (None, Some(selection), Some(part))),
        (Action::PutPart(option, slower), Cause::Delivery, (None, Some(selection), Some(part))),
        (Action::SetNotBefore(tile, Some(date("2026-07-01"))), Cause::Trade, (Some(tile), None, None)),
        (Action::PutChange(change), Cause::FoundWork, (Some(rough), None, None)),
        (Action::Reopen(selection), Cause::ChangeOfMind, (None, Some(selection), None)),
    ] {
        let next = take_on(&kept, &action, day).unwrap();
        let [line] = next.log.as_slice() else { panic!("{action:?}: {:?}", next.log) };
        assert_eq!(line.cause, cause, "{action:?}");
        assert_eq!((line.phase, line.selection, line.part), about, "{action:?}");
        let named = next.apply(&Action::SetCause(0, Cause::Correction)).unwrap();
        let told = adds_up(&named, &compute(&named, day), &named.kept_plans[0]);
        assert!(told.causes.iter().all(|c| c.cause == Cause::Correction) && told.causes.len() == 1);
    }
    assert!(kept.apply(&Action::SetCause(0, Cause::Trade)).is_err(), "there is no line");
}

/// A second plan begins where the log stands, and what led to it is not told of it; forgetting the last forgets the log.
#[test]
fn several_plans_are_kept_and_forgotten() {
    let (p, part) = two_phases();
    let (first, later) = (date("2026-06-01"), date("2026-06-03"));
    let one = take_on(&p, &keep(&p, &compute(&p, first), "Agreed"), first).unwrap();
    let (option, held) = p.part(part).map(|(_, o, x)| (o.id, x.clone())).unwrap();
    let slower = Part { lead: Some(30), ..held };
    let moved = take_on(&one, &Action::PutPart(option, slower), first).unwrap();
    let two = take_on(&moved, &keep(&moved, &compute(&moved, later), "Agreed"), later).unwrap();
    assert_eq!(two.kept_plans.iter().map(|k| k.key.as_str()).collect::<Vec<_>>(), ["agreed", "agreed_2"]);
    let f = compute(&two, later);
    assert!(adds_up(&two, &f, &two.kept_plans[0]).days.is_some_and(|days| days > 0));
    let told = adds_up(&two, &f, &two.kept_plans[1]);
    assert_eq!((told.days, told.money, told.lines.len()), (Some(0), Money::ZERO, 0));
    let (a, b) = (two.kept_plans[0].id, two.kept_plans[1].id);
    let renamed = two.apply(&Action::RenamePlan(b, "With the lender".to_owned())).unwrap();
    assert_eq!(renamed.kept_plans[1].name, "With the lender");
    assert!(two.apply(&Action::RenamePlan(b, " ".to_owned())).is_err());
    let left = two.apply(&Action::RemovePlan(a)).unwrap();
    assert_eq!(left.log, two.log, "lines that led to another plan stay");
    adds_up(&left, &f, &left.kept_plans[0]);
    assert!(left.apply(&Action::RemovePlan(b)).unwrap().log.is_empty());
}

/// A phase or room that goes leaves the plan; the finish and the total of it stay, and so do the words of lines.
#[test]
fn what_is_removed_leaves_the_plan_and_not_its_sums() {
    let (p, _) = two_phases();
    let day = date("2026-06-01");
    let mut kept = take_on(&p, &keep(&p, &compute(&p, day), "Agreed"), day).unwrap();
    let rough = phase_id(&kept, "rough");
    kept = take_on(&kept, &Action::SetNotBefore(rough, Some(date("2026-06-08"))), day).unwrap();
    let gone = take_on(&kept, &Action::RemovePhase(rough), day).unwrap();
    let plan = &gone.kept_plans[0];
    assert_eq!((plan.phases.len(), kept.kept_plans[0].phases.len()), (1, 2));
    assert_eq!(plan.standing(), kept.kept_plans[0].standing());
    assert_eq!((gone.log[0].phase, gone.log[0].what.as_str()), (None, kept.log[0].what.as_str()));
    adds_up(&gone, &compute(&gone, day), plan);
}
