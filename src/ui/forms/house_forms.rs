//! Forms of selections and options.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::ids::key_from_name;
use crate::model::{Action, OptionId, Project, RoomId, Selection, SelectionId, SelectionOption};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A selection.
pub struct SelectionForm(TableForm<Selection>);

impl SelectionForm {
    /// Opens the form; `None` when the selection is gone or the house has no room.
    pub fn new(project: &Project, id: Option<SelectionId>, room: Option<RoomId>) -> Option<SelectionForm> {
        let selection = match id {
            Some(id) => project.selection(id)?.clone(),
            None => {
                let room = room.or(project.rooms.first().map(|r| r.id))?;
                Selection::new(SelectionId(project.next_id), room)
            }
        };
        Some(SelectionForm(TableForm::new(Selection::FIELDS, selection)))
    }
}

impl Dialog for SelectionForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "Arrivals of what is not ordered are counted from the deciding day, when it is still to come.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut selection = self.0.read()?;
        if selection.key.is_empty() {
            let keys = project.selections.iter().map(|s| s.key.as_str());
            selection.key = key_from_name(&selection.name, keys);
        }
        // The options stay as they are whatever this carries.
        selection.options.clear();
        Ok(Action::PutSelection(selection))
    }
}

/// An option.
pub struct OptionForm {
    selection: SelectionId,
    form: TableForm<SelectionOption>,
}

impl OptionForm {
    /// Opens the form; `None` when the option or its selection is gone.
    pub fn new(project: &Project, selection: SelectionId, id: Option<OptionId>) -> Option<OptionForm> {
        project.selection(selection)?;
        let option = match id {
            Some(id) => project.option(id)?.1.clone(),
            None => SelectionOption::new(OptionId(project.next_id), "", ""),
        };
        Some(OptionForm { selection, form: TableForm::new(SelectionOption::FIELDS, option) })
    }
}

impl Dialog for OptionForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.form.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "What is bought for it, with price and lead time, is added on the card as parts.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut option = self.form.read()?;
        if option.key.is_empty() {
            let keys = project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.as_str());
            let base = project.selection(self.selection).map_or("", |s| s.key.as_str());
            option.key = key_from_name(&format!("{base} {}", option.name), keys);
        }
        option.parts.clear();
        Ok(Action::PutOption(self.selection, option))
    }
}
