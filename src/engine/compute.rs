//! The whole computation, in the order in which figures hang on each other: calendars, plan, quantities, arrivals and
//! order-by days, forecast, orders, money.

use super::calendar::Day;
use super::cash::Weeks;
use super::days::{Days, SupplierDays};
use super::deliveries::{self, AsOf, DeliveryTable, Received};
use super::figures::{Figures, Index, PartFigures, SelectionFigures};
use super::gates;
use super::money::{Columns, Sums};
use super::orders;
use super::own_orders::OrderTable;
use super::payments::{self, PaymentTable};
use super::returns;
use super::schedule::{self, Forecast, Plan};
use super::takeoff::{self, RoomSize};
use crate::model::money::line_amount;
use crate::model::{Action, ActionError, Delivery, Money, Part, Project, Selection};
use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::delivery::Lead;

/// Computes every figure of a project as it stands on a day.
pub fn compute(project: &Project, as_of: NaiveDate) -> Figures {
    let as_of = Day::from(as_of);
    let digits = project.settings.currency.minor_digits();
    let mut days = Days::new(project, as_of);
    let mut index = Index::new(project);
    let rooms: Vec<RoomSize> =
        project.rooms.iter().map(|r| takeoff::room_size(r, project.settings.units)).collect();
    let plan = Plan::new(project, days.work(), as_of);
    let received = Received::new(project, as_of);
    let context = Context {
        project,
        days: &days,
        index: &index,
        rooms: &rooms,
        plan: &plan,
        received: &received,
        as_of,
    };
    let (mut selections, mut parts) = context.all();
    index.note_figures(&selections, &parts);

    days.reach(latest_arrival(&parts));
    let work = days.work();
    let facts = gates::Facts { project, index: &index, selections: &selections, parts: &parts, work, as_of };
    let mut gates = gates::read(&facts);
    let forecast = Forecast::new(&plan, work, &parts, &gates);
    forecast.finish_gates(&plan, project, work, &parts, &mut gates);
    let phases = schedule::phase_figures(&plan, &forecast, project, work, &gates);

    let lines = OrderTable::new(project, &index, &parts, as_of);
    let (orders, shares) = orders::price_all(project, &parts, &lines);
    for (part, shares) in parts.iter_mut().zip(&shares) {
        let counts = part.live || part.placed.is_some();
        part.freight = shares.freight;
        part.tax = if counts { shares.tax } else { orders::tax_alone(project, part) };
    }
    let deliveries = delivery_table(project, &index, &parts, &days, &received, as_of);
    let payments = PaymentTable::new(project, &index, &parts, &orders, as_of);
    payments::add(&payments, &mut parts, digits);
    let returns = returns::settle(project, &index, &parts, as_of);

    let mut sums = Sums::new(project);
    let mut weeks = Weeks::default();
    for (selection, figures) in project.selections.iter().zip(&mut selections) {
        let own = &parts[figures.first_part..figures.end_part];
        figures.money = sums.selection(selection, figures, own, &returns, &index);
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

/// The latest arrival of a part that counts; the first day there is without any.
fn latest_arrival(parts: &[PartFigures]) -> Day {
    parts.iter().filter(|p| p.live).map(|p| p.arrival).max().unwrap_or_else(Day::first)
}

/// The figures as they would be after an action, without making it.
///
/// # Errors
/// As [`Project::apply`].
pub fn preview(project: &Project, action: &Action, as_of: NaiveDate) -> Result<Figures, ActionError> {
    Ok(compute(&project.apply(action)?, as_of))
}

/// Quantities and line amounts above this are reported as too large and count as none: beyond it, sums of freight and
/// tax could leave the range in which a decimal is exact to the cent.
const MOST: Decimal = Decimal::from_parts(2_764_472_320, 232_830, 0, false, 0);

fn is_too_large(value: Decimal) -> bool {
    // A mantissa that is small enough settles it without a comparison of scales.
    value.mantissa() > MOST.mantissa() && value > MOST
}

/// What the figures of a part hang on.
struct Context<'a> {
    project: &'a Project,
    days: &'a Days,
    index: &'a Index,
    rooms: &'a [RoomSize],
    plan: &'a Plan,
    received: &'a Received<'a>,
    as_of: Day,
}

impl Context<'_> {
    fn all(&self) -> (Vec<SelectionFigures>, Vec<PartFigures>) {
        let mut parts = Vec::with_capacity(self.project.all_parts().count());
        let selections = self.project.selections.iter().enumerate();
        let selections = selections.map(|(at, s)| self.selection(at, s, &mut parts)).collect();
        (selections, parts)
    }

    /// Figures of a selection but for its money, and of its parts, put at the end of `parts`, but for their freight and
    /// tax.
    fn selection(
        &self,
        position: usize,
        selection: &Selection,
        parts: &mut Vec<PartFigures>,
    ) -> SelectionFigures {
        let first_part = parts.len();
        let live = selection.live_option().map(|o| o.id);
        // (days in hand of the slowest part of each option; the best of them while undecided)
        let mut best_option: Option<i32> = None;
        let mut in_hand: Option<i32> = None;
        let mut late = false;
        for (o, option) in selection.options.iter().enumerate() {
            let is_live = live == Some(option.id);
            let mut slowest: Option<i32> = None;
            for part in &option.parts {
                let figures = self.part(selection, position, o, part, is_live);
                if figures.placed.is_none() {
                    slowest = match (slowest, figures.days_in_hand) {
                        (Some(a), Some(b)) => Some(a.min(b)),
                        (a, b) => a.or(b),
                    };
                }
                late |= is_live && figures.late && !figures.on_site;
                parts.push(figures);
            }
            if is_live {
                in_hand = slowest;
            }
            best_option = best_option.max(slowest);
        }
        SelectionFigures {
            id: selection.id,
            first_part,
            end_part: parts.len(),
            live,
            chosen: selection.choice().is_some(),
            money: Columns::default(),
            days_in_hand: if live.is_some() { in_hand } else { best_option },
            late,
        }
    }

    fn part(&self, selection: &Selection, s: usize, o: usize, part: &Part, live: bool) -> PartFigures {
        let supplier = part.supplier.and_then(|id| self.index.of(id.0));
        let phase = part.phase.and_then(|id| self.index.of(id.0));
        let desk = self.days.supplier(supplier);
        let lead = Lead { count: part.lead, unit: part.lead_unit };
        let hold = hold_of(self.project, part);

        let room = self.index.of(selection.room.0);
        let unknown = RoomSize { units: self.project.settings.units, ..RoomSize::default() };
        let size = room.and_then(|r| self.rooms.get(r)).unwrap_or(&unknown);
        let room = room.and_then(|r| self.project.rooms.get(r));
        let bought = match takeoff::quantity_to_buy(part, room, size) {
            Ok(quantity) if is_too_large(quantity) => Err(takeoff::TakeoffError::TooLarge),
            bought => bought,
        };
        let quantity = bought.unwrap_or(Decimal::ZERO);
        let currency = self.project.settings.currency;
        let amount = line_amount(quantity, part.unit_price, part.discount_pct, currency)
            .filter(|amount| !is_too_large(amount.amount()));

        let stood = AsOf::of(part, self.as_of);
        let own = self.received.of(part.id);
        let (mut expected, mut on_site) = match (stood.arrived_on(), stood.ordered_on) {
            (Some(came), _) => (Day::from(came), true),
            (None, Some(ordered)) => (when_ordered(part, ordered, desk), false),
            (None, None) => {
                let earliest = selection.decide_on.map_or(self.as_of, |d| self.as_of.max(Day::from(d)));
                (desk.arrival(earliest, lead), false)
            }
        };
        if !own.is_empty() {
            let state = deliveries::state(part, own, quantity, when_whole(part, own, desk), desk, self.as_of);
            (expected, on_site) = (state.expected, state.complete_on.is_some());
        }
        let overdue = expected < self.as_of && !on_site;
        let arrival = if overdue { desk.next_receiving(self.as_of) } else { expected };

        let work = self.days.work();
        let need_date = phase.and_then(|p| self.plan.need_day(work, p, part.at, hold));
        let safe_need = phase.and_then(|p| self.plan.late_need_day(work, p, part.at, hold));
        let order_by = need_date.map(|need| desk.order_by(need, lead));
        PartFigures {
            id: part.id,
            selection: s as u32,
            option: o as u32,
            phase: phase.map(|p| p as u32),
            supplier: supplier.map(|p| p as u32),
            live,
            placed: stood.ordered_on.or(own.first().map(|d| d.on)).or(stood.arrived_on()).map(Day::from),
            at: part.at,
            hold,
            built_in: stood.installed_on.is_some(),
            on_site,
            taxable: part.taxable,
            paid: part.paid.round_half_up(currency),
            quantity_to_buy: quantity,
            takeoff_error: bought.err().or(amount.is_none().then_some(takeoff::TakeoffError::TooLarge)),
            amount: amount.unwrap_or_default(),
            freight: Money::ZERO,
            tax: Money::ZERO,
            need_date,
            arrival,
            order_by,
            last_safe_order: if safe_need == need_date {
                order_by
            } else {
                safe_need.map(|need| desk.order_by(need, lead))
            },
            days_in_hand: order_by.map(|day| day.since(self.as_of)),
            late: need_date.is_some_and(|need| arrival > need),
            overdue,
        }
    }
}

