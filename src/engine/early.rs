//! What ordering together costs in another coin: parts that come long before they are needed want a place, and the time in
//! which the supplier takes them back may be over before anybody opens the box.

use crate::engine::calendar::Day;
use crate::engine::figures::Figures;
use crate::engine::lead;
use crate::engine::order_days::OrderDay;
use crate::model::Project;

/// The part of an order that waits the longest on site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Early {
    /// Position of the part.
    pub part: usize,
    /// Calendar days by which it is ordered before its own last day.
    pub ordered: i32,
    /// Calendar days from its arrival to the day it is needed.
    pub stands: i32,
    /// Until when it can be sent back.
    pub window: Window,
}

/// Until when a part can be sent back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Window {
    /// Nobody has said how long the supplier takes it back.
    Unknown,
    /// To this day, which is before the day it is needed.
    EndsBefore(Day),
    /// Until it is needed at least.
    Holds,
}

/// The part that would stand the longest, among those that the order pulls forward. `None` where it pulls none, or nothing
/// needs them.
pub fn early(project: &Project, figures: &Figures, order: &OrderDay) -> Option<Early> {
    let day = order.day?;
    let one = |at: &usize| {
        let f = figures.parts.get(*at)?;
        let ordered = f.order_by?.since(day);
        let selection = project.selections.get(f.selection as usize)?;
        let part = selection.options.get(f.option as usize)?.parts.iter().find(|p| p.id == f.id)?;
        let arrival = figures.arrival_with_lead(*at, lead::counted(project, part)?, day)?;
        let need = f.need_date?;
        let back = f.supplier.and_then(|s| project.suppliers.get(s as usize)?.return_days);
        let window = match back.map(|days| arrival.plus(i32::try_from(days).unwrap_or(i32::MAX))) {
            None => Window::Unknown,
            Some(ends) if ends < need => Window::EndsBefore(ends),
            Some(_) => Window::Holds,
        };
        (ordered > 0).then(|| Early { part: *at, ordered, stands: need.since(arrival), window })
    };
    order.parts.iter().filter_map(one).max_by_key(|early| early.stands)
}
