//! Checks of what trades are paid and with what: prices that ran out, what accepted prices leave out, installments and
//! waivers, weeks in which the money does not suffice, draws, changes that nobody agreed to.

use super::Found;
use crate::engine::money::installments::InstallmentFigures;
use crate::model::change::is_open;
use crate::model::words::count;
use crate::model::{Installment, Quote, Severity, Subject};

/// The caution beside payments.
pub const LIENS: &str =
    "lien law and waiver forms differ by state: ask the lender, the title company or a lawyer";

impl Found<'_> {
    pub(super) fn money_of_trades(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for bids in &figures.trades.bids {
            let open = bids.quotes.iter().all(|at| !project.quotes[*at].accepted);
            for quote in bids.quotes.iter().filter_map(|at| project.quotes.get(*at)) {
                self.quote_alone(quote, open);
            }
        }
        self.cash();
        self.draws();
        self.changes();
    }

    fn quote_alone(&mut self, quote: &Quote, open: bool) {
        let as_of = self.figures.as_of.date();
        let subject = Subject::Quote(quote.id);
        if let Some(until) = quote.valid_until.filter(|until| open && *until < as_of) {
            let message = format!(
                "{}, {}: the price held until {until}; ask whether it still does before it is accepted",
                quote.trade, quote.scope
            );
            self.add(Severity::Note, "price_expired", subject, &quote.key, message);
        }
        if !quote.accepted {
            return;
        }
        if quote.has_holes() {
            let holes = quote.left_out.iter().filter(|l| l.amount.is_none());
            let what: Vec<&str> = holes.map(|l| l.what.as_str()).collect();
            let message = format!(
                "{}, {}: the accepted price leaves out {}, which nobody has priced, so the forecast is without it; ask \
                 for a price, or take it off the list when another covers it",
                quote.trade,
                quote.scope,
                what.join(", ")
            );
            self.add(Severity::Note, "holes_accepted", subject, &quote.key, message);
        }
        let figures = self.figures.installments(self.project, quote);
        for (installment, f) in quote.installments.iter().zip(figures) {
            self.installment(quote, installment, &f);
        }
    }

    fn installment(&mut self, quote: &Quote, installment: &Installment, f: &InstallmentFigures) {
        let currency = self.project.settings.currency;
        let subject = Subject::Quote(quote.id);
        if f.wants_waiver {
            let message = format!(
                "{}: `{}` was paid and no waiver of lien is on file; ask for one, and note the day; {LIENS}",
                quote.trade, installment.what
            );
            self.add(Severity::Note, "no_waiver", subject, &quote.key, message);
        }
        if let Some(due) = f.due.filter(|due| *due <= self.figures.as_of)
            && !f.owed().is_zero()
        {
            let message = format!(
                "{}: `{}`, {} {currency}, is due since {due}; pay it against a waiver of lien, or note the payment; {LIENS}",
                quote.trade,
                installment.what,
                f.owed().to_plain(currency)
            );
            self.add(Severity::Warning, "installment_due", subject, &quote.key, message);
        }
    }

    /// The weeks in which there is not enough to pay what falls due.
    fn cash(&mut self) {
        let currency = self.project.settings.currency;
        let mut short = self.figures.cash.iter().filter_map(|week| Some((week, week.short()?)));
        let Some((first, missing)) = short.next() else { return };
        let (most, more) = short.fold((missing, 0), |(most, n), (_, missing)| (most.max(missing), n + 1));
        let further = match more {
            0 => String::new(),
            n => {
                let most = most.to_plain(currency);
                format!(", and in {}, by up to {most} {currency}", count(n, "more week"))
            }
        };
        let message = format!(
            "in the week of {} what there is falls {} {currency} short of what is due{further}; ask the lender for an \
             earlier draw, agree on later payments, or set aside more",
            first.monday,
            missing.to_plain(currency)
        );
        let name = &self.project.settings.name;
        self.add(Severity::Warning, "cash_short", Subject::Project, name, message);
    }

    fn draws(&mut self) {
        let (project, figures) = (self.project, self.figures);
        let currency = project.settings.currency;
        for (draw, f) in project.draws.iter().zip(&figures.draws) {
            let subject = Subject::Draw(draw.id);
            let sum = draw.amount.to_plain(currency);
            if f.overdue {
                let message = format!(
                    "{}, {sum} {currency}, was expected before {} and has not come; ask the lender what it waits for",
                    draw.name, figures.as_of
                );
                self.add(Severity::Warning, "draw_overdue", subject, &draw.key, message);
            } else if f.expected.is_none() && !draw.has_come(figures.as_of.date()) {
                let gate = draw.gate.and_then(|id| project.gate(id));
                let phase = draw.phase.and_then(|id| project.phase(id));
                let message = match gate {
                    _ if phase.is_some() => format!(
                        "{}, {sum} {currency}, waits for {}, which has no day, so it is counted on for no day; mend what \
                         keeps that phase from having one",
                        draw.name,
                        phase.map_or("", |p| p.name.as_str())
                    ),
                    Some(gate) => format!(
                        "{}, {sum} {currency}, waits for {}, and nobody knows when that is ready, so it is counted on for \
                         no day; see what the gate misses",
                        draw.name, gate.name
                    ),
                    None => format!(
                        "{}, {sum} {currency}, hangs on no phase and no gate, so it is counted on for no day; say what it \
                         waits for",
                        draw.name
                    ),
                };
                self.add(Severity::Warning, "draw_undated", subject, &draw.key, message);
            }
        }
    }

    fn changes(&mut self) {
        let (project, on) = (self.project, self.figures.as_of.date());
        let currency = project.settings.currency;
        for change in project.changes.iter().filter(|c| is_open(project, c, on)) {
            let days =
                change.days.map_or("an unknown number of days".to_owned(), |n| count(n, "working day"));
            let sum = change
                .amount
                .map_or("an unknown sum".to_owned(), |sum| format!("{} {currency}", sum.to_plain(currency)));
            let phase = change.phase.and_then(|id| project.phase(id));
            let to = phase.map_or(String::new(), |p| format!(" to {}", p.name));
            let which = if change.decision.trim().is_empty() {
                String::new()
            } else {
                format!(", or another answer to `{}`", change.decision.trim())
            };
            let message = format!(
                "{}: nobody has agreed to it, so it counts in nothing; it would add {days}{to} and {sum}; agree on \
                 it{which}, or take it out",
                change.what
            );
            self.add(Severity::Warning, "change_open", Subject::Change(change.id), &change.key, message);
        }
    }
}
