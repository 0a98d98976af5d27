//! What trades are paid: bids leveled, installments, draws of a lender and the owner's own money, against a direct ledger
//! day by day, worked examples from published rules, and laws.

mod support;

use chrono::NaiveDate;
use needline::engine::{Figures, compute, problems};
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Rough work Mon 1 to Fri 5, drywall Mon 8 to Fri 12, a visit Mon 15, paint Tue 16 to Thu 18.
fn house() -> Project {
    let mut p = project(MONDAY);
    add_phases(
        &mut p,
        [("rough", 5, ""), ("drywall", 5, "rough"), ("check", 1, "drywall"), ("paint", 3, "check")],
    );
    edit_phase(&mut p, "check", |c| c.kind = PhaseKind::Inspection);
    p
}

fn quote(p: &mut Project, amount: &str, edit: impl FnOnce(&mut Quote)) -> QuoteId {
    let id = QuoteId(p.fresh_id());
    let mut quote = Quote {
        key: format!("q{}", id.0),
        scope: "Drywall".to_owned(),
        amount: money(amount),
        ..Quote::new(id)
    };
    edit(&mut quote);
    Arc::make_mut(&mut p.quotes).push(quote);
    id
}

fn left(what: &str, amount: Option<&str>) -> LeftOut {
    LeftOut { what: what.to_owned(), amount: amount.map(money) }
}

fn weeks(f: &Figures) -> Vec<(String, String, String)> {
    let week = |w: &needline::engine::cash::CashWeek| {
        (w.monday.to_string(), w.due.amount().to_string(), w.draws.amount().to_string())
    };
    f.cash.iter().map(week).collect()
}

fn codes(p: &Project, f: &Figures, code: &str) -> Vec<String> {
    problems(p, f).into_iter().filter(|q| q.code == code).map(|q| q.message).collect()
}

/// Of three bids the cheapest leaves two things out. With one priced it is as dear as the second; while the other is not,
/// it is the least it can be, so nobody is the lowest, and the forecast takes the lowest of those without holes.
#[test]
fn nothing_with_holes_is_called_the_lowest() {
    let mut p = house();
    quote(&mut p, "9000", |q| q.left_out = vec![left("sanding", Some("800")), left("scaffold", None)]);
    quote(&mut p, "10000", |_| ());
    quote(&mut p, "9950", |q| q.left_out = vec![left("haul-off", Some("150"))]);
    let f = figures(&p, MONDAY);
    assert_eq!(f.trades.bids[0].lowest, None, "9800 and a scaffold may be less than 10000");
    assert_eq!(f.money.total.forecast, money("10000"));
    assert_eq!(f.money.total.left_out, 0);
    // With its hole priced at 250 it is 10050, and the second is the lowest.
    let mut priced = p.clone();
    Arc::make_mut(&mut priced.quotes)[0].left_out[1].amount = Some(money("250"));
    assert_eq!(figures(&priced, MONDAY).trades.bids[0].lowest, Some(1));
    // At 100 it is 9900 and the lowest itself.
    Arc::make_mut(&mut priced.quotes)[0].left_out[1].amount = Some(money("100"));
    let f = figures(&priced, MONDAY);
    assert_eq!(f.trades.bids[0].lowest, Some(0));
    assert_eq!(f.money.total.forecast, money("9900"));
    // Where all leave something out, the lowest stands for the least it can be.
    let mut holes = p.clone();
    Arc::make_mut(&mut holes.quotes).iter_mut().for_each(|q| q.left_out.push(left("permit", None)));
    let f = figures(&holes, MONDAY);
    assert_eq!((f.money.total.forecast, f.trades.bids[0].lowest), (money("9800"), None));
    assert_eq!(f.money.total.left_out, 2);
    // One alone is the lowest of nothing.
    let mut one = house();
    quote(&mut one, "9000", |_| ());
    assert_eq!(figures(&one, MONDAY).trades.bids[0].lowest, None);
}

