//! Figures of parts, and what selections make of those of their parts.

use crate::engine::calendar::Day;
use crate::engine::columns::Columns;
use crate::engine::order_after::Coming;
use crate::engine::takeoff::TakeoffError;
use crate::model::{Money, NeededAt, OptionId, PartId, SelectionId};
use rust_decimal::Decimal;

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
    /// The first day it can be ordered, for one that is ordered only after a phase and is not ordered yet.
    pub orderable_from: Option<Day>,
    /// Order-by less the as-of day, in calendar days. Where it can be ordered only after its order-by, order-by less the
    /// first day on which it can: the as-of day does not help.
    pub days_in_hand: Option<i32>,
    /// Arrives after its need date.
    pub late: bool,
    /// Working days by which the finish would be sooner if nothing waited for it. Nothing for a part that does not count
    /// or has come, and for one whose place another would take.
    pub costs_days: i32,
    /// Was expected before the as-of day and has not come.
    pub overdue: bool,
    /// The day it was expected on then.
    pub was_expected: Option<Day>,
}

/// What a selection is to be decided for by its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecideFor {
    /// A spec that is not told, by its place in the selection.
    Spec(usize),
    /// The order of a candidate.
    Order,
}

/// When a selection is to be decided, and why then.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Decide {
    /// The day; `None` where nothing asks for one.
    pub by: Option<Day>,
    /// What for.
    pub reason: Option<DecideFor>,
    /// Specs that are not told, of a selection that is not built in.
    pub open: u32,
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

    /// Whether it counts and has not come, so that something can wait for it.
    pub fn may_be_late(&self) -> bool {
        self.live && !self.on_site && !self.built_in
    }

    /// The first day it can be ordered, where that is too late for its need date.
    pub fn waits_from(&self) -> Option<Day> {
        self.orderable_from.filter(|from| self.order_by.is_some_and(|by| *from > by))
    }

    /// The day it is to be ordered by: where that is too soon, as soon as it can be.
    pub fn due_to_order(&self) -> Option<Day> {
        self.waits_from().or(self.order_by)
    }

    /// Notes when a part that can be ordered only after a phase comes, as the forecast has it.
    fn come(&mut self, coming: Option<Coming>, as_of: Day) {
        let arrival = coming.and_then(|c| c.arrival);
        self.orderable_from = coming.map(|c| c.orderable_from);
        self.expected = arrival;
        self.arrival = arrival.filter(|_| self.lead_known);
        let from = self.waits_from().unwrap_or(as_of);
        self.days_in_hand = self.order_by.map(|by| by.since(from));
        self.late = self.need_date.zip(self.arrival).is_some_and(|(need, arrival)| arrival > need);
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
    /// can, the days of the one that is least late. Fewer, while undecided, where something of it must be known sooner.
    pub days_in_hand: Option<i32>,
    /// The day that these are counted to.
    pub order_by: Option<Day>,
    /// The first day the part of these days can be ordered, where that is behind its order-by.
    pub waits_from: Option<Day>,
    /// The first day to ask a supplier by, among its parts without a lead time: those that count, while undecided those
    /// of all candidates.
    pub ask_by: Option<Day>,
    /// While undecided: candidates that can no longer be ordered in time.
    pub too_late: u32,
    /// A part that counts and has not come arrives after its need date.
    pub late: bool,
    /// By when it is to be decided, or what must be known of it told.
    pub decide: Decide,
}

impl SelectionFigures {
    /// Reads the days that hang on those of its parts.
    pub(super) fn sum_up(&mut self, parts: &[PartFigures]) {
        // Of the days in hand of the slowest part of each option: the fewest that are still in time, else the most.
        let (mut in_time, mut past): (Option<Hand>, Option<Hand>) = (None, None);
        let mut too_late = 0;
        (self.ask_by, self.late) = (None, false);
        let mut in_hand: Option<Hand> = None;
        for option in parts.chunk_by(|a, b| a.option == b.option) {
            let mut slowest: Option<Hand> = None;
            for part in option {
                if part.placed.is_none() {
                    let days = part.days_in_hand.zip(part.order_by);
                    slowest = sooner(slowest, days.map(|(days, by)| (days, by, part.waits_from())));
                }
                self.late |= part.live && part.late && !part.on_site;
                if part.live || self.live.is_none() {
                    self.ask_by = sooner(self.ask_by, part.ask_by);
                }
            }
            if option.first().is_some_and(|part| part.live) {
                in_hand = slowest;
            }
            match slowest {
                Some(hand) if hand.0 >= 0 => in_time = sooner(in_time, Some(hand)),
                _ => past = past.max(slowest),
            }
            too_late += u32::from(slowest.is_some_and(|hand| hand.0 < 0));
        }
        let hand = if self.live.is_some() { in_hand } else { in_time.or(past) };
        self.days_in_hand = hand.map(|hand| hand.0);
        self.order_by = hand.map(|hand| hand.1);
        self.waits_from = hand.and_then(|hand| hand.2);
        self.too_late = if self.live.is_some() { 0 } else { too_late };
    }
}

/// Days in hand, the order-by day that they are counted to, and the first order day where that is behind it.
type Hand = (i32, Day, Option<Day>);

/// Notes when parts that can be ordered only after a phase come, as the forecast has it, and what that makes of their
/// selections. `coming` is by ties in the order of their parts.
pub fn order(
    selections: &mut [SelectionFigures],
    parts: &mut [PartFigures],
    coming: impl Iterator<Item = (usize, Option<Coming>)>,
    as_of: Day,
) {
    let mut changed: Vec<usize> = Vec::new();
    for (part, coming) in coming {
        let Some(figures) = parts.get_mut(part) else { continue };
        figures.come(coming, as_of);
        let selection = figures.selection as usize;
        if changed.last() != Some(&selection) {
            changed.push(selection);
        }
    }
    for at in changed {
        let Some(selection) = selections.get_mut(at) else { continue };
        let own = selection.first_part..selection.end_part;
        selection.sum_up(parts.get(own).unwrap_or(&[]));
    }
}

/// The lower of two, where there are any.
fn sooner<T: Ord>(a: Option<T>, b: Option<T>) -> Option<T> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}
