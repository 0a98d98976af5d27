//! The sheets `settings` and `closed`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, build, listed};
use super::sheet::{Row, Sheet};
use crate::model::dates::FIRST_DAY;
use crate::model::{ClosedRange, Currency, Settings, TaxBy, Units, validate};

/// The keys of the settings sheet, in the order in which they are written.
pub(super) const KEYS: [&str; 13] = [
    "name",
    "start",
    "target_finish",
    "as_of",
    "currency",
    "holidays",
    "weekdays",
    "hold",
    "reinspect_wait",
    "contingency_pct",
    "tax_by",
    "units",
    "year_built",
];

impl Import {
    pub(super) fn settings(&mut self) {
        let Some(sheet) = self.take("settings") else {
            if !self.faults.iter().any(|f| f.file.eq_ignore_ascii_case("settings.csv")) {
                let message = "this sheet is missing; write one with the columns key,value and at least a row start with the first day of the work";
                self.faults.push(Notice::file("settings.csv", message));
            }
            self.closed();
            return;
        };
        let (turned, rows) = self.turn(&sheet);
        let missing = turned.column("start").is_none();
        if missing && sheet.whole {
            let message = "the row start is missing; add one with the first day of the work, for example start,2026-06-01";
            self.faults.push(Notice::file(&sheet.file, message));
        }
        let fallback = self.project.settings.name.clone();
        let mut found = Vec::new();
        if let [row] = turned.rows.as_slice() {
            let make = |c: &Cells<'_>| settings(c, &fallback, missing);
            (self.project.settings, found) = build(&turned, row, make, validate::settings);
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
        self.closed();
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
            } else if KEYS.contains(&key.as_str()) {
                turned.columns.push(key);
                values.push(row.cells[value_at].clone());
                rows.push(row.number);
            } else {
                let message = format!(
                    "the setting `{key}` is not known and was left out; known are {}",
                    listed(KEYS.iter())
                );
                self.notices.push(Notice::cell(&sheet.file, row.number, "key", message));
            }
        }
        turned.rows.push(Row { number: 1, cells: values });
        (turned, rows)
    }

    fn closed(&mut self) {
        let Some(sheet) = self.take("closed") else { return };
        for row in &sheet.rows {
            let (range, found) = build(&sheet, row, closed_range, |range| {
                validate::settings(&Settings { closed: vec![range.clone()], ..Settings::new("", FIRST_DAY) })
            });
            self.faults.extend(found);
            self.project.settings.closed.push(range);
        }
    }
}

/// A range of closed days; a single day when it has no end.
pub(super) fn closed_range(c: &Cells<'_>) -> ClosedRange {
    let from = c.needed("from", c.date("from"), FIRST_DAY);
    ClosedRange { from, to: c.date("to").unwrap_or(from), why: c.text("why") }
}

fn settings(c: &Cells<'_>, fallback: &str, no_start: bool) -> Settings {
    let start = c.date("start");
    let start = if no_start { FIRST_DAY } else { c.needed("start", start, FIRST_DAY) };
    let usual = Settings::new(fallback, start);
    Settings {
        name: c.verbatim("name").unwrap_or(usual.name),
        start,
        target_finish: c.date("target_finish"),
        as_of: c.date("as_of"),
        currency: c
            .read("currency", |text| {
                Currency::from_code(text)
                    .ok_or_else(|| format!("`{text}` is no currency code; write three letters such as USD"))
            })
            .unwrap_or(usual.currency),
        holidays: c.parsed("holidays").unwrap_or(usual.holidays),
        weekdays: c.parsed("weekdays").unwrap_or(usual.weekdays),
        closed: Vec::new(),
        hold: c.whole("hold").unwrap_or(usual.hold),
        reinspect_wait: c.whole("reinspect_wait").unwrap_or(usual.reinspect_wait),
        contingency_pct: c.number("contingency_pct").unwrap_or(usual.contingency_pct),
        tax_by: c.word("tax_by", &TaxBy::ALL).unwrap_or(usual.tax_by),
        units: c.word("units", &Units::ALL).unwrap_or(usual.units),
        year_built: c.whole("year_built"),
    }
}