/// Bids of which only one has a price are not said to be undercut, and spaces make no other scope.
#[test]
fn bids_are_undercut_only_by_those_that_begin_below() {
    let mut p = house();
    quote(&mut p, "900", |_| ());
    quote(&mut p, "0", |q| q.left_out = vec![left("haul-off", None)]);
    quote(&mut p, "950", |q| q.left_out = vec![left("haul-off", None)]);
    let bids = figures(&p, MONDAY).trades.bids[0].clone();
    assert_eq!((bids.lowest, bids.is_undercut(&p, 0)), (Some(0), false));
    Arc::make_mut(&mut p.quotes)[2].amount = money("850");
    let bids = figures(&p, MONDAY).trades.bids[0].clone();
    assert_eq!((bids.lowest, bids.is_undercut(&p, 0)), (None, true));
    // Spaces around a scope make no other scope of it.
    let mut p = house();
    let (one, two) = (quote(&mut p, "900", |q| q.scope.push(' ')), quote(&mut p, "800", |_| ()));
    let accepted = p.apply(&Action::AcceptQuote(one)).unwrap().apply(&Action::AcceptQuote(two)).unwrap();
    assert_eq!(accepted.quotes.iter().filter(|q| q.accepted).count(), 1);
    // Nor do capitals and signs; another number does.
    let bids = |a: &str, b: &str| {
        let mut p = house();
        quote(&mut p, "900", |q| q.scope = a.to_owned());
        quote(&mut p, "800", |q| q.scope = b.to_owned());
        assert_eq!(p.quotes[0].competes_with(&p.quotes[1]), figures(&p, MONDAY).trades.bids.len() == 1);
        figures(&p, MONDAY).trades.bids.len()
    };
    for (a, b) in [
        ("Tile, hall bath", "tile - Hall  bath"),
        ("Drywall", "DRY WALL."),
        ("Elec. rough-in", "elec rough in"),
    ] {
        assert_eq!(bids(a, b), 1, "{a} and {b}");
    }
    for (a, b) in [("Bath 1", "Bath 2"), ("Unit 1-2", "Unit 12"), ("Tile", "Title"), ("!", "?")] {
        assert_eq!(bids(a, b), 2, "{a} and {b}");
    }
    // Pricing one thing more raises the leveled price by just that.
    let mut priced = p.quotes[0].clone();
    let before = priced.leveled();
    priced.left_out.push(left("haul-off", Some("123.45")));
    assert_eq!(priced.leveled().less(before), money("123.45"));
}

/// Accepted, it counts leveled: what it leaves out somebody will be paid for. Agreed is its own amount.
#[test]
fn an_accepted_bid_counts_leveled() {
    let mut p = house();
    let id = quote(&mut p, "9000", |q| {
        q.left_out = vec![left("sanding", Some("800")), left("scaffold", None)];
        q.accepted = true;
    });
    let total = figures(&p, MONDAY).money.total;
    assert_eq!((total.ordered, total.forecast, total.left_out), (money("9000"), money("9800"), 1));
    assert_eq!(total.over_under(), Money::ZERO);
    let taken = p.apply(&Action::AcceptQuote(id)).unwrap();
    assert_eq!(figures(&taken, MONDAY).money.total, total);
}

