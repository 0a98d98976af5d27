//! The form of an order: its number and day, what was promised, freight as confirmed, its lines.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::engine::Figures;
use crate::model::{Action, Order, OrderId, PartId, Project};
use crate::ui::format;
use crate::ui::theme::{Tokens, tokens::type_size};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use std::sync::Arc;

/// Lines placed together.
pub struct OrderForm {
    form: TableForm<Order>,
    promised: String,
    /// What was promised before, where all lines that have not come are promised for one day.
    promised_before: String,
    /// They are promised for different days.
    several: bool,
    /// Lines with their names, and whether they stay.
    lines: Vec<(PartId, String, bool)>,
    /// Lines that have not come.
    open: Vec<PartId>,
}

impl OrderForm {
    /// Opens the form; `None` when the order is gone.
    pub fn new(project: &Project, figures: &Arc<Figures>, id: OrderId) -> Option<OrderForm> {
        Some(OrderForm::of(project, figures, project.order(id)?.clone()))
    }

    /// Opens the form of an order, which may not be in the document yet: closed without a change, it never is.
    pub fn of(project: &Project, figures: &Arc<Figures>, old: Order) -> OrderForm {
        let mut lines = Vec::new();
        let (mut open, mut promises) = (Vec::new(), Vec::new());
        for part_id in &old.parts {
            let Some((selection, _, part)) = project.part(*part_id) else { continue };
            lines.push((*part_id, format!("{}: {}", selection.name, part.name), true));
            if !figures.part(*part_id).is_some_and(|f| f.on_site) {
                open.push(*part_id);
                promises.push(part.promised_on);
            }
        }
        promises.dedup();
        let promised = match promises.as_slice() {
            [one] => fields::shown(*one),
            _ => String::new(),
        };
        OrderForm {
            promised: promised.clone(),
            promised_before: promised,
            several: promises.len() > 1,
            lines,
            open,
            form: TableForm::new(Order::FIELDS, old),
        }
    }
}

impl Dialog for OrderForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let supplier = project.supplier(self.form.thing.supplier).map_or("", |s| s.name.as_str());
        ui.label(pieces::strong(supplier, 14.0));
        let first = |name: &str| matches!(name, "number" | "placed_on");
        let look = |shown: bool| if shown { Look::Usual } else { Look::Hidden };
        self.form.ui(ui, project, tokens, |_, name| look(first(name)));
        let hint = if self.several { "different days; empty keeps them" } else { "2026-12-17 or Dec 17" };
        fields::date_hint(ui, "Promised for", &mut self.promised, hint);
        let open = format::count(self.open.len() as i32, "line");
        pieces::muted(ui, tokens, format!("for all lines that have not come: {open}"));
        self.form.ui(ui, project, tokens, |_, name| look(!first(name)));
        fields::section(ui, tokens, "Lines; those not ticked leave the order");
        for (_, name, stays) in &mut self.lines {
            ui.checkbox(stays, RichText::new(name.as_str()).size(type_size::BODY));
        }
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut order = self.form.read()?;
        let kept = |id: &PartId| self.lines.iter().any(|(line, _, stays)| line == id && *stays);
        order.parts.retain(kept);
        let put = Action::PutOrder(order);
        if self.promised.trim() == self.promised_before.trim() {
            return Ok(put);
        }
        let promised = fields::day("Promised for", &self.promised)?;
        let open: Vec<PartId> = self.open.iter().copied().filter(kept).collect();
        let label = put.label(project);
        Ok(Action::Batch { label, actions: vec![put, Action::MarkPromised(open, promised)] })
    }
}
