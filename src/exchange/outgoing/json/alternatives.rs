//! Alternatives side by side as JSON.

use super::figures::{FiguresJson, Names};
use crate::engine::Figures;
use crate::engine::alternatives::{Side, side_by_side};
use crate::model::{Alternative, Project};
use serde::Serialize;

/// What a set of choices comes to.
#[derive(Debug, Serialize)]
pub(super) struct AlternativeJson {
    key: String,
    name: String,
    finish: Option<String>,
    days: Option<i32>,
    total: String,
    more: String,
    contingency_left: String,
    late: usize,
    errors: usize,
    warnings: usize,
    short_weeks: usize,
    by_room: Vec<RoomJson>,
    changes: Vec<ChangeJson>,
    refused: Vec<RefusedJson>,
    new_problems: Vec<String>,
    gone_problems: Vec<String>,
}

/// The forecast of a room.
#[derive(Debug, Serialize)]
struct RoomJson {
    key: String,
    forecast: String,
}

/// Another option.
#[derive(Debug, Serialize)]
struct ChangeJson {
    selection: String,
    from: Option<String>,
    to: String,
}

/// An option that cannot be chosen.
#[derive(Debug, Serialize)]
struct RefusedJson {
    selection: String,
    why: String,
}

impl FiguresJson {
    /// The figures with all alternatives beside them, where there are some.
    #[must_use]
    pub fn with_alternatives(mut self, project: &Project, figures: &Figures) -> FiguresJson {
        if project.alternatives.is_empty() {
            return self;
        }
        let names = Names::new(project);
        let sides = side_by_side(project, figures);
        let all =
            project.alternatives.iter().zip(&sides.others).map(|(a, side)| json(project, &names, a, side));
        self.alternatives = all.collect();
        self
    }
}

fn json(project: &Project, names: &Names<'_>, alternative: &Alternative, side: &Side) -> AlternativeJson {
    let currency = project.settings.currency;
    let room = |(room, amount): (&crate::model::Room, &crate::model::Money)| RoomJson {
        key: room.key.clone(),
        forecast: amount.to_plain(currency),
    };
    AlternativeJson {
        key: alternative.key.clone(),
        name: alternative.name.clone(),
        finish: side.finish.map(|day| day.to_string()),
        days: side.days,
        total: side.total.to_plain(currency),
        more: side.more.to_plain(currency),
        contingency_left: side.contingency_left.to_plain(currency),
        late: side.late,
        errors: side.problems.0,
        warnings: side.problems.1,
        short_weeks: side.short_weeks,
        by_room: project.rooms.iter().zip(&side.by_room).map(room).collect(),
        changes: side
            .changes
            .iter()
            .map(|change| ChangeJson {
                selection: names.selection_key(change.selection),
                from: change.from.map(|id| names.option_key(id)),
                to: names.option_key(change.to),
            })
            .collect(),
        refused: side
            .refused
            .iter()
            .map(|(change, why)| RefusedJson {
                selection: names.selection_key(change.selection),
                why: why.clone(),
            })
            .collect(),
        new_problems: side.new.iter().map(|p| p.message.clone()).collect(),
        gone_problems: side.gone.iter().map(|p| p.message.clone()).collect(),
    }
}
