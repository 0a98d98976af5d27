//! What a part that comes late does to the finish as it is forecast now, not against a plan that has moved on.

use super::figures::Figures;
use super::forecast::costs::{self, Together};
use super::why::{self, Cause};
use crate::model::{Project, SelectionOption};

/// What a late part does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Without it the finish would be these working days sooner.
    Costs(i32),
    /// Alone it costs nothing; without it and the others the finish would be sooner.
    Together(Together),
    /// Something else holds its phase as long or longer.
    Anyway(Holder),
    /// It holds its phase, which has room.
    Room,
}

/// What holds a phase, by position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holder {
    /// A part.
    Part(usize),
    /// A gate.
    Gate(usize),
    /// A phase before it.
    Phase(usize),
    /// Its own dates: it has begun, or may not begin sooner.
    Itself,
}

/// What a part does, by position. `None` where nothing waits for it: it does not count, has come, or has no phase.
pub fn effect(project: &Project, figures: &Figures, part: usize) -> Option<Effect> {
    let f = figures.parts.get(part).filter(|f| f.may_be_late())?;
    let phase = f.phase? as usize;
    if f.costs_days > 0 {
        return Some(Effect::Costs(f.costs_days));
    }
    let holds = figures.phases.get(phase)?.held_by.iter().any(|held| held.part == part);
    let others = |facts: &_| costs::together(facts, &figures.forecast, part);
    if holds && let Some(together) = others(&figures.forecast_facts(project)) {
        return Some(Effect::Together(together));
    }
    if holds {
        return Some(Effect::Room);
    }
    Some(Effect::Anyway(holder(project, figures, phase)))
}

/// What holds a phase now: the first part or gate on the chain that fixes it, else the phase right before it.
fn holder(project: &Project, figures: &Figures, phase: usize) -> Holder {
    let chain = why::chain(project, figures, phase);
    let held = chain.iter().find_map(|step| match step.cause {
        Cause::Delivery { part, .. } => Some(Holder::Part(part)),
        Cause::Gate { gate, .. } => Some(Holder::Gate(gate)),
        _ => None,
    });
    let before = chain.get(1).map(|step| Holder::Phase(step.phase));
    held.or(before).unwrap_or(Holder::Itself)
}

impl Holder {
    /// Its name: of a part with its selection where that differs. `None` for the phase itself.
    pub fn name(self, project: &Project, figures: &Figures) -> Option<String> {
        match self {
            Holder::Part(at) => part_name(project, figures, at),
            Holder::Gate(at) => project.gates.get(at).map(|g| g.name.clone()),
            Holder::Phase(at) => project.phases.get(at).map(|p| p.name.clone()),
            Holder::Itself => None,
        }
    }
}

/// The name of the part at a position, with its selection where that has another name.
pub fn part_name(project: &Project, figures: &Figures, at: usize) -> Option<String> {
    let f = figures.parts.get(at)?;
    let selection = project.selections.get(f.selection as usize)?;
    let part = selection.options.get(f.option as usize)?.parts.iter().find(|p| p.id == f.id)?;
    Some(match part.name == selection.name {
        true => selection.name.clone(),
        false => format!("{} of {}", part.name, selection.name),
    })
}

/// What a late part does, in words: `costs the finish 4 working days`.
pub fn words(project: &Project, figures: &Figures, part: usize) -> Option<String> {
    let days = |n: i32| crate::model::words::count(n, "working day");
    let f = figures.parts.get(part)?;
    let phase = project.phases.get(f.phase? as usize)?;
    Some(match effect(project, figures, part)? {
        Effect::Costs(n) => format!("costs the finish {}", days(n)),
        Effect::Together(together) => {
            let names = together.others.iter().filter_map(|at| part_name(project, figures, *at));
            let names: Vec<String> = names.collect();
            format!(
                "alone costs no day, but without {} too {} would be won",
                join(&names),
                days(together.days)
            )
        }
        Effect::Anyway(holder) => match holder.name(project, figures) {
            Some(name) => format!("costs no day: {name} holds {} anyway", phase.name),
            None => format!("costs no day: {} waits for other dates anyway", phase.name),
        },
        Effect::Room => format!("costs no day: {} has room", phase.name),
    })
}

/// What must be changed together with an option that counts for its late parts to win days, in words: `changing Wall
/// cabinets too would win 5 working days`. `None` where they win days alone, or none.
pub fn together_words(project: &Project, figures: &Figures, option: &SelectionOption) -> Option<String> {
    let parts = option.parts.iter().filter_map(|p| figures.index.of(p.id.0));
    let together = parts.filter_map(|at| match effect(project, figures, at)? {
        Effect::Together(together) => Some(together),
        _ => None,
    });
    let best = together.max_by_key(|together| together.days)?;
    let names: Vec<String> = best.others.iter().filter_map(|at| part_name(project, figures, *at)).collect();
    let days = crate::model::words::count(best.days, "working day");
    Some(format!("changing {} too would win {days}", join(&names)))
}

/// Names in a row: `a`, `a and b`, `a, b and c`.
pub(in crate::engine) fn join(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
