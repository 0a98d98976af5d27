//! What may come: trials against the forecast, against whole computations of a document with the draws written in, and
//! by hand.

#[path = "support/random.rs"]
mod random;
mod support;

use needline::engine::risk::{Laid, Risk, Run, Watch, laid_open, order_by_at, simulate};
use needline::engine::{Figures, PartFigures, compute};
use needline::model::Risk as Listed;
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use rust_decimal::Decimal;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use support::*;

const MONDAY: &str = "2026-06-01";

fn run(p: &Project, f: &Figures, run: Run) -> Risk {
    simulate(p, f, run, &Watch::default()).expect("nobody stops it")
}

fn trials(p: &Project, trials: u32) -> Risk {
    run(p, &figures(p, MONDAY), Run { threads: 1, ..Run::new(trials, 7) })
}

/// What a part of a random project is: its phase, whether it is needed at the finish, lead time with what is less and
/// more, hold, state, and what it is ordered after.
type PartDice = (usize, bool, (u32, u32, u32), u32, u8, usize);

/// What a random project is made of, beside its network: parts, the as-of day, states and spreads of phases, gates.
type JobDice = (Vec<PartDice>, i32, Vec<(u8, i32, i32)>, Vec<(usize, usize, u8, i64)>, u8);

fn any_job() -> impl Strategy<Value = (Table, JobDice)> {
    let part =
        (0_usize..64, any::<bool>(), (0_u32..30, 0_u32..12, 0_u32..30), 0_u32..3, 0_u8..9, 0_usize..64);
    let gate = (0_usize..64, 0_usize..64, 0_u8..4, 0_i64..25);
    let dice = (
        proptest::collection::vec(part, 0..9),
        0_i32..20,
        proptest::collection::vec((0_u8..8, 0_i32..4, 0_i32..6), 8),
        proptest::collection::vec(gate, 0..5),
        0_u8..4,
    );
    (any_network(), dice)
}

/// A project in any state: phases done and under way, crews away, parts ordered, promised, come, typical, tied; gates.
fn job((table, (parts, as_of, states, gates, crew)): (Table, JobDice)) -> (Project, chrono::NaiveDate) {
    let mut p = project(MONDAY);
    add_phases(&mut p, table.rows());
    let count = p.phases.len();
    let today = day(MONDAY).plus(as_of).date();
    if crew > 0 {
        let id = CrewId(p.fresh_id());
        let mut crew_away = Crew::new(id, "crew", "Crew");
        for (from, to) in [(8, 10), (17, 17), (30, 36)] {
            let (from, to) = (day(MONDAY).plus(from).date(), day(MONDAY).plus(to).date());
            crew_away.away.push(ClosedRange { from, to, why: String::new() });
        }
        Arc::make_mut(&mut p.crews).push(crew_away);
        Arc::make_mut(&mut p.phases).iter_mut().step_by(usize::from(crew)).for_each(|f| f.crew = Some(id));
    }
    for (i, (state, less, more)) in states.iter().enumerate().take(count) {
        let key = format!("n{i}");
        edit_phase(&mut p, &key, |f| {
            let days = f.days.unwrap_or(0);
            (f.days_min, f.days_max) = (Some((days - less).max(1).min(days)), Some(days + more));
            if days == 0 {
                (f.days_min, f.days_max) = (None, None);
            }
            match state {
                0 if i + 1 < count => f.actual_finish = Some(today),
                1 if i + 1 < count => f.actual_start = Some(date(MONDAY)),
                2 if i + 1 < count => {
                    (f.actual_start, f.days_left) = (Some(date(MONDAY)), Some(1 + i as i32));
                }
                _ => {}
            }
        });
    }
    let supplier = add_supplier(&mut p, |s| {
        s.ship_days = 1;
        s.delivery_weekdays = (crew % 2 == 1).then(|| "Tue Thu".parse().unwrap());
    });
    for (phase, finish, (lead, less, more), hold, state, after) in parts {
        let (needed, after) = (p.phases[phase % count].id, p.phases[after % count].id);
        add_part(&mut p, |part| {
            part.phase = Some(needed);
            part.at = if finish { NeededAt::Finish } else { NeededAt::Start };
            (part.lead, part.hold) = (Some(lead), Some(hold));
            (part.lead_min, part.lead_max) = (Some(lead.saturating_sub(less)), Some(lead + more));
            part.lead_unit = [LeadUnit::Days, LeadUnit::Working, LeadUnit::Weeks][phase % 3];
            part.supplier = (hold > 0).then_some(supplier);
            match state {
                0 => part.ordered_on = Some(date(MONDAY)),
                1 => part.received_on = Some(today),
                2 => (part.ordered_on, part.promised_on) = (Some(date(MONDAY)), Some(today)),
                3 => (part.order_after, part.order_after_days) = (Some(after), Some(hold)),
                _ => {}
            }
        });
    }
    let keys: Vec<String> = p.phases.iter().map(|f| f.key.clone()).collect();
    let known: Vec<PartId> = p.all_parts().map(|(_, _, part)| part.id).collect();
    for (before, other, kind, days) in gates {
        let (before, other) = (before % count, other % count);
        let presence = Presence::ALL[days as usize % 2].1;
        let need = match kind {
            0 if before != other => Need::Finished(p.phases[other].id),
            1 => Need::PartsOf { phase: p.phases[other].id, presence },
            2 if !known.is_empty() => Need::Part { part: known[other % known.len()], presence },
            _ => Need::Confirmed { what: "so".to_owned(), said_by: String::new(), said_on: None },
        };
        let by = Some(day(MONDAY).plus(days as i32).date());
        let condition = Condition { id: ConditionId(p.fresh_id()), need, who: String::new(), by };
        let gate = Gate {
            id: GateId(p.fresh_id()),
            key: format!("g{before}-{days}-{}", p.next_id),
            phase: phase_id(&p, &keys[before]),
            name: "Gate".to_owned(),
            source: String::new(),
            conditions: vec![condition],
        };
        Arc::make_mut(&mut p.gates).push(gate);
    }
    p.reindex();
    (p, today)
}

