//! Cheaper or sooner: every combination of random houses computed one by one, by plain code, says the same.

#[path = "support/sets.rs"]
mod sets;
mod support;

use needline::engine::compute;
use needline::engine::curve::{Change, Question, Refusal, curve};
use needline::model::*;
use sets::{Dice, check};
use std::sync::Arc;
use support::*;

/// A random house: work in a row with a side way, suppliers with thresholds, choices open, leaned to, made and ordered,
/// things ordered after work, a gate and rules. Without `shared` costs add up: no freight and no tax.
fn house(seed: u64, selections: usize, options: usize, shared: bool) -> Project {
    let mut dice = Dice(seed);
    let mut p = project("2026-06-01");
    let days: Vec<i32> = (0..5).map(|_| 1 + dice.roll(6) as i32).collect();
    let rows = [
        ("a", days[0], ""),
        ("b", days[1], "a"),
        ("c", days[2], if dice.one_in(2) { "a FS+2e" } else { "b" }),
        ("d", days[3], if dice.one_in(2) { "b,c" } else { "c SS+1" }),
        ("e", days[4], "d"),
    ];
    add_phases(&mut p, rows);
    let suppliers: Vec<SupplierId> = (0..2)
        .map(|_| {
            let (flat, free, tax) = (dice.roll(3), dice.one_in(2), dice.roll(2));
            let (deposit, restock) = (dice.roll(3), dice.roll(3));
            add_supplier(&mut p, |s| {
                (s.deposit_pct, s.restock_pct) =
                    (dec(&(deposit * 10).to_string()), dec(&(restock * 15).to_string()));
                s.return_days = Some(30);
                if shared {
                    s.freight.flat = money(&(flat * 35).to_string());
                    s.freight.free_over = free.then(|| money("700"));
                    s.tax_pct = dec(["0", "8.25"][tax]);
                }
            })
        })
        .collect();
    let mut ids = Vec::new();
    for _ in 0..selections {
        let states: Vec<(OptionState, usize)> = (0..1 + dice.roll(options))
            .map(|_| (OptionState::Candidate, 1 + usize::from(dice.one_in(4))))
            .collect();
        let id = add_selection(&mut p, ["0", "300", "450.50"][dice.roll(3)], &states);
        ids.push(id);
        let state = [OptionState::Candidate, OptionState::Leaning, OptionState::Chosen][dice.roll(3)];
        let phases: Vec<PhaseId> = p.phases.iter().map(|f| f.id).collect();
        edit_selection(&mut p, id, |s| {
            s.options[0].state = state;
            let at = dice.roll(5);
            for (o, option) in s.options.iter_mut().enumerate() {
                option.facts = vec![Fact {
                    name: "width".to_owned(),
                    value: FactValue::Amount(dec(["30", "36"][dice.roll(2)]), "in".to_owned()),
                }];
                for part in &mut option.parts {
                    part.supplier = Some(suppliers[dice.roll(2)]);
                    part.phase =
                        (!dice.one_in(9)).then(|| phases[if dice.one_in(3) { dice.roll(5) } else { at }]);
                    part.at = if dice.one_in(5) { NeededAt::Finish } else { NeededAt::Start };
                    part.unit_price = (!dice.one_in(15))
                        .then(|| money(&format!("{}.{}", 100 + dice.roll(40) * 10, 10 + dice.roll(2))));
                    part.lead = (!dice.one_in(15)).then(|| dice.roll(60) as u32);
                    if dice.one_in(4) {
                        // Only after work that stands before its own, so that nothing waits in a circle.
                        let own = part.phase.and_then(|id| phases.iter().position(|p| *p == id)).unwrap_or(0);
                        if own > 0 {
                            part.order_after = Some(phases[dice.roll(own)]);
                            part.order_after_days = Some(dice.roll(5) as u32);
                        }
                    }
                    if o == 0 && dice.one_in(3) {
                        part.ordered_on = Some(date("2026-05-20"));
                        if dice.one_in(3) {
                            part.received_on = Some(date("2026-05-28"));
                        }
                    }
                }
            }
        });
    }
    if ids.len() > 1 && dice.one_in(2) {
        let id = RuleId(p.fresh_id());
        Arc::make_mut(&mut p.rules).push(Rule {
            id,
            key: "same".to_owned(),
            name: "same width".to_owned(),
            kind: RuleKind::Equal,
            of: RuleOf::Selection(ids[0]),
            fact: "width".to_owned(),
            with: Some(RuleWith::Fact(ids[1], "width".to_owned())),
            tolerance: None,
            why: String::new(),
        });
    }
    if dice.one_in(2) {
        let gate = GateId(p.fresh_id());
        let selection = ids[dice.roll(ids.len())];
        let presence = if dice.one_in(2) { Presence::OnSite } else { Presence::BuiltIn };
        let need = if dice.one_in(2) {
            Need::Selection { selection, scope: Scope::All, presence }
        } else {
            Need::PartsOf { phase: p.phases[dice.roll(3)].id, presence }
        };
        let id = ConditionId(p.fresh_id());
        Arc::make_mut(&mut p.gates).push(Gate {
            id: gate,
            key: "gate".to_owned(),
            phase: p.phases[3].id,
            name: "Gate".to_owned(),
            source: String::new(),
            conditions: vec![Condition { id, need, who: String::new(), by: None }],
        });
    }
    p
}

