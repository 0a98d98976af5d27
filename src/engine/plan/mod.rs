//! The plan: the network without deliveries, forward and backward, turned into dates.
#![doc = include_str!("../../../assets/manual/plan.md")]

pub mod corrections;
pub mod network;
mod progress;
pub mod worked;

use crate::engine::calendar::{Calendar, Day};
use crate::engine::days::Days;
use crate::engine::network::{Early, Late, Network, Progress};
use crate::model::{NeededAt, Phase, Project};

/// The network without deliveries, with both backward passes.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    pub(in crate::engine) network: Network,
    pub(in crate::engine) early: Vec<Option<Early>>,
    pub(in crate::engine) late: Vec<Option<Late>>,
    pub(in crate::engine) free: Vec<Option<i32>>,
    pub(in crate::engine) target: Option<Vec<Option<Late>>>,
}

impl Plan {
    /// Plans the phases of a project as they stand on a day.
    pub fn new(project: &Project, days: &Days, as_of: Day) -> Plan {
        let work = days.work();
        let network = Network::new(project, days, as_of);
        let early = network.forward(days, None);
        let end = Network::end(&early).unwrap_or(0);
        let late = network.backward(days, &early, |_| end);
        let free = network.free_float(days, &early);
        let target = project.settings.target_finish.map(|day| {
            let last = work.index_back(Day::from(day));
            network.backward(days, &early, |length| if length == 0 { last } else { last + 1 })
        });
        Plan { network, early, late, free, target }
    }

    /// The last day of the plan.
    pub fn finish(&self, project: &Project, work: Calendar<'_>) -> Option<Day> {
        latest_finish(project, work, &self.network, &self.early)
    }

    /// The day a part must be on site for a phase at its early dates.
    pub fn need_day(&self, work: Calendar<'_>, phase: usize, at: NeededAt, hold: i32) -> Option<Day> {
        let early = self.early.get(phase).copied().flatten()?;
        Some(self.needed(work, phase, early.start, early.finish, at, hold))
    }

    /// The same at its late dates.
    pub fn late_need_day(&self, work: Calendar<'_>, phase: usize, at: NeededAt, hold: i32) -> Option<Day> {
        let late = self.late.get(phase).copied().flatten()?;
        Some(self.needed(work, phase, late.start, late.finish, at, hold))
    }

    fn needed(
        &self,
        work: Calendar<'_>,
        phase: usize,
        start: i32,
        finish: i32,
        at: NeededAt,
        hold: i32,
    ) -> Day {
        let index = match at {
            NeededAt::Start => start,
            NeededAt::Finish if self.network.duration(phase) == 0 => finish,
            NeededAt::Finish => finish - 1,
        };
        work.day(index.saturating_sub(hold))
    }
    /// The dates of a phase as they are shown.
    pub(in crate::engine) fn shown(
        &self,
        work: Calendar<'_>,
        i: usize,
        phase: &Phase,
        start: i32,
        finish: i32,
    ) -> (Day, Day) {
        shown_dates(phase, work, self.network.progress(i), start, finish)
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

/// The last day of all phases as it is shown.
pub(in crate::engine) fn latest_finish(
    project: &Project,
    work: Calendar<'_>,
    network: &Network,
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
