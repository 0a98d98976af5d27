//! Parts and selections as they are read: quantities, amounts of goods, arrivals and order-by days of each part.

use crate::engine::calendar::Day;
use crate::engine::columns::Columns;
use crate::engine::days::{Days, SupplierDays};
use crate::engine::deliveries::{self, AsOf, DeliveryFigures, DeliveryTable, Received};
use crate::engine::index::Index;
use crate::engine::lead::{self, Lead};
use crate::engine::order_after::Tie;
use crate::engine::plan::Plan;
use crate::engine::takeoff::{self, RoomSize, TakeoffError};
use crate::model::money::line_amount;
use crate::model::{Delivery, Money, Part, Project, Room, Selection};

pub use super::part_figures::{Decide, DecideFor, PartFigures, SelectionFigures, order};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

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
    /// Parts that can be ordered only after a phase, by position. They have no arrival yet: see [`order`].
    pub ties: Vec<Tie>,
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
        for (o, option) in selection.options.iter().enumerate() {
            let is_live = live == Some(option.id);
            for part in &option.parts {
                index.note(part.id.0, all.parts.len());
                let figures = self.part(o, part, is_live, all, index);
                if is_live {
                    all.latest_arrival = all.latest_arrival.max(figures.expected);
                }
                all.parts.push(figures);
            }
        }
        let mut figures = SelectionFigures {
            id: selection.id,
            first_part,
            end_part: all.parts.len(),
            live,
            chosen: selection.choice().is_some(),
            money: Columns::default(),
            days_in_hand: None,
            order_by: None,
            waits_from: None,
            ask_by: None,
            too_late: 0,
            late: false,
            decide: Decide::default(),
        };
        figures.sum_up(&all.parts[first_part..]);
        all.selections.push(figures);
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
        let placed = stood.ordered_on.or(own.first().map(|d| d.on)).or(stood.arrived_on()).map(Day::from);
        let after = part.order_after.filter(|_| placed.is_none()).and_then(|id| index.of(id.0));
        if let Some(after) = after {
            // When it comes is for the forecast to say.
            (expected, said) = (None, None);
            all.ties.push(Tie {
                part: all.parts.len(),
                after,
                to: phase,
                live,
                days: i32::try_from(part.order_after_days.unwrap_or(0)).unwrap_or(i32::MAX),
                earliest: self.selection.decide_on.map_or(as_of, |d| as_of.max(Day::from(d))),
                lead: counted,
                supplier,
                circle: false,
            });
        }
        let overdue = expected.is_some_and(|day| day < as_of) && !on_site;
        let was_expected = expected.filter(|_| overdue);
        if overdue {
            expected = Some(desk.next_receiving(as_of));
            said = said.and(expected);
        }
        let arrival = said;

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
            orderable_from: None,
            days_in_hand: order_by.map(|day| day.since(as_of)),
            costs_days: 0,
            late: need_date.zip(arrival).is_some_and(|(need, arrival)| arrival > need),
            overdue,
            was_expected,
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
