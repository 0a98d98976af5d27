//! The search. The pass of the forecast takes the latest of what it waits for, again and again, so a set of picks finishes
//! when the slowest of them would alone. So finishes are gone through from the soonest on, and each selection takes its
//! best pick that is in time. That holds while what is ordered only after a phase stays the same: the picks of such
//! selections that others come before, and those that rules tie to others, are tried in all combinations, and the others
//! are gone through under each. Where there are few combinations of everything, each is priced as a whole.

use super::scene::{Open, Pick, STAY, Scene};
use super::{Curve, Fix, Point, Question, Refusal};
use crate::engine::calendar::Day;
use crate::engine::fits::{self, Fit, Verdict};
use crate::model::facts::named;
use crate::model::graph::Graph;
use crate::model::{Money, Project, Rule, RuleKind, RuleOf, RuleWith, SelectionId};
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Up to so many combinations of everything, each is priced as a whole.
const WHOLE: usize = 512;
/// Up to so many passes of the forecast are made.
const PASSES: usize = 50_000;

/// A set of picks and what it is measured by.
#[derive(Debug, Clone)]
struct Found {
    cost: Money,
    changes: usize,
    picks: Vec<Pick>,
}

/// Which of two sets is better.
type Better = fn(&Found, &Found) -> Ordering;

fn cheaper(a: &Found, b: &Found) -> Ordering {
    (a.cost, a.changes).cmp(&(b.cost, b.changes)).then_with(|| first(a, b))
}

fn fewer(a: &Found, b: &Found) -> Ordering {
    (a.changes, a.cost).cmp(&(b.changes, b.cost)).then_with(|| first(a, b))
}

/// Of sets that are as good, the one whose changes come first in the document.
fn first(a: &Found, b: &Found) -> Ordering {
    fn made(found: &Found) -> impl Iterator<Item = (usize, Pick)> + '_ {
        found.picks.iter().copied().enumerate().filter(|(_, pick)| *pick != STAY)
    }
    made(a).cmp(made(b))
}

/// By finish, the best set that reaches it.
#[derive(Debug)]
struct Reached {
    better: Better,
    best: BTreeMap<Day, Found>,
}

impl Reached {
    fn put(&mut self, finish: Day, found: &Found) {
        let known = self.best.range(..=finish).next_back();
        if known.is_some_and(|(day, known)| {
            let order = (self.better)(known, found);
            order == Ordering::Less || order == Ordering::Equal && *day <= finish
        }) {
            return;
        }
        self.best.insert(finish, found.clone());
    }

    /// From the soonest on, each better than all before it by `rank`.
    fn front<R: Ord>(self, rank: impl Fn(&Found) -> R) -> Vec<(Day, Found)> {
        let mut kept: Vec<(Day, Found)> = Vec::new();
        for (day, found) in self.best {
            if kept.last().is_none_or(|(_, last)| rank(&found) < rank(last)) {
                kept.push((day, found));
            }
        }
        kept
    }
}

/// A pick of a selection that is gone through.
#[derive(Debug, Clone, Copy)]
struct Choice {
    finish: Day,
    /// Its place among those that are gone through.
    leaf: usize,
    pick: Pick,
    cost: Money,
}

