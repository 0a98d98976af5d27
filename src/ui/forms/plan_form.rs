//! Keeping a plan as it was agreed on, and giving it another name.

use super::Dialog;
use super::fields;
use crate::engine::{Figures, log};
use crate::model::{Action, PlanId, Project};
use crate::ui::format;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;
use std::sync::Arc;

/// The name of a plan that is to be kept.
pub struct KeepPlan {
    name: String,
    figures: Arc<Figures>,
}

impl KeepPlan {
    /// Opens the form with a usual name.
    pub fn new(project: &Project, figures: &Arc<Figures>) -> KeepPlan {
        let name = if project.kept_plans.is_empty() { "As agreed" } else { "Agreed anew" };
        KeepPlan { name: name.to_owned(), figures: figures.clone() }
    }
}

impl Dialog for KeepPlan {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let (near, currency) = (self.figures.as_of, project.settings.currency);
        let finish = self.figures.forecast_finish;
        let finish = finish.map_or("no finish yet".to_owned(), |day| format::day(day, near));
        let total = format::money(self.figures.money.total.forecast, currency);
        ui.label(format!("As it stands now: {finish}, {total} {currency}."));
        ui.add_space(6.0);
        fields::text(ui, "Name", &mut self.name);
        ui.add_space(6.0);
        pieces::muted(
            ui,
            tokens,
            "The finish, the total, the days of each phase and the money of each room are kept. From then on each change \
             of finish or total is noted with its cause.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        if self.name.trim().is_empty() {
            return Err("a kept plan needs a name".to_owned());
        }
        Ok(log::keep(project, &self.figures, &self.name))
    }

    fn done(&self) -> &'static str {
        "Keep it"
    }
}

/// Another name for a kept plan.
pub struct NamePlan {
    id: PlanId,
    name: String,
}

impl NamePlan {
    /// Opens the form; `None` when the plan is gone.
    pub fn new(project: &Project, id: PlanId) -> Option<NamePlan> {
        Some(NamePlan { id, name: project.kept_plan(id)?.name.clone() })
    }
}

impl Dialog for NamePlan {
    fn ui(&mut self, ui: &mut Ui, _project: &Project, _tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::RenamePlan(self.id, self.name.trim().to_owned()))
    }

    fn removal(&self) -> Option<Action> {
        Some(Action::RemovePlan(self.id))
    }
}
