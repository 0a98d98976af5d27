//! The form of a payment for an order or a part.

use super::fields;
use crate::engine::Figures;
use crate::model::{Action, PaidFor, Payment, PaymentId, PaymentKind, Project};
use crate::ui::format;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Label, RichText, Ui};
use std::sync::Arc;

/// Money paid on a day.
pub struct PaymentForm {
    old: Payment,
    name: String,
    standing: String,
    on: String,
    amount: String,
    kind: PaymentKind,
    note: String,
}

impl PaymentForm {
    /// Opens the form; `None` when what it is for is gone. Proposes what is due, else all that is owed.
    pub fn new(
        project: &Project,
        figures: &Arc<Figures>,
        of: PaidFor,
        id: Option<PaymentId>,
    ) -> Option<PaymentForm> {
        let currency = project.settings.currency;
        let name = match of {
            PaidFor::Order(id) => {
                let own = project.order(id)?;
                let supplier = project.supplier(own.supplier).map_or("", |s| s.name.as_str());
                format!("Order {} with {supplier}", own.name())
            }
            PaidFor::Part(id) => {
                let (selection, _, part) = project.part(id)?;
                format!("{}: {}", selection.name, part.name)
            }
        };
        let stands = figures.standing(project, of);
        let old = match id {
            Some(id) => project.payments.iter().find(|p| p.id == id)?.clone(),
            None => {
                let (amount, kind) = stands.next();
                let (id, on, note) = (PaymentId(project.next_id), figures.as_of.date(), String::new());
                Payment { id, of, on, amount, kind, note }
            }
        };
        let money = |m| format::money(m, currency);
        let standing = if stands.owed.is_negative() {
            format!("{} paid too much", money(stands.owed.abs()))
        } else {
            format!("{} owed, {} of it due", money(stands.owed), money(stands.due))
        };
        Some(PaymentForm {
            name,
            standing,
            on: old.on.to_string(),
            amount: old.amount.to_plain(currency),
            kind: old.kind,
            note: old.note.clone(),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, _project: &Project, tokens: &Tokens) {
        ui.add(Label::new(pieces::strong(&self.name, 14.0)).wrap());
        ui.add(Label::new(RichText::new(&self.standing).color(tokens.muted)).wrap());
        fields::date(ui, "Paid on", &mut self.on);
        fields::text(ui, "Amount", &mut self.amount);
        fields::choice(ui, "Kind", &mut self.kind, &fields::words(&PaymentKind::ALL));
        fields::lines(ui, "Note", &mut self.note);
        pieces::muted(ui, tokens, "A payment for an order is shared to its lines by what each costs.");
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, _project: &Project) -> Result<Action, String> {
        let on = fields::day("Paid on", &self.on)?.ok_or("Paid on: write the day")?;
        Ok(Action::PutPayment(Payment {
            on,
            amount: fields::amount("Amount", &self.amount)?,
            kind: self.kind,
            note: self.note.trim().to_owned(),
            ..self.old.clone()
        }))
    }
}
