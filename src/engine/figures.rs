//! All computed figures of a project on a day, and the whole computation: it asks each noun for its figures in the
//! order in which they hang on each other, and adds none of its own.
//!
//! Lists run parallel to the lists of the document: `phases[i]` belongs to `project.phases[i]`, and `parts` holds
//! every part in document order.

use super::calendar::Day;
use super::cash::{CashWeek, Purse, Weeks};
use super::columns::Columns;
use super::days::Days;
use super::deliveries::{Came, DeliveryTable};
use super::forecast::costs;
use super::forecast::{self, Forecast};
use super::gates::{self, GateFigures};
use super::in_use::{self, InUse};
use super::index::Index;
use super::lead::Lead;
use super::money::changes::{self, OpenChanges};
use super::money::draws::{self, DrawFigures};
use super::money::installments::{self, InstallmentFigures};
use super::money::{self, Line, MoneyFigures, Sums, Trades};
use super::moved::{self, Assumed, Moved};
use super::order_after::{Desk, Ties};
use super::orders::{self, Order};
use super::own_orders::OrderTable;
use super::parts::{self, Parts};
use super::payments::{self, Account, PaymentTable, Standing};
use super::people::{self, People};
use super::plan::Plan;
use super::returns::{self, ReturnTable, Terms};
use super::specs;
use super::takeoff::{self, RoomSize};
use crate::model::{
    Action, ActionError, Money, PaidFor, PartId, PhaseId, Project, Quote, Return, SelectionId,
    SelectionOption,
};
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
    /// By what it moved; `None` without phases.
    pub moved: Option<Moved>,
    /// How much of the forecast dates is assumed.
    pub assumed: Assumed,
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
    /// Scopes of trades as they count, and work that has no price.
    pub trades: Trades,
    /// Bookings, calls, crews in two places.
    pub people: People,
    /// The house in use: days without a room or a service, what lies stored.
    pub in_use: InUse,
    /// Money out by week, and what there is to pay with.
    pub cash: Vec<CashWeek>,
    /// By draw of the lender.
    pub draws: Vec<DrawFigures>,
    /// What changes would add that nobody agreed to.
    pub open_changes: OpenChanges,
    /// The calendars, for looking at days.
    pub days: Days,
    /// Positions by number.
    pub index: Index,
    /// The plan,
    pub(in crate::engine) plan: Plan,
    /// the parts that can be ordered only after a phase,
    pub(in crate::engine) ties: Ties,
    /// and the pass of the forecast: for questions that are asked of few parts.
    pub(in crate::engine) forecast: Forecast,
}

