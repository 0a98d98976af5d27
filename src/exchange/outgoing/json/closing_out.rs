//! The punch list and what stays with the house, as JSON.

use super::figures::Names;
use crate::engine::closing_out::in_house;
use crate::engine::{Day, Figures};
use crate::model::{Project, Punch};
use serde::Serialize;

/// What is left to do, and what is in the house.
#[derive(Debug, Serialize)]
pub(super) struct ClosedOutJson {
    punch: Vec<PunchJson>,
    handover: Vec<HandoverJson>,
}

impl ClosedOutJson {
    pub(super) fn new(names: &Names<'_>, figures: &Figures) -> ClosedOutJson {
        ClosedOutJson { punch: punch(names.project, figures), handover: handover(names, figures) }
    }
}

/// Something on the punch list; of no standing before it was found.
#[derive(Debug, Serialize)]
struct PunchJson {
    key: String,
    room: Option<String>,
    crew: Option<String>,
    what: String,
    stands: Option<&'static str>,
    found_on: Option<String>,
    due: Option<String>,
    done_on: Option<String>,
    checked_on: Option<String>,
    days_late: i32,
}

/// A part that is in the house.
#[derive(Debug, Serialize)]
struct HandoverJson {
    part: String,
    option: String,
    room: String,
    came: Option<String>,
    serial: String,
    warranty_until: Option<String>,
    warranty_days: Option<i32>,
    manual: String,
}

/// The punch list.
fn punch(project: &Project, figures: &Figures) -> Vec<PunchJson> {
    let text = |day: Option<chrono::NaiveDate>| day.map(|day| day.to_string());
    let one = |p: &Punch| PunchJson {
        key: p.key.clone(),
        room: p.room.and_then(|id| project.room(id)).map(|room| room.key.clone()),
        crew: p.crew.and_then(|id| project.crew(id)).map(|crew| crew.key.clone()),
        what: p.what.clone(),
        stands: p.stands(figures.as_of.date()).map(crate::model::PunchStands::word),
        found_on: text(p.found_on),
        due: text(p.due),
        done_on: text(p.done_on),
        checked_on: text(p.checked_on),
        days_late: p.days_late(figures.as_of.date()),
    };
    project.punch.iter().map(one).collect()
}

/// What is in the house.
fn handover(names: &Names<'_>, figures: &Figures) -> Vec<HandoverJson> {
    let project = names.project;
    let things = in_house(project, figures).map(|thing| {
        let text = |get: fn(&crate::model::Handover) -> &String| {
            thing.handover.map_or(String::new(), |h| get(h).clone())
        };
        HandoverJson {
            part: thing.part.key.clone(),
            option: thing.option.key.clone(),
            room: project.room(thing.selection.room).map_or(String::new(), |room| room.key.clone()),
            came: thing.came.map(|day| day.to_string()),
            serial: text(|h| &h.serial),
            warranty_until: thing.warranty().map(|day| day.to_string()),
            warranty_days: thing.warranty().map(|day: Day| day.since(figures.as_of)),
            manual: text(|h| &h.manual),
        }
    });
    things.collect()
}
