//! Kept plans and the log of days and money as JSON.

use super::figures::Names;
use crate::engine::log::{self, Moved, RoomMoved, Told};
use crate::engine::{Day, Figures};
use crate::model::{KeptPlan, LogLine, Project};
use serde::Serialize;

/// A line of the log; pending ones come last.
#[derive(Debug, Serialize)]
pub(super) struct LineJson {
    on: String,
    what: String,
    cause: &'static str,
    about: Option<String>,
    finish_before: Option<String>,
    finish_after: Option<String>,
    days: i32,
    total_before: String,
    total_after: String,
    pending: bool,
}

/// A plan as it was agreed on, and what led from it to now.
#[derive(Debug, Serialize)]
pub(super) struct KeptPlanJson {
    key: String,
    name: String,
    on: String,
    finish: Option<String>,
    total: String,
    days: Option<i32>,
    money: String,
    causes: Vec<MovedJson>,
    rooms: Vec<RoomJson>,
    phases: Vec<PhaseJson>,
}

#[derive(Debug, Serialize)]
struct MovedJson {
    cause: &'static str,
    about: Option<String>,
    days: i32,
    money: String,
}

#[derive(Debug, Serialize)]
struct RoomJson {
    key: Option<String>,
    agreed: Option<String>,
    now: String,
}

#[derive(Debug, Serialize)]
struct PhaseJson {
    key: String,
    start: String,
    finish: String,
}

/// The key of what a line is about: its part, else its selection, else its phase.
fn about(project: &Project, line: &LogLine) -> Option<String> {
    let part = line.part.and_then(|id| project.part(id)).map(|(.., p)| p.key.clone());
    let selection = || line.selection.and_then(|id| project.selection(id)).map(|s| s.key.clone());
    let phase = || line.phase.and_then(|id| project.phase(id)).map(|p| p.key.clone());
    part.or_else(selection).or_else(phase)
}

/// The lines of the log, from the first kept plan on.
pub(super) fn log(names: &Names<'_>, figures: &Figures) -> Vec<LineJson> {
    let project = names.project;
    let Some(first) = project.kept_plans.first() else { return Vec::new() };
    let day = |day: Option<chrono::NaiveDate>| day.map(|d| d.to_string());
    let line = |told: &Told| LineJson {
        on: told.line.on.to_string(),
        what: told.line.what.clone(),
        cause: told.line.cause.word(),
        about: about(project, &told.line),
        finish_before: day(told.line.finish_before),
        finish_after: day(told.line.finish_after),
        days: told.days,
        total_before: names.money_text(told.line.total_before),
        total_after: names.money_text(told.line.total_after),
        pending: told.at.is_none(),
    };
    log::story(project, figures, first).lines.iter().map(line).collect()
}

/// All kept plans.
pub(super) fn kept_plans(names: &Names<'_>, figures: &Figures) -> Vec<KeptPlanJson> {
    names.project.kept_plans.iter().map(|plan| kept_plan(names, figures, plan)).collect()
}

fn kept_plan(names: &Names<'_>, figures: &Figures, plan: &KeptPlan) -> KeptPlanJson {
    let project = names.project;
    let story = log::story(project, figures, plan);
    let moved = |m: &Moved| MovedJson {
        cause: m.cause.word(),
        about: m.selection.and_then(|id| project.selection(id)).map(|s| s.key.clone()),
        days: m.days,
        money: names.money_text(m.money),
    };
    let room = |r: &RoomMoved| RoomJson {
        key: r.room.and_then(|id| project.room(id)).map(|room| room.key.clone()),
        agreed: r.agreed.map(|m| names.money_text(m)),
        now: names.money_text(r.now),
    };
    let phases = plan.phases.iter().filter_map(|kept| {
        let key = names.phase_key(project.phase_at(kept.phase))?;
        Some(PhaseJson { key, start: kept.start.to_string(), finish: kept.finish.to_string() })
    });
    KeptPlanJson {
        key: plan.key.clone(),
        name: plan.name.clone(),
        on: plan.on.to_string(),
        finish: plan.finish.map(|day| Day::from(day).to_string()),
        total: names.money_text(plan.total),
        days: story.days,
        money: names.money_text(story.money),
        causes: story.causes.iter().map(moved).collect(),
        rooms: story.rooms.iter().map(room).collect(),
        phases: phases.collect(),
    }
}
