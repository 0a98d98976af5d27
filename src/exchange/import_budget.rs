//! The sheets `quotes` and `extras`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, Keys, build};
use crate::model::{Extra, ExtraId, ExtraKind, PhaseId, Quote, QuoteId};
use std::collections::HashMap;
use std::sync::Arc;

/// The states of a quote with their words.
pub(super) const QUOTE_STATES: [(&str, bool); 2] = [("candidate", false), ("accepted", true)];

impl Import {
    pub(super) fn budget(&mut self) {
        // A project with the phases alone, for the rules about quotes and extras.
        let mut phases = self.project.clone();
        phases.phases = Arc::new(self.phases.clone());
        if let Some(sheet) = self.take("quotes") {
            let mut keys = Keys::new("quote", "quotes.csv");
            let mut accepted: HashMap<String, usize> = HashMap::new();
            let mut quotes = Vec::with_capacity(sheet.rows.len());
            for (at, row) in sheet.rows.iter().enumerate() {
                let id = QuoteId(self.project.fresh_id());
                let make = |c: &Cells<'_>| quote(c, id, self.phase_of(c));
                let check = |quote: &Quote| quote.check_in(&phases);
                let (quote, found) = build(&sheet, row, make, check);
                self.faults.extend(found);
                keys.note(&quote.key, at, &sheet, row.number, &mut self.faults);
                if quote.accepted
                    && !quote.scope.is_empty()
                    && let Some(first) = accepted.insert(quote.scope.clone(), row.number)
                {
                    let message = format!(
                        "the quote in row {first} is accepted for the same scope; both count, take one back if they compete"
                    );
                    self.notices.push(Notice::cell(&sheet.file, row.number, "state", message));
                }
                quotes.push(quote);
            }
            self.project.quotes = Arc::new(quotes);
        }
        if let Some(sheet) = self.take("extras") {
            let mut keys = Keys::new("extra", "extras.csv");
            let mut extras = Vec::with_capacity(sheet.rows.len());
            for (at, row) in sheet.rows.iter().enumerate() {
                let id = ExtraId(self.project.fresh_id());
                let make = |c: &Cells<'_>| extra(c, id, self.phase_of(c));
                let check = |extra: &Extra| extra.check_in(&phases);
                let (extra, found) = build(&sheet, row, make, check);
                self.faults.extend(found);
                keys.note(&extra.key, at, &sheet, row.number, &mut self.faults);
                extras.push(extra);
            }
            self.project.extras = Arc::new(extras);
        }
    }

    fn phase_of(&self, c: &Cells<'_>) -> Option<PhaseId> {
        c.refer("phase", &self.phase_keys).map(|at| self.phases[at].id)
    }
}

fn quote(c: &Cells<'_>, id: QuoteId, phase: Option<PhaseId>) -> Quote {
    Quote {
        id,
        key: c.key("key"),
        phase,
        trade: c.text("trade"),
        scope: c.text("scope"),
        amount: c.money("amount").unwrap_or_default(),
        accepted: c.word("state", &QUOTE_STATES).unwrap_or(false),
        paid: c.money("paid").unwrap_or_default(),
        allowance: c.money("allowance"),
        leaves_out: c.text("leaves_out"),
    }
}

fn extra(c: &Cells<'_>, id: ExtraId, phase: Option<PhaseId>) -> Extra {
    let key = c.key("key");
    Extra {
        id,
        name: c.name_or(&key),
        key,
        kind: c.word("kind", &ExtraKind::ALL).unwrap_or(ExtraKind::Extra),
        phase,
        amount: c.money("amount").unwrap_or_default(),
        paid: c.money("paid").unwrap_or_default(),
    }
}
