//! The log of days and money: what an action moved, with its cause; what moved since without one; keeping a plan.
//!
//! A line is made when something is done. What time alone moved is no change of the document, so it is told apart: it
//! is *pending*, computed whenever it is asked for, and written down together with the next action. So stored and pending
//! lines always lead from the plan kept to the figures now, on whatever day is looked at, and looking changes nothing.

mod cause;
mod story;

pub use story::{Moved, RoomMoved, Step, Story, Told, story};

use super::figures::{Figures, compute};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, ActionError, Cause, KeptPhase, KeptPlan, KeptRoom, LogLine, PlanId, Project, Standing,
};
use chrono::NaiveDate;
use std::sync::Arc;

/// Where the figures stand.
pub fn standing(figures: &Figures) -> Standing {
    Standing { finish: figures.forecast_finish.map(super::Day::date), total: figures.money.total.forecast }
}

/// A document after an action, with its lines in the log.
pub struct Taken {
    /// The document.
    pub project: Project,
    /// Its figures, where they had to be computed for the log.
    pub figures: Option<Figures>,
}

/// Makes a change, and notes in the log what it moved. `figures` are those of the document before.
///
/// # Errors
/// As [`Project::apply`].
pub fn take(project: &Project, figures: &Figures, action: &Action) -> Result<Taken, ActionError> {
    let next = project.apply(action)?;
    let of_the_log = !Arc::ptr_eq(&next.log, &project.log) || next.kept_plans != project.kept_plans;
    if next.kept_plans.is_empty() || of_the_log || next == *project {
        return Ok(Taken { project: next, figures: None });
    }
    let after = compute(&next, figures.as_of.date());
    let mut lines = pending(project, figures);
    let (from, to) = (standing(figures), standing(&after));
    if from != to {
        let guess = cause::guess(project, action, from, to);
        let mut line = LogLine::new(figures.as_of.date(), &action.label(project), guess.cause, from, to);
        line.phase = guess.phase.filter(|id| next.phase(*id).is_some());
        line.selection = guess.selection.filter(|id| next.selection(*id).is_some());
        line.part = guess.part.filter(|id| next.part(*id).is_some());
        lines.push(line);
    }
    let mut project = next;
    if !lines.is_empty() {
        project = project.apply(&Action::Batch { label: String::new(), actions: entered(lines) })?;
    }
    Ok(Taken { project, figures: Some(after) })
}

/// As [`take`], where the figures before are not at hand.
///
/// # Errors
/// As [`Project::apply`].
pub fn take_on(project: &Project, action: &Action, as_of: NaiveDate) -> Result<Project, ActionError> {
    if project.kept_plans.is_empty() {
        return project.apply(action);
    }
    take(project, &compute(project, as_of), action).map(|taken| taken.project)
}

/// A project that was changed elsewhere, as by its sheets, with a line in its log for what that moved. `figures` are those
/// of the project before.
///
/// # Errors
/// The log of the changed one is not that of the one before, so that they do not belong together.
pub fn update(
    project: &Project,
    figures: &Figures,
    changed: Project,
    what: &str,
    cause: Cause,
) -> Result<Project, ActionError> {
    if (changed.log.len(), changed.log_stands()) != (project.log.len(), project.log_stands()) {
        let why = "the kept plans or the log are not those of the project before; write its sheets anew, and change those";
        return Err(ActionError::Rule(why.to_owned()));
    }
    if changed.kept_plans.is_empty() {
        return Ok(changed);
    }
    let mut lines = pending(project, figures);
    let (from, to) = (standing(figures), standing(&compute(&changed, figures.as_of.date())));
    if from != to {
        lines.push(LogLine::new(figures.as_of.date(), what.trim(), cause, from, to));
    }
    changed.apply(&Action::Batch { label: String::new(), actions: entered(lines) })
}

/// What a line says of two versions that were brought together.
pub const TOGETHER: &str = "two versions brought together";

/// A project whose log leads to the figures of a day. What is left over, and is not the time that passed, is a line under
/// the given words: for versions that were brought together.
///
/// # Errors
/// None for documents that keep their own rules.
pub fn close(project: &Project, as_of: NaiveDate, what: &str) -> Result<Project, ActionError> {
    let mut lines = pending(project, &compute(project, as_of));
    for line in lines.iter_mut().filter(|line| line.cause != Cause::TimePassed) {
        (line.what, line.cause) = (what.to_owned(), Cause::Correction);
    }
    project.apply(&Action::Batch { label: String::new(), actions: entered(lines) })
}

fn entered(lines: Vec<LogLine>) -> Vec<Action> {
    lines.into_iter().map(|line| Action::AddLine(Box::new(line))).collect()
}

/// What moved since the log stood and stands in no line: what was changed elsewhere, as by hand in the file, and what
/// time alone moved. Nothing while no plan is kept.
pub fn pending(project: &Project, figures: &Figures) -> Vec<LogLine> {
    let (Some(stands), now) = (project.log_stands(), standing(figures)) else { return Vec::new() };
    if stands == now {
        return Vec::new();
    }
    let (as_of, known) = (figures.as_of.date(), known_on(project).unwrap_or(figures.as_of.date()));
    // On the day of the last line the same document still stands where that line left it, or something changed it.
    let then = if known == as_of { now } else { standing(&compute(project, known)) };
    let mut lines = Vec::new();
    if then != stands {
        lines.push(LogLine::new(as_of, "changed elsewhere", Cause::Other, stands, then));
    }
    if now != then {
        let known_on = known.format("%b %-d, %Y");
        // Whoever looks at an earlier day sees less of it: no time passed.
        let what = if as_of < known {
            format!("looked at from a day before {known_on}")
        } else {
            format!("time passed since {known_on}")
        };
        lines.push(LogLine::new(as_of, &what, Cause::TimePassed, then, now));
    }
    lines
}

/// The as-of day on which the log was last known to stand.
fn known_on(project: &Project) -> Option<NaiveDate> {
    let plan = project.kept_plans.last()?;
    let line = project.log.last().filter(|_| (plan.lines as usize) < project.log.len());
    Some(line.map_or(plan.on, |line| line.on))
}

/// The change that keeps the forecast as it stands, under a name: the finish, the total, the days of phases and the
/// money of rooms. What is pending is written down first, so that the log stands where the plan begins.
pub fn keep(project: &Project, figures: &Figures, name: &str) -> Action {
    let lines = pending(project, figures);
    let mut plan =
        KeptPlan::new(PlanId(project.next_id), name.trim(), figures.as_of.date(), standing(figures));
    plan.key = key_from_name(name, project.kept_plans.iter().map(|known| known.key.as_str()));
    plan.lines = u32::try_from(project.log.len() + lines.len()).unwrap_or(u32::MAX);
    plan.phases = (project.phases.iter().zip(&figures.phases))
        .filter_map(|(phase, f)| {
            let (start, finish) = f.forecast_start.zip(f.forecast_finish)?;
            // A milestone may end on the eve of its start.
            Some(KeptPhase { phase: phase.id, start: start.date(), finish: finish.max(start).date() })
        })
        .collect();
    plan.rooms = (project.rooms.iter().zip(&figures.money.by_room))
        .map(|(room, columns)| KeptRoom { room: room.id, total: columns.forecast })
        .collect();
    let label = format!("keep the plan {}", plan.name);
    let mut actions = entered(lines);
    actions.push(Action::KeepPlan(Box::new(plan)));
    Action::Batch { label, actions }
}
