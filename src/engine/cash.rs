//! Cash flow: what falls due in which week.
//!
//! A part's deposit is due when it is ordered, the balance when it arrives plus the supplier's net days. What is not
//! ordered is taken to be ordered on its order-by day and to come on its need date; when order-by has passed, to be
//! ordered on the as-of day and to come as forecast. What is already paid settles the earliest dues first.
//! Of what goes back, what it still costs is due on the as-of day. The
//! allowances of what is undecided have no dates and are in no week. Quotes fall due when their phase finishes, fees and extras when it starts. Dues before the as-of day
//! count in its week.

use super::calendar::Day;
use super::figures::Figures;
use crate::model::money::{from_minor_units, minor_units};
use crate::model::{Money, Project};

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

/// Everything still to be paid, by week.
pub fn by_week(project: &Project, figures: &Figures) -> Vec<CashWeek> {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let first = monday(figures.as_of);
    // Minor units by week from the one of the as-of day.
    let mut weeks: Vec<i128> = Vec::new();
    let mut due = |day: Day, units: i128| {
        if units > 0 {
            let week = usize::try_from(day.since(first) / 7).unwrap_or(0);
            if week >= weeks.len() {
                weeks.resize(week + 1, 0);
            }
            weeks[week] += units;
        }
    };
    let units = |amount: Money| minor_units(amount, digits);
    for (at, f) in figures.parts.iter().enumerate() {
        if !f.live && f.placed.is_none() {
            continue;
        }
        let supplier = f.supplier.and_then(|s| project.suppliers.get(s as usize));
        let total = units(f.amount) + units(f.freight) + units(f.tax);
        let deposit = supplier
            .filter(|s| !s.deposit_pct.is_zero())
            .map_or(0, |s| units(from_minor_units(total, digits).percent(s.deposit_pct, currency)));
        let paid = units(f.paid);
        if let Some(r) = figures.returns.of(at).filter(|r| r.forecast != r.terms.full) {
            // What goes back is settled at once; what is given back is no due.
            due(figures.as_of, units(r.forecast) - units(r.paid));
            continue;
        }
        // What can still be ordered in time is taken to be ordered on its last day, and to come when it is needed.
        let last_day = f.order_by.zip(f.need_date).filter(|(by, _)| !f.late && *by >= figures.as_of);
        let (ordered, delivered) = match (f.placed, last_day) {
            (None, Some((order_by, need_date))) => (order_by, need_date),
            (placed, _) => (placed.unwrap_or(figures.as_of), f.arrival),
        };
        let net_days = supplier.map_or(0, |s| i32::try_from(s.net_days).unwrap_or(0));
        due(ordered, deposit - paid);
        due(delivered.plus(net_days), total - deposit - (paid - deposit).max(0));
    }
    for quote in project.quotes.iter().filter(|q| q.accepted) {
        let phase = quote.phase.and_then(|id| figures.phase(id));
        let day = phase.and_then(|p| p.forecast_finish).unwrap_or(figures.as_of);
        due(day, units(quote.amount) - units(quote.paid));
    }
    for extra in project.extras.iter() {
        let phase = extra.phase.and_then(|id| figures.phase(id));
        let day = phase.and_then(|p| p.forecast_start).unwrap_or(figures.as_of);
        due(day, units(extra.amount) - units(extra.paid));
    }
    let mut cumulative = Money::ZERO;
    weeks
        .into_iter()
        .enumerate()
        .filter(|(_, units)| *units > 0)
        .map(|(week, units)| {
            let due = from_minor_units(units, digits);
            cumulative = cumulative.plus(due);
            CashWeek { monday: first.plus(week as i32 * 7), due, cumulative }
        })
        .collect()
}
