//! Gates: which conditions are met, who is to meet the others and when that is expected, and how long phases that have
//! not begun are held by them.
//!
//! A gate bounds the forecast only; the plan knows nothing of it. What is missing is expected on its own day: a phase
//! at its forecast finish, a part at its expected arrival, a confirmation on its due day. The phase starts no earlier
//! than the latest of these. A part that holds the phase by itself already, as a delivery, is not counted again.
#![doc = include_str!("../../../assets/manual/gates.md")]

mod words;

pub use words::condition_text;

use crate::engine::calendar::{Calendar, Day};
use crate::engine::corrections::expected;
use crate::engine::index::Index;
use crate::engine::network::{Early, Progress};
use crate::engine::parts::{PartFigures, SelectionFigures};
use crate::model::graph::Graph;
use crate::model::{
    Condition, Gate, Need, NeededAt, Part, PartId, Presence, Project, Scope, Selection, SelectionOption,
};

/// A gate as it stands on the as-of day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct GateFigures {
    /// Position of the phase that waits.
    pub phase: Option<usize>,
    /// What is not true yet; nothing when the gate is ready.
    pub missing: Vec<Missing>,
    /// Working days that the phase would start sooner without this gate.
    pub days: i32,
    /// The phase has begun or is finished all the same.
    pub passed_by: bool,
}

impl GateFigures {
    /// Whether everything is true.
    pub fn is_ready(&self) -> bool {
        self.missing.is_empty()
    }

    /// The latest day on which something missing is expected.
    pub fn expected(&self) -> Option<Day> {
        self.missing.iter().filter_map(|m| m.expected).max()
    }
}

/// Something that is not true yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Position of the condition in its gate.
    pub condition: usize,
    /// What is missing.
    pub what: Lack,
    /// The day it is expected; `None` when that cannot be computed.
    pub expected: Option<Day>,
    /// It would close a circle of waiting, so that it holds nothing.
    pub circle: bool,
}

/// What is missing. Positions in the lists of the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// A phase is not finished.
    Phase(usize),
    /// A part is not there, or not built in.
    Part(PartAt, Presence),
    /// Nothing counts yet for a selection: it is to be decided.
    Choice(usize),
    /// Nobody has said so.
    Word,
}

/// Where a part is: among all parts, and its selection and option.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartAt {
    /// Position among the parts of the figures.
    pub at: usize,
    /// Position of its selection.
    selection: u32,
    /// Position of its option.
    option: u32,
    /// Its number.
    id: PartId,
    /// Whether all of it is on site.
    pub on_site: bool,
    /// Whether it is ordered.
    pub ordered: bool,
}

impl PartAt {
    /// The part in the document.
    pub fn of(self, project: &Project) -> Option<(&Selection, &SelectionOption, &Part)> {
        let selection = project.selections.get(self.selection as usize)?;
        let option = selection.options.get(self.option as usize)?;
        Some((selection, option, option.parts.iter().find(|p| p.id == self.id)?))
    }
}

/// A gate that holds a phase, with the working days won without it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeldByGate {
    /// Position of the gate.
    pub gate: usize,
    /// Working days.
    pub days: i32,
}

/// What has been computed before gates are read.
pub struct Facts<'a> {
    /// The document.
    pub project: &'a Project,
    /// Positions by number.
    pub index: &'a Index,
    /// Selections.
    pub selections: &'a [SelectionFigures],
    /// Parts, with their arrivals.
    pub parts: &'a [PartFigures],
    /// The working days of the house.
    pub work: Calendar<'a>,
    /// The as-of day.
    pub as_of: Day,
}

/// Reads what each gate waits for.
pub fn read(facts: &Facts<'_>) -> Vec<GateFigures> {
    let project = facts.project;
    if project.gates.is_empty() {
        return Vec::new();
    }
    let mut reader = Reader { facts, reach: Graph::new(project), of_phase: None };
    project.gates.iter().map(|gate| reader.gate(gate)).collect()
}