/// Finds the points and the fix sets.
pub fn search(scene: &mut Scene<'_>, question: &Question) -> Result<Curve, Refusal> {
    let variants: Vec<usize> = scene.open.iter().map(|open| open.variants.len()).collect();
    let product = |of: &[usize]| of.iter().try_fold(1_usize, |all, n| all.checked_mul(variants[*n]));
    let every: Vec<usize> = (0..variants.len()).collect();
    let whole = product(&every).is_some_and(|all| all <= WHOLE);
    let series = if whole { vec![false; variants.len()] } else { in_series(scene) };
    let together: Vec<bool> = if whole {
        vec![true; variants.len()]
    } else {
        ruled(scene).into_iter().zip(&series).map(|(ruled, series)| ruled || *series).collect()
    };
    let names = |of: &[bool]| -> Vec<String> {
        let named = scene.open.iter().zip(of).filter(|(_, own)| **own);
        named.map(|(open, _)| scene.project.selections[open.at].name.clone()).collect()
    };
    let together_names = names(&together);
    let core: Vec<usize> = (0..variants.len()).filter(|n| together[*n]).collect();
    let leaves: Vec<usize> = (0..variants.len()).filter(|n| !together[*n]).collect();
    let in_series = !whole && series.contains(&true);
    let once: usize = leaves.iter().map(|n| variants[*n]).sum();
    let each = if in_series || !scene.project.rules.is_empty() { once + 1 } else { 1 };
    let combinations = product(&core);
    let passes = combinations.and_then(|combinations| combinations.checked_mul(each));
    if passes.is_none_or(|passes| passes > PASSES) {
        return Err(Refusal::TooMany(together_names));
    }

    let stay = vec![STAY; variants.len()];
    let now_total = scene.total(&stay);
    let prices: Vec<Vec<Money>> = if whole {
        Vec::new()
    } else {
        let own = |n: usize| (0..variants[n]).map(|pick| scene.own_price(n, pick, now_total)).collect();
        (0..variants.len()).map(own).collect()
    };
    let mut alone: Vec<Vec<Day>> = Vec::new();
    if !in_series {
        for n in &leaves {
            alone.push((0..variants[*n]).map(|pick| scene.finish(&[(*n, pick)])).collect());
        }
    }
    let rules = Rules::new(scene.project);
    let mut cheap = Reached { better: cheaper, best: BTreeMap::new() };
    let mut few = Reached { better: fewer, best: BTreeMap::new() };
    let mut config: Vec<(usize, Pick)> = core.iter().map(|n| (*n, STAY)).collect();
    loop {
        let mut picks = stay.clone();
        config.iter().for_each(|(n, pick)| picks[*n] = *pick);
        let judge = rules.judge(scene, &picks, &together);
        if judge.core {
            let base = scene.finish(&config);
            let cost = if whole {
                scene.total(&picks)
            } else {
                config.iter().map(|(n, pick)| prices[*n][*pick]).sum()
            };
            let mut choices = Vec::new();
            for (leaf, n) in leaves.iter().enumerate() {
                let allowed: Vec<Pick> =
                    (0..variants[*n]).filter(|pick| judge.leaf(scene, *n, *pick)).collect();
                for pick in allowed {
                    let finish = match alone.get(leaf) {
                        Some(days) => days[pick],
                        None => {
                            config.push((*n, pick));
                            let day = scene.finish(&config);
                            config.pop();
                            day
                        }
                    };
                    choices.push(Choice { finish: finish.max(base), leaf, pick, cost: prices[*n][pick] });
                }
            }
            choices.sort_by_key(|choice| (choice.finish, choice.leaf, choice.pick));
            let start = Found { cost, changes: changed(&picks), picks };
            sweep(&mut cheap, &start, base, &choices, &leaves, |c| (c.cost, usize::from(c.pick != STAY)));
            sweep(&mut few, &start, base, &choices, &leaves, |c| (usize::from(c.pick != STAY), c.cost));
        }
        if !advance(&mut config, &variants) {
            break;
        }
    }

    // Under a gate a selection of which nothing counts waits for the quickest of its candidates, which can be another with
    // others together. That is looked at, and not assumed.
    let cheap = cheap.front(|found| found.cost);
    let few = few.front(|found| found.changes);
    let full = |picks: &[Pick]| picks.iter().copied().enumerate().collect::<Vec<_>>();
    if cheap.iter().chain(&few).any(|(day, found)| scene.finish(&full(&found.picks)) != *day) {
        return Err(Refusal::TooMany(scene.undecided()));
    }
    let mut points: Vec<Point> = Vec::new();
    for (day, found) in cheap {
        let point = scene.point(&found.picks, day);
        let fits = question.at_most.is_none_or(|most| point.total <= most);
        if fits && points.last().is_none_or(|last| point.total < last.total) {
            points.push(point);
        }
    }
    let now = Point { finish: scene.now, total: now_total, changes: Vec::new() };
    let mut fix = Vec::new();
    for (day, found) in few.into_iter().filter(|(day, _)| *day < now.finish) {
        let point = scene.point(&found.picks, day);
        if question.at_most.is_none_or(|most| point.total <= most) {
            fix.push(scene.fix(&found.picks, point));
        }
    }
    Ok(Curve { now, points, fix, open: variants.len(), whole })
}

fn changed(picks: &[Pick]) -> usize {
    picks.iter().filter(|pick| **pick != STAY).count()
}

/// The next combination; whether there is one.
fn advance(config: &mut [(usize, Pick)], variants: &[usize]) -> bool {
    for (n, pick) in config.iter_mut().rev() {
        *pick += 1;
        if *pick < variants[*n] {
            return true;
        }
        *pick = STAY;
    }
    false
}