/// Computes every figure of a project as it stands on a day.
pub fn compute(project: &Project, as_of: NaiveDate) -> Figures {
    let as_of = Day::from(as_of);
    let digits = project.settings.currency.minor_digits();
    let mut days = Days::new(project, as_of);
    let mut index = Index::new(project);
    let rooms: Vec<RoomSize> =
        project.rooms.iter().map(|r| takeoff::room_size(r, project.settings.units)).collect();
    let plan = Plan::new(project, &days, as_of);
    let facts = parts::Facts { project, days: &days, rooms: &rooms, plan: &plan, as_of };
    let Parts { mut selections, entries, categories, mut parts, deliveries, latest_arrival, ties } =
        Parts::new(&facts, &mut index);
    let ties = Ties::new(ties, &plan.network);

    days.reach(latest_arrival.unwrap_or(as_of).plus(ties.span()));
    let work = days.work();
    let facts = gates::Facts {
        project,
        index: &index,
        selections: &selections,
        parts: &parts,
        ties: &ties,
        work,
        as_of,
    };
    let mut gates = gates::read(&facts);
    let desk = Desk { project, plan: &plan, days: &days };
    let forecast = Forecast::new(&forecast::Facts { desk, parts: &parts, ties: &ties, gates: &gates });
    parts::order(&mut selections, &mut parts, forecast.coming(desk, &ties).into_iter(), as_of);
    forecast.finish_gates(desk, &parts, &mut gates, as_of);
    let facts = forecast::Facts { desk, parts: &parts, ties: &ties, gates: &gates };
    let phases = forecast::phase_figures(&facts, &forecast);
    let tight = costs::tight(&facts, &forecast);
    let moved = moved::moved(&facts, &forecast, as_of);
    let forecast_finish = forecast.finish(desk);
    let costs = costs::of_parts(&facts, &forecast, &tight);
    costs::write(&mut parts, costs);
    let facts = specs::Facts {
        project,
        index: &index,
        plan: &plan,
        work,
        parts: &parts,
        selections: &selections,
        as_of,
    };
    let decided = project.selections.iter().zip(&selections).map(|(s, own)| facts.decide(s, own)).collect();
    specs::write(decided, &mut selections, as_of);

    let lines = OrderTable::new(project, &index, &parts, as_of);
    let mut orders = orders::price_all(project, &mut parts, &lines);
    let cancelled = returns::cancelled(project, &index, &parts, as_of);
    orders::cancel(project, &mut parts, &mut orders, &cancelled);
    let payments = PaymentTable::new(project, &index, &parts, &orders, as_of);
    payments::add(&payments, &mut parts, digits);
    let returns = returns::settle(project, &index, &parts, &orders, as_of);

    let mut sums = Sums::new(project, categories);
    let mut weeks = Weeks::default();
    for (entry, figures) in entries.iter().zip(&mut selections) {
        let own = &parts[figures.first_part..figures.end_part];
        figures.money = sums.selection(entry, figures, own, &returns);
        for (part, at) in own.iter().zip(figures.first_part..) {
            weeks.part(project, part, returns.of(at), as_of);
        }
    }
    let trades = Trades::new(project, &index, as_of);
    sums.put_trades(project, &index, &trades);
    weeks.put_trades(project, &trades, &index, &phases, as_of);
    let money = sums.finish(project);
    let draws = draws::draws(project, &index, &phases, &gates, work, as_of);
    let purse = Purse { own: project.settings.own_cash, paid: money.total.paid, draws: &draws };
    let cash = weeks.show(project, purse, as_of);
    let assumed = moved::assumed(project, &parts, &tight);
    let people = people::people(project, &phases, work, as_of);
    let facts = in_use::Facts {
        project,
        index: &index,
        phases: &phases,
        parts: &parts,
        finish: forecast_finish,
        as_of,
    };
    let in_use = in_use::in_use(&facts);
    Figures {
        as_of,
        moved,
        assumed,
        plan_finish: plan.finish(project, work),
        forecast_finish,
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
        money,
        trades,
        people,
        in_use,
        cash,
        draws,
        open_changes: changes::open(project, as_of.date()),
        days,
        index,
        plan,
        ties,
        forecast,
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

    /// What the pass of the forecast worked with, for a pass with something changed.
    pub(in crate::engine) fn forecast_facts<'a>(&'a self, project: &'a Project) -> forecast::Facts<'a> {
        let desk = Desk { project, plan: &self.plan, days: &self.days };
        forecast::Facts { desk, parts: &self.parts, ties: &self.ties, gates: &self.gates }
    }

    /// The phase that the order of a part waits for: one that it is ordered only after, and that is what keeps it from
    /// being ordered sooner.
    pub fn order_waits_for(&self, part: usize) -> Option<usize> {
        let tie = self.ties.of(part)?;
        let from = self.parts.get(part)?.orderable_from?;
        let earliest = self.days.supplier(tie.supplier).order.roll_forward(tie.earliest);
        (from > earliest).then_some(tie.after)
    }

    /// The earliest day on which a part that is not ordered can be: not before the as-of day, the day on which its choice
    /// will be made, and the phase it is ordered after.
    pub fn first_order(&self, part: usize, decide_on: Option<NaiveDate>) -> Day {
        let earliest = decide_on.map_or(self.as_of, |d| self.as_of.max(Day::from(d)));
        let from = self.parts.get(part).and_then(|f| f.orderable_from);
        from.map_or(earliest, |from| earliest.max(from))
    }

    /// Whether what a part is ordered after would wait for the part itself, so that it has no days.
    pub fn order_circle(&self, part: usize) -> bool {
        self.ties.of(part).is_some_and(|tie| tie.circle)
    }

    /// Figures of the parts of a selection.
    pub fn parts_of(&self, selection: &SelectionFigures) -> &[PartFigures] {
        self.parts.get(selection.first_part..selection.end_part).unwrap_or(&[])
    }

    /// What a part comes to: what its return leaves of it, else goods, freight and tax.
    pub fn comes_to(&self, part: usize) -> Money {
        let total = || self.parts.get(part).map_or(Money::ZERO, PartFigures::total);
        self.returns.of(part).map_or_else(total, |r| r.forecast)
    }

    /// The columns of several selections, summed.
    pub fn columns_of(&self, selections: impl Iterator<Item = SelectionId>) -> Columns {
        let mut sum = Columns::default();
        selections.filter_map(|id| self.selection(id)).for_each(|own| sum += own.money);
        sum
    }

    /// All lines of the ledger of money.
    pub fn ledger<'a>(&self, project: &'a Project) -> Vec<Line<'a>> {
        money::lines(project, &self.index, &self.selections, &self.parts, &self.returns, &self.trades)
    }

    /// Goods, freight and tax of an option, without its parts of which nobody has said the price.
    pub fn option_total(&self, option: &SelectionOption) -> Money {
        option.parts.iter().filter_map(|p| self.part(p.id)).map(PartFigures::total).sum()
    }

    /// Parts of an option of which nobody has said the price.
    pub fn option_unpriced(&self, option: &SelectionOption) -> usize {
        option.parts.iter().filter_map(|p| self.part(p.id)).filter(|f| !f.priced).count()
    }

    /// Fewest days in hand among the parts of an option that are not ordered.
    pub fn option_days_in_hand(&self, option: &SelectionOption) -> Option<i32> {
        let open = option.parts.iter().filter_map(|p| self.part(p.id)).filter(|f| f.placed.is_none());
        open.filter_map(|f| f.days_in_hand).min()
    }

    /// Working days from the target finish to the forecast finish; negative when it is before. `None` without a target.
    pub fn after_target(&self, project: &Project) -> Option<i32> {
        let target = Day::from(project.settings.target_finish?);
        self.forecast_finish.map(|finish| self.days.work().count(target.plus(1), finish.plus(1)))
    }

    /// Working days from the forecast finish to another; negative is sooner.
    pub fn finish_moves(&self, to: Option<Day>) -> Option<i32> {
        self.forecast_finish.zip(to).map(|(from, to)| self.days.work().count(from.plus(1), to.plus(1)))
    }

    /// What sending a part back on a day, or cancelling its order, means. Without a return of its own the supplier's
    /// terms hold.
    pub fn terms(&self, project: &Project, part: usize, r: Option<&Return>, on: Day) -> Terms {
        returns::terms(project, &self.parts, &self.orders, part, r, on)
    }

    /// What is still to be paid for an order or a part; nothing for one that does not count.
    pub fn standing(&self, project: &Project, of: PaidFor) -> Standing {
        match of {
            PaidFor::Order(id) => {
                let order = self.orders.iter().find(|o| o.own == Some(id));
                let account = order.map(|o| self.account(project, o)).unwrap_or_default();
                let deposit = account.dues.first().is_some_and(|d| d.deposit);
                Standing { owed: account.owed, due: account.due_by(self.as_of), deposit }
            }
            PaidFor::Part(id) => {
                let Some((at, f)) = self.index.of(id.0).zip(self.part(id)) else {
                    return Standing::default();
                };
                let back = self.returns.of(at).map(|r| (r.ordered, r.paid));
                let (ordered, paid) = back.unwrap_or((f.total(), f.paid));
                Standing { owed: ordered.less(paid), ..Standing::default() }
            }
        }
    }

    /// Working days that the phase at a position takes: what was said or is typical, with changes that are agreed on.
    pub fn days_of(&self, phase: usize) -> i32 {
        if phase < self.plan.network.len() { self.plan.network.duration(phase) } else { 0 }
    }

    /// How the installments of a quote stand.
    pub fn installments(&self, project: &Project, quote: &Quote) -> Vec<InstallmentFigures> {
        let currency = project.settings.currency;
        installments::of_quote(quote, currency, &self.index, &self.phases, self.as_of)
    }

    /// How much of the part at a position came; `None` before it is ordered.
    pub fn came(&self, at: usize) -> Option<Came> {
        Came::of(self.parts.get(at)?, self.deliveries.of(at))
    }

    /// What an order comes to.
    pub fn account(&self, project: &Project, order: &Order) -> Account {
        payments::account(project, &self.parts, &self.returns, order, self.as_of)
    }

    /// When the part at a position would arrive with another lead time, ordered on a day.
    pub fn arrival_with_lead(&self, at: usize, lead: Lead, ordered: Day) -> Option<Day> {
        let supplier = self.parts.get(at)?.supplier.map(|s| s as usize);
        Some(self.days.supplier(supplier).arrival(ordered, lead))
    }
}
