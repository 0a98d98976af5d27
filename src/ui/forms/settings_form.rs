//! The form of a project's settings.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::{Action, Project, Settings};
use crate::ui::theme::Tokens;
use egui::Ui;

/// The settings of a project.
pub struct SettingsForm(TableForm<Settings>);

impl SettingsForm {
    /// Opens the form.
    pub fn new(project: &Project) -> SettingsForm {
        SettingsForm(TableForm::new(Settings::FIELDS, project.settings.clone()))
    }
}

impl Dialog for SettingsForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutSettings(Box::new(self.0.read()?)))
    }
}
