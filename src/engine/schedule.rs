//! Plan and forecast: the network without and with deliveries, turned into dates.

use super::calendar::{Calendar, Day};
use super::days::Days;
use super::figures::{Held, PartFigures, PhaseFigures};
use super::gates::{self, GateFigures, HeldByGate, Holds};
use super::network::{Early, Late, Network, Progress};
use crate::model::{NeededAt, Phase, Project};

/// The network without deliveries, with both backward passes.
pub struct Plan<'a> {
    project: &'a Project,
    work: Calendar<'a>,
    network: Network<'a>,
    early: Vec<Option<Early>>,
    late: Vec<Option<Late>>,
    free: Vec<Option<i32>>,
    target: Option<Vec<Option<Late>>>,
}

impl<'a> Plan<'a> {
    /// Plans the phases of a project as they stand on a day.
    pub fn new(project: &'a Project, days: &'a Days, as_of: Day) -> Plan<'a> {
        let work = days.work();
        let network = Network::new(project, work, as_of);
        let early = network.forward(None);
        let end = Network::end(&early).unwrap_or(0);
        let late = network.backward(&early, |_| end);
        let free = network.free_float(&early);
        let target = project.settings.target_finish.map(|day| {
            let last = work.index_back(Day::from(day));
            network.backward(&early, |days| if days == 0 { last } else { last + 1 })
        });
        Plan { project, work, network, early, late, free, target }
    }

    /// The last day of the plan.
    pub fn finish(&self) -> Option<Day> {
        latest_finish(self.project, self.work, &self.network, &self.early)
    }

    /// The day a part must be on site for a phase at its early dates.
    pub fn need_day(&self, phase: usize, at: NeededAt, hold: i32) -> Option<Day> {
        let early = self.early.get(phase).copied().flatten()?;
        Some(self.needed(phase, early.start, early.finish, at, hold))
    }

    /// The same at its late dates.
    pub fn late_need_day(&self, phase: usize, at: NeededAt, hold: i32) -> Option<Day> {
        let late = self.late.get(phase).copied().flatten()?;
        Some(self.needed(phase, late.start, late.finish, at, hold))
    }

    fn needed(&self, phase: usize, start: i32, finish: i32, at: NeededAt, hold: i32) -> Day {
        let index = match at {
            NeededAt::Start => start,
            NeededAt::Finish if self.network.duration(phase) == 0 => finish,
            NeededAt::Finish => finish - 1,
        };
        self.work.day(index.saturating_sub(hold))
    }
}

/// The outcome of the pass with deliveries.
pub struct Forecast {
    early: Vec<Option<Early>>,
    held: Vec<(i32, Vec<Held>)>,
    held_by_gates: Vec<(i32, Vec<HeldByGate>)>,
    /// The last day.
    pub finish: Option<Day>,
    /// Working days later than the plan.
    pub days_lost: Option<i32>,
}

/// The two strongest delivery bounds on a phase, and the parts at the strongest.
#[derive(Clone, Default)]
struct PhaseBounds {
    strongest: Option<i32>,
    second: Option<i32>,
    parts: Vec<usize>,
}

