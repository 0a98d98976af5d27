//! Gates: which conditions are met, who is to meet the others and when that is expected, and how long phases that have
//! not begun are held by them.
//!
//! A gate bounds the forecast only; the plan knows nothing of it. What is missing is expected on its own day: a phase
//! at its forecast finish, a part at its expected arrival, a confirmation on its due day. The phase starts no earlier
//! than the latest of these. A part that holds the phase by itself already, as a delivery, is not counted again.
#![doc = include_str!("../../../assets/manual/gates.md")]

mod holds;
mod words;

pub use holds::{Holds, Reason, finish, strongest};
pub use words::condition_text;

use crate::engine::calendar::{Calendar, Day};
use crate::engine::corrections::expected;
use crate::engine::index::Index;
use crate::engine::order_after::Ties;
use crate::engine::parts::{PartFigures, SelectionFigures};
use crate::model::graph::Graph;
use crate::model::{
    Condition, Gate, Need, Part, PartId, Presence, Project, Scope, Selection, SelectionOption,
};
use std::collections::HashMap;

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
    /// Positions of conditions about the parts of a phase that has none: there is nothing yet that could be missing.
    pub unlisted: Vec<usize>,
    /// None of its conditions has anything to look at.
    pub nothing: bool,
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
    /// For a choice with parts that can be ordered only after a phase: the positions of all parts that are wanted of its
    /// candidates. They come when the forecast says.
    candidates: Vec<usize>,
}

impl Missing {
    /// For a choice with parts that can be ordered only after a phase: the positions of the parts that are wanted of its
    /// candidates.
    pub fn candidates(&self) -> &[usize] {
        &self.candidates
    }

    fn new(condition: usize, what: Lack, expected: Option<Day>, circle: bool) -> Missing {
        Missing { condition, what, expected, circle, candidates: Vec::new() }
    }
}

/// What is missing. Positions in the lists of the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
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
    /// Parts that can be ordered only after a phase.
    pub ties: &'a Ties,
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
        let missing = each_once(missing);
        let conditions = 0..gate.conditions.len();
        let unlisted: Vec<usize> = conditions.filter(|c| self.is_unlisted(&gate.conditions[*c])).collect();
        let nothing = unlisted.len() == gate.conditions.len();
        let passed_by =
            !missing.is_empty() && (phase.actual_start.is_some() || phase.finished_on().is_some());
        GateFigures { phase: Some(at), missing, days: 0, passed_by, unlisted, nothing }
    }

    /// Whether a condition asks for the parts of a phase that has none, of whatever option.
    fn is_unlisted(&mut self, condition: &Condition) -> bool {
        let Need::PartsOf { phase, .. } = condition.need else { return false };
        let Some(of) = self.facts.project.phase_at(phase) else { return false };
        self.of_phase.get_or_insert_with(|| by_phase(self.facts)).get(of).is_none_or(Vec::is_empty)
    }

    fn condition(&mut self, at: usize, c: usize, condition: &Condition, missing: &mut Vec<Missing>) {
        match &condition.need {
            Need::Finished(phase) => {
                let Some(phase) = self.facts.project.phase_at(*phase) else { return };
                if self.facts.project.phases[phase].finished_on().is_none()
                    && !self.is_passed_milestone(phase)
                {
                    let circle = !self.reach.add(phase, at);
                    missing.push(Missing::new(c, Lack::Phase(phase), None, circle));
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
                        missing.push(self.choice(at, c, s, &wanted));
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
                    missing.push(self.choice(at, c, s, &wanted));
                }
            }
            Need::Confirmed { said_on: None, .. } => {
                let day = expected(condition.by, self.facts.work, self.facts.as_of);
                missing.push(Missing::new(c, Lack::Word, Some(day), false));
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
        let mut lack = Missing::new(c, what, figures.expected, !self.waits(part, at));
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
            lack.circle |= !self.reach.add(phase, at);
        }
        Some(lack)
    }

    /// Notes that the phase of a gate waits for what a part is ordered after; whether it can.
    fn waits(&mut self, part: usize, at: usize) -> bool {
        let open = |after: &usize| self.facts.project.phases[*after].finished_on().is_none();
        match self.facts.ties.of(part).map(|tie| tie.after).filter(open) {
            Some(after) => self.reach.add(after, at),
            None => true,
        }
    }

    /// A choice that is to be made first: expected when the quickest candidate would come.
    fn choice(&mut self, at: usize, c: usize, selection: usize, wanted: &[usize]) -> Missing {
        let facts = self.facts;
        let day = quickest(facts.parts, wanted, |part| facts.parts[part].expected);
        let day = day.unwrap_or_else(|| expected(None, facts.work, facts.as_of));
        let mut missing = Missing::new(c, Lack::Choice(selection), Some(day), false);
        if wanted.iter().any(|part| facts.ties.of(*part).is_some()) {
            missing.circle = wanted.iter().any(|part| !self.waits(*part, at));
            missing.candidates = wanted.to_vec();
        }
        missing
    }
}

/// When the quickest of several options is complete, of whose parts these are wanted.
fn quickest(parts: &[PartFigures], wanted: &[usize], comes: impl Fn(usize) -> Option<Day>) -> Option<Day> {
    let mut slowest: Vec<(u32, Option<Day>)> = Vec::new();
    for &part in wanted {
        let option = parts[part].option;
        match slowest.iter_mut().find(|(known, _)| *known == option) {
            Some((_, day)) => *day = (*day).max(comes(part)),
            None => slowest.push((option, comes(part))),
        }
    }
    slowest.into_iter().filter_map(|(_, day)| day).min()
}

/// What several conditions miss is missing once, and expected on the latest of its days. Words are of their condition.
fn each_once(missing: Vec<Missing>) -> Vec<Missing> {
    let mut kept: Vec<Missing> = Vec::with_capacity(missing.len());
    let mut places: HashMap<Lack, usize> = HashMap::new();
    for lack in missing {
        let known = if lack.what == Lack::Word { None } else { places.get(&lack.what) };
        if let Some(known) = known.and_then(|at| kept.get_mut(*at)) {
            known.expected = known.expected.max(lack.expected);
            known.circle &= lack.circle;
        } else {
            places.insert(lack.what, kept.len());
            kept.push(lack);
        }
    }
    kept
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