/// The document with what a trial drew written in, as if it had been said.
fn written(p: &Project, f: &Figures, laid: &Laid) -> Project {
    let mut p = p.clone();
    for (id, days) in &laid.days {
        let key = p.phase(*id).unwrap().key.clone();
        edit_phase(&mut p, &key, |phase| {
            (phase.days_min, phase.days_max) = (None, None);
            if phase.actual_start.is_some() {
                phase.days_left = Some(*days);
            } else {
                phase.days = Some(*days);
            }
        });
    }
    for (id, count, unit) in &laid.leads {
        let own = part(f, *id).clone();
        let likely = {
            let (_, _, part) = p.part(*id).unwrap();
            part.lead.unwrap() as i32 * if part.lead_unit == LeadUnit::Weeks { 7 } else { 1 }
        };
        edit_part(&mut p, *id, |part| {
            (part.lead_min, part.lead_max) = (None, None);
            (part.lead, part.lead_unit) = (Some(*count), *unit);
            if let Some(promised) = part.promised_on {
                let moved = *count as i32 - likely;
                let promised = needline::engine::Day::from(promised);
                let desk = f.days.supplier(own.supplier.map(|s| s as usize));
                let other = match unit {
                    LeadUnit::Working => desk.order.day(desk.order.index(promised) + moved),
                    _ => promised.plus(moved),
                };
                let other = match moved.signum() {
                    0 => promised,
                    1 => promised.max(desk.receive.roll_forward(other)),
                    _ => promised.min(desk.receive.roll_forward(other)),
                };
                part.promised_on = Some(other.date());
            }
        });
    }
    p
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// With everything as likely a trial is the forecast: each phase, the last day, the total.
    #[test]
    fn a_trial_in_which_all_is_as_likely_is_the_forecast(dice in any_job()) {
        let (p, today) = job(dice);
        let f = compute(&p, today);
        let laid = laid_open(&p, &f, 0, None);
        prop_assert_eq!(laid.finish, f.forecast_finish);
        prop_assert_eq!(laid.total, f.money.total.forecast);
        let work = f.days.work();
        for ((phase, own), laid) in p.phases.iter().zip(&f.phases).zip(&laid.phases) {
            if phase.actual_start.is_none() && phase.finished_on().is_none() {
                let shown = laid.map(|(start, finish)| (work.day(start), work.day(finish.max(start + 1) - 1)));
                prop_assert_eq!(shown, own.forecast_start.zip(own.forecast_finish), "{}", phase.key);
            }
        }
        // What costs days alone lies on every chain.
        for (at, part) in f.parts.iter().enumerate().filter(|(_, part)| part.costs_days > 0) {
            prop_assert!(laid.fixing_parts.contains(&at), "{:?}", part.id);
        }
        prop_assert_eq!(laid.fixing.is_empty(), f.forecast_finish.is_none());
    }

    /// Without any spread, chance or open question each trial is the forecast.
    #[test]
    fn without_any_spread_each_trial_is_the_forecast(dice in any_job(), seed in any::<u64>()) {
        let (mut p, today) = job(dice);
        for phase in Arc::make_mut(&mut p.phases) {
            (phase.days_min, phase.days_max) = (None, None);
        }
        let parts: Vec<PartId> = p.all_parts().map(|(_, _, part)| part.id).collect();
        parts.into_iter().for_each(|id| edit_part(&mut p, id, |part| (part.lead_min, part.lead_max) = (None, None)));
        let f = compute(&p, today);
        let risk = run(&p, &f, Run { threads: 1, ..Run::new(3, seed) });
        prop_assert_eq!(risk.by_day, f.forecast_finish.map(|day| (day, 3)).into_iter().collect::<Vec<_>>());
        prop_assert_eq!(risk.totals, vec![f.money.total.forecast; 3]);
    }

    /// Whatever was done to a project, trials come to an end, and the one in which all is as likely is the forecast with
    /// the changes that nobody agreed to yet.
    #[test]
    fn any_project_can_be_tried(dice in any_dice(), seed in any::<u64>(), later in 0_i32..60) {
        let mut p = house();
        for dice in dice {
            if let Ok(next) = p.apply(&any_action(&p, dice, 1)) {
                p = next;
            }
        }
        let f = compute(&p, day(MONDAY).plus(later).date());
        let laid = laid_open(&p, &f, seed, None);
        if f.open_changes.days == 0 {
            prop_assert_eq!(laid.finish, f.forecast_finish);
        }
        let risk = run(&p, &f, Run { threads: 2, ..Run::new(3, seed) });
        prop_assert_eq!(risk.totals.len(), 3);
        prop_assert_eq!(risk.finish.is_some(), f.forecast_finish.is_some());
    }

    /// A trial is the whole computation of the document in which what was drawn is written; and so is a week's wait.
    #[test]
    fn a_trial_is_the_document_with_its_draws(dice in any_job(), seed in 0_u64..1000) {
        let (p, today) = job(dice);
        let f = compute(&p, today);
        const TRIALS: u32 = 3;
        let risk = run(&p, &f, Run { threads: 2, ..Run::new(TRIALS, seed) });
        let mut finishes = Vec::new();
        let mut waits = vec![0; f.parts.len()];
        for trial in 0..u64::from(TRIALS) {
            let laid = laid_open(&p, &f, seed, Some(trial));
            let other = written(&p, &f, &laid);
            let g = compute(&other, today);
            // A part that is overdue comes no sooner for a shorter lead time; the document forgets that it was.
            let sooner = |own: &PartFigures, then: &PartFigures| {
                let desk = f.days.supplier(own.supplier.map(|s| s as usize));
                own.overdue && then.expected < Some(desk.next_receiving(f.as_of))
            };
            let forgets = f.parts.iter().zip(&g.parts).any(|(own, then)| sooner(own, then));
            if forgets {
                return Ok(());
            }
            prop_assert_eq!(laid.finish, g.forecast_finish, "trial {}", trial);
            finishes.push(g.forecast_finish);
            for (at, part) in f.parts.iter().enumerate().filter(|(at, _)| risk.parts[*at].week_costs.is_some()) {
                let mut later = other.clone();
                let from = g.first_order(at, None);
                edit_selection(&mut later, p.selections[part.selection as usize].id, |s| {
                    s.decide_on = Some(from.plus(7).date());
                });
                let later = compute(&later, today);
                waits[at] += later.days_lost.unwrap_or(0) - g.days_lost.unwrap_or(0);
            }
        }
        finishes.sort();
        let by_day: Vec<_> = risk.by_day.iter().flat_map(|(day, n)| vec![Some(*day); *n as usize]).collect();
        prop_assert_eq!(by_day, if finishes[0].is_some() { finishes } else { Vec::new() });
        for (at, wait) in waits.iter().enumerate() {
            if let Some(costs) = risk.parts[at].week_costs {
                let average = (Decimal::from(*wait) / Decimal::from(TRIALS))
                    .round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
                prop_assert_eq!(costs, average, "part {}", at);
            }
        }
    }
}

