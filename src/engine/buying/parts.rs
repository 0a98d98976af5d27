//! Parts and selections: quantities, amounts of goods, arrivals and order-by days of each part, and what a selection
//! makes of those of its options.

use crate::engine::calendar::Day;
use crate::engine::columns::Columns;
use crate::engine::days::{Days, SupplierDays};
use crate::engine::deliveries::{self, AsOf, DeliveryFigures, DeliveryTable, Received};
use crate::engine::index::Index;
use crate::engine::lead::{self, Lead};
use crate::engine::plan::Plan;
use crate::engine::takeoff::{self, RoomSize, TakeoffError};
use crate::model::money::line_amount;
use crate::model::{
    Delivery, Money, NeededAt, OptionId, Part, PartId, Project, Room, Selection, SelectionId,
};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Figures of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFigures {
    /// The part.
    pub id: PartId,
    /// Position of its selection in the document.
    pub selection: u32,
    /// Position of its option among those of the selection.
    pub option: u32,
    /// Position of its phase.
    pub phase: Option<u32>,
    /// Position of its supplier.
    pub supplier: Option<u32>,
    /// Whether it counts: of the choice, or of the option leaned to when there is no choice.
    pub live: bool,
    /// The day it was ordered; when no order was noted, the day something of it came. The next six are facts of the
    /// document as known on the as-of day, kept here so that what follows need not go back to it.
    pub placed: Option<Day>,
    /// Which end of its phase needs it.
    pub at: NeededAt,
    /// Working days between arrival and use.
    pub hold: i32,
    /// Whether it is built in, so that it waits for no hold.
    pub built_in: bool,
    /// Whether all of it is on site.
    pub on_site: bool,
    /// Whether sales tax applies.
    pub taxable: bool,
    /// What has been paid for it, to the cent, with its shares of dated payments.
    pub paid: Money,
    /// Units to buy.
    pub quantity_to_buy: Decimal,
    /// Why there is no quantity, where its rule fails.
    pub takeoff_error: Option<TakeoffError>,
    /// Whether somebody has said what it costs. Until then the next four are zero and mean nothing.
    pub priced: bool,
    /// Goods.
    pub amount: Money,
    /// Share of the freight of its order. Nothing for a part that is no candidate for an order.
    pub freight: Money,
    /// Share of the tax of its order; for a part that does not count, the tax of its line alone.
    pub tax: Money,
    /// The day it must be on site.
    pub need_date: Option<Day>,
    /// The day it came or is expected by what was said; `None` while nobody has said a lead time.
    pub arrival: Option<Day>,
    /// Whether somebody has said a lead time, or it does not matter any more.
    pub lead_known: bool,
    /// The day it is counted on for: its arrival, else by the typical lead time of its kind; `None` without either.
    pub expected: Option<Day>,
    /// The day to ask the supplier by: the last day to order it at the long end of what is typical. Only while nobody
    /// has said a lead time and it is not ordered.
    pub ask_by: Option<Day>,
    /// The last day to order it for the need date.
    pub order_by: Option<Day>,
    /// The last day to order it that does not move the end.
    pub last_safe_order: Option<Day>,
    /// Order-by less the as-of day, in calendar days.
    pub days_in_hand: Option<i32>,
    /// Arrives after its need date.
    pub late: bool,
    /// Was expected before the as-of day and has not come.
    pub overdue: bool,
}

impl PartFigures {
    /// Days between its arrival and the day it is needed; negative is late. `None` where nothing needs it.
    pub fn spare_days(&self) -> Option<i32> {
        self.need_date.zip(self.arrival).map(|(need, arrival)| need.since(arrival))
    }

    /// Whether its day rests on what is typical, since nobody has said a lead time.
    pub fn is_assumed(&self) -> bool {
        self.arrival.is_none() && self.expected.is_some()
    }

    /// Goods, freight and tax.
    pub fn total(&self) -> Money {
        self.amount.plus(self.freight).plus(self.tax)
    }
}

