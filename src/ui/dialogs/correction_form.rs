//! The form of a correction: what an inspector wants put right, by whom, in which phase, by when.

use super::fields;
use crate::model::{Action, Correction, CorrectionId, PhaseId, PhaseKind, Project};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A correction as text.
pub struct CorrectionForm {
    id: Option<CorrectionId>,
    phase: PhaseId,
    inspection: String,
    found: String,
    what: String,
    trade: String,
    fix_phase: Option<PhaseId>,
    due: String,
    done: String,
}

impl CorrectionForm {
    /// Opens the form; `None` when the inspection or the correction is gone. A new one belongs to the latest visit.
    pub fn new(project: &Project, id: Option<CorrectionId>, phase: PhaseId) -> Option<CorrectionForm> {
        let inspection = project.phase(phase)?;
        let old = match id {
            Some(id) => Some(project.correction(id)?),
            None => None,
        };
        let latest = inspection.attempts.iter().map(|a| a.date).max();
        Some(CorrectionForm {
            id,
            phase,
            inspection: inspection.name.clone(),
            found: fields::shown(old.map(|c| c.found).or(latest)),
            what: old.map_or(String::new(), |c| c.what.clone()),
            trade: old.map_or(String::new(), |c| c.trade.clone()),
            fix_phase: old.and_then(|c| c.fix_phase),
            due: fields::shown(old.and_then(|c| c.due)),
            done: fields::shown(old.and_then(|c| c.done)),
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        pieces::muted(ui, tokens, format!("For {}", self.inspection));
        fields::text(ui, "What to put right", &mut self.what);
        fields::text_hint(ui, "Who", &mut self.trade, "the trade that does it");
        fields::date(ui, "Found on", &mut self.found);
        fields::date(ui, "Due", &mut self.due);
        fields::date(ui, "Done on", &mut self.done);
        let mut phases = vec![("no phase of its own".to_owned(), None)];
        let own = |p: &&crate::model::Phase| p.kind == PhaseKind::Work && p.id != self.phase;
        phases.extend(project.phases.iter().filter(own).map(|p| (p.name.clone(), Some(p.id))));
        fields::choice(ui, "Done within", &mut self.fix_phase, &phases);
        pieces::muted(
            ui,
            tokens,
            "The next visit waits for the due or done day, and for the finish of that phase.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        Ok(Action::PutCorrection(Correction {
            id: self.id.unwrap_or(CorrectionId(project.next_id)),
            phase: self.phase,
            found: fields::day("Found on", &self.found)?.ok_or("Found on: write the date of the visit")?,
            what: fields::required("What to put right", &self.what)?,
            trade: self.trade.trim().to_owned(),
            fix_phase: self.fix_phase,
            due: fields::day("Due", &self.due)?,
            done: fields::day("Done on", &self.done)?,
        }))
    }
}
