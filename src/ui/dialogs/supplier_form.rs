//! The form of a supplier: open days, delivery, tax, freight and terms.

use super::fields;
use super::house_forms::shown_decimal;
use crate::exchange::typed::TypedError;
use crate::model::dates::ClosedRange;
use crate::model::ids::key_from_name;
use crate::model::{Action, Freight, Project, Supplier, SupplierId};
use crate::ui::theme::Tokens;
use chrono::NaiveDate;
use egui::Ui;

/// A supplier.
pub struct SupplierForm {
    old: Option<Supplier>,
    name: String,
    weekdays: String,
    delivery: String,
    ship_days: String,
    tax: String,
    flat: String,
    per_item: String,
    freight_pct: String,
    free_over: String,
    freight_taxed: bool,
    deposit: String,
    net_days: String,
    min_order: String,
    restock: String,
    return_days: String,
    closed: String,
}

impl SupplierForm {
    /// Opens the form; `None` when the supplier is gone.
    pub fn new(project: &Project, id: Option<SupplierId>) -> Option<SupplierForm> {
        let old = match id {
            Some(id) => Some(project.supplier(id)?.clone()),
            None => None,
        };
        let s = old.clone().unwrap_or_else(|| Supplier::new(SupplierId(0), "", ""));
        Some(SupplierForm {
            name: s.name,
            weekdays: s.weekdays.to_string(),
            delivery: fields::shown(s.delivery_weekdays),
            ship_days: s.ship_days.to_string(),
            tax: shown_decimal(s.tax_pct),
            flat: shown_decimal(s.freight.flat.amount()),
            per_item: shown_decimal(s.freight.per_item.amount()),
            freight_pct: shown_decimal(s.freight.pct),
            free_over: fields::shown(s.freight.free_over.map(|m| m.amount())),
            freight_taxed: s.freight.taxed,
            deposit: shown_decimal(s.deposit_pct),
            net_days: s.net_days.to_string(),
            min_order: fields::shown(s.min_order.map(|m| m.amount())),
            restock: shown_decimal(s.restock_pct),
            return_days: fields::shown(s.return_days),
            closed: closed_text(&s.closed),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::section(ui, tokens, "Days");
        fields::text(ui, "Open on", &mut self.weekdays);
        fields::text_hint(ui, "Delivers on", &mut self.delivery, "any working day when empty");
        fields::text(ui, "Days on the road", &mut self.ship_days);
        fields::lines(ui, "Closed from and to", &mut self.closed);
        fields::section(ui, tokens, "Tax and freight of an order");
        fields::text(ui, "Sales tax, percent", &mut self.tax);
        fields::text(ui, "Freight, flat", &mut self.flat);
        fields::text(ui, "Freight a unit", &mut self.per_item);
        fields::text(ui, "Freight, percent", &mut self.freight_pct);
        fields::text(ui, "Free from", &mut self.free_over);
        fields::flag(ui, "Freight is taxed", &mut self.freight_taxed);
        fields::section(ui, tokens, "Terms");
        fields::text_hint(ui, "Smallest order", &mut self.min_order, "goods; none when empty");
        fields::text(ui, "Deposit, percent", &mut self.deposit);
        fields::text(ui, "Balance due, days", &mut self.net_days);
        fields::text(ui, "Restocking, percent", &mut self.restock);
        fields::text(ui, "Returns within, days", &mut self.return_days);
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
                SupplierId(project.next_id),
                key_from_name(&name, project.suppliers.iter().map(|s| s.key.as_str())),
            ),
        };
        let maybe = |label: &str, text: &str| match text.trim() {
            "" => Ok(None),
            text => fields::amount(label, text).map(Some),
        };
        Ok(Action::PutSupplier(Supplier {
            id,
            key,
            name,
            weekdays: self.weekdays.parse()?,
            delivery_weekdays: match self.delivery.trim() {
                "" => None,
                text => Some(text.parse()?),
            },
            ship_days: fields::whole("Days on the road", &self.ship_days)?.unwrap_or(0),
            tax_pct: fields::percent("Sales tax", &self.tax)?,
            freight: Freight {
                flat: fields::amount("Freight, flat", &self.flat)?,
                per_item: fields::amount("Freight a unit", &self.per_item)?,
                pct: fields::percent("Freight, percent", &self.freight_pct)?,
                free_over: maybe("Free from", &self.free_over)?,
                taxed: self.freight_taxed,
            },
            deposit_pct: fields::percent("Deposit", &self.deposit)?,
            net_days: fields::days("Balance due", &self.net_days)?.unwrap_or(0),
            min_order: maybe("Smallest order", &self.min_order)?,
            restock_pct: fields::percent("Restocking", &self.restock)?,
            return_days: fields::days("Returns within", &self.return_days)?,
            closed: closed_ranges(&self.closed, &self.old.as_ref().map_or(Vec::new(), |s| s.closed.clone()))?,
        }))
    }
}

/// Closed ranges as text, one a line: first and last day.
pub fn closed_text(ranges: &[ClosedRange]) -> String {
    ranges.iter().map(|r| format!("{} {}", r.from, r.to)).collect::<Vec<_>>().join("\n")
}

/// Reads closed ranges, one a line; the reason of a range that was there before is kept.
///
/// # Errors
/// What is wrong with which line.
pub fn closed_ranges(text: &str, before: &[ClosedRange]) -> Result<Vec<ClosedRange>, String> {
    text.lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| {
            let (from, to) = first_and_last(line).map_err(|why| why.to_string())?;
            let why =
                before.iter().find(|r| r.from == from && r.to == to).map_or(String::new(), |r| r.why.clone());
            Ok(ClosedRange { from, to, why })
        })
        .collect()
}

/// One day, or two with nothing or a word for `to` between.
fn first_and_last(line: &str) -> Result<(NaiveDate, NaiveDate), TypedError> {
    let typed = fields::reader();
    let words: Vec<&str> = line.split_whitespace().collect();
    let ends = (1..words.len()).find_map(|at| {
        let behind = if matches!(words[at], "to" | "-" | "–") { at + 1 } else { at };
        let day = |words: &[&str]| typed.date(&words.join(" ")).ok();
        Some((day(&words[..at])?, day(&words[behind..])?))
    });
    match typed.date(line) {
        Ok(day) => Ok((day, day)),
        Err(why) => ends.ok_or(why),
    }
}
