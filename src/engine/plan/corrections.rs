//! Corrections after a failed inspection: until when the next visit waits for them.

use crate::engine::calendar::{Calendar, Day};
use crate::model::graph::Graph;
use crate::model::{Correction, PhaseId, Project};
use chrono::NaiveDate;

/// The day on which something open is expected: its due day; when that has passed or is not given, the working day
/// after the as-of day at the earliest.
pub fn expected(due: Option<NaiveDate>, work: Calendar<'_>, as_of: Day) -> Day {
    match due.map(Day::from) {
        Some(day) if day >= as_of => day,
        _ => work.roll_forward(as_of.plus(1)),
    }
}

/// The day a correction was done or is expected to be, by its own dates.
pub fn done_or_due(correction: &Correction, work: Calendar<'_>, as_of: Day) -> Day {
    match correction.done {
        Some(done) => Day::from(done),
        // What waits for a phase is done when the phase is; without a due day nothing else bounds it.
        None if correction.due.is_none() && correction.fix_phase.is_some() => as_of,
        None => expected(correction.due, work, as_of),
    }
}

/// The latest day the corrections of an inspection are done or due.
pub fn of_phase(project: &Project, phase: PhaseId, work: Calendar<'_>, as_of: Day) -> Option<Day> {
    let own = project.corrections.iter().filter(|c| c.phase == phase);
    own.map(|c| done_or_due(c, work, as_of)).max()
}

/// For each inspection by position, the latest day its corrections are done or due.
pub fn latest(project: &Project, work: Calendar<'_>, as_of: Day) -> Vec<Option<Day>> {
    let mut latest = vec![None; project.phases.len()];
    if project.corrections.is_empty() {
        return latest;
    }
    for correction in project.corrections.iter() {
        if let Some(at) = project.phase_at(correction.phase) {
            latest[at] = latest[at].max(Some(done_or_due(correction, work, as_of)));
        }
    }
    latest
}

/// Corrections that wait for a phase: the positions of the phase that does the work and of the inspection, and whether
/// the wait would close a circle and is left out. Corrections that are done wait for nothing.
pub fn waits(project: &Project) -> Vec<(&Correction, usize, usize, bool)> {
    let open = |c: &&Correction| c.done.is_none() && c.fix_phase.is_some();
    let open: Vec<&Correction> = project.corrections.iter().filter(open).collect();
    if open.is_empty() {
        return Vec::new();
    }
    let mut reach = Graph::new(project);
    let mut waits = Vec::with_capacity(open.len());
    for correction in open {
        let fix = correction.fix_phase.and_then(|id| project.phase_at(id));
        if let Some((fix, at)) = fix.zip(project.phase_at(correction.phase)) {
            let circle = !reach.add(fix, at);
            waits.push((correction, fix, at, circle));
        }
    }
    waits
}
