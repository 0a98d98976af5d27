//! The forecast: the network once more with deliveries and gates, and what each phase shows of plan and forecast.
#![doc = include_str!("../../assets/manual/forecast.md")]

use super::calendar::{Calendar, Day};
use super::gates::{self, GateFigures, HeldByGate, Holds};
use super::network::{Early, Network, Progress};
use super::parts::PartFigures;
use super::plan::{Plan, latest_finish};
use crate::model::{NeededAt, Project};
use smallvec::SmallVec;

/// Figures of a phase. Dates are `None` on or behind a circle of links, or with a negative duration.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PhaseFigures {
    /// First day in the plan; the actual one once begun.
    pub early_start: Option<Day>,
    /// Last day in the plan; the actual one once finished.
    pub early_finish: Option<Day>,
    /// Latest first day that keeps the end.
    pub late_start: Option<Day>,
    /// Latest last day that keeps the end.
    pub late_finish: Option<Day>,
    /// Working days it can slip without moving the end. `None` once finished.
    pub total_float: Option<i32>,
    /// Working days it can slip without moving anything.
    pub free_float: Option<i32>,
    /// Total float against the target finish; negative when the target cannot be met.
    pub target_float: Option<i32>,
    /// Total float of zero or less.
    pub critical: bool,
    /// First day with deliveries as they are expected.
    pub forecast_start: Option<Day>,
    /// Last day with deliveries as they are expected.
    pub forecast_finish: Option<Day>,
    /// Working days all deliveries together cost this phase, beyond what comes from before it.
    pub held_days: i32,
    /// The parts whose arrival fixes it, each with the days that would be won without that one part. Two parts that
    /// arrive together are charged nothing each, since taking one away would not help.
    pub held_by: Vec<Held>,
    /// Working days that gates which are not ready cost this phase, beyond what comes from before it and its deliveries.
    pub gate_days: i32,
    /// The gates that cost them, each with the days that would be won without that one.
    pub held_by_gates: Vec<HeldByGate>,
}

/// A part that holds a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Position of the part.
    pub part: usize,
    /// Working days won without it.
    pub days: i32,
}

/// The two strongest delivery bounds on a phase, and the parts at the strongest.
#[derive(Debug, Clone, Default)]
struct PhaseBounds {
    strongest: Option<i32>,
    second: Option<i32>,
    parts: SmallVec<[usize; 2]>,
}

impl PhaseBounds {
    /// Takes note of a part that bounds the phase.
    fn note(&mut self, part: usize, bound: i32) {
        match self.strongest {
            Some(top) if bound < top => self.second = self.second.max(Some(bound)),
            Some(top) if bound == top => {
                self.second = Some(bound);
                self.parts.push(part);
            }
            top => {
                self.second = top;
                self.strongest = Some(bound);
                self.parts.clear();
                self.parts.push(part);
            }
        }
    }
}

/// The phase that a part holds and its bound: an early start, or once begun an early finish. `None` for a part
/// that holds nothing: it does not count, is built in, or its phase has what it needs it for behind it.
fn delivery_bound(plan: &Plan, work: Calendar<'_>, part: &PartFigures) -> Option<(usize, i32)> {
    let phase = part.phase.filter(|_| part.live && !part.built_in)? as usize;
    let usable = work.index(part.expected?).saturating_add(part.hold);
    let length = plan.network.duration(phase);
    let bound = match (plan.network.progress(phase), part.at) {
        (Progress::Ahead { .. }, NeededAt::Start) => usable,
        (Progress::Ahead { .. }, NeededAt::Finish) if length == 0 => usable,
        (Progress::Ahead { .. }, NeededAt::Finish) => usable + 1 - length,
        (Progress::UnderWay { .. }, NeededAt::Finish) => usable + 1,
        _ => return None,
    };
    Some((phase, bound))
}

/// The pass with deliveries and gates: each phase also waits for its parts that count, and for its gates.
#[derive(Debug, Clone, Default)]
pub struct Forecast {
    /// What deliveries ask of each phase.
    bounds: Vec<PhaseBounds>,
    early: Vec<Option<Early>>,
    /// The lowest start that each gate allows its phase.
    of_gates: Vec<Option<i32>>,
    /// By phase, the strongest of these and the second; empty without gates.
    by_gates: Vec<[Option<i32>; 2]>,
}

impl Forecast {
    /// Makes the pass over all parts, with gates as they were read.
    pub fn new(plan: &Plan, work: Calendar<'_>, parts: &[PartFigures], gates: &[GateFigures]) -> Forecast {
        let mut bounds = vec![PhaseBounds::default(); plan.network.len()];
        for (at, figures) in parts.iter().enumerate() {
            if let Some((phase, bound)) = delivery_bound(plan, work, figures) {
                bounds[phase].note(at, bound);
            }
        }
        let strongest: Vec<Option<i32>> = bounds.iter().map(|b| b.strongest).collect();
        let (early, of_gates) = Holds::new(gates, parts, work).settle(
            |phase| plan.network.progress(phase),
            &strongest,
            |bounds| plan.network.forward(work, Some(bounds)),
        );
        let by_gates = gates::strongest(gates, &of_gates, early.len());
        Forecast { bounds, early, of_gates, by_gates }
    }