/// Two phases, the second waits for a part.
fn two() -> (Project, PartId) {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 4, ""), ("check", 1, "rough"), ("tile", 5, "check")]);
    edit_phase(&mut p, "check", |f| f.kind = PhaseKind::Inspection);
    let tile = phase_id(&p, "tile");
    let part = add_part(&mut p, |part| (part.phase, part.lead) = (Some(tile), Some(3)));
    (p, part)
}

#[test]
fn without_anything_uncertain_each_trial_is_the_forecast() {
    let (p, part) = two();
    let f = figures(&p, MONDAY);
    let risk = trials(&p, 50);
    assert_eq!(risk.by_day, [(f.forecast_finish.unwrap(), 50)]);
    assert_eq!(risk.by_amount, [(f.money.total.forecast, 50)]);
    let finish = risk.finish.unwrap();
    assert_eq!((finish.p50, finish.p80, finish.p90), (risk.by_day[0].0, risk.by_day[0].0, risk.by_day[0].0));
    assert_eq!(finish.errors, [Decimal::ZERO; 3]);
    assert_eq!(risk.total.p90, f.money.total.forecast);
    assert!(risk.phases.iter().all(|phase| phase.fixing == 50));
    let own = risk.parts[f.index.of(part.0).unwrap()];
    // Ordered on Monday 8 it comes on Thursday 11, when tile could have begun on Monday 8.
    assert_eq!((own.fixing, own.week_costs), (0, Some(dec("3.00"))));
    assert_eq!(own.order_by, f.part(part).unwrap().order_by);
}

