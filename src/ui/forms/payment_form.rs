//! The form of a payment for an order or a part.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::engine::Figures;
use crate::model::{Action, PaidFor, Payment, PaymentId, Project};
use crate::ui::format;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Label, RichText, Ui};
use std::sync::Arc;

/// Money paid on a day.
pub struct PaymentForm {
    name: String,
    standing: String,
    form: TableForm<Payment>,
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
                let called = own.called(project);
                match project.supplier(own.supplier).filter(|_| !own.number.trim().is_empty()) {
                    Some(supplier) => format!("Order {called} with {}", supplier.name),
                    None => format!("Order {called}"),
                }
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
        let mut form = TableForm::new(Payment::FIELDS, old);
        form.set_text("amount", &form.thing.amount.to_plain(currency));
        Some(PaymentForm { name, standing, form })
    }
}

impl Dialog for PaymentForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        ui.add(Label::new(pieces::strong(&self.name, 14.0)).wrap());
        ui.add(Label::new(RichText::new(&self.standing).color(tokens.muted)).wrap());
        self.form.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(ui, tokens, "A payment for an order is shared to its lines by what each costs.");
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutPayment(self.form.read()?))
    }
}
