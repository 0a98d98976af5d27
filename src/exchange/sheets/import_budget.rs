//! The sheets `quotes` and `extras`.

use super::import::Import;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::{Extra, ExtraId, LeftOut, PhaseId, Project, Quote, QuoteId};
use std::collections::HashMap;
use std::sync::Arc;

impl Import {
    /// A project with the phases alone, for the rules about quotes and extras.
    pub(super) fn with_phases(&self) -> Project {
        let mut project = self.project.clone();
        project.phases = Arc::new(self.phases.clone());
        project
    }

    /// The phases whose keys stand in a cell, with `;` between them; a key that leads nowhere is a fault.
    pub(super) fn phases_of(&self, c: &Cells<'_>, column: &str) -> Vec<PhaseId> {
        let found = self.all_at(c, column, "phases");
        found.into_iter().filter_map(|at| self.phases.get(at)).map(|p| p.id).collect()
    }

    pub(super) fn quotes(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        let new = |id| Quote::new(QuoteId(id));
        let mut quotes = self.list(sheet, Quote::FIELDS, new, |_, quote| quote.check_in(&phases));
        for (quote, row) in quotes.iter_mut().zip(&sheet.rows) {
            let make = |import: &Import, c: &Cells<'_>| import.phases_of(c, "also");
            (quote.also, _) = self.row(sheet, row, make, |_, _| Ok(()));
            // As it was written before what is left out had a sheet of its own.
            let make = |_: &Import, c: &Cells<'_>| LeftOut::of_lines(&c.text("leaves_out"));
            (quote.left_out, _) = self.row(sheet, row, make, |_, _| Ok(()));
        }
        let mut accepted: HashMap<String, usize> = HashMap::new();
        for (quote, row) in quotes.iter().zip(&sheet.rows) {
            if quote.accepted
                && !quote.scope_read().is_empty()
                && let Some(first) = accepted.insert(quote.scope_read(), row.number)
            {
                let message = format!(
                    "the quote in row {first} is accepted for the same scope; both count, take one back if they compete"
                );
                self.notices.push(Notice::cell(&sheet.file, row.number, "state", message));
            }
        }
        self.project.quotes = Arc::new(quotes);
    }

    pub(super) fn extras(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        let new = |id| Extra::new(ExtraId(id));
        let extras = self.list(sheet, Extra::FIELDS, new, |_, extra| extra.check_in(&phases));
        self.project.extras = Arc::new(extras);
    }
}
