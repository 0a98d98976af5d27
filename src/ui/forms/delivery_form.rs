//! The form of a delivery: how much came, what of it is damaged, and when the rest and the replacement are promised.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::engine::Figures;
use crate::model::{Action, Delivery, DeliveryId, PartId, Project};
use crate::ui::format;
use crate::ui::theme::{Tokens, tokens::type_size};
use crate::ui::widgets::pieces;
use egui::{Label, RichText, Ui};
use rust_decimal::Decimal;
use std::sync::Arc;

/// What came on one day.
pub struct DeliveryForm {
    name: String,
    standing: String,
    lead: String,
    missing: Decimal,
    form: TableForm<Delivery>,
}

impl DeliveryForm {
    /// Opens the form; `None` when the part or the delivery is gone. Proposes what is missing, and for a part noted as
    /// received all of it on that day.
    pub fn new(
        project: &Project,
        figures: &Arc<Figures>,
        part: PartId,
        id: Option<DeliveryId>,
    ) -> Option<DeliveryForm> {
        let (selection, _, document) = project.part(part)?;
        let at = figures.index.of(part.0)?;
        let f = figures.part(part)?;
        let state = figures.deliveries.of(at);
        let came = state.map_or(Decimal::ZERO, |d| d.came);
        let missing = figures.deliveries.missing(at, f.quantity_to_buy);
        let old = match id {
            Some(id) => project.deliveries.iter().find(|d| d.id == id)?.clone(),
            None => {
                let on = document.received_on.filter(|_| state.is_none()).unwrap_or(figures.as_of.date());
                Delivery::new(DeliveryId(project.next_id), part, on, missing)
            }
        };
        let bought = format::quantity(f.quantity_to_buy, &document.unit);
        let standing = match state {
            None if f.on_site => format!("{bought} bought, noted as received"),
            None => format!("{bought} bought, nothing noted as come"),
            Some(d) => {
                let mut words = format!("{bought} bought, {} came", came.normalize());
                if !d.damaged.is_zero() {
                    words += &format!(", {} damaged", d.damaged.normalize());
                }
                words + &format!(", {} missing", missing.normalize())
            }
        };
        Some(DeliveryForm {
            name: format!("{}: {}", selection.name, document.name),
            standing,
            lead: format::lead_of(document),
            missing,
            form: TableForm::new(Delivery::FIELDS, old),
        })
    }
}

impl Dialog for DeliveryForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        ui.add(Label::new(pieces::strong(&self.name, 14.0)).wrap());
        ui.add(Label::new(RichText::new(&self.standing).color(tokens.muted)).wrap());
        self.form.ui(ui, project, tokens, |form, name| {
            let number = |name| fields::decimal("", form.text(name)).unwrap_or_default();
            match name {
                "reported_on" | "replacement_lead" | "replacement_on" if number("damaged").is_zero() => {
                    Look::Hidden
                }
                "replacement_lead" => Look::Hint(self.lead.clone()),
                "rest_on" if number("quantity") >= self.missing && form.text(name).is_empty() => Look::Hidden,
                _ => Look::Usual,
            }
        });
        ui.label(
            RichText::new("The part is on site once all of it came whole.")
                .size(type_size::SMALL)
                .color(tokens.muted),
        );
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        let mut delivery = self.form.read()?;
        if delivery.damaged.is_zero() {
            (delivery.reported_on, delivery.replacement_lead, delivery.replacement_on) = (None, None, None);
        }
        Ok(Action::PutDelivery(delivery))
    }
}
