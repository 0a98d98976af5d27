//! The sheets `quotes` and `extras`.

use super::import::Import;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::{Extra, ExtraId, Project, Quote, QuoteId};
use std::collections::HashMap;
use std::sync::Arc;

impl Import {
    /// A project with the phases alone, for the rules about quotes and extras.
    fn with_phases(&self) -> Project {
        let mut project = self.project.clone();
        project.phases = Arc::new(self.phases.clone());
        project
    }

    pub(super) fn quotes(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        let new = |id| Quote::new(QuoteId(id));
        let quotes = self.list(sheet, Quote::FIELDS, new, |_, quote| quote.check_in(&phases));
        let mut accepted: HashMap<&str, usize> = HashMap::new();
        for (quote, row) in quotes.iter().zip(&sheet.rows) {
            if quote.accepted
                && !quote.scope.is_empty()
                && let Some(first) = accepted.insert(&quote.scope, row.number)
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
