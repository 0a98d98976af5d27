//! What came of each part, what is still missing, and when that is expected.
//!
//! A delivery counts from its day, damage from the day it was reported. A part is on site when as much of it as is
//! bought came whole, to the places that are shown. What is missing is
//! - backorder: never came. It is expected on the day promised with the last delivery that names one; else as the whole
//!   part was (the promised day, or by its lead time from the day of the order);
//! - replacement: came damaged. It is expected on the day promised for it; else after its own lead time, or that of the
//!   part, from the day the damage was reported.
//!
//! What comes is taken to be what was expected first. The part is expected when the last of what is missing is; a day
//! before the as-of day is overdue, and the next receiving day takes its place (as for a part nothing has come of).
//! Noting a part as received, or built in, says that all that was missing came by that day; damage reported later opens
//! it again, unless it is built in.

use crate::engine::calendar::Day;
use crate::engine::days::SupplierDays;
use crate::engine::lead::Lead;
use crate::engine::parts::PartFigures;
use crate::model::{Delivery, Part, PartId, Project, quantity};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// The deliveries of a document by part, those up to a day.
#[derive(Debug, Default)]
pub struct Received<'a> {
    /// By part, then by day.
    rows: Vec<&'a Delivery>,
}

impl<'a> Received<'a> {
    /// Those that count on a day.
    pub fn new(project: &'a Project, as_of: Day) -> Received<'a> {
        let day = as_of.date();
        let mut rows: Vec<&Delivery> = project.deliveries.iter().filter(|d| d.on <= day).collect();
        rows.sort_by_key(|d| (d.part, d.on, d.id));
        Received { rows }
    }

    /// Those of a part, by day.
    pub fn of(&self, part: PartId) -> &[&'a Delivery] {
        if self.rows.is_empty() {
            return &[];
        }
        let start = self.rows.partition_point(|d| d.part < part);
        let end = self.rows.partition_point(|d| d.part <= part);
        self.rows.get(start..end).unwrap_or(&[])
    }
}

/// How far the delivery of a part is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeliveryFigures {
    /// Position of the part.
    pub part: usize,
    /// Units that came, damaged ones among them.
    pub came: Decimal,
    /// Units reported damaged.
    pub damaged: Decimal,
    /// Units that never came.
    pub backorder: Decimal,
    /// Units that came damaged and are not replaced yet.
    pub to_replace: Decimal,
    /// The day the backorder is promised for.
    pub backorder_on: Option<Day>,
    /// The day the last replacement is expected.
    pub replacement_on: Option<Day>,
    /// Whether the backorder was promised for a day.
    pub promised: bool,
    /// More came whole than was bought.
    pub too_many: bool,
}

impl DeliveryFigures {
    /// Units that are missing.
    pub fn missing(&self) -> Decimal {
        self.backorder.saturating_add(self.to_replace)
    }
}

/// How much of an ordered part came and how much is missing, as people count it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Came {
    /// Units that came, damaged ones among them.
    pub came: Decimal,
    /// Units reported damaged.
    pub damaged: Decimal,
    /// Units that never came, or came damaged and are not replaced.
    pub missing: Decimal,
}

impl Came {
    /// Of a part with its figures, and those of its deliveries where it has any. `None` before it is ordered, and where
    /// nobody knows how much of it is bought.
    pub fn of(part: &PartFigures, deliveries: Option<&DeliveryFigures>) -> Option<Came> {
        part.placed?;
        if let Some(d) = deliveries {
            return Some(Came { came: d.came, damaged: d.damaged, missing: d.missing() });
        }
        let bought = part.takeoff_error.is_none().then(|| quantity::shown(part.quantity_to_buy))?;
        let (came, missing) = if part.on_site { (bought, Decimal::ZERO) } else { (Decimal::ZERO, bought) };
        Some(Came { came, damaged: Decimal::ZERO, missing })
    }
}

/// What the deliveries of a part say.
#[derive(Debug, Clone)]
pub struct State {
    /// The day the last missing unit came; `None` while something is missing.
    pub complete_on: Option<Day>,
    /// The day the last missing unit is expected; may be before the as-of day.
    pub expected: Day,
    /// How far it is.
    pub figures: DeliveryFigures,
}

