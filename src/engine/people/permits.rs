//! Permits: what waits for one that is not there, and what outlasts one that is.

use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::model::{Permit, Phase, Project};

use super::is_ahead;

/// How a permit stands on the as-of day.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PermitFigures {
    /// How it stands.
    pub stands: PermitStands,
    /// The day by which something is to be done about it: that on which it runs out, on which the office says it will be
    /// there, or else on which the first phase needs it. `None` where nothing is to be done, or nobody knows the day.
    pub day: Option<Day>,
}

/// How a permit stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum PermitStands {
    /// It is there and lasts, or nothing waits for it.
    #[default]
    Quiet,
    /// The phase at a position has begun without it.
    Begun(usize),
    /// The phase at a position waits for it, the first of those that do.
    Waits(usize),
    /// It is there, and ends before the last day of the work under it.
    Ends(Day),
}

/// How all permits stand.
pub fn permits(project: &Project, phases: &[PhaseFigures], as_of: Day) -> Vec<PermitFigures> {
    project.permits.iter().map(|permit| one(project, permit, phases, as_of)).collect()
}

fn one(project: &Project, permit: &Permit, phases: &[PhaseFigures], as_of: Day) -> PermitFigures {
    let at = permit.phases.iter().filter_map(|id| project.phase_at(*id));
    let of: Vec<(usize, &Phase, &PhaseFigures)> =
        at.filter_map(|at| Some((at, project.phases.get(at)?, phases.get(at)?))).collect();
    let open = || of.iter().filter(|(_, phase, _)| phase.finished_on().is_none());
    if permit.is_issued(as_of.date()) {
        let last = open().filter_map(|(_, _, f)| f.forecast_finish).max();
        let ends = permit.expires_on.map(Day::from);
        return match ends.zip(last).filter(|(ends, last)| ends < last) {
            Some((ends, last)) => PermitFigures { stands: PermitStands::Ends(last), day: Some(ends) },
            None => PermitFigures::default(),
        };
    }
    let begun = |phase: &Phase| phase.actual_start.map(Day::from).filter(|on| *on <= as_of);
    if let Some((at, on)) = open().find_map(|(at, phase, _)| Some((*at, begun(phase)?))) {
        return PermitFigures { stands: PermitStands::Begun(at), day: Some(on) };
    }
    let first = of.iter().filter(|(_, p, _)| is_ahead(p)).min_by_key(|(_, _, f)| f.forecast_start);
    let Some((at, _, f)) = first else { return PermitFigures::default() };
    let day = permit.issued_on.map(Day::from).or(f.forecast_start);
    PermitFigures { stands: PermitStands::Waits(*at), day }
}