    /// Writes into gates what they cost and when what they miss is expected.
    pub fn finish_gates(
        &self,
        plan: &Plan,
        project: &Project,
        work: Calendar<'_>,
        parts: &[PartFigures],
        gates: &mut [GateFigures],
    ) {
        let finish_day =
            |i: usize| self.early[i].map(|e| plan.shown(work, i, &project.phases[i], e.start, e.finish).1);
        gates::finish(gates, &self.of_gates, &self.by_gates, |i| self.without_gates(i), finish_day, parts);
    }

    /// The start a phase would have without its gates.
    fn without_gates(&self, phase: usize) -> Option<i32> {
        let delivery = self.bounds[phase].strongest.unwrap_or(i32::MIN);
        self.early[phase].map(|e| e.unheld.max(delivery))
    }

    /// The strongest bound of the gates of a phase.
    fn gate_bound(&self, phase: usize) -> Option<i32> {
        self.by_gates.get(phase).and_then(|top| top[0])
    }

    /// Working days that the gates of a phase cost it beyond its deliveries, and what each of those that do costs alone.
    fn held_by_gates(&self, phase: usize, gates: &[GateFigures]) -> (i32, Vec<HeldByGate>) {
        match self.gate_bound(phase).zip(self.without_gates(phase)) {
            Some((top, without)) if top > without => {
                let holding = gates.iter().zip(&self.of_gates).enumerate();
                let holding = holding.filter(|(_, (g, b))| g.phase == Some(phase) && **b == Some(top));
                let holding = holding.map(|(gate, (g, _))| HeldByGate { gate, days: g.days });
                (top - without, holding.collect())
            }
            _ => (0, Vec::new()),
        }
    }

    /// Working days later than the plan.
    pub fn days_lost(&self, plan: &Plan) -> Option<i32> {
        Network::end(&self.early).zip(Network::end(&plan.early)).map(|(f, p)| f - p)
    }

    /// The last day.
    pub fn finish(&self, plan: &Plan, project: &Project, work: Calendar<'_>) -> Option<Day> {
        latest_finish(project, work, &plan.network, &self.early)
    }

    /// Working days that all deliveries together cost a phase, and what each of those that fix it costs alone.
    fn held(&self, phase: usize) -> (i32, Vec<Held>) {
        let bound = &self.bounds[phase];
        let gate = self.gate_bound(phase).unwrap_or(i32::MIN);
        match (bound.strongest, self.early[phase]) {
            (Some(top), Some(early)) if top > early.unheld.max(gate) => {
                let without = early.unheld.max(gate);
                let days = top - without.max(bound.second.unwrap_or(i32::MIN));
                let parts = bound.parts.iter().map(|part| Held { part: *part, days }).collect();
                (top - without, parts)
            }
            _ => (0, Vec::new()),
        }
    }

    /// Writes the figures of a phase that hang on deliveries and gates, the latter finished.
    fn write(
        &self,
        plan: &Plan,
        project: &Project,
        work: Calendar<'_>,
        gates: &[GateFigures],
        phase: usize,
        figures: &mut PhaseFigures,
    ) {
        let Some(early) = plan.early[phase] else { return };
        let later = self.early[phase].unwrap_or(early);
        let (start, finish) = plan.shown(work, phase, &project.phases[phase], later.start, later.finish);
        figures.forecast_start = Some(start);
        figures.forecast_finish = Some(finish);
        (figures.held_days, figures.held_by) = self.held(phase);
        (figures.gate_days, figures.held_by_gates) = self.held_by_gates(phase, gates);
    }
}

/// Puts plan and forecast together by phase.
pub fn phase_figures(
    plan: &Plan,
    forecast: &Forecast,
    project: &Project,
    work: Calendar<'_>,
    gates: &[GateFigures],
) -> Vec<PhaseFigures> {
    let figures = |(i, phase)| {
        let Some(early) = plan.early[i] else { return PhaseFigures::default() };
        let late = plan.late[i];
        let (start, finish) = plan.shown(work, i, phase, early.start, early.finish);
        let (late_start, late_finish) = late
            .map(|l| plan.shown(work, i, phase, l.start, l.finish))
            .map_or((None, None), |(s, f)| (Some(s), Some(f)));
        let total_float = late.and_then(|l| l.total_float);
        let mut figures = PhaseFigures {
            early_start: Some(start),
            early_finish: Some(finish),
            late_start,
            late_finish,
            total_float,
            free_float: plan.free[i],
            target_float: plan.target.as_ref().and_then(|t| t[i]).and_then(|l| l.total_float),
            critical: total_float.is_some_and(|float| float <= 0),
            ..PhaseFigures::default()
        };
        forecast.write(plan, project, work, gates, i, &mut figures);
        figures
    };
    project.phases.iter().enumerate().map(figures).collect()
}
