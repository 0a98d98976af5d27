//! The forms of a project's settings and of a new project.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Project, Room, RoomId, Settings, Shape, Use, starter, starter_catalogue, starter_gates,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::Ui;
use rust_decimal::Decimal;
use std::sync::Arc;

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

/// A new project.
pub struct NewProjectForm {
    name: String,
    start: String,
    year_built: String,
    rooms: String,
    phases: bool,
    things: bool,
}

impl NewProjectForm {
    /// Opens the form with a start day filled in.
    pub fn new(start: NaiveDate) -> NewProjectForm {
        NewProjectForm {
            name: String::new(),
            start: start.to_string(),
            year_built: String::new(),
            rooms: "Kitchen\nHall bath".to_owned(),
            phases: true,
            things: true,
        }
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::date(ui, "Start of the work", &mut self.start);
        fields::text(ui, "Year built", &mut self.year_built);
        fields::lines(ui, "Rooms, one a line", &mut self.rooms);
        fields::flag(ui, "Lay out the usual phases, with their sign-offs", &mut self.phases);
        fields::flag(ui, "List what each room usually needs", &mut self.things);
        for line in [
            "Days, lead times and prices stay blank until somebody has said them.",
            "Everything can be edited afterwards. Local code and licensed trades decide",
            "which sign-offs are needed and in what order.",
        ] {
            pieces::muted(ui, tokens, line);
        }
    }

    /// The new project.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn project(&self) -> Result<Project, String> {
        let name = fields::required("Name", &self.name)?;
        let start =
            fields::day("Start of the work", &self.start)?.ok_or("Start of the work: write a date")?;
        let mut project = Project::new(&name, start);
        project.settings.year_built = fields::whole("Year built", &self.year_built)?;
        project.settings.hold = 1;
        let mut rooms: Vec<Room> = Vec::new();
        for room in self.rooms.lines().map(str::trim).filter(|r| !r.is_empty()) {
            let key = key_from_name(room, rooms.iter().map(|r| r.key.as_str()));
            rooms.push(Room {
                id: RoomId(project.fresh_id()),
                key,
                name: room.to_owned(),
                level: "Main floor".to_owned(),
                shape: Shape::default(),
                height: Decimal::from(8),
                openings: Vec::new(),
                used_as: Use::of_name(room),
            });
        }
        project.rooms = Arc::new(rooms);
        if self.phases {
            starter::add_starter_phases(&mut project);
        }
        if self.things {
            project = starter_catalogue::with_all(&project).map_err(|e| e.to_string())?;
        }
        if self.phases {
            starter_gates::add_starter_gates(&mut project);
        }
        Ok(project)
    }
}