/// Rough Mon 1 to Thu 4, check Fri 5. One visit that fails: three days for corrections, one day, two days for the
/// inspector, so the next visit is six working days later, Mon 15; tile Tue 16 to Tue 23, the 19th is a holiday.
#[test]
fn visits_that_fail_move_the_phase_and_what_follows() {
    let (mut p, _) = two();
    edit_phase(&mut p, "check", |f| f.fail_pct = Some(dec("50")));
    let risk = trials(&p, 4_000);
    let work = figures(&p, MONDAY).days;
    let ends: Vec<_> = (0..=5).map(|n| work.work().offset(day("2026-06-12"), 6 * n)).collect();
    assert_eq!(ends[1], day("2026-06-23"));
    let days: Vec<_> = risk.by_day.iter().map(|(day, _)| *day).collect();
    assert_eq!(days, ends, "none to five failures");
    // The share of each number of failures, against the geometric distribution, within four standard errors.
    for (n, (_, count)) in risk.by_day.iter().enumerate() {
        let chance = if n == 5 { 1.0 / 32.0 } else { 0.5_f64.powi(n as i32 + 1) };
        let error = (4_000.0 * chance * (1.0 - chance)).sqrt();
        assert!((f64::from(*count) - 4_000.0 * chance).abs() < 4.0 * error, "{n}: {count}");
    }
    // The days for corrections are the phase's own.
    edit_phase(&mut p, "check", |f| (f.fail_pct, f.correct_days) = (Some(dec("100")), Some(0)));
    let last = work.work().offset(day("2026-06-12"), 3 * 5);
    assert_eq!(trials(&p, 10).by_day, [(last, 10)]);
}

