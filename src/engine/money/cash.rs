//! Cash flow: what falls due in which week.
//!
//! A part's deposit is due when it is ordered, the balance when it arrives plus the supplier's net days. What is not
//! ordered is taken to be ordered on its order-by day and to come on its need date; when order-by has passed, to be
//! ordered on the as-of day and to come as forecast. What is already paid settles the earliest dues first. The
//! allowances of what is undecided have no dates and are in no week. What goes back is settled on the as-of day: what it
//! still costs is due, and what is given back is no due. Scopes of trades fall due in parts as their
//! phases finish, by their days; so do those without an accepted quote, with what the forecast counts for them. Fees and
//! extras fall due when their phase starts. Dues before the as-of day count in its week.

use super::trades::{self, Scope, Trades};
use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::engine::index::Index;
use crate::engine::parts::PartFigures;
use crate::engine::returns::ReturnFigures;
use crate::model::money::{from_minor_units, minor_units};
use crate::model::{Money, PhaseId, Project};

/// Money due in one week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CashWeek {
    /// Its Monday.
    pub monday: Day,
    /// What falls due in it.
    pub due: Money,
    /// What has fallen due from the as-of day up to its end.
    pub cumulative: Money,
}

fn monday(day: Day) -> Day {
    day.plus(-(day.weekday_index() as i32))
}

/// What falls due by week in whole minor units.
#[derive(Debug, Clone, Default)]
pub struct Weeks {
    /// By week from the one of the as-of day.
    units: Vec<i128>,
}

impl Weeks {
    fn put(&mut self, week: usize, units: i128) {
        if week >= self.units.len() {
            self.units.resize(week + 1, 0);
        }
        self.units[week] += units;
    }

    /// Puts in what falls due for a part, with its return where it has one.
    pub fn part(&mut self, project: &Project, f: &PartFigures, back: Option<&ReturnFigures>, as_of: Day) {
        if !f.live && f.placed.is_none() {
            return;
        }
        for (day, units) in dues(project, f, back, as_of) {
            if units > 0 {
                self.put(week_of(day, as_of), units);
            }
        }
    }

    /// Puts in what falls due for scopes of trades, fees and extras.
    pub fn put_trades(
        &mut self,
        project: &Project,
        trades: &Trades,
        index: &Index,
        phases: &[PhaseFigures],
        as_of: Day,
    ) {
        let digits = project.settings.currency.minor_digits();
        let left = |amount: Money, paid: Money| minor_units(amount, digits) - minor_units(paid, digits);
        let phase = |id: Option<PhaseId>| id.and_then(|id| index.of(id.0)).and_then(|at| phases.get(at));
        for scope in &trades.scopes {
            self.scope(project, scope, phases, as_of);
        }
        let extras = project
            .extras
            .iter()
            .map(|extra| (phase(extra.phase).and_then(|p| p.forecast_start), left(extra.amount, extra.paid)));
        for (day, units) in extras.filter(|(_, units)| *units > 0) {
            self.put(week_of(day.unwrap_or(as_of), as_of), units);
        }
    }

    /// A scope in parts, as its phases finish. What is paid settles the earliest of them. One that is open and names no
    /// phase has no date.
    fn scope(&mut self, project: &Project, scope: &Scope, phases: &[PhaseFigures], as_of: Day) {
        let digits = project.settings.currency.minor_digits();
        let finish = |at: usize| phases.get(at).and_then(|p| p.forecast_finish);
        let parts = trades::parts_due(project, scope, digits).into_iter();
        let dated = parts.filter(|(phase, _)| !scope.open || phase.is_some());
        let mut dues: Vec<(Day, i128)> =
            dated.map(|(phase, units)| (phase.and_then(finish).unwrap_or(as_of), units)).collect();
        dues.sort_by_key(|(day, _)| *day);
        let quote = project.quotes.get(scope.quote).filter(|_| !scope.open);
        let mut paid = quote.map_or(0, |q| minor_units(q.paid, digits));
        for (day, units) in dues {
            let settled = paid.min(units);
            paid -= settled;
            if units > settled {
                self.put(week_of(day, as_of), units - settled);
            }
        }
    }

    /// As it is shown: the weeks in which something falls due.
    pub fn show(&self, as_of: Day, digits: u32) -> Vec<CashWeek> {
        let first = monday(as_of);
        let mut cumulative = Money::ZERO;
        let due = self.units.iter().enumerate().filter(|(_, units)| **units > 0);
        due.map(|(week, units)| {
            let due = from_minor_units(*units, digits);
            cumulative = cumulative.plus(due);
            CashWeek { monday: first.plus(week as i32 * 7), due, cumulative }
        })
        .collect()
    }
}

/// What falls due for a part that counts, with its return where it has one, in whole minor units: the deposit and its
/// day, then the balance. What is not above zero is not due.
pub(in crate::engine) fn dues(
    project: &Project,
    f: &PartFigures,
    back: Option<&ReturnFigures>,
    as_of: Day,
) -> [(Day, i128); 2] {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let units = |amount: Money| minor_units(amount, digits);
    let supplier = f.supplier.and_then(|s| project.suppliers.get(s as usize));
    let total = units(f.amount) + units(f.freight) + units(f.tax);
    let deposit = supplier
        .filter(|s| !s.deposit_pct.is_zero())
        .map_or(0, |s| units(from_minor_units(total, digits).percent(s.deposit_pct, currency)));
    let paid = units(f.paid);
    // What can still be ordered in time is taken to be ordered on its last day, and to come when it is needed.
    let last_day = f.order_by.zip(f.need_date).filter(|(by, _)| !f.late && *by >= as_of);
    let (ordered, delivered) = match (f.placed, last_day) {
        (None, Some((order_by, need_date))) => (order_by, need_date),
        (placed, _) => {
            let placed = placed.unwrap_or(f.orderable_from.map_or(as_of, |from| from.max(as_of)));
            (placed, f.expected.unwrap_or(placed))
        }
    };
    let net_days = supplier.map_or(0, |s| i32::try_from(s.net_days).unwrap_or(0));
    match back.filter(|r| r.forecast != r.terms.full) {
        Some(r) => [(as_of, units(r.forecast) - units(r.paid)), (as_of, 0)],
        None => {
            [(ordered, deposit - paid), (delivered.plus(net_days), total - deposit - (paid - deposit).max(0))]
        }
    }
}

fn week_of(day: Day, as_of: Day) -> usize {
    usize::try_from(day.since(monday(as_of)) / 7).unwrap_or(0)
}
