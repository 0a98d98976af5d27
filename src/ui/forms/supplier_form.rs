//! The form of a supplier: open days, delivery, tax, freight and terms.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::exchange::typed::TypedError;
use crate::model::dates::ClosedRange;
use crate::model::ids::key_from_name;
use crate::model::{Action, Project, Supplier, SupplierId};
use crate::ui::theme::Tokens;
use chrono::NaiveDate;
use egui::Ui;

/// A supplier.
pub struct SupplierForm {
    new: bool,
    form: TableForm<Supplier>,
}

impl SupplierForm {
    /// Opens the form; `None` when the supplier is gone.
    pub fn new(project: &Project, id: Option<SupplierId>) -> Option<SupplierForm> {
        let supplier = match id {
            Some(id) => project.supplier(id)?.clone(),
            None => Supplier::new(SupplierId(project.next_id), "", ""),
        };
        Some(SupplierForm { new: id.is_none(), form: TableForm::new(Supplier::FIELDS, supplier) })
    }
}

impl Dialog for SupplierForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.form.ui(ui, project, tokens, |_, _| Look::Usual);
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut supplier = self.form.read()?;
        if self.new {
            supplier.key = key_from_name(&supplier.name, project.suppliers.iter().map(|s| s.key.as_str()));
        }
        Ok(Action::PutSupplier(supplier))
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
