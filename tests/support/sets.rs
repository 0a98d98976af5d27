//! Every set of choices computed one by one, by plain code: what cheaper or sooner is held to.

use crate::support::*;
use needline::engine::curve::{self, Change, Curve, Question, Refusal, curve};
use needline::engine::{Day, compute, fits};
use needline::model::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The day all is looked at.
pub const AS_OF: &str = "2026-06-01";

/// Numbers from a seed.
pub struct Dice(pub u64);

impl Dice {
    /// From zero on, less than so many.
    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % sides
    }

    pub fn one_in(&mut self, sides: usize) -> bool {
        self.roll(sides) == 0
    }
}

/// What a set of picks comes to, by a fresh computation.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    pub finish: Day,
    pub total: Money,
    /// Position of the selection and of the option.
    pub changes: Vec<(usize, usize)>,
}

/// The document with other options chosen; what was ordered for the ones left goes back where something comes of it.
pub fn with(p: &Project, changes: &[(usize, usize)]) -> Project {
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
pub fn all(p: &Project, open: &BTreeSet<SelectionId>) -> Vec<Made> {
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
pub fn front<R: Ord>(all: &[Made], rank: impl Fn(&Made) -> R) -> Vec<Made> {
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

pub fn places(p: &Project, changes: &[Change]) -> Vec<(usize, usize)> {
    let place = |c: &Change| {
        let s = p.selections.iter().position(|s| s.id == c.selection).unwrap();
        (s, p.selections[s].options.iter().position(|o| o.id == c.to).unwrap())
    };
    changes.iter().map(place).collect()
}

pub fn made(p: &Project, point: &curve::Point) -> Made {
    Made { finish: point.finish, total: point.total, changes: places(p, &point.changes) }
}

/// Holds an answer to all combinations.
pub fn check(seed: u64, p: &Project, reopened: Vec<SelectionId>) -> Option<Curve> {
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
