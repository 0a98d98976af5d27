//! Checks of what trades cost: scopes without an accepted quote, scopes with several, work that has no price.

use super::Found;
use crate::model::words::count;
use crate::model::{Severity, Subject};

impl Found<'_> {
    /// Scopes with quotes of which none is accepted, or more than one.
    pub(super) fn quotes(&mut self) {
        let (project, figures) = (self.project, self.figures);
        let currency = project.settings.currency;
        for scope in figures.trades.open_scopes() {
            let Some(quote) = project.quotes.get(scope.quote) else { continue };
            let named = [&quote.scope, &quote.trade, &quote.key].into_iter().find(|name| !name.is_empty());
            let what = named.unwrap_or(&quote.key);
            let stands = if scope.by_allowance { "its allowance of" } else { "the lowest of its prices," };
            let message = format!(
                "{what}: no bid is accepted, so {stands} {} {currency} counts in the forecast until one is; accept one",
                scope.amount.to_plain(currency)
            );
            self.add(Severity::Warning, "no_quote", Subject::Quote(quote.id), &quote.key, message);
        }
        let scopes: Vec<String> = project.quotes.iter().map(|quote| quote.scope_read()).collect();
        for (at, (quote, scope)) in project.quotes.iter().zip(&scopes).enumerate() {
            // Quotes without a scope are not told apart by one.
            if scope.is_empty() || scopes[..at].contains(scope) {
                continue;
            }
            let of_scope = || project.quotes.iter().zip(&scopes).filter(|(_, s)| *s == scope).map(|(q, _)| q);
            let (code, message) = match of_scope().filter(|q| q.accepted).count() {
                0 if of_scope().all(|q| q.amount.is_zero() && q.allowance.is_none_or(|a| a.is_zero())) => (
                    "no_quote",
                    format!(
                        "{}: no bid has an amount, so it is not in the forecast; ask for a price or set something aside",
                        quote.scope
                    ),
                ),
                0 | 1 => continue,
                n => (
                    "two_quotes",
                    format!("{}: {n} bids are accepted and all of them count; accept one", quote.scope),
                ),
            };
            self.add(Severity::Warning, code, Subject::Quote(quote.id), &quote.key, message);
        }
    }

    /// Phases of work for which somebody will ask money and nobody has said how much.
    pub(super) fn without_price(&mut self) {
        for at in &self.figures.trades.unpriced {
            let Some(phase) = self.project.phases.get(*at) else { continue };
            let days = phase.counted_days();
            let have = if days == 1 { "has" } else { "have" };
            let message = format!(
                "{}: {} of {} {have} no price, so the forecast is without them; add a bid that covers the phase, or mark it as your own work",
                phase.name,
                count(days, "working day"),
                phase.trade
            );
            self.add(Severity::Warning, "no_price", Subject::Phase(phase.id), &phase.key, message);
        }
    }
}