impl PhaseBounds {
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

/// The pass with deliveries and gates: each phase also waits for its parts that count, and for its gates. Notes in
/// `gates` what each of them costs.
pub fn forecast(
    project: &Project,
    days: &Days,
    plan: &Plan<'_>,
    parts: &[PartFigures],
    gates: &mut [GateFigures],
) -> Forecast {
    let work = days.work();
    let mut bounds: Vec<PhaseBounds> = vec![PhaseBounds::default(); project.phases.len()];
    for (at, figures) in parts.iter().enumerate() {
        let Some(phase) = figures.phase.map(|p| p as usize).filter(|_| figures.live) else { continue };
        if figures.built_in {
            continue;
        }
        let usable = work.index(figures.arrival).saturating_add(figures.hold);
        let length = plan.network.duration(phase);
        let bound = match (plan.network.progress(phase), figures.at) {
            (Progress::Ahead { .. }, NeededAt::Start) => usable,
            (Progress::Ahead { .. }, NeededAt::Finish) if length == 0 => usable,
            (Progress::Ahead { .. }, NeededAt::Finish) => usable + 1 - length,
            (Progress::UnderWay { .. }, NeededAt::Finish) => usable + 1,
            _ => continue,
        };
        bounds[phase].note(at, bound);
    }
    let strongest: Vec<Option<i32>> = bounds.iter().map(|b| b.strongest).collect();
    let network = &plan.network;
    let (early, of_gates) = Holds::new(gates, parts, work).settle(
        |phase| network.progress(phase),
        &strongest,
        |bounds| network.forward(Some(bounds)),
    );
    let by_gates = gates::strongest(gates, &of_gates, early.len());
    let held = bounds
        .into_iter()
        .zip(&early)
        .zip(&by_gates)
        .map(|((bound, early), gates)| match (bound.strongest, early) {
            (Some(top), Some(early)) if top > early.unheld.max(gates[0].unwrap_or(i32::MIN)) => {
                let without = early.unheld.max(gates[0].unwrap_or(i32::MIN));
                let days = top - without.max(bound.second.unwrap_or(i32::MIN));
                let parts = bound.parts.iter().map(|part| Held { part: *part, days }).collect();
                (top - without, parts)
            }
            _ => (0, Vec::new()),
        })
        .collect();
    // Gates cost what they bound beyond links and deliveries.
    let without = |i: usize| early[i].map(|e| e.unheld.max(strongest[i].unwrap_or(i32::MIN)));
    let finish_day = |i: usize| {
        early[i].map(|e| shown_dates(&project.phases[i], work, network.progress(i), e.start, e.finish).1)
    };
    gates::finish(gates, &of_gates, early.len(), without, finish_day, parts);
    let held_by_gates = by_gates
        .iter()
        .enumerate()
        .map(|(i, [top, _])| match top.zip(without(i)) {
            Some((top, without)) if top > without => {
                let holding = gates.iter().zip(&of_gates).enumerate();
                let holding = holding.filter(|(_, (g, b))| g.phase == Some(i) && **b == Some(top));
                (top - without, holding.map(|(gate, (g, _))| HeldByGate { gate, days: g.days }).collect())
            }
            _ => (0, Vec::new()),
        })
        .collect();
    let days_lost = Network::end(&early).zip(Network::end(&plan.early)).map(|(f, p)| f - p);
    let finish = latest_finish(project, work, &plan.network, &early);
    Forecast { early, held, held_by_gates, finish, days_lost }
}

/// Puts plan and forecast together by phase.
pub fn phase_figures(plan: &Plan<'_>, forecast: Forecast) -> Vec<PhaseFigures> {
    let mut held = forecast.held.into_iter();
    let mut by_gates = forecast.held_by_gates.into_iter();
    plan.project
        .phases
        .iter()
        .enumerate()
        .map(|(i, phase)| {
            let (held_days, held_by) = held.next().unwrap_or_default();
            let (gate_days, held_by_gates) = by_gates.next().unwrap_or_default();
            let Some(early) = plan.early[i] else { return PhaseFigures::default() };
            let later = forecast.early[i].unwrap_or(early);
            let late = plan.late[i];
            let (start, finish) = plan.shown(i, phase, early.start, early.finish);
            let (forecast_start, forecast_finish) = plan.shown(i, phase, later.start, later.finish);
            let (late_start, late_finish) = late
                .map(|l| plan.shown(i, phase, l.start, l.finish))
                .map_or((None, None), |(s, f)| (Some(s), Some(f)));
            let total_float = late.and_then(|l| l.total_float);
            PhaseFigures {
                early_start: Some(start),
                early_finish: Some(finish),
                late_start,
                late_finish,
                total_float,
                free_float: plan.free[i],
                target_float: plan.target.as_ref().and_then(|t| t[i]).and_then(|l| l.total_float),
                critical: total_float.is_some_and(|float| float <= 0),
                forecast_start: Some(forecast_start),
                forecast_finish: Some(forecast_finish),
                held_days,
                held_by,
                gate_days,
                held_by_gates,
            }
        })
        .collect()
}

impl Plan<'_> {
    fn shown(&self, i: usize, phase: &Phase, start: i32, finish: i32) -> (Day, Day) {
        shown_dates(phase, self.work, self.network.progress(i), start, finish)
    }
}

/// The first and the last day worked. Actual dates are shown as they are, also on days off; a phase of no days shows
/// its start for both.
fn shown_dates(phase: &Phase, work: Calendar<'_>, progress: Progress, start: i32, finish: i32) -> (Day, Day) {
    let first = phase.actual_start.map(Day::from);
    match progress {
        Progress::Finished { last_day, .. } => {
            (first.unwrap_or_else(|| work.day(start).min(last_day)), last_day)
        }
        Progress::UnderWay { .. } => {
            let first = first.unwrap_or_else(|| work.day(start));
            (first, work.day(finish - 1).max(first))
        }
        _ if start == finish => (work.day(start), work.day(start)),
        _ => (work.day(start), work.day(finish - 1)),
    }
}

fn latest_finish(
    project: &Project,
    work: Calendar<'_>,
    network: &Network<'_>,
    early: &[Option<Early>],
) -> Option<Day> {
    early
        .iter()
        .enumerate()
        .filter_map(|(i, e)| {
            let e = (*e)?;
            Some(shown_dates(&project.phases[i], work, network.progress(i), e.start, e.finish).1)
        })
        .max()
}