#[test]
fn a_risk_adds_its_days_and_its_money() {
    let (mut p, _) = two();
    let tile = phase_id(&p, "tile");
    let id = RiskId(p.fresh_id());
    let risk = Listed {
        key: "rot".to_owned(),
        what: "Rot".to_owned(),
        phase: Some(tile),
        chance_pct: dec("100"),
        cost_likely: Some(money("250.50")),
        days_likely: Some(3),
        ..Listed::new(id)
    };
    Arc::make_mut(&mut p.risks).push(risk);
    let f = figures(&p, MONDAY);
    let sure = trials(&p, 20);
    let later = f.days.work().offset(f.forecast_finish.unwrap(), 3);
    assert_eq!(sure.by_day, [(later, 20)]);
    assert_eq!(sure.total.p50, f.money.total.forecast.plus(money("250.50")));
    Arc::make_mut(&mut p.risks)[0].chance_pct = dec("30");
    let now = trials(&p, 10_000);
    let happened = now.by_day[1].1;
    assert_eq!(now.by_day[1].0, later);
    assert!((2_862..=3_138).contains(&happened), "within three standard errors of 3,000: {happened}");
    assert_eq!(now.within(f.money.total.forecast), now.share(10_000 - happened));
    // In finished work it is past.
    edit_phase(&mut p, "tile", |phase| phase.actual_finish = Some(date(MONDAY)));
    let done = trials(&p, 20);
    assert_eq!(done.total.p90, figures(&p, MONDAY).money.total.forecast);
}

#[test]
fn a_change_that_nobody_agreed_to_comes_true_and_one_of_several_answers_counts() {
    let (mut p, _) = two();
    let tile = phase_id(&p, "tile");
    for (days, amount, decision) in [(2, "100", ""), (1, "40", "ceiling"), (3, "90", "ceiling")] {
        let id = ChangeId(p.fresh_id());
        let change = Change {
            key: format!("c{}", id.0),
            what: "Level the floor".to_owned(),
            decision: decision.to_owned(),
            phase: Some(tile),
            days: Some(days),
            amount: Some(money(amount)),
            ..Change::new(id)
        };
        Arc::make_mut(&mut p.changes).push(change);
    }
    let f = figures(&p, MONDAY);
    let risk = trials(&p, 5);
    assert_eq!(risk.by_day, [(f.days.work().offset(f.forecast_finish.unwrap(), 5), 5)]);
    assert_eq!(risk.total.p50, f.money.total.forecast.plus(money("190")));
}

#[test]
fn open_choices_and_bids_are_any_of_theirs() {
    let (mut p, _) = two();
    let id = add_selection(
        &mut p,
        "500",
        &[(OptionState::Candidate, 1), (OptionState::Candidate, 1), (OptionState::Candidate, 1)],
    );
    let parts: Vec<PartId> = p.selection(id).unwrap().options.iter().map(|o| o.parts[0].id).collect();
    for (part, price) in parts.iter().zip([Some("300"), Some("700"), None]) {
        edit_part(&mut p, *part, |part| part.unit_price = price.map(dec).map(Money::new));
    }
    let f = figures(&p, MONDAY);
    let risk = trials(&p, 9_000);
    let rest = f.money.total.forecast.less(money("500"));
    // The one without a price stands with the allowance.
    for (amount, low, high) in [("300", 2_866, 3_134), ("500", 5_866, 6_134), ("700", 9_000, 9_000)] {
        let within = risk.within(rest.plus(money(amount))) * Decimal::from(9_000);
        assert!((Decimal::from(low)..=Decimal::from(high)).contains(&within), "{amount}: {within}");
    }
    // Without candidates it is the allowance; with a leaning one it is that.
    edit_selection(&mut p, id, |s| s.options.clear());
    assert_eq!(trials(&p, 10).total.p90, figures(&p, MONDAY).money.total.forecast);
    for amount in ["1000", "1600"] {
        let id = QuoteId(p.fresh_id());
        let scope = "tile".to_owned();
        Arc::make_mut(&mut p.quotes).push(Quote {
            key: format!("q{amount}"),
            scope,
            amount: money(amount),
            ..Quote::new(id)
        });
    }
    let risk = trials(&p, 400);
    assert_eq!(risk.total.p90.less(risk.totals[0]), money("600"));
}