/// A deposit on a day, 40 percent when hung, 40 when the visit passes, 10 held back until paint is done. Paid is the
/// deposit. By hand: 4000 on Fri 12 (week of 8), 4000 on Mon 15, 1000 on Thu 18 (both in the week of 15).
#[test]
fn installments_fall_due_with_their_phases() {
    let mut p = house();
    let phases = ["drywall", "check", "paint"].map(|key| phase_id(&p, key));
    quote(&mut p, "10000", |q| {
        q.accepted = true;
        q.phase = Some(phases[0]);
        let with = |what: &str, pct: &str, phase, at| Installment {
            pct: Some(dec(pct)),
            phase: Some(phase),
            at,
            ..Installment::new(what)
        };
        q.installments = vec![
            Installment {
                amount: Some(money("1000")),
                due_on: Some(date("2026-05-28")),
                paid_on: Some(date("2026-05-28")),
                ..Installment::new("deposit")
            },
            with("hung", "40", phases[0], None),
            with("passed", "40", phases[1], Some(DueAt::Passed)),
            with("held back", "10", phases[2], Some(DueAt::Finish)),
        ];
    });
    let f = figures(&p, MONDAY);
    assert_eq!(f.money.total.paid, money("1000"));
    let week = |monday: &str, due: &str| (monday.to_owned(), due.to_owned(), "0".to_owned());
    let as_dec = |rows: Vec<(String, String, String)>| -> Vec<(String, Decimal)> {
        rows.into_iter().map(|(monday, due, _)| (monday, dec(&due))).collect()
    };
    assert_eq!(as_dec(weeks(&f)), as_dec(vec![week("2026-06-08", "4000"), week("2026-06-15", "5000")]));
    // The day before it was paid the deposit is due.
    let before = figures(&p, "2026-05-27");
    assert_eq!(before.money.total.paid, Money::ZERO);
    assert_eq!(before.cash.iter().map(|w| w.due).sum::<Money>(), money("10000"));
    // A payment without a waiver is said, with the caution; with one it is not.
    let said = codes(&p, &f, "no_waiver");
    assert!(said.len() == 1 && said[0].contains("lawyer"), "{said:?}");
    Arc::make_mut(&mut p.quotes)[0].installments[0].waiver_on = Some(date("2026-05-29"));
    assert!(codes(&p, &figures(&p, MONDAY), "no_waiver").is_empty());
    // Work that moves takes its installment along: drywall Mon 15 to Mon 22, for Fri 19 is a holiday.
    edit_phase(&mut p, "rough", |r| r.not_before = Some(date("2026-06-08")));
    assert_eq!(figures(&p, MONDAY).cash[0].monday, day("2026-06-22"));
}

/// What installments do not cover falls due as the phases are done, by their days, as the whole price does without them.
#[test]
fn what_installments_leave_falls_due_with_the_phases() {
    let mut p = house();
    let (rough, drywall) = (phase_id(&p, "rough"), phase_id(&p, "drywall"));
    quote(&mut p, "1000", |q| {
        (q.accepted, q.phase, q.also) = (true, Some(rough), vec![drywall]);
        q.left_out = vec![left("haul-off", Some("100"))];
        q.installments = vec![Installment {
            pct: Some(dec("50")),
            due_on: Some(date("2026-06-02")),
            ..Installment::new("half")
        }];
    });
    let due: Vec<Decimal> = figures(&p, MONDAY).cash.iter().map(|w| w.due.amount()).collect();
    // 500 and half of 600 in the first week, the other half in the second.
    assert_eq!(due, [dec("800"), dec("300")]);
}