/// Figures of a selection.
#[derive(Debug, Clone, PartialEq)]
pub struct SelectionFigures {
    /// The selection.
    pub id: SelectionId,
    /// Positions of its parts: from here,
    pub first_part: usize,
    /// up to but not including here.
    pub end_part: usize,
    /// The option that counts.
    pub live: Option<OptionId>,
    /// Whether it is the choice, not only leaned to.
    pub chosen: bool,
    /// The four stages of its money, and the forecast.
    pub money: Columns,
    /// Fewest days in hand among its parts that count and are not ordered. While undecided, the fewest among the
    /// candidates that can still be in time, by the slowest part of each: until then all of those are open. When none
    /// can, the days of the one that is least late.
    pub days_in_hand: Option<i32>,
    /// The order-by day that these are counted to.
    pub order_by: Option<Day>,
    /// The first day to ask a supplier by, among its parts without a lead time: those that count, while undecided those
    /// of all candidates.
    pub ask_by: Option<Day>,
    /// While undecided: candidates that can no longer be ordered in time.
    pub too_late: u32,
    /// A part that counts and has not come arrives after its need date.
    pub late: bool,
}

/// Quantities and line amounts above this are reported as too large and count as none: beyond it, sums of freight and
/// tax could leave the range in which a decimal is exact to the cent.
const MOST: Decimal = Decimal::from_parts(2_764_472_320, 232_830, 0, false, 0);

fn is_too_large(value: Decimal) -> bool {
    // A mantissa that is small enough settles it without a comparison of scales.
    value.mantissa() > MOST.mantissa() && value > MOST
}

/// What the figures of a part hang on.
pub struct Facts<'a> {
    /// The document.
    pub project: &'a Project,
    /// The calendars.
    pub days: &'a Days,
    /// What the rooms measure, by position.
    pub rooms: &'a [RoomSize],
    /// The plan, which says when phases need their parts.
    pub plan: &'a Plan,
    /// The as-of day.
    pub as_of: Day,
}

/// Figures of all parts and selections, but for what hangs on orders and payments: freight and money are zero, tax only
/// that of parts in no order, and paid what is noted without a day.
#[derive(Debug, Default)]
pub struct Parts {
    /// By selection.
    pub selections: Vec<SelectionFigures>,
    /// By selection, what the ledger of money asks of it.
    pub entries: Vec<Entry>,
    /// The categories in order of appearance.
    pub categories: Vec<String>,
    /// By part, in document order.
    pub parts: Vec<PartFigures>,
    /// How far the parts are of which something came.
    pub deliveries: DeliveryTable,
    /// The latest arrival of a part that counts.
    pub latest_arrival: Option<Day>,
}

/// Where a selection stands in the ledger of money, noted when it is read: to go back to the document for it costs more.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// Position of its room.
    pub room: Option<u32>,
    /// Position of its category.
    pub category: u32,
    /// Set aside.
    pub allowance: Money,
}

impl Parts {
    /// Works them out. `index` knows the rooms, phases and suppliers; it learns where selections and parts are.
    pub fn new(facts: &Facts<'_>, index: &mut Index) -> Parts {
        let project = facts.project;
        let received = Received::new(project, facts.as_of);
        let unknown = RoomSize { units: project.settings.units, ..RoomSize::default() };
        // Memory that is asked for and not used costs nothing; to count the parts first is a walk over the document.
        let selections = project.selections.len();
        let mut all = Parts {
            selections: Vec::with_capacity(selections),
            entries: Vec::with_capacity(selections),
            parts: Vec::with_capacity(selections * USUAL_PARTS),
            ..Parts::default()
        };
        let mut categories: BTreeMap<&str, u32> = BTreeMap::new();
        for selection in project.selections.iter() {
            let at = index.of(selection.room.0);
            let room = at.and_then(|at| project.rooms.get(at));
            let size = at.and_then(|at| facts.rooms.get(at)).unwrap_or(&unknown);
            let next = categories.len() as u32;
            let category = *categories.entry(&selection.category).or_insert(next);
            all.entries.push(Entry {
                room: at.map(|at| at as u32),
                category,
                allowance: selection.allowance,
            });
            Reader { facts, received: &received, selection, room, size }.selection(&mut all, index);
        }
        let mut names: Vec<(u32, &str)> = categories.into_iter().map(|(name, at)| (at, name)).collect();
        names.sort_unstable();
        all.categories = names.into_iter().map(|(_, name)| name.to_owned()).collect();
        all
    }
}

