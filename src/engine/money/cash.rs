//! Cash flow: what falls due in which week.
//!
//! A part's deposit is due when it is ordered, the balance when it arrives plus the supplier's net days. What is not
//! ordered is taken to be ordered on its order-by day and to come on its need date; when order-by has passed, to be
//! ordered on the as-of day and to come as forecast. What is already paid settles the earliest dues first. The
//! allowances of what is undecided have no dates and are in no week. What goes back is settled on the as-of day: what it
//! still costs is due, and what is given back is no due. Scopes of trades fall due in parts as their
//! phases finish, by their days; so do those without an accepted quote, with what the forecast counts for them. Fees and
//! extras fall due when their phase starts, changes when theirs finishes. An accepted quote with installments falls due by
//! them, and what they do not cover as its phases finish. Dues before the as-of day count on it.
//!
//! Against this stands what there is to pay with: the owner's own money for the job less all that is paid, and the draws of
//! the lender on the days they are expected. They are set against each other day by day, money in before money out on the
//! same day, and a week is short by what is missing on its worst day.

use super::draws::DrawFigures;
use super::trade_dues;
use super::trades::Trades;
use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::engine::index::Index;
use crate::engine::parts::PartFigures;
use crate::engine::returns::ReturnFigures;
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
    /// What the lender is expected to pay out in it.
    pub draws: Money,
    /// What there is to pay with on its worst day, after that day's dues; `None` while nobody has said how much money there is.
    pub left: Option<Money>,
}

impl CashWeek {
    /// What is missing on its worst day; `None` where it suffices, or nobody knows.
    pub fn short(&self) -> Option<Money> {
        self.left.filter(|left| left.is_negative()).map(Money::abs)
    }
}

/// What there is to pay with.
#[derive(Debug, Clone, Copy)]
pub struct Purse<'a> {
    /// The owner's own money for the whole job, where somebody has said.
    pub own: Option<Money>,
    /// All that is paid by the as-of day.
    pub paid: Money,
    /// Draws with their figures.
    pub draws: &'a [DrawFigures],
}

fn monday(day: Day) -> Day {
    day.plus(-(day.weekday_index() as i32))
}

/// What falls due by week in whole minor units.
#[derive(Debug, Clone, Default)]
pub struct Weeks {
    /// By day from the as-of day.
    units: Vec<i128>,
}

impl Weeks {
    fn put(&mut self, day: usize, units: i128) {
        if day >= self.units.len() {
            self.units.resize(day + 1, 0);
        }
        self.units[day] += units;
    }

    /// Puts in what falls due for a part, with its return where it has one.
    pub fn part(&mut self, project: &Project, f: &PartFigures, back: Option<&ReturnFigures>, as_of: Day) {
        if !f.live && f.placed.is_none() {
            return;
        }
        for (day, units) in dues(project, f, back, as_of) {
            if units > 0 {
                self.put(from_as_of(day, as_of), units);
            }
        }
    }

    /// Puts in what falls due for scopes of trades, fees, extras and changes.
    pub fn put_trades(
        &mut self,
        project: &Project,
        trades: &Trades,
        index: &Index,
        phases: &[PhaseFigures],
        as_of: Day,
    ) {
        for due in trade_dues::all(project, trades, index, phases, as_of) {
            self.put(from_as_of(due.day, as_of), due.units);
        }
    }

    /// As it is shown: the weeks in which something falls due, or comes in.
    pub fn show(&self, project: &Project, purse: Purse<'_>, as_of: Day) -> Vec<CashWeek> {
        let digits = project.settings.currency.minor_digits();
        let units = |amount: Money| minor_units(amount, digits);
        let mut comes: Vec<i128> = Vec::new();
        let mut left = purse.own.map(|own| units(own) - units(purse.paid));
        for (draw, f) in project.draws.iter().zip(purse.draws) {
            left = left.map(|left| left + units(f.came));
            let Some(day) = f.expected.map(|day| from_as_of(day, as_of)) else { continue };
            if day >= comes.len() {
                comes.resize(day + 1, 0);
            }
            // What came so far is nothing, or is noted for a day to come.
            comes[day] += units(draw.received.filter(|sum| !sum.is_zero()).unwrap_or(draw.amount));
        }
        let first = monday(as_of);
        let skipped = as_of.weekday_index() as usize;
        let mut weeks: Vec<CashWeek> = Vec::new();
        let mut cumulative = 0;
        for day in 0..self.units.len().max(comes.len()) {
            let due = self.units.get(day).copied().unwrap_or(0);
            let draw = comes.get(day).copied().unwrap_or(0);
            if due == 0 && draw == 0 {
                continue;
            }
            cumulative += due;
            left = left.map(|left| left + draw - due);
            let monday = first.plus(((day + skipped) / 7) as i32 * 7);
            let left = left.map(|left| from_minor_units(left, digits));
            let (due, draw) = (from_minor_units(due, digits), from_minor_units(draw, digits));
            let cumulative = from_minor_units(cumulative, digits);
            match weeks.last_mut().filter(|week| week.monday == monday) {
                Some(week) => {
                    week.due = week.due.plus(due);
                    week.draws = week.draws.plus(draw);
                    week.cumulative = cumulative;
                    week.left = week.left.min(left);
                }
                None => weeks.push(CashWeek { monday, due, cumulative, draws: draw, left }),
            }
        }
        weeks
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

/// Days from the as-of day; none for what lies before it.
fn from_as_of(day: Day, as_of: Day) -> usize {
    usize::try_from(day.since(as_of)).unwrap_or(0)
}
