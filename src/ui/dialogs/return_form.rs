//! The form of a return: how far it is, what it costs, and what came back.

use super::fields;
use super::house_forms::shown_decimal;
use super::swap_form::{fate_words, return_words, tone};
use crate::engine::Figures;
use crate::model::{Action, PartId, Project, Return, ReturnId, ReturnState};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use std::sync::Arc;

/// What becomes of a part.
pub struct ReturnForm {
    figures: Arc<Figures>,
    old: Return,
    state: ReturnState,
    restock: String,
    freight: String,
    deposit: String,
    went_back: String,
    credit: String,
    note: String,
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
        let state = state.unwrap_or(old.state);
        let today = (state == ReturnState::WentBack).then(|| figures.as_of.date());
        Some(ReturnForm {
            figures: figures.clone(),
            state,
            restock: fields::shown(old.restock_pct),
            freight: shown_decimal(old.freight.amount()),
            deposit: fields::shown(old.deposit_lost.map(|m| m.amount())),
            went_back: fields::shown(old.went_back_on.or(today)),
            credit: fields::shown(old.credit.map(|m| m.amount())),
            note: old.note.clone(),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let Some((selection, _, part)) = project.part(self.old.part) else { return };
        ui.add(egui::Label::new(pieces::strong(format!("{}: {}", selection.name, part.name), 14.0)).wrap());
        let came = part.is_on_site();
        if let Some(at) = self.figures.index.of(part.id.0) {
            let terms = self.figures.terms(project, at, Some(&self.old), self.figures.as_of);
            let words = return_words(&terms, self.figures.as_of, project.settings.currency);
            ui.add(egui::Label::new(RichText::new(words).color(tone(&terms, tokens))).wrap());
        }
        let states: Vec<(String, ReturnState)> =
            ReturnState::ALL.iter().map(|(_, s)| (fate_words(*s, came).to_owned(), *s)).collect();
        fields::choice(ui, "What becomes of it", &mut self.state, &states);
        if self.state == ReturnState::WentBack {
            fields::date(ui, "On", &mut self.went_back);
        }
        fields::text_hint(ui, "Credit", &mut self.credit, "what came back or off the bill, tax included");
        fields::text_hint(ui, "Freight back", &mut self.freight, "0");
        let supplier = part.supplier.and_then(|id| project.supplier(id));
        if came {
            let usual = supplier
                .map_or(String::new(), |s| format!("{} as the supplier says", s.restock_pct.normalize()));
            fields::text_hint(ui, "Restocking, percent", &mut self.restock, &usual);
        } else {
            fields::text_hint(ui, "Deposit lost", &mut self.deposit, "the supplier's deposit");
        }
        fields::lines(ui, "Note", &mut self.note);
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, _project: &Project) -> Result<Action, String> {
        let money = |label: &str, text: &str| {
            if text.trim().is_empty() { Ok(None) } else { fields::amount(label, text).map(Some) }
        };
        let restock = if self.restock.trim().is_empty() {
            None
        } else {
            Some(fields::percent("Restocking", &self.restock)?)
        };
        let went_back_on = fields::day("On", &self.went_back)?;
        Ok(Action::PutReturn(Return {
            state: self.state,
            restock_pct: restock,
            freight: fields::amount("Freight back", &self.freight)?,
            deposit_lost: money("Deposit lost", &self.deposit)?,
            went_back_on: went_back_on.filter(|_| self.state == ReturnState::WentBack),
            credit: money("Credit", &self.credit)?,
            note: self.note.trim().to_owned(),
            ..self.old.clone()
        }))
    }
}
