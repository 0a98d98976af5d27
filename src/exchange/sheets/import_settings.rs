//! The sheets `settings` and `closed`.

use super::import::Import;
use super::read::fill;
use super::row::{Cells, build, listed};
use super::sheet::{Row, Sheet};
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::{ClosedRange, Settings, validate};
use std::collections::HashMap;

/// The names of the settings.
fn keys() -> impl Iterator<Item = &'static str> {
    Settings::FIELDS.iter().filter(|field| field.kind.in_sheet()).map(|field| field.name)
}

impl Import {
    /// Says that there are no settings, unless something is wrong with them already.
    pub(super) fn no_settings(&mut self, sheets: &HashMap<&'static str, Sheet>) {
        let known = sheets.contains_key("settings") || self.faults.is_about("settings.csv");
        if !known {
            let message = "this sheet is missing; write one with the columns key,value and at least a row start with the first day of the work";
            self.faults.push(Notice::file("settings.csv", message));
        }
    }

    pub(super) fn settings(&mut self, sheet: &Sheet) {
        let (turned, rows) = self.turn(sheet);
        let missing = turned.column("start").is_none();
        if missing && sheet.whole {
            let message = "the row start is missing; add one with the first day of the work, for example start,2026-06-01";
            self.faults.push(Notice::file(&sheet.file, message));
        }
        let fallback = self.project.settings.name.clone();
        let mut found = Vec::new();
        if let [row] = turned.rows.as_slice() {
            let make = |c: &Cells<'_>| {
                if !missing && !c.is_filled("start") {
                    c.needed::<()>("start", None, ());
                }
                fill(c, self, Settings::FIELDS, Settings::new(&fallback, FIRST_DAY))
            };
            let settings;
            (settings, found) = build(&turned, row, make, validate::settings);
            self.project.settings = settings;
        }
        // In the turned sheet a setting is a column; in the file it is a row.
        self.faults.extend(found.into_iter().map(|fault| {
            let at = fault.column.as_ref().and_then(|key| turned.column(key)).and_then(|i| rows.get(i));
            let message = match &fault.column {
                Some(key) => format!("{key}: {}", fault.message),
                None => fault.message,
            };
            match at {
                Some(row) => Notice::cell(&sheet.file, *row, "value", message),
                None => Notice::file(&sheet.file, message),
            }
        }));
    }

    /// The sheet with its keys as columns and one row of values, and the row each came from.
    fn turn(&mut self, sheet: &Sheet) -> (Sheet, Vec<usize>) {
        let mut turned = Sheet { columns: Vec::new(), rows: Vec::new(), ..sheet.clone() };
        let mut rows: Vec<usize> = Vec::new();
        let mut values = Vec::new();
        let (Some(key_at), Some(value_at)) = (sheet.column("key"), sheet.column("value")) else {
            return (turned, rows);
        };
        for row in &sheet.rows {
            let key = row.cells[key_at].trim().to_ascii_lowercase();
            if let Some(first) = turned.column(&key) {
                let message = format!("the setting `{key}` stands in row {} already; keep one", rows[first]);
                self.faults.push(Notice::cell(&sheet.file, row.number, "key", message));
            } else if keys().any(|known| known == key) {
                turned.columns.push(key);
                values.push(row.cells[value_at].clone());
                rows.push(row.number);
            } else {
                let message = format!(
                    "the setting `{key}` is not known and was left out; known are {}",
                    listed(keys())
                );
                self.notices.push(Notice::cell(&sheet.file, row.number, "key", message));
            }
        }
        turned.rows.push(Row { number: 1, cells: values });
        (turned, rows)
    }

    pub(super) fn closed(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let (range, _) = self.row(sheet, row, closed_range, |_, range| {
                validate::settings(&Settings { closed: vec![range.clone()], ..Settings::new("", FIRST_DAY) })
            });
            self.project.settings.closed.push(range);
        }
    }
}

/// A range of closed days; a single day when it has no end.
pub(super) fn closed_range(import: &Import, c: &Cells<'_>) -> ClosedRange {
    let new = ClosedRange { from: FIRST_DAY, to: FIRST_DAY, why: String::new() };
    fill(c, import, ClosedRange::FIELDS, new)
}