/// FAR 32.103: retainage is at most 10 percent of a progress payment, and is paid when the contract is complete. On
/// 100,000 earned that is 10,000 held and 90,000 paid; the arithmetic is our own from that rule. HUD, KA-04937 (Handbook
/// 4000.1 II.A.8.a.xviii): the lender's final payment may include the total of all holdbacks, and it may keep them for up
/// to 35 days more.
#[test]
fn retainage_and_holdbacks_come_at_the_end() {
    let mut p = house();
    let (drywall, paint) = (phase_id(&p, "drywall"), phase_id(&p, "paint"));
    quote(&mut p, "100000", |q| {
        (q.accepted, q.phase) = (true, Some(drywall));
        q.installments = vec![
            Installment { pct: Some(dec("90")), phase: Some(drywall), ..Installment::new("earned") },
            Installment { pct: Some(dec("10")), phase: Some(paint), ..Installment::new("retainage") },
        ];
    });
    p.settings.own_cash = Some(money("10000"));
    for (key, amount, phase, days_after) in
        [("first", "90000", drywall, 0), ("holdbacks", "10000", paint, 35)]
    {
        let id = DrawId(p.fresh_id());
        Arc::make_mut(&mut p.draws).push(Draw {
            key: key.to_owned(),
            amount: money(amount),
            phase: Some(phase),
            days_after,
            ..Draw::new(id)
        });
    }
    let f = figures(&p, MONDAY);
    let row: Vec<(String, Decimal, Decimal, Decimal)> = f
        .cash
        .iter()
        .map(|w| (w.monday.to_string(), w.due.amount(), w.draws.amount(), w.left.unwrap().amount()))
        .collect();
    // Drywall ends Fri June 12, paint Thu June 18; 35 days later is Thu July 23, in the week of Mon July 20.
    assert_eq!(
        row,
        [
            ("2026-06-08".to_owned(), dec("90000"), dec("90000"), dec("10000")),
            ("2026-06-15".to_owned(), dec("10000"), dec("0"), dec("0")),
            ("2026-07-20".to_owned(), dec("0"), dec("10000"), dec("10000")),
        ]
    );
    assert!(codes(&p, &f, "cash_short").is_empty());
    p.settings.own_cash = Some(money("9999"));
    let f = figures(&p, MONDAY);
    assert_eq!(f.cash[1].short(), Some(money("1")));
    assert_eq!(codes(&p, &f, "cash_short").len(), 1);
    // Without a word of own money nothing is called short, and nothing enough.
    p.settings.own_cash = None;
    assert!(figures(&p, MONDAY).cash.iter().all(|w| w.left.is_none()));
}

