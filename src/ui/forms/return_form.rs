//! The form of a return: how far it is, what it costs, and what came back.

use super::Dialog;
use super::swap_form::{fate_words, return_words, tone};
use super::table_form::{Look, TableForm};
use crate::engine::Figures;
use crate::model::{Action, PartId, Project, Return, ReturnId, ReturnState};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use std::sync::Arc;

/// What becomes of a part.
pub struct ReturnForm {
    figures: Arc<Figures>,
    /// What was known of it before.
    old: Return,
    form: TableForm<Return>,
}

impl ReturnForm {
    /// Opens the form; `None` when the part is gone. A new state may be proposed.
    pub fn new(
        project: &Project,
        figures: &Arc<Figures>,
        part: PartId,
        state: Option<ReturnState>,
    ) -> Option<ReturnForm> {
        project.part(part)?;
        let known = project.returns.iter().find(|r| r.part == part).cloned();
        let old = known.unwrap_or_else(|| Return::new(ReturnId(project.next_id), part));
        let mut thing = old.clone();
        thing.state = state.unwrap_or(thing.state);
        if thing.state == ReturnState::WentBack {
            thing.went_back_on = thing.went_back_on.or(Some(figures.as_of.date()));
        }
        Some(ReturnForm { figures: figures.clone(), old, form: TableForm::new(Return::FIELDS, thing) })
    }
}

impl Dialog for ReturnForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let Some((selection, _, part)) = project.part(self.old.part) else { return };
        ui.add(egui::Label::new(pieces::strong(format!("{}: {}", selection.name, part.name), 14.0)).wrap());
        let came = part.is_on_site();
        if let Some(at) = self.figures.index.of(part.id.0) {
            let terms = self.figures.terms(project, at, Some(&self.old), self.figures.as_of);
            let words = return_words(&terms, self.figures.as_of, project.settings.currency);
            ui.add(egui::Label::new(RichText::new(words).color(tone(&terms, tokens))).wrap());
        }
        let supplier = part.supplier.and_then(|id| project.supplier(id));
        self.form.ui(ui, project, tokens, |form, name| match name {
            "state" => Look::Named(ReturnState::ALL.iter().map(|(_, s)| fate_words(*s, came)).collect()),
            "went_back_on" if form.thing.state != ReturnState::WentBack => Look::Hidden,
            "restock_pct" if !came => Look::Hidden,
            "restock_pct" => Look::Hint(
                supplier
                    .map_or(String::new(), |s| format!("{} as the supplier says", s.restock_pct.normalize())),
            ),
            "deposit_lost" if came => Look::Hidden,
            _ => Look::Usual,
        });
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        let mut thing = self.form.read()?;
        if thing.state != ReturnState::WentBack {
            thing.went_back_on = None;
        }
        Ok(Action::PutReturn(thing))
    }
}
