//! The parts in which a trade's price is paid: how much each is, when it falls due, what was paid on it.
//!
//! Installments in percent share what the price times their sum comes to, by largest remainder, so that they add up to
//! the cent. What was paid later than the as-of day does not count. Money that is held back until the end (retainage) is
//! an installment like any other.

use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::engine::index::Index;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Currency, DueAt, Installment, Money, PhaseId, Quote};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// How an installment stands on the as-of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InstallmentFigures {
    /// What it comes to.
    pub amount: Money,
    /// The day it falls due, in the forecast; what names neither a day nor a phase, when all work of the quote is done.
    /// `None` where it names none.
    pub due: Option<Day>,
    /// What was paid on it by the as-of day.
    pub paid: Money,
    /// Whether something was paid and no waiver of lien is on file.
    pub wants_waiver: bool,
}

impl InstallmentFigures {
    /// What is still to be paid; nothing when more was paid.
    pub fn owed(&self) -> Money {
        self.amount.less(self.paid).at_least(Money::ZERO)
    }
}

/// What each installment of a quote comes to.
pub fn amounts(quote: &Quote, currency: Currency) -> Vec<Money> {
    let digits = currency.minor_digits();
    let all: Decimal = quote.installments.iter().filter_map(|i| i.pct).sum();
    let total = minor_units(quote.amount.percent(all, currency), digits);
    // Percents as whole weights; more than nine places of a percent say nothing.
    let weight = |pct: Decimal| (pct * Decimal::from(1_000_000_000_i64)).round().to_i128().unwrap_or(0);
    let mut shares: Vec<i128> = quote.installments.iter().filter_map(|i| i.pct).map(weight).collect();
    share_units(total, &mut shares, &mut Vec::new());
    let mut shares = shares.into_iter();
    let amount = |i: &Installment| match (i.pct, i.amount) {
        (Some(_), _) => from_minor_units(shares.next().unwrap_or(0), digits),
        (None, amount) => amount.unwrap_or_default(),
    };
    quote.installments.iter().map(amount).collect()
}

/// What was paid on an installment by a day.
fn paid(installment: &Installment, amount: Money, by: NaiveDate) -> Money {
    if installment.is_paid(by) { installment.paid.unwrap_or(amount) } else { Money::ZERO }
}

/// What was paid on a quote by a day: what is noted of the quote itself, and on its installments.
pub fn paid_on(quote: &Quote, currency: Currency, by: NaiveDate) -> Money {
    if quote.installments.is_empty() {
        return quote.paid;
    }
    let parts = quote.installments.iter().zip(amounts(quote, currency));
    quote.paid.plus(parts.map(|(i, amount)| paid(i, amount, by)).sum())
}

/// How the installments of a quote stand.
pub fn of_quote(
    quote: &Quote,
    currency: Currency,
    index: &Index,
    phases: &[PhaseFigures],
    as_of: Day,
) -> Vec<InstallmentFigures> {
    let finish = |id: PhaseId| index.of(id.0).and_then(|at| phases.get(at)?.forecast_finish);
    // What hangs on nothing of its own is due when all of the price's work is done.
    let last = quote.phases().filter_map(finish).max();
    let one = |(i, amount): (&Installment, Money)| {
        let phase = i.phase.and_then(|id| index.of(id.0)).and_then(|at| phases.get(at));
        let due = match i.at {
            Some(DueAt::Start) => phase.and_then(|p| p.forecast_start),
            Some(DueAt::Finish | DueAt::Passed) | None => phase.and_then(|p| p.forecast_finish),
        };
        let is_paid = i.is_paid(as_of.date());
        InstallmentFigures {
            amount,
            due: i.due_on.map(Day::from).or(due).or(last),
            paid: paid(i, amount, as_of.date()),
            wants_waiver: is_paid && !i.has_waiver(as_of.date()),
        }
    };
    quote.installments.iter().zip(amounts(quote, currency)).map(one).collect()
}
