//! The form of a part: what, from whom, for which phase, how much, how long it takes, what it costs, what happened.

use super::Dialog;
use super::quantity_rule;
use super::table_form::{Look, TableForm};
use crate::engine::lead;
use crate::engine::takeoff::{RoomSize, room_size};
use crate::model::ids::key_from_name;
use crate::model::quantity::Quantity;
use crate::model::words::typically;
use crate::model::{Action, OptionId, Part, PartId, Project};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A part.
pub struct PartForm {
    option: OptionId,
    new: bool,
    form: TableForm<Part>,
    /// The measures of the room are shown.
    picking: bool,
}

impl PartForm {
    /// Opens the form; `None` when the part or its option is gone.
    pub fn new(project: &Project, option: OptionId, id: Option<PartId>) -> Option<PartForm> {
        project.option(option)?;
        let part = match id {
            Some(id) => project.part(id)?.2.clone(),
            None => Part::new(PartId(project.next_id), "", ""),
        };
        let picking = matches!(part.quantity, Quantity::Rule(_));
        Some(PartForm { option, new: id.is_none(), form: TableForm::new(Part::FIELDS, part), picking })
    }
}

impl Dialog for PartForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let room = project.option(self.option).and_then(|(s, _)| project.room(s.room));
        let size = room.map_or_else(RoomSize::default, |room| room_size(room, project.settings.units));
        let picking = &mut self.picking;
        let look = |form: &TableForm<Part>, name: &str| match (name, form.thing.laying) {
            ("waste_pct", Some(laying)) => Look::Hint(format!("{} is usual", laying.usual_waste())),
            ("lead", _) => lead::typical(project, &form.thing).map_or(Look::Usual, |t| {
                let range = typically(t.shortest.count, t.longest.count, t.likely.unit);
                Look::Hint(format!("{range}, nobody has said"))
            }),
            ("hold", _) => Look::Hint(format!("{} as in the settings", project.settings.hold)),
            _ => Look::Usual,
        };
        self.form.ui_with(ui, project, tokens, look, |form, ui, name| {
            if name == "quantity" {
                quantity_rule::ui(ui, tokens, form, (room, &size), picking);
            }
        });
        pieces::muted(
            ui,
            tokens,
            "The hold is the time wanted between arrival and use, to check for damage or acclimate.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut part = self.form.read()?;
        if self.new {
            let base = project.option(self.option).map_or("", |(s, _)| s.key.as_str());
            let keys = project.all_parts().map(|(_, _, p)| p.key.as_str());
            part.key = key_from_name(&format!("{base} {}", part.name), keys);
        }
        Ok(Action::PutPart(self.option, part))
    }
}