struct Reader<'a> {
    facts: &'a Facts<'a>,
    reach: Graph,
    of_phase: Option<Vec<Vec<usize>>>,
}

impl Reader<'_> {
    fn gate(&mut self, gate: &Gate) -> GateFigures {
        let Some(at) = self.facts.project.phase_at(gate.phase) else { return GateFigures::default() };
        let phase = &self.facts.project.phases[at];
        let mut missing = Vec::new();
        for (c, condition) in gate.conditions.iter().enumerate() {
            self.condition(at, c, condition, &mut missing);
        }
        let passed_by =
            !missing.is_empty() && (phase.actual_start.is_some() || phase.finished_on().is_some());
        GateFigures { phase: Some(at), missing, days: 0, passed_by }
    }

    fn condition(&mut self, at: usize, c: usize, condition: &Condition, missing: &mut Vec<Missing>) {
        match &condition.need {
            Need::Finished(phase) => {
                let Some(phase) = self.facts.project.phase_at(*phase) else { return };
                if self.facts.project.phases[phase].finished_on().is_none()
                    && !self.is_passed_milestone(phase)
                {
                    let circle = !self.reach.add(phase, at);
                    missing.push(Missing { condition: c, what: Lack::Phase(phase), expected: None, circle });
                }
            }
            Need::Part { part, presence } => {
                if let Some(part) = self.facts.index.of(part.0) {
                    missing.extend(self.part(at, c, part, *presence));
                }
            }
            Need::Selection { selection, scope, presence } => {
                let Some(s) = self.facts.index.of(selection.0) else { return };
                let Some(figures) = self.facts.selections.get(s) else { return };
                let range = figures.first_part..figures.end_part;
                let before = (*scope == Scope::SoFar).then(|| self.reach.before(at));
                let wanted = |part: &usize| match &before {
                    Some(before) => self.facts.parts[*part].phase.is_none_or(|p| before[p as usize]),
                    None => true,
                };
                let wanted: Vec<usize> = range.filter(wanted).collect();
                if figures.live.is_none() {
                    // Nothing to decide yet when all that the candidates bring is needed later.
                    if !wanted.is_empty() || figures.first_part == figures.end_part {
                        missing.push(self.choice(c, s, &wanted));
                    }
                    return;
                }
                for part in wanted.into_iter().filter(|p| self.facts.parts[*p].live) {
                    missing.extend(self.part(at, c, part, *presence));
                }
            }
            Need::PartsOf { phase, presence } => {
                let Some(of) = self.facts.project.phase_at(*phase) else { return };
                let lists = self.of_phase.get_or_insert_with(|| by_phase(self.facts));
                let (parts, open) = sort_out(self.facts, lists[of].iter().copied());
                for part in parts {
                    missing.extend(self.part(at, c, part, *presence));
                }
                for s in open {
                    let figures = &self.facts.selections[s];
                    let needed = |p: &usize| self.facts.parts[*p].phase == Some(of as u32);
                    let wanted: Vec<usize> = (figures.first_part..figures.end_part).filter(needed).collect();
                    missing.push(self.choice(c, s, &wanted));
                }
            }
            Need::Confirmed { said_on: None, .. } => {
                let day = expected(condition.by, self.facts.work, self.facts.as_of);
                missing.push(Missing { condition: c, what: Lack::Word, expected: Some(day), circle: false });
            }
            Need::Confirmed { said_on: Some(_), .. } => {}
        }
    }

    /// A milestone is past when it has begun.
    fn is_passed_milestone(&self, phase: usize) -> bool {
        let phase = &self.facts.project.phases[phase];
        phase.kind == crate::model::PhaseKind::Milestone && phase.actual_start.is_some()
    }

    /// What is missing of a part; what is to be built in also waits for the phase that does it.
    fn part(&mut self, at: usize, c: usize, part: usize, presence: Presence) -> Option<Missing> {
        let figures = self.facts.parts.get(part)?;
        let place = PartAt {
            at: part,
            selection: figures.selection,
            option: figures.option,
            id: figures.id,
            on_site: figures.on_site,
            ordered: figures.placed.is_some(),
        };
        let here = figures.placed.is_some() && figures.on_site;
        let what = Lack::Part(place, presence);
        let mut lack = Missing { condition: c, what, expected: figures.expected, circle: false };
        if presence == Presence::OnSite {
            return (!here).then_some(lack);
        }
        if figures.built_in {
            return None;
        }
        let soon = self.facts.work.roll_forward(self.facts.as_of.plus(1));
        lack.expected = if here { Some(soon) } else { figures.expected.map(|day| day.max(soon)) };
        if let Some(phase) = figures.phase.map(|p| p as usize)
            && self.facts.project.phases[phase].finished_on().is_none()
        {
            lack.circle = !self.reach.add(phase, at);
        }
        Some(lack)
    }

    /// A choice that is to be made first: expected when the quickest candidate would come.
    fn choice(&self, c: usize, selection: usize, wanted: &[usize]) -> Missing {
        let mut slowest: Vec<(u32, Option<Day>)> = Vec::new();
        for part in wanted {
            let figures = &self.facts.parts[*part];
            match slowest.iter_mut().find(|(option, _)| *option == figures.option) {
                Some((_, day)) => *day = (*day).max(figures.expected),
                None => slowest.push((figures.option, figures.expected)),
            }
        }
        let quickest = slowest.into_iter().filter_map(|(_, day)| day).min();
        let day = quickest.unwrap_or_else(|| expected(None, self.facts.work, self.facts.as_of));
        Missing { condition: c, what: Lack::Choice(selection), expected: Some(day), circle: false }
    }
}

