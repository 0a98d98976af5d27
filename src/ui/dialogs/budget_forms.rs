//! Forms of quotes, and of fees and extras.

use super::fields;
use super::house_forms::shown_decimal;
use crate::model::ids::key_from_name;
use crate::model::{Action, Extra, ExtraId, ExtraKind, PhaseId, Project, Quote, QuoteId};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A trade's quote.
pub struct QuoteForm {
    old: Option<Quote>,
    trade: String,
    scope: String,
    phase: Option<PhaseId>,
    amount: String,
    allowance: String,
    paid: String,
    leaves_out: String,
}

impl QuoteForm {
    /// Opens the form; `None` when the quote is gone.
    pub fn new(project: &Project, id: Option<QuoteId>) -> Option<QuoteForm> {
        let old = match id {
            Some(id) => Some(project.quotes.iter().find(|q| q.id == id)?.clone()),
            None => None,
        };
        let text = |get: fn(&Quote) -> String| old.as_ref().map_or(String::new(), get);
        Some(QuoteForm {
            trade: text(|q| q.trade.clone()),
            scope: text(|q| q.scope.clone()),
            phase: old.as_ref().and_then(|q| q.phase),
            amount: text(|q| shown_decimal(q.amount.amount())),
            allowance: text(|q| fields::shown(q.allowance.map(|a| a.amount()))),
            paid: text(|q| shown_decimal(q.paid.amount())),
            leaves_out: text(|q| q.leaves_out.clone()),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Trade", &mut self.trade);
        fields::text_hint(ui, "Scope", &mut self.scope, "what is to be done; quotes for it stand together");
        fields::choice(ui, "Phase", &mut self.phase, &phases(project));
        fields::text(ui, "Amount", &mut self.amount);
        fields::text_hint(ui, "Allowance", &mut self.allowance, "the amount itself when empty");
        fields::text_hint(ui, "Paid", &mut self.paid, "0");
        fields::lines(ui, "Leaves out", &mut self.leaves_out);
        pieces::muted(
            ui,
            tokens,
            "One quote of a scope can be accepted. It falls due when its phase is done.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let trade = fields::required("Trade", &self.trade)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => (
                QuoteId(project.next_id),
                key_from_name(&trade, project.quotes.iter().map(|q| q.key.as_str())),
            ),
        };
        let allowance = match self.allowance.trim() {
            "" => None,
            text => Some(fields::amount("Allowance", text)?),
        };
        Ok(Action::PutQuote(Quote {
            id,
            key,
            phase: self.phase,
            trade,
            scope: fields::required("Scope", &self.scope)?,
            amount: fields::amount("Amount", &self.amount)?,
            accepted: self.old.as_ref().is_some_and(|q| q.accepted),
            paid: fields::amount("Paid", &self.paid)?,
            allowance,
            leaves_out: self.leaves_out.trim().to_owned(),
        }))
    }
}

/// A fee or an extra.
pub struct ExtraForm {
    old: Option<Extra>,
    name: String,
    kind: ExtraKind,
    phase: Option<PhaseId>,
    amount: String,
    paid: String,
}

impl ExtraForm {
    /// Opens the form; `None` when the thing is gone.
    pub fn new(project: &Project, id: Option<ExtraId>) -> Option<ExtraForm> {
        let old = match id {
            Some(id) => Some(project.extras.iter().find(|e| e.id == id)?.clone()),
            None => None,
        };
        Some(ExtraForm {
            name: old.as_ref().map_or(String::new(), |e| e.name.clone()),
            kind: old.as_ref().map_or(ExtraKind::Extra, |e| e.kind),
            phase: old.as_ref().and_then(|e| e.phase),
            amount: old.as_ref().map_or(String::new(), |e| shown_decimal(e.amount.amount())),
            paid: old.as_ref().map_or(String::new(), |e| shown_decimal(e.paid.amount())),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        let kinds = [
            ("a planned fee".to_owned(), ExtraKind::Permit),
            ("nobody planned it".to_owned(), ExtraKind::Extra),
        ];
        fields::choice(ui, "Kind", &mut self.kind, &kinds);
        fields::choice(ui, "Phase", &mut self.phase, &phases(project));
        fields::text(ui, "Amount", &mut self.amount);
        fields::text_hint(ui, "Paid", &mut self.paid, "0");
        pieces::muted(
            ui,
            tokens,
            "A planned fee is its own allowance; what nobody planned comes out of the contingency.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => (
                ExtraId(project.next_id),
                key_from_name(&name, project.extras.iter().map(|e| e.key.as_str())),
            ),
        };
        Ok(Action::PutExtra(Extra {
            id,
            key,
            name,
            kind: self.kind,
            phase: self.phase,
            amount: fields::amount("Amount", &self.amount)?,
            paid: fields::amount("Paid", &self.paid)?,
        }))
    }
}

fn phases(project: &Project) -> Vec<(String, Option<PhaseId>)> {
    let mut phases = vec![("none".to_owned(), None)];
    phases.extend(project.phases.iter().map(|p| (p.name.clone(), Some(p.id))));
    phases
}
