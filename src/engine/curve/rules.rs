//! What the rules say of picks, and which open selections they tie together.

use super::scene::{Open, Pick, STAY, Scene};
use crate::engine::fits::{self, Fit, Verdict};
use crate::model::facts::named;
use crate::model::{Project, Rule, RuleKind, RuleOf, RuleWith, SelectionId};
use std::sync::Arc;

/// Open selections that rules tie together, by place. Those of two groups fit together whatever is picked.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Group {
    /// Those whose picks are tried in all combinations.
    pub core: Vec<usize>,
    /// Those that are compared with these only, and not with each other.
    pub leaves: Vec<usize>,
}

/// The groups; what no rule compares with anything open is one of its own without a core.
pub fn groups(scene: &Scene<'_>) -> Vec<Group> {
    let (core, pairs) = compared(scene);
    let count = core.len();
    // Each is named by the first it hangs together with.
    let mut name: Vec<usize> = (0..count).collect();
    for (a, b) in pairs {
        let (from, to) = (name[a].max(name[b]), name[a].min(name[b]));
        name.iter_mut().filter(|own| **own == from).for_each(|own| *own = to);
    }
    let tied: Vec<bool> =
        (0..count).map(|n| core[n] || name.iter().filter(|own| **own == name[n]).count() > 1).collect();
    let mut groups = vec![Group { core: Vec::new(), leaves: (0..count).filter(|n| !tied[*n]).collect() }];
    for first in (0..count).filter(|n| name[*n] == *n && tied[*n]) {
        let (core, leaves) = (0..count).filter(|n| name[*n] == first).partition(|n| core[*n]);
        groups.push(Group { core, leaves });
    }
    groups.retain(|group| !group.core.is_empty() || !group.leaves.is_empty());
    groups
}

/// By open selection, whether it is tried with others in all combinations, and which are compared with which.
fn compared(scene: &Scene<'_>) -> (Vec<bool>, Vec<(usize, usize)>) {
    let project = scene.project;
    let (mut core, mut pairs) = (vec![false; scene.open.len()], Vec::new());
    let place = |id: SelectionId| scene.figures.index.of(id.0).and_then(|at| *scene.place.get(at)?);
    for rule in project.rules.iter() {
        let states = |open: &Open| {
            let of_option = |o: &crate::model::SelectionOption| {
                let parts = o.parts.iter().flat_map(|p| named(&p.facts, &rule.fact));
                named(&o.facts, &rule.fact).chain(parts).next().is_some()
            };
            project.selections[open.at].options.iter().any(of_option)
        };
        let inside = |n: &usize| {
            let selection = &project.selections[scene.open[*n].at];
            !matches!(rule.of, RuleOf::Room(room) if room != selection.room) && states(&scene.open[*n])
        };
        match (rule.of, &rule.with) {
            (RuleOf::Room(_), _) if rule.kind == RuleKind::SameInRoom => {
                // What most of the room states is meant, so that each counts for all.
                let inside: Vec<usize> = (0..scene.open.len()).filter(inside).collect();
                if inside.len() > 1 {
                    inside.iter().for_each(|n| core[*n] = true);
                    pairs.extend(inside.windows(2).map(|two| (two[0], two[1])));
                }
            }
            (RuleOf::Selection(own), Some(RuleWith::Fact(id, _))) => {
                if let (Some(a), Some(b)) = (place(own), place(*id))
                    && a != b
                {
                    (core[a], core[b]) = (true, true);
                    pairs.push((a, b));
                }
            }
            (RuleOf::Room(_) | RuleOf::House, Some(RuleWith::Fact(id, _))) => {
                let Some(with) = place(*id) else { continue };
                for n in (0..scene.open.len()).filter(|n| *n != with).filter(inside) {
                    core[with] = true;
                    pairs.push((with, n));
                }
            }
            _ => {}
        }
    }
    (core, pairs)
}

/// The rules, with what does not hold now.
pub struct Rules {
    none: bool,
    broken: Vec<(usize, Vec<SelectionId>)>,
}

impl Rules {
    pub fn new(project: &Project) -> Rules {
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
    pub fn judge(&self, scene: &Scene<'_>, picks: &[Pick], together: &[bool]) -> Judge<'_> {
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
pub struct Judge<'a> {
    rules: &'a Rules,
    with: Option<Project>,
    changed: Vec<SelectionId>,
    /// Whether these may be taken.
    pub core: bool,
}

impl Judge<'_> {
    /// Whether a pick of another selection may be taken beside them.
    pub fn leaf(&self, scene: &Scene<'_>, n: usize, pick: Pick) -> bool {
        let Some(with) = &self.with else { return true };
        let selection = &scene.project.selections[scene.open[n].at];
        let Some(option) = scene.option(n, pick) else { return true };
        let is_changed = |id: SelectionId| self.changed.contains(&id) || pick != STAY && id == selection.id;
        fits::of_option(with, selection.options[option].id).iter().all(|v| self.rules.holds(v, is_changed))
    }
}