/// The parts of each phase.
fn by_phase(facts: &Facts<'_>) -> Vec<Vec<usize>> {
    let mut lists = vec![Vec::new(); facts.project.phases.len()];
    for (at, part) in facts.parts.iter().enumerate() {
        if let Some(list) = part.phase.and_then(|p| lists.get_mut(p as usize)) {
            list.push(at);
        }
    }
    lists
}

/// Of the parts of a phase: those that count, and the selections without a choice that the others are candidates for.
fn sort_out(facts: &Facts<'_>, of_phase: impl Iterator<Item = usize>) -> (Vec<usize>, Vec<usize>) {
    let (mut parts, mut open) = (Vec::new(), Vec::new());
    for at in of_phase {
        let part = &facts.parts[at];
        let selection = part.selection as usize;
        if part.live {
            parts.push(at);
        } else if facts.selections[selection].live.is_none() && open.last() != Some(&selection) {
            open.push(selection);
        }
    }
    (parts, open)
}

/// The bounds that gates put on phases that have not begun.
pub struct Holds<'a> {
    gates: &'a [GateFigures],
    parts: &'a [PartFigures],
    work: Calendar<'a>,
}

impl<'a> Holds<'a> {
    /// Bounds from gates as [`read`].
    pub fn new(gates: &'a [GateFigures], parts: &'a [PartFigures], work: Calendar<'a>) -> Holds<'a> {
        Holds { gates, parts, work }
    }

    /// The lowest start that a gate allows its phase, with other phases as they are in a pass. `None` where the gate
    /// is ready, or waits for nothing but what holds the phase anyhow.
    fn bound(&self, gate: &GateFigures, early: &[Option<Early>]) -> Option<i32> {
        let at = gate.phase?;
        gate.missing
            .iter()
            .filter(|m| !m.circle)
            .filter_map(|m| match m.what {
                Lack::Phase(phase) => early[phase].map(|e| e.finish),
                Lack::Part(part, presence) => {
                    let own = &self.parts[part.at];
                    let arrives = m.expected.map(|d| self.work.index(d));
                    let holds_anyhow = own.live && own.phase == Some(at as u32) && own.at == NeededAt::Start;
                    match presence {
                        Presence::OnSite if holds_anyhow => None,
                        Presence::OnSite => arrives,
                        Presence::BuiltIn => {
                            let worked = own.phase.and_then(|p| early[p as usize]).map(|e| e.finish);
                            arrives.max(worked)
                        }
                    }
                }
                Lack::Choice(_) | Lack::Word => m.expected.map(|d| self.work.index(d)),
            })
            .max()
    }

    /// Runs forward passes until the bounds that gates take from other phases settle. There are no circles in them, so
    /// each pass settles one more gate of a chain at least; most projects need one or two passes. Gives the last pass and
    /// the bound of each gate.
    pub fn settle(
        &self,
        progress: impl Fn(usize) -> Progress,
        deliveries: &[Option<i32>],
        forward: impl Fn(&[Option<i32>]) -> Vec<Option<Early>>,
    ) -> (Vec<Option<Early>>, Vec<Option<i32>>) {
        let mut early = forward(deliveries);
        let mut of_gates = vec![None; self.gates.len()];
        for _ in 0..=self.gates.len() {
            let ahead = |gate: &GateFigures| {
                gate.phase.is_some_and(|at| matches!(progress(at), Progress::Ahead { .. }))
            };
            let bounds: Vec<Option<i32>> = self
                .gates
                .iter()
                .map(|gate| if ahead(gate) { self.bound(gate, &early) } else { None })
                .collect();
            let binds = |(gate, bound): (&GateFigures, &Option<i32>)| {
                let start = gate.phase.and_then(|at| early[at]).map(|e| e.start);
                bound.is_some_and(|b| start.is_some_and(|s| b > s))
            };
            let settled = !self.gates.iter().zip(&bounds).any(binds);
            of_gates = bounds;
            if settled {
                break;
            }
            let mut all = deliveries.to_vec();
            for (gate, bound) in self.gates.iter().zip(&of_gates) {
                if let Some(at) = gate.phase {
                    all[at] = all[at].max(*bound);
                }
            }
            early = forward(&all);
        }
        (early, of_gates)
    }
}

/// By phase: the strongest bound of its gates and the second. Empty without gates.
pub fn strongest(gates: &[GateFigures], bounds: &[Option<i32>], phases: usize) -> Vec<[Option<i32>; 2]> {
    if gates.is_empty() {
        return Vec::new();
    }
    let mut found = vec![[None; 2]; phases];
    for (gate, bound) in gates.iter().zip(bounds) {
        let Some([first, second]) = gate.phase.and_then(|at| found.get_mut(at)) else { continue };
        if *bound > *first {
            *second = *first;
            *first = *bound;
        } else {
            *second = (*second).max(*bound);
        }
    }
    found
}

/// Notes the working days each gate costs and the days on which missing phases are expected to be finished.
///
/// `top` is what [`strongest`] gave, `others` gives for a phase the start it would have without gates.
pub fn finish(
    gates: &mut [GateFigures],
    bounds: &[Option<i32>],
    top: &[[Option<i32>; 2]],
    others: impl Fn(usize) -> Option<i32>,
    finish_day: impl Fn(usize) -> Option<Day>,
    parts: &[PartFigures],
) {
    for (gate, bound) in gates.iter_mut().zip(bounds) {
        let Some(at) = gate.phase else { continue };
        if let (Some(bound), Some(without)) = (*bound, others(at)) {
            let [first, second] = top[at];
            let rest = if Some(bound) == first { second } else { first };
            gate.days = (bound - without.max(rest.unwrap_or(i32::MIN))).max(0);
        }
        for missing in &mut gate.missing {
            match missing.what {
                Lack::Phase(phase) => missing.expected = finish_day(phase),
                Lack::Part(part, Presence::BuiltIn) => {
                    let phase = parts[part.at].phase.map(|p| p as usize);
                    missing.expected =
                        missing.expected.max(phase.and_then(&finish_day).filter(|_| !missing.circle));
                }
                _ => {}
            }
        }
    }
}
