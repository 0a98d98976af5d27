//! The form of a project's settings.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::model::{Action, HolidayRule, Project, Settings, Weekdays};
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use chrono::Weekday;
use egui::{Align, Button, Layout, Ui, vec2};

/// The week as a calendar has it.
const WEEK: [(&str, Weekday); 7] = [
    ("Mon", Weekday::Mon),
    ("Tue", Weekday::Tue),
    ("Wed", Weekday::Wed),
    ("Thu", Weekday::Thu),
    ("Fri", Weekday::Fri),
    ("Sat", Weekday::Sat),
    ("Sun", Weekday::Sun),
];

/// The settings of a project.
pub struct SettingsForm {
    form: TableForm<Settings>,
    /// Days off besides those of the rule, one a line, as typed.
    own_days: String,
}

impl SettingsForm {
    /// Opens the form.
    pub fn new(project: &Project) -> SettingsForm {
        let own = &project.settings.holidays.own;
        let own_days = own.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
        SettingsForm { form: TableForm::new(Settings::FIELDS, project.settings.clone()), own_days }
    }
}

impl Dialog for SettingsForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let own_days = &mut self.own_days;
        let look = |_: &TableForm<Settings>, name: &str| match name {
            "weekdays" | "holidays" => Look::Below,
            _ => Look::Usual,
        };
        self.form.ui_with(ui, project, tokens, look, |form, ui, name| match name {
            "weekdays" => weekdays(ui, form),
            "holidays" => holidays(ui, form, own_days),
            _ => {}
        });
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        let mut settings = self.form.read()?;
        // The rule was picked; the days are read here, so that what is wrong with one stands at its own field.
        settings.holidays.own = fields::holidays(OWN_DAYS, &self.own_days)?.own;
        Ok(Action::PutSettings(Box::new(settings)))
    }
}

/// The name of the field for days off of one's own.
const OWN_DAYS: &str = "Own days off";

/// Each day of the week as a button that stays down.
fn weekdays(ui: &mut Ui, form: &mut TableForm<Settings>) {
    let before = form.text("weekdays").parse().unwrap_or(Weekdays::MON_TO_FRI);
    let mut now = before;
    ui.horizontal(|ui| {
        let size = vec2(fields::NAME_WIDTH, 26.0);
        ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_size(size);
            ui.label("Working days");
        });
        ui.spacing_mut().item_spacing.x = 3.0;
        for (name, day) in WEEK {
            let on = now.contains(day);
            let next = now.with(day, !on);
            // Somebody works on some day.
            if ui.add(Button::selectable(on, name)).clicked() && !next.is_empty() {
                now = next;
                modals::touch(ui.ctx());
            }
        }
    });
    if now != before {
        form.set_text("weekdays", &now.to_string());
    }
}

/// The rule as words, and days of one's own.
fn holidays(ui: &mut Ui, form: &mut TableForm<Settings>, own_days: &mut String) {
    let rules = [("US federal holidays", HolidayRule::UsFederal), ("none", HolidayRule::None)];
    let mut rule =
        form.text("holidays").parse().map_or(HolidayRule::None, |all: crate::model::Holidays| all.rule);
    let before = rule;
    fields::choice(ui, "Holidays", &mut rule, &fields::words(&rules));
    if rule != before {
        let text = crate::model::Holidays { rule, own: Vec::new() }.to_string();
        form.set_text("holidays", &text);
    }
    fields::lines_hint(ui, OWN_DAYS, own_days, "one a line");
}