/// Goes through the finishes from the soonest on. `start` has the picks of what is tried together.
fn sweep<R: Ord + Copy>(
    reached: &mut Reached,
    start: &Found,
    base: Day,
    choices: &[Choice],
    leaves: &[usize],
    rank: impl Fn(&Choice) -> R,
) {
    let mut taken: Vec<Option<Choice>> = vec![None; leaves.len()];
    let mut open = leaves.len();
    if open == 0 {
        reached.put(base, start);
    }
    for same in choices.chunk_by(|a, b| a.finish == b.finish) {
        let mut moved = false;
        for choice in same {
            let known = &mut taken[choice.leaf];
            open -= usize::from(known.is_none());
            if known.is_none_or(|known| (rank(choice), choice.pick) < (rank(&known), known.pick)) {
                *known = Some(*choice);
                moved = true;
            }
        }
        if open > 0 || !moved {
            continue;
        }
        let mut found = start.clone();
        for (n, choice) in leaves.iter().zip(taken.iter().flatten()) {
            found.picks[*n] = choice.pick;
            found.cost = found.cost.plus(choice.cost);
        }
        found.changes = changed(&found.picks);
        reached.put(same[0].finish, &found);
    }
}

/// By open selection, whether it has a part that is ordered only after a phase that others can hold.
fn in_series(scene: &mut Scene<'_>) -> Vec<bool> {
    let mut series = behind_others(scene);
    if !series.contains(&true) {
        return series;
    }
    // Nothing finishes before the slowest of the soonest. A pick that comes as late as it ever can, and finishes by then or
    // as it does alone, is moved by nothing.
    let Some(latest) = scene.latest() else { return series };
    let mut lowest = None;
    for n in 0..series.len() {
        let soonest = (0..scene.open[n].variants.len()).map(|pick| scene.finish(&[(n, pick)])).min();
        lowest = lowest.max(soonest);
    }
    for n in (0..series.len()).filter(|n| series[*n]).collect::<Vec<_>>() {
        series[n] = (0..scene.open[n].variants.len()).any(|pick| {
            let alone = Some(scene.finish(&[(n, pick)])).max(lowest);
            Some(scene.finish_at_latest(n, pick, &latest)).max(lowest) != alone
        });
    }
    series
}

/// By open selection, whether it has a part that is ordered only after a phase that others come before.
fn behind_others(scene: &Scene<'_>) -> Vec<bool> {
    let (project, figures) = (scene.project, scene.figures);
    let mut graph = Graph::new(project);
    let part_phases = |open: &Open| -> Vec<usize> {
        let own = open.variants.iter().flatten().flat_map(|o| open.parts[*o].clone());
        own.filter_map(|at| figures.parts[at].phase.map(|p| p as usize)).collect()
    };
    for tie in figures.ties.iter() {
        if let Some(to) = tie.to {
            graph.add(tie.after, to);
        }
    }
    let phases: Vec<Vec<usize>> = scene.open.iter().map(part_phases).collect();
    // A gate can wait for anything that is open.
    let gated: Vec<usize> = project.gates.iter().filter_map(|gate| project.phase_at(gate.phase)).collect();
    let series = |(n, open): (usize, &Open)| {
        let own = open.variants.iter().flatten().flat_map(|o| open.parts[*o].clone());
        own.filter_map(|at| figures.ties.of(at)).any(|tie| {
            let before = graph.before(tie.after);
            let held = gated.iter().any(|at| before[*at]);
            held || phases.iter().enumerate().any(|(m, list)| m != n && list.iter().any(|p| before[*p]))
        })
    };
    scene.open.iter().enumerate().map(series).collect()
}

/// By open selection, whether a rule compares it with another open one.
fn ruled(scene: &Scene<'_>) -> Vec<bool> {
    let project = scene.project;
    let mut ruled = vec![false; scene.open.len()];
    let place = |id: SelectionId| scene.figures.index.of(id.0).and_then(|at| *scene.place.get(at)?);
    for rule in project.rules.iter() {
        match (rule.of, &rule.with) {
            (RuleOf::Room(room), _) if rule.kind == RuleKind::SameInRoom => {
                let states = |open: &Open| {
                    let selection = &project.selections[open.at];
                    let of_option = |o: &crate::model::SelectionOption| {
                        let parts = o.parts.iter().flat_map(|p| named(&p.facts, &rule.fact));
                        named(&o.facts, &rule.fact).chain(parts).next().is_some()
                    };
                    selection.room == room && selection.options.iter().any(of_option)
                };
                let inside: Vec<usize> = (0..scene.open.len()).filter(|n| states(&scene.open[*n])).collect();
                if inside.len() > 1 {
                    inside.into_iter().for_each(|n| ruled[n] = true);
                }
            }
            (of, Some(RuleWith::Fact(id, _))) => {
                let other = match of {
                    RuleOf::Selection(own) => own != *id && place(own).is_some(),
                    RuleOf::Room(_) | RuleOf::House => true,
                };
                if let Some(n) = place(*id).filter(|_| other) {
                    ruled[n] = true;
                }
            }
            _ => {}
        }
    }
    ruled
}

