//! The form of a delivery: how much came, what of it is damaged, and when the rest and the replacement are promised.

use super::fields;
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
    old: Delivery,
    name: String,
    standing: String,
    lead: String,
    missing: Decimal,
    on: String,
    quantity: String,
    damaged: String,
    reported: String,
    replacement_lead: String,
    replacement_on: String,
    rest_on: String,
    note: String,
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
        let text = |n: Decimal| if n.is_zero() { String::new() } else { n.normalize().to_string() };
        Some(DeliveryForm {
            name: format!("{}: {}", selection.name, document.name),
            standing,
            lead: format::lead(document.lead, document.lead_unit),
            missing,
            on: old.on.to_string(),
            quantity: text(old.quantity),
            damaged: text(old.damaged),
            reported: fields::shown(old.reported_on),
            replacement_lead: fields::shown(old.replacement_lead),
            replacement_on: fields::shown(old.replacement_on),
            rest_on: fields::shown(old.rest_on),
            note: old.note.clone(),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, _project: &Project, tokens: &Tokens) {
        ui.add(Label::new(pieces::strong(&self.name, 14.0)).wrap());
        ui.add(Label::new(RichText::new(&self.standing).color(tokens.muted)).wrap());
        fields::date(ui, "Came on", &mut self.on);
        fields::text_hint(ui, "Came", &mut self.quantity, "units, damaged ones among them");
        fields::text_hint(ui, "Damaged", &mut self.damaged, "of these; none when empty");
        let number = |text: &str| fields::decimal("", text).unwrap_or_default();
        if !number(&self.damaged).is_zero() {
            fields::section(ui, tokens, "Replacement");
            fields::date_hint(ui, "Reported on", &mut self.reported, "the day it came when empty");
            fields::text_hint(ui, "Lead time", &mut self.replacement_lead, &self.lead);
            fields::date_hint(ui, "Promised for", &mut self.replacement_on, "by its lead time when empty");
        }
        if number(&self.quantity) < self.missing || !self.rest_on.is_empty() {
            fields::section(ui, tokens, "What has not come");
            fields::date_hint(ui, "Rest promised for", &mut self.rest_on, "if they said so");
        }
        ui.add_space(8.0);
        fields::lines(ui, "Note", &mut self.note);
        ui.label(
            RichText::new("The part is on site once all of it came whole.")
                .size(type_size::SMALL)
                .color(tokens.muted),
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, _project: &Project) -> Result<Action, String> {
        let on = fields::day("Came on", &self.on)?.ok_or("Came on: write the day")?;
        let damaged = fields::decimal("Damaged", &self.damaged)?;
        let whole = damaged.is_zero();
        Ok(Action::PutDelivery(Delivery {
            on,
            quantity: fields::decimal("Came", &self.quantity)?,
            damaged,
            reported_on: fields::day("Reported on", &self.reported)?.filter(|_| !whole),
            replacement_lead: fields::whole("Lead time", &self.replacement_lead)?.filter(|_| !whole),
            replacement_on: fields::day("Promised for", &self.replacement_on)?.filter(|_| !whole),
            rest_on: fields::day("Rest promised for", &self.rest_on)?,
            note: self.note.trim().to_owned(),
            ..self.old.clone()
        }))
    }
}