/// Parts of a selection with a few options.
const USUAL_PARTS: usize = 4;

/// The lower of two, where there are any.
fn sooner<T: Ord>(a: Option<T>, b: Option<T>) -> Option<T> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// One selection as it is read.
struct Reader<'a> {
    facts: &'a Facts<'a>,
    received: &'a Received<'a>,
    selection: &'a Selection,
    room: Option<&'a Room>,
    size: &'a RoomSize,
}

impl Reader<'_> {
    /// Puts the selection and its parts behind those before it.
    fn selection(&self, all: &mut Parts, index: &mut Index) {
        let selection = self.selection;
        index.note(selection.id.0, all.selections.len());
        let first_part = all.parts.len();
        let live = selection.live_option().map(|o| o.id);
        // Of the days in hand of the slowest part of each option: the fewest that are still in time, else the most.
        let (mut in_time, mut past): (Option<i32>, Option<i32>) = (None, None);
        let mut too_late = 0;
        let mut in_hand: Option<i32> = None;
        let mut ask_by: Option<Day> = None;
        let mut late = false;
        for (o, option) in selection.options.iter().enumerate() {
            let is_live = live == Some(option.id);
            let mut slowest: Option<i32> = None;
            for part in &option.parts {
                index.note(part.id.0, all.parts.len());
                let figures = self.part(o, part, is_live, all, index);
                if figures.placed.is_none() {
                    slowest = sooner(slowest, figures.days_in_hand);
                }
                late |= is_live && figures.late && !figures.on_site;
                if is_live || live.is_none() {
                    ask_by = sooner(ask_by, figures.ask_by);
                }
                if is_live {
                    all.latest_arrival = all.latest_arrival.max(figures.expected);
                }
                all.parts.push(figures);
            }
            if is_live {
                in_hand = slowest;
            }
            match slowest {
                Some(days) if days >= 0 => in_time = Some(in_time.map_or(days, |fewest| fewest.min(days))),
                _ => past = past.max(slowest),
            }
            too_late += u32::from(slowest.is_some_and(|days| days < 0));
        }
        let days_in_hand = if live.is_some() { in_hand } else { in_time.or(past) };
        all.selections.push(SelectionFigures {
            id: selection.id,
            first_part,
            end_part: all.parts.len(),
            live,
            chosen: selection.choice().is_some(),
            money: Columns::default(),
            days_in_hand,
            order_by: days_in_hand.map(|days| self.facts.as_of.plus(days)),
            ask_by,
            too_late: if live.is_some() { 0 } else { too_late },
            late,
        });
    }

    /// A part of the option at a position.
    fn part(&self, option: usize, part: &Part, live: bool, all: &mut Parts, index: &Index) -> PartFigures {
        let Facts { project, days, plan, as_of, .. } = *self.facts;
        let supplier = part.supplier.and_then(|id| index.of(id.0));
        let phase = part.phase.and_then(|id| index.of(id.0));
        let desk = days.supplier(supplier);
        let lead = Lead::of(part);
        let typical = if lead.is_none() { lead::typical(project, part) } else { None };
        let hold = hold_of(project, part);

        let bought = match takeoff::quantity_to_buy(part, self.room, self.size) {
            Ok(quantity) if is_too_large(quantity) => Err(TakeoffError::TooLarge),
            bought => bought,
        };
        let quantity = bought.unwrap_or(Decimal::ZERO);
        let currency = project.settings.currency;
        let amount = line_amount(quantity, part.unit_price.unwrap_or_default(), part.discount_pct, currency)
            .filter(|amount| !is_too_large(amount.amount()));

        let takeoff_error = bought.err().or(amount.is_none().then_some(TakeoffError::TooLarge));
        let amount = amount.unwrap_or_default();

        let stood = AsOf::of(part, as_of);
        let own = self.received.of(part.id);
        // What was said of it, and what is counted on where nothing was.
        let day = |said: Option<Lead>| match (stood.arrived_on(), stood.ordered_on) {
            (Some(came), _) => Some(Day::from(came)),
            (None, Some(ordered)) => when_ordered(part, ordered, said, desk),
            (None, None) => {
                let earliest = self.selection.decide_on.map_or(as_of, |d| as_of.max(Day::from(d)));
                said.map(|lead| desk.arrival(earliest, lead))
            }
        };
        let counted = lead.or(typical.map(|t| t.likely));
        let (mut said, mut on_site) = (day(lead), stood.arrived_on().is_some());
        let mut expected = said.or_else(|| day(counted));
        if !own.is_empty() {
            let state = deliveries::state(
                part,
                own,
                quantity,
                when_whole(part, own, counted, desk),
                counted,
                desk,
                as_of,
            );
            (expected, on_site) = (Some(state.expected), state.complete_on.is_some());
            said = expected;
            all.deliveries.push(DeliveryFigures { part: all.parts.len(), ..state.figures });
        }
        let overdue = expected.is_some_and(|day| day < as_of) && !on_site;
        if overdue {
            expected = Some(desk.next_receiving(as_of));
            said = said.and(expected);
        }
        let arrival = said;

        let placed = stood.ordered_on.or(own.first().map(|d| d.on)).or(stood.arrived_on()).map(Day::from);
        // A part that is a line of no order bears the tax of its line alone. Orders give the others theirs.
        let taxed = supplier.and_then(|s| project.suppliers.get(s)).filter(|_| part.taxable);
        let tax = match taxed {
            Some(supplier) if !live && placed.is_none() => amount.tax(supplier.tax_pct, currency),
            _ => Money::ZERO,
        };

        let work = days.work();
        let need_date = phase.and_then(|p| plan.need_day(work, p, part.at, hold));
        let safe_need = phase.and_then(|p| plan.late_need_day(work, p, part.at, hold));
        let last_order = |need: Option<Day>, lead: Option<Lead>| {
            need.zip(lead).map(|(need, lead)| desk.order_by(need, lead))
        };
        let order_by = last_order(need_date, lead);
        let longest = typical.filter(|_| placed.is_none()).map(|t| t.longest);
        PartFigures {
            id: part.id,
            selection: all.selections.len() as u32,
            option: option as u32,
            phase: phase.map(|p| p as u32),
            supplier: supplier.map(|p| p as u32),
            live,
            placed,
            at: part.at,
            hold,
            built_in: stood.installed_on.is_some(),
            on_site,
            taxable: part.taxable,
            paid: part.paid.round_half_up(currency),
            quantity_to_buy: quantity,
            takeoff_error,
            priced: part.unit_price.is_some(),
            amount,
            freight: Money::ZERO,
            tax,
            need_date,
            arrival,
            lead_known: lead.is_some() || arrival.is_some(),
            expected,
            ask_by: last_order(need_date, longest),
            order_by,
            last_safe_order: if safe_need == need_date { order_by } else { last_order(safe_need, lead) },
            days_in_hand: order_by.map(|day| day.since(as_of)),
            late: need_date.zip(arrival).is_some_and(|(need, arrival)| arrival > need),
            overdue,
        }
    }
}

/// When a part ordered on a day is expected: as promised, else by a lead time, where there is one.
fn when_ordered(part: &Part, ordered: NaiveDate, lead: Option<Lead>, desk: SupplierDays<'_>) -> Option<Day> {
    let promised = part.promised_on.map(Day::from);
    promised.or_else(|| lead.map(|lead| desk.arrival(Day::from(ordered), lead)))
}

/// When all of a part of which something came was expected: without a lead time, with what came first.
fn when_whole(part: &Part, own: &[&Delivery], lead: Option<Lead>, desk: SupplierDays<'_>) -> Day {
    let first = own.first().map(|d| d.on);
    let ordered = part.ordered_on.or(first).unwrap_or(crate::model::dates::FIRST_DAY);
    let expected = when_ordered(part, ordered, lead, desk);
    expected.unwrap_or_else(|| Day::from(first.unwrap_or(ordered)))
}

/// Working days wanted between arrival and use: the part's own, else the project's.
fn hold_of(project: &Project, part: &Part) -> i32 {
    i32::try_from(part.hold.unwrap_or(project.settings.hold)).unwrap_or(i32::MAX)
}