/// The rules, with what does not hold now.
struct Rules {
    none: bool,
    broken: Vec<(usize, Vec<SelectionId>)>,
}

impl Rules {
    fn new(project: &Project) -> Rules {
        let list: &[Rule] = &project.rules;
        let broken = fits::verdicts(project).into_iter().filter(|v| v.outcome == Fit::DoesNotFit);
        Rules { none: list.is_empty(), broken: broken.map(|v| (v.rule, v.selections)).collect() }
    }

    /// Whether a verdict keeps picks from being taken: what does not hold now may stay as it is.
    fn holds(&self, verdict: &Verdict, is_changed: impl Fn(SelectionId) -> bool) -> bool {
        verdict.outcome != Fit::DoesNotFit
            || !verdict.selections.iter().any(|id| is_changed(*id))
                && self.broken.iter().any(|(rule, own)| *rule == verdict.rule && *own == verdict.selections)
    }

    /// Judges the picks of what is tried together.
    fn judge(&self, scene: &Scene<'_>, picks: &[Pick], together: &[bool]) -> Judge<'_> {
        if self.none {
            return Judge { rules: self, with: None, changed: Vec::new(), core: true };
        }
        let mut with = scene.project.clone();
        let list = Arc::make_mut(&mut with.selections);
        let mut changed = Vec::new();
        for (open, pick) in scene.open.iter().zip(picks).filter(|(_, pick)| **pick != STAY) {
            let Some(option) = open.variants[*pick] else { continue };
            let selection = Arc::make_mut(&mut list[open.at]);
            changed.push(selection.id);
            for (o, own) in selection.options.iter_mut().enumerate() {
                own.state = if o == option {
                    crate::model::OptionState::Chosen
                } else {
                    crate::model::OptionState::Candidate
                };
            }
        }
        let place = |id: SelectionId| scene.figures.index.of(id.0).and_then(|at| *scene.place.get(at)?);
        let ours = |v: &Verdict| v.selections.iter().all(|id| place(*id).is_none_or(|n| together[n]));
        let core = fits::verdicts(&with)
            .iter()
            .filter(|v| ours(v))
            .all(|v| self.holds(v, |id| changed.contains(&id)));
        Judge { rules: self, with: Some(with), changed, core }
    }
}

/// What the rules say beside picks that are tried together.
struct Judge<'a> {
    rules: &'a Rules,
    with: Option<Project>,
    changed: Vec<SelectionId>,
    /// Whether these may be taken.
    core: bool,
}

impl Judge<'_> {
    /// Whether a pick of another selection may be taken beside them.
    fn leaf(&self, scene: &Scene<'_>, n: usize, pick: Pick) -> bool {
        let Some(with) = &self.with else { return true };
        let selection = &scene.project.selections[scene.open[n].at];
        let Some(option) = scene.option(n, pick) else { return true };
        let is_changed = |id: SelectionId| self.changed.contains(&id) || pick != STAY && id == selection.id;
        fits::of_option(with, selection.options[option].id).iter().all(|v| self.rules.holds(v, is_changed))
    }
}

impl Scene<'_> {
    /// The names of the open selections of which nothing counts.
    fn undecided(&self) -> Vec<String> {
        let open = self.open.iter().filter(|open| open.variants[STAY].is_none());
        open.map(|open| self.project.selections[open.at].name.clone()).collect()
    }

    /// A fix set with what each of its changes wins alone.
    fn fix(&mut self, picks: &[Pick], point: Point) -> Fix {
        let won = |scene: &Scene<'_>, day: Day| -scene.figures.finish_moves(Some(day)).unwrap_or(0);
        let mut alone = Vec::new();
        for n in (0..picks.len()).filter(|n| picks[*n] != STAY) {
            let mut one: Vec<(usize, Pick)> = (0..picks.len()).map(|n| (n, STAY)).collect();
            one[n].1 = picks[n];
            let day = self.finish(&one);
            alone.push(won(self, day));
        }
        Fix { days: won(self, point.finish), point, alone }
    }
}