/// A draw that was to come and has not is expected on the next working day; one that hangs on nothing is on no day.
#[test]
fn late_draws_are_expected_on_the_next_working_day() {
    let mut p = house();
    let rough = phase_id(&p, "rough");
    edit_phase(&mut p, "rough", |r| {
        (r.actual_start, r.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
    });
    for phase in [Some(rough), None] {
        let id = DrawId(p.fresh_id());
        let key = format!("d{}", id.0);
        Arc::make_mut(&mut p.draws).push(Draw {
            key,
            amount: money("500"),
            phase,
            days_after: 3,
            ..Draw::new(id)
        });
    }
    let f = figures(&p, "2026-06-12");
    assert!(f.draws[0].overdue);
    assert_eq!(f.draws[0].expected.unwrap().to_string(), "2026-06-15");
    assert_eq!(f.draws[1].expected, None);
    assert_eq!((codes(&p, &f, "draw_overdue").len(), codes(&p, &f, "draw_undated").len()), (1, 1));
    Arc::make_mut(&mut p.draws)[0].received_on = Some(date("2026-06-11"));
    assert_eq!(figures(&p, "2026-06-12").draws[0].came, money("500"));
}

/// A gate before paint that waits for these.
fn gate(p: &mut Project, needs: Vec<(Need, Option<&str>)>) -> GateId {
    let id = GateId(p.fresh_id());
    let mut conditions = Vec::new();
    for (need, by) in needs {
        let condition = ConditionId(p.fresh_id());
        conditions.push(Condition { id: condition, need, who: String::new(), by: by.map(date) });
    }
    let gate = Gate {
        id,
        key: "walls".to_owned(),
        phase: phase_id(p, "paint"),
        name: "Walls closed".to_owned(),
        source: String::new(),
        conditions,
    };
    *p = p.apply(&Action::PutGate(gate)).unwrap();
    id
}

fn gated_draw(p: &mut Project, gate: GateId) {
    let id = DrawId(p.fresh_id());
    let draw = Draw {
        key: "walls".to_owned(),
        name: "Second draw".to_owned(),
        amount: money("500"),
        gate: Some(gate),
        days_after: 5,
        ..Draw::new(id)
    };
    Arc::make_mut(&mut p.draws).push(draw);
}

/// A draw that hangs on a gate comes some days after the latest thing that the gate misses: drywall is done on Fri June
/// 12, 5 days later is Wed 17. Ready since nobody knows when, it is counted from the as-of day.
#[test]
fn a_draw_waits_for_its_gate() {
    let mut p = house();
    let drywall = phase_id(&p, "drywall");
    let id = gate(&mut p, vec![(Need::Finished(drywall), None)]);
    gated_draw(&mut p, id);
    assert_eq!(figures(&p, MONDAY).draws[0].expected, Some(day("2026-06-17")));
    for key in ["rough", "drywall"] {
        edit_phase(&mut p, key, |f| {
            (f.actual_start, f.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
        });
    }
    let f = figures(&p, "2026-06-08");
    assert!(f.gates[0].is_ready());
    assert_eq!((f.draws[0].expected, f.draws[0].overdue), (Some(day("2026-06-13")), false));
}

/// A gate that misses something of which no day is known is ready on no day that could be named, whatever else it misses:
/// the draw is on no day, and it is said why.
#[test]
fn a_draw_behind_an_unknown_day_is_on_no_day() {
    let mut p = house();
    let part = add_part(&mut p, |part| part.lead = None);
    let drywall = phase_id(&p, "drywall");
    let selection = p.part(part).unwrap().0.id;
    let needs = vec![
        (Need::Finished(drywall), None),
        (Need::Selection { selection, presence: Presence::OnSite, scope: Scope::All }, None),
    ];
    let id = gate(&mut p, needs);
    gated_draw(&mut p, id);
    let f = figures(&p, MONDAY);
    assert!(f.gates[0].missing.iter().any(|m| m.expected.is_none()), "{:?}", f.gates[0].missing);
    assert_eq!((f.draws[0].expected, f.draws[0].overdue), (None, false));
    assert!(f.cash.iter().all(|w| w.draws.is_zero()));
    let said = codes(&p, &f, "draw_undated");
    assert!(said.len() == 1 && said[0].contains("Walls closed") && !said[0].contains("hangs on"), "{said:?}");
}

/// Nothing that came so far is not nothing that will come.
#[test]
fn a_draw_of_which_nothing_came_is_still_to_come() {
    let mut p = house();
    let rough = phase_id(&p, "rough");
    let id = DrawId(p.fresh_id());
    let draw = Draw { key: "d".to_owned(), amount: money("500"), phase: Some(rough), ..Draw::new(id) };
    Arc::make_mut(&mut p.draws).push(Draw { received: Some(Money::ZERO), ..draw });
    let comes: Money = figures(&p, MONDAY).cash.iter().map(|w| w.draws).sum();
    assert_eq!(comes, money("500"));
}

/// An installment that names neither a day nor a phase is due when the last phase of its price is done, in the weeks, in
/// the figures and in what is said.
#[test]
fn an_installment_without_a_day_is_due_at_the_end() {
    let mut p = house();
    let (rough, drywall) = (phase_id(&p, "rough"), phase_id(&p, "drywall"));
    quote(&mut p, "1000", |q| {
        (q.accepted, q.phase, q.also) = (true, Some(drywall), vec![rough]);
        q.installments = vec![Installment { pct: Some(dec("100")), ..Installment::new("all of it") }];
    });
    let f = figures(&p, MONDAY);
    assert_eq!(f.installments(&p, &p.quotes[0])[0].due, Some(day("2026-06-12")));
    assert_eq!(f.cash.iter().map(|w| w.monday).collect::<Vec<_>>(), [day("2026-06-08")]);
    assert!(codes(&p, &f, "installment_due").is_empty());
    for key in ["rough", "drywall"] {
        edit_phase(&mut p, key, |f| {
            (f.actual_start, f.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
        });
    }
    assert_eq!(codes(&p, &figures(&p, "2026-06-08"), "installment_due").len(), 1);
}

/// Agreed work is in the ledger and due when its phase is done; what nobody agreed to is said. Of two answers to one
/// question the dearer is what it may add.
#[test]
fn changes_are_in_the_ledger_once_they_are_agreed_on() {
    let mut p = house();
    let drywall = phase_id(&p, "drywall");
    let mut add = |key: &str, decision: &str, days, amount: Option<&str>, agreed: Option<&str>| {
        let id = ChangeId(p.fresh_id());
        let what = format!("do {key}");
        let change = Change {
            key: key.to_owned(),
            what,
            decision: decision.to_owned(),
            phase: Some(drywall),
            days: Some(days),
            amount: amount.map(money),
            agreed_on: agreed.map(date),
            ..Change::new(id)
        };
        Arc::make_mut(&mut p.changes).push(change);
        id
    };
    add("sill", "", 0, Some("540"), Some("2026-05-29"));
    add("floor", "", 1, Some("780"), None);
    let matched = add("match", "texture", 1, Some("450"), None);
    add("redo", "texture", 3, Some("1900"), None);
    add("vent", "", 1, None, None);
    let f = figures(&p, MONDAY);
    assert_eq!((f.money.total.forecast, f.money.total.allowance), (money("540"), Money::ZERO));
    assert_eq!(f.money.contingency_left, Money::ZERO.less(money("540")));
    assert_eq!(weeks(&f).len(), 1);
    let open = f.open_changes;
    assert_eq!((open.count, open.days, open.amount, open.unknown), (3, 5, money("2680"), 1));
    // One answer is enough, and the other adds nothing any more.
    let agreed = Some(("Owner".to_owned(), date(MONDAY)));
    let f = figures(&p.apply(&Action::Agree(matched, agreed)).unwrap(), MONDAY);
    assert_eq!((f.open_changes.count, f.open_changes.amount), (2, money("780")));
    assert_eq!(f.money.total.forecast, money("990"));
}

/// A way to fall due: on a day, with a phase, or with nothing.
#[derive(Debug, Clone)]
struct Part {
    share: u32,
    percent: bool,
    when: usize,
    paid: Option<(i64, Option<u32>)>,
}

fn any_part() -> impl Strategy<Value = Part> {
    let paid = proptest::option::weighted(0.4, (-20_i64..40, proptest::option::of(0_u32..60_000)));
    (1_u32..30, any::<bool>(), 0_usize..8, paid).prop_map(|(share, percent, when, paid)| Part {
        share,
        percent,
        when,
        paid,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// The weeks against a ledger that is kept day by day: a map from a date to what is due, another to what comes in, and
    /// a purse. Phases have the dates of the forecast, everything else is worked out here.
    #[test]
    fn weeks_agree_with_a_ledger_kept_by_days(
        table in any_network(),
        quotes in proptest::collection::vec(
            (1_u32..2_000_000, proptest::collection::vec(any_part(), 0..4), 0_u32..40_000, 0_usize..3, 0_u32..9_000),
            0..5,
        ),
        draws in proptest::collection::vec((1_u32..900_000, 0_usize..6, 0_u32..40, proptest::option::of(-20_i64..20)), 0..4),
        own in proptest::option::of(0_u32..3_000_000),
        offset in 0_i64..30,
    ) {
        let mut p = project(MONDAY);
        add_phases(&mut p, table.rows());
        let as_of = date(MONDAY) + chrono::TimeDelta::days(offset);
        let cents = |n: u32| Money::new(Decimal::new(n.into(), 2));
        let ids: Vec<PhaseId> = p.phases.iter().map(|f| f.id).collect();
        let pick = |n: usize| ids.get(n).copied();
        for (amount, parts, paid, also, left_out) in &quotes {
            let id = QuoteId(p.fresh_id());
            let mut q = Quote {
                key: format!("q{}", id.0),
                amount: cents(*amount),
                accepted: true,
                phase: pick(*also),
                also: ids.iter().copied().skip(*also + 1).take(*also).collect(),
                paid: cents(*paid),
                ..Quote::new(id)
            };
            if *left_out > 0 {
                q.left_out.push(LeftOut { what: "haul-off".to_owned(), amount: Some(cents(*left_out)) });
            }
            for part in parts {
                // Whole percents of the amount, as an amount or a percent, so that nothing is rounded here.
                let sum = Money::new((q.amount.amount() * Decimal::from(part.share)).round_dp(0) / Decimal::ONE_HUNDRED);
                q.installments.push(Installment {
                    pct: part.percent.then(|| Decimal::from(part.share)),
                    amount: (!part.percent).then(|| Money::new(sum.amount().round_dp(2))),
                    due_on: (part.when == 7).then(|| date("2026-06-17")),
                    phase: (part.when < 6).then(|| pick(part.when)).flatten(),
                    at: (part.when < 6 && pick(part.when).is_some() && part.share % 2 == 0).then_some(DueAt::Start),
                    paid_on: part.paid.map(|(days, _)| date(MONDAY) + chrono::TimeDelta::days(days)),
                    paid: part.paid.and_then(|(_, paid)| paid).map(cents),
                    ..Installment::new("part")
                });
            }
            if q.check_installments().is_err() {
                q.installments.clear();
            }
            Arc::make_mut(&mut p.quotes).push(q);
        }
        for (amount, phase, days_after, came) in &draws {
            let id = DrawId(p.fresh_id());
            Arc::make_mut(&mut p.draws).push(Draw {
                key: format!("d{}", id.0),
                amount: cents(*amount),
                phase: pick(*phase),
                days_after: *days_after,
                received_on: came.map(|days| date(MONDAY) + chrono::TimeDelta::days(days)),
                ..Draw::new(id)
            });
        }
        p.settings.own_cash = own.map(cents);
        let f = compute(&p, as_of);
        let span = |id: PhaseId| {
            let own = f.phase(id).unwrap();
            own.forecast_start.zip(own.forecast_finish).map(|(a, b)| (a.date(), b.date()))
        };

        let mut out: BTreeMap<NaiveDate, Decimal> = BTreeMap::new();
        let mut paid_all = Decimal::ZERO;
        for q in p.quotes.iter() {
            let amounts = split(q);
            let mut dues: Vec<(NaiveDate, Decimal)> = Vec::new();
            let mut pool = q.paid.amount();
            paid_all += q.paid.amount();
            let last = q.phases().filter_map(span).map(|(_, b)| b).max().unwrap_or(as_of);
            for (i, amount) in q.installments.iter().zip(&amounts) {
                let counts = i.paid_on.is_some_and(|on| on <= as_of);
                let paid = if counts { i.paid.map_or(*amount, |m| m.amount()) } else { Decimal::ZERO };
                paid_all += paid;
                pool += (paid - amount).max(Decimal::ZERO);
                let with = i.phase.and_then(span).map(|(a, b)| if i.at == Some(DueAt::Start) { a } else { b });
                dues.push((i.due_on.or(with).unwrap_or(last), (*amount - paid).max(Decimal::ZERO)));
            }
            let left_out: Decimal = q.left_out.iter().filter_map(|l| l.amount).map(|m| m.amount()).sum();
            let rest = q.amount.amount() + left_out - amounts.iter().sum::<Decimal>();
            let phases: Vec<PhaseId> = q.phases().collect();
            let weights: Vec<i64> = phases.iter().map(|id| p.phase(*id).unwrap().counted_days().into()).collect();
            for (id, share) in phases.iter().zip(shares(rest, &weights)) {
                dues.push((span(*id).map_or(as_of, |(_, b)| b), share));
            }
            if phases.is_empty() {
                dues.push((as_of, rest));
            }
            dues.sort_by_key(|(on, _)| *on);
            for (on, due) in dues {
                let settled = pool.min(due);
                pool -= settled;
                *out.entry(on.max(as_of)).or_default() += due - settled;
            }
        }
        let mut purse = p.settings.own_cash.map(|own| own.amount() - paid_all);
        let mut comes: BTreeMap<NaiveDate, Decimal> = BTreeMap::new();
        for d in p.draws.iter() {
            match d.received_on {
                Some(on) if on <= as_of => purse = purse.map(|purse| purse + d.amount.amount()),
                said => {
                    let hangs = d.phase.and_then(span).map(|(_, b)| b + chrono::Days::new(d.days_after.into()));
                    let Some(on) = said.or(hangs) else { continue };
                    let mut on = on;
                    if on <= as_of {
                        on = as_of + chrono::Days::new(1);
                        while !f.days.work().is_open(on.into()) {
                            on = on + chrono::Days::new(1);
                        }
                    }
                    *comes.entry(on).or_default() += d.amount.amount();
                }
            }
        }
        // Day by day; a week takes its worst evening.
        let mut rows: BTreeMap<NaiveDate, (Decimal, Decimal, Option<Decimal>)> = BTreeMap::new();
        let days: std::collections::BTreeSet<NaiveDate> = out.keys().chain(comes.keys()).copied().collect();
        for on in days {
            let due = out.get(&on).copied().unwrap_or_default();
            let draw = comes.get(&on).copied().unwrap_or_default();
            if due.is_zero() && draw.is_zero() {
                continue;
            }
            purse = purse.map(|purse| purse + draw - due);
            let monday = on - chrono::Days::new(chrono::Datelike::weekday(&on).num_days_from_monday().into());
            let row = rows.entry(monday).or_insert((Decimal::ZERO, Decimal::ZERO, purse));
            (row.0, row.1, row.2) = (row.0 + due, row.1 + draw, row.2.min(purse));
        }
        let wanted: Vec<_> = rows.into_iter().map(|(on, (due, draw, left))| (on, due, draw, left)).collect();
        let found: Vec<_> = f
            .cash
            .iter()
            .map(|w| (w.monday.date(), w.due.amount(), w.draws.amount(), w.left.map(|m| m.amount())))
            .collect();
        prop_assert_eq!(found, wanted);
        prop_assert_eq!(f.money.total.paid.amount(), paid_all);
        // The installments of a quote never come to more than it, and those in percent add up to their percent.
        for q in p.quotes.iter() {
            let amounts: Vec<Decimal> = f.installments(&p, q).iter().map(|i| i.amount.amount()).collect();
            prop_assert_eq!(amounts, split(q));
        }
    }
}

/// What installments come to: amounts as they are; percents share, by largest remainder, what all of them come to.
fn split(q: &Quote) -> Vec<Decimal> {
    let pct: Decimal = q.installments.iter().filter_map(|i| i.pct).sum();
    let total = (q.amount.amount() * pct / Decimal::ONE_HUNDRED)
        .round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    let weights: Vec<i64> =
        q.installments.iter().filter_map(|i| i.pct).map(|pct| pct.try_into().unwrap()).collect();
    let mut of_pct = shares(total, &weights).into_iter();
    q.installments.iter().map(|i| i.amount.map_or_else(|| of_pct.next().unwrap(), |m| m.amount())).collect()
}

/// Shares to the cent by largest remainder, ties to the first; all to the first where nothing has weight.
fn shares(total: Decimal, weights: &[i64]) -> Vec<Decimal> {
    let all: i64 = weights.iter().sum();
    if weights.is_empty() {
        return Vec::new();
    }
    let cents: i64 = (total * Decimal::ONE_HUNDRED).try_into().unwrap();
    if all == 0 {
        let first = |n: usize| if n == 0 { total } else { Decimal::ZERO };
        return (0..weights.len()).map(first).collect();
    }
    let mut parts: Vec<i64> = weights.iter().map(|w| cents * w / all).collect();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by_key(|n| (-(cents * weights[*n] % all), *n));
    let left = cents - parts.iter().sum::<i64>();
    order.into_iter().take(left as usize).for_each(|n| parts[n] += 1);
    parts.into_iter().map(|c| Decimal::new(c, 2)).collect()
}
