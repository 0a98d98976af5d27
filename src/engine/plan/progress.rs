//! How far each phase is on the as-of day, in working-day indices of the house calendar.

use super::worked::Worked;
use crate::engine::calendar::{Calendar, Day};
use crate::engine::corrections;
use crate::engine::days::Days;
use crate::model::{PhaseKind, Project};

/// What is known of a phase before the passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Not begun; it may not start before `floor`.
    Ahead {
        /// Lowest early start from the project start, the as-of day, not-before and re-inspection.
        floor: i32,
    },
    /// Begun on `start`; by its own durations it is done at `finish`.
    UnderWay {
        /// Actual start.
        start: i32,
        /// Half-open finish from the days left.
        finish: i32,
    },
    /// Done; both are facts.
    Finished {
        /// Actual start.
        start: i32,
        /// Half-open actual finish.
        finish: i32,
        /// The last day worked, which need not be a working day.
        last_day: Day,
    },
    /// Cannot be computed: a negative duration.
    Broken,
}

/// Working days that each phase takes: what was said or is typical, and those of changes of the work agreed on by the day.
pub(super) fn durations(project: &Project, as_of: Day) -> Vec<i32> {
    let mut durations: Vec<i32> = project.phases.iter().map(|p| p.counted_days().max(0)).collect();
    for change in project.changes.iter().filter(|c| c.is_agreed(as_of.date())) {
        if let (Some(at), Some(days)) = (change.phase.and_then(|id| project.phase_at(id)), change.days) {
            durations[at] = durations[at].saturating_add(days);
        }
    }
    durations
}

/// The index from which a phase's permits let it start: the day the last of them is issued; the working day after the
/// as-of day at the earliest while nobody knows when. Empty without permits.
fn permits(project: &Project, work: Calendar<'_>, as_of: Day) -> Vec<Option<i32>> {
    if project.permits.is_empty() {
        return Vec::new();
    }
    let mut from = vec![None; project.phases.len()];
    for permit in project.permits.iter() {
        let day = permit.issued_on.map_or(as_of.plus(1), Day::from);
        for at in permit.phases.iter().filter_map(|id| project.phase_at(*id)) {
            from[at] = from[at].max(Some(work.index(day)));
        }
    }
    from
}

/// Reads what is known of each phase on a day. Without `failed_visits` as if no visit had failed.
pub(super) fn read(
    project: &Project,
    days: &Days,
    as_of: Day,
    durations: &[i32],
    failed_visits: bool,
) -> Vec<Progress> {
    let work = days.work();
    let permits = permits(project, work, as_of);
    let today = work.index(as_of);
    let project_start = work.index(Day::from(project.settings.start)).max(today);
    let wait = i32::try_from(project.settings.reinspect_wait).unwrap_or(i32::MAX);
    let corrected = corrections::latest(project, work, as_of);
    project
        .phases
        .iter()
        .zip(corrected)
        .enumerate()
        .map(|(at, (phase, corrected))| {
            let worked = Worked::of(days, at);
            if phase.counted_days() < 0 {
                return Progress::Broken;
            }
            let started = phase.actual_start.map(Day::from);
            let milestone_done = started.filter(|_| phase.kind == PhaseKind::Milestone);
            if let Some(last_day) = phase.finished_on().map(Day::from).or(milestone_done) {
                let finish = if phase.counted_days() == 0 {
                    work.index(last_day)
                } else {
                    work.index(last_day.plus(1))
                };
                let start = started.map_or(finish - phase.counted_days(), |s| work.index(s)).min(finish);
                return Progress::Finished { start, finish, last_day };
            }
            if let Some(started) = started.filter(|_| phase.is_under_way()) {
                let start = work.index(started);
                let finish = match phase.days_left {
                    Some(0) => today,
                    Some(left) => worked.finish(worked.start(today), left),
                    None => {
                        let all = worked.finish(worked.start(start), durations[at]);
                        all.max(worked.finish(worked.start(today), 1))
                    }
                };
                return Progress::UnderWay { start, finish: finish.max(start) };
            }
            let mut floor = project_start;
            if let Some(day) = phase.not_before {
                floor = floor.max(work.index(Day::from(day)));
            }
            let visits = phase.visits().flat_map(|a| [Some(a.date), a.correct_by]).flatten().max();
            if let Some(latest) = visits.map(Day::from).max(corrected).filter(|_| failed_visits) {
                floor = floor.max(work.index(latest.plus(1)).saturating_add(wait));
            }
            if let Some(booked) = phase.booked_visit() {
                floor = floor.max(work.index(Day::from(booked)));
            }
            if let Some(issued) = permits.get(at).copied().flatten() {
                floor = floor.max(issued);
            }
            Progress::Ahead { floor: worked.start(floor) }
        })
        .collect()
}