/// The last order day of each lead time there may be, by the day that a document with it gives, and the share of each by the
/// triangular distribution function, (x - a)^2 / ((b - a)(c - a)) up to the mode (any textbook). The earliest of those days
/// that are enough of the shares is the one to keep to.
#[test]
fn order_by_with_a_confidence_is_that_of_the_lead_time_that_is_kept() {
    let mut moved = 0;
    for seed in 0..60_u32 {
        let (mut p, part) = two();
        let (least, more, most) = (3 + seed % 9, seed % 7, 1 + seed * 5 % 17);
        let unit = [LeadUnit::Days, LeadUnit::Working][seed as usize % 2];
        let (a, c, b) = (least, least + more, least + more + most);
        let with = |p: &mut Project, lead: u32, range: Option<(u32, u32)>| {
            edit_part(p, part, |own| {
                (own.ordered_on, own.promised_on, own.received_on) = (None, None, None);
                (own.lead, own.lead_unit) = (Some(lead), unit);
                (own.lead_min, own.lead_max) = (range.map(|r| r.0), range.map(|r| r.1));
            });
        };
        // Twice the share of lead times up to x and a half, as a fraction.
        let shares = |x: u32| -> (u64, u64) {
            let (a, b, c, x) = (u64::from(2 * a), u64::from(2 * b), u64::from(2 * c), u64::from(2 * x + 1));
            match x {
                _ if x >= b => (1, 1),
                _ if x <= c => ((x - a).pow(2), (b - a) * (c - a)),
                _ => ((b - a) * (b - c) - (b - x).pow(2), (b - a) * (b - c)),
            }
        };
        for confidence in [1, 25, 50, 80, 99] {
            let kept = (a..=b).find(|x| {
                let (part, whole) = shares(*x);
                part * 100 >= whole * u64::from(confidence)
            });
            let mut alone = p.clone();
            with(&mut alone, kept.unwrap(), None);
            let wanted = figures(&alone, MONDAY).part(part).unwrap().order_by;
            with(&mut p, c, Some((a, b)));
            let f = figures(&p, MONDAY);
            let at = f.parts.iter().position(|own| own.id == part).unwrap();
            assert_eq!(order_by_at(&p, &f, at, confidence), wanted, "{seed} {confidence}");
            assert!(wanted.is_some());
            moved += usize::from(wanted != f.parts[at].order_by);
        }
    }
    assert!(moved > 100, "{moved}");
    // What is ordered has no such day any more, and what is not there has none.
    let (mut p, part) = two();
    edit_part(&mut p, part, |own| own.ordered_on = Some(date(MONDAY)));
    let f = figures(&p, MONDAY);
    let at = f.parts.iter().position(|own| own.id == part).unwrap();
    assert_eq!((order_by_at(&p, &f, at, 80), order_by_at(&p, &f, 99, 80)), (None, None));
}

#[test]
fn the_same_with_any_number_of_threads_and_another_with_another_seed() {
    let (mut p, _) = two();
    edit_phase(&mut p, "rough", |f| (f.days_min, f.days_max) = (Some(2), Some(12)));
    edit_phase(&mut p, "tile", |f| (f.days_min, f.days_max) = (Some(3), Some(9)));
    let f = figures(&p, MONDAY);
    let one = run(&p, &f, Run { threads: 1, ..Run::new(1_001, 3) });
    for threads in [2, 3, 7, 64] {
        assert_eq!(run(&p, &f, Run { threads, ..Run::new(1_001, 3) }), one);
    }
    assert_ne!(run(&p, &f, Run::new(1_001, 4)).by_day, one.by_day);
    // More trials are the same ones and others.
    assert_eq!(laid_open(&p, &f, 3, Some(5)), laid_open(&p, &f, 3, Some(5)));
}

#[test]
fn what_was_stopped_says_nothing() {
    let (p, _) = two();
    let f = figures(&p, MONDAY);
    let watch = Watch::default();
    watch.stop.store(true, Ordering::Relaxed);
    assert_eq!(simulate(&p, &f, Run::new(1_000_000, 1), &watch), None);
    assert_eq!(watch.made.load(Ordering::Relaxed), 0);
}

