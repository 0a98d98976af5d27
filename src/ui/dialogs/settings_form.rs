//! The forms of a project's settings and of a new project.

use super::fields;
use super::supplier_form::{closed_ranges, closed_text};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Currency, Project, Room, RoomId, Settings, Shape, TaxBy, Units, starter, starter_gates,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::Ui;
use rust_decimal::Decimal;
use std::sync::Arc;

/// The settings of a project.
pub struct SettingsForm {
    name: String,
    start: String,
    target: String,
    as_of: String,
    currency: String,
    holidays: String,
    weekdays: String,
    closed: String,
    hold: String,
    wait: String,
    contingency: String,
    tax_by: TaxBy,
    units: Units,
    year_built: String,
}

impl SettingsForm {
    /// Opens the form.
    pub fn new(project: &Project) -> SettingsForm {
        let s = &project.settings;
        SettingsForm {
            name: s.name.clone(),
            start: s.start.to_string(),
            target: fields::shown(s.target_finish),
            as_of: fields::shown(s.as_of),
            currency: s.currency.to_string(),
            holidays: s.holidays.to_string(),
            weekdays: s.weekdays.to_string(),
            closed: closed_text(&s.closed),
            hold: s.hold.to_string(),
            wait: s.reinspect_wait.to_string(),
            contingency: s.contingency_pct.to_string(),
            tax_by: s.tax_by,
            units: s.units,
            year_built: fields::shown(s.year_built),
        }
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, _project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::date(ui, "Start", &mut self.start);
        fields::date(ui, "Target finish", &mut self.target);
        fields::date_hint(ui, "Open as of", &mut self.as_of, "today when empty");
        fields::section(ui, tokens, "Calendar");
        fields::text(ui, "Working days", &mut self.weekdays);
        fields::text_hint(ui, "Holidays", &mut self.holidays, "us-federal or none, and own dates");
        fields::lines(ui, "Closed from and to", &mut self.closed);
        fields::text(ui, "Hold, working days", &mut self.hold);
        fields::text(ui, "Wait to re-inspect", &mut self.wait);
        fields::section(ui, tokens, "Money");
        fields::text(ui, "Currency", &mut self.currency);
        fields::text(ui, "Contingency, percent", &mut self.contingency);
        let tax = [("once an order".to_owned(), TaxBy::Order), ("on each line".to_owned(), TaxBy::Line)];
        fields::choice(ui, "Sales tax is rounded", &mut self.tax_by, &tax);
        fields::section(ui, tokens, "House");
        let units = [("feet".to_owned(), Units::Us), ("metres".to_owned(), Units::Metric)];
        fields::choice(ui, "Measures in", &mut self.units, &units);
        fields::text(ui, "Year built", &mut self.year_built);
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let old = &project.settings;
        Ok(Action::PutSettings(Box::new(Settings {
            name: fields::required("Name", &self.name)?,
            start: fields::day("Start", &self.start)?.ok_or("Start: write a date")?,
            target_finish: fields::day("Target finish", &self.target)?,
            as_of: fields::day("Open as of", &self.as_of)?,
            currency: Currency::from_code(&self.currency)
                .ok_or("Currency: write three letters, for example USD")?,
            holidays: self.holidays.parse()?,
            weekdays: self.weekdays.parse()?,
            closed: closed_ranges(&self.closed, &old.closed)?,
            hold: fields::working_days("Hold", &self.hold)?.unwrap_or(0),
            reinspect_wait: fields::working_days("Wait to re-inspect", &self.wait)?.unwrap_or(2),
            contingency_pct: fields::percent("Contingency", &self.contingency)?,
            tax_by: self.tax_by,
            units: self.units,
            year_built: fields::whole("Year built", &self.year_built)?,
        })))
    }
}

/// A new project.
pub struct NewProjectForm {
    name: String,
    start: String,
    year_built: String,
    rooms: String,
    phases: bool,
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
        }
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::date(ui, "Start of the work", &mut self.start);
        fields::text(ui, "Year built", &mut self.year_built);
        fields::lines(ui, "Rooms, one a line", &mut self.rooms);
        fields::flag(ui, "Lay out the usual phases, with their sign-offs", &mut self.phases);
        pieces::muted(
            ui,
            tokens,
            "Everything can be edited afterwards. Local code and licensed trades decide",
        );
        pieces::muted(ui, tokens, "which sign-offs are needed and in what order.");
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
            });
        }
        project.rooms = Arc::new(rooms);
        if self.phases {
            starter::add_starter_phases(&mut project);
            starter_gates::add_starter_gates(&mut project);
        }
        Ok(project)
    }
}