/// What came of a part that has deliveries: `bought` is how much is needed, `whole` when all of it was expected,
/// `lead` what is counted on for a replacement.
pub fn state(
    part: &Part,
    own: &[&Delivery],
    bought: Decimal,
    whole: Day,
    lead: Option<Lead>,
    desk: SupplierDays<'_>,
    as_of: Day,
) -> State {
    // People count what came as far as it is shown.
    let bought = quantity::shown(bought);
    let stood = AsOf::of(part, as_of);
    let promise = own.iter().rev().find_map(|d| d.rest_on);
    let mut open =
        vec![Claim { expected: promise.map_or(whole, Day::from), replacement: false, units: bought }];
    let (mut came, mut damaged, mut complete_on) = (Decimal::ZERO, Decimal::ZERO, None);
    for (day, event) in events(own, &stood, as_of) {
        match event {
            Event::Came(units) => {
                came = came.saturating_add(units);
                fill(&mut open, units);
            }
            Event::AllCame => {
                came = open.iter().fold(came, |sum, claim| sum.saturating_add(claim.units));
                open.iter_mut().for_each(|claim| claim.units = Decimal::ZERO);
            }
            Event::Damaged(delivery) => {
                damaged = damaged.saturating_add(delivery.damaged);
                let lead = match delivery.replacement_lead {
                    Some(count) => Some(Lead { count, unit: part.lead_unit }),
                    None => lead,
                };
                // Without any lead time it is looked for on the next day on which the house can receive.
                let by_lead = || match lead {
                    Some(lead) => desk.arrival(Day::from(day), lead),
                    None => desk.next_receiving(Day::from(day)),
                };
                let expected = delivery.replacement_on.map_or_else(by_lead, Day::from);
                open.push(Claim { expected, replacement: true, units: delivery.damaged });
                // More than was bought may have come; that much needs no replacement.
                let spare = came.saturating_sub(damaged).saturating_sub(bought);
                let spare = spare.saturating_add(delivery.damaged).min(delivery.damaged);
                fill(&mut open, spare.max(Decimal::ZERO));
            }
        }
        let here = open.iter().all(|claim| claim.units.is_zero());
        complete_on = if here { complete_on.or(Some(Day::from(day))) } else { None };
    }
    // What is built in is here, whatever was reported.
    if let Some(day) = stood.installed_on.filter(|_| complete_on.is_none()) {
        complete_on = Some(Day::from(day));
        open.iter_mut().for_each(|claim| claim.units = Decimal::ZERO);
    }
    open.retain(|claim| !claim.units.is_zero());
    let expected = open.iter().map(|claim| claim.expected).max();
    let of = |replacement: bool| open.iter().filter(move |claim| claim.replacement == replacement);
    let units = |replacement| of(replacement).fold(Decimal::ZERO, |sum, c| sum.saturating_add(c.units));
    let last = |replacement| of(replacement).map(|claim| claim.expected).max();
    let figures = DeliveryFigures {
        part: 0,
        came,
        damaged,
        backorder: units(false),
        to_replace: units(true),
        backorder_on: last(false),
        replacement_on: last(true),
        promised: promise.is_some(),
        too_many: came.saturating_sub(damaged) > bought,
    };
    State { complete_on, expected: complete_on.or(expected).unwrap_or(whole), figures }
}

/// Units that are still to come, and when.
struct Claim {
    expected: Day,
    replacement: bool,
    units: Decimal,
}

/// Lets units that came fill what was expected first.
fn fill(open: &mut [Claim], mut units: Decimal) {
    open.sort_by_key(|claim| (claim.expected, claim.replacement));
    for claim in open {
        let filled = claim.units.min(units);
        claim.units = claim.units.saturating_sub(filled);
        units = units.saturating_sub(filled);
    }
}

enum Event<'a> {
    Came(Decimal),
    /// It was noted as received, or built in.
    AllCame,
    Damaged(&'a Delivery),
}

/// What happened to a part up to a day, in order; on one day first what came, then the note that all came, then damage.
fn events<'a>(own: &[&'a Delivery], stood: &AsOf, as_of: Day) -> Vec<(NaiveDate, Event<'a>)> {
    let mut events = Vec::with_capacity(own.len() * 2 + 1);
    for delivery in own {
        events.push((delivery.on, Event::Came(delivery.quantity)));
        if let Some(day) = delivery.damage_day().filter(|day| Day::from(*day) <= as_of) {
            events.push((day, Event::Damaged(delivery)));
        }
    }
    events.extend(stood.arrived_on().map(|day| (day, Event::AllCame)));
    events.sort_by_key(|(day, event)| {
        let kind = match event {
            Event::Came(_) => 0,
            Event::AllCame => 1,
            Event::Damaged(_) => 2,
        };
        (*day, kind)
    });
    events
}

/// The dates of a purchase as they were known on a day: what happened later has not happened yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AsOf {
    /// The day it was ordered.
    pub ordered_on: Option<NaiveDate>,
    /// The day it was noted as received.
    pub received_on: Option<NaiveDate>,
    /// The day it was built in.
    pub installed_on: Option<NaiveDate>,
}

impl AsOf {
    /// Of a part.
    pub fn of(part: &Part, as_of: Day) -> AsOf {
        let known = |day: Option<NaiveDate>| day.filter(|d| Day::from(*d) <= as_of);
        AsOf {
            ordered_on: known(part.ordered_on),
            received_on: known(part.received_on),
            installed_on: known(part.installed_on),
        }
    }

    /// The day it came; a part that was built in without a note of its coming came that day at the latest.
    pub fn arrived_on(&self) -> Option<NaiveDate> {
        self.received_on.or(self.installed_on)
    }
}

/// How far the deliveries are, by position of their parts. Only parts that have any are in it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DeliveryTable {
    rows: Vec<DeliveryFigures>,
}

impl DeliveryTable {
    /// How far the delivery of a part is, where anything of it came.
    pub fn of(&self, part: usize) -> Option<&DeliveryFigures> {
        if self.rows.is_empty() {
            return None;
        }
        self.rows.binary_search_by_key(&part, |r| r.part).ok().and_then(|at| self.rows.get(at))
    }

    /// Units of a part that are still to come, of so many bought, to the places that are shown.
    pub fn missing(&self, part: usize, bought: Decimal) -> Decimal {
        self.of(part).map_or_else(|| quantity::shown(bought), DeliveryFigures::missing)
    }

    /// All.
    pub fn iter(&self) -> impl Iterator<Item = &DeliveryFigures> {
        self.rows.iter()
    }

    /// Adds a part that stands behind those in it.
    pub(in crate::engine) fn push(&mut self, figures: DeliveryFigures) {
        self.rows.push(figures);
    }
}
