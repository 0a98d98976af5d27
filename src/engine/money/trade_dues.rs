//! What falls due for trades, fees, extras and changes, one by one: the weeks of the cash flow and the list of the week
//! read the same.

use super::About;
use super::installments;
use super::trades::{self, Scope, Trades};
use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::engine::index::Index;
use crate::model::money::minor_units;
use crate::model::{Money, PhaseId, Project};

/// Something that is still to be paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TradeDue {
    /// What it is owed for: a quote, a scope, a fee or an extra, a change.
    pub about: About,
    /// The installment of the quote, by position.
    pub installment: Option<usize>,
    /// Position of the phase it falls due with.
    pub phase: Option<usize>,
    /// The day, which may have passed.
    pub day: Day,
    /// What is left of it in minor units, above zero.
    pub units: i128,
}

/// All of them, scopes first; those of one scope by day.
pub fn all(
    project: &Project,
    trades: &Trades,
    index: &Index,
    phases: &[PhaseFigures],
    as_of: Day,
) -> Vec<TradeDue> {
    let digits = project.settings.currency.minor_digits();
    let mut dues = Vec::new();
    for scope in &trades.scopes {
        of_scope(project, scope, index, phases, as_of, &mut dues);
    }
    let left = |amount: Money, paid: Money| minor_units(amount, digits) - minor_units(paid, digits);
    let position = |id: Option<PhaseId>| id.and_then(|id| index.of(id.0)).filter(|at| *at < phases.len());
    let mut put = |about, phase: Option<usize>, day: Option<Day>, units| {
        if units > 0 {
            dues.push(TradeDue { about, installment: None, phase, day: day.unwrap_or(as_of), units });
        }
    };
    for (at, extra) in project.extras.iter().enumerate() {
        let phase = position(extra.phase);
        let day = phase.and_then(|at| phases[at].forecast_start);
        put(About::Extra(at), phase, day, left(extra.amount, extra.paid));
    }
    let changes = project.changes.iter().enumerate();
    for (at, change) in changes.filter(|(_, c)| c.is_agreed(as_of.date())) {
        let phase = position(change.phase);
        let day = phase.and_then(|at| phases[at].forecast_finish);
        put(About::Change(at), phase, day, left(change.amount.unwrap_or_default(), change.paid));
    }
    dues
}

/// A scope in parts, as its phases finish. What is paid settles the earliest of them. One that is open and names no
/// phase has no date.
fn of_scope(
    project: &Project,
    scope: &Scope,
    index: &Index,
    phases: &[PhaseFigures],
    as_of: Day,
    found: &mut Vec<TradeDue>,
) {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let about = if scope.open { About::Scope(scope.quote) } else { About::Quote(scope.quote) };
    let finish = |at: usize| phases.get(at).and_then(|p| p.forecast_finish);
    let quote = project.quotes.get(scope.quote).filter(|_| !scope.open);
    let own = quote.map_or(Vec::new(), |q| installments::of_quote(q, currency, index, phases, as_of));
    let mut paid = quote.map_or(0, |q| minor_units(q.paid, digits));
    // What was paid on an installment settles it first; what is above it settles others.
    let last = scope.phases.iter().filter_map(|at| finish(*at)).max().unwrap_or(as_of);
    let mut dues: Vec<TradeDue> = Vec::with_capacity(own.len() + scope.phases.len());
    for (at, one) in own.iter().enumerate() {
        let (amount, settled) = (minor_units(one.amount, digits), minor_units(one.paid, digits));
        paid += (settled - amount).max(0);
        let (day, units) = (one.due.unwrap_or(last), (amount - settled).max(0));
        dues.push(TradeDue { about, installment: Some(at), phase: None, day, units });
    }
    let covered: i128 = own.iter().map(|one| minor_units(one.amount, digits)).sum();
    let rest = (minor_units(scope.amount, digits) - covered).max(0);
    let parts = trades::parts_due(project, scope, rest).into_iter();
    let dated = parts.filter(|(phase, _)| !scope.open || phase.is_some());
    dues.extend(dated.map(|(phase, units)| {
        let day = phase.and_then(finish).unwrap_or(as_of);
        TradeDue { about, installment: None, phase, day, units }
    }));
    dues.sort_by_key(|due| due.day);
    for due in dues {
        let settled = paid.min(due.units);
        paid -= settled;
        if due.units > settled {
            found.push(TradeDue { units: due.units - settled, ..due });
        }
    }
}
