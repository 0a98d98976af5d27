//! All computed figures of a project on a day, and the whole computation: it asks each noun for its figures in the
//! order in which they hang on each other, and adds none of its own.
//!
//! Lists run parallel to the lists of the document: `phases[i]` belongs to `project.phases[i]`, and `parts` holds
//! every part in document order.

use super::calendar::Day;
use super::cash::{CashWeek, Weeks};
use super::days::Days;
use super::deliveries::DeliveryTable;
use super::forecast::{self, Forecast};
use super::gates::{self, GateFigures};
use super::index::Index;
use super::lead::Lead;
use super::money::{MoneyFigures, Sums};
use super::orders::{self, Order};
use super::own_orders::OrderTable;
use super::parts::{self, Parts};
use super::payments::{self, Account, PaymentTable};
use super::plan::Plan;
use super::returns::{self, ReturnTable};
use super::takeoff::{self, RoomSize};
use crate::model::{Action, ActionError, NeededAt, Part, PartId, PhaseId, Project, SelectionId};
use chrono::NaiveDate;

pub use super::forecast::{Held, PhaseFigures};
pub use super::parts::{PartFigures, SelectionFigures};

/// Everything computed for one document and one as-of day.
#[derive(Debug, Clone)]
pub struct Figures {
    /// The day the figures are for.
    pub as_of: Day,
    /// The last day of the plan; `None` without phases.
    pub plan_finish: Option<Day>,
    /// The last day of the forecast.
    pub forecast_finish: Option<Day>,
    /// Working days lost to deliveries.
    pub days_lost: Option<i32>,
    /// By phase.
    pub phases: Vec<PhaseFigures>,
    /// By gate.
    pub gates: Vec<GateFigures>,
    /// By room.
    pub rooms: Vec<RoomSize>,
    /// By selection.
    pub selections: Vec<SelectionFigures>,
    /// By part, in document order.
    pub parts: Vec<PartFigures>,
    /// What is ordered and what is assumed to be ordered.
    pub orders: Vec<Order>,
    /// What ordered parts that are no longer wanted count as.
    pub returns: ReturnTable,
    /// How far parts of which something came are.
    pub deliveries: DeliveryTable,
    /// What dated payments amount to by part.
    pub payments: PaymentTable,
    /// Money by every grouping.
    pub money: MoneyFigures,
    /// Money out by week.
    pub cash: Vec<CashWeek>,
    /// The calendars, for looking at days.
    pub days: Days,
    /// Positions by number.
    pub index: Index,
}

/// Computes every figure of a project as it stands on a day.
pub fn compute(project: &Project, as_of: NaiveDate) -> Figures {
    let as_of = Day::from(as_of);
    let digits = project.settings.currency.minor_digits();
    let mut days = Days::new(project, as_of);
    let mut index = Index::new(project);
    let rooms: Vec<RoomSize> =
        project.rooms.iter().map(|r| takeoff::room_size(r, project.settings.units)).collect();
    let plan = Plan::new(project, days.work(), as_of);
    let facts = parts::Facts { project, days: &days, rooms: &rooms, plan: &plan, as_of };
    let Parts { mut selections, entries, categories, mut parts, deliveries, latest_arrival } =
        Parts::new(&facts, &mut index);

    days.reach(latest_arrival.unwrap_or(as_of));
    let work = days.work();
    let facts = gates::Facts { project, index: &index, selections: &selections, parts: &parts, work, as_of };
    let mut gates = gates::read(&facts);
    let forecast = Forecast::new(&plan, work, &parts, &gates);
    forecast.finish_gates(&plan, project, work, &parts, &mut gates);
    let phases = forecast::phase_figures(&plan, &forecast, project, work, &gates);

    let lines = OrderTable::new(project, &index, &parts, as_of);
    let orders = orders::price_all(project, &mut parts, &lines);
    let payments = PaymentTable::new(project, &index, &parts, &orders, as_of);
    payments::add(&payments, &mut parts, digits);
    let returns = returns::settle(project, &index, &parts, as_of);

    let mut sums = Sums::new(project, categories);
    let mut weeks = Weeks::default();
    for (entry, figures) in entries.iter().zip(&mut selections) {
        let own = &parts[figures.first_part..figures.end_part];
        figures.money = sums.selection(entry, figures, own, &returns);
        for (part, at) in own.iter().zip(figures.first_part..) {
            weeks.part(project, part, returns.of(at), as_of);
        }
    }
    sums.put_trades(project, &index);
    weeks.put_trades(project, |id| index.of(id.0).and_then(|at| phases.get(at)), as_of);
    Figures {
        as_of,
        plan_finish: plan.finish(project, work),
        forecast_finish: forecast.finish(&plan, project, work),
        days_lost: forecast.days_lost(&plan),
        phases,
        gates,
        rooms,
        selections,
        parts,
        orders,
        returns,
        deliveries,
        payments,
        money: sums.finish(project),
        cash: weeks.show(as_of, digits),
        days,
        index,
    }
}

/// The figures as they would be after an action, without making it.
///
/// # Errors
/// As [`Project::apply`].
pub fn preview(project: &Project, action: &Action, as_of: NaiveDate) -> Result<Figures, ActionError> {
    Ok(compute(&project.apply(action)?, as_of))
}

impl Figures {
    /// Figures of a part by its number.
    pub fn part(&self, id: PartId) -> Option<&PartFigures> {
        self.index.of(id.0).and_then(|i| self.parts.get(i)).filter(|p| p.id == id)
    }

    /// Figures of a selection by its number.
    pub fn selection(&self, id: SelectionId) -> Option<&SelectionFigures> {
        self.index.of(id.0).and_then(|i| self.selections.get(i)).filter(|s| s.id == id)
    }

    /// Figures of a phase by its number.
    pub fn phase(&self, id: PhaseId) -> Option<&PhaseFigures> {
        self.index.of(id.0).and_then(|i| self.phases.get(i))
    }

    /// Whether a part comes later than the late dates of its phase allow, so that it moves the finish. A phase that
    /// has begun keeps its start, whatever comes late for it.
    pub fn moves_the_finish(&self, project: &Project, part: &PartFigures) -> bool {
        let Some(phase) = part.phase.map(|p| p as usize) else { return false };
        let (Some(document), Some(figures)) = (project.phases.get(phase), self.phases.get(phase)) else {
            return false;
        };
        let limit = match part.at {
            NeededAt::Start if document.is_under_way() => None,
            NeededAt::Start => figures.late_start,
            NeededAt::Finish => figures.late_finish,
        };
        let work = self.days.work();
        limit.is_some_and(|day| work.index(part.arrival) + part.hold > work.index(day))
    }

    /// Figures of the parts of a selection.
    pub fn parts_of(&self, selection: &SelectionFigures) -> &[PartFigures] {
        self.parts.get(selection.first_part..selection.end_part).unwrap_or(&[])
    }
    /// What an order comes to.
    pub fn account(&self, project: &Project, order: &Order) -> Account {
        payments::account(project, &self.parts, &self.returns, order, self.as_of)
    }

    /// When a part would arrive with another lead time, ordered on a day.
    pub fn arrival_with_lead(&self, at: usize, part: &Part, lead: u32, ordered: Day) -> Option<Day> {
        let supplier = self.parts.get(at)?.supplier.map(|s| s as usize);
        Some(self.days.supplier(supplier).arrival(ordered, Lead { count: lead, unit: part.lead_unit }))
    }
}
