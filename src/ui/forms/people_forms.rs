//! Forms of crews, permits, changes of the work, draws and risks.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Change, ChangeId, Crew, CrewId, Draw, DrawId, Permit, PermitId, PhaseId, Project, Risk, RiskId,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A crew, and the phase that it is for when it is new.
pub struct CrewForm {
    form: TableForm<Crew>,
    known: Option<CrewId>,
    of: Option<PhaseId>,
}

impl CrewForm {
    /// Opens the form; `None` when the crew or the phase is gone.
    pub fn new(project: &Project, id: Option<CrewId>, of: Option<PhaseId>) -> Option<CrewForm> {
        let mut crew = match id {
            Some(id) => project.crew(id)?.clone(),
            None => Crew::new(CrewId(project.next_id), "", ""),
        };
        if let Some(phase) = of.and_then(|id| project.phase(id)) {
            crew.trade.clone_from(&phase.trade);
        }
        Some(CrewForm { form: TableForm::new(Crew::FIELDS, crew), known: id, of })
    }
}

impl Dialog for CrewForm {
    fn removal(&self) -> Option<Action> {
        self.known.map(Action::RemoveCrew)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.form.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "Its phases are worked on days on which it is there. Ask for proof of license and insurance before it begins.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut crew = self.form.read()?;
        if crew.key.is_empty() {
            crew.key = key_from_name(&crew.name, project.crews.iter().map(|c| c.key.as_str()));
        }
        let Some(phase) = self.of.and_then(|id| project.phase(id)) else { return Ok(Action::PutCrew(crew)) };
        let with = crate::model::Phase { crew: Some(crew.id), ..phase.clone() };
        Ok(Action::Batch {
            label: format!("add {}", crew.name),
            actions: vec![Action::PutCrew(crew), Action::PutPhase(with)],
        })
    }
}

/// A permit with the phases that wait for it.
pub struct PermitForm {
    form: TableForm<Permit>,
    known: Option<PermitId>,
    phases: Vec<PhaseId>,
}

impl PermitForm {
    /// Opens the form, on a new one for a phase; `None` when the permit is gone.
    pub fn new(project: &Project, id: Option<PermitId>, of: Option<PhaseId>) -> Option<PermitForm> {
        let mut permit = match id {
            Some(id) => project.permits.iter().find(|p| p.id == id)?.clone(),
            None => Permit::new(PermitId(project.next_id)),
        };
        permit.phases.extend(of);
        let phases = permit.phases.clone();
        Some(PermitForm { form: TableForm::new(Permit::FIELDS, permit), known: id, phases })
    }
}

impl Dialog for PermitForm {
    fn removal(&self) -> Option<Action> {
        self.known.map(Action::RemovePermit)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.form.ui(ui, project, tokens, |_, _| Look::Usual);
        let waiting = match self.phases.len() {
            1 => "1 phase waits for it".to_owned(),
            n => format!("{n} phases wait for it"),
        };
        egui::CollapsingHeader::new(waiting).id_salt("permit_phases").default_open(true).show(ui, |ui| {
            for phase in project.phases.iter() {
                let mut waits = self.phases.contains(&phase.id);
                if ui.checkbox(&mut waits, &phase.name).changed() {
                    self.phases.retain(|id| *id != phase.id);
                    self.phases.extend(waits.then_some(phase.id));
                }
            }
        });
        pieces::muted(ui, tokens, "The local office says what needs a permit, and how long one takes.");
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut permit = self.form.read()?;
        permit.phases.clone_from(&self.phases);
        if permit.key.is_empty() {
            permit.key = key_from_name(&permit.name, project.permits.iter().map(|p| p.key.as_str()));
        }
        Ok(Action::PutPermit(permit))
    }
}

/// A change of the work.
pub struct ChangeForm(TableForm<Change>, Option<ChangeId>);

impl ChangeForm {
    /// Opens the form, on a new one for a phase; `None` when the change is gone.
    pub fn new(project: &Project, id: Option<ChangeId>, of: Option<PhaseId>) -> Option<ChangeForm> {
        let change = match id {
            Some(id) => project.change(id)?.clone(),
            None => Change { phase: of, ..Change::new(ChangeId(project.next_id)) },
        };
        Some(ChangeForm(TableForm::new(Change::FIELDS, change), id))
    }
}

impl Dialog for ChangeForm {
    fn removal(&self) -> Option<Action> {
        self.1.map(Action::RemoveChange)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "Once it is agreed on, its days are in its phase and its money in the ledger. Of several that answer one \
             question, the one that is agreed on counts.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut change = self.0.read()?;
        if change.key.is_empty() {
            change.key = key_from_name(&change.what, project.changes.iter().map(|c| c.key.as_str()));
        }
        Ok(Action::PutChange(change))
    }
}

/// A draw of the lender.
pub struct DrawForm(TableForm<Draw>, Option<DrawId>);

impl DrawForm {
    /// Opens the form; `None` when the draw is gone.
    pub fn new(project: &Project, id: Option<DrawId>) -> Option<DrawForm> {
        let draw = match id {
            Some(id) => project.draws.iter().find(|d| d.id == id)?.clone(),
            None => Draw::new(DrawId(project.next_id)),
        };
        Some(DrawForm(TableForm::new(Draw::FIELDS, draw), id))
    }
}

impl Dialog for DrawForm {
    fn removal(&self) -> Option<Action> {
        self.1.map(Action::RemoveDraw)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "What the lender asks for before a draw is in its contract; ask the lender.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut draw = self.0.read()?;
        if draw.key.is_empty() {
            draw.key = key_from_name(&draw.name, project.draws.iter().map(|d| d.key.as_str()));
        }
        Ok(Action::PutDraw(draw))
    }
}

/// Something that may happen.
pub struct RiskForm(TableForm<Risk>, Option<RiskId>);

impl RiskForm {
    /// Opens the form, on a new one in a phase; `None` when the risk is gone.
    pub fn new(project: &Project, id: Option<RiskId>, of: Option<PhaseId>) -> Option<RiskForm> {
        let risk = match id {
            Some(id) => project.risks.iter().find(|r| r.id == id)?.clone(),
            None => Risk { phase: of, ..Risk::new(RiskId(project.next_id)) },
        };
        Some(RiskForm(TableForm::new(Risk::FIELDS, risk), id))
    }
}

impl Dialog for RiskForm {
    fn removal(&self) -> Option<Action> {
        self.1.map(Action::RemoveRisk)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "Plan and forecast know nothing of it; only the trials of What if do. What is sure to come is found work or a \
             change.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut risk = self.0.read()?;
        if risk.key.is_empty() {
            risk.key = key_from_name(&risk.what, project.risks.iter().map(|r| r.key.as_str()));
        }
        Ok(Action::PutRisk(risk))
    }
}