/// Who waits sees the count grow, all threads together, and it ends at what was asked for.
#[test]
fn the_trials_made_are_counted_while_they_are_made() {
    let (p, _) = two();
    let f = figures(&p, MONDAY);
    for (trials, threads) in [(1, 1), (31, 2), (33, 1), (1_001, 3), (64, 64)] {
        let watch = Watch::default();
        simulate(&p, &f, Run { threads, ..Run::new(trials, 1) }, &watch).expect("nobody stops it");
        assert_eq!(watch.made.load(Ordering::Relaxed), trials, "{trials} by {threads}");
    }
    let (watch, trials) = (Watch::default(), 1_000_000);
    let stopped = std::thread::scope(|scope| {
        let run = scope.spawn(|| simulate(&p, &f, Run::new(trials, 1), &watch));
        while watch.made.load(Ordering::Relaxed) == 0 {
            std::thread::yield_now();
        }
        watch.stop.store(true, Ordering::Relaxed);
        run.join().unwrap()
    });
    let made = watch.made.load(Ordering::Relaxed);
    assert!(stopped.is_none() && (1..trials).contains(&made), "{made}");
}

#[test]
fn a_project_without_anything_has_no_finish_and_costs_nothing() {
    let p = project(MONDAY);
    let risk = trials(&p, 3);
    assert_eq!((risk.finish, risk.in_target, risk.total.p90), (None, None, Money::ZERO));
    assert_eq!(risk.in_contingency, 3);
}

/// Of four days three are left on Monday 8. With five drawn 3.75 are, four; with three drawn 2.25, two; with two drawn
/// 1.5, rounded half up to two.
#[test]
fn the_days_left_of_work_under_way_grow_and_shrink_with_its_days() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 4, "")]);
    let days = |p: &mut Project, min: i32, max: i32| {
        edit_phase(p, "rough", |f| {
            (f.actual_start, f.days_left) = (Some(date("2026-06-03")), Some(3));
            (f.days_min, f.days_max) = (Some(min), Some(max));
        });
        let f = figures(p, "2026-06-08");
        let risk = run(p, &f, Run { threads: 1, ..Run::new(2_000, 7) });
        risk.by_day.into_iter().map(|(day, _)| day.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(days(&mut p, 4, 5), ["2026-06-10", "2026-06-11"]);
    assert_eq!(days(&mut p, 3, 4), ["2026-06-09", "2026-06-10"]);
    assert_eq!(days(&mut p, 2, 4), ["2026-06-09", "2026-06-10"]);
    // Nothing left stays nothing, whatever is drawn.
    edit_phase(&mut p, "rough", |f| (f.days_left, f.days_max) = (Some(0), Some(30)));
    let f = figures(&p, "2026-06-08");
    let risk = run(&p, &f, Run { threads: 1, ..Run::new(50, 7) });
    assert_eq!(risk.by_day, [(f.forecast_finish.unwrap(), 50)]);
}

/// Ordered on Monday 1 and due on Thursday 4, it has not come by Wednesday 10: it comes on Thursday 11 at the earliest,
/// however short its lead time was drawn, and later where it was long.
#[test]
fn what_is_overdue_comes_on_the_next_day_at_the_earliest() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("tile", 1, "")]);
    let tile = phase_id(&p, "tile");
    add_part(&mut p, |part| {
        (part.phase, part.ordered_on, part.hold) = (Some(tile), Some(date(MONDAY)), Some(0));
        (part.lead_min, part.lead, part.lead_max) = (Some(1), Some(3), Some(12));
    });
    let f = figures(&p, "2026-06-10");
    let risk = run(&p, &f, Run { threads: 1, ..Run::new(2_000, 7) });
    let days: Vec<String> = risk.by_day.iter().map(|(day, _)| day.to_string()).collect();
    // The twelfth day is Saturday 13, and the house receives on Monday.
    assert_eq!(days, ["2026-06-11", "2026-06-12", "2026-06-15"]);
    assert!(risk.parts[0].week_costs.is_none(), "it is ordered");
}
