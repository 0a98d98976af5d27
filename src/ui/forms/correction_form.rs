//! The form of a correction: what an inspector wants put right, by whom, in which phase, by when.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::dates::FIRST_DAY;
use crate::model::{Action, Correction, CorrectionId, PhaseId, PhaseKind, Project};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A correction.
pub struct CorrectionForm {
    inspection: String,
    form: TableForm<Correction>,
}

impl CorrectionForm {
    /// Opens the form; `None` when the inspection or the correction is gone. A new one belongs to the latest visit.
    pub fn new(project: &Project, id: Option<CorrectionId>, phase: PhaseId) -> Option<CorrectionForm> {
        let inspection = project.phase(phase)?;
        let latest = inspection.visits().map(|a| a.date).max();
        let correction = match id {
            Some(id) => project.correction(id)?.clone(),
            None => Correction::new(CorrectionId(project.next_id), phase, latest.unwrap_or(FIRST_DAY)),
        };
        let mut form = TableForm::new(Correction::FIELDS, correction);
        if id.is_none() && latest.is_none() {
            form.set_text("found", "");
        }
        Some(CorrectionForm { inspection: inspection.name.clone(), form })
    }
}

impl Dialog for CorrectionForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        pieces::muted(ui, tokens, format!("For {}", self.inspection));
        self.form.ui(ui, project, tokens, |form, name| match name {
            "fix_phase" => {
                let own =
                    project.phases.iter().filter(|p| p.kind == PhaseKind::Work && p.id != form.thing.phase);
                Look::Among(own.map(|p| (p.name.clone(), p.id.0)).collect())
            }
            _ => Look::Usual,
        });
        pieces::muted(
            ui,
            tokens,
            "The next visit waits for the due or done day, and for the finish of that phase.",
        );
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutCorrection(self.form.read()?))
    }
}
