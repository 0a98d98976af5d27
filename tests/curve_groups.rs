//! Cheaper or sooner where choices hang together in several places: rooms with tops that are ordered only when cabinets are
//! set, rules inside rooms and across them, gates that want things built in, orders that share freight. Every combination
//! computed one by one says the same.

#[path = "support/sets.rs"]
mod sets;
mod support;

use needline::engine::compute;
use needline::engine::curve::{Question, Refusal, curve};
use needline::model::*;
use sets::{AS_OF, Dice, Made, all, check, front, made, with};
use std::collections::BTreeSet;
use std::sync::Arc;
use support::*;

/// Work of two rooms beside each other, with a phase before and one behind.
const WORK: [(&str, &str); 8] = [
    ("rough", ""),
    ("close", "rough"),
    ("set0", "close"),
    ("fit0", "set0"),
    ("set1", "close"),
    ("fit1", "set1"),
    ("paint", "close"),
    ("end", "fit0,fit1,paint"),
];

/// What a selection is: its room, its phase, and the phases after which its options may be ordered.
type Kind = (usize, &'static str, &'static [&'static str]);

/// A valve for the house, and cabinets, a top and a tap for each room.
const KINDS: [Kind; 7] = [
    (0, "rough", &[]),
    (0, "set0", &["rough"]),
    (0, "fit0", &["set0", "set0", "close"]),
    (0, "fit0", &[]),
    (1, "set1", &["rough"]),
    (1, "fit1", &["set1", "set1", "set0"]),
    (1, "fit1", &["paint"]),
];

fn amount(name: &str, value: &str) -> Fact {
    Fact { name: name.to_owned(), value: FactValue::Amount(dec(value), "in".to_owned()) }
}

/// A random one. Without `shared` costs add up: no freight and no tax.
fn house(seed: u64, shared: bool) -> Project {
    let mut dice = Dice(seed);
    let mut p = project("2026-06-01");
    let rows: Vec<(&str, i32, &str)> =
        WORK.iter().map(|(key, after)| (*key, 1 + dice.roll(6) as i32, *after)).collect();
    add_phases(&mut p, rows);
    let rooms = [add_room(&mut p, "10", "12", "8"), add_room(&mut p, "5", "8", "8")];
    // One for all: what the rooms order together saves its freight.
    let free = 600 + dice.roll(8) * 100;
    let shops: Vec<SupplierId> = (0..2)
        .map(|n| {
            add_supplier(&mut p, |s| {
                if shared {
                    s.freight.flat = money(["90", "35"][n]);
                    s.freight.free_over = Some(money(&free.to_string()));
                    s.tax_pct = dec("8.25");
                }
            })
        })
        .collect();
    let mut ids = Vec::new();
    for (room, phase, after) in KINDS {
        let count = 2 + usize::from(dice.one_in(2));
        let mut states = vec![(OptionState::Candidate, 1 + usize::from(dice.one_in(5))); count];
        states[0].0 = [OptionState::Chosen, OptionState::Candidate, OptionState::Leaning][dice.roll(3)];
        let id = add_selection(&mut p, ["0", "400"][dice.roll(2)], &states);
        ids.push(id);
        let own = phase_id(&p, phase);
        let tied: Vec<Option<PhaseId>> = (0..count)
            .map(|_| {
                let after = (!after.is_empty() && !dice.one_in(3)).then(|| after[dice.roll(after.len())]);
                after.map(|key| phase_id(&p, key))
            })
            .collect();
        edit_selection(&mut p, id, |s| {
            s.room = rooms[room];
            for (option, tied) in s.options.iter_mut().zip(tied) {
                let finish = ["black", "nickel"][dice.roll(2)];
                option.facts = vec![
                    amount("width", ["30", "36"][dice.roll(2)]),
                    Fact { name: "finish".to_owned(), value: FactValue::Text(finish.to_owned()) },
                ];
                for part in &mut option.parts {
                    part.supplier = Some(shops[usize::from(dice.one_in(3))]);
                    part.phase = Some(own);
                    part.at = if dice.one_in(5) { NeededAt::Finish } else { NeededAt::Start };
                    part.unit_price = Some(money(&format!("{}", 100 + dice.roll(40) * 10)));
                    part.lead = Some(dice.roll(50) as u32);
                    part.order_after = tied;
                    part.order_after_days = tied.map(|_| dice.roll(4) as u32);
                }
            }
        });
    }
    rules(&mut p, &mut dice, &rooms, &ids);
    gates(&mut p, &mut dice, &ids);
    p
}

fn rules(p: &mut Project, dice: &mut Dice, rooms: &[RoomId], ids: &[SelectionId]) {
    let mut add = |kind, of, fact: &str, with: Option<SelectionId>| {
        let id = RuleId(p.fresh_id());
        Arc::make_mut(&mut p.rules).push(Rule {
            id,
            key: format!("r{}", id.0),
            name: String::new(),
            kind,
            of,
            fact: fact.to_owned(),
            with: with.map(|id| RuleWith::Fact(id, fact.to_owned())),
            tolerance: None,
            why: String::new(),
        });
    };
    if dice.one_in(2) {
        add(RuleKind::SameInRoom, RuleOf::Room(rooms[dice.roll(2)]), "finish", None);
    }
    if dice.one_in(2) {
        // The cabinets of both rooms.
        add(RuleKind::Equal, RuleOf::Selection(ids[1]), "width", Some(ids[4]));
    }
    if dice.one_in(3) {
        let of = if dice.one_in(2) { RuleOf::House } else { RuleOf::Room(rooms[1]) };
        add(RuleKind::AtLeast, of, "width", Some(ids[0]));
    }
}

fn gates(p: &mut Project, dice: &mut Dice, ids: &[SelectionId]) {
    for (phase, before) in [("fit1", "set0"), ("end", "paint"), ("paint", "set1")] {
        if !dice.one_in(3) {
            continue;
        }
        let gate = GateId(p.fresh_id());
        let presence = if dice.one_in(2) { Presence::OnSite } else { Presence::BuiltIn };
        let need = if dice.one_in(2) {
            let selection = ids[[1, 2, 4][dice.roll(if phase == "end" { 3 } else { 1 })]];
            Need::Selection { selection, scope: Scope::All, presence }
        } else {
            Need::PartsOf { phase: phase_id(p, before), presence }
        };
        let id = ConditionId(p.fresh_id());
        let phase = phase_id(p, phase);
        Arc::make_mut(&mut p.gates).push(Gate {
            id: gate,
            key: format!("g{}", gate.0),
            phase,
            name: "Gate".to_owned(),
            source: String::new(),
            conditions: vec![Condition { id, need, who: String::new(), by: None }],
        });
    }
}

fn reopened(p: &Project) -> Vec<SelectionId> {
    p.selections.iter().map(|s| s.id).collect()
}

fn range() -> std::ops::Range<u64> {
    let of = |name: &str| std::env::var(name).ok().and_then(|v| v.parse().ok());
    of("CURVE_FROM").unwrap_or(0)..of("CURVE_TO").unwrap_or(14)
}

/// Beyond 512 combinations, where prices add up: points and fix sets are those of all combinations, to the cent.
#[test]
fn groups_by_themselves_are_the_whole_where_prices_add_up() {
    let (mut apart, mut several, mut together) = (0, 0, 0);
    for seed in range() {
        let p = house(seed, false);
        let Some(found) = check(seed, &p, reopened(&p)) else { continue };
        apart += usize::from(!found.whole);
        several += usize::from(found.points.len() > 1);
        together += found.fix.iter().filter(|fix| fix.alone.len() > 1).count();
    }
    assert!(apart > 8 && several > 8 && together > 3, "{apart} {several} {together}");
}

/// Where freight is shared, each point is what a fresh computation says, no set of changes wins days with fewer changes, no
/// finish is sooner, and what the cheapest of all combinations saves is no more than freight.
#[test]
fn with_shared_freight_days_are_exact_and_totals_are_those_of_the_sets_shown() {
    let (mut apart, mut missed, mut points) = (0, 0, 0);
    for seed in range() {
        let p = house(seed + 10_000, true);
        let figures = compute(&p, date(AS_OF));
        let question = Question { reopened: reopened(&p), ..Question::default() };
        let found = match curve(&p, &figures, &question) {
            Err(Refusal::NothingOpen) => continue,
            other => other.unwrap_or_else(|e| panic!("{seed}: {e}")),
        };
        if found.whole {
            check(seed, &p, reopened(&p));
            continue;
        }
        apart += 1;
        let open: BTreeSet<SelectionId> = reopened(&p).into_iter().collect();
        let all = all(&p, &open);
        let best = front(&all, |made| made.total);
        let by = |day| best.iter().rev().find(|made| made.finish <= day).unwrap();
        assert_eq!(found.points[0].finish, best[0].finish, "{seed}: the soonest");
        for point in &found.points {
            let own = made(&p, point);
            assert!(all.contains(&own), "{seed}: {own:?} is no combination");
            let freight: Money =
                compute(&with(&p, &own.changes), date(AS_OF)).orders.iter().map(|order| order.freight).sum();
            // A cent for each order is what the rounding of its tax may come to.
            let bound = freight.plus(money("0.02"));
            let saved = own.total.less(by(own.finish).total);
            assert!(saved >= Money::ZERO && saved <= bound, "{seed}: {saved:?} beside {freight:?}");
            points += 1;
            missed += usize::from(own.total > by(own.finish).total);
        }
        let days = |list: &[Made]| -> Vec<_> { list.iter().map(|m| (m.finish, m.changes.len())).collect() };
        let sooner: Vec<Made> =
            all.iter().filter(|m| m.finish < figures.forecast_finish.unwrap()).cloned().collect();
        let fix: Vec<Made> = found.fix.iter().map(|fix| made(&p, &fix.point)).collect();
        assert_eq!(days(&fix), days(&front(&sooner, |made| made.changes.len())), "{seed}: fix sets");
    }
    println!("{apart} apart, {points} points, {missed} of them not the cheapest that a shared order allows");
    assert!(apart > 8 && points > 30, "{apart} {points}");
}