/// When a part ordered on a day is expected: as promised, else by its lead time.
fn when_ordered(part: &Part, ordered: NaiveDate, desk: SupplierDays<'_>) -> Day {
    let lead = Lead { count: part.lead, unit: part.lead_unit };
    part.promised_on.map_or_else(|| desk.arrival(Day::from(ordered), lead), Day::from)
}

/// When all of a part of which something came was expected.
fn when_whole(part: &Part, own: &[&Delivery], desk: SupplierDays<'_>) -> Day {
    let ordered = part.ordered_on.or(own.first().map(|d| d.on)).unwrap_or(crate::model::dates::FIRST_DAY);
    when_ordered(part, ordered, desk)
}

/// How far the parts are that have deliveries.
fn delivery_table(
    project: &Project,
    index: &Index,
    parts: &[PartFigures],
    days: &Days,
    received: &Received<'_>,
    as_of: Day,
) -> DeliveryTable {
    DeliveryTable::new(project, index, parts, |part, f| {
        let own = received.of(part.id);
        let desk = days.supplier(f.supplier.map(|s| s as usize));
        let state =
            || deliveries::state(part, own, f.quantity_to_buy, when_whole(part, own, desk), desk, as_of);
        (!own.is_empty()).then(state)
    })
}

/// Working days wanted between arrival and use: the part's own, else the project's.
fn hold_of(project: &Project, part: &Part) -> i32 {
    i32::try_from(part.hold.unwrap_or(project.settings.hold)).unwrap_or(i32::MAX)
}

/// Needed by panels that show a range: arrival of a part with another lead time, ordered on a day.
pub fn arrival_with_lead(figures: &Figures, at: usize, part: &Part, lead: u32, ordered: Day) -> Option<Day> {
    let supplier = figures.parts.get(at)?.supplier.map(|s| s as usize);
    let lead = Lead { count: lead, unit: part.lead_unit };
    Some(figures.days.supplier(supplier).arrival(ordered, lead))
}
