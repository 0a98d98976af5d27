//! Cash flow: what falls due in which week.
//!
//! A part's deposit is due when it is ordered, the balance when it arrives plus the supplier's net days. What is not
//! ordered is taken to be ordered on its order-by day and to come on its need date; when order-by has passed, to be
//! ordered on the as-of day and to come as forecast. What is already paid settles the earliest dues first. The
//! allowances of what is undecided have no dates and are in no week. What goes back is settled on the as-of day: what it
//! still costs is due, and what is given back is no due. Quotes fall due when their phase finishes, fees
//! and extras when it starts. Dues before the as-of day count in its week.

use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
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

    /// Puts in what falls due for trades, fees and extras. `phase` gives the figures of a phase.
    pub fn put_trades<'a>(
        &mut self,
        project: &Project,
        phase: impl Fn(PhaseId) -> Option<&'a PhaseFigures>,
        as_of: Day,
    ) {
        let digits = project.settings.currency.minor_digits();
        let left = |amount: Money, paid: Money| minor_units(amount, digits) - minor_units(paid, digits);
        let phase = |id: Option<PhaseId>| id.and_then(&phase);
        let quotes = project.quotes.iter().filter(|q| q.accepted).map(|quote| {
            (phase(quote.phase).and_then(|p| p.forecast_finish), left(quote.amount, quote.paid))
        });
        let extras = project
            .extras
            .iter()
            .map(|extra| (phase(extra.phase).and_then(|p| p.forecast_start), left(extra.amount, extra.paid)));
        for (day, units) in quotes.chain(extras).filter(|(_, units)| *units > 0) {
            self.put(week_of(day.unwrap_or(as_of), as_of), units);
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
            let placed = placed.unwrap_or(as_of);
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