#[test]
fn every_combination_of_small_houses_says_the_same() {
    let (mut curves, mut several, mut swapped) = (0, 0, 0);
    for seed in 0..380 {
        let p = house(seed, 1 + (seed as usize) % 4, 2, true);
        let reopened: Vec<SelectionId> = match seed % 3 {
            0 => p.selections.iter().map(|s| s.id).collect(),
            _ => Vec::new(),
        };
        if let Some(found) = check(seed, &p, reopened) {
            assert!(found.whole, "{seed}");
            curves += 1;
            several += usize::from(found.points.len() > 1);
            let ordered = |c: &Change| {
                let choice = p.selection(c.selection).and_then(Selection::choice);
                choice.is_some_and(|o| o.parts.iter().any(Part::is_ordered))
            };
            swapped += found.points.iter().flat_map(|point| &point.changes).filter(|c| ordered(c)).count();
        }
    }
    assert!(curves >= 200, "{curves} curves");
    assert!(
        several >= 30 && swapped >= 3,
        "{several} with several points, {swapped} changes of what was ordered"
    );
}

#[test]
fn every_combination_of_larger_houses_says_the_same_where_prices_add_up() {
    let mut swept = 0;
    for seed in 1_000..1_080 {
        let p = house(seed, 7, 3, false);
        let reopened = p.selections.iter().map(|s| s.id).collect();
        let count: usize = p.selections.iter().map(|s| s.options.len() + 1).product();
        if !(3_000..8_000).contains(&count) {
            continue;
        }
        swept += usize::from(check(seed, &p, reopened).is_some_and(|found| !found.whole));
    }
    assert!(swept >= 3, "{swept} were gone through");
}

/// Words of a finish, with capitals and spaces around them left aside; what nobody has said is not the same.
#[test]
fn only_the_same_finish_is_compared_where_it_is_wanted() {
    let tried = |now: &str, other: &str| {
        let mut p = project("2026-06-01");
        add_phases(&mut p, [("set", 3, "")]);
        let id = add_selection(&mut p, "0", &[(OptionState::Chosen, 1), (OptionState::Candidate, 1)]);
        let set = phase_id(&p, "set");
        edit_selection(&mut p, id, |s| {
            for (option, (finish, price)) in s.options.iter_mut().zip([(now, "300"), (other, "200")]) {
                option.finish = finish.to_owned();
                let part = &mut option.parts[0];
                (part.phase, part.lead, part.unit_price) = (Some(set), Some(3), Some(money(price)));
            }
        });
        let figures = compute(&p, date("2026-06-01"));
        let question = Question { same_finish: true, ..Question::all_not_ordered(&p) };
        match curve(&p, &figures, &question) {
            Ok(found) => !found.points[0].changes.is_empty(),
            Err(refused) => {
                assert_eq!(refused, Refusal::NothingOpen);
                false
            }
        }
    };
    assert!(tried("Matte black", " matte BLACK "));
    assert!(!tried("Matte black", "black"));
    assert!(!tried("Matte black", " "));
    assert!(tried("", "black") && tried("  ", "black"));
    assert!(tried("", ""));
}
