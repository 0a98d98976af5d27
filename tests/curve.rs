//! Cheaper or sooner: every combination of random houses computed one by one, by plain code, says the same.

mod support;

use needline::engine::curve::{self, Change, Curve, Question, Refusal, curve};
use needline::engine::{Day, compute, fits};
use needline::model::*;
use std::collections::BTreeSet;
use std::sync::Arc;
use support::*;

const AS_OF: &str = "2026-06-01";

/// Numbers from a seed.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % sides
    }

    fn one_in(&mut self, sides: usize) -> bool {
        self.roll(sides) == 0
    }
}

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

/// What a set of picks comes to, by a fresh computation.
#[derive(Debug, Clone, PartialEq)]
struct Made {
    finish: Day,
    total: Money,
    /// Position of the selection and of the option.
    changes: Vec<(usize, usize)>,
}

/// The document with other options chosen; what was ordered for the ones left goes back where something comes of it.
fn with(p: &Project, changes: &[(usize, usize)]) -> Project {
    let before = compute(p, date(AS_OF));
    let mut next = p.clone();
    for (s, o) in changes {
        if let Some(choice) = p.selections[*s].choice() {
            for part in choice.parts.iter().filter(|part| part.is_ordered()) {
                let at = before.parts.iter().position(|f| f.id == part.id).unwrap();
                let mut r = Return::new(ReturnId(next.fresh_id()), part.id);
                if before.terms(p, at, None, before.as_of).given_back > Money::ZERO {
                    r.state = ReturnState::GoingBack;
                }
                Arc::make_mut(&mut next.returns).push(r);
            }
        }
        let id = p.selections[*s].id;
        edit_selection(&mut next, id, |s| {
            for (n, option) in s.options.iter_mut().enumerate() {
                option.state = if n == *o { OptionState::Chosen } else { OptionState::Candidate };
            }
        });
    }
    next
}

/// What does not hold: the rule and the selections.
fn broken(p: &Project) -> Vec<(usize, Vec<SelectionId>)> {
    let verdicts = fits::verdicts(p).into_iter().filter(|v| v.outcome == fits::Fit::DoesNotFit);
    verdicts.map(|v| (v.rule, v.selections)).collect()
}

/// All combinations that may be taken, one by one.
fn all(p: &Project, open: &BTreeSet<SelectionId>) -> Vec<Made> {
    let before = compute(p, date(AS_OF));
    let held = broken(p);
    let mut sets: Vec<Vec<(usize, usize)>> = vec![Vec::new()];
    for (s, selection) in p.selections.iter().enumerate().filter(|(_, s)| open.contains(&s.id)) {
        let live = selection.live_option().map(|o| o.id);
        for set in sets.clone() {
            for (o, option) in selection.options.iter().enumerate() {
                let known = |part: &Part| {
                    let f = before.part(part.id).unwrap();
                    part.unit_price.is_some() && (part.phase.is_none() || f.expected.is_some())
                };
                if Some(option.id) != live && option.parts.iter().all(known) {
                    let mut set = set.clone();
                    set.push((s, o));
                    sets.push(set);
                }
            }
        }
    }
    let made = sets.into_iter().filter_map(|changes| {
        let next = with(p, &changes);
        let of_change = |id: &SelectionId| changes.iter().any(|(s, _)| p.selections[*s].id == *id);
        let fits = broken(&next).iter().all(|v| held.contains(v) && !v.1.iter().any(of_change));
        let f = compute(&next, date(AS_OF));
        fits.then(|| Made { finish: f.forecast_finish.unwrap(), total: f.money.total.forecast, changes })
    });
    made.collect()
}

/// From the soonest on, what is better than all before it by a rank.
fn front<R: Ord>(all: &[Made], rank: impl Fn(&Made) -> R) -> Vec<Made> {
    let mut all = all.to_vec();
    all.sort_by(|a, b| {
        (a.finish, rank(a))
            .cmp(&(b.finish, rank(b)))
            .then_with(|| (a.total, a.changes.len(), &a.changes).cmp(&(b.total, b.changes.len(), &b.changes)))
    });
    let mut kept: Vec<Made> = Vec::new();
    for made in all {
        if kept.last().is_none_or(|last| rank(&made) < rank(last)) {
            kept.push(made);
        }
    }
    kept
}

fn places(p: &Project, changes: &[Change]) -> Vec<(usize, usize)> {
    let place = |c: &Change| {
        let s = p.selections.iter().position(|s| s.id == c.selection).unwrap();
        (s, p.selections[s].options.iter().position(|o| o.id == c.to).unwrap())
    };
    changes.iter().map(place).collect()
}

fn made(p: &Project, point: &curve::Point) -> Made {
    Made { finish: point.finish, total: point.total, changes: places(p, &point.changes) }
}

/// Holds an answer to all combinations.
fn check(seed: u64, p: &Project, reopened: Vec<SelectionId>) -> Option<Curve> {
    let undecided = p.selections.iter().filter(|s| s.choice().is_none()).map(|s| s.id);
    let open: BTreeSet<SelectionId> = undecided.chain(reopened.iter().copied()).collect();
    let figures = compute(p, date(AS_OF));
    let question = Question { reopened, ..Question::default() };
    let found = match curve(p, &figures, &question) {
        Ok(found) => found,
        Err(Refusal::NothingOpen) => {
            assert_eq!(all(p, &open).len(), 1, "{seed}: there are combinations");
            return None;
        }
        Err(other) => panic!("{seed}: {other}"),
    };
    let all = all(p, &open);
    let points: Vec<Made> = found.points.iter().map(|point| made(p, point)).collect();
    assert_eq!(points, front(&all, |made| made.total), "{seed}: points");
    let sooner: Vec<Made> =
        all.iter().filter(|m| m.finish < figures.forecast_finish.unwrap()).cloned().collect();
    let fix: Vec<Made> = found.fix.iter().map(|fix| made(p, &fix.point)).collect();
    assert_eq!(fix, front(&sooner, |made| made.changes.len()), "{seed}: fix sets");

    for pair in found.points.windows(2) {
        assert!(pair[0].finish < pair[1].finish && pair[0].total > pair[1].total, "{seed}");
    }
    for point in &found.points {
        let action = curve::action(p, &figures, point).unwrap_or_else(|e| panic!("{seed}: {e}"));
        let next = p.apply(&action).unwrap_or_else(|e| panic!("{seed}: {e}"));
        let after = compute(&next, date(AS_OF));
        assert_eq!(
            (after.forecast_finish, after.money.total.forecast),
            (Some(point.finish), point.total),
            "{seed}: taken"
        );
        for n in 0..point.changes.len() {
            let mut fewer = places(p, &point.changes);
            fewer.remove(n);
            let reached = all.iter().find(|m| m.changes == fewer);
            assert!(
                reached.is_none_or(|m| m.finish > point.finish || m.total > point.total),
                "{seed}: fewer do"
            );
        }
    }
    Some(found)
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
