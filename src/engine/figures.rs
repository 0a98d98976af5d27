//! All computed figures of a project on a day, as plain values.
//!
//! Lists run parallel to the lists of the document: `phases[i]` belongs to `project.phases[i]`, and `parts` holds
//! every part in document order.

use super::calendar::Day;
use super::cash::CashWeek;
use super::days::Days;
use super::deliveries::DeliveryTable;
use super::gates::{GateFigures, HeldByGate};
use super::money::MoneyFigures;
use super::orders::Order;
use super::payments::PaymentTable;
use super::returns::ReturnTable;
use super::takeoff::{RoomSize, TakeoffError};
use crate::model::{Money, NeededAt, OptionId, PartId, PhaseId, Project, SelectionId};
use rust_decimal::Decimal;

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

/// Figures of a phase. Dates are `None` on or behind a circle of links, or with a negative duration.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PhaseFigures {
    /// First day in the plan; the actual one once begun.
    pub early_start: Option<Day>,
    /// Last day in the plan; the actual one once finished.
    pub early_finish: Option<Day>,
    /// Latest first day that keeps the end.
    pub late_start: Option<Day>,
    /// Latest last day that keeps the end.
    pub late_finish: Option<Day>,
    /// Working days it can slip without moving the end. `None` once finished.
    pub total_float: Option<i32>,
    /// Working days it can slip without moving anything.
    pub free_float: Option<i32>,
    /// Total float against the target finish; negative when the target cannot be met.
    pub target_float: Option<i32>,
    /// Total float of zero or less.
    pub critical: bool,
    /// First day with deliveries as they are expected.
    pub forecast_start: Option<Day>,
    /// Last day with deliveries as they are expected.
    pub forecast_finish: Option<Day>,
    /// Working days all deliveries together cost this phase, beyond what comes from before it.
    pub held_days: i32,
    /// The parts whose arrival fixes it, each with the days that would be won without that one part. Two parts that
    /// arrive together are charged nothing each, since taking one away would not help.
    pub held_by: Vec<Held>,
    /// Working days that gates which are not ready cost this phase, beyond what comes from before it and its deliveries.
    pub gate_days: i32,
    /// The gates that cost them, each with the days that would be won without that one.
    pub held_by_gates: Vec<HeldByGate>,
}

/// A part that holds a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Position of the part.
    pub part: usize,
    /// Working days won without it.
    pub days: i32,
}

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
    /// Goods.
    pub amount: Money,
    /// Share of the freight of its order. Nothing for a part that is no candidate for an order.
    pub freight: Money,
    /// Share of the tax of its order; for a part that does not count, the tax of its line alone.
    pub tax: Money,
    /// The day it must be on site.
    pub need_date: Option<Day>,
    /// The day it came or is expected.
    pub arrival: Day,
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
    pub money: super::money::Columns,
    /// Fewest days in hand among its parts that count and are not ordered; while undecided, the most that a candidate
    /// leaves (the slowest part of each option, the best option).
    pub days_in_hand: Option<i32>,
    /// A part that counts and has not come arrives after its need date.
    pub late: bool,
}

/// Positions in the lists of a document by number.
#[derive(Debug, Clone, Default)]
pub struct Index {
    positions: Vec<u32>,
}

impl Index {
    /// Notes where the rooms, phases and suppliers are. Selections and parts are noted by [`Self::note_figures`], from
    /// their figures: those lie side by side, the document is spread over the memory.
    pub fn new(project: &Project) -> Index {
        let mut index = Index { positions: vec![u32::MAX; project.next_id as usize + 1] };
        project.rooms.iter().enumerate().for_each(|(i, r)| index.note(r.id.0, i));
        project.phases.iter().enumerate().for_each(|(i, p)| index.note(p.id.0, i));
        project.suppliers.iter().enumerate().for_each(|(i, s)| index.note(s.id.0, i));
        index
    }

    /// Notes where the selections and parts are.
    pub fn note_figures(&mut self, selections: &[SelectionFigures], parts: &[PartFigures]) {
        selections.iter().enumerate().for_each(|(i, s)| self.note(s.id.0, i));
        parts.iter().enumerate().for_each(|(i, p)| self.note(p.id.0, i));
    }

    fn note(&mut self, id: u32, at: usize) {
        if let Some(slot) = self.positions.get_mut(id as usize) {
            *slot = at as u32;
        }
    }

    /// The position of the thing with a number, in the list of its kind.
    pub fn of(&self, id: u32) -> Option<usize> {
        self.positions.get(id as usize).filter(|p| **p != u32::MAX).map(|p| *p as usize)
    }
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
}
