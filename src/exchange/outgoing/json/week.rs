//! What is to be done in the next seven days as JSON.

use crate::engine::Figures;
use crate::engine::week::{HORIZONS, Line, week};
use crate::model::Project;
use serde::Serialize;

/// A line of the week.
#[derive(Debug, Serialize)]
pub(super) struct WeekLineJson {
    kind: &'static str,
    about: String,
    last_day: String,
    text: String,
    what: String,
    overdue: bool,
    phone: Option<String>,
}

/// All lines of the week that begins with the as-of day.
pub(super) fn lines(project: &Project, figures: &Figures) -> Vec<WeekLineJson> {
    of(project, figures, &week(project, figures, HORIZONS[0]))
}

fn of(project: &Project, figures: &Figures, lines: &[Line]) -> Vec<WeekLineJson> {
    let line = |line: &Line| WeekLineJson {
        kind: line.kind.word(),
        about: line.about.clone(),
        last_day: line.day.to_string(),
        text: line.text(project.settings.currency),
        what: line.what.plain(project.settings.currency),
        overdue: line.day < figures.as_of,
        phone: line.call.as_ref().map(|call| call.phone.clone()).filter(|phone| !phone.is_empty()),
    };
    lines.iter().map(line).collect()
}

/// The lines of a horizon as JSON, for who wants no other figures.
///
/// # Errors
/// What the writer of JSON says.
pub fn to_text(project: &Project, figures: &Figures, lines: &[Line]) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&of(project, figures, lines))
}
